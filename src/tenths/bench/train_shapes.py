"""The shapes of the answer about the valve train."""

from tenths.bench.running_shapes import Number, UsedRow
from tenths.bench.shapes import Shape


class DoubtShare(Shape, frozen=True):
    """A cause of doubt: the speed with less and with more of it, and its share of the whole."""

    cause: str
    less: Number
    more: Number
    share: float


class PartingAt(Shape, frozen=True):
    """Where a train parts, at which angle from the lobe's centre [deg], and how likely it holds to the highest speed."""

    found: bool
    speed: Number
    tried: Number
    at: float
    probability: float
    shares: list[DoubtShare]


class RigidAt(Shape, frozen=True):
    """Where it would part were nothing to give."""

    speed: Number
    at: float


class TrainRow(Shape, frozen=True):
    """A speed: whether the train holds, its gap, how the valve lands and bounces, force and stress on the lobe; angles in degrees."""

    speed: Number
    state: str
    least_force: Number
    least_at: float
    parted: Number
    parted_at: float
    landing: Number
    landing_at: float
    bounce: Number
    landings: int
    force: Number
    least_spring: Number
    bound: bool
    stress: Number
    stress_at: float
    film_ratio: float | None
    repeats: bool


class TrainCurve(Shape, frozen=True):
    """A cycle at one speed, over the crank angle from the lobe's centre [deg]."""

    speed: Number
    state: str
    angle: list[float]
    force: list[float]
    force_unit: str
    lift: list[float]
    gap: list[float]
    length_unit: str
    spring: list[float]


class TrainSize(Shape, frozen=True):
    """A size that the train rests on."""

    name: str
    words: str
    value: float | None
    unit: str
    standard_uncertainty: float | None
    text: str
    origin: str
    entries: list[str]


class TrainLobe(Shape, frozen=True):
    """The lobe that was used."""

    origin: str
    words: str
    lift: Number


class TrainSide(Shape, frozen=True):
    """The valve train of a side."""

    side: str
    valves: list[str]
    gear: str
    gear_origin: str
    lobe: TrainLobe
    mass: Number
    stiffness: Number
    natural: Number
    surge: list[Number]
    rigid: RigidAt
    first: PartingAt
    floats: PartingAt
    pair: str
    pair_origin: str
    limit: Number
    no_stress: str
    rows: list[TrainRow]
    curves: list[TrainCurve]
    sizes: list[TrainSize]


class ValveTrain(Shape, frozen=True):
    """The valve trains of an engine over speed."""

    engine: str
    redline: Number
    gap: Number
    valve: str
    sure: bool
    sides: list[TrainSide]
    notes: list[str]
    used: list[UsedRow]
