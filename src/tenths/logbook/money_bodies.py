"""The bodies of entries about hours, money, the customer and problems. Amounts are text in the shop's own money."""

from typing import ClassVar

import msgspec

from tenths.logbook.work_bodies import OfShop, WorkBody


class HoursKept(OfShop, frozen=True):
    """When and by whom the shop works: names, hours of a day, working days, days closed, and how many of a place there are."""

    TYPE: ClassVar[str] = "hours.kept"
    people: tuple[str, ...] = ()
    hours: str = "8"
    days: tuple[str, ...] = ("Mon", "Tue", "Wed", "Thu", "Fri")
    closed: tuple[str, ...] = ()
    places: dict[str, int] = {}  # noqa: RUF012 - msgspec gives every body its own


class Tax(msgspec.Struct, frozen=True, kw_only=True):
    """A tax as the shop types it: its name and its share in percent."""

    name: str
    share: str


class RatesKept(OfShop, frozen=True):
    """What quotes begin from: price of an hour, by stage where another is given; margins in percent; taxes; words."""

    TYPE: ClassVar[str] = "rates.kept"
    hour: str
    stages: dict[str, str] = {}  # noqa: RUF012 - msgspec gives every body its own
    parts_margin: str = ""
    outside_margin: str = ""
    taxes: tuple[Tax, ...] = ()
    currency: str = ""
    terms: str = ""


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """A line of a quote or a bill: ``kind`` is hours, part, outside or other; ``each`` the price of one, as text."""

    kind: str
    words: str
    quantity: str
    each: str
    about: str = ""  # the stage, part or work that it is for


class QuoteMade(WorkBody, frozen=True):
    """A quote as it went to the customer."""

    TYPE: ClassVar[str] = "quote.made"
    quote: str
    lines: tuple[Line, ...]
    taxes: tuple[Tax, ...] = ()
    currency: str = ""
    valid: str = ""
    words: str = ""


class InvoiceMade(WorkBody, frozen=True):
    """A bill as it went to the customer."""

    TYPE: ClassVar[str] = "invoice.made"
    invoice: str
    lines: tuple[Line, ...]
    taxes: tuple[Tax, ...] = ()
    currency: str = ""
    due: str = ""
    words: str = ""
    quote: str = ""


class HoursBooked(WorkBody, frozen=True):
    """Hours written down afterwards, for a stage or a step; below zero they take back what was too much."""

    TYPE: ClassVar[str] = "hours.booked"
    operation: str
    hours: str
    who: str = ""
    day: str = ""
    note: str = ""


class EngineDue(WorkBody, frozen=True):
    """The day for which the engine is promised to its customer, and why it changed."""

    TYPE: ClassVar[str] = "engine.due"
    day: str
    why: str = ""


class MessageWritten(WorkBody, frozen=True):
    """Words to or from the customer: ``way`` is to or from, ``by`` how (telephone, letter, at the counter)."""

    TYPE: ClassVar[str] = "message.written"
    way: str
    who: str
    text: str
    by: str = ""


class ApprovalAsked(WorkBody, frozen=True):
    """The customer is asked to agree to something before it goes on."""

    TYPE: ClassVar[str] = "approval.asked"
    approval: str
    text: str
    cost: str = ""


class ApprovalGiven(WorkBody, frozen=True):
    """The customer's answer, who gave it and how."""

    TYPE: ClassVar[str] = "approval.given"
    approval: str
    agreed: bool
    who: str
    by: str = ""
    text: str = ""


class ProblemFound(WorkBody, frozen=True):
    """A problem of this engine under a word that the shop uses again, so that it is found years later."""

    TYPE: ClassVar[str] = "problem.found"
    problem: str
    station: str = "engine"
    text: str = ""


class ProblemSolved(WorkBody, frozen=True):
    """What became of a problem."""

    TYPE: ClassVar[str] = "problem.solved"
    problem: str
    text: str


class EngineReturned(WorkBody, frozen=True):
    """The engine is back in the shop after it was shipped: to be freshened, or under warranty. Its steps begin anew."""

    TYPE: ClassVar[str] = "engine.returned"
    reason: str
    warranty: bool = False
    run: str = ""


MONEY_BODIES: tuple[type[WorkBody], ...] = (
    HoursKept, RatesKept, QuoteMade, InvoiceMade, HoursBooked, EngineDue, MessageWritten, ApprovalAsked, ApprovalGiven, ProblemFound,
    ProblemSolved, EngineReturned)
