"""Torsional vibration of the crank: a chain of discs and springs, its modes, critical speeds and forced swing.

Inertias and stiffnesses come from `crank`, or typed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive
from tenths.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True)
class Chain:
    """Discs in a row with springs between them.

    Attributes:
        inertias: of each disc [kg m2], front to back.
        stiffnesses: of the spring from each disc to the next [N m/rad], one fewer.
        damping: of each disc against the world [N m s/rad]; none if empty.
        shaft_damping: of each spring, between its discs [N m s/rad]; none if empty.
    """

    inertias: Sequence[float]
    stiffnesses: Sequence[float]
    damping: Sequence[float] = ()
    shaft_damping: Sequence[float] = ()

    def __post_init__(self) -> None:
        """Refuse chains that do not hold together."""
        discs = len(self.inertias)
        if discs < 2 or len(self.stiffnesses) != discs - 1:
            raise BadInput(f"chain: {discs} discs and {len(self.stiffnesses)} springs; two discs or more, one spring less")
        if len(self.damping) not in {0, discs} or len(self.shaft_damping) not in {0, discs - 1}:
            raise BadInput("chain: damping is one per disc, shaft_damping one per spring, or none")
        for inertia in self.inertias:
            positive(inertias=inertia)
        for stiffness in self.stiffnesses:
            positive(stiffnesses=stiffness)
        for value in (*self.damping, *self.shaft_damping):
            not_negative(damping=value)


@dataclass(frozen=True, slots=True)
class Modes:
    """Natural vibrations of a chain without damping, the free turning first.

    Attributes:
        frequencies: natural angular frequencies, rising [rad/s].
        shapes: swing of each disc, the first disc 1 where it moves [-]: mode x disc.
    """

    frequencies: NDArray[np.float64]
    shapes: NDArray[np.float64]


def modes(chain: Chain) -> Modes:
    """Natural frequencies and shapes.

    Args:
        chain: of discs and springs; damping is left out.

    Returns:
        Frequencies [rad/s] and shapes [-].

    Raises:
        BadInput: from the chain itself.

    Validity: elastic, constant inertias.
    Source: eigenvalues of the symmetric tridiagonal matrix; [Thomson], chapter on lumped systems.
    """
    roots = np.sqrt(np.asarray(chain.inertias, dtype=np.float64))
    values, vectors = np.linalg.eigh(_tridiagonal(chain.stiffnesses) / np.outer(roots, roots))
    shapes = (vectors / roots[:, None]).T
    first = shapes[:, :1]
    moves = np.abs(first) > 1e-9 * np.abs(shapes).max(axis=1, keepdims=True)
    shapes = shapes / np.where(moves, first, np.abs(shapes).max(axis=1, keepdims=True))
    frequencies = np.sqrt(np.maximum(values, 0.0))
    frequencies[0] = 0.0  # a free chain turns as a whole; what is left there is rounding
    return Modes(frequencies, shapes)


def _tridiagonal(springs: Sequence[float]) -> NDArray[np.float64]:
    """What springs (or dashpots) between neighbours make of the discs' angles."""
    k = np.asarray(springs, dtype=np.float64)
    matrix = np.diag(np.concatenate((k, [0.0])) + np.concatenate(([0.0], k)))
    return matrix - np.diag(k, 1) - np.diag(k, -1)


@dataclass(frozen=True, slots=True)
class Harmonics:
    """Torque of one cylinder as a sum of sines.

    Attributes:
        orders: vibrations per turn [-]: halves for a four-stroke.
        amplitudes: complex, Re(amplitude exp(i order angle)) with the angle from firing top dead centre [N m].
    """

    orders: NDArray[np.float64]
    amplitudes: NDArray[np.complex128]


def torque_harmonics(torque: NDArray[np.float64], *, highest: float = 12.0) -> Harmonics:
    """Orders of a cylinder's torque over a four-stroke cycle.

    Args:
        torque: of one cylinder over two turns from firing top dead centre in even steps, end left out [N m].
        highest: order wanted [-].

    Returns:
        Amplitudes [N m] of the orders 0.5, 1, 1.5 and so on.

    Raises:
        BadInput: if the steps are too few for the highest order.

    Validity: at least 8 steps in each vibration of the highest order.
    Source: discrete Fourier transform.
    """
    given = np.asarray(torque, dtype=np.float64)
    count = round(2 * highest)
    if given.ndim != 1 or count < 1 or len(given) < 8 * count:
        raise BadInput(f"torque has shape {given.shape}: one row of {8 * count} steps or more is needed for {highest:g}")
    spectrum = np.fft.rfft(given)[1 : count + 1] * (2.0 / len(given))
    return Harmonics(np.arange(1, count + 1) / 2, spectrum)


@dataclass(frozen=True, slots=True)
class CriticalSpeed:
    """A speed at which an order meets a natural frequency.

    Attributes:
        speed: of the crank [rad/s].
        order: vibrations per turn [-].
        mode: number, 1 for the first that twists [-].
        strength: sum of the cylinders' pulls on the mode's shape, each one's phase counted, over the number of
            cylinders [-]; how much of the order adds up.
    """

    speed: float
    order: float
    mode: int
    strength: float


def critical_speeds(
    found: Modes,
    *,
    cylinder_discs: Sequence[int],
    firing_angles: Sequence[float],
    orders: Sequence[float],
    lowest: float,
    highest: float,
) -> tuple[CriticalSpeed, ...]:
    """Critical speeds in a range, with how strongly the firing order drives each.

    Args:
        found: the modes.
        cylinder_discs: index of the disc that each cylinder drives [-].
        firing_angles: of each cylinder [rad].
        orders: to be looked at [-].
        lowest: speed of the range [rad/s].
        highest: speed of the range [rad/s].

    Returns:
        The critical speeds [rad/s], strongest first.

    Raises:
        BadInput: if there is not one firing angle per cylinder.
        OutOfRange: unless 0 < lowest < highest and the orders are above 0.

    Validity: light damping.
    Source: [KerWilson] phase-vector sums, from memory.
    """
    if len(cylinder_discs) != len(firing_angles) or not cylinder_discs:
        raise BadInput(f"firing_angles are {len(firing_angles)}: one for each of {len(cylinder_discs)} cylinders")
    positive(lowest=lowest, highest=highest)
    if lowest >= highest:
        raise OutOfRange(f"lowest is {lowest:g}: less than highest, {highest:g} rad/s, is needed")
    discs, angles = np.asarray(cylinder_discs), np.asarray(firing_angles, dtype=np.float64)
    met: list[CriticalSpeed] = []
    for order in orders:
        positive(orders=order)
        phases = np.exp(-1j * order * angles)
        for mode, (frequency, shape) in enumerate(zip(found.frequencies, found.shapes, strict=True)):
            speed = float(frequency) / order
            if mode > 0 and lowest <= speed <= highest:
                pull = complex(np.sum(shape[discs] * phases))
                met.append(CriticalSpeed(speed, order, mode, abs(pull) / len(discs)))
    return tuple(sorted(met, key=lambda one: -one.strength))


@dataclass(frozen=True, slots=True)
class ForcedSwing:
    """Steady torsional vibration, order by order, at several speeds.

    Attributes:
        orders: vibrations per turn [-].
        swings: complex amplitude of each disc [rad]: speed x order x disc.
        twists: complex torque in each spring [N m]: speed x order x spring.
    """

    orders: NDArray[np.float64]
    swings: NDArray[np.complex128]
    twists: NDArray[np.complex128]


def forced_swing(
    chain: Chain,
    harmonics: Sequence[Harmonics],
    *,
    cylinder_discs: Sequence[int],
    firing_angles: Sequence[float],
    speeds: Sequence[float],
) -> ForcedSwing:
    """Vibration that the cylinders' torques force on the chain.

    Args:
        chain: with its damping.
        harmonics: of one cylinder's torque, one for each speed.
        cylinder_discs: index of the disc that each cylinder drives [-].
        firing_angles: of each cylinder [rad].
        speeds: of the crank [rad/s].

    Returns:
        Swings [rad] and torques in the springs [N m].

    Raises:
        BadInput: if firing angles and cylinders, or harmonics and speeds, are not equally many, or a disc is missing.
        OutOfRange: if a speed is not above 0.

    Validity: linear; all cylinders alike; the mean torque is left out.
    Source: complex dynamic stiffness, [Thomson], chapter on lumped systems.
    """
    if len(cylinder_discs) != len(firing_angles) or len(harmonics) != len(speeds) or not harmonics:
        raise BadInput(
            f"{len(firing_angles)} firing_angles for {len(cylinder_discs)} cylinders, {len(harmonics)} harmonics for "
            f"{len(speeds)} speeds: one of each is needed"
        )
    if not all(0 <= disc < len(chain.inertias) for disc in cylinder_discs):
        raise BadInput(f"cylinder_discs are {list(cylinder_discs)}: the chain has discs 0 to {len(chain.inertias) - 1}")
    for speed in speeds:
        positive(speeds=speed)
    orders = harmonics[0].orders
    frequency = np.outer(np.asarray(speeds, dtype=np.float64), orders)
    pulls = np.zeros((len(orders), len(chain.inertias)), dtype=np.complex128)
    for disc, angle in zip(cylinder_discs, firing_angles, strict=True):
        pulls[:, disc] += np.exp(-1j * orders * angle)
    torques = np.stack([one.amplitudes for one in harmonics])[:, :, None] * pulls
    solved = np.linalg.solve(_dynamic_stiffness(chain, frequency), torques[..., None])
    swings = np.asarray(solved[..., 0], dtype=np.complex128)
    springs = np.asarray(chain.stiffnesses) + 1j * frequency[..., None] * np.asarray(
        chain.shaft_damping or [0.0] * len(chain.stiffnesses)
    )
    return ForcedSwing(orders, swings, springs * np.diff(swings, axis=-1))


def _dynamic_stiffness(chain: Chain, frequency: NDArray[np.float64]) -> NDArray[np.complex128]:
    """K - w^2 J + i w C at each frequency."""
    w = frequency[..., None, None]
    damping = np.diag(np.asarray(chain.damping or [0.0] * len(chain.inertias), dtype=np.float64))
    if chain.shaft_damping:
        damping = damping + _tridiagonal(chain.shaft_damping)
    inertia = np.diag(np.asarray(chain.inertias, dtype=np.float64))
    return np.asarray(_tridiagonal(chain.stiffnesses) - w * w * inertia + 1j * w * damping, dtype=np.complex128)


def peak_of_orders(amplitudes: NDArray[np.complex128], *, orders: NDArray[np.float64]) -> NDArray[np.float64]:
    """Greatest value over a cycle of a sum of orders: of a swing, a twist or a torque.

    Args:
        amplitudes: complex, of any unit, last axis over the orders [-].
        orders: vibrations per turn, whole halves [-].

    Returns:
        The greatest magnitude [-], in the unit of the amplitudes, shape of the amplitudes without their last axis.

    Raises:
        BadInput: if amplitudes and orders do not fit each other.

    Validity: four-stroke; looked for at 32 places or more in each vibration of the highest order.
    Source: sum of the orders over two turns.
    """
    given, at = np.asarray(amplitudes, dtype=np.complex128), np.asarray(orders, dtype=np.float64)
    if given.shape[-1:] != at.shape:
        raise BadInput(f"amplitudes have shape {given.shape}: {at.shape[0]} orders along the last axis are needed")
    angles = np.linspace(0.0, 2 * math.tau, 64 * math.ceil(float(at.max())), endpoint=False)
    turning = np.exp(1j * np.outer(at, angles))
    return np.abs((given @ turning).real).max(axis=-1)


@dataclass(frozen=True, slots=True)
class Damper:
    """A tuned damper: a ring on a spring with a dashpot.

    Attributes:
        inertia: of the ring [kg m2].
        stiffness: of its spring [N m/rad].
        damping: between ring and hub [N m s/rad].
    """

    inertia: float
    stiffness: float
    damping: float


def tuned_damper(*, ring: float, modal_inertia: float, frequency: float) -> Damper:
    """Spring and dashpot that flatten one mode best for a ring of given inertia.

    Args:
        ring: inertia of the ring [kg m2].
        modal_inertia: of the mode, seen at the hub where the damper sits [kg m2].
        frequency: natural angular frequency of the mode without damper [rad/s].

    Returns:
        The damper.

    Raises:
        OutOfRange: if one of them is not above 0, or the ring heavier than the mode.

    Validity: modes well apart, light damping of the rest; rubber brings its own loss, often less than wanted.
    Source: [DenHartog] Eq. for the damped absorber: tuning 1/(1 + m), damping ratio sqrt(3 m / (8 (1 + m)^3)); from
        memory.
    """
    positive(ring=ring, modal_inertia=modal_inertia, frequency=frequency)
    ratio = ring / modal_inertia
    if ratio > 1.0:
        raise OutOfRange(f"ring is {ring:g}: no more than the mode's inertia, {modal_inertia:g} kg m2, is accepted")
    tuned = frequency / (1.0 + ratio)
    damping = math.sqrt(3.0 * ratio / (8.0 * (1.0 + ratio) ** 3))
    # the ratio is to the critical damping of the ring on the undamped mode's frequency
    return Damper(ring, ring * tuned * tuned, 2.0 * ring * frequency * damping)


def modal_inertia(chain: Chain, shape: Sequence[float], *, at: int = 0) -> float:
    """Inertia of a mode as felt at one disc.

    Args:
        chain: of discs and springs.
        shape: of the mode [-], one swing per disc.
        at: index of the disc [-].

    Returns:
        The inertia [kg m2].

    Raises:
        BadInput: if the shape does not fit the chain.
        OutOfRange: if the disc stands still in this mode.

    Validity: any mode.
    Source: kinetic energy of the mode over the square of the disc's swing.
    """
    if len(shape) != len(chain.inertias):
        raise BadInput(f"shape has {len(shape)} swings: one for each of {len(chain.inertias)} discs is needed")
    reference = float(shape[at])
    if abs(reference) < 1e-9 * max(abs(float(s)) for s in shape):
        raise OutOfRange(f"at is {at}: that disc stands still in this mode")
    return math.fsum(j * float(s) ** 2 for j, s in zip(chain.inertias, shape, strict=True)) / reference**2


def with_damper(chain: Chain, damper: Damper) -> Chain:
    """The chain with a damper's ring in front of its first disc.

    Args:
        chain: of discs and springs.
        damper: to hang on the first disc.

    Returns:
        The longer chain; indices of the discs move up by one.

    Raises:
        BadInput: from the chain itself.

    Validity: damper hub counted in the first disc.
    Source: definition.
    """
    return Chain(
        (damper.inertia, *chain.inertias),
        (damper.stiffness, *chain.stiffnesses),
        (0.0, *(chain.damping or [0.0] * len(chain.inertias))),
        (damper.damping, *(chain.shaft_damping or [0.0] * len(chain.stiffnesses))),
    )
