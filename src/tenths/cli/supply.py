"""Commands about parts on their way, boxes of stock, tools that are away: supply, shelf."""

from pathlib import Path

import click

from tenths.cli.show import as_json, heading, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop

DAY = "Day, year first, such as 2026-03-31."


@click.group("supply")
def supply_command() -> None:
    """Parts on their way: source, order, inspect, shelve, return; work outside; order lists."""


@supply_command.command("list")
@click.argument("engine")
@as_json
@with_shop
def list_(shop: Shop, engine: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Where every part of an engine is, what is late, and what each missing one holds up.

    \b
    Examples:
      tenths supply list marigold
      tenths supply list kestrel --json
    """
    from tenths.services import supply  # noqa: PLC0415 - only here

    answer = supply.parts(shop, engine)
    if json_:
        put_json(answer)
        return
    rows = [r for r in answer["parts"] if not r["in_house"] or r["history"]]
    table([(r["part"], r["where"], r["supplier"], r["promised"] + (f" late {r['late']} d" if r["late"] else ""), r["words"])
           for r in rows], heads=("part", "where", "supplier", "promised", "words"))
    for r in rows:
        if r["holds_up"]:
            wrapped(f"{r['part']} holds up {len(r['holds_up'])} steps, first {r['holds_up'][0]}", "  ! ")
    if answer["outside"]:
        heading("work outside")
        table([(w["work"], w["part"], w["supplier"], w["promised"], "back" if w["back"] else "out", w["words"]) for w in answer["outside"]])
    heading("what the plan needs")
    table([(n["kind"], str(n["places"]), f"{n['in_house']} of {len(n['listed'])}") for n in answer["needed"]],
          heads=("kind", "places", "in the house, of listed"))


def _moved(shop: Shop, engine: str, *what: object) -> None:
    from tenths.services import sentences, supply  # noqa: PLC0415 - only here

    for entry in supply.move_part(shop, engine, *what):  # type: ignore[arg-type] - made by the commands below
        say(sentences.sentence(entry))


@supply_command.command("source")
@click.argument("engine")
@click.argument("part")
@click.argument("supplier")
@click.option("--number", default="", help="Their number.")
@click.option("--cost", default="", help="Cost of one.")
@click.option("--lead", default="", help="Days they need: '8', or low, likely and high: '5 8 21'.")
@with_shop
def source(shop: Shop, engine: str, part: str, supplier: str, number: str, cost: str, lead: str) -> None:
    r"""Say where a part can be had.

    \b
    Example:
      tenths supply source marigold thrust-m2 "Lowmoor Bearing Room" --cost 18.50 --lead "3 5 12"
    """
    from tenths.logbook.part_bodies import PartSourced  # noqa: PLC0415 - only here

    _moved(shop, engine, PartSourced(part=part, supplier=supplier, number=number, cost=cost, lead=lead))


@supply_command.command("place")
@click.argument("engine")
@click.argument("part")
@click.argument("supplier")
@click.option("--order", "order_", default="", help="Number of the order.")
@click.option("--promised", default="", help=DAY)
@click.option("--cost", default="", help="Cost of one.")
@click.option("--quantity", default=1, type=click.IntRange(1, 9999), help="How many; else one.")
@click.option("--for", "slots", multiple=True, help="The slot that it is for.")
@with_shop
def place(shop: Shop, engine: str, part: str, supplier: str, order_: str, promised: str, cost: str, quantity: int,
          slots: tuple[str, ...]) -> None:
    r"""Order a part.

    \b
    Example:
      tenths supply place marigold thrust-m2 "Lowmoor Bearing Room" --promised 2026-03-24
    """
    from tenths.logbook.part_bodies import PartOrdered  # noqa: PLC0415 - only here

    _moved(shop, engine, PartOrdered(part=part, supplier=supplier, order=order_, promised=promised, cost=cost, quantity=quantity,
                                     slots=slots))


@supply_command.command("accepted")
@click.argument("engine")
@click.argument("name", required=False)
@click.argument("supplier", required=False)
@click.option("--count", default=1, type=click.IntRange(1, 999), help="How many boxes; else one.")
@click.option("--order", "order_", default="", help="Number of the order.")
@click.option("--promised", default="", help=DAY)
@click.option("--cost", default="", help="Cost of one.")
@with_shop
def accepted(shop: Shop, engine: str, name: str | None, supplier: str | None, count: int, order_: str, promised: str, cost: str) -> None:
    r"""Order boxes of an accepted order, by the NAME that stands before them; without one, show what waits.

    The name is followed by the supplier, and --count by how many boxes.

    \b
    Example:
      tenths supply accepted kestrel
    """
    from tenths.logbook.part_bodies import PartOrdered  # noqa: PLC0415 - only here
    from tenths.services import accepted_orders, sentences  # noqa: PLC0415 - only here

    if name is None or supplier is None:
        shop.build(engine)
        rows = [row for row in accepted_orders.wanted(shop) if row.engine == engine]
        table([(row.name, str(row.left), row.words) for row in rows], right=(1,))
        if not rows:
            say("No accepted order waits.")
        return
    order = PartOrdered(part="", supplier=supplier, order=order_, promised=promised, cost=cost, quantity=count)
    for entry in accepted_orders.order_accepted(shop, engine, name, order):
        say(sentences.sentence(entry))


@supply_command.command("promised")
@click.argument("engine")
@click.argument("part")
@click.argument("day")
@click.option("--why", default="", help="Why it changed.")
@with_shop
def promised(shop: Shop, engine: str, part: str, day: str, why: str) -> None:
    r"""A part is promised for another day.

    \b
    Example:
      tenths supply promised marigold thrust-m2 2026-04-02 --why "out of stock"
    """
    from tenths.logbook.part_bodies import PartPromised  # noqa: PLC0415 - only here

    _moved(shop, engine, PartPromised(part=part, promised=day, why=why))


@supply_command.command("inspected")
@click.argument("engine")
@click.argument("part")
@click.option("--no", "wrong", is_flag=True, help="It does not agree with the sheet.")
@click.option("--note", default="", help="What was found.")
@with_shop
def inspected(shop: Shop, engine: str, part: str, wrong: bool, note: str) -> None:  # noqa: FBT001 - click
    r"""A part was held against the sheet.

    \b
    Example:
      tenths supply inspected marigold crank-m --note "journals as ordered"
    """
    from tenths.logbook.part_bodies import PartInspected  # noqa: PLC0415 - only here

    _moved(shop, engine, PartInspected(part=part, fits=not wrong, note=note))


@supply_command.command("shelve")
@click.argument("engine")
@click.argument("part")
@click.argument("shelf")
@with_shop
def shelve(shop: Shop, engine: str, part: str, shelf: str) -> None:
    r"""Say on which shelf a part lies.

    \b
    Example:
      tenths supply shelve marigold crank-m "rack 2"
    """
    from tenths.logbook.part_bodies import PartShelved  # noqa: PLC0415 - only here

    _moved(shop, engine, PartShelved(part=part, shelf=shelf))


@supply_command.command("return")
@click.argument("engine")
@click.argument("part")
@click.argument("reason")
@click.option("--to", "supplier", default="", help="Where it goes.")
@with_shop
def return_(shop: Shop, engine: str, part: str, reason: str, supplier: str) -> None:
    r"""Send a part back.

    \b
    Example:
      tenths supply return marigold thrust-m1 "wrong width"
    """
    from tenths.logbook.part_bodies import PartReturned  # noqa: PLC0415 - only here

    _moved(shop, engine, PartReturned(part=part, reason=reason, supplier=supplier))


@supply_command.command("out")
@click.argument("engine")
@click.argument("work")
@click.argument("part")
@click.argument("supplier")
@click.argument("words")
@click.option("--promised", default="", help=DAY)
@click.option("--cost", default="", help="What it costs.")
@click.option("--step", default="", help="The step that it belongs to.")
@with_shop
def out(shop: Shop, engine: str, work: str, part: str, supplier: str, words: str, promised: str, cost: str, step: str) -> None:
    r"""Send a part out to be worked on; WORK is a name for it.

    \b
    Example:
      tenths supply out marigold balance crank-m "Fell Balancing" "balance with damper" \
        --promised 2026-04-10 --cost 240 --step balance-crank
    """
    from tenths.logbook.part_bodies import WorkSent  # noqa: PLC0415 - only here

    _moved(shop, engine, WorkSent(work=work, part=part, supplier=supplier, words=words, promised=promised, cost=cost, step=step))


@supply_command.command("back")
@click.argument("engine")
@click.argument("work")
@click.option("--no", "wrong", is_flag=True, help="It is not as ordered.")
@click.option("--cost", default="", help="What it cost.")
@click.option("--note", default="", help="Anything else.")
@with_shop
def back(shop: Shop, engine: str, work: str, wrong: bool, cost: str, note: str) -> None:  # noqa: FBT001 - click
    """What was sent out is back."""
    from tenths.logbook.part_bodies import WorkBack  # noqa: PLC0415 - only here

    _moved(shop, engine, WorkBack(work=work, fits=not wrong, cost=cost, note=note))


@supply_command.command("lists")
@click.argument("engines", nargs=-1)
@click.option("--supplier", default="", help="Only this one.")
@click.option("--csv", "csv_", type=click.Path(dir_okay=False, writable=True, path_type=Path), help="Write it as CSV.")
@click.option("--pdf", type=click.Path(dir_okay=False, writable=True, path_type=Path), help="Write a supplier's as PDF.")
@as_json
@with_shop
def lists(shop: Shop, engines: tuple[str, ...], supplier: str, csv_: Path | None, pdf: Path | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What is to be ordered, by supplier: parts of all engines, boxes at their reorder point.

    \b
    Examples:
      tenths supply lists
      tenths supply lists marigold --csv orders.csv
    """
    from tenths.services import supply  # noqa: PLC0415 - only here

    answer = supply.to_order(shop, engines)
    if csv_:
        csv_.write_text(supply.order_csv(answer, supplier), "utf-8")
    if pdf:
        if not supplier:
            raise click.UsageError("--pdf is one supplier's order: name it with --supplier")
        from tenths.record.orders import order_pdf  # noqa: PLC0415 - only here
        from tenths.record.typeset import write_whole  # noqa: PLC0415 - only here

        write_whole(pdf, order_pdf(shop, supplier, engines=engines))
    if json_:
        put_json(answer)
        return
    if not answer["suppliers"]:
        say("Nothing is to be ordered.")
    for one in answer["suppliers"]:
        if supplier in {"", one["supplier"]}:
            heading(f"{one['supplier']}: {one['total']}")
            table([("  " + line["what"], line["number"], str(line["quantity"]), line["cost"], line["engine"], line["words"])
                   for line in one["lines"]], right=(2, 3))


@click.group("shelf")
def shelf_command() -> None:
    """Boxes that the shop keeps for all engines, and tools that are away."""


@shelf_command.command("show")
@as_json
@with_shop
def show(shop: Shop, json_: bool) -> None:  # noqa: FBT001 - click
    r"""How many of each box there are, what is coming, what to order; tools that are away.

    \b
    Example:
      tenths shelf show
    """
    from tenths.services import supply  # noqa: PLC0415 - only here

    answer = supply.stock(shop)
    if json_:
        put_json(answer)
        return
    table([(b["box"], str(b["count"]), str(b["coming"]), str(b["reorder_at"]), str(b["to_order"]), b["words"] or b["kind"])
           for b in answer["boxes"]], heads=("box", "there", "coming", "order at", "order now", "words"), right=(1, 2, 3, 4))
    for row in answer["away"]:
        wrapped(f"{row['tool']} is away: {row['why']}", "  ! ")


def _stocked(shop: Shop, what: object) -> None:
    from tenths.services import sentences, supply  # noqa: PLC0415 - only here

    for entry in supply.move_stock(shop, what):  # type: ignore[arg-type] - made by the commands below
        say(sentences.sentence(entry))


@shelf_command.command("keep")
@click.argument("box")
@click.argument("kind")
@click.option("--size", default="", help="Size on the box.")
@click.option("--words", default="", help="What it is.")
@click.option("--change", default="", help="For shells: change of clearance that a pair makes.")
@click.option("--supplier", default="", help="From whom.")
@click.option("--number", default="", help="Their number.")
@click.option("--cost", default="", help="Cost of one box.")
@click.option("--at", "reorder_at", default=0, type=click.IntRange(0, 999), help="Order when so many are left.")
@click.option("--up-to", "order_up_to", default=0, type=click.IntRange(0, 999), help="Order up to so many.")
@with_shop
def keep(shop: Shop, box: str, kind: str, **card: object) -> None:
    r"""Keep a kind of box, or bring its card up to date.

    \b
    Example:
      tenths shelf keep main-10 main-shell --size 10 --change "0 in" --at 1 --up-to 3
    """
    from tenths.logbook.part_bodies import BoxListed  # noqa: PLC0415 - only here

    _stocked(shop, BoxListed(box=box, kind=kind, **card))  # type: ignore[arg-type] - click has looked at them


@shelf_command.command("count")
@click.argument("box")
@click.argument("count", type=click.IntRange(0, 9999))
@with_shop
def count_(shop: Shop, box: str, count: int) -> None:
    """Say how many boxes were counted."""
    from tenths.logbook.part_bodies import BoxCounted  # noqa: PLC0415 - only here

    _stocked(shop, BoxCounted(box=box, count=count))


@shelf_command.command("in")
@click.argument("box")
@click.argument("count", type=click.IntRange(1, 9999))
@click.option("--why", default="", help="Where from.")
@with_shop
def in_(shop: Shop, box: str, count: int, why: str) -> None:
    """Boxes came in."""
    from tenths.logbook.part_bodies import BoxMoved  # noqa: PLC0415 - only here

    _stocked(shop, BoxMoved(box=box, count=count, why=why))


@shelf_command.command("order")
@click.argument("box")
@click.argument("count", type=click.IntRange(1, 9999))
@click.option("--order", "order_", default="", help="Number of the order.")
@click.option("--promised", default="", help=DAY)
@with_shop
def order_boxes(shop: Shop, box: str, count: int, order_: str, promised: str) -> None:
    """Boxes are on their way."""
    from tenths.logbook.part_bodies import BoxOrdered  # noqa: PLC0415 - only here

    _stocked(shop, BoxOrdered(box=box, count=count, order=order_, promised=promised))


@shelf_command.command("take")
@click.argument("box")
@click.argument("engine")
@click.option("--count", default=1, type=click.IntRange(1, 9999), help="How many; else one.")
@click.option("--why", default="", help="What for.")
@with_shop
def take(shop: Shop, box: str, engine: str, count: int, why: str) -> None:
    """Take boxes for an engine; shells are counted in its log as well."""
    from tenths.services import sentences, supply  # noqa: PLC0415 - only here

    for entry in supply.take_box(shop, box, engine, count=count, why=why):
        say(sentences.sentence(entry))


@shelf_command.command("away")
@click.argument("tool")
@click.argument("why")
@click.option("--back", default="", help=DAY)
@with_shop
def away(shop: Shop, tool: str, why: str, back: str) -> None:
    r"""A tool or an instrument is not there; steps that need it wait.

    \b
    Example:
      tenths shelf away torque-wrench "away for calibration" --back 2026-04-20
    """
    from tenths.logbook.part_bodies import ToolAway  # noqa: PLC0415 - only here

    _stocked(shop, ToolAway(tool=tool, why=why, back=back))


@shelf_command.command("there")
@click.argument("tool")
@with_shop
def there(shop: Shop, tool: str) -> None:
    """The tool is there again."""
    from tenths.logbook.part_bodies import ToolBack  # noqa: PLC0415 - only here

    _stocked(shop, ToolBack(tool=tool))
