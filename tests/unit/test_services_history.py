"""The shop's history against independent statistics; engines found; the customer's side."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import money_bodies as m
from tenths.record.report_work import work as work_of
from tenths.services import commands, customers, history, steps
from tenths.work.history import spread_of, trend_of

numbers = st.floats(-1e3, 1e3).map(lambda v: round(v, 4))


@settings(deadline=None)
@given(st.lists(numbers, min_size=1, max_size=60))
def test_a_distribution_is_what_numpy_says(values):
    found = spread_of(values)
    assert found.mean == pytest.approx(np.mean(values), abs=1e-9)
    assert found.quarters == pytest.approx(np.quantile(values, (0.25, 0.5, 0.75)), abs=1e-9)
    if len(values) > 1:
        assert found.deviation == pytest.approx(np.std(values, ddof=1), abs=1e-9)
    assert sum(n for _, _, n in found.bins) == len(values)
    assert (found.bins[0][0], found.bins[-1][1]) == pytest.approx((min(values), max(values)))


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2000), numbers), min_size=3, max_size=40))
def test_a_trend_is_the_line_that_scipy_draws(rows):
    days, values = [float(d) for d, _ in rows], [v for _, v in rows]
    found = trend_of(days, values)
    if len(set(days)) < 2:
        assert found is None
        return
    line = stats.linregress(days, values)
    assert found.slope == pytest.approx(line.slope * 365.25, rel=1e-6, abs=1e-6)
    level = len(set(values)) == 1  # scipy divides by nothing there
    assert found.error == pytest.approx(0.0 if level else line.stderr * 365.25, rel=1e-5,
                                       abs=1e-5 + 1e-7 * abs(line.slope) * 365.25)  # its own rounding, where all lies on a line
    assert found.begin == pytest.approx(line.intercept + line.slope * days[0], rel=1e-6, abs=1e-6)


def test_nothing_has_no_distribution_and_two_have_no_trend():
    assert spread_of([]) is None
    assert trend_of([0.0, 1.0], [1.0, 2.0]) is None


@pytest.fixture
def shop_with_years(shop):
    """Three engines, one a year, whose end gaps grow by 0.0010 in a year."""
    start = datetime(2023, 5, 1, tzinfo=UTC)
    for year in range(3):
        now = start + timedelta(days=365.25 * year)
        shop.clock = lambda now=now: now
        name = commands.open_engine(shop, name=f"Year {year}", layout="single", customer=("R. Oake", "S. Birch")[year % 2], units="inch")
        gap = f"{0.0160 + 0.001 * year:.4f}"
        commands.take_reading(shop, name, bodies.ReadingTaken(station="cyl.1.ring.top", feature="end-gap", text=gap))
        commands.part(shop, name, bodies.PartListed(part="c", kind="crank", words="forged crank", serial=f"C {year}", maker="own"))
    return shop


def test_a_characteristic_over_the_years_has_its_distribution_and_trend(shop_with_years):
    told = history.history(shop_with_years, "ring-end-gap")
    assert [(v["engine"], round(v["value"], 4)) for v in told["values"]] == [("year-0", 0.016), ("year-1", 0.017), ("year-2", 0.018)]
    assert (told["unit"], told["engines"]) == ("in", 3)
    assert told["spread"]["mean"] == pytest.approx(0.017)
    assert told["spread"]["deviation"] == pytest.approx(0.001)
    assert told["trend"]["per_year"] == pytest.approx(0.001, rel=1e-6)
    assert history.history(shop_with_years, "ring-end-gap", units="metric")["spread"]["mean"] == pytest.approx(0.4318)
    assert history.history(shop_with_years, "ring-end-gap", engines=["year-1"])["trend"] is None
    assert history.history(shop_with_years, "ring-end-gap", station="cyl.1.ring.second")["values"] == []
    with pytest.raises(BadInput, match="'gap' is not known"):
        history.history(shop_with_years, "gap")


def test_a_trend_waits_for_three_days_over_a_month(shop_with_years):
    shop = shop_with_years
    for hours in range(3):
        shop.clock = lambda hours=hours: datetime(2026, 3, 2, 9 + hours, tzinfo=UTC)
        name = commands.open_engine(shop, name=f"Same day {hours}", layout="single", units="inch")
        commands.take_reading(shop, name, bodies.ReadingTaken(station="cyl.1.ring.top", feature="end-gap", text=f"0.01{hours + 2}0"))
    same = [f"same-day-{n}" for n in range(3)]
    assert history.history(shop, "ring-end-gap", engines=same)["trend"] is None
    assert history.history(shop, "ring-end-gap", engines=[*same, "year-0"])["trend"] is None  # two days alone
    assert history.history(shop, "ring-end-gap", engines=[*same, "year-0", "year-1"])["trend"] is not None


def test_values_are_set_against_what_was_chosen(shop_with_years):
    told = history.history(shop_with_years, "ring-end-gap")
    assert told["choices"] == []
    for year, pick in enumerate(("plain", "filed", "plain")):
        chosen = bodies.Pick(station="cyl.1.ring.top", pick=pick, characteristic="ring-end-gap")
        shop_with_years.append(f"year-{year}", bodies.ChoiceAccepted(question="rings", picks=(chosen,)))
    found = {c["pick"]: c for c in history.history(shop_with_years, "ring-end-gap")["choices"]}
    assert found["plain"]["mean"] == pytest.approx(np.mean([0.016, 0.018]))
    assert found["plain"]["deviation"] == pytest.approx(np.std([0.016, 0.018], ddof=1))
    assert (found["filed"]["count"], found["filed"]["text"]["mean"]) == (1, "0.0170 in")


def test_what_can_be_looked_at_is_what_holds_somewhere(shop_with_years):
    told = {c["characteristic"]: c for c in history.characteristics(shop_with_years)}
    assert (told["ring-end-gap"]["engines"], told["ring-end-gap"]["values"]) == (3, 3)
    assert "main-oil-clearance" not in told


def test_a_reading_that_no_longer_holds_is_no_history(shop_with_years):
    commands.part(shop_with_years, "year-1", bodies.PartListed(part="r", kind="ring"), bodies.PartFitted(slot="cyl.1.ring.top", part="r"))
    assert [v["engine"] for v in history.history(shop_with_years, "ring-end-gap")["values"]] == ["year-0", "year-2"]


@pytest.mark.parametrize(("asked", "engines"), [
    ({"part": "forged"}, ["year-0", "year-1", "year-2"]), ({"part": "c 1"}, ["year-1"]), ({"customer": "oake"}, ["year-0", "year-2"]),
    ({"feature": "end-gap", "size": "0.017"}, ["year-1"]), ({"feature": "end-gap", "size": "0.0165 to 0.0185"}, ["year-1", "year-2"]),
    ({"feature": "end-gap", "size": "0.43 mm to 0.44 mm"}, ["year-1"]), ({"customer": "oake", "part": "c 2"}, ["year-2"]),
    ({"text": "year 1"}, ["year-1"]), ({"customer": "nobody"}, []),
])
def test_engines_are_found_by_all_that_is_asked(shop_with_years, asked, engines):
    assert [r["engine"] for r in history.find(shop_with_years, **asked)] == engines


def test_engines_are_found_by_their_problems(shop_with_years):
    customers.write(shop_with_years, "year-1", m.ProblemFound(problem="cracked web", station="main.1", text="from the oil hole"))
    (row,) = history.find(shop_with_years, problem="web oil")
    assert (row["engine"], row["found"]) == ("year-1", {"problem": ["cracked web at main.1"]})
    with pytest.raises(BadInput, match="feature"):
        history.find(shop_with_years, size="0.017")
    with pytest.raises(BadInput, match="find: give"):
        history.find(shop_with_years)


def test_the_customers_side_keeps_what_was_said_asked_and_answered(shop):
    engine = commands.open_engine(shop, name="Trial", layout="single", customer="R. Oake", purpose="hill climb", fuel="Petrol, 98")
    for body in (m.EngineDue(day="2026-06-15"), m.EngineDue(day="2026-06-22", why="late crank"),
                 m.MessageWritten(way="from", who="R. Oake", text="How far is it?", by="telephone"),
                 m.ApprovalAsked(approval="sleeve", text="Hole 2 needs a sleeve.", cost="180"),
                 m.ApprovalAsked(approval="coat", text="Coat?"),
                 m.ApprovalGiven(approval="sleeve", agreed=True, who="R. Oake", text="yes"),
                 m.ProblemFound(problem="scored pin", station="pin.1"), m.ProblemSolved(problem="scored pin", text="ground 0.010")):
        customers.write(shop, engine, body)
    told = customers.customer(shop, engine)
    assert (told["due"], [d["day"] for d in told["dues"]]) == ("2026-06-22", ["2026-06-15", "2026-06-22"])
    assert [(a["approval"], a["agreed"]) for a in told["approvals"]] == [("sleeve", True), ("coat", None)]
    assert [(p["problem"], p["outcome"]) for p in told["problems"]] == [("scored pin", "ground 0.010")]
    steps.finish_step(shop, engine, "job-sheet")
    seen = customers.progress(shop, engine)
    assert [a["approval"] for a in seen["asked"]] == ["coat"]
    assert seen["stages"][0] | {"total": 0} == {"stage": "inspect", "done": 1, "total": 0, "state": "under way"}
    assert seen["share"] == pytest.approx(1 / sum(s["total"] for s in seen["stages"]), abs=1e-4)
    assert not {"hours", "notes", "problems"} & set(seen)


def test_an_engine_that_comes_back_begins_anew_and_shows_what_wore(shop):
    engine = commands.open_engine(shop, name="Trial", layout="single")

    def read(text):
        commands.take_reading(shop, engine, bodies.ReadingTaken(station="cyl.1", feature="bore", place="gauge thrust", text=text))

    read("3.5000")
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="main.1", feature="journal", place="1 front", text="2.4000"))
    steps.finish_step(shop, engine, "job-sheet")
    assert history.wear(shop, engine)["rows"] == []
    customers.write(shop, engine, m.EngineReturned(reason="to be freshened", run="31 hours"))
    assert steps.step(shop, engine, "job-sheet")["status"] == "open"
    read("3.5012")
    (row,) = history.wear(shop, engine)["rows"]
    assert (row["station"], row["first"]["text"], row["last"]["text"], row["other_part"]) == ("cyl.1", "3.5000", "3.5012", False)
    assert row["change"] == pytest.approx(0.0012, abs=1e-9)
    assert customers.customer(shop, engine)["returns"][0]["run"] == "31 hours"
    told, _ = work_of(shop, engine)
    assert told["returns"][0][1] == "To be freshened, after 31 hours"
    assert [(r[0], r[1].split(",")[0], r[2].split(",")[0], r[3]) for r in told["worn"]] == [
        ("bore, cylinder 1, gauge thrust", "3.5000 in", "3.5012 in", "+0.0012 in")]
