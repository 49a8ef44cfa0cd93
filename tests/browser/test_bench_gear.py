"""The valve gear in a browser: what is tried changes the room beside it, nobody barred, nothing wider than the screen."""

import pytest

from browsing import until_page

DRAWN = "document.querySelectorAll('[data-plot] svg').length === document.querySelectorAll('[data-plot]').length"


def test_a_cut_is_tried_beside_what_clay_said(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/running/gear")
    page.locator("[name=advance]").fill("4")
    page.locator("[name=cut]").fill("0.25 mm")
    page.locator("button:has-text('Try it')").click()
    page.wait_for_selector("th:has-text('As tried')")
    cells = page.locator("tr:has(a:text-is('valve 1 in')) >> nth=0").locator("td").all_inner_texts()
    clay, tried = float(cells[1].split()[0]), float(cells[-1].split()[0])
    # 0.25 cos 12 degrees off, and four degrees earlier another half a millimetre or so on an opening flank
    assert cells[4] == "clay"
    assert 0.245 + 0.3 < clay - tried < 0.245 + 0.9


@pytest.mark.parametrize(("light", "width"), [("light", 390), ("dark", 1440)])
def test_the_page_bars_nobody_and_fits(bench, device, light, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, said = device(width=width, color_scheme=light), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.goto(f"{bench.url}/e/kestrel/running/gear")
    until_page(page, DRAWN)
    page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    assert [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert said == []
