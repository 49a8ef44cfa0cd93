"""Rocker and push-rod: true ratio over the lift, track on the tip, push-rod length, preload, lash hot and cold; valve by valve."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, degrees, pi, sin

from tenths.calc.valves import rocker
from tenths.engine.quantity import Quantity, from_si, parse, unit_for
from tenths.engine.stations import station_map
from tenths.errors import BadInput, TenthsError
from tenths.findings.check import check
from tenths.metrology.thermal import MATERIALS
from tenths.services.amounts import Amounts, Answer
from tenths.services.gathered import Gathered
from tenths.services.questions import system_of
from tenths.services.shop import Shop
from tenths.services.valve_clearance import valves_of

LENGTH, ANGLE = Quantity.LENGTH, Quantity.ANGLE
NEEDED = ("rocker-arm", "rocker-push-arm", "nose-height", "lifter-across", "push-rod-length")
POINTS = 25
PROCEDURE = (
    "Fit light checking springs, and a solid lifter or one that cannot bleed down.",
    "Set an adjustable push-rod so that there is no play on the base circle, and read its length: that is the length at hand.",
    ("With the rocker's arm, cup and pivot measured, the table says the length for the least track. Set it, colour the tip, turn two "
     "turns by hand, look at the track: narrow and in the middle third of the tip."),
    "A hydraulic lifter wants its preload on top: the length for no play and what the plunger is to be pushed in.",
    ("A rocker on a shaft keeps its pivot: a longer push-rod only takes up the adjuster there. Shim or mill its stand until the nose "
     "stands half the lift above the pivot with the valve closed."),
)

@dataclass(frozen=True, slots=True)
class Warmed:
    """A piece that lash hot is reckoned from: what it moves, its length [m], material and rise [K]."""

    moves: str  # pivot, push or tip
    length: float
    material: str
    rise: float


def valve_rocker(shop: Shop, engine: str, units: str = "") -> Answer:
    """Rockers and push-rods, valve by valve.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.

    Raises:
        BadInput: when there is no such engine or it has no layout.
    """
    build = shop.build(engine)
    if build.layout is None:
        raise BadInput(f"engine: {engine!r} has no layout yet")
    write, look = Amounts(system_of(build, units)), Gathered(build, build.layout)
    found = {(f.characteristic.name, f.station): f for f in check(build, ["valve-lift", "rocker-sweep", "lifter-preload"])}
    rows: list[Answer] = []
    for station in valves_of(build):
        lift, sweep, load = (found.get((name, station)) for name in ("valve-lift", "rocker-sweep", "lifter-preload"))
        row: Answer = {"station": station, "words": station_map(look.layout)[station].words,
                       "lift": write(lift.value if lift else None, LENGTH),
                       "sweep": write(sweep.value if sweep else None, LENGTH, sweep.standard_uncertainty if sweep else None),
                       "sweep_verdict": str(sweep.verdict) if sweep else "not measured",
                       "preload": write(load.value if load else None, LENGTH, load.standard_uncertainty if load else None),
                       "preload_verdict": str(load.verdict) if load else "not measured"}
        rows.append(row | _geometry(look, station, lift.value if lift else None, write))
    curves = [_curve(look, row["station"], found["valve-lift", row["station"]].value, write) for row in _first_of_each(rows)]
    return {"engine": engine, "position": build.position, "valves": rows, "curves": [c for c in curves if c], "procedure": list(PROCEDURE)}


def _first_of_each(rows: list[Answer]) -> list[Answer]:
    sides = {row["station"].split(".")[2][:2]: row for row in reversed(rows) if row["mid_sweep"]["value"] is not None}
    return [sides[side] for side in ("in", "ex") if side in sides]


def _geometry(look: Gathered, station: str, lift: float | None, write: Amounts) -> Answer:
    """What needs the arm alone, and what needs the whole linkage."""
    none = write(None, LENGTH)
    row: Answer = dict.fromkeys(("mid_sweep", "nose_wanted", "nose", "length", "at_hand", "longer_by"), none) | {
        "ratio_closed": None, "ratio_mean": None, "ratio_open": None, "stated_ratio": None, "missing": ""}
    arm, nose, ratio = (look.at(station, name) for name in ("rocker-arm", "nose-height", "rocker-ratio"))
    row["stated_ratio"] = round(ratio.value, 4) if ratio else None
    if arm is None or lift is None:
        return row | {"missing": "rocker-arm and lift are needed"}
    try:
        best = rocker.mid_lift(valve_arm=arm.value, lift=lift)
        row |= {"mid_sweep": write(best.sweep, LENGTH), "nose_wanted": write(best.above, LENGTH),
                "nose": write(nose.value if nose else None, LENGTH, nose.u if nose else None)}
        linkage = linkage_of(look, station)
        lifter = _lifter_lifts(linkage, lift)
        moves, lengths = rocker.moved(linkage, lifter), rocker.least_sweep(linkage, lift=lift)
    except TenthsError as error:
        return row | {"missing": str(error)}
    return row | {"ratio_closed": round(moves.ratio[0], 4), "ratio_open": round(moves.ratio[-1], 4), "ratio_mean": round(moves.greatest, 4),
                  "length": write(lengths.length, LENGTH, figures=5), "at_hand": write(linkage.push_rod, LENGTH, figures=5),
                  "longer_by": write(lengths.length - linkage.push_rod, LENGTH, figures=3)}


def linkage_of(look: Gathered, station: str) -> rocker.Rocker:
    """The linkage of a valve as the log has it; raises BadInput naming what is missing."""
    sizes = {name: look.at(station, name) for name in (*NEEDED, "rocker-between", "lifter-lean")}
    missing = [name for name in NEEDED if sizes[name] is None]
    if missing:
        raise BadInput(f"{', '.join(missing)} of {station}: must be read or stated")
    value = {name: size.value for name, size in sizes.items() if size is not None}
    arm, nose = value["rocker-arm"], value["nose-height"]
    if not -arm < nose < arm:
        raise BadInput(f"nose-height of {station}: it must be less than the rocker's arm")
    return rocker.Rocker(valve_arm=arm, push_arm=value["rocker-push-arm"], between=value.get("rocker-between", pi), start=asin(nose / arm),
                         lifter_across=value["lifter-across"], lifter_lean=value.get("lifter-lean", 0.0), push_rod=value["push-rod-length"])


def _lifter_lifts(of: rocker.Rocker, lift: float) -> list[float]:
    """Lifts of the lifter up to where the valve has its own, by halving."""
    low, high = 0.0, lift
    for _ in range(40):
        middle = (low + high) / 2.0
        low, high = (middle, high) if rocker.moved(of, [0.0, middle]).valve[-1] < lift else (low, middle)
    return [high * k / (POINTS - 1) for k in range(POINTS)]


def _curve(look: Gathered, station: str, lift: float | None, write: Amounts) -> Answer | None:
    """Ratio and place of the nose over the lift, as it stands and set to mid-lift."""
    arm, nose = look.at(station, "rocker-arm"), look.at(station, "nose-height")
    if arm is None or nose is None or lift is None or not -arm.value < nose.value < arm.value:
        return None
    unit, start = unit_for(LENGTH, write.system), asin(nose.value / arm.value)
    best = rocker.mid_lift(valve_arm=arm.value, lift=lift)
    lifts = [lift * k / (POINTS - 1) for k in range(POINTS)]

    def places(angle: float) -> list[float]:
        heights = [arm.value * sin(angle) - x for x in lifts]
        across = [(arm.value**2 - min(h * h, arm.value**2)) ** 0.5 for h in heights]
        return [round(from_si(x - arm.value, LENGTH, unit), 6) for x in across]

    ratios: list[float] = []
    try:
        of = linkage_of(look, station)
        ratios = [round(r, 5) for r in rocker.moved(of, _lifter_lifts(of, lift)).ratio]
    except TenthsError:
        pass
    return {"station": station, "words": station_map(look.layout)[station].words, "unit": unit,
            "lift": [round(from_si(x, LENGTH, unit), 6) for x in lifts], "across": places(start), "across_mid": places(best.start),
            "ratio": ratios, "start": round(degrees(start), 3)}


# -- lash hot and cold -------------------------------------------------------------------------------------------------------

def hot_lash(shop: Shop, engine: str, units: str = "", *, cold: str, ratio: float, pieces: Sequence[str]) -> Answer:
    """Lash of a warm engine from the pieces between camshaft and valve.

    Args:
        shop: the shop.
        engine: whose units bare numbers and the answer are in.
        units: inch or metric; the engine's own when left out.
        cold: lash at the valve as set, as typed.
        ratio: of the rocker.
        pieces: each ``MOVES:LENGTH:MATERIAL:RISE``, such as ``pivot:230 mm:aluminium:65``; moves are pivot, push and tip.

    Raises:
        BadInput: for an engine, a lash or a piece that cannot be read.
    """
    write = Amounts(system_of(shop.build(engine), units))
    unit = unit_for(LENGTH, write.system)
    start = parse(cold, LENGTH, default_unit=unit, field="lash").si
    rows = [_piece(text, unit) for text in pieces]
    grown = {moves: rocker.growth([(p.length, MATERIALS[p.material].expansion, p.rise) for p in rows if p.moves == moves])
             for moves in ("pivot", "push", "tip")}
    hot = rocker.lash_when_hot(cold=start, ratio=ratio, **grown)
    return {"cold": write(start, LENGTH), "hot": write(hot, LENGTH), "change": write(hot - start, LENGTH, figures=3),
            **{name: write(value, LENGTH, figures=3) for name, value in grown.items()}}


def _piece(text: str, unit: str) -> Warmed:
    words = [word.strip() for word in text.split(":")]
    if len(words) != 4 or words[0] not in {"pivot", "push", "tip"} or words[2] not in MATERIALS:
        raise BadInput(f"piece: {text!r} is not MOVES:LENGTH:MATERIAL:RISE; moves are pivot, push, tip; materials {', '.join(MATERIALS)}")
    rise = parse(words[3], Quantity.TEMPERATURE_DIFFERENCE, default_unit="°C", field="rise").si
    return Warmed(words[0], parse(words[1], LENGTH, default_unit=unit, field="length").si, words[2], rise)

