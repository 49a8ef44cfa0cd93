"""Clearance over a turn against a brute search over filled edges; the pin as a beam."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.calc import pistonpin, sweep
from tenths.errors import BadInput, OutOfRange

SIZE = {"stroke": 0.09, "rod_length": 0.15}
spots = st.tuples(st.floats(-0.08, 0.08), st.floats(-0.08, 0.08))


def outline(body, points, radius=0.0):
    return sweep.Outline(body, points, radius)


@given(st.lists(spots, min_size=1, max_size=3), st.lists(spots, min_size=1, max_size=3), st.floats(-0.002, 0.002))
@settings(max_examples=40, deadline=None)
def test_least_distance_is_that_of_many_points_along_both_edges(rod, wall, pin_offset):
    found = sweep.least_clearance(outline("rod", rod), outline("block", wall), **SIZE, pin_offset=pin_offset, steps=120)

    def filled(points):
        ends = [complex(*p) for p in points]
        if len(ends) == 1:
            return np.array(ends)
        shares = np.linspace(0.0, 1.0, 201)
        return np.concatenate([a + (b - a) * shares for a, b in itertools.pairwise(ends)])

    still, least = filled(wall), math.inf
    for angle in np.linspace(0.0, math.tau, 120, endpoint=False):
        crank = 0.045 * np.exp(1j * angle)
        pin = -1j * pin_offset + crank.real + math.sqrt(0.15**2 - (crank.imag + pin_offset) ** 2)
        moving = crank + filled(rod) * (pin - crank) / 0.15
        least = min(least, np.abs(moving[:, None] - still).min())
    assert found.clearance <= least + 1e-12
    assert found.clearance == pytest.approx(least, abs=1.7e-3)


@given(spots, st.floats(0.0, 0.01), st.floats(0.0, 0.01))
def test_roundings_take_their_radius_off(spot, one, other):
    sharp = sweep.least_clearance(outline("rod", [spot]), outline("block", [(0.2, 0.1)]), **SIZE)
    round_ = sweep.least_clearance(outline("rod", [spot], one), outline("block", [(0.2, 0.1)], other), **SIZE)
    assert round_.clearance == pytest.approx(sharp.clearance - one - other, abs=1e-12)


@given(st.lists(spots, min_size=1, max_size=3))
def test_order_of_the_two_parts_does_not_matter(points):
    wall = outline("block", [(0.0, 0.15), (0.2, 0.15)])
    first = sweep.least_clearance(outline("crank", points), wall, **SIZE)
    assert sweep.least_clearance(wall, outline("crank", points), **SIZE).clearance == pytest.approx(first.clearance)


def test_edges_that_cross_between_their_points_touch():
    bar = outline("rod", [(0.0, -0.1), (0.0, 0.1)])
    post = outline("block", [(-0.3, 0.0), (0.3, 0.0)])
    assert sweep.least_clearance(bar, post, **SIZE).clearance == 0.0


def test_point_in_the_rods_big_end_centre_runs_on_the_crank_circle():
    found = sweep.least_clearance(outline("rod", [(0.0, 0.0)]), outline("block", [(0.0, 0.0)]), **SIZE)
    assert found.clearance == pytest.approx(0.045)


def test_wrong_outlines_are_refused():
    with pytest.raises(BadInput, match="outline of the rod has no point"):
        outline("rod", [])
    with pytest.raises(OutOfRange, match="radius is -0"):
        outline("rod", [(0.0, 0.0)], -0.001)
    with pytest.raises(BadInput, match="two different bodies"):
        sweep.least_clearance(outline("rod", [(0, 0)]), outline("rod", [(0, 0)]), **SIZE)
    with pytest.raises(BadInput, match="10 steps"):
        sweep.least_clearance(outline("rod", [(0, 0)]), outline("block", [(0, 0)]), **SIZE, steps=10)


PIN = {"load": 4e4, "outside": 0.022, "inside": 0.012, "rod_width": 0.024, "boss_gap": 0.026, "boss_length": 0.02}


def test_pin_stress_is_proportional_to_load_and_eased_by_a_wide_rod():
    base = pistonpin.pin_stress(**PIN)
    double = pistonpin.pin_stress(**(PIN | {"load": 8e4}))
    assert double.bending == pytest.approx(2 * base.bending)
    assert pistonpin.pin_stress(**(PIN | {"rod_width": 0.026})).bending < base.bending
    assert pistonpin.pin_stress(**(PIN | {"inside": 0.0})).bending < base.bending


def test_bending_moment_agrees_with_a_sum_over_slices_of_the_pin():
    half = np.linspace(0.0, 0.013 + 0.02, 200_001)
    middle = (half[1:] + half[:-1]) / 2
    width = np.diff(half)
    down = np.where(middle < 0.012, 4e4 / 0.024, 0.0)
    up = np.where(middle > 0.013, 4e4 / 2 / 0.02, 0.0)
    moment = np.sum((up - down) * middle * width)
    section = math.pi / 32 * (0.022**4 - 0.012**4) / 0.022
    assert pistonpin.pin_stress(**PIN).bending == pytest.approx(moment / section, rel=1e-4)


def test_wrong_pins_are_refused():
    with pytest.raises(OutOfRange, match=r"rod_width is 0\.03"):
        pistonpin.pin_stress(**(PIN | {"rod_width": 0.03}))
    with pytest.raises(OutOfRange, match=r"inside is 0\.022"):
        pistonpin.pin_stress(**(PIN | {"inside": 0.022}))
