"""What an order of shells rests on: clearances as planned, and how the parts may come out."""

from dataclasses import dataclass, field
from math import sqrt
from typing import Literal

from tenths.choose.scenarios import Planned, Variation, from_tolerance
from tenths.choose.shells import LOADED, SCATTER
from tenths.engine.quantity import Quantity, System, unit_for, write
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.crush import crush_of
from tenths.findings.declare import address
from tenths.findings.instruments import InstrumentBook
from tenths.findings.limits import limits_for
from tenths.findings.resolve import Resolver
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate
from tenths.services.halves import house_of
from tenths.services.order_history import FEATURES, FEWEST_ENGINES, crush_history, size_history
from tenths.services.questions import system_of
from tenths.services.shop import Shop

Source = Literal["best", "history", "tolerance"]
COMMON_SHARE = 0.6  # of the variance within a tolerance that one grinding or hone has in common; common practice, no source
WORDS = {("main", "housings"): "main housings", ("main", "journals"): "main journals", ("rod", "housings"): "big ends",
         ("rod", "journals"): "crankpins"}


@dataclass(slots=True)
class Basis:
    """Places as planned, scatter by batch, the entries that were used, and what it all rests on in words."""

    places: list[Planned] = field(default_factory=list[Planned])
    variations: dict[str, Variation] = field(default_factory=dict[str, Variation])
    entries: list[str] = field(default_factory=list[str])
    said: list[str] = field(default_factory=list[str])


@dataclass(frozen=True, slots=True)
class _Size:
    """A size as planned: read with its doubt, or stated with its tolerance."""

    value: float
    read: bool
    spread: float  # standard uncertainty when read, half-width of the tolerance when stated


def basis_of(shop: Shop, build: Build, kind: str, source: Source, units: str = "") -> Basis:
    """What an order of one kind of shell rests on.

    Args:
        shop: the shop, for its history.
        build: the engine.
        kind: main or rod.
        source: history, tolerance, or best: history where there is enough of it.
        units: that it is told in; empty for the engine's own.

    Returns:
        Places and scatter. Where a size is read already, it is taken as read.

    Raises:
        BadInput: naming the size, tolerance or limit that is not known.
    """
    return _Gathering(shop, build, kind, source, units).basis


class _Gathering:
    def __init__(self, shop: Shop, build: Build, kind: str, source: Source, units: str) -> None:
        self.system: System = system_of(build, units)
        if build.layout is None:
            raise BadInput("order: this engine is not opened yet")
        self.shop, self.build, self.layout, self.kind, self.source = shop, build, build.layout, kind, source
        self.addresses = [s.address for s in stations(build.layout) if s.kind == kind]
        self.resolver, self.basis = Resolver(build, InstrumentBook(build)), Basis()
        self.sizes = {batch: {s: self._size(batch, s) for s in self.addresses} for batch in FEATURES}
        wall = self._wall()
        crush = self._crush()
        for batch in FEATURES:
            self._vary(batch)
        self.basis.variations["walls"] = Variation(wall.u, SCATTER / sqrt(2.0))
        for station in self.addresses:
            self.basis.places.append(self._planned(station, wall.value, crush))

    def _at(self, batch: str, station: str) -> str:
        pins = (self.kind, batch) == ("rod", "journals")
        return address("pin.{pin}", self.layout, station) if pins else station

    def _size(self, batch: str, station: str) -> _Size:
        feature, where = FEATURES[batch], self._at(batch, station)
        read = self.resolver.input(batch, where, feature, ("B",) if batch == "housings" else (), None)
        if read.origin == "read" and read.estimate is not None and not read.stale:
            self.basis.entries += read.entries
            return _Size(read.estimate.value, read=True, spread=read.estimate.u)
        stated = self.build.stated(where, feature)
        if stated is None:
            raise BadInput(f"{feature} at {where}: neither read nor stated; state it from the maker's sheet, with its tolerance")
        self.basis.entries.append(stated.mark.entry)
        return _Size(stated.value, read=False, spread=stated.tolerance)

    def _wall(self) -> Estimate:
        """Wall of a standard half [m]: from the halves read, else the sheet's."""
        house = house_of(self.build, self.resolver, self.kind, self.addresses)
        self.basis.entries += house.entries
        if house.datum is None:
            raise BadInput(f"shell-wall at {self.kind}.*.shell.*: neither read nor stated; state the standard wall from the sheet")
        self.basis.said.append(f"Standard wall {self._length(house.datum.value)}, "
                               f"{'as read' if house.entries else 'as stated'}, ±{self._length(2 * house.datum.u)}.")
        return house.datum

    def _crush(self) -> float:
        """Mean crush [m]; its doubt becomes a batch of its own."""
        learned = crush_of(self.resolver, self.kind, self.addresses)
        prior, engines = crush_history(self.shop, self.build.stream, self.kind)
        enough = prior is not None and (engines >= FEWEST_ENGINES or self.source == "history")
        if learned.entries or prior is None or not enough or self.source == "tolerance":
            mean, common, each = learned.learned.average.value, learned.learned.average.u, learned.learned.between
            self.basis.entries += learned.entries
            told = f"from {learned.learned.readings} caps read here" if learned.entries else "before any cap is read"
        else:
            mean, common, each = prior.mean, prior.u, prior.between
            told = f"from {engines} earlier engines of this shop"
        self.basis.variations["crush"] = Variation(common, each)
        self.basis.said.append(f"Crush {self._length(mean)}, ±{self._length(2 * common)} together and "
                               f"±{self._length(2 * each)} each, {told}.")
        return mean

    def _vary(self, batch: str) -> None:
        """How the sizes of a batch that are not read may come out, and how sure those are that were."""
        words, sizes = WORDS[self.kind, batch], list(self.sizes[batch].values())
        doubt = max((s.spread for s in sizes if s.read), default=0.0)
        if doubt:  # one micrometer read them all, so half of the variance is taken as shared
            self.basis.variations[f"{batch} read"] = Variation(doubt / sqrt(2.0), doubt / sqrt(2.0))
        planned = [s for s in sizes if not s.read]
        count = f"{len(sizes) - len(planned)} of {len(sizes)}"
        if not planned:
            self.basis.said.append(f"{words.capitalize()}: all are read.")
            return
        variation, told = self._variation(batch, max(s.spread for s in planned))
        self.basis.variations[batch] = variation
        self.basis.said.append(f"{words.capitalize()}: {count} read; the others ±{self._length(2 * variation.common)} together and "
                               f"±{self._length(2 * variation.each)} each"
                               f"{', ' + self._length(variation.shift) + ' off on average' if variation.shift else ''}, {told}.")

    def _variation(self, batch: str, tolerance: float) -> tuple[Variation, str]:
        history, engines = size_history(self.shop, self.build.stream, self.kind, batch)
        if self.source == "history" and history is None:
            raise BadInput(f"source: history: {engines} other engines of this shop have {WORDS[self.kind, batch]} both stated and "
                           "read; two are needed at least")
        enough = engines >= FEWEST_ENGINES or self.source == "history"
        if history is not None and enough and self.source != "tolerance":
            return history, f"from {engines} earlier engines of this shop"
        if not tolerance:
            raise BadInput(f"tolerance of {FEATURES[batch]} at {self._at(batch, self.addresses[0])}: not stated; state the size "
                           "with its tolerance")
        return (from_tolerance(half_width=tolerance, common_share=COMMON_SHARE),
                f"from the maker's tolerance of ±{self._length(tolerance)}, {COMMON_SHARE:.0%} of its variance in common")

    def _planned(self, station: str, wall: float, crush: float) -> Planned:
        housing, journal = (self.sizes[batch][station] for batch in ("housings", "journals"))
        limits = limits_for(self.build, catalogue()[f"{self.kind}-oil-clearance"], station, journal.value)
        if limits.lower is None or limits.upper is None:
            raise BadInput(f"{self.kind}-oil-clearance at {station}: it has no two limits; state them, or give a house rule")
        batches = {"walls": -2.0, "crush": 1.0, f"housings{' read' if housing.read else ''}": 1.0,
                   f"journals{' read' if journal.read else ''}": -1.0}
        room = housing.value - journal.value - 2 * wall + crush
        return Planned(station, room, limits.lower, limits.upper, {b: f for b, f in batches.items() if b in self.basis.variations},
                       LOADED[self.kind])

    def _length(self, value: float) -> str:
        unit = unit_for(Quantity.LENGTH, self.system)
        return write(value, Quantity.LENGTH, unit=unit, decimals=5 if unit == "in" else 4)
