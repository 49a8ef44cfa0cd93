"""The drawing of a choice, whatever its kind: page and record ask here, and a further kind is one more line."""

from collections.abc import Callable, Mapping
from typing import Any

from tenths.record.drawing.matched import matched_svg
from tenths.record.drawing.saddles import saddles_svg
from tenths.record.drawing.stacked import stacked_svg

Drawing = Mapping[str, Any]


def _saddles(option: Drawing, against: Drawing | None, small: bool, across: int) -> str:  # noqa: FBT001 - all kinds alike
    return saddles_svg(option, against=against, small=small, across=across)


def _matched(option: Drawing, against: Drawing | None, small: bool, across: int) -> str:  # noqa: FBT001 - all kinds alike
    return matched_svg(option, against=against, small=small, across=across)


def _stacked(option: Drawing, _against: Drawing | None, small: bool, _across: int) -> str:  # noqa: FBT001 - all kinds alike
    return stacked_svg(option, small=small)


KINDS: dict[str, Callable[[Drawing, Drawing | None, bool, int], str]] = {
    "saddles": _saddles, "matching": _matched, "stack": _stacked,
}


def choice_svg(drawing: Drawing, number: int = 0, *, small: bool = False, across: int = 0) -> str:
    """One of the answers of a choice as SVG.

    Args:
        drawing: plain data with its ``kind`` and ``options``, as the service answers it.
        number: of the answer, 0 for the best.
        small: a copy beside the best, in which what differs is told.
        across: so many places in a row, then the next row; 0 for all in one.

    Returns:
        The drawing; empty text for a kind that has none.
    """
    made, options = KINDS.get(drawing.get("kind", "")), drawing.get("options", [])
    if made is None or number >= len(options):
        return ""
    return made(options[number], options[0] if number else None, small, across)
