"""Worked examples of JCGM 101, clause 9: additive models, mass, comparison loss, gauge block."""

import math

import numpy as np
import pytest

from tenths.metrology.coverage import coverage_factor, effective_freedom
from tenths.metrology.estimate import combine, propagate, single
from tenths.metrology.method import evaluate
from tenths.metrology.montecarlo import agrees_with_linear, monte_carlo


def add(*terms):
    return sum(terms)


def rng():
    return np.random.default_rng(20)


def within(trials, *, digits_hold=3.0):
    """Five standard errors of each number: what the trials themselves claim, with room for chance."""
    return {
        "value": digits_hold * trials.error_value,
        "u": digits_hold * trials.error_u,
        "low": digits_hold * trials.error_low,
        "high": digits_hold * trials.error_high,
    }


def check(trials, **expected):
    allowed = within(trials, digits_hold=5.0)
    for name, value in expected.items():
        assert getattr(trials, name) == pytest.approx(value, abs=allowed[name]), name


def test_additive_normal():
    # 9.2.2: u 2.00, 95 % interval +-3.92.
    four = [single(0, 1, f"x{i}") for i in range(4)]
    trials = monte_carlo(add, *four, rng=rng(), digits=3)
    assert trials.settled
    check(trials, value=0.0, u=2.0, low=-3.920, high=3.920)
    assert agrees_with_linear(propagate(add, *four).estimate, 1.96, trials, digits=2)


def test_additive_rectangular():
    # 9.2.3: u 2.00; exact interval +-2 sqrt 3 (2 - (3/5)^(1/4)) = +-3.879; the linear way gives +-3.92.
    four = [single(0, 1, f"x{i}", shape="rectangular") for i in range(4)]
    trials = monte_carlo(add, *four, rng=rng(), digits=3)
    exact = 2 * math.sqrt(3) * (2 - 0.6**0.25)
    check(trials, value=0.0, u=2.0, low=-exact, high=exact)
    linear = propagate(add, *four).estimate
    assert coverage_factor(math.inf) * linear.u == pytest.approx(3.92, abs=0.005)


def test_one_large_rectangle_rules():
    # 9.2.4: u 10.1; the linear way gives +-19.9, trials +-17.0. The choice of method must see it.
    four = [single(0, 10 if i == 3 else 1, f"x{i}", shape="rectangular") for i in range(4)]
    linear = propagate(add, *four).estimate
    assert 1.96 * linear.u == pytest.approx(19.9, abs=0.05)
    chosen = evaluate(add, *four, rng=rng(), vectorised=True)
    assert chosen.method == "by trial"
    assert "x3 (rectangular)" in chosen.reason
    # Two digits were asked for, so u may be half a unit of its second digit off.
    assert chosen.u == pytest.approx(10.1, abs=0.5)
    assert (chosen.low, chosen.high) == pytest.approx((-17.0, 17.0), abs=0.5)
    trials = monte_carlo(add, *four, rng=rng(), digits=3)
    assert not agrees_with_linear(linear, 1.96, trials)


def deviation_of_mass(reference, balance, air, weight_density, reference_density):
    """9.3, Eq. 34: mg, kg/m3."""
    return (reference + balance) * (1 + (air - 1.2) * (1 / weight_density - 1 / reference_density)) - 100_000.0


def mass_inputs():
    half = 1 / math.sqrt(3)
    return (
        single(100_000.0, 0.050, "reference"),
        single(1.234, 0.020, "balance"),
        single(1.20, 0.10 * half, "air", shape="rectangular"),
        single(8000.0, 1000 * half, "weight density", shape="rectangular"),
        single(8000.0, 50 * half, "reference density", shape="rectangular"),
    )


def test_mass_calibration():
    # 9.3, from memory, recomputed here: first order u 0.0539, second order 0.0750, trials 0.0754
    # with the shortest interval 1.0834 to 1.3825.
    first = propagate(deviation_of_mass, *mass_inputs())
    assert first.estimate.value == pytest.approx(1.2340, abs=5e-5)
    assert first.estimate.u == pytest.approx(0.0539, abs=5e-5)
    assert first.estimate.u * math.hypot(1, first.curvature) == pytest.approx(0.0750, abs=2e-4)
    trials = monte_carlo(deviation_of_mass, *mass_inputs(), rng=rng(), digits=3)
    assert trials.u == pytest.approx(0.0754, abs=5 * trials.error_u + 5e-5)
    # The shortest interval wanders more than its ends' standard errors say: a flat minimum.
    assert (trials.shortest_low, trials.shortest_high) == pytest.approx((1.0834, 1.3825), abs=0.004)
    assert evaluate(deviation_of_mass, *mass_inputs(), rng=rng(), vectorised=True).method == "by trial"


@pytest.mark.parametrize("x", [0.0, 0.010, 0.050])
def test_comparison_loss(x):
    # 9.4 with uncorrelated inputs, u 0.005. Closed form: mean x^2 + 2 u^2, variance 4 u^2 x^2 + 4 u^4, which is
    # the published 50, 150 (u 112) and 2550 (u 502) in millionths.
    u = 0.005
    inputs = single(x, u, "x1"), single(0.0, u, "x2")
    trials = monte_carlo(lambda a, b: a * a + b * b, *inputs, rng=rng(), digits=3)
    check(trials, value=x * x + 2 * u * u, u=math.sqrt(4 * u * u * x * x + 4 * u**4))
    linear = propagate(lambda a, b: a * a + b * b, *inputs)
    assert linear.estimate.u == pytest.approx(2 * u * x, abs=1e-12)
    assert linear.estimate.value + linear.shift == pytest.approx(x * x + 2 * u * u, rel=1e-9)
    assert math.hypot(linear.estimate.u, 2 * u * u) == pytest.approx(
        linear.estimate.u * math.hypot(1, linear.curvature) if x else 2 * u * u, rel=1e-9
    )


def test_comparison_loss_with_correlated_inputs():
    # 9.4.3: correlation 0.9 keeps the mean and makes the variance 4 u^2 x^2 + 4 u^4 (1 + r^2), in closed form.
    u, r, x = 0.005, 0.9, 0.010
    a = single(x, u, "common")
    b = combine((r, 1.0), (single(0.0, u, "common"), single(0.0, u * math.sqrt(1 - r * r), "own")))
    trials = monte_carlo(lambda p, q: p * p + q * q, a, b, rng=rng(), digits=3)
    check(trials, value=x * x + 2 * u * u, u=math.sqrt(4 * u * u * x * x + 4 * u**4 * (1 + r * r)))


def block(standard, d0, d1, d2, expansion, mean, swing, expansion_difference, temperature_difference):
    """9.5, Eq. 41, in nanometres and kelvin: deviation from 50 mm."""
    theta = mean + swing
    warm = standard * (1 + expansion * (theta - temperature_difference)) + d0 + d1 + d2
    return warm / (1 + (expansion + expansion_difference) * theta) - 50_000_000.0


def test_gauge_block():
    # 9.5: linear 838 nm, u 32; trials 838, u 36, shortest 99 % interval 745 to 932. The standard gives the two limits
    # without exact knowledge a curvilinear trapezoid; a rectangle here is narrower by under 0.5 nm in u.
    half = 1 / math.sqrt(3)
    inputs = (
        single(50_000_623.0, 25.0, "standard", freedom=18),
        single(215.0, 6.0, "mean", freedom=24),
        single(0.0, 4.0, "random", freedom=5),
        single(0.0, 7.0, "systematic", freedom=8),
        single(11.5e-6, 2e-6 * half, "expansion", shape="rectangular"),
        single(-0.1, 0.2, "mean temperature"),
        single(0.0, 0.5 / math.sqrt(2), "swing", shape="arcsine"),
        single(0.0, 1e-6 * half, "expansion difference", shape="rectangular"),
        single(0.0, 0.05 * half, "temperature difference", shape="rectangular"),
    )
    linear = propagate(block, *inputs).estimate
    assert linear.value == pytest.approx(838, abs=0.5)
    assert linear.u == pytest.approx(32, abs=0.5)
    assert effective_freedom(linear) > 16
    trials = monte_carlo(block, *inputs, rng=rng(), digits=2, probability=0.99)
    assert trials.value == pytest.approx(838, abs=1.0)
    assert trials.u == pytest.approx(36, abs=1.0)
    assert (trials.shortest_low, trials.shortest_high) == pytest.approx((745, 932), abs=4.0)


@pytest.mark.parametrize("seed", range(5))
def test_stated_accuracy_holds(seed):
    # A product of two normal values: mean x y, variance x^2 v^2 + y^2 u^2 + u^2 v^2 (closed form).
    inputs = single(3.0, 0.4, "x"), single(2.0, 0.5, "y")
    trials = monte_carlo(lambda a, b: a * b, *inputs, rng=np.random.default_rng(seed), digits=2)
    assert trials.settled
    assert trials.value == pytest.approx(6.0, abs=trials.accuracy)
    assert trials.u == pytest.approx(math.sqrt(9 * 0.25 + 4 * 0.16 + 0.04), abs=trials.accuracy)


def test_not_settled_is_said():
    trials = monte_carlo(add, single(0, 1, "x"), single(0, 1, "y"), rng=rng(), digits=5, most=20_000)
    assert not trials.settled
    assert trials.trials == 20_000
