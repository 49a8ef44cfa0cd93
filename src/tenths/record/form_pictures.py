"""Pictures of form, exaggerated, each with its scale: the line of the mains, a face from a corner, sections of round things."""

from itertools import pairwise
from math import cos, pi, radians, sin
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record.charts import LEFT, RIGHT, SIZE, WIDTH, Panel, ticks
from tenths.record.drawing.pen import FONT, GREY, number, style
from tenths.record.fitline import INK

Answer = dict[str, Any]
FACE_HEIGHT, ROUND_HEIGHT, SIDES_HEIGHT = 270.0, 234.0, 110.0
MIDDLE, FEET = 104.0, 192.0  # of the sections, from the top
MOST_OF_SCATTER = 6.0  # deviations are not drawn larger than these times what scatter makes would be
STEPS = 72


def picture_of(answer: Answer) -> str:
    """The picture of one form, as the services answer it."""
    return {"line": _line, "plane": _face, "round": _round}[answer["form"]](answer)


def _svg(parts: list[str], height: float, title: str) -> str:
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(WIDTH)} {number(height)}" role="img" class="chart" '
            f'aria-label={quoteattr(title)}><title>{escape(title)}</title>{"".join(parts)}</svg>')


def _words(x: float, y: float, text: str, anchor: str = "middle", *, faint: bool = False, size: float = SIZE) -> str:
    tone = f'class="dr-text" fill="{INK}"' if not faint else f'class="dr-arrow" fill="{GREY}"'
    return (f'<text x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(size)}" text-anchor="{anchor}" '
            f'{tone}>{escape(text)}</text>')


def _dot(x: float, y: float, *, ring: bool = False) -> str:
    """A point; one that holds the zone with a ring round it."""
    more = f'<circle cx="{number(x)}" cy="{number(y)}" r="6" {style("line")}/>' if ring else ""
    return f'{more}<circle cx="{number(x)}" cy="{number(y)}" r="3.2" class="dr-text" fill="{INK}"/>'


def _path(points: list[tuple[float, float]], name: str, *, closed: bool = False) -> str:
    way = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f'<path d="M{way}{"Z" if closed else ""}" {style(name)}/>'


# -- along a line ------------------------------------------------------------------------------------------------------

def _line(answer: Answer) -> str:
    points = answer["points"]
    values = [p["deviation"] for p in points] + [edge for row in answer["band"] for edge in row] + [0.0]
    more = (max(values) - min(values) or 1.0) * 0.12
    panel = Panel(28, 150, min(values) - more, max(values) + more)
    panel.frame(f"From the least squares line, {answer['unit']}")
    first, last = points[0]["along"], points[-1]["along"]

    def x(along: float) -> float:
        return LEFT + 24 + (WIDTH - LEFT - RIGHT - 48) * (along - first) / (last - first)

    panel.across(0.0, "centre")
    for row in answer["band"]:
        panel.path([(x(first), row[0]), (x(last), row[1])], "split")
    panel.path([(x(p["along"]), p["deviation"]) for p in points], "outline-thin")
    parts = [*panel.parts, *(_dot(x(p["along"]), panel.y(p["deviation"]), ring=p["holds"]) for p in points)]
    parts += [_words(x(p["along"]), 28 + 150 + 20, p["label"]) for p in points]
    said = f"main; dashed: narrowest zone, {answer['minimum']['text']}, held by the ringed points"
    parts.append(_words(LEFT, 28 + 150 + 40, said, "start", faint=True, size=12.5))
    return _svg(parts, 28 + 150 + 50, f"{answer['words']}: {answer['minimum']['text']}")


# -- over a face -------------------------------------------------------------------------------------------------------

def _face(answer: Answer) -> str:
    """The face from a corner: places along to the right, across to the back; heights from the least squares plane."""
    points = answer["points"]
    most = max(abs(p["deviation"]) for p in points) or 1.0
    up = 52.0 / most
    base = 178.0

    def at(along: float, across: float, height: float = 0.0) -> tuple[float, float]:
        return 44 + 270 * along + 96 * across, base - 74 * across - up * height

    parts = [_words(LEFT - 40, 18, f"Heights from the least squares plane, {answer['unit']}", "start"),
             _path([at(0, 0), at(1, 0), at(1, 1), at(0, 1)], "far", closed=True)]
    where = {(p["along"], p["across"]): p["deviation"] for p in points}
    for key in (0, 1):
        for value in sorted({place[key] for place in where}):
            row = sorted((place for place in where if place[key] == value), key=lambda place: place[1 - key])
            if len(row) > 1:
                parts.append(_path([at(*place, where[place]) for place in row], "outline-thin"))
    for p in sorted(points, key=lambda p: -p["across"]):
        foot, tip = at(p["along"], p["across"]), at(p["along"], p["across"], p["deviation"])
        parts += [_path([foot, tip], "thin"), _dot(*tip, ring=p["holds"]),
                  _words(tip[0] + 8, tip[1] - 6, written_signed(p["deviation"]), "start", size=12.5)]
    low = base + 22 + up * max(0.0, -min(p["deviation"] for p in points if not p["across"]))
    parts += [_words(44, low, "front", "start", faint=True), _words(44 + 135, low, "inner side", faint=True),
              _words(44 + 270, low, "rear", "end", faint=True)]
    step = _step(most)
    parts += [_path([(20, base), (20, base - up * step)], "outline"),
              _words(26, base - up * step / 2 + 4, f"{step:g} {answer['unit']}", "start", size=12.5),
              _words(LEFT - 40, FACE_HEIGHT - 22, f"narrowest zone {answer['minimum']['text']}, held by the ringed points", "start",
                     faint=True, size=12.5)]
    return _svg(parts, FACE_HEIGHT - 10, f"{answer['words']}: {answer['minimum']['text']}")


def written_signed(value: float) -> str:
    """A deviation with its sign, to one place."""
    text = f"{value:+.1f}"
    return "0" if float(text) == 0 else text.replace("-", "−")


def _step(most: float) -> float:
    """A round length for a scale, no longer than the largest deviation."""
    marks = [m for m in ticks(0.0, most) if m > 0]
    return marks[-1] if marks else most


# -- round things ------------------------------------------------------------------------------------------------------

def _round(answer: Answer) -> str:
    sections = [s for s in answer["sections"] if s["diameters"]]
    wide = WIDTH / max(len(sections), 3)
    most = max((abs(d["deviation"]) for s in sections for d in s["diameters"]), default=0.0)
    most = max(most, MOST_OF_SCATTER * answer["scatter"]) or 1.0  # what scatter alone makes is drawn small
    radius = min(50.0, wide / 2 - 28)
    up = radius * 0.4 / most
    parts = [_words(8, 18, f"Sections, mean of all {answer['size_text']}; diameters from it in {answer['unit']}", "start")]
    for k, section in enumerate(sections):
        parts += _section(section, (wide * (k + 0.5), MIDDLE), radius, up)
    step = _step(most)
    parts.append(_words(8, ROUND_HEIGHT + 6, f"dashed: mean; outer ring: {step:g} {answer['unit']} larger in diameter", "start",
                        faint=True, size=12.5))
    ring = [f'<circle cx="{number(wide * (k + 0.5))}" cy="{number(MIDDLE)}" r="{number(radius + up * step)}" {style("far")}/>'
            for k in range(len(sections))]
    height = ROUND_HEIGHT + 14
    if len(sections) > 1:
        sides, height = _sides(sections, answer["unit"], height + 30, 2 * answer["scatter"])
        parts += sides
    return _svg([parts[0], *ring, *parts[1:]], height, f"{answer['words']}, {answer['station_words']}: sections and sides, exaggerated")


def _section(section: Answer, middle: tuple[float, float], radius: float, up: float) -> list[str]:
    x, y = middle
    read = [(radians(d["angle"]), d["deviation"]) for d in section["diameters"]]
    profile: list[tuple[float, float]] = []
    for k in range(STEPS):
        turn = 2 * pi * k / STEPS
        r = radius + up * _between(read, turn)
        profile.append((x + r * cos(turn), y - r * sin(turn)))
    parts = [f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" {style("split")}/>', _path(profile, "outline", closed=True)]
    for d in section["diameters"]:
        turn, reach = radians(d["angle"]), radius + up * d["deviation"]
        tip = (x + reach * cos(turn), y - reach * sin(turn))
        foot = (x - reach * cos(turn), y + reach * sin(turn))
        parts += [_path([foot, tip], "thin"), _dot(*tip), _dot(*foot)]
        short = d["axis"] if len(d["axis"]) == 1 else d["axis"][:1].upper()
        inner = reach - 15
        parts.append(_words(x + inner * cos(turn) + 7 * sin(turn), y - inner * sin(turn) + 4 + 7 * cos(turn), short, size=12))
    said = [f"{d['axis']}: {written_signed(d['deviation'])}" for d in section["diameters"]]
    lines = [" · ".join(said[k:k + 2]) for k in range(0, len(said), 2)]
    return [*parts, _words(x, FEET, section["height"], faint=True),
            *(_words(x, FEET + 14 * (k + 1), line, size=12.5) for k, line in enumerate(lines))]


def _between(read: list[tuple[float, float]], turn: float) -> float:
    """A smooth profile through the diameters read that never goes beyond them; a diameter is the same from either end."""
    known = sorted((angle % pi, value) for angle, value in read)
    around = [(known[-1][0] - pi, known[-1][1]), *known, (known[0][0] + pi, known[0][1])]
    here = turn % pi
    for (a, low), (b, high) in pairwise(around):
        if a <= here <= b:
            return low + (high - low) * (1 - cos(pi * (here - a) / (b - a))) / 2
    return known[0][1]


def _sides(sections: list[Answer], unit: str, top: float, least: float) -> tuple[list[str], float]:
    """Every axis along the part: taper, barrel and waist."""
    values = [*(d["deviation"] for s in sections for d in s["diameters"]), least, -least]
    more = (max(values) - min(values) or 1.0) * 0.15
    panel = Panel(top, SIDES_HEIGHT, min(values) - more, max(values) + more)
    panel.frame(f"Diameter along it, {unit} from the mean")
    axes = list(dict.fromkeys(d["axis"] for s in sections for d in s["diameters"]))

    def x(along: float) -> float:
        return LEFT + 24 + (WIDTH - LEFT - RIGHT - 90) * along

    parts: list[str] = []
    ends: list[tuple[float, str]] = []
    for axis in axes:
        row = [(x(s["along"]), d["deviation"]) for s in sections for d in s["diameters"] if d["axis"] == axis]
        panel.path(row)
        parts += [_dot(where, panel.y(value)) for where, value in row]
        ends.append((panel.y(row[-1][1]), axis))
    ends.sort()
    low = -1e9
    for y, axis in ends:
        low = max(y + 4, low + 13)
        parts.append(_words(x(1.0) + 12, low, axis, "start", size=12.5))
    parts += [_words(x(s["along"]), top + SIDES_HEIGHT + 18, s["height"]) for s in sections]
    return [*panel.parts, *parts], top + SIDES_HEIGHT + 28


