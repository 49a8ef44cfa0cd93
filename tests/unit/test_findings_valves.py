"""The valve gear as findings, against sums done by hand and a search of our own over the overlap."""

import math

import pytest

from hand import INCH, hand
from tenths.engine.feature_valves import VALVES
from tenths.findings.check import CATALOGUE, check, recheck
from tenths.findings.limits import practice
from tenths.services.tray import tray

LBF, DEG = 4.4482216152605, math.pi / 180


@pytest.fixture
def engine(shop):
    return hand(shop, "inline-4")


def stated(engine, **sizes):
    for name, text in sizes.items():
        feature = name.replace("_", "-")
        at = "engine" if feature.startswith(("intake", "exhaust", "rod-growth", "adjuster")) else "valve.*.*"
        engine.state(at, feature, text, "0.0000001" if " lbf" not in text else "")


def inches(engine, name, station):
    found = engine.find(name, station)
    return None if found.value is None else found.value / INCH


def test_nothing_is_said_or_asked_before_anything_of_it_is_known(engine):
    quiet = {c.name for c in CATALOGUE if c.awake_by}
    assert not quiet & {f.characteristic.name for f in check(engine.shop.build(engine.engine))}
    names = {f.name for f in VALVES}
    assert not names & {row["feature"] for row in tray(engine.shop, engine.engine)}
    engine.read("valve.1.in", "installed-height", "1.900")
    assert {"installed-height", "bind-height", "retainer-gap"} <= {row["feature"] for row in tray(engine.shop, engine.engine)}
    assert "clay-thickness" not in {row["feature"] for row in tray(engine.shop, engine.engine)}


def test_a_reading_that_does_not_wake_it_stays_among_few(engine):
    build = engine.shop.build(engine.engine)
    before = check(build)
    engine.read("cyl.1", "deck-clearance", "0.010", "inboard")
    engine.read("cyl.1", "deck-clearance", "0.010", "outboard")
    after = engine.shop.build(engine.engine)
    assert recheck(after, before, "cyl.1", "deck-clearance") is not None
    engine.read("valve.1.in", "valve-drop", "0.150")
    assert recheck(engine.shop.build(engine.engine), check(after), "valve.1.in", "valve-drop") is None


def test_spring_room_and_loads_by_hand(engine):
    stated(engine, intake_valve_lift="0.500", exhaust_valve_lift="0.480", spring_rate="350 lbf/in", spring_free_height="2.250",
           bind_height="1.150")
    engine.read("valve.2.in", "installed-height", "1.850")
    engine.read("valve.2.in", "retainer-gap", "0.540")
    engine.read("valve.2.ex", "installed-height", "1.900")
    # 1.850 - 0.500 - 1.150; gap 0.540 - 0.500 is less than 0.050; load 350 x 0.4 and x 0.9
    assert inches(engine, "spring-bind-margin", "valve.2.in") == pytest.approx(0.200)
    assert inches(engine, "spring-bind-margin", "valve.2.ex") == pytest.approx(0.270)
    assert inches(engine, "spring-retainer-room", "valve.2.in") == pytest.approx(0.040)
    assert str(engine.find("spring-retainer-room", "valve.2.in").verdict) == "out"
    assert engine.find("spring-seat-load", "valve.2.in").value / LBF == pytest.approx(140)
    assert engine.find("spring-open-load", "valve.2.in").value / LBF == pytest.approx(315)
    assert inches(engine, "spring-height-spread", "engine") == pytest.approx(0.050)
    # closed 140 and 122.5: 17.5 apart
    assert engine.find("spring-seat-load-spread", "engine").value / LBF == pytest.approx(17.5)


def test_the_tester_goes_before_the_sheet_and_a_third_reading_before_a_straight_line(engine):
    stated(engine, intake_valve_lift="0.500", spring_rate="350 lbf/in", spring_free_height="2.250")
    engine.read("valve.1.in", "installed-height", "1.850")
    for name, height, load in (("closed", "1.900", "120 lbf"), ("open", "1.300", "360 lbf")):
        engine.read("valve.1.in", f"tested-height-{name}", height)
        engine.read("valve.1.in", f"tested-load-{name}", load)
    # 240 over 0.6: 400 lbf/in; at 1.850 120 + 20, at 1.350 360 - 20
    assert engine.find("spring-rate", "valve.1.in").value / (LBF / INCH) == pytest.approx(400)
    assert engine.find("spring-seat-load", "valve.1.in").value / LBF == pytest.approx(140)
    assert engine.find("spring-open-load", "valve.1.in").value / LBF == pytest.approx(340)
    engine.read("valve.1.in", "tested-height-middle", "1.600")
    engine.read("valve.1.in", "tested-load-middle", "210 lbf")
    # a rate that grows: 300 above 1.6, 500 below it
    assert engine.find("spring-seat-load", "valve.1.in").value / LBF == pytest.approx(135)
    assert engine.find("spring-open-load", "valve.1.in").value / LBF == pytest.approx(335)


def test_load_from_the_wire_of_two_springs(engine):
    stated(engine, spring_free_height="2.250", spring_wire="0.200", spring_coil="1.250", spring_coils="4.5", inner_spring_wire="0.120",
           inner_spring_coil="0.800", inner_spring_coils="5")
    engine.read("valve.1.ex", "installed-height", "1.850")
    shear = 79.3e9 / (LBF / INCH**2)
    rate = shear * (0.2**4 / (8 * 1.25**3 * 4.5) + 0.12**4 / (8 * 0.8**3 * 5))
    assert engine.find("spring-seat-load", "valve.1.ex").value / LBF == pytest.approx(0.4 * rate, rel=1e-6)


def test_clay_then_dial_then_reckoning_and_limits_of_either_valve(engine):
    for where, text in (("15 before", "0.130"), ("10 before", "0.112"), ("5 before", "0.108"), ("0", "0.121")):
        engine.read("valve.1.ex", "touch-travel", text, where)
    assert inches(engine, "piston-to-valve", "valve.1.ex") == pytest.approx(0.108)
    assert engine.find("piston-to-valve", "valve.1.ex").limits.lower / INCH == pytest.approx(0.100)
    engine.read("valve.1.ex", "clay-thickness", "0.085")
    assert inches(engine, "piston-to-valve", "valve.1.ex") == pytest.approx(0.085)
    assert engine.find("piston-to-valve", "valve.1.ex").standard_uncertainty == pytest.approx(0.1e-3, rel=1e-3)
    assert str(engine.find("piston-to-valve", "valve.1.ex").verdict) == "out"
    engine.read("valve.1.in", "clay-thickness", "0.095")
    assert engine.find("piston-to-valve", "valve.1.in").limits.lower / INCH == pytest.approx(0.080)
    assert str(engine.find("piston-to-valve", "valve.1.in").verdict) == "fits"
    engine.state("engine", "rod-growth", "0.030")
    raised = engine.find("piston-to-valve", "valve.1.in")
    assert raised.limits.lower / INCH == pytest.approx(0.110)
    assert "growth of the rods" in raised.limits.source
    assert str(raised.verdict) == "out"
    engine.limit("valve.*.in", "piston-to-valve", "0.070")
    assert engine.find("piston-to-valve", "valve.1.in").limits.lower / INCH == pytest.approx(0.070)


def reckoned(side, lean):
    """Least room by a search of our own over a fine scan, in inches."""
    lift, half = (0.480, 134 * DEG) if side == "in" else (0.470, 137 * DEG)
    centre = (107 if side == "in" else -113) * DEG
    least = math.inf
    for k in range(-6000, 6001):
        t = k * 0.01 * DEG
        x = 1 - abs(t - centre) / half
        raised = lift * x**3 * (10 - 15 * x + 6 * x * x) if x > 0 else 0.0
        down = 1.75 + 6.0 - 1.75 * math.cos(t) - math.sqrt(36 - (1.75 * math.sin(t)) ** 2)
        apart = 0.140 + 0.040 + 0.012 + 0.100
        least = min(least, apart / math.cos(lean) + down * math.cos(lean) - raised)
    return least


@pytest.mark.parametrize("stacked", [False, True])
@pytest.mark.parametrize("side", ["in", "ex"])
def test_reckoned_room_is_that_of_a_fine_scan(engine, side, stacked):
    stated(engine, intake_duration="268 deg", exhaust_duration="274 deg", intake_centre="107 deg", exhaust_centre="113 deg",
           intake_valve_lift="0.480", exhaust_valve_lift="0.470", valve_lean="12 deg", pocket_depth="0.100")
    engine.state("pin.*", "stroke", "3.500", "0.0000001")
    engine.state("rod.*", "rod-length", "6.000", "0.0000001")
    engine.state("gasket.*", "gasket-thickness", "0.040", "0.0000001")
    if stacked:
        engine.state("deck.*", "deck-height", "9.012", "0.0000001")
        engine.state("cyl.*.piston", "compression-height", "1.250", "0.0000001")
    else:
        engine.read("cyl.3", "deck-clearance", "0.012")
    engine.read(f"valve.3.{side}", "valve-drop", "0.140")
    found = engine.find("piston-to-valve", f"valve.3.{side}")
    assert found.value / INCH == pytest.approx(reckoned(side, 12 * DEG), abs=2e-6)
    assert found.standard_uncertainty == pytest.approx(0.4e-3, rel=0.02)  # the card's curve is all that is in doubt


def test_room_beside_a_valve_in_its_pocket(engine):
    stated(engine, intake_duration="268 deg", intake_centre="100 deg", intake_valve_lift="0.550", valve_lean="0 deg",
           pocket_depth="0.200", head_diameter="1.900")
    engine.state("pin.*", "stroke", "3.500", "0.0000001")
    engine.state("rod.*", "rod-length", "6.000", "0.0000001")
    engine.state("gasket.*", "gasket-thickness", "0.040", "0.0000001")
    engine.read("cyl.1", "deck-clearance", "0.005")
    engine.read("valve.1.in", "valve-drop", "0.010")
    engine.read("valve.1.in", "pocket-diameter", "1.980")
    assert inches(engine, "valve-radial-room", "valve.1.in") == pytest.approx(0.040, abs=1e-5)
    assert str(engine.find("valve-radial-room", "valve.1.in").verdict) == "out"
    engine.read("valve.2.in", "pocket-diameter", "1.980")
    engine.read("valve.2.in", "valve-drop", "0.900")
    engine.read("cyl.2", "deck-clearance", "0.005")
    above = engine.find("valve-radial-room", "valve.2.in")
    assert "the valve stays above its pocket" in above.missing


def test_rocker_and_lifter_by_hand(engine):
    stated(engine, intake_valve_lift="0.500", rocker_arm="1.600", rocker_ratio="1.6", adjuster_pitch="0.050")
    engine.read("valve.1.in", "nose-height", "0.400")
    # from 0.4 above to 0.1 below: farthest out where it is square
    assert inches(engine, "rocker-sweep", "valve.1.in") == pytest.approx(1.6 - math.sqrt(1.6**2 - 0.4**2), abs=1e-7)
    engine.read("valve.1.in", "preload-turns", "0.5")
    assert inches(engine, "lifter-preload", "valve.1.in") == pytest.approx(0.5 * 0.050 * 2.6 / 1.6)



@pytest.mark.parametrize("layout", ["inline-4", "inline-4, valves in1 in2 ex1 ex2, cams two per bank", "v8-90-cross-plane", "flat-4",
                                    "single"])
def test_any_layout_finds_intake_from_exhaust(shop, layout):
    engine = hand(shop, layout)
    build = engine.shop.build(engine.engine)
    assert build.layout is not None
    stated(engine, intake_valve_lift="0.400", exhaust_valve_lift="0.300")
    for valve in build.layout.valves:
        station = f"valve.{build.layout.labels[0]}.{valve}"
        engine.read(station, "installed-height", "1.800")
        wanted = 0.400 if valve.startswith("in") else 0.300
        assert inches(engine, "valve-lift", station) == pytest.approx(wanted)


def test_every_limit_of_the_valve_gear_is_of_something_that_is_worked_out():
    ours = {c.name for c in CATALOGUE if c.awake_by}
    limited = {row.characteristic for row in practice()} & ours
    assert limited == {"piston-to-valve", "valve-radial-room", "spring-bind-margin", "spring-retainer-room", "spring-height-spread",
                       "spring-seat-load-spread", "rocker-sweep", "lifter-preload"}
