"""The bench as a process of its own: how soon a reading is committed and seen elsewhere, first load, and many devices.

A reading is posted by one device; it counts when its answer is there (committed), when the event has reached a second device
(told), and when that one has fetched its page anew and the reading stands in it (visible). Beside it, in turns, a bare
durable append by the standard library to a file on the same disk.

Usage: bench_bench.py [seconds | --long]      how long the many devices go on: 15 unless said, 60 with --long
"""

import asyncio
import contextlib
import gzip
import json
import re
import socket
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from time import perf_counter, time
from typing import Any

import httpx2

from tenths.logbook.ids import new_id
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop

READINGS = 200
CONNECTED, TYPING, EVERY = 100, 20, 3.0  # devices connected, of them typing, seconds from reading to reading of each
LOOKED_AT = ("/", "/e/marigold/station/main.3", "/e/marigold/station/rod.2", "/e/marigold", "/e/marigold/choices")
SOON, SPREAD, REST, SHARE = 0.1, 0.02, 3.0, 0.5  # how soon and how often a page is fetched anew: as calm.js has it
WARM = 15.0  # seconds of the same before memory is looked at
BARE = "CREATE TABLE entry (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT"


def percentile(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def row(name: str, values: list[float]) -> None:
    print(f"{name:48} p50 {1e3 * percentile(values, 0.5):7.2f} ms   p95 {1e3 * percentile(values, 0.95):7.2f} ms   "
          f"worst {1e3 * max(values):7.1f} ms   n {len(values)}")


@contextlib.contextmanager
def served(folder: Path) -> Iterator[tuple[str, int]]:
    running = subprocess.Popen([sys.executable, "-m", "tenths", "--shop", str(folder), "bench", "--port", "0"],
                               stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    found = re.search(r"http://localhost:\d+", running.stdout.readline())
    assert found is not None
    try:
        yield found.group(), running.pid
    finally:
        running.terminate()
        running.wait(10)


def entry(number: int, chance: Random, device: str) -> dict[str, object]:
    station, place = f"main.{1 + number % 7}", ("1 front", "2 front", "1 rear", "2 rear")[number % 4]
    body = {"station": station, "feature": "journal", "place": place, "text": f"{chance.gauss(2.489, 0.0001):.4f}",
            "instrument": "mic-2-3"}
    return {"id": new_id(int(time() * 1000), chance.randbytes(10)), "type": "reading.taken", "schema": 1,
            "at": "2026-05-04T10:00:00.000Z", "person": "Ines Vale", "device": device, "body": json.dumps(body)}


# -- committed and visible ---------------------------------------------------------------------------------------------

class Stream:
    """A device that listens, by its bare socket: a hundred of them must not cost this side of the line much."""

    def __init__(self, address: str, page: str) -> None:
        self.host, self.port, self.page = "127.0.0.1", int(address.rpartition(":")[2]), page
        self.events, self.broken, self.changed = 0, False, asyncio.Event()

    async def open(self) -> None:
        """Connects, and waits until the server says that it listens."""
        self.reader, self.writer = await asyncio.open_connection(self.host, self.port)
        self.writer.write(f"GET /api/events?page={self.page} HTTP/1.1\r\nHost: localhost:{self.port}\r\n\r\n".encode())
        assert b" 200 " in await self.reader.readuntil(b"\r\n\r\n")
        await self.reader.readuntil(b"event: ready")

    async def next_of(self, identity: str) -> float:
        """The moment at which the entry of that id is told."""
        await self.reader.readuntil(identity.encode())
        return perf_counter()

    async def listen(self) -> None:
        """Counts what is told, until the line is closed."""
        try:
            while chunk := await self.reader.read(65536):
                told = chunk.count(b"event: changed")
                self.events += told
                if told:
                    self.changed.set()
            self.broken = True
        except OSError:
            self.broken = True


async def committed_and_visible(address: str, folder: Path) -> None:
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    for statement in ("PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL", BARE):
        bare.execute(statement)
    chance, stream = Random(1), Stream(address, "second")  # noqa: S311 - readings for a benchmark
    await stream.open()
    appended, committed, visible, shown = list[float](), list[float](), list[float](), list[float]()
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=60) as ask:
        for number in range(READINGS + 10):
            one = entry(number, chance, "phone")
            start = perf_counter()
            bare.execute("INSERT INTO entry VALUES (?, ?)", (one["id"], one["body"]))
            appended.append(perf_counter() - start)
            seen = asyncio.create_task(stream.next_of(str(one["id"])))
            start = perf_counter()
            answer = (await ask.post("/api/engines/marigold/entries", json=[one])).json()
            committed.append(perf_counter() - start)
            assert answer[0]["state"] == "saved", answer
            visible.append(await seen - start)
            if number % 5:
                continue
            await asyncio.sleep(SOON + SPREAD * chance.random())
            station = json.loads(str(one["body"]))["station"]
            page = await ask.get(f"/e/marigold/station/{station}")
            shown.append(perf_counter() - start)
            assert json.loads(str(one["body"]))["text"] in page.text
    stream.writer.close()
    row("bare durable append, same disk, in turns", appended[10:])
    row("reading committed (posted until answered)", committed[10:])
    row("told to a second device", visible[10:])
    row(f"on its page (after its pause of {1e3 * SOON:.0f} to {1e3 * (SOON + SPREAD):.0f} ms)", shown[2:])


# -- first load --------------------------------------------------------------------------------------------------------

async def first_load(address: str) -> None:
    """What a browser takes over the line: the page, its style and modules, what those import, and the typeface."""
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=60) as ask:
        for page in ("/", "/e/marigold/tray", "/e/marigold"):
            taken: dict[str, tuple[int, int]] = {}
            left = [page, "/font/upright.woff2"]
            while left:
                url = left.pop()
                if url in taken:
                    continue
                async with ask.stream("GET", url, headers={"Accept-Encoding": "gzip"}) as answer:
                    raw = b"".join([chunk async for chunk in answer.aiter_raw()])
                packed = answer.headers.get("content-encoding") == "gzip"
                content = gzip.decompress(raw) if packed else raw
                taken[url] = len(raw), len(content)
                if url.endswith((".js", ".css")) or url == page:
                    left += needed(url, content.decode())
            total, whole = (sum(sizes[i] for sizes in taken.values()) for i in (0, 1))
            print(f"{'first load of ' + page:48} {total / 1000:7.1f} kB over the line in {len(taken)} files "
                  f"({whole / 1000:.0f} kB unpacked)   {'under' if total < 150_000 else 'OVER'} 150 kB")


def needed(url: str, text: str) -> list[str]:
    base = url.rpartition("/")[0]
    found = re.findall(r"""(?:src|href)=["'](/static/[^"']+)["']""", text)
    found += [f"{base}/{name}" for name in re.findall(r"""(?:from|import)\s*\(?["']\./([^"']+)["']""", text)
              if url.endswith(".js")]
    return found


# -- many devices ------------------------------------------------------------------------------------------------------

def memory(pid: int) -> float:
    """Resident memory of the server [MB]; 0 where the system does not tell it this way."""
    with contextlib.suppress(OSError):
        for line in Path(f"/proc/{pid}/status").read_text("ascii").splitlines():
            if line.startswith("VmRSS"):
                return int(line.split()[1]) / 1000
    return 0.0


@dataclass(slots=True)
class Told:
    """What many devices come to."""

    took: list[float] = field(default_factory=list)
    asked: list[float] = field(default_factory=list)
    looked: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def typed(row: dict[str, Any], chance: Random, device: str) -> dict[str, object]:
    """A reading as the tray asks for it: near what is expected, else some number."""
    number, _, unit = row["expected_text"].partition(" ")
    value = float(number) * (1 + chance.gauss(0, 2e-5)) if number else abs(chance.gauss(0.004, 0.0005))
    body = {"station": row["station"], "feature": row["feature"], "place": row["place"], "text": f"{value:.5f} {unit}".strip(),
            "instrument": "" if row["deviation_from"] else row["instrument"]}
    made = entry(0, chance, device)
    return made | {"body": json.dumps({name: text for name, text in body.items() if text})}


async def types(address: str, number: int, rows: list[dict[str, Any]], until: float, told: Told) -> None:
    """A device that types along its part of the tray: it asks about each reading as the page does, and posts it."""
    chance = Random(number)  # noqa: S311 - readings for a benchmark
    await asyncio.sleep(chance.uniform(0, EVERY))
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=30) as ask:
        for count in range(10_000):
            if perf_counter() >= until:
                return
            begin = perf_counter()
            one = typed(rows[count % len(rows)], chance, f"device {number}")
            try:
                question = await ask.get("/api/engines/marigold/question", params=json.loads(str(one["body"])))
                told.asked.append(perf_counter() - begin)
                start = perf_counter()
                answer = await ask.post("/api/engines/marigold/entries", json=[one])
                told.took.append(perf_counter() - start)
                if question.status_code != 200 or answer.json()[0]["state"] != "saved":
                    told.wrong.append(answer.text)
            except (httpx2.HTTPError, ValueError, KeyError) as error:
                told.wrong.append(repr(error))
            await asyncio.sleep(max(0.0, begin + EVERY - perf_counter()))


async def looks(address: str, stream: Stream, url: str, until: float, told: Told) -> None:
    """A page that shows what others write: fetched anew after changes, as seldom as its script does."""
    chance = Random(stream.page)  # noqa: S311 - pauses for a benchmark
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=60) as ask:
        while perf_counter() < until:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(stream.changed.wait(), 1.0)
            if not stream.changed.is_set():
                continue
            stream.changed.clear()
            await asyncio.sleep(SOON + CONNECTED * SPREAD * chance.random())
            start = perf_counter()
            try:
                answer = await ask.get(url)
                if answer.status_code != 200:
                    told.wrong.append(f"{url}: {answer.status_code}")
            except httpx2.HTTPError as error:
                told.wrong.append(repr(error))
            took = perf_counter() - start
            told.looked.append(took)
            await asyncio.sleep(min(60.0, max(REST, SHARE * CONNECTED * took), max(0.1, until - perf_counter())))


async def busy(address: str, streams: list[Stream], seconds: float) -> Told:
    """So many seconds of a shop at work."""
    told, until = Told(), perf_counter() + seconds
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=30) as ask:
        rows = (await ask.get("/api/engines/marigold/tray")).json()
    trays = [types(address, n, rows[n::TYPING], until, told) for n in range(TYPING)]
    own = [looks(address, stream, "/api/engines/marigold/tray?limit=200", until, told) for stream in streams[:TYPING]]
    others = [looks(address, stream, LOOKED_AT[n % len(LOOKED_AT)], until, told) for n, stream in enumerate(streams[TYPING:])]
    await asyncio.gather(*trays, *own, *others)
    return told


async def many(address: str, pid: int, seconds: float) -> None:
    before = memory(pid)
    streams = [Stream(address, f"page-{n}") for n in range(CONNECTED)]
    for stream in streams:
        await stream.open()
    listening = [asyncio.create_task(stream.listen()) for stream in streams]
    used = list[float]()

    async def note() -> None:
        while True:
            used.append(memory(pid))
            await asyncio.sleep(seconds / 12)

    await busy(address, streams, WARM)
    noting = asyncio.create_task(note())
    told = await busy(address, streams, seconds)
    used.append(memory(pid))
    broken = sum(stream.broken for stream in streams)
    for task, stream in zip((noting, *listening), (None, *streams), strict=True):
        task.cancel()
        if stream is not None:
            stream.writer.close()
    print(f"\n{CONNECTED} devices connected, {TYPING} typing a reading every {EVERY:g} s, all showing what is written, for {seconds:g} s")
    row("  reading committed", told.took)
    row("  question while typing", told.asked)
    row("  page fetched anew after changes", told.looked)
    count = [stream.events for stream in streams]
    print(f"  errors {len(told.wrong)}, streams broken {broken}, events per device {min(count)} to {max(count)}")
    print(f"  memory of the server: {before:.0f} MB before anybody came, {used[0]:.0f} MB at the start (after {WARM:g} s of the same), "
          f"{used[len(used) // 2]:.0f} MB in the middle, {used[-1]:.0f} MB at the end")
    for text in told.wrong[:3]:
        print("   ", text[:200])


async def all_of_it(address: str, pid: int, folder: Path, seconds: float) -> None:
    await first_load(address)
    print()
    await committed_and_visible(address, folder)
    await many(address, pid, seconds)


def main() -> None:
    said = sys.argv[1:]
    seconds = 60.0 if "--long" in said else float(said[0]) if said else 15.0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        shop = open_shop(folder)
        lay_demo(shop)
        shop.logbook.close()
        with served(folder) as (address, pid), socket.socket():
            asyncio.run(all_of_it(address, pid, folder, seconds))


if __name__ == "__main__":
    main()
