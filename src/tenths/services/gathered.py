"""Sizes of an engine as a choice takes them: what was read and holds, else what is stated, with the entries they are from."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from tenths.engine.layout import Layout
from tenths.findings.declare import Need, address
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate


@dataclass(slots=True)
class Gathered:
    """Looks sizes up and remembers the entries that were used, and what was missing."""

    build: Build
    layout: Layout
    entries: dict[str, None] = field(default_factory=dict[str, None])
    missing: dict[str, None] = field(default_factory=dict[str, None])
    resolver: Resolver = field(init=False)

    def __post_init__(self) -> None:
        self.resolver = Resolver(self.build, InstrumentBook(self.build))

    def of(self, need: Need, station: str) -> Estimate | None:
        """The size that a need means for a station; None, and kept as missing, where it is not known or no longer holds."""
        where = address(need.at, self.layout, station)
        return self._taken(self.resolver.input(need.name, where, need.feature, need.places, need.otherwise, need.doubt))

    def at(self, station: str, feature: str) -> Estimate | None:
        """A size at a station or a loose part (``part.ID``) by the name of its feature."""
        return self._taken(self.resolver.input(feature, station, feature, (), None))

    def read(self, station: str, feature: str) -> Estimate | None:
        """The size only if it was read there and holds."""
        found = self.resolver.input(feature, station, feature, (), None)
        return self._taken(found) if found.origin == "read" and not found.stale else None

    def there(self, station: str, feature: str) -> bool:
        """Whether a size was read there or stands on the part's own card; a size of the sheet, the same for all, is no matter."""
        found = self.resolver.input(feature, station, feature, (), None)
        part = self.build.parts.get(self.build.part_in(station)) or self.build.parts.get(station.removeprefix("part."))
        return (found.origin == "read" and not found.stale) or (part is not None and feature in part.sizes)

    def _taken(self, found: Input) -> Estimate | None:
        if found.estimate is None or found.stale:
            what = f"{found.feature.replace('-', ' ')} of {found.station}"
            self.missing[f"{what} is no longer valid" if found.stale else f"{what} is not known"] = None
            return None
        self.entries.update(dict.fromkeys(found.entries))
        return found.estimate


def in_house(build: Build, kind: str) -> list[str]:
    """Loose parts of a kind that are in the house."""
    fitted = {history.parts[-1] for history in build.slots.values() if history.parts}
    return [name for name, part in build.parts.items() if part.card.kind == kind and part.in_house and name not in fitted]


def to_be_had(build: Build, kind: str) -> list[str]:
    """Parts of a kind that are not in the house: on order, or offered by somebody."""
    return [name for name, part in build.parts.items() if part.card.kind == kind and not part.in_house]


def all_known(estimates: Iterable[Estimate | None]) -> list[Estimate] | None:
    """The estimates, or None where any is not known."""
    found = list(estimates)
    known = [e for e in found if e is not None]
    return known if len(known) == len(found) else None
