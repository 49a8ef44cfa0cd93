"""The film's page without a script: it comes at once, its line tells how far it is, plots follow the options of the address."""

import json
import re

import pytest

from benches import Served
from tenths.logbook import bodies
from tenths.services import commands


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    return Served(tmp_path_factory.mktemp("shop"))


def test_the_page_comes_at_once_then_its_films_then_its_map(served):
    with served.client() as client:
        first = client.get("/e/kestrel/running/film?grade=30").text
        assert 'data-run="/e/kestrel/running/film/run/films?grade=30"' in first
        lines = [json.loads(line) for line in client.get("/e/kestrel/running/film/run/films?grade=30").text.splitlines()]
        assert [line["done"] for line in lines[:-1]] == list(range(1, 14))
        assert lines[-1] == {"there": "films"}
        films = client.get("/e/kestrel/running/film?grade=30").text
        assert "Thinnest film with 30" in films
        assert 'data-run="/e/kestrel/running/film/run/map?grade=30"' in films
        lines = [json.loads(line) for line in client.get("/e/kestrel/running/film/run/map?grade=30").text.splitlines()]
        assert (lines[-2]["done"], lines[-1]) == (13, {"there": "map"})
        whole = client.get("/e/kestrel/running/film?grade=30&bearing=main.2").text
        assert "Over the intended use, common practice for circuit" in whole
        assert "<h2>Main 2</h2>" in whole
        assert "lead-bronze with overlay" in whole.lower()


def test_plots_follow_the_options(served):
    with served.client() as client:
        page = client.get("/e/kestrel/running/film?grade=30&bearing=main.2").text
        plots = re.findall(r'<noscript><img src="([^"]+)" alt="([^"]+)"', page)
        assert len(plots) == 7
        assert all(address.endswith(".svg?grade=30&amp;bearing=main.2") or "bearing=main.2" in address for address, _ in plots)
        for address, words in (plots[1], plots[4]):
            picture = client.get(address.replace("&amp;", "&"))
            assert picture.headers["content-type"] == "image/svg+xml"
            assert "<path" in picture.text
            assert "main 2" in words
        assert client.get("/e/kestrel/running/film/99.svg").status_code == 404


def test_what_cannot_be_tried_is_said_over_the_films(served):
    with served.client() as client:
        client.get("/e/kestrel/running/film/run/films")
        said = client.get("/e/kestrel/running/film?bearing=main.77&grade=30").text
        assert "Bearing: &#39;main.77&#39; has no known oil clearance" in said
        assert "Thinnest film with" in said
        lines = client.get("/e/kestrel/running/film/run/films?grade=treacle").text.splitlines()
        assert "is accepted" in json.loads(lines[-1])["wrong"]


def test_an_engine_of_which_little_is_known_says_what_it_needs(served):
    engine = commands.open_engine(served.shop, name="Teal", layout="inline-4", units="metric")
    with served.client() as client:
        assert "must be read or stated first" in client.get(f"/e/{engine}/running/film").text
        commands.state(served.shop, engine, *(bodies.SizeStated(station=s, feature=f, text=t) for s, f, t in (
            ("cyl.*", "bore", "80"), ("pin.*", "stroke", "80"), ("rod.*", "rod-length", "140"))))
        lines = client.get(f"/e/{engine}/running/film/run/films").text.splitlines()
        assert "no oil clearance of a main or rod is known yet" in json.loads(lines[-1])["wrong"]
