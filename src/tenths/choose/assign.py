"""Assignment of things to places at least cost, and the next-best ones; whole numbers, so that ties are exact."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import count

from tenths.errors import BadInput

FORBIDDEN = 10**30
Costs = Sequence[Sequence[int]]


def lexicographic(goals: Sequence[Sequence[Sequence[int]]]) -> list[list[int]]:
    """One cost for several goals in order of rank.

    Args:
        goals: a table of costs of 0 or more for each goal, the most important first; rows are places.

    Returns:
        A table in which one unit of a goal outweighs all that later goals can add up to.
    """
    table = [[0] * len(row) for row in goals[0]]
    for costs in goals:
        weight = 1 + sum(max(row, default=0) for row in costs)
        table = [
            [had * weight + new for had, new in zip(old_row, row, strict=True)] for old_row, row in zip(table, costs, strict=True)
        ]
    return table


def assignment(costs: Costs) -> tuple[int, tuple[int, ...]] | None:
    """Which column each row takes, at least cost in sum.

    Args:
        costs: a row for each place, a column for each thing; no more rows than columns. FORBIDDEN rules a pair out.

    Returns:
        The sum and the column of each row, or None where every way needs a forbidden pair.

    Raises:
        BadInput: if there are more rows than columns, or rows of unlike length.

    Source: Hungarian method with shortest augmenting paths, from memory.
    """
    rows, columns = len(costs), len(costs[0]) if costs else 0
    if rows > columns or any(len(row) != columns for row in costs):
        raise BadInput(f"assignment: {rows} places and {columns} things; at least one thing for each place is needed")
    row_price, column_price = [0] * (rows + 1), [0] * (columns + 1)
    taken = [0] * (columns + 1)  # row that holds each column, counted from 1; column 0 is where a row starts
    for row in range(1, rows + 1):
        taken[0] = row
        _augment(costs, row_price, column_price, taken)
    picks = [0] * rows
    for column in range(1, columns + 1):
        if taken[column]:
            picks[taken[column] - 1] = column - 1
    total = sum(costs[r][c] for r, c in enumerate(picks))
    return None if total >= FORBIDDEN else (total, tuple(picks))


def _augment(costs: Costs, row_price: list[int], column_price: list[int], taken: list[int]) -> None:
    """Bring one more row in along the cheapest alternating path."""
    columns = len(column_price) - 1
    way, least = [0] * (columns + 1), [FORBIDDEN * FORBIDDEN] * (columns + 1)
    done = [False] * (columns + 1)
    here = 0
    while taken[here]:
        done[here] = True
        row, step, following = taken[here], FORBIDDEN * FORBIDDEN, 0
        for column in range(1, columns + 1):
            if done[column]:
                continue
            reduced = costs[row - 1][column - 1] - row_price[row] - column_price[column]
            if reduced < least[column]:
                least[column], way[column] = reduced, here
            if least[column] < step:
                step, following = least[column], column
        for column in range(columns + 1):
            if done[column]:
                row_price[taken[column]] += step
                column_price[column] -= step
            else:
                least[column] -= step
        here = following
    while here:
        taken[here] = taken[way[here]]
        here = way[here]


def ranked_assignments(costs: Costs, number: int) -> list[tuple[int, tuple[int, ...]]]:
    """The best assignments in order.

    Args:
        costs: as for assignment.
        number: how many are wanted.

    Returns:
        At most so many, each different, best first.

    Raises:
        BadInput: as for assignment.

    Source: Murty's partition of what is left, from memory.
    """
    ties = count()
    heap: list[tuple[int, int, tuple[int, ...], list[list[int]], int]] = []
    _push(heap, ties, [list(row) for row in costs], 0)
    found: list[tuple[int, tuple[int, ...]]] = []
    while heap and len(found) < number:
        total, _, picks, table, settled = heappop(heap)
        found.append((total, picks))
        for row in range(settled, len(picks)):
            rest = [list(each) for each in table]
            for earlier in range(settled, row):
                rest[earlier] = [c if j == picks[earlier] else FORBIDDEN for j, c in enumerate(rest[earlier])]
            rest[row][picks[row]] = FORBIDDEN
            _push(heap, ties, rest, row)
    return found


def _push(
    heap: list[tuple[int, int, tuple[int, ...], list[list[int]], int]],
    ties: count[int],
    table: list[list[int]],
    settled: int,
) -> None:
    best = assignment(table)
    if best is not None:
        heappush(heap, (best[0], next(ties), best[1], table, settled))
