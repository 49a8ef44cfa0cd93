"""What would make a finding surer: each thing that the shop could do, and what the doubt would then be."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from math import inf

from tenths.engine.features import Feature
from tenths.engine.quantity import Typed
from tenths.findings.check import estimate_with
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.logbook.build import Build, Mark, Reading
from tenths.logbook.fold import feature_for
from tenths.metrology.budget import Planned
from tenths.metrology.estimate import Estimate
from tenths.metrology.instrument import STANDARDS, Instrument
from tenths.metrology.thermal import REFERENCE_CELSIUS

MICROMETERS = frozenset({"outside micrometer", "inside micrometer"})
WORTH = 0.01  # of the doubt: what gains less is not said
NEAR = 0.0005  # a standard of about that size serves for a setting [m]
Change = Callable[[Reading, Planned], Planned]


@dataclass(frozen=True, slots=True)
class Group:
    """Readings of one feature at one station, that are read again together."""

    station: str
    feature: str
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Help:
    """Something that the shop could do.

    Attributes:
        kind: repeat, set, use, measure, read the temperature, or wait.
        subject: what it is done to: a group, a feature at a station, or the id of a gauge.
        group: the readings that are taken again; empty where it is not about readings of one feature.
        other: id of the instrument that is used instead; empty where there is none.
        estimate: what the finding would then be.
        gain: how much smaller its standard uncertainty would be [SI].
    """

    kind: str
    subject: str
    estimate: Estimate
    gain: float
    group: Group | None = None
    other: str = ""


@dataclass(frozen=True, slots=True)
class _Try:
    """A thing to be tried: how it changes the readings."""

    kind: str
    subject: str
    change: Change
    group: Group | None = None
    other: str = ""
    build: Build | None = None


def readings_under(build: Build, finding: Finding) -> tuple[Reading, ...]:
    """The readings that a finding rests on, in the order of the log."""
    wanted = set(finding.entries)
    return tuple(r for r in build.all_readings() if r.mark.entry in wanted)


def groups_of(readings: Iterable[Reading]) -> tuple[Group, ...]:
    """Readings by station and feature."""
    found: dict[tuple[str, str], list[Reading]] = {}
    for reading in readings:
        found.setdefault((reading.station, reading.feature.name), []).append(reading)
    return tuple(Group(station, feature, tuple(rows)) for (station, feature), rows in found.items())


def what_would_help(build: Build, finding: Finding, *, house: Build | None = None, times: int = 3) -> tuple[Help, ...]:
    """What would make a finding surer, best first.

    Args:
        build: the engine.
        finding: one of its findings.
        house: the shop, for rings and micrometers that the engine has not been read with yet.
        times: how many times more often a reading would be taken.

    Returns:
        The things that gain at least a hundredth of its doubt; none for a finding without readings.
    """
    if finding.estimate is None or not finding.standard_uncertainty:
        return ()
    readings, now = readings_under(build, finding), finding.standard_uncertainty
    lent = _with_house(build, house)
    found: list[Help] = []
    for row in (*_tries(lent, readings, times), *_measured(lent, finding)):
        tried = row.build or lent
        then = estimate_with(tried, InstrumentBook(tried, row.change), finding.characteristic, finding.station)
        if then is not None and now - then.u > WORTH * now:
            found.append(Help(row.kind, row.subject, then, now - then.u, row.group, row.other))
    return tuple(sorted(_best_of_each(found), key=lambda h: -h.gain))


def _best_of_each(found: Sequence[Help]) -> list[Help]:
    """Of instruments that could take one another's place, only the best, standards and used ones apart."""
    best: dict[tuple[str, str, str], Help] = {}
    for row in found:
        key = (row.kind, row.subject, row.other if row.kind == "set" else "")
        if key not in best or row.gain > best[key].gain:
            best[key] = row
    return list(best.values())


def _with_house(build: Build, house: Build | None) -> Build:
    """The engine as if it knew all instruments of the shop."""
    if house is None:
        return build
    return replace(build, instruments={**house.instruments, **build.instruments},
                   certificates={**house.certificates, **build.certificates},
                   studied={**house.studied, **build.studied})


def _tries(build: Build, readings: Sequence[Reading], times: int) -> Iterable[_Try]:
    book = InstrumentBook(build)
    plans = {r.mark.entry: book.plan(r) for r in readings}
    groups = groups_of(readings)
    yield from _more_often(groups, plans, times)
    yield from _other_masters(book, readings, plans)
    yield from _other_instruments(book, groups, plans)
    yield from _warmth(book, readings, plans)


def _measured(build: Build, finding: Finding) -> Iterable[_Try]:
    """A size read that is only stated, by a usual instrument of its kind."""
    estimate = finding.estimate
    for cause, part in estimate.parts.items() if estimate else ():
        if not cause.startswith("stated:") or part * part < WORTH * (finding.standard_uncertainty or 0.0) ** 2:
            continue
        _, _entry, name, station = cause.split(":", 3)
        stated, feature = build.stated(station, name), feature_for(build, station, name)
        if stated is not None and not feature.stated_only:
            reading = _would_be(station, feature, stated.value)
            rows = {**build.readings, (station, name): [reading]}
            group = Group(station, name, (reading,))
            yield _Try("measure", f"{name} at {station}", _as_it_is, group, build=replace(build, readings=rows))


def _would_be(station: str, feature: Feature, value: float) -> Reading:
    """A reading that comes out as the size is stated."""
    typed = Typed("", feature.quantity, Decimal(0), "", Decimal(0))
    return Reading(Mark("would be read", 1 << 30, "", ""), station, feature, "", typed, value, "", None, None, "")


def _as_it_is(_reading: Reading, plan: Planned) -> Planned:
    return plan


def _more_often(groups: Sequence[Group], plans: dict[str, Planned], times: int) -> Iterable[_Try]:
    for group in groups:
        entries = {r.mark.entry for r in group.readings}
        if any(plans[e].instrument.repeatability for e in entries):
            yield _Try("repeat", f"{group.feature} at {group.station}", partial(_repeated, entries, times), group)


def _repeated(entries: set[str], times: int, reading: Reading, plan: Planned) -> Planned:
    return replace(plan, repeats=plan.repeats * times) if reading.mark.entry in entries else plan


def _other_masters(book: InstrumentBook, readings: Sequence[Reading], plans: dict[str, Planned]) -> Iterable[_Try]:
    """The gauge set from a micrometer that the finding rests on anyway, or from a standard of that size."""
    gauges = {r.instrument: plans[r.mark.entry] for r in readings if plans[r.mark.entry].master is not None}
    read_with = {r.instrument: plans[r.mark.entry].instrument for r in readings
                 if plans[r.mark.entry].instrument.kind in MICROMETERS}
    for gauge, plan in gauges.items():
        for name, master in {**read_with, **_standards(book, plan.value)}.items():
            if plan.master is None or name in {gauge, plan.master.id} or not master.lower <= plan.value <= master.upper:
                continue
            yield _Try("set", gauge, partial(_set_from, gauge, master), other=name)


def _set_from(gauge: str, master: Instrument, reading: Reading, plan: Planned) -> Planned:
    return replace(plan, master=master) if reading.instrument == gauge and plan.master is not None else plan


def _standards(book: InstrumentBook, size: float) -> dict[str, Instrument]:
    """Rings and the like that are about as large as what was read: by their certificate, range, or what was set from them."""
    build = book.build
    set_to = {(s.master, s.size) for s in build.settings.values() if s.size is not None}
    found: dict[str, Instrument] = {}
    for name, (_, card) in build.instruments.items():
        made = book.instrument(name, card.kind)
        sizes = [s for master, s in set_to if master == name] + [p.nominal for p in made.points]
        ranged = made.lower > -inf and made.upper < inf
        if made.kind in STANDARDS and (any(abs(s - size) <= NEAR for s in sizes) or (ranged and made.lower <= size <= made.upper)):
            found[name] = made
    return found


def _other_instruments(book: InstrumentBook, groups: Sequence[Group], plans: dict[str, Planned]) -> Iterable[_Try]:
    """Another instrument of the same kind in the house, whose range is known to reach there and whose scale is surer."""
    for group in groups:
        plan = plans[group.readings[0].mark.entry]
        for name, (_, card) in book.build.instruments.items():
            other = book.instrument(name, card.kind)
            reaches = other.lower <= plan.value <= other.upper < inf
            alike = other.kind == plan.instrument.kind and name != group.readings[0].instrument
            if alike and reaches and other.scale_error(plan.value)[1] < plan.instrument.scale_error(plan.value)[1]:
                entries = {r.mark.entry for r in group.readings}
                yield _Try("use", f"{group.feature} at {group.station}", partial(_used, entries, other), group, name)


def _used(entries: set[str], other: Instrument, reading: Reading, plan: Planned) -> Planned:
    return replace(plan, instrument=other) if reading.mark.entry in entries else plan


def _warmth(book: InstrumentBook, readings: Sequence[Reading], plans: dict[str, Planned]) -> Iterable[_Try]:
    """A thermometer at the part where the log was asked; waiting where the part is not at 20 °C."""
    if any(book.warmth(r).origin == "noted" and plans[r.mark.entry].temperature for r in readings):
        yield _Try("read the temperature", "", partial(_thermometer, book))
    warm = [t for p in plans.values() if (t := p.temperature) is not None]
    if any(t.celsius != REFERENCE_CELSIUS or t.gauge not in {None, REFERENCE_CELSIUS} for t in warm):
        yield _Try("wait", "", _cooled)


def _thermometer(book: InstrumentBook, reading: Reading, plan: Planned) -> Planned:
    if plan.temperature is None or book.warmth(reading).origin != "noted":
        return plan
    return replace(plan, temperature=replace(plan.temperature, u=book.rules.thermometer))


def _cooled(_reading: Reading, plan: Planned) -> Planned:
    if plan.temperature is None:
        return plan
    return replace(plan, temperature=replace(plan.temperature, celsius=REFERENCE_CELSIUS, gauge=None))
