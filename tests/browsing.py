"""What tests in the browser do over and over: as a person does it, with eyes on what the page says."""

import math
import re
import time


def until(holds, what, seconds=30.0):
    """Waits until something outside of the browser holds."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if holds():
            return
        time.sleep(0.05)
    raise AssertionError(what)


EMPTY = """import(new URL('queue.js', document.querySelector('script[type=module]').src)).then((queue) => queue.rows())
    .then((rows) => rows.every((row) => row.state !== 'here'))"""


def until_saved(page):
    """Waits until nothing is left on the device, by its store and by what the page says of itself."""
    until_page(page, EMPTY)
    page.wait_for_selector("#state:text-is('saved')")


def to_tray(page, bench, station="", feature="", engine="marigold"):
    """Opens the tray, where wanted at a reading of a station."""
    page.goto(f"{bench.url}/e/{engine}/tray" + (f"?at={station}&read={feature}" if station else ""))
    page.wait_for_selector("#now:not([hidden])")


def take(page, text):
    """Types and presses Enter, again where the bench asks whether that is meant."""
    page.locator("#text").fill(text)
    page.keyboard.press("Enter")
    for _ in range(400):
        if page.locator("#text").input_value() == "":
            return
        if page.locator("#ask").is_visible():
            page.wait_for_timeout(400)  # a second Enter at once would count as the first one bouncing
            page.keyboard.press("Enter")
        page.wait_for_timeout(25)
    raise AssertionError(f"{text} was not taken")


def place_of(page):
    """Where the tray stands: the station, and what is read there."""
    return f"{page.locator('#where').inner_text()}: {page.locator('#what').inner_text()}"


def swipe(page, selector, across):
    """A finger that goes across something, by real touch events of the browser."""
    box = page.locator(selector).bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + min(box["height"], 200) / 2
    line = page.context.new_cdp_session(page)
    line.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for part in (0.25, 0.5, 0.75, 1):
        line.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x + across * part, "y": y}]})
    line.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    line.detach()


def call_this_device(page, name):
    """Gives the device a name, where a person would."""
    page.locator("#state").click()
    page.get_by_label("What this device is called").fill(name)
    page.get_by_role("button", name="Good").click()


def number_in(words):
    """The first number in a sentence."""
    return int(re.search(r"\d+", words).group())


def until_page(page, holds):
    """Waits until an expression holds in the page; the page's own rules forbid the usual way."""
    for _ in range(1200):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(25)
    raise AssertionError(f"never: {holds}")


class Thumb:
    """A person at a phone: counts what they do, and takes the time that it takes them.

    Attributes:
        tap_s, key_s, swipe_s, look_s: seconds for each; looking is finding a size on the sheet of paper.
    """

    def __init__(self, page, *, tap_s=0.0, key_s=0.0, swipe_s=0.0, look_s=0.0):
        self.page, self.tap_s, self.key_s, self.swipe_s, self.look_s = page, tap_s, key_s, swipe_s, look_s
        self.taps = self.keys = self.swipes = self.looks = 0

    def tap(self, what):
        """Taps something; what is out of sight is scrolled to first, most of a screen at a time."""
        what.wait_for(state="visible")
        box, height = what.bounding_box(), self.page.viewport_size["height"]
        beyond = max(0.0, box["y"] + box["height"] - (height - 150))  # the bars at the foot
        swipes = math.ceil(beyond / (0.6 * height))
        self.swipes, self.taps = self.swipes + swipes, self.taps + 1
        self.page.wait_for_timeout(1000 * (swipes * self.swipe_s + self.tap_s))
        what.tap()

    def type(self, text):
        """Types into what has the focus."""
        self.keys += len(text)
        self.page.keyboard.type(text, delay=1000 * self.key_s)

    def enter(self):
        """The key at the corner of the keyboard."""
        self.keys += 1
        self.page.wait_for_timeout(1000 * self.key_s)
        self.page.keyboard.press("Enter")

    def look(self):
        """Looks something up on paper."""
        self.looks += 1
        self.page.wait_for_timeout(1000 * self.look_s)


FIRST_SIZES = ("3.1875", "3.625", "6.125", "1.75", "9.687")


def first_engine(thumb, url):
    """From an empty shop to the first reading: name, layout, five sizes of the sheet, the tray."""
    page = thumb.page
    page.goto(url)
    thumb.tap(page.get_by_role("link", name="Open the first engine"))
    thumb.tap(page.get_by_label("Name of the engine"))
    thumb.type("Lapwing")
    thumb.tap(page.locator(".layouts label", has_text="Inline four, flat crank"))
    thumb.tap(page.get_by_role("button", name="Open it"))
    page.wait_for_url("**/e/lapwing/sheet")
    thumb.tap(page.locator("[data-feature=bore] input").first)
    for size in FIRST_SIZES:
        thumb.look()
        thumb.type(size)
        thumb.enter()
    thumb.tap(page.get_by_role("button", name="State them, to the tray"))
    page.wait_for_url("**/e/lapwing/tray")
    thumb.tap(page.locator("#text"))
    thumb.look()
    thumb.type("0.0008")
    thumb.enter()
    page.wait_for_selector("#after:not([hidden])")
    until_saved(page)
