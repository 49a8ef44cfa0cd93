"""The shapes of the answers about studies of gauges."""

from typing import Any

from tenths.bench.shapes import Shape


class StudyPointRow(Shape, frozen=True):
    """What stands in a gauge's record at one master, as texts with units; uncertainty is standard."""

    size: str
    error: str
    uncertainty: str
    freedom: float | None


class StudyTaken(Shape, frozen=True):
    """What was taken from a study into the record of its gauge, by whom and when."""

    study: str
    kind: str
    day: str
    at: str
    person: str
    entry: str
    repeatability: str
    reproducibility: str
    repeatability_freedom: float | None
    reproducibility_freedom: float | None
    points: list[StudyPointRow]
    words: str


class StudyLine(Shape, frozen=True):
    """A study in a line.

    Attributes:
        read: places read; ``wanted`` of them make it whole.
        left: how many each person still has to read.
        accepted: what of it stands in the record of its gauge; null while nothing does.
    """

    study: str
    kind: str
    kind_words: str
    instrument: str
    instrument_name: str
    what: str
    parts: list[str]
    people: list[str]
    trials: int
    unit: str
    quantity: str
    note: str
    at: str
    person: str
    entry: str
    read: int
    wanted: int
    left: dict[str, int]
    accepted: StudyTaken | None


class StudyReadingRow(Shape, frozen=True):
    """A reading of a study: as typed, then as understood; ``counts`` is false where the same was read again."""

    entry: str
    at: str
    person: str
    reader: str
    part: str
    trial: int
    occasion: int
    text: str
    value: float
    written: str
    counts: bool


class VarianceRow(Shape, frozen=True):
    """A line of an analysis of variance, squares in the fine unit squared."""

    what: str
    squares: float
    freedom: float
    mean_square: float
    ratio: float | None
    chance: float | None


class SpreadRow(Shape, frozen=True):
    """One source of variation: a standard deviation, and its share of the whole and of the tolerance (six of them)."""

    what: str
    deviation: float
    text: str
    share: float
    of_tolerance: float | None
    freedom: float | None


class MethodRow(Shape, frozen=True):
    """Repeatability and reproducibility by one method."""

    method: str
    unit: str
    pooled: bool
    categories: int
    of_tolerance: float | None
    rows: list[SpreadRow]
    table: list[VarianceRow]


class MasterRow(Shape, frozen=True):
    """The bias at one master, in the fine unit; ``low`` to ``high`` is its 95 % interval by the scatter alone."""

    part: str
    size: float
    size_text: str
    unit: str
    bias: float
    bias_text: str
    standard_uncertainty: float
    from_scatter: float
    from_master: float
    freedom: float | None
    interval: float
    low: float
    high: float
    chance: float | None
    shown: bool
    repeatability: float
    readings: list[float]


class LineRow(Shape, frozen=True):
    """The bias as a straight line over size: fine unit, per unit of size."""

    intercept: float
    slope: float
    slope_uncertainty: float
    explained: float
    slope_chance: float
    level_chance: float
    unit: str
    per: str


class ChartRow(Shape, frozen=True):
    """A stability chart, in the fine unit from a size; ``outside`` and ``drifting`` count occasions from 0."""

    averages: list[float]
    ranges: list[float]
    centre: float
    low: float
    high: float
    range_centre: float
    range_low: float
    range_high: float
    outside: list[int]
    drifting: list[int]
    unit: str
    start: float
    from_text: str
    dates: list[str]


class CellRow(Shape, frozen=True):
    """Mean, from the mean of all, and range of one part by one person."""

    mean: float
    range: float


class LimitsRow(Shape, frozen=True):
    """Limits of the chart by person."""

    reach: float
    range_centre: float
    range_high: float


class StudyResult(Shape, frozen=True):
    """What a study found; what its kind does not tell is empty or null."""

    methods: list[MethodRow]
    masters: list[MasterRow]
    line: LineRow | None
    chart: ChartRow | None
    averages: list[list[CellRow]]
    limits: LimitsRow | None


class Study(StudyLine, frozen=True):
    """A study with its readings, what it found and what it says.

    Attributes:
        why: why there is no result yet.
        offer: body of the entry ``study.accepted`` that takes it into the record of its gauge; null when there is none.
        again: readings that were taken again, of which the last counts.
        gauge: the card of the gauge.
    """

    size_unit: str
    fine_unit: str
    sizes: list[str]
    tolerance: str
    setting: str
    readings: list[StudyReadingRow]
    again: int
    why: str
    result: StudyResult | None
    statement: list[str]
    gauge: dict[str, Any] | None
    offer: dict[str, Any] | None


class Turn(Shape, frozen=True):
    """A reading that is still to be taken, in blind order."""

    part: str
    trial: int
    occasion: int
    reader: str


class StudyAsked(Shape, frozen=True):
    """One thing to ask before a reading of a study is taken."""

    what: str
    words: str
    share: float


class StudyQuestion(Shape, frozen=True):
    """What a reading of a study would be understood as, and what to ask; what is expected is not told."""

    understood: bool
    why: str
    written: str
    questions: list[StudyAsked]


class Begun(Shape, frozen=True):
    """The name of the study that was begun."""

    study: str
