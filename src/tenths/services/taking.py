"""Entries made elsewhere (a phone, a tablet, another program) taken into the logbook, each answered for itself.

A reading always goes in. A decision says what its maker had seen; when somebody else has decided about the same thing
since, or the answer that was accepted is no longer the same, it is not taken: the maker is shown what changed, and
decides again. Taking the same entry twice is answered like the first time.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import msgspec

from tenths.errors import BadInput, Refused, TenthsError
from tenths.findings.check import catalogue
from tenths.findings.limits import USES, rules_of
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry, NewEntry
from tenths.logbook.ids import RANDOM_BYTES, new_id
from tenths.services import choosing
from tenths.services.commands import instrument_cards
from tenths.services.questions import Answer, system_of
from tenths.services.sentences import sentence
from tenths.services.shop import SHOP, Shop

OF_THE_SHOP = (bodies.StudyBegun.TYPE, bodies.StudyRead.TYPE, bodies.StudyAccepted.TYPE, bodies.InstrumentListed.TYPE,
               bodies.InstrumentCertified.TYPE)
OWNERS_ONLY = frozenset({"engine.opened", "engine.described", "house.adopted", "quote.made", "invoice.made"})


class Taken(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How an entry that was sent was answered.

    Attributes:
        id: of the entry.
        state: "saved": it is committed; "refused": it is not, and a person must decide.
        position: where it stands in the log.
        why: why it was refused, in a sentence.
        conflict: it was refused because of what changed since it was seen.
        since: for a decision, what others wrote between what its maker had seen and it.
    """

    id: str
    state: Literal["saved", "refused"]
    position: int | None = None
    why: str = ""
    conflict: bool = False
    since: list[dict[str, Any]] = []


def take(shop: Shop, engine: str, sent: Sequence[NewEntry], *, person: str = "", device: str = "",
         refuse: frozenset[str] = frozenset()) -> list[Taken]:
    """Takes entries in the order sent; what is wrong with one keeps no other back.

    Args:
        shop: the shop.
        engine: the engine that they are about; the cards of instruments go to the shop itself.
        sent: as the device made them.
        person: who is signed in, who has the last word on who did it; empty to believe the device.
        device: name of the paired device, likewise.
        refuse: types of entries that this person may not make.
    """
    own = [_signed(shop, entry, person, device) for entry in sent]
    plain = [e for e in own if e.type == bodies.ReadingTaken.TYPE]
    if len(own) > 1 and len(plain) == len(own) and len({e.id for e in own}) == len(own):
        together = _all_at_once(shop, engine, own)
        if together:
            return together
    return [_take(shop, engine, entry, refuse) for entry in own]


def _signed(shop: Shop, entry: NewEntry, person: str, device: str) -> NewEntry:
    return msgspec.structs.replace(entry, person=person or entry.person or shop.person, device=device or entry.device)


def _all_at_once(shop: Shop, engine: str, sent: Sequence[NewEntry]) -> list[Taken]:
    """Readings that were kept back on a device go in with one commit; none when anything is the matter with one."""
    try:
        if any(shop.logbook.find(entry.id) for entry in sent):
            return []
        named = dict.fromkeys(_decoded(entry).instrument for entry in sent)
        stored = shop.append_entries(engine, [*_cards(shop, engine, sent[0], *named), *sent])
    except TenthsError:
        return []
    return [Taken(id=e.id, state="saved", position=e.position) for e in stored[-len(sent):]]


def _take(shop: Shop, engine: str, entry: NewEntry, refuse: frozenset[str]) -> Taken:
    try:
        if (known := _known(shop, engine, entry)) is not None:
            return Taken(id=entry.id, state="saved", position=known.position)
        if entry.type in refuse:
            raise Refused(f"{entry.type}: that is for an owner")
        body = _decoded(entry)
        since = _since(shop, engine, entry)
        if (conflict := _conflict(shop, engine, entry, body, since)) is not None:
            return conflict
        stored = _append(shop, engine, entry, body)
    except TenthsError as error:
        return Taken(id=entry.id, state="refused", why=str(error))
    return Taken(id=entry.id, state="saved", position=stored.position, since=[_row(e) for e in since])


def _known(shop: Shop, engine: str, entry: NewEntry) -> Entry | None:
    """The entry as it was taken before; raises Refused when its id stands for something else."""
    found = shop.logbook.find(entry.id)
    if found is None:
        return None
    same = (found.type, found.schema, found.body, found.at) == (entry.type, entry.schema, entry.body, entry.at)
    if not same or found.stream != _stream(engine, entry):
        raise Refused(f"id {entry.id} stands for another entry already; nothing was changed")
    return found


def _stream(engine: str, entry: NewEntry) -> str:
    return SHOP if entry.type in OF_THE_SHOP else engine


def _decoded(entry: NewEntry) -> Any:
    return bodies.decode(entry.type, entry.schema, entry.body)


def _append(shop: Shop, engine: str, entry: NewEntry, body: bodies.Body) -> Entry:
    for look in LOOKS.get(type(body), ()):
        look(shop, engine, body)
    if isinstance(body, bodies.EngineOpened) and engine in shop.engines():
        raise Refused(f"engine: {engine!r} is there already")
    names = {bodies.ReadingTaken: ("instrument",), bodies.InstrumentSet: ("instrument", "master"),
             bodies.FlowBegun: ("instrument",)}.get(type(body), ())
    cards = _cards(shop, engine, entry, *(getattr(body, name) for name in names))
    return shop.append_entries(_stream(engine, entry), [*cards, entry])[-1]


def _cards(shop: Shop, engine: str, entry: NewEntry, *names: str) -> list[NewEntry]:
    """The cards that the engine's log lacks of the instruments named, as entries by the same hand."""
    if not any(names):
        return []
    return [msgspec.structs.replace(
        entry, id=new_id(int(shop.clock().timestamp() * 1000), shop.random(RANDOM_BYTES)), type=card.TYPE,
        schema=card.SCHEMA, body=bodies.encode(card), seen=None) for card in instrument_cards(shop, engine, *names)]


# -- what is looked at before an entry goes in ------------------------------------------------------------------------

def _one_of(field: str, value: str, accepted: Sequence[str]) -> None:
    if value not in accepted:
        raise BadInput(f"{field}: {value!r} is not taken; give one of {', '.join(accepted)}")


def _look_limit(_shop: Shop, _engine: str, body: bodies.LimitStated) -> None:
    _one_of("characteristic", body.characteristic, tuple(catalogue()))


def _look_described(_shop: Shop, _engine: str, body: bodies.EngineDescribed | bodies.EngineOpened) -> None:
    if body.use is not None:
        _one_of("use", body.use, USES)
    if body.units is not None:
        _one_of("units", body.units, ("inch", "metric"))
    if body.name is not None and not body.name.strip():
        raise BadInput("name: an engine needs a name")


def _look_rules(_shop: Shop, _engine: str, body: bodies.HouseAdopted) -> None:
    rules_of(body.text)


def _look_note(_shop: Shop, _engine: str, body: bodies.NoteWritten) -> None:
    if not body.text.strip():
        raise BadInput("note: nothing was written")


def _look_strike(shop: Shop, engine: str, body: bodies.EntryStruck) -> None:
    struck = shop.logbook.find(body.entry)
    if struck is None or struck.stream != engine:
        raise BadInput(f"entry: {body.entry!r} is not in the log of this engine")
    if struck.type in {bodies.EntryStruck.TYPE, bodies.EngineOpened.TYPE}:
        raise Refused(f"entry {struck.position} is {struck.type}: that is not struck; write what is right as a new entry")
    if body.entry in shop.build(engine).struck:
        raise Refused(f"entry {struck.position} is struck already")


def _look_instrument(_shop: Shop, _engine: str, body: bodies.InstrumentListed) -> None:
    from tenths.findings.instruments import kinds  # noqa: PLC0415 - only this asks

    _one_of("kind of instrument", body.kind, kinds())


def _look_choice(_shop: Shop, _engine: str, body: bodies.ChoiceAccepted) -> None:
    _one_of("question", body.question, (*choosing.QUESTIONS, *choosing.ORDERS))
    if not body.picks:
        raise BadInput("picks: nothing was chosen")


def _look_asked(shop: Shop, engine: str, body: bodies.ChoiceAsked) -> None:
    choosing.vet_settings(shop.build(engine), body)


def _look_study(shop: Shop, _engine: str, body: bodies.StudyBegun) -> None:
    from tenths.services.studies import look_gauge  # noqa: PLC0415 - only this asks

    look_gauge(shop, body.instrument)


def _look_study_taken(shop: Shop, _engine: str, body: bodies.StudyAccepted) -> None:
    from tenths.services.study_results import look_accepted  # noqa: PLC0415 - only this asks

    look_accepted(shop, body)


LOOKS: dict[type[bodies.Body], tuple[Callable[[Shop, str, Any], None], ...]] = {
    bodies.LimitStated: (_look_limit,), bodies.EngineDescribed: (_look_described,), bodies.EngineOpened: (_look_described,),
    bodies.HouseAdopted: (_look_rules,), bodies.NoteWritten: (_look_note,), bodies.EntryStruck: (_look_strike,),
    bodies.StudyBegun: (_look_study,), bodies.StudyAccepted: (_look_study_taken,),
    bodies.InstrumentListed: (_look_instrument,), bodies.ChoiceAccepted: (_look_choice,),
    bodies.ChoiceAsked: (_look_asked,),
}


# -- what changed since it was seen -----------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class _About:
    """What a decision is about: two of the same are the same decision."""

    what: str
    which: str


def _about(body: bodies.Body) -> _About | None:
    match body:
        case bodies.ChoiceAccepted():
            return _About("choice", body.question)
        case bodies.PartFitted() | bodies.PartRemoved() | bodies.PartMachined():
            return _About("slot", body.slot)
        case bodies.PartListed():
            return _About("part", body.part)
        case bodies.StockCounted():
            return _About("stock", f"{body.kind} {body.size}")
        case bodies.EngineDescribed():
            return _About("engine", "")
        case bodies.HouseAdopted():
            return _About("house", "")
        case bodies.EntryStruck():
            return _About("entry", body.entry)
        case _:
            return None


def _since(shop: Shop, engine: str, entry: NewEntry) -> list[Entry]:
    """What stands in the log behind what the maker of the entry had seen, but for what the same device sent."""
    if entry.seen is None:
        return []
    return [e for e in shop.logbook.read(engine, after=entry.seen)
            if not (e.device and e.device == entry.device and e.person == entry.person)]


def _row(entry: Entry) -> Answer:
    return {"position": entry.position, "entry": entry.id, "at": entry.at, "person": entry.person, "device": entry.device,
            "type": entry.type, "sentence": sentence(entry)}


def _conflict(shop: Shop, engine: str, entry: NewEntry, body: bodies.Body, since: list[Entry]) -> Taken | None:
    about = _about(body)
    if about is None or not since:
        return None
    same = [e for e in since if _about(_decoded(e.sent())) == about]
    if same:
        who = f"{same[-1].person}: {sentence(same[-1])}"
        why = f"since you looked, it was decided otherwise ({who}); look again"
    elif isinstance(body, bodies.ChoiceAccepted) and body.question not in choosing.ORDERS and not _still_offered(shop, engine, body):
        why = f"since you looked, the answer has changed ({_told(since)}); look again"
    else:
        return None
    return Taken(id=entry.id, state="refused", why=why, conflict=True, since=[_row(e) for e in since])


def _told(since: list[Entry]) -> str:
    last = f"{since[-1].person}: {sentence(since[-1])}"
    return last if len(since) == 1 else f"{last}, and {len(since) - 1} more"


def _still_offered(shop: Shop, engine: str, body: bodies.ChoiceAccepted) -> bool:
    """Whether what was accepted is still among the answers, and still comes to the same."""
    try:
        build, found = shop.build(engine), choosing.ask(shop, engine, body.question)
    except BadInput:
        return False
    return any(_same(pick_set, body.picks) for pick_set in _options(build, found))


def offers(shop: Shop, engine: str) -> list[Answer]:
    """The choices of an engine, each option with the body of the entry that would accept it (``accept``)."""
    build = shop.build(engine)
    rows: list[Answer] = []
    for found in choosing.every(build):
        answer = choosing.as_answer(build, found)
        number = 1 + len(found.answer.alternatives) if found.answer.possible else 0
        offered = [choosing.acceptance(build, found, option) for option in range(number)]
        answer["accept"] = [msgspec.to_builtins(body) for body in offered if body.picks]
        rows.append(answer)
    return rows


def _options(build: Build, found: choosing.Asked) -> list[tuple[bodies.Pick, ...]]:
    """The best answer and the next-best as they would be written into the log."""
    return [choosing.logged_picks(system_of(build), picks, predicted)
            for picks, predicted in ((found.answer.picks, found.answer.predicted),
                                     *((a.picks, a.predicted) for a in found.answer.alternatives))]


def _same(offered: tuple[bodies.Pick, ...], seen: tuple[bodies.Pick, ...]) -> bool:
    """The same picks; what was predicted for them within a quarter of its uncertainty, or a thousandth of itself."""
    now, then = ({(p.station, p.characteristic): p for p in row} for row in (offered, seen))
    if now.keys() != then.keys():
        return False
    return all(now[s].pick == then[s].pick and _near(now[s], then[s]) for s in now)


def _near(now: bodies.Pick, then: bodies.Pick) -> bool:
    if now.predicted is None or then.predicted is None or now.unit != then.unit:
        return then.predicted is None
    return abs(now.predicted - then.predicted) <= max((now.uncertainty or 0.0) / 4, abs(now.predicted) * 1e-3)
