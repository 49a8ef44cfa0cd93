"""How sure, instruments and temperatures in a browser: accessible, without a sideways scroll, and the tray's note kept."""

import pytest

from browsing import until_page

PLACES = ("/instruments", "/instruments/mic-75-100", "/instruments/test-dial", "/temperature", "/e/marigold/sure", "/e/kestrel/sure",
          "/e/marigold/how/main.4/main-oil-clearance", "/e/kestrel/how/crank/crank-run-out", "/e/marigold/station/main.4")


@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_page_is_accessible(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found = device(color_scheme=light), {}
    for place in PLACES:
        page.goto(bench.url + place)
        page.wait_for_load_state("networkidle")
        for each in page.query_selector_all("details:not(.walk-list)"):
            each.evaluate("e => { e.open = true }")
        bad = [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]]
        if bad:
            found[place] = bad
    assert found == {}


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_no_page_scrolls_sideways(bench, device, width):
    page = device(width, 900)
    for place in PLACES:
        page.goto(bench.url + place)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, place


def test_a_temperature_is_noted_from_the_tray_and_counts(bench, device):
    page = device()
    page.goto(bench.url + "/e/kestrel/tray")
    page.get_by_text("How warm is it?").click()
    page.locator("#warm-where").select_option("block")
    page.locator("#warm-text").fill("31,5")
    page.locator("#warm").get_by_role("button", name="Note it").click()
    page.get_by_text("block at 31,5: readings without a temperature").wait_for()
    until_page(page, "document.getElementById('state').dataset.state !== 'here'")
    note = bench.log("kestrel", "temperature.noted")[-1]
    assert (note["where"], note["text"]) == ("block", "31,5")  # to the letter, as it was typed
    page.goto(bench.url + "/e/kestrel/sure")
    assert "31.5 °C" in page.locator("main").inner_text()


def test_a_certificate_is_taken_by_the_form(bench, device):
    page = device()
    page.goto(bench.url + "/instruments/mic-0-1")
    page.get_by_label("Its day").fill("2026-01-12")
    lines = "size (in), correction (tenths), uncertainty (tenths)\n0.5, 0.2, 0.5\n1.0, 0.4, 0.5"
    page.get_by_label("Its lines below the heads").fill(lines)
    page.get_by_role("button", name="Take it into the record").click()
    page.get_by_role("heading", name="Certificate, 12 January 2026").wait_for()
    assert "+0.4" in page.locator("main").inner_text()
