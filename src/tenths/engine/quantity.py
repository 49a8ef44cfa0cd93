"""Numbers as people type them, and as they are written back. Never read wrongly in silence.

The decimal comma: a comma before anything but three figures is a decimal comma (``101,7``); so is one before three
figures when the number could not be grouped so (``0,250``) or is a length in mm or cm (``57,111 mm``: grouped, it would be
a part of 57 metres). Several groups, or groups before a decimal point, are thousands (``1,250.5``). Anything else with one
comma and three figures could mean two things and is refused, with both named.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor, isfinite, log10
from typing import Literal

from tenths.engine.units import BY_ALIAS, BY_NAME, DISPLAY, FINE, Quantity, Unit
from tenths.errors import BadInput

__all__ = ["Quantity", "Typed", "exact", "from_si", "parse", "unit_for", "write"]
LONGEST = 60
MOST_FIGURES = 15
NUMBER = r"[0-9][0-9.,]*|[.,][0-9]+"
MIXED = re.compile(rf"([+-]?)\s*(?:({NUMBER})(?:\s*[- ]\s*(\d+)\s*/\s*(\d+))?|(\d+)\s*/\s*(\d+))(.*)", re.DOTALL)
ANGLE = re.compile(r"([+-]?)\s*(\d+)\s*(?:°|deg|\s)\s*(\d+(?:\.\d+)?)\s*(?:'|′|’|min)\s*")
SIGNS = str.maketrans({"−": "-", "–": "-", "＋": "+", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "⁄": "/"})


@dataclass(frozen=True, slots=True)
class Typed:
    """A number as typed.

    Attributes:
        text: exactly as typed.
        quantity: what it is a number of.
        value: in the unit typed (or taken, when none was typed).
        unit: name of that unit.
        step: one unit of the last place typed, in that unit; 0 for a fraction.
        deviation: whether it is a signed deviation from a stated setting.
    """

    text: str
    quantity: Quantity
    value: Fraction
    unit: str
    step: Fraction
    deviation: bool

    @property
    def si(self) -> float:
        """The value in SI; for a deviation the difference."""
        return float(exact(self))

    @property
    def step_si(self) -> float:
        """One unit of the last place in SI."""
        return float(self.step * BY_NAME[self.quantity, self.unit].factor)


def exact(typed: Typed) -> Fraction:
    """The value in SI, exactly."""
    unit = BY_NAME[typed.quantity, typed.unit]
    return (typed.value + (0 if typed.deviation else unit.offset)) * unit.factor


@lru_cache(maxsize=16384)
def parse(text: str, quantity: Quantity, *, default_unit: str, allow_deviation: bool = False, field: str = "value",
          ) -> Typed:
    """A number as a person typed it.

    Args:
        text: as typed.
        quantity: what it must be a number of.
        default_unit: name of the unit that is meant when none is typed.
        allow_deviation: whether a leading sign makes it a deviation from a setting.
        field: how to call it when it is refused.

    Returns:
        The number, with the text kept.

    Raises:
        BadInput: says what was typed, what is wrong, and what would be taken.
    """
    shown = text if len(text) <= LONGEST else text[:LONGEST] + "..."
    refuse = _Refusal(field, shown)
    plain = text.translate(SIGNS).strip()
    if not plain:
        raise refuse("nothing was typed")
    if len(text) > LONGEST:
        raise refuse(f"{len(text)} characters are too many for a number; up to {LONGEST} are taken")
    if strange := [c for c in plain if c.isnumeric() and not c.isascii()]:
        raise refuse(f"the figure {strange[0]!r} is not taken; use 0 to 9")
    if quantity is Quantity.ANGLE and (found := ANGLE.fullmatch(plain)):
        return _degrees(text, found, refuse, allow_deviation=allow_deviation)
    found = MIXED.fullmatch(plain)
    if found is None:
        raise refuse("there is no number at its beginning")
    sign, number, top, bottom, only_top, only_bottom, rest = found.groups()
    unit = _unit(rest.strip(), quantity, default_unit, refuse)
    if number is not None:
        value, step = _decimal(number, unit, quantity, refuse)
    else:
        value, step, top, bottom = Fraction(0), Fraction(0), only_top, only_bottom
    if top is not None:
        if step != 1 and number is not None:
            raise refuse("a fraction stands behind a whole number only")
        value, step = value + _fraction(top, bottom, refuse), Fraction(0)
    value = -value if sign == "-" else value
    typed = Typed(text, quantity, value, unit.name, step, allow_deviation and bool(sign))
    if quantity is Quantity.TEMPERATURE and exact(typed) < 0:
        raise refuse("it is colder than absolute zero")
    return typed


class _Refusal:
    """Makes the error for one field and what was typed in it."""

    def __init__(self, field: str, shown: str) -> None:
        self.field, self.shown = field, shown

    def __call__(self, what: str) -> BadInput:
        return BadInput(f"{self.field}: {self.shown!r}: {what}")


def _degrees(text: str, found: re.Match[str], refuse: _Refusal, *, allow_deviation: bool) -> Typed:
    sign, whole, minutes = found.groups()
    if Fraction(minutes) >= 60:
        raise refuse(f"{minutes} minutes of angle are more than a degree; 0 to 59 are taken")
    value = int(whole) + Fraction(minutes) / 60
    return Typed(text, Quantity.ANGLE, -value if sign == "-" else value, "deg", Fraction(1, 60),
                 allow_deviation and bool(sign))


def _fraction(top: str, bottom: str, refuse: _Refusal) -> Fraction:
    if int(bottom) == 0:
        raise refuse("a fraction with 0 below the line is no number")
    if len(top) > 4 or len(bottom) > 4 or int(top) >= int(bottom):
        raise refuse(f"{top}/{bottom} is not a proper fraction, such as 1/4 or 63/64")
    return Fraction(int(top), int(bottom))


def _decimal(number: str, unit: Unit, quantity: Quantity, refuse: _Refusal) -> tuple[Fraction, Fraction]:
    """Value and last place of figures with points and commas."""
    plain = _with_point(number, unit, quantity, refuse)
    if sum(c.isdigit() for c in plain) > MOST_FIGURES:
        raise refuse(f"more than {MOST_FIGURES} figures are no reading")
    places = len(plain.partition(".")[2])
    return Fraction(plain), Fraction(1, 10**places)


def _with_point(number: str, unit: Unit, quantity: Quantity, refuse: _Refusal) -> str:
    dots, commas = number.count("."), number.count(",")
    if commas == 0:
        if dots > 1 or number.endswith("."):
            raise refuse("there are two decimal points" if dots > 1 else "nothing follows the decimal point")
        return number
    if dots == 0 and commas == 1:
        return _one_comma(number, unit, quantity, refuse)
    for thousands, point in ((",", "."), (".", ",")):
        whole, _, part = number.partition(point) if point in number else (number, "", "")
        grouped = re.fullmatch(rf"[1-9]\d{{0,2}}(?:\{thousands}\d{{3}})+", whole)
        if grouped and thousands not in part and number.count(point) <= 1 and (part or point not in number):
            return whole.replace(thousands, "") + (f".{part}" if part else "")
    raise refuse("points and commas do not add up to one number")


def _one_comma(number: str, unit: Unit, quantity: Quantity, refuse: _Refusal) -> str:
    whole, _, part = number.partition(",")
    if not part:
        raise refuse("nothing follows the decimal comma")
    could_be_grouped = len(part) == 3 and re.fullmatch(r"[1-9]\d{0,2}", whole)
    of_metal = quantity is Quantity.LENGTH and unit.name in {"mm", "cm"}
    if could_be_grouped and not of_metal:
        raise refuse(f"this could mean {whole}.{part} or {whole}{part}; type one of these")
    return f"{whole or '0'}.{part}"


def _unit(typed: str, quantity: Quantity, default_unit: str, refuse: _Refusal) -> Unit:
    if not typed:
        return BY_NAME[quantity, default_unit]
    key = " ".join(typed.split()).casefold()
    found = BY_ALIAS.get((quantity, key)) or BY_ALIAS.get((quantity, key.rstrip(".")))
    if found:
        return found
    if typed[0].isdigit() or typed[0] in ".,+-/":
        raise refuse(f"after the number stands {typed!r}; one number with its unit is wanted")
    elsewhere = [q for q in Quantity if (q, key) in BY_ALIAS]
    taken = ", ".join(dict.fromkeys(u.name for (q, _), u in BY_NAME.items() if q is quantity and u.name)) or "none"
    if elsewhere:
        raise refuse(f"{typed!r} is a unit of {elsewhere[0]}, and a {quantity} is wanted; units taken: {taken}")
    if re.match(r"[eE][+-]?\d", typed):
        raise refuse("powers of ten are not taken; write the number out")
    raise refuse(f"the unit {typed!r} is not known; units taken: {taken}")


def unit_for(quantity: Quantity, system: Literal["inch", "metric"], *, fine: bool = False) -> str:
    """The unit that a quantity is written in; ``fine`` for the texture of a surface."""
    if fine and quantity is Quantity.LENGTH:
        return FINE[system == "metric"]
    return DISPLAY[quantity][system == "metric"]


def from_si(si: float, quantity: Quantity, unit: str, *, difference: bool = False) -> float:
    """A value in SI as a number of units; ``difference`` for one that has no zero of its own, such as an uncertainty."""
    found = BY_NAME[quantity, unit]
    return si / float(found.factor) - (0.0 if difference else float(found.offset))


def write(si: float, quantity: Quantity, *, unit: str, uncertainty: float | None = None, decimals: int | None = None,
          difference: bool = False) -> str:
    """A value in SI written with its unit.

    Args:
        si: the value; must be finite.
        quantity: what it is a number of.
        unit: name of the unit to write it in.
        uncertainty: half-width of what it could be, in SI; its first figure decides the last place, or its first two
            where the first is 1 or 2.
        decimals: places to write, where no uncertainty is given; else as many figures as sheets give.
        difference: whether the number has no zero of its own.

    Returns:
        Number and unit.
    """
    if not isfinite(si):
        raise BadInput(f"{quantity}: {si} is not a number that can be written")
    value = from_si(si, quantity, unit, difference=difference)
    places = decimals
    if uncertainty:
        places = _places(uncertainty / float(BY_NAME[quantity, unit].factor))
    figures = 4 if abs(value) < 0.1 else 6
    number = f"{Decimal(f'{value:.{figures}g}'):f}" if places is None else _rounded(value, places)
    return f"{number} {unit}".strip()


def _places(u: float) -> int:
    """Decimal places that the telling figures of an uncertainty reach; never below the point's left."""
    power = floor(log10(abs(u)))
    return max(0, min(12, (1 if abs(u) < 3 * 10.0**power else 0) - power))


def _rounded(value: float, places: int) -> str:
    rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    return f"{abs(rounded) if rounded == 0 else rounded:f}"
