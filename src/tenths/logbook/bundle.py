"""Export and import: one stream with its files as a zip that can be read without Tenths, see ``docs/logbook.md``."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO

import msgspec

from tenths.errors import BadInput, Damaged, Refused
from tenths.logbook.bundle_readme import README
from tenths.logbook.chain import Head, check_copy, check_head, verify
from tenths.logbook.entry import Entry, check_stream
from tenths.logbook.files import FileStore, check_hash, chunks, written_whole
from tenths.logbook.plain_zip import LOCAL_BYTES, MAX_BYTES, MAX_MEMBERS, Reader, Writer

FORMAT = "tenths-logbook"
VERSION = 1
MAX_MANIFEST_BYTES = 2**24
MAX_ENTRIES_BYTES = 2**28

_MANIFEST, _README, _ENTRIES, _FILES = "manifest.json", "README.txt", "entries.jsonl", "files/"


class _Listed(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    name: str
    size: int
    sha256: str


class _Manifest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    format: str
    version: int
    stream: str
    entries: int
    head: str
    members: list[_Listed]


class _Label(msgspec.Struct, frozen=True):
    format: str
    version: int


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle that was read and verified: the entries of one stream, and its files in the zip."""

    stream: str
    entries: tuple[Entry, ...]
    path: Path
    places: Mapping[str, tuple[int, int]]

    @property
    def head(self) -> Head:
        """Position and hash of the last entry."""
        return self.entries[-1].position, self.entries[-1].hash

    def read_file(self, name: str) -> bytes:
        """The content of a file by its hash; raises BadInput when it is not there, Damaged when it changed since."""
        if name not in self.places:
            raise BadInput(f"file: {name!r} is not in {self.path}")
        start, size = self.places[name]
        with self.path.open("rb") as file:
            file.seek(start)
            content = file.read(size)
        if sha256(content).hexdigest() != name:
            raise Damaged(f"{self.path}: file {name} changed after the bundle was read")
        return content

    def put_files(self, store: FileStore) -> None:
        """Keep every file of the bundle in a store."""
        for name in self.places:
            store.put(self.read_file(name))


def export_bundle(path: Path | str, stream: str, entries: Sequence[Entry], files: Mapping[str, bytes | Path]) -> None:
    """Write one stream with its files as a zip; the same content gives the same bytes.

    Args:
        path: Where to; the file gets its name only when it is whole.
        stream: Name of the stream.
        entries: All of its entries, from position 1.
        files: Content, or path of a file, by hash.

    Raises:
        Damaged: when the chain, or a file against its hash, does not verify.
        BadInput: when there is nothing to export, an entry is of another stream, or it grows too large.
    """
    check_stream(stream)
    if not entries or any(entry.stream != stream for entry in entries):
        raise BadInput(f"entries: a bundle of {stream!r} takes at least one entry and only entries of that stream")
    verify(entries)
    lines = b"".join([msgspec.json.encode(entry) + b"\n" for entry in entries])
    if len(lines) > MAX_ENTRIES_BYTES:
        raise BadInput(f"entries: {len(lines):,} bytes are not accepted; at most {MAX_ENTRIES_BYTES:,} are")
    contents = _contents(lines, files)
    sizes = {name: _size(content) for name, content in contents.items()}
    listed = [_Listed(name, sizes[name], _hash(name, content)) for name, content in contents.items()]
    manifest = _manifest_text(stream, entries, listed)
    with written_whole(Path(path)) as out:
        writer = Writer(out)
        writer.add(_MANIFEST, len(manifest), iter([manifest]))
        for name, content in contents.items():
            digest = sha256()
            writer.add(name, sizes[name], (digest.update(piece) or piece for piece in chunks(content)))
            if name.startswith(_FILES) and name != _FILES + digest.hexdigest():
                raise Damaged(f"{name}: its content has another hash; nothing was exported")
        writer.finish()


def _contents(lines: bytes, files: Mapping[str, bytes | Path]) -> dict[str, bytes | Path]:
    contents: dict[str, bytes | Path] = {_README: README.encode(), _ENTRIES: lines}
    for name in sorted(files):
        check_hash(name)
        contents[_FILES + name] = files[name]
    return contents


def _size(content: bytes | Path) -> int:
    return len(content) if isinstance(content, bytes) else content.stat().st_size


def _hash(name: str, content: bytes | Path) -> str:
    """Hash for the manifest; that of a file is its name and is checked while it is written."""
    return name.removeprefix(_FILES) if isinstance(content, Path) else sha256(content).hexdigest()


def _manifest_text(stream: str, entries: Sequence[Entry], members: list[_Listed]) -> bytes:
    manifest = _Manifest(FORMAT, VERSION, stream, len(entries), entries[-1].hash, members)
    return _canonical_json(msgspec.to_builtins(manifest))


def _canonical_json(value: Any) -> bytes:
    return (json.dumps(value, indent=1, ensure_ascii=True) + "\n").encode()


def read_bundle(path: Path | str, *, head: Head | None = None) -> Bundle:
    """Read a bundle and verify all of it: every byte of the zip, every file, every entry and the chain.

    What cannot be seen from the bundle alone is a copy that somebody made anew, with all hashes, around other content:
    give the ``head`` that you know from the printed record or from another copy.

    Raises:
        Damaged: naming the place.
        Refused: when a newer Tenths wrote it.
        BadInput: when there is no such file, or an entry in it would not be accepted at the border.
    """
    path = Path(path)
    if not path.is_file():
        raise BadInput(f"{path}: there is no such file")
    size = path.stat().st_size
    if size > MAX_BYTES:
        raise BadInput(f"{path}: {size:,} bytes are not accepted; at most {MAX_BYTES:,} are")
    with path.open("rb") as file:
        return _read(file, size, path, head)


def _read(file: BinaryIO, size: int, path: Path, head: Head | None) -> Bundle:
    reader = Reader(file, size, str(path))
    manifest = _read_manifest(reader, path)
    lines = bytearray()
    places: dict[str, tuple[int, int]] = {}
    for listed in manifest.members:
        digest = sha256()
        keep = lines.extend if listed.name == _ENTRIES else None
        member = reader.member(listed.name, listed.size, lambda p, d=digest, k=keep: (d.update(p), k and k(p)))
        if digest.hexdigest() != listed.sha256:
            raise Damaged(f"{path}: the content of {listed.name} does not match its hash in {_MANIFEST}")
        if listed.name.startswith(_FILES):
            places[listed.sha256] = (member.start, member.size)
    reader.finish()
    entries = _read_entries(bytes(lines), manifest, path)
    _check_entries(entries, manifest, path, head)
    return Bundle(manifest.stream, entries, path, places)


def _read_manifest(reader: Reader, path: Path) -> _Manifest:
    size = reader.announced()
    if size > MAX_MANIFEST_BYTES:
        raise Damaged(f"{path}: byte {LOCAL_BYTES - 12}, in the header of {_MANIFEST}: {size:,} bytes are too many")
    text = bytearray()
    reader.member(_MANIFEST, size, text.extend)
    return _decode_manifest(bytes(text), path)


def _decode_manifest(text: bytes, path: Path) -> _Manifest:
    try:
        label = msgspec.json.decode(text, type=_Label)
        if label.format == FORMAT and label.version > VERSION:
            raise Refused(f"{path}: a newer Tenths wrote this bundle (format {label.version}, this Tenths reads up to "
                          f"{VERSION}); update Tenths")
        manifest = msgspec.json.decode(text, type=_Manifest)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise Damaged(f"{path}: {_MANIFEST}: {error}") from None
    if _canonical_json(msgspec.to_builtins(manifest)) != text or label != _Label(FORMAT, VERSION):
        raise Damaged(f"{path}: {_MANIFEST} is not written as format {VERSION} of {FORMAT} writes it")
    _check_members(manifest, path)
    return manifest


def _check_members(manifest: _Manifest, path: Path) -> None:
    """Only the names of the format, each once and in its order, so that no name leads anywhere else."""
    names = [m.name for m in manifest.members]
    wanted = [_README, _ENTRIES] + [_FILES + m.sha256 for m in manifest.members[2:]]
    if names != wanted or names[2:] != sorted(set(names[2:])) or len(names) > MAX_MEMBERS:
        raise Damaged(f"{path}: {_MANIFEST} lists other members than {_README}, {_ENTRIES} and files by hash in order")
    for member in manifest.members:
        try:
            check_hash(member.sha256)
        except BadInput:
            raise Damaged(f"{path}: {_MANIFEST}: {member.sha256[:80]!r} is no hash") from None
        if not 0 <= member.size <= (MAX_ENTRIES_BYTES if member.name == _ENTRIES else MAX_BYTES):
            raise Damaged(f"{path}: {_MANIFEST}: {member.name} cannot have {member.size:,} bytes")


def _read_entries(lines: bytes, manifest: _Manifest, path: Path) -> tuple[Entry, ...]:
    if not lines.endswith(b"\n"):
        raise Damaged(f"{path}: {_ENTRIES}: its last line is cut off")
    entries: list[Entry] = []
    decode, encode = msgspec.json.Decoder(Entry).decode, msgspec.json.encode
    for number, line in enumerate(lines[:-1].split(b"\n"), 1):
        try:
            entries.append(decode(line))
        except (msgspec.DecodeError, UnicodeDecodeError) as error:
            raise Damaged(f"{path}: {_ENTRIES}, line {number}: {error}") from None
        if encode(entries[-1]) != line:
            raise Damaged(f"{path}: {_ENTRIES}, line {number}: it is not written as format {VERSION} writes it")
    if len(entries) != manifest.entries or any(e.stream != manifest.stream for e in entries):
        raise Damaged(f"{path}: {_ENTRIES}: {len(entries)} entries, where {_MANIFEST} announces {manifest.entries} of "
                      f"{manifest.stream}")
    return tuple(entries)


def _check_entries(entries: Sequence[Entry], manifest: _Manifest, path: Path, head: Head | None) -> None:
    try:
        check_copy(entries, head=(manifest.entries, manifest.head))
        if head is not None:
            check_head(manifest.stream, entries, head)
    except Damaged as error:
        raise Damaged(f"{path}: {error}") from None
    except BadInput as error:
        raise BadInput(f"{path}: {error}") from None
