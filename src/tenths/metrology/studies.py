"""Gauge studies of the shop's own people and gauges: repeatability and reproducibility, bias, linearity, stability."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tenths.errors import BadInput
from tenths.metrology.distributions import f_tail, t_cdf, t_quantile
from tenths.metrology.instrument import CalibrationPoint, Instrument
from tenths.metrology.typea import FittedLine, Spread, fitted_line, repeated

# Readings by part, then person, then trial.
Readings = Sequence[Sequence[Sequence[float]]]

# 1 / d2*, as printed to four figures in the tables of [AIAG-MSA]: by trials, by people, by parts.
_K1 = {2: 0.8862, 3: 0.5908}
_K2 = {2: 0.7071, 3: 0.5231}
_K3 = {2: 0.7071, 3: 0.5231, 4: 0.4467, 5: 0.4030, 6: 0.3742, 7: 0.3534, 8: 0.3375, 9: 0.3249, 10: 0.3146}
# Chart factors A2, D3, D4 by size of subgroup ([ISO7870-2], table 2).
_CHART = {
    2: (1.880, 0.0, 3.267),
    3: (1.023, 0.0, 2.574),
    4: (0.729, 0.0, 2.282),
    5: (0.577, 0.0, 2.114),
    6: (0.483, 0.0, 2.004),
    7: (0.419, 0.076, 1.924),
    8: (0.373, 0.136, 1.864),
    9: (0.337, 0.184, 1.816),
    10: (0.308, 0.223, 1.777),
}
_POOL_ABOVE = 0.25


@dataclass(frozen=True, slots=True)
class Source:
    """One line of an analysis of variance.

    Attributes:
        name: where the variation comes from.
        squares: sum of squares, in the unit squared.
        freedom: degrees of freedom [-].
        ratio: variance ratio F [-], None for the line it is compared with.
        chance: probability of such a ratio by chance [-], None likewise.
    """

    name: str
    squares: float
    freedom: int
    ratio: float | None = None
    chance: float | None = None

    @property
    def mean_square(self) -> float:
        """Sum of squares over degrees of freedom, in the unit squared."""
        return self.squares / self.freedom


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """Result of a repeatability and reproducibility study; standard deviations in the unit of the readings.

    Attributes:
        repeatability: of one reading by one person (equipment variation).
        reproducibility: between people (appraiser variation), interaction included.
        part: between parts.
        repeatability_freedom: degrees of freedom of the repeatability [-].
        table: analysis of variance, empty for average and range.
        pooled: whether the interaction was pooled with the repeatability.
        reproducibility_freedom: degrees of freedom of the reproducibility [-]; few people tell little of people.
    """

    repeatability: float
    reproducibility: float
    part: float
    repeatability_freedom: float
    table: tuple[Source, ...] = ()
    pooled: bool = False
    reproducibility_freedom: float = math.inf

    @property
    def gauge(self) -> float:
        """Repeatability and reproducibility together, in the unit of the readings."""
        return math.hypot(self.repeatability, self.reproducibility)

    @property
    def total(self) -> float:
        """Gauge and parts together, in the unit of the readings."""
        return math.hypot(self.gauge, self.part)

    @property
    def categories(self) -> int:
        """How many classes of part the gauge can tell apart."""
        return math.floor(1.41 * self.part / self.gauge) if self.gauge else 0

    def of_tolerance(self, tolerance: float) -> float:
        """Six standard deviations of the gauge, as a share of a tolerance.

        Args:
            tolerance: width of the tolerance, in the unit of the readings, above 0.

        Returns:
            The share [-].

        Raises:
            BadInput: if the tolerance is not above 0.
        """
        if not tolerance > 0:
            raise BadInput(f"tolerance is {tolerance}; a width above 0 is needed")
        return 6 * self.gauge / tolerance


def average_and_range(readings: Readings) -> GaugeStudy:
    """Study by averages and ranges.

    Args:
        readings: by part (2 to 10), person (2 or 3), trial (2 or 3).

    Returns:
        The study.

    Raises:
        BadInput: if the table is not full or its size is outside the tables.

    Source: [AIAG-MSA] chapter III section B, average and range method.
    """
    parts, people, trials = _size(readings)
    if trials not in _K1 or people not in _K2 or parts not in _K3:
        raise BadInput(
            f"{parts} parts, {people} people, {trials} trials: 2 to 10, 2 or 3, and 2 or 3 are in the tables"
        )
    ranges = [max(cell) - min(cell) for part in readings for cell in part]
    equipment = math.fsum(ranges) / len(ranges) * _K1[trials]
    by_person = [_mean([x for part in readings for x in part[p]]) for p in range(people)]
    spread = (max(by_person) - min(by_person)) * _K2[people]
    appraiser = math.sqrt(max(spread**2 - equipment**2 / (parts * trials), 0.0))
    by_part = [_mean([x for cell in part for x in cell]) for part in readings]
    # Degrees of freedom of a mean range: about 0.9 (trials - 1) for each, a little less for few; common rule.
    freedom = 0.9 * (trials - 1) * len(ranges)
    # One range over two or three people: 1.0 and 2.0 degrees of freedom ([AIAG-MSA], appendix C).
    spread_of_parts = (max(by_part) - min(by_part)) * _K3[parts]
    return GaugeStudy(equipment, appraiser, spread_of_parts, freedom, reproducibility_freedom=people - 1.0)


def analysis_of_variance(readings: Readings, *, pool_above: float = _POOL_ABOVE) -> GaugeStudy:
    """Study by two-way analysis of variance with interaction.

    Args:
        readings: by part, person, trial; two or more of each.
        pool_above: the interaction is pooled with the repeatability when it would be that likely by chance [-].

    Returns:
        The study with its table.

    Raises:
        BadInput: if the table is not full.

    Source: [AIAG-MSA] chapter III section B, ANOVA method.
    """
    parts, people, trials = _size(readings)
    sums = _sums_of_squares(readings, parts, people, trials)
    part, person, both, error = sums
    freedom = (parts - 1, people - 1, (parts - 1) * (people - 1), parts * people * (trials - 1))
    ratio = _ratio(both / freedom[2], error / freedom[3])
    chance = f_tail(ratio, freedom[2], freedom[3])
    pooled = chance > pool_above
    rest = Source("repeatability", error, freedom[3])
    crossed = Source("part x person", both, freedom[2], ratio, chance)
    if pooled:
        rest = Source("repeatability", error + both, freedom[3] + freedom[2])
    against = rest if pooled else crossed
    lines = [
        Source(name, squares, nu, f, f_tail(f, nu, against.freedom))
        for name, squares, nu in (("part", part, freedom[0]), ("person", person, freedom[1]))
        for f in (_ratio(squares / nu, against.mean_square),)
    ]
    between = max(lines[1].mean_square - against.mean_square, 0.0) / (parts * trials)
    interaction = 0.0 if pooled else max(crossed.mean_square - rest.mean_square, 0.0) / trials
    of_parts = max(lines[0].mean_square - against.mean_square, 0.0) / (people * trials)
    terms = [(lines[1], 1 / (parts * trials)), (against, -1 / (parts * trials))] if between else []
    if interaction:
        terms += [(crossed, 1 / trials), (rest, -1 / trials)]
    return GaugeStudy(
        math.sqrt(rest.mean_square),
        math.sqrt(between + interaction),
        math.sqrt(of_parts),
        rest.freedom,
        (*lines, crossed, rest),
        pooled,
        _freedom_of(between + interaction, terms),
    )


def _freedom_of(variance: float, terms: Sequence[tuple[Source, float]]) -> float:
    """Degrees of freedom of a variance that is a sum of mean squares with weights (as in [JCGM100] G.4)."""
    if variance <= 0.0:
        return math.inf
    weights: dict[Source, float] = {}
    for line, weight in terms:
        weights[line] = weights.get(line, 0.0) + weight
    return variance**2 / math.fsum((w * line.mean_square) ** 2 / line.freedom for line, w in weights.items())


def _sums_of_squares(readings: Readings, parts: int, people: int, trials: int) -> tuple[float, float, float, float]:
    grand = _mean([x for part in readings for cell in part for x in cell])
    cells = [[_mean(cell) for cell in part] for part in readings]
    by_part = [_mean(row) for row in cells]
    by_person = [_mean([row[p] for row in cells]) for p in range(people)]
    of_part = people * trials * math.fsum((m - grand) ** 2 for m in by_part)
    of_person = parts * trials * math.fsum((m - grand) ** 2 for m in by_person)
    both = trials * math.fsum(
        (cells[i][p] - by_part[i] - by_person[p] + grand) ** 2 for i in range(parts) for p in range(people)
    )
    error = math.fsum((x - cells[i][p]) ** 2 for i in range(parts) for p in range(people) for x in readings[i][p])
    return of_part, of_person, both, error


def one_way(groups: Sequence[Sequence[float]]) -> tuple[Source, Source]:
    """Analysis of variance of several groups, such as one part read with several instruments.

    Args:
        groups: two or more, of two or more readings.

    Returns:
        Lines *between* and *within*.

    Raises:
        BadInput: if there are under two groups or readings.
    """
    if len(groups) < 2 or any(len(g) < 2 for g in groups):
        raise BadInput(
            f"one_way: groups of {[len(g) for g in groups]}; two or more, of two or more readings, are needed"
        )
    # Sizes differ by millionths: the mean is taken out first, or the squares lose their figures.
    base = groups[0][0]
    away = [[x - base for x in group] for group in groups]
    grand = _mean([x for group in away for x in group])
    between = math.fsum(len(g) * (_mean(g) - grand) ** 2 for g in away)
    within = math.fsum((x - _mean(g)) ** 2 for g in away for x in g)
    freedom = (len(groups) - 1, sum(len(g) - 1 for g in groups))
    ratio = _ratio(between / freedom[0], within / freedom[1])
    return (
        Source("between", between, freedom[0], ratio, f_tail(ratio, *freedom)),
        Source("within", within, freedom[1]),
    )


@dataclass(frozen=True, slots=True)
class Bias:
    """How far a gauge reads from a master on average.

    Attributes:
        amount: mean reading less the master, in the unit of the readings.
        u: standard uncertainty of that from the scatter, in the same unit.
        spread: of one reading.
        low: lower end of the interval of the bias.
        high: its upper end.
        chance: probability of at least such a bias by chance [-].
    """

    amount: float
    u: float
    spread: Spread
    low: float
    high: float
    chance: float

    @property
    def shown(self) -> bool:
        """Whether the readings show a bias: 0 is not in the interval."""
        return not self.low <= 0.0 <= self.high


def bias(readings: Sequence[float], *, master: float, probability: float = 0.95) -> Bias:
    """Bias of a gauge from repeated readings of a master.

    Args:
        readings: of the master, at least two, not all the same.
        master: its size, in the same unit.
        probability: coverage of the interval [-].

    Returns:
        The bias.

    Raises:
        BadInput: if there are under two readings, or they do not scatter.

    Source: [AIAG-MSA] chapter III section B, independent sample method.
    """
    average = repeated(readings, "bias")
    if average.u == 0.0:
        raise BadInput("bias: all readings are the same; the gauge does not resolve its own scatter")
    freedom = len(readings) - 1
    amount = average.value - master
    reach = t_quantile((1 + probability) / 2, freedom) * average.u
    chance = 2 * t_cdf(-abs(amount / average.u), freedom)
    spread = Spread(average.u * math.sqrt(len(readings)), freedom)
    return Bias(amount, average.u, spread, amount - reach, amount + reach, chance)


@dataclass(frozen=True, slots=True)
class Linearity:
    """How the bias changes over the range.

    Attributes:
        line: bias against size.
        explained: share of the variation of the bias that the line explains [-].
        slope_chance: probability of such a slope by chance [-].
        level_chance: probability of such a bias at size 0 by chance [-].
    """

    line: FittedLine
    explained: float
    slope_chance: float
    level_chance: float


def linearity(masters: Sequence[float], readings: Sequence[Sequence[float]]) -> Linearity:
    """Linearity of a gauge from repeated readings of several masters.

    Args:
        masters: their sizes, three or more readings in all, not all the same size.
        readings: of each master.

    Returns:
        The line of the bias.

    Raises:
        BadInput: if there is not one set of readings for each master, or the line cannot be fitted.

    Source: [AIAG-MSA] chapter III section B, linearity.
    """
    if len(masters) != len(readings):
        raise BadInput(f"linearity: {len(readings)} sets of readings for {len(masters)} masters; they go in pairs")
    sizes = [m for m, group in zip(masters, readings, strict=True) for _ in group]
    away = [x - m for m, group in zip(masters, readings, strict=True) for x in group]
    line = fitted_line(sizes, away, "linearity")
    middle = _mean(away)
    total = math.fsum((a - middle) ** 2 for a in away)
    left = line.spread.deviation**2 * line.spread.freedom
    nu = line.spread.freedom
    return Linearity(
        line,
        1 - left / total if total else 0.0,
        2 * t_cdf(-_over(line.slope.value, line.slope.u), nu),
        2 * t_cdf(-_over(line.intercept.value, line.intercept.u), nu),
    )


@dataclass(frozen=True, slots=True)
class Chart:
    """Stability chart of averages and ranges, in the unit of the readings.

    Attributes:
        averages: of each subgroup.
        ranges: of each subgroup.
        centre: mean of the averages.
        low: lower control limit of the averages.
        high: upper control limit of the averages.
        range_centre: mean range.
        range_low: lower control limit of the ranges.
        range_high: upper control limit of the ranges.
        outside: numbers of the subgroups beyond a limit, from 0.
        drifting: numbers of the subgroups that end a run of eight on one side of the centre, from 0.
    """

    averages: tuple[float, ...]
    ranges: tuple[float, ...]
    centre: float
    low: float
    high: float
    range_centre: float
    range_low: float
    range_high: float
    outside: tuple[int, ...]
    drifting: tuple[int, ...]


def stability(subgroups: Sequence[Sequence[float]]) -> Chart:
    """Chart of a master read again and again over time.

    Args:
        subgroups: in order of time, all of the same size, 2 to 10 readings.

    Returns:
        The chart.

    Raises:
        BadInput: if there are under two subgroups, or their sizes differ or are outside the table.

    Source: [ISO7870-2] for the factors; [AIAG-MSA] chapter III section B, stability.
    """
    sizes = {len(group) for group in subgroups}
    if len(subgroups) < 2 or len(sizes) != 1 or not sizes <= _CHART.keys():
        raise BadInput(
            f"stability: {len(subgroups)} subgroups of sizes {sorted(sizes)}; two or more, all alike, 2 to 10"
        )
    a2, d3, d4 = _CHART[sizes.pop()]
    averages = tuple(_mean(group) for group in subgroups)
    ranges = tuple(max(group) - min(group) for group in subgroups)
    centre, typical = _mean(averages), _mean(ranges)
    low, high, range_low, range_high = centre - a2 * typical, centre + a2 * typical, d3 * typical, d4 * typical
    outside = tuple(
        i
        for i, (x, r) in enumerate(zip(averages, ranges, strict=True))
        if not (low <= x <= high and range_low <= r <= range_high)
    )
    return Chart(
        averages, ranges, centre, low, high, typical, range_low, range_high, outside, _drifting(averages, centre)
    )


def with_study(instrument: Instrument, study: GaugeStudy) -> Instrument:
    """The instrument's record with what a study found instead of what the template supposed.

    Args:
        instrument: as it was recorded, in the same unit as the study.
        study: of this instrument.

    Returns:
        The record with the study's repeatability, its degrees of freedom, and the reproducibility.
    """
    return replace(
        instrument,
        repeatability=study.repeatability,
        repeatability_freedom=study.repeatability_freedom,
        reproducibility=study.reproducibility,
    )


def with_biases(instrument: Instrument, found: Sequence[tuple[float, float, Bias]]) -> Instrument:
    """The instrument's record with calibration points from the shop's own masters.

    Args:
        instrument: as it was recorded.
        found: for each master its size, the standard uncertainty of that size, and the bias found there, all in the
            unit of the instrument.

    Returns:
        The record with one point for each master, ordered by size.

    Raises:
        BadInput: if there is none.
    """
    if not found:
        raise BadInput("with_biases: no master was read; at least one is needed")
    points = sorted(
        (CalibrationPoint(nominal=size, error=bias_.amount, u=math.hypot(bias_.u, u)) for size, u, bias_ in found),
        key=lambda point: point.nominal,
    )
    return replace(instrument, points=tuple(points))


def _drifting(averages: Sequence[float], centre: float, run: int = 8) -> tuple[int, ...]:
    ends: list[int] = []
    length, side = 0, 0
    for i, x in enumerate(averages):
        now = (x > centre) - (x < centre)
        length = length + 1 if now == side and now else int(bool(now))
        side = now
        if length >= run:
            ends.append(i)
    return tuple(ends)


def _size(readings: Readings) -> tuple[int, int, int]:
    people = {len(part) for part in readings}
    trials = {len(cell) for part in readings for cell in part}
    if len(readings) < 2 or len(people) != 1 or len(trials) != 1 or min(people) < 2 or min(trials) < 2:
        raise BadInput(
            f"{len(readings)} parts, {people} people, {trials} trials: a full table, two or more of each, needed"
        )
    return len(readings), people.pop(), trials.pop()


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _ratio(a: float, b: float) -> float:
    if b == 0.0:
        raise BadInput("the readings do not scatter at all; the gauge is too coarse for this study")
    return a / b


def _over(a: float, b: float) -> float:
    if b == 0.0:
        return math.inf if a else 0.0
    return abs(a / b)
