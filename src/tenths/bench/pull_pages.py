"""The pull on the bench: its curves, what is tried beside it, one speed over its cycle, and the line that tells how far it is."""

import asyncio
from collections.abc import AsyncIterator, Mapping
from threading import Event
from typing import Any

import msgspec
from starlette.requests import Request
from starlette.responses import StreamingResponse

from tenths.bench import pull_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import routed
from tenths.bench.state import Bench, bench_of
from tenths.errors import BadInput, Unsettled
from tenths.record import plots, pull_plots

Answer = dict[str, Any]
SLIDER_SPEEDS = 7
KEY = ("running", "pull")
# What a slider moves, and how far from what is: a share of it, or so much either way in its own unit.
SLIDERS: Mapping[str, tuple[float, bool]] = {
    "runner-length": (0.6, True), "primary-length": (0.6, True), "primary-diameter": (0.35, True), "cam-advance": (12.0, False),
    "compression-ratio": (3.0, False), "lift-share": (0.25, True),
}
WITH = Query(name="with", words="sizes of the gas side to try, as size=text, several with semicolons between them")
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
VARIANT = Query(name="variant", words="a variant kept under that name, to start from")


class Stopped(Exception):
    """Whoever asked has gone."""


def _asked(request: Request) -> tuple[dict[str, str], str]:
    """Sizes to try and the variant they start from, as the form of the page sends them."""
    named = {name: text.strip() for name, text in request.query_params.items() if text.strip()}
    variant = named.pop("variant", "")
    return {name: text for name, text in named.items() if name not in {"now", "speeds", "speed", "cylinder", "sure"}}, variant


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The pull as it is, and what the address asks to be tried beside it.

    Where it was not run yet, the page comes at once and its script asks, telling how far it is.
    """
    from tenths.services.running_pull import at_once, pulled  # noqa: PLC0415 - it takes a compiler in

    (given, variant), sure = _asked(request), "sure" in request.query_params
    if not (given or variant or sure or "now" in request.query_params or at_once(bench.shop, engine)):
        return {"answer": {}, "wait": True}, []
    answer = bench.answers.of_engine(engine, (*KEY, "sure") if sure else KEY, lambda: pulled(bench.shop, engine, sure=sure))
    tried = pulled(bench.shop, engine, given=given, variant=variant) if given or variant else None
    specs = pull_plots.all_curves([answer, tried] if tried else [answer], palette, room=True)
    return {"answer": answer, "tried": tried, "given": given, "chosen": variant, "sliders": sliders(answer, tried)}, specs


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The pull as it is, for files of its plots."""
    from tenths.services.running_pull import pulled  # noqa: PLC0415 - it takes a compiler in

    answer = bench.answers.of_engine(engine, KEY, lambda: pulled(bench.shop, engine))
    return {"answer": answer}, pull_plots.all_curves([answer], palette)


def sliders(answer: Answer, tried: Answer | None) -> list[Answer]:
    """What can be moved: where it stands, from where to where, in which steps."""
    known, rows = {size["name"]: size for size in answer["sizes"]}, []
    now = {size["name"]: size["value"] for size in (tried or answer)["sizes"]}
    for name, (reach, share) in SLIDERS.items():
        size = known[name]
        far = abs(size["value"]) * reach if share else reach
        rows.append({"name": name, "words": size["words"], "unit": size["unit"], "value": now[name], "as_is": size["value"],
                     "least": size["value"] - far, "most": size["value"] + far, "step": far / 50})
    return rows


def cycle_context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """One speed over its cycle."""
    from tenths.services.pull_cycle import cycle  # noqa: PLC0415 - it takes a compiler in

    speed, cylinder = (request.query_params.get(name, "").strip() for name in ("speed", "cylinder"))
    given, variant = _asked(request)
    asked = (speed, cylinder, variant, tuple(sorted(given.items())))
    answer = bench.answers.of_engine(engine, ("running", "cycle", *asked), lambda: cycle(
        bench.shop, engine, speed=speed, cylinder=cylinder, given=given, variant=variant))
    shown = {"answer": answer, "asked": {"speed": speed, "cylinder": cylinder}, "labels": _labels(bench, engine)}
    return shown, pull_plots.over_cycle(answer, palette)


def _labels(bench: Bench, engine: str) -> tuple[str, ...]:
    layout = bench.shop.build(engine).layout
    return layout.labels if layout else ()


def cycle_as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The cycle that is shown when nobody chooses, for files of its plots."""
    from tenths.services.pull_cycle import cycle  # noqa: PLC0415 - it takes a compiler in

    answer = bench.answers.of_engine(engine, ("running", "cycle", "", "", "", ()), lambda: cycle(bench.shop, engine))
    return {"answer": answer}, pull_plots.over_cycle(answer, palette)


# -- a line that tells how far it is -----------------------------------------------------------------------------------------

async def run(request: Request) -> StreamingResponse:
    """A pull as lines of JSON: how many of how many speeds are done, then the answer, or what is wrong. Closing the line stops it."""
    bench, engine = bench_of(request), request.path_params["engine"]
    bench.shop.build(engine)
    given, variant = _asked(request)
    asked = request.query_params.get("speeds", "")
    speeds = int(asked) if asked.isdecimal() and len(asked) < 3 else 0
    return StreamingResponse(_lines(bench, engine, given, variant, speeds), media_type="application/x-ndjson",
                             headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


async def _lines(bench: Bench, engine: str, given: dict[str, str], variant: str, speeds: int) -> AsyncIterator[bytes]:
    loop, told, gone = asyncio.get_running_loop(), asyncio.Queue[Answer](), Event()

    def progress(done: int, of: int) -> None:
        if gone.is_set():
            raise Stopped
        loop.call_soon_threadsafe(told.put_nowait, {"done": done, "of": of})

    working = asyncio.ensure_future(bench.think(lambda: _pulled(bench, engine, given, variant, speeds, progress)))
    working.add_done_callback(lambda _: told.put_nowait({}))
    try:
        while line := await told.get():
            yield msgspec.json.encode(line) + b"\n"
        yield msgspec.json.encode(await working) + b"\n"
    except (BadInput, Unsettled) as error:
        yield msgspec.json.encode({"wrong": str(error)}) + b"\n"
    finally:
        gone.set()
        working.add_done_callback(lambda done: done.cancelled() or done.exception())  # whoever has gone hears nothing of it


def _pulled(bench: Bench, engine: str, given: dict[str, str], variant: str, speeds: int, progress: Any) -> Answer:
    from tenths.services.running_pull import SPEEDS, pulled  # noqa: PLC0415 - it takes a compiler in

    if not (given or variant or speeds):
        answer = bench.answers.of_engine(engine, KEY, lambda: pulled(bench.shop, engine, progress=progress))
    else:
        answer = pulled(bench.shop, engine, given=given, variant=variant, speeds=speeds or SPEEDS, progress=progress)
    return {"best": answer["best"], "settled": answer["settled"],
            "rows": {name: pull_plots.rows_of(answer, name) for name, _ in pull_plots.CURVES}}


ROUTES = [routed("/e/{engine}/running/pull/run", run)]


# -- the API ---------------------------------------------------------------------------------------------------------------

def given_of(text: str) -> dict[str, str]:
    """Sizes to try out of ``size=text; size=text``; raises BadInput for a part that is none."""
    found: dict[str, str] = {}
    for part in filter(None, (part.strip() for part in text.split(";"))):
        name, sign, value = part.partition("=")
        if not sign or not value.strip():
            raise BadInput(f"with: {part[:40]!r} is not size=text, such as runner-length=300mm")
        found[name.strip()] = value.strip()
    return found


def _pull(asked: Asked) -> Any:
    from tenths.services.running_pull import pulled  # noqa: PLC0415 - it takes a compiler in

    query = asked.query
    return pulled(asked.shop, asked.engine, query["units"], given=given_of(query["with"]), variant=query["variant"],
                  speeds=query["speeds"], sure=query["sure"] == "yes")


def _cycle(asked: Asked) -> Any:
    from tenths.services.pull_cycle import cycle  # noqa: PLC0415 - it takes a compiler in

    query = asked.query
    return cycle(asked.shop, asked.engine, query["units"], speed=query["speed"], cylinder=query["cylinder"],
                 given=given_of(query["with"]), variant=query["variant"])


CALLS = (
    Call(path="/api/engines/{engine}/pull", need="reader", answers=shapes.Pull, of_engine=True, run=_pull, section="Running engine",
         words="The pull at full throttle, predicted from the parts; takes some seconds the first time. "
         "Variants are kept as `variant.kept`.",
         query=(UNITS, WITH, VARIANT, Query(name="speeds", kind=int, default=13, words="how many speeds up to the highest, 2 to 60"),
                Query(name="sure", words="yes, to work out as well how sure it is; takes seven times as long")),
         example=Example({"engine": "kestrel"}, {"speeds": "3"})),
    Call(path="/api/engines/{engine}/pull-cycle", need="reader", answers=shapes.Cycle, of_engine=True, run=_cycle, section="Running engine",
         words="One speed at full throttle over its cycle: pressure, temperature and flow of a cylinder, and the waves in its pipes.",
         query=(UNITS, WITH, VARIANT, Query(name="speed", words="of the crank, as typed; two thirds of the highest when left out"),
                Query(name="cylinder", words="its label; the first that fires when left out")),
         example=Example({"engine": "kestrel"}, {"speed": "4000 rpm"})),
)
