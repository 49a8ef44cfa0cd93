"""The house's rules for shells: ``[shells]`` of the house rules."""

from collections.abc import Mapping
from typing import Any, cast

from tenths.choose.shells import HOUSE_SHELL_RULES, ShellRules
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput

_SIDES = ("loaded", "unloaded", "either")


def shell_rules(house: Mapping[str, Any]) -> ShellRules:
    """How halves may be put together by the house's own rules.

    Args:
        house: the house rules as read from TOML.

    Returns:
        ``step``, ``thicker`` and ``mixed`` of ``[shells]``; what is not given there stays as `HOUSE_SHELL_RULES` has it.

    Raises:
        BadInput: naming the key that cannot be taken.
    """
    given = house.get("shells", {})
    if not isinstance(given, dict):
        raise BadInput('house rules: [shells] takes step = "0.001 in", thicker = "loaded" and mixed = true')
    said = cast("dict[str, Any]", given)
    if unknown := sorted(set(said) - {"step", "thicker", "mixed"}):
        raise BadInput(f"house rules: shells: {unknown[0]!r} is not known; there are step, thicker, mixed")
    thicker, mixed = said.get("thicker", HOUSE_SHELL_RULES.thicker), said.get("mixed", HOUSE_SHELL_RULES.mixed)
    if thicker not in _SIDES:
        raise BadInput(f"house rules: shells: thicker = {thicker!r} is not taken; give one of {', '.join(_SIDES)}")
    if not isinstance(mixed, bool):
        raise BadInput(f"house rules: shells: mixed = {mixed!r} is not taken; give true or false")
    step = HOUSE_SHELL_RULES.step
    if "step" in said:
        unit = unit_for(Quantity.LENGTH, "inch")
        step = parse(str(said["step"]), Quantity.LENGTH, default_unit=unit, field="house rules: shells: step").si
        if step < 0:
            raise BadInput(f"house rules: shells: step = {said['step']!r} is below zero")
    return ShellRules(step, thicker, mixed)
