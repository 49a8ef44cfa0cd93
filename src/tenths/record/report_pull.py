"""What the record says of the pull: only where valves and lobes were stated or read, never on guesses of them."""

from typing import Any

from tenths.errors import BadInput, Unsettled
from tenths.record import pull_plots
from tenths.record.plots import plot_svg
from tenths.record.report_plots import PALETTE
from tenths.services.running_model import Model
from tenths.services.shop import Shop

Answer = dict[str, Any]


def pull_part(shop: Shop, engine: str, units: str, model: Model, files: dict[str, str]) -> Answer | None:
    """Curves, points, friction, and what was guessed; None where the engine's breathing is not stated.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
        model: the engine as it runs.
        files: pictures by name; those of the pull are put in.
    """
    if not model.breathes:
        return None
    from tenths.services.running_pull import pulled  # noqa: PLC0415 - it takes a compiler in

    try:
        answer = pulled(shop, engine, units, sure=True)
        kept = [pulled(shop, engine, units, variant=row["variant"]) for row in answer["variants"][:2]]
    except (BadInput, Unsettled):  # a size that cannot be, told on its page
        return None
    best, top = answer["best"], answer["points"][-1]
    specs = [pull_plots.curve([answer, *kept], name, words, PALETTE, width=300, height=170) for name, words in pull_plots.CURVES[:2]]
    for number, spec in enumerate(specs, 1):
        files[f"pull-{number}.svg"] = plot_svg(spec)
    guessed = [f"{size['words']} {size['text']}" for size in answer["sizes"] if size["origin"] == "taken"]
    return {
        "about": f"{best['torque']['text']} at {best['torque_at']['text']}, {best['power']['text']} at {best['power_at']['text']}, at full "
                 "throttle" + ("." if answer["settled"] else "; some speeds did not settle and are marked."),
        "plots": [{"file": f"pull-{number}.svg", "alt": spec["description"]} for number, spec in enumerate(specs, 1)],
        "against": [f"Dashed: {row['variant']} ({', '.join(f'{k} {v}' for k, v in row['sizes'].items())})"
                    for row in answer["variants"][:2]],
        "rows": [[p["speed"]["text"] + ("" if p["settled"] else " *"), p["torque"]["text"], p["power"]["text"], p["filling"]["text"],
                  p["specific"]["text"], p["peak"]["text"], p["exhaust"]["text"], f"{p['knock']:.2f}"] for p in answer["points"]],
        "sure": "Of the doubt comes " + ", ".join(
            f"{d['share']:.0%} from {d['cause']} (known to {d['by']})" for d in answer["doubts"] if d["share"] >= 0.01) + ".",
        "friction": f"Friction at {top['speed']['text']}: " + ", ".join(f"{r['part']} {r['torque']['text']}" for r in top["rubs"][:6]),
        "notes": [*answer["notes"], *([f"Guessed: {', '.join(guessed)}."] if guessed else [])]}
