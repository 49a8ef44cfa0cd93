"""Commands about what sheets and the house say: state, limit, house, instrument."""

from pathlib import Path

import click

from tenths.cli.show import as_json, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop


@click.command("state")
@click.argument("engine")
@click.argument("station", required=False)
@click.argument("feature", required=False)
@click.argument("value", required=False)
@click.option("--tolerance", default="", help="Half-width; the size lies within this either side.")
@click.option("--source", default="maker's sheet", show_default=True, help="Where it stands.")
@click.option("--from", "path", type=click.Path(path_type=Path), help="A CSV with station, feature, text, tolerance.")
@with_shop
def state_command(shop: Shop, engine: str, station: str | None, feature: str | None, value: str | None, tolerance: str,
                  source: str, path: Path | None) -> None:
    r"""State sizes of the maker's sheet, one or many.

    STATION may be a pattern: main.* means every main.

    \b
    Examples:
      tenths state marigold "cyl.*" bore "3.8200 in" --tolerance "0.0005 in"
      tenths state marigold --from sheet.csv
    """
    from tenths.logbook.bodies import LimitStated, SizeStated  # noqa: PLC0415 - only here
    from tenths.services.commands import read_text, state  # noqa: PLC0415 - only here
    from tenths.services.sheet import sheet_from_csv  # noqa: PLC0415 - only here

    if path is not None:
        what: list[SizeStated | LimitStated] = list(sheet_from_csv(read_text(path)))
    elif station and feature and value:
        what = [SizeStated(station=station, feature=feature, text=value, tolerance=tolerance, source=source)]
    else:
        raise click.UsageError("give STATION FEATURE VALUE, or --from FILE")
    state(shop, engine, *what)
    say(f"{engine}: {len(what)} stated")


@click.command("limit")
@click.argument("engine")
@click.argument("station")
@click.argument("characteristic")
@click.option("--lower", default="", help="Smallest value allowed.")
@click.option("--upper", default="", help="Largest value allowed.")
@click.option("--target", default="", help="Value aimed at.")
@click.option("--source", default="maker's sheet", show_default=True, help="Where it stands.")
@with_shop
def limit_command(shop: Shop, engine: str, station: str, characteristic: str, **said: str) -> None:
    r"""State a limit of the maker's sheet; it goes before house rules and common practice.

    \b
    Example:
      tenths limit marigold "main.*" main-oil-clearance --lower 0.0018 \
        --upper 0.0028
    """
    from tenths.logbook.bodies import LimitStated  # noqa: PLC0415 - only here
    from tenths.services.commands import state  # noqa: PLC0415 - only here

    state(shop, engine, LimitStated(station=station, characteristic=characteristic, **said))
    say(f"{engine}: limit of {characteristic} at {station} stated")


@click.command("house")
@click.argument("path", required=False, type=click.Path(path_type=Path))
@click.option("--engine", default="", help="For this engine only; else for the shop, and engines opened from now on.")
@click.option("--template", is_flag=True, help="Print house rules to begin from.")
@with_shop
def house_command(shop: Shop, path: Path | None, engine: str, template: bool) -> None:  # noqa: FBT001 - click
    r"""Adopt house rules from a TOML file, print those in force, or a template.

    \b
    Examples:
      tenths house --template > house.toml
      tenths house house.toml
    """
    from tenths.services.commands import adopt_house_rules, house_template, read_text  # noqa: PLC0415 - only here
    from tenths.services.shop import SHOP  # noqa: PLC0415 - only here

    if template:
        say(house_template())
    elif path is None:
        say(shop.build(engine or SHOP).house_text or "No house rules are adopted; 'tenths house --template' begins them.")
    else:
        adopt_house_rules(shop, read_text(path), engine)
        say(f"House rules adopted for {engine or 'the shop'}.")


@click.command("instrument")
@click.argument("name", required=False)
@click.argument("kind", required=False)
@click.option("--words", default="", help="What the shop calls it.")
@click.option("--resolution", default="", help="Smallest step that is read.")
@click.option("--limit", default="", help="Maker's limit of error, half-width.")
@click.option("--repeatability", default="", help="Standard deviation of one reading.")
@click.option("--due", default="", help="Date from which its calibration is overdue, as 2027-01-31.")
@as_json
@with_shop
def instrument_command(shop: Shop, name: str | None, kind: str | None, words: str, resolution: str, limit: str,
                       repeatability: str, due: str, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""List an instrument of the shop; without arguments show all, and the kinds there are.

    \b
    Examples:
      tenths instrument
      tenths instrument mic-2-3 outside-micrometer --limit "1.5 tenths"
    """
    from tenths.logbook.bodies import InstrumentListed  # noqa: PLC0415 - only here
    from tenths.services.commands import instrument_kinds, list_instrument  # noqa: PLC0415 - only here
    from tenths.services.questions import house_instruments  # noqa: PLC0415 - only here

    if name and kind:
        list_instrument(shop, InstrumentListed(instrument=name, kind=kind, name=words, resolution=resolution,
                                               limit_of_error=limit, repeatability=repeatability, due=due))
        say(f"{name} listed")
        return
    if name:
        raise BadInput(f"kind of instrument: give one of {', '.join(instrument_kinds())}")
    rows = house_instruments(shop)
    if json_:
        put_json(rows)
        return
    table([(r["instrument"], r["kind"], r["limit_of_error"], r["due"], r["name"]) for r in rows],
          heads=("id", "kind", "limit", "due", "name"))
    say()
    wrapped(f"Kinds: {', '.join(instrument_kinds())}")
