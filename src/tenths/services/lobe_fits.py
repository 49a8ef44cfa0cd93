"""Lobes of an engine from its readings: which hang together, on which zero, placed about their own cylinder's top dead centre."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import degrees, hypot, pi, radians, sqrt

import numpy as np

from tenths.calc.valves import centres, fitted
from tenths.calc.valves.centres import Sure
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.profiles import card_lobe
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import cylinder_of, station_map
from tenths.errors import BadInput, OutOfRange
from tenths.logbook.build import Build
from tenths.logbook.cams import Batch, Card
from tenths.services.wheel import Timed, Zeroed, angle_error, near, zero_stale, zeros

NOMINAL = {"intake": radians(110), "exhaust": radians(-110)}  # where a centre is looked for, from the overlap's top dead centre
LIFT_GOOD_TO = 7.5e-6  # m, a dial of a usual kind; common practice, no source
TIMED_AT = {"inch": 0.050 * 0.0254, "metric": 1.0e-3}  # where the trade times a lobe
MOST_SCATTER = 10.0
PAIR_SLOPE = 0.004  # m/rad, of a usual flank low down; only the error of a few pairs leans on it


@dataclass(frozen=True, slots=True)
class Read:
    """A lobe as it was read.

    Attributes:
        station, cylinder, side, words: which.
        batches: the entries that count.
        angles, lifts: of the readings, about the overlap's top dead centre of the cylinder [rad], at the follower [m].
        fit: through them; None for too few, with the reason in ``why``.
        centre: with the error of top dead centre [rad]; ``own`` without it; None before there is a pair.
        way: how the centre was found; ``at`` the lift, 0 for a symmetric fit.
        pairs: of readings, where there was no fit.
        stale: why the readings do not hold; empty where they do.
        late: why the centre alone does not.
    """

    station: str
    words: str
    cylinder: str
    side: str
    batches: tuple[Batch, ...]
    angles: tuple[float, ...]
    lifts: tuple[float, ...]
    fit: fitted.Fit | None
    why: str
    centre: Sure | None
    own: Sure | None
    way: str
    at: float
    pairs: int
    unlike: centres.Unlike | None
    zero: Zeroed | None
    stale: str
    late: str
    moved: float = 0.0

    @property
    def now(self) -> Sure | None:
        """The centre where the timing set stands now: as read, less what it was advanced since [rad]."""
        if self.centre is None:
            return None
        return Sure(value=self.centre.value - self.moved, standard_error=self.centre.standard_error)


def side_of(station: str) -> str:
    """Intake or exhaust, by the valve of a lobe."""
    return "intake" if station.rsplit(".", 1)[-1].startswith("in") else "exhaust"


def shaft_of(build: Build, station: str) -> str:
    """Name of the camshaft that a lobe belongs to."""
    _, cylinder, valve = station.split(".")
    shafts = build.layout.camshafts if build.layout else ()
    return next((shaft.name for shaft in shafts if (cylinder, valve) in shaft.drives), "")


def read_lobes(model: Timed, *, upto: int | None = None) -> list[Read]:
    """Every lobe of which there are readings, in walking order; as it stood at a position of the log where one is given."""
    build, known = model.build, zeros(model)
    by_station: dict[str, list[Batch]] = {}
    for batch in build.cams.batches:
        if upto is not None and batch.mark.position > upto:
            continue
        by_station.setdefault(batch.body.station, []).append(batch)
    places = station_map(model.layout)
    return [_read(model, known, places[station].words, batches)
            for station, batches in sorted(by_station.items(), key=lambda row: places[row[0]].order)]


def _read(model: Timed, known: Mapping[str, Zeroed], words: str, batches: Sequence[Batch]) -> Read:
    build, station = model.build, batches[0].body.station
    cylinder, side = cylinder_of(station) or "", side_of(station)
    good = [batch for batch in batches if batch.zero in known]
    # a lobe is drawn through the readings of the latest zero that has any
    # and of these the ones taken since the timing set was last moved, where there are any
    latest = [batch for batch in good if batch.zero == good[-1].zero]
    moves = [m.mark.position for m in build.cams.moves if m.body.shaft in {"", shaft_of(build, station)}]
    since = max((p for p in moves if latest and p < latest[-1].mark.position), default=0)
    used = tuple(batch for batch in latest if batch.mark.position > since)
    zero = known[used[-1].zero] if used else None
    angles, lifts, noise, wheel = _points(model, zero, used)
    fit, why = _fitted(angles, lifts, noise, wheel, model)
    own, way, at, unlike, pairs = _centre(model, fit, angles, lifts, noise, wheel, side)
    if fit is not None and own is None:
        why = "the readings do not come down both flanks, so that there is no centre yet"
    whole = Sure(value=own.value, standard_error=hypot(own.standard_error, zero.error)) if own and zero else None
    stale = _stale(build, station, used) if used else "the zero of the wheel that they hang on was struck"
    moved, late = _moved(build, station, used)
    return Read(station, words, cylinder, side, used, angles, lifts, fit, why, whole, own, way, at, pairs, unlike, zero, stale, late, moved)


def _points(model: Timed, zero: Zeroed | None, batches: Sequence[Batch]) -> tuple[tuple[float, ...], tuple[float, ...], float, float]:
    """Angles and lifts at the follower, and the noise of dial and wheel: that of the worst batch."""
    if zero is None or not batches:
        return (), (), LIFT_GOOD_TO / sqrt(3.0), angle_error(None)
    station = batches[0].body.station
    fires, cylinder = model.layout.firing_angles(), cylinder_of(station) or ""
    shift = zero.reads + radians(fires[cylinder] - fires[zero.zero.body.cylinder])
    rows: list[tuple[float, float]] = []
    noises: list[float] = []
    for batch in batches:
        ratio = batch.sizes.get("ratio", 1.0)
        noises.append(_dial(model.build, batch) / ratio)
        rows += [(angle, lift / ratio) for angle, lift in _placed(batch.points, shift, NOMINAL[side_of(station)])]
    rows.sort()
    wheel = max(angle_error(batch.sizes.get("read_to")) for batch in batches)
    return tuple(a for a, _ in rows), tuple(h for _, h in rows), max(noises), wheel


def _placed(points: Sequence[tuple[float, float]], shift: float, about: float) -> list[tuple[float, float]]:
    """Readings about where the lobe is looked for; a table over both turns of a cycle is moved as a whole, by its nose [rad]."""
    angles = [angle - shift for angle, _ in points]
    if max(angles) - min(angles) <= 2 * pi + 1e-9:
        return [(near(angle, about), lift) for angle, (_, lift) in zip(angles, points, strict=True)]
    nose = angles[max(range(len(points)), key=lambda n: points[n][1])]
    turned = near(nose, about) - nose - about
    return [(about + (angle + turned + 2 * pi) % (4 * pi) - 2 * pi, lift) for angle, (_, lift) in zip(angles, points, strict=True)]


def _dial(build: Build, batch: Batch) -> float:
    """Standard error of one reading of the dial [m]: as typed, else off the dial's own card, else a usual one."""
    limit = batch.sizes.get("lift_good_to")
    if limit is None and (listed := build.instruments.get(batch.body.instrument)) and listed[1].limit_of_error:
        unit = unit_for(Quantity.LENGTH, "metric" if build.units == "metric" else "inch")
        limit = parse(listed[1].limit_of_error, Quantity.LENGTH, default_unit=unit, field="limit of error").si
    return max(LIFT_GOOD_TO if limit is None else limit, 1e-7) / sqrt(3.0)


def _fitted(angles: Sequence[float], lifts: Sequence[float], noise: float, wheel: float, model: Timed) -> tuple[fitted.Fit | None, str]:
    """The lobe through the readings, or why there is none."""
    if len(set(angles)) < fitted.FEWEST:
        count = len(set(angles))
        return None, f"{count} place{'s' if count != 1 else ''} read; {fitted.FEWEST} or more make a lobe"
    card = model.build.cams.card

    def drawn(times: float) -> fitted.Fit:
        return fitted.fit_lobe(angles, lifts, lift_error=noise * times, angle_error=wheel * times, words=f"{len(angles)} readings",
                               base_radius=card.sizes.get("base_circle", 0.0) / 2.0 if card else 0.0)

    try:
        fit = drawn(1.0)
        if fit.scatter > MOST_SCATTER:
            return None, f"the readings scatter {fit.scatter:.0f} times as much as they are good to; no lobe goes through them"
        if fit.scatter > 1.0 + 3.0 * fit.scatter_error:  # noise was stated too small: errors are widened to what the readings show
            fit = replace(drawn(fit.scatter), scatter=fit.scatter, scatter_error=fit.scatter_error)
    except (BadInput, OutOfRange) as error:
        return None, str(error)
    if fit.lobe.peak < 20.0 * noise or not 0 < int(np.argmax(fit.lifts)) < len(fit.lifts) - 1:
        return None, "the readings do not come over the nose; take some on both flanks"
    return fit, ""


def _centre(
    model: Timed, fit: fitted.Fit | None, angles: Sequence[float], lifts: Sequence[float], noise: float, wheel: float, side: str
) -> tuple[Sure | None, str, float, centres.Unlike | None, int]:
    """The centre, how it was found, at which lift, how unlike the flanks are, and of how many pairs."""
    if fit is not None:
        low = timed_at(model, fit.lobe)
        try:
            even = centres.symmetric_centre(fit)
            unlike = centres.unlike_flanks(fit, centre=even.value, lift=low)
            if not unlike.clear:
                return even, "both flanks laid over each other", 0.0, unlike, 0
            return centres.flanks(fit, lift=low).centre, "equal lift", low, unlike, 0
        except OutOfRange:
            pass
    pairs = _pairs(angles, lifts, noise, side)
    if not pairs:
        return None, "", 0.0, None, 0
    opening, closing, heights = zip(*pairs, strict=True)
    found = centres.pair_centre(opening, closing, slopes=[PAIR_SLOPE] * len(pairs), angle_error=wheel, lift_error=noise)
    return found, "pairs at equal lift", float(np.mean(heights)), None, len(pairs)


def _pairs(angles: Sequence[float], lifts: Sequence[float], noise: float, side: str) -> list[tuple[float, float, float]]:
    """Readings at like lifts on either side of where the centre is looked for: opening, closing, lift."""
    top = angles[int(np.argmax(lifts))] if angles else NOMINAL[side]
    middle = top if any(a < top for a in angles) and any(a > top for a in angles) else NOMINAL[side]
    up, down = ([(h, a) for a, h in zip(angles, lifts, strict=True) if (a < middle) == early] for early in (True, False))
    found: list[tuple[float, float, float]] = []
    for height, angle in up:
        match = min(down, key=lambda row: abs(row[0] - height), default=None)
        if match is not None and abs(match[0] - height) <= max(noise, 1e-6) and height > 5.0 * noise:
            found.append((angle, match[1], height))
            down.remove(match)
    return found


def timed_at(model: Timed, lobe: Lobe) -> float:
    """The lift at which the trade times a lobe, or less for a low one [m]."""
    return min(TIMED_AT[model.system], 0.3 * lobe.peak)


def _stale(build: Build, station: str, batches: Sequence[Batch]) -> str:
    first = min(batch.mark.position for batch in batches)
    shaft = shaft_of(build, station)
    for slot in (f"cam.{shaft}", "lifter." + station.partition(".")[2]):
        history = build.slots.get(slot)
        if history and history.at(first) != history.parts[-1]:
            return f"{slot} was changed since it was read"
        if any(m.mark.position > first for m in build.machining.get(slot, ())):
            return f"{slot} was machined since it was read"
    return zero_stale(build, batches[-1].zero)


def _moved(build: Build, station: str, batches: Sequence[Batch]) -> tuple[float, str]:
    """How much earlier the timing set was put since the lobe was read [rad], and words on it."""
    if not batches:
        return 0.0, ""
    last, shaft = max(batch.mark.position for batch in batches), shaft_of(build, station)
    since = [m for m in build.cams.moves if m.mark.position > last and m.body.shaft in {"", shaft}]
    whole = sum(m.advance for m in since)
    if not since:
        return 0.0, ""
    return whole, f"the timing set was moved by {degrees(whole):+.2f} degrees since it was read; where it now stands is predicted"


# -- from the maker's card ---------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Carded:
    """A lobe as a maker's card has it: drawn, about the overlap's top dead centre where its centre is known."""

    side: str
    lobe: Lobe | None
    centre: float | None
    why: str = ""


def carded(card: Card, side: str) -> Carded:
    """The lobe of a side off the card; without a drawing where the card does not say enough."""
    centre = _card_centre(card, side)
    lift, rows = card.sizes.get(f"{side}_lift"), card.durations[side]
    if not rows and card.events and card.events_lift:
        opens, closes = card.events[:2] if side == "intake" else card.events[2:]
        rows = ((card.events_lift, opens + pi + closes),)
    if lift is None or not rows:
        return Carded(side, None, centre, "the card gives no lift with a duration")
    try:
        lobe = card_lobe(lift=lift, lifts=[h for h, _ in rows], durations=[d for _, d in rows],
                         base_radius=card.sizes.get("base_circle", 0.0) / 2.0)
    except (BadInput, OutOfRange) as error:
        return Carded(side, None, centre, str(error))
    sign = 1.0 if side == "intake" else -1.0
    return Carded(side, lobe if centre is None else lobe.placed(sign * centre), centre)


def _card_centre(card: Card, side: str) -> float | None:
    """The centre that the card gives: after top dead centre for an intake, before it for an exhaust [rad]."""
    if (said := card.sizes.get(f"{side}_centre")) is not None:
        return said
    if "separation" in card.sizes:
        advance = card.sizes.get("advance", 0.0)
        return card.sizes["separation"] + (-advance if side == "intake" else advance)
    if card.events:
        opens, closes, out, shut = card.events
        return (opens + pi + closes) / 2 - opens if side == "intake" else (out + pi + shut) / 2 - shut
    return None
