"""The fold of any log that the store accepted; strikes; deviations; what is kept as a problem."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shops import shop_in_memory
from tenths.engine.features import FEATURES
from tenths.errors import BadInput, Refused
from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.logbook.entry import Entry, NewEntry
from tenths.logbook.fold import fold
from tenths.services import commands, questions

INCH = 0.0254


def reading(**given):
    return bodies.ReadingTaken(**{"station": "main.1", "feature": "journal", "text": "2.4000", **given})


@pytest.fixture
def engine(shop):
    return commands.open_engine(shop, name="Trial", layout="inline-3")


def test_a_deviation_hangs_on_the_last_setting_of_its_gauge(shop, engine):
    for kind, name in (("outside-micrometer", "mic"), ("bore-gauge", "bore")):
        commands.list_instrument(shop, bodies.InstrumentListed(instrument=name, kind=kind))
    commands.set_instrument(shop, engine, instrument="bore", master="mic", size="2.5400")
    commands.take_reading(shop, engine, reading(feature="housing-bore", text="+3 tenths", instrument="bore"))
    commands.set_instrument(shop, engine, instrument="bore", master="mic", size="2.5000")
    commands.take_reading(shop, engine, reading(feature="housing-bore", text="-0.0002", instrument="bore", place="B rear"))
    values = [r.value for r in shop.build(engine).readings["main.1", "housing-bore"]]
    assert values == pytest.approx([2.5403 * INCH, 2.4998 * INCH], abs=1e-12)


def test_a_deviation_without_a_setting_is_refused_and_says_so(shop, engine):
    with pytest.raises(BadInput, match=r"deviation.*setting"):
        commands.take_reading(shop, engine, reading(feature="housing-bore", text="+3 tenths"))


def test_a_struck_reading_does_not_count_and_stays_in_the_log(shop, engine):
    taken = commands.take_reading(shop, engine, reading())
    commands.strike(shop, engine, taken.id, "wrong journal")
    assert not shop.build(engine).readings
    row = next(r for r in questions.log(shop, engine) if r["entry"] == taken.id)
    assert row["struck"] == "wrong journal"


def test_a_strike_is_not_struck_and_needs_a_reason(shop, engine):
    taken = commands.take_reading(shop, engine, reading())
    with pytest.raises(BadInput, match="reason"):
        commands.strike(shop, engine, taken.id, "  ")
    strike = commands.strike(shop, engine, taken.id, "wrong")
    with pytest.raises(Refused, match="not struck"):
        commands.strike(shop, engine, strike.id, "changed my mind")
    with pytest.raises(Refused, match="struck already"):
        commands.strike(shop, engine, taken.id, "again")


@pytest.mark.parametrize(("given_", "says"), [
    ({"station": "main.9"}, "main.9.*not on this engine"),
    ({"station": "main.*"}, "one station"),
    ({"feature": "colour"}, "'colour' is not read at main.1; there one reads"),
    ({"text": "two and a bit"}, "journal at main.1"),
    ({"text": "75 lbf ft"}, "journal at main.1"),
    ({"station": "part.none"}, "no part 'none'"),
    ({"instrument": "mic-9"}, "instrument: 'mic-9' is not listed"),
])
def test_a_reading_that_cannot_be_understood_is_refused_in_words(shop, engine, given_, says):
    before = shop.logbook.head(engine)
    with pytest.raises(BadInput, match=says):
        commands.take_reading(shop, engine, reading(**given_))
    assert shop.logbook.head(engine) == before


def test_instruments_are_copied_into_the_log_that_names_them_once(shop, engine):
    commands.list_instrument(shop, bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", name="Old mic"))
    commands.take_reading(shop, engine, reading(instrument="mic"))
    commands.take_reading(shop, engine, reading(instrument="mic", place="2 front"))
    types = [e.type for e in shop.logbook.read(engine)]
    assert types == ["engine.opened", "instrument.listed", "reading.taken", "reading.taken"]


def entry(position, type_name, body, stream="e"):
    return Entry(stream=stream, position=position, id=f"00000000-0000-7000-8000-{position:012d}", type=type_name,
                 schema=1, at="2026-05-04T09:00:00Z", person="p", device="", body=json.dumps(body),
                 received="2026-05-04T09:00:00Z", previous="", hash="")


OPENED = {"name": "x", "layout": "inline-3", "units": "inch"}
texts = st.text(max_size=12) | st.sampled_from(["2.4000", "+3 tenths", "61,001 mm", "1/0", "9" * 400])
stations_ = st.sampled_from(["main.1", "rod.2", "cyl.3.ring.top", "main.1.shell.upper", "part.a", "nowhere", "main.*"])
names = st.sampled_from(sorted({f.name for f in FEATURES})) | st.text(max_size=6)
any_body = st.one_of(
    st.tuples(st.just("reading.taken"), st.fixed_dictionaries(
        {"station": stations_, "feature": names, "text": texts}, optional={"place": texts, "setting": texts,
                                                                          "temperature": texts, "unit": texts})),
    st.tuples(st.just("size.stated"), st.fixed_dictionaries({"station": stations_, "feature": names, "text": texts},
                                                           optional={"tolerance": texts})),
    st.tuples(st.just("part.listed"), st.fixed_dictionaries({"part": st.sampled_from("ab"), "kind": texts},
                                                           optional={"sizes": st.dictionaries(names, texts, max_size=2)})),
    st.tuples(st.just("part.fitted"), st.fixed_dictionaries({"slot": stations_, "part": st.sampled_from("ab")})),
    st.tuples(st.just("part.machined"), st.fixed_dictionaries({"slot": stations_, "operation": texts})),
    st.tuples(st.just("limit.stated"), st.fixed_dictionaries(
        {"station": stations_, "characteristic": st.sampled_from(["bore-taper", "ring-end-gap", "x"])},
        optional={"lower": texts, "upper": texts})),
    st.tuples(st.just("house.adopted"), st.fixed_dictionaries({"text": texts})),
    st.tuples(st.just("engine.described"), st.fixed_dictionaries({}, optional={"layout": texts, "units": texts, "use": texts})),
    st.tuples(st.just("instrument.set"), st.fixed_dictionaries({"instrument": texts, "master": texts, "size": texts})),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(any_body, max_size=14), st.lists(st.integers(1, 15), max_size=3))
def test_any_log_folds_and_checks_without_raising(rows, strikes):
    entries = [entry(1, "engine.opened", OPENED)]
    entries += [entry(n, type_name, body) for n, (type_name, body) in enumerate(rows, 2)]
    entries += [entry(len(entries) + n, "entry.struck", {"entry": entries[(k - 1) % len(entries)].id, "reason": "r"})
                for n, k in enumerate(strikes, 1)]
    build = fold("e", entries)
    assert build.position == len(entries)
    check(build)


@settings(max_examples=60, deadline=None)
@given(st.lists(any_body, max_size=10))
def test_what_is_vetted_and_appended_is_never_a_problem_and_grows_as_it_folds(rows):
    shop = shop_in_memory(Path())
    commands.open_engine(shop, name="e", layout="inline-3", engine="e")
    for number, (type_name, body) in enumerate(rows):
        new = NewEntry(id=f"00000000-0000-7000-8000-{number:012d}", type=type_name, schema=1, at="2026-05-04T09:00:00Z",
                       person="p", device="d", body=json.dumps(body))
        try:
            shop.append_entries("e", [new])
        except BadInput:
            continue
    grown = shop.build("e")
    assert grown.problems == []
    assert grown == fold("e", shop.logbook.read("e"))
