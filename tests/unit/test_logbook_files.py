from hashlib import sha256

import pytest

from tenths.errors import BadInput, Damaged
from tenths.logbook import files
from tenths.logbook.files import FileStore, written_whole

# SHA-256 of "abc": FIPS 180-4 example, as published with the standard
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def store(tmp_path):
    return FileStore(tmp_path / "files")


def test_a_file_is_named_by_its_content(store):
    assert store.put(b"abc") == ABC
    assert store.read(ABC) == b"abc"
    assert store.has(ABC)
    assert store.names() == [ABC]
    assert store.path(ABC).parent.name == "ba"
    store.verify()


def test_a_file_is_copied_from_a_path_in_pieces(store, tmp_path, monkeypatch):
    monkeypatch.setattr(files, "CHUNK", 7)
    content = bytes(range(256)) * 3
    (tmp_path / "photo").write_bytes(content)
    assert store.put(tmp_path / "photo") == sha256(content).hexdigest()
    assert store.read(sha256(content).hexdigest()) == content
    assert (tmp_path / "photo").exists()


def test_the_same_content_is_kept_once_and_heals_a_damaged_copy(store):
    store.put(b"abc")
    store.path(ABC).write_bytes(b"abd")
    assert store.put(b"abc") == ABC
    assert store.read(ABC) == b"abc"
    assert store.names() == [ABC]


@pytest.mark.parametrize("content", [b"", b"ab", b"abd", b"abc\0"])
def test_an_altered_file_is_found(store, content):
    store.put(b"abc")
    store.path(ABC).write_bytes(content)
    with pytest.raises(Damaged, match=f"file {ABC} .* was altered"):
        store.read(ABC)
    with pytest.raises(Damaged, match=f"file {ABC} .* was altered"):
        store.verify()


def test_a_missing_file_is_said(store):
    assert not store.has(ABC)
    assert store.names() == []
    with pytest.raises(Damaged, match=f"file {ABC} is missing"):
        store.read(ABC)


@pytest.mark.parametrize("name", ["", "../../etc/passwd", ABC.upper(), ABC + "0", ABC + "\n", "/" + ABC[1:]])
def test_only_hashes_are_names(store, name):
    for use in (store.read, store.has, store.path):
        with pytest.raises(BadInput, match=r"^file: .* is not accepted; a file is named by 64 hexadecimal digits"):
            use(name)


def test_a_file_that_is_too_large_is_refused(store, monkeypatch):
    monkeypatch.setattr(files, "MAX_FILE_BYTES", 3)
    store.put(b"abc")
    with pytest.raises(BadInput, match="4 bytes are not accepted; at most 3 are"):
        store.put(b"abcd")


def test_nothing_is_left_when_writing_fails(store, tmp_path):
    with pytest.raises(FileNotFoundError):
        store.put(tmp_path / "none")
    path = tmp_path / "whole"
    path.write_bytes(b"before")

    def fail():
        with written_whole(path) as out:
            out.write(b"half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert path.read_bytes() == b"before"
    assert sorted(p.name for p in tmp_path.iterdir() if p.is_file()) == ["whole"]
