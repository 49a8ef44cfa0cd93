"""How far apart values must come at least, by the parts that are left: what lets a search for a matching stop early.

Of any q values, one comes to no more than their average. So the least of all is at most the q least of one kind with the
q largest of every other, divided by q, and the largest is at least the q largest of one kind with the q least of every
other, for every q and every kind of which all are used.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Wholes = NDArray[np.int64]
    Ends = tuple[Floats, Floats]


def sums_left(values: Floats, holes: int) -> Floats:
    """Sums of the 1, 2, 3 ... largest of the parts left, for every set of parts gone.

    Args:
        values: of the parts.
        holes: how many sums are wanted.

    Returns:
        Table (set gone as bits, number less 1); minus infinity where fewer are left.
    """
    order = np.argsort(-values, kind="stable")
    masks: Wholes = np.arange(1 << len(values), dtype=np.int64)
    free = (masks[:, None] >> order) & 1 == 0
    running = np.cumsum(np.where(free, values[order], 0.0), axis=1)
    rank = np.cumsum(free, axis=1)
    sums = np.full((len(masks), holes), -np.inf)
    for count in range(1, min(holes, len(values)) + 1):
        enough = rank[:, -1] >= count
        sums[enough, count - 1] = running[enough, (rank[enough] >= count).argmax(axis=1)]
    return sums


def volume_ends(base: Floats, pistons: Floats, rods: Floats) -> Callable[[Wholes, Wholes, int], Ends]:
    """Bounds of the sums of the holes not yet filled.

    Args:
        base: of each hole, in the order of filling.
        pistons: what each adds in each hole.
        rods: what each adds in each hole.

    Returns:
        A function of the pistons gone, the rods gone and the first hole left: what the least of those sums is at most,
        and the largest at least.
    """
    holes = len(base)
    tables = (pistons, rods)
    # the most, and the least, that a part can add in any hole
    most = [sums_left(t.max(axis=0), holes) for t in tables], [-sums_left(-t.min(axis=0), holes) for t in tables]
    forced = [
        (-sums_left(-t.max(axis=0), holes), sums_left(t.min(axis=0), holes)) if t.shape[1] == holes else None for t in tables
    ]

    def ends(gone_pistons: Wholes, gone_rods: Wholes, first: int) -> Ends:
        left = holes - first
        size = (len(gone_pistons), 1)
        if not left:
            return np.full(size[0], np.inf), np.full(size[0], -np.inf)
        counts = np.arange(1, left + 1)
        up, down = np.cumsum(np.sort(base[first:])), np.cumsum(np.sort(base[first:])[::-1])
        gone = (gone_pistons, gone_rods)
        large = [most[0][k][gone[k], :left] for k in range(2)]
        small = [most[1][k][gone[k], :left] for k in range(2)]
        lows: list[Floats] = [up + large[0] + large[1]]
        highs: list[Floats] = [down + small[0] + small[1]]
        for kind, pair in enumerate(forced):
            if pair is not None:
                lows.append(down + pair[0][gone[kind], :left] + large[1 - kind])
                highs.append(up + pair[1][gone[kind], :left] + small[1 - kind])
        least: Floats = np.min(np.stack(lows) / counts, axis=(0, 2))
        return least, np.max(np.stack(highs) / counts, axis=(0, 2))

    return ends


def mass_ends(pistons: Floats, rods: Floats, pins: Floats) -> Callable[[Wholes, Wholes, Floats], Ends]:
    """Bounds of the masses of all holes, with the pins free to go anywhere.

    Args:
        pistons: mass of each.
        rods: mass of each.
        pins: mass of each; as many as holes.

    Returns:
        A function of the pistons gone, the rods gone and the masses of piston with rod so far, of shape (state, hole):
        what the least mass is at most, and the largest at least.
    """
    holes = len(pins)
    up, down = np.cumsum(np.sort(pins)), np.cumsum(np.sort(pins)[::-1])
    tables = (pistons, rods)
    large = [sums_left(values, holes) for values in tables]
    small = [-sums_left(-values, holes) for values in tables]
    whole = [len(values) == holes for values in tables]

    def ends(gone_pistons: Wholes, gone_rods: Wholes, pairs: Floats) -> Ends:
        filled = pairs.shape[1]
        counts: Wholes = np.arange(1, filled + 1, dtype=np.int64)
        ranked = np.sort(pairs, axis=1)
        low: Floats = np.min((np.cumsum(ranked, axis=1) + down[:filled]) / counts, axis=1)
        high: Floats = np.max((np.cumsum(ranked[:, ::-1], axis=1) + up[:filled]) / counts, axis=1)
        left = holes - filled
        if left:
            counts = np.arange(1, left + 1, dtype=np.int64)
            gone = (gone_pistons, gone_rods)
            for kind in range(2):
                if whole[kind]:
                    this, other = gone[kind], gone[1 - kind]
                    least = small[kind][this, :left] + large[1 - kind][other, :left] + down[:left]
                    most = large[kind][this, :left] + small[1 - kind][other, :left] + up[:left]
                    low = np.minimum(low, np.min(least / counts, axis=1))
                    high = np.maximum(high, np.max(most / counts, axis=1))
            if all(whole):
                average = (pistons.sum() + rods.sum() + pins.sum()) / holes
                low, high = np.minimum(low, average), np.maximum(high, average)
        return low, high

    return ends
