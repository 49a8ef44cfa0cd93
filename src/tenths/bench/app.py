"""The web app of the bench: what is served where. It computes nothing; it asks the services and shows."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import msgspec
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tenths.bench import (
    ahead_pages,
    api,
    asking,
    customer,
    customer_pages,
    door,
    form,
    halves,
    history_pages,
    instruments,
    money_pages,
    order,
    pages,
    photos,
    plots,
    risk,
    running,
    served,
    studies,
    supply_pages,
    sure,
    warm,
    work_api,
    work_pages,
    writing,
)
from tenths.bench.declare import Call, allowed
from tenths.bench.guard import Door, Guard, Seals
from tenths.bench.headers import SafeHeaders
from tenths.bench.live import Live
from tenths.bench.openapi import document, sections
from tenths.bench.show import error_page, page
from tenths.bench.state import Answers, Bench
from tenths.errors import BadInput, Damaged, OutOfRange, Refused, TenthsError
from tenths.services.access import Access
from tenths.services.shop import Shop

STATUS: dict[type[TenthsError], int] = {BadInput: 422, OutOfRange: 422, Refused: 409, Damaged: 500}
CALLS: tuple[Call, ...] = (*api.CALLS, *writing.CALLS, *photos.CALLS, *order.CALLS, *halves.CALLS, *studies.CALLS,
                           *form.CALLS, *risk.CALLS, *running.CALLS, *sure.CALLS,
                           *instruments.CALLS, *warm.CALLS, *work_api.CALLS, *work_pages.CALLS, *ahead_pages.CALLS,
                           *history_pages.CALLS, *supply_pages.CALLS, *money_pages.CALLS, *customer_pages.CALLS,
                           *door.CALLS)


def make_app(shop: Shop, access: Access, *, door_open: Door | None = None, address: str = "") -> Starlette:
    """The app over an open shop.

    Args:
        shop: opened by the caller, who closes it.
        access: people and devices of the shop, likewise.
        door_open: how far the door stands open; this machine alone when left out.
        address: how other devices reach this server, like ``http://192.0.2.7:8377``; empty to say it as the asker does.
    """
    seals, far = Seals(access), door_open or Door()
    bench = Bench(shop, access, seals, far, Live(shop), Answers(shop), address)

    @asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncIterator[None]:
        async with bench.live.watching():
            yield

    app = Starlette(
        routes=[*pages.ROUTES, *order.ROUTES, *halves.ROUTES, *studies.ROUTES, *form.ROUTES, *risk.ROUTES,
                *sure.ROUTES, *instruments.ROUTES, *warm.ROUTES, *asking.ROUTES,
                *plots.ROUTES, *running.ROUTES, *work_pages.ROUTES, *ahead_pages.ROUTES, *door.ROUTES, *customer.ROUTES, *served.ROUTES,
                *history_pages.ROUTES, *supply_pages.ROUTES, *money_pages.ROUTES,
                *customer_pages.ROUTES,
                *(call.route() for call in CALLS),
                Route("/api/openapi.json", allowed("reader", openapi)), Route("/api/docs", allowed("reader", docs))],
        middleware=[Middleware(SafeHeaders), Middleware(Guard, access=access, seals=seals, door=far),
                    Middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)],
        exception_handlers={TenthsError: _said, HTTPException: _http, Exception: _broken},
        lifespan=lifespan)
    app.state.bench = bench
    return app


async def openapi(_request: Request) -> Response:
    """The API as an OpenAPI document."""
    return Response(msgspec.json.encode(document(CALLS)), media_type="application/json")


async def docs(request: Request) -> Response:
    """The API as a page."""
    return page(request, "docs.html", place="docs", sections=sections(CALLS))


async def _said(request: Request, error: Exception) -> Response:
    """An error that is meant to be read: as JSON to the API, as a page to a person."""
    status = next((code for kind, code in STATUS.items() if isinstance(error, kind)), 400)
    if "engine: there is no" in str(error):
        status = 404
    return _answer(request, status, str(error))


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for this type
    return _answer(request, error.status_code, error.detail)


async def _broken(request: Request, _error: Exception) -> Response:
    """A defect of ours: said plainly, with nothing of its inside; the traceback is in the server's own log."""
    return _answer(request, 500, "Something is wrong with the program itself. What was typed is still on the device.")


def _answer(request: Request, status: int, what: str) -> Response:
    if request.url.path.startswith("/api/") or "who" not in request.scope.get("state", {}):
        return JSONResponse({"error": what}, status_code=status)
    return error_page(request, status, what)
