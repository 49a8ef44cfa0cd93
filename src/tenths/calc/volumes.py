"""Chamber arithmetic: swept and clearance volumes, compression, cuts, bores and ring gaps."""

import math
from collections.abc import Sequence

from tenths.calc import motion
from tenths.calc._check import finite, not_negative, positive
from tenths.errors import BadInput, OutOfRange


def swept_volume(*, bore: float, stroke: float) -> float:
    """Volume that one piston sweeps.

    Args:
        bore: of the cylinder [m].
        stroke: of the piston [m].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: any engine.
    Source: definition.
    """
    positive(bore=bore, stroke=stroke)
    return math.pi / 4 * bore * bore * stroke


def displacement(*, swept: Sequence[float]) -> float:
    """Volume that all pistons sweep in a stroke each.

    Args:
        swept: volume of each cylinder [m3].

    Returns:
        The total [m3].

    Raises:
        OutOfRange: if one is not above 0.
        BadInput: if there is none.

    Validity: any engine.
    Source: definition.
    """
    if not swept:
        raise BadInput("swept holds no cylinder: at least one volume is needed")
    for volume in swept:
        positive(swept=volume)
    return math.fsum(swept)


def deck_clearance(*, deck_height: float, stroke: float, rod_length: float, compression_height: float) -> float:
    """How far the piston stands below the deck at top dead centre, from the stack of sizes.

    Args:
        deck_height: main bearing axis to deck [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        compression_height: piston pin axis to the flat of the crown [m].

    Returns:
        The clearance [m], negative where the piston stands out of the bore.

    Raises:
        OutOfRange: if one of them is not above 0.

    Validity: pin offset of no more than a few hundredths of the rod length, which lowers the piston by less than
        offset^2 / (2 (rod_length + stroke/2)).
    Source: definition.
    """
    positive(deck_height=deck_height, stroke=stroke, rod_length=rod_length, compression_height=compression_height)
    return deck_height - (stroke / 2 + rod_length + compression_height)


def squish_clearance(*, deck_clearance: float, gasket_thickness: float) -> float:
    """Room between the flat of the piston and the flat of the head at top dead centre, cold and standing.

    Args:
        deck_clearance: piston below the deck + [m].
        gasket_thickness: as tightened [m].

    Returns:
        The room [m]; negative means contact.

    Raises:
        OutOfRange: if the gasket is thinner than 0 or a value is not finite.

    Validity: flat head face; no stretch of the rod, no rock of the piston.
    Source: definition.
    """
    finite(deck_clearance=deck_clearance)
    not_negative(gasket_thickness=gasket_thickness)
    return deck_clearance + gasket_thickness


def gasket_volume(*, bore: float, thickness: float) -> float:
    """Volume inside the gasket's round hole.

    Args:
        bore: of the gasket [m].
        thickness: as tightened [m].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if the bore is not above 0 or the thickness below 0.

    Validity: round hole.
    Source: definition.
    """
    positive(bore=bore)
    not_negative(thickness=thickness)
    return math.pi / 4 * bore * bore * thickness


def deck_volume(*, bore: float, deck_clearance: float) -> float:
    """Volume between the flat of the piston and the deck at top dead centre.

    Args:
        bore: of the cylinder [m].
        deck_clearance: piston below the deck + [m].

    Returns:
        The volume [m3], negative where the piston stands out of the bore.

    Raises:
        OutOfRange: if the bore is not above 0 or the clearance not finite.

    Validity: any engine.
    Source: definition.
    """
    positive(bore=bore)
    finite(deck_clearance=deck_clearance)
    return math.pi / 4 * bore * bore * deck_clearance


def crevice_volume(*, bore: float, top_land_diameter: float, top_land_height: float) -> float:
    """Volume of the gap around the top land, crown edge to top ring.

    Args:
        bore: of the cylinder [m].
        top_land_diameter: of the piston [m].
        top_land_height: crown edge to the upper face of the top ring [m].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if a size is not above 0 (the height may be 0) or the land is larger than the bore.

    Validity: cold sizes; the gap shrinks when the piston is hot.
    Source: definition.
    """
    positive(bore=bore, top_land_diameter=top_land_diameter)
    not_negative(top_land_height=top_land_height)
    if top_land_diameter > bore:
        raise OutOfRange(f"top_land_diameter is {top_land_diameter:g}: no more than the bore, {bore:g} m, is accepted")
    return math.pi / 4 * (bore + top_land_diameter) * (bore - top_land_diameter) * top_land_height


def clearance_volume(
    *,
    chamber: float,
    gasket: float,
    deck: float,
    dish: float = 0.0,
    dome: float = 0.0,
    pockets: float = 0.0,
    crevice: float = 0.0,
) -> float:
    """Volume above the piston at top dead centre.

    Args:
        chamber: in the head [m3].
        gasket: inside the gasket [m3].
        deck: between piston flat and deck, negative where the piston stands out [m3].
        dish: below the piston's flat [m3].
        dome: above the piston's flat [m3].
        pockets: valve pockets below the flat, unless counted in dish or dome [m3].
        crevice: around the top land [m3].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if one of them but the deck is negative, or nothing is left.

    Validity: any engine.
    Source: definition.
    """
    not_negative(chamber=chamber, gasket=gasket, dish=dish, dome=dome, pockets=pockets, crevice=crevice)
    finite(deck=deck)
    total = chamber + gasket + deck + dish - dome + pockets + crevice
    if total <= 0.0:
        raise OutOfRange(f"clearance volume comes to {total:g} m3: dome {dome:g} or deck {deck:g} leaves no room")
    return total


def compression_ratio(*, swept: float, clearance: float) -> float:
    """Largest over smallest volume.

    Args:
        swept: of one cylinder [m3].
        clearance: of the same [m3].

    Returns:
        The ratio [-].

    Raises:
        OutOfRange: if either is not above 0.

    Validity: any engine.
    Source: definition.
    """
    positive(swept=swept, clearance=clearance)
    return (swept + clearance) / clearance


def effective_compression_ratio(
    *,
    bore: float,
    stroke: float,
    rod_length: float,
    clearance: float,
    intake_closes: float,
    pin_offset: float = 0.0,
) -> float:
    """Volume where the intake valve closes over the smallest volume.

    Args:
        bore: of the cylinder [m].
        stroke: twice the crank radius [m].
        rod_length: between the rod's centres [m].
        clearance: volume at top dead centre [m3].
        intake_closes: after bottom dead centre, on a wheel that reads 0 at top and half a turn at bottom [rad].
        pin_offset: of the piston pin, towards the thrust side + [m].

    Returns:
        The ratio [-].

    Raises:
        OutOfRange: if the closing lies a half turn or more off, the clearance is not above 0, or the rod is too short.

    Validity: -pi < intake_closes < pi; says nothing of how well the cylinder fills.
    Source: definition, closed form of the slider-crank.
    """
    positive(clearance=clearance)
    if not -math.pi < intake_closes < math.pi:
        raise OutOfRange(f"intake_closes is {intake_closes:g} rad: less than half a turn either way is accepted")
    top, _ = motion.dead_centres(stroke=stroke, rod_length=rod_length, pin_offset=pin_offset)
    volume = motion.cylinder_volume(
        top + math.pi + intake_closes,
        bore=bore,
        stroke=stroke,
        rod_length=rod_length,
        clearance=clearance,
        pin_offset=pin_offset,
    )
    return volume / clearance


def clearance_for_ratio(*, swept: float, ratio: float) -> float:
    """Clearance volume that gives a compression ratio.

    Args:
        swept: of one cylinder [m3].
        ratio: wanted [-].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if the swept volume is not above 0 or the ratio not above 1.

    Validity: ratio > 1.
    Source: definition.
    """
    positive(swept=swept)
    if not 1.0 < ratio < math.inf:
        raise OutOfRange(f"ratio is {ratio:g}: more than 1 is needed")
    return swept / (ratio - 1.0)


def chamber_for_ratio(*, swept: float, ratio: float, rest: float) -> float:
    """Chamber volume in the head that gives a compression ratio.

    Args:
        swept: of one cylinder [m3].
        ratio: wanted [-].
        rest: clearance volume without the chamber: gasket + deck + dish - dome + pockets + crevice [m3].

    Returns:
        The chamber volume [m3].

    Raises:
        OutOfRange: if the ratio is not above 1, or the rest alone is already more than the ratio allows.

    Validity: ratio > 1.
    Source: definition.
    """
    finite(rest=rest)
    chamber = clearance_for_ratio(swept=swept, ratio=ratio) - rest
    if chamber < 0.0:
        raise OutOfRange(f"ratio is {ratio:g}: the rest of the clearance, {rest:g} m3, is already too much for it")
    return chamber


def deck_cut_for_ratio(*, bore: float, swept: float, clearance: float, ratio: float) -> float:
    """How much to take off the deck to come to a compression ratio.

    Args:
        bore: of the cylinder [m].
        swept: volume [m3].
        clearance: volume now [m3].
        ratio: wanted [-].

    Returns:
        The cut [m]; negative means that the deck is already too low.

    Raises:
        OutOfRange: if a size is not above 0 or the ratio not above 1.

    Validity: the piston stays clear of the head: look at the squish clearance after the cut.
    Source: definition.
    """
    positive(bore=bore, clearance=clearance)
    return (clearance - clearance_for_ratio(swept=swept, ratio=ratio)) / (math.pi / 4 * bore * bore)


def chamber_after_cut(*, chamber: float, plan_area: float, cut: float) -> float:
    """Chamber volume after the head's face has been cut.

    Args:
        chamber: volume now [m3].
        plan_area: of the chamber's opening in the face [m2].
        cut: taken off [m].

    Returns:
        The volume [m3].

    Raises:
        OutOfRange: if a value is negative, or the cut takes the whole chamber.

    Validity: walls square to the face over the depth of the cut.
    Source: definition.
    """
    positive(chamber=chamber, plan_area=plan_area)
    not_negative(cut=cut)
    left = chamber - plan_area * cut
    if left <= 0.0:
        raise OutOfRange(f"cut is {cut:g}: it takes away the whole chamber of {chamber:g} m3")
    return left


def ring_gap_change(*, bore_growth: float) -> float:
    """How much a ring's end gap opens when the hole grows.

    Args:
        bore_growth: of the diameter [m]; negative for a smaller hole.

    Returns:
        The change of the gap [m].

    Raises:
        OutOfRange: if the growth is not finite.

    Validity: growth small beside the bore, ring square in a round hole.
    Source: closed form, the circumference grows by pi times the diameter.
    """
    finite(bore_growth=bore_growth)
    return math.pi * bore_growth


def filing_left(*, target_gap: float, gap: float, bore_growth: float = 0.0) -> float:
    """How much is still to be filed off a ring's end.

    Args:
        target_gap: wanted in the hole where the ring will run [m].
        gap: as read [m].
        bore_growth: diameter of the hole where it will run less that of the hole where it was read [m].

    Returns:
        What is left to file [m]; negative means that the gap is already too wide by so much.

    Raises:
        OutOfRange: if a gap is negative or the growth not finite.

    Validity: as ring_gap_change.
    Source: definition and closed form of ring_gap_change.
    """
    not_negative(target_gap=target_gap, gap=gap)
    return target_gap - gap - ring_gap_change(bore_growth=bore_growth)


def bore_taper(*, readings: Sequence[Sequence[float]]) -> float:
    """Largest difference of diameter down one side of a hole.

    Args:
        readings: diameters [m], one row per height from the top, one column per axis.

    Returns:
        The taper [m], without sign.

    Raises:
        BadInput: if there are fewer than two heights or the rows are of unlike length.
        OutOfRange: if a diameter is not above 0.

    Validity: shop definition, a difference of diameters; cylindricity by [ISO1101] is a radial width and smaller.
    Source: common practice, no source.
    """
    _check_grid(readings, heights=2, axes=1)
    return max(max(column) - min(column) for column in zip(*readings, strict=True))


def bore_out_of_round(*, readings: Sequence[Sequence[float]]) -> float:
    """Largest difference between diameters at one height of a hole.

    Args:
        readings: diameters [m], one row per height from the top, one column per axis.

    Returns:
        The out-of-round [m], without sign.

    Raises:
        BadInput: if there are fewer than two axes or the rows are of unlike length.
        OutOfRange: if a diameter is not above 0.

    Validity: shop definition, a difference of diameters; roundness by [ISO1101] is a radial width and smaller.
    Source: common practice, no source.
    """
    _check_grid(readings, heights=1, axes=2)
    return max(max(row) - min(row) for row in readings)


def _check_grid(readings: Sequence[Sequence[float]], *, heights: int, axes: int) -> None:
    if len(readings) < heights or any(len(row) != len(readings[0]) for row in readings) or len(readings[0]) < axes:
        raise BadInput(f"readings: at least {heights} height(s) of {axes} axis (axes) each are needed, all rows alike")
    for row in readings:
        for diameter in row:
            positive(readings=diameter)
