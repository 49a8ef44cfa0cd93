"""The piston pin under its load: pressures in rod and bosses, bending and going oval."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class PinStress:
    """What a piston pin and its seats bear.

    Attributes:
        rod_pressure: load over the projected area in the small end [Pa].
        boss_pressure: load over the projected area in both bosses [Pa].
        bending: stress at the pin's surface in the middle [Pa].
    """

    rod_pressure: float
    boss_pressure: float
    bending: float


def pin_stress(*, load: float, outside: float, inside: float, rod_width: float, boss_gap: float, boss_length: float) -> PinStress:
    """Pressures and bending of a piston pin.

    Args:
        load: between piston and rod [N], without sign.
        outside: diameter of the pin [m].
        inside: diameter of its bore [m].
        rod_width: of the small end on the pin [m].
        boss_gap: between the bosses [m].
        boss_length: of the pin in each boss [m].

    Returns:
        Pressures and stress [Pa].

    Raises:
        OutOfRange: if a size is not above 0 (load and bore may be 0), the bore not smaller than the pin, or the rod
            wider than the gap.

    Validity: load even over the small end and over each boss; the pin as a straight beam; going oval left out.
    Source: closed form, beam with even loads.
    """
    positive(outside=outside, rod_width=rod_width, boss_gap=boss_gap, boss_length=boss_length)
    not_negative(load=load)
    within(0.0, 0.95 * outside, inside=inside)
    if rod_width > boss_gap:
        raise OutOfRange(f"rod_width is {rod_width:g}: no more than the boss_gap, {boss_gap:g} m, is accepted")
    moment = load / 2 * ((boss_gap + boss_length) / 2 - rod_width / 4)
    section = math.pi / 32 * (outside**4 - inside**4) / outside
    return PinStress(load / (outside * rod_width), load / (2 * outside * boss_length), moment / section)
