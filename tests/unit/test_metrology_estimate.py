"""Estimates: common causes cancel or add; formulas carry them as independent libraries do."""

import math

import GTC
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from tenths.errors import BadInput, OutOfRange
from tenths.metrology.estimate import (
    Estimate,
    combine,
    correlation,
    covariance,
    difference,
    exact,
    linear,
    linear_with_bend,
    mean,
    propagate,
    single,
)

amount = st.floats(-10, 10).map(lambda x: round(x, 6))
doubt = st.floats(0.001, 1.0)
CAUSES = ("scale:a", "scale:b", "temperature:t", "repeat:1", "repeat:2")
parts = st.dictionaries(st.sampled_from(CAUSES), amount.filter(lambda x: abs(x) > 1e-3), min_size=1)
estimates = st.builds(Estimate, amount, parts)


def test_a_common_cause_cancels_in_a_difference_and_adds_in_a_sum():
    a = Estimate(5.0, {"scale:m": 3.0, "repeat:1": 4.0})
    b = Estimate(2.0, {"scale:m": 3.0})
    assert difference(a, b) == Estimate(3.0, {"scale:m": 0.0, "repeat:1": 4.0})
    assert difference(a, b).u == 4.0
    assert combine((1, 1), (a, b)).u == pytest.approx(math.hypot(6.0, 4.0), rel=1e-15)


def test_averaging_leaves_what_is_shared():
    readings = [Estimate(1.0, {"scale:m": 3.0, f"repeat:{i}": 4.0}) for i in range(16)]
    assert mean(readings).u == pytest.approx(math.hypot(3.0, 1.0), rel=1e-14)


def test_freedom_and_shape_travel_with_the_cause():
    a = single(1.0, 0.1, "repeat:1", freedom=4)
    b = single(2.0, 0.1, "scale:m", shape="rectangular")
    total = combine((1, -2), (a, b), constant=10.0)
    assert (total.value, dict(total.freedom), dict(total.shape)) == (7.0, {"repeat:1": 4}, {"scale:m": "rectangular"})


def test_a_product_of_two_centred_inputs_is_all_curvature():
    p = propagate(lambda x, y: x * y, single(0, 2.0, "x"), single(0, 3.0, "y"))
    assert p.estimate.u == 0.0
    assert p.curvature == math.inf


@given(doubt, amount)
def test_curvature_and_shift_of_a_square(u, x):
    # Var(X^2) = 4 x^2 u^2 + 2 u^4 and E(X^2) = x^2 + u^2 for a normal X: closed form.
    p = propagate(lambda v: v * v, single(x, u, "x"))
    if x:
        assert p.curvature * p.estimate.u == pytest.approx(math.sqrt(2) * u * u, rel=1e-6)
    assert p.shift == pytest.approx(u * u, rel=1e-6, abs=1e-12)


@given(doubt, doubt, amount, amount)
def test_curvature_of_a_product_with_a_common_cause(a, b, x, y):
    # Both factors move with one normal cause Z: (x + aZ)(y + bZ) has second-order part ab Z^2.
    p = propagate(lambda v, w: v * w, single(x, a, "z"), single(y, b, "z"))
    assert p.shift == pytest.approx(a * b, rel=1e-6, abs=1e-12)
    if p.estimate.u > 1e-3:
        assert p.curvature * p.estimate.u == pytest.approx(math.sqrt(2) * a * b, rel=1e-5)


def test_sensitivities_and_shares_by_input():
    p = propagate(lambda a, b, c: 2 * a - 3 * b + c, single(1, 0.1, "a"), single(1, 0.2, "b"), exact(4))
    assert p.sensitivities == pytest.approx((2, -3, 0), rel=1e-12)
    assert p.by_input == pytest.approx((0.2, -0.6, 0), rel=1e-12)
    assert p.curvature == 0.0


@given(st.lists(estimates, min_size=1, max_size=6))
def test_covariance_is_the_table_of_causes_times_itself(items):
    matrix = covariance(items)
    for i, a in enumerate(items):
        for j, b in enumerate(items):
            direct = sum(a.parts.get(k, 0) * b.parts.get(k, 0) for k in CAUSES)
            assert matrix[i, j] == pytest.approx(direct, rel=1e-12, abs=1e-12)
    related = correlation(items)
    assert related.diagonal() == pytest.approx([1.0] * len(items))
    assert abs(related).max() <= 1 + 1e-12


@settings(max_examples=60)
@given(st.lists(estimates, min_size=3, max_size=3))
def test_random_formulas_agree_with_the_uncertainties_library(items):
    base = {k: ufloat(0, 1) for k in CAUSES}
    theirs = [e.value + sum(p * base[k] for k, p in e.parts.items()) for e in items]
    a, b, c = theirs
    expected = 3 * a - b / 7 + 2.5 * c + umath.sin(0)
    ours = propagate(lambda x, y, z: 3 * x - y / 7 + 2.5 * z, *items).estimate
    assert ours.value == pytest.approx(expected.nominal_value, rel=1e-12, abs=1e-12)
    assert ours.u == pytest.approx(expected.std_dev, rel=1e-9, abs=1e-9)


@settings(max_examples=60)
@given(st.lists(estimates, min_size=3, max_size=3), st.floats(1e-6, 1e-4))
def test_random_curved_formulas_agree_with_gtc_as_the_doubt_shrinks(items, small):
    base = {k: GTC.ureal(0, 1) for k in CAUSES}
    shrunk = [Estimate(e.value, {k: p * small for k, p in e.parts.items()}) for e in items]
    a, b, c = (e.value + sum(p * base[k] for k, p in e.parts.items()) for e in shrunk)
    expected = a * b + GTC.exp(0.1 * c) + GTC.sin(a)
    ours = propagate(lambda x, y, z: x * y + math.exp(0.1 * z) + math.sin(x), *shrunk).estimate
    assert ours.value == pytest.approx(expected.x, rel=1e-9, abs=1e-9)
    # Central differences at one uncertainty are off by a third derivative: of the order of the doubt squared.
    assert ours.u == pytest.approx(expected.u, rel=1e-5, abs=1e-5 * small)


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="value is nan"):
        exact(math.nan)
    with pytest.raises(BadInput, match="u of scale:m is -1"):
        single(1.0, -1.0, "scale:m")
    with pytest.raises(BadInput, match="freedom of scale:m is 0"):
        single(1.0, 1.0, "scale:m", freedom=0)
    with pytest.raises(BadInput, match="2 coefficients for 1 estimates"):
        combine((1, 2), (exact(1),))
    with pytest.raises(BadInput, match="no estimates"):
        mean([])
    with pytest.raises(OutOfRange, match="not a finite number"):
        propagate(lambda x: math.inf if x > 1 else x, single(1.0, 0.1, "x"))


@given(st.lists(estimates, min_size=2, max_size=2))
def test_the_first_order_alone_is_that_of_the_whole(items):
    def bent(x, y):
        return x * y + 2 * x

    assert linear(bent, *items) == propagate(bent, *items).estimate


@pytest.mark.parametrize("count", [2, 4, 6])
def test_mixed_terms_that_cancel_along_a_diagonal_are_seen(count):
    # a b - c d + ...: with equal doubts the step (+, +, +, +) shows nothing, though each product is bent.
    def products(*x):
        return sum((-1) ** (i // 2) * x[i] * x[i + 1] for i in range(0, count, 2))

    result = propagate(products, *(single(5.0, 0.5, f"x{i}") for i in range(count)))
    # Closed form: each product has a second-order part of variance u^4, and u = 5 (0.5) sqrt(count) at first order.
    expected = math.sqrt(count / 2) * 0.25 / (2.5 * math.sqrt(count))
    assert result.curvature == pytest.approx(expected, rel=1e-9)


# Second-order part over the first, normal inputs: x y at (1, 1) with u 0.5 each is 0.25 / (0.5 sqrt 2); x^2 at 1 with u 0.5
# is (2 x 0.25 / sqrt 2) / 1. The screen may be off by a factor of two.
@pytest.mark.parametrize(("formula", "count", "bent"), [
    (lambda a, b: a - b, 2, 0.0), (lambda a, b: a * b, 2, 0.25 / (0.5 * math.sqrt(2))), (lambda a: a * a, 1, 0.5 / math.sqrt(2)),
])
def test_the_screen_tells_straight_from_bent(formula, count, bent):
    inputs = [single(1.0, 0.5, f"c{k}") for k in range(count)]
    found, about = linear_with_bend(formula, *inputs)
    assert found == linear(formula, *inputs)
    assert bent / 2 <= about <= bent * 2 + 1e-12
    assert propagate(formula, *inputs).curvature == pytest.approx(bent, abs=1e-12)
