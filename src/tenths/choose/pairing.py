"""Exact search for pairs of halves: which two classes of halves go to which place, when each class runs out.

The problem is put in whole numbers (deviations in units of 0.1 nm), so that equal answers are equal and not a rounding
error apart. Halves that nothing tells apart form a class with a count. A bounded depth-first search settles almost
every case without scipy; what it cannot settle within its budget goes to HiGHS.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

Solver = Literal["auto", "search", "highs"]
Picks = tuple[int, ...]
NOTHING = -1

_BUDGET = 1500
_COMBINATIONS = 64


class _OutOfBudget(Exception):
    pass


@dataclass(frozen=True, slots=True)
class Pair:
    """Two halves that could go to a place.

    Attributes:
        upper: class of the upper half, or NOTHING where one is fitted already.
        lower: class of the lower half, or NOTHING where one is fitted already.
        deviation: of the clearance from its target [0.1 nm].
    """

    upper: int
    lower: int
    deviation: int


@dataclass(frozen=True, slots=True)
class Boxes:
    """Sealed boxes that hold the same.

    Attributes:
        count: how many there are.
        content: class and number of halves in each box.
    """

    count: int
    content: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Task:
    """All that decides the best pairs.

    Attributes:
        places: possible pairs of each place that is still open.
        loose: how many halves of each class are at hand without opening a box.
        boxes: sealed boxes by kind.
        fixed: deviations [0.1 nm] of places where nothing is open; they count for the spread only.
    """

    places: tuple[tuple[Pair, ...], ...]
    loose: tuple[int, ...]
    boxes: tuple[Boxes, ...] = ()
    fixed: tuple[int, ...] = ()

    def capacity(self, opened: Sequence[int]) -> list[int]:
        """How many halves of each class there are when so many boxes of each kind are opened."""
        total = list(self.loose)
        for boxes, number in zip(self.boxes, opened, strict=True):
            for kind, each in boxes.content:
                total[kind] += number * each
        return total


@dataclass(frozen=True, slots=True)
class Found:
    """The best pairs.

    Attributes:
        picks: index of the pair taken at each place.
        worst: largest deviation without sign [0.1 nm] over the open places.
        spread: largest less smallest deviation [0.1 nm] over all places.
        opened: sealed boxes opened.
        total: sum of the deviations without sign [0.1 nm].
        proven: whether each goal in turn is proven best.
        at_least: proven lower bound of the worst deviation [0.1 nm].
    """

    picks: Picks
    worst: int
    spread: int
    opened: int
    total: int
    proven: bool = True
    at_least: int = 0

    @property
    def key(self) -> tuple[int, int, int, int]:
        """What answers are compared by."""
        return self.worst, self.spread, self.opened, self.total


def best_pairs(
    task: Task, *, without: Sequence[Picks] = (), from_worst: int = 0, solver: Solver = "auto", seconds: float = 10.0
) -> Found | None:
    """The best pairs by worst deviation, then spread, then boxes opened, then sum of deviations.

    Args:
        task: places, halves and boxes.
        without: answers that are not wanted (for the next-best one).
        from_worst: known lower bound of the worst deviation [0.1 nm].
        solver: "auto" searches and hands what is hard to HiGHS; the others are for comparing the two.
        seconds: after which HiGHS gives up each of its tasks.

    Returns:
        The best, or None when there is none.
    """
    oracle = _Oracle(task, without, solver, seconds)
    found = _least_worst(task, oracle, from_worst)
    if found is None:
        return None
    worst, at_least = found
    windows = _least_spread(task, oracle, worst)
    opened, usable = _fewest_boxes(task, oracle, windows)
    results = [oracle.cheapest(*window, opened) for window in usable]
    best = min((r for r in results if r is not None), default=None)
    if best is None:
        return None
    deviations = [task.places[p][i].deviation for p, i in enumerate(best[1])]
    everywhere = [*deviations, *task.fixed]
    return Found(best[1], max(map(abs, deviations)), max(everywhere) - min(everywhere), opened, best[0], oracle.sure, at_least)


def _least_worst(task: Task, oracle: _Oracle, start: int) -> tuple[int, int] | None:
    """Smallest worst deviation that is possible, and the bound up to which smaller ones are proven impossible."""
    sizes = sorted({abs(pair.deviation) for place in task.places for pair in place})
    floor = max(start, *(min((abs(p.deviation) for p in place), default=-1) for place in task.places))
    if not sizes or any(not place for place in task.places):
        return None
    index = _first(len(sizes), bisect_left(sizes, floor), lambda i: oracle.possible(-sizes[i], sizes[i]))
    if index is None:
        return None
    return sizes[index], sizes[index] if oracle.sure else floor


def _least_spread(task: Task, oracle: _Oracle, worst: int) -> list[tuple[int, int]]:
    """Windows of deviation that hold an answer of least spread.

    The worst deviation is reached above or below the target, so one edge of the window is known and the other is moved
    in from the far side as long as there is an answer.
    """
    values = sorted({p.deviation for place in task.places for p in place if abs(p.deviation) <= worst})
    low, high = min(task.fixed, default=worst), max(task.fixed, default=-worst)
    windows: list[tuple[int, int, int]] = []
    tightest = min(max(p.deviation for p in place if abs(p.deviation) <= worst) for place in task.places)
    above = [v for v in reversed(values) if v <= tightest]
    index = _first(len(above), 0, lambda i: oracle.possible(above[i], worst))
    if index is not None:
        top = max(high, worst)
        spread = top - min(low, above[index])
        windows.append((spread, max(-worst, top - spread), worst))
    tightest = max(min(p.deviation for p in place if abs(p.deviation) <= worst) for place in task.places)
    below = [v for v in values if v >= tightest]
    index = _first(len(below), 0, lambda i: oracle.possible(-worst, below[i]))
    if index is not None:
        bottom = min(low, -worst)
        spread = max(high, below[index]) - bottom
        windows.append((spread, -worst, min(worst, bottom + spread)))
    if not windows:  # only where the solver ran out of time
        return [(-worst, worst)]
    least = min(window[0] for window in windows)
    return [(a, b) for spread, a, b in windows if spread == least]


def _fewest_boxes(task: Task, oracle: _Oracle, windows: Sequence[tuple[int, int]]) -> tuple[int, list[tuple[int, int]]]:
    for opened in range(sum(boxes.count for boxes in task.boxes) + 1):
        usable = [window for window in windows if oracle.possible(*window, opened)]
        if usable:
            return opened, usable
    return sum(boxes.count for boxes in task.boxes), list(windows)


def _first(size: int, start: int, holds: Callable[[int], bool]) -> int | None:
    """First index from start for which a monotone test holds, by strides that double: it is mostly the first."""
    low, stride = start - 1, 1
    high = start
    while high < size and not holds(high):
        low, high, stride = high, high + stride, stride * 2
    if high >= size:
        high = size - 1
        if high <= low or not holds(high):
            return None
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle
    return high


def enough(pair: Pair, capacity: Sequence[int]) -> bool:
    """Whether there are halves for a pair.

    Args:
        pair: of classes, perhaps twice the same.
        capacity: halves of each class.

    Returns:
        Whether both can be had at once.
    """
    upper, lower = pair.upper, pair.lower
    if upper == lower and upper != NOTHING:
        return capacity[upper] > 1
    return (upper == NOTHING or capacity[upper] > 0) and (lower == NOTHING or capacity[lower] > 0)


class _Oracle:
    """Answers whether, and how cheaply, pairs can be found within a window of deviations."""

    def __init__(self, task: Task, without: Sequence[Picks], solver: Solver, seconds: float) -> None:
        self.task = task
        self.without = frozenset(without)
        self.solver = solver
        self.seconds = seconds
        self.sure = True
        self.sorted = [sorted(range(len(place)), key=lambda i, place=place: place[i].deviation) for place in task.places]
        self.values = [[place[i].deviation for i in order] for place, order in zip(task.places, self.sorted, strict=True)]

    def possible(self, low: int, high: int, opened: int | None = None) -> bool:
        return self._ask(low, high, opened, costly=False) is not None

    def cheapest(self, low: int, high: int, opened: int | None = None) -> tuple[int, Picks] | None:
        return self._ask(low, high, opened, costly=True)

    def _ask(self, low: int, high: int, opened: int | None, *, costly: bool) -> tuple[int, Picks] | None:
        lists = [
            order[bisect_left(values, low) : bisect_right(values, high)]
            for order, values in zip(self.sorted, self.values, strict=True)
        ]
        if not all(lists):
            return None
        if self.solver != "highs":
            try:
                return self._search(lists, opened, costly=costly)
            except _OutOfBudget:
                pass
        return self._by_highs(lists, opened, costly=costly)

    def _search(self, lists: list[list[int]], opened: int | None, *, costly: bool) -> tuple[int, Picks] | None:
        best: tuple[int, Picks] | None = None
        budget = _BUDGET if self.solver == "auto" else 10**9
        for tried, capacity in enumerate(_capacities(self.task, opened)):
            if tried >= _COMBINATIONS and self.solver == "auto":
                raise _OutOfBudget
            search = _Search(self.task.places, self.without, budget, costly=costly)
            found = search.run(lists, capacity, best)
            if found is not None and not costly:
                return found
            best = found or best
        return best

    def _by_highs(self, lists: list[list[int]], opened: int | None, *, costly: bool) -> tuple[int, Picks] | None:
        # scipy and numpy cost more to import than most answers cost to find.
        from tenths.choose.highs import OutOfTimeError  # noqa: PLC0415
        from tenths.choose.pairing_highs import solve  # noqa: PLC0415

        try:
            return solve(self.task, lists, opened, self.without, costly=costly, seconds=self.seconds)
        except OutOfTimeError:
            self.sure = False
            return None


def _capacities(task: Task, opened: int | None) -> Iterator[list[int]]:
    """Halves of each class for every way to open so many boxes; None opens all."""
    counts = [boxes.count for boxes in task.boxes]
    if opened is None:
        yield task.capacity(counts)
        return
    for way in product(*(range(count + 1) for count in counts)):
        if sum(way) == opened:
            yield task.capacity(way)


class _Search:
    """Depth-first, the place with the fewest pairs left first."""

    def __init__(self, places: Sequence[Sequence[Pair]], without: frozenset[Picks], budget: int, *, costly: bool) -> None:
        self.places = places
        self.without = without
        self.budget = budget
        self.costly = costly
        self.best: tuple[int, Picks] | None = None

    def run(self, lists: list[list[int]], capacity: list[int], best: tuple[int, Picks] | None) -> tuple[int, Picks] | None:
        """The cheapest answer better than the best so far, or just the first one."""
        self.best = best
        if self.costly:
            lists = [
                sorted(each, key=lambda i, place=place: abs(place[i].deviation))
                for place, each in zip(self.places, lists, strict=True)
            ]
        self._step(dict(enumerate(lists)), capacity, 0, {})
        return self.best if self.best is not best else None

    def _step(self, open_: dict[int, list[int]], capacity: list[int], spent: int, taken: dict[int, int]) -> bool:
        """Whether the search may stop."""
        if not open_:
            picks = tuple(taken[p] for p in range(len(self.places)))
            if picks not in self.without and (self.best is None or spent < self.best[0] or not self.costly):
                self.best = (spent, picks)
                return not self.costly
            return False
        self.budget -= 1
        if self.budget < 0:
            raise _OutOfBudget
        left = {p: self._fitting(p, each, capacity) for p, each in open_.items()}
        if not all(left.values()) or (self.costly and self._hopeless(left, spent)):
            return False
        place = min(left, key=lambda p: len(left[p]))
        options = left.pop(place)
        for index in options:
            pair = self.places[place][index]
            cost = abs(pair.deviation) if self.costly else 0
            _move(capacity, pair, -1)
            stop = self._step(left, capacity, spent + cost, {**taken, place: index})
            _move(capacity, pair, 1)
            if stop:
                return True
        return False

    def _fitting(self, place: int, indices: list[int], capacity: list[int]) -> list[int]:
        pairs = self.places[place]
        return [i for i in indices if enough(pairs[i], capacity)]

    def _hopeless(self, left: dict[int, list[int]], spent: int) -> bool:
        if self.best is None:
            return False
        least = sum(abs(self.places[p][each[0]].deviation) for p, each in left.items())
        return spent + least >= self.best[0]


def _move(capacity: list[int], pair: Pair, by: int) -> None:
    for kind in (pair.upper, pair.lower):
        if kind != NOTHING:
            capacity[kind] += by
