"""The lobe of a valve train: as it was read, else off the maker's card, else drawn from lift and duration as they are stated."""

from collections.abc import Sequence
from dataclasses import replace
from math import radians
from typing import Any

import numpy as np

from tenths.calc.valves.lobes import Lobe, Motion
from tenths.calc.valves.profiles import card_lobe
from tenths.services.lobe_fits import carded, read_lobes
from tenths.services.running_model import Model
from tenths.services.wheel import timed

CHECKED_AT = 0.15e-3  # lift of the valve at which a card's seat-to-seat duration counts: common practice
CARD_DOUBT = 0.04  # of the angles of a lobe known by its card: twice that of its acceleration; common practice
MOST_DOUBT = 0.2
OFF_BASE = 2e-6  # m: readings that end higher than this are led down to the base circle
RUN_OUT = radians(12)  # of the crank, at least so far


def lobe_of_side(
    model: Model, side: str, valve: str, *, lift: float, duration: float, ratio: float, lash: float, base_radius: float
) -> Lobe:
    """The lobe of a side's valves, or of one valve.

    Args:
        model: the engine as it runs.
        side: intake or exhaust.
        valve: its station, or empty for the mean of those that were read.
        lift: greatest, at the valve [m].
        duration: from seat to seat [rad].
        ratio: of the rocker [-].
        lash: valve shut [m].
        base_radius: of the base circle [m].
    """
    station = valve.replace("valve.", "lobe.", 1)
    held = [read for read in read_lobes(timed(model.build)) if read.fit and not read.stale and read.side == side]
    mine = [read for read in held if read.station == station] or held
    if mine:
        lobe = _mean([rested(read.fit.lobe) for read in mine if read.fit])
        words = f"{mine[0].words}, {lobe.words}" if len(mine) == 1 else f"mean of {len(mine)} lobes that were read"
        return replace(lobe, base_radius=base_radius, words=words)
    card = model.build.cams.card
    drawn = carded(card, side).lobe if card else None
    if drawn is not None:
        return replace(drawn, base_radius=base_radius)
    return card_lobe(lift=(lift + lash) / ratio, lifts=[(lash + CHECKED_AT) / ratio], durations=[duration], base_radius=base_radius)


def _mean(lobes: Sequence[Lobe]) -> Lobe:
    """Several lobes as one, each about its own centre."""
    if len(lobes) == 1:
        return lobes[0]
    reach = max(float(np.max(np.abs(lobe.angles - lobe.centre))) for lobe in lobes)
    away = np.linspace(-reach, reach, 2 * round(np.degrees(reach)) + 1)
    motions = [lobe.at(lobe.centre + away) for lobe in lobes]
    errors = [lobe.errors_at(lobe.centre + away) for lobe in lobes]
    count = len(lobes)

    def mean(name: str) -> Any:
        return sum(getattr(motion, name) for motion in motions) / count

    def error(name: str) -> Any:
        return np.sqrt(sum(getattr(one, name) ** 2 for one in errors)) / count

    names = ("lift", "velocity", "acceleration", "jerk")
    return replace(lobes[0], angles=away, centre=0.0, motion=Motion(**{name: mean(name) for name in names}),
                   errors=Motion(**{name: error(name) for name in names}))


def base_of(model: Model) -> float | None:
    """Radius of the base circle off the card [m]; None where it does not say."""
    card = model.build.cams.card
    across = card.sizes.get("base_circle") if card else None
    return across / 2.0 if across else None


def rested(lobe: Lobe) -> Lobe:
    """A lobe whose readings begin or end above the base circle, led down to it without a step in lift, velocity or acceleration."""
    for last in (False, True):
        if float(lobe.motion.lift[-1 if last else 0]) > OFF_BASE:
            lobe = _led(lobe, last=last)
    return lobe


def _led(lobe: Lobe, *, last: bool) -> Lobe:
    """With a flank of fifth degree put on at one end."""
    end, sign, motion = (-1, 1.0, lobe.motion) if last else (0, -1.0, lobe.motion)
    lift, slope, bend = float(motion.lift[end]), sign * float(motion.velocity[end]), float(motion.acceleration[end])
    away = min(max(2.5 * lift / abs(slope) if slope else RUN_OUT, RUN_OUT), 4.0 * RUN_OUT)
    y, v, a = lift, slope * away, bend * away**2
    curve: Any = np.polynomial.Polynomial([y, v, a / 2, -10 * y - 6 * v - 1.5 * a, 15 * y + 8 * v + 1.5 * a, -6 * y - 3 * v - 0.5 * a])
    share = np.linspace(0.0, 1.0, 33)[1:]
    added = [(curve.deriv(n) if n else curve)(share) * (sign / away) ** n for n in range(4)]
    angles = float(lobe.angles[end]) + sign * away * share
    rows = (motion.lift, motion.velocity, motion.acceleration, motion.jerk)
    errors = (lobe.errors.lift, lobe.errors.velocity, lobe.errors.acceleration, lobe.errors.jerk)
    held = [np.full(share.shape, float(row[end])) for row in errors]
    return replace(lobe, angles=_put(lobe.angles, angles, last=last), motion=_motion(rows, added, last=last),
                   errors=_motion(errors, held, last=last))


def _put(row: Any, added: Any, *, last: bool) -> Any:
    return np.concatenate([row, added] if last else [added[::-1], row])


def _motion(rows: Any, added: Any, *, last: bool) -> Motion:
    lift, velocity, acceleration, jerk = (_put(row, more, last=last) for row, more in zip(rows, added, strict=True))
    return Motion(lift=lift, velocity=velocity, acceleration=acceleration, jerk=jerk)


def doubt_of(lobe: Lobe) -> float:
    """Relative standard uncertainty of the lobe's angles: half of that of its acceleration where it slows its follower most."""
    if lobe.origin == "card":
        return CARD_DOUBT
    most = int(np.argmin(lobe.motion.acceleration))
    slowing = -float(lobe.motion.acceleration[most])
    return min(0.5 * float(lobe.errors.acceleration[most]) / slowing, MOST_DOUBT) if slowing > 0.0 else 0.0


def stretched(lobe: Lobe, by: float) -> Lobe:
    """The same lift over angles so many times as wide."""
    motion = lobe.motion
    moved = Motion(lift=motion.lift, velocity=motion.velocity / by, acceleration=motion.acceleration / by**2, jerk=motion.jerk / by**3)
    return replace(lobe, angles=lobe.centre + (lobe.angles - lobe.centre) * by, motion=moved)
