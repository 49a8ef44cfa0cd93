"""Commands that draw: the crank at an angle in numbers, the engine and a size at all its places as SVG."""

from pathlib import Path

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop
from tenths.errors import BadInput
from tenths.services import questions
from tenths.services.shop import Shop

to_file = click.option("--out", type=click.Path(dir_okay=False, path_type=Path), default=None, help="File; else standard output.")


@click.command("turn")
@click.argument("engine")
@click.option("--crank", type=float, default=0.0, show_default=True, help="The way the crank turns, in degrees.")
@in_units
@as_json
@with_shop
def turn_command(shop: Shop, engine: str, crank: float, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""How far each piston stands down with the crank at an angle, and where the least clearances occur.

    \b
    Example:
      tenths turn kestrel --crank 90
    """
    from tenths.services.turning import AT_TOP, turned  # noqa: PLC0415 - only here

    answer = turned(shop.build(engine), questions.findings(shop, engine, only=AT_TOP, units=units or ""), crank=crank, units=units or "")
    if json_:
        put_json(answer)
        return
    say(f"{engine}, crank at {answer['crank']:g} deg")
    table([(f"  {c['cylinder']}", c["text"] or "not known", f"{c['rod_lean']:.1f} deg" if c["rod_lean"] is not None else "",
            c["stroke"], f"fires at {c['fires']:g} deg") for c in answer["cylinders"]],
          heads=("  cylinder", "below deck", "rod leans", "stroke", ""), right=(1, 2))
    if answer["least"]:
        heading("Least")
        table([(f"  {row['words']}", row["text"], row["station_words"], "at " + ", ".join(f"{a:g}" for a in row["angles"]) + " deg")
               for row in answer["least"]], right=(1,))


@click.command("draw")
@click.argument("engine")
@click.option("--view", type=click.Choice(["side", "end", "plan"]), default="side", show_default=True)
@click.option("--crank", type=float, default=0.0, show_default=True, help="The way the crank turns, in degrees.")
@to_file
@with_shop
def draw_command(shop: Shop, engine: str, view: str, crank: float, out: Path | None) -> None:
    r"""The engine in true proportion as SVG, its stations marked.

    \b
    Example:
      tenths draw kestrel --view end --crank 40 --out kestrel.svg
    """
    from tenths.record.drawing import draw  # noqa: PLC0415 - only here
    from tenths.record.picture import worst_marks  # noqa: PLC0415 - only here

    build = shop.build(engine)
    if build.layout is None:
        raise BadInput(f"{engine}: its layout is not known yet; describe it with tenths describe {engine} --layout")
    marks = worst_marks(questions.findings(shop, engine))
    _put(draw(build.layout, questions.drawing_sizes(build), view=view, crank_angle=crank, marks=marks), out)  # type: ignore[arg-type]


@click.command("plot")
@click.argument("engine")
@click.argument("characteristic")
@click.option("--number", type=click.IntRange(1), default=1, show_default=True, help="Which, where rings of several kinds have one each.")
@click.option("--spec", is_flag=True, help="The Vega-Lite specification instead of the picture.")
@in_units
@to_file
@with_shop
def plot_command(shop: Shop, engine: str, characteristic: str, number: int, spec: bool, units: str | None,  # noqa: FBT001
                 out: Path | None) -> None:
    r"""A size at all its places as SVG: values, intervals, limits, what the parts foretell.

    \b
    Example:
      tenths plot marigold main-oil-clearance --out mains.svg
    """
    import json  # noqa: PLC0415 - only here

    from tenths.record.plots import alike, over_places, plot_svg  # noqa: PLC0415 - only here

    found = questions.findings(shop, engine, only=[characteristic], units=units or "")
    groups = alike(found)
    if number > len(groups) or not any(f["value"] is not None for f in found):
        raise BadInput(f"plot: {characteristic!r} is not known here, or has no number {number}; tenths check {engine} names what is")
    predicted = questions.findings(shop, engine, only=[f"{characteristic}-predicted"], units=units or "")
    made = over_places(groups[number - 1], predicted=predicted)
    _put(json.dumps(made, indent=1) if spec else plot_svg(made, width=720), out)


def _put(text: str, out: Path | None) -> None:
    if out is None:
        click.echo(text)
        return
    from tenths.record.typeset import write_whole  # noqa: PLC0415 - only here

    write_whole(out, text.encode())
    say(f"written: {out}")
