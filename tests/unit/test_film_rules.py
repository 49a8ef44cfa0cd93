"""House rules for the oil film: what is taken, what is refused by name, and what it changes."""

import pytest

from tenths.calc.film.judged import LININGS
from tenths.errors import BadInput
from tenths.findings.film_rules import TIMES, film_rules
from tenths.findings.limits import USES
from tenths.findings.rules import vet_house_rules


def test_common_practice_where_the_house_is_silent():
    rules = film_rules({})
    assert {authority for _, authority in rules.linings.values()} == {"common practice"}
    assert [rules.linings[one.name][0] for one in LININGS] == list(LININGS)
    assert set(TIMES) == set(USES)
    assert all(sum(shares) == pytest.approx(1.0) for shares in TIMES.values())


def test_the_house_goes_before_and_its_lining_before_what_holds_for_all():
    rules = film_rules({"film": {"film": "1.5 µm", "lining": {"aluminium-tin": {"film": "2 µm", "unit-load": "30 MPa"}},
                                 "use": {"circuit": {"power": 0.6, "idle": 0.2}}}})
    alu, authority = rules.linings["aluminium-tin"]
    assert (alu.film, alu.unit_load, authority) == (pytest.approx(2e-6), pytest.approx(30e6), "house rule")
    white, authority = rules.linings["tin-base white metal"]
    assert (white.film, white.unit_load, authority) == (pytest.approx(1.5e-6), pytest.approx(14e6), "house rule")
    assert rules.times["circuit"] == ((0.2, 0.0, 0.0, 0.6, 0.0), "house rule")
    assert rules.times["street"][1] == "common practice"


@pytest.mark.parametrize(("text", "message"), [
    ("film = 3", r"\[film\] is 3: a table with unit-load, peak-pressure"),
    ("[film]\nthick = 1", "film: 'thick' is not known; there are unit-load"),
    ("[film]\nratio = true", "film: ratio = True: a number is taken"),
    ("[film]\nratio = -1", "film: ratio = -1: more than 0 is taken"),
    ("[film]\nfilm = 1.0", "film: film = 1.0: text with its unit is taken"),
    ('[film]\nfilm = "1 lb"', "film: film: “1 lb” has a unit of mass"),
    ("[film]\nsource = 3", "film: source = 3: text is taken"),
    ("[film.lining.cheese]\nratio = 1", "film.lining: 'cheese' is not known; there are tin-base white metal"),
    ("[film.use.street]\nidle = 2", "film.use.street: idle = 2: a share from 0 to 1 is taken"),
    ("[film.use.street]\nsleep = 1", "film.use.street: 'sleep' is not known; there are idle, cruise"),
    ("[film.use.street]\nidle = 0", "film.use.street: the shares are all 0"),
    ("[film.use.towing]\nidle = 1", "film.use: 'towing' is not known; there are street"),
])
def test_what_cannot_be_taken_is_refused_by_name(text, message):
    with pytest.raises(BadInput, match=message):
        vet_house_rules(text)
