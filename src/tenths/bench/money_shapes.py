"""The shapes of the answers about quotes, bills and rates."""

from tenths.bench.shapes import Shape
from tenths.bench.work_shapes import WorkMark


class PaperLine(Shape, frozen=True):
    """A line of a quote or bill; ``about`` is the stage, part or work that it is for."""

    kind: str
    words: str
    quantity: str
    each: str
    about: str
    total: str


class TaxAmount(Shape, frozen=True):
    """What a tax comes to."""

    name: str
    amount: str


class Draft(Shape, frozen=True):
    """The quote that plan, parts and rates make."""

    engine: str
    lines: list[PaperLine]
    currency: str
    net: str
    taxes: list[TaxAmount]
    total: str
    terms: str


class Quote(Shape, frozen=True):
    """A quote that was made."""

    quote: str
    made: WorkMark
    valid: str
    words: str
    lines: list[PaperLine]
    currency: str
    net: str
    taxes: list[TaxAmount]
    total: str


class Bill(Shape, frozen=True):
    """A bill that was made."""

    invoice: str
    made: WorkMark
    due: str
    words: str
    quote: str
    lines: list[PaperLine]
    currency: str
    net: str
    taxes: list[TaxAmount]
    total: str


class Papers(Shape, frozen=True):
    """Every quote and bill of an engine."""

    engine: str
    name: str
    customer: str
    quotes: list[Quote]
    invoices: list[Bill]
