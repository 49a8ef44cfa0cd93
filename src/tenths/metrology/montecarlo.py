"""Distributions carried through a formula by trial, until the digits that are shown have settled."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tenths.errors import BadInput, OutOfRange
from tenths.metrology.estimate import Estimate, Shape

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST_TRIALS = 10_000
_ROOT2, _ROOT3, _ROOT6 = math.sqrt(2), math.sqrt(3), math.sqrt(6)


@dataclass(frozen=True, slots=True)
class Trials:
    """What the trials say.

    Attributes:
        value: mean, in the unit of the result.
        u: standard deviation, in the same unit.
        low: lower end of the interval with equal tails.
        high: its upper end.
        shortest_low: lower end of the shortest interval.
        shortest_high: its upper end.
        probability: coverage of both intervals [-].
        trials: how many were made.
        accuracy: half a unit of the last digit of u that was asked for; what the four numbers are stated to.
        settled: whether they reached it before the trials ran out.
        error_value: standard error of the value.
        error_u: standard error of u.
        error_low: standard error of low.
        error_high: standard error of high.
    """

    value: float
    u: float
    low: float
    high: float
    shortest_low: float
    shortest_high: float
    probability: float
    trials: int
    accuracy: float
    settled: bool
    error_value: float
    error_u: float
    error_low: float
    error_high: float


def monte_carlo(
    function: Callable[..., Any],
    *inputs: Estimate,
    rng: np.random.Generator,
    digits: int = 2,
    probability: float = 0.95,
    most: int = 5_000_000,
    vectorised: bool = True,
) -> Trials:
    """Carry the causes of the inputs through a formula by trial.

    Args:
        function: formula of as many arguments as inputs; takes arrays where vectorised, else floats.
        inputs: the arguments; causes that they share are drawn once.
        rng: source of randomness; the same seed gives the same result.
        digits: significant digits of u that shall have settled.
        probability: coverage of the intervals [-].
        most: largest number of trials.
        vectorised: whether the function takes arrays.

    Returns:
        Mean, standard deviation, coverage intervals, and how far they can be trusted.

    Raises:
        BadInput: if digits, probability or most are out of range.
        OutOfRange: if a trial gives a number that is not finite.

    Source: [JCGM101] clauses 6.4 (distributions), 7.7 (intervals) and 7.9 (adaptive procedure).
    """
    if digits < 1 or not 0.0 < probability < 1.0:
        raise BadInput(f"digits {digits} and probability {probability}: at least 1, and strictly between 0 and 1")
    batch = max(math.ceil(100 / (1 - probability)), LEAST_TRIALS)
    if most < 2 * batch:
        raise BadInput(f"most is {most}; at least {2 * batch} trials are needed for probability {probability}")
    call = function if vectorised else np.vectorize(function, otypes=[float])
    runs: list[Floats] = []
    notes: list[tuple[float, float, float, float]] = []
    while True:
        runs.append(_finite(np.asarray(call(*draw(inputs, batch, rng)), dtype=float) + np.zeros(batch)))
        notes.append(_summary(runs[-1], probability))
        if len(notes) < 2:
            continue
        accuracy = tolerance(sum(note[1] for note in notes) / len(notes), digits)
        errors = np.std(np.asarray(notes), axis=0, ddof=1) / math.sqrt(len(notes))
        settled = bool(np.all(2 * errors <= accuracy))
        if settled or (len(runs) + 1) * batch > most:
            return _result(np.sort(np.concatenate(runs)), probability, accuracy, settled=settled, errors=errors)


def tolerance(u: float, digits: int) -> float:
    """Half a unit in the last of so many significant digits of u.

    Args:
        u: standard uncertainty, in any unit, at least 0.
        digits: significant digits.

    Returns:
        The numerical tolerance, in the same unit; 0 for u = 0.

    Source: [JCGM101] 7.9.2.
    """
    if u == 0.0:
        return 0.0
    return 0.5 * 10.0 ** (math.floor(math.log10(u)) - digits + 1)


def agrees_with_linear(linear: Estimate, factor: float, trials: Trials, *, digits: int = 2) -> bool:
    """Whether the linear result may be used instead of the trials.

    Args:
        linear: result by propagation.
        factor: its coverage factor for the probability of the trials [-].
        trials: result by trial.
        digits: significant digits of u that are held to be meaningful.

    Returns:
        True if both ends of the interval agree to that.

    Source: [JCGM101] clause 8.1.
    """
    allowed = tolerance(linear.u, digits)
    low = abs(linear.value - factor * linear.u - trials.low)
    high = abs(linear.value + factor * linear.u - trials.high)
    return low <= allowed and high <= allowed


def draw(inputs: Sequence[Estimate], count: int, rng: np.random.Generator) -> list[Floats]:
    """Draw the inputs, common causes once.

    Args:
        inputs: values with their causes.
        count: trials.
        rng: source of randomness.

    Returns:
        One array of count numbers for each input, in its unit.
    """
    result = [np.full(count, item.value, dtype=float) for item in inputs]
    kinds: dict[str, tuple[Shape, float]] = {}
    for item in inputs:
        for cause in item.parts:
            kinds[cause] = (item.shape.get(cause, "normal"), item.freedom.get(cause, math.inf))
    for cause, (shape, freedom) in kinds.items():
        unit = _unit(shape, freedom, count, rng)
        for array, item in zip(result, inputs, strict=True):
            part = item.parts.get(cause)
            if part:
                np.add(array, part * unit, out=array)
    return result


def _unit(shape: Shape, freedom: float, count: int, rng: np.random.Generator) -> Floats:
    """Draws of one cause, scaled so that a finite freedom gives the t distribution of the supplement (6.4.9)."""
    if shape == "rectangular":
        return rng.uniform(-_ROOT3, _ROOT3, count)
    if shape == "triangular":
        return rng.triangular(-_ROOT6, 0.0, _ROOT6, count)
    if shape == "arcsine":
        return _ROOT2 * np.sin(rng.uniform(-math.pi, math.pi, count))
    return rng.standard_normal(count) if math.isinf(freedom) else rng.standard_t(freedom, count)


def _finite(values: Floats) -> Floats:
    if not np.isfinite(values).all():
        raise OutOfRange(f"{int((~np.isfinite(values)).sum())} of {values.size} trials gave no finite number")
    return values


def _summary(values: Floats, probability: float) -> tuple[float, float, float, float]:
    tail = (1 - probability) / 2
    low, high = np.quantile(values, (tail, 1 - tail))
    return float(values.mean()), float(values.std(ddof=1)), float(low), float(high)


def _result(ordered: Floats, probability: float, accuracy: float, *, settled: bool, errors: Floats) -> Trials:
    inside = min(round(probability * ordered.size), ordered.size - 1)
    widths = ordered[inside:] - ordered[: ordered.size - inside]
    start = int(np.argmin(widths))
    return Trials(
        *_summary(ordered, probability),
        float(ordered[start]),
        float(ordered[start + inside]),
        probability,
        int(ordered.size),
        accuracy,
        settled,
        *(float(e) for e in errors),
    )


@dataclass(frozen=True, slots=True)
class Chance:
    """A probability of conforming, by trial.

    Attributes:
        probability: share of the trials within the limits [-].
        error: its standard error [-].
        trials: how many were made.
    """

    probability: float
    error: float
    trials: int


def chance_within(
    estimate: Estimate,
    lower: float | None,
    upper: float | None,
    *,
    rng: np.random.Generator,
    accuracy: float = 0.002,
    most: int = 1_000_000,
) -> Chance:
    """Probability that a value lies within limits, by trial, until it has settled.

    Args:
        estimate: value with its causes.
        lower: smallest size allowed, in the unit of the value, or None.
        upper: largest size allowed, or None.
        rng: source of randomness; the same seed gives the same result.
        accuracy: two standard errors of the probability [-] that shall be reached.
        most: largest number of trials.

    Returns:
        The probability with its standard error.

    Raises:
        BadInput: if the accuracy is not above 0.

    Normal causes of infinite freedom are drawn as one, whose spread is that of their sum. Source: [JCGM101] clauses
    6.4 and 7.9, with the standard error of a counted share in the place of 7.9's.
    """
    if not accuracy > 0:
        raise BadInput(f"accuracy is {accuracy}; above 0 is needed")
    plain = math.hypot(*(part for cause, part in estimate.parts.items() if _is_plain(estimate, cause)))
    others = {cause: part for cause, part in estimate.parts.items() if not _is_plain(estimate, cause) and part}
    drawn = Estimate(estimate.value, others | {"": plain}, estimate.freedom, estimate.shape)
    inside = trials = 0
    while True:
        (values,) = draw([drawn], LEAST_TRIALS, rng)
        fits = np.ones(values.size, dtype=bool)
        if lower is not None:
            fits &= values >= lower
        if upper is not None:
            fits &= values <= upper
        inside, trials = inside + int(fits.sum()), trials + values.size
        share = (inside + 1) / (trials + 2)  # never certain after a finite number of trials
        error = math.sqrt(share * (1 - share) / trials)
        if 2 * error <= accuracy or trials + LEAST_TRIALS > most:
            return Chance(inside / trials, error, trials)


def _is_plain(estimate: Estimate, cause: str) -> bool:
    return estimate.shape.get(cause, "normal") == "normal" and math.isinf(estimate.freedom.get(cause, math.inf))
