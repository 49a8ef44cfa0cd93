"""Numbers as people type them, and as they are written back.

What a person typed is read exactly or refused with a sentence: never read wrongly in silence. docs/typed-numbers.md
tells the user the rules; data/typed_numbers.json is the table of cases that this reader and the page's share.
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from tenths.engine.units import Comma, Quantity, System, Unit, unit_for, unit_of
from tenths.engine.written import Number, UnreadError, amount, shown, take_apart
from tenths.errors import BadInput, OutOfRange

__all__ = ["Quantity", "System", "Typed", "Unit", "exact", "from_si", "parse", "unit_for", "unit_of", "write"]

EXAMPLES: dict[Quantity, str] = {
    Quantity.LENGTH: "2.2485, 2 1/4, 21 tenths or 57.111 mm",
    Quantity.ANGLE: "108.5, 108°30' or 12 deg",
    Quantity.VOLUME: "64.2 cc or 3.92 in3",
    Quantity.AREA: "1.25 in2 or 806 mm2",
    Quantity.MASS: "612.4 g or 21.6 oz",
    Quantity.FORCE: "120 lbf or 530 N",
    Quantity.TORQUE: "75 lbf ft or 101.7 N m",
    Quantity.PRESSURE: "35 psi, 2.4 bar or 28 inH2O",
    Quantity.TEMPERATURE: "68 °F or 20 °C",
    Quantity.TEMPERATURE_DIFFERENCE: "18 °F or 10 °C",
    Quantity.SPEED: "6500 rpm",
    Quantity.STIFFNESS: "350 lbf/in or 61 N/mm",
    Quantity.RATIO: "10.5 or 12.5 %",
    Quantity.COUNT: "3",
    Quantity.TIME: "12.5 s or 3 min",
    Quantity.MASS_MOMENT: "0.5 oz in or 360 g mm",
    Quantity.VELOCITY: "20 m/s or 3900 ft/min",
    Quantity.ACCELERATION: "25000 m/s2 or 2500 g",
    Quantity.INERTIA: "45.5 lb in2 or 133 kg cm2",
    Quantity.TORSION: "300000 N m/rad or 220000 lbf ft/rad",
    Quantity.VISCOSITY: "92.5 mm2/s or 92.5 cSt",
    Quantity.DYNAMIC_VISCOSITY: "3.7 mPa s or 3.7 cP",
    Quantity.DENSITY: "865 kg/m3 or 0.865 g/cm3",
    Quantity.FLOW: "145.5 cfm, 68.7 L/s or 247 m3/h",
}


@dataclass(frozen=True, slots=True)
class Typed:
    """A number as typed.

    Attributes:
        text: exactly as typed.
        quantity: what it is a number of.
        value: in ``unit``, exact.
        unit: as typed, by its own name; tenths and thou are places of the inch and kept as inches, and a number in two
            units (``108°30'``) is kept in the smaller one.
        step: one of the last place typed [``unit``]; 0 for a fraction.
        deviation: a difference from a stated setting, because it was typed with its sign where one is allowed.
    """

    text: str
    quantity: Quantity
    value: Decimal
    unit: str
    step: Decimal
    deviation: bool = False

    @property
    def si(self) -> float:
        """The value [SI unit of the quantity], rounded once."""
        return float(exact(self))

    @property
    def step_si(self) -> float:
        """One of the last place typed [SI unit of the quantity]."""
        return float(Fraction(self.step) * unit_of(self.quantity, self.unit).factor)


def exact(typed: Typed) -> Fraction:
    """The value [SI unit of the quantity] without any rounding; with pi to fifty places for angles and speeds."""
    unit = unit_of(typed.quantity, typed.unit)
    return (Fraction(typed.value) + unit.offset) * unit.factor


@lru_cache(maxsize=8192)
def parse(text: str, quantity: Quantity, *, default_unit: str, allow_deviation: bool = False, field: str = "value") -> Typed:
    """What a person typed, read exactly.

    Params:
        text: as typed.
        quantity: what belongs in the field.
        default_unit: of a number typed without one.
        allow_deviation: a number with its sign typed is a deviation from a setting; never for temperatures.
        field: named in the message.

    Raises:
        BadInput: when there is no reading or more than one; the message names the field, what was typed, what is
            wrong and what would be taken.
    """
    default = unit_of(quantity, default_unit)
    try:
        written = take_apart(text, quantity, default)
        value, step = _checked(written.number, written.sign, written.unit)
    except UnreadError as error:
        raise BadInput(_sentence(text, quantity, field, error)) from None
    deviation = allow_deviation and bool(written.sign) and quantity is not Quantity.TEMPERATURE
    unit = written.unit.part_of[0] if written.unit.part_of else written.unit.name
    return Typed(text, quantity, value, unit, step, deviation)


def _checked(number: Number, sign: str, unit: Unit) -> tuple[Decimal, Decimal]:
    shift = unit.part_of[1] if unit.part_of else 0
    minus = "-" if sign == "-" and number.mantissa else ""
    value = Decimal(f"{minus}{number.mantissa}E{number.exponent + shift}")
    if unit.quantity is Quantity.TEMPERATURE and Fraction(value) + unit.offset < 0:
        raise UnreadError("is below absolute zero")
    if unit.quantity is Quantity.COUNT and (minus or "." in amount(number)):
        raise UnreadError("is no whole number from 0 up")
    return value, Decimal(0) if number.fraction else Decimal(f"1E{number.exponent + shift}")


def _sentence(text: str, quantity: Quantity, field: str, error: UnreadError) -> str:
    article = "an" if quantity.value[0] in "aeiou" else "a"
    take = f"{article} {quantity.value} is typed as {EXAMPLES[quantity]}" if error.take is None else error.take
    return f"{field}: {shown(text)} {error.wrong}{'; ' if take else ''}{take}"


def from_si(si: float, quantity: Quantity, unit: str, *, difference: bool = False) -> float:
    """A value [SI unit of the quantity] as a number in a unit.

    Params:
        si: the value.
        quantity: what it is of.
        unit: wanted.
        difference: between two temperatures, so that their zero does not count.
    """
    kind = unit_of(quantity, unit)
    return si / float(kind.factor) - (0.0 if difference else float(kind.offset))


def write(si: float, quantity: Quantity, *, unit: str, uncertainty: float | None = None, decimals: int | None = None) -> str:
    """Number and unit as a person reads them, never with more digits than the uncertainty carries.

    Params:
        si: value [SI unit of the quantity].
        quantity: what it is of.
        unit: to write it in.
        uncertainty: standard uncertainty [SI unit of the quantity]; two figures of it decide the last place
            [JCGM100, 7.2.6]. None or 0: the usual places of the unit.
        decimals: at most so many places behind the point.

    Raises:
        OutOfRange: when value or uncertainty is not finite.
        BadInput: when the quantity has no such unit.
    """
    kind = unit_of(quantity, unit)
    if not math.isfinite(si) or not math.isfinite(uncertainty or 0.0):
        raise OutOfRange(f"{quantity.value}: {si!r} with uncertainty {uncertainty!r} cannot be written")
    places = kind.places if decimals is None else decimals
    if uncertainty:
        carried = 1 - int(f"{abs(uncertainty) / float(kind.factor):.1e}".partition("e")[2])
        places = carried if decimals is None else min(decimals, carried)
    if kind.comma is Comma.THOUSANDS and places == 3:
        places = 2  # 6.500 rpm would be asked about when it is typed again
    number = _rounded(Fraction(si) / kind.factor - kind.offset, max(-12, min(places, 12)))
    return f"{number} {kind.name}".rstrip()


def _rounded(value: Fraction, places: int) -> str:
    """The value to a number of places, half to even; places below 0 round to tens, hundreds and so on."""
    if places <= 0:
        return str(round(value / 10**-places) * 10**-places)
    scaled = round(value * 10**places)
    digits = str(abs(scaled)).rjust(places + 1, "0")
    return f"{'-' if scaled < 0 else ''}{digits[:-places]}.{digits[-places:]}"
