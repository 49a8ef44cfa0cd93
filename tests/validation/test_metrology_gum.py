"""Worked examples of the GUM, annex H: end gauge, resistance and reactance, calibration line."""

import math

import GTC
import pytest

from tenths.metrology.coverage import expanded
from tenths.metrology.estimate import combine, correlation, propagate, single
from tenths.metrology.typea import fitted_line, repeated, repeated_together

NM = 1e-9


def end_gauge(standard, difference, expansion_difference, mean_temperature, expansion, temperature_difference):
    """JCGM 100:2008 Eq. H.3, in metres and kelvin."""
    return (
        standard
        + difference
        - standard * (expansion_difference * mean_temperature + expansion * temperature_difference)
    )


def h1_inputs():
    half = 1 / math.sqrt(3)
    comparator = [single(0.0, u * NM, f"d:{u}", freedom=nu) for u, nu in ((5.8, 24), (3.9, 5), (6.7, 8))]
    return (
        single(50.000623e-3, 25 * NM, "standard", freedom=18),
        combine((1, 1, 1), comparator, constant=215 * NM),
        single(0.0, 1e-6 * half, "expansion difference", freedom=50, shape="rectangular"),
        combine((1, 1), (single(-0.1, 0.2, "mean"), single(0.0, 0.5 / math.sqrt(2), "swing", shape="arcsine"))),
        single(11.5e-6, 2e-6 * half, "expansion", shape="rectangular"),
        single(0.0, 0.05 * half, "temperature difference", freedom=2, shape="rectangular"),
    )


def test_end_gauge_first_order():
    # Published: l = 50.000838 mm, u = 32 nm (components 25, 9.7, 2.9, 16.6), nu 16, k99 2.92, U99 93 nm.
    result = propagate(end_gauge, *h1_inputs())
    length = result.estimate
    assert length.value == pytest.approx(50.000838e-3, abs=0.5 * NM)
    assert length.u / NM == pytest.approx(31.66, abs=0.05)
    assert [abs(x) / NM for x in result.by_input] == pytest.approx([25, 9.7, 2.9, 0, 0, 16.6], abs=0.05)
    certificate = expanded(length, probability=0.99)
    assert math.floor(certificate.freedom) == 16
    assert certificate.factor == pytest.approx(2.92, abs=0.005)
    assert certificate.amount / NM == pytest.approx(93, abs=1.0)  # published with u rounded up to 32


def test_end_gauge_second_order():
    # Published (H.1.7): two further terms, 11.7 and 1.7 nm, make it 34 nm.
    result = propagate(end_gauge, *h1_inputs())
    extra = result.curvature * result.estimate.u / NM
    assert extra == pytest.approx(math.hypot(11.7, 1.7), abs=0.1)
    assert math.hypot(result.estimate.u / NM, extra) == pytest.approx(34, abs=0.5)
    assert result.shift == pytest.approx(0.0, abs=1e-3 * NM)


def test_end_gauge_degrees_of_freedom_agree_with_gtc():
    half = 1 / math.sqrt(3)
    standard = GTC.ureal(50.000623e-3, 25 * NM, 18)
    difference = 215 * NM + sum(GTC.ureal(0, u * NM, nu) for u, nu in ((5.8, 24), (3.9, 5), (6.7, 8)))
    theirs = end_gauge(
        standard,
        difference,
        GTC.ureal(0, 1e-6 * half, 50),
        GTC.ureal(-0.1, 0.2) + GTC.ureal(0, 0.5 / math.sqrt(2)),
        GTC.ureal(11.5e-6, 2e-6 * half),
        GTC.ureal(0, 0.05 * half, 2),
    )
    ours = propagate(end_gauge, *h1_inputs()).estimate
    assert ours.u == pytest.approx(theirs.u, rel=1e-7)
    assert expanded(ours).freedom == pytest.approx(theirs.df, rel=1e-6)


VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPERES = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
PHASES = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def test_resistance_and_reactance_from_simultaneous_readings():
    # JCGM 100:2008 tables H.2 to H.4.
    observed = repeated_together((VOLTS, AMPERES, PHASES), "observed")
    assert [x.u for x in observed] == pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.02)
    assert correlation(observed)[[0, 0, 1], [1, 2, 2]] == pytest.approx([-0.36, 0.86, -0.65], abs=0.006)
    results = [
        propagate(formula, *observed).estimate
        for formula in (
            lambda v, i, p: v / i * math.cos(p),
            lambda v, i, p: v / i * math.sin(p),
            lambda v, i, _: v / i,
        )
    ]
    assert [x.value for x in results] == pytest.approx([127.732, 219.847, 254.260], abs=0.0006)
    assert [x.u for x in results] == pytest.approx([0.071, 0.295, 0.236], abs=0.0006)
    assert correlation(results)[[0, 0, 1], [1, 2, 2]] == pytest.approx([-0.588, -0.485, 0.993], abs=0.0006)


TEMPERATURES = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
CORRECTIONS = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)


def test_calibration_line_of_a_thermometer():
    # JCGM 100:2008 H.3, data of table H.6 from memory; that they give the published results confirms them.
    line = fitted_line(TEMPERATURES, CORRECTIONS, "thermometer", origin=20.0)
    assert line.intercept.value == pytest.approx(-0.1712, abs=0.00005)
    assert line.intercept.u == pytest.approx(0.0029, abs=0.00005)
    assert line.slope.value == pytest.approx(0.00218, abs=0.000005)
    assert line.slope.u == pytest.approx(0.00067, abs=0.000005)
    assert line.correlation == pytest.approx(-0.930, abs=0.0005)
    assert line.spread.deviation == pytest.approx(0.0035, abs=0.00005)
    assert line.at(30.0).value == pytest.approx(-0.1494, abs=0.00005)
    assert line.at(30.0).u == pytest.approx(0.0041, abs=0.00005)


def test_line_agrees_with_gtc():
    theirs = GTC.type_a.line_fit([t - 20 for t in TEMPERATURES], CORRECTIONS)
    a, b = theirs.a_b
    ours = fitted_line(TEMPERATURES, CORRECTIONS, "thermometer", origin=20.0)
    assert (ours.intercept.value, ours.slope.value) == pytest.approx((a.x, b.x), rel=1e-9)
    assert (ours.intercept.u, ours.slope.u) == pytest.approx((a.u, b.u), rel=1e-9)


def test_repeated_reading_agrees_with_gtc():
    theirs = GTC.type_a.estimate(VOLTS)
    ours = repeated(VOLTS, "volts")
    assert (ours.value, ours.u, ours.freedom["volts"]) == pytest.approx((theirs.x, theirs.u, theirs.df), rel=1e-12)
