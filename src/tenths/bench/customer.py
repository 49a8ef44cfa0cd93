"""What a customer sees by their link: progress, questions, messages, findings, photographs, the record; of one engine alone."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import photos
from tenths.bench.pages import drawn, kept_findings, record_answer, routed, summary
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.logbook.build import Build
from tenths.services import customers, money
from tenths.services.questions import stations_of

GONE = "This link is not known here, or has ended. Ask the shop for a new one."
SHOWN = ("fits", "out", "too close to call", "stale", "no limit")
PRIVATE = {"Referrer-Policy": "no-referrer", "X-Robots-Tag": "noindex", "Cache-Control": "private, no-store"}


def _engine(request: Request) -> str:
    link = bench_of(request).access.link(request.path_params["token"])
    if link is None:
        raise HTTPException(404, GONE)
    return link.engine


def _private(response: Response) -> Response:
    response.headers.update(PRIVATE)
    return response


def context(bench: Bench, engine: str) -> dict[str, Any]:
    """What the page shows: no names of people, no notes, no costs but of what they are asked, no other engine."""
    found = kept_findings(bench, engine)
    told = summary(bench, engine)
    shown = ("name", "purpose", "use", "fuel", "layout", "verdicts", "on_order")
    build = bench.shop.build(engine)
    return {
        "about": {key: told[key] for key in shown}, "progress": customers.progress(bench.shop, engine) if build.layout else None,
        "findings": [f for f in found if f["verdict"] in SHOWN],
        "waiting": sum(f["verdict"] == "not measured" for f in found), "of": len(found),
        "photos": _photos(build), "currency": kept.currency if (kept := money.rates(bench.shop)) else "",
    }


def _photos(build: Build) -> list[dict[str, Any]]:
    """The photographs, the newest first, each with its place in words."""
    where = {s.address: s.words for s in stations_of(build)}
    rows = [{"station": where.get(station, station.replace(".", " ")), "at": mark.at, "file": body.file, "words": body.words}
            for station, some in build.photos.items() for mark, body in some]
    return sorted(rows, key=lambda row: row["at"], reverse=True)


async def view(request: Request) -> Response:
    """The customer's page."""
    bench, engine = bench_of(request), await run_in_threadpool(_engine, request)
    shown = await run_in_threadpool(context, bench, engine)
    svg = await run_in_threadpool(lambda: drawn(bench, engine, view="side"))
    from markupsafe import Markup  # noqa: PLC0415 - one page asks

    return _private(page(request, "customer.html", svg=Markup(svg), token=request.path_params["token"], **shown))  # noqa: S704


async def record(request: Request) -> Response:
    """The record of their engine."""
    engine = await run_in_threadpool(_engine, request)
    return _private(await record_answer(bench_of(request), engine, request))


async def photo(request: Request) -> Response:
    """A photograph of their engine; those of other engines are not known here."""
    bench, engine = bench_of(request), await run_in_threadpool(_engine, request)
    build, name = bench.shop.build(engine), request.path_params["file"]
    if not any(body.file == name for rows in build.photos.values() for _, body in rows):
        raise HTTPException(404, "There is no such photograph.")
    return _private(await photos.answer(bench, name, request))


ROUTES = [
    routed("/c/{token}", view, "anyone"),
    routed("/c/{token}/record.pdf", record, "anyone"),
    routed("/c/{token}/photo/{file}", photo, "anyone"),
]
