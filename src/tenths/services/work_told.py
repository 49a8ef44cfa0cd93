"""The steps that were done, as a record tells them: from the engine's own log alone."""

from tenths.engine.stations import station_map
from tenths.logbook import work_bodies as w
from tenths.services.questions import Answer
from tenths.services.shop import Shop
from tenths.services.work_sentences import WORK_WORDS
from tenths.work.facts import facts_of
from tenths.work.state import StepState, state_of


def steps_told(shop: Shop, engine: str) -> list[Answer]:
    """Stages with the steps that were done: words, place, by whom and when, second check, what it went past, why it is undone.

    Raises:
        BadInput: when the engine is not opened.
    """
    build = shop.build(engine)
    state = state_of(build, facts_of(build, []))
    places = station_map(build.layout) if build.layout else {}
    rows: list[Answer] = []
    for stage in state.plan.stages:
        some = [s for s in state.states.values() if s.step.stage == stage]
        rows.append({"stage": stage, "total": len(some), "done": sum(s.status == "done" for s in some),
                     "rows": [_told(s, places[s.step.station].words if s.step.station in places else s.step.station)
                              for s in some if s.doings.done]})
    return rows


EDITS = (w.StepAdded, w.StepDropped, w.StepRewaited, w.PlanBranched)


def edits_told(shop: Shop, engine: str) -> list[Answer]:
    """How the plan of an engine was changed: when, by whom, what and why, in order."""
    return [{"at": mark.at, "person": mark.person, "words": WORK_WORDS[type(body)](body)}
            for mark, body in shop.build(engine).work if isinstance(body, EDITS)]


def _told(state: StepState, place: str) -> Answer:
    here = state.doings
    assert here.done is not None  # noqa: S101 - the caller has looked
    return {"step": state.step.id, "words": state.step.words, "station": state.step.station, "station_words": place,
            "branch": state.step.branch, "person": here.done.person, "at": here.done.at, "note": here.note, "past": list(here.past),
            "ticks": list(here.ticks), "checker": here.checked.person if here.checked else "",
            "checked": here.checked.at if here.checked else "", "check_words": state.check_words,
            "again": state.again.words if state.again else ""}
