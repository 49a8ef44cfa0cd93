"""Shells from many measured halves against HiGHS, in a formulation that shares nothing with the search.

Here a half is a yes or no for one side of one place, the clearance is linear in those, and the house rule is a pair of
linear limits on the sizes; the search enumerates pairs. The two agree on the worst deviation and on the spread.
"""

from random import Random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from tenths.choose.shell_choice import choose_shells
from tenths.choose.shells import LOADED, Half, Place, Size, Stock
from tenths.metrology.estimate import exact

TENTH = 0.0001 * 0.0254  # everything below is in tenths of a thou
STEP = 10.0
SIZES = {"std": 0.0, "+1": 10.0, "-1": -10.0}


def house(seed, *, places, each):
    """Rooms of the places, and for each side of the shells their sizes and walls, all in tenths."""
    chance = Random(seed)  # noqa: S311 - parts, not secrets
    rooms = [1920.0 + 24.0 + chance.gauss(0.0, 3.0) for _ in range(places)]
    sides = {side: [(label, round(960.0 - change / 2 + chance.gauss(0.0, 0.8), 1))
                    for label, change in SIZES.items() for _ in range(each)] for side in ("upper", "lower")}
    return rooms, sides


def another_solver(rooms, sides, target, *, loaded):
    """Least worst deviation, then least spread [tenths], by mixed-integer programming."""
    places, upper, lower = len(rooms), sides["upper"], sides["lower"]
    halves = len(upper) + len(lower)
    worst, high, low = places * halves, places * halves + 1, places * halves + 2
    columns = low + 1
    rows, least, most = [], [], []

    def row(terms, lo, hi):
        line = np.zeros(columns)
        for column, factor in terms:
            line[column] += factor
        rows.append(line)
        least.append(lo)
        most.append(hi)

    def column(place, number):
        return place * halves + number

    for place, room in enumerate(rooms):
        walls = [(column(place, n), -wall) for n, (_, wall) in enumerate([*upper, *lower])]
        row([(column(place, n), 1) for n in range(len(upper))], 1, 1)
        row([(column(place, len(upper) + n), 1) for n in range(len(lower))], 1, 1)
        row([*walls, (worst, -1)], -np.inf, target - room)  # deviation <= worst
        row([*walls, (worst, 1)], target - room, np.inf)  # deviation >= -worst
        row([*walls, (high, -1)], -np.inf, target - room)
        row([*walls, (low, -1)], target - room, np.inf)
        sizes = [(column(place, n), SIZES[label]) for n, (label, _) in enumerate(upper)]
        sizes += [(column(place, len(upper) + n), -SIZES[label]) for n, (label, _) in enumerate(lower)]
        # the thicker half, whose change is the smaller one, lies on the loaded side
        row(sizes, *((0.0, STEP) if loaded == "lower" else (-STEP, 0.0)))
    for number in range(halves):
        row([(column(place, number), 1) for place in range(places)], 0, 1)
    whole = np.array([1] * (places * halves) + [0, 0, 0])
    bounds = Bounds(np.array([0] * (places * halves) + [0, -50, -50]), np.array([1] * (places * halves) + [50, 50, 50]))

    def least_of(cost, limit=None):
        again = [] if limit is None else [LinearConstraint(np.eye(columns)[worst], -np.inf, limit)]
        found = milp(cost, constraints=[LinearConstraint(np.array(rows), least, most), *again], bounds=bounds, integrality=whole,
                     options={"mip_rel_gap": 0.0})
        assert found.status == 0
        return found.fun

    first = least_of(np.eye(columns)[worst])
    return first, least_of(np.eye(columns)[high] - np.eye(columns)[low], first + 1e-6)


@pytest.mark.parametrize(("kind", "places", "each", "seed"), [("main", 4, 6, 1), ("main", 5, 7, 2), ("rod", 4, 6, 3), ("rod", 6, 5, 4)])
def test_the_worst_place_and_the_spread_are_those_of_another_solver(kind, places, each, seed):
    rooms, sides = house(seed, places=places, each=each)
    target = 24.0
    spots = [Place(f"{kind}.{n}", kind, exact(room * TENTH), target * TENTH, 4 * TENTH, 44 * TENTH, loaded=LOADED[kind])
             for n, room in enumerate(rooms, 1)]
    halves = tuple(Half(f"{side}-{n}", kind, Size(label, SIZES[label] * TENTH), exact(wall * TENTH), side)
                   for side, rows in sides.items() for n, (label, wall) in enumerate(rows))
    answer = choose_shells(spots, Stock(halves), others=0)
    expected = another_solver(rooms, sides, target, loaded=LOADED[kind])
    assert answer.proven
    assert [s.value / TENTH for s in answer.scores[:2]] == pytest.approx(expected, abs=2e-4)
