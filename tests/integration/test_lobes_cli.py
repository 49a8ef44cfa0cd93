"""Lobes and degreeing on the command line, and lobe tables that people bring."""

import json
from math import radians

import pytest
from click.testing import CliRunner

from tenths.calc.valves import profiles
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.choosing import set_question
from tenths.services.lobe_import import import_lobes
from tenths.services.lobes import check_lift, lobes

TRUE = profiles.profile_lobe("3-4-5", lift=0.009, opening=radians(140), closing=radians(140))
ANGLES = tuple(range(-148, 149, 4))


def at(centre):
    return [((a + centre) % 360, float(TRUE.lift(radians(a))) * 1e3) for a in ANGLES]


@pytest.fixture
def run(tmp_path):
    """A command on a shop with one engine whose wheel is zeroed."""
    def go(*words):
        return CliRunner().invoke(tenths, ["--shop", str(tmp_path / "shop"), "--person", "Ada Quill", *words])

    assert go("new", "Plover", "--layout", "inline-4", "--units", "metric").exit_code == 0
    assert go("degree", "plover", "--way", "heights", "--top", "-30", "30", "--top", "-40", "40", "--top", "-50", "50").exit_code == 0
    return go


def test_degree_walks_and_lobes_are_taken(run):
    said = run("degree", "plover")
    assert "[Read the lobe]" in said.output
    assert "Top dead centre of cylinder 1 by equal heights" in said.output
    said = run("lobes", "plover", "lobe.1.in", "40=1 mm", "176=1 mm")
    assert said.exit_code == 0, said.output
    found = json.loads(run("lobes", "plover", "--json").output)["lobes"]
    assert found[0]["centre"]["value"] == pytest.approx(108)
    assert found[0]["pairs"] == 1
    assert "predicted" not in run("degree", "plover").output
    assert run("degree", "plover", "--move", "2", "--position", "+2").exit_code == 0
    assert "[Read again to confirm]" in run("degree", "plover").output
    assert run("degree", "plover", "--lost", "--note", "knocked").exit_code == 0
    assert "zero of the wheel is lost" in run("degree", "plover").output


def test_a_card_is_shown_as_it_was_entered(run):
    said = run("cam-card", "plover", "--intake-lift", "8.9 mm", "--exhaust-lift", "8.8 mm", "--intake", "226 @ 1.27 mm", "--exhaust",
               "230 @ 1.27 mm", "--separation", "110", "--advance", "4")
    assert said.exit_code == 0, said.output
    assert "centre 106.00 deg" in said.output
    card = json.loads(run("lobes", "plover", "--json").output)["card"]
    # (226 + 230)/2 - 2 x 110
    assert card["timing"]["overlap"]["value"] == pytest.approx(8, abs=0.02)
    assert "card" in run("lobes", "plover").output
    refused = run("cam-card", "plover", "--intake-lift", "0.35 mm")
    assert refused.exit_code != 0
    assert "1 to 25 mm at the lobe" in str(refused.exception)


def test_what_is_no_reading_is_refused(run):
    for words, said in ((("40",), "not ANGLE=LIFT"), (("x=1",), "angle"), (("40=1 kg",), "lift")):
        refused = run("lobes", "plover", "lobe.1.in", *words)
        assert refused.exit_code != 0
        assert said in str(refused.exception)
    assert "is not on this engine" in str(run("lobes", "plover", "lobe.7.in").exception)


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Plover", layout="inline-4", units="metric")
    shop.append(name, bodies.WheelZeroed(cylinder="1", before=("-30", "-40"), after=("30", "40"), way="heights"))
    return name


BODY = bodies.LobeRead(station="", points=())


def test_a_table_with_a_column_for_each_lobe(shop, engine, tmp_path):
    rows = zip(at(108), at(108), strict=True)
    (tmp_path / "t.csv").write_text("crank angle;lobe.1.in (mm);lobe.1.ex (mm)\n" + "\n".join(
        f"{a:.1f};{h:.4f};{x:.4f}" for (a, h), (_, x) in rows), "utf-8")
    assert import_lobes(shop, engine, tmp_path / "t.csv", BODY)[:2] == (2, 150)
    assert import_lobes(shop, engine, tmp_path / "t.csv", BODY)[:2] == (0, 0)  # the same file doubles nothing
    row = lobes(shop, engine)["lobes"][0]
    assert (row["readings"], row["peak"]["value"]) == (75, pytest.approx(9, abs=0.01))


def test_a_table_with_rows_of_several_lobes_and_inches_in_the_head(shop, engine, tmp_path):
    text = "deg,lift (in),cyl,valve\n" + "\n".join(
        f"{a:.1f},{h / 25.4:.5f},1,{v}" for v, c in (("Intake", 108), ("EX", -112)) for a, h in at(c))
    (tmp_path / "t.csv").write_text(text, "utf-8")
    assert import_lobes(shop, engine, tmp_path / "t.csv", BODY)[:2] == (2, 150)
    found = {r["station"]: r["centre"]["value"] for r in lobes(shop, engine)["lobes"]}
    assert found == {"lobe.1.in": pytest.approx(108, abs=0.05), "lobe.1.ex": pytest.approx(112, abs=0.05)}


@pytest.mark.parametrize(("text", "words"), [
    ("angle;lift\n10;1 mm\n", "is no lobe of this engine"), ("angle;other\n10;1\n", "no column holds lifts"),
    ("angle,lift,lobe\n10,soon,lobe.1.in\n", "nothing was taken"), ("angle;lift;lobe\n10;1;lobe.8.in\n", "is no lobe"),
])
def test_tables_that_cannot_be_taken_leave_nothing(shop, engine, tmp_path, text, words):
    (tmp_path / "t.csv").write_text(text, "utf-8")
    with pytest.raises(BadInput, match=words):
        import_lobes(shop, engine, tmp_path / "t.csv", BODY)
    assert shop.build(engine).cams.batches == ()


def test_the_checking_lift(shop, engine):
    assert check_lift(shop, engine, "0.006 in") == pytest.approx(0.0001524)
    assert check_lift(shop, engine, "") == 0.0
    with pytest.raises(BadInput, match="check: '5 mm' is out of range"):
        check_lift(shop, engine, "5 mm")


def test_the_lift_of_seat_events_can_be_set_for_an_engine(shop, engine):
    set_question(shop, engine, "cam-timing", {"check": "0.25 mm"})
    assert lobes(shop, engine)["check"]["value"] == pytest.approx(0.25)
    with pytest.raises(BadInput, match="check: '3 mm' is not taken"):
        set_question(shop, engine, "cam-timing", {"check": "3 mm"})


def test_play_is_told_and_nothing_is_kept(run):
    said = run("degree", "plover", "--play", "10.4 10.6", "10.1 9.9")
    assert "Play of the wheel 0.50" in said.output
    assert "0.25 deg" in said.output
