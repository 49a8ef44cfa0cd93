"""Plots of the valve train as Vega-Lite: where it parts, force on the lobe over the angle, landing, bounce and stress over speed."""

from collections.abc import Mapping
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import DASHES, framed

Answer = Mapping[str, Any]
LINES = ("dashed", "full line", "dotted")
SHOWN_ANGLES = 180  # either side of the lobe's centre [deg of the crank]


def partings(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> Spec:
    """Where each side first parts and where it floats, with 95 % intervals, against the highest speed."""
    rows = [_parting(side, name) for side in answer["sides"] for name in ("first", "floats")]
    tip = [{"field": "text", "title": "at"}, {"field": "likely", "title": "holds to the highest speed"}]
    known: list[Spec] = [{"filter": "isValid(datum.value)"}]
    layers: list[Spec] = [
        {"data": {"values": [{"value": answer["redline"]["value"]}]},
         "mark": {"type": "rule", "stroke": palette.ink, "strokeDash": [5, 4]}, "encoding": {"y": None}},
        {"transform": known, "mark": {"type": "rule", "stroke": palette.accent, "strokeWidth": 5, "opacity": 0.35},
         "encoding": {"x": {"field": "low", "type": "quantitative"}, "x2": {"field": "high"}}},
        {"transform": known, "mark": {"type": "point", "filled": True, "size": 80, "fill": palette.accent, "opacity": 1},
         "encoding": {"tooltip": tip}}]
    low = min((row["low"] for row in rows if row["value"] is not None), default=answer["redline"]["value"])
    unit = answer["redline"]["unit"]
    return framed(rows, layers, palette, width=width, height=34 * len(rows) + 40,
                  x={"field": "value", "type": "quantitative", "title": f"crank speed [{unit}]",
                     "axis": {"tickCount": 5, "labelOverlap": "greedy"},
                     "scale": {"zero": False, "domainMin": min(low, answer["redline"]["value"]) * 0.95, "nice": True}},
                  y={"field": "what", "type": "nominal", "sort": None, "title": None},
                  words="Where the valve trains first part and where they float"
                        f"{', each with its 95 % interval' if answer['sure'] else ''}; dashed the highest speed")


def _parting(side: Answer, name: str) -> Spec:
    one = side[name]
    value, reach = one["speed"]["value"], 2.0 * (one["speed"]["standard_uncertainty"] or 0.0)
    what = f"{side['side']}, {'first parts' if name == 'first' else 'floats'}"
    return {"what": what, "value": value, "low": None if value is None else value - reach, "high": None if value is None else value + reach,
            "text": one["speed"]["text"] or f"not up to {one['tried']['text']}", "likely": f"{one['probability']:.0%}"}


def forces(side: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 240) -> Spec:
    """Force on the lobe over the angle of the crank, at a few speeds."""
    curves = side["curves"]
    layers: list[Spec] = []
    for n, curve in enumerate(curves):  # slow, at the highest speed, where it floats
        rows = [{"angle": a, "value": v} for a, v in zip(curve["angle"], curve["force"], strict=True) if abs(a) <= SHOWN_ANGLES]
        layers.append({"data": {"values": rows}, "encoding": {}, "mark": {
            "type": "line", "stroke": palette.accent if n else palette.quiet, "strokeWidth": 1.6, "strokeDash": DASHES[(1, 0, 2)[n]]}})
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "angle", "type": "quantitative", "title": "crank angle from the lobe's centre [deg]",
                     "scale": {"domain": [-SHOWN_ANGLES, SHOWN_ANGLES], "nice": False}, "axis": {"values": list(range(-180, 181, 45))}},
                  y={"field": "value", "type": "quantitative", "title": f"force on the lobe [{curves[0]['force_unit']}]"},
                  words=f"Force of the {side['side']} follower on its lobe: " + told(side))


def told(side: Answer) -> str:
    """Which line is which speed."""
    return ", ".join(f"{curve['speed']['text']} {LINES[n]} ({curve['state']})" for n, curve in enumerate(side["curves"]))


def over_speed(side: Answer, what: str, words: str, palette: Palette = PRINT, *, width: int | str = "container", height: int = 190,
               limit: Answer | None = None) -> Spec:
    """A quantity over speed, and what is borne for long as a line."""
    rows = [{"speed": row["speed"]["value"], "value": row[what]["value"], "text": row[what]["text"], "state": row["state"]}
            for row in side["rows"]]
    tip = [{"field": "speed", "title": "speed", "format": ".0f"}, {"field": "text", "title": words}, {"field": "state", "title": "train"}]
    layers: list[Spec] = [{"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.6, "point": True},
                           "encoding": {"tooltip": tip}}]
    if limit:
        layers.append({"data": {"values": [{"value": limit["value"]}]}, "encoding": {"x": None},
                       "mark": {"type": "rule", "stroke": palette.ink, "strokeDash": [5, 4]}})
    borne = f"; dashed what is borne for long, {limit['text']}" if limit else ""
    return framed(rows, layers, palette, width=width, height=height,
                  x={"field": "speed", "type": "quantitative", "title": f"crank speed [{side['rows'][0]['speed']['unit']}]",
                     "scale": {"zero": False}},
                  y={"field": "value", "type": "quantitative", "title": f"{words} [{side['rows'][0][what]['unit']}]",
                     "scale": {"zero": not limit}},
                  words=f"{words.capitalize()} of the {side['side']} over speed{borne}")


def of_side(side: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """Force over the angle; landing, bounce, gap and stress over speed."""
    specs = [forces(side, palette, width=width),
             *(over_speed(side, name, words, palette, width=width)
               for name, words in (("landing", "landing on the seat"), ("bounce", "bounce"), ("parted", "gap of the train")))]
    if not side["no_stress"]:
        specs.append(over_speed(side, "stress", "stress of lobe and follower", palette, width=width, limit=side["limit"]))
    return specs


def all_plots(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """Where they part, then the plots of each side."""
    return [partings(answer, palette, width=width), *(spec for side in answer["sides"] for spec in of_side(side, palette, width=width))]
