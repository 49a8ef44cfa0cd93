"""Attachments: photographs and other files beside the logbook, each named by the SHA-256 of its content."""

import os
import re
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from hashlib import file_digest, sha256
from pathlib import Path
from typing import BinaryIO

from tenths.errors import BadInput, Damaged

MAX_FILE_BYTES = 2**30
CHUNK = 2**20

_HASH = re.compile(r"[0-9a-f]{64}")


def check_hash(value: str) -> None:
    """Raise BadInput unless the text is a SHA-256 in lower-case hexadecimal."""
    if not _HASH.fullmatch(value):
        raise BadInput(f"file: {value[:80]!r} is not accepted; a file is named by 64 hexadecimal digits in lower case")


class FileStore:
    """A folder of files by content hash. The same content is kept once; nothing is ever deleted."""

    def __init__(self, folder: Path | str) -> None:
        self._folder = Path(folder)

    def path(self, name: str) -> Path:
        """Where the file with this hash is kept, whether or not it is there."""
        check_hash(name)
        return self._folder / name[:2] / name

    def put(self, content: bytes | Path) -> str:
        """Keep a file durably; returns its hash.

        Args:
            content: The bytes, or the path of a file that is copied.

        Raises:
            BadInput: for more than MAX_FILE_BYTES.
        """
        size = len(content) if isinstance(content, bytes) else content.stat().st_size
        if size > MAX_FILE_BYTES:
            raise BadInput(f"file: {size:,} bytes are not accepted; at most {MAX_FILE_BYTES:,} are")
        self._folder.mkdir(parents=True, exist_ok=True)
        aside = self._folder / f".{os.getpid()}.{os.urandom(8).hex()}.new"
        try:
            with aside.open("xb") as out:
                name = copy(content, out)
                out.flush()
                os.fsync(out.fileno())
            self._give_name(aside, self.path(name))
        finally:
            aside.unlink(missing_ok=True)
        return name

    def _give_name(self, aside: Path, path: Path) -> None:
        if not path.parent.exists():
            path.parent.mkdir(exist_ok=True)
            sync_folder(self._folder)
        aside.replace(path)  # over a file of the same name: the same content, or a damaged one that is healed
        sync_folder(path.parent)

    def read(self, name: str) -> bytes:
        """The content of a file, checked against its name.

        Raises:
            Damaged: when the file is missing or its content is not that of its name.
        """
        try:
            content = self.path(name).read_bytes()
        except FileNotFoundError:
            raise Damaged(f"file {name} is missing from {self._folder}") from None
        if sha256(content).hexdigest() != name:
            raise Damaged(f"file {name} in {self._folder} was altered: its content has another hash")
        return content

    def has(self, name: str) -> bool:
        """Whether a file of this hash is kept."""
        return self.path(name).is_file()

    def names(self) -> list[str]:
        """The hashes of all files, sorted."""
        return sorted(p.name for p in self._folder.glob("??/*") if _HASH.fullmatch(p.name))

    def verify(self) -> None:
        """Raise Damaged, naming the file, unless each content is that of its name."""
        for name in self.names():
            with self.path(name).open("rb") as file:
                if file_digest(file, "sha256").hexdigest() != name:
                    raise Damaged(f"file {name} in {self._folder} was altered: its content has another hash")


def copy(content: bytes | Path, out: BinaryIO) -> str:
    """Write content to an open file; returns the hash of what was written."""
    digest = sha256()
    for chunk in chunks(content):
        digest.update(chunk)
        out.write(chunk)
    return digest.hexdigest()


def chunks(content: bytes | Path) -> Iterator[bytes]:
    """The content in pieces that fit in memory."""
    if isinstance(content, bytes):
        yield content
        return
    with content.open("rb") as file:
        while chunk := file.read(CHUNK):
            yield chunk


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def written_whole(path: Path) -> Generator[BinaryIO]:
    """A file that gets its name only when everything was written and is durable."""
    aside = path.with_name(f".{path.name}.{os.getpid()}.{os.urandom(4).hex()}.new")
    try:
        with aside.open("xb") as out:
            yield out
            out.flush()
            os.fsync(out.fileno())
        aside.replace(path)
        sync_folder(path.parent)
    finally:
        aside.unlink(missing_ok=True)
