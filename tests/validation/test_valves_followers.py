"""Surface of a cam from the motion of its follower: a round disc set off its middle must come out round."""

import math

import numpy as np
import pytest

from tenths.calc.valves import followers, lobes, profiles
from tenths.errors import OutOfRange

DISC, AWAY, ROLLER = 0.022, 0.004, 0.009
BASE = DISC - AWAY


def lobe_from(height, base_radius=BASE):
    """Lobe over a turn of the cam from a motion in closed form; derivatives by differences of fourth order."""
    crank = np.linspace(-2 * math.pi, 2 * math.pi, 1441)
    step = 1e-3

    def derived(n, at):
        # Richardson over central differences
        if n == 0:
            return height(at)
        return (8 * (derived(n - 1, at + step) - derived(n - 1, at - step))
                - (derived(n - 1, at + 2 * step) - derived(n - 1, at - 2 * step))) / (12 * step)

    rows = [derived(n, crank / 2) / 2**n for n in range(4)]
    return lobes.lobe_of(crank, *rows, base_radius=base_radius)


def test_flat_follower_on_a_disc():
    # the dial sees e (1 - cos t); the surface is the disc with radius R + e
    lobe = lobe_from(lambda t: AWAY * (1 - np.cos(t)))
    found = followers.flat_surface(lobe, angles=np.linspace(-5, 5, 101))
    assert found.radius == pytest.approx(np.full(101, DISC), abs=1e-8)
    assert _circle(found.points) == pytest.approx(DISC, abs=1e-9)
    assert found.reach.max() == pytest.approx(AWAY, rel=1e-3)


@pytest.mark.parametrize("offset", [0.0, 0.006, -0.006])
def test_roller_on_a_disc(offset):
    first = BASE + ROLLER
    # the disc's middle goes round with radius e; it stands nearest opposite to the roller's first place
    lowest = math.atan2(math.sqrt(first**2 - offset**2), offset)

    def height(t):
        middle = -AWAY * np.exp(1j * (lowest - t))
        return middle.imag + np.sqrt((DISC + ROLLER) ** 2 - (offset - middle.real) ** 2) - math.sqrt(first**2 - offset**2)

    found = followers.roller_surface(lobe_from(height), angles=np.linspace(-5, 5, 101), roller=ROLLER, offset=offset)
    assert found.radius == pytest.approx(np.full(101, DISC), abs=1e-7)
    assert _circle(found.points) == pytest.approx(DISC, abs=1e-9)
    if offset == 0.0:
        # sine rule: the middle of the disc, the axis and the roller
        assert np.sin(found.pressure_angle.max()) == pytest.approx(AWAY / (DISC + ROLLER), rel=1e-3)


def test_pivoted_roller_on_a_disc():
    first, arm, pivot = BASE + ROLLER, 0.04, 0.045
    start = math.acos((pivot**2 + arm**2 - first**2) / (2 * pivot * arm))
    lowest = np.angle(1j * (pivot - arm * np.exp(-1j * start)))

    def height(t):
        # triangle of pivot, disc's middle and roller's centre
        middle = -AWAY * np.exp(1j * (lowest - t))
        to_middle = middle - 1j * pivot
        length = np.abs(to_middle)
        inner = np.arccos((length**2 + arm**2 - (DISC + ROLLER) ** 2) / (2 * length * arm))
        swing = -np.angle(to_middle / -1j) + inner
        return arm * (swing - start)

    lobe = lobe_from(height)
    assert lobe.motion.lift.min() == pytest.approx(0.0, abs=1e-9)
    found = followers.pivoted_surface(lobe, angles=np.linspace(-5, 5, 101), roller=ROLLER, arm=arm, pivot=pivot)
    assert found.radius == pytest.approx(np.full(101, DISC), abs=1e-7)
    assert _circle(found.points) == pytest.approx(DISC, abs=1e-9)


def test_roller_feels_the_lift_that_the_surface_was_made_from():
    lobe = profiles.profile_lobe("4-5-6-7", lift=0.008, opening=2.3, closing=2.5, base_radius=0.018)
    surface = followers.roller_surface(lobe, angles=np.linspace(-2 * math.pi, 2 * math.pi, 4001), roller=ROLLER)
    felt = followers.follower_lift(surface, base_radius=0.018, roller=ROLLER)
    assert felt == pytest.approx(lobe.lift(surface.angles), abs=2e-7)


def test_a_hollow_shows_as_a_negative_radius_under_a_flat_follower():
    lobe = profiles.profile_lobe("3-4-5", lift=0.012, opening=1.6, closing=1.6, base_radius=0.010)
    assert followers.flat_surface(lobe, angles=np.linspace(-1.6, 1.6, 201)).radius.min() < 0


def test_wrong_followers_are_refused():
    lobe = profiles.profile_lobe("3-4-5", lift=0.01, opening=2, closing=2)
    with pytest.raises(OutOfRange, match="base_radius is 0"):
        followers.flat_surface(lobe, angles=[0.0])
    known = profiles.profile_lobe("3-4-5", lift=0.01, opening=2, closing=2, base_radius=0.016)
    with pytest.raises(OutOfRange, match=r"offset is 0\.05"):
        followers.roller_surface(known, angles=[0.0], roller=ROLLER, offset=0.05)
    with pytest.raises(OutOfRange, match="close a triangle"):
        followers.pivoted_surface(known, angles=[0.0], roller=ROLLER, arm=0.01, pivot=0.09)


def _circle(points):
    """Radius of the circle through all points, by least squares; not a number where they lie on none."""
    rows = np.column_stack([2 * points.real, 2 * points.imag, np.ones(len(points))])
    solution, *_ = np.linalg.lstsq(rows, np.abs(points) ** 2, rcond=None)
    middle = solution[0] + 1j * solution[1]
    away = np.abs(points - middle)
    return away.mean() if away.max() - away.min() < 1e-8 else math.nan
