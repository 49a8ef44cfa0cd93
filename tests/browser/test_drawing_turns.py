"""The crank that the page turns by itself: against the triangle of crank and rod, and against drawings made anew."""

import re
from math import asin, cos, hypot, pi, radians, sin
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

import tenths.bench
from browsing import until_page
from tenths.engine.describe import layout_from_text, presets
from tenths.record.drawing import VIEWS, draw

CRANK_JS = Path(tenths.bench.__file__).parent / "static" / "crank.js"
HAND = ["V4 60, bank L a1 a2, bank R b1 b2, pins offset 60, throws 0 180, firing a1-b2-a2-b1",
        "inline 3, throws 0 120 240, firing 1-3-2, turns anticlockwise", "V2 90, firing 1-2, cams two per bank 2, valves in1 in2 ex1 ex2",
        "inline 4, throws 0 180 180 0, firing 1-3-4-2, cams two per bank 5, valves in1 in2 ex1 ex2"]
LAYOUTS = [*sorted(presets()), *HAND]
SIZES = {"bore": 0.1, "stroke": 0.08, "rod-length": 0.14, "compression-height": 0.035, "deck-height": 0.215, "pin-offset": 0.0015}
ANGLES = (23.0, 181.5, 402.0, 660.0)
NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")


@pytest.fixture
def turning(device):
    """A page of no server with the module in it; gives what an expression comes to."""
    page = device()
    page.goto("about:blank")
    page.evaluate("""async (source) => {
      globalThis.crank = await import(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
    }""", CRANK_JS.read_text("utf-8"))
    return page


def height_by_halving(a, stroke, rod, offset):
    """Height of the piston pin: where on its line the rod is as long as it is; by halving, from no formula of ours."""
    x, y = stroke / 2 * sin(a), stroke / 2 * cos(a)
    low, high = y, y + 2 * rod
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if hypot(x + offset, middle - y) < rod else (low, middle)
    return low


def test_the_piston_stands_where_the_rod_reaches(turning):
    cases = [(k * pi / 7, s, r, o) for k in range(-9, 29) for s, r, o in ((80, 140, 0), (92, 131, 1.5), (60, 50, -2), (100, 175, 6))]
    got = turning.evaluate("cases => cases.map(([a, stroke, rod, offset]) => crank.pinHeight(a, { stroke, rod, offset }))", cases)
    assert got == pytest.approx([height_by_halving(*case) for case in cases], abs=1e-9)


def test_depth_is_none_where_crank_and_rod_lie_in_line(turning):
    top = [turning.evaluate("([a, t]) => crank.pistonDepth(a, t)", [asin(-o / (r + s / 2)), {"stroke": s, "rod": r, "offset": o}])
           for s, r, o in ((80, 140, 0), (92, 131, 1.5))]
    assert top == pytest.approx([0.0, 0.0], abs=1e-12)


def moving(svg):
    """What moves: (kind, of, the numbers of its transform and of its rectangle)."""
    found = []
    for group in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}g"):  # noqa: S314 - made by us
        if group.get("data-move"):
            rect = next(group.iter("{http://www.w3.org/2000/svg}rect"), None)
            still = rect is None or group.get("transform")
            edges = [] if still else [float(rect.get("y")), float(rect.get("height"))]
            found.append((group.get("data-move"), group.get("data-of"),
                          [float(n) for n in NUMBER.findall(group.get("transform") or "")] + edges))
    return found


TURN = """([svg, angles]) => {
  const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return angles.map((angle) => { crank.turnTo(drawn, angle); return new XMLSerializer().serializeToString(drawn); });
}"""


@pytest.mark.parametrize("text", LAYOUTS)
def test_a_turned_drawing_is_the_drawing_made_at_that_angle(turning, text):
    layout, kinds = layout_from_text(text), set()
    for view in VIEWS:
        turned = turning.evaluate(TURN, [draw(layout, SIZES, view=view), ANGLES])
        for angle, svg in zip(ANGLES, turned, strict=True):
            ours, anew = moving(svg), moving(draw(layout, SIZES, view=view, crank_angle=angle))
            assert len(ours) == len(anew)
            for (kind, of, got), (_, same, want) in zip(ours, anew, strict=True):
                assert of == same
                assert len(got) == len(want), (view, kind, of)
                for g, w in zip(got, want, strict=True):
                    assert abs((g - w + 180) % 360 - 180) < 0.03 if kind in {"spin", "lobe"} else abs(g - w) < 0.03, (view, kind, of)
                kinds.add(kind)
    assert kinds >= {"pin", "orbit", "spin", "piston", "rod", "swing", "valve", "spring", "cheek", "counterweight"}


@pytest.mark.parametrize("text", LAYOUTS)
def test_the_rods_lower_end_stays_on_its_crankpin(turning, text):
    """Seen from the front: piston pin, then the rod's length along its lean, comes to the crankpin's place."""
    layout = layout_from_text(text)
    for angle, svg in zip(ANGLES, turning.evaluate(TURN, [draw(layout, SIZES, view="end"), ANGLES]), strict=True):
        root = ET.fromstring(svg)  # noqa: S314 - made by us
        k = float(root.get("data-scale"))
        for bank in [g for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("class") == "dr-bank"]:
            for rod in [g for g in bank.iter("{http://www.w3.org/2000/svg}g") if g.get("data-move") == "swing"]:
                x, y, lean = (float(n) for n in NUMBER.findall(rod.get("transform")))
                end = (x - 0.14 * k * sin(radians(lean)), y + 0.14 * k * cos(radians(lean)))
                cylinder = layout.cylinder(rod.get("data-of"))
                sense = 1 if layout.turns == "clockwise" else -1
                a = radians(layout.pin(cylinder.pin).angle + sense * angle - layout.bank(cylinder.bank).angle)
                assert end == pytest.approx((0.04 * k * sin(a), -0.04 * k * cos(a)), abs=0.05)
                break


def test_the_slider_turns_the_crank_without_asking_the_server(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/drawing")
    page.wait_for_selector("#crank:not([hidden])")
    asked = []
    page.on("request", lambda r: asked.append(r.url) if "drawing.svg" in r.url else None)
    page.locator("#turn").fill("90")
    until_page(page, "document.querySelector('#svg svg').dataset.crank === '90'")
    # cylinder 1 at 90 degrees: 3.625 in of stroke, 6.2 in of rod, 0.001 in below the deck at its top (the demo's sheet and readings)
    below = 1.8125 + 6.2 - height_by_halving(pi / 2, 3.625, 6.2, 0.0) + 0.001
    assert page.locator(".pistons [data-cylinder='1'] .num").inner_text() == f"{below:.3f} in"
    assert page.locator(".pistons [data-cylinder='1']").inner_text().endswith("power")
    assert asked == []
    page.get_by_role("link", name=re.compile("^4 600")).click()
    assert page.locator("#angle").inner_text() == "600°"
    assert "0.004 in" in page.locator(".pistons [data-cylinder='4']").inner_text()
