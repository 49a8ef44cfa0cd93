"""Money as people type it: exact, in the shop's own money, refused when it could be read two ways."""

import re
from decimal import ROUND_HALF_UP, Decimal

from tenths.errors import BadInput

_AMOUNT = re.compile(r"-?\d{1,12}(?:[.,]\d{1,2})?")
_GROUPED = re.compile(r"-?\d{1,3}(?:[ '\u00a0\u202f]\d{3})+(?:[.,]\d{1,2})?")
CENT = Decimal("0.01")


def amount(text: str, field: str) -> Decimal:
    """An amount such as ``88``, ``88.50``, ``88,50`` or ``1 250.00``; an empty text is nothing.

    Raises:
        BadInput: for anything else; ``1,250`` could be a thousand or one and a quarter, and is refused.
    """
    plain = text.strip()
    if not plain:
        return Decimal(0)
    if not (_AMOUNT.fullmatch(plain) or _GROUPED.fullmatch(plain)):
        raise BadInput(f"{field}: {text!r} is not an amount; write it such as 88, 88.50 or 1 250.00, without the name of the money")
    return Decimal(re.sub(r"[ '\u00a0\u202f]", "", plain).replace(",", "."))


def percent(text: str, field: str) -> Decimal:
    """A share such as ``15`` or ``7.7 %`` as a fraction; an empty text is nothing; raises BadInput beyond 0 to 1000 %."""
    plain = text.strip().removesuffix("%").strip()
    if not plain:
        return Decimal(0)
    if not re.fullmatch(r"\d{1,4}(?:[.,]\d{1,4})?", plain) or Decimal(plain.replace(",", ".")) > 1000:
        raise BadInput(f"{field}: {text!r} is not a share; write it in percent, such as 15 or 7.7")
    return Decimal(plain.replace(",", ".")) / 100


def cents(value: Decimal) -> Decimal:
    """Rounded to the hundredth, halves away from zero."""
    return value.quantize(CENT, ROUND_HALF_UP)


def written(value: Decimal) -> str:
    """An amount with two places, thousands set apart by a narrow space."""
    return f"{cents(value):,.2f}".replace(",", "\u202f")
