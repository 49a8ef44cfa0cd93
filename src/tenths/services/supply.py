"""Parts on their way, work outside, boxes of stock, what to order from whom; and the entries that move them."""

import csv
import io
import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.logbook.build import Build, Reading
from tenths.logbook.entry import Entry
from tenths.services.accepted_orders import Wanted, wanted
from tenths.services.questions import Answer
from tenths.services.shop import SHOP, Shop
from tenths.services.steps import mark_answer, work_state
from tenths.work.facts import Shelves, needs_met_by
from tenths.work.money import amount, written
from tenths.work.parts import PartWay, held_up, needed, outside_work, ways
from tenths.work.stock import Box, boxes, vet_stock
from tenths.work.stock import away as tools_of

OfPart = (p.PartSourced | p.PartOrdered | p.PartPromised | p.PartInspected | p.PartShelved | p.PartReturned | p.WorkSent | p.WorkBack
          | bodies.PartListed | bodies.PartArrived)
OfStock = p.BoxListed | p.BoxCounted | p.BoxMoved | p.BoxOrdered | p.ToolAway | p.ToolBack
UNKNOWN = "supplier not said"
NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")


def parts(shop: Shop, engine: str) -> Answer:
    """Every part of an engine with its way, what the plan needs, and work outside.

    Returns:
        ``parts`` (see `way_answer`), ``needed`` (kind, places, listed, in the house), ``outside``, ``late`` (ids).
    """
    build, state = shop.build(engine), work_state(shop, engine)
    today = shop.clock().date()
    shelves = Shelves(build)
    stops = held_up(state.plan, needs_met_by(state.plan, shelves), (s.step.id for s in state.states.values() if s.status == "done"))
    rows = [way_answer(way, today, stops.get(name, ())) | {"sizes": card_sizes(build, way)} for name, way in shelves.ways.items()]
    return {
        "engine": engine, "name": build.name, "position": build.position, "today": today.isoformat(), "parts": rows,
        "late": [r["part"] for r in rows if r["late"]],
        "needed": [{"kind": n.kind, "places": n.places, "steps": list(n.steps), "listed": list(n.listed), "in_house": n.in_house}
                   for n in needed(state.plan, shelves.ways)],
        "outside": [{"work": w.work, "part": w.part, "supplier": w.supplier, "words": w.words, "step": w.step,
                     "promised": _iso(w.promised), "cost": w.cost, "sent": mark_answer(w.sent), "back": mark_answer(w.back, w.note),
                     "fits": w.fits, "late": _days_late(w.promised, today) if w.back is None else 0} for w in outside_work(build)],
    }


def way_answer(way: PartWay, today: date, holds_up: Iterable[str] = ()) -> Answer:
    """A part and its way as JSON."""
    return {
        "part": way.part, "kind": way.kind, "words": way.words, "where": way.where, "in_house": way.in_house, "supplier": way.supplier,
        "order": way.order, "cost": way.cost, "quantity": way.quantity, "slots": list(way.slots), "fitted": list(way.fitted),
        "promised": _iso(way.promised), "first_promise": _iso(way.first_promise), "late": way.late(today), "shelf": way.shelf,
        "fits": way.fits, "ordered": mark_answer(way.ordered), "arrived": mark_answer(way.arrived), "inspected": mark_answer(way.inspected),
        "sources": [{"supplier": s.supplier, "number": s.number, "cost": s.cost, "lead": s.lead} for s in way.sources],
        "history": [{"at": m.at, "person": m.person, "position": m.position, "what": words} for m, words in way.history],
        "holds_up": list(holds_up), "code": f"tenths:part:{way.part}",
    }


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""


def _days_late(promised: date | None, today: date) -> int:
    return max(0, (today - promised).days) if promised else 0


def part_ways(shop: Shop, engine: str) -> list[PartWay]:
    """Every part of an engine with its way, without what it holds up."""
    return list(ways(shop.build(engine)).values())


def card_sizes(build: Build, way: PartWay) -> list[Answer]:
    """The sizes on a part's card, each beside the newest reading of it that holds: what it is held against when it comes."""
    rows: list[Answer] = []
    for name, stated in build.parts[way.part].sizes.items():
        read = [r for (_, feature), some in build.readings.items() if feature == name for r in some if _is_of(build, way, r)]
        last = max(read, key=lambda r: r.mark.position, default=None)
        rows.append({"feature": name, "words": stated.feature.words, "stated": stated.typed.text,
                     "read": last.typed.text if last else "", "person": last.mark.person if last else ""})
    return rows


def _is_of(build: Build, way: PartWay, reading: Reading) -> bool:
    """Whether a reading that holds was taken of this part, by itself or where it is fitted."""
    if build.layout is None or build.stale_because(reading):
        return False
    return reading.station == f"part.{way.part}" or bool({*way.fitted} & {*reading.feature.slots(build.layout, reading.station)})


def move_part(shop: Shop, engine: str, *what: OfPart) -> list[Entry]:
    """Sources, orders, promises, inspects, shelves, returns a part, or sends it out and takes it back.

    Raises:
        BadInput: for a part that is not listed, an amount, a day or a number of days that cannot be read.
    """
    return shop.append(engine, *what)


# -- stock -------------------------------------------------------------------------------------------------------------

def stock(shop: Shop) -> Answer:
    """The boxes that the shop keeps for all engines, and the tools that are away."""
    house = shop.build(SHOP)
    return {"boxes": [box_answer(box) for box in boxes(house.work).values()],
            "away": [{"tool": tool, "why": why} for tool, why in tools_of(house.work).items()]}


def box_answer(box: Box) -> Answer:
    """A kind of box as JSON."""
    card = box.card
    return {"box": card.box, "kind": card.kind, "size": card.size, "words": card.words, "change": card.change, "supplier": card.supplier,
            "number": card.number, "cost": card.cost, "count": box.count, "coming": box.coming, "promised": box.promised,
            "reorder_at": card.reorder_at, "order_up_to": card.order_up_to, "to_order": box.to_order,
            "by_engine": dict(box.by_engine),
            "moves": [{"at": m.at, "person": m.person, "count": n, "why": why} for m, n, why in box.moves]}


def move_stock(shop: Shop, *what: OfStock) -> list[Entry]:
    """Lists, counts, moves or orders boxes of the shop; says that a tool is away or back; raises BadInput for what is not there."""
    return shop.append(SHOP, *what)


def take_box(shop: Shop, box: str, engine: str, *, count: int = 1, why: str = "") -> list[Entry]:
    """Takes boxes off the shop's shelf for an engine; shells are counted in that engine's own log as well.

    Raises:
        BadInput: when there are not so many, or no such engine or box.
    """
    known = boxes(shop.build(SHOP).work)
    build = shop.build(engine)
    moved = p.BoxMoved(box=box, count=-count, engine=engine, why=why)
    if count < 1:
        raise BadInput(f"count: {count} is not taken; take one or more")
    vet_stock(shop.build(SHOP).work, moved)
    card = known[box].card
    made = shop.append(SHOP, moved)
    if card.change and card.kind in {"main-shell", "rod-shell"}:
        _, there = build.stock.get((card.kind, card.size), (None, None))
        sets = count + (there.sets if there else 0)
        made += shop.append(engine, bodies.StockCounted(kind=card.kind, size=card.size, change=card.change, sets=sets))
    return made


# -- what to order -----------------------------------------------------------------------------------------------------

def to_order(shop: Shop, engines: Iterable[str] = ()) -> Answer:
    """What is to be ordered, by supplier: parts that are listed, refused or returned, boxes at their reorder point, accepted orders.

    Args:
        shop: the shop.
        engines: only for these; none means all.

    Returns:
        ``suppliers``: each with its ``lines`` (part or box, number, words, quantity, cost of one, total, for which engine) and total.
    """
    wanted_of = list(engines) or shop.engines()
    lines: dict[str, list[Answer]] = {}
    for engine in wanted_of:
        for way in ways(shop.build(engine)).values():
            if way.where in {"listed", "refused", "returned"}:
                _add_line(lines, _part_line(engine, way))
    for box in boxes(shop.build(SHOP).work).values():
        if box.to_order:
            card = box.card
            _add_line(lines, {"supplier": card.supplier, "what": card.box, "number": card.number, "words": card.words or card.kind,
                              "quantity": box.to_order, "cost": card.cost, "engine": "", "why": f"{box.count} on the shelf"})
    for row in wanted(shop):
        if row.engine in wanted_of:
            _add_line(lines, _accepted_line(row))
    return {"day": shop.clock().date().isoformat(), "suppliers": [_supplier(name, rows) for name, rows in sorted(lines.items())]}


def _accepted_line(row: Wanted) -> Answer:
    card = row.box.card if row.box else None
    there = f", {row.box.count} on the shelf" if row.box else ""
    return {"supplier": card.supplier if card else "", "what": card.box if card else row.size, "number": card.number if card else "",
            "words": row.words, "quantity": row.left, "cost": card.cost if card else "", "engine": row.engine,
            "why": f"accepted for the {row.question.partition('-')[0]}s{there}", "accepted": row.name}


def _part_line(engine: str, way: PartWay) -> Answer:
    source = next((s for s in way.sources if s.supplier == way.supplier), None) or _cheapest(way)
    why = {"refused": "came not as ordered", "returned": "went back"}.get(way.where, "")
    return {"supplier": source.supplier if source else way.supplier, "what": way.part, "number": source.number if source else "",
            "words": way.words, "quantity": way.quantity, "cost": (source.cost if source else "") or way.cost, "engine": engine, "why": why}


def _cheapest(way: PartWay) -> p.PartSourced | None:
    priced = [s for s in way.sources if s.cost]
    return min(priced, key=lambda s: amount(s.cost, "cost")) if priced else (way.sources[0] if way.sources else None)


def _add_line(lines: dict[str, list[Answer]], line: Answer) -> None:
    total = written(_cost(line["cost"]) * line["quantity"])
    lines.setdefault(line.pop("supplier") or UNKNOWN, []).append({"accepted": ""} | line | {"total": total})


def _cost(text: str) -> Decimal:
    try:
        return amount(text, "cost")
    except BadInput:  # cards written before took any words
        return Decimal(0)


def _supplier(name: str, rows: list[Answer]) -> Answer:
    return {"supplier": name, "lines": rows, "total": written(sum((_cost(r["cost"]) * r["quantity"] for r in rows), Decimal(0)))}


HEADS = ("supplier", "what", "number", "words", "quantity", "cost", "total", "engine", "why")


def order_csv(answer: Answer, supplier: str = "") -> str:
    """The order lists as CSV, one line each; only one supplier's when named."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADS)
    for one in _only(answer, supplier):
        for line in one["lines"]:
            writer.writerow([guarded(str(one["supplier"] if head == "supplier" else line[head]).replace("\u202f", "")) for head in HEADS])
    return out.getvalue()


def guarded(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return text if NUMBER.fullmatch(text) or text[:1] not in {"=", "+", "-", "@", "\t", "\r"} else "'" + text


def _only(answer: Answer, supplier: str) -> list[Answer]:
    rows = [one for one in answer["suppliers"] if supplier in {"", one["supplier"]}]
    if supplier and not rows:
        raise BadInput(f"supplier: nothing is to be ordered from {supplier!r}; "
                       f"there is from {', '.join(one['supplier'] for one in answer['suppliers']) or 'nobody'}")
    return rows


def late_parts(shop: Shop) -> list[Answer]:
    """Parts of all engines that are past their promised day, the latest first."""
    today = shop.clock().date()
    rows = [way_answer(way, today) | {"engine": engine} for engine in shop.engines() for way in ways(shop.build(engine)).values()
            if way.late(today)]
    return sorted(rows, key=lambda r: -r["late"])
