"""From the motion of a follower to the surface of the cam: flat, roller and pivoted followers.

Lobes are kept over angles of the crank; the cam turns half as fast, so that derivatives by its own angle are larger by 2 and 4.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenths.calc._check import finite, not_negative, positive, within
from tenths.calc.valves.lobes import Lobe, Motion
from tenths.errors import OutOfRange

Floats = NDArray[np.float64]
Points = NDArray[np.complex128]
CRANK_PER_CAM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """The surface of a cam under its follower.

    Attributes:
        angles: of the crank [rad].
        points: of contact, from the cam's axis in its own frame, which turns with it [m].
        radius: of curvature of the cam there, + is convex, - hollow [m].
        pressure_angle: between the push and the follower's way [rad]; 0 for a flat one.
        reach: of the contact from the follower's axis [m]; for a flat one how far it wanders, for others 0.
    """

    angles: Floats
    points: Points
    radius: Floats
    pressure_angle: Floats
    reach: Floats


def flat_surface(lobe: Lobe, *, angles: ArrayLike) -> Surface:
    """The cam under a flat follower that moves along a line through the cam's axis.

    Args:
        lobe: motion of the follower, with its base circle.
        angles: of the crank, from the lobe's own zero [rad].

    Returns:
        Surface; its radius is R + s + s'' by the angle of the cam, which must stay above 0 [m].

    Raises:
        OutOfRange: if the base circle is not known.

    Validity: exact; a radius at or below 0 means that a flat follower cannot have been moved so.
    Source: closed form, [Norton] chapter 7.
    """
    x, moving = _moving(lobe, angles)
    turned = _turn(x)
    radius = lobe.base_radius + moving.lift + moving.acceleration
    points = (-moving.velocity + 1j * (lobe.base_radius + moving.lift)) * turned
    return Surface(angles=x, points=points, radius=radius, pressure_angle=np.zeros(x.shape), reach=np.abs(moving.velocity))


def roller_surface(lobe: Lobe, *, angles: ArrayLike, roller: float, offset: float = 0.0) -> Surface:
    """The cam under a roller that moves along a line beside the cam's axis.

    Args:
        lobe: motion of the roller's centre along its way, with the cam's base circle.
        angles: of the crank, from the lobe's own zero [rad].
        roller: radius of the roller [m].
        offset: of the roller's way from the cam's axis [m].

    Returns:
        Surface with radius of curvature and pressure angle [m, rad].

    Raises:
        OutOfRange: if the base circle is not known, the roller's radius is not above 0, or the offset is beyond the first reach.

    Validity: exact; a hollow sharper than the roller cannot be followed.
    Source: closed form, [Norton] chapter 7.
    """
    positive(roller=roller)
    x, moving = _moving(lobe, angles)
    first = lobe.base_radius + roller
    within(-0.99 * first, 0.99 * first, offset=offset)
    height = math.sqrt(first**2 - offset**2) + moving.lift
    axis = (offset + 1j * height, 1j * moving.velocity, 1j * moving.acceleration)
    centre, speed, change = (np.asarray(row, np.complex128) for row in axis)
    return _under(x, centre, speed, change, roller=roller, way=np.full(x.shape, 1j))


def pivoted_surface(lobe: Lobe, *, angles: ArrayLike, roller: float, arm: float, pivot: float) -> Surface:
    """The cam under a roller or a round pad on an arm that swings about a pivot.

    Args:
        lobe: way of the roller's centre along its arc, with the cam's base circle.
        angles: of the crank, from the lobe's own zero [rad].
        roller: radius of the roller or of the pad [m].
        arm: from the pivot to the roller's centre [m].
        pivot: from the cam's axis to the pivot [m].

    Returns:
        Surface with radius of curvature and pressure angle [m, rad].

    Raises:
        OutOfRange: if the base circle is not known, a length is not above 0, or arm, pivot and first reach close no triangle.

    Validity: exact; the cam turns so that the surface runs from the arm's end towards its pivot.
    Source: closed form, [Norton] chapter 7.
    """
    positive(roller=roller, arm=arm, pivot=pivot)
    x, moving = _moving(lobe, angles)
    first = lobe.base_radius + roller
    if not abs(arm - pivot) < first < arm + pivot:
        raise OutOfRange(f"arm is {arm:g} m, pivot {pivot:g} m: with {first:g} m from the cam's axis they must close a triangle")
    start = math.acos((pivot**2 + arm**2 - first**2) / (2.0 * pivot * arm))
    swing, quick, quicker = start + moving.lift / arm, moving.velocity / arm, moving.acceleration / arm
    tip = arm * np.exp(-1j * swing)
    # the pivot lies on the negative real axis, so that the roller rises along +i
    turned = np.exp(1j * (math.pi / 2.0))
    centre = (pivot - tip) * turned
    speed = 1j * quick * tip * turned
    change = (1j * quicker + quick**2) * tip * turned
    return _under(x, centre, speed, change, roller=roller, way=1j * tip * turned / arm)


def follower_lift(surface: Surface, *, base_radius: float, roller: float) -> Floats:
    """What a roller whose way goes through the cam's axis is lifted by a surface: the way back, for checking a ground cam.

    Args:
        surface: of the cam.
        base_radius: of its base circle [m].
        roller: radius of the roller that feels it; its way goes through the cam's axis [m].

    Returns:
        Lift at the surface's own angles, by the highest place at which the roller touches any point [m].

    Raises:
        OutOfRange: for a radius that is not above 0.

    Validity: points close enough together; between them the roller sinks by their distance squared over eight radii.
    Source: geometry of a circle over points.
    """
    positive(base_radius=base_radius, roller=roller)
    away = surface.points[None, :] * np.conj(_turn(surface.angles))[:, None]
    side = np.minimum(np.abs(away.real), roller)
    touched = np.where(np.abs(away.real) < roller, away.imag + np.sqrt(roller**2 - side**2), 0.0)
    return np.maximum(np.max(touched, axis=1), base_radius + roller) - base_radius - roller


def _moving(lobe: Lobe, angles: ArrayLike) -> tuple[Floats, Motion]:
    """Angles, and the motion by the angle of the cam."""
    positive(base_radius=lobe.base_radius)
    x = np.atleast_1d(np.asarray(angles, float))
    finite(first_angle=float(x[0]), last_angle=float(x[-1]))
    not_negative(points=len(x) - 1)
    m = lobe.at(x)
    return x, Motion(lift=m.lift, velocity=m.velocity * CRANK_PER_CAM, acceleration=m.acceleration * CRANK_PER_CAM**2,
                     jerk=m.jerk * CRANK_PER_CAM**3)


def _turn(crank: Floats) -> Points:
    """From the engine's frame into the cam's, which turns clockwise."""
    return np.exp(1j * crank / CRANK_PER_CAM)


def _under(x: Floats, centre: Points, speed: Points, change: Points, *, roller: float, way: Points) -> Surface:
    """Surface at the roller's radius inside the path of its centre, which the turning cam sees."""
    path = speed + 1j * centre
    bend = change + 2j * speed - centre
    length = np.abs(path)
    hollow = (np.conj(path) * bend).imag
    radius = np.divide(length**3, hollow, out=np.full(x.shape, math.inf), where=hollow != 0.0)
    inward = 1j * path / length
    push = np.abs((np.conj(-inward) * way).real)
    return Surface(angles=x, points=(centre + roller * inward) * _turn(x), radius=radius - roller,
                   pressure_angle=np.arccos(np.minimum(push, 1.0)), reach=np.zeros(x.shape))
