"""Writes the mobility maps of `tenths.calc.film.mobility` from solutions of the Reynolds equation; takes half an hour.

Run `python -m tenths.calc.film._make_maps` after a change of `reynolds`. Each value is extrapolated from two grids. The file also
holds how far solutions on a finer grid, at places that are no knots, lie from what is looked up: `errors`.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc.film.reynolds import Film, Grid, grid, pressed

interpolation: Any = import_module("scipy.interpolate")
SLENDERNESS = (0.1, 0.15, 0.22, 0.33, 0.5, 0.7, 1.0, 1.5)
THINNESS = np.linspace(0.0, 3.2, 33)  # -log10(1 - eccentricity)
STEPS = 41  # of the load's angle, from 0 to pi, close together near 0: see `load_angles`
GRIDS = ((100, 8), (200, 16))
FIELDS = ("log_mobility", "direction", "log_leak", "log_peak", "pressed_shear")
FILE = Path(__file__).parents[2] / "data" / "mobility.npz"
_FILL = 1.4 / 40  # of the whole way that knots divide evenly: the widest step between solutions
_TURN = 0.3  # rad: the widest step of the velocity's direction between solutions


def load_angles(thinness: float) -> NDArray[np.float64]:
    """Knots of the load's direction from the eccentricity [rad]: even steps of asinh(angle / width of the thin film)."""
    width = math.sqrt(2.0 * 10.0**-thinness)
    return width * np.sinh(np.linspace(0.0, math.asinh(math.pi / width), STEPS))


def moved(cells: Grid, eccentricity: float, direction: float, slenderness: float, start: NDArray[np.bool_] | None = None) -> Film:
    """The film when the journal moves with unit velocity at an angle to its eccentricity."""
    thickness = np.repeat(1.0 - eccentricity * np.cos(cells.angle)[:, None], cells.place.size, axis=1)
    growth = np.repeat(-np.cos(cells.angle - direction)[:, None], cells.place.size, axis=1)
    return pressed(cells, thickness, growth, slenderness=slenderness, start=start)


def numbers(film: Film, direction: float) -> tuple[float, NDArray[np.float64]]:
    """The load's direction [rad], and the fields there."""
    load = abs(film.force)
    at = math.atan2(film.force.imag, film.force.real)
    peak = 2.0 * float(np.max(film.pressure)) / load
    return at, np.array([math.log(2.0 / load), direction, math.log(film.leak), math.log(peak), film.shear / film.shear_whole])


def along(solve: Callable[[float], tuple[float, NDArray[np.float64]]], thinness: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Fields at the load angles that come out, close enough to each other to be interpolated."""
    width = math.sqrt(2.0 * 10.0**-thinness)
    fill = _FILL * math.asinh(math.pi / width)
    found = {float(direction): solve(float(direction)) for direction in np.linspace(0.0, math.pi, 9)}
    while True:
        known = sorted(found)
        wide = [
            (a, b)
            for a, b in pairwise(known)
            if math.asinh(found[b][0] / width) - math.asinh(found[a][0] / width) > fill or b - a > _TURN
        ]
        wide = [(a, b) for a, b in wide if b - a > 1e-4]
        if not wide:
            break
        for a, b in wide:
            found[(a + b) / 2.0] = solve((a + b) / 2.0)
    angles = np.array([found[key][0] for key in sorted(found)])
    return angles, np.array([found[key][1] for key in sorted(found)])


def ring(slenderness: float, thinness: float) -> NDArray[np.float64]:
    """Fields at one eccentricity: shape (fields, load angles)."""
    eccentricity = 1.0 - 10.0**-thinness
    levels: list[NDArray[np.float64]] = []
    for cells in GRIDS:
        mesh = grid(eccentricity=eccentricity, cells=cells)
        last: list[NDArray[np.bool_]] = []

        def solve(direction: float, mesh: Grid = mesh, last: list[NDArray[np.bool_]] = last) -> tuple[float, NDArray[np.float64]]:
            film = moved(mesh, eccentricity, direction, slenderness, last[-1] if last else None)
            last[:] = [film.pressure > 0.0]
            return numbers(film, direction)

        angles, fields = along(solve, thinness)
        angles[0], angles[-1] = 0.0, math.pi
        keep = np.concatenate([[True], np.diff(angles) > 1e-9])
        levels.append(interpolation.PchipInterpolator(angles[keep], fields[keep])(load_angles(thinness)).T)
    coarse, fine = levels
    return fine + (fine - coarse) / 3.0


def one(task: tuple[float, float]) -> NDArray[np.float64]:
    """`ring` with its arguments in one, for a pool."""
    return ring(*task)


def tasks() -> Iterator[tuple[float, float]]:
    """All rings, slenderness outermost."""
    for slenderness in SLENDERNESS:
        for thinness in THINNESS:
            yield slenderness, float(thinness)


def errors(count: int = 120) -> NDArray[np.float64]:
    """Against a finer grid, at places by chance: slenderness, eccentricity, then what velocity, leak and peak are off [-]."""
    from tenths.calc.film.mobility import moved as looked_up  # noqa: PLC0415 - it reads the file that this writes

    chance, found = np.random.default_rng(1), np.empty((count, 5))
    for row in found:
        slenderness = float(chance.uniform(SLENDERNESS[0], SLENDERNESS[-1]))
        eccentricity, direction = float(1.0 - 10.0 ** -chance.uniform(0.05, 2.5)), float(chance.uniform(0.0, math.pi))
        film = moved(grid(eccentricity=eccentricity, cells=(320, 24)), eccentricity, direction, slenderness)
        at, fields = numbers(film, direction)
        velocity = math.exp(fields[0]) * np.exp(1j * (direction - at))
        ours = looked_up(eccentricity * np.exp(-1j * at), load_direction=0.0, slenderness=slenderness)
        row[:] = (
            slenderness, eccentricity, abs(ours.mobility - velocity) / abs(velocity), abs(ours.leak / math.exp(fields[2]) - 1.0),
            abs(ours.peak / math.exp(fields[3]) - 1.0),
        )  # fmt: skip
    return found


def write(fields: NDArray[np.float64], wrong: NDArray[np.float64]) -> None:
    """The file: maps, and how far off they were found to be."""
    np.savez_compressed(FILE, slenderness=np.array(SLENDERNESS), thinness=THINNESS, fields=fields.astype(np.float32), errors=wrong)


def main() -> None:
    """Solve, write, look how far off it is, and write that too."""
    done: list[NDArray[np.float64]] = []
    with ProcessPoolExecutor(2) as pool:
        for found in pool.map(one, tasks()):
            done.append(found)
            sys.stderr.write(f"\r{len(done)} of {len(SLENDERNESS) * THINNESS.size}")
    fields = np.array(done).reshape(len(SLENDERNESS), THINNESS.size, len(FIELDS), STEPS)
    maps = np.moveaxis(fields, 2, 1)
    write(maps, np.zeros((0, 5)))
    write(maps, errors())


if __name__ == "__main__":
    main()
