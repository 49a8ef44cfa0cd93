"""Boxes of an accepted order that nobody has ordered yet: they stand on the order lists until somebody has, or they are there."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.logbook.build import Build, Mark
from tenths.logbook.entry import Entry
from tenths.logbook.money_bodies import EngineReturned
from tenths.services.shop import SHOP, Shop
from tenths.work.stock import Box, boxes

KIND = {"main-order": "main-shell", "rod-order": "rod-shell"}  # of choosing.ORDERS, which takes long to import
DECIDED = {"main-shells": "main-order", "rod-shells": "rod-order"}  # with which shells go where, what to order is settled
WORDS = {"main-shell": "main shells", "rod-shell": "rod shells"}
PICK = re.compile(r"(\d+) box(?:es)? of (.+)")


@dataclass(slots=True)
class Wanted:
    """Boxes of one size of an accepted order: how many were accepted, and how many are still to be ordered."""

    engine: str
    question: str
    kind: str
    size: str
    count: int
    left: int
    mark: Mark
    box: Box | None = None

    @property
    def name(self) -> str:
        """What tells it from the others of its engine."""
        return f"{self.question}:{self.size}"

    @property
    def words(self) -> str:
        """What is in the box."""
        return (self.box.card.words if self.box else "") or f"{WORDS[self.kind]}, {self.size}"

    def met(self, count: int) -> int:
        """Takes boxes that were ordered or came for it; gives back how many are over."""
        taken = min(self.left, max(0, count))
        self.left -= taken
        return count - taken


def wanted(shop: Shop) -> list[Wanted]:
    """What every engine's latest accepted order still waits for, the earliest accepted first.

    An order counts until it was accepted which shells go where, and for the job that it was accepted in.
    Boxes that came into the engine's own stock since, parts ordered for it as such, and boxes of the shop ordered since count;
    what the shop ordered goes to the engine that accepted first.
    """
    house = shop.build(SHOP)
    kept = {(box.card.kind, box.card.size): box for box in boxes(house.work).values()}
    rows = [row for engine in shop.engines() for row in _of_engine(shop, engine, kept)]
    rows.sort(key=lambda row: row.mark.at)
    for mark, body in house.work:
        if isinstance(body, p.BoxOrdered):
            over = body.count
            for row in rows:
                if row.box is not None and row.box.card.box == body.box and row.mark.at <= mark.at:
                    over = row.met(over)
    return [row for row in rows if row.left]


def _of_engine(shop: Shop, engine: str, kept: dict[tuple[str, str], Box]) -> list[Wanted]:
    build, rows = shop.build(engine), dict[str, list[Wanted]]()
    back = max((mark.position for mark, body in build.work if isinstance(body, EngineReturned)), default=0)
    for mark, body in build.choices:
        if body.question in DECIDED:
            rows.pop(DECIDED[body.question], None)
        elif body.question in KIND and mark.position > back:
            kind = KIND[body.question]
            rows[body.question] = [Wanted(engine, body.question, kind, size, n, n, mark, kept.get((kind, size)))
                                   for n, size in _boxes_of(body)]
    found = [row for some in rows.values() for row in some]
    for row in found:
        row.met(_came_in(shop, row) + _ordered(build, row))
    return found


def _boxes_of(body: bodies.ChoiceAccepted) -> Iterable[tuple[int, str]]:
    for pick in body.picks:
        if said := PICK.fullmatch(pick.pick):
            yield int(said[1]), said[2]


def _came_in(shop: Shop, row: Wanted) -> int:
    """How many more are in the engine's own stock than when the order was accepted."""
    before = now = 0
    for entry in shop.logbook.read(row.engine):
        if entry.type == bodies.StockCounted.TYPE and entry.id not in shop.build(row.engine).struck:
            body = bodies.decode(entry.type, entry.schema, entry.body)
            if isinstance(body, bodies.StockCounted) and (body.kind, body.size) == (row.kind, row.size):
                now = body.sets
                before = body.sets if entry.position < row.mark.position else before
    return now - before


def _ordered(build: Build, row: Wanted) -> int:
    """How many were ordered for the engine since, as parts of its own."""
    same = {name for name, part in build.parts.items() if (part.card.kind, part.card.size) == (row.kind, row.size)}
    return sum(body.quantity for mark, body in build.work
               if isinstance(body, p.PartOrdered) and body.part in same and mark.position > row.mark.position)


def order_accepted(shop: Shop, engine: str, name: str, order: p.PartOrdered) -> list[Entry]:
    """Boxes of an accepted order are ordered: as boxes of the shop where it keeps that size, else as a part of the engine.

    Args:
        shop: the shop.
        engine: whose order it is.
        name: question and size, such as ``main-order:+1``.
        order: from whom, until when, at what cost, how many; its part is given here.

    Raises:
        BadInput: when nothing of that name waits, or the order cannot be taken.
    """
    waiting = {row.name: row for row in wanted(shop) if row.engine == engine}
    row = waiting.get(name)
    if row is None:
        raise BadInput(f"accepted: {name!r} waits for no order; there are {', '.join(waiting) or 'none'}")
    if row.box is not None:
        return shop.append(SHOP, p.BoxOrdered(box=row.box.card.box, count=order.quantity, order=order.order, promised=order.promised))
    part = _free_name(shop.build(engine), row)
    card = bodies.PartListed(part=part, kind=row.kind, words=row.words, size=row.size, where="on order", supplier=order.supplier,
                             cost=order.cost)
    return shop.append(engine, card, p.PartOrdered(part=part, supplier=order.supplier, order=order.order, promised=order.promised,
                                                   cost=order.cost, quantity=order.quantity))


def _free_name(build: Build, row: Wanted) -> str:
    size = re.sub(r"[^a-z0-9]+", "-", row.size.lower().replace("+", "plus ").replace("-", "minus ")).strip("-")
    stem = f"{row.kind}-{size}"
    return next(name for name in (stem, *(f"{stem}-{n}" for n in range(2, 1000))) if name not in build.parts)
