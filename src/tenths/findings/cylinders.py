"""Bores, pistons, rings and pins."""

from tenths.calc import fits
from tenths.engine.quantity import Quantity
from tenths.findings.declare import Characteristic, Need, Uneven, Way

LENGTH = Quantity.LENGTH
BORE_AT_GAUGE = Need("bore", "bore", "cyl.{c}", ("gauge", "middle"))
PIN = Need("pin", "diameter", "cyl.{c}.pin")


def _same(value: float) -> float:
    return value


def _wall(bore: float, skirt: float) -> float:
    return fits.piston_to_wall(bore=bore, skirt=skirt)


def _ring_side(groove: float, ring: float) -> float:
    return fits.ring_side_clearance(groove_height=groove, ring_height=ring)


def _ring_back(bore: float, groove_diameter: float, ring_depth: float) -> float:
    return fits.ring_back_clearance(bore=bore, groove_diameter=groove_diameter, ring_depth=ring_depth)


def _less(larger: float, smaller: float) -> float:
    return larger - smaller


def _cylinder(name: str, kind: str, words: str, way: Way | Uneven, *, per: Need | None = None, fine: bool = False,
              ) -> Characteristic:
    return Characteristic(name, "cylinders", (kind,), LENGTH, words, (way,), per=per, fine=fine)


def _as_read(feature: str) -> Way:
    return Way(_same, (Need("value", feature),), "as read")


CHARACTERISTICS: tuple[Characteristic, ...] = (
    _cylinder("bore-size", "cyl", "bore size", Way(_same, (Need("bore", "bore"),), "mean of all places read")),
    _cylinder("bore-taper", "cyl", "bore taper", Uneven("bore", "row", "largest difference down one side")),
    _cylinder("bore-out-of-round", "cyl", "bore out of round", Uneven("bore", "column", "largest difference across")),
    _cylinder("piston-to-wall", "cyl", "piston to wall",
              Way(_wall, (BORE_AT_GAUGE, Need("skirt", "skirt", "cyl.{c}.piston")),
                  "bore at gauge height - skirt at the gauge point")),
    _cylinder("ring-end-gap", "ring", "ring end gap", _as_read("end-gap"), per=Need("bore", "bore", "cyl.{c}")),
    Characteristic("ring-side-clearance", "cylinders", ("ring",), LENGTH, "ring side clearance",
                   (_as_read("side-clearance"),
                    Way(_ring_side, (Need("groove", "groove-height"), Need("ring", "ring-height")), "groove - ring"))),
    _cylinder("ring-back-clearance", "ring", "ring back clearance",
              Way(_ring_back, (Need("bore", "bore", "cyl.{c}"), Need("groove", "groove-diameter"),
                               Need("ring", "ring-depth")), "(bore - groove bottom) / 2 - ring depth")),
    _cylinder("pin-to-piston", "wrist-pin", "piston pin in the piston",
              Way(_less, (Need("bore", "pin-bore", "cyl.{c}.piston"), PIN), "pin bore in the piston - piston pin")),
    _cylinder("pin-end-play", "wrist-pin", "piston pin end play", _as_read("end-play")),
    _cylinder("hone-ra", "cyl", "hone finish Ra", _as_read("hone-ra"), fine=True),
    _cylinder("hone-rpk", "cyl", "hone finish Rpk", _as_read("hone-rpk"), fine=True),
    _cylinder("hone-rk", "cyl", "hone finish Rk", _as_read("hone-rk"), fine=True),
    _cylinder("hone-rvk", "cyl", "hone finish Rvk", _as_read("hone-rvk"), fine=True),
)
