"""Plots of the valve gear as Vega-Lite: piston to valve over the overlap, load line of a spring, track and ratio of a rocker."""

from collections.abc import Mapping
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import framed

Answer = Mapping[str, Any]
DASH = {"intake": [1, 0], "exhaust": [7, 3]}


def clearance(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 240) -> Spec:
    """Room between valve and piston over the crank angle, intake full and exhaust dashed, limits as thin lines, what is tried lighter."""
    layers: list[Spec] = []
    for curve in answer["curves"]:
        dash = DASH[curve["side"]]
        colour = palette.accent if curve["side"] == "intake" else palette.ink
        for name, wide, faint in (("clearance", 2.0, 1.0), ("changed", 1.6, 0.45)):
            rows = [{"angle": a, "value": v, "which": curve["words"]} for a, v in zip(curve["angle"], curve[name], strict=False)]
            if rows:
                tip = [{"field": "which", "title": "valve"}, {"field": "angle", "title": "crank [deg]"},
                       {"field": "value", "title": f"room [{curve['unit']}]", "format": ".4f"}]
                layers.append({"data": {"values": rows}, "encoding": {"tooltip": tip},
                               "mark": {"type": "line", "stroke": colour, "strokeWidth": wide, "strokeDash": dash, "opacity": faint}})
        if curve["least"] is not None:
            layers.append({"data": {"values": [{"value": curve["least"]}]}, "encoding": {"x": None},
                           "mark": {"type": "rule", "stroke": colour, "strokeDash": [2, 3], "strokeWidth": 1.2}})
        low = min(range(len(curve["angle"])), key=curve["clearance"].__getitem__)
        ends = [{"angle": curve["angle"][low], "value": curve["clearance"][low], "words": curve["words"]}]
        layers += [{"data": {"values": ends}, "mark": {"type": "point", "filled": True, "size": 60, "color": colour}, "encoding": {}},
                   {"data": {"values": ends}, "mark": {"type": "text", "dy": 15, "color": colour, "fontSize": 12,
                                                          "align": "left" if curve["side"] == "intake" else "right"},
                    "encoding": {"text": {"field": "words"}}}]
    first = answer["curves"][0]
    said = ", ".join(f"{c['words']} closest at {c['angle'][min(range(len(c['angle'])), key=c['clearance'].__getitem__)]:g} deg"
                     for c in answer["curves"])
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "angle", "type": "quantitative", "title": "crank from the overlap's top dead centre [deg]",
                     "scale": {"domain": [-45, 45], "nice": False}, "axis": {"values": [-40, -30, -20, -10, 0, 10, 20, 30, 40]}},
                  y={"field": "value", "type": "quantitative", "title": f"piston to valve [{first['unit']}]"},
                  words=f"Piston to valve over the overlap: {said}; dotted the least that is wanted"
                        + ("; lighter as tried" if answer["tried"] else ""))


def load_line(line: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 220) -> Spec:
    """Load of a spring over its height: closed, open and bound marked, readings of the tester as rings."""
    marks = [{**line[name], "words": words} for name, words in (("closed", "closed"), ("open", "open"), ("bound", "bound")) if line[name]]
    tip = [{"field": "height", "title": f"height [{line['height_unit']}]", "format": ".4f"},
           {"field": "load", "title": f"load [{line['load_unit']}]", "format": ".1f"}]
    layers: list[Spec] = [
        {"data": {"values": line["line"]}, "mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.8},
         "encoding": {"tooltip": tip}},
        {"data": {"values": line["read"]}, "mark": {"type": "point", "size": 70, "stroke": palette.ink}, "encoding": {"tooltip": tip}},
        {"data": {"values": marks}, "mark": {"type": "point", "filled": True, "size": 60, "color": palette.accent},
         "encoding": {"tooltip": tip}},
        {"data": {"values": marks}, "mark": {"type": "text", "dx": 8, "dy": -9, "align": "left", "fontSize": 12, "color": palette.ink},
         "encoding": {"text": {"field": "words"}}}]
    said = ", ".join(f"{row['words']} {row['load']:.4g} {line['load_unit']} at {row['height']:.4g} {line['height_unit']}" for row in marks)
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "height", "type": "quantitative", "title": f"height [{line['height_unit']}]", "scale": {"zero": False}},
                  y={"field": "load", "type": "quantitative", "title": f"spring of {line['words']}: load [{line['load_unit']}]"},
                  words=f"Load of the spring of {line['words']} over its height: {said}")


def track(curve: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """Where the rocker's nose stands on the valve's tip over the lift, as it is and (dashed) square at half lift."""
    layers: list[Spec] = []
    for name, words, dash, colour in (("across", "as it stands", [1, 0], palette.accent),
                                      ("across_mid", "square at half lift", [6, 4], palette.quiet)):
        rows = [{"lift": a, "value": v, "which": words} for a, v in zip(curve["lift"], curve[name], strict=True)]
        tip = [{"field": "which", "title": "rocker"}, {"field": "lift", "title": f"lift [{curve['unit']}]", "format": ".3f"},
               {"field": "value", "title": f"across [{curve['unit']}]", "format": ".4f"}]
        layers.append({"data": {"values": rows}, "encoding": {"tooltip": tip},
                       "mark": {"type": "line", "stroke": colour, "strokeWidth": 1.8, "strokeDash": dash}})
    wide, least = (max(curve[name]) - min(curve[name]) for name in ("across", "across_mid"))
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "lift", "type": "quantitative", "title": f"lift of the valve [{curve['unit']}]", "scale": {"nice": False}},
                  y={"field": "value", "type": "quantitative", "title": f"nose inside of the arm's length [{curve['unit']}]"},
                  words=f"Track of the rocker on the tip of {curve['words']} over the lift: {wide:.4g} {curve['unit']} wide; "
                        f"dashed square at half lift, {least:.4g}")


def all_plots(room: Answer, springs: Answer, rockers: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """All of them, those without data left out."""
    return [*([clearance(room, palette, width=width)] if room["curves"] else []),
            *(load_line(line, palette, width=width) for line in springs["lines"]),
            *(track(curve, palette, width=width) for curve in rockers["curves"])]
