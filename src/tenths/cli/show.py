"""How answers look in a terminal: tables of at most 80 columns, fit lines, JSON."""

import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from typing import Any

import click

from tenths.cli import bare
from tenths.services.shop import open_shop

WIDTH = 80
NARROWEST = 16  # a last column with less room than this is cut instead of wrapped
ASCII = str.maketrans({"±": "+-", "µ": "u", "°": "deg", "×": "x", "·": ".", "…": "...", "–": "-", "—": "-", "−": "-",
                       "′": "'", "″": '"', "’": "'", "‘": "'", "“": '"', "”": '"', "→": "->", "≤": "<=", "≥": ">=",
                       "½": "1/2", "¼": "1/4", "¾": "3/4", "²": "2", "³": "3", "√": "sqrt "})
COLOURS = {"fits": "green", "out": "red", "too close to call": "yellow", "stale": "magenta"}


def with_shop(command: Callable[..., Any]) -> Callable[..., Any]:
    """Gives a command the open shop as its first argument, and closes it."""

    @wraps(command)
    @click.pass_context
    def inner(ctx: click.Context, *args: Any, **kwargs: Any) -> Any:
        given = ctx.find_root().obj or {}
        shop = open_shop(given.get("shop"), person=given.get("person", ""))
        try:
            return command(shop, *args, **{name: bare(value) for name, value in kwargs.items()})
        finally:
            shop.logbook.close()

    return inner


as_json = click.option("--json", "json_", is_flag=True, help="Answer as JSON.")
in_units = click.option("--units", type=click.Choice(["inch", "metric"]), default=None,
                        help="Unit system; else the engine's own.")


def put_json(answer: Any) -> None:
    """An answer as JSON on standard output."""
    click.echo(json.dumps(answer, indent=1, ensure_ascii=plain()))


def plain(*, err: bool = False) -> bool:
    """Whether only ASCII may be written."""
    return ((sys.stderr if err else sys.stdout).encoding or "ascii").lower().replace("-", "") not in {"utf8", "utf8sig"}


def say(text: str = "", *, err: bool = False) -> None:
    """A line for a person; signs that the terminal cannot show are written with letters."""
    if plain(err=err):
        text = text.translate(ASCII).encode("ascii", "replace").decode()
    click.echo(text, err=err)


def wrapped(text: str, lead: str = "", rest: str | None = None) -> None:
    """Words in lines of at most 80 columns, the first after ``lead``, the others after ``rest``."""
    said = text.translate(ASCII) if plain() else text
    say(click.wrap_text(said, WIDTH, lead, " " * len(lead) if rest is None else rest))


def styled(text: str, **style: Any) -> str:
    """The text with colour or weight, on a terminal that wants them."""
    wanted = sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return click.style(text, **style) if wanted and text else text


def coloured(text: str, verdict: str) -> str:
    """The text in the colour of a verdict, on a terminal that wants colour."""
    return styled(text, fg=COLOURS.get(verdict))


def table(rows: Iterable[Sequence[str]], *, heads: Sequence[str] = (), right: Sequence[int] = ()) -> None:
    """Columns as wide as they need to be; the last goes on below itself where a line would pass 80 columns."""
    all_rows = [list(heads), *map(list, rows)] if heads else [list(r) for r in rows]
    if plain():
        all_rows = [[cell.translate(ASCII) for cell in row] for row in all_rows]
    if not all_rows:
        return
    widths = [max(len(row[k]) for row in all_rows) for k in range(len(all_rows[0]))]
    for number, row in enumerate(all_rows):
        lead = "".join((cell.rjust(w) if k in right else cell.ljust(w)) + "  "
                       for k, (cell, w) in enumerate(zip(row[:-1], widths[:-1], strict=True)))
        last = row[-1].rjust(widths[-1]) if len(row) - 1 in right else row[-1]
        for line in _below(lead, last):
            say(styled(line, bold=True) if heads and number == 0 else line)


def _below(lead: str, last: str) -> list[str]:
    """A line, and its last cell continued below itself."""
    line = (lead + last).rstrip()
    if len(line) <= WIDTH:
        return [line]
    if len(lead) > WIDTH - NARROWEST:  # no room beside: it stands below, at the right, uncut
        return [lead.rstrip(), *(part.rjust(WIDTH) for part in click.wrap_text(last.strip(), WIDTH - 4).split("\n"))]
    return click.wrap_text(last, WIDTH, lead, " " * len(lead)).split("\n")


def heading(text: str) -> None:
    """A line that begins a part."""
    say()
    say(styled(text, bold=True))


def progress(words: str) -> None:
    """A word on what takes longer, for a person who waits at a terminal."""
    if sys.stderr.isatty():
        say(words, err=True)
