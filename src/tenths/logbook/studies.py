"""Gauge studies as the log leaves them: what was begun, what was read, what a person took into a gauge's record."""

from dataclasses import dataclass, replace

from tenths.engine.quantity import Quantity, Typed, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.marks import Mark

KINDS = ("repeatability", "bias", "linearity", "stability")
WITH_MASTERS = frozenset({"bias", "linearity", "stability"})
QUANTITIES = {q.value: q for q in Quantity}
MOST_PARTS, MOST_PEOPLE, MOST_TRIALS = 30, 12, 50
CHART_TRIALS = 10  # sizes of subgroup that the chart's factors are printed for


@dataclass(frozen=True, slots=True)
class StudyReading:
    """One reading of a study; ``value`` with the setting that a deviation counts from [SI]."""

    mark: Mark
    part: str
    reader: str
    trial: int
    occasion: int
    typed: Typed
    value: float


@dataclass(frozen=True, slots=True)
class Study:
    """A study: its card, its numbers in SI, and its readings in the order of the log."""

    mark: Mark
    card: bodies.StudyBegun
    quantity: Quantity
    unit: str
    sizes: tuple[float, ...]
    doubts: tuple[float, ...]  # standard uncertainties of the sizes
    setting: float | None
    tolerance: float | None
    readings: tuple[StudyReading, ...] = ()

    def latest(self) -> dict[tuple[int, str, str, int], StudyReading]:
        """The reading that counts by occasion, part, reader and trial: the last where one was read again."""
        return {(r.occasion, r.part, r.reader, r.trial): r for r in self.readings}


@dataclass(frozen=True, slots=True)
class FoundAt:
    """What a study found at a master [SI]: size, error, standard uncertainty of the error, its degrees of freedom."""

    size: float
    error: float
    u: float
    freedom: float


@dataclass(frozen=True, slots=True)
class Accepted:
    """What a person took from a study into the record of a gauge [SI]; None where the study does not tell."""

    mark: Mark
    body: bodies.StudyAccepted
    repeatability: float | None
    reproducibility: float | None
    points: tuple[FoundAt, ...]


def study_of(mark: Mark, body: bodies.StudyBegun) -> Study:
    """The study that an entry begins; raises BadInput naming what is wrong with it."""
    quantity = quantity_named(body.quantity)
    unit = body.unit or unit_for(quantity, "inch")

    def number(text: str, field: str) -> float:
        return parse(text, quantity, default_unit=unit, field=field).si

    _look(body)
    sizes = tuple(number(text, f"size of {part}") for part, text in zip(body.parts, body.sizes, strict=False))
    doubts = tuple(abs(number(text, "uncertainty of a master")) / 2 if text else 0.0 for text in body.uncertainties)
    setting = number(body.setting, "setting") if body.setting else None
    tolerance = number(body.tolerance, "tolerance") if body.tolerance else None
    if tolerance is not None and tolerance <= 0:
        raise BadInput(f"tolerance: {body.tolerance!r} is not taken; it is a width above 0")
    if body.kind == "linearity" and len(set(sizes)) < 2:
        raise BadInput("sizes: linearity needs masters of two or more different sizes")
    return Study(mark, body, quantity, unit, sizes, doubts or (0.0,) * len(sizes), setting, tolerance)


def quantity_named(name: str) -> Quantity:
    """The quantity of that name."""
    if name not in QUANTITIES:
        raise BadInput(f"quantity: {name!r} is not known; there are {', '.join(QUANTITIES)}")
    return QUANTITIES[name]


def _look(body: bodies.StudyBegun) -> None:
    if not body.study.strip():
        raise BadInput("study: it needs a name")
    if body.kind not in KINDS:
        raise BadInput(f"kind of study: {body.kind!r} is not known; there are {', '.join(KINDS)}")
    least = 2 if body.kind in {"repeatability", "linearity"} else 1
    _names("parts", body.parts, least, 1 if body.kind == "stability" else MOST_PARTS)
    _names("people", body.people, 1, MOST_PEOPLE)
    most = CHART_TRIALS if body.kind == "stability" else MOST_TRIALS
    if not 2 <= body.trials <= most:
        raise BadInput(f"trials: {body.trials} is not taken; 2 to {most} are")
    wanted = len(body.parts) if body.kind in {"bias", "linearity"} else 0
    if len(body.sizes) not in {wanted, len(body.parts) if body.kind in WITH_MASTERS else 0}:
        raise BadInput(f"sizes: {len(body.sizes)} for {len(body.parts)} masters; one for each is needed")
    if len(body.uncertainties) not in {0, len(body.sizes)}:
        raise BadInput(f"uncertainties: {len(body.uncertainties)} for {len(body.sizes)} sizes; one for each, or none")


def _names(field: str, names: tuple[str, ...], least: int, most: int) -> None:
    if not least <= len(names) <= most:
        raise BadInput(f"{field}: {len(names)} are not taken; {least} to {most} are")
    if len(set(names)) != len(names) or not all(name.strip() for name in names):
        raise BadInput(f"{field}: {', '.join(names)}: each needs a name of its own")


def with_reading(study: Study, mark: Mark, body: bodies.StudyRead) -> Study:
    """The study with one more reading; raises BadInput where it does not belong to it."""
    card = study.card
    if body.part not in card.parts:
        raise BadInput(f"part: {body.part!r} is not in study {card.study}; there are {', '.join(card.parts)}")
    if body.reader not in card.people:
        raise BadInput(f"reader: {body.reader!r} is not in study {card.study}; there are {', '.join(card.people)}")
    if not 1 <= body.trial <= card.trials:
        raise BadInput(f"trial: {body.trial} is not in study {card.study}; there are 1 to {card.trials}")
    if (body.occasion > 0) != (card.kind == "stability"):
        raise BadInput(f"occasion: {body.occasion} is not taken; a stability study counts them from 1, others have none")
    field = f"{body.part}, {body.reader}, trial {body.trial} of study {card.study}"
    typed = parse(body.text, study.quantity, default_unit=study.unit, allow_deviation=study.setting is not None, field=field)
    value = typed.si + study.setting if typed.deviation and study.setting is not None else typed.si
    reading = StudyReading(mark, body.part, body.reader, body.trial, body.occasion, typed, value)
    return replace(study, readings=(*study.readings, reading))


def accepted_of(mark: Mark, body: bodies.StudyAccepted) -> Accepted:
    """What an entry takes into the record of a gauge; raises BadInput naming the number that is wrong."""
    quantity = quantity_named(body.quantity)
    unit = unit_for(quantity, "inch")

    def size(text: str, field: str) -> float:
        return parse(text, quantity, default_unit=unit, field=field).si

    def deviation(text: str, field: str) -> float | None:
        return _above(size(text, field), field, text) if text else None

    points = tuple(FoundAt(size(p.size, "size of a master"), size(p.error, "error at a master"),
                           _above(size(p.uncertainty, "uncertainty at a master"), "uncertainty at a master", p.uncertainty),
                           p.freedom or float("inf")) for p in body.points)
    for field in ("repeatability_freedom", "reproducibility_freedom"):
        freedom = getattr(body, field)
        if freedom is not None and not freedom > 0:
            raise BadInput(f"{field.replace('_', ' ')}: {freedom:g} is not taken; it is above 0")
    return Accepted(mark, body, deviation(body.repeatability, "repeatability"),
                    deviation(body.reproducibility, "reproducibility"), tuple(sorted(points, key=lambda p: p.size)))


def _above(value: float, field: str, text: str) -> float:
    if value < 0:
        raise BadInput(f"{field}: {text!r} is not taken; it is a size, without a sign")
    return value
