"""The exact slider-crank: where the piston stands, how fast it goes, how the rod leans.

The crank angle is zero where the crankpin stands in line with the cylinder's own direction, and grows the way the
crank turns. A piston pin that is offset towards the thrust side (the side to which the power stroke pushes the piston)
has a positive ``pin_offset``; the dead centres then lie a little off 0 and 180 degrees. ``stroke`` is always twice the
crank radius. Angles may be floats or arrays; the rest are floats.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

from tenths.calc._check import finite, not_negative, positive
from tenths.errors import OutOfRange

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Angle = TypeVar("Angle", float, NDArray[np.float64])
else:
    Angle = TypeVar("Angle")

SHORTEST_ROD = 1.5  # crank radii: below, the piston's largest acceleration leaves the neighbourhood of the dead centre


def _functions(angle: object) -> Any:
    """The module of functions for this kind of angle; numpy is loaded only for arrays."""
    if isinstance(angle, float | int):
        return math
    import numpy as np  # noqa: PLC0415 - one number needs no numpy, and the short commands must start fast

    return np


def _checked(stroke: float, rod_length: float, pin_offset: float) -> float:
    """The crank radius, after a look at whether the crank can turn at all."""
    radius = stroke / 2
    if not 0.0 < radius + abs(pin_offset) < rod_length < math.inf or radius <= 0.0:
        raise OutOfRange(
            f"stroke {stroke:g} m, rod_length {rod_length:g} m, pin_offset {pin_offset:g} m: the crank turns only if "
            "the stroke is above 0 and the rod longer than half the stroke + pin offset"
        )
    return radius


def dead_centres(*, stroke: float, rod_length: float, pin_offset: float = 0.0) -> tuple[float, float]:
    """Crank angles at which the piston stands highest and lowest.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        Top and bottom dead centre [rad]; 0 and pi without offset.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form, crank and rod in one line.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    return math.asin(-pin_offset / (rod_length + radius)), math.pi + math.asin(-pin_offset / (rod_length - radius))


def true_stroke(*, stroke: float, rod_length: float, pin_offset: float = 0.0) -> float:
    """Way of the piston from top to bottom dead centre: a little over twice the radius with an offset pin.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The way [m].

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form, Pythagoras at both dead centres.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    if pin_offset == 0.0:
        return stroke
    longest, shortest = rod_length + radius, rod_length - radius
    return math.sqrt(longest**2 - pin_offset**2) - math.sqrt(shortest**2 - pin_offset**2)


def piston_depth(angle: Angle, *, stroke: float, rod_length: float, pin_offset: float = 0.0) -> Angle:
    """How far the piston stands below its top dead centre.

    Args:
        angle: of the crank [rad], any shape.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The depth [m], shape of the angle.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form of the triangle of crank, rod and cylinder axis.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    f = _functions(angle)
    across = radius * f.sin(angle) + pin_offset
    highest = math.sqrt((rod_length + radius) ** 2 - pin_offset**2)
    return highest - radius * f.cos(angle) - f.sqrt(rod_length**2 - across * across)


def piston_speed(angle: Angle, *, stroke: float, rod_length: float, pin_offset: float = 0.0, speed: float = 1.0) -> Angle:
    """Speed of the piston away from the head.

    Args:
        angle: of the crank [rad], any shape.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        speed: of the crank [rad/s]; 1 gives metres per radian.

    Returns:
        The speed [m/s], positive on the way down, shape of the angle.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|; steady crank.
    Source: closed form, first derivative of the depth.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    f = _functions(angle)
    sine, cosine = radius * f.sin(angle), radius * f.cos(angle)
    across = sine + pin_offset
    along = f.sqrt(rod_length**2 - across * across)
    return speed * (sine + across * cosine / along)


def piston_acceleration(angle: Angle, *, stroke: float, rod_length: float, pin_offset: float = 0.0, speed: float = 1.0) -> Angle:
    """Acceleration of the piston away from the head.

    Args:
        angle: of the crank [rad], any shape.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        speed: of the crank [rad/s], steady; 1 gives metres per radian squared.

    Returns:
        The acceleration [m/s2], positive about top dead centre, shape of the angle.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|; steady crank.
    Source: closed form, second derivative of the depth.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    f = _functions(angle)
    return speed * speed * _second(radius * f.sin(angle), radius * f.cos(angle), rod_length, pin_offset, f)


def _second(sine: Any, cosine: Any, rod_length: float, pin_offset: float, f: Any) -> Any:
    """Second derivative of the depth by the crank angle, from the crankpin's two coordinates."""
    across = sine + pin_offset
    along = f.sqrt(rod_length**2 - across * across)
    return cosine + (cosine * cosine - across * sine) / along + (across * cosine) ** 2 / along**3


def rod_angle(angle: Angle, *, stroke: float, rod_length: float, pin_offset: float = 0.0) -> Angle:
    """Lean of the rod against the cylinder axis.

    Args:
        angle: of the crank [rad], any shape.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The lean [rad], positive where the big end lies away from the thrust side, shape of the angle.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form of the triangle of crank, rod and cylinder axis.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    f = _functions(angle)
    return f.asin((radius * f.sin(angle) + pin_offset) / rod_length)


def largest_rod_angle(*, stroke: float, rod_length: float, pin_offset: float = 0.0) -> float:
    """Greatest lean of the rod over a turn.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The lean [rad], without sign.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form, crank square to the cylinder axis.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    return math.asin((radius + abs(pin_offset)) / rod_length)


def cylinder_volume(
    angle: Angle, *, bore: float, stroke: float, rod_length: float, clearance: float, pin_offset: float = 0.0
) -> Angle:
    """Volume above the piston.

    Args:
        angle: of the crank [rad], any shape.
        bore: of the cylinder [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        clearance: volume at top dead centre [m3].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The volume [m3], shape of the angle.

    Raises:
        OutOfRange: if the bore is not above 0, the clearance below 0, or the rod too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form.
    """
    positive(bore=bore)
    not_negative(clearance=clearance)
    depth = piston_depth(angle, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    return clearance + math.pi / 4 * bore * bore * depth


def mean_piston_speed(*, stroke: float, speed: float) -> float:
    """Mean speed of the piston over a turn.

    Args:
        stroke: way from dead centre to dead centre [m].
        speed: of the crank [rad/s].

    Returns:
        The mean speed [m/s].

    Raises:
        OutOfRange: if the stroke is not above 0 or the speed below 0.

    Validity: any engine.
    Source: definition, two strokes per turn.
    """
    positive(stroke=stroke)
    not_negative(speed=speed)
    return stroke * speed / math.pi


def peak_speed_angle(*, stroke: float, rod_length: float, pin_offset: float = 0.0) -> float:
    """Crank angle at which the piston is fastest.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The angle [rad], on the way down, or above pi where an offset pin makes the way up the faster one.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: rod_length > stroke/2 + |pin_offset|.
    Source: closed form of the acceleration, its zero found by bracketing to 1e-13 rad.
    """
    radius = _checked(stroke, rod_length, pin_offset)

    def acceleration(angle: float) -> float:
        return _second(radius * math.sin(angle), radius * math.cos(angle), rod_length, pin_offset, math)

    top, bottom = dead_centres(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    # The shorter of the two strokes is the faster one; it is the way up where the pin leans away from the thrust side.
    if pin_offset < 0.0:
        return _zero(acceleration, bottom, top + math.tau)
    return _zero(acceleration, top, bottom)


def _zero(function: Callable[[float], float], left: float, right: float) -> float:
    """Zero between two ends of unlike sign, by false position that halves the stale end (Illinois)."""
    at_left, at_right = function(left), function(right)
    middle = left
    for _ in range(100):
        before = middle
        middle = right - at_right * (right - left) / (at_right - at_left)
        value = function(middle)
        if abs(middle - before) < 1e-13 or value == 0.0:
            return middle
        if (value < 0.0) == (at_right < 0.0):
            at_left /= 2
        else:
            left, at_left = right, at_right
        right, at_right = middle, value
    return middle


def peak_piston_speed(*, stroke: float, rod_length: float, pin_offset: float = 0.0, speed: float) -> float:
    """Greatest speed of the piston over a turn.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        speed: of the crank [rad/s].

    Returns:
        The speed [m/s], without sign.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn, or the speed below 0.

    Validity: rod_length > stroke/2 + |pin_offset|; steady crank.
    Source: closed form at the angle of peak_speed_angle.
    """
    not_negative(speed=speed)
    angle = peak_speed_angle(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    return abs(piston_speed(angle, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset, speed=speed))


def peak_piston_acceleration(*, stroke: float, rod_length: float, pin_offset: float = 0.0, speed: float) -> float:
    """Greatest acceleration of the piston, which is at or very near top dead centre.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        speed: of the crank [rad/s].

    Returns:
        The acceleration [m/s2].

    Raises:
        OutOfRange: if the rod is shorter than 1.5 crank radii + pin offset, or the speed below 0.

    Validity: rod_length >= 1.5 stroke/2 + |pin_offset|; steady crank.
    Source: closed form; the summit beside an offset dead centre by parabola through three points.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    not_negative(speed=speed)
    if rod_length < SHORTEST_ROD * radius + abs(pin_offset):
        raise OutOfRange(f"rod_length is {rod_length:g}: at least {SHORTEST_ROD:g} crank radii + pin offset is accepted")

    def acceleration(angle: float) -> float:
        return _second(radius * math.sin(angle), radius * math.cos(angle), rod_length, pin_offset, math)

    if pin_offset == 0.0:
        return speed * speed * acceleration(0.0)
    angle, step = dead_centres(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)[0], 0.02
    for _ in range(3):
        before, here, after = acceleration(angle - step), acceleration(angle), acceleration(angle + step)
        angle += step / 2 * (before - after) / (before - 2 * here + after)
        step /= 4
    return speed * speed * acceleration(angle)


def rod_ratio(*, stroke: float, rod_length: float) -> float:
    """Rod length over stroke.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].

    Returns:
        The ratio [-].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: any engine.
    Source: definition.
    """
    positive(stroke=stroke, rod_length=rod_length)
    return rod_length / stroke


def angles_at_depth(depth: float, *, stroke: float, rod_length: float, pin_offset: float = 0.0) -> tuple[float, float]:
    """The two crank angles, before and after top dead centre, at which the piston stands so deep.

    Args:
        depth: below top dead centre [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The angles [rad], the first on the way up, the second on the way down.

    Raises:
        OutOfRange: if the depth is negative or more than the way of the piston, or the rod too short.

    Validity: 0 <= depth <= true stroke.
    Source: closed form, law of cosines in the triangle of crank centre, crankpin and piston pin.
    """
    radius = _checked(stroke, rod_length, pin_offset)
    way = true_stroke(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    if not 0.0 <= depth <= way:
        raise OutOfRange(f"depth is {depth:g}: 0 to the way of the piston, {way:g} m, is accepted")
    height = math.sqrt((rod_length + radius) ** 2 - pin_offset**2) - depth
    reach = math.hypot(height, pin_offset)
    # 1 - cosine of the angle at the crank centre, written so that nothing cancels near the dead centre
    missing = (rod_length - reach + radius) * (rod_length + reach - radius) / (2 * radius * reach)
    half = 2 * math.asin(math.sqrt(min(max(missing / 2, 0.0), 1.0)))
    middle = math.atan2(-pin_offset, height)
    return middle - half, middle + half


def dwell(*, depth: float, stroke: float, rod_length: float, pin_offset: float = 0.0) -> float:
    """Crank angle for which the piston stays within a depth of its top dead centre.

    Args:
        depth: below top dead centre [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The angle [rad].

    Raises:
        OutOfRange: if the depth is negative or more than the way of the piston, or the rod too short.

    Validity: 0 <= depth <= true stroke.
    Source: closed form, as angles_at_depth.
    """
    finite(depth=depth)
    first, second = angles_at_depth(depth, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    return second - first
