"""Orders from the log: what the scenarios rest on, what is in the house, what is refused. Normal law and sums by hand."""

from math import erf, sqrt

import pytest

from engines import ENGINE, HOUSING, JOURNAL, WALL, read_mains, say, wren
from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.order_basis import basis_of
from tenths.services.order_history import size_history
from tenths.services.ordering import Wish, accept_order, order

INCH = 0.0254


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    wren(made)
    return made


def sheet(shop, *, housing="0.0005", journal="0.0005", wall="0.0001"):
    say(shop, bodies.SizeStated(station="main.*", feature="housing-bore", text=str(HOUSING), tolerance=housing),
        bodies.SizeStated(station="main.*", feature="journal", text=str(JOURNAL), tolerance=journal),
        bodies.SizeStated(station="main.*.shell.*", feature="shell-wall", text=str(WALL), tolerance=wall))


def empty(shop):
    for size, change in (("std", "0"), ("+1", "0.001"), ("-1", "-0.001")):
        say(shop, bodies.StockCounted(kind="main-shell", size=size, change=change, sets=0))


def test_the_room_is_housing_less_journal_and_two_walls_and_tolerances_are_even(shop):
    sheet(shop)
    basis = basis_of(shop, shop.build(ENGINE), "main", "best")
    assert [p.room / INCH for p in basis.places] == [pytest.approx(0.0020)] * 3
    each, common = basis.variations["journals"].each, basis.variations["journals"].common
    assert sqrt(each**2 + common**2) == pytest.approx(0.0005 * INCH / sqrt(3))  # even over its width
    assert common**2 / (common**2 + each**2) == pytest.approx(0.6)  # one grinding: common practice, no source
    assert basis.places[0].batches == {"walls": -2.0, "crush": 1.0, "housings": 1.0, "journals": -1.0}


def test_what_is_read_is_taken_as_read(shop):
    sheet(shop)
    read_mains(shop, journal={2: JOURNAL + 0.0003})
    basis = basis_of(shop, shop.build(ENGINE), "main", "best")
    assert [p.room / INCH for p in basis.places] == [pytest.approx(x) for x in (0.0020, 0.0017, 0.0020)]
    assert "housings" not in basis.variations
    assert "journals" not in basis.variations
    assert basis.variations["journals read"].each > 0


def test_one_box_finishes_as_often_as_the_normal_law_says(tmp_path):
    # only crush moves the clearances, all together: 2 tenths of doubt; the place-to-place scatter is 1 tenth of its own
    shop = shop_in_memory(tmp_path)
    wren(shop)
    empty(shop)
    sheet(shop, housing="0.0000001", journal="0.0000001", wall="0.0000001")
    say(shop, *(bodies.LimitStated(station=f"main.{n}", characteristic="main-oil-clearance", lower="0.0016", upper="0.0024")
                for n in (1, 2, 3)))
    found = order(shop, ENGINE, "main-order", Wish(sizes="std", asked=60, scenarios=20_000, most=1, first=""))
    u, v = 2e-4, sqrt(1e-4**2 + 2 * 0.00005**2)  # together; each with the scatter of two halves

    def inside(c):
        return ((erf((4e-4 - c) / v / sqrt(2)) - erf((-4e-4 - c) / v / sqrt(2))) / 2) ** 3

    steps = [(-5 + i / 100) for i in range(1001)]
    expected = sum(inside(s * u) * 0.3989422804 * 2.718281828459045 ** (-s * s / 2) / 100 for s in steps)
    row = next(r for r in found["table"] if r["cost"] == 1.0)
    assert row["probability"] == pytest.approx(expected, abs=4 * sqrt(expected * (1 - expected) / 20_000))


def test_boxes_in_the_house_need_not_be_bought(shop):
    sheet(shop)
    bought = order(shop, ENGINE, "main-order", Wish(first=""))
    assert (bought["plan"]["boxes"], bought["plan"]["cost"], bought["accept"]) == ([], 0.0, [])
    with pytest.raises(BadInput, match="enough"):
        accept_order(shop, ENGINE, bought)
    empty(shop)
    again = order(shop, ENGINE, "main-order", Wish(cost=58.0, first="journals"))
    assert again["plan"]["cost"] >= 58.0
    assert again["plan"]["at_least"] >= 0.95
    assert [r["cost"] for r in again["table"]] == sorted(r["cost"] for r in again["table"])
    assert again["measuring"]["cost_now"] == again["plan"]["cost"]


def test_an_order_accepted_stands_in_the_log(shop):
    sheet(shop)
    empty(shop)
    found = order(shop, ENGINE, "main-order", Wish(first=""))
    entry = accept_order(shop, ENGINE, found, "by telephone")
    body = bodies.decode(entry.type, entry.schema, entry.body)
    assert (body.question, body.words) == ("main-order", "by telephone")
    assert {p.pick for p in body.picks} == {f"{b['count']} box{'es' if b['count'] > 1 else ''} of {b['size']}"
                                            for b in found["plan"]["boxes"]}


def test_asked_too_much_says_what_would_free_it(shop):
    sheet(shop, housing="0.0030", journal="0.0030")
    found = order(shop, ENGINE, "main-order", Wish(asked=99.0, first=""))
    assert found["plan"] is None
    assert "99.0 % was asked for" in found["stops"][0]["words"]


def test_the_same_log_gives_the_same_plan(shop):
    sheet(shop)
    empty(shop)
    assert order(shop, ENGINE, "main-order", Wish()) == order(shop, ENGINE, "main-order", Wish())


def test_progress_is_told_to_the_end(shop):
    sheet(shop)
    empty(shop)
    told = []
    order(shop, ENGINE, "main-order", Wish(), progress=lambda share, _words: told.append(share))
    assert told == sorted(told)
    assert told[-1] == 1.0


def earlier(shop, name, off):
    """An earlier engine whose journals came out so much off what was asked, each a tenth from the next."""
    commands.open_engine(shop, name=name, layout="parallel-twin-180", engine=name)
    shop.append(name, bodies.SizeStated(station="main.*", feature="journal", text=str(JOURNAL), tolerance="0.0005"))
    for n, more in ((1, -0.0001), (2, 0.0), (3, 0.0001)):
        shop.append(name, bodies.ReadingTaken(station=f"main.{n}", feature="journal", text=f"{JOURNAL + off + more:.5f}"))


def test_history_tells_what_one_grinding_has_in_common(shop):
    sheet(shop)
    assert size_history(shop, ENGINE, "main", "journals") == (None, 0)
    for name, off in (("one", -0.0003), ("two", 0.0), ("three", 0.0003)):
        earlier(shop, name, off)
    found, engines = size_history(shop, ENGINE, "main", "journals")
    assert engines == 3
    assert found.shift / INCH == pytest.approx(0.0, abs=1e-9)
    assert found.each / INCH == pytest.approx(0.0001)  # scatter within each: -1, 0, +1 tenth
    # means -3, 0, +3 tenths: variance 9, of which 1/3 is the scatter of a mean of three; and the mean itself by 9/3
    assert found.common / INCH == pytest.approx(sqrt(9 - 1 / 3 + 9 / 3) * 1e-4)
    assert "from 3 earlier engines" in " ".join(basis_of(shop, shop.build(ENGINE), "main", "best").said)
    assert "tolerance" in " ".join(basis_of(shop, shop.build(ENGINE), "main", "tolerance").said)


@pytest.mark.parametrize(("wish", "says"), [
    (Wish(sizes="+2"), "'\\+2' was never counted"), (Wish(sizes="+2=lots"), "size \\+2"), (Wish(sizes="std@free"), "price of a box"),
    (Wish(asked=100), "asked 100"), (Wish(most=0), "most 0"), (Wish(cost=0), "cost 0"), (Wish(scenarios=10), "scenarios 10"),
    (Wish(first="pistons"), "first: 'pistons'"), (Wish(source="history"), "two are needed at least"),
    (Wish(sizes=",".join(f"s{n}=0.00{n} in" for n in range(1, 10)), most=9), "plans")])
def test_a_wish_that_cannot_be_is_named(shop, wish, says):
    sheet(shop)
    with pytest.raises(BadInput, match=says):
        order(shop, ENGINE, "main-order", wish)


def test_what_is_missing_on_the_sheet_is_named(shop):
    with pytest.raises(BadInput, match=r"housing-bore at main\.1: neither read nor stated"):
        order(shop, ENGINE, "main-order")
    read_mains(shop)
    with pytest.raises(BadInput, match=r"shell-wall at main\.\*"):
        order(shop, ENGINE, "main-order")
    with pytest.raises(BadInput, match="orders are main-order and rod-order"):
        order(shop, ENGINE, "main-shells")
