"""The valves of the pull: lift from a measured lobe or a card, flow from the flow bench or as usual, and which it was."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, tau

from tenths.calc.gas import valves
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.services.flow_runs import mean_curve, sizes_of, stale_because, worked
from tenths.services.running_model import Model

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


def lift_curve(model: Model, size: Mapping[str, float], side: str) -> LiftCurve:
    """How the valves of a side move: here every source of a lift comes together.

    Args:
        model: the engine as it runs.
        size: sizes of the gas side [SI].
        side: intake or exhaust.
    """
    _ = model  # a measured lobe is looked for in its log
    angles, lifts = valves.assumed_lobe(duration=size[f"{side}-duration"], lift=size[f"{side}-valve-lift"] * size.get("lift-share", 1.0))
    turned = tau - size[f"{side}-centre"]
    return LiftCurve(angles, lifts, (-turned if side == "intake" else turned) - size.get("cam-advance", 0.0), "card")


def head_read(model: Model, side: str) -> float | None:
    """The mean diameter of a side's valve heads as read or stated valve by valve [m]; None where nobody did."""
    found = [e.value for name in model.layout.valves if name.startswith(side[:2])
             and (e := model.inputs("head-diameter", f"valve.{{c}}.{name}")) is not None]
    return sum(found) / len(found) if found else None


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
    from numpy import interp  # noqa: PLC0415 - only here

    places = tuple(sorted({*forward[0], *reverse[0]}))
    there, back = (tuple(interp(places, *curve).tolist()) for curve in (forward, reverse))
    out_of, into = (back, there) if side == "intake" else (there, back)
    return FlowCurve(places, out_of, into, runs)


def valves_of(model: Model, size: Mapping[str, float], side: str) -> valves.Valves:
    """The valves of a side as the pull takes them."""
    lift, flow = lift_curve(model, size, side), flow_curve(model, size, side)
    usual = valves.USUAL_FOUR if round(size["intake-valves"]) > 1 else valves.USUAL_TWO
    over, out_of, into = (flow.over_diameter, flow.out_of, flow.into) if flow else (valves.USUAL_LIFTS, usual, usual)
    return valves.Valves(count=round(size[f"{side}-valves"]), diameter=size[f"{side}-valve-head"], angles=lift.angles, lifts=lift.lifts,
                         centre=lift.centre, over_diameter=over, out_of=out_of, into=into)


def said(model: Model, size: Mapping[str, float]) -> list[str]:
    """Which lift and which flow a pull was made with, in sentences."""
    return [sentence[0].upper() + sentence[1:] for side in ("intake", "exhaust") for sentence in _said(model, size, side)]


def _said(model: Model, size: Mapping[str, float], side: str) -> list[str]:
    lift, flow = lift_curve(model, size, side), flow_curve(model, size, side)
    of_lift = {"card": f"{side} lobe: that of a card, rising and falling alike"}.get(lift.origin, f"{side} lobe: {lift.origin}")
    if flow is None:
        return [f"{of_lift}; flow of its valves as usual for good heads."]
    one_way = next((way for way, many in flow.runs.items() if not many), "")
    many = " and ".join(f"{count} run{'s' if count > 1 else ''} {way}" for way, count in flow.runs.items() if count)
    found = [f"{of_lift}; flow of its valves from the flow bench, {many}{f'; {one_way} taken alike' if one_way else ''}."]
    most, ends = max(lift.lifts), flow.over_diameter[-1] * size[f"{side}-valve-head"]
    if ends < SHORT * most:
        found.append(f"{side} valves were flowed to {ends / most:.0%} of their greatest lift; beyond it the last flow is kept.")
    return found
