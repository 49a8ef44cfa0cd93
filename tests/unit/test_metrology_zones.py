"""The narrowest zone of a level, line or plane: by hand, and against the linear program of scipy; its doubt by derivative."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from tenths.errors import BadInput
from tenths.metrology.estimate import combine, single
from tenths.metrology.zones import narrowest


def estimates(heights, u=1e-6):
    return [single(h, u, f"repeat:{n}") for n, h in enumerate(heights)]


def program(shape, places, heights):
    """The same zone by linear programming: least t with |h - shape| <= t, doubled."""
    x, y = np.array(places, dtype=float).T
    table = {"level": np.ones((len(x), 1)), "line": np.c_[np.ones(len(x)), x], "plane": np.c_[np.ones(len(x)), x, y]}[shape]
    ones = np.ones((len(x), 1))
    found = optimize.linprog(np.r_[np.zeros(table.shape[1]), 1.0], A_ub=np.block([[table, -ones], [-table, -ones]]),
                             b_ub=np.r_[heights, -np.array(heights)], bounds=[(None, None)] * (table.shape[1] + 1))
    return 2 * found.fun


def test_by_hand():
    # a line through the ends, the middle 3 above it: half of that is given to the ends
    assert narrowest("line", [(0, 0), (1, 0), (2, 0)], estimates([0.0, 3.0, 0.0])).value == pytest.approx(3.0)
    # a saddle: two corners up, two down, by one each
    assert narrowest("plane", [(0, 0), (1, 0), (1, 1), (0, 1)], estimates([1.0, -1.0, 1.0, -1.0])).value == pytest.approx(2.0)
    assert narrowest("level", [(0, 0), (1, 0), (2, 0)], estimates([1.0, 4.0, 2.0])).value == pytest.approx(3.0)


@pytest.mark.parametrize("shape", ["level", "line", "plane"])
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_as_the_linear_program_has_it(shape, data):
    places = data.draw(st.sampled_from([
        [(k, 0) for k in range(7)], [(0, 0), (1, 0), (1.5, 0), (4, 0), (4.2, 0)],
    ] if shape == "line" else [[(i, j) for i in range(3) for j in range(3)], [(0, 0), (5, 1), (2, 7), (6, 6), (1, 3), (3, 3.5)],
                               [(i, j) for i in range(5) for j in range(3)]]))
    heights = data.draw(st.lists(st.integers(-30, 30), min_size=len(places), max_size=len(places)))
    found = narrowest(shape, places, estimates([float(h) for h in heights]))
    assert found.value == pytest.approx(program(shape, places, heights), abs=1e-7)


def test_its_doubt_is_the_slope_of_the_linear_program():
    places = [(i, j) for i in range(3) for j in range(3)]
    heights = [0.0, 5.0, 1.0, -4.0, 2.0, 7.0, 3.0, -6.0, 11.0]
    found = narrowest("plane", places, estimates(heights, u=1.0))
    slopes = []
    for k in range(9):
        moved = [[h + s * (n == k) for n, h in enumerate(heights)] for s in (1e-3, -1e-3)]
        slopes.append((program("plane", places, moved[0]) - program("plane", places, moved[1])) / 2e-3)
    assert found.u == pytest.approx(math.hypot(*slopes), rel=1e-5)


def test_what_is_common_to_all_readings_falls_out():
    rows = [combine((1.0, 1.0), (single(h, 1.0, f"repeat:{n}"), single(0.0, 5.0, "scale:dial")))
            for n, h in enumerate([0.0, 30.0, 10.0, -20.0])]
    line = narrowest("line", [(k, 0) for k in range(4)], rows)
    assert line.parts.get("scale:dial", 0.0) == pytest.approx(0.0, abs=1e-12)
    # held by the second, and the fourth with the first: heights 0, 30, -20 at 0, 1, 3: weights -2/3, 1, -1/3
    assert line.value == pytest.approx(30 + 20 / 3)
    assert line.u == pytest.approx(math.sqrt(1 + 4 / 9 + 1 / 9))


@pytest.mark.parametrize(("shape", "places", "says"), [
    ("line", [(0, 0), (1, 0)], "3 to 40"), ("plane", [(0, 0), (1, 0), (2, 0), (3, 0)], "do not span"),
    ("line", [(1, 0), (1, 0), (1, 0)], "do not span")])
def test_what_cannot_be_a_zone_is_said(shape, places, says):
    if shape == "plane":
        assert narrowest("line", places, estimates([0.0] * len(places))).value == 0.0
    with pytest.raises(BadInput, match=says):
        narrowest(shape, places, estimates([0.0] * len(places)))
