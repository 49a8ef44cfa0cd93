"""Plots as the plotting library (not ours) lays them out: every mark where a straight scale puts it."""

from itertools import pairwise

import pytest

from tenths.record.plots import PAGE, PRINT, SHAPES, alike, over_places, plot_svg

vl_convert = pytest.importorskip("vl_convert")
HEIGHT = 400


def row(number, value, verdict="fits", *, interval=0.2, lower=1.0, upper=3.0, target=2.0, station="main", words="oil clearance"):
    text = {"value": f"{value} mm", "interval": f"{interval} mm"}
    return {"station": f"{station}.{number}", "station_words": f"{station} {number}", "words": words, "unit": "mm", "value": value,
            "interval": interval, "lower": lower, "upper": upper, "target": target, "verdict": verdict, "text": text}


ROWS = [row(1, 1.5), row(2, 2.9, "too close to call"), row(3, 3.4, "out"), row(4, None, "not measured", interval=None)]


def marks(spec):
    """Items of the plot by the kind of mark: the library's own scene."""
    scene = vl_convert.vegalite_to_scenegraph(spec | {"width": 400}, vl_version="6.4")
    found = {}

    def walk(node, kind=""):
        for item in node.get("items", []):
            if "marktype" in item:
                if item.get("role") == "mark":
                    found.setdefault(item["marktype"], []).append(item["items"])
                if item["marktype"] == "group":
                    walk(item, kind)
            else:
                walk(item, kind)

    walk(scene["scenegraph"])
    return found


def place(value, low, high):
    return HEIGHT * (high - value) / (high - low)


@pytest.fixture(scope="module")
def laid():
    spec = over_places(ROWS, height=HEIGHT)
    low, high = spec["encoding"]["y"]["scale"]["domain"]
    return spec, low, high, marks(spec | {"autosize": {"type": "pad"}})


def test_values_stand_where_a_straight_scale_puts_them(laid):
    _, low, high, found = laid
    points = [item for group in found["symbol"] for item in group]
    assert [item["y"] for item in points] == pytest.approx([place(v, low, high) for v in (1.5, 2.9, 3.4)], abs=0.01)
    assert [item["shape"] for item in points] == [SHAPES["fits"], SHAPES["too close to call"], SHAPES["out"]]


def test_places_stand_in_order_and_evenly_also_where_nothing_was_read(laid):
    _, _, _, found = laid
    xs = [item["x"] for group in found["symbol"] for item in group]
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([100.0, 100.0], abs=0.01)
    assert xs[0] == pytest.approx(50.0, abs=0.01)


def test_the_interval_reaches_as_far_either_way_as_it_says(laid):
    _, low, high, found = laid
    ends = [sorted((item["y"], item["y2"])) for group in found["rule"] for item in group]
    assert ends == [pytest.approx([place(v + 0.2, low, high), place(v - 0.2, low, high)], abs=0.01) for v in (1.5, 2.9, 3.4)]


def test_the_band_reaches_from_limit_to_limit(laid):
    _, low, high, found = laid
    band = found["rect"][0]
    assert len(band) == len(ROWS)
    for item in band:
        assert [item["y"], item["y"] + item["height"]] == pytest.approx([place(3.0, low, high), place(1.0, low, high)], abs=0.01)


def test_where_only_one_limit_stands_the_band_goes_on_to_the_edge():
    spec = over_places([row(1, 0.4, lower=None, target=None), row(2, 0.5, lower=None, target=None)], height=HEIGHT)
    low, high = spec["encoding"]["y"]["scale"]["domain"]
    found = marks(spec | {"autosize": {"type": "pad"}})
    assert low < 0.2
    assert [found["rect"][0][0]["y"], found["rect"][0][0]["y"] + found["rect"][0][0]["height"]] == pytest.approx(
        [place(3.0, low, high), HEIGHT], abs=0.01)


def test_what_the_parts_foretell_stands_beside_what_was_read():
    predicted = [row(n, v, interval=0.5, words="oil clearance, predicted") for n, v in ((1, 1.7), (3, 3.0))]
    spec = over_places(ROWS, predicted=predicted, height=HEIGHT)
    low, high = spec["encoding"]["y"]["scale"]["domain"]
    rects = [item for group in marks(spec | {"autosize": {"type": "pad"}})["rect"] for item in group]
    bars = [item for item in rects if item["height"] > 5 and item["width"] < 50]
    assert [(b["y"], b["y"] + b["height"]) for b in bars] == [
        pytest.approx((place(v + 0.5, low, high), place(v - 0.5, low, high)), abs=0.01) for v in (1.7, 3.0)]


def test_rings_of_one_kind_share_a_plot():
    rings = [row(n, 0.4, station=f"{kind} ring") for n in (1, 2) for kind in ("top", "second")]
    assert [[r["station_words"] for r in group] for group in alike(rings)] == [
        ["top ring 1", "top ring 2"], ["second ring 1", "second ring 2"]]


def test_one_specification_prints_and_is_handed_to_the_page():
    printed, page = over_places(ROWS, PRINT), over_places(ROWS, PAGE)
    assert "var(--v-out" in str(page)
    assert "var(--" not in str(printed)
    assert printed["data"] == page["data"]
    assert printed["encoding"]["y"]["scale"] == page["encoding"]["y"]["scale"]
    svg = plot_svg(printed)
    assert svg.startswith("<svg")
    assert "oil clearance at 3 places" in printed["description"]
