"""Choices: what the house could do, proved best, with reasons; and accepting one, with the numbers seen."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import msgspec

from tenths.choose import answer as choice
from tenths.engine.quantity import Quantity, from_si, unit_for, write
from tenths.errors import BadInput
from tenths.findings.check import catalogue, check
from tenths.findings.finding import Finding
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.metrology.decide import Verdict
from tenths.services.asked import Ask, Asked
from tenths.services.knobs import Knobs
from tenths.services.matching import KNOBS as MATCHING
from tenths.services.matching import matching
from tenths.services.questions import Answer, System, system_of, telling_places
from tenths.services.ring_places import exchanged
from tenths.services.rings import filings, ring_answer
from tenths.services.shells import HOLDS, shells
from tenths.services.shims import KNOBS as SHIMS
from tenths.services.shims import shims
from tenths.services.shop import Shop
from tenths.services.stacks import KNOBS as STACK
from tenths.services.stacks import stack
from tenths.services.timing_set import CENTRE, cam_timing
from tenths.services.timing_set import KNOBS as TIMING


def choices(shop: Shop, engine: str) -> list[Answer]:
    """Every question that can be asked of an engine as it stands, answered; those without anything to choose are left out."""
    build = shop.build(engine)
    return [as_answer(build, found) for found in every(build)]


def every(build: Build) -> list[Asked]:
    """Every question that has something to choose, in the order of the list; one that cannot be asked as it is set says why."""
    return [found for name in QUESTIONS if (found := _asked(build, name)) is not None]


def _asked(build: Build, name: str) -> Asked | None:
    try:
        return QUESTIONS[name](build)
    except BadInput as error:
        title = name.replace("-", " ").capitalize()
        return Asked(name, title, choice.Answer(title, (), stops=(choice.Stop("engine", "what was set", f"{error}."),)), ())


def ask(shop: Shop, engine: str, question: str) -> Asked:
    """One question; raises BadInput when it is not known or has nothing to choose from."""
    if question not in QUESTIONS:
        raise BadInput(f"question: {question!r} is not known; there are {', '.join(QUESTIONS)}")
    found = _asked(shop.build(engine), question)
    if found is None:
        raise BadInput(f"question: {question}: nothing to choose yet; it needs readings, and for shells halves in the house")
    return found


def accept(shop: Shop, engine: str, question: str, *, option: int = 0, words: str = "", seen: int | None = None) -> Entry:
    """Accepts the best answer (option 0) or one of the next-best, with the numbers that were seen."""
    found = ask(shop, engine, question)
    build = shop.build(engine)
    if not found.answer.possible or not found.answer.picks:
        raise BadInput(f"question: {question}: there is no answer to accept: {found.answer.stops[0].words}")
    if not 0 <= option <= len(found.answer.alternatives):
        raise BadInput(f"option: {option} is not one of 0 to {len(found.answer.alternatives)}")
    body = msgspec.structs.replace(acceptance(build, found, option), words=words)
    return shop.append(engine, body, seen=build.position if seen is None else seen)[0]


def acceptance(build: Build, found: Asked, option: int) -> bodies.ChoiceAccepted:
    """What accepting the best answer (option 0) or one of the next-best writes into the log: all that stood in view."""
    best, system = found.answer, system_of(build)
    offered = [(best.picks, best.predicted, best.reasons), *((a.picks, a.predicted, (a.words,)) for a in best.alternatives)]
    logged = [logged_picks(system, picks, predicted) for picks, predicted, _ in offered]
    others = [bodies.Other(words=" ".join(reasons[:1]), picks=logged[number])
              for number, (_, _, reasons) in enumerate(offered) if number != option]
    drawing = dict(found.drawing)
    if options := drawing.get("options"):
        drawing["options"] = [options[option], *(o for number, o in enumerate(options) if number != option)]
    return bodies.ChoiceAccepted(question=found.name, picks=logged[option], reasons=offered[option][2], rests_on=found.entries,
                                 others=tuple(others), drawing=drawing)


def logged_picks(system: System, picks: Sequence[choice.Pick], predicted: Sequence[choice.Predicted]) -> tuple[bodies.Pick, ...]:
    """Picks as they are written into the log, each with what was predicted for it; what belongs to no pick comes behind."""
    told = [next((p for p in predicted if _told_of(pick.where, p.station)), None) for pick in picks]
    rest = [p for p in predicted if not any(p is t for t in told)]
    return (*(_logged(system, pick.where, pick.what, t) for pick, t in zip(picks, told, strict=True)),
            *(_logged(system, p.station, "", p) for p in rest))


def _quantity(characteristic: str) -> Quantity:
    """What a prediction is a number of: most are of the catalogue, centres of lobes are not."""
    return LOOSE[characteristic] if characteristic in LOOSE else catalogue()[characteristic].quantity


def _told_of(where: str, station: str) -> bool:
    """Whether what is predicted for a station hangs on what goes to a place: its halves, its piston, itself."""
    return where in {station, f"{station}.piston"} or where.startswith(f"{station}.shell.")


def _logged(system: System, where: str, what: str, told: choice.Predicted | None) -> bodies.Pick:
    size = what.removeprefix("sealed:")
    box = size if size != what else ""
    if told is None:
        return bodies.Pick(station=where, pick=size, box=box)
    quantity = _quantity(told.characteristic)
    unit = unit_for(quantity, system)
    return bodies.Pick(station=where, pick=size, box=box, characteristic=told.characteristic, unit=unit,
                       predicted=from_si(told.estimate.value, quantity, unit),
                       uncertainty=from_si(told.estimate.u, quantity, unit, difference=True))


def accepted(shop: Shop, engine: str) -> list[Answer]:
    """What was accepted, each prediction beside what was read since."""
    build = shop.build(engine)
    found = {(f.station, f.characteristic.name): f for f in check(build)} if build.choices else {}
    rows: list[Answer] = []
    for mark, body in build.choices:
        picks = [_beside(pick, found) for pick in body.picks]
        stale = [r for r in body.rests_on if r in build.struck]
        rows.append({"entry": mark.entry, "position": mark.position, "at": mark.at, "person": mark.person,
                     "question": body.question, "words": body.words, "reasons": list(body.reasons), "picks": picks,
                     "rests_on_struck": stale, "drawing": body.drawing})
    return rows


def _beside(pick: bodies.Pick, found: dict[tuple[str, str], Finding]) -> Answer:
    station = ".".join(pick.station.split(".")[:2])
    read = found.get((station, pick.characteristic)) or found.get((pick.station, pick.characteristic))
    value = None
    if read is not None and read.estimate is not None and read.verdict in {*HOLDS, Verdict.NO_LIMIT}:
        value = from_si(read.estimate.value, read.characteristic.quantity, pick.unit)
    return {"station": pick.station, "pick": pick.pick, "characteristic": pick.characteristic, "unit": pick.unit,
            "predicted": pick.predicted, "standard_uncertainty": pick.uncertainty, "read": value}


def _ring_gaps(build: Build) -> Asked | None:
    rows, entries, notes = filings(build)
    if not rows:
        return None
    rows, exchanges = exchanged(build, rows)
    answer = ring_answer(rows, entries, system_of(build))
    answer = replace(answer, reasons=(*exchanges, *answer.reasons))
    return Asked("ring-gaps", "Ring gaps: what is left to file", answer, tuple(entries), tuple(notes))


QUESTIONS: dict[str, Ask] = {
    "main-shells": shells("main"),
    "rod-shells": shells("rod"),
    "ring-gaps": _ring_gaps,
    "matching": matching,
    "stack": stack,
    "shims": shims,
    "cam-timing": cam_timing,
}
LOOSE: Mapping[str, Quantity] = {CENTRE: Quantity.ANGLE}


ORDERS = ("main-order", "rod-order")  # what to buy: asked by themselves, because they think long


SETTABLE: dict[str, Knobs] = {"matching": MATCHING, "stack": STACK, "shims": SHIMS, "cam-timing": TIMING}


def set_question(shop: Shop, engine: str, question: str, settings: Mapping[str, str], *, words: str = "") -> Entry:
    """Says how a question is asked from here on; an empty text takes a setting back."""
    body = bodies.ChoiceAsked(question=question, settings=dict(settings), words=words)
    vet_settings(shop.build(engine), body)
    return shop.append(engine, body)[0]


def settings_in_force(shop: Shop, engine: str, question: str) -> dict[str, str]:
    """What a question is asked with now: name to text; empty for one that has nothing to set."""
    known = SETTABLE.get(question)
    return {s.name: s.text for s in known.settings(shop.build(engine))} if known else {}


def vet_settings(build: Build, body: bodies.ChoiceAsked) -> None:
    """Raises BadInput naming the question or the setting that is not known or cannot be read."""
    if body.question not in SETTABLE:
        raise BadInput(f"question: {body.question!r} has nothing to set; these have: {', '.join(SETTABLE)}")
    if not body.settings:
        raise BadInput(f"settings: nothing is set; {body.question} takes {', '.join(k.name for k in SETTABLE[body.question].knobs)}")
    SETTABLE[body.question].vet(body.settings, system_of(build))


# -- as JSON ----------------------------------------------------------------------------------------------------------

def as_answer(build: Build, asked: Asked) -> Answer:
    """An answered question as JSON, sizes in the engine's unit and as text."""
    found, system = asked.answer, system_of(build)
    return {
        "question": asked.name, "title": asked.title, "possible": found.possible, "position": build.position,
        "picks": [_pick_answer(p) for p in found.picks], "predicted": [_predicted(system, p) for p in found.predicted],
        "scores": [_score(system, s) for s in found.scores], "reasons": list(found.reasons),
        "alternatives": [{"words": a.words, "picks": [_pick_answer(p) for p in a.picks],
                          "predicted": [_predicted(system, p) for p in a.predicted],
                          "scores": [_score(system, s) for s in a.scores]} for a in found.alternatives],
        "rests_on": list(found.rests_on), "entries": list(asked.entries), "proven": found.proven, "gap": found.gap,
        "stops": [{"station": s.station, "limit": s.limit, "words": s.words} for s in found.stops],
        "notes": list(asked.notes), "drawing": asked.drawing,
        "settings": [{"name": s.name, "words": s.words, "text": s.text, "accepted": s.accepted} for s in asked.settings],
        "still_needed": [{"size": n.size.label, "needed": n.needed, "probability": n.probability, "at": list(n.at)}
                         for n in asked.needs],
    }


def _pick_answer(pick: choice.Pick) -> Answer:
    size = pick.what.removeprefix("sealed:")
    words = f"{size} half, already open" if pick.words == f"{size} half {size}" else pick.words
    return {"station": pick.where, "pick": size, "words": words, "amount": pick.amount}


def _predicted(system: System, predicted: choice.Predicted) -> Answer:
    quantity = _quantity(predicted.characteristic)
    unit = unit_for(quantity, system)
    value, u = predicted.estimate.value, predicted.estimate.u

    def number(si: float | None) -> float | None:
        return None if si is None else from_si(si, quantity, unit)

    return {"station": predicted.station, "characteristic": predicted.characteristic, "unit": unit, "value": number(value),
            "standard_uncertainty": from_si(u, quantity, unit, difference=True), "lower": number(predicted.lower),
            "upper": number(predicted.upper), "target": number(predicted.target), "probability": predicted.probability,
            "text": write(value, quantity, unit=unit, decimals=telling_places(2 * u, quantity, unit))}


def _score(system: System, score: choice.Score) -> Answer:
    if score.unit == "kg":
        unit = unit_for(Quantity.MASS, system)
        return {"name": score.name, "value": from_si(score.value, Quantity.MASS, unit), "unit": unit,
                "text": write(score.value, Quantity.MASS, unit=unit)}
    if score.unit != "m":
        return {"name": score.name, "value": score.value, "unit": score.unit, "text": f"{score.value:.3g} {score.unit}".strip()}
    unit = unit_for(Quantity.LENGTH, system)
    return {"name": score.name, "value": from_si(score.value, Quantity.LENGTH, unit), "unit": unit,
            "text": write(score.value, Quantity.LENGTH, unit=unit)}
