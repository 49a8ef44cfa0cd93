"""The tray in a real browser: gauges, deviations, the walk, and what is done to a reading after it was taken."""

from benches import serial_line
from browsing import call_this_device, place_of, swipe, take, to_tray, until, until_page, until_saved


def test_a_gauge_types_into_the_field_of_the_chosen_device_and_its_value_is_committed(bench, device):
    """A pseudo-terminal stands for the instrument's line; 2.4891 in is as the journals of this engine read."""
    phone, tablet = device(), device(820, 1180)
    for page, name in ((phone, "Phone"), (tablet, "Tablet")):
        to_tray(page, bench, "main.3", "journal")
        call_this_device(page, name)
    before, stood = bench.log("marigold"), place_of(tablet)
    with serial_line(bench.shop, bench.url, "--device", "Phone", "--pattern", "channel-number", "--unit", "in") as (send, reader):
        send(b"01A+0002.4891\r")
        until(lambda: len(bench.log("marigold")) > len(before), "the value did not reach the log")
        until_saved(phone)
        assert "2.4891 in" in phone.locator("#after").inner_text()
        phone.goto(f"{bench.url}/e/marigold/sheet")
        field = phone.locator("[data-feature=bore] input").first
        field.focus()
        until_page(phone, "fetch('/api/pages').then(r => r.json()).then(p => p.some(x => x.name.endsWith('sheet')))")
        send(b"01A+0003.8001\r")
        until_page(phone, "document.activeElement.value === '3.8001 in'")
        assert "3.8001 in" in phone.locator("[data-feature=bore] .read").first.inner_text()
        reader.terminate()
        assert "2.4891 in  ->  marigold, tray" in reader.stdout.read()
    taken = bench.log("marigold")[len(before):]
    assert [(t["station"], t["feature"], t["text"]) for t in taken] == [("main.3", "journal", "2.4891 in")]
    assert (place_of(tablet), tablet.locator("#text").input_value()) == (stood, "")


def test_a_gauge_set_to_a_size_takes_deviations_from_it_and_says_what_they_come_to(bench, device):
    """0.9280 in and +2 tenths are 0.9282 in: a tenth is 0.0001 in, common practice."""
    page = device()
    to_tray(page, bench, "rod.1", "bush-bore")
    page.get_by_role("button", name="Set").first.click()
    page.get_by_label("From which master").select_option("mic-0-1")
    page.get_by_label("To the size").fill("0.9280")
    page.locator("#setting").get_by_role("button", name="Set").click()
    page.locator("#text").fill("+2 tenths")
    page.wait_for_selector("#read:has-text('0.9282')")
    take(page, "+2 tenths")
    until_saved(page)
    setting, reading = bench.log("marigold", "instrument.set")[-1], bench.log("marigold")[-1]
    assert (setting["master"], setting["size"]) == ("mic-0-1", "0.9280")
    assert (reading["text"], reading["setting"], reading["instrument"]) == ("+2 tenths", setting["id"], setting["instrument"])
    page.goto(f"{bench.url}/e/marigold/station/rod.1")
    assert "0.9282" in page.locator("tr", has_text="small end bush bore, A rear").last.inner_text()


def test_skipped_repeated_gone_back_and_struck_by_key_and_by_swipe(bench, device):
    page = device(has_touch=True)
    to_tray(page, bench, "main.3", "journal")
    first = place_of(page)
    page.keyboard.press("Alt+ArrowRight")
    second = place_of(page)
    page.keyboard.press("Alt+ArrowLeft")
    assert (place_of(page), second != first) == (first, True)
    swipe(page, ".views", -160)
    assert place_of(page) == second
    swipe(page, ".views", 160)
    assert place_of(page) == first
    before = bench.texts("marigold")
    take(page, "2.4891")
    assert place_of(page) == second
    page.keyboard.press("Alt+r")
    assert place_of(page) == first
    take(page, "2.4892")
    until_saved(page)
    assert bench.texts("marigold") == [*before, "2.4891", "2.4892"]
    strikes = len(bench.log("marigold", "entry.struck"))
    page.keyboard.press("Alt+s")
    page.get_by_role("dialog").get_by_role("button", name="misread").click()
    page.get_by_role("dialog").get_by_role("button", name="Strike").click()
    until(lambda: len(bench.log("marigold", "entry.struck")) > strikes, "nothing was struck")
    struck = bench.log("marigold", "entry.struck")[-1]
    assert (struck["entry"], struck["reason"]) == (bench.log("marigold")[-1]["id"], "misread")
    assert place_of(page) == first


def test_a_double_tap_takes_a_reading_once_and_does_not_wave_a_question_through(bench, device):
    """2.4641 is one turn of the thimble, 0.025 in, below what the journals read: it must be asked, and asked for long
    enough to be seen."""
    page = device(has_touch=True)
    to_tray(page, bench, "main.3", "journal")
    before = bench.texts("marigold")
    page.locator("#text").fill("2.4891")
    page.locator("#entry .first").dblclick()
    until_page(page, "document.getElementById('text').value === ''")
    until_saved(page)
    assert bench.texts("marigold") == [*before, "2.4891"]
    page.locator("#text").fill("2.4641")
    page.wait_for_selector("#ask:not([hidden])")
    for _ in range(2):
        page.locator("#entry .first").click()
        page.wait_for_timeout(100)
    page.wait_for_timeout(500)
    assert (page.locator("#text").input_value(), bench.texts("marigold")) == ("2.4641", [*before, "2.4891"])
    page.locator("#entry .first").click()
    until_page(page, "document.getElementById('text').value === ''")
    until_saved(page)
    assert bench.texts("marigold") == [*before, "2.4891", "2.4641"]
