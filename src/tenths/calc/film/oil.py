"""Oils: viscosity by temperature, shear and pressure; grades; density, heat capacity; what fuel in the sump does.

Temperatures in kelvin, kinematic viscosities in m2/s (1 mm2/s = 1e-6 m2/s), dynamic viscosities in Pa s.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import BadInput, OutOfRange

ZERO_CELSIUS = 273.15
_MM2 = 1e-6
_TOP = 423.15  # 150 degC, where viscosity at high shear is measured
_HIGH_SHEAR = 1e6  # 1/s, of that test
# [D2270] Table of coefficients: from Y = kinematic viscosity at 100 degC [mm2/s], L and H = a Y^2 + b Y + c.
_INDEX = (
    (2.0, (1.14673, 1.7576, -0.109), (0.84155, 1.5521, -0.077)),
    (3.8, (3.38095, -15.4952, 33.196), (0.78571, 1.7929, -0.183)),
    (4.4, (2.5000, -7.2143, 13.812), (0.82143, 1.5679, 0.119)),
    (5.0, (0.10100, 16.6350, -45.469), (0.04985, 9.1613, -18.557)),
    (6.4, (3.35714, -23.5643, 78.466), (0.22619, 7.7369, -16.656)),
    (7.0, (0.01191, 21.4750, -72.870), (0.79762, -0.7321, 14.610)),
    (7.7, (0.41858, 16.1558, -56.040), (0.05794, 10.5156, -28.240)),
    (9.0, (0.88779, 7.5527, -16.600), (0.26665, 6.7015, -10.810)),
    (12.0, (0.76720, 10.7972, -38.180), (0.20073, 8.4658, -22.490)),
    (15.0, (0.97305, 5.3135, -2.200), (0.28889, 5.9741, -4.930)),
    (18.0, (0.97256, 5.2500, -0.980), (0.24504, 7.4160, -16.730)),
    (22.0, (0.91413, 7.4759, -21.820), (0.20323, 9.1267, -34.230)),
    (28.0, (0.87031, 9.7157, -50.770), (0.18411, 10.1015, -46.750)),
    (40.0, (0.84703, 12.6752, -133.310), (0.17029, 11.4866, -80.620)),
    (55.0, (0.85921, 11.1009, -83.190), (0.17130, 11.3680, -76.940)),
    (70.0, (0.83531, 14.6731, -216.246), (0.16841, 11.8493, -96.947)),
)


@dataclass(frozen=True, slots=True)
class Walther:
    """The straight line of an oil on the viscosity chart: log10 log10(nu / (mm2/s) + 0.7) = a - b log10(T / K).

    Attributes:
        a: where it stands [-].
        b: how steep it falls [-].
    """

    a: float
    b: float

    def kinematic(self, temperature: float) -> float:
        """Kinematic viscosity.

        Args:
            temperature: of the oil [K], 223 to 523.

        Returns:
            Kinematic viscosity [m2/s].

        Raises:
            OutOfRange: if the temperature is out of that range.

        Validity: above 2 mm2/s; below it the standard adds terms that are left out here.
        Source: Eq. 1 in [D341].
        """
        within(223.0, 523.0, temperature=temperature)
        return (10.0 ** 10.0 ** (self.a - self.b * math.log10(temperature)) - 0.7) * _MM2


def walther(temperatures: Sequence[float], viscosities: Sequence[float]) -> Walther:
    """The line through two viscosities, or the best line through more.

    Args:
        temperatures: two or more, different [K].
        viscosities: kinematic, at these temperatures [m2/s].

    Returns:
        The line.

    Raises:
        BadInput: for fewer than two pairs, lengths that differ, or equal temperatures.
        OutOfRange: for viscosities of 0.3 mm2/s or less, or that do not fall with temperature.

    Validity: as of `Walther.kinematic`.
    Source: Eq. 1 in [D341]; least squares on the chart's axes for more than two.
    """
    if len(temperatures) != len(viscosities) or len(temperatures) < 2:
        raise BadInput(f"{len(temperatures)} temperatures and {len(viscosities)} viscosities: two or more pairs are needed")
    for value in viscosities:
        within(0.31 * _MM2, 1.0, viscosities=value)
    for value in temperatures:
        within(223.0, 523.0, temperatures=value)
    across = [math.log10(value) for value in temperatures]
    up = [math.log10(math.log10(value / _MM2 + 0.7)) for value in viscosities]
    middle, level = math.fsum(across) / len(across), math.fsum(up) / len(up)
    spread = math.fsum((x - middle) ** 2 for x in across)
    if spread == 0.0:
        raise BadInput("temperatures are all the same: two different ones are needed")
    slope = -math.fsum((x - middle) * (y - level) for x, y in zip(across, up, strict=True)) / spread
    if slope <= 0.0:
        raise OutOfRange("viscosities rise with temperature: falling ones are needed")
    return Walther(level + slope * middle, slope)


def viscosity_index(*, at_40: float, at_100: float) -> float:
    """How little the viscosity falls with temperature.

    Args:
        at_40: kinematic viscosity at 40 degC [m2/s].
        at_100: the same at 100 degC [m2/s], 2 mm2/s or more.

    Returns:
        The index [-]; the standard rounds it to a whole number.

    Raises:
        OutOfRange: for less than 2 mm2/s at 100 degC, or 40 degC not the thicker.

    Validity: 2 mm2/s or more at 100 degC.
    Source: procedures A and B in [D2270].
    """
    warm, hot = at_40 / _MM2, at_100 / _MM2
    within(2.0, 1e4, at_100_mm2_s=hot)
    if warm <= hot:
        raise OutOfRange(f"at_40 is {warm:g} mm2/s: more than the {hot:g} mm2/s at 100 degC is needed")
    low, high = next((low, high) for start, low, high in reversed(_INDEX) if hot >= start)
    of_index_0 = low[0] * hot * hot + low[1] * hot + low[2]
    of_index_100 = high[0] * hot * hot + high[1] * hot + high[2]
    if warm >= of_index_100:
        return 100.0 * (of_index_0 - warm) / (of_index_0 - of_index_100)
    return 100.0 + (10.0 ** (math.log10(of_index_100 / warm) / math.log10(hot)) - 1.0) / 0.00715


def density(temperature: float, *, at_15: float) -> float:
    """Density of a lubricating oil.

    Args:
        temperature: of the oil [K], 223 to 523.
        at_15: density at 15 degC [kg/m3], 700 to 1100.

    Returns:
        Density [kg/m3].

    Raises:
        OutOfRange: outside those ranges.

    Validity: petroleum oils; a few tenths of a per cent for synthetic ones.
    Source: volume correction for lubricating oils in [D1250], K0 = 0 and K1 = 0.6278; from memory.
    """
    within(223.0, 523.0, temperature=temperature)
    within(700.0, 1100.0, at_15=at_15)
    rate = 0.6278 / at_15
    warmer = temperature - (ZERO_CELSIUS + 15.0)
    return at_15 * math.exp(-rate * warmer * (1.0 + 0.8 * rate * warmer))


def heat_capacity(temperature: float, *, at_15: float) -> float:
    """Specific heat of a petroleum oil.

    Args:
        temperature: of the oil [K], 223 to 523.
        at_15: density at 15 degC [kg/m3], 700 to 1100.

    Returns:
        Specific heat [J/(kg K)], good to 4 %.

    Raises:
        OutOfRange: outside those ranges.

    Validity: petroleum liquids, 0 to 200 degC.
    Source: [Cragoe], (0.388 + 0.00045 t) / sqrt(d) in Btu/(lb degF) with t in degF; from memory.
    """
    within(223.0, 523.0, temperature=temperature)
    within(700.0, 1100.0, at_15=at_15)
    fahrenheit = (temperature - ZERO_CELSIUS) * 1.8 + 32.0
    return 4186.8 * (0.388 + 0.00045 * fahrenheit) / math.sqrt(at_15 / 999.0)


def blended(oil: float, *, thinner: float, share: float) -> float:
    """Kinematic viscosity of oil with a thinner liquid in it, as fuel in the sump.

    Args:
        oil: kinematic viscosity of the oil [m2/s], at the temperature asked for.
        thinner: of what got into it, at the same temperature [m2/s].
        share: by mass of the thinner [-], 0 to 1.

    Returns:
        Kinematic viscosity [m2/s].

    Raises:
        OutOfRange: for a share outside of 0 to 1, or viscosities under 0.21 mm2/s.

    Validity: petroleum liquids that mix; a rule of blending good to some per cent.
    Source: blending number 14.534 ln ln(nu + 0.8) + 10.975 in [Maples]; from memory.
    """
    within(0.0, 1.0, share=share)
    within(0.21 * _MM2, 1.0, oil=oil, thinner=thinner)
    number = (1.0 - share) * math.log(math.log(oil / _MM2 + 0.8)) + share * math.log(math.log(thinner / _MM2 + 0.8))
    return (math.exp(math.exp(number)) - 0.8) * _MM2


def under_pressure(viscosity: float, *, pressure: float, coefficient: float) -> float:
    """Dynamic viscosity under pressure.

    Args:
        viscosity: at ambient pressure [Pa s].
        pressure: in the film [Pa].
        coefficient: of the oil [1/Pa]; 15e-9 to 25e-9 for mineral oils near 100 degC to 40 degC, from memory.

    Returns:
        Dynamic viscosity [Pa s].

    Raises:
        OutOfRange: for a viscosity that is not positive, or a pressure or coefficient below 0.

    Validity: up to some hundred MPa.
    Source: [Barus], viscosity times exp(coefficient times pressure).
    """
    positive(viscosity=viscosity)
    not_negative(pressure=pressure, coefficient=coefficient)
    return viscosity * math.exp(coefficient * pressure)


@dataclass(frozen=True, slots=True)
class Oil:
    """An oil, ready to be asked for its viscosity.

    Attributes:
        line: kinematic viscosity at low shear, by temperature.
        at_15: density at 15 degC [kg/m3].
        high_shear: dynamic viscosity at 150 degC and a million 1/s, without fuel [Pa s]; None for an oil that shear does not
            thin.
        fuel: share by mass of fuel in it [-].
        fuel_viscosity: kinematic, of that fuel [m2/s]; petrol about 0.5 mm2/s when warm, from memory.
        pressure_coefficient: by which pressure thickens it [1/Pa], see `under_pressure`; 0 to leave that out.
    """

    line: Walther
    at_15: float = 870.0
    high_shear: float | None = None
    fuel: float = 0.0
    fuel_viscosity: float = 0.5e-6
    pressure_coefficient: float = 0.0

    def viscosity(self, temperature: float, *, shear_rate: float = 0.0) -> float:
        """Dynamic viscosity.

        Args:
            temperature: [K], 223 to 523.
            shear_rate: [1/s], 0 or more.

        Returns:
            Dynamic viscosity [Pa s].

        Raises:
            OutOfRange: outside those ranges, or if the viscosity at high shear does not fit the oil: between half and
                all of that at low shear is understood.

        Validity: good to a few per cent up to ten million 1/s, since one point of high shear is known: half of the
            thinning is taken to be done at that point, and other temperatures follow by the oil's own time of relaxation.
        Source: [Cross] with exponent 1; temperatures by superposition of time and temperature in [Ferry].
        """
        not_negative(shear_rate=shear_rate)
        slow = self._slow(temperature)
        if self.high_shear is None or shear_rate == 0.0:
            return slow
        at_top = self._clean(_TOP)
        left = 2.0 * self.high_shear / at_top - 1.0
        if not 0.0 <= left <= 1.02:
            raise OutOfRange(
                f"high_shear is {self.high_shear * 1e3:.3g} mPa s: {at_top * 500:.3g} to {at_top * 1e3:.3g} mPa s fits this oil"
            )
        left = min(left, 1.0)
        critical = _HIGH_SHEAR * at_top * temperature / (self._clean(temperature) * _TOP)
        return slow * (left + (1.0 - left) / (1.0 + shear_rate / critical))

    def density(self, temperature: float) -> float:
        """Density [kg/m3] at a temperature [K]; see `density`."""
        return density(temperature, at_15=self.at_15)

    def heat_capacity(self, temperature: float) -> float:
        """Specific heat [J/(kg K)] at a temperature [K]; see `heat_capacity`."""
        return heat_capacity(temperature, at_15=self.at_15)

    def _clean(self, temperature: float) -> float:
        """At low shear, without fuel: what was tested at high shear."""
        return self.line.kinematic(temperature) * self.density(temperature)

    def _slow(self, temperature: float) -> float:
        thin = self.line.kinematic(temperature)
        if self.fuel:
            thin = blended(thin, thinner=self.fuel_viscosity, share=self.fuel)
        return thin * self.density(temperature)
