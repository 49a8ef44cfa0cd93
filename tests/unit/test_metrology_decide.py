"""Verdicts at, near and beyond the limits, by each rule."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.stats import t as reference

from tenths.errors import BadInput
from tenths.metrology.decide import (
    Verdict,
    acceptance_range,
    by_probability,
    conformance,
    decide,
    guard_band,
    iso_14253_1,
    simple_acceptance,
)
from tenths.metrology.distributions import normal_cdf, normal_quantile, t_cdf, t_quantile


@pytest.mark.parametrize(
    ("value", "verdict"),
    [(25.0, "fits"), (21.65, "fits"), (21.64, "too close to call"), (18.36, "too close to call"), (18.35, "out")],
)
def test_house_rule_one_unit_of_doubt_from_a_limit(value, verdict):
    # One-sided 95 % of a normal distribution is 1.645 standard uncertainties (tables).
    assert decide(value, 1.0, 20.0, 40.0) == verdict


def test_nothing_measured_and_stale_come_before_any_number():
    assert decide(None, 0.0, 1.0, 2.0) is Verdict.NOT_MEASURED
    assert decide(None, 0.0, 1.0, 2.0, stale=True) is Verdict.NOT_MEASURED
    assert decide(1.5, 0.1, 1.0, 2.0, stale=True) is Verdict.STALE


@pytest.mark.parametrize(
    ("rule", "value", "verdict"),
    [
        (simple_acceptance(), 20.0, "fits"),
        (simple_acceptance(), 19.999, "out"),
        (guard_band(2.0), 22.0, "fits"),
        (guard_band(2.0), 21.9, "too close to call"),
        (guard_band(2.0), 18.1, "too close to call"),
        (guard_band(2.0), 17.9, "out"),
        (guard_band(width=3.0), 22.9, "too close to call"),
        (iso_14253_1("2017"), 21.65, "fits"),
        (iso_14253_1("2013"), 21.65, "too close to call"),
        (iso_14253_1("1998"), 22.0, "fits"),
        (iso_14253_1("2017", probability=0.99), 22.32, "too close to call"),
        (iso_14253_1("2017", probability=0.99), 22.33, "fits"),
        (by_probability(accept=0.8, reject=0.1), 20.85, "fits"),
    ],
)
def test_rules(rule, value, verdict):
    assert decide(value, 1.0, 20.0, 40.0, rule=rule) == verdict


def test_without_doubt_a_value_on_the_limit_conforms():
    assert conformance(2.0, 0.0, 2.0, 3.0) == 1.0
    assert conformance(1.999, 0.0, 2.0, 3.0) == 0.0
    assert decide(3.0, 0.0, None, 3.0) is Verdict.FITS


@given(st.floats(-50, 50), st.floats(0.01, 10), st.floats(-20, 0), st.floats(0, 20))
def test_two_limits_lose_what_either_loses(value, u, lower, upper):
    both = conformance(value, u, lower, upper)
    assert 0.0 <= both <= 1.0
    assert both == pytest.approx(
        max(0, conformance(value, u, lower, None) + conformance(value, u, None, upper) - 1), abs=1e-12
    )
    assert conformance(value, u, None, None) == 1.0
    assert conformance(-value, u, -upper, -lower) == pytest.approx(both, abs=1e-12)


@given(st.floats(0.05, 1.5), st.sampled_from([5.0, 30.0, math.inf]))
def test_acceptance_range_ends_where_the_verdict_changes(u, freedom):
    low, high = acceptance_range(u, 0.0, 10.0, freedom=freedom)
    assert decide(low, u, 0.0, 10.0, freedom=freedom) is Verdict.FITS
    assert decide(low - 1e-6, u, 0.0, 10.0, freedom=freedom) is not Verdict.FITS
    assert decide(high + 1e-6, u, 0.0, 10.0, freedom=freedom) is not Verdict.FITS


def test_one_sided_acceptance_range():
    low, high = acceptance_range(1.0, None, 10.0)
    assert low is None
    assert high == pytest.approx(10 - 1.6449, abs=1e-4)
    assert acceptance_range(1.0, 0.0, None, rule=iso_14253_1("2013")) == (2.0, None)


@example(5.960464477539063e-08, 16.75)
@given(st.floats(-30, 30), st.sampled_from([0.5, 1.0, 2.0, 3.5, 16.75, 100.0, 1e6]))
def test_t_distribution_against_scipy(t, freedom):
    assert t_cdf(t, freedom) == pytest.approx(reference.cdf(t, freedom), rel=1e-8, abs=1e-13)


@given(st.floats(0.001, 0.999), st.sampled_from([1.0, 2.0, 16.0, 60.0, math.inf]))
def test_quantiles_undo_the_distribution(p, freedom):
    assert t_cdf(t_quantile(p, freedom), freedom) == pytest.approx(p, abs=1e-10)
    assert normal_cdf(normal_quantile(p)) == pytest.approx(p, abs=1e-12)


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="u -1"):
        conformance(1.0, -1.0, 0.0, 2.0)
    with pytest.raises(BadInput, match="lower one is above"):
        conformance(1.0, 1.0, 3.0, 2.0)
    with pytest.raises(BadInput, match="edition 2020"):
        iso_14253_1("2020")
    with pytest.raises(BadInput, match=r"probability is 0\.4"):
        iso_14253_1(probability=0.4)
    with pytest.raises(BadInput, match=r"accept 0\.1 and reject 0\.5"):
        by_probability(accept=0.1, reject=0.5)
    with pytest.raises(BadInput, match="guard band multiple -1"):
        guard_band(-1.0)
    with pytest.raises(BadInput, match="leave nothing"):
        acceptance_range(5.0, 0.0, 10.0, rule=iso_14253_1())
    with pytest.raises(BadInput, match="no value would reach"):
        acceptance_range(5.0, 0.0, 10.0)
    with pytest.raises(BadInput, match="p is 1"):
        normal_quantile(1.0)
    with pytest.raises(BadInput, match="freedom is 0"):
        t_cdf(1.0, 0.0)
