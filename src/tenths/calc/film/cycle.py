"""Bearings over a load cycle: the journal's path, its thinnest film, and the temperature its own friction gives the oil.

The journal follows the finite-length mobility of `mobility`. Directions as in `loads`: complex, angles in the direction in
which the crank turns, here seen from the sleeve (rod or block).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc import motion
from tenths.calc._check import finite, not_negative, positive, within
from tenths.calc.film import _kernels
from tenths.calc.film.mobility import Maps, maps
from tenths.calc.film.oil import Oil
from tenths.errors import BadInput

Floats = NDArray[np.float64]
kernels: Any = _kernels  # the compiler's functions carry no types
HOTTEST = 493.15
_TEMPERATURES = 32
TOLERANCE = 2e-3
_FINE = 300  # moments of a cycle from which on a map leaves every second one out
_HIGHEST_SLENDERNESS, _LOWEST_SLENDERNESS = 1.6, 0.04


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """A bearing as it is, hot.

    Attributes:
        diameter: of the journal [m].
        length: of the surface that carries, groove included [m].
        clearance: of the radii, half of what the trade calls oil clearance [m].
        groove_width: of a groove in the middle of the length [m]; 0 for none.
        groove_extent: around the sleeve [rad]; 2 pi for a whole one, pi for one in the upper shell.
        groove_at: middle of the groove, seen from the sleeve [rad].
        hole: diameter of the hole that feeds it, where no groove does [m].
        supply: pressure of the oil above ambient [Pa].
    """

    diameter: float
    length: float
    clearance: float
    groove_width: float = 0.0
    groove_extent: float = 0.0
    groove_at: float = 0.0
    hole: float = 0.0
    supply: float = 0.0

    @property
    def land(self) -> float:
        """Length of either surface beside the groove [m]."""
        return (self.length - self.groove_width) / 2.0


@dataclass(frozen=True, slots=True)
class Cycle:
    """What a bearing bears, at even moments of one cycle.

    Attributes:
        loads: on the journal, seen from the sleeve [N], complex.
        drift: mean angular speed of journal and sleeve, seen from the sleeve [rad/s].
        sliding: angular speed of the journal against the sleeve [rad/s].
        period: of the cycle [s].
    """

    loads: NDArray[np.complex128]
    drift: Floats
    sliding: Floats
    period: float


@dataclass(frozen=True, slots=True)
class Running:
    """A bearing over its cycle.

    Attributes:
        least_film: [m].
        least_at: which moment of the cycle.
        least_direction: of the thinnest film then, seen from the sleeve [rad].
        largest_pressure: of the film [Pa].
        flow: of oil through the bearing, mean [m3/s].
        power: friction with all the gap full of oil, mean [W].
        power_streamers: friction without what lies outside of the pressed film, mean [W].
        temperature: of the oil in the film and on leaving it [K].
        viscosity: that goes with it [Pa s].
        path: of the journal's centre over the radial clearance [-], complex, per moment.
        films: thinnest film per moment [m].
        pressures: largest pressure per moment [Pa].
        settled: whether the path closes and the temperature agrees with the friction to 1 K.
    """

    least_film: float
    least_at: int
    least_direction: float
    largest_pressure: float
    flow: float
    power: float
    power_streamers: float
    temperature: float
    viscosity: float
    path: NDArray[np.complex128]
    films: Floats
    pressures: Floats
    settled: bool


@dataclass(frozen=True, slots=True)
class Mapped:
    """Bearings over many clearances, oils and speeds.

    Attributes:
        least_film: [m], shape (bearing, speed, oil, clearance).
        power: friction with all the gap full [W], the same shape.
        flow: of oil [m3/s], the same shape.
        temperature: of the oil [K], the same shape.
        largest_pressure: of the film [Pa], the same shape.
        settled: share of the points where path and temperature did [-].
    """

    least_film: Floats
    power: Floats
    flow: Floats
    temperature: Floats
    largest_pressure: Floats
    settled: float


def main_cycle(loads: NDArray[np.complex128], *, speed: float) -> Cycle:
    """The cycle of a main bearing.

    Args:
        loads: of the crank on the main over two turns in even steps, seen from the engine [N].
        speed: of the crank [rad/s].

    Returns:
        The cycle.

    Raises:
        BadInput: for fewer than 8 loads.
        OutOfRange: for a speed that is not above 0.

    Validity: a block that stands still, steady speed.
    Source: [Booker]: mean of both surfaces' speeds.
    """
    positive(speed=speed)
    given = _row(loads)
    return Cycle(given, np.full(given.size, speed / 2.0), np.full(given.size, speed), 2.0 * math.tau / speed)


def rod_cycle(
    loads: NDArray[np.complex128],
    own_angles: Floats,
    *,
    stroke: float,
    rod_length: float,
    speed: float,
    pin_offset: float = 0.0,
) -> Cycle:
    """The cycle of a big end.

    Args:
        loads: of the rod on its crankpin over two turns in even steps, seen from the rod as by `loads.seen_from_rod` [N].
        own_angles: of the crank from the cylinder's own top dead centre at these steps [rad].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        speed: of the crank [rad/s].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The cycle.

    Raises:
        BadInput: for fewer than 8 loads, or angles that are not as many.
        OutOfRange: for a speed that is not above 0 or a rod too short.

    Validity: steady speed.
    Source: [Booker]: mean of both surfaces' speeds; the rod swings against the crank's turning at top dead centre.
    """
    positive(speed=speed)
    given = _row(loads)
    if np.shape(own_angles) != given.shape:
        raise BadInput(f"own_angles have shape {np.shape(own_angles)}: one for each of {given.size} loads is needed")
    lean = motion.rod_angle(np.asarray(own_angles), stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    swing = stroke / 2.0 * np.cos(own_angles) / (rod_length * np.cos(lean))
    sliding = speed * (1.0 + swing)
    return Cycle(given, sliding / 2.0, sliding, 2.0 * math.tau / speed)


def _row(loads: NDArray[np.complex128]) -> NDArray[np.complex128]:
    given = np.asarray(loads, dtype=np.complex128)
    if given.ndim != 1 or given.size < 8:
        raise BadInput(f"loads have shape {given.shape}: one row of 8 or more is needed")
    if not np.all(np.isfinite(given)):
        raise BadInput("loads hold what is no number: finite numbers are needed")
    return given


def running(
    bearing: Bearing,
    cycle: Cycle,
    oil: Oil,
    *,
    inlet: float,
    heat_share: float = 0.8,
    tolerance: float = TOLERANCE,
) -> Running:
    """A bearing over its cycle, at the temperature that its friction gives the oil.

    Args:
        bearing: its sizes.
        cycle: what it bears.
        oil: that feeds it.
        inlet: temperature of that oil [K].
        heat_share: of the friction that the oil takes away [-]; 0 keeps the inlet's temperature.
        tolerance: of one step, over the film's thickness [-].

    Returns:
        The path and what comes of it.

    Raises:
        OutOfRange: for sizes or temperatures outside of their ranges.
        BadInput: for a groove wider than the bearing.

    Validity: stiff round sleeve and parallel journal; one temperature; pressure thickens the oil where it has a coefficient,
        within 3 % of the load, up to 3.9 over that; a load over a groove is borne by the lands beside it, one near its end
        partly by either. The sleeve's give and inertia of the oil are left out: both make the true film of highly loaded big
        ends differ from this one.
    Source: [Booker] with own finite-length maps; reduced pressure in [Hamrock], [Barus]; power as in [Martin]; heat share of
        0.8 and a film at the temperature of the oil that leaves, as in [Martin], from memory.
    """
    within(0.0, 1.0, heat_share=heat_share)
    numbers = _numbers(bearing, oil, inlet, heat_share)
    fields, step = _tables(bearing)
    first, between = inlet, (HOTTEST - inlet) / (_TEMPERATURES - 1)
    viscosities = _viscosities(bearing, oil, inlet, float(np.mean(np.abs(cycle.sliding))))
    loads = np.ascontiguousarray(cycle.loads).view(np.float64).reshape(-1, 2)
    samples, told, place = np.empty((loads.shape[0], 6)), np.zeros(10), np.zeros(2)
    kernels.settled(
        loads, cycle.drift, cycle.sliding, cycle.period / loads.shape[0], viscosities, first, between, numbers,
        fields, step, place, tolerance, samples, told,
    )  # fmt: skip
    path = samples[:, 0] + 1j * samples[:, 1]
    at = int(told[kernels.LEAST_AT])
    return Running(
        least_film=float(told[kernels.LEAST_FILM]),
        least_at=at,
        least_direction=float(np.angle(path[at])),
        largest_pressure=float(told[kernels.LARGEST_PRESSURE]),
        flow=float(told[kernels.MEAN_FLOW]),
        power=float(told[kernels.MEAN_POWER]),
        power_streamers=float(told[kernels.MEAN_POWER_STREAMERS]),
        temperature=float(told[kernels.TEMPERATURE]),
        viscosity=float(told[kernels.VISCOSITY]),
        path=path,
        films=(1.0 - np.abs(path)) * bearing.clearance,
        pressures=samples[:, kernels.PRESSURE],
        settled=bool(_is_settled(told)),
    )


def running_all(
    bearings: Sequence[Bearing],
    cycles: Sequence[Cycle],
    oil: Oil,
    *,
    inlet: float,
    heat_share: float = 0.8,
    tolerance: float = TOLERANCE,
    workers: int = 2,
) -> list[Running]:
    """All bearings of an engine over a cycle, side by side.

    Args:
        bearings: their sizes.
        cycles: what each bears.
        oil: that feeds them.
        inlet: temperature of that oil [K].
        heat_share: as of `running` [-].
        tolerance: as of `running` [-].
        workers: threads.

    Returns:
        What `running` gives for each.

    Raises:
        BadInput: unless there is one cycle per bearing.
        OutOfRange: as of `running`.

    Validity: as of `running`.
    Source: as of `running`.
    """
    if len(cycles) != len(bearings):
        raise BadInput(f"cycles are {len(cycles)}: one for each of {len(bearings)} bearings is needed")
    with ThreadPoolExecutor(max(1, workers)) as pool:
        work = [
            pool.submit(running, bearing, cycle, oil, inlet=inlet, heat_share=heat_share, tolerance=tolerance)
            for bearing, cycle in zip(bearings, cycles, strict=True)
        ]
        return [future.result() for future in work]


def losses(bearings: Sequence[Bearing], cycles: Sequence[Cycle], oil: Oil, *, inlet: float, workers: int = 2) -> float:
    """Power lost by friction in all bearings of an engine at one speed, for the friction of its pull.

    Args:
        bearings: their sizes.
        cycles: what each bears.
        oil: that feeds them.
        inlet: temperature of that oil [K].
        workers: threads.

    Returns:
        Power, mean over the cycle: the middle between a gap full of oil and one torn to streamers [W].

    Raises:
        BadInput: unless there is one cycle per bearing.
        OutOfRange: as of `running`.

    Validity: as of `running`; to a tolerance of 1 % of the film at each step.
    Source: as of `running`.
    """
    found = running_all(bearings, cycles, oil, inlet=inlet, tolerance=1e-2, workers=workers)
    return math.fsum((one.power + one.power_streamers) / 2.0 for one in found)


def _is_settled(told: Floats) -> NDArray[np.bool_]:
    return (told[..., kernels.CLOSURE] < 0.05) & (np.abs(told[..., kernels.RISE_LEFT]) < 1.0)


def mapped(
    bearings: Sequence[Bearing],
    cycles: Sequence[Sequence[Cycle]],
    oils: Sequence[Oil],
    clearances: Sequence[float],
    *,
    inlet: float,
    heat_share: float = 0.8,
    workers: int = 2,
    progress: Callable[[int, int], None] | None = None,
    tolerance: float = 5e-3,
) -> Mapped:
    """All bearings of an engine over many clearances, oils and speeds.

    Args:
        bearings: their sizes; their own clearance is not used.
        cycles: for each bearing one cycle per speed, all of as many moments.
        oils: to compare.
        clearances: of the radii [m], best in order, since each starts from its neighbour's path.
        inlet: temperature of the oil that feeds them [K].
        heat_share: as of `running` [-].
        workers: threads.
        progress: told how many of how many bearings are done.
        tolerance: as of `running` [-].

    Returns:
        What comes of each.

    Raises:
        BadInput: unless there is one row of cycles per bearing, all alike.
        OutOfRange: as of `running`.

    Validity: as of `running`; a finely divided cycle is thinned, which costs a per cent of the film.
    Source: as of `running`.
    """
    if len(cycles) != len(bearings) or not bearings or len({len(row) for row in cycles}) != 1:
        raise BadInput(f"cycles are {len(cycles)} rows: one row of as many speeds for each of {len(bearings)} bearings is needed")
    shape = (len(cycles[0]), len(oils), len(clearances))
    cycles = [[_thinned(cycle) for cycle in row] for row in cycles]
    told: list[Floats] = []
    with ThreadPoolExecutor(max(1, workers)) as pool:
        work = (pool.submit(_one_map, *one, oils, clearances, inlet, heat_share, tolerance) for one in zip(bearings, cycles, strict=True))
        for found in _in_turn(work, max(1, workers)):
            told.append(found.reshape(*shape, found.shape[-1]))
            if progress is not None:
                progress(len(told), len(bearings))
    return _as_mapped(np.array(told))


def _thinned(cycle: Cycle) -> Cycle:
    """Every second moment of a finely divided cycle: a map bears the per cent that this costs."""
    if cycle.loads.size < _FINE or cycle.loads.size % 2:
        return cycle
    return Cycle(cycle.loads[::2].copy(), cycle.drift[::2].copy(), cycle.sliding[::2].copy(), cycle.period)


def _in_turn(work: Iterator[Future[Floats]], ahead: int) -> Iterator[Floats]:
    """Results in order, with some of the work under way ahead of them."""
    waiting: list[Future[Floats]] = []
    for future in work:
        waiting.append(future)
        if len(waiting) > ahead:
            yield waiting.pop(0).result()
    for future in waiting:
        yield future.result()


def _as_mapped(told: Floats) -> Mapped:
    return Mapped(
        least_film=told[..., kernels.LEAST_FILM],
        power=told[..., kernels.MEAN_POWER],
        flow=told[..., kernels.MEAN_FLOW],
        temperature=told[..., kernels.TEMPERATURE],
        largest_pressure=told[..., kernels.LARGEST_PRESSURE],
        settled=float(np.mean(_is_settled(told))),
    )


def _one_map(
    bearing: Bearing,
    cycles: Sequence[Cycle],
    oils: Sequence[Oil],
    clearances: Sequence[float],
    inlet: float,
    heat_share: float,
    tolerance: float,
) -> Floats:
    fields, step = _tables(bearing)
    sized = [replace(bearing, clearance=clearance) for clearance in clearances]
    numbers: list[Floats] = []
    jobs: list[tuple[int, int]] = []
    viscosities: list[Floats] = []
    first, between = inlet, (HOTTEST - inlet) / (_TEMPERATURES - 1)
    for at, cycle in enumerate(cycles):
        sliding = float(np.mean(np.abs(cycle.sliding)))
        for oil in oils:
            for one in sized:
                curve = _viscosities(one, oil, inlet, sliding)
                numbers.append(_numbers(one, oil, inlet, heat_share))
                jobs.append((at, len(viscosities)))
                viscosities.append(curve)
    told = np.empty((len(jobs), 10))
    kernels.mapped(
        np.array(jobs),
        np.array([np.ascontiguousarray(cycle.loads).view(np.float64).reshape(-1, 2) for cycle in cycles]),
        np.array([cycle.drift for cycle in cycles]),
        np.array([cycle.sliding for cycle in cycles]),
        np.array([cycle.period / cycle.loads.size for cycle in cycles]),
        np.array(viscosities),
        first,
        between,
        np.array(numbers),
        np.repeat(fields[None], len(cycles), axis=0),
        step,
        tolerance,
        told,
    )
    return told


def _tables(bearing: Bearing) -> tuple[Floats, float]:
    """Maps of the whole length, and of one land beside the groove."""
    whole = _map_of(bearing.length / bearing.diameter)
    land = _map_of(bearing.land / bearing.diameter) if bearing.groove_width else whole
    return np.stack([whole.fields, land.fields]), whole.step


def _map_of(slenderness: float) -> Maps:
    within(_LOWEST_SLENDERNESS, _HIGHEST_SLENDERNESS, length_over_diameter=slenderness)
    return maps(round(slenderness, 6))


def _numbers(bearing: Bearing, oil: Oil, inlet: float, heat_share: float) -> Floats:
    positive(diameter=bearing.diameter, length=bearing.length, clearance=bearing.clearance)
    not_negative(groove_width=bearing.groove_width, hole=bearing.hole, supply=bearing.supply)
    finite(groove_at=bearing.groove_at)
    within(0.0, math.tau + 1e-9, groove_extent=bearing.groove_extent)
    within(223.0, HOTTEST - 1.0, inlet=inlet)
    if bearing.groove_width >= bearing.length:
        raise BadInput(f"groove_width is {bearing.groove_width:g} m: less than the length of {bearing.length:g} m is needed")
    numbers = np.zeros(11)
    numbers[kernels.RADIUS] = bearing.diameter / 2.0
    numbers[kernels.CLEARANCE] = bearing.clearance
    numbers[kernels.LENGTH] = bearing.length
    numbers[kernels.LAND_LENGTH] = bearing.land
    numbers[kernels.GROOVE_AT] = bearing.groove_at
    numbers[kernels.GROOVE_HALF] = bearing.groove_extent / 2.0 if bearing.groove_width else 0.0
    numbers[kernels.FEED] = fed_flow(bearing)
    numbers[kernels.INLET] = inlet
    numbers[kernels.SHARE] = heat_share
    numbers[kernels.STIFFENS] = oil.pressure_coefficient
    numbers[kernels.HEAT] = oil.density(inlet) * oil.heat_capacity(inlet)
    return numbers


def fed_flow(bearing: Bearing) -> float:
    """What the supply alone pushes through a bearing with its journal in the middle, times viscosity.

    Args:
        bearing: its sizes.

    Returns:
        Flow times viscosity [Pa m3]; with the journal aside about 1 + 1.5 eccentricity^2 times as much.

    Validity: gaps small against the lands; for a hole 0.675 (hole/length + 0.4)^1.75 p c^3, good to some ten per cent.
    Source: flow between parallel walls for a groove; for a hole [Martin], from memory.
    """
    cube = bearing.supply * bearing.clearance**3
    if bearing.groove_width and bearing.groove_extent:
        return bearing.groove_extent * bearing.diameter / 2.0 * cube / (12.0 * bearing.land) * 2.0
    return 0.675 * cube * (bearing.hole / bearing.length + 0.4) ** 1.75 if bearing.hole else 0.0


def _viscosities(bearing: Bearing, oil: Oil, inlet: float, sliding: float) -> Floats:
    """Logarithm of the viscosity at the film's mean shear, at even temperatures from the inlet's up."""
    rate = sliding * bearing.diameter / 2.0 / bearing.clearance
    return _curve(oil, inlet, float(f"{rate:.4g}"))


@lru_cache(maxsize=4096)
def _curve(oil: Oil, inlet: float, rate: float) -> Floats:
    between = (HOTTEST - inlet) / (_TEMPERATURES - 1)
    return np.array([math.log(oil.viscosity(inlet + k * between, shear_rate=rate)) for k in range(_TEMPERATURES)])
