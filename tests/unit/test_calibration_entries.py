"""Certificates and the temperature log: what an entry is understood as, and what is refused before it is kept."""

from datetime import date

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.shop import SHOP

INCH = 0.0254
POINT = bodies.CertificatePoint(size="2.5 in", correction="+0.4 tenths", uncertainty="0.6 tenths")


def listed(shop):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="mic", kind="outside-micrometer"))


def certified(**changes):
    said = {"instrument": "mic", "day": "2026-02-03", "points": (POINT,)} | changes
    return bodies.InstrumentCertified(**said)


def test_a_certificate_is_kept_by_its_points_in_si_with_standard_uncertainties(shop):
    listed(shop)
    other = bodies.CertificatePoint(size="50 mm", correction="-1 µm", uncertainty="3 µm")
    shop.append(SHOP, certified(points=(POINT, other), due="2027-02-03", coverage="2"))
    (found,) = shop.build(SHOP).certificates["mic"]
    low, high = found.points  # by size: 50 mm is under 2.5 in
    assert (low.size, low.correction, low.u) == pytest.approx((0.05, -1e-6, 1.5e-6))
    assert (high.size, high.correction, high.u) == pytest.approx((2.5 * INCH, 0.4e-4 * INCH, 0.3e-4 * INCH))
    assert (found.day, found.due) == (date(2026, 2, 3), date(2027, 2, 3))


def test_certificates_stand_by_their_day_and_a_later_entry_of_the_same_day_takes_the_place(shop):
    listed(shop)
    for day, number in (("2026-02-03", "b"), ("2025-02-01", "a"), ("2026-02-03", "c")):
        shop.append(SHOP, certified(day=day, certificate=number))
    assert [c.body.certificate for c in shop.build(SHOP).certificates["mic"]] == ["a", "c"]


@pytest.mark.parametrize(("changes", "says"), [
    ({"points": ()}, "points: 0 are not taken; 1 to 60"),
    ({"points": (POINT, POINT)}, "twice"),
    ({"points": (bodies.CertificatePoint(size="2.5", correction="0 in", uncertainty="0 in"),)}, "size of a point: '2.5' needs its unit"),
    ({"points": (bodies.CertificatePoint(size="2.5 in", correction="x", uncertainty="0 in"),)}, "correction at 2.5 in: “x”"),
    ({"points": (bodies.CertificatePoint(size="2.5 in", correction="0 in", uncertainty="-1 tenths"),)}, "without a sign"),
    ({"coverage": "0.5"}, "coverage factor k: '0.5' is not taken; 1 to 10"),
    ({"day": "03.02.2026"}, "day of the certificate: '03.02.2026' is no date"),
    ({"due": "soon"}, "due: 'soon' is no date"),
    ({"quantity": "warmth"}, "quantity: 'warmth' is not known"),
    ({"instrument": "nobody"}, "'nobody' is not listed"),
])
def test_a_certificate_that_cannot_be_is_refused_by_name(shop, changes, says):
    listed(shop)
    with pytest.raises(BadInput, match=says):
        shop.append(SHOP, certified(**changes))
    assert shop.build(SHOP).certificates == {}


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Warm", layout="inline-3", units="inch")


def test_a_note_without_a_unit_is_in_the_engines_own_and_has_its_own_time_or_that_of_the_entry(shop, engine):
    shop.append(engine, bodies.TemperatureNoted(where="block", text="80", when="2026-03-02T08:15"),
                bodies.TemperatureNoted(where="shop air", text="20 °C"))
    block, air = shop.build(engine).temperatures
    assert block.kelvin == pytest.approx(299.8167, abs=1e-4)  # (80 + 459.67) x 5/9
    assert block.when == 1772439300.0  # 2026-03-02T08:15Z: by the calendar 20514 days and 29700 s after 1970
    assert air.kelvin == pytest.approx(293.15)
    assert air.when == pytest.approx(1777885200, abs=60)  # the test's clock stands at 2026-05-04T09:00Z


@pytest.mark.parametrize(("note", "says"), [
    (bodies.TemperatureNoted(where="block", text="900"), "temperature: '900' is not taken; -50 to 300 °C"),
    (bodies.TemperatureNoted(where="block", text="warm"), "temperature: “warm”"),
    (bodies.TemperatureNoted(where="main.*", text="80"), "one place is meant"),
    (bodies.TemperatureNoted(where="main.9", text="80"), "'main.9' is not on this engine"),
    (bodies.TemperatureNoted(where="block", text="80", when="noon"), "when: 'noon' is no time"),
])
def test_a_note_that_cannot_be_is_refused_by_name(shop, engine, note, says):
    with pytest.raises(BadInput, match=says):
        shop.append(engine, note)
    assert shop.build(engine).temperatures == []


def test_the_whole_shop_has_only_its_air(shop):
    shop.append(SHOP, bodies.TemperatureNoted(where="shop air", text="68 °F"))
    with pytest.raises(BadInput, match="'block' is not taken for the whole shop"):
        shop.append(SHOP, bodies.TemperatureNoted(where="block", text="68 °F"))
    assert len(shop.build(SHOP).temperatures) == 1
