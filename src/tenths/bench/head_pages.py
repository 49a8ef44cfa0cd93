"""The head on the bench's pages: findings, the flow bench with its form, passages; and its answer in the API."""

from typing import Any

from starlette.requests import Request

from tenths.bench import head_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.state import Bench
from tenths.record import head_plots, plots
from tenths.services.head_bench import head_bench

Answer = dict[str, Any]
AT = Query(name="at", words="test pressure that flows are brought to, such as 10 inH2O; 28 inH2O when left out")
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """What the view shows, with flows at the test pressure that the address asks for."""
    return _shown(bench, engine, request.query_params.get("at", "").strip(), palette)


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The same at the usual test pressure."""
    return _shown(bench, engine, "", palette)


def _shown(bench: Bench, engine: str, at: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = bench.answers.of_engine(engine, ("head", at), lambda: head_bench(bench.shop, engine, at=at))
    rows: dict[str, list[Answer]] = {}
    for found in answer["findings"]:
        rows.setdefault(found["words"], []).append(found)
    return {"answer": answer, "at": at, "found": rows}, head_plots.all_plots(answer, palette)


def _head(asked: Asked) -> Answer:
    return head_bench(asked.shop, asked.engine, asked.query["units"], at=asked.query["at"])


CALLS = (
    Call(path="/api/engines/{engine}/head", need="reader", answers=shapes.Head, of_engine=True, run=_head, query=(UNITS, AT),
         example=Example({"engine": "kestrel"}), section="Running engine",
         words="The head on the bench: guides, seats and chambers judged, runs of the flow bench as coefficients with their doubt, ports "
               "against each other, passages over lift. Runs and lifts are entered as `flow.begun` and `flow.read`."),
)
