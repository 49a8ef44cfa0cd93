"""What to order before the parts arrive, so that the engine can be finished with an asked probability at least cost.

Journals of one crank come from one grinding and housings of one block from one hone: they err together. Treating them
as independent promises far more than it delivers, so every scenario draws a common error for each batch first. The
plan found on one set of scenarios is checked on fresh ones, with a confidence bound.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from tenths.choose.answer import Alternative, Answer, Pick, Score, Stop
from tenths.choose.scenarios import Planned, Variation, draw_rooms
from tenths.choose.shells import HOUSE_SHELL_RULES, ShellRules, Size, sizes_may_pair
from tenths.choose.words import percent
from tenths.errors import BadInput

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]
    Counts = NDArray[np.intp]

Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class Offer:
    """A box that can be bought.

    Attributes:
        size: of its shells.
        cost: of one box.
        uppers: upper halves in it.
        lowers: lower halves in it.
        most: boxes that can be had.
    """

    size: Size
    cost: float
    uppers: int
    lowers: int
    most: int = 1


@dataclass(frozen=True, slots=True)
class OrderQuestion:
    """All that an order plan rests on.

    Attributes:
        places: of one kind.
        variations: of each batch named by the places.
        offers: what can be bought.
        rules: of the house.
        asked: probability with which the engine shall be finished [-].
        confidence: with which the check on fresh scenarios must confirm that [-].
        have: boxes of each offer that are in the house and need not be bought; empty for none.
    """

    places: tuple[Planned, ...]
    variations: Mapping[str, Variation]
    offers: tuple[Offer, ...]
    rules: ShellRules = HOUSE_SHELL_RULES
    asked: float = 0.95
    confidence: float = 0.95
    have: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if unknown := {b for p in self.places for b in p.batches} - set(self.variations):
            raise BadInput(f"variations: nothing is said of {min(unknown)}")
        if not (self.places and self.offers):
            raise BadInput("an order plan needs at least one place and one offer")
        if self.have and len(self.have) != len(self.offers):
            raise BadInput(f"have: {len(self.have)} numbers for {len(self.offers)} offers; one for each, or none")
        if not (0 < self.asked < 1 and 0 < self.confidence < 1):
            raise BadInput(f"asked {self.asked} and confidence {self.confidence}: both strictly between 0 and 1")


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One plan that no cheaper one beats.

    Attributes:
        boxes: of each offer.
        cost: of all.
        probability: share of the scenarios in which the engine can be finished [-].
    """

    boxes: tuple[int, ...]
    cost: float
    probability: float


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """What to buy.

    Attributes:
        answer: the plan as an answer.
        boxes: of each offer; empty when no plan reaches what was asked.
        cost: of them.
        probability: on the scenarios that it was found with [-].
        fresh: on fresh scenarios [-].
        at_least: lower confidence bound of the true probability, from the fresh ones [-].
        table: cheapest plan for each probability that can be reached.
    """

    answer: Answer
    boxes: tuple[int, ...]
    cost: float
    probability: float
    fresh: float
    at_least: float
    table: tuple[PlanRow, ...]


class Finishing:
    """In which scenarios an engine can be finished from a number of boxes.

    The possible pairs of all places are looked at once. A box that holds a half for every place leaves the places free
    of one another, and then one look at the sizes decides; only boxes that can run short need a search, and scenarios
    that allow the same pairs share it.
    """

    def __init__(self, question: OrderQuestion, rooms: Floats) -> None:
        self.question = question
        self._known: dict[tuple[int, ...], tuple[Flags, Counts, Counts]] = {}
        offers = question.offers
        self.pairs = [(a, b) for a in range(len(offers)) for b in range(len(offers))]
        changes = np.array([(offers[a].size.change + offers[b].size.change) / 2 for a, b in self.pairs])
        lower = np.array([place.lower for place in question.places])[:, None]
        upper = np.array([place.upper for place in question.places])[:, None]
        self.fits: Flags = np.empty((*rooms.shape, len(self.pairs)), dtype=np.bool_)
        for start in range(0, len(rooms), 4096):
            value = rooms[start : start + 4096, :, None] + changes
            self.fits[start : start + 4096] = (value >= lower - 1e-12) & (value <= upper + 1e-12)
        allowed = [
            [sizes_may_pair(offers[a].size, offers[b].size, place.loaded, question.rules) for a, b in self.pairs]
            for place in question.places
        ]
        self.fits &= np.array(allowed)

    def finished(self, boxes: Sequence[int]) -> Flags:
        """Whether each scenario can be finished.

        Args:
            boxes: of each offer.

        Returns:
            A flag for each scenario. What is in the house counts beside what is bought.
        """
        if self.question.have:
            boxes = [n + more for n, more in zip(boxes, self.question.have, strict=True)]
        sizes = tuple(number for number, count in enumerate(boxes) if count)
        alone, examples, where = self._from_sizes(sizes)
        if self._ample(boxes) or not examples.size:
            return alone
        result = alone.copy()
        have = [i for i, (a, b) in enumerate(self.pairs) if boxes[a] and boxes[b]]
        result[alone] = np.array([self._search(int(n), have, tuple(boxes)) for n in examples], dtype=np.bool_)[where]
        return result

    def at_most(self, boxes: Sequence[int]) -> float:
        """Share of the scenarios beyond which these boxes cannot go, however many of each size there were [-]."""
        if self.question.have:
            boxes = [n + more for n, more in zip(boxes, self.question.have, strict=True)]
        return float(self._from_sizes(tuple(number for number, count in enumerate(boxes) if count))[0].mean())

    def _from_sizes(self, sizes: tuple[int, ...]) -> tuple[Flags, Counts, Counts]:
        """Scenarios that could be finished if no size ran short; of those, one of each pattern, and which has which."""
        if sizes not in self._known:
            have = [i for i, (a, b) in enumerate(self.pairs) if a in sizes and b in sizes]
            fits = self.fits[:, :, have]
            alone: Flags = np.all(np.any(fits, axis=2), axis=1)  # pyright: ignore[reportAssignmentType]
            none = np.zeros(0, dtype=np.intp)
            examples, where = none, none
            if alone.any():
                packed = np.packbits(fits[alone], axis=2).reshape(int(alone.sum()), -1)
                _, first, where = np.unique(packed, axis=0, return_index=True, return_inverse=True)
                examples = np.flatnonzero(alone)[first]
            self._known[sizes] = (alone, examples, where.ravel())
        return self._known[sizes]

    def _ample(self, boxes: Sequence[int]) -> bool:
        places = len(self.question.places)
        return all(not n or min(o.uppers, o.lowers) * n >= places for n, o in zip(boxes, self.question.offers, strict=True))

    def _search(self, scenario: int, have: Sequence[int], boxes: tuple[int, ...]) -> bool:
        offers = self.question.offers
        upper = tuple(n * o.uppers for n, o in zip(boxes, offers, strict=True))
        lower = tuple(n * o.lowers for n, o in zip(boxes, offers, strict=True))
        places = [[self.pairs[i] for i in have if row[i]] for row in self.fits[scenario]]
        return can_be_dealt(sorted(places, key=len), upper, lower)


def can_be_dealt(places: Sequence[Sequence[tuple[int, int]]], upper: tuple[int, ...], lower: tuple[int, ...]) -> bool:
    """Whether halves that may run short serve all places.

    Args:
        places: pairs of sizes (above, below) that suit each place; those with the fewest first make it quick.
        upper: upper halves of each size.
        lower: lower halves of each size.

    Returns:
        Whether each place can have one of its pairs. Every deal is tried, and what is left over is tried once.
    """
    hopeless: set[tuple[int, tuple[int, ...], tuple[int, ...]]] = set()

    def dealt(number: int, above: tuple[int, ...], below: tuple[int, ...]) -> bool:
        if number == len(places):
            return True
        if (number, above, below) in hopeless:
            return False
        for a, b in places[number]:
            if above[a] and below[b] and dealt(number + 1, _less(above, a), _less(below, b)):
                return True
        hopeless.add((number, above, below))
        return False

    return dealt(0, upper, lower)


def _less(counts: tuple[int, ...], which: int) -> tuple[int, ...]:
    return (*counts[:which], counts[which] - 1, *counts[which + 1 :])


def plans(offers: Sequence[Offer]) -> Iterator[tuple[float, tuple[int, ...]]]:
    """All plans, the cheapest first.

    Args:
        offers: what can be bought.

    Returns:
        Cost and boxes of each offer, of every plan.
    """
    every = product(*(range(offer.most + 1) for offer in offers))
    yield from sorted((math.fsum(n * o.cost for n, o in zip(boxes, offers, strict=True)), boxes) for boxes in every)


def plan_order(
    question: OrderQuestion,
    rng: np.random.Generator,
    *,
    scenarios: int = 2000,
    fresh: int = 4000,
    attempts: int = 5,
    progress: Progress = lambda _share, _words: None,
) -> OrderPlan:
    """Boxes at least cost with which the engine can be finished with the asked probability.

    The cheapest plan that reaches the asked probability is checked on fresh scenarios; if the confidence bound does
    not confirm it, the next plan in cost that promises more is checked on other fresh ones, each check with a smaller
    share of the risk of being wrong, so that all checks together keep the confidence.

    Args:
        question: all that the plan rests on.
        rng: source of chance.
        scenarios: to find plans with.
        fresh: to check each plan with.
        attempts: most plans that are checked.
        progress: told the share done [-] and what is being done.

    Returns:
        The plan, or what stops it, with the table of probability against cost.
    """
    rooms = draw_rooms(question.places, question.variations, scenarios, rng)
    finishing = Finishing(question, rooms)
    rows = _evaluated(question, finishing, progress)
    table = _front(rows)
    risk = 1.0 - question.confidence
    good = [row for row in table if row.probability >= question.asked]
    for number, row in enumerate(good[:attempts]):
        progress(0.8 + 0.2 * number / attempts, "checking on fresh scenarios")
        risk /= 2
        hits = int(Finishing(question, draw_rooms(question.places, question.variations, fresh, rng)).finished(row.boxes).sum())
        bound = lower_bound(hits, fresh, confidence=1.0 - risk)
        if bound >= question.asked:
            progress(1.0, "done")
            return _plan(question, row, table, hits / fresh, bound, scenarios, fresh)
    progress(1.0, "done")
    return _no_plan(question, table)


def _evaluated(question: OrderQuestion, finishing: Finishing, progress: Progress) -> list[PlanRow]:
    """Plans in order of cost; one that costs more than a plan that never fails is left out."""
    rows: list[PlanRow] = []
    every = list(plans(question.offers))
    best = -1.0
    for number, (cost, boxes) in enumerate(every):
        if number % 16 == 0:
            progress(0.8 * number / len(every), f"plan {number + 1} of {len(every)}")
        share = float(finishing.finished(boxes).mean())
        if share > best:
            rows.append(PlanRow(boxes, cost, share))
            best = share
        if best >= 1.0:
            break
    return rows


def _front(rows: Sequence[PlanRow]) -> tuple[PlanRow, ...]:
    """Of plans that cost the same, the surest."""
    return tuple(
        row for row, following in zip(rows, [*rows[1:], None], strict=True) if following is None or following.cost > row.cost
    )


def lower_bound(hits: int, count: int, *, confidence: float = 0.95) -> float:
    """Lower confidence bound of a probability from counted trials.

    Args:
        hits: trials that went well.
        count: of all trials, at least 1.
        confidence: of the one-sided bound [-].

    Returns:
        The bound [-].

    Raises:
        BadInput: if the counts or the confidence are not possible.

    Source: exact bound of Clopper and Pearson, from memory: the probability p at which so many hits or more have
        probability 1 - confidence, a quantile of the beta distribution.
    """
    if not (0 <= hits <= count and count > 0 and 0 < confidence < 1):
        raise BadInput(f"lower_bound: {hits} of {count} with confidence {confidence}")
    if hits == 0:
        return 0.0
    from scipy.special import betaincinv  # noqa: PLC0415  # pyright: ignore[reportMissingTypeStubs, reportUnknownVariableType]

    return float(betaincinv(hits, count - hits + 1, 1.0 - confidence))  # pyright: ignore[reportUnknownArgumentType]


def _picks(question: OrderQuestion, boxes: Sequence[int]) -> tuple[Pick, ...]:
    return tuple(
        Pick(f"box.{o.size.label}", words := f"{n} box{'es' if n > 1 else ''} of {o.size.label}", words, float(n))
        for n, o in zip(boxes, question.offers, strict=True)
        if n
    )


def _scores(row: PlanRow) -> tuple[Score, ...]:
    return Score("cost", row.cost, "money"), Score("chance of not finishing", 1.0 - row.probability, "")


def _plan(
    question: OrderQuestion,
    row: PlanRow,
    table: Sequence[PlanRow],
    fresh: float,
    bound: float,
    scenarios: int,
    checked: int,
) -> OrderPlan:
    cheaper = [other for other in table if other.cost < row.cost]
    reasons = [f"In {percent(row.probability)} of {scenarios} scenarios the engine can be finished inside its limits."]
    reasons.append(
        f"On {checked} fresh ones it was {percent(fresh)}; with {percent(question.confidence)} confidence it"
        f" is {'' if bound > 0.999 else 'no less than '}{percent(bound)}."
    )
    if cheaper:
        reasons.append(
            f"The next cheaper plan costs {row.cost - cheaper[-1].cost:g} less and finishes with "
            f"{percent(cheaper[-1].probability)} only."
        )
    rest = sorted((other for other in table if other is not row), key=lambda other: abs(other.cost - row.cost))[:3]
    others = tuple(
        Alternative(_picks(question, o.boxes), (), _scores(o), f"costs {o.cost:g} and finishes with {percent(o.probability)}.")
        for o in rest
    )
    answer = Answer(
        "What to order before the parts arrive?",
        _picks(question, row.boxes),
        (),
        _scores(row),
        tuple(reasons),
        others,
        _rests_on(question),
    )
    return OrderPlan(answer, row.boxes, row.cost, row.probability, fresh, bound, tuple(table))


def _no_plan(question: OrderQuestion, table: Sequence[PlanRow]) -> OrderPlan:
    best = table[-1]
    words = (
        f"The surest plan on offer finishes with {percent(best.probability)} and {percent(question.asked)} was "
        "asked for. Freed by wider limits, a size that is not on offer, or measuring the parts first."
    )
    stop = Stop("", "probability asked", words)
    answer = Answer("What to order before the parts arrive?", (), rests_on=_rests_on(question), stops=(stop,))
    return OrderPlan(answer, (), 0.0, best.probability, best.probability, 0.0, tuple(table))


def _rests_on(question: OrderQuestion) -> tuple[str, ...]:
    batches = [
        f"{name}: common {v.common:.2g} m, each {v.each:.2g} m, off by {v.shift:.2g} m" for name, v in question.variations.items()
    ]
    offers = [f"{o.size.label}: {o.cost:g} for {o.uppers} upper and {o.lowers} lower halves" for o in question.offers]
    return (*batches, *offers)
