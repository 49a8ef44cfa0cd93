"""Commands about how sure findings are: how, together."""

from typing import Any

import click

from tenths.cli.report import say_finding
from tenths.cli.show import as_json, coloured, heading, in_units, plain, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop

Answer = dict[str, Any]
BAR = 20  # columns of a bar
SMALL = 0.01  # of the variance: what is less is told together


@click.command("how")
@click.argument("engine")
@click.argument("station")
@click.argument("characteristic")
@in_units
@as_json
@with_shop
def how_command(shop: Shop, engine: str, station: str, characteristic: str, units: str | None, json_: bool) -> None:  # noqa: FBT001
    r"""How sure a finding is: its doubt by cause, what would help most, the rule that judges it.

    \b
    Examples:
      tenths how marigold main.3 main-oil-clearance
      tenths how kestrel crank crank-run-out
    """
    from tenths.services.how import how  # noqa: PLC0415 - only here

    answer = how(shop, engine, station, characteristic, units or "")
    if json_:
        put_json(answer)
        return
    _finding(answer)
    _budget(answer)
    _helps(answer)
    _rule(answer)


def _finding(answer: Answer) -> None:
    found = answer["finding"]
    say(f"{found['station_words']}: {found['words']}")
    if found["value"] is None:
        wrapped(f"not measured: {'; '.join(found['missing'])}", "  ")
        return
    say_finding(found)
    wrapped(found["formula"], "  ")
    sure = f"standard uncertainty {answer['u_text'] or 'none'}"
    if answer["coverage"]:
        freedom = f", {answer['freedom']:g} degrees of freedom" if answer["freedom"] else ""
        sure += f"; the range is {answer['coverage']:.2f} times that (95 %{freedom})"
    wrapped(sure, "  ")


def _budget(answer: Answer) -> None:
    lines = [line for line in answer["budget"] if not line["cancels"]]
    if not lines:
        return
    heading("What its doubt is made of")
    most = max(line["share"] for line in lines)
    small = [line for line in lines[1:] if line["share"] < SMALL]
    for line in lines[:len(lines) - len(small)]:
        wide = max(1, round(BAR * line["share"] / most))
        bar = ("#" if plain() else "█") * wide
        say(f"  {bar:<{BAR}} {line['share']:4.0%} {line['text']:>12}".replace("%", " %"))
        wrapped(line["words"], "      ")
    if small:
        say(f"  and {len(small)} more, together {sum(line['share'] for line in small):.0%}".replace("%", " %"))
    gone = [line["words"] for line in answer["budget"] if line["cancels"]]
    if gone:
        wrapped(f"cancels: {'; '.join(gone)}", "  ", "    ")


def _helps(answer: Answer) -> None:
    from tenths.services.together import percent  # noqa: PLC0415 - only here

    heading("What would help most")
    if not answer["helps"]:
        say("  nothing that is known here gains a hundredth of it")
    for row in answer["helps"]:
        then = f"; the value would then be judged: {row['verdict']}, {percent(row['probability'])}" if (
            row["verdict"] and answer["finding"]["verdict"] != "fits") else ""
        wrapped(f"{row['words']}: gains {row['gain_text']}, leaves {row['text']}{then}", "  - ", "    ")


def _rule(answer: Answer) -> None:
    heading("How it was judged")
    rule, method, found = answer["rule"], answer["method"], answer["finding"]
    wrapped(f"Rule: {rule['name']}. {rule['words']}", "  ", "    ")
    if rule["accept_from"] or rule["accept_to"]:
        inside = " ".join(filter(None, (f"from {rule['accept_from']}" if rule["accept_from"] else "",
                                        f"up to {rule['accept_to']}" if rule["accept_to"] else "")))
        wrapped(f"With this doubt a value is called fitting {inside}.", "  ", "    ")
    if rule["none"]:
        wrapped(rule["none"], "  ! ")
    if method:
        trials = f" In {method['trials']:,} trials the 95 % range is -{method['low']} to +{method['high']}." if method["trials"] else ""
        wrapped(f"Carried {method['name'] if method['name'] == 'by trial' else method['name'] + ','} since it is "
                f"{method['reason']}.{trials}".replace("linear, since it is straight", "straight on, since it is straight"), "  ", "    ")
    for row in answer["warmth"]:
        gauge = f", gauge at {row['gauge']:.1f} °C" if row["gauge"] is not None else ""
        wrapped(f"Temperature: {row['words']}, {row['celsius']:.1f} °C ±{2 * row['u']:.1f}{gauge}, {row['material']}", "  ", "    ")
    for used in found["instruments"]:
        wrapped(f"{used['role']} {used['name']}: {used['said'] or 'in order'}", "  ! " if used["said"] else "  ", "    ")


@click.command("together")
@click.argument("engine")
@click.argument("characteristic", required=False, default="")
@click.option("--pairs", is_flag=True, help="The differences of all pairs, not of neighbours only.")
@in_units
@as_json
@with_shop
def together_command(shop: Shop, engine: str, characteristic: str, pairs: bool, units: str | None, json_: bool) -> None:  # noqa: FBT001
    r"""What holds for several findings at once: that all fit, and by how much two of them differ.

    What they share (a scale, a setting, the temperature) is followed through, so that the product of the single
    probabilities is not what comes out.

    \b
    Examples:
      tenths together marigold
      tenths together marigold main-oil-clearance --pairs
    """
    from tenths.services.together import together  # noqa: PLC0415 - only here

    rows = together(shop, engine, characteristic, units or "", pairs=pairs)
    if json_:
        put_json(rows)
        return
    if not rows:
        say("Nothing is measured with limits at two places or more.")
    for row in rows:
        heading(row["words"])
        wrapped(row["words_together"], "  ", "    ")
        if row["count"] < row["of"]:
            wrapped(f"{row['of'] - row['count']} of {row['of']} are not measured, or stale", "  ! ")
        if characteristic:
            _least(row)


def _least(row: Answer) -> None:
    from tenths.services.together import percent  # noqa: PLC0415 - only here

    say(f"  least sure: {row['least']['words']}, {percent(row['least']['probability'])}")
    say()
    table([("  " + d["words"], d["value"], f"{'+-' if plain() else '±'}{d['interval']}", d["u"], d["u_if_independent"],
            coloured("differ", "too close to call") if d["differ"] else "") for d in row["differences"]],
          heads=("  difference", "value", "95 %", "u", "u if apart", ""), right=(1, 2, 3, 4))
