"""The pages of an engine: server-made HTML, readable without JavaScript; entry needs it."""

from collections.abc import Callable
from functools import cache
from typing import Any

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from tenths.bench.declare import allowed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import Need
from tenths.engine.describe import layout_from_text, presets
from tenths.engine.layout import CYCLE
from tenths.errors import BadInput
from tenths.logbook.build import Build
from tenths.record.labels import Label, labels_pdf
from tenths.services import choosing, commands, questions
from tenths.services.taking import offers
from tenths.services.temperatures import places
from tenths.services.tray import tray
from tenths.services.turning import turned

Answer = dict[str, Any]
VIEWS = ("side", "end", "plan")
DESK, PHONE = (960.0, 720.0), (470.0, 520.0)  # paper of the drawing: marks keep their size, so on a small one they can be touched


def placed(name: str, template: str, context: Callable[[Bench, str, Request], Answer]) -> Any:
    """An endpoint for one of the places of an engine: its summary, and what the place shows."""

    async def endpoint(request: Request) -> Response:
        bench, engine = bench_of(request), request.path_params["engine"]

        def gathered() -> Answer:
            return {"engine": summary(bench, engine)} | context(bench, engine, request)

        return page(request, template, place=name, **await bench.think(gathered))

    return endpoint


def summary(bench: Bench, engine: str) -> Answer:
    """An engine in a line, kept while its log does not grow."""
    return bench.answers.of_engine(engine, ("summary",), lambda: questions.engine_summary(bench.shop, engine))


def kept_findings(bench: Bench, engine: str) -> list[Answer]:
    """All findings of an engine, kept while its log does not grow."""
    return bench.answers.of_engine(engine, ("findings",), lambda: questions.findings(bench.shop, engine))


def summaries(bench: Bench) -> list[Answer]:
    """All engines of the shop in a line each."""
    return [summary(bench, engine) for engine in bench.shop.engines()]


async def floor(request: Request) -> Response:
    """All engines and what each waits for."""
    bench = bench_of(request)
    return page(request, "floor.html", place="floor", engines=await bench.think(summaries, bench))


# -- drawing and station -----------------------------------------------------------------------------------------------

def marks_of(found: list[Answer]) -> dict[str, str]:
    """The worst verdict of each station, from findings already worked out."""
    order = ("out", "stale", "too close to call", "fits")
    marks: dict[str, str] = {}
    for verdict in reversed(order):
        marks |= {f["station"]: verdict for f in found if f["verdict"] == verdict}
    return marks


def drawn(bench: Bench, engine: str, *, view: str, chosen: str = "", crank: float = 0.0, width: float = 960.0,
          height: float = 720.0) -> str:
    """The drawing of an engine as SVG, kept while its log does not grow."""
    if view not in VIEWS:
        raise BadInput(f"view: {view!r} is not known; it is one of {', '.join(VIEWS)}")
    if not 100.0 <= width <= 4000.0 or not 100.0 <= height <= 4000.0:
        raise BadInput(f"width and height: {width:g} by {height:g} is not taken; 100 to 4000 are")
    key = ("drawing", view, chosen, round(crank % 720.0, 1), round(width), round(height))
    return bench.answers.of_engine(engine, key, lambda: _draw(bench, engine, key))


def _draw(bench: Bench, engine: str, key: tuple[Any, ...]) -> str:
    from tenths.record.drawing import draw  # noqa: PLC0415 - only pages that draw ask

    _, view, chosen, crank, width, height = key
    build = bench.shop.build(engine)
    if build.layout is None:
        return ""
    return draw(build.layout, questions.drawing_sizes(build), view=view, crank_angle=crank,
                marks=marks_of(kept_findings(bench, engine)), chosen=chosen or None, interactive=True, width=width,
                height=height)


def drawing_context(bench: Bench, engine: str, request: Request) -> Answer:
    """The engine in true proportion, its stations, what is open, and the station that is chosen."""
    chosen, view = request.path_params.get("station", ""), request.query_params.get("view", "side")
    build, found = bench.shop.build(engine), kept_findings(bench, engine)
    one, crank = station_answer(bench, engine, chosen) if chosen else None, number_of(request, "crank", 0.0) % CYCLE
    paper = PHONE if "Mobi" in request.headers.get("user-agent", "") else DESK
    return {
        "view": view, "views": VIEWS, "crank": crank, "turned": turned(build, found, crank=crank) if build.layout else None,
        "assumed": _assumed(build),
        "svg": Markup(drawn(bench, engine, view=view, chosen=chosen, crank=crank, width=paper[0], height=paper[1])),  # noqa: S704 - made by us
        "stations": [questions.station_answer(s) for s in questions.stations_of(build)], "marks": marks_of(found),
        "open": [f for f in found if f["verdict"] in questions.OPEN], "chosen": one,
        "short": _short(bench, engine, chosen) if chosen else [],
        "forms": _forms(bench, engine, chosen) if chosen else [],
        "instruments": questions.house_instruments(bench.shop),
    }


def _assumed(build: Build) -> list[str]:
    """The main sizes, in words, that the drawing has to assume."""
    from tenths.record.drawing import missing  # noqa: PLC0415 - only pages that draw ask

    return list(missing(build.layout, questions.drawing_sizes(build))) if build.layout else []


def panel_context(bench: Bench, engine: str, request: Request) -> Answer:
    """One station alone, for a page that shows it already and wants it anew."""
    station = request.path_params["station"]
    return {"stations": [questions.station_answer(s) for s in questions.stations_of(bench.shop.build(engine))],
            "chosen": station_answer(bench, engine, station), "short": _short(bench, engine, station),
            "forms": _forms(bench, engine, station)}


def _forms(bench: Bench, engine: str, station: str) -> list[Answer]:
    """The form of what was read at a station, drawn."""
    from tenths.bench.form import drawn  # noqa: PLC0415 - it imports this module

    return drawn(bench, engine, station)


def _short(bench: Bench, engine: str, station: str) -> list[Answer]:
    """How sure the findings of a station are."""
    from tenths.bench.sure import short_of  # noqa: PLC0415 - it imports this module

    return short_of(bench, engine, station)


def station_answer(bench: Bench, engine: str, station: str) -> Answer:
    """Everything about a station, kept while the log does not grow."""
    return bench.answers.of_engine(engine, ("station", station), lambda: questions.station(bench.shop, engine, station))


async def drawing_svg(request: Request) -> Response:
    """The drawing alone, at a crank angle, for the page to turn the crank."""
    bench, engine, asked = bench_of(request), request.path_params["engine"], request.query_params
    sizes = {name: number_of(request, name, usual) for name, usual in (("crank", 0.0), ("width", 960.0), ("height", 720.0))}
    svg = await bench.think(lambda: drawn(bench, engine, view=asked.get("view", "side"),
                                                chosen=asked.get("chosen", ""), **sizes))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


def number_of(request: Request, name: str, usual: float) -> float:
    """A number behind the question mark."""
    text = request.query_params.get(name, "")
    try:
        value = float(text) if text else usual
    except ValueError:
        value = float("nan")
    if not abs(value) < 1e6:
        raise BadInput(f"{name}: {text[:40]!r} is not a number")
    return value


# -- tray, choices, record ---------------------------------------------------------------------------------------------

def tray_context(bench: Bench, engine: str, request: Request) -> Answer:
    """The next readings, with the instruments that can be laid out."""
    laid_out = [name for name in request.query_params.get("with", "").split(",") if name]
    rows = bench.answers.of_engine(engine, ("tray", *laid_out), lambda: tray(bench.shop, engine, instruments=laid_out))
    build = bench.shop.build(engine)
    return {"rows": rows[:200], "left": len(rows), "warm_places": places(build), "laid_out": laid_out, "position": build.position,
            "instruments": questions.house_instruments(bench.shop)}


def choices_context(bench: Bench, engine: str, request: Request) -> Answer:
    """What there is to choose, each option with the entry that accepts it, what if, and what was accepted."""
    return what_if_context(bench, engine, request) | {
        "choices": bench.answers.of_engine(engine, ("offers",), lambda: offers(bench.shop, engine)),
        "bias": bench.answers.of_shop(("bias", engine), lambda: bias_of(bench, engine)),
        "accepted": choosing.accepted(bench.shop, engine), "position": bench.shop.build(engine).position}


def bias_of(bench: Bench, engine: str) -> list[Answer]:
    """How the shop's predictions came out, in the units of an engine."""
    from tenths.services.bias import bias_rows  # noqa: PLC0415 - one page asks

    return bias_rows(bench.shop, bench.shop.build(engine).units)


def what_if_context(bench: Bench, engine: str, request: Request) -> Answer:
    """What was asked of a change, as typed, and what would come of it or why it cannot be taken."""
    from tenths.services.what_if import Change, thought  # noqa: PLC0415 - few ask

    typed = {name: request.query_params.get(name, "")[:200] for name in ("question", "box", "grind", "hone", "within", "keep")}
    found: Answer = {"typed": typed, "thought": None, "wrong": ""}
    if typed["question"]:
        change = Change(**{name: text for name, text in typed.items() if name != "question"})
        try:
            key = ("what-if", *typed.values())
            found["thought"] = bench.answers.of_engine(engine, key, lambda: thought(bench.shop, engine, typed["question"], change))
        except BadInput as error:
            found["wrong"] = str(error)
    return found


def record_context(bench: Bench, engine: str, _request: Request) -> Answer:
    """The log, the latest first, and the links that customers were given."""
    log = bench.answers.of_engine(engine, ("log",), lambda: questions.log(bench.shop, engine))
    return {"log": list(reversed(log)), "links": bench.access.links(engine), "position": len(log)}


async def record_file(request: Request) -> Response:
    """The record as PDF."""
    bench, engine = bench_of(request), request.path_params["engine"]
    return await record_answer(bench, engine, request)


async def record_answer(bench: Bench, engine: str, request: Request) -> Response:
    """The record as PDF, kept while the log does not grow."""
    from tenths.record.report import record_pdf  # noqa: PLC0415 - only print needs it

    paper = "Letter" if request.query_params.get("paper", "").lower() == "letter" else "A4"
    pdf = await run_in_threadpool(lambda: bench.answers.of_engine(
        engine, ("record", paper), lambda: record_pdf(bench.shop, engine, paper=paper)))
    return Response(pdf, media_type="application/pdf", headers={
        "Content-Disposition": f'inline; filename="{engine}.pdf"', "Cache-Control": "private, no-cache"})


async def labels_file(request: Request) -> Response:
    """Labels with a QR code for the engine's parts (or those named) and for shelves, as PDF."""
    bench, engine, asked = bench_of(request), request.path_params["engine"], request.query_params
    paper = "Letter" if asked.get("paper", "").lower() == "letter" else "A4"
    shelves = [s for s in asked.get("shelves", "").split(",") if s.strip()]
    only = {p for p in asked.get("parts", "").split(",") if p}
    base = bench.address or str(request.base_url).rstrip("/")
    pdf = await run_in_threadpool(lambda: labels_pdf(
        labels(bench, engine, base, only, shelves), paper=paper, first=int(number_of(request, "first", 1.0))))
    return Response(pdf, media_type="application/pdf",
                    headers={"Content-Disposition": f'inline; filename="{engine}-labels.pdf"'})


def labels(bench: Bench, engine: str, base: str, only: set[str], shelves: list[str]) -> list[Label]:
    """Labels of parts and shelves; the code of each is an address of this server."""
    build = bench.shop.build(engine)
    if unknown := sorted(only - set(build.parts)):
        raise BadInput(f"parts: {unknown[0]!r} is not listed; listed are {', '.join(build.parts) or 'none'}")
    made = [Label(title=part.card.words or name, code=f"{base}/e/{engine}/part/{name}", words=part.card.serial or name,
                  engine=build.name, place=next((s for s in build.slots if build.part_in(s) == name), ""))
            for name, part in build.parts.items() if not shelves and (not only or name in only)]
    return made + [Label(title=shelf, code=f"{base}/e/{engine}/supply", words="shelf", engine=build.name) for shelf in shelves]


async def part_page(request: Request) -> Response:
    """Where the code on a part leads: to the station where it is fitted, else to its place among the parts."""
    bench, engine, name = bench_of(request), request.path_params["engine"], request.path_params["part"]
    build = await run_in_threadpool(bench.shop.build, engine)
    if name not in build.parts:
        raise BadInput(f"part: {name!r} is not listed")
    slot = next((s for s in build.slots if build.part_in(s) == name), "")
    known = {s.address for s in questions.stations_of(build)}
    while slot and slot not in known:
        slot = slot.rpartition(".")[0]
    return RedirectResponse(f"/e/{engine}/station/{slot}" if slot else f"/e/{engine}/supply#part-{name}", 303)


# -- a new engine ------------------------------------------------------------------------------------------------------

async def new_engine(request: Request) -> Response:
    """The first page of an engine: its layout picked from pictures or described, its name and purpose."""
    typed, wrong = {}, ""
    if request.method == "POST":
        form = await request.form()
        typed = {key: str(value).strip() for key, value in form.items() if key in NEW_FIELDS}
        shop = bench_of(request).shop
        try:
            if not typed.get("layout"):
                raise BadInput("layout: pick a picture, or describe the engine in words")  # noqa: TRY301 - answered on the same page
            engine = await run_in_threadpool(lambda: commands.open_engine(shop, **({"name": ""} | typed)))
        except BadInput as error:
            wrong = str(error)
        else:
            bench_of(request).live.written()
            return RedirectResponse(f"/e/{engine}/sheet", 303)
    return page(request, "new.html", 422 if wrong else 200, place="new", pictures=await run_in_threadpool(pictures),
                typed=typed, wrong=wrong, uses=questions_uses())


NEW_FIELDS = frozenset({"name", "layout", "units", "use", "customer", "purpose", "fuel", "notes", "engine"})


def questions_uses() -> tuple[str, ...]:
    """The kinds of use that limits are known for."""
    from tenths.services.sheet import USES  # noqa: PLC0415 - one page asks

    return tuple(USES)


@cache
def pictures() -> list[Answer]:
    """Every usual layout: its name, title, the text that describes it, and a small end view."""
    from tenths.record.drawing import draw  # noqa: PLC0415 - only pages that draw ask

    return [{"name": name, "title": row["title"], "text": row["text"],
             "svg": Markup(draw(layout_from_text(name), {}, view="end", prefix=f"{name}-", width=160, height=120))}  # noqa: S704
            for name, row in presets().items()]


def sheet_context(bench: Bench, engine: str, _request: Request) -> Answer:
    """The sizes of the maker's sheet: what is wanted, what is stated."""
    from tenths.services.sheet import limits_wanted, sizes_wanted  # noqa: PLC0415 - one page asks

    return {"sizes": sizes_wanted(bench.shop, engine), "limits": limits_wanted(bench.shop, engine),
            "position": bench.shop.build(engine).position}


def routed(path: str, endpoint: Any, need: Need = "reader", methods: tuple[str, ...] = ("GET",)) -> Route:
    """A route to a page, with who may."""
    return Route(path, allowed(need, endpoint), methods=list(methods))


_DRAWING = placed("drawing", "drawing.html", drawing_context)
ROUTES = [
    routed("/", floor),
    routed("/new", new_engine, "owner", ("GET", "POST")),
    routed("/e/{engine}", _DRAWING),
    routed("/e/{engine}/drawing", _DRAWING),
    routed("/e/{engine}/station/{station}", _DRAWING),
    routed("/e/{engine}/station/{station}/panel", placed("drawing", "panel.html", panel_context)),
    routed("/e/{engine}/drawing.svg", drawing_svg),
    routed("/e/{engine}/sheet", placed("sheet", "sheet.html", sheet_context)),
    routed("/e/{engine}/tray", placed("tray", "tray.html", tray_context)),
    routed("/e/{engine}/choices", placed("choices", "choices.html", choices_context)),
    routed("/e/{engine}/record", placed("record", "record.html", record_context)),
    routed("/e/{engine}/record.pdf", record_file),
    routed("/e/{engine}/labels.pdf", labels_file),
    routed("/e/{engine}/part/{part}", part_page),
]
