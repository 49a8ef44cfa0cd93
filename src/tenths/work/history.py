"""What the shop has measured over the years: distribution and trend of values."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt


@dataclass(frozen=True, slots=True)
class Spread:
    """A distribution: how many, mean, standard deviation (None for one), smallest, quartiles, largest, and bins for a picture.

    ``bins`` are (from, to, how many), equally wide.
    """

    count: int
    mean: float
    deviation: float | None
    least: float
    quarters: tuple[float, float, float]
    most: float
    bins: tuple[tuple[float, float, int], ...]


@dataclass(frozen=True, slots=True)
class Trend:
    """A straight line through values over time: slope per year, its standard error, and the value at the first day."""

    slope: float
    error: float
    begin: float


def spread_of(values: Sequence[float]) -> Spread | None:
    """The distribution of values; None for none. Quartiles by linear interpolation between the sorted values."""
    if not values:
        return None
    rows = sorted(values)
    mean = sum(rows) / len(rows)
    deviation = sqrt(sum((v - mean) ** 2 for v in rows) / (len(rows) - 1)) if len(rows) > 1 else None
    return Spread(len(rows), mean, deviation, rows[0], (_between(rows, 0.25), _between(rows, 0.5), _between(rows, 0.75)), rows[-1],
                  _bins(rows))


def _between(rows: Sequence[float], share: float) -> float:
    place = share * (len(rows) - 1)
    low = int(place)
    high = min(low + 1, len(rows) - 1)
    return rows[low] + (place - low) * (rows[high] - rows[low])


def _bins(rows: Sequence[float]) -> tuple[tuple[float, float, int], ...]:
    """About as many bins as the square root of the values, 1 to 20."""
    count = max(1, min(20, round(sqrt(len(rows)))))
    wide = (rows[-1] - rows[0]) / count
    if wide <= 0:
        return ((rows[0], rows[-1], len(rows)),)
    counts = [0] * count
    for value in rows:
        counts[min(count - 1, int((value - rows[0]) / wide))] += 1
    return tuple((rows[0] + k * wide, rows[0] + (k + 1) * wide, n) for k, n in enumerate(counts))


def trend_of(days: Sequence[float], values: Sequence[float]) -> Trend | None:
    """The least-squares line of values over days; None for fewer than three values, or all of one day."""
    n = len(values)
    if n < 3 or len(days) != n:
        return None
    middle, mean = sum(days) / n, sum(values) / n
    spread = sum((d - middle) ** 2 for d in days)
    if spread <= 0:
        return None
    slope = sum((d - middle) * (v - mean) for d, v in zip(days, values, strict=True)) / spread
    left = sum((v - mean - slope * (d - middle)) ** 2 for d, v in zip(days, values, strict=True))
    year = 365.25
    return Trend(slope * year, sqrt(left / (n - 2) / spread) * year, mean + slope * (days[0] - middle))
