"""The shapes of the answers about the head on the bench."""

from tenths.bench.running_shapes import Number
from tenths.bench.shapes import FindingRow, Shape


class FlowPoint(Shape, frozen=True):
    """A lift of a run.

    Attributes:
        over_diameter: lift over the head's diameter; null where that is not known.
        shown: what the bench showed, as typed.
        through: volume before the port, leak off, of one valve.
        flow: the same at the test pressure asked for.
        area: effective area.
        of_head: effective area over that of the head.
        of_curtain: over lift times circumference.
        of_passage: over the least passage.
        stage: of the passage, 1 across the seat, 2 seat to valve, 3 throat; 0 where it is not known.
    """

    entry: str
    lift: Number
    over_diameter: float | None
    shown: str
    through: Number
    flow: Number
    area: Number
    of_head: Number
    of_curtain: Number
    of_passage: Number
    stage: int


class FlowRun(Shape, frozen=True):
    """A run on the flow bench; ``stale`` says why it does not hold any more, ``wrong`` which sizes of the valve cannot be."""

    run: str
    entry: str
    station: str
    words: str
    cylinder: str
    side: str
    way: str
    valves: int
    scale: str
    pressure: Number
    instrument: str
    note: str
    conditions: str
    stale: str
    guessed: list[str]
    wrong: str
    head: Number
    head_origin: str
    points: list[FlowPoint]


class PortSpread(Shape, frozen=True):
    """Ports of a side against each other at one lift; ``clear`` when they differ by more than the doubt of that."""

    lift: Number
    runs: int
    mean: Number
    apart: Number
    share: float
    highest: str
    lowest: str
    clear: bool


class SideSpread(Shape, frozen=True):
    """The spread between cylinders, side and way."""

    side: str
    way: str
    rows: list[PortSpread]


class PassageRow(Shape, frozen=True):
    """The least passage at one lift; ``share`` of the head's own area."""

    lift: Number
    over_diameter: float
    stage: int
    passage: Number
    curtain: Number
    share: float


class Passage(Shape, frozen=True):
    """The passage under a valve over lift; ``full_lift`` is that from which the throat is the narrowest."""

    side: str
    station: str
    words: str
    head: Number
    throat: Number
    stem: Number
    angle: Number
    guessed: list[str]
    full_lift: Number
    rows: list[PassageRow]


class UsualFlow(Shape, frozen=True):
    """What the pull takes where nothing was flowed."""

    over_diameter: float
    of_head: float


class ValvePlace(Shape, frozen=True):
    """A valve of the engine."""

    station: str
    words: str


class Head(Shape, frozen=True):
    """The head on the bench: what is judged, runs of the flow bench at one test pressure (``latest``: read last), passages."""

    engine: str
    at: Number
    findings: list[FindingRow]
    runs: list[FlowRun]
    latest: str
    spreads: list[SideSpread]
    passages: list[Passage]
    usual: list[UsualFlow]
    valves: list[ValvePlace]
    notes: list[str]
