"""What the SQLite store owes beyond the contract: its guards, its file, its migrations, and what damage is found."""

import random
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tenths.errors import Damaged, Refused, TenthsError
from tenths.logbook import sqlite_schema
from tenths.logbook.entry import NewEntry
from tenths.logbook.sqlite import SqliteLogbook

SAMPLE = Path(__file__).parent / "samples" / "logbook-tables-1.sql"


def clock():
    return datetime(2026, 3, 1, 14, 2, 12, tzinfo=UTC)


def new(number):
    return NewEntry(f"018f0000-0000-7000-8000-{number:012x}", "reading.taken", 1, "2026-03-01T14:02:11.250Z", "Ann",
                    "phone", '{"text":"2.2485 é"}')


def open_book(path, **options):
    return SqliteLogbook(path, clock=clock, **options)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "log.db"


@pytest.fixture
def filled(path):
    book = open_book(path)
    book.append("six", [new(n) for n in range(1, 5)])
    book.append("v8", [new(n) for n in range(5, 8)])
    book.close()
    return path


@pytest.fixture
def raw(filled):
    db = sqlite3.connect(filled, isolation_level=None)
    yield db
    db.close()


def test_entries_outlive_the_process_and_the_file_says_what_it_is(filled):
    book = open_book(filled)
    assert [e.sent() for e in book.read("six")] == [new(n) for n in range(1, 5)]
    book.verify()
    book.close()
    assert filled.read_bytes()[68:72] == b"tent"  # application id, offset 68 of an SQLite file
    assert [p.name for p in filled.parent.iterdir()] == ["log.db"]


def test_the_settings_that_make_a_commit_durable(path):
    book = open_book(path)
    wanted = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "user_version": 1}
    book.read("six")
    for db in (book._writer, book._readers[0]):
        assert {name: db.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted} == wanted
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        book._readers[0].execute("INSERT INTO migration VALUES (2, '', '')")
    book.close()


SENT = "type, schema, at, person, device, body"


def put(verb="INSERT", *, sequence="8", stream="stream", position="5", entry_id="'x'", previous="hash"):
    """A row made after the last one of the stream, good but for what is given."""
    own = f"{sequence}, {stream}, {position}, {entry_id}"
    return f"{verb} INTO entry SELECT {own}, {SENT}, received, {previous}, 'y', seen FROM entry WHERE sequence = 4"  # noqa: S608


def test_the_row_that_the_next_test_spoils_is_good(raw):
    raw.execute(put())
    assert raw.execute("SELECT id, position FROM entry ORDER BY sequence DESC").fetchone() == ("x", 5)
    raw.execute(put(sequence="9", stream="'new'", position="1", entry_id="'y'", previous="'" + "0" * 64 + "'"))


@pytest.mark.parametrize("statement", [
    "UPDATE entry SET person = 'Bea'", "UPDATE entry SET sequence = sequence + 100", "DELETE FROM entry",
    "DELETE FROM entry WHERE sequence = 7", "UPDATE OR REPLACE entry SET id = 'x'",
    "REPLACE INTO entry SELECT * FROM entry WHERE sequence = 2",
    put("REPLACE", entry_id="id"),
    put("REPLACE", sequence="7"),
    put(position="6"),
    put(position="4"),
    put(previous="'z'"),
    put(sequence="9"),
    put(stream="'new'", position="1"),
    put(stream="'new'", position="2"),
    put(position="1", previous="'" + "0" * 64 + "'"),
    put(position="NULL"),
    put(sequence="NULL"),
])
def test_the_file_itself_refuses_what_is_not_an_append(raw, statement):
    before = list(raw.iterdump())
    with pytest.raises(sqlite3.IntegrityError, match=r"never|only joins"):
        raw.execute(statement)
    assert list(raw.iterdump()) == before


@pytest.mark.parametrize(("statements", "why"), [
    (["UPDATE entry SET person = 'Bea' WHERE sequence = 2"], "six, position 2: its content does not match"),
    (["DELETE FROM entry WHERE sequence = 2"], "six, position 2: the entry is missing"),
    (["DELETE FROM entry WHERE sequence = 4"], "sequence numbers 1 to 7"),
    (["DELETE FROM entry WHERE stream = 'six'"], "sequence numbers 5 to 7"),
    (["UPDATE entry SET stream = 'v9' WHERE sequence = 5"], "v8, position 1: "),
    (["DELETE FROM migration"], "records the steps"),
    (["UPDATE entry SET sequence = 99 WHERE sequence = 7"], "sequence numbers 1 to 99"),
    (["CREATE TABLE other (a)"], "other in its structure"),
    (["DROP INDEX IF EXISTS none"], "entry_is_never_changed"),
    (["PRAGMA user_version = 0"], "already exists"),
    (["PRAGMA user_version = -3"], "version -3, which never was"),
    (["PRAGMA application_id = 7"], "not a logbook of Tenths"),
])
def test_verify_finds_what_was_done_past_the_guards(filled, statements, why):
    db = sqlite3.connect(filled, isolation_level=None)
    guards = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        db.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        db.execute(statement)
    if not statements[0].startswith("DROP"):
        for _, sql in guards:
            db.execute(sql)
    db.close()
    with pytest.raises(Damaged, match=why):
        verify(filled)


def verify(path):
    book = open_book(path)
    try:
        book.verify()
        return {stream: book.read(stream) for stream in book.streams()}, book.read_all()
    finally:
        book.close()


def test_a_missing_entry_is_noticed_by_plain_reading(filled):
    db = sqlite3.connect(filled, isolation_level=None)
    db.execute("DROP TRIGGER entry_is_never_deleted")
    db.execute("DELETE FROM entry WHERE sequence = 2")
    db.close()
    book = open_book(filled)
    with pytest.raises(Damaged, match="six, position 2: the entry is missing"):
        book.read("six")
    with pytest.raises(Damaged, match="sequence number 2 is missing"):
        book.read_all()
    book.close()


def test_a_file_cut_anywhere_is_found(filled):
    whole = filled.read_bytes()
    for cut in [*range(0, len(whole), 331), *range(0, len(whole), 4096), len(whole) - 1]:
        filled.write_bytes(whole[:cut])
        with pytest.raises(Damaged):
            verify(filled)


def test_a_byte_altered_anywhere_is_found_or_changes_nothing(filled):
    """Some bytes of an SQLite file are read by nobody; whatever is read is what was written."""
    wanted, whole = verify(filled), filled.read_bytes()
    generator, found = random.Random(1), 0  # noqa: S311 - places to try, no secrets
    places = [n for n, byte in enumerate(whole) if byte]
    for place in generator.sample(places, 600):
        altered = bytearray(whole)
        altered[place] ^= generator.randrange(1, 256)
        filled.write_bytes(altered)
        try:
            assert verify(filled) == wanted, place
        except TenthsError:
            found += 1
    assert found > 300, "most of the bytes that are not zero carry something"


def test_a_log_ahead_cut_anywhere_leaves_the_beginning_of_the_log(path, tmp_path):
    """What a power cut can do to the file that SQLite writes ahead: whole entries or none."""
    book = open_book(path)
    for n in range(1, 7):
        book.append("six", [new(n)])
    wanted = book.read("six")
    main, ahead = path.read_bytes(), Path(f"{path}-wal").read_bytes()
    book.close()
    lengths = set()
    for cut in range(0, len(ahead) + 1, 517):
        copy = tmp_path / f"{cut}.db"
        copy.write_bytes(main)
        Path(f"{copy}-wal").write_bytes(ahead[:cut])
        entries = verify(copy)[0].get("six", [])
        assert entries == wanted[:len(entries)]
        lengths.add(len(entries))
    assert lengths >= {0, 1, 2, 3, 4, 5}


def test_an_empty_file_is_not_taken_for_a_new_logbook(path):
    path.write_bytes(b"")
    with pytest.raises(Damaged, match="the file is empty"):
        open_book(path)
    assert path.read_bytes() == b""


@pytest.mark.parametrize("content", [b"not a database", b"x" * 5000])
def test_another_kind_of_file_is_refused(path, content):
    path.write_bytes(content)
    with pytest.raises(Damaged, match="not a database"):
        open_book(path)
    assert path.read_bytes() == content


def test_a_file_of_a_newer_tenths_is_refused_and_left_alone(filled):
    db = sqlite3.connect(filled)
    db.execute("PRAGMA user_version = 2")
    db.close()
    before = filled.read_bytes()
    with pytest.raises(Refused, match=r"newer Tenths wrote this logbook \(its tables are version 2,"):
        open_book(filled)
    assert filled.read_bytes() == before


def test_a_migration_that_fails_leaves_nothing_behind(filled):
    db = sqlite_schema.connect(filled, 1.0)
    before = list(db.iterdump())
    broken = (*sqlite_schema.MIGRATIONS, ("a step", ["CREATE TABLE extra (a)", "CREATE TABLE extra (a)"]))
    with pytest.raises(sqlite3.OperationalError, match="already exists"):
        sqlite_schema.migrate(db, filled, "now", broken)
    assert list(db.iterdump()) == before
    assert db.execute("PRAGMA user_version").fetchone() == (1,)
    good = (*sqlite_schema.MIGRATIONS, ("a step", ["CREATE TABLE extra (a)"]))
    sqlite_schema.migrate(db, filled, "now", good)
    sqlite_schema.migrate(db, filled, "now", good)
    assert db.execute("SELECT * FROM migration").fetchall()[1:] == [(2, "a step", "now")]
    assert db.execute("PRAGMA user_version").fetchone() == (2,)
    db.close()


def test_tables_of_version_1_are_still_read(path):
    db = sqlite3.connect(path)
    db.executescript(SAMPLE.read_text(encoding="utf-8"))
    db.close()
    streams, _ = verify(path)
    assert [(e.stream, e.position, e.body) for e in streams["six"]] == [
        ("six", 1, '{"text":"2.2485 é"}'), ("six", 2, '{"text":"2.2485 é"}')]


def test_a_book_that_another_is_writing_to_is_refused_after_patience(filled):
    book, other = open_book(filled, patience=0.05), sqlite3.connect(filled, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(Refused, match=r"another process has been writing for more than 0\.05 s; nothing was taken"):
        book.append("six", [new(9)])
    assert len(book.read("six")) == 4, "reading does not wait for the writer"
    other.execute("ROLLBACK")
    assert book.append("six", [new(9)])[0].position == 5
    other.close()
    book.close()


def test_a_full_disk_is_said_and_leaves_nothing(filled):
    book = open_book(filled)
    pages = book._writer.execute("PRAGMA page_count").fetchone()[0]
    book._writer.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(Refused, match=r"cannot be used now \(database or disk is full\); nothing was taken"):
        book.append("six", [new(n) for n in range(100, 300)])
    book._writer.execute("PRAGMA max_page_count = 1000000")
    assert book.tip() == 7
    assert book.append("six", [new(100)])[0].position == 5
    book.verify()
    book.close()


def test_a_folder_is_made_and_no_trace_stays_beside_the_file(tmp_path):
    book = open_book(tmp_path / "a" / "b c#?%" / "log.db")
    book.append("six", [new(1)])
    book.close()
    assert [p.name for p in (tmp_path / "a" / "b c#?%").iterdir()] == ["log.db"]


def test_a_place_that_cannot_hold_a_file_is_refused(tmp_path):
    (tmp_path / "log.db").mkdir()
    with pytest.raises(Refused, match="cannot be used now"):
        open_book(tmp_path / "log.db")
