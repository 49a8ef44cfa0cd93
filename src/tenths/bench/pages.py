"""The pages: server-made HTML, readable without JavaScript; entry needs it."""

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from tenths.engine.describe import layout_from_text, presets
from tenths.errors import BadInput
from tenths.record import fitline
from tenths.record.drawing import draw, part_sketch
from tenths.record.report import record_pdf
from tenths.services import choosing, commands, questions
from tenths.services.shop import Shop
from tenths.services.tray import tray

PLACES = ("drawing", "tray", "choices", "record")


@cache
def environment() -> Environment:
    """The templates, with what every page may use."""
    made = Environment(loader=PackageLoader("tenths.bench"), autoescape=select_autoescape(), undefined=StrictUndefined,
                       trim_blocks=True, lstrip_blocks=True)
    made.globals |= {"fitline": fitline.svg, "mark": fitline.mark, "sketch": part_sketch, "places": PLACES}
    return made


def page(request: Request, name: str, **context: Any) -> HTMLResponse:
    """A page from its template."""
    common = {"path": request.url.path, "person": getattr(request.state, "person", ""),
              "role": getattr(request.state, "role", "owner"), "engine": None, "place": ""}
    return HTMLResponse(environment().get_template(name).render(common | context))


def error_page(request: Request, status: int, what: str) -> Response:
    """A page that says what is wrong."""
    answer = page(request, "error.html", status=status, what=what)
    answer.status_code = status
    return answer


def _shop(request: Request) -> Shop:
    shop: Shop = request.app.state.shop
    return shop


async def floor(request: Request) -> Response:
    """All engines and what each waits for."""
    engines = await run_in_threadpool(questions.engines, _shop(request))
    return page(request, "floor.html", engines=engines, place="floor")


async def drawing(request: Request) -> Response:
    """The engine in true proportion with its stations, and the one that is chosen."""
    shop, engine = _shop(request), request.path_params["engine"]
    chosen = request.path_params.get("station", "")
    context = await run_in_threadpool(_drawing, shop, engine, chosen, request.query_params.get("view", "side"))
    return page(request, "drawing.html", place="drawing", **context)


def _drawing(shop: Shop, engine: str, chosen: str, view: str) -> dict[str, Any]:
    if view not in {"side", "end", "plan"}:
        raise BadInput(f"view: {view!r} is not side, end or plan")
    build = shop.build(engine)
    found = questions.findings(shop, engine)
    return {
        "engine": questions.engine_summary(shop, engine), "view": view,
        "svg": draw_engine(shop, engine, view=view, chosen=chosen),
        "stations": [questions.station_answer(s) for s in questions.stations_of(build)],
        "marks": questions.marks(shop, engine), "open": [f for f in found if f["verdict"] in questions.OPEN],
        "chosen": questions.station(shop, engine, chosen) if chosen else None,
    }


def draw_engine(shop: Shop, engine: str, *, view: str, chosen: str = "", crank_angle: float = 0.0) -> str:
    """The drawing of an engine as SVG."""
    build = shop.build(engine)
    if build.layout is None:
        return ""
    return draw(build.layout, questions.drawing_sizes(build), view=view, crank_angle=crank_angle,
                marks=questions.marks(shop, engine), chosen=chosen or None, interactive=True)


async def drawing_svg(request: Request) -> Response:
    """The drawing alone, at a crank angle, for the page to turn the crank."""
    shop, engine = _shop(request), request.path_params["engine"]
    try:
        angle = float(request.query_params.get("crank", "0"))
    except ValueError:
        raise BadInput("crank: an angle in degrees is wanted") from None
    view = request.query_params.get("view", "side")
    chosen = request.query_params.get("chosen", "")
    svg = await run_in_threadpool(lambda: draw_engine(shop, engine, view=view, chosen=chosen, crank_angle=angle))
    return Response(svg, media_type="image/svg+xml")


async def tray_page(request: Request) -> Response:
    """The next readings."""
    shop, engine = _shop(request), request.path_params["engine"]
    context = await run_in_threadpool(lambda: {
        "engine": questions.engine_summary(shop, engine), "rows": tray(shop, engine, limit=60),
        "instruments": questions.house_instruments(shop)})
    return page(request, "tray.html", place="tray", **context)


async def choices_page(request: Request) -> Response:
    """What there is to choose, with reasons and alternatives."""
    shop, engine = _shop(request), request.path_params["engine"]
    context = await run_in_threadpool(lambda: {
        "engine": questions.engine_summary(shop, engine), "choices": choosing.choices(shop, engine)})
    return page(request, "choices.html", place="choices", **context)


async def record_page(request: Request) -> Response:
    """The log, strikes, and the printed record."""
    shop, engine = _shop(request), request.path_params["engine"]
    context = await run_in_threadpool(lambda: {
        "engine": questions.engine_summary(shop, engine), "log": questions.log(shop, engine)})
    return page(request, "record.html", place="record", **context)


async def record_file(request: Request) -> Response:
    """The record as PDF."""
    shop, engine = _shop(request), request.path_params["engine"]
    paper = "Letter" if request.query_params.get("paper") == "Letter" else "A4"
    pdf = await run_in_threadpool(lambda: record_pdf(shop, engine, paper=paper))
    return Response(pdf, media_type="application/pdf",
                    headers={"Content-Disposition": f'inline; filename="{engine}.pdf"'})


async def new_engine(request: Request) -> Response:
    """The first page of an engine: its layout picked from pictures or described, its name and purpose."""
    if request.method == "POST":
        form = await request.form()
        fields = {key: str(value) for key, value in form.items()}
        wanted = {k: v for k, v in fields.items() if k in {"name", "layout", "units", "use", "customer", "purpose", "fuel"}}
        try:
            engine = await run_in_threadpool(lambda: commands.open_engine(_shop(request), **wanted))
        except BadInput as error:
            return page(request, "new.html", presets=presets(), pictures=pictures(), typed=fields, wrong=str(error),
                        place="floor")
        return Response(status_code=303, headers={"Location": f"/e/{engine}/sheet"})
    return page(request, "new.html", presets=presets(), pictures=pictures(), typed={}, wrong="", place="floor")


@cache
def pictures() -> dict[str, str]:
    """A small end view of every preset."""
    return {name: draw(layout_from_text(name), {}, view="end") for name in presets()}


ROUTES = [
    Route("/", floor),
    Route("/new", new_engine, methods=["GET", "POST"]),
    Route("/e/{engine}", drawing),
    Route("/e/{engine}/drawing", drawing),
    Route("/e/{engine}/drawing.svg", drawing_svg),
    Route("/e/{engine}/station/{station}", drawing),
    Route("/e/{engine}/tray", tray_page),
    Route("/e/{engine}/choices", choices_page),
    Route("/e/{engine}/record", record_page),
    Route("/e/{engine}/record.pdf", record_file),
]
