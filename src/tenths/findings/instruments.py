"""The instruments of a Build as metrology sees them: one estimate per reading, and what to warn about."""

from dataclasses import dataclass, field, replace
from typing import Literal

from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.logbook.build import Build, Reading
from tenths.logbook.bodies import InstrumentListed
from tenths.metrology.estimate import Estimate
from tenths.metrology.instrument import Instrument, reading_estimate, template


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
        """What a person should know of the instrument that took the reading."""
        if not reading.instrument:
            return (f"no instrument named: taken as a typical {reading.feature.instrument.replace('-', ' ')}",)
        listed = self.build.instruments.get(reading.instrument)
        if listed is None:
            return (f"instrument {reading.instrument} is not listed: taken as typical",)
        due = listed[1].due
        if due and due < reading.mark.at[:10]:
            return (f"{listed[1].name or reading.instrument} was due for calibration on {due}",)
        return ()

    def instrument(self, name: str, kind: str) -> Instrument:
        """The instrument of that id, from its card over the template of its kind."""
        key = (name, kind)
        if key not in self._known:
            listed = self.build.instruments.get(name)
            self._known[key] = self._from_card(listed[1]) if listed else template(
                kind, system=self._system, id=name or f"typical {kind}")
        return self._known[key]

    @property
    def _system(self) -> Literal["inch", "metric"]:
        return "metric" if self.build.units == "metric" else "inch"

    def _from_card(self, card: InstrumentListed) -> Instrument:
        base = template(card.kind, system=self._system, id=card.instrument)
        stated = {
            "resolution": self._number(card.resolution, base),
            "limit_of_error": self._number(card.limit_of_error, base),
            "repeatability": self._number(card.repeatability, base),
        }
        changed = {key: value for key, value in stated.items() if value is not None}
        return replace(base, name=card.name or base.name, **changed)

    def _number(self, text: str, base: Instrument) -> float | None:
        if not text:
            return None
        quantity = Quantity(base.quantity)
        return parse(text, quantity, default_unit=unit_for(quantity, self._system), field="instrument").si

    def _work_out(self, reading: Reading) -> Estimate:
        instrument = self.instrument(reading.instrument, reading.feature.instrument)
        setting, master = reading.setting, None
        if setting is not None and setting.master:
            listed = self.build.instruments.get(setting.master)
            master = self.instrument(setting.master, listed[1].kind if listed else "setting-ring")
        return reading_estimate(
            reading.value, instrument=instrument, reading_id=reading.mark.entry,
            setting=setting.mark.entry if setting else None, master=master)
