"""Commands about the customer: messages, approvals, problems, progress."""

import click

from tenths.cli.show import as_json, heading, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.group("customer")
def customer_command() -> None:
    """Messages, what the customer agreed to, problems, progress."""


@customer_command.command("show")
@click.argument("engine")
@as_json
@with_shop
def show(shop: Shop, engine: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""All that stands between the shop and the customer of an engine.

    \b
    Example:
      tenths customer show marigold
    """
    from tenths.services import customers  # noqa: PLC0415 - only here

    answer = customers.customer(shop, engine)
    if json_:
        put_json(answer)
        return
    table([(what, answer[what]) for what in ("customer", "purpose", "use", "fuel", "due") if answer[what]])
    for title, rows in (("messages", [(x["at"][:10], f"{x['way']} {x['who']}: {x['text']}") for x in answer["messages"]]),
                        ("asked", [("open" if x["agreed"] is None else "yes" if x["agreed"] else "no", f"{x['approval']}: {x['text']}")
                                   for x in answer["approvals"]]),
                        ("problems", [("solved" if x["solved"] else "open",
                                       f"{x['problem']} at {x['station']}: {x['outcome'] or x['text']}")
                                      for x in answer["problems"]])):
        if rows:
            heading(title)
            table([("  " + a, b) for a, b in rows])


@customer_command.command("progress")
@click.argument("engine")
@as_json
@with_shop
def progress(shop: Shop, engine: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What the customer may see: how far each stage is.

    \b
    Example:
      tenths customer progress marigold
    """
    from tenths.services import customers  # noqa: PLC0415 - only here

    answer = customers.progress(shop, engine)
    if json_:
        put_json(answer)
        return
    say(f"{answer['name']}: {answer['share']:.0%} of the steps done" + (f", promised for {answer['due']}" if answer["due"] else ""))
    table([("  " + s["stage"], f"{s['done']} of {s['total']}", s["state"]) for s in answer["stages"]])
    for asked in answer["asked"]:
        wrapped(f"{asked['approval']}: {asked['text']}", "  ? ")


def _written(shop: Shop, engine: str, body: object) -> None:
    from tenths.services import customers, sentences  # noqa: PLC0415 - only here

    say(sentences.sentence(customers.write(shop, engine, body)))  # type: ignore[arg-type] - made by the commands below


@customer_command.command("message")
@click.argument("engine")
@click.argument("way", type=click.Choice(["to", "from"]))
@click.argument("who")
@click.argument("text")
@click.option("--by", default="", help="How: telephone, letter, at the counter.")
@with_shop
def message(shop: Shop, engine: str, way: str, who: str, text: str, by: str) -> None:
    r"""Keep a message to or from the customer.

    \b
    Example:
      tenths customer message marigold from "R. Oake" "Go ahead." --by telephone
    """
    from tenths.logbook.money_bodies import MessageWritten  # noqa: PLC0415 - only here

    _written(shop, engine, MessageWritten(way=way, who=who, text=text, by=by))


@customer_command.command("ask")
@click.argument("engine")
@click.argument("approval")
@click.argument("text")
@click.option("--cost", default="", help="What it would cost.")
@with_shop
def ask(shop: Shop, engine: str, approval: str, text: str, cost: str) -> None:
    r"""Ask the customer to agree to something; APPROVAL is a name for it.

    \b
    Example:
      tenths customer ask marigold sleeve "Hole 2 needs a sleeve." --cost 180
    """
    from tenths.logbook.money_bodies import ApprovalAsked  # noqa: PLC0415 - only here

    _written(shop, engine, ApprovalAsked(approval=approval, text=text, cost=cost))


@customer_command.command("answer")
@click.argument("engine")
@click.argument("approval")
@click.argument("agreed", type=click.Choice(["yes", "no"]))
@click.argument("who")
@click.option("--by", default="", help="How it was said.")
@click.option("--text", default="", help="In their words.")
@with_shop
def answer(shop: Shop, engine: str, approval: str, agreed: str, who: str, by: str, text: str) -> None:
    """Keep the customer's answer."""
    from tenths.logbook.money_bodies import ApprovalGiven  # noqa: PLC0415 - only here

    _written(shop, engine, ApprovalGiven(approval=approval, agreed=agreed == "yes", who=who, by=by, text=text))


@customer_command.command("problem")
@click.argument("engine")
@click.argument("problem")
@click.option("--at", "station", default="engine", help="Where, as a station; else the engine.")
@click.option("--text", default="", help="More about it.")
@click.option("--solved", default="", help="What became of it.")
@with_shop
def problem(shop: Shop, engine: str, problem: str, station: str, text: str, solved: str) -> None:
    r"""Write a problem down, under a word by which it is found again; or what became of it.

    \b
    Example:
      tenths customer problem marigold "cracked web" --at main.2 --text "from the oil hole"
    """
    from tenths.logbook.money_bodies import ProblemFound, ProblemSolved  # noqa: PLC0415 - only here

    _written(shop, engine, ProblemSolved(problem=problem, text=solved) if solved else
             ProblemFound(problem=problem, station=station, text=text))


@customer_command.command("back")
@click.argument("engine")
@click.argument("reason")
@click.option("--warranty", is_flag=True, help="Under warranty.")
@click.option("--run", "run_", default="", help="How long it ran.")
@with_shop
def back(shop: Shop, engine: str, reason: str, warranty: bool, run_: str) -> None:  # noqa: FBT001 - click
    r"""The engine is back after it was shipped: its steps begin anew, its readings stay to compare with.

    \b
    Example:
      tenths customer back marigold "to be freshened" --run "31 hours"
    """
    from tenths.logbook.money_bodies import EngineReturned  # noqa: PLC0415 - only here

    _written(shop, engine, EngineReturned(reason=reason, warranty=warranty, run=run_))
