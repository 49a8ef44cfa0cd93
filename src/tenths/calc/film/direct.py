"""The slower reference: a bearing followed through its cycle by solving its film anew, with its groove, at every moment.

The film keeps its oil from moment to moment (the conserving condition of `reynolds`), so that a cavity fills and empties in its own
time. It takes minutes where the maps take a millisecond, and tells what these leave out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive
from tenths.calc.film.cycle import Bearing, Cycle
from tenths.calc.film.mobility import moved
from tenths.calc.film.reynolds import Feed, Film, Floats, Grid, conserving
from tenths.errors import Unsettled

_NEAREST = 1e-4
_STEPS = 40
_PARTS = 8
_ELSEWHERE = (0.5, 0.8, 0.9, 0.95, 0.98, 0.3)


@dataclass(frozen=True, slots=True)
class Followed:
    """A bearing followed directly.

    Attributes:
        path: of the journal's centre over the radial clearance [-], complex, per moment.
        films: thinnest film per moment [m].
        pressures: largest pressure per moment [Pa].
        leak: of oil out of the ends, mean over the last cycle [m3/s].
        unbalance: the largest gain or loss of oil in any cell at any moment, against the largest flow [-].
        apart: from where the last cycle began to where it ended, over the radial clearance [-].
    """

    path: NDArray[np.complex128]
    films: Floats
    pressures: Floats
    leak: float
    unbalance: float
    apart: float


def even_grid(cells: tuple[int, int]) -> Grid:
    """Cells of even width around, fixed to the sleeve.

    Args:
        cells: around, and along one half.

    Returns:
        The grid.

    Validity: films whose thin part is several cells wide: width about sqrt(2 (1 - eccentricity)) radians.
    Source: own choice.
    """
    return Grid(np.linspace(-math.pi, math.pi, cells[0] + 1), np.sin(np.linspace(0.0, math.pi / 2.0, cells[1] + 1)), whole=False)


def groove_of(bearing: Bearing, cells: Grid, *, scale: float) -> Feed | None:
    """The cells of a bearing's groove or hole.

    Args:
        bearing: its sizes.
        cells: the grid.
        scale: pressure that counts as one in the solution [Pa].

    Returns:
        Where the supply's pressure is held; None without groove and hole. A hole is taken to be square, on the middle of
        the length and at `groove_at`.

    Raises:
        OutOfRange: for a scale that is not positive.

    Validity: grooves at least as wide as a cell; narrower ones fill the first row of cells.
    Source: own choice.
    """
    positive(scale=scale)
    width, extent = bearing.groove_width, bearing.groove_extent
    if not width and bearing.hole:
        width, extent = bearing.hole, bearing.hole / (bearing.diameter / 2.0)
    if not width or not extent:
        return None
    along = cells.place <= max(width / bearing.length, cells.place[0])
    away = np.abs(np.angle(np.exp(1j * (cells.angle - bearing.groove_at))))
    around = away <= max(extent / 2.0, float(np.min(away)))
    return Feed(around[:, None] & along[None, :], bearing.supply / scale)


def followed(
    bearing: Bearing,
    cycle: Cycle,
    *,
    viscosity: float,
    cells: tuple[int, int] = (120, 8),
    cycles: int = 2,
    start: complex = 0j,
    progress: Callable[[int, int], None] | None = None,
) -> Followed:
    """A bearing over its cycle, film by film.

    Args:
        bearing: its sizes.
        cycle: what it bears.
        viscosity: of the oil [Pa s].
        cells: around, and along one half.
        cycles: how many to follow; the last is told.
        start: where the journal's centre starts, over the radial clearance [-].
        progress: told how many of how many moments are done.

    Returns:
        The path.

    Raises:
        OutOfRange: for a viscosity that is not positive.
        Unsettled: if no place of the journal carries the load at some moment, told by its number.

    Validity: as of `conserving`; full backward steps in time, so that moments must be close together (a degree or two of
        the crank), and thin films several cells wide.
    Source: as of `conserving`; one Newton solution for the journal's place at each moment.
    """
    positive(viscosity=viscosity)
    mesh = even_grid(cells)
    count = cycle.loads.size
    path, peaks, leaks = np.zeros(count, dtype=np.complex128), np.zeros(count), np.zeros(count)
    place, worst, began = start, 0.0, start
    carried = _thickness(mesh, place)
    state = _Moment(mesh, bearing, viscosity, cycle.period / count)
    for k in range(cycles * count):
        at = (k + 1) % count
        place, film = state.next(place, carried, complex(cycle.loads[at]), float(cycle.drift[at]), k)
        carried = film.filled * _thickness(mesh, place)
        rate = abs(float(cycle.drift[at]))
        path[at], worst = place, max(worst, film.unbalance)
        peaks[at] = float(np.max(film.pressure)) * viscosity * rate * (bearing.diameter / 2.0 / bearing.clearance) ** 2
        leaks[at] = film.leak * bearing.clearance * bearing.diameter / 2.0 * bearing.length * rate
        if k == (cycles - 1) * count - 1:
            began = place
        if progress is not None:
            progress(k + 1, cycles * count)
    films = (1.0 - np.abs(path)) * bearing.clearance
    return Followed(path, films, peaks, float(np.mean(leaks)), worst, abs(place - began))


def _thickness(mesh: Grid, place: complex) -> Floats:
    around = 1.0 - (place * np.exp(-1j * mesh.angle)).real
    return np.repeat(around[:, None], mesh.place.size, axis=1)


class _Moment:
    """Finds where the journal must be for its film to carry the load."""

    def __init__(self, mesh: Grid, bearing: Bearing, viscosity: float, moment: float) -> None:
        self.mesh, self.bearing, self.viscosity, self.moment = mesh, bearing, viscosity, moment
        self.full: NDArray[np.bool_] | None = None
        self.slope: Floats | None = None

    def film(self, place: complex, carried: Floats, rate: float) -> Film:
        bearing = self.bearing
        scale = self.viscosity * rate * (bearing.diameter / 2.0 / bearing.clearance) ** 2
        film = conserving(
            self.mesh,
            _thickness(self.mesh, place),
            slenderness=bearing.length / bearing.diameter,
            feed=groove_of(bearing, self.mesh, scale=scale),
            before=(carried, self.moment * rate),
            start=self.full,
        )
        self.full = film.filled >= 1.0
        return film

    def next(self, place: complex, carried: Floats, load: complex, rate: float, number: int) -> tuple[complex, Film]:
        bearing = self.bearing
        radius = bearing.diameter / 2.0
        unit = self.viscosity * rate * (radius / bearing.clearance) ** 2 * radius * bearing.length
        wanted = load / unit
        turn = load / abs(load) if load else 1.0
        starts = [self._guessed(place, load, rate), place, *(turn * away for away in _ELSEWHERE)]
        for start in starts:
            found = self._from(start, carried, wanted, rate)
            if found is not None:
                return found
        message = f"moment {number}: no place of the journal carries {abs(load):.4g} N"
        raise Unsettled(message)

    def _from(self, place: complex, carried: Floats, wanted: complex, rate: float) -> tuple[complex, Film] | None:
        film = self.film(place, carried, rate)
        self.slope = None
        for _ in range(_STEPS):
            lack = wanted - film.force
            if abs(lack) <= 1e-6 * max(abs(wanted), 1.0):
                return place, film
            if self.slope is None:
                self.slope = self._slope(place, film, carried, rate)
            step = complex(*np.linalg.lstsq(self.slope, np.array([lack.real, lack.imag]), rcond=None)[0])
            stood = place
            place, film, better = self._stepped(place, film, step, wanted, carried, rate)
            if not better:
                self.slope = None
                if place == stood:
                    return None
        return None

    def _guessed(self, place: complex, load: complex, rate: float) -> complex:
        """Where the maps would take the journal: across a cavity the film itself gives no slope to follow."""
        bearing = self.bearing
        slenderness = bearing.length / bearing.diameter
        pull = abs(load) * (2.0 * bearing.clearance / bearing.diameter) ** 2 / (self.viscosity * bearing.length * bearing.diameter)
        turn = load / abs(load) if load else 1.0
        for _ in range(_PARTS):
            found = moved(place, load_direction=float(np.angle(turn)), slenderness=slenderness)
            place += self.moment / _PARTS * (1j * rate * place + pull * found.mobility * turn)
            place *= min(1.0, (1.0 - 10 * _NEAREST) / max(abs(place), 1e-9))
        return place

    def _slope(self, place: complex, film: Film, carried: Floats, rate: float) -> Floats:
        little = 1e-4 * (1.0 - abs(place))
        columns = [(self.film(place + way * little, carried, rate).force - film.force) / little for way in (1.0, 1j)]
        return np.array([[column.real for column in columns], [column.imag for column in columns]])

    def _stepped(
        self, place: complex, film: Film, step: complex, wanted: complex, carried: Floats, rate: float
    ) -> tuple[complex, Film, bool]:
        """A step that keeps off the wall and lessens what is lacking; tells whether it did so fast enough."""
        before = abs(wanted - film.force)
        size = min(1.0, 0.7 * (1.0 - abs(place)) / max(abs(step), 1e-300))
        for _ in range(12):
            tried = place + size * step
            if abs(tried) < 1.0 - _NEAREST:
                found = self.film(tried, carried, rate)
                if abs(wanted - found.force) < before:
                    return tried, found, abs(wanted - found.force) < 0.3 * before
            size /= 3.0
        return place, film, False
