"""Pistons, rods and pins as they are matched: the holes of each bank from above, with what goes in and where it comes from.

What comes from another place is drawn heavy; what stays is drawn light.
"""

from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record import fitline
from tenths.record.drawing.pen import FONT, INK, number, style

Drawing = Mapping[str, Any]
WIDE, RADIUS = 128.0, 45.0  # of one hole with its room, full size [user units]
SMALL_WIDE, SMALL_RADIUS = 72.0, 27.0
LINE = 15.0
FIT = 40.0
SURE = 0.95  # probability of conforming from which a prediction is drawn as one that fits


def matched_svg(option: Drawing, *, against: Drawing | None = None, small: bool = False, across: int = 0) -> str:
    """One matching as SVG.

    Args:
        option: ``places`` as the service answers them.
        against: the answer that a small copy differs from.
        small: a copy beside the answer: pistons only, named where they differ.
        across: so many holes in a row, then the next row; 0 for a bank in one row.

    Returns:
        The drawing; every word in it is text, every stroke has plain attributes.
    """
    other = {p["station"]: p for p in against["places"]} if against else {}
    rows = _rows(option["places"], across)
    wide = SMALL_WIDE if small else WIDE
    head = 0.0 if len({p["bank"] for p in option["places"]}) == 1 else (14.0 if small else 20.0)
    tall = head + (2 * SMALL_RADIUS + 26.0 if small else _full_tall(option["places"]))
    parts: list[str] = []
    for n, (bank, row) in enumerate(rows):
        y = n * tall
        if head:
            parts.append(_text(f"bank {bank}", 4.0, y + 11.0, 11.0 if small else 13.0, anchor="start", weight=600))
        for k, place in enumerate(row):
            cell = _small(place, other.get(place["station"])) if small else _full(place)
            parts.append(f'<g transform="translate({number(k * wide)} {number(y + head)})">{cell}</g>')
    width, height = wide * max(len(row) for _, row in rows), tall * len(rows)
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="saddle-row" role="img" width="{number(width)}" height="{number(height)}" '
            f'viewBox="0 0 {number(width)} {number(height)}" aria-label={quoteattr(in_words(option))}>{"".join(parts)}</svg>')


def in_words(option: Drawing) -> str:
    """The drawing in a sentence, for who does not see it."""
    return "; ".join(f"hole {p['label']}: {_named(p['piston'])}, {_named(p['rod'])}" + (f", {_named(p['pin'])}" if p["pin"] else "")
                     for p in option["places"])


def _named(part: Drawing) -> str:
    return part["id"] + (f" from {part['from']}" if part["from"] else "")


def _rows(places: Sequence[Drawing], across: int) -> list[tuple[str, list[Drawing]]]:
    """Holes by bank, each bank cut into rows."""
    rows: list[tuple[str, list[Drawing]]] = []
    for bank in dict.fromkeys(p["bank"] for p in places):
        own = [p for p in places if p["bank"] == bank]
        step = across or len(own)
        rows += [(bank, own[i : i + step]) for i in range(0, len(own), step)]
    return rows


def _full_tall(places: Sequence[Drawing]) -> float:
    lines = 3 + any(p["hone"] for p in places)
    return 20.0 + 2 * RADIUS + 12.0 + lines * LINE + max(sum(map(_room, p["fits"])) for p in places) + 10.0


def _full(place: Drawing) -> str:
    middle, centre = WIDE / 2, 22.0 + RADIUS
    parts = [_text(f"hole {place['label']}", middle, 13.0, 13.0, weight=600), _hole(place["piston"], middle, centre, RADIUS)]
    parts.append(_text(_short(place["piston"]["id"], 13), middle, centre + (-1.0 if place["piston"]["from"] else 4.0), 12.5, weight=600))
    if place["piston"]["from"]:
        parts.append(_text(_whence(place["piston"]), middle, centre + 14.0, 11.0))
    y = centre + RADIUS + 20.0
    for part in (place["rod"], place["pin"]):
        if part:
            parts.append(_text(_short(_named(part), 19), middle, y, 12.0, weight=600 if part["from"] else 400))
            y += LINE
    if place["hone"]:
        parts.append(_text(f"hone {place['hone']}", middle, y, 12.0, weight=600))
        y += LINE
    for fit in place["fits"]:
        parts.append(_fit(fit, place["station"], y - 6.0))
        y += _room(fit)
    return "".join(parts)


def _whence(part: Drawing) -> str:
    return "from stock" if part["from"] == "stock" else f"from {part['from']}"


def _small(place: Drawing, other: Drawing | None) -> str:
    middle, centre = SMALL_WIDE / 2, 17.0 + SMALL_RADIUS
    differs = other is None or any(_id(place[kind]) != _id(other[kind]) for kind in ("piston", "rod", "pin"))
    parts = [_text(place["label"], middle, 11.0, 11.0, weight=600),
             _hole({"from": "yes" if differs else ""}, middle, centre, SMALL_RADIUS)]
    if differs:
        parts.append(_text(_short(place["piston"]["id"], 9), middle, centre + 4.0, 10.5, weight=600))
    return "".join(parts)


def _id(part: Drawing | None) -> str:
    return part["id"] if part else ""


def _hole(part: Drawing, x: float, y: float, r: float) -> str:
    """A hole with the piston in it."""
    return (f'<rect {style("rod")} x="{number(x - r - 8)}" y="{number(y - r - 5)}" width="{number(2 * r + 16)}" '
            f'height="{number(2 * r + 10)}" rx="4"/><circle {style("paper-hole")} cx="{number(x)}" cy="{number(y)}" r="{number(r)}"/>'
            f'<circle {style("reach-fill" if part["from"] else "alloy")} cx="{number(x)}" cy="{number(y)}" r="{number(r - 3.5)}"/>')


def _fit(fit: Drawing, station: str, y: float) -> str:
    probability = fit["probability"]
    verdict = "fits" if probability >= SURE else "out" if probability <= 1 - SURE else "too close to call"
    words = _text(f"{_plain(fit['words'])} {fit['text']}", WIDE / 2, y + 12.0, 11.0)
    if not _limited(fit):
        return words
    line = fitline.svg(fit["value"], fit["standard_uncertainty"], fit["smallest"], fit["largest"], fit["target"], verdict,
                       width=WIDE - 14.0, height=18.0, title=f"{station.replace('.', ' ')}, {fit['words']}: {fit['text']}")
    return words + line.replace("<svg ", f'<svg x="7" y="{number(y + 15.0)}" ', 1)


def _limited(fit: Drawing) -> bool:
    return fit["smallest"] is not None or fit["largest"] is not None


def _room(fit: Drawing) -> float:
    return FIT if _limited(fit) else LINE + 3.0


def _plain(words: str) -> str:
    return {"piston to wall": "wall", "compression ratio": "ratio", "squish clearance": "squish"}.get(words, words)


def _short(name: str, most: int) -> str:
    return name if len(name) <= most else name[: most - 1] + "…"


def _text(words: str, x: float, y: float, size: float, *, weight: int = 400, anchor: str = "middle") -> str:
    return (f'<text class="dr-text" x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(size)}" '
            f'font-weight="{weight}" text-anchor="{anchor}" fill="{INK}">{escape(words)}</text>')
