"""The check: every characteristic at every station of an engine, worked out and judged."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache, lru_cache

from tenths.engine.layout import Layout
from tenths.engine.stations import stations
from tenths.errors import TenthsError
from tenths.findings import assembly, bearings, cylinders, form, geometry, head, running, valves
from tenths.findings.carrying import carried
from tenths.findings.crush import CRUSH_FEATURES, Crush, crush_of
from tenths.findings.decision import by_levels, probability_of, rule_for, rule_of
from tenths.findings.declare import Characteristic, Found, Need, Over, Uneven, Way, address
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.findings.limits import PRACTICE, Limits, limits_for
from tenths.findings.resolve import Input, Places, Resolver, feature_words
from tenths.logbook.build import Build
from tenths.metrology.coverage import effective_freedom
from tenths.metrology.decide import Verdict, decide
from tenths.metrology.estimate import Estimate, combine, difference

CATALOGUE: tuple[Characteristic, ...] = (
    *geometry.CHARACTERISTICS, *bearings.CHARACTERISTICS, *cylinders.CHARACTERISTICS, *running.CHARACTERISTICS,
    *assembly.CHARACTERISTICS, *form.CHARACTERISTICS, *head.CHARACTERISTICS, *valves.CHARACTERISTICS)


@cache
def catalogue() -> Mapping[str, Characteristic]:
    """Characteristics by name."""
    return {c.name: c for c in CATALOGUE}


@cache
def places_of(layout: Layout) -> tuple[tuple[Characteristic, str], ...]:
    """Every characteristic with every station that has it, in the order of the catalogue and of walking."""
    return tuple((c, s.address) for c in CATALOGUE for s in stations(layout) if s.kind in c.kinds)


def check(build: Build, only: Iterable[str] = ()) -> list[Finding]:
    """All findings of an engine.

    Args:
        build: the engine as its logbook leaves it.
        only: names of characteristics to keep (with what they are taken over); none means all.

    Returns:
        Findings in the order of the catalogue, each kind in walking order. Empty for an engine without a layout.
    """
    if build.layout is None:
        return []
    wanted, skip = frozenset(only), set(build.house.get("skip", ()))
    needed = with_sources(wanted) if wanted else catalogue()
    work, known = _Work(build), told_of(build)
    for characteristic, station in places_of(build.layout):
        if characteristic.name in needed and characteristic.name not in skip and awake(characteristic, known):
            work.judge(characteristic, station)
    return [f for f in work.done.values() if not wanted or f.characteristic.name in wanted]


def recheck(build: Build, before: Sequence[Finding], station: str, feature: str) -> list[Finding] | None:
    """What one more reading makes of the findings that it can reach, the others as they were.

    Args:
        build: the engine with the reading.
        before: all its findings without it.
        station: where it was taken.
        feature: what was read.

    Returns:
        The findings that the reading can change, anew; None where all must be worked out, since a new one comes in.
    """
    if build.layout is None or station.startswith("part."):
        return None
    work = _Work(build)
    work.done = {(f.characteristic.name, f.station): f for f in before}
    known = set(work.done)
    skip = set(build.house.get("skip", ()))
    if feature not in CRUSH_FEATURES:
        work.keep_crush(before)
    told = told_of(build)
    reached = [(c, where) for c, where in _reached(build.layout, station, feature) if c.name not in skip and awake(c, told)]
    for characteristic, where in reached:
        work.judge(characteristic, where)
    if set(work.done) != known:
        return None
    return [work.done[c.name, where] for c, where in reached if (c.name, where) in known]


def told_of(build: Build) -> frozenset[str]:
    """Features of which anything was read or stated, anywhere on the engine."""
    return frozenset((*(name for (_, name), rows in build.readings.items() if rows), *(size.feature.name for size in build.sizes)))


def awake(characteristic: Characteristic, told: frozenset[str]) -> bool:
    """Whether a characteristic is worth a word: of some it is not before something of it was read or stated."""
    return not characteristic.awake_by or not told.isdisjoint(characteristic.awake_by)


@lru_cache(maxsize=4096)
def _reached(layout: Layout, station: str, feature: str) -> tuple[tuple[Characteristic, str], ...]:
    """Every finding that a reading of a feature at a station can change, in the order of the catalogue."""
    found: dict[tuple[str, str], Characteristic] = {}
    names: set[str] = set()
    crush = station.partition(".")[0] if feature in CRUSH_FEATURES else ""
    told = {feature, head.STANDS_FOR.get(feature, feature)}

    def of(need: Need | Found, where: str) -> bool:
        if isinstance(need, Found):
            return (need.of, where) in found
        at = address(need.at, layout, where)
        return (need.feature in told and at == station) or (need.feature == "crush-offset" and at.partition(".")[0] == crush)

    def touches(way: Way | Over | Uneven, where: str) -> bool:
        match way:
            case Way():
                return any(of(need, where) for need in way.needs)
            case Over():
                return way.of in names
            case Uneven():
                return way.feature == feature and where == station

    for characteristic, where in places_of(layout):
        by_size = characteristic.per is not None and of(characteristic.per, where)
        if by_size or any(touches(way, where) for way in characteristic.ways):
            found[characteristic.name, where] = characteristic
            names.add(characteristic.name)
    return tuple((characteristic, where) for (_, where), characteristic in found.items())


def _taken_over(characteristic: Characteristic) -> set[str]:
    """The other characteristics that this one is computed from."""
    found = {way.of for way in characteristic.ways if isinstance(way, Over)}
    return found | {need.of for way in characteristic.ways if isinstance(way, Way) for need in way.needs if isinstance(need, Found)}


@cache
def with_sources(names: frozenset[str]) -> frozenset[str]:
    """These characteristics, and all that they are computed from."""
    found, left = set[str](), [name for name in names if name in catalogue()]
    while left:
        name = left.pop()
        if name not in found:
            found.add(name)
            left += _taken_over(catalogue()[name])
    return frozenset(found)


@cache
def touched_by(feature: str) -> frozenset[str]:
    """The characteristics that a reading of this feature can change, wherever it is taken."""
    names = {feature, "crush-offset" if feature in CRUSH_FEATURES else head.STANDS_FOR.get(feature, feature)}
    found = {c.name for c in CATALOGUE if names & _features_of(c)}
    return frozenset(c.name for c in CATALOGUE if with_sources(frozenset({c.name})) & found)


def _features_of(characteristic: Characteristic) -> set[str]:
    found = {way.feature for way in characteristic.ways if isinstance(way, Uneven)}
    if characteristic.per is not None:
        found.add(characteristic.per.feature)
    return found | {need.feature for way in characteristic.ways if isinstance(way, Way) for need in way.needs
                    if isinstance(need, Need)}


class _Work:
    """One run over the catalogue; what is already judged can be taken over by what comes later."""

    def __init__(self, build: Build, book: InstrumentBook | None = None) -> None:
        assert build.layout is not None  # noqa: S101 - the caller has looked
        self.build, self.layout = build, build.layout
        self.resolver = Resolver(build, book or InstrumentBook(build))
        self.rule = rule_of(build.house)
        self.done: dict[tuple[str, str], Finding] = {}
        for kind in ("main", "rod"):
            self.resolver.learned[kind, "crush-offset"] = self._crush(kind)
        self.resolver.learned["chamber", head.CHAMBER] = lambda station: head.chamber_said(self.resolver, station)
        self.resolver.learned["engine", running.SHARE] = lambda _: running.share_said(build, self.layout)

    def _crush(self, kind: str) -> Callable[[str], Input]:
        """What is known of the crush of a kind of place, learned when it is first asked for."""

        @cache
        def learned() -> Crush:
            return crush_of(self.resolver, kind, [s.address for s in stations(self.layout) if s.kind == kind])

        return lambda station: learned().input(station)

    def keep_crush(self, before: Iterable[Finding]) -> None:
        """What was known of the crush stays, where no reading could have told more of it."""
        kept = {i.station: i for f in before for i in f.inputs if i.feature == "crush-offset" and i.estimate is not None}
        for kind in ("main", "rod"):
            afresh = self.resolver.learned[kind, "crush-offset"]
            self.resolver.learned[kind, "crush-offset"] = lambda station, afresh=afresh: kept.get(station) or afresh(station)

    def judge(self, characteristic: Characteristic, station: str) -> None:
        """Works out and judges one characteristic at one station, and keeps it."""
        for way in characteristic.ways[:-1]:
            worked = self._try(way, station)
            if not worked.missing:
                break
        else:
            worked = self._try(characteristic.ways[-1], station)
            if worked.missing and len(characteristic.ways) > 1:
                worked = self._try(self._first_there(characteristic, station), station)
        silent = characteristic.silent or (characteristic.when_begun and any(isinstance(way, Way) for way in characteristic.ways))
        if not (worked.missing and silent):
            self.done[characteristic.name, station] = self._judged(characteristic, station, worked)

    def _first_there(self, characteristic: Characteristic, station: str) -> Way | Over | Uneven:
        """The first way whose places this engine has: it says what is missing."""
        there = (way for way in characteristic.ways if not isinstance(way, Way) or all(
            address(need.at, self.layout, station) for need in way.needs if isinstance(need, Need)))
        return next(there, characteristic.ways[0])

    def _try(self, way: Way | Over | Uneven, station: str) -> "_Worked":
        match way:
            case Way():
                return self._by_formula(way, station)
            case Over():
                return self._over(way, station)
            case Uneven():
                return self._uneven(way, station)

    def _need(self, need: Need, station: str) -> Input:
        where = address(need.at, self.layout, station)
        if not where:
            return Input(need.name, station, need.feature, "missing")
        return self.resolver.input(need.name, where, need.feature, need.places, need.otherwise, need.doubt)

    def _found(self, need: Found, station: str) -> Input:
        row = self.done.get((need.of, station))
        if row is None or row.estimate is None:
            return Input(need.of, station, need.of, "missing")
        return Input(need.of, station, need.of, _origin(row), row.estimate, row.entries, row.stale, row.warnings,
                     row.instruments)

    def _by_formula(self, way: Way, station: str) -> "_Worked":
        inputs = tuple(self._need(need, station) if isinstance(need, Need) else self._found(need, station) for need in way.needs)
        missing = tuple(f"{i.feature} at {i.station}" for i in inputs if i.estimate is None)
        if missing:
            return _Worked(way.words, inputs, missing)
        given = [i.estimate for i in inputs if i.estimate is not None]
        try:
            estimate, bend = (given[0], 0.0) if len(given) == 1 else carried(
                way.formula, given, f"{way.words} at {station}", costly=way.costly)
        except TenthsError as error:  # sizes that cannot be: said beside the finding, and no other finding suffers
            return _Worked(way.words, inputs, (str(error),))
        return _Worked(way.words, inputs, (), estimate, bend)

    def _over(self, way: Over, station: str) -> "_Worked":
        rows = [f for (name, where), f in self.done.items() if name == way.of and self._in_scope(station, where)]
        known = [f for f in rows if f.estimate is not None or f.expected is not None]
        measured = [f for f in rows if f.estimate is not None]
        inputs = tuple(Input(way.of, f.station, way.of, _origin(f), f.estimate, f.entries, f.stale, f.warnings, f.instruments)
                       for f in measured)
        if way.how == "line":
            heights = {f.station: f.estimate for f in measured if f.estimate is not None}
            return _of_zone(way.words, inputs, form.straight(self.layout, heights))
        too_few = len(measured) < (len(rows) if way.how == "total" else 2)
        if too_few or not known:
            return _Worked(way.words, inputs, (f"{catalogue()[way.of].words} of {len(rows) - len(measured)} places",))
        estimates = [f.estimate for f in measured if f.estimate is not None]
        if way.how == "total":
            return _Worked(way.words, inputs, (), combine([1.0] * len(estimates), estimates))
        # where all are alike, two of them all the same: that they differ by nothing is not without doubt
        high, low = max(estimates, key=lambda e: e.value), min(reversed(estimates), key=lambda e: e.value)
        return _Worked(way.words, inputs, (), difference(high, low))

    def _in_scope(self, station: str, where: str) -> bool:
        if not station.startswith("deck."):
            return True
        return self.layout.cylinder(where.split(".")[1]).bank == station.split(".")[1]

    def _uneven(self, way: Uneven, station: str) -> "_Worked":
        found = self.resolver.places(station, way.feature)
        if way.along in {"plane", "level"}:
            return self._over_face(way, station, found)
        if way.along == "least":
            return self._least_of(way, station, found)
        pairs = _worst_pair(found.estimates, 0 if way.along == "column" else 1)
        if pairs is None:
            return _Worked(way.words, (), (f"{way.feature} at two places of {station} in line",))
        high, low = pairs
        entries = found.entries[high] + found.entries[low]
        one = Input(way.feature, station, way.feature, "read", found.estimates[high], entries, found.stale,
                    found.warnings, found.instruments)
        return _Worked(way.words, (one,), (), difference(found.estimates[high], found.estimates[low]))

    def _least_of(self, way: Uneven, station: str, found: Places) -> "_Worked":
        """The smallest of all places."""
        if not found.estimates:
            return _Worked(way.words, (), (f"{way.feature} at {station}",))
        low = min(found.estimates, key=lambda place: found.estimates[place].value)
        one = Input(way.feature, station, way.feature, "read", found.estimates[low], found.entries[low], found.stale,
                    found.warnings, found.instruments)
        return _Worked(f"{way.words}: {low}" if low else way.words, (one,), (), found.estimates[low])

    def _over_face(self, way: Uneven, station: str, found: Places) -> "_Worked":
        """The narrowest zone over the places of a face, each an input of its own."""
        known = {place: e for place, e in found.estimates.items() if form.place_of(place) is not None}
        inputs = tuple(Input(place, station, way.feature, "read", estimate, found.entries[place], found.stale, found.warnings,
                             found.instruments) for place, estimate in known.items())
        return _of_zone(way.words, inputs, form.flat(way.along, known))

    def _judged(self, characteristic: Characteristic, station: str, worked: "_Worked") -> Finding:
        entries = tuple(dict.fromkeys(e for i in worked.inputs for e in i.entries))
        stale = tuple(dict.fromkeys(s for i in worked.inputs for s in i.stale))
        warnings = tuple(dict.fromkeys(w for i in worked.inputs for w in i.warnings))
        measured = any(i.origin == "read" for i in worked.inputs) or characteristic.planning
        estimate = worked.estimate if measured else None
        expected = worked.estimate.value if worked.estimate and not measured else None
        limits = self._raised(characteristic, limits_for(self.build, characteristic, station, self._size(characteristic, station)))
        judged = self._verdict(characteristic, estimate, limits, stale=bool(stale))
        verdict, probability, u, freedom, tried = judged
        return Finding(station, characteristic, verdict, limits, estimate, u, freedom, probability, expected,
                       worked.words, worked.inputs, entries, worked.missing, stale, warnings, worked.bend, tried)

    def _verdict(self, characteristic: Characteristic, estimate: Estimate | None, limits: Limits, *, stale: bool,
                 ) -> tuple[Verdict, float | None, float | None, float, bool]:
        if estimate is None:
            return Verdict.NOT_MEASURED, None, None, float("inf"), False
        u, freedom = estimate.u, effective_freedom(estimate)
        if not limits.given:
            return Verdict.STALE if stale else Verdict.NO_LIMIT, None, u, freedom, False
        probability, tried = probability_of(estimate, limits.lower, limits.upper, freedom)
        if stale:
            return Verdict.STALE, probability, u, freedom, tried
        rule = rule_for(self.rule, characteristic.quantity)
        if tried and rule.guard is None:
            return by_levels(probability, rule), probability, u, freedom, tried
        verdict = decide(estimate.value, u, limits.lower, limits.upper, rule=rule, freedom=freedom)
        return verdict, probability, u, freedom, tried

    def _raised(self, characteristic: Characteristic, limits: Limits) -> Limits:
        """The limits, the lower one of common practice raised by what this engine asks for on top of it."""
        if characteristic.added is None or limits.authority != PRACTICE or limits.lower is None:
            return limits
        more = self._need(characteristic.added, "engine").estimate
        if more is None or not more.value:
            return limits
        words = feature_words("engine", characteristic.added.feature)
        return replace(limits, lower=limits.lower + more.value, source=f"{limits.source}; raised by the {words}")

    def _size(self, characteristic: Characteristic, station: str) -> float | None:
        if characteristic.per is None:
            return None
        found = self._need(characteristic.per, station)
        return found.estimate.value if found.estimate else None


def _of_zone(words: str, inputs: tuple[Input, ...], zone: Estimate | str) -> "_Worked":
    return _Worked(words, inputs, (zone,)) if isinstance(zone, str) else _Worked(words, inputs, (), zone)


def _origin(finding: Finding) -> str:
    """Whether anything under a finding was read, or all of it stated."""
    return "read" if any(i.origin == "read" for i in finding.inputs) else "stated"


def estimate_with(build: Build, book: InstrumentBook, characteristic: Characteristic, station: str) -> Estimate | None:
    """What one finding would come to if its readings had been made as ``book`` has them; None when nothing was measured."""
    if build.layout is None:
        return None
    work, sources = _Work(build, book), with_sources(frozenset({characteristic.name})) - {characteristic.name}
    for other, where in places_of(build.layout):
        if other.name in sources:
            work.judge(other, where)
    work.judge(characteristic, station)
    return work.done[characteristic.name, station].estimate


class _Worked:
    """What a way came to: its words, the inputs used, what is missing, the estimate."""

    __slots__ = ("bend", "estimate", "inputs", "missing", "words")

    def __init__(self, words: str, inputs: tuple[Input, ...], missing: tuple[str, ...],
                 estimate: Estimate | None = None, bend: float = 0.0) -> None:
        self.words, self.inputs, self.missing, self.estimate, self.bend = words, inputs, missing, estimate, bend


def _worst_pair(estimates: Mapping[str, Estimate], held: int) -> tuple[str, str] | None:
    """The two places, alike in one part of their names, that differ most."""
    groups: dict[str, list[str]] = {}
    for place in estimates:
        words = place.split(" ")
        if len(words) == 2:
            groups.setdefault(words[held], []).append(place)
    pairs = [(max(g, key=lambda p: estimates[p].value), min(reversed(g), key=lambda p: estimates[p].value))
             for g in groups.values() if len(g) > 1]
    if not pairs:
        return None
    return max(pairs, key=lambda pair: estimates[pair[0]].value - estimates[pair[1]].value)
