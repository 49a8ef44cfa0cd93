"""What people bring in files: never read wrongly in silence, never with figures that nobody wrote."""

import time
from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands, transfer
from tenths.services.sheet import sheet_from_csv
from tenths.services.tables import cell_text, torn_number


@pytest.fixture
def engine(shop):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="mic", kind="outside-micrometer"))
    return commands.open_engine(shop, name="Trial", layout="inline-4", units="metric")


@pytest.fixture
def preview(shop, engine, tmp_path):
    def look(content, name="r.csv"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return transfer.preview_readings(shop, engine, path)

    return look


def taken(found):
    return [(r.number, r.says) for r in found.taken]


def refused(found):
    return [(r.number, r.why) for r in found.refused]


# -- decimal commas ---------------------------------------------------------------------------------------------------

def test_a_decimal_comma_torn_by_the_commas_of_the_file_is_refused(preview):
    """57,111 without quotes would be 57 with a note that says 111: a quiet error of a tenth of a millimetre."""
    found = preview("station,feature,value,note\nmain.1,journal,57,111\nmain.2,journal,57,111 mm\n"
                    'main.3,journal,"57,111 mm",\nmain.4,journal,57.111,\n')
    assert [number for number, _ in refused(found)] == [2, 3]
    assert all("decimal comma" in why for _, why in refused(found))
    assert taken(found) == [(4, "main.3 journal 57,111 mm"), (5, "main.4 journal 57.111")]


@pytest.mark.parametrize(("value", "following"), [("57", "111"), ("-0", "013"), ("+3", "5 µm"), ("2", "2485 in"), ("64", "2 cc")])
def test_halves_of_a_number_are_known(value, following):
    assert torn_number(value, following)


@pytest.mark.parametrize(("value", "following"), [
    ("57", ""), ("57", "1 front"), ("57.1", "111"), ("57 mm", "111"), ("57", "mic-2-3"), ("57", "2026-03-31"), ("57", "20.5")])
def test_a_number_beside_another_cell_is_left_alone(value, following):
    assert not torn_number(value, following)


@given(whole=st.integers(0, 999), part=st.integers(0, 9999), unit=st.sampled_from(["", " mm", " in", " µm"]))
def test_no_torn_number_slips_through(whole, part, unit):
    left, _, right = f"{whole},{part:04d}{unit}".partition(",")
    assert torn_number(left, right)


def test_with_semicolons_a_decimal_comma_is_a_number(preview, shop, engine):
    found = preview("Station;Feature;Value;Note\nmain.1;journal;57,1110;warm, from the wash\n")
    assert transfer.take_readings(shop, engine, found) == 1
    reading = shop.build(engine).all_readings()[0]
    assert (reading.value, reading.note) == (pytest.approx(57.111e-3, abs=1e-12), "warm, from the wash")


# -- signs and lines --------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("encoding", "said"), [("utf-8", 0), ("utf-8-sig", 0), ("utf-16", 0), ("cp1252", 1)])
def test_every_usual_encoding_gives_the_same_reading(preview, encoding, said):
    found = preview("station;feature;value\nmain.1;journal;57111 µm\n".encode(encoding))
    assert taken(found) == [(2, "main.1 journal 57111 µm")]
    assert len(found.remarks) == said  # a guess is told


@pytest.mark.parametrize("content", [b"\x00\x01\x02", b"station;feature;value\n\x81\x8d\n", b"\xff\xfes\x00t", b"", b"\n\n"])
def test_what_is_no_table_is_refused_in_a_sentence(preview, content):
    with pytest.raises(BadInput, match=r"r\.csv"):
        preview(content)


def test_quotes_that_do_not_close_are_refused_with_their_line(preview):
    with pytest.raises(BadInput, match="line 3"):
        preview('station,feature,value\nmain.1,journal,57\nmain.2,journal,"57\n')


def test_rows_are_numbered_as_an_editor_numbers_its_lines(preview):
    found = preview('My readings,,,\nstation,feature,value,note\n\nmain.1,journal,57.1,"two\nlines"\nmain.9,journal,57.1,\n')
    assert [r.number for r in found.rows] == [4, 6]
    assert [r.number for r in found.refused] == [6]


def test_columns_that_are_not_known_are_told(preview):
    found = preview("station,feature,value,mood\nmain.1,journal,57.1,good\n")
    assert [r for r in found.remarks if "mood" in r]


def test_a_column_that_stands_twice_is_refused(preview):
    with pytest.raises(BadInput, match="'value' and 'Reading' name the same column"):
        preview("station,feature,value,Reading\nmain.1,journal,57.1,57.2\n")


def test_a_unit_in_the_head_belongs_to_the_numbers_that_have_none(preview, shop, engine):
    found = preview("station,feature,Value (in)\nmain.1,journal,2.2500\nmain.2,journal,57.150 mm\n")
    transfer.take_readings(shop, engine, found)
    values = [r.value for r in shop.build(engine).all_readings()]
    assert values == pytest.approx([2.25 * 25.4e-3, 57.150e-3], abs=1e-12)


# -- what a row says --------------------------------------------------------------------------------------------------

def test_a_place_is_known_in_any_capitals_and_refused_when_it_is_none(preview):
    found = preview("station,feature,place,value\nmain.1,journal,1 Front,57.1\nmain.1,journal,1 frnot,57.1\nmain.1,fillet,top,2.1\n")
    assert found.taken[0].reading.place == "1 front"
    assert ["'1 front' is near it" in refused(found)[0][1], "has no places" in refused(found)[1][1]] == [True, True]


def test_an_instrument_that_is_not_listed_is_refused_and_one_that_is_comes_with_its_card(preview, shop, engine):
    found = preview("station,feature,value,with\nmain.1,journal,57.1,mic\nmain.2,journal,57.1,mike\n")
    assert "'mike' is not listed" in refused(found)[0][1]
    transfer.take_readings(shop, engine, found)
    assert list(shop.build(engine).instruments) == ["mic"]


def test_who_and_when_come_from_the_file(preview, shop, engine, monkeypatch):
    monkeypatch.setenv("TZ", "Etc/GMT-2")  # two hours ahead of UTC
    time.tzset()
    try:
        found = preview("station,feature,value,by,when\nmain.1,journal,57.1,Bo Reed,2026-03-31 14:05\n"
                        "main.2,journal,57.1,,2026-03-31T14:05:00Z\nmain.3,journal,57.1,,2026-03-31\nmain.4,journal,57.1,,3/4/26\n")
    finally:
        monkeypatch.undo()
        time.tzset()
    transfer.take_readings(shop, engine, found)
    rows = [e for e in shop.logbook.read(engine) if e.type == "reading.taken"]
    assert [(e.person, e.at) for e in rows] == [
        ("Bo Reed", "2026-03-31T12:05:00.000Z"), ("Ada Quill", "2026-03-31T14:05:00.000Z"),
        ("Ada Quill", "2026-03-31T10:00:00.000Z")]
    assert "year, month and day first" in refused(found)[0][1]


# -- once only --------------------------------------------------------------------------------------------------------

FILE = "station,feature,value,with\nmain.1,journal,57.1,\nmain.2,journal,57.2,mic-2\n"


def test_a_file_mended_in_the_shop_gives_the_rest_and_doubles_nothing(preview, shop, engine):
    first = preview(FILE)
    assert transfer.take_readings(shop, engine, first) == 1
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="mic-2", kind="outside-micrometer"))
    shop.person = "Somebody else"
    again = preview(FILE)
    assert ([r.number for r in again.before], [r.number for r in again.taken]) == ([2], [3])
    assert transfer.take_readings(shop, engine, again) == 1
    assert transfer.take_readings(shop, engine, preview(FILE)) == 0
    build = shop.build(engine)
    assert [r.typed.text for r in build.all_readings()] == ["57.1", "57.2"]
    assert "mic-2" in build.instruments


def test_the_same_preview_taken_twice_doubles_nothing(preview, shop, engine):
    found = preview("station,feature,value\nmain.1,journal,57.1\n")
    transfer.take_readings(shop, engine, found)
    transfer.take_readings(shop, engine, found)  # another second has passed: nothing of the clock may be in the id
    assert len(shop.build(engine).all_readings()) == 1


def test_a_file_saved_anew_shows_which_rows_the_log_has(preview, shop, engine):
    transfer.take_readings(shop, engine, preview("station,feature,value\nmain.1,journal,57.1\n"))
    longer = preview("station,feature,value\nmain.1,journal,57.1\nmain.2,journal,57.2\n")
    assert [r.number for r in longer.alike] == [2]
    assert transfer.take_readings(shop, engine, longer, new_only=True) == 1
    assert [r.typed.text for r in shop.build(engine).all_readings()] == ["57.1", "57.2"]


# -- workbooks --------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("value", "form", "text"), [
    (2.489, "0.0000", "2.4890"), (2.48904, "0.000", "2.48904"), (2.489, "General", "2.489"), (0.1 + 0.2, "General", "0.3"),
    (12, "General", "12"), (1e-05, "General", "0.00001"), (1234.5, "#,##0.00", "1234.50"), (2.5, "0", "2.5"),
    (0.0021, "0.00E+00", "0.0021"), (None, "General", ""), (True, "General", "TRUE"), ("2 1/4", "@", "2 1/4"),
    (datetime(2026, 3, 31, 14, 5), "yyyy", "2026-03-31 14:05:00"), (date(2026, 3, 31), "yyyy", "2026-03-31")])  # noqa: DTZ001
def test_a_cell_as_text(value, form, text):
    assert cell_text(value, form) == text


@given(places=st.integers(1, 6), number=st.integers(-10**8, 10**8))
def test_a_number_typed_with_some_places_comes_back_as_typed(places, number):
    typed = f"{number / 10**places:.{places}f}"
    assert cell_text(float(typed), "0." + "0" * places) == typed


def test_the_sheet_with_the_heads_is_found_and_the_others_are_told(shop, engine, tmp_path):
    book = Workbook()
    book.active.append(["Contents"])
    sheet = book.create_sheet("Mains")
    for row in (["Taken on the granite"], [], ["Station", "Feature", "Value [mm]", "When"], ["main.1", "Journal", 57.1, datetime(2026, 3, 31, 14, 5)],  # noqa: DTZ001, E501
                ["main.2", "journal", datetime(2026, 1, 4)], ["main.3", "journal", "=1/0"]):  # noqa: DTZ001
        sheet.append(row)
    book.save(tmp_path / "r.xlsx")
    found = transfer.preview_readings(shop, engine, tmp_path / "r.xlsx")
    assert taken(found) == [(4, "main.1 journal 57.1 mm")]
    assert ["is a date" in refused(found)[0][1], "nothing stands there" in refused(found)[1][1]] == [True, True]
    assert any("'Mains'" in remark for remark in found.remarks)


def test_a_damaged_workbook_is_refused_in_a_sentence(shop, engine, tmp_path):
    book = Workbook()
    book.active.append(["station", "feature", "value"])
    book.save(tmp_path / "r.xlsx")
    whole = (tmp_path / "r.xlsx").read_bytes()
    for cut in (0, 10, len(whole) // 2, len(whole) - 5):
        (tmp_path / "r.xlsx").write_bytes(whole[:cut])
        with pytest.raises(BadInput, match=r"r\.xlsx"):
            transfer.preview_readings(shop, engine, tmp_path / "r.xlsx")


# -- sheets -----------------------------------------------------------------------------------------------------------

def test_a_torn_decimal_comma_in_a_sheet_is_refused():
    with pytest.raises(BadInput, match=r"line 3: '57,111' could be one number"):
        sheet_from_csv("station,feature,text,tolerance\n\nmain.*,journal,57,111\n")
    assert sheet_from_csv("station;feature;text;tolerance\nmain.*;journal;57;8 µm\n")[0].tolerance == "8 µm"
