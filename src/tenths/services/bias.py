"""How the shop's predictions came out: what was accepted against what was read later, per kind of choice, over engines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum, sqrt

from tenths.engine.quantity import from_si, unit_for, unit_of, write
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.finding import Finding
from tenths.logbook import bodies
from tenths.logbook.build import Build, Mark
from tenths.metrology.coverage import coverage_factor
from tenths.metrology.decide import Verdict
from tenths.services.questions import Answer, System
from tenths.services.shop import Shop

HOLDS = (Verdict.FITS, Verdict.OUT, Verdict.TOO_CLOSE, Verdict.NO_LIMIT)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A prediction that was accepted, and what was read of it later, in SI.

    Attributes:
        engine: its short name.
        question: that was answered.
        characteristic: that was predicted.
        station: where.
        predicted: value.
        u: standard uncertainty of the prediction.
        read: value.
        read_u: standard uncertainty of the reading.
    """

    engine: str
    question: str
    characteristic: str
    station: str
    predicted: float
    u: float
    read: float
    read_u: float

    @property
    def off(self) -> float:
        """Read less predicted."""
        return self.read - self.predicted


def outcomes(shop: Shop, engines: Iterable[str] = ()) -> list[Outcome]:
    """Every accepted prediction that a later reading tells about, of these engines or of all.

    Where a choice was accepted more than once, the last one before the reading counts. A place where another half was
    fitted than the one accepted tells nothing.
    """
    found: list[Outcome] = []
    for engine in list(engines) or shop.engines():
        build = shop.build(engine)
        if build.choices:
            found += _of_engine(build, engine, shop.checked(build))
    return found


def _of_engine(build: Build, engine: str, findings: Sequence[Finding]) -> list[Outcome]:
    position = {r.mark.entry: r.mark.position for r in build.all_readings()}
    known = {(f.station, f.characteristic.name): f for f in findings if f.estimate is not None and f.verdict in HOLDS}
    latest: dict[tuple[str, str, str], Outcome] = {}
    for mark, body in build.choices:
        for pick in body.picks:
            finding = _finding(known, pick)
            if finding is None or not _read_since(finding, mark, position) or not _as_accepted(build, body, pick):
                continue
            outcome = _outcome(engine, body.question, pick, finding)
            if outcome is not None:
                latest[body.question, outcome.station, outcome.characteristic] = outcome
    return list(latest.values())


def _finding(known: dict[tuple[str, str], Finding], pick: bodies.Pick) -> Finding | None:
    place = ".".join(pick.station.split(".")[:2])
    return known.get((pick.station, pick.characteristic)) or known.get((place, pick.characteristic))


def _read_since(finding: Finding, mark: Mark, position: dict[str, int]) -> bool:
    return max((position.get(entry, 0) for entry in finding.entries), default=0) > mark.position


def _as_accepted(build: Build, body: bodies.ChoiceAccepted, pick: bodies.Pick) -> bool:
    """Whether the halves that were accepted for the place are those that are in, as far as they have names."""
    place = ".".join(pick.station.split(".")[:2])
    halves = [p for p in body.picks if p.station.startswith(f"{place}.shell.") and not p.box and p.pick in build.parts]
    return all(build.part_in(p.station) in {"", p.pick} for p in halves)


def _outcome(engine: str, question: str, pick: bodies.Pick, finding: Finding) -> Outcome | None:
    if pick.predicted is None or finding.estimate is None:
        return None
    try:
        unit = unit_of(finding.characteristic.quantity, pick.unit)
    except BadInput:  # written by a hand that named no unit of this quantity
        return None
    predicted = pick.predicted * float(unit.factor) + float(unit.offset) * float(unit.factor)
    return Outcome(engine, question, pick.characteristic, finding.station, predicted,
                   (pick.uncertainty or 0.0) * float(unit.factor), finding.estimate.value, finding.estimate.u)


@dataclass(frozen=True, slots=True)
class Bias:
    """How far readings lie from predictions on average, in SI.

    Attributes:
        question: kind of choice.
        characteristic: that was predicted.
        count: predictions that were read.
        engines: that they are from.
        mean: read less predicted.
        u: standard uncertainty of that.
        freedom: degrees of freedom of it.
        expected: root mean square of the doubt that the predictions and readings claimed.
        found: root mean square of read less predicted.
    """

    question: str
    characteristic: str
    count: int
    engines: int
    mean: float
    u: float
    freedom: float
    expected: float
    found: float

    @property
    def interval(self) -> float:
        """Half-width of the 95 % interval of the mean; infinite for a single one."""
        return coverage_factor(self.freedom) * self.u if self.freedom else float("inf")

    @property
    def shows(self) -> bool:
        """Whether zero lies outside the interval."""
        return abs(self.mean) > self.interval


def biases(found: Sequence[Outcome]) -> list[Bias]:
    """The bias of each kind of choice.

    Readings of one engine share what was done to it, so with several engines their means are what is averaged; of one
    engine alone its places are, and what it has in common is then not in the interval.

    Source: mean and standard error of the mean, closed form.
    """
    groups: dict[tuple[str, str], dict[str, list[Outcome]]] = {}
    for outcome in found:
        groups.setdefault((outcome.question, outcome.characteristic), {}).setdefault(outcome.engine, []).append(outcome)
    return [_bias(*key, list(by_engine.values())) for key, by_engine in groups.items()]


def _bias(question: str, characteristic: str, engines: Sequence[Sequence[Outcome]]) -> Bias:
    rows = [outcome for each in engines for outcome in each]
    values = [fsum(o.off for o in each) / len(each) for each in engines] if len(engines) > 1 else [o.off for o in rows]
    mean = fsum(values) / len(values)
    freedom = len(values) - 1
    u = sqrt(fsum((v - mean) ** 2 for v in values) / freedom / len(values)) if freedom else 0.0
    expected = sqrt(fsum(o.u**2 + o.read_u**2 for o in rows) / len(rows))
    return Bias(question, characteristic, len(rows), len(engines), mean, u, freedom, expected,
                sqrt(fsum(o.off**2 for o in rows) / len(rows)))


# -- as JSON ----------------------------------------------------------------------------------------------------------

def bias_rows(shop: Shop, units: System | str = "", engines: Iterable[str] = ()) -> list[Answer]:
    """The shop's bias per kind of choice, each with a sentence and the outcomes that it rests on."""
    system: System = "metric" if units == "metric" else "inch"
    found = outcomes(shop, engines)
    return [_row(b, [o for o in found if (o.question, o.characteristic) == (b.question, b.characteristic)], system)
            for b in biases(found)]


def _row(bias: Bias, found: Sequence[Outcome], system: System) -> Answer:
    quantity = catalogue()[bias.characteristic].quantity
    unit = unit_for(quantity, system)

    def number(si: float) -> float:
        return from_si(si, quantity, unit, difference=True)

    known = bias.freedom > 0
    return {"question": bias.question, "characteristic": bias.characteristic, "words": in_words(bias, system), "unit": unit,
            "count": bias.count, "engines": bias.engines, "mean": number(bias.mean),
            "interval": number(bias.interval) if known else None, "shows": bias.shows, "expected": number(bias.expected),
            "found": number(bias.found),
            "outcomes": [{"engine": o.engine, "station": o.station, "predicted": from_si(o.predicted, quantity, unit),
                          "read": from_si(o.read, quantity, unit), "off": number(o.off)} for o in found]}


def in_words(bias: Bias, system: System) -> str:
    """What the shop's predictions have been worth, in a sentence."""
    quantity = catalogue()[bias.characteristic].quantity
    unit = unit_for(quantity, system)

    def text(si: float) -> str:
        return write(si, quantity, unit=unit, uncertainty=bias.interval if bias.freedom else bias.expected or None)

    what = f"{bias.question.replace('-', ' ').capitalize()}: {catalogue()[bias.characteristic].words}"
    of = f"{bias.count} prediction{'s' if bias.count > 1 else ''} on {bias.engines} engine{'s' if bias.engines > 1 else ''}"
    if not bias.freedom:
        return f"{what}, {of}: read {text(abs(bias.mean))} {'above' if bias.mean > 0 else 'below'} what was predicted; one tells no bias."
    lead = f"{what}, {of}: read {text(abs(bias.mean))} {'above' if bias.mean > 0 else 'below'} what was predicted on average"
    if not bias.shows:
        return f"{lead}, ±{text(bias.interval)}: no bias shows."
    return f"{lead}, ±{text(bias.interval)}: that is a bias; look at how it is read, or at what is assumed of crush."
