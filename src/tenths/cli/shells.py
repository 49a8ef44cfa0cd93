"""Commands about shells: half, seat, what-if."""

import click

from tenths.cli.look import choice_told
from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("half")
@click.argument("engine")
@click.argument("kind", type=click.Choice(["main-shell", "rod-shell"]), required=False)
@click.argument("size", required=False)
@click.argument("walls", nargs=-1)
@click.option("--side", type=click.Choice(["upper", "lower"]), default=None, help="Where they can go; else either side.")
@click.option("--grooved", is_flag=True, help="They have an oil groove.")
@click.option("--flanged", is_flag=True, help="They have flanges, for the thrust place.")
@click.option("--box", default="", help="The box they come from: that set is open.")
@click.option("--change", default="", help="What a pair does to the clearance, for a size not counted in stock.")
@click.option("--by", "instrument", default="", help="Instrument that their walls are read with.")
@as_json
@with_shop
def half_command(shop: Shop, engine: str, kind: str | None, size: str | None, walls: tuple[str, ...], side: str | None,
                 grooved: bool, flanged: bool, box: str, change: str, instrument: str,  # noqa: FBT001 - click passes flags so
                 json_: bool) -> None:  # noqa: FBT001 - the same
    r"""List halves out of an opened box, each with its own wall as read; without KIND, show the halves in the house.

    \b
    Examples:
      tenths half marigold main-shell 11 0.0953 0.0952 --side lower --by ball-mic
      tenths half marigold
    """
    from tenths.services import half_list  # noqa: PLC0415 - only here

    if not kind:
        rows = half_list.half_rows(shop, engine)
        if json_:
            put_json(rows)
            return
        table([(r["half"], r["kind"], r["size"], r["side"], r["wall"], r["where"]) for r in rows],
              heads=("half", "kind", "size", "side", "wall", "where"), right=(4,))
        return
    if not (size and walls):
        raise click.UsageError("give KIND, SIZE and the wall of each half")
    made = half_list.list_halves(shop, engine, half_list.Halves(
        f"{kind}", size, walls, side=side or "", grooved=grooved, flanged=flanged, box=box, change=change, instrument=instrument))
    if json_:
        put_json(made)
        return
    say(f"{len(made)} halves listed: {made[0]['half']} to {made[-1]['half']}" if len(made) > 1 else f"{made[0]['half']} listed")


@click.command("seat")
@click.argument("engine")
@click.argument("station", required=False)
@click.option("--side", type=click.Choice(["upper", "lower"]), default=None, help="Of one side only.")
@click.option("--groove", type=click.Choice(["grooved", "plain", "either"]), default=None, help="What its halves must be.")
@click.option("--flanged/--no-flanges", default=None, help="Whether its halves must have flanges: the thrust place.")
@click.option("--keep/--free", "kept", default=None, help="What is in stays in, or may come out again.")
@as_json
@with_shop
def seat_command(shop: Shop, engine: str, station: str | None, side: str | None, groove: str | None, flanged: bool | None,  # noqa: FBT001
                 kept: bool | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Say what the halves of a place (or a pattern of places) must be, or that they stay; without STATION, show it.

    \b
    Examples:
      tenths seat marigold main.3 --keep
      tenths seat marigold "main.*" --side upper --groove either
      tenths seat marigold
    """
    from tenths.logbook.bodies import SeatStated  # noqa: PLC0415 - only here
    from tenths.services import seats  # noqa: PLC0415 - only here
    from tenths.services.sentences import sentence  # noqa: PLC0415 - only here

    if station:
        if groove is None and flanged is None and kept is None:
            raise click.UsageError("say what its halves must be: --groove, --flanged, --keep")
        entry = seats.state_seat(shop, engine, SeatStated(station=station, side=side or "", groove=groove or "", flanged=flanged,
                                                          kept=kept))
        say(sentence(entry))
        return
    rows = seats.seat_rows(shop, engine)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("Nothing is said of any place: halves of every kind may go anywhere.")
    table([(r["station"], r["side"], r["groove"], "flanged" if r["flanged"] else "", "stays" if r["kept"] else "") for r in rows])


@click.command("what-if")
@click.argument("engine")
@click.argument("question", type=click.Choice(["main-shells", "rod-shells"]))
@click.option("--box", "boxes", multiple=True, help="One more box of a size; of a new size as '12=-0.002 in'.")
@click.option("--grind", default="", help="Taken off the journals, on the diameter.")
@click.option("--hone", default="", help="Taken out of the housings, on the diameter.")
@click.option("--within", default="", help="The machining comes within plus and minus this.")
@click.option("--keep", "kept", multiple=True, help="A place whose halves stay as they are.")
@in_units
@as_json
@with_shop
def what_if_command(shop: Shop, engine: str, question: str, boxes: tuple[str, ...], grind: str, hone: str, within: str,
                    kept: tuple[str, ...], units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The same choice after a change: one more box, the crank ground, the block line-honed. Nothing is written.

    \b
    Examples:
      tenths what-if marigold main-shells --box 11
      tenths what-if marigold main-shells --grind "1 tenth" --within "0.5 tenth"
    """
    from tenths.services.what_if import Change, thought  # noqa: PLC0415 - only here

    found = thought(shop, engine, question, Change(",".join(boxes), grind, hone, within, ",".join(kept)), units or "")
    if json_:
        put_json(found)
        return
    heading(found["title"])
    wrapped(found["words"], "  ")
    choice_told(found["then"])
