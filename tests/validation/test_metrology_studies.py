"""Gauge studies: the published study by both methods, NIST data sets, and statsmodels."""

import math
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import scipy.stats
import statsmodels.api
from statsmodels.formula.api import ols

from tenths.metrology.studies import analysis_of_variance, average_and_range, bias, linearity, one_way, stability
from tenths.metrology.typea import fitted_line, pooled

NIST = Path(scipy.stats.__file__).parent / "tests" / "data"

# Ten parts, three people, three trials (AIAG, Measurement Systems Analysis, chapter III).
TABLE = """
0.29 -0.56 1.34 0.47 -0.80 0.02 0.59 -0.31 2.26 -1.36
0.41 -0.68 1.17 0.50 -0.92 -0.11 0.75 -0.20 1.99 -1.25
0.64 -0.58 1.27 0.64 -0.84 -0.21 0.66 -0.17 2.01 -1.31
0.08 -0.47 1.19 0.01 -0.56 -0.20 0.47 -0.63 1.80 -1.68
0.25 -1.22 0.94 1.03 -1.20 0.22 0.55 0.08 2.12 -1.62
0.07 -0.68 1.34 0.20 -1.28 0.06 0.83 -0.34 2.19 -1.50
0.04 -1.38 0.88 0.14 -1.46 -0.29 0.02 -0.46 1.77 -1.49
-0.11 -1.13 1.09 0.20 -1.07 -0.67 0.01 -0.56 1.45 -1.77
-0.15 -0.96 0.67 0.11 -1.45 -0.49 0.21 -0.49 1.87 -2.16
"""
STUDY = (
    np.array([[float(x) for x in line.split()] for line in TABLE.split("\n") if line])
    .reshape(3, 3, 10)
    .transpose(2, 0, 1)
    .tolist()
)


def shares(study):
    return [100 * x / study.total for x in (study.repeatability, study.reproducibility, study.gauge, study.part)]


def test_average_and_range():
    # Published: EV 0.20188, AV 0.22963, GRR 0.30575, PV 1.10456, TV 1.14610; 17.62, 20.04, 26.68, 96.38 %; ndc 5.
    # From memory; the published figures carry averages and factors rounded to four decimals.
    study = average_and_range(STUDY)
    found = (study.repeatability, study.reproducibility, study.gauge, study.part, study.total)
    assert found == pytest.approx((0.20188, 0.22963, 0.30575, 1.10456, 1.14610), abs=1.5e-4)
    assert shares(study) == pytest.approx([17.62, 20.04, 26.68, 96.38], abs=0.015)
    assert study.categories == 5


def test_analysis_of_variance_table():
    # Published: SS 88.3619 (9), 3.1673 (2), 0.3590 (18), 2.7589 (60); F of the interaction 0.434: pooled.
    study = analysis_of_variance(STUDY)
    lines = {line.name: line for line in study.table}
    assert study.pooled
    assert [lines[n].squares for n in ("part", "person", "part x person")] == pytest.approx(
        [88.3619, 3.1673, 0.3590], abs=6e-5
    )
    assert [lines[n].freedom for n in lines] == [9, 2, 18, 78]
    assert lines["repeatability"].squares == pytest.approx(0.3590 + 2.7589, abs=6e-5)
    assert lines["part x person"].ratio == pytest.approx(0.4337, abs=5e-5)
    assert lines["part"].ratio == pytest.approx(245.614, abs=5e-3)
    assert lines["person"].ratio == pytest.approx(39.617, abs=5e-3)


def test_analysis_of_variance_components():
    # Published: EV 0.199933, AV 0.226838, GRR 0.302373, PV 1.042327, TV 1.0853; 18.4, 20.9, 27.9, 96.0 %; ndc 4.
    study = analysis_of_variance(STUDY)
    found = (study.repeatability, study.reproducibility, study.gauge, study.part, study.total)
    assert found == pytest.approx((0.199933, 0.226838, 0.302373, 1.042327, 1.085300), abs=2e-6)
    assert shares(study) == pytest.approx([18.42, 20.90, 27.86, 96.04], abs=0.005)
    assert study.categories == 4
    assert study.of_tolerance(8.0) == pytest.approx(6 * 0.302373 / 8, rel=1e-5)


def test_unpooled_table_agrees_with_statsmodels():
    frame = pd.DataFrame(
        [
            {"part": str(i), "person": str(p), "x": x}
            for i, part in enumerate(STUDY)
            for p, cell in enumerate(part)
            for x in cell
        ]
    )
    fit = ols("x ~ C(part) * C(person)", frame).fit()
    theirs = statsmodels.api.stats.anova_lm(fit)
    study = analysis_of_variance(STUDY, pool_above=1.0)
    assert not study.pooled
    assert [line.squares for line in study.table] == pytest.approx(list(theirs["sum_sq"]), rel=1e-9)
    crossed = study.table[2]
    assert crossed.chance == pytest.approx(theirs["PR(>F)"]["C(part):C(person)"], rel=1e-9)
    # Random people and parts are held against the interaction, not against the error as a fixed model does.
    assert study.table[1].ratio == pytest.approx(study.table[1].mean_square / crossed.mean_square)


def test_nist_silicon_resistivity():
    # NIST StRD SiRstv, certified; the data are read from the file itself.
    lines = (NIST / "nist_anova" / "SiRstv.dat").read_text("utf-8").splitlines()[60:85]
    groups = {}
    for line in lines:
        name, value = line.split()
        groups.setdefault(name, []).append(float(value))
    between, within = one_way(list(groups.values()))
    assert (between.freedom, within.freedom) == (4, 20)
    assert between.squares == pytest.approx(5.11462616000000e-02, rel=1e-12)
    assert within.squares == pytest.approx(2.16636560000000e-01, rel=1e-12)
    assert between.ratio == pytest.approx(1.18046237440255, rel=1e-12)
    assert math.sqrt(within.mean_square) == pytest.approx(1.04076068334656e-01, rel=1e-12)
    assert pooled(list(groups.values())).deviation == pytest.approx(1.04076068334656e-01, rel=1e-12)


def test_nist_norris():
    # NIST StRD Norris, certified: intercept, slope, their standard deviations, residual standard deviation.
    rows = (NIST / "nist_linregress" / "Norris.dat").read_text("utf-8").splitlines()[60:96]
    y, x = zip(*(tuple(map(float, row.split())) for row in rows), strict=True)
    line = fitted_line(x, y, "norris")
    assert line.intercept.value == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope.value == pytest.approx(1.00211681802045, rel=1e-13)
    assert line.intercept.u == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.slope.u == pytest.approx(0.429796848199937e-03, rel=1e-11)
    assert line.spread.deviation == pytest.approx(0.884796396144373, rel=1e-12)


def test_bias_against_scipy():
    readings = [5.8, 5.7, 5.9, 5.9, 6.0, 6.1, 6.0, 6.1, 6.4, 6.3, 6.0, 6.1, 6.2, 5.6, 6.0]
    found = bias(readings, master=6.0)
    theirs = scipy.stats.ttest_1samp(readings, 6.0)
    interval = theirs.confidence_interval(0.95)
    assert found.chance == pytest.approx(theirs.pvalue, rel=1e-9)
    assert (found.low, found.high) == pytest.approx((interval.low - 6.0, interval.high - 6.0), abs=1e-9)
    assert not found.shown
    assert found.amount == pytest.approx(0.0067, abs=5e-5)  # published, from memory


LINEARITY = [
    [2.7, 2.5, 2.4, 2.5, 2.7, 2.3, 2.5, 2.5, 2.4, 2.4, 2.6, 2.4],
    [5.1, 3.9, 4.2, 5.0, 3.8, 3.9, 3.9, 3.9, 3.9, 4.0, 4.1, 3.8],
    [5.8, 5.7, 5.9, 5.9, 6.0, 6.1, 6.0, 6.1, 6.4, 6.3, 6.0, 6.1],
    [7.6, 7.7, 7.8, 7.7, 7.8, 7.8, 7.8, 7.7, 7.8, 7.5, 7.6, 7.7],
    [9.1, 9.3, 9.5, 9.3, 9.4, 9.5, 9.5, 9.5, 9.6, 9.2, 9.3, 9.4],
]


def test_linearity():
    # Published: bias = 0.737 - 0.132 x, R-sq 71.4 %, s 0.24 (AIAG); data from memory, confirmed by the result.
    found = linearity([2, 4, 6, 8, 10], LINEARITY)
    assert found.line.intercept.value == pytest.approx(0.737, abs=5e-4)
    assert found.line.slope.value == pytest.approx(-0.132, abs=5e-4)
    assert found.explained == pytest.approx(0.714, abs=5e-4)
    sizes = np.repeat([2, 4, 6, 8, 10], 12)
    theirs = scipy.stats.linregress(sizes, np.ravel(LINEARITY) - sizes)
    assert found.slope_chance == pytest.approx(theirs.pvalue, rel=1e-6)
    assert found.line.slope.u == pytest.approx(theirs.stderr, rel=1e-9)


@pytest.mark.parametrize("size", range(2, 11))
def test_chart_factors_follow_from_the_distribution_of_the_range(size):
    # A2 = 3 / (d2 sqrt n), D4 = 1 + 3 d3 / d2, D3 = max(0, 1 - 3 d3 / d2); d2 and d3 integrated by scipy.
    def tail(x):
        return 1 - scipy.stats.studentized_range.cdf(x, size, np.inf)

    d2 = scipy.integrate.quad(tail, 0, 12)[0]
    d3 = math.sqrt(2 * scipy.integrate.quad(lambda x: x * tail(x), 0, 12)[0] - d2 * d2)
    base = [0.0] * (size - 1)
    chart = stability([[*base, 1.0], [1.0, *base]])
    assert chart.high - chart.centre == pytest.approx(3 / (d2 * math.sqrt(size)), abs=6e-4)
    assert chart.range_high == pytest.approx(1 + 3 * d3 / d2, abs=1.5e-3)
    assert chart.range_low == pytest.approx(max(0.0, 1 - 3 * d3 / d2), abs=1.5e-3)
