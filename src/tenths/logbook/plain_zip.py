"""A zip with exactly one way to write given members: stored, in a fixed order, with fixed dates and no extras.

Any zip tool opens it. Because every byte that is not a member's content follows from the names, sizes and contents,
a reader compares all of them, also those that zip tools pass over. Without compression there is nothing to inflate, and
the bytes do not depend on a version of a compressor. Layout: section 4.3 of [APPNOTE].
"""

import struct
from collections.abc import Callable, Iterator, Sequence
from typing import BinaryIO
from zlib import crc32

import msgspec

from tenths.errors import BadInput, Damaged

CHUNK = 2**20
MAX_BYTES = 2**32 - 1  # beyond these a zip needs extensions that old tools do not read
MAX_MEMBERS = 2**16 - 2

_LOCAL = struct.Struct("<4s5H3L2H")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_END = struct.Struct("<4s4H2LH")
_NEEDS, _MADE_BY, _FLAGS, _STORED, _TIME, _DATE = 20, 3 << 8 | 20, 0, 0, 0, 0x21  # 1 January 1980, 00:00
_MODE = 0o100644 << 16
LOCAL_BYTES = _LOCAL.size


class Member(msgspec.Struct, frozen=True):
    """A file in the zip: its name in ASCII, size [byte], CRC-32, and where its content starts."""

    name: str
    size: int
    crc: int
    start: int


def local_header(name: str, size: int, crc: int) -> bytes:
    """What stands before the content of a member."""
    fixed = _LOCAL.pack(b"PK\x03\x04", _NEEDS, _FLAGS, _STORED, _TIME, _DATE, crc, size, size, len(name), 0)
    return fixed + name.encode("ascii")


def directory(members: Sequence[Member]) -> bytes:
    """What stands behind the last member: the central directory and its end."""
    rows = [_row(m) for m in members]
    listing = b"".join(rows)
    last = members[-1]
    count = len(members)
    return listing + _END.pack(b"PK\x05\x06", 0, 0, count, count, len(listing), last.start + last.size, 0)


def _row(member: Member) -> bytes:
    name = member.name.encode("ascii")
    before = member.start - LOCAL_BYTES - len(name)
    return _CENTRAL.pack(b"PK\x01\x02", _MADE_BY, _NEEDS, _FLAGS, _STORED, _TIME, _DATE, member.crc, member.size,
                         member.size, len(name), 0, 0, 0, 0, _MODE, before) + name


class Writer:
    """Writes members one after the other to a file that can seek, then the directory."""

    def __init__(self, out: BinaryIO) -> None:
        self._out = out
        self._members: list[Member] = []

    def add(self, name: str, size: int, pieces: Iterator[bytes]) -> None:
        """Write one member; raises BadInput when the zip would grow beyond what old tools read."""
        start = self._out.tell() + LOCAL_BYTES + len(name)
        listing = sum(_CENTRAL.size + len(m.name) for m in self._members) + _CENTRAL.size + len(name) + _END.size
        if start + size + listing > MAX_BYTES or len(self._members) >= MAX_MEMBERS:
            raise BadInput(f"{name}: with it the zip would hold more than {MAX_BYTES:,} bytes or {MAX_MEMBERS:,} files")
        self._out.write(local_header(name, size, 0))
        crc = written = 0
        for piece in pieces:
            crc = crc32(piece, crc)
            written += len(piece)
            self._out.write(piece)
        if written != size:
            raise Damaged(f"{name}: {written:,} bytes came where {size:,} were announced; it changed meanwhile")
        self._out.seek(start - LOCAL_BYTES - len(name))
        self._out.write(local_header(name, size, crc))
        self._out.seek(start + size)
        self._members.append(Member(name, size, crc, start))

    def finish(self) -> None:
        """Write the directory."""
        self._out.write(directory(self._members))


class Reader:
    """Reads such a zip from front to back and compares every byte that is not content."""

    def __init__(self, file: BinaryIO, size: int, label: str) -> None:
        self._file = file
        self._size = size
        self._label = label
        self._members: list[Member] = []

    def announced(self) -> int:
        """Size [byte] that the header of the next member announces; checked when the member is read."""
        at = self._file.tell()
        raw = self._read(LOCAL_BYTES, "its first header")
        self._file.seek(at)
        if raw[:4] != b"PK\x03\x04":
            raise Damaged(f"{self._label}: byte 0 on: this is no zip as Tenths writes it")
        return _LOCAL.unpack(raw)[8]

    def member(self, name: str, size: int, take: Callable[[bytes], object]) -> Member:
        """Pass the content of the next member, which must have this name and size, to ``take`` in pieces."""
        place = f"the content of {name}"
        at = self._file.tell()
        header = self._read(LOCAL_BYTES + len(name), f"the header of {name}")
        start, crc, left = self._file.tell(), 0, size
        while left:
            piece = self._read(min(left, CHUNK), place)
            crc = crc32(piece, crc)
            take(piece)
            left -= len(piece)
        self._compare(at, header, local_header(name, size, crc), f"the header of {name} (or {place})")
        self._members.append(Member(name, size, crc, start))
        return self._members[-1]

    def finish(self) -> None:
        """Compare the directory, and that nothing stands behind it."""
        at = self._file.tell()
        wanted = directory(self._members)
        self._compare(at, self._read(len(wanted), "its directory"), wanted, "its directory")
        end = self._file.tell()
        if self._size != end:
            raise Damaged(f"{self._label}: byte {end:,} on: {self._size - end:,} bytes stand behind the end")

    def _read(self, count: int, place: str) -> bytes:
        raw = self._file.read(count) if count <= self._size - self._file.tell() else b""
        if len(raw) < count:
            raise Damaged(f"{self._label}: cut off at byte {self._size:,}, in {place}")
        return raw

    def _compare(self, at: int, found: bytes, wanted: bytes, place: str) -> None:
        if found != wanted:
            offset = next(i for i, (a, b) in enumerate(zip(found, wanted, strict=True)) if a != b)
            raise Damaged(f"{self._label}: byte {at + offset:,}, in {place}, is not what it was when it was written")
