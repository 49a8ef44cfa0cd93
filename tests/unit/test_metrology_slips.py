"""Gross mistakes: the slip that was made is ranked first, and nothing is corrected."""

import pytest

from tenths.errors import BadInput
from tenths.metrology.slips import INCH, likely_slips

THOU = 1e-3 * INCH


def slips(text, *, expected, kind="outside micrometer", unit=INCH, spread=1.0, **more):
    return likely_slips(
        float(text) * unit, expected=expected * unit, u=spread * THOU, kind=kind, unit=unit, text=text, **more
    )


@pytest.mark.parametrize(
    ("text", "expected", "kind", "unit", "what", "meant"),
    [
        ("2.4735", 2.4485, "outside micrometer", INCH, "thimble turn", 2.4485),
        ("2.4235", 2.4485, "outside micrometer", INCH, "thimble turn", 2.4485),
        ("57.73", 57.23, "outside micrometer", 1e-3, "thimble turn", 57.23),
        ("2.4405", 2.4505, "dial bore gauge", INCH, "dial turn", 2.4505),
        ("2.4845", 2.4485, "outside micrometer", INCH, "figures swapped", 2.4485),
        ("4.2485", 2.4485, "caliper", INCH, "figures swapped", 2.4485),
        ("-0.0320", 0.0320, "depth micrometer", INCH, "sign", 0.0320),
        ("0.0964", 2.4485, "caliper", INCH, "inch and millimetre", 2.44856),
        ("24.485", 2.4485, "caliper", INCH, "decimal point", 2.4485),
    ],
)
def test_the_slip_that_was_made_comes_first(text, expected, kind, unit, what, meant):
    found = slips(text, expected=expected, kind=kind, unit=unit)
    assert found[0].what == what
    assert found[0].meant == pytest.approx(meant * unit, rel=1e-4)
    assert sum(s.share for s in found) == pytest.approx(1.0)
    assert list(found) == sorted(found, key=lambda s: -s.share)


def test_sign_of_a_deviation_turns_about_the_setting():
    setting = 2.4400 * INCH
    found = likely_slips(
        setting - 6 * THOU, expected=setting + 6 * THOU, u=0.2 * THOU, kind="dial bore gauge", text="-6", unit=THOU,
        setting=setting,
    )  # fmt: skip
    assert found[0].what == "sign"
    assert found[0].meant == pytest.approx(setting + 6 * THOU)


def test_reading_of_another_cylinder_names_it():
    found = slips(
        "4.0305", expected=4.0005, kind="dial bore gauge", neighbours={"cyl.4": 4.0304 * INCH, "cyl.6": 4.0005 * INCH}
    )
    assert found[0].what == "wrong place"
    assert found[0].place == "cyl.4"
    assert found[0].meant == pytest.approx(4.0305 * INCH)


def test_a_believable_reading_is_left_alone():
    assert slips("2.4500", expected=2.4485) == ()


def test_what_nothing_explains_gives_no_slip():
    assert slips("2.4611", expected=2.4485, spread=0.2) == ()


def test_thimble_turns_belong_to_micrometers():
    assert not any(s.what == "thimble turn" for s in slips("2.4735", expected=2.4485, kind="caliper"))


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="u 0"):
        likely_slips(1.0, expected=1.0, u=0.0, kind="caliper")
