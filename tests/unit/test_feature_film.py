"""What is stated of oil and shells: names that stand for kinds, and numbers of the oil's own sheet."""

import pytest

from tenths.calc.film import grades, judged
from tenths.engine.feature_film import FILM, LININGS, OIL_GRADES
from tenths.engine.features import feature_at
from tenths.errors import BadInput
from tenths.logbook.bodies import ReadingTaken, SizeStated
from tenths.services import commands


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Trial", layout="inline-4")


def stated(shop, engine, station, feature, text, tolerance=""):
    commands.state(shop, engine, SizeStated(station=station, feature=feature, text=text, tolerance=tolerance))
    return shop.build(engine).stated(station.replace("*", "1"), feature)


def test_every_grade_that_can_be_stated_is_one_of_the_standard():
    for name in OIL_GRADES:
        assert grades.grade(name).name == name
        assert grades.middle_oil(name).line.kinematic(373.15) > 0


def test_linings_that_can_be_stated_are_those_that_limits_are_known_for():
    assert set(LININGS) == {one.name for one in judged.LININGS}


@pytest.mark.parametrize("text", ["10W-40", "10w40", "SAE 10W-40", " 10 W 40 "])
def test_a_grade_is_taken_as_people_write_it(shop, engine, text):
    found = stated(shop, engine, "engine", "oil-grade", text)
    assert OIL_GRADES[int(found.value)] == "10W-40"


def test_what_is_no_grade_or_no_lining_is_refused_with_what_is(shop, engine):
    with pytest.raises(BadInput, match=r"oil-grade at engine: 'treacle' is not known; taken are .*10W-40"):
        stated(shop, engine, "engine", "oil-grade", "treacle")
    with pytest.raises(BadInput, match=r"lining at main\.\*: 'cheese' is not known; taken are tin-base white metal, aluminium-tin"):
        stated(shop, engine, "main.*", "lining", "cheese")
    with pytest.raises(BadInput, match="oil-grade is said by its name and takes none"):
        stated(shop, engine, "engine", "oil-grade", "10W-40", "5")


def test_numbers_of_the_oils_sheet_take_the_units_it_has(shop, engine):
    assert stated(shop, engine, "engine", "oil-viscosity-100", "14.4 cSt").value == pytest.approx(14.4e-6)
    assert stated(shop, engine, "engine", "oil-high-shear", "3.7 cP").value == pytest.approx(3.7e-3)
    assert stated(shop, engine, "engine", "oil-density", "0.865 g/cm3").value == pytest.approx(865.0)


def test_finish_of_a_journal_is_read_in_microinches_and_ends_with_grinding(shop, engine):
    commands.take_reading(shop, engine, ReadingTaken(station="main.2", feature="journal-ra", text="8"))
    reading = shop.build(engine).readings["main.2", "journal-ra"][0]
    assert reading.value == pytest.approx(8 * 2.54e-8)
    commands.machine(shop, engine, slot="crank", operation="polished")
    assert "polished" in shop.build(engine).stale_because(reading)


def test_each_feature_says_what_it_is():
    for feature in FILM:
        assert feature.words
        for kind in feature.kinds:
            assert feature_at(feature.name, {"engine": "engine", "main": "main.1", "rod": "rod.1", "pin": "pin.1"}[kind]) is feature
