"""Clearances and interferences between what runs in, on or around another part."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import finite, not_negative, positive, within
from tenths.errors import BadInput, OutOfRange


def oil_clearance(*, installed_bore: float, journal: float) -> float:
    """Oil clearance as measured, in diameter.

    Args:
        installed_bore: inside diameter with the shells in and the cap at its final tension, square to the split [m].
        journal: diameter [m].

    Returns:
        The clearance [m]; negative means that it binds.

    Raises:
        OutOfRange: if either is not above 0.

    Validity: both at the same temperature.
    Source: definition.
    """
    positive(installed_bore=installed_bore, journal=journal)
    return installed_bore - journal


def predicted_oil_clearance(
    *, housing_bore: float, upper_wall: float, lower_wall: float, journal: float, crush_offset: float = 0.0
) -> float:
    """Oil clearance before the shells are fitted, in diameter.

    Args:
        housing_bore: without shells, cap at its final tension [m].
        upper_wall: thickness of the upper half at the crown [m].
        lower_wall: thickness of the lower half at the crown [m].
        journal: diameter [m].
        crush_offset: installed less predicted inside diameter, as learned from a fitted pair of this kind [m].

    Returns:
        The clearance [m]; negative means that it would bind.

    Raises:
        OutOfRange: if a size is not above 0 or the offset not finite.

    Validity: all at the same temperature; the crush offset belongs to this kind of shell and housing.
    Source: definition; that the crush offset is one number per kind of shell is common practice, no source.
    """
    positive(housing_bore=housing_bore, upper_wall=upper_wall, lower_wall=lower_wall, journal=journal)
    finite(crush_offset=crush_offset)
    return housing_bore - upper_wall - lower_wall - journal + crush_offset


def piston_to_wall(*, bore: float, skirt: float) -> float:
    """Clearance of the piston in its hole, in diameter.

    Args:
        bore: at the height where the maker has the skirt gauged [m].
        skirt: of the piston at its gauge point, across the thrust faces [m].

    Returns:
        The clearance [m].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: both at the same temperature.
    Source: definition.
    """
    positive(bore=bore, skirt=skirt)
    return bore - skirt


def pin_clearance(*, bore: float, pin: float) -> float:
    """Clearance of a piston pin in the piston or in the rod, in diameter.

    Args:
        bore: of the hole that it runs in [m].
        pin: diameter [m].

    Returns:
        The clearance [m]; negative where the pin is a press fit.

    Raises:
        OutOfRange: if either is not above 0.

    Validity: both at the same temperature.
    Source: definition.
    """
    positive(bore=bore, pin=pin)
    return bore - pin


def ring_side_clearance(*, groove_height: float, ring_height: float) -> float:
    """Clearance of a ring in its groove, along the cylinder.

    Args:
        groove_height: between the groove's faces [m].
        ring_height: of the ring, along the cylinder [m].

    Returns:
        The clearance [m].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: parallel faces.
    Source: definition.
    """
    positive(groove_height=groove_height, ring_height=ring_height)
    return groove_height - ring_height


def ring_back_clearance(*, bore: float, groove_diameter: float, ring_depth: float) -> float:
    """Room behind a ring with the piston in the middle of its hole, on one side.

    Args:
        bore: of the cylinder [m].
        groove_diameter: at the groove's bottom [m].
        ring_depth: radial depth of the ring [m].

    Returns:
        The room [m]; negative means that the ring holds the piston off the wall.

    Raises:
        OutOfRange: if a size is not above 0.

    Validity: piston in the middle.
    Source: definition.
    """
    positive(bore=bore, groove_diameter=groove_diameter, ring_depth=ring_depth)
    return (bore - groove_diameter) / 2 - ring_depth


def side_clearance(*, journal_width: float, rod_widths: Sequence[float]) -> float:
    """Play of the rods along their crankpin, all together.

    Args:
        journal_width: of the crankpin, cheek to cheek [m].
        rod_widths: of each big end on it [m].

    Returns:
        The play [m].

    Raises:
        OutOfRange: if a width is not above 0.
        BadInput: if there is no rod.

    Validity: parallel faces.
    Source: definition.
    """
    if not rod_widths:
        raise BadInput("rod_widths holds no rod: at least one width is needed")
    positive(journal_width=journal_width)
    for width in rod_widths:
        positive(rod_widths=width)
    return journal_width - math.fsum(rod_widths)


def end_play(*, journal_width: float, thrust_width: float) -> float:
    """Play of the crank along its thrust bearing.

    Args:
        journal_width: between the crank's thrust faces [m].
        thrust_width: over the thrust faces of the bearing [m].

    Returns:
        The play [m].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: parallel faces.
    Source: definition.
    """
    positive(journal_width=journal_width, thrust_width=thrust_width)
    return journal_width - thrust_width


def taper(*, diameters: Sequence[float]) -> float:
    """Difference of diameter along a journal or a hole.

    Args:
        diameters: on one axis, at two places along it or more [m].

    Returns:
        The taper [m], without sign.

    Raises:
        BadInput: if there are fewer than two.
        OutOfRange: if one is not above 0.

    Validity: shop definition, a difference of diameters.
    Source: common practice, no source.
    """
    return _range_of(diameters)


def out_of_round(*, diameters: Sequence[float]) -> float:
    """Difference of diameter around a journal or a hole.

    Args:
        diameters: at one place, on two axes or more [m].

    Returns:
        The out-of-round [m], without sign; up to twice the roundness that [ISO1101] defines as a radial width.

    Raises:
        BadInput: if there are fewer than two.
        OutOfRange: if one is not above 0.

    Validity: shop definition, a difference of diameters; blind to an odd number of lobes.
    Source: common practice, no source.
    """
    return _range_of(diameters)


def _range_of(diameters: Sequence[float]) -> float:
    if len(diameters) < 2:
        raise BadInput(f"diameters holds {len(diameters)}: at least two are needed")
    for diameter in diameters:
        positive(diameters=diameter)
    return max(diameters) - min(diameters)


def thermal_growth(*, size: float, expansion: float, rise: float) -> float:
    """How much a size grows when its part is warmed.

    Args:
        size: before [m].
        expansion: coefficient of linear thermal expansion [1/K].
        rise: of temperature [K]; negative for cooling.

    Returns:
        The growth [m].

    Raises:
        OutOfRange: if the size is not above 0, the expansion not between 0 and 1e-4, or the rise beyond 1000 K.

    Validity: free part at one temperature; coefficients hold for some 100 K about the temperature they are given for.
    Source: definition of the coefficient, [ISO1].
    """
    positive(size=size)
    within(0.0, 1e-4, expansion=expansion)
    within(-1000.0, 1000.0, rise=rise)
    return size * expansion * rise


def size_at_reference(*, size: float, expansion: float, temperature: float) -> float:
    """Size at the reference temperature of 20 degrees Celsius of a part read at another.

    Args:
        size: as read [m].
        expansion: coefficient of linear thermal expansion [1/K].
        temperature: of the part [K].

    Returns:
        The size at 293.15 K [m].

    Raises:
        OutOfRange: as thermal_growth.

    Validity: as thermal_growth; drops the square of expansion x rise.
    Source: definition of the reference temperature, [ISO1].
    """
    return size - thermal_growth(size=size, expansion=expansion, rise=temperature - 293.15)


def heating_to_fit(*, bore: float, interference: float, clearance: float, expansion: float) -> float:
    """How far to warm a ring so that it drops over what it will grip.

    Args:
        bore: of the ring [m].
        interference: to be overcome, in diameter [m].
        clearance: wanted for dropping it on, in diameter [m].
        expansion: of the ring [1/K].

    Returns:
        The rise of temperature [K].

    Raises:
        OutOfRange: if the bore or the expansion is not above 0, or the others negative.

    Validity: the inner part stays cold; keep below the temper of the ring.
    Source: definition of the coefficient, [ISO1].
    """
    positive(bore=bore, expansion=expansion)
    not_negative(interference=interference, clearance=clearance)
    return (interference + clearance) / (bore * expansion)


@dataclass(frozen=True, slots=True)
class PressFit:
    """What a press fit does.

    Attributes:
        pressure: between hub and shaft [Pa].
        hub_stress: hoop tension at the hub's bore [Pa].
        shaft_stress: hoop compression at the shaft's inside, or at its surface where it is solid [Pa], negative.
    """

    pressure: float
    hub_stress: float
    shaft_stress: float


def press_fit(
    *,
    diameter: float,
    interference: float,
    hub_outside: float,
    shaft_bore: float = 0.0,
    hub_modulus: float,
    hub_poisson: float,
    shaft_modulus: float,
    shaft_poisson: float,
) -> PressFit:
    """Pressure and stresses of a hub pressed or shrunk on a shaft.

    Args:
        diameter: of the joint [m].
        interference: shaft less hub, in diameter [m].
        hub_outside: outside diameter of the hub [m].
        shaft_bore: of a hollow shaft [m]; 0 where it is solid.
        hub_modulus: Young's modulus of the hub [Pa].
        hub_poisson: Poisson's ratio of the hub [-].
        shaft_modulus: Young's modulus of the shaft [Pa].
        shaft_poisson: Poisson's ratio of the shaft [-].

    Returns:
        Pressure and stresses [Pa].

    Raises:
        OutOfRange: unless shaft_bore < diameter < hub_outside, moduli above 0 and ratios from 0 to 0.5.

    Validity: elastic, long joint (plane stress), hub and shaft of one length; no spinning, no roughness lost.
    Source: Lame's thick cylinders as in [Shigley], section on press and shrink fits.
    """
    positive(diameter=diameter, hub_modulus=hub_modulus, shaft_modulus=shaft_modulus)
    not_negative(interference=interference, shaft_bore=shaft_bore)
    within(0.0, 0.5, hub_poisson=hub_poisson, shaft_poisson=shaft_poisson)
    if not shaft_bore < diameter < hub_outside < math.inf:
        raise OutOfRange(
            f"diameter is {diameter:g}: more than shaft_bore {shaft_bore:g} and less than hub_outside "
            f"{hub_outside:g} m is accepted"
        )
    d2, outer2, inner2 = diameter**2, hub_outside**2, shaft_bore**2
    hub = (outer2 + d2) / (outer2 - d2)
    shaft = (d2 + inner2) / (d2 - inner2)
    give = (hub + hub_poisson) / hub_modulus + (shaft - shaft_poisson) / shaft_modulus
    pressure = interference / diameter / give
    # the hoop stress of a solid shaft is the pressure everywhere; a hollow one carries most at its inside
    at_shaft = -pressure if inner2 == 0.0 else -2 * pressure * d2 / (d2 - inner2)
    return PressFit(pressure, pressure * hub, at_shaft)


@dataclass(frozen=True, slots=True)
class PressFitGrip:
    """What a press fit holds before it slips.

    Attributes:
        axial: force along the shaft [N].
        torque: about the shaft [N m].
    """

    axial: float
    torque: float


def press_fit_grip(*, diameter: float, length: float, pressure: float, friction: float) -> PressFitGrip:
    """Force or torque at which a press fit slips, each alone.

    Args:
        diameter: of the joint [m].
        length: of the joint [m].
        pressure: in the joint [Pa].
        friction: coefficient [-].

    Returns:
        Axial force [N] and torque [N m].

    Raises:
        OutOfRange: if a size is not above 0, the pressure negative or the friction not from 0 to 1.

    Validity: pressure even over the length.
    Source: Coulomb friction as in [Shigley], section on press and shrink fits.
    """
    positive(diameter=diameter, length=length)
    not_negative(pressure=pressure)
    within(0.0, 1.0, friction=friction)
    axial = friction * pressure * math.pi * diameter * length
    return PressFitGrip(axial, axial * diameter / 2)
