"""An engine under test whose doubt can be worked out in the head: one instrument with one cause of one tenth."""

from dataclasses import dataclass

from tenths.findings.check import check
from tenths.findings.finding import Finding
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.services import commands
from tenths.services.shop import Shop

INCH = 0.0254
TENTH = INCH / 10_000
NONE = "0 in"


@dataclass(frozen=True)
class Hand:
    """One engine of a shop, and what a person does to it.

    Readings are taken by "plain", which repeats to one tenth and has no other doubt; "scaled" has a scale of one tenth
    standard uncertainty and no other doubt.
    """

    shop: Shop
    engine: str

    def read(self, station: str, feature: str, text: str, place: str = "", by: str = "plain") -> Entry:
        """Takes a reading."""
        return commands.take_reading(self.shop, self.engine, bodies.ReadingTaken(
            station=station, feature=feature, text=text, place=place, instrument=by))

    def state(self, station: str, feature: str, text: str, tolerance: str = "") -> None:
        """States a size."""
        commands.state(self.shop, self.engine, bodies.SizeStated(station=station, feature=feature, text=text,
                                                                 tolerance=tolerance))

    def limit(self, station: str, characteristic: str, lower: str = "", upper: str = "", target: str = "") -> None:
        """States a limit of the maker's sheet."""
        commands.state(self.shop, self.engine, bodies.LimitStated(
            station=station, characteristic=characteristic, lower=lower, upper=upper, target=target, source="sheet 1"))

    def rules(self, text: str) -> None:
        """House rules for this engine."""
        commands.adopt_house_rules(self.shop, text, self.engine)

    def clearance(self, station: str, tenths: float, journal: float = 2.4000) -> None:
        """Reads an inside diameter and a journal that differ by so many tenths."""
        self.read(station, "journal", f"{journal:.4f}", "1 front")
        self.read(station, "installed-bore", f"{journal + tenths / 1e4:.5f}", "B front")

    def find(self, characteristic: str, station: str) -> Finding:
        """The finding."""
        return next(f for f in check(self.shop.build(self.engine), [characteristic]) if f.station == station)


def hand(shop: Shop, layout: str = "inline-3, cams none", *, use: str = "street", units: str = "inch") -> Hand:
    """A new engine, its instruments listed."""
    for name, limit, repeat in (("plain", NONE, "1 tenths"), ("scaled", "1.7320508075688772 tenths", NONE)):
        commands.list_instrument(shop, bodies.InstrumentListed(
            instrument=name, kind="outside-micrometer", resolution=NONE, limit_of_error=limit, repeatability=repeat))
    return Hand(shop, commands.open_engine(shop, name="Hand", layout=layout, use=use, units=units))
