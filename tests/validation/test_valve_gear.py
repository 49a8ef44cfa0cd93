"""Springs, rockers and the room between piston and valve against other ways to the same: points on discs, solved linkages."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from tenths.calc.valves import piston_to_valve as ptv
from tenths.calc.valves import rocker, springs
from tenths.calc.valves.profiles import profile_lobe
from tenths.calc.valves.tdc import Slider
from tenths.errors import BadInput, OutOfRange

DEG = math.pi / 180
LIFT, HALF = 0.0125, 140 * DEG


# -- piston to valve ---------------------------------------------------------------------------------------------------

def lobe(centre):
    return profile_lobe("3-4-5", lift=LIFT, opening=HALF, closing=HALF).placed(centre)


def lift_again(angle, centre):
    """The polynomial written down once more."""
    x = 1 - abs(angle - centre) / HALF
    return LIFT * x**3 * (10 - 15 * x + 6 * x**2) if x > 0 else 0.0


def fall_again(angle, slider):
    """How far the piston is below its highest: the pin's height solved from the length of the rod."""
    crank, rod, off = slider.stroke / 2, slider.rod_length, slider.pin_offset

    def height(turned):
        pin = complex(crank * math.cos(turned), crank * math.sin(turned))
        return brentq(lambda h: abs(complex(h, -off) - pin) - rod, pin.real, pin.real + 2 * rod, xtol=1e-15, rtol=1e-15)

    top = -math.asin(off / (rod + crank))  # crank and rod in one line
    return height(top) - height(top + angle)


def room_again(angle, centre, place, slider):
    """Points round the rim of a disc that is turned and pushed out along its stem, each held against the pocket's floor."""
    a, b = place.lean, place.pocket_lean
    apart = place.drop + place.gasket + place.deck + place.pocket_depth
    lift, fall = lift_again(angle, centre), fall_again(angle, slider)
    stem = (math.sin(a), math.cos(a))
    floor = (math.sin(b), math.cos(b))
    on_floor = (apart * math.tan(a) + place.pocket_across, apart + fall)
    least = math.inf
    for k in range(360):
        t = k * DEG
        x = lift * stem[0] + place.head / 2 * math.cos(t) * math.cos(a)
        z = lift * stem[1] - place.head / 2 * math.cos(t) * math.sin(a)
        least = min(least, (on_floor[0] - x) * floor[0] + (on_floor[1] - z) * floor[1])
    return least


PLACES = [
    ptv.Place(drop=0.004, head=0.045, gasket=0.001, deck=0.0003, pocket_depth=0.003, pocket_diameter=0.048),
    ptv.Place(drop=0.003, lean=15 * DEG, pocket_lean=15 * DEG, head=0.050, gasket=0.001, deck=0.0, pocket_depth=0.004),
    ptv.Place(drop=0.006, lean=12 * DEG, head=0.040, gasket=0.0012, deck=-0.0004),
    ptv.Place(drop=0.001, lean=23 * DEG, pocket_lean=20 * DEG, head=0.052, gasket=0.001, deck=0.0005, pocket_depth=0.006,
              pocket_across=0.0006),
]  # fmt: skip
SLIDERS = [Slider(stroke=0.0884, rod_length=0.1525), Slider(stroke=0.1, rod_length=0.15, pin_offset=0.0015)]


@pytest.mark.parametrize("centre", [108 * DEG, -112 * DEG])
@pytest.mark.parametrize("slider", SLIDERS)
@pytest.mark.parametrize("place", PLACES)
def test_room_is_that_of_points_on_the_rim_by_another_slider_crank(place, slider, centre):
    angles = np.array([-31.0, -9.5, 0.0, 7.25, 20.0]) * DEG
    found = ptv.room(lobe(centre), angles, place=place, slider=slider)
    again = [room_again(angle, centre, place, slider) for angle in angles]
    assert found.clearances == pytest.approx(again, abs=2e-9)


@pytest.mark.parametrize("place", PLACES)
def test_least_room_is_that_of_a_dense_scan_with_other_geometry(place):
    slider, centre = SLIDERS[1], 104 * DEG
    found = ptv.least(lobe(centre), place=place, slider=slider)
    coarse = [(room_again(k * DEG, centre, place, slider), k * DEG) for k in range(-40, 41)]
    _, near = min(coarse)
    fine = [(room_again(near + k * 0.05 * DEG, centre, place, slider), near + k * 0.05 * DEG) for k in range(-20, 21)]
    value, angle = min(fine)
    assert found.clearance == pytest.approx(value, abs=2e-7)
    assert found.angle == pytest.approx(angle, abs=0.06 * DEG)
    cut = ptv.least(lobe(centre), place=ptv.after_cut(place, off=0.0001), slider=slider)
    assert cut.clearance - found.clearance == pytest.approx(found.per_cut * 0.0001, abs=1e-9)


def test_timing_moves_it_as_stated_and_each_valve_its_own_way():
    intake, exhaust = (ptv.least(lobe(c), place=PLACES[1], slider=SLIDERS[0]) for c in (106 * DEG, -106 * DEG))
    assert 4 * DEG < intake.angle < 25 * DEG
    assert -25 * DEG < exhaust.angle < -4 * DEG
    assert intake.per_angle > 0 > exhaust.per_angle
    for found, centre in ((intake, 106), (exhaust, -106)):
        for by, told in ((-1, found.earlier), (1, found.later)):
            again = min(room_again(found.angle + k * 0.1 * DEG, (centre + by) * DEG, PLACES[1], SLIDERS[0]) for k in range(-8, 9))
            assert told == pytest.approx(again, abs=1e-6)
        assert found.later - found.earlier == pytest.approx(2 * DEG * found.per_angle, rel=0.01)


def test_radial_room_of_a_valve_in_its_pocket():
    straight = ptv.Place(drop=-0.001, head=0.040, gasket=0.001, deck=0.0, pocket_depth=0.005, pocket_diameter=0.043)
    assert ptv.least(lobe(104 * DEG), place=straight, slider=SLIDERS[0]).sideways == pytest.approx(0.0015, abs=1e-12)
    leaning = ptv.Place(drop=-0.001, lean=15 * DEG, pocket_lean=15 * DEG, head=0.040, gasket=0.001, deck=0.0, pocket_depth=0.006,
                        pocket_diameter=0.043)  # fmt: skip
    found = ptv.least(lobe(104 * DEG), place=leaning, slider=SLIDERS[0])
    fall = fall_again(found.sideways_angle, SLIDERS[0])
    assert found.sideways == pytest.approx(0.0015 - fall * math.sin(15 * DEG), abs=1e-6)
    flat = ptv.Place(drop=0.006, head=0.040, gasket=0.001, deck=0.0)
    assert ptv.least(lobe(104 * DEG), place=flat, slider=SLIDERS[0]).sideways is None


def test_lash_gives_its_own_room():
    with_lash, without = (ptv.least(lobe(104 * DEG), place=PLACES[0], slider=SLIDERS[0], lash=x) for x in (0.0004, 0.0))
    assert with_lash.clearance - without.clearance == pytest.approx(0.0004, abs=1e-9)


def test_touching_with_light_springs_finds_the_least_between_readings():
    angles = np.arange(-10, 41, 5) * DEG
    place, slider = PLACES[1], SLIDERS[0]
    true = ptv.room(lobe(106 * DEG), angles, place=place, slider=slider).clearances
    found = ptv.from_touch(list(angles), list(true), reading_error=2e-5)
    least = ptv.least(lobe(106 * DEG), place=place, slider=slider)
    assert found.clearance == pytest.approx(least.clearance, abs=1e-5)
    assert found.angle == pytest.approx(least.angle, abs=0.5 * DEG)
    chance = np.random.default_rng(3)
    tried = [ptv.from_touch(list(angles), list(true + chance.normal(0, 2e-5, len(true))), reading_error=2e-5) for _ in range(800)]
    spread = np.std([t.clearance for t in tried])
    assert spread == pytest.approx(np.mean([t.error for t in tried]), rel=0.12)


def test_what_cannot_be_touched_is_refused():
    with pytest.raises(OutOfRange, match="go on until it grows"):
        ptv.from_touch([0.0, 0.1, 0.2], [3e-3, 2e-3, 1e-3], reading_error=0.0)
    with pytest.raises(BadInput, match="three or more"):
        ptv.from_touch([0.0, 0.1], [3e-3, 2e-3], reading_error=0.0)
    with pytest.raises(BadInput, match="one or more readings of the clay"):
        ptv.from_clay([], reading_error=1e-5)
    with pytest.raises(OutOfRange, match="head is 0"):
        ptv.Place(drop=0.0, head=0.0, gasket=0.0, deck=0.0)
    with pytest.raises(OutOfRange, match="lash is -0"):
        ptv.room(lobe(1.8), [0.0], place=PLACES[0], slider=SLIDERS[0], lash=-1e-4)


# -- rocker --------------------------------------------------------------------------------------------------------------

ROCKER = rocker.Rocker(valve_arm=0.0405, push_arm=0.0262, between=168 * DEG, start=9 * DEG, lifter_across=0.029,
                       lifter_lean=7 * DEG, push_rod=0.196)  # fmt: skip


def followed(of, lifts):
    """Valve lifts by solving for the two ends of the push-rod as points, each on its own line or circle."""
    up = np.array([-math.sin(of.lifter_lean), math.cos(of.lifter_lean)])
    base = np.array([-of.lifter_across, 0.0])

    def cup(arm):
        turned = arm - of.between
        return of.push_arm * np.array([math.cos(turned), math.sin(turned)])

    seat = brentq(lambda s: np.linalg.norm(cup(of.start) - base - s * up) - of.push_rod, -0.5, -0.05, xtol=1e-15)
    valves, arm = [], of.start
    for lift in lifts:
        foot = base + (seat + lift) * up
        arm = brentq(lambda x, foot=foot: np.linalg.norm(cup(x) - foot) - of.push_rod, arm - 0.7, arm + 0.05, xtol=1e-15)
        valves.append(of.valve_arm * (math.sin(of.start) - math.sin(arm)))
    return np.array(valves), seat


def test_linkage_agrees_with_points_solved_by_another_solver():
    lifts = np.linspace(0, 0.0085, 18)
    found = rocker.moved(ROCKER, list(lifts))
    valves, seat = followed(ROCKER, lifts)
    assert found.valve == pytest.approx(valves, abs=1e-11)
    assert rocker.standing(ROCKER) == pytest.approx(-seat, abs=1e-12)
    h = 1e-6
    slope = [(followed(ROCKER, [0, x + h])[0][1] - followed(ROCKER, [0, x - h])[0][1]) / (2 * h) for x in lifts[1:]]
    assert found.ratio[1:] == pytest.approx(slope, rel=1e-5)


def test_lift_is_the_ratio_added_up():
    lifts = list(np.linspace(0, 0.0085, 201))
    found = rocker.moved(ROCKER, lifts)
    added = quad(lambda x: np.interp(x, lifts, found.ratio), 0, lifts[-1], limit=400)[0]
    assert found.valve[-1] == pytest.approx(added, rel=1e-6)
    assert found.greatest == pytest.approx(added / lifts[-1], rel=1e-6)


@given(st.floats(0.03, 0.05), st.floats(-0.25, 0.5), st.floats(0.004, 0.018))
@settings(max_examples=60, deadline=None)
def test_sweep_is_that_of_many_positions_and_never_less_than_at_mid_lift(arm, start, lift):
    heights = arm * math.sin(start) - np.linspace(0, lift, 4001)
    across = np.sqrt(arm**2 - heights**2)
    swept = rocker.tip_sweep(valve_arm=arm, start=start, lift=lift)
    assert swept == pytest.approx(np.ptp(across), abs=1e-8)
    assert swept >= rocker.mid_lift(valve_arm=arm, lift=lift).sweep - 1e-12


def test_push_rod_for_least_sweep_is_found_by_trying_lengths():
    lift = 0.0125
    told = rocker.least_sweep(ROCKER, lift=lift)
    starts = np.linspace(-0.1, 0.4, 20001)
    tracks = [rocker.tip_sweep(valve_arm=ROCKER.valve_arm, start=s, lift=lift) for s in starts]
    best = starts[int(np.argmin(tracks))]
    assert told.length == pytest.approx(rocker.push_rod_length(ROCKER, start=best), abs=2e-6)
    assert told.sweep == pytest.approx(min(tracks), abs=3e-7)
    assert rocker.push_rod_length(ROCKER, start=ROCKER.start) == pytest.approx(ROCKER.push_rod, abs=1e-12)


def test_pivot_on_its_stud_keeps_lifter_and_tip_where_they_are():
    wanted = 0.2
    length = rocker.push_rod_length(ROCKER, start=wanted)
    up = np.array([-math.sin(ROCKER.lifter_lean), math.cos(ROCKER.lifter_lean)])
    foot = np.array([-ROCKER.lifter_across, 0.0]) - rocker.standing(ROCKER) * up
    tip = ROCKER.valve_arm * math.sin(ROCKER.start)
    pivot = tip - ROCKER.valve_arm * math.sin(wanted)
    arm = wanted - ROCKER.between
    cup = np.array([ROCKER.push_arm * math.cos(arm), pivot + ROCKER.push_arm * math.sin(arm)])
    assert length == pytest.approx(np.linalg.norm(cup - foot), abs=1e-12)


def test_what_no_rocker_does_is_refused():
    with pytest.raises(OutOfRange, match="begin with 0 and rise"):
        rocker.moved(ROCKER, [0.0, 0.002, 0.001])
    with pytest.raises(OutOfRange, match="comes into line"):
        rocker.moved(ROCKER, [0.0, 0.08])
    with pytest.raises(OutOfRange, match="lift is 0"):
        rocker.tip_sweep(valve_arm=0.01, start=0.0, lift=0.02)
    with pytest.raises(OutOfRange, match="between is 1"):
        rocker.Rocker(valve_arm=0.04, push_arm=0.03, between=1.0, start=0.1, lifter_across=0.03, lifter_lean=0.0, push_rod=0.2)


# -- springs -------------------------------------------------------------------------------------------------------------

def test_surge_agrees_with_a_chain_of_masses():
    coil = springs.Coil(wire=0.0045, mean_diameter=0.032, active=5.0)
    rate, mass, n = springs.rate(coil), springs.active_mass(coil), 800
    k, m = rate * n, mass / n
    chain = np.diag(np.full(n - 1, 2.0)) - np.diag(np.ones(n - 2), 1) - np.diag(np.ones(n - 2), -1)
    frequencies = np.sqrt(np.linalg.eigvalsh(chain)[:3] * k / m) / math.tau
    assert springs.surge_frequencies(rate=rate, mass=mass) == pytest.approx(frequencies, rel=1e-4)


def test_line_through_readings_is_that_of_a_general_fit_and_its_errors_hold():
    heights, chance = np.linspace(0.032, 0.048, 6), np.random.default_rng(11)
    inside = 0
    for _ in range(600):
        loads = 45e3 * (0.055 - heights) + chance.normal(0, 3.0, 6)
        found = springs.fitted(list(heights), list(loads))
        slope, cross = np.polyfit(heights, loads, 1)
        assert found.rate == pytest.approx(-slope, rel=1e-9)
        assert found.free == pytest.approx(-cross / slope, rel=1e-9)
        inside += abs(found.rate - 45e3) < 2.776 * found.rate_error
    assert 0.92 <= inside / 600 <= 0.975


def test_curve_of_a_straight_spring_is_that_spring():
    heights = (0.030, 0.038, 0.047)
    curve = springs.Curve(heights, tuple(springs.load_at(rate=5e4, free=0.055, height=h) for h in heights))
    for height in (0.028, 0.033, 0.052):
        assert springs.curve_load(curve, height) == pytest.approx(5e4 * (0.055 - height))
        assert springs.curve_rate(curve, height) == pytest.approx(5e4)
    assert springs.curve_load(curve, 0.06) == 0.0


def test_wrong_springs_are_refused():
    with pytest.raises(OutOfRange, match="mean_diameter is"):
        springs.Coil(wire=0.004, mean_diameter=0.005, active=5)
    with pytest.raises(BadInput, match="heights must rise and loads fall"):
        springs.Curve((0.03, 0.04), (300.0, 500.0))
    with pytest.raises(BadInput, match="kind: 'string'"):
        springs.tensile_strength("string", wire=0.004)
    with pytest.raises(OutOfRange, match="wire is"):
        springs.tensile_strength("chrome-silicon", wire=0.0005)
    with pytest.raises(BadInput, match="unlike heights"):
        springs.fitted([0.03, 0.03], [100.0, 100.0])
    with pytest.raises(BadInput, match="grow as the spring gets shorter"):
        springs.fitted([0.03, 0.04], [100.0, 200.0])
    with pytest.raises(OutOfRange, match="total is 0"):
        springs.solid_height(springs.Coil(wire=0.004, mean_diameter=0.028, active=5))


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("off", [-5.0, 0.0, 6.0])
def test_refining_from_nearby_comes_to_the_same(place, off):
    angle, value = ptv.closest(lobe(104 * DEG), place=place, slider=SLIDERS[1])
    found = ptv.refined(lambda a: lift_again(a, 104 * DEG), near=angle + off * DEG, place=place, slider=SLIDERS[1])
    assert found == (pytest.approx(angle, abs=2e-4), pytest.approx(value, abs=2e-9))
