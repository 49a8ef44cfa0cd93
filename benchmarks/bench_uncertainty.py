"""All findings of a V8 with their covariance, and one new reading to its verdicts, beside two general libraries."""

import math
import os
import time
from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import GTC
import numpy as np
from uncertainties import covariance_matrix, ufloat

from tenths.findings.check import check, recheck
from tenths.logbook.memory import MemoryLogbook
from tenths.metrology.decide import decide
from tenths.metrology.estimate import Estimate, covariance, propagate
from tenths.metrology.instrument import reading_estimate
from tenths.metrology.templates import INCH, TENTH, from_template
from tenths.metrology.thermal import Temperature
from tenths.services.demo import lay_demo
from tenths.services.shop import Shop

FINDINGS, INPUTS, READINGS = 300, 6, 600
LOWER, UPPER = 15 * TENTH, 35 * TENTH


def clearance(a: float, b: float, c: float, d: float, e: float, f: float) -> float:
    """Two pairs of readings of the hole, less two of the shaft: as many inputs as a finding has."""
    return (a + b + c + d) / 4 - (e + f) / 2


def readings() -> list[Estimate]:
    """Six hundred readings by four gauges set from two micrometers, at three temperatures."""
    mics = [from_template("outside-micrometer-inch", f"mic-{k}", repeatability_freedom=20) for k in range(2)]
    gauges = [from_template("bore-gauge-inch", f"gauge-{k}") for k in range(4)]
    warm = [Temperature(f"t{k}", 20.0 + 2 * k, u=0.5) for k in range(3)]
    rng = np.random.default_rng(4)
    result: list[Estimate] = []
    for k in range(READINGS):
        hole = k % 6 < 4
        size = (2.4500 if hole else 2.4475) * INCH + float(rng.normal(0, TENTH))
        result.append(
            reading_estimate(
                size,
                instrument=gauges[k % 4] if hole else mics[k % 2],
                reading_id=f"r{k}",
                setting=f"s{k // 60}" if hole else None,
                master=mics[k % 2] if hole else None,
                temperature=warm[k % 3],
                part_material="grey cast iron" if hole else "crank steel",
            )
        )
    return result


def groups(items: list[Estimate]) -> list[list[Estimate]]:
    """Which six readings each finding takes; each reading serves three findings."""
    step = READINGS // FINDINGS
    return [[items[(step * k + j) % READINGS] for j in range(INPUTS)] for k in range(FINDINGS)]


def ours(items: list[list[Estimate]]) -> tuple[list[Estimate], np.ndarray, list[str]]:
    found = [propagate(clearance, *six).estimate for six in items]
    return found, covariance(found), [decide(e.value, e.u, LOWER, UPPER) for e in found]


def in_library(items: list[list[Estimate]], unit: Callable[[], Any]) -> list[list[Any]]:
    """The same readings as numbers of another library, over the same causes; not timed, as ours are not."""
    base: dict[str, Any] = defaultdict(unit)
    made: dict[int, Any] = {}
    for six in items:
        for e in six:
            if id(e) not in made:
                made[id(e)] = e.value + sum(p * base[k] for k, p in e.parts.items())
    return [[made[id(e)] for e in six] for six in items]


def with_uncertainties(items: list[list[Any]]) -> np.ndarray:
    return np.array(covariance_matrix([clearance(*six) for six in items]))


def with_gtc(items: list[list[Any]]) -> np.ndarray:
    found = [clearance(*six) for six in items]
    size = len(found)
    table = np.empty((size, size))
    for i in range(size):
        for j in range(i + 1):
            table[i, j] = table[j, i] = GTC.get_covariance(found[i], found[j])
    return table


def best(call: Callable[[], object], times: int) -> float:
    """Shortest of several runs, in milliseconds: the machine's other work only ever adds."""
    shortest = math.inf
    for _ in range(times):
        start = time.perf_counter()
        call()
        shortest = min(shortest, time.perf_counter() - start)
    return shortest * 1e3


def one_more(items: list[list[Estimate]]) -> list[str]:
    """A reading is typed: its estimate, the findings that rest on it, their verdicts."""
    mic = from_template("outside-micrometer-inch", "mic-0")
    new = reading_estimate(
        2.4476 * INCH, instrument=mic, reading_id="new", temperature=Temperature("t0", 20.0, u=0.5),
        part_material="crank steel",
    )  # fmt: skip
    touched = [[*six[:5], new] for six in items[:8]]
    return [decide(e.value, e.u, LOWER, UPPER) for e in (propagate(clearance, *six).estimate for six in touched)]


def in_the_shop() -> None:
    """The demo's V8 from its log: everything that is read, resolved, limited and judged, and one more reading."""
    with TemporaryDirectory() as folder:
        shop = Shop(MemoryLogbook(clock=lambda: datetime(2026, 5, 4, tzinfo=UTC)), Path(folder), "bench")
        lay_demo(shop)
        build = shop.build("kestrel")
        before = check(build)
        measured = [f.estimate for f in before if f.estimate is not None]
        touched = recheck(build, before, "main.3", "journal") or []
        whole = best(lambda: check(build), 9)
        print(f"the demo's V8 from its log: {len(before)} findings, {len(measured)} of them measured")
        print(f"  all of it resolved, judged, with its limits       {whole:9.2f} ms")
        print(f"  covariance of all that is measured                {best(lambda: covariance(measured), 9):9.2f} ms")
        one = best(lambda: recheck(build, before, "main.3", "journal"), 50)
        print(f"  one new reading to {len(touched)} verdicts                     {one:9.2f} ms   {whole / one:7.1f} times less than all")


def main() -> None:
    items = groups(readings())
    _, matrix, _ = ours(items)
    u_items = in_library(items, lambda: ufloat(0, 1))
    g_items = in_library(items, lambda: GTC.ureal(0, 1))
    u_time, g_time = best(partial(with_uncertainties, u_items), 3), best(partial(with_gtc, g_items), 3)
    scale = float(np.diag(matrix).mean())
    assert np.abs(with_uncertainties(u_items) - matrix).max() < 1e-9 * scale
    assert np.abs(with_gtc(g_items) - matrix).max() < 1e-9 * scale
    mine = best(partial(ours, items), 15)
    parts = best(lambda: [propagate(clearance, *six) for six in items], 15)
    print(f"{FINDINGS} findings of {INPUTS} inputs from {READINGS} readings, full covariance, one thread")
    print(f"  ours, values + curvature + covariance + verdicts  {mine:9.2f} ms")
    print(f"    of which propagation                            {parts:9.2f} ms")
    print(f"  uncertainties                                     {u_time:9.2f} ms   {u_time / mine:7.1f} times")
    print(f"  GTC                                               {g_time:9.2f} ms   {g_time / mine:7.1f} times")
    print(f"one new reading to the verdicts of 8 findings       {best(partial(one_more, items), 50):9.3f} ms")
    in_the_shop()


if __name__ == "__main__":
    main()
