"""The state of every step, folded from the log: done, begun, to be done again, or what it waits for."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from tenths.errors import BadInput
from tenths.logbook import work_bodies as w
from tenths.logbook.body import Body
from tenths.logbook.build import Build, Mark
from tenths.logbook.money_bodies import EngineReturned
from tenths.work.plan import Edit, PartNeed, Plan, Step, conditions_of, plan_from
from tenths.work.stale import Undone, undone
from tenths.work.template import shipped_text

Status = Literal["open", "begun", "to check", "done", "again"]
EDITS = (w.StepAdded, w.StepDropped, w.StepRewaited, w.PlanBranched)


@dataclass(frozen=True, slots=True)
class Wait:
    """One thing that a step waits for: a step, a part, a check or a tool, by its name, said in words."""

    kind: Literal["step", "part", "check", "tool"]
    what: str
    words: str


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of work: who, from when to when by the device's clock (to is empty while it runs)."""

    person: str
    begun: str
    stopped: str = ""

    def hours(self, now: str = "") -> float:
        """Length [h], up to ``now`` while it runs; nothing when the clocks say that it ended before it began."""
        end = self.stopped or now
        if not end:
            return 0.0
        return max(0.0, (datetime.fromisoformat(end) - datetime.fromisoformat(self.begun)).total_seconds() / 3600)


@dataclass(slots=True)
class Doings:
    """What the log says of one step."""

    done: Mark | None = None
    note: str = ""
    ticks: tuple[str, ...] = ()
    past: tuple[str, ...] = ()
    checked: Mark | None = None
    check_note: str = ""
    runs: list[Run] = field(default_factory=list[Run])
    notes: list[tuple[Mark, str]] = field(default_factory=list[tuple[Mark, str]])

    @property
    def running(self) -> tuple[Run, ...]:
        """The stretches that have not ended."""
        return tuple(run for run in self.runs if not run.stopped)


@dataclass(frozen=True, slots=True)
class StepState:
    """A step as it stands. It is offered when it is not done, or to be done again, and waits for nothing."""

    step: Step
    status: Status
    waits: tuple[Wait, ...]
    doings: Doings
    again: Undone | None = None
    check_words: str = ""

    @property
    def offered(self) -> bool:
        """Whether it can be worked on now."""
        return self.status in {"open", "begun", "again"} and not self.waits

    @property
    def fulfilled(self) -> bool:
        """Whether steps that wait for it may go on."""
        return self.status == "done"


@dataclass(frozen=True, slots=True)
class Facts:
    """What the world outside the plan says: which parts are missing, which checks fit, which tools are away.

    ``missing`` gives the words for a need of parts that is not met, or nothing; ``verdicts`` is by characteristic and
    station; ``away`` is tool to why.
    """

    missing: Callable[[PartNeed], str]
    verdicts: Mapping[tuple[str, str], str]
    away: Mapping[str, str] = field(default_factory=dict[str, str])


@dataclass(frozen=True, slots=True)
class WorkState:
    """A plan with the state of every step, in the order of the plan; ``adopted`` says whether the log holds the plan."""

    plan: Plan
    states: dict[str, StepState]
    adopted: Mark | None
    problems: tuple[tuple[Mark, str], ...]

    @property
    def offered(self) -> tuple[StepState, ...]:
        """The steps that can be worked on now."""
        return tuple(s for s in self.states.values() if s.offered)


def plan_of(build: Build, template: str = "") -> tuple[Plan, Mark | None, tuple[tuple[Mark, str], ...]]:
    """The plan of an engine as its log says, who adopted it, and its problems.

    Args:
        build: the engine as its logbook leaves it.
        template: what it would take, as long as it has adopted none; else the one that comes with Tenths.

    Raises:
        BadInput: when the engine is not opened, or the adopted template cannot be read.
    """
    if build.layout is None:
        raise BadInput("plan: this engine is not opened yet")
    text, mark, edits, marks = plan_text(build.work)
    kinds = (part.card.kind for part in build.parts.values())
    plan = plan_from(text or template or shipped_text(), build.layout, conditions_of(build.layout, use=build.use, part_kinds=kinds), edits)
    return plan, mark, tuple((marks[number], words) for number, words in plan.problems)


def plan_text(work: Iterable[tuple[Mark, Body]]) -> tuple[str, Mark | None, tuple[Edit, ...], tuple[Mark, ...]]:
    """The template in force (empty text: none adopted), its mark, and the edits made since, each with its mark."""
    text, mark = "", None
    edits: list[Edit] = []
    marks: list[Mark] = []
    for at, body in work:
        if isinstance(body, EngineReturned):
            edits, marks = [], []
        elif isinstance(body, w.PlanAdopted):
            text, mark, edits, marks = body.text, at, [], []
        elif isinstance(body, EDITS):
            edits.append(body)
            marks.append(at)
    return text, mark, tuple(edits), tuple(marks)


def this_job(work: Iterable[tuple[Mark, Body]]) -> list[tuple[Mark, Body]]:
    """What happened since the engine last came to the shop: all of it, as long as it never came back."""
    rows = list(work)
    back = max((k for k, (_, body) in enumerate(rows) if isinstance(body, EngineReturned)), default=-1)
    return rows[back + 1:]


def doings_of(work: Iterable[tuple[Mark, Body]]) -> dict[str, Doings]:
    """What was done to each step since the engine last came to the shop, in the order of the log."""
    found: dict[str, Doings] = {}
    for mark, body in this_job(work):
        match body:
            case w.StepBegun():
                _begin(found.setdefault(body.step, Doings()), mark, body.note)
            case w.StepStopped():
                _stop(found.setdefault(body.step, Doings()), mark, body.note)
            case w.StepDone():
                here = found.setdefault(body.step, Doings())
                for run in here.running:
                    here.runs[here.runs.index(run)] = Run(run.person, run.begun, mark.at)
                here.done, here.note, here.ticks, here.past = mark, body.note, body.ticks, body.past
                here.checked, here.check_note = None, ""
            case w.StepChecked():
                here = found.setdefault(body.step, Doings())
                here.checked, here.check_note = mark, body.note
            case _:
                pass
    return found


def _begin(here: Doings, mark: Mark, note: str) -> None:
    if not any(run.person == mark.person for run in here.running):
        here.runs.append(Run(mark.person, mark.at))
    if note:
        here.notes.append((mark, note))


def _stop(here: Doings, mark: Mark, note: str) -> None:
    for number, run in enumerate(here.runs):
        if not run.stopped and run.person == mark.person:
            here.runs[number] = Run(run.person, run.begun, mark.at)
    if note:
        here.notes.append((mark, note))


def state_of(build: Build, facts: Facts, template: str = "") -> WorkState:
    """The state of every step of an engine.

    Args:
        build: the engine as its logbook, or any first part of it, leaves it.
        facts: parts, checks and tools as they are.
        template: the order of work that it would take, as long as it has adopted none.

    Returns:
        The plan with the state of each step.

    Raises:
        BadInput: when the engine is not opened, or the adopted template cannot be read.
    """
    plan, adopted, problems = plan_of(build, template)
    doings = doings_of(build.work)
    again = undone(build, plan, {name: d.done.position for name, d in doings.items() if d.done})
    states: dict[str, StepState] = {}
    for step in plan.steps.values():
        here = doings.get(step.id) or Doings()
        status = _status(step, here, step.id in again)
        waits = () if status in {"done", "to check"} else _waits(step, plan, states, facts)
        states[step.id] = StepState(step, status, waits, here, again.get(step.id), _check_words(step, here))
    return WorkState(plan, states, adopted, problems)


def _status(step: Step, here: Doings, again: bool) -> Status:  # noqa: FBT001 - one of three plain facts
    if here.done is None:
        return "begun" if here.runs else "open"
    if again:
        return "again"
    return "done" if _checked(step, here) else "to check"


def _checked(step: Step, here: Doings) -> bool:
    if not step.second:
        return True
    if here.checked is None or here.done is None:
        return False
    return step.second == "pass" or here.checked.person != here.done.person


def _check_words(step: Step, here: Doings) -> str:
    if here.done is None or not step.second or _checked(step, here):
        return ""
    if step.second == "person":
        twice = f"; {here.done.person} has done and checked it" if here.checked else ""
        return f"somebody else than {here.done.person} is to check it{twice}"
    return "it is to be gone over a second time"


def _waits(step: Step, plan: Plan, states: Mapping[str, StepState], facts: Facts) -> tuple[Wait, ...]:
    found: list[Wait] = []
    for name in step.waits_for:
        if not states[name].fulfilled:
            found.append(Wait("step", name, _step_words(states[name])))
    for need in step.parts:
        words = facts.missing(need)
        if words and (plan.unlisted_parts == "wait" or not words.startswith("nobody has listed")):
            found.append(Wait("part", need.kind, words))
    for need in step.checks:
        verdict = facts.verdicts.get((need.characteristic, need.station), "")
        if verdict not in {"", "fits", "no limit"}:
            found.append(Wait("check", f"{need.characteristic}@{need.station}", f"{need.characteristic} at {need.station}: {verdict}"))
    found += [Wait("tool", tool, f"{tool}: {facts.away[tool]}") for tool in step.tools if tool in facts.away]
    return tuple(found)


def _step_words(state: StepState) -> str:
    place = "" if state.step.station == "engine" else f" at {state.step.station}"
    status = {"open": "not done", "begun": "begun", "to check": "done, not checked", "again": "to be done again"}[state.status]
    return f"{state.step.words}{place}: {status}"
