"""Fasteners in numbers: strength and friction of a joint as stated, with what common practice takes where nobody says."""

from collections.abc import Mapping
from dataclasses import dataclass

from tenths.calc import threads, tightening
from tenths.calc.threads import Strength, Thread
from tenths.errors import BadInput, OutOfRange
from tenths.logbook.build import Build, Mark
from tenths.logbook.joint_bodies import JointStated
from tenths.logbook.joints import Joint, joint_of

# Coefficient of friction and its standard uncertainty, thread and head alike: common practice, no source.
LUBRICANTS: Mapping[str, tuple[float, float]] = {
    "dry": (0.16, 0.030), "oil": (0.125, 0.015), "sealer": (0.12, 0.020), "thread lock": (0.14, 0.020),
    "moly": (0.095, 0.012), "paste": (0.085, 0.010),
}
# What a bolt is screwed into: tensile strength [Pa], engagement wanted in diameters; common practice, no source.
INTO: Mapping[str, tuple[float, float]] = {
    "steel": (600e6, 1.0), "iron": (250e6, 1.25), "aluminium": (240e6, 2.0), "magnesium": (200e6, 2.25),
}
BEARING, HOLE = 1.5, 1.1  # diameters of head face and hole over that of the thread, where nobody says: common practice, no source
WRENCH = 0.04  # of its reading, half-width, where no wrench is named: common practice, no source


@dataclass(frozen=True, slots=True)
class Friction:
    """Coefficients in the thread and under the head, each with its standard uncertainty, and whose they are."""

    thread: float
    head: float
    thread_doubt: float
    head_doubt: float
    said: str


def thread_of(joint: Joint) -> Thread:
    """The thread of a joint at its basic sizes."""
    make = threads.inch_thread if joint.inch else threads.metric_thread
    return make(diameter=joint.diameter, pitch=joint.pitch)


def strength_of(joint: Joint) -> tuple[Strength | None, str]:
    """Proof, yield and tensile strength, and who says so; typed values go before class or grade. None when nobody says.

    Raises:
        BadInput: when class or grade are not known, or do not hold for so thick a bolt.
    """
    typed = {name: joint.sizes[name] for name in ("proof", "yields", "tensile") if name in joint.sizes}
    table = _of_class(joint) if joint.body.strength else None
    if table is None and not typed:
        return None, ""
    yields = typed.get("yields") or (table.yields if table else 0.9 * typed["tensile"] if "tensile" in typed else typed["proof"] / 0.9)
    tensile = typed.get("tensile") or (table.tensile if table else yields / 0.9)
    proof = typed.get("proof") or (table.proof if table and "yields" not in typed else 0.9 * yields)
    return Strength(tensile, yields, proof), joint.body.source or "typed" if typed else f"class or grade {joint.body.strength}"


def _of_class(joint: Joint) -> Strength:
    text = joint.body.strength.lower().removeprefix("class").strip()
    try:
        if text.startswith(("grade", "sae")):
            return threads.sae_strength(grade=text.removeprefix("grade").removeprefix("sae").strip(), diameter=joint.diameter)
        return threads.iso_strength(property_class=text, diameter=joint.diameter)
    except (BadInput, OutOfRange) as error:
        raise BadInput(f"strength: {joint.body.strength!r} is not taken for {joint.body.thread}: {error}; give a class (8.8 to 12.9), "
                       "a grade (grade 2, 5 or 8), or proof, yield and tensile strength") from None


def friction_of(joint: Joint, lubricant: str = "") -> Friction:
    """Friction of a joint: as typed, else of its lubricant (or of the one asked for).

    Raises:
        BadInput: when the lubricant is not known and no coefficient was typed.
    """
    name = (lubricant or joint.body.lubricant).lower()
    if not lubricant and {"thread_friction", "head_friction"} <= set(joint.sizes):
        mu = joint.sizes["thread_friction"], joint.sizes["head_friction"]
        return Friction(*mu, 0.12 * mu[0], 0.12 * mu[1], "as typed, each within some 12 %")
    if name not in LUBRICANTS:
        raise BadInput(f"lubricant: {name!r} is not known; there are {', '.join(LUBRICANTS)}, or both coefficients as typed")
    mu, doubt = LUBRICANTS[name]
    both = {"thread": mu, "head": mu}
    if not lubricant:
        both = {part: joint.sizes.get(f"{part}_friction", mu) for part in both}
    return Friction(both["thread"], both["head"], doubt, doubt, f"{name}: common practice, no source")


def head_radius(joint: Joint) -> float:
    """Mean radius of the face under the head [m]."""
    return tightening.head_friction_radius(outside=joint.sizes.get("bearing", BEARING * joint.diameter),
                                           inside=joint.sizes.get("hole", HOLE * joint.diameter))


def into_of(joint: Joint) -> tuple[str, float, float]:
    """What the bolt is screwed into: name, tensile strength [Pa], engagement wanted in diameters.

    Raises:
        BadInput: when the material is not known.
    """
    name = (joint.body.into or "steel").lower()
    if name not in INTO:
        raise BadInput(f"into: {joint.body.into!r} is not known; there are {', '.join(INTO)}")
    return (name, *INTO[name])


def vet_joint(build: Build, body: JointStated) -> None:
    """Raises BadInput when strength, lubricant or material of a joint are not known, or its sizes cannot be."""
    joint = joint_of(Mark("", 0, "", ""), body, "metric" if build.units == "metric" else "inch")
    friction_of(joint)
    strength_of(joint)
    into_of(joint)
    if joint.body.given_for and joint.body.given_for.lower() not in LUBRICANTS:
        raise BadInput(f"given for: {joint.body.given_for!r} is not known; there are {', '.join(LUBRICANTS)}")
    try:
        thread_of(joint)
        head_radius(joint)
    except OutOfRange as error:
        raise BadInput(f"joint {joint.body.joint}: {error}") from None
