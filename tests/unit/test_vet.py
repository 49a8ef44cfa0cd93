"""What cannot be understood, or names what is not on the engine, never gets into the log."""

import pytest

from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands, questions
from tenths.services.shop import SHOP


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Trial", layout="inline-4", units="inch")


@pytest.mark.parametrize(("body", "says"), [
    (bodies.LimitStated(station="man.*", characteristic="main-oil-clearance", lower="0.001"), r"'man\.\*' is not on"),
    (bodies.PartRemoved(slot="main.9.shell.upper"), r"slot: 'main\.9\.shell\.upper'"),
    (bodies.PartMachined(slot="blok", operation="honed"), "near: block"),
    (bodies.PartMachined(slot="block", operation="honed", stations=("cyl.33",)), r"'cyl\.33' is not on"),
    (bodies.NoteWritten(station="cyl.33", text="dry"), r"'cyl\.33' is not on"),
    (bodies.NoteWritten(station="cyl.*", text="dry"), "one station is meant"),
    (bodies.StockCounted(kind="main-shell", size="x", change="foo", sets=1), "change of clearance: “foo”"),
    (bodies.StockCounted(kind="main-shell", size="x", change="1 g", sets=1), "change of clearance"),
    (bodies.ReadingTaken(station="part.nothing", feature="weight", text="1 g"), "no part 'nothing' is listed"),
    (bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", limit_of_error="foo"), "limit of error of mic: “foo”"),
    (bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", limit_of_error="0.0001"), "needs its unit"),
    (bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", resolution="-1 µm"), "without a sign"),
    (bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", due="soon"), "'soon' is no date"),
    (bodies.InstrumentListed(instrument="mic", kind="mike"), "'mike' is not known"),
    (bodies.SizeStated(station="cyl.*", feature="bore", text="-4"), r"bore at cyl\.\*: '-4' is below 0; 0 or more"),
    (bodies.SizeStated(station="cyl.*", feature="bore", text="89000 mm"), "at most 10 m is accepted"),
    (bodies.SizeStated(station="cyl.*", feature="bore", text="1000000"), "a number without a unit is taken in the engine's own"),
    (bodies.SizeStated(station="engine", feature="redline", text="0 rpm"), "'0 rpm' is out of range; 100 to 30,000 rpm"),
    (bodies.SizeStated(station="engine", feature="redline", text="-3"), "100 to 30,000 rpm"),
    (bodies.SizeStated(station="crank", feature="weight", text="-2 kg"), "below 0"),
])
def test_what_cannot_be_understood_is_not_kept(shop, engine, body, says):
    before = shop.logbook.read(engine)
    with pytest.raises(BadInput, match=says):
        shop.append(engine, body)
    assert shop.logbook.read(engine) == before


@pytest.mark.parametrize("body", [
    bodies.LimitStated(station="main.*", characteristic="main-oil-clearance", lower="0.001"),
    bodies.PartMachined(slot="block", operation="honed", stations=("cyl.*",)),
    bodies.NoteWritten(station="main.3.shell.upper", text="a scratch"),
    bodies.StockCounted(kind="main-shell", size="x", change="-0.001", sets=0),
    bodies.SizeStated(station="engine", feature="pin-offset", text="-0.02 in"),
    bodies.SizeStated(station="engine", feature="oil-cold", text="-10 °C"),
    bodies.SizeStated(station="engine", feature="plenum-volume", text="0"),
    bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", limit_of_error="1 tenths", due="2027-01-31")])
def test_what_fits_is_kept(shop, engine, body):
    assert shop.append(engine, body)


def test_an_old_card_that_cannot_be_read_is_warned_of_and_stops_nothing(tmp_path, monkeypatch):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Trial", layout="inline-4", units="inch")
    monkeypatch.setattr("tenths.findings.rules.vet_card", lambda _: None)  # as it was before cards were looked at
    shop.append(SHOP, bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", limit_of_error="foo", due="soon"))
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="main.1", feature="journal", text="2.25", instrument="mic"))
    found = next(f for f in questions.findings(shop, engine) if f["characteristic"] == "main-journal-size" and f["value"])
    assert found["standard_uncertainty"] > 0
    assert any("limit of error of mic" in warning and "taken as typical" in warning for warning in found["warnings"])


def test_a_station_with_several_parts_of_its_name_is_near_once(shop):
    """A valve is a station and a slot: it was named twice."""
    engine = commands.open_engine(shop, name="Four valves", layout="inline-4, cams two per bank 5, valves in1 in2 ex1 ex2", units="metric")
    with pytest.raises(BadInput, match="near: ") as refused:
        shop.append(engine, bodies.NoteWritten(station="valve.1.in", text="a scratch"))
    near = str(refused.value).partition("near: ")[2].split(", ")
    assert len(near) == len(set(near)) == 4
