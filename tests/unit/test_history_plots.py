"""Plots of the history as the plotting library (not ours) lays them out."""

from statistics import fmean

import pytest

from tenths.record.history_plots import PAGE, history_specs
from tenths.work.history import spread_of

vl_convert = pytest.importorskip("vl_convert")
DAYS = ("2021-05-01T10:00:00.000Z", "2022-05-01T10:00:00.000Z", "2023-05-01T10:00:00.000Z", "2025-05-01T10:00:00.000Z")
VALUES = (1.0, 2.0, 4.0, 5.0)


def answer(*, picks=("", "", "", ""), trend=True):
    rows = [{"at": at, "value": v, "interval": 0.25, "verdict": "fits", "text": f"{v} mm", "name": "Heron", "station_words": "main 1",
             "pick": pick} for at, v, pick in zip(DAYS, VALUES, picks, strict=True)]
    spread = spread_of(VALUES)
    line = {"begin": 1.0, "end": 5.0, "text": "+1.0 ± 0.1 mm per year"} if trend else None
    chosen = [{"pick": p, "mean": fmean(v for v, q in zip(VALUES, picks, strict=True) if q == p)} for p in dict.fromkeys(picks)]
    return {"words": "gap", "unit": "mm", "values": rows, "engines": 1, "trend": line, "choices": chosen if any(picks) else [],
            "spread": {"count": 4, "quarters": list(spread.quarters), "bins": [list(b) for b in spread.bins], "text": {"half": "3 mm"}}}


def items(spec, kind):
    """Marks of one kind in the library's own scene."""
    scene = vl_convert.vegalite_to_scenegraph(spec | {"width": 400, "autosize": {"type": "pad"}}, vl_version="6.4")
    found = []

    def walk(node):
        for item in node.get("items", []):
            if item.get("marktype") == kind and item.get("role") == "mark":
                found.append(item["items"])
            walk(item)

    walk(scene["scenegraph"])
    return found


def test_values_lie_on_their_days_and_the_line_goes_through_its_ends():
    over_time = history_specs(answer())[0]
    (points,) = items(over_time, "symbol")
    xs, ys = [p["x"] for p in points], [p["y"] for p in points]
    assert (xs[2] - xs[0]) / (xs[1] - xs[0]) == pytest.approx(2.0, abs=0.01)  # 730 days beside 365
    assert (xs[3] - xs[0]) / (xs[1] - xs[0]) == pytest.approx(1461 / 365, abs=0.01)
    assert (ys[0] - ys[2]) / (ys[0] - ys[1]) == pytest.approx(3.0, abs=0.01)
    (line,) = items(over_time, "line")
    assert [(p["x"], p["y"]) for p in line] == [pytest.approx((xs[0], ys[0]), abs=0.01), pytest.approx((xs[3], ys[3]), abs=0.01)]
    assert items(history_specs(answer(trend=False))[0], "line") == []


def test_bars_of_the_distribution_are_as_high_as_there_are_values():
    bars = items(history_specs(answer())[1], "rect")[0]
    heights = [bar["height"] for bar in bars]
    assert len(heights) == 2  # the root of four
    assert heights[0] == pytest.approx(heights[1])  # two each
    assert all(bar["width"] > 50 for bar in bars)


def test_the_bar_at_the_foot_holds_the_middle_half():
    spec = history_specs(answer())[1]
    left, right = (bar["x"] for bar in items(spec, "rect")[0])
    wide = right - left  # of half the range, 2 of 4
    (foot,) = items(spec, "rule")[0]
    assert sorted((foot["x"], foot["x2"])) == pytest.approx([left + 0.75 / 2 * wide, left + 3.25 / 2 * wide], abs=0.1)  # 1.75 to 4.25
    assert foot["y"] == pytest.approx(max(bar["y"] + bar["height"] for bar in items(spec, "rect")[0]), abs=0.1)


def test_what_was_chosen_stands_apart_with_its_mean_amid_its_values():
    assert len(history_specs(answer())) == 2
    spec = history_specs(answer(picks=("plain", "plain", "filed", "filed")))[2]
    (points,) = items(spec, "symbol")
    means = items(spec, "rect")[0]
    assert max(p["x"] for p in points[:2]) < min(p["x"] for p in points[2:])
    for mean, two in zip(means, (points[:2], points[2:]), strict=True):
        assert mean["y"] + mean["height"] / 2 == pytest.approx(sum(p["y"] for p in two) / 2, abs=0.6)


def test_nothing_measured_draws_nothing():
    assert history_specs(answer() | {"values": []}, PAGE) == []
