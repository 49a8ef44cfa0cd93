"""Commands about readings: set, read, next, features, note, strike."""

import click

from tenths.cli.show import as_json, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop


@click.command("set")
@click.argument("engine")
@click.argument("gauge")
@click.argument("master")
@click.argument("size", required=False, default="")
@with_shop
def set_command(shop: Shop, engine: str, gauge: str, master: str, size: str) -> None:
    r"""Set a gauge to a size from a master (a micrometer, or a ring); later deviations hang on it.

    \b
    Example:
      tenths set marigold bore-gauge-s mic-2-3 2.6800
    """
    from tenths.services.commands import set_instrument  # noqa: PLC0415 - only here

    set_instrument(shop, engine, instrument=gauge, master=master, size=size)
    say(f"{gauge} set from {master}" + (f" to {size}" if size else ""))


@click.command("read")
@click.argument("engine")
@click.argument("station")
@click.argument("feature")
@click.argument("values", nargs=-1, required=True)
@click.option("--place", multiple=True, help="Where on it; once for each value. Else the feature's places in order.")
@click.option("--with", "instrument", default="", metavar="INSTRUMENT", help="What it was read with.")
@click.option("--set-to", default="", metavar="SIZE", help="Size that the gauge was set to, for deviations.")
@click.option("--at", "temperature", default="", metavar="TEMPERATURE", help="Temperature of the part.")
@click.option("--note", default="", help="Anything else.")
@as_json
@with_shop
def read_command(shop: Shop, engine: str, station: str, feature: str, values: tuple[str, ...], place: tuple[str, ...],
                 instrument: str, set_to: str, temperature: str, note: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Take readings, as typed: one, or several for the feature's places in order.

    A STATION with a star means all that are like it, in walking order: as many values for each, station by station. A
    value with its sign is a deviation from what the gauge was set to. What looks like a slip is asked about, and taken.

    \b
    Examples:
      tenths read marigold rod.6 installed-bore 2.1163 2.1164 --with bore-gauge-s
      tenths read marigold main.1 housing-bore 2.8759 --place "B front"
      tenths read marigold "pin.*" side-clearance .011 .011 .010 .010 .012 .011
      tenths read kestrel main.2 housing-bore "+8 µm" --place "A front" \
        --with bore-gauge-mm --set-to 69.000
    """
    from tenths.logbook.bodies import ReadingTaken  # noqa: PLC0415 - only here
    from tenths.services import commands, questions, slips  # noqa: PLC0415 - only here

    where = questions.stations_named(shop, engine, station)
    each, over = divmod(len(values), len(where))
    if over or (place and len(place) != each):
        _uneven(station, len(where), len(values), place)
    rows: list[ReadingTaken] = []
    for number, one in enumerate(where):
        places = place or commands.places_for(shop, engine, one, feature, each)
        rows += [ReadingTaken(station=one, feature=feature, place=spot, text=text, instrument=instrument, setting=set_to,
                              temperature=temperature, note=note)
                 for spot, text in zip(places, values[number * each:(number + 1) * each], strict=True)]
    asked = slips.questions_for(shop, engine, rows)
    taken = commands.take_readings(shop, engine, rows)
    answers = questions.readings_of(shop, engine, [entry.id for entry in taken])
    if json_:
        put_json([row | {"questions": said} for row, said in zip(answers, asked, strict=True)])
        return
    table([(r["station"], r["words"], r["place"] or "-", r["text"], f"read as {r['written']}") for r in answers])
    for row, said in zip(answers, asked, strict=True):
        if said:
            wrapped(f"{row['station']} {row['place']} {row['text']}: {slips.asked_words(said)} It is taken as typed; entry "
                    f"{row['position']}.", "  ? ", "    ")


def _uneven(station: str, stations: int, values: int, place: tuple[str, ...]) -> None:
    if stations > 1:
        raise BadInput(f"values: {station} means {stations} stations here, and {values} values are given; give as many for each, "
                       f"station by station" + (f", and {len(place)} for {len(place)} places" if place else ""))
    raise BadInput(f"place: {len(place)} are given for {values} values; give one for each, or none")


@click.command("next")
@click.argument("engine")
@click.option("--with", "instruments", multiple=True, help="Only what this instrument reads; may be given more than once.")
@click.option("--most", type=click.IntRange(0), default=12, show_default=True, help="How many; 0 for all.")
@as_json
@with_shop
def next_command(shop: Shop, engine: str, instruments: tuple[str, ...], most: int, json_: bool) -> None:  # noqa: FBT001
    r"""The readings still to be taken, in walking order.

    \b
    Example:
      tenths next marigold --most 5
    """
    from tenths.services import commands  # noqa: PLC0415 - only here
    from tenths.services.tray import tray  # noqa: PLC0415 - only here

    commands.instrument_cards(shop, engine, *instruments)  # a name that is not listed is refused, not answered with nothing
    rows = tray(shop, engine, instruments=instruments, limit=most)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("Nothing is left to read.")
        return
    table([(r["station"], r["feature"], r["place"] or "-", r["expected_text"] or "-", r["why"]) for r in rows],
          heads=("station", "feature", "place", "expected", "why"))


@click.command("features")
@click.argument("engine")
@click.argument("station")
@as_json
@with_shop
def features_command(shop: Shop, engine: str, station: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What can be read or stated at a station, where on it, and how.

    \b
    Example:
      tenths features marigold main.3
    """
    from tenths.services.questions import features_at  # noqa: PLC0415 - only here

    rows = features_at(shop, engine, station)
    if json_:
        put_json(rows)
        return
    for row in rows:
        say(f"{row['feature']}: {row['words']}" + (" (stated, not read)" if row["stated_only"] else ""))
        wrapped(row["how"] + (f"; with {row['instrument'].replace('-', ' ')}" if row["instrument"] else ""), "    ")
        if row["places"] != [""]:
            wrapped("places: " + ", ".join(row["places"]), "    ")


@click.command("note")
@click.argument("engine")
@click.argument("station")
@click.argument("text")
@with_shop
def note_command(shop: Shop, engine: str, station: str, text: str) -> None:
    r"""Write a note about a station.

    \b
    Example:
      tenths note marigold cyl.3 "polished patch on the thrust side"
    """
    from tenths.services.commands import write_note  # noqa: PLC0415 - only here

    write_note(shop, engine, station, text)
    say(f"noted at {station}")


@click.command("strike")
@click.argument("engine")
@click.argument("entry")
@click.argument("reason")
@with_shop
def strike_command(shop: Shop, engine: str, entry: str, reason: str) -> None:
    r"""Strike an entry of the log, by its position or id, with a reason. Nothing is ever erased.

    \b
    Example:
      tenths strike marigold 120 "read on the wrong journal"
    """
    from tenths.services.commands import strike  # noqa: PLC0415 - only here

    strike(shop, engine, entry, reason)
    say(f"entry {entry} struck: {reason}")
