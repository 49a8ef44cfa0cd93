"""A sample of every entry type and version, kept as it was written, opened by today's decoder."""

import json
from pathlib import Path

import msgspec
import pytest

from cam_says import CAM_SAYS
from head_says import HEAD_SAYS
from joint_says import JOINT_SAYS
from tenths.errors import BadInput, Damaged
from tenths.logbook import bodies, upcast
from tenths.logbook.entry import Entry, NewEntry, check_new
from tenths.logbook.fold import fold
from work_says import WORK_SAYS

SAMPLES = Path(__file__).parent / "samples"
LINES = [json.loads(line) for path in sorted(SAMPLES.glob("entries-v*.jsonl"))
         for line in path.read_text("utf-8").splitlines()]

# what each sample of schema 1 says; a later schema adds its own samples and leaves these as they are
SAYS = WORK_SAYS | JOINT_SAYS | HEAD_SAYS | CAM_SAYS | {
    "engine.opened": bodies.EngineOpened(
        name="Heron", layout="inline-4, cams block 5", units="inch", customer="R. Oake", purpose="Trial", use="vintage",
        fuel="Petrol, 95", notes="First of its kind."),
    "engine.described": bodies.EngineDescribed(
        name="Heron II", layout="inline-4, cams block 3", units="inch", customer="S. Oake", purpose="Hill climb", use="hard",
        fuel="Petrol, 98", notes="Sold since."),
    "house.adopted": bodies.HouseAdopted(
        text='[[limit]]\ncharacteristic = "main-oil-clearance"\nlower = "0.0015 in"\nupper = "0.0025 in"\n'),
    "instrument.listed": bodies.InstrumentListed(
        instrument="mic-2-3", kind="outside-micrometer", name="Micrometer 2-3", resolution="0.0001",
        limit_of_error="1.5 tenths", repeatability="0.4 tenths", repeats=12, serial="M 41", certificate="C 1177",
        certificate_uncertainty="0.5 tenths", due="2027-01-31"),
    "instrument.certified": bodies.InstrumentCertified(
        instrument="scale-1", day="2026-02-03", certificate="C 1178", by="a calibration room", due="2027-02-03", coverage="2.1",
        quantity="mass", points=(bodies.CertificatePoint(size="100 g", correction="-0.02 g", uncertainty="0.05 g"),
                                 bodies.CertificatePoint(size="1000 g", correction="0.1 g", uncertainty="0.06 g"))),
    "temperature.noted": bodies.TemperatureNoted(
        where="block", text="80 °F", when="2026-03-01T14:55", thermometer="thermometer-1", note="just out of the wash"),
    "instrument.set": bodies.InstrumentSet(instrument="mic-2-3", master="ring-2", size="2.0000"),
    "size.stated": bodies.SizeStated(station="main.*", feature="journal", text="2.3990", tolerance="0.0005", source="sheet 3"),
    "limit.stated": bodies.LimitStated(
        station="main.*", characteristic="main-oil-clearance", lower="0.0018", upper="0.0028", target="0.0023",
        source="sheet 4"),
    "part.listed": bodies.PartListed(
        part="p-1", kind="piston", words="forged piston", maker="own make", number="88-1", serial="7", material="aluminium",
        size="+0.5 mm", sizes={"skirt": "3.4960", "weight": "412.5 g"}, where="on order", supplier="Mill Lane Pistons",
        promised="2026-04-01", cost="88.00"),
    "part.arrived": bodies.PartArrived(part="p-1", note="box dented, piston sound"),
    "part.fitted": bodies.PartFitted(slot="cyl.2.piston", part="p-1", all_along=True),
    "part.removed": bodies.PartRemoved(slot="cyl.2.piston"),
    "part.machined": bodies.PartMachined(
        slot="block", operation="honed", features=("bore", "end-gap"), stations=("cyl.2",), note="plate on"),
    "stock.counted": bodies.StockCounted(kind="main-shell", size="10X", change="+0.001 in", sets=2, maker="own make"),
    "half.listed": bodies.HalfListed(
        part="m-11", kind="main-shell", size="10X", side="upper", grooved=True, flanged=True, box="3", change="+0.001 in"),
    "seat.stated": bodies.SeatStated(station="main.3", side="upper", groove="grooved", flanged=True, kept=False),
    "reading.taken": bodies.ReadingTaken(
        station="cyl.3", feature="bore", text="+3", place="gauge thrust", unit="tenths", instrument="mic-2-3",
        setting="3.5000 in", temperature="70 F", note="read twice"),
    "note.written": bodies.NoteWritten(station="cyl.3", text="Polished patch, 40 mm below the deck – thrust side."),
    "photo.taken": bodies.PhotoTaken(
        station="cyl.3", file="b5bb9d8014a0f9b1d61e21e796d78dccdf1352f23cd32812f4850b878ae4944c", media_type="image/jpeg",
        words="the patch"),
    "choice.accepted": bodies.ChoiceAccepted(
        question="main-shells", reasons=("nearest to the target",), rests_on=("018f0000-0000-7000-8000-000000000014",),
        words="agreed on the telephone", picks=(bodies.Pick(
            station="main.2.shell.upper", pick="10X", characteristic="main-oil-clearance", predicted=0.00215,
            uncertainty=0.00009, unit="in"),)),
    "choice.asked": bodies.ChoiceAsked(
        question="matching", settings={"weight-weight": "2", "most-honing": "0.002 in"}, words="the customer revs it"),
    "study.begun": bodies.StudyBegun(
        study="scale-weekly", kind="stability", instrument="scale-1", parts=("check weight",), people=("Ines Vale", "Tom Arden"),
        trials=3, quantity="mass", unit="g", what="brass weight, middle of the pan", sizes=("200.00 g",),
        uncertainties=("0.02 g",), setting="200.0 g", tolerance="1 g", note="after the new pan"),
    "study.read": bodies.StudyRead(study="scale-weekly", part="check weight", reader="Tom Arden", trial=2, text="+0.1",
                                   occasion=4, note="wiped twice"),
    "study.accepted": bodies.StudyAccepted(
        study="scale-weekly", kind="bias", instrument="scale-1", day="2026-03-08", quantity="mass", repeatability="0.12 g",
        repeatability_freedom=20.0, reproducibility="0.05 g", reproducibility_freedom=1.5,
        points=(bodies.StudyPoint(size="200.00 g", error="0.04 g", uncertainty="0.02 g", freedom=11.0),),
        words="taken over by the owner"),
    "entry.struck": bodies.EntryStruck(entry="018f0000-0000-7000-8000-000000000015", reason="written at the wrong cylinder"),
}
ONE = [line for line in LINES if line["schema"] == 1]


def test_every_type_has_a_sample_of_every_schema_that_it_ever_had():
    there = {(line["type"], line["schema"]) for line in LINES}
    assert there == {(name, schema) for name, body in bodies.BODIES.items() for schema in range(1, body.SCHEMA + 1)}


@pytest.mark.parametrize("line", ONE, ids=lambda line: line["type"])
def test_a_sample_says_today_what_it_said_when_it_was_written(line):
    assert bodies.decode(line["type"], 1, line["body"]) == SAYS[line["type"]]


@pytest.mark.parametrize("line", [line for line in LINES if line["schema"] == bodies.BODIES[line["type"]].SCHEMA],
                         ids=lambda line: line["type"])
def test_the_latest_sample_uses_every_field_and_is_written_back_alike(line):
    kind = bodies.BODIES[line["type"]]
    raw = json.loads(line["body"])
    fields = {field.name: field.default for field in msgspec.structs.fields(kind)}
    said = {name for name, value in raw.items() if value != fields[name]}
    assert fields.keys() - said <= {"units"} and raw.keys() == fields.keys()  # noqa: PT018 - one thought
    body = bodies.decode(line["type"], line["schema"], line["body"])
    assert bodies.decode(line["type"], line["schema"], bodies.encode(body)) == body


def test_the_samples_may_come_in_and_fold_without_a_problem():
    new = [NewEntry(**line) for line in ONE]
    for entry in new:
        check_new(entry)
    entries = [Entry("heron", n, e.id, e.type, e.schema, e.at, e.person, e.device, e.body, e.at, "", "")
               for n, e in enumerate(new, 1)]
    build = fold("heron", entries)
    assert build.problems == []
    assert (build.name, build.use, build.position) == ("Heron II", "hard", len(ONE))
    (reading,) = build.all_readings()
    assert reading.value == pytest.approx(3.5003 * 0.0254, rel=1e-12)  # 3.5 in and three tenths
    assert reading.temperature == pytest.approx(294.2611, abs=1e-4)  # 70 °F: (70 + 459.67) x 5/9
    assert build.notes_at == {}  # struck
    assert build.part_in("cyl.2.piston") == ""


def test_fields_that_were_added_say_nothing_in_what_was_written_before():
    (new,) = [line for line in LINES if (line["type"], line["schema"]) == ("stock.counted", 2)]
    body = bodies.decode("stock.counted", 2, new["body"])
    assert (body.grooved, body.flanged) == ("upper", True)
    assert msgspec.structs.replace(body, grooved="", flanged=False) == SAYS["stock.counted"]


# -- a made-up type that has come to its third schema ------------------------------------------------------------------

class ShimTaken(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Not of this logbook: first it had a thickness in thou, then a text, then a place as well."""

    TYPE = "shim.taken"
    SCHEMA = 3
    text: str
    place: str


@pytest.fixture
def shim(monkeypatch):
    monkeypatch.setitem(bodies.BODIES, "shim.taken", ShimTaken)
    monkeypatch.setitem(upcast.UPCASTERS, ("shim.taken", 1), lambda raw: {"text": f"{raw['thou']} thou"})
    monkeypatch.setitem(upcast.UPCASTERS, ("shim.taken", 2), lambda raw: raw | {"place": "front"})


def test_an_old_body_goes_through_every_step_to_the_latest(shim):
    assert bodies.decode("shim.taken", 1, '{"thou":12}') == ShimTaken(text="12 thou", place="front")


def test_a_body_joins_at_its_own_step(shim):
    assert bodies.decode("shim.taken", 2, '{"text":"0.3 mm"}') == ShimTaken(text="0.3 mm", place="front")
    assert bodies.decode("shim.taken", 3, '{"text":"0.3 mm","place":"rear"}') == ShimTaken(text="0.3 mm", place="rear")


def test_a_missing_step_is_damage_that_names_it(shim, monkeypatch):
    monkeypatch.delitem(upcast.UPCASTERS, ("shim.taken", 2))
    with pytest.raises(Damaged, match=r"shim\.taken: no step from schema 2 to 3 is known"):
        bodies.decode("shim.taken", 1, '{"thou":12}')


def test_what_the_steps_make_must_fit_the_latest_schema(shim, monkeypatch):
    monkeypatch.setitem(upcast.UPCASTERS, ("shim.taken", 2), lambda raw: raw | {"side": "front"})
    with pytest.raises(BadInput, match=r"shim\.taken"):
        bodies.decode("shim.taken", 1, '{"thou":12}')


def test_a_schema_of_tomorrow_is_refused_with_what_to_do():
    with pytest.raises(BadInput, match=r"reading\.taken 2 is newer .* update Tenths"):
        bodies.decode("reading.taken", 2, "{}")
    with pytest.raises(BadInput, match=r"'shim\.taken' is not known"):
        bodies.decode("shim.taken", 1, "{}")


@pytest.mark.parametrize(("text", "says"), [("{", "not JSON"), ("[]", "part.removed"), ('{"slot":1}', "slot"),
                                            ('{"slot":"a","slott":"b"}', "slott"), ("{}", "slot")])
def test_a_body_that_breaks_its_schema_is_refused(text, says):
    with pytest.raises(BadInput, match=says):
        bodies.decode("part.removed", 1, text)


def test_an_old_body_that_is_no_json_is_refused_and_not_a_surprise(shim):
    for text in ("{", "[]", '{"thou"', "{}"):
        with pytest.raises((BadInput, Damaged)):
            bodies.decode("shim.taken", 1, text)
