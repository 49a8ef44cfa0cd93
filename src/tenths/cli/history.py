"""Commands about the shop's own history: history."""

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop
from tenths.services.shop import Shop


@click.group("history")
def history_command() -> None:
    """A characteristic over all engines; engines by part, customer, size, problem."""


@history_command.command("of")
@click.argument("characteristic")
@click.option("--at", "station", default="", help="Only there, a station or a pattern.")
@click.option("--engine", "engines", multiple=True, help="Only this engine; may be given more than once.")
@in_units
@as_json
@with_shop
def of(shop: Shop, characteristic: str, station: str, engines: tuple[str, ...], units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""A characteristic over all engines: distribution, trend, what was chosen.

    \b
    Example:
      tenths history of main-oil-clearance --at "main.*"
    """
    from tenths.services import history  # noqa: PLC0415 - only here

    answer = history.history(shop, characteristic, station=station, engines=engines, units=units or "inch")
    if json_:
        put_json(answer)
        return
    spread = answer["spread"]
    if spread is None:
        say(f"No {answer['words']} has been measured yet.")
        return
    say(f"{answer['words']}: {spread['count']} values of {answer['engines']} engines")
    said = spread["text"]
    rows = [("mean", said["mean"]), ("from, half, to", f"{said['least']}, {said['half']}, {said['most']}")]
    if said["deviation"]:
        rows.insert(1, ("standard deviation", said["deviation"]))
    if answer["trend"]:
        rows.append(("trend", answer["trend"]["text"]))
    table(rows)
    most = max(n for _, _, n in spread["bins"])
    table([(f"  {a:.5g}", "#" * round(30 * n / most) + f" {n}") for a, _, n in spread["bins"]])
    if answer["choices"]:
        heading("by what was chosen")
        table([("  " + c["pick"], str(c["count"]), c["text"]["mean"], c["text"]["deviation"]) for c in answer["choices"]],
              heads=("  chosen", "values", "mean", "deviation"), right=(1, 2, 3))
    heading("values")
    table([("  " + r["at"][:10], r["engine"], r["station"], r["text"], r["verdict"], r["pick"]) for r in answer["values"]])


@history_command.command("find")
@click.option("--part", default="", help="Words in one of its parts: name, kind, maker, number, serial, size.")
@click.option("--customer", default="", help="Words in the customer's name.")
@click.option("--problem", default="", help="Words in one of its problems.")
@click.option("--size", default="", help="A size, or two with 'to' between; with --feature.")
@click.option("--feature", default="", help="The feature that the size is of.")
@click.option("--text", default="", help="Words anywhere: name, purpose, notes.")
@as_json
@with_shop
def find(shop: Shop, part: str, customer: str, problem: str, size: str, feature: str, text: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Engines of which everything given is true.

    \b
    Examples:
      tenths history find --part "forged crank"
      tenths history find --feature bore --size "3.8 in to 3.9 in"
    """
    from tenths.services import history  # noqa: PLC0415 - only here

    rows = history.find(shop, part=part, customer=customer, problem=problem, size=size, feature=feature, text=text)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("No engine.")
    for row in rows:
        say(f"{row['engine']}: {row['name']}, {row['customer']}".rstrip(", "))
        table([("  " + where, "; ".join(hits)) for where, hits in row["found"].items()])


@history_command.command("wear")
@click.argument("engine")
@in_units
@as_json
@with_shop
def wear(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""First readings beside the newest, place by place: what wore since.

    \b
    Example:
      tenths history wear marigold
    """
    from tenths.services import history  # noqa: PLC0415 - only here

    answer = history.wear(shop, engine, units=units or "")
    if json_:
        put_json(answer)
        return
    if not answer["rows"]:
        say("Nothing has been read again yet.")
    table([(r["station"], r["feature"], r["place"], r["first"]["written"], r["last"]["written"], r["change_text"]
            + (", another part" if r["other_part"] else "")) for r in answer["rows"]])
