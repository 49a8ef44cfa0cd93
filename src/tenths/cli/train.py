"""The command of the valve train in motion: where it floats and how sure that is, how the valve lands, what the contact bears."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop

ORIGINS = {"taken": "guessed"}
CAUSES_TOLD = 6


@click.command("valve-train")
@click.argument("engine")
@click.option("--speeds", default=16, show_default=True, help="How many speeds, from a fifth of the highest to a fifth above it.")
@click.option("--valve", default="", metavar="STATION", help="One valve, such as valve.3.in, instead of the mean of each side.")
@click.option("--quick", is_flag=True, help="Leave out how sure the speeds are at which it parts.")
@in_units
@as_json
@with_shop
def valve_train_command(shop: Shop, engine: str, *, speeds: int, valve: str, quick: bool, units: str | None, json_: bool) -> None:
    r"""Whether the followers stay on the lobes, over speed; takes some seconds.

    Springs must be known: read on the tester, or stated. Weights, stiffness
    and the contact are read or stated with the features that 'tenths features
    ENGINE valve.1.in' and 'engine' name.

    \b
    Examples:
      tenths valve-train kestrel
      tenths valve-train kestrel --valve valve.1.in --speeds 24
    """
    from tenths.services.valve_train import valve_train  # noqa: PLC0415 - it takes a compiler in

    answer = valve_train(shop, engine, units or "", speeds=speeds, valve=valve, sure=not quick,
                         progress=None if json_ else _progress)
    if json_:
        put_json(answer)
        return
    for side in answer["sides"]:
        _side(side, answer)
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


def _progress(done: int, of: int) -> None:
    click.echo(f"{done} of {of} sides", err=True)


def _side(side: dict[str, Any], answer: dict[str, Any]) -> None:
    heading(f"{side['side']}, {side['gear']}: {parted(side['floats'], 'floats')}; highest speed {answer['redline']['text']}")
    sure = f" Holds to the highest speed: {side['floats']['probability']:.0%} likely." if side["floats"]["shares"] else ""
    say(f"  {parted(side['first'], 'first parts').capitalize()}.{sure}")
    if side["rigid"]["speed"]["text"]:
        say(f"  Were nothing to give it would hold to {side['rigid']['speed']['text']}.")
    say(f"  {side['mass']['text']} at the valve on {side['stiffness']['text']}: swings at {side['natural']['text']}; its spring at "
        f"{side['surge'][0]['text']}.")
    table([(f"  {row['speed']['text']}", row["state"], row["parted"]["text"], row["landing"]["text"], row["bounce"]["text"],
            row["force"]["text"], row["stress"]["text"], "coils touch" if row["bound"] else "") for row in side["rows"]],
          heads=("  speed", "", "gap", "lands", "bounces", "on the lobe", "stress", ""), right=(0, 2, 3, 4, 5, 6))
    say(f"  {side['pair'].capitalize()} ({ORIGINS.get(side['pair_origin'], side['pair_origin'])}): {side['limit']['text']} for long; "
        "common practice, no source.")
    if side["no_stress"]:
        wrapped(side["no_stress"].capitalize() + ".", "  ! ", "    ")
    if side["floats"]["shares"]:
        say("  What the doubt of the floating speed is made of:")
        table([(f"  {row['cause']}", row["less"]["text"], row["more"]["text"], f"{row['share']:.0%}")
               for row in side["floats"]["shares"][:CAUSES_TOLD]], heads=("  ", "with less", "with more", "share"), right=(1, 2, 3))
    table([(f"  {row['words']}", row["text"], str(ORIGINS.get(row["origin"], row["origin"]))) for row in side["sizes"]], right=(1,))


def parted(one: dict[str, Any], words: str) -> str:
    """Where a train parts, or how far it holds, in words."""
    return f"{words} at {one['speed']['text']}" if one["found"] else f"never {words} up to {one['tried']['text']}"
