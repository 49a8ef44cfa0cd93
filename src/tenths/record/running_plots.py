"""Plots of the running engine as Vega-Lite: forces by order, turning moment, polar loads, Campbell picture, swing over speed."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record import plots
from tenths.record.plots import PRINT, Palette, Row, Spec

Answer = Mapping[str, Any]
DASHES: tuple[list[int], ...] = ([1, 0], [6, 3], [2, 2], [8, 3, 2, 3])


def framed(data: Sequence[Row], layers: list[Spec], palette: Palette, **more: Any) -> Spec:
    """As `plots.framed`; the marks say nothing by themselves, for the plot as a whole is told in words."""
    quiet = [{**layer, "mark": {**layer["mark"], "aria": False}} for layer in layers]
    return plots.framed(data, quiet, palette, **more)


def forces_by_order(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> list[Spec]:
    """Largest force and largest couple of each order at the highest speed, as bars with their 95 % intervals."""
    specs: list[Spec] = []
    for kind in ("force", "couple"):
        rows = [{"order": f"{row['order']}", "value": row[kind]["largest"]["value"],
                 "low": max(row[kind]["largest"]["value"] - _reach(row[kind]["largest"]), 0.0),
                 "high": row[kind]["largest"]["value"] + _reach(row[kind]["largest"]), "text": row[kind]["largest"]["text"],
                 "way": row[kind]["way"]} for row in answer["orders"]]
        unit = answer["orders"][0][kind]["largest"]["unit"]
        nothing = not any(row["value"] for row in rows)
        tip = [{"field": "order", "title": "order"}, {"field": "text", "title": kind}, {"field": "way", "title": "it"}]
        layers: list[Spec] = [
            {"mark": {"type": "bar", "fill": palette.accent, "opacity": 0.75, "width": {"band": 0.5}}, "encoding": {"tooltip": tip}},
            {"mark": {"type": "rule", "stroke": palette.ink, "strokeWidth": 1.4},
             "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}}]
        specs.append(framed(
            rows, layers, palette, width=width, height=height,
            x={"field": "order", "type": "nominal", "sort": None, "title": "order", "axis": {"labelAngle": 0}},
            y={"field": "value", "type": "quantitative", "title": f"largest {kind} [{unit}]",
               **({"scale": {"domain": [0, 1]}} if nothing else {})},
            words=f"Largest {kind} that reaches the mounts, order by order, at {answer['speed']['text']}"))
    return specs


def _reach(number: Answer) -> float:
    return 2.0 * (number["standard_uncertainty"] or 0.0)


def turning_moment(curves: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """Torque on the crank over the cycle, with its mean."""
    torque = curves["torque"]
    rows = [{"angle": a, "value": t} for a, t in zip(curves["angle"], torque, strict=True)]
    mean = sum(torque) / len(torque)
    layers = [_line(palette.accent),
              {"data": {"values": [{"value": mean}]}, "mark": {"type": "rule", "stroke": palette.quiet, "strokeDash": [5, 4]},
               "encoding": {"x": None, "y": {"field": "value", "type": "quantitative"}}}]
    return framed(rows, layers, palette, width=width, height=height, x=_angle(),
                  y={"field": "value", "type": "quantitative", "title": f"torque [{curves['torque_unit']}]"},
                  words=f"Torque on the crank over the cycle at {curves['speed']['text']}, full throttle, and its mean")


def _angle() -> Spec:
    return {"field": "angle", "type": "quantitative", "title": "crank angle [deg]", "scale": {"domain": [0, 720], "nice": False},
            "axis": {"values": [0, 90, 180, 270, 360, 450, 540, 630, 720]}}


def _line(colour: str, dash: Sequence[int] = (1, 0), width: float = 1.6) -> Spec:
    return {"mark": {"type": "line", "stroke": colour, "strokeWidth": width, "strokeDash": list(dash), "interpolate": "linear"},
            "encoding": {}}


def polar(curves: Answer, station: str, palette: Palette = PRINT, *, size: int = 260) -> Spec:
    """The load of a crankpin (seen from the crank) or a main (seen from the engine, both ways) over the cycle, as a closed curve."""
    of_pin = station.startswith("pin.")
    found: Mapping[str, Answer] = {"": curves["pins"][station]} if of_pin else curves["mains"][station]
    most = max(max(map(abs, part)) for way in found.values() for part in (way["up"], way["across"])) * 1.08 or 1.0
    layers: list[Spec] = []
    for n, (way, load) in enumerate(found.items()):
        rows = [{"across": x, "up": y, "angle": a} for a, x, y in zip(curves["angle"], load["across"], load["up"], strict=True)]
        rows.append(rows[0])
        colour = palette.accent if n == 0 else palette.quiet
        layers.append({"data": {"values": rows},
                       "mark": {"type": "line", "stroke": colour, "strokeWidth": 1.5, "strokeDash": DASHES[n]},
                       "encoding": {"order": {"field": "n", "type": "quantitative"}}, "name": way or "load",
                       "transform": [{"window": [{"op": "row_number", "as": "n"}]}]})
    cross = [{"across": 0, "up": -most, "x2": 0, "y2": most}, {"across": -most, "up": 0, "x2": most, "y2": 0}]
    layers.insert(0, {"data": {"values": cross}, "mark": {"type": "rule", "stroke": palette.rule},
                      "encoding": {"x2": {"field": "x2"}, "y2": {"field": "y2"}}})
    axis = {"tickCount": 4, "grid": False}
    unit = curves["force_unit"]
    x: Spec = {"field": "across", "type": "quantitative", "scale": {"domain": [-most, most], "nice": False}, "axis": axis,
               "title": f"{'ahead of the throw' if of_pin else 'the way the crank turns'} [{unit}]"}
    y: Spec = {"field": "up", "type": "quantitative", "scale": {"domain": [-most, most], "nice": False}, "axis": axis,
               "title": f"{'away from the crank axis' if of_pin else 'up'} [{unit}]"}
    seen = "seen from the crank" if of_pin else "seen from the engine, hinged and (dashed) as a beam"
    return framed([], layers, palette, x=x, y=y, width=size, height=size,
                  words=f"Load on {station.replace('.', ' ')} over the cycle at {curves['speed']['text']}, {seen}")


def campbell(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 300) -> Spec:
    """Natural frequencies against the orders' lines over speed; where they meet, marks as large as the order pulls strongly."""
    top = answer["speed_to"]
    lines = [{"speed": s, "value": s / 60 * order, "order": f"{order:g}"} for order in answer["orders"] for s in (0.0, top)]
    flat = [{"speed": s, "value": m["hertz"], "mode": f"mode {m['mode']}"} for m in answer["modes"] for s in (0.0, top)]
    high = max([m["hertz"] for m in answer["modes"]] or [top / 60]) * 1.15
    ends = [{"speed": min(top, high * 60 / order), "value": min(top / 60 * order, high), "order": f"{order:g}"}
            for order in answer["orders"]]
    layers: list[Spec] = [
        {"data": {"values": lines}, "mark": {"type": "line", "stroke": palette.quiet, "strokeWidth": 0.9, "clip": True},
         "encoding": {"detail": {"field": "order"}}},
        {"data": {"values": flat}, "mark": {"type": "line", "stroke": palette.ink, "strokeWidth": 1.8},
         "encoding": {"detail": {"field": "mode"}}},
        {"data": {"values": [{"speed": answer["redline"]}]}, "mark": {"type": "rule", "stroke": palette.quiet, "strokeDash": [5, 4]},
         "encoding": {"x": {"field": "speed", "type": "quantitative"}, "y": None}},
        {"data": {"values": answer["meets"]}, "mark": {"type": "point", "filled": True, "color": palette.accent, "opacity": 0.8},
         "encoding": {"y": {"field": "hertz", "type": "quantitative"},
                      "size": {"field": "strength", "type": "quantitative", "legend": None,
                               "scale": {"domain": [0, 1], "range": [20, 520]}},
                      "tooltip": [{"field": "order", "title": "order"}, {"field": "mode", "title": "mode"},
                                  {"field": "speed", "title": "speed [rpm]", "format": ".0f"},
                                  {"field": "strength", "title": "strength", "format": ".2f"}]}},
        {"data": {"values": ends}, "mark": {"type": "text", "align": "right", "dx": -4, "dy": -6, "fontSize": 11, "color": palette.quiet},
         "encoding": {"text": {"field": "order"}}}]
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "speed", "type": "quantitative", "title": "crank speed [rpm]", "axis": {"tickCount": 8},
                     "scale": {"domain": [0, top], "nice": False}},
                  y={"field": "value", "type": "quantitative", "title": "vibrations [Hz]", "scale": {"domain": [0, high], "nice": False}},
                  words="Campbell picture: natural frequencies of the crank in torsion, and the orders' lines over speed; larger "
                        "marks where the firing order drives more strongly")


def over_speed(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 220) -> list[Spec]:
    """Stress in the worst journal, and swing of the hub, over speed, with the damper and without."""
    specs: list[Spec] = []
    for what, title in (("stress", f"stress in a journal [{answer['stress_unit']}]"), ("swing", "swing of the hub [deg]")):
        rows: list[Row] = [{"speed": s, "value": v, "which": f"{name} damper"} for name in ("without", "with") if name in answer
                           for s, v in zip(answer["speed"], answer[name][what], strict=True)]
        kinds = list(dict.fromkeys(str(row["which"]) for row in rows))
        line: Spec = {"mark": {"type": "line", "strokeWidth": 1.7}, "encoding": {
            name: {"field": "which", "type": "nominal", "scale": {"domain": kinds, "range": looks}, "legend": _legend(palette)}
            for name, looks in (("stroke", [palette.quiet, palette.accent]), ("strokeDash", [[6, 3], [1, 0]]))}}
        limit: list[Spec] = [{"data": {"values": [{"value": answer["stress_to"]["value"]}]},
                              "mark": {"type": "rule", "stroke": palette.quiet, "strokeDash": [2, 3]},
                              "encoding": {"x": None, "y": {"field": "value", "type": "quantitative"}}}] if what == "stress" else []
        specs.append(framed(rows, [*limit, line], palette, width=width, height=height,
                            x={"field": "speed", "type": "quantitative", "title": "crank speed [rpm]", "axis": {"tickCount": 8},
                               "scale": {"zero": False, "nice": False}},
                            y={"field": "value", "type": "quantitative", "title": title},
                            words=f"{title.partition(' [')[0].capitalize()} over speed, {' and '.join(kinds)}"))
    return specs


def _legend(palette: Palette) -> Spec:
    return {"title": None, "orient": "top", "labelColor": palette.ink, "labelFont": palette.font, "labelFontSize": 12, "symbolSize": 400}
