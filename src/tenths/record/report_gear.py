"""What the record says of springs, rockers and piston to valve: only what was read or stated."""

from typing import Any

from tenths.record import gear_plots
from tenths.record.plots import plot_svg
from tenths.record.report_plots import PALETTE
from tenths.services.shop import Shop
from tenths.services.valve_clearance import valve_clearance
from tenths.services.valve_rocker import valve_rocker
from tenths.services.valve_springs import valve_springs

Answer = dict[str, Any]
MOST_PLOTS = 4


def gear_part(shop: Shop, engine: str, units: str, files: dict[str, str]) -> Answer | None:
    """Tables of the valve gear with their plots; None where nothing of it is known.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
        files: pictures by name; those of the valve gear are put in.
    """
    room, springs, rockers = (ask(shop, engine, units) for ask in (valve_clearance, valve_springs, valve_rocker))
    rooms = [row for row in room["valves"] if row["clearance"]["text"]]
    sprung = [row for row in springs["valves"] if row["installed"]["text"] or row["seat"]["text"]]
    rocked = [row for row in rockers["valves"] if row["sweep"]["text"]]
    if not rooms and not sprung and not rocked:
        return None
    specs = gear_plots.all_plots(room, springs, rockers, PALETTE, width=300)[:MOST_PLOTS]
    for number, spec in enumerate(specs, 1):
        files[f"gear-{number}.svg"] = plot_svg(spec)
    return {
        "plots": [{"file": f"gear-{number}.svg", "alt": spec["description"]} for number, spec in enumerate(specs, 1)],
        "rooms": [[row["words"], row["clearance"]["text"], row["least"]["text"], row["verdict"], _angle(row), row["per_degree"]["text"],
                   row["per_cut"]["text"]] for row in rooms],
        "cut": next((row["cut"]["text"] for row in rooms if row["cut"]["text"]), "a cut"),
        "springs": [[row["words"], *(_short(row[k]) for k in ("installed", "rate", "seat", "open", "bind", "retainer"))] for row in sprung],
        "wires": _wires(sprung), "notes": [room["notes"][0], *([f"Lobe: {_lobes(rooms)}."] if _lobes(rooms) else [])],
        "rockers": [[row["words"], _short(row["sweep"]), _short(row["mid_sweep"]), _ratio(row), _short(row["length"]),
                     _short(row["preload"])] for row in rocked]}


def _short(number: Answer) -> str:
    """The number without its doubt, which stands in the ledger."""
    text, mark, _ = number["text"].partition(" ±")
    return f"{text} {number['unit']}" if mark else text


def _angle(row: Answer) -> str:
    return "" if row["angle"] is None else f"{row['angle']:.1f} deg"


def _lobes(rows: list[Answer]) -> str:
    return "; ".join(dict.fromkeys(row["lobe"] for row in rows if row["lobe"]))


def _ratio(row: Answer) -> str:
    return "" if row["ratio_mean"] is None else f"{row['ratio_closed']:.3f}, {row['ratio_mean']:.3f}, {row['ratio_open']:.3f}"


def _wires(rows: list[Answer]) -> list[str]:
    """Each kind of spring once, in a sentence."""
    said: dict[str, None] = {}
    for wire in (w for row in rows for w in row["wires"] if not w["wrong"]):
        strength = f", open {wire['open_stress']['text']}, {wire['of_strength']:.0%} of the wire's strength" if wire["of_strength"] else ""
        said[f"{wire['which'].capitalize()}: rate {wire['rate']['text']} by its wire{strength}; swings by itself at "
             f"{wire['modes'][0]['text']}."] = None
    return list(said)[:4]
