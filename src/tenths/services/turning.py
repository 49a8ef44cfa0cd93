"""The engine with its crank at an angle: how far each piston stands down, on which stroke, and what is least where."""

from math import degrees, radians
from typing import Any

from tenths.calc.motion import dead_centres, piston_depth, rod_angle
from tenths.engine.layout import CYCLE, Layout
from tenths.engine.quantity import Quantity, unit_for, unit_of, write
from tenths.errors import BadInput
from tenths.logbook.build import Build
from tenths.services.questions import Answer, drawing_sizes, system_of

STROKES = ("power", "exhaust", "intake", "compression")
AT_TOP = ("squish-clearance", "deck-clearance")  # findings that hold where the piston stands highest, the fullest first
DECIMALS = {"in": 3, "mm": 2}


def turned(build: Build, found: list[Answer], *, crank: float = 0.0, units: str = "") -> Answer:
    """Where the pistons stand, and at which angles the least clearances occur.

    Args:
        build: the engine.
        found: its findings.
        crank: the way the crank turns [deg]; 0 to 720 is a cycle.
        units: "inch" or "metric"; empty for the engine's own.

    Returns:
        The unit of lengths, the sizes of crank and rod [m], each cylinder with its angles and place, and the least
        clearances with their angle. Without stroke and rod length nothing is said of heights.

    Raises:
        BadInput: the engine has no layout yet.
    """
    if build.layout is None:
        raise BadInput("layout: it is not known yet, so there is no crank to turn")
    sizes, unit = drawing_sizes(build), unit_for(Quantity.LENGTH, system_of(build, units))
    known = {"stroke": sizes["stroke"], "rod_length": sizes["rod-length"], "pin_offset": sizes.get("pin-offset", 0.0)} \
        if {"stroke", "rod-length"} <= sizes.keys() else None
    decks = {f["station"].removeprefix("cyl."): f["value"] * float(unit_of(Quantity.LENGTH, f["unit"]).factor)
             for f in found if f["characteristic"] == "deck-clearance" and f["value"] is not None}
    cylinders = [_cylinder(build.layout, label, known, decks.get(label), crank % CYCLE, unit) for label in build.layout.labels]
    return {"crank": crank % CYCLE, "unit": unit, "per_metre": 1.0 / float(unit_of(Quantity.LENGTH, unit).factor),
            "decimals": DECIMALS.get(unit, 3), "throw": known, "cylinders": cylinders,
            "least": [row for name in AT_TOP for row in _least(name, found, cylinders)]}


def _cylinder(layout: Layout, label: str, known: dict[str, float] | None, deck: float | None, crank: float, unit: str) -> Answer:
    phase, fires = _phase(layout, label), _fires(layout, label)
    top = degrees(dead_centres(**known)[0]) if known else 0.0
    row: dict[str, Any] = {
        "cylinder": label, "phase": phase, "fires": fires, "deck_clearance": deck, "stroke": STROKES[int((crank - fires) % CYCLE // 180)],
        "tops": sorted(round((fires + top + turn) % CYCLE, 2) for turn in (0.0, 360.0)), "depth": None, "text": "", "rod_lean": None}
    if known:
        depth = piston_depth(radians(phase + crank), **known) + (deck or 0.0)
        row |= {"depth": depth, "text": write(depth, Quantity.LENGTH, unit=unit, decimals=DECIMALS.get(unit, 3)),
                "rod_lean": abs(degrees(rod_angle(radians(phase + crank), **known)))}
    return row


def _phase(layout: Layout, label: str) -> float:
    """Crank angle after the crankpin's own top when the crank stands at 0 [deg]."""
    return -layout.top_dead_centre(label) % 360.0


def _fires(layout: Layout, label: str) -> float:
    """Crank angle of the top dead centre after which the cylinder fires [deg]."""
    return (layout.top_dead_centre(layout.firing_order[0]) + layout.firing_angles()[label]) % CYCLE


def _least(name: str, found: list[Answer], cylinders: list[Answer]) -> list[Answer]:
    """A clearance at the piston's highest, the least of all cylinders."""
    own = [f for f in found if f["characteristic"] == name and f["value"] is not None]
    if not own:
        return []
    least = min(own, key=lambda f: f["value"])
    label = least["station"].removeprefix("cyl.")
    row = next((c for c in cylinders if c["cylinder"] == label), None)
    return [{"words": least["words"], "station": least["station"], "station_words": least["station_words"], "text": least["text"]["value"],
             "angles": row["tops"] if row else []}]
