"""Tables of lobe readings that people bring: a row for each place of the wheel, a column for the lift, or one for each lobe."""

from collections.abc import Mapping
from pathlib import Path

import msgspec

from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.ids import content_id
from tenths.logbook.vet import vet
from tenths.services.commands import instrument_cards
from tenths.services.shop import Shop
from tenths.services.tables import Columns, Line, Table, read_table

HEADS: Mapping[str, tuple[str, ...]] = {
    "angle": ("degrees", "deg", "crank", "crank angle", "wheel"), "lift": ("dial", "reading", "value"),
    "lobe": ("station",), "cylinder": ("cyl", "cyl."), "valve": ("side",),
}


def import_lobes(shop: Shop, engine: str, path: Path, body: bodies.LobeRead) -> tuple[int, int, tuple[str, ...]]:
    """Takes a table of readings: every row, or none.

    Columns: angle and lift, with lobe, or cylinder and valve, where rows are of several; or angle and one column for each lobe
    with its address as the head, such as ``lobe.1.in``. A unit may stand in a head, as in ``lift (mm)``. The same file taken
    twice doubles nothing.

    Params:
        shop: the shop.
        engine: which engine.
        path: a CSV or XLSX.
        body: what holds for all rows; its station where no column says one.

    Returns:
        How many lobes and readings were taken, and remarks on how the file was read.

    Raises:
        BadInput: naming the row that cannot be taken and why.
    """
    build = shop.build(engine)
    known = [s.address for s in station_map(build.layout).values() if s.kind == "lobe"] if build.layout else []
    synonyms = {word: name for name, words in HEADS.items() for word in (name, *words)} | {address: address for address in known}
    table = read_table(path, Columns(synonyms, ("angle",), frozenset({"angle", "lift", *known})))
    rows = _rows(build, table, body, known)
    if not rows:
        raise BadInput(f"file {path}: no column holds lifts; one named lift, or one for each lobe with its address as head, is wanted")
    read = [msgspec.structs.replace(body, station=station, points=tuple(points)) for station, points in rows.items()]
    try:
        vet(build, read)
    except BadInput as error:
        raise BadInput(f"file {path}: nothing was taken. {error}") from None
    new = _entries(shop, engine, path, table, (*instrument_cards(shop, engine, body.instrument), *read))
    if new:
        shop.append_entries(engine, new)
    taken = [len(b.points) for b in read] if any(e.type == bodies.LobeRead.TYPE for e in new) else []
    return len(taken), sum(taken), table.remarks


def _rows(build: Build, table: Table, body: bodies.LobeRead, known: list[str]) -> dict[str, list[bodies.LobePoint]]:
    units = {head.name: head.unit for head in table.heads if head.name and head.unit}
    across = [head.name for head in table.heads if head.name in known]
    found: dict[str, list[bodies.LobePoint]] = {}
    for line in table.lines:
        if line.why:
            raise BadInput(f"row {line.number}: {line.why}")
        angle = line.cells.get("angle", "")
        if across:
            cells = {station: line.cells.get(station, "") for station in across}
        else:
            cells = {_station(build, line, body, known): line.cells.get("lift", "")} if line.cells.get("lift") else {}
        for station, lift in cells.items():
            if lift:
                unit = units.get(station if across else "lift", "")
                said = f"{lift} {unit}" if unit and lift[-1:].isdigit() else lift
                found.setdefault(station, []).append(bodies.LobePoint(angle=angle, lift=said))
    return found


def _station(build: Build, line: Line, body: bodies.LobeRead, known: list[str]) -> str:
    said = line.cells.get("lobe", "")
    if said.startswith("lobe."):
        return said
    _, _, rest = body.station.partition(".")
    cylinder, _, valve = rest.partition(".")
    label = line.cells.get("cylinder", "") or cylinder
    plain = (line.cells.get("valve", "") or said or valve).lower().strip()
    names = build.layout.valves if build.layout else ()
    valve = plain if plain in names else next((n for n in names if plain[:1] and n[0] == plain[0]), plain)
    station = f"lobe.{label}.{valve}"
    if station not in known:
        raise BadInput(f"row {line.number}: {station!r} is no lobe of this engine; there are {', '.join(known[:4])} and so on; name it in "
                       "a column lobe, or beside the file")
    return station


def _entries(shop: Shop, engine: str, path: Path, table: Table, what: tuple[bodies.Body, ...]) -> list[NewEntry]:
    """What was not taken from this file before, as entries."""
    now = utc_text(shop.clock())
    made = [NewEntry(id=content_id("lobes", engine, table.digest, f"{n} {body.TYPE}"), type=body.TYPE, schema=body.SCHEMA, at=now,
                     person=shop.person, device=f"file {path.name}"[:200], body=bodies.encode(body)) for n, body in enumerate(what)]
    return [entry for entry in made if shop.logbook.find(entry.id) is None]
