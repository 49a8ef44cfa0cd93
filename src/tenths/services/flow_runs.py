"""Runs on the flow bench worked out: leak off, air and scale brought to what went through the port, coefficients with their doubt."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, inf, pi

import numpy as np

from tenths.calc.valves import head
from tenths.engine.feature_head import PORT_FLOW
from tenths.errors import OutOfRange
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.logbook.build import Build, Reading
from tenths.logbook.flows import FlowPoint, FlowRun
from tenths.metrology.estimate import Estimate, exact, linear, single

INCH_OF_WATER = 249.08891
USUAL_DROP = 28 * INCH_OF_WATER
ROOM, ROOM_DOUBT = 293.15, 3.0  # K, where nobody read the air
AIR, AIR_DOUBT = head.STANDARD_PRESSURE, 1500.0  # Pa
DROP_DOUBT, LEAK_DOUBT, LIFT_DOUBT = 0.005, 0.10, 0.02e-3  # shares of drop and leak, and metres: common practice, no source
SEAT_ANGLE = pi / 4
# Where nobody read them, of the head's diameter: common practice, no source.
THROAT, STEM, SEAT = (0.88, 0.02), (0.17, 0.02), (0.035, 0.01)


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveSizes:
    """What coefficients of a valve refer to.

    ``across`` is its head's diameter, ``port`` None where that is not known or where, as ``wrong`` says, the sizes cannot be.
    """

    across: Input
    port: head.Port | None
    guessed: tuple[str, ...]
    wrong: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flowed:
    """A lift of a run, worked out [SI]: per valve where several were opened together.

    ``through`` is the volume before the port, ``there`` the same brought to the drop asked for, ``area`` the effective area;
    ``of_head``, ``of_curtain`` and ``of_passage`` the coefficients over these areas, None where the valve's size is not known.
    """

    point: FlowPoint
    through: Estimate
    there: Estimate
    area: Estimate
    of_head: Estimate | None
    of_curtain: Estimate | None
    of_passage: Estimate | None
    stage: int


def sizes_of(resolver: Resolver, station: str) -> ValveSizes:
    """The sizes of a valve and its seat: as read or stated, else as usual for its head."""
    side = "intake" if station.rsplit(".", 1)[-1].startswith("in") else "exhaust"
    found = resolver.input("head", station, "head-diameter", (), None)
    if found.estimate is None:
        found = resolver.input("head", "engine", f"{side}-valve-head", (), None)
    if found.estimate is None:
        return ValveSizes(across=found, port=None, guessed=())
    across, guessed = found.estimate.value, list[str]()

    def size(name: str, words: str, usual: float) -> float:
        known = resolver.input(name, station, name, (), None).estimate
        if known is None:
            guessed.append(words)
        return usual if known is None else known.value

    angle = size("seat-angle", "seat angle", SEAT_ANGLE)
    width = size("seat-width", "seat width", SEAT[0] * across)
    port = head.Port(head=across, throat=size("throat-diameter", "throat", THROAT[0] * across),
                     stem=size("stem", "stem", STEM[0] * across), seat_width=width * cos(angle), seat_angle=angle)
    try:
        head.opening(0.0, port)
    except OutOfRange as error:
        return ValveSizes(across=found, port=None, guessed=(), wrong=str(error))
    return ValveSizes(across=found, port=port, guessed=tuple(guessed))


def stale_because(build: Build, run: FlowRun) -> str:
    """Why a run does not hold any more, in words; empty text when it does."""
    return build.stale_because(_reading(run, run.points[-1])) if run.points else ""


def worked(book: InstrumentBook, run: FlowRun, sizes: ValveSizes, drop: float = USUAL_DROP) -> list[Flowed]:
    """Every lift of a run worked out; flows brought to a drop of pressure [Pa]."""
    return [_worked(book, run, point, sizes, drop) for point in run.points]


def _reading(run: FlowRun, point: FlowPoint) -> Reading:
    return Reading(point.mark, run.body.station, PORT_FLOW, point.body.lift, point.typed, point.flow, run.body.instrument, None, None,
                   point.body.note)


def _worked(book: InstrumentBook, run: FlowRun, point: FlowPoint, sizes: ValveSizes, drop: float) -> Flowed:
    given = [book.estimate(_reading(run, point)), *_conditions(run, point)]

    def through(*values: float) -> float:
        return _through(run, values[:2], *values[2:]) / run.body.valves

    def area(*values: float) -> float:
        before, warmth = _before(run, *values[3:])
        mass = through(*values) * head.air_density(pressure=before, temperature=warmth)
        return mass / head.nozzle_flux(pressure=before, temperature=warmth, drop=values[3])

    flow, effective = linear(through, *given), linear(area, *given)
    effective = _with_lift(effective, run, point)
    ratio = linear(lambda q, d: head.at_test_pressure(max(q, 0.0), drop=d, wanted=drop), flow, given[3])
    across = sizes.across.estimate
    if across is None or sizes.port is None:
        return Flowed(point=point, through=flow, there=ratio, area=effective, of_head=None, of_curtain=None, of_passage=None, stage=0)
    passage = head.opening(point.lift, sizes.port)
    return Flowed(
        point=point, through=flow, there=ratio, area=effective, stage=passage.stage,
        of_head=linear(lambda a, d: a / (pi / 4 * d * d), effective, across),
        of_curtain=linear(lambda a, d: a / (pi * d * point.lift), effective, across) if point.lift else None,
        of_passage=linear(lambda a: a / passage.area, effective) if passage.area > 0.0 else None)


def _conditions(run: FlowRun, point: FlowPoint) -> list[Estimate]:
    """Leak, the drop it was read at, drop, air's temperature and pressure."""
    name, sizes = run.body.run, run.sizes
    leak = sizes.get("leak", 0.0)
    leak_drop = sizes.get("leak_pressure", sizes["pressure"])
    return [single(leak, LEAK_DOUBT * leak, f"leak:{name}"), exact(leak_drop),
            single(point.drop, DROP_DOUBT * point.drop, f"manometer:{run.body.instrument or 'flow bench'}"),
            single(sizes.get("temperature", ROOM), 0.5 if "temperature" in sizes else ROOM_DOUBT, f"air:{name}"),
            single(sizes.get("barometer", AIR), 100.0 if "barometer" in sizes else AIR_DOUBT, "barometer")]


def _before(run: FlowRun, drop: float, warmth: float, air: float) -> tuple[float, float]:
    """Pressure and temperature of the air before the port."""
    return air + (drop if run.body.blown else 0.0), warmth


def _through(run: FlowRun, shown: Sequence[float], leak_drop: float, drop: float, warmth: float, air: float) -> float:
    """Volume of the air before the port, of all valves that were open [m3/s]."""
    flow, leak = (run.sizes.get("factor", 1.0) * value for value in shown)
    leak = max(leak, 0.0)
    leaks = head.at_test_pressure(leak, drop=leak_drop, wanted=drop)
    left = head.less_leak(flow, leak=leak, leak_drop=leak_drop, drop=drop) if flow >= leaks else flow - leaks  # below it: scatter, told
    if run.body.scale == "true" or left < 0.0:
        return left
    before, _ = _before(run, drop, warmth, air)
    made_for = head.air_density(pressure=run.sizes.get("reference_pressure", head.STANDARD_PRESSURE),
                                temperature=run.sizes.get("reference_temperature", head.STANDARD_TEMPERATURE))
    return head.true_flow_of_scale(left, reference=made_for, at_orifice=head.air_density(pressure=air, temperature=warmth),
                                   at_port=head.air_density(pressure=before, temperature=warmth))


def _with_lift(area: Estimate, run: FlowRun, point: FlowPoint) -> Estimate:
    """The doubt of the lift that was set, by the slope of flow over lift between the neighbours."""
    lifts, flows = [0.0, *(p.lift for p in run.points)], [0.0, *(p.flow / p.drop**0.5 for p in run.points)]
    here = run.points.index(point) + 1
    low, high = here - 1, min(here + 1, len(lifts) - 1)
    if lifts[high] <= lifts[low] or flows[here] <= 0.0:
        return area
    slope = abs(flows[high] - flows[low]) / (lifts[high] - lifts[low]) / flows[here]
    return Estimate(area.value, {**area.parts, f"lift:{point.mark.entry}": area.value * slope * LIFT_DOUBT}, area.freedom, area.shape)


# -- several runs together -------------------------------------------------------------------------------------------------

def mean_curve(curves: Sequence[tuple[Sequence[float], Sequence[float]]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The mean of several curves over all their places, each by straight lines within its own range and nought at nought.

    A curve that ends before the others counts no further than its end.
    """
    places = sorted({0.0, *(x for xs, _ in curves for x in xs)})
    rows = [np.interp(places, [0.0, *xs], [0.0, *ys], right=inf) if not (xs and xs[0] == 0.0) else np.interp(places, xs, ys, right=inf)
            for xs, ys in curves]
    kept = [[row[k] for row in rows if row[k] < inf] for k in range(len(places))]
    return tuple(places), tuple(float(sum(some) / len(some)) for some in kept)
