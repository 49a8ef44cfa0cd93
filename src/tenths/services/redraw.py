"""A drawing of a choice that was kept in the log, its texts in another system of units."""

from typing import Any

from tenths.choose.words import System, worked
from tenths.engine.quantity import from_si, unit_for, unit_of, write
from tenths.findings.check import catalogue
from tenths.services import saddles
from tenths.services.questions import telling_places

Drawing = dict[str, Any]
NUMBERS = ("value", "smallest", "largest", "target")


def redrawn(drawing: Drawing, system: System) -> Drawing:
    """The same drawing in a system of units.

    Args:
        drawing: as it was accepted.
        system: of units.

    Returns:
        The drawing; one of a kind that is not known comes back as it is.
    """
    options: list[Drawing] = drawing.get("options", [])
    match drawing.get("kind"):
        case "matching":
            return drawing | {"options": [o | {"places": [_place(p, system) for p in o["places"]]} for o in options]}
        case "stack":
            return drawing | {"options": [_stack(o, system) for o in options]}
        case _:
            return saddles.redrawn(drawing, system)


def _place(place: Drawing, system: System) -> Drawing:
    return place | {"hone": worked(place["honed"], system) if place["hone"] else "", "fits": [refitted(f, system) for f in place["fits"]]}


def refitted(fit: Drawing, system: System) -> Drawing:
    """A fit line in a system of units."""
    quantity = catalogue()[fit["characteristic"]].quantity
    unit = unit_for(quantity, system)
    if unit == fit["unit"]:
        return fit
    old = unit_of(quantity, fit["unit"])
    numbers = {key: from_si(float(old.factor) * fit[key], quantity, unit) for key in NUMBERS if fit[key] is not None}
    value, u = float(old.factor) * fit["value"], float(old.factor) * fit["standard_uncertainty"]
    return fit | numbers | {"unit": unit, "standard_uncertainty": from_si(u, quantity, unit, difference=True),
                            "text": write(value, quantity, unit=unit, decimals=telling_places(2 * u, quantity, unit))}


def _stack(option: Drawing, system: System) -> Drawing:
    banks = [bank | {"head_text": worked(bank["head"], system) if bank["head"] else "",
                     "cylinders": [_cylinder(c, system) for c in bank["cylinders"]]} for bank in option["banks"]]
    return option | {"thickness_text": worked(option["thickness"], system), "banks": banks}


def _cylinder(cylinder: Drawing, system: System) -> Drawing:
    squish = refitted(cylinder["squish_fit"], system)
    return cylinder | {"cut_text": worked(cylinder["cut"], system) if cylinder["cut_text"] else "", "squish_fit": squish,
                       "squish_text": squish["text"]}
