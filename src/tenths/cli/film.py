"""The command of the oil film: how thin it gets in every bearing, and which clearance and grade would leave more."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("film")
@click.argument("engine")
@click.option("--grade", "--oil", "grade", default="", help="Grade of the oil to try, such as 30 or 10W-40; else the stated one.")
@click.option("--bearing", default="", help="One bearing only, such as main.3 or rod.5.")
@click.option("--speed", default="", help="A further speed, such as 6500 rpm.")
@click.option("--load", default="", help="Throttle at it: full, part or shut.")
@click.option("--thickens", default="", help="yes or no: whether pressure thickens the oil.")
@click.option("--tilt", default="", help="Journal out of parallel, over the width of the shell.")
@click.option("--best", is_flag=True, help="Map clearance, grade and speed, and seek the best over the use; takes some seconds.")
@in_units
@as_json
@with_shop
def film_command(shop: Shop, engine: str, best: bool, units: str | None, json_: bool, **given: str) -> None:  # noqa: FBT001 - click passes flags so
    r"""The oil film of every bearing as measured, thinnest first, with verdicts.

    Oil, shells, finish and lining are stated with 'tenths state'; 'tenths
    features ENGINE engine' and 'main.1' name them.

    \b
    Examples:
      tenths film kestrel --grade 20W-50
      tenths film kestrel --bearing rod.3 --speed "7000 rpm" --load full
      tenths film kestrel --best
    """
    from tenths.services.running_film import film  # noqa: PLC0415 - only here

    if best:
        _best(shop, engine, units or "", given, json_=json_)
        return
    answer = film(shop, engine, units or "", given=given)
    if json_:
        put_json(answer)
        return
    heading(f"Thinnest film with {answer['grade']} ({_who(answer['oil'][0]['origin'])}): {answer['verdict']}")
    table([(f"  {row['station']}", _plainly(row["clearance"]), row["least"]["text"], f"{row['ratio']:.1f}", row["verdict"],
            row["way"].removesuffix(", hot")) for row in answer["bearings"]],
          heads=("  bearing", "clearance", "film", "ratio", "verdict", "at"), right=(1, 2, 3))
    _worst(answer["bearings"][0], answer)
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


def _worst(row: dict[str, Any], answer: dict[str, Any]) -> None:
    """The thinnest bearing: every way of running, limits, doubt, a tenth either way."""
    heading(f"{row['station']}, {row['lining']} ({_who(row['lining_origin'])})")
    table([(f"  {way['way']}", _range(way), way["temperature"]["text"], way["pressure"]["text"], way["flow"]["text"])
           for way in row["running"]], heads=("  ", "film", "oil", "peak", "flow"), right=(1, 2, 3, 4))
    say()
    table([(f"  {one['words']}", one["text"], one["limit"].replace("at least", "from").replace("at most", "to"), one["verdict"])
           for one in row["limits"]],
          heads=("  at worst, hot", "", "limit", "verdict"))
    authority, source = row["limits"][0]["authority"], row["limits"][0]["source"]
    say(f"  Limits: {source if source.startswith(authority) else f'{authority}, {source}'}.")
    say()
    for effect in row["effects"]:
        say(f"  {effect['what'].capitalize()}: {effect['film']['text']}.")
    wrapped("Doubt comes from " + ", ".join(f"{one['cause']} {one['share']:.0%}" for one in row["causes"] if one["share"] >= 0.005) + ".",
            "  ", "  ")
    low, high = row["rule"]
    say(f"  A tenth less: {row['tenth_less']['text']}, a tenth more: {row['tenth_more']['text']}.")
    say(f"  The trade's rule for this journal: {low['text']} to {high['text']}; common practice, no source.")
    guessed = [one["words"] for one in (*answer["oil"], *row["shell"]) if one["origin"] == "taken"]
    if guessed:
        wrapped(f"Guessed: {'; '.join(guessed)}.", "  ", "  ")


def _plainly(amount: dict[str, Any]) -> str:
    """Without its doubt, with its unit."""
    text = amount["text"].partition(" ±")[0]
    return text if text.endswith(f" {amount['unit']}") else f"{text} {amount['unit']}"


def _who(origin: str) -> str:
    return "guessed" if origin == "taken" else origin


def _range(row: dict[str, dict[str, str]]) -> str:
    low, high = row["film"]["text"], row["film_to"]["text"]
    return low if low == high else f"{low.partition(' ')[0]} to {high}"


def _best(shop: Shop, engine: str, units: str, given: dict[str, str], *, json_: bool) -> None:
    from tenths.services.film_map import best_over_use  # noqa: PLC0415 - only here

    def progress(done: int, of: int, station: str) -> None:
        click.echo(f"{done} of {of} bearings: {station}", err=True)

    answer = best_over_use(shop, engine, units, given=given, progress=None if json_ else progress)
    if json_:
        put_json(answer)
        return
    heading("Intended use, " + answer["shares_by"])
    say("  " + ", ".join(f"{row['way'].partition(',')[0]} {row['share']:.0%}" for row in answer["shares"]))
    heading(f"Film over the use, with {answer['oil']}")
    table([(f"  {row['station']}", row["clearance"]["text"].partition(" ±")[0], row["now"]["text"], row["tenth_less"]["text"],
            row["tenth_more"]["text"], row["best_now"]["clearance"]["text"], row["best_now"]["film"]["text"])
           for row in answer["bearings"]],
          heads=("  bearing", "clearance", "now", "a tenth less", "a tenth more", "best", "gives"), right=(1, 2, 3, 4, 5, 6))
    for kind in answer["kinds"]:
        low, high = kind["rule"]
        heading(f"{kind['kind']}s together, worst {kind['station']}; trade's rule {low['text']} to {high['text']}")
        table([(f"  {row['grade']}", row["clearance"]["text"], f"{row['flat'][0]['text']} to {row['flat'][1]['text']}", row["film"]["text"],
                row["power"]["text"], row["hottest"]["text"]) for row in kind["grades"]],
              heads=("  oil", "best", "within 5 % of it", "film", "friction", "hottest"), right=(1, 2, 3, 4, 5))
    heading("Enough, with the least friction")
    table([(f"  {row['station']}", *((row["enough"]["grade"], row["enough"]["clearance"]["text"], row["enough"]["film"]["text"],
                                      row["enough"]["power"]["text"]) if row["enough"] else ("nothing keeps every limit", "", "", "")))
           for row in answer["bearings"]], heads=("  bearing", "oil", "clearance", "film", "friction"), right=(2, 3, 4))
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")
