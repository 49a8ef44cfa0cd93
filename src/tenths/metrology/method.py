"""Which of three ways of carrying doubt a finding needs: linear, second order, or by trial; and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from tenths.metrology.coverage import coverage_factor, effective_freedom
from tenths.metrology.estimate import Estimate, Propagated, propagate

if TYPE_CHECKING:
    import numpy as np

Method = Literal["linear", "second order", "by trial"]

BENT = 0.1
STRONGLY_BENT = 0.3
FLAT_TOPPED = 0.25
_EXCESS = {"rectangular": -1.2, "triangular": -0.6, "arcsine": -1.5}


@dataclass(frozen=True, slots=True)
class Evaluated:
    """A result with the way that it was found.

    Attributes:
        value: best estimate, in the unit of the result.
        u: standard uncertainty, in the same unit.
        low: lower end of the interval.
        high: its upper end.
        probability: coverage of the interval [-].
        method: how it was found.
        reason: why that way, in words.
        propagated: the linear result, whose causes serve the budget and the correlations.
    """

    value: float
    u: float
    low: float
    high: float
    probability: float
    method: Method
    reason: str
    propagated: Propagated


def excess(estimate: Estimate) -> float:
    """How far the sum of the causes is from normal: its excess kurtosis, 0 for normal, -1.2 for a rectangle.

    Args:
        estimate: value with its causes.

    Returns:
        Excess kurtosis [-] of the linear form. Finite degrees of freedom are left to the coverage factor.
    """
    u = estimate.u
    if not estimate.shape or u == 0.0:
        return 0.0
    return sum(
        _EXCESS.get(shape, 0.0) * (estimate.parts.get(cause, 0.0) / u) ** 4 for cause, shape in estimate.shape.items()
    )


def choose(propagated: Propagated) -> tuple[Method, str]:
    """Which way a result needs.

    Args:
        propagated: its linear result with the curvature.

    Returns:
        The method, and the reason in words.

    Validity: the bounds (curvature 0.1 and 0.3, excess 0.25) are the house's own. A curvature of 0.1 widens u by
    0.5 %; an excess of -0.25 narrows a 95 % interval by about 1 %.
    """
    bent, flat = propagated.curvature, abs(excess(propagated.estimate))
    if bent >= STRONGLY_BENT:
        return "by trial", f"strongly bent: the second-order part is {bent:.0%} of the first"
    if flat >= FLAT_TOPPED:
        worst = max(
            propagated.estimate.shape, key=lambda cause: abs(propagated.estimate.parts.get(cause, 0.0)), default=""
        )
        return "by trial", f"not normal: {worst} ({propagated.estimate.shape[worst]}) rules the spread"
    if bent >= BENT:
        return "second order", f"slightly bent: the second-order part is {bent:.0%} of the first"
    return "linear", f"straight within its doubt (second-order part {bent:.1%} of the first) and close to normal"


def evaluate(
    function: Callable[..., Any],
    *inputs: Estimate,
    rng: np.random.Generator,
    probability: float = 0.95,
    vectorised: bool = False,
) -> Evaluated:
    """Carry doubt through a formula in the simplest way that is good enough.

    Args:
        function: formula of as many arguments as inputs.
        inputs: the arguments.
        rng: source of randomness, used only where trials are needed.
        probability: coverage of the interval [-].
        vectorised: whether the function takes arrays.

    Returns:
        The result with its interval, the method, and the reason.

    Source: [JCGM101] clause 5.11 for when the linear way holds.
    """
    linear = propagate(function, *inputs)
    method, reason = choose(linear)
    if method == "by trial":
        from tenths.metrology.montecarlo import monte_carlo  # noqa: PLC0415 (numpy only where trials are made)

        trials = monte_carlo(function, *inputs, rng=rng, probability=probability, vectorised=vectorised)
        return Evaluated(trials.value, trials.u, trials.low, trials.high, probability, method, reason, linear)
    bent = method == "second order"
    value = linear.estimate.value + (linear.shift if bent else 0.0)
    u = linear.estimate.u * ((1.0 + linear.curvature**2) ** 0.5 if bent else 1.0)
    half = coverage_factor(effective_freedom(linear.estimate), probability=probability) * u
    return Evaluated(value, u, value - half, value + half, probability, method, reason, linear)
