"""Risks over a run of engines: how often a bad place would pass and a good one be refused, and what a guard band changes."""

from collections import defaultdict
from dataclasses import dataclass
from math import isfinite, sqrt
from statistics import fmean, median

from tenths.engine.quantity import Quantity, from_si, parse, unit_for, write
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.decision import rule_for, rule_of
from tenths.findings.declare import Characteristic
from tenths.findings.finding import Finding
from tenths.metrology.decide import DecisionRule, acceptance_range, guard_band, iso_14253_1, simple_acceptance
from tenths.metrology.risk import global_risk
from tenths.services.questions import Answer, System, system_of
from tenths.services.shop import SHOP, Shop

FEWEST = 5  # places that must have been read before the shop's own history says how a size spreads
MOST_RUN = 1_000_000
WORDS = {"house": "as the house judges", "simple": "limits as they stand", "guard": "drawn in by one standard uncertainty",
         "iso": "ISO 14253-1:2017"}


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about a run, numbers as typed; what is left empty is taken from the engine and the shop's history.

    Attributes:
        characteristic: what is judged.
        engine: whose limits, uncertainty and house rules hold; empty where all are typed.
        run: how many engines.
        places: places on each engine; 0 for as many as the engine has.
        mean: middle of what is made.
        deviation: its standard deviation.
        uncertainty: standard uncertainty of one measurement.
        lower: limit.
        upper: limit.
        units: inch or metric; the engine's own when empty.
    """

    characteristic: str
    engine: str = ""
    run: int = 1
    places: int = 0
    mean: str = ""
    deviation: str = ""
    uncertainty: str = ""
    lower: str = ""
    upper: str = ""
    units: str = ""


@dataclass(frozen=True, slots=True)
class History:
    """How a size has come out in this shop [SI].

    Attributes:
        mean: of this engine's places, or of all.
        spread: standard deviation between places of one engine as read, pooled over engines.
        deviation: the same without the scatter of the readings.
        count: places.
        engines: engines.
    """

    mean: float
    spread: float
    deviation: float
    count: int
    engines: int


def risk_answer(shop: Shop, asked: Asked) -> Answer:
    """Risks over a run of engines for a characteristic with limits.

    Returns:
        What was taken for each number and where from, and for each rule the risks of one place and over the run.

    Raises:
        BadInput: naming what is not known and how to say it.
    """
    characteristic = catalogue().get(asked.characteristic)
    if characteristic is None:
        raise BadInput(f"characteristic: {asked.characteristic!r} is not known; there are {', '.join(sorted(catalogue()))}")
    if not 1 <= asked.run <= MOST_RUN or not 0 <= asked.places <= 1000:
        raise BadInput(f"run: {asked.run} engines of {asked.places} places are not taken; 1 to {MOST_RUN:,}, and up to 1000")
    here = _findings(shop, asked.engine, characteristic) if asked.engine else []
    system = system_of(shop.build(asked.engine), asked.units) if asked.engine else "metric" if asked.units == "metric" else "inch"
    shown = _Shown(characteristic.quantity, unit_for(characteristic.quantity, system, fine=characteristic.fine), system)
    known = _known(shop, asked, characteristic, here, shown)
    count = asked.run * (asked.places or _places(shop, asked.engine, characteristic))
    rules = _rules(shop, asked.engine, characteristic)
    rows = [row for name, rule in rules if (row := _row(name, rule, known, count, shown))]
    house = next((row for row in rows if row["rule"] == "house"), rows[0])
    return {
        "characteristic": characteristic.name, "words": characteristic.words, "engine": asked.engine, "run": asked.run,
        "count": count, "unit": shown.unit, **known.told(shown), "rules": rows, "statement": _said(house, asked.run, count),
    }


@dataclass(frozen=True, slots=True)
class _Shown:
    quantity: Quantity
    unit: str
    system: System

    def number(self, text: str, field: str, *, above: bool = False, difference: bool = False) -> float | None:
        """A number as typed [SI]; None for none."""
        if not text.strip():
            return None
        value = parse(text, self.quantity, default_unit=self.unit, field=field).si
        if difference and self.quantity is Quantity.TEMPERATURE:
            raise BadInput(f"{field}: a temperature takes none")
        if above and not value > 0:
            raise BadInput(f"{field}: {text!r} is not taken; it is above 0")
        return value

    def value(self, si: float | None, *, difference: bool = False) -> float | None:
        return None if si is None else from_si(si, self.quantity, self.unit, difference=difference)

    def text(self, si: float | None, u: float | None = None) -> str:
        return "" if si is None else write(si, self.quantity, unit=self.unit, uncertainty=u)


@dataclass(frozen=True, slots=True)
class _Known:
    """The numbers that the risks are worked out from [SI], each with where it comes from."""

    mean: float
    deviation: float
    u: float
    lower: float | None
    upper: float | None
    history: History | None
    sources: dict[str, str]

    def told(self, shown: _Shown) -> Answer:
        spread = self.history
        return {
            "mean": shown.value(self.mean), "deviation": shown.value(self.deviation, difference=True),
            "uncertainty": shown.value(self.u, difference=True), "lower": shown.value(self.lower), "upper": shown.value(self.upper),
            "text": {"mean": shown.text(self.mean, self.deviation), "deviation": shown.text(self.deviation, self.deviation),
                     "uncertainty": shown.text(self.u, self.u), "lower": shown.text(self.lower), "upper": shown.text(self.upper)},
            "sources": self.sources,
            "history": None if spread is None else {
                "mean": shown.value(spread.mean), "spread": shown.value(spread.spread, difference=True),
                "deviation": shown.value(spread.deviation, difference=True), "count": spread.count, "engines": spread.engines}}


def _findings(shop: Shop, engine: str, characteristic: Characteristic) -> list[Finding]:
    return [f for f in shop.checked(shop.build(engine)) if f.characteristic.name == characteristic.name]


def judged() -> list[tuple[str, str]]:
    """Characteristics that limits can be stated for, with their words, in the order of the words."""
    return sorted(((c.name, c.words) for c in catalogue().values() if not c.limits_of), key=lambda row: row[1])


def history_of(shop: Shop, characteristic: Characteristic, engine: str = "") -> History | None:
    """How the characteristic has come out in this shop's engines; None while too few places were read."""
    by_engine: dict[str, list[Finding]] = defaultdict(list)
    for name in shop.engines():
        by_engine[name] = [f for f in _findings(shop, name, characteristic) if f.value is not None and not f.stale]
    groups = {name: rows for name, rows in by_engine.items() if len(rows) > 1}
    freedom = sum(len(rows) - 1 for rows in groups.values())
    if freedom + len(groups) < FEWEST:
        return None
    values = {name: [f.value for f in rows if f.value is not None] for name, rows in groups.items()}
    squares = sum((v - fmean(row)) ** 2 for row in values.values() for v in row)
    read = fmean(f.standard_uncertainty**2 for rows in groups.values() for f in rows if f.standard_uncertainty is not None)
    spread = sqrt(squares / freedom)
    middle = fmean(values[engine]) if engine in values else fmean(v for row in values.values() for v in row)
    # what is left below a third of what was read cannot be told from none
    left = sqrt(max(spread**2 - read, (spread / 3) ** 2))
    return History(middle, spread, left, sum(map(len, values.values())), len(groups))


def _known(shop: Shop, asked: Asked, characteristic: Characteristic, here: list[Finding], shown: _Shown) -> _Known:
    typed = {"mean": shown.number(asked.mean, "mean"), "lower": shown.number(asked.lower, "lower"),
             "upper": shown.number(asked.upper, "upper"),
             "deviation": shown.number(asked.deviation, "deviation", above=True, difference=True),
             "uncertainty": shown.number(asked.uncertainty, "uncertainty", above=True, difference=True)}
    sources = {name: "typed" for name, value in typed.items() if value is not None}
    history = history_of(shop, characteristic, asked.engine)
    of_history = f"{history.count} places of {history.engines} engine{'s' if history.engines > 1 else ''} in this shop" if history else ""
    for name in ("mean", "deviation"):
        if typed[name] is None and history is not None:
            typed[name], sources[name] = getattr(history, name), of_history
    limited = next((f.limits for f in here if f.limits.given), None)
    if typed["lower"] is None and typed["upper"] is None and limited is not None:
        typed["lower"], typed["upper"] = limited.lower, limited.upper
        sources |= dict.fromkeys(("lower", "upper"), limited.source or limited.authority)
    doubts = [f.standard_uncertainty for f in here if f.standard_uncertainty]
    if typed["uncertainty"] is None and doubts:
        typed["uncertainty"], sources["uncertainty"] = median(doubts), f"middle of {len(doubts)} findings of {asked.engine}"
    return _checked(typed, sources, history, shown)


def _checked(typed: dict[str, float | None], sources: dict[str, str], history: History | None, shown: _Shown) -> _Known:
    how = {"mean": "too few places were read in this shop; give the mean", "deviation": "too few places were read in this shop; give the "
           "standard deviation of what is made", "uncertainty": "nothing was read with a known doubt; give it"}
    for name, words in how.items():
        if typed[name] is None:
            raise BadInput(f"{name}: {words}, like {shown.text(2.5e-5 if name != 'mean' else 5e-5)}")
    lower, upper = typed["lower"], typed["upper"]
    if lower is None and upper is None:
        raise BadInput("limits: none are known; give lower, upper or both, or name an engine that has them")
    if lower is not None and upper is not None and not lower < upper:
        raise BadInput(f"limits: {shown.text(lower)} to {shown.text(upper)}: the lower must lie below the upper")
    mean, deviation, u = (typed[name] or 0.0 for name in ("mean", "deviation", "uncertainty"))
    return _Known(mean, deviation, u, lower, upper, history, sources)


def _places(shop: Shop, engine: str, characteristic: Characteristic) -> int:
    layout = shop.build(engine).layout if engine else None
    return sum(s.kind in characteristic.kinds for s in stations(layout)) if layout else 1


def _rules(shop: Shop, engine: str, characteristic: Characteristic) -> list[tuple[str, DecisionRule]]:
    house = rule_for(rule_of(shop.build(engine or SHOP).house), characteristic.quantity)
    return [("house", house), ("simple", simple_acceptance()), ("guard", guard_band(1.0)), ("iso", iso_14253_1("2017"))]


def _row(name: str, rule: DecisionRule, known: _Known, count: int, shown: _Shown) -> Answer | None:
    """The risks by one rule; None where it leaves nothing between the limits."""
    try:
        gate = acceptance_range(known.u, known.lower, known.upper, rule=rule)
    except BadInput:
        return None
    found = global_risk(process_mean=known.mean, process_deviation=known.deviation, u=known.u, lower=known.lower, upper=known.upper,
                        accept=gate)
    passing, at_least_one = found.over_run(count)
    return {"rule": name, "words": WORDS[name], "start": shown.value(gate[0]), "end": shown.value(gate[1]),
            "start_text": shown.text(gate[0], known.u), "end_text": shown.text(gate[1], known.u),
            "customer": found.customer, "builder": found.builder, "passes": found.passes, "bad": found.bad,
            "expected_bad_passed": passing, "at_least_one": at_least_one, "expected_good_refused": count * found.builder}


def share(value: float) -> str:
    """A probability as a person reads it."""
    if not isfinite(value) or value >= 0.01:
        return f"{100 * value:.1f} %"
    return f"{100 * value:.2f} %" if value >= 1e-3 else f"{1e6 * value:.0f} in a million" if value >= 5e-7 else "under one in a million"


def amount(count: float) -> str:
    """An expected number as a person reads it."""
    return f"{count:,.0f}" if count >= 10 else f"{count:.1f}" if count >= 1 else f"{count:.2g}" if count >= 1e-4 else "0"


def _said(row: Answer, run: int, count: int) -> list[str]:
    engines = f"{run} engines" if run != 1 else "one engine"
    passing, refused = amount(row["expected_bad_passed"]), amount(row["expected_good_refused"])
    return [
        (f"Of {count} places on {engines}, about {passing} bad ones would pass and {refused} good ones be refused or looked at again, "
         f"{row['words']}."),
        f"That at least one bad one passes somewhere in the run: {share(row['at_least_one'])}.",
        f"Before anything is measured {share(row['bad'])} of the places are bad; of those that are measured, {share(row['passes'])} pass.",
    ]
