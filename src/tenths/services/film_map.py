"""Which clearance and grade would leave most film over the intended use: every bearing over clearance, grade and speed."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass, replace
from math import fsum

import numpy as np
from numpy.typing import NDArray

from tenths.calc.film import cycle, judged
from tenths.calc.film.grades import middle_oil
from tenths.calc.film.oil import Oil
from tenths.engine.quantity import Quantity
from tenths.services.amounts import Answer
from tenths.services.film_basis import GRADES, Basis, options_of, value_of
from tenths.services.film_bearings import HOT_WAYS, RULE, Cycles, Place, Way, bearing_of, borne, places
from tenths.services.film_judge import film_number
from tenths.services.running_film import TENTH, chosen
from tenths.services.running_model import running_model
from tenths.services.shop import Shop

Floats = NDArray[np.float64]
Told = Callable[[int, int, str], None]
CLEARANCES = 20
NARROWEST, WIDEST = 0.4e-3, 2.2e-3  # of the diameter
MORE = tuple(Way(f"{part:.0%} of the highest speed", "", part, 1.0) for part in (0.30, 0.48, 0.78))  # with the five of use, eight speeds
ALIKE = 2e-3  # of the largest load: rods that bear the same to this are worked out once
MOST = 1.5e-3  # of the diameter: wider is not advised for less friction; common practice, no source
FLAT = 0.05  # of the film: what counts as nearly as much


@dataclass(frozen=True, slots=True)
class Mapped:
    """A bearing over oil x way x clearance.

    Attributes:
        place: the bearing.
        clearances: of the diameters [m].
        films: thinnest [m], by the worse way of sharing the load.
        power: friction, likewise [W].
        temperature: of its oil, likewise [K].
    """

    place: Place
    clearances: Floats
    films: Floats
    power: Floats
    temperature: Floats


def best_over_use(shop: Shop, engine: str, units: str = "", *, given: Mapping[str, str] | None = None,
                  progress: Told | None = None) -> Answer:
    """The map of every bearing over 20 clearances, six grades (and the stated oil) and eight speeds, and what is best over the use.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        given: options by name, see `film_basis.Options`; one bearing where one is named.
        progress: told how many of how many bearings are done, and which was the last.

    Raises:
        BadInput: as `running_film.film`.
    """
    model = running_model(shop, engine, units).needed()
    basis = Basis(model, options_of(given or {}))
    found = chosen(places(shop, basis), basis.options.bearing)
    ways, oils = (*HOT_WAYS, *MORE), oils_of(basis)
    maps = _all(basis, found, ways, list(oils.values()), progress)
    shares, whose = basis.shares()
    rows = [_bearing(basis, one, list(oils), shares) for one in maps]
    return {"engine": engine, "oil": basis.oil.name, "shares": _shares(shares), "shares_by": whose,
            "ways": [{"way": way.name, "speed": model.amounts(way.part * model.value("redline"), Quantity.SPEED), "load": way.load}
                     for way in ways],
            "bearings": rows, "kinds": _kinds(basis, maps, list(oils), shares), "points": int(sum(one.films.size for one in maps)),
            "unit": film_number(model, 1.0)["unit"], "notes": _notes()}


def _notes() -> list[str]:
    return [
        ("One film for the whole use: the harmonic mean by time of the thinnest film at each state, in which thin ones count most. That "
         "wear goes with the time over the film is common practice, no source."),
        (f"Thicker oil nearly always leaves more film and costs more friction. Enough is the least friction, no wider than {MOST * 1e3:g} "
         "thousandths of the journal, that keeps film, roughness and temperature of the lining's limits at every state of the use."),
        "Hot oil; a cold start and what the maker asks for set their own bounds to grade and clearance.",
    ]


def _shares(shares: Sequence[float]) -> list[Answer]:
    return [{"state": way.state, "way": way.name, "share": round(share, 4)} for way, share in zip(HOT_WAYS, shares, strict=True)]


def oils_of(basis: Basis) -> dict[str, Oil]:
    """The grades compared, and the oil that is stated or tried when it is none of them."""
    thick = basis.oil.oil.pressure_coefficient
    grades = {name: _with(middle_oil(name), thick) for name in GRADES}
    return grades if basis.oil.name in grades and basis.oil.origin != "stated" else {**grades, basis.oil.name: basis.oil.oil}


def _with(oil: Oil, thickens: float) -> Oil:
    return replace(oil, pressure_coefficient=thickens)


# -- the map -----------------------------------------------------------------------------------------------------------------

def _all(basis: Basis, found: Sequence[Place], ways: Sequence[Way], oils: Sequence[Oil], progress: Told | None) -> list[Mapped]:
    """Every bearing's map, two at a time; rods that bear the same share one."""
    cycles = Cycles(basis.model)
    rows = [[borne(basis.model, place.station, cycles.of(way), step=6) for way in ways] for place in found]
    like = [_like(found, rows, k) for k in range(len(found))]
    made: dict[int, Mapped] = {}
    pool = ThreadPoolExecutor(2)
    try:
        work = {pool.submit(_one, basis, found[k], rows[k], oils): k for k in sorted(set(like))}
        done = 0
        for future in as_completed(work):
            k = work[future]
            made[k] = future.result()
            done += like.count(k)
            if progress is not None:
                progress(done, len(found), found[k].station)
    finally:  # who has gone waits for nothing: what has not begun is left
        pool.shutdown(cancel_futures=True)
    return [Mapped(place, made[k].clearances, made[k].films, made[k].power, made[k].temperature)
            for place, k in zip(found, like, strict=True)]


def _like(found: Sequence[Place], rows: Sequence[Sequence[Sequence[cycle.Cycle]]], k: int) -> int:
    """The first bearing that is the same but for its clearance and bears the same."""
    return next((other for other in range(k) if _same_size(found[other], found[k]) and all(
        len(a) == len(b) and all(_bear_alike(one, two) for one, two in zip(a, b, strict=True))
        for a, b in zip(rows[other], rows[k], strict=True))), k)


def _same_size(one: Place, two: Place) -> bool:
    return replace(one.bearing, clearance=1.0) == replace(two.bearing, clearance=1.0) and one.shell.kind == two.shell.kind


def _bear_alike(one: cycle.Cycle, two: cycle.Cycle) -> bool:
    """Whether two bearings bear the same over the cycle, wherever it begins."""
    top = float(np.abs(one.loads).max())
    shift = int(np.argmax(np.abs(two.loads))) - int(np.argmax(np.abs(one.loads)))
    same = float(np.abs(np.roll(two.loads, -shift) - one.loads).max()) < ALIKE * top
    return same and bool(np.allclose(np.roll(two.sliding, -shift), one.sliding, rtol=1e-3))


def _one(basis: Basis, place: Place, rows: Sequence[Sequence[cycle.Cycle]], oils: Sequence[Oil]) -> Mapped:
    sized = bearing_of(basis, place.station, place.shell, 2e-5)
    clearances = np.linspace(NARROWEST, WIDEST, CLEARANCES) * sized.diameter
    each: list[cycle.Mapped] = []
    for way in range(len(rows[0])):  # hinged, beam
        each.append(cycle.mapped([sized], [[bears[way] for bears in rows]], oils, (clearances / 2).tolist(),
                                 inlet=value_of(basis.hot), workers=1))
    films = np.min([one.least_film[0] for one in each], axis=0)  # way, oil, clearance
    power, warm = (np.max([getattr(one, name)[0] for one in each], axis=0) for name in ("power", "temperature"))
    turned = [np.ascontiguousarray(np.moveaxis(values, 1, 0)) for values in (films, power, warm)]
    return Mapped(place, clearances, *turned)


# -- what is best over the use -----------------------------------------------------------------------------------------------

def over_use(one: Mapped, shares: Sequence[float]) -> tuple[Floats, Floats]:
    """Film over the use and friction over the use, of oil x clearance [m, W]."""
    count = len(shares)
    films = np.array([[judged.film_over_use(one.films[oil, :count, c].tolist(), shares) for c in range(one.clearances.size)]
                      for oil in range(one.films.shape[0])])
    power = np.tensordot(one.power[:, :count, :], np.asarray(shares), axes=(1, 0)) / fsum(shares)
    return films, power


def _bearing(basis: Basis, one: Mapped, oils: Sequence[str], shares: Sequence[float]) -> Answer:
    model, write, place = basis.model, basis.model.amounts, one.place
    films, power = over_use(one, shares)
    here = place.bearing.clearance * 2
    now = oils.index(basis.oil.name)
    at, oil = _top(films)
    enough = _enough(one, power, shares)
    scale = film_number(model, 1.0)["value"]
    return {
        "station": place.station, "clearance": write(here, Quantity.LENGTH, place.doubt or None),
        "rule": [write(part * place.bearing.diameter, Quantity.LENGTH, figures=3) for part in RULE],
        "now": film_number(model, _at(one, films[now], here)), "now_power": _watts(_at(one, power[now], here)),
        "tenth_less": film_number(model, _at(one, films[now], here - TENTH)),
        "tenth_more": film_number(model, _at(one, films[now], here + TENTH)),
        "best_now": _best(basis, one, films, power, now), "best": {"grade": oils[oil], **_best(basis, one, films, power, oil)},
        "enough": {"grade": oils[enough[0]], "clearance": write(float(one.clearances[enough[1]]), Quantity.LENGTH, figures=3),
                   "film": film_number(model, float(films[enough])), "power": _watts(float(power[enough]))} if enough else None,
        "best_at_edge": at in (0, one.clearances.size - 1),
        "grades": [{"grade": name, **_best(basis, one, films, power, k)} for k, name in enumerate(oils)],
        "map": {"clearance": [write(float(c), Quantity.LENGTH)["value"] for c in one.clearances],
                "clearance_unit": write(1.0, Quantity.LENGTH)["unit"], "grades": list(oils),
                "films": [[[round(float(v) * scale, 4) for v in row] for row in each] for each in one.films],
                "use": [[round(float(v) * scale, 4) for v in row] for row in films]}}


def _top(films: Floats) -> tuple[int, int]:
    """Clearance and oil of the largest film over the use."""
    oil, at = np.unravel_index(int(np.argmax(films)), films.shape)
    return int(at), int(oil)


def _at(one: Mapped, values: Floats, clearance: float) -> float:
    """A value between the clearances looked at."""
    return float(np.interp(clearance, one.clearances, values))


def _best(basis: Basis, one: Mapped, films: Floats, power: Floats, oil: int) -> Answer:
    """The best clearance with one oil, the flat about it, and what a tenth off it costs."""
    found = judged.best_clearance([[float(value)] for value in films[oil]], within=FLAT)
    write, model = basis.model.amounts, basis.model
    best = float(one.clearances[found.at])
    return {"clearance": write(best, Quantity.LENGTH, figures=3), "film": film_number(model, found.film),
            "power": _watts(float(power[oil, found.at])),
            "flat": [write(float(one.clearances[k]), Quantity.LENGTH, figures=3) for k in found.flat],
            "at_edge": found.at in (0, one.clearances.size - 1),
            "thinnest": film_number(model, float(one.films[oil, :, found.at].min())),
            "hottest": write(float(one.temperature[oil, :, found.at].max()), Quantity.TEMPERATURE),
            "tenth_less": film_number(model, _at(one, films[oil], best - TENTH)),
            "tenth_more": film_number(model, _at(one, films[oil], best + TENTH))}


def _enough(one: Mapped, power: Floats, shares: Sequence[float]) -> tuple[int, int] | None:
    """Oil and clearance of the least friction over the use that keep film, roughness and temperature at every state of it."""
    used = [k for k, share in enumerate(shares) if share > 0.0]
    kind, rough = one.place.shell.kind, np.hypot(*one.place.shell.roughness)
    films, warm = one.films[:, used].min(axis=1), one.temperature[:, used].max(axis=1)
    fits = (films >= max(kind.film, kind.ratio * float(rough))) & (warm <= kind.temperature)
    fits &= one.clearances <= MOST * one.place.bearing.diameter
    if not fits.any():
        return None
    oil, at = np.unravel_index(int(np.argmin(np.where(fits, power, np.inf))), power.shape)
    return int(oil), int(at)


def _kinds(basis: Basis, maps: Sequence[Mapped], oils: Sequence[str], shares: Sequence[float]) -> list[Answer]:
    """Mains and rods as wholes: by grade the clearance that does most for the one that is worst off, and what all of them cost."""
    rows: list[Answer] = []
    for kind in ("main", "rod"):
        mine = [one for one in maps if one.place.station.startswith(kind)]
        if not mine:
            continue
        both = [over_use(one, shares) for one in mine]
        films = np.min([films for films, _ in both], axis=0)
        power = np.sum([power for _, power in both], axis=0)
        worst = mine[int(np.argmin([films.max() for films, _ in both]))]
        whole = Mapped(worst.place, worst.clearances, np.min([one.films for one in mine], axis=0), worst.power,
                       np.max([one.temperature for one in mine], axis=0))
        write = basis.model.amounts
        rows.append({"kind": kind, "station": worst.place.station, "count": len(mine),
                     "rule": [write(part * worst.place.bearing.diameter, Quantity.LENGTH, figures=3) for part in RULE],
                     "grades": [{"grade": name, **_best(basis, whole, films, power, k)} for k, name in enumerate(oils)],
                     "map": {"clearance": [write(float(c), Quantity.LENGTH)["value"] for c in worst.clearances],
                             "clearance_unit": write(1.0, Quantity.LENGTH)["unit"], "unit": film_number(basis.model, 1.0)["unit"],
                             "films": {name: [film_number(basis.model, float(v))["value"] for v in films[k]]
                                       for k, name in enumerate(oils)}}})
    return rows


def _watts(power: float) -> Answer:
    return {"value": power, "unit": "W", "standard_uncertainty": None, "text": f"{power:.0f} W"}
