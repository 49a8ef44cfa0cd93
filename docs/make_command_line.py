# ruff: noqa: INP001 - a script beside the pages, not a package
"""Writes docs/command-line.md from the commands themselves. Run it from the root after a command has changed."""

import re
import sys
from collections.abc import Iterator
from inspect import cleandoc
from pathlib import Path

import click

from tenths.cli import COMMANDS, COMMON, tenths
from tenths.services.transfer import HEADS

PAGE = Path(__file__).parent / "command-line.md"
EVERYWHERE = {f"--{name}" for name, _, _ in COMMON}

BEGIN = """
# The command line

Written by `docs/make_command_line.py` from the commands themselves; not to be edited by hand. Every example is run by the
tests.

Each command works on one **shop**: a folder with the logbook of every engine, named by `--shop FOLDER` before or behind the
command, else by the variable `TENTHS_SHOP`, else the user's data folder. `--person NAME` or `TENTHS_PERSON` says who does
it, else the name of the login.

- An **engine** goes by its short name, made from its name when it is opened: *Blue three* is `blue-three`.
- A **station** goes by its address: `main.3`, `pin.2`, `rod.5`, `cyl.5.piston`, `cyl.5.ring.top`, `main.3.shell.upper`.
  `tenths show ENGINE --json` lists all. Where several can be meant, a star stands for one part of an address; put it in
  quotes, so that the terminal leaves it alone: `"main.*"`.
- **Numbers** are typed as at the bench and kept as typed, see [typed-numbers.md](typed-numbers.md). One without a unit is in
  the engine's own units; one with a space in it goes in quotes: `"+3 tenths"`. A value may begin with a minus sign.
- `--units inch` or `metric` changes what is shown, never what is kept. The engine's own units are set by `tenths new` and
  `tenths describe`.
- `--json` answers in JSON wherever there is an answer.
- Colour is used on a terminal only, and not where `NO_COLOR` is set. Where the terminal's encoding is not UTF-8, fit lines
  and signs are written in plain letters.

## Exit codes

| code | when |
|---|---|
| 0 | done |
| 1 | `check --strict` found something out, stale or too close to call |
| 2 | what was typed, or a file that was given, cannot be taken; the message on standard error says what is wrong with it |
| 3 | stored data, or a bundle, is damaged; the message names the place |
| 130 | interrupted |

When the program that reads the output stops reading, `tenths` stops too, quietly, with 0.

## The fit line

    ├╌╌●╌┼╌╌╌╌╌┤    between its limits; the tick stands at the target, the heavy stretch is the 95 % interval

| mark | in plain letters | verdict |
|---|---|---|
| `●` | `*` | fits |
| `◐` | `%` | too close to call: the interval reaches over a limit; behind it stands the probability of lying within |
| `✕` | `x` | out; an arrow where it runs off the line |
| `○` | `o` | not measured |
| `⊘` | `/` | stale: what was read holds for a part that is not there any more |

## Files of readings

`tenths import` takes CSV and XLSX. One line names the columns, in any order and in any capitals; lines above it are passed
over. A unit may stand in the head: `Value (mm)`.

| column | heads that are understood |
|---|---|
"""

ON_FILES = """

Station, feature and value are needed. Places are those of `tenths features`. A time is written year first (`2026-03-31
14:05`); without a zone it is this machine's own time, and a day alone means its noon.

- Fields are separated by semicolons, tabs, commas or bars. **In a file with commas, a number with a decimal comma must stand in
  quotes.** A row in which `57,111` may have been torn into 57 and 111 is refused, not guessed.
- The text is UTF-8, or UTF-16 with its mark. Anything else is read as Windows-1252, and that is said.
- A workbook keeps numbers without the zeros typed at their end. They are written with the places that the cell's format
  shows, when the value has no more than these; else with all the figures it has (up to 15), none made up. To keep a value as
  typed, `2 1/4` for instance, format the column as text. The first sheet with the needed columns is read.
- The same file taken twice doubles nothing, also when rows that were refused have been mended in the shop since. A file that
  was saved anew is another file: rows that say what the log says already are counted, and `--new-only` leaves them out.
- All rows go in with one commit, or none do.

`tenths state ENGINE --from FILE` takes a CSV of the maker's sheet: columns station, feature, text, tolerance, source for
sizes; station, characteristic, lower, upper, target, source for limits; both may stand in one file.

## Commands
"""


def page() -> str:
    """The page as it should stand."""
    heads = "\n".join(f"| {name} | {', '.join((name, *others))} |" for name, others in HEADS.items())
    ctx = click.Context(tenths, info_name="tenths")
    parts = [part for name in COMMANDS if (command := tenths.get_command(ctx, name)) for part in _command(command, f"tenths {name}")]
    listed = "\n".join(f"- [`tenths {name}`](#tenths-{name}): {words}" for name, (_, words) in COMMANDS.items())
    return BEGIN.lstrip() + heads + ON_FILES + "\n" + listed + "\n\n" + "\n\n".join(parts) + "\n"


def _command(command: click.Command, path: str) -> Iterator[str]:
    """A command and those below it: how it is called, what it does, examples, options."""
    with click.Context(command, info_name=path) as ctx:
        usage = " ".join(command.collect_usage_pieces(ctx))
        options = [o for o in command.get_params(ctx) if isinstance(o, click.Option) and not o.hidden]
        rows = [record for o in options if not EVERYWHERE & set(o.opts) and "--help" not in o.opts
                and (record := o.get_help_record(ctx))]
    below: dict[str, click.Command] = getattr(command, "commands", {})
    yield f"{'###' if path.count(' ') == 1 else '####'} {path}"
    yield f"    {path} {usage}"
    yield _words(command)
    if rows:
        yield "| option | |\n|---|---|\n" + "\n".join(f"| `{_cell(name)}` | {_cell(words)} |" for name, words in rows)
    for name, other in below.items():
        yield from _command(other, f"{path} {name}")


def _words(command: click.Command) -> str:
    """The help as Markdown: paragraphs, and examples line by line as they are typed."""
    parts = re.split(r"\n\s*\n", cleandoc(command.help or "").replace("\b\n", ""))
    return "\n\n".join(_example(part) if "\n  tenths " in part else " ".join(part.split()) for part in parts)


def _example(part: str) -> str:
    head, *lines = part.split("\n")
    return f"{head}\n\n" + "\n".join(f"    {line.removeprefix('  ')}" for line in lines)


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), "utf-8")
    sys.stdout.write(f"{len(COMMANDS)} commands\n")


if __name__ == "__main__":
    main()
