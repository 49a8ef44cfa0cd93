"""How warm a part was when it was read: said with the reading, else the nearest line of the temperature log."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from math import hypot

from tenths.engine.quantity import Quantity
from tenths.findings.keeping import Keeping
from tenths.logbook.build import Build, Reading
from tenths.logbook.calibration import SHOP_AIR, TemperatureNote, moment_of
from tenths.metrology.thermal import MATERIALS, REFERENCE_CELSIUS, Noted, Temperature, from_log

ZERO = 273.15
WORTH_SAYING = 2.0  # of a part so far from 20 °C [K] without a known material it is said that nothing was done about it


@dataclass(frozen=True, slots=True)
class Warmth:
    """The temperature that a reading is brought to 20 °C by, and the part's material.

    Attributes:
        temperature: of part and gauge; None where nothing is known, so that nothing is corrected.
        material: name of the part's material; empty where it is not known.
        origin: "read" with the reading, "noted" in the log, or empty.
        said: a sentence for the finding, empty where there is nothing to say.
    """

    temperature: Temperature | None = None
    material: str = ""
    origin: str = ""
    said: str = ""


NOTHING = Warmth()


@dataclass(slots=True)
class Thermometry:
    """The temperature log of a Build, by place."""

    build: Build
    rules: Keeping
    _places: dict[str, list[TemperatureNote]] = field(default_factory=dict[str, list[TemperatureNote]])
    _of: dict[tuple[str, str], tuple[tuple[str, ...], str]] = field(default_factory=dict[tuple[str, str], tuple[tuple[str, ...], str]])
    _taken: dict[tuple[str, float], Temperature | None] = field(default_factory=dict[tuple[str, float], Temperature | None])

    def __post_init__(self) -> None:
        for note in self.build.temperatures:
            self._places.setdefault(note.body.where, []).append(note)

    def of(self, reading: Reading) -> Warmth:
        """How warm the part was, and what a finding must say of it."""
        if reading.feature.quantity is not Quantity.LENGTH or (reading.temperature is None and not self._places):
            return NOTHING
        key = reading.station, reading.feature.name
        if key not in self._of:
            found = places_of(self.build, reading)
            self._of[key] = found, material_of(self.build, found)
        places, material = self._of[key]
        return self._read(reading, material) if reading.temperature is not None else self._noted(reading, places, material)

    def _read(self, reading: Reading, material: str) -> Warmth:
        """Readings of one day at one temperature share what is doubtful about it."""
        celsius = (reading.temperature or ZERO) - ZERO
        found = Temperature(f"{celsius:.1f} °C on {reading.mark.at[:10]}", celsius, self.rules.thermometer,
                            self.rules.part_to_gauge)
        said = "" if material else "the part's temperature is given, but not its material: not brought to 20 °C"
        return Warmth(self._beside_the_air(found, reading), material, "read", said)

    def _noted(self, reading: Reading, places: tuple[str, ...], material: str) -> Warmth:
        noted = [place for place in places if place in self._places]
        if not noted and not material:
            return NOTHING
        at = moment_of(reading.mark.at, "time") if reading.mark.at else 0.0
        for place in (*noted, SHOP_AIR):
            found = self._from_log(place, at)
            if found is None:
                continue
            if material:
                added = self.rules.from_air if place == SHOP_AIR else self.rules.from_note
                wider = replace(found, u=hypot(found.u, added))
                said = f"temperature from the log: {found.id}, {found.celsius:.1f} ±{2 * wider.u:.1f} °C; not read at the part"
                return Warmth(self._beside_the_air(wider, reading) if place != SHOP_AIR else wider, material, "noted", said)
            if place != SHOP_AIR and abs(found.celsius - REFERENCE_CELSIUS) > WORTH_SAYING:
                return Warmth(None, "", "noted", f"{place} was at {found.celsius:.1f} °C by the log, but its material is not "
                                                 "known: not brought to 20 °C")
        return NOTHING

    def _beside_the_air(self, found: Temperature, reading: Reading) -> Temperature:
        """The gauge is as warm as the shop air, where that was noted; else as the part."""
        air = self._from_log(SHOP_AIR, moment_of(reading.mark.at, "time") if reading.mark.at else 0.0)
        return found if air is None else replace(found, gauge=air.celsius, u_difference=hypot(found.u_difference, air.u))

    def _from_log(self, place: str, at: float) -> Temperature | None:
        """The place's temperature at a time; None without a note within reach."""
        if place not in self._places:
            return None
        if (place, at) not in self._taken:
            self._taken[place, at] = self._nearest(place, at)
        return self._taken[place, at]

    def _nearest(self, place: str, at: float) -> Temperature | None:
        near = [n for n in self._places.get(place, ()) if abs(n.when - at) <= self.rules.reach]
        if not near:
            return None
        log = [Noted(n.when, n.kelvin - ZERO) for n in near]
        found = from_log(log, at=at, u=self.rules.thermometer, soaked=self.rules.soaked)
        nearest = min(near, key=lambda n: abs(n.when - at))
        between = " and others" if found.id.startswith("between") else ""
        return replace(found, id=f"{place} at {clock(nearest.when)}{between}", u_difference=self.rules.part_to_gauge)


def clock(when: float) -> str:
    """A time as the log's cause is named by: ``2026-03-02 08:15``."""
    return datetime.fromtimestamp(when, UTC).strftime("%Y-%m-%d %H:%M")


def places_of(build: Build, reading: Reading) -> tuple[str, ...]:
    """Where a note may tell how warm the part was: the station, the slot of the part that was read, the part itself."""
    if build.layout is None:
        return ()
    if reading.station.startswith("part."):
        return (reading.station,)
    slots = reading.feature.slots(build.layout, reading.station)
    first = next(iter(slots), "")
    own = next((s for s in slots if s.endswith(".sleeve") and build.part_in(s)), first)  # the bore is the sleeve's, where there is one
    fitted = build.part_in(own) if own else ""
    return tuple(dict.fromkeys(p for p in (reading.station, own, first, f"part.{fitted}" if fitted else "") if p))


def material_of(build: Build, places: tuple[str, ...]) -> str:
    """The material of the part that was read, when its card names one that is known; empty otherwise."""
    for place in reversed(places):
        part = build.parts.get(place.removeprefix("part.")) if place.startswith("part.") else None
        if part:
            return part.card.material if part.card.material in MATERIALS else ""
    return ""
