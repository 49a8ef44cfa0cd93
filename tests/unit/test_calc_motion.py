"""The slider-crank over its range: signs, symmetry, limits, scaling, and derivatives against differences."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc import motion
from tenths.errors import OutOfRange

sizes = st.tuples(
    st.floats(0.02, 0.3),  # stroke
    st.floats(1.55, 6.0),  # rod in crank radii, less the offset
    st.floats(-0.15, 0.15),  # pin offset in crank radii
).map(lambda s: {"stroke": s[0], "rod_length": s[0] / 2 * (s[1] + abs(s[2])), "pin_offset": s[0] / 2 * s[2]})
angles = st.floats(-4 * math.pi, 4 * math.pi)
TURN = np.linspace(0.0, math.tau, 7201)


def mirrored(size):
    return size | {"pin_offset": -size["pin_offset"]}


@given(sizes, angles)
def test_depth_lies_between_the_dead_centres_and_repeats_every_turn(size, angle):
    depth = motion.piston_depth(angle, **size)
    assert -1e-12 <= depth <= motion.true_stroke(**size) + 1e-12
    assert motion.piston_depth(angle + math.tau, **size) == pytest.approx(depth, abs=1e-12)


@given(sizes)
def test_dead_centres_are_where_the_piston_turns(size):
    top, bottom = motion.dead_centres(**size)
    assert motion.piston_depth(top, **size) == pytest.approx(0.0, abs=1e-12)
    assert motion.piston_depth(bottom, **size) == pytest.approx(motion.true_stroke(**size), abs=1e-12)
    for angle in (top, bottom):
        assert motion.piston_speed(angle, **size) == pytest.approx(0.0, abs=1e-9 * size["stroke"])


@given(sizes, angles)
def test_offset_to_the_other_side_mirrors_the_motion(size, angle):
    other = mirrored(size)
    assert motion.piston_depth(-angle, **other) == pytest.approx(motion.piston_depth(angle, **size), abs=1e-12)
    assert motion.piston_speed(-angle, **other) == pytest.approx(-motion.piston_speed(angle, **size), abs=1e-12)
    assert motion.rod_angle(-angle, **other) == pytest.approx(-motion.rod_angle(angle, **size), abs=1e-12)


@given(sizes, st.floats(0.0, math.tau))
def test_speed_and_acceleration_are_the_derivatives(size, angle):
    step = 1e-5
    before, after = (motion.piston_depth(angle + s, **size) for s in (-step, step))
    slope = (after - before) / (2 * step)
    assert motion.piston_speed(angle, **size) == pytest.approx(slope, abs=2e-8 * size["stroke"])
    before, after = (motion.piston_speed(angle + s, **size) for s in (-step, step))
    slope = (after - before) / (2 * step)
    assert motion.piston_acceleration(angle, **size) == pytest.approx(slope, abs=2e-8 * size["stroke"])


@given(sizes, angles, st.floats(0.1, 10.0))
def test_motion_scales_with_size_and_speed(size, angle, factor):
    larger = {name: factor * value for name, value in size.items()}
    assert motion.piston_depth(angle, **larger) == pytest.approx(factor * motion.piston_depth(angle, **size), abs=1e-12)
    slow = motion.piston_acceleration(angle, **size, speed=100.0)
    assert motion.piston_acceleration(angle, **size, speed=100.0 * factor) == pytest.approx(slow * factor**2)


@given(sizes)
def test_arrays_give_the_same_as_numbers(size):
    some = TURN[::600]
    for function in (motion.piston_depth, motion.piston_speed, motion.piston_acceleration, motion.rod_angle):
        assert function(some, **size) == pytest.approx([function(float(a), **size) for a in some], abs=1e-15)


@given(sizes)
def test_peaks_are_the_largest_of_a_fine_sweep(size):
    fastest = np.abs(motion.piston_speed(TURN, **size)).max()
    assert motion.peak_piston_speed(**size, speed=1.0) == pytest.approx(fastest, rel=1e-6)
    assert motion.peak_piston_speed(**size, speed=1.0) >= fastest * (1 - 1e-12)
    hardest = np.abs(motion.piston_acceleration(TURN, **size)).max()
    assert motion.peak_piston_acceleration(**size, speed=1.0) == pytest.approx(hardest, rel=1e-6)
    assert motion.peak_piston_acceleration(**size, speed=1.0) >= hardest * (1 - 1e-12)


@given(sizes)
def test_largest_rod_angle_is_the_largest_of_a_sweep(size):
    assert np.abs(motion.rod_angle(TURN, **size)).max() == pytest.approx(motion.largest_rod_angle(**size), rel=1e-6)


def test_a_very_long_rod_makes_the_motion_a_plain_sine():
    size = {"stroke": 0.1, "rod_length": 500.0}
    assert motion.piston_depth(TURN, **size) == pytest.approx(0.05 * (1 - np.cos(TURN)), abs=5e-6)
    assert math.degrees(motion.peak_speed_angle(**size)) == pytest.approx(90.0, abs=0.01)


@given(sizes)
def test_mean_speed_of_a_turn_is_the_mean_of_the_way(size):
    way = motion.true_stroke(**size)
    mean = np.trapezoid(np.abs(motion.piston_speed(TURN, **size, speed=50.0)), TURN) / math.tau
    assert motion.mean_piston_speed(stroke=way, speed=50.0) == pytest.approx(mean, rel=1e-5)


@given(sizes, st.floats(0.0, 1.0))
def test_angles_at_depth_bring_the_piston_back_there(size, share):
    depth = share * motion.true_stroke(**size)
    first, second = motion.angles_at_depth(depth, **size)
    assert first <= second
    for angle in (first, second):
        assert motion.piston_depth(angle, **size) == pytest.approx(depth, abs=1e-12)
    assert motion.dwell(depth=depth, **size) == second - first


def test_dwell_grows_with_the_rod_at_top_dead_centre():
    dwells = [motion.dwell(depth=0.001, stroke=0.086, rod_length=rod) for rod in (0.12, 0.14, 0.16, 0.2)]
    assert dwells == sorted(dwells)
    assert len(set(dwells)) == 4


@given(sizes)
def test_volume_is_clearance_at_the_top_and_all_at_the_bottom(size):
    top, bottom = motion.dead_centres(**size)
    low, high = (motion.cylinder_volume(a, bore=0.1, clearance=6e-5, **size) for a in (top, bottom))
    assert low == pytest.approx(6e-5)
    assert high - low == pytest.approx(math.pi / 4 * 0.01 * motion.true_stroke(**size))


@pytest.mark.parametrize(
    "size",
    [
        {"stroke": 0.1, "rod_length": 0.05},
        {"stroke": 0.1, "rod_length": 0.06, "pin_offset": 0.01},
        {"stroke": 0.0, "rod_length": 0.1},
        {"stroke": -0.1, "rod_length": 0.1},
        {"stroke": 0.1, "rod_length": math.inf},
        {"stroke": math.nan, "rod_length": 0.1},
        {"stroke": 0.1, "rod_length": 0.1, "pin_offset": math.nan},
    ],
)
def test_a_crank_that_cannot_turn_is_refused(size):
    with pytest.raises(OutOfRange, match="the crank turns only if"):
        motion.piston_depth(0.0, **size)


def test_refusals_name_the_argument():
    with pytest.raises(OutOfRange, match=r"depth is 0\.2"):
        motion.angles_at_depth(0.2, stroke=0.1, rod_length=0.15)
    with pytest.raises(OutOfRange, match="rod_length is"):
        motion.peak_piston_acceleration(stroke=0.1, rod_length=0.06, speed=1.0)
    with pytest.raises(OutOfRange, match="speed is -1"):
        motion.peak_piston_speed(stroke=0.1, rod_length=0.15, speed=-1.0)
    with pytest.raises(OutOfRange, match="bore is 0"):
        motion.cylinder_volume(0.0, bore=0.0, stroke=0.1, rod_length=0.15, clearance=0.0)
    with pytest.raises(OutOfRange, match="stroke is 0"):
        motion.rod_ratio(stroke=0.0, rod_length=0.15)
