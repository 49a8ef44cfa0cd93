"""Plots of the flow bench as Vega-Lite: flow over lift of every port, coefficients over lift and diameter, the passage over lift."""

from collections.abc import Mapping, Sequence
from typing import Any

from tenths.record.plots import PRINT, Palette, Spec
from tenths.record.running_plots import DASHES, framed

Answer = Mapping[str, Any]
SIDES = ("intake", "exhaust")
WAYS = ("forward", "reverse")
CLOSE = 0.09  # of the plot: labels nearer than that share one
STAGES = ("across the seat", "from seat to valve", "the throat")


def all_plots(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container") -> list[Spec]:
    """Flow of each side that was run, coefficients of all, the passage of each side whose valve is known."""
    found: list[Spec] = []
    for side in SIDES:
        if any(run["side"] == side for run in runs_of(answer)):
            found.append(flow(answer, side, palette, width=width))
        if rows := _apart(answer, side):
            found.append(apart(answer, side, rows, palette, width=width))
    if any(point["of_head"]["value"] is not None for run in runs_of(answer) for point in run["points"]):
        found.append(coefficients(answer, palette, width=width))
    return found + [passage(row, palette, width=width) for row in answer["passages"]]


def runs_of(answer: Answer) -> list[Answer]:
    """Runs that hold and have lifts."""
    return [run for run in answer["runs"] if run["points"] and not run["stale"]]


def flow(answer: Answer, side: str, palette: Palette = PRINT, *, width: int | str = "container", height: int = 240) -> Spec:
    """Flow over lift of every port of a side, all at one test pressure; the spread between cylinders as a band."""
    runs = [run for run in runs_of(answer) if run["side"] == side]
    layers = _bands(runs, palette)
    drawn = [[_point(run, p["lift"]["value"], p["flow"]) for p in run["points"]] for run in runs]
    for rows in drawn:
        layers += _curve(rows, palette.accent)
    layers += _labels(drawn, palette)
    first = runs[0]["points"][0]
    ways = [way for way in WAYS if any(run["way"] == way for run in runs)]
    cylinders = ", ".join(dict.fromkeys(run["cylinder"] for run in runs))
    return framed([], layers, palette, width=width, height=height, x=_lift(first["lift"]["unit"]),
                  y={"field": "value", "type": "quantitative", "scale": {"zero": True},
                     "title": f"{side} flow at {answer['at']['text']} [{first['flow']['unit']}]"},
                  words=f"Flow of the {side} ports over lift at {answer['at']['text']}, cylinders {cylinders}"
                        + (", forward and (dashed) reverse" if len(ways) > 1 else f", {ways[0]}")
                        + ("; the band is the spread between cylinders" if _bands(runs, palette) else ""))


def apart(answer: Answer, side: str, drawn: Sequence[Sequence[Answer]], palette: Palette = PRINT, *, width: int | str = "container",
          height: int = 200) -> Spec:
    """How far each port of a side lies from the mean of all at each lift, in per cent."""
    layers: list[Spec] = [{"data": {"values": [{"value": 0}]}, "mark": {"type": "rule", "stroke": palette.quiet, "strokeDash": [5, 4]},
                           "encoding": {"x": None, "y": {"field": "value", "type": "quantitative"}}}]
    for rows in drawn:
        layers += _curve(rows, palette.accent)
    layers += _labels(drawn, palette)
    return framed([], layers, palette, width=width, height=height, x=_lift(drawn[0][0]["unit"]),
                  y={"field": "value", "type": "quantitative", "title": f"{side} port against the mean [%]", "scale": {"zero": True}},
                  words=f"How far each {side} port lies from the mean of all at its lift, in per cent of it, at {answer['at']['text']}")


def _apart(answer: Answer, side: str) -> list[list[Answer]]:
    """The rows of `apart`; none where fewer than two ports were read at like lifts."""
    found: list[list[Answer]] = []
    for way in WAYS:
        runs = [run for run in runs_of(answer) if run["side"] == side and run["way"] == way]
        means: dict[float, list[float]] = {}
        for point in (p for run in runs for p in run["points"]):
            means.setdefault(round(point["lift"]["value"], 6), []).append(point["flow"]["value"])
        for run in runs:
            rows = [_away(run, p, means[round(p["lift"]["value"], 6)]) for p in run["points"]
                    if len(means[round(p["lift"]["value"], 6)]) > 1]
            if rows and len({other["cylinder"] for other in runs}) > 1:
                found.append(rows)
    return found


def _away(run: Answer, point: Answer, flows: Sequence[float]) -> Answer:
    mean = sum(flows) / len(flows)
    value = 100 * (point["flow"]["value"] / mean - 1) if mean else 0.0
    return {"lift": point["lift"]["value"], "value": value, "low": value, "high": value, "text": f"{value:+.1f} %", "way": run["way"],
            "port": f"{run['words']}, {run['way']}", "label": run["cylinder"], "unit": point["lift"]["unit"]}


def _bands(runs: Sequence[Answer], palette: Palette) -> list[Spec]:
    """Lowest to highest flow at each lift that two and more ports were read at, way by way."""
    layers: list[Spec] = []
    for way in WAYS:
        by_lift: dict[float, list[float]] = {}
        for point in (p for run in runs if run["way"] == way for p in run["points"]):
            by_lift.setdefault(round(point["lift"]["value"], 6), []).append(point["flow"]["value"])
        rows = [{"lift": lift, "low": min(flows), "high": max(flows)} for lift, flows in sorted(by_lift.items()) if len(flows) > 1]
        if len(rows) > 1:
            layers.append({"data": {"values": rows}, "mark": {"type": "area", "fill": palette.accent, "opacity": 0.18},
                           "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}})
    return layers


def coefficients(answer: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 240) -> Spec:
    """Effective area over that of the head against lift over diameter, with its 95 % interval, and what is usual."""
    usual = [{"lift": row["over_diameter"], "value": row["of_head"]} for row in answer["usual"]]
    layers: list[Spec] = [{"data": {"values": usual}, "encoding": {},
                           "mark": {"type": "line", "stroke": palette.quiet, "strokeWidth": 1.3, "strokeDash": DASHES[2]}}]
    for side, stroke in (("intake", palette.accent), ("exhaust", palette.ink)):
        drawn = [[_point(run, p["over_diameter"], p["of_head"]) for p in run["points"] if p["of_head"]["value"] is not None]
                 for run in runs_of(answer) if run["side"] == side]
        for rows in filter(None, drawn):
            layers += _curve(rows, stroke)
        layers += _labels([rows for rows in drawn if rows], palette)
    return framed([], layers, palette, width=width, height=height,
                  x={"field": "lift", "type": "quantitative", "title": "lift over diameter of the head"},
                  y={"field": "value", "type": "quantitative", "title": "effective area over that of the head", "scale": {"zero": True}},
                  words="Effective area over that of the valve's head against lift over diameter: intake coloured, exhaust dark, reverse "
                        "dashed; dotted is what is usual for good heads")


def passage(row: Answer, palette: Palette = PRINT, *, width: int | str = "container", height: int = 200) -> Spec:
    """The least passage under a valve over lift, beside the curtain."""
    rows = [{"lift": r["lift"]["value"], "value": r["passage"]["value"], "text": r["passage"]["text"], "where": STAGES[r["stage"] - 1]}
            for r in row["rows"]]
    curtain = [{"lift": r["lift"]["value"], "value": r["curtain"]["value"]} for r in row["rows"]]
    tip = [{"field": "text", "title": "passage"}, {"field": "where", "title": "narrowest"}]
    layers: list[Spec] = [
        {"data": {"values": curtain}, "mark": {"type": "line", "stroke": palette.quiet, "strokeWidth": 1.3, "strokeDash": DASHES[2]},
         "encoding": {}},
        {"data": {"values": rows}, "mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.8,
                                                  "point": {"fill": palette.accent, "size": 28}},
         "encoding": {"tooltip": tip}}]
    if row["full_lift"]["value"] is not None:
        layers.append({"data": {"values": [{"lift": row["full_lift"]["value"]}]},
                       "mark": {"type": "rule", "stroke": palette.quiet, "strokeDash": [5, 4]}, "encoding": {"y": None}})
    first = row["rows"][0]
    return framed([], layers, palette, width=width, height=height, x=_lift(first["lift"]["unit"]),
                  y={"field": "value", "type": "quantitative", "scale": {"zero": True},
                     "title": f"{row['side']} passage [{first['passage']['unit']}]"},
                  words=f"Least passage under the {row['side']} valve over lift, and (dotted) its curtain"
                        + (f"; from {row['full_lift']['text']} on the throat is the narrowest" if row["full_lift"]["value"] is not None
                           else ""))


def _lift(unit: str) -> Spec:
    return {"field": "lift", "type": "quantitative", "title": f"lift [{unit}]", "scale": {"domainMin": 0}}


def _point(run: Answer, lift: float | None, number: Answer) -> Answer:
    reach = 2 * (number["standard_uncertainty"] or 0.0)
    return {"lift": lift, "value": number["value"], "low": number["value"] - reach, "high": number["value"] + reach, "text": number["text"],
            "port": f"{run['words']}, {run['way']}", "label": run["cylinder"], "way": run["way"]}


def _curve(rows: Sequence[Answer], stroke: str) -> list[Spec]:
    """A run's line with its 95 % intervals; dashed for reverse."""
    tip = [{"field": "port", "title": "port"}, {"field": "text", "title": "value"}]
    line = {"type": "line", "stroke": stroke, "strokeWidth": 1.5, "strokeDash": DASHES[WAYS.index(rows[0]["way"])],
            "point": {"fill": stroke, "size": 24}}
    return [{"data": {"values": list(rows)}, "mark": {"type": "rule", "stroke": stroke, "strokeWidth": 1.1, "opacity": 0.7},
             "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}},
            {"data": {"values": list(rows)}, "mark": line, "encoding": {"tooltip": tip}}]


def _labels(drawn: Sequence[Sequence[Answer]], palette: Palette) -> list[Spec]:
    """The cylinders at the ends of their lines; those that end together share a label."""
    ends = sorted((rows[-1] for rows in drawn if rows), key=lambda row: (row["lift"], row["value"]))
    if not ends:
        return []
    span = max(row["value"] for rows in drawn for row in rows) - min(0.0, *(row["value"] for rows in drawn for row in rows))
    groups: list[list[Answer]] = []
    for row in ends:
        near = groups and groups[-1][-1]["lift"] == row["lift"] and row["value"] - groups[-1][-1]["value"] < CLOSE * span
        if near:
            groups[-1].append(row)
        else:
            groups.append([row])
    rows = [{"lift": group[0]["lift"], "value": sum(row["value"] for row in group) / len(group),
             "label": " ".join(sorted({row["label"] for row in group}, key=lambda label: (len(label), label)))} for group in groups]
    mark = {"type": "text", "align": "left", "dx": 6, "fill": palette.ink, "fontSize": 11}
    return [{"data": {"values": rows}, "mark": mark, "encoding": {"text": {"field": "label"}}}]
