"""Pages of plots: a characteristic at all its places, drawn live from the specification that also prints."""

from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.pages import kept_findings, placed, routed
from tenths.bench.state import Bench, bench_of
from tenths.record import plots

Answer = dict[str, Any]


def plotted(found: list[Answer]) -> dict[str, str]:
    """The characteristics that stand at several places and are known at one at least: name to words, in order."""
    places: dict[str, int] = {}
    words: dict[str, str] = {}
    for f in found:
        places[f["characteristic"]] = places.get(f["characteristic"], 0) + 1
        if f["value"] is not None:
            words.setdefault(f["characteristic"], f["words"])
    return {name: said for name, said in words.items() if places[name] > 1 and not name.endswith("-predicted")}


def plot_specs(found: list[Answer], characteristic: str, palette: plots.Palette) -> list[plots.Spec]:
    """The plots of a characteristic: one for each kind of place, with what was foretold where that is worked out."""
    rows = [f for f in found if f["characteristic"] == characteristic]
    predicted = [f for f in found if f["characteristic"] == f"{characteristic}-predicted"]
    return [plots.over_places(group, palette, predicted=predicted) for group in plots.alike(rows)]


def plot_context(bench: Bench, engine: str, request: Request) -> Answer:
    """A characteristic: its plots, its findings, and the others that can be looked at so."""
    found, name = kept_findings(bench, engine), request.path_params["characteristic"]
    rows = [f for f in found if f["characteristic"] == name]
    if not any(f["value"] is not None for f in rows):
        raise HTTPException(404, f"{name} is not known here, or not worked out yet.")
    return {"characteristic": name, "words": rows[0]["words"], "others": plotted(found), "groups": plots.alike(rows),
            "specs": plot_specs(found, name, plots.PAGE), "predicted": any(f["characteristic"] == f"{name}-predicted" for f in found)}


async def first_plot(request: Request) -> Response:
    """The plot to begin with."""
    bench, engine = bench_of(request), request.path_params["engine"]
    known = list(await bench.think(lambda: plotted(kept_findings(bench, engine))))
    if not known:
        return RedirectResponse(f"/e/{engine}/drawing", 303)
    return RedirectResponse(f"/e/{engine}/plot/{'main-oil-clearance' if 'main-oil-clearance' in known else known[0]}", 303)


async def plot_file(request: Request) -> Response:
    """A plot as SVG, for who has no JavaScript and for letters."""
    bench, engine, name = bench_of(request), request.path_params["engine"], request.path_params["characteristic"]
    number = int(wanted) if (wanted := request.path_params["number"]).isdecimal() else 0

    def made() -> str:
        specs = plot_specs(kept_findings(bench, engine), name, plots.PRINT)
        if not 1 <= number <= len(specs):
            raise HTTPException(404, "There is no such plot.")
        return plots.plot_svg(specs[number - 1], width=720)

    svg = await bench.think(lambda: bench.answers.of_engine(engine, ("plot", name, number), made))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


ROUTES = [
    routed("/e/{engine}/plots", first_plot),
    routed("/e/{engine}/plot/{characteristic}/{number}.svg", plot_file),
    routed("/e/{engine}/plot/{characteristic}", placed("drawing", "plot.html", plot_context)),
]
