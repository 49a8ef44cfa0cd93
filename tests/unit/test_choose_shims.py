"""Shims under springs against every way there is, and asked of an engine."""

from collections import Counter
from itertools import combinations_with_replacement, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hand import INCH, hand
from tenths.choose.shims import Shim, SpringPlace, choose_shims
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.metrology.estimate import exact
from tenths.services.choosing import accept, accepted, ask, set_question

THOU = INCH / 1000


def places(heights, wanted=1900, least=0):
    return [SpringPlace(f"valve.{n}.in", exact(h * THOU), wanted * THOU, least * THOU) for n, h in enumerate(heights, 1)]


def shims(stock):
    return [Shim(f"0.{t:03d}", t * THOU, number) for t, number in stock]


def every_way(heights, stock, wanted, most, least=0):
    """Best goals over all ways of giving each spring a stack, as plain whole thousandths."""
    stacks = [s for n in range(most + 1) for s in combinations_with_replacement(range(len(stock)), n)]
    best = None
    for chosen in product(stacks, repeat=len(heights)):
        used = Counter(k for s in chosen for k in s)
        left = [h - sum(stock[k][0] for k in s) for h, s in zip(heights, chosen, strict=True)]
        if any(number > stock[k][1] for k, number in used.items()) or min(left) < least:
            continue
        off = [abs(h - wanted) for h in left]
        goals = (max(off), sum(off), sum(used.values()))
        best = goals if best is None or goals < best else best
    return best


@given(st.lists(st.integers(1890, 1960), min_size=1, max_size=4),
       st.lists(st.tuples(st.integers(5, 60), st.integers(0, 3)), min_size=1, max_size=3, unique_by=lambda s: s[0]),
       st.integers(0, 1900))
@settings(max_examples=40, deadline=None)
def test_no_other_way_is_better(heights, stock, least):
    best = every_way(heights, stock, 1900, 2, least)
    found = choose_shims(places(heights, least=least), shims(stock), most=2)
    if best is None:
        assert not found.possible
        assert found.stops[0].limit == "room before the coils bind"
        return
    assert found.proven
    assert [round(s.value / THOU, 3) for s in found.scores[:2]] == [pytest.approx(v, abs=1e-3) for v in best[:2]]
    assert found.scores[2].value == best[2]
    used = Counter(label for p in found.picks if p.what != "no shim" for label in p.what.split(" + "))
    assert all(number <= {f"0.{t:03d}": n for t, n in stock}[label] for label, number in used.items())


def test_a_spring_that_binds_without_any_shim_stops_it():
    found = choose_shims(places([1900, 1880], least=1890), shims([(15, 4)]))
    assert [s.station for s in found.stops] == ["valve.2.in"]
    assert found.stops[0].change == pytest.approx(10 * THOU)
    with pytest.raises(BadInput, match="0 springs"):
        choose_shims([], shims([(15, 1)]))


@pytest.fixture
def engine(shop):
    engine = hand(shop, "inline-3")
    for n, height in enumerate(("1.905", "1.920", "1.950"), 1):
        engine.read(f"valve.{n}.in", "installed-height", height)
    return engine


def say(engine, *what):
    engine.shop.append(engine.engine, *what)


def test_asked_of_an_engine_by_height_and_by_load(engine):
    with pytest.raises(BadInput, match="nothing to choose yet"):
        ask(engine.shop, engine.engine, "shims")
    say(engine, bodies.StockCounted(kind="shim", size="0.015", change="0.015", sets=6),
        bodies.StockCounted(kind="shim", size="0.030", change="0.030", sets=1))
    found = ask(engine.shop, engine.engine, "shims")
    assert [(p.where, p.what) for p in found.answer.picks] == [
        ("valve.1.in", "no shim"), ("valve.2.in", "0.015"), ("valve.3.in", "0.015 + 0.030")]
    assert [round(p.estimate.value / INCH, 4) for p in found.answer.predicted] == [1.905, 1.905, 1.905]
    engine.state("valve.*.*", "spring-rate", "300 lbf/in")
    engine.state("valve.*.*", "spring-free-height", "2.300")
    set_question(engine.shop, engine.engine, "shims", {"load": "123 lbf"})
    found = ask(engine.shop, engine.engine, "shims")
    # 123 / 300 is 0.410 under 2.300: 1.890
    assert [p.target / INCH for p in found.answer.predicted] == [pytest.approx(1.890)] * 3
    assert [p.what for p in found.answer.picks] == ["0.015", "0.015 + 0.015", "0.015 + 0.030"]
    accept(engine.shop, engine.engine, "shims")
    entry = next(r for r in engine.shop.build(engine.engine).all_readings() if r.station == "valve.1.in").mark.entry
    say(engine, bodies.EntryStruck(entry=entry, reason="shims went in"))
    engine.read("valve.1.in", "installed-height", "1.8901")
    rows = accepted(engine.shop, engine.engine)[0]["picks"]
    assert rows[0]["predicted"] == pytest.approx(1.890)
    assert rows[0]["read"] == pytest.approx(1.8901)


def test_shims_already_in_place_are_part_of_the_stack(engine):
    say(engine, bodies.StockCounted(kind="shim", size="0.030", change="0.030", sets=3))
    engine.state("valve.1.in", "shims-in-place", "0.045")
    found = ask(engine.shop, engine.engine, "shims")
    # bare heights 1.950, 1.920, 1.950; the least read without shims is 1.920
    assert [p.what for p in found.answer.picks] == ["0.030", "no shim", "0.030"]
    assert "springs are under load" in " ".join(found.notes).lower()
