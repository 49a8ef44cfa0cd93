"""The place *Running* of an engine, and its API: forces, loads, balance, torsion, tightening, clearances in motion."""

from collections.abc import Callable
from typing import Any

from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import film_pages, head_pages, lobe_pages, pull_pages, train_pages, valve_pages
from tenths.bench import running_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench, bench_of
from tenths.errors import BadInput, Unsettled
from tenths.record import plots, running_plots
from tenths.record.running_pictures import clearance_svg, tightening_svg
from tenths.services.clearing import clearances
from tenths.services.running_balance import forces, weighing_sheet
from tenths.services.running_loads import curves, running_loads
from tenths.services.running_model import running_model
from tenths.services.running_torsion import campbell_of, disc_names_of, torsion_answer
from tenths.services.shop import Shop
from tenths.services.tightening import tightening

Answer = dict[str, Any]
VIEWS = (("forces", "Forces"), ("loads", "Loads"), ("balance", "Balance"), ("torsion", "Torsion"), ("tightening", "Tightening"),
         ("clearances", "Clearances"), ("film", "Oil film"), ("cam", "Cam"), ("head", "Head"),
         ("gear", "Valve gear"), ("valve-train", "Valve train"), ("pull", "Pull"),
         ("cycle", "Cycle"))
ENGINE = {"engine": "kestrel"}
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
Service = Callable[[Shop, str, str], Answer]


def kept(bench: Bench, engine: str, name: str, service: Service) -> Answer:
    """An answer in the engine's own units, kept while its log does not grow."""
    return bench.answers.of_engine(engine, ("running", name), lambda: service(bench.shop, engine, ""))


# -- what each view shows ------------------------------------------------------------------------------------------------

def _forces(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = kept(bench, engine, "forces", forces)
    return {"answer": answer}, running_plots.forces_by_order(answer, palette)


def _loads(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer, drawn = kept(bench, engine, "loads", running_loads), kept(bench, engine, "curves", curves)
    stations = [*drawn["pins"], *drawn["mains"]]
    specs = [running_plots.turning_moment(drawn, palette), *(running_plots.polar(drawn, s, palette) for s in stations)]
    return {"answer": answer, "stations": stations}, specs


def _balance(bench: Bench, engine: str, _palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    return {"answer": kept(bench, engine, "balance", weighing_sheet)}, []


def _torsion(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = kept(bench, engine, "torsion", torsion_answer)
    picture = kept(bench, engine, "campbell", campbell_of)
    discs = kept(bench, engine, "discs", disc_names_of)["discs"]
    specs = [running_plots.campbell(picture, palette), *running_plots.over_speed(answer["over_speed"], palette)]
    return {"answer": answer, "discs": discs}, specs


def _tightening(bench: Bench, engine: str, _palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = kept(bench, engine, "tightening", tightening)
    return {"answer": answer, "pictures": [Markup(tightening_svg(joint)) for joint in answer["joints"]]}, []  # noqa: S704 - made by us


def _clearances(bench: Bench, engine: str, _palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = kept(bench, engine, "clearances", clearances)
    model = running_model(bench.shop, engine)
    drawn = [Markup(clearance_svg(model, pair)) for pair in answer["pairs"][:3] if pair["angle"] is not None]  # noqa: S704 - made by us
    return {"answer": answer, "pictures": drawn}, []


SHOWN = {"forces": _forces, "loads": _loads, "balance": _balance, "torsion": _torsion, "tightening": _tightening, "clearances": _clearances,
         "film": film_pages.as_printed, "head": head_pages.as_printed, "cam": lobe_pages.as_printed,
         "gear": valve_pages.as_printed, "pull": pull_pages.as_printed, "cycle": pull_pages.cycle_as_printed,
         "valve-train": train_pages.as_printed}
# views that the address says more about
CHOSEN = {"film": film_pages.context, "head": head_pages.context, "cam": lobe_pages.context,
          "gear": valve_pages.context, "pull": pull_pages.context, "cycle": pull_pages.cycle_context,
          "valve-train": train_pages.context}


def context(bench: Bench, engine: str, request: Request) -> Answer:
    """One view of the running engine; an engine of which too little is known says what it needs."""
    view = request.path_params.get("view", "forces")
    if view not in SHOWN:
        raise HTTPException(404, f"There is no {view[:40]!r} here; there are {', '.join(SHOWN)}.")
    base: Answer = {"view": view, "views": VIEWS, "specs": [], "wrong": "", "answer": None, "pictures": [], "stations": [], "discs": [],
                    "wait": False}
    bench.shop.build(engine)
    try:
        shown, specs = (CHOSEN[view](bench, engine, request, plots.PAGE) if view in CHOSEN else SHOWN[view](bench, engine, plots.PAGE))
    except (BadInput, Unsettled) as error:
        return base | {"wrong": str(error)}
    return base | shown | {"specs": specs}


async def plot_file(request: Request) -> Response:
    """A plot of a view as SVG, for who has no JavaScript."""
    bench, engine, view = bench_of(request), request.path_params["engine"], request.path_params["view"]
    wanted = request.path_params["number"]
    number = int(wanted) if wanted.isdecimal() and len(wanted) < 4 else 0

    def made() -> str:
        specs = SHOWN[view](bench, engine, plots.PRINT)[1] if view in SHOWN else []
        if not 1 <= number <= len(specs):
            raise HTTPException(404, "There is no such plot.")
        return plots.plot_svg(specs[number - 1], width=720)

    svg = await bench.think(lambda: bench.answers.of_engine(engine, ("running plot", view, number), made))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


_VIEW = placed("running", "running.html", context)
ROUTES = [
    *film_pages.ROUTES, *pull_pages.ROUTES, *train_pages.ROUTES,
    routed("/e/{engine}/running", _VIEW),
    routed("/e/{engine}/running/{view}", _VIEW),
    routed("/e/{engine}/running/{view}/{number}.svg", plot_file),
]


# -- the API ---------------------------------------------------------------------------------------------------------------

def _call(name: str, service: Service, answers: Any, words: str) -> Call:
    def run(asked: Asked) -> Any:
        return service(asked.shop, asked.engine, asked.query["units"])

    return Call(path=f"/api/engines/{{engine}}/{name}", need="reader", answers=answers, of_engine=True, words=words, run=run,
                query=(UNITS,), example=Example(ENGINE), section="Running engine")


CALLS = (
    _call("forces", forces, shapes.Forces, "Firing intervals, and forces and couples on the mounts by order, at the highest speed."),
    _call("loads", running_loads, shapes.Loads, "Turning moment, and loads of rods, crankpins and mains over a cycle, at several speeds."),
    _call("load-curves", curves, shapes.Curves, "Loads and turning moment over the cycle at the highest speed, for polar pictures."),
    _call("balance", weighing_sheet, shapes.WeighingSheet, "The weighing sheet: what to take where, bobweights, corrections of the crank."),
    _call("torsion", torsion_answer, shapes.Torsion, "The crank in torsion: modes, critical speeds, swing and stress, damper."),
    _call("tightening", tightening, shapes.Tightening, "Joints: preload with its scatter, order, rounds, and the state of every fastener. "
          "Joints and ticks are entered as `joint.stated` and `fastener.ticked`."),
    _call("clearances", clearances, shapes.Clearances, "Outlines in motion: the least clearance of each pair over a turn, and where. "
          "They are drawn as `outline.drawn`."),
    *film_pages.CALLS, *head_pages.CALLS, *lobe_pages.CALLS, *pull_pages.CALLS, *valve_pages.CALLS, *train_pages.CALLS,
)
