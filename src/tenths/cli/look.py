"""Commands that look: engines, show, log, check, choose."""

from typing import Any

import click

from tenths.cli.report import OPEN, report, say_finding
from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

Answer = dict[str, Any]


@click.command("engines")
@as_json
@with_shop
def engines_command(shop: Shop, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""All engines of the shop and what each waits for.

    \b
    Example:
      tenths engines
    """
    from tenths.services.questions import engines  # noqa: PLC0415 - only here

    rows = engines(shop)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("No engine yet. 'tenths new' opens the first, 'tenths demo' lays two invented ones.")
        return
    table([(r["engine"], str(r["verdicts"].get("fits", 0)), *(str(r["verdicts"].get(v, 0)) for v in OPEN),
            r["customer"]) for r in rows],
          heads=("engine", "fit", "out", "close", "stale", "customer"), right=(1, 2, 3, 4))


@click.command("show")
@click.argument("engine")
@click.option("--station", help="Only this station, with everything about it.")
@in_units
@as_json
@with_shop
def show_command(shop: Shop, engine: str, station: str | None, units: str | None, json_: bool) -> None:  # noqa: FBT001
    r"""An engine as it stands, or one of its stations.

    \b
    Examples:
      tenths show marigold
      tenths show marigold --station rod.5
    """
    from tenths.services import questions  # noqa: PLC0415 - only here

    if station:
        answer = questions.station(shop, engine, station, units or "")
        if json_:
            put_json(answer)
        else:
            _station(answer)
        return
    answer = questions.show(shop, engine)
    if json_:
        put_json(answer)
        return
    table([(key.replace("_", " "), _said(answer.get(key))) for key in (
        "name", "customer", "purpose", "use", "fuel", "units", "layout", "cylinders", "firing_order", "mains", "readings",
        "on_order", "notes") if answer.get(key)])
    for title, key, columns in (("Parts", "parts", ("part", "kind", "where", "words")),
                                ("Shells in the house", "stock", ("kind", "size", "change", "sets")),
                                ("Stated sizes", "stated", ("station", "feature", "text", "source")),
                                ("Not understood", "problem_list", ("position", "what"))):
        if answer.get(key):
            heading(title)
            table([tuple(str(row[c]) for c in columns) for row in answer[key]], heads=columns)


def _said(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _station(answer: Answer) -> None:
    say(f"{answer['station']}: {answer['words']}")
    for found in answer["findings"]:
        if found["value"] is not None or found["verdict"] in OPEN:
            heading(found["words"])
            say_finding(found)
            wrapped(found["formula"], "  ")
            table([("    " + used["name"].replace("_", " ").replace("-", " "), used["text"] or "not known",
                    f"{used['origin']} at {used['station']}") for used in found["inputs"]], right=(1,))
            for warning in [*found["stale"], *found["warnings"], *found["missing"]]:
                wrapped(warning, "    ! ")
    if answer["readings"]:
        heading("Readings")
        table([(str(r["position"]), r["feature"], r["place"] or "-", r["text"], r["instrument"] or "-",
                "stale" if r["stale"] else r["person"]) for r in answer["readings"]],
              heads=("log", "feature", "place", "typed", "with", ""))
    for note in answer["notes"]:
        say(f"  {note['person']}: {note['text']}")


@click.command("log")
@click.argument("engine")
@click.option("--last", type=click.IntRange(0), default=0, help="Only so many of the last entries.")
@as_json
@with_shop
def log_command(shop: Shop, engine: str, last: int, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The logbook of an engine; struck entries stay, with the reason.

    \b
    Example:
      tenths log marigold --last 20
    """
    from tenths.services.questions import log  # noqa: PLC0415 - only here

    rows = log(shop, engine)
    rows = rows[-last:] if last else rows
    if json_:
        put_json(rows)
        return
    for row in rows:
        struck = f"  [struck by {row['struck_by']}: {row['struck']}]" if row["struck"] else ""
        lead = f"{row['position']:>5}  {row['at'][5:16].replace('T', ' ')}  "
        wrapped(f"{row['sentence']}{struck}  ({row['person']})", lead)


@click.command("check")
@click.argument("engine")
@click.option("--all", "all_", is_flag=True, help="Also what has no limit.")
@click.option("--open", "open_", is_flag=True, help="Only what is out, stale or too close to call.")
@click.option("--only", multiple=True, metavar="CHARACTERISTIC", help="Only this; may be given more than once.")
@click.option("--station", help="Only this station.")
@click.option("--strict", is_flag=True, help="Exit code 1 when anything is out, stale or too close to call.")
@in_units
@as_json
@with_shop
def check_command(shop: Shop, engine: str, all_: bool, open_: bool, only: tuple[str, ...], station: str | None,  # noqa: FBT001
                  strict: bool, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Every finding of an engine: value, 95 % interval, fit line, limits, whose limits they are.

    \b
    Examples:
      tenths check marigold
      tenths check marigold --only main-oil-clearance --units metric
      tenths check marigold --json
    """
    from tenths.services.questions import findings  # noqa: PLC0415 - only here
    from tenths.services.together import in_short  # noqa: PLC0415 - only here

    found = findings(shop, engine, only=only, units=units or "")
    rows = [f for f in found if station in {None, f["station"]}]
    if not rows:
        what = f"at {station!r}" if found else f"named {', '.join(only)!r}"
        raise BadInput(f"check: there is no finding {what} on this engine; 'tenths check {engine} --json' names them all")
    if json_:
        put_json(rows)
    else:
        together = in_short(shop, engine) if not open_ and station is None else {}
        report(shop.build(engine).name, rows, all_=all_, open_=open_, together=together)
    if strict and any(f["verdict"] in OPEN for f in rows):
        click.get_current_context().exit(1)


@click.command("choose")
@click.argument("engine")
@click.argument("question", required=False)
@click.option("--accept", is_flag=True, help="Accept the best answer; it becomes an entry of the log.")
@click.option("--option", type=click.IntRange(0), default=0, show_default=True, help="With --accept: 0 the best, 1 to 3 the next-best.")
@click.option("--set", "settings", multiple=True, metavar="NAME=TEXT",
              help="Ask it so from here on; it becomes an entry. NAME= takes it back.")
@click.option("--words", default="", help="With --accept or --set: why, in your words.")
@as_json
@with_shop
def choose_command(shop: Shop, engine: str, question: str | None, accept: bool, option: int, settings: tuple[str, ...],  # noqa: FBT001
                   words: str, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Shells, ring gaps, parts to holes, the stack: the best answer, and why.

    QUESTION: main-shells, rod-shells, ring-gaps, matching or stack; all when left out.

    \b
    Examples:
      tenths choose marigold
      tenths choose marigold rod-shells --accept
      tenths choose marigold stack --set "most-deck=0.010 in"
    """
    from tenths.services import choosing  # noqa: PLC0415 - only here

    if settings:
        if not question:
            raise click.UsageError("give the question that is set")
        choosing.set_question(shop, engine, question, dict(_named(text) for text in settings), words=words)
    if accept:
        if not question:
            raise click.UsageError("give the question that is accepted")
        entry = choosing.accept(shop, engine, question, option=option, words=words)
        say(f"{question}: accepted, entry {entry.position} of the log")
        return
    rows = [choosing.as_answer(shop.build(engine), choosing.ask(shop, engine, question))] if question else (
        choosing.choices(shop, engine))
    if json_:
        put_json(rows)
        return
    if not rows:
        say("Nothing to choose yet: it needs readings, and shells counted in the house ('tenths stock').")
    for row in rows:
        choice_told(row)


def _named(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        raise click.UsageError(f"--set: {text!r} has no '='; give NAME=TEXT")
    return name.strip(), value.strip()


def choice_told(row: Answer) -> None:
    """A choice as it is told in a terminal."""
    heading(row["title"])
    if not row["possible"]:
        for stop in row["stops"]:
            wrapped(stop["words"], "  ")
    elif row["drawing"].get("kind") == "saddles":
        _halves(row)
    else:
        _deeds(row)
    for words in [*row["reasons"], *row["notes"]]:
        wrapped(words, "  - ")
    if row["possible"] and row["question"] != "ring-gaps":
        say("  " + ("Proven: no other choice is better by these goals." if row["proven"] else
                           f"Not proven; another might be better by up to {row['gap']:g}."))
    for number, other in enumerate(row["alternatives"], 1):
        wrapped(f"next-best {number}: {other['words']}", "  ", "    ")
    if row["settings"]:
        asked = ", ".join(f"{s['name']} {s['text'] or 'not set'}" for s in row["settings"])
        wrapped(f"asked with {asked} (--set)", "  ", "    ")


def _deeds(row: Answer) -> None:
    """What to do, and the prediction of every place."""
    for pick in row["picks"]:
        lead = "" if row["question"] == "ring-gaps" else f"{pick['station']}: "
        wrapped(lead + pick["words"], "  ", "    ")
    if row["question"] != "ring-gaps" and row["predicted"]:
        table([("  " + p["station"], p["characteristic"].replace("-", " "), p["text"], f"±{2 * p['standard_uncertainty']:.2g}",
                "" if p["lower"] is None and p["upper"] is None else f"{p['probability']:.0%}") for p in row["predicted"]],
              heads=("  place", "what", "predicted", "95 %", "fits with"), right=(2, 3, 4))


def _halves(row: Answer) -> None:
    told = {p["station"]: p for p in row["predicted"]}
    picks = {p["station"]: p["pick"] for p in row["picks"]}
    table([("  " + station, picks.get(f"{station}.shell.upper", "stays"), picks.get(f"{station}.shell.lower", "stays"),
            p["text"], f"{p['probability']:.0%}") for station, p in told.items()],
          heads=("  place", "upper", "lower", "clearance", "fits with"), right=(3, 4))
