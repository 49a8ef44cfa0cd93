"""What the record says of the flow bench: ports against each other at every lift, their curves, how each run was made."""

from collections.abc import Sequence
from typing import Any

from tenths.errors import BadInput
from tenths.record import head_plots
from tenths.record.plots import plot_svg
from tenths.record.report_plots import PALETTE
from tenths.services.head_bench import head_bench
from tenths.services.shop import Shop

Answer = dict[str, Any]
MOST_ACROSS = 8  # ports in one table


def head_part(shop: Shop, engine: str, units: str, files: dict[str, str]) -> Answer | None:
    """Curves, a table for each side and way, and the runs; None where nothing was flowed.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
        files: pictures by name; those of the flow bench are put in.
    """
    try:
        answer = head_bench(shop, engine, units)
    except BadInput:  # no layout yet
        return None
    runs = head_plots.runs_of(answer)
    if not runs:
        return None
    sides = [side for side in head_plots.SIDES if any(run["side"] == side for run in runs)]
    specs = [head_plots.flow(answer, side, PALETTE, width=300, height=170) for side in sides]
    if any(point["of_head"]["value"] is not None for run in runs for point in run["points"]):
        specs.append(head_plots.coefficients(answer, PALETTE, width=300, height=170))
    for number, spec in enumerate(specs, 1):
        files[f"head-{number}.svg"] = plot_svg(spec)
    return {
        "about": f"Flow brought to {answer['at']['text']}, leak taken off; coefficients are effective area over that of the valve's head.",
        "plots": [{"file": f"head-{number}.svg", "alt": spec["description"]} for number, spec in enumerate(specs, 1)],
        "tables": [table for side in sides for way in head_plots.WAYS for table in _tables(answer, runs, side, way)],
        "runs": [f"{run['run']}: {run['words']} {run['way']} at {run['pressure']['text']}"
                 + "".join(f", {said}" for said in (run["conditions"], run["instrument"], run["note"]) if said) for run in runs],
        "notes": answer["notes"]}


def _tables(answer: Answer, runs: Sequence[head_plots.Answer], side: str, way: str) -> list[Answer]:
    """Flow of the ports of a side at every lift, so many abreast, and how far they are apart."""
    mine = [run for run in runs if run["side"] == side and run["way"] == way]
    apart = {row["lift"]["text"]: f"{row['share']:.1%}" for spread in answer["spreads"] if (spread["side"], spread["way"]) == (side, way)
             for row in spread["rows"]}
    return [_table(mine[k:k + MOST_ACROSS], side, way, apart) for k in range(0, len(mine), MOST_ACROSS)]


def _table(runs: Sequence[head_plots.Answer], side: str, way: str, apart: dict[str, str]) -> Answer:
    lifts = {point["lift"]["text"]: point["lift"]["value"] for run in runs for point in run["points"]}
    flows = [{point["lift"]["text"]: f"{point['flow']['value']:.1f}" for point in run["points"]} for run in runs]
    heads = [{point["lift"]["text"]: point["of_head"]["value"] for point in run["points"]} for run in runs]
    rows: list[list[str]] = []
    for lift in sorted(lifts, key=lambda text: lifts[text]):
        known = [head[lift] for head in heads if head.get(lift) is not None]
        rows.append([lift, *(flow.get(lift, "") for flow in flows), f"{sum(known) / len(known):.3f}" if known else "", apart.get(lift, "")])
    unit = runs[0]["points"][0]["flow"]["unit"]
    return {"title": f"{side.capitalize()}, {way} [{unit}]", "rows": rows,
            "heads": ["lift", *(_port(run) for run in runs), "coefficient", "apart"]}


def _port(run: head_plots.Answer) -> str:
    return run["station"].removeprefix("valve.").replace(".", " ")
