"""The valve train as masses, joints and springs, all as felt at the valve; push-rod, direct acting and finger are sets of its numbers.

A mass on the lobe's side weighs its mass over the square of the rocker ratio at the valve, a stiffness there likewise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import finite, not_negative, positive, within
from tenths.calc.valves.lobes import Lobe
from tenths.errors import BadInput, OutOfRange

GRAVITY = 9.80665
MOST_PIECES = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Coils:
    """A valve spring as it stands under its retainer.

    Attributes:
        load: with the valve shut [N].
        rate: force over shortening [N/m].
        mass: of the coils that give [kg].
        left: shortening from the shut valve until the coils bind [m].
        damping: of its first own swing, over critical [-].
        pieces: masses that stand for the coils.
    """

    load: float
    rate: float
    mass: float
    left: float
    damping: float = 0.02
    pieces: int = 10

    def __post_init__(self) -> None:
        """Refuse springs that cannot be."""
        positive(spring_load=self.load, spring_rate=self.rate, spring_mass=self.mass, spring_left=self.left)
        within(0.0, 1.0, spring_damping=self.damping)
        within(2, MOST_PIECES, spring_pieces=self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Train:
    """Masses in a row from lobe to valve, with the joints before each; everything as felt at the valve.

    Attributes:
        masses: lobe's side first, valve with retainer and locks last [kg].
        stiffnesses: of the joint before each mass, that at the lobe first [N/m].
        dampings: of the same joints [N s/m].
        springs: on the valve, outer first.
        ratio: lift of the valve over that of the lobe [-].
        lash: gap with the valve shut [m].
        lash_at: which joint has it, 0 at the lobe.
        seat_stiffness: of valve head and seat [N/m].
        seat_damping: of the same [N s/m].
        hold: force that holds the loose parts to the lobe, their weight mostly; below 0 away from it [N].
    """

    masses: tuple[float, ...]
    stiffnesses: tuple[float, ...]
    dampings: tuple[float, ...]
    springs: tuple[Coils, ...]
    ratio: float = 1.0
    lash: float = 0.0
    lash_at: int = 0
    seat_stiffness: float = 6.0e7
    seat_damping: float = 0.0
    hold: float = 0.0

    def __post_init__(self) -> None:
        """Refuse trains that do not hold together."""
        count = len(self.masses)
        if not count or len(self.stiffnesses) != count or len(self.dampings) != count:
            raise BadInput(f"train: {count} masses, {len(self.stiffnesses)} stiffnesses, {len(self.dampings)} dampings; as many are needed")
        if not self.springs:
            raise BadInput("springs: none given; one or more are needed")
        for mass, stiffness, damping in zip(self.masses, self.stiffnesses, self.dampings, strict=True):
            positive(mass=mass, stiffness=stiffness)
            not_negative(damping=damping)
        positive(ratio=self.ratio, seat_stiffness=self.seat_stiffness)
        not_negative(lash=self.lash, seat_damping=self.seat_damping)
        within(0, count - 1, lash_at=self.lash_at)
        finite(hold=self.hold)

    @property
    def load(self) -> float:
        """Of all springs with the valve shut [N]."""
        return sum(spring.load for spring in self.springs)

    @property
    def rate(self) -> float:
        """Of all springs [N/m]."""
        return sum(spring.rate for spring in self.springs)

    @property
    def moving(self) -> float:
        """All that moves with the valve when nothing gives: the masses and a third of the coils [kg]."""
        return sum(self.masses) + sum(spring.mass for spring in self.springs) / 3.0

    @property
    def stiffness(self) -> float:
        """From lobe to valve, all joints in a row [N/m]."""
        return 1.0 / sum(1.0 / one for one in self.stiffnesses)


def damping_of(*, share: float, stiffness: float, first: float, second: float = math.inf) -> float:
    """Damping of a joint between two masses from its share of the critical.

    Args:
        share: of critical damping [-].
        stiffness: of the joint [N/m].
        first: one mass [kg].
        second: the other [kg]; infinite for a lobe or a seat.

    Returns:
        The damping [N s/m].

    Raises:
        OutOfRange: for a stiffness or mass that is not above 0, or a negative share.

    Validity: the two masses alone.
    Source: [Thomson], 2 zeta sqrt(k m).
    """
    not_negative(share=share)
    positive(stiffness=stiffness, first=first)
    if not second > 0.0:
        raise OutOfRange(f"second is {second:g}: a number above 0 is needed")
    return 2.0 * share * math.sqrt(stiffness / (1.0 / first + 1.0 / second))


def push_rod(
    *, follower: float, rod: float, rocker_inertia: float, valve_arm: float, valve: float, ratio: float, lobe_stiffness: float,
    rod_stiffness: float, rocker_stiffness: float, seat_stiffness: float, springs: Sequence[Coils], lash: float = 0.0,
    damping: float = 0.06, seat_damping: float = 0.15,
) -> Train:
    """A train with follower, push-rod and rocker.

    Args:
        follower: mass of the follower [kg].
        rod: mass of the push-rod [kg].
        rocker_inertia: of the rocker about its pivot [kg m2].
        valve_arm: pivot of the rocker to the valve's tip [m].
        valve: mass of valve, retainer, locks and cap [kg].
        ratio: of the rocker [-].
        lobe_stiffness: of camshaft and contact, at the lobe [N/m].
        rod_stiffness: of the push-rod, at the rod [N/m].
        rocker_stiffness: of rocker, pivot and stem, at the valve [N/m].
        seat_stiffness: of valve head and seat [N/m].
        springs: outer first.
        lash: between rocker and valve, shut [m]; 0 for a hydraulic follower.
        damping: of the joints, over critical [-].
        seat_damping: of the seat, over critical [-].

    Returns:
        Three masses, at the follower, the rocker and the valve [kg]; half of the push-rod goes with either of the first two.

    Raises:
        OutOfRange: for a size that cannot be.

    Validity: one ratio over the whole lift; a hydraulic follower neither pumps up nor leaks down.
    Source: masses and stiffnesses reduced by energy, [Norton] chapter 9.
    """
    positive(follower=follower, rod=rod, rocker_inertia=rocker_inertia, valve_arm=valve_arm, valve=valve, ratio=ratio,
             lobe_stiffness=lobe_stiffness, rod_stiffness=rod_stiffness, rocker_stiffness=rocker_stiffness)
    square = ratio**2
    masses = ((follower + rod / 2.0) / square, rocker_inertia / valve_arm**2 + rod / 2.0 / square, valve)
    joints = (lobe_stiffness / square, rod_stiffness / square, rocker_stiffness)
    return _train(masses, joints, springs, ratio, lash, 2, seat_stiffness, damping, seat_damping, hold=(follower + rod) * GRAVITY / ratio)


def direct_acting(
    *, follower: float, valve: float, lobe_stiffness: float, stem_stiffness: float, seat_stiffness: float, springs: Sequence[Coils],
    lash: float = 0.0, damping: float = 0.06, seat_damping: float = 0.15,
) -> Train:
    """An overhead cam on a bucket that stands on the valve.

    Args:
        follower: mass of the bucket, with its shim [kg].
        valve: mass of valve, retainer and locks [kg].
        lobe_stiffness: of camshaft, contact and bucket crown [N/m].
        stem_stiffness: of the valve's stem [N/m].
        seat_stiffness: of valve head and seat [N/m].
        springs: outer first.
        lash: between lobe and bucket, shut [m].
        damping: of the joints, over critical [-].
        seat_damping: of the seat, over critical [-].

    Returns:
        Two masses, bucket and valve [kg].

    Raises:
        OutOfRange: for a size that cannot be.

    Validity: as the push-rod's; the ratio is one.
    Source: [Norton] chapter 9.
    """
    positive(follower=follower, valve=valve, lobe_stiffness=lobe_stiffness, stem_stiffness=stem_stiffness)
    return _train((follower, valve), (lobe_stiffness, stem_stiffness), springs, 1.0, lash, 0, seat_stiffness, damping, seat_damping,
                  hold=-follower * GRAVITY)


def finger(
    *, inertia: float, valve_arm: float, valve: float, ratio: float, lobe_stiffness: float, finger_stiffness: float, seat_stiffness: float,
    springs: Sequence[Coils], lash: float = 0.0, damping: float = 0.06, seat_damping: float = 0.15,
) -> Train:
    """An overhead cam on a finger, or on a rocker that bears on lobe and valve both.

    Args:
        inertia: of the finger about its pivot, roller included [kg m2].
        valve_arm: pivot to the valve's tip [m].
        valve: mass of valve, retainer and locks [kg].
        ratio: lift of the valve over that of the lobe [-].
        lobe_stiffness: of camshaft and contact, at the lobe [N/m].
        finger_stiffness: of finger, pivot and stem, at the valve [N/m].
        seat_stiffness: of valve head and seat [N/m].
        springs: outer first.
        lash: at the valve, shut [m]; 0 on a hydraulic pivot.
        damping: of the joints, over critical [-].
        seat_damping: of the seat, over critical [-].

    Returns:
        Two masses, finger and valve [kg].

    Raises:
        OutOfRange: for a size that cannot be.

    Validity: as the push-rod's.
    Source: [Norton] chapter 9.
    """
    positive(inertia=inertia, valve_arm=valve_arm, valve=valve, ratio=ratio, lobe_stiffness=lobe_stiffness,
             finger_stiffness=finger_stiffness)
    return _train((inertia / valve_arm**2, valve), (lobe_stiffness / ratio**2, finger_stiffness), springs, ratio, lash, 0, seat_stiffness,
                  damping, seat_damping, hold=0.0)


def _train(
    masses: tuple[float, ...], joints: tuple[float, ...], springs: Sequence[Coils], ratio: float, lash: float, lash_at: int, seat: float,
    damping: float, seat_damping: float, *, hold: float,
) -> Train:
    """Damping from shares of the critical."""
    before = (math.inf, *masses[:-1])
    damped = tuple(damping_of(share=damping, stiffness=k, first=mass, second=other)
                   for k, mass, other in zip(joints, masses, before, strict=True))
    held = damping_of(share=seat_damping, stiffness=seat, first=masses[-1])
    return Train(masses=masses, stiffnesses=joints, dampings=damped, springs=tuple(springs), ratio=ratio, lash=lash, lash_at=lash_at,
                 seat_stiffness=seat, seat_damping=held, hold=hold)


@dataclass(frozen=True, slots=True)
class Rigid:
    """Where a train that does not give would leave its lobe.

    Attributes:
        speed: of the crank [rad/s]; infinite for a lobe that never slows its follower.
        angle: of the crank from the lobe's centre [rad].
        lift: of the valve there [m].
    """

    speed: float
    angle: float
    lift: float


def rigid_limit(of: Train, lobe: Lobe) -> Rigid:
    """Speed at which the force that slows the train on the lobe is all that the spring has.

    Args:
        of: the train; its stiffness is left out.
        lobe: motion of the follower over the crank.

    Returns:
        Speed [rad/s], angle from the lobe's centre [rad] and lift [m].

    Raises:
        OutOfRange: by the records, for sizes that cannot be.

    Validity: nothing gives, the spring's coils move in step: an upper bound that true trains stay below.
    Source: closed form, (load + rate lift) = moving mass times acceleration; a third of the coils after Rayleigh, [Thomson].
    """
    motion = lobe.motion
    lifts = np.maximum(of.ratio * motion.lift - of.lash, 0.0)
    slowing = -of.ratio * motion.acceleration
    slows = (slowing > 1e-12) & (lifts > 0.0)
    if not bool(np.any(slows)):
        return Rigid(math.inf, 0.0, float(lifts.max()))
    square = np.full(lifts.shape, math.inf)
    square[slows] = (of.load + of.rate * lifts[slows]) / (of.moving * slowing[slows])
    k = int(np.argmin(square))
    return Rigid(float(np.sqrt(square[k])), float(lobe.angles[k] - lobe.centre), float(lifts[k]))
