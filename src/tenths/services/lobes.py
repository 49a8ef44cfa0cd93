"""Lobes of an engine as an answer: centre, events, durations, flanks and curves of each, timing of each cylinder, the shaft as a whole."""

from collections.abc import Sequence
from math import degrees, hypot, pi, radians

import numpy as np

from tenths.calc.valves import centres, followers, timing
from tenths.calc.valves.lobes import Lobe
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import station_map
from tenths.errors import BadInput, OutOfRange
from tenths.logbook.cams import Card
from tenths.services.amounts import Amounts, Answer
from tenths.services.lobe_fits import NOMINAL, TIMED_AT, Carded, Read, carded, read_lobes, shaft_of
from tenths.services.questions import system_of
from tenths.services.shop import Shop
from tenths.services.timing_set import KNOBS
from tenths.services.wheel import Timed, timed, zero_answer, zeroed

A, L = Quantity.ANGLE, Quantity.LENGTH
LIFTS = {"inch": (0.006, 0.050, 0.200), "metric": (0.15, 1.0, 5.0)}  # in, mm: where the trade times a lobe
SCALE = {"inch": (0.0254, "in", "thou"), "metric": (1e-3, "mm", "µm")}
POINTS = 181
FAR = radians(35)
SIDES = ("intake", "exhaust")
NOTES = (
    "Angles are of the crank. A centre is that of the whole lobe where its flanks are alike, else the middle at the lift that is named.",
    ("Where nobody says otherwise the wheel is read to 0.25 degree, its division and seat are good to 0.15, a dial to 0.0003 in "
     "(0.0075 mm): common practice, no source."),
)


def lobes(shop: Shop, engine: str, units: str = "", *, check: float = 0.0) -> Answer:
    """What is known of an engine's lobes: from readings, and from the maker's card where it has one.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        check: lift at which seat events are told [m]; 0: as the question cam-timing is set, else 0.006 in or 0.15 mm.

    Raises:
        BadInput: when there is no such engine, it has no layout, or what was read cannot be.
    """
    model = timed(shop.build(engine), units)
    write, build = model.amounts, model.build
    card, zero = build.cams.card, build.cams.zero
    read = read_lobes(model)
    lifts = [lift * SCALE[model.system][0] for lift in LIFTS[model.system]]
    lifts[0] = check or KNOBS.number(build, "check")
    places = [s for s in station_map(model.layout).values() if s.kind == "lobe"]
    return {
        "engine": engine, "units": model.system, "zero": zero_answer(build, write, zeroed(model, zero)) if zero else None,
        "lost": "" if zero or not build.cams.zeros else build.cams.lost_words or "the wheel was moved",
        "lobes": [_lobe(model, write, row, lifts) for row in read],
        "timing": [row for label in model.layout.labels for lift in lifts if (row := _timing(write, read, label, lift))],
        "shafts": [row for shaft in model.layout.camshafts for side in SIDES if (row := _shaft(model, write, read, shaft.name, side))],
        "card": _card(model, write, card) if card else None,
        "moves": [{"entry": m.mark.entry, "advance": plain(write, m.advance), "position": m.body.position, "shaft": m.body.shaft}
                  for m in build.cams.moves],
        "stations": [{"station": s.address, "words": s.words, "read": any(r.station == s.address for r in read)} for s in places],
        "cylinders": list(model.layout.labels), "check": write(lifts[0], L, figures=3), "notes": list(NOTES) if read else [],
    }


def plain(write: Amounts, angle: float | None) -> Answer:
    """An angle to a hundredth of a degree [rad]."""
    told = write(angle, A)
    return told if angle is None else told | {"text": f"{degrees(angle):.2f} deg"}


def sure(write: Amounts, found: centres.Sure | None, quantity: Quantity = A) -> Answer:
    """A value with its standard error."""
    return write(found.value, quantity, found.standard_error) if found else write(None, quantity)


# -- one lobe --------------------------------------------------------------------------------------------------------------

def _lobe(model: Timed, write: Amounts, row: Read, lifts: Sequence[float]) -> Answer:
    sign = 1.0 if row.side == "intake" else -1.0
    told = {
        "station": row.station, "words": row.words, "cylinder": row.cylinder, "side": row.side, "shaft": shaft_of(model.build, row.station),
        "readings": len(row.angles), "entries": [batch.mark.entry for batch in row.batches], "stale": row.stale, "late": row.late,
        "why": row.why, "centre": sure(write, _signed(row.centre, sign)), "now": sure(write, _signed(row.now, sign)),
        "own_error": write(row.own.standard_error if row.own else None, A, figures=2),
        "interval": write(1.96 * row.centre.standard_error if row.centre else None, A, figures=2), "way": row.way,
        "at": write(row.at or None, L, figures=3), "pairs": row.pairs, "notes": _notes(row),
        "points": [{"angle": degrees(a), "lift": h / SCALE[model.system][0]} for a, h in zip(row.angles, row.lifts, strict=True)],
        "peak": write(None, L), "flanks": [], "unlike": None, "area": None, "base": None, "ramps": [], "scatter": None, "curve": None,
        "least_radius": write(None, L)}
    return told | (_drawn(model, write, row, lifts, sign) if row.fit else {})


def _signed(found: centres.Sure | None, sign: float) -> centres.Sure | None:
    return None if found is None else centres.Sure(value=sign * found.value, standard_error=found.standard_error)


def _drawn(model: Timed, write: Amounts, row: Read, lifts: Sequence[float], sign: float) -> Answer:
    """What only a lobe that could be drawn tells."""
    fit = row.fit
    assert fit is not None  # noqa: S101 - the caller has looked
    lobe, size = fit.lobe, SCALE[model.system][0]
    peak = int(np.argmax(lobe.motion.lift))
    base = centres.base_circle(list(row.lifts), lift_error=float(np.min(fit.noise)), below=max(15e-6, 3 * float(np.min(fit.noise))))
    low = min(TIMED_AT[model.system], 0.3 * lobe.peak)
    return {
        "peak": write(lobe.peak, L, float(lobe.errors.lift[peak])),
        "flanks": [told for lift in lifts if (told := _flanks(write, row, lift, sign))],
        "unlike": None if row.unlike is None else {
            "difference": write(row.unlike.difference, L, row.unlike.standard_error), "away": write(row.unlike.away, A),
            "clear": row.unlike.clear},
        "area": _area(model, row, low),
        "base": {"count": base.count, "middle": write(base.middle, L), "run_out": write(base.run_out, L),
                 "by_noise": write(base.by_noise, L)} if base.count else None,
        "ramps": _ramps(model, write, lobe, lifts[0]),
        "scatter": {"ratio": fit.scatter, "error": fit.scatter_error},
        "curve": curve(lobe, size), "least_radius": _radius(model, write, lobe)}


def _flanks(write: Amounts, row: Read, lift: float, sign: float) -> Answer | None:
    """Events, centre and duration at a lift; the error of top dead centre goes into the events and not into the duration."""
    try:
        found = centres.flanks(row.fit, lift=lift) if row.fit else None
    except OutOfRange:
        return None
    if found is None:
        return None
    top = row.zero.error if row.zero else 0.0

    def placed(value: centres.Sure, turn: float, way: float) -> Answer:
        return write(way * (value.value - row.moved) + turn, A, hypot(value.standard_error, top))

    opens = placed(found.opens, 0.0, -1.0) if row.side == "intake" else placed(found.opens, -pi, -1.0)
    closes = placed(found.closes, -pi, 1.0) if row.side == "intake" else placed(found.closes, 0.0, 1.0)
    return {"lift": write(lift, L, figures=3), "opens": opens, "closes": closes, "centre": placed(found.centre, 0.0, sign),
            "duration": sure(write, found.duration)}


def _area(model: Timed, row: Read, lift: float) -> Answer | None:
    assert row.fit is not None  # noqa: S101 - the caller has looked
    try:
        found = centres.area(row.fit, lift=lift)
    except OutOfRange:
        return None
    size, unit, _ = SCALE[model.system]
    value, error = (degrees(x) / size for x in (found.value, found.standard_error))
    return {"value": value, "unit": f"{unit} deg", "standard_uncertainty": error, "text": f"{value:.4g} {unit} deg",
            "lift": model.amounts(lift, L)}


def _ramps(model: Timed, write: Amounts, lobe: Lobe, lift: float) -> list[Answer]:
    size, _, fine = SCALE[model.system]
    found: list[Answer] = []
    for closing in (False, True):
        try:
            ramp = centres.ramp(lobe, lift=lift, closing=closing)
        except OutOfRange:
            continue
        speed = ramp.velocity / degrees(1.0) / size * 1e3
        found.append({"flank": "closing" if closing else "opening", "height": write(ramp.height, L), "length": write(ramp.length, A),
                      "velocity": f"{speed:.2f} {fine}/deg" if ramp.length else ""})
    return found


def _radius(model: Timed, write: Amounts, lobe: Lobe) -> Answer:
    """Least radius of the cam under a flat follower, where its base circle is known and the follower is flat."""
    card = model.build.cams.card
    if not lobe.base_radius or card is None or card.body.follower not in {"", "flat"}:
        return write(None, L)
    return write(float(np.min(followers.flat_surface(lobe, angles=lobe.angles).radius)), L)


def _notes(row: Read) -> list[str]:
    said: list[str] = []
    if any(batch.body.approach != "one side" for batch in row.batches):
        said.append("Some readings were come to from both sides: play shifts the centre by half of it, and averaging does not remove that.")
    if row.fit and row.fit.scatter > 1.0 + 3.0 * row.fit.scatter_error:
        said.append(f"The readings scatter {row.fit.scatter:.1f} times as much as they were said to be good to; the errors are "
                    "widened by that. Look for a slip of dial or wheel, or state what they are good to.")
    if row.now and abs(row.now.value - NOMINAL[row.side]) > FAR:
        said.append("That is far from where such a lobe stands: look at the name of the lobe, the cylinder of the zero, and whether the "
                    "chain is a tooth out.")
    if row.unlike and row.unlike.clear:
        said.append("The flanks are not alike: the centre depends on the lift at which it is taken.")
    if any(batch.body.at != "follower" for batch in row.batches):
        said.append("Read over the rocker: one ratio is taken for all lifts, and with lash the first of the lift is not seen.")
    return said


def curve(lobe: Lobe, size: float) -> Answer:
    """Lift and its derivatives with 95 % bands over degrees of the crank: lift in the unit, the others in thousandths of it."""
    angles = np.linspace(lobe.angles[0], lobe.angles[-1], POINTS)
    moving, errors = lobe.at(angles), lobe.errors_at(angles)
    turn = degrees(1.0)
    rows: Answer = {"angle": [round(degrees(float(a)), 3) for a in angles]}
    for n, name in enumerate(("lift", "velocity", "acceleration", "jerk")):
        scale = (1e3 if n else 1.0) / size / turn**n
        rows[name] = [round(float(v) * scale, 6) for v in getattr(moving, name)]
        rows[f"{name}_band"] = [round(1.96 * float(v) * scale, 6) for v in getattr(errors, name)]
    return rows


# -- cylinders, shafts, card -------------------------------------------------------------------------------------------------

def _first(read: Sequence[Read], label: str, side: str) -> Read | None:
    return next((r for r in read if (r.cylinder, r.side) == (label, side) and r.fit and not r.stale), None)


def _timing(write: Amounts, read: Sequence[Read], label: str, lift: float) -> Answer | None:
    """Overlap, separation and advance of a cylinder of which both lobes are drawn."""
    intake, exhaust = (_first(read, label, side) for side in SIDES)
    if intake is None or exhaust is None or intake.fit is None or exhaust.fit is None:
        return None
    try:
        found = timing.lobes_timing(intake.fit.lobe.moved(-intake.moved), exhaust.fit.lobe.moved(-exhaust.moved), lift=lift)
        own = [centres.flanks(fit, lift=lift) for fit in (intake.fit, exhaust.fit)]
    except OutOfRange:
        return None
    apart = hypot(own[0].centre.standard_error, own[1].centre.standard_error) / 2
    top = intake.zero.error if intake.zero else 0.0
    same = intake.zero and exhaust.zero and intake.zero.zero.mark.entry == exhaust.zero.zero.mark.entry
    return {"cylinder": label, "lift": write(lift, L, figures=3), **_told(write, found),
            "separation": write(found.separation, A, apart if same else hypot(apart, top / 2**0.5)),
            "overlap": write(found.overlap, A, hypot(own[0].opens.standard_error, own[1].closes.standard_error)),
            "advance": write(found.advance, A, hypot(apart, top))}


def _told(write: Amounts, found: timing.Timing) -> Answer:
    return {name: plain(write, getattr(found, name)) for name in (
        "intake_opens", "intake_closes", "exhaust_opens", "exhaust_closes", "intake_duration", "exhaust_duration", "intake_centre",
        "exhaust_centre", "separation", "overlap", "advance")}


def _shaft(model: Timed, write: Amounts, read: Sequence[Read], shaft: str, side: str) -> Answer | None:
    """Centres of one kind along a shaft: spread and twist."""
    drives = next(c.drives for c in model.layout.camshafts if c.name == shaft)
    rows = [r for r in read if r.side == side and not r.stale and r.own and shaft_of(model.build, r.station) == shaft]
    if len(rows) < 2:
        return None
    order = {f"lobe.{label}.{valve}": n for n, (label, valve) in enumerate(drives)}
    pitch = len(drives) / max(1, len({label for label, _ in drives}))
    places = [order[r.station] / pitch for r in rows]
    values = [r.own.value - r.moved for r in rows if r.own]
    try:
        found = timing.shaft_spread(places, values, [r.own.standard_error for r in rows if r.own])
    except (BadInput, OutOfRange):
        return None
    return {"shaft": shaft, "side": side, "count": len(rows), "mean": plain(write, abs(found.mean)), "spread": plain(write, found.spread),
            "by_error": plain(write, found.by_error), "clear": found.spread > 1.8 * found.by_error,
            "twist": write(found.twist, A, found.twist_error), "twisted": abs(found.twist) > 2.5 * found.twist_error,
            "worst": rows[found.worst].words,
            "rows": [{"station": r.station, "words": r.words, "off": plain(write, v - found.mean)}
                     for r, v in zip(rows, values, strict=True)]}


def _card(model: Timed, write: Amounts, card: Card) -> Answer:
    """The card, and the lobes drawn from it."""
    sides = [carded(card, side) for side in SIDES]
    return {"entry": card.mark.entry, "source": card.body.source, "events": card.body.events,
            "timing": _card_timing(write, card, sides),
            "lobes": [_card_lobe(model, write, card, side) for side in sides]}


def _card_lobe(model: Timed, write: Amounts, card: Card, row: Carded) -> Answer:
    return {"side": row.side, "why": row.why, "lift": write(card.sizes.get(f"{row.side}_lift"), L), "centre": plain(write, row.centre),
            "durations": [{"lift": write(h, L, figures=3), "duration": plain(write, d)} for h, d in card.durations[row.side]],
            "curve": curve(row.lobe, SCALE[model.system][0]) if row.lobe else None}


def _card_timing(write: Amounts, card: Card, sides: Sequence[Carded]) -> Answer | None:
    """Timing by the card: its events, else its lobes at the first lift that both have."""
    try:
        if card.events:
            names = ("intake_opens", "intake_closes", "exhaust_opens", "exhaust_closes")
            said = timing.events_timing(**dict(zip(names, card.events, strict=True)))
            return {"lift": write(card.events_lift or None, L, figures=3)} | _told(write, said)
        intake, exhaust = (row.lobe for row in sides)
        if intake is None or exhaust is None or any(row.centre is None for row in sides):
            return None
        lift = max(card.durations[side][0][0] for side in SIDES if card.durations[side])
        return {"lift": write(lift, L, figures=3)} | _told(write, timing.lobes_timing(intake, exhaust, lift=lift))
    except (BadInput, OutOfRange):
        return None


def check_lift(shop: Shop, engine: str, text: str) -> float:
    """A checking lift as typed [m]; 0 for none.

    Raises:
        BadInput: when it is no lift of 0.02 to 2 mm.
    """
    if not text.strip():
        return 0.0
    build = shop.build(engine)
    lift = parse(text, L, default_unit=unit_for(L, system_of(build)), field="check").si
    if not 2e-5 <= lift <= 2e-3:
        raise BadInput(f"check: {text!r} is out of range; 0.02 to 2 mm is accepted")
    return lift
