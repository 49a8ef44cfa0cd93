"""The Reynolds equation for a journal bearing of finite length, by finite volumes.

Everything here is without dimension: angles around the bearing from where the film is thinnest in an aligned bearing, z from
one end (-1) to the other (1), film thickness H = h/c, velocities of the journal's centre in the frame in which the mean
surface speed is nothing, as multiples of c times a rate, and pressure P = p (c/R)^2 / (viscosity times that rate).

Two conditions where the film breaks. *Complementary*: pressure is nowhere below ambient, and where it is ambient the film may
fall short (Swift and Stieber; the condition of the published tables). *Conserving*: where pressure is ambient the share of
the gap that oil fills is the unknown instead, so that every cell keeps its oil (Jakobsson, Floberg and Olsson).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive, within
from tenths.errors import Unsettled

sparse: Any = import_module("scipy.sparse")
solvers: Any = import_module("scipy.sparse.linalg")
Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells around and along a bearing.

    Attributes:
        around: edges of the cells [rad], from -pi to pi, n + 1.
        along: edges of the cells from 0 (the middle) or -1 to 1 (an end), m + 1.
        whole: whether both halves are there; if not, the other half is taken to be the same.
    """

    around: Floats
    along: Floats
    whole: bool

    @property
    def angle(self) -> Floats:
        """Middles of the cells around [rad]."""
        return (self.around[1:] + self.around[:-1]) / 2.0

    @property
    def place(self) -> Floats:
        """Middles of the cells along [-]."""
        return (self.along[1:] + self.along[:-1]) / 2.0


def grid(*, eccentricity: float, cells: tuple[int, int] = (240, 16), whole: bool = False) -> Grid:
    """Cells that are narrow where the film is thin.

    Args:
        eccentricity: of the journal [-], 0 to below 1: half of the cells go to the width of its thin film.
        cells: how many around and along (one half) [-].
        whole: give both halves.

    Returns:
        The grid.

    Raises:
        OutOfRange: for an eccentricity outside of that range.

    Validity: one thin place; the error of a grid shows by refining it.
    Source: own choice; the effect of the number of cells is measured in tests.
    """
    within(0.0, 0.99999, eccentricity=eccentricity)
    width = max(math.sqrt(2.0 * (1.0 - eccentricity)), 1e-3)
    fine: Floats = np.linspace(-math.pi, math.pi, 20001)
    fine = math.pi * np.sign(fine) * np.abs(fine / math.pi) ** 3 if width < 0.5 else fine
    amount: Floats = fine + (math.pi * np.arctan(fine / width) / math.atan(math.pi / width) if eccentricity > 0.3 else 0.0)
    around: Floats = np.interp(np.linspace(float(amount[0]), float(amount[-1]), cells[0] + 1), amount, fine)
    # along, cells become narrow towards the end, where pressure falls steeply
    half = np.sin(np.linspace(0.0, math.pi / 2.0, cells[1] + 1))
    return Grid(around, np.concatenate([-half[::-1], half[1:]]) if whole else half, whole)


@dataclass(frozen=True, slots=True)
class Film:
    """A solved film.

    Attributes:
        pressure: at the cells [-], shape (around, along).
        filled: share of the gap that holds oil [-], the same shape; 1 under pressure.
        force: that the film carries per R L (R/c)^2 viscosity rate, towards the thinnest film, and across [-].
        leak: out of both ends per c R L rate [-].
        fed: into the film from the cells that hold a pressure, per c R L rate [-].
        shear: integral of (filled c/h) around, mean along [rad].
        shear_whole: the same with the whole gap full of oil [rad].
        unbalance: the largest gain or loss of oil in any cell against the largest flow [-].
        rounds: iterations.
    """

    pressure: Floats
    filled: Floats
    force: complex
    leak: float
    fed: float
    shear: float
    shear_whole: float
    unbalance: float
    rounds: int


@dataclass(frozen=True, slots=True)
class _Faces:
    """Conductances across the faces of cells, and widths."""

    around: Floats  # (n, m): face between a cell and the next around
    along: Floats  # (n, m - 1)
    ends: tuple[Floats, Floats]  # (n,): from the first and the last cell to the ends
    width: Floats
    length: Floats


def _faces(cells: Grid, thickness: Floats, slenderness: float) -> _Faces:
    width, length = np.diff(cells.around), np.diff(cells.along)
    cube = thickness**3
    middle = (width + np.roll(width, -1)) / 2.0
    between = 2.0 * cube * np.roll(cube, -1, axis=0) / (cube + np.roll(cube, -1, axis=0))
    around = between * length / middle[:, None]
    factor = slenderness**-2
    step = (length[1:] + length[:-1]) / 2.0
    side = 2.0 * cube[:, 1:] * cube[:, :-1] / (cube[:, 1:] + cube[:, :-1])
    along = factor * side * width[:, None] / step
    last = factor * cube[:, -1] * width / (length[-1] / 2.0)
    first = factor * cube[:, 0] * width / (length[0] / 2.0) if cells.whole else np.zeros_like(last)
    return _Faces(around, along, (first, last), width, length)


def _matrix(faces: _Faces) -> Any:
    """What leaves each cell by pressure, as a sparse matrix on the pressures."""
    count_around, count_along = faces.around.shape
    total = int(count_around * count_along)
    number: Whole = np.arange(total, dtype=np.int64).reshape(faces.around.shape)
    after: Whole = np.roll(number, -1, axis=0)
    pairs = [(number.ravel(), after.ravel(), faces.around.ravel())]
    pairs.append((number[:, :-1].ravel(), number[:, 1:].ravel(), faces.along.ravel()))
    here = np.concatenate([pair[0] for pair in pairs])
    there = np.concatenate([pair[1] for pair in pairs])
    value = np.concatenate([pair[2] for pair in pairs])
    diagonal = np.bincount(here, value, total) + np.bincount(there, value, total)
    sides = diagonal.reshape(count_around, count_along)
    sides[:, 0] += faces.ends[0]
    sides[:, -1] += faces.ends[1]
    rows = np.concatenate([here, there, np.arange(total)])
    columns = np.concatenate([there, here, np.arange(total)])
    return sparse.csr_matrix((np.concatenate([-value, -value, sides.ravel()]), (rows, columns)), shape=(total, total))


@dataclass(frozen=True, slots=True)
class Feed:
    """Cells in which a groove or hole holds the pressure.

    Attributes:
        where: true at these cells, shape (around, along) [-].
        pressure: there [-].
    """

    where: NDArray[np.bool_]
    pressure: float = 0.0


def feed_line(cells: Grid, *, pressure: float = 0.0) -> Feed:
    """A feed over the whole length where an aligned film is thickest, as in the published tables.

    Args:
        cells: the grid.
        pressure: in the feed [-].

    Returns:
        The feed.

    Validity: any grid.
    Source: inlet of [Raimondi].
    """
    where = np.zeros((cells.angle.size, cells.place.size), dtype=np.bool_)
    where[0] = True
    return Feed(where, pressure)


def pressed(
    cells: Grid, thickness: Floats, growth: Floats, *, slenderness: float, feed: Feed | None = None, start: NDArray[np.bool_] | None = None
) -> Film:
    """Pressures under the complementary condition.

    Args:
        cells: the grid.
        thickness: H at the cells [-], shape (around, along).
        growth: dH by time, in the frame in which the mean surface speed is nothing [-], the same shape.
        slenderness: length over diameter [-].
        feed: cells that hold a pressure; none otherwise.
        start: cells expected under pressure, from a film alike; saves time [-].

    Returns:
        The film; `filled` is 1 under pressure and 0 elsewhere, since this condition does not follow what streamers carry.

    Raises:
        OutOfRange: for a slenderness that is not positive, or a film that touches.
        Unsettled: if the pressures do not settle.

    Validity: laminar, one viscosity, no inertia of the oil.
    Source: Reynolds equation and Swift-Stieber condition in [Hamrock]; solved as a linear complementarity problem by
        Newton's method on min(P, residual).
    """
    positive(slenderness=slenderness, thinnest_film=float(np.min(thickness)))
    faces = _faces(cells, thickness, slenderness)
    matrix = _matrix(faces)
    source = (12.0 * growth * faces.width[:, None] * faces.length).ravel()
    scale = float(np.max(np.abs(source))) or 1.0
    fixed, held = _held(feed, source.size)
    free = ~fixed
    active = (source < 0.0 if start is None else start.ravel().copy()) & free
    for rounds in range(1, _ROUNDS + 1):
        pressure = held.copy()
        chosen = np.flatnonzero(active)
        if chosen.size:
            rest = -source[chosen] - (matrix[chosen] @ held if feed is not None else 0.0)
            pressure[chosen] = _solve(matrix[chosen][:, chosen], rest)
        residual = matrix @ pressure + source
        again = np.where(active, pressure > 0.0, residual < -1e-12 * scale) & free
        if np.array_equal(again, active):
            lack = np.where(active, residual, 0.0)
            full = (active | fixed).reshape(thickness.shape)
            out = _Solved(pressure.reshape(thickness.shape), full.astype(np.float64), full, lack, scale, residual[fixed], rounds)
            return _answer(cells, faces, thickness, out)
        active = again
    raise Unsettled(f"the film of a bearing of length over diameter {slenderness:g} did not settle in {_ROUNDS} rounds")


def conserving(
    cells: Grid,
    thickness: Floats,
    *,
    slenderness: float,
    feed: Feed | None = None,
    before: tuple[Floats, float] | None = None,
    start: NDArray[np.bool_] | None = None,
) -> Film:
    """Pressures and fillings under the conserving condition; surfaces drag oil towards larger angles.

    Args:
        cells: the grid, fixed to the sleeve. The rate of `Film` is the mean angular speed of the surfaces.
        thickness: H at the cells [-], shape (around, along).
        slenderness: length over diameter [-].
        feed: cells that hold a pressure and are full; none otherwise.
        before: filled times H at the cells a moment ago, and how long ago [-]; steady otherwise.
        start: cells expected full, from a film alike; saves time [-].

    Returns:
        The film.

    Raises:
        OutOfRange: for a slenderness that is not positive, or a film that touches.
        Unsettled: if the film does not settle.

    Validity: as of `pressed`; oil outside of the ends does not come back in.
    Source: condition of Jakobsson, Floberg and Olsson in [Hamrock]; solved by Newton's method on min(P, 1 - filled), as
        in [Woloszynski].
    """
    positive(slenderness=slenderness, thinnest_film=float(np.min(thickness)))
    faces = _faces(cells, thickness, slenderness)
    matrix = _matrix(faces)
    shape, size = thickness.shape, thickness.size
    area = faces.width[:, None] * faces.length
    face = (thickness + np.roll(thickness, -1, axis=0)) / 2.0
    source = 12.0 * (face - np.roll(face, 1, axis=0)) * faces.length
    carried = 12.0 * thickness * faces.length  # what a wholly empty cell would fail to pass on
    kept = np.zeros(shape)
    if before is not None:
        positive(moment=before[1])
        source = source + 12.0 * (thickness - before[0]) * area / before[1]
        kept = 12.0 * thickness * area / before[1]
    number: Whole = np.arange(size, dtype=np.int64).reshape(shape)
    upstream = np.roll(number, 1, axis=0).ravel()
    empty = sparse.csr_matrix(
        (
            np.concatenate([-(carried + kept).ravel(), np.roll(carried, 1, axis=0).ravel()]),
            (np.concatenate([number.ravel()] * 2), np.concatenate([number.ravel(), upstream])),
        ),
        shape=(size, size),
    )
    source = source.ravel()
    scale = float(np.max(np.abs(np.concatenate([source, carried.ravel()]))))
    fixed, held = _held(feed, size)
    free = np.flatnonzero(~fixed)
    full = ((source < 0.0) if start is None else start.ravel().copy()) | fixed
    for rounds in range(1, _ROUNDS + 1):
        under = sparse.diags_array(np.where(full, 1.0, 0.0))
        over = sparse.diags_array(np.where(full, 0.0, 1.0))
        system = (matrix @ under + empty @ over).tocsr()
        unknown = np.where(full, held, 0.0)
        unknown[free] = _solve(system[free][:, free], -source[free] - system[free] @ unknown)
        again = full.copy()
        again[free] = np.where(full[free], unknown[free] >= 0.0, unknown[free] < 0.0)
        if np.array_equal(again, full):
            pressure = np.where(full, unknown, 0.0)
            residual = matrix @ pressure + empty @ np.where(full, 0.0, unknown) + source
            filled = np.where(full, 1.0, 1.0 - unknown).reshape(shape)
            lack = np.where(fixed, 0.0, residual)
            out = _Solved(pressure.reshape(shape), filled, full.reshape(shape), lack, scale, residual[fixed], rounds)
            return _answer(cells, faces, thickness, out)
        full = again
    raise Unsettled(f"the film of a bearing of length over diameter {slenderness:g} did not settle in {_ROUNDS} rounds")


def _held(feed: Feed | None, size: int) -> tuple[NDArray[np.bool_], Floats]:
    if feed is None:
        return np.zeros(size, dtype=np.bool_), np.zeros(size)
    where = feed.where.ravel()
    return where, np.where(where, feed.pressure, 0.0)


def _solve(matrix: Any, right: Floats) -> Floats:
    return solvers.splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A").solve(right)


@dataclass(frozen=True, slots=True)
class _Solved:
    pressure: Floats
    filled: Floats
    full: NDArray[np.bool_]
    lack: Floats
    scale: float
    fed: Floats  # what the cells that hold a pressure lose to the film
    rounds: int


def _answer(cells: Grid, faces: _Faces, thickness: Floats, solved: _Solved) -> Film:
    half = 2.0 if cells.whole else 1.0  # means along the bearing
    area = faces.width[:, None] * faces.length / half
    pull = solved.pressure * area * np.exp(1j * cells.angle)[:, None]
    out = np.sum(faces.ends[1] * solved.pressure[:, -1]) + np.sum(faces.ends[0] * solved.pressure[:, 0])
    friction = area / thickness
    return Film(
        pressure=solved.pressure,
        filled=solved.filled,
        force=complex(np.sum(pull)),
        leak=float(out) / (12.0 * half),
        fed=float(np.sum(solved.fed)) / (12.0 * half),
        shear=float(np.sum(friction * solved.filled)),
        shear_whole=float(np.sum(friction)),
        unbalance=float(np.max(np.abs(solved.lack), initial=0.0)) / solved.scale,
        rounds=solved.rounds,
    )


@dataclass(frozen=True, slots=True)
class Steady:
    """A bearing under a steady load, in the numbers of the published tables.

    Attributes:
        sommerfeld: (viscosity N / P) (R/c)^2 with N in turns per second and P = load / (L D) [-].
        attitude: from the load to the thinnest film [rad].
        friction: coefficient of friction on the journal times R/c [-], all the circumference full of oil.
        friction_streamers: the same where oil outside of the pressed film is torn to streamers [-].
        flow: through the thickest film, per R c N L [-].
        side_flow: share of that which leaves at the ends [-].
        peak: mean pressure over the largest [-].
    """

    sommerfeld: float
    attitude: float
    friction: float
    friction_streamers: float
    flow: float
    side_flow: float
    peak: float


def steady(*, eccentricity: float, slenderness: float, cells: tuple[int, int] = (240, 16)) -> Steady:
    """A plain bearing fed over its length where the film is thickest.

    Args:
        eccentricity: of the journal over the radial clearance [-], above 0 to below 1.
        slenderness: length over diameter [-].
        cells: around, and along one half.

    Returns:
        The numbers of the tables.

    Raises:
        OutOfRange: outside those ranges.
        Unsettled: if the film does not settle.

    Validity: laminar, one viscosity, feed at ambient pressure, journal parallel to the sleeve.
    Source: [Raimondi] part III for the variables.
    """
    positive(eccentricity=eccentricity)
    mesh = grid(eccentricity=eccentricity, cells=cells)
    thickness = np.repeat(1.0 - eccentricity * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    film = conserving(mesh, thickness, slenderness=slenderness, feed=feed_line(mesh))
    load = abs(film.force)
    attitude = -math.atan2(film.force.imag, film.force.real)
    # the rate is pi N; the shear of the journal's speed is 2 pi N, and pressure adds its moment about the sleeve's centre
    turning = eccentricity * math.sin(attitude) / 2.0
    full, torn = (2.0 * shear / load + turning for shear in (film.shear_whole, film.shear))
    faces = _faces(mesh, thickness, slenderness)
    pressed_back = float(np.sum(faces.around[0] * (film.pressure[1] - film.pressure[0])))
    inflow = float(thickness[0, 0] + thickness[1, 0]) / 2.0 - pressed_back / 12.0
    return Steady(
        sommerfeld=2.0 / (math.pi * load),
        attitude=attitude,
        friction=full,
        friction_streamers=torn,
        flow=math.pi * inflow,
        side_flow=film.leak / inflow,
        peak=load / 2.0 / float(np.max(film.pressure)),
    )
