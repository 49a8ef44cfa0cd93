"""What the record says of the camshaft's timing: top dead centre, centres and events of each lobe, curves, the shaft as a whole."""

from typing import Any

from tenths.errors import BadInput
from tenths.record import cam_plots
from tenths.record.plots import plot_svg
from tenths.record.report_plots import PALETTE
from tenths.services.lobes import lobes
from tenths.services.shop import Shop

Answer = dict[str, Any]
MOST_NOTES = 6


def cam_part(shop: Shop, engine: str, units: str, files: dict[str, str]) -> Answer | None:
    """Timing as it was read; None where no lobe was.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
        files: pictures by name; those of the lobes are put in.
    """
    try:
        answer = lobes(shop, engine, units)
    except BadInput:  # no layout yet
        return None
    read = [row for row in answer["lobes"] if row["now"]["text"] and not row["stale"]]
    if not read:
        return None
    plots: list[Answer] = []
    for side in ("intake", "exhaust"):
        row = next((r for r in read if r["side"] == side and r["curve"]), None)
        if row:
            card = next((c for c in answer["card"]["lobes"] if c["side"] == side), None) if answer["card"] else None
            specs = cam_plots.lobe_plots(row, answer["units"], PALETTE, card=card, rows=("lift", "acceleration"), width=300, height=130)
            plots += [{**_drawn(files, f"cam-{side}-{n}", spec), "title": row["words"]} for n, spec in enumerate(specs, 1)]
    return {
        "about": _about(answer), "plots": plots, "rows": [_row(row) for row in read],
        "timing": [[t["cylinder"], t["lift"]["text"], t["separation"]["text"], t["overlap"]["text"], t["advance"]["text"]]
                   for t in answer["timing"]],
        "shafts": [f"Camshaft {s['shaft']}, {s['side']} lobes: spread {s['spread']['text']}, where errors alone would make "
                   f"{s['by_error']['text']}; twist {s['twist']['text']} from one cylinder to the next." for s in answer["shafts"]],
        "notes": list(dict.fromkeys([*(f"{r['words'].capitalize()}: {n}" for r in read for n in filter(None, (r["late"], *r["notes"]))),
                                     *answer["notes"]]))[:MOST_NOTES]}


def _drawn(files: dict[str, str], name: str, spec: cam_plots.Spec) -> Answer:
    files[f"{name}.svg"] = plot_svg(spec)
    return {"file": f"{name}.svg", "alt": spec["description"]}


def _about(answer: Answer) -> str:
    zero = answer["zero"]
    top = (f"Top dead centre of cylinder {zero['cylinder']} by {zero['words']}, sure to {zero['interval']['text']}. " if zero else "")
    return f"{top}Angles of the crank with their 95 % intervals."


def _row(row: Answer) -> list[str]:
    """Lobe, centre, lift, and opening, closing and duration at the lift at which the trade times a lobe."""
    timed = row["flanks"][min(1, len(row["flanks"]) - 1)] if row["flanks"] else None
    after = "after" if row["side"] == "intake" else "before"
    return [row["words"], f"{row['now']['text'].removesuffix(' deg')} {after} top", row["peak"]["text"],
            *([timed["lift"]["text"], *(timed[name]["text"].removesuffix(" deg") for name in ("opens", "closes", "duration"))]
              if timed else [""] * 4)]
