"""Threads, tightening and rod bolts over their range: inverses, monotony, limits, patterns."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc import joints, rodbolt, threads, tightening
from tenths.errors import BadInput, OutOfRange

frictions = st.floats(0.04, 0.3)
sizes = st.tuples(st.floats(0.005, 0.03), st.floats(0.06, 0.2)).map(
    lambda s: threads.metric_thread(diameter=s[0], pitch=s[0] * s[1])
)
M10 = threads.metric_thread(diameter=0.010, pitch=0.0015)
RADIUS = 0.0064


@given(sizes)
def test_diameters_of_a_thread_stand_in_order(thread):
    assert thread.diameter > thread.pitch_diameter > thread.minor_diameter > thread.root_diameter > 0
    assert math.pi / 4 * thread.root_diameter**2 < thread.stress_area < math.pi / 4 * thread.pitch_diameter**2


def test_inch_and_metric_threads_of_one_size_are_nearly_one():
    inch = threads.inch_thread(diameter=0.0127, pitch=0.0254 / 13)
    metric = threads.metric_thread(diameter=0.0127, pitch=0.0254 / 13)
    assert inch.pitch_diameter == metric.pitch_diameter
    assert inch.stress_area == pytest.approx(metric.stress_area, rel=0.02)
    assert inch.stress_area < metric.stress_area


@given(sizes, frictions, frictions, st.floats(1.0, 5e5))
def test_torque_and_preload_undo_each_other(thread, in_thread, under_head, preload):
    rubs = {
        "thread": thread,
        "thread_friction": in_thread,
        "head_friction": under_head,
        "head_radius": 0.7 * thread.diameter,
    }
    split = tightening.torque_for_preload(preload=preload, **rubs)
    assert tightening.preload_from_torque(torque=split.total, **rubs) == pytest.approx(preload)
    assert min(split.pitch, split.thread, split.head) > 0


def test_without_friction_the_wrench_lifts_by_the_pitch():
    # Work of one turn: torque x 2 pi = preload x pitch.
    split = tightening.torque_for_preload(preload=1e4, thread=M10, thread_friction=0.0, head_friction=0.0, head_radius=RADIUS)
    assert split.total * math.tau == pytest.approx(1e4 * 0.0015)


@given(frictions, frictions, st.floats(0.4, 0.95))
def test_slicker_lubricant_brings_more_preload_and_needs_less_torque(in_thread, under_head, part):
    swap = tightening.lubricant_swap(
        torque=60.0,
        thread=M10,
        head_radius=RADIUS,
        old_thread_friction=in_thread,
        old_head_friction=under_head,
        new_thread_friction=part * in_thread,
        new_head_friction=part * under_head,
    )
    old = tightening.preload_from_torque(
        torque=60.0, thread=M10, thread_friction=in_thread, head_friction=under_head, head_radius=RADIUS
    )
    assert 1.0 < swap.ratio < 1 / part
    assert swap.same_torque_preload == pytest.approx(swap.ratio * old)
    assert swap.same_preload_torque * swap.ratio == pytest.approx(60.0)


@given(frictions, frictions)
def test_scatter_is_what_small_changes_do(in_thread, under_head):
    rubs = {"thread": M10, "head_radius": RADIUS}
    doubt = 1e-6
    scatter = tightening.preload_scatter(
        **rubs,
        thread_friction=in_thread,
        head_friction=under_head,
        torque_doubt=doubt,
        thread_friction_doubt=doubt,
        head_friction_doubt=doubt,
    )

    def preload(torque, thread, head):
        return tightening.preload_from_torque(torque=torque, thread_friction=thread, head_friction=head, **rubs)

    now = preload(60.0, in_thread, under_head)
    moved = preload(60.0, in_thread + doubt, under_head)
    assert (now - moved) / now == pytest.approx(scatter.thread, rel=1e-3)
    moved = preload(60.0, in_thread, under_head + doubt)
    assert (now - moved) / now == pytest.approx(scatter.head, rel=1e-3)
    assert scatter.total == pytest.approx(math.sqrt(scatter.wrench**2 + scatter.thread**2 + scatter.head**2))


@given(frictions, frictions)
def test_more_friction_in_the_thread_leaves_less_of_the_yield_for_tension(one, other):
    low, high = sorted((one, other))
    at = [tightening.preload_at_yield_share(thread=M10, yields=940e6, thread_friction=friction) for friction in (low, high)]
    assert at[0] >= at[1] > 0
    bare = tightening.preload_at_yield_share(thread=M10, yields=940e6, thread_friction=0.0)
    assert bare < 0.9 * 940e6 * M10.stress_area * 1.001


@given(st.lists(st.tuples(st.floats(0.001, 0.1), st.floats(1e-5, 1e-3)), min_size=1, max_size=5), st.floats(1.0, 1e5))
def test_stretch_and_preload_undo_each_other_and_lengths_add(parts, preload):
    segments = [joints.Segment(length, area) for length, area in parts]
    stretch = joints.bolt_stretch(preload=preload, segments=segments, modulus=2.05e11)
    assert joints.preload_from_stretch(stretch=stretch, segments=segments, modulus=2.05e11) == pytest.approx(preload)
    each = [joints.bolt_stretch(preload=preload, segments=[s], modulus=2.05e11) for s in segments]
    assert stretch == pytest.approx(math.fsum(each))


def test_turning_a_bolt_on_a_rigid_joint_stretches_it_by_the_pitch():
    gain = joints.preload_from_angle(snug=0.0, angle=math.tau, pitch=0.0015, bolt=1e8, joint=1e20)
    assert gain == pytest.approx(1e8 * 0.0015)


def test_clamped_plate_is_stiffer_when_thin_and_under_a_wide_washer():
    size = {"hole": 0.011, "washer": 0.016, "thickness": 0.02, "modulus": 7e10}
    now = joints.clamped_stiffness(**size)
    assert joints.clamped_stiffness(**(size | {"thickness": 0.01})) > now
    assert joints.clamped_stiffness(**(size | {"washer": 0.02})) > now
    assert joints.clamped_stiffness(**(size | {"modulus": 2.1e11})) == pytest.approx(3 * now)
    # A very thin plate gives way as a plain ring under the washer: k = E A / t.
    thin = joints.clamped_stiffness(**(size | {"thickness": 1e-6}))
    assert thin == pytest.approx(7e10 * math.pi / 4 * (0.016**2 - 0.011**2) / 1e-6, rel=1e-3)


@given(sizes, st.floats(0.1, 0.9))
def test_soft_block_needs_more_engagement(thread, soft):
    hard = threads.stripping(thread=thread, engagement=0.01, bolt_tensile=1e9, nut_tensile=1e9)
    weak = threads.stripping(thread=thread, engagement=0.01, bolt_tensile=1e9, nut_tensile=soft * 1e9)
    assert weak.engagement_needed >= hard.engagement_needed
    assert weak.nut_thread == pytest.approx(soft * hard.nut_thread)
    enough = threads.stripping(thread=thread, engagement=weak.engagement_needed, bolt_tensile=1e9, nut_tensile=soft * 1e9)
    assert min(enough.bolt_thread, enough.nut_thread) == pytest.approx(enough.bolt_breaks)


def test_trade_rule_of_engagement_in_aluminium_is_about_two_diameters():
    # Common practice: 1.0 to 1.5 d in iron and steel, 2 d in aluminium, for high-strength bolts.
    aluminium = threads.stripping(thread=M10, engagement=0.02, bolt_tensile=1040e6, nut_tensile=250e6)
    assert 1.3 < aluminium.engagement_needed / 0.010 < 2.2


@given(st.integers(1, 40))
def test_circle_takes_every_fastener_once_and_crosses_over(count):
    order = tightening.circle_sequence(count=count)
    assert sorted(order) == list(range(count))
    for first, second in zip(order[::2], order[1::2], strict=False):
        apart = min((first - second) % count, (second - first) % count)
        if count % 2 == 0:
            assert apart == count // 2


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 2)), min_size=1, max_size=20, unique=True))
def test_rows_are_taken_from_the_middle_out(places):
    places = [(0.1 * x, 0.08 * y) for x, y in places]
    order = tightening.middle_out_sequence(places=places)
    assert sorted(order) == list(range(len(places)))
    middle = tuple(sum(p[i] for p in places) / len(places) for i in (0, 1))
    reach = [math.dist(places[i], middle) for i in order]
    slack = max(reach) / 20 + 1e-12
    assert all(b >= a - slack for a, b in itertools.pairwise(reach))


@given(st.floats(0.2, 1.0), st.floats(0.0, 0.5), st.floats(100, 900))
def test_pull_grows_with_the_square_of_the_speed(up_down, around, speed):
    size = {"reciprocating": up_down, "rotating_above_split": around, "stroke": 0.09, "rod_length": 0.15}
    one = rodbolt.pull_at_top(**size, speed=speed)
    assert rodbolt.pull_at_top(**size, speed=2 * speed) == pytest.approx(4 * one)
    assert rodbolt.pull_at_top(**size, speed=speed, gas_force=100.0) == pytest.approx(one - 100.0)


@given(st.floats(1e3, 1e5), st.floats(0.0, 1e5), st.floats(0.0, 1.0))
def test_bolt_feels_its_share_while_closed_and_all_when_open(preload, pull, share):
    joint = rodbolt.bolted_joint(preload=preload, pull=pull, share=share, stress_area=5e-5)
    if joint.clamp_left > 0:
        assert joint.largest == pytest.approx(joint.clamp_left + pull)
    else:
        assert joint.largest == pull
        assert pull >= preload
    assert (joint.mean - joint.amplitude) * 5e-5 == pytest.approx(preload)
    held = rodbolt.bolted_joint(preload=joint.preload_needed, pull=pull, share=share, stress_area=5e-5)
    assert held.clamp_left >= -1e-9


def test_thicker_bolts_bear_less_amplitude_and_rolling_last_bears_more():
    thin, thick = (rodbolt.endurance_amplitude(diameter=d) for d in (0.008, 0.012))
    assert thin > thick
    assert rodbolt.endurance_amplitude(diameter=0.008, mean_share=0.7) > thin
    assert rodbolt.endurance_amplitude(diameter=0.008, mean_share=1.0) == pytest.approx(thin)


def test_big_end_stiffens_with_the_cube_of_its_wall():
    size = {"pull": 2e4, "mean_radius": 0.032, "thickness": 0.008, "width": 0.022, "modulus": 2.05e11}
    one = rodbolt.big_end_close_in(**size)
    double = rodbolt.big_end_close_in(**(size | {"thickness": 0.016}))
    assert one.across == pytest.approx(8 * double.across)
    assert one.along > one.across > 0


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: threads.metric_thread(diameter=0.01, pitch=0.004), OutOfRange, "pitch is 0.004"),
        (lambda: threads.iso_strength(property_class="11.9", diameter=0.01), BadInput, "property_class is '11.9'"),
        (lambda: threads.iso_strength(property_class="9.8", diameter=0.02), OutOfRange, "9.8 is known to 0.016"),
        (lambda: threads.sae_strength(grade="8", diameter=0.05), OutOfRange, "diameter is 0.05"),
        (lambda: tightening.head_friction_radius(outside=0.01, inside=0.01), OutOfRange, "inside is 0.01"),
        (
            lambda: tightening.torque_for_preload(
                preload=1.0, thread=M10, thread_friction=1.2, head_friction=0.1, head_radius=0.006
            ),
            OutOfRange,
            "thread_friction is 1.2",
        ),
        (lambda: joints.bolt_stiffness(segments=[], modulus=2e11), BadInput, "segments holds nothing"),
        (
            lambda: threads.bolt_reach(length=0.02, washer=0.002, clamped=0.02, thread_depth=0.03),
            OutOfRange,
            "short of the thread",
        ),
        (lambda: tightening.circle_sequence(count=0), OutOfRange, "count is 0"),
        (lambda: tightening.middle_out_sequence(places=[(0.0, 0.0), (0.0, 0.0)]), BadInput, "all different"),
        (lambda: tightening.torque_steps(torque=100.0, shares=(0.5, 0.4, 1.0)), BadInput, "rise to 1"),
        (
            lambda: rodbolt.pull_at_top(reciprocating=0.5, rotating_above_split=0.1, stroke=0.1, rod_length=0.05, speed=1.0),
            OutOfRange,
            "rod_length is 0.05",
        ),
        (
            lambda: rodbolt.bolted_joint(preload=1.0, pull=1.0, share=0.2, stress_area=1e-5, margin=0.9),
            OutOfRange,
            "margin is 0.9",
        ),
        (lambda: rodbolt.endurance_amplitude(diameter=0.1), OutOfRange, "diameter is 0.1"),
        (
            lambda: rodbolt.big_end_close_in(pull=1.0, mean_radius=0.03, thickness=0.02, width=0.02, modulus=2e11),
            OutOfRange,
            "thickness is 0.02",
        ),
        (
            lambda: rodbolt.fatigue_margin(amplitude=0.0, mean=0.0, endurance=1.0, tensile=1.0),
            OutOfRange,
            "nothing tires",
        ),
    ],
)
def test_refusals_name_the_argument(call, error, message):
    with pytest.raises(error, match=message.replace(".", r"\.")):
        call()
