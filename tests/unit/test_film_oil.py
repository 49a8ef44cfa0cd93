"""Oils and grades where the cases of tests/validation do not reach."""

import math

import pytest

from tenths.calc.film.grades import grade, middle_oil
from tenths.calc.film.oil import Oil, blended, viscosity_index, walther
from tenths.errors import BadInput, OutOfRange

CELSIUS = 273.15


@pytest.mark.parametrize(
    ("celsius", "expected"), [(0, 1233.1), (20, 241.0), (60, 30.08), (80, 15.18), (120, 5.742), (150, 3.442)]
)
def test_the_chart_line_at_other_temperatures(celsius, expected):
    """[D341] Eq. 1 through 73.30 at 40 and 8.86 at 100 degC, worked out independently."""
    line = walther([CELSIUS + 40, CELSIUS + 100], [73.30e-6, 8.86e-6])
    assert line.kinematic(CELSIUS + celsius) * 1e6 == pytest.approx(expected, rel=5e-4)


def test_more_than_two_points_on_a_line_give_the_same_line():
    """Least squares through points of one line is that line."""
    exact = walther([CELSIUS + 40, CELSIUS + 100], [73.30e-6, 8.86e-6])
    points = [CELSIUS + t for t in (0, 20, 60, 80, 120)]
    again = walther(points, [exact.kinematic(t) for t in points])
    assert (again.a, again.b) == pytest.approx((exact.a, exact.b), abs=1e-9)


@pytest.mark.parametrize("joint", [3.8, 4.4, 5.0, 6.4, 7.0, 7.7, 9.0, 12.0, 15.0, 18.0, 22.0, 28.0, 40.0, 55.0, 70.0])
def test_index_has_no_step_where_its_coefficients_change(joint):
    """[D2270] is one curve; its table of coefficients joins to a tenth of L and H, some tenths of the index."""
    for ratio in (6.0, 9.0):
        below, above = (viscosity_index(at_40=y * ratio * 1e-6, at_100=y * 1e-6) for y in (joint - 1e-6, joint + 1e-6))
        assert below == pytest.approx(above, abs=1.2)


def test_shear_thins_to_what_the_high_shear_test_gave():
    oil = Oil(walther([CELSIUS + 40, CELSIUS + 100], [90e-6, 14.4e-6]), high_shear=3.7e-3)
    assert oil.viscosity(CELSIUS + 150, shear_rate=1e6) == pytest.approx(3.7e-3, rel=1e-12)
    slow, fast = oil.viscosity(CELSIUS + 100), oil.viscosity(CELSIUS + 100, shear_rate=1e7)
    assert slow > oil.viscosity(CELSIUS + 100, shear_rate=1e5) > fast
    # [Cross]: never below the second plateau, whose ratio to the first the test at 150 degC fixes
    top = oil.viscosity(CELSIUS + 150)
    assert fast / slow > 2 * 3.7e-3 / top - 1


def test_a_high_shear_viscosity_that_cannot_be_is_refused():
    oil = Oil(walther([CELSIUS + 40, CELSIUS + 100], [90e-6, 14.4e-6]), high_shear=9e-3)
    with pytest.raises(OutOfRange, match=r"high_shear is 9 mPa s: .* fits this oil"):
        oil.viscosity(CELSIUS + 100, shear_rate=1e6)


def test_fuel_thins():
    """[Maples] by hand: ln ln 15.2 = 1.00111 and ln ln 1.3 = -1.33802; 95 and 5 parts give 0.88415, which is 10.456 mm2/s."""
    clean = Oil(walther([CELSIUS + 40, CELSIUS + 100], [90e-6, 14.4e-6]))
    diluted = Oil(clean.line, fuel=0.05)
    assert diluted.viscosity(CELSIUS + 100) / clean.viscosity(CELSIUS + 100) == pytest.approx(10.456 / 14.4, rel=1e-3)
    assert blended(14.4e-6, thinner=0.5e-6, share=0.0) == pytest.approx(14.4e-6)


@pytest.mark.parametrize("name", ["0W-16", "0W-20", "5W-30", "10W-40", "15W-40", "20W-50", "30", "40", "50"])
def test_a_middle_oil_fits_its_grade(name):
    """Limits of [J300]."""
    oil, limits = middle_oil(name), grade(name)
    assert limits.least <= oil.line.kinematic(CELSIUS + 100) < limits.below
    assert oil.viscosity(CELSIUS + 150, shear_rate=1e6) >= limits.high_shear * (1 - 1e-9)


@pytest.mark.parametrize("name", ["", "W", "7W-30", "10W-45", "thick", "10W-", "-40"])
def test_no_grade_is_refused_by_name(name):
    with pytest.raises(BadInput, match=r"grade is .*: one of 0W, 5W"):
        middle_oil(name)


def test_a_cold_grade_alone_has_no_middle():
    assert math.isinf(grade("10W").below)
    with pytest.raises(BadInput, match="a grade with a hot number"):
        middle_oil("10W")


def test_lines_ask_for_two_different_falling_points():
    with pytest.raises(BadInput, match="two or more pairs"):
        walther([300.0], [1e-5])
    with pytest.raises(BadInput, match="all the same"):
        walther([300.0, 300.0], [1e-5, 2e-5])
    with pytest.raises(OutOfRange, match="rise with temperature"):
        walther([300.0, 350.0], [1e-5, 2e-5])
