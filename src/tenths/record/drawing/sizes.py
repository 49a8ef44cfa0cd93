"""The sizes that the drawing knows, what they mean, and what is assumed in proportion where one is not given."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tenths.engine.layout import Camshaft, Layout
from tenths.errors import BadInput

Known = Mapping[str, float]
FLYING_WEB = 0.09  # bores: the web between two crankpins of one throw


@dataclass(frozen=True, slots=True)
class Shape:
    """What the proportions depend on in a layout, and the lengths along the crank that follow from it."""

    banks: int
    shared: bool  # several rods on one crankpin
    per_throw: float  # crankpins on a throw
    every_main: bool  # each cylinder has its own throw between two mains, though there are several banks
    many: bool  # more than two valves a cylinder
    block_cam: bool

    @property
    def main(self) -> float:
        """Width of a main journal [bores]."""
        return 0.18 if self.every_main else 0.27

    @property
    def pin(self) -> float:
        """Width of a crankpin [bores]."""
        if self.shared:
            return 0.46
        return 0.20 if self.every_main else 0.23 if self.per_throw > 1 else 0.29

    @property
    def cheek(self) -> float:
        """Thickness of a cheek [bores]."""
        return 0.11 if self.every_main else 0.17 if self.banks > 1 else 0.20

    def throw_width(self, d: Known) -> float:
        """Width of the crankpins that serve one place of all banks, with what stands between them [m]."""
        pin, cheek = d["pin-width"], d["cheek-width"]
        if self.shared or self.banks == 1:
            return pin
        if self.per_throw > 1:
            return self.per_throw * pin + (self.per_throw - 1) * FLYING_WEB * d["bore"]
        between = cheek if not self.every_main else d["main-width"] + 2 * cheek
        return self.banks * pin + (self.banks - 1) * between

    def spacing(self, d: Known) -> float:
        """Bore spacing that the crank needs and that leaves a wall between the bores [m]."""
        return max(1.12 * d["bore"], self.throw_width(d) + 2 * d["cheek-width"] + d["main-width"])

    def offset(self, d: Known) -> float:
        """How far one bank stands behind the next [m]."""
        if self.banks == 1:
            return 0.0
        if self.shared:
            return d["pin-width"] / self.banks
        if self.per_throw > 1:
            return d["pin-width"] + FLYING_WEB * d["bore"]
        if self.every_main:
            return d.get("bore-spacing", self.spacing(d)) / self.banks
        return d["pin-width"] + d["cheek-width"]


def shape_of(layout: Layout) -> Shape:
    """The shape of a layout."""
    banks, per_throw = len(layout.banks), len(layout.pins) / layout.throws
    shared = any(len(layout.on_pin(p.number)) > 1 for p in layout.pins)
    return Shape(banks, shared, per_throw,
                 banks > 1 and not shared and per_throw == 1 and layout.mains > layout.throws,
                 len(layout.valves) > 2, any(in_block(layout, s) for s in layout.camshafts))


def in_block(layout: Layout, shaft: Camshaft) -> bool:
    """Whether a camshaft lies in the block: it serves several banks, or is not named after its bank."""
    banks = {layout.cylinder(label).bank for label, _ in shaft.drives}
    return len(banks) > 1 or not any(shaft.name in {bank, bank + "in", bank + "ex"} for bank in banks)


@dataclass(frozen=True, slots=True)
class Size:
    """One size: its name, what it is in words, and its value in proportion to those before it [m]."""

    name: str
    words: str
    assume: Callable[[Known, Shape], float]


@dataclass(frozen=True, slots=True)
class Dimensions:
    """Every size of the drawing [m], and the names of those that were assumed."""

    values: Known
    assumed: frozenset[str]

    def __getitem__(self, name: str) -> float:
        return self.values[name]

    def guess(self, *names: str) -> bool:
        """Whether any of these sizes was assumed."""
        return not self.assumed.isdisjoint(names)


def _bore(d: Known, _: Shape) -> float:
    for name, part in (("stroke", 0.92), ("bore-spacing", 1.14), ("piston-diameter", 1.0), ("deck-height", 2.35)):
        if name in d:
            return d[name] / part
    return 0.096


def _rod(d: Known, _: Shape) -> float:
    if "deck-height" in d:
        height = d["compression-height"] if "compression-height" in d else 0.40 * d["bore"]
        return d["deck-height"] - d["stroke"] / 2 - height
    return 1.65 * d["stroke"]


def _compression_height(d: Known, _: Shape) -> float:
    left = d.get("deck-height", 0.0) - d["stroke"] / 2 - d["rod-length"]
    return left if "deck-height" in d and left > 0.15 * d["bore"] else 0.40 * d["bore"]


# In the order in which they are worked out.
SIZES: tuple[Size, ...] = (
    Size("bore", "bore", _bore),
    Size("stroke", "stroke", lambda d, _: 0.92 * d["bore"]),
    Size("rod-length", "rod, centre to centre", _rod),
    Size("compression-height", "piston pin to crown", _compression_height),
    Size("deck-height", "crank centre line to deck",
         lambda d, _: d["stroke"] / 2 + d["rod-length"] + d["compression-height"]),
    Size("main-journal", "main journal diameter", lambda d, _: 0.60 * d["bore"]),
    Size("pin-journal", "crankpin diameter", lambda d, _: 0.53 * d["bore"]),
    Size("main-width", "main journal width, between the cheeks", lambda d, shape: shape.main * d["bore"]),
    Size("pin-width", "crankpin width, between the cheeks", lambda d, shape: shape.pin * d["bore"]),
    Size("cheek-width", "crank cheek thickness", lambda d, shape: shape.cheek * d["bore"]),
    Size("bank-offset", "second bank behind the first", lambda d, shape: shape.offset(d)),
    Size("bore-spacing", "bore centre to bore centre in one bank", lambda d, shape: shape.spacing(d)),
    Size("block-length", "front to rear face of the block", lambda _, __: 0.0),
    Size("bore-length", "length of the bore from the deck", lambda d, _: min(
        d["stroke"] + 0.62 * d["bore"], d["deck-height"] - d["stroke"] / 2 - d["pin-journal"] * 0.72)),
    Size("piston-pin", "piston pin diameter", lambda d, _: 0.23 * d["bore"]),
    Size("pin-offset", "piston pin offset, towards the thrust side +", lambda _, __: 0.0),
    Size("piston-height", "piston crown to foot of the skirt", lambda d, _: d["compression-height"] + 0.30 * d["bore"]),
    Size("counterweight", "counterweight radius", lambda d, _: min(
        0.5 * d["stroke"] + 0.62 * d["pin-journal"],
        d["rod-length"] - d["stroke"] / 2 - (d["piston-height"] - d["compression-height"]) - 0.02 * d["bore"])),
    Size("gasket-thickness", "head gasket, tightened", lambda d, _: 0.010 * d["bore"]),
    Size("head-height", "gasket to top of head", lambda d, _: 0.62 * d["bore"]),
    Size("chamber-depth", "depth of the chamber in the head", lambda d, _: 0.13 * d["bore"]),
    Size("intake-valve", "intake valve head diameter", lambda d, shape: (0.36 if shape.many else 0.47) * d["bore"]),
    Size("exhaust-valve", "exhaust valve head diameter", lambda d, shape: (0.31 if shape.many else 0.39) * d["bore"]),
    Size("valve-length", "valve, face to tip", lambda d, _: 1.12 * d["bore"]),
    Size("valve-stem", "valve stem diameter", lambda d, _: 0.075 * d["bore"]),
    Size("valve-lift", "greatest lift of the valves", lambda d, _: 0.115 * d["bore"]),
    Size("cover-height", "valve tips to the top of the cover",
         lambda d, shape: (0.20 if shape.block_cam else 0.46) * d["bore"]),
    Size("cam-journal", "camshaft journal diameter", lambda d, shape: (0.46 if shape.block_cam else 0.30) * d["bore"]),
    Size("cam-height", "crank centre line to a camshaft in the block",
         lambda d, _: 0.5 * d["stroke"] + 0.87 * d["pin-journal"] + 0.36 * d["bore"]),
    Size("cam-side", "a camshaft in the block, to the side of the crank", lambda d, _: 0.87 * d["bore"]),
)
NAMES = tuple(size.name for size in SIZES)
WORDS = {size.name: size.words for size in SIZES}
MAIN_SIZES = ("bore", "stroke", "rod-length", "compression-height", "deck-height", "bore-spacing", "main-journal",
              "pin-journal", "main-width", "pin-width")  # those worth asking for


def dimensions(layout: Layout, sizes: Mapping[str, float]) -> Dimensions:
    """All sizes of the drawing, those not given assumed in proportion to those given.

    Args:
        layout: the engine's layout.
        sizes: given sizes by name [m]; names as in `SIZES`, any of them may be missing.

    Raises:
        BadInput: a name that is not known, a size that is not a length, or a crank that could not turn.
    """
    given = _checked(sizes)
    shape = shape_of(layout)
    known = dict(given)
    for size in SIZES:
        if size.name not in known:
            known[size.name] = size.assume(known, shape)
    _can_turn(known)
    return Dimensions({n: known[n] for n in NAMES}, frozenset(n for n in NAMES if n not in given))


def missing(layout: Layout, sizes: Mapping[str, float]) -> tuple[str, ...]:
    """The main sizes, in words, that a drawing of these sizes has to assume."""
    return tuple(WORDS[n] for n in MAIN_SIZES if n in dimensions(layout, sizes).assumed)


def _checked(sizes: Mapping[str, float]) -> dict[str, float]:
    for name, value in sizes.items():
        if name not in WORDS:
            raise BadInput(f"size: {name!r} is not known to the drawing; it knows {', '.join(NAMES)}")
        signed = name in {"pin-offset", "bank-offset"}
        if not (-10.0 if signed else 0.0) < value < 10.0:
            least = "-10" if signed else "above 0"
            raise BadInput(f"{name}: {value!r} m; a length {least} to 10 m is taken")
    return dict(sizes)


def _can_turn(d: Known) -> None:
    if d["rod-length"] <= d["stroke"] / 2 + abs(d["pin-offset"]):
        raise BadInput(f"rod-length: {d['rod-length']:g} m with a stroke of {d['stroke']:g} m and a pin offset of "
                       f"{d['pin-offset']:g} m; the crank turns only if the rod is longer than half the stroke "
                       "and the offset together")
    if d["deck-height"] < d["stroke"] / 2 + d["rod-length"] * 0.5:
        raise BadInput(f"deck-height: {d['deck-height']:g} m is less than half the stroke and half the rod, "
                       f"{d['stroke'] / 2 + d['rod-length'] * 0.5:g} m")
    if d["bore-spacing"] < d["bore"]:
        raise BadInput(f"bore-spacing: {d['bore-spacing']:g} m is less than the bore, {d['bore']:g} m")
