"""Readings from CSV and XLSX, and an engine as a bundle: out, in, and the same again."""

import pytest
from openpyxl import Workbook

from shops import shop_in_memory
from tenths.errors import BadInput, Damaged
from tenths.services import commands, transfer


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Trial", layout="v12-60", units="inch")


def texts(shop, engine):
    return [r.typed.text for r in shop.build(engine).all_readings()]


def test_three_hundred_readings_come_in_once(shop, engine, tmp_path):
    lines = [f"cyl.{1 + k % 12},bore,{place},3.5{k:03d}" for k, place in enumerate(["gauge thrust"] * 300)]
    path = tmp_path / "r.csv"
    path.write_text("Station,Feature,Place,Value\n" + "\n".join(lines) + "\n", "utf-8")
    preview = transfer.preview_readings(shop, engine, path)
    assert (len(preview.taken), len(preview.refused)) == (300, 0)
    assert transfer.take_readings(shop, engine, preview) == 300
    transfer.take_readings(shop, engine, transfer.preview_readings(shop, engine, path))
    assert texts(shop, engine) == [f"3.5{k:03d}" for k in range(300)]


@pytest.mark.parametrize("head", ["station;feature;value", "\ufeffvalue\tfeature\tstation"])
def test_semicolons_tabs_and_columns_in_any_order(shop, engine, tmp_path, head):
    mark = ";" if ";" in head else "\t"
    names = head.removeprefix("\ufeff").split(mark)
    cells = {"station": "main.1", "feature": "journal", "value": "61,001 mm"}
    path = tmp_path / "r.csv"
    path.write_text(head + "\n" + mark.join(cells[n] for n in names) + "\n", "utf-8")
    transfer.take_readings(shop, engine, transfer.preview_readings(shop, engine, path))
    assert shop.build(engine).all_readings()[0].value == pytest.approx(61.001e-3)


def test_refused_rows_carry_the_number_they_have_in_the_file(shop, engine, tmp_path):
    path = tmp_path / "r.csv"
    path.write_text("station,feature,value\nmain.1,journal,2.4\n\n"
                    "main.99,journal,2.4\nmain.2,journal,two\nmain.3,journal,61,001\n", "utf-8")
    preview = transfer.preview_readings(shop, engine, path)
    assert [(r.number) for r in preview.refused] == [4, 5, 6]
    assert "main.99" in preview.refused[0].why
    assert "decimal comma" in preview.refused[2].why


def test_a_sheet_without_the_columns_is_refused(shop, engine, tmp_path):
    path = tmp_path / "r.csv"
    path.write_text("place,value\nx,1\n", "utf-8")
    with pytest.raises(BadInput, match="'station' is not among them"):
        transfer.preview_readings(shop, engine, path)


def test_a_workbook_keeps_texts_and_the_places_that_it_shows(shop, engine, tmp_path):
    book = Workbook()
    sheet = book.active
    sheet.append(["station", "feature", "value"])
    sheet.append(["main.1", "journal", "2.4001"])
    sheet.append(["main.2", "journal", 2.4])
    sheet["C3"].number_format = "0.0000"
    book.save(tmp_path / "r.xlsx")
    transfer.take_readings(shop, engine, transfer.preview_readings(shop, engine, tmp_path / "r.xlsx"))
    assert texts(shop, engine) == ["2.4001", "2.4000"]


def test_an_engine_goes_out_and_comes_in_the_same(demo_shop, tmp_path):
    path = transfer.export_engine(demo_shop, "kestrel", tmp_path / "k.zip")
    other = shop_in_memory(tmp_path)
    assert transfer.import_engine(other, path) == ("kestrel", len(demo_shop.logbook.read("kestrel")))
    assert other.logbook.read("kestrel") == demo_shop.logbook.read("kestrel")
    assert transfer.import_engine(other, path)[1] == 0
    last = demo_shop.logbook.read("kestrel")[-1].hash
    assert transfer.verify_bundle(path, last[:12])[0]["hash"] == last
    with pytest.raises(Damaged, match="not the log"):
        transfer.verify_bundle(path, "0" * 12)


def test_an_altered_bundle_is_refused(demo_shop, tmp_path):
    path = transfer.export_engine(demo_shop, "marigold", tmp_path / "m.zip")
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(raw)
    with pytest.raises(Damaged):
        transfer.import_engine(shop_in_memory(tmp_path), path)
