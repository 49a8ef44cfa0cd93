"""Lengths and lists as a builder reads them in a sentence."""

from collections.abc import Sequence
from typing import Literal

System = Literal["inch", "metric"]

INCH = 0.0254
THOU = 1e-3 * INCH
TENTH = 1e-4 * INCH


def length(value: float, system: System = "inch") -> str:
    """A length in words, to a tenth of a tenth or of a micrometre.

    Args:
        value: the length [m].
        system: of units.

    Returns:
        The text with its unit.
    """
    if system == "metric":
        return f"{value * 1e3 + 0.0:.4f} mm"
    return f"{value / INCH + 0.0:.5f} in"


def worked(value: float, system: System = "inch") -> str:
    """A length as a machine is set to it: to a tenth or a micrometre.

    Args:
        value: the length [m].
        system: of units.

    Returns:
        The text with its unit.
    """
    return f"{value * 1e3 + 0.0:.3f} mm" if system == "metric" else f"{value / INCH + 0.0:.4f} in"


def signed(value: float, system: System = "inch") -> str:
    """A change of length in words, always with its sign.

    Args:
        value: the change [m].
        system: of units.

    Returns:
        The text with its unit.
    """
    return ("+" if value >= 0 else "−") + length(abs(value), system)


def listed(items: Sequence[str]) -> str:
    """Several things in one sentence.

    Args:
        items: the things.

    Returns:
        "a", "a and b", "a, b and c".
    """
    return " and ".join(filter(None, (", ".join(items[:-1]), *items[-1:])))


def percent(probability: float) -> str:
    """A probability in words that never rounds up to certainty.

    Args:
        probability: from 0 to 1 [-].

    Returns:
        The text.
    """
    if probability > 0.999:
        return "over 99.9 %" if probability < 1 else "100 %"
    return "under 0.1 %" if 0 < probability < 0.001 else f"{100 * probability:.1f} %"
