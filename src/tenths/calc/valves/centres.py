"""What is read off a fitted lobe: its centre, duration, area, how unlike its flanks are, its base circle and ramps.

With unlike flanks the centre depends on the lift at which it is taken; so the lift is always named beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive
from tenths.calc.valves.fitted import Curve, Fit, folded_misfit
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.timing import mean_range
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sure:
    """A value with its error.

    Attributes:
        value: in the unit of what was asked for [SI].
        standard_error: in the same unit [SI].
    """

    value: float
    standard_error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Flanks:
    """Where the follower passes a lift.

    Attributes:
        lift: [m].
        opens: angle on the way up [rad].
        closes: angle on the way down [rad].
        centre: the middle of the two [rad].
        duration: from one to the other [rad].
    """

    lift: float
    opens: Sure
    closes: Sure
    centre: Sure
    duration: Sure


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlike:
    """How the closing flank differs from the opening one, mirrored about a centre.

    Attributes:
        difference: lift while closing less lift while opening where they differ most [m].
        standard_error: of the difference [m].
        away: angle from the centre at which they do [rad].
        clear: whether it stands out of its error (more than three times, since the largest of many was taken).
    """

    difference: float
    standard_error: float
    away: float
    clear: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseCircle:
    """What the dial said while the follower stood on the base circle.

    Attributes:
        count: readings on it.
        middle: mean of them [m].
        run_out: highest less lowest [m].
        by_noise: what the noise of the readings alone would make of a true circle, on average [m].
    """

    count: int
    middle: float
    run_out: float
    by_noise: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ramp:
    """The slow part between base circle and flank.

    Attributes:
        height: lift at its end [m].
        length: angle of the crank from the checking lift to its end [rad].
        velocity: mean over it [m/rad].
    """

    height: float
    length: float
    velocity: float


def flanks(fit: Fit, *, lift: float) -> Flanks:
    """Angles, middle and duration at a lift.

    Args:
        fit: of the lobe.
        lift: at which they are wanted [m].

    Returns:
        Each with its standard error [rad].

    Raises:
        OutOfRange: for a lift outside of the fitted lobe.

    Validity: both flanks were read down to that lift.
    Source: root of the fitted curve, error by [JCGM100] 5.1.2 over the slope.
    """
    ends = fit.lobe.flank_angles(lift)
    if ends[0] <= fit.lobe.angles[0] or ends[1] >= fit.lobe.angles[-1]:
        raise OutOfRange(f"lift is {lift:g} m: the readings do not come down to it on both flanks")
    up, down = (_passing(fit.curve, angle) for angle in ends)
    both = (up + down) / 2.0, down - up
    values = (*ends, sum(ends) / 2.0, ends[1] - ends[0])
    opens, closes, centre, duration = (
        Sure(value=value, standard_error=float(fit.curve.error(row))) for value, row in zip(values, (up, down, *both), strict=True))
    return Flanks(lift=lift, opens=opens, closes=closes, centre=centre, duration=duration)


def _passing(curve: Curve, angle: float) -> Floats:
    """How the angle at which a lift is passed moves with the parts of the curve."""
    row = curve.rows(angle)
    return -row / float(curve.value(curve.rows(angle, 1)))


def symmetric_centre(fit: Fit) -> Sure:
    """The angle about which a lobe with like flanks agrees best with all readings.

    Args:
        fit: of the lobe.

    Returns:
        The centre with its standard error [rad].

    Raises:
        OutOfRange: if the readings of one flank alone were given.

    Validity: flanks that are alike; whether they are, `unlike_flanks` tells.
    Source: the fit's own curve held even about the centre; likelihood of the readings, its curvature the error.
    """
    try:
        start = flanks(fit, lift=0.6 * fit.lobe.peak).centre
    except OutOfRange:
        raise OutOfRange("readings: both flanks, down to 0.6 of the lift, are needed for a centre") from None
    at, reach = start.value, max(start.standard_error, 1e-6)
    for _ in range(4):
        low, mid, high = (folded_misfit(fit, centre=at + by) for by in (-reach, 0.0, reach))
        bend = (low - 2.0 * mid + high) / reach**2
        if bend <= 0.0:
            reach *= 3.0
            continue
        at += min(max((low - high) / (2.0 * bend * reach), -5.0 * reach), 5.0 * reach)
        reach = math.sqrt(2.0 / bend)
    return Sure(value=at, standard_error=reach)


def pair_centre(
    opening: Sequence[float], closing: Sequence[float], *, slopes: Sequence[float], angle_error: float, lift_error: float
) -> Sure:
    """Centre from pairs of wheel readings at equal lifts, without a curve.

    Args:
        opening: what the wheel reads on the way up, one for each lift [rad].
        closing: on the way down, in the same order [rad].
        slopes: velocity of the follower at each lift [m/rad].
        angle_error: standard error of one reading of the wheel [rad].
        lift_error: standard error of setting the dial to a lift [m].

    Returns:
        Mean of the middles by their certainty, with its standard error [rad].

    Raises:
        BadInput: without a pair or with lists of unlike length.
        OutOfRange: for a slope that is not above 0 or an error below 0.

    Validity: readings independent of each other, approached from one side; like flanks, or all at one lift.
    Source: [JCGM100] 5.1.2; the weighted mean.
    """
    not_negative(angle_error=angle_error, lift_error=lift_error)
    if not opening or not len(opening) == len(closing) == len(slopes):
        raise BadInput(f"opening has {len(opening)}, closing {len(closing)}, slopes {len(slopes)}: as many, and one or more, are needed")
    for slope in slopes:
        positive(slope=slope)
    variances = [(angle_error**2 + (lift_error / slope) ** 2) / 2.0 for slope in slopes]
    weights = [1.0 / variance if variance else 1.0 for variance in variances]
    middles = [(a + b) / 2.0 for a, b in zip(opening, closing, strict=True)]
    value = sum(w * m for w, m in zip(weights, middles, strict=True)) / sum(weights)
    error = math.sqrt(sum(w * w * v for w, v in zip(weights, variances, strict=True))) / sum(weights)
    return Sure(value=value, standard_error=error)


def area(fit: Fit, *, lift: float) -> Sure:
    """Area under the lift curve between the angles at which a lift is passed.

    Args:
        fit: of the lobe.
        lift: from which on it is counted [m].

    Returns:
        Lift times angle of the crank, with its standard error [m.rad].

    Raises:
        OutOfRange: for a lift outside of the fitted lobe.

    Validity: both flanks were read down to that lift.
    Source: integral of the fitted curve.
    """
    found = flanks(fit, lift=lift)
    first, last = found.opens.value, found.closes.value
    angles = np.linspace(first, last, 721)
    shares = np.full(721, (last - first) / 720.0)
    shares[[0, -1]] /= 2.0
    row = shares @ fit.curve.rows(angles)
    moving = row + lift * (_passing(fit.curve, last) - _passing(fit.curve, first))
    return Sure(value=float(fit.curve.value(row)), standard_error=float(fit.curve.error(moving)))


def unlike_flanks(fit: Fit, *, centre: float, lift: float) -> Unlike:
    """Where the closing flank differs most from the opening one.

    Args:
        fit: of the lobe.
        centre: about which the flanks are laid over each other [rad].
        lift: down to which they are compared [m].

    Returns:
        The largest difference with its error and whether it is clear [m].

    Raises:
        OutOfRange: for a lift outside of the fitted lobe.

    Validity: both flanks were read down to that lift.
    Source: linear values of the fitted curve, [JCGM100] 5.1.2.
    """
    found = flanks(fit, lift=lift)
    reach = min(centre - found.opens.value, found.closes.value - centre)
    away = np.linspace(0.0, reach, 181)[1:]
    rows = fit.curve.rows(centre + away) - fit.curve.rows(centre - away)
    values, errors = fit.curve.value(rows), fit.curve.error(rows)
    most = int(np.argmax(np.abs(values) / np.maximum(errors, 1e-12)))
    clear = bool(abs(values[most]) > 3.0 * errors[most])
    if clear:
        most = int(np.argmax(np.where(np.abs(values) > 3.0 * errors, np.abs(values), 0.0)))
    return Unlike(difference=float(values[most]), standard_error=float(errors[most]), away=float(away[most]), clear=clear)


def base_circle(lifts: Sequence[float], *, lift_error: float, below: float) -> BaseCircle:
    """Readings on the base circle, before and behind the lobe.

    Args:
        lifts: as the dial says, in the order of the wheel [m].
        lift_error: standard error of one reading of the dial [m].
        below: readings this near to zero, from either end inwards, lie on the base circle [m].

    Returns:
        Their number, mean and range beside what the noise would make [m].

    Raises:
        OutOfRange: for an error or bound that is not above 0.

    Validity: the dial was set to zero on the base circle.
    Source: range of normal values, [ISO7870-2] for few, its growth with the logarithm for many.
    """
    positive(lift_error=lift_error, below=below)
    found: list[float] = []
    for side in (lifts, tuple(reversed(lifts))):
        for lift in side:
            if abs(lift) > below:
                break
            found.append(lift)
    found = found[: len(lifts)]
    if not found:
        return BaseCircle(count=0, middle=0.0, run_out=0.0, by_noise=0.0)
    return BaseCircle(count=len(found), middle=sum(found) / len(found), run_out=max(found) - min(found),
                      by_noise=mean_range(len(found)) * lift_error)


def ramp(lobe: Lobe, *, lift: float, closing: bool = False) -> Ramp:
    """The ramp of a flank: from the checking lift to where acceleration first passes a quarter of the flank's greatest.

    Args:
        lobe: with its motion.
        lift: checking lift from which the ramp is counted [m].
        closing: of the closing flank instead of the opening one.

    Returns:
        Height, length and mean velocity [m/rad].

    Raises:
        OutOfRange: for a lift outside of the lobe.

    Validity: a lobe whose flank accelerates once; height and length are 0 where there is no ramp above the lift.
    Source: common practice, no source.
    """
    opens, closes = lobe.flank_angles(lift)
    start, sign = (closes, -1.0) if closing else (opens, 1.0)
    away = np.linspace(0.0, (closes - opens) / 2.0, 2001)
    moving = lobe.at(start + sign * away)
    most = float(np.max(moving.acceleration))
    end = int(np.argmax(moving.acceleration >= most / 4.0))
    height, length = float(moving.lift[end]), float(away[end])
    return Ramp(height=height, length=length, velocity=(height - lift) / length if length else 0.0)
