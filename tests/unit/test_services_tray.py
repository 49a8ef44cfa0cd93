"""The tray: what is still to be read, in walking order, and what each row says."""

from itertools import pairwise

import pytest

from engines import ENGINE, HOUSING, read, read_mains, say, wren
from shops import shop_in_memory
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.tray import tray


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    wren(made)
    return made


def rows(shop, feature, **more):
    return [r for r in tray(shop, ENGINE, **more) if r["feature"] == feature]


def test_every_main_is_walked_from_front_to_back(shop):
    assert list(dict.fromkeys(r["station"] for r in rows(shop, "housing-bore") if r["station"].startswith("main"))) == [
        "main.1", "main.2", "main.3"]


def test_what_is_read_is_asked_for_no_more_and_what_is_stale_is_asked_again(shop):
    read(shop, "main.1", "installed-bore", 2.4020, "B front")
    left = {(r["station"], r["place"]) for r in rows(shop, "installed-bore") if r["station"].startswith("main")}
    assert ("main.1", "B front") not in left
    assert {("main.2", "B front"), ("main.3", "B front")} < left
    say(shop, bodies.PartListed(part="block-w", kind="block"), bodies.PartFitted(slot="block", part="block-w"))
    again = next(r for r in rows(shop, "installed-bore") if (r["station"], r["place"]) == ("main.1", "B front"))
    assert again["why"].startswith("block held nothing named")
    assert again["last_text"] == "2.40200"


def test_a_grid_read_in_four_places_is_enough(shop):
    places = [r["place"] for r in rows(shop, "housing-bore") if r["station"] == "main.1"]
    for place in places[:3]:
        read(shop, "main.1", "housing-bore", HOUSING, place)
    assert any(r["station"] == "main.1" for r in rows(shop, "housing-bore"))
    read(shop, "main.1", "housing-bore", HOUSING, places[3])
    assert not any(r["station"] == "main.1" for r in rows(shop, "housing-bore"))


def test_what_is_expected_is_the_stated_size_else_the_mean_of_its_like(shop):
    read(shop, "main.1", "journal", 2.4000, "1 front")
    read(shop, "main.2", "journal", 2.4002, "1 front")
    row = next(r for r in rows(shop, "journal") if r["station"] == "main.3")
    assert row["expected"] == pytest.approx(2.4001)
    say(shop, bodies.SizeStated(station="main.*", feature="journal", text="2.3990"))
    row = next(r for r in rows(shop, "journal") if r["station"] == "main.3")
    assert row["expected"] == pytest.approx(2.3990)
    assert row["expected_text"] == "2.3990 in"


def test_instruments_laid_out_are_picked_up_once_each(shop):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="bore-1", kind="bore-gauge", name="bore gauge"))
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="mic-1", kind="outside-micrometer", name="micrometer"))
    say(shop, *commands.instrument_cards(shop, ENGINE, "bore-1", "mic-1"))
    found = tray(shop, ENGINE, instruments=["mic-1", "bore-1"])
    kinds = list(dict.fromkeys(r["instrument_kind"] for r in found))
    assert kinds[0] == "outside-micrometer"
    assert "bore-gauge" in kinds
    changes = sum(a["instrument_kind"] != b["instrument_kind"] and "bore-gauge" in {a["instrument_kind"], b["instrument_kind"]}
                  for a, b in pairwise(found))
    assert changes == 1


def test_a_house_that_skips_a_thing_is_not_asked_for_it(tmp_path):
    shop = shop_in_memory(tmp_path)
    wren(shop, house='skip = ["seal-wear"]\n')
    assert rows(shop, "seal-wear") == []
    other = shop_in_memory(tmp_path)
    wren(other)
    assert rows(other, "seal-wear") != []


def test_only_so_many_are_given_as_are_asked_for(shop):
    assert len(tray(shop, ENGINE, limit=3)) == 3
    read_mains(shop)
    assert len(tray(shop, ENGINE)) > 3


def test_a_gauge_that_is_set_says_what_it_deviates_from(shop):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="bore-1", kind="bore-gauge", name="bore gauge"))
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="ring-1", kind="ring", name="ring"))
    commands.set_instrument(shop, ENGINE, instrument="bore-1", master="ring-1", size="2.6000")
    row = next(r for r in rows(shop, "housing-bore") if r["station"] == "main.1")
    assert (row["instrument"], row["deviation_from"]) == ("bore-1", "2.6000 in")
