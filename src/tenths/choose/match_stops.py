"""What keeps pistons from going into holes, and the smallest change that frees it."""

from __future__ import annotations

from collections.abc import Sequence

from tenths.choose.answer import Stop
from tenths.choose.assign import FORBIDDEN, assignment
from tenths.choose.match_parts import Cylinder, Piston
from tenths.choose.words import System, worked

_QUANTUM = 1e-9


def violation(cylinder: Cylinder, piston: Piston) -> tuple[float, str]:
    """By how much a piston does not go into a hole, however it is honed.

    Args:
        cylinder: the hole.
        piston: that might go in.

    Returns:
        How much is missing [m], 0 where it goes, and which limit stops it: "loose" or "tight".
    """
    room = cylinder.bore.value - piston.skirt.value
    loose, tight = room - cylinder.upper, cylinder.lower - room - cylinder.most_honed
    return max(0.0, loose, tight), "loose" if loose >= tight else "tight"


def matching_stop(cylinders: Sequence[Cylinder], pistons: Sequence[Piston], system: System) -> Stop | None:
    """The place that stops every matching, with the least change that frees it.

    Args:
        cylinders: the holes.
        pistons: that might go in.
        system: of units, for the words.

    Returns:
        The stop, or None where the pistons can be placed.
    """
    table = [[violation(c, p)[0] for p in pistons] for c in cylinders]
    if _placed(table, _QUANTUM) is not None:
        return None
    # the least amount by which all limits would have to give: no smaller one frees it
    steps = sorted({v for row in table for v in row if v > _QUANTUM})
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high) // 2
        if _placed(table, steps[middle]) is None:
            low = middle + 1
        else:
            high = middle
    change = steps[high]
    picks = _placed(table, change)
    assert picks is not None  # noqa: S101 - with all limits given way far enough, every piston goes anywhere
    at = max(range(len(cylinders)), key=lambda h: table[h][picks[h]])
    return _words(cylinders[at], violation(cylinders[at], pistons[picks[at]])[1], change, pistons[picks[at]].id, system)


def _placed(table: Sequence[Sequence[float]], allowed: float) -> tuple[int, ...] | None:
    """A placing in which nothing is missing by more, and as little as possible in all; None where there is none."""
    found = assignment([[FORBIDDEN if v > allowed + 1e-12 else round(v * 1e12) for v in row] for row in table])
    return None if found is None else found[1]


def _words(cylinder: Cylinder, how: str, change: float, piston: str, system: System) -> Stop:
    by = worked(change, system)
    if how == "loose":
        limit = f"largest piston to wall clearance {worked(cylinder.upper, system)}"
        words = (f"{cylinder.station}: the best that can be had is {piston}, {by} looser than the {limit}. Freed by a piston "
                 f"larger by {by}, or by {by} more allowed.")
    else:
        limit = f"most honing {worked(cylinder.most_honed, system)}"
        words = (f"{cylinder.station}: for the best that can be had, {piston}, the hole is {by} too tight even after the {limit}. "
                 f"Freed by {by} more honing allowed, or a piston smaller by {by}.")
    return Stop(cylinder.station, limit, words, change)
