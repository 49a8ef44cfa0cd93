"""The shop's own history: any characteristic over all engines, and engines found by part, customer, size or problem."""

from collections.abc import Iterable
from datetime import datetime
from math import floor, log10

from tenths.engine.quantity import Quantity, from_si, parse, unit_for, unit_of, write
from tenths.engine.stations import pattern_matches, station_map
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.finding import Finding
from tenths.logbook.build import Build, Reading
from tenths.logbook.money_bodies import EngineReturned, ProblemFound
from tenths.metrology.coverage import coverage_factor
from tenths.services.questions import Answer, system_of
from tenths.services.shop import Shop
from tenths.work.history import Spread, Trend, spread_of, trend_of

HOLD = {"fits", "out", "too close to call", "no limit"}
TREND_DAYS, TREND_SPAN = 3, 30.0  # a trend is told from readings of so many days, so many days apart: house practice
YEAR = 365.25 * 86400.0  # s
UNCHOSEN = "nothing chosen"


def history(shop: Shop, characteristic: str, *, station: str = "", engines: Iterable[str] = (), units: str = "inch") -> Answer:
    """A characteristic over all engines: every value that holds, distribution, trend, and what was chosen there.

    Args:
        shop: the shop.
        characteristic: its name.
        station: only at these, a station or a pattern such as ``main.*``.
        engines: only of these; none means all.
        units: "inch" or "metric".

    Returns:
        ``values`` in order of time (engine, station, day, value, verdict, pick), ``spread`` and ``trend`` (per year, with its
        standard error; none while the readings are of less than a month), ``choices`` (what was chosen, with the spread of
        what came of it), all in ``unit``.

    Raises:
        BadInput: for a characteristic or an engine that is not known.
    """
    found = catalogue().get(characteristic)
    if found is None:
        raise BadInput(f"characteristic: {characteristic!r} is not known; 'tenths check ENGINE --json' names them")
    unit = unit_for(found.quantity, "metric" if units == "metric" else "inch", fine=found.fine)
    rows = [_value(build, f, unit) for engine in (engines or shop.engines()) if (build := shop.build(engine)).layout
            for f in shop.checked(build) if f.characteristic.name == characteristic and _holds(f)
            and (not station or pattern_matches(station, f.station))]
    rows.sort(key=lambda r: r["at"])
    values = [r["value"] for r in rows]
    days = [datetime.fromisoformat(r["at"]).timestamp() / 86400 for r in rows]
    spread = spread_of(values)
    trend = trend_of(days, values) if len({int(d) for d in days}) >= TREND_DAYS and days[-1] - days[0] >= TREND_SPAN else None
    return {
        "characteristic": characteristic, "words": found.words, "unit": unit, "values": rows, "engines": len({r["engine"] for r in rows}),
        "spread": _spread_answer(spread, _places(spread, found.quantity, unit), unit) if spread else None,
        "trend": _trend_answer(trend, rows, unit) if trend else None, "choices": _by_choice(rows, found.quantity, unit),
    }


def _holds(finding: Finding) -> bool:
    return finding.estimate is not None and str(finding.verdict) in HOLD and bool(finding.entries)


def _spread_answer(spread: Spread, places: int, unit: str) -> Answer:
    ends = {"mean": spread.mean, "least": spread.least, "half": spread.quarters[1], "most": spread.most}
    return {"count": spread.count, "mean": spread.mean, "deviation": spread.deviation, "least": spread.least,
            "quarters": list(spread.quarters), "most": spread.most, "bins": [list(b) for b in spread.bins],
            "text": {name: _text(value, places, unit) for name, value in ends.items()}
            | {"deviation": "" if spread.deviation is None else _text(spread.deviation, places, unit)}}


def _text(value: float, places: int, unit: str) -> str:
    return f"{value:.{places}f} {unit}".rstrip()


def _places(spread: Spread, quantity: Quantity, unit: str) -> int:
    """Figures behind the point: two of the deviation, else those usual for the unit."""
    if not spread.deviation or spread.deviation < 1e-12 * max(1.0, abs(spread.mean)):
        return unit_of(quantity, unit).places
    return max(0, min(8, 1 - floor(log10(spread.deviation))))


def _trend_answer(trend: Trend, rows: list[Answer], unit: str) -> Answer:
    years = (datetime.fromisoformat(rows[-1]["at"]) - datetime.fromisoformat(rows[0]["at"])).total_seconds() / YEAR
    places = max(0, min(8, 1 - floor(log10(trend.error)))) if trend.error > 0 else 6
    return {"per_year": trend.slope, "error": trend.error, "begin": trend.begin, "end": trend.begin + trend.slope * years,
            "text": f"{trend.slope:+.{places}f} ± {trend.error:.{places}f} {unit}".rstrip() + " per year"}


def _by_choice(rows: list[Answer], quantity: Quantity, unit: str) -> list[Answer]:
    """What was chosen, each with the spread of what came of it; nothing while nothing was chosen anywhere."""
    groups: dict[str, list[float]] = {}
    for row in rows:
        groups.setdefault(row["pick"] or UNCHOSEN, []).append(row["value"])
    if set(groups) <= {UNCHOSEN}:
        return []
    found = [(pick, some) for pick, values in groups.items() if (some := spread_of(values))]
    return [{"pick": pick, **_spread_answer(some, _places(some, quantity, unit), unit)} for pick, some in found]


def characteristics(shop: Shop) -> list[Answer]:
    """What can be looked at over the engines: every characteristic that holds somewhere, with how many engines and values it has."""
    rows: dict[str, Answer] = {}
    for engine in shop.engines():
        build = shop.build(engine)
        for f in shop.checked(build) if build.layout else ():
            if _holds(f):
                row = rows.setdefault(f.characteristic.name, {"characteristic": f.characteristic.name, "words": f.characteristic.words,
                                                              "section": f.characteristic.section, "engines": set(), "values": 0})
                row["engines"].add(engine)
                row["values"] += 1
    return sorted(({**row, "engines": len(row["engines"])} for row in rows.values()), key=lambda r: (r["section"], r["words"]))


def _value(build: Build, finding: Finding, unit: str) -> Answer:
    quantity = finding.characteristic.quantity
    assert finding.estimate is not None  # noqa: S101 - the caller has looked
    marks = {r.mark.entry: r.mark for rows in build.readings.values() for r in rows}
    at = max((marks[e].at for e in finding.entries if e in marks), default=build.opened.at if build.opened else "")
    estimate, place = finding.estimate, station_map(build.layout).get(finding.station) if build.layout else None
    interval = coverage_factor(finding.freedom) * estimate.u
    return {"engine": build.stream, "name": build.name, "customer": build.customer, "use": build.use, "station": finding.station,
            "station_words": place.words if place else finding.station, "at": at,
            "value": from_si(estimate.value, quantity, unit), "u": from_si(estimate.u, quantity, unit, difference=True),
            "interval": from_si(interval, quantity, unit, difference=True), "text": write(estimate.value, quantity, unit=unit),
            "verdict": str(finding.verdict), "pick": _pick(build, finding)}


def _pick(build: Build, finding: Finding) -> str:
    """What was chosen for this place and characteristic, by the latest accepted answer; of two halves both."""
    for _, body in reversed(build.choices):
        picks = [p.pick for p in body.picks if p.characteristic == finding.characteristic.name
                 and (p.station == finding.station or p.station.startswith(finding.station + "."))]
        if picks:
            return " and ".join(dict.fromkeys(picks))
    return ""


def wear(shop: Shop, engine: str, *, units: str = "") -> Answer:
    """First readings beside the newest: every place that was read again since the engine came back, or read twice at all.

    Returns:
        ``rows``: station, feature, place, first and last (text, day, person), and by how much it changed, in ``unit``; readings
        of parts that were replaced since are marked ``other_part``.
    """
    build = shop.build(engine)
    back = max((mark.position for mark, body in build.work if isinstance(body, EngineReturned)), default=0)
    rows: list[Answer] = []
    for (station, name), readings in build.readings.items():
        by_place: dict[str, list[Reading]] = {}
        for reading in readings:
            by_place.setdefault(reading.place, []).append(reading)
        for place, same in by_place.items():
            before = [r for r in same if not back or r.mark.position < back]
            after = [r for r in same if r.mark.position > back] if back else same[1:]
            if before and after:
                rows.append(_worn(build, station, name, place, before[0], after[-1], units))
    return {"engine": engine, "name": build.name, "back": back > 0, "rows": rows}


def _worn(build: Build, station: str, name: str, place: str, first: Reading, last: Reading, units: str) -> Answer:
    quantity = first.feature.quantity
    unit = unit_for(quantity, system_of(build, units), fine=name.startswith("hone-"))
    change = from_si(last.value - first.value, quantity, unit, difference=True)
    where = station_map(build.layout).get(station) if build.layout else None
    return {"station": station, "station_words": where.words if where else station, "feature": name, "words": first.feature.words,
            "place": place, "unit": unit, "first": _read(first, unit), "last": _read(last, unit), "change": change,
            "change_text": f"{change:+.{unit_of(quantity, unit).places}f} {unit}".rstrip().replace("-", "−"),
            "other_part": bool(build.stale_because(first))}


def _read(reading: Reading, unit: str) -> Answer:
    quantity = reading.feature.quantity
    return {"value": from_si(reading.value, quantity, unit), "written": write(reading.value, quantity, unit=unit),
            "text": reading.typed.text, "at": reading.mark.at,
            "person": reading.mark.person, "entry": reading.mark.entry}


# -- finding engines ---------------------------------------------------------------------------------------------------

def find(shop: Shop, *, part: str = "", customer: str = "", problem: str = "", size: str = "", feature: str = "", text: str = "",
         ) -> list[Answer]:
    """Engines that everything given is true of, each with where it was found.

    Args:
        shop: the shop.
        part: words in the name, kind, maker, number, serial, size or words of one of its parts.
        customer: words in the customer's name.
        problem: words in one of its problems.
        size: a size, or two with ``to`` between: a reading or a stated size of ``feature`` that agrees with it to its last
            place, or lies between them.
        feature: which feature the size is of.
        text: words anywhere: name, purpose, notes, words at stations.

    Raises:
        BadInput: when nothing is asked, or a size without its feature.
    """
    asked = {"part": part, "customer": customer, "problem": problem, "size": size, "text": text}
    if not any(asked.values()):
        raise BadInput("find: give a part, a customer, a problem, a size with its feature, or words")
    if bool(size) != bool(feature):
        raise BadInput("size: give the feature that it is of as well, such as bore")
    rows: list[Answer] = []
    for engine in shop.engines():
        build = shop.build(engine)
        where = {
            "part": lambda b=build: _in_parts(b, part), "customer": lambda b=build: [b.customer] if _has(b.customer, customer) else [],
            "problem": lambda b=build: _in_problems(b, problem), "size": lambda b=build: _in_sizes(b, feature, size),
            "text": lambda b=build: _in_words(b, text)}
        hits = {name: where[name]() for name, wanted in asked.items() if wanted}
        if all(hits.values()):
            rows.append({"engine": engine, "name": build.name, "customer": build.customer, "purpose": build.purpose,
                         "opened": build.opened.at if build.opened else "", "found": hits})
    return rows


def _has(text: str, wanted: str) -> bool:
    return all(word in text.lower() for word in wanted.lower().split())


def _in_parts(build: Build, wanted: str) -> list[str]:
    cards = [part.card for part in build.parts.values()]
    return [f"{c.part}: {c.words or c.kind}" for c in cards
            if _has(f"{c.part} {c.kind} {c.words} {c.maker} {c.number} {c.serial} {c.size} {c.material} {c.supplier}", wanted)]


def _in_problems(build: Build, wanted: str) -> list[str]:
    return [f"{b.problem} at {b.station}" for _, b in build.work if isinstance(b, ProblemFound) and _has(f"{b.problem} {b.text}", wanted)]


def _in_words(build: Build, wanted: str) -> list[str]:
    own = [build.name, build.purpose, build.notes, build.fuel, build.layout.text if build.layout else ""]
    noted = [text for rows in build.notes_at.values() for _, text in rows]
    return [text for text in (*own, *noted) if text and _has(text, wanted)]


def _in_sizes(build: Build, feature: str, size: str) -> list[str]:
    """Places where a reading or a stated size of the feature agrees with the size, or lies between two."""
    rows = [(r.station, r.feature, r.value, r.typed.text) for (_, name), some in build.readings.items() if name == feature for r in some]
    rows += [(s.station, s.feature, s.value, s.typed.text) for s in build.sizes if s.feature.name == feature]
    rows += [(f"part.{name}", s.feature, s.value, s.typed.text) for name, part in build.parts.items() for key, s in part.sizes.items()
             if key == feature]
    found: list[str] = []
    for station, known, value, text in rows:
        unit = unit_for(known.quantity, "metric" if build.units == "metric" else "inch")
        ends = [parse(one, known.quantity, default_unit=unit, field="size") for one in size.split(" to ")]
        half = ends[0].step_si / 2 if len(ends) == 1 else 0.0
        if ends[0].si - half - 1e-12 <= value <= ends[-1].si + half + 1e-12:
            found.append(f"{station}: {text}")
    return list(dict.fromkeys(found))
