"""A logbook in memory: for tests, trials and the preview of an import."""

from collections.abc import Callable, Sequence
from datetime import datetime
from threading import Lock

from tenths.logbook import chain
from tenths.logbook.entry import Entry, NewEntry, check_new, check_stream, utc_text
from tenths.logbook.port import Logbook


class MemoryLogbook(Logbook):
    """Keeps entries until the process ends. ``clock`` gives the time of receipt, with a time zone."""

    def __init__(self, *, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._lock = Lock()
        self._streams: dict[str, list[Entry]] = {}
        self._by_id: dict[str, Entry] = {}
        self._all: list[Entry] = []

    def append(self, stream: str, entries: Sequence[NewEntry]) -> list[Entry]:
        """See ``Logbook.append``."""
        check_stream(stream)
        for entry in entries:
            check_new(entry)
        with self._lock:
            answers, fresh = chain.plan(stream, entries, head=self.head(stream), find=self.find,
                                        received=utc_text(self._clock()))
            self._store(fresh)
        return answers

    def adopt(self, entries: Sequence[Entry]) -> list[Entry]:
        """See ``Logbook.adopt``."""
        stream = chain.check_copy(entries)
        with self._lock:
            missing = chain.plan_adoption(entries, stored=self.read(stream), find=self.find)
            self._store(missing)
        return missing

    def _store(self, fresh: Sequence[Entry]) -> None:
        for entry in fresh:
            self._streams.setdefault(entry.stream, []).append(entry)
            self._by_id[entry.id] = entry
            self._all.append(entry)

    def read(self, stream: str, *, after: int = 0) -> list[Entry]:
        """See ``Logbook.read``."""
        return self._streams.get(stream, [])[max(after, 0):]

    def read_all(self, *, after: int = 0, limit: int | None = None) -> list[tuple[int, Entry]]:
        """See ``Logbook.read_all``."""
        after = max(after, 0)
        rows = self._all[after:] if limit is None else self._all[after:after + max(limit, 0)]
        return list(enumerate(rows, after + 1))

    def find(self, entry_id: str) -> Entry | None:
        """See ``Logbook.find``."""
        return self._by_id.get(entry_id)

    def head(self, stream: str) -> chain.Head:
        """See ``Logbook.head``."""
        rows = self._streams.get(stream)
        return (rows[-1].position, rows[-1].hash) if rows else (0, chain.GENESIS)

    def tip(self) -> int:
        """See ``Logbook.tip``."""
        return len(self._all)

    def streams(self) -> list[str]:
        """See ``Logbook.streams``."""
        return sorted(self._streams)

    def verify(self) -> None:
        """See ``Logbook.verify``."""
        chain.verify(self._all)

    def close(self) -> None:
        """Nothing is held."""
