"""The tables of the SQLite store, how a file is opened, made and brought up to date."""

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from tenths.errors import Damaged, Refused
from tenths.logbook.files import sync_folder

APPLICATION_ID = 0x74656E74  # "tent" in ASCII; tells a logbook from any other SQLite file
COLUMNS = "stream, position, id, type, schema, at, person, device, body, received, previous, hash, seen"

_FIRST = (
    """CREATE TABLE migration (
    number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL
) STRICT""",
    """CREATE TABLE entry (
    sequence INTEGER PRIMARY KEY,
    stream TEXT NOT NULL,
    position INTEGER NOT NULL,
    id TEXT NOT NULL UNIQUE,
    type TEXT NOT NULL,
    schema INTEGER NOT NULL,
    at TEXT NOT NULL,
    person TEXT NOT NULL,
    device TEXT NOT NULL,
    body TEXT NOT NULL,
    received TEXT NOT NULL,
    previous TEXT NOT NULL,
    hash TEXT NOT NULL,
    seen INTEGER,
    UNIQUE (stream, position)
) STRICT""",
    # REPLACE deletes without asking the trigger on DELETE, so what could be replaced is refused on the way in.
    """CREATE TRIGGER entry_joins_the_chain BEFORE INSERT ON entry WHEN
    NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM entry)
    OR EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
    OR CASE NEW.position
        WHEN 1 THEN NEW.previous <> printf('%064d', 0) OR EXISTS (SELECT 1 FROM entry WHERE stream = NEW.stream)
        ELSE (NEW.position - 1, NEW.previous) IS NOT (
            SELECT position, hash FROM entry WHERE stream = NEW.stream ORDER BY position DESC LIMIT 1)
    END
BEGIN SELECT RAISE(ABORT, 'an entry only joins the end of its chain'); END""",
    """CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END""",
    """CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END""",
)

Migration = tuple[str, Sequence[str]]
MIGRATIONS: tuple[Migration, ...] = (("entries", _FIRST),)


def connect(path: Path, patience: float) -> sqlite3.Connection:
    """A connection to an existing file with the settings that every connection needs."""
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=patience, isolation_level=None,
                         check_same_thread=False)
    try:
        db.execute("PRAGMA synchronous = FULL")
        db.execute("PRAGMA foreign_keys = ON")
        db.execute("PRAGMA cell_size_check = ON")
        db.execute("PRAGMA trusted_schema = OFF")
    except sqlite3.Error:
        db.close()
        raise
    return db


def prepare(path: Path, now: str, patience: float) -> sqlite3.Connection:
    """The writing connection to a logbook that is one and up to date; a file is made where there is none."""
    if not path.exists():
        _make(path, now, patience)
    if path.stat().st_size == 0:
        raise Damaged(f"{path}: the file is empty; a logbook never is, so its content was lost")
    db = connect(path, patience)
    try:
        _check_identity(db, path)
        _check_version(db, path, len(MIGRATIONS))
        _write_ahead(db, path)
        migrate(db, path, now)
    except BaseException:
        db.close()
        raise
    return db


def _make(path: Path, now: str, patience: float) -> None:
    """Make the file aside and give it its name when it is whole: nobody ever opens half a logbook."""
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = path.with_name(f".{path.name}.{os.getpid()}.{os.urandom(4).hex()}.new")
    aside.touch(mode=0o600)
    try:
        db = connect(aside, patience)
        try:
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            migrate(db, aside, now)
        finally:
            db.close()
        _give_name(aside, path)
    finally:
        aside.unlink(missing_ok=True)


def _give_name(aside: Path, path: Path) -> None:
    try:
        path.hardlink_to(aside)
    except FileExistsError:
        return  # another process was first; its file is as good
    except OSError:
        if not path.exists():  # a file system without links
            aside.replace(path)
    sync_folder(path.parent)


def _check_identity(db: sqlite3.Connection, path: Path) -> None:
    (identity,) = db.execute("PRAGMA application_id").fetchone()
    if identity != APPLICATION_ID:
        raise Damaged(f"{path}: this is an SQLite file, but not a logbook of Tenths (application_id {identity:#x})")


def _check_version(db: sqlite3.Connection, path: Path, known: int) -> None:
    version = _version(db)
    if version < 0:
        raise Damaged(f"{path}: its tables have the version {version}, which never was")
    if version > known:
        raise Refused(f"{path}: a newer Tenths wrote this logbook (its tables are version {version}, this Tenths knows "
                      f"{known}); update Tenths, nothing was changed")


def _write_ahead(db: sqlite3.Connection, path: Path) -> None:
    (mode,) = db.execute("PRAGMA journal_mode = WAL").fetchone()
    if mode != "wal":
        raise Refused(f"{path}: this place does not allow a write-ahead log (got {mode!r}); use a local disk")


def migrate(db: sqlite3.Connection, path: Path, now: str, migrations: Sequence[Migration] = MIGRATIONS) -> None:
    """Bring the tables up to date; each step commits together with the row and the number that record it.

    Raises:
        Refused: when the file was written by a newer Tenths.
    """
    while True:
        _check_version(db, path, len(migrations))
        version = _version(db)
        if version == len(migrations):
            return
        _step(db, version, now, migrations[version])


def _step(db: sqlite3.Connection, version: int, now: str, migration: Migration) -> None:
    name, statements = migration
    db.execute("BEGIN IMMEDIATE")
    try:
        if _version(db) == version:  # else another process was first
            for statement in statements:
                db.execute(statement)
            db.execute("INSERT INTO migration VALUES (?, ?, ?)", (version + 1, name, now))
            db.execute(f"PRAGMA user_version = {version + 1}")
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def _version(db: sqlite3.Connection) -> int:
    return db.execute("PRAGMA user_version").fetchone()[0]


def check_schema(db: sqlite3.Connection, path: Path) -> None:
    """Raise Damaged unless pages, indexes, tables and guards are those that the migrations made."""
    problems = [text for (text,) in db.execute("PRAGMA integrity_check(3)") if text != "ok"]
    if problems:
        raise Damaged(f"{path}: {'; '.join(problems)}")
    numbers = [number for (number,) in db.execute("SELECT number FROM migration ORDER BY number")]
    if numbers != list(range(1, _version(db) + 1)):
        raise Damaged(f"{path}: its tables are version {_version(db)}, but it records the steps {numbers}")
    here, wanted = _schema(db), _wanted_schema()
    wrong = sorted({f"{name}" for name in here.keys() | wanted.keys() if here.get(name) != wanted.get(name)})
    if wrong:
        raise Damaged(f"{path}: {', '.join(wrong)} in its structure is not as Tenths made it")


def _schema(db: sqlite3.Connection) -> dict[str, tuple[str, str, str]]:
    return {name: (kind, table, sql) for name, kind, table, sql in db.execute(
        "SELECT name, type, tbl_name, sql FROM sqlite_master")}


def _wanted_schema() -> dict[str, tuple[str, str, str]]:
    db = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrate(db, Path(":memory:"), "")
        return _schema(db)
    finally:
        db.close()
