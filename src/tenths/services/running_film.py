"""The oil film of every bearing of an engine as measured: how thin it gets, how near to touching, and what would leave more.

Clearances are those of the findings, measured or else predicted; loads are those of the running engine, once with the crank hinged
at each main and once as an elastic beam. What nobody read or stated is guessed as common practice and said to be.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi
from typing import Any

import numpy as np

from tenths.calc import loads
from tenths.calc.film import cycle, grades, judged
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.finding import Finding
from tenths.services.amounts import Answer
from tenths.services.running_loads import Cycle, cycle_of
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

GRADE = "10W-40"
GRADES = ("0W-20", "5W-30", "10W-40", "20W-50", "30", "40")
# Common practice, no source: share of the journal's or big end's width that a shell covers, groove, hole, pressure, roughness.
COVERED, GROOVE, HOLE, SUPPLY = 0.85, 0.18, 0.005, 4.0e5
ROUGH_JOURNAL, ROUGH_LINING = 0.20e-6, 0.45e-6
HOT, COLD = 373.15, 313.15  # K, of the oil at the bearings
RULE = (0.00075, 0.0010)  # clearance over the journal's diameter: common practice, no source
TENTH = 0.0001 * 0.0254
STEP = 3  # of the moments of a load cycle every third is taken: three degrees


@dataclass(frozen=True, slots=True)
class Way:
    """A way of running: its name, part of the highest speed, throttle open or not, temperature of the oil that comes [K]."""

    name: str
    part: float
    open: bool
    inlet: float


WAYS = (
    Way("idle, hot", 0.13, False, HOT), Way("idle, cold", 0.16, False, COLD), Way("cruise", 0.40, False, HOT),
    Way("most torque", 0.62, True, HOT), Way("most power", 0.92, True, HOT), Way("highest speed", 1.0, True, HOT),
    Way("highest speed, throttle shut", 1.0, False, HOT),
)


@dataclass(frozen=True, slots=True)
class Place:
    """A bearing: where, its sizes hot, what it rests on, and its form."""

    station: str
    bearing: cycle.Bearing
    clearance: Finding
    taper: float
    out_of_round: float


def film(shop: Shop, engine: str, units: str = "", *, grade: str = GRADE) -> Answer:
    """The films of all bearings of an engine, ranked, the thinnest first.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        grade: of the oil.

    Raises:
        BadInput: when there is no such engine, bore, stroke or rod length are not known, no clearance is, or the grade is none.
    """
    model = running_model(shop, engine, units).needed()
    oil = grades.middle_oil(grade)
    found = places(shop, model)
    if not found:
        raise BadInput("the oil film: no oil clearance of a main or rod is known yet; it takes journal and bore, or shells")
    cycles = {way: cycle_of(model, (way.part * model.value("redline"),), open_=way.open) for way in WAYS}
    rows = [_row(model, place, cycles, oil) for place in found]
    rows.sort(key=lambda row: row["least"]["value"])
    write = model.amounts
    return {"engine": engine, "grade": grade, "grades": list(GRADES), "bearings": rows,
            "ways": [{"way": way.name, "speed": write(way.part * model.value("redline"), Quantity.SPEED),
                      "inlet": write(way.inlet, Quantity.TEMPERATURE), "open": way.open} for way in WAYS],
            "linings": [{"lining": one.name, "unit_load": write.stress(one.unit_load),
                         "temperature": write(one.temperature, Quantity.TEMPERATURE)} for one in judged.LININGS],
            "notes": notes(model), "used": model.used("redline", "main_journal", "pin_journal", "main_width", "rod_pitch")}


def notes(model: Model) -> list[str]:
    """What the films take for granted, in sentences."""
    write = model.amounts
    return [
        "Stiff round sleeve, parallel journal, one temperature of the oil; true sleeves give under the peak load.",
        (f"Shells cover {COVERED:.0%} of the width; mains are grooved in the upper half; oil comes at "
         f"{write(SUPPLY, Quantity.PRESSURE)['text']}: common practice, no source."),
        (f"Roughness {ROUGH_JOURNAL * 1e6:g} um of the journal and {ROUGH_LINING * 1e6:g} um of the lining, root mean square: common "
         "practice, no source."),
        "A clearance measured cold is taken as it is; housings of aluminium open as they warm, which adds to it.",
        "What the maker asks for goes before any of this.",
    ]


# -- the bearings ------------------------------------------------------------------------------------------------------------

def places(shop: Shop, model: Model) -> list[Place]:
    """Every main and rod whose clearance is measured or predicted."""
    findings = {(f.characteristic.name, f.station): f for f in shop.checked(model.build)}

    def known(name: str, station: str) -> float:
        finding = findings.get((name, station))
        return max(finding.value or 0.0, 0.0) if finding else 0.0

    found: list[Place] = []
    for kind, stations in (("main", [f"main.{n + 1}" for n in range(model.layout.mains)]),
                           ("rod", [f"rod.{label}" for label in model.layout.labels])):
        for station in stations:
            both = [findings.get((f"{kind}-oil-clearance{end}", station)) for end in ("", "-predicted")]
            best = next((f for f in both if f is not None and f.value is not None and f.value > 0.0), None)
            if best is None:
                continue
            journal = station if kind == "main" else f"pin.{model.layout.cylinder(station.partition('.')[2]).pin}"
            name = "main" if kind == "main" else "pin"
            found.append(Place(station, _bearing(model, kind, best.value or 0.0), best, known(f"{name}-taper", journal),
                               known(f"{name}-out-of-round", journal)))
    return found


def _bearing(model: Model, kind: str, clearance: float) -> cycle.Bearing:
    if kind == "main":
        length = COVERED * model.value("main_width")
        return cycle.Bearing(diameter=model.value("main_journal"), length=length, clearance=clearance / 2, groove_width=GROOVE * length,
                             groove_extent=pi, groove_at=0.0, supply=SUPPLY)
    return cycle.Bearing(diameter=model.value("pin_journal"), length=COVERED * model.value("rod_pitch"), clearance=clearance / 2,
                         hole=HOLE, supply=SUPPLY)


def borne(model: Model, station: str, of: Cycle) -> list[cycle.Cycle]:
    """What a bearing bears: a rod one cycle, a main one for either way of sharing the load."""
    kind, _, label = station.partition(".")
    speed = of.speeds[0]
    if kind == "main":
        number = int(label) - 1
        return [cycle.main_cycle(way[0, number][::STEP], speed=speed) for way in (of.hinged, of.beam)]
    number = list(of.along.labels).index(label)
    own = of.rods.angles - of.along.fires[number]
    stroke, rod, offset = model.value("stroke"), model.value("rod_length"), model.value("pin_offset")
    seen = loads.seen_from_rod(of.rods.rods[0, number], own, bank_angle=of.along.banks[number], stroke=stroke, rod_length=rod,
                               pin_offset=offset)
    return [cycle.rod_cycle(seen[::STEP], own[::STEP], stroke=stroke, rod_length=rod, speed=speed, pin_offset=offset)]


# -- one bearing -------------------------------------------------------------------------------------------------------------

def _row(model: Model, place: Place, cycles: Mapping[Way, Cycle], oil: Any) -> Answer:
    ran = {way: [cycle.running(place.bearing, one, oil, inlet=way.inlet) for one in borne(model, place.station, of)]
           for way, of in cycles.items()}
    thinnest = min(ran, key=lambda way: min(one.least_film for one in ran[way]))
    low = min(ran[thinnest], key=lambda one: one.least_film)
    write, length = model.amounts, place.bearing.clearance * 2
    doubt = place.clearance.standard_uncertainty or 0.0
    either = [_thinnest(model, place, cycles[thinnest], thinnest, oil, length + by) for by in (-TENTH, TENTH, -2 * doubt, 2 * doubt)]
    edge = judged.left_at_the_edge(low.least_film, taper=place.taper, out_of_round=place.out_of_round)
    ratio = judged.film_ratio(max(edge, 1e-9), journal=ROUGH_JOURNAL, lining=ROUGH_LINING)
    area = place.bearing.diameter * place.bearing.length
    most = max(float(np.abs(one.loads).max()) for way in cycles for one in borne(model, place.station, cycles[way]))
    return {
        "station": place.station, "clearance": write(length, Quantity.LENGTH, doubt or None),
        "origin": "predicted" if place.clearance.characteristic.name.endswith("predicted") else "measured",
        "entries": list(place.clearance.entries), "stale": list(place.clearance.stale),
        "diameter": write(place.bearing.diameter, Quantity.LENGTH), "length": write(place.bearing.length, Quantity.LENGTH),
        "rule": [write(share * place.bearing.diameter, Quantity.LENGTH) for share in RULE],
        "least": film_number(model, low.least_film), "way": thinnest.name,
        "at": float(low.least_at * STEP), "direction": float(np.degrees(low.least_direction)),
        "edge": film_number(model, edge), "ratio": round(float(ratio), 2), "state": state(ratio),
        "tenth_less": film_number(model, either[0]), "tenth_more": film_number(model, either[1]),
        "doubt": [film_number(model, value) for value in sorted(either[2:])] if doubt else [],
        "unit_load": write.stress(most / area), "settled": all(one.settled for way in ran for one in ran[way]),
        "running": [_told(model, way, ran[way]) for way in WAYS],
    }


def film_number(model: Model, metres: float) -> Answer:
    """A film, in micrometres or in tens of millionths of an inch."""
    if model.system == "metric":
        return {"value": metres * 1e6, "unit": "um", "standard_uncertainty": None, "text": f"{metres * 1e6:.2f} um"}
    return {"value": metres / TENTH, "unit": "tenths", "standard_uncertainty": None, "text": f"{metres / TENTH:.2f} tenths"}


def state(ratio: float) -> str:
    """What a ratio of film to roughness means, in words."""
    return "apart" if ratio >= 3.0 else "touching at peaks" if ratio >= 1.0 else "rubbing"


def _thinnest(model: Model, place: Place, of: Cycle, way: Way, oil: Any, clearance: float) -> float:
    sized = replace(place.bearing, clearance=max(clearance, 2e-6) / 2)
    return min(cycle.running(sized, one, oil, inlet=way.inlet).least_film for one in borne(model, place.station, of))


def _told(model: Model, way: Way, ran: Sequence[cycle.Running]) -> Answer:
    """Both ways of sharing the load, the worse first."""
    low, high = min(one.least_film for one in ran), max(one.least_film for one in ran)
    write, worst = model.amounts, min(ran, key=lambda one: one.least_film)
    return {"way": way.name, "film": film_number(model, low), "film_to": film_number(model, high),
            "ratio": round(float(judged.film_ratio(low, journal=ROUGH_JOURNAL, lining=ROUGH_LINING)), 2),
            "pressure": write.stress(max(one.largest_pressure for one in ran)),
            "temperature": write(worst.temperature, Quantity.TEMPERATURE),
            "viscosity": {"value": worst.viscosity * 1e3, "unit": "mPa s", "standard_uncertainty": None,
                          "text": f"{worst.viscosity * 1e3:.2f} mPa s"},
            "flow": {"value": worst.flow * 6e4, "unit": "l/min", "standard_uncertainty": None, "text": f"{worst.flow * 6e4:.2f} l/min"},
            "power": {"value": worst.power, "unit": "W", "standard_uncertainty": None,
                      "text": f"{worst.power_streamers:.0f} to {worst.power:.0f} W"}}


# -- pictures ----------------------------------------------------------------------------------------------------------------

def orbits(shop: Shop, engine: str, units: str = "", *, grade: str = GRADE, station: str = "") -> Answer:
    """Path of a journal in its clearance and the film around the cycle, at most power and at the highest speed.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        grade: of the oil.
        station: which bearing; the first when left out.

    Raises:
        BadInput: as `film`, or for a station whose clearance is not known.
    """
    model = running_model(shop, engine, units).needed()
    found = places(shop, model)
    chosen = [place for place in found if not station or place.station == station]
    if not chosen:
        known = ", ".join(place.station for place in found) or "none yet"
        raise BadInput(f"station: {station!r} has no known oil clearance; there are {known}")
    place, oil = chosen[0], grades.middle_oil(grade)
    curves: list[Answer] = []
    for way in (WAYS[-3], WAYS[-2], WAYS[0]):
        of = cycle_of(model, (way.part * model.value("redline"),), open_=way.open)
        ran = min((cycle.running(place.bearing, one, oil, inlet=way.inlet) for one in borne(model, place.station, of)),
                  key=lambda one: one.least_film)
        scale = film_number(model, 1.0)["value"]
        curves.append({"way": way.name, "angle": np.degrees(of.rods.angles[::STEP]).round(3).tolist(),
                       "up": ran.path.real.round(5).tolist(), "across": ran.path.imag.round(5).tolist(),
                       "film": (ran.films * scale).round(5).tolist()})
    return {"engine": engine, "station": place.station, "stations": [p.station for p in found], "grade": grade,
            "unit": film_number(model, 1.0)["unit"], "curves": curves}


def sought(shop: Shop, engine: str, units: str = "", *, progress: Callable[[int, int], None] | None = None) -> Answer:
    """Which clearance and grade would leave most film, for mains and for rods, over all ways of running hot.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        progress: told how many of how many bearings are done.

    Raises:
        BadInput: as `running_model`.
    """
    model = running_model(shop, engine, units).needed()
    ways = [way for way in WAYS if way.inlet == HOT]
    cycles = [cycle_of(model, (way.part * model.value("redline"),), open_=way.open) for way in ways]
    oils = [grades.middle_oil(name) for name in GRADES]
    kinds: list[Answer] = []
    worst = {kind: _hardest(model, kind, cycles) for kind in ("main", "rod")}
    for done, (kind, station) in enumerate(worst.items()):
        bearing = _bearing(model, kind, 1e-5)
        clearances = (np.linspace(0.4e-3, 2.2e-3, 19) * bearing.diameter).tolist()
        rows = [[one for of in cycles for one in borne(model, station, of)]]
        found = cycle.mapped([bearing], rows, oils, [c / 2 for c in clearances], inlet=HOT)
        films = found.least_film[0]  # way, oil, clearance
        kinds.append({"kind": kind, "station": station, "rule": [model.amounts(s * bearing.diameter, Quantity.LENGTH) for s in RULE],
                      "grades": [_best(model, name, clearances, films[:, k]) for k, name in enumerate(GRADES)],
                      "map": {"clearance": [model.amounts(c, Quantity.LENGTH)["value"] for c in clearances],
                              "clearance_unit": model.amounts(1.0, Quantity.LENGTH)["unit"], "unit": film_number(model, 1.0)["unit"],
                              "films": {name: [film_number(model, float(v))["value"] for v in films[:, k].min(axis=0)]
                                        for k, name in enumerate(GRADES)}}})
        if progress is not None:
            progress(done + 1, len(worst))
    return {"engine": engine, "kinds": kinds, "notes": notes(model)}


def _hardest(model: Model, kind: str, cycles: Sequence[Cycle]) -> str:
    """The bearing of a kind that bears the largest load."""
    stations = [f"main.{n + 1}" for n in range(model.layout.mains)] if kind == "main" else [f"rod.{c}" for c in model.layout.labels]
    return max(stations, key=lambda s: max(float(np.abs(one.loads).max()) for of in cycles for one in borne(model, s, of)))


def _best(model: Model, name: str, clearances: Sequence[float], films: Any) -> Answer:
    best = judged.best_clearance(films.T.tolist())
    write = model.amounts
    return {"grade": name, "clearance": write(clearances[best.at], Quantity.LENGTH), "film": film_number(model, best.film),
            "flat": [write(clearances[k], Quantity.LENGTH) for k in best.flat],
            "at_edge": best.at in (0, len(clearances) - 1)}
