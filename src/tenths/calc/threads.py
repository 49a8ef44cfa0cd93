"""Threads: geometry, strength of the fastener, stripping, and how far a bolt reaches."""

from __future__ import annotations

import math
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
    of_bolt = math.pi * thread.minor_diameter * (0.5 + slope * (thread.pitch_diameter - thread.minor_diameter) / thread.pitch)
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
