"""What to order before the parts arrive: boxes of shells with which the engine can be finished, at least cost.

What is read already is taken as read; the rest scatters as the shop's own history says, else as the maker's tolerances do,
with a part that all journals of one grinding, or all housings of one hone, have in common.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import msgspec

from tenths.choose.order import Offer, OrderPlan, OrderQuestion, PlanRow, plan_order
from tenths.choose.order_value import ValueOfMeasuring, value_of_measuring
from tenths.choose.shells import Size
from tenths.choose.words import listed, percent
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput
from tenths.findings.shell_rules import shell_rules
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.services.asked import Asked
from tenths.services.choosing import ORDERS, acceptance, as_answer
from tenths.services.order_basis import Basis, Source, basis_of
from tenths.services.questions import Answer, system_of
from tenths.services.shop import Shop

KINDS: dict[str, str] = dict(zip(ORDERS, ("main", "rod"), strict=True))
TITLES = {"main": "Shells to order for the mains", "rod": "Shells to order for the rods"}
MOST_PLANS = 20_000
Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked of an order, as a person types it.

    Attributes:
        sizes: that can be bought, commas between: ``11``, or ``12=-0.002 in`` for one not counted in stock, each with its
            price where it has its own, as in ``11@58``; empty for every size that was counted.
        cost: of a box.
        most: boxes of a size that can be had.
        asked: probability with which the engine shall be finished [%].
        confidence: with which the check on fresh scenarios must confirm that [%].
        source: history, tolerance, or best: history where there is enough of it.
        scenarios: to find plans with.
        seed: of chance; None takes the position of the log, so that the same log gives the same plan.
        first: batch whose measuring before the order is valued: journals, housings, or empty for none.
    """

    sizes: str = ""
    cost: float = 1.0
    most: int = 2
    asked: float = 95.0
    confidence: float = 95.0
    source: Source = "best"
    scenarios: int = 2000
    seed: int | None = None
    first: str = "journals"


def order(shop: Shop, engine: str, question: str, wish: Wish = Wish(), *, units: str = "",
          progress: Progress = lambda _share, _words: None) -> Answer:
    """The boxes to order, checked on fresh scenarios, with probability against cost and the value of measuring first.

    Args:
        shop: the shop.
        engine: its short name.
        question: main-order or rod-order.
        wish: what is asked.
        units: "inch" or "metric"; empty for the engine's own.
        progress: told the share done [-] and what is being done.

    Returns:
        The answer as of any choice, and ``plan``, ``table``, ``measuring``, ``basis``; ``accept`` holds the body of the
        entry that accepts it.

    Raises:
        BadInput: naming what is missing on the sheet, or what was asked that cannot be taken.
    """
    kind = KINDS.get(question)
    if kind is None:
        raise BadInput(f"question: {question!r} is not known; orders are {listed(list(KINDS))}")
    build = shop.build(engine)
    asked, basis = _question(shop, build, kind, wish, units)
    plan, value = _planned(build, asked, wish, progress)
    found = Asked(question, TITLES[kind], plan.answer, tuple(dict.fromkeys(basis.entries)), tuple(basis.said))
    answer = as_answer(build, found)
    measuring = _value_answer(wish, value, plan)
    seen = (*plan.answer.reasons, *([measuring["words"]] if measuring else []), _against_cost(plan), *basis.said)
    whole = replace(found, answer=replace(plan.answer, reasons=seen))
    accept = [msgspec.to_builtins(acceptance(build, whole, 0))] if any(plan.boxes) else []
    return answer | {"asked": wish.asked / 100, "confidence": wish.confidence / 100, "plan": _plan_answer(asked, plan),
                     "table": [_row(asked, row) for row in plan.table], "measuring": measuring,
                     "basis": basis.said, "scenarios": wish.scenarios, "accept": accept}


def accept_order(shop: Shop, engine: str, found: Answer, words: str = "") -> Entry:
    """Writes an order as it was answered into the log; raises BadInput when there is none."""
    if not found["accept"]:
        why = found["stops"][0]["words"] if found["stops"] else "what is in the house is enough"
        raise BadInput(f"question: {found['question']}: there is nothing to order: {why}")
    body = msgspec.convert(found["accept"][0] | {"words": words}, bodies.ChoiceAccepted)
    return shop.append(engine, body, seen=found["position"])[0]


def _planned(build: Build, asked: OrderQuestion, wish: Wish, progress: Progress) -> tuple[OrderPlan, ValueOfMeasuring | None]:
    import numpy as np  # noqa: PLC0415 - only this thinks in scenarios

    rng = np.random.default_rng(build.position if wish.seed is None else wish.seed)
    share = 0.6 if wish.first in asked.variations else 1.0
    plan = plan_order(asked, rng, scenarios=wish.scenarios, progress=lambda done, words: progress(share * done, words))
    value = None
    if wish.first in asked.variations and plan.boxes:
        value = value_of_measuring(asked, wish.first, plan.boxes, rng, outcomes=60, scenarios=300,
                                   progress=lambda done, words: progress(share + (1 - share) * done, words))
    return plan, value


def _question(shop: Shop, build: Build, kind: str, wish: Wish, units: str) -> tuple[OrderQuestion, Basis]:
    _look(wish)
    basis = basis_of(shop, build, kind, wish.source, units)
    offers, have = _offers(build, kind, wish, len(basis.places))
    return OrderQuestion(tuple(basis.places), basis.variations, offers, shell_rules(build.house), wish.asked / 100,
                         wish.confidence / 100, have), basis


def _look(wish: Wish) -> None:
    """Raises BadInput for a wish that cannot be."""
    if not 1 <= wish.asked < 100 or not 50 <= wish.confidence < 100:
        raise BadInput(f"asked {wish.asked:g} and confidence {wish.confidence:g}: 1 to 99.9 and 50 to 99.9 % are taken")
    if not 0 < wish.cost <= 1e6 or not 1 <= wish.most <= 9 or not 200 <= wish.scenarios <= 50_000:
        raise BadInput(f"cost {wish.cost:g}, most {wish.most}, scenarios {wish.scenarios}: above 0, 1 to 9, and 200 to 50000 are taken")
    if wish.source not in {"best", "history", "tolerance"}:
        raise BadInput(f"source: {wish.source!r} is not taken; give best, history or tolerance")
    if wish.first not in {"", "journals", "housings"}:
        raise BadInput(f"first: {wish.first!r} is not taken; give journals or housings, or nothing")


def _offers(build: Build, kind: str, wish: Wish, places: int) -> tuple[tuple[Offer, ...], tuple[int, ...]]:
    """What can be bought, and how many of each are in the house already."""
    unit = unit_for(Quantity.LENGTH, system_of(build))
    counted = {size: body for (k, size), (_, body) in build.stock.items() if k == f"{kind}-shell"}
    wanted = [text.strip() for text in wish.sizes.split(",") if text.strip()] or list(counted)
    offers: list[Offer] = []
    for text in wanted:
        said, _, price = text.partition("@")
        label, _, change = (part.strip() for part in said.partition("="))
        if not change and label not in counted:
            raise BadInput(f"sizes: {label!r} was never counted in stock; say what a pair does to the clearance, as in "
                           f"'{label}=-0.001 in'")
        size = Size(label, parse(change or counted[label].change, Quantity.LENGTH, default_unit=unit, field=f"size {label}").si)
        offers.append(Offer(size, _price(price, wish.cost, label), places, places, wish.most))
    if not offers:
        raise BadInput("sizes: say which sizes can be bought, as in 'std=0, +1=0.001 in'")
    plans = (wish.most + 1) ** len(offers)
    if plans > MOST_PLANS:
        raise BadInput(f"sizes: {len(offers)} sizes of up to {wish.most} boxes are {plans:,} plans; up to {MOST_PLANS:,} are looked at")
    return tuple(offers), tuple(counted[o.size.label].sets if o.size.label in counted else 0 for o in offers)


def _price(text: str, usual: float, label: str) -> float:
    if not text.strip():
        return usual
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 < value <= 1e6:
        raise BadInput(f"sizes: {label}@{text.strip()}: the price of a box is a number above 0")
    return value


# -- as JSON ----------------------------------------------------------------------------------------------------------

def _boxes(asked: OrderQuestion, boxes: Sequence[int]) -> list[dict[str, Any]]:
    return [{"size": offer.size.label, "count": count, "cost": count * offer.cost}
            for offer, count in zip(asked.offers, boxes, strict=True) if count]


def _row(asked: OrderQuestion, row: PlanRow) -> Answer:
    words = listed([f"{b['count']} of {b['size']}" for b in _boxes(asked, row.boxes)]) or "nothing more"
    return {"boxes": _boxes(asked, row.boxes), "words": words, "cost": row.cost, "probability": row.probability}


def _against_cost(plan: OrderPlan) -> str:
    """The table in a sentence, for the record."""
    return "Probability against cost: " + ", ".join(f"{row.probability:.1%} at {row.cost:g}" for row in plan.table) + "."


def _plan_answer(asked: OrderQuestion, plan: OrderPlan) -> Answer | None:
    if not plan.boxes:
        return None
    return _row(asked, PlanRow(plan.boxes, plan.cost, plan.probability)) | {"fresh": plan.fresh, "at_least": plan.at_least}


def _value_answer(wish: Wish, value: ValueOfMeasuring | None, plan: OrderPlan) -> Answer | None:
    if value is None or not plan.boxes:
        return None
    saved = f"costs {value.cost_then:.4g} on average instead of {value.cost_now:g}" if value.saved > 0 else (
        f"saves nothing: {value.cost_then:.4g} on average against {value.cost_now:g}")
    words = (f"Measuring the {wish.first} before ordering {saved}, and the engine is finished with {percent(value.promise_then)} "
             f"instead of {percent(value.promise_now)}.")
    if value.hopeless > 0:
        words += f" In {percent(value.hopeless)} of the outcomes no plan on offer reaches what is asked, and one would know."
    return {"batch": wish.first, "cost_now": value.cost_now, "cost_then": value.cost_then, "saved": value.saved,
            "promise_now": value.promise_now, "promise_then": value.promise_then, "hopeless": value.hopeless, "words": words}
