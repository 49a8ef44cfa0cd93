"""Durable appends through the logbook against bare sqlite3, and what reading, verifying and export cost.

Both write the same rows with the same pragmas into a table with the same columns and unique keys, one commit each, in
turns, so that both meet the same disk. The bare one has neither chain nor checks nor guards.
"""

import sqlite3
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from time import perf_counter, time_ns

from msgspec.structs import astuple

from tenths.logbook.bundle import export_bundle, read_bundle
from tenths.logbook.chain import GENESIS, Head, link, verify
from tenths.logbook.entry import NewEntry
from tenths.logbook.ids import new_id
from tenths.logbook.sqlite import SqliteLogbook

ROUNDS = 15
APPENDS = 60
ENTRIES = 10_000
BODY = ('{"station":"main.3","feature":"journal-diameter","text":"2.2485","place":"v-front","instrument":"mic-1",'
        '"setting":"018f0000-0000-7000-8000-000000000001","temperature":"68"}')

BARE = """CREATE TABLE entry (sequence INTEGER PRIMARY KEY, stream TEXT NOT NULL, position INTEGER NOT NULL,
id TEXT NOT NULL UNIQUE, type TEXT NOT NULL, schema INTEGER NOT NULL, at TEXT NOT NULL, person TEXT NOT NULL,
device TEXT NOT NULL, body TEXT NOT NULL, received TEXT NOT NULL, previous TEXT NOT NULL, hash TEXT NOT NULL,
seen INTEGER, UNIQUE (stream, position)) STRICT"""
INSERT = ("INSERT INTO entry (stream, position, id, type, schema, at, person, device, body, received, previous, hash, "
          "seen) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")


def new(number: int) -> NewEntry:
    random = number.to_bytes(10, "big")
    return NewEntry(new_id(time_ns() // 1_000_000, random), "reading.taken", 1, "2026-03-01T14:02:11.250Z", "Ann",
                    "phone", BODY, number)


def open_bare(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path, isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
        db.execute(f"PRAGMA {pragma}")
    db.execute(BARE)
    return db


def rows_for_bare(count: int) -> list[tuple[object, ...]]:
    head: Head = (0, GENESIS)
    rows: list[tuple[object, ...]] = []
    for number in range(count):
        entry = link(new(number), "six", head, "2026-03-01T14:02:12.000Z")
        head = entry.position, entry.hash
        rows.append(astuple(entry))
    return rows


def time_ours(book: SqliteLogbook, entry: NewEntry) -> float:
    start = perf_counter()
    book.append("six", [entry])
    return perf_counter() - start


def time_bare(db: sqlite3.Connection, row: tuple[object, ...]) -> float:
    start = perf_counter()
    db.execute("BEGIN IMMEDIATE")
    db.execute(INSERT, row)
    db.execute("COMMIT")
    return perf_counter() - start


def appends(folder: Path) -> None:
    book = SqliteLogbook(folder / "ours.db", clock=lambda: datetime.now(UTC))
    db = open_bare(folder / "bare.db")
    rows = rows_for_bare(ROUNDS * APPENDS)
    ours, bare = [0.0] * ROUNDS, [0.0] * ROUNDS
    for number, row in enumerate(rows):
        turn, entry = number // APPENDS, new(number)
        if number % 2:
            ours[turn] += time_ours(book, entry)
            bare[turn] += time_bare(db, row)
        else:
            bare[turn] += time_bare(db, row)
            ours[turn] += time_ours(book, entry)
    assert book.tip() == db.execute("SELECT count(*) FROM entry").fetchone()[0] == ROUNDS * APPENDS
    book.verify()
    book.close()
    db.close()
    ratio = median(b / o for o, b in zip(ours, bare, strict=True))
    print(f"single durable appends in turns, median of {ROUNDS} rounds of {APPENDS}")
    print(f"  bare sqlite3   {APPENDS / median(bare):10,.0f} /s")
    print(f"  logbook        {APPENDS / median(ours):10,.0f} /s")
    print(f"  ratio          {ratio:10.2f}    aim 0.80 or more")


def best(work: object, times: int = 5) -> float:
    took = []
    for _ in range(times):
        start = perf_counter()
        work()  # type: ignore[operator]
        took.append(perf_counter() - start)
    return min(took) * 1e3


def whole_logs(folder: Path) -> None:
    book = SqliteLogbook(folder / "large.db", clock=lambda: datetime.now(UTC))
    start = perf_counter()
    entries = book.append("six", [new(n) for n in range(ENTRIES)])
    batch = (perf_counter() - start) * 1e3
    path = folder / "six.zip"
    bare = sqlite3.connect(folder / "large.db")
    query = "SELECT * FROM entry WHERE stream = 'six' AND position > 9000 ORDER BY position"
    print(f"\n{ENTRIES:,} entries in one log")
    for words, took in (
        ("append in one batch", batch),
        ("read the last 1,000 as entries", best(lambda: book.read("six", after=ENTRIES - 1000))),
        ("  bare sqlite3, the same as rows", best(lambda: bare.execute(query).fetchall())),
        (f"read all {ENTRIES:,}", best(lambda: book.read("six"))),
        ("verify the chain", best(lambda: verify(entries))),
        ("verify the file, guards and chain", best(book.verify)),
        ("export to a zip", best(lambda: export_bundle(path, "six", entries, {}), 3)),
        ("read and verify the zip", best(lambda: read_bundle(path), 3)),
    ):
        print(f"  {words:36s}{took:8.1f} ms")
    bare.close()
    book.close()


def main() -> None:
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else None  # a folder on the disk to measure; /tmp may be memory
    with tempfile.TemporaryDirectory(dir=where) as folder:
        appends(Path(folder))
        whole_logs(Path(folder))


if __name__ == "__main__":
    main()
