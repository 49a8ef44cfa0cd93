"""The Build: what the logbook says of one engine, as the fold of its entries leaves it."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from tenths.engine.features import Feature
from tenths.engine.layout import Layout
from tenths.engine.quantity import Typed
from tenths.engine.stations import pattern_matches
from tenths.logbook import bodies
from tenths.logbook.body import Body
from tenths.logbook.calibration import Certificate, TemperatureNote
from tenths.logbook.cams import CamLog
from tenths.logbook.flows import FlowRun
from tenths.logbook.joints import Drawn, Joint, Tick
from tenths.logbook.marks import Mark
from tenths.logbook.studies import Accepted, Study

__all__ = ["Build", "Machining", "Mark", "Part", "Reading", "Setting", "SlotHistory", "StatedSize"]

K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading that counts: its value in SI, with what it was taken by and against."""

    mark: Mark
    station: str
    feature: Feature
    place: str
    typed: Typed
    value: float
    instrument: str
    setting: "Setting | None"
    temperature: float | None
    note: str


@dataclass(frozen=True, slots=True)
class Setting:
    """An instrument set to a size [m] from a master."""

    mark: Mark
    instrument: str
    master: str
    size: float | None


@dataclass(frozen=True, slots=True)
class StatedSize:
    """A size from a sheet or a part's own card: value in SI, half-width tolerance in SI, source."""

    mark: Mark
    station: str
    feature: Feature
    typed: Typed
    value: float
    tolerance: float
    source: str


@dataclass(slots=True)
class Part:
    """A part, its card, its stated sizes and whether it is in the house."""

    mark: Mark
    card: bodies.PartListed
    sizes: dict[str, StatedSize] = field(default_factory=dict[str, StatedSize])
    in_house: bool = True


@dataclass(frozen=True, slots=True)
class Machining:
    """An operation that ended readings."""

    mark: Mark
    slot: str
    operation: str
    features: frozenset[str]
    stations: tuple[str, ...]

    def ends(self, reading: Reading) -> bool:
        """Whether the reading is of what was machined, wherever it stands in the log."""
        if self.features and reading.feature.name not in self.features:
            return False
        return not self.stations or any(
            pattern_matches(s, reading.station) or reading.station.startswith(s + ".") for s in self.stations)


@dataclass(slots=True)
class SlotHistory:
    """Which part was in a slot from which position on."""

    positions: list[int] = field(default_factory=list[int])
    parts: list[str] = field(default_factory=list[str])
    marks: list[Mark] = field(default_factory=list[Mark])

    def at(self, position: int) -> str:
        """The part in the slot at that position of the log; empty text when none was named."""
        place = bisect_right(self.positions, position)
        return self.parts[place - 1] if place else ""


@dataclass(slots=True)
class Build:
    """One engine as its logbook leaves it. Only the fold writes to it."""

    stream: str
    position: int = 0
    opened: Mark | None = None
    name: str = ""
    customer: str = ""
    purpose: str = ""
    use: str = "street"
    fuel: str = ""
    units: str = "inch"
    notes: str = ""
    layout: Layout | None = None
    house: dict[str, Any] = field(default_factory=dict[str, Any])
    house_text: str = ""
    house_mark: Mark | None = None
    sizes: list[StatedSize] = field(default_factory=list[StatedSize])
    limits: list[tuple[Mark, bodies.LimitStated]] = field(default_factory=list[tuple[Mark, bodies.LimitStated]])
    instruments: dict[str, tuple[Mark, bodies.InstrumentListed]] = field(
        default_factory=dict[str, tuple[Mark, bodies.InstrumentListed]])
    certificates: dict[str, list[Certificate]] = field(default_factory=dict[str, list[Certificate]])  # by date
    temperatures: list[TemperatureNote] = field(default_factory=list[TemperatureNote])
    settings: dict[str, Setting] = field(default_factory=dict[str, Setting])
    last_setting: dict[str, Setting] = field(default_factory=dict[str, Setting])
    parts: dict[str, Part] = field(default_factory=dict[str, Part])
    slots: dict[str, SlotHistory] = field(default_factory=dict[str, SlotHistory])
    machining: dict[str, list[Machining]] = field(default_factory=dict[str, list[Machining]])
    stock: dict[tuple[str, str], tuple[Mark, bodies.StockCounted]] = field(
        default_factory=dict[tuple[str, str], tuple[Mark, bodies.StockCounted]])
    halves: dict[str, bodies.HalfListed] = field(default_factory=dict[str, bodies.HalfListed])
    seats: list[bodies.SeatStated] = field(default_factory=list[bodies.SeatStated])
    readings: dict[tuple[str, str], list[Reading]] = field(default_factory=dict[tuple[str, str], list[Reading]])
    notes_at: dict[str, list[tuple[Mark, str]]] = field(default_factory=dict[str, list[tuple[Mark, str]]])
    photos: dict[str, list[tuple[Mark, bodies.PhotoTaken]]] = field(
        default_factory=dict[str, list[tuple[Mark, bodies.PhotoTaken]]])
    choices: list[tuple[Mark, bodies.ChoiceAccepted]] = field(
        default_factory=list[tuple[Mark, bodies.ChoiceAccepted]])
    asked: dict[str, dict[str, str]] = field(default_factory=dict[str, dict[str, str]])  # question: setting: text
    joints: dict[str, Joint] = field(default_factory=dict[str, Joint])
    ticks: list[Tick] = field(default_factory=list[Tick])
    outlines: dict[str, Drawn] = field(default_factory=dict[str, Drawn])
    variants: dict[str, bodies.VariantKept] = field(default_factory=dict[str, bodies.VariantKept])
    cams: CamLog = field(default_factory=CamLog)  # zeros of the wheel, readings of lobes, the maker's card
    flows: dict[str, FlowRun] = field(default_factory=dict[str, FlowRun])
    studies: dict[str, Study] = field(default_factory=dict[str, Study])
    studied: dict[tuple[str, str], Accepted] = field(default_factory=dict[tuple[str, str], Accepted])  # by gauge, kind
    work: list[tuple[Mark, Body]] = field(default_factory=list[tuple[Mark, Body]])  # about the work, in order of the log
    struck: dict[str, tuple[Mark, str]] = field(default_factory=dict[str, tuple[Mark, str]])
    problems: list[tuple[Mark, str]] = field(default_factory=list[tuple[Mark, str]])

    def copy(self) -> "Build":
        """A Build of its own that says the same, for the fold to write to while others read this one."""
        return replace(
            self, house=dict(self.house), sizes=list(self.sizes), limits=list(self.limits),
            instruments=dict(self.instruments), certificates=_lists(self.certificates),
            temperatures=list(self.temperatures), settings=dict(self.settings), last_setting=dict(self.last_setting),
            parts={name: replace(part, sizes=dict(part.sizes)) for name, part in self.parts.items()},
            slots={slot: SlotHistory(list(h.positions), list(h.parts), list(h.marks)) for slot, h in self.slots.items()},
            machining=_lists(self.machining), stock=dict(self.stock), halves=dict(self.halves),
            seats=list(self.seats), readings=_lists(self.readings),
            notes_at=_lists(self.notes_at), photos=_lists(self.photos), choices=list(self.choices),
            asked={question: dict(said) for question, said in self.asked.items()},
            work=list(self.work), joints=dict(self.joints), ticks=list(self.ticks), outlines=dict(self.outlines),
            variants=dict(self.variants),
            flows=dict(self.flows), studies=dict(self.studies), studied=dict(self.studied), struck=dict(self.struck),
            problems=list(self.problems))

    def part_in(self, slot: str) -> str:
        """The part now in a slot; empty text when none was named."""
        history = self.slots.get(slot)
        return history.parts[-1] if history and history.parts else ""

    def all_readings(self) -> list[Reading]:
        """Every reading that counts, in the order of the log."""
        return sorted((r for rows in self.readings.values() for r in rows), key=lambda r: r.mark.position)

    def stale_because(self, reading: Reading) -> str:
        """Why the reading no longer holds, in words; empty text when it holds."""
        layout = self.layout
        if layout is None:
            return ""
        position = reading.mark.position
        if reading.station.startswith("part."):
            slots: Iterable[str] = (reading.station,)
        else:
            slots = reading.feature.slots(layout, reading.station)
        for slot in slots:
            history = self.slots.get(slot)
            if history and history.at(position) != history.parts[-1]:
                then, now = history.at(position) or "nothing named", history.parts[-1] or "nothing"
                return f"{slot} held {then} when this was read, now {now}"
            for operation in self.machining.get(slot, ()):
                if operation.mark.position > position and operation.ends(reading):
                    return f"{slot} was {operation.operation} after this was read"
        return ""

    def stated(self, station: str, feature: str) -> StatedSize | None:
        """The size stated for a station: the fitted part's own card first, then the sheet (closest, then latest)."""
        part = self.parts.get(self.part_in(station)) or self.parts.get(station.removeprefix("part."))
        if part and feature in part.sizes:
            return part.sizes[feature]
        found = [s for s in self.sizes if s.feature.name == feature and pattern_matches(s.station, station)]
        return min(found, key=lambda s: (s.station.count("*"), -s.mark.position)) if found else None


def _lists(rows: dict[K, list[V]]) -> dict[K, list[V]]:
    return {key: list(row) for key, row in rows.items()}
