"""Which half goes where: from the log to the question, with each half by its own wall where that was read.

A place has room for two walls and the oil. Where its clearance was read with halves in it, the room is that clearance and
their walls; before that it is the housing less the journal, and crush is what the caps already read teach.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from tenths.choose.crush import SizeNeed, needs_in_words, sizes_still_needed
from tenths.choose.shells import STANDARD, Half, Place, Seat, Side, place_from_clearance, place_from_parts
from tenths.choose.what_if import ShellQuestion
from tenths.choose.words import System, listed
from tenths.engine.stations import stations
from tenths.findings.check import check
from tenths.findings.crush import Crush, crush_of
from tenths.findings.declare import address
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.findings.shell_rules import shell_rules
from tenths.logbook.build import Build
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, exact
from tenths.services.asked import Ask, Asked
from tenths.services.halves import House, house_of
from tenths.services.questions import system_of
from tenths.services.saddles import saddles
from tenths.services.seats import seats_of

HOLDS = (Verdict.FITS, Verdict.OUT, Verdict.TOO_CLOSE)
TITLES = {"main": "Shells for the mains", "rod": "Shells for the rods"}
SIDES: tuple[Side, Side] = ("upper", "lower")


@dataclass(frozen=True, slots=True)
class ShellsAsked:
    """The question of one kind of place, and what it was put together from.

    Attributes:
        kind: main or rod.
        question: places, stock and rules.
        unread: places whose caps have not been read with shells in.
        crush: of this kind of shell, from the caps that were.
        house: the halves and boxes.
        entries: of the log that it rests on.
        notes: what is left out, and why.
    """

    kind: str
    question: ShellQuestion
    unread: tuple[Place, ...]
    crush: Crush
    house: House
    entries: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def needs(self) -> tuple[SizeNeed, ...]:
        """The sizes that unread places can still need; empty before the first cap is read and after the last."""
        if not self.unread or len(self.unread) == len(self.question.places):
            return ()
        known = self.house.datum is not None
        crush = self.crush.learned.offset if known else exact(0.0)
        return sizes_still_needed(self.unread, crush, self.house.sizes, self.question.rules,
                                  standard=self.house.datum or exact(0.0))


def shells(kind: str) -> Ask:
    """The question which shell goes where, for mains or rods."""
    return lambda build: asked_shells(build, kind)


def asked_shells(build: Build, kind: str, units: str = "") -> Asked | None:
    """The question answered, in the engine's own units or those asked for; None where there is nothing to choose."""
    found = shell_question(build, kind, units)
    if found is None:
        return None
    answer = found.question.answer()
    needs = found.needs
    said = _in_words(found, needs, found.question.system) if needs else ()
    return Asked(f"{kind}-shells", TITLES[kind], answer, found.entries, (*found.notes, *said), needs,
                 drawing=saddles(found.question, answer))


def _in_words(found: ShellsAsked, needs: tuple[SizeNeed, ...], system: System) -> tuple[str, ...]:
    """What the caps that were read teach, and which sizes the others can still need."""
    said = list(needs_in_words(needs, found.crush.learned.offset, system))
    caps, left = found.crush.learned.readings, len(found.unread)
    lead = f"From {caps} cap{'s' if caps != 1 else ''} read, for the {left} not yet read: " if caps else ""
    return (f"{lead}{said[0][0].lower() if lead else said[0][0]}{said[0][1:]}", *said[1:])


def shell_question(build: Build, kind: str, units: str = "") -> ShellsAsked | None:
    """The question as the log leaves it; None without a layout, without shells in the house, or without a place."""
    if build.layout is None:
        return None
    addresses = [s.address for s in stations(build.layout) if s.kind == kind]
    resolver = Resolver(build, InstrumentBook(build))
    house = house_of(build, resolver, kind, addresses)
    if not house.sizes:
        return None
    work = _Places(build, resolver, kind, addresses, house)
    places = [p for station in addresses if (p := work.place(station)) is not None]
    if not places:
        return None
    kept = {half.id for place in places for side in SIDES if (half := place.seat(side).fitted) is not None}
    stock = replace(house.stock, halves=tuple(half for half in house.stock.halves if half.id not in kept))
    question = ShellQuestion(tuple(places), stock, shell_rules(build.house), system_of(build, units))
    notes = (*work.left_out(), *house.notes)
    entries = tuple(dict.fromkeys((*work.entries, *house.entries, *(work.crush.entries if work.unread else ()))))
    return ShellsAsked(kind, question, tuple(work.unread), work.crush, house, entries, notes)


class _Places:
    """Places of one kind as they are read; remembers which were left out, and what they rest on."""

    def __init__(self, build: Build, resolver: Resolver, kind: str, addresses: list[str], house: House) -> None:
        assert build.layout is not None  # noqa: S101 - the caller has looked
        self.layout, self.resolver, self.kind, self.house = build.layout, resolver, kind, house
        self.names = (f"{kind}-oil-clearance", f"{kind}-oil-clearance-predicted")
        self.found = {(f.characteristic.name, f.station): f for f in check(build, self.names)}
        self.crush = crush_of(resolver, kind, addresses)
        self.seats = seats_of(build, kind, addresses)
        self.unread: list[Place] = []
        self.entries: list[str] = []
        self.missing: dict[str, list[str]] = {}
        self.supposed: list[str] = []

    def place(self, station: str) -> Place | None:
        """A place with its room, its limits and what its halves must be; None where too little is known."""
        window = self.found[self.names[0], station].limits
        if window.lower is None or window.upper is None:
            self.missing.setdefault("too few limits: a smallest and a largest clearance are needed", []).append(station)
            return None
        place = self._read(station) or self._from_parts(station) or self._from_walls_in_it(station)
        if place is None:
            self.missing.setdefault("the clearance is neither read nor can it be predicted", []).append(station)
        return place

    def left_out(self) -> Iterable[str]:
        """Which places are left out, and why; and where halves are supposed to be standard ones."""
        for why, where in self.missing.items():
            yield f"{listed(where)} {'is' if len(where) == 1 else 'are'} left out: {why}."
        if self.supposed:
            yield (f"{listed(self.supposed)}: read with halves that have no name and no wall in the log; they are taken as "
                   "standard ones.")

    def _window(self, station: str) -> tuple[float, float, float]:
        """Smallest, largest and wanted clearance [m]."""
        limits = self.found[self.names[0], station].limits
        lower, upper = limits.lower or 0.0, limits.upper or 0.0
        return lower, upper, (lower + upper) / 2 if limits.target is None else limits.target

    def _seats(self, station: str) -> tuple[Seat, Seat]:
        upper, lower = (replace(seat, fitted=self._fitted(station, side) if kept else None)
                        for side, (seat, kept) in zip(SIDES, self.seats[station], strict=True))
        return upper, lower

    def _with_halves_in(self, station: str, clearance: Estimate) -> Place:
        """A place whose clearance is known with the halves that are in; crush is in it."""
        slots = [f"{station}.shell.{side}" for side in SIDES]
        if any(slot not in self.house.walls and slot not in self.house.fitted for slot in slots):
            self.supposed.append(station)
        walls = [self.house.wall_in(station, side) for side in SIDES]
        (lower, upper, target), (up, down) = self._window(station), self._seats(station)
        return place_from_clearance(station, self.kind, clearance=clearance, walls=walls, target=target, lower=lower,
                                    upper=upper, upper_seat=up, lower_seat=down)

    def _fitted(self, station: str, side: Side) -> Half:
        """The half that is in, whether it has a name or not."""
        return self.house.fitted.get(f"{station}.shell.{side}") or Half(
            "as it is", self.kind, STANDARD, self.house.wall_in(station, side), side)

    def _holds(self, name: str, station: str) -> Finding | None:
        found = self.found.get((name, station))
        return found if found is not None and found.verdict in HOLDS else None

    def _read(self, station: str) -> Place | None:
        """The clearance was read with halves in it; crush is in that reading."""
        best = self._holds(self.names[0], station)
        if best is None or best.estimate is None:
            return None
        self.entries += best.entries
        return self._with_halves_in(station, best.estimate)

    def _from_parts(self, station: str) -> Place | None:
        """Housing and journal are known, and how thick the halves are."""
        journal_at = address("pin.{pin}" if self.kind == "rod" else "{s}", self.layout, station)
        inputs = (self.resolver.input("housing", station, "housing-bore", ("B",), None),
                  self.resolver.input("journal", journal_at, "journal", (), None))
        housing, journal = (i.estimate for i in inputs)
        if self.house.datum is None or housing is None or journal is None or not _usable(inputs):
            return None
        self.entries += [e for i in inputs for e in i.entries]
        (lower, upper, target), (up, down) = self._window(station), self._seats(station)
        place = place_from_parts(station, self.kind, housing=housing, journal=journal, crush=self.crush.learned.at(station),
                                 target=target, lower=lower, upper=upper, upper_seat=up, lower_seat=down)
        self.unread.append(place)
        return place

    def _from_walls_in_it(self, station: str) -> Place | None:
        """The clearance predicted from what the sheet says of walls; crush is in the prediction."""
        best = self._holds(self.names[1], station)
        if best is None or best.estimate is None:
            return None
        self.entries += best.entries
        place = self._with_halves_in(station, best.estimate)
        self.unread.append(place)
        return place


def _usable(inputs: Iterable[Input]) -> bool:
    rows = list(inputs)
    return not any(i.stale for i in rows) and any(i.origin == "read" for i in rows)
