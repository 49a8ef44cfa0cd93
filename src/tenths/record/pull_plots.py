"""Plots of the pull as Vega-Lite: torque and power over speed, filling, each against what is tried; one speed over its cycle."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import framed

Answer = Mapping[str, Any]
CURVES = (("torque", "torque"), ("power", "power"), ("filling", "filling"), ("peak", "peak pressure"))


def rows_of(answer: Answer, what: str) -> list[dict[str, Any]]:
    """A quantity over speed, with its 95 % interval where one was worked out."""
    found: list[dict[str, Any]] = []
    for row in answer["points"]:
        number, far = row[what], 2 * (row[what]["standard_uncertainty"] or 0.0)
        found.append({"speed": row["speed"]["value"], "value": number["value"], "text": number["text"],
                      "low": number["value"] - far, "high": number["value"] + far})
    return found


def curve(answers: Sequence[Answer], what: str, words: str, palette: Palette = PRINT, *, width: int | str = "container",
          height: int = 220, room: bool = False) -> Spec:
    """A quantity of the pull over speed; the first answer full, others dashed; 95 % intervals where they were worked out.

    Args:
        answers: pulls, the first as the engine is.
        what: which quantity.
        words: what to call it.
        palette: colours and letters.
        width: of the plot [px], or ``container``.
        height: of the plot [px].
        room: leave room for what a page's sliders try: a set of rows named ``tried``.
    """
    layers: list[Spec] = []
    for n, answer in enumerate(answers):
        rows = rows_of(answer, what)
        if any(row["high"] > row["low"] for row in rows):
            band = {"type": "area", "fill": palette.accent, "opacity": 0.15}
            layers.append({"data": {"values": rows}, "mark": band,
                           "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}})
        layers.append(_line({"values": rows, **({"name": "tried"} if n == 1 and room else {})}, words, palette, tried=n > 0))
    if room and len(answers) == 1:
        layers.append(_line({"name": "tried", "values": []}, words, palette, tried=True))
    first = answers[0]["points"][0]
    unit = first[what]["unit"]
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "speed", "type": "quantitative", "title": f"crank speed [{first['speed']['unit']}]",
                     "scale": {"zero": False}},
                  y={"field": "value", "type": "quantitative", "title": f"{words} [{unit}]" if unit else words, "scale": {"zero": False}},
                  words=f"{words.capitalize()} over speed at full throttle"
                        + (", as it is and (dashed) as tried" if len(answers) > 1 else ""))


def _line(data: Spec, words: str, palette: Palette, *, tried: bool) -> Spec:
    colour = palette.ink if tried else palette.accent
    mark = {"type": "line", "stroke": colour, "point": {"fill": colour, "size": 24}, "strokeWidth": 1.8,
            "strokeDash": [6, 4] if tried else [1, 0]}
    tip = [{"field": "speed", "title": "speed", "format": ".0f"}, {"field": "text", "title": words}]
    return {"data": data, "mark": mark, "encoding": {"tooltip": tip}}


def all_curves(answers: Sequence[Answer], palette: Palette = PRINT, *, width: int | str = "container", room: bool = False) -> list[Spec]:
    """Torque, power, filling and peak pressure."""
    return [curve(answers, name, words, palette, width=width, room=room) for name, words in CURVES]


# -- over the cycle ----------------------------------------------------------------------------------------------------------

def over_cycle(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """Pressure, temperature and flow of a cylinder over its cycle, pressure over volume, and the waves in its pipes."""
    at = f"of cylinder {answer['cylinder']} at {answer['speed']['text']}"
    return [
        *(_over_angle(answer, name, words, unit, f"{words.capitalize()} {at}", palette, width)
          for name, words, unit in (("pressure", "pressure", answer["pressure_unit"]), ("temperature", "gas temperature",
                                    answer["temperature_unit"]), ("flow", "flow into the cylinder", answer["flow_unit"]))),
        _over_volume(answer, f"Pressure over volume {at}", palette, width),
        *(waves(wave, palette, width=width) for wave in answer["waves"])]


ANGLE: Spec = {"field": "angle", "type": "quantitative", "title": "crank angle from firing top dead centre [deg]",
               "scale": {"domain": [-360, 360], "nice": False}, "axis": {"values": list(range(-360, 361, 90))}}


def _over_angle(answer: Answer, name: str, words: str, unit: str, told: str, palette: Palette, width: int | str) -> Spec:
    rows = [{"angle": angle, "value": value} for angle, value in zip(answer["angle"], answer[name], strict=True)]
    layers: list[Spec] = [{"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.6}}]
    return framed(rows, layers, palette, width=width, height=180, x=ANGLE,
                  y={"field": "value", "type": "quantitative", "title": f"{words} [{unit}]"}, words=told)


def _over_volume(answer: Answer, told: str, palette: Palette, width: int | str) -> Spec:
    rows = [{"volume": v, "value": p, "order": n} for n, (v, p) in enumerate(zip(answer["volume"], answer["pressure"], strict=True))]
    layers: list[Spec] = [{"mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.6},
                           "encoding": {"order": {"field": "order", "type": "quantitative"}}}]
    return framed(rows, layers, palette, width=width, height=220,
                  x={"field": "volume", "type": "quantitative", "title": f"volume [{answer['volume_unit']}]", "scale": {"zero": False}},
                  y={"field": "value", "type": "quantitative", "title": f"pressure [{answer['pressure_unit']}]",
                     "scale": {"type": "log", "nice": False}}, words=told)


def waves(wave: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """Pressure over angle and place of a pipe, as shades: a wave is a slanting line."""
    angles, places = wave["angle"], wave["place"]
    wide, high = 0.55 * (angles[1] - angles[0]), 0.55 / len(places)  # a little over each other, so that nothing shines through
    rows = [{"angle": a - wide, "to": a + wide, "place": max(p - high, 0.0), "top": min(p + high, 1.0), "value": value}
            for p, line in zip(places, wave["pressure"], strict=True) for a, value in zip(angles, line, strict=True)]
    layers: list[Spec] = [{"mark": {"type": "rect"}, "encoding": {
        "x2": {"field": "to"}, "y2": {"field": "top"},
        "color": {"field": "value", "type": "quantitative", "title": wave["unit"], "scale": {"scheme": "viridis"}}}}]
    return framed(rows, layers, palette, width=width, height=height, x=ANGLE,
                  y={"field": "place", "type": "quantitative", "title": f"place along the {wave['words']}",
                     "scale": {"domain": [0, 1], "nice": False}},
                  words=f"Pressure in the {wave['words']} over the cycle, from its start (0) to its end (1)")
