"""How often a bad one passes and a good one fails, for one part and over a run of engines."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from tenths.errors import BadInput
from tenths.metrology.decide import HOUSE, DecisionRule, acceptance_range, conformance
from tenths.metrology.distributions import normal_cdf

_REACH = 9.0
_STEPS = 400


@dataclass(frozen=True, slots=True)
class Risk:
    """Risks of judging by measurement.

    Attributes:
        customer: probability that a part is bad and passes [-] (the consumer's risk).
        builder: probability that a part is good and fails [-] (the producer's risk).
        passes: probability that a part passes [-].
        bad: probability that a part is bad [-], before any measurement.
    """

    customer: float
    builder: float
    passes: float
    bad: float

    def over_run(self, count: int) -> tuple[float, float]:
        """The same over a run.

        Args:
            count: how many parts are judged, with independent errors.

        Returns:
            Expected number of bad ones among those that pass, and the probability that there is at least one [-].
        """
        return count * self.customer, 1.0 - (1.0 - self.customer) ** count


def specific_risk(
    value: float, u: float, lower: float | None, upper: float | None, *, accepted: bool, freedom: float = math.inf
) -> float:
    """Probability that the decision on one measured part is wrong.

    Args:
        value: measured value, in any unit.
        u: its standard uncertainty, at least 0.
        lower: smallest size allowed, or None.
        upper: largest size allowed, or None.
        accepted: whether the part was passed.
        freedom: effective degrees of freedom of u.

    Returns:
        The customer's risk [-] if it was passed, the builder's if it was refused.

    Source: [JCGM106] clause 9.3.2 and 9.3.3.
    """
    good = conformance(value, u, lower, upper, freedom=freedom)
    return 1.0 - good if accepted else good


def global_risk(
    *,
    process_mean: float,
    process_deviation: float,
    u: float,
    lower: float | None,
    upper: float | None,
    rule: DecisionRule = HOUSE,
    accept: tuple[float | None, float | None] | None = None,
) -> Risk:
    """Risks over all parts that a process makes, each measured once.

    Args:
        process_mean: mean of what is made, in any unit.
        process_deviation: its standard deviation, above 0.
        u: standard uncertainty of the measurement, above 0.
        lower: smallest size allowed, or None.
        upper: largest size allowed, or None.
        rule: how a part is passed; one too close to call counts as failed.
        accept: acceptance limits, instead of the rule's.

    Returns:
        The risks.

    Raises:
        BadInput: if a spread is not above 0.

    Validity: normal process, normal error independent of the part. Source: [JCGM106] Eq. 20 to 23.
    """
    if not (process_deviation > 0 and u > 0):
        raise BadInput(f"process_deviation {process_deviation} and u {u}: both above 0 are needed")
    gate = acceptance_range(u, lower, upper, rule=rule) if accept is None else accept
    low, high = (-math.inf if lower is None else lower), (math.inf if upper is None else upper)

    def density(x: float) -> float:
        z = (x - process_mean) / process_deviation
        return math.exp(-z * z / 2) / (process_deviation * math.sqrt(2 * math.pi))

    def passed(x: float) -> float:
        above = 1.0 if gate[0] is None else normal_cdf((x - gate[0]) / u)
        below = 1.0 if gate[1] is None else normal_cdf((gate[1] - x) / u)
        return max(0.0, above + below - 1.0)

    reach = _REACH * process_deviation
    ends = (process_mean - reach, process_mean + reach)
    inside = (min(max(low, ends[0]), ends[1]), max(min(high, ends[1]), ends[0]))
    good_passes = _integral(lambda x: density(x) * passed(x), *inside)
    good = _integral(density, *inside)
    customer = sum(
        _integral(lambda x: density(x) * passed(x), *side)
        for side in ((ends[0], inside[0]), (inside[1], ends[1]))
        if side[1] > side[0]
    )
    return Risk(customer, max(0.0, good - good_passes), customer + good_passes, 1.0 - good)


def _integral(function: Callable[[float], float], start: float, end: float) -> float:
    """Simpson's rule; the integrands are smooth between the limits."""
    if end <= start:
        return 0.0
    width = (end - start) / _STEPS
    inner = math.fsum((4 if i % 2 else 2) * function(start + i * width) for i in range(1, _STEPS))
    return (function(start) + inner + function(end)) * width / 3
