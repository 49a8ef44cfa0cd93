"""Entries: what a device sends, what the logbook keeps, and what is accepted at the border."""

import json
import re
from datetime import UTC, datetime
from functools import lru_cache
from math import isfinite
from typing import Any

import msgspec

from tenths.errors import BadInput

MAX_BODY_BYTES = 1_000_000
MAX_BODY_DEPTH = 64
MAX_NAME = 200
MAX_NUMBER = 2**31 - 1
MAX_WHOLE = 2**53  # beyond it a reader in double precision does not read what was written

_STREAM = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")
_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[47][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_TYPE = re.compile(r"(?=.{1,100}\Z)[a-z][a-z0-9-]*(\.[a-z][a-z0-9-]*)+")
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z", re.ASCII)
_NAME = re.compile(r"[^\x00-\x1f\x7f]*")


class NewEntry(msgspec.Struct, frozen=True, gc=False):
    """An entry as a device sends it.

    Attributes:
        id: UUID made by the device, lower case; a repeat of it is the same entry sent again.
        type: Stable dotted name of what happened, like ``reading.taken``.
        schema: Number of the schema of the body, from 1.
        at: When it happened by the device's clock, ISO 8601 in UTC, like ``2026-03-01T14:02:11.250Z``.
        person: Who did it.
        device: What it was entered on; may be empty.
        body: Text of one JSON object, kept to the letter.
        seen: Position of the log that the person had seen, for decisions.
    """

    id: str
    type: str
    schema: int
    at: str
    person: str
    device: str
    body: str
    seen: int | None = None


class Entry(msgspec.Struct, frozen=True, gc=False):
    """An entry as the logbook keeps it: what was sent, with its place in the chain.

    Attributes:
        stream: The log that it belongs to; one engine, one stream.
        position: Its number in the stream: 1, 2, 3 and so on without gaps.
        received: When the logbook took it, by the clock of its machine; written like ``at``.
        previous: Hash of the entry before it, or GENESIS.
        hash: SHA-256 over everything else, in hexadecimal.
    """

    stream: str
    position: int
    id: str
    type: str
    schema: int
    at: str
    person: str
    device: str
    body: str
    received: str
    previous: str
    hash: str
    seen: int | None = None

    def sent(self) -> NewEntry:
        """The entry as its device sent it."""
        return NewEntry(self.id, self.type, self.schema, self.at, self.person, self.device, self.body, self.seen)


def utc_text(moment: datetime) -> str:
    """A moment with a time zone as the text that entries carry, to the millisecond.

    Raises:
        BadInput: for a moment without a time zone.
    """
    if moment.tzinfo is not UTC:
        if moment.utcoffset() is None:
            raise BadInput(f"moment: {moment} is not accepted; it must carry a time zone")
        moment = moment.astimezone(UTC)
    return (f"{moment.year:04}-{moment.month:02}-{moment.day:02}T{moment.hour:02}:{moment.minute:02}:"
            f"{moment.second:02}.{moment.microsecond // 1000:03}Z")


@lru_cache(1024)
def check_stream(stream: str) -> None:
    """Raise BadInput unless the text can name a stream."""
    if not _STREAM.fullmatch(stream):
        raise _bad("stream", stream, "1 to 100 letters, digits, dots, lines and underscores, a letter or digit first")


def check_new(entry: NewEntry) -> None:
    """Raise BadInput, naming field, value and what is accepted, unless the entry may come in."""
    if not _ID.fullmatch(entry.id):
        raise _bad("id", entry.id, "a UUID of version 4 or 7 in lower case")
    _check_type(entry.type)
    _check_number("schema", entry.schema, 1)
    check_time("at", entry.at)
    _check_name("person", entry.person)
    if not entry.person.strip():
        raise _bad("person", entry.person, "a name that is not empty")
    _check_name("device", entry.device)
    if entry.seen is not None:
        _check_number("seen", entry.seen, 0)
    try:
        check_body(entry.body)
    except BadInput as error:
        raise BadInput(f"entry {entry.id}: {error}") from None


@lru_cache(1024)  # a few types, persons and devices make all entries
def _check_type(value: str) -> None:
    if not _TYPE.fullmatch(value):
        raise _bad("type", value, "a dotted name in lower case like reading.taken, up to 100 characters")


def check_time(field: str, value: str) -> None:
    """Raise BadInput unless the text is a moment in UTC as entries carry it."""
    try:
        good = _TIME.fullmatch(value) is not None
        datetime.fromisoformat(value)
    except ValueError:
        good = False
    if not good:
        raise _bad(field, value, "an ISO 8601 time in UTC like 2026-03-01T14:02:11.250Z")


def check_body(body: str) -> None:
    """Raise BadInput unless the text is one JSON object that every reader will read alike.

    Refused are: more than MAX_BODY_BYTES in UTF-8 or more than MAX_BODY_DEPTH levels, a key given twice, NaN and
    infinities, numbers that double precision cannot hold, and texts that are not Unicode.
    """
    try:
        size = len(body.encode())
    except UnicodeEncodeError:
        raise _bad("body", body, "Unicode text; it holds half of a surrogate pair") from None
    if size > MAX_BODY_BYTES:
        raise BadInput(f"body: {size:,} bytes are not accepted; at most {MAX_BODY_BYTES:,} are")
    if _is_plain(body):
        return
    try:
        value: object = _STRICT.decode(body)
        msgspec.json.decode(body)  # the product's own reader is stricter than the standard one on surrogates
    except (ValueError, RecursionError, msgspec.DecodeError) as error:
        raise _bad("body", body, f"the text of one JSON object: {error}") from None
    if not isinstance(value, dict):
        raise _bad("body", body, "the text of one JSON object")
    _check_depth(body)


def _is_plain(body: str) -> bool:
    """Whether nothing is left to check: an object of texts with as many colons as keys, so that none stands twice.

    Most bodies are so, and this costs a tenth of reading them with every check.
    """
    try:
        return body.count(":") == len(_PLAIN.decode(body))
    except (msgspec.DecodeError, RecursionError):
        return False


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    result = dict(pairs)
    if len(result) < len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))
        raise ValueError(f"the key {_short(twice)} stands in it twice")
    return result


def _constant(name: str) -> object:
    raise ValueError(f"{name} is not a number")


def _whole(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > MAX_WHOLE:
        raise ValueError(f"{_short(text)} is too large for a whole number")
    return int(text)


def _float(text: str) -> float:
    value = float(text)
    if not isfinite(value):
        raise ValueError(f"{_short(text)} is too large for a number")
    return value


_PLAIN = msgspec.json.Decoder(dict[str, str])
_STRICT = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_constant, parse_float=_float, parse_int=_whole)


def _check_depth(body: str) -> None:
    """Count brackets outside of strings; the text is known to be JSON."""
    if body.count("{") + body.count("[") <= MAX_BODY_DEPTH:
        return
    depth = 0
    for mark in re.findall(r'"(?:[^"\\]|\\.)*"|[][{}]', body):
        depth += (mark in "[{") - (mark in "]}")
        if depth > MAX_BODY_DEPTH:
            raise _bad("body", body, f"a JSON object of at most {MAX_BODY_DEPTH} levels")


def _check_number(field: str, value: int, least: int) -> None:
    if type(value) is not int or not least <= value <= MAX_NUMBER:
        raise _bad(field, value, f"a whole number from {least} to {MAX_NUMBER}")


@lru_cache(1024)
def _check_name(field: str, value: str) -> None:
    if len(value) > MAX_NAME or not _NAME.fullmatch(value) or not _is_unicode(value):
        raise _bad(field, value, f"up to {MAX_NAME} printable characters")


def _is_unicode(value: str) -> bool:
    return not any("\ud800" <= c <= "\udfff" for c in value)


def _bad(field: str, value: object, accepted: str) -> BadInput:
    return BadInput(f"{field}: {_short(value)} is not accepted; it must be {accepted}")


def _short(value: object) -> str:
    text = ascii(value) if isinstance(value, str) and not _is_unicode(value) else repr(value)
    return text if len(text) <= 60 else text[:57] + "..."
