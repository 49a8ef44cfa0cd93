"""Commands that begin: demo, new, layouts, describe."""

from collections.abc import Callable
from typing import Any

import click

from tenths.cli.show import as_json, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop

KEY = 24  # columns of a key in the table on descriptions, its marks taken off
USES = ("street", "hard", "circuit", "drag", "boosted", "vintage", "marine")


@click.command("demo")
@with_shop
def demo_command(shop: Shop) -> None:
    r"""Lay two invented engines in the shop, half way through their first fitting.

    \b
    Example:
      tenths demo
      tenths check marigold
    """
    from tenths.services.demo import lay_demo  # noqa: PLC0415 - only here

    before = set(shop.engines())
    for name in lay_demo(shop):
        say(f"{name}: {shop.build(name).name}, {'laid' if name not in before else 'was there already'}")
    say("Look at one with 'tenths check marigold', print it with 'tenths record marigold'.")


def described(command: Callable[..., Any]) -> Callable[..., Any]:
    """The options that say what an engine is."""
    options = (
        click.option("--units", type=click.Choice(["inch", "metric"]), help="Unit system of the engine."),
        click.option("--use", type=click.Choice(USES), help="Kind of use; it decides which common practice judges."),
        click.option("--customer", help="Who it is for."),
        click.option("--purpose", help="What it is for."),
        click.option("--fuel", help="What it will run on."),
        click.option("--notes", help="Anything else."),
    )
    for option in reversed(options):
        command = option(command)
    return command


@click.command("new")
@click.argument("name")
@click.option("--layout", required=True, help="A preset or a description; 'tenths layouts' shows both.")
@click.option("--engine", default="", help="Short name; else made from the name.")
@described
@with_shop
def new_command(shop: Shop, name: str, layout: str, engine: str, **said: str | None) -> None:
    r"""Open an engine.

    \b
    Examples:
      tenths new "Blue three" --layout inline-3 --use vintage
      tenths new Tern --layout \
        "V4 60, pins offset 60, throws 0 180, firing 1-3-2-4"
    """
    from tenths.services.commands import open_engine  # noqa: PLC0415 - only here

    made = open_engine(shop, name=name, layout=layout, engine=engine, **{k: v for k, v in said.items() if v is not None})
    found = shop.build(made).layout
    assert found is not None  # noqa: S101 - it was just opened with one
    say(f"{made}: {name}, {len(found.cylinders)} cylinders, {found.mains} mains, "
               f"fires {'-'.join(found.firing_order)}")


@click.command("describe")
@click.argument("engine")
@click.option("--name", help="Name of the engine.")
@click.option("--layout", help="Another layout.")
@described
@with_shop
def describe_command(shop: Shop, engine: str, **said: str | None) -> None:
    r"""Change what was said of an engine.

    \b
    Example:
      tenths describe marigold --fuel "Pump petrol, 95 octane"
    """
    from tenths.services.commands import describe_engine  # noqa: PLC0415 - only here

    changes = {k: v for k, v in said.items() if v is not None}
    if not changes:
        raise click.UsageError("nothing to change: give at least one of --name, --customer, --use and so on")
    describe_engine(shop, engine, changes)
    say(f"{engine}: changed {', '.join(changes)}")


@click.command("layouts")
@click.argument("text", required=False)
@as_json
def layouts_command(text: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The layouts that come with Tenths; with TEXT, what a description comes to.

    \b
    Examples:
      tenths layouts
      tenths layouts "V4 60, pins offset 60, throws 0 180, firing 1-3-2-4"
    """
    from tenths.engine import describe  # noqa: PLC0415 - only here

    if text:
        found = describe.layout_from_text(text)
        answer = {"cylinders": list(found.labels), "mains": found.mains, "pins": [p.angle for p in found.pins],
                  "firing_order": list(found.firing_order), "firing_intervals": list(found.firing_intervals())}
        if json_:
            put_json(answer)
        else:
            table([(key.replace("_", " "), str(value)) for key, value in answer.items()])
        return
    if json_:
        put_json(describe.presets())
        return
    table([(name, row["title"]) for name, row in describe.presets().items()])
    _how_to_describe((describe.__doc__ or "").replace("``", ""))


def _how_to_describe(text: str) -> None:
    """The help on descriptions, its paragraphs and its table in lines that fit."""
    for part in text.strip().split("\n\n"):
        say()
        if part.startswith("="):
            rows = [line for line in part.split("\n") if not line.startswith("=")]
            table([(line[:KEY].rstrip(), line[KEY:].strip()) for line in rows])
        else:
            wrapped(" ".join(part.split()))
