"""The stack at top dead centre along a bank, to scale: pistons, deck before and after the cut, gasket and head.

Heights are counted from the flats of the pistons and drawn larger than widths; how much larger stands in the drawing.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record.drawing.pen import FONT, INK, number, style

Drawing = Mapping[str, Any]
LEFT, RIGHT, TOP, BOTTOM = 74.0, 26.0, 44.0, 46.0
BETWEEN, SMALL_BETWEEN = 118.0, 46.0  # from cylinder to cylinder [user units]
SQUISH = 78.0  # room between piston and head [user units], from which the scale follows
PISTON, HEAD = 24.0, 20.0


def stacked_svg(option: Drawing, *, small: bool = False) -> str:
    """One answer to the question of the stack as SVG, bank below bank.

    Args:
        option: ``banks`` as the service answers them.
        small: a copy beside the answer, without figures.

    Returns:
        The drawing; every word in it is text, every stroke has plain attributes.
    """
    panels = [_Panel(option, bank, small=small) for bank in option["banks"]]
    width, height = max(p.width for p in panels), sum(p.height for p in panels)
    parts, y = list[str](), 0.0
    for panel in panels:
        parts.append(f'<g transform="translate(0 {number(y)})">{panel.drawn()}</g>')
        y += panel.height
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="saddle-row" role="img" width="{number(width)}" '
            f'height="{number(height)}" viewBox="0 0 {number(width)} {number(height)}" '
            f'aria-label={quoteattr(in_words(option))}>{"".join(parts)}</svg>')


def in_words(option: Drawing) -> str:
    """The drawing in a sentence, for who does not see it."""
    said = [f"gasket {option['gasket']}, {option['thickness_text']}"]
    for bank in option["banks"]:
        rows = ", ".join(f"cylinder {c['label']}: {'cut ' + c['cut_text'] + ', ' if c['cut_text'] else ''}squish {c['squish_text']}, "
                         f"ratio {c['ratio_text']}" for c in bank["cylinders"])
        said.append(f"bank {bank['name']}: {rows}")
    return "; ".join(said)


class _Panel:
    """One bank."""

    def __init__(self, option: Drawing, bank: Drawing, *, small: bool) -> None:
        self.option, self.bank, self.small = option, bank, small
        self.margin = 8.0 if small else LEFT
        self.cylinders: Sequence[Drawing] = bank["cylinders"]
        places = [c["place"] for c in self.cylinders]
        spacing = min((b - a for a, b in pairwise(places)), default=0.112)
        between = SMALL_BETWEEN if small else BETWEEN
        self.kx = between / spacing
        most = max(max(c["squish"], c["deck"] - c["rise"]) for c in self.cylinders)
        self.ky = (SQUISH / 2 if small else SQUISH) / most
        self.zero = (20.0 if small else TOP) + HEAD + self.ky * most + 8.0  # height of the pistons' flats
        self.width = self.margin + between * (len(self.cylinders) - 1) + self.kx * self.cylinders[0]["bore"] + RIGHT + 24.0
        self.height = self.zero + PISTON + (18.0 if small else BOTTOM)

    def x(self, cylinder: Drawing) -> float:
        """Middle of a cylinder."""
        return self.margin + 12.0 + (cylinder["place"] - self.cylinders[0]["place"] + cylinder["bore"] / 2) * self.kx

    def y(self, height: float) -> float:
        """User units from a height over the pistons [m]."""
        return self.zero - height * self.ky

    def drawn(self) -> str:
        first, last = self.cylinders[0], self.cylinders[-1]
        self.left = self.x(first) - first["bore"] * self.kx / 2 - 12.0
        self.right = self.x(last) + last["bore"] * self.kx / 2 + 12.0
        parts = [*self._layers(), *(self._cylinder(c) for c in self.cylinders), self._before()]
        if self.small:
            return "".join([_text(f"bank {self.bank['name']}", 4.0, 12.0, 11.0, anchor="start", weight=600), *parts])
        return "".join([self._title(), *parts, self._names(), self._scale()])

    def _title(self) -> str:
        bank, option = self.bank, self.option
        done = [f"gasket {option['gasket']}, {option['thickness_text']}"]
        done += [f"head cut by {bank['head_text']}"] if bank["head_text"] else []
        done += [f"chambers opened by {bank['opened_text']}"] if bank["opened_text"] else []
        return _text(f"bank {bank['name']}", 4.0, 16.0, 13.0, anchor="start", weight=600) + _text(
            "; ".join(done), LEFT, 16.0, 13.0, anchor="start")

    def _deck(self, *, after: bool) -> list[tuple[float, float]]:
        """Points along the deck, carried on to both ends."""
        rows = [(self.x(c), self.y(c["deck"] - c["rise"] - (c["cut"] if after else 0.0))) for c in self.cylinders]
        return [(self.left, rows[0][1]), *rows, (self.right, rows[-1][1])]

    def _layers(self) -> list[str]:
        then = self._deck(after=True)
        thick = self.option["thickness"] * self.ky
        top = [(x, y - thick) for x, y in then]
        head = [(x, y - HEAD) for x, y in top]
        base = self.zero + PISTON
        block = [*then, (self.right, base), (self.left, base)]
        return [_shape("steel", block), _shape("shell-cut", [*top, *reversed(then)]), _shape("steel-deep", [*head, *reversed(top)])]

    def _before(self) -> str:
        """Where the deck lies now, over all that will be there."""
        if not any(c["cut"] > 0 for c in self.cylinders):
            return ""
        now = self._deck(after=False)
        line = _track("reach", now, ' stroke-dasharray="5 3"')
        return line if self.small else line + _text("deck now", LEFT - 8.0, now[0][1] + 4.0, 11.0, anchor="end")

    def _cylinder(self, c: Drawing) -> str:
        """The hole through block and gasket, and the piston in it."""
        x, half = self.x(c), c["bore"] * self.kx / 2
        roof = self.y(c["squish"])
        return (
            f'<rect {style("paper-hole")} x="{number(x - half)}" y="{number(roof)}" width="{number(2 * half)}" '
            f'height="{number(self.zero + PISTON - roof)}"/>'
            f'<rect {style("alloy")} x="{number(x - half + 1.5)}" y="{number(self.zero)}" width="{number(2 * half - 3)}" '
            f'height="{number(PISTON)}"/>' + ("" if self.small else self._figures(c, x, half, roof)))

    def _figures(self, c: Drawing, x: float, half: float, roof: float) -> str:
        """The squish as a measure, the ratio above, the name and the cut below."""
        return (
            _arrow(x - half / 2, roof, self.zero)
            + _text(c["squish_text"], x + half * 0.22, (roof + self.zero) / 2 + 4.0, 12.0, weight=600)
            + _text(f"ratio {c['ratio_text']}", x, TOP - 8.0, 12.0)
            + _text(f"cylinder {c['label']}", x, self.zero + PISTON + 16.0, 12.0)
            + (_text(f"cut {c['cut_text']}", x, self.zero + PISTON + 31.0, 12.0, weight=600) if c["cut_text"] else ""))

    def _names(self) -> str:
        c, thick = self.cylinders[0], self.option["thickness"]
        deck = c["deck"] - c["rise"] - c["cut"]
        rows = [("head", deck + thick + HEAD / 2 / self.ky), ("gasket", deck + thick * 0.6), ("block", -PISTON / 2 / self.ky)]
        return "".join(_text(words, LEFT - 8.0, self.y(h) + 4.0, 11.0, anchor="end") for words, h in rows)

    def _scale(self) -> str:
        times = self.ky / self.kx
        return _text(f"heights {times:.0f} times the widths", 4.0, self.height - 4.0, 10.0, anchor="start")


def _shape(name: str, points: Sequence[tuple[float, float]]) -> str:
    return f'<path {style(name)} d="{_d(points)}Z"/>'


def _track(name: str, points: Sequence[tuple[float, float]], more: str = "") -> str:
    return f'<path {style(name)}{more} d="{_d(points)}"/>'


def _d(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def _arrow(x: float, top: float, bottom: float) -> str:
    heads = "".join(f"M{number(x - 3)} {number(y + d * 6)}L{number(x)} {number(y)}L{number(x + 3)} {number(y + d * 6)}"
                    for y, d in ((top, 1), (bottom, -1)))
    return f'<path {style("line")} d="M{number(x)} {number(top)}V{number(bottom)}{heads}"/>'


def _text(words: str, x: float, y: float, size: float, *, weight: int = 400, anchor: str = "middle") -> str:
    return (f'<text class="dr-text" x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(size)}" '
            f'font-weight="{weight}" text-anchor="{anchor}" fill="{INK}">{escape(words)}</text>')
