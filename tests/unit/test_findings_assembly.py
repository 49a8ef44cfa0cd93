"""Small checks of assembly, against sums done by hand."""

import pytest

from hand import INCH, hand
from tenths.engine.feature_assembly import ASSEMBLY
from tenths.findings.check import CATALOGUE
from tenths.findings.limits import practice
from tenths.work.state import plan_of


@pytest.fixture
def engine(shop):
    return hand(shop, "V2 90, pins shared, throws 0, firing 1-2")


def value(engine, name, station):
    found = engine.find(name, station)
    return None if found.value is None else found.value / INCH


@pytest.mark.parametrize(("name", "station", "reads", "inches", "verdict"), [
    ("pump-gear-clearance", "pump", [("pump", "gear-clearance", "0.0040", "1")], 0.0040, "fits"),
    ("pump-end-clearance", "pump", [("pump", "end-clearance", "0.0080", "1"), ("pump", "end-clearance", "0.0080", "2")], 0.0080, "out"),
    ("pump-shaft-play", "pump", [("pump", "shaft-play", "0.008", "")], 0.008, "fits"),
    ("pick-up-clearance", "pan", [("pan", "pick-up-clearance", "5/16", "")], 0.3125, "fits"),
    # pan 7.500 deep, pick-up 7.050 above the rail: 0.450 is more than 0.375
    ("pick-up-clearance", "pan", [("pan", "pan-depth", "7.500", ""), ("pan", "pick-up-height", "7.050", "")], 0.450, "out"),
    ("chain-slack", "timing", [("timing", "slack", "0.300", "")], 0.300, "fits"),
    # hole 0.500 deep, gasket 0.040, dowel 0.520 proud: 0.020 of room
    ("dowel-room", "deck.B", [("head.B", "dowel-hole", "0.500", ""), ("gasket.B", "gasket-thickness", "0.040", ""),
                              ("deck.B", "dowel-height", "0.520", "")], 0.020, "fits"),
    # a seal of 3.510 in a bore of 3.5015, mean of 3.501 and 3.502: 0.0085 of press
    ("seal-interference", "seal.rear", [("seal.rear", "seal-outside", "3.510", "1"), ("seal.rear", "seal-bore", "3.501", "A"),
                                        ("seal.rear", "seal-bore", "3.502", "B")], 0.0085, "fits"),
    # from -0.004 to +0.008 round the clock is 0.012 in all
    ("seal-centring", "seal.front", [("seal.front", "seal-centring", "0", "12 o'clock"),
                                     ("seal.front", "seal-centring", "0.008", "3 o'clock"),
                                     ("seal.front", "seal-centring", "0.001", "6 o'clock"),
                                     ("seal.front", "seal-centring", "-0.004", "9 o'clock")], 0.012, "out"),
    ("gasket-stand-off", "cyl.1", [("cyl.1", "gasket-stand-off", "-0.005", "")], -0.005, "out"),
])
def test_a_small_check_is_the_sum_done_by_hand_and_judged_by_common_practice(engine, name, station, reads, inches, verdict):
    for where, feature, text, place in reads:
        engine.read(where, feature, text, place)
    found = engine.find(name, station)
    assert found.value / INCH == pytest.approx(inches, abs=1e-9)
    assert (str(found.verdict), found.limits.authority) == (verdict, "common practice")


def test_every_small_check_says_how_and_has_a_limit_and_a_step_that_asks_for_it(engine):
    small = {c.name for c in CATALOGUE if c.section == "assembly"}
    assert small <= {row.characteristic for row in practice()}
    assert all(f.how for f in ASSEMBLY)
    asked = {need.characteristic for s in plan_of(engine.shop.build(engine.engine))[0].steps.values() for need in (*s.reads, *s.checks)}
    assert small <= asked
