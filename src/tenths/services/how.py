"""How sure a finding is: its doubt by cause, what would help most, the rule that judges it, what it was read with."""

from difflib import get_close_matches
from math import isinf
from typing import Any

from tenths.engine.quantity import Quantity, from_si, unit_for, write
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.decision import edition_of, rule_for, rule_of
from tenths.findings.finding import Finding
from tenths.findings.helping import Help, readings_under, what_would_help
from tenths.findings.instruments import InstrumentBook
from tenths.logbook.build import Build
from tenths.metrology.coverage import coverage_factor, effective_freedom
from tenths.metrology.decide import DecisionRule, Verdict, acceptance_range, conformance, decide
from tenths.services.causes import Line, Wording
from tenths.services.questions import Answer, finding_answer, system_of
from tenths.services.shop import SHOP, Shop

TIMES = 3
SEED = 101


def how(shop: Shop, engine: str, station: str, characteristic: str, units: str = "") -> Answer:
    """How sure one finding is, and why.

    Args:
        shop: the shop.
        engine: which engine.
        station: address of the station.
        characteristic: name of what is judged there.
        units: inch or metric; the engine's own when left out.

    Raises:
        BadInput: when there is no such finding; names those that are near.
    """
    build = shop.build(engine)
    finding = found_at(shop, build, station, characteristic)
    answer = finding_answer(build, finding, units)
    return {"finding": answer, **sureness(shop, build, finding, units)}


def found_at(shop: Shop, build: Build, station: str, characteristic: str) -> Finding:
    """The finding of that name at that station."""
    rows = [f for f in shop.checked(build) if f.station == station]
    found = next((f for f in rows if f.characteristic.name == characteristic), None)
    if found is not None:
        return found
    if not rows:
        known = sorted({f.station for f in shop.checked(build)})
        raise BadInput(f"station: nothing is judged at {station!r}; near: {_near(station, known)}")
    names = [f.characteristic.name for f in rows]
    if characteristic not in catalogue():
        raise BadInput(f"characteristic: {characteristic!r} is not known; at {station} there are {', '.join(names)}")
    raise BadInput(f"characteristic: {characteristic!r} is not judged at {station}; there are {', '.join(names)}")


def _near(wanted: str, known: list[str]) -> str:
    return ", ".join(get_close_matches(wanted, known, 4, 0.3)) or "nothing like it"


def sureness(shop: Shop, build: Build, finding: Finding, units: str = "") -> Answer:
    """What `how` adds to a finding."""
    wording, unit = Wording(build), doubt_unit(build, finding, units)
    estimate, u = finding.estimate, finding.standard_uncertainty
    helps = what_would_help(build, finding, house=shop.build(SHOP), times=TIMES)
    return {
        "doubt_unit": unit, "u": _doubt(u, finding, unit), "u_text": doubt_text(u, finding, unit),
        "coverage": coverage_factor(finding.freedom) if u else None,
        "freedom": None if estimate is None or isinf(finding.freedom) else round(finding.freedom, 1),
        "budget": [line_answer(line, finding, unit) for line in wording.lines(finding)],
        "helps": [help_answer(build, wording, finding, row, unit) for row in helps],
        "method": method_answer(wording, finding, unit), "rule": rule_answer(build, finding, units),
        "warmth": warmth_answer(build, finding),
    }


# -- doubt in tenths or micrometres ------------------------------------------------------------------------------------

def doubt_unit(build: Build, finding: Finding, units: str = "") -> str:
    """The unit in which the doubt of a finding is said: tenths or micrometres of a length, else the finding's own."""
    quantity, system = finding.characteristic.quantity, system_of(build, units)
    if quantity is Quantity.LENGTH and not finding.characteristic.fine:
        return "tenths" if system == "inch" else "µm"
    return unit_for(quantity, system, fine=finding.characteristic.fine)


def _doubt(si: float | None, finding: Finding, unit: str) -> float | None:
    return None if si is None else from_si(si, finding.characteristic.quantity, unit, difference=True)


def doubt_text(si: float | None, finding: Finding, unit: str, figures: int = 2) -> str:
    """A doubt with as many figures as it is worth, and its unit."""
    number = _doubt(si, finding, unit)
    if number is None:
        return ""
    text = f"{float(f'{number:.{figures}g}'):f}".rstrip("0").rstrip(".") if number else "0"
    return f"{text} {'tenth' if (text, unit) == ('1', 'tenths') else unit}".strip()


def line_answer(line: Line, finding: Finding, unit: str) -> Answer:
    """A line of a budget as JSON."""
    return {"kind": line.kind, "words": line.words, "part": _doubt(line.part, finding, unit),
            "text": doubt_text(abs(line.part), finding, unit), "share": line.share, "count": line.count,
            "freedom": None if isinf(line.freedom) else round(line.freedom, 1), "shape": line.shape, "cancels": line.cancels}


# -- what would help ---------------------------------------------------------------------------------------------------

def help_answer(build: Build, wording: Wording, finding: Finding, row: Help, unit: str) -> Answer:
    """Something that could be done, what it gains, and what the same value would then be judged as."""
    then = row.estimate.u
    answer = {"kind": row.kind, "words": help_words(wording, row), "u": _doubt(then, finding, unit),
              "text": doubt_text(then, finding, unit), "gain": _doubt(row.gain, finding, unit),
              "gain_text": doubt_text(row.gain, finding, unit), "probability": None, "verdict": ""}
    limits, value = finding.limits, finding.value
    if limits.given and value is not None and not finding.stale:
        freedom = effective_freedom(row.estimate)
        rule = rule_for(rule_of(build.house), finding.characteristic.quantity)
        answer["probability"] = conformance(value, then, limits.lower, limits.upper, freedom=freedom)
        answer["verdict"] = str(decide(value, then, limits.lower, limits.upper, rule=rule, freedom=freedom))
    return answer


def help_words(wording: Wording, row: Help) -> str:
    """What could be done, as one would say it across the bench."""
    group = row.group
    what = wording.at(group.station, group.feature) if group else ""
    match row.kind:
        case "repeat":
            assert group is not None  # noqa: S101 - a repeat is always of readings
            places = f" at each of {len(group.readings)} places" if len(group.readings) > 1 else ""
            return f"read the {what} three times{places}"
        case "measure":
            return f"measure the {what}, instead of taking the sheet's word"
        case "set":
            return f"set {wording.name(row.subject)} from {wording.name(row.other)}"
        case "use":
            return f"read the {what} with {wording.name(row.other)}"
        case "read the temperature":
            return "read the temperature at the part, instead of taking it from the log"
        case _:
            return "wait until the parts are at 20 °C (68 °F)"


# -- how it was worked out and judged ----------------------------------------------------------------------------------

def method_answer(wording: Wording, finding: Finding, unit: str) -> Answer | None:
    """How the doubt was carried, why, and where trials were made what they said."""
    chosen = finding.method
    if chosen is None:
        return None
    name, reason = chosen
    for cause in finding.estimate.parts if finding.estimate else ():
        if cause in reason:
            kind, _, rest = cause.partition(":")
            reason = reason.replace(cause, wording.words(kind, rest) or cause)
    answer: dict[str, Any] = {"name": name, "reason": reason, "decided_by_trial": finding.by_trial, "low": "", "high": "",
                              "trials": 0}
    return answer | _by_trial(finding, unit) if name == "by trial" else answer


def _by_trial(finding: Finding, unit: str) -> Answer:
    import numpy as np  # noqa: PLC0415 - few findings need trials

    from tenths.metrology.montecarlo import monte_carlo  # noqa: PLC0415 - as above

    assert finding.estimate is not None  # noqa: S101 - it has a method
    found = monte_carlo(lambda x: x, finding.estimate, rng=np.random.default_rng(SEED), most=500_000)
    value = finding.estimate.value
    return {"low": doubt_text(value - found.low, finding, unit), "high": doubt_text(found.high - value, finding, unit),
            "trials": found.trials}


def rule_answer(build: Build, finding: Finding, units: str = "") -> Answer:
    """The rule that judges a finding, its edition, and between which values it would be accepted."""
    rule = rule_for(rule_of(build.house), finding.characteristic.quantity)
    answer: dict[str, Any] = {"name": rule.name, "edition": edition_of(build.house), "words": rule_words(rule, build),
                              "accept_from": "", "accept_to": "", "none": ""}
    u, limits, quantity = finding.standard_uncertainty, finding.limits, finding.characteristic.quantity
    if u is None or not limits.given:
        return answer
    unit = unit_for(quantity, system_of(build, units), fine=finding.characteristic.fine)
    try:
        low, high = acceptance_range(u, limits.lower, limits.upper, rule=rule, freedom=finding.freedom)
    except BadInput:
        answer["none"] = "with this doubt no value between the limits would be accepted"
        return answer
    for key, si in (("accept_from", low), ("accept_to", high)):
        answer[key] = "" if si is None else write(si, quantity, unit=unit, uncertainty=u or None)
    return answer


def rule_words(rule: DecisionRule, build: Build) -> str:
    """The rule in a sentence."""
    if rule.guard is None:
        return (f"It fits from a probability of {rule.accept:.0%} upward and is out from {rule.reject:.0%} downward; between "
                "them it is too close to call.").replace("%", " %")
    if not rule.guard and not rule.width:
        return "The value alone decides, whatever its doubt (simple acceptance)."
    band = f"{rule.guard:.3g} standard uncertainties" if rule.guard else ""
    width = ""
    if rule.width:
        unit = "tenths" if system_of(build) == "inch" else "µm"
        width = f"{from_si(rule.width, Quantity.LENGTH, unit):.3g} {unit}"
    said = " and ".join(filter(None, (band, width)))
    return f"It fits, or is out, only where it stands clear of the limit by {said}; nearer than that it is too close to call."


def warmth_answer(build: Build, finding: Finding) -> list[Answer]:
    """The temperatures that its readings were brought to 20 °C by, each once."""
    book = InstrumentBook(build)
    rows: dict[str, Answer] = {}
    for reading in readings_under(build, finding):
        found = book.warmth(reading)
        t = found.temperature
        if t is not None:
            row = rows.setdefault(f"{t.id}/{found.material}", {
                "words": t.id, "celsius": round(t.celsius, 2), "u": round(t.u, 2), "gauge": t.gauge, "material": found.material,
                "origin": found.origin, "readings": 0})
            row["readings"] += 1
    return list(rows.values())


def in_short(shop: Shop, engine: str, station: str, units: str = "") -> list[Answer]:
    """How sure the findings of a station are, in short: the largest causes, and what would help where it is too close to call."""
    build = shop.build(engine)
    wording = Wording(build)
    rows: list[Answer] = []
    for finding in shop.checked(build):
        if finding.station != station or not finding.standard_uncertainty:
            continue
        unit = doubt_unit(build, finding, units)
        lines = [line_answer(line, finding, unit) for line in wording.lines(finding) if not line.cancels]
        close = finding.verdict is Verdict.TOO_CLOSE
        helps = what_would_help(build, finding, house=shop.build(SHOP), times=TIMES)[:2] if close else ()
        rows.append({"characteristic": finding.characteristic.name, "words": finding.characteristic.words,
                     "verdict": str(finding.verdict), "u_text": doubt_text(finding.standard_uncertainty, finding, unit),
                     "lines": lines[:3], "more": max(0, len(lines) - 3),
                     "helps": [help_answer(build, wording, finding, row, unit) for row in helps]})
    return rows
