"""Tables of the flow bench that people bring: a row for each lift, or a column for each port."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import msgspec

from tenths.engine.stations import station_map
from tenths.errors import BadInput, TenthsError
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.ids import content_id
from tenths.logbook.vet import vet
from tenths.services.commands import instrument_cards
from tenths.services.head_bench import run_name
from tenths.services.shop import Shop
from tenths.services.tables import Columns, Line, Table, read_table

FLOW_UNITS = ("cfm", "l/s", "l/min", "m3/h")  # heads that are a unit say both
HEADS: Mapping[str, tuple[str, ...]] = {  # column: other heads that mean it, in small letters
    "lift": ("valve lift",), "flow": ("reading", "value", "shown", *FLOW_UNITS), "valve": ("station", "port"),
    "cylinder": ("cyl", "cyl."), "way": ("direction",), "pressure": ("test pressure", "drop", "depression"),
    "leak": ("leakage",), "temperature": ("air temperature", "air"), "barometer": ("air pressure",), "run": ("name",),
    "note": ("notes", "remark"),
}
COLUMNS = Columns({word: name for name, words in HEADS.items() for word in (name, *words)}, ("lift", "flow"), frozenset({"lift", "flow"}))
OF_RUN = ("pressure", "leak", "temperature", "barometer")
MOST_SAID = 12  # rows that a refusal names


@dataclass(slots=True)
class _Run:
    """A run of the file: what its card says and its rows."""

    card: dict[str, str]
    rows: list[tuple[Line, bodies.FlowRead]] = field(default_factory=list[tuple[Line, bodies.FlowRead]])


def import_flow(shop: Shop, engine: str, path: Path, card: bodies.FlowBegun) -> tuple[int, int, tuple[str, ...]]:
    """Takes a table of the flow bench: every row, or none.

    Columns, in any order: lift, flow, and where they are known cylinder, valve (in, ex, or a whole station), way, pressure,
    leak, temperature, barometer, run, note; a unit may stand in a head, as in ``lift (mm)``. What no column says is that of
    the card. Rows of one valve and way, or of one run where runs are named, are one run. The same file taken twice doubles
    nothing.

    Params:
        shop: the shop.
        engine: which engine.
        path: a CSV or XLSX.
        card: what holds for all rows; an empty text says nothing.

    Returns:
        How many runs and lifts were taken, and remarks on how the file was read.

    Raises:
        BadInput: naming the rows that cannot be taken and why.
    """
    build = shop.build(engine)
    table = read_table(path, COLUMNS)
    runs = _runs(build, table, card)
    begun = {name: _begun(card, name, run) for name, run in runs.items()}
    _look(shop, engine, path, begun, runs)
    cards = instrument_cards(shop, engine, card.instrument)
    numbered: list[tuple[str, bodies.Body]] = [(f"card {n}", body) for n, body in enumerate(cards)]
    for name, run in runs.items():
        numbered += [(f"run at row {run.rows[0][0].number}", begun[name]), *((f"row {line.number}", row) for line, row in run.rows)]
    now = utc_text(shop.clock())
    new = [NewEntry(id=content_id("flow", engine, table.digest, key), type=body.TYPE, schema=body.SCHEMA, at=now, person=shop.person,
                    device=f"file {path.name}"[:200], body=bodies.encode(body)) for key, body in numbered]
    fresh = [entry for entry in new if shop.logbook.find(entry.id) is None]
    if fresh:
        shop.append_entries(engine, fresh)
    kinds = [entry.type for entry in fresh]
    return kinds.count(bodies.FlowBegun.TYPE), kinds.count(bodies.FlowRead.TYPE), table.remarks


def _runs(build: Build, table: Table, card: bodies.FlowBegun) -> dict[str, _Run]:
    units = {head.name: head.unit or (head.text if head.text.lower() in FLOW_UNITS else "") for head in table.heads if head.name}
    found: dict[str, _Run] = {}
    keys: dict[tuple[str, str, str], str] = {}
    for line in table.lines:
        if line.why:
            raise BadInput(f"row {line.number}: {line.why}")
        station = _station(build, line, card)
        way = line.cells.get("way", "") or card.way
        key = (station, way, line.cells.get("run", ""))
        if key not in keys:
            keys[key] = _name(build, found, *key)
            found[keys[key]] = _Run({"station": station, "way": way} | {
                name: _with_unit(line, name, units) for name in OF_RUN if line.cells.get(name)})
        name = keys[key]
        found[name].rows.append((line, bodies.FlowRead(
            run=name, lift=_with_unit(line, "lift", units), flow=_with_unit(line, "flow", units), note=line.cells.get("note", ""))))
    return found


def _name(build: Build, found: Mapping[str, _Run], station: str, way: str, said: str) -> str:
    name = "-".join(said.lower().split()) or run_name(build, station, way)
    while name in found:
        name += "-again"
    return name


def _station(build: Build, line: Line, card: bodies.FlowBegun) -> str:
    """The valve of a row: a whole station, or cylinder and valve, each of the row or of the card."""
    said = line.cells.get("valve", "")
    if said.startswith("valve."):
        return said
    _, _, rest = card.station.partition(".")
    cylinder, _, valve = rest.partition(".")
    parts = (line.cells.get("cylinder", "") or cylinder, _valve(build, said) or valve)
    station = f"valve.{parts[0]}.{parts[1]}"
    if not all(parts) or build.layout is None or station not in station_map(build.layout):
        raise BadInput(f"row {line.number}: cylinder {parts[0]!r}, valve {parts[1]!r} is no valve of this engine; name both in columns, "
                       "or give --valve such as valve.1.in")
    return station


def _valve(build: Build, said: str) -> str:
    """The valve's own name for what people write: in, intake, inlet, I; ex, exhaust, E."""
    known = build.layout.valves if build.layout else ()
    plain = said.lower().strip()
    if plain in known or not plain:
        return plain
    kind = {"i": "in", "e": "ex"}.get(plain[0], "")
    number = "".join(c for c in plain if c.isdigit())
    return next((v for v in known if v == f"{kind}{number}"), plain)


def _with_unit(line: Line, name: str, units: Mapping[str, str]) -> str:
    text, unit = line.cells.get(name, ""), units.get(name, "")
    return f"{text} {unit}" if unit and text[-1:].isdigit() else text


def _begun(card: bodies.FlowBegun, name: str, run: _Run) -> bodies.FlowBegun:
    return msgspec.structs.replace(card, run=name, **run.card)


def _look(shop: Shop, engine: str, path: Path, begun: Mapping[str, bodies.FlowBegun], runs: Mapping[str, _Run]) -> None:
    """Raises BadInput naming each row that cannot be taken."""
    build, wrong = shop.build(engine), list[str]()
    for name, run in runs.items():
        first = run.rows[0][0].number
        try:
            vet(build, [begun[name]])
        except TenthsError as error:
            wrong.append(f"row {first}: {error}")
            continue
        wrong += _wrong_rows(build, begun[name], run)
    if wrong:
        more = f"; and {len(wrong) - MOST_SAID} more" if len(wrong) > MOST_SAID else ""
        raise BadInput(f"file {path}: nothing was taken. {'; '.join(wrong[:MOST_SAID])}{more}")


def _wrong_rows(build: Build, begun: bodies.FlowBegun, run: _Run) -> Iterator[str]:
    for line, row in run.rows:
        try:
            vet(build, [begun, row])
        except TenthsError as error:
            yield f"row {line.number}: {error}"
