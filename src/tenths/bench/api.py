"""The API that answers questions about the shop and its engines. The pages use it themselves."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from tenths.bench import shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.live import Listener, changes
from tenths.bench.pages import summaries
from tenths.bench.show import static_names, static_version
from tenths.bench.state import bench_of
from tenths.bench.who import who_asks
from tenths.logbook.entry import utc_text
from tenths.services import choosing, questions
from tenths.services.slips import question
from tenths.services.taking import offers
from tenths.services.tray import tray
from tenths.services.turning import AT_TOP as LEAST
from tenths.services.turning import turned
from tenths.services.what_if import Change, thought

ENGINE = {"engine": "marigold"}
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")


def _split(text: str) -> list[str]:
    return [word for word in text.split(",") if word]


def _question(asked: Asked) -> Any:
    return question(asked.shop, asked.engine, **asked.query)


def _what_if(asked: Asked) -> Any:
    return thought(asked.shop, asked.engine, asked.query["question"], Change(
        **{name: text for name, text in asked.query.items() if name not in {"question", "units"}}), asked.query["units"])


def _here(asked: Asked) -> Any:
    return [{"page": x.page, "name": x.name, "person": x.person, "device": x.device, "since": x.since}
            for x in asked.bench.live.listeners if x.page]


def _assets(_asked: Asked) -> Any:
    version = static_version()
    return {"version": version, "urls": [f"/static/{version}/{name}" for name in static_names()] + ["/font/upright.woff2"]}


async def events(request: Request) -> Response:
    """Server-sent events: one for every change, with the sequence number to ask from after a break."""
    bench, who = bench_of(request), who_asks(request)
    seen = request.headers.get("last-event-id") or request.query_params.get("after", "")
    listener = Listener(page=request.query_params.get("page", "")[:60], name=request.query_params.get("name", "")[:60],
                        person=who.person, device=who.device or request.query_params.get("device", "")[:60],
                        since=utc_text(bench.shop.clock()))
    after = int(seen) if seen.isascii() and seen.isdigit() and len(seen) < 16 else None
    return StreamingResponse(bench.live.stream(listener, after), media_type="text/event-stream",
                             headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


CALLS = (
    Call(path="/api/engines", need="reader", words="All engines of the shop, and what each waits for.",
         answers=list[shapes.EngineLine], run=lambda a: summaries(a.bench), section="Shop"),
    Call(path="/api/instruments", need="reader", words="The instruments of the shop.", answers=list[shapes.InstrumentRow],
         run=lambda a: questions.house_instruments(a.shop), section="Shop"),
    Call(path="/api/engines/{engine}", need="reader", words="An engine as it stands: layout, stations, parts, stock.",
         answers=shapes.Engine, run=lambda a: questions.show(a.shop, a.engine), example=Example(ENGINE), of_engine=True),
    Call(path="/api/engines/{engine}/findings", need="reader", words="All findings, judged, with what they came from.",
         answers=list[shapes.FindingRow], of_engine=True,
         run=lambda a: questions.findings(a.shop, a.engine, only=_split(a.query["only"]), units=a.query["units"]),
         query=(Query(name="only", words="names of characteristics, commas between them"), UNITS),
         example=Example(ENGINE, {"only": "main-oil-clearance"})),
    Call(path="/api/engines/{engine}/stations/{station}", need="reader", answers=shapes.Station, of_engine=True,
         words="Everything about a station: findings, readings, what can be read, part, notes, photographs.",
         run=lambda a: questions.station(a.shop, a.engine, a.path["station"], a.query["units"]), query=(UNITS,),
         example=Example(ENGINE | {"station": "main.3"})),
    Call(path="/api/engines/{engine}/turned", need="reader", answers=shapes.Turned, of_engine=True,
         words="The crank at an angle: how far each piston stands down, on which stroke, and where the least clearances occur.",
         run=lambda a: turned(a.shop.build(a.engine), questions.findings(a.shop, a.engine, only=list(LEAST)), crank=a.query["crank"]),
         query=(Query(name="crank", kind=float, words="the way the crank turns, in degrees", default=0.0),),
         example=Example(ENGINE, {"crank": "30"})),
    Call(path="/api/engines/{engine}/tray", need="reader", answers=list[shapes.TrayRow], of_engine=True,
         words="The next readings in walking order; with instruments named, what they can read, each picked up once.",
         run=lambda a: tray(a.shop, a.engine, instruments=_split(a.query["with"]), limit=a.query["limit"]),
         query=(Query(name="with", words="ids of instruments laid out, commas between them"),
                Query(name="limit", kind=int, words="at most this many; 0 means all", default=0)),
         example=Example(ENGINE, {"limit": "5"})),
    Call(path="/api/engines/{engine}/question", need="reader", answers=shapes.Question,
         words="What a reading would be understood as, what would come of it, and what to ask before it is taken. It "
               "writes nothing and blocks nothing.",
         run=_question, prompt=True, query=(
             Query(name="station", words="address of the station"), Query(name="feature", words="what is read"),
             Query(name="text", words="as typed"), Query(name="place", words="where on the part"),
             Query(name="unit", words="of a number typed without one"), Query(name="instrument", words="id of it"),
             Query(name="setting", words="entry of the setting, or the size set, for a deviation")),
         example=Example(ENGINE, {"station": "main.3", "feature": "journal", "place": "1 front", "text": "2.5140",
                                  "instrument": "mic-2-3"})),
    Call(path="/api/engines/{engine}/choices", need="reader", answers=list[shapes.Choice], of_engine=True,
         words="What there is to choose: the best answer, the next-best, reasons; `accept` holds, for each option, the "
               "body of the entry that accepts it.",
         run=lambda a: offers(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/what-if", need="reader", answers=shapes.WhatIf, of_engine=True,
         words="The same choice of shells after a change: one more box, journals ground, housings honed, places kept. "
               "Nothing is written.",
         run=_what_if, example=Example(ENGINE, {"question": "main-shells", "grind": "0.0001 in"}), query=(
             Query(name="question", words="main-shells or rod-shells"),
             Query(name="box", words="sizes of boxes, commas between; of a new size with its change, as in 12=-0.002 in"),
             Query(name="grind", words="taken off the journals, on the diameter"),
             Query(name="hone", words="taken out of the housings, on the diameter"),
             Query(name="within", words="plus and minus, what the machining comes within at all places alike"),
             Query(name="keep", words="places whose halves stay, commas between"), UNITS)),
    Call(path="/api/engines/{engine}/accepted", need="reader", answers=list[shapes.AcceptedRow], of_engine=True,
         words="What was accepted, each prediction beside what was read since.",
         run=lambda a: choosing.accepted(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/log", need="reader", answers=list[shapes.LogRow], of_engine=True,
         words="The logbook of an engine, each entry in a sentence, and whether it was struck.",
         run=lambda a: questions.log(a.shop, a.engine, after=a.query["after"]),
         query=(Query(name="after", kind=int, words="only entries behind this position", default=0),),
         example=Example(ENGINE, {"after": "100"})),
    Call(path="/api/changes", need="reader", answers=shapes.Changes, section="Live",
         words="What was committed after a sequence number, for who cannot listen to events.",
         run=lambda a: changes(a.shop, a.query["after"]),
         query=(Query(name="after", kind=int, words="the sequence number seen last", default=0),),
         example=Example(query={"after": "10"})),
    Call(path="/api/events", need="reader", answers=None, endpoint=events, media="text/event-stream", example=None,
         words="Server-sent events: `ready`, `changed` (as /api/changes answers), and for the page named, `gauge`. "
               "`Last-Event-ID` takes up where the line broke.", section="Live",
         query=(Query(name="after", kind=int, words="the sequence number seen last", default=0),
                Query(name="page", words="an id that the page made for itself, for values of a gauge"),
                Query(name="name", words="what the page is called, so that a person can choose it"),
                Query(name="device", words="what a device that is not paired calls itself"))),
    Call(path="/api/pages", need="hand", answers=list[shapes.PageRow], run=_here, section="Gauges",
         words="The pages that are open now and can be sent values of a gauge."),
    Call(path="/api/assets", need="anyone", answers=shapes.Assets, run=_assets, section="Live",
         words="The static files with their addresses, for a service worker to keep."),
)
