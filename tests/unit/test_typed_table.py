"""The shared table of typed numbers, read by both readers. Its values were reasoned by hand, case by case."""

from collections import Counter
from decimal import Decimal
from math import pi

import make_typed_numbers
import pytest

from tenths.engine.quantity import Quantity, exact, parse, unit_for
from tenths.engine.units import UNITS, by_key, unit_key, unit_of
from tenths.engine.written import lower
from tenths.errors import BadInput
from typed_reader import node, read_in_javascript, read_in_python, table

CASES = table()
needs_node = pytest.mark.skipif(not node(), reason="node is not installed: the page's reader was not run")


def holds(case, answer):
    if "refuse" in case:
        return answer.get("kind") == "BadInput" and case["refuse"] in answer["error"]
    wanted = case["accept"]
    return "error" not in answer and (Decimal(answer["value"]), answer["unit"], Decimal(answer["step"]), answer["deviation"]) == (
        Decimal(wanted["value"]),
        wanted["unit"],
        Decimal(wanted["step"]),
        wanted["deviation"],
    )


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['quantity']}-{c['text'][:24]!r}")
def test_a_case_is_read_as_the_table_says(case):
    assert holds(case, read_in_python(case)), read_in_python(case)


@needs_node
def test_the_page_reads_the_table_alike(tmp_path):
    answers = read_in_javascript(CASES, tmp_path)
    assert len(answers) == len(CASES)
    assert [(c, a) for c, a in zip(CASES, answers, strict=True) if not holds(c, a)] == []
    ours = [read_in_python(c) for c in CASES]
    assert [pair for pair in zip(ours, answers, strict=True) if pair[0] != pair[1]] == []


def test_the_table_covers_every_quantity_both_ways():
    accepted = Counter(c["quantity"] for c in CASES if "accept" in c)
    assert set(accepted) == {str(q) for q in Quantity}
    assert len(CASES) >= 150
    assert len({(c["text"], c["quantity"], c["default_unit"], c["deviation_allowed"]) for c in CASES}) == len(CASES)


def test_refusals_name_the_field_and_what_was_typed():
    for case in CASES:
        if "refuse" in case:
            message = read_in_python(case)["error"]
            assert message.startswith("size: “")
            assert len(message) < 260


# NIST SP 811 (2008), appendix B.8, as printed there (exact ones in full); written down apart from the product's table.
PUBLISHED = {
    ("length", "in"): 2.54e-2,
    ("length", "ft"): 3.048e-1,
    ("length", "µin"): 2.54e-8,
    ("length", "mm"): 1e-3,
    ("length", "µm"): 1e-6,
    ("length", "thou"): 2.54e-5,
    ("length", "tenths"): 2.54e-6,
    ("length", "cm"): 1e-2,
    ("angle", "deg"): 1.745329e-2,
    ("angle", "arcmin"): 2.908882e-4,
    ("angle", "arcsec"): 4.848137e-6,
    ("volume", "in3"): 1.638706e-5,
    ("volume", "L"): 1e-3,
    ("volume", "cc"): 1e-6,
    ("volume", "mm3"): 1e-9,
    ("area", "in2"): 6.4516e-4,
    ("area", "cm2"): 1e-4,
    ("area", "mm2"): 1e-6,
    ("mass", "lb"): 4.535924e-1,
    ("mass", "oz"): 2.834952e-2,
    ("mass", "g"): 1e-3,
    ("mass", "mg"): 1e-6,
    ("force", "lbf"): 4.448222,
    ("force", "kgf"): 9.80665,
    ("force", "kN"): 1e3,
    ("force", "daN"): 10.0,
    ("torque", "lbf ft"): 1.355818,
    ("torque", "lbf in"): 1.129848e-1,
    ("torque", "kgf m"): 9.80665,
    ("torque", "N cm"): 1e-2,
    ("torque", "daN m"): 10.0,
    ("torque", "kgf cm"): 9.80665e-2,
    ("pressure", "psi"): 6.894757e3,
    ("pressure", "ksi"): 6.894757e6,
    ("pressure", "bar"): 1e5,
    ("pressure", "mbar"): 1e2,
    ("pressure", "hPa"): 1e2,
    ("pressure", "kPa"): 1e3,
    ("pressure", "MPa"): 1e6,
    ("pressure", "inHg"): 3.386389e3,
    ("pressure", "mmHg"): 1.333224e2,
    ("pressure", "inH2O"): 2.490889e2,
    ("pressure", "mmH2O"): 9.80665,
    ("pressure", "atm"): 1.01325e5,
    ("pressure", "kgf/cm2"): 9.80665e4,
    ("turning speed", "rpm"): 1.047198e-1,
    ("stiffness", "lbf/in"): 1.751268e2,
    ("stiffness", "N/mm"): 1e3,
    ("stiffness", "kgf/mm"): 9.80665e3,
    ("ratio", "%"): 1e-2,
    ("time", "ms"): 1e-3,
    ("time", "min"): 60.0,
    ("time", "h"): 3600.0,
    ("speed", "ft/min"): 5.08e-3,
    ("speed", "ft/s"): 3.048e-1,
    ("speed", "mph"): 4.4704e-1,
    ("speed", "km/h"): 2.777778e-1,
    ("acceleration", "ft/s2"): 3.048e-1,
    ("acceleration", "g"): 9.80665,
    ("moment of inertia", "kg cm2"): 1e-4,
    ("moment of inertia", "kg m2"): 1.0,
    ("moment of inertia", "kg mm2"): 1e-6,
    ("moment of inertia", "g cm2"): 1e-7,
    ("moment of inertia", "lb in2"): 2.926397e-4,
    ("moment of inertia", "lb ft2"): 4.214011e-2,
    ("stiffness in torsion", "N m/rad"): 1.0,
    ("stiffness in torsion", "kN m/rad"): 1e3,
    ("stiffness in torsion", "N m/deg"): 57.29578,  # over a degree of 1.745329e-2
    ("stiffness in torsion", "lbf in/rad"): 1.129848e-1,
    ("stiffness in torsion", "lbf ft/rad"): 1.355818,
    ("stiffness in torsion", "lbf ft/deg"): 77.68265,  # 1.355818 over 1.745329e-2
    ("viscosity", "mm2/s"): 1e-6,  # the centistoke
    ("viscosity", "m2/s"): 1.0,
    ("dynamic viscosity", "Pa s"): 1.0,
    ("density", "kg/m3"): 1.0,
    ("dynamic viscosity", "mPa s"): 1e-3,  # the centipoise
    ("density", "g/cm3"): 1e3,
    ("density", "lb/in3"): 2.767990e4,
    ("flow of air", "cfm"): 4.719474e-4,  # ft3/min
    ("flow of air", "L/s"): 1e-3,
    ("flow of air", "L/min"): 1.666667e-5,
    ("flow of air", "m3/h"): 2.777778e-4,
    ("flow of air", "m3/min"): 1.666667e-2,
    ("flow of air", "m3/s"): 1.0,
    ("temperature", "°F"): 5 / 9,
    ("temperature difference", "°F"): 5 / 9,
    # products of the factors above
    ("unbalance", "g mm"): 1e-6,
    ("unbalance", "g cm"): 1e-5,
    ("unbalance", "g in"): 2.54e-5,
    ("unbalance", "oz in"): 7.200778e-4,
}
OF_SI = {"m", "rad", "m3", "m2", "kg", "N", "N m", "Pa", "°C", "K", "rad/s", "N/m", "", "s", "kg m", "m/s", "m/s2"}


@pytest.mark.parametrize("unit", UNITS, ids=lambda u: f"{u.quantity}-{u.name}")
def test_factors_are_the_published_ones(unit):
    factor = 1.0 if unit.name in OF_SI else PUBLISHED[unit.quantity, unit.name]
    assert float(unit.factor) == pytest.approx(factor, rel=5e-7)


def si(text, quantity, unit=""):
    return parse(text, quantity, default_unit=unit or unit_for(quantity, "inch")).si


def test_exact_values_worked_out_by_hand():
    q = Quantity
    assert si("2.2485", q.LENGTH) == 0.0571119  # 2.2485 x 0.0254 exactly
    assert si("21 tenths", q.LENGTH) == si("2.1 thou", q.LENGTH) == si(".0021", q.LENGTH) == 5.334e-05
    assert si("68 F", q.TEMPERATURE) == si("20 °C", q.TEMPERATURE) == 293.15
    assert si("32 °F", q.TEMPERATURE) == 273.15
    assert si("18 °F", q.TEMPERATURE_DIFFERENCE) == 10.0
    assert si("75 lbf ft", q.TORQUE) == si("900 lbf in", q.TORQUE)
    assert si("108°30'", q.ANGLE) == si("108.5", q.ANGLE) == pytest.approx(108.5 * pi / 180, rel=1e-15)
    assert si("30000 rpm", q.SPEED) == pytest.approx(1000 * pi, rel=1e-15)
    assert si("3.92 in3", q.VOLUME) == 6.423729088e-05  # 3.92 x 2.54^3 = 64.237 290 88 cc
    assert si("1 lb 5.6 oz", q.MASS) == pytest.approx(21.6 * 28.349523125e-3, rel=1e-15)
    assert exact(parse("57,111 mm", q.LENGTH, default_unit="in")) * 10**6 == 57111


def test_the_last_place_is_kept_in_si():
    read = parse("2.2485", Quantity.LENGTH, default_unit="in")
    assert read.step_si == 2.54e-06
    assert parse("21 tenths", Quantity.LENGTH, default_unit="in").step_si == 2.54e-06
    assert parse("2 1/4", Quantity.LENGTH, default_unit="in").step_si == 0.0
    assert parse("68.5 F", Quantity.TEMPERATURE, default_unit="°C").step_si == pytest.approx(0.1 * 5 / 9)


def test_the_text_is_kept_as_typed():
    assert parse(" 2¼ ", Quantity.LENGTH, default_unit="in").text == " 2¼ "


def test_a_default_unit_that_is_none_is_refused():
    with pytest.raises(BadInput, match="unit: “furlong” is no unit of length; taken are in, thou"):
        parse("2", Quantity.LENGTH, default_unit="furlong")
    assert parse("75", Quantity.TORQUE, default_unit="lb-ft").unit == "lbf ft"


def test_no_way_to_type_a_unit_means_two_of_one_quantity():
    ways = [(u.quantity, key) for u in UNITS for key in (unit_key(u.name), *u.aliases)]
    assert [way for way, times in Counter(ways).items() if times > 1] == []
    assert [key for _, key in by_key() if key not in {unit_key(key), ""} or key != lower(key)] == []
    assert all(unit_of(u.quantity, u.name) is u for u in UNITS)


def test_what_follows_from_the_table_of_units_is_up_to_date():
    # To bring it up to date: python docs/make_typed_numbers.py
    assert make_typed_numbers.MODULE.read_text(encoding="utf-8") == make_typed_numbers.module()
    text = make_typed_numbers.PAGE.read_text(encoding="utf-8")
    assert text == make_typed_numbers.page(text)


@pytest.mark.parametrize(
    ("quantity", "inch", "metric"),
    [
        (Quantity.LENGTH, "in", "mm"),
        (Quantity.VOLUME, "cc", "cc"),
        (Quantity.TORQUE, "lbf ft", "N m"),
        (Quantity.PRESSURE, "psi", "kPa"),
        (Quantity.TEMPERATURE, "°F", "°C"),
        (Quantity.SPEED, "rpm", "rpm"),
        (Quantity.FORCE, "lbf", "N"),
        (Quantity.MASS, "g", "g"),
        (Quantity.ANGLE, "deg", "deg"),
        (Quantity.RATIO, "", ""),
    ],
)
def test_display_units_of_the_trade(quantity, inch, metric):
    assert (unit_for(quantity, "inch"), unit_for(quantity, "metric")) == (inch, metric)


def test_surface_finish_is_read_in_fine_units():
    assert unit_for(Quantity.LENGTH, "inch", fine=True) == "µin"
    assert unit_for(Quantity.LENGTH, "metric", fine=True) == "µm"
