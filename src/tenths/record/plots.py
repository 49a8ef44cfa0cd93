"""Plots as Vega-Lite, one specification each: drawn live on a page, and as SVG in print and where there is no JavaScript.

A plot takes rows as `tenths.services.questions.findings` gives them. Verdicts have the shapes that they have everywhere;
colour only repeats them. What later kinds of plots share (axes, letters, colours, limits) is here: `framed` makes the
frame, `zone`, `whiskers` and `verdict_marks` are its usual layers.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tenths.record.drawing.pen import FONT, GREY
from tenths.record.fitline import COLOURS, INK, VERDICTS, slug

Row = Mapping[str, Any]
Spec = dict[str, Any]
SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"  # a name; nothing is fetched from there
VERSION = "6.4"  # of Vega-Lite that prints, the same as on the page

# The verdicts' shapes in a box from -1 to 1, outlined, for they are filled: see the fit line's.
_RING = "M1,0A1,1,0,1,1,-1,0A1,1,0,1,1,1,0ZM.68,0A.68,.68,0,1,0,-.68,0A.68,.68,0,1,0,.68,0Z"
SHAPES = {
    "fits": "M1,0A1,1,0,1,1,-1,0A1,1,0,1,1,1,0Z",
    "too close to call": _RING + "M0,-.7A.7,.7,0,0,0,0,.7Z",
    "out": "M-.68,-1L0,-.32L.68,-1L1,-.68L.32,0L1,.68L.68,1L0,.32L-.68,1L-1,.68L-.32,0L-1,-.68Z",
    "not measured": _RING,
    "stale": _RING + "M-1.15,.88L.88,-1.15L1.15,-.88L-.88,1.15Z",
    "no limit": "M0,-1L1,0L0,1L-1,0Z",
}


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours and letters: for print they are written out, a page hands its own through."""

    ink: str
    quiet: str
    rule: str
    zone: str
    accent: str
    font: str
    verdicts: Mapping[str, str]


PRINT = Palette(INK, GREY, "#d5dade", "#e8eef1", "#0a5361", FONT, {**COLOURS, "no limit": INK})
PAGE = Palette("var(--ink)", "var(--quiet)", "var(--rule)", "var(--wash)", "var(--accent)", "Plex, sans-serif",
               {**{v: f"var(--v-{slug(v)}, var(--ink))" for v in VERDICTS}, "no limit": "var(--ink)"})


def over_places(rows: Sequence[Row], palette: Palette = PRINT, *, predicted: Sequence[Row] = (), width: int | str = "container",
                height: int = 220) -> Spec:
    """One characteristic at all its places: value, 95 % interval, limits and target, the verdict as shape.

    Args:
        rows: findings of one characteristic, in walking order.
        palette: colours and letters.
        predicted: findings of the same from the sizes of the parts; drawn beside what was read, with their own interval.
        width: of the plot [px], or ``container``.
        height: of the plot [px].

    Returns:
        The specification; without any value it has no marks.
    """
    foretold = {row["station"]: row for row in predicted if row["value"] is not None}
    data = [_at_place(row) | _foretold(foretold.get(row["station"])) for row in rows]
    low, high = span(data)
    limited = [row for row in data if row["lower"] is not None or row["upper"] is not None]
    for row in limited:
        row |= {"zone_low": low if row["lower"] is None else row["lower"], "zone_high": high if row["upper"] is None else row["upper"]}
    x: Spec = {"field": "place", "type": "nominal", "sort": None, "title": common_words(rows), "axis": {"labelAngle": 0},
               "scale": {"paddingInner": 0, "paddingOuter": 0}}
    y: Spec = {"field": "value", "type": "quantitative", "title": axis_title(rows),
               "scale": {"domain": [low, high], "zero": False, "nice": False}}
    layers = [*(zone(palette) if limited else []), *targets(data, palette), *(prediction(palette) if foretold else []),
              whiskers(palette), verdict_marks(palette)]
    count = sum(row["value"] is not None for row in data)
    said = f"{rows[0]['words'] if rows else 'Nothing'} at {count} places, each with its 95 % interval and limits"
    return framed(data, layers, palette, x=x, y=y, width=width, height=height,
                  words=said + (", and what the parts foretell" if foretold else ""))


def alike(rows: Sequence[Row]) -> list[list[Row]]:
    """Findings of one characteristic in groups that share a scale and an axis of places: top rings with top rings."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row["station_words"].rpartition(" ")[0], []).append(row)
    return list(groups.values())


# -- what plots share --------------------------------------------------------------------------------------------------

def framed(data: Iterable[Row], layers: list[Spec], palette: Palette, *, x: Spec, y: Spec, width: int | str, height: int,
           words: str) -> Spec:
    """Layers on common axes, with the letters and colours of the house; `words` tell the plot to who cannot see it.

    The title of the upright axis stands level above the plot, where there is room for it and it is read without turning.
    """
    above = y.get("title") if y.get("type") == "quantitative" and y.get("axis", {}) is not None else None
    y = y | {"title": None} if above else y
    axis = {"labelColor": palette.ink, "titleColor": palette.quiet, "domainColor": palette.quiet, "tickColor": palette.quiet,
            "labelFont": palette.font, "titleFont": palette.font, "labelFontSize": 12, "titleFontSize": 12, "titleFontWeight": 400,
            "gridColor": palette.rule, "gridWidth": 0.7, "labelPadding": 5, "titlePadding": 9}
    return {"$schema": SCHEMA, "description": words, "width": width, "height": height, "background": None,
            "autosize": {"type": "fit", "contains": "padding"}, "data": {"values": list(data)},
            "encoding": {"x": x, "y": y}, "layer": layers,
            **({"title": {"text": above, "anchor": "start", "frame": "bounds", "offset": 8}} if above else {}),
            "config": {"title": {"font": palette.font, "fontSize": 12, "fontWeight": 400, "color": palette.quiet},
                       "font": palette.font, "view": {"stroke": None}, "axis": axis, "axisX": {"grid": False},
                       "axisY": {"tickCount": 5, "domain": False, "ticks": False}, "text": {"font": palette.font}}}


def zone(palette: Palette) -> list[Spec]:
    """What is allowed, as a band behind the marks, its edges drawn where a limit stands; rows carry ``zone_low`` and ``zone_high``."""
    wide: Spec = {"band": 1}
    band: Spec = {"transform": _valid("zone_low"), "mark": {"type": "bar", "fill": palette.zone, "width": wide},
                  "encoding": {"y": {"field": "zone_low", "type": "quantitative"}, "y2": {"field": "zone_high"}}}
    edges: list[Spec] = [
        {"transform": _valid(limit),
         "mark": {"type": "tick", "orient": "horizontal", "thickness": 1.4, "color": palette.quiet, "width": wide},
         "encoding": {"y": {"field": limit, "type": "quantitative"}}} for limit in ("lower", "upper")]
    return [band, *edges]


def targets(data: Sequence[Row], palette: Palette) -> list[Spec]:
    """Where the values should be, as short dashes."""
    if not any(row["target"] is not None for row in data):
        return []
    return [{"transform": _valid("target"),
             "mark": {"type": "tick", "orient": "horizontal", "thickness": 1, "color": palette.quiet, "width": {"band": 0.34}},
             "encoding": {"y": {"field": "target", "type": "quantitative"}}}]


def prediction(palette: Palette) -> list[Spec]:
    """What the sizes of the parts foretell: its 95 % interval as a bar, its value as a dash in it."""
    known = _valid("predicted")
    wide: Spec = {"band": 0.26}
    return [{"transform": known, "mark": {"type": "bar", "fill": palette.accent, "opacity": 0.22, "width": wide},
             "encoding": {"y": {"field": "predicted_low", "type": "quantitative"}, "y2": {"field": "predicted_high"}}},
            {"transform": known, "mark": {"type": "tick", "orient": "horizontal", "thickness": 1.6, "color": palette.accent, "width": wide},
             "encoding": {"y": {"field": "predicted", "type": "quantitative"}}}]


def whiskers(palette: Palette) -> Spec:
    """The 95 % interval of each value, upright; rows carry ``low`` and ``high``."""
    return {"transform": _valid("value"), "mark": {"type": "rule", "stroke": palette.ink, "strokeWidth": 1.4},
            "encoding": {"y": {"field": "low", "type": "quantitative"}, "y2": {"field": "high"}}}


def verdict_marks(palette: Palette) -> Spec:
    """The values, each with its verdict's shape and colour."""
    kinds = list(SHAPES)
    return {"transform": _valid("value"), "mark": {"type": "point", "filled": True, "size": 110, "opacity": 1},
            "encoding": {"shape": {"field": "verdict", "type": "nominal", "legend": None,
                                   "scale": {"domain": kinds, "range": [SHAPES[k] for k in kinds]}},
                         "color": {"field": "verdict", "type": "nominal", "legend": None,
                                   "scale": {"domain": kinds, "range": [palette.verdicts[k] for k in kinds]}},
                         "tooltip": [{"field": "where", "title": "where"}, {"field": "text", "title": "value"},
                                     {"field": "verdict", "title": "verdict"}]}}


def _valid(field: str) -> list[Spec]:
    """Only rows that have this."""
    return [{"filter": f"isValid(datum.{field})"}]


def _at_place(row: Row) -> Spec:
    reach, interval, value = row["interval"] or 0.0, row["text"]["interval"], row["value"]
    return {"place": place_of(row["station_words"]), "where": row["station_words"], "value": value,
            "low": None if value is None else value - reach, "high": None if value is None else value + reach,
            "lower": row["lower"], "upper": row["upper"],
            "target": row["target"], "verdict": row["verdict"] if row["verdict"] in SHAPES else "no limit",
            "text": f"{row['text']['value']}{f' ±{interval}' if interval else ''}"}


def _foretold(row: Row | None) -> Spec:
    if row is None:
        return {"predicted": None}
    reach = row["interval"] or 0.0
    return {"predicted": row["value"], "predicted_low": row["value"] - reach, "predicted_high": row["value"] + reach}


def place_of(words: str) -> str:
    """What tells a place from its like: ``3`` of ``main 3``."""
    return words.rpartition(" ")[2]


def common_words(rows: Sequence[Row]) -> str:
    """What the places are called together: ``main`` of ``main 1`` to ``main 7``."""
    heads = {row["station_words"].rpartition(" ")[0] for row in rows}
    return heads.pop() if len(heads) == 1 else ""


def axis_title(rows: Sequence[Row]) -> str:
    """The characteristic with its unit."""
    if not rows:
        return ""
    unit = rows[0]["unit"]
    return f"{rows[0]['words']} [{unit}]" if unit else rows[0]["words"]


def span(data: Sequence[Row]) -> tuple[float, float]:
    """Lowest and highest that an axis has to show, with some room: values, intervals, limits."""
    ends = [end for row in data for end in (row["low"], row["high"], row["lower"], row["upper"],
                                         row.get("predicted_low"), row.get("predicted_high")) if end is not None] or [0.0, 1.0]
    room = 0.08 * (max(ends) - min(ends)) or abs(max(ends)) * 0.1 or 1.0
    return min(ends) - room, max(ends) + room


def plot_svg(spec: Spec, *, width: int = 480) -> str:
    """A plot as SVG for print; `width` [px] where the specification leaves it to the page."""
    import vl_convert  # noqa: PLC0415 - starting it takes a second

    fixed = spec | ({"width": width} if spec["width"] == "container" else {})
    return vl_convert.vegalite_to_svg(fixed, vl_version=VERSION)
