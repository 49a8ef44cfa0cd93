"""The bench in a real browser, against a real server process."""

import pytest

from browsing import FIRST_SIZES, Thumb, first_engine, take, until_saved


def test_the_first_engine_from_nothing_on_a_phone_in_few_steps(empty_bench, device):
    """Seven taps beside what must be typed: in, name, layout, open, first size, on, first reading."""
    thumb = Thumb(device(has_touch=True))
    first_engine(thumb, empty_bench.url)
    assert empty_bench.texts("lapwing") == ["0.0008"]
    assert [size["text"] for size in empty_bench.log("lapwing", "size.stated")] == list(FIRST_SIZES)
    assert thumb.taps <= 7
    assert thumb.keys <= len("Lapwing") + sum(len(size) + 1 for size in FIRST_SIZES) + len("0.0008") + 1
    assert thumb.swipes <= 4


def test_forty_readings_by_keyboard_alone(bench, device):
    page = device(1440, 900)
    before = bench.texts("marigold")
    page.goto(f"{bench.url}/e/marigold/tray")
    page.locator("#text").focus()
    typed = [f"0.00{40 + n}" for n in range(40)]
    for text in typed:
        take(page, text)
    until_saved(page)
    assert bench.texts("marigold") == before + typed


def test_nothing_is_lost_or_doubled_when_the_server_is_killed(bench, device):
    page = device()
    before = bench.texts("marigold")
    page.goto(f"{bench.url}/e/marigold/tray")
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    page.reload()
    typed = [f"0.01{n:02}" for n in range(12)]
    for text in typed[:4]:
        take(page, text)
    bench.kill()
    for text in typed[4:8]:
        take(page, text)
    page.wait_for_selector("#state:has-text('on this device')")
    page.reload()
    page.wait_for_selector("#state:has-text('on this device')")
    for text in typed[8:]:
        take(page, text)
    bench.start()
    until_saved(page)
    assert bench.texts("marigold") == before + typed


REFUSED = """async () => { const q = await import(new URL('queue.js', document.querySelector('script[src$="tray.js"]').src));
    await q.keep({engine: 'marigold', type: 'reading.taken', words: 'main 1, journal: +3 tenths',
        body: {station: 'main.1', feature: 'journal', text: '+3 tenths', instrument: 'no-such-gauge'}}); }"""


def test_a_refused_entry_stays_until_a_person_decides(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/tray")
    before = bench.texts("marigold")
    page.evaluate(REFUSED)
    page.wait_for_selector("#state:text-is('1 refused')")
    page.reload()
    page.wait_for_selector("#state:text-is('1 refused')")
    page.locator("#state").click()
    assert "no-such-gauge" in page.locator("#kept .why").inner_text()
    page.locator("#kept").get_by_role("button", name="Discard").click()
    page.get_by_role("dialog").last.get_by_role("button", name="Discard").click()
    until_saved(page)
    assert bench.texts("marigold") == before
    page.evaluate(REFUSED.replace("+3 tenths", "2.4893"))
    page.wait_for_selector("#state:text-is('1 refused')")
    page.locator("#state").click()
    page.locator("#kept").get_by_role("link", name="Edit as new").click()
    page.wait_for_selector("#where:text-is('Main 1')")
    assert page.locator("#text").input_value() == "2.4893"
    assert page.locator("#state").inner_text() == "1 refused"
    take(page, "2.4893")
    until_saved(page)
    assert bench.texts("marigold") == [*before, "2.4893"]


def test_two_devices_decide_about_the_same(bench, device):
    one, two = device(), device(1440, 900)
    for page in (one, two):
        page.goto(f"{bench.url}/e/marigold/choices")
    one.context.set_offline(True)
    two.locator("[data-accept='0']").first.click()
    two.get_by_role("dialog").get_by_role("button", name="Accept").click()
    two.wait_for_selector("text=Accepted so far")
    one.locator("[data-accept='0']").first.click()
    one.get_by_role("dialog").get_by_role("button", name="Accept").click()
    one.wait_for_selector("#state:has-text('on this device')")
    one.context.set_offline(False)
    one.wait_for_selector("#state:text-is('1 refused')")
    one.locator("#state").click()
    assert "decided otherwise" in one.locator("#kept .why").inner_text()


PLACES = ("/", "/new", "/e/marigold", "/e/marigold/station/main.3", "/e/marigold/tray", "/e/marigold/choices", "/e/marigold/record",
          "/e/marigold/sheet", "/people", "/e/marigold/plot/ring-end-gap", "/e/marigold/choices?question=main-shells&grind=0.0001",
          "/e/marigold/order?question=main-order", "/e/marigold/halves")


@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_place_is_accessible(bench, device, light):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, found = device(color_scheme=light), {}
    for place in PLACES:
        page.goto(bench.url + place)
        page.wait_for_selector("#state:not([hidden])")
        answer = axe.Axe().run(page)
        bad = [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in answer.response["violations"]]
        if bad:
            found[place] = bad
    assert found == {}
