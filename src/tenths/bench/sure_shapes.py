"""The shapes of the answers about how sure findings are, about instruments and about temperatures."""

from tenths.bench.shapes import FindingRow, Shape


class BudgetLine(Shape, frozen=True):
    """A cause of a finding's doubt, or several alike.

    Attributes:
        part: signed standard contribution in ``doubt_unit``; of several, the root of the sum of squares.
        share: of the variance.
        count: for how many causes the line stands.
        freedom: degrees of freedom; null for infinitely many.
        cancels: it is in the inputs and drops out of the result.
    """

    kind: str
    words: str
    part: float
    text: str
    share: float
    count: int
    freedom: float | None
    shape: str
    cancels: bool


class HelpRow(Shape, frozen=True):
    """Something that the shop could do, the doubt it would leave, and how the same value would then be judged.

    Attributes:
        kind: repeat, set, use, measure, read the temperature, or wait.
        u: standard uncertainty afterwards, in ``doubt_unit``.
        gain: how much smaller that is than now.
    """

    kind: str
    words: str
    u: float
    text: str
    gain: float
    gain_text: str
    probability: float | None
    verdict: str


class MethodRow(Shape, frozen=True):
    """How doubt was carried through the formula, and why.

    Attributes:
        decided_by_trial: the verdict hangs on a probability that was found by trial.
        low: how far the 95 % range by trial reaches below the value; empty where no trials were made.
        high: and above.
    """

    name: str
    reason: str
    decided_by_trial: bool
    low: str
    high: str
    trials: int


class RuleRow(Shape, frozen=True):
    """The decision rule of the house, and between which values it would accept with this doubt.

    Attributes:
        edition: of the standard on decision rules; empty where the house judges otherwise.
        none: why no value would be accepted; empty otherwise.
    """

    name: str
    edition: str
    words: str
    accept_from: str
    accept_to: str
    none: str


class WarmthRow(Shape, frozen=True):
    """A temperature that readings were brought to 20 degC by.

    Attributes:
        origin: read at the part, or noted in the log.
        gauge: temperature of the gauge, where it was another; degC.
    """

    words: str
    celsius: float
    u: float
    gauge: float | None
    material: str
    origin: str
    readings: int


class How(Shape, frozen=True):
    """How sure a finding is, and why.

    Attributes:
        doubt_unit: unit of what is said of its doubt: tenths or µm for lengths.
        coverage: factor of the 95 % interval.
        freedom: effective degrees of freedom; null for infinitely many.
        budget: causes, largest first; what cancels last.
        helps: what would help, most first.
    """

    finding: FindingRow
    doubt_unit: str
    u: float | None
    u_text: str
    coverage: float | None
    freedom: float | None
    budget: list[BudgetLine]
    helps: list[HelpRow]
    method: MethodRow | None
    rule: RuleRow
    warmth: list[WarmthRow]


class Least(Shape, frozen=True):
    """The finding of a kind that is least sure to fit."""

    station: str
    words: str
    probability: float | None


class DifferenceRow(Shape, frozen=True):
    """By how much the second place is larger than the first, with what both share taken out.

    Attributes:
        interval: half-width of the 95 % interval.
        u_if_independent: what the standard uncertainty would be if they shared nothing.
        differ: by more than the interval.
        most: the two that differ most.
    """

    first: str
    second: str
    words: str
    value: str
    interval: str
    u: str
    u_if_independent: str
    correlation: float
    differ: bool
    most: bool


class TogetherRow(Shape, frozen=True):
    """Findings of one kind taken together.

    Attributes:
        count: how many are measured; ``of`` how many there are.
        together: probability that all fit.
        independent: what it would be if they shared nothing.
        bound: it is at least so much, and was not worked out further.
    """

    characteristic: str
    words: str
    count: int
    of: int
    stations: list[str]
    unit: str
    doubt_unit: str
    together: float
    independent: float
    bound: bool
    least: Least
    words_together: str
    differences: list[DifferenceRow]


class SettingRow(Shape, frozen=True):
    """A gauge that was set to a size from a master."""

    engine: str
    instrument: str
    master: str
    size: str
    at: str
    person: str
    entry: str


class InstrumentLine(Shape, frozen=True):
    """An instrument of the shop as it is today.

    Attributes:
        basis: what its limits rest on: certificate, study, maker's limit, or what is usual for its kind.
        set_from: master that it is usually set from.
        needs_setting: it shows deviations from a size that it is set to.
        state: in order, due soon, overdue, or no due date.
    """

    instrument: str
    kind: str
    name: str
    serial: str
    hand: str
    range: str
    resolution: str
    limit_of_error: str
    repeatability: str
    basis: str
    set_from: str
    needs_setting: bool
    certificate: str
    calibrated: str
    due: str
    state: str
    said: str
    since: str
    last_set: SettingRow | None


class CertificatePointRow(Shape, frozen=True):
    """A line of a certificate: size, what to add to a reading there, standard uncertainty, in ``small_unit``."""

    size: str
    size_value: float
    correction: str
    u: float
    correction_value: float


class CertificateRow(Shape, frozen=True):
    """A calibration certificate."""

    certificate: str
    by: str
    day: str
    due: str
    coverage: str
    entry: str
    at: str
    person: str
    unit: str
    small_unit: str
    points: list[CertificatePointRow]


class UsedRow(Shape, frozen=True):
    """An engine that an instrument was used on."""

    engine: str
    name: str
    readings: int
    last: str


class InstrumentRecord(InstrumentLine, frozen=True):
    """Everything that the shop knows of an instrument; ``card`` as it was typed."""

    card: dict[str, str | int]
    listed: str
    listed_by: str
    certificates: list[CertificateRow]
    settings: list[SettingRow]
    used_in: list[UsedRow]


class TemplateRow(Shape, frozen=True):
    """A kind that an instrument can be begun from, with what is usual for it: common practice, no source."""

    kind: str
    words: str
    name: str
    quantity: str
    resolution: str
    limit_of_error: str
    repeatability: str
    needs_setting: bool


class NoteRow(Shape, frozen=True):
    """A line of the temperature log."""

    where: str
    text: str
    celsius: float
    value: float
    unit: str
    written: str
    when: str
    thermometer: str
    note: str
    person: str
    entry: str
    position: int


class EffectRow(Shape, frozen=True):
    """What a temperature did to readings: how many, and by how much it moved the one that it moved most."""

    words: str
    celsius: float
    gauge: float | None
    material: str
    origin: str
    readings: int
    most: float
    unit: str


class TemperatureLog(Shape, frozen=True):
    """The temperature log of the shop or of an engine, the latest first, and what it did there."""

    notes: list[NoteRow]
    effect: list[EffectRow]


class Written(Shape, frozen=True):
    """How many entries were written."""

    entries: int
