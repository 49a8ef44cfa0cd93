"""The valve train on the bench: where it floats, force on the lobe, landing, bounce and stress; of each side, or of one valve."""

from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import train_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import routed
from tenths.bench.state import Bench, bench_of
from tenths.errors import BadInput, Unsettled
from tenths.record import plots, train_plots
from tenths.services.running_model import running_model

Answer = dict[str, Any]
QUICK = Query(name="quick", words="yes leaves out how sure the speeds are at which it parts, and takes a fifth of the time")
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
VALVE = Query(name="valve", words="one valve, such as valve.3.in; the mean of each side when left out")


def _answer(bench: Bench, engine: str, valve: str, *, sure: bool) -> Answer:
    """With its doubt where that was asked for since the log grew; without, it comes in a fifth of the time."""
    from tenths.services.valve_train import valve_train  # noqa: PLC0415 - it takes a compiler in

    key = ("running", "valve-train", valve)
    sure = sure or bench.answers.holds(engine, (*key, True))
    return bench.answers.of_engine(engine, (*key, sure), lambda: valve_train(bench.shop, engine, valve=valve, sure=sure))


def _shown(bench: Bench, engine: str, valve: str, palette: plots.Palette, *, sure: bool = False) -> tuple[Answer, list[plots.Spec]]:
    model = running_model(bench.shop, engine).needed()
    valves = [f"valve.{label}.{name}" for label in model.layout.labels for name in model.layout.valves]
    if valve and valve not in valves:
        raise BadInput(f"valve: {valve[:40]!r} is none of this engine's")
    answer = _answer(bench, engine, valve, sure=sure)
    return {"answer": answer, "valve": valve, "stations": valves}, train_plots.all_plots(answer, palette)


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """What the page shows: the sides, or the valve that the address names."""
    return _shown(bench, engine, request.query_params.get("valve", "").strip(), palette, sure="sure" in request.query_params)


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The sides, for files of the plots."""
    return _shown(bench, engine, "", palette)


async def plot_file(request: Request) -> Response:
    """A plot of the view as SVG, of the valve that the address names, for who has no JavaScript."""
    bench, engine, wanted = bench_of(request), request.path_params["engine"], request.path_params["number"]
    number = int(wanted) if wanted.isdecimal() and len(wanted) < 4 else 0
    valve = request.query_params.get("valve", "").strip()

    def made() -> str:
        try:
            specs = _shown(bench, engine, valve, plots.PRINT)[1]
        except (BadInput, Unsettled) as error:
            raise HTTPException(404, str(error)) from None
        if not 1 <= number <= len(specs):
            raise HTTPException(404, "There is no such plot.")
        return plots.plot_svg(specs[number - 1], width=720)

    svg = await bench.think(lambda: bench.answers.of_engine(engine, ("running plot", "valve-train", number, valve), made))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


ROUTES = [routed("/e/{engine}/running/valve-train/{number}.svg", plot_file)]


def _run(asked: Asked) -> Any:
    from tenths.services.valve_train import valve_train  # noqa: PLC0415 - it takes a compiler in

    return valve_train(asked.shop, asked.engine, asked.query["units"], valve=asked.query["valve"], sure=asked.query["quick"] != "yes")


CALLS = (
    Call(path="/api/engines/{engine}/valve-train", need="reader", answers=shapes.ValveTrain, of_engine=True, run=_run,
         words="The valve train over speed: where it parts and floats with its doubt, landing, bounce, force, stress; takes seconds.",
         query=(UNITS, VALVE, QUICK), example=Example({"engine": "kestrel"}, {"quick": "yes"}), section="Running engine"),
)
