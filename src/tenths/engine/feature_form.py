"""Heights along a line or over a face, from which its form follows: the line of the mains, decks and heads."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L = Quantity.LENGTH
ALONG, ACROSS = ("front", "middle", "rear"), ("inner", "centre", "outer")
FACE = tuple(f"{row} {column}" for row in ALONG for column in ACROSS)
_FACE_HOW = "indicator on a bridge or a surface plate; three places along by three across, clear of bores and holes"

FORM: tuple[Feature, ...] = (
    Feature("line-height", ("main",), L, "height of the saddle along the line",
            "caps off, indicator on a bar over the saddles; bottom of each saddle, + is high", "test-indicator", ("block",),
            signed=True, sketch="line-of-mains"),
    Feature("line-side", ("main",), L, "saddle sideways along the line",
            "caps off, indicator on a bar along the saddles; the same side of each saddle", "test-indicator", ("block",),
            signed=True, sketch="line-of-mains"),
    Feature("face-height", ("deck",), L, "height of the face", _FACE_HOW, "test-indicator", ("block",), FACE, signed=True,
            sketch="face-heights"),
    Feature("face-height", ("head",), L, "height of the face", _FACE_HOW, "test-indicator", ("{s}",), FACE, signed=True,
            sketch="face-heights"),
)
