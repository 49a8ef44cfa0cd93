"""Parts of an engine on their way, the shop's shelf, and what to order from whom: pages and files."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import desk
from tenths.bench.pages import number_of, placed, routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.supply_forms import FORMS, SHELF_FORMS
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.record.labels import Label, labels_pdf
from tenths.record.typeset import Paper
from tenths.services import supply
from tenths.services.steps import work_state

Answer = dict[str, Any]
ABSENT = ("out", "on order", "refused", "returned", "listed")
WHERE = {"listed": "to be ordered", "on order": "on order", "out": "out of the house", "refused": "not as ordered", "returned": "sent back",
         "arrived": "in the house", "inspected": "in the house, held against the sheet"}


# -- parts of an engine --------------------------------------------------------------------------------------------------

def _context(bench: Bench, engine: str, request: Request) -> Answer:
    told = supply.parts(bench.shop, engine)
    absent = [r for r in told["parts"] if not r["in_house"]]
    absent.sort(key=lambda r: (-r["late"], -len(r["holds_up"]), ABSENT.index(r["where"])))
    plan = work_state(bench.shop, engine).plan
    return {"told": told, "absent": absent, "there": [r for r in told["parts"] if r["in_house"]], "where": WHERE,
            "steps": {name: step.words for name, step in plan.steps.items()}, "orders": supply.to_order(bench.shop, [engine]),
            "shelves": sorted({r["shelf"] for r in told["parts"]} - {""}), "lists": f"/e/{engine}/orders",
            "unknown": supply.UNKNOWN,
            "desk": desk.shown(bench, who_asks(request), engine, FORMS)}


# -- the shop's shelf ----------------------------------------------------------------------------------------------------

def _shelf(bench: Bench) -> Answer:
    return {"told": supply.stock(bench.shop), "orders": supply.to_order(bench.shop), "late": supply.late_parts(bench.shop),
            "lists": "/orders"}


async def shelf(request: Request) -> Response:
    """Boxes of the shop, tools that are away, what to order for all engines."""
    bench = bench_of(request)

    def gathered() -> Answer:
        return _shelf(bench) | {"desk": desk.shown(bench, who_asks(request), "", SHELF_FORMS)}

    return page(request, "shelf.html", place="shelf", **await bench.think(gathered))


async def shelf_labels(request: Request) -> Response:
    """Labels with a QR code for the boxes of the shop, as PDF; each leads to its place on the page of the shelf."""
    bench = bench_of(request)
    base = bench.address or str(request.base_url).rstrip("/")
    labels = [Label(title=b["words"] or b["kind"], code=f"{base}/shelf#box-{b['box']}", words=b["box"], place=b["number"] or b["size"])
              for b in supply.stock(bench.shop)["boxes"]]
    pdf = await run_in_threadpool(lambda: labels_pdf(labels, paper=paper_of(request), first=int(number_of(request, "first", 1.0))))
    return file_answer(pdf, "application/pdf", "shelf-labels.pdf", "inline")


# -- order lists -----------------------------------------------------------------------------------------------------------

def paper_of(request: Request) -> Paper:
    """The paper that was asked for."""
    return "Letter" if request.query_params.get("paper", "").lower() == "letter" else "A4"


def file_answer(content: bytes | str, kind: str, name: str, how: str = "attachment") -> Response:
    """A file under its name, to be kept or to be looked at."""
    headers = {"Content-Disposition": f'{how}; filename="{name}"', "Cache-Control": "private, no-cache"}
    return Response(content, media_type=kind, headers=headers)


def _asked(request: Request) -> tuple[list[str], str]:
    engine = request.path_params.get("engine", "")
    return [engine] if engine else [], request.query_params.get("supplier", "")[:200]


async def orders_csv(request: Request) -> Response:
    """What is to be ordered, of one supplier or all, as CSV."""
    bench, (engines, supplier) = bench_of(request), _asked(request)
    text = await bench.think(lambda: supply.order_csv(supply.to_order(bench.shop, engines), supplier))
    return file_answer(text, "text/csv; charset=utf-8", f"{'-'.join([*engines, 'orders'])}.csv")


async def orders_pdf(request: Request) -> Response:
    """What is to be ordered from one supplier, as a letter."""
    from tenths.record.orders import order_pdf  # noqa: PLC0415 - only print needs it

    bench, (engines, supplier) = bench_of(request), _asked(request)
    if not supplier:
        raise BadInput("supplier: a letter goes to one supplier; name it")
    pdf = await run_in_threadpool(lambda: order_pdf(bench.shop_for(who_asks(request)), supplier, engines=engines, paper=paper_of(request)))
    return file_answer(pdf, "application/pdf", f"{'-'.join([*engines, 'order'])}.pdf", "inline")


ROUTES = [
    routed("/e/{engine}/supply", placed("work", "supply.html", _context)), routed("/shelf", shelf),
    routed("/shelf/labels.pdf", shelf_labels),
    *(routed(f"{head}/orders.csv", orders_csv) for head in ("", "/e/{engine}")),
    *(routed(f"{head}/orders.pdf", orders_pdf) for head in ("", "/e/{engine}")),
    *desk.routes(FORMS), *desk.routes(SHELF_FORMS),
]
CALLS = (*desk.calls(FORMS), *desk.calls(SHELF_FORMS))
