"""Form along a line and over a face: how straight the mains stand, how flat and true the decks and heads are."""

from collections.abc import Mapping, Sequence

from tenths.engine.feature_form import ACROSS, ALONG
from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.declare import Characteristic, Need, Over, Uneven, Way
from tenths.metrology.estimate import Estimate
from tenths.metrology.zones import LEAST, Place, narrowest

LENGTH = Quantity.LENGTH
ENDS = {"front": 0.0, "middle": 0.5, "rear": 1.0}


def _same(value: float) -> float:
    return value


CHARACTERISTICS: tuple[Characteristic, ...] = (
    Characteristic("main-line-height", "bearings", ("main",), LENGTH, "main saddle along the line",
                   (Way(_same, (Need("height", "line-height"),), "as read"),), when_begun=True),
    Characteristic("main-line-side", "bearings", ("main",), LENGTH, "main saddle sideways along the line",
                   (Way(_same, (Need("side", "line-side"),), "as read"),), when_begun=True),
    Characteristic("main-line-straightness", "bearings", ("block",), LENGTH, "line of the mains, up and down",
                   (Over("main-line-height", "line", "narrowest zone that holds the bottoms of the saddles"),)),
    Characteristic("main-line-sideways", "bearings", ("block",), LENGTH, "line of the mains, sideways",
                   (Over("main-line-side", "line", "narrowest zone that holds the sides of the saddles"),)),
    Characteristic("deck-flatness", "geometry", ("deck",), LENGTH, "deck out of flat",
                   (Uneven("face-height", "plane", "narrowest zone between two parallel planes"),), when_begun=True),
    Characteristic("head-flatness", "geometry", ("head",), LENGTH, "head out of flat",
                   (Uneven("face-height", "plane", "narrowest zone between two parallel planes"),), when_begun=True),
    Characteristic("deck-parallelism", "geometry", ("deck",), LENGTH, "deck out of parallel with the crank",
                   (Uneven("deck-height", "level", "largest less smallest deck height"),), when_begun=True),
)


def main_place(layout: Layout, station: str) -> Place:
    """Where a main stands along the crank, in throws."""
    return layout.main_after_throw[int(station.split(".")[1]) - 1] + 0.0, 0.0


def place_of(name: str) -> Place | None:
    """Where a place of a face lies, along and across as shares; None for a name that says neither."""
    words = name.split(" ")
    if len(words) == 2 and words[0] in ALONG and words[1] in ACROSS:
        return ALONG.index(words[0]) / 2, ACROSS.index(words[1]) / 2
    return (ENDS[name], 0.5) if name in ENDS else None


def straight(layout: Layout, heights: Mapping[str, Estimate]) -> Estimate | str:
    """The narrowest zone of stations along the crank, or what is missing."""
    if len(heights) < LEAST["line"]:
        return f"{len(heights)} places along the line; three or more are needed"
    return _zone("line", [main_place(layout, station) for station in heights], list(heights.values()))


def flat(shape: str, heights: Mapping[str, Estimate]) -> Estimate | str:
    """The narrowest zone of the places of a face, or what is missing."""
    known = {place: where for place in heights if (where := place_of(place)) is not None}
    least = LEAST["plane" if shape == "plane" else "level"]
    if len(known) < least:
        return f"{len(known)} places; {least} or more are needed"
    return _zone(shape, list(known.values()), [heights[place] for place in known])


def _zone(shape: str, places: Sequence[Place], heights: Sequence[Estimate]) -> Estimate | str:
    try:
        return narrowest("line" if shape == "line" else "plane" if shape == "plane" else "level", places, heights)
    except BadInput as error:
        return str(error)
