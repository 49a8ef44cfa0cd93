"""Conformity: JCGM 106 examples, risks and joint statements against independent integration."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from tenths.metrology.decide import acceptance_range, conformance, guard_band, simple_acceptance
from tenths.metrology.estimate import Estimate, covariance
from tenths.metrology.joint import joint, joint_conformance
from tenths.metrology.risk import global_risk, specific_risk


def test_zener_diode():
    # JCGM 106:2012 clause 7: estimate -5.47 V, u 0.05 V, limit -5.40 V: Phi(1.40) = 0.919.
    assert conformance(-5.47, 0.05, None, -5.40) == pytest.approx(0.919, abs=0.0005)


def test_burst_pressure():
    # JCGM 106:2012 clause 7: 509.7 kPa, u 8.6, at least 490: Phi(2.29) = 0.989.
    assert conformance(509.7, 8.6, 490.0, None) == pytest.approx(0.989, abs=0.0005)
    assert specific_risk(509.7, 8.6, 490.0, None, accepted=True) == pytest.approx(0.011, abs=0.0005)
    assert specific_risk(509.7, 8.6, 490.0, None, accepted=False) == pytest.approx(0.989, abs=0.0005)


@pytest.mark.parametrize(("probability", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)])
def test_table_1(probability, z):
    assert conformance(z, 1.0, 0.0, None) == pytest.approx(probability, abs=0.0015)


def test_guard_band_of_one_expanded_uncertainty():
    # JCGM 106:2012 clause 8: w = U with k = 2 leaves at most 2.3 % at the acceptance limit.
    low, high = acceptance_range(1.0, 0.0, None, rule=guard_band(2.0))
    assert high is None
    assert conformance(low, 1.0, 0.0, None) == pytest.approx(0.97725, abs=5e-6)


@pytest.mark.parametrize("rule", [simple_acceptance(), guard_band(1.0), guard_band(2.0)])
@pytest.mark.parametrize(("mean", "u"), [(1500.0, 0.04), (1500.1, 0.04), (1500.0, 0.10)])
def test_global_risk_against_the_bivariate_normal(rule, mean, u):
    # Clause 9.5 as areas of the bivariate normal of true and measured value, integrated by scipy.
    lower, upper, spread = 1499.7, 1500.3, 0.12
    gate = acceptance_range(u, lower, upper, rule=rule)
    both = multivariate_normal([mean, mean], [[spread**2, spread**2], [spread**2, spread**2 + u * u]])
    good_and_passed = both.cdf([upper, gate[1]], lower_limit=[lower, gate[0]])
    passed = np.diff(norm.cdf(gate, mean, math.hypot(spread, u)))[0]
    good = np.diff(norm.cdf([lower, upper], mean, spread))[0]
    risk = global_risk(process_mean=mean, process_deviation=spread, u=u, lower=lower, upper=upper, rule=rule)
    assert risk.customer == pytest.approx(passed - good_and_passed, abs=2e-6)
    assert risk.builder == pytest.approx(good - good_and_passed, abs=2e-6)
    assert risk.passes == pytest.approx(passed, abs=2e-6)
    assert risk.bad == pytest.approx(1 - good, abs=2e-6)


def test_risk_over_a_run():
    risk = global_risk(process_mean=0, process_deviation=1, u=0.3, lower=None, upper=2.0, rule=simple_acceptance())
    number, some = risk.over_run(25)
    assert number == pytest.approx(25 * risk.customer)
    assert some == pytest.approx(1 - (1 - risk.customer) ** 25)


finding = st.dictionaries(
    st.sampled_from(["scale", "setting", "temperature", "own"]),
    st.floats(-2, 2).filter(lambda x: abs(x) > 0.05),
    min_size=1,
)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.floats(-1, 1), finding), min_size=2, max_size=5))
def test_joint_probability_against_scipy(items):
    findings = [Estimate(v, {**p, f"repeat:{i}": 0.5}) for i, (v, p) in enumerate(items)]
    limits = [(-2.0, 1.5) if i % 2 else (None, 1.0) for i in range(len(items))]
    lower = [-math.inf if a is None else a for a, _ in limits]
    theirs = multivariate_normal([e.value for e in findings], covariance(findings)).cdf(
        [b for _, b in limits], lower_limit=lower, rng=np.random.default_rng(1)
    )
    ours = joint(findings, limits)
    # scipy's own stated error is 1e-5 or so; ours is stated.
    assert ours.probability == pytest.approx(theirs, abs=6 * ours.standard_error + 1e-4)
    assert ours.standard_error < 1e-3


def test_joint_probability_in_closed_form():
    # Two normal values with correlation r both above their means: 1/4 + asin(r) / (2 pi) (Sheppard).
    r = 0.6
    pair = [Estimate(0.0, {"common": 1.0}), Estimate(0.0, {"common": r, "own": math.sqrt(1 - r * r)})]
    both = joint(pair, [(0.0, None), (0.0, None)])
    assert both.probability == pytest.approx(0.25 + math.asin(r) / (2 * math.pi), abs=1e-4)
    assert both.independent == pytest.approx(0.25)


def test_findings_fixed_by_one_cause():
    # Seven readings that differ only by one common cause are as good as one.
    seven = [Estimate(0.0, {"common": 1.0})] * 7
    assert joint_conformance(seven, [(None, 1.0)] * 7) == pytest.approx(norm.cdf(1.0), abs=1e-6)


def test_independent_findings_multiply():
    apart = [Estimate(0.0, {f"own:{i}": 1.0}) for i in range(4)]
    both = joint(apart, [(-1.0, 2.0)] * 4)
    assert both.probability == pytest.approx((norm.cdf(2) - norm.cdf(-1)) ** 4, abs=1e-9)
    assert both.independent == pytest.approx(both.probability, abs=1e-9)
