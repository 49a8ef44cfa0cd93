"""The crank as a torsional spring: inertia and stiffness of its throws, stress in its journals."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import OutOfRange


def throw_inertia(*, crank: float, rotating: float, reciprocating: float, radius: float) -> float:
    """Inertia of one throw with what hangs on it, as a disc of the chain.

    Args:
        crank: inertia of the throw itself about the crank axis [kg m2].
        rotating: mass at the crankpin: big ends, shells [kg].
        reciprocating: mass of pistons, pins and small ends on the pin [kg].
        radius: of the crank [m].

    Returns:
        The mean inertia over a turn [kg m2].

    Raises:
        OutOfRange: if the radius is not above 0 or another value negative.

    Validity: mean over a turn; the swing about it is left out, which matters for few, heavy pistons.
    Source: [KerWilson] equivalent inertia with half the reciprocating mass at the crankpin, from memory.
    """
    positive(radius=radius)
    not_negative(crank=crank, rotating=rotating, reciprocating=reciprocating)
    return crank + (rotating + reciprocating / 2) * radius * radius


def shaft_stiffness(*, length: float, outside: float, inside: float = 0.0, shear_modulus: float) -> float:
    """Torsional stiffness of a round shaft.

    Args:
        length: of the shaft [m].
        outside: diameter [m].
        inside: diameter of the bore [m].
        shear_modulus: of the material [Pa].

    Returns:
        The stiffness [N m/rad].

    Raises:
        OutOfRange: if length, diameter or modulus is not above 0, or the bore not smaller than the outside.

    Validity: elastic, straight.
    Source: closed form, Saint-Venant.
    """
    positive(length=length, outside=outside, shear_modulus=shear_modulus)
    within(0.0, outside * (1 - 1e-9), inside=inside)
    return shear_modulus * math.pi / 32 * (outside**4 - inside**4) / length


@dataclass(frozen=True, slots=True)
class ThrowStiffness:
    """Torsional stiffness of one throw, from the middle of a main to the middle of the next, by two rules.

    Attributes:
        ker_wilson: by Ker Wilson's equivalent length [N m/rad].
        carter: by Carter's equivalent length [N m/rad].
    """

    ker_wilson: float
    carter: float


def throw_stiffness(
    *,
    main_diameter: float,
    main_length: float,
    pin_diameter: float,
    pin_length: float,
    web_thickness: float,
    web_width: float,
    radius: float,
    shear_modulus: float,
    main_bore: float = 0.0,
    pin_bore: float = 0.0,
) -> ThrowStiffness:
    """Torsional stiffness of a crank throw from its dimensions, by two old rules that bracket it more or less.

    Args:
        main_diameter: of the main journal [m].
        main_length: of the main journal, both halves beside the throw together [m].
        pin_diameter: of the crankpin [m].
        pin_length: of the crankpin [m].
        web_thickness: of one web, along the crank [m].
        web_width: of the web, across the line from main to pin [m].
        radius: of the crank [m].
        shear_modulus: of the material [Pa].
        main_bore: hole along the main journal [m].
        pin_bore: hole along the crankpin [m].

    Returns:
        The stiffness by either rule [N m/rad].

    Raises:
        OutOfRange: if a size is not above 0, or a hole as large as its journal.

    Validity: throws whose pin and main overlap little; a throw with much overlap is stiffer than either says. Expect
        10 to 20 per cent; a measured natural frequency is better than both.
    Source: [KerWilson] and [Carter], both from memory; typed stiffnesses should replace them where they are known.
    """
    positive(
        main_diameter=main_diameter,
        main_length=main_length,
        pin_diameter=pin_diameter,
        pin_length=pin_length,
        web_thickness=web_thickness,
        web_width=web_width,
        radius=radius,
        shear_modulus=shear_modulus,
    )
    within(0.0, 0.9 * main_diameter, main_bore=main_bore)
    within(0.0, 0.9 * pin_diameter, pin_bore=pin_bore)
    main = main_diameter**4 - main_bore**4
    pin = pin_diameter**4 - pin_bore**4
    web = web_thickness * web_width**3
    arm = radius - 0.2 * (main_diameter + pin_diameter)
    if arm <= 0.0:
        raise OutOfRange(f"radius is {radius:g}: more than a fifth of both journals' diameters together is needed")
    ker_wilson = (main_length + 0.4 * main_diameter) / main + (pin_length + 0.4 * pin_diameter) / pin + arm / web
    carter = (main_length + 0.8 * web_thickness) / main + 0.75 * pin_length / pin + 1.5 * radius / web
    scale = shear_modulus * math.pi / 32
    return ThrowStiffness(scale / ker_wilson, scale / carter)


def journal_stress(*, torque: float, outside: float, inside: float = 0.0) -> float:
    """Shear stress at the surface of a journal under a torque, away from fillets and oil holes.

    Args:
        torque: amplitude or mean [N m].
        outside: diameter of the journal [m].
        inside: diameter of its bore [m].

    Returns:
        The stress [Pa].

    Raises:
        OutOfRange: if the diameter is not above 0, the bore not smaller, or the torque negative.

    Validity: nominal stress; fillets and oil holes raise it 1.5 to 3 times.
    Source: closed form, Saint-Venant.
    """
    positive(outside=outside)
    not_negative(torque=torque)
    within(0.0, outside * (1 - 1e-9), inside=inside)
    return 16.0 * torque * outside / (math.pi * (outside**4 - inside**4))
