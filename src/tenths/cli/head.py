"""Commands of the head on the bench: what is known of it, and runs on the flow bench."""

from pathlib import Path
from typing import Any

import click

from tenths.cli.show import as_json, coloured, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

Answer = dict[str, Any]


@click.command("head")
@click.argument("engine")
@click.option("--at", default="", metavar="PRESSURE", help="Test pressure that flows are brought to; else 28 inH2O.")
@in_units
@as_json
@with_shop
def head_command(shop: Shop, engine: str, at: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The head: guides, seats, chambers, and its ports on the flow bench.

    \b
    Examples:
      tenths head kestrel
      tenths head kestrel --at "10 inH2O"
    """
    from tenths.services.head_bench import head_bench  # noqa: PLC0415 - only here

    answer = head_bench(shop, engine, units or "", at=at)
    if json_:
        put_json(answer)
        return
    if not (answer["findings"] or answer["runs"] or answer["passages"]):
        say("Nothing was read of the head yet: 'tenths features ENGINE valve.1.in' says what there is to read, "
            "'tenths flow' takes a run of the flow bench.")
        return
    _findings(answer["findings"])
    for run in answer["runs"]:
        _run(run, answer["at"]["text"])
    for row in answer["spreads"]:
        _spread(row, answer["at"]["text"])
    for row in answer["passages"]:
        _passage(row)
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


def _findings(rows: list[Answer]) -> None:
    names = dict.fromkeys(row["characteristic"] for row in rows)
    for name in names:
        these = [row for row in rows if row["characteristic"] == name]
        heading(these[0]["words"].capitalize())
        table([(f"  {row['station']}", _amount(row), coloured(row["verdict"], row["verdict"])) for row in these], right=(1,))


def _amount(row: Answer) -> str:
    """Its value as written, with the 95 % interval where there is one."""
    text = row["text"]
    return f"{text['value']} ±{text['interval']}" if text.get("interval") else text["value"]


def _run(run: Answer, at: str) -> None:
    heading(f"{run['words'].capitalize()}, {run['way']}: run {run['run']} at {run['pressure']['text']}")
    if said := ", ".join(filter(None, (run["conditions"], run["instrument"], run["note"]))):
        wrapped(said, "  ")
    table([(f"  {p['lift']['text']}", "" if p["over_diameter"] is None else f"{p['over_diameter']:.3f}", p["shown"], _bare(p["flow"]),
            p["of_head"]["text"], _plain(p["of_curtain"]), _plain(p["of_passage"]))
           for p in run["points"]],
          heads=("  lift", "of dia.", "shown", f"at {at}", "over head", "curtain", "passage"), right=(0, 1, 2, 3, 4, 5, 6))
    if run["guessed"] and run["head"]["value"] is not None:
        wrapped(f"guessed from the head's diameter: {', '.join(run['guessed'])}", "  ")
    elif run["head"]["value"] is None:
        wrapped("the diameter of the valve's head is not known: no coefficients", "  ")
    for text in filter(None, (run["wrong"], run["stale"])):
        wrapped(text, "  ! ", "    ")


def _bare(number: Answer) -> str:
    """A number without its interval, which stands at the coefficient."""
    value, mark, spread = number["text"].partition(" ±")
    return f"{value} {spread.partition(' ')[2]}" if mark else value


def _plain(number: Answer) -> str:
    return "" if number["value"] is None else f"{number['value']:.3f}"


def _spread(row: Answer, at: str) -> None:
    heading(f"{row['side'].capitalize()} ports against each other, {row['way']}, at {at}")
    table([(f"  {r['lift']['text']}", r["mean"]["text"], r["apart"]["text"], f"{r['share']:.1%}", f"{r['lowest']} to {r['highest']}",
            "" if r["clear"] else "within doubt") for r in row["rows"]],
          heads=("  lift", "mean", "apart", "share", "", ""), right=(0, 1, 2, 3))


def _passage(row: Answer) -> None:
    guessed = f" (guessed: {', '.join(row['guessed'])})" if row["guessed"] else ""
    heading(f"Passage under {row['words']}, head {row['head']['text']}, throat {row['throat']['text']}, seat {row['angle']['text']}")
    if guessed:
        say(f" {guessed}")
    table([(f"  {r['lift']['text']}", f"{r['over_diameter']:.2f}", r["passage"]["text"], r["curtain"]["text"], f"{r['share']:.3f}",
            ("across the seat", "seat to valve", "throat")[r["stage"] - 1]) for r in row["rows"]],
          heads=("  lift", "of dia.", "passage", "curtain", "of head", "narrowest"), right=(0, 1, 2, 3, 4))
    if row["full_lift"]["value"] is not None:
        say(f"  From {row['full_lift']['text']} on the throat is the narrowest.")


@click.command("flow")
@click.argument("engine")
@click.argument("valve", required=False, default="")
@click.argument("rows", nargs=-1, metavar="LIFT=FLOW...")
@click.option("--from", "path", type=click.Path(path_type=Path), help="A CSV or XLSX with lift and flow in columns.")
@click.option("--pressure", default="28 inH2O", show_default=True, help="Test pressure: the drop across the port.")
@click.option("--way", type=click.Choice(["forward", "reverse"]), default="forward", show_default=True,
              help="Forward is as the gas goes: in at an intake, out at an exhaust.")
@click.option("--leak", default="", help="Flow with the valve shut.")
@click.option("--leak-pressure", default="", help="Test pressure of that, where it was another.")
@click.option("--air", "temperature", default="", metavar="TEMPERATURE", help="Of the air before the port.")
@click.option("--barometer", default="", help="Pressure of the shop's air.")
@click.option("--orifice", is_flag=True, help="The bench shows the scale of an orifice, made for one air.")
@click.option("--made-for", default="", metavar="TEMPERATURE", help="Air that this scale was made for; else 15 °C.")
@click.option("--made-for-pressure", default="", metavar="PRESSURE", help="And its pressure; else 1,013 mbar.")
@click.option("--blown", is_flag=True, help="Air is pushed through the port, not drawn.")
@click.option("--full-scale", default="", metavar="FLOW", help="Flow at 100 %, where flows are given in per cent.")
@click.option("--factor", default="", help="What a known plate showed the readings must be multiplied by.")
@click.option("--valves", default=1, show_default=True, help="How many valves were opened together.")
@click.option("--run", "name", default="", help="Name of the run; else the valve and the way.")
@click.option("--with", "instrument", default="", metavar="BENCH", help="The flow bench, as listed.")
@click.option("--note", default="", help="Anything else: entry, pipe, bore.")
@as_json
@with_shop
def flow_command(shop: Shop, engine: str, valve: str, rows: tuple[str, ...], path: Path | None, pressure: str, way: str, leak: str,
                 leak_pressure: str, temperature: str, barometer: str, orifice: bool, made_for: str, made_for_pressure: str,  # noqa: FBT001
                 blown: bool, full_scale: str, factor: str, valves: int, name: str, instrument: str, note: str,  # noqa: FBT001
                 json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Take a run of the flow bench: a VALVE, and flows at lifts; or a table.

    A run that is there already under --run takes new conditions and more lifts.

    \b
    Examples:
      tenths flow kestrel valve.1.in "2 mm=45 cfm" "4 mm=92 cfm" --leak "1.2 cfm"
      tenths flow kestrel --from ports.csv --pressure "10 inH2O"
    """
    from tenths.logbook.bodies import FlowBegun  # noqa: PLC0415 - only here
    from tenths.services.flow_import import import_flow  # noqa: PLC0415 - only here
    from tenths.services.head_bench import begin_run, head_bench, run_name  # noqa: PLC0415 - only here

    card = FlowBegun(
        run=name, station=valve, pressure=pressure, way=way, leak=leak, leak_pressure=leak_pressure, temperature=temperature,
        barometer=barometer, scale="orifice" if orifice else "true", reference_temperature=made_for, blown=blown,
        reference_pressure=made_for_pressure, full_scale=full_scale, factor=factor, valves=valves, instrument=instrument, note=note)
    if path is not None:
        if rows:
            raise BadInput("flow: lifts are given and a file as well; give one of them")
        runs, lifts, remarks = import_flow(shop, engine, path, card)
        if json_:
            put_json({"runs": runs, "lifts": lifts, "remarks": list(remarks)})
            return
        say(f"{engine}: {runs} {'run' if runs == 1 else 'runs'}, {lifts} lifts taken")
        for remark in remarks:
            wrapped(remark, "  ! ", "    ")
        return
    if not valve or not rows:
        raise BadInput('flow: a valve and flows at lifts are wanted, such as valve.1.in "2 mm=45 cfm"')
    wanted = name or run_name(shop.build(engine), valve, way)
    from msgspec.structs import replace  # noqa: PLC0415 - only here

    begin_run(shop, engine, replace(card, run=wanted), [_pair(row) for row in rows])
    answer = head_bench(shop, engine)
    mine = next(run for run in answer["runs"] if run["run"] == wanted)
    if json_:
        put_json(mine)
        return
    _run(mine, answer["at"]["text"])


def _pair(text: str) -> tuple[str, str]:
    lift, sign, flow = text.partition("=")
    if not sign or not lift.strip() or not flow.strip():
        raise BadInput(f'flow: {text!r} is not LIFT=FLOW, such as "2 mm=45 cfm"')
    return lift.strip(), flow.strip()
