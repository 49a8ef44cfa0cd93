"""Refusals shared by the formulas: every message names the argument, its value and what is accepted."""

import math

from tenths.errors import OutOfRange


def positive(**values: float) -> None:
    """Raise OutOfRange unless each value is finite and above zero."""
    for name, value in values.items():
        if not 0.0 < value < math.inf:
            raise OutOfRange(f"{name} is {value:g}: a finite number above 0 is needed")


def not_negative(**values: float) -> None:
    """Raise OutOfRange unless each value is finite and zero or more."""
    for name, value in values.items():
        if not 0.0 <= value < math.inf:
            raise OutOfRange(f"{name} is {value:g}: a finite number of 0 or more is needed")


def finite(**values: float) -> None:
    """Raise OutOfRange unless each value is a finite number."""
    for name, value in values.items():
        if not math.isfinite(value):
            raise OutOfRange(f"{name} is {value:g}: a finite number is needed")


def within(lowest: float, highest: float, **values: float) -> None:
    """Raise OutOfRange unless each value lies from lowest to highest, both included."""
    for name, value in values.items():
        if not lowest <= value <= highest:
            raise OutOfRange(f"{name} is {value:g}: {lowest:g} to {highest:g} is accepted")
