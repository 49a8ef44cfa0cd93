"""The pen: lines, fills and text of a drawing as SVG, every stroke with plain attributes so that print needs no CSS.

Lengths go in as metres with x to the right and y up, and come out in user units with y down.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

from tenths.record.fitline import INK, PAPER, symbol

Point = tuple[float, float]
GREY, LIGHT = "#59656f", "#9aa5ad"
DASH = "5.5 2.4"
FONT = "IBM Plex Sans, sans-serif"

# style: (fill, stroke, width, dashes)
STYLES: dict[str, tuple[str, str, float, str]] = {
    "edge": ("none", INK, 3.4, ""),  # under a fill: only its outer half is seen
    "paper": (PAPER, "none", 0, ""),
    "hatch": ("hatch", "none", 0, ""),
    "hatch-b": ("hatch-b", "none", 0, ""),
    "steel": ("#e6eaed", INK, 1.2, ""),
    "steel-deep": ("#d3dade", INK, 1.2, ""),
    "alloy": ("#f5f3ee", INK, 1.2, ""),
    "alloy-deep": ("#e4e0d6", INK, 1.1, ""),
    "rod": ("#eef1f3", INK, 1.2, ""),
    "shell": ("#3c4852", INK, 0.5, ""),
    "outline": ("none", INK, 1.6, ""),
    "line": ("none", INK, 1.0, ""),
    "thin": ("none", GREY, 0.7, ""),
    "coil": ("none", GREY, 1.3, ""),
    "far": ("none", LIGHT, 0.8, ""),
    "hidden": ("none", GREY, 0.7, "4 2.6"),
    "centre": ("none", GREY, 0.6, "13 3 2.2 3"),
    "dim": ("none", GREY, 0.7, ""),
    "arrow": (GREY, "none", 0, ""),
    "cover": (PAPER, GREY, 0.9, ""),
    "chosen": ("none", "#bf3f00", 2.2, ""),
    "hit": ("#000000", "none", 0, ""),
    # the small drawings of how a reading is taken
    "gauge": (PAPER, INK, 1.1, ""),
    "gauge-deep": ("#eef1f3", INK, 1.1, ""),
    "paper-hole": (PAPER, INK, 1.2, ""),
    "groove": ("#d3dade", INK, 0.8, ""),
    "shell-cut": ("#3c4852", INK, 0.8, ""),
    "shell-light": ("#d3dade", INK, 1.1, ""),
    "shell-ring": ("none", "#3c4852", 3.0, ""),
    "split": ("none", INK, 1.0, "5 2.4"),
    "paper-line": (PAPER, GREY, 0.8, ""),
    "outline-thin": ("none", INK, 1.1, ""),
    "needle": ("none", INK, 1.4, ""),
    "arm": ("none", GREY, 3.2, ""),
    "liquid": ("#c9dfe6", "none", 0, ""),
    "way": ("none", GREY, 1.1, ""),
    "reach": ("none", "#bf3f00", 1.6, ""),
    "reach-head": ("#bf3f00", "none", 0, ""),
    "reach-fill": ("#f4d9c8", "#bf3f00", 1.8, ""),
}

ICON_LEAVES_OUT = frozenset({"hatch", "hatch-b", "hidden", "centre", "thin", "coil", "dim", "arrow"})


def number(value: float) -> str:
    """A coordinate with two decimals and no more signs than it needs."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def style(name: str, prefix: str = "", heavy: float = 1.0) -> str:
    """The attributes of a style; a name that ends in ``?`` is the same for a size that was assumed."""
    bare = name.removesuffix("?")
    fill, stroke, width, dashes = STYLES[bare]
    if fill.startswith("hatch"):
        fill = f"url(#{prefix}{fill})"
    kind = f"dr-{bare}"
    if name != bare and stroke != "none":
        kind, stroke, dashes = f"{kind} dr-assumed", GREY, dashes or DASH
    drawn = f' stroke-width="{number(width * heavy)}"' if width else ""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    seen = ' fill-opacity="0"' if bare == "hit" else ""
    return f'class="{kind}" fill="{fill}" stroke="{stroke}"{drawn}{dashed}{seen}'


@dataclass
class Pen:
    """Collects a drawing. `k` is user units per metre; the origin is on the crank's centre line."""

    k: float
    prefix: str = ""
    icon: bool = False  # a picture too small for words, hatching and dashes
    parts: list[str] = field(default_factory=list[str])
    _open: str = ""

    def x(self, x: float) -> float:
        """User units from metres, across."""
        return x * self.k

    def y(self, y: float) -> float:
        """User units from metres, up."""
        return -y * self.k

    def at(self, point: Point) -> str:
        """A point as text."""
        return f"{number(self.x(point[0]))} {number(self.y(point[1]))}"

    def add(self, name: str, element: str) -> None:
        """An element in a style; neighbours of the same style share one group."""
        if self.icon:
            if name.removesuffix("?") in ICON_LEAVES_OUT:
                return
            name = name.removesuffix("?")
        if self._open != name:
            self.flush()
            self.parts.append(f"<g {style(name, self.prefix, 0.62 if self.icon else 1.0)}>")
            self._open = name
        self.parts.append(element)

    def flush(self) -> None:
        """Close the group of the last style."""
        if self._open:
            self.parts.append("</g>")
            self._open = ""

    def begin(self, attributes: str) -> None:
        """Open a group of one's own."""
        self.flush()
        self.parts.append(f"<g {attributes}>")

    def end(self) -> None:
        """Close it."""
        self.flush()
        self.parts.append("</g>")

    def rect(self, name: str, x: tuple[float, float], y: tuple[float, float], round_: float = 0.0,
             more: str = "") -> None:
        """A rectangle, its corners rounded by `round_` [m]."""
        (xa, xb), (ya, yb) = sorted(x), sorted(y)
        corner = f' rx="{number(min(round_, (xb - xa) / 2, (yb - ya) / 2) * self.k)}"' if round_ else ""
        self.add(name, f'<rect x="{number(self.x(xa))}" y="{number(self.y(yb))}" width="{number((xb - xa) * self.k)}" '
                       f'height="{number((yb - ya) * self.k)}"{corner}{more}/>')

    def circle(self, name: str, centre: Point, r: float) -> None:
        """A circle of radius `r` [m]."""
        self.add(name, f'<circle cx="{number(self.x(centre[0]))}" cy="{number(self.y(centre[1]))}" '
                       f'r="{number(r * self.k)}"/>')

    def line(self, name: str, *points: Point) -> None:
        """An open line through points."""
        self.add(name, f'<path d="{self.track(points)}"/>')

    def shape(self, name: str, *outlines: Sequence[Point], more: str = "") -> None:
        """A closed shape of one or several outlines."""
        self.add(name, f'<path d="{"".join(self.track(o) + "Z" for o in outlines)}"{more}/>')

    def path(self, name: str, d: str) -> None:
        """A ready path."""
        self.add(name, f'<path d="{d}"/>')

    def track(self, points: Iterable[Point]) -> str:
        """Path text through points."""
        return "M" + "L".join(self.at(p) for p in points)

    def arc(self, r: float, to: Point, *, large: bool = False, sweep: bool = True) -> str:
        """Path text of an arc of radius `r` [m] to a point."""
        return f"A{number(r * self.k)} {number(r * self.k)} 0 {int(large)} {int(sweep)} {self.at(to)}"

    def disc(self, centre: Point, r: float) -> str:
        """Path text of a full circle, to join several into one outline."""
        x, y = centre
        return f"M{self.at((x - r, y))}{self.arc(r, (x + r, y))}{self.arc(r, (x - r, y))}Z"

    def box(self, x: tuple[float, float], y: tuple[float, float]) -> str:
        """Path text of a rectangle, always turned the same way, to join several into one outline."""
        (xa, xb), (ya, yb) = sorted(x), sorted(y)
        return self.track([(xa, yb), (xb, yb), (xb, ya), (xa, ya)]) + "Z"

    def solid(self, d: str, hatch: str = "hatch", *, guess: bool = False) -> None:
        """Cut material: one outline round all the overlapping parts of a path, hatched within."""
        self.path("edge?" if guess else "edge", d)
        self.path("paper", d)
        self.path(hatch, d)

    def cavity(self, d: str, *, guess: bool = False) -> None:
        """Room inside cut material."""
        self.path("edge?" if guess else "edge", d)
        self.path("paper", d)

    def text(self, words: str, at: Point, size: float, *, anchor: str = "middle", weight: int = 400,
             colour: str = INK) -> None:
        """Words, their middle height at a point; size in user units."""
        self.flush()
        if self.icon:
            return
        self.parts.append(
            f'<text class="dr-text" x="{number(self.x(at[0]))}" y="{number(self.y(at[1]) + size * 0.35)}" '
            f'font-family="{FONT}" font-size="{number(size)}" font-weight="{weight}" text-anchor="{anchor}" '
            f'fill="{colour}">{escape(words)}</text>')

    def symbol(self, verdict: str, at: Point, r: float) -> None:
        """A verdict's shape; radius in user units."""
        self.flush()
        self.parts.append(symbol(verdict, self.x(at[0]), self.y(at[1]), r))


def attributes(**named: str | float | None) -> str:
    """Attributes as text; an underscore becomes a hyphen, None is left out."""
    return " ".join(f"{k.rstrip('_').replace('_', '-')}={quoteattr(number(v) if isinstance(v, float) else str(v))}"
                    for k, v in named.items() if v is not None)


def hatches(prefix: str) -> str:
    """The two hatchings, one for either hand, for parts that meet."""
    made: list[str] = []
    for name, line in (("hatch", "M-1 7L7 -1M-1 1L1 -1M5 7L7 5"), ("hatch-b", "M-1 -1L7 7M-1 5L1 7M5 -1L7 1")):
        made.append(f'<pattern id="{prefix}{name}" width="6" height="6" patternUnits="userSpaceOnUse">'
                    f'<path class="dr-hatchline" d="{line}" fill="none" stroke="#8b969e" stroke-width="0.55"/></pattern>')
    return "<defs>" + "".join(made) + "</defs>"
