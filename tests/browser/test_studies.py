"""A study of a gauge in a real browser: read blind on a phone, through a loss of the line, and taken into the record."""

import pytest

from browsing import take, until_saved

TRAY = "/studies/bore-gauge-s-rings/tray"
TYPED = ["3.0002", "3.0001", "3.0002", "3.0001", "3.0002"]


def test_read_blind_through_a_loss_of_the_line_and_taken_over(bench, device):
    page = device()
    page.goto(bench.url + TRAY)
    page.wait_for_selector("#now:not([hidden])")
    assert "3.000" not in page.locator("#now").inner_text().replace("Ring 3.0000 in", "")
    take(page, TYPED[0])
    until_saved(page)
    page.context.set_offline(True)
    for text in TYPED[1:]:
        take(page, text)
    page.wait_for_selector("#done:not([hidden])")
    page.wait_for_selector("#state:has-text('on this device')")
    page.context.set_offline(False)
    until_saved(page)
    rows = [row for row in bench.log("shop", "study.read") if row["part"] == "ring 3.0000 in"]
    assert [row["text"] for row in rows] == TYPED
    assert [row["trial"] for row in rows] == [1, 2, 3, 4, 5]
    page.locator("#done a.first").click()
    page.locator("#accept").click()
    page.locator("dialog button.first").click()
    page.wait_for_selector("text=Taken into the record of the gauge by")
    (taken,) = bench.log("shop", "study.accepted")
    assert len(taken["points"]) == 3


def test_a_slip_is_asked_about_and_taken_all_the_same(bench, device):
    page = device()
    page.goto(bench.url + TRAY)
    page.wait_for_selector("#now:not([hidden])")
    page.locator("#text").fill("3.0252")
    page.keyboard.press("Enter")
    page.wait_for_selector("#ask:not([hidden])")
    assert bench.log("shop", "study.read")[-1]["text"] != "3.0252"
    page.wait_for_timeout(450)
    page.keyboard.press("Enter")
    until_saved(page)
    page.wait_for_selector("#which:has-text('trial 2')")
    assert bench.log("shop", "study.read")[-1]["text"] == "3.0252"
    page.locator("#again").click()
    assert page.locator("#which").inner_text() == "trial 1"


@pytest.mark.parametrize("light", ["light", "dark"])
def test_its_pages_are_accessible(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found = device(color_scheme=light), {}
    for place in ("/studies", "/studies/mic-2-3-hands", "/studies/mic-2-3-weekly", TRAY, "/studies/mic-2-3-hands/tray",
                  "/e/marigold/form", "/e/marigold/station/block", "/risk",
                  "/risk?characteristic=main-oil-clearance&engine=marigold&run=9"):
        page.goto(bench.url + place)
        page.wait_for_selector("#state:not([hidden])")
        bad = [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]]
        if bad:
            found[place] = bad
    assert found == {}
