"""Tightening: torque and preload, lubricants, scatter, and the order and steps of a pattern."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.calc.threads import HALF_FLANK, Thread
from tenths.errors import BadInput, OutOfRange


def head_friction_radius(*, outside: float, inside: float) -> float:
    """Mean radius of the face on which a head or nut turns.

    Args:
        outside: diameter of the bearing face [m].
        inside: diameter of the hole, or of the face's inner edge [m].

    Returns:
        The radius [m].

    Raises:
        OutOfRange: unless 0 < inside < outside.

    Validity: flat face.
    Source: [VDI2230] mean of the two diameters, halved; from memory.
    """
    positive(outside=outside, inside=inside)
    if inside >= outside:
        raise OutOfRange(f"inside is {inside:g}: less than the outside, {outside:g} m, is accepted")
    return (outside + inside) / 4


@dataclass(frozen=True, slots=True)
class TorqueSplit:
    """Where the torque of a wrench goes.

    Attributes:
        pitch: stretches the bolt [N m].
        thread: rubs in the thread [N m].
        head: rubs under the head or nut [N m].
    """

    pitch: float
    thread: float
    head: float

    @property
    def total(self) -> float:
        """Torque at the wrench [N m]."""
        return self.pitch + self.thread + self.head


def torque_for_preload(
    *, preload: float, thread: Thread, thread_friction: float, head_friction: float, head_radius: float
) -> TorqueSplit:
    """Tightening torque for a preload.

    Args:
        preload: tension of the bolt [N].
        thread: of the bolt.
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under what is turned [-].
        head_radius: mean radius of the face under it [m].

    Returns:
        The three parts of the torque [N m].

    Raises:
        OutOfRange: if the preload or a coefficient is negative, a coefficient above 1, or the radius not above 0.

    Validity: 60 degree thread, lead angle small, turned steadily.
    Source: Eq. of [Motosh], same split in [ISO16047] and [VDI2230]; from memory.
    """
    not_negative(preload=preload)
    within(0.0, 1.0, thread_friction=thread_friction, head_friction=head_friction)
    positive(head_radius=head_radius)
    return TorqueSplit(
        pitch=preload * thread.pitch / math.tau,
        thread=preload * thread_friction * thread.pitch_diameter / 2 / math.cos(HALF_FLANK),
        head=preload * head_friction * head_radius,
    )


def preload_from_torque(
    *, torque: float, thread: Thread, thread_friction: float, head_friction: float, head_radius: float
) -> float:
    """Preload that a tightening torque brings.

    Args:
        torque: at the wrench [N m].
        thread: of the bolt.
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under what is turned [-].
        head_radius: mean radius of the face under it [m].

    Returns:
        The preload [N].

    Raises:
        OutOfRange: as torque_for_preload.

    Validity: as torque_for_preload, and the bolt stays elastic.
    Source: Eq. of [Motosh], turned round; from memory.
    """
    not_negative(torque=torque)
    one = torque_for_preload(
        preload=1.0,
        thread=thread,
        thread_friction=thread_friction,
        head_friction=head_friction,
        head_radius=head_radius,
    )
    return torque / one.total


@dataclass(frozen=True, slots=True)
class Swap:
    """What another lubricant changes.

    Attributes:
        same_torque_preload: preload at the old torque with the new lubricant [N].
        same_preload_torque: torque that brings the old preload with the new lubricant [N m].
        ratio: new over old preload at the same torque [-].
    """

    same_torque_preload: float
    same_preload_torque: float
    ratio: float


def lubricant_swap(
    *,
    torque: float,
    thread: Thread,
    head_radius: float,
    old_thread_friction: float,
    old_head_friction: float,
    new_thread_friction: float,
    new_head_friction: float,
) -> Swap:
    """Preload and torque when the lubricant is not the one that the torque was given for.

    Args:
        torque: that was given for the old lubricant [N m].
        thread: of the bolt.
        head_radius: mean radius of the face under what is turned [m].
        old_thread_friction: coefficient in the thread [-].
        old_head_friction: coefficient under what is turned [-].
        new_thread_friction: the same with the new lubricant [-].
        new_head_friction: the same with the new lubricant [-].

    Returns:
        Preload [N] and torque [N m] with the new lubricant.

    Raises:
        OutOfRange: as torque_for_preload.

    Validity: as torque_for_preload.
    Source: Eq. of [Motosh], used twice; from memory.
    """
    old = preload_from_torque(
        torque=torque,
        thread=thread,
        thread_friction=old_thread_friction,
        head_friction=old_head_friction,
        head_radius=head_radius,
    )
    new = preload_from_torque(
        torque=torque,
        thread=thread,
        thread_friction=new_thread_friction,
        head_friction=new_head_friction,
        head_radius=head_radius,
    )
    ratio = new / old if old else 1.0
    return Swap(new, torque / ratio, ratio)


@dataclass(frozen=True, slots=True)
class PreloadScatter:
    """How far a preload may be from what was meant, and why; all relative standard uncertainties.

    Attributes:
        wrench: from the wrench [-].
        thread: from the friction in the thread [-].
        head: from the friction under the head [-].
    """

    wrench: float
    thread: float
    head: float

    @property
    def total(self) -> float:
        """All causes together, as if they knew nothing of each other [-]."""
        return math.hypot(self.wrench, self.thread, self.head)


def preload_scatter(
    *,
    thread: Thread,
    thread_friction: float,
    head_friction: float,
    head_radius: float,
    torque_doubt: float,
    thread_friction_doubt: float,
    head_friction_doubt: float,
) -> PreloadScatter:
    """Scatter of the preload that a torque brings.

    Args:
        thread: of the bolt.
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under what is turned [-].
        head_radius: mean radius of the face under it [m].
        torque_doubt: standard uncertainty of the wrench over its reading [-].
        thread_friction_doubt: standard uncertainty of the coefficient [-].
        head_friction_doubt: standard uncertainty of the coefficient [-].

    Returns:
        Relative standard uncertainty of the preload by cause [-].

    Raises:
        OutOfRange: as torque_for_preload, or if a doubt is negative.

    Validity: to the first order: doubts small beside the coefficients.
    Source: [JCGM100] clause 5.1 on the equation of [Motosh]; from memory.
    """
    not_negative(
        torque_doubt=torque_doubt,
        thread_friction_doubt=thread_friction_doubt,
        head_friction_doubt=head_friction_doubt,
    )
    one = torque_for_preload(
        preload=1.0,
        thread=thread,
        thread_friction=thread_friction,
        head_friction=head_friction,
        head_radius=head_radius,
    )
    in_thread = thread.pitch_diameter / 2 / math.cos(HALF_FLANK) / one.total
    return PreloadScatter(torque_doubt, in_thread * thread_friction_doubt, head_radius / one.total * head_friction_doubt)


def preload_at_yield_share(*, thread: Thread, yields: float, thread_friction: float, share: float = 0.9) -> float:
    """Preload at which tension and twist together use a share of the bolt's yield strength.

    Args:
        thread: of the bolt.
        yields: yield strength [Pa].
        thread_friction: coefficient in the thread, least one expected [-].
        share: of the yield strength [-].

    Returns:
        The preload [N].

    Raises:
        OutOfRange: if the strength is not above 0, the friction not 0 to 1, or the share not 0 to 1.

    Validity: bolt whose thread is its thinnest part, tightened by turning.
    Source: [VDI2230] assembly preload from the equivalent stress, from memory.
    """
    positive(yields=yields, share=share)
    within(0.0, 1.0, thread_friction=thread_friction, share=share)
    d2 = thread.pitch_diameter
    d0 = (d2 + thread.root_diameter) / 2
    twist = 1.5 * d2 / d0 * (thread.pitch / (math.pi * d2) + 1.155 * thread_friction)
    return share * yields * math.pi / 4 * d0 * d0 / math.sqrt(1 + 3 * twist * twist)


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
