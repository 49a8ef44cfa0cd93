"""Form told from readings: by hand, and beside scipy and the definitions; the pictures say what the numbers say."""

import re

import numpy as np
import pytest
from scipy.stats import studentized_range

from hand import hand
from shops import shop_in_memory
from tenths.record.form_pictures import picture_of, written_signed
from tenths.services.demo import lay_demo
from tenths.services.forms import forms, mean_range, scatter_zone


@pytest.fixture
def one(tmp_path):
    return hand(shop_in_memory(tmp_path))


def only(one, station, **more):
    (row,) = forms(one.shop, one.engine, station=station, **more)
    return row


def test_the_line_of_the_mains_by_least_squares_and_by_the_narrowest_zone(one):
    heights = (0.0, 3.0, 0.0, -2.0)
    for n, tenths in enumerate(heights, 1):
        one.read(f"main.{n}", "line-height", f"{tenths / 1e4:.4f}")
    row = only(one, "block")
    slope, level = np.polyfit(range(4), heights, 1)
    away = np.array(heights) - (level + slope * np.arange(4))
    assert [p["deviation"] for p in row["points"]] == pytest.approx(list(away), abs=1e-6)
    assert row["least_squares"] == pytest.approx(float(np.ptp(away)))
    assert row["minimum"]["value"] == pytest.approx(3 + 2 / 3)
    assert [p["holds"] for p in row["points"]] == [True, True, False, True]
    # the zone's lower edge runs through the first and last point, its upper through the second
    (low, high) = row["band"]
    assert (low[0], low[1]) == pytest.approx((away[0], away[3]), abs=1e-6)
    assert high[0] - low[0] == pytest.approx(3 + 2 / 3)
    assert row["unit"] == "tenths"
    assert only(one, "block", units="metric")["minimum"]["value"] == pytest.approx((3 + 2 / 3) * 2.54)


def test_a_face_with_a_hump_and_a_tilt(one):
    places = {"front inner": 0, "front outer": 10, "rear inner": 20, "rear outer": 30, "middle centre": 25}
    for place, tenths in places.items():
        one.read("deck.A", "face-height", f"{tenths / 1e4:.4f}", place)
    row = only(one, "deck.A")
    # the corners lie on a plane that rises by 20 along and 10 across; the middle of it is 15, ten below the hump
    assert row["minimum"]["value"] == pytest.approx(10.0)
    # the hump pulls the least squares plane up by a fifth of itself, no more
    assert row["least_squares"] == pytest.approx(10.0)
    assert (row["tilt_along"], row["tilt_across"]) == pytest.approx((20.0, 10.0))


def test_a_bore_that_is_oval_tapered_and_barrelled(one):
    for height, base in (("top", 0), ("middle", 5), ("bottom", -2)):
        for axis, more in (("thrust", 4), ("pin", 0)):
            one.read("cyl.1", "bore", f"{4 + (base + more) / 1e4:.4f}", f"{height} {axis}")
    row = only(one, "cyl.1")
    assert [s["out_of_round"]["value"] for s in row["sections"]] == pytest.approx([4, 4, 4])
    # half of the difference of two diameters at right angles is the radial zone, either way it is fitted [ISO 1101]
    assert [s["radial_minimum"] for s in row["sections"]] == pytest.approx([2, 2, 2])
    assert [s["radial_least_squares"] for s in row["sections"]] == pytest.approx([2, 2, 2])
    assert row["taper"]["value"] == pytest.approx(2.0)
    assert row["taper"]["standard_uncertainty"] == pytest.approx(1.0)  # four readings of one tenth, halved: sqrt(4) / 2
    assert row["barrel"]["value"] == pytest.approx(6.0)  # the middle, 5, over the line from 0 to -2
    # means of two readings of one tenth: variance 1/2 each, weights 1, 1/2 and 1/2
    assert row["barrel"]["standard_uncertainty"] == pytest.approx(0.75**0.5)
    assert "larger at the top" in row["statement"]


def test_too_little_is_no_form(one):
    one.read("cyl.1", "bore", "4.0000", "top thrust")
    one.read("main.1", "line-height", "0.0001")
    assert forms(one.shop, one.engine) == []


@pytest.mark.parametrize("count", [2, 3, 5, 9, 15])
def test_the_mean_range_of_a_sample(count):
    grid = np.linspace(0, 12, 4001)
    expected = np.trapezoid(1 - studentized_range.cdf(grid, count, np.inf), grid)
    assert mean_range(count) == pytest.approx(expected, rel=2e-4)


def test_what_scatter_makes_of_a_straight_line_by_trial():
    rng = np.random.default_rng(4)
    x = np.arange(7)
    table = np.c_[np.ones(7), x]
    away = (np.eye(7) - table @ np.linalg.pinv(table)) @ rng.normal(size=(7, 20000))
    # the rule takes all points as equally loose about the line; the trial has some six per cent more, and the page says "about"
    assert scatter_zone(1.0, 7, 2) == pytest.approx(float(np.ptp(away, axis=0).mean()), rel=0.08)


def test_every_form_of_the_demo_is_drawn_with_its_scale(tmp_path):
    shop = shop_in_memory(tmp_path)
    lay_demo(shop)
    rows = [row for engine in ("marigold", "kestrel") for row in forms(shop, engine)]
    assert {row["form"] for row in rows} == {"line", "plane", "round"}
    for row in rows:
        svg = picture_of(row)
        assert "nan" not in svg
        numbers = [float(n) for n in re.findall(r'c[xy]="(-?[\d.]+)"', svg)]
        assert all(0 <= n <= 460 for n in numbers), row["station"]
        assert row["unit"] in svg
        values = [p["deviation"] for p in row["points"]] if row["form"] == "plane" else [
            d["deviation"] for s in row["sections"] for d in s["diameters"]]
        assert all(written_signed(value) in svg for value in values)
