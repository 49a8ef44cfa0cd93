"""Valve springs: rate from the wire, load at a height, stress, room before the coils bind, how the wire itself swings.

A spring is described either by its wire (round, coiled evenly, closed ends) or by loads at heights, as a tester reads
them; the second way serves springs whose rate changes as they close, such as those that taper to the top.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Literal

from tenths.calc._check import finite, not_negative, positive, within
from tenths.errors import BadInput

Ends = Literal["both held", "one held"]
STEEL_SHEAR = 79.3e9  # [Pa]
STEEL_DENSITY = 7850.0  # [kg/m3]
STEEL_TENSION = 206.8e9  # [Pa]
# Tensile strength A / d^m, wire d in mm and A in MPa mm^m, with the range of d [mm]: from memory of the textbook's table.
WIRES = MappingProxyType({
    "music": (2211.0, 0.145, 0.10, 6.5), "oil-tempered": (1855.0, 0.187, 0.5, 12.7), "chrome-vanadium": (2005.0, 0.168, 0.8, 11.1),
    "chrome-silicon": (1974.0, 0.108, 1.6, 9.5),
})  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Coil:
    """One spring of round wire, coiled evenly.

    Attributes:
        wire: diameter of the wire [m].
        mean_diameter: of the coil, middle of wire to middle of wire [m].
        active: coils that give [-].
        total: coils in all, with the closed ends [-].
        shear_modulus: of the wire [Pa].
        density: of the wire [kg/m3].
    """

    wire: float
    mean_diameter: float
    active: float
    total: float = 0.0
    shear_modulus: float = STEEL_SHEAR
    density: float = STEEL_DENSITY

    def __post_init__(self) -> None:
        positive(wire=self.wire, active=self.active, shear_modulus=self.shear_modulus, density=self.density)
        within(1.5 * self.wire, 50.0 * self.wire, mean_diameter=self.mean_diameter)
        not_negative(total=self.total)


@dataclass(frozen=True, slots=True)
class Curve:
    """Loads of a spring at heights, as a tester reads them; between them straight, beyond them the nearest piece goes on.

    Attributes:
        heights: rising [m], two or more.
        loads: at these heights, falling [N].
    """

    heights: tuple[float, ...]
    loads: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.heights) < 2 or len(self.heights) != len(self.loads):
            raise BadInput(f"heights has {len(self.heights)}, loads {len(self.loads)}: as many, and two or more, are needed")
        if any(low >= high for low, high in pairwise(self.heights)) or any(a <= b for a, b in pairwise(self.loads)):
            raise BadInput("heights and loads: heights must rise and loads fall, without two alike")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A straight line through tester readings.

    Attributes:
        rate: force over shortening [N/m].
        rate_error: its standard error [N/m].
        free: height at which the line comes to no load [m].
        free_error: its standard error [m].
        scatter: standard deviation of the readings about the line [N]; 0 for two.
    """

    rate: float
    rate_error: float
    free: float
    free_error: float
    scatter: float


def rate(of: Coil) -> float:
    """Rate of a spring from its wire.

    Args:
        of: the spring.

    Returns:
        Force over shortening [N/m].

    Raises:
        OutOfRange: by the record, for sizes that cannot be.

    Validity: round wire, even pitch, small lead of the coils.
    Source: [Shigley] chapter 10, k = G d^4 / (8 D^3 N).
    """
    return of.shear_modulus * of.wire**4 / (8.0 * of.mean_diameter**3 * of.active)


def active_mass(of: Coil) -> float:
    """Mass of the coils that give.

    Args:
        of: the spring.

    Returns:
        The mass [kg].

    Raises:
        OutOfRange: by the record, for sizes that cannot be.

    Validity: small lead of the coils.
    Source: closed form, wire of pi D N length.
    """
    return math.pi**2 / 4.0 * of.wire**2 * of.mean_diameter * of.active * of.density


def shear_factor(index: float) -> float:
    """Factor on the stress of plain twist for the direct shear alone.

    Args:
        index: mean diameter over wire [-].

    Returns:
        The factor [-].

    Raises:
        OutOfRange: for an index outside of 1.5 to 50.

    Validity: steady load, curvature left out.
    Source: [Shigley] chapter 10, 1 + 1 / (2 C).
    """
    within(1.5, 50.0, index=index)
    return 1.0 + 0.5 / index


def wahl_factor(index: float) -> float:
    """Factor on the stress of plain twist for curvature and direct shear, after Wahl.

    Args:
        index: mean diameter over wire [-].

    Returns:
        The factor [-].

    Raises:
        OutOfRange: for an index outside of 1.5 to 50.

    Validity: round wire.
    Source: [Shigley] chapter 10, (4 C - 1) / (4 C - 4) + 0.615 / C.
    """
    within(1.5, 50.0, index=index)
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def bergstraesser_factor(index: float) -> float:
    """Factor on the stress of plain twist for curvature and direct shear, after Bergstraesser.

    Args:
        index: mean diameter over wire [-].

    Returns:
        The factor [-].

    Raises:
        OutOfRange: for an index outside of 1.5 to 50.

    Validity: round wire; within a per cent of Wahl's.
    Source: [Shigley] chapter 10, (4 C + 2) / (4 C - 3).
    """
    within(1.5, 50.0, index=index)
    return (4.0 * index + 2.0) / (4.0 * index - 3.0)


def stress(of: Coil, *, force: float, factor: float | None = None) -> float:
    """Largest shear stress in the wire.

    Args:
        of: the spring.
        force: on it [N].
        factor: on the stress of plain twist [-]; Wahl's when left out.

    Returns:
        The stress [Pa].

    Raises:
        OutOfRange: for a negative force or factor.

    Validity: round wire, elastic; residual stress of shot and setting left out.
    Source: [Shigley] chapter 10, K 8 F D / (pi d^3).
    """
    of_curve = wahl_factor(of.mean_diameter / of.wire) if factor is None else factor
    not_negative(force=force, factor=of_curve)
    return of_curve * 8.0 * force * of.mean_diameter / (math.pi * of.wire**3)


def tensile_strength(kind: str, *, wire: float) -> float:
    """Tensile strength of spring wire, which falls as the wire gets thicker.

    Args:
        kind: music, oil-tempered, chrome-vanadium or chrome-silicon.
        wire: its diameter [m].

    Returns:
        The strength [Pa].

    Raises:
        BadInput: for another kind.
        OutOfRange: for a diameter outside of the table's range.

    Validity: least of the standard, cold-drawn to its size; what a maker has done to his own wire is not in it.
    Source: [Shigley] table 10-4, A / d^m; from memory.
    """
    if kind not in WIRES:
        raise BadInput(f"kind: {kind!r} is not one of {', '.join(WIRES)}")
    a, m, low, high = WIRES[kind]
    within(low * 1e-3, high * 1e-3, wire=wire)
    return a * 1e6 / (wire * 1e3) ** m


def force_at_stress(of: Coil, *, allowed: float, factor: float | None = None) -> float:
    """Force at which the wire comes to a stress.

    Args:
        of: the spring.
        allowed: the stress [Pa].
        factor: on the stress of plain twist [-]; Wahl's when left out.

    Returns:
        The force [N].

    Raises:
        OutOfRange: for a stress that is not above 0.

    Validity: as stress.
    Source: [Shigley] chapter 10, pi d^3 S / (8 K D).
    """
    positive(allowed=allowed)
    return allowed / stress(of, force=1.0, factor=factor)


def solid_height(of: Coil) -> float:
    """Height with the coils bound, ends closed and not ground.

    Args:
        of: the spring, with its total coils.

    Returns:
        The height [m].

    Raises:
        OutOfRange: where the total coils are not given.

    Validity: squared ends; where they are ground too, one wire less.
    Source: [Shigley] table 10-1, (N + 1) d.
    """
    positive(total=of.total)
    return (of.total + 1.0) * of.wire


def surge_frequencies(*, rate: float, mass: float, modes: int = 3, ends: Ends = "both held") -> tuple[float, ...]:
    """Frequencies at which the coils of a spring swing by themselves.

    Args:
        rate: of the spring [N/m].
        mass: of the coils that give [kg].
        modes: how many.
        ends: both held, as on seat and retainer; one held where the other end floats.

    Returns:
        Frequencies, lowest first [Hz].

    Raises:
        OutOfRange: for a rate or mass that is not above 0.

    Validity: even coil; a damper, an inner spring that rubs, or a rate that changes spread and lessen them.
    Source: [Shigley] chapter 10, sqrt(k/m) times n/2, or (2 n - 1)/4.
    """
    positive(rate=rate, mass=mass)
    base = math.sqrt(rate / mass)
    return tuple(base * (n / 2.0 if ends == "both held" else (2 * n - 1) / 4.0) for n in range(1, modes + 1))


def resonant_speeds(*, frequency: float, harmonics: Sequence[int]) -> tuple[float, ...]:
    """Crank speeds at which a harmonic of the lobe meets a frequency of the spring.

    Args:
        frequency: of the spring [Hz].
        harmonics: numbers of the lobe's harmonics, one for each turn of the cam.

    Returns:
        Crank speeds [rad/s], in the order of the harmonics.

    Raises:
        OutOfRange: for a frequency or harmonic that is not above 0.

    Validity: four-stroke, the cam at half the speed of the crank.
    Source: definition.
    """
    positive(frequency=frequency)
    if any(n < 1 for n in harmonics):
        positive(harmonic=float(min(harmonics)))
    return tuple(2.0 * math.tau * frequency / n for n in harmonics)


def critical_length(of: Coil, *, ends: float = 0.5, tension_modulus: float = STEEL_TENSION) -> float:
    """Free length above which a spring can buckle.

    Args:
        of: the spring.
        ends: 0.5 between flat parallel seats, 0.707 one seat hinged, 1 both hinged, 2 one end free [-].
        tension_modulus: of the wire [Pa].

    Returns:
        The length [m]; below it the spring stands under any load.

    Raises:
        OutOfRange: for ends outside of 0.5 to 2, or a modulus in tension below that in shear.

    Validity: not guided by a seat, cup or stem.
    Source: [Shigley] Eq. 10-12, pi D / a sqrt(2 (E - G) / (2 G + E)).
    """
    within(0.5, 2.0, ends=ends)
    shear = of.shear_modulus
    within(1.000001 * shear, 10.0 * shear, tension_modulus=tension_modulus)
    return math.pi * of.mean_diameter / ends * math.sqrt(2.0 * (tension_modulus - shear) / (2.0 * shear + tension_modulus))


def load_at(*, rate: float, free: float, height: float) -> float:
    """Load of a spring of one rate at a height.

    Args:
        rate: of the spring [N/m].
        free: height without load [m].
        height: at which the load is wanted [m].

    Returns:
        The load [N]; 0 where the height is above the free one.

    Raises:
        OutOfRange: for a rate or height that is not above 0.

    Validity: coils not bound.
    Source: Hooke's law.
    """
    positive(rate=rate, free=free, height=height)
    return rate * max(free - height, 0.0)


def curve_load(of: Curve, height: float) -> float:
    """Load of a spring at a height, from loads read at others.

    Args:
        of: the readings.
        height: at which the load is wanted [m].

    Returns:
        The load [N], not below 0.

    Raises:
        OutOfRange: for a height that is not above 0.

    Validity: straight between readings; beyond them the outermost piece goes on.
    Source: straight interpolation.
    """
    positive(height=height)
    k = _piece(of, height)
    return max(of.loads[k] - curve_rate(of, height) * (height - of.heights[k]), 0.0)


def curve_rate(of: Curve, height: float) -> float:
    """Rate of a spring at a height, from loads read at others.

    Args:
        of: the readings.
        height: at which the rate is wanted [m].

    Returns:
        Force over shortening between the readings on either side [N/m].

    Raises:
        OutOfRange: for a height that is not above 0.

    Validity: as curve_load.
    Source: straight interpolation.
    """
    positive(height=height)
    k = _piece(of, height)
    return (of.loads[k] - of.loads[k + 1]) / (of.heights[k + 1] - of.heights[k])


def _piece(of: Curve, height: float) -> int:
    """Number of the piece that a height lies in."""
    return min(max(bisect_left(of.heights, height) - 1, 0), len(of.heights) - 2)


def together(first: Curve, second: Curve, *, step: float = 0.0) -> Curve:
    """Two springs, one in the other, as one.

    Args:
        first: the outer, against its own height.
        second: the inner, against its own height.
        step: how much lower the seat or higher the retainer makes the first spring than the second [m].

    Returns:
        Loads added, against the height of the first.

    Raises:
        OutOfRange: for a step that is no number.

    Validity: without rubbing between them, which adds some damping and some load on the way up.
    Source: sum of forces.
    """
    finite(step=step)
    heights = sorted({*first.heights, *(h + step for h in second.heights)})
    kept = [h for h in heights if h > 0.0 and h - step > 0.0]
    return Curve(tuple(kept), tuple(curve_load(first, h) + curve_load(second, h - step) for h in kept))


def fitted(heights: Sequence[float], loads: Sequence[float]) -> Fitted:
    """Rate and free height from tester readings, by least squares.

    Args:
        heights: at which the tester was read [m], two or more unlike ones.
        loads: read there [N].

    Returns:
        Rate and free height with standard errors from the scatter of the readings (0 for two readings).

    Raises:
        BadInput: with fewer than two readings, or all at one height, or loads that grow with height.

    Validity: a spring of one rate; the tester's own error is not in it.
    Source: straight line by least squares; errors by [JCGM100] H.3.
    """
    count = len(heights)
    if count < 2 or count != len(loads) or max(heights) - min(heights) < 1e-6:
        raise BadInput(f"heights has {count}, loads {len(loads)}: as many, two or more, at unlike heights, are needed")
    middle, mean = sum(heights) / count, sum(loads) / count
    spread = sum((h - middle) ** 2 for h in heights)
    slope = sum((h - middle) * (f - mean) for h, f in zip(heights, loads, strict=True)) / spread
    if slope >= 0.0:
        raise BadInput("loads: they must grow as the spring gets shorter")
    left = sum((f - mean - slope * (h - middle)) ** 2 for h, f in zip(heights, loads, strict=True))
    scatter = math.sqrt(left / (count - 2)) if count > 2 else 0.0
    free = middle - mean / slope
    return Fitted(
        rate=-slope,
        rate_error=scatter / math.sqrt(spread),
        free=free,
        free_error=scatter / -slope * math.sqrt(1.0 / count + (free - middle) ** 2 / spread),
        scatter=scatter,
    )


def bind_margin(*, installed: float, lift: float, bound: float) -> float:
    """Room left before the coils bind at full lift.

    Args:
        installed: height with the valve closed [m].
        lift: greatest, at the valve [m].
        bound: height with the coils bound [m].

    Returns:
        The room [m]; below 0 the coils bind before full lift.

    Raises:
        OutOfRange: for a number that is none.

    Validity: as measured, spring standing square.
    Source: definition.
    """
    finite(installed=installed, lift=lift, bound=bound)
    return installed - lift - bound
