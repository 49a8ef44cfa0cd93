"""The shapes of the answers about the oil film."""

from tenths.bench.running_shapes import Number, UsedRow
from tenths.bench.shapes import Shape


class FilmWay(Shape, frozen=True):
    """A way of running: charge over that of full throttle, oil hot or as after a cold start, share of the intended use."""

    way: str
    speed: Number
    inlet: Number
    open: bool
    load: float
    cold: bool
    share: float


class FilmRunning(Shape, frozen=True):
    """A bearing in one way of running; films from the worse to the better way of sharing the load."""

    way: str
    cold: bool
    film: Number
    film_to: Number
    ratio: float
    pressure: Number
    temperature: Number
    viscosity: Number
    flow: Number
    power: Number


class FilmLimit(Number, frozen=True):
    """What a bearing comes to at the worst of the hot ways of running, what is allowed, who says so, and the verdict."""

    name: str
    words: str
    verdict: str
    limit: str
    authority: str
    source: str


class FilmCause(Shape, frozen=True):
    """A cause of doubt of the thinnest film, and its share of the variance."""

    cause: str
    share: float


class FilmEffect(Shape, frozen=True):
    """What an option or the journal's form does, as a film."""

    what: str
    film: Number


class FilmRow(Shape, frozen=True):
    """A bearing: its clearance, its thinnest film and where, verdicts, what a tenth does, and every way of running."""

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
    causes: list[FilmCause]
    effects: list[FilmEffect]
    lining: str
    lining_origin: str
    limits: list[FilmLimit]
    verdict: str
    unit_load: Number
    settled: bool
    running: list[FilmRunning]
    shell: list[UsedRow]


class Lining(Shape, frozen=True):
    """What a lining bears for long, and who says so."""

    lining: str
    unit_load: Number
    pressure: Number
    temperature: Number
    film: Number
    ratio: float
    authority: str
    source: str


class Film(Shape, frozen=True):
    """The oil film of an engine, bearings thinnest first; the oil as stated, tried or guessed."""

    engine: str
    grade: str
    oil: list[UsedRow]
    grades: list[str]
    bearings: list[FilmRow]
    ways: list[FilmWay]
    shares_by: str
    options: dict[str, str]
    verdict: str
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


class Share(Shape, frozen=True):
    """Share of the running time at a state of the intended use."""

    state: str
    way: str
    share: float


class MapWay(Shape, frozen=True):
    """A speed and load of the map."""

    way: str
    speed: Number
    load: float


class BestClearance(Shape, frozen=True):
    """The best clearance with one oil over the use, the flat about it, and what a tenth off it leaves."""

    clearance: Number
    film: Number
    power: Number
    flat: list[Number]
    at_edge: bool
    thinnest: Number
    hottest: Number
    tenth_less: Number
    tenth_more: Number


class BestGrade(BestClearance, frozen=True):
    """The same, with the grade."""

    grade: str


class Enough(Shape, frozen=True):
    """The least friction that keeps every limit over the use."""

    grade: str
    clearance: Number
    film: Number
    power: Number


class BearingMap(Shape, frozen=True):
    """Thinnest film of grade x way x clearance, and the film over the use of grade x clearance."""

    clearance: list[float]
    clearance_unit: str
    grades: list[str]
    films: list[list[list[float]]]
    use: list[list[float]]


class BearingOverUse(Shape, frozen=True):
    """A bearing over the intended use: as it is, a tenth either way, and the best."""

    station: str
    clearance: Number
    rule: list[Number]
    now: Number
    now_power: Number
    tenth_less: Number
    tenth_more: Number
    best_now: BestClearance
    best: BestGrade
    enough: Enough | None
    best_at_edge: bool
    grades: list[BestGrade]
    map: BearingMap


class KindMap(Shape, frozen=True):
    """Film over the use against clearance, by grade."""

    clearance: list[float]
    clearance_unit: str
    unit: str
    films: dict[str, list[float]]


class KindOverUse(Shape, frozen=True):
    """Mains or rods together: the film of the one that is worst off, the friction of all."""

    kind: str
    station: str
    count: int
    rule: list[Number]
    grades: list[BestGrade]
    map: KindMap


class OverUse(Shape, frozen=True):
    """Which clearance and grade would leave most film over the intended use."""

    engine: str
    oil: str
    shares: list[Share]
    shares_by: str
    ways: list[MapWay]
    bearings: list[BearingOverUse]
    kinds: list[KindOverUse]
    points: int
    unit: str
    notes: list[str]
