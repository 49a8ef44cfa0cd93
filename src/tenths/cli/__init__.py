"""The command line: a thin skin over the services. Commands are loaded when they are called for."""

import os
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from inspect import cleandoc
from typing import Any

import click

from tenths import __version__
from tenths.errors import Damaged, TenthsError

COMMON = (("shop", "FOLDER", "Folder of the shop; else the user's data folder."),
          ("person", "NAME", "Who does this; else the name of the login."))
NOT_TAKEN, DAMAGED, INTERRUPTED = 2, 3, 130  # exit codes; 0 is done, 1 is said by check --strict

COMMANDS: dict[str, tuple[str, str]] = {  # name: (module below tenths.cli, what it does)
    "demo": ("begin", "Lay two invented engines in the shop, to look around in."),
    "new": ("begin", "Open an engine."),
    "layouts": ("begin", "The layouts that come with Tenths, and how to describe others."),
    "describe": ("begin", "Change what was said of an engine."),
    "state": ("sheet", "State sizes of the maker's sheet, one or from a CSV file."),
    "limit": ("sheet", "State a limit of the maker's sheet."),
    "house": ("sheet", "Adopt house rules, or print a template of them."),
    "instrument": ("sheet", "List an instrument of the shop, or show all."),
    "instruments": ("instruments", "Records of the instruments: limits, certificates, settings."),
    "temperature": ("temperature", "Note how warm shop and parts are; what that did to readings."),
    "part": ("parts", "List parts, say that they arrived, fit and remove them."),
    "machine": ("parts", "Record a machining operation; readings that it ends turn stale."),
    "stock": ("parts", "Count the sets of shells of a size."),
    "half": ("shells", "List halves of shells one by one, each with its wall."),
    "seat": ("shells", "Say what the halves of a place must be, or that they stay."),
    "set": ("readings", "Set a gauge to a size from a master."),
    "study": ("study", "Study the shop's gauges: repeatability, bias, linearity, stability."),
    "read": ("readings", "Take readings, as typed."),
    "next": ("readings", "The readings still to be taken, in walking order."),
    "features": ("readings", "What can be read at a station."),
    "import": ("carry", "Take readings from CSV or XLSX, or an engine from a bundle."),
    "note": ("readings", "Write a note about a station."),
    "strike": ("readings", "Strike an entry of the log, with a reason."),
    "engines": ("look", "All engines and what each waits for."),
    "show": ("look", "An engine, or one of its stations, as it stands."),
    "log": ("look", "The logbook of an engine."),
    "check": ("look", "Every finding of an engine, judged."),
    "how": ("sure", "How sure a finding is: its doubt by cause, and what would help."),
    "together": ("sure", "What holds for several findings at once: all fit, two differ."),
    "risk": ("risk", "How often a bad place passes and a good one is refused, over a run of engines."),
    "form": ("form", "Straightness, flatness, roundness and taper, from the readings taken."),
    "choose": ("look", "Shells, ring gaps, parts to holes, the stack: the best answer, and why."),
    "what-if": ("shells", "The same choice after one more box, a grind or a hone."),
    "supply": ("supply", "Parts on their way, work outside, what to order from whom."),
    "shelf": ("supply", "Boxes kept for all engines, and tools that are away."),
    "bias": ("order", "How the shop's accepted predictions came out, over all engines."),
    "order": ("order", "Boxes of shells to order before the parts arrive, at least cost."),
    "steps": ("steps", "The order of work: what is done, what waits for what, and doing it."),
    "forces": ("running", "Forces and couples on the mounts, by order."),
    "loads": ("running", "Loads of crankpins and mains over the cycle."),
    "balance": ("running", "The weighing sheet, bobweights, corrections of the crank."),
    "torsion": ("running", "The crank in torsion: critical speeds, damper."),
    "film": ("film", "The oil film of every bearing, and what would leave more of it."),
    "pull": ("pull", "Torque and power at full throttle, predicted from the parts."),
    "valve-train": ("train", "Whether followers stay on their lobes: where they float, how valves land."),
    "lobes": ("cam", "Lobes: centre, events, durations, flanks; take readings of one, or a table."),
    "degree": ("cam", "Degree a camshaft, a few readings at a time."),
    "cam-card": ("cam", "Enter the maker's card of the camshaft."),
    "head": ("head", "The head: guides, seats, chambers, its ports on the flow bench."),
    "flow": ("head", "Take a run of the flow bench, or a table of runs."),
    "springs": ("valves", "Valve springs: loads, room before the coils bind, stress, surge."),
    "valve-clearance": ("valves", "Piston to valve over the overlap, and what moves it."),
    "rocker": ("valves", "Rocker and push-rod: true ratio, track on the tip, length, lash hot."),
    "clear": ("running", "Clearances in motion, over a full turn."),
    "turn": ("drawn", "The crank at an angle: where the pistons stand, what is least where."),
    "draw": ("drawn", "The engine in true proportion, as SVG."),
    "plot": ("drawn", "A size at all its places, as SVG."),
    "tighten": ("fasten", "Joints: preload, order, rounds, ticks."),
    "joint": ("fasten", "State a bolted joint."),
    "tick": ("fasten", "Enter what was done to a fastener."),
    "outline": ("fasten", "Draw an edge that must clear others in motion."),
    "ahead": ("ahead", "What can be done now, when an engine will be done, several engines."),
    "money": ("money", "Quotes, hours, bills, and a quote against what it became."),
    "customer": ("customer", "Messages, what the customer agreed to, problems, progress."),
    "history": ("history", "A characteristic over all engines; engines by part, size, problem."),
    "record": ("carry", "Print the record of an engine as PDF."),
    "export": ("carry", "Write an engine with its whole log as a bundle."),
    "verify": ("carry", "Check a bundle, or the shop's whole logbook, for damage."),
    "bench": ("bench", "Serve the bench to browsers here or on the shop's network."),
    "gauge": ("gauge", "Send a serial gauge's values to the field in focus."),
    "people": ("bench", "People of the shop who sign in to the bench."),
}


def _laid_out(command: click.Command) -> click.Command:
    r"""The command, its examples kept line by line: in raw docstrings click's mark for that is two characters, ``\b``."""
    command.help = cleandoc(command.help or "").replace("\\b\n", "\b\n")
    for other in getattr(command, "commands", {}).values():
        _laid_out(other)
    return command


NUMBER = re.compile(r"-\s*[.,0-9½¼¾⅛⅜⅝⅞]")
SHIELD = "\0"  # cannot come from a command line


def _shielded(words: Sequence[str]) -> list[str]:
    """The words, those that are numbers below zero marked, so that none is taken for an option; `bare` takes it off."""
    return [SHIELD + word if NUMBER.match(word) else word for word in words]


def bare(value: Any) -> Any:
    """A value of a command as it was typed."""
    if isinstance(value, str):
        return value.removeprefix(SHIELD)
    return tuple(map(bare, value)) if isinstance(value, tuple) else value


def _keep(ctx: click.Context, param: click.Parameter, value: str | None) -> None:
    """What is said of the shop behind a command is the same as before it."""
    if value is not None and param.name:
        root = ctx.find_root()
        root.params[param.name] = value
        root.obj = {**(root.obj or {}), param.name: value}


def _with_the_shop(command: click.Command) -> click.Command:
    """The command with the options of every command, its sub-commands too."""
    others: dict[str, click.Command] = getattr(command, "commands", {})
    for other in others.values():
        _with_the_shop(other)
    if not others and not any(param.name == "shop" for param in command.params):
        command.params += [click.Option([f"--{name}"], metavar=metavar, help=words, callback=_keep, expose_value=False)
                           for name, metavar, words in COMMON]
    return command


class PipeClosedError(Exception):
    """The reader of our output has gone; click would take a BrokenPipeError for a failure."""


class Lazy(click.Group):
    """A group that imports a command's module when the command is called, and not for its own help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All commands, in the order of a job."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"tenths.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, f"{cmd_name.replace('-', '_')}_command", None) or getattr(module, cmd_name)
        return _with_the_shop(_laid_out(command))

    def main(self, args: Sequence[str] | None = None, *others: Any, **more: Any) -> Any:
        """Runs the command line; a value may begin with a minus sign."""
        return super().main(_shielded(sys.argv[1:] if args is None else args), *others, **more)

    def invoke(self, ctx: click.Context) -> Any:
        """Runs the command; a closed pipe is told apart from what click handles."""
        try:
            done = super().invoke(ctx)
            sys.stdout.flush()
        except BrokenPipeError:
            raise PipeClosedError from None
        return done

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Names and what they do, without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in COMMANDS.items()])


EPILOG = """\b
A first look:
  tenths demo
  tenths check marigold
  tenths record marigold
\b
Exit codes: 0 done; 1 something is out, stale or too close (check --strict);
2 what was typed cannot be taken; 3 stored data is damaged; 130 interrupted."""


@click.command(cls=Lazy, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.option("--shop", metavar=COMMON[0][1], envvar="TENTHS_SHOP", help=COMMON[0][2])
@click.option("--person", metavar=COMMON[1][1], envvar="TENTHS_PERSON", help=COMMON[1][2])
@click.version_option(__version__, prog_name="tenths")
@click.pass_context
def tenths(ctx: click.Context, shop: str | None, person: str | None) -> None:
    """Logbook and reckoning of the independent engine builder."""
    ctx.obj = {"shop": shop, "person": person or ""}


def main(arguments: list[str] | None = None) -> None:
    """Runs the command line and ends with its exit code; errors that are meant to be read come as one sentence."""
    sys.exit(run(arguments))


def run(arguments: list[str] | None = None) -> int:
    """The exit code of a command line, once all it said is written."""
    code: Any = 0
    try:
        code = tenths.main(arguments, prog_name="tenths", standalone_mode=False)
    except PipeClosedError:
        return _pipe_closed()
    except click.Abort:
        return INTERRUPTED
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
    except click.ClickException as error:
        return _say_error(_what_was_typed(error), NOT_TAKEN)
    except TenthsError as error:
        return _say_error(str(error), DAMAGED if isinstance(error, Damaged) else NOT_TAKEN)
    except OSError as error:
        where = f"{error.filename}: " if error.filename else "output: "
        return _say_error(f"{where}{error.strerror}", NOT_TAKEN)
    return code if isinstance(code, int) else 0


def _what_was_typed(error: click.ClickException) -> str:
    """What is wrong with the command line, and where to look; marks of ours taken out, in the long way of writing too."""
    ctx = error.ctx if isinstance(error, click.UsageError) else None
    words = error.format_message().replace(SHIELD, "").replace("\\x00", "")
    return f"{words}\nTry '{ctx.command_path} --help'." if ctx else words


def _say_error(words: str, code: int) -> int:
    from tenths.cli.show import say  # noqa: PLC0415 - help needs none of it

    say(f"tenths: {words}", err=True)
    return code


def _pipe_closed() -> int:
    """The reader of our output has seen enough: nothing is wrong, and nothing more can be said."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115 - stays open to the end of the process
    return 0
