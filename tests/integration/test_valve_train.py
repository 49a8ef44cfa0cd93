"""The valve train of an engine, from what was weighed, stated and read to answer, command line, page and record."""

import json
import math

import numpy as np
import pytest
from click.testing import CliRunner

from shops import shop_in_memory
from tenths.calc.valves import loss
from tenths.calc.valves.lobes import lobe_of
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.record.report_running import running
from tenths.services import commands
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop
from tenths.services.valve_train import valve_train
from tenths.services.valve_train_lobe import rested
from tenths.services.valve_train_parts import gathered, of_engine, train_of

RPM = math.pi / 30
SIZES = (("cyl.*", "bore", "86 mm"), ("pin.*", "stroke", "86 mm"), ("rod.*", "rod-length", "145 mm"), ("engine", "redline", "7000 rpm"))
SPRINGS = (("valve.*.*", "spring-rate", "34 N/mm"), ("valve.*.*", "spring-free-height", "47.5 mm"),
           ("valve.*.*", "installed-height", "40 mm"))  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    found = open_shop(tmp_path_factory.mktemp("train"), person="Ines Vale")
    lay_demo(found)
    yield found
    found.logbook.close()


@pytest.fixture(scope="module")
def answer(shop):
    return valve_train(shop, "kestrel", speeds=5)


def stated(shop, engine, rows):
    for station, feature, text in rows:
        commands.state(shop, engine, bodies.SizeStated(station=station, feature=feature, text=text))


def opened(tmp_path, layout="inline-4", rows=SIZES + SPRINGS):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Plover", layout=layout, units="metric")
    stated(shop, engine, rows)
    return shop, engine


def test_what_moves_at_the_valve_is_what_was_weighed(answer):
    """Follower and half of the push-rod over 1.65 squared, the rocker's 0.42 kg cm2 at 38.6 mm, and so on: by hand from the scale."""
    intake, exhaust = answer["sides"]
    for side, valve in ((intake, 104.0), (exhaust, 88.5)):
        spring, rod, square = 96.0, 54.2, 1.65**2
        by_hand = (108.5 + rod / 2) / square + 0.42e-4 / 0.0386**2 * 1e3 + rod / 2 / square + valve + 23.6 + spring / 3
        assert side["mass"]["value"] == pytest.approx(by_hand, abs=0.4)  # the scale's scatter
    sizes = {row["name"]: row for row in intake["sizes"]}
    assert sizes["spring-load"]["value"] == pytest.approx(86.0 * (57.0 - 47.5), abs=86.0 * 0.2)  # heights were read besides
    assert sizes["bind-room"]["value"] == pytest.approx(47.5 - 31.2, abs=0.2)
    assert [sizes[name]["origin"] for name in ("weight", "spring-rate", "rocker-stiffness")] == ["read", "stated", "taken"]
    assert len(sizes["weight"]["entries"]) == 1


def test_a_true_train_parts_below_a_stiff_one_and_first_parts_before_it_floats(answer):
    assert answer["redline"]["text"] == "7000 rpm"
    for side in answer["sides"]:
        first, floats = side["first"], side["floats"]
        assert 0.5 * side["rigid"]["speed"]["value"] < first["speed"]["value"] < floats["speed"]["value"] < side["rigid"]["speed"]["value"]
        assert floats["speed"]["standard_uncertainty"] > 50.0
        assert sum(row["share"] for row in floats["shares"]) == pytest.approx(1.0, abs=0.01)
        z = (floats["speed"]["value"] - 7000.0) / floats["speed"]["standard_uncertainty"]
        assert floats["probability"] == pytest.approx(0.5 * math.erfc(-z / math.sqrt(2.0)), abs=2e-4)
        states = [row["state"] for row in side["rows"]]
        assert states == sorted(states, key=["holds", "parts", "floats"].index)
        landings = [row["landing"]["value"] for row in side["rows"]]
        assert landings[0] < landings[-1]
        assert side["lobe"]["origin"] == "card"


def test_slow_nose_force_and_stress_are_those_of_the_spring(answer):
    """At a fifth of the speed the nose carries ratio x (load + rate x lift) and little more; Hertz by hand on it."""
    intake = answer["sides"][0]
    nose = 1.65 * (86.0 * (57.0 - 47.5) + 86.0 * 13.6)
    curve = intake["curves"][0]
    middle = float(np.interp(0.0, curve["angle"], curve["force"]))
    assert middle == pytest.approx(nose, rel=0.1)
    row = intake["rows"][0]
    assert row["force"]["value"] == pytest.approx(nose, rel=0.1)
    modulus = 206e9 / 0.91 / 2
    radius = row["force"]["value"] * modulus / (math.pi * 0.0142 * (row["stress"]["value"] * 1e6) ** 2)
    assert 0.003 < radius < 0.0095  # a convex nose under a roller of 9.5 mm is below that


def test_one_valve_alone_and_inch(shop):
    found = valve_train(shop, "kestrel", "inch", speeds=2, valve="valve.1.ex", sure=False)
    assert [side["side"] for side in found["sides"]] == ["exhaust"]
    assert found["sides"][0]["rows"][0]["force"]["unit"] == "lbf"
    assert found["sides"][0]["limit"]["unit"] == "ksi"
    with pytest.raises(BadInput, match=r"valve: 'valve\.99\.ex' is none of this engine's"):
        valve_train(shop, "kestrel", valve="valve.99.ex")
    with pytest.raises(BadInput, match="speeds: 1 is not from 2 to 60"):
        valve_train(shop, "kestrel", speeds=1)


def test_without_a_spring_it_says_what_is_missing(tmp_path):
    shop, engine = opened(tmp_path, rows=SIZES)
    with pytest.raises(BadInput, match=r"the valve train, intake: load of the spring, valve closed and rate of the spring must be known"):
        valve_train(shop, engine)


@pytest.mark.parametrize(("layout", "gear", "sides"), [
    ("inline-4, cams two per bank", "direct", 2), ("single, cams per bank", "rocker", 2), ("v6-60, cams block", "push-rod", 2),
    ("flat-6, cams two per bank, valves in in2 ex ex2", "direct", 2),
])  # fmt: skip
def test_every_gear_runs(tmp_path, layout, gear, sides):
    shop, engine = opened(tmp_path, layout)
    found = valve_train(shop, engine, speeds=2, sure=False)
    assert [side["gear"] for side in found["sides"]] == [gear] * sides
    assert all(math.isfinite(row["landing"]["value"]) for side in found["sides"] for row in side["rows"])
    stated(shop, engine, [("engine", "valve-gear", "finger")])
    assert gathered(shop, of_engine(shop, engine), "intake").gear == "finger"


def test_a_lobe_that_was_read_goes_before_the_card(tmp_path):
    """Readings of a known lobe, to a thousandth of a millimetre: the train on them floats where it does on the lobe itself."""
    shop, engine = opened(tmp_path, "inline-4, cams two per bank")
    stated(shop, engine, [("engine", "intake-valve-lift", "9.5 mm"), ("engine", "intake-duration", "250 deg")])
    crank = np.radians(np.linspace(-140.0, 140.0, 561))
    half = math.radians(140.0)
    x = 1.0 - np.abs(crank) / half
    lift = 9.5e-3 * (35 * x**4 - 84 * x**5 + 70 * x**6 - 20 * x**7)
    slope = -9.5e-3 * np.sign(crank) / half * 140 * (x**3 - 3 * x**4 + 3 * x**5 - x**6)
    bend = 9.5e-3 / half**2 * 140 * (3 * x**2 - 12 * x**3 + 15 * x**4 - 6 * x**5)
    true = lobe_of(crank, lift, slope, bend, np.gradient(bend, crank))
    shop.append(engine, bodies.WheelZeroed(cylinder="1", before=("-30",), after=("30",), read_to="0.1 deg"))
    points = tuple(bodies.LobePoint(angle=f"{a:g}", lift=f"{1e3 * float(true.lift(math.radians(a - 108.0))):.3f} mm")
                   for a in np.arange(-30.0, 248.0, 3.0))
    shop.append(engine, bodies.LobeRead(station="lobe.1.in", points=points, lift_good_to="0.002 mm", read_to="0.1 deg"))
    found = valve_train(shop, engine, speeds=2, sure=False)["sides"][0]
    assert found["lobe"]["origin"] == "measured"
    model = of_engine(shop, engine)
    of = train_of(gathered(shop, model, "intake"))
    exact = loss.loss_speed(of, true, lowest=1400 * RPM, highest=11900 * RPM, points=30, gap=1e-4)
    assert found["floats"]["speed"]["value"] == pytest.approx(exact.speed / RPM, rel=0.03)


def test_readings_that_end_above_the_base_circle_are_led_down_smoothly():
    crank = np.radians(np.linspace(-90.0, 90.0, 181))
    own = lobe_of(crank, 4e-3 * (1 + np.cos(crank)), -4e-3 * np.sin(crank), -4e-3 * np.cos(crank), 4e-3 * np.sin(crank))
    led = rested(own)
    assert led.angles[0] < own.angles[0]
    assert led.angles[-1] > own.angles[-1]
    assert np.all(np.diff(led.angles) > 0.0)
    for name in ("lift", "velocity", "acceleration"):
        row = getattr(led.motion, name)
        assert abs(row[0]) < 1e-12
        assert abs(row[-1]) < 1e-12
        for end in (own.angles[0], own.angles[-1]):
            either = [float(getattr(led.at(end + by), name)) for by in (-1e-7, 1e-7)]
            assert either[0] == pytest.approx(either[1], abs=1e-7)  # no step
    assert led.lift(0.3) == pytest.approx(own.lift(0.3))
    middle = led.at((led.angles[-2] + led.angles[-3]) / 2)
    assert abs(float(middle.lift)) < 1e-4


def test_command_and_json_agree(shop):
    runner = CliRunner()
    quick = valve_train(shop, "kestrel", speeds=2, sure=False)
    base = ["--shop", str(shop.folder), "valve-train", "kestrel", "--speeds", "2", "--quick"]
    told = runner.invoke(tenths, base)
    assert told.exit_code == 0, told.output
    assert f"intake, push-rod: floats at {quick['sides'][0]['floats']['speed']['text']}" in told.output
    as_json = json.loads(runner.invoke(tenths, [*base, "--json"]).output)
    assert as_json == json.loads(json.dumps(quick))


def test_the_record_prints_it_only_where_springs_and_weights_are_known(shop):
    told, files = running(shop, "kestrel", "")
    assert told["train"]["sides"][0]["title"].startswith("Intake: floats at ")
    assert "Guessed: stiffness of camshaft and lobe" in told["train"]["sides"][0]["about"]
    assert {plot["file"] for plot in told["train"]["plots"]} <= set(files)
    assert "train" not in running(shop, "marigold", "")[0]
