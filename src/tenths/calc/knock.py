"""Octane that a combination asks for: end gas compressed by piston and flame, against the time it takes to light.

A plain estimate to compare combinations by, long before an engine runs: one burn, no heat to the walls of the end gas, no
waves. Angles count from firing top dead centre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from tenths.calc._check import positive, within
from tenths.errors import BadInput, OutOfRange

ATMOSPHERE = 101325.0  # Pa
STEP = math.radians(2.0)
BURNED_WHEN_SAFE = 0.9  # share burned after which what is left is too little, and too near the walls, to knock
HEAT_PER_CHARGE = 44.0e6 / 14.0 * 0.72  # J/kg of charge: petrol at 13 to 1, less what the walls take and dissociation
GAS_CONSTANT = 287.05  # J/(kg K)


def induction_time(*, octane: float, pressure: float, temperature: float) -> float:
    """Time that end gas held at a pressure and temperature takes to light by itself.

    Args:
        octane: number of the fuel [-].
        pressure: of the end gas [Pa].
        temperature: of the end gas [K].

    Returns:
        The time [s].

    Raises:
        OutOfRange: if the octane number is not 60 to 120, or pressure or temperature not above 0.

    Validity: petrol-like fuels of 80 to 100 octane; outside that the formula is only a trend.
    Source: [DouaudEyzat], as in [Heywood] Eq. 9.68; from memory.
    """
    within(60.0, 120.0, octane=octane)
    positive(pressure=pressure, temperature=temperature)
    return 17.68e-3 * (octane / 100) ** 3.402 * (pressure / ATMOSPHERE) ** -1.7 * math.exp(3800.0 / temperature)


def octane_of_history(*, times: Sequence[float], pressures: Sequence[float], temperatures: Sequence[float]) -> float:
    """Least octane number with which end gas that goes through a history does not light by itself.

    Args:
        times: rising [s], shape (n,).
        pressures: of the end gas at those times [Pa], shape (n,).
        temperatures: of the end gas at those times [K], shape (n,).

    Returns:
        The octane number [-], not limited to the formula's range.

    Raises:
        BadInput: if the three are not equally long, or shorter than two.
        OutOfRange: if a time does not rise, or a pressure or temperature is not above 0.

    Validity: as for the induction time.
    Source: [LivengoodWu] integral of time over induction time, with the octane number taken out of [DouaudEyzat].
    """
    if not len(times) == len(pressures) == len(temperatures) >= 2:
        raise BadInput(f"times, pressures, temperatures hold {len(times)}, {len(pressures)}, {len(temperatures)}: "
                       "alike and at least two are needed")
    rates = [1.0 / induction_time(octane=100.0, pressure=p, temperature=t)
             for p, t in zip(pressures, temperatures, strict=True)]
    total = 0.0
    for k in range(1, len(times)):
        if times[k] <= times[k - 1]:
            raise OutOfRange(f"times: {times[k]:g} s does not come after {times[k - 1]:g} s")
        total += (times[k] - times[k - 1]) * (rates[k] + rates[k - 1]) / 2
    return 100.0 * total ** (1 / 3.402)


@lru_cache(maxsize=4096)
def octane_needed(
    *,
    compression_ratio: float,
    rod_ratio: float,
    speed: float,
    intake_closes: float = math.radians(60.0),
    inlet_pressure: float = 0.95 * ATMOSPHERE,
    inlet_temperature: float = 350.0,
    burn_start: float = math.radians(-22.0),
    burn_duration: float = math.radians(60.0),
    exponent: float = 1.31,
) -> float:
    """Octane number that full throttle asks for, from the combination alone.

    Args:
        compression_ratio: static [-].
        rod_ratio: rod length over stroke [-].
        speed: of the crank [rad/s].
        intake_closes: after bottom dead centre [rad].
        inlet_pressure: of the charge when the intake closes, absolute [Pa].
        inlet_temperature: of the charge when the intake closes [K].
        burn_start: from firing top dead centre, negative before it [rad].
        burn_duration: from first to last of the burn [rad].
        exponent: k of compression and expansion, burned and unburned [-].

    Returns:
        The octane number [-].

    Raises:
        OutOfRange: if the compression ratio is not 5 to 18, the rod ratio under 1, the speed or a state not above 0.

    Validity: spark-ignition engines on petrol, spark for best torque; good to about 4 octane numbers at best.
    Source: [LivengoodWu] and [DouaudEyzat] along a polytropic with a Wiebe burn, [Heywood] Eq. 9.33; the state when the
        intake closes, the burn and the heat are common practice, no source.
    """
    within(5.0, 18.0, compression_ratio=compression_ratio)
    within(1.0, 10.0, rod_ratio=rod_ratio)
    positive(speed=speed, inlet_pressure=inlet_pressure, inlet_temperature=inlet_temperature, burn_duration=burn_duration)
    ratio = compression_ratio

    def volume(angle: float) -> float:
        """Over the clearance volume."""
        along = math.sqrt((2 * rod_ratio) ** 2 - math.sin(angle) ** 2)
        return 1.0 + (ratio - 1.0) / 2 * (1.0 + 2 * rod_ratio - math.cos(angle) - along)

    closes = intake_closes - math.pi
    trapped = volume(closes)
    heat = HEAT_PER_CHARGE * inlet_pressure * trapped / (GAS_CONSTANT * inlet_temperature)
    work = inlet_pressure * trapped**exponent
    times, pressures, temperatures = [0.0], [inlet_pressure], [inlet_temperature]
    # equal steps that end where the share is burned: else the last step's length jumps with the closing of the intake
    end = burn_start + burn_duration * (-math.log(1.0 - BURNED_WHEN_SAFE) / 5.0) ** (1 / 3)
    steps = max(1, math.ceil((end - closes) / STEP))
    step, burned = (end - closes) / steps, 0.0
    for number in range(1, steps + 1):
        angle = closes + number * step
        progress = min(max((angle - burn_start) / burn_duration, 0.0), 1.0)
        now = 1.0 - math.exp(-5.0 * progress**3)
        here = volume(angle)
        work += (exponent - 1.0) * heat * (now - burned) * volume(angle - step / 2) ** (exponent - 1.0)
        burned = now
        pressure = work / here**exponent
        times.append((angle - closes) / speed)
        pressures.append(pressure)
        temperatures.append(inlet_temperature * (pressure / inlet_pressure) ** ((exponent - 1.0) / exponent))
    return octane_of_history(times=times, pressures=pressures, temperatures=temperatures)
