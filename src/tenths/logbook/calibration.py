"""Certificates of instruments and the lines of the temperature log, as the log leaves them."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from itertools import pairwise

from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.marks import Mark

SHOP_AIR = "shop air"
MOST_POINTS = 60
QUANTITIES = {q.value: q for q in Quantity}
COLDEST, WARMEST = 223.15, 573.15  # of a part that is read or washed [K]


@dataclass(frozen=True, slots=True)
class Point:
    """A line of a certificate [SI]: size, what is to be added to a reading there, standard uncertainty of that."""

    size: float
    correction: float
    u: float


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate, its points by size."""

    mark: Mark
    body: bodies.InstrumentCertified
    day: date
    due: date | None
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class TemperatureNote:
    """A line of the temperature log: place, temperature [K] and when [s since 1970, UTC]."""

    mark: Mark
    body: bodies.TemperatureNoted
    kelvin: float
    when: float


def certificate_of(mark: Mark, body: bodies.InstrumentCertified) -> Certificate:
    """The certificate that an entry tells of; raises BadInput naming the line that is wrong."""
    quantity = QUANTITIES.get(body.quantity)
    if quantity is None:
        raise BadInput(f"quantity: {body.quantity!r} is not known; there are {', '.join(QUANTITIES)}")
    if not 1 <= len(body.points) <= MOST_POINTS:
        raise BadInput(f"points: {len(body.points)} are not taken; 1 to {MOST_POINTS} are")
    coverage = _number(body.coverage, Quantity.RATIO, "coverage factor k")
    if not 1 <= coverage <= 10:
        raise BadInput(f"coverage factor k: {body.coverage!r} is not taken; 1 to 10 is, and most certificates say 2")
    points = sorted((_point(p, quantity, coverage) for p in body.points), key=lambda p: p.size)
    for a, b in pairwise(points):
        if a.size == b.size:
            raise BadInput(f"points: a size ({a.size:g} in SI) stands there twice; each size once")
    return Certificate(mark, body, day_of(body.day, "day of the certificate"),
                       day_of(body.due, "due") if body.due else None, tuple(points))


def _point(point: bodies.CertificatePoint, quantity: Quantity, coverage: float) -> Point:
    field = f"at {point.size}"
    u = _number(point.uncertainty, quantity, f"uncertainty {field}") / coverage
    if u < 0:
        raise BadInput(f"uncertainty {field}: {point.uncertainty!r} is not taken; it is a size, without a sign")
    return Point(_number(point.size, quantity, "size of a point"), _number(point.correction, quantity, f"correction {field}"), u)


def _number(text: str, quantity: Quantity, field: str) -> float:
    """A number [SI] that means the same in a shop of inches and in one of millimetres."""
    inch, metric = (parse(text, quantity, default_unit=unit_for(quantity, system), field=field).si
                    for system in ("inch", "metric"))
    if inch != metric:
        raise BadInput(f"{field}: {text!r} needs its unit, since engines in inches and in millimetres are read with it")
    return inch


def day_of(text: str, field: str) -> date:
    """A day; raises BadInput naming the field."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput(f"{field}: {text!r} is no date; write year, month and day: 2027-01-31") from None


@lru_cache(maxsize=8192)
def moment_of(text: str, field: str) -> float:
    """A time [s since 1970]; one without an offset is UTC; raises BadInput naming the field."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput(f"{field}: {text!r} is no time; write it as 2026-03-02T08:15") from None
    return (found if found.tzinfo else found.replace(tzinfo=UTC)).timestamp()


def clock_text(when: float) -> str:
    """A time [s since 1970] as entries write it, in UTC to the second."""
    return datetime.fromtimestamp(round(when), UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def note_of(mark: Mark, body: bodies.TemperatureNoted, default_unit: str) -> TemperatureNote:
    """The line that an entry makes; raises BadInput for a temperature or time that cannot be."""
    kelvin = parse(body.text, Quantity.TEMPERATURE, default_unit=default_unit, field="temperature").si
    if not COLDEST <= kelvin <= WARMEST:
        raise BadInput(f"temperature: {body.text!r} is not taken; -50 to 300 °C is")
    return TemperatureNote(mark, body, kelvin, moment_of(body.when or mark.at, "when") if body.when or mark.at else 0.0)
