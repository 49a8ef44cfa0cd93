"""Forms about parts on their way, work done outside, boxes of the shop and tools that are away."""

from tenths.bench.desk import Field, Form, Typed
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.logbook.entry import Entry
from tenths.services import accepted_orders, commands, instruments, supply
from tenths.services.shop import Shop
from tenths.services.steps import work_state

Entries = list[Entry]
DAYS = "3, or low, likely and high: 3 5 12"


def _parts(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(name, f"{name}: {part.card.words or part.card.kind}") for name, part in shop.build(engine).parts.items()]


def suppliers(shop: Shop, engine: str) -> list[tuple[str, str]]:
    """Everybody whom this shop has ordered from or may, by name."""
    found = {box["supplier"] for box in supply.stock(shop)["boxes"]}
    for name in [engine] if engine else shop.engines():
        for part in supply.part_ways(shop, name):
            found |= {part.supplier, *(s.supplier for s in part.sources)}
    return [(name, name) for name in sorted(found - {""})]


def _kinds(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(n["kind"], n["kind"]) for n in supply.parts(shop, engine)["needed"]]


def _steps(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(s.step.id, s.step.words) for s in work_state(shop, engine).states.values()]


PART = Field(name="part", words="Part", kind="pick", required=True, choices=_parts)
FROM = Field(name="supplier", words="Supplier", required=True, choices=suppliers)
COST = Field(name="cost", words="Cost of one", help="In the shop's money, such as 84.50")
DAY = Field(name="promised", words="Promised for", kind="day")


# -- parts -------------------------------------------------------------------------------------------------------------

def _list(shop: Shop, engine: str, typed: Typed) -> Entries:
    if typed["part"] in shop.build(engine).parts:
        raise BadInput(f"part: {typed['part']!r} is listed already; give it another short name")
    return commands.part(shop, engine, bodies.PartListed(
        part=typed["part"], kind=typed["kind"], words=typed["words"], maker=typed["maker"], number=typed["number"],
        serial=typed["serial"], size=typed["size"], cost=typed["cost"], supplier=typed["supplier"], where=typed["where"]))


def _source(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.PartSourced(
        part=typed["part"], supplier=typed["supplier"], number=typed["number"], cost=typed["cost"], lead=typed["lead"]))


def _order(shop: Shop, engine: str, typed: Typed) -> Entries:
    quantity = typed.count("quantity", 1)
    if quantity < 1:
        raise BadInput(f"quantity: {quantity} is not taken; order one or more")
    return supply.move_part(shop, engine, p.PartOrdered(
        part=typed["part"], supplier=typed["supplier"], order=typed["order"], promised=typed["promised"], cost=typed["cost"],
        quantity=quantity, slots=typed.many("slots")))


def _promise(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.PartPromised(part=typed["part"], promised=typed["promised"], why=typed["why"]))


def _arrive(shop: Shop, engine: str, typed: Typed) -> Entries:
    return commands.part(shop, engine, bodies.PartArrived(part=typed["part"], note=typed["note"]))


def _inspect(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.PartInspected(part=typed["part"], fits=typed["fits"] == "yes", note=typed["note"]))


def _shelve(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.PartShelved(part=typed["part"], shelf=typed["shelf"]))


def _return(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.PartReturned(part=typed["part"], reason=typed["reason"], supplier=typed["supplier"]))


WHERE = (("to be ordered", "to be ordered"), ("on order", "on order"), ("in the house", "in the house"))
LIST = Form(
    name="part-list", title="List a part", button="List it", run=_list, words="Lists a part of the engine, before or after it is there.",
    example={"part": "seal-r", "kind": "seal", "words": "rear seal", "where": "to be ordered", "supplier": "Fenwick Gasket Works"},
    fields=(Field(name="words", words="What it is", required=True),
            Field(name="part", words="Short name, as in crank-m", required=True),
            Field(name="kind", words="Kind", required=True, choices=_kinds, help="As the plan calls it, so that steps wait for it."),
            Field(name="where", words="It is", kind="pick", required=True, choices=WHERE),
            Field(name="maker", words="Maker"), Field(name="number", words="Number"), Field(name="serial", words="Serial"),
            Field(name="size", words="Size on the box"), Field(name="supplier", words="Supplier", choices=suppliers), COST))
SOURCE = Form(
    name="part-source", title="Where it can be had", button="Keep it", run=_source,
    words="Says where a part can be had, at what cost and in how many days.",
    example={"part": "thrust-m2", "supplier": "Lowmoor Bearing Room", "cost": "18.50", "lead": "3 5 12"},
    fields=(PART, FROM, Field(name="number", words="Their number"), COST,
            Field(name="lead", words="Days they need", help=DAYS, also=("lead time",))))
ORDER = Form(
    name="part-order", title="Order it", button="It is ordered", run=_order, words="A part is ordered.",
    example={"part": "pistons-d10", "supplier": "Mill Lane Pistons", "promised": "2026-04-01", "cost": "84.50", "quantity": "6"},
    fields=(PART, FROM, DAY, COST, Field(name="quantity", words="How many", kind="count", usual="1"),
            Field(name="order", words="Number of the order"),
            Field(name="slots", words="For", help="Slots, commas between, such as cyl.2.piston; empty: wherever one is needed.",
                  also=("slot",))))
PROMISE = Form(
    name="part-promise", title="Promised for another day", button="Keep the day", run=_promise,
    words="A part is promised for another day.", example={"part": "thrust-m2", "promised": "2026-04-02", "why": "out of stock"},
    fields=(PART, Field(name="promised", words="Now promised for", kind="day", required=True), Field(name="why", words="Why")))
ARRIVE = Form(name="part-arrive", title="It has come", button="It has come", run=_arrive, words="A part is in the house.",
              example={"part": "thrust-m2"}, fields=(PART, Field(name="note", words="Note")))
INSPECT = Form(
    name="part-inspect", title="Held against the sheet", button="Keep it", run=_inspect,
    words="A part was held against what was ordered and against the sheet.", example={"part": "crank-m", "fits": "yes"},
    fields=(PART, Field(name="fits", words="It is", kind="pick", required=True,
                        choices=(("yes", "as ordered, and agrees with the sheet"), ("no", "not as ordered"))),
            Field(name="note", words="What was found")))
SHELVE = Form(name="part-shelve", title="On which shelf", button="Put it there", run=_shelve, words="Says on which shelf a part lies.",
              example={"part": "crank-m", "shelf": "rack 2"}, fields=(PART, Field(name="shelf", words="Shelf", required=True)))
RETURN = Form(name="part-return", title="Send it back", button="It goes back", run=_return, words="A part goes back to where it came from.",
              example={"part": "thrust-m1", "reason": "wrong width"},
              fields=(PART, Field(name="reason", words="Why", required=True), Field(name="supplier", words="To", choices=suppliers)))


# -- work outside ------------------------------------------------------------------------------------------------------

def _send(shop: Shop, engine: str, typed: Typed) -> Entries:
    return supply.move_part(shop, engine, p.WorkSent(
        work=typed["work"], part=typed["part"], supplier=typed["supplier"], words=typed["words"], promised=typed["promised"],
        cost=typed["cost"], step=typed["step"]))


def _out(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(w["work"], f"{w['work']}: {w['words']}") for w in supply.parts(shop, engine)["outside"] if w["back"] is None]


def _back(shop: Shop, engine: str, typed: Typed) -> Entries:
    if typed["work"] not in (out := [name for name, _ in _out(shop, engine)]):
        raise BadInput(f"work: {typed['work']!r} is not out; out are {', '.join(out) or 'none'}")
    return supply.move_part(shop, engine, p.WorkBack(work=typed["work"], fits=typed["fits"] == "yes", cost=typed["cost"],
                                                     note=typed["note"]))


SEND = Form(
    name="work-send", title="Send a part out to be worked on", button="It goes out", run=_send,
    words="A part goes out of the house to be worked on.",
    example={"work": "balance", "part": "crank-m", "supplier": "Fell Balancing", "words": "balance with damper", "promised": "2026-04-10",
             "cost": "240"},
    fields=(PART, Field(name="words", words="What is done to it", required=True), Field(name="supplier", words="At", required=True,
                                                                                       choices=suppliers),
            Field(name="work", words="Short name for this", required=True), Field(name="promised", words="Back by", kind="day"),
            Field(name="cost", words="Cost"), Field(name="step", words="The step it belongs to", kind="pick", choices=_steps)))
BACK = Form(
    name="work-back", title="It is back", button="It is back", run=_back, words="What was sent out is back.", example=None,
    fields=(Field(name="work", words="What", kind="pick", required=True, choices=_out),
            Field(name="fits", words="It is", kind="pick", required=True, choices=(("yes", "as ordered"), ("no", "not as ordered"))),
            Field(name="cost", words="It cost", help="Empty: as said when it went."), Field(name="note", words="Note")))

def _waiting(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(row.name, f"{row.left} of {row.words}") for row in accepted_orders.wanted(shop) if row.engine == engine]


def _accepted(shop: Shop, engine: str, typed: Typed) -> Entries:
    if (count := typed.count("count", 1)) < 1:
        raise BadInput(f"count: {count} is not taken; order one or more")
    return accepted_orders.order_accepted(shop, engine, typed["accepted"], p.PartOrdered(
        part="", supplier=typed["supplier"], order=typed["order"], promised=typed["promised"], cost=typed["cost"], quantity=count))


ACCEPTED = Form(
    name="order-accepted", title="Order what was accepted", button="It is ordered", run=_accepted, example=None,
    words="Boxes of an accepted order are ordered: as boxes of the shop where it keeps that size, else as a part of the engine.",
    fields=(Field(name="accepted", words="Boxes", kind="pick", required=True, choices=_waiting), FROM,
            Field(name="count", words="How many", kind="count", required=True, usual="1"), DAY, COST,
            Field(name="order", words="Number of the order")))

FORMS = (LIST, SOURCE, ORDER, PROMISE, ARRIVE, INSPECT, SHELVE, RETURN, SEND, BACK, ACCEPTED)


# -- boxes and tools of the shop ----------------------------------------------------------------------------------------

def _boxes(shop: Shop, _engine: str) -> list[tuple[str, str]]:
    return [(box["box"], f"{box['box']}: {box['words'] or box['kind']}") for box in supply.stock(shop)["boxes"]]


def _engines(shop: Shop, _engine: str) -> list[tuple[str, str]]:
    return [(engine, shop.build(engine).name) for engine in shop.engines()]


def _tools(shop: Shop, _engine: str) -> list[tuple[str, str]]:
    return [(row["instrument"], row["name"]) for row in instruments.instruments(shop)]


def _keep(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.move_stock(shop, p.BoxListed(
        box=typed["box"], kind=typed["kind"], size=typed["size"], words=typed["words"], change=typed["change"], supplier=typed["supplier"],
        number=typed["number"], cost=typed["cost"], reorder_at=typed.count("reorder_at"), order_up_to=typed.count("order_up_to")))


def _count(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.move_stock(shop, p.BoxCounted(box=typed["box"], count=typed.count("count")))


def _come(shop: Shop, _engine: str, typed: Typed) -> Entries:
    if (count := typed.count("count", 1)) < 1:
        raise BadInput(f"count: {count} is not taken; one or more come in")
    return supply.move_stock(shop, p.BoxMoved(box=typed["box"], count=count, why=typed["why"]))


def _order_box(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.move_stock(shop, p.BoxOrdered(box=typed["box"], count=typed.count("count", 1), order=typed["order"],
                                                promised=typed["promised"]))


def _take(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.take_box(shop, typed["box"], typed["engine"], count=typed.count("count", 1), why=typed["why"])


def _away(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.move_stock(shop, p.ToolAway(tool=typed["tool"], why=typed["why"], back=typed["back"]))


def _there(shop: Shop, _engine: str, typed: Typed) -> Entries:
    return supply.move_stock(shop, p.ToolBack(tool=typed["tool"]))


BOX = Field(name="box", words="Box", kind="pick", required=True, choices=_boxes)
HOW_MANY = Field(name="count", words="How many", kind="count", required=True, usual="1")
KEEP = Form(
    name="box-keep", title="Keep a kind of box", button="Keep it", run=_keep, of_shop=True, section="Shelf",
    words="Keeps a kind of box for all engines, or brings its card up to date.",
    example={"box": "rings-std", "kind": "ring", "words": "ring set, standard", "supplier": "Mill Lane Pistons", "cost": "48",
             "reorder_at": "1", "order_up_to": "2"},
    fields=(Field(name="words", words="What is in it", required=True), Field(name="box", words="Short name, as in main-10", required=True),
            Field(name="kind", words="Kind of part", required=True,
                  choices=tuple((k, k) for k in ("main-shell", "rod-shell", "ring", "gasket", "seal", "spring"))),
            Field(name="size", words="Size on the box"),
            Field(name="change", words="A pair changes the clearance by", help="For shells, such as -0.001 in."),
            Field(name="supplier", words="Supplier", choices=suppliers), Field(name="number", words="Their number"),
            Field(name="cost", words="Cost of a box"),
            Field(name="reorder_at", words="Order when so many are left", kind="count", usual="0", also=("reorder",)),
            Field(name="order_up_to", words="Order up to", kind="count", usual="0")))
COUNT = Form(name="box-count", title="Count them", button="So many are there", run=_count, of_shop=True, section="Shelf",
             words="So many boxes were counted.", example={"box": "main-10", "count": "2"}, fields=(BOX, HOW_MANY))
COME = Form(name="box-come", title="Boxes came in", button="They came", run=_come, of_shop=True, section="Shelf",
            words="Boxes came in.", example={"box": "main-10", "count": "1"}, fields=(BOX, HOW_MANY, Field(name="why", words="From where")))
ORDER_BOX = Form(name="box-order", title="Boxes are ordered", button="They are ordered", run=_order_box, of_shop=True, section="Shelf",
                 words="Boxes are on their way.", example={"box": "main-10x", "count": "1", "promised": "2026-04-03"},
                 fields=(BOX, HOW_MANY, DAY, Field(name="order", words="Number of the order")))
TAKE = Form(name="box-take", title="Take boxes for an engine", button="Take them", run=_take, of_shop=True, section="Shelf",
            words="Takes boxes off the shelf for an engine; shells are counted in its log as well.",
            example={"box": "main-10", "engine": "kestrel", "count": "1"},
            fields=(BOX, Field(name="engine", words="For", kind="pick", required=True, choices=_engines), HOW_MANY,
                    Field(name="why", words="What for")))
AWAY = Form(name="tool-away", title="A tool is away", button="It is away", run=_away, of_shop=True, section="Shelf",
            words="A tool or an instrument is not there; steps that need it wait.",
            example={"tool": "torque-wrench", "why": "away for calibration", "back": "2026-04-20"},
            fields=(Field(name="tool", words="Tool", required=True, choices=_tools), Field(name="why", words="Where it is", required=True),
                    Field(name="back", words="Expected back", kind="day")))
THERE = Form(name="tool-there", title="It is there again", button="It is there again", run=_there, of_shop=True, section="Shelf",
             words="A tool is there again.", example=None, fields=(Field(name="tool", words="Tool", required=True),))

SHELF_FORMS = (KEEP, COUNT, COME, ORDER_BOX, TAKE, AWAY, THERE)
