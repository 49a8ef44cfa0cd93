"""The shapes of the answers about the shop's history."""

from tenths.bench.shapes import Shape


class HistoryValue(Shape, frozen=True):
    """A value that holds, where and when; ``interval`` is the half-width of its 95 % interval."""

    engine: str
    name: str
    customer: str
    use: str
    station: str
    station_words: str
    at: str
    value: float
    u: float
    interval: float
    text: str
    verdict: str
    pick: str


class HistorySpread(Shape, frozen=True):
    """A distribution; ``quarters`` are at a quarter, half and three quarters, ``bins`` from, to, how many."""

    count: int
    mean: float
    deviation: float | None
    least: float
    quarters: list[float]
    most: float
    bins: list[tuple[float, float, int]]
    text: dict[str, str]


class ChosenSpread(HistorySpread, frozen=True):
    """What came of one choice."""

    pick: str


class HistoryTrend(Shape, frozen=True):
    """The straight line through values over time: per year with its standard error, at the first and the last day."""

    per_year: float
    error: float
    begin: float
    end: float
    text: str


class History(Shape, frozen=True):
    """A characteristic over the engines of the shop."""

    characteristic: str
    words: str
    unit: str
    values: list[HistoryValue]
    engines: int
    spread: HistorySpread | None
    trend: HistoryTrend | None
    choices: list[ChosenSpread]


class KnownCharacteristic(Shape, frozen=True):
    """A characteristic that holds somewhere in the shop."""

    characteristic: str
    words: str
    section: str
    engines: int
    values: int


class FoundEngine(Shape, frozen=True):
    """An engine that was looked for, and where each word or size was found."""

    engine: str
    name: str
    customer: str
    purpose: str
    opened: str
    found: dict[str, list[str]]


class WornReading(Shape, frozen=True):
    """A reading as it was at one time: ``text`` as typed, ``written`` as a size."""

    value: float
    written: str
    text: str
    at: str
    person: str
    entry: str


class WornPlace(Shape, frozen=True):
    """A place that was read again: by how much it changed; of ``other_part`` nobody can say that it wore."""

    station: str
    station_words: str
    feature: str
    words: str
    place: str
    unit: str
    first: WornReading
    last: WornReading
    change: float
    change_text: str
    other_part: bool


class Wear(Shape, frozen=True):
    """First readings of an engine beside the newest."""

    engine: str
    name: str
    back: bool
    rows: list[WornPlace]
