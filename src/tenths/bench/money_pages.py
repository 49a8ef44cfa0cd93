"""Money and time of an engine on the bench: quote against what it became, hours, papers; pages, files, API."""

from decimal import Decimal
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import desk
from tenths.bench.declare import Call, Example
from tenths.bench.money_forms import FORMS, RATES, rates_typed
from tenths.bench.money_shapes import Draft, Papers
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench, bench_of
from tenths.bench.supply_pages import file_answer, paper_of
from tenths.bench.who import who_asks
from tenths.services import money

Answer = dict[str, Any]
KINDS = {"hours": "Hours", "part": "Parts", "outside": "Work outside", "other": "Other"}


def number(text: str) -> float:
    """An amount as the services write it, for its drawing."""
    return float(Decimal(text.replace("\u202f", "").replace("\u2212", "-")))


def _drawn(rows: list[Answer]) -> list[Answer]:
    """Lines of the quote, each with how long its frame and its bar are beside the longest."""
    most = max((number(r[name]) for r in rows for name in ("quoted_money", "actual_money")), default=0.0) or 1.0
    return [r | {"frame": number(r["quoted_money"]) / most, "bar": number(r["actual_money"]) / most,
                 "more": number(r["difference"]) > 0} for r in rows]


def _stages(rows: list[Answer]) -> list[Answer]:
    most = max((r[name] for r in rows for name in ("planned", "spent")), default=0.0) or 1.0
    return [r | {"frame": r["planned"] / most, "bar": r["spent"] / most} for r in rows]


def _context(bench: Bench, engine: str, request: Request) -> Answer:
    shop, kept = bench.shop, money.rates(bench.shop)
    told, hours = money.quote_against_actual(shop, engine), money.hours(shop, engine)
    rows = _drawn(told["rows"])
    return {"told": told, "groups": [(words, [r for r in rows if r["kind"] == kind]) for kind, words in KINDS.items()],
            "hours": hours, "stages": _stages(hours["stages"]), "kept": kept, "rates": rates_typed(kept), "rates_form": RATES.name,
            "draft": money.draft_quote(shop, engine) if kept else None, "papers": money.papers(shop, engine), "kinds": KINDS,
            "lines": money.lines_as_text(money.draft_lines(shop, engine)) if kept else "",
            "desk": desk.shown(bench, who_asks(request), engine, [f for f in FORMS if not f.of_shop])
            | desk.shown(bench, who_asks(request), "", [RATES])}


async def _letter(request: Request, which: str) -> Response:
    from tenths.record.bill import invoice_pdf, quote_pdf  # noqa: PLC0415 - only print needs it

    bench, engine = bench_of(request), request.path_params["engine"]
    made = quote_pdf if which == "quote" else invoice_pdf
    asked = request.query_params.get("number", "")[:100]
    pdf = await run_in_threadpool(lambda: made(bench.shop, engine, asked, paper=paper_of(request)))
    return file_answer(pdf, "application/pdf", f"{engine}-{which}.pdf", "inline")


async def quote_file(request: Request) -> Response:
    """A quote as a letter, the last one when no number is given."""
    return await _letter(request, "quote")


async def bill_file(request: Request) -> Response:
    """A bill as a letter, likewise."""
    return await _letter(request, "bill")


async def money_csv(request: Request) -> Response:
    """Lines of quotes and bills, and hours, of an engine or of all, as CSV for whatever keeps the books."""
    bench, engine = bench_of(request), request.path_params.get("engine", "")
    text = await bench.think(lambda: money.money_csv(bench.shop, [engine] if engine else ()))
    return file_answer(text, "text/csv; charset=utf-8", f"{engine or 'shop'}-money.csv")


ROUTES = [
    routed("/e/{engine}/money", placed("work", "money.html", _context)), routed("/e/{engine}/money.csv", money_csv),
    routed("/money.csv", money_csv), routed("/e/{engine}/quote.pdf", quote_file), routed("/e/{engine}/bill.pdf", bill_file),
    *desk.routes(FORMS),
]
CALLS = (
    Call(path="/api/engines/{engine}/quote", need="reader", answers=Draft, section="Money", example=Example({"engine": "marigold"}),
         words="The quote that plan, parts and the shop's rates make now.", run=lambda a: money.draft_quote(a.shop, a.engine)),
    Call(path="/api/engines/{engine}/papers", need="reader", answers=Papers, section="Money", example=Example({"engine": "marigold"}),
         words="Every quote and bill of an engine.", run=lambda a: money.papers(a.shop, a.engine)),
    *desk.calls(FORMS),
)
