"""Zeros of the wheel and readings of lobes as entries: what is taken, and what is refused with a sentence."""

from math import radians

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies, cams
from tenths.logbook.vet import vet
from tenths.services import commands


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Plover", layout="inline-4", units="inch")


@pytest.mark.parametrize(("text", "degrees"), [
    ("24", 24), ("-30.5", -30.5), ("30 BTDC", -30), ("30 btdc", -30), ("12.5 ATDC", 12.5), ("70 ABDC", 250),
    ("65 BBDC", 115), ("108°30'", 108.5),
])
def test_a_wheel_is_read_as_the_trade_says_it(text, degrees):
    assert cams.wheel_angle(text, "angle") == pytest.approx(radians(degrees))


def test_what_is_no_angle_is_refused():
    with pytest.raises(BadInput, match=r"angle: .soon. has"):
        cams.wheel_angle("soon", "angle")
    with pytest.raises(BadInput, match="out of range"):
        cams.wheel_angle("7200", "angle")


def test_readings_wait_for_a_zero_and_for_a_new_one_when_the_wheel_was_moved(shop, engine):
    read = bodies.LobeRead(station="lobe.1.in", points=(bodies.LobePoint(angle="50", lift="0.1"),))
    with pytest.raises(BadInput, match="wheel: it is not zeroed yet"):
        vet(shop.build(engine), [read])
    zero = bodies.WheelZeroed(cylinder="1", before=("30 BTDC",), after=("30 ATDC",))
    vet(shop.build(engine), [zero, read])
    with pytest.raises(BadInput, match="it was moved since it was zeroed"):
        vet(shop.build(engine), [zero, bodies.WheelMoved(), read])
    vet(shop.build(engine), [zero, bodies.WheelMoved(), zero, read])


@pytest.mark.parametrize(("body", "words"), [
    (bodies.WheelZeroed(cylinder="12", before=("-30",), after=("30",)), "cylinder: '12' is not in this engine"),
    (bodies.WheelZeroed(cylinder="1", before=("30",), after=("-30",)), "do not lie on either side"),
    (bodies.WheelZeroed(cylinder="1", before=("-30",), after=()), "before has 1 readings, after 0"),
    (bodies.WheelZeroed(cylinder="1", before=("-30",), after=("30",), way="guess"), "way: 'guess' is not taken"),
    (bodies.CamCarded(), "nothing stands on it"),
    (bodies.CamCarded(intake_durations=("226 @ 0.050",)), "needs the greatest lift"),
    (bodies.CamCarded(intake_lift="0.35", intake_durations=("226",)), "names no lift"),
    (bodies.CamCarded(events="22-62-66 @ 0.05"), "are not four"),
    (bodies.CamCarded(separation="110", follower="sliding"), "follower: 'sliding' is not taken"),
    (bodies.TimingMoved(advance="90"), "advance: '90' is out of range"),
    (bodies.TimingMoved(advance="2", shaft="upper"), "shaft: 'upper' is not in this engine"),
])
def test_what_cannot_be_is_refused(shop, engine, body, words):
    with pytest.raises(BadInput, match=words):
        vet(shop.build(engine), [body])


@pytest.mark.parametrize(("changed", "words"), [
    ({"station": "lobe.9.in"}, "is no lobe"), ({"at": "pushrod"}, "at: 'pushrod' is not taken"),
    ({"ratio": "16"}, "ratio: '16' is out of range"),
    ({"points": ()}, "points: 0 given"), ({"points": (bodies.LobePoint(angle="1", lift="3 in"),)}, "lift: '3 in' is out of range"),
])
def test_readings_that_cannot_be_are_refused(shop, engine, changed, words):
    said = {"station": "lobe.1.in", "points": (bodies.LobePoint(angle="50", lift="0.1"),)} | changed
    zero = bodies.WheelZeroed(cylinder="1", before=("30 BTDC",), after=("30 ATDC",))
    with pytest.raises(BadInput, match=words):
        vet(shop.build(engine), [zero, bodies.LobeRead(**said)])


def test_a_card_of_events_is_read_whole():
    card = cams.carded(cams.CamLog(), None, bodies.CamCarded(events="-5-30-33--10 @ 1 mm"), "metric").card
    assert card is not None
    assert card.events == pytest.approx([radians(a) for a in (-5, 30, 33, -10)])
    assert card.events_lift == pytest.approx(0.001)
