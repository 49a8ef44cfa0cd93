"""Why no choice of shells is possible, and the smallest change that would free it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tenths.choose.answer import Stop
from tenths.choose.pairing import Pair, Task, best_pairs
from tenths.choose.shells import Place, ShellRules, Side, Stock, suits
from tenths.choose.words import System, length, listed

if TYPE_CHECKING:
    from tenths.choose.shell_choice import Sorted

QUANTUM = 1e-10


def explain(problem: Sorted, stock: Stock, rules: ShellRules, system: System) -> tuple[Stop, ...]:
    """What stops the choice.

    Looked at in this order: a place that no half suits; a place where each pair misses the limits; too few halves for
    all places together; limits that cannot be kept in all places at once.

    Args:
        problem: places and pairs, without an answer.
        stock: what is in the house.
        rules: of the house.
        system: of units.

    Returns:
        At least one reason.
    """
    alone = [
        stop
        for number, place in enumerate(problem.open_)
        if (stop := _alone(place, problem.pairs[number], problem.task.places[number], problem, rules, system))
    ]
    if alone:
        return tuple(alone)
    if best_pairs(replace(problem.task, places=problem.pairs)) is None:
        return (_too_few(problem, stock),)
    return _together(problem, system)


def _alone(
    place: Place, pairs: Sequence[Pair], within: Sequence[Pair], problem: Sorted, rules: ShellRules, system: System
) -> Stop | None:
    if not pairs:
        return _nothing_suits(place, problem, rules)
    if within:
        return None
    nearest = min(pairs, key=lambda pair: _miss(pair, place))
    return _missed(place, nearest, "the nearest pair in the house gives", system)


def _miss(pair: Pair, place: Place) -> int:
    """How far a pair is outside the limits [0.1 nm]."""
    low = round((place.lower - place.target) / QUANTUM)
    high = round((place.upper - place.target) / QUANTUM)
    return max(low - pair.deviation, pair.deviation - high, 0)


def _missed(place: Place, pair: Pair, lead: str, system: System) -> Stop:
    """The limit that is missed, by how much, and what would cure it."""
    value, change = place.target + pair.deviation * QUANTUM, _miss(pair, place) * QUANTUM
    over = value > place.target
    limit = f"{'largest' if over else 'smallest'} clearance {length(place.upper if over else place.lower, system)}"
    cure = (
        (
            f"a pair that takes {length(change, system)} more away, a housing made that much smaller (faces cut and "
            "honed again), or that much more allowed"
        )
        if over
        else (
            f"a pair that gives {length(change, system)} more, the journal ground by {length(change, system)}, "
            "the housing honed by as much, or that much less asked for"
        )
    )
    words = f"{place.station}: {lead} {length(value, system)}, {length(change, system)} beyond the {limit}."
    return Stop(place.station, limit, f"{words} Freed by {cure}.", change)


def _nothing_suits(place: Place, problem: Sorted, rules: ShellRules) -> Stop:
    sides: tuple[Side, Side] = ("upper", "lower")
    for side in sides:
        seat = place.seat(side)
        if seat.fitted is None and not any(suits(half, place, side) for half in problem.classes):
            what = " ".join(
                filter(
                    None,
                    (
                        "grooved" if seat.grooved else "plain" if seat.grooved is False else "",
                        "thrust" if seat.thrust else "",
                        side,
                        "half",
                    ),
                )
            )
            words = f"{place.station}: there is no {what} for it in the house. Freed by one such half of any size."
            return Stop(place.station, f"no {what}", words)
    rule = f"sizes no more than {rules.step:.3g} m apart, thicker half on side: {rules.thicker}"
    words = f"{place.station}: upper and lower halves are there, but no two that the house rule lets stand together."
    return Stop(place.station, rule, words + " Freed by the neighbouring size, or by turning the rule round.")


def _too_few(problem: Sorted, stock: Stock) -> Stop:
    """All places alone can be served, all together cannot, whatever the limits."""
    task = replace(problem.task, places=problem.pairs)
    spared = [
        place.station
        for number, place in enumerate(problem.open_)
        if len(problem.open_) == 1 or best_pairs(_without(task, number)) is not None
    ]
    halves = sum(problem.task.loose) + sum(b.count * n for b in problem.task.boxes for _, n in b.content)
    needed = sum((p.upper_seat.fitted is None) + (p.lower_seat.fitted is None) for p in problem.open_)
    where = f"with {listed(spared)} left out, the rest can be served" if spared else "more than one place lacks halves"
    words = (
        f"{needed} halves are needed and {halves} are in the house ({len(stock.boxes)} kinds of sealed box among "
        f"them), but not of the sides and kinds that all places need; {where}. Freed by one more set."
    )
    return Stop(spared[0] if len(spared) == 1 else "", "too few halves", words)


def _without(task: Task, number: int) -> Task:
    return replace(task, places=task.places[:number] + task.places[number + 1 :])


def _together(problem: Sorted, system: System) -> tuple[Stop, ...]:
    """Least widening of the limits by which all places can be served at once; it names the places that need it."""
    widened = tuple(
        tuple(replace(pair, deviation=_miss(pair, place)) for pair in pairs)
        for place, pairs in zip(problem.open_, problem.pairs, strict=True)
    )
    found = best_pairs(Task(widened, problem.task.loose, problem.task.boxes))
    if found is None:
        return (Stop("", "too few halves", "No way to serve all places was found."),)
    stops: list[Stop] = []
    for number, index in enumerate(found.picks):
        if widened[number][index].deviation:
            pair = problem.pairs[number][index]
            lead = "the others leave it no better pair than"
            stops.append(_missed(problem.open_[number], pair, lead, system))
    return tuple(stops)
