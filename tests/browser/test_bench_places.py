"""The other places in a real browser: the drawing, photographs, a maker's sheet, customers' links; and who is asked."""

import http.server
import threading
from io import BytesIO

from browsing import take, until_page, until_saved


def picture(colour):
    from PIL import Image

    made = BytesIO()
    Image.new("RGB", (640, 480), colour).save(made, "JPEG")
    return {"name": "phone.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


def test_arrow_keys_go_along_the_engine_and_a_photograph_stays_with_its_station(bench, device):
    """From the nose to the flywheel: main bearing, crankpin, its rod, the next main bearing."""
    page = device(1440, 900)
    page.goto(f"{bench.url}/e/marigold/station/main.3")
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    seen = []
    for _ in range(3):
        before = page.locator("#station").inner_text()
        page.keyboard.press("ArrowRight")
        page.wait_for_selector(f"#station:not(:text-is('{before}'))")
        seen.append(page.locator("#station").inner_text())
    assert seen == ["Crankpin 3", "Rod 3", "Main 4"]
    assert page.url.split("?")[0].endswith("/station/main.4")
    page.keyboard.press("ArrowLeft")
    page.wait_for_selector("#station:text-is('Rod 3')")
    assert page.locator("#panel .photos img").count() == 0
    page.context.set_offline(True)
    page.get_by_label("A photograph of rod 3").set_input_files(picture("firebrick"))
    page.wait_for_selector(".notice:has-text('kept on this device')")
    page.wait_for_selector("#state:text-is('1 on this device')")
    page.reload()
    page.wait_for_selector("#state:text-is('1 on this device')")
    page.context.set_offline(False)
    page.wait_for_selector(".notice:has-text('The photograph is saved.')")
    page.locator("#panel .photos img").scroll_into_view_if_needed()
    until_page(page, "document.querySelector('#panel .photos img').naturalWidth > 0")
    assert bench.log("marigold", "photo.taken")[-1]["station"] == "rod.3"
    page.get_by_label("A photograph of rod 3").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"})
    page.wait_for_selector("#state:text-is('1 refused')")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#station:text-is('Main 4')")
    assert page.locator("#panel .photos img").count() == 0


SHEET = ("station,feature,text,tolerance\ncyl.*,bore,3.4375,\npin.*,stroke,3.5,\nmain.*,journal,2.2490,0.0005\n")


def test_a_makers_sheet_as_a_file_at_the_first_engine_and_forms_that_go_out_once(empty_bench, device):
    page = device(has_touch=True)
    page.goto(f"{empty_bench.url}/new")
    page.get_by_label("Name of the engine").fill("Teal")
    page.get_by_role("radio", name="Inline four, flat crank").check(force=True)
    page.get_by_role("button", name="Open it").dblclick()
    page.wait_for_url("**/e/teal/sheet")
    page.get_by_text("A maker's sheet as a CSV file").click()
    page.locator("#csv").set_input_files({"name": "teal.csv", "mimeType": "text/csv", "buffer": SHEET.encode()})
    until_page(page, "document.getElementById('csv-said').textContent")
    assert page.locator("#csv-said").inner_text() == "3 rows are in."
    until_page(page, "document.querySelector('[data-feature=bore] input').value === '3.4375'")
    page.locator("[data-feature=compression-height] input, [data-feature=rod-length] input").first.fill("5.7")
    page.get_by_role("button", name="State them, to the tray").dblclick()
    page.wait_for_url("**/e/teal/tray")
    until_saved(page)
    stated = [(s["station"], s["feature"], s["text"]) for s in empty_bench.log("teal", "size.stated")]
    assert stated[:3] == [("cyl.*", "bore", "3.4375"), ("pin.*", "stroke", "3.5"), ("main.*", "journal", "2.2490")]
    assert [s[2] for s in stated[3:]] == ["5.7"]
    page.goto(empty_bench.url)
    assert page.locator("a[href^='/e/']", has_text="Teal").count() == 1
    page.goto(f"{empty_bench.url}/e/teal/tray?at=main.2&read=journal")
    page.wait_for_selector("#expected:has-text('2.2490')")


def test_a_customers_link_shows_one_engine_lets_nothing_be_written_and_ends(bench, device):
    owner, customer = device(1440, 900), device()
    owner.goto(f"{bench.url}/people")
    form = owner.locator("form", has=owner.get_by_role("button", name="New link"))
    form.get_by_label("Engine").select_option("marigold")
    form.get_by_label("For whom").fill("Orrin")
    form.get_by_role("button", name="New link").click()
    address = owner.locator("input[readonly]").first.input_value()
    token = address.rpartition("/")[2]
    customer.goto(f"{bench.url}/c/{token}")
    assert "Marigold" in customer.locator("h1").inner_text()
    assert customer.locator("input, textarea, select, form, .needs-script, #state").count() == 0
    links = customer.evaluate("Array.from(document.links, (a) => new URL(a.href).pathname).filter((p) => !p.startsWith('/c/'))")
    assert [link for link in links if link != customer.evaluate("location.pathname")] == []
    assert customer.context.cookies() == []
    assert customer.request.post(f"{bench.url}/c/{token}", data={"text": "2.4"}).status == 405
    owner.locator("li", has_text="Orrin").get_by_role("button", name="End").click()
    owner.wait_for_selector("li:has-text('Orrin'):has-text('ended')")
    assert customer.reload().status == 404
    assert "Marigold" not in customer.locator("body").inner_text()


wanted = []  # by the gate


class Gate(http.server.BaseHTTPRequestHandler):
    """A way out of the machine that leads nowhere and notes who wanted to take it."""

    def note(self):
        wanted.append(self.path)
        self.send_error(502)

    do_GET = do_POST = do_CONNECT = do_HEAD = note  # noqa: N815 - the names that the library calls

    def log_message(self, *_):
        pass


LISTENING = """import sys
def heard(event, arguments):
    if event == "socket.connect" and isinstance(arguments[1], tuple):
        with open({file!r}, "a") as out: out.write(repr(arguments[1]) + "\\n")
sys.addaudithook(heard)
import socket
with socket.socket(type=socket.SOCK_DGRAM) as line: line.connect(("192.0.2.9", 9))  # sends nothing, and must be noted
"""
NOTED = "('192.0.2.9', 9)"
EVERYWHERE = ("/", "/new", "/e/marigold", "/e/marigold?view=end", "/e/marigold?view=plan", "/e/marigold/station/main.3",
              "/e/marigold/tray", "/e/marigold/choices", "/e/marigold/record", "/e/marigold/sheet", "/people", "/e/marigold/work",
              "/e/marigold/steps", "/e/marigold/step/crank-in", "/e/marigold/again?if=crank", "/e/marigold/supply",
              "/e/marigold/money", "/e/marigold/customer", "/shelf", "/ahead", "/history", "/api/docs", "/sign-in",
              "/pair", "/no-such-page")


def test_no_request_leaves_the_machine_from_the_browser_its_worker_or_the_server(bench, chromium, tmp_path):
    """All that is not for localhost goes to a gate that notes it; the server notes every address that it connects to.
    Both are shown first to notice what they are to notice."""
    (tmp_path / "sitecustomize.py").write_text(LISTENING.format(file=str(tmp_path / "connected")), "utf-8")
    bench.kill()
    bench.start(PYTHONPATH=str(tmp_path))
    gate = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Gate)
    threading.Thread(target=gate.serve_forever, daemon=True).start()
    context = chromium.new_context(proxy={"server": f"http://127.0.0.1:{gate.server_port}", "bypass": "localhost"})
    try:
        page = context.new_page()
        page.goto("http://elsewhere.example/")
        assert "http://elsewhere.example/" in wanted
        for place in EVERYWHERE:
            page.goto(bench.url + place)
            page.wait_for_load_state("load")
        page.goto(f"{bench.url}/e/marigold/tray")
        take(page, "0.0060")
        until_saved(page)
        assert page.evaluate("fetch('/e/marigold/record.pdf').then((answer) => answer.ok)")
        assert [asked for asked in wanted if "elsewhere.example" not in asked] == []
    finally:
        context.close()
        gate.shutdown()
        gate.server_close()
    connected = tmp_path / "connected"
    far = [line for line in connected.read_text("utf-8").splitlines() if not line.startswith(("('127.0.0.1'", "('::1'"))]
    assert far == [NOTED]
