"""A question while typing looks at part of the catalogue; that part holds everything that the reading can change."""

import pytest

from shops import shop_in_memory
from tenths.findings.check import check, touched_by
from tenths.logbook import bodies
from tenths.services.demo import lay_demo
from tenths.services.shop import Shop


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    made = shop_in_memory(tmp_path_factory.mktemp("slips"))
    lay_demo(made)
    return made


def with_one_more(shop: Shop, engine, reading):
    """A shop of its own, where the last reading of a place has been taken again."""
    entries = [entry.sent() for entry in shop.logbook.read(engine)]
    other = shop_in_memory(shop.folder)
    for entry in entries:
        other.logbook.append(engine, [entry])
    setting = reading.setting.mark.entry if reading.setting else ""
    return other, other.append(engine, bodies.ReadingTaken(
        station=reading.station, feature=reading.feature.name, place=reading.place, text=reading.typed.text,
        instrument=reading.instrument, setting=setting))[0].id


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_part_of_the_catalogue_is_judged_as_the_whole_and_holds_all_that_a_reading_changes(shop, engine):
    for rows in list(shop.build(engine).readings.values())[::16]:
        other, new = with_one_more(shop, engine, rows[-1])
        whole = {(f.characteristic.name, f.station): f for f in check(other.build(engine))}
        part = {(f.characteristic.name, f.station): f for f in check(other.build(engine), touched_by(rows[-1].feature.name))}
        assert {key for key, f in whole.items() if new in f.entries} <= set(part), rows[-1].feature.name
        assert part == {key: whole[key] for key in part}


def test_findings_are_worked_out_once_for_a_state_of_the_log_and_anew_for_the_next(shop):
    first = shop.checked(shop.build("marigold"))
    assert all(a is b for a, b in zip(first, shop.checked(shop.build("marigold")), strict=True))
    build = shop.build("marigold")
    shop.append("marigold", bodies.ReadingTaken(station="pin.6", feature="side-clearance", text="0.011"))
    assert shop.checked(shop.build("marigold")) == check(shop.build("marigold"))
    assert shop.checked(build) == first
