"""An accepted order stands on the order lists until it is ordered or there; counted by hand."""

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.logbook.money_bodies import EngineReturned
from tenths.services import accepted_orders, commands, customers, supply
from tenths.services.choosing import ORDERS, QUESTIONS


def accept(shop, engine, **boxes):
    shop.append(engine, bodies.ChoiceAccepted(question="main-order", picks=tuple(
        bodies.Pick(station=f"box.{size}", pick=f"{n} box{'es' if n > 1 else ''} of {size}") for size, n in boxes.items())))


def lines(shop, *engines):
    return [(one["supplier"], line["words"], line["quantity"], line["engine"]) for one in supply.to_order(shop, engines)["suppliers"]
            for line in one["lines"]]


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Trial", layout="single")
    commands.part(shop, name, bodies.StockCounted(kind="main-shell", size="std", change="0 in", sets=1))
    accept(shop, name, std=2, over=1)
    return name


def test_what_was_accepted_is_to_be_ordered_until_it_is(shop, engine):
    assert lines(shop) == [("supplier not said", "main shells, std", 2, engine), ("supplier not said", "main shells, over", 1, engine)]
    order = p.PartOrdered(part="", supplier="Lowmoor", cost="58", quantity=1)
    accepted_orders.order_accepted(shop, engine, "main-order:std", order)
    assert lines(shop)[0][2] == 1
    accepted_orders.order_accepted(shop, engine, "main-order:std", order)
    assert lines(shop) == [("supplier not said", "main shells, over", 1, engine)]
    assert [(w.part, w.where, w.supplier) for w in supply.part_ways(shop, engine)] == [
        ("main-shell-std", "on order", "Lowmoor"), ("main-shell-std-2", "on order", "Lowmoor")]
    with pytest.raises(BadInput, match="accepted: 'main-order:std' waits for no order; there are main-order:over"):
        accepted_orders.order_accepted(shop, engine, "main-order:std", order)


def test_what_came_into_the_engines_stock_since_need_not_be_ordered(shop, engine):
    commands.part(shop, engine, bodies.StockCounted(kind="main-shell", size="std", change="0 in", sets=2))  # one was there before
    commands.part(shop, engine, bodies.StockCounted(kind="main-shell", size="over", change="-0.001 in", sets=1))
    assert lines(shop) == [("supplier not said", "main shells, std", 1, engine)]


def test_boxes_of_the_shop_are_ordered_as_such_and_go_to_who_accepted_first(shop, engine):
    card = p.BoxListed(box="m-std", kind="main-shell", size="std", words="mains", supplier="Lowmoor", number="M 0", cost="61")
    supply.move_stock(shop, card)
    second = commands.open_engine(shop, name="Other", layout="single")
    accept(shop, second, std=1)

    def at_lowmoor():
        return {engine: n for supplier, _, n, engine in lines(shop) if supplier == "Lowmoor"}

    assert at_lowmoor() == {engine: 2, second: 1}
    (entry,) = accepted_orders.order_accepted(shop, engine, "main-order:std", p.PartOrdered(part="", supplier="Lowmoor", quantity=2))
    assert entry.type == "box.ordered"
    assert at_lowmoor() == {second: 1}
    assert lines(shop, engine) == [("supplier not said", "main shells, over", 1, engine)]
    supply.move_stock(shop, p.BoxOrdered(box="m-std", count=1))
    assert at_lowmoor() == {}


def test_every_question_of_an_order_has_its_kind_of_shell():
    assert tuple(accepted_orders.KIND) == ORDERS
    assert set(accepted_orders.DECIDED) <= set(QUESTIONS)


def test_the_latest_accepted_order_counts_alone(shop, engine):
    accept(shop, engine, std=1)
    assert lines(shop) == [("supplier not said", "main shells, std", 1, engine)]


def test_once_it_is_accepted_which_shells_go_where_nothing_waits(shop, engine):
    shop.append(engine, bodies.ChoiceAccepted(question="rod-shells", picks=(bodies.Pick(station="rod.1.shell.upper", pick="std"),)))
    assert len(lines(shop)) == 2
    shop.append(engine, bodies.ChoiceAccepted(question="main-shells", picks=(bodies.Pick(station="main.1.shell.upper", pick="std"),)))
    assert lines(shop) == []


def test_an_order_of_an_earlier_job_counts_no_more(shop, engine):
    customers.write(shop, engine, EngineReturned(reason="to be freshened"))
    assert lines(shop) == []
    accept(shop, engine, std=1)
    assert lines(shop) == [("supplier not said", "main shells, std", 1, engine)]
