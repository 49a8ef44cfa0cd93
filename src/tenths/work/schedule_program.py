"""The schedule as an integer program in whole steps of time, hours rounded down: a bound for every schedule, and an order."""

from collections.abc import Mapping, Sequence
from math import ceil, floor

from tenths.work.blocks import Block

MOST = 8000  # blocks times steps of time that the program may have: beyond, steps are made longer


def solved(blocks: Sequence[Block], people: int, due: Mapping[str, float], places: Mapping[str, int], horizon: float,
           time_limit: float) -> tuple[list[str], float]:
    """An order of blocks, best first to last (empty when none was found in time), and a lower bound of the greatest lateness.

    Every start of a real schedule, rounded down to whole steps, is a start in this program: hours, lags and releases are
    rounded down too, so that waits hold and nobody is at two places. So its least lateness, and any bound of it, lies below.
    """
    import numpy as np  # noqa: PLC0415 - only the program needs it
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - the same

    step = max(0.5, ceil(len(blocks) * horizon / MOST * 2) / 2)
    program = _Program(blocks, people, due, places, step, ceil(horizon / step) + 1)
    rows = LinearConstraint(program.matrix(), -np.inf, np.array(program.right))  # pyright: ignore[reportArgumentType] - an array is taken
    bounds = Bounds(np.array(program.lower()), np.array(program.upper()))  # pyright: ignore[reportArgumentType] - the same
    found = milp(program.cost(), constraints=rows, integrality=program.whole(), bounds=bounds,
                 options={"time_limit": time_limit, "mip_rel_gap": 0.01})
    bound = getattr(found, "mip_dual_bound", None)
    below = float(bound) if bound is not None and np.isfinite(bound) else float("-inf")
    order = program.order(found.x) if found.x is not None else []
    return order, below


class _Program:
    """Columns: start of a block at a step of time, and the greatest lateness. Rows: all as `<=`."""

    def __init__(self, blocks: Sequence[Block], people: int, due: Mapping[str, float], places: Mapping[str, int], step: float,
                 periods: int) -> None:
        self.blocks, self.step, self.periods, self.due = blocks, step, periods, due
        self.column = {b.id: k * periods for k, b in enumerate(blocks)}
        self.latest = len(blocks) * periods
        self.columns = self.latest + 1
        self.entries: list[tuple[int, int, float]] = []
        self.right: list[float] = []
        self._starts_once()
        self._waits()
        self._not_more_than(list(blocks), people)
        for place in dict.fromkeys(b.place for b in blocks if b.place):
            self._not_more_than([b for b in blocks if b.place == place], places.get(place, 1))
        self._ends()

    def _row(self, entries: Sequence[tuple[int, float]], right: float) -> None:
        self.entries += [(len(self.right), column, value) for column, value in entries]
        self.right.append(right)

    def _periods(self, hours: float) -> int:
        return floor(hours / self.step + 1e-9)

    def _starts_once(self) -> None:
        for b in self.blocks:
            columns = range(self.column[b.id], self.column[b.id] + self.periods)
            self._row([(c, 1.0) for c in columns], 1.0)
            self._row([(c, -1.0) for c in columns], -1.0)

    def _waits(self) -> None:
        """Up to every time, no more of the next has begun than of the one before, its hours and its lag earlier."""
        by_id = {b.id: b for b in self.blocks}
        for b in self.blocks:
            for a in (by_id[name] for name in b.after):
                apart = self._periods(a.hours + a.lag)
                for t in range(self.periods):
                    begun = [(self.column[b.id] + k, 1.0) for k in range(t + 1)]
                    before = [(self.column[a.id] + k, -1.0) for k in range(max(0, t - apart + 1))]
                    self._row([*begun, *before], 0.0)

    def _not_more_than(self, rows: Sequence[Block], count: int) -> None:
        for t in range(self.periods):
            busy = [(self.column[b.id] + k, 1.0) for b in rows for k in range(max(0, t - self._periods(b.hours) + 1), t + 1)]
            if len(busy) > count:
                self._row(busy, float(count))

    def _ends(self) -> None:
        """The greatest lateness is no less than that of any block."""
        for b in self.blocks:
            long = self._periods(b.hours + b.lag)
            ends = [(self.column[b.id] + t, (t + long) * self.step) for t in range(self.periods)]
            self._row([*ends, (self.latest, -1.0)], self.due.get(b.engine, 0.0))

    def cost(self) -> list[float]:
        """What each column costs."""
        return [0.0] * self.latest + [1.0]

    def whole(self) -> list[int]:
        """1 for columns that are whole numbers."""
        return [1] * self.latest + [0]

    def lower(self) -> list[float]:
        """The least that each column may be: engines may be early."""
        return [0.0] * self.latest + [float("-inf")]

    def upper(self) -> list[float]:
        """The most that each column may be; a block does not begin before its parts are there."""
        most = [1.0] * self.latest + [float("inf")]
        for b in self.blocks:
            for t in range(min(self._periods(b.release), self.periods)):
                most[self.column[b.id] + t] = 0.0
        return most

    def matrix(self) -> object:
        """The rows as a sparse matrix."""
        from scipy.sparse import coo_matrix  # noqa: PLC0415 - only the program needs it

        rows, columns, values = zip(*self.entries, strict=True)
        return coo_matrix((values, (rows, columns)), shape=(len(self.right), self.columns)).tocsr()

    def order(self, x: Sequence[float]) -> list[str]:
        """The blocks by their start in a solution."""
        starts = {b.id: sum(t * x[self.column[b.id] + t] for t in range(self.periods)) for b in self.blocks}
        return sorted(starts, key=lambda name: starts[name])
