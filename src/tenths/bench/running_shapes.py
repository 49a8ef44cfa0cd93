"""The shapes of the answers about the running engine."""

from tenths.bench.shapes import Shape


class Number(Shape, frozen=True):
    """A computed number: value in its unit, standard uncertainty where one was worked out, and as a person writes it."""

    value: float | None
    unit: str
    standard_uncertainty: float | None
    text: str


class UsedRow(Number, frozen=True):
    """A size that was reckoned with, and where it came from: read, stated or taken."""

    name: str
    words: str
    origin: str
    entries: list[str]
    stale: list[str]
    station: str
    feature: str


class WordsRow(Number, frozen=True):
    """A number and what it is."""

    words: str


class Ellipse(Shape, frozen=True):
    """A force or couple of one order: the half axes of its ellipse, the long one's direction [deg], its turning parts in SI."""

    largest: Number
    smallest: Number
    direction: float
    way: str
    forward: list[float]
    backward: list[float]


class OrderRow(Shape, frozen=True):
    """What reaches the mounts at one order."""

    order: int
    force: Ellipse
    couple: Ellipse


class Derived(Shape, frozen=True):
    """How much of the first order turns with the crank and against it, and the shares that follow."""

    force_with: float
    force_against: float
    couple_with: float
    couple_against: float
    share_for_force: float | None
    share_for_couple: float | None


class Forces(Shape, frozen=True):
    """Firing intervals [deg], and forces by order at the highest speed."""

    engine: str
    speed: Number
    firing_order: list[str]
    firing_intervals: list[float]
    share: float
    share_authority: str
    derived: Derived
    motion: list[WordsRow]
    orders: list[OrderRow]
    used: list[UsedRow]


class RodLoad(Shape, frozen=True):
    """Largest push and pull along a rod at its big end."""

    cylinder: str
    push: Number
    pull: Number


class PinLoad(Shape, frozen=True):
    """Load of a crankpin by all its rods; ``at`` is the crank angle [deg] of the largest."""

    station: str
    largest: Number
    mean: Number
    at: float


class MainLoad(Shape, frozen=True):
    """Largest load of a main, hinged and as a beam; both again in order of size, means likewise, and per projected area."""

    station: str
    hinged: Number
    elastic: Number
    lower: Number
    upper: Number
    mean_lower: Number
    mean_upper: Number
    unit_load: Number


class AtSpeed(Shape, frozen=True):
    """All loads at one speed; ``swing`` is the energy that the flywheel takes up and gives back."""

    speed: Number
    mean_torque: Number
    largest_torque: Number
    smallest_torque: Number
    swing: Number
    peak_pressure: Number
    side: Number
    rods: list[RodLoad]
    pins: list[PinLoad]
    mains: list[MainLoad]


class PistonLimit(Shape, frozen=True):
    """What pistons of a kind bear by common practice, beside what this engine asks."""

    piston: str
    mean_speed: Number
    mean_speed_to: Number
    acceleration: Number
    acceleration_to: Number
    speed_to: Number
    within: bool
    source: str


class PartFinding(Number, frozen=True):
    """A number of a part under load, judged where common practice has a limit."""

    name: str
    words: str
    verdict: str
    limit: str
    authority: str


class Loads(Shape, frozen=True):
    """Loads over the cycle at several speeds, at full throttle and with it closed."""

    engine: str
    speeds: list[Number]
    open: list[AtSpeed]
    closed: list[AtSpeed]
    limits: list[PistonLimit]
    parts: list[PartFinding]
    used: list[UsedRow]
    notes: list[str]


class Curve(Shape, frozen=True):
    """A load over the cycle by its components."""

    up: list[float]
    across: list[float]


class MainCurve(Shape, frozen=True):
    """The load of a main, shared out either way."""

    hinged: Curve
    elastic: Curve


class Curves(Shape, frozen=True):
    """Curves over the cycle at one speed: crankpins seen from the crank, mains from the engine."""

    engine: str
    speed: Number
    angle: list[float]
    torque: list[float]
    torque_unit: str
    pressure: list[float]
    pressure_unit: str
    force_unit: str
    pins: dict[str, Curve]
    mains: dict[str, MainCurve]


class Weight(Number, frozen=True):
    """A weight, and whether it was read, stated or is missing."""

    origin: str
    stale: list[str]


class WeightRow(Shape, frozen=True):
    """Everything that is weighed of one cylinder."""

    cylinder: str
    piston: Weight
    pin: Weight
    rings: Weight
    locks: Weight
    small_end: Weight
    big_end: Weight
    shells: Weight


class TakeRow(Shape, frozen=True):
    """What to take off one part."""

    cylinder: str
    take: Number


class TakeOff(Shape, frozen=True):
    """What to take off all parts of a kind, so that they weigh what the lightest does."""

    part: str
    words: str
    complete: bool
    rows: list[TakeRow]
    largest: Number


class PairRow(Shape, frozen=True):
    """A pin for a piston, by the cylinders they lie at now."""

    piston: str
    pin: str
    together: Number


class Match(Shape, frozen=True):
    """Pins dealt to pistons, and the spread before and after."""

    pairs: list[PairRow]
    spread_now: Number
    spread_then: Number


class BobweightRow(Number, frozen=True):
    """The bobweight of a crankpin."""

    pin: str
    missing: list[str]
    verdict: str


class Correction(Shape, frozen=True):
    """A hole that takes the unbalance away, or a slug of heavy metal opposite that makes it up."""

    diameter: Number
    hole: Number
    slug: Number


class PlaneRow(Shape, frozen=True):
    """A correction plane of the crank: allowed, left over, where it is heavy [deg], and what corrects it."""

    plane: str
    allowed: Number
    left: Number
    heavy_at: float | None
    add_at: float | None
    verdict: str
    corrections: list[Correction]


class EndRow(Shape, frozen=True):
    """What all counterweights amount to in the plane of the first or last throw, and where it points [deg]."""

    plane: str
    add: Number
    angle: float


class WeighingSheet(Shape, frozen=True):
    """The weighing sheet with all that follows from it."""

    engine: str
    parts: list[WeightRow]
    take_off: list[TakeOff]
    match: Match | None
    share: float
    share_authority: str
    bobweights: list[BobweightRow]
    planes: list[PlaneRow]
    ends: list[EndRow]


class ModeRow(Shape, frozen=True):
    """A mode of the crank in torsion; lower and upper are by either rule for the stiffness of throws."""

    mode: int
    frequency: Number
    lower: Number
    upper: Number
    shape: list[float]


class CriticalRow(Shape, frozen=True):
    """A critical speed and how strongly the firing order drives it, 0 to 1."""

    order: float
    mode: int
    speed: Number
    strength: float
    above: bool


class Worst(Shape, frozen=True):
    """The worst of the range."""

    speed: Number
    stress: Number
    swing: str


class Run(Shape, frozen=True):
    """Swing of the hub [deg] and stress in the worst journal, speed by speed."""

    swing: list[float]
    stress: list[float]
    worst: Worst


class OverSpeed(Shape, frozen=True, rename={"with_": "with"}):
    """Vibration over speed [rpm]; ``with`` only where a damper is stated."""

    speed: list[float]
    stress_unit: str
    stress_to: Number
    without: Run
    with_: Run | None = None


class Best(Shape, frozen=True):
    """The tuning that flattens the first mode best."""

    tuned_to: Number
    stiffness: Number
    loss: float


class DamperAnswer(Shape, frozen=True):
    """The damper as stated, and what its ring could do at best."""

    fitted: bool
    mode_without: Number
    modal_inertia: Number
    ring: Number
    ring_stated: bool
    tuned_to: Number | None = None
    best: Best | None = None
    why_not: str = ""


class TakenRow(Number, frozen=True):
    """A number of the chain, and where it came from."""

    words: str
    origin: str
    station: str
    feature: str


class Torsion(Shape, frozen=True):
    """The crank in torsion."""

    engine: str
    modes: list[ModeRow]
    criticals: list[CriticalRow]
    over_speed: OverSpeed
    damper: DamperAnswer
    taken: list[TakenRow]
    used: list[UsedRow]
    notes: list[str]


class OutlineRow(Shape, frozen=True):
    """An outline as drawn."""

    outline: str
    words: str
    moves_with: str
    points: list[str]
    radius: Number
    cylinder: str
    source: str
    clears: list[str]
    entry: str


class ClearRow(Shape, frozen=True):
    """The least clearance of two outlines, and the crank angle [deg] and place where it is."""

    one: str
    other: str
    words: str
    least: Number
    authority: str
    clearance: Number
    angle: float | None
    along: Number
    across: Number
    verdict: str
    why: str


class Clearances(Shape, frozen=True):
    """Clearances in motion, closest first."""

    engine: str
    position: int
    outlines: list[OutlineRow]
    pairs: list[ClearRow]
    notes: list[str]


class Typed(Number, frozen=True):
    """A number of a joint with the text that was typed."""

    typed: str


class JointFinding(Number, frozen=True):
    """A number of a joint, judged where there is a limit."""

    name: str
    words: str
    verdict: str
    limit: str
    authority: str


class SwapRow(Shape, frozen=True, rename={"from_": "from"}):
    """What another lubricant changes: preload at the same torque, torque for the same preload."""

    from_: str
    to: str
    same_torque: Number
    ratio: float
    same_preload: Number
    used: bool


class OrderedFastener(Shape, frozen=True):
    """A fastener, in the order of tightening."""

    station: str
    number: int


class PlacedFastener(OrderedFastener, frozen=True):
    """A fastener of one face with its place in fastener spacings and its number in the order."""

    along: float
    across: float
    order: int


class Round(Shape, frozen=True):
    """A round of tightening."""

    round: int
    text: str
    value: float | None
    what: str


class FastenerRow(OrderedFastener, frozen=True):
    """What was done to a fastener, its uses and lengths, and what is the matter with it."""

    state: str
    uses: int
    round: int
    by: str
    value: str
    free_length: Number
    tight_length: Number
    stretch: Number
    grown: Number
    wrong: list[str]


class JointAnswer(Shape, frozen=True):
    """A bolted joint."""

    joint: str
    words: str
    stations: list[str]
    pattern: str
    together: bool
    thread: str
    strength: str
    method: str
    lubricant: str
    source: str
    torque: Typed
    angle: Typed
    stretch: Typed
    count: int
    wrench: str
    findings: list[JointFinding]
    swaps: list[SwapRow]
    notes: list[str]
    order: list[OrderedFastener]
    places: list[PlacedFastener]
    rounds: list[Round]
    fasteners: list[FastenerRow]


class LubricantRow(Shape, frozen=True):
    """A lubricant with its usual coefficient of friction; common practice, no source."""

    lubricant: str
    friction: float
    doubt: float


class Tightening(Shape, frozen=True):
    """All joints of an engine."""

    engine: str
    joints: list[JointAnswer]
    lubricants: list[LubricantRow]
    position: int
