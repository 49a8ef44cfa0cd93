# ruff: noqa: INP001 - a script beside the pages, not a package
"""Writes docs/validation.md: what each formula was checked against, and what has not been checked.

Run it from the root of the repository after a case or a public function of `tenths.calc` has been added.
"""

import importlib
import inspect
import math
import pkgutil
import re
import sys
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
CASES = ROOT / "tests" / "validation" / "cases"
PAGE = ROOT / "docs" / "validation.md"
UNVALIDATED = ROOT / "src" / "tenths" / "data" / "unvalidated.txt"
BIBLIOGRAPHY = ROOT / "docs" / "bibliography.md"
ORIGINS = {
    "published": "printed in the source",
    "independent": "computed by independent code that shares nothing with ours",
    "closed-form": "worked out by hand from a closed form",
    "symbolic": "worked out by computer algebra or exact series",
    "common-practice": "rule of the trade, no source",
    "from-memory": "value of the source from memory, recomputed where it decides",
}

# Written down here once more, apart from the product's own parser, so that one cannot hide a mistake of the other.
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665
FORCE = POUND * GRAVITY
UNITS = {
    "m": 1.0, "mm": 1e-3, "um": 1e-6, "in": INCH, "ft": 12 * INCH,
    "m2": 1.0, "mm2": 1e-6, "in2": INCH**2,
    "m3": 1.0, "cc": 1e-6, "l": 1e-3, "in3": INCH**3,
    "rad": 1.0, "deg": math.pi / 180,
    "s": 1.0, "rad/s": 1.0, "rpm": math.tau / 60, "Hz": 1.0,
    "m/s": 1.0, "ft/s": 12 * INCH, "m/s2": 1.0,
    "kg": 1.0, "g": 1e-3, "lb": POUND, "kg.m2": 1.0, "kg.m": 1.0, "g.mm": 1e-6,
    "N": 1.0, "kN": 1e3, "lbf": FORCE, "N.m": 1.0, "lbf.in": FORCE * INCH, "lbf.ft": FORCE * 12 * INCH,
    "N/m": 1.0, "N/mm": 1e3, "N.m/rad": 1.0,
    "Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "bar": 1e5, "psi": FORCE / INCH**2, "ksi": 1e3 * FORCE / INCH**2,
    "K": 1.0, "1/K": 1.0, "-": 1.0,
}  # fmt: skip
WITH_UNIT = re.compile(r"^([-+]?\d+(?:\.\d*)?(?:[eE][-+]?\d+)?) (\S+)$")


@dataclass(frozen=True)
class Case:
    """One check of one function against a value from outside."""

    file: str
    name: str
    function: str
    inputs: dict[str, Any]
    expected: Any
    tolerance: dict[str, Any]
    why: str
    source: str
    locator: str
    origin: str


def to_si(value: Any) -> Any:
    """Numbers with unit become SI numbers, through lists and tables; a table with `type` becomes that record."""
    if isinstance(value, str) and (match := WITH_UNIT.match(value)):
        if match[2] == "degC":
            return float(match[1]) + 273.15
        return float(match[1]) * UNITS[match[2]]
    if isinstance(value, list):
        return [to_si(item) for item in value]
    if isinstance(value, dict):
        table = {name: to_si(item) for name, item in value.items() if name != "type"}
        return find(value["type"])(**table) if "type" in value else table
    return value


def find(path: str) -> Any:
    """What stands at a dotted path below the package; of numpy and, without a dot, of Python itself too."""
    module, _, name = path.rpartition(".")
    full = module if module == "numpy" else f"tenths.{module}" if module else "builtins"
    return getattr(importlib.import_module(full), name)


def load_cases() -> list[Case]:
    """All cases of all files, in order."""
    cases: list[Case] = []
    for file in sorted(CASES.glob("*.toml")):
        cases += [Case(file=file.stem, **case) for case in tomllib.loads(file.read_text("utf-8"))["case"]]
    return cases


def result_of(case: Case) -> Any:
    """What our function answers to the case."""
    return find(case.function)(**to_si(case.inputs))


def pairs(expected: Any, result: Any, at: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Expected and found values side by side, with the place in a list or record where each stands."""
    if isinstance(expected, dict):
        for name, value in expected.items():
            yield from pairs(value, getattr(result, name), f"{at}.{name}".lstrip("."))
    elif isinstance(expected, list):
        for place, (value, found) in enumerate(zip(expected, result, strict=True)):
            yield from pairs(value, found, f"{at}[{place}]")
    else:
        yield at, expected, result


def _is_function(found: object) -> bool:
    """Also one that keeps what it worked out."""
    return inspect.isfunction(found) or inspect.isfunction(getattr(found, "__wrapped__", None))


def public_functions(root: str = "tenths.calc") -> dict[str, Callable[..., Any]]:
    """Every public function of the calculations (or of another folder) by its dotted path below the package."""
    package = importlib.import_module(root)
    found: dict[str, Callable[..., Any]] = {}
    for info in pkgutil.walk_packages(package.__path__, f"{root}."):
        if any(part.startswith("_") for part in info.name.split(".")):
            continue
        module = importlib.import_module(info.name)
        for name, function in inspect.getmembers(module, _is_function):
            if not name.startswith("_") and function.__module__ == info.name:
                found[f"{info.name.removeprefix('tenths.')}.{name}"] = function
    return found


def unvalidated(cases: list[Case]) -> list[str]:
    """Public functions that no case checks."""
    return sorted(set(public_functions()) - {case.function for case in cases})


def bibliography_keys() -> set[str]:
    """Keys of the bibliography."""
    return set(re.findall(r"^- \*\*\[([^\]]+)\]\*\*", BIBLIOGRAPHY.read_text("utf-8"), re.MULTILINE))


def page(cases: list[Case]) -> str:
    """The page as it should stand."""
    lines = [
        "# Validation",
        "",
        "Written by `docs/make_validation.py` from `tests/validation/cases`; not to be edited by hand.",
        "Keys stand in [the bibliography](bibliography.md). Every expected value comes from outside our code:",
        "",
        *(f"- *{origin}*: {meaning}" for origin, meaning in ORIGINS.items()),
    ]
    for function in sorted({case.function for case in cases}):
        lines += ["", f"## `{function}`", "", "| case | expected | ours | tolerance, and why | source | origin |",
                  "|---|---|---|---|---|---|"]  # fmt: skip
        lines += [_row(case) for case in cases if case.function == function]
    open_ones = unvalidated(cases)
    lines += ["", f"## Unvalidated ({len(open_ones)})", ""]
    lines += [f"- `{name}`" for name in open_ones] or ["None."]
    return "\n".join(lines) + "\n"


def _row(case: Case) -> str:
    ours = [(at, expected, found) for at, expected, found in pairs(case.expected, result_of(case))]
    expected = ", ".join(f"{at} {value}".strip() for at, value, _ in ours)
    found = ", ".join(_in_unit_of(value, answer) for _, value, answer in ours)
    tolerance = " ".join(f"{kind} {value}" for kind, value in case.tolerance.items())
    source = f"[{case.source}] {case.locator}" if case.source else case.locator
    return f"| {case.name} | {expected} | {found} | {tolerance}: {case.why} | {source} | {case.origin} |"


def _in_unit_of(expected: Any, found: Any) -> str:
    match = WITH_UNIT.match(expected) if isinstance(expected, str) else None
    if match is None:
        return f"{_round(found):.6g}" if isinstance(found, float | int) else str(found)
    found = found - 273.15 if match[2] == "degC" else found / UNITS[match[2]]
    return f"{_round(found):.6g} {match[2]}"


def _round(value: float) -> float:
    """Rounding dust of a value that should be nothing must not make the page differ between machines."""
    return 0.0 if abs(value) < 1e-9 else value


def main() -> None:
    """Write the page and the list beside it."""
    cases = load_cases()
    PAGE.write_text(page(cases), "utf-8")
    UNVALIDATED.write_text("".join(f"{name}\n" for name in unvalidated(cases)), "utf-8")
    sys.stdout.write(f"{len(cases)} cases, {len(unvalidated(cases))} functions without\n")


if __name__ == "__main__":
    main()
