"""How fast a flame burns into its charge, and how the length of the burn follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from math import exp

from tenths.calc._check import positive, within
from tenths.errors import BadInput

# Of each fuel: largest speed [m/s], curvature [m/s], richness of the largest [-]
_KECK: Mapping[str, tuple[float, float, float]] = {
    "petrol": (0.305, -0.549, 1.21), "iso-octane": (0.263, -0.847, 1.13), "propane": (0.342, -1.387, 1.08),
    "methanol": (0.369, -1.405, 1.11),
}
# Z W [m/s], eta, xi, alpha, beta of the other form
_GULDER: Mapping[str, tuple[float, float, float, float, float]] = {
    "iso-octane": (0.4658, -0.326, 4.48, 1.56, -0.22), "ethanol": (0.4650, 0.25, 6.34, 1.75, -0.17),
    "propane": (0.4460, 0.12, 4.95, 1.77, -0.20),
}


def laminar_speed(fuel: str, *, richness: float, temperature: float, pressure: float, burned: float = 0.0) -> float:
    """Speed at which a smooth flame moves into a still charge.

    Args:
        fuel: petrol, iso-octane, propane or methanol; ethanol by the other form.
        richness: fuel over that which the air just burns [-].
        temperature: of the charge [K].
        pressure: of the charge [Pa].
        burned: share of burned gas in the charge, by moles [-].

    Returns:
        The speed [m/s].

    Raises:
        BadInput: for a fuel that is not in the tables.
        OutOfRange: for a temperature or pressure not above 0, a richness outside of 0.5 to 1.7 or a share outside of 0 to 0.4.

    Validity: 298 to 700 K, 0.4 to 50 atm, richness 0.8 to 1.5 as measured; beyond by extension, and never below a fiftieth of the largest.
    Source: [Metghalchi] for pure fuels, [RhodesKeck] for petrol, [Gulder] for ethanol; [Heywood] section 9.3.4.
    """
    positive(temperature=temperature, pressure=pressure)
    within(0.5, 1.7, richness=richness)
    within(0.0, 0.4, burned=burned)
    thinned = 1.0 - 2.06 * burned**0.77
    if fuel in _KECK:
        most, curve, at = _KECK[fuel]
        plain = max(most + curve * (richness - at) ** 2, most / 50.0)
        if fuel == "petrol":
            alpha, beta = 2.4 - 0.271 * richness**3.51, -0.357 + 0.14 * richness**2.77
        else:
            alpha, beta = 2.18 - 0.8 * (richness - 1.0), -0.16 + 0.22 * (richness - 1.0)
        return plain * (temperature / 298.0) ** alpha * (pressure / 101325.0) ** beta * max(thinned, 0.02)
    if fuel in _GULDER:
        return gulder_speed(fuel, richness=richness, temperature=temperature, pressure=pressure) * max(thinned, 0.02)
    raise BadInput(f"fuel: {fuel!r} has no speed of flame; there are {', '.join(sorted({*_KECK, *_GULDER}))}")


def gulder_speed(fuel: str, *, richness: float, temperature: float, pressure: float) -> float:
    """The same without burned gas, in the other form, for comparison.

    Args:
        fuel: iso-octane, ethanol or propane.
        richness: fuel over that which the air just burns [-].
        temperature: of the charge [K].
        pressure: of the charge [Pa].

    Returns:
        The speed [m/s].

    Raises:
        BadInput: for another fuel.
        OutOfRange: as of `laminar_speed`.

    Validity: richness 0.75 to 1.4 as measured.
    Source: [Gulder], pressures in atmospheres taken as bars within 1.3 %.
    """
    if fuel not in _GULDER:
        raise BadInput(f"fuel: {fuel!r} is not in this table; there are {', '.join(_GULDER)}")
    positive(temperature=temperature, pressure=pressure)
    within(0.5, 1.7, richness=richness)
    scale, eta, xi, alpha, beta = _GULDER[fuel]
    power = beta / richness**0.5 if fuel == "ethanol" else beta
    return scale * richness**eta * exp(-xi * (richness - 1.075) ** 2) * (temperature / 300.0) ** alpha * (pressure / 101325.0) ** power


def burn_share(*, speed: float, flame: float, usual_speed: float, usual_flame: float) -> float:
    """Length of the burn over that of an engine in its usual state, in crank angle.

    Args:
        speed: of the crank [rad/s].
        flame: laminar speed of the charge [m/s].
        usual_speed: of the crank in that state [rad/s].
        usual_flame: laminar speed in that state [m/s].

    Returns:
        The share [-].

    Raises:
        OutOfRange: for speeds that are not above 0.

    Validity: one engine against itself.
    Source: [Hires]: the angle goes with the third root of the speed and with the flame's speed to minus two thirds.
    """
    positive(speed=speed, flame=flame, usual_speed=usual_speed, usual_flame=usual_flame)
    return (speed / usual_speed) ** (1.0 / 3.0) * (usual_flame / flame) ** (2.0 / 3.0)
