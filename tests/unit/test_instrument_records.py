"""Instruments as records: what a certificate does to a reading, and how each that is not in order is named."""

from datetime import UTC, datetime, timedelta
from math import sqrt

import pytest

from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.shop import SHOP

MIKE = {"instrument": "mic", "kind": "outside-micrometer", "name": "Micrometer 2-3"}
GAUGE = {"instrument": "gauge", "kind": "bore-gauge", "name": "Bore gauge", "limit_of_error": "0 in", "repeatability": "0 in",
         "resolution": "0 in"}


def point(size, correction, uncertainty="0.6 tenths"):
    return bodies.CertificatePoint(size=size, correction=correction, uncertainty=uncertainty)


@pytest.fixture
def engine(shop):
    commands.list_instrument(shop, bodies.InstrumentListed(**MIKE, resolution="0 in", repeatability="0 in", limit_of_error="1.5 tenths"))
    commands.list_instrument(shop, bodies.InstrumentListed(**GAUGE))
    return commands.open_engine(shop, name="Trial", layout="inline-3", units="inch")


def read(shop, engine, station, feature, text, place="", instrument="mic", **more):
    commands.take_reading(shop, engine, bodies.ReadingTaken(station=station, feature=feature, text=text, place=place,
                                                            instrument=instrument, **more))


def finding(shop, engine, name="main-journal-size", station="main.1"):
    return next(f for f in check(shop.build(engine), [name]) if f.station == station)


def certify(shop, *points, **more):
    said = {"instrument": "mic", "day": "2026-02-03", "points": points} | more
    shop.append(SHOP, bodies.InstrumentCertified(**said))


# 2.0 in: +0.4 tenths; 3.0 in: +0.8 tenths. At 2.25 in the straight line between gives +0.5. U = 0.6 with k = 2 everywhere.
def test_the_correction_is_interpolated_at_the_reading_and_its_uncertainty_stands_for_the_scale(shop, engine):
    certify(shop, point("2 in", "+0.4 tenths"), point("3 in", "+0.8 tenths"))
    read(shop, engine, "main.1", "journal", "2.2500")
    found = finding(shop, engine)
    assert found.value == pytest.approx(2.25005 * 0.0254, rel=1e-12)
    assert found.standard_uncertainty == pytest.approx(0.3e-4 * 0.0254, rel=1e-9)
    assert list(found.estimate.parts) == ["scale:mic"]


def test_without_a_certificate_the_limit_of_error_stands(shop, engine):
    read(shop, engine, "main.1", "journal", "2.2500")
    found = finding(shop, engine)
    assert found.value == pytest.approx(2.25 * 0.0254, rel=1e-12)
    assert found.standard_uncertainty == pytest.approx(1.5e-4 * 0.0254 / sqrt(3), rel=1e-9)


def test_beyond_its_points_the_end_point_holds_and_k_is_that_of_the_certificate(shop, engine):
    certify(shop, point("2 in", "+0.4 tenths", "0.9 tenths"), coverage="3")
    read(shop, engine, "main.1", "journal", "2.6000")
    found = finding(shop, engine)
    assert found.value == pytest.approx(2.60004 * 0.0254, rel=1e-12)
    assert found.standard_uncertainty == pytest.approx(0.3e-4 * 0.0254, rel=1e-9)


def test_what_the_gauge_is_set_from_carries_its_certificate_and_what_they_share_cancels(shop, engine):
    """Journal and bore hang on one micrometer: its correction moves both alike, so the clearance does not feel it."""
    certify(shop, point("2 in", "+4 tenths"), point("3 in", "+4 tenths"))
    read(shop, engine, "main.1", "journal", "2.2500")
    commands.set_instrument(shop, engine, instrument="gauge", master="mic", size="2.2520")
    for place in ("B front", "B rear"):
        read(shop, engine, "main.1", "installed-bore", "+1 tenths", place, "gauge")
    found = finding(shop, engine, "main-oil-clearance")
    assert found.value == pytest.approx(0.0021 * 0.0254, rel=1e-9)
    assert found.estimate.parts["scale:mic"] == pytest.approx(0.0, abs=1e-15)
    assert found.standard_uncertainty == pytest.approx(0.3e-4 * 0.0254, rel=1e-9)  # setting the gauge: common practice


def test_a_certificate_goes_along_into_the_engines_log_once(shop, engine):
    certify(shop, point("2 in", "+0.4 tenths"))
    read(shop, engine, "main.1", "journal", "2.2500")
    read(shop, engine, "main.2", "journal", "2.2500")
    kinds = [e.type for e in shop.logbook.read(engine)]
    assert kinds.count("instrument.certified") == 1
    assert kinds.index("instrument.certified") < kinds.index("reading.taken")


def test_a_reading_of_before_keeps_the_certificate_of_before(shop, engine):
    certify(shop, point("2 in", "+1 tenths"), day="2026-01-05")
    certify(shop, point("2 in", "+3 tenths"), day="2026-06-01")
    read(shop, engine, "main.1", "journal", "2.2500")  # on 4 May 2026, by the clock of the test's shop
    assert finding(shop, engine).value == pytest.approx(2.2501 * 0.0254, rel=1e-12)


# -- states ------------------------------------------------------------------------------------------------------------

def states(found):
    return [(u.instrument, u.role, u.state) for u in found.instruments]


def test_in_order_is_said_as_well(shop, engine):
    read(shop, engine, "main.1", "journal", "2.2500")
    found = finding(shop, engine)
    assert states(found) == [("mic", "read with", "in order")]
    assert found.warnings == ()


@pytest.mark.parametrize(("card", "state", "says"), [
    ({"due": "2026-05-04"}, "overdue", "Micrometer 2-3: calibration was due on 2026-05-04"),
    ({"range_from": "1 in", "range_to": "2 in"}, "out of range", "Micrometer 2-3: reads 1 to 2 in"),
    ({"hand": "Tom Arden"}, "another hand", "read by Ada Quill, its repeatability is that of Tom Arden"),
])
def test_an_instrument_that_is_not_in_order_is_named_on_the_finding(shop, engine, card, state, says):
    commands.list_instrument(shop, bodies.InstrumentListed(**MIKE, **card))
    read(shop, engine, "main.1", "journal", "2.2500")
    found = finding(shop, engine)
    assert states(found) == [("mic", "read with", state)]
    assert any(says in warning for warning in found.warnings)


def test_a_certificate_brings_its_own_day_of_falling_due(shop, engine):
    certify(shop, point("2 in", "0 in"), due="2026-05-01")
    read(shop, engine, "main.1", "journal", "2.2500")
    assert states(finding(shop, engine)) == [("mic", "read with", "overdue")]


def test_a_gauge_that_was_never_set_is_named(shop, engine):
    read(shop, engine, "main.1", "installed-bore", "2.2521", "B front", "gauge")
    read(shop, engine, "main.1", "journal", "2.2500")
    assert ("gauge", "read with", "not set") in states(finding(shop, engine, "main-oil-clearance"))


@pytest.mark.parametrize(("house", "state"), [("", "set too long ago"), ('[instruments]\nset-within = "24 h"\n', "in order")])
def test_a_gauge_set_on_another_day_is_named_by_house_rule(shop, engine, house, state):
    if house:
        commands.adopt_house_rules(shop, house, engine)
    commands.set_instrument(shop, engine, instrument="gauge", master="mic", size="2.2520")
    later = datetime(2026, 5, 5, 4, 0, tzinfo=UTC)  # nineteen hours on
    shop.clock = lambda: later
    read(shop, engine, "main.1", "journal", "2.2500")
    read(shop, engine, "main.1", "installed-bore", "+1 tenths", "B front", "gauge")
    found = finding(shop, engine, "main-oil-clearance")
    assert ("gauge", "read with", state) in states(found)
    assert ("mic", "set from", "in order") in states(found)
    assert any("set from mic 19 hours before" in w for w in found.warnings) == (state != "in order")


def test_a_master_that_is_overdue_is_named_where_the_gauge_was_set_from_it(shop, engine):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="ring", kind="ring", name="Ring 2.25", due="2026-01-31"))
    commands.set_instrument(shop, engine, instrument="gauge", master="ring", size="2.2520")
    read(shop, engine, "main.1", "journal", "2.2500")
    read(shop, engine, "main.1", "installed-bore", "+1 tenths", "B front", "gauge")
    assert ("ring", "set from", "overdue") in states(finding(shop, engine, "main-oil-clearance"))


# -- the temperature log -----------------------------------------------------------------------------------------------

def note(shop, engine, where, text, hours=0.0):
    when = (datetime(2026, 5, 4, 9, 0, tzinfo=UTC) + timedelta(hours=hours)).isoformat()
    shop.append(engine, bodies.TemperatureNoted(where=where, text=text, when=when))


@pytest.fixture
def warm(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="b", kind="block", material="aluminium casting"),
                  bodies.PartFitted(slot="block", part="b", all_along=True))
    return engine


ALUMINIUM, STEEL = 22.0e-6, 11.5e-6  # expansion of casting and gauge, handbook values from memory


def bore(shop, engine, text="4.0000"):
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="cyl.1", feature="bore", place="gauge thrust", text=text))
    return finding(shop, engine, "bore-size", "cyl.1")


# L20 = L (1 - alpha_part (t_part - 20) + alpha_gauge (t_gauge - 20)), ISO 1 and the guide's H.1
def test_the_nearest_note_of_the_part_stands_in_for_a_thermometer_and_is_said(shop, warm):
    note(shop, warm, "block", "30 °C")
    found = bore(shop, warm)
    assert found.value == pytest.approx(4 * 0.0254 * (1 - (ALUMINIUM - STEEL) * 10), abs=1e-12)
    assert any("temperature from the log: block at 2026-05-04 09:00, 30.0" in w for w in found.warnings)
    # thermometer 0.6 K and what a note adds, 0.5 K
    part = found.estimate.parts["temperature:block at 2026-05-04 09:00"]
    assert abs(part) == pytest.approx(4 * 0.0254 * (ALUMINIUM - STEEL) * sqrt(0.6**2 + 0.5**2), rel=1e-9)


def test_the_gauge_is_as_warm_as_the_air_where_that_was_noted(shop, warm):
    note(shop, warm, "block", "30 °C")
    note(shop, warm, "shop air", "21 °C")
    assert bore(shop, warm).value == pytest.approx(4 * 0.0254 * (1 - ALUMINIUM * 10 + STEEL * 1), abs=1e-12)


def test_the_shop_air_alone_is_taken_for_the_part_with_more_doubt(shop, warm):
    note(shop, warm, "shop air", "25 °C")
    found = bore(shop, warm)
    assert found.value == pytest.approx(4 * 0.0254 * (1 - (ALUMINIUM - STEEL) * 5), abs=1e-12)
    part = found.estimate.parts["temperature:shop air at 2026-05-04 09:00"]
    assert abs(part) == pytest.approx(4 * 0.0254 * (ALUMINIUM - STEEL) * sqrt(0.6**2 + 1.5**2), rel=1e-9)


def test_a_fitted_sleeve_grows_by_its_own_material_and_is_as_warm_as_its_block(shop, warm):
    commands.part(shop, warm, bodies.PartListed(part="s", kind="sleeve", material="grey cast iron"),
                  bodies.PartFitted(slot="cyl.1.sleeve", part="s", all_along=True))
    note(shop, warm, "block", "30 °C")
    assert bore(shop, warm).value == pytest.approx(4 * 0.0254 * (1 - (10.5e-6 - STEEL) * 10), abs=1e-12)


def test_between_two_notes_it_is_interpolated(shop, warm):
    note(shop, warm, "block", "34 °C", -2)
    note(shop, warm, "block", "26 °C", 2)
    found = bore(shop, warm)  # half way, but for the seconds that the test's clock goes on
    assert found.value == pytest.approx(4 * 0.0254 * (1 - (ALUMINIUM - STEEL) * 10), abs=2e-8)


def test_a_note_out_of_reach_says_nothing(shop, warm):
    note(shop, warm, "block", "30 °C", -13)
    assert bore(shop, warm).value == pytest.approx(4 * 0.0254)
    commands.adopt_house_rules(shop, '[temperature]\nreach = "14 h"\n', warm)
    assert finding(shop, warm, "bore-size", "cyl.1").value < 4 * 0.0254 - 1e-6


def test_a_temperature_read_at_the_part_goes_before_the_log(shop, warm):
    note(shop, warm, "block", "30 °C")
    commands.take_reading(shop, warm, bodies.ReadingTaken(
        station="cyl.1", feature="bore", place="gauge thrust", text="4.0000", temperature="20 °C"))
    assert finding(shop, warm, "bore-size", "cyl.1").value == pytest.approx(4 * 0.0254)


def test_a_warm_part_of_unknown_material_is_said_and_left(shop, engine):
    note(shop, engine, "block", "30 °C")
    found = bore(shop, engine)
    assert found.value == pytest.approx(4 * 0.0254)
    assert any("block was at 30.0 °C by the log, but its material is not known" in w for w in found.warnings)


def test_the_shops_air_goes_along_into_an_engine_that_is_read(shop, warm):
    shop.append(SHOP, bodies.TemperatureNoted(where="shop air", text="77"))  # °F: the shop speaks inches
    read(shop, warm, "cyl.1", "bore", "4.0000", "gauge thrust", "gauge", setting="4.0000")
    read(shop, warm, "cyl.2", "bore", "4.0000", "gauge thrust", "gauge", setting="4.0000")
    (found,) = shop.build(warm).temperatures
    assert (found.body.where, found.kelvin) == ("shop air", pytest.approx(298.15))  # 77 °F is 25 °C


@pytest.mark.parametrize(("rules", "says"), [
    ('[temperature]\nwarmth = "1 K"\n', "temperature: 'warmth' is not known"),
    ("[temperature]\nreach = 12\n", "give it as text with its unit"),
    ('[temperature]\nthermometer = "1 mm"\n', "temperature: thermometer"),
    ('[instruments]\nset-within = "-1 h"\n', "0 or more"),
    ("instruments = 3\n", "wrong form"),
])
def test_a_house_rule_that_cannot_be_is_refused_by_name(shop, rules, says):
    from tenths.errors import BadInput

    with pytest.raises(BadInput, match=says):
        commands.adopt_house_rules(shop, rules)
