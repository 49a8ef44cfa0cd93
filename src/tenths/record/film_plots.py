"""Plots of the oil film as Vega-Lite: ranking, paths in the clearance, film around the cycle, film over clearance by grade and speed."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import DASHES, framed

Answer = Mapping[str, Any]


def ranking(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int | None = None) -> Spec:
    """Thinnest film of every bearing with its 95 % interval, thinnest first, and where peaks of roughness touch."""
    rows = [{"station": row["station"].replace(".", " "), "value": row["least"]["value"], "text": row["least"]["text"],
             "low": max(row["least"]["value"] - 2 * (row["least"]["standard_uncertainty"] or 0.0), 0.0),
             "high": row["least"]["value"] + 2 * (row["least"]["standard_uncertainty"] or 0.0),
             "verdict": row["verdict"], "way": row["way"], "touch": 3 * row["edge"]["value"] / row["ratio"] if row["ratio"] else None}
            for row in answer["bearings"]]
    unit = answer["bearings"][0]["least"]["unit"]
    tip = [{"field": "text", "title": "film"}, {"field": "verdict", "title": "verdict"}, {"field": "way", "title": "at"}]
    layers: list[Spec] = [
        {"mark": {"type": "bar", "fill": palette.accent, "opacity": 0.75, "height": {"band": 0.55}}, "encoding": {"tooltip": tip}},
        {"mark": {"type": "rule", "stroke": palette.ink, "strokeWidth": 1.4},
         "encoding": {"x": {"field": "low", "type": "quantitative"}, "x2": {"field": "high"}}},
        {"mark": {"type": "tick", "stroke": palette.ink, "thickness": 2, "size": 16, "strokeDash": [3, 2]},
         "encoding": {"x": {"field": "touch", "type": "quantitative"}}}]
    return framed(rows, layers, palette, width=width, height=height or 26 * len(rows),
                  x={"field": "value", "type": "quantitative", "title": f"thinnest film [{unit}]", "scale": {"zero": True},
                     "axis": {"tickCount": 8}},
                  y={"field": "station", "type": "nominal", "sort": None, "title": None},
                  words="Thinnest film of every bearing with its 95 % interval, thinnest first; left of the broken mark peaks touch")


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


def of_kind(kind: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 220) -> Spec:
    """Film over the use against clearance, of the one of a kind that is worst off, a line for each grade."""
    found = kind["map"]
    return _lines(found["clearance"], list(found["films"]), list(found["films"].values()), found["clearance_unit"], found["unit"],
                  kind["rule"], palette, width=width, height=height,
                  words=f"Film over the use of the {kind['kind']} that is worst off over its clearance, a line for each grade of oil; the "
                        "band is the trade's rule")


def over_clearance(best: Answer, row: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 220) -> Spec:
    """Film over the use of one bearing against its clearance, a line for each grade, the rule as a band, the bearing as it is."""
    found = row["map"]
    here = {"clearance": row["clearance"]["value"], "value": row["now"]["value"], "text": f"{row['now']['text']} as it is"}
    return _lines(found["clearance"], found["grades"], found["use"], found["clearance_unit"], best["unit"], row["rule"], palette,
                  width=width, height=height, here=here,
                  words=f"Film over the use of {row['station'].replace('.', ' ')} over its clearance, a line for each grade of oil; the "
                        f"band is the trade's rule, the disc the bearing as it is with {best['oil']}")


def _lines(clearances: Sequence[float], grades: Sequence[str], films: Sequence[Sequence[float]], across: str, unit: str,
           rule: Sequence[Answer], palette: Palette, *, width: int | str, height: int, words: str, here: Answer | None = None) -> Spec:
    rows = [{"clearance": c, "value": v, "grade": grade} for grade, line in zip(grades, films, strict=True)
            for c, v in zip(clearances, line, strict=True)]
    ends = [{"clearance": clearances[-1], "value": at, "grade": grade}
            for grade, at in zip(grades, _apart([line[-1] for line in films], 0.075 * max(map(max, films))), strict=True)]
    layers: list[Spec] = [
        {"data": {"values": [{"low": rule[0]["value"], "high": rule[1]["value"]}]},
         "mark": {"type": "rect", "fill": palette.rule, "opacity": 0.5},
         "encoding": {"x": {"field": "low", "type": "quantitative"}, "x2": {"field": "high"}, "y": None}},
        {"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.5}, "encoding": {"detail": {"field": "grade"}}},
        {"data": {"values": ends}, "mark": {"type": "text", "align": "left", "dx": 4, "fontSize": 11, "color": palette.quiet},
         "encoding": {"text": {"field": "grade"}}}]
    if here is not None:
        layers.append({"data": {"values": [here]},
                       "mark": {"type": "point", "filled": True, "size": 70, "color": palette.ink, "opacity": 1},
                       "encoding": {"tooltip": [{"field": "text", "title": "film over the use"}]}})
    return framed(rows, layers, palette, width=width, height=height,
                  x={"field": "clearance", "type": "quantitative", "title": f"oil clearance [{across}]", "axis": {"tickCount": 6},
                     "scale": {"domain": [clearances[0], clearances[-1] * 1.08], "nice": False}},
                  y={"field": "value", "type": "quantitative", "title": f"film over the use [{unit}]", "scale": {"zero": True}},
                  words=words)


def _apart(values: Sequence[float], gap: float) -> list[float]:
    """Where words beside lines stand so that they do not cover each other: moved up by what the one below needs."""
    places, last = list(values), float("-inf")
    for k in sorted(range(len(values)), key=lambda k: values[k]):
        last = places[k] = max(values[k], last + gap)
    return places


def mapped(best: Answer, row: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """Thinnest film of one bearing with its oil over clearance and speed, the darker the thicker; a diamond at the best."""
    found = row["map"]
    oil = found["grades"].index(best["oil"])
    ways = sorted(range(len(best["ways"])), key=lambda k: (best["ways"][k]["speed"]["value"], best["ways"][k]["load"]))
    step = found["clearance"][1] - found["clearance"][0]
    names = [_way_words(best["ways"][k]) for k in ways]
    rows = [{"low": c - step / 2, "high": c + step / 2, "way": name, "value": value, "text": f"{value:.2f} {best['unit']}",
             "clearance": round(c, 5)}
            for name, k in zip(names, ways, strict=True) for c, value in zip(found["clearance"], found["films"][oil][k], strict=True)]
    tops = [max((r for r in rows if r["way"] == name), key=lambda r: r["value"]) for name in names]
    marks = [{**top, "middle": top["clearance"]} for top in tops]
    here = [{"at": row["clearance"]["value"]}]
    layers: list[Spec] = [
        {"mark": {"type": "rect", "fill": palette.accent}, "encoding": {
            "x2": {"field": "high"}, "tooltip": [{"field": name, "title": words} for name, words in
                                                 (("text", "film"), ("clearance", "clearance"), ("way", "at"))],
            "opacity": {"field": "value", "type": "quantitative", "scale": {"range": [0.06, 0.8]}, "legend": None}}},
        {"data": {"values": marks},
         "mark": {"type": "point", "shape": "diamond", "filled": True, "size": 60, "color": palette.ink, "opacity": 1},
         "encoding": {"x": {"field": "middle", "type": "quantitative"}, "tooltip": [{"field": "text", "title": "most film"}]}},
        {"data": {"values": here}, "mark": {"type": "rule", "stroke": palette.ink, "strokeDash": [5, 4]},
         "encoding": {"x": {"field": "at", "type": "quantitative"}, "y": None}}]
    return framed(rows, layers, palette, width=width, height=height,
                  x={"field": "low", "type": "quantitative", "title": f"oil clearance [{found['clearance_unit']}]",
                     "scale": {"zero": False, "nice": False}},
                  y={"field": "way", "type": "nominal", "sort": None, "title": None},
                  words=f"Thinnest film of {row['station'].replace('.', ' ')} with {best['oil']} over clearance and speed, the darker the "
                        "thicker; a diamond where it is thickest at each speed, the broken line its clearance as it is")


def _way_words(way: Answer) -> str:
    load = "" if way["load"] == 1.0 else ", part"
    return f"{way['speed']['value']:.0f} {way['speed']['unit']}{load}"
