"""Gauge studies: pooling, charts and what is refused."""

import pytest

from tenths.errors import BadInput
from tenths.metrology.estimate import exact
from tenths.metrology.instrument import reading_estimate
from tenths.metrology.joint import joint
from tenths.metrology.risk import global_risk
from tenths.metrology.studies import (
    analysis_of_variance,
    average_and_range,
    bias,
    linearity,
    one_way,
    stability,
    with_biases,
    with_study,
)
from tenths.metrology.templates import from_template

# Two parts, two people, two trials; people disagree about one part only.
CROSSED = [[[10.0, 10.2], [12.0, 12.2]], [[20.0, 20.2], [20.0, 20.2]]]


def test_interaction_that_is_there_is_not_pooled():
    # By hand: cell means 10.1 12.1 20.1 20.1; interaction squares 2 (0.5^2) 4 = 2; error squares 4 (0.02) = 0.08.
    study = analysis_of_variance(CROSSED)
    lines = {line.name: line for line in study.table}
    assert not study.pooled
    assert lines["part x person"].squares == pytest.approx(2.0)
    assert lines["repeatability"].squares == pytest.approx(0.08)
    assert study.repeatability == pytest.approx(0.02**0.5)
    # People: squares 2 against an interaction of 2: nothing of their own; interaction (2 - 0.02) / 2.
    assert study.reproducibility == pytest.approx(0.99**0.5)


def test_chart_names_what_is_outside_and_what_drifts():
    quiet = [[0.0, 1.0, 0.0, 1.0, 0.5]] * 10
    jump = [*quiet, [5.0, 6.0, 5.0, 6.0, 5.5]]
    chart = stability(jump)
    assert chart.outside == (10,)
    assert stability([*quiet, [0.0, 9.0, 0.0, 0.5, 0.5]]).outside == (10,)
    drift = stability([[x - 0.5, x + 0.5] for x in (0.0, *[0.1] * 3, *[0.2] * 8)])
    assert drift.drifting == (11,)
    assert drift.outside == ()


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="a full table"):
        analysis_of_variance([[[1.0, 2.0], [1.0]], [[1.0, 2.0], [1.0, 2.0]]])
    with pytest.raises(BadInput, match="4 trials: 2 to 10"):
        average_and_range([[[1.0, 2.0, 3.0, 4.0]] * 2] * 2)
    with pytest.raises(BadInput, match="do not scatter"):
        analysis_of_variance([[[1.0, 1.0], [1.0, 1.0]], [[2.0, 2.0], [2.0, 2.0]]])
    with pytest.raises(BadInput, match=r"groups of \[1\]"):
        one_way([[1.0]])
    with pytest.raises(BadInput, match="all readings are the same"):
        bias([1.0, 1.0], master=1.0)
    with pytest.raises(BadInput, match="1 sets of readings for 2 masters"):
        linearity([1.0, 2.0], [[1.0]])
    with pytest.raises(BadInput, match=r"sizes \[2, 3\]"):
        stability([[1.0, 2.0], [1.0, 2.0, 3.0]])
    with pytest.raises(BadInput, match="tolerance is 0"):
        analysis_of_variance(CROSSED).of_tolerance(0.0)
    with pytest.raises(BadInput, match="process_deviation 0"):
        global_risk(process_mean=0, process_deviation=0, u=1, lower=None, upper=1)
    with pytest.raises(BadInput, match="1 pairs of limits for 2 findings"):
        joint([exact(1), exact(2)], [(0, 3)])


def test_a_study_feeds_the_instrument():
    gauge = with_study(from_template("outside-micrometer-inch", "mic"), analysis_of_variance(CROSSED))
    reading = reading_estimate(0.05, instrument=gauge, reading_id="r", operator="ann")
    assert reading.parts["repeat:r"] == pytest.approx(0.02**0.5)
    assert reading.freedom["repeat:r"] == 4
    assert reading.parts["operator:ann/mic"] == pytest.approx(0.99**0.5)


def test_biases_on_two_masters_become_calibration_points():
    large, small = bias([10.2, 10.4], master=10.0), bias([1.0, 1.2], master=1.0)
    gauge = with_biases(from_template("scale", "s"), [(10.0, 0.3, large), (1.0, 0.0, small)])
    # Means 10.3 and 1.1; half the range over 1: standard deviation of a mean of two is half their difference.
    assert gauge.scale_error(10.0) == (pytest.approx(0.3), pytest.approx((0.1**2 + 0.3**2) ** 0.5))
    assert gauge.scale_error(5.5) == (pytest.approx(0.2), pytest.approx((0.1 + 0.1**0.5) / 2))
    with pytest.raises(BadInput, match="no master was read"):
        with_biases(gauge, [])
