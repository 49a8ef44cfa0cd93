"""The shapes of the answers about form and about risks over a run."""

from tenths.bench.shapes import Shape


class FormAmount(Shape, frozen=True):
    """A length with its doubt, in the fine unit, and as texts; ``interval`` is half of the 95 % interval."""

    value: float
    standard_uncertainty: float
    interval: float
    text: str
    interval_text: str


class FormPoint(Shape, frozen=True):
    """A point of a line or face: where it lies (along, across), how far from the least squares shape, whether it holds the zone."""

    place: str
    label: str
    along: float
    across: float
    deviation: float
    holds: bool


class FormDiameter(Shape, frozen=True):
    """A diameter of a section: its axis, the angle that it is drawn at [deg], how far from the mean of all."""

    axis: str
    angle: float
    deviation: float
    text: str


class FormSection(Shape, frozen=True):
    """A section of a journal or bore at a height; the radial zones are half of what two diameters differ by."""

    height: str
    along: float
    diameters: list[FormDiameter]
    out_of_round: FormAmount | None
    radial_least_squares: float | None
    radial_minimum: float | None


class FormRow(Shape, frozen=True):
    """One form of a part from the readings that hold.

    Attributes:
        form: "line", "plane" or "round".
        unit: of all numbers.
        least_squares: width of the zone about the least squares shape; null for what is round.
        minimum: width of the narrowest zone; for what is round, the worst out-of-round.
        scatter: what the scatter of the readings alone would make of a perfect part, on average.
        band: lower and upper edge of the narrowest zone of a line, at its first and last place.
        taper: first height less last; ``barrel``: how far the mean diameters lie from a straight side.
        tilt_along: from end to end of a face; ``tilt_across`` likewise.
        verdicts: of the findings that judge it, by characteristic.
    """

    form: str
    station: str
    station_words: str
    feature: str
    words: str
    unit: str
    least_squares: float | None
    least_squares_text: str
    minimum: FormAmount | None
    scatter: float
    scatter_text: str
    points: list[FormPoint]
    sections: list[FormSection]
    taper: FormAmount | None
    barrel: FormAmount | None
    band: list[list[float]]
    tilt_along: float | None
    tilt_across: float | None
    size_text: str
    statement: str
    stale: bool
    verdicts: dict[str, str]


class RiskTexts(Shape, frozen=True):
    """What was taken, as a person writes it; empty where there is none."""

    mean: str
    deviation: str
    uncertainty: str
    lower: str
    upper: str


class RiskHistory(Shape, frozen=True):
    """How a size came out in this shop: ``spread`` as read, ``deviation`` without the scatter of the readings."""

    mean: float
    spread: float
    deviation: float
    count: int
    engines: int


class RiskRow(Shape, frozen=True):
    """The risks by one rule: of one place as probabilities, over the run as expected numbers; what passes reads ``start`` to ``end``."""

    rule: str
    words: str
    start: float | None
    end: float | None
    start_text: str
    end_text: str
    customer: float
    builder: float
    passes: float
    bad: float
    expected_bad_passed: float
    at_least_one: float
    expected_good_refused: float


class RiskAnswer(Shape, frozen=True):
    """Risks over a run of engines for a characteristic with limits; ``sources`` says where each number comes from."""

    characteristic: str
    words: str
    engine: str
    run: int
    count: int
    unit: str
    mean: float
    deviation: float
    uncertainty: float
    lower: float | None
    upper: float | None
    text: RiskTexts
    sources: dict[str, str]
    history: RiskHistory | None
    rules: list[RiskRow]
    statement: list[str]
