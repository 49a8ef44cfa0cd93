"""The normal and Student's t distribution, without importing scipy (which costs more than a whole check)."""

from __future__ import annotations

import math

from tenths.errors import BadInput

_ROOT2 = math.sqrt(2.0)


def normal_cdf(z: float) -> float:
    """Probability that a standard normal variable is below z.

    Args:
        z: the limit [-].

    Returns:
        The probability [-].
    """
    return 0.5 * math.erfc(-z / _ROOT2)


def normal_quantile(p: float) -> float:
    """The value that a standard normal variable is below with probability p.

    Args:
        p: the probability [-], strictly between 0 and 1.

    Returns:
        The value [-].

    Raises:
        BadInput: if p is not strictly between 0 and 1.
    """
    from statistics import NormalDist  # noqa: PLC0415 (only coverage factors need it)

    return NormalDist().inv_cdf(_probability(p))


def t_cdf(t: float, freedom: float) -> float:
    """Probability that Student's t is below a limit.

    Args:
        t: the limit [-].
        freedom: degrees of freedom [-], above 0; infinite gives the normal distribution.

    Returns:
        The probability [-].

    Raises:
        BadInput: if the freedom is not above 0.
    """
    if not freedom > 0:
        raise BadInput(f"freedom is {freedom}; degrees of freedom are above 0")
    if math.isinf(freedom) or math.isinf(t):
        return normal_cdf(t)
    if t * t < freedom:  # near the middle the share of the middle keeps its figures, the tail does not
        return 0.5 + math.copysign(0.5, t) * _incomplete_beta(0.5, freedom / 2, t * t / (freedom + t * t))
    tail = 0.5 * _incomplete_beta(freedom / 2, 0.5, freedom / (freedom + t * t))
    return 1.0 - tail if t > 0 else tail


def t_quantile(p: float, freedom: float) -> float:
    """The value that Student's t is below with probability p.

    Args:
        p: the probability [-], strictly between 0 and 1.
        freedom: degrees of freedom [-], above 0.

    Returns:
        The value [-].

    Raises:
        BadInput: if p or the freedom is out of range.
    """
    start = normal_quantile(p)
    if math.isinf(freedom):
        return start
    if p < 0.5:
        return -t_quantile(1.0 - p, freedom)
    low, high = 0.0, max(1.0, start)
    while t_cdf(high, freedom) < p:
        low, high = high, 2 * high
    while high - low > 1e-12 * max(1.0, high):
        middle = (low + high) / 2
        if t_cdf(middle, freedom) < p:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def f_tail(f: float, above: float, below: float) -> float:
    """Probability that a ratio of variances exceeds a limit by chance.

    Args:
        f: the limit [-], at least 0.
        above: degrees of freedom of the numerator [-].
        below: degrees of freedom of the denominator [-].

    Returns:
        The probability [-].

    Raises:
        BadInput: if f is negative or a freedom is not above 0.
    """
    if not (f >= 0 and above > 0 and below > 0):
        raise BadInput(f"f {f} with freedoms {above} and {below}: 0 or more, and above 0, are needed")
    return _incomplete_beta(below / 2, above / 2, below / (below + above * f))


def _probability(p: float) -> float:
    if not 0.0 < p < 1.0:
        raise BadInput(f"p is {p}; a probability strictly between 0 and 1 is needed")
    return p


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """Regularized incomplete beta function; the continued fraction converges fast on the side chosen here."""
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _beta_fraction(a, b, x) / a
    return 1.0 - front * _beta_fraction(b, a, 1.0 - x) / b


def _beta_fraction(a: float, b: float, x: float) -> float:
    """Lentz's method for the continued fraction of the incomplete beta function."""
    tiny = 1e-300
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1)
    d = 1.0 / (d or tiny)
    result = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            d = 1.0 / ((1.0 + term * d) or tiny)
            c = (1.0 + term / c) or tiny
            change = d * c
            result *= change
        if abs(change - 1.0) < 1e-15:
            break
    return result
