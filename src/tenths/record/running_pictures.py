"""Drawings of the running engine as SVG of our own: order of tightening, and outlines where they come closest.

They take the colour of the words around them, on a page bright or dark and on paper.
"""

from collections.abc import Mapping, Sequence
from math import cos, radians, sin
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.services.clearing import moved
from tenths.services.running_model import Model

Answer = Mapping[str, Any]
STEP, RIM, MARGIN = 78.0, 23.0, 44.0
STROKES = {"not touched": ("1.2", ""), "loosened": ("1.2", "2 3"), "under way": ("2", "6 3"), "tightened": ("3.2", ""),
           "checked": ("3.2", "")}


def tightening_svg(joint: Answer) -> str:
    """The fasteners of a face from above, front to the left, each with its number in the order of tightening.

    The ring says how far it is: thin untouched, dashed under way, thick tightened, thick with a tick checked.
    """
    places: Sequence[Answer] = joint["places"]
    if not places:
        return ""
    states = {(f["station"], f["number"]): f["state"] for f in joint["fasteners"]} if joint["together"] else {}
    low_x, low_y = min(p["along"] for p in places), min(p["across"] for p in places)
    wide = (max(p["along"] for p in places) - low_x) * STEP + 2 * MARGIN
    high = (max(p["across"] for p in places) - low_y) * STEP + 2 * MARGIN + 14
    drawn = [_fastener(p, (p["along"] - low_x) * STEP + MARGIN, (p["across"] - low_y) * STEP + MARGIN,
                       states.get((p["station"], p["number"]), "not touched")) for p in sorted(places, key=lambda p: p["order"])]
    order = ", ".join(f"{p['station']} {p['number']}".strip() for p in sorted(places, key=lambda p: p["order"]))
    title = f"{joint['words']}, front to the left; order of tightening: {order}"
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="fasteners" role="img" viewBox="0 0 {wide:.0f} {high:.0f}" width="{wide:.0f}" '
            f'height="{high:.0f}" aria-label={quoteattr(title)} fill="none" stroke="currentColor">{"".join(drawn)}</svg>')


def _fastener(place: Answer, x: float, y: float, state: str) -> str:
    width, dash = STROKES[state]
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    name = f"{place['station'].partition('.')[2]} · {place['number']}" if place["station"] else f"no. {place['number']}"
    tick = f'<path d="M{x + 15:.1f} {y - 21:.1f}l5 6 9 -13" stroke-width="3"/>' if state == "checked" else ""
    return (f'<g><circle cx="{x:.1f}" cy="{y:.1f}" r="{RIM:g}" stroke-width="{width}"{dashed}/>{tick}'
            f'<text x="{x:.1f}" y="{y + 7:.1f}" text-anchor="middle" font-size="20" font-weight="700" fill="currentColor" stroke="none">'
            f'{place["order"]}</text><text x="{x:.1f}" y="{y + RIM + 15:.1f}" text-anchor="middle" font-size="11" fill="currentColor" '
            f'stroke="none">{escape(name)}</text></g>')


def clearance_svg(model: Model, pair: Answer, *, size: float = 440.0) -> str:
    """All outlines of the pair's cylinder with the crank where the pair comes closest, that place ringed."""
    outlines, angle = model.build.outlines, radians(pair["angle"])
    chosen = (outlines[pair["one"]], outlines[pair["other"]])
    cylinder = next((d.body.cylinder for d in chosen if d.body.cylinder), "")
    shown = [d for d in outlines.values() if not d.body.cylinder or not cylinder or d.body.cylinder == cylinder]
    points = {d.body.outline: moved(model, d, angle) for d in shown}
    radius, rod = model.value("stroke") / 2, model.value("rod_length")
    spread = [(x, y, d.radius) for d in shown for x, y in points[d.body.outline]]
    xs = [end for _, y, r in spread for end in (y - r, y + r)] + [-radius, radius]
    ys = [end for x, _, r in spread for end in (x - r, x + r)] + [-radius, radius + rod]
    scale = size / max(max(xs) - min(xs), max(ys) - min(ys)) * 0.9
    left, top, edge = min(xs), max(ys), 0.05 * size

    def at(along: float, across: float) -> str:
        return f"{(across - left) * scale + edge:.1f} {(top - along) * scale + edge:.1f}"

    pin, joint = _rod(model, angle)
    lines = [f'<path d="M{at(*pin)}L{at(*joint)}" stroke-width="0.8"/>', *(f'<circle cx="{at(*p).split()[0]}" cy="{at(*p).split()[1]}" '
             f'r="4" stroke-width="1.2"/>' for p in (pin, joint))]
    lines += [_edge([at(*p) for p in points[d.body.outline]], max(2 * d.radius * scale, 1.6), bold=d in chosen) for d in shown]
    here = _place(pair)
    ring = f'<circle cx="{at(*here).split()[0]}" cy="{at(*here).split()[1]}" r="13" stroke-width="2.5" class="close"/>' if here else ""
    wide, high = (max(xs) - left) * scale + 2 * edge, (top - min(ys)) * scale + 2 * edge
    centre = at(0.0, 0.0).split()
    title = f"{pair['words']}: {pair['clearance']['text']} with the crank at {pair['angle']:g} deg"
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="outlines" role="img" viewBox="0 0 {wide:.0f} {high:.0f}" width="{wide:.0f}" '
            f'height="{high:.0f}" aria-label={quoteattr(title)} fill="none" stroke="currentColor" stroke-linecap="round" '
            f'stroke-linejoin="round"><path d="M{at(top, 0.0)}L{at(min(ys), 0.0)}" stroke-width="0.8" stroke-dasharray="9 4 2 4"/>'
            f'<circle cx="{centre[0]}" cy="{centre[1]}" r="{radius * scale:.1f}" stroke-width="0.8" stroke-dasharray="3 4"/>'
            f'{"".join(lines)}{ring}</svg>')


def _rod(model: Model, angle: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Crankpin and piston pin at a crank angle [rad], along and across [m]."""
    radius, rod, offset = model.value("stroke") / 2, model.value("rod_length"), model.value("pin_offset")
    across = radius * sin(angle)
    along = radius * cos(angle)
    return (along, across), (along + (rod**2 - (across + offset) ** 2) ** 0.5, -offset)


def _edge(points: Sequence[str], width: float, *, bold: bool) -> str:
    if len(points) == 1:
        x, y = points[0].split()
        return f'<circle cx="{x}" cy="{y}" r="{width / 2:.1f}" stroke-width="{2.4 if bold else 1.2}"/>'
    path = "M" + "L".join(points)
    shade = f'<path d="{path}" stroke-width="{width:.1f}" opacity="0.25"/>' if width > 3 else ""
    return f'{shade}<path d="{path}" stroke-width="{2.4 if bold else 1.2}"/>'


def _place(pair: Answer) -> tuple[float, float] | None:
    """Where the pair comes closest, along and across [m]."""
    if pair["along"]["value"] is None:
        return None
    metres = {"mm": 1e-3, "in": 0.0254}[pair["along"]["unit"]]
    return pair["along"]["value"] * metres, pair["across"]["value"] * metres
