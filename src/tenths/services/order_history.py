"""What the shop's earlier engines say of how sizes come out: deviations from what was stated, engine by engine."""

from tenths.choose.crush import Prior, prior_from_history
from tenths.choose.scenarios import Variation, from_history
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.crush import crush_offsets
from tenths.findings.declare import address
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook.build import Build
from tenths.services.shop import Shop

FEWEST_ENGINES = 3  # from so many on, the shop's own history is taken before the maker's tolerance
FEATURES = {"housings": "housing-bore", "journals": "journal"}


def size_history(shop: Shop, engine: str, kind: str, batch: str) -> tuple[Variation | None, int]:
    """How housings or journals came out on the shop's other engines.

    Args:
        shop: the shop.
        engine: which is left out.
        kind: main or rod.
        batch: housings or journals.

    Returns:
        Scatter of what a batch has in common and of each by itself, and the mean deviation from what was stated; None
        where there is too little. And how many engines it rests on.
    """
    batches = [found for name in shop.engines() if name != engine and (found := _deviations(shop.build(name), kind, batch))]
    try:
        return from_history(batches, nominal=0.0), len(batches)
    except BadInput:
        return None, len(batches)


def _deviations(build: Build, kind: str, batch: str) -> list[float]:
    """Read less stated [m] at every place of an engine where both are known and the reading holds."""
    if build.layout is None:
        return []
    resolver, feature = Resolver(build, InstrumentBook(build)), FEATURES[batch]
    places = ("B",) if batch == "housings" else ()
    found: list[float] = []
    for station in (s.address for s in stations(build.layout) if s.kind == kind):
        where = address("pin.{pin}", build.layout, station) if (kind, batch) == ("rod", "journals") else station
        read, stated = resolver.input(batch, where, feature, places, None), build.stated(where, feature)
        if read.origin == "read" and read.estimate is not None and not read.stale and stated is not None:
            found.append(read.estimate.value - stated.value)
    return found


def crush_history(shop: Shop, engine: str, kind: str) -> tuple[Prior | None, int]:
    """Crush on the shop's other engines, and how many of them told it; None where there is too little."""
    groups: list[list[float]] = []
    for name in shop.engines():
        build = shop.build(name)
        if name != engine and build.layout is not None:
            addresses = [s.address for s in stations(build.layout) if s.kind == kind]
            groups.append(crush_offsets(Resolver(build, InstrumentBook(build)), addresses))
    told = [group for group in groups if group]
    try:
        return prior_from_history(told), len(told)
    except BadInput:
        return None, len(told)
