"""The temperature log on the bench: notes typed or from a logger's file; and its API."""

from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.forms import typed_form
from tenths.bench.pages import routed
from tenths.bench.show import error_page, page
from tenths.bench.state import bench_of
from tenths.bench.sure_shapes import TemperatureLog, Written
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.logbook.bodies import TemperatureNoted
from tenths.logbook.calibration import SHOP_AIR
from tenths.services import temperatures
from tenths.services.shop import SHOP

UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
FIELDS = ("where", "text", "when", "thermometer", "note")


async def log(request: Request) -> Response:
    """The notes of the shop's air, and the forms that take more."""
    return await _log(request)


async def _log(request: Request, wrong: str = "", typed: dict[str, str] | None = None) -> Response:
    bench, units = bench_of(request), request.query_params.get("units", "")
    notes = await bench.think(lambda: bench.answers.of_engine(SHOP, ("temperatures", units), lambda: temperatures.temperature_log(
        bench.shop, "", units)))
    return page(request, "temperature.html", 422 if wrong else 200, place="instruments", notes=notes, wrong=wrong, typed=typed or {},
                now=temperatures.now_text(bench.shop), may=who_asks(request).may("hand"))


async def noted(request: Request) -> Response:
    """Takes one note, or a logger's file, of the shop's air."""
    typed, content = await typed_form(request, FIELDS, file="file")
    bench = bench_of(request)
    shop = bench.shop_for(who_asks(request))
    try:
        rows = temperatures.notes_of_table(content[1], name=content[0]) if content else [_note({**typed, "where": SHOP_AIR})]
        await run_in_threadpool(temperatures.note_temperature, shop, rows)
    except BadInput as error:
        return await _log(request, str(error), typed)
    bench.live.written()
    return RedirectResponse("/temperature", 303)


async def noted_here(request: Request) -> Response:
    """Takes a note of an engine's part or place, and goes back to where it was typed."""
    bench, engine = bench_of(request), request.path_params["engine"]
    typed, _ = await typed_form(request, FIELDS)
    try:
        await run_in_threadpool(temperatures.note_temperature, bench.shop_for(who_asks(request)), [_note(typed)], engine)
    except BadInput as error:
        return error_page(request, 422, str(error))
    bench.live.written()
    return RedirectResponse(f"/e/{engine}/sure#h-warm", 303)


def _note(typed: dict[str, str]) -> TemperatureNoted:
    if not typed.get("text"):
        raise BadInput("temperature: nothing was typed")
    return TemperatureNoted(where=typed.get("where") or SHOP_AIR, text=typed["text"], when=typed.get("when", ""),
                            thermometer=typed.get("thermometer", ""), note=typed.get("note", ""))


ROUTES = [
    routed("/temperature", log), routed("/temperature/note", noted, "hand", ("POST",)),
    routed("/e/{engine}/temperature", noted_here, "hand", ("POST",)),
]


class NewNote(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A line of the temperature log; ``when`` ISO 8601, UTC where no offset stands; empty: now."""

    text: str
    where: str = SHOP_AIR
    when: str = ""
    thermometer: str = ""
    note: str = ""


def _notes(asked: Asked, engine: str) -> Any:
    rows = [TemperatureNoted(**msgspec.structs.asdict(row)) for row in asked.body]
    return Written(entries=len(temperatures.note_temperature(asked.bench.shop_for(asked.who), rows, engine)))


def _log_of(asked: Asked, engine: str) -> Any:
    units = asked.query["units"]
    return {"notes": temperatures.temperature_log(asked.shop, engine, units),
            "effect": temperatures.effect(asked.shop, engine, units) if engine else []}


ENGINE, SECTION = {"engine": "kestrel"}, "Temperature"
CALLS = (
    Call(path="/api/temperatures", need="reader", answers=TemperatureLog, run=lambda a: _log_of(a, ""), section=SECTION,
         words="The notes of the shop's air, the latest first.", query=(UNITS,)),
    Call(path="/api/engines/{engine}/temperatures", need="reader", answers=TemperatureLog, section=SECTION, query=(UNITS,),
         run=lambda a: _log_of(a, a.engine), words="The temperatures that an engine's log knows, and what they did to its readings.",
         example=Example(ENGINE)),
    Call(method="POST", path="/api/temperatures", need="hand", changes=True, body=list[NewNote], answers=Written, section=SECTION,
         run=lambda a: _notes(a, ""), words="Notes temperatures of the shop's air, all or none; what is noted already is not doubled.",
         example=Example(body=[{"text": "20.5 °C", "when": "2026-03-02T08:15"}])),
    Call(method="POST", path="/api/engines/{engine}/temperatures", need="hand", changes=True, body=list[NewNote], answers=Written,
         run=lambda a: _notes(a, a.engine), section=SECTION,
         words="Notes temperatures of an engine's parts and places. Readings without one take the nearest.",
         example=Example(ENGINE, body=[{"text": "27 °C", "where": "block"}])),
)
