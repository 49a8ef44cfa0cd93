"""What stands in a field, taken apart: signs made plain, digits to whole numbers, units found; exact throughout.

The page's own reader (bench/static/typed.js) follows this file line by line; one table of cases holds both together.
Only the digits 0 to 9 count, so patterns name them and never use the classes of Unicode.
"""

import re
from dataclasses import dataclass
from itertools import pairwise

from tenths.engine.units import COMPOUND, REFUSED, Comma, Quantity, Unit, all_keys, by_key, lower, names_of, unit_key

LONGEST = 80
LARGEST_EXPONENT = 30
DENOMINATORS = (2, 4, 8, 16, 32, 64, 128, 10, 100, 1000, 10000)  # all go into 10^7, so every fraction taken is exact

_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_SAME: dict[int, str] = {
    **dict.fromkeys((*map(ord, "\t\n\r\u00a0\u202f\u205f\u3000"), *range(0x2000, 0x200B)), " "),
    **dict.fromkeys((0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2060, 0xFEFF), ""),
    **dict.fromkeys(map(ord, "\u2212\u2010\u2011\u2012\u2013\u2014\ufe63"), "-"),
    **dict.fromkeys(map(ord, "\u2044\u2215"), "/"),
    **dict.fromkeys(map(ord, "\u2032\u2019\u2018\u00b4\u0060"), "'"),
    **dict.fromkeys(map(ord, "\u2033\u201d\u201c\u02dd"), '"'),
    **dict.fromkeys(map(ord, "\u00ba\u02da"), "°"),
    **dict.fromkeys(map(ord, "\u22c5\u2022\u2219*"), "·"),
    0x03BC: "µ",
    **{code: chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},  # full-width signs of East Asian keyboards
    **{ord(sign): text for sign, text in _HALVES.items()},
}
_NO_NUMBER = re.compile(r"(?:infinity|inf|nan|∞)(?![a-z])")
_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]+) ?/ ?([0-9]+)")
_TWO_LINES = re.compile(r"/ ?[0-9]")
_DECIMAL = re.compile(r"([0-9][0-9.,]*|[.,][0-9][0-9.,]*)(?:[eE]([+-]?[0-9]+))?")
_COMMA_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_DOT_GROUP = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3},[0-9]+")
_TWOFOLD = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_ONE_MARK = re.compile(r"[0-9]*[.,]?[0-9]*")
_PAIR = re.compile(r"""([A-Za-z]+\.?|[°'"]) *([0-9.,].*)""")
_BARE_DEGREES = re.compile(r"([0-9]+) +([0-9.,]+ *'.*)")
_TO_ONE = re.compile(r"(.*[0-9]) ?: ?1")
_MORE = re.compile(r"[0-9.,]|[+-] ?[0-9.,]")


class UnreadError(Exception):
    """What is wrong with a text, as the middle of a sentence, and what would be taken (None: the usual examples)."""

    def __init__(self, wrong: str, take: str | None = None) -> None:
        super().__init__(wrong)
        self.wrong, self.take = wrong, take


@dataclass(frozen=True, slots=True)
class Number:
    """Mantissa x 10^exponent; ``mark`` is a comma or point that could stand for thousands as well."""

    mantissa: int
    exponent: int
    fraction: bool = False
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """A text taken apart: sign as typed, the number in its smallest unit, and that unit."""

    sign: str
    number: Number
    unit: Unit


def plain(text: str) -> str:
    """The text with look-alikes made alike: spaces, minus signs, primes, fraction signs, full-width letters."""
    joined = re.sub(r" +", " ", text.translate(_SAME).replace("''", '"'))
    return joined.strip(" ")


def shown(text: str) -> str:
    """The text as a message quotes it: short, and nothing in it that a screen would hide or turn round."""
    signs = [f"\\u{{{ord(c):x}}}" if _hidden(ord(c)) else c for c in text[:40]]
    return f"“{''.join(signs)}{'…' if len(text) > 40 else ''}”"


def _hidden(code: int) -> bool:
    return (
        code < 0x20
        or 0x7F <= code <= 0x9F
        or 0x200B <= code <= 0x200F
        or 0x2028 <= code <= 0x202E
        or 0x2060 <= code <= 0x2069
        or code == 0xFEFF
        or 0xD800 <= code <= 0xDFFF
    )


def take_apart(text: str, quantity: Quantity, default: Unit) -> Written:
    """Sign, number and unit of a text.

    Raises:
        UnreadError: when there is no reading, or more than one.
    """
    if len(text) > LONGEST:
        raise UnreadError(f"is longer than {LONGEST} signs")
    body = plain(text)
    if not body:
        raise UnreadError("is empty")
    sign = body[0] if body[0] in "+-" else ""
    body = body[len(sign) :].lstrip(" ")
    if _NO_NUMBER.match(lower(body)):
        raise UnreadError("is no finite number")
    terms = _terms(_spelled_out(body, quantity), quantity, default)
    return Written(sign, _joined(terms), terms[-1][1])


def _spelled_out(body: str, quantity: Quantity) -> str:
    if quantity is Quantity.RATIO and (ratio := _TO_ONE.fullmatch(body)):
        return ratio[1]
    if quantity is Quantity.ANGLE and (bare := _BARE_DEGREES.fullmatch(body)):
        return f"{bare[1]}°{bare[2]}"
    return body


def _terms(body: str, quantity: Quantity, default: Unit) -> list[tuple[Number, Unit]]:
    terms: list[tuple[Number, Unit]] = []
    while True:
        number, rest = _number(body)
        pair = _PAIR.fullmatch(rest)
        first = by_key().get((quantity, unit_key(pair[1]))) if pair else None
        if pair is None or first is None or unit_key(rest) in all_keys():
            break
        terms.append((number, first))
        body = pair[2]
    if not rest and terms:
        raise UnreadError("has a last number without a unit")
    unit = default if not rest else _unit(rest, quantity)
    return [*terms, (_decided(number, unit), unit)]


def _unit(typed: str, quantity: Quantity) -> Unit:
    key = unit_key(typed)
    refused = REFUSED.get((quantity, typed)) or REFUSED.get((quantity, key))
    if refused:
        raise UnreadError(f"cannot be read for sure: {refused}", "")
    unit = by_key().get((quantity, key))
    if unit is not None:
        return unit
    if typed[0] == "/":
        raise UnreadError("has a fraction that cannot be read")
    if _MORE.match(typed):
        raise UnreadError("has more than one number")
    taken = names_of(quantity)
    take = f"units taken here are {', '.join(taken)}" if taken else "a plain whole number is taken"
    other = next((q for q in Quantity if (q, key) in by_key()), None)
    if other is not None:
        raise UnreadError(f"has a unit of {other.value} where one of {quantity.value} belongs", take)
    raise UnreadError(f"has a unit that is not known, {shown(typed)}", take)


def _number(body: str) -> tuple[Number, str]:
    fraction = _FRACTION.match(body)
    if fraction:
        rest = body[fraction.end() :].lstrip(" ")
        if _TWO_LINES.match(rest):
            raise UnreadError("has more than one fraction line")
        return _fraction(fraction[1], int(fraction[2]), int(fraction[3])), rest
    decimal = _DECIMAL.match(body)
    if decimal is None:
        raise UnreadError(f"has {shown(body[:1])} where a number should begin")
    return _decimal(decimal[1], decimal[2] or "0"), body[decimal.end() :].lstrip(" ")


def _fraction(whole: str | None, top: int, bottom: int) -> Number:
    if bottom == 0:
        raise UnreadError("divides by zero")
    if bottom not in DENOMINATORS:
        raise UnreadError(
            f"has {shown(str(bottom))} under the fraction line",
            "fractions are taken in halves, 4ths, 8ths, 16ths, 32nds, 64ths, 128ths and tens",
        )
    if whole and top >= bottom:
        raise UnreadError("has a fraction that is not less than one beside a whole number")
    mantissa, exponent = int(whole or 0) * 10**7 + top * (10**7 // bottom), -7
    while exponent < 0 and mantissa % 10 == 0:
        mantissa, exponent = mantissa // 10, exponent + 1
    return Number(mantissa, exponent, fraction=True)


def _decimal(typed: str, power: str) -> Number:
    if len(power) > 4 or abs(int(power)) > LARGEST_EXPONENT:
        raise UnreadError(
            "has a power of ten that is out of all bounds",
            f"powers from e-{LARGEST_EXPONENT} to e{LARGEST_EXPONENT} are taken",
        )
    digits = _one_point(typed)
    whole, _, part = digits.partition(".")
    mark = "." if "." in typed else ","
    return Number(int(whole + part or "0"), int(power) - len(part), mark=mark if _TWOFOLD.fullmatch(typed) else "")


def _one_point(typed: str) -> str:
    """The digits with a point as the only mark; a comma becomes a point where it cannot group thousands."""
    if typed.endswith(","):
        raise UnreadError("ends in a comma")
    if _ONE_MARK.fullmatch(typed):
        return typed.replace(",", ".")
    if _COMMA_GROUPS.fullmatch(typed):
        return typed.replace(",", "")
    if _DOT_GROUP.fullmatch(typed):
        return typed.replace(".", "").replace(",", ".")
    if typed.count(".") > 1:
        raise UnreadError("has more than one decimal point")
    raise UnreadError("has commas that neither group thousands nor mark decimals")


def _decided(number: Number, unit: Unit) -> Number:
    """The number with its comma decided by the unit beside it; a point is asked about only where a comma groups."""
    if not number.mark or (number.mark == "." and unit.comma is not Comma.THOUSANDS):
        return number
    if number.mark == "," and unit.comma is Comma.DECIMAL:
        return number
    if number.mark == "," and unit.comma is Comma.THOUSANDS:
        return Number(number.mantissa, number.exponent + 3)
    small, large = (amount(Number(number.mantissa, number.exponent + shift)) for shift in (0, 3))
    raise UnreadError(f"could be {small} or {large}{' ' if unit.name else ''}{unit.name}", f"type {small} or {large}")


def _joined(terms: list[tuple[Number, Unit]]) -> Number:
    """One number in the last unit; all before it must be whole, and each less than one of the unit before."""
    total, (last, _) = 0, terms[-1]
    for (number, unit), (following, smaller) in pairwise(terms):
        parts = COMPOUND.get((unit.name, smaller.name))
        if parts is None:
            raise UnreadError("has more than one number")
        if number.exponent or number.mark or number.fraction:
            raise UnreadError(f"has a part in {unit.name} that is not whole")
        if following.mantissa * 10 ** max(following.exponent, 0) >= parts * 10 ** max(-following.exponent, 0):
            raise UnreadError(f"has {parts} {smaller.name} or more beside {unit.name}")
        total = (total + number.mantissa) * parts
    shift = max(-last.exponent, 0)
    whole = Number(last.mantissa * 10 ** max(last.exponent, 0) + total * 10**shift, -shift, last.fraction)
    return whole if len(terms) > 1 else last


def amount(number: Number) -> str:
    """The number in plain digits, without trailing zeros behind the point."""
    if number.exponent >= 0:
        return str(number.mantissa * 10**number.exponent)
    digits = str(number.mantissa).rjust(1 - number.exponent, "0")
    return f"{digits[: number.exponent]}.{digits[number.exponent :]}".rstrip("0").rstrip(".")
