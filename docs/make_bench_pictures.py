# ruff: noqa: INP001 - a script, not a package
"""Writes the pictures of the guide: each place of the bench on phone, tablet and desk, bright and dark.

Start the bench on the demo engines first: ``tenths --shop out/shop bench --port 8377``.
"""

import base64
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

PLACES = {"floor": "/", "drawing": "/e/marigold/station/main.4?crank=40", "tray": "/e/marigold/tray?at=main.3&read=journal",
          "choices": "/e/marigold/choices", "running": "/e/kestrel/running", "plot": "/e/marigold/plot/main-oil-clearance",
          "work": "/e/marigold/work", "money": "/e/marigold/money",
          "ahead": "/ahead?engine=marigold&part=pistons-d10&days=14", "record": "/e/marigold/record"}
PHONE = "Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 (KHTML, like Gecko) Mobile Safari/537.36"
SIZES = {"phone": (390, 844), "tablet": (1024, 768), "desk": (1440, 900)}


def main(base: str = "http://localhost:8377", chromium: str = "/usr/bin/chromium") -> None:
    """Writes docs/pictures/bench/*.webp."""
    out = Path(__file__).parent / "pictures" / "bench"
    out.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--headless", "--no-sandbox", "--disable-gpu"])
        for size, (width, height) in SIZES.items():
            for light, scheme in (("bright", "light"), ("dark", "dark")):
                more = {"is_mobile": True, "user_agent": PHONE} if size == "phone" else {}
                page = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme, **more).new_page()  # type: ignore[arg-type]
                line = page.context.new_cdp_session(page)
                for place, path in PLACES.items():
                    page.goto(base + path)
                    page.wait_for_timeout(900)
                    shot = line.send("Page.captureScreenshot", {"format": "webp", "quality": 70})
                    (out / f"{place}-{size}-{light}.webp").write_bytes(base64.b64decode(shot["data"]))
                page.context.close()
        browser.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
