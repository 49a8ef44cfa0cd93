"""Ids that a device makes for its entries: UUID version 7, so that they sort by time and never collide."""

from hashlib import sha256

from tenths.errors import BadInput

RANDOM_BYTES = 10
_LAST_MS = 2**48 - 1


def new_id(clock_ms: int, random: bytes) -> str:
    """A UUID version 7 as lower-case text.

    Args:
        clock_ms: Unix time [ms], 0 to 2**48 - 1.
        random: Ten random bytes; the low 12 bits of the first two and the low 62 bits of the rest are used.

    Returns:
        The id, like ``017f22e2-79b0-7cc3-98c4-dc0c0c07398f``.

    Raises:
        BadInput: for a time outside its range or another number of bytes.

    Source: section 5.7 of [RFC 9562].
    """
    if not 0 <= clock_ms <= _LAST_MS:
        raise BadInput(f"clock_ms: {clock_ms} is not accepted; it must be 0 to {_LAST_MS}")
    if len(random) != RANDOM_BYTES:
        raise BadInput(f"random: {len(random)} bytes are not accepted; exactly {RANDOM_BYTES} are needed")
    high = int.from_bytes(random[:2], "big") & 0xFFF
    low = int.from_bytes(random[2:], "big") & (2**62 - 1)
    digits = f"{clock_ms << 80 | 7 << 76 | high << 64 | 2 << 62 | low:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def content_id(*parts: object) -> str:
    """An id that the same parts always have: in form version 4 of [RFC 9562], in content a hash."""
    text = sha256("\0".join(map(str, parts)).encode()).hexdigest()
    return f"{text[:8]}-{text[8:12]}-4{text[13:16]}-{'89ab'[int(text[16], 16) % 4]}{text[17:20]}-{text[20:32]}"
