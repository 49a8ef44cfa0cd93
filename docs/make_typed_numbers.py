# ruff: noqa: INP001 - a script beside the pages, not a package
"""Writes what follows from the table of units: the page's copy of it, and the list in docs/typed-numbers.md.

Run it from the root of the repository after `tenths.engine.units` has been changed.
"""

import json
from fractions import Fraction
from pathlib import Path

from tenths.engine.quantity import EXAMPLES
from tenths.engine.units import COMPOUND, DISPLAY, FINE, REFUSED, UNITS, Quantity, Unit

ROOT = Path(__file__).parents[1]
MODULE = ROOT / "src" / "tenths" / "bench" / "static" / "units.js"
PAGE = ROOT / "docs" / "typed-numbers.md"
MARK = "<!-- the rest of this page is written by make_typed_numbers.py -->\n"

HEAD = """\
// Written by docs/make_typed_numbers.py from engine/units.py: change it there.
// @ts-check

/**
 * @typedef {{name: string, quantity: string, aliases: string[], factor: [string, string], offset: [string, string],
 *   comma: string, partOf: {unit: string, shift: number} | null}} Unit  exact ratios as two whole numbers
 */
"""


def _ratio(value: Fraction) -> list[str]:
    return [str(value.numerator), str(value.denominator)]


def _unit(unit: Unit) -> dict[str, object]:
    part_of = unit.part_of and {"unit": unit.part_of[0], "shift": unit.part_of[1]}
    return {
        "name": unit.name,
        "quantity": unit.quantity,
        "aliases": list(unit.aliases),
        "factor": _ratio(unit.factor),
        "offset": _ratio(unit.offset),
        "comma": unit.comma,
        "partOf": part_of,
    }


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def module() -> str:
    """The text of units.js."""
    tables: dict[str, tuple[str, object]] = {
        "COMPOUND": ("Record<string, number>", {"|".join(pair): parts for pair, parts in COMPOUND.items()}),
        "DISPLAY": ("Record<string, [string, string]>", DISPLAY),
        "EXAMPLES": ("Record<string, string>", EXAMPLES),
        "FINE": ("Record<string, [string, string] | undefined>", FINE),
        "QUANTITIES": ("string[]", list(Quantity)),
        "REFUSED": ("Record<string, string | undefined>", {f"{q}|{key}": why for (q, key), why in REFUSED.items()}),
    }
    parts = [HEAD, "/** @type {Unit[]} */", "export const UNITS = ["]
    parts += [f"  {_json(_unit(unit))}," for unit in UNITS] + ["];"]
    parts += [f"\n/** @type {{{kind}}} */\nexport const {name} = {_json(value)};" for name, (kind, value) in tables.items()]
    return "\n".join(parts) + "\n"


def _factor(unit: Unit) -> str:
    if unit.quantity in {Quantity.ANGLE, Quantity.SPEED} and unit.factor != 1:
        return f"{float(unit.factor):.15g}"
    top, bottom = unit.factor.numerator, unit.factor.denominator
    while bottom % 2 == 0:
        bottom //= 2
    while bottom % 5 == 0:
        bottom //= 5
    if bottom != 1:
        return f"{top}/{unit.factor.denominator} (about {float(unit.factor):.7g})"
    places = next(p for p in range(40) if (unit.factor * 10**p).denominator == 1)
    digits = str(int(unit.factor * 10**places)).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits


def listing() -> str:
    """The list of units for the page: exact factors, and every way to type them."""
    lines: list[str] = []
    for quantity in Quantity:
        lines += [f"\n### {quantity.value.capitalize()}\n", "| unit | exact factor to SI | also typed |", "|---|---|---|"]
        for unit in (u for u in UNITS if u.quantity is quantity):
            offset = f" after adding {float(unit.offset):g}" if unit.offset else ""
            also = ", ".join(f"`{alias}`" for alias in unit.aliases)
            lines.append(f"| {unit.name or '(none)'} | {_factor(unit)}{offset} | {also} |")
    return "\n".join(lines) + "\n"


def page(text: str) -> str:
    """The page with its list of units written anew."""
    return text.partition(MARK)[0] + MARK + listing()


if __name__ == "__main__":
    MODULE.write_text(module(), encoding="utf-8")
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
