import json
from datetime import UTC, datetime, timedelta, timezone

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.errors import BadInput
from tenths.logbook.entry import MAX_BODY_BYTES, NewEntry, check_body, check_new, check_stream, check_time, utc_text

GOOD = NewEntry("018f0000-0000-7000-8000-000000000001", "reading.taken", 1, "2026-03-01T14:02:11.250Z", "Ann", "phone",
                '{"text":"2.2485"}', 4)


@pytest.mark.parametrize("change", [
    {}, {"id": "919108f7-52d1-4320-9bac-f847db4148a8"}, {"type": "a-b.c1.d"}, {"schema": 2**31 - 1},
    {"at": "2026-03-01T14:02:11Z"}, {"at": "2024-02-29T00:00:00.000001Z"}, {"person": "王 Åsa"}, {"device": ""},
    {"seen": None}, {"seen": 0}, {"body": "{}"}, {"body": ' {"a": [1, -2.5e3, null, true, {"a": ""}]}\n'},
])
def test_what_is_accepted(change):
    check_new(msgspec.structs.replace(GOOD, **change))


@pytest.mark.parametrize(("field", "value"), [
    ("id", ""), ("id", "1"), ("id", GOOD.id.upper()), ("id", GOOD.id + "\n"), ("id", GOOD.id.replace("-", "")),
    ("id", "018f0000-0000-1000-8000-000000000001"), ("id", "018f0000-0000-7000-c000-000000000001"),
    ("type", ""), ("type", "reading"), ("type", "Reading.taken"), ("type", "reading.taken\n"), ("type", ".taken"),
    ("type", "reading..taken"), ("type", "reading. taken"), ("type", "a." + "b" * 100),
    ("schema", 0), ("schema", -1), ("schema", 2**31), ("schema", True), ("schema", 1.0),
    ("at", ""), ("at", "2026-03-01"), ("at", "2026-03-01T14:02:11"), ("at", "2026-03-01T14:02:11+00:00"),
    ("at", "2026-02-29T14:02:11Z"), ("at", "2026-03-01T24:02:11Z"), ("at", "2026-03-01t14:02:11z"),
    ("at", "2026-03-01T14:02:11.1234567Z"), ("at", "٢٠٢٦-03-01T14:02:11Z"), ("at", "2026-03-01T14:02:11Z\n"),
    ("person", ""), ("person", "  "), ("person", "Ann\n"), ("person", "A\0"), ("person", "x" * 201),
    ("person", "\ud800"), ("device", "\x1b[2J"), ("device", "\udfff"),
    ("seen", -1), ("seen", 2**31), ("seen", False),
])
def test_what_is_refused_names_field_value_and_what_is_accepted(field, value):
    with pytest.raises(BadInput, match=rf"^{field}: .* is not accepted; it must be "):
        check_new(msgspec.structs.replace(GOOD, **{field: value}))


@pytest.mark.parametrize(("body", "why"), [
    ("", "Expecting value"), ("[]", "one JSON object"), ('"{}"', "one JSON object"), ("null", "one JSON object"),
    ("{", "Expecting"),
    ("{} {}", "Extra data"), ("\ufeff{}", "Expecting"), ('{"a":1,}', "Expecting"),
    ("{'a':1}", "Expecting"),
    ('{"a":NaN}', "NaN is not a number"),
    ('{"a":[Infinity]}', "Infinity is not"), ('{"a":-Infinity}', "-Infinity is not"),
    ('{"a":1e999}', "too large for a number"), ('{"a":-1e999}', "too large for a number"),
    ('{"a":9007199254740993}', "too large for a whole number"),
    ('{"a":' + "9" * 10_000 + "}", "too large for a whole"),
    ('{"a":1,"b":2,"a":1}', "the key 'a' stands in it twice"),
    ('{"a":"1","b":"2","a":"1"}', "the key 'a' stands in it twice"),
    ('{"a":":","a":"x"}', "the key 'a' stands in it twice"),
    ('{"x":[{"k":1,"\\u006b":2}]}', "the key 'k' stands in it twice"),
    ('{"a":"\\ud800"}', "one JSON object"), ('{"a":"\ud800"}', "surrogate"), ('{"a":"\n"}', "control character"),
    ('{"a":"\0"}', "control character"),
    ('{"a":' + "[" * 100_000 + "]" * 100_000 + "}", "one JSON object|levels"),
    ('{"a":' + "[" * 64 + "]" * 64 + "}", "64 levels"), ('{"a":01}', "Expecting"),
    ('{"a":"' + "é" * 500_000 + '"}', "bytes are not"),
])
def test_bodies_that_are_refused(body, why):
    with pytest.raises(BadInput, match=rf"entry {GOOD.id}: body: .*({why})"):
        check_new(msgspec.structs.replace(GOOD, body=body))


def test_bodies_at_the_limits():
    check_body('{"a":' + "[" * 63 + "]" * 63 + "}")
    check_body('{"a":"' + "[" * 1000 + '\\"{{{", "b":[' + ",".join(["[]"] * 1000) + "]}")
    check_body('{"a":"' + "x" * (MAX_BODY_BYTES - 8) + '"}')
    check_body('{"a":9007199254740992,"b":-9007199254740992,"c":1.7976931348623157e308}')


json_values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20)


@given(st.dictionaries(st.text(), json_values), st.booleans(), st.sampled_from([None, 1]))
def test_any_object_that_can_be_written_is_accepted(value, ascii_only, indent):
    check_body(json.dumps(value, ensure_ascii=ascii_only, indent=indent))


spoiled = st.lists(st.sampled_from([*'{}:,"ab\\', '"a":', '"b":"x"', '"a":"1"', "\n", "\\u0061", "1"]), max_size=9).map(
    lambda parts: "{" + "".join(parts) + "}")


@given(spoiled)
def test_what_is_accepted_reads_the_same_with_every_key_once(text):
    try:
        check_body(text)
    except BadInput:
        return
    pairs = []
    json.loads(text, object_pairs_hook=lambda rows: pairs.append([key for key, _ in rows]))
    assert all(len(keys) == len(set(keys)) for keys in pairs)


@given(st.text() | st.text(alphabet='{}[]":,0123456789eE+-.\\u nulltrfas'))
def test_any_text_is_accepted_or_refused_in_words(text):
    try:
        check_body(text)
    except BadInput:
        return
    assert isinstance(json.loads(text), dict)


@pytest.mark.parametrize("stream", ["six", "V8-1", "018f0000-0000-7000-8000-000000000001", "0.a_b"])
def test_names_of_streams(stream):
    check_stream(stream)


@pytest.mark.parametrize("stream", ["", ".", "../x", "-a", "a b", "a/b", "é", "a\n", "x" * 101])
def test_what_cannot_name_a_stream(stream):
    with pytest.raises(BadInput, match=r"^stream: .* is not accepted; it must be "):
        check_stream(stream)


@given(st.datetimes(min_value=datetime(1, 1, 2), max_value=datetime(9999, 12, 30)), st.integers(-1439, 1439))  # noqa: DTZ001
def test_moments_are_written_in_utc(naive, minutes):
    moment = naive.replace(tzinfo=timezone(timedelta(minutes=minutes)))
    text = utc_text(moment)
    check_time("at", text)
    assert timedelta(0) <= moment - datetime.fromisoformat(text) < timedelta(milliseconds=1)
    assert datetime.fromisoformat(text).tzinfo == UTC


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(BadInput, match=r"moment: .* must carry a time zone"):
        utc_text(datetime(2026, 3, 1))  # noqa: DTZ001
