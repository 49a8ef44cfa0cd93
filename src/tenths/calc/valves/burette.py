"""A volume filled from a burette: meniscus, plate, and what temperature does to liquid, glass and head."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from tenths.calc._check import finite, not_negative, positive, within
from tenths.errors import BadInput, OutOfRange

REFERENCE = 293.15  # K: what burettes are marked for, and what sizes are told at
ZERO = 273.15
# Expansion in volume near 20 °C [1/K]: handbook figures from memory; water follows its own curve.
LIQUIDS: Mapping[str, float] = MappingProxyType({
    "white spirit": 0.95e-3, "paraffin": 0.90e-3, "isopropanol": 1.06e-3, "methylated spirit": 1.09e-3, "transmission fluid": 0.75e-3,
    "engine oil": 0.75e-3, "antifreeze mixture": 0.45e-3})
GLASS = 9.9e-6  # borosilicate, in volume [1/K]
PLASTIC = 2.1e-4  # a burette or a plate of acrylic, in volume [1/K]
ALUMINIUM, IRON = 66e-6, 33e-6  # heads, in volume [1/K]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """One run of the burette, read at the same part of the meniscus both times.

    Attributes:
        start: what it reads before [m3].
        end: what it reads after [m3]; above the start, since burettes count downwards from nought.
    """

    start: float
    end: float


def water_density(*, temperature: float) -> float:
    """Density of pure water without air in it.

    Args:
        temperature: of it [K].

    Returns:
        Density [kg/m3].

    Raises:
        OutOfRange: outside of 0 to 100 °C.

    Validity: 0 to 100 °C at the air's pressure; good to 0.001 %.
    Source: [Kell], from memory.
    """
    within(ZERO, ZERO + 100.0, temperature=temperature)
    t = temperature - ZERO
    top = 999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))))
    return top / (1.0 + 16.879850e-3 * t)


def liquid_ratio(*, liquid: str, poured: float, settled: float) -> float:
    """How much room a liquid takes once it has come to another temperature.

    Args:
        liquid: water, or one of `LIQUIDS`.
        poured: temperature of it in the burette [K].
        settled: temperature of it in the chamber when the burette is read [K].

    Returns:
        Volume settled over volume poured [-].

    Raises:
        BadInput: for a liquid that is not known.
        OutOfRange: for a temperature outside of -20 to 80 °C, or below freezing for water.

    Validity: within 20 K of room temperature.
    Source: [Kell] for water; coefficients of handbooks, from memory.
    """
    within(ZERO - 20.0, ZERO + 80.0, poured=poured, settled=settled)
    if liquid == "water":
        return water_density(temperature=poured) / water_density(temperature=settled)
    if liquid not in LIQUIDS:
        raise BadInput(f"liquid: {liquid!r} is not known; there are water, {', '.join(LIQUIDS)}")
    return (1.0 + LIQUIDS[liquid] * (settled - REFERENCE)) / (1.0 + LIQUIDS[liquid] * (poured - REFERENCE))


def meniscus_volume(*, diameter: float) -> float:
    """Liquid that stands above the bottom of the meniscus in a tube or in the hole of a plate.

    Args:
        diameter: inside, of the tube or the hole [m].

    Returns:
        Volume of the rim [m3].

    Raises:
        OutOfRange: for a diameter that is not above 0 or above 8 mm, where the meniscus is no half sphere any more.

    Validity: narrow holes that the liquid wets well: the meniscus is taken as half a sphere, which is the most that it can be.
    Source: closed form: a cylinder as high as its radius, less half a sphere.
    """
    positive(diameter=diameter)
    within(0.0, 8e-3, diameter=diameter)
    return math.pi * diameter**3 / 24.0


def plate_volume(*, hole: float, thickness: float, rim: float = 0.0, dish: float = 0.0) -> float:
    """What the plate adds to the chamber under it: its hole, filled to the top, and its sag.

    Args:
        hole: diameter of the filling hole [m].
        thickness: of the plate [m].
        rim: diameter over which the plate lies free [m].
        dish: how far its middle stands above the face [m]; below 0 where it hangs into the chamber.

    Returns:
        The volume to take off [m3]; below 0 where the plate takes more than its hole holds.

    Raises:
        OutOfRange: for a hole or thickness below 0, or a dish beyond half of the rim.

    Validity: a plate that is dished like a part of a sphere.
    Source: closed form: cylinder and cap of a sphere.
    """
    not_negative(hole=hole, thickness=thickness, rim=rim)
    if abs(dish) > rim / 2.0:
        raise OutOfRange(f"dish is {dish:g}: up to half of the rim, {rim / 2.0:g}, is accepted")
    return math.pi / 4.0 * hole**2 * thickness + math.pi / 6.0 * dish * (3.0 * (rim / 2.0) ** 2 + dish**2)


def filled_volume(
    fills: Sequence[Fill],
    *,
    plate: float = 0.0,
    liquid: str = "water",
    poured: float = REFERENCE,
    part: float = REFERENCE,
    burette: float = GLASS,
    head: float = ALUMINIUM,
) -> float:
    """Volume of a chamber at 20 °C, filled from a burette through a plate.

    Args:
        fills: runs of the burette, one after the other, of one filling.
        plate: what the plate adds, see `plate_volume` [m3].
        liquid: water, or one of `LIQUIDS`.
        poured: temperature of the liquid and the burette [K].
        part: temperature of the head, which the liquid in it takes on [K].
        burette: expansion of the burette's material in volume [1/K].
        head: expansion of the head's material in volume [1/K].

    Returns:
        The volume [m3].

    Raises:
        BadInput: without a fill, or for a liquid that is not known.
        OutOfRange: for an end that is not above its start, a temperature out of range, or a plate that holds more
            than was poured.

    Validity: liquid that has come to the head's temperature; nothing lost, no bubble under the plate.
    Source: [ISO4787] for glass, from memory; expansion by definition.
    """
    if not fills:
        raise BadInput("fills: none is given; one or more are needed")
    not_negative(burette=burette, head=head)
    for fill in fills:
        finite(start=fill.start, end=fill.end)
        if not fill.end > fill.start:
            raise OutOfRange(f"end is {fill.end:g}, start {fill.start:g}: the end must be above the start")
    poured_out = sum(fill.end - fill.start for fill in fills) * (1.0 + burette * (poured - REFERENCE))
    held = poured_out * liquid_ratio(liquid=liquid, poured=poured, settled=part) - plate
    if held <= 0.0:
        raise OutOfRange(f"plate is {plate:g}: it holds more than was poured")
    return held / (1.0 + head * (part - REFERENCE))
