"""Risks over a run of engines on the bench: a page that asks by its own address, and the API."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from tenths.bench.declare import Asked as Call_
from tenths.bench.declare import Call, Example, Query
from tenths.bench.form_shapes import RiskAnswer
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.errors import BadInput
from tenths.services import risks

Answer = dict[str, Any]
TEXTS = ("mean", "deviation", "uncertainty", "lower", "upper")
QUERY = (
    Query(name="characteristic", words="what is judged, like main-oil-clearance"),
    Query(name="engine", words="whose limits, uncertainty and house rules hold"),
    Query(name="run", kind=int, words="how many engines", default=1),
    Query(name="places", kind=int, words="places on each; 0 for as many as the engine has", default=0),
    Query(name="mean", words="middle of what is made, as typed; else from the shop's history"),
    Query(name="deviation", words="its standard deviation; likewise"),
    Query(name="uncertainty", words="standard uncertainty of a measurement; else of the engine's findings"),
    Query(name="lower", words="limit; else the engine's"), Query(name="upper", words="limit; else the engine's"),
    Query(name="units", words="inch or metric; the engine's own when left out"),
)


def _answer(bench: Bench, asked: risks.Asked) -> Answer:
    return bench.answers.of_shop(("risk", asked), lambda: risks.risk_answer(bench.shop, asked))


async def shown(request: Request) -> Response:
    """The form, and what it comes to."""
    bench, given = bench_of(request), request.query_params
    typed = {q.name: given.get(q.name, "") for q in QUERY}
    answer: Answer | None = None
    wrong = ""
    if typed["characteristic"]:
        try:
            numbers = {q.name: q.read(typed[q.name] or None) for q in QUERY}
            answer = await bench.think(_answer, bench, risks.Asked(**numbers))
        except BadInput as error:
            wrong = str(error)
    return page(request, "risk.html", 422 if wrong else 200, place="risk", typed=typed, answer=answer, wrong=wrong,
                share=risks.share, amount=risks.amount, engines=bench.shop.engines(), characteristics=risks.judged())


ROUTES = [routed("/risk", shown)]


def _run(asked: Call_) -> Any:
    return _answer(asked.bench, risks.Asked(**asked.query))


CALLS = (
    Call(path="/api/risk", need="reader", answers=RiskAnswer, run=_run, query=QUERY, section="Shop",
         words="The customer's and the builder's risk over a run of engines, by the house's rule and by others beside it.",
         example=Example(query={"characteristic": "main-oil-clearance", "engine": "marigold", "run": "40"})),
)
