"""What a job costs: hours by operation from the log, a quote from the plan, a quote against what it became."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from tenths.errors import BadInput
from tenths.logbook import money_bodies as m
from tenths.logbook.body import Body
from tenths.logbook.build import Build, Mark
from tenths.work.money import amount, cents, percent
from tenths.work.parts import PartWay, outside_work
from tenths.work.plan import Plan
from tenths.work.state import Doings, doings_of, this_job
from tenths.work.vet_money import quantity

Kind = Literal["hours", "part", "outside", "other"]
OTHER = "not in the plan"


@dataclass(frozen=True, slots=True)
class Stretch:
    """Hours of a person at a step: from the bench (begun, stopped) or written down afterwards."""

    step: str
    stage: str
    person: str
    hours: float
    day: str
    booked: bool = False
    note: str = ""


def stretches(build: Build, plan: Plan, now: str) -> tuple[Stretch, ...]:
    """Every stretch of work of an engine, those of dropped steps too; what still runs counts up to ``now``."""
    found = [row for name, here in doings_of(build.work).items() for row in _runs(name, here, plan, now)]
    for mark, body in this_job(build.work):
        if isinstance(body, m.HoursBooked):
            stage = plan.steps[body.operation].stage if body.operation in plan.steps else body.operation
            found.append(Stretch(body.operation, stage, body.who or mark.person, float(quantity(body.hours, "hours")),
                                 body.day or mark.at[:10], booked=True, note=body.note))
    return tuple(found)


def _runs(name: str, here: Doings, plan: Plan, now: str) -> Iterable[Stretch]:
    stage = plan.steps[name].stage if name in plan.steps else OTHER
    return (Stretch(name, stage, run.person, run.hours(now), run.begun[:10]) for run in here.runs)


def hours_by(rows: Iterable[Stretch], key: Literal["stage", "step", "person"]) -> dict[str, float]:
    """Hours summed by stage, step or person, in the order in which each came first."""
    found: dict[str, float] = {}
    for row in rows:
        name: str = getattr(row, key)
        found[name] = found.get(name, 0.0) + row.hours
    return found


def rates_of(work: Iterable[tuple[Mark, Body]]) -> m.RatesKept | None:
    """The rates that the shop keeps, as its own log says last; None when it has none."""
    return next((b for _, b in reversed(list(work)) if isinstance(b, m.RatesKept)), None)


@dataclass(frozen=True, slots=True)
class Sum:
    """What lines come to: net, each tax by name, and all together."""

    net: Decimal
    taxes: tuple[tuple[str, Decimal], ...]
    total: Decimal


def line_total(line: m.Line) -> Decimal:
    """What a line comes to, rounded to the hundredth."""
    return cents(quantity(line.quantity, "quantity") * amount(line.each, "each"))


def sum_of(lines: Iterable[m.Line], taxes: Sequence[m.Tax]) -> Sum:
    """What lines come to; every tax is taken on the net sum and rounded to the hundredth by itself."""
    net = sum((line_total(line) for line in lines), Decimal(0))
    rows = tuple((f"{tax.name} {tax.share.strip().removesuffix('%').strip()} %", cents(net * percent(tax.share, tax.name)))
                 for tax in taxes)
    return Sum(net, rows, net + sum((value for _, value in rows), Decimal(0)))


def quote_lines(build: Build, plan: Plan, ways: Mapping[str, PartWay], rates: m.RatesKept) -> tuple[m.Line, ...]:
    """The lines of a quote: hours of the plan by stage, parts that are not the customer's with margin, work outside with margin.

    A part costs what it was ordered for, else what its cheapest source asks; one without a cost is left out.
    """
    lines: list[m.Line] = []
    for stage in plan.stages:
        hours = sum(Decimal(str(s.hours[1])) for s in plan.steps.values() if s.stage == stage)
        if hours:
            lines.append(m.Line(kind="hours", words=stage, quantity=f"{hours.normalize():f}", about=stage,
                                each=rates.stages.get(stage, rates.hour)))
    for way in ways.values():
        if (cost := cost_of(way)) and way.where != "returned":
            lines.append(m.Line(kind="part", words=way.words, quantity=str(way.quantity), about=way.part,
                                each=_with(cost, rates.parts_margin)))
    for work in outside_work(build):
        if work.cost and amount(work.cost, "cost"):
            lines.append(m.Line(kind="outside", words=f"{work.words}, {work.supplier}", quantity="1", about=work.work,
                                each=_with(amount(work.cost, "cost"), rates.outside_margin)))
    return tuple(lines)


def cost_of(way: PartWay) -> Decimal:
    """What a part costs: as ordered, else the cheapest source; zero when nobody has said."""
    for text in (way.cost, *(s.cost for s in sorted(way.sources, key=lambda s: _or_zero(s.cost)))):
        if value := _or_zero(text):
            return value
    return Decimal(0)


def _or_zero(text: str) -> Decimal:
    try:
        return amount(text, "cost")
    except BadInput:  # cards written before took any words
        return Decimal(0)


def _with(cost: Decimal, margin: str) -> str:
    return str(cents(cost * (1 + percent(margin, "margin"))))


@dataclass(frozen=True, slots=True)
class Against:
    """A line of a quote against what it became: hours or pieces, and money, at the quote's own prices for hours."""

    kind: str
    words: str
    about: str
    quoted: Decimal
    actual: Decimal
    quoted_money: Decimal
    actual_money: Decimal


def against(lines: Iterable[m.Line], build: Build, plan: Plan, ways: Mapping[str, PartWay], rates: m.RatesKept | None, now: str,
            ) -> tuple[Against, ...]:
    """A quote against what it became so far, with what was not quoted at the end."""
    spent = hours_by(stretches(build, plan, now), "stage")
    found: list[Against] = []
    seen: set[tuple[str, str]] = set()
    for line in lines:
        seen.add((line.kind, line.about))
        found.append(_against(line, spent, build, ways, rates))
    hour = amount(rates.hour, "hour") if rates else Decimal(0)
    for stage, hours in spent.items():
        if hours and ("hours", stage) not in seen:
            worked = _hours(hours)
            price = amount(rates.stages[stage], "hour") if rates and stage in rates.stages else hour
            found.append(Against("hours", stage, stage, Decimal(0), worked, Decimal(0), cents(worked * price)))
    found += _unquoted(build, ways, rates, seen)
    return tuple(found)


def _hours(hours: float) -> Decimal:
    return Decimal(str(round(hours, 2)))


def _against(line: m.Line, spent: Mapping[str, float], build: Build, ways: Mapping[str, PartWay], rates: m.RatesKept | None) -> Against:
    number, each, money = quantity(line.quantity, "quantity"), amount(line.each, "each"), line_total(line)
    actual, worth = number, money
    if line.kind == "hours":
        actual = _hours(spent.get(line.about or line.words, 0.0))
        worth = cents(actual * each)
    elif line.kind == "part" and line.about in ways:
        way = ways[line.about]
        actual = Decimal(way.quantity if way.where not in {"returned", "listed"} else 0)
        worth = cents(actual * amount(_with(cost_of(way), rates.parts_margin if rates else ""), "cost"))
    elif line.kind == "outside":
        work = next((w for w in outside_work(build) if w.work == line.about), None)
        actual = Decimal(1 if work else 0)
        worth = amount(_with(_or_zero(work.cost), rates.outside_margin if rates else ""), "cost") if work else Decimal(0)
    return Against(line.kind, line.words, line.about, number, actual, money, worth)


def _unquoted(build: Build, ways: Mapping[str, PartWay], rates: m.RatesKept | None, seen: set[tuple[str, str]]) -> list[Against]:
    rows: list[Against] = []
    for way in ways.values():
        if ("part", way.part) not in seen and way.where not in {"returned", "listed"} and cost_of(way):
            worth = cents(way.quantity * amount(_with(cost_of(way), rates.parts_margin if rates else ""), "cost"))
            rows.append(Against("part", way.words, way.part, Decimal(0), Decimal(way.quantity), Decimal(0), worth))
    for work in outside_work(build):
        if ("outside", work.work) not in seen and _or_zero(work.cost):
            worth = amount(_with(_or_zero(work.cost), rates.outside_margin if rates else ""), "cost")
            rows.append(Against("outside", work.words, work.work, Decimal(0), Decimal(1), Decimal(0), worth))
    return rows
