"""Whether a body may be appended: what a person typed is understood and fits this engine, before it is kept."""

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from tenths.engine.features import feature_at
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import pattern_matches, slots, station_map
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark, StatedSize
from tenths.logbook.calibration import SHOP_AIR
from tenths.logbook.fold import HANDLERS
from tenths.logbook.work_bodies import OfShop

WITHOUT_LAYOUT = (OfShop, bodies.EngineOpened, bodies.InstrumentListed, bodies.HouseAdopted,
                  bodies.StudyBegun, bodies.StudyRead, bodies.StudyAccepted,
                  bodies.InstrumentCertified, bodies.TemperatureNoted)


def vet(build: Build, what: Iterable[bodies.Body]) -> None:
    """Raises BadInput when a body, appended after the ones before it, could not be understood or names what is not there."""
    probe = _probe(build)
    for body in what:
        if isinstance(body, bodies.EntryStruck):
            if not body.reason.strip():
                raise BadInput("reason: a strike needs a reason in words")
            continue
        if probe.layout is None and not isinstance(body, WITHOUT_LAYOUT):
            raise BadInput("engine: this engine is not opened yet; 'tenths engines' lists those that are")
        _vet_place(probe, body)
        if isinstance(body, bodies.TemperatureNoted):
            _vet_warm_place(probe, body.where)
        if isinstance(body, bodies.InstrumentCertified) and body.instrument not in probe.instruments:
            raise BadInput(f"instrument: {body.instrument!r} is not listed; list it first")
        HANDLERS[type(body)](probe, Mark("", build.position + 1, "", ""), body)
        if isinstance(body, bodies.SizeStated):
            _vet_stated(probe.sizes[-1])


EITHER_WAY = frozenset({"lifter-across", "rod-growth", "burn-middle"})  # stated sizes that may lie below zero, though not read as signed
MOST = {Quantity.LENGTH: (10.0, "10 m"), Quantity.MASS: (2000.0, "2,000 kg"), Quantity.VOLUME: (1.0, "1 m3")}  # no engine has more
SPEEDS = (10.0, 3150.0)  # rad/s


def _vet_stated(size: StatedSize) -> None:
    """Raises BadInput when a stated size is one that no engine can have: below zero, or beyond all measure."""
    feature, said = size.feature, f"{size.feature.name} at {size.station}: {size.typed.text!r}"
    if feature.names or feature.quantity is Quantity.TEMPERATURE:
        return
    if feature.quantity is Quantity.SPEED and not SPEEDS[0] <= size.value <= SPEEDS[1]:
        raise BadInput(f"{said} is out of range; 100 to 30,000 rpm is accepted")
    if size.value < 0.0 and not feature.signed and feature.quantity is not Quantity.ANGLE and feature.name not in EITHER_WAY:
        raise BadInput(f"{said} is below 0; 0 or more is accepted")
    most, words = MOST.get(feature.quantity, (float("inf"), ""))
    if abs(size.value) > most:
        raise BadInput(f"{said} is out of range; at most {words} is accepted, and a number without a unit is taken in the engine's own")


def _probe(build: Build) -> Build:
    """A Build that can be written to and thrown away."""
    return replace(
        build, sizes=[], limits=[], readings={}, notes_at={}, photos={}, choices=[], asked={}, problems=[], seats=[], work=list(build.work),
        joints=dict(build.joints), ticks=[], outlines={}, flows=dict(build.flows),
        stock=dict(build.stock), halves=dict(build.halves),
        instruments=dict(build.instruments), settings=dict(build.settings), last_setting=dict(build.last_setting),
        parts={name: replace(part) for name, part in build.parts.items()}, slots={}, machining={},
        studies=dict(build.studies), studied=dict(build.studied), certificates=dict(build.certificates),
        temperatures=list(build.temperatures))


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
        case bodies.ReadingTaken() | bodies.NoteWritten() | bodies.PhotoTaken() | bodies.FlowBegun():
            if "*" in body.station:
                raise BadInput(f"station: {body.station!r}: one station is meant here, not several")
            _vet_station(build, body.station)
            if isinstance(body, bodies.ReadingTaken) and not body.station.startswith("part."):
                feature_at(body.feature, body.station)
        case bodies.SizeStated() | bodies.LimitStated():
            _vet_station(build, body.station)
        case bodies.SeatStated() | bodies.HalfListed() | bodies.StockCounted():
            _vet_shells(build, body)
        case _:
            _vet_joint(build, body)


def _vet_joint(build: Build, body: bodies.Body) -> None:
    """The stations of a joint are a pattern; a fastener is at one of them."""
    if isinstance(body, bodies.JointStated):
        _vet_station(build, body.stations)
    elif isinstance(body, bodies.FastenerTicked):
        _vet_station(build, body.station)
        if "*" in body.station:
            raise BadInput(f"station: {body.station!r}: one station is meant here, not several")


def _one_of(field: str, value: str, accepted: tuple[str, ...]) -> None:
    if value not in accepted:
        raise BadInput(f"{field}: {value!r} is not taken; give one of {', '.join(a or 'nothing' for a in accepted)}")


def _vet_change(build: Build, change: str) -> None:
    system = "metric" if build.units == "metric" else "inch"
    parse(change, Quantity.LENGTH, default_unit=unit_for(Quantity.LENGTH, system), field="change of clearance")


def _vet_shells(build: Build, body: bodies.SeatStated | bodies.HalfListed | bodies.StockCounted) -> None:
    """Raises BadInput when shells, or what a place asks of them, cannot be as they are said to be."""
    match body:
        case bodies.SeatStated():
            _vet_seat(build, body)
        case bodies.HalfListed():
            _vet_half(build, body)
        case bodies.StockCounted():
            _one_of("grooved", body.grooved, ("", "upper", "lower", "both"))
            _vet_change(build, body.change)


def _vet_warm_place(build: Build, where: str) -> None:
    """The shop air anywhere; else a slot, a station or a loose part of an engine."""
    if where == SHOP_AIR:
        return
    if build.layout is None:
        raise BadInput(f"where: {where!r} is not taken for the whole shop; {SHOP_AIR!r} is, and of an engine its parts and places")
    if "*" in where:
        raise BadInput(f"where: {where!r}: one place is meant here, not several")
    _vet_station(build, where)


def _vet_seat(build: Build, body: bodies.SeatStated) -> None:
    _vet_station(build, body.station)
    if body.station.split(".")[0] not in {"main", "rod"}:
        raise BadInput(f"station: {body.station!r} takes no shells; mains and rods do")
    _one_of("side", body.side, ("", "upper", "lower"))
    _one_of("groove", body.groove, ("", "grooved", "plain", "either"))


def _vet_half(build: Build, body: bodies.HalfListed) -> None:
    _one_of("kind", body.kind, ("main-shell", "rod-shell"))
    _one_of("side", body.side, ("", "upper", "lower"))
    if not body.part.strip():
        raise BadInput("part: a half needs an id, as it is written on it or on its bag")
    if body.change:
        _vet_change(build, body.change)
    elif (body.kind, body.size) not in build.stock and not any(
            h.change and (h.kind, h.size) == (body.kind, body.size) for h in build.halves.values()):
        raise BadInput(f"size: {body.size!r} of {body.kind} is not counted in stock; say what change of clearance a pair makes")


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
    return ", ".join(get_close_matches(wanted, list(dict.fromkeys(known)), 4, 0.3)) or "nothing like it"
