"""The plan of an engine: its steps, generated from a template, its layout and its parts, then edited by the log."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter
from heapq import heappop, heappush
from typing import Literal

from tenths.engine.layout import Layout
from tenths.engine.stations import pattern_matches, slots, station_map, stations
from tenths.errors import BadInput
from tenths.findings.declare import address
from tenths.logbook import work_bodies as w
from tenths.work.template import NO_TIME, Range, Second, StepRow, Template, range_of, template_of

Asked = Literal["", "pass", "person"]
Edit = w.StepAdded | w.StepDropped | w.StepRewaited | w.PlanBranched
BRANCH = "~"


@dataclass(frozen=True, slots=True)
class PartNeed:
    """A kind of part that must be in the house, for these slots; none means anywhere."""

    kind: str
    slots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckNeed:
    """A characteristic at a station that must fit."""

    characteristic: str
    station: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step at one place. ``after`` is waited for; ``on`` is waited for too, and what it stands on.

    ``hours`` [h] and ``days`` [days of 24 h] are low, likely, high; ``second`` is what a second check asks.
    """

    id: str
    name: str
    station: str
    stage: str
    words: str
    order: int
    after: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    parts: tuple[PartNeed, ...] = ()
    checks: tuple[CheckNeed, ...] = ()
    reads: tuple[CheckNeed, ...] = ()
    slots: tuple[str, ...] = ()
    machined: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    place: str = ""
    hours: Range = NO_TIME
    days: Range = NO_TIME
    second: Asked = ""
    ticks: tuple[str, ...] = ()
    caution: str = ""
    branch: str = ""

    @property
    def waits_for(self) -> tuple[str, ...]:
        """All steps that must be done before."""
        return tuple(dict.fromkeys((*self.after, *self.on)))


@dataclass(frozen=True, eq=False)
class Plan:
    """Steps by id, each after all that it waits for; ``problems`` are edits that could not be made, by their number.

    Two plans are the same only when they are one object, so that what follows from a plan alone is worked out once.
    """

    layout: Layout
    steps: dict[str, Step]
    stages: tuple[str, ...]
    unlisted_parts: Literal["pass", "wait"] = "pass"
    problems: tuple[tuple[int, str], ...] = ()
    followers: dict[str, tuple[str, ...]] = field(default_factory=dict[str, tuple[str, ...]])


def conditions_of(layout: Layout, *, use: str = "", part_kinds: Iterable[str] = ()) -> frozenset[str]:
    """What ``when`` of a step can ask of an engine, as far as it holds."""
    found = {f"part:{'-'.join(kind.lower().split())}" for kind in part_kinds} | {f"use:{use}"}
    names = {shaft.name for shaft in layout.camshafts}
    if not names:
        found.add("no-cam")
    else:
        found.add("cam-in-block" if names == {"1"} else "cam-in-head")
    if len(layout.cylinders) > 1:
        found.add("many-cylinders")
    if len(layout.banks) > 1:
        found.add("many-banks")
    return frozenset(found)


@lru_cache(maxsize=64)
def plan_from(text: str, layout: Layout, conditions: frozenset[str], edits: tuple[Edit, ...] = ()) -> Plan:
    """The plan that a template makes for a layout, with edits made in order.

    Args:
        text: the template as TOML.
        layout: the engine's layout.
        conditions: what holds of the engine, see `conditions_of`.
        edits: entries that change the plan; one that cannot be made is left out and told in ``problems``.

    Returns:
        The plan, steps in an order in which they can be done, stage by stage as far as the waits allow.

    Raises:
        BadInput: when the template cannot be read, or its steps wait for each other in a ring.
    """
    template = template_of(text)
    draft = _Draft(layout, template, _generated(text, layout, conditions))
    steps = draft.steps
    problems: list[tuple[int, str]] = []
    for number, edit in enumerate(edits):
        tried = replace(draft, steps=dict(draft.steps))
        try:
            tried.edit(edit)
            steps = _in_order(tried.steps, template.stages)
        except BadInput as error:
            problems.append((number, str(error)))
        else:
            draft = tried
    return Plan(layout, steps, template.stages, template.unlisted_parts, tuple(problems), _followers(steps))


@lru_cache(maxsize=64)
def _generated(text: str, layout: Layout, conditions: frozenset[str]) -> dict[str, Step]:
    """The steps of a template in order, before any edit; not to be written to."""
    template = template_of(text)
    draft = _Draft(layout, template)
    draft.generate(conditions)
    return _in_order(draft.steps, template.stages)


def _followers(steps: dict[str, Step]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {name: [] for name in steps}
    for step in steps.values():
        for before in step.waits_for:
            found[before].append(step.id)
    return {name: tuple(rows) for name, rows in found.items()}


def _in_order(steps: dict[str, Step], stages: tuple[str, ...]) -> dict[str, Step]:
    """Steps so that each comes after what it waits for, otherwise by stage and by the order of the template."""
    sorter = TopologicalSorter({step.id: step.waits_for for step in steps.values()})
    try:
        sorter.prepare()
    except CycleError as error:
        raise BadInput(f"order of work: these steps wait for each other: {' <- '.join(error.args[1])}") from None
    place = {stage: number for number, stage in enumerate(stages)}
    heap: list[tuple[int, int, str]] = []
    found: dict[str, Step] = {}

    def offer() -> None:
        for name in sorter.get_ready():
            heappush(heap, (place.get(steps[name].stage, len(place)), steps[name].order, name))

    offer()
    while heap:
        name = heappop(heap)[2]
        found[name] = steps[name]
        sorter.done(name)
        offer()
    return found


@dataclass(slots=True)
class _Draft:
    """Steps being made and changed."""

    layout: Layout
    template: Template
    steps: dict[str, Step] = field(default_factory=dict[str, Step])

    def generate(self, conditions: frozenset[str]) -> None:
        """Makes every step of the template, then drops those whose conditions do not hold."""
        places = [(row, s.address) for row in self.template.rows for s in stations(self.layout) if s.kind == row.each]
        for row, station in places:
            name = _id(row.name, station)
            self.steps[name] = Step(name, row.name, station, row.stage, row.words, len(self.steps))
        for row, station in places:
            name = _id(row.name, station)
            self.steps[name] = self._filled(self.steps[name], row)
        for row, station in places:
            if not all((c.removeprefix("not:") in conditions) != c.startswith("not:") for c in row.when):
                self._drop(_id(row.name, station))

    def _filled(self, step: Step, row: StepRow) -> Step:
        return replace(
            step, after=self._names(row.after, step.station), on=self._names(row.on, step.station),
            parts=self._parts(row.parts, step.station), checks=self._checks(row.checks, step.station),
            reads=self._checks(row.reads, step.station), slots=self._slots(row.slots, step.station),
            machined=self._slots(row.machined, step.station), tools=row.tools,
            place=row.place, hours=row.hours, days=row.days, second=_asked(row.second, self.template.second),
            ticks=row.ticks, caution=row.caution)

    def _names(self, wanted: Iterable[str], station: str) -> tuple[str, ...]:
        """Ids of the steps that references mean; a reference to none is one that this layout has not."""
        found: dict[str, None] = {}
        for one in wanted:
            name, _, at = one.partition("@")
            where = address(at, self.layout, station) if at else ""
            if one in self.steps:
                found[one] = None
            elif where and "*" not in where:
                found |= {i: None for i in (_id(name, where),) if i in self.steps}
            else:
                found |= {step.id: None for step in self.steps.values() if step.name == name and not step.branch
                          and (not at or pattern_matches(where, step.station))}
        return tuple(found)

    def _parts(self, wanted: Iterable[str], station: str) -> tuple[PartNeed, ...]:
        rows = [one.partition("@") for one in wanted]
        return tuple(PartNeed(kind, self._slots((at,), station) if at else ()) for kind, _, at in rows)

    def _slots(self, wanted: Iterable[str], station: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(slot for one in wanted for slot in _slots_like(self.layout, address(one, self.layout, station))))

    def _checks(self, wanted: Iterable[str], station: str) -> tuple[CheckNeed, ...]:
        found: dict[CheckNeed, None] = {}
        for one in wanted:
            name, _, at = one.partition("@")
            where = _stations_like(self.layout, address(at or "{s}", self.layout, station), _kinds_of(name))
            found |= {CheckNeed(name, one): None for one in where if _can_be(self.layout, name, one)}
        return tuple(found)

    def _drop(self, name: str) -> None:
        gone = self.steps.pop(name)
        for step in list(self.steps.values()):
            if name in step.waits_for:
                after = tuple(dict.fromkeys((*(o for o in step.after if o != name), *gone.after)))
                on = tuple(o for o in step.on if o != name)
                if name in step.on:
                    on = tuple(dict.fromkeys((*on, *gone.on)))
                else:
                    after = tuple(dict.fromkeys((*after, *gone.on)))
                self.steps[step.id] = replace(step, after=after, on=on)

    def edit(self, body: Edit) -> None:
        """Makes one edit; raises BadInput naming what it cannot do."""
        match body:
            case w.StepAdded():
                self._add(body)
            case w.StepDropped():
                for name in self._meant(body.step):
                    self._drop(name)
            case w.StepRewaited():
                for name in self._meant(body.step):
                    self._rewait(name, body)
            case w.PlanBranched():
                self._branch(body)

    def _meant(self, wanted: str) -> list[str]:
        """Ids that a person's word means: an id, a name, or a stage."""
        found = [s.id for s in self.steps.values() if wanted == s.id or (not s.branch and wanted in {s.name, s.stage})]
        if not found:
            raise BadInput(f"step: {wanted!r} is not in the plan; 'tenths steps list' shows the names")
        return found

    def _known(self, wanted: Iterable[str], station: str) -> tuple[str, ...]:
        for one in wanted:
            if not self._names((one,), station):
                raise BadInput(f"step: {one!r} is not in the plan; 'tenths steps list' shows the names")
        return self._names(wanted, station)

    def _asked_checks(self, wanted: Iterable[str], station: str) -> tuple[CheckNeed, ...]:
        for one in wanted:
            if not self._checks((one,), station):
                raise BadInput(f"check: {one!r} is not judged there; 'tenths check ENGINE --json' names characteristics and stations")
        return self._checks(wanted, station)

    def _add(self, body: w.StepAdded) -> None:
        self._vet_new(body)
        name = _id(body.step, body.station)
        hours = _hours(body.hours)
        self.steps[name] = Step(
            name, body.step, body.station, body.stage, body.words, max((s.order for s in self.steps.values()), default=0) + 1,
            after=self._known(body.after, body.station), on=self._known(body.on, body.station),
            parts=self._parts(body.parts, body.station), checks=self._asked_checks(body.checks, body.station),
            slots=self._slots(body.slots, body.station), tools=body.tools, place=body.place, hours=hours,
            second=_asked(body.second, self.template.second), ticks=body.ticks)
        for before in self._known(body.before, body.station):
            self.steps[before] = replace(self.steps[before], after=(*self.steps[before].after, name))

    def _vet_new(self, body: w.StepAdded) -> None:
        from tenths.work.template import NAME  # noqa: PLC0415 - only here

        if not NAME.fullmatch(body.step):
            raise BadInput(f"step: {body.step!r} is not taken; give small letters, digits and hyphens, up to 60")
        if _id(body.step, body.station) in self.steps:
            raise BadInput(f"step: {_id(body.step, body.station)!r} is in the plan already")
        if body.stage not in self.template.stages:
            raise BadInput(f"stage: {body.stage!r} is not one of {', '.join(self.template.stages)}")
        if body.station not in station_map(self.layout):
            raise BadInput(f"station: {body.station!r} is not on this engine")
        if not body.words.strip():
            raise BadInput("words: say what is done")

    def _rewait(self, name: str, body: w.StepRewaited) -> None:
        step = self.steps[name]
        self.steps[name] = replace(
            step,
            after=step.after if body.after is None else self._known(body.after, step.station),
            on=step.on if body.on is None else self._known(body.on, step.station),
            parts=step.parts if body.parts is None else self._parts(body.parts, step.station),
            checks=step.checks if body.checks is None else self._asked_checks(body.checks, step.station),
            tools=step.tools if body.tools is None else body.tools)

    def _branch(self, body: w.PlanBranched) -> None:
        """Copies steps; the copies begin when the originals are done, and what waited for those waits for both."""
        tail = BRANCH + "-".join(body.branch.lower().split())
        if len(tail) == 1 or any(s.branch == body.branch or s.id.endswith(tail) for s in self.steps.values()):
            raise BadInput(f"branch: {body.branch!r} is not taken; give a name that no other branch has")
        chosen = {name: None for wanted in body.steps for name in self._meant(wanted)}
        if not chosen:
            raise BadInput("branch: say which steps are to be gone through once more: stages, names or ids")
        family = {s.id for s in self.steps.values() if s.id.partition(BRANCH)[0] in chosen}
        ends = tuple(name for name in family if not any(name in s.waits_for for s in self.steps.values() if s.id in family))
        copies = {name: self._copy(self.steps[name], chosen, tail, body.branch, ends) for name in chosen}
        for step in list(self.steps.values()):
            if step.id not in family:
                self.steps[step.id] = replace(step, after=_both(step.after, chosen, tail), on=_both(step.on, chosen, tail))
        self.steps |= {copy.id: copy for copy in copies.values()}

    @staticmethod
    def _copy(step: Step, chosen: dict[str, None], tail: str, branch: str, ends: tuple[str, ...]) -> Step:
        inside = any(name in chosen for name in step.waits_for)
        after = tuple(name + tail if name in chosen else name for name in step.after)
        on = tuple(name + tail if name in chosen else name for name in step.on)
        if not inside:
            after = tuple(dict.fromkeys((*after, *sorted(ends))))
        return replace(step, id=step.id + tail, branch=branch, on=on, after=after)


def _both(names: tuple[str, ...], chosen: dict[str, None], tail: str) -> tuple[str, ...]:
    return (*names, *(name + tail for name in names if name in chosen))


@lru_cache(maxsize=4096)
def _slots_like(layout: Layout, pattern: str) -> tuple[str, ...]:
    known = slots(layout)
    if "*" not in pattern:
        return (pattern,) if pattern in known else ()
    return tuple(slot for slot in known if pattern_matches(pattern, slot))


@lru_cache(maxsize=4096)
def _stations_like(layout: Layout, pattern: str, kinds: tuple[str, ...]) -> tuple[str, ...]:
    if "*" not in pattern:
        place = station_map(layout).get(pattern)
        return (pattern,) if place and place.kind in kinds else ()
    return tuple(s.address for s in stations(layout) if s.kind in kinds and pattern_matches(pattern, s.address))


@lru_cache(maxsize=4096)
def _can_be(layout: Layout, characteristic: str, station: str) -> bool:
    """Whether it can ever be worked out there: a spread needs two places, which one hole under a deck has not."""
    from tenths.findings.check import catalogue, places_of  # noqa: PLC0415 - see `_kinds_of`
    from tenths.findings.declare import Over  # noqa: PLC0415 - the same

    for way in catalogue()[characteristic].ways:
        if not isinstance(way, Over) or way.how != "spread":
            return True
        bank = station.split(".")[1] if station.startswith("deck.") else ""
        places = [where for other, where in places_of(layout) if other.name == way.of
                  and (not bank or layout.cylinder(where.split(".")[1]).bank == bank)]
        if len(places) > 1:
            return True
    return False


def _id(name: str, station: str) -> str:
    return name if station == "engine" else f"{name}@{station}"


def _asked(second: str, classes: dict[str, Second]) -> Asked:
    how = classes.get(second, "none" if second not in {"pass", "person"} else second)
    return "" if how == "none" else how  # type: ignore[return-value]


def _hours(text: str) -> Range:
    try:
        return range_of([float(part) for part in text.replace(",", " ").split()], "hours") if text.strip() else NO_TIME
    except ValueError:
        raise BadInput(f"hours: {text!r} is not taken; give one number of hours, or low, likely and high such as '0.3 0.5 1'") from None


def _kinds_of(characteristic: str) -> tuple[str, ...]:
    from tenths.findings.check import catalogue  # noqa: PLC0415 - what only lists steps needs none of it

    found = catalogue().get(characteristic)
    if found is None:
        raise BadInput(f"check: {characteristic!r} is not a characteristic; 'tenths check ENGINE --json' names them")
    return found.kinds
