"""Words of the record: dates, runs of places, amounts beside their unit. No locale and no time zone has a say."""

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")
_DATE = re.compile(r"\d{4}-(0[1-9]|1[0-2])-\d\d", re.ASCII)
_NUMBERED = re.compile(r"(.*?)(\d+)(.*)", re.DOTALL)


def day(at: str) -> str:
    """The day of a log time in words: ``2 March 2026``; a text that is no date comes back as it is."""
    if not _DATE.match(at):
        return at
    return f"{int(at[8:10])} {MONTHS[int(at[5:7]) - 1]} {at[:4]}"


def short_day(at: str) -> str:
    """``2 Mar`` of a log time."""
    return f"{int(at[8:10])} {MONTHS[int(at[5:7]) - 1][:3]}" if at else ""


def clock(at: str) -> str:
    """``08:15`` of a log time."""
    return at[11:16]


def moment(at: str) -> str:
    """``2 March 2026, 08:15`` of a log time."""
    return f"{day(at)}, {clock(at)}" if at else ""


def times(first: str, last: str) -> str:
    """One or two log times of the same day, short: ``2 Mar 08:15`` or ``2 Mar 08:15–08:42``."""
    return f"{short_day(first)} {clock(first)}" + (f"–{clock(last)}" if clock(last) != clock(first) else "")


def runs(words: Iterable[str]) -> str:
    """Places that differ in one number as runs: ``main 1–5, main 7`` becomes ``main 1–5, 7``."""
    groups: dict[tuple[str, str], list[int]] = {}
    for word in dict.fromkeys(words):
        found = _NUMBERED.fullmatch(word)
        if found:
            groups.setdefault((found[1], found[3]), []).append(int(found[2]))
        else:
            groups.setdefault((word, ""), [])
    return "; ".join(f"{before}{_numbers(numbers)}{after}" for (before, after), numbers in groups.items())


def _numbers(numbers: Sequence[int]) -> str:
    """Whole numbers in order, three or more in a row as a run."""
    rows: list[list[int]] = []
    for number in sorted(numbers):
        if rows and number == rows[-1][-1] + 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    return ", ".join(f"{r[0]}–{r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in rows)


def bare(text: str, unit: str) -> str:
    """An amount without the unit that stands behind it."""
    return text.removesuffix(unit).rstrip() if unit else text


def decimals(text: str) -> int:
    """Figures behind the point."""
    return len(text.partition(".")[2])


def trimmed(text: str, most: int = 5, kept: int = 4) -> str:
    """A plain number of more than ``most`` figures that count, cut to ``kept``; other texts as they are."""
    if "." not in text or len(text.lstrip("+-0.").replace(".", "")) <= most:
        return text
    try:
        return f"{Decimal(f'{float(text):.{kept - 1}e}'):f}"
    except ValueError:
        return text


def padded(text: str, width: int) -> str:
    """A plain number with so many figures behind the point at least; other texts as they are."""
    if not text.lstrip("+-").replace(".", "", 1).isdigit() or decimals(text) >= width:
        return text
    return f"{text}{'' if '.' in text else '.'}{'0' * (width - decimals(text))}"


def between(lower: str, upper: str, unit: str, target: str = "") -> str:
    """Limits in words: ``0.0015 to 0.0025 in, target 0.0020``."""
    low, high, aim = (bare(text, unit) for text in (lower, upper, target))
    if low and high:
        words = f"{low} to {high}"
    elif low or high:
        words = f"at least {low}" if low else f"at most {high}"
    else:
        return ""
    return f"{words} {unit}".rstrip() + (f", target {aim}" if aim else "")


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def counted(number: int, one: str, many: str = "") -> str:
    """``1 reading``, ``3 readings``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def listed(items: Sequence[str]) -> str:
    """``a, b and c``."""
    return items[0] if len(items) == 1 else ", ".join(items[:-1]) + f" and {items[-1]}" if items else ""
