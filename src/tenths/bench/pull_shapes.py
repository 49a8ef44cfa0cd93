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
    mean_text: str
    share: float


class PullSize(Number, frozen=True):
    """A size of the gas side: stated, guessed (taken) or tried."""

    name: str
    words: str
    origin: str
    names: list[str]


class PullVariant(Shape, frozen=True):
    """Sizes of the gas side kept under a name, as typed."""

    variant: str
    words: str
    sizes: dict[str, str]


class Wave(Shape, frozen=True):
    """Pressure in a pipe: a row for each place, as a share of its length from its start, over the angles."""

    words: str
    angle: list[float]
    place: list[float]
    pressure: list[list[float]]
    unit: str


class Cycle(Shape, frozen=True):
    """One speed over its cycle; angle from firing top dead centre, flow into the cylinder counted up."""

    engine: str
    speed: Number
    cylinder: str
    settled: bool
    torque: Number
    peak: Number
    angle: list[float]
    pressure: list[float]
    pressure_unit: str
    temperature: list[float]
    temperature_unit: str
    volume: list[float]
    volume_unit: str
    mass: list[float]
    mass_unit: str
    flow: list[float]
    flow_unit: str
    waves: list[Wave]


class Pull(Shape, frozen=True):
    """The pull at full throttle."""

    engine: str
    variant: str
    variants: list[PullVariant]
    points: list[PullPoint]
    settled: bool
    best: PullBest
    doubts: list[PullDoubt]
    notes: list[str]
    sizes: list[PullSize]
    used: list[UsedRow]
