"""Parts on their way, work outside, boxes of stock, order lists."""

import csv
import io
from decimal import Decimal

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.record.orders import order_pdf
from tenths.services import commands, steps, supply
from tenths.work.money import amount, percent, written

# the shop's clock stands on 4 May 2026


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Trial", layout="inline-3")
    commands.part(shop, name, *(bodies.PartListed(part=f"piston-{n}", kind="piston", words=f"piston {n}", where="wanted")
                                for n in (1, 2, 3)))
    return name


def way(shop, engine, part):
    return next(r for r in supply.parts(shop, engine)["parts"] if r["part"] == part)


def waits(shop, engine, step):
    return [w["what"] for w in steps.step(shop, engine, step)["waits"] if w["kind"] == "part"]


def test_a_part_goes_its_way_and_only_what_needs_it_there_waits(shop, engine):
    supply.move_part(shop, engine, *(p.PartOrdered(part=f"piston-{n}", supplier="Mill Lane", promised="2026-05-01",
                                                   slots=(f"cyl.{n}.piston",))
                                     for n in (1, 2, 3)))
    commands.part(shop, engine, bodies.PartArrived(part="piston-1"), bodies.PartArrived(part="piston-2"))
    assert [waits(shop, engine, f"hone@cyl.{n}") for n in (1, 2, 3)] == [[], [], ["piston"]]
    late = way(shop, engine, "piston-3")
    assert (late["where"], late["late"], way(shop, engine, "piston-1")["late"]) == ("on order", 3, 0)
    assert "hone@cyl.3" in late["holds_up"] and "piston-in@cyl.3" in late["holds_up"] and "crate" in late["holds_up"]  # noqa: PT018
    assert not {"seats@head.A", "wash-block", "grind-crank"} & set(late["holds_up"])
    supply.move_part(shop, engine, p.PartPromised(part="piston-3", promised="2026-05-20", why="foundry"))
    now = way(shop, engine, "piston-3")
    assert (now["promised"], now["first_promise"], now["late"]) == ("2026-05-20", "2026-05-01", 0)


def test_what_holds_up_is_what_waits_for_it_directly_or_through_others(shop, engine):
    supply.move_part(shop, engine, p.PartOrdered(part="piston-1", supplier="Mill Lane", slots=("cyl.1.piston",)))
    commands.part(shop, engine, bodies.PartArrived(part="piston-2"), bodies.PartArrived(part="piston-3"))
    plan = steps.work_state(shop, engine).plan
    # a step is held up when a walk backwards from it, over everything that it waits for, meets a step that needs the part
    def held(name, seen):
        step = plan.steps[name]
        seen.add(name)
        return any(n.kind == "piston" and (not n.slots or "cyl.1.piston" in n.slots) for n in step.parts) or any(
            held(b, seen) for b in step.waits_for if b not in seen) or any(b in found for b in step.waits_for)

    found = set()
    for name in plan.steps:
        if held(name, set()):
            found.add(name)
    assert set(way(shop, engine, "piston-1")["holds_up"]) == found


def test_a_part_that_is_not_as_ordered_does_not_count_and_is_ordered_again(shop, engine):
    commands.part(shop, engine, *(bodies.PartArrived(part=f"piston-{n}") for n in (1, 2, 3)))
    assert waits(shop, engine, "hone@cyl.1") == []
    supply.move_part(shop, engine, p.PartInspected(part="piston-2", fits=False, note="cracked"),
                     p.PartShelved(part="piston-1", shelf="B 4"))
    assert way(shop, engine, "piston-2")["where"] == "refused"
    assert waits(shop, engine, "bore-to-size") == ["piston"]
    assert [line["what"] for s in supply.to_order(shop)["suppliers"] for line in s["lines"]] == ["piston-2"]
    assert way(shop, engine, "piston-1")["shelf"] == "B 4"


def test_work_outside_takes_the_part_out_of_the_house_until_it_is_back(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="crank-1", kind="crank"), bodies.PartFitted(slot="crank", part="crank-1"))
    assert waits(shop, engine, "crank-in") == []
    supply.move_part(shop, engine, p.WorkSent(work="balance", part="crank-1", supplier="Fell", words="balance", promised="2026-05-02",
                                              step="balance-crank"))
    assert waits(shop, engine, "crank-in") == ["crank"]
    (row,) = supply.parts(shop, engine)["outside"]
    assert (row["late"], row["back"], row["step"]) == (2, None, "balance-crank")
    supply.move_part(shop, engine, p.WorkBack(work="balance", cost="240"))
    assert waits(shop, engine, "crank-in") == []
    assert supply.parts(shop, engine)["outside"][0]["cost"] == "240"
    with pytest.raises(BadInput, match="'grind' was not sent out"):
        supply.move_part(shop, engine, p.WorkBack(work="grind"))
    with pytest.raises(BadInput, match="name of other work"):
        supply.move_part(shop, engine, p.WorkSent(work="balance", part="crank-1", supplier="Fell", words="again"))


def test_boxes_are_counted_down_and_ordered_up_at_their_point(shop, engine):
    supply.move_stock(shop, p.BoxListed(box="m10", kind="main-shell", size="10", change="-0.001 in", supplier="Lowmoor", cost="61",
                                        reorder_at=1, order_up_to=4), p.BoxCounted(box="m10", count=3))

    def now():
        box = supply.stock(shop)["boxes"][0]
        return box["count"], box["coming"], box["to_order"]

    assert now() == (3, 0, 0)
    supply.take_box(shop, "m10", engine, count=2, why="mains")
    assert now() == (1, 0, 3)
    assert shop.build(engine).stock["main-shell", "10"][1].sets == 2
    supply.move_stock(shop, p.BoxOrdered(box="m10", count=3, promised="2026-06-01"))
    assert now() == (1, 3, 0)
    supply.move_stock(shop, p.BoxMoved(box="m10", count=2, why="part delivery"))
    assert now() == (3, 1, 0)
    with pytest.raises(BadInput, match="4 of m10 cannot go out, 3 are on the shelf"):
        supply.take_box(shop, "m10", engine, count=4)
    assert supply.stock(shop)["boxes"][0]["by_engine"] == {engine: 2}


def test_an_order_list_adds_up_and_takes_the_cheapest_source(shop, engine):
    supply.move_part(shop, engine, *(p.PartSourced(part=f"piston-{n}", supplier=s, cost=c, number=f"{s[0]}-{n}")
                                     for n in (1, 2, 3) for s, c in (("Mill Lane", "84.50"), ("Old Mill", "91"))))
    supply.move_stock(shop, p.BoxListed(box="r", kind="ring", supplier="Mill Lane", cost="12.25", reorder_at=0, order_up_to=2))
    answer = supply.to_order(shop)
    (one,) = answer["suppliers"]
    assert one["supplier"] == "Mill Lane"
    assert one["total"] == "278.00"  # 3 x 84.50 + 2 x 12.25
    rows = list(csv.DictReader(io.StringIO(supply.order_csv(answer))))
    assert [(r["what"], r["number"], r["quantity"], r["cost"]) for r in rows] == [
        ("piston-1", "M-1", "1", "84.50"), ("piston-2", "M-2", "1", "84.50"), ("piston-3", "M-3", "1", "84.50"), ("r", "", "2", "12.25")]
    pdf = order_pdf(shop, "Mill Lane")
    assert pdf.startswith(b"%PDF")
    with pytest.raises(BadInput, match="nothing is to be ordered from 'Nobody'"):
        order_pdf(shop, "Nobody")


def test_a_cell_is_never_a_formula():
    assert supply.guarded("=1+1") == "'=1+1"
    assert supply.guarded("@x") == "'@x"
    assert supply.guarded("-12.50") == "-12.50"


def test_a_tool_that_is_away_holds_up_what_needs_it(shop, engine):
    for name in ("bore-1", "bore-2"):
        commands.list_instrument(shop, bodies.InstrumentListed(instrument=name, kind="bore-gauge"))

    def tools():
        return [w["what"] for w in steps.step(shop, engine, "hone@cyl.1")["waits"] if w["kind"] == "tool"]

    supply.move_stock(shop, p.ToolAway(tool="bore-1", why="lent"))
    assert tools() == []  # the other is there
    supply.move_stock(shop, p.ToolAway(tool="bore-2", why="away for calibration", back="2026-05-09"))
    assert tools() == ["bore-gauge"]
    supply.move_stock(shop, p.ToolBack(tool="bore-1"))
    assert tools() == []
    with pytest.raises(BadInput, match="'bore-1' is not away"):
        supply.move_stock(shop, p.ToolBack(tool="bore-1"))


@pytest.mark.parametrize(("text", "value"), [("88", "88"), ("88.5", "88.5"), ("88,50", "88.50"), ("1 250.00", "1250"), ("", "0"),
                                             ("-4", "-4"),
                                             ("1\u202f250", "1250")])
def test_amounts_are_read_exactly(text, value):
    assert amount(text, "cost") == Decimal(value)


@pytest.mark.parametrize("text", ["1,250", "1.250", "£88", "8e3", "NaN", "12.345", "1,250.00", "ten"])
def test_amounts_that_could_be_read_two_ways_or_not_at_all_are_refused(text):
    with pytest.raises(BadInput, match="cost"):
        amount(text, "cost")


def test_shares_and_how_amounts_are_written():
    assert percent("7.7 %", "tax") == Decimal("0.077")
    assert written(Decimal("1234567.005")) == "1\u202f234\u202f567.01"  # halves away from zero
    with pytest.raises(BadInput, match="tax"):
        percent("-3", "tax")


@pytest.mark.parametrize(("body", "says"), [
    (p.PartOrdered(part="piston-9", supplier="x"), "'piston-9' is not listed"),
    (p.PartOrdered(part="piston-1", supplier="x", promised="1.5.2026"), "'1.5.2026' is not a day"),
    (p.PartOrdered(part="piston-1", supplier="x", cost="1,250"), "'1,250' is not an amount"),
    (p.PartOrdered(part="piston-1", supplier="x", quantity=0), "quantity: 0"),
    (p.PartSourced(part="piston-1", supplier="x", lead="soon"), "'soon' is not taken"),
    (p.PartReturned(part="piston-1", reason=" "), "reason"),
    (p.BoxCounted(box="m", count=1), "belongs to the shop's own log"),
])
def test_what_cannot_be_understood_is_refused_and_named(shop, engine, body, says):
    before = shop.build(engine).position
    with pytest.raises(BadInput) as caught:
        supply.move_part(shop, engine, body)
    assert says in str(caught.value)
    assert shop.build(engine).position == before


def test_an_alternative_on_order_holds_nothing_up_where_enough_are_in_the_house(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="g-39", kind="gasket"),
                  bodies.PartListed(part="g-45", kind="gasket", where="on order"))
    assert waits(shop, engine, "head-on@head.A") == []  # one bank, one gasket
    commands.part(shop, engine, bodies.PartListed(part="half-u", kind="thrust"),
                  bodies.PartListed(part="half-l", kind="thrust", where="on order"))
    assert waits(shop, engine, "measure-end-play@thrust") == ["thrust"]  # two halves, one is there
    commands.part(shop, engine, bodies.PartListed(part="pump", kind="Oil pump", where="on order"))
    assert waits(shop, engine, "oil-pump") == ["oil-pump"]
