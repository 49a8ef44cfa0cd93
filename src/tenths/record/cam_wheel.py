"""The degree wheel as SVG of our own: the lobe's open angle, readings, centre and target, top dead centre above.

It takes the colour of the words around it, on a page bright or dark and on paper. Marks differ by shape, not by colour.
"""

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Any
from xml.sax.saxutils import quoteattr

Answer = Mapping[str, Any]
SIZE, RIM = 320.0, 118.0
MIDDLE = SIZE / 2


def wheel_svg(answer: Answer) -> str:
    """The wheel of a degreeing answer, drawn as the crank turns."""
    wheel = answer["wheel"]
    turn = 1.0 if wheel["turns"] == "clockwise" else -1.0
    marks = "".join(_mark(mark, turn) for mark in wheel["marks"])
    arc = _arc(wheel["arc"], turn) if wheel["arc"] else ""
    said = [f"{m['kind']} at {m['angle']:.1f} degrees" for m in wheel["marks"] if m["kind"] != "reading"]
    count = sum(m["kind"] == "reading" for m in wheel["marks"])
    title = f"Degree wheel for {answer['words']}, top dead centre above, {wheel['turns']}: " + ", ".join(
        [*said, f"{count} readings" if count else ""]).strip(", ")
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="wheel" role="img" viewBox="0 0 {SIZE:g} {SIZE:g}" width="{SIZE:g}" '
            f'height="{SIZE:g}" aria-label={quoteattr(title.strip(": "))} fill="none" stroke="currentColor">'
            f'<circle cx="{MIDDLE:g}" cy="{MIDDLE:g}" r="{RIM:g}" stroke-width="1.4"/>{_ticks(turn)}{arc}{marks}'
            f'<circle cx="{MIDDLE:g}" cy="{MIDDLE:g}" r="3" fill="currentColor"/></svg>')


def _at(angle: float, radius: float, turn: float) -> tuple[float, float]:
    a = radians(angle) * turn
    return MIDDLE + radius * sin(a), MIDDLE - radius * cos(a)


def _ticks(turn: float) -> str:
    drawn: list[str] = []
    for angle in range(0, 360, 10):
        (x, y), (u, v) = _at(angle, RIM, turn), _at(angle, RIM - (9 if angle % 30 == 0 else 5), turn)
        drawn.append(f"M{x:.1f} {y:.1f}L{u:.1f} {v:.1f}")
    words: list[str] = []
    for angle in range(0, 360, 30):
        x, y = _at(angle, RIM + 17, turn)
        said = {0: "TDC", 180: "BDC"}.get(angle, str(angle))
        words.append(f'<text x="{x:.1f}" y="{y + 4:.1f}">{said}</text>')
    return (f'<path d="{"".join(drawn)}" stroke-width="1"/><g text-anchor="middle" font-size="12" fill="currentColor" stroke="none">'
            f'{"".join(words)}</g>')


def _arc(arc: Answer, turn: float) -> str:
    radius = RIM - 24
    (x, y), (u, v) = _at(arc["start"], radius, turn), _at(arc["start"] + arc["sweep"], radius, turn)
    large, way = int(arc["sweep"] > 180), int(turn > 0)
    return (f'<path d="M{x:.1f} {y:.1f}A{radius:g} {radius:g} 0 {large} {way} {u:.1f} {v:.1f}" stroke-width="7" '
            'stroke-opacity="0.3" stroke-linecap="round"/>')


def _mark(mark: Answer, turn: float) -> str:
    """A reading is a short stroke, the centre a full disc on a spoke, the target an open ring on a dashed one."""
    if mark["kind"] == "reading":
        (x, y), (u, v) = _at(mark["angle"], RIM - 32, turn), _at(mark["angle"], RIM - 16, turn)
        return f'<path d="M{x:.1f} {y:.1f}L{u:.1f} {v:.1f}" stroke-width="2"/>'
    full = mark["kind"] == "centre"
    x, y = _at(mark["angle"], RIM - 24 if full else RIM - 44, turn)
    dash, fill = ("", ' fill="currentColor"') if full else (' stroke-dasharray="5 4"', "")
    return (f'<path d="M{MIDDLE:g} {MIDDLE:g}L{x:.1f} {y:.1f}" stroke-width="1.6"{dash}/>'
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="6" stroke-width="2"{fill}/>')
