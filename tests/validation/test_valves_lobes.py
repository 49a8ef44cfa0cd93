"""Lobes: pure profiles and the record of a lobe."""

import itertools
import math
from math import radians

import numpy as np
import pytest

from tenths.calc.valves import lobes, profiles
from tenths.errors import BadInput, OutOfRange

KINDS = tuple(profiles.RISES)


@pytest.mark.parametrize(("kind", "velocity", "acceleration", "jerk"), [
    ("cycloidal", 2.0, 6.2832, 39.478),
    ("3-4-5", 1.875, 10 / math.sqrt(3), 60.0),
    ("harmonic", 1.5708, 4.9348, 15.503),
    ("modified-sine", 1.7596, 5.5280, 69.466),
    ("4-5-6-7", 2.1875, 7.5132, 52.5),
])
def test_greatest_values_are_those_of_the_handbook(kind, velocity, acceleration, jerk):
    rows = profiles.rise(kind, np.linspace(0, 1, 20001))
    assert rows[0][0] == pytest.approx(0, abs=1e-12)
    assert rows[0][-1] == pytest.approx(1)
    for row, greatest in zip(rows[1:], (velocity, acceleration, jerk), strict=True):
        assert np.abs(row).max() == pytest.approx(greatest, rel=3e-5)


@pytest.mark.parametrize("kind", KINDS)
def test_each_derivative_is_that_of_the_row_before(kind):
    x = np.linspace(0.13, 0.86, 40001)
    rows = profiles.rise(kind, x)
    for row, derived in itertools.pairwise(rows):
        assert np.gradient(row, x)[1:-1] == pytest.approx(derived[1:-1], abs=2e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_lobe_between_its_points_is_the_profile(kind):
    lobe = profiles.profile_lobe(kind, lift=0.009, opening=2.4, closing=2.6, dwell=0.1, points=181)
    x = np.linspace(-2.449, -0.051, 777)
    rows = profiles.rise(kind, (x + 2.45) / 2.4)
    found = lobe.at(x)
    assert found.lift == pytest.approx(0.009 * rows[0], abs=1e-9)
    assert found.velocity == pytest.approx(0.009 / 2.4 * rows[1], abs=1e-7)
    assert found.acceleration == pytest.approx(0.009 / 2.4**2 * rows[2], abs=3e-5)
    down = lobe.at(0.05 + 1.3)
    assert down.lift == pytest.approx(0.0045, abs=1e-12)
    assert float(down.velocity) == pytest.approx(-0.009 / 2.6 * profiles.rise(kind, 0.5)[1])
    assert lobe.lift(3.0) == 0.0
    assert lobe.at(-2.6).acceleration == 0.0


def test_equal_lift_angles_of_a_cycloid():
    lobe = profiles.profile_lobe("cycloidal", lift=0.01, opening=2.0, closing=2.2)
    opens, closes = lobe.flank_angles(0.005)
    assert opens == pytest.approx(-1.0)
    assert closes == pytest.approx(1.1)
    with pytest.raises(OutOfRange, match="above 0 and below"):
        lobe.flank_angles(0.01)


def test_a_lobe_can_be_moved_placed_and_scaled():
    lobe = profiles.profile_lobe("3-4-5", lift=0.01, opening=2.0, closing=2.0)
    placed = lobe.placed(radians(108))
    assert placed.zero == "top dead centre"
    assert float(placed.lift(radians(108))) == pytest.approx(0.01)
    assert float(placed.scaled(1.6).at(radians(90)).velocity) == pytest.approx(1.6 * float(lobe.at(-radians(18)).velocity))
    with pytest.raises(OutOfRange, match="by is nan"):
        lobe.moved(math.nan)


@pytest.mark.parametrize(("lifts", "durations"), [
    ([0.00127], [224.0]),
    ([0.00015, 0.00127], [270.0, 230.0]),
    ([0.00015, 0.00127, 0.00508], [280.0, 230.0, 145.5]),
])
def test_a_card_gives_back_its_durations(lifts, durations):
    lobe = profiles.card_lobe(lift=0.0089, lifts=lifts, durations=[radians(d) for d in durations])
    assert lobe.origin == "card"
    assert lobe.peak == pytest.approx(0.0089)
    for lift, duration in zip(lifts, durations, strict=True):
        opens, closes = lobe.flank_angles(lift)
        assert math.degrees(closes - opens) == pytest.approx(duration, abs=1.0 if len(lifts) > 2 else 0.01)
        assert closes == pytest.approx(-opens)
    table = lobe.motion
    step = lobe.angles[1] - lobe.angles[0]
    assert np.gradient(table.lift, step)[1:-1] == pytest.approx(table.velocity[1:-1], abs=2e-5)
    assert np.gradient(table.velocity, step)[1:-1] == pytest.approx(table.acceleration[1:-1], abs=2e-4)
    assert np.gradient(table.acceleration, step)[2:-2] == pytest.approx(table.jerk[2:-2], abs=2e-3)
    assert [row[0] for row in (table.lift, table.velocity, table.acceleration, table.jerk)] == pytest.approx([0] * 4, abs=1e-12)


def test_wrong_cards_and_tables_are_refused():
    with pytest.raises(BadInput, match="as many, and one or more"):
        profiles.card_lobe(lift=0.009, lifts=[], durations=[])
    with pytest.raises(BadInput, match="its duration below"):
        profiles.card_lobe(lift=0.009, lifts=[0.001, 0.002], durations=[3.0, 3.5])
    with pytest.raises(OutOfRange, match="more than the lifts"):
        profiles.card_lobe(lift=0.001, lifts=[0.001], durations=[3.0])
    with pytest.raises(OutOfRange, match="no single curve"):
        profiles.card_lobe(lift=0.009, lifts=[0.0001, 0.0002], durations=[4.0, 1.0])
    with pytest.raises(BadInput, match="'wedge' is not known"):
        profiles.rise("wedge", 0.5)
    with pytest.raises(OutOfRange, match=r"greatest_share is 1\.5"):
        profiles.rise("3-4-5", [0.0, 1.5])
    with pytest.raises(BadInput, match="each above the one before"):
        lobes.lobe_of([0, 1, 1], [0, 1, 0], [0, 0, 0], [0, 0, 0], [0, 0, 0])
    with pytest.raises(BadInput, match="3, 3, 2, 3, 3 values"):
        lobes.lobe_of([0, 1, 2], [0, 1, 0], [0, 0], [0, 0, 0], [0, 0, 0])
