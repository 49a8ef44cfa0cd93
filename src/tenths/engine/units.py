"""The units that people type and read, as one table: names, exact factors to SI, and how each is written.

Factors are exact by definition: the inch of 25.4 mm, the pound of 0.453 592 37 kg and the standard acceleration of
9.806 65 m/s2 [NIST-SP811, B.8]; millimetres of mercury and inches of water are the conventional ones of the same table.
Angles and turning speeds carry pi to fifty places.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from typing import Literal

from tenths.errors import BadInput

System = Literal["inch", "metric"]


class Quantity(StrEnum):
    """The kinds of number that are typed."""

    LENGTH = "length"
    ANGLE = "angle"
    VOLUME = "volume"
    AREA = "area"
    MASS = "mass"
    FORCE = "force"
    TORQUE = "torque"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    SPEED = "turning speed"
    STIFFNESS = "stiffness"
    RATIO = "ratio"
    COUNT = "count"
    TIME = "time"
    MASS_MOMENT = "unbalance"
    VELOCITY = "speed"
    ACCELERATION = "acceleration"
    INERTIA = "moment of inertia"
    TORSION = "stiffness in torsion"
    VISCOSITY = "viscosity"
    DYNAMIC_VISCOSITY = "dynamic viscosity"
    DENSITY = "density"
    FLOW = "flow of air"


class Comma(StrEnum):
    """What a comma before exactly three digits can mean beside a unit; see `Unit.comma`."""

    UNKNOWN = ""
    DECIMAL = "decimal"
    THOUSANDS = "thousands"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit: SI value = (number + offset) x factor.

    Attributes:
        name: as it is written.
        quantity: what it measures.
        aliases: other ways to type it, in lower case, its parts apart by single spaces.
        factor: exact SI value of one [SI unit of the quantity per unit].
        offset: added before the factor, for temperatures [the unit itself].
        places: decimals when nothing says how sure the number is.
        comma: what "1,234" means beside it, where only one of 1.234 and 1234 can stand on an engine.
        part_of: it names a decimal place of another unit (tenths and thou are inches), and is kept as that one.
    """

    name: str
    quantity: Quantity
    factor: Fraction
    aliases: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)
    places: int = 2
    comma: Comma = Comma.UNKNOWN
    part_of: tuple[str, int] | None = None


_LOWER = {code: code + 32 for code in range(ord("A"), ord("Z") + 1)}
_SEPARATED = re.compile(r" ?[-·.] ?(?=[a-zµ])")
_SLASH = re.compile(r" ?/ ?")

PI = Fraction("3.14159265358979323846264338327950288419716939937511")
_INCH = Fraction("0.0254")
_POUND = Fraction("0.45359237")
_G = Fraction("9.80665")
_LBF = _POUND * _G
_MMHG = Fraction("133.322387415")
_ONE = Fraction(1)


def _units(quantity: Quantity, *rows: tuple[str, Fraction | str, int, str]) -> tuple[Unit, ...]:
    return tuple(
        Unit(
            name=name,
            quantity=quantity,
            factor=Fraction(factor),
            places=places,
            aliases=tuple(a.strip() for a in aliases.split(",") if a.strip()),
        )
        for name, factor, places, aliases in rows
    )


# fmt: off
_LENGTH = (
    Unit(name="in", quantity=Quantity.LENGTH, factor=_INCH, places=4, aliases=('"', "inch", "inches", "ins")),
    Unit(name="thou", quantity=Quantity.LENGTH, factor=_INCH / 1000, places=1, part_of=("in", -3),
         aliases=("thous", "thousandth", "thousandths")),
    Unit(name="tenths", quantity=Quantity.LENGTH, factor=_INCH / 10000, places=0, part_of=("in", -4),
         aliases=("tenth",)),
    *_units(
        Quantity.LENGTH,
        ("µin", _INCH / 10**6, 0, "uin, microinch, microinches, millionths, micro inch, micro inches"),
        ("ft", _INCH * 12, 3, "', foot, feet"),
    ),
    Unit(name="mm", quantity=Quantity.LENGTH, factor=Fraction("1e-3"), places=3, comma=Comma.DECIMAL,
         aliases=("millimetre", "millimetres", "millimeter", "millimeters")),
    Unit(name="cm", quantity=Quantity.LENGTH, factor=Fraction("1e-2"), places=3, comma=Comma.DECIMAL,
         aliases=("centimetre", "centimetres", "centimeter", "centimeters")),
    *_units(
        Quantity.LENGTH,
        ("µm", "1e-6", 0, "um, µ, micron, microns, micrometre, micrometres, micrometer, micrometers"),
    ),
    Unit(name="m", quantity=Quantity.LENGTH, factor=_ONE, places=4, comma=Comma.DECIMAL,
         aliases=("metre", "metres", "meter", "meters")),
)
_VOLUME = (
    *_units(
        Quantity.VOLUME,
        ("cc", "1e-6", 1, "cm3, cm³, ccm, ml, millilitre, millilitres, milliliter, milliliters, cu cm"),
        ("in3", _INCH**3, 3, "in³, cu in, cubic in, cubic inch, cubic inches, ci, cid, cu inch, inch3, inch³"),
    ),
    Unit(name="L", quantity=Quantity.VOLUME, factor=Fraction("1e-3"), places=3, comma=Comma.DECIMAL,
         aliases=("litre", "litres", "liter", "liters", "dm3", "dm³")),
    *_units(Quantity.VOLUME, ("mm3", "1e-9", 0, "mm³"), ("m3", _ONE, 6, "m³")),
)
_SPEED = (
    Unit(name="rpm", quantity=Quantity.SPEED, factor=PI / 30, places=0, comma=Comma.THOUSANDS,
         aliases=("1/min", "min-1", "r/min", "rev/min", "revs", "u/min", "/min")),
    *_units(Quantity.SPEED, ("rad/s", _ONE, 2, "")),
)
_TEMPERATURES = tuple(
    Unit(name=name, quantity=quantity, factor=factor, places=1, aliases=aliases,
         offset=Fraction(zero if quantity is Quantity.TEMPERATURE else 0))
    for quantity in (Quantity.TEMPERATURE, Quantity.TEMPERATURE_DIFFERENCE)
    for name, factor, zero, aliases in (
        ("°F", Fraction(5, 9), "459.67", ("f", "degf", "deg f", "° f", "fahrenheit")),
        ("°C", _ONE, "273.15", ("c", "degc", "deg c", "° c", "celsius", "centigrade")),
        ("K", _ONE, "0", ("kelvin",)),
    )
)

_RUN_ON_FT = "lbft, ftlb, ftlbs, ftlbf, lbfft, foot pound, foot pounds, pound foot, pound feet, pounds feet"
_RUN_ON_IN = "lbin, inlb, inlbs, inlbf, lbfin, inch pound, inch pounds, pound inch, pound inches"
UNITS: tuple[Unit, ...] = (
    *_LENGTH,
    *_units(
        Quantity.ANGLE,
        ("deg", PI / 180, 2, "°, degs, degree, degrees"),
        ("arcmin", PI / 10800, 1, "', min, mins, minute, minutes"),
        ("arcsec", PI / 648000, 0, '", sec, secs, second, seconds'),
        ("rad", _ONE, 5, "radian, radians"),
    ),
    *_VOLUME,
    *_units(
        Quantity.AREA,
        ("in2", _INCH**2, 3, "in², sq in, square inch, square inches"),
        ("mm2", "1e-6", 1, "mm², sq mm"),
        ("cm2", "1e-4", 2, "cm², sq cm"),
        ("m2", _ONE, 6, "m², sq m"),
    ),
    *_units(
        Quantity.MASS,
        ("g", "1e-3", 1, "gram, grams, gm, gms, gramme, grammes"),
        ("kg", _ONE, 3, "kilo, kilos, kilogram, kilograms, kgs"),
        ("mg", "1e-6", 0, "milligram, milligrams"),
        ("oz", _POUND / 16, 2, "ounce, ounces, ozs"),
        ("lb", _POUND, 3, "lbs, lbm, pound, pounds"),
    ),
    *_units(
        Quantity.FORCE,
        ("lbf", _LBF, 1, "lb, lbs, pound, pounds, lbsf"),
        ("N", _ONE, 1, "newton, newtons"),
        ("kN", "1000", 3, "kilonewton, kilonewtons"),
        ("daN", "10", 1, "decanewton, decanewtons"),
        ("kgf", _G, 2, "kg, kp, kilo, kilos"),
    ),
    *_units(
        Quantity.TORQUE,
        ("lbf ft", _LBF * _INCH * 12, 1, f"lb ft, lbs ft, ft lb, ft lbs, ft lbf, {_RUN_ON_FT}"),
        ("lbf in", _LBF * _INCH, 1, f"lb in, lbs in, in lb, in lbs, in lbf, {_RUN_ON_IN}"),
        ("N m", _ONE, 1, "nm, newton metre, newton metres, newton meter, newton meters"),
        ("N cm", "1e-2", 0, "ncm"),
        ("daN m", "10", 2, "danm"),
        ("kgf m", _G, 2, "kgfm, kg m, kgm, mkg, m kg, kpm, kp m, mkp"),
        ("kgf cm", _G / 100, 0, "kgfcm, kg cm, kgcm"),
    ),
    *_units(
        Quantity.PRESSURE,
        ("psi", _LBF / _INCH**2, 1, "lb/in2, lbf/in2, lb/in², lbf/in², lb/sq in, lbs/sq in"),
        ("ksi", _LBF / _INCH**2 * 1000, 1, ""),
        ("bar", "1e5", 2, "bars"),
        ("mbar", "100", 0, "millibar, millibars"),
        ("Pa", _ONE, 0, "pascal, pascals, n/m2, n/m²"),
        ("hPa", "100", 0, ""),
        ("kPa", "1000", 1, ""),
        ("MPa", "1e6", 2, "n/mm2, n/mm²"),
        ("inHg", _MMHG * Fraction("25.4"), 2, 'in hg, inches hg, inch hg, inches of mercury, "hg, " hg'),
        ("mmHg", _MMHG, 1, "mm hg, torr"),
        ("inH2O", _G * Fraction("25.4"), 2, 'in h2o, inches h2o, inch h2o, inches of water, "h2o, " h2o, inwc'),
        ("mmH2O", _G, 1, "mm h2o"),
        ("atm", "101325", 4, ""),
        ("kgf/cm2", _G * 10000, 2, "kg/cm2, kgf/cm², kg/cm²"),
    ),
    *_TEMPERATURES,
    *_SPEED,
    *_units(
        Quantity.STIFFNESS,
        ("lbf/in", _LBF / _INCH, 1, "lb/in, lbs/in, lbsf/in, lb/inch, lbs/inch, lb per in, lb per inch, lbs per inch"),
        ("N/mm", "1000", 2, "n per mm"),
        ("N/m", _ONE, 0, ""),
        ("kgf/mm", _G * 1000, 3, "kg/mm"),
    ),
    *_units(Quantity.RATIO, ("", _ONE, 3, ""), ("%", "1e-2", 1, "percent, pct, per cent")),
    *_units(Quantity.COUNT, ("", _ONE, 0, "")),
    *_units(
        Quantity.TIME,
        ("s", _ONE, 1, "sec, secs, second, seconds"),
        ("ms", "1e-3", 1, "millisecond, milliseconds"),
        ("min", "60", 1, "mins, minute, minutes"),
        ("h", "3600", 2, "hr, hrs, hour, hours"),
    ),
    *_units(
        Quantity.MASS_MOMENT,
        ("g mm", "1e-6", 0, "gmm"),
        ("g cm", "1e-5", 1, "gcm"),
        ("g in", _INCH / 1000, 2, "gin, gram inch, gram inches, in g"),
        ("oz in", _POUND / 16 * _INCH, 3, "ozin, in oz, ounce inch, ounce inches"),
        ("kg m", _ONE, 6, "kgm"),
    ),
    *_units(
        Quantity.VELOCITY,
        ("m/s", _ONE, 2, "m per s"),
        ("ft/min", _INCH * 12 / 60, 0, "fpm"),
        ("ft/s", _INCH * 12, 1, "fps"),
        ("km/h", Fraction(1000, 3600), 1, "kph, kmh"),
        ("mph", _INCH * 12 * 5280 / 3600, 1, ""),
    ),
    *_units(
        Quantity.ACCELERATION,
        ("m/s2", _ONE, 0, "m/s²"),
        ("ft/s2", _INCH * 12, 0, "ft/s²"),
        ("g", _G, 1, "gn"),
    ),
    *_units(
        Quantity.INERTIA,
        ("kg cm2", "1e-4", 2, "kgcm2, kg cm²"),
        ("kg m2", _ONE, 5, "kgm2, kg m²"),
        ("kg mm2", "1e-6", 0, "kgmm2, kg mm²"),
        ("g cm2", "1e-7", 0, "gcm2, g cm²"),
        ("lb in2", _POUND * _INCH**2, 2, "lbin2, lb in², lbs in2, lbm in2"),
        ("lb ft2", _POUND * (_INCH * 12) ** 2, 3, "lbft2, lb ft², lbs ft2, lbm ft2"),
    ),
    *_units(
        Quantity.TORSION,
        ("N m/rad", _ONE, 0, "nm/rad"),
        ("kN m/rad", "1000", 1, "knm/rad"),
        ("N m/deg", 180 / PI, 1, "nm/deg, n m/°, nm/°"),
        ("lbf in/rad", _LBF * _INCH, 0, "lb in/rad, lbs in/rad"),
        ("lbf ft/rad", _LBF * _INCH * 12, 0, "lb ft/rad, lbs ft/rad"),
        ("lbf ft/deg", _LBF * _INCH * 12 * 180 / PI, 1, "lb ft/deg, lbs ft/deg, lbf ft/°"),
    ),
    *_units(
        Quantity.VISCOSITY,
        ("mm2/s", "1e-6", 2, "mm²/s, cst, centistoke, centistokes"),
        ("m2/s", _ONE, 8, "m²/s"),
    ),
    *_units(
        Quantity.DYNAMIC_VISCOSITY,
        ("mPa s", "1e-3", 2, "mpas, cp, centipoise"),
        ("Pa s", _ONE, 5, "pas"),
    ),
    *_units(
        Quantity.DENSITY,
        ("kg/m3", _ONE, 1, "kg/m³, g/l"),
        ("g/cm3", "1000", 4, "g/cm³, g/cc, g/ml, kg/l"),
        ("lb/in3", _POUND / _INCH**3, 5, "lb/in³, lbs/in3"),
    ),
    *_units(
        Quantity.FLOW,
        ("cfm", (_INCH * 12) ** 3 / 60, 1, "ft3/min, ft³/min, cu ft/min, cu ft per min, cubic feet per minute"),
        ("L/s", "1e-3", 2, "litre/s, litres/s, liter/s, liters/s, dm3/s, dm³/s"),
        ("L/min", Fraction(1, 60000), 0, "lpm, litre/min, litres/min, liter/min, liters/min"),
        ("m3/h", Fraction(1, 3600), 1, "m³/h, m3/hr, cbm/h"),
        ("m3/min", Fraction(1, 60), 3, "m³/min"),
        ("m3/s", _ONE, 5, "m³/s"),
    ),
)

# What people type that has two meanings, or whose meaning is decided elsewhere: refused with the sentence. A key with a
# capital letter stands for exactly that spelling.
_DEGREES = "degrees of which scale? Type °F or °C"
_MEASURE = "the US and the imperial measure differ; type L, cc or in3"
REFUSED: dict[tuple[Quantity, str], str] = {
    **{(Quantity.LENGTH, key): "mil is said of a thou and of a millimetre; type thou or mm" for key in ("mil", "mils")},
    **{(Quantity.LENGTH, key): "a hundredth of an inch or of a millimetre? Type in or mm"
       for key in ("hundredth", "hundredths")},
    **{(Quantity.VOLUME, key): "mil is said of a millilitre and of a thou; type mL or cc" for key in ("mil", "mils")},
    **{(Quantity.VOLUME, key): _MEASURE for key in (
        "gal", "gallon", "gallons", "qt", "qts", "quart", "quarts", "pt", "pint", "pints", "fl oz", "oz")},
    **{(Quantity.MASS, key): "gr is said of grams and of grains; type g" for key in ("gr", "grs")},
    **{(Quantity.MASS, key): "tons differ from land to land; type kg or lb" for key in ("t", "ton", "tons", "tonne")},
    **{(quantity, key): _DEGREES for quantity in (Quantity.TEMPERATURE, Quantity.TEMPERATURE_DIFFERENCE)
       for key in ("°", "deg", "degs", "degree", "degrees")},
    **{(Quantity.PRESSURE, key): "whether a pressure is absolute or above the air's is not said by its unit; type psi"
       for key in ("psig", "psia")},
    (Quantity.PRESSURE, "mPa"): "mPa is a thousandth of a pascal; type MPa, kPa or Pa",
    (Quantity.MASS, "Mg"): "Mg is a thousand kilograms; type mg or kg",
}

# Units that may follow one another in one number, and how many of the second make one of the first.
COMPOUND: dict[tuple[str, str], int] = {
    ("ft", "in"): 12, ("deg", "arcmin"): 60, ("arcmin", "arcsec"): 60, ("lb", "oz"): 16, ("h", "min"): 60,
    ("min", "s"): 60,
}

DISPLAY: dict[Quantity, tuple[str, str]] = {
    Quantity.LENGTH: ("in", "mm"), Quantity.ANGLE: ("deg", "deg"), Quantity.VOLUME: ("cc", "cc"),
    Quantity.AREA: ("in2", "mm2"), Quantity.MASS: ("g", "g"), Quantity.FORCE: ("lbf", "N"),
    Quantity.TORQUE: ("lbf ft", "N m"), Quantity.PRESSURE: ("psi", "kPa"), Quantity.TEMPERATURE: ("°F", "°C"),
    Quantity.TEMPERATURE_DIFFERENCE: ("°F", "°C"), Quantity.SPEED: ("rpm", "rpm"),
    Quantity.STIFFNESS: ("lbf/in", "N/mm"), Quantity.RATIO: ("", ""), Quantity.COUNT: ("", ""),
    Quantity.TIME: ("s", "s"), Quantity.MASS_MOMENT: ("oz in", "g mm"), Quantity.VELOCITY: ("ft/min", "m/s"),
    Quantity.ACCELERATION: ("ft/s2", "m/s2"), Quantity.INERTIA: ("lb in2", "kg cm2"),
    Quantity.TORSION: ("lbf ft/rad", "N m/rad"), Quantity.VISCOSITY: ("mm2/s", "mm2/s"),
    Quantity.DYNAMIC_VISCOSITY: ("mPa s", "mPa s"), Quantity.DENSITY: ("kg/m3", "kg/m3"),
    Quantity.FLOW: ("cfm", "L/s"),
}
FINE: dict[Quantity, tuple[str, str]] = {Quantity.LENGTH: ("µin", "µm"), Quantity.TORQUE: ("lbf in", "N m")}

# fmt: on


@cache
def by_key() -> dict[tuple[Quantity, str], Unit]:
    """Every way to type a unit, per quantity; the keys are as `unit_key` makes them."""
    return {(unit.quantity, key): unit for unit in UNITS for key in (unit_key(unit.name), *unit.aliases)}


@cache
def all_keys() -> frozenset[str]:
    """Every way to type a unit of any quantity."""
    return frozenset(key for _, key in by_key())


def unit_key(text: str) -> str:
    """The key of a unit: small letters, parts apart by one space (``lb-ft``, ``Lb.Ft`` and ``lb ft`` alike)."""
    low = lower(text)
    return low if low[:1] in {"-", "·", "."} else _SEPARATED.sub(" ", _SLASH.sub("/", low)).rstrip(".")


def lower(text: str) -> str:
    """A to Z made small, everything else as it is."""
    return text.translate(_LOWER)


@cache
def names_of(quantity: Quantity) -> tuple[str, ...]:
    """The names of the units of a quantity, without the empty one."""
    return tuple(unit.name for unit in UNITS if unit.quantity is quantity and unit.name)


@cache
def unit_of(quantity: Quantity, name: str) -> Unit:
    """The unit of that name.

    Raises:
        BadInput: when the quantity has no such unit.
    """
    unit = by_key().get((quantity, unit_key(name.strip(" ").replace("μ", "µ"))))
    if unit is None:
        taken = ", ".join(names_of(quantity)) or "none"
        raise BadInput(f"unit: “{name}” is no unit of {quantity.value}; taken are {taken}")
    return unit


def unit_for(quantity: Quantity, system: System, *, fine: bool = False) -> str:
    """The unit in which the trade reads a quantity.

    Params:
        quantity: what is read.
        system: of the engine, or of the person who looks.
        fine: for surface finish and the like: microinches or micrometres, pound-inches.
    """
    pair = (FINE.get(quantity) if fine else None) or DISPLAY[quantity]
    return pair[0 if system == "inch" else 1]
