"""Form of a part from readings: roundness, taper, straightness of a line, flatness and parallelism of a deck.

Taper and out-of-round belong to the part: they are findings of their own, not scatter of the size.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from tenths.errors import BadInput
from tenths.metrology.zones import MOST, Place, Shape, held_by

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Zone:
    """How far points are from a perfect shape.

    Attributes:
        least_squares: width of the zone about the least squares shape [m].
        minimum: width of the narrowest zone that holds all points [m].
        shape: parameters of the least squares shape [m, or m/m].
        deviations: of each point from the least squares shape [m], for a drawing.
    """

    least_squares: float
    minimum: float
    shape: tuple[float, ...]
    deviations: tuple[float, ...]


def out_of_round(diameters: Sequence[float]) -> float:
    """Largest less smallest of the diameters at one height, over the axes read.

    Args:
        diameters: one for each axis [m], at least two.

    Returns:
        Out-of-round as the shop means it [m]: up to twice the roundness as a radial zone.

    Raises:
        BadInput: if there are under two.
    """
    if len(diameters) < 2:
        raise BadInput(f"out_of_round: {len(diameters)} diameters; two axes or more are needed")
    return max(diameters) - min(diameters)


def taper(top: Sequence[float], bottom: Sequence[float]) -> float:
    """Change of diameter from one end to the other, average over the axes; above 0 where the top is larger.

    Args:
        top: diameters at one end, one for each axis [m].
        bottom: at the other end, same axes [m].

    Returns:
        Taper [m].

    Raises:
        BadInput: if the axes do not match.
    """
    if len(top) != len(bottom) or not top:
        raise BadInput(f"taper: {len(top)} axes at one end and {len(bottom)} at the other; as many of each are needed")
    return math.fsum(a - b for a, b in zip(top, bottom, strict=True)) / len(top)


def roundness(angles: Sequence[float], radii: Sequence[float]) -> Zone:
    """Roundness of a turn of radial readings.

    Args:
        angles: where they were taken [rad], at least four.
        radii: distance from the centre of rotation [m] (any constant may be missing).

    Returns:
        Radial zone widths; shape is centre x, centre y, mean radius [m].

    Raises:
        BadInput: if there are under four points or unequal numbers.

    Validity: centre offset small beside the radius (the limacon is taken for a circle). With fewer than some eight
    points lobes are missed. Source: [ISO1101] for the zones.
    """
    _same(4, angles, radii)
    return _fit([[math.cos(a), math.sin(a), 1.0] for a in angles], radii, constant=2)


def straightness(places: Sequence[float], heights: Sequence[float]) -> Zone:
    """Straightness of a line of readings, such as the main saddles.

    Args:
        places: along the line [m], at least three.
        heights: across it [m].

    Returns:
        Zone widths; shape is height at place 0 [m] and slope [m/m].

    Raises:
        BadInput: if there are under three points, unequal numbers, or all at one place.

    Source: [ISO1101] for the zones.
    """
    _same(3, places, heights)
    return _fit([[1.0, p] for p in places], heights, constant=0, held=("line", [(p, 0.0) for p in places]))


def flatness(x: Sequence[float], y: Sequence[float], heights: Sequence[float]) -> Zone:
    """Flatness of a surface from heights at places on it.

    Args:
        x: places [m], at least four.
        y: places [m].
        heights: there [m].

    Returns:
        Zone widths; shape is height at the origin [m] and the two slopes [m/m].

    Raises:
        BadInput: if there are under four points, unequal numbers, or all on one line.

    Source: [ISO1101] for the zones.
    """
    _same(4, x, y, heights)
    places = list(zip(x, y, strict=True))
    return _fit([[1.0, a, b] for a, b in places], heights, constant=0, held=("plane", places))


@dataclass(frozen=True, slots=True)
class Parallelism:
    """How a deck lies to its datum.

    Attributes:
        zone: largest less smallest height above the datum [m].
        along: tilt times the length over which was read, in x [m].
        across: the same in y [m].
        flat: flatness of the deck itself.
    """

    zone: float
    along: float
    across: float
    flat: Zone


def parallelism(x: Sequence[float], y: Sequence[float], heights: Sequence[float]) -> Parallelism:
    """Parallelism of a deck to a datum such as the line of the mains.

    Args:
        x: places along the block [m], at least four.
        y: places across it [m].
        heights: above the datum [m].

    Returns:
        The zone parallel to the datum, the tilts, and the flatness that is left without them.

    Raises:
        BadInput: as for flatness.

    Source: [ISO1101] for the zone.
    """
    flat = flatness(x, y, heights)
    return Parallelism(
        max(heights) - min(heights), flat.shape[1] * (max(x) - min(x)), flat.shape[2] * (max(y) - min(y)), flat
    )


def _same(least: int, *columns: Sequence[float]) -> None:
    sizes = [len(c) for c in columns]
    if len(set(sizes)) != 1 or sizes[0] < least:
        raise BadInput(f"form: columns of {sizes} readings; as many of each, {least} or more, are needed")
    if not all(math.isfinite(v) for c in columns for v in c):
        raise BadInput("form: a reading is not a finite number")


def _fit(rows: list[list[float]], heights: Sequence[float], *, constant: int,
         held: tuple[Shape, Sequence[Place]] | None = None) -> Zone:
    """Least squares shape, linear in its parameters, and the narrowest zone of that shape: by what holds it, where few do."""
    import numpy as np  # noqa: PLC0415 (form is off the path of a check)

    table, level = np.array(rows), np.array(heights, dtype=float)
    base = float(level.mean())
    solution, _, rank, _ = np.linalg.lstsq(table, level - base, rcond=None)
    if rank < table.shape[1]:
        raise BadInput("form: the places read do not span the shape (all on one point or line)")
    away = level - base - table @ solution
    solution[constant] += base
    width = float(np.ptp(away))
    if held is not None and len(away) <= MOST:
        narrowest = sum(w * float(away[k]) for k, w in held_by(*held, list(map(float, away))))
    else:
        narrowest = _narrowest(table, away, width)
    return Zone(width, narrowest, tuple(map(float, solution)), tuple(map(float, away)))


def _narrowest(table: Floats, away: Floats, width: float) -> float:
    """Width of the narrowest zone: least t with |away - table p| <= t, a linear program."""
    if width == 0.0:
        return 0.0
    import numpy as np  # noqa: PLC0415
    from scipy import optimize  # noqa: PLC0415 (costs more than a whole check)  # pyright: ignore[reportMissingTypeStubs]

    linprog = cast("Callable[..., Any]", optimize.linprog)  # pyright: ignore[reportUnknownMemberType, reportUnknownArgumentType]

    scaled = away / width
    lengths = np.abs(table).max(axis=0)
    rows = table / np.where(lengths > 0, lengths, 1.0)
    ones = np.ones((len(scaled), 1))
    cost = np.r_[np.zeros(rows.shape[1]), 1.0]
    found = linprog(
        cost,
        A_ub=np.block([[rows, -ones], [-rows, -ones]]),
        b_ub=np.r_[scaled, -scaled],
        bounds=[(None, None)] * len(cost),
    )
    return float(2 * found.fun * width)
