"""The bench as a process of its own: how soon a reading is committed and seen elsewhere, first load, and many devices.

A reading is posted by one device; it counts when its answer is there (committed), and when the event has reached a
second device (visible). Beside it, in turns, a bare durable append by the standard library to a file on the same disk.

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
from pathlib import Path
from random import Random
from time import perf_counter, time

import httpx2

from tenths.logbook.ids import new_id
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop

READINGS = 200
LISTENERS, TYPING, EVERY = 100, 20, 3.0  # devices connected, of them typing, seconds from reading to reading of each
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
        self.events, self.broken = 0, False

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
                self.events += chunk.count(b"event: changed")
            self.broken = True
        except OSError:
            self.broken = True


async def committed_and_visible(address: str, folder: Path) -> None:
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    for statement in ("PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL", BARE):
        bare.execute(statement)
    chance, stream = Random(1), Stream(address, "second")  # noqa: S311 - readings for a benchmark
    await stream.open()
    appended, committed, visible = list[float](), list[float](), list[float]()
    async with httpx2.AsyncClient(base_url=address, trust_env=False) as ask:
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
    stream.writer.close()
    row("bare durable append, same disk, in turns", appended[10:])
    row("reading committed (posted until answered)", committed[10:])
    row("reading visible on a second device", visible[10:])


# -- first load --------------------------------------------------------------------------------------------------------

async def first_load(address: str) -> None:
    """What a browser takes over the line: the page, its style and modules, what those import, and the typeface."""
    async with httpx2.AsyncClient(base_url=address, trust_env=False) as ask:
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


async def types(address: str, number: int, until: float, took: list[float], asked: list[float], wrong: list[str]) -> None:
    """A device that types: it asks about each reading as the page does while it is typed, and posts it."""
    chance = Random(number)  # noqa: S311 - readings for a benchmark
    await asyncio.sleep(chance.uniform(0, EVERY))
    async with httpx2.AsyncClient(base_url=address, trust_env=False, timeout=30) as ask:
        count = number
        while perf_counter() < until:
            begin = perf_counter()
            one = entry(count, chance, f"device {number}")
            count += 1
            try:
                question = await ask.get("/api/engines/marigold/question", params=json.loads(str(one["body"])))
                asked.append(perf_counter() - begin)
                start = perf_counter()
                answer = await ask.post("/api/engines/marigold/entries", json=[one])
                took.append(perf_counter() - start)
                if question.status_code != 200 or answer.json()[0]["state"] != "saved":
                    wrong.append(answer.text)
            except (httpx2.HTTPError, ValueError, KeyError) as error:
                wrong.append(repr(error))
            await asyncio.sleep(max(0.0, begin + EVERY - perf_counter()))


async def many(address: str, pid: int, seconds: float) -> None:
    streams = [Stream(address, f"page-{n}") for n in range(LISTENERS)]
    for stream in streams:
        await stream.open()
    listening = [asyncio.create_task(stream.listen()) for stream in streams]
    took, asked, wrong, used = list[float](), list[float](), list[str](), list[float]()
    until = perf_counter() + seconds
    typing = [asyncio.create_task(types(address, n, until, took, asked, wrong)) for n in range(TYPING)]
    while perf_counter() < until:
        await asyncio.sleep(seconds / 12)
        used.append(memory(pid))
    await asyncio.gather(*typing)
    await asyncio.sleep(1.0)
    broken = sum(stream.broken for stream in streams)
    for task, stream in zip(listening, streams, strict=True):
        task.cancel()
        stream.writer.close()
    print(f"\n{LISTENERS} devices connected, {TYPING} typing a reading every {EVERY:g} s, for {seconds:g} s")
    row("  reading committed", took)
    row("  question while typing", asked)
    told = [stream.events for stream in streams]
    print(f"  errors {len(wrong)}, streams broken {broken}, events per device {min(told)} to {max(told)}")
    third = max(1, len(used) // 3)
    early, late = sum(used[:third]) / third, sum(used[-third:]) / third
    print(f"  memory of the server: first third {early:.0f} MB, last third {late:.0f} MB, change {late - early:+.1f} MB")
    for text in wrong[:3]:
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
