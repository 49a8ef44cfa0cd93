"""Quotes, hours, bills: what a job was to cost, what it costs, and what goes to the customer."""

import csv
import io
from collections.abc import Iterator, Sequence
from decimal import Decimal

from tenths.errors import BadInput
from tenths.logbook import money_bodies as m
from tenths.logbook.entry import Entry, utc_text
from tenths.services.questions import Answer
from tenths.services.shop import SHOP, Shop
from tenths.services.steps import mark_answer, work_state
from tenths.services.supply import guarded
from tenths.work.costing import Sum, against, hours_by, line_total, quote_lines, rates_of, stretches, sum_of
from tenths.work.money import written
from tenths.work.parts import ways
from tenths.work.state import this_job


def rates(shop: Shop) -> m.RatesKept | None:
    """What the shop asks for an hour and adds to parts and outside work; None while it has not said."""
    return rates_of(shop.build(SHOP).work)


def keep_rates(shop: Shop, body: m.RatesKept) -> Entry:
    """Says what quotes begin from; raises BadInput for amounts, margins or taxes that cannot be read."""
    return shop.append(SHOP, body)[0]


def hours(shop: Shop, engine: str) -> Answer:
    """Hours of an engine by stage, step and person, and every stretch."""
    build, state = shop.build(engine), work_state(shop, engine)
    rows = stretches(build, state.plan, utc_text(shop.clock()))
    planned: dict[str, float] = {}
    for step in state.plan.steps.values():
        planned[step.stage] = planned.get(step.stage, 0.0) + step.hours[1]
    spent = hours_by(rows, "stage")
    return {
        "engine": engine, "name": build.name, "position": build.position, "total": round(sum(r.hours for r in rows), 4),
        "stages": [{"stage": stage, "planned": round(planned.get(stage, 0.0), 4), "spent": round(spent.get(stage, 0.0), 4)}
                   for stage in dict.fromkeys([*planned, *spent])],
        "steps": [{"step": name, "spent": round(h, 4)} for name, h in hours_by(rows, "step").items()],
        "people": [{"person": name, "spent": round(h, 4)} for name, h in hours_by(rows, "person").items()],
        "stretches": [{"step": r.step, "stage": r.stage, "person": r.person, "hours": round(r.hours, 4), "day": r.day,
                       "booked": r.booked, "note": r.note} for r in rows],
    }


def book_hours(shop: Shop, engine: str, body: m.HoursBooked) -> Entry:
    """Writes hours down afterwards; raises BadInput when they cannot be read."""
    return shop.append(engine, body)[0]


# -- quotes and bills --------------------------------------------------------------------------------------------------

def draft_quote(shop: Shop, engine: str) -> Answer:
    """The quote that the plan, the parts and the shop's rates make; raises BadInput while the shop has no rates."""
    kept, lines = _rates(shop), draft_lines(shop, engine)
    return _told(lines, kept.taxes, kept.currency) | {"engine": engine, "terms": kept.terms}


def _rates(shop: Shop) -> m.RatesKept:
    kept = rates(shop)
    if kept is None:
        raise BadInput("rates: this shop has not said what an hour costs yet; 'tenths money rates' does")
    return kept


def _told(lines: Sequence[m.Line], taxes: Sequence[m.Tax], currency: str) -> Answer:
    total = sum_of(lines, taxes)
    return {"lines": [line_answer(line) for line in lines], "currency": currency, **sum_answer(total)}


def line_answer(line: m.Line) -> Answer:
    """A line of a quote or bill as JSON."""
    return {"kind": line.kind, "words": line.words, "quantity": line.quantity, "each": line.each, "about": line.about,
            "total": written(line_total(line))}


def sum_answer(total: Sum) -> Answer:
    """What lines come to, as texts."""
    return {"net": written(total.net), "taxes": [{"name": name, "amount": written(value)} for name, value in total.taxes],
            "total": written(total.total)}


def lines_as_text(lines: Sequence[m.Line]) -> str:
    """Lines of a quote or bill as a person edits them: kind; words; how many; each; what it is about, one to a line."""
    return "\n".join("; ".join(x.replace(";", ",").strip() for x in (line.kind, line.words, line.quantity, line.each, line.about))
                     .removesuffix("; ") for line in lines)


def lines_from(text: str) -> tuple[m.Line, ...]:
    """Lines as they were typed; raises BadInput naming the line that cannot be taken."""
    found: list[m.Line] = []
    for number, line in enumerate(filter(None, map(str.strip, text.splitlines())), 1):
        parts = [part.strip() for part in line.split(";")]
        if len(parts) not in {4, 5}:
            raise BadInput(f"lines: line {number}, {line[:60]!r}, has {len(parts)} parts; write kind; words; how many; each, "
                           "such as 'other; freight; 1; 35.00'")
        found.append(m.Line(kind=parts[0], words=parts[1], quantity=parts[2], each=parts[3], about=parts[4] if len(parts) == 5 else ""))
    return tuple(found)


def draft_lines(shop: Shop, engine: str) -> tuple[m.Line, ...]:
    """The lines that the plan, the parts and the shop's rates make; raises BadInput while the shop has no rates."""
    build, kept = shop.build(engine), _rates(shop)
    return quote_lines(build, work_state(shop, engine).plan, ways(build), kept)


def make_quote(shop: Shop, engine: str, quote: str, *, lines: Sequence[m.Line] | None = None, valid: str = "", words: str = "") -> Entry:
    """A quote goes to the customer: the lines given, else those that the plan makes."""
    kept = _rates(shop)
    chosen = draft_lines(shop, engine) if lines is None else tuple(lines)
    return shop.append(engine, m.QuoteMade(quote=quote, lines=chosen, taxes=kept.taxes, currency=kept.currency, valid=valid,
                                           words=words or kept.terms))[0]


def make_invoice(shop: Shop, engine: str, invoice: str, *, lines: Sequence[m.Line] | None = None, as_quoted: bool = False, due: str = "",
                 words: str = "") -> Entry:
    """A bill goes to the customer: the lines given, else the quote's (``as_quoted``), else what the job became."""
    kept, quoted = _rates(shop), latest_quote(shop, engine)
    if lines is None and as_quoted:
        if quoted is None:
            raise BadInput("quote: none was made for this engine")
        lines = quoted.lines
    if lines is None:
        lines = actual_lines(shop, engine)
    return shop.append(engine, m.InvoiceMade(invoice=invoice, lines=tuple(lines), taxes=kept.taxes, currency=kept.currency, due=due,
                                             words=words or kept.terms, quote=quoted.quote if quoted else ""))[0]


def latest_quote(shop: Shop, engine: str) -> m.QuoteMade | None:
    """The quote that was made last since the engine came to the shop; None when there is none."""
    return next((b for _, b in reversed(this_job(shop.build(engine).work)) if isinstance(b, m.QuoteMade)), None)


def actual_lines(shop: Shop, engine: str) -> tuple[m.Line, ...]:
    """The lines of a bill as the job became: hours spent by stage, parts that came, work outside, and other lines of the quote."""
    kept, quoted = _rates(shop), latest_quote(shop, engine)
    build, state = shop.build(engine), work_state(shop, engine)
    lines: list[m.Line] = []
    for row in against(quoted.lines if quoted else (), build, state.plan, ways(build), kept, utc_text(shop.clock())):
        if row.actual:
            each = next((x.each for x in quoted.lines if (x.kind, x.about) == (row.kind, row.about)), "") if quoted else ""
            if row.kind == "hours":
                each = each or kept.stages.get(row.about, kept.hour)
            elif row.kind != "other":
                each = str((row.actual_money / row.actual).quantize(Decimal("0.01")))
            lines.append(m.Line(kind=row.kind, words=row.words, quantity=str(row.actual), each=each, about=row.about))
    return tuple(lines)


def quote_against_actual(shop: Shop, engine: str) -> Answer:
    """The latest quote, else the draft, against what the job became so far."""
    build, state, kept = shop.build(engine), work_state(shop, engine), rates(shop)
    quoted = latest_quote(shop, engine)
    lines = quoted.lines if quoted else (quote_lines(build, state.plan, ways(build), kept) if kept else ())
    rows = against(lines, build, state.plan, ways(build), kept, utc_text(shop.clock()))
    quoted_money, actual_money = (sum((getattr(r, name) for r in rows), Decimal(0)) for name in ("quoted_money", "actual_money"))
    currency = quoted.currency if quoted else kept.currency if kept else ""
    return {
        "engine": engine, "name": build.name, "quote": quoted.quote if quoted else "", "currency": currency,
        "rows": [{"kind": r.kind, "words": r.words, "about": r.about, "quoted": str(r.quoted), "actual": str(r.actual),
                  "quoted_money": written(r.quoted_money), "actual_money": written(r.actual_money),
                  "difference": written(r.actual_money - r.quoted_money)} for r in rows],
        "quoted": written(quoted_money), "actual": written(actual_money), "difference": written(actual_money - quoted_money),
    }


def papers(shop: Shop, engine: str) -> Answer:
    """Every quote and bill of an engine."""
    build = shop.build(engine)
    quotes = [{"quote": b.quote, "made": mark_answer(k), "valid": b.valid, "words": b.words, **_told(b.lines, b.taxes, b.currency)}
              for k, b in build.work if isinstance(b, m.QuoteMade)]
    bills = [{"invoice": b.invoice, "made": mark_answer(k), "due": b.due, "words": b.words, "quote": b.quote,
              **_told(b.lines, b.taxes, b.currency)} for k, b in build.work if isinstance(b, m.InvoiceMade)]
    return {"engine": engine, "name": build.name, "customer": build.customer, "quotes": quotes, "invoices": bills}


def paper(shop: Shop, engine: str, kind: str, number: str = "") -> Answer:
    """One quote or bill, the last of its number; without a number the last of all. Raises BadInput when there is none."""
    rows = papers(shop, engine)["quotes" if kind == "quote" else "invoices"]
    found = [r for r in rows if number in {"", r[kind]}]
    if not found:
        known = ", ".join(r[kind] for r in rows) or "none"
        raise BadInput(f"{kind}: {number!r} was not made for this engine; there are {known}")
    return found[-1]


HEADS = ("engine", "customer", "kind", "about", "words", "quantity", "each", "total", "paper", "day", "person")


def money_csv(shop: Shop, engines: Sequence[str] = ()) -> str:
    """Lines of all quotes and bills, and all hours, of some engines or all, as CSV for whatever keeps the books."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADS)
    for engine in engines or shop.engines():
        writer.writerows([guarded(cell) for cell in row] for row in (*_paper_rows(shop, engine), *_hour_rows(shop, engine)))
    return out.getvalue()


def _paper_rows(shop: Shop, engine: str) -> Iterator[tuple[str, ...]]:
    build = shop.build(engine)
    for mark, body in build.work:
        if isinstance(body, m.QuoteMade | m.InvoiceMade):
            name = f"quote {body.quote}" if isinstance(body, m.QuoteMade) else f"bill {body.invoice}"
            end = (name, mark.at[:10], mark.person)
            for x in body.lines:
                yield (engine, build.customer, x.kind, x.about, x.words, x.quantity, x.each, str(line_total(x)), *end)
            for tax, value in sum_of(body.lines, body.taxes).taxes:
                yield (engine, build.customer, "tax", "", tax, "1", str(value), str(value), *end)


def _hour_rows(shop: Shop, engine: str) -> Iterator[tuple[str, ...]]:
    customer = shop.build(engine).customer
    for x in hours(shop, engine)["stretches"]:
        yield (engine, customer, "worked", x["step"], x["note"], f"{x['hours']:.2f}", "", "", "", x["day"], x["person"])
