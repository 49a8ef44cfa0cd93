"""The view Cam: empty, while degreeing, and with lobes; its two answers in the API."""

import json
import re
from math import radians

import msgspec
import pytest

from benches import Served
from tenths.bench import lobe_shapes
from tenths.calc.valves import profiles
from tenths.logbook import bodies
from tenths.record.report import record_pdf
from tenths.record.report_running import running

TRUE = profiles.card_lobe(lift=0.0089, lifts=[0.00015, 0.00127], durations=[radians(272), radians(226)])


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    return Served(tmp_path_factory.mktemp("shop"))


def read(station, centre):
    return bodies.LobeRead(station=station, points=tuple(
        bodies.LobePoint(angle=f"{a + centre:.2f}", lift=f"{float(TRUE.lift(radians(a))) * 1e3:.4f} mm") for a in range(-144, 145, 4)))


def test_the_view_tells_how_to_begin_and_then_what_was_read(served):
    with served.client() as client:
        text = client.get("/e/marigold/running/cam").text
        assert "Find top dead centre" in text
        assert 'data-entry="wheel.zeroed"' in text
        assert "undefined" not in text
        zero = bodies.WheelZeroed(cylinder="1", before=("-30", "-40", "-50"), after=("30", "40", "50"), way="heights")
        card = bodies.CamCarded(intake_lift="8.9 mm", intake_durations=("226 @ 1.27 mm",), intake_centre="106")
        served.shop.append("marigold", zero, card,
                           read("lobe.1.in", 110), read("lobe.1.ex", -112))
        text = client.get("/e/marigold/running/cam?lobe=lobe.1.ex").text
        assert "lobe 1 in" in text
        assert "Timing by cylinder" in text
        plots = re.findall(r'<noscript><img src="([^"]+)" alt="([^"]+)"', text)
        specs = json.loads(re.search(r'id="specs">(.*?)</script>', text, re.DOTALL)[1])
        assert len(plots) == len(specs) == 4
        assert all("lobe 1 ex" in words for _, words in plots)
        assert "<path" in client.get(plots[0][0]).text
        assert 'class="wheel"' in text
        assert "centre at 248.0 degrees" in text  # 112 before top dead centre, as the wheel reads it


def test_the_answers_keep_to_their_shapes(served):
    with served.client() as client:
        for path, shape in (("lobes", lobe_shapes.Lobes), ("degreeing", lobe_shapes.Degreeing)):
            for units in ("inch", "metric"):
                answer = client.get(f"/api/engines/marigold/{path}?units={units}")
                assert answer.status_code == 200
                assert msgspec.convert(answer.json(), type=shape).units == units
        assert client.get("/api/engines/marigold/lobes?check=9").status_code in {400, 422}
        assert client.get("/api/engines/marigold/degreeing?lobe=lobe.99.in").status_code in {400, 422}


def test_the_record_shows_what_was_read(served):
    told, files = running(served.shop, "marigold", "metric")
    assert [row[0] for row in told["cam"]["rows"]] == ["lobe 1 in", "lobe 1 ex"]
    assert told["cam"]["rows"][0][1].startswith("110.0")
    assert {plot["file"] for plot in told["cam"]["plots"]} <= set(files)
    assert record_pdf(served.shop, "marigold").startswith(b"%PDF")
