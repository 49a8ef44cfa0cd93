"""The record from a logbook to the PDF, read back with a library that is not ours."""

import hashlib
import json
import os
import subprocess
import sys
from collections import Counter
from io import BytesIO

import pytest
from pypdf import PdfReader

from shops import shop_in_memory
from tenths.errors import BadInput, Refused
from tenths.logbook import bodies
from tenths.record.report import record_pdf, write_record
from tenths.services import commands

POINTS = 72 / 25.4  # a PDF counts in points of 1/72 in
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm, ISO 216 and ANSI/ASME Y14.1


def read(pdf):
    return PdfReader(BytesIO(pdf))


def words(pdf):
    """All text, with runs of white space as one blank: lines break where the setting wants."""
    return " ".join(" ".join(page.extract_text() for page in read(pdf).pages).split())


def fonts(pdf):
    """Name of each font to whether its program stands in the file."""
    found = {}
    for page in read(pdf).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            program = inner["/FontDescriptor"].get_object()
            found[str(inner["/BaseFont"])] = any(k in program for k in ("/FontFile", "/FontFile2", "/FontFile3"))
    return found


@pytest.fixture(scope="module", params=["A4", "Letter"])
def both(request, demo_shop):
    """The record of the inch engine on either paper."""
    return request.param, record_pdf(demo_shop, "marigold", paper=request.param)


def test_every_page_has_the_paper_asked_for(both):
    paper, pdf = both
    for page in read(pdf).pages:
        assert [float(page.mediabox.width) / POINTS, float(page.mediabox.height) / POINTS] == pytest.approx(
            SIZES[paper], abs=0.05
        )


def test_all_fonts_are_of_the_one_family_and_inside_the_file(both):
    found = fonts(both[1])
    assert found
    for name, embedded in found.items():
        assert "IBMPlexSans" in name
        assert embedded, name


def test_nothing_is_lost_for_want_of_a_glyph(both):
    assert "\ufffd" not in words(both[1])
    assert "\x00" not in words(both[1])


def test_the_record_says_who_what_and_how_it_stands(both, demo_shop):
    text = words(both[1])
    build = demo_shop.build("marigold")
    waiting = [part.card for part in build.parts.values() if not part.in_house]
    told = [build.name, build.customer, build.purpose, build.fuel, build.notes, demo_shop.logbook.read("marigold")[0].person]
    told += [said for card in waiting for said in (card.words, card.supplier)]
    told += [part.card.serial for part in build.parts.values() if part.card.serial]
    told += [words for rows in build.notes_at.values() for _, words in rows]
    standing = ["What is still open", "Main oil clearance", "Piston to wall", "Not measured", "Signatures", "Second check"]
    assert len(told) > 8
    for said in [*told, *standing]:
        assert " ".join(said.split()) in text, said
    last = demo_shop.logbook.read("marigold")[-1]
    assert f"position {build.position}" in text
    assert last.hash in text.replace(" ", "")


def test_every_reading_ever_taken_stands_as_it_was_typed_and_every_strike_with_its_reason(both, demo_shop):
    text = words(both[1])
    typed = Counter(
        json.loads(entry.body)["text"] for entry in demo_shop.logbook.read("marigold") if entry.type == "reading.taken")
    assert sum(typed.values()) > 200
    for said, times in typed.items():
        assert text.count(said) >= times, said
    struck = demo_shop.build("marigold").struck
    assert struck
    for _, reason in struck.values():
        assert reason in text


def test_pages_are_counted_to_the_last(both):
    pdf = both[1]
    pages = read(pdf).pages
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in " ".join(page.extract_text().split())
    assert 4 < len(pages) < 24  # hundreds of readings are no reason for forty pages


def test_the_other_engine_and_the_other_units(demo_shop):
    metric = words(record_pdf(demo_shop, "kestrel"))
    assert "V8 at 90°" in metric
    assert " mm" in metric
    inches = words(record_pdf(demo_shop, "kestrel", units="inch"))
    assert "± 0." in inches.replace("±", "± ")
    assert inches != metric


TWICE = """
import hashlib, sys
sys.path.insert(0, {tests!r})
from pathlib import Path
from shops import shop_in_memory
from tenths.record.report import record_pdf
from tenths.services.demo import lay_demo
shop = shop_in_memory(Path({folder!r}))
lay_demo(shop)
print(hashlib.sha256(record_pdf(shop, "marigold")).hexdigest())
"""


def test_the_same_log_gives_the_same_bytes_in_any_process_zone_and_locale(tmp_path):
    tests = os.path.dirname(os.path.dirname(__file__))  # noqa: PTH120 - as text for the other process
    digests = set()
    for zone, hashing in (("UTC", "1"), ("Pacific/Auckland", "2"), ("America/St_Johns", "3")):
        environment = {**os.environ, "TZ": zone, "PYTHONHASHSEED": hashing, "LC_ALL": "C"}
        told = subprocess.run(
            [sys.executable, "-c", TWICE.format(tests=tests, folder=str(tmp_path))],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        digests.add(told.stdout.strip())
    assert len(digests) == 1


def test_the_date_of_the_document_is_that_of_the_last_entry(both, demo_shop):
    last = max(e.at for e in demo_shop.logbook.read("marigold"))
    made = read(both[1]).metadata.creation_date
    assert made.strftime("%Y-%m-%dT%H:%M:%S") == last[:19]
    assert made.utcoffset().total_seconds() == 0


def test_one_more_entry_changes_the_record(tmp_path):
    shop = shop_in_memory(tmp_path)
    commands.open_engine(shop, name="One", layout="inline-4")
    before = record_pdf(shop, "one")
    commands.write_note(shop, "one", "main.1", "a scratch")
    after = record_pdf(shop, "one")
    assert hashlib.sha256(before).digest() != hashlib.sha256(after).digest()
    assert "a scratch" in words(after)


@pytest.mark.parametrize(
    "layout",
    [
        "single",
        "parallel-twin-270",
        "v-twin-45",
        "inline-3",
        "inline-4",
        "flat-4",
        "flat-6",
        "v6-60",
        "v8-90-cross-plane",
        "v12-60",
    ],
)
def test_any_layout_before_anything_is_read(layout, tmp_path):
    shop = shop_in_memory(tmp_path)
    commands.open_engine(shop, name="Bare", layout=layout, units="metric")
    text = words(record_pdf(shop, "bare"))
    assert "Nothing has been read on this engine yet" in text
    assert "Signatures" in text


def test_long_names_and_letters_of_other_languages(tmp_path):
    shop = shop_in_memory(tmp_path)
    name = "Överklockad Übermaß-Motor Łódź № 7 «Жигули» Ωμέγα " * 3
    commands.open_engine(
        shop,
        name=name,
        engine="long",
        layout="inline-4",
        customer="Þórður Ævarsson & 合 Ltd",
        purpose="x" * 400,
        notes="#let not typst; *not bold* $not maths$ [not] @not <not> \\ \" ' `",
    )
    text = words(record_pdf(shop, "long"))
    assert "Жигули" in text
    assert "Þórður Ævarsson" in text
    assert "*not bold* $not maths$ [not] @not <not>" in text


def test_a_choice_stands_with_its_prediction_and_the_later_reading(tmp_path):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Chosen", layout="inline-4")
    shop.append(
        engine,
        bodies.ChoiceAccepted(
            question="main shells",
            words="Main shells to the middle of the house rule",
            reasons=("main 1 was loose with standard shells",),
            picks=(
                bodies.Pick(
                    station="main.1",
                    pick="std upper, +1 lower",
                    characteristic="main-oil-clearance",
                    predicted=0.0021,
                    uncertainty=0.0001,
                    unit="in",
                ),
                bodies.Pick(
                    station="main.2",
                    pick="std both",
                    characteristic="main-oil-clearance",
                    predicted=0.0019,
                    uncertainty=0.0001,
                    unit="in",
                ),
            ),
        ),
    )
    for feature, text, place in (("installed-bore", "2.5024", "B front"), ("journal", "2.5001", "1 front")):
        commands.take_reading(
            shop, engine, bodies.ReadingTaken(station="main.1", feature=feature, text=text, place=place)
        )
    told = words(record_pdf(shop, engine))
    for said in (
        "Main shells to the middle of the house rule",
        "main 1 was loose with standard shells",
        "std upper, +1 lower",
        "0.0021",
        "not read yet",
    ):
        assert said in told, said
    assert "0.0023" in told  # 2.5024 - 2.5001, by hand


def test_house_rules_carry_the_letterhead(tmp_path):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Lettered", layout="inline-4")
    commands.adopt_house_rules(shop, '[shop]\nname = "Quill & Sons"\nlines = ["Old Mill", "Saltmarsh"]\n', engine)
    text = words(record_pdf(shop, engine))
    assert "Quill & Sons" in text
    assert "Old Mill" in text


@pytest.mark.parametrize("text", ["shop = 3", "[shop]\nname = 3", "[shop]\nlines = 'Old Mill'", "[shop]\ncolour = 'red'"])
def test_a_letterhead_that_cannot_be_set_is_refused(text, tmp_path):
    with pytest.raises(BadInput, match=r"\[shop\] takes name"):
        commands.adopt_house_rules(shop_in_memory(tmp_path), text)


def test_what_cannot_be_done_is_refused_in_words(tmp_path, demo_shop):
    with pytest.raises(BadInput, match="paper: 'A5' is not taken"):
        record_pdf(demo_shop, "marigold", paper="A5")
    with pytest.raises(BadInput, match="units: 'cubits' is not taken"):
        record_pdf(demo_shop, "marigold", units="cubits")
    with pytest.raises(BadInput, match="there is no 'nobody'"):
        record_pdf(demo_shop, "nobody")
    with pytest.raises(Refused, match="cannot be written"):
        write_record(demo_shop, "marigold", tmp_path / "missing" / "record.pdf")


def test_the_file_is_written_whole_and_progress_is_told(tmp_path, demo_shop):
    said = []
    path = write_record(demo_shop, "marigold", tmp_path / "record.pdf", progress=said.append)
    assert path.read_bytes() == record_pdf(demo_shop, "marigold")
    assert [p.name for p in tmp_path.iterdir()] == ["record.pdf"]
    assert said == ["gathering readings and findings", "drawing the engine", "setting the pages"]
