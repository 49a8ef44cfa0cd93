"""Clearance between moving parts over a full turn, from outlines typed in the plane of the rod.

The plane: the crank axis stands at the origin; *along* points up the cylinder axis to the head, *across* to the side
to which the top of the crank moves (away from the thrust side). An outline is a string of points, each with a radius:
one point is a disc (a camshaft, a bolt head), two or more are the edge between them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tenths.calc import motion
from tenths.calc._check import not_negative
from tenths.errors import BadInput

Body = Literal["block", "crank", "rod", "piston"]


@dataclass(frozen=True, slots=True)
class Outline:
    """The edge of a part.

    Attributes:
        body: what it moves with. Points of the block are counted from the crank axis; of the crank likewise, with the
            crankpin straight up along the cylinder; of the rod from the big-end centre, towards the small end; of the
            piston from the piston pin's axis.
        points: of the edge in order, each (along, across) [m].
        radius: of the rounding about every point, 0 for a sharp edge [m].
    """

    body: Body
    points: Sequence[tuple[float, float]]
    radius: float = 0.0

    def __post_init__(self) -> None:
        """Refuse outlines without a point."""
        if not self.points:
            raise BadInput(f"outline of the {self.body} has no point: one or more are needed")
        not_negative(radius=self.radius)


@dataclass(frozen=True, slots=True)
class LeastClearance:
    """The closest that two outlines come to each other.

    Attributes:
        clearance: between them [m]; negative by as much as a rounding digs in, or 0 where sharp edges cross.
        angle: of the crank from its zero where it happens [rad], 0 to 2 pi.
        along: place of it, along the cylinder axis from the crank axis [m].
        across: place of it, across the cylinder axis [m].
    """

    clearance: float
    angle: float
    along: float
    across: float


def least_clearance(
    one: Outline,
    other: Outline,
    *,
    stroke: float,
    rod_length: float,
    pin_offset: float = 0.0,
    steps: int = 1440,
) -> LeastClearance:
    """Least clearance between two outlines over a turn of the crank.

    Args:
        one: outline of one part.
        other: outline of the other.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        steps: in a turn [-], 90 or more.

    Returns:
        The clearance [m], the crank angle [rad] and the place [m].

    Raises:
        BadInput: if there are fewer than 90 steps, or both outlines belong to one body.
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: parts that lie in one plane along the crank; bearings' play, bending and heat left out (add them); an edge
        that starts wholly inside a closed one is not seen.
    Source: distances between the edges' points and straight parts; positions by the closed form of the slider-crank.
    """
    if steps < 90 or one.body == other.body:
        raise BadInput(f"{steps} steps, {one.body} to {other.body}: 90 or more, and two different bodies, are needed")
    angles = np.linspace(0.0, math.tau, steps, endpoint=False)
    size = {"stroke": stroke, "rod_length": rod_length, "pin_offset": pin_offset}
    first, second = (_moved(outline, angles, **size) for outline in (one, other))
    gap, place = _nearest(first, second)
    back, place_back = _nearest(second, first)
    place = np.where(back < gap, place_back, place)
    gap = np.where(_crossing(first, second), 0.0, np.minimum(gap, back)) - one.radius - other.radius
    at = int(gap.argmin())
    return LeastClearance(float(gap[at]), float(angles[at]), float(place[at].real), float(place[at].imag))


def _moved(
    outline: Outline, angles: NDArray[np.float64], *, stroke: float, rod_length: float, pin_offset: float
) -> NDArray[np.complex128]:
    """Points at each angle, along + 1j across: angle x point."""
    points = np.array([complex(*point) for point in outline.points])
    crank = stroke / 2 * (np.cos(angles) + 1j * np.sin(angles))
    if outline.body == "block":
        return np.tile(points, (len(angles), 1))
    if outline.body == "crank":
        return (crank / (stroke / 2))[:, None] * points
    lean = motion.rod_angle(angles, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    rod = np.cos(lean) - 1j * np.sin(lean)
    if outline.body == "rod":
        return crank[:, None] + rod[:, None] * points
    return (crank + rod_length * rod)[:, None] + points


def _nearest(points: NDArray[np.complex128], edge: NDArray[np.complex128]) -> tuple[NDArray[np.float64], NDArray[np.complex128]]:
    """Least distance from any of the points to the edge at each angle, and the point on the edge."""
    start = edge[:, :-1] if edge.shape[1] > 1 else edge
    along = edge[:, 1:] - start if edge.shape[1] > 1 else np.zeros_like(edge)
    length = np.abs(along) ** 2
    reach = points[:, :, None] - start[:, None, :]
    share = (reach * along.conj()[:, None, :]).real / np.where(length > 0.0, length, 1.0)[:, None, :]
    foot = start[:, None, :] + np.clip(share, 0.0, 1.0) * along[:, None, :]
    distance = np.abs(points[:, :, None] - foot).reshape(len(points), -1)
    best = distance.argmin(axis=1)
    rows = np.arange(len(points))
    return distance[rows, best], foot.reshape(len(points), -1)[rows, best]


def _crossing(first: NDArray[np.complex128], second: NDArray[np.complex128]) -> NDArray[np.bool_]:
    """Whether any straight parts of the two edges cross, at each angle."""
    if first.shape[1] < 2 or second.shape[1] < 2:
        return np.zeros(len(first), dtype=np.bool_)
    a, b = first[:, :-1, None], first[:, 1:, None]
    c, d = second[:, None, :-1], second[:, None, 1:]

    def side(p: NDArray[np.complex128], q: NDArray[np.complex128], r: NDArray[np.complex128]) -> NDArray[np.float64]:
        return ((q - p).conj() * (r - p)).imag

    apart = (side(a, b, c) * side(a, b, d) < 0.0) & (side(c, d, a) * side(c, d, b) < 0.0)
    return np.asarray(apart.any(axis=(1, 2)), dtype=np.bool_)
