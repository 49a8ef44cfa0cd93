"""What to order: against plain counting, closed forms of the normal law, and another library's confidence bound."""

import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest, norm

from tenths.choose.order import Finishing, Offer, OrderQuestion, lower_bound, plan_order
from tenths.choose.order_value import value_of_measuring
from tenths.choose.scenarios import Planned, Variation, draw_rooms, from_history, from_tolerance
from tenths.choose.shells import ShellRules, Size
from tenths.errors import BadInput

UM = 1e-6
STD, PLUS, MINUS = Size("std", 0.0), Size("+1", 25 * UM), Size("-1", -25 * UM)
RULES = ShellRules(step=25 * UM)


def planned(number, room=50, *, half=13, **batches):
    return Planned(f"main.{number}", room * UM, (50 - half) * UM, (50 + half) * UM, batches or {"grind": -1.0})


def offers(*, halves=5, costs=(10, 10, 10), most=1):
    return tuple(Offer(size, cost, halves, halves, most) for size, cost in zip((STD, PLUS, MINUS), costs, strict=True))


def question(*places, common=6.0, each=2.0, asked=0.9, **more):
    return OrderQuestion(
        places,
        {"grind": Variation(common * UM, each * UM)},
        more.pop("offers", offers()),
        more.pop("rules", RULES),
        asked,
        **more,
    )


@given(hits=st.integers(0, 60), count=st.integers(60, 200), confidence=st.sampled_from([0.8, 0.95, 0.99]))
@settings(deadline=None)
def test_bound_is_that_of_scipys_exact_binomial_test(hits, count, confidence):
    exact = binomtest(hits, count, alternative="greater").proportion_ci(confidence, method="exact").low
    assert lower_bound(hits, count, confidence=confidence) == pytest.approx(exact, abs=1e-9)


def test_bound_of_all_good_is_the_rule_of_three():
    """With all of 100 good, the bound is 0.05 to the power 1/100: 0.9705. Closed form."""
    assert lower_bound(100, 100) == pytest.approx(0.05**0.01)
    with pytest.raises(BadInput, match="lower_bound"):
        lower_bound(3, 2)


def test_rooms_share_what_one_grinding_has_in_common():
    """Covariance of two journals is the common variance; variance is common plus each; a grind closes the room."""
    asked = question(planned(1), planned(2), common=3.0, each=4.0)
    rooms = draw_rooms(asked.places, {"grind": Variation(3 * UM, 4 * UM, 2 * UM)}, 60_000, np.random.default_rng(1))
    assert np.cov(rooms.T / UM) == pytest.approx(np.array([[25.0, 9.0], [9.0, 25.0]]), abs=0.5)
    assert rooms.mean(axis=0) == pytest.approx([48 * UM] * 2, abs=0.1 * UM)


def brute(rooms, boxes, halves):
    """Whether a scenario can be finished: every way to deal halves to places."""
    have_up = [s for s, n in zip((STD, PLUS, MINUS), boxes, strict=True) for _ in range(n * halves)]
    for ups in permutations(have_up, len(rooms)):
        for lows in permutations(have_up, len(rooms)):
            good = True
            for room, u, d in zip(rooms, ups, lows, strict=True):
                apart = round((u.change - d.change) / UM)
                value = room + (u.change + d.change) / 2
                good = good and abs(apart) <= 25 and apart >= 0 and abs(value - 50 * UM) <= 13 * UM + 1e-12
            if good:
                return True
    return False


@pytest.mark.parametrize("halves", [1, 2])
def test_boxes_that_run_short_are_dealt_as_trying_every_deal_does(halves):
    asked = question(planned(1), planned(2), offers=offers(halves=halves, most=2))
    rooms = np.random.default_rng(5).uniform(15, 85, (25, 2)) * UM
    finishing = Finishing(asked, rooms)
    for boxes in product(range(3), repeat=3):
        if 0 < sum(boxes) * halves <= 4:
            expected = [brute(row, boxes, halves) for row in rooms]
            assert finishing.finished(boxes).tolist() == expected, boxes


def test_probability_of_one_box_is_the_normal_law():
    """One place, only standard shells: within 13 um with spread sqrt(36 + 4)."""
    asked = question(planned(1), offers=offers()[:1], asked=0.5)
    plan = plan_order(asked, np.random.default_rng(2), scenarios=20_000, fresh=20_000)
    expected = 2 * norm.cdf(13 / math.sqrt(40)) - 1
    assert plan.probability == pytest.approx(expected, abs=0.005)
    assert plan.fresh == pytest.approx(expected, abs=0.005)
    assert plan.at_least < expected


def test_independent_journals_promise_more_than_one_grinder_delivers():
    """Three places, standard shells only. Shared: closed form by integration; independent: the product."""
    z = np.linspace(-8, 8, 4001)
    inside = norm.cdf((13 - 12 * z) / 2) - norm.cdf((-13 - 12 * z) / 2)
    shared = np.trapezoid(inside**3 * norm.pdf(z), z)
    alone = (2 * norm.cdf(13 / math.hypot(12, 2)) - 1) ** 3
    rooms = {}
    for name, variation in (("shared", Variation(12 * UM, 2 * UM)), ("alone", Variation(0.0, math.hypot(12, 2) * UM))):
        asked = OrderQuestion(tuple(planned(n) for n in (1, 2, 3)), {"grind": variation}, offers()[:1], RULES)
        rooms[name] = Finishing(asked, draw_rooms(asked.places, asked.variations, 40_000, np.random.default_rng(4)))
    assert rooms["shared"].finished((1,)).mean() == pytest.approx(shared, abs=0.01)
    assert rooms["alone"].finished((1,)).mean() == pytest.approx(alone, abs=0.01)
    assert abs(shared - alone) > 0.2


def test_plan_is_the_cheapest_that_reaches_what_is_asked():
    """Every plan counted by itself on the same kind of scenarios; no cheaper one comes near what was asked."""
    asked = question(*(planned(n) for n in range(1, 6)), common=12.0, offers=offers(costs=(10, 12, 15)), asked=0.9)
    plan = plan_order(asked, np.random.default_rng(7), scenarios=2000, fresh=4000)
    rooms = draw_rooms(asked.places, asked.variations, 20_000, np.random.default_rng(70)) / UM
    changes = {0: 0, 1: 25, 2: -25}
    shares = {}
    for boxes in product((0, 1), repeat=3):
        have = [changes[i] for i, n in enumerate(boxes) if n]
        sums = [(a + b) / 2 for a in have for b in have if abs(a - b) <= 25]
        fits = np.zeros(rooms.shape, bool)
        for change in sums:
            fits |= np.abs(rooms + change - 50) <= 13
        shares[boxes] = fits.all(axis=1).mean()
    cost = {boxes: 10 * boxes[0] + 12 * boxes[1] + 15 * boxes[2] for boxes in shares}
    assert shares[plan.boxes] >= 0.9
    assert all(share < 0.9 for boxes, share in shares.items() if cost[boxes] < plan.cost)
    assert plan.at_least >= 0.9
    costs = [row.cost for row in plan.table]
    assert costs == sorted(set(costs))
    for row in plan.table:
        assert row.probability == pytest.approx(shares[row.boxes], abs=0.03)


def test_asked_too_much_is_said_and_progress_reaches_the_end():
    told = []
    plan = plan_order(
        question(planned(1, half=2), asked=0.99),
        np.random.default_rng(1),
        scenarios=300,
        fresh=300,
        progress=lambda share, _: told.append(share),
    )
    assert not plan.boxes
    assert "surest plan" in plan.answer.stops[0].words
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_measuring_first_is_worth_what_arithmetic_says():
    """A grind is 25 um low or high with nothing else in doubt: measured, one box in two outcomes; blind, both boxes."""
    spot = planned(1, half=3)
    two = (Offer(PLUS, 10, 1, 1), Offer(MINUS, 10, 1, 1))
    asked = OrderQuestion((spot,), {"grind": Variation(25 * UM, 0.0)}, two, RULES, 0.2)

    class Coin:
        """Stands in for chance: low, high, low, high."""

        def __init__(self):
            self.turn = -1

        def normal(self, mean, spread, size=None):
            if size is not None:
                return np.full(size, mean)
            self.turn = -self.turn
            return mean + self.turn * spread

    worth = value_of_measuring(asked, "grind", (1, 1), Coin(), outcomes=10, scenarios=2)
    assert (worth.cost_now, worth.cost_then, worth.saved) == (20, 10, 10)
    assert (worth.promise_now, worth.promise_then, worth.hopeless) == (1, 1, 0)
    with pytest.raises(BadInput, match="batch"):
        value_of_measuring(asked, "hone", (1, 1), np.random.default_rng(1))


def test_scatter_from_tolerance_and_from_history():
    """Evenly filled plus and minus 6: variance 12; a quarter of it common."""
    found = from_tolerance(half_width=6 * UM, common_share=0.25)
    assert (found.common, found.each) == pytest.approx((math.sqrt(3) * UM, 3 * UM))
    rng = np.random.default_rng(6)
    past = [0.05 + (2 + rng.normal(0, 3) + rng.normal(0, 1, 5)) * UM for _ in range(500)]
    learned = from_history([list(map(float, each)) for each in past], nominal=0.05)
    assert learned.shift == pytest.approx(2 * UM, abs=0.4 * UM)
    assert learned.common == pytest.approx(3 * UM, rel=0.1)
    with pytest.raises(BadInput, match="common_share"):
        from_tolerance(half_width=1.0, common_share=2.0)


def test_questions_are_checked():
    with pytest.raises(BadInput, match="nothing is said of hone"):
        question(planned(1, hone=1.0))
    with pytest.raises(BadInput, match="strictly"):
        question(planned(1), asked=1.0)
