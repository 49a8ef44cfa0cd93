"""Export and import: nothing is lost, anything altered is found, and a reader needs nothing of ours."""

import io
import json
import random
import re
import subprocess
import sys
import zipfile
from hashlib import sha256
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.errors import BadInput, Damaged, Refused
from tenths.logbook.bundle import Bundle, export_bundle, read_bundle
from tenths.logbook.chain import GENESIS, link, with_hash
from tenths.logbook.entry import NewEntry
from tenths.logbook.files import FileStore
from tenths.logbook.plain_zip import Writer

SAMPLE = Path(__file__).parent / "samples" / "logbook-bundle-1.zip"
PHOTO, LETTER = b"\xff\xd8 not really a photograph", b"a letter"


def name(content):
    return sha256(content).hexdigest()


def chain(rows, stream="six"):
    head, entries = (0, GENESIS), []
    for number, (person, body, seen) in enumerate(rows, 1):
        new = NewEntry(f"018f0000-0000-7000-8000-{number:012x}", "reading.taken", 1, "2026-03-01T14:02:11.250Z", person,
                       "phone", body, seen)
        entries.append(link(new, stream, head, "2026-03-01T14:02:12.000Z"))
        head = entries[-1].position, entries[-1].hash
    return entries


ENTRIES = chain([("Ann", '{"text":"2.2485"}', None), ("Zoë 王", '{"text" : "57,111 mm"}\n', 1), ("Ann", "{}", None)])
FILES = {name(PHOTO): PHOTO, name(LETTER): LETTER}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "six.zip"


@pytest.fixture
def whole(path):
    export_bundle(path, "six", ENTRIES, FILES)
    return path.read_bytes()


def refused(path, content, error=Damaged, match=None):
    path.write_bytes(content)
    with pytest.raises(error, match=match) as caught:
        read_bundle(path)
    assert str(path) in str(caught.value)
    return str(caught.value)


# what comes back


def test_what_was_exported_comes_back(path, tmp_path):
    (tmp_path / "photo").write_bytes(PHOTO)
    export_bundle(path, "six", ENTRIES, {name(PHOTO): tmp_path / "photo", name(LETTER): LETTER})
    bundle = read_bundle(path, head=(3, ENTRIES[-1].hash))
    assert isinstance(bundle, Bundle)
    assert (bundle.stream, list(bundle.entries), bundle.head) == ("six", ENTRIES, (3, ENTRIES[-1].hash))
    assert {n: bundle.read_file(n) for n in bundle.places} == FILES
    store = FileStore(tmp_path / "store")
    bundle.put_files(store)
    assert store.names() == sorted(FILES)


bodies = st.dictionaries(st.text(max_size=5), st.text(max_size=8) | st.integers(-9, 9), max_size=3).map(json.dumps)
people = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), min_size=1, max_size=9).filter(str.strip)


@settings(max_examples=50, deadline=None)
@given(rows=st.lists(st.tuples(people, bodies, st.none() | st.integers(0, 9)), min_size=1, max_size=8),
       contents=st.lists(st.binary(max_size=40), max_size=3))
def test_any_log_comes_back_and_gives_the_same_bytes_again(tmp_path_factory, rows, contents):
    folder = tmp_path_factory.mktemp("any")
    entries, files = chain(rows), {name(c): c for c in contents}
    export_bundle(folder / "one.zip", "six", entries, files)
    bundle = read_bundle(folder / "one.zip")
    back = {n: bundle.read_file(n) for n in bundle.places}
    assert (list(bundle.entries), back) == (entries, files)
    export_bundle(folder / "two.zip", bundle.stream, bundle.entries, dict(reversed(back.items())))
    assert (folder / "one.zip").read_bytes() == (folder / "two.zip").read_bytes()


# a reader in twenty years


def test_any_zip_tool_reads_it(whole):
    with zipfile.ZipFile(io.BytesIO(whole)) as file:
        assert file.testzip() is None
        names = ["manifest.json", "README.txt", "entries.jsonl", *(f"files/{n}" for n in sorted(FILES))]
        assert file.namelist() == names
        assert {i.compress_type for i in file.infolist()} == {zipfile.ZIP_STORED}
        lines = [json.loads(line) for line in file.read("entries.jsonl").decode().splitlines()]
        assert [(e["position"], e["person"], e["body"]) for e in lines] == [
            (e.position, e.person, e.body) for e in ENTRIES]
        assert json.loads(file.read("manifest.json"))["head"] == ENTRIES[-1].hash


def check_of_the_readme(content):
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        text = file.read("README.txt").decode()
    return re.sub(r"(?m)^ {4}", "", "\n".join(re.findall(r"(?m)^ {4}.*$", text[text.index("In Python:"):])))


def test_the_check_that_the_readme_teaches_works_without_us(whole, tmp_path):
    def run():
        return subprocess.run([sys.executable, "-I", "-S", "-c", check_of_the_readme(whole)], cwd=tmp_path, check=False,
                              capture_output=True, text=True)

    path = tmp_path / "the-bundle.zip"
    path.write_bytes(whole)
    assert run().returncode == 0, run().stderr
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(path, "w") as new:
        for member in old.namelist():
            new.writestr(member, old.read(member).replace(b"Ann", b"Bea"))
    assert "AssertionError: 1" in run().stderr


def test_a_bundle_of_format_1_is_still_read_and_written_the_same(tmp_path):
    bundle = read_bundle(SAMPLE)
    assert bundle.stream == "six"
    assert [(e.position, e.person, e.body, e.seen) for e in bundle.entries] == [
        (1, "Ann", '{"text":"2.2485"}', None), (2, "Zoë 王", '{"text" : "57,111 mm"}\n', 1), (3, "Ann", "{}", None)]
    assert {n: bundle.read_file(n) for n in bundle.places} == FILES
    export_bundle(tmp_path / "again.zip", "six", bundle.entries, FILES)
    ours, theirs = zipfile.ZipFile(tmp_path / "again.zip"), zipfile.ZipFile(SAMPLE)
    with ours, theirs:
        assert ours.read("entries.jsonl") == theirs.read("entries.jsonl")


# damage


def test_a_bundle_cut_at_any_byte_is_refused(path, whole):
    for cut in range(len(whole)):
        assert f"cut off at byte {cut:,}, in " in refused(path, whole[:cut])


def test_a_bundle_with_any_byte_altered_is_refused(path, whole):
    flips = random.Random(1)  # noqa: S311 - how to alter, no secrets
    for place in range(len(whole)):
        altered = bytearray(whole)
        altered[place] ^= flips.randrange(1, 256)
        refused(path, altered)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_a_bundle_changed_in_any_other_way_is_refused(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("any") / "six.zip"
    export_bundle(path, "six", ENTRIES, FILES)
    whole = path.read_bytes()
    start = data.draw(st.integers(0, len(whole)))
    stop = data.draw(st.integers(start, min(len(whole), start + 300)))
    put = data.draw(st.binary(max_size=20) | st.just(whole[start:stop] * 2))
    changed = whole[:start] + put + whole[stop:]
    if changed != whole:
        refused(path, changed)


@pytest.mark.parametrize(("old", "new", "match"), [
    (b"2.2485", b"2.2495", r"entries\.jsonl"),

    (b"not really", b"not REALLY", f"the content of files/{name(PHOTO)}"),
    (b"LOGBOOK OF", b"LOGBOOK oF", r"the content of README\.txt"),
    (b'"entries": 3', b'"entries": 2', r"manifest\.json"),
])
def test_the_place_of_the_damage_is_named(path, whole, old, new, match):
    assert whole.count(old) == 1
    refused(path, whole.replace(old, new), match=match)


def test_bytes_behind_the_end_are_refused(path, whole):
    refused(path, whole + b"\0", match=rf"byte {len(whole):,} on: 1 bytes stand behind the end")


@pytest.mark.parametrize("content", [b"", b"PK", b"x" * 5000, b"PK\x05\x06" + bytes(18)])
def test_what_is_no_bundle_is_refused(path, content):
    refused(path, content, match=r"cut off at byte|this is no zip as Tenths writes it")


def test_a_file_that_is_not_there(path):
    with pytest.raises(BadInput, match=r"six\.zip: there is no such file"):
        read_bundle(path)


# bundles made by somebody with all checksums right


def forged(path, whole, *, manifest=None, lines=None, members=(), listed=True, indent=1):
    """The bundle again with another manifest (a function), other lines, or more members, and every sum made anew."""
    with zipfile.ZipFile(io.BytesIO(whole)) as file:
        contents = {n: file.read(n) for n in file.namelist()}
    raw = json.loads(contents.pop("manifest.json"))
    contents["entries.jsonl"] = contents["entries.jsonl"] if lines is None else lines
    rows = [*contents.items(), *members]
    raw["members"] = [{"name": n, "size": len(c), "sha256": name(c)} for n, c in (rows if listed else contents.items())]
    if manifest:
        manifest(raw)
    text = (json.dumps(raw, indent=indent) + "\n").encode()
    with path.open("wb") as out:
        writer = Writer(out)
        for member, content in [("manifest.json", text), *rows]:
            writer.add(member, len(content), iter([content]))
        writer.finish()
    return path.read_bytes()


def test_the_forger_of_these_tests_makes_good_bundles(path, whole):
    assert forged(path, whole) == whole


@pytest.mark.parametrize("member", [
    "../../evil", "/etc/passwd", "files/../../evil", "C:\\evil", "files/" + name(b"other"), "README.txt",
    "entries.jsonl", "files/" + name(PHOTO), "extra.txt", "files/" + name(b"evil").upper(),
])
@pytest.mark.parametrize("listed", [True, False])
def test_other_members_than_the_format_has_are_refused(path, whole, member, listed):
    content = forged(path, whole, members=[(member, b"evil")], listed=listed)
    refused(path, content, match=r"lists other members|its directory")


def huge(raw):
    raw["members"][1]["size"] = 10**15


def other_hash(raw):
    raw["members"][0]["sha256"] = name(b"other")


def other_file(raw):
    raw["members"][2] |= {"name": "files/" + "0" * 64, "sha256": "0" * 64}


@pytest.mark.parametrize(("change", "error", "match"), [
    (lambda raw: raw.update(version=2), Refused, r"a newer Tenths wrote this bundle \(format 2"),
    (lambda raw: raw.update(version=0), Damaged, "not written as format 1"),
    (lambda raw: raw.update(format="other"), Damaged, "not written as format 1"),
    (lambda raw: raw.update(note="x"), Damaged, "unknown field `note`"),
    (lambda raw: raw.pop("head"), Damaged, "missing required field `head`"),
    (lambda raw: raw.update(entries=4), Damaged, r"entries\.jsonl: 3 entries, where manifest\.json announces 4"),
    (lambda raw: raw.update(stream="v8"), Damaged, "announces 3 of v8"),
    (lambda raw: raw.update(head="0" * 64), Damaged, "its end is known as position 3"),
    (lambda raw: raw["members"].pop(), Damaged, "its directory"),
    (lambda raw: raw["members"].reverse(), Damaged, "lists other members"),
    (other_hash, Damaged, r"the content of README\.txt does not match its hash"),
    (other_file, Damaged, "is not what it was when it was written|does not match its hash"),
    (huge, Damaged, r"entries\.jsonl cannot have 1,000,000,000,000,000 bytes"),
])
def test_a_manifest_that_does_not_fit_is_refused(path, whole, change, error, match):
    refused(path, forged(path, whole, manifest=change), error, match)


def test_a_manifest_that_is_spaced_otherwise_is_refused(path, whole):
    refused(path, forged(path, whole, indent=2), match="not written as format 1")


def test_a_file_with_other_content_than_its_name_is_refused(path, whole):
    with path.open("wb") as out:
        writer = Writer(out)
        with zipfile.ZipFile(io.BytesIO(whole)) as old:
            for member in old.namelist():
                content = old.read(member).replace(b"not really", b"not REALLY")
                writer.add(member, len(content), iter([content]))
        writer.finish()
    refused(path, path.read_bytes(), match=f"the content of files/{name(PHOTO)} does not match its hash")


def as_lines(entries):
    return b"".join(msgspec.json.encode(e) + b"\n" for e in entries)


@pytest.mark.parametrize(("lines", "match"), [
    (as_lines(ENTRIES[:2]), "2 entries, where"),
    (as_lines([*ENTRIES[:2], ENTRIES[1]]), "six, position 3: an entry with"),
    (as_lines([msgspec.structs.replace(ENTRIES[0], person="Bea"), *ENTRIES[1:]]), "six, position 1: its content"),
    (as_lines([with_hash(msgspec.structs.replace(ENTRIES[0], person="Bea")), *ENTRIES[1:]]), "position 2: its link"),
    (as_lines(ENTRIES)[:-1], "its last line is cut off"), (b"", "its last line is cut off"),
    (as_lines(ENTRIES) + b"\n", "line 4: "),
    (as_lines(ENTRIES).replace(b'"id":', b'"id": ', 1), "line 1: it is not written"),
    (as_lines(ENTRIES).replace(b'{"stream"', b'{"note":1,"stream"', 1), "line 1: "),
    (as_lines(ENTRIES).replace(b'"seen":1', b'"seen":1,"seen":1', 1), "line 2: it is not written"),
    (as_lines(ENTRIES).replace(b"Ann", b"\xff\xff\xff", 1), "line 1: "),
    (as_lines(ENTRIES).replace(b'"schema":1', b'"schema":"1"', 1), "line 1: "),
])
def test_lines_that_do_not_fit_are_refused(path, whole, lines, match):
    refused(path, forged(path, whole, lines=lines), match=rf"entries\.jsonl.*{match}|{match}")


def test_entries_that_would_not_be_accepted_at_the_border_are_refused(path):
    entries = chain([("Ann", '{"a":1,"a":2}', None)])
    export_bundle(path, "six", entries, {})
    with pytest.raises(BadInput, match=r"six\.zip: six, position 1: .*the key 'a' stands in it twice"):
        read_bundle(path)


def test_a_copy_made_anew_is_found_by_the_head_known_from_elsewhere(path):
    export_bundle(path, "six", chain([("Bea", "{}", None)]), {})
    read_bundle(path)
    with pytest.raises(Damaged, match="six, position 3: the log ends at position 1"):
        read_bundle(path, head=(3, ENTRIES[-1].hash))


@pytest.mark.parametrize("factor", [1, 100])
def test_a_compressed_zip_is_never_inflated(path, whole, factor):
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.namelist():
            new.writestr(member, old.read(member) * factor)
    refused(path, path.read_bytes(), match=r"manifest\.json|header")


def test_a_file_that_changes_after_the_bundle_was_read_is_found(path, whole):
    bundle = read_bundle(path)
    path.write_bytes(whole.replace(PHOTO, PHOTO[::-1]))
    with pytest.raises(Damaged, match=f"file {name(PHOTO)} changed after"):
        bundle.read_file(name(PHOTO))
    with pytest.raises(BadInput, match="is not in"):
        bundle.read_file("../x")


# what is not exported


@pytest.mark.parametrize(("stream", "entries", "files", "error", "match"), [
    ("six", [], {}, BadInput, "at least one entry"), ("v8", ENTRIES, {}, BadInput, "only entries of that stream"),
    ("../x", ENTRIES, {}, BadInput, "stream: "), ("six", ENTRIES[1:], {}, Damaged, "position 1"),
    ("six", ENTRIES, {"../x": b""}, BadInput, "file: "),
    ("six", ENTRIES, {name(PHOTO): LETTER}, Damaged, "another hash"),
    ("six", ENTRIES, {name(PHOTO): SAMPLE}, Damaged, "another hash; nothing was exported"),
])
def test_what_cannot_be_exported_leaves_no_file(path, stream, entries, files, error, match):
    with pytest.raises(error, match=match):
        export_bundle(path, stream, entries, files)
    assert list(path.parent.iterdir()) == []


def test_a_zip_stays_within_what_every_tool_reads():
    writer = Writer(io.BytesIO())
    with pytest.raises(BadInput, match=r"big: with it the zip would hold more than 4,294,967,295 bytes"):
        writer.add("big", 2**32 - 100, iter([]))
    with pytest.raises(Damaged, match="short: 3 bytes came where 4 were announced"):
        writer.add("short", 4, iter([b"abc"]))
