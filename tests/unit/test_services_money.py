"""Quotes, hours, bills: sums done by hand; hours from begin and stop; CSV and PDF."""

import csv
import io
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
from tenths.record.bill import invoice_pdf, quote_pdf
from tenths.services import commands, money, steps, supply
from tenths.services.questions import log
from tenths.work.costing import line_total, sum_of

HOUSE = """
stages = ["machine", "fit"]
[[step]]
name = "hone"
stage = "machine"
words = "Hone it"
hours = [1, 2.5, 4]
[[step]]
name = "bore"
stage = "machine"
words = "Bore it"
hours = 1.25
[[step]]
name = "close"
stage = "fit"
words = "Close it"
hours = 3
"""
TAX = m.Tax(name="sales tax", share="8.1")


class Clock:
    """A clock that a test moves."""

    def __init__(self):
        self.now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

    def __call__(self):
        return self.now

    def on(self, **more):
        self.now += timedelta(**more)


@pytest.fixture
def clock(shop):
    shop.clock = Clock()
    return shop.clock


@pytest.fixture
def engine(shop, clock):
    steps.adopt_plan(shop, text=HOUSE)
    money.keep_rates(shop, m.RatesKept(hour="92", stages={"machine": "110"}, parts_margin="15", outside_margin="10", taxes=(TAX,),
                                       currency="Fr.", terms="30 days"))
    name = commands.open_engine(shop, name="Trial", layout="single", customer="R. Oake")
    commands.part(shop, name, bodies.PartListed(part="p-1", kind="piston", words="piston", where="wanted"))
    supply.move_part(shop, name, p.PartSourced(part="p-1", supplier="Mill", cost="84.50"))
    return name


def test_a_quote_is_what_one_reckons_on_paper(shop, engine):
    told = money.draft_quote(shop, engine)
    # machine 3.75 h x 110 = 412.50; fit 3 h x 92 = 276; piston 84.50 + 15 % = 97.18
    assert [(x["words"], x["quantity"], x["each"], x["total"]) for x in told["lines"]] == [
        ("machine", "3.75", "110", "412.50"), ("fit", "3", "92", "276.00"), ("piston", "1", "97.18", "97.18")]
    assert (told["net"], told["taxes"], told["total"]) == ("785.68", [{"name": "sales tax 8.1 %", "amount": "63.64"}], "849.32")
    money.make_quote(shop, engine, "Q 1", valid="2026-06-01")
    assert money.paper(shop, engine, "quote")["total"] == "849.32"
    assert quote_pdf(shop, engine).startswith(b"%PDF")


def test_hours_run_from_begin_to_stop_over_days_and_people(shop, engine, clock):
    steps.begin_step(shop, engine, "hone", person="Ines")
    clock.on(minutes=90)
    steps.stop_step(shop, engine, "hone", person="Ines")
    clock.on(hours=20)
    steps.begin_step(shop, engine, "hone", person="Ines")
    steps.begin_step(shop, engine, "hone", person="Tom")
    clock.on(hours=1)
    steps.finish_step(shop, engine, "hone", person="Ines")
    money.book_hours(shop, engine, m.HoursBooked(operation="fit", hours="0.75", who="Tom"))
    money.book_hours(shop, engine, m.HoursBooked(operation="hone", hours="-0.5", who="Tom", note="tea"))
    told = money.hours(shop, engine)
    assert {r["stage"]: (r["planned"], r["spent"]) for r in told["stages"]} == {"machine": (3.75, 3.0), "fit": (3.0, 0.75)}
    assert {r["person"]: r["spent"] for r in told["people"]} == {"Ines": 2.5, "Tom": 1.25}
    assert told["total"] == 3.75


def test_a_quote_against_what_it_became(shop, engine, clock):
    money.make_quote(shop, engine, "Q 1")
    steps.begin_step(shop, engine, "hone")
    clock.on(hours=5)
    steps.finish_step(shop, engine, "hone")
    supply.move_part(shop, engine, p.PartOrdered(part="p-1", supplier="Mill", cost="100", quantity=2))
    supply.move_part(shop, engine, p.WorkSent(work="coat", part="p-1", supplier="Fell", words="coating", cost="50"))
    told = money.quote_against_actual(shop, engine)
    # machine 5 h x 110 = 550; fit nothing yet; two pistons at 115 each; coating 50 + 10 % was not quoted
    assert [(r["words"], r["actual"], r["actual_money"], r["difference"]) for r in told["rows"]] == [
        ("machine", "5.0", "550.00", "137.50"), ("fit", "0.0", "0.00", "-276.00"), ("piston", "2", "230.00", "132.82"),
        ("coating", "1", "55.00", "55.00")]
    assert (told["quoted"], told["actual"], told["difference"]) == ("785.68", "835.00", "49.32")


def test_a_bill_takes_what_the_job_became_or_what_was_quoted(shop, engine, clock):
    money.make_quote(shop, engine, "Q 1")
    steps.begin_step(shop, engine, "close")
    clock.on(hours=2)
    steps.finish_step(shop, engine, "close")
    money.make_invoice(shop, engine, "B 1", due="2026-07-01")
    bill = money.paper(shop, engine, "invoice", "B 1")
    assert [(x["words"], x["total"]) for x in bill["lines"]] == [("fit", "184.00")]  # the piston never came
    assert (bill["net"], bill["total"], bill["quote"]) == ("184.00", "198.90", "Q 1")  # 184 x 8.1 % = 14.904
    money.make_invoice(shop, engine, "B 2", as_quoted=True)
    assert money.paper(shop, engine, "invoice")["net"] == "785.68"
    assert invoice_pdf(shop, engine, "B 1").startswith(b"%PDF")
    with pytest.raises(BadInput, match="'B 1' is the number of a bill already"):
        money.make_invoice(shop, engine, "B 1")
    with pytest.raises(BadInput, match="'B 9' was not made for this engine; there are B 1, B 2"):
        invoice_pdf(shop, engine, "B 9")


def test_the_books_get_every_line_tax_and_hour_once(shop, engine, clock):
    steps.begin_step(shop, engine, "close", note="=cmd")
    clock.on(minutes=45)
    steps.finish_step(shop, engine, "close")
    money.make_invoice(shop, engine, "B 1", lines=(m.Line(kind="other", words="=1+1", quantity="2", each="10.05"),))
    rows = list(csv.DictReader(io.StringIO(money.money_csv(shop))))
    assert [(r["kind"], r["words"], r["quantity"], r["total"], r["paper"]) for r in rows] == [
        ("other", "'=1+1", "2", "20.10", "bill B 1"), ("tax", "sales tax 8.1 %", "1", "1.63", "bill B 1"), ("worked", "", "0.75", "", "")]


def test_a_shop_that_has_not_said_its_rates_is_told_so(shop):
    engine = commands.open_engine(shop, name="Bare", layout="single")
    with pytest.raises(BadInput, match="what an hour costs"):
        money.draft_quote(shop, engine)
    assert money.quote_against_actual(shop, engine)["rows"] == []


@given(st.lists(st.tuples(st.integers(0, 9999), st.integers(0, 99999)), min_size=1, max_size=12), st.integers(0, 2500))
def test_sums_are_exact_whatever_the_lines(rows, share):
    lines = [m.Line(kind="other", words="x", quantity=f"{q / 100:.2f}", each=f"{e / 100:.2f}") for q, e in rows]
    total = sum_of(lines, [m.Tax(name="t", share=f"{share / 100:.2f}")])
    # by whole numbers: hundredths times hundredths, rounded half up to hundredths
    net = sum((q * e + 50) // 100 for q, e in rows)
    tax = (net * share + 5000) // 10000
    assert (total.net, total.taxes[0][1], total.total) == (Decimal(net) / 100, Decimal(tax) / 100, Decimal(net + tax) / 100)


def test_a_line_is_rounded_half_away_from_zero():
    assert line_total(m.Line(kind="other", words="x", quantity="0.5", each="0.01")) == Decimal("0.01")
    assert line_total(m.Line(kind="other", words="x", quantity="-0.5", each="0.01")) == Decimal("-0.01")


@pytest.mark.parametrize(("body", "says"), [
    (m.QuoteMade(quote="Q", lines=()), "lines: there are none"),
    (m.QuoteMade(quote="Q", lines=(m.Line(kind="gift", words="x", quantity="1", each="1"),)), "kind 'gift'"),
    (m.QuoteMade(quote="Q", lines=(m.Line(kind="part", words="x", quantity="two", each="1"),)), "'two' is not a number"),
    (m.QuoteMade(quote="Q", lines=(m.Line(kind="part", words="x", quantity="1", each="1,250"),)), "'1,250' is not an amount"),
    (m.InvoiceMade(invoice=" ", lines=(m.Line(kind="part", words="x", quantity="1", each="1"),)), "a bill needs its number"),
    (m.HoursBooked(operation="fit", hours="1h"), "'1h' is not a number"),
    (m.EngineDue(day="soon"), "'soon' is not a day"),
    (m.MessageWritten(way="by", who="x", text="y"), "way 'by'"),
    (m.ApprovalGiven(approval="x", agreed=True, who="y"), "'x' was not asked"),
    (m.ProblemSolved(problem="x", text="y"), "'x' was not written down"),
    (m.RatesKept(hour="92"), "belongs to the shop's own log"),
])
def test_what_cannot_be_understood_is_refused_and_named(shop, engine, body, says):
    before = len(log(shop, engine))
    with pytest.raises(BadInput) as caught:
        shop.append(engine, body)
    assert says in str(caught.value)
    assert len(log(shop, engine)) == before
