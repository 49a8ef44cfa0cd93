"""Doing steps through the services: people, time, what is gone past, house templates."""

import pytest

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import work_bodies as w
from tenths.services import commands, questions, steps
from tenths.services.shop import SHOP


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Trial", layout="inline-3")


def row(shop, engine, step):
    return steps.step(shop, engine, step)


def test_the_first_deed_takes_the_houses_plan_into_the_engines_own_log(shop, engine):
    assert not steps.steps(shop, engine)["adopted"]
    steps.finish_step(shop, engine, "job-sheet")
    assert [e["type"] for e in questions.log(shop, engine)][-2:] == ["plan.adopted", "step.done"]
    assert steps.steps(shop, engine)["adopted"]
    assert row(shop, engine, "job-sheet")["done"]["person"] == "Ada Quill"


def test_a_step_is_never_refused_and_keeps_what_it_went_past(shop, engine):
    steps.finish_step(shop, engine, "strip", ticks=["1"], note="hurry")
    told = row(shop, engine, "strip")
    assert told["status"] == "done"
    assert told["past"][0].endswith("not done")  # the photographs
    assert sum(words.startswith("not ticked: ") for words in told["past"]) == len(told["ticks"]) - 1
    assert [tick["ticked"] for tick in told["ticks"]][:2] == [True, False]


def test_time_runs_from_begin_to_stop_for_each_person(shop, engine):
    # the shop's clock goes on by a second at every look, so that only whole spans are compared
    steps.begin_step(shop, engine, "strip", person="Ines Vale")
    steps.begin_step(shop, engine, "strip", person="Tom Arden")
    assert {r["person"] for r in row(shop, engine, "strip")["running"]} == {"Ines Vale", "Tom Arden"}
    steps.stop_step(shop, engine, "strip", person="Ines Vale")
    assert [r["person"] for r in row(shop, engine, "strip")["running"]] == ["Tom Arden"]
    with pytest.raises(BadInput, match=r"Ines Vale is not at it; at it: Tom Arden"):
        steps.stop_step(shop, engine, "strip", person="Ines Vale")
    steps.finish_step(shop, engine, "strip", person="Tom Arden")
    told = row(shop, engine, "strip")
    assert told["running"] == []
    log = {e["type"] + e["person"]: e["at"] for e in questions.log(shop, engine)}
    seconds = [int(log[key][17:19]) + 60 * int(log[key][14:16]) for key in (
        "step.begunInes Vale", "step.begunTom Arden", "step.stoppedInes Vale", "step.doneTom Arden")]
    assert told["spent"] * 3600 == pytest.approx(seconds[2] - seconds[0] + seconds[3] - seconds[1])


def test_a_step_that_is_not_in_the_plan_is_refused_with_what_is_near(shop, engine):
    with pytest.raises(BadInput, match=r"'crank-inn' is not in the plan; near: crank-in"):
        steps.begin_step(shop, engine, "crank-inn")


def test_a_house_template_is_taken_by_engines_that_come_after(shop):
    house = 'stages = ["all"]\n[[step]]\nname = "only"\nstage = "all"\nwords = "The only step"\n'
    steps.adopt_plan(shop, text=house)
    assert steps.template(shop) == house
    engine = commands.open_engine(shop, name="After", layout="single")
    steps.begin_step(shop, engine, "only")
    assert [r["step"] for s in steps.steps(shop, engine)["stages"] for r in s["steps"]] == ["only"]
    assert shop.build(SHOP).work


@pytest.mark.parametrize(("text", "says"), [
    ("stages = [", "not TOML"),
    ('stages = ["a"]\n', "no [[step]]"),
    ('stages = ["a"]\n[[step]]\nname = "One"\nstage = "a"\nwords = "x"\n', "name 'One' is not taken"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "b"\nwords = "x"\n', "stage 'b' is not one of a"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "a"\nwords = "x"\nafter = ["two"]\n', "waits for 'two'"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "a"\nwords = "x"\nhours = [2, 1, 3]\n', "low, likely and high that rise"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "a"\nwords = "x"\ncolour = "red"\n', "'colour' is not known"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "a"\nwords = "x"\nchecks = ["no-such"]\n', "'no-such' is not a characteristic"),
    ('stages = ["a"]\n[[step]]\nname = "one"\nstage = "a"\nwords = "x"\nafter = ["one"]\n', "wait for each other"),
])
def test_a_template_that_cannot_be_taken_is_refused_and_says_where(shop, engine, text, says):
    with pytest.raises(BadInput) as caught:
        steps.adopt_plan(shop, engine, text=text)
    assert says in str(caught.value)


def test_a_caution_is_told_once(shop, engine):
    assert row(shop, engine, "inspect-head@head.A")["caution_new"]
    steps.begin_step(shop, engine, "inspect-head@head.A")
    told = row(shop, engine, "clean-head@head.A")
    assert told["caution"] == row(shop, engine, "inspect-head@head.A")["caution"]
    assert not told["caution_new"]


def test_edits_need_a_reason_and_something_that_is_there(shop, engine):
    with pytest.raises(BadInput, match="reason"):
        steps.edit_plan(shop, engine, w.StepDropped(step="apart", reason=" "))
    with pytest.raises(BadInput, match="'nowhere' is not in the plan"):
        steps.edit_plan(shop, engine, w.StepRewaited(step="apart", after=("nowhere",)))
    with pytest.raises(BadInput, match="wait for each other"):
        steps.edit_plan(shop, engine, w.StepRewaited(step="photograph", after=("strip",)))
    assert steps.steps(shop, engine)["problems"] == []


def test_a_part_on_order_holds_up_what_needs_it_until_it_arrives(shop, engine):
    commands.part(shop, engine, bodies.PartListed(part="crank-1", kind="crank", words="new crank", where="on order", promised="2026-06-01"))
    waits = [x for x in row(shop, engine, "inspect-crank")["waits"] if x["kind"] == "part"]
    assert [x["words"] for x in waits] == ["new crank (crank-1): on order, promised 2026-06-01"]
    commands.part(shop, engine, bodies.PartArrived(part="crank-1"))
    assert not [x for x in row(shop, engine, "inspect-crank")["waits"] if x["kind"] == "part"]
