"""The search for pairs of halves as a mixed-integer program."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tenths.choose.highs import OutOfTimeError, Program
from tenths.choose.pairing import NOTHING, Picks, Task


def solve(
    task: Task,
    lists: Sequence[Sequence[int]],
    opened: int | None,
    without: Iterable[Picks],
    *,
    costly: bool,
    seconds: float,
) -> tuple[int, Picks] | None:
    """One pair for each place from its list, within what each class and the boxes hold.

    Args:
        task: places, halves and boxes.
        lists: indices of the pairs allowed at each place.
        opened: how many sealed boxes may be opened; None means all.
        without: answers that are not wanted.
        costly: least sum of deviations, or any answer.
        seconds: after which the solver gives up.

    Returns:
        Sum of the deviations [0.1 nm] (0 unless costly) and the index of the pair at each place, or None.

    Raises:
        OutOfTimeError: if the solver gave up.
    """
    program = Program()
    largest = max((abs(task.places[p][i].deviation) for p, each in enumerate(lists) for i in each), default=0) or 1
    columns = {
        (place, index): program.variable(
            cost=abs(task.places[place][index].deviation) / largest if costly else 0.0, high=1.0, whole=True
        )
        for place, each in enumerate(lists)
        for index in each
    }
    _limit(program, task, columns, sum(boxes.count for boxes in task.boxes) if opened is None else opened)
    for picks in without:
        chosen = [columns[each] for each in enumerate(picks) if each in columns]
        if len(chosen) == len(lists):
            program.row([(column, 1.0) for column in chosen], high=len(lists) - 1.0)
    found = program.solve(seconds=seconds)
    if found is None:
        return None
    if not found.proven:
        raise OutOfTimeError("HiGHS found an answer but could not prove it best in time")
    picks = {place: index for (place, index), column in columns.items() if found.values[column] > 0.5}
    spent = sum(abs(task.places[p][i].deviation) for p, i in picks.items()) if costly else 0
    return spent, tuple(picks[place] for place in range(len(lists)))


def _limit(program: Program, task: Task, columns: dict[tuple[int, int], int], opened: int) -> None:
    """One pair a place, no more halves of a class than there are, and so many boxes."""
    at_place: dict[int, list[tuple[int, float]]] = {place: [] for place in range(len(task.places))}
    of_class: dict[int, list[tuple[int, float]]] = {kind: [] for kind in range(len(task.loose))}
    for (place, index), column in columns.items():
        pair = task.places[place][index]
        at_place[place].append((column, 1.0))
        for kind in (pair.upper, pair.lower):
            if kind != NOTHING:
                of_class[kind].append((column, 1.0))
    boxes = [program.variable(high=float(each.count), whole=True) for each in task.boxes]
    for number, each in zip(boxes, task.boxes, strict=True):
        for kind, halves in each.content:
            of_class[kind].append((number, -float(halves)))
    for terms in at_place.values():
        program.row(terms, low=1.0, high=1.0)
    for kind, terms in of_class.items():
        if terms:
            program.row(terms, high=float(task.loose[kind]))
    if boxes:
        program.row([(number, 1.0) for number in boxes], high=float(opened))
