"""What a study of a gauge found: numbers in the study's own unit, the statement in words, what would go into the record."""

from dataclasses import asdict, dataclass
from math import hypot, isfinite, sqrt
from typing import Any

import msgspec

from tenths.engine.quantity import Quantity, from_si, write
from tenths.errors import BadInput, Refused
from tenths.logbook import bodies
from tenths.logbook.studies import Study
from tenths.metrology import studies as metrology
from tenths.metrology.coverage import coverage_factor
from tenths.services import study_words
from tenths.services.questions import instrument_answer
from tenths.services.shop import SHOP, Shop
from tenths.services.studies import Answer, next_occasion, study_named, turns

MASTERS = ("bias", "linearity")
SPREAD_UNITS = {"in": "tenths", "tenths": "tenths", "thou": "tenths", "mm": "µm", "µm": "µm"}


@dataclass(frozen=True, slots=True)
class Scale:
    """The units that a study is shown in: one for sizes, a finer one for what is small beside them."""

    quantity: Quantity
    unit: str
    fine: str

    def size(self, si: float | None) -> float | None:
        """A size in the unit of sizes."""
        return None if si is None else from_si(si, self.quantity, self.unit)

    def small(self, si: float | None) -> float | None:
        """A difference in the fine unit."""
        return None if si is None else from_si(si, self.quantity, self.fine, difference=True)

    def small_text(self, si: float) -> str:
        """A difference as a person reads it, three figures at most."""
        amount = abs(self.small(si) or 0.0)
        decimals = 0 if amount >= 100 else 1 if amount >= 10 else 2
        if self.fine == self.unit and amount and amount < 1:
            decimals = min(6, 2 + max(0, -int(f"{amount:e}".partition("e")[2])))
        return write(si, self.quantity, unit=self.fine, decimals=decimals)

    def size_text(self, si: float) -> str:
        """A size as a person reads it."""
        return write(si, self.quantity, unit=self.unit)


def scale_of(study: Study, units: str = "") -> Scale:
    """The units that a study is shown in: as asked, else its own."""
    unit = study.unit if study.unit not in {"tenths", "thou"} else "in"
    if study.quantity is Quantity.LENGTH and units:
        unit = "mm" if units == "metric" else "in"
    if study.quantity is Quantity.LENGTH and unit == "µm":
        unit = "mm"
    fine = SPREAD_UNITS.get(unit, unit) if study.quantity is Quantity.LENGTH else unit
    return Scale(study.quantity, unit, fine)


def studies(shop: Shop) -> list[Answer]:
    """All studies of the shop in a line each, the latest first."""
    house = shop.build(SHOP)
    return [study_line(shop, study) for study in reversed(house.studies.values())]


def study_line(shop: Shop, study: Study) -> Answer:
    """A study in a line: gauge, kind, how far, whether its result stands in the gauge's record."""
    house, card = shop.build(SHOP), study.card
    taken = house.studied.get((card.instrument, "bias" if card.kind in MASTERS else "repeatability"))
    listed = house.instruments.get(card.instrument)
    occasions = max(next_occasion(study), 1) if card.kind == "stability" else 1
    return {
        "study": card.study, "kind": card.kind, "kind_words": study_words.KINDS[card.kind], "instrument": card.instrument,
        "instrument_name": (listed[1].name if listed else "") or card.instrument, "what": card.what,
        "parts": list(card.parts), "people": list(card.people), "trials": card.trials, "unit": study.unit,
        "quantity": card.quantity, "note": card.note, "at": study.mark.at, "person": study.mark.person,
        "entry": study.mark.entry, "read": len(study.latest()),
        "wanted": len(card.parts) * len(card.people) * card.trials * occasions,
        "left": {person: len(turns(study, person)) for person in card.people},
        "accepted": taken_answer(house, card.instrument, taken.body.kind) if taken and taken.body.study == card.study else None,
    }


def taken_answer(house: Any, instrument: str, kind: str) -> Answer:
    """What stands in a gauge's record from a study, and who took it there."""
    taken = house.studied[instrument, "bias" if kind in MASTERS else "repeatability"]
    body = taken.body
    return {"study": body.study, "kind": body.kind, "day": body.day, "at": taken.mark.at, "person": taken.mark.person,
            "entry": taken.mark.entry, "repeatability": body.repeatability, "reproducibility": body.reproducibility,
            "repeatability_freedom": body.repeatability_freedom, "reproducibility_freedom": body.reproducibility_freedom,
            "points": [{"size": p.size, "error": p.error, "uncertainty": p.uncertainty, "freedom": p.freedom} for p in body.points],
            "words": body.words}


def study_answer(shop: Shop, name: str, units: str = "") -> Answer:
    """A study with its readings, what it found, the statement, and the body of the entry that would take it over."""
    study = study_named(shop, name)
    scale, house = scale_of(study, units), shop.build(SHOP)
    found, why = _found(study)
    offer = _offer(study, found, scale)
    result = _told(found, scale)
    listed = study.card.instrument in house.instruments
    return {
        **study_line(shop, study), "size_unit": scale.unit, "fine_unit": scale.fine,
        "sizes": [scale.size_text(size) for size in study.sizes],
        "tolerance": scale.size_text(study.tolerance) if study.tolerance else "",
        "setting": scale.size_text(study.setting) if study.setting is not None else "",
        "readings": _readings(study, scale), "again": len(study.readings) - len(study.latest()),
        "why": why, "result": result, "statement": study_words.statement(study, found, scale) if found else [],
        "gauge": instrument_answer(house, study.card.instrument) if listed else None,
        "offer": None if offer is None else msgspec.to_builtins(offer),
    }


def _readings(study: Study, scale: Scale) -> list[Answer]:
    counting = {r.mark.entry for r in study.latest().values()}
    return [{"entry": r.mark.entry, "at": r.mark.at, "person": r.mark.person, "reader": r.reader, "part": r.part,
             "trial": r.trial, "occasion": r.occasion, "text": r.typed.text, "value": scale.size(r.value),
             "written": write(r.value, scale.quantity, unit=scale.unit), "counts": r.mark.entry in counting}
            for r in study.readings]


# -- what was found ----------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class AtMaster:
    """The bias at one master: part, size, standard uncertainty of the size, what the readings say."""

    part: str
    size: float
    u_size: float
    amount: float
    u: float
    freedom: float
    repeatability: float
    low: float
    high: float
    chance: float | None
    readings: tuple[float, ...]

    @property
    def shown(self) -> bool:
        """Whether the readings show a bias."""
        return not self.low <= 0.0 <= self.high

    @property
    def total(self) -> float:
        """Standard uncertainty of the bias, the master's own included."""
        return hypot(self.u, self.u_size)

    @property
    def total_freedom(self) -> float:
        """Of that uncertainty: the master's own doubt stands beside a scatter that few readings tell."""
        return self.freedom * (self.total / self.u) ** 4 if self.u else float("inf")

    @property
    def reach(self) -> float:
        """Half-width of the 95 % interval, the master's own doubt included."""
        return coverage_factor(max(1.0, self.total_freedom)) * self.total


@dataclass(frozen=True, slots=True)
class Found:
    """What a study found [SI]; what its kind does not tell is None or empty."""

    kind: str
    variance: metrology.GaugeStudy | None = None
    ranges: metrology.GaugeStudy | None = None
    table: tuple[tuple[tuple[float, ...], ...], ...] = ()  # by part, person, trial
    alone: bool = False  # one person: no reproducibility
    masters: tuple[AtMaster, ...] = ()
    line: metrology.Linearity | None = None
    chart: metrology.Chart | None = None
    dates: tuple[str, ...] = ()
    tolerance: float | None = None


def _found(study: Study) -> tuple[Found | None, str]:
    """What the readings so far say, or why they say nothing yet."""
    try:
        if study.card.kind == "repeatability":
            return _repeatability(study), ""
        return (_stability(study) if study.card.kind == "stability" else _masters(study)), ""
    except BadInput as error:
        return None, str(error)


def _repeatability(study: Study) -> Found:
    card, done = study.card, study.latest()
    left = len(card.parts) * len(card.people) * card.trials - len(done)
    if left:
        raise BadInput(f"{left} of {left + len(done)} readings are still to be taken")
    table = tuple(tuple(tuple(done[0, part, person, trial].value for trial in range(1, card.trials + 1))
                        for person in card.people) for part in card.parts)
    # Sizes differ by millionths: what is common is taken out, or the squares lose their figures.
    base = table[0][0][0]
    small = [[[x - base for x in cell] for cell in part] for part in table]
    if len(card.people) == 1:
        return Found(card.kind, _one_person([part[0] for part in small]), table=table, alone=True, tolerance=study.tolerance)
    try:
        ranges = metrology.average_and_range(small)
    except BadInput:  # more parts, people or trials than the tables are printed for
        ranges = None
    return Found(card.kind, metrology.analysis_of_variance(small), ranges, table, tolerance=study.tolerance)


def _one_person(parts: list[list[float]]) -> metrology.GaugeStudy:
    between, within = metrology.one_way(parts)
    spread = max(between.mean_square - within.mean_square, 0.0) / len(parts[0])
    return metrology.GaugeStudy(sqrt(within.mean_square), 0.0, sqrt(spread), within.freedom, (between, within))


def _masters(study: Study) -> Found:
    done = study.latest()
    found: list[AtMaster] = []
    for part, size, u_size in zip(study.card.parts, study.sizes, study.doubts, strict=True):
        rows = [r for (_, where, _, _), r in done.items() if where == part]
        if len(rows) < 2:
            raise BadInput(f"{part}: read {len(rows)} times so far; a bias takes at least two readings")
        found.append(_at_master(part, size, u_size, [r.value for r in rows], max(r.typed.step_si for r in rows)))
    sizes = [m.size for m in found]
    line = metrology.linearity(sizes, [m.readings for m in found]) if len(set(sizes)) > 1 and sum(
        len(m.readings) for m in found) > 2 else None
    return Found(study.card.kind, masters=tuple(found), line=line, tolerance=study.tolerance)


def _at_master(part: str, size: float, u_size: float, values: list[float], step: float) -> AtMaster:
    away = [value - size for value in values]
    try:
        bias = metrology.bias(away, master=0.0)
    except BadInput:  # all alike: the last figure is all that is known of the scatter
        u = step / sqrt(12)
        return AtMaster(part, size, u_size, away[0], u, float("inf"), u, away[0] - sqrt(3) * u, away[0] + sqrt(3) * u, None,
                        tuple(values))
    return AtMaster(part, size, u_size, bias.amount, bias.u, bias.spread.freedom, bias.spread.deviation, bias.low, bias.high,
                    bias.chance, tuple(values))


def _stability(study: Study) -> Found:
    groups: dict[int, list[Any]] = {}
    for (occasion, *_), reading in study.latest().items():
        groups.setdefault(occasion, []).append(reading)
    each = len(study.card.people) * study.card.trials
    whole = [rows for _, rows in sorted(groups.items()) if len(rows) == each]
    if len(whole) < 2:
        raise BadInput(f"{len(whole)} occasions of {each} readings are complete; a chart begins with two")
    base = study.sizes[0] if study.sizes else whole[0][0].value
    chart = metrology.stability([[r.value - base for r in rows] for rows in whole])
    return Found(study.card.kind, chart=chart, dates=tuple(rows[0].mark.at[:10] for rows in whole),
                 table=((tuple(base for _ in whole),),), tolerance=study.tolerance)


# -- as JSON -----------------------------------------------------------------------------------------------------------

def _told(found: Found | None, scale: Scale) -> Answer | None:
    if found is None:
        return None
    empty: Answer = {"methods": [], "masters": [], "line": None, "chart": None, "averages": [], "limits": None}
    if found.chart is not None:
        return empty | {"chart": _chart(found, scale)}
    if found.masters:
        return empty | {"masters": [_master(m, scale) for m in found.masters], "line": _line(found.line, scale)}
    methods = [("analysis of variance", found.variance), ("average and range", found.ranges)]
    return empty | {"methods": [_method(name, study, found, scale) for name, study in methods if study is not None],
                    "averages": _averages(found, scale), "limits": _limits(found, scale)}


def finite(value: float) -> float | None:
    """The number, or None for an infinite one, which JSON cannot say."""
    return value if isfinite(value) else None


def _method(name: str, study: metrology.GaugeStudy, found: Found, scale: Scale) -> Answer:
    total = study.total or 1.0
    rows = [("repeatability", study.repeatability), ("reproducibility", study.reproducibility), ("gauge", study.gauge),
            ("part", study.part), ("total", study.total)]
    if found.alone:
        rows = [row for row in rows if row[0] != "reproducibility"]
    freedoms = {"repeatability": study.repeatability_freedom, "reproducibility": study.reproducibility_freedom}
    return {
        "method": name, "unit": scale.fine, "pooled": study.pooled, "categories": study.categories,
        "of_tolerance": study.of_tolerance(found.tolerance) if found.tolerance else None,
        "rows": [{"what": what, "deviation": scale.small(sigma), "text": scale.small_text(sigma), "share": sigma / total,
                  "of_tolerance": 6 * sigma / found.tolerance if found.tolerance else None,
                  "freedom": finite(freedoms[what]) if what in freedoms else None} for what, sigma in rows],
        "table": [{"what": line.name, "squares": line.squares * (scale.small(1.0) or 0.0) ** 2, "freedom": line.freedom,
                   "mean_square": line.mean_square * (scale.small(1.0) or 0.0) ** 2, "ratio": line.ratio, "chance": line.chance}
                  for line in study.table],
    }


def _averages(found: Found, scale: Scale) -> list[list[Answer]]:
    """By person and part: mean and range, for the chart; means from the grand mean, in the fine unit."""
    cells = [x for part in found.table for cell in part for x in cell]
    middle = sum(cells) / len(cells)
    people = len(found.table[0])
    return [[{"mean": scale.small(sum(part[p]) / len(part[p]) - middle), "range": scale.small(max(part[p]) - min(part[p]))}
             for part in found.table] for p in range(people)]


def _limits(found: Found, scale: Scale) -> Answer | None:
    """Limits of the chart by person: how far averages lie from each other by scatter alone, and the ranges."""
    try:
        chart = metrology.stability([[x - cell[0] for x in cell] for part in found.table for cell in part])
    except BadInput:  # more trials than the factors are printed for
        return None
    return {"reach": scale.small((chart.high - chart.low) / 2), "range_centre": scale.small(chart.range_centre),
            "range_high": scale.small(chart.range_high)}


def _master(m: AtMaster, scale: Scale) -> Answer:
    return {"part": m.part, "size": scale.size(m.size), "size_text": scale.size_text(m.size), "unit": scale.fine,
            "bias": scale.small(m.amount), "bias_text": scale.small_text(m.amount), "standard_uncertainty": scale.small(m.total),
            "from_scatter": scale.small(m.u), "from_master": scale.small(m.u_size), "freedom": finite(m.total_freedom),
            "interval": scale.small(m.reach), "low": scale.small(m.low), "high": scale.small(m.high), "chance": m.chance, "shown": m.shown,
            "repeatability": scale.small(m.repeatability), "readings": [scale.small(x - m.size) for x in m.readings]}


def _line(line: metrology.Linearity | None, scale: Scale) -> Answer | None:
    if line is None:
        return None
    one = from_si(1.0, scale.quantity, scale.unit, difference=True)
    return {"intercept": scale.small(line.line.intercept.value), "slope": line.line.slope.value * (scale.small(1.0) or 0.0) / one,
            "slope_uncertainty": line.line.slope.u * (scale.small(1.0) or 0.0) / one, "explained": line.explained,
            "slope_chance": line.slope_chance, "level_chance": line.level_chance, "unit": scale.fine, "per": scale.unit}


def _chart(found: Found, scale: Scale) -> Answer:
    chart = found.chart
    assert chart is not None  # noqa: S101 - the caller has looked
    numbers = {key: value for key, value in asdict(chart).items() if key not in {"outside", "drifting"}}
    said = {key: [scale.small(x) for x in value] if isinstance(value, tuple) else scale.small(value)
            for key, value in numbers.items()}
    base = found.table[0][0][0]
    return said | {"unit": scale.fine, "start": scale.size(base), "from_text": scale.size_text(base), "dates": list(found.dates),
                   "outside": list(chart.outside), "drifting": list(chart.drifting)}


# -- what would go into the record -------------------------------------------------------------------------------------

def offer_of(study: Study) -> bodies.StudyAccepted | None:
    """The entry that takes a study into the record of its gauge; None when there is nothing to take yet."""
    return _offer(study, _found(study)[0], scale_of(study))


def look_accepted(shop: Shop, body: bodies.StudyAccepted) -> None:
    """Raises Refused when what somebody takes over is not what the study says now."""
    offer = offer_of(study_named(shop, body.study))
    if offer is None or offer != msgspec.structs.replace(body, words=""):
        raise Refused(f"study {body.study}: what was looked at is not what it says now; look again")


def _offer(study: Study, found: Found | None, scale: Scale) -> bodies.StudyAccepted | None:
    card = study.card
    if found is None or card.kind == "stability":
        return None
    day = max(r.mark.at for r in study.readings)[:10]

    def text(si: float) -> str:
        """Four figures, in the fine unit."""
        amount = abs(scale.small(si) or 0.0)
        power = int(f"{amount:e}".partition("e")[2]) if amount else 0
        return write(si, scale.quantity, unit=scale.fine, decimals=min(9, max(0, 3 - power)))

    if found.masters:
        points = tuple(bodies.StudyPoint(size=write(m.size, scale.quantity, unit=scale.unit, decimals=6), error=text(m.amount),
                                         uncertainty=text(m.total), freedom=finite(m.total_freedom)) for m in found.masters)
        return bodies.StudyAccepted(study=card.study, kind=card.kind, instrument=card.instrument, day=day,
                                    quantity=card.quantity, points=points)
    variance = found.variance
    assert variance is not None  # noqa: S101 - a spread study has one
    people = not found.alone
    return bodies.StudyAccepted(
        study=card.study, kind=card.kind, instrument=card.instrument, day=day, quantity=card.quantity,
        repeatability=text(variance.repeatability), repeatability_freedom=finite(variance.repeatability_freedom),
        reproducibility=text(variance.reproducibility) if people else "",
        reproducibility_freedom=finite(variance.reproducibility_freedom) if people else None)
