"""Matching of pistons, rods and pins to holes: against every matching, by hand, and against closed forms."""

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.choose.match_parts import Cylinder, Piston, Rod, WristPin
from tenths.choose.match_search import MassGoal, MatchTask, VolumeGoal, search
from tenths.choose.matching import Goal, MatchGoals, match_parts, true_spread
from tenths.choose.words import TENTH, THOU
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, exact, single

CC, G = 1e-6, 1e-3
GOALS = MatchGoals(Goal(1.0, 0.1), Goal(1.0, G), Goal(1.0, THOU), Goal(0.5, THOU))


def rng():
    return np.random.default_rng(1)


def cylinder(label, *, bore=0, deck=0, chamber=0, lower=20, target=27, upper=34, honed=3):
    """A 4 in hole; sizes in tenths off nominal, the chamber in tenths of a cc, clearances in tenths."""
    return Cylinder(
        f"cyl.{label}", exact(0.1016 + bore * TENTH), exact(0.0889), exact(0.18565 + deck * TENTH),
        exact((64 + chamber / 10) * CC), lower * TENTH, target * TENTH, upper * TENTH, honed * TENTH,
    )


def piston(name, *, skirt=-27, height=0, hollow=0, weight=0):
    return Piston(name, exact(0.1016 + skirt * TENTH), exact(0.0386 + height * TENTH), exact((8 + hollow / 10) * CC),
                  exact((500 + weight / 10) * G))


def rod(name, *, length=0, weight=0):
    return Rod(name, exact(0.1447 + length * TENTH), exact((180 + weight / 10) * G))


def pin(name, weight):
    return WristPin(name, exact((120 + weight / 10) * G))


def by_hand(hole, part, goals, most=3):
    """Least cost of a piston in a hole over every honing by whole tenths; every limit is a whole tenth, too."""
    best = math.inf
    for tenths in range(most + 1):
        room = round((hole.bore.value - part.skirt.value) / TENTH) + tenths
        low, target, high = (round(x / TENTH) for x in (hole.lower, hole.target, hole.upper))
        if low <= room <= high:
            cost = goals.honing.weight * tenths / 10 + goals.clearance.weight * abs(room - target) / 10
            best = min(best, cost)
    return best


def ratio_by_hand(hole, part, link, hone):
    area = math.pi * (hole.bore.value + hone) ** 2 / 4
    clearance = hole.chamber.value + part.hollow.value + area * (hole.deck.value - link.length.value - part.height.value)
    return (area * hole.stroke.value + clearance) / clearance


def every_score(holes, pistons, rods, pins, goals, most=0):
    """The least cost, by trying every matching with every pin, straight from the sizes."""
    size, best = len(holes), math.inf
    fits = [[by_hand(h, p, goals, most) for p in pistons] for h in holes]
    for chosen in permutations(range(len(pistons)), size):
        cost = sum(fits[h][i] for h, i in enumerate(chosen))
        if math.isinf(cost):
            continue
        for links in permutations(range(len(rods)), size):
            ratios = [ratio_by_hand(holes[h], pistons[i], rods[links[h]], 0.0) for h, i in enumerate(chosen)]
            sums = [pistons[i].weight.value + rods[links[h]].small_end.value for h, i in enumerate(chosen)]
            spread = min(np.ptp([s + p.weight.value for s, p in zip(sums, way, strict=True)]) for way in permutations(pins))
            best = min(best, cost + goals.compression.price * max(0.0, np.ptp(ratios) - goals.compression.enough)
                       + goals.weight.price * max(0.0, spread - goals.weight.enough))
    return best


SMALL = st.integers(-6, 6)
CASES = st.integers(1, 3).flatmap(lambda n: st.tuples(
    st.lists(st.tuples(SMALL, SMALL, st.integers(-5, 5)), min_size=n, max_size=n),
    st.lists(st.tuples(st.integers(-33, -22), SMALL, SMALL, SMALL), min_size=n, max_size=n + 1),
    st.lists(st.tuples(SMALL, SMALL), min_size=n, max_size=n + 1),
    st.lists(SMALL, min_size=n, max_size=n),
    st.tuples(*[st.sampled_from((0.0, 0.3, 1.0, 2.5))] * 4),
    st.tuples(st.sampled_from((0.0, 0.02)), st.sampled_from((0.0, 0.3 * G))),
))


@given(CASES)
@settings(max_examples=150, deadline=None)
def test_no_matching_does_better_by_trying_every_one(case):
    holes, pistons, rods, pins, weights, enough = case
    goals = MatchGoals(Goal(weights[0], 0.1, enough[0]), Goal(weights[1], G, enough[1]), Goal(weights[2], THOU),
                       Goal(0.0, THOU))
    parts = ([cylinder(i, bore=b, deck=d, chamber=c, honed=0) for i, (b, d, c) in enumerate(holes)],
             [piston(f"p{i}", skirt=s, height=h, hollow=v, weight=w) for i, (s, h, v, w) in enumerate(pistons)],
             [rod(f"r{i}", length=x, weight=w) for i, (x, w) in enumerate(rods)],
             [pin(f"k{i}", w) for i, w in enumerate(pins)])
    found = match_parts(*parts, rng(), goals=goals)
    least = every_score(*parts, goals) if math.isfinite(_unhoned(parts, goals)) else math.inf
    if math.isinf(least):
        assert not found.answer.possible
        return
    assert found.answer.proven
    assert found.answer.scores[0].value == pytest.approx(least, abs=2e-9)
    assert all(a.scores[0].value >= least - 2e-9 for a in found.answer.alternatives)


def _unhoned(parts, goals):
    fits = [[by_hand(h, p, goals, 0) for p in parts[1]] for h in parts[0]]
    return min(sum(fits[h][i] for h, i in enumerate(way)) for way in permutations(range(len(parts[1])), len(parts[0])))


def test_honing_and_clearance_by_hand():
    """Hole 27 tenths over a piston: on target. Hole 25 over: 2 tenths of honing cost 0.1, staying 2 off would cost 0.2."""
    found = match_parts([cylinder("1", bore=0), cylinder("2", bore=-2)], [piston("a"), piston("b")], [rod("r"), rod("s")], [], rng(),
                        goals=MatchGoals(clearance=Goal(1.0, THOU)))
    assert [round(p.hone / TENTH, 6) for p in found.places] == [0, 2]
    assert found.answer.scores[0].value == pytest.approx(0.1)
    assert [p.wall.value / TENTH for p in found.places] == pytest.approx([27, 27])
    # where honing costs more than what it gains, the hole stays as it is, but never below its lower limit
    dear = MatchGoals(compression=Goal(0.0), clearance=Goal(1.0, THOU), honing=Goal(3.0, THOU))
    kept = match_parts([cylinder("1", bore=0), cylinder("2", bore=-9)], [piston("a"), piston("b")], [rod("r"), rod("s")], [], rng(),
                       goals=dear)
    assert [round(p.hone / TENTH, 6) for p in kept.places] == [0, 2]
    assert kept.answer.scores[0].value == pytest.approx(0.6 + 0.7)


def tables(seed, holes, pistons, rods, *, told=False):
    """Tables without any structure, whole and half numbers among them so that ties occur."""
    chance = np.random.default_rng(seed)
    ratio = (lambda v: 1 + 1 / (v + 3)) if told else (lambda v: v)
    volume = VolumeGoal(chance.integers(0, 9, holes) / 2, chance.integers(0, 9, (holes, pistons)) / 2,
                        chance.integers(0, 9, (holes, rods)) / 2, 1.0, 0.5 * (seed % 2), ratio)
    mass = MassGoal(chance.integers(0, 20, pistons) / 2, chance.integers(0, 20, rods) / 2, chance.integers(0, 20, holes) / 2, 0.3)
    costs = chance.integers(0, 6, (holes, pistons)) / 4
    costs[chance.random((holes, pistons)) < 0.1] = math.inf
    return MatchTask(volume, mass, costs, chance.integers(0, 3, (holes, rods)) / 8)


def looked_through(task):
    """The least score over every order of pistons, rods and pins, with plain loops over whole arrays."""
    holes = len(task.costs)
    at = np.arange(holes)
    orders = np.array(list(permutations(range(len(task.mass.rods)), holes)))
    pins = np.array(list(permutations(task.mass.pins)))
    best = math.inf
    for chosen in permutations(range(len(task.mass.pistons)), holes):
        i = np.array(chosen)
        volumes = task.volume.told(task.volume.base + task.volume.pistons[at, i] + task.volume.rods[at, orders])
        masses = (task.mass.pistons[i] + task.mass.rods[orders])[:, None, :] + pins[None]
        spread = (masses.max(axis=2) - masses.min(axis=2)).min(axis=1)
        score = task.costs[at, i].sum() + task.rod_costs[at, orders].sum(axis=1)
        score += task.volume.price * np.maximum(0, volumes.max(axis=1) - volumes.min(axis=1) - task.volume.enough)
        best = min(best, float((score + task.mass.price * np.maximum(0, spread - task.mass.enough)).min()))
    return best


@given(st.integers(0, 10**6), st.integers(1, 4), st.integers(0, 1), st.integers(0, 1), st.booleans())
@settings(max_examples=120, deadline=None)
def test_search_finds_what_looking_through_every_order_finds(seed, holes, more_pistons, more_rods, told):
    task = tables(seed, holes, holes + more_pistons, holes + more_rods, told=told)
    found, least = search(task), looked_through(task)
    if found is None:
        assert math.isinf(least)
        return
    assert found.scores[0] == pytest.approx(least, abs=1e-9)
    assert found.bound == pytest.approx(found.scores[0], abs=1e-9)
    assert task.score(np.array(found.picks)) == pytest.approx(found.scores)


@pytest.mark.parametrize("seed", range(3))
def test_eight_pistons_in_eight_holes_against_all_40320_orders(seed):
    task = tables(seed, 8, 8, 8)
    task = MatchTask(VolumeGoal(task.volume.base, task.volume.pistons, np.zeros((8, 8)), 1.0),
                     MassGoal(task.mass.pistons, np.zeros(8), task.mass.pins, 0.3), task.costs, np.zeros((8, 8)))
    at, orders = np.arange(8), np.array(list(permutations(range(8))))
    volumes = task.volume.base + task.volume.pistons[at, orders]
    mass = np.ptp(np.sort(task.mass.pistons) + np.sort(task.mass.pins)[::-1])  # the same for every order
    scores = task.costs[at, orders].sum(axis=1) + volumes.max(axis=1) - volumes.min(axis=1) + 0.3 * mass
    found = search(task)
    assert found.scores[0] == pytest.approx(scores.min())
    assert found.bound == pytest.approx(scores.min())


@pytest.mark.parametrize("seed", range(4))
def test_larger_ones_against_a_mixed_integer_program(seed):
    """HiGHS minimises the same weighted sum written as constraints: assignments, and a lid and a floor for each spread."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    holes = 6
    task = tables(seed + 100, holes, holes, holes)
    task = MatchTask(task.volume, MassGoal(task.mass.pistons, task.mass.rods, np.zeros(holes), 0.3), task.costs, task.rod_costs)
    square = holes * holes
    columns = 2 * square + 5  # pistons, rods, lid and floor of volume, lid and floor of mass, volume beyond what is enough
    rows, low, high = [], [], []

    def row(terms, least, most):
        line = np.zeros(columns)
        for column, factor in terms:
            line[column] += factor
        rows.append(line)
        low.append(least)
        high.append(most)

    lid, floor, heavy, light, over = range(2 * square, columns)
    for start in (0, square):
        for a in range(holes):
            row([(start + a * holes + b, 1) for b in range(holes)], 1, 1)
            row([(start + b * holes + a, 1) for b in range(holes)], 1, 1)
    for h in range(holes):
        volume = [(h * holes + i, task.volume.pistons[h, i]) for i in range(holes)]
        volume += [(square + h * holes + j, task.volume.rods[h, j]) for j in range(holes)]
        mass = [(h * holes + i, task.mass.pistons[i]) for i in range(holes)]
        mass += [(square + h * holes + j, task.mass.rods[j]) for j in range(holes)]
        row([*volume, (lid, -1)], -np.inf, -task.volume.base[h])
        row([*volume, (floor, -1)], -task.volume.base[h], np.inf)
        row([*mass, (heavy, -1)], -np.inf, 0)
        row([*mass, (light, -1)], 0, np.inf)
    row([(lid, 1), (floor, -1), (over, -1)], -np.inf, task.volume.enough)
    forbidden = np.isinf(task.costs).ravel()
    cost = np.concatenate([np.where(forbidden, 0, task.costs.ravel()), task.rod_costs.ravel(), [0, 0, 0.3, -0.3, 1.0]])
    most = np.concatenate([np.where(forbidden, 0, 1), np.ones(square), np.full(5, np.inf)])
    solved = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), bounds=Bounds(np.zeros(columns), most),
                  integrality=np.concatenate([np.ones(2 * square), np.zeros(5)]), options={"mip_rel_gap": 0})
    assert solved.status == 0
    found = search(task)
    assert found.scores[0] == pytest.approx(solved.fun, abs=1e-6)
    assert found.bound == pytest.approx(solved.fun, abs=1e-6)


@given(st.integers(0, 10**6))
@settings(max_examples=30, deadline=None)
def test_cut_short_the_bound_still_holds(seed):
    task = tables(seed, 4, 4, 4)
    found, least = search(task, most=1), looked_through(task)
    if found is not None:
        assert found.bound <= least + 1e-9 <= found.scores[0] + 2e-9


def test_parts_alike_are_one_answer():
    alike = [piston(f"p{i}") for i in range(4)]
    found = match_parts([cylinder(i) for i in range(4)], alike, [rod(f"r{i}") for i in range(4)], [], rng())
    assert found.answer.alternatives == ()
    assert found.answer.proven


def test_what_errors_leave_of_an_equal_reading():
    """Equal readings, independent errors: the expected range of n normal values is d2 sigma; 1.128 and 2.847 for 2 and 8
    (factors of control charts, as published by Tippett). A shared error leaves nothing.
    """
    for count, factor in ((2, 1.128), (8, 2.847)):
        found = true_spread([single(10.0, 0.04, f"cc {i}") for i in range(count)], rng(), draws=40_000)
        assert found.computed == 0
        assert found.expected == pytest.approx(factor * 0.04, rel=0.01)
    shared = true_spread([single(10.0, 0.04, "burette") for _ in range(8)], rng())
    assert shared.expected == pytest.approx(0, abs=1e-6)


def test_what_two_readings_apart_are_expected_to_differ_by():
    """The mean of a folded normal: s sqrt(2/pi) exp(-m2/2s2) + m (1 - 2 Phi(-m/s)), for s = sqrt(2) 0.05 and m = 0.08."""
    found = true_spread([single(10.0, 0.05, "a"), single(10.08, 0.05, "b")], rng(), draws=40_000)
    s, m = 0.05 * math.sqrt(2), 0.08
    mean = s * math.sqrt(2 / math.pi) * math.exp(-(m**2) / (2 * s**2)) + m * math.erf(m / (s * math.sqrt(2)))
    assert found.expected == pytest.approx(mean, rel=0.01)
    assert found.computed == pytest.approx(0.08)


def test_a_piston_too_small_for_every_hole_stops_it_with_the_least_change():
    """Holes at 0 and 1 tenths, pistons 27 and 38 under: at best the small one is 4 tenths over 34 in hole 1."""
    found = match_parts([cylinder("1"), cylinder("2", bore=1)], [piston("a"), piston("b", skirt=-38)], [rod("r"), rod("s")], [], rng())
    (stop,) = found.answer.stops
    assert stop.station == "cyl.1"
    assert "b" in stop.words
    assert stop.change == pytest.approx(4 * TENTH)
    assert found.places == ()
    eased = match_parts([cylinder("1", upper=38), cylinder("2", bore=1, upper=38)], [piston("a"), piston("b", skirt=-38)],
                        [rod("r"), rod("s")], [], rng())
    assert eased.answer.possible


def test_a_hole_that_may_not_be_honed_far_enough_stops_it():
    """Room 15 tenths, 3 may be honed: 18 against 20 allowed, so 2 are missing."""
    found = match_parts([cylinder("1", bore=-12)], [piston("a")], [rod("r")], [], rng())
    assert found.answer.stops[0].change == pytest.approx(2 * TENTH)
    assert "honing" in found.answer.stops[0].limit


def test_what_it_comes_to_carries_what_the_sizes_share():
    """Piston to wall from a gauge set on the micrometer that read the skirt: the micrometer's error cancels."""
    hole = cylinder("1")
    bore = Estimate(0.1016, {"micrometer": 2 * TENTH, "gauge": 0.3 * TENTH})
    skirt = Estimate(0.1016 - 27 * TENTH, {"micrometer": 2 * TENTH, "last figure": 0.4 * TENTH})
    hole = Cylinder(hole.station, bore, hole.stroke, hole.deck, hole.chamber, hole.lower, hole.target, hole.upper)
    part = Piston("a", skirt, exact(0.0386), exact(8 * CC))
    found = match_parts([hole], [part], [rod("r")], [], rng())
    assert found.places[0].wall.u == pytest.approx(0.5 * TENTH)


def test_more_is_said_of_what_is_gained_and_of_the_truth():
    cylinders = [cylinder("1", chamber=4), cylinder("2", chamber=-4)]
    pistons = [piston("a", hollow=4), piston("b", hollow=-4)]
    found = match_parts(cylinders, pistons, [rod("r"), rod("s")], [pin("k", 0), pin("l", 3)], rng(), now=[(0, 0), (1, 1)])
    assert found.compression.computed == pytest.approx(0, abs=1e-9)
    assert [p.piston.id for p in found.places] == ["b", "a"]
    assert found.weight.computed == pytest.approx(0.3 * G)
    assert any("As the parts lie now" in words for words in found.answer.reasons)
    assert {p.characteristic for p in found.answer.predicted} == {"compression-ratio", "piston-to-wall"}


def test_too_few_parts_are_refused_with_the_numbers():
    with pytest.raises(BadInput, match="2 holes, 1 pistons"):
        match_parts([cylinder("1"), cylinder("2")], [piston("a")], [rod("r"), rod("s")], [], rng())
    with pytest.raises(BadInput, match="target"):
        cylinder("1", target=40)
    with pytest.raises(BadInput, match="above 0"):
        Goal(1.0, 0.0)


def test_parts_stay_where_they_lie_unless_moving_gains_more_than_it_costs():
    """Piston and rod 0.02 g heavier together stand 0.04 g apart; to exchange two parts costs 0.06. With 0.3 g it gains."""
    cylinders = [cylinder("1"), cylinder("2")]
    for apart, moved in ((0.2, 0), (3, 2)):
        pistons, links = [piston("a"), piston("b", weight=apart)], [rod("r"), rod("s", weight=apart)]
        found = match_parts(cylinders, pistons, links, [], rng(), now=[(0, 0), (1, 1)])
        stayed = [p.piston.id == n for p, n in zip(found.places, "ab", strict=True)] + [
            p.rod.id == n for p, n in zip(found.places, "rs", strict=True)]
        assert stayed.count(False) == moved
    same = match_parts(cylinders, [piston("a"), piston("b")], [rod("r"), rod("s")], [], rng(), now=[(1, 1), (0, 0)])
    assert [(p.piston.id, p.rod.id) for p in same.places] == [("b", "s"), ("a", "r")]
    unlike = match_parts([cylinder("1"), cylinder("2", bore=3)], [piston("a", skirt=-24), piston("b")], [rod("r"), rod("s")], [], rng(),
                         now=[(1, 0), (0, 1)], goals=MatchGoals(clearance=Goal(1.0, THOU)))
    assert [p.piston.id for p in unlike.places] == ["b", "a"]
