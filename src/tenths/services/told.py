"""What a choice predicts, as plain data for a fit line in a drawing."""

from typing import Any

from tenths.choose.answer import Predicted
from tenths.engine.quantity import System, from_si, unit_for, write
from tenths.findings.check import catalogue
from tenths.services.questions import telling_places


def told(predicted: Predicted, system: System) -> dict[str, Any]:
    """Value, doubt and limits in the unit of the system, rounded so that the same log gives the same text.

    Args:
        predicted: of any characteristic of the catalogue.
        system: of units.

    Returns:
        The name of the characteristic, ``words`` and ``text`` for people, numbers for the line, and the probability that it conforms.
    """
    characteristic = catalogue()[predicted.characteristic]
    quantity = characteristic.quantity
    unit = unit_for(quantity, system)
    value, u = predicted.estimate.value, predicted.estimate.u

    def number(si: float | None) -> float | None:
        return None if si is None else float(f"{from_si(si, quantity, unit):.6g}")

    return {"characteristic": characteristic.name, "words": characteristic.words, "value": number(value), "unit": unit,
            "standard_uncertainty": float(f"{from_si(u, quantity, unit, difference=True):.6g}"), "smallest": number(predicted.lower),
            "largest": number(predicted.upper), "target": number(predicted.target), "probability": round(predicted.probability, 4),
            "text": write(value, quantity, unit=unit, decimals=telling_places(2 * u, quantity, unit))}
