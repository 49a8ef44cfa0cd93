"""Mixed-integer linear programs, solved and proven by HiGHS through scipy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib import import_module
from typing import TYPE_CHECKING, Any

import numpy as np

from tenths.errors import TenthsError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

INFINITE = float("inf")
_OPTIMAL, _LIMIT, _INFEASIBLE = 0, 1, 2


class OutOfTimeError(TenthsError):
    """The solver stopped before it could tell."""


@dataclass(slots=True)
class Program:
    """A program that is put together variable by variable and row by row.

    Attributes:
        cost: of each variable.
        low: smallest value of each variable.
        high: largest value of each variable.
        whole: 1 for each variable that is a whole number, else 0.
    """

    cost: list[float] = field(default_factory=list[float])
    low: list[float] = field(default_factory=list[float])
    high: list[float] = field(default_factory=list[float])
    whole: list[int] = field(default_factory=list[int])
    _entries: tuple[list[int], list[int], list[float]] = field(default_factory=lambda: ([], [], []))
    _row_low: list[float] = field(default_factory=list[float])
    _row_high: list[float] = field(default_factory=list[float])

    def variable(self, *, cost: float = 0.0, low: float = 0.0, high: float = INFINITE, whole: bool = False) -> int:
        """Add a variable.

        Args:
            cost: per unit.
            low: smallest value.
            high: largest value.
            whole: whether it is a whole number.

        Returns:
            Its number.
        """
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, terms: Sequence[tuple[int, float]], *, low: float = -INFINITE, high: float = INFINITE) -> None:
        """Add a constraint on a weighted sum of variables.

        Args:
            terms: variable and factor; factors of the same variable add up.
            low: smallest value of the sum.
            high: largest value of the sum.
        """
        number = len(self._row_low)
        for variable, factor in terms:
            self._entries[0].append(number)
            self._entries[1].append(variable)
            self._entries[2].append(factor)
        self._row_low.append(low)
        self._row_high.append(high)

    def solve(self, *, seconds: float = 10.0, gap: float = 0.0) -> Solved | None:
        """The cheapest values.

        Args:
            seconds: after which the solver gives up proving.
            gap: relative gap [-] at which it may stop.

        Returns:
            What was found, or None when there is no answer.

        Raises:
            OutOfTimeError: if time ran out before there was any answer.
        """
        optimize: Any = import_module("scipy.optimize")  # it costs more than most answers, so only where it is needed
        sparse: Any = import_module("scipy.sparse")
        rows, columns, factors = self._entries
        matrix = sparse.csr_array((factors, (rows, columns)), shape=(len(self._row_low), len(self.cost)))
        found = optimize.milp(
            np.array(self.cost),
            constraints=optimize.LinearConstraint(matrix, self._row_low, self._row_high),
            bounds=optimize.Bounds(self.low, self.high),
            integrality=np.array(self.whole),
            options={"time_limit": seconds, "mip_rel_gap": gap},
        )
        if found.status == _INFEASIBLE:
            return None
        if found.x is None or found.status not in {_OPTIMAL, _LIMIT}:
            raise OutOfTimeError(f"HiGHS: {found.message}")
        cost = float(found.fun)
        bound = cost if not any(self.whole) or found.mip_dual_bound is None else float(found.mip_dual_bound)
        return Solved(found.x, cost, bound, proven=found.status == _OPTIMAL)


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver found.

    Attributes:
        values: of each variable.
        cost: of them.
        bound: no answer costs less than this.
        proven: whether no answer is cheaper.
    """

    values: Floats
    cost: float
    bound: float
    proven: bool
