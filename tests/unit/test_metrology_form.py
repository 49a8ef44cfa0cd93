"""Form: zones of points with known form."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from tenths.errors import BadInput
from tenths.metrology.form import flatness, out_of_round, parallelism, roundness, straightness, taper

UM = 1e-6
TURN = [2 * math.pi * k / 24 for k in range(24)]


def test_shop_form_is_a_difference_of_diameters():
    assert out_of_round([4.0005, 4.0002, 4.0004]) == pytest.approx(0.0003)
    assert taper([4.0005, 4.0003], [4.0002, 4.0002]) == pytest.approx(0.0002)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(0, math.tau))
def test_a_circle_off_centre_is_round(x, y, turn):
    radii = [0.05 + (x * math.cos(a + turn) + y * math.sin(a + turn)) * UM for a in TURN]
    zone = roundness([a + turn for a in TURN], radii)
    assert zone.minimum == pytest.approx(0.0, abs=1e-13)
    assert zone.shape == pytest.approx((x * UM, y * UM, 0.05), abs=1e-13)


@pytest.mark.parametrize("lobes", [2, 3, 5])
def test_pure_lobes_have_their_own_height(lobes):
    # Closed form: r = R + a cos(n t) lies in a zone of 2 a, which no shift of the centre narrows.
    at = [2 * math.pi * k / 120 for k in range(120)]
    zone = roundness(at, [0.05 + 3 * UM * math.cos(lobes * a) + 7 * UM * math.cos(a - 1) for a in at])
    assert zone.least_squares == pytest.approx(6 * UM, rel=1e-6)
    assert zone.minimum == pytest.approx(6 * UM, rel=1e-6)


def test_one_high_spot_makes_the_zones_differ():
    at = [k * math.pi / 2 for k in range(4)]
    zone = roundness(at, [0.05 + 4 * UM, 0.05, 0.05, 0.05])
    # Least squares leaves (+1, -1, +1, -1) um; no centre does better: cos 2t is left whatever the centre.
    assert zone.least_squares == pytest.approx(2 * UM, rel=1e-9)
    assert zone.minimum == pytest.approx(2 * UM, rel=1e-9)
    assert zone.deviations == pytest.approx([1 * UM, -1 * UM, 1 * UM, -1 * UM], rel=1e-6)


def test_bowed_line_by_hand():
    # Heights 0, 3, 0 at equal distances: least squares leaves -1, 2, -1 (3 wide), and so does the narrowest zone.
    zone = straightness([0.0, 0.1, 0.2], [0.0, 3 * UM, 0.0])
    assert zone.least_squares == pytest.approx(3 * UM, rel=1e-9)
    assert zone.minimum == pytest.approx(3 * UM, rel=1e-9)
    assert zone.deviations == pytest.approx([-1 * UM, 2 * UM, -1 * UM], rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-20, 20), min_size=4, max_size=7))
def test_narrowest_zone_of_a_line_against_a_search_over_slopes(heights):
    places = [0.1 * k for k in range(len(heights))]
    zone = straightness(places, [h * UM for h in heights])
    pairs = [(i, j) for i in range(len(places)) for j in range(i)]
    # The narrowest zone lies along one of the chords.
    slopes = [(heights[i] - heights[j]) / (places[i] - places[j]) for i, j in pairs]
    best = min(np.ptp(np.array(heights) - s * np.array(places)) for s in slopes)
    assert zone.minimum / UM == pytest.approx(best, rel=1e-6, abs=1e-6)
    assert zone.minimum <= zone.least_squares * (1 + 1e-9)


def test_saddle_surface_is_as_high_as_its_corners():
    # z = a x y on a square: no plane does better than 2 a (corners +a, -a, +a, -a).
    x, y = [0, 1, 1, 0], [0, 0, 1, 1]
    zone = flatness([0.1 * v for v in x], [0.1 * v for v in y], [2 * UM, 0, 2 * UM, 0])
    assert zone.minimum == pytest.approx(2 * UM, rel=1e-9)


def test_tilted_deck_is_flat_but_not_parallel():
    x, y = [0, 0.5, 0.5, 0], [0, 0, 0.2, 0.2]
    deck = parallelism(x, y, [0.2 + 100 * UM * a / 0.5 - 30 * UM * b / 0.2 for a, b in zip(x, y, strict=True)])
    assert deck.flat.minimum == pytest.approx(0.0, abs=1e-13)
    assert deck.along == pytest.approx(100 * UM, rel=1e-9)
    assert deck.across == pytest.approx(-30 * UM, rel=1e-9)
    assert deck.zone == pytest.approx(130 * UM, rel=1e-9)


def test_narrowest_circle_against_a_search():
    # Heights with one lobe of a triangle, centre moved along x only by symmetry.
    at = [math.tau * k / 12 for k in range(12)]
    radii = np.array([5.0 if k == 0 else (2.0 if k in (5, 7) else 0.0) for k in range(12)])

    def width(e):
        return np.ptp(radii - e * np.cos(at))

    best = minimize_scalar(width, bounds=(-10, 10), method="bounded", options={"xatol": 1e-10}).fun
    assert roundness(at, [0.05 + r * UM for r in radii]).minimum / UM == pytest.approx(best, rel=1e-6)


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="1 diameters"):
        out_of_round([1.0])
    with pytest.raises(BadInput, match="2 axes at one end and 1"):
        taper([1.0, 2.0], [1.0])
    with pytest.raises(BadInput, match=r"columns of \[3, 3\]"):
        roundness([0, 1, 2], [1, 1, 1])
    with pytest.raises(BadInput, match="do not span"):
        straightness([1, 1, 1], [1, 2, 3])
    with pytest.raises(BadInput, match="do not span"):
        flatness([0, 1, 2, 3], [0, 1, 2, 3], [0, 0, 0, 1])
    with pytest.raises(BadInput, match="not a finite"):
        straightness([0, 1, 2], [0, math.nan, 1])
