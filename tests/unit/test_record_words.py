"""Words of the record. Expected texts are written by hand, as a person would say them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.record.words import between, counted, day, listed, moment, padded, runs, times, trimmed


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], ""),
        (["engine"], "engine"),
        (["main 1", "main 2", "main 3", "main 5"], "main 1–3, 5"),
        (["main 1", "main 2"], "main 1, 2"),
        (["main 10", "main 9", "main 2"], "main 2, 9, 10"),
        (["top ring 1", "second ring 1", "top ring 2", "top ring 3"], "top ring 1–3; second ring 1"),
        (["main 1, upper shell", "main 2, upper shell", "main 3, upper shell"], "main 1–3, upper shell"),
        (["cylinder L1", "cylinder L2", "cylinder R1"], "cylinder L1, 2; cylinder R1"),
        (["rod 4", "rod 4"], "rod 4"),
    ],
)
def test_places_that_differ_in_a_number_are_said_as_runs(words, said):
    assert runs(words) == said


@given(st.sets(st.integers(0, 40), min_size=1))
def test_a_run_names_every_number_and_no_other(numbers):
    told = runs(f"main {n}" for n in numbers).removeprefix("main ")
    named = set()
    for piece in told.split(", "):
        first, _, last = piece.partition("–")
        named |= set(range(int(first), int(last or first) + 1))
    assert named == numbers


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("2026-03-02T08:15:00.000Z", "2 March 2026"),
        ("2026-12-31", "31 December 2026"),
        ("", ""),
        ("next week", "next week"),
        ("2026-13-01", "2026-13-01"),
    ],
)
def test_days_are_said_in_words_and_other_texts_left_alone(at, said):
    assert day(at) == said


def test_times_of_one_day_name_the_day_once():
    assert times("2026-03-02T08:15:00Z", "2026-03-02T08:42:00Z") == "2 Mar 08:15–08:42"
    assert times("2026-03-02T08:15:00Z", "2026-03-02T08:15:40Z") == "2 Mar 08:15"
    assert moment("2026-03-02T08:15:00Z") == "2 March 2026, 08:15"


@pytest.mark.parametrize(
    ("lower", "upper", "unit", "target", "said"),
    [
        ("0.0015 in", "0.0025 in", "in", "0.0020 in", "0.0015 to 0.0025 in, target 0.0020"),
        ("", "0.002 in", "in", "", "at most 0.002 in"),
        ("1.4", "", "", "", "at least 1.4"),
        ("", "", "in", "", ""),
    ],
)
def test_limits_are_said_in_words(lower, upper, unit, target, said):
    assert between(lower, upper, unit, target) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0.017191234", "0.01719"),
        ("0.0021", "0.0021"),
        ("2.2485", "2.2485"),
        ("57.111", "57.111"),
        ("-0.0171912", "-0.01719"),
        ("1234567", "1234567"),
        ("65.6168", "65.62"),
        ("about 3.123456", "about 3.123456"),
    ],
)
def test_what_a_rule_multiplied_out_is_cut_to_four_figures_that_count(text, said):
    assert trimmed(text) == said


def test_padding_adds_noughts_only_to_numbers():
    assert [padded(t, 4) for t in ("0.002", "3", "-0.5", "0.00255", "none", "")] == [
        "0.0020",
        "3.0000",
        "-0.5000",
        "0.00255",
        "none",
        "",
    ]


def test_counts_and_lists():
    assert (counted(1, "entry", "entries"), counted(1200, "entry", "entries")) == ("1 entry", "1,200 entries")
    assert [listed(x) for x in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
