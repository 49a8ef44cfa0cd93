"""The instruments of a Build as metrology sees them: one estimate per reading, and what to warn about."""

from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from typing import Any, Literal

from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook.bodies import InstrumentListed
from tenths.logbook.build import Build, Reading
from tenths.metrology.estimate import Estimate
from tenths.metrology.instrument import Instrument, reading_estimate, remarks
from tenths.metrology.templates import TEMPLATES
from tenths.metrology.thermal import MATERIALS, Temperature

System = Literal["inch", "metric"]
ALIKE = {  # kinds without a template of their own are taken as good as these
    "radius-gauge": "caliper", "telescope-gauge": "inside-micrometer", "rod-fixture": "test-indicator",
    "deck-bridge": "dial-indicator",
}
THERMOMETER = 0.6  # standard uncertainty [K] of a shop thermometer; common practice, no source
PART_TO_GAUGE = 0.5  # standard uncertainty [K] of part against gauge after lying together; common practice, no source
QUANTITY_OF_UNIT = {
    "m": Quantity.LENGTH, "m3": Quantity.VOLUME, "kg": Quantity.MASS, "rad": Quantity.ANGLE, "N m": Quantity.TORQUE,
    "N": Quantity.FORCE, "K": Quantity.TEMPERATURE_DIFFERENCE, "1": Quantity.RATIO,
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


NUMBERS_OF_CARD = ("resolution", "limit_of_error", "repeatability")


def vet_card(card: InstrumentListed) -> None:
    """Raises BadInput when a number or the date of a card cannot be read, or when a number has no unit.

    The same card serves engines in inches and in millimetres, so that a bare number would mean two things.
    """
    base = typical(card.kind, "inch")
    for name in NUMBERS_OF_CARD:
        if _card_number(card, name, base, "inch") != _card_number(card, name, base, "metric"):
            raise BadInput(f"{name.replace('_', ' ')} of {card.instrument}: {getattr(card, name)!r} needs its unit, since "
                           "engines in inches and in millimetres are read with it")
    _due(card)


def _card_number(card: InstrumentListed, name: str, base: Instrument, system: System) -> float | None:
    """A number of a card [SI]; raises BadInput when it cannot be read."""
    text: str = getattr(card, name)
    if not text:
        return None
    quantity = QUANTITY_OF_UNIT[base.unit]
    words = f"{name.replace('_', ' ')} of {card.instrument}"
    number = parse(text, quantity, default_unit=unit_for(quantity, system), field=words).si
    if number < 0:
        raise BadInput(f"{words}: {text!r} is not taken; it is a size, without a sign")
    return number


def _due(card: InstrumentListed) -> date | None:
    try:
        return date.fromisoformat(card.due) if card.due else None
    except ValueError:
        raise BadInput(f"due of {card.instrument}: {card.due!r} is no date; write year, month and day: 2027-01-31") from None


def _temperature(reading: Reading) -> Temperature | None:
    """Readings of one day at one temperature share what is doubtful about it."""
    if reading.temperature is None:
        return None
    celsius = reading.temperature - 273.15
    return Temperature(f"{celsius:.1f} °C on {reading.mark.at[:10]}", celsius, THERMOMETER, PART_TO_GAUGE)


@dataclass(slots=True)
class InstrumentBook:
    """Instruments by id; a reading without one is taken to be by a typical instrument of the feature's usual kind."""

    build: Build
    _known: dict[tuple[str, str], Instrument] = field(default_factory=dict[tuple[str, str], Instrument])
    _estimates: dict[str, Estimate] = field(default_factory=dict[str, Estimate])

    def estimate(self, reading: Reading) -> Estimate:
        """The reading with its uncertainty by cause."""
        found = self._estimates.get(reading.mark.entry)
        if found is None:
            found = self._estimates[reading.mark.entry] = self._work_out(reading)
        return found

    def warnings(self, reading: Reading) -> tuple[str, ...]:
        """What a person should know of the instrument that took the reading, and of the part's temperature."""
        warm = reading.temperature is not None and not self._material(reading)
        said = ("the part's temperature is given, but not its material: not brought to 20 °C",) if warm else ()
        return (*said, *self._of_instrument(reading))

    def _of_instrument(self, reading: Reading) -> tuple[str, ...]:
        usual = reading.feature.instrument.replace("-", " ")
        if not reading.instrument:
            return (f"no instrument named: taken as a typical {usual}",)
        if reading.instrument not in self.build.instruments:
            return (f"instrument {reading.instrument} is not listed: taken as a typical {usual}",)
        instrument = self.instrument(reading.instrument, reading.feature.instrument)
        if unread := self._unread(reading.instrument):
            return (unread,)
        if instrument.due is None and instrument.set_from is None:
            return ()
        setting = reading.setting.mark.entry if reading.setting else None
        return remarks(instrument, on=date.fromisoformat(reading.mark.at[:10]), setting=setting)

    def instrument(self, name: str, kind: str) -> Instrument:
        """The instrument of that id, from its card over the template of its kind."""
        key = (name, kind)
        if key not in self._known:
            listed = self.build.instruments.get(name)
            self._known[key] = self._from_card(listed[1]) if listed else replace(
                typical(kind, self._system), id=name or f"typical {kind}")
        return self._known[key]

    def _unread(self, name: str) -> str:
        """What to say of a card that was kept before cards were looked at."""
        card = self.build.instruments[name][1]
        try:
            for number in NUMBERS_OF_CARD:
                _card_number(card, number, typical(card.kind, self._system), self._system)
            _due(card)
        except BadInput as error:
            return f"{error}; taken as typical in that"
        return ""

    @property
    def _system(self) -> System:
        return "metric" if self.build.units == "metric" else "inch"

    def _from_card(self, card: InstrumentListed) -> Instrument:
        """The instrument of a card; what cannot be read on an old one is taken from the template, and warned of."""
        base = typical(card.kind, self._system)
        stated: dict[str, float | date | None] = {}
        for name in NUMBERS_OF_CARD:
            with suppress(BadInput):
                stated[name] = _card_number(card, name, base, self._system)
        with suppress(BadInput):
            stated["due"] = _due(card)
        stated["repeatability_freedom"] = float(card.repeats - 1) if card.repeats > 1 else None
        changed: dict[str, Any] = {key: value for key, value in stated.items() if value is not None}
        return replace(base, id=card.instrument, name=card.name or base.name, **changed)

    def _work_out(self, reading: Reading) -> Estimate:
        instrument = self.instrument(reading.instrument, reading.feature.instrument)
        setting, master = reading.setting, None
        if setting is not None and setting.master:
            listed = self.build.instruments.get(setting.master)
            master = self.instrument(setting.master, listed[1].kind if listed else "ring")
        return reading_estimate(
            reading.value, instrument=instrument, reading_id=reading.mark.entry,
            setting=setting.mark.entry if setting else None, master=master,
            temperature=_temperature(reading), part_material=self._material(reading) or None)

    def _material(self, reading: Reading) -> str:
        """The material of the part that was read, when its card names one that is known; empty otherwise."""
        if self.build.layout is None or reading.temperature is None or reading.feature.quantity is not Quantity.LENGTH:
            return ""
        loose = reading.station.removeprefix("part.")
        slots = reading.feature.slots(self.build.layout, reading.station) if loose == reading.station else ()
        part = self.build.parts.get(self.build.part_in(slots[0]) if slots else loose)
        return part.card.material if part and part.card.material in MATERIALS else ""
