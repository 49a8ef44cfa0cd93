"""An entry said in a sentence, for the log."""

from collections.abc import Callable
from typing import Any

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.services.work_sentences import WORK_WORDS


def sentence(entry: Entry) -> str:
    """What the entry says, for a person."""
    try:
        body = bodies.decode(entry.type, entry.schema, entry.body)
    except BadInput as error:
        return str(error)
    return _WORDS[type(body)](body)


def _reading(body: bodies.ReadingTaken) -> str:
    place = f", {body.place}" if body.place else ""
    by = f" by {body.instrument}" if body.instrument else ""
    against = f" (set to {body.setting})" if body.setting and len(body.setting) < 20 else ""
    return f"read {body.feature} at {body.station}{place}: {body.text} {body.unit}".rstrip() + by + against


def _limit(body: bodies.LimitStated) -> str:
    return f"limits of {body.characteristic} at {body.station}: {body.lower or '-'} to {body.upper or '-'}, {body.source}"


def _half(body: bodies.HalfListed) -> str:
    what = " ".join(filter(None, (body.side, "grooved" if body.grooved else "", "flanged" if body.flanged else "")))
    return f"half {body.part}: {body.kind} {body.size}{', ' + what if what else ''}{', box ' + body.box if body.box else ''}"


def _seat(body: bodies.SeatStated) -> str:
    kept = {True: "what is in stays in", False: "what is in may come out", None: ""}[body.kept]
    flanged = {True: "flanged", False: "without flanges", None: ""}[body.flanged]
    said = ", ".join(filter(None, (body.groove and f"groove {body.groove}", flanged, kept)))
    return f"{body.station}{' ' + body.side if body.side else ''}: halves {said or 'as they come'}"


def _study_read(body: bodies.StudyRead) -> str:
    occasion = f"occasion {body.occasion}, " if body.occasion else ""
    return f"study {body.study}: {occasion}{body.part}, trial {body.trial} by {body.reader}: {body.text}"


def _study_accepted(body: bodies.StudyAccepted) -> str:
    found = [f"{words} {text}" for words, text in (("repeatability", body.repeatability), ("reproducibility", body.reproducibility))
             if text] + [f"error {p.error} at {p.size}" for p in body.points]
    return f"study {body.study} taken into the record of {body.instrument}: {', '.join(found)}"


def _joint(body: bodies.JointStated) -> str:
    aim = ", ".join(filter(None, (body.torque, body.angle, body.stretch and f"stretch {body.stretch}")))
    return f"joint {body.joint} at {body.stations}: {body.pattern} x {body.thread}, {aim}, {body.lubricant}"


def _flow(body: bodies.FlowBegun) -> str:
    with_ = ", ".join(filter(None, (body.leak and f"leak {body.leak}", body.instrument, body.note)))
    return f"flow bench, {body.run}: {body.station} {body.way} at {body.pressure}{', ' + with_ if with_ else ''}"


def _wheel(body: bodies.WheelZeroed) -> str:
    pairs = ", ".join(f"{low} and {high}" for low, high in zip(body.before, body.after, strict=False))
    return f"wheel zeroed on cylinder {body.cylinder} by {body.way}: {pairs}" + ("" if body.moved else ", wheel left as it was")


def _lobe_read(body: bodies.LobeRead) -> str:
    rows = body.points if len(body.points) < 4 else (*body.points[:1], *body.points[-1:])
    said = ", ".join(f"{p.lift} at {p.angle}" for p in rows)
    many = f"{len(body.points)} readings, " if len(body.points) > 3 else ""
    return f"{body.station} at the {body.at}: {many}{said}"


def _card(body: bodies.CamCarded) -> str:
    rows = {"intake lift": body.intake_lift, "exhaust lift": body.exhaust_lift, "intake": ", ".join(body.intake_durations),
            "exhaust": ", ".join(body.exhaust_durations), "separation": body.separation, "advance": body.advance, "events": body.events}
    return f"{body.source} of the camshaft: " + ", ".join(f"{name} {text}" for name, text in rows.items() if text)


def _tick(body: bodies.FastenerTicked) -> str:
    lengths = [f"{name} {text}" for name, text in (("free", body.free_length), ("tight", body.tight_length)) if text]
    said = ", ".join(filter(None, (f"round {body.round}" if body.round else "", body.value, *lengths)))
    return f"{body.joint} {body.number} at {body.station} {body.what}{': ' + said if said else ''}"


def _outline(body: bodies.OutlineDrawn) -> str:
    return f"outline {body.outline} of the {body.moves_with}: {len(body.points)} points" if body.points else (
        f"outline {body.outline} taken away")


_WORDS: dict[type[bodies.Body], Callable[[Any], str]] = WORK_WORDS | {
    bodies.WheelZeroed: _wheel, bodies.LobeRead: _lobe_read, bodies.CamCarded: _card,
    bodies.WheelMoved: lambda b: "wheel moved, its zero is lost" + (f": {b.note}" if b.note else ""),
    bodies.TimingMoved: lambda b: f"timing set moved{' to ' + b.position if b.position else ''}: {b.advance} earlier"
                                  + (f", camshaft {b.shaft}" if b.shaft else ""),
    bodies.FlowBegun: _flow,
    bodies.FlowRead: lambda b: f"flow bench, {b.run}: {b.flow} at a lift of {b.lift}" + (f", {b.pressure}" if b.pressure else ""),
    bodies.JointStated: _joint, bodies.FastenerTicked: _tick, bodies.OutlineDrawn: _outline,
    bodies.VariantKept: lambda b: f"variant {b.variant}: " + (", ".join(f"{k} {v}" for k, v in b.sizes.items()) or "taken away"),
    bodies.EngineOpened: lambda b: f"engine opened: {b.name}, {b.layout}",
    bodies.EngineDescribed: lambda b: "described: " + ", ".join(
        f"{f} {getattr(b, f)}" for f in b.__struct_fields__ if getattr(b, f) is not None),
    bodies.HouseAdopted: lambda _: "house rules adopted",
    bodies.SizeStated: lambda b: f"stated {b.feature} at {b.station}: {b.text}"
                                 + (f" ±{b.tolerance}" if b.tolerance else ""),
    bodies.LimitStated: _limit,
    bodies.InstrumentListed: lambda b: f"instrument {b.instrument}: {b.name or b.kind}",
    bodies.InstrumentCertified: lambda b: f"certificate {b.certificate or 'without number'} of {b.instrument}, {b.day}: "
                                          f"{len(b.points)} points" + (f", due {b.due}" if b.due else ""),
    bodies.TemperatureNoted: lambda b: f"{b.where} at {b.text}" + (f", {b.when}" if b.when else ""),
    bodies.InstrumentSet: lambda b: f"set {b.instrument} from {b.master}" + (f" to {b.size}" if b.size else ""),
    bodies.PartListed: lambda b: f"part {b.part}: {b.words or b.kind}, {b.where}",
    bodies.PartArrived: lambda b: f"part {b.part} arrived",
    bodies.PartFitted: lambda b: f"fitted {b.part} in {b.slot}" + (" (there all along)" if b.all_along else ""),
    bodies.PartRemoved: lambda b: f"took out what was in {b.slot}",
    bodies.PartMachined: lambda b: f"{b.slot} {b.operation}" + (f" at {', '.join(b.stations)}" if b.stations else ""),
    bodies.StockCounted: lambda b: f"{b.sets} sets of {b.kind} {b.size} ({b.change}) in the house",
    bodies.HalfListed: _half,
    bodies.SeatStated: _seat,
    bodies.ReadingTaken: _reading,
    bodies.StudyBegun: lambda b: f"{b.kind} study {b.study} of {b.instrument} begun",
    bodies.StudyRead: _study_read, bodies.StudyAccepted: _study_accepted,
    bodies.EntryStruck: lambda b: f"struck {b.entry}: {b.reason}",
    bodies.NoteWritten: lambda b: f"note at {b.station}: {b.text}",
    bodies.PhotoTaken: lambda b: f"photograph of {b.station} {b.words}".rstrip(),
    bodies.ChoiceAsked: lambda b: f"{b.question}: " + ", ".join(f"{k} {v or 'as the house has it'}" for k, v in b.settings.items()),
    bodies.ChoiceAccepted: lambda b: f"accepted {b.question}: {b.words or '; '.join(p.station + ' ' + p.pick for p in b.picks)}",
}
