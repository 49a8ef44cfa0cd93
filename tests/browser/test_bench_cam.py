"""The view Cam in a browser: a camshaft is degreed from the page, step by step; nothing is barred, nothing wider than the screen."""

from math import degrees, radians

import pytest

from browsing import until_page
from tenths.calc.valves import profiles

TRUE = profiles.card_lobe(lift=0.0089, lifts=[0.00127], durations=[radians(226)])


def fill(page, entry, **values):
    form = page.locator(f"form[data-entry='{entry}']").first
    for name, text in values.items():
        form.locator(f"[name={name}]").fill(text)
    form.locator("button.first").click()


def test_a_camshaft_is_degreed_from_the_page(bench, device):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, said = device(), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{bench.url}/e/kestrel/running/cam")
    page.wait_for_selector("#state:not([hidden])")
    page.locator("[aria-current=step]:has-text('Find top dead centre')").wait_for()
    fill(page, "wheel.zeroed", before="-30, -40, -50", after="30, 40, 50")
    page.locator("[aria-current=step]:has-text('Read the lobe')").wait_for()
    page.locator("summary:has-text('maker')").click()
    fill(page, "cam.carded", intake_lift="8.9 mm", intake_durations="226 @ 1.27 mm", separation="110", advance="4")
    page.locator("text=106.00 deg is wanted").or_(page.locator("h2:has-text('card')")).first.wait_for()
    for _ in range(6):
        if page.locator("[aria-current=step]:has-text('Set the timing')").count():
            break
        before = page.locator(".degreeing").inner_text()
        form = page.locator(".degreeing form[data-entry='lobe.read']")
        for field in form.locator("input[data-lift]").all():
            lift, flank = field.get_attribute("data-lift"), field.locator("xpath=..").inner_text()
            up, down = TRUE.flank_angles(float(lift.split()[0]) / 1e3)
            field.fill(f"{110.2 + degrees(down if 'falling' in flank else up):.2f}")
        form.locator("button.first").click()
        until_page(page, f"document.querySelector('.degreeing').innerText !== {before!r}")
    page.locator("[aria-current=step]:has-text('Set the timing')").wait_for()
    page.locator(".degreeing form[data-entry='timing.moved'] button").click()
    page.locator("[aria-current=step]:has-text('Read again to confirm')").wait_for()
    page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    assert [v["id"] for v in axe.Axe().run(page).response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert said == []
