"""What shakes an engine and what quiets it: forces and couples by order, bobweights, corrections, permissible rest.

Seen from the front. Angles are counted from straight up in the direction in which the crank turns, positions along
the crank from the front to the back. A turning vector is a complex number: real part up, imaginary part towards the
side to which the top of the crank moves.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tenths.calc import motion
from tenths.calc._check import finite, not_negative, positive, within
from tenths.errors import BadInput, OutOfRange

SAMPLES = 256  # per turn; coefficients of orders up to 12 are then exact to rounding for rods from 1.5 crank radii


@dataclass(frozen=True, slots=True)
class Cylinders:
    """The cylinders of an engine, each with its crankpin; all sequences in the same order.

    Attributes:
        bank_angles: of each cylinder's axis from straight up [rad].
        throw_angles: of each cylinder's crankpin from straight up, with the crank at zero [rad].
        positions: of each cylinder along the crank [m].
        reciprocating: mass that goes up and down in each [kg].
        rotating: mass at each crankpin that turns with it: its share of the rod, shell and oil [kg].
    """

    bank_angles: Sequence[float]
    throw_angles: Sequence[float]
    positions: Sequence[float]
    reciprocating: Sequence[float]
    rotating: Sequence[float] = ()

    def __post_init__(self) -> None:
        """Refuse sequences of unlike length."""
        count = len(self.bank_angles)
        others = (self.throw_angles, self.positions, self.reciprocating, self.rotating or self.positions)
        if count == 0 or any(len(other) != count for other in others):
            raise BadInput("cylinders: bank_angles, throw_angles, positions and masses must be equally many, 1 or more")


@dataclass(frozen=True, slots=True)
class Whirl:
    """A vector that turns with the crank at some order, and one that turns against it; their sum is an ellipse.

    Attributes:
        forward: vector that turns with the crank, where it points at crank angle zero [N] or [N m].
        backward: vector that turns against the crank, where it points at crank angle zero [N] or [N m].
    """

    forward: complex
    backward: complex

    @property
    def largest(self) -> float:
        """Half the long axis of the ellipse."""
        return abs(self.forward) + abs(self.backward)

    @property
    def smallest(self) -> float:
        """Half the short axis of the ellipse: nothing where the vector only swings, all where it only turns."""
        return abs(abs(self.forward) - abs(self.backward))

    @property
    def direction(self) -> float:
        """Angle of the long axis from straight up [rad], -pi/2 to pi/2; 0 where the ellipse is a circle."""
        if min(abs(self.forward), abs(self.backward)) <= 1e-12 * self.largest:
            return 0.0
        angle = (cmath.phase(self.forward) + cmath.phase(self.backward)) / 2
        return math.remainder(angle, math.pi)

    def at(self, angle: float, *, order: int) -> complex:
        """The vector at a crank angle [rad]."""
        return self.forward * cmath.exp(1j * order * angle) + self.backward * cmath.exp(-1j * order * angle)


@dataclass(frozen=True, slots=True)
class Shaking:
    """What an engine does to its mounts at one order.

    Attributes:
        order: cycles per turn of the crank [-].
        force: resultant force [N].
        couple: resultant couple about the reference point, in the plane of the crank axis and the vector [N m].
    """

    order: int
    force: Whirl
    couple: Whirl


@lru_cache(maxsize=256)  # the same crank is asked for again and again, order by order and weight by weight
def inertia_coefficients(*, stroke: float, rod_length: float, pin_offset: float = 0.0, orders: int = 8) -> tuple[complex, ...]:
    """Harmonics of the piston's acceleration, in units of crank radius times speed squared.

    Args:
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].
        orders: highest order wanted, 1 to 12.

    Returns:
        A_n for n from 0 to orders [-]: acceleration = r w^2 Re(sum of A_n exp(i n angle)). Imaginary parts and odd
        orders above the first belong to an offset pin.

    Raises:
        OutOfRange: if orders is not 1 to 12, or the rod is shorter than 1.5 crank radii + pin offset.

    Validity: rod_length >= 1.5 stroke/2 + |pin_offset|; steady crank.
    Source: Fourier series of the closed form of the slider-crank.
    """
    within(1, 12, orders=orders)
    if rod_length < motion.SHORTEST_ROD * stroke / 2 + abs(pin_offset):
        raise OutOfRange(f"rod_length is {rod_length:g}: at least 1.5 crank radii + pin offset is accepted")
    angles = [math.tau * k / SAMPLES for k in range(SAMPLES)]
    values = [
        motion.piston_acceleration(a, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset) * 2 / stroke for a in angles
    ]

    def coefficient(order: int) -> complex:
        turn = [cmath.exp(-1j * order * a) for a in angles]
        mean = sum(v * t for v, t in zip(values, turn, strict=True)) / SAMPLES
        return mean if order == 0 else 2 * mean

    return tuple(coefficient(order) for order in range(orders + 1))


def _whirls(cylinders: Cylinders, weights: Sequence[float], coefficient: complex, order: int) -> Whirl:
    """Sum over the cylinders of weight x Re(coefficient exp(i n own angle)) along each one's own axis."""
    forward = backward = 0j
    for bank, throw, weight in zip(cylinders.bank_angles, cylinders.throw_angles, weights, strict=True):
        own = coefficient * cmath.exp(1j * order * (throw - bank))
        forward += weight / 2 * own * cmath.exp(1j * bank)
        backward += weight / 2 * own.conjugate() * cmath.exp(1j * bank)
    return Whirl(forward, backward)


def shaking(
    cylinders: Cylinders,
    *,
    stroke: float,
    rod_length: float,
    speed: float,
    pin_offset: float = 0.0,
    orders: Sequence[int] = (1, 2, 4, 6),
    reference: float | None = None,
    counterweights: Sequence[complex] = (),
) -> tuple[Shaking, ...]:
    """Resultant of all inertia forces, order by order.

    Args:
        cylinders: the layout with its masses.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        speed: of the crank, steady [rad/s].
        pin_offset: of the piston pins, towards the thrust side + [m].
        orders: wanted, each 1 to 12.
        reference: point on the crank axis about which couples are taken [m]; the middle of the cylinders if None.
        counterweights: mass x radius at each cylinder's position, as a vector that turns with the crank [kg m].

    Returns:
        Force [N] and couple [N m] of each order.

    Raises:
        OutOfRange: if an order is out of range, the speed negative, or the rod too short.
        BadInput: if counterweights are given, but not one per cylinder.

    Validity: rigid crank and block, rods as two masses, all rods and throws alike.
    Source: sum of [Taylor] chapter on engine balance, for each cylinder along its own axis.
    """
    not_negative(speed=speed)
    if counterweights and len(counterweights) != len(cylinders.positions):
        raise BadInput(f"counterweights are {len(counterweights)}: one for each of {len(cylinders.positions)} is needed")
    series = inertia_coefficients(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset, orders=max(orders))
    at = sum(cylinders.positions) / len(cylinders.positions) if reference is None else reference
    arms = [position - at for position in cylinders.positions]
    scale = stroke / 2 * speed * speed
    turning = _turning(cylinders, stroke / 2, counterweights)
    found: list[Shaking] = []
    for order in orders:
        force = _whirls(cylinders, cylinders.reciprocating, series[order] * scale, order)
        levers = [mass * arm for mass, arm in zip(cylinders.reciprocating, arms, strict=True)]
        couple = _whirls(cylinders, levers, series[order] * scale, order)
        if order == 1:
            force = Whirl(force.forward + speed**2 * sum(turning), force.backward)
            moment = sum(t * arm for t, arm in zip(turning, arms, strict=True))
            couple = Whirl(couple.forward + speed**2 * moment, couple.backward)
        found.append(Shaking(order, force, couple))
    return tuple(found)


def _turning(cylinders: Cylinders, radius: float, counterweights: Sequence[complex]) -> list[complex]:
    """Mass x radius that turns with the crank at each cylinder's position."""
    masses = cylinders.rotating or [0.0] * len(cylinders.positions)
    pins = [m * radius * cmath.exp(1j * t) for m, t in zip(masses, cylinders.throw_angles, strict=True)]
    return [p + c for p, c in zip(pins, counterweights, strict=True)] if counterweights else pins


@dataclass(frozen=True, slots=True)
class ReciprocatingShare:
    """What share of the reciprocating masses counterweights should carry, from the layout's own first order.

    All shares [-] are of the reciprocating mass; None where the layout leaves nothing of that kind to be balanced.

    Attributes:
        force_forward: part of the first-order force that turns with the crank, over its whole when all cylinders
            pulled together [-].
        force_backward: part that turns against the crank, which no counterweight reaches, likewise [-].
        couple_forward: the same of the couple, over the sum of mass x arm [-].
        couple_backward: the same of the couple that turns against the crank [-].
        least_force: share that makes the largest force least [-].
        one_plane_force: shares that leave the force swinging in one plane only [-].
        least_couple: share that makes the largest couple least [-].
        one_plane_couple: shares that leave the couple swinging in one plane only [-].
    """

    force_forward: float
    force_backward: float
    couple_forward: float
    couple_backward: float
    least_force: float | None
    one_plane_force: tuple[float, float] | None
    least_couple: float | None
    one_plane_couple: tuple[float, float] | None


def reciprocating_share(cylinders: Cylinders) -> ReciprocatingShare:
    """Derive the reciprocating share of the bobweight from the layout.

    The first order of every cylinder is half a vector that turns with its crankpin and half one that turns against
    it. Counterweights opposite each pin that carry a share s leave (1 - 2 s) of the first and all of the second.

    Args:
        cylinders: the layout with its masses; couples are taken about the middle of the cylinders.

    Returns:
        The parts and the shares that follow from them [-].

    Raises:
        BadInput: if a reciprocating mass is not above 0.

    Validity: counterweights opposite each pin, in its own plane.
    Source: first order of [Taylor] chapter on engine balance, split into its turning parts.
    """
    if min(cylinders.reciprocating) <= 0.0:
        raise BadInput("cylinders: every reciprocating mass must be above 0")
    middle = sum(cylinders.positions) / len(cylinders.positions)
    arms = [m * (p - middle) for m, p in zip(cylinders.reciprocating, cylinders.positions, strict=True)]
    force = _parts(_whirls(cylinders, cylinders.reciprocating, 1.0, 1), math.fsum(cylinders.reciprocating))
    couple = _parts(_whirls(cylinders, arms, 1.0, 1), math.fsum(abs(arm) for arm in arms))
    return ReciprocatingShare(*force, *couple, *_shares(*force), *_shares(*couple))


def _parts(whirl: Whirl, whole: float) -> tuple[float, float]:
    """Both turning parts over the whole, rounding dust removed."""
    if whole == 0.0:
        return 0.0, 0.0
    forward, backward = abs(whirl.forward) / whole, abs(whirl.backward) / whole
    return (forward if forward > 1e-9 else 0.0), (backward if backward > 1e-9 else 0.0)


def _shares(forward: float, backward: float) -> tuple[float | None, tuple[float, float] | None]:
    if forward == 0.0:
        return None, None
    spread = backward / forward / 2
    return 0.5, (0.5 - spread, 0.5 + spread)


def bobweight(*, rotating: Sequence[float], reciprocating: Sequence[float], share: float, oil: float = 0.0) -> float:
    """Weight to clamp on a crankpin while the crank is balanced.

    Args:
        rotating: big ends, bolts and shells of all rods on the pin, each [kg].
        reciprocating: piston, pin, rings, locks and small end of each rod on the pin [kg].
        share: of the reciprocating mass [-], from the layout or from the house.
        oil: that stays in the pin's drillings and on it [kg].

    Returns:
        The weight [kg].

    Raises:
        OutOfRange: if a mass is negative or the share not from 0 to 1.
        BadInput: unless there are as many reciprocating as rotating masses, one or more.

    Validity: all rods of the pin on the same pin axis.
    Source: definition; the weight of the oil is common practice, no source.
    """
    if not rotating or len(rotating) != len(reciprocating):
        raise BadInput(f"rotating holds {len(rotating)}, reciprocating {len(reciprocating)}: one of each per rod")
    for big, small in zip(rotating, reciprocating, strict=True):
        not_negative(rotating=big, reciprocating=small)
    not_negative(oil=oil)
    within(0.0, 1.0, share=share)
    return math.fsum(rotating) + share * math.fsum(reciprocating) + oil


def to_lightest(*, masses: Sequence[float]) -> tuple[float, ...]:
    """How much to take off each part so that all weigh what the lightest weighs.

    Args:
        masses: as weighed [kg].

    Returns:
        What to take off each [kg].

    Raises:
        BadInput: if there is none.
        OutOfRange: if one is not above 0.

    Validity: any parts that may be lightened.
    Source: definition.
    """
    if not masses:
        raise BadInput("masses holds nothing: at least one weight is needed")
    for mass in masses:
        positive(masses=mass)
    lightest = min(masses)
    return tuple(mass - lightest for mass in masses)


@dataclass(frozen=True, slots=True)
class RodEnds:
    """A rod as two masses at its centres.

    Attributes:
        big: at the crankpin [kg].
        small: at the piston pin [kg].
        spare_inertia: of the true rod less that of the two masses, about its centre of mass [kg m2]; negative for
            most rods.
    """

    big: float
    small: float
    spare_inertia: float


def rod_ends(*, mass: float, length: float, centre: float, inertia: float | None = None) -> RodEnds:
    """Split a rod into two masses at its ends that keep mass and centre of mass.

    Args:
        mass: of the whole rod with bolts and shells [kg].
        length: between the rod's centres [m].
        centre: of mass, from the big-end centre [m].
        inertia: about the centre of mass [kg m2]; None takes that of the two masses.

    Returns:
        The masses [kg] and the inertia that is left over [kg m2].

    Raises:
        OutOfRange: if mass, length or inertia is not above 0, or the centre not between the ends.

    Validity: stiff rod.
    Source: definition; the left-over couple as in [Bevan], chapter on inertia forces.
    """
    positive(mass=mass, length=length)
    within(0.0, length, centre=centre)
    small = mass * centre / length
    both = mass * centre * (length - centre)
    if inertia is not None:
        positive(inertia=inertia)
    return RodEnds(mass - small, small, 0.0 if inertia is None else inertia - both)


def firing_intervals(*, firing_angles: Sequence[float], cycle: float = 4 * math.pi) -> tuple[float, ...]:
    """Crank angle from each firing to the next, in the order of firing.

    Args:
        firing_angles: of each cylinder's firing dead centre within the cycle [rad], in any order.
        cycle: crank angle of a whole cycle [rad], two turns for a four-stroke.

    Returns:
        The intervals [rad]; they add up to the cycle.

    Raises:
        BadInput: if there is no cylinder.
        OutOfRange: if an angle lies outside the cycle.

    Validity: any engine.
    Source: definition.
    """
    if not firing_angles:
        raise BadInput("firing_angles holds no cylinder: at least one angle is needed")
    for angle in firing_angles:
        within(0.0, cycle, firing_angles=angle)
    at = sorted(firing_angles)
    return tuple(b - a for a, b in zip(at, [*at[1:], at[0] + cycle], strict=True))


def two_plane_correction(
    *, unbalances: Sequence[complex], positions: Sequence[float], planes: tuple[float, float]
) -> tuple[complex, complex]:
    """Unbalances to add in two planes so that crank and all its weights neither pull nor wobble.

    Args:
        unbalances: mass x radius of each, as a vector that turns with the crank [kg m].
        positions: of each along the crank [m].
        planes: positions of the front and rear correction plane [m].

    Returns:
        What to add in each plane [kg m]; its argument is the angle, its negative is what to take away.

    Raises:
        BadInput: if there is not one position per unbalance.
        OutOfRange: if the planes coincide.

    Validity: stiff crank.
    Source: equilibrium of forces and moments, as [ISO21940-11].
    """
    if len(unbalances) != len(positions):
        raise BadInput(f"positions are {len(positions)}: one for each of {len(unbalances)} unbalances is needed")
    front, rear = planes
    finite(front=front, rear=rear)
    if front == rear:
        raise OutOfRange(f"planes are both at {front:g} m: two different planes are needed")
    whole = sum(unbalances, 0j)
    moment = sum((u * (p - front) for u, p in zip(unbalances, positions, strict=True)), 0j)
    at_rear = -moment / (rear - front)
    return -whole - at_rear, at_rear


def hole_depth(*, unbalance: float, radius: float, diameter: float, density: float, filling: float = 0.0) -> float:
    """Depth of a hole, or of a slug of heavy metal set into it, that changes the unbalance by a wanted amount.

    Args:
        unbalance: mass x radius to take away, or to add with a slug [kg m].
        radius: from the crank axis to the middle of the hole [m].
        diameter: of the hole [m].
        density: of the counterweight's metal [kg/m3].
        filling: density of the slug [kg/m3]; 0 leaves the hole empty.

    Returns:
        Depth of the full diameter [m].

    Raises:
        OutOfRange: if a size or density is not above 0, or the slug is as heavy as the metal that it replaces.

    Validity: hole parallel to the crank axis, or short beside the radius; the drill's point is not counted.
    Source: definition.
    """
    positive(unbalance=unbalance, radius=radius, diameter=diameter, density=density)
    not_negative(filling=filling)
    change = abs(filling - density)
    if change < 1e-6 * density:
        raise OutOfRange(f"filling is {filling:g} kg/m3: it weighs what it replaces")
    return unbalance / (radius * change * math.pi / 4 * diameter * diameter)


def permissible_unbalance(*, grade: float, mass: float, speed: float) -> float:
    """Residual unbalance that a balance quality grade allows.

    Args:
        grade: G, the product of eccentricity and speed [mm/s], as 6.3 or 16.
        mass: of the rotor [kg].
        speed: at which it serves at most [rad/s].

    Returns:
        The whole permissible residual unbalance [kg m].

    Raises:
        OutOfRange: if one of them is not above 0.

    Validity: rotor that stays stiff up to its speed.
    Source: [ISO21940-11] permissible residual unbalance from the balance quality grade, from memory.
    """
    positive(grade=grade, mass=mass, speed=speed)
    return grade * 1e-3 / speed * mass


def permissible_per_plane(*, whole: float, to_front: float, to_rear: float) -> tuple[float, float]:
    """Permissible residual unbalance at the front and the rear bearing plane.

    Args:
        whole: permissible residual unbalance [kg m].
        to_front: centre of mass to the front plane [m].
        to_rear: centre of mass to the rear plane [m].

    Returns:
        That of the front and of the rear plane [kg m].

    Raises:
        OutOfRange: if one of them is not above 0.

    Validity: centre of mass between the planes.
    Source: [ISO21940-11] allocation to the tolerance planes, from memory.
    """
    positive(whole=whole, to_front=to_front, to_rear=to_rear)
    return whole * to_rear / (to_front + to_rear), whole * to_front / (to_front + to_rear)
