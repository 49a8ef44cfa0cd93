"""The valves of the pull: lift from a measured lobe or a card, flow from the flow bench or as usual, and which it was."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi, radians, tau

import numpy as np

from tenths.calc.gas import valves
from tenths.calc.gas.valves import Floats
from tenths.calc.valves.lobes import Lobe
from tenths.engine.feature_gas import VALVE_GEARS
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook.cams import Batch
from tenths.services.flow_runs import mean_curve, sizes_of, stale_because, worked
from tenths.services.lobe_fits import Read, carded, read_lobes
from tenths.services.pull_rubbing import gear_of
from tenths.services.running_model import Model
from tenths.services.wheel import timed

RATIOS = {"push-rod": 1.55, "rocker": 1.4, "finger": 1.6, "direct": 1.0}  # of the rocker where nobody says: common practice
OF_LOBE = ("duration", "valve-lift", "centre")
POINTS, BESIDE = 721, radians(20)  # of the table of a lobe, and how far it goes beyond the readings
SEATED = 0.15e-3  # m: lift from which a valve counts as open
SHORT = 0.95  # of the greatest lift: a table that ends below it is said to


@dataclass(frozen=True, slots=True)
class LiftCurve:
    """Lift at the valve over the crank: angles from the centre [rad], lifts [m], the centre from firing top dead centre [rad]."""

    angles: tuple[float, ...]
    lifts: tuple[float, ...]
    centre: float
    origin: str


@dataclass(frozen=True, slots=True)
class FlowCurve:
    """Effective area over that of the head, by lift over diameter, both ways; how many runs it is the mean of, by way."""

    over_diameter: tuple[float, ...]
    out_of: tuple[float, ...]
    into: tuple[float, ...]
    runs: Mapping[str, int]


def lift_curve(model: Model, size: Mapping[str, float], side: str, tried: Collection[str] = ()) -> LiftCurve:
    """How the valves of a side move: here every source of a lift comes together.

    A lobe that was read goes before the maker's card, and that before a curve drawn from stated duration, lift and centre, unless one of
    these is tried.

    Args:
        model: the engine as it runs.
        size: sizes of the gas side [SI].
        side: intake or exhaust.
        tried: names of sizes that a comparison changes.
    """
    share, advance = size.get("lift-share", 1.0), size.get("cam-advance", 0.0)
    known = None if any(f"{side}-{name}" in tried for name in OF_LOBE) else lobe_known(model, side)
    if known is not None:
        return replace(known, lifts=tuple(share * lift for lift in known.lifts), centre=known.centre - advance)
    angles, lifts = valves.assumed_lobe(duration=size[f"{side}-duration"], lift=size[f"{side}-valve-lift"] * share)
    turned = tau - size[f"{side}-centre"]
    return LiftCurve(angles, lifts, (-turned if side == "intake" else turned) - advance, "that of a card, rising and falling alike")


def lobe_known(model: Model, side: str) -> LiftCurve | None:
    """A side's lobe as read, else as drawn off the maker's card, at the valve with its lash taken off; None where neither is known.

    Of several lobes that were read it is their mean, each about its own centre.
    """
    cams = model.build.cams
    rows = _rows(model, side) if cams.batches else []
    if rows:
        lobes = [(row.fit.lobe, row.centre.value) for row in rows if row.fit and row.centre]
        centre = sum(row.now.value for row in rows if row.now) / len(rows)
        above = [batch for row in rows for batch in row.batches if batch.body.at != "follower"]  # what such a dial shows is past the lash
        words = f"as read, the mean of {len(rows)}" if len(rows) > 1 else f"as read ({rows[0].words})"
        return _at_valve(model, side, lobes, centre, words, above[0] if above else None)
    drawn = carded(cams.card, side) if cams.card else None
    if drawn is None or drawn.lobe is None or drawn.centre is None:
        return None
    centre = drawn.centre if side == "intake" else -drawn.centre
    return _at_valve(model, side, [(drawn.lobe, centre)], centre, "as drawn off the maker's card", None)


def _rows(model: Model, side: str) -> list[Read]:
    """The lobes of a side that were read, that a curve could be drawn through and that hold."""
    return [row for row in read_lobes(timed(model.build)) if row.side == side and row.fit and row.centre and row.now and not row.stale]


def _at_valve(
    model: Model, side: str, lobes: Sequence[tuple[Lobe, float]], centre: float, words: str, above: Batch | None
) -> LiftCurve:
    """Lobes about their own centres as one curve at the valve.

    ``centre`` is about the overlap's top dead centre [rad]; ``above`` are readings that were taken at the valve, past the lash.
    """
    reach = max(float(np.max(np.abs(lobe.angles - own))) for lobe, own in lobes) + BESIDE
    away = np.linspace(-reach, reach, POINTS)
    follower = np.mean([_led_down(lobe, own + away) for lobe, own in lobes], axis=0)
    lash, peak = 0.0 if above else _mean_of(model, "lash", side) or 0.0, float(np.max(follower))
    said = _mean_of(model, "valve-lift", side) or (e.value if (e := model.inputs(f"{side}-valve-lift", "engine")) else None)
    typed = above.sizes.get("ratio") if above else None
    ratio = typed or _mean_of(model, "rocker-ratio", side) or ((said + lash) / peak if said else 1.0 if _direct(model) else None)
    guess = RATIOS[gear_of(model)]
    lifts = np.maximum((ratio or guess) * follower - lash, 0.0)
    return LiftCurve(tuple(away.tolist()), tuple(lifts.tolist()), centre - (tau if side == "intake" else -tau),
                     words if ratio else f"{words} at the follower, with a ratio of {guess:g} guessed for the rocker")


def _direct(model: Model) -> bool:
    """Whether the lobe is said to bear on the valve itself, so that no rocker stands between."""
    gear = model.inputs("valve-gear", "engine")
    return gear is not None and VALVE_GEARS[round(gear.value)] == "direct"


def _led_down(lobe: Lobe, angles: Floats) -> Floats:
    """Lift of a lobe; where its readings end above the base circle it goes on down at the slope that it ended with [m]."""
    found = lobe.lift(angles)
    for end, sign in ((0, -1.0), (-1, 1.0)):
        beyond = sign * (angles - lobe.angles[end])
        down = lobe.motion.lift[end] - abs(lobe.motion.velocity[end]) * beyond
        found = np.where(beyond > 0.0, np.maximum(down, 0.0), found)
    return found


def measured_of(model: Model, size: Mapping[str, float]) -> frozenset[str]:
    """What of flow and duration was measured on both sides of this engine, so that less doubt is left of it."""
    sides = ("intake", "exhaust")
    found = {"flow": all(flow_curve(model, size, side) is not None for side in sides),
             "duration": bool(model.build.cams.batches) and all(_rows(model, side) for side in sides)}
    return frozenset(name for name, known in found.items() if known)


def lobe_sizes(model: Model, side: str) -> dict[str, float]:
    """Lift, duration and centre of a side as its lobe is known [m, rad]; nothing where it is only stated or guessed."""
    read = lobe_known(model, side)
    if read is None:
        return {}
    open_ = [angle for angle, lift in zip(read.angles, read.lifts, strict=True) if lift > SEATED]
    centre = read.centre + tau if side == "intake" else tau - read.centre
    return {f"{side}-valve-lift": max(read.lifts), f"{side}-duration": open_[-1] - open_[0], f"{side}-centre": centre}


def _mean_of(model: Model, feature: str, side: str) -> float | None:
    """The mean of a feature over a side's valves [SI]; None where nobody read or stated it."""
    found = [e.value for name in model.layout.valves if name.startswith(side[:2])
             and (e := model.inputs(feature, f"valve.{{c}}.{name}")) is not None]
    return sum(found) / len(found) if found else None


def head_read(model: Model, side: str) -> float | None:
    """The mean diameter of a side's valve heads as read or stated valve by valve [m]; None where nobody did."""
    return _mean_of(model, "head-diameter", side)


def flow_curve(model: Model, size: Mapping[str, float], side: str) -> FlowCurve | None:
    """What the flow bench says of a side's valves, as the mean of all runs that hold; None where there is none.

    Where only one way was flowed it stands for both.
    """
    build = model.build
    book = InstrumentBook(build)
    resolver = Resolver(build, book)
    curves: dict[str, list[tuple[list[float], list[float]]]] = {"forward": [], "reverse": []}
    for run in build.flows.values():
        if run.side != side or not run.points or stale_because(build, run):
            continue
        sizes = sizes_of(resolver, run.body.station)
        across = sizes.port.head if sizes.port else size[f"{side}-valve-head"]
        rows = [(row.point.lift / across, max(row.area.value, 0.0) / (pi / 4 * across**2)) for row in worked(book, run, sizes)]
        curves[run.body.way].append(([x for x, _ in rows], [y for _, y in rows]))
    known = {way: mean_curve(some) for way, some in curves.items() if some}
    if not known:
        return None
    forward, reverse = (known.get(way) or next(iter(known.values())) for way in ("forward", "reverse"))
    return _both_ways(forward, reverse, side, {way: len(some) for way, some in curves.items()})


Curve = tuple[tuple[float, ...], tuple[float, ...]]


def _both_ways(forward: Curve, reverse: Curve, side: str, runs: Mapping[str, int]) -> FlowCurve:
    """Forward is into the cylinder at an intake, and out of it at an exhaust."""
    places = tuple(sorted({*forward[0], *reverse[0]}))
    there, back = (tuple(np.interp(places, *curve).tolist()) for curve in (forward, reverse))
    out_of, into = (back, there) if side == "intake" else (there, back)
    return FlowCurve(places, out_of, into, runs)


def valves_of(model: Model, size: Mapping[str, float], side: str, tried: Collection[str] = ()) -> valves.Valves:
    """The valves of a side as the pull takes them; ``tried`` are the sizes that a comparison changes."""
    lift, flow = lift_curve(model, size, side, tried), flow_curve(model, size, side)
    usual = valves.USUAL_FOUR if round(size["intake-valves"]) > 1 else valves.USUAL_TWO
    over, out_of, into = (flow.over_diameter, flow.out_of, flow.into) if flow else (valves.USUAL_LIFTS, usual, usual)
    return valves.Valves(count=round(size[f"{side}-valves"]), diameter=size[f"{side}-valve-head"], angles=lift.angles, lifts=lift.lifts,
                         centre=lift.centre, over_diameter=over, out_of=out_of, into=into)


def said(model: Model, size: Mapping[str, float], tried: Collection[str] = ()) -> list[str]:
    """Which lift and which flow a pull was made with, in sentences."""
    return [sentence[0].upper() + sentence[1:] for side in ("intake", "exhaust") for sentence in _said(model, size, side, tried)]


def _said(model: Model, size: Mapping[str, float], side: str, tried: Collection[str]) -> list[str]:
    lift, flow = lift_curve(model, size, side, tried), flow_curve(model, size, side)
    of_lift = f"{side} lobe: {lift.origin}"
    if flow is None:
        return [f"{of_lift}; flow of its valves as usual for good heads."]
    one_way = next((way for way, many in flow.runs.items() if not many), "")
    many = " and ".join(f"{count} run{'s' if count > 1 else ''} {way}" for way, count in flow.runs.items() if count)
    found = [f"{of_lift}; flow of its valves from the flow bench, {many}{f'; {one_way} taken alike' if one_way else ''}."]
    most, ends = max(lift.lifts), flow.over_diameter[-1] * size[f"{side}-valve-head"]
    if ends < SHORT * most:
        found.append(f"{side} valves were flowed to {ends / most:.0%} of their greatest lift; beyond it the last flow is kept.")
    return found
