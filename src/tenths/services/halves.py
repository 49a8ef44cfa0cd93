"""The halves and boxes of shells in the house, as the log tells them: each half by its own wall where that was read."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from tenths.choose.shells import SCATTER, STANDARD, Box, Half, Side, Size, Stock, wall_of
from tenths.choose.words import listed
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import pattern_matches
from tenths.findings.resolve import Resolver, stated_estimate
from tenths.logbook.bodies import StockCounted
from tenths.logbook.build import Build, Part
from tenths.metrology.estimate import Estimate, combine, exact, single
from tenths.services.questions import system_of
from tenths.services.seats import seats_of

SIDES: tuple[Side, Side] = ("upper", "lower")
RELATIVE = exact(0.0)  # walls are taken relative to the standard half where no wall is known
WALL = "shell-wall"


@dataclass(frozen=True, slots=True)
class House:
    """What there is of one kind of shell.

    Attributes:
        kind: main or rod.
        sizes: in the house.
        stock: loose halves (those that are fitted among them) and sealed boxes.
        fitted: the half in each slot whose half has a name.
        walls: of the half in each slot where it was read [m].
        datum: wall of a standard half [m]; None where no wall is known, so that all are taken relative to it.
        entries: readings of walls that were used.
        notes: what is left out, and why.
    """

    kind: str
    sizes: tuple[Size, ...]
    stock: Stock
    fitted: dict[str, Half]
    walls: dict[str, Estimate]
    datum: Estimate | None
    entries: tuple[str, ...]
    notes: tuple[str, ...]

    def wall_in(self, station: str, side: Side) -> Estimate:
        """Wall of the half that is in [m]: as read, else what its size says, else that of a standard half."""
        slot = f"{station}.shell.{side}"
        if slot in self.walls:
            return self.walls[slot]
        half = self.fitted.get(slot)
        size = half.size if half else STANDARD
        return nominal(self.kind, size, self.datum, f"{station}:{side}")


def house_of(build: Build, resolver: Resolver, kind: str, addresses: Sequence[str]) -> House:
    """The halves and boxes of one kind, with the walls that were read.

    Args:
        build: the engine.
        resolver: looks readings up.
        kind: main or rod.
        addresses: the places of that kind.

    Returns:
        What there is. A set that was counted and from which halves are listed or fitted is open; the rest is sealed.
    """
    known = _known_sizes(build, kind)
    slots = {f"{s}.shell.{side}": build.part_in(f"{s}.shell.{side}") for s in addresses for side in SIDES}
    parts = {name: part for name, part in build.parts.items() if part.card.kind == f"{kind}-shell" and part.in_house}
    reader = _Walls(build, resolver)
    walls = {slot: wall for slot in slots if (wall := reader.at(slot, slots[slot])) is not None}
    where = {part: slot for slot, part in slots.items() if part}
    own = {name: walls.get(where[name]) if name in where else reader.at(f"part.{name}", name) for name in parts}
    datum = _datum(build, kind, [(own[n], known[p.card.size]) for n, p in parts.items() if p.card.size in known])
    halves = [_half(build, kind, name, known[part.card.size], own[name], datum, where.get(name, ""))
              for name, part in parts.items() if part.card.size in known]
    sealed = _sealed(build, kind, known, halves, datum, addresses)
    here = {half.size.label for half in halves} | {box.label for box in sealed}
    return House(kind, tuple(size for label, size in known.items() if label in here), Stock(tuple(halves), sealed),
                 {half.at: half for half in halves if half.at}, walls, datum, tuple(dict.fromkeys(reader.entries)),
                 tuple(_notes(parts, known, [s for s in walls if not slots[s]])))


def _known_sizes(build: Build, kind: str) -> dict[str, Size]:
    """Label to size, from what was counted and from halves listed with the change of their size."""
    said = {label: body.change for (stock_kind, label), (_, body) in build.stock.items() if stock_kind == f"{kind}-shell"}
    said = {h.size: h.change for h in build.halves.values() if h.kind == f"{kind}-shell" and h.change} | said
    unit = unit_for(Quantity.LENGTH, system_of(build))
    return {label: Size(label, parse(text, Quantity.LENGTH, default_unit=unit, field="change").si) for label, text in said.items()}


class _Walls:
    """Reads walls, and remembers what they rest on."""

    def __init__(self, build: Build, resolver: Resolver) -> None:
        self.build, self.resolver = build, resolver
        self.entries: list[str] = []

    def at(self, station: str, part: str) -> Estimate | None:
        """Wall of the half there [m], as read, else as its own card says; None where neither does."""
        found = self.resolver.places(station, WALL)
        if found.estimates and not found.stale:
            read = self.resolver.input("wall", station, WALL, (), None)
            self.entries += read.entries
            return read.estimate
        card = self.build.parts.get(part)
        stated = card.sizes.get(WALL) if card else None
        return stated_estimate(stated, station) if stated else None


def _datum(build: Build, kind: str, walls: Sequence[tuple[Estimate | None, Size]]) -> Estimate | None:
    """Wall of a standard half [m]: the mean of what the measured ones say of it, else the sheet's."""
    said = [combine((1.0, 1.0), (wall, exact(size.change / 2))) for wall, size in walls if wall is not None]
    if said:
        own = single(0.0, SCATTER / len(said) ** 0.5, f"datum:{kind}")
        return combine((*[1.0 / len(said)] * len(said), 1.0), (*said, own))
    slot = f"{kind}.1.shell.upper"
    stated = [s for s in build.sizes if s.feature.name == WALL and pattern_matches(s.station, slot)]
    return stated_estimate(stated[-1], f"{kind}.shell") if stated else None


def nominal(kind: str, size: Size, datum: Estimate | None, where: str = "") -> Estimate:
    """Wall of a half by what its box says [m]; its scatter is its own, told by where it is."""
    name = f"{kind}:{size.label}{':' + where if where else ''}"
    return wall_of(size, standard=datum or RELATIVE, name=name)


def _half(build: Build, kind: str, name: str, size: Size, wall: Estimate | None, datum: Estimate | None,
          slot: str) -> Half:
    card = build.halves.get(name)
    side: Literal["upper", "lower", "either"] = "either"
    if card is None and slot:  # listed without a side: it stays on the side where it is
        side = "upper" if slot.endswith("upper") else "lower"
    elif card is not None and card.side:
        side = "upper" if card.side == "upper" else "lower"
    return Half(name, kind, size, wall or nominal(kind, size, datum), side, bool(card and card.grooved),
                bool(card and card.flanged), card.box if card else "", at=slot)


def _sealed(build: Build, kind: str, known: dict[str, Size], halves: Sequence[Half], datum: Estimate | None,
            addresses: Sequence[str]) -> tuple[Box, ...]:
    """Sets that were counted, less those from which there are halves."""
    flanged = sum(seat.thrust for seats in seats_of(build, kind, addresses).values() for seat, _ in seats[:1])
    found: list[Box] = []
    for label, size in known.items():
        counted = build.stock.get((f"{kind}-shell", label))
        opened = {half.box for half in halves if half.size.label == label}
        closed = counted[1].sets - len(opened) if counted else 0
        if counted and closed > 0:
            wall = nominal(kind, size, datum)
            found.append(Box(label, content_of(counted[1], kind, size, wall, len(addresses), flanged), closed))
    return tuple(found)


def content_of(body: StockCounted, kind: str, size: Size, wall: Estimate, places: int, flanged: int,
             ) -> tuple[tuple[Half, int], ...]:
    """One half of each side for every place; flanged ones where places ask for them and the set has them."""
    with_flanges = flanged if body.flanged else 0
    rows: list[tuple[Half, int]] = []
    for side in SIDES:
        grooved = body.grooved in {side, "both"}
        for thrust, count in ((False, places - with_flanges), (True, with_flanges)):
            if count > 0:
                words = " ".join(filter(None, (size.label, "thrust" if thrust else "", side)))
                rows.append((Half(words, kind, size, wall, side, grooved, thrust, size.label), count))
    return tuple(rows)


def _notes(parts: dict[str, Part], known: dict[str, Size], unnamed: Sequence[str]) -> list[str]:
    said: list[str] = []
    lost = [name for name, part in parts.items() if part.card.size not in known and part.card.size]
    if lost:
        said.append(f"Left out, because their size is not counted in stock: {listed(lost)}.")
    if unnamed:
        where = listed(list(dict.fromkeys(slot.partition(".shell.")[0] for slot in unnamed)))
        said.append(f"The halves in {where} have no name in the log, so they are not counted among those in the house; list "
                    "and fit them to have them counted.")
    return said
