"""One logbook file under several processes, and under one that is killed while it writes."""

import signal
import subprocess
import sys
from collections import Counter
from datetime import UTC, datetime

from tenths.logbook.sqlite import SqliteLogbook

WRITER = """
import sys
from datetime import UTC, datetime
from tenths.logbook.entry import NewEntry
from tenths.logbook.sqlite import SqliteLogbook

path, worker, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
book = SqliteLogbook(path, clock=lambda: datetime.now(UTC), patience=60.0)
for number in range(count):
    new = NewEntry(f"018f0000-0000-7000-8000-{worker:04x}{number:08x}", "note.written", 1, "2026-03-01T14:02:11Z",
                   f"worker {worker}", "test", "{}")
    (entry,) = book.append("six" if number % 2 else f"own-{worker}", [new])
    print(entry.stream, entry.position, entry.id, entry.hash, flush=True)
"""


def start(path, worker, count):
    return subprocess.Popen([sys.executable, "-c", WRITER, str(path), str(worker), str(count)], stdout=subprocess.PIPE,
                            text=True)


def opened(path):
    return SqliteLogbook(path, clock=lambda: datetime.now(UTC))


def test_processes_that_start_together_share_one_log(tmp_path):
    path = tmp_path / "log.db"
    workers = [start(path, worker, 20) for worker in range(5)]
    answered = [line for worker in workers for line in worker.communicate()[0].splitlines()]
    assert [worker.returncode for worker in workers] == [0] * 5
    book = opened(path)
    book.verify()
    rows = book.read_all()
    assert sorted(answered) == sorted(f"{e.stream} {e.position} {e.id} {e.hash}" for _, e in rows)
    assert Counter(e.stream for _, e in rows) == {"six": 50, **{f"own-{worker}": 10 for worker in range(5)}}
    assert [e.position for e in book.read("six")] == list(range(1, 51))
    book.close()
    assert [p.name for p in tmp_path.iterdir()] == ["log.db"]


def test_a_reader_that_follows_never_misses_an_entry(tmp_path):
    """Order of sequence is order of commit: whoever has seen number n has seen all before it."""
    path = tmp_path / "log.db"
    book = opened(path)
    workers = [start(path, worker, 40) for worker in range(3)]
    seen = []
    while any(worker.poll() is None for worker in workers) or book.tip() > len(seen):
        seen += book.read_all(after=len(seen), limit=7)
    for worker in workers:
        worker.communicate()
    assert seen == book.read_all()
    assert [n for n, _ in seen] == list(range(1, 121))
    book.close()


def test_what_was_answered_outlives_a_killed_process(tmp_path):
    path = tmp_path / "log.db"
    for worker in range(4):
        process = start(path, worker, 1_000_000)
        answered = [process.stdout.readline().split() for _ in range(15 + worker)]
        process.send_signal(signal.SIGKILL)
        answered += [line.split() for line in process.communicate()[0].splitlines(keepends=True) if line.endswith("\n")]
        book = opened(path)
        book.verify()
        for stream, position, entry_id, found in answered:
            entry = book.find(entry_id)
            assert (entry.stream, str(entry.position), entry.hash) == (stream, position, found)
        book.close()
