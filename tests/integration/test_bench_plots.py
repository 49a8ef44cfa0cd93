"""Pages of plots: every size that stands at several places has one; what is not there is said."""

import json
import re

import pytest

from benches import Served


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("plots")).client() as client:
        yield client


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_each_plotted_size_has_a_page_with_its_numbers_below(ask, engine):
    first = ask.get(f"/e/{engine}/plots")
    assert first.status_code == 303
    page = ask.get(first.headers["location"]).text
    names = set(re.findall(rf'href="/e/{engine}/plot/([a-z-]+)"', page))
    assert len(names) > 10
    for name in names:
        answer = ask.get(f"/e/{engine}/plot/{name}")
        assert answer.status_code == 200
        specs = json.loads(re.search(r'id="specs">(.*?)</script>', answer.text)[1])
        assert len(specs) == answer.text.count('class="plotted"')
        assert sum(len(s["data"]["values"]) for s in specs) == answer.text.count('class="find"')


def test_without_javascript_the_plot_is_a_picture(ask):
    page = ask.get("/e/marigold/plot/main-oil-clearance").text
    picture = re.search(r'<noscript><img src="([^"]+)" alt="([^"]+)"', page)
    assert "main oil clearance at 7 places" in picture[2]
    answer = ask.get(picture[1])
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.startswith("<svg")
    assert ask.get("/e/marigold/plot/main-oil-clearance/2.svg").status_code == 404


def test_what_is_not_known_has_no_plot(ask):
    assert ask.get("/e/marigold/plot/crank-end-play").status_code == 404
    assert ask.get("/e/marigold/plot/luck").status_code == 404
    assert ask.get("/e/marigold/plot/deck-spread").status_code == 200


def test_the_script_for_plots_is_named_by_no_page(ask):
    for path in ("/", "/e/marigold/drawing", "/e/marigold/tray", "/e/marigold/record", "/e/marigold/plot/main-oil-clearance"):
        assert 'src="/plots.js"' not in ask.get(path).text
