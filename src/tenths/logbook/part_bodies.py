"""The bodies of entries about parts on their way, work done outside, boxes of stock and tools that are away."""

from typing import ClassVar

from tenths.logbook.work_bodies import OfShop, WorkBody


class PartSourced(WorkBody, frozen=True):
    """Where a part can be had: supplier, their number, cost, days that they need (``8`` or ``5 8 21``)."""

    TYPE: ClassVar[str] = "part.sourced"
    part: str
    supplier: str
    number: str = ""
    cost: str = ""
    lead: str = ""


class PartOrdered(WorkBody, frozen=True):
    """A part is ordered. ``slots`` says where it will go, so that only what needs it there waits for it."""

    TYPE: ClassVar[str] = "part.ordered"
    part: str
    supplier: str
    order: str = ""
    promised: str = ""
    cost: str = ""
    quantity: int = 1
    slots: tuple[str, ...] = ()


class PartPromised(WorkBody, frozen=True):
    """A part is promised for another day, and why."""

    TYPE: ClassVar[str] = "part.promised"
    part: str
    promised: str
    why: str = ""


class PartInspected(WorkBody, frozen=True):
    """A part was held against the sheet: whether it is what was ordered and within its sizes."""

    TYPE: ClassVar[str] = "part.inspected"
    part: str
    fits: bool
    note: str = ""


class PartShelved(WorkBody, frozen=True):
    """The shelf that a part lies on."""

    TYPE: ClassVar[str] = "part.shelved"
    part: str
    shelf: str


class PartReturned(WorkBody, frozen=True):
    """A part goes back to where it came from."""

    TYPE: ClassVar[str] = "part.returned"
    part: str
    reason: str
    supplier: str = ""


class WorkSent(WorkBody, frozen=True):
    """A part goes out of the house to be worked on; ``step`` is the step that this belongs to."""

    TYPE: ClassVar[str] = "work.sent"
    work: str
    part: str
    supplier: str
    words: str
    promised: str = ""
    cost: str = ""
    step: str = ""


class WorkBack(WorkBody, frozen=True):
    """What was sent out is back, and whether it is as ordered."""

    TYPE: ClassVar[str] = "work.back"
    work: str
    fits: bool = True
    cost: str = ""
    note: str = ""


class BoxListed(OfShop, frozen=True):
    """A kind of box that the shop keeps for all engines: what is in it, when to order more, from whom.

    For shells ``change`` is the change of clearance that a pair makes, as text.
    """

    TYPE: ClassVar[str] = "box.listed"
    box: str
    kind: str
    size: str = ""
    words: str = ""
    change: str = ""
    supplier: str = ""
    number: str = ""
    cost: str = ""
    reorder_at: int = 0
    order_up_to: int = 0


class BoxCounted(OfShop, frozen=True):
    """So many boxes were counted on the shelf."""

    TYPE: ClassVar[str] = "box.counted"
    box: str
    count: int


class BoxMoved(OfShop, frozen=True):
    """Boxes came in (above zero) or went out (below), for which engine or why; ``ordered`` ones are on their way."""

    TYPE: ClassVar[str] = "box.moved"
    box: str
    count: int
    engine: str = ""
    why: str = ""


class BoxOrdered(OfShop, frozen=True):
    """So many boxes are on their way."""

    TYPE: ClassVar[str] = "box.ordered"
    box: str
    count: int
    order: str = ""
    promised: str = ""


class ToolAway(OfShop, frozen=True):
    """A tool or instrument is not there: lent, broken, away for calibration; ``back`` is the day it is expected."""

    TYPE: ClassVar[str] = "tool.away"
    tool: str
    why: str
    back: str = ""


class ToolBack(OfShop, frozen=True):
    """The tool is there again."""

    TYPE: ClassVar[str] = "tool.back"
    tool: str


PART_BODIES: tuple[type[WorkBody], ...] = (
    PartSourced, PartOrdered, PartPromised, PartInspected, PartShelved, PartReturned, WorkSent, WorkBack, BoxListed, BoxCounted,
    BoxMoved, BoxOrdered, ToolAway, ToolBack)
