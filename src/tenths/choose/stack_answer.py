"""The stack as an answer: what to fit and to cut, what it will come to and how sure that is, why, and what else."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tenths.choose.answer import Alternative, Answer, Pick, Predicted, Score
from tenths.choose.match_parts import Window
from tenths.choose.stack_stops import stack_stops
from tenths.choose.stacks import (
    AS_IT_IS,
    QUANTUM,
    Bank,
    BankWay,
    Crown,
    Gasket,
    Stack,
    StackCylinder,
    StackRules,
    every_stack,
    slope_cuts,
)
from tenths.choose.words import System, listed, worked
from tenths.metrology.estimate import Estimate, combine, linear, single

QUESTION = "Which gasket, and what is to be cut?"


def choose_stack(
    banks: Sequence[Bank],
    gaskets: Sequence[Gasket],
    crowns: Sequence[Crown],
    rules: StackRules,
    *,
    others: int = 3,
    system: System = "inch",
) -> tuple[Answer, tuple[Stack, ...]]:
    """Gasket, cuts, chamber and crown for the targets, with the least metal taken off.

    Args:
        banks: of the engine as it stands.
        gaskets: that can be had.
        crowns: that can be had.
        rules: targets, limits and what may be done.
        others: how many next-best answers to give; each with another gasket, another crown or without machining.
        system: of units, for the sentences.

    Returns:
        The answer, proven because every way in steps of the machine was looked at; and the stacks behind it, best first.

    Raises:
        BadInput: if there is no bank, no gasket or no crown.
    """
    found = every_stack(banks, gaskets, crowns, rules)
    rests_on = _rests_on(gaskets, crowns, rules, system)
    if not found:
        return Answer(QUESTION, (), rests_on=rests_on, stops=stack_stops(banks, gaskets, crowns, rules, system)), ()
    kept = found[: 1 + others]
    several = len(crowns) > 1
    options = [_option(stack, kept[0], rules, system, crowns=several) for stack in kept]
    best = options[0]
    looked = len(gaskets) * len(crowns)
    reasons = _reasons(kept, rules, system, looked)
    return Answer(QUESTION, best.picks, best.predicted, best.scores, reasons, tuple(options[1:]), rests_on), tuple(kept)


def stack_of(cylinder: StackCylinder, way: BankWay, stack: Stack, rules: StackRules) -> dict[str, Estimate]:
    """What a cylinder comes to.

    Args:
        cylinder: as it is now.
        way: what is done to its bank.
        stack: with gasket and crown.
        rules: with the doubt of a cut.

    Returns:
        Deck clearance, squish clearance [m] and compression ratio [-], each with its doubt.

    Source: V = chamber + gasket + pi/4 B^2 deck + hollow, and 1 + pi/4 B^2 S / V; closed form.
    """
    at = way.bank.cylinders.index(cylinder)
    cut = _cut(way.cuts[at], rules, f"deck cut:{way.bank.name}")
    head = _cut(way.head, rules, f"head cut:{way.bank.name}")
    deck = combine((1.0, -1.0, -1.0), (cylinder.deck, cut, stack.crown.rise))
    hollow = cylinder.hollow if stack.crown.hollow is None else stack.crown.hollow
    chamber = combine((1.0, -rules.chamber_area), (cylinder.chamber, head), constant=way.opened)
    gasket = stack.gasket
    ratio = linear(_ratio, cylinder.bore, cylinder.stroke, deck, chamber, hollow, gasket.bore, gasket.thickness)
    return {"deck-clearance": deck, "squish-clearance": combine((1.0, 1.0), (deck, gasket.thickness)), "compression-ratio": ratio}


def _cut(amount: float, rules: StackRules, cause: str) -> Estimate:
    return single(amount, rules.cut_u if amount > QUANTUM else 0.0, cause)


def _ratio(bore: float, stroke: float, deck: float, chamber: float, hollow: float, hole: float, thick: float) -> float:
    area = math.pi / 4 * bore**2
    return 1.0 + area * stroke / (chamber + hollow + area * deck + math.pi / 4 * hole**2 * thick)


def _option(stack: Stack, best: Stack, rules: StackRules, system: System, *, crowns: bool) -> Alternative:
    picks: list[Pick] = []
    predicted: list[Predicted] = []
    for way in stack.ways:
        picks += _picks(stack, way, system, crowns=crowns)
        for cylinder in way.bank.cylinders:
            predicted += _predicted(cylinder, way, stack, rules)
    scores = (
        Score("weighted sum of the goals", stack.score, ""),
        *(Score("worst off the ratio", off, "") for off in [max(w.ratio_off for w in stack.ways)] if rules.ratio.target is not None),
        *(Score("worst off the squish", off) for off in [max(w.squish_off for w in stack.ways)] if rules.squish.target is not None),
        Score("metal taken off, all banks", math.fsum(way.metal for way in stack.ways)),
    )
    return Alternative(tuple(picks), tuple(predicted), scores, _differs(stack, best, rules, system))


def _picks(stack: Stack, way: BankWay, system: System, *, crowns: bool) -> list[Pick]:
    name, found = way.bank.name, list[Pick]()
    thick = worked(stack.gasket.thickness.value, system)
    found.append(Pick(f"gasket.{name}", stack.gasket.id, f"gasket {stack.gasket.id}, {thick} tightened", stack.gasket.thickness.value))
    found.append(Pick(f"deck.{name}", "cut" if max(way.cuts) > QUANTUM else "not cut", _deck_words(way, system), max(way.cuts)))
    if _head_worked(way):
        found.append(Pick(f"head.{name}", "cut" if way.head > QUANTUM else "chambers opened", _head_words(way, system), way.head))
    if crowns and stack.crown is not AS_IT_IS:
        found += [Pick(f"{c.station}.piston", stack.crown.id, stack.crown.id) for c in way.bank.cylinders]
    return found


def _head_worked(way: BankWay) -> bool:
    """Whether anything is done to the head."""
    return way.head > QUANTUM or way.opened > QUANTUM * 1e-6


def _deck_words(way: BankWay, system: System) -> str:
    if max(way.cuts) <= QUANTUM:
        return "deck stays as it is"
    if not way.trued:
        return f"cut the deck by {worked(way.cuts[0], system)}, as it lies"
    first, last = way.bank.cylinders[0].station, way.bank.cylinders[-1].station
    return (f"cut the deck parallel to the crank: {worked(way.cuts[0], system)} at {_label(first)}, "
            f"{worked(way.cuts[-1], system)} at {_label(last)}")


def _label(station: str) -> str:
    return station.replace("cyl.", "cylinder ")


def _head_words(way: BankWay, system: System) -> str:
    done = [f"cut the head by {worked(way.head, system)}"] if way.head > QUANTUM else []
    if way.opened > QUANTUM * 1e-6:
        done.append(f"open each chamber by {way.opened * 1e6:.1f} cc")
    return ", and ".join(done)


def _predicted(cylinder: StackCylinder, way: BankWay, stack: Stack, rules: StackRules) -> list[Predicted]:
    told = stack_of(cylinder, way, stack, rules)
    windows = {"compression-ratio": rules.ratio, "squish-clearance": rules.squish, "deck-clearance": Window()}
    rows = [Predicted(cylinder.station, name, told[name], w.lower, w.upper, w.target) for name, w in windows.items()]
    at = way.bank.cylinders.index(cylinder)
    now = stack.gasket.thickness if rules.gasket_now is None else rules.gasket_now
    for valve in cylinder.valves:
        cut = _cut(way.cuts[at], rules, f"deck cut:{way.bank.name}")
        head = _cut(way.head, rules, f"head cut:{way.bank.name}")
        room = combine((1.0, 1.0, -1.0, -1.0, -1.0, -1.0), (valve.room, stack.gasket.thickness, now, cut, head, stack.crown.rise))
        rows.append(Predicted(valve.station, valve.characteristic, room, valve.lower))
    return rows


def _differs(stack: Stack, best: Stack, rules: StackRules, system: System) -> str:
    if stack is best:
        return ""
    words: list[str] = []
    if stack.gasket.id != best.gasket.id:
        words.append(f"gasket {stack.gasket.id}")
    if stack.crown.id != best.crown.id:
        words.append(stack.crown.id)
    metal = math.fsum(way.metal for way in stack.ways)
    words.append(f"{worked(metal, system)} of metal off in all" if stack.machined else "nothing machined")
    head = "; ".join(words)
    return f"{head[0].upper()}{head[1:]}{': ' if _off_words(stack, rules, system) else ''}{_off_words(stack, rules, system)}."


def _off_words(stack: Stack, rules: StackRules, system: System) -> str:
    """How far off the targets that there are, at worst."""
    ratio, squish = max(way.ratio_off for way in stack.ways), max(way.squish_off for way in stack.ways)
    words = [f"ratio off by {ratio:.2f}"] if rules.ratio.target is not None else []
    words += [f"squish off by {worked(squish, system)}"] if rules.squish.target is not None else []
    return f"{listed(words)} at worst" if words else ""


def _reasons(kept: Sequence[Stack], rules: StackRules, system: System, looked: int) -> tuple[str, ...]:
    best = kept[0]
    every = "both" if looked == 2 else f"all {looked}"
    first = (
        f"Every way in steps of {worked(rules.step, system)} was looked at, under {every} combinations of gasket and piston: "
        "none does better by the goals as weighed." if looked > 1 else
        f"Every way in steps of {worked(rules.step, system)} was looked at: none does better by the goals as weighed.")
    words = [first]
    off = _off_words(best, rules, system)
    if off:
        words.append(f"{off[0].upper()}{off[1:]}.")
    if not best.machined:
        words.append(f"Nothing needs to be machined: to set a block or a head up counts as {rules.set_up:g}, and gains less.")
    for way in best.ways:
        slope = max(slope_cuts(way.bank))
        if slope > rules.step:
            done = "cut parallel" if way.trued else "left lying as it does"
            words.append(f"Deck {way.bank.name} falls by {worked(slope, system)} along the bank; it is {done}.")
    return tuple(words)


def _rests_on(gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules, system: System) -> tuple[str, ...]:
    return (
        *(f"gasket {g.id}: {worked(g.thickness.value, system)} tightened" for g in gaskets),
        *(c.id for c in crowns),
        (f"{rules.ratio_per:g} of ratio, {worked(rules.squish_per, system)} of squish and {worked(rules.metal_per, system)} of metal "
        "weigh the same"),
        f"deck at most {worked(rules.most_deck, system)}, head at most {worked(rules.most_head, system)}",
    )
