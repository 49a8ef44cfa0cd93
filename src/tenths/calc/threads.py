"""Threads and tightening: geometry, strength, torque and preload, stretch, joint stiffness, engagement."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import BadInput, OutOfRange

HALF_FLANK = math.radians(30.0)
HEIGHT = math.sqrt(3.0) / 2  # of the sharp triangle, in pitches


@dataclass(frozen=True, slots=True)
class Thread:
    """A 60 degree thread at its basic sizes.

    Attributes:
        diameter: outside (major) [m].
        pitch: thread to thread [m].
        pitch_diameter: d2 [m].
        minor_diameter: of the nut, D1 [m].
        root_diameter: of the bolt, d3 [m].
        stress_area: on which strength is reckoned [m2].
    """

    diameter: float
    pitch: float
    pitch_diameter: float
    minor_diameter: float
    root_diameter: float
    stress_area: float


def metric_thread(*, diameter: float, pitch: float) -> Thread:
    """ISO metric thread.

    Args:
        diameter: outside [m].
        pitch: thread to thread [m].

    Returns:
        The thread [m].

    Raises:
        OutOfRange: if a size is not above 0 or the pitch more than a third of the diameter.

    Validity: basic sizes, without allowance and tolerance.
    Source: [ISO898-1] nominal stress area, from memory: mean of d2 and d3.
    """
    root = diameter - 17 / 12 * HEIGHT * pitch
    area = math.pi / 4 * ((diameter - 0.75 * HEIGHT * pitch + root) / 2) ** 2
    return _thread(diameter, pitch, area)


def inch_thread(*, diameter: float, pitch: float) -> Thread:
    """Unified inch thread.

    Args:
        diameter: outside [m].
        pitch: one inch over the threads per inch [m].

    Returns:
        The thread [m].

    Raises:
        OutOfRange: if a size is not above 0 or the pitch more than a third of the diameter.

    Validity: basic sizes, without allowance and tolerance.
    Source: [ASME-B1.1] tensile stress area, from memory: pi/4 (D - 0.9743/n)^2.
    """
    return _thread(diameter, pitch, math.pi / 4 * (diameter - 0.9743 * pitch) ** 2)


def _thread(diameter: float, pitch: float, area: float) -> Thread:
    positive(diameter=diameter, pitch=pitch)
    if pitch > diameter / 3:
        raise OutOfRange(f"pitch is {pitch:g}: no more than a third of the diameter, {diameter:g} m, is accepted")
    return Thread(
        diameter=diameter,
        pitch=pitch,
        pitch_diameter=diameter - 0.75 * HEIGHT * pitch,
        minor_diameter=diameter - 1.25 * HEIGHT * pitch,
        root_diameter=diameter - 17 / 12 * HEIGHT * pitch,
        stress_area=area,
    )


@dataclass(frozen=True, slots=True)
class Strength:
    """What a fastener's material is good for.

    Attributes:
        tensile: ultimate strength [Pa].
        yields: yield or 0.2 per cent proof strength [Pa].
        proof: stress under the proof load [Pa].
    """

    tensile: float
    yields: float
    proof: float


# [ISO898-1] table of mechanical properties, from memory: minimum tensile, 0.2 per cent, proof in MPa, over d in mm.
ISO_CLASSES: dict[str, tuple[tuple[float, tuple[float, float, float]], ...]] = {
    "8.8": ((16.0, (800, 640, 580)), (39.0, (830, 660, 600))),
    "9.8": ((16.0, (900, 720, 650)),),
    "10.9": ((39.0, (1040, 940, 830)),),
    "12.9": ((39.0, (1220, 1100, 970)),),
}
# [SAE-J429] from memory: minimum tensile, yield, proof in ksi, over diameter in inches.
SAE_GRADES: dict[str, tuple[tuple[float, tuple[float, float, float]], ...]] = {
    "2": ((0.75, (74, 57, 55)),),
    "5": ((1.0, (120, 92, 85)),),
    "8": ((1.5, (150, 130, 120)),),
}
KSI = 0.45359237 * 9.80665 / 0.0254**2 * 1e3


def iso_strength(*, property_class: str, diameter: float) -> Strength:
    """Least strength of an ISO property class.

    Args:
        property_class: as marked on the head, "8.8" to "12.9".
        diameter: outside diameter of the thread [m].

    Returns:
        The strength [Pa].

    Raises:
        BadInput: if the class is not in the table.
        OutOfRange: if the table does not hold for so thick a bolt.

    Validity: to 39 mm, class 9.8 to 16 mm; room temperature.
    Source: [ISO898-1] table of mechanical and physical properties, from memory.
    """
    return _strength(ISO_CLASSES, "property_class", property_class, diameter, 1e-3, 1e6)


def sae_strength(*, grade: str, diameter: float) -> Strength:
    """Least strength of an SAE grade.

    Args:
        grade: as its number, "2", "5" or "8".
        diameter: outside diameter of the thread [m].

    Returns:
        The strength [Pa].

    Raises:
        BadInput: if the grade is not in the table.
        OutOfRange: if the table does not hold for so thick a bolt.

    Validity: grade 2 to 3/4 in, 5 to 1 in, 8 to 1 1/2 in; room temperature.
    Source: [SAE-J429] table of mechanical requirements, from memory.
    """
    return _strength(SAE_GRADES, "grade", grade, diameter, 0.0254, KSI)


def _strength(
    table: dict[str, tuple[tuple[float, tuple[float, float, float]], ...]],
    argument: str,
    name: str,
    diameter: float,
    length: float,
    stress: float,
) -> Strength:
    positive(diameter=diameter)
    if name not in table:
        raise BadInput(f"{argument} is {name!r}: {', '.join(table)} are known")
    for thickest, (tensile, yields, proof) in table[name]:
        if diameter <= thickest * length * (1 + 1e-9):
            return Strength(tensile * stress, yields * stress, proof * stress)
    raise OutOfRange(f"diameter is {diameter:g} m: {argument} {name} is known to {table[name][-1][0] * length:g} m")


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
    return PreloadScatter(
        torque_doubt, in_thread * thread_friction_doubt, head_radius / one.total * head_friction_doubt
    )


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


@dataclass(frozen=True, slots=True)
class Stripping:
    """What tears first when a bolt is pulled out of its thread.

    Attributes:
        bolt_breaks: tension at which the bolt breaks [N].
        bolt_thread: tension that strips the thread of the bolt [N].
        nut_thread: tension that strips the thread of the nut or block [N].
        engagement_needed: engagement at which the bolt breaks before either thread strips [m].
    """

    bolt_breaks: float
    bolt_thread: float
    nut_thread: float
    engagement_needed: float


def stripping(
    *, thread: Thread, engagement: float, bolt_tensile: float, nut_tensile: float, shear_over_tensile: float = 0.577
) -> Stripping:
    """Strength of bolt and threads against stripping.

    Args:
        thread: of bolt and nut.
        engagement: length of full threads in each other [m].
        bolt_tensile: ultimate strength of the bolt [Pa].
        nut_tensile: ultimate strength of nut or block [Pa].
        shear_over_tensile: shear strength over tensile strength of both [-].

    Returns:
        The three loads [N] and the engagement needed [m].

    Raises:
        OutOfRange: if a value is not above 0 or the ratio above 1.

    Validity: basic sizes (loose threads are weaker by up to a fifth), all threads carry alike.
    Source: thread shear areas of [ASME-B1.1] appendix at basic sizes, from memory; shear strength after von Mises.
    """
    positive(engagement=engagement, bolt_tensile=bolt_tensile, nut_tensile=nut_tensile)
    within(1e-3, 1.0, shear_over_tensile=shear_over_tensile)
    slope = math.tan(HALF_FLANK)
    of_bolt = (
        math.pi * thread.minor_diameter * (0.5 + slope * (thread.pitch_diameter - thread.minor_diameter) / thread.pitch)
    )
    of_nut = math.pi * thread.diameter * (0.5 + slope * (thread.diameter - thread.pitch_diameter) / thread.pitch)
    breaks = bolt_tensile * thread.stress_area
    bolt_per_length = of_bolt * shear_over_tensile * bolt_tensile
    nut_per_length = of_nut * shear_over_tensile * nut_tensile
    return Stripping(
        breaks,
        bolt_per_length * engagement,
        nut_per_length * engagement,
        breaks / min(bolt_per_length, nut_per_length),
    )


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a bolt reaches into its hole.

    Attributes:
        engagement: length in full threads [m].
        to_bottom: left between the end of the bolt and the end of the thread [m]; negative means that it bottoms.
    """

    engagement: float
    to_bottom: float


def bolt_reach(
    *,
    length: float,
    washer: float,
    clamped: float,
    thread_depth: float,
    counterbore: float = 0.0,
    chamfer: float = 0.0,
) -> Reach:
    """Engagement of a bolt in a blind hole, and whether it bottoms.

    Args:
        length: under the head [m].
        washer: thickness [m].
        clamped: thickness of what is clamped [m].
        thread_depth: from the face to the last full thread of the hole [m].
        counterbore: from the face to the first thread of the hole [m].
        chamfer: of the bolt's end, without full thread [m].

    Returns:
        Engagement and what is left to the bottom [m].

    Raises:
        OutOfRange: if length or depth is not above 0, another size negative, or the bolt does not reach the thread.

    Validity: bolt threaded far enough up.
    Source: definition.
    """
    positive(length=length, thread_depth=thread_depth)
    not_negative(washer=washer, clamped=clamped, counterbore=counterbore, chamfer=chamfer)
    inside = length - washer - clamped
    engagement = min(inside, thread_depth) - counterbore - (chamfer if inside < thread_depth else 0.0)
    if engagement <= 0.0:
        raise OutOfRange(f"length is {length:g}: the bolt ends {-engagement:g} m short of the thread")
    return Reach(engagement, thread_depth - inside)
