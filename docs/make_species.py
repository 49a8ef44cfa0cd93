# ruff: noqa: INP001 - a script beside the pages, not a package
"""Writes src/tenths/data/species.json: polynomials of the gases, taken out of a general library's data file.

Needs `cantera`, which the product itself does not. The coefficients are those of NASA's tables in seven terms; the product's own
equilibria and properties are held against that library in tests.
"""

import json
import sys
from pathlib import Path

import cantera

NAMES = {
    "CO2": "CO2", "H2O": "H2O", "N2": "N2", "O2": "O2", "Ar": "Ar", "CO": "CO", "H2": "H2", "H": "H", "O": "O", "OH": "OH",
    "NO": "NO", "N": "N",
    "iso-octane": "C8H18,isooctane", "heptane": "C7H16,n-heptane", "toluene": "C7H8", "ethanol": "C2H5OH",
    "methanol": "CH3OH", "propane": "C3H8", "methane": "CH4", "benzene": "C6H6",
}  # fmt: skip
FILE = Path(__file__).parents[1] / "src" / "tenths" / "data" / "species.json"


def main() -> None:
    """Read and write."""
    found = {species.name: species for species in cantera.Species.list_from_file("nasa_gas.yaml")}
    table = {}
    for ours, theirs in NAMES.items():
        species = found[theirs]
        coefficients = [float(value) for value in species.thermo.coeffs]
        table[ours] = {
            "atoms": {element.upper() if len(element) == 1 else element: count for element, count in species.composition.items()},
            "middle": coefficients[0],
            "high": coefficients[1:8],
            "low": coefficients[8:15],
        }
    head = {"source": f"nasa_gas.yaml of cantera {cantera.__version__}; NASA polynomials in seven coefficients"}
    FILE.write_text(json.dumps(head | {"species": table}, indent=1) + "\n", "utf-8")
    sys.stdout.write(f"{len(table)} species\n")


if __name__ == "__main__":
    main()
