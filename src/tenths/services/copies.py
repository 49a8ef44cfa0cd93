"""What an engine's log still lacks of the shop's own records when it is read, so that it stands alone."""

from tenths.findings.keeping import keeping_of
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.calibration import clock_text
from tenths.services.shop import Shop

MOST_NOTES = 50  # of the shop's air, that one reading takes along


def certificates_for(build: Build, house: Build, name: str) -> list[bodies.Body]:
    """Certificates of an instrument that the engine's log lacks."""
    there = [c.body for c in build.certificates.get(name, ())]
    return [c.body for c in house.certificates.get(name, ()) if c.body not in there]


def air_for(shop: Shop, build: Build, house: Build) -> list[bodies.Body]:
    """Notes of the shop's air near now that the engine's log lacks, each with the time that it was noted."""
    if not house.temperatures:
        return []
    reach, now = keeping_of(build.house).reach, shop.clock().timestamp()
    there = {(round(n.when), n.body.text) for n in build.temperatures}
    return [bodies.TemperatureNoted(where=n.body.where, text=_with_unit(n.body.text, house), when=clock_text(n.when),
                                    thermometer=n.body.thermometer, note=n.body.note)
            for n in house.temperatures[-MOST_NOTES:]
            if abs(n.when - now) <= reach and (round(n.when), _with_unit(n.body.text, house)) not in there]


def _with_unit(text: str, house: Build) -> str:
    """The text as typed; a bare number gets the unit that it was understood in, since the engine's may be another."""
    bare = text.strip().replace(".", "", 1).replace("-", "", 1).isdigit()
    return f"{text.strip()} {'°C' if house.units == 'metric' else '°F'}" if bare else text
