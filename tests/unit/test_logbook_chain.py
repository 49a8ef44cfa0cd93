"""The chain against a second reading of its description, and every way to break it."""

from hashlib import sha256

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.errors import Damaged
from tenths.logbook.chain import GENESIS, canonical, check_head, link, verify, with_hash
from tenths.logbook.entry import Entry, NewEntry


def chain(count, stream="six"):
    head, entries = (0, GENESIS), []
    for number in range(1, count + 1):
        new = NewEntry(f"018f0000-0000-7000-8000-{number:012x}", "reading.taken", 1, "2026-03-01T14:02:11.250Z",
                       "Zoë", "phone", '{"text":"2.2485"}', None if number % 2 else number - 1)
        entries.append(link(new, stream, head, "2026-03-01T14:02:12.000Z"))
        head = entries[-1].position, entries[-1].hash
    return entries


def test_the_bytes_under_the_hash():
    # written out by hand from docs/logbook.md
    zeros = "0" * 64
    wanted = (
        f"14:tenths-entry-1,3:six,1:1,36:018f0000-0000-7000-8000-000000000001,13:reading.taken,1:1,"
        f'24:2026-03-01T14:02:11.250Z,4:Zoë,5:phone,17:{{"text":"2.2485"}},0:,24:2026-03-01T14:02:12.000Z,64:{zeros},'
    ).encode()
    (entry,) = chain(1)
    assert canonical(entry) == wanted
    assert entry.hash == sha256(wanted).hexdigest()
    # the same bytes given to sha256sum of coreutils
    assert entry.hash == "6dd12396336bf38d57d5a6184b57cf8a445d04d8a88946f3de0356de160d044c"


@given(st.lists(st.text(st.characters(codec="utf-8")), min_size=8, max_size=8), st.integers(), st.integers(),
       st.none() | st.integers())
def test_other_fields_give_other_bytes(texts, position, schema, seen):
    """The bytes can be taken apart again into the fields, so no two entries share them."""
    entry = Entry(texts[0], position, texts[1], texts[2], schema, texts[3], texts[4], texts[5], texts[6], texts[7],
                  GENESIS, "", seen)
    raw, parts = canonical(entry), []
    while raw:
        length, _, rest = raw.partition(b":")
        size = int(length)
        assert rest[size:size + 1] == b","
        parts.append(rest[:size].decode())
        raw = rest[size + 1:]
    assert parts == ["tenths-entry-1", texts[0], str(position), texts[1], texts[2], str(schema), *texts[3:7],
                     "" if seen is None else str(seen), texts[7], GENESIS]


def test_whole_chains_verify_also_when_mixed():
    six, eight = chain(5), [with_hash(msgspec.structs.replace(e, id=e.id.replace("018f", "0190")))
                            for e in chain(1, "v8")]
    verify([])
    verify([six[0], eight[0], *six[1:]])


@pytest.mark.parametrize("field", Entry.__struct_fields__)
def test_any_field_altered_is_found_with_its_place(field):
    entries = chain(3)
    value = getattr(entries[1], field)
    other = "x" + value[1:] if isinstance(value, str) else (value or 0) + 1
    entries[1] = msgspec.structs.replace(entries[1], **{field: other})
    with pytest.raises(Damaged, match=r"position 2|xix, position 1"):
        verify(entries)


@pytest.mark.parametrize("field", ["position", "schema", "seen"])
@pytest.mark.parametrize("kind", [str, float])
def test_a_number_of_another_kind_is_found(field, kind):
    entries = chain(2)
    entries[1] = msgspec.structs.replace(entries[1], **{field: kind(getattr(entries[1], field))})
    with pytest.raises(Damaged, match="six, position 2: "):
        verify(entries)


def test_an_altered_entry_with_its_hash_made_anew_breaks_the_link_behind_it():
    entries = chain(3)
    entries[1] = with_hash(msgspec.structs.replace(entries[1], person="Bea"))
    with pytest.raises(Damaged, match="six, position 3: its link to the entry before"):
        verify(entries)


@pytest.mark.parametrize("gone", range(4))
def test_an_entry_taken_out_is_found(gone):
    entries = chain(5)
    del entries[gone]
    with pytest.raises(Damaged, match=rf"six, position {gone + 1}: an entry with position {gone + 2}"):
        verify(entries)


def test_entries_in_another_order_or_twice_are_found():
    entries = chain(4)
    for wrong in ([entries[1], entries[0]], [entries[0], entries[0]], [entries[0], entries[2], entries[1]]):
        with pytest.raises(Damaged, match=r"six, position \d: an entry with position"):
            verify(wrong)


def test_an_id_that_stands_twice_is_found():
    one, two = chain(2)
    with pytest.raises(Damaged, match=r"six, position 2: the id .* stands already at six, position 1"):
        verify([one, with_hash(msgspec.structs.replace(two, id=one.id))])


def test_a_lost_end_is_found_by_the_head_kept_elsewhere():
    entries = chain(4)
    head = 4, entries[-1].hash
    check_head("six", entries, head)
    verify(entries[:-1])
    for kept in range(4):
        with pytest.raises(Damaged, match=rf"position 4: the log ends at position {kept} "):
            check_head("six", entries[:kept], head)
