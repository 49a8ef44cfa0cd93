"""How answers look in a terminal: tables of at most 80 columns, fit lines, JSON."""

import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from typing import Any

import click

from tenths.services.shop import open_shop

WIDTH = 80
COLOURS = {"fits": "green", "out": "red", "too close to call": "yellow", "stale": "magenta"}


def with_shop(command: Callable[..., Any]) -> Callable[..., Any]:
    """Gives a command the open shop as its first argument, and closes it."""

    @wraps(command)
    @click.pass_context
    def inner(ctx: click.Context, *args: Any, **kwargs: Any) -> Any:
        given = ctx.find_root().obj or {}
        shop = open_shop(given.get("shop"), person=given.get("person", ""))
        try:
            return command(shop, *args, **kwargs)
        finally:
            shop.logbook.close()

    return inner


as_json = click.option("--json", "json_", is_flag=True, help="Answer as JSON.")
in_units = click.option("--units", type=click.Choice(["inch", "metric"]), default=None,
                        help="Unit system; else the engine's own.")


def put_json(answer: Any) -> None:
    """An answer as JSON on standard output."""
    click.echo(json.dumps(answer, indent=1, ensure_ascii=False))


def plain() -> bool:
    """Whether only ASCII may be written."""
    return (sys.stdout.encoding or "ascii").lower().replace("-", "") not in {"utf8", "utf8sig"}


def coloured(text: str, verdict: str) -> str:
    """The text in the colour of a verdict, on a terminal that wants colour."""
    if not sys.stdout.isatty() or os.environ.get("NO_COLOR"):
        return text
    return click.style(text, fg=COLOURS.get(verdict))


def table(rows: Iterable[Sequence[str]], *, heads: Sequence[str] = (), right: Sequence[int] = ()) -> None:
    """Columns as wide as they need to be; the last is cut so that a line fits."""
    all_rows = [list(heads), *map(list, rows)] if heads else [list(r) for r in rows]
    if not all_rows:
        return
    widths = [max(len(row[k]) for row in all_rows) for k in range(len(all_rows[0]))]
    for number, row in enumerate(all_rows):
        cells = [cell.rjust(w) if k in right else cell.ljust(w) for k, (cell, w) in enumerate(zip(row, widths, strict=True))]
        line = "  ".join(cells).rstrip()
        shown = line if len(line) <= WIDTH else line[: WIDTH - 1] + ("." if plain() else "…")
        click.echo(click.style(shown, bold=True) if heads and number == 0 and sys.stdout.isatty() else shown)


def heading(text: str) -> None:
    """A line that begins a part."""
    click.echo()
    click.echo(click.style(text, bold=True) if sys.stdout.isatty() else text)


def progress(words: str) -> None:
    """A word on what takes longer, for a person who waits at a terminal."""
    if sys.stderr.isatty():
        click.echo(words, err=True)
