"""Doubt from repeated observation: means, pooled spreads, quantities observed together, and a fitted line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, combine


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard deviation of one observation, and how well it is known.

    Attributes:
        deviation: standard deviation, in the unit of the observations.
        freedom: its degrees of freedom [-].
    """

    deviation: float
    freedom: int


def pooled(groups: Sequence[Sequence[float]]) -> Spread:
    """Spread of one observation, from several places each read several times.

    Args:
        groups: readings of one place each; a group of one says nothing about spread and is passed over.

    Returns:
        The pooled standard deviation.

    Raises:
        BadInput: if no group has two readings.

    Source: [JCGM100] 4.2.4 and H.3.6.
    """
    useful = [group for group in groups if len(group) > 1]
    if not useful:
        raise BadInput("pooled: no place was read twice; a spread needs at least one that was")
    squares = math.fsum(_squares(group) for group in useful)
    freedom = sum(len(group) - 1 for group in useful)
    return Spread(math.sqrt(squares / freedom), freedom)


def repeated(readings: Sequence[float], cause: str, *, spread: Spread | None = None) -> Estimate:
    """Average of repeated readings with the doubt that their scatter shows.

    Args:
        readings: at least two, or at least one where a pooled spread is given.
        cause: key of the cause.
        spread: pooled spread to use instead of these readings' own.

    Returns:
        The average with its one cause.

    Raises:
        BadInput: if there are too few readings.

    Source: [JCGM100] clause 4.2.
    """
    if len(readings) < (2 if spread is None else 1):
        raise BadInput(f"repeated: {len(readings)} readings for {cause}; two are needed, or one and a pooled spread")
    known = spread or pooled([readings])
    u = known.deviation / math.sqrt(len(readings))
    return Estimate(_mean(readings), {cause: u}, {cause: float(known.freedom)})


def repeated_together(columns: Sequence[Sequence[float]], cause: str) -> tuple[Estimate, ...]:
    """Averages of quantities that were observed at the same times, with the correlation that the data show.

    Args:
        columns: one column of n readings for each quantity, row by row taken together.
        cause: stem of the keys; ``:1``, ``:2`` ... is added.

    Returns:
        One average for each column, over common causes.

    Raises:
        BadInput: if the columns are of unequal length or shorter than two.

    Source: [JCGM100] 5.2.3 and H.2; the covariance of the means is split into independent causes by Cholesky's method.
    """
    count = len(columns[0]) if columns else 0
    if count < 2 or any(len(column) != count for column in columns):
        raise BadInput(
            f"repeated_together: columns of {[len(c) for c in columns]} readings; equal, two or more, needed"
        )
    means = [_mean(column) for column in columns]
    away = [[x - m for x in column] for column, m in zip(columns, means, strict=True)]
    scale = count * (count - 1)
    size = len(columns)
    table = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            moment = math.fsum(a * b for a, b in zip(away[i], away[j], strict=True)) / scale
            rest = moment - math.fsum(table[i][k] * table[j][k] for k in range(j))
            if i == j:
                table[i][i] = math.sqrt(max(rest, 0.0))
            elif table[j][j]:
                table[i][j] = rest / table[j][j]
    keys = [f"{cause}:{k + 1}" for k in range(size)]
    freedom = dict.fromkeys(keys, float(count - 1))
    return tuple(
        Estimate(m, {k: p for k, p in zip(keys, row, strict=True) if p}, freedom)
        for m, row in zip(means, table, strict=True)
    )


@dataclass(frozen=True, slots=True)
class FittedLine:
    """A straight line through points, y = intercept + slope (x - origin).

    Attributes:
        origin: x at which the intercept is given.
        intercept: y there, over the causes of the fit.
        slope: its slope, over the same causes.
        spread: standard deviation of one point about the line.
        correlation: of intercept and slope [-].
    """

    origin: float
    intercept: Estimate
    slope: Estimate
    spread: Spread
    correlation: float

    def at(self, x: float) -> Estimate:
        """The line's value at x, with the doubt of the line (not of one more point).

        Args:
            x: where, in the unit of the fitted x.

        Returns:
            y and its causes.
        """
        return combine((1.0, x - self.origin), (self.intercept, self.slope))


def fitted_line(x: Sequence[float], y: Sequence[float], cause: str, *, origin: float = 0.0) -> FittedLine:
    """Ordinary least squares line, all the doubt in y.

    Args:
        x: at least three places, not all the same.
        y: readings there.
        cause: stem of the keys; ``:middle`` and ``:slope`` are added, the two independent causes of the fit.
        origin: x at which the intercept is wanted.

    Returns:
        The line.

    Raises:
        BadInput: if there are under three points, unequal numbers, or no spread in x.

    Source: [JCGM100] H.3.
    """
    if len(x) != len(y) or len(x) < 3:
        raise BadInput(f"fitted_line: {len(x)} x and {len(y)} y; as many of each, three or more, are needed")
    middle, height = _mean(x), _mean(y)
    across = _squares(x)
    if across == 0.0:
        raise BadInput("fitted_line: all x are the same; a line needs two places")
    slope = math.fsum((a - middle) * (b - height) for a, b in zip(x, y, strict=True)) / across
    rest = math.fsum((b - height - slope * (a - middle)) ** 2 for a, b in zip(x, y, strict=True))
    spread = Spread(math.sqrt(rest / (len(x) - 2)), len(x) - 2)
    at_middle, at_slope = f"{cause}:middle", f"{cause}:slope"
    freedom = dict.fromkeys((at_middle, at_slope), float(spread.freedom))
    u_slope = spread.deviation / math.sqrt(across)
    parts = {at_middle: spread.deviation / math.sqrt(len(x)), at_slope: (origin - middle) * u_slope}
    intercept = Estimate(height + slope * (origin - middle), parts, freedom)
    related = parts[at_slope] / intercept.u if intercept.u else 0.0
    return FittedLine(origin, intercept, Estimate(slope, {at_slope: u_slope}, freedom), spread, related)


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _squares(values: Sequence[float]) -> float:
    middle = _mean(values)
    return math.fsum((value - middle) ** 2 for value in values)
