"""The lift that the pull takes: from readings of a lobe, from the maker's card, from sizes, and what is tried."""

import math

import numpy as np
import pytest

from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.pull_sizes import engine_of, sizes_of
from tenths.services.pull_valves import lobe_known, said
from tenths.services.running_model import running_model

PEAK, HALF, CENTRE = 6.0, 120.0, 106.0  # mm at the follower, degrees of the crank, after top dead centre


def follower(angle):
    """A raised cosine, whose flanks are exactly alike."""
    away = np.abs(angle - CENTRE)
    return np.where(away < HALF, PEAK / 2 * (1 + np.cos(np.pi * away / HALF)), 0.0)


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Plover", layout="inline-4", units="metric")
    for station, feature, text in (
            ("cyl.*", "bore", "86 mm"), ("pin.*", "stroke", "86 mm"), ("rod.*", "rod-length", "143.5 mm"),
            ("engine", "redline", "7000 rpm"), ("valve.*.in", "rocker-ratio", "1.5"), ("valve.*.in", "lash", "0.30 mm")):
        commands.state(shop, name, bodies.SizeStated(station=station, feature=feature, text=text))
    return name


def read(shop, engine, **more):
    """The intake lobe of cylinder 1 over the whole of it, by the dial of the shop."""
    shop.append(engine, bodies.WheelZeroed(cylinder="1", before=("-30",), after=("30",)))
    angles = np.arange(-20.0, 232.0, 4.0)
    factor = float(more.get("ratio", 1.0))
    points = tuple(bodies.LobePoint(angle=f"{a:g}", lift=f"{factor * h:.4f}") for a, h in zip(angles, follower(angles), strict=True))
    shop.append(engine, bodies.LobeRead(station="lobe.1.in", points=points, **more))


def pulled(shop, engine, **given):
    model = running_model(shop, engine).needed()
    sizes = sizes_of(model, {name.replace("_", "-"): text for name, text in given.items()})
    return model, sizes, engine_of(model, sizes)


def lift_at(valves, degrees):
    """Lift of the valve so many degrees after the overlap's top dead centre [mm]."""
    away = (math.radians(degrees) - math.tau - valves.centre + math.tau) % (2 * math.tau) - math.tau
    return 1e3 * float(np.interp(away, valves.angles, valves.lifts, left=0.0, right=0.0))


def test_a_lobe_that_was_read_is_what_the_valve_does(shop, engine):
    read(shop, engine)
    _, sizes, of = pulled(shop, engine)
    for degrees in (40.0, 80.0, CENTRE, 150.0, 190.0):
        assert lift_at(of.intake, degrees) == pytest.approx(1.5 * float(follower(degrees)) - 0.30, abs=0.03)
    assert max(of.intake.lifts) == pytest.approx(1.5 * 6e-3 - 0.3e-3, abs=0.02e-3)
    assert sizes["intake-centre"].origin == "read"
    assert math.degrees(sizes["intake-centre"].value) == pytest.approx(CENTRE, abs=0.3)
    assert sizes["exhaust-centre"].origin == "taken"


def test_readings_at_the_valve_are_past_the_lash(shop, engine):
    read(shop, engine, at="valve", ratio="1.6")
    _, _, of = pulled(shop, engine)
    assert max(of.intake.lifts) == pytest.approx(1.6 * 6e-3, abs=0.02e-3)


def test_what_is_tried_goes_before_what_was_read(shop, engine):
    read(shop, engine)
    model, sizes, of = pulled(shop, engine, intake_duration="300 deg", intake_valve_lift="12 mm")
    assert max(of.intake.lifts) == pytest.approx(12e-3)
    assert of.intake.angles[-1] - of.intake.angles[0] == pytest.approx(math.radians(300))
    assert "alike" in said(model, {n: one.value for n, one in sizes.items()}, {"intake-duration"})[0]
    model, sizes, later = pulled(shop, engine, cam_advance="4 deg", lift_share="1.1")
    assert max(later.intake.lifts) == pytest.approx(1.1 * (1.5 * 6e-3 - 0.3e-3), abs=0.03e-3)
    assert lift_at(later.intake, CENTRE - 4) == pytest.approx(1e3 * max(later.intake.lifts), abs=0.02)
    assert "as read (lobe 1 in)" in said(model, {n: one.value for n, one in sizes.items()})[0]


def test_a_makers_card_is_drawn_where_nothing_was_read(shop, engine):
    shop.append(engine, bodies.CamCarded(intake_lift="6.0 mm", intake_durations=("230 @ 1.0 mm", "270 @ 0.15 mm"), intake_centre="108"))
    _, sizes, of = pulled(shop, engine)
    assert max(of.intake.lifts) == pytest.approx(1.5 * 6e-3 - 0.3e-3, abs=0.02e-3)
    assert math.degrees(sizes["intake-centre"].value) == pytest.approx(108, abs=1e-6)
    for degrees in (108 - 115, 108 + 115):  # the card's own duration at 1.0 mm of the follower
        assert lift_at(of.intake, degrees) == pytest.approx(1.5 * 1.0 - 0.3, abs=0.05)
    read(shop, engine)
    _, sizes, _ = pulled(shop, engine)
    assert math.degrees(sizes["intake-centre"].value) == pytest.approx(CENTRE, abs=0.3)


def test_readings_that_stop_above_the_base_circle_are_led_down_to_it(shop, engine):
    shop.append(engine, bodies.WheelZeroed(cylinder="1", before=("-30",), after=("30",)))
    angles = np.arange(26.0, 187.0, 4.0)  # 1.5 mm and more
    points = tuple(bodies.LobePoint(angle=f"{a:g}", lift=f"{h:.4f}") for a, h in zip(angles, follower(angles), strict=True))
    shop.append(engine, bodies.LobeRead(station="lobe.1.in", points=points))
    _, _, of = pulled(shop, engine)
    lifts = np.array(of.intake.lifts)
    assert lifts[0] == lifts[-1] == 0.0
    assert np.max(np.abs(np.diff(lifts))) < 0.12e-3  # the steepest flank of this lobe at the valve, over one step of the table


def test_an_engine_breathes_once_its_lobes_are_carded_and_its_heads_read(shop, engine):
    assert not running_model(shop, engine).breathes
    shop.append(engine, bodies.CamCarded(
        intake_lift="6 mm", exhaust_lift="6 mm", intake_durations=("230 @ 1 mm",), exhaust_durations=("234 @ 1 mm",), separation="110"))
    assert not running_model(shop, engine).breathes
    for valve, size in (("in", "40 mm"), ("ex", "34 mm")):
        commands.take_reading(shop, engine, bodies.ReadingTaken(station=f"valve.2.{valve}", feature="head-diameter", text=size))
    assert running_model(shop, engine).breathes


def test_a_lobe_that_bears_on_the_valve_needs_no_ratio(shop):
    name = commands.open_engine(shop, name="Dunlin", layout="inline-4, cams two per bank 5", units="metric")
    for station, feature, text in (("cyl.*", "bore", "86 mm"), ("pin.*", "stroke", "86 mm"),
                                   ("rod.*", "rod-length", "143.5 mm"), ("engine", "redline", "7000 rpm"),
                                   ("engine", "valve-gear", "direct"), ("valve.*.in", "lash", "0.30 mm")):
        commands.state(shop, name, bodies.SizeStated(station=station, feature=feature, text=text))
    read(shop, name)
    model, _, of = pulled(shop, name)
    assert max(of.intake.lifts) == pytest.approx(6e-3 - 0.3e-3, abs=0.02e-3)
    assert lobe_known(model, "intake").origin == "as read (lobe 1 in)"
