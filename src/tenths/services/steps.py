"""The steps of an engine: what is done, what can be done now, what the rest waits for; and doing them."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.findings.finding import Finding
from tenths.logbook import bodies
from tenths.logbook import work_bodies as w
from tenths.logbook.build import Build, Mark
from tenths.logbook.entry import Entry, utc_text
from tenths.services.questions import Answer, finding_answer
from tenths.services.shop import SHOP, Shop
from tenths.work.facts import facts_of, tools_away
from tenths.work.state import StepState, WorkState, plan_of, plan_text, state_of
from tenths.work.stock import away
from tenths.work.template import shipped_text


def work_state(shop: Shop, engine: str) -> WorkState:
    """The state of every step of an engine, as the log stands now."""
    build = shop.build(engine)
    return state_of(build, facts_of(build, shop.checked(build), away_tools(shop, engine)), template(shop))


def away_tools(shop: Shop, engine: str) -> dict[str, str]:
    """The tools that steps of an engine name and that are not there, each with why."""
    house = shop.build(SHOP)
    plan = plan_of(shop.build(engine), template(shop))[0]
    named = dict.fromkeys(tool for step in plan.steps.values() for tool in step.tools)
    return tools_away(named, away(house.work), {name: card.kind for name, (_, card) in house.instruments.items()})


def steps(shop: Shop, engine: str, *, units: str = "") -> Answer:
    """All steps of an engine, stage by stage, with what each waits for; see `step_answer` for a row."""
    build, state = shop.build(engine), work_state(shop, engine)
    tell = _Teller(shop, build, state, units)
    rows = [tell.row(s) for s in state.states.values()]
    stages = [{"stage": stage, "steps": [r for r in rows if r["stage"] == stage]} for stage in state.plan.stages]
    return {
        "engine": engine, "name": build.name, "position": build.position, "adopted": state.adopted is not None,
        "stages": [s for s in stages if s["steps"]], "counts": dict(Counter(s.status for s in state.states.values())),
        "total": len(rows), "offered": [r["step"] for r in rows if r["offered"]],
        "problems": [{"entry": mark.entry, "position": mark.position, "what": words} for mark, words in state.problems],
    }


def step(shop: Shop, engine: str, step_id: str, *, units: str = "") -> Answer:
    """One step with all that belongs to it; raises BadInput when the plan has no such step."""
    build, state = shop.build(engine), work_state(shop, engine)
    found = _find(state, step_id)
    return {"engine": engine, "name": build.name, "position": build.position, **_Teller(shop, build, state, units).row(found)}


def row(shop: Shop, engine: str, step_id: str, *, units: str = "") -> Answer:
    """One step as a row of `steps`; raises BadInput when the plan has no such step."""
    state = work_state(shop, engine)
    return _Teller(shop, shop.build(engine), state, units).row(_find(state, step_id))


def _find(state: WorkState, step_id: str) -> StepState:
    from difflib import get_close_matches  # noqa: PLC0415 - only for a name that is not there

    if step_id not in state.states:
        near = ", ".join(get_close_matches(step_id, list(state.states), 4, 0.4)) or "nothing like it"
        raise BadInput(f"step: {step_id!r} is not in the plan; near: {near}")
    return state.states[step_id]


class _Teller:
    """Says steps as JSON, with the findings they read and wait for."""

    def __init__(self, shop: Shop, build: Build, state: WorkState, units: str) -> None:
        self.build, self.state, self.units = build, state, units
        self.now = utc_text(shop.clock())
        self.findings = {(f.characteristic.name, f.station): f for f in shop.checked(build)}
        self.places = station_map(build.layout) if build.layout else {}
        self.cautioned = {s.step.caution for s in state.states.values() if s.step.caution and (s.doings.runs or s.doings.done)}

    def row(self, state: StepState) -> Answer:
        """A step as JSON."""
        at, here = state.step, state.doings
        place = self.places.get(at.station)
        return {
            "step": at.id, "name": at.name, "station": at.station, "station_words": place.words if place else at.station,
            "stage": at.stage, "words": at.words, "branch": at.branch, "status": state.status, "offered": state.offered,
            "waits": [{"kind": x.kind, "what": x.what, "words": x.words} for x in state.waits],
            "waits_for": list(at.waits_for), "stands_on": list(at.on), "frees": list(self.state.plan.followers.get(at.id, ())),
            "again": {"words": state.again.words, "through": state.again.through, "position": state.again.position}
                     if state.again else None,
            "done": mark_answer(here.done, here.note), "checked": mark_answer(here.checked, here.check_note),
            "second": at.second, "check_words": state.check_words,
            "ticks": [{"words": tick, "ticked": tick in here.ticks} for tick in at.ticks], "past": list(here.past),
            "reads": [self._read(need.characteristic, need.station) for need in at.reads],
            "checks": [self._read(need.characteristic, need.station) for need in at.checks],
            "parts": [{"kind": need.kind, "slots": list(need.slots)} for need in at.parts],
            "tools": list(at.tools), "place": at.place, "hours": list(at.hours), "days": list(at.days),
            "spent": sum(run.hours(self.now) for run in here.runs),
            "running": [{"person": run.person, "since": run.begun} for run in here.running],
            "notes": [{"at": m.at, "person": m.person, "text": text} for m, text in here.notes],
            "caution": at.caution, "caution_new": bool(at.caution) and at.caution not in self.cautioned,
        }

    def _read(self, characteristic: str, station: str) -> Answer:
        found: Finding | None = self.findings.get((characteristic, station))
        if found is None:
            return {"characteristic": characteristic, "station": station, "words": characteristic, "verdict": "", "text": ""}
        told = finding_answer(self.build, found, self.units)
        return {"characteristic": characteristic, "station": station, "words": told["words"], "verdict": told["verdict"],
                "text": told["text"]["value"]}


def to_read(shop: Shop, engine: str, step_id: str, rows: Sequence[Mapping[str, Any]]) -> list[Answer]:
    """What the tray still asks for of that which a step reads or waits for.

    Args:
        shop: the shop.
        engine: which engine.
        step_id: which step.
        rows: of the tray, as `tenths.services.tray.tray` gives them.

    Returns:
        One row for each feature at a station: ``station``, ``station_words``, ``feature``, ``words``.
    """
    from tenths.work.stale import rests_of  # noqa: PLC0415 - a step's own page asks

    layout, at = shop.build(engine).layout, _find(work_state(shop, engine), step_id).step
    if layout is None:
        return []
    wanted = {rest for need in (*at.reads, *at.checks) for rest in rests_of(layout, need.characteristic, need.station)}
    told = {(r["feature"], r["station"]): {name: r[name] for name in ("station", "station_words", "feature", "words")} for r in rows}
    return [row for key, row in told.items() if key in wanted]


def mark_answer(mark: Mark | None, note: str = "") -> Answer | None:
    """Who did something and when, as JSON; None when nobody has."""
    return {"at": mark.at, "person": mark.person, "entry": mark.entry, "position": mark.position, "note": note} if mark else None


# -- commands ----------------------------------------------------------------------------------------------------------

def template(shop: Shop) -> str:
    """The order of work that engines of this shop take: the house's own, else the one that comes with Tenths."""
    return plan_text(shop.build(SHOP).work)[0] or shipped_text()


def adopt_plan(shop: Shop, engine: str = "", *, text: str = "", words: str = "") -> Entry:
    """An engine takes an order of work (as given, else the house's); without an engine, the house does for those to come.

    Raises:
        BadInput: names the row and the field that cannot be taken, or the steps that wait for each other.
    """
    return shop.append(engine or SHOP, w.PlanAdopted(text=text or template(shop), words=words))[0]


def _with_plan(shop: Shop, engine: str, *what: bodies.Body, seen: int | None = None, person: str = "") -> Entry:
    """Appends, and takes the house's order of work before it when the engine has none yet."""
    build = shop.build(engine)
    first = () if plan_text(build.work)[0] else (w.PlanAdopted(text=template(shop), words="with the first step"),)
    return shop.append(engine, *first, *what, seen=seen, person=person)[-1]


def begin_step(shop: Shop, engine: str, step_id: str, *, note: str = "", person: str = "") -> Entry:
    """A person begins a step or goes on with it; their time runs."""
    return _with_plan(shop, engine, w.StepBegun(step=step_id, note=note), person=person)


def stop_step(shop: Shop, engine: str, step_id: str, *, note: str = "", person: str = "") -> Entry:
    """A person leaves a step for now; raises BadInput when they are not at it."""
    who = person or shop.person
    runs = _find(work_state(shop, engine), step_id).doings.running
    if not any(run.person == who for run in runs):
        at_it = ", ".join(run.person for run in runs) or "nobody"
        raise BadInput(f"step: {step_id}: {who} is not at it; at it: {at_it}")
    return _with_plan(shop, engine, w.StepStopped(step=step_id, note=note), person=person)


def finish_step(shop: Shop, engine: str, step_id: str, *, ticks: Sequence[str] | None = None, note: str = "",
                person: str = "", seen: int | None = None) -> Entry:
    """A step is done. Nothing is refused: what it waited for, and what was not ticked, is kept with it.

    Args:
        shop: the shop.
        engine: which engine.
        step_id: which step.
        ticks: what was looked at, in the plan's words or by number from 1; None means all of them.
        note: anything else.
        person: who did it, when somebody else than who types.
        seen: position of the log that the person had seen.
    """
    state = _find(work_state(shop, engine), step_id)
    ticked = state.step.ticks if ticks is None else tuple(_tick(state.step.ticks, one) for one in ticks)
    past = [wait.words for wait in state.waits] + [f"not ticked: {t}" for t in state.step.ticks if t not in ticked]
    body = w.StepDone(step=step_id, ticks=ticked, past=tuple(past), note=note)
    return _with_plan(shop, engine, body, person=person, seen=shop.build(engine).position if seen is None else seen)


def _tick(known: Sequence[str], text: str) -> str:
    if text in known:
        return text
    if text.isdigit() and 1 <= int(text) <= len(known):
        return known[int(text) - 1]
    raise BadInput(f"tick: {text!r} is not asked by this step; it asks {'; '.join(known) or 'none'}")


def check_step(shop: Shop, engine: str, step_id: str, *, note: str = "", person: str = "") -> Entry:
    """The second check of a step; raises BadInput when it is not done yet."""
    state = _find(work_state(shop, engine), step_id)
    if state.doings.done is None:
        raise BadInput(f"step: {step_id}: it is not done yet, so that there is nothing to check")
    return _with_plan(shop, engine, w.StepChecked(step=step_id, note=note), person=person)


def edit_plan(shop: Shop, engine: str, edit: w.StepAdded | w.StepDropped | w.StepRewaited | w.PlanBranched) -> Entry:
    """Changes the plan of one engine: a step added or dropped, other waits, steps gone through once more."""
    return _with_plan(shop, engine, edit)


def stage_counts(answer: Mapping[str, Any]) -> list[tuple[str, int, int]]:
    """Stage, steps done, steps in all, of what `steps` answered."""
    return [(stage["stage"], sum(r["status"] == "done" for r in stage["steps"]), len(stage["steps"])) for stage in answer["stages"]]
