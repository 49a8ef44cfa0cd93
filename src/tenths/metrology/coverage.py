"""Degrees of freedom of a combined doubt, and the expanded uncertainty that goes on a certificate."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.errors import BadInput
from tenths.metrology.distributions import t_quantile
from tenths.metrology.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Expanded:
    """Expanded uncertainty.

    Attributes:
        amount: U = k u, in the unit of the value.
        factor: coverage factor k [-].
        freedom: effective degrees of freedom [-], before they were cut to a whole number.
        probability: coverage [-].
    """

    amount: float
    factor: float
    freedom: float
    probability: float


def effective_freedom(estimate: Estimate) -> float:
    """Degrees of freedom of a combined uncertainty.

    The causes are independent, also where inputs share them, so the formula holds as it stands.

    Args:
        estimate: value with its causes.

    Returns:
        Degrees of freedom [-]; infinite where every cause that counts has infinitely many.

    Source: [JCGM100] Eq. G.2b (Welch-Satterthwaite).
    """
    if not estimate.freedom:
        return math.inf
    u = estimate.u
    if u == 0.0:
        return math.inf
    total = math.fsum((estimate.parts.get(cause, 0.0) / u) ** 4 / nu for cause, nu in estimate.freedom.items())
    return 1.0 / total if total else math.inf


def coverage_factor(freedom: float, *, probability: float = 0.95, whole: bool = True) -> float:
    """Factor k of a symmetric interval that holds the value with some probability.

    Args:
        freedom: effective degrees of freedom [-], at least 1.
        probability: coverage [-], strictly between 0 and 1.
        whole: cut the degrees of freedom to a whole number, as the standard advises.

    Returns:
        The factor k [-].

    Raises:
        BadInput: if the freedom is under 1, or the probability out of range.

    Source: [JCGM100] G.3 and G.4.1.
    """
    if not freedom >= 1.0:
        raise BadInput(f"freedom is {freedom}; at least 1 is needed for a coverage factor")
    if not 0.0 < probability < 1.0:
        raise BadInput(f"probability is {probability}; strictly between 0 and 1 is needed")
    nu = math.floor(freedom) if whole and math.isfinite(freedom) else freedom
    return t_quantile((1.0 + probability) / 2.0, nu)


def expanded(estimate: Estimate, *, probability: float = 0.95) -> Expanded:
    """Expanded uncertainty from the causes and their degrees of freedom.

    Args:
        estimate: value with its causes.
        probability: coverage [-].

    Returns:
        U, k and the effective degrees of freedom.

    Raises:
        BadInput: as for coverage_factor.

    Source: [JCGM100] G.4.
    """
    freedom = effective_freedom(estimate)
    factor = coverage_factor(freedom, probability=probability)
    return Expanded(factor * estimate.u, factor, freedom, probability)
