"""The bodies of entries, one record per stable dotted type name, always in their latest schema.

Numbers that people type are kept as text. Unknown fields are refused: a slip in a name is never lost.
"""

from typing import Any, ClassVar

import msgspec

from tenths.errors import BadInput
from tenths.logbook.body import Body
from tenths.logbook.cam_bodies import CamCarded as CamCarded  # noqa: PLC0414 - as those of joints
from tenths.logbook.cam_bodies import LobePoint as LobePoint  # noqa: PLC0414 - the same
from tenths.logbook.cam_bodies import LobeRead as LobeRead  # noqa: PLC0414 - the same
from tenths.logbook.cam_bodies import TimingMoved as TimingMoved  # noqa: PLC0414 - the same
from tenths.logbook.cam_bodies import WheelMoved as WheelMoved  # noqa: PLC0414 - the same
from tenths.logbook.cam_bodies import WheelZeroed as WheelZeroed  # noqa: PLC0414 - the same
from tenths.logbook.gas_bodies import VariantKept as VariantKept  # noqa: PLC0414 - as those of joints
from tenths.logbook.head_bodies import FlowBegun as FlowBegun  # noqa: PLC0414 - as those of joints
from tenths.logbook.head_bodies import FlowRead as FlowRead  # noqa: PLC0414 - the same
from tenths.logbook.joint_bodies import FastenerTicked as FastenerTicked  # noqa: PLC0414 - bodies of joints are found here too
from tenths.logbook.joint_bodies import JointStated as JointStated  # noqa: PLC0414 - the same
from tenths.logbook.joint_bodies import OutlineDrawn as OutlineDrawn  # noqa: PLC0414 - the same
from tenths.logbook.money_bodies import MONEY_BODIES
from tenths.logbook.part_bodies import PART_BODIES
from tenths.logbook.work_bodies import WORK_BODIES, OfShop, WorkBody


class EngineOpened(Body, frozen=True):
    """An engine comes to the shop: who for, what for, and its layout as described."""

    TYPE: ClassVar[str] = "engine.opened"
    name: str
    layout: str
    units: str = "inch"
    customer: str = ""
    purpose: str = ""
    use: str = "street"
    fuel: str = ""
    notes: str = ""


class EngineDescribed(Body, frozen=True):
    """What was said of the engine is changed; only the fields that are given."""

    TYPE: ClassVar[str] = "engine.described"
    name: str | None = None
    layout: str | None = None
    units: str | None = None
    customer: str | None = None
    purpose: str | None = None
    use: str | None = None
    fuel: str | None = None
    notes: str | None = None


class HouseAdopted(Body, frozen=True):
    """The house rules that judge this engine from here on: the TOML as text."""

    TYPE: ClassVar[str] = "house.adopted"
    text: str


class SizeStated(Body, frozen=True):
    """A size on a sheet: station or pattern (``main.*``), feature, text, half-width tolerance, source."""

    TYPE: ClassVar[str] = "size.stated"
    station: str
    feature: str
    text: str
    tolerance: str = ""
    source: str = ""


class LimitStated(Body, frozen=True):
    """A maker's limit for a characteristic at a station or pattern."""

    TYPE: ClassVar[str] = "limit.stated"
    station: str
    characteristic: str
    lower: str = ""
    upper: str = ""
    target: str = ""
    source: str = "maker's sheet"


class InstrumentListed(Body, frozen=True):
    """An instrument of the shop as it was when it read this engine.

    ``range_from`` and ``range_to`` are the ends of its range, ``set_from`` the master it is usually set from, ``hand`` the
    person whose repeatability stands on the card.
    """

    TYPE: ClassVar[str] = "instrument.listed"
    SCHEMA: ClassVar[int] = 2
    instrument: str
    kind: str
    name: str = ""
    resolution: str = ""
    limit_of_error: str = ""
    repeatability: str = ""
    repeats: int = 0
    serial: str = ""
    certificate: str = ""
    certificate_uncertainty: str = ""
    due: str = ""
    range_from: str = ""
    range_to: str = ""
    set_from: str = ""
    hand: str = ""


class CertificatePoint(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A line of a certificate: the size, what is to be added to a reading there, and the expanded uncertainty of that."""

    size: str
    correction: str
    uncertainty: str


class InstrumentCertified(Body, frozen=True):
    """A calibration certificate of an instrument: its points, the factor k of its uncertainties, its day, when it is due.

    Copied into the log of an engine that is read with the instrument, as the instrument's card is.
    """

    TYPE: ClassVar[str] = "instrument.certified"
    instrument: str
    day: str
    points: tuple[CertificatePoint, ...]
    certificate: str = ""
    by: str = ""
    due: str = ""
    coverage: str = "2"
    quantity: str = "length"


class TemperatureNoted(Body, frozen=True):
    """A line of the shop's temperature log: the shop air, a slot, a station or a loose part, and how warm it was.

    ``when`` is the time that it was read, ISO 8601 in UTC; empty: when the entry was made.
    """

    TYPE: ClassVar[str] = "temperature.noted"
    where: str
    text: str
    when: str = ""
    thermometer: str = ""
    note: str = ""


class InstrumentSet(Body, frozen=True):
    """An instrument is set to a size from a master (another instrument, or a ring); its entry id names the setting."""

    TYPE: ClassVar[str] = "instrument.set"
    instrument: str
    master: str
    size: str = ""


class PartListed(Body, frozen=True):
    """A part with its identity, sizes and weights (feature name to text) and where it is."""

    TYPE: ClassVar[str] = "part.listed"
    part: str
    kind: str
    words: str = ""
    maker: str = ""
    number: str = ""
    serial: str = ""
    material: str = ""
    size: str = ""
    sizes: dict[str, str] = {}  # noqa: RUF012 - msgspec gives every body its own
    where: str = "in the house"
    supplier: str = ""
    promised: str = ""
    cost: str = ""


class PartArrived(Body, frozen=True):
    """A part that was on order is in the house."""

    TYPE: ClassVar[str] = "part.arrived"
    part: str
    note: str = ""


class PartFitted(Body, frozen=True):
    """A part goes into a slot; with ``all_along`` it was there before the first reading."""

    TYPE: ClassVar[str] = "part.fitted"
    slot: str
    part: str
    all_along: bool = False


class PartRemoved(Body, frozen=True):
    """What was in the slot comes out."""

    TYPE: ClassVar[str] = "part.removed"
    slot: str


class PartMachined(Body, frozen=True):
    """A machining operation on the part in a slot.

    ``features`` are those whose earlier readings end, empty = all; ``stations`` where, empty = everywhere on the part.
    """

    TYPE: ClassVar[str] = "part.machined"
    slot: str
    operation: str
    features: tuple[str, ...] = ()
    stations: tuple[str, ...] = ()
    note: str = ""


class StockCounted(Body, frozen=True):
    """Sets of shells of one size in the house: the change of clearance that a pair makes, as text.

    ``grooved`` says which of its halves have an oil groove (upper, lower, both; empty for none), ``flanged`` whether the
    set has flanged halves for the thrust place.
    """

    TYPE: ClassVar[str] = "stock.counted"
    SCHEMA: ClassVar[int] = 2
    kind: str
    size: str
    change: str
    sets: int
    maker: str = ""
    grooved: str = ""
    flanged: bool = False


class HalfListed(Body, frozen=True):
    """One half of a shell out of an opened box; its wall is read at ``part.ID`` like that of any loose part.

    ``side`` is upper, lower or empty where it fits both; ``change`` is that of a pair of its size, empty where the size
    is counted in stock.
    """

    TYPE: ClassVar[str] = "half.listed"
    part: str
    kind: str
    size: str
    side: str = ""
    grooved: bool = False
    flanged: bool = False
    box: str = ""
    change: str = ""


class SeatStated(Body, frozen=True):
    """What the halves of a place (or pattern) must be; only what is given changes.

    ``side`` is upper, lower or empty for both; ``groove`` is grooved, plain or either; ``kept`` says that the halves
    that are in stay in.
    """

    TYPE: ClassVar[str] = "seat.stated"
    station: str
    side: str = ""
    groove: str = ""
    flanged: bool | None = None
    kept: bool | None = None


class ReadingTaken(Body, frozen=True):
    """A reading, as typed. ``setting`` is the entry of the setting that a deviation is from, or the size as text."""

    TYPE: ClassVar[str] = "reading.taken"
    station: str
    feature: str
    text: str
    place: str = ""
    unit: str = ""
    instrument: str = ""
    setting: str = ""
    temperature: str = ""
    note: str = ""


class EntryStruck(Body, frozen=True):
    """An earlier entry does not count any more, and why."""

    TYPE: ClassVar[str] = "entry.struck"
    entry: str
    reason: str


class NoteWritten(Body, frozen=True):
    """Words about a station."""

    TYPE: ClassVar[str] = "note.written"
    station: str
    text: str


class PhotoTaken(Body, frozen=True):
    """A photograph of a station, by the hash of its file."""

    TYPE: ClassVar[str] = "photo.taken"
    station: str
    file: str
    media_type: str
    words: str = ""


class Pick(msgspec.Struct, frozen=True, kw_only=True):
    """One part of an answer: what goes where, and the value that was predicted, in the unit written, with its u.

    ``box`` names the box, not yet opened, that it comes from.
    """

    station: str
    pick: str
    characteristic: str = ""
    predicted: float | None = None
    uncertainty: float | None = None
    unit: str = ""
    box: str = ""


class Other(msgspec.Struct, frozen=True, kw_only=True):
    """An answer that stood beside the one accepted: how it differs, and what would have gone where."""

    words: str
    picks: tuple[Pick, ...] = ()


class ChoiceAccepted(Body, frozen=True):
    """A person accepted an answer, with the numbers they saw, the entries it rested on and the others on offer.

    ``drawing`` is the drawing as it stood in view, as plain data with ``kind``; the first of its ``options`` was accepted.
    """

    TYPE: ClassVar[str] = "choice.accepted"
    SCHEMA: ClassVar[int] = 2
    question: str
    picks: tuple[Pick, ...]
    reasons: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    words: str = ""
    others: tuple[Other, ...] = ()
    drawing: dict[str, Any] = {}  # noqa: RUF012 - the decoder copies it for each body


class ChoiceAsked(Body, frozen=True):
    """How a question of choice is asked from here on: weights of goals, what may be cut; name to text, empty takes it back."""

    TYPE: ClassVar[str] = "choice.asked"
    question: str
    settings: dict[str, str]
    words: str = ""


class StudyBegun(Body, frozen=True):
    """A study of a gauge begins: which gauge, of which kind, what is read, by whom, how often.

    For bias, linearity and stability the parts are masters: ``sizes`` and ``uncertainties`` (95 %) stand beside them.
    """

    TYPE: ClassVar[str] = "study.begun"
    study: str
    kind: str
    instrument: str
    parts: tuple[str, ...]
    people: tuple[str, ...]
    trials: int
    quantity: str = "length"
    unit: str = ""
    what: str = ""
    sizes: tuple[str, ...] = ()
    uncertainties: tuple[str, ...] = ()
    setting: str = ""
    tolerance: str = ""
    note: str = ""


class StudyRead(Body, frozen=True):
    """A reading of a study, as typed: which part, by whom, the how-manieth; for stability on which occasion."""

    TYPE: ClassVar[str] = "study.read"
    study: str
    part: str
    reader: str
    trial: int
    text: str
    occasion: int = 0
    note: str = ""


class StudyPoint(msgspec.Struct, frozen=True, kw_only=True):
    """What a study found at one master: its size, reading less size, standard uncertainty of that, its freedom."""

    size: str
    error: str
    uncertainty: str
    freedom: float | None = None


class StudyAccepted(Body, frozen=True):
    """A person takes what a study found into the record of the gauge, with the numbers they saw.

    Standard deviations are those of one reading; empty text: the study does not tell. Copied into the log of an engine
    that is read with the gauge, as the gauge's card is.
    """

    TYPE: ClassVar[str] = "study.accepted"
    study: str
    kind: str
    instrument: str
    day: str
    quantity: str = "length"
    repeatability: str = ""
    repeatability_freedom: float | None = None
    reproducibility: str = ""
    reproducibility_freedom: float | None = None
    points: tuple[StudyPoint, ...] = ()
    words: str = ""


WORK: tuple[type[WorkBody], ...] = (*WORK_BODIES, *PART_BODIES, *MONEY_BODIES)
BODIES: dict[str, type[Body]] = {
    body.TYPE: body for body in (*Body.__subclasses__(), *WORK) if body not in {WorkBody, OfShop}}


def decode(type_name: str, schema: int, text: str) -> Body:
    """The body of an entry in its latest schema.

    Raises:
        BadInput: for an unknown type, a newer schema, or a field that is wrong, missing or unknown.
    """
    from tenths.logbook.upcast import upcast  # noqa: PLC0415 - upcasters name the types above

    kind = BODIES.get(type_name)
    if kind is None:
        raise BadInput(f"type: {type_name!r} is not known; known are {', '.join(sorted(BODIES))}")
    if schema > kind.SCHEMA:
        raise BadInput(f"schema: {type_name} {schema} is newer than this Tenths knows ({kind.SCHEMA}); update Tenths")
    try:
        if schema == kind.SCHEMA:
            return msgspec.json.decode(text, type=kind)
        raw = msgspec.json.decode(text, type=dict[str, Any])
        return msgspec.convert(upcast(type_name, schema, kind.SCHEMA, raw), kind)
    except msgspec.ValidationError as error:
        raise BadInput(f"{type_name}: {error}") from None
    except msgspec.DecodeError as error:
        raise BadInput(f"{type_name}: the body is not JSON: {error}") from None


def encode(body: Body) -> str:
    """The JSON text of a body, fields in the order declared, defaults left out."""
    raw = msgspec.to_builtins(body)
    defaults = {f.name: f.default for f in msgspec.structs.fields(type(body)) if f.default is not msgspec.NODEFAULT}
    return msgspec.json.encode({k: v for k, v in raw.items() if k not in defaults or v != defaults[k]}).decode()
