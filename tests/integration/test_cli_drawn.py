"""Commands that draw, through the command line: numbers by hand from the triangle of crank and rod."""

import json
from math import cos, radians, sin, sqrt
from xml.etree import ElementTree as ET

import pytest

from tenths.cli import run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("shop")
    assert run(["--shop", str(made), "demo"]) == 0
    return made


@pytest.fixture
def ask(folder, capsys):
    """What a command comes to: exit code and what it says."""

    def asked(*words):
        capsys.readouterr()
        code = run(["--shop", str(folder), *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


@pytest.mark.parametrize(("units", "to_unit"), [("inch", 1.0), ("metric", 25.4)])
def test_the_piston_is_told_in_the_unit_asked_for(ask, units, to_unit):
    code, said, _ = ask("turn", "marigold", "--crank", "37", "--units", units, "--json")
    told = json.loads(said)
    assert code == 0
    first = told["cylinders"][0]
    half, rod, a = 3.625 / 2, 6.2, radians(37.0)  # the demo's inline six, by its sheet [in]
    below = half + rod - half * cos(a) - sqrt(rod**2 - (half * sin(a)) ** 2) + first["deck_clearance"] / 0.0254
    number, unit = first["text"].split()
    assert unit == {"inch": "in", "metric": "mm"}[units]
    assert float(number) == pytest.approx(below * to_unit, abs=0.0006 * to_unit)


def test_what_is_said_of_the_turned_crank_fits_eighty_columns(ask):
    for engine in ("marigold", "kestrel"):
        code, said, _ = ask("turn", engine, "--crank", "90")
        assert code == 0
        assert all(len(line) <= 80 for line in said.splitlines())
        assert "squish clearance" in said


def test_a_drawing_is_written_whole_and_turned(ask, tmp_path):
    code, _, _ = ask("draw", "kestrel", "--view", "end", "--crank", "40", "--out", str(tmp_path / "k.svg"))
    assert code == 0
    assert ET.parse(tmp_path / "k.svg").getroot().get("data-crank") == "40"  # noqa: S314 - made by us


def test_a_plot_is_a_picture_or_its_specification(ask):
    _, svg, _ = ask("plot", "marigold", "main-oil-clearance")
    assert svg.startswith("<svg")
    _, spec, _ = ask("plot", "marigold", "main-oil-clearance", "--spec", "--units", "metric")
    values = [row["value"] for row in json.loads(spec)["data"]["values"]]
    assert len(values) == 7
    assert all(0.03 < value < 0.1 for value in values)  # mm: two thousandths of an inch and a little more
    code, _, wrong = ask("plot", "marigold", "luck")
    assert code == 2
    assert "'luck' is not known here" in wrong
