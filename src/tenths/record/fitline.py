"""The fit line: the one picture of a number between its limits, for terminal, page and print.

The limits stand at fixed places, so lines of the same kind under each other share one scale. A tick stands at the
target, a mark at the value, a heavier stretch over its 95 % interval, an arrow where the value runs off the line.
The mark's shape is the verdict; colour only repeats it.

============== ============ =========== ========
verdict        shape        terminal    plain
============== ============ =========== ========
fits           full disc    ``●``       ``*``
too close to   half disc    ``◐``       ``%``
call
out            cross        ``✕``       ``x``
not measured   open ring    ``○``       ``o``
stale          struck ring  ``⊘``       ``/``
============== ============ =========== ========
"""

from dataclasses import dataclass
from math import isfinite
from typing import Literal, TypeGuard, cast, get_args
from xml.sax.saxutils import escape

from tenths.errors import BadInput

Verdict = Literal["fits", "too close to call", "out", "not measured", "stale"]
VERDICTS: tuple[str, ...] = get_args(Verdict)
EDGE = 2 / 12  # the limits stand this far from the ends, as a part of the whole width
COVERAGE = 1.959963984540054  # two-sided 95 % of a normal distribution
INK, PAPER = "#1f2933", "#ffffff"
COLOURS = {"fits": "#0b62a4", "too close to call": "#8f6200", "out": "#bf3f00", "not measured": "#5f6b76",
           "stale": "#7b4a91"}
_MARKS = dict(zip(VERDICTS, "●◐✕○⊘", strict=True))
_PLAIN = dict(zip(VERDICTS, "*%xo/", strict=True))
_LINES = ("╌", "━", "├", "┝", "┤", "┥", "┿", "┼", "┿", "◂", "▸")
_PLAIN_LINES = ("-", "=", "|", "|", "|", "|", "|", "+", "+", "<", ">")


def mark(verdict: str, *, plain: bool = False) -> str:
    """The verdict's sign for the terminal, one column wide; `plain` keeps to ASCII.

    Raises:
        BadInput: a verdict that is none of the five.
    """
    _check(verdict)
    return (_PLAIN if plain else _MARKS)[verdict]


def slug(verdict: str) -> str:
    """The verdict as a class name: ``too-close-to-call``."""
    return _check(verdict).replace(" ", "-")


def _known(verdict: str) -> TypeGuard[Verdict]:
    return verdict in VERDICTS


def _check(verdict: str) -> Verdict:
    if not _known(verdict):
        raise BadInput(f"verdict: {verdict!r} is not known; it is one of {', '.join(VERDICTS)}")
    return verdict


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale on which `left` stands at 0 and `right` at 1: the fixed places of the limits."""

    left: float
    right: float

    def at(self, value: float) -> float:
        """Place of a value: 0 at the left limit, 1 at the right."""
        return (value - self.left) / (self.right - self.left)


def scale_of(lower: float | None, upper: float | None, target: float | None = None, *, span: float | None = None,
             value: float | None = None, u: float | None = None) -> Scale:
    """The scale that the limits alone decide wherever they can, so that lines of one kind agree.

    Two limits stand at the two places. A lower limit alone stands at the left; the right place is then as far off as
    would put the target in the middle, or at twice the limit. An upper limit alone stands at the right, and zero at
    the left. Only where none of this gives a length does the value itself decide.

    Args:
        lower: lower limit, or None.
        upper: upper limit, or None.
        target: where it should be, or None.
        span: length between the two places, for one-sided limits of one kind that are to share it.
        value: the value, used only as a last resort.
        u: its standard uncertainty, used only as a last resort.
    """
    if lower is not None and upper is not None and upper > lower:
        return Scale(lower, upper)
    reach = max(abs((value or 0.0) - _first(lower, upper, target, 0.0)) * 2, 8 * (u or 0.0)) or 1.0
    if lower is not None:
        free = 2 * (target - lower) if target is not None and target > lower else abs(lower)
        return Scale(lower, lower + (span or free or reach))
    if upper is not None:
        free = upper if target is None or target >= upper else 2 * (upper - target)
        return Scale(upper - (span or (free if free > 0 else reach)), upper)
    middle = _first(target, value, 0.0)
    half = (span or reach) / 2
    return Scale(middle - half, middle + half)


def _first(*values: float | None) -> float:
    return next(v for v in values if v is not None)


def _numbers(**named: float | None) -> None:
    for name, value in named.items():
        if value is not None and not isfinite(value):
            raise BadInput(f"{name}: {value!r} cannot be drawn; a finite number or nothing is taken")


def terminal(value: float | None, u: float | None, lower: float | None, upper: float | None, target: float | None,
             verdict: str, *, width: int = 13, span: float | None = None, plain: bool = False) -> str:
    """The fit line as text of exactly `width` columns: ``  ├╌━●┿╌╌╌┤  ``.

    A value outside its limits never stands on or within a limit's column, one inside never beyond it.

    Args:
        value: the value, or None when there is none.
        u: its standard uncertainty in the same unit, or None.
        lower: lower limit, or None.
        upper: upper limit, or None.
        target: where it should be, or None.
        verdict: one of the five.
        width: columns, 9 to 200.
        span: see `scale_of`.
        plain: ASCII only.

    Raises:
        BadInput: a verdict that is not known, a number that is not finite, a width that is too small.
    """
    _check(verdict)
    _numbers(value=value, u=u, lower=lower, upper=upper, target=target, span=span)
    if not 9 <= width <= 200:
        raise BadInput(f"width: {width} columns; 9 to 200 are taken")
    scale = scale_of(lower, upper, target, span=span, value=value, u=u)
    first = max(2, round((width - 1) * EDGE))
    return _Columns(scale, first, width - 1 - first, width, _PLAIN_LINES if plain else _LINES).text(
        value, u, (lower, upper, target), mark(verdict, plain=plain))


@dataclass(frozen=True, slots=True)
class _Columns:
    scale: Scale
    first: int
    last: int
    width: int
    signs: tuple[str, ...]

    def column(self, value: float) -> float:
        return self.first + self.scale.at(value) * (self.last - self.first)

    def text(self, value: float | None, u: float | None, limits: tuple[float | None, float | None, float | None],
             sign: str) -> str:
        dash, bold, *_, less, more = self.signs
        lower, upper, target = limits
        cells = [dash if self.first <= c <= self.last else " " for c in range(self.width)]
        where = self._place(value, lower, upper, target)
        held = range(0)
        if value is not None and u:
            low, high = self.column(value - COVERAGE * u), self.column(value + COVERAGE * u)
            held = range(max(0, round(low)), min(self.width - 1, round(high)) + 1)
        for c in held:
            cells[c] = bold
        self._ticks(cells, held, limits)
        if value is not None and not -0.5 <= self.column(value) <= self.width - 0.5:
            left = self.column(value) < 0
            cells[0 if left else -1] = less if left else more
            where = 1 if left else self.width - 2
        cells[where] = sign
        return "".join(cells)

    def _ticks(self, cells: list[str], held: range, limits: tuple[float | None, float | None, float | None]) -> None:
        _, _, low, low_held, high, high_held, crossed, centre, centre_held, *_ = self.signs
        lower, upper, target = limits
        if target is not None and self.first < (c := round(self.column(target))) < self.last:
            cells[c] = centre_held if c in held else centre
        if lower is not None:
            cells[self.first] = self._limit(held, self.first, low, low_held, crossed)
        if upper is not None:
            cells[self.last] = self._limit(held, self.last, high, high_held, crossed)

    @staticmethod
    def _limit(held: range, column: int, bare: str, reached: str, crossed: str) -> str:
        if column not in held:
            return bare
        return crossed if column - 1 in held and column + 1 in held else reached

    def _place(self, value: float | None, lower: float | None, upper: float | None, target: float | None) -> int:
        if value is None:
            middle = self.column(target) if target is not None else (self.first + self.last) / 2
            return min(max(round(middle), self.first + 1), self.last - 1)
        column = round(self.column(value))
        if lower is not None:
            column = min(column, self.first - 1) if value < lower else max(column, self.first)
        if upper is not None:
            column = max(column, self.last + 1) if value > upper else min(column, self.last)
        return min(max(column, 0), self.width - 1)


def symbol(verdict: str, x: float, y: float, r: float, *, halo: bool = True) -> str:
    """The verdict's shape as SVG elements round (x, y) with radius r [user units], on a halo of paper.

    Colours stand as attributes for print; on a page the classes ``v`` and ``v-fits`` and so on take over.
    """
    name, colour = slug(verdict), COLOURS[_check(verdict)]
    w = r * 0.34
    ground = f'cx="{x:.2f}" cy="{y:.2f}" r="{r * 1.32:.2f}" fill="{PAPER}" stroke="none"'
    back = f'<circle class="v-halo" {ground}/>' if halo else ""
    return (f'<g class="v v-{name}" fill="none" stroke="{colour}" stroke-width="{w:.2f}" color="{colour}">{back}'
            f"{_shape(verdict, x, y, r - w / 2, colour)}</g>")


def _shape(verdict: str, x: float, y: float, r: float, colour: str) -> str:
    ring = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}"'
    d = r * 0.86
    match verdict:
        case "fits":
            return f'{ring} class="v-solid" fill="{colour}"/>'
        case "too close to call":
            half = f"M{x:.2f} {y - r:.2f}A{r:.2f} {r:.2f} 0 0 0 {x:.2f} {y + r:.2f}Z"
            return f'{ring}/><path class="v-solid" d="{half}" fill="{colour}"/>'
        case "out":
            cross = f"M{x - d:.2f} {y - d:.2f}L{x + d:.2f} {y + d:.2f}M{x - d:.2f} {y + d:.2f}L{x + d:.2f} {y - d:.2f}"
            return f'<path d="{cross}" stroke-width="{r * 0.56:.2f}" stroke-linecap="round"/>'
        case "not measured":
            return f"{ring}/>"
        case _:
            over = r * 1.12
            return (f'{ring}/><path d="M{x - over:.2f} {y + over:.2f}L{x + over:.2f} {y - over:.2f}" '
                    f'stroke-linecap="round"/>')


def mark_svg(verdict: str, *, size: float = 20.0, title: str | None = None) -> str:
    """The verdict's shape alone as an SVG of its own, for lists and keys."""
    words = title or verdict
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="mark" role="img" width="{size:g}" height="{size:g}" '
            f'viewBox="0 0 20 20"><title>{escape(words)}</title>{symbol(verdict, 10, 10, 7.4, halo=False)}</svg>')


def svg(value: float | None, u: float | None, lower: float | None, upper: float | None, target: float | None,
        verdict: str, *, width: float = 180.0, height: float = 26.0, span: float | None = None,
        title: str | None = None) -> str:
    """The fit line as an SVG that scales, for page and print.

    Args:
        value: the value, or None when there is none.
        u: its standard uncertainty in the same unit, or None.
        lower: lower limit, or None.
        upper: upper limit, or None.
        target: where it should be, or None.
        verdict: one of the five.
        width: of the view box; the limits stand at 1/6 and 5/6 of it.
        height: of the view box.
        span: see `scale_of`.
        title: words for a screen reader; the verdict when not given.

    Raises:
        BadInput: a verdict that is not known or a number that is not finite.
    """
    _check(verdict)
    _numbers(value=value, u=u, lower=lower, upper=upper, target=target, span=span)
    scale = scale_of(lower, upper, target, span=span, value=value, u=u)
    place = _Place(scale, width, height)
    body = [place.rail(lower, upper), place.tick(target)]
    if value is not None and u:
        body.append(place.whisker(value - COVERAGE * u, value + COVERAGE * u))
    body.append(place.value(value, target, verdict))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" class="fit" role="img" width="{width:g}" height="{height:g}" '
            f'viewBox="0 0 {width:g} {height:g}"><title>{escape(title or verdict)}</title>'
            f'<g class="fit-line" fill="none" stroke="{INK}" stroke-width="1.2">{"".join(body)}</g></svg>')


@dataclass(frozen=True, slots=True)
class _Place:
    scale: Scale
    width: float
    height: float

    @property
    def r(self) -> float:
        return self.height * 0.24

    def x(self, value: float) -> float:
        return self.width * (EDGE + self.scale.at(value) * (1 - 2 * EDGE))

    def _line(self, x0: float, y0: float, x1: float, y1: float, more: str = "") -> str:
        return f'<path d="M{x0:.2f} {y0:.2f}L{x1:.2f} {y1:.2f}"{more}/>'

    def rail(self, lower: float | None, upper: float | None) -> str:
        left, right, y = self.width * EDGE, self.width * (1 - EDGE), self.height / 2
        tick = self.height * 0.30
        parts = [self._line(left, y, right, y, ' class="fit-rail"')]
        for limit, x in ((lower, left), (upper, right)):
            if limit is not None:
                parts.append(self._line(x, y - tick, x, y + tick, ' class="fit-limit" stroke-width="1.8"'))
        return "".join(parts)

    def tick(self, target: float | None) -> str:
        if target is None or not 0 <= self.scale.at(target) <= 1:
            return ""
        x, y, t = self.x(target), self.height / 2, self.height * 0.17
        return self._line(x, y - t, x, y + t, ' class="fit-target"')

    def whisker(self, low: float, high: float) -> str:
        x0, x1 = max(self.x(low), 1.0), min(self.x(high), self.width - 1.0)
        if x1 <= x0:
            return ""
        y, t = self.height / 2, self.height * 0.10
        ends = "".join(self._line(x, y - t, x, y + t) for x, seen in ((x0, self.x(low) > 1.0),
                                                                      (x1, self.x(high) < self.width - 1.0)) if seen)
        return f'<g class="fit-whisker" stroke-width="2.6">{self._line(x0, y, x1, y)}{ends}</g>'

    def value(self, value: float | None, target: float | None, verdict: str) -> str:
        y, r = self.height / 2, self.r
        if value is None:
            inside = target is not None and 0 <= self.scale.at(target) <= 1
            return symbol(verdict, self.x(cast("float", target)) if inside else self.width / 2, y, r)
        x = self.x(value)
        if r * 1.3 <= x <= self.width - r * 1.3:
            return symbol(verdict, x, y, r)
        sign = -1.0 if x < self.width / 2 else 1.0
        tip = 1.0 if sign < 0 else self.width - 1.0
        arrow = (f'<path class="fit-arrow" d="M{tip - sign * r * 0.8:.2f} {y - r * 0.8:.2f}L{tip:.2f} {y:.2f}'
                 f'L{tip - sign * r * 0.8:.2f} {y + r * 0.8:.2f}" stroke-width="1.8"/>')
        return arrow + symbol(verdict, tip - sign * r * 2.0, y, r)
