"""Lobes recovered from noisy readings: within the errors stated, as often as stated."""

import math
from functools import cache
from math import radians

import numpy as np
import pytest
from scipy.interpolate import BSpline

from tenths.calc.valves import centres, fitted, profiles, tdc, timing
from tenths.errors import BadInput, OutOfRange

CENTRE, TRIALS = radians(108), 40
DIAL, WHEEL = 5e-6, radians(0.1)
ROWS = ("lift", "velocity", "acceleration", "jerk")


def lobe_of(kind, opening=140, closing=140):
    lobe = profiles.profile_lobe(kind, lift=0.009, opening=radians(opening), closing=radians(closing))
    return lobe.moved(CENTRE)


def readings(lobe, count, *, dial=DIAL, wheel=WHEEL, seed=0):
    """Readings evenly spaced, from the base circle to the base circle, each set by the wheel with its own error."""
    rng = np.random.default_rng(seed)
    angles = np.linspace(lobe.angles[0] - 0.12, lobe.angles[-1] + 0.12, count) + rng.uniform(-0.02, 0.02)
    lifts = lobe.lift(angles + wheel * rng.standard_normal(count)) + dial * rng.standard_normal(count)
    return angles, lifts


@cache
def fits(kind, count, dial=DIAL, wheel=WHEEL):
    lobe = lobe_of(kind)
    return lobe, [fitted.fit_lobe(*readings(lobe, count, dial=dial, wheel=wheel, seed=n), lift_error=dial, angle_error=wheel)
                  for n in range(TRIALS)]


@pytest.mark.parametrize("count", [60, 100])
@pytest.mark.parametrize("kind", ["3-4-5", "4-5-6-7", "cycloidal"])
@pytest.mark.parametrize("wheel", [0.0, WHEEL])
def test_bands_of_95_per_cent_hold_the_lobe_as_often(kind, count, wheel):
    lobe, found = fits(kind, count, DIAL, wheel)
    inside = dict.fromkeys(ROWS, 0.0)
    for fit in found:
        true = lobe.at(fit.lobe.angles)
        for row in ROWS:
            away = np.abs(getattr(fit.lobe.motion, row) - getattr(true, row))
            inside[row] += np.mean(away < 1.96 * getattr(fit.lobe.errors, row)) / TRIALS
    assert all(0.90 <= share <= 1.0 + 1e-9 for share in inside.values()), inside
    assert inside["lift"] == pytest.approx(0.96, abs=0.02)


@pytest.mark.parametrize("kind", ["3-4-5", "4-5-6-7", "cycloidal"])
def test_centre_duration_and_area_are_as_sure_as_said(kind):
    lobe, found = fits(kind, 60)
    first, last = lobe.flank_angles(0.00127)
    fine = np.linspace(first, last, 20_001)
    true = {"centre": CENTRE, "duration": last - first, "area": np.trapezoid(lobe.lift(fine), fine), "symmetric": CENTRE}
    off = {name: [] for name in true}
    for fit in found:
        at = centres.flanks(fit, lift=0.00127)
        told = {"centre": at.centre, "duration": at.duration, "area": centres.area(fit, lift=0.00127),
                "symmetric": centres.symmetric_centre(fit)}
        for name, sure in told.items():
            off[name].append((sure.value - true[name]) / sure.standard_error)
    for name, row in off.items():
        # a mean square of 40 values lies within 0.5 and 1.6 with 99 %; what smoothing rounds off may only make it smaller
        assert 0.35 < np.mean(np.square(row)) < 1.6, name
        assert abs(np.mean(row)) < 0.5, name


def test_scatter_of_readings_tells_whether_the_noise_was_stated_well():
    lobe, found = fits("cycloidal", 100)
    assert np.mean([fit.scatter for fit in found]) == pytest.approx(1.0, abs=0.06)
    doubled = [fitted.fit_lobe(*readings(lobe, 100, seed=n), lift_error=DIAL / 2, angle_error=WHEEL / 2) for n in range(10)]
    assert np.mean([fit.scatter for fit in doubled]) == pytest.approx(2.0, abs=0.25)


def test_readings_without_noise_give_the_lobe():
    lobe = lobe_of("4-5-6-7", 135, 150)
    angles = np.linspace(lobe.angles[0] - 0.1, lobe.angles[-1] + 0.1, 160)
    fit = fitted.fit_lobe(angles, lobe.lift(angles), lift_error=1e-8)
    true = lobe.at(fit.lobe.angles)
    assert fit.lobe.motion.lift == pytest.approx(true.lift, abs=1e-7)
    assert fit.lobe.motion.velocity == pytest.approx(true.velocity, abs=5e-6)
    assert fit.lobe.motion.acceleration == pytest.approx(true.acceleration, abs=5e-4)
    found = centres.flanks(fit, lift=0.005)
    first, last = lobe.flank_angles(0.005)
    assert found.centre.value == pytest.approx((first + last) / 2, abs=2e-6)
    assert found.duration.value == pytest.approx(last - first, abs=4e-6)


def test_order_spacing_and_side_of_the_rocker_do_not_matter():
    lobe = lobe_of("3-4-5")
    angles, lifts = readings(lobe, 90)
    keep = np.delete(np.arange(90), [5, 6, 7, 40, 41, 60])
    plain = fitted.fit_lobe(angles[keep], lifts[keep], lift_error=DIAL, angle_error=WHEEL)
    mixed = np.random.default_rng(3).permutation(keep)
    same = fitted.fit_lobe(angles[mixed], lifts[mixed] * 1.6, lift_error=DIAL * 1.6, angle_error=WHEEL, ratio=1.6)
    assert same.lobe.motion.lift == pytest.approx(plain.lobe.motion.lift, abs=1e-9)
    assert same.lobe.errors.lift == pytest.approx(plain.lobe.errors.lift, rel=1e-4)


def test_pieces_are_those_of_an_independent_spline():
    curve = fitted.Curve(start=1.0, step=0.1, parts=np.zeros(15), spread=np.eye(15), stiffness=0.0)
    x = np.linspace(1.0, 2.0, 301)
    other = BSpline(1.0 + 0.1 * np.arange(-5, 16), np.eye(15), 5)
    for n in range(4):
        assert curve.rows(x, n) == pytest.approx(other(x, nu=n), abs=1e-9 * 10**n)


def test_errors_of_the_curve_are_those_of_a_general_linear_model():
    # the same posterior by whole matrices: (B'B/s2 + k P)^-1
    lobe = lobe_of("cycloidal")
    angles, lifts = readings(lobe, 80, wheel=0.0)
    fit = fitted.fit_lobe(angles, lifts, lift_error=DIAL)
    c = fit.curve
    knots = c.start + c.step * np.arange(-5, len(c.parts) + 1)
    spline = BSpline(knots, np.eye(len(c.parts)), 5)
    rows = spline(np.minimum(angles, knots[-6] - 1e-12)) / DIAL
    nodes, weights = np.polynomial.legendre.leggauss(4)
    inner = knots[5:-5]
    at = (inner[:-1, None] + c.step * (nodes + 1) / 2).ravel()
    third = spline(at, nu=3)
    bent = third.T @ (third * np.tile(weights * c.step / 2, len(inner) - 1)[:, None]) * c.step**5
    spread = np.linalg.inv(rows.T @ rows + c.stiffness * bent)
    assert c.parts == pytest.approx(spread @ rows.T @ (lifts / DIAL), abs=1e-9)
    middle = spline(fit.lobe.angles[40:-40])
    assert fit.lobe.errors.lift[40:-40] == pytest.approx(np.sqrt(np.sum((middle @ spread) * middle, axis=1)), rel=1e-4)


def test_with_unlike_flanks_the_centre_depends_on_the_lift():
    lobe = lobe_of("cycloidal", 130, 150)
    fit = fitted.fit_lobe(*readings(lobe, 100), lift_error=DIAL, angle_error=WHEEL)
    low, high = (centres.flanks(fit, lift=h).centre for h in (0.0005, 0.0085))
    assert math.degrees(low.value - high.value) > 5
    unlike = centres.unlike_flanks(fit, centre=high.value, lift=0.0005)
    assert unlike.clear
    assert unlike.difference > 0
    like = fitted.fit_lobe(*readings(lobe_of("cycloidal"), 100), lift_error=DIAL, angle_error=WHEEL)
    assert not centres.unlike_flanks(like, centre=CENTRE, lift=0.0005).clear


def test_figures_of_the_docs_on_cam_timing():
    """docs/valves.md: how sure a centre is at 95 %, from the nose, from pairs, from all readings; wheel within 0.2 degree."""
    wheel, dial = radians(0.2) / math.sqrt(3), 4e-6
    lobe = profiles.card_lobe(lift=0.009, lifts=[0.00015, 0.00127], durations=[radians(270), radians(226)])
    rng = np.random.default_rng(5)

    def told(errors):
        return math.degrees(1.96 * math.sqrt(np.mean(np.square(errors))))

    noses, pairs, nines, evens, said = [], [], [], [], []
    for _ in range(400):
        x = radians(1.0) * (np.arange(-15, 16) + rng.uniform(-0.5, 0.5))
        y = lobe.lift(x) + dial * rng.standard_normal(31)
        stays = np.flatnonzero(y >= y.max() - 0.0005 * 0.0254)
        noses.append((x[stays[0]] + x[stays[-1]]) / 2)
        ends = [np.mean([t + wheel * rng.standard_normal() + dial / slope * rng.standard_normal() for t, slope in flanks])
                for flanks in [_sides(lobe, h) for h in np.linspace(0.00127, 0.0075, 9)]]
        pairs.append(ends[0])
        nines.append(np.mean(ends))
    for _ in range(40):
        x = np.linspace(lobe.angles[0] - 0.1, lobe.angles[-1] + 0.1, 100) + rng.uniform(-0.02, 0.02)
        y = lobe.lift(x + wheel * rng.standard_normal(100)) + dial * rng.standard_normal(100)
        even = centres.symmetric_centre(fitted.fit_lobe(x, y, lift_error=dial, angle_error=wheel))
        evens.append(even.value)
        said.append(even.standard_error)
    assert told(noses) == pytest.approx(1.1, abs=0.15)
    assert told(pairs) == pytest.approx(0.17, abs=0.015)
    assert told(nines) == pytest.approx(0.057, abs=0.006)
    assert told(evens) == pytest.approx(0.03, abs=0.01)
    assert told(said) == pytest.approx(0.03, abs=0.005)
    slope = _sides(lobe, 0.00127)[0][1]
    one = centres.pair_centre([0.0], [1.0], slopes=[slope], angle_error=wheel, lift_error=dial)
    assert math.degrees(1.96 * one.standard_error) == pytest.approx(0.17, abs=0.01)


def test_figures_of_the_docs_on_top_dead_centre():
    """docs/valves.md: a positive stop and five pairs at 95 %, wheel within 0.2 degree at a reading and 0.15 in itself."""
    slider = tdc.Slider(stroke=0.086, rod_length=0.1435)
    errors = {"slider": slider, "reading_error": radians(0.2) / math.sqrt(3), "wheel_error": radians(0.15) / math.sqrt(3)}
    heights = [radians(a) for a in (20, 25, 30, 35, 40)]
    stop = tdc.positive_stop(-heights[0], heights[0], stop_error=1e-5 / math.sqrt(3), **errors)
    pairs = tdc.equal_heights([-a for a in heights], heights, height_error=7.5e-6 / math.sqrt(3), **errors)
    # by hand: 0.2 / sqrt 3 over the root of 2 and of 10, with 0.15 / sqrt 3
    assert math.degrees(1.96 * stop.standard_error) == pytest.approx(0.23, abs=0.006)
    assert 1.96 * math.hypot(0.1155 / math.sqrt(2), 0.0866) == pytest.approx(0.234, abs=0.002)
    assert math.degrees(1.96 * pairs.standard_error) == pytest.approx(0.18, abs=0.006)


def _sides(lobe, lift):
    """Angle and slope at which a lift is passed, on either flank."""
    return [(angle, float(lobe.at(angle).velocity)) for angle in lobe.flank_angles(lift)]


def test_base_circle_and_ramp():
    rng = np.random.default_rng(2)
    lifts = [*(4e-6 * rng.standard_normal(20)), 0.001, 0.008, 0.002, *(3e-5 * np.sin(np.arange(12)))]
    found = centres.base_circle(lifts, lift_error=4e-6, below=4e-5)
    assert found.count == 32
    assert found.run_out == pytest.approx(6e-5, rel=0.1)
    assert found.by_noise == pytest.approx(4e-6 * 4.1, rel=0.05)  # d2 of 32 from tables: 4.1
    assert centres.base_circle([0.01], lift_error=1e-6, below=1e-5).count == 0
    lobe = profiles.profile_lobe("cycloidal", lift=0.01, opening=2.0, closing=2.0)
    ramp = centres.ramp(lobe, lift=1e-6)
    # a quarter of 2 pi h/b2 is passed where sin(2 pi x) is a quarter
    share = math.asin(0.25) / math.tau
    assert ramp.height == pytest.approx(0.01 * (share - 0.25 / math.tau), rel=2e-2)
    down = centres.ramp(lobe, lift=1e-6, closing=True)
    assert (down.height, down.length) == pytest.approx((ramp.height, ramp.length))


def test_wrong_readings_are_refused():
    with pytest.raises(BadInput, match="8 or more are needed"):
        fitted.fit_lobe([0.0, 0.1, 0.2], [0, 0, 0], lift_error=1e-6)
    with pytest.raises(BadInput, match="angles has 2, lifts 1"):
        fitted.fit_lobe([0.0, 0.1], [0], lift_error=1e-6)
    with pytest.raises(OutOfRange, match="lift_error is 0"):
        fitted.fit_lobe(np.arange(9.0), np.arange(9.0), lift_error=0.0)
    with pytest.raises(OutOfRange, match="finite numbers"):
        fitted.fit_lobe(np.arange(9.0), [math.nan] * 9, lift_error=1e-6)
    lobe = lobe_of("cycloidal")
    angles = np.linspace(CENTRE - 1.0, lobe.angles[-1], 60)
    half = fitted.fit_lobe(angles, lobe.lift(angles), lift_error=1e-6)
    with pytest.raises(OutOfRange, match="do not come down to it"):
        centres.flanks(half, lift=0.0005)
    with pytest.raises(BadInput, match="as many, and one or more"):
        centres.pair_centre([1.0], [], slopes=[1.0], angle_error=0.1, lift_error=0.0)


# -- arithmetic of events ---------------------------------------------------------------------------------------------

def degrees_of(record):
    return {name: math.degrees(getattr(record, name)) for name in record.__dataclass_fields__}


@pytest.mark.parametrize(("early", "late", "duration"), [((42, 36), (-32, 110), 258), ((38, 36), (-36, 110), 254)])
def test_variable_timing_moves_events_and_keeps_the_duration(early, late, duration):
    # maker's service information of three engines: the same lobe at both ends of its range
    for opens, closes in (early, late):
        told = timing.events_timing(intake_opens=radians(opens), intake_closes=radians(closes), exhaust_opens=1.0, exhaust_closes=0.1)
        assert math.degrees(told.intake_duration) == pytest.approx(duration)
    moved = timing.lobes_timing(_placed(duration, 180 + (closes - opens) / 2 - 90), _placed(250, -110), lift=1e-5)
    assert math.degrees(moved.intake_opens) == pytest.approx(late[0], abs=0.05)
    assert math.degrees(moved.intake_closes) == pytest.approx(late[1], abs=0.05)


@pytest.mark.parametrize(("early", "late", "duration"), [((54, 7), (9, 52), 241), ((58, 6), (13, 51), 244), ((64, 5), (19, 50), 249)])
def test_variable_timing_of_the_exhaust(early, late, duration):
    for opens, closes in (early, late):
        told = timing.events_timing(intake_opens=0.1, intake_closes=1.0, exhaust_opens=radians(opens), exhaust_closes=radians(closes))
        assert math.degrees(told.exhaust_duration) == pytest.approx(duration)


def _placed(duration, centre):
    """A lobe that stands at a lift of 0.01 mm over a duration."""
    kind, lift, low = "cycloidal", 0.009, 1e-5
    half = radians(duration) / 2
    x = np.linspace(0, 1, 200_001)
    share = np.interp(low / lift, profiles.rise(kind, x)[0], x)
    lobe = profiles.profile_lobe(kind, lift=lift, opening=half / (1 - share), closing=half / (1 - share))
    return lobe.placed(radians(centre))


def test_card_and_events_agree_both_ways():
    card = timing.centred_timing(intake_duration=radians(264), exhaust_duration=radians(264), separation=radians(112), advance=radians(2))
    back = timing.events_timing(intake_opens=card.intake_opens, intake_closes=card.intake_closes, exhaust_opens=card.exhaust_opens,
                                exhaust_closes=card.exhaust_closes)
    assert degrees_of(back) == pytest.approx(degrees_of(card))
    assert math.degrees(card.intake_opens) == pytest.approx(22)


def test_twist_and_spread_along_a_shaft():
    rng = np.random.default_rng(4)
    places, errors = np.arange(8.0), np.full(8, radians(0.05))
    off = []
    for _ in range(300):
        found = timing.shaft_spread(places, radians(0.3) + radians(0.1) * places + errors * rng.standard_normal(8), errors)
        off.append((found.twist - radians(0.1)) / found.twist_error)
    assert np.std(off) == pytest.approx(1.0, abs=0.12)
    slope = np.polyfit(places, found.mean + np.zeros(8) + radians(0.1) * places, 1)[0]
    assert slope == pytest.approx(radians(0.1))
    with pytest.raises(BadInput, match="places: all are the same"):
        timing.shaft_spread([1, 1], [0, 0], [1, 1])


def test_best_position_splits_the_wear():
    steps = [radians(a) for a in (-4, -2, 0, 2, 4)]
    found = timing.best_position(centre=radians(110.6), target=radians(108), advances=steps, wear=radians(1.0))
    assert math.degrees(found[0].advance) == pytest.approx(4)  # 106.6, later 107.6: off by 1.4; at 2: 108.6 and 109.6
    assert math.degrees(found[0].off) == pytest.approx(1.4)
    assert math.degrees(found[1].off) == pytest.approx(1.6)
    exhaust = timing.best_position(centre=radians(110), target=radians(112), advances=steps, exhaust=True)
    assert math.degrees(exhaust[0].fresh) == pytest.approx(112)
    with pytest.raises(BadInput, match="none given"):
        timing.best_position(centre=1.9, target=1.9, advances=[])


def test_more_pairs():
    assert timing.more_pairs(standard_error=0.2, pairs=1, shared=0.0, wanted=0.1) == 3
    assert timing.more_pairs(standard_error=0.05, pairs=3, shared=0.05, wanted=0.1) == 0
    with pytest.raises(OutOfRange, match="no number of pairs"):
        timing.more_pairs(standard_error=0.05, pairs=3, shared=0.1, wanted=0.1)
