"""The finish of an engine, and schedules of several, against closed forms, exhaustive search and plain feasibility."""

from datetime import date
from itertools import permutations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tenths.engine.describe import layout_from_text
from tenths.errors import BadInput, OutOfRange
from tenths.work.blocks import Block, blocks_of
from tenths.work.finish import Task, finish_of, ranked
from tenths.work.hours import Calendar
from tenths.work.plan import conditions_of, plan_from
from tenths.work.schedule import bound_of, schedule
from tenths.work.schedule_program import solved
from tenths.work.template import shipped_text

MONDAY = date(2026, 3, 2)
SLOW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


# -- the calendar ------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("hours", "day"), [(0, "2026-03-02"), (8, "2026-03-02"),
                                           (8.1, "2026-03-03"), (40, "2026-03-06"), (41, "2026-03-09")])
def test_working_hours_end_on_the_day_that_a_wall_calendar_shows(hours, day):
    assert Calendar(MONDAY).day(hours).isoformat() == day


@given(st.integers(0, 400), st.integers(0, 6))
def test_hours_until_a_working_day_lead_to_the_evening_before(days, first):
    calendar = Calendar(date.fromordinal(MONDAY.toordinal() + first))
    day = date.fromordinal(calendar.today.toordinal() + days)
    # numpy counts business days by itself
    assert calendar.until(day) == 8 * np.busday_count(calendar.today, day)


def test_a_calendar_that_never_works_is_refused():
    with pytest.raises(OutOfRange, match="working days"):
        Calendar(MONDAY, days=frozenset())
    with pytest.raises(OutOfRange, match="hours of a day"):
        Calendar(MONDAY, hours=30)


# -- the finish --------------------------------------------------------------------------------------------------------

def fixed(hours):
    return (hours, hours, hours)


def test_one_person_is_done_after_the_sum_of_the_hours():
    tasks = [Task("a", fixed(2)), Task("b", fixed(3), ("a",)), Task("c", fixed(4))]
    assert finish_of(tasks, {}, people=1, seed=1).quantile(0.5) == pytest.approx(9)


def test_with_many_people_the_longest_chain_rules_and_what_is_away_passes_beside_it():
    tasks = [Task("a", fixed(2), outside=fixed(10)), Task("b", fixed(3), ("a",)), Task("c", fixed(4))]
    assert finish_of(tasks, {}, people=9, seed=1).mean == pytest.approx(15)


def test_a_late_part_costs_what_it_holds_up_and_no_more():
    tasks = [Task("a", fixed(5)), Task("b", fixed(3), ("a",), parts=("p",)), Task("c", fixed(1), ("b",), parts=("q",))]
    found = finish_of(tasks, {"p": fixed(20), "q": fixed(6)}, people=1, seed=1)
    assert found.mean == pytest.approx(24)
    assert found.cost_of == {"p": pytest.approx(15), "q": pytest.approx(0)}  # without p: 5 + 3 + 1
    assert finish_of(tasks, {"p": fixed(20), "q": fixed(6)}, people=1, seed=1, shift={"p": 8.0}).mean == pytest.approx(32)


def test_the_mean_and_spread_of_one_step_are_those_of_a_triangle():
    low, likely, high = 1.0, 2.0, 6.0
    found = finish_of([Task("a", (low, likely, high))], {}, people=1, seed=3, samples=100_000)
    mean = (low + likely + high) / 3
    deviation = ((low**2 + likely**2 + high**2 - low * likely - low * high - likely * high) / 18) ** 0.5
    assert found.mean == pytest.approx(mean, abs=5 * deviation / 100_000**0.5)
    assert found.samples.std() == pytest.approx(deviation, rel=0.01)
    # closed form of the triangle: the share below the likely value
    assert found.by(likely) == pytest.approx((likely - low) / (high - low), abs=0.008)


def test_the_same_seed_gives_the_same_and_another_another():
    tasks = [Task("a", (1, 2, 6))]
    first, same, other = (finish_of(tasks, {}, people=1, seed=s).samples for s in (5, 5, 6))
    assert (first == same).all() and not (first == other).all()  # noqa: PT018 - one thought
    with pytest.raises(OutOfRange, match="people"):
        finish_of(tasks, {}, people=0, seed=1)
    with pytest.raises(OutOfRange, match="samples"):
        finish_of(tasks, {}, people=1, seed=1, samples=10)


def waits_of(count):
    return st.lists(st.lists(st.integers(0, max(0, count - 1)), max_size=3), min_size=count, max_size=count)


@SLOW
@given(st.lists(st.floats(0.1, 9), min_size=1, max_size=9), waits_of(9), st.integers(1, 4))
def test_the_finish_lies_between_what_nobody_can_beat_and_what_any_list_keeps(hours, waits, people):
    tasks = [Task(str(k), fixed(h), tuple({str(w) for w in waits[k] if w < k})) for k, h in enumerate(hours)]
    ends = {}
    for task in tasks:
        ends[task.name] = task.hours[0] + max((ends[a] for a in task.after), default=0.0)
    chain, total = max(ends.values()), sum(hours)
    found = finish_of(tasks, {}, people=people, seed=1, samples=100).mean
    assert max(chain, total / people) - 1e-9 <= found
    # Graham 1966, from memory, holds where people are idle only while nothing is ready; with one fixed order they may be idle
    # a little longer, but never longer than one after the other takes
    assert found <= total + 1e-9
    seen = set()
    for task in ranked(tasks):
        assert set(task.after) <= seen
        seen.add(task.name)


# -- schedules ---------------------------------------------------------------------------------------------------------

def check(blocks, plan, people, places=None):
    """Whether a schedule can be worked: waits, parts, people and places."""
    at = {p.block.id: p for p in plan.placed}
    assert set(at) == {b.id for b in blocks}
    for b in blocks:
        assert at[b.id].end - at[b.id].start == pytest.approx(b.hours)
        assert at[b.id].start >= b.release - 1e-6
        lag = {x.id: x.lag for x in blocks}
        assert all(at[b.id].start >= at[a].end + lag[a] - 1e-6 for a in b.after)
        assert at[b.id].reason
    for rows, most in [*(([p for p in plan.placed if p.person == k], 1) for k in range(people)),
                       *(([p for p in plan.placed if p.block.place == place], (places or {}).get(place, 1))
                         for place in {b.place for b in blocks} - {""})]:
        for one in rows:
            middle = (one.start + one.end) / 2
            assert sum(p.start < middle - 1e-9 and p.end > middle + 1e-9 for p in rows if p.end > p.start) <= most
    assert all(0 <= p.person < people for p in plan.placed)
    for engine, end in plan.finishes.items():
        assert end == pytest.approx(max(p.end + p.block.lag for p in plan.placed if p.block.engine == engine))


def shop_of(*presets, cut=0):
    calendar, found = Calendar(MONDAY), []
    for number, preset in enumerate(presets):
        layout = layout_from_text(preset)
        steps = list(plan_from(shipped_text(), layout, conditions_of(layout)).steps.values())[cut * number:]
        names = {s.id for s in steps}
        tasks = [Task(s.id, s.hours, tuple(n for n in s.waits_for if n in names), (), tuple(calendar.away(d) for d in s.days), s.place)
                 for s in steps]
        found += blocks_of(f"e{number}", tasks, {}, {s.id: s.stage for s in steps})
    return found


@pytest.mark.parametrize("people", [1, 2, 3])
def test_four_engines_that_share_people_hone_bay_and_dyno_come_within_5_per_cent_of_a_bound(people):
    blocks = shop_of("v8-90-cross-plane", "inline-6", "flat-4", "inline-4", cut=15)
    plan = schedule(blocks, people=people, time_limit=0)
    check(blocks, plan, people)
    assert plan.gap <= 0.05
    assert plan.bound <= plan.latest + 1e-9


def test_blocks_hold_every_step_once_and_keep_every_wait():
    layout = layout_from_text("v8-90-cross-plane")
    steps = plan_from(shipped_text(), layout, conditions_of(layout)).steps
    blocks = shop_of("v8-90-cross-plane")
    assert sorted(s for b in blocks for s in b.steps) == sorted(steps)
    assert len(blocks) < 45
    inside = {s: b.id for b in blocks for s in b.steps}
    before = {b.id: set(b.after) for b in blocks}
    for b in blocks:  # all that a block waits for, directly or not
        before[b.id] |= {x for a in b.after for x in before[a]}
    for step in steps.values():
        for wait in step.waits_for:
            mine, theirs = inside[step.id], inside[wait]
            assert theirs == mine or theirs in before[mine]
            if theirs == mine:
                block = next(b for b in blocks if b.id == mine)
                assert block.steps.index(wait) < block.steps.index(step.id)


def small(draw_hours, waits, place_of, releases, engines):
    return [Block(str(k), engines[k], (f"s{k}",), float(h), tuple(sorted({str(w) for w in waits[k] if w < k})), place_of[k],
                  float(releases[k])) for k, h in enumerate(draw_hours)]


SMALL = st.integers(2, 5).flatmap(lambda n: st.builds(
    small, st.lists(st.integers(1, 5), min_size=n, max_size=n), waits_of(n),
    st.lists(st.sampled_from(("", "hone")), min_size=n, max_size=n),
    st.lists(st.sampled_from((0, 0, 3)), min_size=n, max_size=n), st.lists(st.sampled_from("ab"), min_size=n, max_size=n)))


def every_order(blocks, people, due):
    """The least greatest lateness over every order in which blocks can be put down, each as early as it goes: exhaustive."""
    best = float("inf")
    for order in permutations(blocks):
        if any(a in {b.id for b in order[k:]} for k, x in enumerate(order) for a in x.after):
            continue
        free, hone, ends = [0.0] * people, 0.0, {}
        for b in order:  # no gaps are filled here: some other order fills them
            start = max(b.release, min(free), hone if b.place else 0.0, *(ends[a] for a in b.after), 0.0)
            who = free.index(min(free))
            free[who] = ends[b.id] = start + b.hours
            hone = start + b.hours if b.place else hone
        best = min(best, max(ends[b.id] - due.get(b.engine, 0.0) for b in blocks))
    return best


@SLOW
@given(SMALL, st.integers(1, 2), st.sampled_from(({}, {"a": 4.0, "b": 9.0})))
def test_small_shops_are_scheduled_as_well_as_any_order_and_no_bound_lies_above(blocks, people, due):
    exact = every_order(blocks, people, due)
    plan = schedule(blocks, people=people, due=due, rounds=80, time_limit=0)
    check(blocks, plan, people)
    assert bound_of(blocks, people=people, due=due) <= exact + 1e-9
    assert plan.latest >= exact - 1e-9
    assert plan.latest - exact <= 0.04 * max(plan.finishes.values()) + 1e-9


@settings(max_examples=8, deadline=None)
@given(SMALL, st.integers(1, 2), st.sampled_from(({}, {"a": 4.0, "b": 9.0})))
def test_the_integer_program_never_claims_more_than_is_true(blocks, people, due):
    exact = every_order(blocks, people, due)
    order, below = solved(blocks, people, due, {}, sum(b.hours + b.release for b in blocks), 10.0)
    assert below <= exact + 1e-6
    # whole hours and whole releases lose nothing by rounding down: the program is exact
    assert below == pytest.approx(exact, abs=0.02 * max(1.0, abs(exact)) + 1e-6)
    assert sorted(order) == sorted(b.id for b in blocks)


def test_reasons_name_what_stands_in_the_way():
    blocks = [Block("1", "a", ("hone",), 4.0, (), "hone"), Block("2", "b", ("hone",), 2.0, (), "hone"),
              Block("3", "b", ("fit",), 1.0, ("2",), "", 0.0), Block("4", "a", ("wait",), 1.0, ("1",), "", 20.0, "piston-3")]
    plan = schedule(blocks, people=2, due={"a": 21.0, "b": 6.0}, time_limit=0)
    why = {p.block.id: p.reason for p in plan.placed}
    assert why["2"] == "can begin at once"
    assert why["3"] == "as soon as hone is done"
    assert why["4"] == "when piston-3 is there"
    assert why["1"].startswith("the hone is b's until then, which is promised sooner")


def test_a_wait_for_what_is_not_there_is_refused():
    with pytest.raises(BadInput, match="block 1: waits for 0"):
        schedule([Block("1", "a", ("x",), 1.0, ("0",))], people=1)
    with pytest.raises(OutOfRange, match="people"):
        schedule([], people=0)
    assert schedule([], people=1).placed == ()
