"""What is to be done again: readings and answers against a plain search, the list, the picture."""

from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import second_plan as second
from tenths.engine.describe import layout_from_text
from tenths.engine.features import feature_at
from tenths.engine.operations import OPERATIONS
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.logbook.fold import fold
from tenths.record.drawing.fall import fall
from tenths.services import again, commands, steps
from tenths.work.stale import stale_choices, stale_readings

THREE = layout_from_text("inline-3")
SVG = "{http://www.w3.org/2000/svg}"
SLOTS = ("block", "crank", "main.1.shell.upper", "main.2.cap", "cyl.1.piston", "cyl.2.ring.top", "rod.3", "gasket.A")
READ = (("main.1", "installed-bore"), ("main.1", "journal"), ("main.2", "housing-bore"), ("cyl.1", "bore"), ("cyl.1.piston", "skirt"),
        ("cyl.2.ring.top", "end-gap"), ("rod.3", "housing-bore"), ("cyl.1", "deck-clearance"), ("gasket.A", "gasket-thickness"))
PICKS = (("main.1.shell.upper", "a"), ("cyl.2.ring.top", "b"), ("crank", "a"))

events = st.one_of(
    st.builds(lambda r, k: bodies.ReadingTaken(station=r[0], feature=r[1], text="2.0", place=feature_at(r[1], r[0]).places[k % 2 - 1]),
              st.sampled_from(READ), st.integers(0, 1)),
    st.builds(lambda s, p, a: bodies.PartFitted(slot=s, part=p, all_along=a), st.sampled_from(SLOTS), st.sampled_from("ab"),
              st.sampled_from((False, False, True))),
    st.builds(lambda s: bodies.PartRemoved(slot=s), st.sampled_from(SLOTS)),
    st.builds(lambda s, o, at: bodies.PartMachined(slot=s, operation=o, features=OPERATIONS[o], stations=at), st.sampled_from(SLOTS),
              st.sampled_from(sorted(OPERATIONS)), st.sampled_from(((), ("cyl.1",), ("main.*",)))),
    st.builds(lambda q, on, p: bodies.ChoiceAccepted(question=q, picks=tuple(bodies.Pick(station=s, pick=x) for s, x in p),
                                                     rests_on=tuple(f"id-{n}" for n in on)),
              st.sampled_from(("one", "two")), st.sets(st.integers(2, 20), max_size=6), st.lists(st.sampled_from(PICKS), max_size=2)))
LOGS = st.lists(events, min_size=4, max_size=30)
SLOW = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def built(what):
    rows = [bodies.EngineOpened(name="Trial", layout="inline-3"), *what]
    at = "2026-05-04T09:00:00.000Z"
    return fold("trial", [Entry("trial", n, f"id-{n}", b.TYPE, b.SCHEMA, at, "Ada", "", bodies.encode(b), "", "", "")
                          for n, b in enumerate(rows, 1)])


def gone(log, body, since, but=()):
    """Whether a reading taken, or relied on, at that position does not hold at the end of the log."""
    feature = feature_at(body.feature, body.station)
    end = log[-1][0]
    for slot in feature.slots(THREE, body.station):
        if slot not in but and second.held(log, slot, since) != second.held(log, slot, end):
            return True
        for cut in second.cuts_after(log, slot, since):
            if (not cut.features or body.feature in cut.features) and (not cut.stations or second.covers(cut.stations, body.station)):
                return True
    return False


@SLOW
@given(LOGS)
def test_readings_to_take_again_are_exactly_the_places_of_which_no_reading_holds(what):
    log = list(enumerate(what, 2))
    by_place = {}
    for position, body in log:
        if isinstance(body, bodies.ReadingTaken):
            by_place.setdefault((body.station, body.feature, body.place), []).append(gone(log, body, position))
    assert {(r.station, r.feature, r.place) for r in stale_readings(built(what))} == {key for key, all_ in by_place.items() if all(all_)}


@SLOW
@given(LOGS)
def test_answers_to_ask_again_rest_on_what_changed_otherwise_than_by_carrying_them_out(what):
    log = list(enumerate(what, 2))
    latest = {body.question: (position, body) for position, body in log if isinstance(body, bodies.ChoiceAccepted)}
    reads = {f"id-{p}": body for p, body in log if isinstance(body, bodies.ReadingTaken)}
    end = log[-1][0]
    expected = set()
    for position, body in latest.values():
        done = {pick.station for pick in body.picks if second.held(log, pick.station, end) == pick.pick and any(
            p > position and getattr(b, "slot", "") == pick.station and isinstance(b, bodies.PartFitted | bodies.PartRemoved)
            for p, b in log)}
        if any(gone(log, reads[e], position, done) for e in body.rests_on if e in reads):
            expected.add(body.question)
    assert {c.question for c in stale_choices(built(what))} == expected


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Trial", layout="inline-3")
    commands.part(shop, name, *(bodies.PartListed(part=p, kind="crank") for p in ("one", "two")),
                  bodies.PartFitted(slot="crank", part="one", all_along=True))
    commands.take_reading(shop, name, bodies.ReadingTaken(station="main.1", feature="journal", text="2.4000", place="1 front"))
    commands.take_reading(shop, name, bodies.ReadingTaken(station="cyl.1", feature="bore", text="3.5000", place="gauge thrust"))
    for step in ("inspect-crank", "inspect-block", "measure-main@main.1", "deck@deck.A"):
        steps.finish_step(shop, name, step)
    return name


def test_asking_what_a_change_would_do_writes_nothing_and_comes_true(shop, engine):
    before = shop.build(engine).position
    told = again.if_changed(shop, engine, "crank")
    assert shop.build(engine).position == before
    assert again.again(shop, engine)["todo"] == []
    commands.part(shop, engine, bodies.PartFitted(slot="crank", part="two"))
    now = again.again(shop, engine)
    for kind, key in (("steps", "step"), ("readings", "station")):
        assert [r[key] for r in now[kind]] == [r[key] for r in told[kind]]
    assert {s["step"] for s in now["steps"]} == {"inspect-crank", "measure-main@main.1"}
    assert [(r["station"], r["feature"]) for r in now["readings"]] == [("main.1", "journal")]


def test_doing_it_again_empties_the_list(shop, engine):
    commands.part(shop, engine, bodies.PartFitted(slot="crank", part="two"))
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="main.1", feature="journal", text="2.4001", place="1 front"))
    for step in ("inspect-crank", "measure-main@main.1"):
        steps.finish_step(shop, engine, step)
    assert again.again(shop, engine)["todo"] == []


def test_machining_asked_about_touches_only_its_own_hole(shop, engine):
    told = again.if_changed(shop, engine, "block", operation="honed", stations=("cyl.2",))
    assert told["readings"] == []
    told = again.if_changed(shop, engine, "block", operation="honed", stations=("cyl.1",))
    assert [(r["station"], r["feature"]) for r in told["readings"]] == [("cyl.1", "bore")]
    with pytest.raises(BadInput, match="'blok' is not on this engine"):
        again.if_changed(shop, engine, "blok")
    with pytest.raises(BadInput, match="'sanded' is not known"):
        again.if_changed(shop, engine, "block", operation="sanded")


@pytest.mark.parametrize("width", [360, 390, 960])
def test_the_picture_shows_every_box_once_within_its_paper_and_says_it_in_words(shop, engine, width):
    commands.part(shop, engine, bodies.PartFitted(slot="crank", part="two"))
    picture = again.again(shop, engine)["picture"]
    root = ET.fromstring(fall(picture, width=width))  # noqa: S314 - made by us
    boxes = [b for band in picture["bands"] for b in band["boxes"]]
    drawn = [(float(r.get("x")), float(r.get("y")), float(r.get("width")), float(r.get("height"))) for r in root.iter(SVG + "rect")]
    assert len(drawn) == len(boxes)
    tall = float(root.get("height"))
    for n, (x, y, w, h) in enumerate(drawn):
        assert x >= 0 and x + w <= width and y + h <= tall  # noqa: PT018 - one thought
        assert all(x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y for x2, y2, w2, h2 in drawn[n + 1:])
    assert len(list(root.iter(SVG + "path"))) == len(picture["edges"])
    assert all(b["words"] in root.find(SVG + "desc").text for b in boxes)
