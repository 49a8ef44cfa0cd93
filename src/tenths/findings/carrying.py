"""How the doubt of the inputs is carried through a formula: straight, with its bend, or by trial."""

from collections.abc import Callable, Sequence
from math import sqrt

from tenths.metrology.estimate import Estimate, linear_with_bend, propagate
from tenths.metrology.method import BENT, STRONGLY_BENT

SEED = 101
SURELY_STRAIGHT = 0.03  # a third of what counts as bent: the screen is no further off than that


def carried(formula: Callable[..., float], given: Sequence[Estimate], key: str, *, costly: bool = False) -> tuple[Estimate, float]:
    """What a formula makes of its inputs, and how bent it is over their doubt.

    The second-order part stands as a cause of its own, ``bend:<key>``, so that budgets show it. Where it is so large that
    the first order says little, value and spread are found by trial.

    Params:
        formula: plain function of as many floats as inputs.
        given: the inputs; causes that they share combine exactly.
        key: stable name of the finding.
        costly: the formula takes long: what its bend does is estimated from few points, as a cause.

    Returns:
        The estimate, and its curvature as `propagate` gives it [-].
    """
    linear, about = linear_with_bend(formula, *given)
    if about < SURELY_STRAIGHT:
        return linear, about
    if costly:
        return _bent(linear, linear.value, linear.u * about, key), about
    found = propagate(formula, *given)
    linear, bent = found.estimate, found.curvature
    if bent < BENT:
        return linear, bent
    if bent < STRONGLY_BENT:
        return _bent(linear, linear.value + found.shift, linear.u * bent, key), bent
    import numpy as np  # noqa: PLC0415 - few findings need trials

    from tenths.metrology.montecarlo import monte_carlo  # noqa: PLC0415 - as above

    tried = monte_carlo(formula, *given, rng=np.random.default_rng(SEED), vectorised=False, most=200_000)
    if tried.u >= linear.u:
        return _bent(linear, tried.value, sqrt(tried.u**2 - linear.u**2), key), bent
    share = tried.u / linear.u
    return Estimate(tried.value, {c: p * share for c, p in linear.parts.items()}, linear.freedom, linear.shape), bent


def _bent(linear: Estimate, value: float, part: float, key: str) -> Estimate:
    return Estimate(value, {**linear.parts, f"bend:{key}": part}, linear.freedom, linear.shape)
