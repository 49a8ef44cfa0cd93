"""Features that are looked at while an engine goes together: oil pump and pick-up, drive of the camshaft, seals, gaskets, dowels."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L = Quantity.LENGTH
ROUND_THE_CLOCK = ("12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock")

ASSEMBLY: tuple[Feature, ...] = (
    Feature("gear-clearance", ("pump",), L, "pump gear to its housing", "feeler between tooth or rotor and body, the widest place counts",
            "feeler", ("pump",), ("1", "2"), sketch="feeler-gear"),
    Feature("end-clearance", ("pump",), L, "pump gear to its cover", "straight edge over the body, feeler down to gears or rotor",
            "feeler", ("pump",), ("1", "2"), sketch="feeler-cover"),
    Feature("shaft-play", ("pump",), L, "end play of the pump shaft", "push and pull the shaft against the indicator, cover on",
            "dial-indicator", ("pump",), sketch="end-play"),
    Feature("pick-up-clearance", ("pan",), L, "pick-up to the floor of the pan",
            "a lump of clay on the screen, pan tried on with its gasket and drawn up; thickness of the clay", "caliper",
            ("pan", "pump"), sketch="clay"),
    Feature("pan-depth", ("pan",), L, "depth of the pan at the pick-up",
            "straight edge over the rail with the gasket on it, down to the floor",
            "depth-micrometer", ("pan",), sketch="depth-pan"),
    Feature("pick-up-height", ("pan",), L, "pick-up above the pan rail", "block upside down, straight edge over the rail, up to the screen",
            "caliper", ("pump",), sketch="pick-up-height"),
    Feature("slack", ("timing",), L, "slack of chain or belt",
            "slack side, half way; the whole way it can be moved across, new tensioner off",
            "caliper", ("timing",), sketch="chain-slack"),
    Feature("dowel-height", ("deck",), L, "dowel above the deck", "the highest of the dowels", "depth-micrometer", ("block",),
            sketch="depth-dowel"),
    Feature("dowel-hole", ("head",), L, "depth of the dowel hole", "the shallowest of the holes", "depth-micrometer", ("{s}",),
            sketch="depth-hole"),
    Feature("seal-bore", ("seal",), L, "bore for the seal", "two axes, clean and dry", "bore-gauge", ("block",), ("A", "B")),
    Feature("seal-outside", ("seal",), L, "outside of the seal", "two axes, lightly, over its case", "outside-micrometer", ("{s}",),
            ("1", "2")),
    Feature("seal-centring", ("seal",), L, "seal bore out of centre",
            "indicator on the crank swept round the seal's bore; all four places against the first", "dial-indicator", ("crank", "block"),
            signed=True, places=ROUND_THE_CLOCK, sketch="seal-centring"),
    Feature("gasket-stand-off", ("cyl",), L, "gasket clear of the bore",
            "gasket laid dry on its dowels; the nearest place of its ring to the bore, below zero where it stands in", "caliper",
            ("gasket.{bank}", "block"), signed=True, sketch="gasket-stand-off"),
)
