"""The bodies of entries about bolted joints, the ticks of their fasteners, and outlines that must clear each other."""

from typing import ClassVar

from tenths.logbook.body import Body


class JointStated(Body, frozen=True):
    """A bolted joint: which fasteners, where, how they are tightened, in what order. Numbers as typed.

    ``stations`` is a pattern (``rod.*``); with ``together`` the fasteners of all its stations are one face (main caps),
    else each station is tightened by itself. ``pattern`` is ``2`` (a pair), ``line of 5``, ``2 rows of 5`` or ``circle of
    8``; ``order`` names its fasteners in the maker's order. ``segments`` are lengths and diameters of the free bolt,
    ``12 mm x 8.5 mm``, head to first engaged thread.
    """

    TYPE: ClassVar[str] = "joint.stated"
    joint: str
    words: str
    stations: str
    pattern: str
    thread: str
    together: bool = False
    order: tuple[int, ...] = ()
    strength: str = ""
    proof: str = ""
    yields: str = ""
    tensile: str = ""
    length: str = ""
    washer: str = ""
    clamped: str = ""
    thread_depth: str = ""
    counterbore: str = ""
    chamfer: str = ""
    bearing: str = ""
    hole: str = ""
    into: str = ""
    segments: tuple[str, ...] = ()
    method: str = "torque"
    torque: str = ""
    angle: str = ""
    stretch: str = ""
    steps: tuple[str, ...] = ()
    lubricant: str = "oil"
    given_for: str = ""
    thread_friction: str = ""
    head_friction: str = ""
    wrench: str = ""
    uses: int = 0
    growth: str = ""
    source: str = ""


class FastenerTicked(Body, frozen=True):
    """Something was done to one fastener of a joint: tightened (in which round), checked, loosened, renewed or measured."""

    TYPE: ClassVar[str] = "fastener.ticked"
    joint: str
    station: str
    number: int
    what: str
    round: int = 0
    value: str = ""
    free_length: str = ""
    tight_length: str = ""
    instrument: str = ""
    note: str = ""


class OutlineDrawn(Body, frozen=True):
    """The edge of a part in the plane of a rod, for clearance over a full turn.

    ``moves_with`` is block, crank, rod or piston. ``points`` are ``along / across`` from that body's origin: crank axis
    (block, crank), big-end centre (rod), pin axis (piston); ``clears`` names the outlines that it is held against, or is
    empty for all that move otherwise; ``least`` is the clearance wanted. Drawn again under its name, it takes the place
    of the one before; without points it is taken away.
    """

    TYPE: ClassVar[str] = "outline.drawn"
    outline: str
    words: str
    moves_with: str
    points: tuple[str, ...]
    radius: str = ""
    clears: tuple[str, ...] = ()
    least: str = ""
    cylinder: str = ""
    source: str = ""
