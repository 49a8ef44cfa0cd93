"""Features of the head on the bench: guides, stems, seats, valves, throats, and chambers filled from a burette."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, V, A, T = Quantity.LENGTH, Quantity.VOLUME, Quantity.ANGLE, Quantity.TEMPERATURE
GUIDE = tuple(f"{height} {axis}" for height in ("top", "middle", "bottom") for axis in ("A", "B"))
QUARTERS = ("1", "2", "3", "4")
FILLS = ("fill 1", "fill 2", "fill 3")
LIQUIDS = ("water", "white spirit", "paraffin", "isopropanol", "methylated spirit", "transmission fluid", "engine oil",
           "antifreeze mixture")
HEAD_PART = ("head.{bank}",)
BURETTE = ("burette-start", "burette-end", "liquid-temperature", "chamber-temperature")


def _stated(name: str, kind: str, quantity: Quantity, words: str, how: str, *, signed: bool = False,
            names: tuple[str, ...] = ()) -> Feature:
    return Feature(name, (kind,), quantity, words, how, "", (), stated_only=True, signed=signed, names=names)


HEAD: tuple[Feature, ...] = (
    Feature("guide-bore", ("valve",), L, "bore of the valve guide", "top is the spring's end; A along the crank, B across", "bore-gauge",
            HEAD_PART, GUIDE, sketch="bore-gauge-bush"),
    Feature("stem", ("valve",), L, "valve stem", "where the guide bears: top, middle and bottom of its travel", "outside-micrometer",
            ("{s}",), GUIDE, sketch="micrometer-round"),
    Feature("seat-width", ("valve",), L, "width of the seat", "along the seat's face, at four places round it", "caliper", HEAD_PART,
            QUARTERS, sketch="seat-width"),
    Feature("seat-run-out", ("valve",), L, "run-out of the seat", "indicator on a pilot in the guide; total reading over one turn",
            "dial-indicator", HEAD_PART, sketch="seat-run-out"),
    Feature("face-run-out", ("valve",), L, "run-out of the valve's face", "stem in a vee against a stop; total reading over one turn",
            "dial-indicator", ("{s}",), sketch="valve-face"),
    Feature("head-diameter", ("valve",), L, "diameter of the valve's head", "over its margin", "outside-micrometer", ("{s}",),
            sketch="valve-head"),
    Feature("margin", ("valve",), L, "margin of the valve", "edge of the head, from its face to its flat side", "caliper", ("{s}",),
            sketch="valve-margin"),
    Feature("throat-diameter", ("valve",), L, "throat under the seat", "the narrowest place below the seat's inner edge", "bore-gauge",
            HEAD_PART, ("A", "B"), sketch="throat"),
    _stated("seat-angle", "valve", A, "angle of the seat", "from the plane of the head, as cut"),
    Feature("burette-start", ("chamber",), V, "burette before the fill",
            "eye level with the bottom of the meniscus; the same part of it before and after", "burette", HEAD_PART, FILLS),
    Feature("burette-end", ("chamber",), V, "burette after the fill", "liquid to the underside of the plate, no bubble; a minute to drain",
            "burette", HEAD_PART, FILLS),
    Feature("liquid-temperature", ("chamber",), T, "temperature of the liquid in the burette", "as it is poured", "thermometer", HEAD_PART,
            sketch="burette"),
    Feature("chamber-temperature", ("chamber",), T, "temperature of the head at the chamber", "on the metal, when the burette is read",
            "thermometer", HEAD_PART, sketch="burette"),
    _stated("burette-liquid", "chamber", Quantity.COUNT, "liquid in the burette", "its warmth counts by what it is", names=LIQUIDS),
    _stated("plate-hole", "chamber", L, "hole of the burette plate", "its diameter; it fills with the chamber"),
    _stated("plate-thickness", "chamber", L, "thickness of the burette plate", "at its hole, as far up as it is filled"),
    _stated("plate-dish", "chamber", L, "dish of the burette plate", "its middle above the face, below zero for a sag", signed=True),
    _stated("plate-rim", "chamber", L, "free width of the burette plate", "diameter over which it does not lie on the face"),
)
# What a run on the flow bench rests on: no feature that is read by itself, since it wants a lift and a pressure beside it.
PORT_FLOW = Feature("port-flow", ("valve",), Quantity.FLOW, "flow of the port", "on the flow bench, at a lift", "flow-bench",
                    ("{s}", "head.{bank}"))
