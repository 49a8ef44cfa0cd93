"""Shells on the bench: drawn, thought through, ordered and listed, all without a script."""

import json
import re

import pytest

from benches import Served
from engines import ENGINE, HOUSING, JOURNAL, WALL, half, read_mains, say, wren
from tenths.cli import run
from tenths.logbook import bodies
from tenths.services import choosing


@pytest.fixture
def served(tmp_path):
    made = Served(tmp_path, demo=False)
    wren(made.shop)
    read_mains(made.shop, journal={2: JOURNAL - 0.0005})
    for n in (1, 2, 3):
        for side in ("upper", "lower"):
            half(made.shop, f"{side[0]}{n}", WALL, side=side, box="1")
    return made


def words(text):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def test_the_answer_is_drawn_with_what_goes_where_and_the_box_to_open(served):
    with served.client() as ask:
        page = ask.get(f"/e/{ENGINE}/choices").text
    assert re.search(r'aria-label="main 1: upper std u\d, lower std l\d; main 2: upper std u\d, lower -1 from a sealed box; ', page)
    assert page.count('class="saddle-row"') >= 2  # the answer, and next-best ones beside it
    assert "Boxes to open: 1 of -1." in words(page)
    assert "Proved: nothing in the house does better." in words(page)


def test_what_if_stands_below_the_answer_and_says_what_cannot_be_taken(served):
    with served.client() as ask:
        fine = ask.get(f"/e/{ENGINE}/choices", params={"question": "main-shells", "grind": "0.0001 in"})
        wrong = ask.get(f"/e/{ENGINE}/choices", params={"question": "main-shells", "grind": "a hair"})
    assert fine.status_code == wrong.status_code == 200
    assert "Main journals ground by 0.0001 in: the worst place is 0.00010 in off its target" in words(fine.text)
    assert "Nothing of this is written into the log." in fine.text
    assert "grind" in wrong.text
    assert "a hair" in wrong.text
    assert 'role="alert"' in wrong.text


def test_what_stops_a_choice_is_told_on_the_page_with_what_frees_it(served):
    say(served.shop, bodies.SeatStated(station="main.3", side="lower", groove="grooved"))
    with served.client() as ask:
        page = words(ask.get(f"/e/{ENGINE}/choices").text)
    assert "main.3: there is no grooved lower half for it in the house. Freed by one such half of any size." in page


def test_halves_boxes_and_places_are_written_without_a_script(served):
    with served.client() as ask:
        page = f"/e/{ENGINE}/halves"
        assert "u1" in ask.get(page).text
        answer = ask.post(f"{page}/write", data={"do": "halves", "kind": "main-shell", "size": "-1", "side": "lower",
                                                 "walls": "0.0995\n0.0996", "box": "2"})
        assert (answer.status_code, answer.headers["location"]) == (303, f"{page}#halves")
        wrong = ask.post(f"{page}/write", data={"do": "halves", "kind": "main-shell", "size": "+7", "walls": "0.0995"})
        assert wrong.status_code == 422
        assert "not counted in stock" in wrong.text
        assert ask.post(f"{page}/write", data={"do": "boxes", "kind": "main-shell", "size": "-2", "change": "-0.002 in",
                                               "sets": "1"}).status_code == 303
        assert ask.post(f"{page}/write", data={"do": "boxes", "kind": "main-shell", "size": "-2", "change": "-0.002 in",
                                               "sets": "many"}).status_code == 422
        assert ask.post(f"{page}/write", data={"do": "place", "station": "main.3", "groove": "plain"}).status_code == 303
        assert ask.post(f"{page}/write", data={"do": "place", "station": "main.3"}).status_code == 422
        assert ask.post(f"{page}/write", data={"do": "nothing"}).status_code == 422
        assert "main 3, lower: plain" in words(ask.get(page).text)
    build = served.shop.build(ENGINE)
    assert {"main--1-l-1", "main--1-l-2"} <= set(build.halves)
    assert build.stock["main-shell", "-2"][1].sets == 1


def test_an_order_is_worked_out_on_its_page(served):
    say(served.shop, *(bodies.StockCounted(kind="rod-shell", size=s, change=c, sets=0) for s, c in (("std", "0"), ("+1", "0.001"))))
    say(served.shop, bodies.LimitStated(station="rod.*", characteristic="rod-oil-clearance", lower="0.0010", upper="0.0030"))
    sheet = (("rod.*", "housing-bore", "2.2000", "0.0002"), ("pin.*", "journal", "2.0000", "0.0002"),
             ("rod.*.shell.*", "shell-wall", "0.0990", "0.00005"))
    say(served.shop, *(bodies.SizeStated(station=s, feature=f, text=t, tolerance=w) for s, f, t, w in sheet))
    with served.client() as ask:
        empty = ask.get(f"/e/{ENGINE}/order")
        page = words(ask.get(f"/e/{ENGINE}/order", params={"question": "rod-order", "cost": "58", "asked": "80"}).text)
        wrong = ask.get(f"/e/{ENGINE}/order", params={"question": "rod-order", "cost": "dear"})
    assert empty.status_code == 200
    assert "Order 1 of std" in page
    assert "Probability against cost" in page
    assert "from the maker's tolerance" in page.replace("&#39;", "'")
    assert "&#39;dear&#39; is not a number" in wrong.text


def test_what_was_accepted_is_set_against_what_is_read_and_stands_in_the_record(served):
    choosing.accept(served.shop, ENGINE, "main-shells")
    build = served.shop.build(ENGINE)
    picks = {p.station: p.pick for p in build.choices[0][1].picks}
    say(served.shop, *(bodies.PartFitted(slot=f"main.1.shell.{side}", part=picks[f"main.1.shell.{side}"]) for side in ("upper", "lower")))
    for side in ("upper", "lower"):
        say(served.shop, bodies.ReadingTaken(station=f"main.1.shell.{side}", feature="shell-wall", text=f"{WALL:.4f}"))
    say(served.shop, bodies.ReadingTaken(station="main.1", feature="installed-bore", text=f"{HOUSING - 2 * WALL - 0.0003:.5f}",
                                         place="B front"))
    with served.client() as ask:
        page = words(ask.get(f"/e/{ENGINE}/choices").text)
        api = ask.get("/api/bias").json()
        pdf = ask.get(f"/e/{ENGINE}/record.pdf")
    assert "How the shop's predictions came out" in page.replace("&#39;", "'")
    assert api[0]["mean"] == pytest.approx(-0.0003, abs=1e-6)
    assert pdf.status_code == 200
    assert pdf.content[:5] == b"%PDF-"


def test_the_command_line_says_the_same(tmp_path, capsys):
    shop = ["--shop", str(tmp_path / "shop")]
    assert run([*shop, "demo"]) == 0
    assert run([*shop, "half", "marigold", "main-shell", "11", "0.0953", "0.0952", "--side", "lower"]) == 0
    assert run([*shop, "seat", "marigold", "main.3", "--keep"]) == 0
    capsys.readouterr()
    assert run([*shop, "choose", "marigold", "main-shells"]) == 0
    said = capsys.readouterr().out
    assert re.search(r"main\.3\s+stays\s+stays", said)
    assert "main-11-l-" in said
    assert run([*shop, "what-if", "marigold", "main-shells", "--grind", "0.0001 in"]) == 0
    assert "main journals ground by 0.0001 in" in capsys.readouterr().out
    assert run([*shop, "what-if", "marigold", "main-shells"]) == 2
    assert run([*shop, "seat", "marigold", "main.3"]) == 2
    assert run([*shop, "half", "marigold", "main-shell", "11"]) == 2
    assert run([*shop, "order", "marigold", "main-order", "--sizes", "99"]) == 2
    assert run([*shop, "bias"]) == 0


def test_an_order_worked_out_by_a_device_is_accepted_as_it_was_seen(served):
    say(served.shop, *(bodies.StockCounted(kind="main-shell", size=s, change=c, sets=0) for s, c in (("std", "0"), ("+1", "0.001"),
                                                                                                     ("-1", "-0.001"))))
    with served.client() as ask:
        found = ask.get(f"/api/engines/{ENGINE}/order", params={"question": "main-order", "cost": "58"}).json()
        entry = {"id": "018f3c2a-7b1e-7cc3-98c4-dc0c0c073990", "type": "choice.accepted", "schema": 2,
                 "at": "2026-05-05T10:00:00.000Z", "body": json.dumps(found["accept"][0]), "seen": found["position"]}
        (answer,) = ask.post(f"/api/engines/{ENGINE}/entries", json=[entry]).json()
    assert answer["state"] == "saved"
    assert served.shop.build(ENGINE).choices[-1][1].question == "main-order"
