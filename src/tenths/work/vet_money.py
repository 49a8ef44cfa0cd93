"""Whether entries about hours, money and the customer can be understood, before they are kept."""

import re
from decimal import Decimal

from tenths.errors import BadInput
from tenths.logbook import money_bodies as m
from tenths.logbook.body import Body
from tenths.logbook.build import Build
from tenths.logbook.fold_parts import day_of
from tenths.work.hours import Calendar
from tenths.work.money import amount, percent

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
KINDS = ("hours", "part", "outside", "other")


def quantity(text: str, field: str) -> Decimal:
    """A number of hours or pieces, with up to four places, below zero where something is taken back."""
    plain = text.strip().replace(",", ".")
    if not re.fullmatch(r"-?\d{1,7}(?:\.\d{1,4})?", plain):
        raise BadInput(f"{field}: {text!r} is not a number; write it such as 1.25")
    return Decimal(plain)


def vet_money(build: Build, body: Body) -> None:  # noqa: C901, PLR0912 - one case for each kind of entry
    """Raises BadInput naming the field that cannot be taken."""
    match body:
        case m.HoursKept():
            calendar_of(body, "2026-01-01")
            if any(count < 1 for count in body.places.values()):
                raise BadInput("places: there is one of each at least")
        case m.RatesKept():
            for text in (body.hour, *body.stages.values()):
                amount(text, "price of an hour")
            for text in (body.parts_margin, body.outside_margin):
                percent(text, "margin")
            _vet_taxes(body.taxes)
        case m.QuoteMade() | m.InvoiceMade():
            _vet_lines(body.lines)
            _vet_taxes(body.taxes)
            day_of(body.valid if isinstance(body, m.QuoteMade) else body.due, "day")
            _vet_number(build, body)
        case m.HoursBooked():
            quantity(body.hours, "hours")
            day_of(body.day, "day")
            if not body.operation.strip():
                raise BadInput("operation: say what the hours were for: a stage or a step")
        case m.EngineDue():
            if day_of(body.day, "day") is None:
                raise BadInput("day: give the day, year first, such as 2026-03-31")
        case m.MessageWritten():
            if body.way not in {"to", "from"} or not body.text.strip():
                raise BadInput(f"message: way {body.way!r} is to or from, and the words are not empty")
        case m.ApprovalAsked():
            amount(body.cost, "cost")
            if not body.approval.strip() or not body.text.strip():
                raise BadInput("approval: give it a name, and say what the customer shall agree to")
        case m.ApprovalGiven():
            asked = [b.approval for _, b in build.work if isinstance(b, m.ApprovalAsked)]
            if body.approval not in asked:
                raise BadInput(f"approval: {body.approval!r} was not asked; asked were {', '.join(asked) or 'none'}")
        case m.ProblemFound():
            if not body.problem.strip():
                raise BadInput("problem: give it a word or two, by which it is found again")
        case m.ProblemSolved():
            known = [b.problem for _, b in build.work if isinstance(b, m.ProblemFound)]
            if body.problem not in known:
                raise BadInput(f"problem: {body.problem!r} was not written down; there are {', '.join(known) or 'none'}")
        case m.EngineReturned():
            if not body.reason.strip():
                raise BadInput("reason: say why it is back")
        case _:
            pass


def _vet_lines(lines: tuple[m.Line, ...]) -> None:
    if not lines:
        raise BadInput("lines: there are none")
    for number, line in enumerate(lines, 1):
        if line.kind not in KINDS:
            raise BadInput(f"line {number}: kind {line.kind!r} is not one of {', '.join(KINDS)}")
        quantity(line.quantity, f"line {number}: quantity")
        amount(line.each, f"line {number}: each")


def _vet_taxes(taxes: tuple[m.Tax, ...]) -> None:
    for tax in taxes:
        percent(tax.share, f"tax {tax.name}")
        if not tax.name.strip():
            raise BadInput("tax: it needs its name")


def _vet_number(build: Build, body: m.QuoteMade | m.InvoiceMade) -> None:
    """A bill's number stands once; a quote may be written anew under its own."""
    if isinstance(body, m.InvoiceMade):
        if not body.invoice.strip():
            raise BadInput("invoice: a bill needs its number")
        if any(isinstance(b, m.InvoiceMade) and b.invoice == body.invoice for _, b in build.work):
            raise BadInput(f"invoice: {body.invoice!r} is the number of a bill already; strike that one first, or give another")
    elif not body.quote.strip():
        raise BadInput("quote: a quote needs its number")


def calendar_of(kept: m.HoursKept, today: str) -> Calendar:
    """The calendar that the shop keeps, from a day on.

    Raises:
        BadInput: for hours or days that cannot be read.
        OutOfRange: for hours outside 0.5 to 24, or no working day.
    """
    days: set[int] = set()
    for name in kept.days:
        if name not in DAYS:
            raise BadInput(f"days: {name!r} is not one of {', '.join(DAYS)}")
        days.add(DAYS.index(name))
    closed = frozenset(day for text in kept.closed if (day := day_of(text, "closed")))
    begin = day_of(today, "today")
    assert begin is not None  # noqa: S101 - the callers give a day
    return Calendar(begin, float(quantity(kept.hours, "hours")), frozenset(days), closed)


def kept_hours(work: list[tuple[object, Body]]) -> m.HoursKept:
    """The shop's hours as its own log says, else eight hours on five days."""
    return next((b for _, b in reversed(work) if isinstance(b, m.HoursKept)), m.HoursKept())
