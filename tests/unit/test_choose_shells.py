"""Shells against looking at every possible way, which is written here without a line of the search."""

from dataclasses import replace
from itertools import pairwise, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.choose.shell_choice import choose_shells
from tenths.choose.shells import (
    Box,
    Half,
    Place,
    Seat,
    ShellRules,
    Size,
    Stock,
    boxes_by_size,
    clearance,
    place_from_clearance,
    place_from_parts,
    wall_of,
)
from tenths.errors import BadInput
from tenths.metrology.estimate import exact, single

MICRON = 1e-6
STEP = 25 * MICRON
STD, PLUS, MINUS, MINUS_TEN = Size("std", 0.0), Size("+1", STEP), Size("-1", -STEP), Size("-10", -10 * STEP)


def place(number=1, *, room=4050, target=50, lower=20, upper=80, kind="main", loaded="lower", **seats):
    """A place in whole micrometres."""
    return Place(
        f"{kind}.{number}",
        kind,
        exact(room * MICRON),
        target * MICRON,
        lower * MICRON,
        upper * MICRON,
        loaded=loaded,
        **seats,
    )


def half(name, wall=2000, size=STD, side="either", **more):
    return Half(name, more.pop("kind", "main"), size, exact(wall * MICRON), side, **more)


def every_way(places, halves, rules):
    """Scores of all ways to put loose halves into places, by plain enumeration."""
    found = {}
    for order in permutations(halves, 2 * len(places)):
        pairs = list(zip(order[::2], order[1::2], strict=True))
        deviations = []
        for spot, (up, low) in zip(places, pairs, strict=True):
            value = round((spot.room.value - up.wall.value - low.wall.value) / MICRON, 3)
            allowed = (
                up.side in {"upper", "either"}
                and low.side in {"lower", "either"}
                and spot.upper_seat.grooved in {None, up.grooved}
                and spot.lower_seat.grooved in {None, low.grooved}
                and up.thrust == spot.upper_seat.thrust
                and low.thrust == spot.lower_seat.thrust
                and spot.lower / MICRON - 1e-6 <= value <= spot.upper / MICRON + 1e-6
                and abs(up.size.change - low.size.change) <= rules.step * 1.0001
            )
            if rules.thicker != "either" and up.size.change != low.size.change:
                thick_is_upper = up.size.change < low.size.change
                right = (thick_is_upper == (spot.loaded == "upper")) == (rules.thicker == "loaded")
                allowed = allowed and right
            if not allowed:
                break
            deviations.append(round(value - spot.target / MICRON, 3))
        else:
            boxes = 0
            what = tuple(
                (u.wall.value, u.size.label, u.side, u.grooved, d.wall.value, d.size.label, d.side, d.grooved)
                for u, d in pairs
            )
            key = (max(map(abs, deviations)), max(deviations) - min(deviations), boxes, sum(map(abs, deviations)))
            found[what] = key
    return sorted(found.values())


def keys(answer):
    scores = [answer.scores, *(other.scores for other in answer.alternatives)]
    return [tuple(round(s.value / (MICRON if s.unit else 1), 3) for s in each) for each in scores]


HALVES = st.lists(
    st.builds(
        lambda wall, size, side, grooved: (
            wall - (12 if size is PLUS else -12 if size is MINUS else 0),
            size,
            side,
            grooved,
        ),
        st.integers(1994, 2006),
        st.sampled_from([STD, PLUS, MINUS]),
        st.sampled_from(["upper", "lower", "either"]),
        st.booleans(),
    ),
    min_size=4,
    max_size=6,
)
PLACES = st.lists(
    st.builds(
        lambda room, target, groove, loaded: (room, target, groove, loaded),
        st.integers(4030, 4070),
        st.integers(40, 60),
        st.sampled_from([None, None, True, False]),
        st.sampled_from(["upper", "lower"]),
    ),
    min_size=1,
    max_size=2,
)
RULES = st.builds(ShellRules, step=st.just(STEP), thicker=st.sampled_from(["loaded", "unloaded", "either"]))


@given(PLACES, HALVES, RULES, st.sampled_from(["auto", "highs"]))
@settings(max_examples=150, deadline=None)
def test_the_best_and_the_next_best_are_those_of_trying_everything(spots, pieces, rules, solver):
    places = [
        place(n, room=r, target=t, loaded=side, upper_seat=Seat(grooved=g))
        for n, (r, t, g, side) in enumerate(spots, 1)
    ]
    halves = tuple(half(f"h{n}", *piece[:3], grooved=piece[3]) for n, piece in enumerate(pieces))
    expected = every_way(places, halves, rules)
    answer = choose_shells(places, Stock(halves), rules, solver=solver)
    if not expected:
        assert answer.stops
        assert not answer.picks
    else:
        assert keys(answer) == pytest.approx([pytest.approx(k) for k in expected[:4]])
        assert answer.proven
        assert answer.gap == 0


@given(
    rooms=st.lists(st.integers(4020, 4090), min_size=2, max_size=4),
    sets=st.lists(st.integers(0, 2), min_size=3, max_size=3).filter(any),
    loose=st.integers(0, 2),
    solver=st.sampled_from(["auto", "highs"]),
)
@settings(max_examples=100, deadline=None)
def test_boxes_opened_are_the_fewest_that_serve(rooms, sets, loose, solver):
    """Every subset of boxes and every size in every place, by enumeration."""
    sizes = [STD, PLUS, MINUS]
    places = [place(n, room=room) for n, room in enumerate(rooms, 1)]
    std_wall = exact(2000 * MICRON)
    boxes = boxes_by_size("main", dict(zip(sizes, sets, strict=True)), places=2, standard=std_wall, scatter=0)
    halves = tuple(half(f"l{n}", 2000, STD) for n in range(loose))
    best = None
    for opened in product(*(range(s + 1) for s in sets)):
        up = {s: 2 * n for s, n in zip(sizes, opened, strict=True)}
        for way in product(product(range(3), repeat=2), repeat=len(places)):
            used_up = [sum(1 for u, _ in way if u == k) for k in range(3)]
            used_low = [sum(1 for _, d in way if d == k) for k in range(3)]
            over = [max(0, n - up[s]) for n, s in zip(used_up, sizes, strict=True)]
            under = [max(0, n - up[s]) for n, s in zip(used_low, sizes, strict=True)]
            if over[1] + over[2] + under[1] + under[2] or over[0] + under[0] > loose:
                continue
            changes = [(round(sizes[u].change / MICRON), round(sizes[d].change / MICRON)) for u, d in way]
            if any(abs(u - d) > 25 or u < d for u, d in changes):  # the thicker half of a main goes below
                continue
            values = [room - 4000 + (u + d) / 2 for room, (u, d) in zip(rooms, changes, strict=True)]
            if not all(20 <= v <= 80 for v in values):
                continue
            off = [v - 50 for v in values]
            key = (max(map(abs, off)), max(off) - min(off), sum(opened), sum(map(abs, off)))
            best = key if best is None else min(best, key)
    answer = choose_shells(places, Stock(halves, boxes), others=0, solver=solver)
    assert (keys(answer)[0] if answer.picks else None) == (best and pytest.approx(best))


def test_half_and_half_moves_the_clearance_by_half_a_step():
    spot = place(room=4037)
    stock = Stock((half("a", 2000), half("b", 2000), half("c", 1988, PLUS), half("d", 1988, PLUS)))
    answer = choose_shells([spot], stock)
    assert answer.predicted[0].estimate.value == pytest.approx(49 * MICRON)
    assert {p.where: p.what for p in answer.picks} == {"main.1.shell.upper": "c", "main.1.shell.lower": "a"}
    assert any("+1 above and std below" in reason for reason in answer.reasons)


@pytest.mark.parametrize(
    ("kind", "thicker", "upper"),
    [("main", "loaded", "+1"), ("main", "unloaded", "std"), ("rod", "loaded", "std"), ("rod", "unloaded", "+1")],
)
def test_thicker_half_goes_to_the_loaded_side(kind, thicker, upper):
    """The cap carries a main, the upper half a rod; +1 is the thinner half. Common practice, no source."""
    spot = place_from_parts(
        f"{kind}.1",
        kind,
        housing=exact(54037 * MICRON),
        journal=exact(50000 * MICRON),
        target=50 * MICRON,
        lower=20 * MICRON,
        upper=80 * MICRON,
    )
    stock = Stock((half("std", kind=kind), half("+1", 1987, PLUS, kind=kind)))
    answer = choose_shells([spot], stock, ShellRules(step=STEP, thicker=thicker))
    assert answer.picks[0].what == upper


def test_sizes_two_steps_apart_never_stand_together():
    stock = Stock((half("a", 2012, MINUS), half("b", 1988, PLUS)))
    answer = choose_shells([place()], stock, ShellRules(step=STEP, thicker="either"))
    assert not answer.possible
    assert "house rule" in answer.stops[0].words


def test_fitted_halves_stay_and_are_not_taken_from_stock():
    fitted = half("in", 2003)
    spot = place(upper_seat=Seat(fitted=fitted))
    answer = choose_shells([spot], Stock((half("a", 1990), half("b", 1997))))
    assert [(p.where, p.what) for p in answer.picks] == [("main.1.shell.lower", "b")]
    assert answer.predicted[0].estimate.value == pytest.approx(50 * MICRON)


def test_a_place_that_is_fitted_pulls_the_others_towards_it():
    """Equal worst deviation either way: the spread over all places, fitted ones too, decides."""
    done = place(1, room=4058, upper_seat=Seat(fitted=half("x")), lower_seat=Seat(fitted=half("y")))
    open_ = place(2, upper_seat=Seat(fitted=half("z")))
    answer = choose_shells([done, open_], Stock((half("thick", 2005), half("thin", 1995))))
    assert [p.what for p in answer.picks] == ["thin"]
    assert answer.scores[1].value == pytest.approx(3 * MICRON)


def test_thrust_and_grooved_halves_go_where_they_belong():
    spots = [
        place(1, upper_seat=Seat(grooved=True), lower_seat=Seat(grooved=False)),
        place(2, upper_seat=Seat(grooved=True, thrust=True), lower_seat=Seat(grooved=False, thrust=True)),
    ]
    boxes = boxes_by_size(
        "main", {STD: 1}, places=2, standard=exact(2000 * MICRON), grooved_upper=True, thrust_places=1
    )
    answer = choose_shells(spots, Stock(boxes=boxes))
    words = {p.where: p.words for p in answer.picks}
    assert words["main.2.shell.upper"].startswith("std grooved thrust half")
    assert words["main.1.shell.lower"].startswith("std half")


def test_a_half_made_for_one_station_goes_nowhere_else():
    stock = Stock((half("a", only_at=("main.2",)), half("b")))
    answer = choose_shells([place(1)], stock)
    assert not answer.possible


def test_mains_and_rods_are_each_best_by_themselves():
    spots = [place(1), place(1, kind="rod", loaded="upper")]
    stock = Stock(
        (half("m1"), half("m2"), half("r1", 2004, kind="rod"), half("r2", kind="rod"), half("r3", kind="rod"))
    )
    answer = choose_shells(spots, stock)
    assert {p.what for p in answer.picks} == {"m1", "m2", "r2", "r3"}
    assert answer.scores[0].value == 0


def test_window_that_is_missed_names_place_limit_and_the_smallest_change():
    answer = choose_shells(
        [place(1), place(2, room=4085)],
        Stock(boxes=boxes_by_size("main", {STD: 1}, places=2, standard=exact(2000 * MICRON))),
        system="metric",
    )
    (stop,) = answer.stops
    assert (stop.station, stop.limit) == ("main.2", "largest clearance 0.0800 mm")
    assert stop.change == pytest.approx(5 * MICRON)
    freed = choose_shells(
        [place(1), place(2, room=4080)],
        Stock(boxes=boxes_by_size("main", {STD: 1}, places=2, standard=exact(2000 * MICRON))),
    )
    assert freed.possible


def test_too_few_halves_says_how_many_are_missing():
    answer = choose_shells([place(1), place(2)], Stock(tuple(half(f"h{n}") for n in range(3))))
    assert "4 halves are needed and 3 are in the house" in answer.stops[0].words


def test_limits_that_cannot_be_kept_together_name_the_one_that_gives():
    """Alone each place could have the one thin half; together one of them misses its lower limit by 2 micrometres."""
    spots = [place(1, room=4020, lower=22), place(2, room=4020, lower=22)]
    stock = Stock((half("thin", 1990), half("b"), half("c"), half("d")))
    answer = choose_shells(spots, stock)
    assert [stop.change for stop in answer.stops] == pytest.approx([2 * MICRON])
    assert choose_shells([replace(s, lower=20 * MICRON) for s in spots], stock).possible


def test_predicted_doubt_counts_each_nominal_half_and_what_housings_share():
    """By hand: housing and journal share 3 um (cancels), each has 1 um of its own, two halves scatter by 2 um each."""
    own = single(0.0, 1 * MICRON, "h")
    housing = type(own)(54050 * MICRON, {"scale": 3 * MICRON, "h": 1 * MICRON})
    journal = type(own)(50000 * MICRON, {"scale": 3 * MICRON, "j": 1 * MICRON})
    spot = place_from_parts(
        "main.1", "main", housing=housing, journal=journal, target=50 * MICRON, lower=20 * MICRON, upper=80 * MICRON
    )
    wall = wall_of(STD, standard=exact(2000 * MICRON), scatter=2 * MICRON)
    piece = Half("std", "main", STD, wall)
    assert clearance(spot, piece, piece).u == pytest.approx((1 + 1 + 4 + 4) ** 0.5 * MICRON)


def test_clearance_that_was_read_needs_no_walls():
    """Read 2.9 thou with a standard pair; a +1 lower half gives half a step more."""
    spot = place_from_clearance(
        "rod.1", "rod", clearance=exact(29 * MICRON), target=40 * MICRON, lower=20 * MICRON, upper=60 * MICRON
    )
    stock = Stock(boxes=boxes_by_size("rod", {STD: 1, PLUS: 1}, places=6, scatter=0))
    answer = choose_shells([spot], stock)
    assert answer.predicted[0].estimate.value == pytest.approx(41.5 * MICRON)
    assert answer.picks[1].words == "+1 half from a box not yet opened"


def test_ties_go_to_the_smaller_sum_and_next_best_never_improves():
    spots = [place(n, room=4050 + n) for n in range(1, 6)]
    stock = Stock(tuple(half(f"h{n}", 1995 + n % 11) for n in range(14)))
    ranked = keys(choose_shells(spots, stock))
    assert all(a <= b for a, b in pairwise(ranked))
    assert len(ranked) == 4


def test_places_and_windows_are_checked():
    with pytest.raises(BadInput, match="target"):
        place(target=90)
    with pytest.raises(BadInput, match="each station"):
        choose_shells([place(1), place(1)], Stock())


def test_a_sealed_box_with_one_of_each_can_be_opened_twice():
    box = Box("one pair", ((half("u", side="upper"), 1), (half("l", side="lower"), 1)), 2)
    assert choose_shells([place(1), place(2)], Stock(boxes=(box,))).scores[2].value == 2
    assert not choose_shells([place(1), place(2)], Stock(boxes=(replace(box, count=1),))).possible
