"""Rocker and push-rod: the true ratio over the lift, how far the tip is swept, push-rod length, preload, lash hot and cold.

All in the plane of the rocker. The pivot is the origin; *up* runs along the valve stem away from the cylinder, *across*
from the pivot towards the valve. The nose bears on a flat tip, so that what it wipes over is the way of the nose's centre
across, whatever its radius.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tenths.calc._check import finite, not_negative, positive, within
from tenths.errors import OutOfRange

STEPS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Rocker:
    """A rocker between push-rod (or lobe) and valve, as it stands with the valve closed.

    Attributes:
        valve_arm: pivot to centre of the nose [m].
        push_arm: pivot to centre of the push-rod cup [m].
        between: angle between the two arms, on the lower side [rad].
        start: angle of the valve arm above a square to the stem, valve closed [rad].
        lifter_across: axis of the lifter at the height of the pivot, away from the valve + [m].
        lifter_lean: of the lifter's axis against the stem, its top away from the valve + [rad].
        push_rod: between the centres of its ends [m].
    """

    valve_arm: float
    push_arm: float
    between: float
    start: float
    lifter_across: float
    lifter_lean: float
    push_rod: float

    def __post_init__(self) -> None:
        positive(valve_arm=self.valve_arm, push_arm=self.push_arm, push_rod=self.push_rod)
        within(-1.0, 1.0, start=self.start, lifter_lean=self.lifter_lean)
        within(math.pi / 2, 1.5 * math.pi, between=self.between)
        finite(lifter_across=self.lifter_across)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """A rocker over the lift of the lifter.

    Attributes:
        lifter: lifts of the lifter [m].
        valve: lifts of the valve [m].
        ratio: growth of the valve's lift over that of the lifter, there and then [-].
        swept: where the nose stands across, from where it stands with the valve closed [m].
        greatest: valve lift over lifter lift at the last of them [-].
        sweep: width of the wiped track [m].
    """

    lifter: tuple[float, ...]
    valve: tuple[float, ...]
    ratio: tuple[float, ...]
    swept: tuple[float, ...]
    greatest: float
    sweep: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MidLift:
    """The rocker set so that its arm is square to the stem at half of the lift.

    Attributes:
        start: angle of the valve arm above square, valve closed [rad].
        above: how far the centre of the nose stands above the pivot, valve closed [m]: half of the lift.
        sweep: width of the wiped track, the least there is for this arm and lift [m].
        middle: mean place of the track across, inside the arm's length [m].
    """

    start: float
    above: float
    sweep: float
    middle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """Push-rods that suit a rocker on a stud, whose pivot rises and falls with the length.

    Attributes:
        length: for least sweep [m].
        sweep: with it [m].
        at_hand: sweep with the length that there is [m].
        per_length: change of the sweep for a longer push-rod, about the one at hand [-].
    """

    length: float
    sweep: float
    at_hand: float
    per_length: float


def tip_sweep(*, valve_arm: float, start: float, lift: float) -> float:
    """Width of the track that the nose wipes on the tip.

    Args:
        valve_arm: pivot to centre of the nose [m].
        start: angle of the arm above a square to the stem, valve closed [rad].
        lift: greatest, at the valve [m].

    Returns:
        The width [m].

    Raises:
        OutOfRange: for an arm that is not above 0, a negative lift, or a lift that the arm cannot make.

    Validity: flat tip square to the stem, stiff parts; the nose may roll or slide.
    Source: closed form of the arm's swing.
    """
    across = [valve_arm * math.cos(angle) for angle in _swing(valve_arm, start, lift)]
    passes = valve_arm if valve_arm * math.sin(start) >= 0.0 >= valve_arm * math.sin(start) - lift else 0.0
    return max(*across, passes) - min(across)


def _swing(valve_arm: float, start: float, lift: float) -> tuple[float, float]:
    """Angles of the arm with the valve closed and open."""
    positive(valve_arm=valve_arm)
    not_negative(lift=lift)
    within(-1.4, 1.4, start=start)
    sine = math.sin(start) - lift / valve_arm
    if sine <= -1.0:
        raise OutOfRange(f"lift is {lift:g}: less than {valve_arm * (math.sin(start) + 1.0):g} m is accepted for this arm")
    return start, math.asin(sine)


def mid_lift(*, valve_arm: float, lift: float) -> MidLift:
    """The rocker set square to the stem at half lift, where the track is least.

    Args:
        valve_arm: pivot to centre of the nose [m].
        lift: greatest, at the valve [m].

    Returns:
        Start, height of the nose, width and place of the track.

    Raises:
        OutOfRange: for an arm that is not above 0, or a lift that is negative or twice the arm or more.

    Validity: flat tip square to the stem, stiff parts.
    Source: closed form, a - sqrt(a^2 - (lift/2)^2).
    """
    positive(valve_arm=valve_arm)
    within(0.0, 1.9 * valve_arm, lift=lift)
    start = math.asin(lift / 2.0 / valve_arm)
    sweep = valve_arm * (1.0 - math.cos(start))
    return MidLift(start=start, above=lift / 2.0, sweep=sweep, middle=valve_arm - sweep / 2.0)


def standing(of: Rocker) -> float:
    """Depth of the lifter's push-rod seat below the pivot, along the lifter's axis, valve closed.

    Args:
        of: the rocker as it stands.

    Returns:
        The depth [m]; it follows from the push-rod's length.

    Raises:
        OutOfRange: where a push-rod of that length does not reach from the cup to the lifter's axis.

    Validity: plane of the rocker.
    Source: closed form of the triangle.
    """
    return -_seat(of, _cup(of, of.start), of.push_rod)


def _cup(of: Rocker, angle: float) -> complex:
    """Centre of the cup with the valve arm at an angle: real part across towards the valve, imaginary part up."""
    arm = angle - of.between
    return of.push_arm * complex(math.cos(arm), math.sin(arm))


def _axis(of: Rocker) -> tuple[complex, complex]:
    """A point of the lifter's axis at the height of the pivot, and its upward direction."""
    return complex(-of.lifter_across, 0.0), complex(-math.sin(of.lifter_lean), math.cos(of.lifter_lean))


def _seat(of: Rocker, cup: complex, length: float) -> float:
    """Place of the seat along the lifter's axis, from the height of the pivot up, for a push-rod that reaches the cup."""
    origin, up = _axis(of)
    away = (cup - origin) * up.conjugate()
    if length <= abs(away.imag):
        raise OutOfRange(f"push_rod is {length:g}: more than {abs(away.imag):g} m is needed from the cup to the lifter's axis")
    return away.real - math.sqrt(length**2 - away.imag**2)


def moved(of: Rocker, lifts: Sequence[float]) -> Motion:
    """Valve lift, ratio and place of the nose over the lifts of the lifter.

    Args:
        of: the rocker as it stands with the valve closed.
        lifts: of the lifter, rising from 0 [m].

    Returns:
        Valve lifts, ratio there and then, track.

    Raises:
        OutOfRange: for lifts that do not rise from 0, or that the linkage cannot make.

    Validity: plane of the rocker, stiff parts, no lash.
    Source: closed form of the linkage, its angle found by Newton's rule to 1e-12; second implementation in the tests.
    """
    if not lifts or lifts[0] != 0.0 or any(a >= b for a, b in pairwise(lifts)):
        raise OutOfRange("lifts: they must begin with 0 and rise")
    seat, angle = _seat(of, _cup(of, of.start), of.push_rod), of.start
    valve: list[float] = []
    ratio: list[float] = []
    across: list[float] = []
    for lift in lifts:
        angle, slope = _turned(of, seat + lift, angle)
        valve.append(of.valve_arm * (math.sin(of.start) - math.sin(angle)))
        ratio.append(-of.valve_arm * math.cos(angle) * slope)
        across.append(of.valve_arm * math.cos(angle))
    swept = tuple(x - across[0] for x in across)
    greatest = valve[-1] / lifts[-1] if lifts[-1] else ratio[-1]
    sweep = tip_sweep(valve_arm=of.valve_arm, start=of.start, lift=max(valve[-1], 0.0))
    return Motion(lifter=tuple(lifts), valve=tuple(valve), ratio=tuple(ratio), swept=swept, greatest=greatest, sweep=sweep)


def _turned(of: Rocker, seat: float, angle: float) -> tuple[float, float]:
    """Angle of the valve arm with the push-rod's seat at a place on its axis, and its change with that place."""
    origin, up = _axis(of)
    foot = origin + seat * up
    for _ in range(STEPS):
        cup = _cup(of, angle)
        rod = cup - foot
        off = abs(rod) - of.push_rod
        lean = (rod.conjugate() * (1j * cup)).real / abs(rod)
        if abs(lean) < 1e-9 * of.push_arm:
            break
        step = off / lean
        angle -= step
        if abs(step) < 1e-12:
            rod = _cup(of, angle) - foot
            return angle, (rod.conjugate() * up).real / (rod.conjugate() * (1j * _cup(of, angle))).real
    raise OutOfRange(f"lifts: the rocker cannot follow to {seat:g} m; the push-rod comes into line with its arm")


def push_rod_length(of: Rocker, *, start: float) -> float:
    """Push-rod that holds the valve arm at an angle, on a rocker whose pivot stands on a stud along the stem.

    Args:
        of: the rocker as it stands with the push-rod at hand.
        start: angle of the valve arm above square that is wanted, valve closed [rad].

    Returns:
        The length [m].

    Raises:
        OutOfRange: for an angle outside of -1 to 1, or where the push-rod at hand does not reach.

    Validity: stud along the stem: the pivot rises while the tip and the lifter stay. A rocker on a shaft keeps its pivot;
    there the shaft is shimmed and the push-rod follows.
    Source: closed form of the triangle.
    """
    within(-1.0, 1.0, start=start)
    origin, up = _axis(of)
    foot = origin + _seat(of, _cup(of, of.start), of.push_rod) * up
    rise = of.valve_arm * (math.sin(of.start) - math.sin(start))
    return abs(_cup(of, start) + 1j * rise - foot)


def least_sweep(of: Rocker, *, lift: float) -> Lengths:
    """Push-rod length for the least track on the tip, on a rocker whose pivot stands on a stud.

    Args:
        of: the rocker as it stands with the push-rod at hand.
        lift: greatest, at the valve [m].

    Returns:
        Length and track for mid-lift, and what the one at hand does.

    Raises:
        OutOfRange: where no push-rod does it.

    Validity: as push_rod_length.
    Source: closed form; the slope by central difference over 0.02 mm.
    """
    best = mid_lift(valve_arm=of.valve_arm, lift=lift)
    length, h = push_rod_length(of, start=best.start), 1e-5
    tracks = [tip_sweep(valve_arm=of.valve_arm, start=start, lift=lift) for start in (of.start - h, of.start, of.start + h)]
    rods = [push_rod_length(of, start=start) for start in (of.start - h, of.start + h)]
    return Lengths(length=length, sweep=best.sweep, at_hand=tracks[1], per_length=(tracks[2] - tracks[0]) / (rods[1] - rods[0]))


def checker_length(*, closed: float, turns: float, pitch: float) -> float:
    """Length of an adjustable checking push-rod after turns of its thread.

    Args:
        closed: its length screwed in [m].
        turns: by which it was screwed out [-].
        pitch: of its thread [m].

    Returns:
        The length [m].

    Raises:
        OutOfRange: for a length or pitch that is not above 0, or negative turns.

    Validity: single thread.
    Source: definition.
    """
    positive(closed=closed, pitch=pitch)
    not_negative(turns=turns)
    return closed + turns * pitch


def preload(*, turns: float, pitch: float, ratio: float, on_stud: bool = True) -> float:
    """How far the plunger of a hydraulic lifter is pushed in by turning the adjuster past no play.

    Args:
        turns: past no play [-].
        pitch: of the adjuster's thread [m].
        ratio: of the rocker, valve over lifter [-].
        on_stud: the nut moves the pivot along the stud; else a screw moves the push-rod cup itself.

    Returns:
        The way of the plunger [m].

    Raises:
        OutOfRange: for a pitch or ratio that is not above 0, or negative turns.

    Validity: valve closed, arms near square; plunger free to bleed.
    Source: closed form of the lever: with the nose held the cup moves 1 + 1 / ratio times as far as the pivot.
    """
    positive(pitch=pitch, ratio=ratio)
    not_negative(turns=turns)
    return turns * pitch * (1.0 + 1.0 / ratio if on_stud else 1.0)


def turns_for(*, preload: float, pitch: float, ratio: float, on_stud: bool = True) -> float:
    """Turns of the adjuster past no play for a wanted preload.

    Args:
        preload: way of the plunger [m].
        pitch: of the adjuster's thread [m].
        ratio: of the rocker, valve over lifter [-].
        on_stud: as in preload.

    Returns:
        The turns [-].

    Raises:
        OutOfRange: for a pitch or ratio that is not above 0, or a negative preload.

    Validity: as preload.
    Source: closed form of the lever.
    """
    positive(pitch=pitch, ratio=ratio)
    not_negative(preload=preload)
    return preload / (pitch * (1.0 + 1.0 / ratio if on_stud else 1.0))


def growth(parts: Sequence[tuple[float, float, float]]) -> float:
    """How much a row of parts grows as it warms up.

    Args:
        parts: length [m], coefficient of expansion [1/K] and rise of temperature [K] of each.

    Returns:
        The growth [m].

    Raises:
        OutOfRange: for a number that is none.

    Validity: even temperature along each part.
    Source: definition of the coefficient.
    """
    for length, expansion, rise in parts:
        finite(length=length, expansion=expansion, rise=rise)
    return sum(length * expansion * rise for length, expansion, rise in parts)


def lash_when_hot(*, cold: float, pivot: float, push: float, tip: float, ratio: float) -> float:
    """Lash at the valve of a warm engine.

    Args:
        cold: lash at the valve as set [m].
        pivot: by how much the rocker's pivot rises over the camshaft [m].
        push: by how much the top of the push-rod rises over the camshaft, lifter and push-rod together [m].
        tip: by how much the tip of the valve rises over the camshaft [m].
        ratio: of the rocker, valve over lifter [-].

    Returns:
        The lash [m]; below 0 the valve is held open.

    Raises:
        OutOfRange: for a ratio that is not above 0 or another number that is none.

    Validity: arms near square. Where the lobe works straight on a bucket, pivot is the cam bearing over the head and the ratio next to 0.
    Source: closed form of the lever: (1 + ratio) pivot - ratio push - tip.
    """
    positive(ratio=ratio)
    finite(cold=cold, pivot=pivot, push=push, tip=tip)
    return cold + (1.0 + ratio) * pivot - ratio * push - tip
