"""Plots of the shop's history: values over time with their trend, their distribution, and what came of each choice."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from tenths.record.plots import PAGE, SHAPES, Palette, Spec, axis_title, framed, verdict_marks, whiskers

Answer = Mapping[str, Any]
CROWD = 24  # values from which on marks are drawn smaller
GOLDEN = 0.618  # steps of it fall beside each other, so that equal values do not hide one another
UNCHOSEN = "nothing chosen"


def history_specs(answer: Answer, palette: Palette = PAGE) -> list[Spec]:
    """The plots that there is something for: over time, the distribution, and by choice; none without values."""
    if not answer["values"]:
        return []
    return [over_time(answer, palette), distribution(answer, palette), *([by_choice(answer, palette)] if answer["choices"] else [])]


def over_time(answer: Answer, palette: Palette = PAGE, *, width: int | str = "container", height: int = 240) -> Spec:
    """Every value on its day with its 95 % interval and verdict; the straight line through them where there is one."""
    data, trend = [_dated(row) for row in answer["values"]], answer["trend"]
    x: Spec = {"field": "at", "type": "temporal", "title": None, "scale": {"type": "utc", "padding": 18},
               "axis": {"labelAngle": 0, "tickCount": 6, "labelOverlap": True, "format": _day_format(data[0]["at"], data[-1]["at"])}}
    y: Spec = {"field": "value", "type": "quantitative", "title": _title(answer), "scale": {"zero": False, "padding": 12, "nice": False}}
    layers: list[Spec] = [whiskers(palette), _marks(palette, len(data))]
    if trend:
        ends = [{"at": data[0]["at"], "value": trend["begin"]}, {"at": data[-1]["at"], "value": trend["end"]}]
        layers.insert(0, {"data": {"values": ends}, "mark": {"type": "line", "stroke": palette.accent, "strokeWidth": 1.6}})
    words = f"{answer['words']} over time: {len(data)} values of {answer['engines']} engines"
    return framed(data, layers, palette, x=x, y=y, width=width, height=height, words=words + (f", {trend['text']}" if trend else ""))


def distribution(answer: Answer, palette: Palette = PAGE, *, width: int | str = "container", height: int = 200) -> Spec:
    """How many values lie where; the middle half of them below the bars."""
    spread = answer["spread"]
    data = [{"from": a, "to": b if b > a else a + abs(a) * 1e-6, "count": n} for a, b, n in spread["bins"]]
    middle = [{"from": spread["quarters"][0], "half": spread["quarters"][1], "to": spread["quarters"][2], "count": 0}]
    x: Spec = {"field": "from", "type": "quantitative", "title": _title(answer), "axis": {"tickCount": 6, "labelOverlap": True},
               "scale": {"zero": False, "nice": False, "padding": 12}}
    y: Spec = {"field": "count", "type": "quantitative", "title": "values", "axis": {"tickMinStep": 1}, "scale": {"zero": True}}
    layers: list[Spec] = [
        {"mark": {"type": "rect", "fill": palette.accent, "opacity": 0.75, "stroke": palette.zone, "strokeWidth": 1},
         "encoding": {"x2": {"field": "to"}, "y2": {"datum": 0}, "tooltip": [{"field": "count", "title": "values"}]}},
        {"data": {"values": middle}, "mark": {"type": "rule", "stroke": palette.ink, "strokeWidth": 4},
         "encoding": {"x2": {"field": "to"}}},
        {"data": {"values": middle}, "mark": {"type": "tick", "orient": "vertical", "color": palette.ink, "thickness": 3, "height": 16},
         "encoding": {"x": {"field": "half", "type": "quantitative"}}}]
    words = f"How {spread['count']} values of {answer['words']} are spread about {spread['text']['half']}; half of them lie over the bar"
    return framed(data, layers, palette, x=x, y=y, width=width, height=height, words=words)


def by_choice(answer: Answer, palette: Palette = PAGE, *, width: int | str = "container", height: int = 220) -> Spec:
    """Every value above what was chosen for its place, with the mean of each."""
    data = [_dated(row) | {"pick": row["pick"] or UNCHOSEN, "lane": (n * GOLDEN) % 1.0} for n, row in enumerate(answer["values"])]
    x: Spec = {"field": "pick", "type": "nominal", "sort": None, "title": "chosen", "axis": {"labelAngle": 0}}
    y: Spec = {"field": "value", "type": "quantitative", "title": _title(answer), "scale": {"zero": False, "padding": 12, "nice": False}}
    beside: Spec = {"xOffset": {"field": "lane", "type": "quantitative", "scale": {"domain": [-1.0, 2.0]}}}
    means: Spec = {"data": {"values": [{"pick": c["pick"], "value": c["mean"], "lane": 0.5} for c in answer["choices"]]},
                   "mark": {"type": "tick", "orient": "horizontal", "color": palette.accent, "thickness": 3, "width": 56},
                   "encoding": beside}
    marks = _marks(palette, len(data))
    marks["encoding"] |= beside
    return framed(data, [marks, means], palette, x=x, y=y, width=width, height=height,
                  words=f"{answer['words']} by what was chosen, with the mean of each")


def _day_format(first: str, last: str) -> str:
    """How days are written below the plot: with hours within a few days, without them within a few years, else the year alone."""
    days = (datetime.fromisoformat(last) - datetime.fromisoformat(first)).total_seconds() / 86400
    return "%-d %b %H:%M" if days < 4 else "%-d %b %Y" if days < 1000 else "%Y"


def _marks(palette: Palette, count: int) -> Spec:
    """The values with the shapes of their verdicts, smaller where there are many."""
    marks = verdict_marks(palette)
    marks["mark"] = marks["mark"] | {"size": 110 if count <= CROWD else 45}
    return marks


def _title(answer: Answer) -> str:
    return axis_title([{"words": answer["words"], "unit": answer["unit"]}])


def _dated(row: Answer) -> Spec:
    reach = row["interval"] or 0.0
    return {"at": row["at"], "value": row["value"], "low": row["value"] - reach, "high": row["value"] + reach,
            "verdict": row["verdict"] if row["verdict"] in SHAPES else "no limit", "text": row["text"],
            "where": f"{row['name']}, {row['station_words']}"}
