"""Lines of instruments: what they say, and what is not taken for a value. The lines are written by hand."""

import itertools

import pytest

from tenths.bench.gauge import lines_of, page_of, reader_for
from tenths.engine.quantity import Quantity, parse
from tenths.errors import BadInput


@pytest.mark.parametrize(("pattern", "line", "text"), [
    ("number", "12.345", "12.345"),
    ("number", "  +0012.345 mm ", "12.345 mm"),
    ("number", "-0.0012 in", "-0.0012 in"),
    ("number", '0.5"', "0.5 in"),
    ("number", "- 3,5 mm", "-3,5 mm"),
    ("number", ".0012", "0.0012"),
    ("channel-number", "01A+00012.345", "12.345"),
    ("channel-number", "2B-000.0035 in", "-0.0035 in"),
    ("name-number", "X = -1.25 mm", "-1.25 mm"),
    ("name-number", "Dev: 0.003", "0.003"),
    ("number-among-words", "N  W+ 453.20 g  S", "453.20 g"),
    (r"<(?P<value>[0-9.]+)\|(?P<unit>um)>", "<12.5|um>", "12.5 µm"),
])
def test_a_line_is_read_as_a_person_would_type_it(pattern, line, text):
    assert reader_for(pattern).text(line) == text


@pytest.mark.parametrize(("line", "text"), [("0012.345", "+12.345"), ("+0.002", "+0.002"), ("-0.002", "-0.002"), ("00.000", "+0.000")])
def test_a_gauge_that_shows_deviations_always_has_its_sign(line, text):
    assert reader_for("number", deviation=True).text(line) == text
    assert parse(text, Quantity.LENGTH, default_unit="mm", allow_deviation=True).deviation


def test_a_size_has_no_plus_sign_or_it_would_be_read_as_a_deviation():
    assert reader_for("number").text("+12.345") == "12.345"


@pytest.mark.parametrize("line", ["", "ERR", "91", "12.345.6", "0x12", "12 34", "1e5", "battery 3"])
def test_what_is_no_value_is_not_taken(line):
    assert reader_for("channel-number").text(line) is None
    if line != "91":
        assert reader_for("number").text(line) is None


def test_the_unit_given_serves_lines_that_say_none():
    assert reader_for("number", unit="mm").text("5.0") == "5.0 mm"
    assert reader_for("number", unit="mm").text("5.0 in") == "5.0 in"


@pytest.mark.parametrize(("pattern", "said"), [("(", "nor a regular expression"), (r"\d+", "no group named value")])
def test_a_pattern_that_cannot_serve_is_refused(pattern, said):
    with pytest.raises(BadInput, match=said):
        reader_for(pattern)


class Port:
    def __init__(self, *chunks):
        self.chunks = list(chunks)

    in_waiting = 0

    def read(self, _size):
        return self.chunks.pop(0) if self.chunks else b""


def test_lines_come_whole_however_they_arrive():
    port = Port(b"1.2", b"3\r", b"\n4.5\n6.", b"7\r", b"\xff\n", b"unfinished")
    got = [line for line in itertools.islice(lines_of(port), 12) if line]
    assert got == ["1.23", "4.5", "6.7", "\ufffd"]


def test_a_line_without_end_is_not_kept_for_ever():
    port = Port(*[b"9" * 1000] * 50, b"\n1.5\n")
    got = [line for line in itertools.islice(lines_of(port), 60) if line]
    assert got[-1] == "1.5"
    assert len(got[0]) <= 1000


PAGES = [{"page": "a1", "name": "Phone", "device": "Ada's phone"}, {"page": "b2", "name": "Tablet", "device": ""}]


def test_the_page_is_chosen_by_name_device_or_id():
    for wanted, page in (("phone", "a1"), ("ADA'S PHONE", "a1"), ("b2", "b2"), ("Tablet", "b2")):
        assert page_of(PAGES, wanted)["page"] == page
    assert page_of(PAGES[:1], "")["page"] == "a1"
    with pytest.raises(BadInput, match="2 fit; open pages: Phone on Ada's phone; Tablet"):
        page_of(PAGES, "")
    with pytest.raises(BadInput, match="open the tray on the device first"):
        page_of([], "")
