"""The shapes of the answers that the API gives, for its documentation; a test holds the answers to them."""

from typing import Any

import msgspec


class Shape(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Base of all shapes: nothing is answered that is not documented."""


class EngineLine(Shape, frozen=True):
    """An engine in a line: who for, how far, how many findings of each verdict, what it waits for.

    Attributes:
        position: where its log ends now; what decisions say that their maker had seen.
        problems: entries that could not be understood.
    """

    engine: str
    name: str
    customer: str
    purpose: str
    use: str
    fuel: str
    units: str
    notes: str
    layout: str
    readings: int
    verdicts: dict[str, int]
    on_order: list[str]
    problems: int
    position: int
    opened: str


class StationRow(Shape, frozen=True):
    """A station: its stable address, kind, words, and place in walking order."""

    station: str
    kind: str
    words: str
    order: int


class PartRow(Shape, frozen=True):
    """A part, where it is, and the slots that it is fitted in."""

    part: str
    kind: str
    words: str
    maker: str
    number: str
    serial: str
    size: str
    sizes: dict[str, str]
    in_house: bool
    where: str
    promised: str
    supplier: str
    fitted: list[str]


class StockRow(Shape, frozen=True):
    """Sets of shells of one size in the house."""

    kind: str
    size: str
    change: str
    sets: int


class StatedRow(Shape, frozen=True):
    """A size that a sheet states, as typed."""

    station: str
    feature: str
    text: str
    source: str
    entry: str


class InstrumentRow(Shape, frozen=True):
    """An instrument's card."""

    instrument: str
    kind: str
    name: str
    resolution: str
    limit_of_error: str
    due: str
    since: str


class ProblemRow(Shape, frozen=True):
    """An entry that could not be understood, and why."""

    entry: str
    position: int
    what: str


class Engine(EngineLine, frozen=True):
    """An engine as it stands."""

    cylinders: list[str]
    firing_order: list[str]
    firing_intervals: list[float]
    mains: int
    stations: list[StationRow]
    parts: list[PartRow]
    stock: list[StockRow]
    stated: list[StatedRow]
    instruments: list[InstrumentRow]
    problem_list: list[ProblemRow]


class Texts(Shape, frozen=True):
    """The numbers of a finding as a person would write them, with their unit; empty where there is none."""

    value: str
    interval: str
    lower: str
    upper: str
    target: str
    expected: str


class InputRow(Shape, frozen=True):
    """What a finding was computed from: read, stated, learned, taken over from another finding, or missing."""

    name: str
    station: str
    feature: str
    origin: str
    unit: str
    value: float | None
    standard_uncertainty: float | None
    text: str
    entries: list[str]
    stale: list[str]


class InUseRow(Shape, frozen=True):
    """An instrument that readings of a finding rest on.

    Attributes:
        instrument: its id; empty where none was named.
        role: read with, or set from.
        state: in order, overdue, not set, set too long ago, out of range, another hand, not listed, not named or not understood.
        said: what to say of it; empty when it is in order.
    """

    instrument: str
    name: str
    kind: str
    role: str
    state: str
    said: str


class FindingRow(Shape, frozen=True):
    """A finding, judged.

    Attributes:
        value: in ``unit``; null when not measured.
        interval: half-width of the 95 % interval, in ``unit``.
        probability: that it lies within its limits.
        verdict: fits, out, too close to call, not measured, stale, or no limit.
        authority: whose limits these are.
        entries: ids of the entries that it came from.
        expected: what it should come to while it is not measured.
        instruments: what its readings were taken with and set from, each with its state.
        rule: the decision rule of the house.
        edition: of the standard on decision rules, where the house judges by it.
        method: how its doubt is carried: linear, second order or by trial; empty when not measured.
    """

    station: str
    station_words: str
    characteristic: str
    words: str
    section: str
    value: float | None
    unit: str
    standard_uncertainty: float | None
    interval: float | None
    lower: float | None
    upper: float | None
    target: float | None
    authority: str
    source: str
    probability: float | None
    verdict: str
    entries: list[str]
    expected: float | None
    formula: str
    missing: list[str]
    stale: list[str]
    warnings: list[str]
    instruments: list[InUseRow]
    rule: str
    edition: str
    method: str
    inputs: list[InputRow]
    text: Texts


class DependantRow(Shape, frozen=True):
    """A finding elsewhere that rests on this station."""

    station: str
    characteristic: str
    words: str
    verdict: str


class ReadingRow(Shape, frozen=True):
    """A reading: the text as typed, and what it was understood as."""

    entry: str
    position: int
    at: str
    person: str
    station: str
    feature: str
    words: str
    place: str
    text: str
    unit: str
    value: float
    standard_uncertainty: float
    written: str
    instrument: str
    stale: str
    note: str


class FeatureRow(Shape, frozen=True):
    """What can be read or stated at a station, where on the part, how, and with what."""

    feature: str
    words: str
    how: str
    places: list[str]
    instrument: str
    sketch: str
    stated_only: bool


class SlotRow(Shape, frozen=True):
    """The part that is in a slot."""

    slot: str
    part: str


class NoteRow(Shape, frozen=True):
    """Words about a station."""

    at: str
    person: str
    text: str
    entry: str


class PhotoRow(Shape, frozen=True):
    """A photograph, by the hash of its file: ``/photo/{file}`` shows it."""

    at: str
    person: str
    file: str
    words: str
    entry: str


class Station(StationRow, frozen=True):
    """Everything about a station."""

    findings: list[FindingRow]
    depends_on: list[str]
    dependants: list[DependantRow]
    readings: list[ReadingRow]
    features: list[FeatureRow]
    parts: list[SlotRow]
    slots: list[str]
    notes: list[NoteRow]
    photos: list[PhotoRow]
    cylinder: str | None


class TurnedThrow(Shape, frozen=True):
    """Crank and rod that every cylinder shares [m]."""

    stroke: float
    rod_length: float
    pin_offset: float


class TurnedCylinder(Shape, frozen=True):
    """A cylinder with the crank at an angle.

    Attributes:
        phase: crank angle after its crankpin's own top when the crank stands at 0 [deg].
        fires: crank angle of the top dead centre after which it fires [deg].
        deck_clearance: of the piston at its top, where it is known [m].
        stroke: power, exhaust, intake or compression.
        tops: crank angles at which the piston stands highest [deg].
        depth: of the piston below its top, or below the deck where its clearance is known [m].
        rod_lean: of the rod from the bore's axis [deg].
    """

    cylinder: str
    phase: float
    fires: float
    deck_clearance: float | None
    stroke: str
    tops: list[float]
    depth: float | None
    text: str
    rod_lean: float | None


class TurnedLeast(Shape, frozen=True):
    """The least of a clearance over all cylinders, and the crank angles at which it occurs [deg]."""

    words: str
    station: str
    station_words: str
    text: str
    angles: list[float]


class Turned(Shape, frozen=True):
    """The engine with its crank at an angle [deg]."""

    crank: float
    unit: str
    per_metre: float
    decimals: int
    throw: TurnedThrow | None
    cylinders: list[TurnedCylinder]
    least: list[TurnedLeast]


class TrayRow(Shape, frozen=True):
    """A reading that is still to be taken.

    Attributes:
        how: how it is read.
        sketch: name of the small drawing that shows how.
        instrument: the one last used for it.
        unit: of a number typed without one.
        deviation_from: what the gauge is set to, when it shows deviations.
        why: not measured, or why what was read holds no more.
    """

    station: str
    station_words: str
    feature: str
    words: str
    place: str
    how: str
    sketch: str
    instrument_kind: str
    instrument: str
    unit: str
    expected: float | None
    expected_text: str
    last_text: str
    signed: bool
    why: str
    deviation_from: str


class Doubt(Shape, frozen=True):
    """Something to ask about a reading: which slip it would be, in words, what was then meant, and its share of the odds."""

    what: str
    words: str
    meant: float | None
    meant_text: str
    place: str
    share: float


class Question(Shape, frozen=True):
    """What a reading would be understood as and what would come of it.

    Attributes:
        why: why it cannot be understood, when it cannot.
        away: how far from what is expected, in usual spreads.
        questions: what to ask, likeliest first; none for a usual reading.
    """

    understood: bool
    why: str
    questions: list[Doubt]
    findings: list[FindingRow]
    value: float | None = None
    unit: str = ""
    deviation: bool = False
    written: str = ""
    expected: float | None = None
    expected_text: str = ""
    away: float | None = None


class PickRow(Shape, frozen=True):
    """One part of an answer: what goes where."""

    station: str
    pick: str
    words: str
    amount: float | None = None


class PredictedRow(Shape, frozen=True):
    """What a characteristic would come to."""

    station: str
    characteristic: str
    unit: str
    value: float | None
    standard_uncertainty: float
    lower: float | None
    upper: float | None
    target: float | None
    probability: float | None
    text: str


class ScoreRow(Shape, frozen=True):
    """A measure by which answers are compared."""

    name: str
    value: float
    unit: str
    text: str


class Alternative(Shape, frozen=True):
    """One of the next-best answers."""

    words: str
    picks: list[PickRow]
    predicted: list[PredictedRow]
    scores: list[ScoreRow]


class Stop(Shape, frozen=True):
    """What stands in the way of an answer."""

    station: str
    limit: str
    words: str


class SizeRow(Shape, frozen=True):
    """A size that places not yet measured may ask for: how probably, and where."""

    size: str
    needed: bool
    probability: float
    at: list[str]


class SettingRow(Shape, frozen=True):
    """Something that a builder may set about a question: the text in force, and what is taken."""

    name: str
    words: str
    text: str
    accepted: str


class ChoiceAnswer(Shape, frozen=True):
    """A question answered: the best answer, why, the next-best.

    Attributes:
        position: of the log that it was worked out from.
        entries: ids that it rests on.
        proven: whether nothing better exists; ``gap`` is how much better something could be.
        drawing: the answers as plain data for a drawing, with its kind; empty where there is none.
        settings: what may be set about it by an entry ``choice.asked``.
    """

    question: str
    title: str
    possible: bool
    position: int
    picks: list[PickRow]
    predicted: list[PredictedRow]
    scores: list[ScoreRow]
    reasons: list[str]
    alternatives: list[Alternative]
    rests_on: list[str]
    entries: list[str]
    proven: bool
    gap: float | None
    stops: list[Stop]
    notes: list[str]
    drawing: dict[str, Any]
    settings: list[SettingRow]
    still_needed: list[SizeRow]


class Choice(ChoiceAnswer, frozen=True):
    """A question answered, and what accepts the answer.

    Attributes:
        accept: for each option, best first, the body of the entry ``choice.accepted`` that accepts it.
    """

    accept: list[dict[str, Any]]


class AcceptedPick(Shape, frozen=True):
    """What was accepted for a place, what was predicted, and what was read since."""

    station: str
    pick: str
    characteristic: str
    unit: str
    predicted: float | None
    standard_uncertainty: float | None
    read: float | None


class AcceptedRow(Shape, frozen=True):
    """A choice that was accepted."""

    entry: str
    position: int
    at: str
    person: str
    question: str
    words: str
    reasons: list[str]
    picks: list[AcceptedPick]
    rests_on_struck: list[str]
    drawing: dict[str, Any]


class HalfRow(Shape, frozen=True):
    """A half of a shell: ``wall`` as text, ``measured`` whether it was read, ``where`` its slot or "loose"."""

    half: str
    kind: str
    size: str
    side: str
    box: str
    grooved: bool
    flanged: bool
    measured: bool
    wall: str
    where: str


class SeatRow(Shape, frozen=True):
    """What a half of a place must be; ``kept`` where the one that is in stays."""

    station: str
    side: str
    groove: str
    flanged: bool
    kept: bool


class OutcomeRow(Shape, frozen=True):
    """An accepted prediction, and what was read of it later."""

    engine: str
    station: str
    predicted: float
    read: float
    off: float


class BiasRow(Shape, frozen=True):
    """How far readings lie from predictions, for one kind of choice.

    Attributes:
        words: a sentence that says it.
        count: predictions that were read; ``engines`` that they are from.
        mean: read less predicted; ``interval`` is the half-width of its 95 % interval, null for a single one.
        shows: whether zero lies outside that interval.
        expected: root mean square of the doubt that was claimed; ``found`` that of read less predicted.
    """

    question: str
    characteristic: str
    words: str
    unit: str
    count: int
    engines: int
    mean: float
    interval: float | None
    shows: bool
    expected: float
    found: float
    outcomes: list[OutcomeRow]


class OrderedBox(Shape, frozen=True):
    """So many boxes of a size, and what they cost."""

    size: str
    count: int
    cost: float


class OrderRow(Shape, frozen=True):
    """A plan that no cheaper one beats, with the share of the scenarios in which the engine can be finished."""

    boxes: list[OrderedBox]
    words: str
    cost: float
    probability: float


class OrderPlanRow(OrderRow, frozen=True):
    """The plan to take: ``fresh`` is its share of fresh scenarios, ``at_least`` the confidence bound from those."""

    fresh: float
    at_least: float


class Measuring(Shape, frozen=True):
    """What it is worth to measure a batch before ordering."""

    batch: str
    cost_now: float
    cost_then: float
    saved: float
    promise_now: float
    promise_then: float
    hopeless: float
    words: str


class Order(ChoiceAnswer, frozen=True):
    """What to order before the parts arrive.

    Attributes:
        asked: probability of finishing.
        confidence: of the check on fresh scenarios.
        plan: null where none on offer reaches what is asked; then ``stops`` says why.
        table: the cheapest plan for each probability that can be reached.
        measuring: null where there is nothing to measure, or no plan.
        basis: what it rests on, in sentences.
        accept: the body of the entry ``choice.accepted`` that accepts the plan; empty where nothing is bought.
    """

    asked: float
    confidence: float
    plan: OrderPlanRow | None
    table: list[OrderRow]
    measuring: Measuring | None
    basis: list[str]
    scenarios: int
    accept: list[dict[str, Any]]


class WhatIf(Shape, frozen=True):
    """A choice as it stands and after a change; nothing of it is written.

    Attributes:
        change: in words.
        words: what it gains or loses.
        now: the answer as it stands.
        then: the answer after the change.
    """

    question: str
    title: str
    change: str
    words: str
    now: ChoiceAnswer
    then: ChoiceAnswer


class LogRow(Shape, frozen=True):
    """An entry of the log in a sentence.

    Attributes:
        at: when, by the clock of the device; ``received`` by ours.
        struck: the reason, when it was struck; ``struck_by`` is the position of the strike.
    """

    position: int
    entry: str
    type: str
    at: str
    received: str
    person: str
    device: str
    sentence: str
    struck: str
    struck_by: int | None
    hash: str


class Changes(Shape, frozen=True):
    """What was committed after a sequence number.

    Attributes:
        sequence: up to which this tells; ask from here the next time.
        engines: each log that grew, and where it ends.
        entries: ids of the entries.
        more: whether there is more than was told at once.
    """

    sequence: int
    engines: dict[str, int]
    entries: list[str]
    more: bool


class PageRow(Shape, frozen=True):
    """A page that is open now."""

    page: str
    name: str
    person: str
    device: str
    since: str


class Assets(Shape, frozen=True):
    """The static files: one version over all, and their addresses."""

    version: str
    urls: list[str]
