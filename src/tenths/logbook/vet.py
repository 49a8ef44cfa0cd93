"""Whether a body may be appended: what a person typed is understood and fits this engine, before it is kept."""

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from tenths.engine.features import feature_at
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import pattern_matches, slots, station_map
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark
from tenths.logbook.fold import HANDLERS

WITHOUT_LAYOUT = (bodies.EngineOpened, bodies.InstrumentListed, bodies.HouseAdopted)


def vet(build: Build, what: Iterable[bodies.Body]) -> None:
    """Raises BadInput when a body, appended after the ones before it, could not be understood or names what is not there."""
    probe = _probe(build)
    for body in what:
        if isinstance(body, bodies.EntryStruck):
            if not body.reason.strip():
                raise BadInput("reason: a strike needs a reason in words")
            continue
        if probe.layout is None and not isinstance(body, WITHOUT_LAYOUT):
            raise BadInput(f"{body.TYPE}: this engine is not opened yet")
        _vet_place(probe, body)
        HANDLERS[type(body)](probe, Mark("", build.position + 1, "", ""), body)


def _probe(build: Build) -> Build:
    """A Build that can be written to and thrown away."""
    return replace(
        build, sizes=[], limits=[], readings={}, notes_at={}, photos={}, choices=[], problems=[], stock={},
        instruments=dict(build.instruments), settings=dict(build.settings), last_setting=dict(build.last_setting),
        parts={name: replace(part) for name, part in build.parts.items()}, slots={}, machining={})


def _vet_place(build: Build, body: bodies.Body) -> None:
    """Raises BadInput when a station, slot, part or place that the body names is not on this engine."""
    match body:
        case bodies.PartFitted() | bodies.PartRemoved():
            _vet_slot(build, body.slot)
            if isinstance(body, bodies.PartFitted) and body.part not in build.parts:
                raise BadInput(f"part: {body.part!r} is not listed; list it first")
        case bodies.PartMachined():
            _vet_slot(build, body.slot)
            for station in body.stations:
                _vet_station(build, station)
        case bodies.ReadingTaken() | bodies.NoteWritten() | bodies.PhotoTaken():
            if "*" in body.station:
                raise BadInput(f"station: {body.station!r}: one station is meant here, not several")
            _vet_station(build, body.station)
            if isinstance(body, bodies.ReadingTaken) and not body.station.startswith("part."):
                feature_at(body.feature, body.station)
        case bodies.SizeStated() | bodies.LimitStated():
            _vet_station(build, body.station)
        case bodies.StockCounted():
            system = "metric" if build.units == "metric" else "inch"
            parse(body.change, Quantity.LENGTH, default_unit=unit_for(Quantity.LENGTH, system), field="change of clearance")
        case _:
            pass


def _vet_slot(build: Build, slot: str) -> None:
    known = slots(build.layout) if build.layout else ()
    if slot not in known:
        raise BadInput(f"slot: {slot!r} is not on this engine; near: {_near(slot, known)}")


def _vet_station(build: Build, station: str) -> None:
    """A loose part is a place too, as long as it is listed."""
    if station.startswith("part."):
        if station.removeprefix("part.") not in build.parts:
            raise BadInput(f"station: no part {station.removeprefix('part.')!r} is listed")
        return
    known = (*station_map(build.layout), *slots(build.layout)) if build.layout else ()
    if not any(pattern_matches(station, one) for one in known):
        raise BadInput(f"station: {station!r} is not on this engine; near: {_near(station, known)}")


def _near(wanted: str, known: Iterable[str]) -> str:
    return ", ".join(get_close_matches(wanted, list(known), 4, 0.3)) or "nothing like it"
