"""The JSON API, which the pages themselves use. Documented at /api/docs."""

import json
from collections.abc import Awaitable, Callable
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from tenths.bench.live import Live
from tenths.errors import BadInput, TenthsError
from tenths.logbook.entry import NewEntry
from tenths.services import choosing, questions
from tenths.services.shop import Shop
from tenths.services.tray import tray

MOST_ENTRIES = 500  # in one posting

Endpoint = Callable[[Request], Awaitable[Response]]


def _shop(request: Request) -> Shop:
    shop: Shop = request.app.state.shop
    return shop


def _ask(question: Callable[[Shop, Request], Any]) -> Endpoint:
    """An endpoint that asks a question in a thread and answers as JSON."""

    async def endpoint(request: Request) -> Response:
        answer = await run_in_threadpool(question, _shop(request), request)
        return Response(msgspec.json.encode(answer), media_type="application/json")

    return endpoint


def _engine(request: Request) -> str:
    return request.path_params["engine"]


def _whole(request: Request, name: str) -> int:
    text = request.query_params.get(name, "0")
    if not text.isascii() or not text.isdigit() or len(text) > 15:  # noqa: PLR2004 - far beyond any log
        raise BadInput(f"{name}: {text!r} is not a whole number")
    return int(text)


def _tray(shop: Shop, request: Request) -> Any:
    with_ = [name for name in request.query_params.get("with", "").split(",") if name]
    return tray(shop, _engine(request), instruments=with_, limit=_whole(request, "limit"))


def _findings(shop: Shop, request: Request) -> Any:
    only = [name for name in request.query_params.get("only", "").split(",") if name]
    return questions.findings(shop, _engine(request), only=only, units=request.query_params.get("units", ""))


def _station(shop: Shop, request: Request) -> Any:
    return questions.station(shop, _engine(request), request.path_params["station"], request.query_params.get("units", ""))


async def post_entries(request: Request) -> Response:
    """Takes entries that a device made; answers for each whether it is saved or refused, after the commit."""
    try:
        posted = msgspec.json.decode(await request.body(), type=list[NewEntry])
    except msgspec.MsgspecError as error:
        raise BadInput(f"entries: a list of entries is wanted: {error}") from None
    if len(posted) > MOST_ENTRIES:
        raise BadInput(f"entries: {len(posted)} at once; up to {MOST_ENTRIES} are taken")
    person = getattr(request.state, "person", "")
    answers = await run_in_threadpool(_take, _shop(request), _engine(request), posted, person)
    live: Live = request.app.state.live
    await live.tell()
    return JSONResponse(answers)


def _take(shop: Shop, engine: str, posted: list[NewEntry], person: str) -> list[dict[str, Any]]:
    return [_take_one(shop, engine, entry, person) for entry in posted]


def _take_one(shop: Shop, engine: str, entry: NewEntry, person: str) -> dict[str, Any]:
    """One entry: what is wrong with one keeps no other back. Who is signed in has the last word on who did it."""
    if person:
        entry = msgspec.structs.replace(entry, person=person)
    try:
        stored = shop.append_entries(engine, [entry])[-1]
    except TenthsError as error:
        return {"id": entry.id, "state": "refused", "why": str(error)}
    return {"id": entry.id, "state": "saved", "position": stored.position,
            "since": [row for row in _since(shop, engine, entry, stored.position)]}


def _since(shop: Shop, engine: str, entry: NewEntry, position: int) -> list[dict[str, Any]]:
    """What others wrote between what the person had seen and their decision."""
    if entry.seen is None:
        return []
    return [row for row in questions.log(shop, engine, after=entry.seen) if row["position"] < position]


async def events(request: Request) -> Response:
    """Server-sent events: one for every change, with the sequence number to ask from after a break."""
    live: Live = request.app.state.live
    last = request.headers.get("last-event-id", "")
    start = int(last) if last.isdigit() else live.sequence

    async def stream() -> Any:
        sequence = start
        yield f"id: {sequence}\nevent: ready\ndata: {{}}\n\n"
        while True:
            latest = await live.after(sequence)
            if latest == sequence:
                yield ": still here\n\n"
                continue
            changed = await run_in_threadpool(_changes, _shop(request), sequence)
            sequence = changed["sequence"]
            yield f"id: {sequence}\nevent: changed\ndata: {json.dumps(changed)}\n\n"

    return StreamingResponse(stream(), media_type="text/event-stream",
                             headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


def _changes(shop: Shop, after: int) -> dict[str, Any]:
    rows = shop.logbook.read_all(after=after, limit=1000)
    engines = {entry.stream: entry.position for _, entry in rows}
    return {"sequence": rows[-1][0] if rows else after, "engines": engines,
            "entries": [entry.id for _, entry in rows]}


ROUTES = [
    Route("/api/engines", _ask(lambda shop, _: questions.engines(shop))),
    Route("/api/engines/{engine}", _ask(lambda shop, r: questions.show(shop, _engine(r)))),
    Route("/api/engines/{engine}/findings", _ask(_findings)),
    Route("/api/engines/{engine}/tray", _ask(_tray)),
    Route("/api/engines/{engine}/stations/{station}", _ask(_station)),
    Route("/api/engines/{engine}/log", _ask(lambda shop, r: questions.log(shop, _engine(r), after=_whole(r, "after")))),
    Route("/api/engines/{engine}/choices", _ask(lambda shop, r: choosing.choices(shop, _engine(r)))),
    Route("/api/engines/{engine}/entries", post_entries, methods=["POST"]),
    Route("/api/changes", _ask(lambda shop, r: _changes(shop, _whole(r, "after")))),
    Route("/api/events", events),
]
