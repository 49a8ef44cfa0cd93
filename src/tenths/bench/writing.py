"""The API that writes: entries made by devices, a new engine, a maker's sheet, values of a gauge."""


import msgspec

from tenths.bench.declare import Asked, Call, Example
from tenths.errors import BadInput
from tenths.logbook.entry import NewEntry
from tenths.services import commands
from tenths.services.sheet import sheet_from_csv
from tenths.services.taking import OWNERS_ONLY, Taken, take

MOST_ENTRIES = 500  # in one posting


class SentEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An entry as a device made it.

    Attributes:
        id: UUID that the device made, version 4 or 7, lower case; sent again, it is the same entry.
        type: what happened, like ``reading.taken``.
        schema: number of the body's schema.
        at: when, by the device's own clock, ISO 8601 in UTC; when it was received is written beside it.
        body: the text of one JSON object, kept to the letter.
        person: who did it; who is signed in has the last word.
        device: what it was entered on; for a paired device its name has the last word.
        seen: for decisions, the position of the log that the person had seen.
    """

    id: str
    type: str
    schema: int
    at: str
    body: str
    person: str = ""
    device: str = ""
    seen: int | None = None


class NewEngine(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An engine to be opened: its name, its layout (one of the usual ones or described in words), and what is known."""

    name: str
    layout: str
    engine: str = ""
    units: str = "inch"
    use: str = "street"
    customer: str = ""
    purpose: str = ""
    fuel: str = ""
    notes: str = ""


class Sheet(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A maker's sheet as the text of a CSV file, and what it is called."""

    csv: str
    source: str = "maker's sheet"


class Strike(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An entry to be struck, by its id or position, and why."""

    entry: str
    reason: str


class GaugeValue(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A value of a gauge as text, for the field that has the focus on one page."""

    page: str
    text: str
    unit: str = ""
    gauge: str = ""


class Opened(msgspec.Struct, frozen=True):
    """The short name of the engine that was opened."""

    engine: str


class Stated(msgspec.Struct, frozen=True):
    """How many rows went into the log, and where it ends now."""

    rows: int
    position: int


class Struck(msgspec.Struct, frozen=True):
    """The strike that was written."""

    entry: str
    position: int


class Sent(msgspec.Struct, frozen=True):
    """How many open pages took the value; 0 when the page is not there now."""

    delivered: int


def _take(asked: Asked) -> list[Taken]:
    posted: list[SentEntry] = asked.body
    if len(posted) > MOST_ENTRIES:
        raise BadInput(f"entries: {len(posted)} at once; up to {MOST_ENTRIES} are taken")
    new = [NewEntry(e.id, e.type, e.schema, e.at, e.person, e.device, e.body, e.seen) for e in posted]
    asked.shop.build(asked.engine)
    refuse = frozenset[str]() if asked.who.may("owner") else OWNERS_ONLY
    return take(asked.shop, asked.engine, new, person=asked.who.person, device=asked.who.device, refuse=refuse)


def _open(asked: Asked) -> Opened:
    return Opened(commands.open_engine(asked.bench.shop_for(asked.who), **msgspec.structs.asdict(asked.body)))


def _state(asked: Asked) -> Stated:
    rows = sheet_from_csv(asked.body.csv, asked.body.source)
    written = commands.state(asked.bench.shop_for(asked.who), asked.engine, *rows)
    return Stated(len(written), written[-1].position)


def _strike(asked: Asked) -> Struck:
    entry = commands.strike(asked.bench.shop_for(asked.who), asked.engine, asked.body.entry, asked.body.reason)
    return Struck(entry.id, entry.position)



def _gauge(asked: Asked) -> Sent:
    value: GaugeValue = asked.body
    if not value.text.strip() or len(value.text) > 80:
        raise BadInput(f"text: {value.text[:40]!r} is no value of a gauge")
    data = {"text": value.text, "unit": value.unit, "gauge": value.gauge}
    return Sent(asked.bench.live.send_from_thread(value.page, "gauge", data))


ENGINE = {"engine": "marigold"}
_READING = {
    "id": "018f3c2a-7b1e-7cc3-98c4-dc0c0c07398f", "type": "reading.taken", "schema": 1, "at": "2026-03-09T14:02:11.250Z",
    "person": "Ines Vale", "device": "bench tablet",
    "body": '{"station":"pin.6","feature":"side-clearance","text":"0.011","instrument":"feeler"}',
}
CALLS = (
    Call(method="POST", path="/api/engines", need="owner", changes=True, body=NewEngine, answers=Opened, run=_open,
         words="Opens an engine; the house rules in force are adopted with it.",
         example=Example(body={"name": "Lapwing", "layout": "inline-4", "units": "metric"}), section="Writing"),
    Call(method="POST", path="/api/engines/{engine}/entries", need="hand", changes=True, body=list[SentEntry],
         answers=list[Taken], run=_take, section="Writing",
         words="Takes entries that a device made, and answers for each, after the commit, whether it is saved or refused "
               "and why. Sending one again is answered like the first time. A decision is refused, with `conflict` and "
               "`since`, when somebody else decided about the same thing after what its maker had `seen`.",
         example=Example(ENGINE, body=[_READING])),
    Call(method="POST", path="/api/engines/{engine}/sheet", need="hand", changes=True, body=Sheet, answers=Stated, run=_state,
         words="States sizes and limits from a maker's sheet in CSV: all rows, or none and the line that is wrong.",
         example=Example(ENGINE, body={"csv": "station,feature,text,tolerance\nmain.*,journal,2.4990,0.0005\n",
                                       "source": "sheet 7"}), section="Writing"),
    Call(method="POST", path="/api/engines/{engine}/strikes", need="hand", changes=True, body=Strike, answers=Struck,
         run=_strike, words="Strikes an entry, with a reason; it stays readable.", section="Writing",
         example=Example(ENGINE, body={"entry": "120", "reason": "read on the wrong journal"})),
    Call(method="POST", path="/api/gauge", need="hand", body=GaugeValue, answers=Sent, run=_gauge, section="Gauges",
         words="Sends a value of a gauge to one open page, into the field that has the focus there.",
         example=Example(body={"page": "bench-tablet", "text": "+3 tenths"})),
)
