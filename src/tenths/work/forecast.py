"""From the state of an engine to what is still to be done, until when its parts will be there, and what to do next."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from tenths.work.facts import Shelves, needs_met_by
from tenths.work.finish import CHECKING, Task
from tenths.work.hours import Calendar
from tenths.work.parts import PartWay, lead_of
from tenths.work.plan import PartNeed
from tenths.work.state import StepState, WorkState
from tenths.work.template import NO_TIME, Range

LATE: Range = (0.0, 0.0, 7.0)  # days by which a promise is missed, while the shop has no history; common practice, no source
UNORDERED: Range = (3.0, 7.0, 21.0)  # days until a part comes that nobody has ordered; common practice, no source
HOURS_PER_DAY = 8.0 * 5 / 7  # working hours [h] that pass in a day of the calendar, for ranking only
LEAST = 0.1  # share of the likely hours that a begun step still takes at least


def tasks_of(state: WorkState, shelves: Shelves, calendar: Calendar, now: str) -> list[Task]:
    """What is still to be done, in the order of the plan; a step that waits for its second check takes the checking."""
    needs = needs_met_by(state.plan, shelves)
    by_need: dict[PartNeed, list[str]] = {}
    for part, rows in needs.items():
        for need in rows:
            by_need.setdefault(need, []).append(part)
    left = {s.step.id for s in state.states.values() if s.status != "done"}
    return [_task(s, left, by_need, calendar, now) for s in state.states.values() if s.step.id in left]


def _task(state: StepState, left: set[str], by_need: Mapping[PartNeed, Iterable[str]], calendar: Calendar, now: str) -> Task:
    step = state.step
    after = tuple(name for name in step.waits_for if name in left)
    if state.status == "to check":
        return Task(step.id, CHECKING, after)
    parts = tuple(dict.fromkeys(part for need in step.parts for part in by_need.get(need, ())))
    outside = tuple(calendar.away(d) for d in step.days)
    return Task(step.id, _left(state, now), after, parts, (outside[0], outside[1], outside[2]) if step.days[2] else NO_TIME, step.place)


def _left(state: StepState, now: str) -> Range:
    """Hours still to go: those of the step, less what was spent on it since it was last done."""
    since = state.doings.done.at if state.doings.done else ""
    spent = sum(run.hours(now) for run in state.doings.runs if run.begun >= since)
    low, likely, high = state.step.hours
    least = LEAST * likely
    return max(least, low - spent), max(least, likely - spent), max(least, high - spent)


def arrivals_of(shelves: Shelves, parts: Iterable[str], calendar: Calendar, lateness: Range = LATE) -> dict[str, Range]:
    """Working hours [h] until each missing part is there.

    A promised part comes on its day or later by the shop's usual lateness [days]; one that is late already from tomorrow
    on; one that nobody has ordered after the days that its source needs.
    """
    return {name: _arrival(shelves.ways[name], calendar, lateness) for name in dict.fromkeys(parts)}


def _arrival(way: PartWay, calendar: Calendar, lateness: Range) -> Range:
    if way.where in {"on order", "out"} and way.promised is not None:
        base = max(0, (way.promised - calendar.today).days) or 1
        days = (base + lateness[0], base + lateness[1], base + lateness[2])
    else:
        leads = [lead for s in way.sources if (lead := lead_of(s.lead))]
        days = min(leads, key=lambda r: r[1]) if leads else UNORDERED
    low, likely, high = (calendar.until(_day_after(calendar, d)) for d in days)
    return low, likely, high


def _day_after(calendar: Calendar, days: float) -> date:
    return date.fromordinal(calendar.today.toordinal() + round(days))


def lateness_of(ways: Iterable[PartWay]) -> tuple[Range, int]:
    """By how many days [days] parts of the shop came later than first promised: low, likely, high, and from how many.

    From five parts on it is the shop's own: the tenth, the half and the nine tenths of them, early ones counted as on time.
    """
    days = sorted(max(0, (date.fromisoformat(w.arrived.at[:10]) - w.first_promise).days) for w in ways if w.arrived and w.first_promise)
    if len(days) < 5:
        return LATE, len(days)
    picks = [float(days[round(share * (len(days) - 1))]) for share in (0.1, 0.5, 0.9)]
    return (picks[0], picks[1], picks[2]), len(days)


@dataclass(frozen=True, slots=True)
class NextStep:
    """A step that can be done now, with what doing it brings.

    ``opens`` are the steps that wait for nothing else; ``behind`` is how many wait for it at all, directly or not;
    ``way`` the likely hours [h] of the longest chain of work from its beginning to the end.
    """

    state: StepState
    opens: tuple[str, ...]
    behind: int
    way: float


def next_steps(state: WorkState) -> tuple[NextStep, ...]:
    """What can be done now, the step with the longest way behind it first; then the one that opens most."""
    plan, states = state.plan, state.states
    behind: dict[str, set[str]] = {}
    way: dict[str, float] = {}
    for step in reversed(plan.steps.values()):
        after = [name for name in plan.followers.get(step.id, ()) if states[name].status != "done"]
        behind[step.id] = set(after).union(*(behind[name] for name in after))
        way[step.id] = step.hours[1] + step.days[1] * HOURS_PER_DAY + max((way[name] for name in after), default=0.0)
    rows = [NextStep(s, _opens(state, s.step.id), len(behind[s.step.id]), way[s.step.id]) for s in state.offered]
    return tuple(sorted(rows, key=lambda r: (-r.way, -len(r.opens), -r.behind, r.state.step.order)))


def _opens(state: WorkState, name: str) -> tuple[str, ...]:
    found: list[str] = []
    for other in state.plan.followers.get(name, ()):
        waits = state.states[other].waits
        if state.states[other].status not in {"done", "to check"} and all(w.kind == "step" and w.what == name for w in waits):
            found.append(other)
    return tuple(found)
