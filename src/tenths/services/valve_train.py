"""Does the valve train of an engine stay on its lobes: where it parts and how sure that is, how the valve lands, what the contact bears.

What it is reckoned from is gathered in `valve_train_parts`; what nobody weighed or stated is guessed and said to be.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import starmap
from math import degrees, erf, inf, isfinite, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from tenths.calc.valves import contact, dynamics, followers, loss
from tenths.calc.valves.springs import surge_frequencies
from tenths.calc.valves.train import Rigid, Train, rigid_limit
from tenths.engine.feature_train import TOUCHING
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.services.amounts import Amounts, Answer
from tenths.services.film_basis import Basis
from tenths.services.running_model import Model
from tenths.services.shop import Shop
from tenths.services.valve_train_lobe import doubt_of
from tenths.services.valve_train_parts import (
    WORDS,
    Parts,
    ends,
    gathered,
    of_engine,
    quantity_of,
    sides_of,
    train_of,
)

Floats = NDArray[np.float64]
SPEEDS = 16
LOWEST, HIGHEST, FARTHEST = 0.2, 1.2, 1.7  # of the highest speed: what is told, and how far a parting is sought
GAP = 0.1e-3  # a follower that leaves its lobe by more floats; common practice, no source
POINTS = 30
KNOWN_WELL = 0.01  # relative standard uncertainty below which a size is not followed: it moves the speed by less than that
ROUGH = 0.3e-6  # root mean square of lobe and of follower, run in; common practice, no source
THIN = 2  # of the moments of a cycle every second one is told


@dataclass(frozen=True, slots=True)
class Surface:
    """What the contact of lobe and follower is reckoned with: radii over the cycle [m], or why there are none."""

    radii: Floats | None
    crown: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Parting:
    """Where a train parts, its doubt, and the highest speed of the engine."""

    found: loss.Doubted
    redline: float

    @property
    def holds_to_redline(self) -> float:
        """Probability that it holds up to the highest speed [-]."""
        speed, u = self.found.loss.speed, self.found.standard_uncertainty
        if not isfinite(speed) or u == 0.0:
            return 1.0 if speed > self.redline else 0.0
        return 0.5 * (1.0 + erf((speed - self.redline) / (u * sqrt(2.0))))


def valve_train(
    shop: Shop, engine: str, units: str = "", *, speeds: int = SPEEDS, valve: str = "", sure: bool = True,
    progress: Callable[[int, int], None] | None = None,
) -> Answer:
    """The valve trains of an engine, intake and exhaust, over speed.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        speeds: how many.
        valve: one valve instead of the mean of a side's, such as ``valve.3.in``.
        sure: also work out how sure the speeds are at which it parts; takes most of the time.
        progress: told how many of how many sides are done.

    Raises:
        BadInput: when there is no such engine or valve, bore, stroke or rod length are not known, or no spring is.
        Unsettled: where the motion cannot be followed; the message says at which speed.
    """
    if not 2 <= speeds <= 60:
        raise BadInput(f"speeds: {speeds} is not from 2 to 60")
    model = of_engine(shop, engine, units)
    sides = sides_of(model)
    if valve:
        name = valve.rpartition(".")[2]
        sides = tuple(side for side in sides if name.startswith(side[:2])) or sides[:1]
    told: list[Answer] = []
    for done, side in enumerate(sides):
        if progress is not None:
            progress(done, len(sides))
        told.append(_side(gathered(shop, model, side, valve), speeds, sure=sure))
    write = model.amounts
    return {"engine": engine, "redline": write(model.value("redline"), Quantity.SPEED), "gap": write(GAP, Quantity.LENGTH, figures=2),
            "valve": valve, "sure": sure, "sides": told, "notes": notes(model), "used": model.used("redline")}


def notes(model: Model) -> list[str]:
    """What the valve train takes for granted, in sentences."""
    gap = model.amounts(GAP, Quantity.LENGTH, figures=2)["text"]
    return [
        (f"It floats where the follower leaves the lobe by more than {gap}; it first parts where the force in a joint comes to nothing, "
         "between the lobe's quickest rise and its quickest fall."),
        ("A hydraulic follower neither pumps up nor leaks down; gas on the valve and friction of guides are left out; one ratio over the "
         "lift."),
        ("Stiffness, damping and what was not weighed are guessed where the list says so: common practice, no source. Believe the ranking "
         "of what would help more than the last hundred revolutions."),
        ("A lobe known by its card has no ramps: it takes up lash and sets the valve down harder than a ground one, and may part early "
         "from that."),
        "The coils swing as ten masses; a damper or an inner spring that rubs counts by the damping of the spring.",
        "Springs under load can fly. What the maker says goes before any of this.",
    ]


# -- one side ------------------------------------------------------------------------------------------------------------------

def _side(parts: Parts, speeds: int, *, sure: bool) -> Answer:
    model, of = parts.model, train_of(parts)
    top = model.value("redline")
    rates: list[float] = np.linspace(LOWEST * top, HIGHEST * top, speeds).tolist()
    runs = dynamics.runs(of, parts.lobe, rates)
    causes = [loss.Cause(words, moved(-1.0), moved(1.0)) for words, moved in ends(parts, least=KNOWN_WELL)] if sure else []
    losses = loss.loss_speeds(of, parts.lobe, lowest=LOWEST * top, highest=FARTHEST * top, points=POINTS, gaps=(0.0, GAP))
    first, floats = (Parting(loss.doubted(causes, loss=found, gap=gap), top) for found, gap in zip(losses, (0.0, GAP), strict=True))
    surface, basis = _surface(parts), Basis(model)
    write = model.amounts
    stiff = of.stiffness
    limit = contact.PAIRS[parts.pair].limit
    return {
        "side": parts.side, "valves": list(parts.stations), "gear": parts.gear, "gear_origin": parts.gear_origin,
        "lobe": {"origin": parts.lobe.origin, "words": parts.lobe.words, "lift": write(parts.lobe.peak, Quantity.LENGTH)},
        "mass": write(of.moving, Quantity.MASS), "stiffness": write(stiff, Quantity.STIFFNESS),
        "natural": _hertz(sqrt(stiff / of.moving) / (2 * pi)),
        "surge": [_hertz(f) for f in surge_frequencies(rate=of.rate, mass=sum(s.mass for s in of.springs), modes=2)],
        "rigid": _rigid(model, rigid_limit(of, parts.lobe)),
        "first": _told_parting(model, first), "floats": _told_parting(model, floats),
        "pair": TOUCHING[parts.pair], "pair_origin": parts.pair_origin, "limit": write.stress(limit), "no_stress": surface.why,
        "rows": [_row(parts, run, surface, basis) for run in runs],
        "curves": [_curve(model, run) for run in _shown(parts, of, floats)],
        "sizes": _sizes(parts),
    }


def _told_parting(model: Model, parting: Parting) -> Answer:
    found, write = parting.found, model.amounts
    speed, u = found.loss.speed, found.standard_uncertainty
    whole = u**2 or 1.0
    shares = [{"cause": s.words, "less": write(s.less, Quantity.SPEED), "more": write(s.more, Quantity.SPEED),
               "share": round(s.part**2 / whole, 4)} for s in found.shares]
    return {"found": found.loss.found, "speed": write(speed if isfinite(speed) else None, Quantity.SPEED, u or None),
            "tried": write(found.loss.tried, Quantity.SPEED), "at": round(degrees(found.loss.at), 1),
            "probability": round(parting.holds_to_redline, 4), "shares": shares}


def _rigid(model: Model, limit: Rigid) -> Answer:
    speed = limit.speed if limit.speed < inf else None
    return {"speed": model.amounts(speed, Quantity.SPEED), "at": round(degrees(limit.angle), 1)}


def _hertz(value: float) -> Answer:
    return {"value": value, "unit": "Hz", "standard_uncertainty": None, "text": f"{value:.0f} Hz"}


def _sizes(parts: Parts) -> list[Answer]:
    """What the motion and the contact rest on, with where each comes from."""
    write = parts.model.amounts
    names = dict.fromkeys((*parts.moving(), "valve-lift", "duration", "lobe-width", "base-radius", "follower-radius", "follower-crown"))
    rows = [{"name": name, "words": WORDS[name], **write(known.value, quantity_of(name), known.u or None), "origin": known.origin,
             "entries": list(known.entries)} for name in names if (known := parts.sizes.get(name)) is not None]
    doubt = doubt_of(parts.lobe)
    shape = {"value": 100 * doubt, "unit": "%", "standard_uncertainty": None, "text": f"±{200 * doubt:.2g} %"}
    return [*rows, {"name": "lobe", "words": "angles of the lobe", **shape, "origin": "taken" if parts.lobe.origin == "card" else "read",
                    "entries": []}]


# -- over speed and over the angle ---------------------------------------------------------------------------------------------

def _surface(parts: Parts) -> Surface:
    """Effective radius of the contact at every moment of a cycle."""
    angles = parts.lobe.centre + np.linspace(-2 * pi, 2 * pi, dynamics.MOMENTS, endpoint=False)
    roller, crown = parts.value("follower-radius"), parts.value("follower-crown")
    if roller > 0.0:
        own = followers.roller_surface(parts.lobe, angles=angles, roller=roller).radius
        cornered = bool(np.any((own <= 0.0) & (own > -roller)))
        curved = 1.0 / np.where(own == 0.0, 1.0, own) + 1.0 / roller
    else:
        own = followers.flat_surface(parts.lobe, angles=angles).radius
        cornered, curved = bool(np.any(own <= 0.0)), 1.0 / np.where(own == 0.0, 1.0, own)
    if cornered or bool(np.any(curved <= 0.0)):
        return Surface(None, crown, "the follower would ride over a corner of this lobe: base circle, lift, duration and follower do not "
                       "go together")
    return Surface(1.0 / curved, crown)


def _pressed(parts: Parts, run: dynamics.Run, surface: Surface, at: int) -> contact.Touch:
    """The contact at one moment."""
    assert surface.radii is not None  # noqa: S101 - asked before
    pair, force, radius = contact.PAIRS[parts.pair], float(run.forces[at]), float(surface.radii[at])
    width = parts.value("lobe-width")
    if surface.crown > 0.0:
        touch = contact.point_contact(force=force, along=radius, across=surface.crown, modulus=pair.modulus)
        if 2.0 * touch.half_length < width:
            return touch
    return contact.line_contact(force=force, length=width, radius=radius, modulus=pair.modulus)


def _hardest(parts: Parts, run: dynamics.Run, surface: Surface) -> tuple[float, float]:
    """Greatest stress of a cycle [Pa] and where [rad]; a crowned contact's goes as (force / radius^2)^(1/3), a line's as its root."""
    assert surface.radii is not None  # noqa: S101 - asked before
    likely = run.forces / surface.radii ** (2.0 if surface.crown > 0.0 else 1.0)
    at = int(np.argmax(likely))
    return _pressed(parts, run, surface, at).stress, float(run.angles[at])


def _film(parts: Parts, run: dynamics.Run, surface: Surface, basis: Basis) -> tuple[float, float] | None:
    """Film over the nose of a flat follower [m], and over roughness; None under a roller, whose own speed is not known."""
    nose = dynamics.MOMENTS // 2
    if surface.radii is None or parts.value("follower-radius") > 0.0 or not run.forces[nose] > 0.0:
        return None
    entrained = float(contact.flat_entrainment(parts.lobe, np.array([parts.lobe.centre]), speed=run.speed)[0])
    hot = basis.hot.estimate.value if basis.hot.estimate else 373.15
    film = contact.line_film(force=float(run.forces[nose]), length=parts.value("lobe-width"), radius=float(surface.radii[nose]),
                             modulus=contact.PAIRS[parts.pair].modulus, speed=entrained, viscosity=basis.oil.oil.viscosity(hot))
    return film, contact.film_ratio_of(film, lobe=ROUGH, follower=ROUGH)


def _row(parts: Parts, run: dynamics.Run, surface: Surface, basis: Basis) -> Answer:
    write = parts.model.amounts
    stress, at = _hardest(parts, run, surface) if surface.radii is not None else (None, 0.0)
    film = _film(parts, run, surface, basis)
    return {
        "speed": write(run.speed, Quantity.SPEED), "state": state(run), "least_force": _force(write, max(run.least_force, 0.0)),
        "least_at": round(degrees(run.least_at), 1), "parted": _small(write, run.parted),
        "parted_at": round(degrees(run.parted_at), 1), "landing": write(run.landing, Quantity.VELOCITY, figures=3),
        "landing_at": round(degrees(run.landing_at), 1), "bounce": _small(write, run.bounce), "landings": run.landings,
        "force": _force(write, run.greatest_force), "least_spring": _force(write, run.least_spring), "bound": run.bound,
        "stress": write.stress(stress), "stress_at": round(degrees(at), 1), "film_ratio": None if film is None else round(film[1], 2),
        "repeats": run.repeats,
    }


def _force(write: Amounts, newtons: float) -> Answer:
    """A force, in newtons in metric, whole."""
    return write(float(round(newtons)), Quantity.FORCE, unit="N" if write.system == "metric" else "lbf", figures=3)


def _small(write: Amounts, metres: float) -> Answer:
    """A gap or a bounce, to the micrometre."""
    return write(round(metres, 6), Quantity.LENGTH, figures=2)


def state(run: dynamics.Run) -> str:
    """What a train does at a speed, in a word or two."""
    return "floats" if run.parted > GAP else "holds" if run.holds else "parts"


def _shown(parts: Parts, of: Train, floats: Parting) -> list[dynamics.Run]:
    """Runs whose curves are worth a look: slow, the highest speed, and over where it floats."""
    top = parts.model.value("redline")
    wanted = [0.35 * top, top]
    if floats.found.loss.found:
        wanted.append(1.04 * floats.found.loss.speed)
    return list(dynamics.runs(of, parts.lobe, wanted))


def _curve(model: Model, run: dynamics.Run) -> Answer:
    """Force on the lobe, lift of the valve and gap of the train over the angle of the crank from the lobe's centre."""
    write = model.amounts
    force, length = write(1.0, Quantity.FORCE, unit="N" if model.system == "metric" else "lbf"), write(1.0, Quantity.LENGTH)

    def row(values: Floats, scale: float) -> list[float]:
        return [round(value, 6) for value in (values[::THIN] * scale).tolist()]

    return {"speed": write(run.speed, Quantity.SPEED), "state": state(run), "angle": list(starmap(round, ((degrees(a), 3) for a in
            run.angles[::THIN].tolist()))), "force": row(run.forces, force["value"]), "force_unit": force["unit"],
            "lift": row(run.lifts, length["value"]), "gap": row(run.gaps, length["value"]), "length_unit": length["unit"],
            "spring": row(run.spring_forces, force["value"])}
