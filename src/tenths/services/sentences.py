"""An entry said in a sentence, for the log."""

from collections.abc import Callable
from typing import Any

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.entry import Entry


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


_WORDS: dict[type[bodies.Body], Callable[[Any], str]] = {
    bodies.EngineOpened: lambda b: f"engine opened: {b.name}, {b.layout}",
    bodies.EngineDescribed: lambda b: "described: " + ", ".join(
        f"{f} {getattr(b, f)}" for f in b.__struct_fields__ if getattr(b, f) is not None),
    bodies.HouseAdopted: lambda _: "house rules adopted",
    bodies.SizeStated: lambda b: f"stated {b.feature} at {b.station}: {b.text}"
                                 + (f" ±{b.tolerance}" if b.tolerance else ""),
    bodies.LimitStated: _limit,
    bodies.InstrumentListed: lambda b: f"instrument {b.instrument}: {b.name or b.kind}",
    bodies.InstrumentSet: lambda b: f"set {b.instrument} from {b.master}" + (f" to {b.size}" if b.size else ""),
    bodies.PartListed: lambda b: f"part {b.part}: {b.words or b.kind}, {b.where}",
    bodies.PartArrived: lambda b: f"part {b.part} arrived",
    bodies.PartFitted: lambda b: f"fitted {b.part} in {b.slot}" + (" (there all along)" if b.all_along else ""),
    bodies.PartRemoved: lambda b: f"took out what was in {b.slot}",
    bodies.PartMachined: lambda b: f"{b.slot} {b.operation}" + (f" at {', '.join(b.stations)}" if b.stations else ""),
    bodies.StockCounted: lambda b: f"{b.sets} sets of {b.kind} {b.size} ({b.change}) in the house",
    bodies.ReadingTaken: _reading,
    bodies.EntryStruck: lambda b: f"struck {b.entry}: {b.reason}",
    bodies.NoteWritten: lambda b: f"note at {b.station}: {b.text}",
    bodies.PhotoTaken: lambda b: f"photograph of {b.station} {b.words}".rstrip(),
    bodies.ChoiceAccepted: lambda b: f"accepted {b.question}: {b.words or '; '.join(p.station + ' ' + p.pick for p in b.picks)}",
}
