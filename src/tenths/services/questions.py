"""What a person asks of a shop. Answers are plain dicts and lists, ready for JSON, in the engine's own units."""

from collections import Counter
from collections.abc import Iterable
from difflib import get_close_matches
from math import floor, log10
from typing import Any, Literal

from tenths.engine.features import Feature, feature_quantity, features_of
from tenths.engine.quantity import Quantity, from_si, unit_for, write
from tenths.engine.stations import Station, cylinder_of, pattern_matches, slots, station_map, stations
from tenths.errors import BadInput
from tenths.findings.check import catalogue, check
from tenths.findings.decision import edition_of, rule_for, rule_of
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook, InUse
from tenths.findings.resolve import Input
from tenths.logbook.build import Build, Reading
from tenths.logbook.fold import feature_for
from tenths.metrology.coverage import coverage_factor
from tenths.metrology.decide import Verdict
from tenths.services.shop import SHOP, Shop

Answer = dict[str, Any]
System = Literal["inch", "metric"]
OPEN = (Verdict.OUT, Verdict.TOO_CLOSE, Verdict.STALE)


def system_of(build: Build, units: str = "") -> System:
    """The unit system that answers are given in: as asked, else the engine's own."""
    return "metric" if (units or build.units) == "metric" else "inch"


def engines(shop: Shop) -> list[Answer]:
    """All engines of the shop with what each waits for."""
    return [engine_summary(shop, name) for name in shop.engines()]


def engine_summary(shop: Shop, engine: str) -> Answer:
    """One engine in a line: who for, how far, how many findings of each verdict, parts still on order."""
    build = shop.build(engine)
    verdicts = Counter(str(f.verdict) for f in shop.checked(build))
    on_order = [part.card.words or name for name, part in build.parts.items() if not part.in_house]
    return {
        "engine": engine, "name": build.name, "customer": build.customer, "purpose": build.purpose, "use": build.use,
        "fuel": build.fuel, "units": build.units, "notes": build.notes,
        "layout": build.layout.text if build.layout else "", "readings": sum(map(len, build.readings.values())),
        "verdicts": dict(verdicts), "on_order": on_order, "problems": len(build.problems),
        "position": build.position, "opened": build.opened.at if build.opened else "",
    }


def show(shop: Shop, engine: str) -> Answer:
    """An engine as it stands: description, layout, parts and what is fitted where, stock, instruments, problems."""
    build = shop.build(engine)
    layout = build.layout
    answer = engine_summary(shop, engine)
    if layout is None:
        return answer
    answer["cylinders"] = list(layout.labels)
    answer["firing_order"] = list(layout.firing_order)
    answer["firing_intervals"] = list(layout.firing_intervals())
    answer["mains"] = layout.mains
    answer["stations"] = [station_answer(s) for s in stations(layout)]
    answer["parts"] = [part_answer(build, name) for name in build.parts]
    answer["stock"] = [{"kind": k, "size": s, "change": b.change, "sets": b.sets} for (k, s), (_, b) in
                       build.stock.items()]
    answer["stated"] = [{"station": s.station, "feature": s.feature.name, "text": s.typed.text, "source": s.source,
                         "entry": s.mark.entry} for s in build.sizes]
    answer["instruments"] = [instrument_answer(build, name) for name in build.instruments]
    answer["problem_list"] = [{"entry": m.entry, "position": m.position, "what": text} for m, text in build.problems]
    return answer


def station_answer(station: Station) -> Answer:
    """A station as JSON."""
    return {"station": station.address, "kind": station.kind, "words": station.words, "order": station.order}


def part_answer(build: Build, name: str) -> Answer:
    """A part with where it is fitted."""
    part = build.parts[name]
    card = part.card
    return {"part": name, "kind": card.kind, "words": card.words, "maker": card.maker, "number": card.number,
            "serial": card.serial, "size": card.size, "sizes": dict(card.sizes), "in_house": part.in_house,
            "where": "in the house" if part.in_house else card.where, "promised": card.promised,
            "supplier": card.supplier, "fitted": [slot for slot in build.slots if build.part_in(slot) == name]}


def instrument_answer(build: Build, name: str) -> Answer:
    """An instrument's card."""
    mark, card = build.instruments[name]
    return {"instrument": name, "kind": card.kind, "name": card.name, "resolution": card.resolution,
            "limit_of_error": card.limit_of_error, "due": card.due, "since": mark.at}


def findings(shop: Shop, engine: str, *, only: Iterable[str] = (), units: str = "") -> list[Answer]:
    """All findings of an engine, judged; see `finding_answer` for the fields."""
    build = shop.build(engine)
    wanted = list(only)
    return [finding_answer(build, f, units) for f in (check(build, wanted) if wanted else shop.checked(build))]


def finding_answer(build: Build, finding: Finding, units: str = "") -> Answer:
    """A finding as JSON: numbers in the unit named, texts as a person would write them."""
    characteristic, quantity = finding.characteristic, finding.characteristic.quantity
    unit = unit_for(quantity, system_of(build, units), fine=characteristic.fine)
    u, limits = finding.standard_uncertainty, finding.limits
    interval = coverage_factor(finding.freedom) * u if u is not None else None

    def number(si: float | None) -> float | None:
        return None if si is None else from_si(si, quantity, unit)

    def size(si: float | None) -> float | None:
        return None if si is None else from_si(si, quantity, unit, difference=True)

    places = telling_places(interval, quantity, unit)

    def text(si: float | None, decimals: int | None = None) -> str:
        return "" if si is None else write(si, quantity, unit=unit, decimals=decimals)

    place = station_map(build.layout)[finding.station] if build.layout else None
    return {
        "station": finding.station, "station_words": place.words if place else finding.station,
        "characteristic": characteristic.name, "words": characteristic.words, "section": characteristic.section,
        "value": number(finding.value), "unit": unit, "standard_uncertainty": size(u), "interval": size(interval),
        "lower": number(limits.lower), "upper": number(limits.upper), "target": number(limits.target),
        "authority": limits.authority, "source": limits.source, "probability": finding.probability,
        "verdict": str(finding.verdict), "entries": list(finding.entries), "expected": number(finding.expected),
        "formula": finding.formula, "missing": list(finding.missing), "stale": list(finding.stale),
        "warnings": list(finding.warnings), "instruments": [in_use_answer(used) for used in finding.instruments],
        "rule": rule_for(rule_of(build.house), quantity).name, "edition": edition_of(build.house),
        "method": finding.method[0] if finding.method else "",
        "inputs": [input_answer(build, i, units) for i in finding.inputs],
        "text": {"value": text(finding.value, places), "interval": text(interval, places), "lower": text(limits.lower),
                 "upper": text(limits.upper), "target": text(limits.target), "expected": text(finding.expected)},
    }


def in_use_answer(used: InUse) -> Answer:
    """An instrument that readings of a finding rest on, with the state that it was in."""
    return {"instrument": used.instrument, "name": used.name, "kind": used.kind, "role": used.role, "state": used.state,
            "said": used.said}


def telling_places(interval: float | None, quantity: Quantity, unit: str) -> int | None:
    """Decimal places that a 95 % interval carries: its first figure, or its first two where the first is 1 or 2."""
    if not interval:
        return None
    spread = abs(from_si(interval, quantity, unit, difference=True))
    power = floor(log10(spread))
    return max(0, (1 if spread < 3 * 10.0**power else 0) - power)


def input_answer(build: Build, used: Input, units: str) -> Answer:
    """An input of a finding as JSON; an input may itself be a finding, where one is taken over others."""
    named = catalogue().get(used.feature) if used.name == used.feature else None
    quantity = named.quantity if named else _feature_quantity(build, used)
    unit = unit_for(quantity, system_of(build, units))
    estimate = used.estimate
    return {
        "name": used.name, "station": used.station, "feature": used.feature, "origin": used.origin, "unit": unit,
        "value": from_si(estimate.value, quantity, unit) if estimate else None,
        "standard_uncertainty": from_si(estimate.u, quantity, unit, difference=True) if estimate else None,
        "text": write(estimate.value, quantity, unit=unit, decimals=telling_places(2 * estimate.u, quantity, unit)) if estimate else "",
        "entries": list(used.entries), "stale": list(used.stale),
    }


def _feature_quantity(build: Build, used: Input) -> Quantity:
    if used.origin in {"learned", "taken"}:
        return feature_quantity(used.feature)
    return feature_for(build, used.station, used.feature).quantity


def log(shop: Shop, engine: str, *, after: int = 0) -> list[Answer]:
    """The logbook of an engine, each entry with whether it was struck, and a sentence that says it."""
    from tenths.services.sentences import sentence  # noqa: PLC0415 - only the log asks

    build = shop.build(engine) if engine != SHOP else shop.build(SHOP)
    rows: list[Answer] = []
    for entry in shop.logbook.read(engine, after=after):
        struck = build.struck.get(entry.id)
        rows.append({"position": entry.position, "entry": entry.id, "type": entry.type, "at": entry.at,
                     "received": entry.received, "person": entry.person, "device": entry.device,
                     "sentence": sentence(entry), "struck": struck[1] if struck else "",
                     "struck_by": struck[0].position if struck else None, "hash": entry.hash})
    return rows


def station(shop: Shop, engine: str, address: str, units: str = "") -> Answer:
    """Everything about a station: findings, readings, what can be read, part, notes, photographs, what hangs on it."""
    build = shop.build(engine)
    place = _station(build, address)
    all_findings = shop.checked(build)
    here = [f for f in all_findings if f.station == address]
    using = [f for f in all_findings if f.station != address and any(i.station == address for i in f.inputs)]
    all_slots = slots(build.layout) if build.layout else ()
    holds = [slot for slot in all_slots if slot == address or slot.startswith(address + ".")]
    return {
        **station_answer(place),
        "findings": [finding_answer(build, f, units) for f in here],
        "depends_on": sorted({i.station for f in here for i in f.inputs} - {address}),
        "dependants": [{"station": f.station, "characteristic": f.characteristic.name, "words": f.characteristic.words,
                        "verdict": str(f.verdict)} for f in using],
        "readings": [reading_answer(build, r) for (where, _), rows in build.readings.items() if where in {address, *holds}
                     for r in rows],
        "features": [feature_answer(f) for f in features_of(address)],
        "parts": [{"slot": slot, "part": build.part_in(slot)} for slot in holds if build.part_in(slot)],
        "slots": holds,
        "notes": [{"at": m.at, "person": m.person, "text": text, "entry": m.entry} for m, text in
                  build.notes_at.get(address, [])],
        "photos": [{"at": m.at, "person": m.person, "file": b.file, "words": b.words, "entry": m.entry} for m, b in
                   build.photos.get(address, [])],
        "cylinder": cylinder_of(address),
    }


def _station(build: Build, address: str) -> Station:
    known = station_map(build.layout) if build.layout else {}
    if address not in known:
        raise BadInput(f"station: {address!r} is not on this engine")
    return known[address]


def reading_answer(build: Build, reading: Reading) -> Answer:
    """A reading as JSON: the text as typed first, then what it was understood as."""
    estimate = InstrumentBook(build).estimate(reading)
    unit = unit_for(reading.feature.quantity, system_of(build))
    return {
        "entry": reading.mark.entry, "position": reading.mark.position, "at": reading.mark.at,
        "person": reading.mark.person, "station": reading.station, "feature": reading.feature.name,
        "words": reading.feature.words, "place": reading.place, "text": reading.typed.text, "unit": unit,
        "value": from_si(reading.value, reading.feature.quantity, unit),
        "standard_uncertainty": from_si(estimate.u, reading.feature.quantity, unit, difference=True),
        "written": write(reading.value, reading.feature.quantity, unit=unit,
                         decimals=telling_places(2 * estimate.u, reading.feature.quantity, unit)),
        "instrument": reading.instrument, "stale": build.stale_because(reading), "note": reading.note,
    }


def drawing_sizes(build: Build) -> dict[str, float]:
    """The sizes [m] that a drawing in true proportion takes, as far as they are read or stated."""
    layout = build.layout
    if layout is None:
        return {}
    label, pin = layout.labels[0], 1
    bank = layout.banks[0].name
    wanted = {
        "bore": (f"cyl.{label}", "bore"), "stroke": (f"pin.{pin}", "stroke"), "rod-length": (f"rod.{label}", "rod-length"),
        "compression-height": (f"cyl.{label}.piston", "compression-height"), "deck-height": (f"deck.{bank}", "deck-height"),
        "main-journal": ("main.1", "journal"), "pin-journal": (f"pin.{pin}", "journal"),
        "bore-spacing": ("engine", "bore-spacing"), "main-width": ("engine", "main-width"),
        "pin-width": ("engine", "pin-width"), "pin-offset": ("engine", "pin-offset"),
    }
    found: dict[str, float] = {}
    for name, (where, feature) in wanted.items():
        rows = build.readings.get((where, feature))
        stated = build.stated(where, feature)
        if rows:
            found[name] = rows[-1].value
        elif stated:
            found[name] = stated.value
    return found


def verdict_marks(found: Iterable[Finding]) -> dict[str, str]:
    """The worst verdict of each station, for a drawing."""
    order = [Verdict.OUT, Verdict.STALE, Verdict.TOO_CLOSE, Verdict.FITS]
    marks: dict[str, Verdict] = {}
    for f in found:
        if f.verdict in order:
            now = marks.get(f.station)
            if now is None or order.index(f.verdict) < order.index(now):
                marks[f.station] = f.verdict
    return {where: str(v) for where, v in marks.items()}




def marks(shop: Shop, engine: str) -> dict[str, str]:
    """The worst verdict of each station of an engine."""
    return verdict_marks(shop.checked(shop.build(engine)))


def stations_of(build: Build) -> tuple[Station, ...]:
    """All stations of an engine in walking order; none before its layout is known."""
    return stations(build.layout) if build.layout else ()


def house_instruments(shop: Shop) -> list[Answer]:
    """The instruments of the shop."""
    house = shop.build(SHOP)
    return [instrument_answer(house, name) for name in house.instruments]


def owner_of(shop: Shop, engine: str, address: str) -> str:
    """The station that a slot belongs to (``main.3`` for ``main.3.shell.upper``); a station is its own."""
    known = station_map(layout) if (layout := shop.build(engine).layout) else {}
    while address not in known and "." in address:
        address = address.rpartition(".")[0]
    return address


def features_at(shop: Shop, engine: str, address: str) -> list[Answer]:
    """What can be read or stated at a station or slot."""
    build = shop.build(engine)
    known = (*station_map(build.layout), *slots(build.layout)) if build.layout else ()
    if address not in known:
        raise BadInput(f"station: {address!r} is not on this engine; near: "
                       f"{', '.join(get_close_matches(address, list(dict.fromkeys(known)), 4, 0.3)) or 'nothing like it'}")
    return [feature_answer(f) for f in features_of(address)]


def feature_answer(feature: Feature) -> Answer:
    """A feature as JSON."""
    return {"feature": feature.name, "words": feature.words, "how": feature.how, "places": list(feature.places),
            "instrument": feature.instrument, "sketch": feature.shown, "stated_only": feature.stated_only}


def stations_named(shop: Shop, engine: str, address: str) -> list[str]:
    """Stations and slots that an address or a pattern (``main.*``) means, in walking order; at least one.

    Raises:
        BadInput: when a pattern matches none. A single address is given back as it is.
    """
    if "*" not in address:
        return [address]
    layout = shop.build(engine).layout
    known = dict.fromkeys((*station_map(layout), *slots(layout))) if layout else {}
    found = [one for one in known if pattern_matches(address, one)]
    if not found:
        raise BadInput(f"station: {address!r} matches none on this engine")
    return found


def readings_of(shop: Shop, engine: str, entries: Iterable[str]) -> list[Answer]:
    """The readings that these entries are, in the order of the log."""
    build, wanted = shop.build(engine), set(entries)
    return [reading_answer(build, r) for r in build.all_readings() if r.mark.entry in wanted]
