"""The shapes of the answers about the oil film."""

from tenths.bench.running_shapes import Number, UsedRow
from tenths.bench.shapes import Shape


class FilmWay(Shape, frozen=True):
    """A way of running."""

    way: str
    speed: Number
    inlet: Number
    open: bool


class FilmRunning(Shape, frozen=True):
    """A bearing in one way of running; films from the worse to the better way of sharing the load."""

    way: str
    film: Number
    film_to: Number
    ratio: float
    pressure: Number
    temperature: Number
    viscosity: Number
    flow: Number
    power: Number


class FilmRow(Shape, frozen=True):
    """A bearing: its clearance, its thinnest film and where, what a tenth does, and every way of running."""

    station: str
    clearance: Number
    origin: str
    entries: list[str]
    stale: list[str]
    diameter: Number
    length: Number
    rule: list[Number]
    least: Number
    way: str
    at: float
    direction: float
    edge: Number
    ratio: float
    state: str
    tenth_less: Number
    tenth_more: Number
    doubt: list[Number]
    unit_load: Number
    settled: bool
    running: list[FilmRunning]


class Lining(Shape, frozen=True):
    """What a lining bears for long; common practice, no source."""

    lining: str
    unit_load: Number
    temperature: Number


class Film(Shape, frozen=True):
    """The oil film of an engine, bearings thinnest first."""

    engine: str
    grade: str
    grades: list[str]
    bearings: list[FilmRow]
    ways: list[FilmWay]
    linings: list[Lining]
    notes: list[str]
    used: list[UsedRow]


class Orbit(Shape, frozen=True):
    """Path of a journal over its clearance, and its film, over the crank angle [deg]."""

    way: str
    angle: list[float]
    up: list[float]
    across: list[float]
    film: list[float]


class Orbits(Shape, frozen=True):
    """Paths of one journal in several ways of running."""

    engine: str
    station: str
    stations: list[str]
    grade: str
    unit: str
    curves: list[Orbit]


class SoughtGrade(Shape, frozen=True):
    """The best clearance with one grade, and the clearances that leave nearly as much."""

    grade: str
    clearance: Number
    film: Number
    flat: list[Number]
    at_edge: bool


class FilmMap(Shape, frozen=True):
    """Thinnest film over clearance, by grade."""

    clearance: list[float]
    clearance_unit: str
    unit: str
    films: dict[str, list[float]]


class SoughtKind(Shape, frozen=True):
    """Mains or rods, by their hardest loaded."""

    kind: str
    station: str
    rule: list[Number]
    grades: list[SoughtGrade]
    map: FilmMap


class Sought(Shape, frozen=True):
    """Which clearance and grade would leave most film."""

    engine: str
    kinds: list[SoughtKind]
    notes: list[str]
