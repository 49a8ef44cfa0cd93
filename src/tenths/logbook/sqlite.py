"""The logbook in one SQLite file: the default store.

The standard library's driver is used as it is: on the way from `tenths check` to its first finding a database toolkit
would cost more than everything else together.
"""

import sqlite3
from collections import deque
from collections.abc import Callable, Generator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from threading import Lock

from msgspec.structs import astuple

from tenths.errors import Damaged, Refused
from tenths.logbook import chain
from tenths.logbook.entry import Entry, NewEntry, check_new, check_stream, utc_text
from tenths.logbook.port import Logbook
from tenths.logbook.sqlite_schema import COLUMNS, check_schema, connect, prepare

_INSERT = (f"INSERT INTO entry ({COLUMNS}, sequence) VALUES ({', '.join('?' * 13)}, "  # noqa: S608 - constants
           "(SELECT coalesce(max(sequence), 0) + 1 FROM entry))")
_SELECT = f"SELECT {COLUMNS} FROM entry"  # noqa: S608 - constants

_STREAMS = """WITH RECURSIVE found (name) AS (
    SELECT min(stream) FROM entry
    UNION ALL
    SELECT (SELECT min(stream) FROM entry WHERE stream > name) FROM found WHERE name IS NOT NULL
) SELECT name FROM found WHERE name IS NOT NULL"""  # one look into the index for each stream, not one for each entry


class SqliteLogbook(Logbook):
    """A logbook in a file, made when there is none. One writing connection, any number of readers.

    Args:
        path: The file; SQLite keeps two more beside it while it is open.
        clock: Gives the time of receipt, with a time zone.
        patience: How long to wait [s] for another process that is writing.

    Raises:
        Damaged: when the file is no logbook or its structure is damaged.
        Refused: when a newer Tenths wrote it, or it cannot be opened for writing.
    """

    def __init__(self, path: Path | str, *, clock: Callable[[], datetime], patience: float = 10.0) -> None:
        self._path = Path(path)
        self._clock = clock
        self._patience = patience
        self._lock = Lock()
        self._said = _Said(self._path, patience)
        self._readers: deque[sqlite3.Connection] = deque()
        self._heads: dict[str, chain.Head] = {}  # where our own last append to each stream ended
        self._closed = False
        with self._said:
            self._writer = prepare(self._path, utc_text(clock()), patience)
        self._transaction = _Transaction(self._writer)  # under the lock only

    def append(self, stream: str, entries: Sequence[NewEntry]) -> list[Entry]:
        """See ``Logbook.append``."""
        check_stream(stream)
        for entry in entries:
            check_new(entry)
        with self._lock:
            try:
                return self._append_by_guess(stream, entries) or self._append_by_looking(stream, entries)
            except _DRIVER_ERRORS as error:
                raise _in_words(error, self._path, self._patience) from error

    def _append_by_guess(self, stream: str, entries: Sequence[NewEntry]) -> list[Entry]:
        """Append as if nobody else had written to the stream and no id were taken; empty when the guess was wrong.

        The guards in the file check just that for each row, so looking first would be the same work twice.
        """
        head = self._heads.pop(stream, None)
        if head is None:
            return []
        received, answers = utc_text(self._clock()), list[Entry]()
        for new in entries:
            entry = chain.link(new, stream, head, received)
            answers.append(entry)
            head = entry.position, entry.hash
        try:
            self._insert_all(answers)
        except sqlite3.IntegrityError:
            return []
        self._heads[stream] = head
        return answers

    def _insert_all(self, entries: Sequence[Entry]) -> None:
        if len(entries) == 1:
            # A single statement is a transaction by itself: it takes the lock, commits, or leaves nothing.
            self._writer.execute(_INSERT, astuple(entries[0]))
            return
        with self._transaction as db:
            for entry in entries:
                db.execute(_INSERT, astuple(entry))

    def _append_by_looking(self, stream: str, entries: Sequence[NewEntry]) -> list[Entry]:
        with self._transaction as db:
            answers, fresh = chain.plan(stream, entries, head=_head(db, stream), find=lambda key: _find(db, key),
                                        received=utc_text(self._clock()))
            for entry in fresh:
                db.execute(_INSERT, astuple(entry))
        if fresh:
            self._heads[stream] = fresh[-1].position, fresh[-1].hash
        return answers

    def adopt(self, entries: Sequence[Entry]) -> list[Entry]:
        """See ``Logbook.adopt``."""
        stream = chain.check_copy(entries)
        with self._lock, self._said, self._transaction as db:
            missing = chain.plan_adoption(entries, stored=_read(db, stream, 0), find=lambda key: _find(db, key))
            for entry in missing:
                db.execute(_INSERT, astuple(entry))
        return missing

    def read(self, stream: str, *, after: int = 0) -> list[Entry]:
        """See ``Logbook.read``."""
        with self._reading() as db:
            return _read(db, stream, max(after, 0))

    def read_all(self, *, after: int = 0, limit: int | None = None) -> list[tuple[int, Entry]]:
        """See ``Logbook.read_all``."""
        after = max(after, 0)
        with self._reading() as db:
            rows = db.execute(
                f"SELECT {COLUMNS}, sequence FROM entry WHERE sequence > ? ORDER BY sequence LIMIT ?",  # noqa: S608
                (after, -1 if limit is None else max(limit, 0)),
            ).fetchall()
        for expected, row in enumerate(rows, after + 1):
            if row[-1] != expected:
                raise Damaged(f"{self._path}: the entry with sequence number {expected} is missing")
        return [(row[-1], Entry(*row[:-1])) for row in rows]

    def find(self, entry_id: str) -> Entry | None:
        """See ``Logbook.find``."""
        with self._reading() as db:
            return _find(db, entry_id)

    def head(self, stream: str) -> chain.Head:
        """See ``Logbook.head``."""
        with self._reading() as db:
            return _head(db, stream)

    def tip(self) -> int:
        """See ``Logbook.tip``."""
        with self._reading() as db:
            return _tip(db)

    def streams(self) -> list[str]:
        """See ``Logbook.streams``."""
        with self._reading() as db:
            return _streams(db)

    def verify(self) -> None:
        """See ``Logbook.verify``; checks SQLite's own pages and indexes and the guards in the schema as well."""
        with self._reading() as db:
            db.execute("BEGIN")
            try:
                check_schema(db, self._path)
                self._verify_chains(db)
            finally:
                db.rollback()

    def _verify_chains(self, db: sqlite3.Connection) -> None:
        count = 0
        for name in _streams(db):
            entries = _read(db, name, 0)
            chain.verify(entries)
            count += len(entries)
        total, first, last = db.execute("SELECT count(*), min(sequence), max(sequence) FROM entry").fetchone()
        if total != count:
            raise Damaged(f"{self._path}: it holds {total} entries, but its streams account for {count}")
        if total and (first, last) != (1, total):
            raise Damaged(f"{self._path}: {total} entries have the sequence numbers {first} to {last}")

    def close(self) -> None:
        """See ``Logbook.close``."""
        with self._lock:
            self._closed = True
            while self._readers:
                self._readers.pop().close()
            self._writer.close()

    @contextmanager
    def _reading(self) -> Generator[sqlite3.Connection]:
        """A connection that no other thread is using, kept for the next reader afterwards."""
        with self._said:
            try:
                db = self._readers.pop()
            except IndexError:
                db = connect(self._path, self._patience)
                db.execute("PRAGMA query_only = ON")
            try:
                yield db
            finally:
                if self._closed:
                    db.close()
                else:
                    self._readers.append(db)


class _Transaction:
    """The writing connection in a transaction that commits at the end, or leaves nothing behind."""

    __slots__ = ("_db",)

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def __enter__(self) -> sqlite3.Connection:
        self._db.execute("BEGIN IMMEDIATE")
        return self._db

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        try:
            if kind is None:
                self._db.execute("COMMIT")
        finally:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")


class _Said:
    """Says what SQLite raises in our own words."""

    __slots__ = ("_path", "_patience")

    def __init__(self, path: Path, patience: float) -> None:
        self._path = path
        self._patience = patience

    def __enter__(self) -> None:
        pass

    def __exit__(self, _kind: type[BaseException] | None, error: BaseException | None, _trace: object) -> None:
        if isinstance(error, _DRIVER_ERRORS):
            raise _in_words(error, self._path, self._patience) from error


def _read(db: sqlite3.Connection, stream: str, after: int) -> list[Entry]:
    rows = db.execute(f"{_SELECT} WHERE stream = ? AND position > ? ORDER BY position", (stream, after)).fetchall()
    entries = [Entry(*row) for row in rows]
    if entries and entries[-1].position != after + len(entries):
        at = next(n for n, entry in enumerate(entries, after + 1) if entry.position != n)
        raise Damaged(f"{stream}, position {at}: the entry is missing")
    return entries


def _find(db: sqlite3.Connection, entry_id: str) -> Entry | None:
    row = db.execute(f"{_SELECT} WHERE id = ?", (entry_id,)).fetchone()
    return Entry(*row) if row else None


def _head(db: sqlite3.Connection, stream: str) -> chain.Head:
    row = db.execute("SELECT position, hash FROM entry WHERE stream = ? ORDER BY position DESC LIMIT 1", (stream,)
                     ).fetchone()
    return row or (0, chain.GENESIS)


def _streams(db: sqlite3.Connection) -> list[str]:
    return [name for (name,) in db.execute(_STREAMS)]


def _tip(db: sqlite3.Connection) -> int:
    return db.execute("SELECT coalesce(max(sequence), 0) FROM entry").fetchone()[0]


_DRIVER_ERRORS = (sqlite3.Error, UnicodeDecodeError)


def _in_words(error: sqlite3.Error | UnicodeDecodeError, path: Path, patience: float) -> Exception:
    if isinstance(error, UnicodeDecodeError):  # the driver gives up on SQLite's own message about a broken name
        return Damaged(f"{path}: it holds text that is not UTF-8")
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return Refused(f"{path}: another process has been writing for more than {patience:g} s; nothing was taken, "
                       f"send it again")
    if code in _UNWRITTEN:
        return Refused(f"{path}: the file cannot be used now ({error}); nothing was taken")
    if isinstance(error, sqlite3.ProgrammingError):
        return error  # a mistake of ours or of the caller, such as use after close
    return Damaged(f"{path}: {error}")


_UNWRITTEN = frozenset({sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN,
                        sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_INTERRUPT})
