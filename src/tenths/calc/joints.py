"""Bolted joints: stretch, stiffness of bolt and clamped parts, turning by angle, share of the load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive
from tenths.errors import BadInput, OutOfRange


@dataclass(frozen=True, slots=True)
class Segment:
    """A length of a bolt with the same section.

    Attributes:
        length: along the bolt [m].
        area: of the section [m2]; in the thread its stress area.
    """

    length: float
    area: float


def bolt_stiffness(*, segments: Sequence[Segment], modulus: float) -> float:
    """Tension over stretch of a bolt.

    Args:
        segments: from head to nut or first thread in the block.
        modulus: Young's modulus [Pa].

    Returns:
        The stiffness [N/m].

    Raises:
        BadInput: if there is no segment.
        OutOfRange: if a length, area or the modulus is not above 0.

    Validity: elastic; what gives way in head and nut must be in the segments to count.
    Source: Hooke's law, springs in a row.
    """
    if not segments:
        raise BadInput("segments holds nothing: at least one is needed")
    positive(modulus=modulus)
    for segment in segments:
        positive(length=segment.length, area=segment.area)
    return modulus / math.fsum(segment.length / segment.area for segment in segments)


def bolt_stretch(*, preload: float, segments: Sequence[Segment], modulus: float) -> float:
    """How much longer a bolt is under its preload.

    Args:
        preload: tension [N].
        segments: from head to nut or first thread in the block.
        modulus: Young's modulus [Pa].

    Returns:
        The stretch [m].

    Raises:
        BadInput: if there is no segment.
        OutOfRange: if the preload is negative, or a size not above 0.

    Validity: elastic.
    Source: Hooke's law, springs in a row.
    """
    not_negative(preload=preload)
    return preload / bolt_stiffness(segments=segments, modulus=modulus)


def preload_from_stretch(*, stretch: float, segments: Sequence[Segment], modulus: float) -> float:
    """Preload that a stretch as read on the stretch gauge tells of.

    Args:
        stretch: length tightened less length free [m].
        segments: from head to nut or first thread in the block.
        modulus: Young's modulus [Pa].

    Returns:
        The preload [N].

    Raises:
        BadInput: if there is no segment.
        OutOfRange: if the stretch is negative, or a size not above 0.

    Validity: elastic.
    Source: Hooke's law, springs in a row.
    """
    not_negative(stretch=stretch)
    return stretch * bolt_stiffness(segments=segments, modulus=modulus)


def preload_from_angle(*, snug: float, angle: float, pitch: float, bolt: float, joint: float) -> float:
    """Preload after a turn from snug, while the bolt stays elastic.

    Args:
        snug: preload before the turn [N].
        angle: of the turn [rad].
        pitch: of the thread [m].
        bolt: stiffness of the bolt [N/m].
        joint: stiffness of what it clamps [N/m].

    Returns:
        The preload [N].

    Raises:
        OutOfRange: if snug preload or angle is negative, or a stiffness or the pitch not above 0.

    Validity: faces closed at the snug preload; elastic (beyond yield the preload stays near the yield load).
    Source: two springs in a row, stretched by pitch x turns.
    """
    not_negative(snug=snug, angle=angle)
    positive(pitch=pitch, bolt=bolt, joint=joint)
    return snug + pitch * angle / math.tau * bolt * joint / (bolt + joint)


def clamped_stiffness(*, hole: float, washer: float, thickness: float, modulus: float) -> float:
    """Stiffness of one clamped plate under one bearing face, as a hollow cone of 30 degrees.

    Args:
        hole: diameter of the bolt hole [m].
        washer: diameter of the bearing face [m].
        thickness: of the plate, from the face to the middle of the joint or the next plate [m].
        modulus: Young's modulus of the plate [Pa].

    Returns:
        The stiffness [N/m]; plates in a row add as 1/k.

    Raises:
        OutOfRange: unless 0 < hole < washer, thickness and modulus above 0.

    Validity: plate at least as wide as the cone's foot; not for narrow bosses such as rod caps (use their section).
    Source: [Shigley] Eq. 8-20, from memory.
    """
    positive(hole=hole, washer=washer, thickness=thickness, modulus=modulus)
    if washer <= hole:
        raise OutOfRange(f"washer is {washer:g}: more than the hole, {hole:g} m, is needed")
    wide = 2 * math.tan(math.radians(30.0)) * thickness + washer
    ratio = (wide - hole) * (washer + hole) / ((wide + hole) * (washer - hole))
    return math.pi * modulus * hole * math.tan(math.radians(30.0)) / math.log(ratio)


def load_share(*, bolt: float, joint: float) -> float:
    """Part of a load on a closed joint that the bolt feels.

    Args:
        bolt: stiffness of the bolt [N/m].
        joint: stiffness of what it clamps [N/m].

    Returns:
        The share [-].

    Raises:
        OutOfRange: if a stiffness is not above 0.

    Validity: load under the head, along the bolt; joint closed.
    Source: [Shigley] section on tension joints, the external load; from memory.
    """
    positive(bolt=bolt, joint=joint)
    return bolt / (bolt + joint)
