"""The shapes of the answers about the valve gear: piston to valve, springs, rockers."""

from tenths.bench.running_shapes import Number
from tenths.bench.shapes import Shape


class Tried(Number, frozen=True):
    """What is tried beside what there is."""

    name: str
    words: str


class ValveRoom(Shape, frozen=True):
    """A valve over its piston: the room as measured or reckoned, and what moves it.

    Attributes:
        clearance: as the check has it; ``how`` says by clay, dial or reckoning.
        reckoned: from drop, pocket, deck, gasket and lobe.
        angle: of the crank from the overlap's top dead centre where it is least [deg].
        per_degree: change for a lobe one crank degree later.
        per_cut: change for ``cut`` taken off head or deck.
        changed: with what is tried.
        shape: what to state as lobe-shape so that the check takes the lobe as read.
    """

    station: str
    words: str
    side: str
    clearance: Number
    least: Number
    authority: str
    verdict: str
    how: str
    radial: Number
    radial_verdict: str
    reckoned: Number
    angle: float | None
    lift: Number
    depth: Number
    per_degree: Number
    earlier: Number
    later: Number
    per_cut: Number
    cut: Number
    changed: Number
    changed_angle: float | None
    lobe: str
    shape: Number
    missing: str


class RoomCurve(Shape, frozen=True):
    """Room, lift and depth of the piston over the crank angle [deg]; ``changed`` with what is tried."""

    station: str
    words: str
    side: str
    unit: str
    angle: list[float]
    clearance: list[float]
    lift: list[float]
    depth: list[float]
    changed: list[float]
    least: float | None


class ValveClearance(Shape, frozen=True):
    """Piston to valve of an engine, closest first."""

    engine: str
    position: int
    valves: list[ValveRoom]
    tried: list[Tried]
    curves: list[RoomCurve]
    notes: list[str]


class Harmonic(Number, frozen=True):
    """Crank speed at which a harmonic of the lobe meets the spring."""

    harmonic: int


class SpringWire(Shape, frozen=True):
    """One spring from its wire: stress, strength, how the wire swings."""

    which: str
    wrong: str
    index: float | None
    wahl: float | None
    bergstraesser: float | None
    rate: Number
    share: float | None
    mass: Number
    solid: Number
    seat_stress: Number
    open_stress: Number
    strength: Number
    strength_stated: bool
    of_strength: float | None
    modes: list[Number]
    meets: list[Harmonic]
    buckles: Number
    can_buckle: bool | None


class SpringTested(Shape, frozen=True):
    """The line through the readings of the tester."""

    wrong: str
    points: int
    rate: Number
    free: Number
    scatter: Number


class SpringRow(Shape, frozen=True):
    """The spring of a valve: heights, loads, room."""

    station: str
    words: str
    known: bool
    lift: Number
    installed: Number
    rate: Number
    seat: Number
    open: Number
    bind: Number
    retainer: Number
    bind_verdict: str
    retainer_verdict: str
    tester: SpringTested | None
    wires: list[SpringWire]


class SpringSpread(Number, frozen=True):
    """How far springs are apart, judged."""

    name: str
    words: str
    verdict: str
    authority: str
    limit: Number


class Loaded(Shape, frozen=True):
    """A height and the load there."""

    height: float
    load: float


class LoadLine(Shape, frozen=True):
    """Load over height of one spring."""

    station: str
    words: str
    height_unit: str
    load_unit: str
    line: list[Loaded]
    read: list[Loaded]
    closed: Loaded
    open: Loaded
    bound: Loaded | None


class ValveSprings(Shape, frozen=True):
    """The springs of an engine."""

    engine: str
    position: int
    valves: list[SpringRow]
    spreads: list[SpringSpread]
    lines: list[LoadLine]
    caution: str
    notes: list[str]


class RockerRow(Shape, frozen=True):
    """The rocker of a valve: ratio, track on the tip, push-rod, preload."""

    station: str
    words: str
    lift: Number
    sweep: Number
    sweep_verdict: str
    preload: Number
    preload_verdict: str
    mid_sweep: Number
    nose_wanted: Number
    nose: Number
    length: Number
    at_hand: Number
    longer_by: Number
    ratio_closed: float | None
    ratio_mean: float | None
    ratio_open: float | None
    stated_ratio: float | None
    missing: str


class RockerCurve(Shape, frozen=True):
    """Track of the nose over the lift, and the ratio where the linkage is known; ``start`` of the arm [deg]."""

    station: str
    words: str
    unit: str
    lift: list[float]
    across: list[float]
    across_mid: list[float]
    ratio: list[float]
    start: float


class ValveRocker(Shape, frozen=True):
    """The rockers of an engine, and how to go about it."""

    engine: str
    position: int
    valves: list[RockerRow]
    curves: list[RockerCurve]
    procedure: list[str]
