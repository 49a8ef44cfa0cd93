"""The shapes of the answers about the pull."""

from tenths.bench.running_shapes import Number, UsedRow
from tenths.bench.shapes import Shape


class PullRub(Number, frozen=True):
    """Friction of a part, as mean effective pressure, and as torque."""

    part: str
    torque: Number


class PullPoint(Shape, frozen=True):
    """The engine at one speed."""

    speed: Number
    torque: Number
    power: Number
    mean_pressure: Number
    filling: Number
    air: Number
    fuel: Number
    specific: Number
    residual: Number
    peak: Number
    exhaust: Number
    friction: Number
    rubs: list[PullRub]
    pumping: Number
    half_burned: Number
    knock: float
    each: list[float]
    mass_error: float
    energy_error: float
    cycles: int
    settled: bool


class PullBest(Shape, frozen=True):
    """Largest torque and power, and where."""

    torque: Number
    torque_at: Number
    power: Number
    power_at: Number


class PullDoubt(Shape, frozen=True):
    """A part of the model, how well it is known, and its share of the doubt."""

    cause: str
    by: str
    mean_shift: float
    share: float


class PullSize(Number, frozen=True):
    """A size of the gas side: stated, guessed (taken) or tried."""

    name: str
    words: str
    origin: str


class Pull(Shape, frozen=True):
    """The pull at full throttle."""

    engine: str
    points: list[PullPoint]
    settled: bool
    best: PullBest
    doubts: list[PullDoubt]
    notes: list[str]
    sizes: list[PullSize]
    used: list[UsedRow]
