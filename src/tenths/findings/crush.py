"""Crush: how much the installed inside diameter differs from housing less walls, learned from installed readings."""

from dataclasses import dataclass

from tenths.choose.crush import Learned, Prior, learn_crush
from tenths.findings.resolve import Input, Resolver
from tenths.metrology.estimate import Estimate, combine

CRUSH_FEATURES = frozenset({"installed-bore", "housing-bore", "shell-wall"})  # what teaches it
BEFORE = Prior(mean=0.0, u=0.0002 * 0.0254)  # [m] before any cap has been read; common practice, no source


@dataclass(frozen=True, slots=True)
class Crush:
    """What is known of the crush of a kind of place, and the entries that taught it."""

    learned: Learned
    entries: tuple[str, ...]

    def input(self, station: str) -> Input:
        """The crush offset of one place: the average of its kind, with the scatter from place to place as its own."""
        origin = "learned" if self.entries else "taken"
        return Input("crush_offset", station, "crush-offset", origin, self.learned.at(station), self.entries)


def crush_of(resolver: Resolver, kind: str, addresses: list[str]) -> Crush:
    """The crush offset of a kind of place ("main" or "rod") from the places that are read both ways.

    Args:
        resolver: looks readings up.
        kind: of the places.
        addresses: the places.

    Returns:
        Weighted mean of what was known before and of installed less (housing - walls) where both are read; causes
        that the readings share stay shared.
    """
    installed: list[Estimate] = []
    expected: list[Estimate] = []
    entries: list[str] = []
    for station in addresses:
        inputs = _read_both_ways(resolver, station)
        if inputs is None:
            continue
        bore, housing, upper, lower = (i.estimate for i in inputs)
        if bore and housing and upper and lower:
            installed.append(bore)
            expected.append(combine((1.0, -1.0, -1.0), (housing, upper, lower)))
            entries += [e for i in inputs for e in i.entries]
    return Crush(learn_crush(expected, installed, prior=BEFORE, kind=kind), tuple(dict.fromkeys(entries)))


def crush_offsets(resolver: Resolver, addresses: list[str]) -> list[float]:
    """Crush [m] of each of these places that is read both ways: installed less (housing - walls)."""
    found: list[float] = []
    for station in addresses:
        inputs = _read_both_ways(resolver, station)
        values = [i.estimate.value for i in inputs or () if i.estimate is not None]
        if len(values) == 4:
            bore, housing, upper, lower = values
            found.append(bore - (housing - upper - lower))
    return found


def _read_both_ways(resolver: Resolver, station: str) -> tuple[Input, ...] | None:
    wanted = (("installed-bore", station, ()), ("housing-bore", station, ("B",)),
              ("shell-wall", f"{station}.shell.upper", ()), ("shell-wall", f"{station}.shell.lower", ()))
    found = tuple(resolver.input("crush", where, feature, places, None) for feature, where, places in wanted)
    if any(i.estimate is None or i.stale for i in found) or found[0].origin != "read" or found[1].origin != "read":
        return None
    return found
