"""The crank at an angle, as pages and API tell it; expected values by hand from the triangle of crank and rod."""

import re
from math import cos, radians, sin, sqrt

import pytest

from benches import Served

STROKE, ROD = 3.625 * 0.0254, 6.2 * 0.0254  # of the demo's inline six, by its sheet
ORDER = ["1", "5", "3", "6", "2", "4"]  # its firing order: every 120 degrees


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("turned")).client() as client:
        yield client


def below_top(after):
    """By the cosine rule, for a pin without offset [m]."""
    a = radians(after)
    return STROKE / 2 + ROD - STROKE / 2 * cos(a) - sqrt(ROD**2 - (STROKE / 2 * sin(a)) ** 2)


@pytest.mark.parametrize("crank", [0.0, 37.0, 260.0, 719.0])
def test_each_piston_stands_where_its_firing_angle_says(ask, crank):
    told = ask.get(f"/api/engines/marigold/turned?crank={crank}").json()
    assert told["crank"] == crank
    for row in told["cylinders"]:
        fires = 120.0 * ORDER.index(row["cylinder"])
        assert row["fires"] == pytest.approx(fires)
        assert row["depth"] == pytest.approx(below_top(crank - fires) + row["deck_clearance"], abs=1e-9)
        assert row["stroke"] == ["power", "exhaust", "intake", "compression"][int((crank - fires) % 720 // 180)]


def test_the_least_squish_stands_at_the_top_of_its_cylinder(ask):
    told = ask.get("/api/engines/marigold/turned").json()
    squish = next(row for row in told["least"] if row["words"] == "squish clearance")
    found = {f["station"]: f["value"] for f in ask.get("/api/engines/marigold/findings?only=squish-clearance").json()}
    assert found[squish["station"]] == min(found.values())
    fires = 120.0 * ORDER.index(squish["station"].removeprefix("cyl."))
    assert squish["angles"] == pytest.approx(sorted({fires % 720, (fires + 360) % 720}))


def test_without_javascript_the_angles_are_links_and_the_drawing_comes_turned(ask):
    page = ask.get("/e/marigold/drawing?view=end").text
    links = re.findall(r'href="\?view=end&amp;crank=(\d+)"', page)
    assert {"120", "240", "360", "480", "600"} <= set(links)
    turned = ask.get("/e/marigold/drawing?view=end&crank=120").text
    assert 'data-crank="120"' in turned
    assert "rotate(120.000)" in turned
    assert ask.get("/e/marigold/drawing?crank=round").status_code == 422


def test_a_phone_gets_a_drawing_whose_marks_can_be_touched(ask):
    widths: list[float] = []
    for agent in ("Mozilla/5.0 (Linux; Android 14) Mobile Safari/537.36", "Mozilla/5.0 (X11; Linux x86_64)"):
        page = ask.get("/e/marigold/drawing", headers={"User-Agent": agent}).text
        widths.append(float(re.search(r'class="dr"[^>]* width="([\d.]+)"', page)[1]))
    assert widths[0] <= 470.0 < widths[1]
