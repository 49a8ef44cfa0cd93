"""Degreeing a camshaft, a few readings at a time: what to read next, when it is enough, where to put the set, what will then be read."""

from dataclasses import dataclass
from math import ceil, degrees, hypot, pi, radians

from tenths.calc.valves import timing
from tenths.calc.valves.centres import Sure
from tenths.engine.quantity import Quantity
from tenths.engine.stations import station_map
from tenths.errors import BadInput, OutOfRange
from tenths.services.amounts import Answer
from tenths.services.asked import Asked
from tenths.services.lobe_fits import NOMINAL, PAIR_SLOPE, Read, carded, read_lobes, side_of
from tenths.services.lobes import plain, sure
from tenths.services.shop import Shop
from tenths.services.timing_set import asked, guide, shared_and_own, target_of, wanted_of
from tenths.services.wheel import HEIGHT_GOOD_TO, WHEEL_GOOD_TO, Timed, Zeroed, angle_error, timed, zero_answer, zero_stale, zeroed

A, L = Quantity.ANGLE, Quantity.LENGTH
PHASES = ("top", "lobe", "position", "confirm", "done")
HEADS = {"top": "Find top dead centre", "lobe": "Read the lobe", "position": "Set the timing", "confirm": "Read again to confirm",
         "done": "Timed"}
HEIGHTS = {"inch": (0.050, 0.100, 0.150, 0.200, 0.075, 0.125, 0.175, 0.250), "metric": (1.0, 2.5, 4.0, 5.0, 2.0, 3.0, 4.5, 6.0)}
UNIT = {"inch": 0.0254, "metric": 1e-3}
MOST_PAIRS = 40


@dataclass(frozen=True, slots=True)
class _Next:
    """What to do: phase, sentences, and readings wanted as words, lift text, expected angle."""

    phase: str
    say: tuple[str, ...]
    wants: tuple[Answer, ...] = ()


def degreeing(shop: Shop, engine: str, units: str = "", *, station: str = "") -> Answer:
    """Where degreeing an engine's camshaft stands, and what comes next.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        station: the lobe to go by; else the surest intake lobe that was read, or the first cylinder's.

    Raises:
        BadInput: when there is no such engine or lobe, or what was read cannot be.
    """
    model = timed(shop.build(engine), units)
    build, write = model.build, model.amounts
    known = [s.address for s in station_map(model.layout).values() if s.kind == "lobe"]
    if not known:
        raise BadInput(f"engine: {engine!r} has no camshaft in its layout; describe it with cams, such as 'cams block 5'")
    if station and station not in known:
        raise BadInput(f"station: {station!r} is no lobe; there are {', '.join(known[:4])} and so on")
    zero = zeroed(model, build.cams.zero) if build.cams.zero else None
    read = read_lobes(model)
    lobe = next((r for r in read if r.station == station), None) if station else guide(read)
    where = station or (lobe.station if lobe else _first(model, known, zero))
    target, wanted = target_of(build), wanted_of(build)
    found = _next(model, zero, lobe, where, read)
    question = asked(model, read)
    return {
        "engine": engine, "units": model.system, "station": where, "words": station_map(model.layout)[where].words,
        "phase": found.phase, "title": HEADS[found.phase], "say": list(found.say), "wants": list(found.wants),
        "phases": [{"name": name, "title": HEADS[name], "now": name == found.phase,
                    "done": PHASES.index(name) < PHASES.index(found.phase)} for name in PHASES],
        "zero": zero_answer(build, write, zero) if zero else None,
        "centre": sure(write, _unsigned(lobe)), "target": plain(write, target),
        "wanted": plain(write, 1.96 * wanted), "reached": plain(write, 1.96 * lobe.centre.standard_error) if lobe and lobe.centre else
        plain(write, None),
        "readings": len(lobe.angles) if lobe else 0, "pairs": lobe.pairs if lobe else 0,
        "position": _position(question), "wheel": _wheel(model, lobe, where, target),
        "caution": "Turn the crank by hand, plugs out, always in its own direction; keep fingers clear of chain and springs. The maker's "
                   "instructions and marks come first: with a chain a tooth out, valves can meet pistons.",
    }


def _first(model: Timed, known: list[str], zero: Zeroed | None) -> str:
    """The intake lobe of the zero's cylinder, or of the first."""
    label = zero.zero.body.cylinder if zero else model.layout.firing_order[0]
    rows = [s for s in known if side_of(s) == "intake"] or known
    return next((s for s in rows if s.split(".")[1] == label), rows[0])


def _unsigned(lobe: Read | None) -> Sure | None:
    """The centre as the trade says it: after top dead centre for an intake, before it for an exhaust."""
    if lobe is None or lobe.now is None:
        return None
    return Sure(value=abs(lobe.now.value), standard_error=lobe.now.standard_error)


# -- what comes next ---------------------------------------------------------------------------------------------------------

def _next(model: Timed, zero: Zeroed | None, lobe: Read | None, where: str, read: list[Read]) -> _Next:
    wanted = wanted_of(model.build)
    if zero is None:
        return _top(model, wanted)
    if why := zero_stale(model.build, zero.zero.mark.entry):
        return _Next("top", (f"{why.capitalize()}: find top dead centre again.",), _top_wants(1))
    if zero.error >= wanted:
        return _surer_top(zero, wanted)
    moved = lobe is not None and bool(lobe.late)
    if lobe is None or lobe.centre is None or lobe.stale:
        why = f"{lobe.stale.capitalize()}. " if lobe and lobe.stale else ""
        return _pairs(model, lobe, where, _needed(zero, wanted), why)
    if moved:
        return _confirm(model, lobe, where)
    if lobe.centre.standard_error > wanted:
        return _more(model, lobe, where, wanted)
    return _set(model, lobe, where, read)


def _top(model: Timed, wanted: float) -> _Next:
    build = model.build
    lost = "The zero of the wheel is lost. " if build.cams.zeros else ""
    pairs = _top_pairs(wanted)
    said = ((f"{lost}A stop in the plug's hole, or a dial on the piston: turn until it is touched on the way up, read the wheel; go on, or "
            "turn back past it, and read again from the other side."),
            (f"{pairs} pairs at different heights leave enough of the {degrees(1.96 * wanted):.2f} degrees wanted for the lobe. Come to "
            "every place in the direction of turning: play would shift the centre by half of it."))
    return _Next("top", said, _top_wants(pairs))


def _top_wants(pairs: int) -> tuple[Answer, ...]:
    words = f"{pairs} pair{'s' if pairs > 1 else ''} of wheel readings, before and after top dead centre"
    return ({"words": words, "lift": "", "flank": "", "expect": ""},)


def _top_pairs(wanted: float) -> int:
    """Pairs of readings that bring top dead centre to four fifths of what is wanted, as far as the wheel itself lets it."""
    wheel, one = WHEEL_GOOD_TO / 3.0**0.5, angle_error(None) / 2.0**0.5
    left = (0.8 * wanted) ** 2 - wheel**2 - (HEIGHT_GOOD_TO["heights"] / 0.05) ** 2
    return min(9, max(2, ceil(one**2 / left))) if left > 0.0 else 9


def _surer_top(zero: Zeroed, wanted: float) -> _Next:
    parts = zero.found
    said = f"Top dead centre alone is sure to {degrees(1.96 * zero.error):.2f} degrees; {degrees(1.96 * wanted):.2f} is wanted."
    if parts.from_wheel >= wanted:
        return _Next("top", (said, "That is the wheel itself: a larger wheel, one with a certificate, or a wider want is needed."))
    own = hypot(parts.from_reading, parts.from_height)
    more = timing.more_pairs(standard_error=own, pairs=len(zero.zero.before), shared=parts.from_wheel, wanted=0.9 * wanted)
    whole = max(len(zero.zero.before) + max(more, 1), 2)
    return _Next("top", (said, f"Take {whole} pairs at different heights and enter them together."), _top_wants(whole))


def _needed(zero: Zeroed, wanted: float) -> int:
    """Pairs that a lobe will take, from what the wheel and the dial are usually good to."""
    one = hypot(angle_error(None), HEIGHT_GOOD_TO["heights"] / PAIR_SLOPE) / 2.0**0.5
    return min(MOST_PAIRS, max(1, timing.more_pairs(standard_error=one, pairs=1, shared=zero.error, wanted=wanted) + 1))


def _pairs(model: Timed, lobe: Read | None, where: str, count: int, why: str = "") -> _Next:
    wants = _lifts(model, lobe, where, min(count, 3))
    said = ((f"{why}Dial on the follower of {where}, zero on the base circle. Turn in the direction of running until the dial stands at a "
            "lift on the way up, read the wheel; go on over the nose to the same lift on the way down, and read again."),
            f"About {count} pair{'s' if count > 1 else ''} will do; readings at any spacing over the whole lobe tell its shape too.")
    return _Next("lobe", said, wants)


def _more(model: Timed, lobe: Read, where: str, wanted: float) -> _Next:
    shared, own = shared_and_own(lobe)
    pairs = max(lobe.pairs, 1)
    try:
        more = timing.more_pairs(standard_error=own, pairs=pairs, shared=shared, wanted=wanted)
    except OutOfRange:
        return _Next("top", ("Top dead centre is not sure enough for what is wanted; take more pairs and enter them together.",),
                     _top_wants(5))
    sure_to = degrees(1.96 * lobe.centre.standard_error) if lobe.centre else 0.0
    said = ((f"The centre is sure to {sure_to:.2f} degrees so far; {degrees(1.96 * wanted):.2f} is wanted: about {max(more, 1)} more "
            f"pair{'s' if more > 1 else ''}."),)
    return _Next("lobe", said, _lifts(model, lobe, where, min(max(more, 1), 3)))


def _lifts(model: Timed, lobe: Read | None, where: str, count: int) -> tuple[Answer, ...]:
    """The next lifts to turn to on either flank, with the angle at which they are to be expected."""
    size, have = UNIT[model.system], list(lobe.lifts if lobe else ())
    rows: list[Answer] = []
    free = [h for h in HEIGHTS[model.system] if not any(abs(h * size - x) < 0.02 * size for x in have)] or list(HEIGHTS[model.system])
    for lift in free[:count]:
        for flank, angle in zip(("rising", "falling"), _expected(model, lobe, where, lift * size), strict=True):
            text = f"{lift:.3f} in" if model.system == "inch" else f"{lift:g} mm"
            rows.append({"words": f"{text} {flank}", "lift": text, "flank": flank,
                         "expect": "" if angle is None else f"about {degrees(_on_wheel(model, where, angle)):.0f} on the wheel"})
    return tuple(rows)


def _expected(model: Timed, lobe: Read | None, where: str, lift: float) -> tuple[float | None, float | None]:
    """Where a lift is passed, from the lobe as read, else from the card [rad about the overlap's top dead centre]."""
    side = side_of(where)
    drawn = lobe.fit.lobe.moved(-lobe.moved) if lobe and lobe.fit else None
    if drawn is None and model.build.cams.card is not None:
        card = carded(model.build.cams.card, side)
        drawn = card.lobe.placed(NOMINAL[side]) if card.lobe and card.centre is None else card.lobe
        drawn = drawn.placed(lobe.now.value) if drawn and lobe and lobe.now else drawn
    if drawn is None:
        return None, None
    try:
        return drawn.flank_angles(lift)
    except OutOfRange:
        return None, None


def _on_wheel(model: Timed, where: str, angle: float) -> float:
    """An angle about a cylinder's own overlap as the wheel reads it, 0 to 360 degrees [rad]."""
    zero = model.build.cams.zero
    if zero is None:
        return angle % (2 * pi)
    fires, own = model.layout.firing_angles(), where.split(".")[1]
    reads = zeroed(model, zero).reads
    return (angle + radians(fires[own] - fires[zero.body.cylinder]) + reads) % (2 * pi)


def _set(model: Timed, lobe: Read, where: str, read: list[Read]) -> _Next:
    target = target_of(model.build)
    reached = f"Enough has been read: the centre of {lobe.words} is sure to {degrees(1.96 * lobe.centre.standard_error):.2f} degrees." if (
        lobe.centre) else ""
    if target is None:
        return _Next("position", (reached, "State the maker's card, or set the target of the question cam-timing, to be told a position."))
    question = asked(model, read)
    if question is None or lobe.now is None or side_of(where) != "intake":
        return _Next("done", (reached,))
    answer = question.answer
    if not answer.possible:
        return _Next("position", (reached, answer.stops[0].words))
    pick = answer.picks[0]
    if abs(pick.amount or 0.0) < 1e-6:
        return _Next("done", (reached, *_confirmed(model, lobe), "The set stands in the best of its positions.", *answer.reasons))
    return _Next("position", (reached, f"Move the set: {pick.words}.", *answer.reasons,
                              "Enter the move; then the reading that confirms it is told."))


def _confirmed(model: Timed, lobe: Read) -> tuple[str, ...]:
    """What was predicted before the last move against what was read since."""
    moves = model.build.cams.moves
    if not moves or lobe.now is None or not lobe.batches or lobe.batches[-1].mark.position < moves[-1].mark.position:
        return ()
    earlier = [r for r in read_lobes(model, upto=moves[-1].mark.position) if r.station == lobe.station and r.now]
    if not earlier or earlier[0].now is None:
        return ()
    told, error = earlier[0].now.value, hypot(*(r.own.standard_error for r in (earlier[0], lobe) if r.own))
    off = lobe.now.value - told
    agrees = "as predicted" if abs(off) <= 2.5 * error else "more than the readings' doubt: see whether the set is where it should be"
    return (f"Before the move {degrees(abs(told)):.2f} was predicted, {degrees(abs(lobe.now.value)):.2f} is read: {agrees}.",)


def _confirm(model: Timed, lobe: Read, where: str) -> _Next:
    """After a move: what the next readings will be if all went as it should."""
    assert lobe.now is not None  # noqa: S101 - the caller has a centre
    wants = _sharp(model, lobe, where, _lifts(model, lobe, where, 1)) if lobe.fit else tuple(_from_pairs(model, lobe, where))
    stands = f"{degrees(abs(lobe.now.value)):.2f} ±{degrees(1.96 * lobe.now.standard_error):.2f}"
    said = (f"The set was moved: the centre should stand at {stands} degrees.", "Read one pair more to confirm it.")
    return _Next("confirm", said, wants)


def _sharp(model: Timed, lobe: Read, where: str, wants: tuple[Answer, ...]) -> tuple[Answer, ...]:
    """The same with the angle to be read to a tenth of a degree and its interval."""
    found: list[Answer] = []
    for want in wants:
        size = UNIT[model.system]
        lift = float(want["lift"].split()[0]) * size
        angle = _expected(model, lobe, where, lift)[0 if want["flank"] == "rising" else 1]
        if angle is not None and lobe.now is not None:
            error = hypot(lobe.now.standard_error, angle_error(None))
            found.append(want | {"expect": f"{degrees(_on_wheel(model, where, angle)):.1f} ±{degrees(1.96 * error):.1f} on the wheel"})
    return tuple(found)


def _from_pairs(model: Timed, lobe: Read, where: str) -> list[Answer]:
    """What the readings of a lobe that was read in pairs will be after a move."""
    rows: list[Answer] = []
    for angle, lift in zip(lobe.angles, lobe.lifts, strict=True):
        text = f"{lift / 0.0254:.3f} in" if model.system == "inch" else f"{lift * 1e3:g} mm"
        flank = "rising" if lobe.own and angle < lobe.own.value else "falling"
        error = hypot(lobe.now.standard_error if lobe.now else 0.0, angle_error(None))
        rows.append({"words": f"{text} {flank}", "lift": text, "flank": flank,
                     "expect": f"{degrees(_on_wheel(model, where, angle - lobe.moved)):.1f} ±{degrees(1.96 * error):.1f} on the wheel"})
    return rows[:2] if len(rows) < 4 else [rows[0], rows[-1]]


def _position(question: Asked | None) -> Answer | None:
    """The best position as JSON."""
    if question is None:
        return None
    answer = question.answer
    pick = answer.picks[0] if answer.picks else None
    return {"words": pick.words if pick else "", "advance": round(degrees(pick.amount or 0.0), 3) if pick else None,
            "name": pick.what if pick else "", "reasons": list(answer.reasons), "stops": [s.words for s in answer.stops]}


def _wheel(model: Timed, lobe: Read | None, where: str, target: float | None) -> Answer:
    """What is drawn on the wheel: marks of readings, of the centre and of its target, in degrees as the wheel reads them."""
    marks: list[Answer] = []
    if lobe is not None:
        few = lobe.angles if len(lobe.angles) <= 24 else ()
        marks += [{"kind": "reading", "angle": round(degrees(_on_wheel(model, where, a - lobe.moved)), 3)} for a in few]
        if lobe.now is not None:
            marks.append({"kind": "centre", "angle": round(degrees(_on_wheel(model, where, lobe.now.value)), 3)})
    if target is not None and side_of(where) == "intake":
        marks.append({"kind": "target", "angle": round(degrees(_on_wheel(model, where, target)), 3)})
    opens, closes = _expected(model, lobe, where, 0.05 * 0.0254 if model.system == "inch" else 1e-3)
    arc = None if opens is None or closes is None else {
        "start": round(degrees(_on_wheel(model, where, opens)), 3), "sweep": round(degrees(closes - opens), 3)}
    return {"marks": marks, "arc": arc, "turns": model.layout.turns}
