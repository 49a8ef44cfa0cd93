"""Pieces of the small drawings: gauges in the hand, and the marks of what is being measured.

All of them are drawn on a sheet of 200 by 160 user units, y up. A gauge is drawn at its own origin, with the place
that it touches as zero, and laid on the part by `laid`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from math import cos, pi, radians, sin

from tenths.record.drawing.pen import Pen, Point, attributes, number

WIDTH, HEIGHT = 200.0, 160.0


@contextmanager
def laid(pen: Pen, at: Point, turn: float = 0.0) -> Iterator[None]:
    """What is drawn within is laid at a point, turned counter-clockwise [deg]."""
    pen.begin(attributes(transform=f"translate({number(at[0])} {number(-at[1])}) rotate({number(-turn)})"))
    yield
    pen.end()


def reach(pen: Pen, a: Point, b: Point, *, outside: bool = False) -> None:
    """The size that is read: arrows on both its ends, from within, or from outside where there is no room."""
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    back = 15.0 if outside else 0.0
    pen.line("reach", _from(a, along, -back), _from(b, along, back))
    for tip, sign in ((a, -1.0 if outside else 1.0), (b, 1.0 if outside else -1.0)):
        foot, across = _from(tip, along, 7.0 * sign), (-along[1], along[0])
        pen.shape("reach-head", [tip, _from(foot, across, 2.9), _from(foot, across, -2.9)])


def _from(at: Point, along: Point, by: float) -> Point:
    return at[0] + along[0] * by, at[1] + along[1] * by


def moves(pen: Pen, about: Point, r: float, start: float, end: float) -> None:
    """A way that something is moved: an arc with arrows on both ends; angles from straight right [deg]."""
    steps = [radians(start + (end - start) * k / 24) for k in range(25)]
    points = [(about[0] + r * cos(a), about[1] + r * sin(a)) for a in steps]
    pen.line("way", *points)
    for tip, before in ((points[0], points[2]), (points[-1], points[-3])):
        _head(pen, tip, before)


def push(pen: Pen, a: Point, b: Point) -> None:
    """A way that something is moved, straight, with arrows on both ends."""
    pen.line("way", a, b)
    _head(pen, a, b)
    _head(pen, b, a)


def _head(pen: Pen, tip: Point, before: Point) -> None:
    length = ((tip[0] - before[0]) ** 2 + (tip[1] - before[1]) ** 2) ** 0.5
    along = ((before[0] - tip[0]) / length, (before[1] - tip[1]) / length)
    foot, across = _from(tip, along, 6.0), (-along[1], along[0])
    pen.shape("arrow", [tip, _from(foot, across, 2.4), _from(foot, across, -2.4)])


def micrometer(pen: Pen, opening: float, throat: float, *, tips: str = "flat") -> None:
    """An outside micrometer; its faces stand at half the opening left and right of zero, its bow hangs below.

    ``tips`` is ``flat``, ``ball`` (a ball on the anvil) or ``blade`` (thin faces that enter a groove).
    """
    o, bow = opening / 2, 13.0
    wide, deep = o + 6.0, throat
    pen.path("gauge", f"M{pen.at((-wide - bow, 7))}A{number(wide + bow)} {number(deep + bow)} 0 0 0 {pen.at((wide + bow, 7))}"
                      f"L{pen.at((wide, 7))}L{pen.at((wide, -3))}A{number(wide)} {number(deep)} 0 0 1 {pen.at((-wide, -3))}"
                      f"L{pen.at((-wide, 7))}Z")
    half = 1.7 if tips == "blade" else 4.2
    if tips == "ball":
        pen.rect("gauge", (-o - 6, -o - 3), (-2.2, 2.2))
        pen.circle("gauge", (-o - 3.4, 0), 3.4)
    else:
        pen.rect("gauge", (-o - 6, -o), (-half, half))
    pen.rect("gauge", (o, o + 8), (-half, half))
    thimble(pen, o + 6 + bow)


def thimble(pen: Pen, start: float) -> None:
    """Sleeve, thimble and ratchet of a micrometer, to the right of `start`."""
    pen.rect("gauge", (start, start + 18), (-5.5, 5.5))
    for k in range(5):
        pen.line("thin", (start + 2.4 + 2.6 * k, 0), (start + 2.4 + 2.6 * k, 3.4 if k % 2 else 4.6))
    pen.line("thin", (start, 0), (start + 15, 0))
    pen.shape("gauge-deep", [(start + 14, -6.5), (start + 19, -8.5), (start + 37, -8.5), (start + 37, 8.5), (start + 19, 8.5),
                             (start + 14, 6.5)])
    for y in (-5.4, -2.7, 0.0, 2.7, 5.4):
        pen.line("thin", (start + 22, y), (start + 35, y))
    pen.rect("gauge", (start + 37, start + 44), (-5, 5), 1.5)


def dial(pen: Pen, plunger: float = 24.0, r: float = 21.0, needle: float = 35.0) -> None:
    """A dial indicator that stands on its tip, its face turned to us."""
    pen.rect("gauge", (-1.5, 1.5), (2.0, plunger))
    pen.circle("gauge-deep", (0, 2.2), 2.6)
    pen.rect("gauge", (-4, 4), (plunger, plunger + 12))
    face(pen, (0, plunger + 10 + r), r, needle)


def face(pen: Pen, at: Point, r: float, needle: float) -> None:
    """The face of a dial; its needle from straight up, clockwise [deg]."""
    pen.circle("gauge-deep", at, r)
    pen.circle("gauge", at, r - 3.2)
    for k in range(20):
        a, inner = 2 * pi * k / 20, r - (8.2 if k % 5 == 0 else 6.4)
        pen.line("thin", (at[0] + inner * sin(a), at[1] + inner * cos(a)),
                 (at[0] + (r - 4.6) * sin(a), at[1] + (r - 4.6) * cos(a)))
    n = radians(needle)
    pen.line("needle", (at[0] - 3 * sin(n), at[1] - 3 * cos(n)), (at[0] + (r - 6.5) * sin(n), at[1] + (r - 6.5) * cos(n)))
    pen.circle("arrow", at, 1.8)


def held(pen: Pen, *points: Point) -> None:
    """The arms of a stand, from the indicator to its foot at the last point."""
    pen.line("arm", *points)
    x, y = points[-1]
    pen.rect("gauge-deep", (x - 13, x + 13), (y, y - 17), 1.5)
    for joint in points[1:-1]:
        pen.circle("gauge", joint, 3.6)


def bore_gauge(pen: Pen, opening: float, handle: float = 78.0, r: float = 20.0) -> None:
    """A dial bore gauge; it reads between half the opening up and down, its handle to the right."""
    o = opening / 2
    pen.rect("gauge", (0, handle), (-4, 4), 1.0)
    pen.rect("gauge", (-8, 8), (-o + 8, o - 8), 3.0)
    for sign in (-1, 1):
        pen.rect("gauge", (-2.6, 2.6), (sign * (o - 8), sign * (o - 1.5)))
        pen.circle("gauge-deep", (0, sign * (o - 2.4)), 2.4)
    pen.rect("gauge-deep", (handle - 26, handle), (-6, 6), 2.0)
    face(pen, (handle + r - 1, 0), r, -130.0)


def depth_micrometer(pen: Pen, depth: float, base: float = 30.0) -> None:
    """A depth micrometer; its base stands on zero, its rod reaches down by `depth`."""
    pen.rect("gauge", (-1.9, 1.9), (0, -depth))
    pen.rect("gauge", (-base, base), (0, 9), 1.0)
    with laid(pen, (0, 0), 90.0):
        thimble(pen, 9.0)


def feeler(pen: Pen, length: float = 52.0, blade: float = 2.2) -> None:
    """A feeler gauge: one blade from zero to the right, the others folded in its case."""
    pen.rect("reach-head", (0, length), (-blade / 2, blade / 2))
    pen.shape("gauge-deep", [(length - 4, -6), (length + 40, -8), (length + 45, 0), (length + 40, 8), (length - 4, 6)])
    for y in (-2.7, 0.0, 2.7):
        pen.line("thin", (length + 3, y), (length + 38, y * 1.4))
    pen.circle("gauge", (length + 36, 0), 2.4)


def straight_edge(pen: Pen, x: tuple[float, float], y: float) -> None:
    """A straight-edge that lies on a height."""
    pen.shape("gauge", [(x[0], y), (x[1], y), (x[1], y + 13), (x[1] - 4, y + 17), (x[0] + 4, y + 17), (x[0], y + 13)])
    for k in (1, 2, 3):
        pen.circle("paper-line", (x[0] + (x[1] - x[0]) * k / 4, y + 9.5), 3.0)


def scales(pen: Pen, x: float, y: float, half: float = 34.0) -> None:
    """Scales that stand on a height, their pan in the middle; the pan is 27 above the height."""
    pen.shape("gauge-deep", [(x - half - 8, y), (x + half + 8, y), (x + half, y + 18), (x - half, y + 18)])
    pen.rect("gauge", (x - 15, x + 15), (y + 4, y + 13), 1.5)
    for k in (-8.0, -2.0, 4.0):
        pen.line("needle", (x + k, y + 6), (x + k, y + 11))
    pen.rect("gauge", (x - 4, x + 4), (y + 18, y + 23))
    pen.rect("gauge", (x - half + 2, x + half - 2), (y + 23, y + 27), 1.5)


def burette(pen: Pen, tip: Point, level: float = 0.55) -> None:
    """A burette over a point, filled to a part of its height."""
    x, y = tip
    low, high = y + 26, y + 96
    full = low + (high - low) * level
    pen.rect("liquid", (x - 5, x + 5), (low, full))
    pen.path("outline-thin", f"M{pen.at((x - 5.5, high))}L{pen.at((x - 5.5, low))}L{pen.at((x - 1.6, low - 8))}L{pen.at((x - 1.2, y + 4))}"
                             f"M{pen.at((x + 5.5, high))}L{pen.at((x + 5.5, low))}L{pen.at((x + 1.6, low - 8))}L{pen.at((x + 1.2, y + 4))}")
    for k in range(11):
        pen.line("thin", (x + 5.5, low + 4 + 6 * k), (x + (1.0 if k % 5 == 0 else 2.8), low + 4 + 6 * k))
    pen.rect("gauge-deep", (x - 4.5, x + 4.5), (low - 14, low - 8), 1.0)
    pen.rect("gauge-deep", (x + 4.5, x + 13), (low - 12.4, low - 9.6), 1.0)
    reach(pen, (x - 13, full), (x - 13, high))
