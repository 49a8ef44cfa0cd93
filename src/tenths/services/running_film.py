"""The oil film of every bearing of an engine as measured: how thin it gets, how near to touching, and what it is held against.

Clearances are those of the findings, measured or else predicted; loads are those of the running engine, once with the crank hinged
at each main and once as an elastic beam. What nobody read or stated is guessed as common practice and said to be.
"""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from tenths.calc.film import cycle, judged, tilted
from tenths.calc.film.oil import Oil
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput, OutOfRange
from tenths.services.amounts import Answer
from tenths.services.film_basis import GRADES, Basis, estimate_u, options_of, thicker, typed_size, value_of
from tenths.services.film_bearings import RULE, STEP, WAYS, Cycles, Place, Way, borne, heavier, inlet_of, places, ways_of
from tenths.services.film_judge import film_number, state, verdicts, worst_of
from tenths.services.running_model import running_model
from tenths.services.shop import Shop

TENTH = 0.0001 * 0.0254
# Relative standard uncertainty of loads and of the method itself: common practice, no source; docs/film.md tells what it was held to.
LOADS_DOUBT, METHOD_DOUBT = 0.05, 0.10
WORKERS = 2


def film(shop: Shop, engine: str, units: str = "", *, grade: str = "", given: Mapping[str, str] | None = None,
         progress: Callable[[int, int, str], None] | None = None) -> Answer:
    """The films of all bearings of an engine, ranked, the thinnest first.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        grade: of the oil, instead of the stated one.
        given: options by name, see `film_basis.Options`.
        progress: told how many of how many bearings are done, and which was the last.

    Raises:
        BadInput: when there is no such engine, bore, stroke or rod length are not known, no clearance is, or an option is none.
    """
    model = running_model(shop, engine, units).needed()
    basis = Basis(model, options_of({"grade": grade, **(given or {})}))
    found = chosen(places(shop, basis), basis.options.bearing)
    ways, cycles = ways_of(basis), Cycles(model)
    for way in ways:
        cycles.of(way)
    rows = _rows(basis, found, ways, cycles, progress)
    rows.sort(key=lambda row: row["least"]["value"])
    write, shares = model.amounts, basis.shares()
    by_state = dict(zip((way.state for way in WAYS if not way.cold), shares[0], strict=False))
    return {"engine": engine, "grade": basis.oil.name, "oil": basis.told(), "grades": list(GRADES), "bearings": rows,
            "ways": [{"way": way.name, "speed": write(way.part * model.value("redline"), Quantity.SPEED),
                      "inlet": write(inlet_of(basis, way), Quantity.TEMPERATURE), "open": way.load > 0.0, "load": way.load,
                      "cold": way.cold, "share": 0.0 if way.cold else round(by_state.get(way.state, 0.0), 4) if way.state else 0.0}
                     for way in ways],
            "shares_by": shares[1], "options": {name: getattr(basis.options, name) for name in basis.options.__dataclass_fields__},
            "verdict": worst_of([row["verdict"] for row in rows]),
            "linings": [_lining(basis, name) for name in basis.rules.linings], "notes": notes(basis),
            "used": model.used("redline", "main_journal", "pin_journal", "main_width", "rod_pitch")}


def _rows(basis: Basis, found: Sequence[Place], ways: Sequence[Way], cycles: Cycles,
          progress: Callable[[int, int, str], None] | None) -> list[Answer]:
    rows: list[Answer] = []
    pool = ThreadPoolExecutor(WORKERS)
    try:
        for row in pool.map(lambda place: _row(basis, place, ways, cycles), found):
            rows.append(row)
            if progress is not None:
                progress(len(rows), len(found), row["station"])
    finally:  # who has gone waits for nothing: what has not begun is left
        pool.shutdown(cancel_futures=True)
    return rows


def vet(shop: Shop, engine: str, given: Mapping[str, str]) -> None:
    """Raises BadInput as `film` would, before anything long begins."""
    basis = Basis(running_model(shop, engine).needed(), options_of(given))
    chosen(places(shop, basis), basis.options.bearing)
    ways_of(basis)
    if basis.options.tilt:
        typed_size(basis.model, basis.options.tilt, Quantity.LENGTH, "tilt")


def chosen(found: Sequence[Place], station: str = "") -> list[Place]:
    """Those asked for, all when none is named; raises BadInput where nothing is known of them."""
    if not found:
        raise BadInput("the oil film: no oil clearance of a main or rod is known yet; it takes journal and bore, or shells")
    some = [place for place in found if not station or place.station == station]
    if not some:
        raise BadInput(f"bearing: {station!r} has no known oil clearance; there are {', '.join(place.station for place in found)}")
    return some


def notes(basis: Basis) -> list[str]:
    """What the films take for granted, in sentences."""
    thick = basis.oil.oil.pressure_coefficient
    return [
        *basis.oil.notes,
        "Stiff round sleeve, one temperature of the oil; true sleeves give under the peak load, which spreads it.",
        (f"Pressure thickens the oil by {thick * 1e9:g} per GPa." if thick else
         "Pressure is not taken to thicken the oil; with its coefficient stated, or the option taken, it does."),
        "Judged are the hot ways of running; cold oil at full throttle is shown, not advised.",
        "A clearance measured cold is taken as it is; housings of aluminium open as they warm, which adds to it.",
        "Limits and guesses are common practice, no source, unless the house or a sheet says otherwise; the maker's own go before them.",
    ]


def _lining(basis: Basis, name: str) -> Answer:
    one, authority = basis.rules.linings[name]
    write = basis.model.amounts
    return {"lining": name, "unit_load": write.stress(one.unit_load), "pressure": write.stress(one.peak_pressure),
            "temperature": write(one.temperature, Quantity.TEMPERATURE, figures=3), "film": film_number(basis.model, one.film),
            "ratio": one.ratio, "authority": authority, "source": one.source}


# -- one bearing -------------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Ran:
    """A bearing through its ways of running, and where its film is thinnest hot."""

    place: Place
    bears: Mapping[Way, list[cycle.Cycle]]
    ran: Mapping[Way, list[cycle.Running]]
    way: Way
    low: cycle.Running
    bore: cycle.Cycle


def through(basis: Basis, place: Place, ways: Sequence[Way], cycles: Cycles) -> Ran:
    """A bearing through its ways of running."""
    bears = {way: borne(basis.model, place.station, cycles.of(way)) for way in ways}
    ran = {way: [cycle.running(place.bearing, one, basis.oil.oil, inlet=inlet_of(basis, way)) for one in bears[way]] for way in ways}
    thinnest = min((way for way in ways if not way.cold), key=lambda way: min(one.least_film for one in ran[way]))
    low = min(range(len(ran[thinnest])), key=lambda k: ran[thinnest][k].least_film)
    return Ran(place, bears, ran, thinnest, ran[thinnest][low], bears[thinnest][low])


def _row(basis: Basis, place: Place, ways: Sequence[Way], cycles: Cycles) -> Answer:
    of = through(basis, place, ways, cycles)
    model, write, length = basis.model, basis.model.amounts, place.bearing.clearance * 2
    less, more = (_thinnest(basis, of, clearance=length + by) for by in (-TENTH, TENTH))
    causes = _causes(basis, of)
    share = hypot(*(one for _, one in causes)) / of.low.least_film
    edge, lost = _edge(of)
    rough = hypot(*place.shell.roughness)
    ratio = judged.film_ratio(max(edge, 1e-9), journal=place.shell.roughness[0], lining=place.shell.roughness[1])
    area = place.bearing.diameter * place.bearing.length
    most = max(float(np.abs(one.loads).max()) for way in ways if not way.cold for one in of.bears[way])
    hot = [one for way in ways if not way.cold for one in of.ran[way]]
    limits = verdicts(basis, place, edge=edge, edge_u=share * edge, rough=rough, rough_u=_rough_doubt(place), load=most / area,
                      pressure=max(one.largest_pressure for one in hot), temperature=max(one.temperature for one in hot))
    return {
        "station": place.station, "clearance": write(length, Quantity.LENGTH, place.doubt or None),
        "origin": place.origin,
        "entries": list(place.clearance.entries) if place.clearance else [],
        "stale": list(place.clearance.stale) if place.clearance else [],
        "diameter": write(place.bearing.diameter, Quantity.LENGTH), "length": write(place.bearing.length, Quantity.LENGTH),
        "rule": [write(part * place.bearing.diameter, Quantity.LENGTH, figures=3) for part in RULE],
        "least": film_number(model, of.low.least_film, share * of.low.least_film), "way": of.way.name,
        "at": float(of.low.least_at * STEP), "direction": float(np.degrees(of.low.least_direction)),
        "edge": film_number(model, edge, share * edge), "ratio": round(float(ratio), 2), "state": state(ratio),
        "tenth_less": film_number(model, less), "tenth_more": film_number(model, more),
        "causes": [{"cause": words, "share": round((one / (share * of.low.least_film)) ** 2, 3)} for words, one in causes],
        "effects": _effects(basis, of, edge, lost), "lining": place.shell.kind.name, "lining_origin": place.shell.kind_origin,
        "limits": limits, "verdict": worst_of([row["verdict"] for row in limits]),
        "unit_load": write.stress(most / area), "settled": all(one.settled for way in of.ran for one in of.ran[way]),
        "running": [_told(basis, place, way, of.ran[way]) for way in ways], "shell": basis.told_of(place.station),
    }


def _thinnest(basis: Basis, of: Ran, *, clearance: float = 0.0, oil: Oil | None = None, warmer: float = 0.0,
              heavier_by: float = 1.0) -> float:
    """Thinnest film in the way where it is thinnest, with something of it changed."""
    sized = replace(of.place.bearing, clearance=max(clearance, 2e-6) / 2) if clearance else of.place.bearing
    inlet = inlet_of(basis, of.way) + warmer
    return min(cycle.running(sized, heavier(one, heavier_by), oil or basis.oil.oil, inlet=inlet).least_film for one in of.bears[of.way])


def _causes(basis: Basis, of: Ran) -> list[tuple[str, float]]:
    """What each cause of doubt does to the thinnest film [m], by doing it."""
    here, doubt, length = of.low.least_film, of.place.doubt, of.place.bearing.clearance * 2
    warm = basis.cold if of.way.cold else basis.hot
    ends = [_thinnest(basis, of, clearance=length + by) for by in (-2 * doubt, 2 * doubt)] if doubt else [0.0, 0.0]
    found = [
        ("clearance", (ends[1] - ends[0]) / 4),
        ("viscosity of the oil", _thinnest(basis, of, oil=thicker(basis.oil.oil, 1.0 + basis.oil.doubt)) - here),
        ("temperature of the oil", _thinnest(basis, of, warmer=estimate_u(warm.estimate)) - here),
        ("loads", _thinnest(basis, of, heavier_by=1.0 + LOADS_DOUBT) - here),
        ("the method", METHOD_DOUBT * here)]
    return sorted(((words, abs(by)) for words, by in found), key=lambda row: -row[1])


def _edge(of: Ran) -> tuple[float, float]:
    """Thinnest film where the journal's form and lean take some of it [m], and what the lean alone takes."""
    place, lost = of.place, 0.0
    if tilt := value_of(place.shell.tilt):
        b, at = place.bearing, of.low.least_at
        towards = of.bore.loads[at]
        try:
            leaning = tilted.tilted(eccentricity=float(abs(of.low.path[at])), load_direction=float(np.angle(towards / of.low.path[at])),
                                    slenderness=b.length / b.diameter, tilt=tilt / 2 / b.clearance)
            lost = of.low.least_film - leaning.edge * b.clearance
        except OutOfRange:  # it touches
            lost = of.low.least_film
    return judged.left_at_the_edge(max(of.low.least_film - lost, 0.0), taper=place.taper, out_of_round=place.out_of_round), lost


def _effects(basis: Basis, of: Ran, edge: float, lost: float) -> list[Answer]:
    """What each option takes or gives, as films."""
    model, rows = basis.model, []
    if basis.oil.oil.pressure_coefficient:
        plain = _thinnest(basis, of, oil=replace(basis.oil.oil, pressure_coefficient=0.0))
        rows.append({"what": "without pressure thickening the oil", "film": film_number(model, plain)})
    if lost:
        rows.append({"what": "lost where the journal leans", "film": film_number(model, lost)})
    form = max(of.low.least_film - lost, 0.0) - edge
    if form > 0.0:
        rows.append({"what": "lost to taper and out-of-round", "film": film_number(model, form)})
    return rows


def _rough_doubt(place: Place) -> float:
    """Standard uncertainty of both surfaces' roughness together [m]."""
    return 1.2533 * hypot(estimate_u(place.shell.journal.estimate), estimate_u(place.shell.lining.estimate)) / 2**0.5


def _told(basis: Basis, place: Place, way: Way, ran: Sequence[cycle.Running]) -> Answer:
    """Both ways of sharing the load, the worse first."""
    low, high = min(one.least_film for one in ran), max(one.least_film for one in ran)
    model, write, worst = basis.model, basis.model.amounts, min(ran, key=lambda one: one.least_film)
    journal, lining = place.shell.roughness
    return {"way": way.name, "cold": way.cold, "film": film_number(model, low), "film_to": film_number(model, high),
            "ratio": round(float(judged.film_ratio(low, journal=journal, lining=lining)), 2),
            "pressure": write.stress(max(one.largest_pressure for one in ran)),
            "temperature": write(worst.temperature, Quantity.TEMPERATURE),
            "viscosity": write(worst.viscosity, Quantity.DYNAMIC_VISCOSITY, figures=3),
            "flow": {"value": worst.flow * 6e4, "unit": "l/min", "standard_uncertainty": None, "text": f"{worst.flow * 6e4:.2f} l/min"},
            "power": {"value": worst.power, "unit": "W", "standard_uncertainty": None,
                      "text": f"{worst.power_streamers:.0f} to {worst.power:.0f} W"}}


# -- pictures ----------------------------------------------------------------------------------------------------------------

def orbits(shop: Shop, engine: str, units: str = "", *, grade: str = "", station: str = "",
           given: Mapping[str, str] | None = None) -> Answer:
    """Path of a journal in its clearance and the film around the cycle, at most power, the highest speed and idle, or at a tried speed.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        grade: of the oil, instead of the stated one.
        station: which bearing; the first when left out.
        given: options by name, see `film_basis.Options`.

    Raises:
        BadInput: as `film`, or for a bearing whose clearance is not known.
    """
    model = running_model(shop, engine, units).needed()
    basis = Basis(model, options_of({"grade": grade, **(given or {})}))
    found = places(shop, basis)
    place, cycles = chosen(found, station or basis.options.bearing)[0], Cycles(model)
    ways = ways_of(basis)
    wanted = [*ways[:-len(WAYS)], WAYS[3], WAYS[4], WAYS[0]]
    return {"engine": engine, "station": place.station, "stations": [p.station for p in found], "grade": basis.oil.name,
            "unit": film_number(model, 1.0)["unit"], "curves": [_curve(basis, place, way, cycles) for way in wanted[:3]]}


def _curve(basis: Basis, place: Place, way: Way, cycles: Cycles) -> Answer:
    of = cycles.of(way)
    ran = min((cycle.running(place.bearing, one, basis.oil.oil, inlet=inlet_of(basis, way))
               for one in borne(basis.model, place.station, of)), key=lambda one: one.least_film)
    scale = film_number(basis.model, 1.0)["value"]
    return {"way": way.name, "angle": np.degrees(of.rods.angles[::STEP]).round(3).tolist(), "up": ran.path.real.round(5).tolist(),
            "across": ran.path.imag.round(5).tolist(), "film": (ran.films * scale).round(5).tolist()}
