"""Commands about the order of work: steps."""

from pathlib import Path

import click

from tenths.cli.show import as_json, coloured, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.questions import Answer
from tenths.services.shop import Shop

MARKS = {"open": " ", "begun": "~", "to check": "?", "done": "x", "again": "!"}
COLOUR_OF = {"done": "fits", "again": "stale", "to check": "too close to call"}


@click.group("steps")
def steps_command() -> None:
    """The order of work: what is done, what waits for what, and doing it."""


@steps_command.command("list")
@click.argument("engine")
@click.option("--stage", default="", help="Only this stage.")
@click.option("--offered", is_flag=True, help="Only what can be done now.")
@in_units
@as_json
@with_shop
def list_(shop: Shop, engine: str, stage: str, offered: bool, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""All steps, stage by stage: [x] done, [~] begun, [?] to be checked, [!] to be done again.

    \b
    Examples:
      tenths steps list marigold
      tenths steps list marigold --offered
      tenths steps list kestrel --stage "mock up" --json
    """
    from tenths.services import steps  # noqa: PLC0415 - only here

    answer = steps.steps(shop, engine, units=units or "")
    rows = [(s["stage"], [r for r in s["steps"] if r["offered"] or not offered]) for s in answer["stages"] if stage in {"", s["stage"]}]
    if stage and not rows:
        raise click.UsageError(f"stage: {stage!r} is not one of {', '.join(s['stage'] for s in answer['stages'])}")
    if json_:
        put_json(answer | {"stages": [{"stage": name, "steps": some} for name, some in rows if some]})
        return
    done_of = {name: f"{so_far} of {total}" for name, so_far, total in steps.stage_counts(answer)}
    for name, some in rows:
        if some:
            heading(f"{name}: {done_of[name]} done")
            table([(coloured(f"[{MARKS[r['status']]}]", COLOUR_OF.get(r["status"], "")), r["step"], _behind(r)) for r in some])
    for problem in answer["problems"]:
        wrapped(f"entry {problem['position']}: {problem['what']}", "  ! ")


def _behind(row: Answer) -> str:
    """What stands behind a step in a list: what it waits for, or what it is."""
    if row["again"]:
        return f"again: {row['again']['words']}"
    if row["check_words"]:
        return row["check_words"]
    if row["status"] in {"open", "begun"} and row["waits"]:
        more = f" (and {len(row['waits']) - 1} more)" if len(row["waits"]) > 1 else ""
        return f"waits: {row['waits'][0]['words']}{more}"
    return row["words"]


@steps_command.command("show")
@click.argument("engine")
@click.argument("step")
@in_units
@as_json
@with_shop
def show(shop: Shop, engine: str, step: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""One step: what it waits for, what is ticked and read in it, who did it.

    \b
    Example:
      tenths steps show marigold crank-in
    """
    from tenths.services import steps  # noqa: PLC0415 - only here

    row = steps.step(shop, engine, step, units=units or "")
    if json_:
        put_json(row)
        return
    say(f"{row['step']}  ({row['stage']}, {row['station_words']})")
    wrapped(row["words"], "  ")
    say(f"  {row['status']}" + (", can be done now" if row["offered"] else ""))
    _tell_step(row)


def _tell_step(row: Answer) -> None:
    for name, who in (("done", row["done"]), ("checked", row["checked"])):
        if who:
            wrapped(f"{name} by {who['person']}, {who['at'][:16]}" + (f": {who['note']}" if who["note"] else ""), "  ")
    if row["again"]:
        wrapped(f"to be done again: {row['again']['words']} (through {row['again']['through']})", "  ! ")
    for words in [w["words"] for w in row["waits"]]:
        wrapped(words, "  waits for: ", "    ")
    for words in row["past"]:
        wrapped(words, "  went past: ", "    ")
    for number, tick in enumerate(row["ticks"], 1):
        wrapped(tick["words"], f"  [{'x' if tick['ticked'] else ' '}] {number} ", "        ")
    table([("  reads", r["station"], r["words"], r["text"], r["verdict"]) for r in row["reads"]])
    table([("  checks", r["station"], r["words"], r["text"], r["verdict"]) for r in row["checks"]])
    for words in (row["check_words"], row["caution"] if row["caution_new"] else ""):
        if words:
            wrapped(words, "  ! ")


def _said(shop: Shop, engine: str, step: str, before: Answer | None = None) -> None:
    """What stands after a deed: the step, and what can be done now that could not before."""
    from tenths.services import steps  # noqa: PLC0415 - only here

    after = steps.steps(shop, engine)
    row = next(r for s in after["stages"] for r in s["steps"] if r["step"] == step)
    say(f"{step}: {row['check_words'] or row['status']}")
    for words in row["past"] if row["status"] in {"done", "to check"} else []:
        wrapped(words, "  went past: ", "    ")
    if before:
        for new in [name for name in after["offered"] if name not in before["offered"]]:
            say(f"  can be done now: {new}")


@steps_command.command("begin")
@click.argument("engine")
@click.argument("step")
@click.option("--note", default="", help="Anything else.")
@with_shop
def begin(shop: Shop, engine: str, step: str, note: str) -> None:
    r"""Begin a step, or go on with it: your time runs.

    \b
    Example:
      tenths steps begin marigold strip
    """
    from tenths.services import steps  # noqa: PLC0415 - only here

    row = steps.step(shop, engine, step)
    steps.begin_step(shop, engine, step, note=note)
    if row["caution_new"]:
        wrapped(row["caution"], "  ! ")
    _said(shop, engine, step)


@steps_command.command("stop")
@click.argument("engine")
@click.argument("step")
@click.option("--note", default="", help="Why, or what is left.")
@with_shop
def stop(shop: Shop, engine: str, step: str, note: str) -> None:
    """Leave a step for now: your time stops."""
    from tenths.services import steps  # noqa: PLC0415 - only here

    steps.stop_step(shop, engine, step, note=note)
    _said(shop, engine, step)


@steps_command.command("done")
@click.argument("engine")
@click.argument("step")
@click.option("--tick", "ticks", multiple=True, help="What was looked at, by number or in words; else all of it.")
@click.option("--note", default="", help="Anything else.")
@with_shop
def done(shop: Shop, engine: str, step: str, ticks: tuple[str, ...], note: str) -> None:
    r"""A step is done. Nothing is refused: what it still waited for is kept with it and shown.

    \b
    Examples:
      tenths steps done marigold photograph
      tenths steps done marigold strip --tick 1 --tick 2 --note "lifters mixed"
    """
    from tenths.services import steps  # noqa: PLC0415 - only here

    before = steps.steps(shop, engine)
    steps.finish_step(shop, engine, step, ticks=ticks or None, note=note)
    _said(shop, engine, step, before)


@steps_command.command("check")
@click.argument("engine")
@click.argument("step")
@click.option("--note", default="", help="Anything else.")
@with_shop
def check(shop: Shop, engine: str, step: str, note: str) -> None:
    """The second check of a step that is done, such as fasteners gone over again."""
    from tenths.services import steps  # noqa: PLC0415 - only here

    before = steps.steps(shop, engine)
    steps.check_step(shop, engine, step, note=note)
    _said(shop, engine, step, before)


@steps_command.command("again")
@click.argument("engine")
@click.option("--if", "slot", default="", metavar="SLOT", help="What would be, if another part went into this slot.")
@click.option("--operation", default="", help="With --if: if the part in it were machined so.")
@click.option("--at", "stations", multiple=True, help="With --operation: only there.")
@click.option("--picture", type=click.Path(dir_okay=False, writable=True, path_type=Path), help="Write the picture of it as SVG.")
@as_json
@with_shop
def again_(shop: Shop, engine: str, slot: str, operation: str, stations: tuple[str, ...], picture: Path | None,
           json_: bool) -> None:  # noqa: FBT001 - click
    r"""What a change made stale: readings, answers and steps to be done again.

    \b
    Examples:
      tenths steps again marigold
      tenths steps again marigold --if crank
      tenths steps again kestrel --if block --operation honed --at cyl.3
    """
    from tenths.services import again  # noqa: PLC0415 - only here

    if not slot and (operation or stations):
        raise click.UsageError("--operation and --at go with --if SLOT")
    answer = again.if_changed(shop, engine, slot, operation=operation, stations=stations) if slot else again.again(shop, engine)
    if picture:
        from tenths.record.drawing.fall import fall  # noqa: PLC0415 - only here

        picture.write_text(fall(answer["picture"]), "utf-8")
    if json_:
        put_json(answer)
        return
    todo = answer["todo"]
    say(f"{len(todo)} to be done again" if todo else "Nothing is to be done again.")
    for kind, title in (("reading", "to be read again"), ("answer", "to be asked again"), ("step", "to be done again")):
        rows = [t for t in todo if t["kind"] == kind]
        if rows:
            heading(f"{title}: {len(rows)}")
            table([("  " + t["where"], t["what"]) for t in rows])
    for why in dict.fromkeys(t["why"] for t in todo):
        wrapped(why, "  ! ")


@steps_command.command("add")
@click.argument("engine")
@click.argument("step")
@click.argument("stage")
@click.argument("words")
@click.option("--at", "station", default="engine", help="Where, as a station; else the engine.")
@click.option("--after", multiple=True, help="Waits for this step.")
@click.option("--on", multiple=True, help="Waits for this step and stands on it.")
@click.option("--before", multiple=True, help="This step waits for it.")
@click.option("--part", "parts", multiple=True, help="Kind of part it waits for.")
@click.option("--check", "checks", multiple=True, help="Characteristic that must fit: NAME or NAME@STATION.")
@click.option("--hours", default="", help="One number, or low, likely and high: '0.3 0.5 1'.")
@click.option("--reason", default="", help="Why.")
@with_shop
def add(shop: Shop, engine: str, step: str, stage: str, words: str, station: str, after: tuple[str, ...], on: tuple[str, ...],
        before: tuple[str, ...], parts: tuple[str, ...], checks: tuple[str, ...], hours: str, reason: str) -> None:
    r"""Add a step of this engine's own.

    \b
    Example:
      tenths steps add marigold peen "machine" "Have the rods peened" \
        --after clean-rods --before resize-rods
    """
    from tenths.logbook.work_bodies import StepAdded  # noqa: PLC0415 - only here
    from tenths.services import steps  # noqa: PLC0415 - only here

    steps.edit_plan(shop, engine, StepAdded(step=step, stage=stage, words=words, station=station, after=after, on=on, before=before,
                                            parts=parts, checks=checks, hours=hours, reason=reason))
    say(f"{step} added")


@steps_command.command("drop")
@click.argument("engine")
@click.argument("step")
@click.argument("reason")
@with_shop
def drop(shop: Shop, engine: str, step: str, reason: str) -> None:
    r"""Leave a step out, with the reason; what waited for it waits for what it waited for.

    \b
    Example:
      tenths steps drop marigold grind-crank "standard crank, polished only"
    """
    from tenths.logbook.work_bodies import StepDropped  # noqa: PLC0415 - only here
    from tenths.services import steps  # noqa: PLC0415 - only here

    steps.edit_plan(shop, engine, StepDropped(step=step, reason=reason))
    say(f"{step} dropped")


@steps_command.command("wait")
@click.argument("engine")
@click.argument("step")
@click.option("--after", multiple=True, help="Waits for these steps; 'none' for none.")
@click.option("--on", multiple=True, help="Stands on these steps; 'none' for none.")
@click.option("--part", "parts", multiple=True, help="Kinds of part it waits for; 'none' for none.")
@click.option("--check", "checks", multiple=True, help="Checks that must fit; 'none' for none.")
@click.option("--tool", "tools", multiple=True, help="Tools it needs; 'none' for none.")
@click.option("--reason", default="", help="Why.")
@with_shop
def wait(shop: Shop, engine: str, step: str, after: tuple[str, ...], on: tuple[str, ...], parts: tuple[str, ...],
         checks: tuple[str, ...], tools: tuple[str, ...], reason: str) -> None:
    r"""Change what a step waits for; only the lists that are given.

    \b
    Example:
      tenths steps wait marigold photograph --after job-sheet --reason "ours"
    """
    from tenths.logbook.work_bodies import StepRewaited  # noqa: PLC0415 - only here
    from tenths.services import steps  # noqa: PLC0415 - only here

    given = [None if not rows else () if rows == ("none",) else rows for rows in (after, on, parts, checks, tools)]
    if all(rows is None for rows in given):
        raise click.UsageError("give --after, --on, --part, --check or --tool")
    steps.edit_plan(shop, engine, StepRewaited(step=step, after=given[0], on=given[1], parts=given[2], checks=given[3], tools=given[4],
                                               reason=reason))
    say(f"{step} now waits for what was given")


@steps_command.command("branch")
@click.argument("engine")
@click.argument("branch")
@click.argument("which", nargs=-1, required=True)
@click.option("--reason", required=True, help="Why.")
@with_shop
def branch(shop: Shop, engine: str, branch: str, which: tuple[str, ...], reason: str) -> None:
    r"""Go through stages or steps once more, before whatever waits for them goes on.

    \b
    Example:
      tenths steps branch marigold again "mock up" --reason "a valve touched"
    """
    from tenths.logbook.work_bodies import PlanBranched  # noqa: PLC0415 - only here
    from tenths.services import steps  # noqa: PLC0415 - only here

    steps.edit_plan(shop, engine, PlanBranched(branch=branch, steps=which, reason=reason))
    say(f"{branch}: {', '.join(which)} once more")


@steps_command.command("adopt")
@click.argument("engine", required=False)
@click.option("--from", "file", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="A TOML of steps.")
@click.option("--words", default="", help="What it is.")
@with_shop
def adopt(shop: Shop, engine: str | None, file: Path | None, words: str) -> None:
    r"""An engine takes an order of work; without an engine, the house does.

    \b
    Examples:
      tenths steps template > steps.toml
      tenths steps adopt marigold
    """
    from tenths.services import commands, steps  # noqa: PLC0415 - only here

    text = commands.read_text(file) if file else ""
    steps.adopt_plan(shop, engine or "", text=text, words=words or (file.name if file else ""))
    say(f"order of work adopted {f'by {engine}' if engine else 'by the house'}")


@steps_command.command("template")
@with_shop
def template(shop: Shop) -> None:
    r"""Print the house's order of work, to change and adopt.

    \b
    Example:
      tenths steps template > steps.toml
    """
    from tenths.services import steps  # noqa: PLC0415 - only here

    click.echo(steps.template(shop), nl=False)
