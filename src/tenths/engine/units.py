"""Units that people type and read, with exact factors to SI.

Factors: inch, pound and gallon by definition (NIST SP 811 appendix B; BIPM SI Brochure). Columns of water and mercury
are conventional, at the density and gravity that NIST SP 811 gives (water 4 degC, mercury 0 degC).
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import pi


class Quantity(StrEnum):
    """What a number is a number of."""

    LENGTH = "length"
    ANGLE = "angle"
    AREA = "area"
    VOLUME = "volume"
    MASS = "mass"
    FORCE = "force"
    TORQUE = "torque"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    SPEED = "speed of turning"
    VELOCITY = "velocity"
    ACCELERATION = "acceleration"
    STIFFNESS = "stiffness"
    RATIO = "ratio"
    COUNT = "count"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its name, its quantity, how many SI units it is, what is added first (temperatures), other names."""

    name: str
    quantity: Quantity
    factor: Fraction
    aliases: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)
    metric: bool = True


F = Fraction
INCH = F(254, 10000)
POUND = F(45359237, 100000000)
GRAVITY = F(980665, 100000)
LBF = POUND * GRAVITY
DEGREE = F(pi) / 180
TURN_PER_MINUTE = F(pi) / 30
Q = Quantity


def _u(name: str, quantity: Quantity, factor: Fraction | int, *aliases: str, offset: Fraction = F(0),
       metric: bool = True) -> Unit:
    return Unit(name, quantity, F(factor), aliases, offset, metric)


UNITS: tuple[Unit, ...] = (
    _u("in", Q.LENGTH, INCH, "inch", "inches", '"', "″", "”", metric=False),
    _u("thou", Q.LENGTH, INCH / 1000, "thous", "thousandths", metric=False),
    _u("tenths", Q.LENGTH, INCH / 10000, "tenth", metric=False),
    _u("µin", Q.LENGTH, INCH / 1000000, "μin", "uin", "microinch", "microinches", metric=False),
    _u("ft", Q.LENGTH, INCH * 12, "foot", "feet", metric=False),
    _u("mm", Q.LENGTH, F(1, 1000), "millimetre", "millimeter", "millimetres", "millimeters"),
    _u("cm", Q.LENGTH, F(1, 100), "centimetre", "centimeter"),
    _u("m", Q.LENGTH, 1, "metre", "meter", "metres", "meters"),
    _u("µm", Q.LENGTH, F(1, 1000000), "μm", "um", "micron", "microns", "micrometre", "micrometer"),
    _u("deg", Q.ANGLE, DEGREE, "°", "degree", "degrees"),
    _u("rad", Q.ANGLE, 1, "radian", "radians"),
    _u("arcmin", Q.ANGLE, DEGREE / 60),
    _u("mm2", Q.AREA, F(1, 1000000), "mm²", "mm^2", "sq mm"),
    _u("cm2", Q.AREA, F(1, 10000), "cm²", "cm^2", "sq cm"),
    _u("m2", Q.AREA, 1, "m²", "m^2"),
    _u("in2", Q.AREA, INCH**2, "in²", "in^2", "sq in", metric=False),
    _u("cc", Q.VOLUME, F(1, 1000000), "cm3", "cm³", "cm^3", "ml", "ccm"),
    _u("l", Q.VOLUME, F(1, 1000), "litre", "liter", "litres", "liters"),
    _u("m3", Q.VOLUME, 1, "m³", "m^3"),
    _u("mm3", Q.VOLUME, F(1, 10**9), "mm³", "mm^3"),
    _u("in3", Q.VOLUME, INCH**3, "in³", "in^3", "cu in", "cu. in", "ci", "cid", metric=False),
    _u("g", Q.MASS, F(1, 1000), "gram", "grams", "gramme", "grammes"),
    _u("kg", Q.MASS, 1, "kilogram", "kilograms", "kilo", "kilos"),
    _u("oz", Q.MASS, POUND / 16, "ounce", "ounces", metric=False),
    _u("lb", Q.MASS, POUND, "lbs", "lbm", "pound", "pounds", metric=False),
    _u("N", Q.FORCE, 1, "newton", "newtons"),
    _u("kN", Q.FORCE, 1000),
    _u("lbf", Q.FORCE, LBF, "lb", "lbs", "pound", "pounds", metric=False),
    _u("kgf", Q.FORCE, GRAVITY, "kp"),
    _u("N m", Q.TORQUE, 1, "nm", "n·m", "n-m", "newton metre", "newton meter", "newton metres"),
    _u("lbf ft", Q.TORQUE, LBF * INCH * 12, "lb ft", "lb-ft", "lbf-ft", "ft lb", "ft-lb", "ft-lbs", "ft lbs", "lb·ft",
       "lbf·ft", "ft lbf", "ft-lbf", "ft·lbf", "lbs ft", "lbs-ft", metric=False),
    _u("lbf in", Q.TORQUE, LBF * INCH, "lb in", "lb-in", "lbf-in", "in lb", "in-lb", "in-lbs", "in lbs", "lbf·in",
       "in lbf", "in-lbf", "lb·in", metric=False),
    _u("kgf m", Q.TORQUE, GRAVITY, "kg m", "kgm", "kg-m", "kgf-m", "mkg", "kpm"),
    _u("Pa", Q.PRESSURE, 1, "pascal"),
    _u("kPa", Q.PRESSURE, 1000),
    _u("MPa", Q.PRESSURE, 1000000),
    _u("bar", Q.PRESSURE, 100000),
    _u("mbar", Q.PRESSURE, 100, "hpa"),
    _u("psi", Q.PRESSURE, LBF / INCH**2, "lbf/in2", "lb/in2", metric=False),
    _u("inHg", Q.PRESSURE, F(3386389, 1000), "in hg", "inches hg", "\"hg", metric=False),
    _u("inH2O", Q.PRESSURE, F(249089, 1000), "in h2o", "inches h2o", "\"h2o", "inh₂o", "in wc", "inwc", metric=False),
    _u("mmHg", Q.PRESSURE, F(133322, 1000), "mm hg", "torr"),
    _u("°F", Q.TEMPERATURE, F(5, 9), "f", "degf", "deg f", "fahrenheit", offset=F(45967, 100), metric=False),
    _u("°C", Q.TEMPERATURE, 1, "c", "degc", "deg c", "celsius", "℃", offset=F(27315, 100)),
    _u("K", Q.TEMPERATURE, 1, "kelvin"),
    _u("°F", Q.TEMPERATURE_DIFFERENCE, F(5, 9), "f", "degf", "deg f", metric=False),
    _u("K", Q.TEMPERATURE_DIFFERENCE, 1, "kelvin", "°c", "c", "degc", "deg c"),
    _u("rpm", Q.SPEED, TURN_PER_MINUTE, "r/min", "1/min", "rev/min", "min-1"),
    _u("rad/s", Q.SPEED, 1),
    _u("m/s", Q.VELOCITY, 1),
    _u("ft/min", Q.VELOCITY, INCH * 12 / 60, "fpm", metric=False),
    _u("ft/s", Q.VELOCITY, INCH * 12, metric=False),
    _u("m/s²", Q.ACCELERATION, 1, "m/s2", "m/s^2"),
    _u("ft/s²", Q.ACCELERATION, INCH * 12, "ft/s2", "ft/s^2", metric=False),
    _u("gn", Q.ACCELERATION, GRAVITY),
    _u("N/m", Q.STIFFNESS, 1),
    _u("N/mm", Q.STIFFNESS, 1000),
    _u("lbf/in", Q.STIFFNESS, LBF / INCH, "lb/in", "lbs/in", metric=False),
    _u("", Q.RATIO, 1, ":1", "to 1"),
    _u("%", Q.RATIO, F(1, 100), "percent", "per cent"),
    _u("", Q.COUNT, 1),
    _u("s", Q.TIME, 1, "sec", "second", "seconds"),
    _u("min", Q.TIME, 60, "minute", "minutes"),
    _u("h", Q.TIME, 3600, "hour", "hours", "hr"),
)
DISPLAY: dict[Quantity, tuple[str, str]] = {  # the unit of the trade in the inch and in the metric system
    Q.LENGTH: ("in", "mm"), Q.ANGLE: ("deg", "deg"), Q.AREA: ("in2", "cm2"), Q.VOLUME: ("cc", "cc"), Q.MASS: ("g", "g"),
    Q.FORCE: ("lbf", "N"), Q.TORQUE: ("lbf ft", "N m"), Q.PRESSURE: ("psi", "kPa"), Q.TEMPERATURE: ("°F", "°C"),
    Q.TEMPERATURE_DIFFERENCE: ("°F", "K"), Q.SPEED: ("rpm", "rpm"), Q.VELOCITY: ("ft/min", "m/s"),
    Q.ACCELERATION: ("ft/s²", "m/s²"), Q.STIFFNESS: ("lbf/in", "N/mm"), Q.RATIO: ("", ""), Q.COUNT: ("", ""),
    Q.TIME: ("s", "s"),
}
FINE = ("µin", "µm")
BY_NAME: dict[tuple[Quantity, str], Unit] = {(unit.quantity, unit.name): unit for unit in UNITS}
BY_ALIAS: dict[tuple[Quantity, str], Unit] = {
    (unit.quantity, alias.casefold()): unit for unit in reversed(UNITS) for alias in (unit.name, *unit.aliases)}
