"""Whose limits judge: the maker's sheet before the house, the house before common practice; the nearest rule of each."""

import pytest

from engines import ENGINE, read_mains, say, wren
from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.limits import limits_for
from tenths.logbook import bodies
from tenths.services import commands

INCH = 0.0254
MAIN = "main-oil-clearance"
ROD = "rod-oil-clearance"
HOUSE = '[[limit]]\ncharacteristic = "rod-oil-clearance"\nlower = "0.0011 in"\nupper = "0.0021 in"\nsource = "our own"\n'


def limits(shop, name, station, size=2.0 * INCH):
    return limits_for(shop.build(ENGINE), catalogue()[name], station, size)


def inches(found):
    return [None if v is None else round(v / INCH, 7) for v in (found.lower, found.upper, found.target)]


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    wren(made)
    return made


def test_the_sheet_goes_before_the_house_and_the_house_before_practice(tmp_path):
    shop = shop_in_memory(tmp_path)
    wren(shop, house=HOUSE)
    assert limits(shop, ROD, "rod.1").authority == "house rule"
    assert inches(limits(shop, ROD, "rod.1")) == [0.0011, 0.0021, None]
    assert limits(shop, ROD, "rod.1").source == "our own"
    say(shop, bodies.LimitStated(station="rod.1", characteristic=ROD, lower="0.0015", source="sheet 9"))
    assert (limits(shop, ROD, "rod.1").source, inches(limits(shop, ROD, "rod.1"))) == ("sheet 9", [0.0015, None, None])
    assert limits(shop, ROD, "rod.2").authority == "house rule"


def test_practice_goes_by_the_inch_of_journal(shop):
    found = limits(shop, ROD, "rod.1", 2.0 * INCH)
    assert found.authority == "common practice"
    assert found.lower == pytest.approx(2 * 0.00075 * INCH)  # three quarters of a thou per inch: common practice, no source
    assert limits(shop, ROD, "rod.1", None).given is False  # without a journal there is nothing to multiply


def test_the_use_decides_which_practice(tmp_path):
    shop = shop_in_memory(tmp_path)
    wren(shop)
    street = limits(shop, ROD, "rod.1")
    commands.describe_engine(shop, ENGINE, {"use": "circuit"})
    circuit = limits(shop, ROD, "rod.1")
    assert circuit.lower > street.lower  # hard use is given more oil
    assert circuit.source.endswith(", circuit")


def test_a_limit_of_one_place_goes_before_one_of_all_and_the_later_before_the_earlier(shop):
    say(shop, bodies.LimitStated(station="main.2", characteristic=MAIN, lower="0.0012", upper="0.0022"))
    assert inches(limits(shop, MAIN, "main.2")) == [0.0012, 0.0022, None]
    assert inches(limits(shop, MAIN, "main.3")) == [0.0010, 0.0030, 0.0020]
    say(shop, bodies.LimitStated(station="main.*", characteristic=MAIN, lower="0.0014", upper="0.0024"))
    assert inches(limits(shop, MAIN, "main.2")) == [0.0012, 0.0022, None]
    assert inches(limits(shop, MAIN, "main.3")) == [0.0014, 0.0024, None]


def test_what_is_predicted_is_judged_by_the_limits_of_what_will_be_read(shop):
    assert inches(limits(shop, "main-oil-clearance-predicted", "main.1")) == [0.0010, 0.0030, 0.0020]


def test_a_limit_struck_counts_no_more(shop):
    found = [e for e in shop.logbook.read(ENGINE) if e.type == "limit.stated"]
    commands.strike(shop, ENGINE, found[0].id, "of another engine")
    assert limits(shop, MAIN, "main.1").authority == "common practice"


@pytest.mark.parametrize(("body", "says"), [
    (bodies.LimitStated(station="main.1", characteristic=MAIN), "lower limit, an upper limit"),
    (bodies.LimitStated(station="main.1", characteristic=MAIN, lower="thin"), "limit of main-oil-clearance"),
    (bodies.LimitStated(station="main.1", characteristic="oil-gap", lower="0.001"), "'oil-gap' is not known")])
def test_a_limit_that_cannot_be_read_is_refused(shop, body, says):
    read_mains(shop)
    with pytest.raises(BadInput, match=says):
        say(shop, body)
