"""What the tray shows beside the number: the station close up, where on the engine that is, and how it is read."""

import pytest

SHAPES = [({"x": 400, "y": 300, "width": 20, "height": 10}, 1.2), ({"x": 2, "y": 590, "width": 30, "height": 200}, 1.2),
          ({"x": 0, "y": 0, "width": 800, "height": 600}, 0.8), ({"x": 700, "y": 20, "width": 90, "height": 12}, 2.5)]


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_the_station_is_close_up_and_marked_and_the_way_to_read_it_drawn(bench, device, width):
    page = device(width, 900)
    page.goto(f"{bench.url}/e/marigold/tray?at=main.3&read=journal")
    page.wait_for_selector("#piece > svg.dr .here .dr-hit", state="attached")
    page.wait_for_selector("#piece > svg.whole", state="attached")
    seen = page.evaluate("""() => {
      const box = (each) => { const r = each.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; };
      return { frame: box(document.querySelector("#piece")), part: box(document.querySelector("#piece .here .dr-hit")) };
    }""")
    frame, part = seen["frame"], seen["part"]
    assert frame[0] <= part[0] <= part[2] <= frame[2]
    assert frame[1] <= part[1] <= part[3] <= frame[3]
    assert part[2] - part[0] > 0.12 * (frame[2] - frame[0]), "the station is too small to be seen"
    assert page.locator("#sketch svg[role=img] title").text_content() == "Outside micrometer across a journal"


def test_the_close_up_keeps_its_shape_and_stays_on_the_drawing(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/tray")
    address = page.evaluate("document.querySelector('script[src$=\"tray.js\"]').src.replace('tray.js', 'piece.js')")
    whole = {"width": 800, "height": 600}
    for part, shape in SHAPES:
        box = page.evaluate("async ([at, ...of]) => (await import(at)).closeUp(...of)", [address, part, whole, shape])
        assert box["width"] / box["height"] == pytest.approx(shape)
        assert box["x"] <= part["x"] + 1e-9
        assert box["x"] + box["width"] >= min(part["x"] + part["width"], whole["width"]) - 1e-9
        if box["width"] < whole["width"]:
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= whole["width"] + 1e-9
