"""What lies ahead: what can be done now and by whom, what is missing, when an engine will be done, how engines share the shop."""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from tenths.errors import BadInput
from tenths.logbook.build import Build
from tenths.logbook.entry import utc_text
from tenths.logbook.money_bodies import EngineDue, HoursKept
from tenths.services.questions import Answer
from tenths.services.shop import SHOP, Shop
from tenths.services.steps import work_state
from tenths.work.blocks import Block, blocks_of
from tenths.work.facts import Shelves, needs_met_by
from tenths.work.finish import Finish, Task, finish_of
from tenths.work.forecast import NextStep, arrivals_of, lateness_of, next_steps, tasks_of
from tenths.work.hours import Calendar
from tenths.work.parts import held_up, ways
from tenths.work.schedule import Placed, schedule
from tenths.work.state import WorkState, this_job
from tenths.work.template import Range
from tenths.work.vet_money import calendar_of, kept_hours

SEED = 20260302  # the same question about the same log gets the same answer


def calendar(shop: Shop) -> Calendar:
    """When the shop works, from today on."""
    return calendar_of(kept_hours(list(shop.build(SHOP).work)), shop.clock().date().isoformat())


def hours_kept(shop: Shop) -> HoursKept:
    """When and by whom the shop works, as its log says last, else as usual."""
    return kept_hours(list(shop.build(SHOP).work))


def people_of(shop: Shop, engines: Iterable[str] = ()) -> list[str]:
    """Who works in the shop: as its log names them, else everybody who has done or begun a step."""
    named = kept_hours(list(shop.build(SHOP).work)).people
    if named:
        return list(named)
    found: dict[str, None] = {}
    for engine in engines or shop.engines():
        for mark, body in shop.build(engine).work:
            if body.TYPE.startswith("step."):
                found[mark.person] = None
    return list(found) or [shop.person]


# -- what next ---------------------------------------------------------------------------------------------------------

def next_up(shop: Shop, engine: str, *, limit: int = 0) -> Answer:
    """What can be done now on an engine, ordered by what it frees; who could do what; what is missing and holds up how much.

    Args:
        shop: the shop.
        engine: which engine.
        limit: at most so many steps; 0 means all.

    Returns:
        ``offered`` (step, words, what it opens, hours of the longest way behind it, why it stands there), ``people`` (each
        with what they are at and what they could take), ``to_check``, ``missing`` parts, ``checks`` and ``tools`` that hold up.
    """
    build, state = shop.build(engine), work_state(shop, engine)
    rows = next_steps(state)
    told = [_next_answer(row) for row in (rows[:limit] if limit else rows)]
    return {
        "engine": engine, "name": build.name, "position": build.position, "offered": told,
        "people": _people(shop, engine, state, rows),
        "to_check": [{"step": s.step.id, "words": s.step.words, "why": s.check_words} for s in state.states.values()
                     if s.status == "to check"],
        "missing": _missing(shop, build, state), "checks": _stops(state, "check"), "tools": _stops(state, "tool"),
        "done": sum(s.status == "done" for s in state.states.values()), "total": len(state.states),
    }


def _next_answer(row: NextStep) -> Answer:
    step = row.state.step
    why = f"{row.way:.1f} h is the longest way from here to the end"
    if row.opens:
        why = f"opens {len(row.opens)}; " + why
    return {"step": step.id, "words": step.words, "station": step.station, "stage": step.stage, "status": row.state.status,
            "place": step.place, "hours": list(step.hours), "opens": list(row.opens), "behind": row.behind, "way": round(row.way, 2),
            "why": why, "begun_by": [run.person for run in row.state.doings.running]}


def _people(shop: Shop, engine: str, state: WorkState, rows: Iterable[NextStep]) -> list[Answer]:
    """Everybody with what they are at, and the first step that nobody is at or was given, their own kind of work first."""
    people = people_of(shop, [engine])
    at = {p: [s.step.id for s in state.states.values() if any(run.person == p for run in s.doings.running)] for p in people}
    did: dict[tuple[str, str], int] = {}
    for s in state.states.values():
        if s.doings.done:
            did[s.doings.done.person, s.step.stage] = did.get((s.doings.done.person, s.step.stage), 0) + 1
    free = [row for row in rows if not row.state.doings.running]
    told: list[Answer] = []
    for person in sorted(people, key=lambda p: (bool(at[p]), people.index(p))):
        top = free[0] if free else None
        pick = max(free[:len(people) + 1], key=lambda r: (did.get((person, r.state.step.stage), 0), r.way), default=None)
        if pick is not None and not at[person]:
            free.remove(pick)
        before = did.get((person, pick.state.step.stage), 0) if pick else 0
        why = "the longest way is behind it" if pick is top else "next in order"
        if pick and before:
            why = f"has done {before} of {pick.state.step.stage}"
        told.append({"person": person, "at": at[person], "next": "" if at[person] or pick is None else pick.state.step.id,
                     "why": "" if at[person] or pick is None else why})
    return sorted(told, key=lambda r: people.index(r["person"]))


def _missing(shop: Shop, build: Build, state: WorkState) -> list[Answer]:
    shelves = Shelves(build)
    done = [s.step.id for s in state.states.values() if s.status == "done"]
    today = shop.clock().date()
    stops = held_up(state.plan, needs_met_by(state.plan, shelves), done)
    rows = [{"part": part, "words": shelves.ways[part].words, "where": shelves.ways[part].where, "supplier": shelves.ways[part].supplier,
             "promised": day.isoformat() if (day := shelves.ways[part].promised) else "", "late": shelves.ways[part].late(today),
             "holds_up": list(steps)} for part, steps in stops.items() if steps]
    return sorted(rows, key=lambda r: -len(r["holds_up"]))


def _stops(state: WorkState, kind: str) -> list[Answer]:
    """Checks or tools that hold up steps whose other waits for steps are over."""
    found: dict[str, Answer] = {}
    for s in state.states.values():
        if any(w.kind == "step" for w in s.waits):
            continue
        for wait in s.waits:
            if wait.kind == kind:
                found.setdefault(wait.what, {"what": wait.what, "words": wait.words, "steps": []})["steps"].append(s.step.id)
    return list(found.values())


# -- when it will be done ----------------------------------------------------------------------------------------------

def _ahead(shop: Shop, engine: str) -> tuple[list[Task], dict[str, Range], Calendar, WorkState, int]:
    build, state, days = shop.build(engine), work_state(shop, engine), calendar(shop)
    shelves = Shelves(build)
    tasks = tasks_of(state, shelves, days, utc_text(shop.clock()))
    lateness, known = lateness_of(way for name in shop.engines() for way in ways(shop.build(name)).values())
    return tasks, arrivals_of(shelves, (p for t in tasks for p in t.parts), days, lateness), days, state, known


def finish(shop: Shop, engine: str, *, people: int = 0, by: str = "", samples: int = 1000) -> Answer:
    """When an engine will be done, as a distribution over hours of work and days of suppliers, if nothing else is worked on.

    Args:
        shop: the shop.
        engine: which engine.
        people: how many work at it; 0 means as many as the shop has, two at most.
        by: a day; tells the chance to be done by then.
        samples: how many fates are drawn.

    Returns:
        ``early``, ``likely`` and ``late`` days (one in ten, half, nine in ten fates are done by then), hours left, ``parts``
        with the days that each costs on the average, ``chance`` for the day asked or promised, ``spread``: which share of the fates
        ends on which day.
    """
    tasks, arrivals, days, state, known = _ahead(shop, engine)
    crew = people or min(2, len(people_of(shop, [engine])))
    found = finish_of(tasks, arrivals, people=crew, seed=SEED, samples=samples)
    due = by or due_of(shop.build(engine))
    return {
        "engine": engine, "position": shop.build(engine).position, "people": crew, "samples": samples, "steps": len(tasks),
        "hours": round(sum(t.hours[1] for t in tasks), 2), **_quantiles(found, days),
        "parts": [{"part": part, "days": round(cost / days.hours, 2), "arrives": [days.day(h).isoformat() for h in arrivals[part]]}
                  for part, cost in sorted(found.cost_of.items(), key=lambda row: -row[1])],
        "due": due, "chance": _chance(found, days, due) if due else None, "history": known, "waits": _still_waits(state),
        "spread": _spread(found, days),
    }


def _quantiles(found: Finish, days: Calendar) -> Answer:
    return {name: days.day(found.quantile(share)).isoformat() for name, share in (("early", 0.1), ("likely", 0.5), ("late", 0.9))}


def _told(found: Finish, days: Calendar) -> Answer:
    return {**_quantiles(found, days), "spread": _spread(found, days)}


def _spread(found: Finish, days: Calendar) -> list[Answer]:
    ends = Counter(days.day(float(hours)) for hours in found.samples)
    return [{"day": day.isoformat(), "share": count / len(found.samples)} for day, count in sorted(ends.items())]


def _chance(found: Finish, days: Calendar, day: str) -> float:
    try:
        last = date.fromisoformat(day)
    except ValueError:
        raise BadInput(f"day: {day!r} is not a day; write it year first, such as 2026-03-31") from None
    return found.by(days.until(date.fromordinal(last.toordinal() + 1)))


def _still_waits(state: WorkState) -> list[Answer]:
    """Checks that do not fit and hold up steps: the finish takes it that they will."""
    return _stops(state, "check")


def due_of(build: Build) -> str:
    """The day for which an engine is promised to its customer; empty when none was said."""
    return next((body.day for _, body in reversed(this_job(build.work)) if isinstance(body, EngineDue)), "")


def if_late(shop: Shop, engine: str, part: str, days_late: int, *, people: int = 0) -> Answer:
    """What it does to the finish when one missing part comes so many days later; the same fates are drawn for both.

    Raises:
        BadInput: for a part that is not missing, or days outside 1 to 365.
    """
    tasks, arrivals, days, state, _ = _ahead(shop, engine)
    if part not in arrivals:
        raise BadInput(f"part: {part!r} is not missed by any step; missing are {', '.join(arrivals) or 'none'}")
    if not 1 <= days_late <= 365:
        raise BadInput(f"days: {days_late} is outside 1 to 365")
    crew = people or min(2, len(people_of(shop, [engine])))
    now = finish_of(tasks, arrivals, people=crew, seed=SEED, costs=False)
    then = finish_of(tasks, arrivals, people=crew, seed=SEED, costs=False, shift={part: days.away(days_late)})
    shelves = Shelves(shop.build(engine))
    stops = held_up(state.plan, needs_met_by(state.plan, shelves), (s.step.id for s in state.states.values() if s.status == "done"))
    return {"engine": engine, "part": part, "days": days_late, "before": _told(now, days), "after": _told(then, days),
            "shift": round((then.mean - now.mean) / days.hours, 2), "holds_up": list(stops.get(part, ()))}


# -- several engines ---------------------------------------------------------------------------------------------------

def plan_shop(shop: Shop, engines: Iterable[str] = (), *, people: int = 0, time_limit: float = 20.0) -> Answer:
    """A schedule for several engines that share people and places, with likely hours and likely arrivals, and every reason.

    Args:
        shop: the shop.
        engines: which; none means all with work left.
        people: how many work; 0 means as many as the shop has.
        time_limit: of the integer program [s].

    Returns:
        ``rows`` by their start (engine, steps, person, place, days, why), ``finishes`` by engine with the day promised, ``gap``:
        by how much, at most, the worst engine could be done sooner, as a share of the whole.
    """
    days, who = calendar(shop), people_of(shop)
    crew = people or len(who)
    blocks: list[Block] = []
    due: dict[str, float] = {}
    for engine in engines or shop.engines():
        build = shop.build(engine)
        if build.layout is None:
            continue
        tasks, arrivals, _, state, _ = _ahead(shop, engine)
        blocks += blocks_of(engine, tasks, arrivals, {s.step.id: s.step.stage for s in state.states.values()})
        if day := due_of(build):
            due[engine] = days.until(date.fromordinal(date.fromisoformat(day).toordinal() + 1))
    told = schedule(blocks, people=crew, due=due, places=kept_hours(list(shop.build(SHOP).work)).places, time_limit=time_limit)
    names = who if len(who) >= crew else [*who, *(f"person {k + 1}" for k in range(len(who), crew))]
    return {
        "today": days.today.isoformat(), "people": names[:crew], "rows": [_row(p, days, names) for p in told.placed],
        "finishes": [{"engine": e, "hours": round(end, 2), "day": days.day(end).isoformat(), "due": due_of(shop.build(e)),
                      "late": max(0, _days_past(days.day(end), due_of(shop.build(e))))} for e, end in told.finishes.items()],
        "latest": round(told.latest, 2), "bound": round(told.bound, 2), "gap": round(told.gap, 4), "solver": told.solver,
    }


def _days_past(day: date, due: str) -> int:
    return (day - date.fromisoformat(due)).days if due else 0


def _row(placed: Placed, days: Calendar, names: list[str]) -> Answer:
    block = placed.block
    return {"engine": block.engine, "steps": list(block.steps), "stage": block.stage, "place": block.place, "person": names[placed.person],
            "start": round(placed.start, 3), "end": round(placed.end, 3), "hours": round(block.hours, 3),
            "from": days.day(placed.start + 1e-6).isoformat(), "to": days.day(placed.end).isoformat(), "why": placed.reason}
