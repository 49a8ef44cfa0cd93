"""The pages of parts, money, customer and history: served, forms post, what is wrong is named, and who may."""

import html
import json
import re

import pytest

from benches import Served


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("work")).client() as client:
        yield client


# -- history -----------------------------------------------------------------------------------------------------------

def test_the_history_offers_what_was_measured_and_shows_it_with_plots(ask):
    assert 'value="main-oil-clearance"' in ask.get("/history").text
    page = ask.get("/history?characteristic=main-oil-clearance&at=main.*&units=metric").text
    specs = json.loads(re.search(r'id="specs">(.*?)</script>', page)[1])
    told = ask.get("/api/history?characteristic=main-oil-clearance&at=main.*&units=metric").json()
    assert told["unit"] == "mm"
    assert [row["value"] for row in specs[0]["data"]["values"]] == [v["value"] for v in told["values"]]
    assert sum(row["count"] for row in specs[1]["data"]["values"]) == len(told["values"])
    picture = re.search(r'<noscript><img src="([^"]+)"', page)[1].replace("&amp;", "&")
    assert ask.get(picture).text.startswith("<svg")
    assert ask.get("/history/9.svg?characteristic=main-oil-clearance").status_code == 404


def test_the_history_says_what_it_does_not_know(ask):
    for query, said in (("characteristic=girth", "characteristic: 'girth' is not known"), ("size=3.5", "size: give the feature"),
                        ("characteristic=main-oil-clearance&engine=nobody", "engine: there is no 'nobody'"),
                        ("size=wide&feature=bore", "size: “wide” has")):
        answer = ask.get(f"/history?{query}")
        assert answer.status_code == 422, query
        assert said in html.unescape(answer.text), query


def test_engines_are_found_on_the_page(ask):
    page = ask.get("/history?part=nitrided").text
    assert 'href="/e/kestrel">Kestrel' in page
    assert 'href="/e/marigold">Marigold' not in page
    assert "No engine of this shop" in ask.get("/history?customer=nobody").text
