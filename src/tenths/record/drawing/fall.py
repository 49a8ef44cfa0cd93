"""What falls when something changes: bands from the change downwards, boxes, and lines from what was touched to what rests on it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape

from tenths.record.drawing.pen import FONT, GREY, LIGHT
from tenths.record.fitline import INK, PAPER

SIZE, LETTER = 12.0, 6.6  # height of the words, and the room that one letter takes [user units]
BOX, ROW_GAP, BAND_GAP, PAD = 24.0, 14.0, 30.0, 9.0
TITLE = 118.0  # room for the titles of the bands
WARN = "#bf3f00"


@dataclass(frozen=True, slots=True)
class _Place:
    x: float
    y: float
    wide: float
    words: str
    kind: str

    @property
    def middle(self) -> float:
        return self.x + self.wide / 2


def fall(picture: Mapping[str, Any], *, width: float = 960.0, prefix: str = "") -> str:
    """The picture as SVG.

    Args:
        picture: ``bands`` (title, boxes with id, words, count and kind) and ``edges`` (pairs of ids).
        width: of the drawing [user units]; boxes go on in a new row where a band is full. At least 360.
        prefix: put before every id, for several drawings on one page.

    Returns:
        The SVG, with a title and a description that say in words what it shows.
    """
    width = max(width, 360.0)
    places, titles, height = _laid_out(picture["bands"], width)
    edges = [(a, b) for a, b in picture["edges"] if a in places and b in places]
    parts = [(f'<svg xmlns="http://www.w3.org/2000/svg" class="fall" role="img" viewBox="0 0 {width:.0f} {height:.0f}" '
             f'width="{width:.0f}" height="{height:.0f}" aria-labelledby="{prefix}fall-t {prefix}fall-d">'),
             f'<title id="{prefix}fall-t">What is to be done again, and through what</title>',
             f'<desc id="{prefix}fall-d">{escape(_in_words(picture))}</desc>']
    for y, words in titles:
        parts.append(_text(words, 0.0, y + BOX / 2, anchor="start", colour=GREY))
    parts += [_line(places[a], places[b]) for a, b in edges]
    parts += [_box(place) for place in places.values()]
    return "".join([*parts, "</svg>"])


def _laid_out(bands: Sequence[Mapping[str, Any]], width: float) -> tuple[dict[str, _Place], list[tuple[float, str]], float]:
    places: dict[str, _Place] = {}
    titles: list[tuple[float, str]] = []
    y = 2.0
    for band in bands:
        titles.append((y, band["title"]))
        x = TITLE
        for box in band["boxes"]:
            words = box["words"] + (f" × {box['count']}" if box["count"] > 1 else "")
            wide = min(len(words) * LETTER + 2 * PAD, width - TITLE - 2.0)
            if x + wide > width - 2.0 and x > TITLE:
                x, y = TITLE, y + BOX + ROW_GAP
            places[box["id"]] = _Place(x, y, wide, words, box["kind"])
            x += wide + ROW_GAP
        y += BOX + BAND_GAP
    return places, titles, max(y - BAND_GAP + 4.0, 30.0)


def _line(a: _Place, b: _Place) -> str:
    """A curve from the foot of one box to the head of another; beside each other in a row, from side to side."""
    if a.y == b.y:
        x1, x2, y = (a.x + a.wide, b.x, a.y + BOX / 2) if a.x < b.x else (a.x, b.x + b.wide, a.y + BOX / 2)
        bend = 0.0 if abs(x2 - x1) <= ROW_GAP + 1 else BOX * 0.8
        d = f"M{x1:.1f} {y:.1f}C{x1:.1f} {y + bend:.1f} {x2:.1f} {y + bend:.1f} {x2:.1f} {y:.1f}"
    else:
        down = a.y < b.y
        y1, y2 = (a.y + BOX, b.y) if down else (a.y, b.y + BOX)
        half = (y2 - y1) / 2
        d = f"M{a.middle:.1f} {y1:.1f}C{a.middle:.1f} {y1 + half:.1f} {b.middle:.1f} {y2 - half:.1f} {b.middle:.1f} {y2:.1f}"
    return f'<path class="fall-line" d="{d}" fill="none" stroke="{LIGHT}" stroke-width="1.1"/>'


def _box(place: _Place) -> str:
    stroke = WARN if place.kind == "change" else INK
    dash = ' stroke-dasharray="4 2.6"' if place.kind in {"reading", "answer"} else ""
    rect = (f'<rect class="fall-box fall-{place.kind}" x="{place.x:.1f}" y="{place.y:.1f}" width="{place.wide:.1f}" '
            f'height="{BOX:.1f}" rx="3" fill="{PAPER}" stroke="{stroke}" stroke-width="1.3"{dash}/>')
    return rect + _text(place.words, place.middle, place.y + BOX / 2)


def _text(words: str, x: float, y: float, *, anchor: str = "middle", colour: str = INK) -> str:
    return (f'<text class="fall-text" x="{x:.1f}" y="{y + SIZE * 0.35:.1f}" font-family="{FONT}" font-size="{SIZE:.0f}" '
            f'text-anchor="{anchor}" fill="{colour}">{escape(words)}</text>')


def _in_words(picture: Mapping[str, Any]) -> str:
    said = [f"{band['title']}: " + ", ".join(b["words"] + (f" ({b['count']})" if b["count"] > 1 else "") for b in band["boxes"])
            for band in picture["bands"]]
    return "; ".join(said) or "nothing is to be done again"
