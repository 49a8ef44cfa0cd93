"""Contact of lobe and follower, against integrals done by other means, and against limits."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tenths.calc.valves import contact
from tenths.calc.valves.profiles import profile_lobe
from tenths.errors import BadInput, OutOfRange

HARD = contact.joint_modulus()


def displaced(touch, at_x, at_y):
    """Displacement of both bodies under an ellipsoid of pressure, by its potential: an integral that needs no elliptic functions."""
    a, b = touch.half_width, touch.half_length

    def part(w, fall_x, fall_y):
        return (1 - fall_x * at_x**2 / (a**2 + w) - fall_y * at_y**2 / (b**2 + w)) / math.sqrt((a**2 + w) * (b**2 + w) * w)

    # w = c u^2 / (1 - u)^2 takes the root of w and the infinite end away
    c = a * b

    def whole(u):
        w = c * (u / (1 - u)) ** 2
        return part(w, 1.0, 1.0) * 2 * c * u / (1 - u) ** 3

    return touch.stress * a * b / (2 * HARD) * quad(whole, 0.0, 1.0, epsabs=0.0, epsrel=1e-11, limit=400)[0]


@pytest.mark.parametrize(("along", "across"), [(0.02, 0.02), (0.012, 0.5), (0.5, 0.012), (0.02, 2.0), (0.03, 0.05)])
def test_pressed_bodies_lie_flat_on_each_other_in_a_crowned_contact(along, across):
    touch = contact.point_contact(force=900.0, along=along, across=across, modulus=HARD)
    a, b = touch.half_width, touch.half_length
    assert 2 / 3 * touch.stress * math.pi * a * b == pytest.approx(900.0, rel=1e-12)
    middle = displaced(touch, 0.0, 0.0)
    for x, y in ((0.6 * a, 0.0), (0.0, 0.7 * b), (0.5 * a, 0.5 * b)):
        gap = x**2 / (2 * along) + y**2 / (2 * across)
        assert middle - displaced(touch, x, y) == pytest.approx(gap, rel=1e-6)


@given(st.floats(0.003, 0.1), st.floats(100.0, 5000.0))
@settings(max_examples=30, deadline=None)
def test_ball_on_a_flat_by_its_own_formula(radius, force):
    touch = contact.point_contact(force=force, along=radius, across=radius, modulus=HARD)
    half = (3 * force * radius / (4 * HARD)) ** (1 / 3)
    assert touch.half_width == pytest.approx(half, rel=1e-9)
    assert touch.stress == pytest.approx((6 * force * HARD**2 / (math.pi**3 * radius**2)) ** (1 / 3), rel=1e-9)


def test_a_slight_crown_stresses_more_than_a_line_and_a_rounder_one_more_still():
    line = contact.line_contact(force=1500.0, length=0.012, radius=0.01, modulus=HARD)
    slight, round_ = (contact.point_contact(force=1500.0, along=0.01, across=crown, modulus=HARD) for crown in (1.0, 0.2))
    assert line.stress < slight.stress < round_.stress


# -- film ----------------------------------------------------------------------------------------------------------------------

def test_film_takes_the_speed_of_the_contact_on_the_follower_into_account():
    # where lift is steady both surfaces see the base circle alone: half of the cam's surface speed
    own = profile_lobe("cycloidal", lift=0.006, opening=2.0, closing=2.0, dwell=1.0, base_radius=0.02)
    cam = 200.0
    assert contact.flat_entrainment(own, np.array([0.0]), speed=2 * cam)[0] == pytest.approx(cam * 0.026 / 2, rel=1e-9)
    assert contact.flat_entrainment(own, np.array([5.0]), speed=2 * cam)[0] == pytest.approx(cam * 0.02 / 2, rel=1e-9)


def test_film_by_powers_of_each_size():
    usual = {"force": 2000.0, "length": 0.012, "radius": 0.015, "modulus": HARD, "speed": 2.0, "viscosity": 0.01}
    base = contact.line_film(**usual)
    assert 1e-8 < base < 2e-6
    for name, power in (("force", -0.13), ("speed", 0.7), ("viscosity", 0.7), ("radius", 0.43), ("length", 0.13)):
        more = contact.line_film(**(usual | {name: 2 * usual[name]}))
        assert math.log2(more / base) == pytest.approx(power, abs=1e-9), name


# -- refusals ------------------------------------------------------------------------------------------------------------------

def test_wrong_contacts_are_refused():
    with pytest.raises(OutOfRange, match="length is 0"):
        contact.line_contact(force=1.0, length=0.0, radius=0.01, modulus=HARD)
    with pytest.raises(OutOfRange, match="force is -1"):
        contact.point_contact(force=-1.0, along=0.01, across=0.01, modulus=HARD)
    with pytest.raises(OutOfRange, match=r"follower is 20 mm: it does not fit into the lobe's hollow of 15 mm"):
        contact.effective_radius(-0.015, 0.02)
    with pytest.raises(BadInput, match=r"pair: 'cheese' is none of chilled iron"):
        contact.pair_named("cheese")
    assert contact.pair_named("chilled").limit < contact.pair_named("hardened steel on a steel roller").limit
