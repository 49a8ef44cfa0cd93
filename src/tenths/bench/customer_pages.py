"""The customer of an engine, as the shop sees it: what for, promised when, what was said and agreed, problems, wear since."""

from typing import Any

from starlette.requests import Request

from tenths.bench import desk
from tenths.bench.customer_forms import FORMS, TOLD
from tenths.bench.customer_shapes import CustomerSide
from tenths.bench.declare import Call, Example
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench
from tenths.bench.who import who_asks
from tenths.services import customers, history, money
from tenths.services.questions import stations_of

Answer = dict[str, Any]


def _context(bench: Bench, engine: str, request: Request) -> Answer:
    build, told = bench.shop.build(engine), customers.customer(bench.shop, engine)
    rates = money.rates(bench.shop)
    return {"told": told, "currency": rates.currency if rates else "", "about": {name: told[name] for name in TOLD},
            "limits": customers.limits(build),
            "progress": customers.progress(bench.shop, engine), "worn": worn(bench, engine), "links": bench.access.links(engine),
            "desk": desk.shown(bench, who_asks(request), engine, FORMS),
            "where": {s.address: s.words for s in stations_of(build)} | {"engine": "the engine"}}


def worn(bench: Bench, engine: str) -> Answer:
    """First readings beside the newest, by what was read, each with its bar beside the longest of its kind."""
    answer = history.wear(bench.shop, engine)
    groups: dict[str, list[Answer]] = {}
    for row in answer["rows"]:
        groups.setdefault(row["words"], []).append(row)
    for rows in groups.values():
        most = max(abs(row["change"]) for row in rows) or 1.0
        for row in rows:
            row["wide"] = abs(row["change"]) / most
    return {"back": answer["back"], "groups": groups}


ROUTES = [routed("/e/{engine}/customer", placed("work", "customer-side.html", _context)), *desk.routes(FORMS)]
CALLS = (
    Call(path="/api/engines/{engine}/customer", need="reader", answers=CustomerSide, section="Customer", of_engine=True,
         words="All that stands between the shop and the customer: what for, days promised, messages, what was agreed, problems.",
         run=lambda a: customers.customer(a.shop, a.engine), example=Example({"engine": "marigold"})),
    *desk.calls(FORMS),
)
