"""Plots of a lobe as Vega-Lite: lift, velocity, acceleration and jerk over the crank, each with its 95 % band."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import framed

Answer = Mapping[str, Any]
ROWS = ("lift", "velocity", "acceleration", "jerk")
UNITS = {"inch": ("in", "thou/deg", "thou/deg²", "thou/deg³"), "metric": ("mm", "µm/deg", "µm/deg²", "µm/deg³")}


def lobe_plots(row: Answer, units: str, palette: Palette = PRINT, *, card: Answer | None = None, rows: Sequence[str] = ROWS,
               width: int | str = "container", height: int = 200) -> list[Spec]:
    """The curves of a lobe that could be drawn; the maker's card beside it, dashed, where it has one."""
    if row["curve"] is None:
        return []
    return [_one(row, name, UNITS[units][ROWS.index(name)], palette, card, width=width, height=height) for name in rows]


def _one(row: Answer, name: str, unit: str, palette: Palette, card: Answer | None, *, width: int | str, height: int) -> Spec:
    curve = row["curve"]
    drawn = [{"angle": a, "value": v, "low": v - b, "high": v + b}
             for a, v, b in zip(curve["angle"], curve[name], curve[f"{name}_band"], strict=True)]
    layers: list[Spec] = [
        {"mark": {"type": "area", "fill": palette.accent, "opacity": 0.25},
         "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}},
        {"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.6}, "encoding": {}}]
    if card is not None and card["curve"] is not None:
        other = [{"angle": a, "value": v} for a, v in zip(card["curve"]["angle"], card["curve"][name], strict=True)]
        layers.append({"data": {"values": other}, "mark": {"type": "line", "stroke": palette.quiet, "strokeWidth": 1.2,
                                                           "strokeDash": [5, 4]}, "encoding": {}})
    if name == "lift":
        points = [{"angle": p["angle"], "value": p["lift"]} for p in row["points"]]
        layers.append({"data": {"values": points}, "mark": {"type": "point", "shape": "circle", "size": 14, "stroke": palette.ink,
                                                            "strokeWidth": 1, "clip": True}, "encoding": {}})
    title = {"field": "angle", "type": "quantitative", "title": "crank from the overlap's dead centre [deg]",
             "scale": {"nice": False, "zero": False}}
    beside = ", the maker's card dashed" if len(layers) > 2 + (name == "lift") else ""
    return framed(drawn, layers, palette, width=width, height=height, x=title,
                  y={"field": "value", "type": "quantitative", "title": f"{name} [{unit}]", "scale": {"zero": name != "lift"}},
                  words=f"{name.capitalize()} of {row['words']} over the crank with its 95 % band{beside}")
