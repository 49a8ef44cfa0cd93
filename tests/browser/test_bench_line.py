"""What a device does while its line to the server is poor, in a real browser: nothing is lost, nothing is doubled."""

from datetime import UTC, datetime

from benches import asking, reading
from browsing import take, to_tray, until, until_page, until_saved
from wire import wire


def write(bench, number, text, station="main.3"):
    """A reading from elsewhere in the shop."""
    with asking(bench.url) as ask:
        answer = ask.post("/api/engines/marigold/entries", json=[reading(number, station, text, place="1 front")]).json()
    assert answer[0]["state"] == "saved", answer


def is_open(bench, name):
    """Whether the server has a stream open for a page of that name."""
    with asking(bench.url) as ask:
        return any(page["name"] == name for page in ask.get("/api/pages").json())


def test_where_events_do_not_come_through_changes_are_asked_for(bench, device):
    """Something between here and the server that takes the stream and passes nothing on, as some proxies do."""
    page = device(service_workers="block")
    page.route("**/api/events*", lambda _route: None)
    page.clock.install()
    page.goto(f"{bench.url}/e/marigold/station/main.3")
    page.wait_for_selector("#state:not([hidden])")
    write(bench, 1, "2.48917")
    page.clock.fast_forward(5100)  # it is not ready in time
    page.clock.fast_forward(5100)  # asked for the first time
    page.wait_for_timeout(300)
    page.clock.fast_forward(300)
    page.wait_for_selector("#panel :text('2.48917')")


def test_while_others_type_without_a_pause_a_page_shows_it_soon_and_asks_seldom(bench, device):
    """Nine readings in three seconds: a page that waited for a pause would show none of them until the last, and one that
    asked at every reading would ask nine times."""
    page, fetched = device(service_workers="block"), []
    page.goto(f"{bench.url}/e/marigold/station/main.3")
    until(lambda: is_open(bench, "marigold, drawing"), "it does not listen")
    page.on("request", lambda request: fetched.append(request.url) if request.url.endswith("/station/main.3") else None)
    for number in range(9):
        write(bench, number, f"2.4891{number}")
        page.wait_for_timeout(330)
    assert page.locator("#panel :text('2.48910')").count() > 0
    page.wait_for_selector("#panel b:text-is('2.48918')")
    assert 2 <= len(fetched) <= 4


TYPING = """() => { const look = IDBObjectStore.prototype.getAll; IDBObjectStore.prototype.getAll = function (...what) {
    const field = document.getElementById('text');
    if (this.name === 'done') { field.value = '2.4892'; field.dispatchEvent(new Event('input', {bubbles: true})); window.typed = true; }
    return look.apply(this, what); }; }"""


def test_what_others_write_does_not_wipe_what_is_being_typed(bench, device):
    """The worst moment: the first figure comes while the page looks up what this device has read."""
    page = device(service_workers="block")
    to_tray(page, bench, "main.3", "journal")
    until(lambda: is_open(bench, "marigold, tray"), "it does not listen")
    page.evaluate(TYPING)
    write(bench, 1, "2.48917")
    until_page(page, "window.typed === true")
    page.wait_for_timeout(300)
    assert (page.locator("#text").input_value(), page.locator("#where").inner_text()) == ("2.4892", "Main 3")


def test_a_line_that_only_seems_open_is_given_up_and_listened_to_anew(bench, device):
    page, place = device(service_workers="block"), "marigold, drawing"
    with wire(bench.port) as between:
        page.clock.install()
        page.goto(f"{between.url}/e/marigold/station/main.3")
        until(lambda: is_open(bench, place), "it does not listen")
        between.freeze()
        write(bench, 1, "2.48917")
        page.wait_for_timeout(1000)
        assert page.locator("#panel :text('2.48917')").count() == 0
        page.clock.fast_forward(40100)
        page.clock.fast_forward(5100)
        page.wait_for_timeout(300)
        page.clock.fast_forward(300)
        page.wait_for_selector("#panel :text('2.48917')")
        write(bench, 2, "2.48918")
        page.clock.resume()
        page.wait_for_selector("#panel :text('2.48918')")
        page.close()


def test_the_clock_of_a_device_is_believed_about_nothing(bench, device):
    """A clock at the beginning of Unix time, and one in a year far off; what counts is the order of commit."""
    before, begin = bench.texts("marigold"), datetime.now(UTC).isoformat()
    for year, text in (("1970", "2.48911"), ("9990", "2.48912"), ("1970", "2.48913")):
        page = device()
        page.clock.set_fixed_time(f"{year}-01-01T00:00:00Z")
        to_tray(page, bench, "main.3", "journal")
        take(page, text)
        until_saved(page)
    page = device()
    to_tray(page, bench, "main.3", "journal")
    take(page, "2.48914")
    until_saved(page)
    taken = bench.log("marigold")[len(before):]
    assert [t["text"] for t in taken] == ["2.48911", "2.48912", "2.48913", "2.48914"]
    assert [t["at"][:4] for t in taken[:3]] == ["1970", "9990", "1970"]
    assert all(begin[:19] <= t["received"][:19] <= datetime.now(UTC).isoformat() for t in taken)
    assert len({t["id"] for t in taken}) == 4
    page.goto(f"{bench.url}/e/marigold/station/main.3")
    for text in ("2.48911", "2.48912", "2.48913", "2.48914"):
        assert page.locator(f"#panel td b:text-is('{text}')").count() == 1


def test_a_reading_whose_answer_was_lost_is_sent_again_and_stands_once(bench, device):
    """The server takes the first two postings in, and their answers never come back."""
    page, before, lost = device(service_workers="block"), bench.texts("marigold"), []

    def lose(route):
        if len(lost) < 2:
            lost.append(route.fetch().json()[0]["state"])
            route.abort()
        else:
            route.continue_()

    page.route("**/api/engines/marigold/entries", lose)
    to_tray(page, bench, "main.3", "journal")
    take(page, "2.4891")
    page.wait_for_selector("#state:text-is('1 on this device')")
    until_saved(page)
    assert lost == ["saved", "saved"]
    assert bench.texts("marigold") == [*before, "2.4891"]


def test_several_tabs_of_one_device_send_each_reading_once(bench, device):
    one = device()
    two = one.context.new_page()
    before = bench.texts("marigold")
    for tab, station in ((one, "main.3"), (two, "main.4")):
        to_tray(tab, bench, station, "journal")
    one.context.set_offline(True)
    for number in range(3):
        take(one, f"2.489{number}")
        take(two, f"2.488{number}")
    for tab in (one, two):
        tab.wait_for_selector("#state:text-is('6 on this device')")
    one.context.set_offline(False)
    for tab in (one, two):
        until_saved(tab)
    assert bench.texts("marigold")[len(before):] == ["2.4890", "2.4880", "2.4891", "2.4881", "2.4892", "2.4882"]


def test_what_was_visited_is_there_without_a_server_from_the_first_visit_on(bench, device):
    """The tray is there although nobody had been to it; a page that is not says so, and loses nothing."""
    page = device()
    page.goto(f"{bench.url}/e/marigold/station/main.3")
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    until_page(page, """(async () => (await Promise.all(['/e/marigold/station/main.3', '/e/marigold/tray']
        .map((each) => caches.match(each, {ignoreVary: true})))).every(Boolean))()""")
    bench.kill()
    page.reload()
    assert page.locator("#station").inner_text() == "Main 3"
    to_tray(page, bench)
    take(page, "0.0060")
    page.wait_for_selector("#state:has-text('1 on this device')")
    page.goto(f"{bench.url}/e/marigold/choices")
    assert page.locator("h1").inner_text() == "No line to the server"
    page.goto(f"{bench.url}/e/marigold/tray")
    page.wait_for_selector("#state:has-text('1 on this device')")
    before = bench.texts("marigold")
    bench.start()
    until_saved(page)
    assert bench.texts("marigold") == [*before, "0.0060"]
