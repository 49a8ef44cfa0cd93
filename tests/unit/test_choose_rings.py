"""Ring gaps and assignments: by hand, against scipy's solver, and against every order."""

import math
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from tenths.choose.assign import FORBIDDEN, assignment, lexicographic, ranked_assignments
from tenths.choose.rings import FilingRules, FilingState, Hole, Ring, assign_rings, filing, filing_order
from tenths.choose.words import INCH, TENTH, THOU
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, exact, single

TABLES = st.integers(1, 6).flatmap(
    lambda rows: st.integers(rows, 7).flatmap(
        lambda columns: st.lists(
            st.lists(st.integers(0, 40), min_size=columns, max_size=columns), min_size=rows, max_size=rows
        )
    )
)


@given(TABLES)
@settings(max_examples=200, deadline=None)
def test_assignment_costs_what_scipy_says(costs):
    total, picks = assignment(costs)
    rows, columns = linear_sum_assignment(costs)
    assert total == sum(costs[r][c] for r, c in zip(rows, columns, strict=True))
    assert len(set(picks)) == len(picks)


@given(TABLES.filter(lambda t: len(t) <= 4), st.integers(1, 5))
@settings(max_examples=150, deadline=None)
def test_ranked_assignments_are_those_of_trying_every_order(costs, number):
    every = sorted(
        sum(row[c] for row, c in zip(costs, order, strict=True))
        for order in permutations(range(len(costs[0])), len(costs))
    )
    found = ranked_assignments(costs, number)
    assert [total for total, _ in found] == every[:number]
    assert len({picks for _, picks in found}) == len(found)


def test_forbidden_pairs_are_not_taken_and_too_few_things_are_refused():
    assert assignment([[FORBIDDEN, 5], [FORBIDDEN, 1]]) is None
    assert assignment([[FORBIDDEN, 5], [3, 1]]) == (8, (1, 0))
    with pytest.raises(BadInput, match="at least one thing"):
        assignment([[1], [2]])


def test_a_goal_outweighs_all_later_ones():
    costs = lexicographic([[[0, 1], [1, 0]], [[9, 0], [0, 9]]])
    assert assignment(costs)[1] == (0, 1)


def ring(name, gap, *, u=0.1, bore=4.0, u_bore=0.0):
    return Ring(name, single(gap * THOU, u * THOU, f"gap:{name}"), single(bore * INCH, u_bore * TENTH, f"bore:{bore}"))


def hole(number=1, *, bore=4.0, target=18, lower=16, upper=20, u=0.0):
    return Hole(
        f"cyl.{number}.ring.top",
        single(bore * INCH, u * TENTH, f"bore:{bore}"),
        target * THOU,
        lower * THOU,
        upper * THOU,
    )


def test_a_larger_hole_opens_the_gap_by_pi_times_the_difference():
    """A thou larger opens 12 thou to 15.14; 2.86 thou are then left to 18. Closed form."""
    found = filing(ring("a", 12), hole(bore=4.001))
    assert found.gap.value == pytest.approx((12 + math.pi) * THOU)
    assert found.left.value == pytest.approx((6 - math.pi) * THOU)


def test_read_in_its_own_hole_the_bore_does_not_matter():
    bore = Estimate(4.0 * INCH, {"bore-gauge": 5 * TENTH})
    own = filing(
        Ring("a", single(10 * THOU, 1 * TENTH, "feeler"), bore), Hole("cyl.1.ring.top", bore, 18 * THOU, 16 * THOU)
    )
    assert own.gap.u == pytest.approx(1 * TENTH)


def test_stops_short_of_the_target_by_strokes_and_doubt():
    """Three strokes of half a thou and twice a tenth of a thou before 18 thou: 16.3."""
    found = filing(ring("a", 10), hole(), FilingRules(0.5 * THOU, 3))
    assert found.state is FilingState.FILE
    assert found.stop_at == pytest.approx(16.3 * THOU)
    assert "file to 0.01630 in, read again" in found.in_words()


@pytest.mark.parametrize(
    ("gap", "state", "words"),
    [
        (16.5, FilingState.LAST_STROKES, "one stroke at a time"),
        (18.5, FilingState.LEAVE, "leave it"),
        (21.0, FilingState.TOO_WIDE, "do not file"),
        (10.0, FilingState.FILE, "stroke by stroke"),
    ],
)
def test_says_what_to_do_before_the_last_stroke_never_after(gap, state, words):
    found = filing(ring("a", gap), hole())
    assert found.state is state
    assert words in found.in_words()
    assert found.stop_at <= max(gap, 18) * THOU + 1e-12


def test_probability_of_being_too_wide_already():
    """A gap right at its upper limit is over it with one half."""
    assert filing(ring("a", 20), hole()).too_wide == pytest.approx(0.5)
    assert filing(ring("a", 19.9), hole()).too_wide == pytest.approx(0.158655, abs=1e-5)  # one standard deviation
    assert filing(ring("a", 19.9), Hole("x", exact(4 * INCH), 18 * THOU, 16 * THOU)).too_wide == 0


def test_order_of_filing_is_most_left_first_and_spoiled_last():
    done = [filing(ring(name, gap), hole()) for name, gap in (("b", 16.9), ("w", 25), ("a", 9), ("ok", 18))]
    assert [f.ring for f in filing_order(done)] == ["a", "b", "ok", "w"]


@given(st.lists(st.integers(120, 230), min_size=3, max_size=5), st.lists(st.integers(-8, 8), min_size=2, max_size=3))
@settings(max_examples=100, deadline=None)
def test_rings_go_where_fewest_are_wasted(gaps, bores):
    rings = [ring(f"r{n}", gap / 10) for n, gap in enumerate(gaps)]
    holes = [hole(n, bore=4 + b * 1e-4) for n, b in enumerate(bores)]
    answer = assign_rings(rings, holes)

    def key(order):
        here = [round(gaps[r] / 10 + math.pi * b / 10, 9) for r, b in zip(order, bores, strict=True)]
        return sum(g > 20 for g in here), sum(max(0, g - 18) for g in here), sum(max(0, 18 - g) for g in here)

    every = sorted(key(order) for order in permutations(range(len(gaps)), len(bores)))
    found = [answer.scores, *(other.scores for other in answer.alternatives)]
    for scores, expected in zip(found, every, strict=False):
        got = [s.value / (THOU if s.unit else 1) for s in scores]
        assert got == pytest.approx(expected, abs=3e-4)
    assert len(found) == min(4, len(every))


def test_too_few_rings_and_bad_windows_are_named():
    answer = assign_rings([ring("a", 10)], [hole(1), hole(2)])
    assert answer.stops[0].station == "cyl.2.ring.top"
    assert "1 more" in answer.stops[0].words
    with pytest.raises(BadInput, match="target gap"):
        hole(target=25)
