"""The oil film of a demo engine, from its own readings to answers, command line and page."""

import json
import math

import numpy as np
import pytest
from click.testing import CliRunner

from shops import shop_in_memory
from tenths.calc.film import mobility
from tenths.calc.film.grades import middle_oil
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.logbook.bodies import SizeStated
from tenths.services import commands, film_basis, film_bearings, film_map, running_film
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    found = open_shop(tmp_path_factory.mktemp("film"), person="Ines Vale")
    lay_demo(found)
    yield found
    found.logbook.close()


@pytest.fixture(scope="module")
def answer(shop):
    return running_film.film(shop, "marigold", "metric")


def test_every_bearing_with_a_clearance_has_a_film(shop, answer):
    stations = {row["station"] for row in answer["bearings"]}
    assert stations == {*(f"main.{n}" for n in range(1, 8)), *(f"rod.{n}" for n in range(1, 7))}
    films = [row["least"]["value"] for row in answer["bearings"]]
    assert films == sorted(films)
    for row in answer["bearings"]:
        assert row["settled"]
        assert 0.0 < row["least"]["value"] < row["clearance"]["value"] * 1000 / 2
        assert len(row["running"]) == len(answer["ways"]) == 11
        assert all(way["film"]["value"] <= way["film_to"]["value"] for way in row["running"])


def test_two_ways_of_sharing_the_load_are_told_for_mains_and_are_one_for_rods(answer):
    for row in answer["bearings"]:
        apart = [way["film_to"]["value"] - way["film"]["value"] for way in row["running"]]
        assert (max(apart) > 0.0) == row["station"].startswith("main")


def test_the_film_of_a_bearing_under_its_mean_load_is_not_far_from_the_steady_one(shop):
    """A steady load equal to the mean of a slow cold idle's leaves a film of the same size: within a factor of three.

    The steady film comes from the table's own Sommerfeld number by the maps' steady point, not from the cycle.
    """
    model = running_film.running_model(shop, "marigold").needed()
    basis = film_basis.Basis(model)
    place = next(p for p in film_bearings.places(shop, basis) if p.station == "rod.1")
    way = next(w for w in film_bearings.WAYS if w.name == "idle, cold")
    one = film_bearings.borne(model, "rod.1", film_bearings.Cycles(model).of(way))[0]
    ran = running_film.cycle.running(place.bearing, one, middle_oil("10W-40"), inlet=film_bearings.inlet_of(basis, way))
    load = float(abs(one.loads).mean())
    b = place.bearing
    pull = load * (2 * b.clearance / b.diameter) ** 2 / (ran.viscosity * b.length * b.diameter)
    low, high = 0.0, 0.999
    for _ in range(40):  # at the steady point the mobility turns the journal back as fast as the oil's drift carries it on
        middle = (low + high) / 2
        angle, best = 0.0, math.inf
        for degrees in range(90):
            found = mobility.moved(middle, load_direction=-math.radians(degrees), slenderness=b.length / b.diameter).mobility
            turned = found * complex(math.cos(math.radians(degrees)), -math.sin(math.radians(degrees)))
            if abs(turned.real) < best:
                angle, best = abs(turned.imag), abs(turned.real)
        low, high = (middle, high) if pull * angle > float(one.drift.mean()) * middle else (low, middle)
    steady = (1 - low) * b.clearance
    assert steady / 3 < ran.films.mean() < steady * 3


def test_thinner_oil_leaves_less(shop, answer):
    thin = running_film.film(shop, "marigold", "metric", grade="0W-20")
    assert thin["bearings"][0]["least"]["value"] < answer["bearings"][0]["least"]["value"]


def test_command_and_json_agree(shop, answer):
    runner = CliRunner()
    base = ["--shop", str(shop.folder)]
    told = runner.invoke(tenths, [*base, "film", "marigold", "--units", "metric"])
    assert told.exit_code == 0, told.output
    assert answer["bearings"][0]["least"]["text"] in told.output
    as_json = json.loads(runner.invoke(tenths, [*base, "film", "marigold", "--units", "metric", "--json"]).output)
    assert as_json == json.loads(json.dumps(answer))


def test_what_is_no_grade_or_no_station_is_said(shop):
    with pytest.raises(BadInput, match="grade is 'treacle'"):
        running_film.film(shop, "marigold", grade="treacle")
    with pytest.raises(BadInput, match=r"bearing: 'main\.99' has no known oil clearance"):
        running_film.orbits(shop, "marigold", station="main.99")
    with pytest.raises(BadInput, match=r"'oil' is no option of the oil film; there are grade, bearing"):
        running_film.film(shop, "marigold", given={"oil": "30"})
    with pytest.raises(BadInput, match="load: 'wide' is not taken; give one of full, part, shut"):
        running_film.film(shop, "marigold", given={"load": "wide", "speed": "3000"})
    with pytest.raises(BadInput, match="load: goes with a speed"):
        running_film.film(shop, "marigold", given={"load": "full"})
    with pytest.raises(BadInput, match=r"speed: '99999' is not from \d+ to \d+ rpm"):
        running_film.film(shop, "marigold", given={"speed": "99999"})


@pytest.fixture
def own(tmp_path):
    found = open_shop(tmp_path / "own", person="Ines Vale")
    lay_demo(found)
    yield found
    found.logbook.close()


def said(shop, station, feature, text):
    commands.state(shop, "marigold", SizeStated(station=station, feature=feature, text=text))


def of_rod(shop, **given):
    return running_film.film(shop, "marigold", "metric", given={"bearing": "rod.1", **given})


def test_oil_as_stated_goes_before_the_guess_and_a_tried_grade_before_it(own):
    guessed = of_rod(own)
    assert guessed["oil"][0]["origin"] == "taken"
    said(own, "engine", "oil-grade", "20w50")
    stated = of_rod(own)
    assert (stated["grade"], stated["oil"][0]["origin"]) == ("20W-50", "stated")
    assert stated["bearings"][0]["least"]["value"] > guessed["bearings"][0]["least"]["value"]
    tried = of_rod(own, grade="0W-20")
    assert (tried["grade"], tried["oil"][0]["origin"]) == ("0W-20", "tried")
    assert tried["bearings"][0]["least"]["value"] < guessed["bearings"][0]["least"]["value"]


def test_viscosities_of_a_sheet_make_the_oil(own):
    """[D341] A3.1 of the references: 73.30 at 40 and 8.86 mm2/s at 100 degC give 15.18 at 80 and 5.742 at 120 degC."""
    said(own, "engine", "oil-viscosity-40", "73.30 cSt")
    alone = film_basis.Basis(running_film.running_model(own, "marigold").needed())
    assert alone.oil.origin == "taken"
    assert "One viscosity alone does not tell an oil" in alone.oil.notes[0]
    said(own, "engine", "oil-viscosity-100", "8.86 cSt")
    basis = film_basis.Basis(running_film.running_model(own, "marigold").needed())
    assert basis.oil.origin == "stated"
    assert [basis.oil.oil.line.kinematic(273.15 + t) * 1e6 for t in (80, 120)] == pytest.approx([15.18, 5.742], rel=1e-3)
    said(own, "engine", "oil-viscosity-a", "15.18 cSt")
    said(own, "engine", "oil-temperature-a", "80 °C")
    curve = film_basis.Basis(running_film.running_model(own, "marigold").needed())
    assert curve.oil.oil.line.kinematic(393.15) * 1e6 == pytest.approx(5.742, rel=1e-3)
    assert 0.02 < curve.oil.doubt < 0.04  # the sheet itself and fuel that nobody looked for


def test_what_cannot_be_an_oil_is_refused_with_the_reason(own):
    said(own, "engine", "oil-viscosity-40", "8 cSt")
    said(own, "engine", "oil-viscosity-100", "90 cSt")
    with pytest.raises(BadInput, match="viscosity of the oil: viscosities rise with temperature"):
        of_rod(own)
    said(own, "engine", "oil-viscosity-40", "90 cSt")
    said(own, "engine", "oil-viscosity-100", "14 cSt")
    said(own, "engine", "oil-high-shear", "30 mPa s")
    with pytest.raises(BadInput, match="oil: high_shear is 30 mPa s"):
        of_rod(own)


def test_hotter_oil_fuel_in_it_and_a_narrower_shell_leave_less(own):
    before = of_rod(own)["bearings"][0]["least"]["value"]
    for station, feature, text in (("engine", "oil-fuel", "5 %"), ("engine", "oil-hot", "130 °C"), ("rod.*", "shell-width", "0.60 in")):
        said(own, station, feature, text)
        after = of_rod(own)["bearings"][0]["least"]["value"]
        assert after < before, feature
        before = after


def test_finish_moves_the_ratio_and_not_the_film(own):
    before = of_rod(own)["bearings"][0]
    said(own, "pin.*", "journal-ra", "0.4 µm")
    said(own, "rod.*", "lining-ra", "0.3 µm")
    after = of_rod(own)["bearings"][0]
    assert after["least"]["value"] == pytest.approx(before["least"]["value"])
    # 0.5 um of mean roughness together, 1.2533 times as much root mean square
    assert after["ratio"] == pytest.approx(after["edge"]["value"] / (0.5 * 1.2533), rel=0.01)


def test_limits_follow_the_lining_and_the_house(own):
    usual = of_rod(own)["bearings"][0]
    assert {row["authority"] for row in usual["limits"]} == {"common practice"}
    said(own, "rod.*", "lining", "tin-base white metal")
    soft = of_rod(own)["bearings"][0]
    assert soft["lining_origin"] == "stated"
    load = next(row for row in soft["limits"] if row["name"] == "unit-load")
    assert (load["verdict"], load["limit"]) == ("out", "at most 14.0 MPa")
    commands.adopt_house_rules(own, '[film.lining."tin-base white metal"]\nunit-load = "60 MPa"\nsource = "ours"\n', "marigold")
    ours = next(row for row in of_rod(own)["bearings"][0]["limits"] if row["name"] == "unit-load")
    assert (ours["verdict"], ours["authority"], ours["source"]) == ("fits", "house rule", "ours")


def test_options_show_what_they_do(shop):
    plain, thick, leaning = (of_rod(shop, **given)["bearings"][0] for given in ({}, {"thickens": "yes"}, {"tilt": "0.5 µm"}))
    assert thick["least"]["value"] > plain["least"]["value"]
    without = next(row for row in thick["effects"] if row["what"] == "without pressure thickening the oil")
    assert without["film"]["value"] <= plain["least"]["value"] * 1.01
    lost = next(row for row in leaning["effects"] if row["what"] == "lost where the journal leans")
    assert 0.0 < lost["film"]["value"] < 0.26  # at most half of the lean, to the error of the grid
    assert leaning["edge"]["value"] < plain["edge"]["value"]


def test_a_further_speed_and_load_stand_first(shop):
    answer = of_rod(shop, speed="3000 rpm", load="shut")
    assert answer["ways"][0]["way"] == "3000 rpm, shut throttle"
    assert answer["bearings"][0]["running"][0]["way"] == answer["ways"][0]["way"]


def test_causes_of_doubt_add_up_and_a_worse_clearance_adds_to_them(answer):
    for row in answer["bearings"]:
        assert sum(cause["share"] for cause in row["causes"]) == pytest.approx(1.0, abs=0.01)
        assert row["least"]["standard_uncertainty"] >= 0.0999 * row["least"]["value"]


@pytest.fixture(scope="module")
def over_use(shop):
    told = []
    found = film_map.best_over_use(shop, "marigold", "metric", progress=lambda *done: told.append(done))
    return found, told


def test_the_map_covers_all_bearings_and_tells_how_far_it_is(over_use):
    found, told = over_use
    assert len(found["bearings"]) == 13
    assert found["points"] == 13 * 20 * 6 * 8
    assert told[-1][:2] == (13, 13)
    assert sum(row["share"] for row in found["shares"]) == pytest.approx(1.0, abs=1e-3)


def test_the_map_agrees_with_the_films_and_the_harmonic_mean_is_that_by_hand(answer, over_use):
    """The map thins its cycles; a film of it between its clearances lies within 3 % of the bearing's own."""
    found, _ = over_use
    shares = [row["share"] for row in found["shares"]]
    for row in found["bearings"]:
        own = next(one for one in answer["bearings"] if one["station"] == row["station"])
        films = [way["film"]["value"] for way in own["running"] if way["way"].endswith(", hot")]
        assert row["now"]["value"] == pytest.approx(1 / sum(s / f for s, f in zip(shares, films, strict=True)), rel=0.03)


def test_the_best_is_the_best_of_the_map_and_its_flat_lies_about_it(over_use):
    found, _ = over_use
    for row in found["bearings"]:
        top = max(max(line) for line in row["map"]["use"])
        assert row["best"]["film"]["value"] == pytest.approx(top, rel=1e-3)
        low, high = (one["value"] for one in row["best_now"]["flat"])
        assert low <= row["best_now"]["clearance"]["value"] <= high
        assert row["best_now"]["film"]["value"] >= row["now"]["value"] * 0.999
        assert row["best_now"]["film"]["value"] >= max(row["best_now"][way]["value"] for way in ("tenth_less", "tenth_more")) * 0.9999


def test_how_it_is_used_weighs_the_map(own):
    said(own, "engine", "share-idle", "1")
    idle = film_map.best_over_use(own, "marigold", "metric", given={"bearing": "rod.1"})
    assert idle["shares_by"] == "stated"
    assert [row["share"] for row in idle["shares"]] == [1.0, 0.0, 0.0, 0.0, 0.0]
    films = of_rod(own)["bearings"][0]["running"]
    hot = next(way for way in films if way["way"] == "idle, hot")
    assert idle["bearings"][0]["now"]["value"] == pytest.approx(hot["film"]["value"], rel=0.03)


def test_losses_of_all_bearings_are_those_of_the_bearings(shop, answer):
    """Where friction is told as a range, the loss for a pull lies within the sums of its ends."""
    model = running_film.running_model(shop, "marigold").needed()
    watts = film_bearings.bearing_losses(shop, model, [model.value("redline")])
    ways = [next(way for way in row["running"] if way["way"] == "highest speed, hot") for row in answer["bearings"]]
    low, high = (sum(float(way["power"]["text"].split()[k]) for way in ways) for k in (0, 2))
    assert low * 0.9 < watts[0] < high * 1.05
    with pytest.raises(BadInput, match="gas has 1 rows"):
        film_bearings.bearing_losses(shop, model, [100.0, 200.0], gas=np.zeros((1, 720)))


def test_best_is_told_on_the_command_line(shop):
    told = CliRunner().invoke(tenths, ["--shop", str(shop.folder), "film", "marigold", "--bearing", "main.4", "--best"])
    assert told.exit_code == 0, told.output
    assert "Film over the use, with 10W-40" in told.output
    assert "main.4" in told.output


SIZES = (("cyl.*", "bore", "86 mm"), ("pin.*", "stroke", "86 mm"), ("rod.*", "rod-length", "145 mm"), ("main.*", "journal", "58 mm"),
         ("main.*", "installed-bore", "58.05 mm"), ("pin.*", "journal", "48 mm"), ("rod.*", "installed-bore", "48.045 mm"))


@pytest.mark.parametrize(("layout", "bearings"), [
    ("single", 3), ("v-twin-45", 4), ("inline-5", 11), ("flat-6", 13), ("v6-60", 10), ("v8-90-flat-plane", 13), ("v12-60", 19)])
def test_any_layout_has_films_from_what_its_sheet_says_in_inch_and_metric(tmp_path, layout, bearings):
    shop = shop_in_memory(tmp_path)
    found = {}
    for units in ("inch", "metric"):
        engine = commands.open_engine(shop, name=f"Teal {units}", layout=layout, units=units)
        commands.state(shop, engine, *(SizeStated(station=s, feature=f, text=t) for s, f, t in SIZES))
        found[units] = running_film.film(shop, engine)
    assert len(found["inch"]["bearings"]) == len(found["metric"]["bearings"]) == bearings
    thin, same = (found[units]["bearings"][0] for units in ("inch", "metric"))
    assert thin["origin"] == "expected"
    assert thin["least"]["unit"] == "tenths"
    assert thin["least"]["value"] * 2.54 == pytest.approx(same["least"]["value"], rel=1e-3)
    assert thin["settled"]
