"""What must hold of every typed number and every text whatever."""

import math
import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from tenths.engine.quantity import Quantity, Typed, exact, from_si, parse, unit_for, unit_of, write
from tenths.engine.units import UNITS
from tenths.errors import BadInput, OutOfRange
from typed_reader import node, read_in_javascript, read_in_python, table

HARD = "\u00a0\u2009\u2212\u2013\u2032½⅝\u200b\uff15٣\u202e"
SIGNS = "0123456789" * 3 + ".,+-/ '\"°eE%:µμ²³·" + "inmftlbNcgFCKrpsdhuoHO2" + HARD
PIECES = st.sampled_from(
    [
        *(unit.name for unit in UNITS),
        *(alias for unit in UNITS for alias in unit.aliases),
        "2.2485",
        "1/4",
        "57,111",
        "2,248",
        "0",
        "21",
        " ",
        "-",
        "+",
        ".",
        ",",
        "/",
        "e-3",
        "'",
        '"',
        "30",
        "1",
        "inf",
        "nan",
    ]
)
TEXTS = st.one_of(
    st.text(max_size=100),
    st.text(SIGNS, max_size=20),
    st.lists(PIECES, max_size=5).map("".join),
    st.lists(PIECES, max_size=5).map(" ".join),
    st.sampled_from([c["text"] for c in table()]),
)
QUANTITIES = st.sampled_from(list(Quantity))
METRIC = st.sampled_from(["inch", "metric"])


@given(text=TEXTS, quantity=QUANTITIES, system=METRIC, allow=st.booleans())
@example(text="9" * 10**6, quantity=Quantity.LENGTH, system="inch", allow=False)
@example(text="\ud800", quantity=Quantity.LENGTH, system="inch", allow=False)
@settings(max_examples=1500, deadline=None)
def test_any_text_is_read_or_refused(text, quantity, system, allow):
    typed = read(text, quantity, unit_for(quantity, system), allow_deviation=allow)
    if isinstance(typed, BadInput):
        assert re.match("size: “", str(typed))
        assert len(str(typed)) < 700
        return
    assert typed.text == text
    assert math.isfinite(typed.si)
    assert typed.step >= 0
    assert not typed.deviation or allow


def read(text, quantity, unit, *, allow_deviation):
    try:
        return parse(text, quantity, default_unit=unit, allow_deviation=allow_deviation, field="size")
    except BadInput as error:
        return error


@st.composite
def written(draw):
    unit = draw(st.sampled_from(UNITS))
    number = draw(st.floats(-1e6, 1e6, allow_nan=False))
    si = (Fraction(number) + unit.offset) * unit.factor
    si = float(abs(si)) if unit.quantity in {Quantity.TEMPERATURE, Quantity.COUNT} else float(si)
    u = draw(st.one_of(st.none(), st.floats(1e-6, 1e3))) if unit.quantity is not Quantity.COUNT else None
    return unit, si, u and u * float(unit.factor)


@given(written())
@example((unit_of(Quantity.SPEED, "rpm"), 0.68, 0.005))
@settings(max_examples=1500, deadline=None)
def test_what_is_written_is_read_back_as_meant(case):
    unit, si, u = case
    text = write(si, unit.quantity, unit=unit.name, uncertainty=u)
    place = Fraction(last_place(unit, u)) * unit.factor
    # so near to absolute zero that rounding may carry it below
    assume(unit.quantity is not Quantity.TEMPERATURE or si > place)
    typed = parse(text, unit.quantity, default_unit=unit.name)
    assert abs(exact(typed) - Fraction(si)) <= place / 2


def last_place(unit, u):
    """One of the last place that should have been written, in the unit."""
    exponent = Decimal(f"{u / float(unit.factor):.1e}").adjusted() - 1 if u else -unit.places
    return Decimal(1).scaleb(-2 if unit.name == "rpm" and exponent == -3 else exponent)


@pytest.mark.parametrize(
    ("si", "quantity", "unit", "u", "expected"),
    [
        (0.0571119, Quantity.LENGTH, "in", None, "2.2485 in"),
        (0.0571119, Quantity.LENGTH, "in", 2.54e-6, "2.24850 in"),  # u = 0.00010 in
        (0.0571119, Quantity.LENGTH, "in", 0.0012 * 0.0254, "2.2485 in"),
        (0.0571119, Quantity.LENGTH, "mm", 5e-6, "57.1119 mm"),
        (0.0571119, Quantity.LENGTH, "mm", 5e-4, "57.11 mm"),
        (0.0571119, Quantity.LENGTH, "µm", 0.5e-3, "57110 µm"),  # u = 500 µm
        (5.334e-5, Quantity.LENGTH, "thou", 2.54e-6, "2.10 thou"),
        (5.334e-5, Quantity.LENGTH, "tenths", 2.54e-6, "21.0 tenths"),
        (-1e-9, Quantity.LENGTH, "in", None, "0.0000 in"),
        (-0.000127, Quantity.LENGTH, "in", None, "-0.0050 in"),
        (293.15, Quantity.TEMPERATURE, "°F", None, "68.0 °F"),
        (293.15, Quantity.TEMPERATURE, "°C", 0.5, "20.00 °C"),
        (10.524, Quantity.RATIO, "", 0.031, "10.524"),
        (10.524, Quantity.RATIO, "", 0.31, "10.52"),
        (0.125, Quantity.RATIO, "%", None, "12.5 %"),
        (1234.0, Quantity.FORCE, "N", 250.0, "1230 N"),
        (0.68, Quantity.SPEED, "rpm", 0.005, "6.49 rpm"),  # u = 0.048 rpm; 6.494 would look like thousands
        (1235.0, Quantity.FORCE, "N", 0.996, "1235.0 N"),  # 0.996 to two figures is 1.0
    ],
)
def test_two_figures_of_the_uncertainty_decide_the_last_place(si, quantity, unit, u, expected):
    assert write(si, quantity, unit=unit, uncertainty=u) == expected


def test_asking_for_decimals_never_adds_to_what_is_known():
    assert write(0.0571119, Quantity.LENGTH, unit="mm", decimals=2) == "57.11 mm"
    assert write(0.0571119, Quantity.LENGTH, unit="mm", decimals=6, uncertainty=5e-4) == "57.11 mm"
    assert write(0.0571119, Quantity.LENGTH, unit="mm", decimals=1, uncertainty=5e-6) == "57.1 mm"


@pytest.mark.parametrize(("si", "u"), [(math.nan, None), (math.inf, None), (1.0, math.nan), (1.0, math.inf)])
def test_what_is_not_finite_is_never_written(si, u):
    with pytest.raises(OutOfRange, match="length"):
        write(si, Quantity.LENGTH, unit="mm", uncertainty=u)


def test_a_difference_of_temperatures_has_no_zero():
    assert from_si(293.15, Quantity.TEMPERATURE, "°F") == pytest.approx(68.0, abs=1e-9)
    assert from_si(10.0, Quantity.TEMPERATURE, "°F", difference=True) == pytest.approx(18.0, rel=1e-15)
    assert from_si(0.0571119, Quantity.LENGTH, "in") == pytest.approx(2.2485, rel=1e-15)


@given(st.integers(-(10**9), 10**9), st.integers(0, 8))
def test_decimals_in_inches_are_exact(mantissa, places):
    typed: Typed = parse(f"{Decimal(mantissa).scaleb(-places):f}", Quantity.LENGTH, default_unit="in")
    assert exact(typed) == Fraction(mantissa, 10**places) * Fraction(254, 10000)
    assert Fraction(typed.step) == Fraction(1, 10**places)


@pytest.mark.skipif(not node(), reason="node is not installed: the page's reader was not run")
def test_both_readers_agree_on_any_text(tmp_path):
    cases = []

    @given(text=TEXTS, quantity=QUANTITIES, system=METRIC, allow=st.booleans())
    @settings(max_examples=3000, deadline=None, database=None)
    def gather(text, quantity, system, allow):
        cases.append(
            {
                "text": text,
                "quantity": str(quantity),
                "default_unit": unit_for(quantity, system),
                "deviation_allowed": allow,
                "field": "size",
            }
        )

    gather()
    answers = read_in_javascript(cases, tmp_path)
    ours = [read_in_python(case) for case in cases]
    assert len(ours) > 2000
    assert sum("value" in answer for answer in ours) > 50
    assert [trio for trio in zip(cases, ours, answers, strict=True) if trio[1] != trio[2]] == []
