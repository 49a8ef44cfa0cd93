"""Drawings against closed forms and the layout: expected values come from the slider-crank triangle, by hand here."""

import re
import xml.etree.ElementTree as ET
from collections import Counter
from math import cos, radians, sin, sqrt

import pytest

from tenths.engine.describe import layout_from_text, presets
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.record.drawing import draw

SIZES = {"bore": 0.1, "stroke": 0.08, "rod-length": 0.14, "compression-height": 0.035, "deck-height": 0.215}
VIEWS = ("side", "end", "plan")


def heights(svg):
    """Height of each piston pin over the crank centre line along the bore [m], read off the drawing."""
    root = ET.fromstring(svg)  # noqa: S314 - made by us
    k = float(root.get("data-scale"))
    found = {}
    for g in root.iter("{http://www.w3.org/2000/svg}g"):
        if g.get("data-move") == "piston" and "dr-piston" in (g.get("class") or ""):
            found[g.get("data-of")] = abs(float(re.match(r"translate\(\S+ (\S+?)\)", g.get("transform"))[1])) / k
    return found, 0.006 / k


@pytest.mark.parametrize("name", sorted(presets()))
@pytest.mark.parametrize("turns", ["clockwise", "anticlockwise"])
@pytest.mark.parametrize("crank", [0.0, 37.0, 90.0, 211.0, 500.0])
def test_pistons_stand_where_the_slider_crank_puts_them(name, turns, crank):
    layout = layout_from_text(f"{name}, turns {turns}") if turns == "clockwise" else layout_from_text(name)
    if turns == "anticlockwise":
        try:
            layout = layout_from_text(f"{name}, turns anticlockwise")
        except BadInput:
            pytest.skip("this crank cannot fire that order the other way")
    r, long, seen = 0.04, 0.14, 0
    for view in VIEWS:
        found, slack = heights(draw(layout, SIZES, view=view, crank_angle=crank))
        for label, height in found.items():
            a = radians(crank - layout.top_dead_centre(label))
            assert height == pytest.approx(r * cos(a) + sqrt(long**2 - (r * sin(a)) ** 2), abs=slack)
            seen += 1
    assert seen


@pytest.mark.parametrize("name", sorted(presets()))
def test_at_its_own_dead_centre_a_piston_stands_at_half_stroke_and_rod(name):
    layout = layout_from_text(name)
    view = "plan" if layout.banks[0].angle == 90 else "side"
    for label in heights(draw(layout, SIZES, view=view))[0]:
        found, slack = heights(draw(layout, SIZES, view=view, crank_angle=layout.top_dead_centre(label)))
        assert found[label] == pytest.approx(0.04 + 0.14, abs=slack)
        assert found[label] == max(found.values())


@pytest.mark.parametrize("name", sorted(presets()))
def test_together_the_views_show_every_station_and_no_id_twice(name):
    layout, shown = layout_from_text(name), set()
    banks = [b.name for b in layout.banks]
    for view in VIEWS:
        for bank in [None, *banks]:
            root = ET.fromstring(draw(layout, {}, view=view, bank=bank))  # noqa: S314 - made by us
            ids = Counter(e.get("id") for e in root.iter() if e.get("id"))
            assert max(ids.values()) == 1
            order = [e.get("data-station") for e in root.iter() if e.get("data-station")]
            walk = [s.address for s in stations(layout)]
            assert order == sorted(order, key=walk.index)
            shown |= set(order)
    assert {s.address for s in stations(layout)} - shown == set()


def test_bore_is_as_wide_to_its_depth_as_the_sizes_say():
    root = ET.fromstring(draw(layout_from_text("inline-4"), SIZES, view="plan"))  # noqa: S314 - made by us
    k = float(root.get("data-scale"))
    circles = [float(c.get("r")) for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("class") == "dr-bore"
               for c in g.iter("{http://www.w3.org/2000/svg}circle")]
    assert circles
    assert circles == pytest.approx([0.05 * k] * len(circles), abs=0.006)
