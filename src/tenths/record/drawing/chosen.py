"""The drawing of a choice, whatever its kind: page and record ask here, and a further kind is one more line."""

from collections.abc import Callable, Mapping
from typing import Any

from tenths.record.drawing import matched, saddles, stacked

Drawing = Mapping[str, Any]


def _saddles(option: Drawing, against: Drawing | None, small: bool, across: int) -> str:  # noqa: FBT001 - all kinds alike
    return saddles.saddles_svg(option, against=against, small=small, across=across)


def _matched(option: Drawing, against: Drawing | None, small: bool, across: int) -> str:  # noqa: FBT001 - all kinds alike
    return matched.matched_svg(option, against=against, small=small, across=across)


def _stacked(option: Drawing, _against: Drawing | None, small: bool, _across: int) -> str:  # noqa: FBT001 - all kinds alike
    return stacked.stacked_svg(option, small=small)


KINDS: dict[str, Callable[[Drawing, Drawing | None, bool, int], str]] = {
    "saddles": _saddles, "matching": _matched, "stack": _stacked,
}


WORDS: dict[str, Callable[[Drawing], str]] = {
    "saddles": saddles.in_words, "matching": matched.in_words, "stack": stacked.in_words,
}
LEGENDS = {
    "saddles": "Drawn heavy: halves to be changed. Dashed: out of a box not yet opened.",
    "matching": "Drawn heavy: parts that come from another hole, or from stock.",
    "stack": "At top dead centre; heights are counted from the flats of the pistons. Dashed: where the deck lay before.",
}


def choice_words(drawing: Drawing, number: int = 0) -> str:
    """One of the answers of a choice in a sentence; empty text for a kind that has no drawing."""
    told, options = WORDS.get(drawing.get("kind", "")), drawing.get("options", [])
    return told(options[number]) if told is not None and number < len(options) else ""


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
