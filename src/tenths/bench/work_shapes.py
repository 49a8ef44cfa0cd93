"""The shapes of the answers about the work: steps, what next, what again, parts on the way, finish, plan, money, customer."""

import msgspec

from tenths.bench.shapes import Shape


class Wait(Shape, frozen=True):
    """One thing that a step waits for: a step, part, check or tool."""

    kind: str
    what: str
    words: str


class WorkMark(Shape, frozen=True):
    """Who did something and when."""

    at: str
    person: str
    entry: str
    position: int
    note: str


class StepAgain(Shape, frozen=True):
    """Why a step is to be done again, and the step through which that reaches it."""

    words: str
    through: str
    position: int


class StepTick(Shape, frozen=True):
    """Something that a step asks to be looked at."""

    words: str
    ticked: bool


class StepRead(Shape, frozen=True):
    """A characteristic that a step reads or waits for, as it stands."""

    characteristic: str
    station: str
    words: str
    verdict: str
    text: str


class StepPart(Shape, frozen=True):
    """A kind of part that a step needs."""

    kind: str
    slots: list[str]


class StepRun(Shape, frozen=True):
    """Who is at a step, and since when."""

    person: str
    since: str


class StepNote(Shape, frozen=True):
    """Words left with a step."""

    at: str
    person: str
    text: str


class StepRow(Shape, frozen=True):
    """A step as it stands. Status: open, begun, to check, done, again. Hours [h] and days are low, likely, high."""

    step: str
    name: str
    station: str
    station_words: str
    stage: str
    words: str
    branch: str
    status: str
    offered: bool
    waits: list[Wait]
    waits_for: list[str]
    stands_on: list[str]
    frees: list[str]
    again: StepAgain | None
    done: WorkMark | None
    checked: WorkMark | None
    second: str
    check_words: str
    ticks: list[StepTick]
    past: list[str]
    reads: list[StepRead]
    checks: list[StepRead]
    parts: list[StepPart]
    tools: list[str]
    place: str
    hours: list[float]
    days: list[float]
    spent: float
    running: list[StepRun]
    notes: list[StepNote]
    caution: str
    caution_new: bool


class StepStage(Shape, frozen=True):
    """A stage with its steps."""

    stage: str
    steps: list[StepRow]


class PlanProblem(Shape, frozen=True):
    """An edit of the plan that could not be made."""

    entry: str
    position: int
    what: str


class Steps(Shape, frozen=True):
    """All steps of an engine, stage by stage."""

    engine: str
    name: str
    position: int
    adopted: bool
    stages: list[StepStage]
    counts: dict[str, int]
    total: int
    offered: list[str]
    problems: list[PlanProblem]


class NextStepRow(Shape, frozen=True):
    """A step that can be done now; ``way`` is the longest way from it to the end [h]."""

    step: str
    words: str
    station: str
    stage: str
    status: str
    place: str
    hours: list[float]
    opens: list[str]
    behind: int
    way: float
    why: str
    begun_by: list[str]


class NextPerson(Shape, frozen=True):
    """What a person is at, or could take."""

    person: str
    at: list[str]
    next: str
    why: str


class ToCheck(Shape, frozen=True):
    """A step that waits for its second check."""

    step: str
    words: str
    why: str


class MissingPart(Shape, frozen=True):
    """A part that is missing, with every step that it holds up."""

    part: str
    words: str
    where: str
    supplier: str
    promised: str
    late: int
    holds_up: list[str]


class Stop(Shape, frozen=True):
    """A check or a tool that holds up steps."""

    what: str
    words: str
    steps: list[str]


class NextUp(Shape, frozen=True):
    """What can be done now, by whom, and what is missing."""

    engine: str
    name: str
    position: int
    offered: list[NextStepRow]
    people: list[NextPerson]
    to_check: list[ToCheck]
    missing: list[MissingPart]
    checks: list[Stop]
    tools: list[Stop]
    done: int
    total: int


class AgainReading(Shape, frozen=True):
    """A reading to be taken again."""

    station: str
    station_words: str
    feature: str
    words: str
    places: list[str]
    why: str
    last: str
    entries: list[str]


class AgainChoice(Shape, frozen=True):
    """An accepted answer to be asked again."""

    question: str
    entry: str
    accepted: str
    person: str
    why: list[str]


class AgainStep(Shape, frozen=True):
    """A step to be done again."""

    step: str
    words: str
    station: str
    stage: str
    offered: bool
    why: str
    through: str


class Todo(Shape, frozen=True):
    """One thing to do again: a reading, an answer or a step."""

    kind: str
    what: str
    where: str
    why: str


class FallBox(Shape, frozen=True):
    """A box of the picture."""

    id: str
    words: str
    count: int
    kind: str


class FallBand(Shape, frozen=True):
    """A band of the picture."""

    title: str
    boxes: list[FallBox]


class FallPicture(Shape, frozen=True):
    """Bands of boxes from the change downwards, and the lines between them."""

    bands: list[FallBand]
    edges: list[tuple[str, str]]


class Again(Shape, frozen=True):
    """What a change made stale, or would."""

    engine: str
    name: str
    position: int
    readings: list[AgainReading]
    choices: list[AgainChoice]
    steps: list[AgainStep]
    todo: list[Todo]
    picture: FallPicture


class PartSource(Shape, frozen=True):
    """Where a part can be had."""

    supplier: str
    number: str
    cost: str
    lead: str


class Happened(Shape, frozen=True):
    """Something that happened to a part."""

    at: str
    person: str
    position: int
    what: str


class PartSize(Shape, frozen=True):
    """A size on a part's card, beside the newest reading of it that holds."""

    feature: str
    words: str
    stated: str
    read: str
    person: str


class PartOnWay(Shape, frozen=True):
    """A part and its way; ``late`` is in days."""

    part: str
    kind: str
    words: str
    where: str
    in_house: bool
    supplier: str
    order: str
    cost: str
    quantity: int
    slots: list[str]
    fitted: list[str]
    promised: str
    first_promise: str
    late: int
    shelf: str
    fits: bool | None
    ordered: WorkMark | None
    arrived: WorkMark | None
    inspected: WorkMark | None
    sources: list[PartSource]
    history: list[Happened]
    holds_up: list[str]
    code: str
    sizes: list[PartSize]


class NeededPart(Shape, frozen=True):
    """A kind of part that the plan asks for."""

    kind: str
    places: int
    steps: list[str]
    listed: list[str]
    in_house: int


class Outside(Shape, frozen=True):
    """Work done outside."""

    work: str
    part: str
    supplier: str
    words: str
    step: str
    promised: str
    cost: str
    sent: WorkMark
    back: WorkMark | None
    fits: bool | None
    late: int


class Supply(Shape, frozen=True):
    """Every part of an engine with its way, what the plan needs, work outside."""

    engine: str
    name: str
    position: int
    today: str
    parts: list[PartOnWay]
    late: list[str]
    needed: list[NeededPart]
    outside: list[Outside]


class BoxMove(Shape, frozen=True):
    """Boxes that came in or went out."""

    at: str
    person: str
    count: int
    why: str


class BoxRow(Shape, frozen=True):
    """A kind of box that the shop keeps."""

    box: str
    kind: str
    size: str
    words: str
    change: str
    supplier: str
    number: str
    cost: str
    count: int
    coming: int
    promised: str
    reorder_at: int
    order_up_to: int
    to_order: int
    by_engine: dict[str, int]
    moves: list[BoxMove]


class ToolRow(Shape, frozen=True):
    """A tool that is away."""

    tool: str
    why: str


class Shelf(Shape, frozen=True):
    """Boxes that the shop keeps for all engines, and tools that are away."""

    boxes: list[BoxRow]
    away: list[ToolRow]


class OrderLine(Shape, frozen=True):
    """A line of an order list; ``accepted`` names what of an accepted order it is, as the form that orders it takes it."""

    what: str
    number: str
    words: str
    quantity: int
    cost: str
    engine: str
    why: str
    total: str
    accepted: str


class SupplierList(Shape, frozen=True):
    """What is to be ordered from one supplier."""

    supplier: str
    lines: list[OrderLine]
    total: str


class OrderLists(Shape, frozen=True):
    """What is to be ordered, by supplier."""

    day: str
    suppliers: list[SupplierList]


class PartCost(Shape, frozen=True):
    """What a missing part costs in working days, and when it comes: early, likely, late."""

    part: str
    days: float
    arrives: list[str]


class FinishDay(Shape, frozen=True):
    """Which share of the fates ends on a day."""

    day: str
    share: float


class FinishAnswer(Shape, frozen=True):
    """When an engine will be done: days by which one in ten, half and nine in ten fates are."""

    engine: str
    position: int
    people: int
    samples: int
    steps: int
    hours: float
    early: str
    likely: str
    late: str
    parts: list[PartCost]
    due: str
    chance: float | None
    history: int
    waits: list[Stop]
    spread: list[FinishDay]


class FinishDays(Shape, frozen=True):
    """Days by which one in ten, half and nine in ten fates are done, and which share of them ends on which day."""

    early: str
    likely: str
    late: str
    spread: list[FinishDay]


class IfLate(Shape, frozen=True):
    """What it does to the finish when a missing part comes so many days later; ``shift`` in working days."""

    engine: str
    part: str
    days: int
    before: FinishDays
    after: FinishDays
    shift: float
    holds_up: list[str]


class HoursStage(Shape, frozen=True):
    """Hours of a stage: planned as likely, and spent."""

    stage: str
    planned: float
    spent: float


class HoursStep(Shape, frozen=True):
    """Hours of a step."""

    step: str
    spent: float


class HoursPerson(Shape, frozen=True):
    """Hours of a person."""

    person: str
    spent: float


class HoursRow(Shape, frozen=True):
    """A stretch of work."""

    step: str
    stage: str
    person: str
    hours: float
    day: str
    booked: bool
    note: str


class Hours(Shape, frozen=True):
    """Hours of an engine."""

    engine: str
    name: str
    position: int
    total: float
    stages: list[HoursStage]
    steps: list[HoursStep]
    people: list[HoursPerson]
    stretches: list[HoursRow]


class AgainstRow(Shape, frozen=True):
    """A line of the quote against what it became."""

    kind: str
    words: str
    about: str
    quoted: str
    actual: str
    quoted_money: str
    actual_money: str
    difference: str


class Against(Shape, frozen=True):
    """The quote against what the job became."""

    engine: str
    name: str
    quote: str
    currency: str
    rows: list[AgainstRow]
    quoted: str
    actual: str
    difference: str


class ProgressStage(Shape, frozen=True):
    """How far a stage is."""

    stage: str
    done: int
    total: int
    state: str


class ProgressAsked(Shape, frozen=True):
    """Something that the customer is asked."""

    approval: str
    text: str
    cost: str


class ProgressPhoto(Shape, frozen=True):
    """A photograph that the customer may see."""

    station: str
    file: str
    words: str
    at: str


class ProgressMessage(Shape, frozen=True):
    """A message between shop and customer."""

    way: str
    text: str
    at: str


class Progress(Shape, frozen=True):
    """What a customer may see of a job."""

    engine: str
    name: str
    customer: str
    purpose: str
    due: str
    stages: list[ProgressStage]
    share: float
    asked: list[ProgressAsked]
    photos: list[ProgressPhoto]
    messages: list[ProgressMessage]


class PlanRow(Shape, frozen=True):
    """A block of the shop's plan: hours from now, days from and to, who, and why not earlier."""

    engine: str
    steps: list[str]
    stage: str
    place: str
    person: str
    start: float
    end: float
    hours: float
    first: str = msgspec.field(name="from")
    to: str
    why: str


class PlanFinish(Shape, frozen=True):
    """When the plan has an engine done; ``late`` is in days."""

    engine: str
    hours: float
    day: str
    due: str
    late: int


class ShopPlan(Shape, frozen=True):
    """A plan for engines that share the shop; ``gap`` is by how much the worst could be better at most, as a share of the whole."""

    today: str
    people: list[str]
    rows: list[PlanRow]
    finishes: list[PlanFinish]
    latest: float
    bound: float
    gap: float
    solver: str
