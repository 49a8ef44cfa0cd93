"""Does the follower stay on the lobe: the valve train in motion, cycle after cycle, at many speeds.

The train of `train` is pressed by its lobe through joints that cannot pull and closed by springs whose coils swing. It runs until
one cycle ends as it began. What is told: whether and where it parts, how hard the valve lands and how high it jumps.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive, within
from tenths.calc.valves import _kernels
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.train import Coils, Train
from tenths.errors import BadInput, OutOfRange, Unsettled

Floats = NDArray[np.float64]
kernels: Any = _kernels  # the compiler's functions carry no types
PIECES = 720
MOMENTS = 720
TOLERANCE = 1e-5
RETURNS = 2e-3  # of lift and speed: how near a cycle must end to where it began
MOST_CYCLES = 16
CLASH = 30.0  # stiffness of a bound coil over that of the coil; common practice, no source
_WHY = {1: "its steps became too short", 2: "it came to what is no number", 3: "its joints opened and closed without end"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A valve train over one cycle, from a whole turn of the crank before the lobe's centre to one after.

    Attributes:
        speed: of the crank [rad/s].
        least_force: in the joint that presses least while the lobe slows its follower, from the quickest rise to the quickest
            fall, at the valve [N]; below 0 the gap times the joint's stiffness.
        least_at: where that is, angle of the crank from the lobe's centre [rad].
        parted: widest gap of the train in the same part of the cycle, at the valve [m].
        parted_at: where [rad].
        landing: speed of the valve as it meets its seat [m/s]; 0 where it never does.
        landing_at: where [rad].
        bounce: highest lift after that [m].
        landings: how many times it meets the seat.
        greatest_lift: of the valve [m].
        greatest_force: on the lobe [N].
        least_spring: force of the springs on their seat [N].
        bound: whether coils touched.
        work: that the lobe puts in [J].
        lost: that joints, coils and seat take up [J].
        cycles: that were run.
        repeats: whether the last ended as it began; where it does not, the worst of the last four is told.
        steps: of the last cycle.
        angles: of the crank from the lobe's centre, even [rad].
        lifts: of the valve at these [m].
        speeds: of the valve [m/s].
        forces: on the lobe [N].
        gaps: of the whole train, lash included, at the valve [m].
        seat_forces: of the valve on its seat [N].
        spring_forces: of the springs on the retainer [N].
    """

    speed: float
    least_force: float
    least_at: float
    parted: float
    parted_at: float
    landing: float
    landing_at: float
    bounce: float
    landings: int
    greatest_lift: float
    greatest_force: float
    least_spring: float
    bound: bool
    work: float
    lost: float
    cycles: int
    repeats: bool
    steps: int
    angles: Floats
    lifts: Floats
    speeds: Floats
    forces: Floats
    gaps: Floats
    seat_forces: Floats
    spring_forces: Floats

    @property
    def holds(self) -> bool:
        """Whether every joint presses while the lobe slows its follower."""
        return self.least_force > 0.0


# -- from records to arrays ----------------------------------------------------------------------------------------------------

def _table(lobe: Lobe) -> Floats:
    """The lobe over a turn of the cam as pieces of fifth degree, from half a turn before its centre."""
    step = 4.0 * math.pi / PIECES  # of the crank
    at = lobe.at(lobe.centre - 2.0 * math.pi + step * np.arange(PIECES + 1))
    y, v, a = at.lift, at.velocity * step, at.acceleration * step**2
    y0, y1, v0, v1, a0, a1 = y[:-1], y[1:], v[:-1], v[1:], a[:-1], a[1:]
    rise = y1 - y0
    return np.ascontiguousarray(np.stack([
        y0, v0, a0 / 2.0, 10.0 * rise - 6.0 * v0 - 4.0 * v1 - 1.5 * a0 + 0.5 * a1,
        -15.0 * rise + 8.0 * v0 + 7.0 * v1 + 1.5 * a0 - a1, 6.0 * rise - 3.0 * (v0 + v1) - 0.5 * (a0 - a1)], axis=1))  # fmt: skip


def _slowing(table: Floats) -> tuple[float, float]:
    """Angles of the cam from the lobe's centre between which it slows its follower: from its quickest rise to its quickest fall."""
    step = math.tau / PIECES
    return -math.pi + step * int(np.argmax(table[:, 1])), -math.pi + step * int(np.argmin(table[:, 1]))


@dataclass(frozen=True, slots=True)
class _Arrays:
    """A train as the compiled loops take it."""

    numbers: Floats
    masses: Floats
    stiff: Floats
    damp: Floats
    gaps: Floats
    coils: Floats
    upper: NDArray[np.int64]
    lower: NDArray[np.int64]


def _piece(spring: Coils) -> tuple[float, float, float, float, float, float]:
    """Rate, damping and load of one piece of a spring, its room, and rate and damping of its stop."""
    rate = spring.rate * spring.pieces
    first = math.pi * math.sqrt(spring.rate / spring.mass)  # both ends held [rad/s]
    damping = 2.0 * spring.damping / first * rate
    bound = CLASH * rate
    return rate, damping, spring.load, spring.left / spring.pieces, bound, 0.2 * math.sqrt(bound * spring.mass / spring.pieces)


def _arrays(of: Train) -> _Arrays:
    chain = len(of.masses)
    masses, coils, upper, lower = list(of.masses), list[tuple[float, ...]](), list[int](), list[int]()
    for spring in of.springs:
        each = spring.mass / spring.pieces
        masses[chain - 1] += each / 2.0
        above = chain - 1
        for k in range(spring.pieces):
            last = k == spring.pieces - 1
            coils.append(_piece(spring))
            upper.append(above)
            lower.append(-1 if last else len(masses))
            above = len(masses)
            if not last:
                masses.append(each)
    rows = np.array(coils)
    gaps = np.concatenate([np.zeros(chain), [-of.load / of.seat_stiffness], rows[:, 3]])
    gaps[of.lash_at] = of.lash
    stiff, damp = np.array((*of.stiffnesses, of.seat_stiffness)), np.array((*of.dampings, of.seat_damping))
    numbers = np.zeros(9)
    numbers[kernels.P_RATIO], numbers[kernels.P_HOLD], numbers[kernels.P_LOAD] = of.ratio, of.hold, of.load
    return _Arrays(numbers, np.array(masses), np.concatenate([stiff, rows[:, 4]]), np.concatenate([damp, rows[:, 5]]), gaps,
                   np.ascontiguousarray(rows[:, :3]), np.array(upper, np.int64), np.array(lower, np.int64))


def _resting(of: Train, arrays: _Arrays, lift: float) -> Floats:
    """At rest where a train that does not give would stand under a lift of the lobe."""
    chain, count = len(of.masses), len(arrays.masses)
    state = np.zeros(2 * count + 2)
    valve = max(of.ratio * lift - of.lash, 0.0)
    state[:chain] = valve
    first = chain
    for spring in of.springs:
        state[first : first + spring.pieces - 1] = valve * np.arange(spring.pieces - 1, 0, -1) / spring.pieces
        first += spring.pieces - 1
    return state


# -- running -------------------------------------------------------------------------------------------------------------------

def run(of: Train, lobe: Lobe, *, speed: float, tolerance: float = TOLERANCE, most_cycles: int = MOST_CYCLES) -> Run:
    """The train at one speed, run until a cycle repeats.

    Args:
        of: the train.
        lobe: motion of its follower over the crank.
        speed: of the crank [rad/s].
        tolerance: allowed error of a step over lift and speed of the valve [-].
        most_cycles: after which it is told as not repeating.

    Returns:
        What happens over the last cycle.

    Raises:
        OutOfRange: for a speed that is not above 0, a tolerance outside of 1e-10 to 1e-2, or a lobe that lifts nothing.
        Unsettled: where the motion cannot be followed; the message says why and at which speed.

    Validity: small swings of the rocker, one ratio; a spring of one rate until its coils touch; no pump-up or leak of a
        hydraulic follower, and no gas on the valve.
    Source: Newton's law for a row of masses, [Norton] chapter 9; steps after Dormand and Prince, [Hairer].
    """
    positive(speed=speed)
    within(1e-10, 1e-2, tolerance=tolerance)
    within(1, 1000, most_cycles=most_cycles)
    return _run(_arrays(of), _table(lobe), of, speed, tolerance, most_cycles)


def runs(
    of: Train, lobe: Lobe, speeds: Sequence[float], *, tolerance: float = TOLERANCE, most_cycles: int = MOST_CYCLES, threads: int = 2
) -> tuple[Run, ...]:
    """The train at many speeds.

    Args:
        of: the train.
        lobe: motion of its follower over the crank.
        speeds: of the crank [rad/s].
        tolerance: as in run [-].
        most_cycles: as in run.
        threads: that share the work.

    Returns:
        A run for each speed, in their order.

    Raises:
        BadInput: without a speed.
        OutOfRange: as run.
        Unsettled: as run.

    Validity: as run.
    Source: as run, [Norton].
    """
    if not speeds:
        raise BadInput("speeds: none given; one or more are needed")
    for speed in speeds:
        positive(speed=speed)
    within(1e-10, 1e-2, tolerance=tolerance)
    within(1, 64, threads=threads)
    arrays, table = _arrays(of), _table(lobe)

    def one(speed: float) -> Run:
        return _run(arrays, table, of, speed, tolerance, most_cycles)

    if threads == 1 or len(speeds) == 1:
        return tuple(one(speed) for speed in speeds)
    with ThreadPoolExecutor(threads) as pool:
        return tuple(pool.map(one, speeds))


def _run(arrays: _Arrays, table: Floats, of: Train, speed: float, tolerance: float, most_cycles: int) -> Run:
    cam = speed / 2.0
    numbers = arrays.numbers.copy()
    lift = float(np.max(table[:, 0]))
    slope = float(np.max(np.abs(table[:, 1]))) * PIECES / math.tau
    if not lift > 0.0 or not slope > 0.0:
        raise OutOfRange(f"lobe: its greatest lift is {lift:g} m; more than 0 is needed")
    numbers[kernels.P_TOLERANCE], numbers[kernels.P_RETURNS] = tolerance, RETURNS
    numbers[kernels.P_FROM], numbers[kernels.P_TO] = _slowing(table)
    numbers[kernels.P_SPAN], numbers[kernels.P_RUSH] = of.ratio * lift, of.ratio * slope * cam
    chain = len(of.masses)
    told, along = np.zeros((most_cycles, 17)), np.zeros((6, MOMENTS))
    state = _resting(of, arrays, float(table[0, 0]))
    code, cycles, apart = kernels.turned(cam, state, numbers, arrays.masses, arrays.stiff, arrays.damp, arrays.gaps, arrays.coils,
                                         arrays.upper, arrays.lower, table, chain, told, along)
    if code != kernels.GOOD:
        rpm = speed * 30.0 / math.pi
        raise Unsettled(f"valve train: at {rpm:.0f} rpm, in cycle {cycles + 1}, the motion could not be followed: {_WHY[code]}")
    return _told(speed, told[:cycles], along, free=of.load / of.seat_stiffness, repeats=bool(apart < RETURNS))


def _told(speed: float, told: Floats, along: Floats, *, free: float, repeats: bool) -> Run:
    """The last cycle, or the worst of the last four where they differ."""
    rows = told[-1:] if repeats else told[-4:]
    q = kernels
    least, widest, hardest = (rows[int(np.argmin(rows[:, q.Q_MARGIN]))], rows[int(np.argmax(rows[:, q.Q_GAP]))],
                              rows[int(np.argmax(rows[:, q.Q_LANDING]))])
    return Run(
        speed=speed, least_force=float(least[q.Q_MARGIN]), least_at=2.0 * float(least[q.Q_MARGIN_AT]), parted=float(widest[q.Q_GAP]),
        parted_at=2.0 * float(widest[q.Q_GAP_AT]), landing=float(hardest[q.Q_LANDING]), landing_at=2.0 * float(hardest[q.Q_LANDING_AT]),
        bounce=max(0.0, float(rows[:, q.Q_BOUNCE].max()) - free), landings=int(rows[:, q.Q_LANDINGS].max()),
        greatest_lift=float(rows[:, q.Q_LIFT].max()), greatest_force=float(rows[:, q.Q_FORCE].max()),
        least_spring=float(rows[:, q.Q_LEAST_SPRING].min()), bound=bool(rows[:, q.Q_CLASH].max() > 0.0), work=float(told[-1, q.Q_WORK]),
        lost=float(told[-1, q.Q_LOST]), cycles=len(told), repeats=repeats, steps=int(told[-1, q.Q_STEPS]),
        angles=np.linspace(-math.tau, math.tau, MOMENTS, endpoint=False), lifts=along[q.R_LIFT], speeds=along[q.R_SPEED],
        forces=along[q.R_FORCE], gaps=along[q.R_GAP], seat_forces=along[q.R_SEAT], spring_forces=along[q.R_SPRING])
