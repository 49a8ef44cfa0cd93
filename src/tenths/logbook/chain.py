"""The chain: every entry carries a hash over itself and the entry before it, so that a copy can be verified.

The bytes under the hash are those of ``canonical``: thirteen texts in a fixed order, each as its length in bytes, a
colon, the bytes, a comma. They need no rule about JSON, spaces or escapes, and any language writes them in a few lines.
"""

from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256

from tenths.errors import BadInput, Damaged, Refused
from tenths.logbook.entry import Entry, NewEntry, check_new, check_stream, check_time

GENESIS = "0" * 64
LABEL = "tenths-entry-1"
_EMPTY = sha256()  # copying it is cheaper than asking for a new one each time

Head = tuple[int, str]
Find = Callable[[str], Entry | None]


def canonical(entry: Entry) -> bytes:
    """The bytes that the hash of an entry is taken over: all of it but the hash itself."""
    return _canonical(entry.sent(), entry.stream, entry.position, entry.received, entry.previous)


def _canonical(new: NewEntry, stream: str, position: int, received: str, previous: str) -> bytes:
    number, schema, seen = str(position), str(new.schema), "" if new.seen is None else str(new.seen)
    text = (
        f"{len(LABEL)}:{LABEL},{len(stream)}:{stream},{len(number)}:{number},{len(new.id)}:{new.id},"
        f"{len(new.type)}:{new.type},{len(schema)}:{schema},{len(new.at)}:{new.at},{len(new.person)}:{new.person},"
        f"{len(new.device)}:{new.device},{len(new.body)}:{new.body},{len(seen)}:{seen},{len(received)}:{received},"
        f"{len(previous)}:{previous},"
    )
    if text.isascii():  # a character is a byte, so the lengths above are right
        return text.encode()
    texts = (LABEL, stream, number, new.id, new.type, schema, new.at, new.person, new.device, new.body, seen, received,
             previous)
    return b"".join([b"%d:%b," % (len(raw), raw) for raw in [text.encode() for text in texts]])


def link(new: NewEntry, stream: str, head: Head, received: str) -> Entry:
    """The entry that this new one becomes behind the head of its stream."""
    position, previous = head[0] + 1, head[1]
    digest = _EMPTY.copy()
    digest.update(_canonical(new, stream, position, received, previous))
    return Entry(stream, position, new.id, new.type, new.schema, new.at, new.person, new.device, new.body, received,
                 previous, digest.hexdigest(), new.seen)


def with_hash(entry: Entry) -> Entry:
    """The same entry with the hash that its fields call for."""
    return link(entry.sent(), entry.stream, (entry.position - 1, entry.previous), entry.received)


def plan(
    stream: str, entries: Sequence[NewEntry], *, head: Head, find: Find, received: str
) -> tuple[list[Entry], list[Entry]]:
    """What an append answers, and which of the answers are fresh and must be stored.

    Args:
        stream: The stream appended to.
        entries: What was sent, in order; each has passed ``check_new``.
        head: Position and hash of the last entry of the stream.
        find: Looks an id up over all streams.
        received: Time of the append.

    Raises:
        Refused: when an id is already taken by another content or in another stream.
    """
    answers: list[Entry] = []
    fresh: dict[str, Entry] = {}
    for new in entries:
        known = fresh.get(new.id) or find(new.id)
        if known is None:
            known = fresh[new.id] = link(new, stream, head, received)
            head = known.position, known.hash
        else:
            _require_repeat(known, stream, new)
        answers.append(known)
    return answers, list(fresh.values())


def _require_repeat(known: Entry, stream: str, new: NewEntry) -> None:
    if known.stream != stream:
        raise Refused(f"entry {new.id} already stands in the log of {known.stream}, position {known.position}; "
                      f"it cannot come into that of {stream} too")
    sent = known.sent()
    differs = [name for name in NewEntry.__struct_fields__ if getattr(sent, name) != getattr(new, name)]
    if differs:
        raise Refused(f"entry {new.id} already stands in the log of {stream}, position {known.position}, with another "
                      f"{' and '.join(differs)}; an entry is never changed, a correction needs an id of its own")


def plan_adoption(entries: Sequence[Entry], *, stored: Sequence[Entry], find: Find) -> list[Entry]:
    """Which entries of a verified copy of one stream are still missing behind those that are stored.

    Raises:
        Refused: when the copy and the stored log part ways, or an id is taken in another stream.
    """
    for ours, theirs in zip(stored, entries, strict=False):
        if ours != theirs:
            raise Refused(f"the log of {ours.stream} here and the copy part ways at position {ours.position}: entry "
                          f"{ours.id} stands here, {theirs.id} in the copy; nothing was taken")
    missing = list(entries[len(stored):])
    for entry in missing:
        taken = find(entry.id)
        if taken is not None:
            raise Refused(f"entry {entry.id} of the copy, position {entry.position}, already stands in the log of "
                          f"{taken.stream}, position {taken.position}; nothing was taken")
    return missing


def verify(entries: Iterable[Entry]) -> None:
    """Check that entries, from position 1 on and in order within each stream, form whole chains.

    A log that lost its last entries is still a whole, shorter chain: only a head known from elsewhere (the store, the
    printed record, another copy) tells; see ``check_head``.

    Raises:
        Damaged: naming stream, position and what does not match.
    """
    heads: dict[str, Head] = {}
    ids: dict[str, str] = {}
    for entry in entries:
        position, previous = heads.get(entry.stream, (0, GENESIS))
        _verify_one(entry, position + 1, previous)
        place = f"{entry.stream}, position {entry.position}"
        if entry.id in ids:
            raise Damaged(f"{place}: the id {entry.id} stands already at {ids[entry.id]}")
        ids[entry.id] = place
        heads[entry.stream] = entry.position, entry.hash


def _verify_one(entry: Entry, position: int, previous: str) -> None:
    if entry.position != position:
        raise Damaged(f"{entry.stream}, position {position}: an entry with position {entry.position!r} stands here")
    place = f"{entry.stream}, position {position}"
    wrong = _wrong_types(entry)
    if wrong:
        raise Damaged(f"{place}: {wrong} is not of the right kind")
    if entry.previous != previous:
        raise Damaged(f"{place}: its link to the entry before does not match: it names {entry.previous[:16]}..., "
                      f"but that entry has {previous[:16]}...")
    if not matches(entry):
        raise Damaged(f"{place}: its content does not match its hash {entry.hash[:16]}...; it was altered")


def matches(entry: Entry) -> bool:
    """Whether the hash of an entry is the one that its fields call for."""
    try:
        return sha256(canonical(entry)).hexdigest() == entry.hash
    except UnicodeEncodeError:
        return False


def _wrong_types(entry: Entry) -> str:
    for name in _TEXTS:
        if type(getattr(entry, name)) is not str:
            return name
    if type(entry.position) is not int:
        return "position"
    if type(entry.schema) is not int:
        return "schema"
    return "" if entry.seen is None or type(entry.seen) is int else "seen"


_TEXTS = tuple(n for n in Entry.__struct_fields__ if n not in {"position", "schema", "seen"})


def check_head(stream: str, entries: Sequence[Entry], head: Head) -> None:
    """Raise Damaged unless the entries of a stream end as it is known from elsewhere that they do."""
    found = (entries[-1].position, entries[-1].hash) if entries else (0, GENESIS)
    if found != head:
        raise Damaged(f"{stream}, position {max(found[0], head[0])}: the log ends at position {found[0]} with "
                      f"{found[1][:16]}..., but its end is known as position {head[0]} with {head[1][:16]}...")


def check_copy(entries: Sequence[Entry], *, head: Head | None = None) -> str:
    """The stream of a copy of one whole log, once its chain and every entry of it are found good.

    Raises:
        Damaged: when the chain does not verify, or does not end at ``head``.
        BadInput: when there is no entry, several streams, or an entry that would not be accepted at the border.
    """
    streams = sorted({entry.stream for entry in entries})
    if len(streams) != 1:
        raise BadInput(f"entries: those of {len(streams)} streams are not accepted; a copy holds exactly one")
    check_stream(streams[0])
    verify(entries)
    if head is not None:
        check_head(streams[0], entries, head)
    for entry in entries:
        try:
            check_new(entry.sent())
            check_time("received", entry.received)
        except BadInput as error:
            raise BadInput(f"{entry.stream}, position {entry.position}: {error}") from None
    return streams[0]
