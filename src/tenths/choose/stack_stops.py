"""What keeps a stack from reaching its limits, and the smallest change of one of them that frees it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenths.choose.answer import Stop
from tenths.choose.stacks import LIMITS, QUANTUM, Bank, Crown, Gasket, StackRules, Ways
from tenths.choose.words import THOU, System, worked
from tenths.metrology.estimate import combine

_REACH = 3.0  # how many times the most that a deck may lose is looked at
_THICKER = 30


@dataclass(frozen=True, slots=True)
class _Freed:
    """What one limit would have to give, with which gasket and crown, at which cylinder."""

    limit: int
    amount: float
    station: str
    gasket: Gasket
    crown: Crown


def stack_stops(
    banks: Sequence[Bank], gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules, system: System
) -> tuple[Stop, ...]:
    """Why no stack keeps every limit: each limit that would free it by itself, and by how much; the least change first.

    Args:
        banks: of the engine.
        gaskets: that can be had.
        crowns: that can be had.
        rules: what may be done.
        system: of units, for the words.

    Returns:
        At least one stop.
    """
    units = (rules.ratio_per, rules.ratio_per, rules.squish_per, rules.squish_per, rules.squish_per, rules.metal_per)
    freed: dict[int, _Freed] = {}
    for gasket in gaskets:
        for crown in crowns:
            every = [Ways(bank, gasket, crown, rules, reach=_REACH) for bank in banks]
            for limit in range(len(LIMITS)):
                found = _alone(every, limit)
                if found is not None and (limit not in freed or found.amount < freed[limit].amount - QUANTUM):
                    freed[limit] = found
    ranked = sorted(freed.values(), key=lambda f: f.amount / units[f.limit])
    stops = [_words(f, rules, system) for f in ranked]
    other = _other_gasket(banks, gaskets, crowns, rules)
    if other is not None:
        stops.append(_gasket_words(*other, system))
    return tuple(stops) or (_nothing(banks, gaskets, crowns, rules, units, system),)


def _alone(every: Sequence[Ways], limit: int) -> _Freed | None:
    """The least by which one limit would have to give on every bank, the others being kept."""
    worst: _Freed | None = None
    for ways in every:
        others = (np.delete(ways.over, limit, axis=0) <= QUANTUM).all(axis=0)
        if not others.any():
            return None
        at = int(np.flatnonzero(others)[ways.over[limit][others].argmin()])
        amount = float(ways.over[limit, at])
        station = ways.bank.cylinders[int(ways.at[limit, at])].station
        if worst is None or amount > worst.amount:
            worst = _Freed(limit, amount, station, ways.gasket, ways.crown)
    return worst


def _words(f: _Freed, rules: StackRules, system: System) -> Stop:
    with_ = f"with gasket {f.gasket.id}"
    by = f"{f.amount:.3f}" if f.limit < 2 else worked(f.amount, system)
    names = {
        0: ("lowest compression ratio", rules.ratio.lower, -1), 1: ("highest compression ratio", rules.ratio.upper, 1),
        2: ("smallest squish clearance", rules.squish.lower, -1), 3: ("largest squish clearance", rules.squish.upper, 1),
    }
    if f.limit in names:
        name, edge, sign = names[f.limit]
        now = edge or 0.0
        said, eased = (f"{now:g}", f"{now + sign * f.amount:.3f}") if f.limit < 2 else (
            worked(now, system), worked(now + sign * f.amount, system))
        limit = f"{name} {said}"
        words = f"{f.station}: {with_} the {limit} is missed by {by}; a limit of {eased} frees it."
    elif LIMITS[f.limit] == "valve":
        limit = "room between valve and piston"
        words = f"{f.station}: {with_} the {limit} lacks {by}; pockets deeper by that much free it."
    else:
        limit = f"most off the deck {worked(rules.most_deck, system)}"
        words = f"{f.station}: {with_} the deck would have to lose {by} more than the {limit}; that much more allowed frees it."
    return Stop(f.station, limit, words, None if f.limit < 2 else f.amount)


def _other_gasket(
    banks: Sequence[Bank], gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules
) -> tuple[Gasket, float] | None:
    """The gasket of the list that would have to differ least in thickness, and by how much."""
    for number in range(1, _THICKER + 1):
        for change in (number * THOU, -number * THOU):
            for gasket in gaskets:
                if gasket.thickness.value + change <= 0:
                    continue
                thick = replace(gasket, thickness=combine((1.0,), (gasket.thickness,), constant=change))
                if any(all(_keeps(Ways(bank, thick, crown, rules)) for bank in banks) for crown in crowns):
                    return gasket, change
    return None


def _keeps(ways: Ways) -> bool:
    return bool((ways.over <= QUANTUM).all(axis=0).any())


def _gasket_words(gasket: Gasket, change: float, system: System) -> Stop:
    thick = worked(gasket.thickness.value + change, system)
    words = (f"No gasket of the list does; one of {thick} would, {worked(abs(change), system)} "
             f"{'thicker' if change > 0 else 'thinner'} than {gasket.id}.")
    return Stop("engine", "thickness of the gasket", words, abs(change))


def _nothing(
    banks: Sequence[Bank], gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules, units: Sequence[float], system: System
) -> Stop:
    """No limit frees it by itself: the way that misses least, and all that it misses."""
    worst: tuple[float, str, str] | None = None
    for total, station, said in _missing(banks, gaskets, crowns, rules, units, system):
        if worst is None or total < worst[0]:
            worst = (total, station, said)
    assert worst is not None  # noqa: S101 - there is at least one gasket, crown and bank
    return Stop(worst[1], "several limits at once", f"No single limit frees it. Least is missed {worst[2]}", None)


def _missing(
    banks: Sequence[Bank], gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules, units: Sequence[float], system: System
) -> Iterator[tuple[float, str, str]]:
    for gasket in gaskets:
        for crown in crowns:
            rows = [_least_missed(Ways(bank, gasket, crown, rules), units, system) for bank in banks]
            total = max(row[0] for row in rows)
            yield total, max(rows)[1], f"with gasket {gasket.id}: " + "; ".join(row[2] for row in rows if row[2]) + "."


def _least_missed(ways: Ways, units: Sequence[float], system: System) -> tuple[float, str, str]:
    parts = ways.over / np.array(units)[:, None]
    at = int(parts.sum(axis=0).argmin())
    missed = [k for k in range(len(LIMITS)) if ways.over[k, at] > QUANTUM]
    stations = [ways.bank.cylinders[int(ways.at[k, at])].station for k in missed]
    amounts = [f"{ways.over[k, at]:.3f}" if k < 2 else worked(float(ways.over[k, at]), system) for k in missed]
    said = " and ".join(f"{LIMITS[k]} at {s} by {a}" for k, s, a in zip(missed, stations, amounts, strict=True))
    return float(parts[:, at].sum()), stations[0] if stations else ways.bank.cylinders[0].station, said
