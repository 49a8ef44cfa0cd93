"""A value with its doubt, held as a linear form over independent causes, and how a formula carries it.

Every cause of error (the scale of one micrometer, one setting of one bore gauge, the shop's temperature at one
reading) is a random variable with mean 0 and variance 1 that has a stable key. A value holds how far one standard
deviation of each cause would move it. Two values that hold the same key share that cause, so it cancels or adds by
itself; no matrix of correlations is kept, and none has to be guessed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import cycle
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from tenths.errors import BadInput, OutOfRange

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Shape = Literal["normal", "rectangular", "triangular", "arcsine"]

_NO_FREEDOM: Mapping[str, float] = MappingProxyType({})
_NO_SHAPE: Mapping[str, Shape] = MappingProxyType({})
_NEGLIGIBLE = 1e-6
_FAR = 9
_WEIGHTS = tuple(0.45 + 0.55 * math.modf(0.6180339887498949 * i)[0] for i in range(1, 32))


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and what each independent cause contributes to its doubt.

    Attributes:
        value: best estimate, in any unit.
        parts: cause key -> signed standard contribution, in the unit of the value.
        freedom: cause key -> degrees of freedom; a cause that is absent has infinitely many.
        shape: cause key -> distribution of the cause; absent means normal (or t, where the freedom is finite).

    Equality is by content. Source: [JCGM100] clause 5.2 with the correlation carried by common causes (5.2.4).
    """

    value: float
    parts: Mapping[str, float]
    freedom: Mapping[str, float] = field(default_factory=lambda: _NO_FREEDOM)
    shape: Mapping[str, Shape] = field(default_factory=lambda: _NO_SHAPE)

    @property
    def u(self) -> float:
        """Combined standard uncertainty, in the unit of the value."""
        return math.hypot(*self.parts.values())


@dataclass(frozen=True, slots=True)
class Propagated:
    """What a formula makes of uncertain inputs.

    Attributes:
        estimate: the result.
        sensitivities: change of the result per change of each input; 0 for an input without doubt.
        curvature: standard uncertainty of the second-order part, relative to that of the first-order part: 0 for a
            linear formula; above about 0.1 the linear result understates the doubt by more than half a per cent.
        shift: mean of the second-order part, by which the first-order value is off, in the unit of the result.
        by_input: signed sensitivity times standard uncertainty of each input, in the unit of the result.
    """

    estimate: Estimate
    sensitivities: tuple[float, ...]
    curvature: float
    shift: float
    by_input: tuple[float, ...]


def exact(value: float) -> Estimate:
    """A value without doubt, such as a count or a defined constant.

    Args:
        value: the value, in any unit.

    Returns:
        The estimate without causes.

    Raises:
        BadInput: if the value is not finite.
    """
    return Estimate(_finite("value", value), {})


def single(value: float, u: float, cause: str, *, freedom: float = math.inf, shape: Shape = "normal") -> Estimate:
    """A value with one cause of doubt.

    Args:
        value: best estimate, in any unit.
        u: standard uncertainty, in the same unit, at least 0.
        cause: stable key of the cause.
        freedom: degrees of freedom of u, above 0.
        shape: distribution of the cause.

    Returns:
        The estimate.

    Raises:
        BadInput: if the value is not finite, or u negative or not finite, or the freedom not above 0.
    """
    if not (u >= 0 and math.isfinite(u)):
        raise BadInput(f"u of {cause} is {u}; a standard uncertainty is a finite number of 0 or more")
    if not freedom > 0:
        raise BadInput(f"freedom of {cause} is {freedom}; degrees of freedom are above 0")
    return Estimate(
        _finite("value", value),
        {cause: u},
        {} if math.isinf(freedom) else {cause: freedom},
        {} if shape == "normal" else {cause: shape},
    )


def combine(coefficients: Sequence[float], estimates: Sequence[Estimate], *, constant: float = 0.0) -> Estimate:
    """A weighted sum, exact because it is linear.

    Args:
        coefficients: one factor for each estimate.
        estimates: the terms.
        constant: what is added, in the unit of the result.

    Returns:
        constant + sum of coefficient times estimate. A cause that cancels stays with a contribution of 0, so that a
        budget can say that it does.

    Raises:
        BadInput: if there is not one coefficient for each estimate.

    Source: [JCGM100] Eq. 10 and 13, with the correlation carried by common causes.
    """
    if len(coefficients) != len(estimates):
        raise BadInput(f"combine: {len(coefficients)} coefficients for {len(estimates)} estimates; they go in pairs")
    value = constant
    parts: dict[str, float] = {}
    freedom: dict[str, float] = {}
    shape: dict[str, Shape] = {}
    so_far = parts.get
    for factor, estimate in zip(coefficients, estimates, strict=True):
        value += factor * estimate.value
        for cause, part in estimate.parts.items():
            parts[cause] = so_far(cause, 0.0) + factor * part
        if estimate.freedom:
            freedom.update(estimate.freedom)
        if estimate.shape:
            shape.update(estimate.shape)
    return Estimate(value, parts, freedom, shape)


def difference(a: Estimate, b: Estimate) -> Estimate:
    """What a is larger than b: a clearance, for a hole and its shaft.

    Args:
        a: the minuend.
        b: the subtrahend, in the same unit.

    Returns:
        a - b, in which common causes cancel.
    """
    return combine((1.0, -1.0), (a, b))


def mean(estimates: Sequence[Estimate]) -> Estimate:
    """Average of several readings; what they share does not average out.

    Args:
        estimates: at least one, in the same unit.

    Returns:
        The average.

    Raises:
        BadInput: if there is none.
    """
    if not estimates:
        raise BadInput("mean: no estimates given; at least one is needed")
    return combine([1.0 / len(estimates)] * len(estimates), estimates)


def linear(function: Callable[..., float], *inputs: Estimate) -> Estimate:
    """Carry uncertain inputs through a formula to the first order only, where hundreds of findings are judged at once.

    Args:
        function: plain function of as many floats as there are inputs.
        inputs: the arguments; causes that they share combine exactly.

    Returns:
        The same estimate as `propagate` gives, without a look at the curvature.

    Raises:
        OutOfRange: if the function gives a number that is not finite within one standard uncertainty.

    Source: [JCGM100] clause 5.1.3 note 2.
    """
    point = [item.value for item in inputs]
    steps = [item.u for item in inputs]
    centre = function(*point)
    slopes, _ = _along_axes(function, point, steps, centre)
    if not math.isfinite(centre + math.fsum(slopes)):
        raise OutOfRange(_not_finite(function, point, steps))
    return _first_order(centre, _per_unit(slopes, steps), inputs)


def linear_with_bend(function: Callable[..., float], *inputs: Estimate) -> tuple[Estimate, float]:
    """The first order, and about how bent the formula is, for hundreds of findings at once.

    Args:
        function: plain function of as many floats as there are inputs.
        inputs: the arguments; causes that they share combine exactly.

    Returns:
        The estimate as `linear` gives it, and the curvature about as `propagate` gives it: from the second differences of
        each input, and of all mixed pairs together along one crooked line, as if the inputs shared nothing.

    Raises:
        OutOfRange: if the function gives a number that is not finite within one standard uncertainty.

    Validity: a screen, to tell what needs `propagate`. Source: [JCGM100] clause 5.1.2 note.
    """
    point = [item.value for item in inputs]
    steps = [item.u for item in inputs]
    centre = function(*point)
    slopes, own = _along_axes(function, point, steps, centre)
    if not math.isfinite(centre + math.fsum(slopes)):
        raise OutOfRange(_not_finite(function, point, steps))
    estimate = _first_order(centre, _per_unit(slopes, steps), inputs)
    weights = _WEIGHTS[: len(steps)] if len(steps) <= len(_WEIGHTS) else [w for w, _ in zip(cycle(_WEIGHTS), steps, strict=False)]
    moves = [w * h for w, h in zip(weights, steps, strict=True)]
    up = function(*[p + m for p, m in zip(point, moves, strict=True)])
    down = function(*[p - m for p, m in zip(point, moves, strict=True)])
    mixed = abs(up + down - 2 * centre - math.fsum(w * w * bend for w, bend in zip(weights, own, strict=True)))
    return estimate, _ratio(math.hypot(*own, mixed) / math.sqrt(2), estimate.u)


def _per_unit(slopes: Sequence[float], steps: Sequence[float]) -> tuple[float, ...]:
    return tuple(s / h if h else 0.0 for s, h in zip(slopes, steps, strict=True))


def _first_order(value: float, sensitivities: Sequence[float], inputs: Sequence[Estimate]) -> Estimate:
    found = combine(sensitivities, inputs)
    return Estimate(value, found.parts, found.freedom, found.shape)


def propagate(function: Callable[..., float], *inputs: Estimate) -> Propagated:
    """Carry uncertain inputs through a formula by finite differences.

    The formula is evaluated at each input plus and minus its own standard uncertainty, so that the slope is the
    mean slope over the range that matters. Second differences with all pairs give the curvature.

    Args:
        function: plain function of as many floats as there are inputs.
        inputs: the arguments; causes that they share combine exactly.

    Returns:
        The result, its sensitivities, and how much of it is not linear.

    Raises:
        OutOfRange: if the function gives a number that is not finite within one standard uncertainty.

    Validity: inputs spread symmetrically; third derivatives are left out of the curvature. Curvature is computed for
    normal causes. Source: [JCGM100] clause 5.1.3 note 2, and 5.1.2 note for the second order.
    """
    point = [item.value for item in inputs]
    steps = [item.u for item in inputs]
    centre = function(*point)
    slopes, own = _along_axes(function, point, steps, centre)
    if not math.isfinite(centre + math.fsum(slopes)):
        raise OutOfRange(_not_finite(function, point, steps))
    sensitivities = _per_unit(slopes, steps)
    estimate = _first_order(centre, sensitivities, inputs)
    shift, spread = 0.0, 0.0
    if _is_bent(function, point, steps, centre, own, slopes):
        bends = _between_axes(function, point, steps, centre, own)
        shift, spread = _second_order(bends, inputs, steps)
    return Propagated(estimate, sensitivities, _ratio(spread, estimate.u) if spread else 0.0, shift, tuple(slopes))


def _along_axes(
    function: Callable[..., float], point: list[float], steps: list[float], centre: float
) -> tuple[list[float], list[float]]:
    """Half the first differences and the second differences, for a step of one uncertainty in each input."""
    slopes, own = [0.0] * len(point), [0.0] * len(point)
    for i, step in enumerate(steps):
        if step:
            here = point[i]
            point[i] = here + step
            up = function(*point)
            point[i] = here - step
            down = function(*point)
            point[i] = here
            slopes[i] = (up - down) / 2
            own[i] = up + down - 2 * centre
    return slopes, own


def _is_bent(
    function: Callable[..., float],
    point: list[float],
    steps: list[float],
    centre: float,
    own: list[float],
    slopes: list[float],
) -> bool:
    """Whether any second difference counts; one step along a crooked line shows all the mixed ones together.

    The weights of the line have no simple ratios, so that mixed terms which cancel each other along one diagonal
    (a b - c d) do not cancel here. Most formulas of the trade are straight, and are spared the step for every pair.
    """
    least = _NEGLIGIBLE * math.hypot(*slopes)
    if any(abs(bend) > least for bend in own):
        return True
    moves = [w * h for w, h in zip(cycle(_WEIGHTS), steps, strict=False)]
    up = function(*[p + m for p, m in zip(point, moves, strict=True)])
    down = function(*[p - m for p, m in zip(point, moves, strict=True)])
    return not abs(up + down - 2 * centre) <= least


def _between_axes(
    function: Callable[..., float], point: list[float], steps: list[float], centre: float, own: list[float]
) -> dict[tuple[int, int], float]:
    """Second differences of all pairs, each for a step of one uncertainty."""
    moving = [i for i, step in enumerate(steps) if step]
    bends = {(i, i): own[i] for i in moving}
    for place, i in enumerate(moving):
        for j in moving[place + 1 :]:
            a, b = point[i], point[j]
            point[i], point[j] = a + steps[i], b + steps[j]
            up = function(*point)
            point[i], point[j] = a - steps[i], b - steps[j]
            down = function(*point)
            point[i], point[j] = a, b
            bends[i, j] = (up + down - 2 * centre - own[i] - own[j]) / 2
    return bends


def _second_order(
    bends: Mapping[tuple[int, int], float], inputs: Sequence[Estimate], steps: Sequence[float]
) -> tuple[float, float]:
    """Mean and standard deviation of half the quadratic form H over normal inputs: tr(HR)/2, sqrt(tr(HRHR)/2)."""
    size = len(inputs)
    bend = [[bends.get((min(i, j), max(i, j)), 0.0) for j in range(size)] for i in range(size)]
    unit = [{k: p / h for k, p in e.parts.items()} if h else {} for e, h in zip(inputs, steps, strict=True)]
    related = [[sum(p * b.get(k, 0.0) for k, p in a.items()) for b in unit] for a in unit]
    product = [[sum(bend[i][k] * related[k][j] for k in range(size)) for j in range(size)] for i in range(size)]
    shift = sum(product[i][i] for i in range(size)) / 2
    variance = sum(product[i][j] * product[j][i] for i in range(size) for j in range(size)) / 2
    return shift, math.sqrt(max(variance, 0.0))


def _ratio(spread: float, u: float) -> float:
    if spread == 0.0:
        return 0.0
    return spread / u if u else math.inf


def _not_finite(function: Callable[..., float], point: Sequence[float], steps: Sequence[float]) -> str:
    name = getattr(function, "__name__", "the formula")
    where = ", ".join(f"{p:.9g} ±{s:.3g}" for p, s in zip(point, steps, strict=True))
    return f"{name}: not a finite number everywhere within one standard uncertainty of ({where})"


def _finite(name: str, value: float) -> float:
    if not math.isfinite(value):
        raise BadInput(f"{name} is {value}; a finite number is needed")
    return value


def covariance(estimates: Sequence[Estimate]) -> NDArray[np.float64]:
    """Covariance of many estimates, from the causes that they share.

    Args:
        estimates: n of them.

    Returns:
        n x n matrix, in the product of their units.
    """
    import numpy as np  # noqa: PLC0415 (kept off the path from a reading to a verdict)

    size = len(estimates)
    keys: list[str] = []
    amounts: list[float] = []
    for estimate in estimates:
        keys.extend(estimate.parts)
        amounts.extend(estimate.parts.values())
    number = {cause: i for i, cause in enumerate(dict.fromkeys(keys))}
    columns = np.fromiter(map(number.__getitem__, keys), np.intp, len(keys))
    by_cause = np.argsort(columns, kind="stable")
    rows = np.repeat(np.arange(size), [len(e.parts) for e in estimates])[by_cause]
    parts = np.array(amounts, dtype=float)[by_cause]
    reach = np.bincount(columns, minlength=len(number))
    start = np.cumsum(reach) - reach
    # Most causes (the last figure of one reading) touch one or a few values: those are added pair by pair, for all
    # causes of the same reach at once, and only the far-reaching ones are worth a column in a product of matrices.
    far = np.flatnonzero(reach >= _FAR)
    table = np.zeros((size, len(far)))
    for column, cause in enumerate(far):
        here = slice(start[cause], start[cause] + reach[cause])
        table[rows[here], column] = parts[here]
    result = table @ table.T
    for width in np.unique(reach[reach < _FAR]):
        taken: NDArray[np.intp] = start[reach == width][:, None] + np.arange(int(width))
        places = rows[taken][:, :, None] * size + rows[taken][:, None, :]
        products = parts[taken][:, :, None] * parts[taken][:, None, :]
        result += np.bincount(places.ravel(), products.ravel(), size * size).reshape(size, size)
    return result


def correlation(estimates: Sequence[Estimate]) -> NDArray[np.float64]:
    """Correlation of many estimates; 0 beside an exact one.

    Args:
        estimates: n of them.

    Returns:
        n x n matrix of numbers from -1 to 1, with 1 on the diagonal.
    """
    import numpy as np  # noqa: PLC0415 (kept off the path from a reading to a verdict)

    matrix = covariance(estimates)
    spread = np.sqrt(np.diag(matrix))
    scale = np.where(spread > 0, spread, 1.0)
    result = matrix / scale[:, None] / scale[None, :]
    np.fill_diagonal(result, 1.0)
    return result
