"""Whether a body may be appended: what a person typed is understood and fits this engine, before it is kept."""

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from tenths.engine.features import feature_at
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
        if isinstance(body, bodies.ReadingTaken | bodies.SizeStated | bodies.PartFitted):
            _vet_place(probe, body)
        HANDLERS[type(body)](probe, Mark("", build.position + 1, "", ""), body)


def _probe(build: Build) -> Build:
    """A Build that can be written to and thrown away."""
    return replace(
        build, sizes=[], limits=[], readings={}, notes_at={}, photos={}, choices=[], problems=[], stock={},
        instruments=dict(build.instruments), settings=dict(build.settings), last_setting=dict(build.last_setting),
        parts={name: replace(part) for name, part in build.parts.items()}, slots={}, machining={})


def _vet_place(build: Build, body: bodies.ReadingTaken | bodies.SizeStated | bodies.PartFitted) -> None:
    """Raises BadInput when the station, slot or place is not on this engine."""
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    if isinstance(body, bodies.PartFitted):
        known = slots(build.layout)
        if body.slot not in known:
            raise BadInput(f"slot: {body.slot!r} is not on this engine; near: {_near(body.slot, known)}")
        if body.part not in build.parts:
            raise BadInput(f"part: {body.part!r} is not listed; list it first")
        return
    if body.station.startswith("part."):
        return
    known = (*station_map(build.layout), *slots(build.layout))
    if not any(pattern_matches(body.station, station) for station in known):
        raise BadInput(f"station: {body.station!r} is not on this engine; near: {_near(body.station, known)}")
    if isinstance(body, bodies.ReadingTaken):
        if "*" in body.station:
            raise BadInput(f"station: {body.station!r}: a reading is taken at one station")
        feature_at(body.feature, body.station)


def _near(wanted: str, known: Iterable[str]) -> str:
    return ", ".join(get_close_matches(wanted, list(known), 4, 0.3)) or "nothing like it"
