"""The instruments of a Build as metrology sees them: one estimate per reading, and what to warn about."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date

from tenths.engine.quantity import from_si, unit_for
from tenths.findings.cards import (
    ALIKE,
    QUANTITY_OF_UNIT,
    System,
    certificate_for,
    from_card,
    kinds,
    typical,
    unread,
    vet_card,
)
from tenths.findings.keeping import Keeping, keeping_of
from tenths.findings.studied import with_studies
from tenths.findings.warmth import Thermometry, Warmth
from tenths.logbook.build import Build, Reading
from tenths.logbook.calibration import moment_of
from tenths.metrology.budget import Planned
from tenths.metrology.estimate import Estimate
from tenths.metrology.instrument import Instrument

__all__ = ["ALIKE", "QUANTITY_OF_UNIT", "InUse", "InstrumentBook", "kinds", "typical", "vet_card"]

IN_ORDER = "in order"


@dataclass(frozen=True, slots=True)
class InUse:
    """An instrument that a reading rests on.

    Attributes:
        instrument: its id; empty where none was named.
        name: what the shop calls it.
        kind: what it is.
        role: "read with" or "set from".
        state: in order, overdue, not set, set too long ago, out of range, another hand, not listed, not named or not understood.
        said: what to say of it; empty when it is in order.
    """

    instrument: str
    name: str
    kind: str
    role: str
    state: str = IN_ORDER
    said: str = ""


@dataclass(slots=True)
class InstrumentBook:
    """Instruments by id; a reading without one is taken to be by a typical instrument of the feature's usual kind.

    ``change`` makes a reading other than it was, to see what that would bring.
    """

    build: Build
    change: Callable[[Reading, Planned], Planned] | None = None
    rules: Keeping = field(init=False)
    warm: Thermometry = field(init=False)
    _known: dict[tuple[str, str, date | None], Instrument] = field(default_factory=dict[tuple[str, str, date | None], Instrument])
    _estimates: dict[str, Estimate] = field(default_factory=dict[str, Estimate])
    _warmth: dict[str, Warmth] = field(default_factory=dict[str, Warmth])
    _unread: dict[str, str] = field(default_factory=dict[str, str])

    def __post_init__(self) -> None:
        self.rules = keeping_of(self.build.house)
        self.warm = Thermometry(self.build, self.rules)

    def estimate(self, reading: Reading) -> Estimate:
        """The reading with its uncertainty by cause."""
        found = self._estimates.get(reading.mark.entry)
        if found is None:
            found = self._estimates[reading.mark.entry] = self.plan(reading).estimate()
        return found

    def plan(self, reading: Reading) -> Planned:
        """How the reading was made."""
        setting = reading.setting
        warmth = self.warmth(reading)
        made = Planned(
            value=reading.value, instrument=self.of(reading), reading_id=reading.mark.entry,
            setting=setting.mark.entry if setting else None,
            master=self.master(reading), temperature=warmth.temperature, part_material=warmth.material or None,
            operator=reading.mark.person or None)
        return self.change(reading, made) if self.change else made

    def warmth(self, reading: Reading) -> Warmth:
        """How warm the part was."""
        key = reading.mark.entry
        if key not in self._warmth:
            self._warmth[key] = self.warm.of(reading)
        return self._warmth[key]

    def warnings(self, reading: Reading) -> tuple[str, ...]:
        """What a person should know of the instruments that the reading rests on, and of the part's temperature."""
        said = self.warmth(reading).said
        return (*((said,) if said else ()), *(used.said for used in self.in_use(reading) if used.said))

    def instrument(self, name: str, kind: str, at: str = "") -> Instrument:
        """The instrument of that id as it was at a time, by card, certificate and studies over the usual of its kind."""
        certificates = self.build.certificates.get(name, ())
        certificate = certificate_for(certificates, date.fromisoformat(at[:10]) if at else date.max) if certificates else None
        key = (name, kind, certificate.day if certificate else None)
        if key not in self._known:
            listed = self.build.instruments.get(name)
            found = from_card(listed[1], self._system, certificate) if listed else replace(
                typical(kind, self._system), id=name or f"typical {kind}")
            self._known[key] = with_studies(found, self.build)
        return self._known[key]

    def of(self, reading: Reading) -> Instrument:
        """What the reading was taken with."""
        return self.instrument(reading.instrument, reading.feature.instrument, reading.mark.at)

    def master(self, reading: Reading) -> Instrument | None:
        """What the gauge was set from; None where it was not set, or from nothing that was named."""
        setting = reading.setting
        if setting is None or not setting.master:
            return None
        listed = self.build.instruments.get(setting.master)
        return self.instrument(setting.master, listed[1].kind if listed else "ring", reading.mark.at)

    @property
    def _system(self) -> System:
        return "metric" if self.build.units == "metric" else "inch"

    # -- what state they are in ----------------------------------------------------------------------------------------

    def in_use(self, reading: Reading) -> tuple[InUse, ...]:
        """The instruments that a reading rests on, each with the state that it was in."""
        usual = reading.feature.instrument.replace("-", " ")
        if not reading.instrument:
            return (InUse("", f"typical {usual}", usual, "read with", "not named", f"no instrument named: taken as a typical {usual}"),)
        if reading.instrument not in self.build.instruments:
            return (InUse(reading.instrument, reading.instrument, usual, "read with", "not listed",
                          f"instrument {reading.instrument} is not listed: taken as a typical {usual}"),)
        own = self._looked_at(reading.instrument, self.of(reading), reading, "read with")
        master = self.master(reading)
        if master is None or reading.setting is None:
            return (own,)
        return (own, self._looked_at(reading.setting.master, master, reading, "set from"))

    def _looked_at(self, name: str, instrument: Instrument, reading: Reading, role: str) -> InUse:
        listed = self.build.instruments.get(name)
        kind = (listed[1].kind if listed else instrument.kind).replace("-", " ")
        found = dict(self._troubles(name, instrument, reading, role))
        return InUse(name, instrument.name, kind, role, next(iter(found), IN_ORDER), "; ".join(found.values()))

    def _troubles(self, name: str, instrument: Instrument, reading: Reading, role: str) -> list[tuple[str, str]]:
        """State and sentence of all that is not as it should be."""
        listed = self.build.instruments.get(name)
        if listed and name not in self._unread:
            self._unread[name] = unread(listed[1], self._system)
        if self._unread.get(name):
            return [("not understood", self._unread[name])]
        found: list[tuple[str, str]] = []
        if instrument.due is not None and reading.mark.at[:10] >= instrument.due.isoformat():
            found.append(("overdue", f"{instrument.name}: calibration was due on {instrument.due.isoformat()}"))
        if role == "read with":
            found += self._unset(instrument, reading)
            hand = listed[1].hand if listed else ""
            if hand and reading.mark.person and reading.mark.person != hand:
                said = f"{instrument.name}: read by {reading.mark.person}, its repeatability is that of {hand}"
                found.append(("another hand", said))
        if not instrument.lower <= reading.value <= instrument.upper:
            found.append(("out of range", f"{instrument.name}: reads {self._range(instrument)}"))
        return found

    def _unset(self, instrument: Instrument, reading: Reading) -> list[tuple[str, str]]:
        if instrument.set_from is None:
            return []
        setting = reading.setting
        if setting is None or not setting.master:
            return [("not set", f"{instrument.name}: no setting to a master is recorded for this reading")]
        if not (reading.mark.at and setting.mark.at):
            return []
        hours = (moment_of(reading.mark.at, "time") - moment_of(setting.mark.at, "time")) / 3600
        if hours * 3600 <= self.rules.set_within:
            return []
        within = f"{self.rules.set_within / 3600:g}"
        said = f"{instrument.name}: set from {setting.master} {hours:.0f} hours before this reading, not within {within}"
        return [("set too long ago", said)]

    def _range(self, instrument: Instrument) -> str:
        quantity = QUANTITY_OF_UNIT[instrument.unit]
        unit = unit_for(quantity, self._system)
        low, high = (from_si(x, quantity, unit) for x in (instrument.lower, instrument.upper))
        return f"{low:g} to {high:g} {unit}".strip()
