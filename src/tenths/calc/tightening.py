"""The order in which the fasteners of a pattern are tightened, and the steps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tenths.calc._check import positive
from tenths.errors import BadInput, OutOfRange


def middle_out_sequence(*, places: Sequence[tuple[float, float]]) -> tuple[int, ...]:
    """Order for a head or cap row: from the middle out, each one as far across from the last as may be.

    Args:
        places: of the fasteners in the face, each (along, across) [m].

    Returns:
        Indices of the places [-] in the order of tightening.

    Raises:
        BadInput: if there is no place, or two are the same.

    Validity: rows about one middle; the maker's own sequence comes first.
    Source: common practice, no source.
    """
    if not places or len({tuple(place) for place in places}) != len(places):
        raise BadInput(f"places are {len(places)}: one or more, all different, are needed")
    middle = tuple(math.fsum(place[i] for place in places) / len(places) for i in (0, 1))
    reach = max(math.dist(place, middle) for place in places) or 1.0
    rings: dict[int, list[int]] = {}
    for index, place in enumerate(places):
        # fasteners within a twentieth of the pattern's reach are equally far out: castings are not drawn by computer
        rings.setdefault(round(math.dist(place, middle) / reach * 20), []).append(index)
    order: list[int] = []
    for ring in sorted(rings):
        left = rings[ring]
        while left:
            last = places[order[-1]] if order else middle
            following = max(left, key=lambda i: (round(math.dist(places[i], last), 9), -i))
            order.append(following)
            left.remove(following)
    return tuple(order)


def circle_sequence(*, count: int) -> tuple[int, ...]:
    """Order for a circle of fasteners: crosswise, each pair as far as may be from those before.

    Args:
        count: of fasteners, numbered round from 0 [-].

    Returns:
        Indices [-] in the order of tightening.

    Raises:
        OutOfRange: if there is none.

    Validity: evenly spaced circle; the maker's own sequence comes first.
    Source: common practice, no source.
    """
    if count < 1:
        raise OutOfRange(f"count is {count}: 1 or more is needed")
    order = [0]
    left = list(range(1, count))
    while left:
        last = order[-1]
        across = max(left, key=lambda i: (_apart(i, last, count), _nearest(i, order, count), -i))
        if len(order) % 2 == 0:  # a new pair starts in the widest gap
            across = max(left, key=lambda i: (_nearest(i, order, count), _apart(i, last, count), -i))
        order.append(across)
        left.remove(across)
    return tuple(order)


def _apart(one: int, other: int, count: int) -> int:
    return min((one - other) % count, (other - one) % count)


def _nearest(one: int, others: Sequence[int], count: int) -> int:
    return min(_apart(one, other, count) for other in others)


def torque_steps(*, torque: float, shares: Sequence[float] = (0.5, 0.75, 1.0)) -> tuple[float, ...]:
    """Torques of the rounds in which a pattern is tightened.

    Args:
        torque: of the last round [N m].
        shares: of each round [-], rising to 1.

    Returns:
        The torques [N m].

    Raises:
        OutOfRange: if the torque is not above 0.
        BadInput: if the shares do not rise to 1.

    Validity: any pattern; the maker's own steps come first.
    Source: common practice, no source.
    """
    positive(torque=torque)
    if not shares or list(shares) != sorted(set(shares)) or shares[0] <= 0.0 or shares[-1] != 1.0:
        raise BadInput(f"shares are {list(shares)}: they must be above 0 and rise to 1")
    return tuple(share * torque for share in shares)
