"""What tests in the browser do over and over: as a person does it, with eyes on what the page says."""

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


def until_saved(page):
    """Waits until nothing is left on the device, by what the page says of itself."""
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
