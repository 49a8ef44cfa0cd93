"""What a change makes stale: the steps, readings and choices that rest on what changed, and nothing else.

A step is to be done again when, after it was done, a part that it handles was taken out or replaced, a part that it
cleaned was machined, a reading that it took or waited for no longer holds, or a step that it stands on was undone by one
of these. A part that is named for the first time in a slot undoes no step that handled it: it is what was handled.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from tenths.engine.features import feature_at
from tenths.engine.layout import Layout
from tenths.engine.stations import pattern_matches
from tenths.errors import BadInput
from tenths.findings.check import catalogue, places_of
from tenths.findings.declare import Need, Over, Uneven, Way, address
from tenths.logbook import bodies
from tenths.logbook.build import Build, Machining, Mark, Reading, SlotHistory
from tenths.work.plan import Plan, Step

Rest = tuple[str, str]  # feature and station


@lru_cache(maxsize=16384)
def rests_of(layout: Layout, characteristic: str, station: str) -> frozenset[Rest]:
    """The features, each with its station, that a characteristic can be worked out from, by any of its ways."""
    found: set[Rest] = set()
    for way in catalogue()[characteristic].ways:
        match way:
            case Uneven():
                found.add((way.feature, station))
            case Over():
                bank = station.split(".")[1] if station.startswith("deck.") else ""
                for other, where in places_of(layout):
                    if other.name == way.of and (not bank or layout.cylinder(where.split(".")[1]).bank == bank):
                        found |= rests_of(layout, way.of, where)
            case Way():
                for need in way.needs:
                    if not isinstance(need, Need):
                        found |= rests_of(layout, need.of, station)
                    elif where := address(need.at, layout, station):
                        found.add((need.feature, where))
    return frozenset(found)


@lru_cache(maxsize=16384)
def slots_of(layout: Layout, rest: Rest) -> tuple[str, ...]:
    """The part slots that a reading of a feature at a station holds for; none where such a thing is only stated."""
    try:
        feature = feature_at(*rest)
    except BadInput:
        return ()
    return () if feature.stated_only else feature.slots(layout, rest[1])


@lru_cache(maxsize=64)
def rests_in(plan: Plan) -> dict[str, tuple[tuple[Rest, tuple[str, ...]], ...]]:
    """What the reads and checks of every step rest on: features with their stations, and the slots of each."""
    found: dict[str, tuple[tuple[Rest, tuple[str, ...]], ...]] = {}
    for step in plan.steps.values():
        rests = {rest for need in (*step.reads, *step.checks) for rest in rests_of(plan.layout, need.characteristic, need.station)}
        found[step.id] = tuple((rest, places) for rest in sorted(rests) if (places := slots_of(plan.layout, rest)))
    return found


@dataclass(frozen=True, slots=True)
class Undone:
    """Why a step is to be done again: what changed, and the step through which that reaches it (its own id: directly)."""

    words: str
    through: str
    position: int


@dataclass(slots=True)
class _Reach:
    """What can undo a step, its own and through the steps that it stands on."""

    latest: Undone | None
    changed: dict[str, str]  # read slot that has held something else: the step through which it reaches


def undone(build: Build, plan: Plan, done: Mapping[str, int]) -> dict[str, Undone]:
    """The steps that were done and are to be done again, each with why.

    Args:
        build: the engine as its logbook leaves it.
        plan: its plan.
        done: step id to the position in the log where it was last done.

    Returns:
        Step id to why; exactly those downstream of a change made after they were done.
    """
    if not done:
        return {}
    moved = {slot: history for slot, history in build.slots.items() if _ever_changed(history)}
    reach: dict[str, _Reach] = {}
    found: dict[str, Undone] = {}
    for step in plan.steps.values():
        here = reach[step.id] = _own(build, step, rests_in(plan)[step.id], moved)
        for before in step.on:
            _join(here, reach[before])
        at = done.get(step.id)
        if at is not None and (why := _why(here, moved, at)):
            found[step.id] = why
    return found


def _ever_changed(history: SlotHistory) -> bool:
    """Whether the slot ever held something else than now; what was never named counts as something else."""
    return history.positions[0] > 0 or len(set(history.parts)) > 1


def _own(build: Build, step: Step, rests: Iterable[tuple[Rest, tuple[str, ...]]], moved: Mapping[str, SlotHistory]) -> _Reach:
    latest: Undone | None = None
    for position, words in (*_handled(step, moved), *_machined(build, step), *_cut_under(build, rests)):
        latest = _later(latest, Undone(words, step.id, position))
    return _Reach(latest, {slot: step.id for _, places in rests for slot in places if slot in moved})


def _handled(step: Step, moved: Mapping[str, SlotHistory]) -> Iterator[tuple[int, str]]:
    """What went in or out of the slots that the step handles, later than their first naming."""
    for slot in step.slots:
        history = moved.get(slot)
        changes = [k for k in range(1, len(history.parts)) if history.parts[k] != history.parts[k - 1]] if history else []
        if history and changes:
            now = history.parts[changes[-1]]
            yield history.positions[changes[-1]], f"{now} went into {slot}" if now else f"{slot} was emptied"


def _machined(build: Build, step: Step) -> Iterator[tuple[int, str]]:
    for slot in step.machined:
        for cut in build.machining.get(slot, ()):
            if _touches(cut, step.station):
                yield cut.mark.position, f"{slot} was {cut.operation}"


def _cut_under(build: Build, rests: Iterable[tuple[Rest, tuple[str, ...]]]) -> Iterator[tuple[int, str]]:
    """Machining that ended the readings which the step takes or waits for."""
    for rest, places in rests:
        for slot in places:
            for cut in build.machining.get(slot, ()):
                if _ends(cut, rest):
                    yield cut.mark.position, f"{slot} was {cut.operation}"


def _join(here: _Reach, before: _Reach) -> None:
    if before.latest:
        here.latest = _later(here.latest, before.latest)
    for slot, through in before.changed.items():
        here.changed.setdefault(slot, through)


def _later(one: Undone | None, other: Undone) -> Undone:
    return other if one is None or other.position > one.position else one


def _why(reach: _Reach, moved: Mapping[str, SlotHistory], at: int) -> Undone | None:
    if reach.latest and reach.latest.position > at:
        return reach.latest
    for slot, through in reach.changed.items():
        history = moved[slot]
        then, now = history.at(at), history.parts[-1]
        if then != now:
            return Undone(f"{slot} held {then or 'nothing named'}, now {now or 'nothing'}", through, history.positions[-1])
    return None


def _touches(cut: Machining, station: str) -> bool:
    """Whether a cut reaches a step at that station: everywhere, or at a place of its own."""
    return not cut.stations or station.count(".") == 0 or any(
        pattern_matches(s, station) or station.startswith(s + ".") for s in cut.stations)


def _ends(cut: Machining, rest: Rest) -> bool:
    feature, station = rest
    if cut.features and feature not in cut.features:
        return False
    return not cut.stations or any(pattern_matches(s, station) or station.startswith(s + ".") for s in cut.stations)


# -- readings and choices ----------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class StaleReading:
    """A reading to be taken again: where, what, at which place, and why the last one no longer holds."""

    station: str
    feature: str
    place: str
    why: str
    reading: Reading


def stale_readings(build: Build) -> tuple[StaleReading, ...]:
    """The readings to be taken again: every place that was read, and of which no reading holds any more."""
    found: list[StaleReading] = []
    for (station, feature), rows in build.readings.items():
        by_place: dict[str, list[Reading]] = {}
        for row in rows:
            by_place.setdefault(row.place, []).append(row)
        for place, same in by_place.items():
            reasons = [build.stale_because(row) for row in same]
            if all(reasons):
                found.append(StaleReading(station, feature, place, reasons[-1], same[-1]))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class StaleChoice:
    """An accepted answer to be asked again: which question, and what it rested on that no longer holds."""

    mark: Mark
    question: str
    why: tuple[str, ...]


def stale_choices(build: Build) -> tuple[StaleChoice, ...]:
    """The accepted answers, the latest of each question, that rest on a reading which no longer holds or was struck.

    What changed because the answer itself was carried out (the picked size went into its slot) leaves it standing.
    """
    readings = {row.mark.entry: row for rows in build.readings.values() for row in rows}
    latest = {body.question: (mark, body) for mark, body in build.choices}
    found: list[StaleChoice] = []
    for mark, body in latest.values():
        why = dict.fromkeys(words for entry in body.rests_on if (words := _gone(build, entry, readings, mark, body)))
        if why:
            found.append(StaleChoice(mark, body.question, tuple(why)))
    return tuple(found)


def _gone(build: Build, entry: str, readings: Mapping[str, Reading], mark: Mark, body: bodies.ChoiceAccepted) -> str:
    if entry in build.struck:
        return f"an entry that it rests on was struck: {build.struck[entry][1]}"
    reading = readings.get(entry)
    if reading is None or build.layout is None:
        return ""
    carried_out = {pick.station for pick in body.picks if _carried_out(build, pick, mark.position)}
    for slot in reading.feature.slots(build.layout, reading.station):
        history = build.slots.get(slot)
        if history and history.at(mark.position) != history.parts[-1] and slot not in carried_out:
            then, now = history.at(mark.position) or "nothing named", history.parts[-1] or "nothing"
            return f"{slot} held {then} when this was accepted, now {now}"
        for cut in build.machining.get(slot, ()):
            if cut.mark.position > mark.position and cut.ends(reading):
                return f"{slot} was {cut.operation} after this was accepted"
    return ""


def _carried_out(build: Build, pick: bodies.Pick, since: int) -> bool:
    """Whether what was picked is what went into its slot since."""
    history = build.slots.get(pick.station)
    if history is None or history.positions[-1] <= since:
        return False
    part = build.parts.get(history.parts[-1])
    return pick.pick == history.parts[-1] or bool(part and part.card.size and part.card.size == pick.pick)
