"""What lies ahead, drawn: on which day an engine is done, as a distribution; and who does what when, as a plan in lanes."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from tenths.record.drawing.pen import FONT, GREY, LIGHT
from tenths.record.fitline import INK, PAPER
from tenths.record.words import day, short_day

Answer = Mapping[str, Any]
SIZE, LETTER = 12.0, 6.4  # height of the words, and the room that one letter takes [user units]
TALL, FOOT, HEAD = 96.0, 24.0, 22.0  # of the distribution: its bars, the days below them, the words above them
LANE, GAP, TITLE, TOP = 34.0, 8.0, 96.0, 26.0  # of the plan: a lane, between lanes, room for their names, the days above them
WIDEST, NARROWEST = 14.0, 5.0  # of an hour in the plan
FILLS = ("#0a5361", "#ffffff", "#c9dfe6", "#f4d9c8")  # engines take them in turn; a stripe tells the fifth from the first


# -- the finish ----------------------------------------------------------------------------------------------------------

def finish_svg(spread: Sequence[Answer], *, due: str = "", instead: Sequence[Answer] = (), width: float = 640.0) -> str:
    """The finish as bars, one for each day, as high as the share of fates that end on it.

    Args:
        spread: ``day`` (year first) and ``share`` [0..1], in order; at least one.
        due: the day promised, drawn where it lies within the picture.
        instead: another distribution on the same days, drawn as outlines: what would be.
        width: of the picture [user units]; at least 300.

    Returns:
        The SVG, with its title in words.
    """
    width = max(width, 300.0)
    days = [date.fromisoformat(row["day"]) for row in (*spread, *instead)]
    first, last = min(days) - timedelta(days=1), max(days) + timedelta(days=1)
    if due and first - timedelta(days=14) <= date.fromisoformat(due) <= last + timedelta(days=14):
        first, last = min(first, date.fromisoformat(due)), max(last, date.fromisoformat(due))
    wide = width / ((last - first).days + 1)
    top = max(row["share"] for row in (*spread, *instead))
    height = HEAD + TALL + FOOT

    def x(when: date) -> float:
        return ((when - first).days) * wide

    parts = [(f'<svg xmlns="http://www.w3.org/2000/svg" class="finish" role="img" viewBox="0 0 {width:.0f} {height:.0f}" '
             f'width="{width:.0f}" height="{height:.0f}" aria-label={quoteattr(finish_words(spread, due))}>')]
    parts += [_bar(x(date.fromisoformat(row["day"])), wide, row["share"] / top, filled=True) for row in spread]
    parts += [_bar(x(date.fromisoformat(row["day"])), wide, row["share"] / top, filled=False) for row in instead]
    parts.append(f'<path class="fin-line" d="M0 {HEAD + TALL:.1f}H{width:.1f}" stroke="{INK}" stroke-width="1.2"/>')
    parts += _days_below(first, last, wide)
    if due and first <= date.fromisoformat(due) <= last:
        parts += _due(x(date.fromisoformat(due)) + wide / 2, width)
    return "".join([*parts, "</svg>"])


def finish_words(spread: Sequence[Answer], due: str = "") -> str:
    """The distribution in a sentence."""
    ends = {share: _quantile(spread, share) for share in (0.1, 0.5, 0.9)}
    told = f"Done by {day(ends[0.1])} in one of ten cases, by {day(ends[0.5])} in half of them, by {day(ends[0.9])} in nine of ten"
    return told + (f"; promised for {day(due)}" if due else "")


def _quantile(spread: Sequence[Answer], share: float) -> str:
    so_far = 0.0
    for row in spread:
        so_far += row["share"]
        if so_far >= share - 1e-9:
            return str(row["day"])
    return str(spread[-1]["day"])


def _bar(x: float, wide: float, share: float, *, filled: bool) -> str:
    tall = max(share * TALL, 1.0)
    look = f'class="fin-bar" fill="{FILLS[0]}"' if filled else f'class="fin-instead" fill="none" stroke="{GREY}" stroke-width="1.4"'
    return f'<rect {look} x="{x + 0.12 * wide:.2f}" y="{HEAD + TALL - tall:.2f}" width="{0.76 * wide:.2f}" height="{tall:.2f}"/>'


def _days_below(first: date, last: date, wide: float) -> list[str]:
    """Days below the line, as many as have room; the first Monday first, so that weeks are seen."""
    every = next(n for n in (1, 7, 14, 28, 56, 112, 364, 10**6) if n * wide >= 8 * LETTER)
    monday = first + timedelta(days=-first.weekday() % 7 if every > 1 else 0)
    found: list[str] = []
    when = monday
    while when <= last:
        at = ((when - first).days + 0.5) * wide
        anchor = "start" if at < 4 * LETTER else "end" if at > (((last - first).days + 1) * wide) - 4 * LETTER else "middle"
        found.append(f'<path class="fin-line" d="M{at:.1f} {HEAD + TALL:.1f}v5" stroke="{INK}" stroke-width="1.2"/>')
        found.append(_text(short_day(when.isoformat()), at, HEAD + TALL + FOOT - 6.0, anchor))
        when += timedelta(days=every)
    return found


def _due(at: float, width: float) -> list[str]:
    anchor = "start" if at < width / 2 else "end"
    return [f'<path class="fin-due" d="M{at:.1f} 4V{HEAD + TALL:.1f}" stroke="#bf3f00" stroke-width="1.8" stroke-dasharray="5 3"/>',
            _text("promised", at + (5.0 if anchor == "start" else -5.0), 14.0, anchor, "plan-said")]


# -- the plan ------------------------------------------------------------------------------------------------------------

def plan_svg(rows: Sequence[Answer], *, people: Sequence[str], engines: Sequence[str], days: Sequence[tuple[float, str]]) -> str:
    """The plan: a lane for each person and for each place that only so many can be at, a box for each block of work.

    Args:
        rows: blocks in their order: ``engine``, ``person``, ``place``, ``start`` and ``end`` [h from this morning], ``words``.
        people: everybody, in the order of the lanes.
        engines: in the order of the legend, which gives each its look.
        days: hours [h] at which a day begins, and the day.

    Returns:
        The SVG; block n carries the number n, counted from 1, under which a list tells its reason.
    """
    lanes = [*people, *dict.fromkeys(row["place"] for row in rows if row["place"])]
    total = max((row["end"] for row in rows), default=1.0)
    hour = min(WIDEST, max(NARROWEST, 1100.0 / total))
    width, height = TITLE + total * hour + 12.0, TOP + len(lanes) * (LANE + GAP)
    parts = [(f'<svg xmlns="http://www.w3.org/2000/svg" class="plan" role="img" viewBox="0 0 {width:.0f} {height:.0f}" '
             f'width="{width:.0f}" height="{height:.0f}" aria-label="Who does what when; the list below says the same, with reasons">'),
             _stripes()]
    parts += _day_lines(days, total, hour, height)
    for number, lane in enumerate(lanes):
        y = TOP + number * (LANE + GAP)
        parts.append(_text(lane[:14], 0.0, y + LANE / 2 + SIZE * 0.35, "start"))
        parts.append(f'<path class="plan-rule" d="M{TITLE:.0f} {y + LANE:.1f}H{width:.1f}" stroke="{LIGHT}" stroke-width="0.8"/>')
    for number, row in enumerate(rows, 1):
        for lane in dict.fromkeys((row["person"], row["place"])):
            if lane:
                parts.append(_block(row, number, engines.index(row["engine"]), TOP + lanes.index(lane) * (LANE + GAP), hour))
    return "".join([*parts, "</svg>"])


def swatch(number: int) -> str:
    """The look of an engine's blocks, small, for the legend."""
    return (f'<svg class="plan swatch" viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">{_stripes(f"s{number}-")}'
            f'{_rect(1.0, 1.0, 26.0, 14.0, number, f"s{number}-")}</svg>')


def _stripes(prefix: str = "") -> str:
    return (f'<defs><pattern id="{prefix}plan-stripes" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
            f'<path class="plan-stripe" d="M0 0V6" stroke="{GREY}" stroke-width="2"/></pattern></defs>')


def _rect(x: float, y: float, wide: float, tall: float, engine: int, prefix: str = "") -> str:
    fill = FILLS[engine % len(FILLS)]
    box = (f'<rect class="plan-block plan-{engine % len(FILLS)}" x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{tall:.2f}" rx="2" '
           f'fill="{fill}" stroke="{INK}" stroke-width="1.1"/>')
    if engine < len(FILLS):
        return box
    return box + (f'<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{tall:.2f}" fill="url(#{prefix}plan-stripes)"/>')


def _block(row: Answer, number: int, engine: int, y: float, hour: float) -> str:
    x, wide = TITLE + row["start"] * hour, max(2.0, (row["end"] - row["start"]) * hour)
    said = f"{number}: {row['words']}"
    words = ""
    if wide >= len(str(number)) * LETTER + 6.0:
        full = said if len(said) * LETTER + 8.0 <= wide else str(number)
        words = _text(full, x + wide / 2, y + LANE / 2 + SIZE * 0.35, "middle", f"plan-words plan-on-{engine % len(FILLS)}",
                      PAPER if engine % len(FILLS) == 0 else INK)
    return f"<g><title>{escape(said)}</title>{_rect(x, y, wide, LANE, engine)}{words}</g>"


def _day_lines(days: Sequence[tuple[float, str]], total: float, hour: float, height: float) -> list[str]:
    found: list[str] = []
    free = 0.0
    for at, when in days:
        if at >= total:
            break
        x = TITLE + at * hour
        found.append(f'<path class="plan-day" d="M{x:.1f} {TOP - 8:.0f}V{height:.0f}" stroke="{LIGHT}" stroke-width="0.8"/>')
        if x >= free:
            found.append(_text(short_day(when), x + 3.0, TOP - 12.0, "start"))
            free = x + 8.5 * LETTER
    return found


def _text(words: str, x: float, y: float, anchor: str, name: str = "plan-said", colour: str = GREY) -> str:
    return (f'<text class="{name}" x="{x:.1f}" y="{y:.1f}" font-family="{FONT}" font-size="{SIZE:.0f}" text-anchor="{anchor}" '
            f'fill="{colour}">{escape(words)}</text>')
