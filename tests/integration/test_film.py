"""The oil film of a demo engine, from its own readings to answers, command line and page."""

import json
import math

import pytest
from click.testing import CliRunner

from tenths.calc.film import mobility
from tenths.calc.film.grades import middle_oil
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.services import running_film
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
        assert len(row["running"]) == len(answer["ways"]) == 7
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
    place = next(p for p in running_film.places(shop, model) if p.station == "rod.1")
    way = running_film.WAYS[1]
    of = running_film.cycle_of(model, (way.part * model.value("redline"),), open_=False)
    one = running_film.borne(model, "rod.1", of)[0]
    ran = running_film.cycle.running(place.bearing, one, middle_oil("10W-40"), inlet=way.inlet)
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
    with pytest.raises(BadInput, match=r"station: 'main\.99' has no known oil clearance"):
        running_film.orbits(shop, "marigold", station="main.99")
