"""Shells as they are chosen: the saddles in a row with the halves in them, fit lines below, the boxes to open beside.

What is to be changed is drawn heavy, what stays is drawn light; a half out of a box not yet opened is dashed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record import fitline
from tenths.record.drawing.pen import FONT, INK, number, style

Drawing = Mapping[str, Any]
WIDE, SMALL_WIDE = 104.0, 62.0  # of one saddle [user units]
BOX = 74.0
RADII, SMALL_RADII = (25.0, 32.0), (19.0, 25.0)  # of a half, inside and outside
HEAD, FOOT = 20.0, 160.0
ROOM, SMALL_ROOM = 15.0, 5.0  # of metal between the half and the edge
VIEW_LIMIT = 0.95  # probability of conforming from which a predicted clearance is drawn as one that fits


@dataclass(frozen=True, slots=True)
class _Sheet:
    """How a row is drawn: small copies carry the sizes only, and only where they differ from the answer beside them."""

    small: bool
    prefix: str

    @property
    def wide(self) -> float:
        return SMALL_WIDE if self.small else WIDE

    @property
    def tall(self) -> float:
        return 108.0 if self.small else FOOT + 16.0

    @property
    def inner(self) -> float:
        return SMALL_RADII[0] if self.small else RADII[0]

    @property
    def outer(self) -> float:
        return SMALL_RADII[1] if self.small else RADII[1]

    @property
    def reach(self) -> float:
        """From the split line to the upper and to the lower edge."""
        return self.outer + (SMALL_ROOM if self.small else ROOM)

    @property
    def centre(self) -> float:
        """Height of the split line."""
        return HEAD + self.reach


def saddles_svg(option: Drawing, *, against: Drawing | None = None, small: bool = False, across: int = 0,
                prefix: str = "") -> str:
    """One answer to a question of shells as SVG.

    Args:
        option: ``places`` and ``boxes`` as the service answers them.
        against: the answer that a small copy differs from.
        small: a copy beside the answer.
        across: so many saddles in a row, then the next row; 0 for all in one.
        prefix: of ids, where several drawings stand on a page.

    Returns:
        The drawing; every word in it is text, every stroke has plain attributes.
    """
    sheet = _Sheet(small, prefix)
    places: Sequence[Drawing] = option["places"]
    per_row = across or len(places) or 1
    other = {p["station"]: p for p in against["places"]} if against else {}
    parts = [_saddle(sheet, p, other.get(p["station"]), sheet.wide * (n % per_row), sheet.tall * (n // per_row))
             for n, p in enumerate(places)]
    width = sheet.wide * min(per_row, len(places))
    rows = -(-len(places) // per_row)
    boxes = option["boxes"]
    if boxes:
        parts += [_box(box, width + 14.0, 22.0 + n * 62.0) for n, box in enumerate(boxes)]
    width, height = width + (BOX + 20.0 if boxes else 0.0), max(sheet.tall * rows, 22.0 + 62.0 * len(boxes))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="saddle-row" role="img" width="{number(width)}" '
            f'height="{number(height)}" viewBox="0 0 {number(width)} {number(height)}" aria-label={quoteattr(in_words(option))}>'
            f"{''.join(parts)}</svg>")


def in_words(option: Drawing) -> str:
    """The drawing in a sentence, for who does not see it."""
    said = [f"{_named(p['station'])}: upper {_half_words(p['upper'])}, lower {_half_words(p['lower'])}" for p in option["places"]]
    opened = [f"open {b['count']} of {b['label']}" for b in option["boxes"]]
    return "; ".join([*said, *opened])


def _named(station: str) -> str:
    return station.replace(".", " ")


def _half_words(half: Drawing) -> str:
    if not half:
        return "none"
    return " ".join(filter(None, (half["size"], "" if half["id"] in {half["size"], ""} else half["id"],
                                  "stays" if half.get("stays") else "", "from a sealed box" if half.get("sealed") else "")))


def _saddle(sheet: _Sheet, place: Drawing, other: Drawing | None, x: float, y: float) -> str:
    middle = sheet.wide / 2
    name = place["station"].partition(".")[2] if sheet.small else _named(place["station"])
    parts = [_text(name, middle, 12.0, 12.0 if sheet.small else 13.0, weight=600), _housing(sheet, middle)]
    for side in ("upper", "lower"):
        half = place[side]
        if half:
            differs = other is None or _key(half) != _key(other[side])
            parts.append(_half(sheet, half, middle, upper=side == "upper", heavy=differs if sheet.small else not half.get("stays")))
            parts += _labels(sheet, half, middle, upper=side == "upper", differs=differs)
    parts.append(_fit(sheet, place))
    if not sheet.small:
        parts.append(_text(place["text"], middle, FOOT + 6.0, 12.0))
    return f'<g transform="translate({number(x)} {number(y)})">{"".join(parts)}</g>'


def _key(half: Drawing) -> tuple[str, str]:
    return (half.get("id", ""), half.get("size", "")) if half else ("", "")


def _housing(sheet: _Sheet, middle: float) -> str:
    """The saddle above and the cap below, parted by the split line."""
    half, top, centre, reach, r = sheet.wide / 2 - 4.0, HEAD, sheet.centre, sheet.reach + 3.0, sheet.outer
    above = (f"M{number(middle - half)} {number(centre)}V{number(top)}H{number(middle + half)}V{number(centre)}"
             f"H{number(middle + r)}A{r:g} {r:g} 0 0 0 {number(middle - r)} {number(centre)}Z")
    below = (f"M{number(middle - half)} {number(centre + 3)}V{number(centre + reach)}H{number(middle + half)}"
             f"V{number(centre + 3)}H{number(middle + r)}A{r:g} {r:g} 0 0 1 {number(middle - r)} "
             f"{number(centre + 3)}Z")
    return f'<path {style("rod")} d="{above}"/><path {style("rod")} d="{below}"/>'


def _half(sheet: _Sheet, half: Drawing, middle: float, *, upper: bool, heavy: bool) -> str:
    centre, bend = (sheet.centre, 1) if upper else (sheet.centre + 3.0, 0)
    inner, outer = sheet.inner, sheet.outer
    ring = (f"M{number(middle - outer)} {number(centre)}A{outer:g} {outer:g} 0 0 {bend} {number(middle + outer)} {number(centre)}"
            f"H{number(middle + inner)}A{inner:g} {inner:g} 0 0 {1 - bend} {number(middle - inner)} {number(centre)}Z")
    kind = "reach-fill" if heavy else "shell-light"
    dashed = ' stroke-dasharray="3.4 2.2"' if half.get("sealed") else ""
    parts = [f'<path {style(kind)}{dashed} d="{ring}"/>']
    if half.get("grooved"):
        r = (inner + outer) / 2
        parts.append(f'<path {style("thin")} d="M{number(middle - r)} {number(centre)}A{r:g} {r:g} 0 0 {bend} {number(middle + r)} '
                     f'{number(centre)}"/>')
    if half.get("flanged"):
        out = -6.0 if upper else 6.0
        parts.append(f'<path {style("outline-thin")} d="M{number(middle - outer)} {number(centre)}h-5v{number(out)}M'
                     f'{number(middle + outer)} {number(centre)}h5v{number(out)}"/>')
    return "".join(parts)


def _labels(sheet: _Sheet, half: Drawing, middle: float, *, upper: bool, differs: bool) -> list[str]:
    """The size inside the half, its name in the block or in the cap."""
    centre = sheet.centre
    y = centre - 5.0 if upper else centre + (16.0 if sheet.small else 18.0)
    if sheet.small:
        return [_text(half["size"], middle, y, 15.0, weight=600)] if differs else []
    found = [_text(half["size"], middle, y, 13.0, weight=600)]
    name = "" if half["id"] == half["size"] else half["id"]
    if name:
        found.append(_text(_short(name), middle, HEAD + 9.0 if upper else centre + 46.0, 9.0))
    return found


def _short(name: str, most: int = 19) -> str:
    return name if len(name) <= most else name[: most - 1] + "…"


def _fit(sheet: _Sheet, place: Drawing) -> str:
    probability = place["probability"]
    verdict = "fits" if probability >= VIEW_LIMIT else "out" if probability <= 1 - VIEW_LIMIT else "too close to call"
    width, height = sheet.wide - 6.0, 15.0 if sheet.small else 22.0
    line = fitline.svg(place["value"], place["standard_uncertainty"], place["smallest"], place["largest"], place["target"],
                       verdict, width=width, height=height, title=f"{_named(place['station'])}: {place['text']}")
    y = sheet.centre + sheet.reach + (5.0 if sheet.small else 8.0)
    return line.replace("<svg ", f'<svg x="3" y="{number(y)}" ', 1)


def _box(box: Drawing, x: float, y: float) -> str:
    """A box to open."""
    return (f'<g transform="translate({number(x)} {number(y)})">'
            f'<path {style("alloy-deep")} d="M4 14H70V46H4ZM4 14L-1 4H22L28 14M70 14L75 4H52L46 14"/>'
            f"{_text(box['label'], 37.0, 29.0, 12.0, weight=600)}"
            f"{_text('open ' + (str(box['count']) if box['count'] > 1 else 'it'), 37.0, 41.0, 9.5)}</g>")


def _text(words: str, x: float, y: float, size: float, *, weight: int = 400) -> str:
    return (f'<text class="dr-text" x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(size)}" '
            f'font-weight="{weight}" text-anchor="middle" fill="{INK}">{escape(words)}</text>')
