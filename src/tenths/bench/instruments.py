"""Instruments on the bench: the list, one record, its card and certificates; and their API."""

from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.forms import typed_form
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.sure_shapes import InstrumentLine, InstrumentRecord, TemplateRow
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import instruments

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; that of the instrument's card when left out")
CARD = ("kind", "name", "serial", "range_from", "range_to", "resolution", "limit_of_error", "repeatability", "hand", "set_from", "due")
LINES = "size (in), correction (tenths), uncertainty (tenths)\n"


def kept_list(bench: Bench, units: str = "") -> list[Answer]:
    """All instruments, kept while nothing in the shop is written, for a day."""
    return bench.answers.of_shop(("instruments", units, bench.shop.clock().date()), lambda: instruments.instruments(bench.shop, units))


def kept_record(bench: Bench, name: str, units: str = "") -> Answer:
    """One instrument, likewise."""
    return bench.answers.of_shop(("instrument", name, units, bench.shop.clock().date()),
                                 lambda: instruments.instrument_record(bench.shop, name, units))


# -- pages ---------------------------------------------------------------------------------------------------------------

async def listed(request: Request) -> Response:
    """All instruments, what is overdue first; and the form that lists another by a template."""
    bench = bench_of(request)
    typed, wrong = {}, ""
    if request.method == "POST":
        typed, _ = await typed_form(request, ("instrument", *CARD))
        try:
            await run_in_threadpool(_update, bench, request, typed.get("instrument", ""), typed)
        except BadInput as error:
            wrong = str(error)
        else:
            bench.live.written()
            return RedirectResponse(f"/instruments/{typed['instrument']}", 303)
    order = {"overdue": 0, "due soon": 1}
    rows = sorted(await bench.think(kept_list, bench), key=lambda r: order.get(r["state"], 2))
    return page(request, "instruments.html", 422 if wrong else 200, place="instruments", rows=rows, typed=typed, wrong=wrong,
                templates=instruments.templates(), may=who_asks(request).may("hand"))


async def record(request: Request) -> Response:
    """One instrument: its card, certificates, what it was set to and used on."""
    return await _record(request)


async def _record(request: Request, wrong: str = "", typed: Answer | None = None, which: str = "") -> Response:
    bench, name = bench_of(request), request.path_params["instrument"]
    units = request.query_params.get("units", "")
    answer = await bench.think(kept_record, bench, name, units)
    return page(request, "instrument.html", 422 if wrong else 200, place="instruments", i=answer, units=units, wrong=wrong, which=which,
                typed=typed or {}, lines=LINES, others=await bench.think(kept_list, bench), may=who_asks(request).may("hand"))


async def change(request: Request) -> Response:
    """Brings the card up to date."""
    typed, _ = await typed_form(request, CARD)
    return await _done(request, "card", typed, lambda bench, name: _update(bench, request, name, typed))


async def certificate(request: Request) -> Response:
    """Takes a certificate, its points typed or from a file."""
    typed, content = await typed_form(request, ("day", "certificate", "by", "due", "coverage", "points"), file="file")
    return await _done(request, "certificate", typed, lambda bench, name: _certify(bench, request, name, typed, content))


async def _done(request: Request, which: str, typed: Answer, work: Any) -> Response:
    bench, name = bench_of(request), request.path_params["instrument"]
    try:
        await run_in_threadpool(work, bench, name)
    except BadInput as error:
        return await _record(request, str(error), typed, which)
    bench.live.written()
    return RedirectResponse(f"/instruments/{name}", 303)


def _update(bench: Bench, request: Request, name: str, typed: Answer) -> None:
    instruments.update_instrument(bench.shop_for(who_asks(request)), name, **{k: v for k, v in typed.items() if k in CARD})


def _certify(bench: Bench, request: Request, name: str, typed: Answer, content: tuple[str, bytes] | None) -> None:
    if content is not None:
        points = instruments.points_of_table(content[1], content[0])
    elif typed.get("points", "").strip() and typed["points"].strip() != LINES.strip():
        points = instruments.points_of_table(typed["points"], "points")
    else:
        raise BadInput("points: type each line of the certificate below the heads, or choose a file")
    instruments.certify(bench.shop_for(who_asks(request)), bodies.InstrumentCertified(
        instrument=name, day=typed.get("day", ""), points=points, certificate=typed.get("certificate", ""), by=typed.get("by", ""),
        due=typed.get("due", ""), coverage=typed.get("coverage") or "2"))


ROUTES = [
    routed("/instruments", listed), routed("/instruments/add", listed, "hand", ("POST",)),
    routed("/instruments/{instrument}", record), routed("/instruments/{instrument}/card", change, "hand", ("POST",)),
    routed("/instruments/{instrument}/certificate", certificate, "hand", ("POST",)),
]


# -- API -----------------------------------------------------------------------------------------------------------------

class Card(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is said of an instrument; what is left out stays as it was, or as usual for its kind."""

    kind: str = ""
    name: str = ""
    serial: str = ""
    range_from: str = ""
    range_to: str = ""
    resolution: str = ""
    limit_of_error: str = ""
    repeatability: str = ""
    hand: str = ""
    set_from: str = ""
    due: str = ""


class NewCertificate(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A calibration certificate; fields as in the entry ``instrument.certified``."""

    day: str
    points: tuple[bodies.CertificatePoint, ...]
    certificate: str = ""
    by: str = ""
    due: str = ""
    coverage: str = "2"


def _listed(asked: Asked) -> Any:
    said = {key: value for key, value in msgspec.structs.asdict(asked.body).items() if value}
    instruments.update_instrument(asked.bench.shop_for(asked.who), asked.path["instrument"], **said)
    return instruments.instrument_record(asked.shop, asked.path["instrument"])


def _certified(asked: Asked) -> Any:
    made = bodies.InstrumentCertified(instrument=asked.path["instrument"], **{
        field: getattr(asked.body, field) for field in asked.body.__struct_fields__})
    instruments.certify(asked.bench.shop_for(asked.who), made)
    return instruments.instrument_record(asked.shop, asked.path["instrument"])


MIC = {"instrument": "mic-2-3"}
SECTION = "Instruments"
CALLS = (
    Call(path="/api/instruments/today", need="reader", answers=list[InstrumentLine], section=SECTION, query=(UNITS,),
         words="The instruments of the shop as they are today: how good, by what right, due when, in what state.",
         run=lambda a: kept_list(a.bench, a.query["units"])),
    Call(path="/api/instruments/kinds", need="reader", answers=list[TemplateRow], section=SECTION,
         words="The kinds that an instrument can be begun from, each with what is usual for it.",
         run=lambda a: instruments.templates(a.query["units"] or "inch"), query=(UNITS,)),
    Call(path="/api/instruments/{instrument}", need="reader", answers=InstrumentRecord, section=SECTION, query=(UNITS,),
         words="The record of one instrument: card, certificates, settings, and what it was used on.", example=Example(MIC),
         run=lambda a: kept_record(a.bench, a.path["instrument"], a.query["units"])),
    Call(method="POST", path="/api/instruments/{instrument}", need="hand", changes=True, body=Card, answers=InstrumentRecord,
         run=_listed, words="Lists an instrument by the template of its kind, or brings its card up to date.", section=SECTION,
         example=Example({"instrument": "mic-4-5"}, body={"kind": "outside-micrometer", "range_from": "4 in", "range_to": "5 in"})),
    Call(method="POST", path="/api/instruments/{instrument}/certificates", need="hand", changes=True, body=NewCertificate,
         answers=InstrumentRecord, run=_certified, section=SECTION,
         words="Takes a calibration certificate; readings are corrected by it from then on, and its uncertainty is the scale's.",
         example=Example(MIC, body={"day": "2026-01-12", "due": "2027-01-31", "points": [
             {"size": "2.0 in", "correction": "0 in", "uncertainty": "0.5 tenths"},
             {"size": "3.0 in", "correction": "+0.4 tenths", "uncertainty": "0.6 tenths"}]})),
)
