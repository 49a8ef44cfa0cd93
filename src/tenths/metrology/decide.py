"""From a value with its doubt to a verdict: probability of conforming and decision rules."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from tenths.errors import BadInput
from tenths.metrology.distributions import normal_quantile, t_cdf


class Verdict(StrEnum):
    """What the shop may say about a finding."""

    FITS = "fits"
    OUT = "out"
    TOO_CLOSE = "too close to call"
    NOT_MEASURED = "not measured"
    STALE = "stale"
    NO_LIMIT = "no limit"


Edition = Literal["1998", "2013", "2017"]


@dataclass(frozen=True, slots=True)
class DecisionRule:
    """How a value near a limit is judged.

    Attributes:
        name: what the report calls the rule.
        accept: probability of conforming [-] from which it fits (not used where guard is given).
        reject: probability of conforming [-] down to which it is out (not used where guard is given).
        guard: multiple of the standard uncertainty [-] by which the limits are drawn in for *fits* and out for *out*;
            None judges by probability.
        width: guard band of fixed width, in the unit of the value, added to that multiple.
    """

    name: str = "probability of conforming"
    accept: float = 0.95
    reject: float = 0.05
    guard: float | None = None
    width: float = 0.0


HOUSE = DecisionRule()


def by_probability(*, accept: float = 0.95, reject: float = 0.05) -> DecisionRule:
    """Fits from one probability of conforming upward, out from another downward.

    Args:
        accept: from this probability [-] it fits.
        reject: down to this probability [-] it is out.

    Returns:
        The rule.

    Raises:
        BadInput: unless 0 <= reject < accept <= 1.

    Source: [JCGM106] clause 8.1; the levels are the house's own.
    """
    if not 0.0 <= reject < accept <= 1.0:
        raise BadInput(f"accept {accept} and reject {reject}: 0 <= reject < accept <= 1 is needed")
    return DecisionRule(f"fits from {accept:g}, out from {reject:g} down", accept, reject)


def simple_acceptance() -> DecisionRule:
    """The value alone decides; doubt is ignored (shared risk).

    Returns:
        The rule, under which nothing is too close to call.

    Source: [JCGM106] clause 8.2.
    """
    return DecisionRule("simple acceptance", guard=0.0)


def guard_band(multiple: float = 0.0, *, width: float = 0.0) -> DecisionRule:
    """Limits drawn in, to accept, and out, to reject, by a guard band.

    Args:
        multiple: width of the band as a multiple of the standard uncertainty [-]; r U with k = 2 is 2 r.
        width: fixed part of the band, in the unit of the value.

    Returns:
        The rule.

    Raises:
        BadInput: if either is negative or not finite.

    Source: [JCGM106] clause 8.3.
    """
    if not (0 <= multiple < math.inf and 0 <= width < math.inf):
        raise BadInput(f"guard band multiple {multiple} and width {width}: finite numbers of 0 or more are needed")
    return DecisionRule(f"guard band {multiple:g} u + {width:g}", guard=multiple, width=width)


def iso_14253_1(edition: Edition = "2017", *, probability: float = 0.95) -> DecisionRule:
    """The standard's rule for proving conformity or nonconformity.

    Args:
        edition: "2017" takes the guard band from a one-sided probability; "1998" and "2013" take the expanded
            uncertainty U with k = 2.
        probability: the 2017 edition's limit of conformance probability [-], above 0.5.

    Returns:
        The rule. Between the two zones neither can be proved: too close to call.

    Raises:
        BadInput: if the edition is not one of these, or the probability not between 0.5 and 1.

    Validity: the guard band from one tail supposes that the doubt is small beside the tolerance.
    Source: [ISO14253-1], from memory.
    """
    if edition not in ("1998", "2013", "2017"):
        raise BadInput(f"edition {edition} of ISO 14253-1: 1998, 2013 or 2017 is needed")
    if not 0.5 < probability < 1.0:
        raise BadInput(f"probability is {probability}; above 0.5 and below 1 is needed")
    guard = normal_quantile(probability) if edition == "2017" else 2.0
    return DecisionRule(f"ISO 14253-1:{edition}", guard=guard)


def conformance(
    value: float, u: float, lower: float | None, upper: float | None, *, freedom: float = math.inf
) -> float:
    """Probability that the true value lies within the limits.

    Args:
        value: best estimate, in any unit.
        u: its standard uncertainty, at least 0.
        lower: smallest size allowed, or None.
        upper: largest size allowed, or None.
        freedom: effective degrees of freedom of u; finite ones take the t distribution.

    Returns:
        The probability [-].

    Raises:
        BadInput: if u is negative, the value or u not finite, or the limits the wrong way round.

    Source: [JCGM106] clause 7, Eq. 7 and 8 (one limit) and 7.4 (two).
    """
    _check(value, u, lower, upper)
    if u == 0.0:
        return float((lower is None or value >= lower) and (upper is None or value <= upper))
    below_upper = 1.0 if upper is None else t_cdf((upper - value) / u, freedom)
    above_lower = 1.0 if lower is None else t_cdf((value - lower) / u, freedom)
    return max(0.0, below_upper + above_lower - 1.0)


def decide(
    value: float | None,
    u: float,
    lower: float | None,
    upper: float | None,
    *,
    rule: DecisionRule = HOUSE,
    freedom: float = math.inf,
    stale: bool = False,
) -> Verdict:
    """Judge a value by a rule.

    Args:
        value: best estimate, or None where nothing has been measured.
        u: its standard uncertainty, at least 0.
        lower: smallest size allowed, or None.
        upper: largest size allowed, or None.
        rule: how near the limit is too near.
        freedom: effective degrees of freedom of u.
        stale: whether what was measured no longer holds for what is fitted.

    Returns:
        The verdict. A value on a limit conforms.

    Raises:
        BadInput: as for conformance.

    Source: [JCGM106] clause 8, [ISO14253-1].
    """
    if value is None:
        return Verdict.NOT_MEASURED
    if stale:
        return Verdict.STALE
    if rule.guard is None:
        probability = conformance(value, u, lower, upper, freedom=freedom)
        if probability >= rule.accept:
            return Verdict.FITS
        return Verdict.OUT if probability <= rule.reject else Verdict.TOO_CLOSE
    _check(value, u, lower, upper)
    return _by_guard_band(value, rule.guard * u + rule.width, lower, upper)


def _by_guard_band(value: float, band: float, lower: float | None, upper: float | None) -> Verdict:
    room = min(math.inf if lower is None else value - lower, math.inf if upper is None else upper - value)
    if room >= band:
        return Verdict.FITS
    return Verdict.OUT if room < -band else Verdict.TOO_CLOSE


def acceptance_range(
    u: float, lower: float | None, upper: float | None, *, rule: DecisionRule = HOUSE, freedom: float = math.inf
) -> tuple[float | None, float | None]:
    """Between which values a reading must lie to be called fitting.

    Args:
        u: standard uncertainty, at least 0.
        lower: smallest size allowed, or None.
        upper: largest size allowed, or None.
        rule: how it will be judged.
        freedom: effective degrees of freedom of u.

    Returns:
        The acceptance limits, None where there is no limit.

    Raises:
        BadInput: if u is so large beside the limits that no value could be accepted.

    Source: [JCGM106] clause 8.3.
    """
    _check(0.0, u, lower, upper)
    if rule.guard is not None:
        band = rule.guard * u + rule.width
        return _drawn_in(lower, upper, band, u)
    if u == 0.0:
        return lower, upper
    middle = _inside(lower, upper, u)
    if conformance(middle, u, lower, upper, freedom=freedom) < rule.accept:
        raise BadInput(f"u is {u:g}; between {lower} and {upper} no value would reach probability {rule.accept:g}")

    def edge(limit: float) -> float:
        outside, inside = limit, middle
        for _ in range(60):
            centre = (outside + inside) / 2
            if conformance(centre, u, lower, upper, freedom=freedom) >= rule.accept:
                inside = centre
            else:
                outside = centre
        return inside

    return (None if lower is None else edge(lower)), (None if upper is None else edge(upper))


def _inside(lower: float | None, upper: float | None, u: float) -> float:
    """A value where conformance is highest, or as good as certain."""
    far = 1e6 * u
    if lower is None:
        return 0.0 if upper is None else upper - far
    return lower + far if upper is None else (lower + upper) / 2


def _drawn_in(lower: float | None, upper: float | None, band: float, u: float) -> tuple[float | None, float | None]:
    if lower is not None and upper is not None and upper - lower < 2 * band:
        raise BadInput(f"u is {u:g}; the guard bands of {band:g} leave nothing between {lower} and {upper}")
    return (None if lower is None else lower + band), (None if upper is None else upper - band)


def _check(value: float, u: float, lower: float | None, upper: float | None) -> None:
    if not (math.isfinite(value) and 0.0 <= u < math.inf):
        raise BadInput(f"value {value} with u {u}: a finite value and a finite u of 0 or more are needed")
    if lower is not None and upper is not None and lower > upper:
        raise BadInput(f"limits {lower} to {upper}: the lower one is above the upper one")
