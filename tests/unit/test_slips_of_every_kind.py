"""Every kind of reading is asked about when it looks like a slip: on the command line, in a table, in a study; it is taken."""

import json
from math import pi

import pytest
from click.testing import CliRunner

from shops import shop_in_memory
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.metrology.slips import likely_slips
from tenths.services import commands, studies
from tenths.services.demo import lay_demo
from tenths.services.slips import bare_text, questions_for
from tenths.services.study_slips import study_question
from tenths.services.transfer import preview_readings, take_readings

# definitions: 1 oz = 28.349523125 g, 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N, 1 bar = 1e5 Pa, 1 psi = 6894.757293 Pa
LBF_FT = 4.4482216152605 * 0.3048


@pytest.mark.parametrize(("quantity", "kind", "value", "expected", "u", "unit", "what", "words"), [
    ("mass", "scale", 0.0215, 21.5 * 0.028349523125, 0.002, 1e-3, "unit", "ounces"),
    ("volume", "burette", 64.0e-6, 64.0e-6 / 16.387064, 0.05e-6, 1e-6, "unit", "cubic centimetres"),
    ("volume", "burette", 74.2e-6, 64.2e-6, 0.3e-6, 1e-6, "figure of the burette", "10 cc too high"),
    ("torque", "torque wrench", 75.0, 75.0 * LBF_FT, 2.0, 1.0, "unit", "lbf ft"),
    ("torque", "torque wrench", 75.0 * LBF_FT, 75.0 / 12 * LBF_FT, 0.3, LBF_FT, "unit", "lbf in"),
    ("pressure", "gauge", 3.5e5, 3.5 * 6894.757293, 500.0, 1e5, "unit", "psi"),
    ("force", "spring tester", 120.0, 120.0 * 4.4482216152605, 8.0, 1.0, "unit", "pounds"),
    ("angle", "degree wheel", 108.5 * pi / 180, 71.5 * pi / 180, 0.01, pi / 180, "side of the wheel", "71.5 deg"),
    ("angle", "degree wheel", 54.0 * pi / 180, 108.0 * pi / 180, 0.01, pi / 180, "unit", "cam degrees"),
    ("temperature", "thermometer", 273.15 + 68, 293.15, 1.0, 1.0, "unit", "°F"),
    ("stiffness", "spring tester", 61.0e3, 61.0 * 175.126835, 200.0, 1e3, "unit", "lbf/in"),
])
def test_units_that_are_taken_for_each_other(quantity, kind, value, expected, u, unit, what, words):
    first = likely_slips(value, expected=expected, u=u, kind=kind, unit=unit, quantity=quantity)[0]
    assert (first.what, words in first.words) == (what, True)
    assert first.meant == pytest.approx(expected, rel=2e-3)


def test_a_deviation_without_its_sign_is_thought_of():
    found = likely_slips(0.0003 * 0.0254, expected=2.5002 * 0.0254, u=0.0002 * 0.0254, kind="dial bore gauge", set_to=2.5 * 0.0254)
    assert found[0].what == "deviation without its sign"
    assert found[0].meant == pytest.approx(2.5003 * 0.0254)


def test_one_wrong_figure_comes_after_everything_that_is_commoner():
    found = likely_slips(2.4735 * 0.0254, expected=2.4485 * 0.0254, u=0.0005 * 0.0254, kind="outside micrometer", text="2.4735")
    assert found[0].what == "thimble turn"
    alone = likely_slips(2.7485 * 0.0254, expected=2.4485 * 0.0254, u=0.0005 * 0.0254, kind="caliper", text="2.7485")
    assert [s.what for s in alone] == ["one figure"]
    assert alone[0].words == "One figure wrong: was 2.4485 meant?"


@pytest.mark.parametrize(("text", "bare"), [
    ("2.4485", "2.4485"), ("2,4485 in", "2,4485"), ("-3 mm", "-3"), ("3 tenths", None), ("2 1/4", None)])
def test_the_figures_of_a_number(text, bare):
    assert bare_text(text) == bare


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    made = shop_in_memory(tmp_path_factory.mktemp("slips"))
    lay_demo(made)
    return made


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_every_reading_of_the_demo_with_its_point_moved_is_asked_about_and_as_it_is_not(shop, engine):
    build = shop.build(engine)
    rows = [r for r in build.all_readings() if not r.typed.deviation and r.typed.text.strip("-").replace(".", "").isdigit() and r.value]
    as_read = [_again(r, r.typed.text) for r in rows]
    assert sum(map(bool, questions_for(shop, engine, as_read))) == 0
    for row in {r.feature.name: r for r in rows if abs(r.value) > 2e-4}.values():
        moved = row.typed.text.replace(".", "") + "0" if "." in row.typed.text else f"{row.typed.text}00"
        (asked,) = questions_for(shop, engine, [_again(row, moved)])
        assert asked, (row.feature.name, row.typed.text, moved)


def _again(row, text):
    return bodies.ReadingTaken(station=row.station, feature=row.feature.name, place=row.place, text=text, instrument=row.instrument)


def test_readings_of_one_sitting_are_held_against_each_other(shop):
    rows = [bodies.ReadingTaken(station=f"rod.{n}", feature="big-end-width", text=text)
            for n, text in enumerate(("0.9972", "0.9971", "0.9792", "0.9973"), 1)]
    asked = questions_for(shop, "marigold", rows)
    assert [bool(a) for a in asked] == [False, False, True, False]
    assert asked[2][0]["what"] == "figures swapped"
    assert asked[2][0]["meant"] == pytest.approx(0.9972)


def test_of_two_readings_of_a_place_the_second_is_asked_about(shop):
    asked = questions_for(shop, "marigold", [bodies.ReadingTaken(station="rod.1", feature="big-end-width", text=text)
                                             for text in ("0.9972", "1.0222")])
    assert [bool(a) for a in asked] == [False, True]


def test_a_table_is_asked_about_row_by_row_and_taken_as_it_stands(tmp_path):
    shop = shop_in_memory(tmp_path)
    lay_demo(shop)
    sheet = tmp_path / "widths.csv"
    sheet.write_text("station,feature,value\nrod.1,big-end-width,0.9972\nrod.2,big-end-width,25.33\nrod.3,big-end-width,0.9971\n", "utf-8")
    preview = preview_readings(shop, "marigold", sheet)
    assert [row.number for row in preview.asked] == [3]
    assert preview.asked[0].asked == "Was that in millimetres? It would then be 0.9972 in."
    assert preview.as_answer()["taken"][1]["asked"] == preview.asked[0].asked
    assert take_readings(shop, "marigold", preview) == 3
    assert shop.build("marigold").readings["rod.2", "big-end-width"][-1].typed.text == "25.33"


def test_the_command_line_asks_and_takes_all_the_same(tmp_path):
    ask = CliRunner()
    where = ["--shop", str(tmp_path)]
    assert ask.invoke(tenths, [*where, "demo"]).exit_code == 0
    done = ask.invoke(tenths, [*where, "read", "marigold", "main.3", "journal", "2.5142", "--place", "1 front"])
    assert done.exit_code == 0
    assert "a turn of the thimble?" in done.output
    assert "taken as typed" in done.output
    told = json.loads(ask.invoke(tenths, [*where, "read", "marigold", "main.3", "journal", "2.5390", "2.4892", "--place", "1 front",
                                          "--place", "2 front", "--json"]).output)
    assert [bool(row["questions"]) for row in told] == [True, False]
    assert [row["text"] for row in told] == ["2.5390", "2.4892"]


def test_a_reading_of_a_study_is_asked_about_without_saying_what_is_expected(shop):
    told = study_question(shop, study="mic-2-3-hands", part="main 1", reader="Ines Vale", text="2.5234")
    assert told["understood"]
    assert told["questions"][0]["what"] == "thimble turn"
    assert "2.49" not in json.dumps(told["questions"])
    assert study_question(shop, study="mic-2-3-hands", part="main 1", reader="Ines Vale", text="2.4985")["questions"] == []
    wrong = study_question(shop, study="mic-2-3-hands", part="main 9", reader="Ines Vale", text="2.4985")
    assert "main 9" in wrong["why"]
    neighbour = study_question(shop, study="bore-gauge-s-rings", part="ring 3.0000 in", reader="Ines Vale", text="2.5001")
    assert neighbour["questions"][0]["what"] == "wrong place"


def test_nobody_studies_a_gauge_that_is_not_listed(shop):
    with pytest.raises(BadInput, match="'calliper-9' is not listed"):
        studies.begin_study(shop, bodies.StudyBegun(study="x", kind="bias", instrument="calliper-9", parts=("a",), people=("b",),
                                                    trials=2, sizes=("1 in",)))
    assert commands.instrument_kinds()
