"""A reading looked at while it is typed: as what it is understood, what it would make of the findings, and whether it slipped.

It asks; it never blocks and never corrects.
"""

import re
from collections.abc import Sequence
from statistics import median
from typing import Any

from tenths.engine.features import feature_at, kinds_of
from tenths.engine.quantity import Quantity, from_si, unit_for, unit_of, write
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.findings.check import check, recheck, touched_by
from tenths.findings.finding import Finding
from tenths.findings.instruments import typical
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark, Reading
from tenths.logbook.fold import HANDLERS
from tenths.logbook.vet import vet
from tenths.metrology.slips import likely_slips
from tenths.services.questions import Answer, finding_answer, system_of
from tenths.services.shop import SHOP, Shop

PROBE = "being typed"  # stands for the entry id of a reading that is not taken yet
# How far sizes of one kind usually lie apart before anybody wonders: common practice, no source.
USUAL_LENGTH = 0.0005 * 0.0254  # [m]
USUAL_SHARE = 0.02  # of the expected value, for what is no length, and for lengths below a quarter inch
SHORT = 0.25 * 0.0254  # [m]
TORN = 6.0  # readings of one place that lie so many usual spreads apart tell nothing: one of them slipped
_BARE = re.compile(r"(?P<figures>[+\-−]?\s?\d*[.,]?\d+)\s*(?:in|mm|g|cc|°|deg|psi|bar|lbf ft|N m|lbf|N)?")
SAME_PLACE = 0.5  # a place that was read before lies closer than its neighbours do: this share of it


def question(shop: Shop, engine: str, *, station: str, feature: str, text: str, place: str = "", unit: str = "",
             instrument: str = "", setting: str = "") -> Answer:
    """What a reading would be understood as, what would come of it, and what to ask before it is taken.

    Returns:
        ``understood``: whether it can be read at all, else ``why``; ``value``, ``unit`` and ``written``; ``deviation``:
        whether it is one from a setting; ``expected`` and how far ``away`` it is; ``findings`` that it would touch;
        ``questions``, likeliest first, each with words and, where a slip is meant, ``meant`` and share.
    """
    build = shop.build(engine)
    body = bodies.ReadingTaken(station=station, feature=feature, text=text, place=place, unit=unit,
                               instrument=instrument, setting=setting)
    try:
        vet(build, [body])
        probe = _probe(shop, build, body)
    except BadInput as error:
        return {"understood": False, "why": str(error), "questions": [], "findings": []}
    reading = probe.readings[station, feature_at(feature, station).name if not station.startswith("part.") else feature][-1]
    return {"understood": True, "why": "", **_understood(build, reading), **_asked(build, reading),
            "findings": _touched(probe, reading, shop.checked(build))}


def _probe(shop: Shop, build: Build, body: bodies.ReadingTaken) -> Build:
    """The Build as this reading would leave it."""
    probe = build.copy()
    card = shop.build(SHOP).instruments.get(body.instrument)
    if card is not None and body.instrument not in probe.instruments:
        probe.instruments[body.instrument] = card
    probe.position += 1
    HANDLERS[type(body)](probe, Mark(PROBE, probe.position, shop.clock().isoformat(), ""), body)
    return probe


def _understood(build: Build, reading: Reading) -> Answer:
    quantity = reading.feature.quantity
    unit = unit_for(quantity, system_of(build), fine=reading.feature.fine)
    return {"value": from_si(reading.value, quantity, unit), "unit": unit, "deviation": reading.typed.deviation,
            "written": write(reading.value, quantity, unit=unit)}


def _touched(probe: Build, reading: Reading, before: Sequence[Finding]) -> list[Answer]:
    """The findings that would rest on this reading, those of its own station first."""
    rows: list[Answer] = []
    found = recheck(probe, before, reading.station, reading.feature.name)
    for finding in check(probe, touched_by(reading.feature.name)) if found is None else found:
        if PROBE in finding.entries:
            answer = finding_answer(probe, finding)
            answer["entries"] = [e for e in answer["entries"] if e != PROBE]
            rows.append(answer)
    return sorted(rows, key=lambda row: row["station"] != reading.station)


def questions_for(shop: Shop, engine: str, readings: Sequence[bodies.ReadingTaken]) -> list[list[Answer]]:
    """What to ask of each of several readings before they are taken together: each beside the log and beside the others.

    A reading is never held against one of the same place that comes after it, so that of two that differ the second is
    asked about. One that cannot be understood is asked nothing; whoever takes it is told then.
    """
    probe, marks = shop.build(engine).copy(), dict[str, Reading]()
    probe.instruments = shop.build(SHOP).instruments | probe.instruments
    for number, body in enumerate(readings):
        probe.position += 1
        mark = Mark(f"{PROBE} {number}", probe.position, shop.clock().isoformat(), "")
        try:
            HANDLERS[type(body)](probe, mark, body)
        except BadInput:
            continue
        marks[mark.entry] = probe.readings[body.station, _feature_of(body)][-1]
    return [_asked_beside(probe, marks.get(f"{PROBE} {number}")) for number in range(len(readings))]


def _feature_of(body: bodies.ReadingTaken) -> str:
    return body.feature if body.station.startswith("part.") else feature_at(body.feature, body.station).name


def _asked_beside(probe: Build, reading: Reading | None) -> list[Answer]:
    """What to ask of a reading that stands in the Build already, as if it did not."""
    if reading is None:
        return []
    key = (reading.station, reading.feature.name)
    there = probe.readings[key]
    probe.readings[key] = [r for r in there if r is not reading and not (
        r.place == reading.place and r.mark.position > reading.mark.position)]
    try:
        questions: list[Answer] = _asked(probe, reading)["questions"]
    finally:
        probe.readings[key] = there
    return questions


def asked_words(questions: Sequence[Answer]) -> str:
    """The likeliest question of a reading in a sentence, with what it would then have been; empty when there is none."""
    if not questions:
        return ""
    first = questions[0]
    meant = f" It would then be {first['meant_text']}." if first.get("meant_text") and not first.get("place") else ""
    return f"{first['words']}{meant}"


# -- what is expected, and what to ask ---------------------------------------------------------------------------------

def _asked(build: Build, reading: Reading) -> Answer:
    quantity, unit = reading.feature.quantity, unit_for(reading.feature.quantity, system_of(build))
    found = expectation(build, reading.station, reading.feature.name, reading.place)
    if found is None:
        return {"expected": None, "expected_text": "", "away": None, "questions": []}
    expected, spread = found
    answer = {"expected": from_si(expected, quantity, unit), "expected_text": write(expected, quantity, unit=unit),
              "away": (reading.value - expected) / spread, "questions": []}
    if abs(reading.value - expected) >= 4 * spread:
        answer["questions"] = _questions(build, reading, expected, spread)
    return answer


def expectation(build: Build, station: str, feature: str, place: str) -> tuple[float, float] | None:
    """What a reading should come to, and how far such readings usually lie from it [SI]; None when nothing tells.

    The same place read before tells most, then the other places of the station, then the same feature elsewhere on
    this engine, then what the sheet states.
    """
    here = [r for r in build.readings.get((station, feature), []) if not build.stale_because(r)]
    alike = _alike(build, station, feature)
    usual = _usual(build, station, feature, alike)
    same = [r.value for r in here if r.place == place]
    if same and _spread(usual, same) <= TORN * usual:
        return same[-1], SAME_PLACE * _spread(usual, same)
    elsewhere = [v for rows in alike.values() for v in rows]
    for values in ([r.value for r in here], elsewhere):
        if values and (values is elsewhere or not elsewhere or _spread(usual, values) <= TORN * usual):
            return median(values), _spread(usual, values)
    stated = build.stated(station, feature)
    return (stated.value, max(usual, stated.tolerance)) if stated else None


def _alike(build: Build, station: str, feature: str) -> dict[str, list[float]]:
    """Readings of the same feature at the other stations of the same kind."""
    kinds = kinds_of(station)
    return {where: [r.value for r in rows] for (where, name), rows in build.readings.items()
            if name == feature and where != station and kinds_of(where) == kinds}


def _usual(build: Build, station: str, feature: str, alike: dict[str, list[float]]) -> float:
    stated = build.stated(station, feature)
    values = [v for rows in alike.values() for v in rows] or ([stated.value] if stated else [])
    size = abs(median(values)) if values else SHORT
    length = station.startswith("part.") or feature_at(feature, station).quantity is Quantity.LENGTH
    if length and size >= SHORT:
        return USUAL_LENGTH
    return max(USUAL_SHARE * size, USUAL_LENGTH if length else 1e-12)


def _spread(usual: float, values: list[float]) -> float:
    """How far such readings lie apart: the usual, or more where the readings so far do; one odd one does not count."""
    middle = median(values)
    return max(usual, 1.4826 * median(abs(v - middle) for v in values))


def _questions(build: Build, reading: Reading, expected: float, spread: float) -> list[Answer]:
    quantity, unit = reading.feature.quantity, unit_for(reading.feature.quantity, system_of(build))
    listed = build.instruments.get(reading.instrument)
    kind = typical(listed[1].kind if listed else reading.feature.instrument, system_of(build)).kind
    typed = unit_of(quantity, reading.typed.unit)
    setting = reading.setting.size if reading.setting else None
    slips = likely_slips(
        reading.value, expected=expected, u=spread, kind=kind, unit=float(typed.factor) or 1.0,
        text=bare_text(reading.typed.text), quantity=quantity.value,
        setting=setting if reading.typed.deviation else None, set_to=None if reading.typed.deviation else setting,
        neighbours=_neighbours(build, reading, spread))
    rows: list[Answer] = [{"what": s.what, "words": s.words, "meant": from_si(s.meant, quantity, unit),
                           "meant_text": write(s.meant, quantity, unit=unit), "place": s.place or "", "share": s.share}
                          for s in slips]
    if rows:
        return rows
    away = write(abs(reading.value - expected), quantity, unit=unit) if quantity is not Quantity.TEMPERATURE else ""
    words = f"That is far from what is expected, {write(expected, quantity, unit=unit)}" + (f": {away} away." if away else ".")
    return [{"what": "far from expected", "words": words, "meant": None, "meant_text": "", "place": "", "share": 1.0}]


def bare_text(text: str) -> str | None:
    """The figures of a number as typed, in the unit that it is kept in; None where they are counted otherwise (tenths)."""
    found = _BARE.fullmatch(text.strip())
    return found["figures"] if found else None


def _neighbours(build: Build, reading: Reading, spread: float) -> dict[str, float]:
    """What was read at other stations of the kind, where that is not the same as here."""
    known = station_map(build.layout) if build.layout else {}
    found: dict[str, Any] = {}
    for where, values in _alike(build, reading.station, reading.feature.name).items():
        there = median(values)
        if abs(there - reading.value) <= 2 * spread:
            found[known[where].words if where in known else where] = there
    return found

