"""The command of the pull: torque and power predicted from the parts as they are."""

import sys

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop


@click.command("pull")
@click.argument("engine")
@click.option("--with", "tried", multiple=True, metavar="SIZE=TEXT", help="Try another size, such as runner-length=300mm.")
@click.option("--sure", is_flag=True, help="Also work out how sure it is; takes seven times as long.")
@click.option("--speeds", default=13, show_default=True, help="How many speeds up to the highest.")
@in_units
@as_json
@with_shop
def pull_command(shop: Shop, engine: str, tried: tuple[str, ...], sure: bool, speeds: int, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The pull at full throttle, predicted from bore to header.

    Ctrl-C stops it; nothing is kept.

    \b
    Examples:
      tenths pull kestrel --speeds 5
      tenths pull kestrel --speeds 3 --with runner-length=250mm
    """
    from tenths.services.running_pull import pulled  # noqa: PLC0415 - only here

    answer = pulled(shop, engine, units or "", given=_tried(tried), sure=sure, speeds=speeds, progress=None if json_ else _progress)
    if json_:
        put_json(answer)
        return
    best = answer["best"]
    heading(f"{best['torque']['text']} at {best['torque_at']['text']}, {best['power']['text']} at {best['power_at']['text']}")
    table([(f"  {row['speed']['text']}", row["torque"]["text"], row["power"]["text"], row["filling"]["text"], row["specific"]["text"],
            row["half_burned"]["text"], "" if row["settled"] else "not settled") for row in answer["points"]],
          heads=("  speed", "torque", "power", "filling", "fuel", "half burned", ""), right=(0, 1, 2, 3, 4, 5))
    if answer["doubts"]:
        heading("Where the doubt comes from")
        table([(f"  {row['cause']}", row["by"], f"{row['share']:.0%}") for row in answer["doubts"]], heads=("  ", "known to", "share"),
              right=(1, 2))
    heading("Gas side")
    origins = {"taken": "guessed"}
    table([(f"  {row['words']}", row["text"], str(origins.get(row["origin"], row["origin"]))) for row in answer["sizes"]], right=(1,))
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")
    if not answer["settled"]:
        say("  Some speeds did not settle; they are marked.")


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
