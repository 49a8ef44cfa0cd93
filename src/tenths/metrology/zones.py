"""The narrowest zone of a line or face from estimates of heights, exactly and with its doubt by cause; no optimiser is loaded.

The narrowest zone is held by few points: two for a level, three for a line, four (or three in line) for a plane. Of all
such groups the one that needs the widest zone decides [Cheney, chapter 2]; its zone is a weighted sum of the heights, so
that the causes of the readings pass into it as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from typing import Literal

from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, combine

Shape = Literal["level", "line", "plane"]
Place = tuple[float, float]
Weights = tuple[tuple[int, float], ...]
LEAST: dict[Shape, int] = {"level": 2, "line": 3, "plane": 4}
_NOTHING = 1e-9  # of a determinant of places that are scaled to about one
MOST = 40  # points: the groups of four of more would be too many


def narrowest(shape: Shape, places: Sequence[Place], heights: Sequence[Estimate]) -> Estimate:
    """Width of the narrowest zone that holds all points.

    Args:
        shape: "level" (parallel to the datum), "line" (along the first coordinate) or "plane".
        places: of the points, in any unit; a line takes the first coordinate, a level none.
        heights: of the points, one for each place [m].

    Returns:
        The width with its causes [m]. It is never below what the scatter of the readings alone makes of a perfect part:
        beside that, the doubt given is too small, and so is the truth.

    Raises:
        BadInput: if there are too few points or too many, unequal numbers, or all on one point or line.

    Validity: up to 40 points. Source: [ISO1101] for the zone; [Cheney] for what holds it.
    """
    holding = held_by(shape, places, [height.value for height in heights])
    return combine([w for _, w in holding], [heights[k] for k, _ in holding])


def held_by(shape: Shape, places: Sequence[Place], heights: Sequence[float]) -> Weights:
    """The points that hold the narrowest zone.

    Args:
        shape: as for `narrowest`.
        places: of the points, in any unit.
        heights: of the points [m].

    Returns:
        Number of each point that holds it, from 0, and its weight: the weighted sum of their heights is the width of the
        zone [m]; weights above 0 stand at its upper side.

    Raises:
        BadInput: as for `narrowest`.
    """
    if len(places) != len(heights) or not LEAST[shape] <= len(heights) <= MOST:
        raise BadInput(f"{shape}: {len(places)} places and {len(heights)} heights; as many of each, {LEAST[shape]} to {MOST}")
    groups = _groups(shape, tuple(places))
    if not _spans(shape, _scaled(tuple(places))):
        raise BadInput(f"{shape}: the places read do not span it (all on one point or line)")
    base = heights[0]
    values = [height - base for height in heights]
    widest = max(groups, key=lambda group: abs(math.fsum(w * values[k] for k, w in group)))
    sign = math.copysign(1.0, math.fsum(w * values[k] for k, w in widest))
    return tuple((k, sign * w) for k, w in widest)


@lru_cache(maxsize=256)
def _groups(shape: Shape, places: tuple[Place, ...]) -> tuple[Weights, ...]:
    """Every smallest group of points that can hold a zone, with the weights of its heights; positive ones add up to 1."""
    scaled = _scaled(places)
    found = [_weighted((i, j), (1.0, -1.0)) for i, j in combinations(range(len(places)), 2)
             if shape == "level" or scaled[i] == scaled[j] or (shape == "line" and scaled[i][0] == scaled[j][0])]
    if shape != "level":
        found += _threes(shape, scaled)
    if shape == "plane":
        found += _fours(scaled)
    return tuple(found)


def _spans(shape: Shape, places: list[Place]) -> bool:
    first = places[0]
    if shape == "plane":
        far = max(places, key=lambda p: abs(p[0] - first[0]) + abs(p[1] - first[1]))
        return any(abs(_turn(first, far, p)) > _NOTHING for p in places)
    return shape == "level" or any(p[0] != first[0] for p in places)


def _scaled(places: tuple[Place, ...]) -> list[Place]:
    lows = [min(p[k] for p in places) for k in (0, 1)]
    widths = [max(p[k] for p in places) - lows[k] or 1.0 for k in (0, 1)]
    return [((x - lows[0]) / widths[0], (y - lows[1]) / widths[1]) for x, y in places]


def _threes(shape: Shape, places: list[Place]) -> Iterator[Weights]:
    """Three points in line: the middle one against the two others."""
    for group in combinations(range(len(places)), 3):
        a, b, c = (places[k] for k in group)
        if shape == "plane" and abs(_turn(a, b, c)) > _NOTHING:
            continue
        along = 0 if shape == "line" or abs(max(p[0] for p in (a, b, c)) - min(p[0] for p in (a, b, c))) > _NOTHING else 1
        x, y, z = a[along], b[along], c[along]
        weights = (y - z, z - x, x - y)
        if all(abs(w) > _NOTHING for w in weights):
            yield _weighted(group, weights)


def _fours(places: list[Place]) -> Iterator[Weights]:
    """Four points of which no three lie in line."""
    for group in combinations(range(len(places)), 4):
        a, b, c, d = (places[k] for k in group)
        weights = (_turn(b, c, d), -_turn(a, c, d), _turn(a, b, d), -_turn(a, b, c))
        if all(abs(w) > _NOTHING for w in weights):
            yield _weighted(group, weights)


def _turn(a: Place, b: Place, c: Place) -> float:
    """Twice the area of a triangle, above 0 when it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _weighted(group: Sequence[int], weights: Sequence[float]) -> Weights:
    half = math.fsum(map(abs, weights)) / 2
    return tuple((k, w / half) for k, w in zip(group, weights, strict=True))
