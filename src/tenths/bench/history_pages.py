"""The shop's own history on the bench: a characteristic over all engines, engines found again; pages, plots, API."""

from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.history_shapes import FoundEngine, History, KnownCharacteristic, Wear
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.engine.features import FEATURES
from tenths.errors import BadInput
from tenths.record import history_plots, plots
from tenths.services import history
from tenths.services.bias import bias_rows

Answer = dict[str, Any]
OF = ("characteristic", "at", "engine", "units")
FIND = ("part", "customer", "problem", "size", "feature", "text")
LONGEST = 200  # characters of what is asked


def _typed(request: Request, names: tuple[str, ...]) -> dict[str, str]:
    return {name: request.query_params.get(name, "").strip()[:LONGEST] for name in names}


def kept_history(bench: Bench, asked: dict[str, str]) -> Answer:
    """A characteristic over the engines, kept while nothing in the shop is written."""
    return bench.answers.of_shop(("history", *asked.values()), lambda: history.history(
        bench.shop, asked["characteristic"], station=asked["at"], engines=[asked["engine"]] if asked["engine"] else (),
        units=asked["units"] or "inch"))


def _gathered(bench: Bench, asked: dict[str, str], wanted: dict[str, str]) -> Answer:
    known = bench.answers.of_shop(("history-of",), lambda: history.characteristics(bench.shop))
    found: Answer = {"known": known, "told": None, "wrong": "", "hits": None, "wrong_find": "", "specs": []}
    try:
        if asked["characteristic"]:
            found["told"] = kept_history(bench, asked)
            found["specs"] = history_plots.history_specs(found["told"], plots.PAGE)
    except BadInput as error:
        found["wrong"] = str(error)
    try:
        if any(wanted.values()):
            found["hits"] = history.find(bench.shop, **wanted)
    except BadInput as error:
        found["wrong_find"] = str(error)
    units = asked["units"] or "inch"
    found["bias"] = bench.answers.of_shop(("bias-of-shop", units), lambda: bias_rows(bench.shop, units))
    return found


async def shown(request: Request) -> Response:
    """What was asked of the history, its plots and values; engines that were looked for."""
    bench = bench_of(request)
    asked, wanted = _typed(request, OF), _typed(request, FIND)
    found = await bench.think(_gathered, bench, asked, wanted)
    return page(request, "history.html", 422 if found["wrong"] or found["wrong_find"] else 200, place="history", asked=asked,
                wanted=wanted, engines=bench.shop.engines(), features=features(), query=str(request.query_params), **found)


def features() -> list[tuple[str, str]]:
    """Every feature that a size can be of: name and words, by its words."""
    return sorted({f.name: f.words for f in FEATURES}.items(), key=lambda row: row[1])


async def plot_file(request: Request) -> Response:
    """A plot as SVG, for who has no JavaScript and for letters."""
    bench, asked = bench_of(request), _typed(request, OF)
    number = int(wanted) if (wanted := request.path_params["number"]).isdecimal() else 0

    def made() -> str:
        specs = history_plots.history_specs(kept_history(bench, asked), plots.PRINT)
        if not 1 <= number <= len(specs):
            raise HTTPException(404, "There is no such plot.")
        return plots.plot_svg(specs[number - 1], width=720)

    svg = await bench.think(lambda: bench.answers.of_shop(("history-plot", number, *asked.values()), made))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


ROUTES = [routed("/history", shown), routed("/history/{number}.svg", plot_file)]


# -- API -----------------------------------------------------------------------------------------------------------------

def _history(asked: Asked) -> Any:
    q = asked.query
    return kept_history(asked.bench, {"characteristic": q["characteristic"], "at": q["at"], "engine": q["engine"], "units": q["units"]})


UNITS = Query(name="units", words="inch or metric", default="inch")
CALLS = (
    Call(path="/api/history", need="reader", answers=History, run=_history, section="Shop",
         words="A characteristic over all engines of the shop: every value that holds, distribution, trend, what was chosen.",
         query=(Query(name="characteristic", words="such as main-oil-clearance"),
                Query(name="at", words="only there, a station or a pattern such as main.*"),
                Query(name="engine", words="only of this one"), UNITS),
         example=Example(query={"characteristic": "main-oil-clearance", "at": "main.*"})),
    Call(path="/api/history/characteristics", need="reader", answers=list[KnownCharacteristic], section="Shop",
         words="What can be looked at over the engines.", run=lambda a: history.characteristics(a.shop)),
    Call(path="/api/history/find", need="reader", answers=list[FoundEngine], section="Shop",
         words="Engines of which everything given is true, each with where it was found.",
         run=lambda a: history.find(a.shop, **a.query), example=Example(query={"part": "crank"}), query=(
             Query(name="part", words="words in one of its parts: name, kind, maker, number, serial, size"),
             Query(name="customer", words="words in the customer's name"), Query(name="problem", words="words in one of its problems"),
             Query(name="size", words="a size, or two with ` to ` between"), Query(name="feature", words="that the size is of"),
             Query(name="text", words="words anywhere: name, purpose, notes"))),
    Call(path="/api/engines/{engine}/wear", need="reader", answers=Wear, of_engine=True, section="Work",
         words="First readings beside the newest, place by place.", example=Example({"engine": "marigold"}),
         run=lambda a: history.wear(a.shop, a.engine, units=a.query["units"]),
         query=(Query(name="units", words="inch or metric; the engine's own when left out"),)),
)
