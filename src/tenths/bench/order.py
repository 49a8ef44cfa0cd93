"""The page and the call of what to order before the parts arrive."""

from typing import Any

from starlette.requests import Request

from tenths.bench import shapes
from tenths.bench.api import UNITS
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench
from tenths.errors import BadInput
from tenths.services.bias import bias_rows
from tenths.services.order_basis import Source
from tenths.services.ordering import KINDS, Wish, order

Answer = dict[str, Any]
FIELDS = (
    ("sizes", "Sizes that can be bought", "11, 12=-0.002 in@58; empty: all counted in stock"), ("cost", "Cost of a box", ""),
    ("most", "Boxes of a size", ""), ("asked", "Finish with, %", ""), ("confidence", "Confirmed with, %", ""),
)
USUAL = {"question": "main-order", "sizes": "", "cost": "1", "most": "2", "asked": "95", "confidence": "95", "source": "best",
         "first": "journals"}
SOURCES: dict[str, Source] = {"best": "best", "history": "history", "tolerance": "tolerance"}


def order_context(bench: Bench, engine: str, request: Request) -> Answer:
    """What was asked of an order, as typed, and the plan, or why there is none."""
    typed = {name: request.query_params.get(name, usual)[:200] for name, usual in USUAL.items()}
    context: Answer = {"typed": typed, "fields": FIELDS, "found": None, "wrong": "", "questions": tuple(KINDS)}
    if "question" in request.query_params:
        try:
            context["found"] = order(bench.shop, engine, typed["question"], wish_of(typed))
        except BadInput as error:
            context["wrong"] = str(error)
    return context


def wish_of(typed: dict[str, Any]) -> Wish:
    """The wish that was typed; raises BadInput naming what is no number."""
    def number(name: str) -> float:
        try:
            return float(typed[name])
        except ValueError:
            raise BadInput(f"{name}: {typed[name]!r} is not a number") from None

    if typed["source"] not in SOURCES:
        raise BadInput(f"source: {typed['source']!r} is not taken; give one of {', '.join(SOURCES)}")
    return Wish(typed["sizes"], number("cost"), int(number("most")), number("asked"), number("confidence"),
                SOURCES[typed["source"]], first=typed["first"])


def _order(asked: Asked) -> Answer:
    return order(asked.shop, asked.engine, asked.query["question"], wish_of(dict(asked.query)), units=asked.query["units"])


def _bias(asked: Asked) -> Any:
    return bias_rows(asked.shop, asked.query["units"])


ROUTES = [routed("/e/{engine}/order", placed("choices", "order.html", order_context))]
CALLS = (
    Call(path="/api/bias", need="reader", answers=list[shapes.BiasRow], run=_bias, section="Shop",
         words="How the shop's accepted predictions came out, per kind of choice, over all engines.",
         query=(Query(name="units", words="inch or metric", default="inch"),)),
    Call(path="/api/engines/{engine}/order", need="reader", answers=shapes.Order, of_engine=True, run=_order,
         words="Boxes of shells to order before the parts arrive, at least cost, checked on fresh scenarios; probability "
               "against cost; what measuring first is worth. `accept` holds the body of the entry that accepts it.",
         example=Example({"engine": "kestrel"}, {"question": "rod-order", "cost": "60"}), query=(
             Query(name="question", words="main-order or rod-order"),
             Query(name="sizes", words="that can be bought, commas between: 11, 12=-0.002 in@58; empty for those counted in stock"),
             Query(name="cost", kind=float, words="of a box", default=1.0),
             Query(name="most", kind=int, words="boxes of a size that can be had", default=2),
             Query(name="asked", kind=float, words="probability of finishing [%]", default=95.0),
             Query(name="confidence", kind=float, words="of the check on fresh scenarios [%]", default=95.0),
             Query(name="source", words="best, history or tolerance", default="best"),
             Query(name="first", words="journals or housings: whose measuring before the order is valued", default="journals"), UNITS)),
)
