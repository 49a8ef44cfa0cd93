"""Formulas against values from outside; the cases are data, with where each value comes from."""

import pytest
from make_validation import (
    ORIGINS,
    PAGE,
    UNVALIDATED,
    bibliography_keys,
    load_cases,
    page,
    pairs,
    public_functions,
    result_of,
    to_si,
    unvalidated,
)

CASES = load_cases()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.function}: {case.name}")
def test_value_agrees_with_its_source(case):
    absolute = to_si(case.tolerance.get("abs", 0.0))
    relative = case.tolerance.get("rel", 0.0)
    for at, expected, found in pairs(case.expected, result_of(case)):
        wanted = to_si(expected)
        if isinstance(wanted, str | bool):
            assert found == wanted, at
        else:
            assert found == pytest.approx(wanted, rel=relative, abs=absolute), at


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.function}: {case.name}")
def test_case_says_where_its_value_comes_from(case):
    assert case.origin in ORIGINS
    assert case.tolerance
    assert set(case.tolerance) <= {"abs", "rel"}
    assert case.why
    assert case.locator
    assert case.function in public_functions() | public_functions("tenths.metrology")
    if case.source or case.origin in {"published", "from-memory"}:
        assert case.source in bibliography_keys()


def test_case_names_differ():
    names = [(case.function, case.name) for case in CASES]
    assert len(names) == len(set(names))


def test_page_of_validation_is_up_to_date():
    # To bring it up to date: python docs/make_validation.py
    assert PAGE.read_text("utf-8") == page(CASES)
    assert UNVALIDATED.read_text("utf-8").split() == unvalidated(CASES)
