"""The valve springs of an engine: heights, loads, room, stress, how the wire swings by itself; each valve by itself."""

from collections.abc import Mapping
from math import pi

from tenths.calc.valves import springs
from tenths.engine.quantity import Quantity, from_si, unit_for
from tenths.engine.stations import station_map
from tenths.errors import BadInput, TenthsError
from tenths.findings.check import check
from tenths.findings.finding import Finding
from tenths.logbook.build import Build
from tenths.services.amounts import Amounts, Answer
from tenths.services.gathered import Gathered
from tenths.services.questions import system_of
from tenths.services.shop import Shop
from tenths.services.valve_clearance import valves_of

LENGTH, FORCE, STIFFNESS = Quantity.LENGTH, Quantity.FORCE, Quantity.STIFFNESS
NAMES = {"spring-installed-height": "installed", "spring-rate": "rate", "spring-seat-load": "seat", "spring-open-load": "open",
         "spring-bind-margin": "bind", "spring-retainer-room": "retainer", "valve-lift": "lift"}
QUANTITIES = {"rate": STIFFNESS, "seat": FORCE, "open": FORCE}
SURE_STRENGTH = 0.08  # of the strength of a wire nobody stated: relative, common practice
HARMONICS = tuple(range(4, 25))  # of a lobe; higher ones carry next to nothing (common practice, no source)
TESTED = ("closed", "middle", "open")
CAUTION = ("Springs are under load: use a compressor that cannot slip, wear glasses, keep the face out of line. The maker's instructions "
           "go before any number here.")
NOTES = (
    "Stress by Wahl's factor; what shot and setting leave in the wire is not in it.",
    ("The wire swings by itself at its surge frequency; where a harmonic of the lobe meets it, low ones most, load and life suffer. A "
     "damper, an inner spring that rubs or a rate that changes spread it."),
)


def valve_springs(shop: Shop, engine: str, units: str = "") -> Answer:
    """The springs, valve by valve, with the load line of the first of each side.

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
    spreads = ("spring-height-spread", "spring-seat-load-spread")
    found = {(f.characteristic.name, f.station): f for f in check(build, [*NAMES, *spreads])}
    top = look.at("engine", "redline")
    rows = [_row(look, station, found, write, top.value if top else None) for station in valves_of(build)]
    known = [row for row in rows if row["known"]]
    return {"engine": engine, "position": build.position, "valves": rows,
            "spreads": [_judged(found[name, "engine"], write) for name in spreads if (name, "engine") in found],
            "lines": [line for row in _first_of_each(known) if (line := _line(look, row["station"], found, write))],
            "caution": CAUTION, "notes": list(NOTES)}


def _first_of_each(rows: list[Answer]) -> list[Answer]:
    sides = {row["station"].split(".")[2][:2]: row for row in reversed(rows)}
    return [sides[side] for side in ("in", "ex") if side in sides]


def _judged(finding: Finding, write: Amounts) -> Answer:
    quantity = finding.characteristic.quantity
    limit = finding.limits.upper if finding.limits.upper is not None else finding.limits.lower
    return {"name": finding.characteristic.name, "words": finding.characteristic.words, "verdict": str(finding.verdict),
            "authority": finding.limits.authority, "limit": write(limit, quantity),
            **write(finding.value, quantity, finding.standard_uncertainty)}


def _row(look: Gathered, station: str, found: Mapping[tuple[str, str], Finding], write: Amounts, top: float | None) -> Answer:
    own = {short: found.get((name, station)) for name, short in NAMES.items()}
    values = {short: f.value if f is not None else None for short, f in own.items()}
    row: Answer = {"station": station, "words": station_map(look.layout)[station].words,
                   "known": any(values[k] is not None for k in ("installed", "rate", "seat", "bind", "retainer"))}
    for short, finding in own.items():
        quantity = QUANTITIES.get(short, LENGTH)
        row[short] = write(values[short], quantity, finding.standard_uncertainty if finding else None)
    row |= {f"{short}_verdict": str(f.verdict) if (f := own[short]) else "not measured" for short in ("bind", "retainer")}
    row["tester"] = _tested(look, station, write)
    wires = [w for prefix in ("spring-", "inner-spring-") if (w := _wire(look, station, prefix, values, write, top)) is not None]
    return row | {"wires": wires}


# -- from the tester -------------------------------------------------------------------------------------------------------

def _points(look: Gathered, station: str) -> list[tuple[float, float]]:
    """Heights and loads as the tester read them [m, N]."""
    rows: list[tuple[float, float]] = []
    for name in TESTED:
        height, load = (look.at(station, f"tested-{what}-{name}") for what in ("height", "load"))
        if height is not None and load is not None:
            rows.append((height.value, load.value))
    return rows


def _tested(look: Gathered, station: str, write: Amounts) -> Answer | None:
    """The line through the readings of the tester; None with fewer than two."""
    points = _points(look, station)
    if len(points) < 2:
        return None
    try:
        line = springs.fitted([h for h, _ in points], [f for _, f in points])
    except TenthsError as error:
        none = write(None, LENGTH)
        return {"wrong": str(error), "rate": none, "free": none, "scatter": none, "points": len(points)}
    return {"wrong": "", "points": len(points), "rate": write(line.rate, STIFFNESS, line.rate_error or None),
            "free": write(line.free, LENGTH, line.free_error or None), "scatter": write(line.scatter if len(points) > 2 else None, FORCE)}


# -- from the wire ---------------------------------------------------------------------------------------------------------

def _coil(look: Gathered, station: str, prefix: str) -> springs.Coil | None:
    sizes = [look.at(station, f"{prefix}{name}") for name in ("wire", "coil", "coils", "coils-total")]
    if sizes[0] is None or sizes[1] is None or sizes[2] is None:
        return None
    total = sizes[3].value if sizes[3] else sizes[2].value + 2.0
    return springs.Coil(wire=sizes[0].value, mean_diameter=sizes[1].value, active=sizes[2].value, total=total)


def _wire(look: Gathered, station: str, prefix: str, values: Mapping[str, float | None], write: Amounts, top: float | None,
          ) -> Answer | None:
    """Stress and swing of one spring from its wire; the load of the pair is shared by rate."""
    try:
        coil, other = (_coil(look, station, name) for name in (prefix, "inner-spring-" if prefix == "spring-" else "spring-"))
        return None if coil is None else _of_wire(look, station, prefix, coil, other, values, write, top)
    except TenthsError as error:  # sizes that cannot be: said in its place
        return _no_wire(prefix, write, str(error))


def _of_wire(look: Gathered, station: str, prefix: str, coil: springs.Coil, other: springs.Coil | None,
             values: Mapping[str, float | None], write: Amounts, top: float | None) -> Answer:
    rate = springs.rate(coil)
    share = rate / (rate + (springs.rate(other) if other else 0.0))
    strength = look.at(station, "spring-strength")
    bears = strength.value if strength else springs.tensile_strength("chrome-silicon", wire=coil.wire)
    index = coil.mean_diameter / coil.wire
    stress = {k: None if (v := values[k]) is None else springs.stress(coil, force=v * share) for k in ("seat", "open")}
    modes = springs.surge_frequencies(rate=rate, mass=springs.active_mass(coil))
    free = look.at(station, "spring-free-height")
    buckles = springs.critical_length(coil)
    return {"which": "inner spring" if prefix.startswith("inner") else "spring", "wrong": "", "index": round(index, 3),
            "wahl": round(springs.wahl_factor(index), 4), "bergstraesser": round(springs.bergstraesser_factor(index), 4),
            "rate": write(rate, STIFFNESS), "share": round(share, 4), "mass": write(springs.active_mass(coil), Quantity.MASS),
            "solid": write(springs.solid_height(coil), LENGTH),
            "seat_stress": write.stress(stress["seat"]), "open_stress": write.stress(stress["open"]),
            "strength": write.stress(bears, None if strength else SURE_STRENGTH * bears), "strength_stated": strength is not None,
            "of_strength": None if stress["open"] is None else round(stress["open"] / bears, 4),
            "modes": [{"value": f, "unit": "Hz", "standard_uncertainty": None, "text": f"{f:.0f} Hz"} for f in modes],
            "meets": _meets(modes[0], top, write), "buckles": write(buckles, LENGTH),
            "can_buckle": None if free is None else free.value > buckles}


def _no_wire(prefix: str, write: Amounts, wrong: str) -> Answer:
    none = write(None, LENGTH)
    return {"which": "inner spring" if prefix.startswith("inner") else "spring", "wrong": wrong, "strength_stated": False, "modes": [],
            "meets": [], **dict.fromkeys(("index", "wahl", "bergstraesser", "share", "of_strength", "can_buckle")),
            **dict.fromkeys(("rate", "mass", "solid", "seat_stress", "open_stress", "strength", "buckles"), none)}


def _meets(frequency: float, top: float | None, write: Amounts) -> list[Answer]:
    """Harmonics of the lobe that meet the first frequency within the range of speed, lowest first."""
    most = 1.05 * (top or 8000 * pi / 30)
    speeds = springs.resonant_speeds(frequency=frequency, harmonics=HARMONICS)
    return [{"harmonic": n, **write(speed, Quantity.SPEED, figures=3)} for n, speed in zip(HARMONICS, speeds, strict=True)
            if 0.2 * most < speed <= most][:8]


# -- the load line -----------------------------------------------------------------------------------------------------------

def _line(look: Gathered, station: str, found: Mapping[tuple[str, str], Finding], write: Amounts) -> Answer | None:
    """Load over height from bound to free, with where it stands closed, open and bound; None where no load is known."""
    value = {short: f.value for name, short in NAMES.items() if (f := found.get((name, station))) is not None and f.value is not None}
    if not {"installed", "seat", "open", "lift"} <= set(value):
        return None
    points = sorted(_points(look, station))
    opened = value["installed"] - value["lift"]
    ends = ((opened, value["open"]), (value["installed"], value["seat"]))
    bound = opened - value["bind"] if "bind" in value else None
    low = bound if bound is not None else opened - 0.1 * value["lift"]
    heights = [low + (value["installed"] * 1.12 - low) * k / 40 for k in range(41)]
    unit, pull = unit_for(LENGTH, write.system), unit_for(FORCE, write.system)
    try:
        curve = springs.Curve(*map(tuple, zip(*(points if len(points) > 1 else ends), strict=True)))
        springs.curve_load(curve, low)
    except TenthsError:  # heights that cannot be
        return None

    def shown(h: float) -> Answer:
        return {"height": from_si(h, LENGTH, unit), "load": from_si(springs.curve_load(curve, h), FORCE, pull)}

    return {"station": station, "words": station_map(look.layout)[station].words, "height_unit": unit, "load_unit": pull,
            "line": [shown(h) for h in heights], "read": [shown(h) for h, _ in points],
            "closed": shown(value["installed"]), "open": shown(opened), "bound": shown(bound) if bound is not None else None}


def has_springs(build: Build) -> bool:
    """Whether anything of the springs was read or stated."""
    return any(f.value is not None for f in check(build, ["spring-installed-height", "spring-seat-load", "spring-bind-margin"]))
