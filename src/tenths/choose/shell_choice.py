"""Which half goes where: worst deviation from target, then spread, then boxes opened, proven best."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from tenths.choose.answer import Alternative, Answer, Pick, Predicted, Score
from tenths.choose.pairing import NOTHING, Boxes, Found, Pair, Picks, Solver, Task, best_pairs, enough
from tenths.choose.shell_stops import explain
from tenths.choose.shells import (
    HOUSE_SHELL_RULES,
    Half,
    Place,
    ShellRules,
    Side,
    Stock,
    clearance,
    may_pair,
    suits,
)
from tenths.choose.words import System, length, listed, percent
from tenths.errors import BadInput

QUANTUM = 1e-10  # deviations are compared in steps of this [m]
GOALS = ("worst deviation from target", "spread", "boxes to open", "sum of deviations")

_SEALED = "sealed:"


@dataclass(frozen=True, slots=True)
class Sorted:
    """Places of one kind with their stock, in the shape that the search takes.

    Attributes:
        places: all of the kind.
        open_: those where something is still to be chosen.
        classes: a half that stands for each class.
        members: ids of the loose halves of each class.
        homes: slot where each of those is now, for those that are somewhere.
        pairs: possible pairs of each open place, limits not yet looked at.
        task: the same with limits.
    """

    places: tuple[Place, ...]
    open_: tuple[Place, ...]
    classes: tuple[Half, ...]
    members: tuple[tuple[str, ...], ...]
    pairs: tuple[tuple[Pair, ...], ...]
    task: Task
    homes: Mapping[str, str] = field(default_factory=dict[str, str])

    def halves(self, place: int, pair: Pair) -> tuple[Half, Half]:
        """The two halves of a pair at an open place."""
        seats = self.open_[place].upper_seat, self.open_[place].lower_seat
        found = [
            self.classes[kind] if kind != NOTHING else seat.fitted
            for kind, seat in zip((pair.upper, pair.lower), seats, strict=True)
        ]
        if found[0] is None or found[1] is None:
            raise BadInput(f"{self.open_[place].station}: a half is neither chosen nor fitted")
        return found[0], found[1]


def choose_shells(
    places: Sequence[Place],
    stock: Stock,
    rules: ShellRules = HOUSE_SHELL_RULES,
    *,
    others: int = 3,
    system: System = "inch",
    solver: Solver = "auto",
    seconds: float = 10.0,
) -> Answer:
    """Halves for every place: the worst deviation from target first, then the spread, then boxes opened.

    Each kind of place (mains, rods) is a question of its own, because no shell serves two kinds; so each kind is best
    by itself. The spread is the largest less the smallest deviation from target, over fitted places too; with one
    target for all it is the spread of the clearances. What is still equal is decided by the sum of deviations.

    Args:
        places: where; halves that are fitted already stay.
        stock: loose halves and sealed boxes. Loose ones may be measured one by one or all alike by size.
        rules: of the house.
        others: how many next-best answers to give for each kind.
        system: of units, for the sentences.
        solver: see `best_pairs`.
        seconds: after which the solver gives up on a step.

    Returns:
        The answer. Scores are those of the kind that does worst; alternatives differ in one kind only.
    """
    if len({p.station for p in places}) != len(places):
        raise BadInput("places: each station may stand there once")
    answers = [
        _choose_kind([p for p in places if p.kind == kind], stock, rules, others, system, solver, seconds)
        for kind in dict.fromkeys(p.kind for p in places)
    ]
    return _joined(answers)


def sort_out(places: Sequence[Place], stock: Stock, rules: ShellRules) -> Sorted:
    """Put places and stock of one kind into the shape that the search takes.

    Args:
        places: of one kind.
        stock: any; halves of other kinds are left out.
        rules: of the house.

    Returns:
        Classes of like halves and the pairs possible at each place.
    """
    if not places:
        raise BadInput("places: at least one is needed")
    kind = places[0].kind
    index: dict[tuple[object, ...], int] = {}
    classes: list[Half] = []
    members: list[list[str]] = []

    def class_of(half: Half) -> int:
        key = _alike(half)
        if key not in index:
            index[key] = len(classes)
            classes.append(half)
            members.append([])
        return index[key]

    for half in stock.halves:
        if half.kind == kind:
            members[class_of(half)].append(half.id)
    boxes: list[Boxes] = []
    for box in stock.boxes:
        content = tuple((class_of(half), each) for half, each in box.content if half.kind == kind)
        if content:
            boxes.append(Boxes(box.count, content))
    open_ = [p for p in places if p.upper_seat.fitted is None or p.lower_seat.fitted is None]
    have = Task((), tuple(map(len, members)), tuple(boxes)).capacity([each.count for each in boxes])
    pairs = tuple(tuple(pair for pair in _pairs(p, classes, rules) if enough(pair, have)) for p in open_)
    within = tuple(tuple(pair for pair in each if _inside(pair, p)) for p, each in zip(open_, pairs, strict=True))
    fixed = tuple(
        _deviation(p, p.upper_seat.fitted, p.lower_seat.fitted) for p in places if p.upper_seat.fitted and p.lower_seat.fitted
    )
    task = Task(within, tuple(map(len, members)), tuple(boxes), fixed)
    homes = {half.id: half.at for half in stock.halves if half.at}
    return Sorted(tuple(places), tuple(open_), tuple(classes), tuple(map(tuple, members)), pairs, task, homes)


def _alike(half: Half) -> tuple[object, ...]:
    """Halves with the same of all this cannot be told apart by any rule or goal."""
    return (
        round(half.wall.value / QUANTUM),
        round(half.size.change / QUANTUM),
        half.side,
        half.grooved,
        half.thrust,
        half.only_at,
        round(half.wall.u / QUANTUM),
    )


def _pairs(place: Place, classes: Sequence[Half], rules: ShellRules) -> Iterable[Pair]:
    sides: tuple[Side, Side] = ("upper", "lower")
    upper, lower = (_candidates(place, side, classes) for side in sides)
    base = place.room.value + place.crush.value - place.target
    for u, up in upper:
        for low, down in lower:
            if may_pair(up, down, place, rules):
                yield Pair(u, low, round((base - up.wall.value - down.wall.value) / QUANTUM))


def _candidates(place: Place, side: Side, classes: Sequence[Half]) -> list[tuple[int, Half]]:
    fitted = place.seat(side).fitted
    if fitted is not None:
        return [(NOTHING, fitted)]
    return [(number, half) for number, half in enumerate(classes) if suits(half, place, side)]


def _inside(pair: Pair, place: Place) -> bool:
    low, high = (place.lower - place.target) / QUANTUM, (place.upper - place.target) / QUANTUM
    return math.floor(low + 0.5) <= pair.deviation <= math.ceil(high - 0.5)


def _deviation(place: Place, upper: Half, lower: Half) -> int:
    value = place.room.value + place.crush.value - upper.wall.value - lower.wall.value - place.target
    return round(value / QUANTUM)


def _choose_kind(
    places: Sequence[Place],
    stock: Stock,
    rules: ShellRules,
    others: int,
    system: System,
    solver: Solver,
    seconds: float,
) -> Answer:
    problem = sort_out(places, stock, rules)
    kind = places[0].kind
    question = f"Which half in which {kind}?"
    rests_on = _rests_on(problem, stock, rules)
    best = best_pairs(problem.task, solver=solver, seconds=seconds)
    if best is None:
        return Answer(question, (), rests_on=rests_on, stops=explain(problem, stock, rules, system))
    ranked = [best]
    while len(ranked) <= others:
        following = best_pairs(
            problem.task, without=[f.picks for f in ranked], from_worst=ranked[-1].worst, solver=solver, seconds=seconds
        )
        if following is None:
            break
        ranked.append(following)
    options = [_option(problem, found) for found in ranked]
    alternatives = tuple(Alternative(o.picks, o.predicted, o.scores, _how_it_differs(options[0], o, system)) for o in options[1:])
    gap = 0.0 if best.proven else (best.worst - best.at_least) * QUANTUM
    reasons = _reasons(problem, best, options[0], rules, system)
    return Answer(
        question,
        options[0].picks,
        options[0].predicted,
        options[0].scores,
        reasons,
        alternatives,
        rests_on,
        best.proven,
        gap,
    )


def _option(problem: Sorted, found: Found) -> Alternative:
    """The answer in the words of the shop: a loose half by its id, a sealed one by size and side."""
    names = _names(problem, found)
    picks: list[Pick] = []
    estimates: dict[str, Predicted] = {}
    for number, index in enumerate(found.picks):
        place, pair = problem.open_[number], problem.task.places[number][index]
        halves = problem.halves(number, pair)
        for kind, half, side in zip((pair.upper, pair.lower), halves, ("upper", "lower"), strict=True):
            if kind != NOTHING:
                slot = f"{place.station}.shell.{side}"
                picks.append(Pick(slot, names[slot], _half_in_words(half, names[slot]), half.size.change))
        estimates[place.station] = _predicted(place, *halves)
    for place in problem.places:
        up, down = place.upper_seat.fitted, place.lower_seat.fitted
        if up is not None and down is not None:
            estimates[place.station] = _predicted(place, up, down)
    values = (found.worst * QUANTUM, found.spread * QUANTUM, float(found.opened), found.total * QUANTUM)
    scores = tuple(Score(name, value, "" if name == GOALS[2] else "m") for name, value in zip(GOALS, values, strict=True))
    return Alternative(tuple(picks), tuple(estimates[p.station] for p in problem.places), scores)


def _names(problem: Sorted, found: Found) -> dict[str, str]:
    """Which half by name goes to each slot: of those alike, the one that is there already, then any, then a sealed one."""
    loose = [list(ids) for ids in problem.members]
    wanted: list[tuple[str, int]] = []
    for number, index in enumerate(found.picks):
        pair, station = problem.task.places[number][index], problem.open_[number].station
        wanted += [(f"{station}.shell.{side}", kind) for side, kind in (("upper", pair.upper), ("lower", pair.lower))
                   if kind != NOTHING]
    names: dict[str, str] = {}
    for slot, kind in wanted:
        for name in loose[kind]:
            if problem.homes.get(name) == slot:
                names[slot] = name
                loose[kind].remove(name)
                break
    for slot, kind in wanted:
        if slot not in names:
            names[slot] = loose[kind].pop(0) if loose[kind] else f"{_SEALED}{problem.classes[kind].size.label}"
    return names


def _half_in_words(half: Half, name: str) -> str:
    kind = f"{half.size.label}{' grooved' if half.grooved else ''}{' thrust' if half.thrust else ''}"
    return f"{kind} half from a box not yet opened" if name.startswith(_SEALED) else f"{kind} half {name}"


def _predicted(place: Place, upper: Half, lower: Half) -> Predicted:
    return Predicted(
        place.station,
        f"{place.kind}-oil-clearance",
        clearance(place, upper, lower),
        place.lower,
        place.upper,
        place.target,
    )


def _reasons(problem: Sorted, found: Found, option: Alternative, rules: ShellRules, system: System) -> tuple[str, ...]:
    said: list[str] = []
    if problem.open_:
        at = [
            problem.open_[p].station for p, i in enumerate(found.picks) if abs(problem.task.places[p][i].deviation) == found.worst
        ]
        said.append(
            f"No other choice brings the worst place closer to its target than {listed(at)}, "
            f"{length(found.worst * QUANTUM, system)} off."
        )
        said.append(f"Among those the deviations differ least, by {length(found.spread * QUANTUM, system)}.")
    for number, index in enumerate(found.picks):
        pair = problem.task.places[number][index]
        up, down = problem.halves(number, pair)
        if abs(up.size.change - down.size.change) > QUANTUM:
            said.append(_why_mixed(problem, number, up, down, pair, rules, system))
    if found.opened:
        said.append(f"{found.opened} box{'es' if found.opened > 1 else ''} must be opened; fewer will not do as well.")
    weakest = min(option.predicted, key=lambda p: p.probability)
    said.append(f"Least sure is {weakest.station}: within its limits with {percent(weakest.probability)}.")
    return tuple(said)


def _why_mixed(problem: Sorted, number: int, up: Half, down: Half, pair: Pair, rules: ShellRules, system: System) -> str:
    """Why two sizes stand together, against the best pair of one size."""
    place = problem.open_[number]
    alike = [
        abs(p.deviation)
        for p in problem.pairs[number]
        if abs(problem.halves(number, p)[0].size.change - problem.halves(number, p)[1].size.change) <= QUANTUM
    ]
    text = f"{place.station}: {up.size.label} above and {down.size.label} below"
    if alike and min(alike) > abs(pair.deviation):
        text += (
            f", because a pair of one size comes no closer than {length(min(alike) * QUANTUM, system)}"
            f" and this comes within {length(abs(pair.deviation) * QUANTUM, system)}"
        )
    if rules.thicker != "either":
        text += f"; the thicker half goes on the {rules.thicker} side ({'above' if _thick_up(up, down) else 'below'})"
    return text + "."


def _thick_up(up: Half, down: Half) -> bool:
    return up.size.change < down.size.change


def _how_it_differs(best: Alternative, other: Alternative, system: System) -> str:
    moved = sorted({p.where.rsplit(".shell.", 1)[0] for p in set(other.picks) ^ set(best.picks)})
    worse = [
        f"{o.name} {length(o.value, system) if o.unit else f'{o.value:g}'} instead of "
        f"{length(b.value, system) if b.unit else f'{b.value:g}'}"
        for b, o in zip(best.scores, other.scores, strict=True)
        if o.value - b.value > QUANTUM / 2
    ]
    return f"Other halves at {listed(moved)}: {worse[0] if worse else 'as good by every goal'}."


def _rests_on(problem: Sorted, stock: Stock, rules: ShellRules) -> tuple[str, ...]:
    places = [
        f"{p.station}: room {p.room.value:.9g} m ± {p.room.u:.2g}, crush {p.crush.value:.2g} m ± {p.crush.u:.2g}"
        for p in problem.places
    ]
    boxes = [f"{box.count} sealed box(es) {box.label}" for box in stock.boxes]
    loose = sum(map(len, problem.members))
    rule = f"sizes up to {rules.step:.3g} m apart; thicker half on side: {rules.thicker}"
    return (*places, f"{loose} loose halves", *boxes, rule)


def _joined(answers: Sequence[Answer]) -> Answer:
    """One answer for mains and rods together."""
    if len(answers) == 1:
        return answers[0]
    scores: list[Score] = []
    for same in zip(*(a.scores for a in answers if a.scores), strict=False):
        total = sum if same[0].name in GOALS[2:] else max
        scores.append(Score(same[0].name, total(s.value for s in same), same[0].unit))
    return Answer(
        " ".join(a.question for a in answers),
        tuple(p for a in answers for p in a.picks),
        tuple(p for a in answers for p in a.predicted),
        tuple(scores),
        tuple(r for a in answers for r in a.reasons),
        tuple(x for a in answers for x in a.alternatives),
        tuple(dict.fromkeys(r for a in answers for r in a.rests_on)),
        all(a.proven for a in answers),
        max((a.gap for a in answers), default=0.0),
        tuple(s for a in answers for s in a.stops),
    )


def changed_picks(problem: Sorted, found: Picks) -> tuple[tuple[Half, Half], ...]:
    """The halves of each open place in an answer of the search.

    Args:
        problem: as sorted out.
        found: index of the pair at each open place.

    Returns:
        Upper and lower half of each.
    """
    return tuple(problem.halves(n, problem.task.places[n][i]) for n, i in enumerate(found))
