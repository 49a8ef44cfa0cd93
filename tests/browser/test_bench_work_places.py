"""The pages of the work in a browser: accessible, without a sideways scroll, and nothing lost that was typed."""

import pytest

from browsing import until

PLACES = ("/e/marigold/work", "/e/kestrel/work", "/e/marigold/steps", "/e/kestrel/steps", "/e/marigold/step/crank-in",
          "/e/marigold/step/strip", "/e/kestrel/step/hone@cyl.3", "/e/marigold/again?if=crank",
          "/e/marigold/desk/plan-add", "/ahead?engine=marigold&part=pistons-d10&days=14", "/desk/shop-hours",
          "/e/marigold/supply", "/e/marigold/money", "/e/marigold/customer", "/shelf", "/history")


@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_page_is_accessible(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found = device(color_scheme=light), {}
    for place in PLACES:
        page.goto(bench.url + place)
        page.wait_for_load_state("networkidle")
        for each in page.query_selector_all("details"):
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
        for each in page.query_selector_all("details"):
            each.evaluate("e => { e.open = true }")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, place


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_each_step_that_can_be_done_stands_once_on_the_page_and_no_other_does(bench, device, engine):
    page = device()
    offered = sorted(page.request.get(f"{bench.url}/api/engines/{engine}/steps").json()["offered"])
    page.goto(f"{bench.url}/e/{engine}/work")
    shown = page.eval_on_selector_all("[data-step]", "(all) => all.map((e) => e.dataset.step)")
    assert len(offered) > 5
    assert sorted(shown) == offered
    page.goto(f"{bench.url}/e/{engine}/steps")
    every = page.eval_on_selector_all("[data-step]", "(all) => all.map((e) => e.dataset.step)")
    assert len(every) == len(set(every)) == page.request.get(f"{bench.url}/api/engines/{engine}/steps").json()["total"]


def test_without_a_line_a_form_says_that_it_was_not_saved_keeps_what_was_typed_and_is_written_once(bench, device):
    page = device()
    place = f"{bench.url}/e/kestrel/step/grind-crank"
    page.goto(place)
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    page.reload()
    before = len(bench.log("kestrel", "step.done"))
    page.context.set_offline(True)
    form = page.locator("form[data-desk$='step-done']")
    form.get_by_label("Note").fill("ground 0.010 under")
    form.get_by_role("button", name="Done").click()
    form.get_by_text("Not saved: the server does not answer").wait_for()
    page.reload()
    form.get_by_text("Typed here before, and not saved yet").wait_for()
    assert form.get_by_label("Note").input_value() == "ground 0.010 under"
    page.context.set_offline(False)
    form.get_by_role("button", name="Done").click()
    page.locator(".one-step[data-state=done]").wait_for()
    until(lambda: len(bench.log("kestrel", "step.done")) == before + 1, "the step is not in the log")
    assert bench.log("kestrel", "step.done")[-1]["note"] == "ground 0.010 under"
    page.reload()
    assert page.get_by_text("not saved yet").count() == 0


def test_on_a_bench_where_nobody_signs_in_the_step_begun_below_a_name_is_that_persons(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/work")
    person = page.locator(".person").nth(1)
    name, step = person.locator("h3").inner_text(), person.locator("[data-step]").get_attribute("data-step")
    assert name != "Ines Vale"  # who the server was started for
    person.get_by_role("button", name="Begin").click()
    page.locator(f"[data-step='{step}'][data-state=begun]").wait_for()
    row = page.request.get(f"{bench.url}/api/engines/marigold/steps/{step}").json()
    assert [run["person"] for run in row["running"]] == [name]


def test_a_posting_whose_answer_was_lost_is_written_once_even_when_the_page_was_loaded_again(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/kestrel/step/grind-crank")
    before = len(bench.log("kestrel", "step.done"))
    lost = []

    def lose(route):
        lost.append(route.fetch().status)  # it reaches the server, and is written
        route.abort()

    page.route("**/desk/step-done", lose)
    form = page.locator("form[data-desk$='step-done']")
    form.get_by_label("Note").fill("once")
    form.get_by_role("button", name="Done").click()
    form.get_by_text("Not saved: the server does not answer").wait_for()
    assert lost == [200]
    page.unroute("**/desk/step-done")
    page.goto(f"{bench.url}/e/kestrel/step/grind-crank")
    page.get_by_text("Typed here before, and not saved yet").wait_for()
    form.get_by_role("button", name="Done").click()
    page.locator(".notice:has-text('Saved')").wait_for()
    assert len(bench.log("kestrel", "step.done")) == before + 1


def test_what_is_wrong_stands_at_its_field_with_what_was_typed(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/steps")
    page.get_by_text("Go through steps once more").click()
    form = page.locator("#f-plan-branch")
    form.get_by_label("Stages, steps, or all steps of a name").fill("no such stage")
    form.get_by_role("button", name="Add them").click()
    form.locator("[data-field=branch] .at-field:has-text('nothing was given')").wait_for()
    form.get_by_label("What this is called").fill("second look")
    form.get_by_label("Why").fill("another camshaft")
    form.get_by_role("button", name="Add them").click()
    form.locator("[data-field=steps] .at-field:has-text('no such stage')").wait_for()
    assert form.get_by_label("What this is called").input_value() == "second look"
    assert form.locator("[data-field=branch] .at-field").is_hidden()
    form.get_by_label("Stages, steps, or all steps of a name").fill("mock up")
    form.get_by_role("button", name="Add them").click()
    page.locator(".notice:has-text('Saved')").wait_for()
    assert bench.log("marigold", "plan.branched")[-1]["steps"] == ["mock up"]
    assert page.locator("#f-plan-branch").get_by_label("Why").input_value() == ""
