"""The page on the architecture names every service once."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_every_service_has_its_place_on_the_page():
    page = (ROOT / "docs" / "architecture.md").read_text("utf-8")
    table = page.partition("## Where to find a service")[2].partition("\n## ")[0]
    named = re.findall(r"`(\w+)`", table.partition("|---|---|")[2])
    there = {file.stem for file in (ROOT / "src" / "tenths" / "services").glob("*.py")} - {"__init__"}
    assert sorted(named) == sorted(there)
