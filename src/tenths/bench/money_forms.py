"""Forms about money: rates of the shop, quotes, bills, hours written down afterwards."""

from collections.abc import Generator, Iterable
from contextlib import contextmanager

from tenths.bench.desk import Field, Form, Typed
from tenths.errors import BadInput
from tenths.logbook import money_bodies as m
from tenths.logbook.entry import Entry
from tenths.services import ahead, money
from tenths.services.shop import Shop
from tenths.services.steps import work_state

LINES = "One to a line: kind; words; how many; each. Kinds are hours, part, outside, other. Empty: "


def _pairs(text: str, field: str) -> list[tuple[str, str]]:
    """Names with amounts, one to a line with = between."""
    found: list[tuple[str, str]] = []
    for line in filter(None, map(str.strip, text.splitlines())):
        name, given, value = line.rpartition("=")
        if not given or not name.strip() or not value.strip():
            raise BadInput(f"{field}: {line[:60]!r} is not taken; write a name, = and a number, such as machine=110")
        found.append((name.strip(), value.strip()))
    return found


def _rates(shop: Shop, _engine: str, typed: Typed) -> Entry:
    with _at("taxes", "tax "):
        return money.keep_rates(shop, m.RatesKept(
            hour=typed["hour"], stages=dict(_pairs(typed["stages"], "stages")), parts_margin=typed["parts_margin"],
            outside_margin=typed["outside_margin"], currency=typed["currency"], terms=typed["terms"],
            taxes=tuple(m.Tax(name=name, share=share) for name, share in _pairs(typed["taxes"], "taxes"))))


def rates_typed(kept: m.RatesKept | None) -> dict[str, str]:
    """What the shop keeps, as its form shows it."""
    if kept is None:
        return {}
    return {"hour": kept.hour, "stages": _lines(kept.stages.items()), "parts_margin": kept.parts_margin, "currency": kept.currency,
            "outside_margin": kept.outside_margin, "taxes": _lines((t.name, t.share) for t in kept.taxes), "terms": kept.terms}


def _lines(pairs: Iterable[tuple[str, str]]) -> str:
    return "\n".join(f"{name}={value}" for name, value in pairs)


def _quote(shop: Shop, engine: str, typed: Typed) -> Entry:
    lines = money.lines_from(typed["lines"]) or None
    with _at("lines", "line "):
        return money.make_quote(shop, engine, typed["quote"], lines=lines, valid=typed["valid"], words=typed["words"])


def _invoice(shop: Shop, engine: str, typed: Typed) -> Entry:
    lines = money.lines_from(typed["lines"]) or None
    with _at("lines", "line "):
        return money.make_invoice(shop, engine, typed["invoice"], lines=lines, as_quoted=typed["basis"] == "quoted", due=typed["due"],
                                  words=typed["words"])


@contextmanager
def _at(field: str, head: str) -> Generator[None]:
    """What is wrong with one line of a field is said at the field."""
    try:
        yield
    except BadInput as error:
        if str(error).startswith(head):
            raise BadInput(f"{field}: {error}") from None
        raise


def _operations(shop: Shop, engine: str) -> list[tuple[str, str]]:
    plan = work_state(shop, engine).plan
    return [*((stage, f"all of {stage}") for stage in plan.stages), *((s.id, s.words) for s in plan.steps.values())]


def _people(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(name, name) for name in ahead.people_of(shop, [engine])]


def _book(shop: Shop, engine: str, typed: Typed) -> Entry:
    return money.book_hours(shop, engine, m.HoursBooked(operation=typed["operation"], hours=typed["hours"], who=typed["who"],
                                                        day=typed["day"], note=typed["note"]))


RATES = Form(
    name="rates-keep", title="What the shop asks", button="Keep it", run=_rates, of_shop=True, need="owner", section="Money",
    words="Says what an hour costs, what is added to parts and outside work, and the taxes as they apply to the shop.",
    example={"hour": "95", "stages": "machine=112", "parts_margin": "15", "taxes": "sales tax=8.1", "currency": "Fr."},
    fields=(Field(name="hour", words="An hour", required=True, also=("price of an hour",)),
            Field(name="currency", words="Name of the money"),
            Field(name="parts_margin", words="Added to parts, in percent", also=("margin",)),
            Field(name="outside_margin", words="Added to work outside, in percent"),
            Field(name="stages", words="Other prices of an hour", kind="long", help="One to a line: machine=110"),
            Field(name="taxes", words="Taxes in percent", kind="long", help="One to a line: sales tax=8.1. Tenths knows no tax law."),
            Field(name="terms", words="Words below quotes and bills", kind="long")))
QUOTE = Form(
    name="quote-make", title="Make a quote", button="Make the quote", run=_quote, need="owner", section="Money",
    words="A quote goes to the customer: the lines typed, else those that plan, parts and rates make.",
    example={"quote": "Q 12", "valid": "2026-06-01"},
    fields=(Field(name="quote", words="Number", required=True), Field(name="valid", words="Valid until", kind="day", also=("day",)),
            Field(name="lines", words="Lines", kind="long", help=LINES + "as the plan makes them."),
            Field(name="words", words="Words below it", kind="long", help="Empty: the shop's own.")))
INVOICE = Form(
    name="invoice-make", title="Make a bill", button="Make the bill", run=_invoice, need="owner", section="Money",
    words="A bill goes to the customer: what the job became, as quoted, or the lines typed.", example={"invoice": "B 7", "basis": "became"},
    fields=(Field(name="invoice", words="Number", required=True),
            Field(name="basis", words="For", kind="pick", required=True, usual="became", also=("quote",),
                  choices=(("became", "what the job became"), ("quoted", "what was quoted"))),
            Field(name="due", words="To be paid by", kind="day", also=("day",)),
            Field(name="lines", words="Other lines instead", kind="long", help=LINES + "as picked above."),
            Field(name="words", words="Words below it", kind="long", help="Empty: the shop's own.")))
BOOK = Form(
    name="hours-book", title="Write hours down", button="Write them down", run=_book, section="Money",
    words="Hours written down afterwards, for a stage or a step; below zero they take back.",
    example={"operation": "machine", "hours": "1.25", "note": "forgot to start"},
    fields=(Field(name="operation", words="For", required=True, choices=_operations, help="A stage, or a step."),
            Field(name="hours", words="Hours", required=True, help="1.25; below zero takes back."),
            Field(name="who", words="Whose", choices=_people, help="Empty: who is signed in."),
            Field(name="day", words="Day", kind="day"), Field(name="note", words="Note")))

FORMS = (RATES, QUOTE, INVOICE, BOOK)
