"""Exact search for the best matching of pistons, rods and pins to holes, and a bound when it has to be cut short.

Holes are filled one by one, all partial matchings of a level at once. A partial matching is dropped when even the best
way to go on could not beat what is already known. Pins bear on weight alone and go anywhere, so they need no search:
the heaviest pin to the lightest piston with rod makes the largest sum least and the least sum largest at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations, permutations
from typing import TYPE_CHECKING

import numpy as np

from tenths.choose.match_reach import mass_ends, volume_ends

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Wholes = NDArray[np.int64]

SAME = 1e-9
_MOST_STATES = 200_000
_MOST_OF_MANY = 20_000  # for more holes than a V8 has, so that an answer comes in seconds
_CHUNK = 1 << 20
_ALL_PAIRINGS = 8
_SHAKES = 40
_SEED = 20260301


def _itself(values: Floats) -> Floats:
    return values


@dataclass(frozen=True, slots=True)
class VolumeGoal:
    """A sum over base, piston and rod in each hole that should come out equal in all.

    Attributes:
        base: of each hole.
        pistons: what each piston adds in each hole, of shape (hole, piston).
        rods: what each rod adds in each hole, of shape (hole, rod).
        price: cost of a spread of 1 beyond what is enough.
        enough: spread below which nothing is gained.
        told: what the sum is turned into before it is compared; rises or falls throughout.
    """

    base: Floats
    pistons: Floats
    rods: Floats
    price: float
    enough: float = 0.0
    told: Callable[[Floats], Floats] = _itself

    def spread(self, picks: Wholes) -> Floats:
        """Spread over the holes, for matchings of shape (matching, kind, hole)."""
        holes = np.arange(len(self.base))
        return np.ptp(self.told(self.base + self.pistons[holes, picks[:, 0]] + self.rods[holes, picks[:, 1]]), axis=1)

    def cost(self, low: Floats, high: Floats) -> Floats:
        """Cost of sums that reach from low to high; nothing where they stand the wrong way round."""
        right = high > low
        spread = np.zeros(len(low))
        spread[right] = np.abs(self.told(high[right]) - self.told(low[right]))
        return self.price * np.maximum(0.0, spread - self.enough)


@dataclass(frozen=True, slots=True)
class MassGoal:
    """Masses of piston, rod end and pin that should add up to the same in all holes.

    Attributes:
        pistons: mass of each.
        rods: mass of each.
        pins: mass of each; as many as holes.
        price: cost of a spread of 1 beyond what is enough.
        enough: spread below which nothing is gained.
    """

    pistons: Floats
    rods: Floats
    pins: Floats
    price: float
    enough: float = 0.0

    def spread(self, picks: Wholes) -> Floats:
        """Spread over the holes with the pins placed best, for matchings of shape (matching, kind, hole)."""
        pairs = np.sort(self.pistons[picks[:, 0]] + self.rods[picks[:, 1]], axis=1)
        return np.ptp(pairs + np.sort(self.pins)[::-1], axis=1)

    def pins_for(self, pistons: Wholes, rods: Wholes) -> Wholes:
        """The pin for each hole: the heaviest to the lightest pair."""
        found = np.empty(len(pistons), dtype=np.int64)
        found[np.argsort(self.pistons[pistons] + self.rods[rods], kind="stable")] = np.argsort(-self.pins, kind="stable")
        return found

    def cost(self, low: Floats, high: Floats, floor: float) -> Floats:
        """Cost of masses that reach from low to high, and at least as far apart as the floor."""
        return self.price * np.maximum(0.0, np.maximum(high - low, floor) - self.enough)

    def floor(self) -> float:
        """The least spread there is wherever the parts go, by every pairing of pistons and rods; 0 where they are too many."""
        holes = len(self.pins)
        if not self.price or holes > _ALL_PAIRINGS or len(self.pistons) > holes or len(self.rods) > holes:
            return 0.0
        orders = np.array(list(permutations(range(holes))), dtype=np.int64)
        return float(self.spread(np.stack([np.broadcast_to(np.arange(holes), orders.shape), orders], axis=1)).min())


@dataclass(frozen=True, slots=True)
class MatchTask:
    """Goals of a matching.

    Attributes:
        volume: that should be equal.
        mass: that should be equal.
        costs: of each piston in each hole; infinite where it must not go.
        rod_costs: of each rod in each hole.
    """

    volume: VolumeGoal
    mass: MassGoal
    costs: Floats
    rod_costs: Floats

    @property
    def sizes(self) -> tuple[int, int]:
        """How many pistons and rods there are."""
        return len(self.mass.pistons), len(self.mass.rods)

    def score(self, picks: Wholes) -> Floats:
        """Cost of many matchings; picks has the shape (matching, kind of part, hole), pins left out."""
        volume, mass = self.volume, self.mass
        holes = np.arange(len(self.costs))
        total: Floats = self.costs[holes, picks[:, 0]].sum(axis=1) + self.rod_costs[holes, picks[:, 1]].sum(axis=1)
        total = total + volume.price * np.maximum(0.0, volume.spread(picks) - volume.enough)
        return total + mass.price * np.maximum(0.0, mass.spread(picks) - mass.enough)

    def finer(self, picks: Wholes) -> Floats:
        """Spreads below what is enough, too, at the same price: it ranks matchings of equal cost."""
        return self.volume.price * self.volume.spread(picks) + self.mass.price * self.mass.spread(picks)


@dataclass(frozen=True, slots=True)
class Matched:
    """Best matchings found.

    Attributes:
        picks: matchings, best first, each (kind of part, hole), pins left out; parts alike count as one.
        scores: of each.
        bound: that no matching can pass; the best score itself where that is proven.
        looked: partial matchings looked at.
    """

    picks: tuple[Wholes, ...]
    scores: tuple[float, ...]
    bound: float
    looked: int = 0


def search(task: MatchTask, *, number: int = 4, most: int | None = None) -> Matched | None:
    """The best matching, and others that come near.

    Args:
        task: goals; at least as many pistons and rods as holes.
        number: how many to give; only the first is the best of all.
        most: partial matchings kept of a level; with more, the rest is dropped and the bound says what that may cost;
            None takes 200,000 up to 8 holes, and 20,000 beyond.

    Returns:
        The best, or None where every matching puts a piston where it must not go.
    """
    order = np.argsort(-_strangeness(task.volume), kind="stable")
    turned = _in_order(task, order)
    known = _Known(turned, number)
    _exchanges(turned, known)
    kept = most or (_MOST_STATES if len(order) <= 8 else _MOST_OF_MANY)
    levels = _Levels(turned, known, kept)
    levels.run()
    if not known.best:
        return None
    back = np.argsort(order)
    ranked = sorted(known.best.values(), key=lambda each: each[:2])
    picks = tuple(np.array(each[2], dtype=np.int64)[:, back] for each in ranked)
    return Matched(picks, tuple(each[0] for each in ranked), min(ranked[0][0], levels.bound), levels.looked)


def _strangeness(goal: VolumeGoal) -> Floats:
    """How far each hole lies from the others: those that bind most are filled first."""
    told = goal.told(goal.base + goal.pistons.mean(axis=1) + goal.rods.mean(axis=1))
    return np.abs(told - told.mean())


def _in_order(task: MatchTask, order: Wholes) -> MatchTask:
    goal = task.volume
    turned = VolumeGoal(goal.base[order], goal.pistons[order], goal.rods[order], goal.price, goal.enough, goal.told)
    return MatchTask(turned, task.mass, task.costs[order], task.rod_costs[order])


class _Known:
    """The best matchings so far; parts alike are put in order, so that the same matching is kept once."""

    def __init__(self, task: MatchTask, number: int) -> None:
        self.task, self.number = task, number
        self.best: dict[tuple[int, ...], tuple[float, float, Wholes]] = {}
        self.limit = math.inf
        self.twins = (_twins(task, 0), _twins(task, 1))

    def add(self, picks: Wholes, scores: Floats) -> None:
        """Take in matchings of the shape (matching, kind of part, hole) with what they cost."""
        bar = max(each[0] for each in self.best.values()) if len(self.best) >= self.number else math.inf
        near = np.flatnonzero(np.isfinite(scores) & (scores <= bar + SAME))
        if not len(near):
            return
        fine = self.task.finer(picks[near])
        for rank in np.lexsort((fine, scores[near]))[: self.number]:
            self._take(picks[near[rank]], float(scores[near[rank]]), float(fine[rank]))
        for key in sorted(self.best, key=lambda key: self.best[key][:2])[self.number :]:
            del self.best[key]
        self.limit = min((each[0] for each in self.best.values()), default=math.inf)

    def _take(self, picks: Wholes, score: float, fine: float) -> None:
        """One for each outcome: an exchange that changes no figure is no other answer."""
        key = (round(score / SAME), round(fine / SAME))
        self.best.setdefault(key, (score, fine, picks))


def _twins(task: MatchTask, kind: int) -> list[int]:
    """For each part the first one that nothing tells it apart from."""
    pistons = [task.volume.pistons, task.mass.pistons[None], task.costs]
    tables = [task.volume.rods, task.mass.rods[None], task.rod_costs] if kind else pistons
    columns = [tuple(tuple(table[:, part]) for table in tables) for part in range(task.sizes[kind])]
    return [columns.index(column) for column in columns]


def _exchanges(task: MatchTask, known: _Known) -> None:
    """Matchings in which no exchange of two parts of a kind helps, from shaken starts: a bar for the search to beat."""
    rng = np.random.default_rng(_SEED)  # it decides how fast, never what
    moves = _moves(task.sizes, len(task.costs))
    here = np.concatenate([np.arange(size, dtype=np.int64) for size in task.sizes])
    best, score = here, math.inf
    for _ in range(_SHAKES):
        reached, value = _descend(task, known, here, moves)
        if value <= score:
            best, score = reached, value
        here = best.copy()
        for move in rng.integers(len(moves), size=int(rng.integers(2, 7))) if len(moves) else ():
            here = here[moves[move]]


def _moves(sizes: tuple[int, int], holes: int) -> Wholes:
    """Every exchange of a part that is in with another of its kind, as a reordering of all parts."""
    moves: list[Wholes] = []
    for size, start in ((sizes[0], 0), (sizes[1], sizes[0])):
        for a, b in combinations(range(size), 2):
            if a < holes:
                order = np.arange(sum(sizes), dtype=np.int64)
                order[[start + a, start + b]] = order[[start + b, start + a]]
                moves.append(order)
    return np.array(moves, dtype=np.int64).reshape(-1, sum(sizes))


def _placed(task: MatchTask, orders: Wholes) -> Wholes:
    holes, pistons = len(task.costs), task.sizes[0]
    return np.stack([orders[:, :holes], orders[:, pistons : pistons + holes]], axis=1)


def _descend(task: MatchTask, known: _Known, here: Wholes, moves: Wholes) -> tuple[Wholes, float]:
    placed = _placed(task, here[None])
    score = float(task.score(placed)[0])
    known.add(placed, np.array([score]))
    while len(moves):
        near = here[moves]
        placed = _placed(task, near)
        scores = task.score(placed)
        known.add(placed, scores)
        best = int(scores.argmin())
        if not scores[best] < score - SAME:
            break
        here, score = near[best], float(scores[best])
    return here, score


@dataclass(slots=True)
class _States:
    """Partial matchings of one level, one entry each."""

    pistons: Wholes  # those gone, as bits
    rods: Wholes
    low: Floats  # least volume so far
    high: Floats
    spent: Floats
    bound: Floats
    picks: Wholes  # (state, kind, hole)

    def keep(self, index: Wholes) -> _States:
        return _States(*(getattr(self, name)[index] for name in _States.__slots__))


def _joined(rows: list[_States]) -> _States:
    return rows[0] if len(rows) == 1 else _States(
        *(np.concatenate([getattr(row, name) for row in rows]) for name in _States.__slots__))


class _Levels:
    """The search itself."""

    def __init__(self, task: MatchTask, known: _Known, most: int) -> None:
        self.task, self.known, self.most = task, known, most
        self.holes = len(task.costs)
        self.bound, self.looked = math.inf, 0
        self.rest_cost, self.rest_rods = _completions(task.costs), _completions(task.rod_costs)
        self.mass_floor = task.mass.floor()
        self.mass_least = float(task.mass.cost(np.zeros(1), np.zeros(1), self.mass_floor)[0])
        self.volume_ends = volume_ends(task.volume.base, task.volume.pistons, task.volume.rods)
        self.mass_ends = mass_ends(task.mass.pistons, task.mass.rods, task.mass.pins)
        self.before = tuple(_before(twins) for twins in known.twins)

    def run(self) -> None:
        nothing = np.zeros(1, dtype=np.int64)
        states = _States(nothing, nothing, np.full(1, np.inf), np.full(1, -np.inf), np.zeros(1), self.rest_cost[:1] + self.rest_rods[0],
                         np.zeros((1, 2, self.holes), dtype=np.int64))
        for hole in range(self.holes):
            states = _joined([self._with_rod(self._with_piston(states.keep(each), hole), hole)
                              for each in _chunks(len(states.bound), math.prod(self.task.sizes))])
            self.looked += len(states.bound)
            if len(states.bound) > self.most:
                ranked = np.argsort(states.bound, kind="stable")
                self.bound = min(self.bound, float(states.bound[ranked[self.most]]))
                states = states.keep(ranked[: self.most])
        if len(states.bound):
            self.known.add(states.picks, self.task.score(states.picks))
        self.bound = min(self.bound, self.known.limit)

    def _with_piston(self, states: _States, hole: int) -> _States:
        state, part = self._free(states.pistons, 0)
        grown = states.keep(state)
        grown.pistons = grown.pistons | (1 << part)
        grown.picks[:, 0, hole] = part
        grown.spent = grown.spent + self.task.costs[hole, part]
        grown.bound = self._spent(grown) + self.task.volume.cost(grown.low, grown.high)
        return self._hopeful(grown, self.mass_least)

    def _with_rod(self, states: _States, hole: int) -> _States:
        state, part = self._free(states.rods, 1)
        grown, goal = states.keep(state), self.task.volume
        grown.rods = grown.rods | (1 << part)
        grown.picks[:, 1, hole] = part
        grown.spent = grown.spent + self.task.rod_costs[hole, part]
        here = goal.base[hole] + goal.pistons[hole, grown.picks[:, 0, hole]] + goal.rods[hole, part]
        grown.low, grown.high = np.minimum(grown.low, here), np.maximum(grown.high, here)
        grown.bound = self._spent(grown) + goal.cost(grown.low, grown.high)
        grown = self._hopeful(grown, self.mass_least)  # what is cheap to tell first
        low, high = self.volume_ends(grown.pistons, grown.rods, hole + 1)
        grown.bound = self._spent(grown) + goal.cost(np.minimum(grown.low, low), np.maximum(grown.high, high))
        return self._hopeful(self._weighed(self._hopeful(grown, self.mass_least), hole))

    def _weighed(self, states: _States, hole: int) -> _States:
        goal = self.task.mass
        if goal.price:
            picks = states.picks[:, :, : hole + 1]
            low, high = self.mass_ends(states.pistons, states.rods, goal.pistons[picks[:, 0]] + goal.rods[picks[:, 1]])
            states.bound = states.bound + goal.cost(low, high, self.mass_floor)
        return states

    def _free(self, gone: Wholes, kind: int) -> tuple[Wholes, Wholes]:
        """States and parts that are not gone and whose like that go first are."""
        parts, before = np.arange(self.task.sizes[kind]), self.before[kind]
        free = ((gone[:, None] >> parts) & 1 == 0) & (gone[:, None] & before == before)
        state, part = np.nonzero(free)
        return state, part

    def _spent(self, states: _States) -> Floats:
        """What the parts cost where they are, and those left at least."""
        return states.spent + self.rest_cost[states.pistons] + self.rest_rods[states.rods]

    def _hopeful(self, states: _States, more: float = 0.0) -> _States:
        """Those that might still beat what is known, when at least so much more comes on top."""
        return states.keep(np.flatnonzero(states.bound + more < self.known.limit - SAME))


def _chunks(states: int, each: int) -> list[Wholes]:
    step = max(1, _CHUNK // max(each, 1))
    return [np.arange(start, min(start + step, states)) for start in range(0, states, step)] or [np.arange(0)]


def _before(twins: list[int]) -> Wholes:
    """For each part the bits of those like it that go first."""
    return np.array([sum(1 << other for other in range(part) if twins[other] == twin) for part, twin in enumerate(twins)],
                    dtype=np.int64)


def _completions(table: Floats) -> Floats:
    """Least sum of the rows not yet taken, for every set of columns gone (as many as rows taken, from the top)."""
    rows, columns = table.shape
    masks: Wholes = np.arange(1 << columns, dtype=np.int64)
    taken = np.array([mask.bit_count() for mask in range(1 << columns)])
    least = np.full(1 << columns, np.inf)
    least[taken >= rows] = 0.0
    for row in range(rows - 1, -1, -1):
        here = masks[taken == row]
        for column in range(columns):
            free = here[(here >> column) & 1 == 0]
            least[free] = np.minimum(least[free], table[row, column] + least[free | (1 << column)])
    return least
