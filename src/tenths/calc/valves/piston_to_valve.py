"""Piston to valve: the room between valve and pocket over the whole overlap, from exact motions; and from clay or a dial.

Angles count from the overlap dead centre, where the piston truly stands highest. The room is measured square to the floor
of the pocket, as clay is. The plane is that in which the valve leans; a pocket lies on the valve's own line, as it is cut.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenths.calc import motion
from tenths.calc._check import finite, not_negative, positive, within
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.tdc import Slider
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]
WINDOW = math.radians(60.0)  # either side of the overlap dead centre
DEGREE = math.pi / 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A valve over its pocket, piston at top dead centre.

    Attributes:
        drop: of the closed valve's face into the head, at its middle, along the cylinder [m]; below 0 where it stands out.
        lean: of the valve's stem against the cylinder [rad].
        head: diameter of the valve's head [m].
        gasket: tightened thickness [m].
        deck: piston below the deck, + below, where the pocket's depth counts from [m].
        pocket_depth: at its middle, along the cylinder [m]; 0 for a flat crown.
        pocket_lean: of the pocket's floor against a flat crown [rad]; as the valve leans where it is cut for it.
        pocket_diameter: [m]; 0 where it is not known, or there is none.
        pocket_across: middle of the pocket's floor off the valve's line, the way the valve goes as it opens + [m].
    """

    drop: float
    lean: float = 0.0
    head: float
    gasket: float
    deck: float
    pocket_depth: float = 0.0
    pocket_lean: float = 0.0
    pocket_diameter: float = 0.0
    pocket_across: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what cannot stand over a piston."""
        positive(head=self.head)
        not_negative(gasket=self.gasket, pocket_depth=self.pocket_depth, pocket_diameter=self.pocket_diameter)
        finite(drop=self.drop, deck=self.deck, pocket_across=self.pocket_across)
        within(-1.0, 1.0, lean=self.lean, pocket_lean=self.pocket_lean)

    @property
    def apart(self) -> float:
        """Closed valve's face to the floor of the pocket, along the cylinder, at top dead centre [m]."""
        return self.drop + self.gasket + self.deck + self.pocket_depth


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The room between a valve and its pocket over the overlap.

    Attributes:
        angles: of the crank from the overlap dead centre [rad].
        lifts: of the valve [m].
        depths: of the piston below its highest [m].
        clearances: square to the floor of the pocket [m]; below 0 where they meet.
        sideways: edge of the valve to the wall of the pocket [m]; without meaning where the valve stands over the pocket.
        inside: whether the valve's edge stands in the pocket there [-].
    """

    angles: Floats
    lifts: Floats
    depths: Floats
    clearances: Floats
    sideways: Floats
    inside: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """Where valve and piston come closest.

    Attributes:
        clearance: least, square to the pocket's floor [m]; below 0 they meet.
        angle: of the crank from the overlap dead centre [rad].
        lift: of the valve there [m].
        depth: of the piston there [m].
        per_angle: change of the clearance for a lobe that comes later by an angle of the crank [m/rad].
        earlier: the clearance with the lobe a crank degree earlier [m].
        later: the clearance with the lobe a crank degree later [m].
        per_cut: change of the clearance per length taken off head or deck [-].
        lift_error: standard error of the clearance from that of the lobe's lift there [m].
        sideways: least radial room while the valve stands in the pocket [m]; None where it never does or its size is not known.
        sideways_angle: where that is [rad]; None as before.
    """

    clearance: float
    angle: float
    lift: float
    depth: float
    per_angle: float
    earlier: float
    later: float
    per_cut: float
    lift_error: float
    sideways: float | None
    sideways_angle: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """The least room as it was measured.

    Attributes:
        clearance: least [m].
        error: its standard error [m].
        angle: where [rad]; 0 where clay was used, which does not tell.
    """

    clearance: float
    error: float
    angle: float = 0.0


def room(lobe: Lobe, angles: ArrayLike, *, place: Place, slider: Slider, lash: float = 0.0) -> Room:
    """The room between valve and pocket at angles of the crank.

    Args:
        lobe: lift of the valve itself, rocker ratio in, placed on the overlap dead centre.
        angles: of the crank from the overlap dead centre [rad].
        place: valve, pocket and what is between.
        slider: crank, rod and pin.
        lash: taken off the lift [m].

    Returns:
        Lifts, depths of the piston, clearances and radial room [m].

    Raises:
        OutOfRange: for a lash below 0, or a rod too short for the crank to turn.

    Validity: stiff parts, cold, no play; face of the valve flat, floor of the pocket flat. Piston rock, rod stretch, valve
    float and heat are left to the limit.
    Source: closed form of two planes and the slider-crank; second implementation in the tests.
    """
    not_negative(lash=lash)
    turned = np.asarray(angles, float)
    lifts = np.maximum(lobe.lift(turned) - lash, 0.0)
    depths = _depths(turned, slider)
    along, across = _between(place, lifts, depths)
    lean = place.lean - place.pocket_lean
    clearances = along - place.head / 2.0 * abs(math.sin(lean))
    sideways = (place.pocket_diameter - place.head * math.cos(lean)) / 2.0 - np.abs(across)
    inside = clearances < place.pocket_depth * math.cos(place.pocket_lean)
    return Room(angles=turned, lifts=lifts, depths=depths, clearances=clearances, sideways=sideways, inside=inside)


def _depths(angles: Floats, slider: Slider) -> Floats:
    top, _ = motion.dead_centres(stroke=slider.stroke, rod_length=slider.rod_length, pin_offset=slider.pin_offset)
    return motion.piston_depth(angles + top, stroke=slider.stroke, rod_length=slider.rod_length, pin_offset=slider.pin_offset)


def _between(place: Place, lifts: Any, depths: Any) -> tuple[Any, Any]:
    """Middle of the valve's face against that of the pocket's floor: square to the floor, and along it.

    The face starts at the origin and moves along the stem, (sin a, cos a); the pocket's middle lies where the stem's line
    meets the floor at top dead centre, and goes down with the piston.
    """
    a, b, apart = place.lean, place.pocket_lean, place.apart
    over = apart * math.tan(a) + place.pocket_across - lifts * math.sin(a)
    under = apart + depths - lifts * math.cos(a)
    return over * math.sin(b) + under * math.cos(b), under * math.sin(b) - over * math.cos(b)


def least(lobe: Lobe, *, place: Place, slider: Slider, lash: float = 0.0) -> Least:
    """Where a valve comes closest to the piston about the overlap dead centre, and what moves it.

    Args:
        lobe: lift of the valve itself, rocker ratio in, placed on the overlap dead centre.
        place: valve, pocket and what is between.
        slider: crank, rod and pin.
        lash: taken off the lift [m].

    Returns:
        Least clearance, where, and its change with timing and cuts.

    Raises:
        OutOfRange: as room.

    Validity: as room; 60 degrees either side of the dead centre. A cut lowers the head or the deck and leaves valve and
    pocket where they are sideways.
    Source: as room; found on degrees, then on fiftieths, then by parabola.
    """
    angle, value = closest(lobe, place=place, slider=slider, lash=lash)
    there = room(lobe, np.array([angle]), place=place, slider=slider, lash=lash)
    across = math.cos(place.lean - place.pocket_lean)
    at = lobe.at(np.array([angle]))
    moving = float(there.lifts[0]) > 0.0
    beside = least_sideways(lobe, place=place, slider=slider, lash=lash)
    earlier, later = (closest(lobe.moved(by), place=place, slider=slider, lash=lash)[1] for by in (-DEGREE, DEGREE))
    return Least(
        clearance=value,
        angle=angle,
        lift=float(there.lifts[0]),
        depth=float(there.depths[0]),
        per_angle=across * float(at.velocity[0]) if moving else 0.0,
        earlier=earlier,
        later=later,
        per_cut=-math.cos(place.pocket_lean),
        lift_error=across * float(lobe.errors_at(np.array([angle])).lift[0]) if moving else 0.0,
        sideways=beside[0] if beside else None,
        sideways_angle=beside[1] if beside else None,
    )


def closest(lobe: Lobe, *, place: Place, slider: Slider, lash: float = 0.0) -> tuple[float, float]:
    """Where a valve comes closest to the piston about the overlap dead centre, and nothing more: what is asked for often.

    Args:
        lobe: lift of the valve itself, rocker ratio in, placed on the overlap dead centre.
        place: valve, pocket and what is between.
        slider: crank, rod and pin.
        lash: taken off the lift [m].

    Returns:
        Angle of the crank [rad] and clearance [m].

    Raises:
        OutOfRange: as room.

    Validity: as least.
    Source: as least.
    """
    angles = np.linspace(-WINDOW, WINDOW, 121)
    low = int(np.argmin(room(lobe, angles, place=place, slider=slider, lash=lash).clearances))
    middle = float(angles[low])
    fine = np.linspace(max(middle - DEGREE, -WINDOW), min(middle + DEGREE, WINDOW), 101)
    values = room(lobe, fine, place=place, slider=slider, lash=lash).clearances
    n = int(np.argmin(values))
    if not 0 < n < len(fine) - 1:
        return float(fine[n]), float(values[n])
    return _bottom(fine[n - 1 : n + 2], values[n - 1 : n + 2])


def refined(lift: Callable[[float], float], *, near: float, place: Place, slider: Slider) -> tuple[float, float]:
    """The same from an angle that is near it, one angle at a time: where it is asked for over and over with sizes a little moved.

    Args:
        lift: of the valve [m] at an angle of the crank from the overlap dead centre [rad].
        near: an angle within some degrees of it [rad].
        place: valve, pocket and what is between.
        slider: crank, rod and pin.

    Returns:
        Angle of the crank [rad] and clearance [m].

    Raises:
        OutOfRange: as room.

    Validity: as least, one lowest place within 10 degrees.
    Source: as least; parabolas with steps of 2 degrees and a quarter.
    """
    size = {"stroke": slider.stroke, "rod_length": slider.rod_length, "pin_offset": slider.pin_offset}
    top, _ = motion.dead_centres(**size)
    rim = place.head / 2.0 * abs(math.sin(place.lean - place.pocket_lean))

    def clearance(angle: float) -> float:
        return _between(place, max(lift(angle), 0.0), motion.piston_depth(angle + top, **size))[0] - rim

    angle, value = near, math.inf
    for step in (2.0 * DEGREE, 2.0 * DEGREE, 0.25 * DEGREE, 0.25 * DEGREE):
        low, middle, high = clearance(angle - step), clearance(angle), clearance(angle + step)
        bend, slope = low - 2.0 * middle + high, (high - low) / 2.0
        moved = -step * slope / bend if bend > 0.0 else math.copysign(2.0 * step, -slope)
        moved = min(max(moved, -2.0 * step), 2.0 * step)
        value = middle + slope * moved / step + bend / 2.0 * (moved / step) ** 2
        angle = min(max(angle + moved, -WINDOW), WINDOW)
    return angle, value


def _bottom(angles: Floats, values: Floats) -> tuple[float, float]:
    """Lowest point of the parabola through three points, the middle one lowest."""
    step, bend = float(angles[1] - angles[0]), float(values[0] - 2.0 * values[1] + values[2])
    if bend <= 0.0:
        return float(angles[1]), float(values[1])
    slope = float(values[2] - values[0]) / 2.0
    return float(angles[1]) - step * slope / bend, float(values[1]) - slope * slope / (2.0 * bend)


def least_sideways(lobe: Lobe, *, place: Place, slider: Slider, lash: float = 0.0) -> tuple[float, float] | None:
    """Least radial room between the edge of a valve and the wall of its pocket, while the valve stands in it.

    Args:
        lobe: lift of the valve itself, rocker ratio in, placed on the overlap dead centre.
        place: valve, pocket and what is between.
        slider: crank, rod and pin.
        lash: taken off the lift [m].

    Returns:
        Room [m] and angle of the crank [rad]; None where the valve never stands in the pocket or its size is not known.

    Raises:
        OutOfRange: as room.

    Validity: as least; found on fifths of a degree.
    Source: as room.
    """
    if place.pocket_diameter == 0.0:
        return None
    found = room(lobe, np.linspace(-WINDOW, WINDOW, 601), place=place, slider=slider, lash=lash)
    if not found.inside.any():
        return None
    n = int(np.argmin(np.where(found.inside, found.sideways, np.inf)))
    return float(found.sideways[n]), float(found.angles[n])


def after_cut(place: Place, *, off: float) -> Place:
    """The same valve and pocket with an amount taken off head or deck, or a gasket thicker by it where it is below 0.

    Args:
        place: as it is.
        off: what is taken off [m].

    Returns:
        The place after it [m].

    Raises:
        OutOfRange: for an amount that is no number.

    Validity: cut square to the cylinder.
    Source: definition; the pocket's middle stays where it is sideways.
    """
    finite(off=off)
    shifted = place.pocket_across + off * math.tan(place.lean)
    return replace(place, deck=place.deck - off, pocket_across=shifted)


def from_clay(thicknesses: Sequence[float], *, reading_error: float) -> Touched:
    """The least room from clay pressed between valve and pocket.

    Args:
        thicknesses: at the thinnest place, one for each time it was tried [m].
        reading_error: standard error of one of them, from cutting and measuring [m].

    Returns:
        Their mean and its standard error: the stated one or the scatter's, whichever is larger.

    Raises:
        BadInput: without a reading.
        OutOfRange: for a reading or error below 0.

    Validity: gasket of the thickness that will be fitted, head drawn up, solid lifters or lifters that do not give.
    Source: mean and its error by [JCGM100] 4.2.3; the procedure is common practice, no source.
    """
    if not thicknesses:
        raise BadInput("thicknesses: one or more readings of the clay are needed")
    not_negative(reading_error=reading_error, thickness=min(thicknesses))
    count = len(thicknesses)
    mean = sum(thicknesses) / count
    scatter = math.sqrt(sum((t - mean) ** 2 for t in thicknesses) / (count - 1)) if count > 1 else 0.0
    return Touched(clearance=mean, error=max(scatter, reading_error) / math.sqrt(count))


def from_touch(angles: Sequence[float], travels: Sequence[float], *, reading_error: float, lean: float = 0.0) -> Touched:
    """The least room from pushing the valve down to the piston against light springs, at several angles.

    Args:
        angles: of the crank from the overlap dead centre, rising [rad], three or more.
        travels: of the valve from where the lobe holds it to the piston, along the stem [m].
        reading_error: standard error of one travel [m].
        lean: of the stem against a square to the pocket's floor [rad]; 0 where the pocket is cut for the valve.

    Returns:
        Lowest point of the parabola through the lowest reading and its neighbours, with its standard error and place.

    Raises:
        BadInput: with fewer than three angles, lists of unlike length, or angles that do not rise.
        OutOfRange: for a travel below 0, or where the lowest reading is the first or the last: the least lies beyond.

    Validity: steps of 10 degrees or less; solid lifters or lifters that do not give.
    Source: parabola through three points; errors by [JCGM100].
    """
    if len(angles) < 3 or len(angles) != len(travels):
        raise BadInput(f"angles has {len(angles)}, travels {len(travels)}: as many, and three or more, are needed")
    not_negative(reading_error=reading_error, travel=min(travels))
    x, y = np.asarray(angles, float), np.asarray(travels, float)
    if not bool(np.all(np.diff(x) > 0.0)):
        raise BadInput("angles: each above the one before is needed")
    n = int(np.argmin(y))
    if n in {0, len(x) - 1}:
        raise OutOfRange(f"travels: the least, {y[n]:g} m, is at the end of the angles; go on until it grows again")
    angle, value, error = _through(x[n - 1 : n + 2], y[n - 1 : n + 2], reading_error)
    return Touched(clearance=value * math.cos(lean), error=error * math.cos(lean), angle=angle)


def _through(x: Floats, y: Floats, error: float) -> tuple[float, float, float]:
    """Lowest point of the parabola through three points, and the error of its height."""
    shares = np.array([(x[0] - x[1]) * (x[0] - x[2]), (x[1] - x[0]) * (x[1] - x[2]), (x[2] - x[0]) * (x[2] - x[1])])
    bend = float(np.sum(y / shares))
    ends = np.array([x[1] + x[2], x[0] + x[2], x[0] + x[1]])
    lowest = float(np.sum(y / shares * ends)) / (2.0 * bend) if bend > 0.0 else float(x[1])
    products = np.array([(lowest - x[1]) * (lowest - x[2]), (lowest - x[0]) * (lowest - x[2]), (lowest - x[0]) * (lowest - x[1])])
    weights = products / shares
    return lowest, float(np.sum(weights * y)), error * float(np.linalg.norm(weights))
