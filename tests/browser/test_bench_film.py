"""The oil film in a browser: the map comes by itself and tells how far it is, options are tried, oil is stated on the sheet."""

import pytest

from browsing import until_page, until_saved

LONG = 120_000  # ms: films of a V8 on a machine that has much to do
MAPPED = "document.querySelector('#over-use') !== null"


@pytest.mark.parametrize(("light", "width"), [("light", 390), ("dark", 1440)])
def test_the_page_is_drawn_with_its_map_and_bars_nobody(bench, device, light, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, said = device(width=width, color_scheme=light), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.goto(f"{bench.url}/e/kestrel/running/film", timeout=LONG)
    page.wait_for_selector("#mapping progress")
    until_page(page, "/\\d+ of 13 bearings/.test(document.querySelector('#mapping .read')?.textContent ?? '') || " + MAPPED)
    until_page(page, MAPPED)
    until_page(page, "document.querySelectorAll('[data-plot] svg').length === 7")
    assert page.locator("#over-use tbody").first.locator("tr").count() == 13
    page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    assert [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert said == []


def test_what_is_tried_stands_in_the_address_and_what_is_wrong_is_said(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/running/film", timeout=LONG)
    page.wait_for_selector("#film-tried", state="attached", timeout=LONG)
    page.locator("summary:has-text('Look at one bearing')").click()
    form = page.locator("#film-tried")
    form.locator("[name=bearing]").select_option("main.2")
    form.locator("[name=grade]").fill("20W-50")
    form.locator("[name=speed]").fill("5000")
    form.locator("button").click()
    page.wait_for_selector("h2:has-text('Main 2')", timeout=LONG)
    assert "grade=20W-50" in page.url
    assert page.locator("h2 small").first.inner_text() == "tried"
    page.wait_for_selector("td:has-text('5000 rpm, full throttle')")
    page.goto(f"{bench.url}/e/kestrel/running/film?grade=treacle", timeout=LONG)
    page.wait_for_selector(".wrong:has-text('is accepted')", timeout=LONG)
    assert page.locator("#film-tried [name=grade]").input_value() == "treacle"
    assert page.locator("h2:has-text('Thinnest film')").count() == 1


def test_oil_is_stated_on_the_sheet_by_its_name_and_the_film_takes_it(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/sheet#oil")
    page.wait_for_selector("#state:not([hidden])")
    page.evaluate("document.querySelector('#oil').open = true")
    grade = page.locator("[data-feature=oil-grade] input").first
    grade.fill("treacle")
    page.wait_for_selector("[data-feature=oil-grade] .bad:has-text('is not known')")
    grade.fill("sae 15w40")
    page.wait_for_selector("[data-feature=oil-grade] .read:has-text('read as 15W-40')")
    page.locator("#sizes button.first").click()
    page.wait_for_url("**/tray")
    until_saved(page)
    assert ("oil-grade", "sae 15w40") in [(body["feature"], body["text"]) for body in bench.log("kestrel", "size.stated")]
    page.goto(f"{bench.url}/e/kestrel/running/film", timeout=LONG)
    page.wait_for_selector("h2:has-text('15W-40'):has-text('stated')", timeout=LONG)
