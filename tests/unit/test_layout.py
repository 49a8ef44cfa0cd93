"""Layouts against what textbooks say of them, and descriptions that must be refused."""

import pytest

from tenths.engine.describe import layout_from_text, presets
from tenths.engine.stations import cylinder_of, pattern_matches, slots, station_map, stations
from tenths.errors import BadInput

# Even firing is the cycle over the number of cylinders (any text on engine design, such as Heywood ch. 2 or Taylor
# vol. 2 ch. 8); the uneven ones are common knowledge of their kind: 45 degree twin on one pin 315/405, parallel twin
# with a 270 degree crank 270/450, with a 180 degree crank 180/540.
INTERVALS = {
    "single": (720,),
    "parallel-twin-360": (360, 360),
    "parallel-twin-180": (180, 540),
    "parallel-twin-270": (270, 450),
    "v-twin-45": (315, 405),
    "v-twin-60": (300, 420),
    "v-twin-90": (270, 450),
    "inline-3": (240,) * 3,
    "inline-4": (180,) * 4,
    "inline-5": (144,) * 5,
    "inline-6": (120,) * 6,
    "flat-4": (180,) * 4,
    "flat-6": (120,) * 6,
    "v6-60": (120,) * 6,
    "v6-90": (120,) * 6,
    "v8-90-cross-plane": (90,) * 8,
    "v8-90-flat-plane": (90,) * 8,
    "v12-60": (60,) * 12,
}


@pytest.mark.parametrize("name", presets())
def test_presets_fire_as_their_kind_does(name):
    assert layout_from_text(name).firing_intervals() == pytest.approx(INTERVALS[name])


@pytest.mark.parametrize("name", presets())
def test_every_preset_has_unique_stations_for_all_its_cylinders(name):
    layout = layout_from_text(name)
    addresses = [s.address for s in stations(layout)]
    assert len(addresses) == len(set(addresses))
    assert {cylinder_of(a) for a in addresses} - {None} == set(layout.labels)
    assert len([a for a in addresses if a.startswith("main.")]) == layout.mains


def test_opposed_pistons_of_a_flat_engine_reach_dead_centre_together():
    layout = layout_from_text("flat-4")
    assert layout.top_dead_centre("1") == layout.top_dead_centre("2")


def test_v8_cross_plane_shares_pins_and_counts_from_the_first_bank():
    layout = layout_from_text("v8-90-cross-plane")
    assert [c.label for c in layout.on_pin(1)] == ["1", "2"]
    assert [c.label for c in layout.on_bank("A")] == ["1", "3", "5", "7"]


def test_a_layout_described_by_hand_has_its_own_numbering_mains_and_cams():
    layout = layout_from_text("V4 60, bank L a1 a2, bank R b1 b2, pins offset 60, throws 0 180, "
                              "firing a1-a2-b1-b2, mains 3, thrust 2, cams per bank 3, valves in1 in2 ex")
    assert layout.labels == ("a1", "b1", "a2", "b2")
    assert layout.main_after_throw == (0, 1, 2)
    assert [shaft.name for shaft in layout.camshafts] == ["L", "R"]
    assert "lobe.b2.in2" in station_map(layout)


def test_a_boxer_with_three_mains_carries_two_throws_between_them():
    layout = layout_from_text("flat-4")
    assert layout.along_the_crank() == (("main", 1), ("pin", 1), ("pin", 2), ("main", 2), ("pin", 3), ("pin", 4),
                                        ("main", 3))


def test_a_crank_that_turns_the_other_way_fires_the_other_way_round():
    assert layout_from_text("inline 3, throws 0 120 240, firing 1-3-2, turns anticlockwise").firing_intervals() == (
        pytest.approx((240,) * 3))


def test_slots_follow_the_layout():
    names = slots(layout_from_text("inline-3"))
    assert {"crank", "block", "main.4.shell.upper", "rod.3", "cyl.2.ring.oil", "head.A"} <= set(names)
    assert len(names) == len(set(names))


@pytest.mark.parametrize(("text", "says"), [
    ("", "nothing was given"),
    ("W12 15", "is not known"),
    ("V8", "give the V angle"),
    ("V7 90", "even number"),
    ("inline 40, firing 1", "2 to 16"),
    ("inline-3, throws 0 120", "3 throws, 2 angles"),
    ("inline 7, throws 0 1 2 3 4 5 6", "firing order is missing"),
    ("inline-3, firing 1-2", "must name each of"),
    ("inline 4, throws 0 180 180 0, firing 1-2-3-4", "cannot fire"),
    ("inline-4, mains 9", "2 to 5 mains"),
    ("inline-4, thrust 9", "mains 1 to 5"),
    ("inline-4, carburettors 4", "begins with one of"),
    ("inline-4, throws zero", "only numbers"),
    ("inline-4, bank A 1 2 3 3", "each once"),
    ("inline-4, pins sideways", "pins shared"),
    ("inline-4, cams 3", "cams block"),
])
def test_what_cannot_be_meant_is_refused_in_words(text, says):
    with pytest.raises(BadInput, match=says):
        layout_from_text(text)


@pytest.mark.parametrize(("pattern", "address", "covers"), [
    ("main.*", "main.3", True), ("main.*", "main.3.cap", False), ("cyl.*.ring.top", "cyl.5.ring.top", True),
    ("main.*.shell.*", "main.2.shell.upper", True), ("engine", "engine", True), ("main.2", "main.3", False)])
def test_a_star_stands_for_one_part_of_an_address(pattern, address, covers):
    assert pattern_matches(pattern, address) is covers
