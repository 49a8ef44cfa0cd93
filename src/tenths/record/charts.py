"""Charts of gauge studies as SVG of our own: averages and ranges by person, stability with its limits, bias over size.

Plain attributes carry every stroke, so that print needs no CSS; the classes of the drawings give pages their dark colours.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import ceil, floor, log10
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record.drawing.pen import FONT, GREY, number, style
from tenths.record.fitline import INK

Answer = dict[str, Any]
WIDTH, LEFT, RIGHT = 460.0, 52.0, 12.0
HIGH, LOW, GAP = 130.0, 96.0, 44.0  # heights of the upper and lower panel, and what lies between
TOP, BOTTOM = 26.0, 26.0
SIZE = 14.0
MOST_TICKS = 5


@dataclass(slots=True)
class Panel:
    """A panel of a chart: where it lies [user units], the values at its bottom and top, and what was drawn."""

    top: float
    height: float
    low: float
    high: float
    parts: list[str] = field(default_factory=list[str])

    def y(self, value: float) -> float:
        """Where a value lies."""
        return self.top + self.height * (self.high - value) / (self.high - self.low)

    def across(self, value: float, name: str, left: float = LEFT, right: float = WIDTH - RIGHT) -> None:
        """A line at a value from side to side."""
        y = number(self.y(value))
        self.parts.append(f'<path d="M{number(left)} {y}H{number(right)}" {style(name)}/>')

    def words(self, x: float, y: float, text: str, anchor: str = "middle", *, faint: bool = False) -> None:
        """Words at a place."""
        tone = f'class="dr-text" fill="{INK}"' if not faint else f'class="dr-arrow" fill="{GREY}"'
        self.parts.append(f'<text x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{SIZE}" text-anchor="{anchor}" '
                          f'{tone}>{escape(text)}</text>')

    def frame(self, title: str) -> None:
        """Title, ticks and their numbers."""
        self.words(LEFT, self.top - 9, title, "start")
        marks = ticks(self.low, self.high)
        for value in marks:
            self.across(value, "far")
            self.words(LEFT - 6, self.y(value) + 4, written(value, marks), "end", faint=True)

    def path(self, points: Sequence[tuple[float, float]], name: str = "line") -> None:
        """A line through points, values across already in user units."""
        way = "L".join(f"{number(x)} {number(self.y(v))}" for x, v in points)
        self.parts.append(f'<path d="M{way}" {style(name)}/>')

    def dot(self, x: float, value: float, *, odd: bool = False, small: bool = False) -> None:
        """A point: a disc, or a cross where it is odd."""
        y, r = self.y(value), 2.0 if small else 3.2
        if odd:
            self.parts.append(f'<path d="M{number(x - 4)} {number(y - 4)}l8 8m0 -8l-8 8" {style("chosen")}/>')
        else:
            self.parts.append(f'<circle cx="{number(x)}" cy="{number(y)}" r="{r}" class="dr-text" fill="{INK}"/>')


def ticks(low: float, high: float) -> list[float]:
    """Round values between two others, five at most."""
    step = 10.0 ** floor(log10((high - low) / MOST_TICKS))
    step *= next(m for m in (1, 2, 5, 10) if (high - low) / (m * step) <= MOST_TICKS)
    first = ceil(low / step - 1e-9)
    return [n * step for n in range(first, floor(high / step + 1e-9) + 1)]


def written(value: float, marks: Sequence[float]) -> str:
    """A tick's number with as many places as its neighbours need."""
    step = marks[1] - marks[0] if len(marks) > 1 else abs(value) or 1.0
    text = f"{value:.{max(0, -floor(log10(step) + 1e-9))}f}"
    return text if float(text) else "0"


def _room(*values: float) -> tuple[float, float]:
    low, high = min(values), max(values)
    more = (high - low or abs(high) or 1.0) * 0.08
    return low - more, high + more


def _svg(panels: Sequence[Panel], height: float, title: str) -> str:
    inner = "".join(part for panel in panels for part in panel.parts)
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(WIDTH)} {number(height)}" role="img" class="chart" '
            f'aria-label={quoteattr(title)}><title>{escape(title)}</title>{inner}</svg>')


def chart_of(answer: Answer) -> str:
    """The chart of a study, as the services answer it; empty text while there is no result."""
    result = answer["result"]
    if not result:
        return ""
    draw: Callable[[Answer], str] = stability if result["chart"] else over_size if result["masters"] else by_person
    return draw(answer)


def _two(upper: tuple[float, float], lower: tuple[float, float]) -> tuple[Panel, Panel, float]:
    first = Panel(TOP, HIGH, *upper)
    second = Panel(TOP + HIGH + GAP, LOW, *lower)
    return first, second, TOP + HIGH + GAP + LOW + BOTTOM


def by_person(answer: Answer) -> str:
    """Averages and ranges of every part, person beside person."""
    averages, limits, unit = answer["result"]["averages"], answer["result"]["limits"], answer["fine_unit"]
    means = [cell["mean"] for row in averages for cell in row]
    ranges = [cell["range"] for row in averages for cell in row]
    reach, highest = (limits["reach"], limits["range_high"]) if limits else (0.0, 0.0)
    upper, lower, height = _two(_room(*means, reach, -reach), (0.0, max(*ranges, highest) * 1.1 or 1.0))
    upper.frame(f"Average of each part, {unit} from the mean of all")
    lower.frame(f"Range of its readings, {unit}")
    if limits:
        for value in (reach, -reach):
            upper.across(value, "split")
        lower.across(limits["range_high"], "split")
        lower.across(limits["range_centre"], "centre")
    room = (WIDTH - LEFT - RIGHT) / len(averages)
    for number_, (person, row) in enumerate(zip(answer["people"], averages, strict=True)):
        left = LEFT + number_ * room
        if number_:
            for panel in (upper, lower):
                panel.parts.append(f'<path d="M{number(left)} {number(panel.top)}v{number(panel.height)}" {style("dim")}/>')
        step = room / (len(row) + 1)
        for panel, what in ((upper, "mean"), (lower, "range")):
            points = [(left + (k + 1) * step, cell[what]) for k, cell in enumerate(row)]
            panel.path(points)
            for x, value in points:
                panel.dot(x, value, odd=panel is lower and bool(limits) and value > limits["range_high"])
        lower.words(left + room / 2, lower.top + lower.height + 18, _short(person, room))
    return _svg((upper, lower), height, f"Averages and ranges of {answer['study']}, by person and part")


def _short(words: str, room: float) -> str:
    most = max(3, int(room / (SIZE * 0.58)))
    return words if len(words) <= most else f"{words[:most - 1]}…"


def stability(answer: Answer) -> str:
    """Averages and ranges over the occasions, with their limits; what is outside or drifts is crossed."""
    chart, unit = answer["result"]["chart"], answer["fine_unit"]
    odd = {*chart["outside"], *chart["drifting"]}
    upper, lower, height = _two(_room(*chart["averages"], chart["low"], chart["high"]),
                                (0.0, max(*chart["ranges"], chart["range_high"]) * 1.1 or 1.0))
    upper.frame(f"Average of each occasion, {unit} from {chart['from_text']}")
    lower.frame(f"Range of its readings, {unit}")
    for panel, middle, limits in ((upper, chart["centre"], (chart["low"], chart["high"])),
                                  (lower, chart["range_centre"], (chart["range_high"],))):
        panel.across(middle, "centre")
        for value in limits:
            panel.across(value, "split")
    count = len(chart["averages"])
    step = (WIDTH - LEFT - RIGHT) / (count + 1)
    for panel, values in ((upper, chart["averages"]), (lower, chart["ranges"])):
        points = [(LEFT + (k + 1) * step, value) for k, value in enumerate(values)]
        panel.path(points)
        for k, (x, value) in enumerate(points):
            panel.dot(x, value, odd=k in odd)
    foot = lower.top + lower.height + 18
    lower.words(LEFT + step, foot, chart["dates"][0], "start" if count > 1 else "middle")
    if count > 1:
        lower.words(WIDTH - RIGHT - step, foot, chart["dates"][-1], "end")
    return _svg((upper, lower), height, f"Stability of {answer['study']}: averages and ranges over {count} occasions")


def over_size(answer: Answer) -> str:
    """Bias against the size of the master: every reading, the mean with its 95 % interval, the line where there is one."""
    masters, line, unit = answer["result"]["masters"], answer["result"]["line"], answer["fine_unit"]
    values = [x for m in masters for x in (*m["readings"], m["bias"] - m["interval"], m["bias"] + m["interval"], 0.0)]
    panel = Panel(TOP, HIGH + 50, *_room(*values))
    panel.frame(f"Reading less master, {unit}")
    panel.across(0.0, "line")
    sizes = [m["size"] for m in masters]
    low, wide = min(sizes), max(sizes) - min(sizes)

    def x(size: float) -> float:
        share = (size - low) / wide if wide else 0.5
        return LEFT + 30 + (WIDTH - LEFT - RIGHT - 60) * share

    if line:
        panel.path([(x(size), line["intercept"] + line["slope"] * size) for size in (low, low + wide)], "split")
    for m in masters:
        at, ends = x(m["size"]), (m["bias"] - m["interval"], m["bias"] + m["interval"])
        panel.path([(at, ends[0]), (at, ends[1])], "outline")
        for end in ends:
            panel.path([(at - 5, end), (at + 5, end)], "outline")
        panel.dot(at, m["bias"])
        for value in m["readings"]:
            panel.dot(at + 10, value, small=True)
    for m in (masters if len(masters) < 5 else (masters[0], masters[-1])):
        panel.words(x(m["size"]), panel.top + panel.height + 18, m["size_text"])
    return _svg((panel,), panel.top + panel.height + BOTTOM, f"Bias of {answer['study']} over the size of the master")
