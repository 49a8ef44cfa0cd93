import uuid

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.errors import BadInput
from tenths.logbook.entry import NewEntry, check_new
from tenths.logbook.ids import new_id


def test_the_published_example():
    # RFC 9562, appendix A.6: 0x017F22E279B0 ms, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F
    random = bytes.fromhex("0cc3") + bytes.fromhex("18c4dc0c0c07398f")
    assert new_id(0x017F22E279B0, random) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@given(st.integers(0, 2**48 - 1), st.binary(min_size=10, max_size=10))
def test_any_id_is_a_uuid_of_version_7_that_carries_its_time(clock_ms, random):
    text = new_id(clock_ms, random)
    read = uuid.UUID(text)
    assert (read.version, read.variant, str(read)) == (7, uuid.RFC_4122, text)
    assert read.int >> 80 == clock_ms
    check_new(NewEntry(text, "note.written", 1, "2026-03-01T14:02:11Z", "Ann", "", "{}"))


@given(st.integers(0, 2**48 - 2), st.binary(min_size=10, max_size=10), st.binary(min_size=10, max_size=10))
def test_ids_sort_by_their_time(clock_ms, one, other):
    assert new_id(clock_ms, one) < new_id(clock_ms + 1, other)


@pytest.mark.parametrize("bit", range(74))
def test_every_random_bit_counts(bit):
    random = (1 << bit if bit < 62 else 1 << (bit + 2)).to_bytes(10, "big")
    assert new_id(0, random) != new_id(0, bytes(10))


@pytest.mark.parametrize(("clock_ms", "random"), [(-1, bytes(10)), (2**48, bytes(10)), (0, bytes(9)), (0, b"")])
def test_what_is_refused(clock_ms, random):
    with pytest.raises(BadInput, match=r"clock_ms: |random: "):
        new_id(clock_ms, random)
