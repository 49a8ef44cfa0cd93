"""`tenths study`: studies of the shop's own gauges, from their beginning to the gauge's record."""

from pathlib import Path
from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

KINDS = ("repeatability", "bias", "linearity", "stability")


@click.group("study")
def study() -> None:
    r"""Study gauges with the shop's own people: repeatability and reproducibility, bias, linearity, stability.

    \b
    A study, from end to end:
      tenths study begin mic-2-3 --kind repeatability --parts 5 --trials 3 \
        --reader "Ines Vale" --reader "Tom Arden"
      tenths study next bore-gauge-s-rings
      tenths study read bore-gauge-s-rings "ring 3.0000 in" 3.0001 3.0002 3.0001
      tenths study show mic-2-3-hands
      tenths study accept mic-2-3-hands
    """


@study.command("begin")
@click.argument("gauge")
@click.option("--kind", type=click.Choice(KINDS), default="repeatability", show_default=True)
@click.option("--name", default="", help="Name of the study; else the gauge, the kind and a number.")
@click.option("--part", "parts", multiple=True, help="Name of a part or master; once for each.")
@click.option("--parts", "count", type=click.IntRange(1, 30), help="So many parts, named 1, 2, 3.")
@click.option("--size", "sizes", multiple=True, help="Size of each master, in the order of the parts.")
@click.option("--uncertainty", "uncertainties", multiple=True, help="Its uncertainty (95 %), in the same order.")
@click.option("--reader", "readers", multiple=True, help="A person who reads; once for each. Else who begins it.")
@click.option("--trials", type=int, default=3, show_default=True, help="How often each person reads each part.")
@click.option("--unit", default="", help="Unit of numbers typed without one.")
@click.option("--set-to", "setting", default="", metavar="SIZE", help="What the gauge is set to, for deviations.")
@click.option("--tolerance", default="", help="Width of the tolerance that it is to judge.")
@click.option("--what", default="", help="What is read, in words.")
@click.option("--note", default="", help="Anything else.")
@as_json
@with_shop
def begin(shop: Shop, gauge: str, kind: str, name: str, parts: tuple[str, ...], count: int | None, sizes: tuple[str, ...],
          uncertainties: tuple[str, ...], readers: tuple[str, ...], trials: int, unit: str, setting: str, tolerance: str,
          what: str, note: str, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Begin a study of a GAUGE that is listed in the shop.

    \b
    Examples:
      tenths study begin mic-2-3 --parts 10 --reader "Ines Vale" --reader "Tom Arden"
      tenths study begin bore-gauge-s --kind linearity --trials 6 \
        --size "2.0000 in" --size "2.5000 in" --size "3.0000 in"
      tenths study begin mic-2-3 --kind stability --size "2.0000 in" --trials 3
    """
    from tenths.logbook.bodies import StudyBegun  # noqa: PLC0415 - only here
    from tenths.services.studies import begin_study, named_parts  # noqa: PLC0415 - only here
    from tenths.services.study_results import study_answer  # noqa: PLC0415 - only here

    named = named_parts(kind, parts, count, sizes)
    entry = begin_study(shop, StudyBegun(
        study=name, kind=kind, instrument=gauge, parts=named, people=readers, trials=trials, unit=unit, what=what,
        sizes=sizes, uncertainties=uncertainties, setting=setting, tolerance=tolerance, note=note))
    answer = study_answer(shop, study_of(entry.body))
    if json_:
        put_json(answer)
        return
    say(f"{answer['study']} begun: {answer['wanted']} readings to take")


def study_of(body: str) -> str:
    """The study that the body of an entry names."""
    import json  # noqa: PLC0415 - only here

    return json.loads(body)["study"]


@study.command("next")
@click.argument("name")
@click.option("--reader", default="", help="Who reads; needed when several do.")
@as_json
@with_shop
def next_(shop: Shop, name: str, reader: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What a person reads next, in an order that hides which is which.

    \b
    Example:
      tenths study next bore-gauge-s-rings
    """
    from tenths.services.studies import one_reader, study_named, turns  # noqa: PLC0415 - only here

    begun = study_named(shop, name)
    rows = turns(begun, one_reader(begun, reader))
    if json_:
        put_json(rows)
        return
    table([(str(n), r["part"], str(r["trial"]), str(r["occasion"] or "-")) for n, r in enumerate(rows, 1)],
          heads=("", "part", "trial", "occasion"))
    if not rows:
        say("Nothing is left to read.")


@study.command("read")
@click.argument("name")
@click.argument("part")
@click.argument("values", nargs=-1, required=True)
@click.option("--reader", default="", help="Who read; needed when several do.")
@click.option("--trial", type=int, help="Number of the first of the values; else the first that is not read yet.")
@as_json
@with_shop
def read(shop: Shop, name: str, part: str, values: tuple[str, ...], reader: str, trial: int | None,
         json_: bool) -> None:  # noqa: FBT001 - click
    r"""Take readings of a PART, as typed, one trial after the other.

    \b
    Examples:
      tenths study read bore-gauge-s-rings "ring 3.0000 in" 3.0001 3.0002 3.0001
      tenths study read mic-2-3-hands "main 1" 2.4984 --reader "Tom Arden" --trial 2
    """
    from tenths.services import studies  # noqa: PLC0415 - only here
    from tenths.services.study_results import study_answer  # noqa: PLC0415 - only here

    begun = studies.study_named(shop, name)
    studies.read_study(shop, studies.as_readings(begun, part, studies.one_reader(begun, reader), values, trial))
    answer = study_answer(shop, name)
    if json_:
        put_json(answer["readings"][-len(values):])
        return
    for row in answer["readings"][-len(values):]:
        say(f"{row['part']}, {row['reader']}, trial {row['trial']}: {row['text']}, read as {row['written']}")
    say(f"{answer['read']} of {answer['wanted']} readings")


@study.command("import")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--name", required=True, help="Name of the study.")
@click.option("--gauge", default="", help="Begin the study with this gauge, when there is none of that name.")
@click.option("--kind", type=click.Choice(KINDS), default="repeatability", show_default=True)
@click.option("--unit", default="", help="Unit of numbers without one, for a study that this file begins.")
@click.option("--size", "sizes", multiple=True, help="Size of each master, likewise, in the order of the file.")
@click.option("--set-to", "setting", default="", metavar="SIZE", help="What the gauge was set to, likewise.")
@click.option("--tolerance", default="", help="Width of the tolerance that it is to judge, likewise.")
@as_json
@with_shop
def import_(shop: Shop, path: Path, name: str, gauge: str, kind: str, unit: str, sizes: tuple[str, ...], setting: str,
            tolerance: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Take the readings of a study from CSV or XLSX: every row, or none.

    A line of the file names its columns: part, trial and value, and where they are known reader, occasion, unit, note.

    \b
    Example:
      tenths study import hands.csv --name hands --gauge mic-2-3 --unit in
    """
    from tenths.logbook.bodies import StudyBegun  # noqa: PLC0415 - only here
    from tenths.services.study_import import import_study  # noqa: PLC0415 - only here
    from tenths.services.study_results import study_answer  # noqa: PLC0415 - only here

    card = StudyBegun(study=name, kind=kind, instrument=gauge, parts=(), people=(), trials=0, unit=unit, sizes=sizes,
                      setting=setting, tolerance=tolerance) if gauge else None
    taken, remarks = import_study(shop, path, study=name, card=card)
    answer = study_answer(shop, name)
    if json_:
        put_json({"taken": taken, "remarks": list(remarks), "study": answer})
        return
    for remark in remarks:
        wrapped(f"Mind: {remark}")
    say(f"{name}: {taken} readings taken, {answer['read']} of {answer['wanted']} there")


@study.command("list")
@as_json
@with_shop
def list_(shop: Shop, json_: bool) -> None:  # noqa: FBT001 - click
    r"""All studies of the shop.

    \b
    Example:
      tenths study list
    """
    from tenths.services.study_results import studies  # noqa: PLC0415 - only here

    rows = studies(shop)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("None yet: 'tenths study begin' makes the first.")
        return
    table([(r["study"], r["kind"], f"{r['read']}/{r['wanted']}", "in the record" if r["accepted"] else "-") for r in rows],
          heads=("study", "kind", "read", ""))


@study.command("show")
@click.argument("name")
@in_units
@as_json
@with_shop
def show(shop: Shop, name: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What a study found, in words and numbers.

    \b
    Example:
      tenths study show mic-2-3-hands
    """
    from tenths.services.study_results import study_answer  # noqa: PLC0415 - only here

    answer = study_answer(shop, name, units or "")
    if json_:
        put_json(answer)
        return
    heading(f"{answer['kind_words'].capitalize()} of {answer['instrument_name']}")
    if answer["why"]:
        wrapped(answer["why"])
    for sentence in answer["statement"]:
        wrapped(sentence)
    if answer["result"]:
        _result(answer["result"])
    if answer["again"]:
        wrapped(f"{answer['again']} readings were taken again; the last of each counts.")
    if answer["accepted"]:
        say(f"Taken into the record of the gauge by {answer['accepted']['person']}, {answer['accepted']['at'][:10]}.")


def _result(result: dict[str, Any]) -> None:
    for method in result["methods"]:
        heading(f"By {method['method']}" + (", interaction pooled" if method["pooled"] else ""))
        table([(r["what"], r["text"], f"{100 * r['share']:.1f} %", "-" if r["of_tolerance"] is None else
                f"{100 * r['of_tolerance']:.0f} %", "-" if r["freedom"] is None else f"{r['freedom']:.0f}") for r in method["rows"]],
              heads=("source", "one sigma", "of total", "of tolerance", "freedom"), right=(1, 2, 3, 4))
        if method["table"]:
            say()
            table([(r["what"], str(r["freedom"]), f"{r['squares']:.5g}", f"{r['mean_square']:.5g}",
                    "-" if r["ratio"] is None else f"{r['ratio']:.3f}", "-" if r["chance"] is None else f"{r['chance']:.3f}")
                   for r in method["table"]], heads=("", "freedom", "squares", "mean", "F", "by chance"), right=(1, 2, 3, 4, 5))
    if result["masters"]:
        heading("At the masters")
        table([(m["part"], m["size_text"], m["bias_text"], f"{m['standard_uncertainty']:.2f} {m['unit']}", "yes" if m["shown"] else "no")
               for m in result["masters"]], heads=("master", "size", "bias", "uncertainty", "shown"), right=(1, 2, 3))
    if result["chart"]:
        _chart(result["chart"])


def _chart(chart: dict[str, Any]) -> None:
    heading(f"Chart, in {chart['unit']} from {chart['from_text']}")
    say(f"averages: {chart['low']:.2f} to {chart['high']:.2f}, centre {chart['centre']:.2f}; ranges: up to {chart['range_high']:.2f}")
    table([(str(n + 1), day, f"{mean:.2f}", f"{spread:.2f}", "outside" if n in chart["outside"] else "drifts" if n in
            chart["drifting"] else "") for n, (day, mean, spread) in
           enumerate(zip(chart["dates"], chart["averages"], chart["ranges"], strict=True))],
          heads=("", "day", "average", "range", ""), right=(2, 3))


@study.command("accept")
@click.argument("name")
@click.option("--words", default="", help="Why, or anything else.")
@with_shop
def accept(shop: Shop, name: str, words: str) -> None:
    r"""Take what a study found into the record of its gauge; readings with it carry it from then on.

    \b
    Example:
      tenths study accept mic-2-3-hands
    """
    from tenths.services.studies import accept_study  # noqa: PLC0415 - only here
    from tenths.services.study_results import study_answer  # noqa: PLC0415 - only here

    accept_study(shop, name, words)
    taken = study_answer(shop, name)["accepted"]
    if taken is None:
        raise BadInput(f"study {name}: it does not stand in the record")
    said = [f"{what} {taken[what]}" for what in ("repeatability", "reproducibility") if taken[what]]
    said += [f"error {p['error']} at {p['size']}" for p in taken["points"]]
    wrapped(f"In the record of the gauge: {', '.join(said)}")


@study.command("pdf")
@click.argument("name")
@click.option("--out", type=click.Path(path_type=Path), help="Where to write it; else NAME.pdf here.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@in_units
@with_shop
def pdf(shop: Shop, name: str, out: Path | None, paper: str, units: str | None) -> None:
    r"""Print a study as PDF.

    \b
    Example:
      tenths study pdf mic-2-3-hands --paper Letter
    """
    from tenths.record.study import study_pdf  # noqa: PLC0415 - only here
    from tenths.record.typeset import write_whole  # noqa: PLC0415 - only here

    path = write_whole(out or Path(f"{name}.pdf"), study_pdf(shop, name, paper="Letter" if paper == "Letter" else "A4",
                                                             units=units or ""))
    say(f"written: {path}")
