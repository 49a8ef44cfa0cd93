"""Crush, sizes that can still be needed, and what if; by hand, by drawing, and by asking twice."""

import math

import numpy as np
import pytest

from tenths.choose.crush import Prior, learn_crush, needs_in_words, prior_from_history, sizes_still_needed, with_learned
from tenths.choose.shells import Place, Seat, ShellRules, Size, Stock, boxes_by_size
from tenths.choose.what_if import ShellQuestion, WhatIf, what_if
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, exact, single

UM = 1e-6
SIZES = [Size("-1", -25 * UM), Size("std", 0.0), Size("+1", 25 * UM)]
RULES = ShellRules(step=25 * UM)


def place(number, clearance, *, u=1.0, kind="main"):
    """Room is relative to a standard pair: it is the clearance that such a pair would give."""
    return Place(f"{kind}.{number}", kind, single(clearance * UM, u * UM, f"room:{number}"), 50 * UM, 20 * UM, 90 * UM)


def test_one_reading_without_history_is_taken_as_it_is():
    """Difference -4; doubt: readings 3-4-5 triangle (3 and 4 of their own), scatter of one cap 12: 13 in all."""
    learned = learn_crush([single(54 * UM, 3 * UM, "a")], [single(50 * UM, 4 * UM, "b")], prior=Prior(between=12 * UM))
    assert learned.average.value == pytest.approx(-4 * UM)
    assert learned.average.u == pytest.approx(13 * UM)
    assert learned.offset.u == pytest.approx(math.hypot(13, 12) * UM)


def test_reading_and_history_are_weighed_by_their_doubt():
    """Prior -10 with u 5, reading 0 with u 5: the middle, with u 5/sqrt 2. Textbook case."""
    learned = learn_crush([exact(0.0)], [single(0.0, 3 * UM, "r")], prior=Prior(-10 * UM, 5 * UM, 4 * UM))
    assert learned.average.value == pytest.approx(-5 * UM)
    assert learned.average.u == pytest.approx(5 * UM / math.sqrt(2))


def test_what_prediction_and_reading_share_cancels():
    shared = Estimate(50 * UM, {"scale": 6 * UM})
    assert learn_crush([shared], [shared], prior=Prior(between=0.0)).average.u == 0


def test_nothing_read_leaves_what_was_known():
    learned = learn_crush([], [], prior=Prior(-3 * UM, 2 * UM, 1 * UM))
    assert (learned.average.value, learned.average.u, learned.readings) == (-3 * UM, 2 * UM, 0)
    with pytest.raises(BadInput, match="nothing is known"):
        learn_crush([], [])
    with pytest.raises(BadInput, match="pairs"):
        learn_crush([exact(0.0)], [])


def test_each_place_scatters_by_itself_and_shares_the_average():
    learned = learn_crush([exact(0.0)], [single(0.0, 3 * UM, "r")], prior=Prior(between=4 * UM))
    first, second = with_learned([place(1, 50), place(2, 50)], learned)
    shared = set(first.crush.parts) & set(second.crush.parts)
    assert math.hypot(*(first.crush.parts[c] for c in shared)) == pytest.approx(5 * UM)
    assert with_learned([place(1, 50, kind="rod")], learned)[0].crush.value == 0


def test_history_tells_engines_from_places():
    """Drawn with known scatters: 3 between engines, 1 between places, mean -5."""
    rng = np.random.default_rng(8)
    engines = [(-5 + rng.normal(0, 3) + rng.normal(0, 1, 7)) * UM for _ in range(400)]
    prior = prior_from_history([list(map(float, each)) for each in engines])
    assert prior.mean == pytest.approx(-5 * UM, abs=0.5 * UM)
    assert prior.u == pytest.approx(3 * UM, rel=0.12)
    assert prior.between == pytest.approx(1 * UM, rel=0.06)
    with pytest.raises(BadInput, match="two engines"):
        prior_from_history([[1.0, 2.0]])


def test_sizes_that_can_be_needed_agree_with_drawing_readings():
    """Draw the reading of each place 40,000 times and look which pair then comes nearest to the target."""
    places = [place(1, 50), place(2, 58), place(3, 42)]
    crush = single(3 * UM, 2 * UM, "crush")
    needs = sizes_still_needed(places, crush, SIZES, RULES, probability=0.99)
    rng = np.random.default_rng(3)
    pairs = {
        change: {a, b}
        for a, b, change in [
            ("-1", "-1", -25),
            ("-1", "std", -12.5),
            ("std", "std", 0),
            ("std", "+1", 12.5),
            ("+1", "+1", 25),
        ]
    }
    changes = np.array(list(pairs))
    counts = dict.fromkeys(("-1", "std", "+1"), 0.0)
    scatter = 0.00005 * 0.0254 / UM
    for base in (50, 58, 42):
        values = base + rng.normal(3, math.sqrt(1 + 4 + 2 * scatter**2), 40_000)
        best = np.abs(values[:, None] + changes - 50).argmin(axis=1)
        for index, labels in enumerate(pairs.values()):
            for label in labels:
                counts[label] += np.mean(best == index)
    for need in needs:
        assert need.probability == pytest.approx(min(1.0, counts[need.size.label]), abs=0.01)
    assert [need.needed for need in needs] == [True, True, True]
    assert needs[0].at[0] == "main.2"
    assert needs[2].at[0] == "main.3"


def test_after_a_sure_reading_only_what_is_needed_stays():
    needs = sizes_still_needed([place(1, 50), place(2, 51)], single(0.0, 0.5 * UM, "c"), SIZES, RULES)
    assert [need.needed for need in needs] == [False, True, False]
    words = " ".join(needs_in_words(needs, single(0.0, 0.5 * UM, "c"), "metric"))
    assert "keep std at hand" in words
    assert "-1 and +1 can be put away" in words


def test_without_half_and_halves_no_neighbour_is_needed_for_a_small_step():
    alone = sizes_still_needed([place(1, 57)], single(0.0, 0.1 * UM, "c"), SIZES, ShellRules(mixed=False))
    assert [need.needed for need in alone] == [False, True, False]
    mixed = sizes_still_needed([place(1, 57)], single(0.0, 0.1 * UM, "c"), SIZES, RULES)
    assert [need.needed for need in mixed] == [True, True, False]


def test_what_if_is_the_same_question_with_other_places_or_stock():
    question = ShellQuestion(
        (place(1, 30), place(2, 32)), Stock(boxes=boxes_by_size("main", {SIZES[1]: 1}, places=2)), RULES, "metric"
    )
    ground = WhatIf("crank ground by 0.010 mm", kind="main", grind=10 * UM, doubt=1 * UM, doubt_each=2 * UM)
    box = WhatIf("one box of +1", boxes=boxes_by_size("main", {SIZES[2]: 1}, places=2))
    after_ground, after_box = what_if(question, [ground, box])
    assert after_ground.answer.scores[0].value == pytest.approx(10 * UM)
    assert "−0.0100 mm against now" in after_ground.words
    assert after_box.answer.scores[0].value == pytest.approx(5.5 * UM)  # 32 + 12.5 is nearer than 32 + 25
    before = question.answer().predicted[0].estimate
    assert after_ground.answer.predicted[0].estimate.u == pytest.approx(math.hypot(before.u, 1 * UM, 2 * UM))


def test_what_if_says_when_it_makes_possible_or_impossible():
    question = ShellQuestion((place(1, 15),), Stock(boxes=boxes_by_size("main", {SIZES[1]: 1}, places=1)), RULES)
    honed, more, far = what_if(question, [WhatIf("honed", hone=10 * UM), WhatIf("nothing"), WhatIf("far", hone=1.0)])
    assert "possible then" in honed.words
    assert "no choice is possible" in more.words
    assert not far.answer.possible


def test_changes_of_another_kind_leave_a_place_alone():
    spot = place(1, 50, kind="rod")
    question = ShellQuestion((spot,), Stock(), RULES)
    assert question.changed(WhatIf("mains honed", kind="main", hone=UM)).places == (spot,)
    assert Seat() == spot.upper_seat
