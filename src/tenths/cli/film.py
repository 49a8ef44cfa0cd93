"""The command of the oil film: how thin it gets in every bearing, and which clearance and grade would leave more."""

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("film")
@click.argument("engine")
@click.option("--oil", "grade", default="10W-40", show_default=True, help="Grade of the oil, such as 30 or 10W-40.")
@click.option("--best", is_flag=True, help="Seek the clearance and grade that leave most film; takes some seconds.")
@in_units
@as_json
@with_shop
def film_command(shop: Shop, engine: str, grade: str, best: bool, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The oil film of every bearing as measured, thinnest first.

    \b
    Examples:
      tenths film kestrel --oil 20W-50
      tenths film kestrel --best
    """
    from tenths.services.running_film import film  # noqa: PLC0415 - only here

    if best:
        _best(shop, engine, units or "", json_=json_)
        return
    answer = film(shop, engine, units or "", grade=grade)
    if json_:
        put_json(answer)
        return
    heading(f"Thinnest film with {grade}")
    table([(f"  {row['station']}", row["clearance"]["text"], row["least"]["text"], f"{row['ratio']:.1f}", row["state"], row["way"])
           for row in answer["bearings"]], heads=("  bearing", "clearance", "film", "ratio", "", "at"), right=(1, 2, 3))
    worst = answer["bearings"][0]
    heading(f"{worst['station']}, from idle up")
    table([(f"  {row['way']}", _range(row), row["temperature"]["text"], row["pressure"]["text"], row["flow"]["text"])
           for row in worst["running"]], heads=("  ", "film", "oil", "peak", "flow"), right=(1, 2, 3, 4))
    low, high = worst["rule"]
    say(f"  A tenth less: {worst['tenth_less']['text']}, a tenth more: {worst['tenth_more']['text']}.")
    say(f"  The trade's rule for this journal: {low['text']} to {high['text']}; common practice, no source.")
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


def _range(row: dict[str, dict[str, str]]) -> str:
    low, high = row["film"]["text"], row["film_to"]["text"]
    return low if low == high else f"{low.partition(' ')[0]} to {high}"


def _best(shop: Shop, engine: str, units: str, *, json_: bool) -> None:
    from tenths.services.running_film import sought  # noqa: PLC0415 - only here

    def progress(done: int, of: int) -> None:
        click.echo(f"{done} of {of} kinds of bearing", err=True)

    answer = sought(shop, engine, units, progress=None if json_ else progress)
    if json_:
        put_json(answer)
        return
    for kind in answer["kinds"]:
        low, high = kind["rule"]
        heading(f"{kind['kind']}s, by the hardest loaded, {kind['station']}; trade's rule {low['text']} to {high['text']}")
        table([(f"  {row['grade']}", row["clearance"]["text"], f"{row['flat'][0]['text']} to {row['flat'][1]['text']}", row["film"]["text"])
               for row in kind["grades"]], heads=("  oil", "best", "within 5 % of it", "film"), right=(1, 2, 3))
