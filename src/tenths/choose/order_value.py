"""What it is worth to measure a batch of parts before ordering for them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenths.choose.order import Finishing, OrderQuestion, PlanRow, Progress, plans
from tenths.choose.scenarios import draw_rooms
from tenths.errors import BadInput


@dataclass(frozen=True, slots=True)
class ValueOfMeasuring:
    """What it is worth to measure a batch before ordering.

    Attributes:
        cost_now: of the plan made without measuring.
        cost_then: of the plan made after measuring, on average.
        saved: cost_now less cost_then.
        promise_now: probability of finishing with the plan made without measuring [-].
        promise_then: probability of finishing with the plans made after measuring, on average [-].
        hopeless: share of outcomes for which no plan then reaches what is asked [-]; the surest is bought there.
    """

    cost_now: float
    cost_then: float
    saved: float
    promise_now: float
    promise_then: float
    hopeless: float


def value_of_measuring(
    question: OrderQuestion,
    batch: str,
    boxes_now: Sequence[int],
    rng: np.random.Generator,
    *,
    outcomes: int = 100,
    scenarios: int = 400,
    progress: Progress = lambda _share, _words: None,
) -> ValueOfMeasuring:
    """Compare ordering now with ordering after one batch (the crank, say) has been measured.

    Args:
        question: all that the plan rests on.
        batch: which is measured first; its sizes are then known.
        boxes_now: plan that would be bought without measuring.
        rng: source of chance.
        outcomes: of the measurement that are thought through.
        scenarios: of all else, for each outcome.
        progress: told the share done [-] and what is being done.

    Returns:
        Costs and promises.

    Raises:
        BadInput: if the batch is not known.
    """
    if batch not in question.variations:
        raise BadInput(f"batch {batch} is not among {', '.join(question.variations)}")
    measured = question.variations[batch]
    rest = {name: v for name, v in question.variations.items() if name != batch}
    factor = np.array([place.batches.get(batch, 0.0) for place in question.places])
    unmeasured = [
        replace(place, batches={name: f for name, f in place.batches.items() if name != batch}) for place in question.places
    ]
    totals = np.zeros(4)
    now = math.fsum(n * o.cost for n, o in zip(boxes_now, question.offers, strict=True))
    for number in range(outcomes):
        progress(number / outcomes, "measuring in thought")
        each = rng.normal(0.0, measured.each, len(factor))
        sizes = rng.normal(measured.shift, measured.common) + each
        finishing = Finishing(question, draw_rooms(unmeasured, rest, scenarios, rng) + factor * sizes)
        row, reached = _cheapest(question, finishing)
        totals += (row.cost, row.probability, not reached, float(finishing.finished(boxes_now).mean()))
    progress(1.0, "done")
    cost, promise, hopeless, promise_now = (float(t) / outcomes for t in totals)
    return ValueOfMeasuring(now, cost, now - cost, promise_now, promise, hopeless)


def _cheapest(question: OrderQuestion, finishing: Finishing) -> tuple[PlanRow, bool]:
    """The cheapest plan that reaches what is asked, or the surest one."""
    everything = tuple(offer.most for offer in question.offers)
    surest = float(finishing.finished(everything).mean())  # more boxes never finish less
    wanted = min(question.asked, surest)
    for cost, boxes in plans(question.offers):
        if finishing.at_most(boxes) < wanted:
            continue
        share = float(finishing.finished(boxes).mean())
        if share >= wanted:
            return PlanRow(boxes, cost, share), surest >= question.asked
    raise BadInput("an order plan needs at least one offer")
