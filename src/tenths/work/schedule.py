"""Several engines that share people and places: who does what when, how near that is to the best, and why.

First no engine shall be later than it must be: the greatest lateness (finish less promised day; the finish itself where
nothing was promised) is brought within a few per cent of a bound that no schedule can go below. Among such schedules the
sum of the finishes is made small. Blocks are put down one by one in an order that a search changes; where it does not
come near enough, an integer program in whole steps of time tries to raise the bound and gives another order.
"""

from bisect import insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from random import Random

from tenths.errors import BadInput, OutOfRange
from tenths.work.blocks import Block

PATIENCE = 40  # orders tried in vain before the search gives up
NEAR = 0.04  # share of the last finish by which the greatest lateness may lie above its bound before all else


@dataclass(frozen=True, slots=True)
class Placed:
    """A block in the schedule: from when to when [h from now], by whom, and why not earlier."""

    block: Block
    start: float
    end: float
    person: int
    reason: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """A schedule: blocks by their start, finish of each engine [h], and how it compares with the best there can be.

    ``latest`` is the greatest lateness [h], ``bound`` what no schedule can go below [h].
    """

    placed: tuple[Placed, ...]
    finishes: dict[str, float]
    latest: float
    bound: float
    solver: str

    @property
    def gap(self) -> float:
        """By how much, at most, the greatest lateness could be less, as a share of the last finish."""
        last = max(self.finishes.values(), default=0.0)
        return max(0.0, self.latest - self.bound) / last if last > 0 else 0.0


def schedule(blocks: Sequence[Block], *, people: int, due: Mapping[str, float] | None = None, seed: int = 1, rounds: int = 120,
             places: Mapping[str, int] | None = None, time_limit: float = 20.0) -> Schedule:
    """The best schedule that is found.

    Args:
        blocks: of all engines, each after those that it waits for.
        people: how many work in the shop, 1 to 50.
        due: hours [h] from now until each engine was promised.
        seed: of the chance in the search.
        rounds: orders tried beyond the rules of thumb.
        places: how many there are of a place; one where nothing is said.
        time_limit: of the integer program [s]; 0 leaves it out.

    Returns:
        A feasible schedule with its bound; the same arguments give the same one, unless the time limit cuts in.

    Raises:
        BadInput: when a block waits for one that is not there or comes later.
        OutOfRange: for people outside 1 to 50.
    """
    if not 1 <= people <= 50:
        raise OutOfRange(f"people: {people} is outside 1 to 50")
    _check(blocks)
    shop = _Shop(tuple(blocks), people, dict(due or {}), dict(places or {}))
    shop.bound, solver = bound_of(blocks, people=people, due=due, places=places), "search"
    best = _searched(shop, seed, rounds)
    if blocks and time_limit > 0 and best.latest - shop.bound > NEAR * best.horizon:
        from tenths.work.schedule_program import solved  # noqa: PLC0415 - most schedules do without

        order, better = solved(shop.blocks, people, shop.due, shop.places, best.horizon, time_limit)
        shop.bound, solver = max(shop.bound, min(better, best.latest)), "integer program and search"
        best = min((best, _improved(shop, order, seed + 1, rounds)), key=shop.cost) if order else best
    return Schedule(shop.explained(best), best.finishes, best.latest, min(shop.bound, best.latest), solver)


def _check(blocks: Sequence[Block]) -> None:
    seen: set[str] = set()
    for block in blocks:
        if missing := [b for b in block.after if b not in seen]:
            raise BadInput(f"block {block.id}: waits for {missing[0]}, which is not there or comes later")
        seen.add(block.id)


def latest_of(finishes: Mapping[str, float], due: Mapping[str, float]) -> float:
    """The greatest lateness [h]: finish less the promised hour, the finish itself where nothing was promised."""
    return max((end - due.get(engine, 0.0) for engine, end in finishes.items()), default=0.0)


def bound_of(blocks: Sequence[Block], *, people: int, due: Mapping[str, float] | None = None,
             places: Mapping[str, int] | None = None) -> float:
    """A greatest lateness [h] that no schedule can go below.

    No engine is done before its own longest chain. And of the engines promised by any given hour, all work at one place,
    and all work of the people, must fit in before the last of them is done: after the shortest chain that leads to it, with
    the shortest chain behind it still to come.
    """
    engines = list(dict.fromkeys(b.engine for b in blocks))
    promised = {e: (due or {}).get(e, 0.0) for e in engines}
    bound = max((_chain([b for b in blocks if b.engine == e]) - promised[e] for e in engines), default=0.0)
    heads, tails = _heads(blocks), _tails(blocks)
    loads = [(people, list(blocks))]
    loads += [((places or {}).get(p, 1), [b for b in blocks if b.place == p]) for p in dict.fromkeys(b.place for b in blocks) if p]
    for count, rows in loads:
        for hour in set(promised.values()):
            some = [b for b in rows if promised[b.engine] <= hour and b.hours > 0]
            for late in {heads[b.id] for b in some}:  # those that cannot begin before
                these = [b for b in some if heads[b.id] >= late - 1e-9]
                after = min(tails[b.id] - b.hours for b in these)
                bound = max(bound, late + sum(b.hours for b in these) / count + after - hour)
    return bound


def _heads(blocks: Sequence[Block]) -> dict[str, float]:
    """The earliest start of every block [h], if nobody else were in the way."""
    heads: dict[str, float] = {}
    length = {b.id: b.hours + b.lag for b in blocks}
    for b in blocks:
        heads[b.id] = max([b.release, *(heads[a] + length[a] for a in b.after)])
    return heads


def _chain(blocks: Sequence[Block]) -> float:
    """The longest chain of an engine with its releases and lags [h]."""
    ends: dict[str, float] = {}
    lag = {b.id: b.lag for b in blocks}
    for b in blocks:
        ends[b.id] = max([b.release, *(ends[a] + lag[a] for a in b.after if a in ends)]) + b.hours
    return max((end + lag[name] for name, end in ends.items()), default=0.0)


# -- placing blocks in an order ----------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class _Try:
    order: tuple[str, ...]
    starts: dict[str, tuple[float, int]]
    finishes: dict[str, float]
    latest: float
    horizon: float


class _Busy:
    """When somebody or something is busy: stretches in order, and the first room for another."""

    def __init__(self) -> None:
        self.stretches: list[tuple[float, float]] = []

    def room(self, earliest: float, hours: float) -> float:
        """The earliest start from then on at which so many hours are free in one go."""
        at = earliest
        for start, end in self.stretches:
            if at + hours <= start + 1e-9:
                break
            at = max(at, end)
        return at

    def take(self, start: float, hours: float) -> None:
        """Busy from then on for so many hours."""
        if hours > 0:
            insort(self.stretches, (start, start + hours))


@dataclass(slots=True)
class _Shop:
    blocks: tuple[Block, ...]
    people: int
    due: dict[str, float]
    places: dict[str, int]
    bound: float = 0.0
    _by_id: dict[str, Block] = field(default_factory=dict[str, Block])
    _behind: dict[str, list[tuple[str, float]]] = field(default_factory=dict[str, list[tuple[str, float]]])

    def __post_init__(self) -> None:
        self._by_id = {b.id: b for b in self.blocks}
        self._behind = {b.id: [] for b in self.blocks}
        for b in self.blocks:
            for a in b.after:
                self._behind[a].append((b.id, self._by_id[a].lag))

    def place(self, wish: Sequence[str]) -> _Try:
        """Every block at the earliest time at which its waits, a person and its place allow, wished ones first."""
        done, order = self._put_down(wish, {b.id: [(a, self._by_id[a].lag) for a in b.after] for b in self.blocks}, releases=True)
        return self._told(tuple(order), done)

    def swung(self, tried: _Try) -> _Try:
        """The schedule pushed to the right, each block as late as it goes, and then to the left again: often shorter."""
        ends = {b.id: tried.starts[b.id][0] + b.hours for b in self.blocks}
        back, _ = self._put_down(sorted(ends, key=lambda name: -ends[name]), self._behind, releases=False)
        return self.place(sorted(back, key=lambda name: -(back[name][0] + self._by_id[name].hours)))

    def _put_down(self, wish: Sequence[str], before: Mapping[str, Sequence[tuple[str, float]]], *, releases: bool,
                  ) -> tuple[dict[str, tuple[float, int]], list[str]]:
        """Start and person of every block, put down one by one as their waits allow, wished ones first; and the order."""
        rank = {name: k for k, name in enumerate(wish)}
        waits = {name: len(rows) for name, rows in before.items()}
        behind: dict[str, list[str]] = {name: [] for name in before}
        for name, rows in before.items():
            for a, _ in rows:
                behind[a].append(name)
        ready = sorted((rank.get(name, len(rank)), name) for name, count in waits.items() if not count)
        hands = [_Busy() for _ in range(self.people)]
        rooms = {p: [_Busy() for _ in range(self.places.get(p, 1))] for p in {b.place for b in self.blocks} if p}
        done: dict[str, tuple[float, int]] = {}
        order: list[str] = []
        while ready:
            block = self._by_id[heappop(ready)[1]]
            earliest = max([block.release if releases else 0.0,
                            *(done[a][0] + self._by_id[a].hours + lag for a, lag in before[block.id])])
            there = rooms.get(block.place, ())
            start, person, room = _fit(hands, there, earliest, block.hours)
            hands[person].take(start, block.hours)
            if there:
                there[room].take(start, block.hours)
            done[block.id] = (start, person)
            order.append(block.id)
            for name in behind[block.id]:
                waits[name] -= 1
                if not waits[name]:
                    heappush(ready, (rank.get(name, len(rank)), name))
        return done, order

    def _told(self, order: tuple[str, ...], done: dict[str, tuple[float, int]]) -> _Try:
        finishes: dict[str, float] = {}
        for b in self.blocks:
            finishes[b.engine] = max(finishes.get(b.engine, 0.0), done[b.id][0] + b.hours + b.lag)
        return _Try(order, done, finishes, latest_of(finishes, self.due), max(finishes.values(), default=0.0))

    def cost(self, tried: _Try) -> tuple[float, float]:
        """What is made small: first lateness beyond what lies near the bound, then the sum of the finishes."""
        beyond = max(0.0, tried.latest - self.bound - NEAR * tried.horizon)
        return round(beyond, 6), sum(tried.finishes.values()) + 0.01 * tried.latest

    def explained(self, tried: _Try) -> tuple[Placed, ...]:
        """The blocks by their start, each with why it does not begin earlier."""
        by_id = {b.id: b for b in self.blocks}
        rows = sorted(self.blocks, key=lambda b: (tried.starts[b.id][0], tried.starts[b.id][1]))
        return tuple(Placed(b, tried.starts[b.id][0], tried.starts[b.id][0] + b.hours, tried.starts[b.id][1],
                            self._why(b, by_id, tried)) for b in rows)

    def _why(self, block: Block, by_id: Mapping[str, Block], tried: _Try) -> str:
        start = tried.starts[block.id][0]
        if start <= 1e-9:
            return "can begin at once"
        for before in (by_id[a] for a in block.after):
            end = tried.starts[before.id][0] + before.hours
            if before.lag and abs(end + before.lag - start) < 1e-6:
                return f"when {before.steps[-1]} is back from outside"
            if abs(end - start) < 1e-6:
                return f"as soon as {before.steps[-1]} is done"
        if block.waits_for and abs(block.release - start) < 1e-6:
            return f"when {block.waits_for} is there"
        return self._taken(block, tried, start)

    def _taken(self, block: Block, tried: _Try, start: float) -> str:
        """Who has the place, or all the people, up to the start, and why they went first."""
        ending = [b for b in self.blocks if b.hours > 0 and abs(tried.starts[b.id][0] + b.hours - start) < 1e-6]
        for other in ending:
            if block.place and other.place == block.place:
                return f"the {block.place} is {other.engine}'s until then{self._first(other, block)}"
        if ending:
            return f"everybody is busy until {ending[0].engine}: {ending[0].steps[-1]} is done{self._first(ending[0], block)}"
        return "nobody is free earlier for so long"

    def _first(self, one: Block, other: Block) -> str:
        if one.engine == other.engine:
            return ""
        mine, theirs = self.due.get(one.engine), self.due.get(other.engine)
        if mine is not None and (theirs is None or mine < theirs):
            return f", which is promised sooner than {other.engine}"
        return "; so both engines together are done soonest"


def _fit(hands: Sequence[_Busy], rooms: Sequence[_Busy], earliest: float, hours: float) -> tuple[float, int, int]:
    """The earliest start at which one person and one place are free for so long, and which."""
    best = (float("inf"), 0, 0)
    for h, hand in enumerate(hands):
        for r, room in enumerate(rooms or [_Busy()]):
            at = earliest
            while True:
                then = room.room(hand.room(at, hours), hours)
                if abs(then - at) < 1e-9:
                    break
                at = then
            if at < best[0] - 1e-9:
                best = (at, h, r)
    return best


# -- looking for a better order ----------------------------------------------------------------------------------------

def _searched(shop: _Shop, seed: int, rounds: int) -> _Try:
    tails = _tails(shop.blocks)
    engines = list(dict.fromkeys(b.engine for b in shop.blocks))
    work = {e: sum(b.hours for b in shop.blocks if b.engine == e) for e in engines}
    rules = [sorted(shop.blocks, key=lambda b: -tails[b.id]),
             sorted(shop.blocks, key=lambda b: (shop.due.get(b.engine, 1e9), work[b.engine], b.engine, -tails[b.id])),
             sorted(shop.blocks, key=lambda b: (work[b.engine], b.engine, -tails[b.id])),
             sorted(shop.blocks, key=lambda b: shop.due.get(b.engine, 1e6) - tails[b.id])]
    tries = [shop.swung(shop.place([b.id for b in rule])) for rule in rules] + [shop.place([b.id for b in rule]) for rule in rules]
    best = min(tries, key=shop.cost)
    return _improved(shop, best.order, seed, rounds)


def _tails(blocks: Sequence[Block]) -> dict[str, float]:
    """The shortest time [h] from the start of every block to the end of its own engine."""
    engine = {b.id: b.engine for b in blocks}
    tails: dict[str, float] = {}
    behind: dict[str, float] = {}
    for b in reversed(blocks):
        tails[b.id] = b.hours + b.lag + behind.get(b.id, 0.0)
        for a in b.after:
            if engine[a] == b.engine:
                behind[a] = max(behind.get(a, 0.0), tails[b.id])
    return tails


def _improved(shop: _Shop, order: Sequence[str], seed: int, rounds: int) -> _Try:
    """The best of many orders, each the best so far with one block moved forward or a whole engine's blocks drawn ahead."""
    chance = Random(seed)  # noqa: S311 - a search, not a secret
    best = shop.place(order)
    idle = 0
    for _ in range(rounds if len(order) > 1 else 0):
        wish = list(best.order)
        for _ in range(chance.choice((1, 1, 2, 4))):
            wish.insert(chance.randrange(len(wish)), wish.pop(chance.randrange(len(wish))))
        tried = shop.place(wish)
        before, best = best, min((best, tried, shop.swung(tried)), key=shop.cost)
        idle = idle + 1 if best is before else 0
        if idle > PATIENCE:
            break
    return best
