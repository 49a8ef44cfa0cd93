"""Everything that the record of one engine says, as one JSON-ready answer: who, what, when, with what, and why."""

from collections import Counter
from collections.abc import Iterable, Sequence
from math import hypot, inf, isclose

from tenths.engine.quantity import Quantity, from_si, parse, unit_for, write
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.findings.check import catalogue, rule_of
from tenths.findings.instruments import QUANTITY_OF_UNIT, InstrumentBook
from tenths.findings.limits import Rule, rules_of
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark, Reading
from tenths.logbook.entry import Entry
from tenths.logbook.fold import feature_for
from tenths.metrology.coverage import coverage_factor
from tenths.services.bias import bias_rows
from tenths.services.questions import Answer, System, findings, show, system_of
from tenths.services.redraw import redrawn
from tenths.services.shop import Shop


def dossier(shop: Shop, engine: str, units: str = "") -> Answer:
    """The whole of an engine: what `show` says, findings, readings with the struck ones, choices, parts, log.

    Args:
        shop: the shop.
        engine: its short name.
        units: "inch" or "metric"; empty for the engine's own.

    Raises:
        BadInput: when there is no such engine.
    """
    build = shop.build(engine)
    entries = shop.logbook.read(engine)
    found = [{**f, "stale": [in_words(build, why) for why in f["stale"]]} for f in findings(shop, engine, units=units)]
    positions = {entry.id: entry.position for entry in entries}
    return {
        **show(shop, engine),
        "system": system_of(build, units),
        "layout_words": layout_words(build),
        "letterhead": letterhead(build),
        "findings": found,
        "readings": reading_rows(build, entries),
        "settings": setting_rows(build, typed_settings(build, entries)),
        "instruments": instrument_rows(build, system_of(build, units)),
        "choices": [choice_answer(build, mark, body, found, positions, units) for mark, body in build.choices],
        "bias": [row["words"] for row in bias_rows(shop, system_of(build, units), [engine])],
        "fitted": fitted_rows(build),
        "machining": machining_rows(build),
        "note_list": [{"station": where, "station_words": place_words(build, where), "text": text, "at": mark.at,
                       "person": mark.person, "position": mark.position}
                      for where, rows in build.notes_at.items() for mark, text in rows],
        "photographs": sum(map(len, build.photos.values())),
        "house": house_answer(build),
        "log": log_answer(engine, entries),
    }


def letterhead(build: Build) -> Answer:
    """The shop's own name and lines of address, from the table ``[shop]`` of its house rules; empty when not given."""
    given = build.house.get("shop", {})
    lines = given.get("lines", [])
    return {"name": str(given.get("name", "")), "lines": [str(line) for line in lines]}


def layout_words(build: Build) -> str:
    """The layout as a person says it: ``V8 at 90°, 5 main bearings``."""
    layout = build.layout
    if layout is None:
        return ""
    count = len(layout.cylinders)
    angles = [bank.angle for bank in layout.banks]
    apart = max(angles) - min(angles)
    if len(angles) > 1:
        shape = f"flat {count}" if apart == 180 else f"V{count} at {apart:g}°"
    else:
        shape = "single cylinder" if count == 1 else f"inline {count}"
    return f"{shape}, {layout.mains} main bearings"


def place_words(build: Build, address: str) -> str:
    """The words of a station, a slot at a station (``main 3, upper shell``) or a loose part."""
    base, rest = base_station(build, address)
    if base:
        words = station_map(build.layout)[base].words if build.layout else base
        return ", ".join(filter(None, (words, " ".join(reversed(rest)))))
    if address.startswith("part."):
        part = build.parts.get(address.removeprefix("part."))
        return f"loose part {address.removeprefix('part.')}" + (
            f", {part.card.words}" if part and part.card.words else "")
    return address.replace(".", " ").replace("*", "all")


def in_words(build: Build, reason: str) -> str:
    """A reason that begins with an address, said with the words of the place."""
    address, blank, rest = reason.partition(" ")
    return place_words(build, address) + blank + rest


def base_station(build: Build, address: str) -> tuple[str, list[str]]:
    """The station that an address belongs to, and what is left of the address behind it; empty when to none."""
    known = station_map(build.layout) if build.layout else {}
    parts = address.split(".")
    for length in range(len(parts), 0, -1):
        if ".".join(parts[:length]) in known:
            return ".".join(parts[:length]), parts[length:]
    return "", parts


def reading_rows(build: Build, entries: Sequence[Entry]) -> list[Answer]:
    """Every reading that was ever taken, as typed, also those that were struck or not understood, in log order."""
    sizes = typed_settings(build, entries)
    counting = {r.mark.entry: r for rows in build.readings.values() for r in rows}
    unclear = {mark.entry: text for mark, text in build.problems}
    rows: list[Answer] = []
    for entry in entries:
        if entry.type != bodies.ReadingTaken.TYPE:
            continue
        body = bodies.decode(entry.type, entry.schema, entry.body)
        assert isinstance(body, bodies.ReadingTaken)  # noqa: S101 - the type says so
        reading, struck = counting.get(entry.id), build.struck.get(entry.id)
        base, rest = base_station(build, body.station)
        rows.append({
            "entry": entry.id, "position": entry.position, "at": entry.at, "person": entry.person,
            "station": body.station, "base": base or body.station,
            "station_words": place_words(build, base or body.station),
            "slot_words": " ".join(reversed(rest)) if base else "", "feature": body.feature, "place": body.place,
            "words": _feature_words(build, body.station, body.feature), "text": body.text,
            "unit": body.unit or _bare_unit(build, body.station, body.feature), "instrument": body.instrument,
            "set_to": _set_to(build, reading, sizes), "note": body.note, "temperature": body.temperature,
            "stale": in_words(build, build.stale_because(reading)) if reading else "", "problem": unclear.get(entry.id, ""),
            "struck": struck[1] if struck else "", "struck_by": struck[0].person if struck else "",
            "struck_at": struck[0].at if struck else "",
        })
    return rows


def _feature_words(build: Build, station: str, name: str) -> str:
    try:
        return feature_for(build, station, name).words
    except BadInput:
        return name.replace("-", " ")


def _bare_unit(build: Build, station: str, name: str) -> str:
    """The unit that a number typed without one is read in."""
    try:
        feature = feature_for(build, station, name)
    except BadInput:
        return ""
    return unit_for(feature.quantity, system_of(build), fine=feature.fine)


def typed_settings(build: Build, entries: Iterable[Entry]) -> dict[str, str]:
    """Sizes that gauges were set to, as typed, by the entry of the setting; a bare number gets its unit."""
    unit = unit_for(Quantity.LENGTH, system_of(build))
    found: dict[str, str] = {}
    for entry in entries:
        if entry.type == bodies.InstrumentSet.TYPE:
            body = bodies.decode(entry.type, entry.schema, entry.body)
            size = body.size if isinstance(body, bodies.InstrumentSet) else ""
            found[entry.id] = f"{size} {unit}" if size and (size[-1].isdigit() or size[-1] == ".") else size
    return found


def _set_to(build: Build, reading: Reading | None, sizes: dict[str, str]) -> str:
    """The size that a deviation counts from; empty for a reading that stands alone."""
    if reading is None or not reading.typed.deviation:
        return ""
    quantity = reading.feature.quantity
    counted_from = reading.value - reading.typed.si
    typed = reading.setting and _same(reading.setting.size, counted_from) and sizes.get(reading.setting.mark.entry)
    return typed or write(counted_from, quantity, unit=unit_for(quantity, system_of(build)))


def _same(size: float | None, other: float) -> bool:
    return size is not None and isclose(size, other, rel_tol=1e-9)


def setting_rows(build: Build, sizes: dict[str, str]) -> list[Answer]:
    """Settings of gauges from their masters, in log order."""
    return [{"instrument": s.instrument, "master": s.master, "at": s.mark.at, "person": s.mark.person,
             "entry": s.mark.entry, "size": sizes.get(s.mark.entry, "")}
            for s in sorted(build.settings.values(), key=lambda s: s.mark.position)]


def instrument_rows(build: Build, system: System) -> list[Answer]:
    """The instruments that read this engine or served as master, in order of first use, with their limits of error."""
    book = InstrumentBook(build)
    readings = build.all_readings()
    counts = Counter(r.instrument for r in readings)
    names = [n for r in readings for n in (r.instrument, r.setting.master if r.setting else "")]
    last = {r.instrument: r.mark.at[:10] for r in readings}
    rows: list[Answer] = []
    for name in dict.fromkeys(n for n in names if n):
        listed = build.instruments.get(name)
        card = listed[1] if listed else bodies.InstrumentListed(instrument=name, kind="")
        row: Answer = {"instrument": name, "name": card.name or card.kind or name, "serial": card.serial,
                       "certificate": card.certificate, "due": card.due, "readings": counts[name],
                       "overdue": bool(card.due and card.due < last.get(name, "")), "listed": listed is not None,
                       "resolution": "", "limit_of_error": "", "typical": not card.limit_of_error}
        if listed:
            used = book.instrument(name, card.kind)
            row["resolution"] = _amount(used.resolution, used.unit, system)
            row["limit_of_error"] = " + ".join(filter(None, (
                _amount(used.limit_of_error, used.unit, system),
                f"{used.limit_relative * 100:g} % of reading" if used.limit_relative else "")))
        rows.append(row)
    return rows


def _amount(si: float, si_unit: str, system: System) -> str:
    """A limit of error or a resolution in the unit that a person reads it in; empty for none."""
    quantity = QUANTITY_OF_UNIT.get(si_unit)
    if not si or quantity is None:
        return ""
    unit = unit_for(quantity, system)
    text = f"{float(f'{from_si(si, quantity, unit, difference=True):.2g}'):f}"
    return f"{text.rstrip('0').rstrip('.')} {unit}".rstrip()


def choice_answer(build: Build, mark: Mark, body: bodies.ChoiceAccepted, found: Sequence[Answer],
                  positions: dict[str, int], units: str) -> Answer:
    """A choice as accepted, and beside each prediction what was read later."""
    return {"question": body.question, "words": body.words, "reasons": list(body.reasons), "at": mark.at,
            "person": mark.person, "position": mark.position, "entry": mark.entry,
            "drawing": redrawn(body.drawing, system_of(build, units)), "others": [{"words": o.words} for o in body.others],
            "rests_on": sorted(positions[e] for e in body.rests_on if e in positions),
            "picks": [_pick_answer(build, pick, mark, found, positions, units) for pick in body.picks]}


def _pick_answer(build: Build, pick: bodies.Pick, mark: Mark, found: Sequence[Answer], positions: dict[str, int],
                 units: str) -> Answer:
    known = catalogue().get(pick.characteristic)
    answer: Answer = {"station": pick.station, "station_words": place_words(build, pick.station), "pick": pick.pick,
                      "characteristic": pick.characteristic, "words": known.words if known else pick.characteristic,
                      "predicted": "", "later": "", "difference": ""}
    if pick.predicted is None or known is None:
        return answer
    quantity, unit = known.quantity, unit_for(known.quantity, system_of(build, units), fine=known.fine)
    si, u = (_in_si(amount, pick.unit, quantity) for amount in (pick.predicted, pick.uncertainty or 0.0))
    answer["predicted"] = _with_interval(si, coverage_factor(inf) * u, quantity, unit)
    later = _read_since(mark, known.limits_of or known.name, pick.station, found, positions)
    if later is not None:
        measured, interval = _in_si(later["value"], unit, quantity), _in_si(later["interval"] or 0.0, unit, quantity)
        answer["later"] = _with_interval(measured, interval, quantity, unit)
        answer["difference"] = ("+" if measured > si else "") + write(measured - si, quantity, unit=unit,
                                     uncertainty=hypot(interval, coverage_factor(inf) * u) or None)
    return answer


def _read_since(mark: Mark, characteristic: str, station: str, found: Sequence[Answer], positions: dict[str, int],
                ) -> Answer | None:
    """The finding as it stands, at the slot or its station, when something it rests on was read after that place in the log."""
    places = {station, ".".join(station.split(".")[:2])}
    for f in found:
        if f["characteristic"] == characteristic and f["station"] in places and f["value"] is not None:
            newest = max((positions[entry] for entry in f["entries"]), default=0)
            return f if newest > mark.position and not f["stale"] else None
    return None


def _with_interval(si: float, interval: float, quantity: Quantity, unit: str) -> str:
    """``0.0021 ±0.0002 in``."""
    value = write(si, quantity, unit=unit, uncertainty=interval or None)
    if not interval:
        return value
    spread = write(interval, quantity, unit=unit, uncertainty=interval)
    return f"{value.removesuffix(unit).rstrip()} ±{spread}"


def _in_si(amount: float, unit: str, quantity: Quantity) -> float:
    """An amount in a unit as SI; ratios of the unit to SI are exact, so a parsed one does."""
    return amount * parse("1", quantity, default_unit=unit, field="prediction").si


def fitted_rows(build: Build) -> list[Answer]:
    """What is fitted where, and since when, slot by slot."""
    rows: list[Answer] = []
    for slot, history in build.slots.items():
        name = history.parts[-1] if history.parts else ""
        part = build.parts.get(name)
        if not name:
            continue
        card = part.card if part else bodies.PartListed(part=name, kind="", words=name)
        rows.append({"slot": slot, "slot_words": place_words(build, slot), "part": name, "kind": card.kind,
                     "words": card.words or card.kind, "maker": card.maker, "number": card.number,
                     "serial": card.serial, "size": card.size, "at": history.marks[-1].at,
                     "all_along": history.positions[-1] == 0,
                     "changed": len(history.parts) > 1})
    return rows


def machining_rows(build: Build) -> list[Answer]:
    """Machining operations, in log order, each once."""
    seen: dict[str, Answer] = {}
    for rows in build.machining.values():
        for m in rows:
            seen.setdefault(m.mark.entry, {
                "slot": m.slot, "slot_words": place_words(build, m.slot), "operation": m.operation, "at": m.mark.at,
                "stations": [place_words(build, s) for s in m.stations], "person": m.mark.person,
                "position": m.mark.position})
    return sorted(seen.values(), key=lambda row: row["position"])


def house_answer(build: Build) -> Answer:
    """The house rules in force: limits as written, what is skipped, and the decision rule."""
    rule = rule_of(build.house)
    return {"adopted": build.house_mark.at if build.house_mark else "", "rule": rule.name, "accept": rule.accept,
            "reject": rule.reject, "guarded": rule.guard is not None,
            "skip": [_words_of(str(name)) for name in build.house.get("skip", ())],
            "limits": [_rule_answer(build, r) for r in (rules_of(build.house_text) if build.house_text else ())]}


def _words_of(characteristic: str) -> str:
    known = catalogue().get(characteristic)
    return known.words if known else characteristic.replace("-", " ")


def _rule_answer(build: Build, rule: Rule) -> Answer:
    return {"words": _words_of(rule.characteristic),
            "station": place_words(build, rule.station) if rule.station else "", "uses": list(rule.uses),
            "per": rule.per, "lower": rule.lower, "upper": rule.upper, "target": rule.target, "source": rule.source}


def log_answer(engine: str, entries: Sequence[Entry]) -> Answer:
    """Where a log with entries stands: position and hash of the last, first and last time, and who wrote."""
    people = Counter(entry.person for entry in entries)
    return {"engine": engine, "position": entries[-1].position, "hash": entries[-1].hash, "entries": len(entries),
            "first": min(entry.at for entry in entries), "last": max(entry.at for entry in entries),
            "people": [name for name, _ in people.most_common()],
            "struck": sum(entry.type == bodies.EntryStruck.TYPE for entry in entries)}
