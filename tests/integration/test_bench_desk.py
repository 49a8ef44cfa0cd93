"""Plain forms of the bench: what is wrong is told at its field, a posting sent twice is written once, readers see none."""

import re

import pytest

from benches import Served
from tenths.bench import desk, work_forms


@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


CALL = "/api/engines/marigold/desk/step-begin"


def test_a_field_that_is_needed_and_empty_is_named(served):
    with served.client() as ask:
        answer = ask.post(CALL, json={"step": " "})
    assert answer.status_code == 422
    assert answer.json()["error"] == "step: nothing was given; fill in “Step”"


def test_a_posting_sent_twice_is_written_once_and_answered_alike(served):
    with served.client() as ask:
        before = ask.get("/api/engines/marigold/log").json()
        first, second = (ask.post(CALL, json={"step": "crank-in", "once": "w-1"}).json() for _ in range(2))
        after = ask.get("/api/engines/marigold/log").json()
    assert first == second
    assert len(after) == len(before) + 1
    assert first["entries"][0]["position"] == after[-1]["position"]


def test_without_a_script_the_form_comes_back_with_what_was_typed_and_what_is_wrong(served):
    with served.client() as ask:
        answer = ask.post("/e/marigold/desk/plan-branch", data={"branch": "second look", "steps": "no such stage", "reason": "cam <b>"})
    assert answer.status_code == 422
    assert 'value="second look"' in answer.text
    assert 'value="cam &lt;b&gt;"' in answer.text
    at = re.search(r'id="f-plan-branch-steps-wrong" role="alert">([^<]+)<', answer.text)
    assert at is not None
    assert "no such stage" in at[1]


def test_without_a_script_one_goes_back_to_the_page_and_nowhere_else(served):
    with served.client() as ask:
        home = ask.post("/e/marigold/desk/step-begin", data={"step": "crank-in", "back": "/e/marigold/record"})
        away = ask.post("/e/marigold/desk/step-stop", data={"step": "crank-in", "back": "//elsewhere.example/x"})
    assert (home.status_code, home.headers["location"]) == (303, "/e/marigold/record")
    assert (away.status_code, away.headers["location"]) == (303, "/e/marigold")


def test_a_reader_sees_no_form_and_cannot_post_one(served):
    for name, role in (("Ada", "owner"), ("Ben", "reader")):
        served.access.add_person(name, role, "a good long word")
    with served.client() as ask:
        ask.post("/sign-in", data={"person": "Ben", "password": "a good long word"})
        assert ask.post(CALL, json={"step": "crank-in"}).status_code == 403
        assert ask.get("/e/marigold/desk/step-begin").status_code == 403


def test_what_is_wrong_finds_its_field_by_the_word_before_the_colon():
    assert desk.field_of(work_forms.DONE, "tick: 'x' is not asked by this step") == "ticks"
    assert desk.field_of(work_forms.DONE, "note: too long") == "note"
    assert not desk.field_of(work_forms.DONE, "engine: there is no such")


@pytest.mark.parametrize("text", ["1.5", "-", "٣", "one"])
def test_a_count_that_is_no_whole_number_is_named(text):
    typed = desk.Typed({"count": text})
    with pytest.raises(desk.BadInput, match=r"count: .* is not a whole number"):
        typed.count("count")
