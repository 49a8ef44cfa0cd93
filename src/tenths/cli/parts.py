"""Commands about parts: part, machine, stock."""

import click

from tenths.cli.show import as_json, put_json, say, table, with_shop
from tenths.services.shop import Shop


@click.group("part", invoke_without_command=False)
def part_command() -> None:
    """List parts, say that they arrived, fit and remove them."""


@part_command.command("list")
@click.argument("engine")
@click.argument("part", required=False)
@click.argument("kind", required=False)
@click.option("--words", default="", help="What it is, for a person.")
@click.option("--serial", default="", help="Serial number.")
@click.option("--size", default="", help="Size on the box, for shells.")
@click.option("--material", default="", help="Material, so that warm readings can be brought to 20 °C.")
@click.option("--on-order", "supplier", default="", metavar="SUPPLIER", help="It is not in the house yet.")
@click.option("--promised", default="", help="Date promised.")
@as_json
@with_shop
def list_(shop: Shop, engine: str, part: str | None, kind: str | None, words: str, serial: str, size: str, material: str,
          supplier: str, promised: str, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""List a part (PART KIND), or show all.

    \b
    Examples:
      tenths part list marigold
      tenths part list marigold pump-2 oil-pump --on-order "Greyfell Pumps"
    """
    from tenths.logbook.bodies import PartListed  # noqa: PLC0415 - only here
    from tenths.services import commands, questions  # noqa: PLC0415 - only here

    if part and kind:
        commands.part(shop, engine, PartListed(part=part, kind=kind, words=words, serial=serial, size=size,
                                               material=material, supplier=supplier, promised=promised,
                                               where="on order" if supplier or promised else "in the house"))
        say(f"{part} listed")
        return
    if part:
        raise click.UsageError("give PART and KIND, or neither")
    rows = questions.show(shop, engine).get("parts", [])
    if json_:
        put_json(rows)
        return
    table([(r["part"], r["kind"], r["where"], ", ".join(r["fitted"]), r["words"]) for r in rows],
          heads=("part", "kind", "where", "fitted in", "words"))


@part_command.command("arrived")
@click.argument("engine")
@click.argument("part")
@with_shop
def arrived(shop: Shop, engine: str, part: str) -> None:
    r"""A part that was on order is in the house.

    \b
    Example:
      tenths part arrived marigold thrust-m2
    """
    from tenths.logbook.bodies import PartArrived  # noqa: PLC0415 - only here
    from tenths.services import commands  # noqa: PLC0415 - only here

    commands.part(shop, engine, PartArrived(part=part))
    say(f"{part} is in the house")


@part_command.command("fit")
@click.argument("engine")
@click.argument("slot")
@click.argument("part")
@click.option("--all-along", is_flag=True, help="It was in before the first reading; earlier readings stay valid.")
@with_shop
def fit(shop: Shop, engine: str, slot: str, part: str, all_along: bool) -> None:  # noqa: FBT001 - click
    r"""Fit a part in a slot; readings taken with another part in it turn stale.

    \b
    Example:
      tenths part fit marigold thrust.lower thrust-m2
    """
    from tenths.logbook.bodies import PartFitted  # noqa: PLC0415 - only here
    from tenths.services import commands  # noqa: PLC0415 - only here

    before = _stale(shop, engine)
    commands.part(shop, engine, PartFitted(slot=slot, part=part, all_along=all_along))
    say(f"{part} fitted in {slot}")
    _tell_stale(before, _stale(shop, engine))


@part_command.command("remove")
@click.argument("engine")
@click.argument("slot")
@with_shop
def remove(shop: Shop, engine: str, slot: str) -> None:
    r"""Take out what is in a slot.

    \b
    Example:
      tenths part remove marigold thrust.upper
    """
    from tenths.logbook.bodies import PartRemoved  # noqa: PLC0415 - only here
    from tenths.services import commands  # noqa: PLC0415 - only here

    before = _stale(shop, engine)
    commands.part(shop, engine, PartRemoved(slot=slot))
    say(f"{slot} is empty")
    _tell_stale(before, _stale(shop, engine))


def _stale(shop: Shop, engine: str) -> set[tuple[str, str]]:
    from tenths.services import questions  # noqa: PLC0415 - only here

    return {(f["station_words"], f["words"]) for f in questions.findings(shop, engine) if f["verdict"] == "stale"}


def _tell_stale(before: set[tuple[str, str]], after: set[tuple[str, str]]) -> None:
    new = sorted(after - before)
    if new:
        say(f"To be read again ({len(new)}):")
        table([("  " + where, what) for where, what in new])


@click.command("machine")
@click.argument("engine")
@click.argument("slot")
@click.argument("operation")
@click.option("--at", "stations", multiple=True, help="Only there; may be given more than once.")
@click.option("--note", default="", help="Anything else.")
@with_shop
def machine_command(shop: Shop, engine: str, slot: str, operation: str, stations: tuple[str, ...], note: str) -> None:
    r"""Record a machining operation on the part in a slot; readings that it ends turn stale.

    \b
    Examples:
      tenths machine marigold block honed --at cyl.3
      tenths machine marigold crank ground
    """
    from tenths.services import commands  # noqa: PLC0415 - only here

    before = _stale(shop, engine)
    commands.machine(shop, engine, slot=slot, operation=operation, stations=stations, note=note)
    say(f"{slot} {operation}" + (f" at {', '.join(stations)}" if stations else ""))
    _tell_stale(before, _stale(shop, engine))


@click.command("stock")
@click.argument("engine")
@click.argument("kind", type=click.Choice(["main-shell", "rod-shell", "shim"]))
@click.argument("size")
@click.argument("change")
@click.argument("sets", type=click.IntRange(0, 99))
@click.option("--grooved", type=click.Choice(["upper", "lower", "both"]), default=None, help="Which of its halves have a groove.")
@click.option("--flanged", is_flag=True, help="The set has flanged halves for the thrust place.")
@with_shop
def stock_command(shop: Shop, engine: str, kind: str, size: str, change: str, sets: int, grooved: str | None,
                  flanged: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Count the sets of shells of one size, or shims of one thickness.

    CHANGE is what a pair of shells does to the clearance; of a shim its
    thickness.

    \b
    Examples:
      tenths stock marigold rod-shell 11 "-0.001 in" 2
      tenths stock marigold shim 0.030 "0.030 in" 12
    """
    from tenths.logbook.bodies import StockCounted  # noqa: PLC0415 - only here
    from tenths.services import commands  # noqa: PLC0415 - only here

    commands.part(shop, engine, StockCounted(kind=kind, size=size, change=change, sets=sets, grooved=grooved or "",
                                             flanged=flanged))
    say(f"{sets} {'shims' if kind == 'shim' else f'sets of {kind}'} {size} in the house")
