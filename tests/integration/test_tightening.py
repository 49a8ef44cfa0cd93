"""Joints against published tables and a second calculation; order, ticks and uses; outlines over a turn."""

import math

import numpy as np
import pytest

from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.joints import places_of, thread_of
from tenths.services import commands
from tenths.services.clearing import clearances
from tenths.services.tightening import one_joint, tightening

LBF = 4.4482216152605


def laid(tmp_path, joint, units="metric", *others):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4", units=units)
    shop.append(engine, joint, *others)
    return shop, engine


def joint(**changed):
    return bodies.JointStated(**({"joint": "caps", "words": "caps", "stations": "main.*", "pattern": "2", "thread": "M10x1.25",
                                  "torque": "51 N m"} | changed))


def row(answer, name):
    return next(f for f in answer["findings"] if f["name"] == name)


# [VDI2230] 2001, table of assembly preloads and torques at 90 % of yield, friction 0.12; head faces of hexagon bolts.
@pytest.mark.parametrize(("thread", "strength", "torque", "preload", "bearing", "hole"), [
    ("M8x1", "8.8", 26.1, 20.2, 11.63, 9.0), ("M8x1", "10.9", 38.3, 29.7, 11.63, 9.0), ("M10x1.25", "8.8", 51, 31.6, 14.63, 11.0),
    ("M10x1.25", "12.9", 87, 54.3, 14.63, 11.0), ("M12x1.25", "10.9", 133, 70.5, 16.63, 13.5), ("M10", "8.8", 48, 29.6, 14.63, 11.0)])
def test_preload_and_share_of_yield_are_those_of_the_guideline(tmp_path, thread, strength, torque, preload, bearing, hole):
    shop, engine = laid(tmp_path, joint(thread=thread, strength=strength, torque=f"{torque} N m", bearing=f"{bearing} mm",
                                        hole=f"{hole} mm", thread_friction="0.12", head_friction="0.12"))
    answer = one_joint(shop, engine, "caps")
    assert row(answer, "preload")["value"] == pytest.approx(preload, rel=0.02)
    assert row(answer, "yield-share")["value"] == pytest.approx(0.9, abs=0.02)


def test_preload_of_an_inch_bolt_is_motoshs(tmp_path):
    """[Motosh]: 3/8-24 at 8,000 lbf takes 524.4 lbf in with 0.15 in the thread and 0.12 under a head of 0.5625 over 0.397 in."""
    shop, engine = laid(tmp_path, joint(thread="3/8-24", torque="524.4 lbf in", bearing="0.5625", hole="0.397", thread_friction="0.15",
                                        head_friction="0.12", strength="grade 8"), "inch")
    answer = one_joint(shop, engine, "caps")
    assert row(answer, "preload")["value"] == pytest.approx(8000, rel=1e-3)
    assert row(answer, "proof-share")["value"] == pytest.approx(8000 / 10536, rel=2e-3)  # [SAE-J429] proof load of 3/8-24 grade 8


def test_stretch_tells_the_preload(tmp_path):
    """Hooke: 0.4 in of 0.375, 0.8 of 0.315 and 0.5 of the stress area, 12,000 lbf, 30 million psi: 0.00783 in."""
    across = math.sqrt(4 * 0.0878 / math.pi)
    shop, engine = laid(tmp_path, joint(thread="3/8-24", torque="", method="stretch", stretch="0.00783",
                                        segments=("0.4 x 0.375", "0.8 x 0.315", f"0.5 x {across:.5f}")), "inch")
    found = row(one_joint(shop, engine, "caps"), "preload")["value"]
    assert found == pytest.approx(12000 * 206e9 / (30e6 * LBF / 0.0254**2), rel=2e-3)


def test_angle_turns_the_bolt_as_two_springs_do(tmp_path):
    """Snug at 20 N m and 60 degrees more on a long bolt: pitch x turn over the two compliances, worked out here by itself."""
    shop, engine = laid(tmp_path, joint(torque="20 N m", method="torque and angle", angle="60 deg", segments=("60 mm x 10 mm",),
                                        bearing="15 mm", hole="11 mm", clamped="60 mm", into="steel", strength="12.9"))
    answer = one_joint(shop, engine, "caps")
    mu, d2 = 0.125, 10 - 0.6495 * 1.25
    snug = 20e3 / (1.25 / (2 * math.pi) + mu * d2 / 2 / math.cos(math.pi / 6) + mu * (15 + 11) / 4)
    bolt = 206e3 * math.pi / 4 * 100 / 60
    cone = math.tan(math.pi / 6)  # [Shigley] frustum of 30 degrees, half of the grip, two in a row
    t, big = 30.0, 15.0
    half = math.pi * 206e3 * 11 * cone / math.log((2 * cone * t + big - 11) * (big + 11) / ((2 * cone * t + big + 11) * (big - 11)))
    plate = half / 2
    wanted = snug + 1.25 / 6 * bolt * plate / (bolt + plate)
    assert row(answer, "preload")["value"] * 1e3 == pytest.approx(wanted, rel=1e-3)
    assert [r["what"] for r in answer["rounds"]] == ["torque", "torque", "angle"]


def test_slicker_lubricant_raises_the_preload_by_what_the_trade_says(tmp_path):
    """Common practice, no source: a moly or maker's paste raises preload by a third at the same torque."""
    shop, engine = laid(tmp_path, joint(lubricant="moly", given_for="oil"))
    answer = one_joint(shop, engine, "caps")
    ratios = {w["to"]: w["ratio"] for w in answer["swaps"]}
    assert 1.2 < ratios["moly"] < ratios["paste"] < 1.45
    used = next(w for w in answer["swaps"] if w["used"])
    assert used["same_torque"]["value"] / used["ratio"] == pytest.approx(row(answer, "preload")["value"] / used["ratio"])
    assert any("was given for oil; with moly" in note for note in answer["notes"])


def test_scatter_is_that_of_a_plain_trial(tmp_path):
    """Torque and both frictions drawn a hundred thousand times: [JCGM101]."""
    shop, engine = laid(tmp_path, joint(bearing="15 mm", hole="11 mm"))
    found, chance, n = row(one_joint(shop, engine, "caps"), "preload"), np.random.default_rng(7), 100_000
    torque = 51e3 * (1 + chance.uniform(-0.04, 0.04, n))
    thread, head = chance.normal(0.125, 0.015, n), chance.normal(0.125, 0.015, n)
    d2 = 10 - 0.6495 * 1.25
    force = torque / (1.25 / (2 * math.pi) + thread * d2 / 2 / math.cos(math.pi / 6) + head * 6.5)
    assert found["standard_uncertainty"] * 1e3 == pytest.approx(force.std(), rel=0.05)


def test_bolt_that_bottoms_and_thread_that_is_short_are_out(tmp_path):
    sizes = {"length": "80 mm", "washer": "2 mm", "clamped": "40 mm", "thread_depth": "36 mm", "counterbore": "20 mm"}
    shop, engine = laid(tmp_path, joint(**sizes, into="aluminium", strength="10.9"))
    answer = one_joint(shop, engine, "caps")
    assert (row(answer, "to-bottom")["value"], row(answer, "to-bottom")["verdict"]) == (pytest.approx(-2.0), "out")
    assert (row(answer, "engagement")["value"], row(answer, "engagement")["verdict"]) == (pytest.approx(16.0), "out")


# -- order, rounds, ticks ----------------------------------------------------------------------------------------------

def test_caps_are_taken_from_the_middle_out(tmp_path):
    """Common practice, no source: both bolts of the middle cap, then its neighbours, the ends last."""
    shop, engine = laid(tmp_path, joint(together=True))
    order = [row["station"] for row in one_joint(shop, engine, "caps")["order"]]
    assert set(order[:2]) == {"main.3"}
    assert set(order[2:6]) == {"main.2", "main.4"}
    assert set(order[6:]) == {"main.1", "main.5"}


def test_the_makers_order_goes_first(tmp_path):
    shop, engine = laid(tmp_path, joint(stations="head.A", pattern="2 rows of 3", order=(5, 2, 4, 6, 1, 3)))
    answer = one_joint(shop, engine, "caps")
    assert [r["number"] for r in answer["order"]] == [5, 2, 4, 6, 1, 3]
    assert {p["number"]: p["order"] for p in answer["places"]} == {5: 1, 2: 2, 4: 3, 6: 4, 1: 5, 3: 6}


@pytest.mark.parametrize("count", [4, 5, 6, 8, 10])
def test_a_circle_crosses_over(tmp_path, count):
    """Common practice, no source: each second bolt stands as nearly opposite to the one before it as the circle has."""
    shop, engine = laid(tmp_path, joint(stations="crank", pattern=f"circle of {count}"))
    order = [r["number"] for r in one_joint(shop, engine, "caps")["order"]]
    assert sorted(order) == list(range(1, count + 1))
    assert min((order[1] - order[0]) % count, (order[0] - order[1]) % count) == count // 2


def tick(what, number=1, **more):
    return bodies.FastenerTicked(joint="caps", station="main.2", number=number, what=what, **more)


def test_ticks_leave_each_fastener_in_its_state(tmp_path):
    shop, engine = laid(
        tmp_path, joint(uses=1, growth="0.02 mm", method="stretch", torque="", stretch="0.15 mm", segments=("40 mm x 9 mm",)), "metric",
        tick("measured", free_length="60.000 mm"), tick("tightened", tight_length="60.150 mm"), tick("checked"),
        tick("tightened", number=2, round=0), tick("loosened", number=2), tick("tightened", number=2))
    found = {f["number"]: f for f in one_joint(shop, engine, "caps")["fasteners"] if f["station"] == "main.2"}
    assert (found[1]["state"], found[1]["uses"], found[1]["wrong"]) == ("checked", 1, [])
    assert found[1]["stretch"]["value"] == pytest.approx(0.150)
    assert found[2]["uses"] == 2
    assert "1 are allowed: throw it away" in found[2]["wrong"][0]
    shop.append(engine, tick("loosened"), tick("measured", free_length="60.030 mm"), tick("renewed", number=2))
    found = {f["number"]: f for f in one_joint(shop, engine, "caps")["fasteners"] if f["station"] == "main.2"}
    assert "grown by 0.030 mm" in found[1]["wrong"][0]
    assert (found[2]["state"], found[2]["uses"], found[2]["wrong"]) == ("not touched", 0, [])


def test_rounds_before_the_last_are_under_way_and_no_use(tmp_path):
    shop, engine = laid(tmp_path, joint(), "metric", tick("tightened", round=1), tick("tightened", round=2))
    found = one_joint(shop, engine, "caps")["fasteners"]
    state = next(f for f in found if f["station"] == "main.2" and f["number"] == 1)
    assert (state["state"], state["uses"]) == ("under way", 0)
    shop.append(engine, tick("tightened", round=3))
    found = one_joint(shop, engine, "caps")["fasteners"]
    assert next(f for f in found if f["station"] == "main.2" and f["number"] == 1)["uses"] == 1


# -- refused -----------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("changed", "says"), [
    ({"thread": "M10x9"}, "thread: 'M10x9'"), ({"thread": "3/8"}, "thread: '3/8'"), ({"pattern": "some"}, "pattern: 'some'"),
    ({"pattern": "circle of 0"}, "0 fasteners"), ({"order": (1, 1)}, "order"), ({"method": "feel"}, "method: 'feel'"),
    ({"torque": ""}, "torque"), ({"torque": "-5 N m"}, "below 0"), ({"torque": "5 mm"}, "torque"), ({"segments": ("40 mm",)}, "segments"),
    ({"steps": ("120 %",)}, "steps"), ({"stations": "mains.*"}, "station"), ({"joint": "Main Caps"}, "joint"),
    ({"lubricant": "goose fat"}, "lubricant: 'goose fat'"), ({"strength": "11.9"}, "strength: '11.9'"), ({"into": "wood"}, "into: 'wood'"),
    ({"given_for": "honey"}, "given for: 'honey'"), ({"bearing": "9 mm", "hole": "11 mm"}, "caps")])
def test_a_joint_that_cannot_be_is_refused_by_name(tmp_path, changed, says):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4", units="metric")
    with pytest.raises(BadInput, match=says):
        shop.append(engine, joint(**changed))


@pytest.mark.parametrize(("body", "says"), [
    (tick("tightened", number=3), "number: 3"), (tick("kissed"), "what: 'kissed'"), (tick("measured"), "free length"),
    (bodies.FastenerTicked(joint="other", station="main.2", number=1, what="checked"), "joint: 'other'"),
    (bodies.FastenerTicked(joint="caps", station="rod.2", number=1, what="checked"), "rod.2"),
    (bodies.FastenerTicked(joint="caps", station="main.*", number=1, what="checked"), "one station"),
    (tick("tightened", value="5 mm"), "value")])
def test_a_tick_that_cannot_be_is_refused(tmp_path, body, says):
    shop, engine = laid(tmp_path, joint())
    with pytest.raises(BadInput, match=says):
        shop.append(engine, body)


@pytest.mark.parametrize(("text", "diameter", "pitch"), [
    ("M8", 8.0, 1.25), ("m10 x 1.25", 10.0, 1.25), ("7/16-20", 11.1125, 1.27), ("1/2-13 UNC", 12.7, 25.4 / 13),
    ("#10-32", 4.826, 25.4 / 32)])
def test_threads_are_read_as_they_are_written(text, diameter, pitch):
    found = thread_of(text)
    assert (found[0] * 1e3, found[1] * 1e3) == pytest.approx((diameter, pitch))


def test_a_circle_stands_round_its_middle():
    places = np.array(places_of("circle of 7"))
    assert places.mean(axis=0) == pytest.approx([0, 0], abs=1e-12)
    assert np.ptp(np.hypot(*places.T)) == pytest.approx(0, abs=1e-12)


# -- clearances in motion ----------------------------------------------------------------------------------------------

def test_a_point_on_the_rod_clears_a_rail_by_what_many_steps_say(tmp_path):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4", units="metric")
    commands.state(shop, engine, *(bodies.SizeStated(station=s, feature=f, text=t) for s, f, t in (
        ("cyl.*", "bore", "80"), ("pin.*", "stroke", "80"), ("rod.*", "rod-length", "140"))))
    shop.append(engine, bodies.OutlineDrawn(outline="bolt", words="bolt", moves_with="rod", points=("-20 / 30",), radius="2"),
                bodies.OutlineDrawn(outline="rail", words="rail", moves_with="block", points=("-40 / 75",), radius="1", least="3 mm"))
    (found,) = clearances(shop, engine)["pairs"]
    t = np.linspace(0, 2 * math.pi, 20001)
    beta = np.arcsin(40 * np.sin(t) / 140)
    along = 40 * np.cos(t) - 20 * np.cos(beta) + 30 * np.sin(beta)  # the rod leans against the way of the crank
    across = 40 * np.sin(t) + 20 * np.sin(beta) + 30 * np.cos(beta)
    gap = np.hypot(along + 40, across - 75) - 3
    assert found["clearance"]["value"] == pytest.approx(gap.min(), abs=0.01)
    assert found["angle"] == pytest.approx(math.degrees(t[gap.argmin()]), abs=1.0)
    assert found["verdict"] == ("fits" if gap.min() >= 3 else "out")
    shop.append(engine, bodies.OutlineDrawn(outline="rail", words="rail", moves_with="block", points=()))
    assert clearances(shop, engine)["pairs"] == []


def test_the_demo_shows_what_is_wrong(demo_shop):
    """The sheet gives the head torque for oil and the bolts wear moly; a rod bolt has grown by more than a thou."""
    answer = {j["joint"]: j for j in tightening(demo_shop, "kestrel")["joints"]}
    assert row(answer["head-bolts"], "proof-share")["verdict"] == "too close to call"
    wrong = [f for f in answer["rod-bolts"]["fasteners"] if f["wrong"]]
    assert [(f["station"], f["number"]) for f in wrong] == [("rod.2", 2)]
    assert clearances(demo_shop, "kestrel")["pairs"][0]["verdict"] == "out"


@pytest.mark.parametrize(("points", "says"), [(("1 2",), "points: '1 2'"), (("1 / 2 / 3",), "points"), (("a / b",), "points")])
def test_an_outline_that_cannot_be_read_is_refused(tmp_path, points, says):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4")
    with pytest.raises(BadInput, match=says):
        shop.append(engine, bodies.OutlineDrawn(outline="x", words="x", moves_with="rod", points=points))
