"""What is matched: cylinders with what does not change, and pistons, rods and pins with their sizes and weights."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tenths.choose.words import THOU
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, combine, difference, exact, linear

NOUGHT = exact(0.0)


@dataclass(frozen=True, slots=True)
class Window:
    """Limits and target of a value, each None where nobody says.

    Attributes:
        lower: smallest allowed.
        target: aimed at.
        upper: largest allowed.
    """

    lower: float | None = None
    target: float | None = None
    upper: float | None = None


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A hole with its chamber and throw.

    Attributes:
        station: address, such as cyl.5.
        bore: diameter where the piston is gauged [m].
        stroke: twice the throw [m].
        deck: deck height less half the stroke: how high rod and piston together may stand [m].
        chamber: volume in head and gasket [m3], or None where compression is not to be told.
        lower: smallest piston to wall clearance allowed [m].
        target: clearance wanted [m].
        upper: largest allowed [m].
        most_honed: how much the hole may be honed at most, on the diameter [m].
        gasket: its thickness tightened [m], or None where no squish is to be told.
        ratio: limits of the compression ratio [-].
        squish: limits of the squish clearance [m].
    """

    station: str
    bore: Estimate
    stroke: Estimate
    deck: Estimate
    chamber: Estimate | None
    lower: float
    target: float
    upper: float
    most_honed: float = 5 * THOU
    gasket: Estimate | None = None
    ratio: Window = field(default_factory=Window)
    squish: Window = field(default_factory=Window)

    def __post_init__(self) -> None:
        if not self.lower <= self.target <= self.upper:
            raise BadInput(
                f"{self.station}: piston to wall: target {self.target:g} m must lie within {self.lower:g} to {self.upper:g} m"
            )


@dataclass(frozen=True, slots=True)
class Piston:
    """A piston.

    Attributes:
        id: of the piston.
        skirt: diameter at the gauge point [m].
        height: pin axis to the flat of the crown [m].
        hollow: dish, valve pockets and top land crevice, less dome [m3].
        weight: mass [kg].
    """

    id: str
    skirt: Estimate
    height: Estimate = NOUGHT
    hollow: Estimate = NOUGHT
    weight: Estimate = NOUGHT


@dataclass(frozen=True, slots=True)
class Rod:
    """A connecting rod.

    Attributes:
        id: of the rod.
        length: between centres [m].
        small_end: mass of the small end [kg].
    """

    id: str
    length: Estimate = NOUGHT
    small_end: Estimate = NOUGHT


@dataclass(frozen=True, slots=True)
class WristPin:
    """A piston pin.

    Attributes:
        id: of the pin.
        weight: mass [kg].
    """

    id: str
    weight: Estimate = NOUGHT


@dataclass(frozen=True, slots=True)
class Placed:
    """A cylinder with its parts, and what they come to.

    Attributes:
        cylinder: the hole.
        piston: that goes in.
        rod: that goes in.
        pin: that goes in, or None where they are not told apart.
        hone: to be taken out of the hole, on the diameter [m].
        wall: piston to wall clearance [m].
        ratio: compression ratio [-], or None.
        squish: squish clearance [m], or None.
        weight: piston, pin and small end together [kg].
    """

    cylinder: Cylinder
    piston: Piston
    rod: Rod
    pin: WristPin | None
    hone: float
    wall: Estimate
    ratio: Estimate | None
    squish: Estimate | None
    weight: Estimate


def placed(cylinder: Cylinder, piston: Piston, rod: Rod, pin: WristPin | None, hone: float) -> Placed:
    """What a cylinder comes to with its parts.

    Args:
        cylinder: the hole.
        piston: in it.
        rod: in it.
        pin: in it, or None.
        hone: taken out of the hole first, on the diameter [m].

    Returns:
        Clearance, compression ratio, squish and weight, each with its doubt.

    Raises:
        BadInput: if the clearance volume comes to nothing or less.

    Source: V = chamber + pi/4 B^2 (deck - rod - height) + hollow, and 1 + pi/4 B^2 S / V; closed form.
    """
    bore = combine((1.0,), (cylinder.bore,), constant=hone)
    standing = combine((1.0, -1.0, -1.0), (cylinder.deck, rod.length, piston.height))
    ratio = None if cylinder.chamber is None else _compression(cylinder, cylinder.chamber, bore, standing, piston.hollow)
    squish = None if cylinder.gasket is None else combine((1.0, 1.0), (standing, cylinder.gasket))
    masses = (piston.weight, rod.small_end, *((pin.weight,) if pin else ()))
    return Placed(cylinder, piston, rod, pin, hone, difference(bore, piston.skirt), ratio, squish,
                  combine([1.0] * len(masses), masses))


def _compression(cylinder: Cylinder, chamber: Estimate, bore: Estimate, standing: Estimate, hollow: Estimate) -> Estimate:
    space = combine((1.0, 1.0), (chamber, hollow))
    volume = math.pi / 4 * bore.value**2 * standing.value + space.value
    if volume <= 0:
        raise BadInput(f"{cylinder.station}: clearance volume comes to {volume * 1e6:.3g} cc; look at deck, rod and piston height")
    return linear(_ratio, bore, cylinder.stroke, standing, space)


def _ratio(bore: float, stroke: float, standing: float, space: float) -> float:
    area = math.pi / 4 * bore**2
    return 1.0 + area * stroke / (area * standing + space)
