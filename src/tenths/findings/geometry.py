"""Geometry of the combination: volumes, compression, squish, speeds."""

from collections.abc import Callable
from math import pi

from tenths.calc import knock, motion, volumes
from tenths.engine.quantity import Quantity
from tenths.findings.declare import Characteristic, Found, Need, Over, Way

BORE = Need("bore", "bore", "cyl.{c}", ("middle", "gauge"))
STROKE = Need("stroke", "stroke", "pin.{pin}")
ROD = Need("rod_length", "rod-length", "rod.{c}")
PIN_OFFSET = Need("pin_offset", "pin-offset", "engine", otherwise=0.0)
REDLINE = Need("speed", "redline", "engine")
CHAMBER = Need("chamber", "chamber-volume", "chamber.{c}")
GASKET_BORE = Need("gasket_bore", "gasket-bore", "gasket.{bank}")
GASKET_THICKNESS = Need("gasket_thickness", "gasket-thickness", "gasket.{bank}")
PISTON = (
    Need("dish", "dish-volume", "cyl.{c}.piston", otherwise=0.0),
    Need("dome", "dome-volume", "cyl.{c}.piston", otherwise=0.0),
    Need("pockets", "pocket-volume", "cyl.{c}.piston", otherwise=0.0),
    Need("top_land_diameter", "top-land-diameter", "cyl.{c}.piston", otherwise=0.0),
    Need("top_land_height", "top-land-height", "cyl.{c}.piston", otherwise=0.0),
)
DECK_READ = (Need("deck", "deck-clearance", "cyl.{c}"),)
DECK_STACK = (
    Need("deck_height", "deck-height", "deck.{bank}"),
    STROKE,
    ROD,
    Need("compression_height", "compression-height", "cyl.{c}.piston"),
)


def _deck_of_stack(deck_height: float, stroke: float, rod_length: float, compression_height: float) -> float:
    return volumes.deck_clearance(deck_height=deck_height, stroke=stroke, rod_length=rod_length,
                                  compression_height=compression_height)


def _same(value: float) -> float:
    return value


def _swept(bore: float, stroke: float) -> float:
    return volumes.swept_volume(bore=bore, stroke=stroke)


def _squish(gasket_thickness: float, deck: float) -> float:
    return volumes.squish_clearance(deck_clearance=deck, gasket_thickness=gasket_thickness)


CLEARANCE_NEEDS = (BORE, CHAMBER, GASKET_BORE, GASKET_THICKNESS, *PISTON)


def _clearance(bore: float, chamber: float, gasket_bore: float, gasket_thickness: float, dish: float, dome: float,
               pockets: float, top_land_diameter: float, top_land_height: float, deck: float) -> float:
    crevice = 0.0
    if top_land_diameter and top_land_height:
        crevice = volumes.crevice_volume(bore=bore, top_land_diameter=top_land_diameter, top_land_height=top_land_height)
    return volumes.clearance_volume(
        chamber=chamber, gasket=volumes.gasket_volume(bore=gasket_bore, thickness=gasket_thickness),
        deck=volumes.deck_volume(bore=bore, deck_clearance=deck), dish=dish, dome=dome, pockets=pockets, crevice=crevice)


def _ratio(stroke: float, bore: float, *rest: float) -> float:
    return volumes.compression_ratio(swept=_swept(bore, stroke), clearance=_clearance(bore, *rest))


def _effective_ratio(closes: float, rod_length: float, pin_offset: float, stroke: float, bore: float,
                     *rest: float) -> float:
    return volumes.effective_compression_ratio(
        bore=bore, stroke=stroke, rod_length=rod_length, pin_offset=pin_offset, clearance=_clearance(bore, *rest),
        intake_closes=closes)


def _with_deck(formula: Callable[..., float], needs: tuple[Need, ...], words: str) -> tuple[Way, ...]:
    """The formula with the deck clearance as read, and as it follows from the stack of sizes."""
    split = len(needs)

    def from_stack(*values: float) -> float:
        return formula(*values[:split], _deck_of_stack(*values[split:]))

    return (Way(formula, (*needs, *DECK_READ), words),
            Way(from_stack, (*needs, *DECK_STACK), f"{words}; deck clearance from the stack of sizes"))


def _mean_speed(stroke: float, speed: float) -> float:
    return motion.mean_piston_speed(stroke=stroke, speed=speed)


def _peak_speed(stroke: float, rod_length: float, pin_offset: float, speed: float) -> float:
    return motion.peak_piston_speed(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset, speed=speed)


def _peak_acceleration(stroke: float, rod_length: float, pin_offset: float, speed: float) -> float:
    return motion.peak_piston_acceleration(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset, speed=speed)


def _rod_ratio(rod_length: float, stroke: float) -> float:
    return motion.rod_ratio(stroke=stroke, rod_length=rod_length)


def _rod_angle(stroke: float, rod_length: float, pin_offset: float) -> float:
    return motion.largest_rod_angle(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)


LOWEST_PULL = Need("speed", "lowest-pull", "engine", otherwise=2000 * pi / 30)
MODEL = Need("model", "octane-model", "engine", otherwise=0.0, doubt=4.0)  # what the estimate itself is good for, one sigma


def _octane(ratio: float, rod_ratio: float, closes: float, speed: float, model: float) -> float:
    return model + knock.octane_needed(compression_ratio=ratio, rod_ratio=rod_ratio, speed=speed, intake_closes=closes)


def _less(larger: float, smaller: float) -> float:
    return larger - smaller


CYL = ("cyl",)
MOVING = (STROKE, ROD, PIN_OFFSET, REDLINE)
CHARACTERISTICS: tuple[Characteristic, ...] = (
    Characteristic("swept-volume", "geometry", CYL, Quantity.VOLUME, "swept volume",
                   (Way(_swept, (BORE, STROKE), "pi/4 x bore squared x stroke"),), planning=True),
    Characteristic("displacement", "geometry", ("engine",), Quantity.VOLUME, "displacement",
                   (Over("swept-volume", "total", "swept volumes of all cylinders added"),), planning=True),
    Characteristic("deck-clearance", "geometry", CYL, Quantity.LENGTH, "piston below deck at TDC",
                   (Way(_same, DECK_READ, "read on both sides of the pin's axis, averaged"),
                    Way(_deck_of_stack, DECK_STACK, "deck height - (stroke/2 + rod + compression height)")),
                   planning=True),
    Characteristic("deck-spread", "geometry", ("deck",), Quantity.LENGTH, "deck clearance, spread along the bank",
                   (Over("deck-clearance", "spread", "largest less smallest deck clearance of the bank"),)),
    Characteristic("squish-clearance", "geometry", CYL, Quantity.LENGTH, "squish clearance",
                   _with_deck(_squish, (GASKET_THICKNESS,), "deck clearance + gasket tightened"), planning=True),
    Characteristic("clearance-volume", "geometry", CYL, Quantity.VOLUME, "clearance volume",
                   _with_deck(_clearance, CLEARANCE_NEEDS,
                              "chamber + gasket + deck + dish - dome + pockets + top land crevice"), planning=True),
    Characteristic("compression-ratio", "geometry", CYL, Quantity.RATIO, "compression ratio",
                   _with_deck(_ratio, (STROKE, *CLEARANCE_NEEDS), "(swept + clearance volume) / clearance volume"),
                   planning=True),
    Characteristic("compression-spread", "geometry", ("engine",), Quantity.RATIO, "compression ratio, spread",
                   (Over("compression-ratio", "spread", "highest less lowest compression ratio"),), planning=True),
    Characteristic("effective-ratio", "geometry", CYL, Quantity.RATIO, "compression ratio from intake closing",
                   _with_deck(_effective_ratio, (Need("closes", "intake-closes", "engine"), ROD, PIN_OFFSET, STROKE,
                                                 *CLEARANCE_NEEDS),
                              "volume where the intake closes / clearance volume"), planning=True),
    Characteristic("rod-ratio", "geometry", CYL, Quantity.RATIO, "rod to stroke ratio",
                   (Way(_rod_ratio, (ROD, STROKE), "rod length / stroke"),), planning=True),
    Characteristic("octane-needed", "geometry", CYL, Quantity.RATIO, "octane needed at full throttle",
                   (Way(_octane, (Found("compression-ratio"), Found("rod-ratio"),
                                  Need("closes", "intake-closes", "engine", otherwise=pi / 3), LOWEST_PULL, MODEL),
                        "time to self-ignition of the end gas against the burn, at the lowest full-throttle speed; an "
                        "estimate from the combination alone"),), planning=True),
    Characteristic("knock-margin", "geometry", CYL, Quantity.RATIO, "octane of the fuel over what is needed",
                   (Way(_less, (Need("fuel", "fuel-octane", "engine"), Found("octane-needed")),
                        "octane of the fuel - octane needed"),), planning=True),
    Characteristic("rod-angle", "geometry", CYL, Quantity.ANGLE, "largest rod angle",
                   (Way(_rod_angle, MOVING[:3], "asin((stroke/2 + pin offset) / rod)"),), planning=True),
    Characteristic("mean-piston-speed", "geometry", CYL, Quantity.VELOCITY, "mean piston speed at the highest speed",
                   (Way(_mean_speed, (STROKE, REDLINE), "2 x stroke x speed"),), planning=True),
    Characteristic("peak-piston-speed", "geometry", CYL, Quantity.VELOCITY, "peak piston speed",
                   (Way(_peak_speed, MOVING, "largest over a turn, exact slider-crank"),), planning=True),
    Characteristic("peak-acceleration", "geometry", CYL, Quantity.ACCELERATION, "peak piston acceleration",
                   (Way(_peak_acceleration, MOVING, "largest over a turn, exact slider-crank"),), planning=True),
)
