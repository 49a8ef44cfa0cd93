"""The head in a browser: a run begun and filled lift by lift from the keyboard, what is wrong said, a lift struck, nobody barred."""

import pytest

from browsing import until_page, until_saved

LIFT, BEGIN = "form[data-entry='flow.read']", "form[data-entry='flow.begun']"


def begin(page, bench, *, station="valve.1.in", run="1-in"):
    page.goto(f"{bench.url}/e/kestrel/running/head")
    page.wait_for_selector("#state:not([hidden])")
    page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    form = page.locator(BEGIN)
    form.locator("[name=station]").select_option(station)
    form.locator("[name=run]").fill(run)
    form.locator("[name=leak]").fill("1.1 cfm")
    form.locator("button.first").click()
    page.wait_for_selector(f"{LIFT} option[value='{run}']", state="attached")


def lift(page, at, shows):
    """One lift, without a hand leaving the keys."""
    until_page(page, "document.activeElement?.id === 'lift'")
    page.keyboard.type(at)
    page.keyboard.press("Tab")
    page.keyboard.type(shows)
    page.keyboard.press("Enter")


def test_a_run_is_filled_from_the_keyboard_and_drawn(bench, device):
    page = device()
    begin(page, bench)
    page.locator("#lift").focus()
    for count, (at, shows) in enumerate((("2", "36 cfm"), ("4", "75 cfm"), ("6", "112 cfm")), 1):
        lift(page, at, shows)
        page.wait_for_selector(f"#run-1-in summary:has-text('{count} {'lift' if count == 1 else 'lifts'} at 28.0 inH2O')")
    until_page(page, "document.activeElement?.id === 'lift' && document.activeElement.value === ''")
    until_page(page, "document.querySelectorAll('[data-plot] svg').length > 0")
    assert [(body["lift"], body["flow"]) for body in bench.log("kestrel", "flow.read") if body["run"] == "1-in"] == [
        ("2", "36 cfm"), ("4", "75 cfm"), ("6", "112 cfm")]
    lift(page, "90", "120 cfm")
    page.wait_for_selector("text=lift: '90' is out of range; 0 to 40 mm is accepted")
    page.evaluate("document.getElementById('run-1-in').open = true")
    page.locator("#run-1-in [aria-label='Strike 112 cfm at 6.000 mm']").click()
    page.locator("dialog [name], dialog input, dialog textarea").first.fill("misread")
    page.locator("dialog button:has-text('Strike')").click()
    page.wait_for_selector("#run-1-in summary:has-text('2 lifts')")


@pytest.mark.parametrize(("light", "width"), [("light", 390), ("dark", 1440)])
def test_the_page_bars_nobody_and_fits(bench, device, light, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, said = device(width=width, color_scheme=light), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    for station, run in (("valve.1.in", "1-in"), ("valve.2.in", "2-in")):
        begin(page, bench, station=station, run=run)
        page.locator("#lift").focus()
        for count, (at, shows) in enumerate((("2", "36 cfm"), ("4", "75 cfm")), 1):
            lift(page, at, shows)
            page.wait_for_selector(f"#run-{run} summary:has-text('{count} lift')", state="attached")
    until_saved(page)
    until_page(page, "document.querySelectorAll('[data-plot] svg').length === document.querySelectorAll('[data-plot]').length")
    page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    assert [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert said == []
