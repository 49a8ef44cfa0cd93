"""A plain cylinder-pressure curve for load work where no better one is at hand: polytropic with a Wiebe burn.

Angles count from the firing top dead centre; a whole cycle is two turns.
"""

from __future__ import annotations

import math
from typing import cast

import numpy as np
from numpy.typing import NDArray

from tenths.calc import motion
from tenths.calc._check import not_negative, positive, within
from tenths.errors import OutOfRange

GAS_CONSTANT_OF_AIR = 287.05  # J/(kg K), dry air
BURN_STEPS = 400  # of the integral over the burn: the error of the work stays under a hundred-thousandth
CHANGEOVER = math.radians(20.0)  # after overlap: from exhaust to inlet pressure


def heat_of_charge(
    *, volume: float, pressure: float, temperature: float, air_fuel: float, heating_value: float, efficiency: float
) -> float:
    """Heat that the fuel of one cylinder's charge gives off in a cycle.

    Args:
        volume: filled with fresh charge [m3].
        pressure: of the charge there [Pa].
        temperature: of the charge there [K].
        air_fuel: mass of air over mass of fuel [-].
        heating_value: lower one of the fuel [J/kg].
        efficiency: part of the heat that reaches the gas, less what the walls take [-].

    Returns:
        The heat [J].

    Raises:
        OutOfRange: if a value is not above 0 or the efficiency above 1.

    Validity: fuel vapour takes little room; burned gas left over is counted off in the volume.
    Source: ideal gas law; [Heywood] chapter 3 for the rest.
    """
    positive(volume=volume, pressure=pressure, temperature=temperature, air_fuel=air_fuel, heating_value=heating_value)
    within(0.0, 1.0, efficiency=efficiency)
    air = pressure * volume / (GAS_CONSTANT_OF_AIR * temperature)
    return air / air_fuel * heating_value * efficiency


def burned_share(
    angle: NDArray[np.float64], *, start: float, duration: float, efficiency: float = 5.0, shape: float = 2.0
) -> NDArray[np.float64]:
    """Share of the charge that has burned.

    Args:
        angle: of the crank from firing top dead centre [rad], any shape.
        start: of the burn [rad].
        duration: of the burn [rad].
        efficiency: a of the formula [-].
        shape: m of the formula [-].

    Returns:
        The share [-], 0 before the start and 1 - exp(-a) from the end on, shape of the angle.

    Raises:
        OutOfRange: if duration, efficiency or shape is not above 0.

    Validity: spark-ignition burns; the defaults are usual.
    Source: [Heywood] Eq. 9.33, Wiebe function.
    """
    positive(duration=duration, efficiency=efficiency, shape=shape)
    progress = np.clip((np.asarray(angle, dtype=float) - start) / duration, 0.0, 1.0)
    return 1.0 - np.exp(-efficiency * progress ** (shape + 1.0))


def cycle_pressure(
    angle: NDArray[np.float64],
    *,
    bore: float,
    stroke: float,
    rod_length: float,
    clearance: float,
    inlet_pressure: float,
    exhaust_pressure: float,
    intake_closes: float,
    exhaust_opens: float,
    heat: float,
    burn_start: float,
    burn_duration: float,
    pin_offset: float = 0.0,
    exponent: float = 1.3,
    blowdown: float = math.radians(25.0),
) -> NDArray[np.float64]:
    """Cylinder pressure over a four-stroke cycle.

    Between intake closing and exhaust opening p V^k changes only by the heat that the burn adds; after exhaust opening
    the pressure falls off exponentially to that of the exhaust; the inlet stroke runs at inlet pressure.

    Args:
        angle: of the crank from firing top dead centre [rad], any shape; whole cycles may be added.
        bore: of the cylinder [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        clearance: volume at top dead centre [m3].
        inlet_pressure: absolute [Pa].
        exhaust_pressure: absolute [Pa].
        intake_closes: after bottom dead centre [rad].
        exhaust_opens: before bottom dead centre [rad].
        heat: added to the gas, walls' part taken off [J].
        burn_start: from firing top dead centre, negative before it [rad].
        burn_duration: from first to last of the burn [rad].
        pin_offset: of the piston pin, towards the thrust side + [m].
        exponent: k of compression and expansion [-].
        blowdown: angle in which the exhaust takes the pressure down to 37 per cent of its excess [rad].

    Returns:
        The pressure, absolute [Pa], shape of the angle.

    Raises:
        OutOfRange: if a size or pressure is not above 0, the heat negative, the exponent not 1.1 to 1.67, or the burn
            does not lie between intake closing and exhaust opening.

    Validity: loads of bearings and bolts to some 10 per cent of the peak pressure; knows nothing of waves or knock.
    Source: first law with constant specific heats; burn after [Heywood] Eq. 9.33 with a = 5, m = 2, scaled to burn all;
        blowdown and changeover are common practice, no source.
    """
    positive(inlet_pressure=inlet_pressure, exhaust_pressure=exhaust_pressure, clearance=clearance, blowdown=blowdown)
    not_negative(heat=heat)
    within(1.1, 1.67, exponent=exponent)
    closes, opens = intake_closes - math.pi, math.pi - exhaust_opens
    if not closes <= burn_start < burn_start + burn_duration <= opens:
        raise OutOfRange(
            f"burn_start is {burn_start:g}, burn_duration {burn_duration:g}: the burn must lie between intake closing "
            f"at {closes:g} and exhaust opening at {opens:g} rad"
        )

    def volume(at: NDArray[np.float64]) -> NDArray[np.float64]:
        return motion.cylinder_volume(
            at, bore=bore, stroke=stroke, rod_length=rod_length, clearance=clearance, pin_offset=pin_offset
        )

    burning = np.linspace(burn_start, burn_start + burn_duration, BURN_STEPS + 1)
    burned = burned_share(burning, start=burn_start, duration=burn_duration)
    weight = volume(burning) ** (exponent - 1.0)
    gained = np.concatenate(([0.0], np.cumsum(np.diff(burned) * (weight[1:] + weight[:-1]) / 2))) / burned[-1]
    trapped = inlet_pressure * volume(np.asarray(closes)) ** exponent

    def closed(at: NDArray[np.float64]) -> NDArray[np.float64]:
        burned_work = cast("NDArray[np.float64]", np.interp(at, burning, gained))
        return (trapped + (exponent - 1.0) * heat * burned_work) / volume(at) ** exponent

    own = np.remainder(np.asarray(angle, dtype=float) + math.tau, 2 * math.tau) - math.tau
    released = float(closed(np.asarray(opens)))

    def exhausting(at: NDArray[np.float64]) -> NDArray[np.float64]:
        return exhaust_pressure + (released - exhaust_pressure) * np.exp(-(at - opens) / blowdown)

    after_overlap = np.clip((own + math.tau) / CHANGEOVER, 0.0, 1.0)
    last = float(exhausting(np.asarray(math.tau)))
    filling = last + (inlet_pressure - last) * after_overlap
    return np.where(own < closes, filling, np.where(own <= opens, closed(own), exhausting(np.maximum(own, opens))))
