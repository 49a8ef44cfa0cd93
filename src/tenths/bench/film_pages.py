"""The oil film on the bench: what is tried, bearings with their verdicts, the map over the use and how far it is."""

import asyncio
from collections.abc import AsyncIterator, Callable
from threading import Event
from typing import Any
from urllib.parse import urlencode

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from tenths.bench import film_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import routed
from tenths.bench.state import Bench, bench_of
from tenths.errors import BadInput, Unsettled
from tenths.record import film_plots, plots
from tenths.services.running_model import running_model

Answer = dict[str, Any]
OPTIONS = ("grade", "bearing", "speed", "load", "thickens", "tilt")
WORDS = {"grade": "grade of the oil to try, instead of the stated one", "bearing": "one bearing only, such as main.3",
         "speed": "a further speed, such as 6500 rpm", "load": "throttle at it: full, part or shut",
         "thickens": "yes or no: whether pressure thickens the oil", "tilt": "journal out of parallel over the width of the shell"}
QUERIES = (Query(name="units", words="inch or metric; the engine's own when left out"),
           *(Query(name=name, words=WORDS[name]) for name in OPTIONS))


def asked_of(request: Request) -> dict[str, str]:
    """The options that the address gives."""
    return {name: text for name in OPTIONS if (text := request.query_params.get(name, "").strip())}


def _kept(bench: Bench, engine: str, what: str, given: dict[str, str], work: Callable[[], Answer]) -> Answer:
    return bench.answers.of_engine(engine, ("running", what, *sorted(given.items())), work)


def _of_films(given: dict[str, str]) -> dict[str, str]:
    """What of the options the films depend on: all but which bearing is looked at."""
    return {name: text for name, text in given.items() if name != "bearing"}


def _of_map(given: dict[str, str]) -> dict[str, str]:
    """What of the options the map depends on: the oil, not which bearing or speed is looked at."""
    return {name: text for name, text in given.items() if name in {"grade", "thickens"}}


def shown(bench: Bench, engine: str, given: dict[str, str], palette: plots.Palette, *, now: bool) -> tuple[Answer, list[plots.Spec]]:
    """Everything on the page: films of all bearings, path of one, and the map where it is there or must be now."""
    from tenths.services.film_map import best_over_use  # noqa: PLC0415 - it takes a compiler in
    from tenths.services.running_film import film, orbits  # noqa: PLC0415 - the same

    rest = _of_films(given)
    answer = _kept(bench, engine, "film", rest, lambda: film(bench.shop, engine, given=rest))
    station = given.get("bearing") or answer["bearings"][0]["station"]
    path = _kept(bench, engine, "film path", {**given, "bearing": station}, lambda: orbits(
        bench.shop, engine, station=station, given=rest))
    row = next(one for one in answer["bearings"] if one["station"] == station)
    specs = [film_plots.ranking(answer, palette), film_plots.paths(path, palette), film_plots.around(path, palette)]
    wanted = _of_map(given)
    best = None
    if now or bench.answers.holds(engine, ("running", "film map", *sorted(wanted.items()))):
        best = _kept(bench, engine, "film map", wanted, lambda: best_over_use(bench.shop, engine, given=wanted))
        mine = next(one for one in best["bearings"] if one["station"] == station)
        specs += [film_plots.over_clearance(best, mine, palette), film_plots.mapped(best, mine, palette)]
        specs += [film_plots.of_kind(kind, palette) for kind in best["kinds"]]
    stations = [one["station"] for one in sorted(answer["bearings"], key=_in_order)]
    return {"answer": answer, "best": best, "path": path, "row": row, "given": given, "query": urlencode(given),
            "stations": stations, "waiting": False, "said": ""}, specs


def _in_order(row: Answer) -> tuple[str, int, str]:
    kind, _, label = row["station"].partition(".")
    return kind, int(label) if label.isdecimal() else 0, label


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The page; what nobody has asked for since the log grew its script asks for, telling how far it is.

    What is tried and cannot be stands in the form with what is wrong, over the films as they are.
    """
    given, now = asked_of(request), "now" in request.query_params
    if not now and not _held(bench, engine, given):
        said = _wrong(bench, engine, given) if given and _held(bench, engine, {}) else ""
        if not said:
            running_model(bench.shop, engine).needed()
            return {"answer": {}, "waiting": True, "query": urlencode(given)}, []
        page, specs = shown(bench, engine, {}, palette, now=False)
        return page | {"given": given, "said": said}, specs
    try:
        return shown(bench, engine, given, palette, now=now)
    except BadInput as error:
        if not given:
            raise
        page, specs = shown(bench, engine, {}, palette, now=now)
        return page | {"given": given, "said": str(error)}, specs


def _held(bench: Bench, engine: str, given: dict[str, str]) -> bool:
    """Whether the films are there: then what takes a compiler in is there too."""
    return bench.answers.holds(engine, ("running", "film", *sorted(_of_films(given).items())))


def _wrong(bench: Bench, engine: str, given: dict[str, str]) -> str:
    """What is wrong with what is tried, before anything long begins; empty for nothing."""
    from tenths.services.running_film import vet  # noqa: PLC0415 - it takes a compiler in

    try:
        vet(bench.shop, engine, given)
    except BadInput as error:
        return str(error)
    return ""


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The film as it is, for files of its plots."""
    return shown(bench, engine, {}, palette, now=True)


async def plot_file(request: Request) -> Response:
    """A plot of the page as SVG, with the options of the address."""
    bench, engine, wanted = bench_of(request), request.path_params["engine"], request.path_params["number"]
    bench.shop.build(engine)
    number = int(wanted) if wanted.isdecimal() and len(wanted) < 4 else 0
    given = asked_of(request)

    def made() -> str:
        specs = shown(bench, engine, given, plots.PRINT, now=number > 3)[1]
        if not 1 <= number <= len(specs):
            raise HTTPException(404, "There is no such plot.")
        return plots.plot_svg(specs[number - 1], width=720)

    key = ("running plot", "film", number, *sorted(given.items()))
    svg = await bench.think(lambda: bench.answers.of_engine(engine, key, made))
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": "private, no-cache"})


# -- a line that tells how far it is -----------------------------------------------------------------------------------------

class Stopped(Exception):
    """Whoever asked has gone."""


async def run(request: Request) -> StreamingResponse:
    """Films or map as lines of JSON: how many of how many bearings are done, then that they are there, or what is wrong."""
    bench, engine, what = bench_of(request), request.path_params["engine"], request.path_params["what"]
    bench.shop.build(engine)
    given = asked_of(request)
    given = _of_films(given) if what == "films" else _of_map(given)
    return StreamingResponse(_lines(bench, engine, what, given), media_type="application/x-ndjson",
                             headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


async def _lines(bench: Bench, engine: str, what: str, given: dict[str, str]) -> AsyncIterator[bytes]:
    loop, told, gone = asyncio.get_running_loop(), asyncio.Queue[Answer](), Event()

    def progress(done: int, of: int, station: str) -> None:
        if gone.is_set():
            raise Stopped
        loop.call_soon_threadsafe(told.put_nowait, {"done": done, "of": of, "words": station.replace(".", " ")})

    working = asyncio.ensure_future(bench.think(lambda: _reckoned(bench, engine, what, given, progress)))
    working.add_done_callback(lambda _: told.put_nowait({}))
    try:
        while line := await told.get():
            yield msgspec.json.encode(line) + b"\n"
        await working
        yield msgspec.json.encode({"there": what}) + b"\n"
    except (BadInput, Unsettled) as error:
        yield msgspec.json.encode({"wrong": str(error)}) + b"\n"
    finally:
        gone.set()
        working.add_done_callback(lambda done: done.cancelled() or done.exception())  # whoever has gone hears nothing of it


def _reckoned(bench: Bench, engine: str, what: str, given: dict[str, str], progress: Callable[[int, int, str], None]) -> Answer:
    from tenths.services.film_map import best_over_use  # noqa: PLC0415 - it takes a compiler in
    from tenths.services.running_film import film  # noqa: PLC0415 - the same

    if what == "films":
        return _kept(bench, engine, "film", given, lambda: film(bench.shop, engine, given=given, progress=progress))
    return _kept(bench, engine, "film map", given, lambda: best_over_use(bench.shop, engine, given=given, progress=progress))


ROUTES = [routed("/e/{engine}/running/film/run/{what}", run), routed("/e/{engine}/running/film/{number}.svg", plot_file)]


# -- the API ---------------------------------------------------------------------------------------------------------------

def _film(asked: Asked) -> Any:
    from tenths.services.running_film import film  # noqa: PLC0415 - it takes a compiler in

    return film(asked.shop, asked.engine, asked.query["units"], given=_given(asked))


def _path(asked: Asked) -> Any:
    from tenths.services.running_film import orbits  # noqa: PLC0415 - the same

    return orbits(asked.shop, asked.engine, asked.query["units"], given=_given(asked))


def _sought(asked: Asked) -> Any:
    from tenths.services.film_map import best_over_use  # noqa: PLC0415 - the same

    return best_over_use(asked.shop, asked.engine, asked.query["units"], given=_given(asked))


def _given(asked: Asked) -> dict[str, str]:
    return {name: text for name in OPTIONS if (text := asked.query[name].strip())}


def _call(name: str, run_: Callable[[Asked], Any], answers: Any, words: str, given: dict[str, str]) -> Call:
    return Call(path=f"/api/engines/{{engine}}/{name}", need="reader", answers=answers, of_engine=True, words=words, run=run_,
                query=QUERIES, example=Example({"engine": "kestrel"}, given), section="Running engine")


CALLS = (
    _call("film", _film, shapes.Film, "The oil film of every bearing as measured, thinnest first: film, roughness, pressure, temperature, "
          "limits and verdicts. Oil, shells and finish are entered as `size.stated`.", {"grade": "20W-50"}),
    _call("film-path", _path, shapes.Orbits, "Path of one journal in its clearance, and the film around the cycle.", {"bearing": "rod.3"}),
    _call("film-sought", _sought, shapes.OverUse, "Every bearing over 20 clearances, six grades and eight speeds, and which clearance and "
          "grade would leave most film over the intended use; takes seconds.", {"bearing": "rod.3"}),
)
