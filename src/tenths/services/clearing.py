"""Clearances in motion: typed outlines held against each other over a full turn, with the least value and where it is."""

from cmath import rect
from collections.abc import Iterable
from math import degrees

from tenths.calc import motion, sweep
from tenths.engine.quantity import Quantity
from tenths.errors import TenthsError
from tenths.logbook.joints import Drawn
from tenths.services.amounts import Answer
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

LEAST = 1.27e-3  # m, rod bolt or counterweight to anything: 0.050 in, common practice, no source
STEPS = 720


def clearances(shop: Shop, engine: str, units: str = "") -> Answer:
    """Every pair of outlines that must clear each other, closest first.

    Raises:
        BadInput: when the engine has no layout, or outlines are drawn but stroke or rod length are not known.
    """
    model = running_model(shop, engine, units)
    outlines = model.build.outlines
    if outlines:
        model.needed()
    rows = [_row(model, one, other) for one, other in pairs(outlines.values())]
    return {"engine": engine, "position": model.build.position,
            "outlines": [_outline(model, drawn) for drawn in outlines.values()],
            "pairs": sorted(rows, key=lambda r: (r["clearance"]["value"] is None, r["clearance"]["value"] or 0.0)),
            "notes": ["Stiff parts in one plane; bearing play, stretch and heat are left out: the margin is for them.",
                      "Measured with clay or a feeler the reading goes before this; it is entered at the rod or the cylinder."]}


def pairs(outlines: Iterable[Drawn]) -> list[tuple[Drawn, Drawn]]:
    """Outlines that are held against each other: of the same cylinder, of bodies that move otherwise, each pair once."""
    known = list(outlines)
    found: list[tuple[Drawn, Drawn]] = []
    for k, one in enumerate(known):
        for other in known[k + 1:]:
            same = not one.body.cylinder or not other.body.cylinder or one.body.cylinder == other.body.cylinder
            if same and one.body.moves_with != other.body.moves_with and (_meant(one, other) and _meant(other, one)):
                found.append((one, other))
    return found


def _meant(one: Drawn, other: Drawn) -> bool:
    """Whether the first is to be held against the second; one names those it clears, or nobody, which means all."""
    return not one.body.clears or other.body.outline in one.body.clears


def as_outline(drawn: Drawn) -> sweep.Outline:
    """As the model of motion takes it."""
    return sweep.Outline(drawn.body.moves_with, drawn.points, drawn.radius)  # pyright: ignore[reportArgumentType] - vetted when it was drawn


def _outline(model: Model, drawn: Drawn) -> Answer:
    body = drawn.body
    return {"outline": body.outline, "words": body.words, "moves_with": body.moves_with, "points": list(body.points),
            "radius": model.amounts(drawn.radius, Quantity.LENGTH, figures=3), "cylinder": body.cylinder, "source": body.source,
            "clears": list(body.clears), "entry": drawn.mark.entry}


def _row(model: Model, one: Drawn, other: Drawn) -> Answer:
    wanted = [d.least for d in (one, other) if d.least is not None]
    least = max(wanted, default=LEAST)
    write = model.amounts
    row: Answer = {"one": one.body.outline, "other": other.body.outline, "words": f"{one.body.words} to {other.body.words}",
                   "least": write(least, Quantity.LENGTH, figures=3), "authority": "as stated" if wanted else "common practice, no source"}
    try:
        found = sweep.least_clearance(as_outline(one), as_outline(other), stroke=model.value("stroke"),
                                      rod_length=model.value("rod_length"), pin_offset=model.value("pin_offset"), steps=STEPS)
    except TenthsError as error:
        return row | {"clearance": write(None, Quantity.LENGTH), "angle": None, "along": write(None, Quantity.LENGTH),
                      "across": write(None, Quantity.LENGTH), "verdict": "not measured", "why": str(error)}
    return row | {"clearance": write(found.clearance, Quantity.LENGTH, figures=3), "angle": round(degrees(found.angle), 2),
                  "along": write(found.along, Quantity.LENGTH, figures=3), "across": write(found.across, Quantity.LENGTH, figures=3),
                  "verdict": "fits" if found.clearance >= least else "out", "why": ""}


def moved(model: Model, drawn: Drawn, angle: float) -> list[tuple[float, float]]:
    """The points of an outline with the crank at an angle [rad], (along, across) [m]: what a picture draws."""
    stroke, rod, offset = (model.value(name) for name in ("stroke", "rod_length", "pin_offset"))
    crank = rect(1.0, angle)
    lean = rect(1.0, -motion.rod_angle(angle, stroke=stroke, rod_length=rod, pin_offset=offset))
    pin = stroke / 2 * crank
    turn, origin = {"block": (1.0, 0.0), "crank": (crank, 0.0), "rod": (lean, pin),
                    "piston": (1.0, pin + rod * lean)}[drawn.body.moves_with]
    points = [origin + turn * complex(*point) for point in drawn.points]
    return [(p.real, p.imag) for p in points]
