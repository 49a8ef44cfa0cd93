"""Cards and certificates of instruments, as metrology sees them."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any, Literal

from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook.bodies import InstrumentListed
from tenths.logbook.calibration import Certificate, day_of
from tenths.metrology.instrument import CalibrationPoint, Instrument
from tenths.metrology.templates import TEMPLATES

System = Literal["inch", "metric"]
ALIKE = {  # kinds without a template of their own are taken as good as these
    "radius-gauge": "caliper", "telescope-gauge": "inside-micrometer", "rod-fixture": "test-indicator",
    "deck-bridge": "dial-indicator",
}
QUANTITY_OF_UNIT = {
    "m": Quantity.LENGTH, "m3": Quantity.VOLUME, "kg": Quantity.MASS, "rad": Quantity.ANGLE, "N m": Quantity.TORQUE,
    "N": Quantity.FORCE, "kg m": Quantity.MASS_MOMENT, "K": Quantity.TEMPERATURE_DIFFERENCE, "1": Quantity.RATIO, "m3/s": Quantity.FLOW,
}


@cache
def kinds() -> tuple[str, ...]:
    """The kinds of instrument that can be listed."""
    return tuple(dict.fromkeys([*(key.removesuffix("-inch").removesuffix("-metric") for key in TEMPLATES), *ALIKE]))


@cache
def typical(kind: str, system: System) -> Instrument:
    """A typical instrument of a kind; raises BadInput for a kind that is not known."""
    key = ALIKE.get(kind, kind)
    found = TEMPLATES.get(f"{key}-{system}") or TEMPLATES.get(key)
    if found is None:
        raise BadInput(f"kind of instrument: {kind!r} is not known; there are {', '.join(kinds())}")
    return found


NUMBERS_OF_CARD = {  # field of the card: field of the instrument
    "resolution": "resolution", "limit_of_error": "limit_of_error", "repeatability": "repeatability",
    "range_from": "lower", "range_to": "upper",
}
CERTIFIED = "certificate_uncertainty"


def vet_card(card: InstrumentListed) -> None:
    """Raises BadInput when a number or the date of a card cannot be read, or when a number has no unit.

    The same card serves engines in inches and in millimetres, so that a bare number would mean two things.
    """
    base = typical(card.kind, "inch")
    for name in (*NUMBERS_OF_CARD, CERTIFIED):
        if card_number(card, name, base, "inch") != card_number(card, name, base, "metric"):
            raise BadInput(f"{name.replace('_', ' ')} of {card.instrument}: {getattr(card, name)!r} needs its unit, since "
                           "engines in inches and in millimetres are read with it")
    low, high = (card_number(card, name, base, "inch") for name in ("range_from", "range_to"))
    if low is not None and high is not None and low >= high:
        raise BadInput(f"range of {card.instrument}: {card.range_from!r} to {card.range_to!r}: the first is to be the smaller")
    _due(card)


def vet_certificate(kind: str, certificate: Certificate) -> None:
    """Raises BadInput when a certificate is not of what this kind of instrument reads."""
    wanted = QUANTITY_OF_UNIT.get(typical(kind, "inch").unit)
    if wanted is None or wanted.value != certificate.body.quantity:
        raise BadInput(f"quantity: {certificate.body.quantity!r} is not what a {kind.replace('-', ' ')} reads"
                       + (f"; it reads {wanted.value}" if wanted else ""))


def card_number(card: InstrumentListed, name: str, base: Instrument, system: System) -> float | None:
    """A number of a card [SI]; raises BadInput when it cannot be read."""
    text: str = getattr(card, name)
    if not text:
        return None
    quantity = QUANTITY_OF_UNIT.get(base.unit)
    words = f"{name.replace('_', ' ')} of {card.instrument}"
    if quantity is None:
        raise BadInput(f"{words}: {text!r} is not taken; what a {card.kind.replace('-', ' ')} reads has no unit here yet")
    number = parse(text, quantity, default_unit=unit_for(quantity, system), field=words).si
    if number < 0:
        raise BadInput(f"{words}: {text!r} is not taken; it is a size, without a sign")
    return number


def _due(card: InstrumentListed) -> date | None:
    return day_of(card.due, f"due of {card.instrument}") if card.due else None


def unread(card: InstrumentListed, system: System) -> str:
    """What to say of a card that was kept before cards were looked at; empty when all of it can be read."""
    try:
        for number in (*NUMBERS_OF_CARD, CERTIFIED):
            card_number(card, number, typical(card.kind, system), system)
        _due(card)
    except BadInput as error:
        return f"{error}; taken as typical in that"
    return ""


def from_card(card: InstrumentListed, system: System, certificate: Certificate | None = None) -> Instrument:
    """The instrument of a card and its certificate; what cannot be read on an old card is taken from the template.

    A certificate takes the place of the limit of error: its corrections are applied, their uncertainty is the doubt of
    the scale. An uncertainty of the certificate on a card without limit and points is taken as U with k = 2.
    """
    base = typical(card.kind, system)
    changed: dict[str, Any] = {}
    for name, ours in NUMBERS_OF_CARD.items():
        with suppress(BadInput):
            changed[ours] = card_number(card, name, base, system)
    with suppress(BadInput):
        changed["due"] = _due(card)
    with suppress(BadInput):
        certified = card_number(card, CERTIFIED, base, system)
        if certified is not None and not card.limit_of_error:
            changed |= {"limit_of_error": certified, "limit_shape": "normal", "limit_relative": 0.0}
    changed["repeatability_freedom"] = float(card.repeats - 1) if card.repeats > 1 else None
    changed["set_from"] = card.set_from or None
    known = {key: value for key, value in changed.items() if value is not None}
    made = replace(base, id=card.instrument, name=card.name or card.instrument, **known)
    return with_certificate(made, certificate) if certificate else made


def with_certificate(instrument: Instrument, certificate: Certificate) -> Instrument:
    """The instrument by a certificate; one of another quantity is left aside."""
    quantity = QUANTITY_OF_UNIT.get(instrument.unit)
    if quantity is None or quantity.value != certificate.body.quantity:
        return instrument
    points = tuple(CalibrationPoint(nominal=p.size, error=-p.correction, u=p.u) for p in certificate.points)
    return replace(instrument, points=points, calibrated=certificate.day, due=certificate.due or instrument.due)


def certificate_for(certificates: Sequence[Certificate], day: date) -> Certificate | None:
    """The certificate in force on a day: the last until then, else the first there is."""
    until = [c for c in certificates if c.day <= day]
    return until[-1] if until else certificates[0] if certificates else None
