"""Taper and out-of-round where all places read the same: no difference, but not without doubt."""

from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.services import commands


def test_places_that_read_the_same_differ_by_nothing_give_or_take_their_doubt(shop):
    engine = commands.open_engine(shop, name="Round", layout="single")
    for axis in ("thrust", "pin"):
        commands.take_reading(shop, engine, bodies.ReadingTaken(
            station="cyl.1", feature="bore", place=f"gauge {axis}", text="3.5000"))
    (found,) = (f for f in check(shop.build(engine), ["bore-out-of-round"]))
    assert found.value == 0.0
    assert found.standard_uncertainty > 1e-6  # [m]; resolution alone, 0.0001 in over the root of 12, twice, is 1.04 µm
