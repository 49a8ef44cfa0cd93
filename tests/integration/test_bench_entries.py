"""Entries from devices: saved or refused one by one, once each, by whom is signed in; decisions held against what was seen."""

import json
import threading

import pytest

from benches import Served, entry, number, reading

URL = "/api/engines/marigold/entries"


@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


@pytest.fixture
def ask(served):
    with served.client() as client:
        yield client


def send(ask, *entries, url=URL):
    answer = ask.post(url, json=list(entries))
    assert answer.status_code == 200, answer.text
    return answer.json()


def stored(served, n):
    return served.shop.logbook.find(number(n))


def test_a_reading_is_kept_to_the_letter_with_the_devices_time_and_ours(served, ask):
    (answer,) = send(ask, reading(1, "main.3", " 2.4890 ", at="1970-01-01T00:00:07.000Z", place="1 front"))
    assert answer["state"] == "saved"
    kept = stored(served, 1)
    assert json.loads(kept.body)["text"] == " 2.4890 "
    assert kept.at == "1970-01-01T00:00:07.000Z"
    assert kept.received > "2026-05-04"
    assert (kept.person, kept.device) == ("Ines Vale", "phone")


def test_sent_twice_it_stands_once_and_both_answers_are_the_same(served, ask):
    one = reading(1, "main.3", "2.4890")
    first, second = send(ask, one), send(ask, one)
    assert first == second
    before = served.shop.logbook.head("marigold")
    assert send(ask, one, one)[0] == first[0]
    assert served.shop.logbook.head("marigold") == before


def test_the_same_id_for_something_else_is_refused_and_changes_nothing(served, ask):
    send(ask, reading(1, "main.3", "2.4890"))
    (answer,) = send(ask, reading(1, "main.3", "2.4980"))
    assert answer["state"] == "refused"
    assert number(1) in answer["why"]
    assert json.loads(stored(served, 1).body)["text"] == "2.4890"


def test_what_is_wrong_with_one_keeps_no_other_back(served, ask):
    answers = send(ask, reading(1, "main.3", "2.4890"), reading(2, "main.3", "two and a bit"), reading(3, "main.99", "2.4890"),
                   reading(4, "main.4", "2.4891"), entry(5, "reading.invented", {}))
    assert [a["state"] for a in answers] == ["saved", "refused", "refused", "saved", "refused"]
    assert "two and a bit" in answers[1]["why"]
    assert "main.99" in answers[2]["why"]
    assert stored(served, 2) is None
    assert stored(served, 4) is not None


@pytest.mark.parametrize("text", ["2,2485.1.1", "1/0", "", "2.4890 kg", "NaN", "1e999"])
def test_a_reading_that_cannot_be_understood_is_refused_with_a_sentence(served, ask, text):
    (answer,) = send(ask, reading(1, "main.3", text))
    assert answer["state"] == "refused"
    assert "journal at main.3" in answer["why"]
    assert stored(served, 1) is None


def test_many_readings_go_in_with_one_commit_in_the_order_sent(served, ask):
    answers = send(ask, *(reading(n, "main.3", f"2.48{n:02}") for n in range(1, 41)))
    positions = [a["position"] for a in answers]
    assert positions == list(range(positions[0], positions[0] + 40))


def test_an_instrument_named_for_the_first_time_brings_its_card_along(served, ask):
    send(ask, entry(1, "instrument.listed", {"instrument": "mic-new", "kind": "outside-micrometer", "name": "New one"}))
    assert stored(served, 1).stream == "shop"
    assert "mic-new" not in served.shop.build("marigold").instruments
    (answer,) = send(ask, reading(2, "main.3", "2.4890", instrument="mic-new"))
    assert answer["state"] == "saved"
    assert served.shop.build("marigold").instruments["mic-new"][1].name == "New one"
    (unknown,) = send(ask, reading(3, "main.3", "2.4890", instrument="mic-nowhere"))
    assert unknown["state"] == "refused"
    assert "mic-nowhere" in unknown["why"]


def test_bodies_that_are_no_entries_are_refused_as_a_whole(served, ask):
    before = served.shop.logbook.tip()
    for content in (b"", b"{}", b"[1]", b"[{}]", b"\xff", b'[{"id":1}]', b"[" * 100_000):
        answer = ask.post(URL, content=content, headers={"content-type": "application/json"})
        assert answer.status_code == 422, content[:20]
        assert "body" in answer.json()["error"]
    assert ask.post(URL, json=[reading(n, "main.3", "2.4890") for n in range(501)]).status_code == 422
    assert ask.post("/api/engines/nothing/entries", json=[reading(1, "main.3", "2.4890")]).status_code == 404
    assert served.shop.logbook.tip() == before


def test_who_is_signed_in_has_the_last_word_on_who_did_it(served, ask):
    served.access.add_person("Ada Quill", "owner", "a good long word")
    served.access.add_person("Tam Birch", "hand", "another long word")
    ask.post("/sign-in", data={"person": "Tam Birch", "password": "another long word"})
    one = reading(1, "main.3", "2.4890", person="Somebody Else")
    first = send(ask, one)
    assert stored(served, 1).person == "Tam Birch"
    assert send(ask, one) == first
    (answer,) = send(ask, entry(2, "house.adopted", {"text": ""}))
    assert (answer["state"], answer["why"]) == ("refused", "house.adopted: that is for an owner")


def test_a_decision_is_answered_with_what_others_wrote_since_it_was_seen(served, ask):
    seen = served.shop.build("marigold").position
    send(ask, reading(1, "main.3", "2.4890", person="Tam Birch", device="tablet"))
    (answer,) = send(ask, entry(2, "part.removed", {"slot": "thrust.upper"}, seen=seen))
    assert answer["state"] == "saved"
    assert [row["entry"] for row in answer["since"]] == [number(1)]
    assert "2.4890" in answer["since"][0]["sentence"]


def test_two_that_decide_about_one_slot_the_second_is_shown_the_first(served, ask):
    seen = served.shop.build("marigold").position
    one = entry(1, "part.removed", {"slot": "thrust.upper"}, person="Tam Birch", device="tablet", seen=seen)
    two = entry(2, "part.fitted", {"slot": "thrust.upper", "part": "thrust-m2"}, seen=seen)
    assert send(ask, one)[0]["state"] == "saved"
    (answer,) = send(ask, two)
    assert (answer["state"], answer["conflict"]) == ("refused", True)
    assert "Tam Birch" in answer["why"]
    assert stored(served, 2) is None
    (again,) = send(ask, two | {"seen": answer["since"][-1]["position"]})
    assert again["state"] == "saved"


def test_the_same_device_is_in_nobodys_way(served, ask):
    seen = served.shop.build("marigold").position
    answers = send(ask, entry(1, "part.removed", {"slot": "thrust.upper"}, seen=seen),
                   entry(2, "part.fitted", {"slot": "thrust.upper", "part": "thrust-m2"}, seen=seen))
    assert [a["state"] for a in answers] == ["saved", "saved"]


def test_an_accepted_choice_goes_in_while_it_is_still_what_is_offered(served, ask):
    offered = next(c for c in ask.get("/api/engines/marigold/choices").json() if c["accept"])
    (answer,) = send(ask, entry(1, "choice.accepted", offered["accept"][0], seen=offered["position"]))
    assert answer["state"] == "saved", answer
    accepted = ask.get("/api/engines/marigold/accepted").json()
    assert accepted[-1]["question"] == offered["question"]


def test_a_choice_whose_answer_has_changed_since_is_shown_again(served, ask):
    offered = next(c for c in ask.get("/api/engines/marigold/choices").json() if c["question"] == "main-shells" and c["accept"])
    away = [reading(n, "main.3", "2.4875", place=place, person="Tam Birch", device="tablet")
            for n, place in enumerate(("1 front", "2 front", "1 rear", "2 rear"), 10)]
    assert {a["state"] for a in send(ask, *away)} == {"saved"}
    (answer,) = send(ask, entry(1, "choice.accepted", offered["accept"][0], seen=offered["position"]))
    assert (answer["state"], answer["conflict"], len(answer["since"])) == ("refused", True, 4), answer
    assert stored(served, 1) is None


def test_a_strike_needs_an_entry_of_this_engine_that_is_not_struck(served, ask):
    send(ask, reading(1, "main.3", "2.4890"))
    strike = {"entry": number(1), "reason": "wrong journal"}
    assert send(ask, entry(2, "entry.struck", strike))[0]["state"] == "saved"
    for n, body in ((3, strike), (4, {"entry": number(77), "reason": "x"}), (5, {"entry": number(1), "reason": " "})):
        assert send(ask, entry(n, "entry.struck", body))[0]["state"] == "refused", body
    opening = served.shop.logbook.read("marigold")[0].id
    assert send(ask, entry(6, "entry.struck", {"entry": opening, "reason": "x"}))[0]["state"] == "refused"
    assert send(ask, entry(7, "entry.struck", {"entry": served.shop.logbook.read("kestrel")[9].id, "reason": "x"}))[0][
        "state"] == "refused"


def test_many_devices_at_once_each_entry_stands_once(served, ask):
    wanted = [reading(n, f"main.{1 + n % 7}", "2.4890") for n in range(60)]
    answers = []

    def device(part):
        for one in part:
            answers.append((one["id"], send(ask, one)[0]))

    threads = [threading.Thread(target=device, args=(wanted[k % 3 * 20:k % 3 * 20 + 20],)) for k in range(6)]  # each twice
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 120
    assert {a["state"] for _, a in answers} == {"saved"}
    for one in wanted:
        assert len({a["position"] for i, a in answers if i == one["id"]}) == 1
    ids = [e.id for e in served.shop.logbook.read("marigold")]
    assert len(ids) == len(set(ids))
    served.shop.logbook.verify()


def test_a_sheet_in_csv_is_stated_as_a_whole_or_not_at_all(served, ask):
    before = served.shop.build("marigold").position
    wrong = ask.post("/api/engines/marigold/sheet", json={"csv": "station,feature,text\nmain.*,journal,2.4990\nmain.*,journal,x\n"})
    assert wrong.status_code == 422
    assert served.shop.build("marigold").position == before
    for csv, said in (("a,b\n1,2\n", "first line"), ("station,feature,text\n,journal,1\n", "line 2: no station"),
                      ("station,feature,text,colour\n", "colour"), ("station,feature,text\nmain.*,journal,1,2\n", "more cells")):
        assert said in ask.post("/api/engines/marigold/sheet", json={"csv": csv}).json()["error"]
    right = ask.post("/api/engines/marigold/sheet", json={
        "csv": "\ufeffStation;Feature;Text;Tolerance;Characteristic;Lower;Upper\nmain.*;journal;2.4990;0.0005;;;\n"
               "main.*;;;;main-oil-clearance;0.0015;0.0030\n", "source": "sheet 9"})
    assert right.json() == {"rows": 2, "position": before + 2}
    stated = served.shop.build("marigold").stated("main.3", "journal")
    assert (stated.typed.text, stated.source) == ("2.4990", "sheet 9")


# -- what is asked while typing ----------------------------------------------------------------------------------------

def asked(ask, **query):
    answer = ask.get("/api/engines/marigold/question", params=query)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_a_turn_of_the_thimble_is_asked_first(served, ask):
    """The demo's journals are 2.489; one turn of an inch thimble is 0.025 (common practice)."""
    told = asked(ask, station="main.3", feature="journal", place="1 front", text="2.5140", instrument="mic-2-3")
    assert told["understood"]
    assert told["questions"][0]["what"] == "thimble turn"
    assert told["questions"][0]["meant"] == pytest.approx(2.489, abs=0.0003)
    assert "out" in {f["verdict"] for f in told["findings"]}


def test_swapped_figures_are_asked(served, ask):
    told = asked(ask, station="main.3", feature="journal", place="1 front", text="2.4980", instrument="mic-2-3")
    assert "2.4890" in {q["meant_text"].split()[0] for q in told["questions"]}


def test_a_usual_reading_asks_nothing_and_an_unreadable_one_says_why(served, ask):
    before = served.shop.logbook.tip()
    usual = asked(ask, station="main.3", feature="journal", place="1 front", text="2.4889", instrument="mic-2-3")
    assert usual["questions"] == []
    assert usual["written"].endswith("in")
    unread = asked(ask, station="main.3", feature="journal", text="abc")
    assert not unread["understood"]
    assert "abc" in unread["why"]
    assert served.shop.logbook.tip() == before
