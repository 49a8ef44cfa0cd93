"""What a lobe is: the motion that it gives its follower over the turn of the crank, with how sure that is.

Every lobe is kept the same way, whether it was read with a dial, comes from a maker's card or is a pure profile: lift and
three derivatives at rising angles of the crank. Between them it is read off a curve that keeps lift, velocity and
acceleration without a step.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenths.calc._check import finite
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]
Origin = Literal["measured", "card", "profile"]
LOBE_CENTRE, TOP_DEAD_CENTRE = "lobe centre", "top dead centre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """Motion of the follower at some angles of the crank.

    Attributes:
        lift: [m].
        velocity: first derivative by the angle of the crank [m/rad].
        acceleration: second derivative [m/rad2].
        jerk: third derivative [m/rad3].
    """

    lift: Floats
    velocity: Floats
    acceleration: Floats
    jerk: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Lobe:
    """A lobe as its follower feels it; beyond its first and last angle the follower rests on the base circle.

    Attributes:
        angles: of the crank from the zero that is named, rising [rad].
        motion: of the follower at these angles [m, m/rad, m/rad2, m/rad3].
        errors: standard errors of the motion, in the same order and units; 0 where it is exact.
        centre: where the middle of the lobe stands in these angles [rad].
        centre_error: standard error of the centre [rad].
        origin: measured, card (from a maker's card) or profile (a pure curve).
        zero: what angle 0 is: the lobe's centre or top dead centre.
        base_radius: of the base circle [m]; 0 where it is not known.
        words: what it came from, for a person.
    """

    angles: Floats
    motion: Motion
    errors: Motion
    centre: float = 0.0
    centre_error: float = 0.0
    origin: Origin = "profile"
    zero: str = LOBE_CENTRE
    base_radius: float = 0.0
    words: str = ""

    def __post_init__(self) -> None:
        """Refuse tables that no curve can be drawn through."""
        if len(self.angles) < 3 or not bool(np.all(np.diff(self.angles) > 0.0)):
            raise BadInput(f"angles: {len(self.angles)} given; three or more, each above the one before, are needed")

    @property
    def peak(self) -> float:
        """Greatest lift [m]."""
        return float(np.max(self.motion.lift))

    def lift(self, angle: ArrayLike) -> Floats:
        """Lift at angles of the crank [m]."""
        return self.at(angle).lift

    def at(self, angle: ArrayLike) -> Motion:
        """Motion at angles of the crank [m, m/rad, m/rad2, m/rad3]; zero on the base circle."""
        return _between(self.angles, self.motion, np.asarray(angle, float))

    def errors_at(self, angle: ArrayLike) -> Motion:
        """Standard errors of the motion at angles of the crank; zero on the base circle."""
        x, e = np.asarray(angle, float), self.errors
        rows = (np.interp(x, self.angles, row, left=0.0, right=0.0) for row in (e.lift, e.velocity, e.acceleration, e.jerk))
        return _motion(*rows)

    def flank_angles(self, lift: float) -> tuple[float, float]:
        """Angles at which the follower passes a lift on the way up and on the way down [rad].

        Raises:
            OutOfRange: for a lift that is not above 0 and below the greatest one.
        """
        if not 0.0 < lift < self.peak:
            raise OutOfRange(f"lift is {lift:g} m: above 0 and below the greatest lift, {self.peak:g} m, is accepted")
        above = np.flatnonzero(self.motion.lift >= lift)
        first, last = int(above[0]), int(above[-1])
        return self._passes(first - 1, first, lift), self._passes(last + 1, last, lift)

    def _passes(self, below: int, above: int, lift: float) -> float:
        """Where the lift is passed between two neighbouring angles: a grid within a grid, then straight between two of its points."""
        low = float(self.angles[below] if 0 <= below < len(self.angles) else self.angles[above])
        high = float(self.angles[above])
        lifts, first = self.lift(np.array([low, high])), 1
        for _ in range(4):
            grid = np.linspace(low, high, 65)
            lifts = self.lift(grid)
            first = max(int(np.argmax(lifts >= lift)), 1)
            low, high = float(grid[first - 1]), float(grid[first])
        rise = float(lifts[first] - lifts[first - 1])
        return low + (high - low) * float(lift - lifts[first - 1]) / rise if rise > 0.0 else high

    def moved(self, by: float, *, zero: str = "") -> Lobe:
        """The same lobe later by an angle of the crank [rad], counted from another zero where one is named."""
        finite(by=by)
        return replace(self, angles=self.angles + by, centre=self.centre + by, zero=zero or self.zero)

    def placed(self, centre: float) -> Lobe:
        """The same lobe with its centre at an angle of the crank from top dead centre [rad]."""
        return self.moved(centre - self.centre, zero=TOP_DEAD_CENTRE)

    def scaled(self, ratio: float) -> Lobe:
        """The motion and its errors times a ratio, such as that of a rocker [-]."""
        return replace(self, motion=_times(self.motion, ratio), errors=_times(self.errors, abs(ratio)))


def lobe_of(
    angles: ArrayLike, lifts: ArrayLike, velocities: ArrayLike, accelerations: ArrayLike, jerks: ArrayLike, *, words: str = "",
    base_radius: float = 0.0, origin: Origin = "profile",
) -> Lobe:
    """An exact lobe about its own centre from a table of its motion.

    Args:
        angles: of the crank from the lobe's centre, rising [rad].
        lifts: of the follower [m].
        velocities: [m/rad].
        accelerations: [m/rad2].
        jerks: [m/rad3].
        words: what it came from.
        base_radius: of the base circle [m].
        origin: measured, card or profile.

    Returns:
        The lobe, its standard errors zero [m].

    Raises:
        BadInput: for fewer than three angles, angles that do not rise, or rows of unlike length.

    Validity: any table whose derivatives belong to its lifts.
    Source: definition.
    """
    rows = [np.asarray(row, float) for row in (angles, lifts, velocities, accelerations, jerks)]
    if len({row.shape for row in rows}) != 1:
        raise BadInput(f"rows: {', '.join(str(row.size) for row in rows)} values given; as many in each row are needed")
    none = np.zeros(rows[0].shape)
    return Lobe(angles=rows[0], motion=_motion(*rows[1:]), errors=_motion(none, none, none, none), origin=origin, words=words,
                base_radius=base_radius)


def _motion(lift: Floats, velocity: Floats, acceleration: Floats, jerk: Floats) -> Motion:
    return Motion(lift=lift, velocity=velocity, acceleration=acceleration, jerk=jerk)


def _times(motion: Motion, ratio: float) -> Motion:
    return _motion(motion.lift * ratio, motion.velocity * ratio, motion.acceleration * ratio, motion.jerk * ratio)


def _between(angles: Floats, motion: Motion, x: Floats) -> Motion:
    """The curve of fifth degree through lift, velocity and acceleration at both neighbours."""
    inside = (x >= angles[0]) & (x <= angles[-1])
    left = np.clip(np.searchsorted(angles, x, side="right") - 1, 0, len(angles) - 2)
    step = angles[left + 1] - angles[left]
    t = (x - angles[left]) / step
    y0, y1 = motion.lift[left], motion.lift[left + 1]
    v0, v1 = motion.velocity[left] * step, motion.velocity[left + 1] * step
    a0, a1 = motion.acceleration[left] * step**2, motion.acceleration[left + 1] * step**2
    c3 = 10.0 * (y1 - y0) - 6.0 * v0 - 4.0 * v1 - 1.5 * a0 + 0.5 * a1
    c4 = -15.0 * (y1 - y0) + 8.0 * v0 + 7.0 * v1 + 1.5 * a0 - a1
    c5 = 6.0 * (y1 - y0) - 3.0 * (v0 + v1) - 0.5 * (a0 - a1)
    lift = y0 + t * (v0 + t * (a0 / 2.0 + t * (c3 + t * (c4 + t * c5))))
    velocity = (v0 + t * (a0 + t * (3.0 * c3 + t * (4.0 * c4 + t * 5.0 * c5)))) / step
    acceleration = (a0 + t * (6.0 * c3 + t * (12.0 * c4 + t * 20.0 * c5))) / step**2
    jerk = motion.jerk[left] + t * (motion.jerk[left + 1] - motion.jerk[left])
    return _motion(*(np.where(inside, row, 0.0) for row in (lift, velocity, acceleration, jerk)))
