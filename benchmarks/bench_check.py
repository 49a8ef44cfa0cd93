"""The whole check of a V8 with 600 readings: warm in a process, and cold from the command line, beside bare baselines."""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.logbook.fold import fold
from tenths.services import commands
from tenths.services.demo import lay_demo
from tenths.services.shop import Shop, open_shop


def timed(action, rounds):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        action()
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.median(times)


def filled(folder: Path) -> Shop:
    """The demo V8 with more of its places read, up to 600 readings."""
    shop = open_shop(folder)
    lay_demo(shop)
    build = shop.build("kestrel")
    wanted = 600 - sum(map(len, build.readings.values()))
    rows = [bodies.ReadingTaken(station=f"cyl.{1 + k % 8}", feature="bore", place="gauge thrust", text="99.006", instrument="mic-75-100")
            for k in range(wanted)]
    commands.take_readings(shop, "kestrel", rows)
    return shop


def bare(entries):
    """What nobody can do without: the JSON of every entry, and an exact number for every typed text."""
    for entry in entries:
        text = str(json.loads(entry.body).get("text", "")).partition(" ")[0].replace(",", ".").lstrip("+")
        try:
            Fraction(text)
        except ValueError:
            continue


def command(words, folder):
    env = os.environ | {"TENTHS_SHOP": str(folder)}
    return lambda: subprocess.run(words, env=env, check=True, capture_output=True)


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "shop"
        shop = filled(folder)
        entries = shop.logbook.read("kestrel")
        shop.logbook.close()
        check(fold("kestrel", entries))
        rows = [
            ("fold and check of a V8 with 600 readings, warm", timed(lambda: check(fold("kestrel", entries)), 20), 50),
            ("bare: JSON and exact numbers of the same entries", timed(lambda: bare(entries), 20), None),
            ("tenths --help", timed(command([sys.executable, "-m", "tenths", "--help"], folder), 7), 150),
            ("tenths check, cold", timed(command([sys.executable, "-m", "tenths", "check", "kestrel"], folder), 7), 800),
            ("bare: python -c pass", timed(command([sys.executable, "-c", "pass"], folder), 7), None),
        ]
    for what, took, aim in rows:
        print(f"{what:<52}{took:8.1f} ms" + (f"   aim under {aim} ms" if aim else ""))


if __name__ == "__main__":
    main()
