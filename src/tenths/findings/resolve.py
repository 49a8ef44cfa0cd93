"""From readings and stated sizes to the inputs of a formula, each with its uncertainty by cause."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from math import sqrt

from tenths.engine.features import feature_at, kinds_of
from tenths.findings.instruments import InstrumentBook, InUse
from tenths.logbook.build import Build, Reading, StatedSize
from tenths.metrology.estimate import Estimate, exact, mean, single


@dataclass(frozen=True, slots=True)
class Input:
    """One input as used: where it came from (read, stated, taken or missing), its estimate, entries, and warnings."""

    name: str
    station: str
    feature: str
    origin: str
    estimate: Estimate | None = None
    entries: tuple[str, ...] = ()
    stale: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    instruments: tuple[InUse, ...] = ()


@dataclass(slots=True)
class Resolver:
    """Looks inputs up in a Build; remembers what it has already worked out, for the length of one check."""

    build: Build
    book: InstrumentBook
    _places: dict[tuple[str, str], "Places"] = field(default_factory=dict[tuple[str, str], "Places"])
    _inputs: dict[tuple[str, str, tuple[str, ...]], Input] = field(
        default_factory=dict[tuple[str, str, tuple[str, ...]], Input])
    learned: dict[tuple[str, str], Callable[[str], Input]] = field(default_factory=dict[tuple[str, str], Callable[[str], Input]])

    def input(self, name: str, station: str, feature: str, places: tuple[str, ...], otherwise: float | None,
              doubt: float = 0.0) -> Input:
        """The input of a formula: what was read, else stated, else learned elsewhere, else taken."""
        key = (station, feature, places)
        found = self._inputs.get(key)
        if found is None:
            found = self._inputs[key] = self._look_up(name, station, feature, places)
        if found.origin == "missing" and (learned := self.learned.get((kinds_of(station), feature))):
            return learned(station)
        if found.origin == "missing" and otherwise is not None:
            return Input(name, station, feature, "taken", single(otherwise, doubt, f"taken:{feature}"))
        return found if found.name == name else replace(found, name=name)

    def places(self, station: str, feature: str) -> "Places":
        """What was read of a feature at a station, place by place: the valid readings, or the stale when none is valid."""
        key = (station, feature)
        if key not in self._places:
            self._places[key] = self._gather(station, feature)
        return self._places[key]

    def _gather(self, station: str, feature: str) -> "Places":
        rows = list(self.build.readings.get((station, feature), ()))
        part = self.build.part_in(station)
        if part:
            rows += self.build.readings.get((f"part.{part}", feature), ())
        if not rows:
            return NOTHING
        reasons = [self.build.stale_because(row) for row in rows]
        valid = [row for row, reason in zip(rows, reasons, strict=True) if not reason]
        kept = valid or rows
        by_place: dict[str, list[Reading]] = {}
        for row in kept:
            by_place.setdefault(row.place, []).append(row)
        estimates = {place: self._mean(self.book.estimate(row) for row in same) for place, same in by_place.items()}
        warnings = dict.fromkeys(w for row in kept for w in self.book.warnings(row))
        used = dict.fromkeys(u for row in kept for u in self.book.in_use(row))
        stale = () if valid else tuple(dict.fromkeys(reasons))
        return Places(estimates, {p: tuple(r.mark.entry for r in same) for p, same in by_place.items()}, stale,
                      tuple(warnings), tuple(used))

    @staticmethod
    def _mean(estimates: Iterable[Estimate]) -> Estimate:
        rows = list(estimates)
        return rows[0] if len(rows) == 1 else mean(rows)

    def _look_up(self, name: str, station: str, feature: str, wanted: tuple[str, ...]) -> Input:
        found = self.places(station, feature)
        chosen = list(found.estimates)
        for prefix in wanted:
            some = [place for place in found.estimates if place.startswith(prefix)]
            if some:
                chosen = some
                break
        if chosen:
            return Input(name, station, feature, "read", self._mean(found.estimates[p] for p in chosen),
                         tuple(e for p in chosen for e in found.entries[p]), found.stale, found.warnings,
                         found.instruments)
        stated = self.build.stated(station, feature)
        if stated is not None:
            return Input(name, station, feature, "stated", stated_estimate(stated, station), (stated.mark.entry,))
        return Input(name, station, feature, "missing")


@dataclass(frozen=True, slots=True)
class Places:
    """Estimates and entries by place, and why they are stale when they are."""

    estimates: dict[str, Estimate]
    entries: dict[str, tuple[str, ...]]
    stale: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    instruments: tuple[InUse, ...] = ()


NOTHING = Places({}, {})


def stated_estimate(stated: StatedSize, station: str) -> Estimate:
    """A stated size as an estimate: rectangular over its tolerance, or over the last place written when it has none."""
    half_width = stated.tolerance or stated.typed.step_si / 2
    if not half_width:
        return exact(stated.value)
    return Estimate(stated.value, {f"stated:{stated.mark.entry}:{stated.feature.name}:{station}": half_width / sqrt(3)}, {})


def feature_words(station: str, feature: str) -> str:
    """The words of a feature at a station."""
    return feature_at(feature, station).words
