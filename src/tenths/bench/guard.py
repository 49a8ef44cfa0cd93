"""The guard at the door: which names this server answers to, which pages may post to it, and who is asking.

Against DNS rebinding: only names that are ours are answered; a name that somebody else points here is not. Against
requests forged by other sites: what changes anything must come from a page of this very origin, or from a program that
is no browser. Cookies are signed, not readable by scripts, and never sent along from other sites.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import ip_address
from typing import Any
from urllib.parse import urlsplit

from itsdangerous import BadSignature, URLSafeTimedSerializer
from starlette.concurrency import run_in_threadpool
from starlette.requests import HTTPConnection
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from tenths.bench.who import Who
from tenths.services.access import Access

DEVICE_COOKIE, PERSON_COOKIE = "tenths_device", "tenths_person"
DEVICE_DAYS, PERSON_DAYS = 730, 30
LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
FORWARDED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")


@dataclass(frozen=True, slots=True)
class Door:
    """How far the door stands open.

    Attributes:
        lan: whether devices of the shop's network are served, once paired; else this machine alone.
        names: further names that this server is reached by.
    """

    lan: bool = False
    names: frozenset[str] = frozenset()

    def answers_to(self, host: str) -> bool:
        """Whether a Host header names this server: our names always, on the network any bare address as well."""
        name = host_name(host)
        return name in LOOPBACK_NAMES or name in self.names or (self.lan and _is_address(name))


def host_name(host: str) -> str:
    """The name in a Host header, without its port, in small letters; empty when it is malformed."""
    try:
        return (urlsplit(f"//{host}").hostname or "").rstrip(".")
    except ValueError:
        return ""


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


class Seals:
    """Signs and reads the cookies; the keys are in the shop's file of people and devices."""

    def __init__(self, access: Access) -> None:
        key = access.key("cookies")
        self._device = URLSafeTimedSerializer(key, salt="device")
        self._person = URLSafeTimedSerializer(key, salt="person")
        self._gauge = URLSafeTimedSerializer(key, salt="gauge")

    def device(self, identity: str) -> str:
        """The cookie of a paired device."""
        return self._signed(self._device, identity)

    def person(self, identity: str, version: int) -> str:
        """The cookie of a person who signed in."""
        return self._signed(self._person, [identity, version])

    def gauge(self) -> str:
        """The token by which a gauge reader on this machine is known."""
        return self._signed(self._gauge, "gauge")

    @staticmethod
    def _signed(by: URLSafeTimedSerializer, what: Any) -> str:
        made = by.dumps(what)
        return made if isinstance(made, str) else made.decode()

    def read_device(self, cookie: str) -> str:
        """The id in a device's cookie; empty when it is not ours."""
        found = _read(self._device, cookie, DEVICE_DAYS)
        return found if isinstance(found, str) else ""

    def read_person(self, cookie: str) -> tuple[str, int]:
        """The id and version in a person's cookie; empty when it is not ours or too old."""
        match _read(self._person, cookie, PERSON_DAYS):
            case [str(identity), int(version)]:
                return identity, version
            case _:
                return "", 0

    def is_gauge(self, token: str) -> bool:
        """Whether this is a token that `gauge` made, at most a day old."""
        return _read(self._gauge, token, 1) == "gauge"


def _read(by: URLSafeTimedSerializer, text: str, days: int) -> Any:
    if not text:
        return None
    try:
        return by.loads(text, max_age=days * 86400)
    except BadSignature:
        return None


class Guard:
    """Stands before every route: refuses what is not ours, and says who is asking."""

    def __init__(self, app: ASGIApp, *, access: Access, seals: Seals, door: Door) -> None:
        self.app, self.access, self.seals, self.door = app, access, seals, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes the request on with ``state.who``, or refuses it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no WebSocket is ever served
        asked = HTTPConnection(scope)
        refused = self._refused(asked)
        if refused is None:
            state = scope.setdefault("state", {})
            state["who"] = await run_in_threadpool(self._who, asked)
            await self.app(scope, receive, send)
            return
        await refused(scope, receive, send)

    def _refused(self, asked: HTTPConnection) -> Response | None:
        hosts = asked.headers.getlist("host")
        if len(hosts) != 1 or not self.door.answers_to(hosts[0]):
            return PlainTextResponse("This server does not answer to that name.\n", 421)
        if not self.door.lan and not is_here(asked):
            return PlainTextResponse("This server answers this machine only.\n", 403)
        why = forged(asked.scope["method"], asked.headers.get("origin"), asked.headers.get("sec-fetch-site"),
                     asked.headers.get("sec-fetch-mode"), f"{asked.url.scheme}://{hosts[0]}")
        return JSONResponse({"error": why}, 403) if why else None

    def _who(self, asked: HTTPConnection) -> Who:
        here = is_here(asked)
        device = self._device(asked)
        if self.door.lan and not here and device is None:
            return Who(missing="pair")
        named = {"device": device.name if device else "", "device_id": device.id if device else "", "here": here}
        if here and self.seals.is_gauge(asked.headers.get("authorization", "").removeprefix("Bearer ")):
            return Who(role="hand", person="gauge", **named)
        if not self.access.guarded():
            return Who(role="owner" if device is None or here else device.role, **named)
        identity, version = self.seals.read_person(asked.cookies.get(PERSON_COOKIE, ""))
        person = self.access.person(identity) if identity else None
        if person is None or person.disabled or person.version != version:
            return Who(missing="sign-in", **named)
        return Who(role=person.role, person=person.name, person_id=person.id, **named)

    def _device(self, asked: HTTPConnection) -> Any:
        identity = self.seals.read_device(asked.cookies.get(DEVICE_COOKIE, ""))
        found = self.access.device(identity) if identity else None
        return None if found is None or found.revoked else found


def is_here(asked: HTTPConnection) -> bool:
    """Whether a request comes from this machine itself, by a name of this machine alone, and through no proxy."""
    if any(name in asked.headers for name in FORWARDED):
        return False
    client = asked.client.host if asked.client else ""
    name = host_name(asked.headers.get("host", ""))
    return _is_address(client) and ip_address(client).is_loopback and name in LOOPBACK_NAMES


def forged(method: str, origin: str | None, site: str | None, mode: str | None, own: str) -> str:
    """Why a request is taken for one that another site made a browser send; empty when it is not."""
    if method in SAFE:
        if site == "cross-site" and mode != "navigate":
            return "another site may not ask this server"
        return ""
    if origin is not None:
        return "" if origin == own else f"a page of {origin} may not change anything here"
    if site not in {None, "same-origin", "none"}:
        return "another site may not change anything here"
    return ""


def lan_names() -> frozenset[str]:
    """The names that this machine has in its network."""
    import socket  # noqa: PLC0415 - only asked once

    name = socket.gethostname().lower().rstrip(".")
    return frozenset(n for n in (name, f"{name}.local", name.partition(".")[0]) if n)


def lan_addresses() -> tuple[str, ...]:
    """The addresses of this machine in its networks, found without sending anything."""
    import socket  # noqa: PLC0415 - only asked once

    found: list[str] = []
    for family, probe in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        with socket.socket(family, socket.SOCK_DGRAM) as line:  # connecting a datagram socket sends no packet
            try:
                line.connect((probe, 9))
                found.append(line.getsockname()[0])
            except OSError:
                continue
    found += _of_name(socket.gethostname())
    return tuple(a for a in dict.fromkeys(found) if not ip_address(a).is_loopback)


def _of_name(name: str) -> Iterable[str]:
    import socket  # noqa: PLC0415 - only asked once

    try:
        return [str(row[4][0]).partition("%")[0] for row in socket.getaddrinfo(name, None, type=socket.SOCK_DGRAM)]
    except OSError:
        return []
