"""The place Running in a browser: plots are drawn, ticks and joints are entered and stand on the page, nothing is barred."""

import pytest

from browsing import until_page

VIEWS = ("forces", "loads", "balance", "torsion", "tightening", "clearances", "valve-train")


@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_view_is_accessible_and_drawn(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found, said = device(color_scheme=light), {}, []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    for view in VIEWS:
        page.goto(f"{bench.url}/e/kestrel/running/{view}")
        page.wait_for_selector("#state:not([hidden])")
        places = page.locator("[data-plot]").count()
        if places:
            until_page(page, f"document.querySelectorAll('[data-plot] svg').length === {places}")
        page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        bad = [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]]
        if bad:
            found[view] = bad
    assert found == {}
    assert said == []


def test_a_fastener_is_ticked_and_then_checked(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/running/tightening")
    page.wait_for_selector("#state:not([hidden])")
    page.evaluate("for (const each of document.querySelectorAll('#flywheel details')) each.open = true")
    page.locator("[aria-label='flywheel bolts, crank number 5: tightened']").click()
    page.wait_for_selector("[aria-label='flywheel bolts, crank number 5: checked']", state="attached")
    page.evaluate("for (const each of document.querySelectorAll('#flywheel details')) each.open = true")
    page.locator("[aria-label='flywheel bolts, crank number 5: checked']").click()
    page.wait_for_selector("#flywheel summary:has-text('1 checked')", state="attached")


def test_a_joint_is_stated_from_the_form_and_what_is_wrong_is_said(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/running/tightening")
    page.wait_for_selector("#state:not([hidden])")
    page.locator("summary:has-text('State a joint')").click()
    form = page.locator("form[data-entry='joint.stated']")
    for name, text in (("joint", "pump"), ("words", "oil pump bolts"), ("stations", "block"), ("pattern", "line of 3"),
                       ("thread", "M8x9"), ("torque", "22 N m"), ("order", "2 1 3"), ("steps", "50 %, 100 %")):
        form.locator(f"[name={name}]").fill(text)
    form.locator("button").click()
    page.wait_for_selector("text=thread: 'M8x9' is not read")
    form.locator("[name=thread]").fill("M8")
    form.locator("button").click()
    page.wait_for_selector("#pump .fasteners[aria-label*='order of tightening: 2, 1, 3']")
