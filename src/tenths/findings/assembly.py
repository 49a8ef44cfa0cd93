"""Small checks of assembly: oil pump and pick-up, drive of the camshaft, dowels, seals, gaskets."""

from tenths.engine.quantity import Quantity
from tenths.findings.declare import Characteristic, Need, Uneven, Way

LENGTH = Quantity.LENGTH


def _same(value: float) -> float:
    return value


def _less(larger: float, smaller: float) -> float:
    return larger - smaller


def _room(hole: float, gasket: float, dowel: float) -> float:
    return hole + gasket - dowel


def _read(name: str, kind: str, words: str, feature: str = "") -> Characteristic:
    return Characteristic(name, "assembly", (kind,), LENGTH, words, (Way(_same, (Need("value", feature or name),), "as read"),))


CHARACTERISTICS: tuple[Characteristic, ...] = (
    _read("pump-gear-clearance", "pump", "oil pump, gear to housing", "gear-clearance"),
    _read("pump-end-clearance", "pump", "oil pump, gear to cover", "end-clearance"),
    _read("pump-shaft-play", "pump", "oil pump, end play of the shaft", "shaft-play"),
    Characteristic("pick-up-clearance", "assembly", ("pan",), LENGTH, "pick-up to the floor of the pan", (
        Way(_same, (Need("value", "pick-up-clearance"),), "as read"),
        Way(_less, (Need("pan", "pan-depth"), Need("pick-up", "pick-up-height")), "depth of the pan - height of the pick-up"))),
    _read("chain-slack", "timing", "slack of chain or belt", "slack"),
    Characteristic("dowel-room", "assembly", ("deck",), LENGTH, "room over the dowel in the head", (
        Way(_room, (Need("hole", "dowel-hole", "head.{bank}"), Need("gasket", "gasket-thickness", "gasket.{bank}"),
                    Need("dowel", "dowel-height")), "hole in the head + gasket - dowel above the deck"),)),
    Characteristic("seal-interference", "assembly", ("seal",), LENGTH, "seal in its bore", (
        Way(_less, (Need("seal", "seal-outside"), Need("bore", "seal-bore")), "outside of the seal - its bore"),)),
    Characteristic("seal-centring", "assembly", ("seal",), LENGTH, "seal bore out of centre, whole reading", (
        Uneven("seal-centring", "row", "largest difference round the clock"),)),
    _read("gasket-stand-off", "cyl", "gasket clear of the bore"),
)
