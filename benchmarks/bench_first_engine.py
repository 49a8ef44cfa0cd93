"""The first engine from an empty shop on a phone, at the pace of a person: steps and seconds, beside no waiting at all.

A tap takes 2.65 s: think 1.35 s, point 1.1 s, press 0.2 s, as the Keystroke-Level Model of Card, Moran and Newell (1980) has it.
A character takes 0.5 s, slower than the 0.33 s of practised typing on phones (36 words a minute, Palin and others, 2019).
To scroll by most of a screen 1.5 s, and to find a size on the maker's sheet 5 s: our own guesses, no source. Sources from memory.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from browsing import Thumb, first_engine  # the same walk as the tests take

CHROMIUM = "/usr/bin/chromium"
PHONE = {"width": 390, "height": 844}
PACES = {"no pause": {}, "a person's pace": {"tap_s": 2.65, "key_s": 0.5, "swipe_s": 1.5, "look_s": 5.0}}


def once(browser, name: str, pace: dict[str, float]) -> None:
    with tempfile.TemporaryDirectory() as made, subprocess.Popen(
            [sys.executable, "-m", "tenths", "--shop", made, "bench", "--port", "0"], stdout=subprocess.PIPE, text=True) as served:
        try:
            address = re.search(r"http://localhost:\d+", served.stdout.readline()).group()
            page = browser.new_context(viewport=PHONE, has_touch=True).new_page()
            page.goto(f"{address}/new")  # the typeface is cut once for a shop, before anybody counts
            page.evaluate("document.fonts.ready.then(() => 0)")
            thumb = Thumb(page, **pace)
            begin = perf_counter()
            first_engine(thumb, address)
            took = perf_counter() - begin
            page.context.close()
        finally:
            served.terminate()
    print(f"{name:18} {took:6.1f} s   taps {thumb.taps}, keys {thumb.keys}, swipes {thumb.swipes}, sizes looked up {thumb.looks}"
          f"   {'under' if took < 180 else 'OVER'} three minutes")


def main() -> None:
    try:
        from playwright.sync_api import sync_playwright  # noqa: PLC0415 - not there on every machine
    except ImportError:
        print("not run: playwright is missing")
        return
    if not Path(CHROMIUM).exists():
        print("not run: no Chromium on this machine")
        return
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--headless", "--no-sandbox", "--disable-gpu"])
        for name, pace in PACES.items():
            once(browser, name, pace)
        browser.close()


if __name__ == "__main__":
    main()
