"""The place Running: every view of both demo engines and of engines of which nothing is known; entering there."""

import json
import re

import pytest

from benches import Served, entry
from tenths.logbook import bodies
from tenths.services import commands

VIEWS = ("forces", "loads", "balance", "torsion", "tightening", "clearances")


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    return Served(tmp_path_factory.mktemp("shop"))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("engine", ["kestrel", "marigold"])
def test_a_view_is_readable_without_javascript(served, engine, view):
    with served.client() as client:
        answer = client.get(f"/e/{engine}/running/{view}")
        assert answer.status_code == 200
        text = answer.text
        assert 'aria-current="page">' in text
        assert "undefined" not in text
        plots = re.findall(r'<noscript><img src="([^"]+)" alt="([^"]+)"', text)
        specs = json.loads(re.search(r'id="specs">(.*?)</script>', text, re.DOTALL)[1])
        assert len(plots) == len(specs)
        for address, words in plots[:2]:
            picture = client.get(address)
            assert picture.headers["content-type"] == "image/svg+xml"
            assert words
            assert "<path" in picture.text


def test_what_each_view_says_of_the_demo(served):
    with served.client() as client:
        said = {view: client.get(f"/e/kestrel/running/{view}").text for view in VIEWS}
    assert "from the layout" in said["forces"]
    assert "crankpin 4" in said["loads"]
    assert "lightest" in said["balance"]
    assert "heavy at 217 deg" in said["balance"]
    assert "Critical speeds" in said["torsion"]
    assert "grown by 0.027 mm: throw it away" in said["tightening"]
    assert re.search(r'<svg[^>]*aria-label="main cap bolts, front to the left; order of tightening: main.3 1', said["tightening"])
    assert "head of the rod bolt to pan rail" in said["clearances"]


@pytest.mark.parametrize("layout", ["single", "v6-60", "flat-6", "v12-60",
                                    "inline 5, throws 0 144 216 288 72, firing 1-2-4-5-3, turns anticlockwise"])
def test_any_layout_has_its_views_as_soon_as_bore_stroke_and_rod_are_known(tmp_path, layout):
    served = Served(tmp_path)
    engine = commands.open_engine(served.shop, name="Teal", layout=layout, units="metric")
    with served.client() as client:
        before = client.get(f"/e/{engine}/running/loads")
        assert before.status_code == 200
        assert "must be read or stated first" in before.text
        commands.state(served.shop, engine, *(bodies.SizeStated(station=s, feature=f, text=t) for s, f, t in (
            ("cyl.*", "bore", "80"), ("pin.*", "stroke", "80"), ("rod.*", "rod-length", "140"))))
        for view in VIEWS:
            answer = client.get(f"/e/{engine}/running/{view}")
            assert answer.status_code == 200
            assert "must be read" not in answer.text, view
        assert "guessed" in client.get(f"/e/{engine}/running/forces").text


def test_what_is_not_there_is_404(served):
    with served.client() as client:
        assert client.get("/e/kestrel/running/luck").status_code == 404
        assert client.get("/e/kestrel/running/forces/9.svg").status_code == 404
        assert client.get("/e/kestrel/running/luck/1.svg").status_code == 404
        assert client.get("/e/nobody/running").status_code == 404


def test_a_tick_that_a_device_sends_stands_on_the_page(tmp_path):
    served = Served(tmp_path)
    with served.client() as client:
        body = {"joint": "flywheel", "station": "crank", "number": 3, "what": "tightened"}
        taken = client.post("/api/engines/kestrel/entries", json=[entry(1, "fastener.ticked", body)]).json()
        assert taken[0]["state"] == "saved"
        refused = client.post("/api/engines/kestrel/entries", json=[entry(2, "fastener.ticked", body | {"number": 9})]).json()
        assert (refused[0]["state"], "it has 1 to 8" in refused[0]["why"]) == ("refused", True)
        joints = client.get("/api/engines/kestrel/tightening").json()["joints"]
        states = {f["number"]: f["state"] for f in next(j for j in joints if j["joint"] == "flywheel")["fasteners"]}
        assert states[3] == "tightened"
        assert "flywheel bolts, crank number 3: checked" in client.get("/e/kestrel/running/tightening").text
