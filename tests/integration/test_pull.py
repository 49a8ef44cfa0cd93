"""The pull of a demo engine: from its own sizes to answers and command line."""

import json
import math

import pytest
from click.testing import CliRunner

from tenths.calc.gas import pull
from tenths.cli import tenths
from tenths.engine.feature_gas import HEADERS
from tenths.errors import BadInput
from tenths.services import running_pull
from tenths.services.demo import lay_demo
from tenths.services.film_bearings import bearing_losses
from tenths.services.pull_cycle import cycle
from tenths.services.pull_sizes import fuel_named
from tenths.services.pull_variants import forget_variant, keep_variant
from tenths.services.running_model import running_model
from tenths.services.shop import open_shop


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    found = open_shop(tmp_path_factory.mktemp("pull"), person="Ines Vale")
    lay_demo(found)
    yield found
    found.logbook.close()


def test_a_pull_settles_and_its_numbers_hang_together(shop):
    answer = running_pull.pulled(shop, "kestrel", "metric", speeds=3)
    assert answer["settled"]
    for row in answer["points"]:
        assert row["power"]["value"] == pytest.approx(row["torque"]["value"] * row["speed"]["value"] * 3.141592653589793 / 30e3, rel=1e-6)
        assert row["specific"]["value"] == pytest.approx(row["fuel"]["value"] / row["power"]["value"] * 1e3, rel=1e-6)
        assert row["mass_error"] < 1e-3
        assert row["energy_error"] < 1e-3
        # a bound of any spark-ignition engine at full throttle: [Heywood] section 15.5, 0.6 to 1.15 in filling, 240 g/kWh at best
        assert 0.5 < row["filling"]["value"] < 1.2
        assert row["specific"]["value"] > 220.0


def test_a_speed_that_does_not_settle_is_said_with_what_still_changes(shop, monkeypatch):
    def cut_short(of, rates, told):
        return [pull.run(of, pull.built(of), rate, most=2 + 40 * (k > 0))[0] for k, rate in enumerate(rates)]

    monkeypatch.setattr(running_pull, "points_of", cut_short)
    answer = running_pull.pulled(shop, "kestrel", "metric", speeds=2)
    assert not answer["settled"]
    assert [row["settled"] for row in answer["points"]] == [False, True]
    slow = answer["points"][0]["speed"]["text"]
    assert answer["notes"][0].startswith(f"At {slow} cycles did not come to repeat: work still changes by ")
    assert "below 0.001 is asked" in answer["notes"][0]


def test_a_longer_runner_moves_the_filling_down_in_speed(shop):
    """Quarter wave and resonator alike tune lower when longer."""
    short, long = (
        running_pull.pulled(shop, "kestrel", "metric", speeds=5, given={"runner-length": text})["points"] for text in ("200 mm", "550 mm")
    )
    gain = [b["filling"]["value"] - a["filling"]["value"] for a, b in zip(short, long, strict=True)]
    assert gain[1] > gain[-1]
    assert gain[-1] < 0.0


def test_command_and_what_it_refuses(shop):
    runner = CliRunner()
    base = ["--shop", str(shop.folder), "pull", "kestrel", "--speeds", "2"]
    told = runner.invoke(tenths, [*base, "--with", "plenum-volume=0", "--json"])
    assert told.exit_code == 0, told.output
    answer = json.loads(told.output)
    assert len(answer["points"]) == 2
    assert next(size for size in answer["sizes"] if size["name"] == "plenum-volume")["origin"] == "tried"
    with pytest.raises(BadInput, match="'runner' is no size of the gas side"):
        running_pull.pulled(shop, "kestrel", given={"runner": "1"})
    with pytest.raises(BadInput, match="speeds: 1 is not from 2 to 60"):
        running_pull.pulled(shop, "kestrel", speeds=1)


def test_what_is_tried_is_kept_compared_and_taken_away(shop):
    before = len(shop.logbook.read("kestrel"))
    keep_variant(shop, "kestrel", "short runners", {"runner-length": "250 mm"}, "for the hill")
    kept, typed = (running_pull.pulled(shop, "kestrel", "metric", speeds=2, **how) for how in (
        {"variant": "short runners"}, {"given": {"runner-length": "250 mm"}}))
    assert kept["points"] == typed["points"]
    assert kept["variants"] == [{"variant": "short runners", "words": "for the hill", "sizes": {"runner-length": "250 mm"}}]
    with pytest.raises(BadInput, match="runner-length: '-3' is not from 1"):
        keep_variant(shop, "kestrel", "none", {"runner-length": "-3"})
    with pytest.raises(BadInput, match="variant: 'long' is not kept; there are short runners"):
        forget_variant(shop, "kestrel", "long")
    forget_variant(shop, "kestrel", "short runners")
    assert running_pull.pulled(shop, "kestrel", speeds=2)["variants"] == []
    assert len(shop.logbook.read("kestrel")) == before + 2  # nothing is lost


def test_a_cycle_agrees_with_its_point_and_with_the_mass_that_went_through(shop):
    answer = cycle(shop, "kestrel", "metric", speed="4500 rpm", cylinder="3")
    # the area of the pressure over volume is the work of a cycle: of eight cylinders over two turns it makes the torque, less friction
    work = 0.0
    for k in range(360):
        work += 0.5 * (answer["pressure"][k] + answer["pressure"][k + 1]) * (answer["volume"][k + 1] - answer["volume"][k]) * 0.1
    torque = 8 * work / 12.566370614359172
    assert 1.05 * answer["torque"]["value"] < torque < 1.30 * answer["torque"]["value"]  # friction takes the rest
    drawn = sum(f for f in answer["flow"] if f > 20.0) * (720 / 360) / 360 / (4500 / 60)  # g over the intake stroke
    assert drawn * 1e3 == pytest.approx(max(answer["mass"]) - min(answer["mass"]), rel=0.05)
    assert [len(wave["pressure"][0]) for wave in answer["waves"]] == [121, 121]
    with pytest.raises(BadInput, match="speed: '99' is not from"):
        cycle(shop, "kestrel", speed="99")


def test_the_bearings_rub_as_their_film_does(shop):
    """One number everywhere: the friction of the bearings in the pull is the power that the film loses at that speed."""
    answer = running_pull.pulled(shop, "kestrel", "metric", speeds=2)
    model = running_model(shop, "kestrel", "metric")
    top = model.value("redline")
    lost = float(bearing_losses(shop, model, [top])[0])
    rubs = next(row for row in answer["points"][-1]["rubs"] if row["part"] == "bearings")
    assert rubs["torque"]["value"] * top == pytest.approx(lost, rel=1e-3)


def test_boost_and_thin_air_do_what_density_says(shop):
    """Charge at the same temperature goes with its pressure; a throttle nearly shut takes most of it."""
    def torque(**given):
        points = running_pull.pulled(shop, "kestrel", "metric", speeds=2, given=given)["points"]
        return points[0]["air"]["value"]

    usual = torque()
    assert torque(**{"inlet-pressure": "148.5 kPa", "outlet-pressure": "152 kPa"}) / usual == pytest.approx(1.5, abs=0.06)
    assert torque(**{"inlet-pressure": "80 kPa", "outlet-pressure": "82 kPa"}) / usual == pytest.approx(80 / 99, abs=0.05)
    assert torque(**{"throttle-open": "0.02"}) < 0.6 * usual


def test_the_way_out_can_be_told(shop):
    """A silencer with a tight outlet costs power, and more at the top; eight open stubs hold eight pipes, whatever the layout."""
    from tenths.services.pull_sizes import engine_of, sizes_of

    def points(**given):
        return running_pull.pulled(shop, "kestrel", "metric", speeds=2, given=given)["points"]

    usual = points()
    shut = points(**{"tail-length": "1 m", "silencer-volume": "10 l", "silencer-flow": "0.15"})
    lost = [1 - b["torque"]["value"] / a["torque"]["value"] for a, b in zip(usual, shut, strict=True)]
    assert 0.0 < lost[0] < lost[1]
    assert points(**{"filter-flow": "0.3"})[1]["filling"]["value"] < usual[1]["filling"]["value"]
    model = running_model(shop, "kestrel", "metric")
    of = {kind: engine_of(model, sizes_of(model, {"header-kind": kind})).outlet for kind in HEADERS}
    assert [len(one.groups) for one in of.values()] == [2, 4, 8, 1]
    # firing order 1-8-4-3-6-5-7-2 by hand: the one bank fires at 0, 270, 180, 630, the other at 450, 360, 540, 90 deg of the cycle
    apart = [round(math.degrees(abs(model.along().fires[one] - model.along().fires[other]))) for one, other in of[HEADERS[1]].groups]
    assert [min(deg, 720 - deg) for deg in apart] == [270, 270, 360, 180]


def test_fuels_gear_and_richness_do_what_they_must(shop):
    """Alcohol burns more of itself for the same work, as its heat is less; rollers rub less at low speed; a lean charge burns longer."""
    def points(**given):
        return running_pull.pulled(shop, "kestrel", "metric", speeds=2, given=given)["points"]

    usual, alcohol = points(), points(**{"fuel-kind": "methanol"})
    ratio = alcohol[1]["specific"]["value"] / usual[1]["specific"]["value"]
    assert ratio == pytest.approx(44.0 / 20.0, rel=0.12)  # heats of [Heywood] appendix D, at the same richness
    assert points(followers="roller")[0]["friction"]["value"] < usual[0]["friction"]["value"]
    assert points(**{"heat-correlation": "hohenberg"})[1]["torque"]["value"] != usual[1]["torque"]["value"]
    assert points(**{"heat-share": "0.8"})[1]["torque"]["value"] > usual[1]["torque"]["value"]
    with pytest.raises(BadInput, match="followers: 'square' is not known; taken are flat, roller"):
        points(followers="square")


def test_what_was_measured_leaves_less_doubt(shop):
    """Kestrel's ports stood on the flow bench: five per cent of doubt about the flow becomes two; Marigold's did not."""
    known = {engine: {row["cause"]: row["by"] for row in running_pull.pulled(shop, engine, speeds=2, sure=True)["doubts"]}
             for engine in ("kestrel", "marigold")}
    assert known["kestrel"]["flow of the valves"] == "2.0%"
    assert known["marigold"]["flow of the valves"] == "5.0%"


@pytest.mark.parametrize(("words", "kind"), [
    ("Pump petrol, 98 octane", "petrol 98"), ("E 85", "E85"), ("race petrol 110", "race petrol 110"),
    ("104 octane race blend", None), ("", None)])
def test_a_fuel_is_known_by_the_words_for_it(words, kind):
    assert fuel_named(words) == kind
