"""The shapes of the answers about lobes and degreeing."""

from tenths.bench.running_shapes import Number
from tenths.bench.shapes import Shape


class WheelPair(Shape, frozen=True):
    """What the wheel read before and after top dead centre, as typed."""

    before: str
    after: str


class ErrorPart(Number, frozen=True):
    """A part of an error, in words."""

    words: str


class WheelZero(Shape, frozen=True):
    """Top dead centre on the wheel.

    Attributes:
        angle: what the wheel read there.
        moved: whether it was then moved to read 0.
        error: standard error; ``interval`` 95 %.
        stale: why readings that hang on it do not hold.
    """

    entry: str
    at: str
    cylinder: str
    way: str
    words: str
    pairs: list[WheelPair]
    angle: Number
    moved: bool
    error: Number
    interval: Number
    parts: list[ErrorPart]
    stale: str
    notes: list[str]


class LobePoint(Shape, frozen=True):
    """A reading: degrees after the overlap's top dead centre of its cylinder, lift at the follower in the unit of lengths."""

    angle: float
    lift: float


class LobeFlanks(Shape, frozen=True):
    """Events at a lift; ``opens`` and ``closes`` as the trade counts them, before and after the dead centres."""

    lift: Number
    opens: Number
    closes: Number
    centre: Number
    duration: Number


class LobeUnlike(Shape, frozen=True):
    """Where the closing flank differs most from the opening one, mirrored; ``clear`` when it stands out of its error."""

    difference: Number
    away: Number
    clear: bool


class LobeArea(Number, frozen=True):
    """Area under the lift curve above a lift."""

    lift: Number


class LobeBase(Shape, frozen=True):
    """The base circle as the dial saw it, and what noise alone would make of a true one."""

    count: int
    middle: Number
    run_out: Number
    by_noise: Number


class LobeRamp(Shape, frozen=True):
    """The slow part of a flank."""

    flank: str
    height: Number
    length: Number
    velocity: str


class LobeScatter(Shape, frozen=True):
    """Scatter of the readings over their stated noise, and what that would vary by."""

    ratio: float
    error: float


class LobeCurve(Shape, frozen=True):
    """Lift in the unit of lengths, its derivatives by degrees in thousandths of it; each with half its 95 % band."""

    angle: list[float]
    lift: list[float]
    lift_band: list[float]
    velocity: list[float]
    velocity_band: list[float]
    acceleration: list[float]
    acceleration_band: list[float]
    jerk: list[float]
    jerk_band: list[float]


class LobeRow(Shape, frozen=True):
    """A lobe as it was read.

    Attributes:
        centre: as read, with top dead centre's error; ``now`` where the timing set stands now.
        own_error: of the centre without top dead centre's.
        way: how the centre was found; ``at`` the lift where it hangs on one.
        why: why there is no curve.
        stale: why the readings do not hold; ``late`` why the centre is a prediction.
    """

    station: str
    words: str
    cylinder: str
    side: str
    shaft: str
    readings: int
    entries: list[str]
    stale: str
    late: str
    why: str
    centre: Number
    now: Number
    own_error: Number
    interval: Number
    way: str
    at: Number
    pairs: int
    notes: list[str]
    points: list[LobePoint]
    peak: Number
    flanks: list[LobeFlanks]
    unlike: LobeUnlike | None
    area: LobeArea | None
    base: LobeBase | None
    ramps: list[LobeRamp]
    scatter: LobeScatter | None
    curve: LobeCurve | None
    least_radius: Number


class CamEvents(Shape, frozen=True):
    """Timing of the two lobes of a cylinder at a lift."""

    lift: Number
    intake_opens: Number
    intake_closes: Number
    exhaust_opens: Number
    exhaust_closes: Number
    intake_duration: Number
    exhaust_duration: Number
    intake_centre: Number
    exhaust_centre: Number
    separation: Number
    overlap: Number
    advance: Number


class CylinderTiming(CamEvents, frozen=True):
    """The same of one cylinder."""

    cylinder: str


class ShaftRow(Shape, frozen=True):
    """A lobe's centre from the mean of its kind."""

    station: str
    words: str
    off: Number


class ShaftSpread(Shape, frozen=True):
    """Centres of one kind along a shaft; ``clear`` when they spread more than their errors make, ``twisted`` when they turn along it."""

    shaft: str
    side: str
    count: int
    mean: Number
    spread: Number
    by_error: Number
    clear: bool
    twist: Number
    twisted: bool
    worst: str
    rows: list[ShaftRow]


class CardDuration(Shape, frozen=True):
    """A duration at a lift."""

    lift: Number
    duration: Number


class CardLobe(Shape, frozen=True):
    """A lobe by the maker's card; ``why`` it could not be drawn."""

    side: str
    why: str
    lift: Number
    centre: Number
    durations: list[CardDuration]
    curve: LobeCurve | None


class CamCard(Shape, frozen=True):
    """The maker's card."""

    entry: str
    source: str
    events: str
    timing: CamEvents | None
    lobes: list[CardLobe]


class TimingMove(Shape, frozen=True):
    """A move of the timing set."""

    entry: str
    advance: Number
    position: str
    shaft: str


class LobeStation(Shape, frozen=True):
    """A lobe of the engine, and whether it was read."""

    station: str
    words: str
    read: bool


class Lobes(Shape, frozen=True):
    """Lobes of an engine; ``lost`` says that the wheel's zero is, ``check`` is the lift of seat events."""

    engine: str
    units: str
    zero: WheelZero | None
    lost: str
    lobes: list[LobeRow]
    timing: list[CylinderTiming]
    shafts: list[ShaftSpread]
    card: CamCard | None
    moves: list[TimingMove]
    stations: list[LobeStation]
    cylinders: list[str]
    check: Number
    notes: list[str]


class Wanted(Shape, frozen=True):
    """A reading that is wanted next: the lift to turn to, on which flank, and what the wheel should read."""

    words: str
    lift: str
    flank: str
    expect: str


class Phase(Shape, frozen=True):
    """A part of degreeing."""

    name: str
    title: str
    now: bool
    done: bool


class BestPosition(Shape, frozen=True):
    """The best position of the timing set; ``advance`` in degrees of the crank from where it stands."""

    words: str
    advance: float | None
    name: str
    reasons: list[str]
    stops: list[str]


class WheelMark(Shape, frozen=True):
    """A mark on the wheel: reading, centre or target."""

    kind: str
    angle: float


class WheelArc(Shape, frozen=True):
    """The lobe's open angle on the wheel."""

    sweep: float
    start: float


class WheelDrawn(Shape, frozen=True):
    """What is drawn on the wheel, in degrees as it reads them."""

    marks: list[WheelMark]
    arc: WheelArc | None
    turns: str


class Degreeing(Shape, frozen=True):
    """Where degreeing stands, and what comes next."""

    engine: str
    units: str
    station: str
    words: str
    phase: str
    title: str
    say: list[str]
    wants: list[Wanted]
    phases: list[Phase]
    zero: WheelZero | None
    centre: Number
    target: Number
    wanted: Number
    reached: Number
    readings: int
    pairs: int
    position: BestPosition | None
    wheel: WheelDrawn
    caution: str
