"""Where top dead centre lies on the wheel, and how sure that is.

All three ways turn the crank to the same height of the piston on the way up and on the way down and take the middle.
An offset piston pin makes the two flanks unlike; the middle is corrected for it from the slider-crank.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import finite, not_negative, within
from tenths.calc.motion import angles_at_depth, dead_centres, dwell, piston_speed, true_stroke
from tenths.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """The crank, rod and pin that move the piston.

    Attributes:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
    """

    stroke: float
    rod_length: float
    pin_offset: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadCentre:
    """Top dead centre on the wheel.

    Attributes:
        angle: what the wheel reads at top dead centre [rad].
        standard_error: of it, all parts together [rad].
        from_reading: the part from reading the wheel [rad].
        from_height: the part from the dial or the stop [rad].
        from_wheel: the part from the wheel's division and seat, which no repetition lessens [rad].
        scatter: standard deviation of the middles of the pairs [rad]; 0 for one pair.
    """

    angle: float
    standard_error: float
    from_reading: float
    from_height: float
    from_wheel: float
    scatter: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Backlash:
    """What the direction of approach does to a reading.

    Attributes:
        play: mean of the readings approached forwards less those backwards [rad].
        standard_error: of the play [rad].
        shift: of a centre whose two flanks are approached from unlike sides [rad]; averaging does not remove it.
        clear: whether the play stands out of its own error (more than twice).
    """

    play: float
    standard_error: float
    shift: float
    clear: bool


def positive_stop(
    before: float, after: float, *, slider: Slider, reading_error: float, stop_error: float = 0.0, wheel_error: float = 0.0
) -> DeadCentre:
    """Top dead centre from a stop that the piston touches on the way up and, turned back, from the other side.

    Args:
        before: what the wheel reads at the stop before top dead centre [rad].
        after: the same, after [rad]; above the first.
        slider: crank, rod and pin.
        reading_error: standard error of one reading of the wheel [rad].
        stop_error: standard error of the height at which the piston touches [m].
        wheel_error: standard error of the wheel's division and seat [rad].

    Returns:
        Place, standard error and its parts [rad].

    Raises:
        OutOfRange: if the readings do not rise or lie a turn apart, or an error is negative.

    Validity: one stop, not moved between the touches; the piston held against the rod the same way both times.
    Source: closed form of the slider-crank, propagated by [JCGM100].
    """
    return equal_heights((before,), (after,), slider=slider, reading_error=reading_error, height_error=stop_error, wheel_error=wheel_error)


def equal_heights(
    before: Sequence[float],
    after: Sequence[float],
    *,
    slider: Slider,
    reading_error: float,
    height_error: float,
    wheel_error: float = 0.0,
) -> DeadCentre:
    """Top dead centre from pairs of wheel readings at which a dial on the piston stands alike.

    Args:
        before: what the wheel reads before top dead centre, one for each height [rad].
        after: the same, after, in the same order [rad].
        slider: crank, rod and pin.
        reading_error: standard error of one reading of the wheel [rad].
        height_error: standard error of setting the dial to one height [m].
        wheel_error: standard error of the wheel's division and seat [rad].

    Returns:
        Mean of the middles weighted by their certainty, standard error and its parts [rad].

    Raises:
        BadInput: if there is no pair or the two lists differ in length.
        OutOfRange: if a pair does not rise or lies a turn apart, or an error is negative.

    Validity: readings independent of each other; both flanks approached in the same direction of turning.
    Source: closed form of the slider-crank, propagated by [JCGM100].
    """
    not_negative(reading_error=reading_error, height_error=height_error, wheel_error=wheel_error)
    if not before or len(before) != len(after):
        raise BadInput(f"before has {len(before)} readings, after {len(after)}: as many, and one or more, are needed")
    middles, by_height = zip(*(_middle(*pair, slider, height_error) for pair in zip(before, after, strict=True)), strict=True)
    by_reading = reading_error / math.sqrt(2.0)
    variances = [by_reading**2 + part**2 for part in by_height]
    weights = [1.0 / variance if variance > 0.0 else 1.0 for variance in variances]
    whole = sum(weights)
    place = sum(weight * middle for weight, middle in zip(weights, middles, strict=True)) / whole
    reading = by_reading * math.sqrt(sum(weight**2 for weight in weights)) / whole
    height = math.sqrt(sum((weight * part) ** 2 for weight, part in zip(weights, by_height, strict=True))) / whole
    count = len(middles)
    scatter = math.sqrt(sum((middle - place) ** 2 for middle in middles) / (count - 1)) if count > 1 else 0.0
    return DeadCentre(
        angle=place,
        standard_error=math.hypot(reading, height, wheel_error),
        from_reading=reading,
        from_height=height,
        from_wheel=wheel_error,
        scatter=scatter,
    )


def dwell_middle(
    before: float, after: float, *, slider: Slider, reading_error: float, height_error: float, wheel_error: float = 0.0
) -> DeadCentre:
    """Top dead centre as the middle of the way on which the dial seems to stand still.

    Args:
        before: what the wheel reads where the dial comes to its highest [rad].
        after: what it reads where the dial starts to fall [rad].
        slider: crank, rod and pin.
        reading_error: standard error of one reading of the wheel [rad].
        height_error: standard error of seeing the dial start or stop [m].
        wheel_error: standard error of the wheel's division and seat [rad].

    Returns:
        Place, standard error and its parts [rad]; near the dead centre the part from the height is the largest.

    Raises:
        OutOfRange: if the readings do not rise or lie a turn apart, or an error is negative.

    Validity: error of height small against the fall of the piston over the dwell.
    Source: closed form of the slider-crank, propagated by [JCGM100].
    """
    return equal_heights(
        (before,), (after,), slider=slider, reading_error=reading_error, height_error=height_error, wheel_error=wheel_error
    )


def backlash(forwards: Sequence[float], backwards: Sequence[float]) -> Backlash:
    """Play between wheel and part from readings of one height approached from either side.

    Args:
        forwards: what the wheel reads, approached in the direction of turning [rad], two or more.
        backwards: the same height approached against it [rad], two or more.

    Returns:
        The play with its standard error, and the shift that mixed approach would give [rad].

    Raises:
        BadInput: with fewer than two readings of a kind.

    Validity: the same height each time.
    Source: two means and their spread, [JCGM100]; a centre is half a sum, so one flank's play shifts it by half.
    """
    if min(len(forwards), len(backwards)) < 2:
        raise BadInput(f"forwards has {len(forwards)} readings, backwards {len(backwards)}: two of each are needed")
    (first, first_variance), (second, second_variance) = _mean(forwards), _mean(backwards)
    play, error = first - second, math.sqrt(first_variance + second_variance)
    return Backlash(play=play, standard_error=error, shift=play / 2.0, clear=abs(play) > 2.0 * error)


def one_side(approaches: Sequence[str]) -> str:
    """The one direction from which readings were approached.

    Args:
        approaches: a word for each reading, such as forwards.

    Returns:
        The word.

    Raises:
        BadInput: if there is none, or they differ: backlash would shift the centre by half of it.

    Validity: any readings whose centre is wanted.
    Source: common practice, no source.
    """
    kinds = sorted(set(approaches))
    if len(kinds) != 1:
        raise BadInput(f"approaches are {', '.join(kinds) or 'none'}: one direction for all readings is accepted")
    return kinds[0]


def _mean(values: Sequence[float]) -> tuple[float, float]:
    mean = sum(values) / len(values)
    return mean, sum((value - mean) ** 2 for value in values) / (len(values) - 1) / len(values)


def _middle(before: float, after: float, slider: Slider, height_error: float) -> tuple[float, float]:
    """Top dead centre of one pair, and its error from the height."""
    finite(before=before, after=after)
    span = after - before
    if not 0.0 < span < math.tau:
        raise OutOfRange(f"before {before:g} rad, after {after:g} rad: after must be above before by less than a turn")
    size = {"stroke": slider.stroke, "rod_length": slider.rod_length, "pin_offset": slider.pin_offset}
    first, second = angles_at_depth(_depth(span, size), **size)
    top, _ = dead_centres(**size)
    # a height that is off by e moves the reading before by -e over the slope, and the one after by +e over its own
    moved = [height_error / abs(piston_speed(angle, **size)) for angle in (first, second)] if height_error else [0.0, 0.0]
    return (before + after) / 2.0 - ((first + second) / 2.0 - top), math.hypot(*moved) / 2.0


def _depth(span: float, size: dict[str, float]) -> float:
    """Depth at which the piston is within so many radians, by halving."""
    low, high = 0.0, true_stroke(**size)
    within(0.0, dwell(depth=high, **size), span=span)
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if dwell(depth=middle, **size) < span else (low, middle)
    return (low + high) / 2.0
