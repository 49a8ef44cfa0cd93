"""The hand that reads the demo engines."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from tenths.engine.layout import Layout
from tenths.engine.stations import stations
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.services import commands
from tenths.services.shop import Shop


@dataclass(slots=True)
class Hand:
    """A practised hand that reads: true size plus a little scatter, written the way the instrument shows it."""

    shop: Shop
    engine: str
    layout: Layout
    chance: Random
    inch: bool

    def of_kind(self, kind: str) -> list[str]:
        """Addresses of all stations of a kind."""
        return [s.address for s in stations(self.layout) if s.kind == kind]

    def read(self, station: str, feature: str, true: float, by: str, *, places: Sequence[str] = ("",),
             bias: dict[str, float] | None = None, scatter: float | None = None, set_to: float | None = None,
             digits: int | None = None) -> list[Entry]:
        """Reads a feature at each place; ``bias`` adds to places that begin with its keys; sizes in inch or mm."""
        spread = scatter if scatter is not None else (0.00003 if self.inch else 0.0007)
        rows: list[bodies.Body] = list(commands.instrument_cards(self.shop, self.engine, by))
        for place in places:
            extra = sum(v for key, v in (bias or {}).items() if place.startswith(key) or place.endswith(key))
            value = true + extra + self.chance.gauss(0.0, spread)
            rows.append(bodies.ReadingTaken(station=station, feature=feature, place=place, instrument=by,
                                            text=self._text(value, set_to, digits)))
        return self.shop.append(self.engine, *rows)

    def _text(self, value: float, set_to: float | None, digits: int | None) -> str:
        if set_to is None:
            return f"{value:.{digits if digits is not None else 4 if self.inch else 3}f}"
        if self.inch:
            return f"{(value - set_to) * 1e4:+.0f} tenths"
        return f"{(value - set_to) * 1e3:+.0f} µm"

    def set_gauge(self, gauge: str, master: str, size: str) -> None:
        """Sets a gauge from a master."""
        commands.set_instrument(self.shop, self.engine, instrument=gauge, master=master, size=size)

    def part(self, *what: bodies.Body) -> None:
        """Lists, fits or counts parts."""
        commands.part(self.shop, self.engine, *what)
