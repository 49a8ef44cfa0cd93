"""The pull in a browser: it tells how far it is, its curves follow a slider, what is tried is kept and drawn, a cycle is shown."""

import pytest

from browsing import until, until_page

PULL = "/e/kestrel/running/pull"


def pulled(page, bench):
    page.goto(f"{bench.url}{PULL}")
    page.wait_for_selector("#sliders", timeout=120000)  # a fresh machine compiles first, and says how far it is
    until_page(page, "document.querySelectorAll('[data-plot] svg').length === 4")


def move(page, name, value):
    page.eval_on_selector(f"[data-slider={name}]",
                          "(e, v) => { e.value = v; e.dispatchEvent(new Event('input', {bubbles: true})); }", value)


@pytest.mark.parametrize("light", ["light", "dark"])
def test_pull_and_cycle_are_drawn_and_accessible(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found, said = device(color_scheme=light), {}, []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    pulled(page, bench)
    for path, plots in ((PULL, 4), ("/e/kestrel/running/cycle?speed=5000", 6)):
        page.goto(f"{bench.url}{path}")
        until_page(page, f"document.querySelectorAll('[data-plot] svg').length === {plots}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        bad = [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in axe.Axe().run(page).response["violations"]]
        if bad:
            found[path] = bad
    assert found == {}
    assert said == []


def test_curves_follow_a_slider_and_what_is_tried_is_kept(bench, device):
    page = device(width=1440, height=900)
    pulled(page, bench)
    marks = "document.querySelector('[data-plot=\"0\"] svg').querySelectorAll('.mark-symbol path').length"
    before = page.evaluate(marks)
    move(page, "runner-length", "400")
    page.wait_for_selector("#tried:has-text('As tried')")
    until_page(page, f"{marks} === {before} + 7")
    first = page.text_content("#tried")
    move(page, "runner-length", "160")
    until(lambda: page.text_content("#tried") != first, "the curves to follow")
    page.fill("#keep [name=variant]", "short runners")
    page.click("#keep button")
    page.wait_for_selector("[data-forget='short runners']")
    [kept] = bench.log("kestrel", "variant.kept")
    assert kept["variant"] == "short runners"
    assert list(kept["sizes"]) == ["runner-length"]
    page.click("a:has-text('short runners')")
    page.wait_for_selector("#tried:has-text('As tried (short runners)')")
    page.click("[data-forget='short runners']")
    page.wait_for_selector("text=Nothing is kept yet")


def test_a_size_that_cannot_be_is_named_and_a_pull_can_be_stopped(bench, device):
    page = device()
    pulled(page, bench)
    page.fill("#what-if [name=runner-length]", "-3")
    page.click("#what-if button.first")
    page.wait_for_selector("text=Runner-length: '-3' is not from")
    page.route("**/running/pull/run", lambda _route: None)  # a line on which nothing comes
    page.goto(f"{bench.url}/e/marigold/running/pull")
    page.click("[data-stop]")
    page.wait_for_selector("text=Stopped.")
