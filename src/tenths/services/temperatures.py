"""The shop's temperature log: notes of the air, the parts and the places of an engine; typed or from a table."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from tenths.engine.quantity import Quantity, from_si, write
from tenths.errors import BadInput
from tenths.findings.instruments import InstrumentBook
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.calibration import SHOP_AIR, TemperatureNote, clock_text, moment_of
from tenths.logbook.entry import Entry
from tenths.metrology.budget import Planned
from tenths.services.questions import Answer
from tenths.services.shop import SHOP, Shop
from tenths.services.tables import Columns, Line, table_of

HEADS: Mapping[str, tuple[str, ...]] = {  # column: other heads that mean it, in small letters
    "when": ("time", "at", "date", "date time", "timestamp"), "temperature": ("temp", "value", "reading", "celsius", "fahrenheit"),
    "where": ("place", "what", "part"), "thermometer": ("instrument", "with"), "note": ("notes", "remark"),
}
COLUMNS = Columns({word: name for name, words in HEADS.items() for word in (name, *words)}, ("when", "temperature"),
                  frozenset({"temperature"}))
UNITS = {"inch": "°F", "metric": "°C"}


def note_temperature(shop: Shop, notes: Sequence[bodies.TemperatureNoted], engine: str = "") -> list[Entry]:
    """Notes temperatures, all or none: of the shop's air without an engine, else of that engine's parts and places.

    Raises:
        BadInput: for a place that is not there, or a temperature or time that cannot be read.
    """
    known = {(n.body.where, round(n.when), n.body.text) for n in shop.build(engine or SHOP).temperatures}
    fresh = [n for n in notes if not n.when or (n.where, round(moment_of(n.when, "when")), n.text) not in known]
    return shop.append(engine or SHOP, *fresh) if fresh else []


def notes_of_table(content: str | bytes, *, where: str = SHOP_AIR, name: str = "temperatures.csv") -> list[bodies.TemperatureNoted]:
    """Notes from a table, as loggers write them: when, temperature, and where they are known where, thermometer, note.

    Params:
        content: a CSV, or an XLSX by the ending of its name.
        where: for rows that name no place.
        name: of the file.

    Raises:
        BadInput: naming the line that cannot be read.
    """
    table = table_of(name, content.encode() if isinstance(content, str) else content, COLUMNS)
    unit = next((head.unit or _unit_of(head.text) for head in table.heads if head.name == "temperature"), "")
    return [_note(name, line, where, unit) for line in table.lines]


def _unit_of(head: str) -> str:
    return {"celsius": "°C", "fahrenheit": "°F"}.get(head.strip().lower(), "")


def _note(name: str, line: Line, where: str, unit: str) -> bodies.TemperatureNoted:
    if line.why:
        raise BadInput(f"{name}, line {line.number}: {line.why}")
    cells = line.cells
    when, text = cells.get("when", "").replace("/", "-"), cells.get("temperature", "")
    if not when or not text:
        raise BadInput(f"{name}, line {line.number}: when and temperature are needed")
    try:
        moment = clock_text(moment_of(when, "when"))
    except BadInput as error:
        raise BadInput(f"{name}, line {line.number}: {error}") from None
    typed = f"{text} {unit}" if unit and text[-1].isdigit() else text
    return bodies.TemperatureNoted(where=cells.get("where") or where, text=typed, when=moment,
                                   thermometer=cells.get("thermometer", ""), note=cells.get("note", ""))


def temperature_log(shop: Shop, engine: str = "", units: str = "") -> list[Answer]:
    """The notes of the shop, or of an engine with those of the shop's air that went along, the latest first."""
    build = shop.build(engine or SHOP)
    system = "metric" if (units or build.units) == "metric" else "inch"
    rows = [note_answer(note, system) for note in build.temperatures]
    return sorted(rows, key=lambda row: row["when"], reverse=True)


def note_answer(note: TemperatureNote, system: str) -> Answer:
    """A note as JSON."""
    unit = UNITS[system]
    return {"where": note.body.where, "text": note.body.text, "celsius": round(note.kelvin - 273.15, 2),
            "value": round(from_si(note.kelvin, Quantity.TEMPERATURE, unit), 2), "unit": unit,
            "written": write(note.kelvin, Quantity.TEMPERATURE, unit=unit, decimals=1), "when": clock_text(note.when),
            "thermometer": note.body.thermometer, "note": note.body.note, "person": note.mark.person, "entry": note.mark.entry,
            "position": note.mark.position}


def effect(shop: Shop, engine: str, units: str = "") -> list[Answer]:
    """What the temperatures did to readings: by place of the log, how many readings, and by how much at most."""
    build = shop.build(engine)
    book = InstrumentBook(build)
    rows: dict[str, Answer] = {}
    system = "metric" if (units or build.units) == "metric" else "inch"
    unit = "µm" if system == "metric" else "tenths"
    for reading in build.all_readings():
        found = book.warmth(reading)
        if found.temperature is None or not found.material:
            continue
        plan = book.plan(reading)
        moved = plan.estimate().value - _unmoved(plan)
        key = f"{found.temperature.id}/{found.material}"
        row = rows.setdefault(key, {"words": found.temperature.id, "celsius": round(found.temperature.celsius, 2),
                                    "gauge": found.temperature.gauge, "material": found.material, "origin": found.origin,
                                    "readings": 0, "most": 0.0, "unit": unit})
        row["readings"] += 1
        row["most"] = max(row["most"], moved, key=abs)
    for row in rows.values():
        row["most"] = round(from_si(row["most"], Quantity.LENGTH, unit, difference=True), 2)
    return list(rows.values())


def _unmoved(plan: Planned) -> float:
    return replace(plan, temperature=None).estimate().value


def places(build: Build) -> list[str]:
    """Where a temperature can be noted: the shop's air, the slots that parts are in, the loose parts."""
    return [SHOP_AIR, *dict.fromkeys(["block", "crank", *(slot for slot in build.slots if build.part_in(slot) and "." not in slot)])]


def now_text(shop: Shop) -> str:
    """The time now as a form shows it, UTC to the minute."""
    return datetime.fromtimestamp(shop.clock().timestamp(), UTC).strftime("%Y-%m-%dT%H:%M")
