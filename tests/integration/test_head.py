"""The head on the bench: from typed readings and runs to coefficients, chambers, and the flow that the pull takes."""

import json
import math

import pytest
from click.testing import CliRunner

from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.record.report_head import head_part
from tenths.services import commands
from tenths.services.flow_import import import_flow
from tenths.services.head_bench import begin_run, head_bench, run_name
from tenths.services.pull_sizes import engine_of, sizes_of
from tenths.services.running_model import running_model
from tenths.services.shop import open_shop

CFM = 0.3048**3 / 60
WATER = 249.08891  # Pa in an inch
LIFTS = ("2 mm", "4 mm", "6 mm", "8 mm", "10 mm")


@pytest.fixture
def engine(shop):
    """An engine in line, with what the pull needs."""
    name = commands.open_engine(shop, name="Plover", layout="inline-4", units="metric")
    for station, feature, text in (
            ("cyl.*", "bore", "86 mm"), ("pin.*", "stroke", "86 mm"), ("rod.*", "rod-length", "143.5 mm"),
            ("engine", "redline", "7000 rpm"), ("valve.*.in", "head-diameter", "40 mm"), ("valve.*.ex", "head-diameter", "34 mm")):
        commands.state(shop, name, bodies.SizeStated(station=station, feature=feature, text=text))
    return name


def flow(shop, engine, station, flows, **more):
    """A run at the lifts above."""
    way = more.get("way", "forward")
    card = bodies.FlowBegun(**{"run": run_name(shop.build(engine), station, way), "station": station, "pressure": "28 inH2O"} | more)
    begin_run(shop, engine, card, zip(LIFTS, flows, strict=False))
    return next(run for run in head_bench(shop, engine)["runs"] if run["run"] == card.run)


def by_mach(pressure, drop, temperature):
    """Mass over area of a nozzle, by its Mach number."""
    mach = math.sqrt(5 * ((pressure / (pressure - drop)) ** (2 / 7) - 1))
    there = temperature / (1 + 0.2 * mach**2)
    return (pressure - drop) / (287.05 * there) * mach * math.sqrt(1.4 * 287.05 * there)


def test_a_coefficient_from_a_true_flow_with_its_leak(shop, engine):
    run = flow(shop, engine, "valve.1.in", ["50 cfm", "100 cfm"], leak="2 cfm", leak_pressure="7 inH2O", temperature="27 °C",
               barometer="980 mbar")
    # by hand: the leak doubles at four times the drop
    point, pressure, kelvin = run["points"][1], 98000.0, 300.15
    mass = (100 - 4) * CFM * pressure / (287.05 * kelvin)
    area = mass / by_mach(pressure, 28 * WATER, kelvin)
    assert point["area"]["value"] == pytest.approx(area * 1e6, rel=1e-9)  # mm2
    assert point["of_head"]["value"] == pytest.approx(area / (math.pi / 4 * 0.04**2), rel=1e-9)
    assert point["of_curtain"]["value"] == pytest.approx(area / (math.pi * 0.04 * 0.004), rel=1e-9)
    assert point["flow"]["value"] == pytest.approx(96 * CFM * 1e3, rel=1e-9)  # L/s at its own pressure
    assert point["over_diameter"] == pytest.approx(0.1, rel=1e-12)
    assert point["shown"] == "100 cfm"
    assert run["guessed"] == ["seat angle", "seat width", "throat", "stem"]


def test_doubt_of_a_coefficient_by_hand(shop, engine):
    run = flow(shop, engine, "valve.1.in", ["50 cfm", "100 cfm", "150 cfm"], temperature="20 °C", barometer="1013 mbar")
    found = run["points"][1]["of_head"]
    bench = 0.01 / math.sqrt(3)  # 1 % of reading, even
    drop = 0.005 / 2 * (1 - 1.5 * 0.0688 / 1.4)  # half of a drop's share, a little less as the air thins on its way
    warmth, air = 0.5 / 293.15 / 2, 100 / 101300 / 2  # mass and nozzle go with the root of density together
    lift = 0.02 / 4  # flow here goes with lift
    head = 2 * 0.5 / math.sqrt(3) / 40  # stated as 40 mm: to the last place written
    assert found["standard_uncertainty"] / found["value"] == pytest.approx(math.hypot(bench, drop, warmth, air, lift, head), rel=0.02)


def test_another_test_pressure_and_per_cent_of_a_range(shop, engine):
    flow(shop, engine, "valve.1.in", ["40 %", "80 %"], pressure="10 inH2O", full_scale="150 cfm", factor="1.02")
    answer = head_bench(shop, engine, "inch", at="28 inH2O")
    point = answer["runs"][0]["points"][1]
    assert point["through"]["value"] == pytest.approx(0.8 * 150 * 1.02, rel=1e-9)
    assert point["flow"]["value"] == pytest.approx(0.8 * 150 * 1.02 * 1.673320, rel=1e-6)
    with pytest.raises(BadInput, match=r"at: '400' is out of range"):
        head_bench(shop, engine, at="400")


def test_the_scale_of_an_orifice_tells_the_same_in_any_air(shop, engine):
    """Port and orifice see the same air: what the scale shows does not change with the day, nor does the coefficient."""
    fine = flow(shop, engine, "valve.1.in", ["60 cfm"], scale="orifice", temperature="15 °C", barometer="1013.25 mbar")
    high = flow(shop, engine, "valve.2.in", ["60 cfm"], scale="orifice", temperature="35 °C", barometer="820 mbar")
    true = flow(shop, engine, "valve.3.in", ["60 cfm"], temperature="15 °C", barometer="1013.25 mbar")
    assert fine["points"][0]["area"]["value"] == pytest.approx(true["points"][0]["area"]["value"], rel=1e-9)
    # thin air loses a little more density over the same drop: 28 inH2O of 820 mbar
    thin = (math.sqrt(2 * 28 * WATER * 82000 / (287.05 * 308.15)) / by_mach(82000, 28 * WATER, 308.15)
            / (math.sqrt(2 * 28 * WATER * 101325 / (287.05 * 288.15)) / by_mach(101325, 28 * WATER, 288.15)))
    assert high["points"][0]["area"]["value"] / fine["points"][0]["area"]["value"] == pytest.approx(thin, rel=1e-9)
    assert thin == pytest.approx(1.009, abs=0.002)


def test_spread_between_ports_and_what_is_within_doubt(shop, engine):
    flow(shop, engine, "valve.1.in", ["50 cfm", "100 cfm"])
    flow(shop, engine, "valve.2.in", ["50.1 cfm", "106 cfm"])
    flow(shop, engine, "valve.2.in", ["20 cfm", "30 cfm"], way="reverse")  # another way is another matter
    (spread,) = head_bench(shop, engine, "inch")["spreads"]
    first, second = spread["rows"]
    assert (spread["side"], spread["way"]) == ("intake", "forward")
    assert first["apart"]["value"] == pytest.approx(0.1, rel=1e-9)
    assert second["share"] == pytest.approx(6 / 103, rel=1e-9)
    assert second["highest"] == "2.in-forward"
    assert second["clear"]  # the bench's own scale and the manometer are common to both
    assert second["apart"]["standard_uncertainty"] < 0.05 * 6


def test_lifts_read_again_and_machining_that_ends_a_run(shop, engine):
    flow(shop, engine, "valve.1.in", ["50 cfm", "100 cfm"])
    shop.append(engine, bodies.FlowRead(run="1.in-forward", lift="0.004 m", flow="102 cfm"))
    run = head_bench(shop, engine)["runs"][0]
    assert [p["shown"] for p in run["points"]] == ["50 cfm", "102 cfm"]
    assert run["stale"] == ""
    commands.machine(shop, engine, slot="head.A", operation="ported")
    assert head_bench(shop, engine)["runs"][0]["stale"] == "head.A was ported after this was read"


@pytest.mark.parametrize(("card", "says"), [
    ({"way": "both"}, "way: 'both' is not taken; give one of forward, reverse"),
    ({"station": "valve.9.in"}, r"station: 'valve\.9\.in' is not on this engine"),
    ({"station": "cyl.1"}, r"station: 'cyl\.1' is no valve"),
    ({"pressure": ""}, "pressure: the drop across the port is wanted"),
    ({"pressure": "300"}, "pressure: '300' is out of range; 0.2 to 120 inH2O is accepted"),
    ({"valves": 0}, "valves: 0 is not from 1 to 3"),
    ({"run": "No Name"}, "run: 'No Name' is no name"),
    ({"reference_temperature": "15 °C"}, "only the scale of an orifice has one"),
    ({"instrument": "bench-9"}, "instrument: 'bench-9' is not listed"),
    ({"leak": "much"}, "leak: “much”"),
])
def test_what_cannot_be_a_run_is_refused_and_nothing_is_kept(shop, engine, card, says):
    before = shop.build(engine).position
    with pytest.raises(BadInput, match=says):
        flow(shop, engine, **({"station": "valve.1.in", "flows": ["50 cfm"]} | card))
    assert shop.build(engine).position == before


@pytest.mark.parametrize(("row", "says"), [
    (("2 mm", "45 %"), "flow: '45 %' is a share of the range"), (("90 mm", "45 cfm"), "lift: '90 mm' is out of range; 0 to 40 mm"),
    (("2 mm", "-3 cfm"), "flow: '-3 cfm' is out of range"), (("two", "45 cfm"), "lift: “two”"),
])
def test_what_cannot_be_a_lift_is_refused(shop, engine, row, says):
    card = bodies.FlowBegun(run="a", station="valve.1.in", pressure="28")
    with pytest.raises(BadInput, match=says):
        begin_run(shop, engine, card, [row])


def test_a_table_is_taken_once_and_whole(shop, engine, tmp_path):
    path = tmp_path / "ports.csv"
    path.write_text("Cylinder;Valve;Lift (mm);CFM;Leak\n1;intake;2;45,5;1 cfm\n1;intake;4;93;\n1;ex;2;31;\n2;in;2;44;\n", "utf-8")
    card = bodies.FlowBegun(run="", station="", pressure="25 inH2O")
    assert import_flow(shop, engine, path, card)[:2] == (3, 4)
    assert import_flow(shop, engine, path, card)[:2] == (0, 0)
    runs = {run["run"]: run for run in head_bench(shop, engine)["runs"]}
    assert set(runs) == {"1.in-forward", "1.ex-forward", "2.in-forward"}
    assert runs["1.in-forward"]["points"][0]["through"]["value"] == pytest.approx(
        (45.5 - 1) * CFM * 1e3, rel=1e-9)
    path.write_text("cylinder;valve;lift;flow\n1;in;3 mm;60 cfm\n9;in;3 mm;60 cfm\n", "utf-8")
    with pytest.raises(BadInput, match="row 3: cylinder '9', valve 'in' is no valve of this engine"):
        import_flow(shop, engine, path, card)
    path.write_text("cylinder;valve;lift;flow\n1;in;3 mm;60 cfm\n1;in;300 mm;60 cfm\n", "utf-8")
    with pytest.raises(BadInput, match=r"nothing was taken\. row 3: lift: '300 mm'"):
        import_flow(shop, engine, path, card)


def test_the_pull_takes_what_was_flowed_both_ways(shop, engine):
    model = running_model(shop, engine).needed()
    usual = engine_of(model, sizes_of(model))
    assert usual.intake.diameter == pytest.approx(0.040)  # read valve by valve goes before a guess from the bore
    flow(shop, engine, "valve.1.in", ["40 cfm", "80 cfm", "120 cfm", "140 cfm", "150 cfm"])
    flow(shop, engine, "valve.2.in", ["44 cfm", "88 cfm"])
    flow(shop, engine, "valve.1.in", ["30 cfm", "60 cfm", "90 cfm", "105 cfm", "112 cfm"], way="reverse")
    flow(shop, engine, "valve.1.ex", ["30 cfm", "60 cfm", "88 cfm", "104 cfm", "110 cfm"])
    model = running_model(shop, engine).needed()
    of = engine_of(model, sizes_of(model))
    unit = CFM * 101325 / (287.05 * 293.15) / by_mach(101325, 28 * WATER, 293.15)  # effective area of a cubic foot a minute
    head = math.pi / 4 * 0.04**2
    into, out_of = (dict(zip(of.intake.over_diameter, way, strict=True)) for way in (of.intake.into, of.intake.out_of))
    assert into[0.1] == pytest.approx(84 * unit / head, rel=1e-9)  # mean of two cylinders
    assert into[0.25] == pytest.approx(150 * unit / head, rel=1e-9)  # where only one was flowed so far
    assert out_of[0.1] == pytest.approx(60 * unit / head, rel=1e-9)
    assert of.exhaust.out_of == of.exhaust.into
    assert dict(zip(of.exhaust.over_diameter, of.exhaust.out_of, strict=True))[4 / 34] == pytest.approx(
        60 * unit / (math.pi / 4 * 0.034**2), rel=1e-9)


def test_two_valves_opened_together_share_the_flow(shop):
    name = commands.open_engine(shop, name="Four", layout="inline-4, valves in1 in2 ex1 ex2", units="metric")
    commands.state(shop, name, bodies.SizeStated(station="valve.*.*", feature="head-diameter", text="33 mm"))
    run = flow(shop, name, "valve.1.in1", ["120 cfm"], valves=2)
    assert run["points"][0]["through"]["value"] == pytest.approx(60 * CFM * 1e3, rel=1e-9)


def test_a_chamber_from_a_burette_at_another_temperature(shop, engine):
    commands.state(shop, engine, *(bodies.SizeStated(station="chamber.*", feature=feature, text=text) for feature, text in (
        ("burette-liquid", "isopropanol"), ("plate-hole", "6 mm"), ("plate-thickness", "10 mm"))))
    commands.take_readings(shop, engine, [bodies.ReadingTaken(station="chamber.1", **row) for row in (
        {"feature": "burette-start", "place": "fill 1", "text": "0.2 cc"}, {"feature": "burette-end", "place": "fill 1", "text": "50.0 cc"},
        {"feature": "burette-end", "place": "fill 2", "text": "12.6 cc"}, {"feature": "burette-start", "place": "fill 2", "text": "0.0 cc"},
        {"feature": "liquid-temperature", "text": "20 °C"}, {"feature": "chamber-temperature", "text": "26 °C"})])
    found = {f["characteristic"]: f for f in head_bench(shop, engine)["findings"]}["chamber-volume"]
    # 62.4 cc swell by 6 K, the plate's hole holds 0.2827 cc, and the head itself has grown
    assert found["value"] == pytest.approx((62.4 * 1.00636 - 0.282743) / 1.000396, rel=1e-6)
    assert len(found["entries"]) == 9  # six readings, three sizes that were stated
    # a reading beside it goes before
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="chamber.1", feature="chamber-volume", text="61.0 cc"))
    found = {f["characteristic"]: f for f in head_bench(shop, engine)["findings"]}["chamber-volume"]
    assert found["value"] == pytest.approx(61.0, rel=1e-9)


def test_after_one_reading_more_the_findings_are_those_of_a_whole_check(shop, engine):
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="chamber.1", feature="burette-end", place="fill 1", text="61.0 cc"))
    head_bench(shop, engine)
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="chamber.1", feature="burette-end", place="fill 2", text="2.0 cc"))
    found = [f for f in head_bench(shop, engine)["findings"] if f["station"] == "chamber.1"]
    assert found[0]["value"] == pytest.approx(63.0, rel=2e-3)


def test_a_burette_that_runs_backwards_spoils_no_other_finding(shop, engine):
    commands.take_readings(shop, engine, [bodies.ReadingTaken(station="chamber.1", feature=feature, place="fill 1", text=text)
                                          for feature, text in (("burette-start", "50 cc"), ("burette-end", "12 cc"))])
    assert shop.checked(shop.build(engine))
    assert not [f for f in head_bench(shop, engine)["findings"] if f["station"] == "chamber.1" and f["value"] is not None]


def test_guides_and_seats_are_judged_by_side(shop, engine):
    for valve in ("in", "ex"):
        station = f"valve.1.{valve}"
        commands.take_readings(shop, engine, [bodies.ReadingTaken(station=station, **row) for row in (
            {"feature": "guide-bore", "place": "top A", "text": "8.000 mm"},
            {"feature": "guide-bore", "place": "bottom A", "text": "8.004 mm"},
            {"feature": "stem", "place": "middle A", "text": "7.964 mm"}, {"feature": "seat-width", "place": "1", "text": "1.25 mm"},
            {"feature": "throat-diameter", "place": "A", "text": "36 mm"}, {"feature": "head-diameter", "text": "40 mm"})])
    found = {(f["characteristic"], f["station"]): f for f in head_bench(shop, engine)["findings"]}
    assert found["stem-clearance", "valve.1.in"]["value"] == pytest.approx(0.038, abs=1e-9)
    assert found["stem-clearance", "valve.1.in"]["lower"] == pytest.approx(0.0254)
    assert found["stem-clearance", "valve.1.ex"]["lower"] == pytest.approx(0.0381)
    assert found["guide-bell-mouth", "valve.1.in"]["value"] == pytest.approx(0.004, abs=1e-9)
    assert found["throat-share", "valve.1.in"]["value"] == pytest.approx(0.9)
    assert found["seat-width", "valve.1.ex"]["verdict"] == "out"  # 1.25 mm of 1.52 to 2.03
    assert not [name for name, where in found if where == "valve.2.in"]


def test_the_record_sets_ports_side_by_side(shop, engine):
    files = {}
    assert head_part(shop, engine, "inch", files) is None
    flow(shop, engine, "valve.1.in", ["50 cfm", "100 cfm"], note="clay entry")
    flow(shop, engine, "valve.2.in", ["51 cfm", "104 cfm", "150 cfm"])
    part = head_part(shop, engine, "inch", files)
    (table,) = part["tables"]
    assert table["title"] == "Intake, forward [cfm]"
    assert table["heads"] == ["lift", "1 in", "2 in", "coefficient", "apart"]
    assert [row[1:3] + row[4:] for row in table["rows"]] == [["50.0", "51.0", "2.0%"], ["100.0", "104.0", "3.9%"], ["", "150.0", ""]]
    assert part["runs"][0] == "1.in-forward: valve 1 in forward at 28.0 inH2O, clay entry"
    assert set(files) == {"head-1.svg", "head-2.svg"}


def test_sizes_that_cannot_be_are_said_and_flow_is_told_all_the_same(shop, engine):
    commands.state(shop, engine, bodies.SizeStated(station="valve.1.in", feature="stem", text="39 mm"))
    run = flow(shop, engine, "valve.1.in", ["50 cfm"])
    assert "stem is 0.039" in run["wrong"]
    assert run["points"][0]["of_head"]["value"] is None
    assert run["points"][0]["area"]["value"] > 0


def test_commands(tmp_path):
    runner = CliRunner()
    base = ["--shop", str(tmp_path / "shop")]
    found = open_shop(tmp_path / "shop", person="Ines Vale")
    commands.open_engine(found, name="Kestrel", layout="v8-90-cross-plane", units="metric")
    found.logbook.close()
    path = tmp_path / "ports.csv"
    path.write_text("lift (mm),flow (cfm)\n2.0,45\n4.0,92\n", "utf-8")
    took = runner.invoke(tenths, [*base, "flow", "kestrel", "valve.7.in", "--from", str(path), "--json"])
    assert took.exit_code == 0, took.output
    assert json.loads(took.output) == {"runs": 1, "lifts": 2, "remarks": []}
    path.write_text("lift (mm),flow (cfm)\n2,45\n", "utf-8")
    torn = runner.invoke(tenths, [*base, "flow", "kestrel", "valve.7.in", "--from", str(path)])
    assert "'2,45' could be one number with a decimal comma" in str(torn.exception)
    typed = runner.invoke(tenths, [*base, "flow", "kestrel", "valve.8.in", "2 mm=44 cfm", "4 mm=91 cfm", "--leak", "1 cfm", "--json"])
    assert typed.exit_code == 0, typed.output
    assert [p["shown"] for p in json.loads(typed.output)["points"]] == ["44 cfm", "91 cfm"]
    shown = runner.invoke(tenths, [*base, "head", "kestrel", "--at", "10", "--json"])
    answer = json.loads(shown.output)
    assert answer["at"]["text"] == "10.0 inH2O"
    assert {run["run"] for run in answer["runs"]} >= {"7.in-forward", "8.in-forward"}
    words = runner.invoke(tenths, [*base, "head", "kestrel"])
    assert words.exit_code == 0, words.output
    assert "Intake ports against each other" in words.output
    assert max(map(len, words.output.splitlines())) <= 80
    wrong = runner.invoke(tenths, [*base, "flow", "kestrel", "valve.8.in", "2mm"])
    assert "'2mm' is not LIFT=FLOW" in str(wrong.exception)
