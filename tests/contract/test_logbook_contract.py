"""What every logbook store owes; each test runs on every store."""

from datetime import UTC, datetime
from itertools import count
from threading import Thread

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.errors import BadInput, Damaged, Refused
from tenths.logbook.chain import GENESIS, verify, with_hash
from tenths.logbook.entry import NewEntry
from tenths.logbook.memory import MemoryLogbook
from tenths.logbook.sqlite import SqliteLogbook


def clock():
    return datetime(2026, 3, 1, 14, 2, 12, tzinfo=UTC)


@pytest.fixture(params=["memory", "sqlite"])
def make(request, tmp_path):
    books = []
    numbers = count()

    def build():
        path = tmp_path / f"{next(numbers)}.db"
        books.append(MemoryLogbook(clock=clock) if request.param == "memory" else SqliteLogbook(path, clock=clock))
        return books[-1]

    yield build
    for book in books:
        book.close()


@pytest.fixture
def book(make):
    return make()


def new(number, **changes):
    entry = NewEntry(f"018f0000-0000-7000-8000-{number:012x}", "reading.taken", 1, "2026-03-01T14:02:11.250Z", "Ann",
                     "phone", '{"text": "2.2485"}')
    return msgspec.structs.replace(entry, **changes)


def test_an_empty_book(book):
    assert book.read("six") == []
    assert book.read_all() == []
    assert book.head("six") == (0, "0" * 64) == (0, GENESIS)
    assert book.tip() == 0
    assert book.streams() == []
    assert book.find(new(1).id) is None
    assert book.append("six", []) == []
    book.verify()


def test_entries_come_back_to_the_letter(book):
    body = ' {"text" : "2.2485 \\u00e9 é 𝄞 e\u0301",\n\t"n": 1.50E+1, "empty": {}} '
    sent = new(1, person="Zoë Ångström 王", device="", body=body, seen=0)
    (answer,) = book.append("six", [sent])
    assert book.read("six") == [answer]
    assert (answer.stream, answer.position, answer.previous) == ("six", 1, GENESIS)
    assert answer.received == "2026-03-01T14:02:12.000Z"
    assert answer.sent() == sent
    assert book.find(sent.id) == answer


def test_positions_run_by_stream_and_the_sequence_over_all(book):
    book.append("six", [new(1), new(2)])
    book.append("v8", [new(3)])
    book.append("six", [new(4)])
    assert [(e.position, e.id[-1]) for e in book.read("six")] == [(1, "1"), (2, "2"), (3, "4")]
    assert [(n, e.stream, e.position) for n, e in book.read_all()] == [
        (1, "six", 1), (2, "six", 2), (3, "v8", 1), (4, "six", 3)]
    assert book.tip() == 4
    assert book.streams() == ["six", "v8"]
    assert book.head("six") == (3, book.read("six")[-1].hash)


def test_reading_on_from_a_place(book):
    book.append("six", [new(n) for n in range(1, 6)])
    assert [e.position for e in book.read("six", after=3)] == [4, 5]
    assert book.read("six", after=5) == book.read("six", after=99) == []
    assert [n for n, _ in book.read_all(after=2, limit=2)] == [3, 4]
    assert [n for n, _ in book.read_all(after=4)] == [5]
    assert book.read_all(limit=0) == []


def test_each_entry_names_the_hash_before_it(book):
    entries = book.append("six", [new(1)]) + book.append("six", [new(2), new(3)])
    assert [e.previous for e in entries] == [GENESIS, entries[0].hash, entries[1].hash]
    verify(entries)
    book.verify()


def test_a_repeat_is_answered_with_the_first_answer(book):
    first = book.append("six", [new(1), new(2)])
    again = book.append("six", [new(2), new(3), new(1)])
    assert [again[0], again[2]] == [first[1], first[0]]
    assert again[1].position == 3
    assert len(book.read("six")) == 3


def test_a_repeat_within_one_batch_goes_in_once(book):
    one, other = book.append("six", [new(1), new(1)])
    assert one == other
    assert len(book.read("six")) == 1


@pytest.mark.parametrize("change", [
    {"type": "note.written"}, {"schema": 2}, {"at": "2026-03-01T14:02:11.251Z"}, {"person": "Bea"},
    {"device": "bench"}, {"body": '{"text":"2.2485"}'}, {"seen": 0},
])
def test_the_same_id_with_other_content_is_refused(book, change):
    book.append("six", [new(1)])
    with pytest.raises(Refused, match=rf"{new(1).id} already stands.*position 1, with another {next(iter(change))}"):
        book.append("six", [new(2), new(1, **change)])
    assert [e.sent() for e in book.read("six")] == [new(1)], "nothing of the batch may stay"


def test_the_same_id_in_another_stream_is_refused(book):
    book.append("six", [new(1)])
    with pytest.raises(Refused, match=rf"{new(1).id} already stands in the log of six, position 1"):
        book.append("v8", [new(2), new(1)])
    assert book.streams() == ["six"]
    assert book.tip() == 1


def test_the_same_id_with_other_content_within_one_batch_is_refused(book):
    with pytest.raises(Refused, match=new(1).id):
        book.append("six", [new(1), new(1, person="Bea")])
    assert book.read("six") == []


def test_one_bad_entry_keeps_the_whole_batch_out(book):
    with pytest.raises(BadInput, match=r"person: ' ' is not accepted"):
        book.append("six", [new(1), new(2, person=" ")])
    with pytest.raises(BadInput, match=r"stream: '\.\./six' is not accepted"):
        book.append("../six", [new(1)])
    assert book.tip() == 0
    assert book.streams() == []


def test_a_copy_is_adopted_as_it_stands(make):
    here, there = make(), make()
    there.append("v8", [new(9)])
    copy = there.append("six", [new(n) for n in range(1, 5)])
    assert here.adopt(copy) == copy
    assert here.read("six") == copy
    assert here.head("six") == there.head("six")
    assert here.adopt(copy) == []
    assert here.append("six", [new(5)])[0].previous == copy[-1].hash
    here.verify()


def test_a_copy_continues_the_log_that_it_began_with(make):
    here, there = make(), make()
    copy = there.append("six", [new(n) for n in range(1, 5)])
    here.adopt(copy[:2])
    assert here.adopt(copy) == copy[2:]
    assert here.adopt(copy[:3]) == []
    assert here.read("six") == copy


def test_a_copy_that_parts_ways_is_refused(make):
    here, there = make(), make()
    here.append("six", [new(1), new(2)])
    copy = there.append("six", [new(1), new(3), new(4)])
    with pytest.raises(Refused, match="part ways at position 2"):
        here.adopt(copy)
    assert here.tip() == 2


def test_a_copy_with_an_id_of_another_stream_is_refused(make):
    here, there = make(), make()
    here.append("v8", [new(2)])
    copy = there.append("six", [new(1), new(2)])
    with pytest.raises(Refused, match=rf"{new(2).id} of the copy, position 2, already stands in the log of v8"):
        here.adopt(copy)
    assert here.streams() == ["v8"]


def test_a_copy_that_does_not_verify_is_refused(make):
    here, there = make(), make()
    copy = there.append("six", [new(1), new(2)])
    with pytest.raises(Damaged, match="six, position 1: an entry with position 2"):
        here.adopt(copy[1:])
    with pytest.raises(Damaged, match="six, position 2: its content does not match"):
        here.adopt([copy[0], msgspec.structs.replace(copy[1], person="Bea")])
    with pytest.raises(BadInput, match="position 1: person: '' is not accepted"):
        here.adopt([with_hash(msgspec.structs.replace(copy[0], person=""))])
    with pytest.raises(BadInput, match="those of 0 streams"):
        here.adopt([])
    assert here.tip() == 0


def test_many_threads_share_one_book(book):
    def work(worker):
        for n in range(12):
            book.append("six" if n % 2 else f"own-{worker}", [new(worker * 100 + n)])
            book.read("six")
            book.head("six")

    threads = [Thread(target=work, args=(worker,)) for worker in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert book.tip() == 72
    assert [e.position for e in book.read("six")] == list(range(1, 37))
    book.verify()


def test_closing_twice_does_no_harm(book):
    book.append("six", [new(1)])
    book.close()
    book.close()


batches = st.lists(
    st.tuples(st.sampled_from(["six", "v8"]), st.lists(st.tuples(st.integers(1, 12), st.booleans()), max_size=5)),
    max_size=8,
)


class Model:
    """The rules again, as plainly as they can be said: which ids stand where, in which order."""

    def __init__(self):
        self.order = []

    def append(self, stream, entries):
        order = list(self.order)
        for entry in entries:
            standing = [(s, e) for s, e in order if e.id == entry.id]
            if standing and standing != [(stream, entry)]:
                return False
            if not standing:
                order.append((stream, entry))
        self.order = order
        return True


@settings(max_examples=60, deadline=None)
@given(batches=batches)
def test_any_history_keeps_the_rules(tmp_path_factory, batches):
    path = tmp_path_factory.mktemp("any") / "log.db"
    for book in (MemoryLogbook(clock=clock), SqliteLogbook(path, clock=clock)):
        model = Model()
        for stream, rows in batches:
            entries = [new(n, person="Ann" if usual else "Bea") for n, usual in rows]
            if model.append(stream, entries):
                assert [e.sent() for e in book.append(stream, entries)] == entries
            else:
                with pytest.raises(Refused):
                    book.append(stream, entries)
        assert [(e.stream, e.sent()) for _, e in book.read_all()] == model.order
        book.verify()
        book.close()
