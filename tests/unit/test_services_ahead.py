"""What lies ahead: the order of what can be done, people, missing parts, the finish and its parts, several engines."""

from datetime import date, timedelta

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
from tenths.logbook import work_bodies as w
from tenths.services import ahead, commands, steps, supply
from tenths.services.shop import SHOP

# a house order of work small enough to reckon by hand; the shop's clock stands on Monday 4 May 2026
HOUSE = """
stages = ["one", "two"]
[[step]]
name = "long"
stage = "one"
words = "Long way"
hours = 2
[[step]]
name = "short"
stage = "one"
words = "Short way"
hours = 3
[[step]]
name = "fit"
stage = "two"
words = "Fit it"
after = ["long"]
parts = ["crank"]
hours = 10
[[step]]
name = "close"
stage = "two"
words = "Close it"
after = ["fit", "short"]
hours = 1
"""


@pytest.fixture
def engine(shop):
    steps.adopt_plan(shop, text=HOUSE)
    return commands.open_engine(shop, name="Trial", layout="single")


def order(shop, engine):
    return [(r["step"], r["way"], r["opens"]) for r in ahead.next_up(shop, engine)["offered"]]


def test_what_has_the_longest_way_behind_it_comes_first_and_says_what_it_opens(shop, engine):
    # long: 2 + 10 + 1; short: 3 + 1, and it opens nothing while the other way is not done
    assert order(shop, engine) == [("long", 13.0, ["fit"]), ("short", 4.0, [])]
    steps.finish_step(shop, engine, "long")
    assert order(shop, engine) == [("fit", 11.0, []), ("short", 4.0, [])]
    steps.finish_step(shop, engine, "fit")
    assert order(shop, engine) == [("short", 4.0, ["close"])]


def test_everybody_gets_a_step_of_their_own_and_who_is_at_one_stays(shop, engine):
    shop.append(SHOP, m.HoursKept(people=("Ines", "Tom")))
    told = {r["person"]: (r["at"], r["next"]) for r in ahead.next_up(shop, engine)["people"]}
    assert told == {"Ines": ([], "long"), "Tom": ([], "short")}
    steps.begin_step(shop, engine, "short", person="Ines")
    told = {r["person"]: (r["at"], r["next"]) for r in ahead.next_up(shop, engine)["people"]}
    assert told == {"Ines": (["short"], ""), "Tom": ([], "long")}


def test_a_missing_part_is_told_with_all_that_it_holds_up(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="c", kind="crank", where="wanted"))
    supply.move_part(shop, engine, p.PartOrdered(part="c", supplier="x", promised="2026-05-01"))
    (row,) = ahead.next_up(shop, engine)["missing"]
    assert (row["part"], row["late"], row["holds_up"]) == ("c", 3, ["fit", "close"])


def test_the_finish_is_the_day_that_a_wall_calendar_gives(shop, engine):
    told = ahead.finish(shop, engine, people=1)
    # 2 + 3 + 10 + 1 = 16 hours of one person: Monday and Tuesday
    assert (told["early"], told["likely"], told["late"], told["hours"]) == ("2026-05-05", "2026-05-05", "2026-05-05", 16.0)
    assert told["spread"] == [{"day": "2026-05-05", "share": 1.0}]
    told = ahead.finish(shop, engine, people=2, by="2026-05-05")
    assert (told["likely"], told["chance"]) == ("2026-05-05", 1.0)  # 13 hours
    assert ahead.finish(shop, engine, people=2, by="2026-05-04")["chance"] == 0.0


def test_the_days_of_the_spread_add_up_to_the_chance_by_each_of_them(shop, engine):
    """The chance counts hours until a morning, the spread looks for the day of each fate: two ways to the same shares."""
    shop.append(SHOP, m.HoursKept(people=("Ines",), hours="2"))
    for name in ("long", "fit"):
        steps.edit_plan(shop, engine, w.StepDropped(step=name, reason="trial"))
    steps.edit_plan(shop, engine, w.StepAdded(step="slow", stage="one", words="Slow", before=("close",), hours="1 4 30", reason="trial"))
    told = ahead.finish(shop, engine, people=1)
    assert len(told["spread"]) > 5
    so_far = 0.0
    for row in told["spread"]:
        so_far += row["share"]
        assert ahead.finish(shop, engine, people=1, by=row["day"])["chance"] == pytest.approx(so_far, abs=1e-9)
    assert so_far == pytest.approx(1.0)


def test_a_late_part_moves_the_finish_by_what_it_holds_up(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="c", kind="crank", where="wanted"))
    arrived = [bodies.PartListed(part=f"old-{k}", kind="other", where="wanted") for k in range(5)]
    commands.part(shop, engine, *arrived)
    for k in range(5):  # the shop's own history: five parts that came on their day
        supply.move_part(shop, engine, p.PartOrdered(part=f"old-{k}", supplier="x", promised="2026-05-04"))
        commands.part(shop, engine, bodies.PartArrived(part=f"old-{k}"))
    supply.move_part(shop, engine, p.PartOrdered(part="c", supplier="x", promised="2026-05-11"))
    told = ahead.finish(shop, engine, people=1)
    # there on Monday the 11th in the morning (40 h); fit 10 and close 1 after it: the second day, Tuesday the 12th
    assert (told["likely"], told["history"]) == ("2026-05-12", 5)
    assert told["parts"] == [{"part": "c", "days": pytest.approx((51 - 16) / 8, abs=0.01), "arrives": ["2026-05-08"] * 3}]
    later = ahead.if_late(shop, engine, "c", 7, people=1)
    assert later["shift"] == pytest.approx(5.0)  # a week of the calendar is five working days
    assert (later["before"]["likely"], later["after"]["likely"]) == ("2026-05-12", "2026-05-19")
    with pytest.raises(BadInput, match="'old-1' is not missed"):
        ahead.if_late(shop, engine, "old-1", 7)


def test_engines_share_the_shop_and_the_one_promised_sooner_goes_first(shop, engine):
    other = commands.open_engine(shop, name="Other", layout="single")
    shop.append(other, m.EngineDue(day="2026-05-05"))
    shop.append(engine, m.EngineDue(day="2026-05-12"))
    told = ahead.plan_shop(shop, people=1, time_limit=0)
    days = {f["engine"]: f["day"] for f in told["finishes"]}
    assert days[other] == "2026-05-05"  # 16 hours of one person
    assert days[engine] == "2026-05-07"
    assert sum(r["hours"] for r in told["rows"]) == pytest.approx(32)
    assert told["gap"] == 0.0
    assert all(r["why"] for r in told["rows"])


def test_the_same_question_gets_the_same_answer(shop, engine):
    assert ahead.finish(shop, engine) == ahead.finish(shop, engine)
    assert ahead.plan_shop(shop, time_limit=0) == ahead.plan_shop(shop, time_limit=0)


def test_days_on_which_the_shop_is_closed_do_not_count(shop, engine):
    monday = date(2026, 5, 4)
    shop.append(SHOP, m.HoursKept(people=("Ines",), closed=((monday + timedelta(days=1)).isoformat(),)))
    assert ahead.finish(shop, engine, people=1)["likely"] == "2026-05-06"
    with pytest.raises(BadInput, match="'Tues' is not one of Mon"):
        shop.append(SHOP, m.HoursKept(days=("Tues",)))
