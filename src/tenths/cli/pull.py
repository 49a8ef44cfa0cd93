"""The command of the pull: torque and power predicted from the parts as they are."""

import sys

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.amounts import Answer
from tenths.services.shop import Shop


@click.command("pull")
@click.argument("engine")
@click.option("--with", "tried", multiple=True, metavar="SIZE=TEXT", help="Try another size, such as runner-length=300mm.")
@click.option("--sure", is_flag=True, help="Also work out how sure it is; takes seven times as long.")
@click.option("--variant", default="", metavar="NAME", help="Start from a variant that was kept.")
@click.option("--keep", default="", metavar="NAME", help="Keep what is tried under a name, to compare with later.")
@click.option("--forget", default="", metavar="NAME", help="Take a variant away.")
@click.option("--cycle", "at", default="", metavar="SPEED", help="One speed over its cycle instead.")
@click.option("--cylinder", default="", metavar="LABEL", help="Which cylinder --cycle tells; else the first that fires.")
@click.option("--speeds", default=13, show_default=True, help="How many speeds up to the highest.")
@in_units
@as_json
@with_shop
def pull_command(
    shop: Shop, engine: str, *, tried: tuple[str, ...], sure: bool, variant: str, keep: str, forget: str, at: str, cylinder: str,
    speeds: int, units: str | None, json_: bool,
) -> None:
    r"""The pull at full throttle, predicted from bore to header.

    Ctrl-C stops it; nothing is kept.

    \b
    Examples:
      tenths pull kestrel --speeds 5
      tenths pull kestrel --speeds 3 --with runner-length=250mm
      tenths pull kestrel --with runner-length=250mm --keep "short runners"
      tenths pull kestrel --cycle 4500rpm
    """
    given = _tried(tried)
    if keep or forget:
        _keeping(shop, engine, keep, forget, variant, given)
        return
    if at:
        _cycle(shop, engine, units or "", at, cylinder, variant, given, as_json=json_)
        return
    from tenths.services.running_pull import pulled  # noqa: PLC0415 - only here

    answer = pulled(shop, engine, units or "", given=given, variant=variant, sure=sure, speeds=speeds,
                    progress=None if json_ else _progress)
    if json_:
        put_json(answer)
        return
    best = answer["best"]
    heading(f"{best['torque']['text']} at {best['torque_at']['text']}, {best['power']['text']} at {best['power_at']['text']}")
    _points(answer)
    if answer["doubts"]:
        heading("Where the doubt comes from (how well each is known: common practice, no source)")
        table([(f"  {row['cause']}", row["by"], f"{row['share']:.0%}") for row in answer["doubts"]], heads=("  ", "known to", "share"),
              right=(1, 2))
    if rubs := answer["points"][-1]["rubs"]:
        heading(f"What friction takes at {answer['points'][-1]['speed']['text']}")
        table([(f"  {row['part']}", row["text"], row["torque"]["text"]) for row in rubs], right=(1, 2))
    heading("Gas side")
    origins = {"taken": "guessed"}
    table([(f"  {row['words']}", row["text"], str(origins.get(row["origin"], row["origin"]))) for row in answer["sizes"]], right=(1,))
    if answer["variants"]:
        heading("Kept to compare")
        table([(f"  {row['variant']}", ", ".join(f"{k} {v}" for k, v in row["sizes"].items()), row["words"]) for row in answer["variants"]])
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")
    if not answer["settled"]:
        say("  Some speeds did not settle; they are marked.")


def _points(answer: Answer) -> None:
    """A line for each speed; with intervals there is no room for the burn."""
    columns = ("torque", "power", "filling", "specific", *(() if answer["doubts"] else ("half_burned",)))
    heads = {"specific": "fuel", "half_burned": "50 % at"}
    table([(f"  {row['speed']['text']}{'' if row['settled'] else ' *'}", *(row[name]["text"] for name in columns))
           for row in answer["points"]],
          heads=("  speed", *(heads.get(name, name) for name in columns)), right=range(len(columns) + 1))


def _keeping(shop: Shop, engine: str, keep: str, forget: str, variant: str, given: dict[str, str]) -> None:
    from tenths.services.pull_variants import forget_variant, keep_variant, sizes_kept  # noqa: PLC0415 - only here

    if forget:
        forget_variant(shop, engine, forget)
        say(f"{forget}: taken away")
    if keep:
        keep_variant(shop, engine, keep, sizes_kept(shop.build(engine), variant) | given)
        say(f"{keep}: kept; 'tenths pull {engine} --variant \"{keep}\"' pulls it")


def _cycle(shop: Shop, engine: str, units: str, at: str, cylinder: str, variant: str, given: dict[str, str], *, as_json: bool) -> None:
    from tenths.services.pull_cycle import cycle  # noqa: PLC0415 - only here

    answer = cycle(shop, engine, units, speed=at, cylinder=cylinder, given=given, variant=variant)
    if as_json:
        put_json(answer)
        return
    heading(f"Cylinder {answer['cylinder']} at {answer['speed']['text']}: {answer['torque']['text']}, {answer['peak']['text']} at most")
    rows = list(zip(answer["angle"], answer["pressure"], answer["temperature"], answer["flow"], answer["volume"], strict=True))
    table([(f"  {angle:.0f} deg", f"{p:.2f}", f"{t:.0f}", f"{f:.1f}", f"{v:.1f}") for angle, p, t, f, v in rows[::15]],
          heads=("  angle", answer["pressure_unit"], answer["temperature_unit"], f"in, {answer['flow_unit']}", answer["volume_unit"]),
          right=(0, 1, 2, 3, 4))
    for wave in answer["waves"]:
        flat = [value for row in wave["pressure"] for value in row]
        say(f"  {wave['words']}: {min(flat):.2f} to {max(flat):.2f} {wave['unit']}")


def _tried(given: tuple[str, ...]) -> dict[str, str]:
    found: dict[str, str] = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or not value:
            raise BadInput(f"with: {text!r} is not SIZE=TEXT, such as runner-length=300mm")
        found[name.strip()] = value.strip()
    return found


def _progress(done: int, of: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done} of {of}", nl=done == of, err=True)
