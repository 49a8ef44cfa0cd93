"""The fold: entries in, Build out. It takes any log that the store accepted and never raises on what people typed.

What cannot be understood (a text that is not a number where one belongs) is kept as a problem of the Build with its
entry, and counts for nothing else.
"""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from tenths.engine.describe import layout_from_text
from tenths.engine.features import Feature, feature_at
from tenths.engine.quantity import Quantity, System, Typed, parse, unit_for
from tenths.engine.stations import pattern_matches
from tenths.errors import BadInput
from tenths.logbook import bodies, cams
from tenths.logbook.body import Body
from tenths.logbook.build import Build, Machining, Mark, Part, Reading, Setting, SlotHistory, StatedSize
from tenths.logbook.calibration import certificate_of, note_of
from tenths.logbook.entry import Entry
from tenths.logbook.flows import run_of, with_point
from tenths.logbook.fold_parts import PART_STEPS
from tenths.logbook.joints import joint_of, outline_of, tick_of
from tenths.logbook.studies import accepted_of, study_of, with_reading

KIND_OF_PART: Mapping[str, str] = {  # a loose part is read like the place it goes to
    "main-shell": "shell", "rod-shell": "shell", "piston": "piston", "wrist-pin": "wrist-pin", "ring": "ring",
    "rod": "rod", "crank": "crank", "cam": "cam", "lifter": "lifter", "valve": "valve", "block": "block",
    "head": "head", "gasket": "gasket", "cap": "cap", "thrust": "thrust", "sleeve": "sleeve",
    "cam-bearing": "cam-bearing", "oil-pump": "pump", "pan": "pan", "timing-set": "timing", "seal": "seal",
}
STATION_FOR_KIND: Mapping[str, str] = {
    "shell": "main.1.shell.upper", "piston": "cyl.1.piston", "wrist-pin": "cyl.1.pin", "ring": "cyl.1.ring.top",
    "rod": "rod.1", "cam-bearing": "cam.1.bearing.1", "cam": "cam.1", "lifter": "lifter.1.in", "gasket": "gasket.A",
    "head": "head.A", "valve": "valve.1.in",
}


def fold(stream: str, entries: Iterable[Entry]) -> Build:
    """The Build that these entries, in order of position, make.

    Raises:
        BadInput: only for an entry whose type or schema this Tenths does not know, or whose body breaks its schema.
    """
    build = Build(stream)
    decoded = [(entry, bodies.decode(entry.type, entry.schema, entry.body)) for entry in entries]
    for entry, body in decoded:
        if isinstance(body, bodies.EntryStruck):
            build.struck.setdefault(body.entry, (_mark(entry), body.reason))
    for entry, body in decoded:
        build.position = entry.position
        if entry.id in build.struck:
            continue
        _apply(build, _mark(entry), body)
    return build


def extend(build: Build, entries: Iterable[Entry]) -> Build:
    """The same Build, grown by later entries that strike nothing."""
    for entry in entries:
        build.position = entry.position
        _apply(build, _mark(entry), bodies.decode(entry.type, entry.schema, entry.body))
    return build


def _apply(build: Build, mark: Mark, body: bodies.Body) -> None:
    try:
        HANDLERS[type(body)](build, mark, body)
    except BadInput as error:
        build.problems.append((mark, str(error)))


def _mark(entry: Entry) -> Mark:
    return Mark(entry.id, entry.position, entry.at, entry.person)


def feature_for(build: Build, station: str, name: str) -> Feature:
    """The feature of that name at a station, slot, pattern or loose part (``part.ID``)."""
    if not station.startswith("part."):
        return feature_at(name, station.replace("*", "1"))
    part = build.parts.get(station.removeprefix("part."))
    if part is None:
        raise BadInput(f"station: no part {station.removeprefix('part.')!r} is listed")
    kind = KIND_OF_PART.get(part.card.kind, part.card.kind)
    return feature_at(name, STATION_FOR_KIND.get(kind, kind))


def number(build: Build, text: str, feature: Feature, *, unit: str = "", field: str, deviation: bool = False) -> Typed:
    """A typed number of a feature, read in the engine's own system when no unit is typed."""
    if feature.names:
        return _named(text, feature, field)
    system = "metric" if build.units == "metric" else "inch"
    default = unit or unit_for(feature.quantity, system, fine=feature.fine)
    return parse(text, feature.quantity, default_unit=default, allow_deviation=deviation and not feature.signed,
                 field=field)


def _named(text: str, feature: Feature, field: str) -> Typed:
    """What is said by its name: its number is its place among the names."""
    place = feature.named(text)
    if place is None:
        known = feature.names if len(feature.names) < 12 else (*feature.names[::7], feature.names[-1])
        raise BadInput(f"{field}: {text!r} is not known; taken are {', '.join(known)}" + (" and others" if known != feature.names else ""))
    return Typed(text, feature.quantity, Decimal(place), "", Decimal(0))


def _engine_opened(build: Build, mark: Mark, body: bodies.EngineOpened) -> None:
    build.opened = build.opened or mark
    for name in ("name", "customer", "purpose", "use", "fuel", "units", "notes"):
        setattr(build, name, getattr(body, name))
    build.layout = layout_from_text(body.layout)


def _engine_described(build: Build, _mark: Mark, body: bodies.EngineDescribed) -> None:
    for name in ("name", "customer", "purpose", "use", "fuel", "units", "notes"):
        if getattr(body, name) is not None:
            setattr(build, name, getattr(body, name))
    if body.layout is not None:
        build.layout = layout_from_text(body.layout)


def _house_adopted(build: Build, mark: Mark, body: bodies.HouseAdopted) -> None:
    try:
        rules: dict[str, Any] = tomllib.loads(body.text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"house rules: not TOML: {error}") from None
    shape = {"limit": list, "skip": list, "decision": dict, "shells": dict}
    if wrong := [key for key, kind in shape.items() if not isinstance(rules.get(key, kind()), kind)]:
        raise BadInput(f"house rules: {wrong[0]} has the wrong form")
    build.house, build.house_text, build.house_mark = rules, body.text, mark


def _size_stated(build: Build, mark: Mark, body: bodies.SizeStated) -> None:
    build.sizes.append(_stated(build, mark, body.station, body.feature, body.text, body.tolerance, body.source))


def _stated(build: Build, mark: Mark, station: str, name: str, text: str, tolerance: str, source: str) -> StatedSize:
    feature = feature_for(build, station, name)
    typed = number(build, text, feature, field=f"{name} at {station}")
    if tolerance and feature.names:
        raise BadInput(f"tolerance: {name} is said by its name and takes none")
    spread = number(build, tolerance, feature, field=f"tolerance of {name}").si if tolerance else 0.0
    if tolerance and feature.quantity is Quantity.TEMPERATURE:
        raise BadInput("tolerance: a temperature takes none")
    return StatedSize(mark, station, feature, typed, typed.si, abs(spread), source)


def _limit_stated(build: Build, mark: Mark, body: bodies.LimitStated) -> None:
    build.limits.append((mark, body))


def _instrument_listed(build: Build, mark: Mark, body: bodies.InstrumentListed) -> None:
    build.instruments[body.instrument] = (mark, body)


def _instrument_certified(build: Build, mark: Mark, body: bodies.InstrumentCertified) -> None:
    """Certificates of an instrument by their day; one of the same day takes the place of the earlier."""
    new = certificate_of(mark, body)
    others = [c for c in build.certificates.get(body.instrument, ()) if c.day != new.day]
    build.certificates[body.instrument] = sorted([*others, new], key=lambda c: c.day)


def _temperature_noted(build: Build, mark: Mark, body: bodies.TemperatureNoted) -> None:
    build.temperatures.append(note_of(mark, body, "°C" if build.units == "metric" else "°F"))


def _instrument_set(build: Build, mark: Mark, body: bodies.InstrumentSet) -> None:
    system = "metric" if build.units == "metric" else "inch"
    size = None
    if body.size:
        unit = unit_for(Quantity.LENGTH, system)
        size = parse(body.size, Quantity.LENGTH, default_unit=unit, field="size of the setting").si
    setting = Setting(mark, body.instrument, body.master, size)
    build.settings[mark.entry] = build.last_setting[body.instrument] = setting


def _part_listed(build: Build, mark: Mark, body: bodies.PartListed) -> None:
    old = build.parts.get(body.part)
    part = Part(mark, body, in_house=body.where == "in the house" or bool(old and old.in_house))
    build.parts[body.part] = part
    for name, text in body.sizes.items():
        part.sizes[name] = _stated(build, mark, f"part.{body.part}", name, text, "", f"card of part {body.part}")


def _part_arrived(build: Build, mark: Mark, body: bodies.PartArrived) -> None:
    if body.part not in build.parts:
        raise BadInput(f"part: {body.part!r} is not listed")
    build.parts[body.part].in_house = True
    build.work.append((mark, body))


def _fit(build: Build, mark: Mark, slot: str, part: str, *, all_along: bool) -> None:
    history = build.slots.setdefault(slot, SlotHistory())
    if all_along and not history.positions:
        history.positions.append(0)
    else:
        history.positions.append(mark.position)
    history.parts.append(part)
    history.marks.append(mark)


def _part_fitted(build: Build, mark: Mark, body: bodies.PartFitted) -> None:
    _fit(build, mark, body.slot, body.part, all_along=body.all_along)


def _part_removed(build: Build, mark: Mark, body: bodies.PartRemoved) -> None:
    _fit(build, mark, body.slot, "", all_along=False)


def _part_machined(build: Build, mark: Mark, body: bodies.PartMachined) -> None:
    operation = Machining(mark, body.slot, body.operation, frozenset(body.features), body.stations)
    build.machining.setdefault(body.slot, []).append(operation)
    part = build.part_in(body.slot)
    if part:
        build.machining.setdefault(f"part.{part}", []).append(operation)


def _stock_counted(build: Build, mark: Mark, body: bodies.StockCounted) -> None:
    build.stock[body.kind, body.size] = (mark, body)


def _half_listed(build: Build, mark: Mark, body: bodies.HalfListed) -> None:
    words = " ".join(filter(None, (body.side, "grooved" if body.grooved else "", "flanged" if body.flanged else "", "half")))
    _part_listed(build, mark, bodies.PartListed(part=body.part, kind=body.kind, size=body.size, words=words))
    build.halves[body.part] = body


def _seat_stated(build: Build, _mark: Mark, body: bodies.SeatStated) -> None:
    build.seats.append(body)


def _reading_taken(build: Build, mark: Mark, body: bodies.ReadingTaken) -> None:
    feature = feature_for(build, body.station, body.feature)
    field = f"{body.feature} at {body.station}"
    if feature.stated_only:
        raise BadInput(f"{field}: this is stated, not read")
    typed = number(build, body.text, feature, unit=body.unit, deviation=True, field=field)
    setting, size = _setting_of(build, mark, body, typed)
    value = typed.si + size if typed.deviation and size is not None else typed.si
    temperature = None
    if body.temperature:
        unit = "°C" if build.units == "metric" else "°F"
        temperature = parse(body.temperature, Quantity.TEMPERATURE, default_unit=unit, field="temperature").si
    reading = Reading(mark, body.station, feature, body.place, typed, value, body.instrument, setting, temperature,
                      body.note)
    build.readings.setdefault((body.station, feature.name), []).append(reading)


def _setting_of(build: Build, mark: Mark, body: bodies.ReadingTaken, typed: Typed,
                ) -> tuple[Setting | None, float | None]:
    """The setting that a reading hangs on, and the size [m] that a deviation is added to."""
    setting = build.settings.get(body.setting) or build.last_setting.get(body.instrument)
    size = setting.size if setting else None
    if body.setting and body.setting not in build.settings:
        system = "metric" if build.units == "metric" else "inch"
        unit = unit_for(typed.quantity, system)
        size = parse(body.setting, typed.quantity, default_unit=unit, field="setting").si
        if setting is not None and setting.size != size:
            setting = Setting(mark, body.instrument, setting.master, size)
    if typed.deviation and size is None:
        raise BadInput(f"{body.feature} at {body.station}: {body.text!r} is a deviation, but the size that the gauge "
                       f"was set to is not known; give the setting")
    return setting, size


def _note_written(build: Build, mark: Mark, body: bodies.NoteWritten) -> None:
    build.notes_at.setdefault(body.station, []).append((mark, body.text))


def _photo_taken(build: Build, mark: Mark, body: bodies.PhotoTaken) -> None:
    build.photos.setdefault(body.station, []).append((mark, body))


def _choice_accepted(build: Build, mark: Mark, body: bodies.ChoiceAccepted) -> None:
    build.choices.append((mark, body))


def _choice_asked(build: Build, _mark: Mark, body: bodies.ChoiceAsked) -> None:
    said = build.asked.setdefault(body.question, {})
    said |= {name: text.strip() for name, text in body.settings.items()}
    for name in [name for name, text in said.items() if not text]:
        del said[name]


def _study_begun(build: Build, mark: Mark, body: bodies.StudyBegun) -> None:
    if body.study in build.studies:
        raise BadInput(f"study: {body.study!r} is there already; give it another name")
    build.studies[body.study] = study_of(mark, body)


def _study_read(build: Build, mark: Mark, body: bodies.StudyRead) -> None:
    study = build.studies.get(body.study)
    if study is None:
        raise BadInput(f"study: there is no {body.study!r}; there are {', '.join(build.studies) or 'none yet'}")
    build.studies[body.study] = with_reading(study, mark, body)


def _study_accepted(build: Build, mark: Mark, body: bodies.StudyAccepted) -> None:
    build.studied[body.instrument, "bias" if body.points else "repeatability"] = accepted_of(mark, body)


def _joint_stated(build: Build, mark: Mark, body: bodies.JointStated) -> None:
    build.joints[body.joint] = joint_of(mark, body, _system(build))


def _fastener_ticked(build: Build, mark: Mark, body: bodies.FastenerTicked) -> None:
    joint = build.joints.get(body.joint)
    if joint is None:
        raise BadInput(f"joint: {body.joint!r} is not stated; there are {', '.join(build.joints) or 'none yet'}")
    if not pattern_matches(joint.body.stations, body.station):
        raise BadInput(f"station: {body.station!r} has no {body.joint}; they are at {joint.body.stations}")
    build.ticks.append(tick_of(mark, body, joint, _system(build)))


def _outline_drawn(build: Build, mark: Mark, body: bodies.OutlineDrawn) -> None:
    if not body.points:
        build.outlines.pop(body.outline, None)
        return
    build.outlines[body.outline] = outline_of(mark, body, _system(build))


def _variant_kept(build: Build, _mark: Mark, body: bodies.VariantKept) -> None:
    if not body.variant.strip():
        raise BadInput(f"variant: {body.variant!r} is no name")
    if not body.sizes:
        build.variants.pop(body.variant, None)
        return
    build.variants[body.variant] = body


def _wheel_zeroed(build: Build, mark: Mark, body: bodies.WheelZeroed) -> None:
    build.cams = cams.zeroed(build.cams, mark, body, build.layout, _system(build))


def _wheel_moved(build: Build, mark: Mark, body: bodies.WheelMoved) -> None:
    build.cams = cams.wheel_lost(build.cams, mark, body)


def _lobe_read(build: Build, mark: Mark, body: bodies.LobeRead) -> None:
    build.cams = cams.lobe_read(build.cams, mark, body, build.layout, _system(build))


def _cam_carded(build: Build, mark: Mark, body: bodies.CamCarded) -> None:
    build.cams = cams.carded(build.cams, mark, body, _system(build))


def _timing_moved(build: Build, mark: Mark, body: bodies.TimingMoved) -> None:
    build.cams = cams.timing_moved(build.cams, mark, body, build.layout)


def _flow_begun(build: Build, mark: Mark, body: bodies.FlowBegun) -> None:
    before = build.flows.get(body.run)
    run = run_of(mark, body, _system(build))
    if before is not None and before.body.station != body.station:
        raise BadInput(f"run: {body.run!r} is of {before.body.station}; give another name")
    for point in before.points if before else ():
        run = with_point(run, point.mark, point.body, _system(build))
    build.flows[body.run] = run


def _flow_read(build: Build, mark: Mark, body: bodies.FlowRead) -> None:
    run = build.flows.get(body.run)
    if run is None:
        raise BadInput(f"run: {body.run!r} is not begun; there are {', '.join(build.flows) or 'none yet'}")
    build.flows[body.run] = with_point(run, mark, body, _system(build))


def _system(build: Build) -> System:
    return "metric" if build.units == "metric" else "inch"


def _work(build: Build, mark: Mark, body: Body) -> None:
    if kept := PART_STEPS.get(type(body)):
        kept(build, mark, body)
    build.work.append((mark, body))


def _entry_struck(_build: Build, _mark: Mark, _body: bodies.EntryStruck) -> None:
    """Strikes are gathered before anything else is folded."""


HANDLERS: dict[type[bodies.Body], Callable[[Build, Mark, Any], None]] = {
    bodies.EngineOpened: _engine_opened, bodies.EngineDescribed: _engine_described,
    bodies.HouseAdopted: _house_adopted, bodies.SizeStated: _size_stated, bodies.LimitStated: _limit_stated,
    bodies.InstrumentListed: _instrument_listed, bodies.InstrumentSet: _instrument_set,
    bodies.InstrumentCertified: _instrument_certified, bodies.TemperatureNoted: _temperature_noted,
    bodies.PartListed: _part_listed, bodies.PartArrived: _part_arrived, bodies.PartFitted: _part_fitted,
    bodies.PartRemoved: _part_removed, bodies.PartMachined: _part_machined, bodies.StockCounted: _stock_counted,
    bodies.HalfListed: _half_listed, bodies.SeatStated: _seat_stated,
    bodies.ReadingTaken: _reading_taken, bodies.NoteWritten: _note_written, bodies.PhotoTaken: _photo_taken,
    bodies.StudyBegun: _study_begun, bodies.StudyRead: _study_read, bodies.StudyAccepted: _study_accepted,
    bodies.ChoiceAccepted: _choice_accepted, bodies.ChoiceAsked: _choice_asked, bodies.EntryStruck: _entry_struck,
    bodies.JointStated: _joint_stated, bodies.FastenerTicked: _fastener_ticked, bodies.OutlineDrawn: _outline_drawn,
    bodies.VariantKept: _variant_kept,
    bodies.WheelZeroed: _wheel_zeroed, bodies.WheelMoved: _wheel_moved, bodies.LobeRead: _lobe_read,
    bodies.CamCarded: _cam_carded, bodies.TimingMoved: _timing_moved,
    bodies.FlowBegun: _flow_begun, bodies.FlowRead: _flow_read,
    **dict.fromkeys(bodies.WORK, _work),
}
