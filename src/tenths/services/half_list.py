"""Halves out of an opened box: listed one by one, each with its wall as it was read."""

from dataclasses import dataclass
from itertools import count

from tenths.engine.quantity import Quantity, unit_for, write
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.services.commands import instrument_cards
from tenths.services.halves import house_of
from tenths.services.questions import Answer, system_of, telling_places
from tenths.services.shop import Shop


@dataclass(frozen=True, slots=True)
class Halves:
    """Several halves of one size and side, with the wall of each as typed; an empty text where it was not read."""

    kind: str
    size: str
    walls: tuple[str, ...]
    side: str = ""
    grooved: bool = False
    flanged: bool = False
    box: str = ""
    change: str = ""
    instrument: str = ""


def list_halves(shop: Shop, engine: str, halves: Halves) -> list[Answer]:
    """Lists the halves, each under a name of its own, with the reading of its wall, in one commit.

    Args:
        shop: the shop.
        engine: its short name.
        halves: as read.

    Returns:
        Name and wall of each.

    Raises:
        BadInput: when one of them cannot be taken; then none is.
    """
    if not halves.walls:
        raise BadInput("walls: give the wall of each half")
    build = shop.build(engine)
    names = _names(build, halves)
    listed = [bodies.HalfListed(part=name, kind=halves.kind, size=halves.size, side=halves.side, grooved=halves.grooved,
                                flanged=halves.flanged, box=halves.box, change=halves.change) for name in names]
    read = [bodies.ReadingTaken(station=f"part.{name}", feature="shell-wall", text=wall, place="crown",
                                instrument=halves.instrument)
            for name, wall in zip(names, halves.walls, strict=True) if wall.strip()]
    shop.append(engine, *instrument_cards(shop, engine, halves.instrument), *listed, *read)
    return [{"half": name, "wall": wall} for name, wall in zip(names, halves.walls, strict=True)]


def _names(build: Build, halves: Halves) -> list[str]:
    """Names not yet given: kind, size and side, and a number."""
    stem = "-".join(filter(None, (halves.kind.removesuffix("-shell"), halves.size, halves.side[:1])))
    numbers = (f"{stem}-{number}" for number in count(1))
    free = (name for name in numbers if name not in build.parts)
    return [next(free) for _ in halves.walls]


def half_rows(shop: Shop, engine: str) -> list[Answer]:
    """Every half in the house with its wall: read, or by its size."""
    build = shop.build(engine)
    unit = unit_for(Quantity.LENGTH, system_of(build))
    rows: list[Answer] = []
    for kind in ("main", "rod"):
        if build.layout is None:
            continue
        addresses = [s.address for s in stations(build.layout) if s.kind == kind]
        house = house_of(build, Resolver(build, InstrumentBook(build)), kind, addresses)
        for half in house.stock.halves:
            measured = house.datum is not None and not any(c.startswith("wall:") for c in half.wall.parts)
            wall = write(half.wall.value, Quantity.LENGTH, unit=unit, decimals=telling_places(2 * half.wall.u, Quantity.LENGTH, unit))
            rows.append({"half": half.id, "kind": f"{kind}-shell", "size": half.size.label, "side": half.side, "box": half.box,
                         "grooved": half.grooved, "flanged": half.thrust, "measured": measured,
                         "wall": wall if measured else "by its size", "where": half.at or "loose"})
    return rows
