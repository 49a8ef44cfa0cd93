"""What is to be done again after a change: readings, answers and steps, as a list and as the bands of a picture."""

from tenths.engine.operations import OPERATIONS
from tenths.engine.stations import slots, station_map
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark
from tenths.logbook.fold import HANDLERS
from tenths.services.questions import Answer
from tenths.services.shop import Shop
from tenths.services.steps import template
from tenths.work.facts import facts_of
from tenths.work.plan import Plan
from tenths.work.stale import StaleChoice, StaleReading, slots_of, stale_choices, stale_readings
from tenths.work.state import StepState, plan_of, state_of

Edge = tuple[str, str]


def again(shop: Shop, engine: str) -> Answer:
    """Everything of an engine that a change made stale and that was not done again since.

    Returns:
        ``readings`` (station, feature, places, why, last text), ``choices``, ``steps`` in the order of the plan, the
        ``todo`` list in the order to do it, and ``picture``: bands of boxes and the lines between them.
    """
    build = shop.build(engine)
    return _answer(build, stale_readings(build), stale_choices(build), _steps(shop, build))


def if_changed(shop: Shop, engine: str, slot: str, *, operation: str = "", stations: tuple[str, ...] = ()) -> Answer:
    """What would be stale if another part went into a slot, or if the part in it were machined; nothing is written.

    Only what is not stale already is told.

    Raises:
        BadInput: for a slot or an operation that is not there.
    """
    build = shop.build(engine)
    if build.layout is None or slot not in slots(build.layout):
        raise BadInput(f"slot: {slot!r} is not on this engine; 'tenths show {engine} --json' lists the stations")
    if operation and operation not in OPERATIONS:
        raise BadInput(f"operation: {operation!r} is not known; there are {', '.join(OPERATIONS)}")
    then = _changed(build, slot, operation, stations)
    now_readings = {(r.station, r.feature, r.place) for r in stale_readings(build)}
    now_choices, now_steps = {c.mark.entry for c in stale_choices(build)}, {s.step.id for s in _steps(shop, build)}
    return _answer(
        then, tuple(r for r in stale_readings(then) if (r.station, r.feature, r.place) not in now_readings),
        tuple(c for c in stale_choices(then) if c.mark.entry not in now_choices),
        [s for s in _steps(shop, then, shop.build(engine)) if s.step.id not in now_steps])


def _changed(build: Build, slot: str, operation: str, stations: tuple[str, ...]) -> Build:
    then = build.copy()
    mark = Mark("", build.position + 1, "", "")
    body: bodies.Body = bodies.PartFitted(slot=slot, part="another")
    if operation:
        body = bodies.PartMachined(slot=slot, operation=operation, features=OPERATIONS[operation], stations=stations)
    elif build.part_in(slot) == "":  # what nobody named is named first, so that the next counts as another
        HANDLERS[bodies.PartFitted](then, mark, bodies.PartFitted(slot=slot, part="the one in it", all_along=True))
    HANDLERS[type(body)](then, mark, body)
    then.position = mark.position
    return then


def _steps(shop: Shop, build: Build, known: Build | None = None) -> list[StepState]:
    found = state_of(build, facts_of(build, shop.checked(known or build)), template(shop))
    return [s for s in found.states.values() if s.status == "again"]


def _answer(build: Build, readings: tuple[StaleReading, ...], choices: tuple[StaleChoice, ...],
            steps: list[StepState]) -> Answer:
    rows = _readings(build, readings)
    asked = [{"question": c.question, "entry": c.mark.entry, "accepted": c.mark.at, "person": c.mark.person, "why": list(c.why)}
             for c in choices]
    told = [{"step": s.step.id, "words": s.step.words, "station": s.step.station, "stage": s.step.stage, "offered": s.offered,
             "why": s.again.words if s.again else "", "through": s.again.through if s.again else ""} for s in steps]
    todo = [{"kind": "reading", "what": f"{r['words']} at {r['station_words']}", "where": r["station"], "why": r["why"]} for r in rows]
    todo += [{"kind": "answer", "what": c["question"], "where": "", "why": "; ".join(c["why"])} for c in asked]
    todo += [{"kind": "step", "what": s["words"], "where": s["step"], "why": s["why"]} for s in told]
    plan = plan_of(build)[0]
    return {"engine": build.stream, "name": build.name, "position": build.position, "readings": rows, "choices": asked, "steps": told,
            "todo": todo, "picture": _picture(build, plan, readings, choices, steps)}


def _readings(build: Build, readings: tuple[StaleReading, ...]) -> list[Answer]:
    places = station_map(build.layout) if build.layout else {}
    found: dict[tuple[str, str], Answer] = {}
    order = {address: number for number, address in enumerate(places)}
    for row in sorted(readings, key=lambda r: (order.get(r.station, len(order)), r.reading.mark.position)):
        here = found.setdefault((row.station, row.feature), {
            "station": row.station, "station_words": places[row.station].words if row.station in places else row.station,
            "feature": row.feature, "words": row.reading.feature.words, "places": [], "why": row.why,
            "last": row.reading.typed.text, "entries": []})
        here["places"].append(row.place)
        here["entries"].append(row.reading.mark.entry)
    return list(found.values())


# -- the picture -------------------------------------------------------------------------------------------------------

def _picture(build: Build, plan: Plan, readings: tuple[StaleReading, ...], choices: tuple[StaleChoice, ...],
             steps: list[StepState]) -> Answer:
    """Bands from the change downwards; a box stands for everything of one kind in a band, a line for what rests on what."""
    causes: dict[str, None] = {}
    boxes: dict[str, dict[str, list[str]]] = {"to be read again": {}, "to be asked again": {}}
    edges: dict[Edge, None] = {}
    for row in readings:
        box = f"reading:{row.feature}"
        boxes["to be read again"].setdefault(box, []).append(row.station)
        for cause in _causes(build, row):
            causes[cause] = None
            edges[cause, box] = None
    for choice in choices:
        box = f"answer:{choice.question}"
        boxes["to be asked again"].setdefault(box, []).append(choice.question)
        rests = {e for mark, body in build.choices if mark == choice.mark for e in body.rests_on}
        edges |= {(f"reading:{r.feature}", box): None for r in readings if r.reading.mark.entry in rests}
    _step_boxes(steps, boxes, causes, edges)
    edges |= {(f"reading:{r.feature}", f"step:{s.step.name}"): None for r in readings for s in steps
              if s.again and s.again.through == s.step.id and _reads(build, s, r)}
    bands = [{"title": "what changed", "boxes": [{"id": c, "words": c, "count": 1, "kind": "change"} for c in causes]}]
    for title in ("to be read again", "to be asked again", *plan.stages):
        if boxes.get(title):
            bands.append({"title": title, "boxes": [_box(name, rows) for name, rows in boxes[title].items()]})
    shown = {box["id"] for band in bands for box in band["boxes"]}
    return {"bands": [b for b in bands if b["boxes"]], "edges": [list(e) for e in _reduced(edges) if set(e) <= shown]}


def _box(name: str, rows: list[str]) -> Answer:
    kind, _, what = name.partition(":")
    return {"id": name, "words": what.replace("-", " "), "count": len(set(rows)), "kind": kind}


def _causes(build: Build, row: StaleReading) -> list[str]:
    """The slots through which a reading went stale."""
    if build.layout is None:
        return []
    found = [slot for slot in slots_of(build.layout, (row.feature, row.station)) if slot in row.why]
    return found or [row.why.split(" ", 1)[0]]


def _step_boxes(steps: list[StepState], boxes: dict[str, dict[str, list[str]]], causes: dict[str, None],
                edges: dict[Edge, None]) -> None:
    stale = {s.step.id: s for s in steps}
    for state in steps:
        box = f"step:{state.step.name}"
        boxes.setdefault(state.step.stage, {}).setdefault(box, []).append(state.step.id)
        if state.again and state.again.through == state.step.id:
            cause = _slot_in(state.again.words)
            causes[cause] = None
            edges[cause, box] = None
        edges |= {(f"step:{stale[b].step.name}", box): None for b in state.step.on if b in stale and stale[b].step.name != state.step.name}


def _slot_in(words: str) -> str:
    """The slot that a reason names: the word that is an address."""
    parts = words.split(" ")
    return parts[-1] if " went into " in words else parts[0]


def _reads(build: Build, state: StepState, row: StaleReading) -> bool:
    from tenths.work.stale import rests_of  # noqa: PLC0415 - only a picture asks

    return build.layout is not None and any(
        (row.feature, row.station) in rests_of(build.layout, need.characteristic, need.station)
        for need in (*state.step.reads, *state.step.checks))


def _reduced(edges: dict[Edge, None]) -> list[Edge]:
    """The lines without those that a way round by other lines says already."""
    after: dict[str, set[str]] = {}
    for a, b in edges:
        after.setdefault(a, set()).add(b)
    reach: dict[str, set[str]] = {}

    def reached(name: str) -> set[str]:
        if name not in reach:
            reach[name] = set()  # a ring among boxes of one name ends here
            for other in after.get(name, ()):
                reach[name] |= {other} | reached(other)
        return reach[name]

    for name in list(after):
        reached(name)
    return [(a, b) for a, b in edges if not any(b in reach.get(c, ()) for c in after[a] if c != b)]
