"""The drawing of the engine for the cover: its views on one scale, in the ink and the one accent of the record."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tenths.engine.layout import Layout
from tenths.errors import BadInput
from tenths.record.drawing import View, draw, missing, views
from tenths.record.fitline import COLOURS
from tenths.record.typeset import INK
from tenths.record.words import listed
from tenths.services.questions import drawing_sizes
from tenths.services.shop import Shop

Answer = dict[str, Any]
ACCENT = "#b3361b"  # as in templates/style.typ
PRINTED = {"fits": INK, "too close to call": ACCENT, "out": ACCENT, "not measured": INK, "stale": INK}
WORST_FIRST = ("out", "stale", "too close to call", "fits")
MOST_NAMED = 3  # assumed sizes that the note names
SHOWN = 1  # views on the cover
SIZE = 860.0 / SHOWN**0.5  # of a drawing [user units]: strokes and words then have the weight of the page
_SCALE = re.compile(r'data-scale="([^"]+)"')
_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


@dataclass(frozen=True, slots=True)
class Picture:
    """A view as SVG, with its scale [user units per m] and its size [user units]."""

    view: str
    svg: str
    scale: float
    width: float
    height: float


def drawing(shop: Shop, engine: str, found: list[Answer]) -> tuple[Answer | None, dict[str, str]]:
    """What the cover says of the drawing, and its views as SVG by file name; None for an engine that cannot be drawn.

    Args:
        shop: the shop.
        engine: its short name.
        found: its findings, as the services answer them.
    """
    build = shop.build(engine)
    if build.layout is None:
        return None, {}
    sizes, marks = drawing_sizes(build), worst_marks(found)
    try:
        pictures = _views(build.layout, sizes, marks)
    except BadInput:  # sizes that no engine can have: the proportions are then assumed
        sizes = {}
        pictures = _views(build.layout, sizes, marks)
    told = [{"file": f"{p.view}.svg", "width": p.width / p.scale, "height": p.height / p.scale,
             "alt": f"{p.view} view of the engine in true proportion"} for p in pictures]
    return {"views": told, "note": _note(build.layout, sizes, marks)}, {f"{p.view}.svg": p.svg for p in pictures}


def worst_marks(found: list[Answer]) -> dict[str, str]:
    """The worst verdict of each station."""
    marks: dict[str, str] = {}
    for verdict in reversed(WORST_FIRST):
        marks |= {f["station"]: verdict for f in found if f["verdict"] == verdict}
    return marks


def _views(layout: Layout, sizes: Mapping[str, float], marks: Mapping[str, str]) -> list[Picture]:
    """The fullest views; each after the first is drawn as large as it must be to share the scale of the first."""
    first, *others = views(layout)[:SHOWN]
    pictures = [_picture(layout, sizes, marks, first, SIZE)]
    for view in others:
        trial = _picture(layout, sizes, marks, view, SIZE)
        pictures.append(_picture(layout, sizes, marks, view, SIZE * pictures[0].scale / trial.scale))
    return pictures


def _picture(layout: Layout, sizes: Mapping[str, float], marks: Mapping[str, str], view: str, size: float) -> Picture:
    known: View = "plan" if view == "plan" else "end" if view == "end" else "side"
    svg = draw(layout, sizes, view=known, marks=marks, width=max(size, 160.0), height=max(size, 160.0), prefix=view)
    scale, box = _SCALE.search(svg), _BOX.search(svg)
    assert scale is not None  # noqa: S101 - every drawing says its scale and size
    assert box is not None  # noqa: S101 - the same
    for verdict, colour in COLOURS.items():
        svg = svg.replace(colour, PRINTED[verdict])
    return Picture(view, svg, float(scale[1]), float(box[1]), float(box[2]))


def _note(layout: Layout, sizes: Mapping[str, float], marks: Mapping[str, str]) -> str:
    assumed = missing(layout, sizes)
    named = listed(assumed) if len(assumed) <= MOST_NAMED else "all sizes that are neither read nor stated"
    drawn = "In true proportion" + (f"; assumed, and dashed: {named}" if assumed else "")
    return f"{drawn}.{' Each mark is the worst verdict at its place.' if marks else ''}"
