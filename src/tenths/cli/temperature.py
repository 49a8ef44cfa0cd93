"""`tenths temperature`: the shop's temperature log."""

from pathlib import Path

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop


@click.group("temperature")
def temperature_command() -> None:
    r"""Note how warm the shop, a part or a place is; readings without a temperature take the nearest note.

    \b
    Examples:
      tenths temperature note "68 °F"
      tenths temperature note "80 °F" --engine marigold --where block
      tenths temperature log kestrel
    """


@temperature_command.command("note")
@click.argument("value")
@click.option("--where", default="shop air", show_default=True, help="The shop air, or a slot, station or part.ID of the engine.")
@click.option("--engine", default="", help="Whose parts it is about; not needed for the shop air.")
@click.option("--when", default="", help="When it was read, as 2026-03-02T08:15 (UTC); else now.")
@click.option("--thermometer", default="", help="What it was read with.")
@click.option("--note", default="", help="Anything else.")
@with_shop
def note(shop: Shop, value: str, where: str, engine: str, when: str, thermometer: str, note: str) -> None:
    r"""Note a temperature.

    \b
    Examples:
      tenths temperature note "20.5 °C"
      tenths temperature note "27 °C" --engine kestrel --where block
    """
    from tenths.logbook.bodies import TemperatureNoted  # noqa: PLC0415 - only here
    from tenths.services.temperatures import note_temperature  # noqa: PLC0415 - only here

    taken = note_temperature(shop, [TemperatureNoted(where=where, text=value, when=when, thermometer=thermometer, note=note)], engine)
    say(f"{where}: {value} noted" if taken else f"{where}: that is noted already")


@temperature_command.command("import")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--where", default="shop air", show_default=True, help="For rows that name no place.")
@click.option("--engine", default="", help="Whose parts it is about; not needed for the shop air.")
@with_shop
def import_(shop: Shop, path: Path, where: str, engine: str) -> None:
    r"""Take the file of a logger: a CSV or XLSX with when, temperature, and where they are known where, thermometer.

    Times without an offset are UTC. What is noted already is not doubled.

    \b
    Example:
      tenths temperature import logger.csv
    """
    from tenths.services.temperatures import note_temperature, notes_of_table  # noqa: PLC0415 - only here

    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadInput(f"file {path}: cannot be read: {error.strerror}") from None
    rows = notes_of_table(content, where=where, name=path.name)
    taken = note_temperature(shop, rows, engine)
    say(f"{len(taken)} of {len(rows)} noted" + ("" if len(taken) == len(rows) else "; the others were there already"))


@temperature_command.command("log")
@click.argument("engine", required=False, default="")
@in_units
@as_json
@with_shop
def log(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The notes of the shop, or of an engine and what they did to its readings.

    \b
    Examples:
      tenths temperature log
      tenths temperature log kestrel
    """
    from tenths.services.temperatures import effect, temperature_log  # noqa: PLC0415 - only here

    rows = temperature_log(shop, engine, units or "")
    done = effect(shop, engine, units or "") if engine else []
    if json_:
        put_json({"notes": rows, "effect": done})
        return
    if not rows:
        say("No temperature is noted yet.")
    table([(r["when"][:16], r["where"], r["written"], r["person"], r["note"]) for r in rows],
          heads=("when", "where", "temperature", "by", "note") if rows else (), right=(2,))
    if done:
        heading("Brought to 20 °C")
    for row in done:
        gauge = f", gauge at {row['gauge']:.1f} °C" if row["gauge"] is not None else ""
        wrapped(f"{row['readings']} readings of {row['material']}: {row['words']}, {row['celsius']:.1f} °C{gauge}; at most "
                f"{row['most']:+g} {row['unit']}", "  ", "    ")
