"""Signing in, pairing, people and devices, customers' links: pages and API."""

from datetime import UTC, datetime
from typing import Any

import msgspec
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.declare import Asked, Call, Example
from tenths.bench.guard import DEVICE_COOKIE, DEVICE_DAYS, PERSON_COOKIE, PERSON_DAYS
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import who_asks
from tenths.errors import TenthsError
from tenths.record.typeset import qr_svg


def set_cookie(response: Response, request: Request, name: str, value: str, days: int) -> None:
    """A cookie that scripts cannot read and other sites cannot send; over TLS it never goes in clear."""
    response.set_cookie(name, value, max_age=days * 86400, httponly=True, samesite="lax",
                        secure=request.url.scheme == "https", path="/")


def safe_next(wanted: str) -> str:
    """Where to go after signing in: a path of this server, never another place."""
    plain = wanted.startswith("/") and not wanted.startswith(("//", "/\\")) and "\\" not in wanted and wanted.isprintable()
    return wanted if plain else "/"


async def _form(request: Request) -> dict[str, str]:
    return {key: str(value) for key, value in (await request.form()).items()}


async def sign_in(request: Request) -> Response:
    """Who is at the bench: a name and its password."""
    bench, typed, wrong = bench_of(request), {"next": request.query_params.get("next", "/")}, ""
    if request.method == "POST":
        typed = await _form(request)
        try:
            person = await run_in_threadpool(bench.access.sign_in, typed.get("person", ""), typed.get("password", ""))
        except TenthsError as error:
            wrong = str(error)
        else:
            answer = RedirectResponse(safe_next(typed.get("next", "/")), 303)
            set_cookie(answer, request, PERSON_COOKIE, bench.seals.person(person.id, person.version), PERSON_DAYS)
            return answer
    if who_asks(request).missing == "pair":
        return RedirectResponse("/pair", 303)
    people = [p for p in bench.access.people() if not p.disabled]
    return page(request, "sign-in.html", 403 if wrong else 200, people=people, next=safe_next(typed.get("next", "/")),
                chosen=typed.get("person", ""), wrong=wrong)


async def sign_out(request: Request) -> Response:
    """Nobody is signed in on this device any more."""
    answer = RedirectResponse("/sign-in" if bench_of(request).access.guarded() else "/", 303)
    answer.delete_cookie(PERSON_COOKIE, path="/")
    return answer


async def pair(request: Request) -> Response:
    """A device of the shop's network is let in by the code on the owner's screen."""
    bench, typed, wrong = bench_of(request), dict[str, str](), ""
    if request.method == "POST":
        typed = await _form(request)
        try:
            device = await run_in_threadpool(bench.access.pair, typed.get("code", ""), typed.get("name", ""))
        except TenthsError as error:
            wrong = str(error)
        else:
            answer = RedirectResponse(safe_next(typed.get("next", "/")), 303)
            set_cookie(answer, request, DEVICE_COOKIE, bench.seals.device(device.id), DEVICE_DAYS)
            return answer
    return page(request, "pair.html", 403 if wrong else 200, wrong=wrong, typed=typed,
                next=safe_next(request.query_params.get("next", "/")))


async def people(request: Request) -> Response:
    """The people of the shop, the paired devices, customers' links, and a code for one more device."""
    return await _people(request, "", None)


async def _people(request: Request, wrong: str, code: "PairingCode | None", link: str = "") -> Response:
    bench = bench_of(request)
    return page(request, "people.html", 422 if wrong else 200, place="people", people=bench.access.people(),
                devices=bench.access.devices(), links=bench.access.links(), wrong=wrong, code=code,
                code_svg=Markup(qr_svg(code.address)) if code else None,  # noqa: S704 - made by us
                new_link=link, engines=bench.shop.engines())


async def people_changed(request: Request) -> Response:
    """What the owner's page asks for: add or change a person, a new code, end a device or a link."""
    bench, form = bench_of(request), await _form(request)
    try:
        code, link = await run_in_threadpool(_do, bench, request, form)
    except TenthsError as error:
        return await _people(request, str(error), None)
    if code is None and not link:
        return RedirectResponse("/people", 303)
    return await _people(request, "", code, link)


def _do(bench: Bench, request: Request, form: dict[str, str]) -> "tuple[PairingCode | None, str]":
    access = bench.access
    match form.get("do", ""):
        case "add-person":
            access.add_person(form.get("name", ""), form.get("role", ""), form.get("password", ""))
        case "change-person":
            access.change_person(form.get("person", ""), role=form.get("role", ""), password=form.get("password", ""),
                                 name=form.get("name", ""))
        case "disable-person" | "enable-person" as what:
            access.change_person(form.get("person", ""), disabled=what == "disable-person")
        case "revoke-device":
            access.revoke_device(form.get("device", ""))
        case "revoke-link":
            access.revoke_link(form.get("link", ""))
        case "new-code":
            return new_code(bench, request, form.get("role", "hand")), ""
        case "new-link":
            return None, new_link(bench, request, form.get("engine", ""), form.get("words", "")).address
        case other:
            raise TenthsError(f"do: {other[:40]!r} is not known")
    return None, ""


# -- the same as an API -------------------------------------------------------------------------------------------------

class PersonRow(msgspec.Struct, frozen=True):
    """A person of the shop."""

    id: str
    name: str
    role: str
    disabled: bool
    added: str


class NewPerson(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A person to be added; the first one must be an owner."""

    name: str
    role: str
    password: str


class PersonChange(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What is to change of a person; what is left out stays."""

    role: str = ""
    password: str = ""
    name: str = ""
    disabled: bool | None = None


class DeviceRow(msgspec.Struct, frozen=True):
    """A paired device; ``revoked`` is when that ended."""

    id: str
    name: str
    role: str
    paired: str
    seen: str
    revoked: str


class LinkRow(msgspec.Struct, frozen=True):
    """A customer's link, without its token."""

    id: str
    engine: str
    words: str
    made: str
    made_by: str
    revoked: str


class WantCode(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a device paired by the code may do where nobody needs to sign in."""

    role: str = "hand"


class PairingCode(msgspec.Struct, frozen=True):
    """A code for one device, until when it holds, and the address that a QR code of it says."""

    code: str
    expires: str
    address: str


class WantLink(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A link for a customer: to which engine, and for whom."""

    engine: str
    words: str = ""


class NewLink(msgspec.Struct, frozen=True):
    """A customer's link: its address is shown this once."""

    id: str
    address: str


class WhoAmI(msgspec.Struct, frozen=True):
    """Who is asking, and whether anybody must sign in."""

    person: str
    role: str
    device: str
    guarded: bool
    now: str


def base_of(bench: Bench, request: Request) -> str:
    """How other devices reach this server."""
    return bench.address or f"{request.url.scheme}://{request.headers['host']}"


def new_code(bench: Bench, request: Request, role: str) -> PairingCode:
    """A fresh pairing code; the part behind the # never leaves the device that scans it but by its own posting."""
    code, expires = bench.access.new_code(role)
    return PairingCode(code, expires, f"{base_of(bench, request)}/pair#{code}")


def new_link(bench: Bench, request: Request, engine: str, words: str) -> NewLink:
    """A customer's link to an engine."""
    bench.shop.build(engine)
    link, token = bench.access.new_link(engine, words[:80], who_asks(request).person or bench.shop.person)
    return NewLink(link.id, f"{base_of(bench, request)}/c/{token}")


def _row(kind: type, record: Any) -> Any:
    return kind(**{name: getattr(record, name) for name in kind.__struct_fields__})


def _people_rows(asked: Asked) -> list[PersonRow]:
    return [_row(PersonRow, p) for p in asked.bench.access.people()]


def _who(asked: Asked) -> WhoAmI:
    now = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return WhoAmI(asked.who.person or asked.shop.person, asked.who.role, asked.who.device,
                  asked.bench.access.guarded(), now)


def _revoke_device(asked: Asked) -> list[DeviceRow]:
    asked.bench.access.revoke_device(asked.path["device"])
    return _devices(asked)


def _devices(asked: Asked) -> list[DeviceRow]:
    return [_row(DeviceRow, d) for d in asked.bench.access.devices()]


def _links(asked: Asked) -> list[LinkRow]:
    return [_row(LinkRow, link) for link in asked.bench.access.links()]


def _revoke_link(asked: Asked) -> list[LinkRow]:
    asked.bench.access.revoke_link(asked.path["link"])
    return _links(asked)


def _add(asked: Asked) -> PersonRow:
    return _row(PersonRow, asked.bench.access.add_person(asked.body.name, asked.body.role, asked.body.password))


def _change(asked: Asked) -> PersonRow:
    return _row(PersonRow, asked.bench.access.change_person(asked.path["person"], **msgspec.structs.asdict(asked.body)))


CALLS = (
    Call(path="/api/who", need="reader", words="Who is asking.", answers=WhoAmI, run=_who, section="People"),
    Call(path="/api/people", need="owner", words="The people of the shop.", answers=list[PersonRow], run=_people_rows,
         section="People"),
    Call(method="POST", path="/api/people", need="owner", body=NewPerson, answers=PersonRow, run=_add, section="People",
         words="Adds a person. From the first one on, everybody must sign in.",
         example=Example(body={"name": "Ines Vale", "role": "owner", "password": "saltmarsh quay"})),
    Call(method="POST", path="/api/people/{person}", need="owner", body=PersonChange, answers=PersonRow, run=_change,
         words="Changes role, name or password of a person, or disables them; their sign-ins end with it.",
         section="People", example=Example({"person": "{person}"}, body={"role": "owner"})),
    Call(path="/api/devices", need="owner", words="The devices that were paired.", answers=list[DeviceRow], run=_devices,
         section="People"),
    Call(method="POST", path="/api/devices/code", need="owner", body=WantCode, answers=PairingCode, section="People",
         words="A fresh code for one device: it holds for ten minutes and five tries; earlier ones hold no more.",
         run=lambda a: new_code(a.bench, a.request, a.body.role), example=Example(body={"role": "hand"})),
    Call(method="POST", path="/api/devices/{device}/end", need="owner", answers=list[DeviceRow], run=_revoke_device,
         words="Ends the pairing of a device.", section="People", example=Example({"device": "{device}"})),
    Call(path="/api/links", need="owner", words="Customers' links.", answers=list[LinkRow], run=_links, section="People"),
    Call(method="POST", path="/api/links", need="owner", body=WantLink, answers=NewLink, section="People",
         words="A read-only link for a customer to one engine: progress, findings, photographs and record, nothing else.",
         run=lambda a: new_link(a.bench, a.request, a.body.engine, a.body.words),
         example=Example(body={"engine": "marigold", "words": "Orrin Tidewell"})),
    Call(method="POST", path="/api/links/{link}/end", need="owner", answers=list[LinkRow], run=_revoke_link,
         words="Ends a customer's link.", section="People", example=Example({"link": "{link}"})),
)
ROUTES = [
    routed("/sign-in", sign_in, "anyone", ("GET", "POST")),
    routed("/sign-out", sign_out, "anyone", ("POST",)),
    routed("/pair", pair, "anyone", ("GET", "POST")),
    routed("/people", people, "owner"),
    routed("/people", people_changed, "owner", ("POST",)),
]
