"""One declaration per call of the API: path, who may, what it takes and answers, an example.

Routes, checks of what is sent, and the documentation are all made from it, so there is no second copy to differ.
"""

import hashlib
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from tenths.bench.state import Bench, bench_of
from tenths.bench.who import Need, Who, who_asks
from tenths.errors import BadInput
from tenths.services.shop import Shop

MOST_BYTES = 4_000_000  # of a JSON body
Endpoint = Callable[[Request], Awaitable[Response]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Query:
    """A value that may stand behind the question mark: its name, type, words, and what it is when left out."""

    name: str
    kind: type[str] | type[int] | type[float] = str
    words: str
    default: Any = ""

    def read(self, text: str | None) -> Any:
        """The value as its type; raises BadInput when it is none."""
        if text is None:
            return self.default
        if self.kind is str:
            return text
        try:
            value = msgspec.convert(text, self.kind, strict=False)
        except msgspec.ValidationError:
            value = None
        if value is None or value != value or (not isinstance(value, str) and abs(value) > 1e15):  # noqa: PLR0124 - NaN; far beyond any log
            raise BadInput(f"{self.name}: {text[:40]!r} is not {_KINDS[self.kind]}")
        return value


_KINDS: Mapping[type, str] = {int: "a whole number", float: "a number", str: "a text"}


@dataclass(frozen=True, slots=True)
class Example:
    """A request that works against the demo shop: values for the path, for the query, and a body."""

    path: Mapping[str, str] = field(default_factory=dict[str, str])
    query: Mapping[str, str] = field(default_factory=dict[str, str])
    body: Any = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A request as a call finds it, already checked against its declaration."""

    bench: Bench
    who: Who
    path: Mapping[str, str]
    query: Mapping[str, Any]
    body: Any
    request: Request

    @property
    def shop(self) -> Shop:
        """The shop."""
        return self.bench.shop

    @property
    def engine(self) -> str:
        """The engine named in the path."""
        return self.path["engine"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One call of the API.

    Attributes:
        method: GET or POST.
        path: with its parts in braces.
        need: who may.
        words: what it does, in a sentence.
        run: does it, in a thread.
        answers: type of the answer.
        body: type of the JSON body; None when there is none.
        query: what may stand behind the question mark.
        example: a request that works against the demo shop; None only for what a test cannot repeat.
        of_engine: the answer depends on that engine's log alone, and is kept until the log grows.
        changes: whether it writes to the logbook, so that listeners are to be told.
        endpoint: for answers that are no JSON; then ``run`` is not used.
        prompt: somebody waits for it while typing; it does not queue behind pages that are worked out.
        media: of such an answer.
        section: under which heading it is documented.
    """

    method: str = "GET"
    path: str
    need: Need
    words: str
    run: Callable[[Asked], Any] | None = None
    answers: Any = None
    body: Any = None
    query: tuple[Query, ...] = ()
    example: Example | None = Example()
    of_engine: bool = False
    changes: bool = False
    endpoint: Endpoint | None = None
    prompt: bool = False
    media: str = "application/json"
    section: str = "Engines"

    def route(self) -> Route:
        """The route that answers it."""
        endpoint = self.endpoint or self._answer
        return Route(self.path, allowed(self.need, endpoint), methods=[self.method])

    async def _answer(self, request: Request) -> Response:
        asked = await self._asked(request)
        if self.of_engine:
            return await asked.bench.think(self._kept, asked)
        assert self.run is not None  # noqa: S101 - every call without an endpoint has one
        answer = await (run_in_threadpool(self.run, asked) if self.method == "POST"
                        else asked.bench.think(self.run, asked, prompt=self.prompt))
        if self.changes:
            asked.bench.live.written()
        if isinstance(answer, Response):
            return answer
        return _json(msgspec.json.encode(answer))

    async def _asked(self, request: Request) -> Asked:
        query = {q.name: q.read(request.query_params.get(q.name)) for q in self.query}
        return Asked(bench_of(request), who_asks(request), request.path_params, query, await self._body(request), request)

    async def _body(self, request: Request) -> Any:
        if self.body is None:
            return None
        content = bytearray()
        async for chunk in request.stream():
            content += chunk
            if len(content) > MOST_BYTES:
                raise BadInput(f"body: more than {MOST_BYTES:,} bytes are not taken at once")
        try:
            return msgspec.json.decode(bytes(content), type=self.body)
        except (msgspec.DecodeError, UnicodeDecodeError) as error:
            raise BadInput(f"body: {error}") from None

    def _kept(self, asked: Asked) -> Response:
        run = self.run
        assert run is not None  # noqa: S101 - every call without an endpoint has one
        key = (self.path, *asked.path.values(), *asked.query.values())
        content, tag = asked.bench.answers.of_engine(asked.engine, key, lambda: _tagged(msgspec.json.encode(run(asked))))
        return unchanged(asked.request, tag) or _json(content, tag)


def _tagged(content: bytes) -> tuple[bytes, str]:
    return content, f'"{hashlib.sha256(content).hexdigest()[:20]}"'


def _json(content: bytes, tag: str = "") -> Response:
    headers = {"Cache-Control": "private, no-cache"} | ({"ETag": tag} if tag else {})
    return Response(content, media_type="application/json", headers=headers)


def unchanged(request: Request, tag: str) -> Response | None:
    """The short answer for who has this version already."""
    asked = [t.strip().removeprefix("W/") for t in request.headers.get("if-none-match", "").split(",")]
    return Response(status_code=304, headers={"ETag": tag}) if tag in asked else None


def allowed(need: Need, endpoint: Endpoint) -> Endpoint:
    """The endpoint behind a look at who is asking: the only way in which routes are made."""

    async def guarded(request: Request) -> Response:
        who = who_asks(request)
        if who.may(need):
            return await endpoint(request)
        return turned_away(request, who, need)

    guarded.__name__ = getattr(endpoint, "__name__", "endpoint")
    guarded.need = need  # type: ignore[attr-defined] - read by the test that no route is open by mistake
    return guarded


_ROLES = {"reader": "anybody of the shop", "hand": "a bench hand or owner", "owner": "an owner"}


def turned_away(request: Request, who: Who, need: Need) -> Response:
    """What somebody sees who is not let in: the way to be let in, or why not."""
    api = request.url.path.startswith("/api/")
    if who.missing:
        why = {"pair": "this device is not paired with the shop", "sign-in": "nobody is signed in"}[who.missing]
        if api:
            return JSONResponse({"error": why, "missing": who.missing}, 401)
        return RedirectResponse(f"/{who.missing}" + (f"?next={request.url.path}" if request.method == "GET" else ""), 303)
    why = f"that is for {_ROLES[need]}; {who.person or 'this device'} is {'a reader' if who.role == 'reader' else 'a bench hand'}"
    if api:
        return JSONResponse({"error": why}, 403)
    from tenths.bench.show import error_page  # noqa: PLC0415 - it imports this module

    return error_page(request, 403, why)
