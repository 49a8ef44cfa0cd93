"""The pictures of what lies ahead: bars as high as their shares, on their days; blocks as long as their hours, in their lanes."""

import xml.etree.ElementTree as ET

import pytest

from tenths.record.plan_pictures import finish_svg, finish_words, plan_svg

SVG = "{http://www.w3.org/2000/svg}"
SPREAD = [{"day": "2026-05-01", "share": 0.1}, {"day": "2026-05-04", "share": 0.5}, {"day": "2026-05-06", "share": 0.4}]


def rects(svg, name):
    return [{k: float(r.get(k)) for k in ("x", "y", "width", "height")}
            for r in ET.fromstring(svg).iter(f"{SVG}rect")  # noqa: S314 - made by us
            if name in (r.get("class") or "").split()]


def test_bars_stand_on_their_days_and_are_as_high_as_their_shares():
    bars = rects(finish_svg(SPREAD), "fin-bar")
    assert [b["height"] / bars[1]["height"] for b in bars] == pytest.approx([0.2, 1.0, 0.8])
    assert {round(b["y"] + b["height"], 6) for b in bars} == {round(bars[0]["y"] + bars[0]["height"], 6)}
    between = [b["x"] - bars[0]["x"] for b in bars]  # a Friday, the Monday and the Wednesday after it: 3 and 5 days
    assert between[2] / between[1] == pytest.approx(5 / 3, abs=0.01)


def test_the_sentence_tells_the_days_by_which_a_tenth_half_and_nine_tenths_are_done():
    assert finish_words(SPREAD, "2026-05-05") == (
        "Done by 1 May 2026 in one of ten cases, by 4 May 2026 in half of them, by 6 May 2026 in nine of ten; promised for 5 May 2026")


def test_what_would_be_is_drawn_on_the_same_days_and_scale():
    svg = finish_svg(SPREAD, instead=[{"day": "2026-05-06", "share": 1.0}])
    (outline,), bars = rects(svg, "fin-instead"), rects(svg, "fin-bar")
    assert outline["x"] == bars[2]["x"]
    assert outline["height"] / bars[2]["height"] == pytest.approx(1.0 / 0.4, abs=0.01)


ROWS = [{"engine": "a", "person": "Ines", "place": "hone", "start": 0.0, "end": 4.0, "words": "Hone <1>"},
        {"engine": "b", "person": "Tom", "place": "", "start": 0.0, "end": 6.0, "words": "Measure"},
        {"engine": "b", "person": "Ines", "place": "hone", "start": 4.0, "end": 10.0, "words": "Hone"}]


def test_blocks_are_as_long_as_their_hours_and_one_at_a_place_stands_in_both_lanes():
    svg = plan_svg(ROWS, people=["Ines", "Tom"], engines=["a", "b"], days=[(0.0, "2026-05-04"), (8.0, "2026-05-05")])
    blocks = rects(svg, "plan-block")
    assert len(blocks) == 5  # two at the hone stand in two lanes
    lanes = {}
    for b in blocks:
        lanes.setdefault(b["y"], []).append((b["x"], b["x"] + b["width"]))
    assert sorted(len(row) for row in lanes.values()) == [1, 2, 2]
    hour = blocks[0]["width"] / 4
    assert sorted(b["width"] / hour for b in blocks) == pytest.approx([4, 4, 6, 6, 6])
    for row in lanes.values():
        assert all(end <= begin + 1e-6 for (_, end), (begin, _) in zip(sorted(row), sorted(row)[1:], strict=False))
    titles = [t.text for t in ET.fromstring(svg).iter(f"{SVG}title")]  # noqa: S314 - made by us
    assert titles == ["1: Hone <1>", "1: Hone <1>", "2: Measure", "3: Hone", "3: Hone"]
