"""Loads over the cycle: what each rod does to its crankpin, the turning moment, and what reaches the main bearings.

Directions as in `balance`: complex vectors in the plane square to the crank, real part up, imaginary part towards the
side to which the top of the crank moves; angles in the direction in which the crank turns.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tenths.calc import motion
from tenths.calc._check import positive
from tenths.calc.balance import Cylinders
from tenths.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True)
class CylinderForces:
    """Forces in one cylinder: along its axis away from the crank, across it away from the thrust side.

    Attributes:
        side: of the piston on the thrust side of the wall [N]; negative on the other side.
        pin_along: of the rod on the crankpin, along the cylinder axis [N].
        pin_across: of the rod on the crankpin, across the cylinder axis [N].
        torque: on the crank, in its direction of turning [N m].
    """

    side: NDArray[np.float64]
    pin_along: NDArray[np.float64]
    pin_across: NDArray[np.float64]
    torque: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Leverage:
    """What a unit gas force and a unit of speed squared do in one cylinder, at each angle."""

    gas: NDArray[np.complex128]  # on the pin: along + 1j across, per newton towards the crank
    inertia: NDArray[np.complex128]  # the same per (rad/s)^2
    gas_side: NDArray[np.float64]
    inertia_side: NDArray[np.float64]
    crank: NDArray[np.complex128]  # crankpin: along + 1j across [m]


def _leverage(
    own: NDArray[np.float64],
    *,
    stroke: float,
    rod_length: float,
    pin_offset: float,
    reciprocating: NDArray[np.float64] | float,
    rotating: NDArray[np.float64] | float,
    spare_inertia: float,
) -> _Leverage:
    radius = stroke / 2
    crank = radius * np.cos(own) + 1j * (radius * np.sin(own))
    across = crank.imag + pin_offset
    along = np.sqrt(rod_length**2 - across * across)
    lean = across / along
    acceleration = motion.piston_acceleration(own, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    # second derivative of asin(across / rod_length): what the rod's left-over inertia works against
    swing = -crank.imag / along + across * crank.real**2 / along**3
    twist = spare_inertia * swing / along
    inertia_side = -reciprocating * acceleration * lean - twist
    inertia = reciprocating * acceleration + 1j * inertia_side + rotating * crank
    gas = np.asarray(-1.0 + 1j * lean, dtype=np.complex128)
    return _Leverage(gas, inertia, lean, inertia_side, crank)


def cylinder_forces(
    angle: NDArray[np.float64],
    gas_force: NDArray[np.float64],
    *,
    stroke: float,
    rod_length: float,
    speed: float,
    reciprocating: float,
    rotating: float,
    spare_inertia: float = 0.0,
    pin_offset: float = 0.0,
) -> CylinderForces:
    """Forces on wall and crankpin of one cylinder.

    Args:
        angle: of the crank from top dead centre [rad], any shape.
        gas_force: on the piston towards the crank, cylinder less crankcase pressure times area [N], same shape.
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        speed: of the crank, steady [rad/s].
        reciprocating: piston, pin, rings, locks and the rod's small-end mass [kg].
        rotating: the rod's big-end mass [kg].
        spare_inertia: of the true rod less that of its two masses, as from rod_ends [kg m2].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        Forces [N] and torque [N m], shape of the angle.

    Raises:
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: stiff parts, steady speed, no friction, weight of the parts left out.
    Source: equilibrium of piston and rod as free bodies; the rod's full inertia by two masses and a left-over couple
        as in [Bevan], chapter on inertia forces.
    """
    lever = _leverage(
        np.asarray(angle, dtype=float),
        stroke=stroke,
        rod_length=rod_length,
        pin_offset=pin_offset,
        reciprocating=reciprocating,
        rotating=rotating,
        spare_inertia=spare_inertia,
    )
    pin = gas_force * lever.gas + speed * speed * lever.inertia
    side = gas_force * lever.gas_side + speed * speed * lever.inertia_side
    return CylinderForces(side, pin.real, pin.imag, (lever.crank.conj() * pin).imag)


@dataclass(frozen=True, slots=True)
class EngineLoads:
    """Loads of a whole engine over a cycle, at several speeds.

    Attributes:
        angles: of the crank, one per column [rad].
        speeds: of the crank, one per layer [rad/s].
        rods: of each rod on its crankpin [N]: speed x cylinder x angle, complex, seen from the engine.
        torque: on the crank by all rods [N m]: speed x angle.
    """

    angles: NDArray[np.float64]
    speeds: NDArray[np.float64]
    rods: NDArray[np.complex128]
    torque: NDArray[np.float64]


def engine_loads(
    cylinders: Cylinders,
    pressure: NDArray[np.float64],
    *,
    speeds: Sequence[float],
    firing_angles: Sequence[float],
    bore: float,
    stroke: float,
    rod_length: float,
    spare_inertia: float = 0.0,
    pin_offset: float = 0.0,
    crankcase_pressure: float = 101325.0,
) -> EngineLoads:
    """Rod loads and turning moment of all cylinders over a four-stroke cycle.

    Args:
        cylinders: the layout with its masses.
        pressure: absolute, over two turns from firing top dead centre in even steps, end left out [Pa]: speed x angle
            where all cylinders are alike, speed x cylinder x angle where each has its own.
        speeds: of the crank [rad/s], one per layer of the pressure.
        firing_angles: crank angle of each cylinder's firing top dead centre [rad].
        bore: of the cylinders [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        spare_inertia: of one true rod less that of its two masses [kg m2].
        pin_offset: of the piston pins, towards the thrust side + [m].
        crankcase_pressure: absolute [Pa].

    Returns:
        Loads [N] and torque [N m] at the angles of the pressure.

    Raises:
        BadInput: if the pressure has another shape, or firing angles are not one per cylinder and each at one of its
            own dead centres.
        OutOfRange: if a size is not above 0 or the rod too short for the crank to turn.

    Validity: as cylinder_forces; all bores, strokes and rods alike, masses each its own.
    Source: as cylinder_forces, turned into each cylinder's direction and moment of the cycle.
    """
    positive(bore=bore)
    given = np.asarray(pressure, dtype=float)
    fires = np.asarray(firing_angles, dtype=float)
    turning = np.asarray(speeds, dtype=float)
    _check_cycle(cylinders, given, fires, turning)
    steps = given.shape[-1]
    angles = np.linspace(0.0, 2 * math.tau, steps, endpoint=False)
    lever = _leverage(
        angles - fires[:, None],
        stroke=stroke,
        rod_length=rod_length,
        pin_offset=pin_offset,
        reciprocating=np.asarray(cylinders.reciprocating)[:, None],
        rotating=np.asarray(cylinders.rotating or [0.0] * len(fires))[:, None],
        spare_inertia=spare_inertia,
    )
    direction = np.exp(1j * np.asarray(cylinders.bank_angles))[:, None]
    gas = (_at_own_moment(given, fires) - crankcase_pressure) * (math.pi / 4 * bore * bore)
    squared = turning * turning
    rods = gas * (lever.gas * direction)
    rods += squared[:, None, None] * (lever.inertia * direction)
    gas_arm = (lever.crank.conj() * lever.gas).imag
    inertia_torque = (lever.crank.conj() * lever.inertia).imag.sum(axis=0)
    torque = np.einsum("sca,ca->sa", gas, gas_arm) + squared[:, None] * inertia_torque
    return EngineLoads(angles, turning, rods, torque)


def _check_cycle(
    cylinders: Cylinders, pressure: NDArray[np.float64], fires: NDArray[np.float64], speeds: NDArray[np.float64]
) -> None:
    count = len(cylinders.positions)
    if pressure.shape[:-1] not in {(len(speeds),), (len(speeds), count)} or pressure.shape[-1] < 8:
        raise BadInput(
            f"pressure has shape {pressure.shape}: {len(speeds)} speed(s), then {count} cylinders or none, then 8 angles "
            "or more are needed"
        )
    if len(fires) != count:
        raise BadInput(f"firing_angles are {len(fires)}: one for each of {count} cylinders is needed")
    for number, (bank, throw, fire) in enumerate(zip(cylinders.bank_angles, cylinders.throw_angles, fires, strict=True), 1):
        off = math.remainder(float(fire) + throw - bank, math.tau)
        if abs(off) > math.radians(0.5):
            raise BadInput(f"firing_angles: cylinder {number} in line fires {math.degrees(off):.1f} degrees off its dead centre")


def _at_own_moment(pressure: NDArray[np.float64], fires: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pressure of each cylinder at the crank's angles: speed x cylinder x angle, straight lines between the samples."""
    steps = pressure.shape[-1]
    behind = np.remainder(fires * (steps / (2 * math.tau)), steps)
    whole = np.floor(behind + 1e-9)
    part = np.maximum(behind - whole, 0.0)
    moved = np.empty((pressure.shape[0], len(fires), steps))
    for cylinder, (shift, share) in enumerate(zip(whole.astype(int), part, strict=True)):
        own = pressure if pressure.ndim == 2 else pressure[:, cylinder]
        rolled = np.roll(own, int(shift), axis=1)
        if share > 1e-9:
            rolled = (1.0 - share) * rolled + share * np.roll(rolled, 1, axis=1)
        moved[:, cylinder] = rolled
    return moved


def seen_from_crank(
    forces: NDArray[np.complex128], angles: NDArray[np.float64], *, throw_angle: float = 0.0
) -> NDArray[np.complex128]:
    """Forces as one sees them who turns with a throw: for polar diagrams, wear and the crank's own bending.

    Args:
        forces: complex, seen from the engine [N], last axis over the angles.
        angles: of the crank [rad].
        throw_angle: of the throw from straight up with the crank at zero [rad].

    Returns:
        The forces [N]: real part away from the crank axis, imaginary part ahead, square to it.

    Raises:
        BadInput: if the angles do not fit the forces.

    Validity: any.
    Source: turned frame.
    """
    if np.shape(forces)[-1:] != np.shape(angles):
        raise BadInput(f"angles have shape {np.shape(angles)}: one for each step of the forces is needed")
    return np.asarray(forces) * np.exp(-1j * (np.asarray(angles) + throw_angle))


def seen_from_rod(
    forces: NDArray[np.complex128],
    own_angles: NDArray[np.float64],
    *,
    bank_angle: float,
    stroke: float,
    rod_length: float,
    pin_offset: float = 0.0,
) -> NDArray[np.complex128]:
    """Forces as one sees them who sits on the rod: for the load on shells, cap and bolts.

    Args:
        forces: complex, seen from the engine [N], last axis over the angles.
        own_angles: of the crank from the cylinder's own top dead centre [rad].
        bank_angle: of the cylinder's axis from straight up [rad].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The forces [N]: real part towards the small end, imaginary part square to it, ahead.

    Raises:
        BadInput: if the angles do not fit the forces.
        OutOfRange: if the rod is too short for the crank to turn.

    Validity: any.
    Source: turned frame.
    """
    if np.shape(forces)[-1:] != np.shape(own_angles):
        raise BadInput(f"own_angles have shape {np.shape(own_angles)}: one for each step of the forces is needed")
    lean = motion.rod_angle(np.asarray(own_angles), stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    return np.asarray(forces) * np.exp(1j * (lean - bank_angle))


def main_loads(
    loads: EngineLoads,
    shares: NDArray[np.float64],
    *,
    unbalances: Sequence[complex] = (),
    unbalance_shares: NDArray[np.float64] | None = None,
) -> NDArray[np.complex128]:
    """Loads of the crank on its main bearings.

    Args:
        loads: of the rods.
        shares: of each rod's load at each main [-], from static_shares or elastic_shares: main x cylinder.
        unbalances: of the crank's own throws and counterweights, mass x radius, with the crank at zero [kg m].
        unbalance_shares: the same shares for the places of the unbalances [-]: main x unbalance.

    Returns:
        The loads [N]: speed x main x angle, complex, seen from the engine.

    Raises:
        BadInput: if the shares do not fit the cylinders or the unbalances.

    Validity: as the shares; weight of the crank and pull of belt or chain left out.
    Source: superposition.
    """
    layers, cylinders, steps = loads.rods.shape
    if shares.ndim != 2 or shares.shape[1] != cylinders:
        raise BadInput(f"shares have shape {shares.shape}: mains x {cylinders} cylinders is needed")
    # shares are real: both parts of the complex loads go through one real product
    parts = np.ascontiguousarray(loads.rods).view(np.float64)
    found = np.matmul(shares, parts.reshape(layers, cylinders, 2 * steps)).view(np.complex128)
    if unbalances:
        if unbalance_shares is None or unbalance_shares.shape != (shares.shape[0], len(unbalances)):
            raise BadInput(f"unbalance_shares: {shares.shape[0]} mains x {len(unbalances)} unbalances are needed")
        turning = (unbalance_shares @ np.asarray(unbalances))[:, None] * np.exp(1j * loads.angles)
        found += (loads.speeds**2)[:, None, None] * turning
    return found


@dataclass(frozen=True, slots=True)
class TurningMoment:
    """How evenly an engine turns.

    Attributes:
        mean: torque [N m].
        largest: torque [N m].
        smallest: torque [N m].
        swing: energy that a flywheel takes up and gives back [J].
    """

    mean: float
    largest: float
    smallest: float
    swing: float


def turning_moment(torque: NDArray[np.float64]) -> TurningMoment:
    """Mean, extremes and energy swing of a torque over its cycle.

    Args:
        torque: over two turns in even steps, end left out [N m].

    Returns:
        Torques [N m] and energy [J].

    Raises:
        BadInput: unless there are 8 steps or more in one row.

    Validity: one speed; load torque steady.
    Source: [Bevan], chapter on turning moment; sum by the trapezoidal rule.
    """
    given = np.asarray(torque, dtype=float)
    if given.ndim != 1 or len(given) < 8:
        raise BadInput(f"torque has shape {given.shape}: one row of 8 steps or more is needed")
    mean = float(given.mean())
    rest = given - mean
    energy = np.cumsum((rest + np.roll(rest, -1)) / 2) * (2 * math.tau / len(given))
    return TurningMoment(mean, float(given.max()), float(given.min()), float(energy.max() - energy.min()))


def flywheel_inertia(*, swing: float, speed: float, irregularity: float) -> float:
    """Inertia that keeps the speed even.

    Args:
        swing: of the energy over a cycle [J].
        speed: mean, of the crank [rad/s].
        irregularity: largest less smallest over mean speed [-].

    Returns:
        The inertia of all that turns [kg m2].

    Raises:
        OutOfRange: if one of them is not above 0, or the irregularity above 0.2.

    Validity: small irregularity; stiff crank.
    Source: [Bevan], chapter on turning moment: swing = J w^2 x irregularity.
    """
    positive(swing=swing, speed=speed, irregularity=irregularity)
    if irregularity > 0.2:
        raise OutOfRange(f"irregularity is {irregularity:g}: up to 0.2 is accepted")
    return swing / (speed * speed * irregularity)
