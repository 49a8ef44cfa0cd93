"""Commands: order, and how predictions came out."""

import sys

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("order")
@click.argument("engine")
@click.argument("question", type=click.Choice(["main-order", "rod-order"]))
@click.option("--sizes", default="", help="That can be bought: '11, 12=-0.002 in@58'; else every size counted in stock.")
@click.option("--cost", type=float, default=1.0, show_default=True, help="Of a box, where its size has no price of its own.")
@click.option("--most", type=int, default=2, show_default=True, help="Boxes of a size that can be had.")
@click.option("--asked", type=float, default=95.0, show_default=True, help="Probability of finishing the engine, in %.")
@click.option("--confidence", type=float, default=95.0, show_default=True, help="Of the check on fresh scenarios, in %.")
@click.option("--source", type=click.Choice(["best", "history", "tolerance"]), default="best", show_default=True,
              help="What says how parts come out: the shop's history or the maker's tolerance.")
@click.option("--first", type=click.Choice(["journals", "housings", "none"]), default="journals", show_default=True,
              help="Whose measuring before the order is valued.")
@click.option("--scenarios", type=int, default=2000, show_default=True, help="To find plans with.")
@click.option("--seed", type=int, default=None, help="Of chance; else the same log gives the same plan.")
@click.option("--accept", is_flag=True, help="Accept the plan; it becomes an entry of the log.")
@click.option("--words", default="", help="With --accept: why, in your words.")
@in_units
@as_json
@with_shop
def order_command(shop: Shop, engine: str, question: str, sizes: str, cost: float, most: int, asked: float, confidence: float,
                  source: str, first: str, scenarios: int, seed: int | None, accept: bool, words: str,  # noqa: FBT001 - click
                  units: str | None, json_: bool) -> None:  # noqa: FBT001 - passes flags so
    r"""Which boxes of shells to order before the parts arrive, so that the engine can be finished, at least cost.

    \b
    Examples:
      tenths order kestrel rod-order --cost 60
      tenths order marigold main-order --sizes "11, 12=-0.002 in@58" --asked 99
    """
    from tenths.services import ordering  # noqa: PLC0415 - only here
    from tenths.services.order_basis import Source  # noqa: PLC0415 - only here

    of: Source = "history" if source == "history" else "tolerance" if source == "tolerance" else "best"
    wish = ordering.Wish(sizes, cost, most, asked, confidence, of, scenarios, seed, "" if first == "none" else first)
    found = ordering.order(shop, engine, question, wish, units=units or "", progress=_bar)
    if accept:
        entry = ordering.accept_order(shop, engine, found, words)
        say(f"{question}: accepted, entry {entry.position} of the log")
        return
    if json_:
        put_json(found)
        return
    heading(found["title"])
    for stop in found["stops"]:
        wrapped(stop["words"], "  ")
    if found["plan"]:
        say(f"  order {found['plan']['words']}" + (f", at {found['plan']['cost']:g}" if found["plan"]["cost"] else ""))
    for said in found["reasons"]:
        wrapped(said, "  - ")
    if found["measuring"]:
        wrapped(found["measuring"]["words"], "  - ")
    heading("Probability against cost")
    table([(f"  {row['cost']:g}", f"{row['probability']:.1%}", row["words"]) for row in found["table"]],
          heads=("  cost", "finishes with", "boxes"), right=(0, 1))
    heading("What it rests on")
    for said in found["basis"]:
        wrapped(said, "  - ")


@click.command("bias")
@in_units
@as_json
@with_shop
def bias_command(shop: Shop, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""What was predicted when a choice was accepted against what was read later, per kind of choice, over all engines.

    \b
    Example:
      tenths bias
    """
    from tenths.services.bias import bias_rows  # noqa: PLC0415 - only here

    rows = bias_rows(shop, units or "")
    if json_:
        put_json(rows)
        return
    if not rows:
        say("Nothing to tell yet: no choice that was accepted has been read since.")
    for row in rows:
        wrapped(row["words"], "  - ")
        table([(f"      {o['engine']}", o["station"], f"{o['predicted']:.5g}", f"{o['read']:.5g}", f"{o['off']:+.2g}", row["unit"])
               for o in row["outcomes"]], heads=("      engine", "place", "predicted", "read", "off by", ""), right=(2, 3, 4))


def _bar(share: float, words: str) -> None:
    """How far it has come, for a person who waits at a terminal."""
    if not sys.stderr.isatty():
        return
    done = round(30 * share)
    end = "\r" + " " * 70 + "\r" if share >= 1 and words == "done" else ""
    click.echo(f"\r[{'=' * done}{' ' * (30 - done)}] {words:<34.34}{end}", nl=False, err=True)
