"""Line of the mains and flatness of a deck as findings, by hand: every reading doubtful by one tenth, nothing else."""

import math

import pytest

from hand import TENTH, hand
from tenths.services.tray import tray


@pytest.fixture
def one(shop):
    return hand(shop)


@pytest.fixture
def shop(tmp_path):
    from shops import shop_in_memory

    return shop_in_memory(tmp_path)


def test_the_line_of_four_mains(one):
    for n, tenths in enumerate((0, 3, 0, -2), 1):
        one.read(f"main.{n}", "line-height", f"{tenths / 1e4:.4f}")
    found = one.find("main-line-straightness", "block")
    # heights 0, 3, 0, -2 at 0, 1, 2, 3: the zone is held by the first, second and fourth: 3 - (2/3) 0 - (1/3)(-2)
    assert found.value == pytest.approx((3 + 2 / 3) * TENTH)
    assert found.standard_uncertainty == pytest.approx(math.sqrt(1 + 4 / 9 + 1 / 9) * TENTH)
    assert (found.verdict, found.limits.upper) == ("fits", pytest.approx(20 * TENTH))
    assert len(found.inputs) == 4


def test_two_mains_make_no_line_and_side_and_height_are_kept_apart(one):
    for n in (1, 2):
        one.read(f"main.{n}", "line-height", "0.0001")
    assert one.find("main-line-straightness", "block").missing == ("2 places along the line; three or more are needed",)
    assert one.find("main-line-sideways", "block").verdict == "not measured"
    with pytest.raises(StopIteration):
        one.find("main-line-side", "main.1")


def test_a_deck_with_one_corner_high(one):
    for place, tenths in (("front inner", 0), ("front outer", 0), ("rear inner", 0), ("rear outer", 30), ("middle centre", 7.5)):
        one.read("deck.A", "face-height", f"{tenths / 1e4:.5f}", place)
    found = one.find("deck-flatness", "deck.A")
    # corners 0, 0, 0, 30: half of the twist, 15, the middle of 7.5 lies within
    assert found.value == pytest.approx(15 * TENTH)
    assert found.standard_uncertainty == pytest.approx(math.sqrt(4 / 4) * TENTH)
    assert found.verdict == "fits"
    one.read("deck.A", "face-height", "0.0090", "rear outer")
    assert one.find("deck-flatness", "deck.A").value == pytest.approx(30 * TENTH)  # mean of 30 and 90 is 60


def test_a_deck_against_the_crank(one):
    one.read("deck.A", "deck-height", "9.0210", "front", by="scaled")
    one.read("deck.A", "deck-height", "9.0225", "rear", by="scaled")
    found = one.find("deck-parallelism", "deck.A")
    assert found.value == pytest.approx(15 * TENTH, rel=1e-6)
    assert found.standard_uncertainty == pytest.approx(0.0, abs=1e-3 * TENTH)  # one scale for both: it falls out


def test_the_tray_asks_for_the_rest_once_one_was_taken(one, shop):
    def asked():
        return [(row["station"], row["place"]) for row in tray(shop, one.engine) if row["feature"] in {"line-height", "face-height"}]

    assert asked() == []
    one.read("main.2", "line-height", "0.0001")
    assert asked() == [("main.1", ""), ("main.3", ""), ("main.4", "")]
