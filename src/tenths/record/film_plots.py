"""Plots of the oil film as Vega-Lite: paths in the clearance, film around the cycle, film over clearance by grade, ranking."""

from collections.abc import Mapping
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import DASHES, framed

Answer = Mapping[str, Any]


def ranking(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int | None = None) -> Spec:
    """Thinnest film of every bearing as a bar, thinnest first, and where peaks of roughness touch."""
    rows = [{"station": row["station"].replace(".", " "), "value": row["least"]["value"], "text": row["least"]["text"],
             "state": row["state"], "way": row["way"]} for row in answer["bearings"]]
    unit = answer["bearings"][0]["least"]["unit"]
    touch = [{"value": 3 * row["least"]["value"] / row["ratio"]} for row in answer["bearings"][:1] if row["ratio"]]
    tip = [{"field": "text", "title": "film"}, {"field": "state", "title": "surfaces"}, {"field": "way", "title": "at"}]
    layers: list[Spec] = [
        {"mark": {"type": "bar", "fill": palette.accent, "opacity": 0.75, "height": {"band": 0.55}}, "encoding": {"tooltip": tip}},
        {"data": {"values": touch}, "mark": {"type": "rule", "stroke": palette.ink, "strokeDash": [5, 4]},
         "encoding": {"x": {"field": "value", "type": "quantitative"}, "y": None}}]
    return framed(rows, layers, palette, width=width, height=height or 26 * len(rows),
                  x={"field": "value", "type": "quantitative", "title": f"thinnest film [{unit}]", "scale": {"zero": True}},
                  y={"field": "station", "type": "nominal", "sort": None, "title": None},
                  words="Thinnest film of every bearing, thinnest first; left of the dashed line peaks of roughness touch")


def paths(orbits: Answer, palette: Palette = PRINT, *, size: int = 280) -> Spec:
    """Path of the journal's centre in its clearance circle; the wall is the circle itself."""
    circle = [{"across": x, "up": y, "n": k} for k, (x, y) in enumerate(_circle())]
    layers: list[Spec] = [{"data": {"values": circle}, "mark": {"type": "line", "stroke": palette.ink, "strokeWidth": 1.2},
                           "encoding": {"order": {"field": "n", "type": "quantitative"}}}]
    for n, curve in enumerate(orbits["curves"]):
        rows = [{"across": x, "up": y, "n": k} for k, (x, y) in enumerate(zip(curve["across"], curve["up"], strict=True))]
        rows.append({**rows[0], "n": len(rows)})
        layers.append({"data": {"values": rows}, "mark": {"type": "line", "stroke": palette.accent if n < 2 else palette.quiet,
                                                         "strokeWidth": 1.5, "strokeDash": DASHES[n]},
                       "encoding": {"order": {"field": "n", "type": "quantitative"}}})
    axis = {"tickCount": 4, "grid": False}
    scale = {"domain": [-1.05, 1.05], "nice": False}
    up = "towards the small end" if orbits["station"].startswith("rod") else "up"
    return framed([], layers, palette, width=size, height=size,
                  x={"field": "across", "type": "quantitative", "scale": scale, "axis": axis,
                     "title": "the way the crank turns"},
                  y={"field": "up", "type": "quantitative", "scale": scale, "axis": axis, "title": up},
                  words=f"Path of the journal in {orbits['station'].replace('.', ' ')} with {orbits['grade']}: "
                        + ", ".join(f"{curve['way']} {_dash(n)}" for n, curve in enumerate(orbits["curves"])))


def _circle(points: int = 97) -> list[tuple[float, float]]:
    from math import cos, pi, sin  # noqa: PLC0415 - only here

    return [(round(sin(2 * pi * k / (points - 1)), 5), round(cos(2 * pi * k / (points - 1)), 5)) for k in range(points)]


def _dash(n: int) -> str:
    return ("full line", "dashed", "dotted", "mixed")[n]


def around(orbits: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """Thinnest film over the cycle."""
    layers: list[Spec] = []
    for n, curve in enumerate(orbits["curves"]):
        rows = [{"angle": a, "value": v} for a, v in zip(curve["angle"], curve["film"], strict=True)]
        layers.append({"data": {"values": rows}, "mark": {"type": "line", "stroke": palette.accent if n < 2 else palette.quiet,
                                                         "strokeWidth": 1.6, "strokeDash": DASHES[n]}, "encoding": {}})
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "angle", "type": "quantitative", "title": "crank angle [deg]", "scale": {"domain": [0, 720], "nice": False},
                     "axis": {"values": [0, 90, 180, 270, 360, 450, 540, 630, 720]}},
                  y={"field": "value", "type": "quantitative", "title": f"film [{orbits['unit']}]", "scale": {"zero": True}},
                  words=f"Thinnest film in {orbits['station'].replace('.', ' ')} around the cycle: "
                        + ", ".join(f"{curve['way']} {_dash(n)}" for n, curve in enumerate(orbits["curves"])))


def over_clearance(kind: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 220) -> Spec:
    """Least film over all ways of running hot against clearance, a line for each grade, the trade's rule as a band."""
    found = kind["map"]
    rows = [{"clearance": c, "value": v, "grade": grade} for grade, films in found["films"].items()
            for c, v in zip(found["clearance"], films, strict=True)]
    ends = [{"clearance": found["clearance"][-1], "value": films[-1], "grade": grade} for grade, films in found["films"].items()]
    band = [{"low": kind["rule"][0]["value"], "high": kind["rule"][1]["value"]}]
    layers: list[Spec] = [
        {"data": {"values": band}, "mark": {"type": "rect", "fill": palette.rule, "opacity": 0.5},
         "encoding": {"x": {"field": "low", "type": "quantitative"}, "x2": {"field": "high"}, "y": None}},
        {"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.5}, "encoding": {"detail": {"field": "grade"}}},
        {"data": {"values": ends}, "mark": {"type": "text", "align": "left", "dx": 4, "fontSize": 11, "color": palette.quiet},
         "encoding": {"text": {"field": "grade"}}}]
    top = found["clearance"][-1]
    return framed(rows, layers, palette, width=width, height=height,
                  x={"field": "clearance", "type": "quantitative", "title": f"oil clearance [{found['clearance_unit']}]",
                     "scale": {"domain": [found["clearance"][0], top * 1.08], "nice": False}},
                  y={"field": "value", "type": "quantitative", "title": f"thinnest film [{found['unit']}]", "scale": {"zero": True}},
                  words=f"Thinnest film of the hardest loaded {kind['kind']} over its clearance, a line for each grade of oil; the band is "
                        "the trade's rule")
