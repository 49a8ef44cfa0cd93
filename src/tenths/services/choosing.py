"""Choices: what the house could do, proved best, with reasons; and accepting one, with the numbers seen."""

from tenths.choose import answer as choice
from tenths.choose.crush import SizeNeed, sizes_still_needed
from tenths.choose.shell_choice import choose_shells
from tenths.choose.shells import (
    HOUSE_SHELL_RULES,
    STANDARD,
    Half,
    Place,
    Size,
    Stock,
    boxes_by_size,
    place_from_clearance,
    wall_of,
)
from tenths.engine.quantity import Quantity, from_si, parse, unit_for, write
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.check import catalogue, check
from tenths.findings.finding import Finding
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import exact
from tenths.services.asked import Ask, Asked
from tenths.services.questions import Answer, System, system_of, telling_places
from tenths.services.rings import filings, ring_answer
from tenths.services.shop import Shop

HOLDS = (Verdict.FITS, Verdict.OUT, Verdict.TOO_CLOSE)


def choices(shop: Shop, engine: str) -> list[Answer]:
    """Every question that can be asked of an engine as it stands, answered; those without anything to choose are left out."""
    build = shop.build(engine)
    asked = [found for ask in QUESTIONS.values() if (found := ask(build)) is not None]
    return [as_answer(build, found) for found in asked]


def ask(shop: Shop, engine: str, question: str) -> Asked:
    """One question; raises BadInput when it is not known or has nothing to choose from."""
    if question not in QUESTIONS:
        raise BadInput(f"question: {question!r} is not known; there are {', '.join(QUESTIONS)}")
    found = QUESTIONS[question](shop.build(engine))
    if found is None:
        raise BadInput(f"question: {question}: nothing to choose yet; it needs readings, and shells counted in the house")
    return found


def accept(shop: Shop, engine: str, question: str, *, option: int = 0, words: str = "", seen: int | None = None) -> Entry:
    """Accepts the best answer (option 0) or one of the next-best, with the numbers that were seen."""
    found = ask(shop, engine, question)
    build = shop.build(engine)
    options = [(found.answer.picks, found.answer.predicted),
               *((a.picks, a.predicted) for a in found.answer.alternatives)]
    if not found.answer.possible or not found.answer.picks:
        raise BadInput(f"question: {question}: there is no answer to accept: {found.answer.stops[0].words}")
    if not 0 <= option < len(options):
        raise BadInput(f"option: {option} is not one of 0 to {len(options) - 1}")
    picks, predicted = options[option]
    system = system_of(build)
    body = bodies.ChoiceAccepted(
        question=question, picks=tuple(logged_pick(system, pick, predicted) for pick in picks), words=words,
        reasons=found.answer.reasons if option == 0 else (found.answer.alternatives[option - 1].words,),
        rests_on=found.entries)
    return shop.append(engine, body, seen=build.position if seen is None else seen)[0]


def logged_pick(system: System, pick: choice.Pick, predicted: tuple[choice.Predicted, ...]) -> bodies.Pick:
    """A pick as it is written into the log: with what was predicted for it."""
    told = next((p for p in predicted if pick.where == p.station or pick.where.startswith(p.station + ".")), None)
    if told is None:
        return bodies.Pick(station=pick.where, pick=pick.what.removeprefix("sealed:"))
    quantity = catalogue()[told.characteristic].quantity
    unit = unit_for(quantity, system)
    return bodies.Pick(station=pick.where, pick=pick.what.removeprefix("sealed:"), characteristic=told.characteristic, unit=unit,
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
                     "rests_on_struck": stale})
    return rows


def _beside(pick: bodies.Pick, found: dict[tuple[str, str], Finding]) -> Answer:
    station = ".".join(pick.station.split(".")[:2])
    read = found.get((station, pick.characteristic)) or found.get((pick.station, pick.characteristic))
    value = None
    if read is not None and read.estimate is not None and read.verdict in HOLDS:
        value = from_si(read.estimate.value, read.characteristic.quantity, pick.unit)
    return {"station": pick.station, "pick": pick.pick, "characteristic": pick.characteristic, "unit": pick.unit,
            "predicted": pick.predicted, "standard_uncertainty": pick.uncertainty, "read": value}


# -- shells -----------------------------------------------------------------------------------------------------------

def shells(kind: str) -> Ask:
    """The question which shell goes where, for mains or rods."""
    return lambda build: _shells(build, kind)


def _shells(build: Build, kind: str) -> Asked | None:
    sizes = _sizes(build, kind)
    if build.layout is None or not sizes:
        return None
    names = (f"{kind}-oil-clearance", f"{kind}-oil-clearance-predicted")
    found = {(f.characteristic.name, f.station): f for f in check(build, names)}
    places: list[Place] = []
    unread: list[Place] = []
    used: list[str] = []
    notes: list[str] = []
    addresses = [s.address for s in stations(build.layout) if s.kind == kind]
    for station in addresses:
        best = next((f for name in names if (f := found.get((name, station))) and f.verdict in HOLDS), None)
        if best is None or best.estimate is None or best.limits.lower is None or best.limits.upper is None:
            notes.append(f"{station} is left out: its clearance is neither measured nor predicted, or has no two limits")
            continue
        places.append(_place(build, kind, station, best, sizes))
        used += best.entries
        if best.characteristic.name != names[0]:
            unread.append(places[-1])
    if not places:
        return None
    stock = _stock(build, kind, sizes, addresses)
    answer = choose_shells(places, stock, system=system_of(build))
    title = {"main": "Shells for the mains", "rod": "Shells for the rods"}[kind]
    needs: tuple[SizeNeed, ...] = ()
    if unread and len(unread) < len(places):  # a cap has been read: it tells which sizes the rest can still need
        needs = sizes_still_needed(unread, exact(0.0), [size for size, _ in sizes.values()], HOUSE_SHELL_RULES)
        notes += _needs_in_words(needs, len(unread))
    return Asked(f"{kind}-shells", title, answer, tuple(dict.fromkeys(used)), tuple(notes), needs)


def _needs_in_words(needs: tuple[SizeNeed, ...], unread: int) -> list[str]:
    keep = [n.size.label for n in needs if n.needed]
    drop = [n.size.label for n in needs if not n.needed]
    where = "place" if unread == 1 else f"{unread} places"
    said = [f"For the {where} not yet capped, have at hand: {', '.join(keep) or 'none of these sizes'}."]
    return [*said, f"No longer needed: {', '.join(drop)}."] if drop else said


def _sizes(build: Build, kind: str) -> dict[str, tuple[Size, int]]:
    """Sizes in the house: label to size and number of sets."""
    system = system_of(build)
    found: dict[str, tuple[Size, int]] = {}
    for (stock_kind, label), (_, body) in build.stock.items():
        if stock_kind == f"{kind}-shell" and body.sets > 0:
            change = parse(body.change, Quantity.LENGTH, default_unit=unit_for(Quantity.LENGTH, system), field="change")
            found[label] = (Size(label, change.si), body.sets)
    return found


def _fitted_size(build: Build, slot: str, sizes: dict[str, tuple[Size, int]]) -> Size:
    """The size of the half in a slot; the standard one when none is named or its size is not in the house."""
    part = build.parts.get(build.part_in(slot))
    known = sizes.get(part.card.size) if part else None
    return known[0] if known else STANDARD


def _place(build: Build, kind: str, station: str, best: Finding, sizes: dict[str, tuple[Size, int]]) -> Place:
    assert best.estimate is not None  # noqa: S101 - looked at by the caller
    lower, upper = best.limits.lower, best.limits.upper
    assert lower is not None  # noqa: S101 - looked at by the caller
    assert upper is not None  # noqa: S101 - looked at by the caller
    target = best.limits.target if best.limits.target is not None else (lower + upper) / 2
    walls = [exact(-_fitted_size(build, f"{station}.shell.{end}", sizes).change / 2) for end in ("upper", "lower")]
    return place_from_clearance(station, kind, clearance=best.estimate, walls=walls, target=target, lower=lower,
                                upper=upper)


def _stock(build: Build, kind: str, sizes: dict[str, tuple[Size, int]], addresses: list[str]) -> Stock:
    """Halves that are fitted lie open; every further set is a box not yet opened."""
    loose: list[Half] = []
    opened: set[str] = set()
    for station in addresses:
        for end in ("upper", "lower"):
            part = build.part_in(f"{station}.shell.{end}")
            card = build.parts[part].card if part in build.parts else None
            if card and card.size in sizes:
                size = sizes[card.size][0]
                opened.add(size.label)
                loose.append(Half(size.label, kind, size, wall_of(size, name=f"{kind}:{size.label}"),
                                  "upper" if end == "upper" else "lower", box=size.label))
    closed = {size: count - (label in opened) for label, (size, count) in sizes.items()}
    return Stock(tuple(loose), boxes_by_size(kind, closed, places=len(addresses)))


def _ring_gaps(build: Build) -> Asked | None:
    rows, entries, notes = filings(build)
    if not rows:
        return None
    answer = ring_answer(rows, entries, system_of(build))
    return Asked("ring-gaps", "Ring gaps: what is left to file", answer, tuple(entries), tuple(notes))


QUESTIONS: dict[str, Ask] = {
    "main-shells": shells("main"),
    "rod-shells": shells("rod"),
    "ring-gaps": _ring_gaps,
}


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
        "notes": list(asked.notes),
        "still_needed": [{"size": n.size.label, "needed": n.needed, "probability": n.probability, "at": list(n.at)}
                         for n in asked.needs],
    }


def _pick_answer(pick: choice.Pick) -> Answer:
    size = pick.what.removeprefix("sealed:")
    words = f"{size} half, already open" if pick.words == f"{size} half {size}" else pick.words
    return {"station": pick.where, "pick": size, "words": words, "amount": pick.amount}


def _predicted(system: System, predicted: choice.Predicted) -> Answer:
    quantity = catalogue()[predicted.characteristic].quantity
    unit = unit_for(quantity, system)
    value, u = predicted.estimate.value, predicted.estimate.u

    def number(si: float | None) -> float | None:
        return None if si is None else from_si(si, quantity, unit)

    return {"station": predicted.station, "characteristic": predicted.characteristic, "unit": unit, "value": number(value),
            "standard_uncertainty": from_si(u, quantity, unit, difference=True), "lower": number(predicted.lower),
            "upper": number(predicted.upper), "target": number(predicted.target), "probability": predicted.probability,
            "text": write(value, quantity, unit=unit, decimals=telling_places(2 * u, quantity, unit))}


def _score(system: System, score: choice.Score) -> Answer:
    if score.unit != "m":
        return {"name": score.name, "value": score.value, "unit": score.unit, "text": f"{score.value:g} {score.unit}".strip()}
    unit = unit_for(Quantity.LENGTH, system)
    return {"name": score.name, "value": from_si(score.value, Quantity.LENGTH, unit), "unit": unit,
            "text": write(score.value, Quantity.LENGTH, unit=unit)}
