"""`tenths form`: straightness, flatness, roundness and taper from the readings taken."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("form")
@click.argument("engine")
@click.argument("station", required=False, default="")
@in_units
@as_json
@with_shop
def form(shop: Shop, engine: str, station: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Form of the parts from the readings taken: line of the mains, flatness, roundness, taper.

    For each, the zone by least squares and the narrowest with its uncertainty, and what the scatter of the readings
    alone would make of a perfect part. One STATION, or all: "block" is the line of the mains.

    \b
    Examples:
      tenths form marigold
      tenths form marigold deck.A
      tenths form kestrel cyl.3 --json
    """
    from tenths.services.forms import forms  # noqa: PLC0415 - only here

    rows = forms(shop, engine, station=station, units=units or "")
    if json_:
        put_json(rows)
        return
    if not rows:
        say("No form can be told from the readings yet.")
    for row in rows:
        _one(row)


def _one(row: dict[str, Any]) -> None:
    heading(f"{row['station_words'].capitalize()}: {row['words']}" + (" (stale)" if row["stale"] else ""))
    wrapped(row["statement"])
    if row["least_squares_text"]:
        zone = row["minimum"]
        say(f"narrowest zone {zone['text']} ±{zone['interval_text']}, by least squares {row['least_squares_text']}")
    if row["points"]:
        table([(p["label"], f"{p['deviation']:+.1f}", "holds the zone" if p["holds"] else "") for p in row["points"]],
              heads=("place", row["unit"], ""), right=(1,))
    for section in row["sections"]:
        said = ", ".join(f"{d['axis']} {d['deviation']:+.1f}" for d in section["diameters"])
        say(f"  {section['height']}: {said}")
