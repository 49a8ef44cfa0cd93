"""Shells drawn as they are chosen: every half stands where it goes, heavy where it is changed; small copies show what differs."""

import re
import xml.etree.ElementTree as ET

import pytest

from tenths.record.drawing.saddles import in_words, saddles_svg
from tenths.services.saddles import redrawn

SVG = "{http://www.w3.org/2000/svg}"


def half(name, size="std", **more):
    return {"id": name, "size": size, **more}


def place(number, upper, lower, **more):
    return {"station": f"main.{number}", "upper": upper, "lower": lower, "value": 0.0024, "standard_uncertainty": 0.0001,
            "smallest": 0.0018, "largest": 0.0030, "target": 0.0024, "unit": "in", "probability": 0.99, "text": "0.0024 in", **more}


BEST = {"places": [place(1, half("a1", stays=True), half("a2", stays=True)), place(2, half("b1", stays=True),
                                                                                            half("+1", "+1", sealed=True))],
        "boxes": [{"label": "+1", "count": 2}]}
OTHER = {"places": [place(1, half("a1", stays=True), half("a2", stays=True)), place(2, half("b1", stays=True), half("c9", "-1"))],
         "boxes": []}


def texts(svg):
    return [t.text for t in ET.fromstring(svg).iter(f"{SVG}text")]  # noqa: S314 - made by us


def halves(svg, kind):
    return re.findall(rf'<path class="dr-{kind}"[^>]*>', svg)


def test_every_size_name_and_box_is_written():
    written = texts(saddles_svg(BEST))
    assert written.count("std") == 3
    assert {"main 1", "main 2", "a1", "a2", "b1", "+1", "open 2", "0.0024 in"} <= set(written)


def test_what_is_changed_is_heavy_and_what_comes_out_of_a_box_is_dashed():
    svg = saddles_svg(BEST)
    assert len(halves(svg, "shell-light")) == 3
    (heavy,) = halves(svg, "reach-fill")
    assert "stroke-dasharray" in heavy
    assert not any("stroke-dasharray" in h for h in halves(svg, "shell-light"))


def test_a_small_copy_writes_the_size_only_where_it_differs():
    svg = saddles_svg(OTHER, against=BEST, small=True)
    assert [t for t in texts(svg) if t not in {"1", "2"}] == ["-1"]
    assert len(halves(svg, "reach-fill")) == 1


def test_a_row_that_is_long_goes_on_below():
    five = {"places": [place(n, half(f"u{n}"), half(f"l{n}")) for n in range(1, 6)], "boxes": []}
    one, two = (ET.fromstring(saddles_svg(five, across=n)) for n in (0, 3))  # noqa: S314 - made by us
    assert float(two.get("width")) == pytest.approx(float(one.get("width")) * 3 / 5)
    assert float(two.get("height")) == pytest.approx(float(one.get("height")) * 2)


def test_grooves_and_flanges_are_seen():
    plain = saddles_svg({"places": [place(1, half("u"), half("l"))], "boxes": []})
    special = saddles_svg({"places": [place(1, half("u", grooved=True), half("l", flanged=True))], "boxes": []})
    assert "dr-thin" not in plain
    assert "dr-outline-thin" not in plain
    assert special.count("dr-thin") == 1
    assert special.count("dr-outline-thin") == 1


def test_names_from_the_bench_cannot_break_the_drawing():
    svg = saddles_svg({"places": [place(1, half('<b>&"', "<10>"), {})], "boxes": [{"label": "<&>", "count": 1}]})
    assert {"<10>", '<b>&"', "<&>"} <= set(texts(svg))


def test_who_does_not_see_it_is_told_the_same():
    assert in_words(BEST) == ("main 1: upper std a1 stays, lower std a2 stays; main 2: upper std b1 stays, lower +1 from a sealed box; "
                              "open 2 of +1")


def test_a_drawing_that_was_kept_is_told_in_the_units_asked_for():
    kept = {"kind": "saddles", "options": [BEST]}
    assert redrawn(kept, "inch") == kept
    (first, _) = redrawn(kept, "metric")["options"][0]["places"]
    assert (first["unit"], first["text"]) == ("mm", "0.061 mm")  # 0.0024 in x 25.4, to the place that 0.2 thou allows
    assert first["largest"] == pytest.approx(0.0762)
    assert first["upper"] == half("a1", stays=True)
    assert redrawn({}, "metric") == {}
