"""The instruments of a Build as metrology sees them: one estimate per reading, and what to warn about."""

from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from typing import Literal

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

    @property
    def _system(self) -> System:
        return "metric" if self.build.units == "metric" else "inch"

    def _from_card(self, card: InstrumentListed) -> Instrument:
        base = typical(card.kind, self._system)
        stated = {
            "resolution": self._number(card.resolution, base),
            "limit_of_error": self._number(card.limit_of_error, base),
            "repeatability": self._number(card.repeatability, base),
            "due": date.fromisoformat(card.due) if card.due else None,
            "repeatability_freedom": float(card.repeats - 1) if card.repeats > 1 else None,
        }
        changed = {key: value for key, value in stated.items() if value is not None}
        return replace(base, id=card.instrument, name=card.name or base.name, **changed)

    def _number(self, text: str, base: Instrument) -> float | None:
        if not text:
            return None
        quantity = QUANTITY_OF_UNIT[base.unit]
        return parse(text, quantity, default_unit=unit_for(quantity, self._system), field="instrument").si

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
