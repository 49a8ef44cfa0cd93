"""Shims under valve springs: which go under which spring so that heights come out as wanted, from what is in the house.

Every spring takes a stack of a few shims or none; the house holds so many of each thickness. The worst deviation counts
first, then their sum, then the number of shims. Heights count in whole tenths of a micrometre, so that ties are exact.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

from tenths.choose.answer import Answer, Pick, Predicted, Score, Stop
from tenths.choose.highs import Program, Solved
from tenths.choose.words import System, length, listed, worked
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, combine, exact

GRAIN = 1e-7  # m: the unit in which deviations are compared
CHARACTERISTIC = "spring-installed-height"


@dataclass(frozen=True, slots=True)
class Shim:
    """Shims of one thickness in the house.

    Attributes:
        label: as written on them.
        thickness: [m].
        number: in the house.
    """

    label: str
    thickness: float
    number: int


@dataclass(frozen=True, slots=True)
class SpringPlace:
    """A spring that takes shims.

    Attributes:
        station: address of its valve.
        bare: height from the seat to the retainer without any shim [m].
        wanted: installed height aimed at [m].
        least: height below which there is too little room before the coils bind [m]; 0 where it is not known.
    """

    station: str
    bare: Estimate
    wanted: float
    least: float = 0.0


@dataclass(frozen=True, slots=True)
class _Way:
    """A stack of shims under one spring: its labels, thickness [m] and deviation in grains."""

    shims: tuple[int, ...]
    thickness: float
    off: int


def choose_shims(places: Sequence[SpringPlace], shims: Sequence[Shim], *, most: int = 3, system: System = "inch", seconds: float = 20.0,
                 ) -> Answer:
    """The best stack for every spring.

    Args:
        places: springs, each with its height without shims.
        shims: thicknesses in the house.
        most: shims under one spring.
        system: of units for the words.
        seconds: after which the solver gives up proving.

    Returns:
        Picks (a stack for each spring), predicted heights, scores; or what stops it.

    Raises:
        BadInput: with no spring, or a stack of less than one shim.

    Source: mixed-integer program, one stack for each spring, no more shims than there are; goals one after the other.
    """
    if not places or most < 1:
        raise BadInput(f"shims: {len(places)} springs, at most {most} shims under one; one and more of each are needed")
    stocked = [shim for shim in shims if shim.number > 0 and shim.thickness > 0.0]
    ways = [_ways(place, stocked, most) for place in places]
    if stops := tuple(_bound(place, system) for place, own in zip(places, ways, strict=True) if not own):
        return Answer("shims", (), stops=stops)
    found, proven = _solved(ways, stocked, seconds)
    chosen = [own[pick] for own, pick in zip(ways, found, strict=True)]
    return _answer(places, stocked, chosen, proven=proven, system=system)


def _ways(place: SpringPlace, shims: Sequence[Shim], most: int) -> list[_Way]:
    """Every stack that leaves room enough; of stacks alike in thickness all stay, since another spring may need the shims."""
    rows: list[_Way] = []
    for count in range(most + 1):
        for stack in combinations_with_replacement(range(len(shims)), count):
            if any(number > shims[k].number for k, number in Counter(stack).items()):
                continue
            thickness = sum(shims[k].thickness for k in stack)
            height = place.bare.value - thickness
            if height >= place.least - GRAIN / 2 and height > 0.0:
                rows.append(_Way(stack, thickness, round(abs(height - place.wanted) / GRAIN)))
    return rows


def _bound(place: SpringPlace, system: System) -> Stop:
    short = place.least - place.bare.value
    return Stop(place.station, "room before the coils bind",
                f"{place.station}: {length(short, system)} too little room before the coils bind even without a shim; the seat must be cut "
                "that much deeper, or another spring or retainer fitted.", short)


def _solved(ways: Sequence[Sequence[_Way]], shims: Sequence[Shim], seconds: float) -> tuple[list[int], bool]:
    """One way for each spring by three goals in turn, and whether all were proven."""
    proven = True
    worst = total = float("inf")
    best: list[int] = []
    for goal in range(3):
        program, own = _program(ways, shims, goal=goal, worst=worst, total=total)
        solved = program.solve(seconds=seconds)
        assert solved is not None  # noqa: S101 - each spring alone has a way, and a stack of no shim uses none; or a goal was reached
        proven = proven and solved.proven
        best = _picked(solved, own)
        rows = [way[pick] for way, pick in zip(ways, best, strict=True)]
        worst, total = float(max(row.off for row in rows)), float(sum(row.off for row in rows)) if goal else float("inf")
    return best, proven


def _program(ways: Sequence[Sequence[_Way]], shims: Sequence[Shim], *, goal: int, worst: float, total: float,
             ) -> tuple[Program, list[list[int]]]:
    program = Program()
    top = program.variable(cost=1.0 if goal == 0 else 0.0, high=worst)
    own: list[list[int]] = []
    for place in ways:
        cost = [(0.0, float(way.off), float(len(way.shims)))[goal] for way in place]
        own.append([program.variable(cost=c, high=1.0, whole=True) for c in cost])
        program.row([(v, 1.0) for v in own[-1]], low=1.0, high=1.0)
        program.row([(top, -1.0), *((v, float(way.off)) for v, way in zip(own[-1], place, strict=True))], high=0.0)
    for k, shim in enumerate(shims):
        terms = [(v, float(way.shims.count(k))) for place, vs in zip(ways, own, strict=True) for way, v in zip(place, vs, strict=True)
                 if k in way.shims]
        if terms:
            program.row(terms, high=float(shim.number))
    if goal == 2:
        program.row([(v, float(way.off)) for place, vs in zip(ways, own, strict=True) for way, v in zip(place, vs, strict=True)],
                    high=total + 0.5)
    return program, own


def _picked(solved: Solved, own: Sequence[Sequence[int]]) -> list[int]:
    return [max(range(len(vs)), key=lambda n, vs=vs: float(solved.values[vs[n]])) for vs in own]


def _answer(places: Sequence[SpringPlace], shims: Sequence[Shim], chosen: Sequence[_Way], *, proven: bool, system: System) -> Answer:
    picks = tuple(_pick(place, way, shims, system) for place, way in zip(places, chosen, strict=True))
    predicted = tuple(Predicted(place.station, CHARACTERISTIC, combine((1.0, -1.0), (place.bare, exact(way.thickness))),
                                place.least or None, None, place.wanted) for place, way in zip(places, chosen, strict=True))
    worst = max(range(len(chosen)), key=lambda n: chosen[n].off)
    used = Counter(k for way in chosen for k in way.shims)
    scores = (Score("worst deviation from the wanted height", chosen[worst].off * GRAIN),
              Score("sum of deviations", sum(way.off for way in chosen) * GRAIN), Score("shims used", float(sum(used.values())), ""))
    reasons = [f"Worst is {places[worst].station}, {length(chosen[worst].off * GRAIN, system)} from the height wanted."]
    if used:
        reasons.append("Takes " + listed([f"{number} of {shims[k].label}" for k, number in sorted(used.items())]) + ".")
    for k, number in sorted(used.items()):
        if number == shims[k].number:
            reasons.append(f"All {number} of {shims[k].label} are used; more of them might bring it closer.")
    return Answer("shims", picks, predicted, scores, tuple(reasons), proven=proven)


def _pick(place: SpringPlace, way: _Way, shims: Sequence[Shim], system: System) -> Pick:
    what = " + ".join(shims[k].label for k in way.shims) or "no shim"
    height = worked(place.bare.value - way.thickness, system)
    return Pick(place.station, what, f"{what} under the spring of {place.station}: {height}", way.thickness)
