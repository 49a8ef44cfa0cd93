"""Sheets of labels, read back with a library that is not ours."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from tenths.errors import BadInput
from tenths.record.labels import SHEETS, Label, labels_pdf, write_labels


def labels(count):
    return [
        Label(f"P-{n:03d}", f"tenths:part/P-{n:03d}", "Main shell, upper half", "Marigold", "shelf C4")
        for n in range(1, count + 1)
    ]


def pages(pdf):
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages]


@pytest.mark.parametrize(("paper", "room"), [("A4", 21), ("Letter", 30)])
def test_a_sheet_holds_what_a_stationer_says_and_no_more(paper, room):
    told = pages(labels_pdf(labels(room), paper=paper))
    assert len(told) == 1
    assert "P-001" in told[0]
    assert f"P-{room:03d}" in told[0]
    assert [f"P-{room + 1:03d}" in t for t in pages(labels_pdf(labels(room + 1), paper=paper))] == [False, True]


def test_a_sheet_that_is_partly_used_begins_further_on():
    assert len(pages(labels_pdf(labels(2), first=21))) == 2
    assert len(pages(labels_pdf(labels(1), first=21))) == 1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_labels_stay_on_the_paper(paper):
    sheet, size = SHEETS[paper], {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]  # mm, ISO 216 and ANSI
    assert 2 * sheet.left + sheet.across * sheet.width + (sheet.across - 1) * sheet.gap == pytest.approx(
        size[0], abs=0.6
    )
    assert 2 * sheet.top + sheet.down * sheet.height == pytest.approx(size[1], abs=0.6)


def test_long_words_are_cut_with_a_sign_and_names_of_other_languages_are_kept():
    told = " ".join(
        pages(labels_pdf([Label("Zylinderkopf links", "tenths:x", "sehr lang " * 80, "Жигули Łódź")], paper="Letter"))
    )
    assert "Zylinderkopf links" in told
    assert "…" in told
    assert "Жигули Łódź" in told


def test_the_same_labels_give_the_same_bytes(tmp_path):
    path = write_labels(labels(3), tmp_path / "labels.pdf")
    assert path.read_bytes() == labels_pdf(labels(3))
    assert labels_pdf(labels(3)) != labels_pdf(labels(4))


@pytest.mark.parametrize(
    ("made", "more", "said"),
    [
        ([], {}, "there are none"),
        ([Label(" ", "x")], {}, "no title"),
        ([Label("P", "")], {}, "nothing for its code"),
        ([Label("P", "x" * 301)], {}, "301 characters"),
        ([Label("P", "x")], {"first": 22}, "not on the sheet"),
        ([Label("P", "x")], {"first": 0}, "not on the sheet"),
        ([Label("P", "x")], {"paper": "A5"}, "'A5' is not taken"),
    ],
)
def test_what_cannot_be_printed_is_refused_in_words(made, more, said):
    with pytest.raises(BadInput, match=said):
        labels_pdf(made, **more)
