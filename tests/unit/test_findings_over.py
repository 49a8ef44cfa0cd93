"""What is taken over places and stations: taper, out of round, spread, total."""

from math import pi, sqrt

import pytest

from hand import INCH, TENTH, hand
from tenths.logbook import bodies
from tenths.metrology.decide import Verdict
from tenths.services import commands

BORE = {"top thrust": "4.0000", "top pin": "4.0004", "gauge thrust": "4.0002", "gauge pin": "4.0003",
        "bottom thrust": "4.0005", "bottom pin": "4.0002"}


def read_bore(engine, by="plain"):
    return {place: engine.read("cyl.1", "bore", text, place, by).id for place, text in BORE.items()}


def test_taper_is_the_worst_down_one_side(shop):
    engine = hand(shop)
    entries = read_bore(engine)
    found = engine.find("bore-taper", "cyl.1")
    # thrust side 0, 2, 5 tenths over 4 in; pin side 4, 3, 2: five tenths, between two readings of one tenth each
    assert found.value == pytest.approx(5 * TENTH, rel=1e-9)
    assert found.standard_uncertainty == pytest.approx(sqrt(2) * TENTH, rel=1e-9)
    assert set(found.entries) == {entries["bottom thrust"], entries["top thrust"]}


def test_out_of_round_is_the_worst_at_one_height(shop):
    engine = hand(shop)
    entries = read_bore(engine)
    found = engine.find("bore-out-of-round", "cyl.1")
    # top 4 tenths, gauge 1, bottom 3
    assert found.value == pytest.approx(4 * TENTH, rel=1e-9)
    assert set(found.entries) == {entries["top pin"], entries["top thrust"]}


def test_in_a_housing_the_axis_comes_first(shop):
    engine = hand(shop)
    for place, text in (("A front", "2.6000"), ("B front", "2.6006"), ("A rear", "2.6003"), ("B rear", "2.6004")):
        engine.read("main.1", "housing-bore", text, place)
    # along the axis: A 3, B 2 tenths; across it: front 6, rear 1
    assert engine.find("main-housing-taper", "main.1").value == pytest.approx(3 * TENTH, rel=1e-9)
    assert engine.find("main-housing-out-of-round", "main.1").value == pytest.approx(6 * TENTH, rel=1e-9)


def test_what_the_scale_is_wrong_by_does_not_make_a_hole_tapered(shop):
    engine = hand(shop)
    read_bore(engine, by="scaled")
    assert engine.find("bore-taper", "cyl.1").standard_uncertainty == pytest.approx(0.0, abs=1e-12)


def test_a_place_that_was_read_twice_counts_with_its_mean(shop):
    engine = hand(shop)
    read_bore(engine)
    engine.read("cyl.1", "bore", "4.0003", "bottom thrust")
    found = engine.find("bore-taper", "cyl.1")
    # bottom thrust (5 + 3) / 2 = 4 tenths over 4 in, to a variance of 1/2 tenth squared; the top's is 1
    assert found.value == pytest.approx(4 * TENTH, rel=1e-9)
    assert found.standard_uncertainty == pytest.approx(sqrt(1.5) * TENTH, rel=1e-9)
    assert len(found.entries) == 3


@pytest.mark.parametrize("places", [("gauge thrust",), ("",), ("top thrust", "bottom pin"), ("", "gauge pin")])
def test_without_two_places_in_line_there_is_no_taper(shop, places):
    engine = hand(shop)
    for place in places:
        engine.read("cyl.1", "bore", "4.0000", place)
    found = engine.find("bore-taper", "cyl.1")
    assert found.verdict is Verdict.NOT_MEASURED
    assert found.missing == ("bore at two places of cyl.1 in line",)


def test_spread_is_largest_less_smallest_of_those_measured(shop):
    engine = hand(shop)
    for station, tenths in (("main.1", 22), ("main.2", 20), ("main.3", 25)):  # main.4 is not read
        engine.clearance(station, tenths)
    found = engine.find("main-oil-clearance-spread", "engine")
    assert found.value == pytest.approx(5 * TENTH, rel=1e-6)
    assert found.standard_uncertainty == pytest.approx(2 * TENTH, rel=1e-9)  # four readings of one tenth
    # limit 5 tenths: half the chance to be over it
    assert found.probability == pytest.approx(0.5, abs=1e-6)
    assert found.verdict is Verdict.TOO_CLOSE


def test_stations_that_are_all_alike_differ_by_nothing_give_or_take_their_doubt(shop):
    engine = hand(shop)
    for station in ("main.1", "main.2", "main.3"):
        engine.clearance(station, 20)
    found = engine.find("main-oil-clearance-spread", "engine")
    assert found.value == 0.0
    assert found.standard_uncertainty == pytest.approx(2 * TENTH, rel=1e-9)


def test_one_station_has_no_spread(shop):
    engine = hand(shop)
    engine.clearance("main.1", 20)
    found = engine.find("main-oil-clearance-spread", "engine")
    assert found.verdict is Verdict.NOT_MEASURED
    assert found.missing == ("main oil clearance of 3 places",)


def test_a_stale_station_makes_the_spread_stale(shop):
    engine = hand(shop)
    for station in ("main.1", "main.2"):
        engine.clearance(station, 20)
    commands.part(shop, engine.engine, bodies.PartListed(part="x", kind="main-shell"),
                  bodies.PartFitted(slot="main.1.shell.lower", part="x"))
    assert engine.find("main-oil-clearance-spread", "engine").verdict is Verdict.STALE


def test_displacement_is_the_sum_of_all_cylinders_and_of_no_fewer(shop):
    engine = hand(shop)
    engine.state("cyl.1", "bore", "4.000")
    engine.state("cyl.2", "bore", "4.000")
    engine.state("pin.*", "stroke", "3.000")
    found = engine.find("displacement", "engine")
    assert found.verdict is Verdict.NOT_MEASURED
    assert found.missing == ("swept volume of 1 places",)
    engine.state("cyl.3", "bore", "2.000")
    # pi/4 x (16 + 16 + 4) x 3 = 27 pi cubic inches
    assert engine.find("displacement", "engine").value == pytest.approx(27 * pi * INCH**3, rel=1e-12)


def stack(engine):
    for station, feature, text in (("deck.*", "deck-height", "9.0000"), ("pin.*", "stroke", "3.0000"),
                                   ("rod.*", "rod-length", "6.0000"), ("cyl.*.piston", "compression-height", "1.4900")):
        engine.state(station, feature, text, "0.0020")


def test_sizes_of_a_sheet_say_nothing_of_how_a_deck_lies(shop):
    engine = hand(shop)
    stack(engine)
    assert engine.find("deck-clearance", "cyl.1").value == pytest.approx(0.0100 * INCH, rel=1e-9)  # 9 - 1.5 - 6 - 1.49
    found = engine.find("deck-spread", "deck.A")
    assert found.verdict is Verdict.NOT_MEASURED
    assert found.expected == pytest.approx(0.0, abs=1e-15)


def test_each_bank_has_a_deck_of_its_own(shop):
    engine = hand(shop, "v8-90-cross-plane, cams none")
    for station, text in (("cyl.1", "0.0100"), ("cyl.7", "0.0130"), ("cyl.2", "0.0200"), ("cyl.4", "0.0210")):
        engine.read(station, "deck-clearance", text)
    assert engine.find("deck-spread", "deck.A").value == pytest.approx(0.0030 * INCH, rel=1e-9)  # odd cylinders
    assert engine.find("deck-spread", "deck.B").value == pytest.approx(0.0010 * INCH, rel=1e-9)
