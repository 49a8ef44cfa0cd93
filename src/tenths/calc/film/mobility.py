"""Finite-length mobility: which way, and how fast, a load moves the journal through its oil.

The maps were solved once from the Reynolds equation with the complementary condition (`_make_maps`) and are looked up here. They
hold for a sleeve without groove; a groove around the whole sleeve makes two shorter bearings of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive, within
from tenths.calc.film import _kernels

Floats = NDArray[np.float64]
kernels: Any = _kernels  # the compiler's functions carry no types
interpolation: Any = import_module("scipy.interpolate")
FILE = Path(__file__).parents[2] / "data" / "mobility.npz"
LOG_MOBILITY, DIRECTION, LOG_LEAK, LOG_PEAK, PRESSED_SHEAR = range(5)


@dataclass(frozen=True, slots=True)
class Maps:
    """Maps for one length over diameter.

    Attributes:
        slenderness: length over diameter [-].
        fields: shape (thinness + 2, load angle + 2, 6), with a knot more at each edge: asinh of the mobility along the
            eccentricity over that when the load stands on the eccentricity; log of the mobility across it over the sine of
            the load's angle; log of the leak per c R L and velocity; log of the largest pressure over load / (L D); share
            of the shear that is under pressure; log of the mobility when the load stands on the eccentricity [-].
        step: between knots of -log10(1 - eccentricity) [-].
    """

    slenderness: float
    fields: Floats
    step: float


@dataclass(frozen=True, slots=True)
class Moved:
    """What a load does at one place of the journal.

    Attributes:
        mobility: velocity of the centre, towards the load and to its left, over c times load (c/R)^2 / (viscosity L D) [-].
        leak: oil out of both ends, over c R L times the size of that velocity over c [-].
        peak: largest pressure over load / (L D) [-].
        pressed_shear: share of the shear around the journal that is under pressure [-].
    """

    mobility: complex
    leak: float
    peak: float
    pressed_shear: float


@cache
def _stored() -> tuple[Floats, Floats, Floats]:
    with np.load(FILE) as file:
        return np.log(file["slenderness"]), file["thinness"], file["fields"].astype(np.float64)


@cache
def maps(slenderness: float) -> Maps:
    """The maps for a bearing.

    Args:
        slenderness: length over diameter [-], 0.04 to 1.6.

    Returns:
        The maps; between the stored ones by a cubic in the logarithm, below the shortest by the short bearing's square.

    Raises:
        OutOfRange: outside of that range.

    Validity: sleeve without groove, as of `moved`.
    Source: solutions of the Reynolds equation, `_make_maps`; method of [Booker].
    """
    within(0.04, 1.6, slenderness=slenderness)
    known, thinness, fields = _stored()
    at = math.log(slenderness)
    found = np.array(interpolation.CubicSpline(known, fields, axis=0)(max(at, known[0])))
    if at < known[0]:
        found[LOG_MOBILITY] += 2.0 * (known[0] - at)
    return Maps(slenderness, _edged(_smooth(found, _load_angles(thinness, found.shape[2]))), float(thinness[1] - thinness[0]))


def _smooth(fields: Floats, angles: Floats) -> Floats:
    """Components in place of size and direction: near a wall the direction turns too fast to be interpolated."""
    straight = fields[LOG_MOBILITY, :, :1]
    along = np.arcsinh(np.exp(fields[LOG_MOBILITY] - straight) * np.cos(fields[DIRECTION]))
    across = np.empty_like(along)
    inner = np.s_[:, 1:-1]
    across[inner] = fields[LOG_MOBILITY][inner] + np.log(np.sin(fields[DIRECTION][inner]) / np.sin(angles[inner]))
    # even about both ends, where sine over sine is taken from its neighbours
    across[:, 0] = (4.0 * across[:, 1] - across[:, 2]) / 3.0
    across[:, -1] = (4.0 * across[:, -2] - across[:, -3]) / 3.0
    return np.stack([along, across, *fields[2:], np.repeat(straight, fields.shape[2], axis=1)])


def _edged(fields: Floats) -> Floats:
    """A knot more at each edge: straight on in thinness, mirrored in the load's angle."""
    first = np.concatenate([2.0 * fields[:, :1] - fields[:, 1:2], fields, 2.0 * fields[:, -1:] - fields[:, -2:-1]], axis=1)
    both = np.concatenate([first[:, :, 1:2], first, first[:, :, -2:-1]], axis=2)
    return np.ascontiguousarray(np.moveaxis(both, 0, -1))


def _load_angles(thinness: Floats, count: int) -> Floats:
    """Knots of the load's direction from the eccentricity [rad], as the generator lays them."""
    width = np.sqrt(2.0 * 10.0**-thinness)[:, None]
    return width * np.sinh(np.linspace(0.0, 1.0, count) * np.arcsinh(math.pi / width))


def moved(position: complex, *, load_direction: float, slenderness: float) -> Moved:
    """Mobility at one place.

    Args:
        position: of the journal's centre over the radial clearance [-], size below 1.
        load_direction: in the same frame [rad].
        slenderness: length over diameter [-], 0.04 to 1.6.

    Returns:
        Mobility and what goes with it.

    Raises:
        OutOfRange: for a position at or beyond the wall, or a slenderness outside of its range.

    Validity: sleeve without groove, laminar, one viscosity; beyond an eccentricity of 0.9994 by the last knots.
    Source: as of `maps`.
    """
    within(0.0, 0.999999, eccentricity=abs(position))
    of = maps(slenderness)
    turn = np.exp(1j * load_direction)
    along = position / turn
    values = np.empty(6)
    kernels.looked_up(of.fields, of.step, along.real, along.imag, True, values)
    return Moved(complex(values[0], values[1]), float(values[2]), float(values[3]), float(values[4]))


def short_bearing(position: complex, *, load_direction: float, slenderness: float) -> complex:
    """Mobility of the textbooks' short bearing, for comparison: towards the load and to its left [-].

    Args:
        position: of the journal's centre over the radial clearance [-], size below 1.
        load_direction: in the same frame [rad].
        slenderness: length over diameter [-].

    Returns:
        Mobility [-].

    Raises:
        OutOfRange: for a position at or beyond the wall, or a slenderness that is not positive.

    Validity: length over diameter far below 1/2 and moderate eccentricity; curve fits, good to 9 % of the short bearing.
    Source: curve fits in [Booker].
    """
    within(0.0, 0.999999, eccentricity=abs(position))
    positive(slenderness=slenderness)
    along = position / np.exp(1j * load_direction)
    gap = 1.0 - along.real
    towards = gap**2.5 / (math.pi * slenderness**2)
    across = -4.0 * along.imag * gap**1.5 / (math.pi**2 * slenderness**2)
    return complex(towards, across)
