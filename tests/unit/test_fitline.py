"""Fit lines against places worked out by hand: 13 columns, limits in columns 2 and 10, target half way in 6."""

import xml.etree.ElementTree as ET

import pytest

from tenths.errors import BadInput
from tenths.record.fitline import VERDICTS, mark, svg, terminal

IN = (0.0015, 0.0025, 0.0020)


@pytest.mark.parametrize(("value", "u", "verdict", "line"), [
    # a column is (0.0025 - 0.0015) / 8 = 0.000125 in
    (0.001750, None, "fits", "  ├╌●╌┼╌╌╌┤  "),
    (0.001375, None, "out", " ✕├╌╌╌┼╌╌╌┤  "),
    (0.000500, None, "out", "◂✕├╌╌╌┼╌╌╌┤  "),
    (0.004000, None, "out", "  ├╌╌╌┼╌╌╌┤✕▸"),
    (None, None, "not measured", "  ├╌╌╌○╌╌╌┤  "),
    (0.002250, None, "stale", "  ├╌╌╌┼╌⊘╌┤  "),
    # 1.96 x 0.0000638 = 0.000125: one column either way
    (0.001750, 0.0000638, "fits", "  ├━●━┼╌╌╌┤  "),
])
def test_lines_worked_out_by_hand(value, u, verdict, line):
    assert terminal(value, u, *IN, verdict) == line


def test_an_upper_limit_alone_has_zero_at_the_left_place():
    assert terminal(0.0005, None, None, 0.0010, None, "fits") == "  ╌╌╌╌●╌╌╌┤  "


def test_a_value_just_outside_never_stands_on_the_limit():
    assert terminal(0.00149999, None, *IN, "out") == " ✕├╌╌╌┼╌╌╌┤  "


@pytest.mark.parametrize("width", [9, 13, 25, 80])
@pytest.mark.parametrize("value", [-1e9, 0.0, 0.0015, 0.002, 1e9])
def test_a_line_is_as_wide_as_asked(width, value):
    assert len(terminal(value, 1e-4, *IN, "out", width=width)) == width


def test_shapes_differ_without_colour():
    assert len({mark(v) for v in VERDICTS}) == len({mark(v, plain=True) for v in VERDICTS}) == 5
    assert all(mark(v, plain=True).isascii() for v in VERDICTS)


def test_svg_places_by_hand():
    # width 180: limits at 30 and 150; 0.00175 stands a quarter of the way, at 60
    root = ET.fromstring(svg(0.00175, None, *IN, "fits", width=180, title="a < b"))  # noqa: S314 - made by us
    solid = next(e for e in root.iter() if e.get("class") == "v-solid")
    assert float(solid.get("cx")) == pytest.approx(60.0, abs=0.006)
    assert root[0].text == "a < b"
    assert root.get("role") == "img"


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(bad):
    with pytest.raises(BadInput, match="value"):
        terminal(bad, None, *IN, "fits")


def test_an_unknown_verdict_is_refused():
    with pytest.raises(BadInput, match="one of"):
        mark("good")
