"""Probability that several findings all conform, when they share causes of error."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from tenths.errors import BadInput
from tenths.metrology.decide import conformance
from tenths.metrology.estimate import Estimate, covariance

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Limits = tuple[float | None, float | None]

_SHIFTS = 8
_ROOT2 = math.sqrt(2)
_TINY = 1e-12
_quantile = NormalDist().inv_cdf


@dataclass(frozen=True, slots=True)
class Joint:
    """Joint probability of conforming.

    Attributes:
        probability: that all conform [-].
        standard_error: of that number [-], from independent repetitions of the integration.
        independent: the product of the single probabilities [-]: what ignoring common causes would claim.
    """

    probability: float
    standard_error: float
    independent: float


def joint_conformance(estimates: Sequence[Estimate], limits: Sequence[Limits]) -> float:
    """Probability that all of several findings conform.

    Args:
        estimates: the findings.
        limits: lower and upper limit of each; None where there is none.

    Returns:
        The probability [-], to within about 3e-4 (three standard errors) for up to ten findings.

    Raises:
        BadInput: if there is not one pair of limits for each finding, or a pair is the wrong way round.

    Source: [JCGM106] clause 7 in several dimensions; integration by [Genz1992].
    """
    return joint(estimates, limits).probability


def joint(estimates: Sequence[Estimate], limits: Sequence[Limits], *, points: int = 2048, seed: int = 20) -> Joint:
    """Joint probability with its accuracy.

    Args:
        estimates: the findings.
        limits: lower and upper limit of each; None where there is none.
        points: points of each of the eight shifted lattices.
        seed: of the shifts; the same seed gives the same result.

    Returns:
        Probability, its standard error, and the product of the single ones.

    Raises:
        BadInput: as for joint_conformance.

    Validity: normal causes. Source: [Genz1992], on a Richtmyer lattice folded and shifted at random.
    """
    if len(estimates) != len(limits):
        raise BadInput(f"joint: {len(limits)} pairs of limits for {len(estimates)} findings; they go in pairs")
    single = [conformance(e.value, e.u, *limit) for e, limit in zip(estimates, limits, strict=True)]
    independent = math.prod(single)
    # The least likely first: the integrand then varies least along the later directions.
    order = sorted((i for i, e in enumerate(estimates) if e.u), key=lambda i: single[i])
    if min(single, default=1.0) == 0.0 or len(order) < 2:
        return Joint(independent, 0.0, independent)
    chosen = [estimates[i] for i in order]
    low = np.array([_away(limits[i][0], estimates[i], -math.inf) for i in order])
    high = np.array([_away(limits[i][1], estimates[i], math.inf) for i in order])
    factor = _root(covariance(chosen))
    rng = np.random.default_rng(seed)
    means = [_lattice_mean(factor, low, high, points, rng.random(len(order) - 1)) for _ in range(_SHIFTS)]
    error = float(np.std(means, ddof=1)) / math.sqrt(_SHIFTS)
    return Joint(float(np.mean(means)), error, independent)


def _away(limit: float | None, estimate: Estimate, otherwise: float) -> float:
    return otherwise if limit is None else limit - estimate.value


def _root(matrix: Floats) -> Floats:
    """Lower triangular root of a covariance that may be singular (findings fixed by the same causes)."""
    size = len(matrix)
    root = np.zeros_like(matrix)
    for j in range(size):
        rest = matrix[j, j] - root[j, :j] @ root[j, :j]
        if rest > _TINY * matrix[j, j]:
            root[j, j] = math.sqrt(rest)
            root[j + 1 :, j] = (matrix[j + 1 :, j] - root[j + 1 :, :j] @ root[j, :j]) / root[j, j]
    return root


def _lattice_mean(factor: Floats, low: Floats, high: Floats, points: int, shift: Floats) -> float:
    """Mean of Genz's integrand over one shifted lattice."""
    size = len(low)
    index = np.arange(1, points + 1)
    drawn = np.zeros((size, points))
    weight = np.ones(points)
    for j in range(size):
        centre = factor[j, :j] @ drawn[:j] if j else np.zeros(points)
        below, above = _slice(low[j] - centre, high[j] - centre, float(factor[j, j]))
        weight *= above - below
        if j < size - 1 and factor[j, j]:
            where = (index * math.sqrt(_PRIMES[j % len(_PRIMES)]) + shift[j]) % 1.0
            drawn[j] = _quantiles(below + np.abs(2 * where - 1) * (above - below))
    return float(weight.mean())


_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97)


def _slice(low: Floats, high: Floats, spread: float) -> tuple[Floats, Floats]:
    """Normal probabilities below the two limits; a direction without spread is in or out."""
    if spread == 0.0:
        return np.zeros_like(low), ((low <= 0) & (high >= 0)).astype(float)
    return _cdf(low / spread), _cdf(high / spread)


def _cdf(z: Floats) -> Floats:
    return 0.5 * np.fromiter(map(math.erfc, (-z / _ROOT2).tolist()), float, z.size)


def _quantiles(p: Floats) -> Floats:
    return np.fromiter(map(_quantile, np.clip(p, 1e-300, 1 - 1e-16).tolist()), float, p.size)
