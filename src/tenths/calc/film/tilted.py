"""A journal that is not parallel to its sleeve: how much of the film its edge loses when the load stays the same."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import finite, within
from tenths.calc.film import mobility, reynolds
from tenths.errors import OutOfRange

_ROUNDS = 24
_ENOUGH = 2e-3  # of the load
_NARROWEST = 2e-3  # of the clearance: thinner edges are taken to touch


@dataclass(frozen=True, slots=True)
class Tilted:
    """The film of a tilted journal that bears what the parallel one did.

    Attributes:
        edge: thinnest film, at the end that leans on the sleeve, over the radial clearance [-].
        eccentricity: in the middle of the length [-].
        peak: largest pressure over that of the parallel journal [-].
    """

    edge: float
    eccentricity: float
    peak: float


def tilted(
    *, eccentricity: float, load_direction: float, slenderness: float, tilt: float, cells: tuple[int, int] = (120, 8)
) -> Tilted:
    """The film at one moment, with the journal leaning towards where the film is thinnest.

    Args:
        eccentricity: of the parallel journal [-], 0 to below 1.
        load_direction: from its thinnest film [rad].
        slenderness: length over diameter [-], 0.04 to 1.6.
        tilt: how far either end leans out, over the radial clearance [-], 0 to below 1.
        cells: around, and along one half.

    Returns:
        The film: the middle gives way until the same velocity of the journal bears the same load.

    Raises:
        OutOfRange: outside those ranges, or if the tilt is so large that an edge touches.
        Unsettled: if a film does not settle.

    Validity: tilt in the plane of the thinnest film, the worst; small against the length; stiff sleeve without groove, one
        viscosity. The couple that the tilt needs is taken to be there.
    Source: Reynolds equation with the condition of Swift and Stieber in [Hamrock], velocity by [Booker].
    """
    within(0.0, 0.9999, eccentricity=eccentricity)
    within(0.0, 1.0, tilt=tilt)
    finite(load_direction=load_direction)
    velocity = mobility.moved(eccentricity, load_direction=load_direction, slenderness=slenderness).mobility
    velocity *= np.exp(1j * load_direction) / abs(velocity)
    parallel = _film(eccentricity, 0.0, velocity, slenderness, cells)
    if tilt == 0.0:
        return Tilted(1.0 - eccentricity, eccentricity, 1.0)
    load = abs(parallel.force)

    def more(edge: float) -> float:  # how much more the tilted film bears [-]
        return math.log(abs(_film(1.0 - tilt - edge, tilt, velocity, slenderness, cells).force) / load)

    low, high = max(_NARROWEST, 1.0 - eccentricity - tilt), min(1.0 - eccentricity, 1.0 - tilt)
    edge = _between(more, low, high, tilt)
    film = _film(1.0 - tilt - edge, tilt, velocity, slenderness, cells)
    return Tilted(edge, 1.0 - tilt - edge, float(film.pressure.max() / parallel.pressure.max()))


def _between(more: Callable[[float], float], low: float, high: float, tilt: float) -> float:
    """Edge at which the load is borne, by false position in the logarithm of the edge."""
    below, above = more(low), more(high)
    if below < 0.0:
        if low > 1.001 * _NARROWEST:  # the parallel film itself, to the error of its grid
            return low
        raise OutOfRange(f"tilt is {tilt:g} of the radial clearance: the edge touches under this load")
    for _ in range(_ROUNDS):
        part = below / (below - above)
        edge = low * (high / low) ** min(max(part, 0.02), 0.98)
        found = more(edge)
        if abs(found) < _ENOUGH or high < low * 1.001:
            return edge
        if found > 0.0:
            low, below, above = edge, found, above / 2.0
        else:
            high, above, below = edge, found, below / 2.0
    return math.sqrt(low * high)


def _film(eccentricity: float, tilt: float, velocity: complex, slenderness: float, cells: tuple[int, int]) -> reynolds.Film:
    mesh = reynolds.grid(eccentricity=min(max(eccentricity + tilt, 0.0), 0.9999), cells=cells, whole=True)
    around = np.cos(mesh.angle)[:, None]
    thickness = 1.0 - (eccentricity + tilt * mesh.place[None, :]) * around
    growth = np.repeat(-(velocity.real * np.cos(mesh.angle) + velocity.imag * np.sin(mesh.angle))[:, None], mesh.place.size, axis=1)
    return reynolds.pressed(mesh, thickness, growth, slenderness=slenderness)
