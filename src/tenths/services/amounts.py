"""Computed numbers as answers give them: value in a unit, its standard uncertainty, and how a person writes it."""

from dataclasses import dataclass
from math import floor, log10
from typing import Any

from tenths.engine.quantity import Quantity, System, from_si, unit_for, write

Answer = dict[str, Any]
STRESS = {"inch": "ksi", "metric": "MPa"}


@dataclass(frozen=True, slots=True)
class Amounts:
    """Writes numbers in one system of units."""

    system: System

    def __call__(self, si: float | None, quantity: Quantity, u: float | None = None, *, unit: str = "", figures: int = 4) -> Answer:
        """A number [SI] as JSON: value, unit, standard uncertainty, text; all empty for None."""
        name = unit or unit_for(quantity, self.system)
        if si is None:
            return {"value": None, "unit": name, "standard_uncertainty": None, "text": ""}
        spread = None if not u else from_si(u, quantity, name, difference=True)
        return {"value": from_si(si, quantity, name), "unit": name, "standard_uncertainty": spread,
                "text": self.text(si, quantity, u, unit=name, figures=figures)}

    def text(self, si: float, quantity: Quantity, u: float | None = None, *, unit: str = "", figures: int = 4) -> str:
        """The number as a person writes it: so many figures, or with ± its 95 % interval where it has an uncertainty."""
        name = unit or unit_for(quantity, self.system)
        if u:
            apart = Quantity.TEMPERATURE_DIFFERENCE if quantity is Quantity.TEMPERATURE else quantity
            spread = write(2 * u, apart, unit=name, uncertainty=2 * u, decimals=_decimals(2 * u, quantity, name, 2))
            value = write(si, quantity, unit=name, uncertainty=2 * u, decimals=_decimals(2 * u, quantity, name, 2))
            return f"{value.removesuffix(name).rstrip()} ±{spread}"
        if quantity is Quantity.MASS:
            return write(si, quantity, unit=name)  # a scale's own tenth of a gram
        return write(si, quantity, unit=name, decimals=_decimals(si, quantity, name, figures))

    def stress(self, si: float | None, u: float | None = None) -> Answer:
        """A stress [Pa]."""
        return self(si, Quantity.PRESSURE, u, unit=STRESS[self.system], figures=3)

    def force(self, si: float | None, u: float | None = None) -> Answer:
        """A force [N], in kilonewtons in metric."""
        return self(si, Quantity.FORCE, u, unit="kN" if self.system == "metric" else "lbf")


def _decimals(si: float, quantity: Quantity, unit: str, figures: int) -> int:
    """Decimals that leave so many figures, 0 to 6."""
    size = abs(from_si(si, quantity, unit, difference=True))
    return min(max(figures - 1 - floor(log10(size)), 0), 6) if size > 0.0 else 0
