"""Crush: how much the installed inside diameter differs from housing less walls, learned from installed readings."""

from math import sqrt

from tenths.findings.resolve import Input, Resolver
from tenths.metrology.estimate import Estimate, combine, mean, single

UNKNOWN = 0.0002 * 0.0254  # standard uncertainty [m] before anything is learned; common practice, no source
BETWEEN = 0.0001 * 0.0254  # standard deviation [m] from place to place until three are read; common practice, no source


def learned_crush(resolver: Resolver, kind: str, addresses: list[str]) -> Input | None:
    """The crush offset of a kind of place ("main" or "rod") from the places that are read both ways.

    Args:
        resolver: looks readings up.
        kind: of the places.
        addresses: the places.

    Returns:
        The mean of installed less (housing - walls), with the spread from place to place as a cause of its own, or
        None when no place is read both ways. Causes that the readings share stay shared.
    """
    offsets: list[Estimate] = []
    entries: list[str] = []
    for station in addresses:
        inputs = _read_both_ways(resolver, station)
        if inputs is None:
            continue
        given = [i.estimate for i in inputs if i.estimate is not None]
        offsets.append(combine((1.0, -1.0, 1.0, 1.0), given))
        entries += [e for i in inputs for e in i.entries]
    if not offsets:
        return None
    learned = mean(offsets)
    spread = single(0.0, _between(offsets) / sqrt(len(offsets)), f"crush:{kind}", freedom=_freedom(offsets))
    return Input("crush_offset", kind, "crush-offset", "learned", combine((1.0, 1.0), (learned, spread)), tuple(entries))


def _read_both_ways(resolver: Resolver, station: str) -> tuple[Input, Input, Input, Input] | None:
    wanted = (("installed-bore", station, ()), ("housing-bore", station, ("B",)),
              ("shell-wall", f"{station}.shell.upper", ()), ("shell-wall", f"{station}.shell.lower", ()))
    found = [resolver.input("crush", where, feature, places, None) for feature, where, places in wanted]
    if any(i.estimate is None or i.stale for i in found) or found[0].origin != "read":
        return None
    return found[0], found[1], found[2], found[3]


def _between(offsets: list[Estimate]) -> float:
    if len(offsets) < 3:
        return BETWEEN
    centre = sum(o.value for o in offsets) / len(offsets)
    return sqrt(sum((o.value - centre) ** 2 for o in offsets) / (len(offsets) - 1))


def _freedom(offsets: list[Estimate]) -> float:
    return float(len(offsets) - 1) if len(offsets) > 2 else float("inf")


def unknown_crush(kind: str) -> Input:
    """The crush offset before anything is known: none, give or take."""
    return Input("crush_offset", kind, "crush-offset", "taken", single(0.0, UNKNOWN, f"crush:{kind}"))
