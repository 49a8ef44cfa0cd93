"""The web app of the bench: what is served where. It computes nothing; it asks the services and shows."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.resources import files
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from tenths.bench import api, pages
from tenths.bench.guard import Guard
from tenths.bench.headers import SafeHeaders
from tenths.bench.live import Live
from tenths.errors import BadInput, Damaged, Refused, TenthsError
from tenths.services.shop import Shop

STATIC = Path(str(files("tenths.bench").joinpath("static")))
STATUS: dict[type[TenthsError], int] = {BadInput: 422, Refused: 409, Damaged: 500}


def make_app(shop: Shop, *, guarded: bool = False) -> Starlette:
    """The app over an open shop.

    Args:
        shop: opened by the caller, who closes it.
        guarded: whether people must sign in and devices be paired (anything but single use on loopback).
    """
    live = Live(shop)

    @asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncIterator[None]:
        async with live.watching():
            yield

    app = Starlette(
        routes=[*pages.ROUTES, *api.ROUTES, Mount("/static", StaticFiles(directory=STATIC), name="static"),
                Route("/sw.js", _service_worker)],
        middleware=[Middleware(SafeHeaders), Middleware(Guard, shop=shop, on=guarded)],
        exception_handlers={TenthsError: _said, HTTPException: _http},
        lifespan=lifespan)
    app.state.shop, app.state.live, app.state.guarded = shop, live, guarded
    return app


async def _service_worker(_request: Request) -> Response:
    """The service worker is served from the root, so that it may answer for every page."""
    return Response((STATIC / "sw.js").read_bytes(), media_type="text/javascript",
                    headers={"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"})


async def _said(request: Request, error: Exception) -> Response:
    """An error that is meant to be read: as JSON to the API, as a page to a person."""
    status = next((code for kind, code in STATUS.items() if isinstance(error, kind)), 400)
    return _answer(request, status, str(error))


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for this type
    return _answer(request, error.status_code, error.detail)


def _answer(request: Request, status: int, what: str) -> Response:
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": what}, status_code=status)
    return pages.error_page(request, status, what)
