"""Plots of the pull as Vega-Lite: torque and power over speed, filling, each against what is tried."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import framed

Answer = Mapping[str, Any]


def curve(answers: Sequence[Answer], what: str, words: str, palette: Palette = PRINT, *, width: int | str = "container",
          height: int = 220) -> Spec:
    """A quantity of the pull over speed; the first answer full, others dashed; 95 % intervals where they were worked out."""
    layers: list[Spec] = []
    for n, answer in enumerate(answers):
        rows = [{"speed": row["speed"]["value"], "value": row[what]["value"], "text": row[what]["text"],
                 "low": row[what]["value"] - 2 * (row[what]["standard_uncertainty"] or 0.0),
                 "high": row[what]["value"] + 2 * (row[what]["standard_uncertainty"] or 0.0)} for row in answer["points"]]
        if any(row["high"] > row["low"] for row in rows):
            band = {"type": "area", "fill": palette.accent, "opacity": 0.15}
            layers.append({"data": {"values": rows}, "mark": band,
                           "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}})
        mark = {"type": "line", "stroke": palette.accent if n == 0 else palette.ink, "point": True, "strokeWidth": 1.8,
                "strokeDash": [1, 0] if n == 0 else [6, 4]}
        tip = [{"field": "speed", "title": "speed", "format": ".0f"}, {"field": "text", "title": words}]
        layers.append({"data": {"values": rows}, "mark": mark, "encoding": {"tooltip": tip}})
    first = answers[0]["points"][0]
    unit = first[what]["unit"]
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "speed", "type": "quantitative", "title": f"crank speed [{first['speed']['unit']}]",
                     "scale": {"zero": False}},
                  y={"field": "value", "type": "quantitative", "title": f"{words} [{unit}]" if unit else words, "scale": {"zero": False}},
                  words=f"{words.capitalize()} over speed at full throttle"
                        + (", as it is and (dashed) as tried" if len(answers) > 1 else ""))


def all_curves(answers: Sequence[Answer], palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """Torque, power, filling and peak pressure."""
    return [curve(answers, name, words, palette, width=width)
            for name, words in (("torque", "torque"), ("power", "power"), ("filling", "filling"), ("peak", "peak pressure"))]
