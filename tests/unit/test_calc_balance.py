"""Shaking and balance against a plain summation in time, over every layout that comes with the product."""

import cmath
import math
import tomllib
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc import balance, motion
from tenths.engine.describe import layout_from_text
from tenths.errors import BadInput, OutOfRange

LAYOUTS = tomllib.loads(files("tenths.data").joinpath("layouts.toml").read_text("utf-8"))
SIZE = {"stroke": 0.09, "rod_length": 0.14}
SPEED = 300.0


def cylinders_of(name, reciprocating=0.6, rotating=0.5):
    layout = layout_from_text(LAYOUTS[name]["text"])
    each = [layout.cylinder(label) for label in layout.labels]
    pins = [layout.pin(cylinder.pin) for cylinder in each]
    return balance.Cylinders(
        [math.radians(layout.bank(cylinder.bank).angle) for cylinder in each],
        [math.radians(pin.angle) for pin in pins],
        [0.1 * pin.throw for pin in pins],
        [reciprocating] * len(each),
        [rotating] * len(each),
    )


def forces_in_time(cylinders, angles, pin_offset=0.0):
    """Force and couple at each crank angle, summed vector by vector: up and sideways parts."""
    force, couple = np.zeros((2, len(angles))), np.zeros((2, len(angles)))
    middle = np.mean(cylinders.positions)
    for bank, throw, at, up_down, round_about in zip(
        cylinders.bank_angles,
        cylinders.throw_angles,
        cylinders.positions,
        cylinders.reciprocating,
        cylinders.rotating,
        strict=True,
    ):
        own = angles + throw - bank
        along = up_down * motion.piston_acceleration(own, **SIZE, pin_offset=pin_offset, speed=SPEED)
        around = round_about * SIZE["stroke"] / 2 * SPEED**2
        here = np.array([along * np.cos(bank), along * np.sin(bank)])
        here += around * np.array([np.cos(angles + throw), np.sin(angles + throw)])
        force += here
        couple += here * (at - middle)
    return force, couple


@pytest.mark.parametrize("name", LAYOUTS)
@pytest.mark.parametrize("pin_offset", [0.0, 0.0015])
def test_orders_add_up_to_the_forces_in_time(name, pin_offset):
    cylinders = cylinders_of(name)
    angles = np.linspace(0.0, math.tau, 73)
    orders = tuple(range(1, 13))
    found = balance.shaking(cylinders, **SIZE, speed=SPEED, pin_offset=pin_offset, orders=orders)
    force, couple = forces_in_time(cylinders, angles, pin_offset)
    for kind, wanted in (("force", force), ("couple", couple)):
        summed = np.array([sum(getattr(s, kind).at(a, order=s.order) for s in found) for a in angles])
        size = 0.6 * SIZE["stroke"] / 2 * SPEED**2
        assert summed.real == pytest.approx(wanted[0], abs=2e-6 * size)
        assert summed.imag == pytest.approx(wanted[1], abs=2e-6 * size)


@pytest.mark.parametrize("name", LAYOUTS)
def test_largest_and_direction_are_those_of_the_ellipse(name):
    for shaking in balance.shaking(cylinders_of(name), **SIZE, speed=SPEED):
        turn = np.linspace(0.0, math.tau, 7201)
        vector = np.array([shaking.force.at(a, order=shaking.order) for a in turn])
        assert np.abs(vector).max() == pytest.approx(shaking.force.largest, rel=1e-5, abs=1e-6)
        assert np.abs(vector).min() == pytest.approx(shaking.force.smallest, rel=1e-3, abs=0.01 * shaking.force.largest + 1e-6)
        along = (vector * cmath.exp(-1j * shaking.force.direction)).real
        assert np.abs(along).max() == pytest.approx(shaking.force.largest, rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("name", LAYOUTS)
def test_counterweights_with_the_derived_share_leave_only_what_turns_backward(name):
    cylinders = cylinders_of(name)
    radius = SIZE["stroke"] / 2
    weights = [
        -(rotating + 0.5 * up_down) * radius * cmath.exp(1j * throw)
        for rotating, up_down, throw in zip(cylinders.rotating, cylinders.reciprocating, cylinders.throw_angles, strict=True)
    ]
    first = balance.shaking(cylinders, **SIZE, speed=SPEED, orders=(1,), counterweights=weights)[0]
    assert abs(first.force.forward) == pytest.approx(0.0, abs=1e-6)
    assert abs(first.couple.forward) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", LAYOUTS)
def test_share_for_one_plane_leaves_a_swing_without_width(name):
    cylinders = cylinders_of(name, rotating=0.0)
    share = balance.reciprocating_share(cylinders)
    radius = SIZE["stroke"] / 2
    for kind, shares in (("force", share.one_plane_force), ("couple", share.one_plane_couple)):
        for part in shares or ():
            weights = [-part * 0.6 * radius * cmath.exp(1j * throw) for throw in cylinders.throw_angles]
            first = balance.shaking(cylinders, **SIZE, speed=SPEED, orders=(1,), counterweights=weights)[0]
            assert getattr(first, kind).smallest == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["inline-4", "inline-6", "v8-90-flat-plane", "flat-4", "flat-6", "v12-60"])
def test_layouts_that_need_no_bobweight_say_so(name):
    share = balance.reciprocating_share(cylinders_of(name))
    assert share.least_force is None
    assert share.least_couple is None


@given(st.floats(0.1, 5.0), st.floats(10.0, 900.0))
def test_forces_grow_with_mass_and_the_square_of_the_speed(mass, speed):
    one = balance.shaking(cylinders_of("inline-4", mass), **SIZE, speed=speed, orders=(2,))[0]
    double = balance.shaking(cylinders_of("inline-4", 2 * mass), **SIZE, speed=2 * speed, orders=(2,))[0]
    assert double.force.largest == pytest.approx(8 * one.force.largest)


@given(st.lists(st.tuples(st.floats(-1e-3, 1e-3), st.floats(-1e-3, 1e-3), st.floats(-0.3, 0.9)), min_size=1, max_size=6))
def test_correction_leaves_neither_pull_nor_wobble(weights):
    unbalances = [complex(a, b) for a, b, _ in weights]
    positions = [p for _, _, p in weights]
    front, rear = balance.two_plane_correction(unbalances=unbalances, positions=positions, planes=(0.0, 0.6))
    assert abs(sum(unbalances) + front + rear) == pytest.approx(0.0, abs=1e-12)
    moment = sum(u * (p - 0.3) for u, p in zip(unbalances, positions, strict=True)) - 0.3 * front + 0.3 * rear
    assert abs(moment) == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0.2, 1.5), st.floats(0.1, 0.2), st.floats(0.0, 1.0), st.floats(1e-4, 1e-2))
def test_two_masses_and_the_rest_are_the_whole_rod(mass, length, share, inertia):
    ends = balance.rod_ends(mass=mass, length=length, centre=share * length, inertia=inertia)
    assert ends.big + ends.small == pytest.approx(mass)
    assert ends.small * length == pytest.approx(mass * share * length, abs=1e-15)
    about_big = ends.small * length**2 + ends.spare_inertia
    assert about_big == pytest.approx(inertia + mass * (share * length) ** 2)


@given(st.lists(st.floats(0.0, 4 * math.pi), min_size=1, max_size=12))
def test_firing_intervals_fill_the_cycle(angles):
    intervals = balance.firing_intervals(firing_angles=angles)
    assert math.fsum(intervals) == pytest.approx(4 * math.pi)
    assert min(intervals) >= 0.0


def test_lightening_leaves_all_alike():
    masses = [0.612, 0.6105, 0.6131]
    off = balance.to_lightest(masses=masses)
    assert {round(m - o, 12) for m, o in zip(masses, off, strict=True)} == {0.6105}


def test_slug_and_hole_of_the_same_depth_differ_by_their_densities():
    size = {"unbalance": 5e-4, "radius": 0.08, "diameter": 0.02, "density": 7850.0}
    hole, slug = balance.hole_depth(**size), balance.hole_depth(**size, filling=17500.0)
    assert hole * 7850.0 == pytest.approx(slug * (17500.0 - 7850.0))
    assert balance.hole_depth(**(size | {"unbalance": 1e-3})) == pytest.approx(2 * hole)


def test_permissible_unbalance_falls_with_speed_and_planes_share_it():
    whole = balance.permissible_unbalance(grade=16.0, mass=20.0, speed=600.0)
    assert balance.permissible_unbalance(grade=16.0, mass=20.0, speed=1200.0) == pytest.approx(whole / 2)
    near, far = balance.permissible_per_plane(whole=whole, to_front=0.1, to_rear=0.3)
    assert near + far == pytest.approx(whole)
    assert near > far


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: balance.Cylinders([], [], [], []), BadInput, "equally many"),
        (lambda: balance.Cylinders([0.0], [0.0, 1.0], [0.0], [1.0]), BadInput, "equally many"),
        (lambda: balance.inertia_coefficients(stroke=0.1, rod_length=0.06), OutOfRange, "rod_length is"),
        (lambda: balance.inertia_coefficients(stroke=0.1, rod_length=0.15, orders=13), OutOfRange, "orders is 13"),
        (lambda: balance.bobweight(rotating=[0.5], reciprocating=[0.6], share=1.2), OutOfRange, "share is"),
        (lambda: balance.bobweight(rotating=[0.5], reciprocating=[], share=0.5), BadInput, "one of each per rod"),
        (lambda: balance.rod_ends(mass=0.6, length=0.15, centre=0.16), OutOfRange, "centre is"),
        (lambda: balance.firing_intervals(firing_angles=[]), BadInput, "firing_angles holds no"),
        (lambda: balance.firing_intervals(firing_angles=[13.0]), OutOfRange, "firing_angles is 13"),
        (
            lambda: balance.two_plane_correction(unbalances=[1j], positions=[0.0], planes=(0.1, 0.1)),
            OutOfRange,
            "two different planes",
        ),
        (
            lambda: balance.hole_depth(unbalance=1e-3, radius=0.1, diameter=0.02, density=7850, filling=7850),
            OutOfRange,
            "weighs what it replaces",
        ),
        (
            lambda: balance.shaking(cylinders_of("single"), **SIZE, speed=1.0, counterweights=[1, 2]),
            BadInput,
            "counterweights are 2",
        ),
        (lambda: balance.to_lightest(masses=[]), BadInput, "masses holds nothing"),
    ],
)
def test_refusals_name_the_argument(call, error, message):
    with pytest.raises(error, match=message):
        call()
