"""The running engine as the services answer it, against conservation laws and formulations that share no code with them."""

import math

import numpy as np
import pytest
from scipy.linalg import eigh

from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.running_balance import forces, weighing_sheet
from tenths.services.running_loads import curves, cycle_of, running_loads, spare_inertia
from tenths.services.running_model import running_model
from tenths.services.running_torsion import Spring, disc_names, torsion_answer

ENGINES = ("kestrel", "marigold")
# The demo's V8, written out by hand: bank and throw of each label from the front [deg], firing 1-8-4-3-6-5-7-2.
BANK = {label: 45.0 if int(label) % 2 else -45.0 for label in "12345678"}
THROW = dict(zip("12345678", (0, 0, 90, 90, 270, 270, 180, 180), strict=True))
FIRE = {label: 45.0 + 90.0 * k for k, label in enumerate("18436572")}


def position(angle, stroke, rod, offset):
    """Height of the piston pin over the crank centre, Pythagoras."""
    return stroke / 2 * np.cos(angle) + np.sqrt(rod**2 - (stroke / 2 * np.sin(angle) + offset) ** 2)


def leaning(angle, stroke, rod, offset):
    """Lean of the rod, its big end away from the thrust side."""
    return np.arcsin((stroke / 2 * np.sin(angle) + offset) / rod)


@pytest.fixture(scope="module", params=ENGINES)
def cycle(request, demo_shop):
    model = running_model(demo_shop, request.param)
    return model, cycle_of(model, (0.6 * model.value("redline"), model.value("redline")))


def test_crank_work_is_the_work_of_the_gas(cycle):
    """First law: over a whole cycle the masses give back what they took."""
    model, found = cycle
    bore, stroke, rod, offset = (model.value(n) for n in ("bore", "stroke", "rod_length", "pin_offset"))
    steps = np.linspace(0, 4 * math.pi, 720, endpoint=False)
    volume = -math.pi / 4 * bore**2 * position(steps, stroke, rod, offset)
    for pressure, torque in zip(found.pressure, found.rods.torque, strict=True):
        gas = pressure - 101325.0
        work = float(np.sum((gas + np.roll(gas, -1)) / 2 * (np.roll(volume, -1) - volume)))
        assert torque.mean() * 4 * math.pi == pytest.approx(len(model.layout.labels) * work, rel=2e-4)


def test_mains_hold_rods_and_counterweights_whichever_way_the_load_is_shared(cycle):
    _, found = cycle
    counter = found.hinged.sum(axis=1) - found.rods.rods.sum(axis=1)
    assert found.beam.sum(axis=1) == pytest.approx(found.rods.rods.sum(axis=1) + counter, abs=1e-6 * np.abs(found.beam).max())
    turned = counter * np.exp(-1j * found.rods.angles)  # what is left turns with the crank and does not change
    assert np.abs(turned - turned[:, :1]).max() < 1e-9 * np.abs(found.beam).max() + 1e-6


def test_loads_of_the_v8_agree_with_a_plain_formulation(demo_shop):
    """Newton for piston, big end and the rest of the rod by differences in time; every crankpin."""
    model = running_model(demo_shop, "kestrel")
    drawn = curves(demo_shop, "kestrel")
    bore, stroke, rod, offset = (model.value(n) for n in ("bore", "stroke", "rod_length", "pin_offset"))
    speed, step = model.value("redline"), 1e-4
    spare = 29e-4 - 0.4521 * 0.1762 / (0.4521 + 0.1762) * 0.155**2  # stated inertia less that of the two weighed ends
    angles, gas = np.radians(drawn["angle"]), np.asarray(drawn["pressure"]) * 1e5 - 101325.0
    pins = {label: (int(label) + 1) // 2 for label in "12345678"}
    load = {n: np.zeros(720, dtype=complex) for n in (1, 2, 3, 4)}
    for label in "12345678":
        own = angles - math.radians(FIRE[label] % 720)
        acceleration = (position(own + step, stroke, rod, offset) - 2 * position(own, stroke, rod, offset)
                        + position(own - step, stroke, rod, offset)) / step**2 * speed**2
        mass = model.reciprocating[label].estimate.value
        along = -np.roll(gas, round(FIRE[label])) * math.pi / 4 * bore**2 - mass * acceleration
        lean = leaning(own, stroke, rod, offset)
        pull = along - 1j * along * np.tan(lean)  # the rod pulls along itself
        swing = (leaning(own + step, stroke, rod, offset) - 2 * lean + leaning(own - step, stroke, rod, offset)) / step**2
        pull -= 1j * spare * swing * speed**2 / (rod * np.cos(lean))  # the pin swings the rest of the rod about the piston pin
        load[pins[label]] += pull * np.exp(1j * math.radians(BANK[label]))
        big = model.rotating[label].estimate.value * stroke / 2 * speed**2
        load[pins[label]] += big * np.exp(1j * (angles + math.radians(THROW[label])))
    for n, wanted in load.items():
        seen = drawn["pins"][f"pin.{n}"]
        assert np.hypot(seen["up"], seen["across"]) * 1e3 == pytest.approx(np.abs(wanted), abs=0.001 * np.abs(wanted).max())


def test_largest_loads_are_those_of_the_curves_and_have_a_doubt(demo_shop):
    answer, drawn = running_loads(demo_shop, "kestrel"), curves(demo_shop, "kestrel")
    top = answer["open"][-1]
    for row in top["pins"]:
        seen = drawn["pins"][row["station"]]
        assert row["largest"]["value"] == pytest.approx(np.hypot(seen["up"], seen["across"]).max(), rel=1e-4)
    for row in top["mains"]:
        assert row["lower"]["value"] <= row["upper"]["value"]
        assert row["upper"]["standard_uncertainty"] > 0.02 * row["upper"]["value"]  # gas pressure is a model's
    closed = answer["closed"][-1]["rods"][0]["pull"]
    assert closed["standard_uncertainty"] < 0.02 * closed["value"]  # inertia is that of weighed parts


def test_forces_by_order_are_the_spectrum_of_the_forces_in_time(demo_shop):
    model, answer = running_model(demo_shop, "kestrel"), forces(demo_shop, "kestrel")
    stroke, rod, offset = (model.value(n) for n in ("stroke", "rod_length", "pin_offset"))
    angles = np.linspace(0, math.tau, 256, endpoint=False)
    total, step = np.zeros(256, dtype=complex), 1e-4
    for label in "12345678":
        mass = model.reciprocating[label].estimate.value
        own = angles + math.radians(THROW[label] - BANK[label])
        pull = -mass * (position(own + step, stroke, rod, offset) - 2 * position(own, stroke, rod, offset)
                        + position(own - step, stroke, rod, offset)) / step**2
        total += pull * np.exp(1j * math.radians(BANK[label]))
        total -= 0.5 * mass * stroke / 2 * np.exp(1j * (angles + math.radians(THROW[label])))  # the bobweight's half
    spectrum = np.fft.fft(total * model.value("redline") ** 2) / 256
    for row in answer["orders"][:3]:
        wanted = abs(spectrum[row["order"]]) + abs(spectrum[-row["order"]])
        assert row["force"]["largest"]["value"] == pytest.approx(wanted, rel=1e-3, abs=0.05)
    assert answer["firing_intervals"] == [90.0] * 8


def test_modes_are_those_of_a_general_eigen_solver(demo_shop):
    """[Thomson]: K x = w^2 J x, solved by LAPACK's generalised symmetric solver."""
    spring = Spring(running_model(demo_shop, "marigold"))
    k, j = np.asarray(spring.chain.stiffnesses), np.asarray(spring.chain.inertias)
    matrix = np.zeros((len(j), len(j)))
    for n, stiff in enumerate(k):
        matrix[n : n + 2, n : n + 2] += stiff * np.array([[1, -1], [-1, 1]])
    wanted = np.sqrt(np.abs(eigh(matrix, np.diag(j), eigvals_only=True))) / math.tau
    answer = torsion_answer(demo_shop, "marigold")
    assert [m["frequency"]["value"] for m in answer["modes"]] == pytest.approx(wanted[1:4], rel=1e-6)
    assert disc_names(spring)[0] == "hub"
    for row in answer["criticals"]:
        assert row["speed"]["value"] == pytest.approx(60 * wanted[row["mode"]] / row["order"], rel=1e-6)
    assert answer["criticals"][0]["order"] == 6.0  # the major order of a six is that of three firings a turn, and its double


def test_typed_inertias_and_stiffnesses_go_before_rules(tmp_path):
    """Two equal discs of 0.02 kg m2 between stiff ends: closed form of a chain of discs."""
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline 2, throws 0 180, firing 1-2", units="metric")
    rows = [("cyl.*", "bore", "80 mm"), ("pin.*", "stroke", "80 mm"), ("rod.*", "rod-length", "140 mm"),
            ("engine", "front-inertia", "1 kg cm2"), ("engine", "flywheel-inertia", "1 kg cm2"),
            ("engine", "front-stiffness", "1000000 N m/rad"), ("engine", "flywheel-stiffness", "1000000 N m/rad"),
            ("pin.*", "throw-stiffness", "200000 N m/rad"), ("pin.*", "throw-inertia", "200 kg cm2"),
            ("cyl.*.piston", "weight", "0.1 g"), ("cyl.*.pin", "weight", "0.1 g"), ("cyl.*.piston", "ring-set-weight", "0.1 g"),
            ("cyl.*.pin", "locks-weight", "0.1 g"), ("rod.*", "rod-small-end-weight", "0.1 g"),
            ("rod.*", "rod-big-end-weight", "0.1 g"), ("rod.*", "shell-pair-weight", "0.1 g")]
    commands.state(shop, engine, *(bodies.SizeStated(station=s, feature=f, text=t) for s, f, t in rows))
    first = torsion_answer(shop, engine)["modes"][0]["frequency"]["value"]
    assert first == pytest.approx(math.sqrt(2 * 200000 / 0.02) / math.tau, rel=0.01)


def test_what_to_take_off_leaves_every_part_as_light_as_the_lightest(demo_shop):
    sheet = weighing_sheet(demo_shop, "kestrel")
    read = {r["cylinder"]: r["piston"]["value"] for r in sheet["parts"]}
    off = next(t for t in sheet["take_off"] if t["part"] == "piston")
    assert {r["cylinder"]: r["take"]["value"] for r in off["rows"]} == pytest.approx(
        {label: value - min(read.values()) for label, value in read.items()})
    pairs = sheet["match"]["pairs"]
    assert sorted(p["pin"] for p in pairs) == sorted(p["piston"] for p in pairs) == list("12345678")
    assert sheet["match"]["spread_then"]["value"] <= sheet["match"]["spread_now"]["value"]
    rear = sheet["planes"][1]
    assert (rear["heavy_at"], rear["add_at"], rear["verdict"]) == (217.0, 37.0, "out")
    hole = rear["corrections"][0]  # 388 g mm at 70 mm is 5.543 g of steel, 7.85 g/cm3, out of a hole of 10 mm
    assert hole["hole"]["value"] == pytest.approx(388 / 70 / 7.85e-3 / (math.pi / 4 * 100), rel=1e-6)


@pytest.mark.parametrize("answer", [forces, running_loads, torsion_answer, curves])
def test_an_engine_without_sizes_says_what_it_needs(tmp_path, answer):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4")
    with pytest.raises(BadInput, match="bore, stroke, rod length must be read or stated first"):
        answer(shop, engine)


@pytest.mark.parametrize("units", ["inch", "metric"])
def test_both_systems_say_the_same(demo_shop, units):
    other = {"inch": ("lbf", 4.4482216152605), "metric": ("kN", 1e3)}[units]
    row = running_loads(demo_shop, "marigold", units)["open"][-1]["pins"][0]["largest"]
    metric = running_loads(demo_shop, "marigold", "metric")["open"][-1]["pins"][0]["largest"]["value"]
    assert row["unit"] == other[0]
    assert row["value"] * other[1] == pytest.approx(metric * 1e3)


def test_counterweights_of_the_v8_hold_both_bobweights_apart(demo_shop):
    """Common knowledge of the cross-plane crank: its ends lean from their throws by the lever of the inner ones, a third each.

    Throws at 0, 90, 270, 180 in planes 0, 1, 2, 3: the front plane carries -(3 + 2i - i)/3 of a bobweight, that is sqrt(10)/3.
    """
    sheet = weighing_sheet(demo_shop, "kestrel")
    front, rear = sheet["ends"]
    mean = sum(b["value"] for b in sheet["bobweights"]) / 4
    assert front["add"]["value"] == pytest.approx(mean * 44 * math.sqrt(10) / 3, rel=2e-3)
    assert front["angle"] == pytest.approx(180 + math.degrees(math.atan(1 / 3)), abs=0.2)
    assert rear["angle"] == pytest.approx(math.degrees(math.atan(1 / 3)), abs=0.2)


def test_piston_pin_bends_as_a_beam_under_the_gas(demo_shop):
    """Load by the peak pressure on the bore; bending by the moment of even loads, worked out here in mm and N."""
    answer = running_loads(demo_shop, "kestrel")
    rows = {r["name"]: r for r in answer["parts"]}
    peak = max(row["peak_pressure"]["value"] for row in answer["open"]) * 0.1 - 0.101325  # MPa over the crankcase
    load = peak * math.pi / 4 * 99.0064**2
    assert rows["pin-load"]["value"] * 1e3 == pytest.approx(load, rel=1e-3)
    assert rows["rod-pressure"]["value"] == pytest.approx(load / (22 * 24.6), rel=1e-3)
    moment = load / 2 * ((27 + 17) / 2 - 24.6 / 4)
    assert rows["bending"]["value"] == pytest.approx(moment * 32 * 22 / (math.pi * (22**4 - 13**4)), rel=1e-3)


def test_a_rods_own_inertia_changes_the_torque_but_not_its_mean(demo_shop):
    """Two masses overstate a rod's inertia: what is left over is a couple that swings and gives back what it took."""
    model = running_model(demo_shop, "kestrel")
    big, small, length = 0.4521, 0.1762, 0.155
    assert spare_inertia(model) == pytest.approx(29e-4 - big * small / (big + small) * length**2, rel=0.05)


@pytest.mark.parametrize("engine", ENGINES)
def test_limits_tell_the_speed_at_which_each_kind_of_piston_is_at_its_end(demo_shop, engine):
    """Mean speed grows with the crank's, acceleration with its square."""
    for row in running_loads(demo_shop, engine)["limits"]:
        by_speed = row["mean_speed_to"]["value"] / row["mean_speed"]["value"]
        by_pull = math.sqrt(row["acceleration_to"]["value"] / row["acceleration"]["value"])
        top = running_loads(demo_shop, engine)["speeds"][-1]["value"]
        assert row["speed_to"]["value"] == pytest.approx(top * min(by_speed, by_pull))


def test_motion_is_that_of_the_slider_crank_with_its_offset_pin(demo_shop):
    """Kestrel: pin 0.5 mm towards the thrust side; a fine sweep, worked out here in mm."""
    model = running_model(demo_shop, "kestrel")
    stroke, rod, offset = (1e3 * model.value(n) for n in ("stroke", "rod_length", "pin_offset"))
    rows = {r["words"]: r["value"] for r in forces(demo_shop, "kestrel")["motion"]}
    t = np.linspace(-math.pi / 2, 3 * math.pi / 2, 400001)
    height = position(t, stroke, rod, offset)
    assert rows["stroke from dead centre to dead centre"] == pytest.approx(np.ptp(height), rel=1e-8)
    assert rows["top dead centre after the crankpin stands in line"] == pytest.approx(math.degrees(t[height.argmax()]), abs=1e-3)
    near = t[height > height.max() - stroke / 100]
    assert rows["dwell within a hundredth of the stroke of the top"] == pytest.approx(math.degrees(np.ptp(near)), abs=2e-3)
    speed = np.abs(np.gradient(height, t)).max() * 7000 * math.pi / 30 / 1e3
    assert rows["fastest piston"] == pytest.approx(speed, rel=1e-6)


def test_side_force_is_the_resultant_of_gas_and_mass_over_the_lean(demo_shop):
    model, drawn = running_model(demo_shop, "kestrel"), curves(demo_shop, "kestrel")
    bore, stroke, rod, offset = (model.value(n) for n in ("bore", "stroke", "rod_length", "pin_offset"))
    angles, step, speed = np.radians(drawn["angle"]), 1e-4, model.value("redline")
    acceleration = (position(angles + step, stroke, rod, offset) - 2 * position(angles, stroke, rod, offset)
                    + position(angles - step, stroke, rod, offset)) / step**2 * speed**2
    along = (np.asarray(drawn["pressure"]) * 1e5 - 101325.0) * math.pi / 4 * bore**2 + model.value("reciprocating") * acceleration
    lean = leaning(angles, stroke, rod, offset)
    swing = (leaning(angles + step, stroke, rod, offset) - 2 * lean + leaning(angles - step, stroke, rod, offset)) / step**2
    spare = 29e-4 - 0.4521 * 0.1762 / (0.4521 + 0.1762) * 0.155**2
    plain = np.abs(along * np.tan(lean) - spare * swing * speed**2 / (rod * np.cos(lean))).max()
    assert running_loads(demo_shop, "kestrel")["open"][-1]["side"]["value"] * 1e3 == pytest.approx(plain, rel=1e-3)


def test_holes_in_a_crank_of_iron_are_deeper(tmp_path):
    """Cast iron 7.2, steel 7.85 g/cm3, handbook values: 100 g mm at 60 mm out of a hole of 12 mm."""
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4", units="metric")
    commands.part(shop, engine, bodies.PartListed(part="c", kind="crank", material="nodular iron"))
    commands.state(shop, engine, bodies.SizeStated(station="crank", feature="correction-radius", text="60 mm"))
    shop.append(engine, bodies.ReadingTaken(station="crank", feature="unbalance-front", text="100 g mm"))
    depth = {}
    for fitted in ("steel", "iron"):
        if fitted == "iron":
            shop.append(engine, bodies.PartFitted(slot="crank", part="c", all_along=True))
        rows = weighing_sheet(shop, engine)["planes"][0]["corrections"]
        depth[fitted] = next(r["hole"]["value"] for r in rows if r["diameter"]["value"] == pytest.approx(12.0))
    assert depth["steel"] == pytest.approx(100 / 60 / 7.85e-3 / (math.pi / 4 * 144), rel=1e-6)
    assert depth["iron"] == pytest.approx(100 / 60 / 7.20e-3 / (math.pi / 4 * 144), rel=1e-6)


STATED_LOBES = (("intake-duration", "268 deg"), ("exhaust-duration", "272 deg"), ("intake-valve-lift", "12 mm"),
                ("exhaust-valve-lift", "11.5 mm"), ("intake-valve-head", "50 mm"), ("exhaust-valve-head", "40 mm"))


def test_the_pulls_own_pressure_loads_the_crank_once_valves_and_lobes_are_stated(tmp_path):
    """First law again: the crank's mean torque is the pull's indicated work over four pi, each from its own formulation."""
    from tenths.services.demo import lay_demo
    from tenths.services.running_pull import pulled

    shop = shop_in_memory(tmp_path)
    lay_demo(shop)
    before = cycle_of(model := running_model(shop, "marigold"), (model.value("redline"),))
    assert not model.breathes
    shop.append("marigold", *(bodies.SizeStated(station="engine", feature=f, text=text) for f, text in STATED_LOBES))
    model = running_model(shop, "marigold")
    assert model.breathes
    after = cycle_of(model, (0.5 * model.value("redline"), model.value("redline")))
    assert abs(after.pressure[1] - before.pressure[0]).max() > 1e5
    point = pulled(shop, "marigold", "metric", speeds=2)["points"][-1]
    swept = len(model.layout.labels) * math.pi / 4 * model.value("bore") ** 2 * model.value("stroke")
    net = point["mean_pressure"]["value"] * 1e3 + point["friction"]["value"] * 1e3
    assert point["mean_pressure"]["unit"] == point["friction"]["unit"] == "kPa"
    assert after.rods.torque[1].mean() == pytest.approx(net * swept / (4 * math.pi), rel=0.02)
    told = running_loads(shop, "marigold", "metric")
    assert told["notes"][0].startswith("Gas pressure: that of the pull")
