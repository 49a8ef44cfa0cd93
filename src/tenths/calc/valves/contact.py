"""Where lobe and follower touch: radius of the lobe, stress of the contact, film of oil, and what pairs of materials bear.

Contact is elastic and frictionless after Hertz: along a line where the follower is as wide as the lobe, at a point where it
is crowned.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive, within
from tenths.calc.valves.lobes import Lobe
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]
STEEL, POISSON = 206.0e9, 0.30  # [Pa], [-]
IRON = 120.0e9  # grey cast iron [Pa]
PRESSURE_VISCOSITY = 1.7e-8  # of mineral engine oil, warm [1/Pa]; common practice, no source


@dataclass(frozen=True, slots=True)
class Pair:
    """Materials of lobe and follower.

    Attributes:
        name: for a person.
        modulus: effective modulus of both [Pa].
        limit: peak stress that the pair bears for long, well lubricated [Pa].
    """

    name: str
    modulus: float
    limit: float


@dataclass(frozen=True, slots=True)
class Touch:
    """A contact.

    Attributes:
        stress: greatest pressure [Pa].
        half_width: of the contact across the line, or its half axis in the direction of motion [m].
        half_length: its other half axis [m]; half the length of a line.
    """

    stress: float
    half_width: float
    half_length: float


def joint_modulus(*, first: float = STEEL, second: float = STEEL, first_poisson: float = POISSON, second_poisson: float = POISSON) -> float:
    """Effective modulus of two bodies pressed together.

    Args:
        first: modulus of one [Pa].
        second: of the other [Pa].
        first_poisson: ratio of one [-].
        second_poisson: of the other [-].

    Returns:
        The modulus [Pa].

    Raises:
        OutOfRange: for a modulus that is not above 0, or a ratio outside of 0 to 0.5.

    Validity: elastic, alike in all directions.
    Source: [Johnson], chapter 4: 1 / ((1 - n1^2)/E1 + (1 - n2^2)/E2).
    """
    positive(first=first, second=second)
    within(0.0, 0.5, first_poisson=first_poisson, second_poisson=second_poisson)
    return 1.0 / ((1.0 - first_poisson**2) / first + (1.0 - second_poisson**2) / second)


def line_contact(*, force: float, length: float, radius: float, modulus: float) -> Touch:
    """Two cylinders, or one on a flat, along a line.

    Args:
        force: between them [N].
        length: of the line [m].
        radius: effective, 1 / (1/R1 + 1/R2) [m].
        modulus: effective [Pa].

    Returns:
        Greatest pressure [Pa] and half axes [m].

    Raises:
        OutOfRange: for a length, radius or modulus that is not above 0, or a force below 0.

    Validity: contact narrow against the radii, no edges, elastic.
    Source: [Johnson], chapter 4: p0 = sqrt(w E* / (pi R)).
    """
    not_negative(force=force)
    positive(length=length, radius=radius, modulus=modulus)
    per = force / length
    return Touch(math.sqrt(per * modulus / (math.pi * radius)), math.sqrt(4.0 * per * radius / (math.pi * modulus)), length / 2.0)


def point_contact(*, force: float, along: float, across: float, modulus: float) -> Touch:
    """Crowned bodies that touch in a point when they are not pressed.

    Args:
        force: between them [N].
        along: effective radius in the direction of motion [m].
        across: effective radius at right angles to it, that of the crown [m].
        modulus: effective [Pa].

    Returns:
        Greatest pressure [Pa], half axis in the direction of motion and across it [m].

    Raises:
        OutOfRange: for a radius or modulus that is not above 0, a force below 0, or radii more than 1 to 100,000.

    Validity: contact small against the radii and narrower than the lobe, elastic.
    Source: [Johnson], chapter 4, by complete elliptic integrals, without approximating them.
    """
    not_negative(force=force)
    positive(along=along, across=across, modulus=modulus)
    small, large = min(along, across), max(along, across)
    within(1.0, 1e5, ratio_of_radii=large / small)
    special: Any = import_module("scipy.special")  # only a crown needs it
    shape = _slender(large / small, special)  # short half axis over the long one
    square = 1.0 - shape**2
    short_of = float(special.ellipe(square))
    whole = 1.0 / (1.0 / along + 1.0 / across)
    long = (3.0 * force * whole * short_of / (math.pi * modulus * shape**2)) ** (1.0 / 3.0)
    short = shape * long
    stress = 1.5 * force / (math.pi * long * short)
    return Touch(stress, short if along <= across else long, long if along <= across else short)


def _slender(ratio: float, special: Any) -> float:
    """Short half axis over the long one of a contact, from the ratio of its effective radii."""
    if ratio < 1.0 + 1e-9:
        return 1.0
    low, high = 1e-5, 1.0 - 1e-12
    for _ in range(200):
        shape = math.sqrt(low * high)
        square = 1.0 - shape**2
        whole, second = float(special.ellipk(square)), float(special.ellipe(square))
        if (second / shape**2 - whole) / (whole - second) > ratio:
            low = shape
        else:
            high = shape
        if high / low < 1.0 + 1e-14:
            break
    return math.sqrt(low * high)


def effective_radius(lobe: float, follower: float = math.inf) -> float:
    """Effective radius of a lobe and its follower at their contact.

    Args:
        lobe: radius of the lobe there [m]; below 0 where it is hollow.
        follower: radius of roller or pad [m]; infinite for a flat.

    Returns:
        The radius [m].

    Raises:
        OutOfRange: for a hollow lobe that the follower does not fit into, or a radius of 0.

    Validity: radii as they are at the contact.
    Source: [Johnson], 1/R = 1/R1 + 1/R2.
    """
    if lobe == 0.0 or not follower > 0.0:
        raise OutOfRange(f"lobe is {lobe:g} m, follower {follower:g} m: radii that are not 0 are needed, the follower's above 0")
    curvature = 1.0 / lobe + 1.0 / follower
    if not curvature > 0.0:
        raise OutOfRange(f"follower is {follower * 1e3:.4g} mm: it does not fit into the lobe's hollow of {-lobe * 1e3:.4g} mm")
    return 1.0 / curvature


def film_ratio_of(film: float, *, lobe: float, follower: float) -> float:
    """Film over roughness.

    Args:
        film: thinnest [m].
        lobe: roughness of the lobe, root mean square [m].
        follower: of the follower, likewise [m].

    Returns:
        The ratio [-]; below 1 peaks rub, above 3 they are apart.

    Raises:
        OutOfRange: for a negative film or roughness, or no roughness at all.

    Validity: roughness alike in all directions.
    Source: [Hamrock], film parameter.
    """
    not_negative(film=film, lobe=lobe, follower=follower)
    positive(roughness=math.hypot(lobe, follower))
    return film / math.hypot(lobe, follower)


def line_film(
    *, force: float, length: float, radius: float, modulus: float, speed: float, viscosity: float, thickening: float = PRESSURE_VISCOSITY
) -> float:
    """Thinnest film of oil in a line contact.

    Args:
        force: [N].
        length: of the line [m].
        radius: effective [m].
        modulus: effective, of line_contact [Pa].
        speed: mean of both surfaces against the contact [m/s].
        viscosity: of the oil without pressure [Pa s].
        thickening: how the oil's viscosity grows with pressure [1/Pa].

    Returns:
        The film [m]; 0 where the speed is 0.

    Raises:
        OutOfRange: for sizes that are not above 0, or a negative speed.

    Validity: steady, well fed, one temperature, heavily loaded; at the reversal of the speed the film lives on squeeze, which is left out.
    Source: [Dowson], H = 2.65 G^0.54 U^0.7 / W^0.13 with E' = 2 E*.
    """
    positive(force=force, length=length, radius=radius, modulus=modulus, viscosity=viscosity, thickening=thickening)
    not_negative(speed=speed)
    stiff = 2.0 * modulus
    material, loaded = thickening * stiff, force / length / (stiff * radius)
    return radius * 2.65 * material**0.54 * (viscosity * speed / (stiff * radius)) ** 0.7 / loaded**0.13


def flat_entrainment(lobe: Lobe, angles: Floats, *, speed: float) -> Floats:
    """Mean speed of both surfaces against their contact, under a flat follower.

    Args:
        lobe: with its base radius.
        angles: of the crank, in the lobe's own angles [rad].
        speed: of the crank [rad/s].

    Returns:
        Speeds [m/s], without their sign.

    Raises:
        OutOfRange: for a base radius or speed that is not above 0.

    Validity: follower that does not spin.
    Source: kinematics: half of cam speed times (R_b + s + 2 s'').
    """
    positive(base_radius=lobe.base_radius, speed=speed)
    motion = lobe.at(angles)
    return np.abs(speed / 4.0 * (lobe.base_radius + motion.lift + 8.0 * motion.acceleration))


_HARD = joint_modulus()
_ON_IRON = joint_modulus(first=IRON, first_poisson=0.26, second=IRON, second_poisson=0.26)
# What pairs bear for long: common practice, no source. The maker's word goes first.
PAIRS: tuple[Pair, ...] = (
    Pair("chilled iron on hardened iron, flat", _ON_IRON, 700.0e6),
    Pair("hardened steel on hardened steel, flat or pad", _HARD, 1000.0e6),
    Pair("hardened steel on coated steel, flat or pad", _HARD, 1300.0e6),
    Pair("hardened steel on a steel roller", _HARD, 1800.0e6),
)


def pair_named(name: str) -> Pair:
    """A pair of materials by its name or the beginning of it.

    Args:
        name: as it stands in `PAIRS`.

    Returns:
        The pair.

    Raises:
        BadInput: for a name that is none.

    Validity: limits are common practice.
    Source: common practice, no source.
    """
    found = [pair for pair in PAIRS if pair.name.startswith(name)]
    if not found or not name:
        raise BadInput(f"pair: {name!r} is none of {'; '.join(pair.name for pair in PAIRS)}")
    return found[0]
