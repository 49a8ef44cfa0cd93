"""Coverage, repeats and the choice between linear, second order and trials."""

import math

import numpy as np
import pytest

from tenths.errors import BadInput, OutOfRange
from tenths.metrology.coverage import coverage_factor, effective_freedom, expanded
from tenths.metrology.distributions import f_tail
from tenths.metrology.estimate import Estimate, exact, single
from tenths.metrology.method import evaluate, excess
from tenths.metrology.montecarlo import draw, monte_carlo, tolerance
from tenths.metrology.typea import fitted_line, pooled, repeated, repeated_together


@pytest.mark.parametrize(
    ("freedom", "probability", "factor"),
    # JCGM 100:2008 table G.2.
    [(1, 0.95, 12.71), (5, 0.95, 2.57), (16, 0.99, 2.92), (20, 0.95, 2.09), (math.inf, 0.95, 1.96), (10, 0.6827, 1.05)],
)
def test_coverage_factors(freedom, probability, factor):
    assert coverage_factor(freedom, probability=probability) == pytest.approx(factor, abs=0.005)


def test_freedom_is_cut_to_a_whole_number():
    assert coverage_factor(16.75, probability=0.99) == coverage_factor(16, probability=0.99)
    assert coverage_factor(16.75, probability=0.99, whole=False) < coverage_factor(16, probability=0.99)


def test_freedom_of_a_value_without_repeats_is_infinite():
    assert effective_freedom(exact(3.0)) == math.inf
    assert effective_freedom(Estimate(1.0, {"scale:m": 2.0})) == math.inf
    assert effective_freedom(Estimate(1.0, {"scale:m": 0.0}, {"scale:m": 3.0})) == math.inf
    assert expanded(single(0, 1, "a", freedom=9)).freedom == pytest.approx(9)


def test_a_shared_cause_counts_once_and_whole():
    # Twice the same cause is one cause of twice the size: still its own degrees of freedom.
    both = Estimate(0.0, {"repeat:1": 2.0}, {"repeat:1": 4.0})
    apart = Estimate(0.0, {"repeat:1": 1.0, "repeat:2": 1.0}, {"repeat:1": 4.0, "repeat:2": 4.0})
    assert effective_freedom(both) == pytest.approx(4.0)
    assert effective_freedom(apart) == pytest.approx(8.0)


def test_pooled_spread_by_hand():
    # Squares 2, 0.5 and (one reading) nothing, over 2 + 1 degrees of freedom.
    spread = pooled([[1.0, 2.0, 3.0], [1.0, 2.0], [7.0]])
    assert spread.deviation == pytest.approx(math.sqrt((2.0 + 0.5) / 3))
    assert spread.freedom == 3
    one = repeated([5.0], "repeat:1", spread=spread)
    assert (one.value, one.u, one.freedom["repeat:1"]) == (5.0, spread.deviation, 3)


@pytest.mark.parametrize(
    ("function", "inputs", "method", "word"),
    [
        (lambda x, y: x - y, [single(3, 0.1, "a"), single(2, 0.1, "b")], "linear", "straight"),
        (lambda x: x * x, [single(10, 1.0, "a")], "linear", "straight"),
        (lambda x: x * x, [single(5, 1.0, "a")], "second order", "slightly bent"),
        (lambda x: x * x, [single(1, 1.0, "a")], "by trial", "strongly bent"),
        (lambda x: 2 * x, [single(1, 1.0, "a", shape="rectangular")], "by trial", "a (rectangular)"),
        (
            lambda x, y: x + y,
            [single(1, 1.0, "a", shape="rectangular"), single(1, 2.0, "b")],
            "linear",
            "close to normal",
        ),
    ],
)
def test_choice_of_method(function, inputs, method, word):
    result = evaluate(function, *inputs, rng=np.random.default_rng(3), vectorised=True)
    assert result.method == method
    assert word in result.reason


def test_second_order_moves_value_and_doubt():
    result = evaluate(lambda x: x * x, single(5, 1.0, "a"), rng=np.random.default_rng(3))
    assert result.value == pytest.approx(26.0)
    assert result.u == pytest.approx(math.sqrt(4 * 25 + 2))
    assert result.high - result.value == pytest.approx(1.95996 * result.u, rel=1e-5)


def test_excess_of_known_shapes():
    assert excess(single(0, 1, "a", shape="rectangular")) == pytest.approx(-1.2)
    # The sum of two equal rectangles is a triangle.
    assert excess(Estimate(0, {"a": 1, "b": 1}, shape={"a": "rectangular", "b": "rectangular"})) == pytest.approx(-0.6)
    assert excess(exact(1.0)) == 0.0


@pytest.mark.parametrize(
    ("shape", "reach"),
    [("rectangular", math.sqrt(3)), ("triangular", math.sqrt(6)), ("arcsine", math.sqrt(2)), ("normal", math.inf)],
)
def test_draws_have_the_spread_and_reach_of_their_shape(shape, reach):
    (drawn,) = draw([single(7, 2.0, "a", shape=shape)], 200_000, np.random.default_rng(5))
    assert drawn.mean() == pytest.approx(7, abs=0.03)
    assert drawn.std() == pytest.approx(2.0, rel=0.01)
    assert abs(drawn - 7).max() <= 2 * reach


def test_draws_share_common_causes():
    a, b = Estimate(0, {"c": 1.0}), Estimate(0, {"c": -2.0})
    drawn = draw([a, b], 100, np.random.default_rng(5))
    assert np.allclose(drawn[1], -2 * drawn[0])


def test_draws_with_few_degrees_of_freedom_follow_t():
    (drawn,) = draw([single(0, 1.0, "a", freedom=5)], 400_000, np.random.default_rng(5))
    assert drawn.std() == pytest.approx(math.sqrt(5 / 3), rel=0.02)


def test_formula_without_arrays_is_tried_too():
    plain = monte_carlo(math.exp, single(0, 0.1, "a"), rng=np.random.default_rng(1), digits=1, vectorised=False)
    arrays = monte_carlo(np.exp, single(0, 0.1, "a"), rng=np.random.default_rng(1), digits=1)
    assert plain.value == pytest.approx(arrays.value, rel=1e-12)


def test_tolerance_of_digits():
    assert tolerance(31.66, 2) == 0.5
    assert tolerance(0.0539, 1) == pytest.approx(0.005)
    assert tolerance(0.0, 2) == 0.0


def test_what_cannot_be_taken_is_named():
    rng = np.random.default_rng(1)
    with pytest.raises(BadInput, match="freedom is 0"):
        coverage_factor(0.5)
    with pytest.raises(BadInput, match="probability is 1"):
        coverage_factor(5, probability=1.0)
    with pytest.raises(BadInput, match="no place was read twice"):
        pooled([[1.0], [2.0]])
    with pytest.raises(BadInput, match="1 readings for x"):
        repeated([1.0], "x")
    with pytest.raises(BadInput, match=r"columns of \[2, 3\]"):
        repeated_together([[1, 2], [1, 2, 3]], "x")
    with pytest.raises(BadInput, match="2 x and 2 y"):
        fitted_line([1, 2], [1, 2], "x")
    with pytest.raises(BadInput, match="all x are the same"):
        fitted_line([1, 1, 1], [1, 2, 3], "x")
    with pytest.raises(BadInput, match="digits 0"):
        monte_carlo(np.exp, exact(1.0), rng=rng, digits=0)
    with pytest.raises(BadInput, match="most is 10"):
        monte_carlo(np.exp, exact(1.0), rng=rng, most=10)
    with pytest.raises(OutOfRange, match="trials gave no finite number"):
        monte_carlo(lambda x: np.where(x > 0, x, np.inf), single(0, 1, "a"), rng=rng)
    with pytest.raises(BadInput, match="f -1"):
        f_tail(-1.0, 2, 3)
