"""Rod and rod bolts at speed: the pull at overlap top dead centre, preload, fatigue, close-in of the big end."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import OutOfRange


def pull_at_top(
    *,
    reciprocating: float,
    rotating_above_split: float,
    stroke: float,
    rod_length: float,
    speed: float,
    gas_force: float = 0.0,
) -> float:
    """Pull on the rod's parting line at top dead centre of the overlap.

    Args:
        reciprocating: piston, pin, rings, locks and the rod's small-end mass [kg].
        rotating_above_split: the rod's big-end mass less cap, lower shell and what of the bolts is in them [kg].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        speed: of the crank [rad/s].
        gas_force: on the piston towards the crank, which eases the pull [N].

    Returns:
        The pull that all bolts of the rod share [N].

    Raises:
        OutOfRange: if a mass or size is not above 0 (the rotating mass and the speed may be 0) or the rod too short.

    Validity: no pin offset, steady speed, rod split square to its length.
    Source: closed form, r w^2 (1 + r/l) for what reciprocates and r w^2 for what turns.
    """
    positive(reciprocating=reciprocating, stroke=stroke, rod_length=rod_length)
    not_negative(rotating_above_split=rotating_above_split, speed=speed)
    radius = stroke / 2
    if rod_length <= radius:
        raise OutOfRange(f"rod_length is {rod_length:g}: more than half the stroke is needed")
    inertia = radius * speed * speed * (reciprocating * (1 + radius / rod_length) + rotating_above_split)
    return inertia - gas_force


@dataclass(frozen=True, slots=True)
class BoltedJoint:
    """A rod bolt over one turn.

    Attributes:
        clamp_left: force that still holds the cap on when the pull is greatest [N]; at 0 or below the joint has opened.
        preload_needed: least preload that keeps the joint closed with the margin asked for [N].
        largest: tension of the bolt when the pull is greatest [N].
        mean: stress in the stress area over the turn, in the middle [Pa].
        amplitude: half the swing of the stress [Pa].
    """

    clamp_left: float
    preload_needed: float
    largest: float
    mean: float
    amplitude: float


def bolted_joint(*, preload: float, pull: float, share: float, stress_area: float, margin: float = 1.5) -> BoltedJoint:
    """Clamp that is left, and what the bolt feels.

    Args:
        preload: of one bolt as tightened [N].
        pull: greatest pull on one bolt's share of the parting line [N].
        share: part of the pull that the bolt feels while the joint is closed [-].
        stress_area: of the bolt's thinnest part [m2].
        margin: how many times the pull the joint must hold before it opens [-].

    Returns:
        Forces [N] and stresses [Pa].

    Raises:
        OutOfRange: if preload or pull is negative, the share not 0 to 1, the area not above 0 or the margin below 1.

    Validity: pull along the bolt (a pull that also bends the cap adds stress), elastic.
    Source: [Shigley] section on tension joints, the external load; the margin is common practice, no source.
    """
    not_negative(preload=preload, pull=pull)
    within(0.0, 1.0, share=share)
    positive(stress_area=stress_area)
    if not 1.0 <= margin < math.inf:
        raise OutOfRange(f"margin is {margin:g}: 1 or more is needed")
    clamp = preload - (1 - share) * pull
    # an open joint leaves the whole pull to the bolt
    largest = preload + share * pull if clamp > 0.0 else pull
    return BoltedJoint(
        clamp_left=clamp,
        preload_needed=(1 - share) * margin * pull,
        largest=largest,
        mean=(largest + preload) / 2 / stress_area,
        amplitude=(largest - preload) / 2 / stress_area,
    )


def endurance_amplitude(*, diameter: float, mean_share: float | None = None) -> float:
    """Stress amplitude that a high-strength bolt's rolled thread bears for ever.

    Args:
        diameter: outside diameter of the thread [m].
        mean_share: mean tension over the load at its 0.2 per cent limit [-] for threads rolled after heat treatment;
            None for threads rolled before it.

    Returns:
        The amplitude [Pa].

    Raises:
        OutOfRange: if the diameter is not 4 to 40 mm or the share not 0.3 to 1.

    Validity: ISO metric threads, classes 8.8 to 12.9, 2 million cycles or more.
    Source: [VDI2230] endurance limit sigma_ASV = 0.85 (150/d + 45), sigma_ASG = (2 - share) sigma_ASV; from memory.
    """
    within(0.004, 0.040, diameter=diameter)
    before = 0.85 * (150.0 / (diameter * 1e3) + 45.0) * 1e6
    if mean_share is None:
        return before
    within(0.3, 1.0, mean_share=mean_share)
    return (2.0 - mean_share) * before


def fatigue_margin(*, amplitude: float, mean: float, endurance: float, tensile: float) -> float:
    """How many times mean and amplitude together may grow before a part tires, on a straight line to its strength.

    Args:
        amplitude: half the swing of the stress [Pa].
        mean: stress in its middle [Pa].
        endurance: amplitude that it bears for ever without mean stress [Pa].
        tensile: ultimate strength [Pa].

    Returns:
        The margin [-].

    Raises:
        OutOfRange: if a strength is not above 0, the amplitude negative, or mean and amplitude both 0.

    Validity: tension; for bolts take an endurance that already holds for the preload by endurance / amplitude alone.
    Source: [Shigley] modified Goodman line, from memory.
    """
    positive(endurance=endurance, tensile=tensile)
    not_negative(amplitude=amplitude, mean=mean)
    used = amplitude / endurance + mean / tensile
    if used == 0.0:
        raise OutOfRange("amplitude and mean are both 0: nothing tires")
    return 1.0 / used


@dataclass(frozen=True, slots=True)
class CloseIn:
    """How the big end's bore changes under the pull.

    Attributes:
        along: growth of the diameter along the rod [m].
        across: loss of the diameter across the rod, at the split [m].
    """

    along: float
    across: float


def big_end_close_in(*, pull: float, mean_radius: float, thickness: float, width: float, modulus: float) -> CloseIn:
    """Upper bound for how the big-end bore goes oval: a thin even ring pulled at two opposite points.

    Args:
        pull: along the rod [N].
        mean_radius: of the ring, middle of its wall [m].
        thickness: of the ring's wall, radial [m].
        width: of the ring, along the crankpin [m].
        modulus: Young's modulus [Pa].

    Returns:
        Changes of diameter [m].

    Raises:
        OutOfRange: if the pull is negative, another value not above 0, or the wall thicker than half the radius.

    Validity: upper bound; the pin carries the pull over half its circumference and the shoulders of a real rod are
        stiffer, so the true close-in is a part of this. thickness <= mean_radius/2.
    Source: [Roark] circular rings, two opposite loads, from memory: 0.1488 and 0.1366 F R^3/(E I).
    """
    not_negative(pull=pull)
    positive(mean_radius=mean_radius, thickness=thickness, width=width, modulus=modulus)
    if thickness > mean_radius / 2:
        raise OutOfRange(f"thickness is {thickness:g}: no more than half the mean radius, {mean_radius:g} m, is accepted")
    scale = pull * mean_radius**3 / (modulus * width * thickness**3 / 12)
    return CloseIn((math.pi / 4 - 2 / math.pi) * scale, (2 / math.pi - 0.5) * scale)
