"""Valves as the gas sees them: lift over the crank's turn, and the effective area that goes with it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive, within
from tenths.errors import BadInput

Floats = NDArray[np.float64]
STEPS = 1440
# Effective area over the area of the valve's head, by lift over diameter: two valves of a chamber with four, and one of two.
# Typical of good production heads, from memory; a head's own figures from the flow bench take their place.
USUAL_LIFTS = (0.0, 0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40)
USUAL_FOUR = (0.0, 0.135, 0.265, 0.375, 0.455, 0.51, 0.545, 0.565, 0.575)
USUAL_TWO = (0.0, 0.13, 0.25, 0.34, 0.405, 0.45, 0.48, 0.495, 0.505)


@dataclass(frozen=True, slots=True, kw_only=True)
class Valves:
    """The intake or exhaust valves of one cylinder.

    Attributes:
        count: of them.
        diameter: of the head [m].
        angles: of the crank from the centre of the lobe [rad], rising, one table for all.
        lifts: at the valve at these angles, lash taken off [m].
        centre: of the lobe, from firing top dead centre [rad]: about -252 degrees for an intake, 248 for an exhaust.
        over_diameter: lifts over diameter at which flow is known [-].
        out_of: effective area over the area of the heads, flow out of the cylinder [-].
        into: the same, flow into the cylinder [-].
    """

    count: int
    diameter: float
    angles: tuple[float, ...]
    lifts: tuple[float, ...]
    centre: float
    over_diameter: tuple[float, ...] = USUAL_LIFTS
    out_of: tuple[float, ...] = USUAL_FOUR
    into: tuple[float, ...] = USUAL_FOUR


def assumed_lobe(*, duration: float, lift: float, points: int = 61) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """A lobe for when only its card is known: duration and greatest lift.

    Args:
        duration: of the crank from seat to seat [rad].
        lift: greatest, at the valve [m].
        points: of the table, odd.

    Returns:
        Angles from the centre [rad] and lifts [m].

    Raises:
        OutOfRange: for a duration outside of 100 to 400 degrees or a lift that is not above 0.

    Validity: an assumption: the 3-4-5 polynomial that rises and falls alike; true lobes are fuller or leaner by some per cent.
    Source: 3-4-5 polynomial in [Norton].
    """
    within(math.radians(100), math.radians(400), duration=duration)
    positive(lift=lift)
    angles = np.linspace(-duration / 2, duration / 2, points)
    x = 1.0 - np.abs(angles) / (duration / 2)
    rise = x**3 * (10.0 - 15.0 * x + 6.0 * x * x)
    return tuple(angles.tolist()), tuple((lift * rise).tolist())


def effective_areas(of: Valves) -> Floats:
    """Effective area over the cycle.

    Args:
        of: the valves.

    Returns:
        Areas out of and into the cylinder [m2], shape (2, STEPS): even steps over two turns from -360 degrees.

    Raises:
        BadInput: for tables that do not fit each other or do not rise.
        OutOfRange: for lifts below 0 or a diameter that is not above 0.

    Validity: steady-flow coefficients at each lift; ratios of pressure like those of the bench.
    Source: [Heywood] section 6.3.
    """
    positive(diameter=of.diameter, count=float(of.count))
    _rising("angles", of.angles, of.lifts)
    _rising("over_diameter", of.over_diameter, of.out_of)
    _rising("over_diameter", of.over_diameter, of.into)
    not_negative(least_lift=min(of.lifts))
    own = -math.tau + np.arange(STEPS) * (2 * math.tau / STEPS)
    away = (own - of.centre + math.tau) % (2 * math.tau) - math.tau
    lift = np.interp(away, of.angles, of.lifts, left=0.0, right=0.0)
    head = of.count * math.pi / 4.0 * of.diameter**2
    ratio = lift / of.diameter
    return head * np.stack([np.interp(ratio, of.over_diameter, of.out_of), np.interp(ratio, of.over_diameter, of.into)])


def _rising(name: str, given: Sequence[float], values: Sequence[float]) -> None:
    if len(given) != len(values) or len(given) < 2:
        raise BadInput(f"{name} are {len(given)} for {len(values)} values: two or more of each, as many, are needed")
    if any(b <= a for a, b in pairwise(given)):
        raise BadInput(f"{name} do not rise: each must be above the one before it")
