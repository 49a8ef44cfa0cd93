"""Which piston, rod and pin in which hole: equal compression, equal weights, wall clearance, least honing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tenths.choose.answer import Alternative, Answer, Pick, Predicted, Score
from tenths.choose.match_parts import Cylinder, Piston, Placed, Rod, Window, WristPin, placed
from tenths.choose.match_search import MassGoal, MatchTask, VolumeGoal, search
from tenths.choose.match_stops import matching_stop, violation
from tenths.choose.words import THOU, System, listed, worked
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, covariance

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Wholes = NDArray[np.int64]

QUESTION = "Which piston, rod and pin in which hole?"
QUANTUM = 1e-9
_DRAWS = 4000
_POOL = 6


@dataclass(frozen=True, slots=True)
class Goal:
    """How much a goal counts.

    Attributes:
        weight: against the other goals [-]; 0 leaves it out.
        per: amount that counts as one, in the unit of the goal.
        enough: amount below which nothing is gained, in the unit of the goal.
    """

    weight: float = 1.0
    per: float = 1.0
    enough: float = 0.0

    def __post_init__(self) -> None:
        if not (self.weight >= 0 and self.per > 0 and self.enough >= 0):
            raise BadInput(
                f"goal: weight {self.weight:g} and enough {self.enough:g} must be 0 or more, what counts as one ({self.per:g}) above 0"
            )

    @property
    def price(self) -> float:
        """Cost of one unit."""
        return self.weight / self.per


@dataclass(frozen=True, slots=True)
class MatchGoals:
    """What the builder wants; amounts that count as one are common practice, no source.

    Attributes:
        compression: spread of the compression ratio [-].
        weight: spread of piston, pin and small end together [kg].
        clearance: how far piston to wall stays off its target, over all holes [m].
        honing: taken out of all holes, on the diameter [m].
        moving: pistons and rods that change place; a rod takes its bearing along.
    """

    compression: Goal = Goal(1.0, 0.1)
    weight: Goal = Goal(1.0, 1e-3)
    clearance: Goal = Goal(1.0, THOU, 0.1 * THOU)
    honing: Goal = Goal(0.5, THOU)
    moving: Goal = Goal(0.03)


HOUSE_MATCH_GOALS = MatchGoals()


@dataclass(frozen=True, slots=True)
class TrueSpread:
    """A spread as computed, and as it is likely to be.

    Attributes:
        computed: from the values as measured.
        expected: of the true values, which scatter about the measured ones.
        likely_below: the true spread is below this with 95 %.
    """

    computed: float
    expected: float
    likely_below: float


@dataclass(frozen=True, slots=True)
class Matching:
    """The matching.

    Attributes:
        answer: as any choice answers.
        places: each cylinder with its parts; empty where nothing is possible.
        others: the same for each of the next-best answers.
        compression: spread of the compression ratio [-]; None where it is not told.
        weight: spread of the reciprocating mass [kg]; None where nothing was weighed.
    """

    answer: Answer
    places: tuple[Placed, ...] = ()
    others: tuple[tuple[Placed, ...], ...] = ()
    compression: TrueSpread | None = None
    weight: TrueSpread | None = None


def match_parts(
    cylinders: Sequence[Cylinder],
    pistons: Sequence[Piston],
    rods: Sequence[Rod],
    pins: Sequence[WristPin],
    rng: np.random.Generator,
    *,
    goals: MatchGoals = HOUSE_MATCH_GOALS,
    now: Sequence[tuple[int, int]] = (),
    others: int = 3,
    system: System = "inch",
) -> Matching:
    """Put pistons, rods and pins into holes.

    Args:
        cylinders: the holes.
        pistons: at least as many as holes.
        rods: at least as many as holes.
        pins: as many as holes, or none where they are not told apart.
        rng: source of chance for the expected true spread.
        goals: what counts how much.
        now: piston and rod of each hole as it is, to tell what is gained; empty where nothing is in.
        others: how many next-best answers to give.
        system: of units, for the sentences.

    Returns:
        The best matching by the weighted sum of goals, proven; where the search had to be cut short (many holes, or very
        many matchings alike) the gap says by how much another might be better.

    Raises:
        BadInput: if there are fewer parts than holes, or not as many pins.
    """
    _enough_parts(cylinders, pistons, rods, pins)
    rests_on = _rests_on(goals)
    stop = matching_stop(cylinders, pistons, system)
    if stop is not None:
        return Matching(Answer(QUESTION, (), rests_on=rests_on, stops=(stop,)))
    task, hones = _task(cylinders, pistons, rods, pins, goals, now)
    found = search(task, number=1 + _POOL * others)
    if found is None:
        raise BadInput("match_parts: no matching keeps every clearance, and none of the limits tells why")

    def place(picks: Wholes) -> tuple[Placed, ...]:
        order = task.mass.pins_for(picks[0], picks[1])
        triples = [(int(i), int(j), int(k)) for i, j, k in zip(picks[0], picks[1], order, strict=True)]
        return tuple(
            placed(c, pistons[i], rods[j], pins[k] if pins else None, float(hones[n, i]))
            for n, (c, (i, j, k)) in enumerate(zip(cylinders, triples, strict=True))
        )

    pool = [place(picks) for picks in found.picks]
    made = [_option(places, pool[0], score, system) for places, score in zip(pool, found.scores, strict=True)]
    kept = _unlike(made)[: 1 + others]
    every, options = [pool[n] for n in kept], [made[n] for n in kept]
    compression, weight = _true(_ratios(every[0]), rng), _true(_masses(every[0]), rng)
    gap = found.scores[0] - found.bound
    before = place(np.array(now, dtype=np.int64).T) if len(now) == len(cylinders) else ()
    reasons = _reasons(every[0], before, compression, weight, system, gap=gap)
    best = options[0]
    answer = Answer(QUESTION, best.picks, best.predicted, best.scores, reasons, tuple(options[1:]), rests_on,
                    proven=gap <= QUANTUM, gap=gap if gap > QUANTUM else 0.0)
    return Matching(answer, every[0], tuple(every[1:]), compression, weight)


def _enough_parts(cylinders: Sequence[Cylinder], pistons: Sequence[Piston], rods: Sequence[Rod], pins: Sequence[WristPin]) -> None:
    holes = len(cylinders)
    if not holes or min(len(pistons), len(rods)) < holes or len(pins) not in {0, holes}:
        raise BadInput(
            f"match_parts: {holes} holes, {len(pistons)} pistons, {len(rods)} rods, {len(pins)} pins; at least one hole, no "
            "fewer pistons and rods than holes, and as many pins or none"
        )


def _task(
    cylinders: Sequence[Cylinder],
    pistons: Sequence[Piston],
    rods: Sequence[Rod],
    pins: Sequence[WristPin],
    goals: MatchGoals,
    now: Sequence[tuple[int, int]],
) -> tuple[MatchTask, Floats]:
    """The goals as sums, and how much each hole is honed for each piston.

    Clearance volume over swept volume is a sum over hole, piston and rod, because the area of the hole falls out of all
    that is a length.
    """
    costs = np.full((len(cylinders), len(pistons)), np.inf)
    hones = np.zeros_like(costs)
    for h, cylinder in enumerate(cylinders):
        for i, piston in enumerate(pistons):
            if violation(cylinder, piston)[0] <= QUANTUM:
                costs[h, i], hones[h, i] = _fitted(cylinder, piston, goals)
    stroke = np.array([c.stroke.value for c in cylinders])
    swept = math.pi / 4 * (np.array([c.bore.value for c in cylinders])[:, None] + hones) ** 2 * stroke[:, None]
    told = all(c.chamber is not None for c in cylinders)
    hollow = np.array([c.chamber.value if c.chamber else 0.0 for c in cylinders])[:, None] + [p.hollow.value for p in pistons]
    volume = VolumeGoal(
        np.array([c.deck.value for c in cylinders]) / stroke,
        hollow / swept - np.array([p.height.value for p in pistons]) / stroke[:, None],
        -np.array([r.length.value for r in rods]) / stroke[:, None],
        goals.compression.price if told else 0.0,
        goals.compression.enough,
        _ratio,
    )
    mass = MassGoal(
        np.array([p.weight.value for p in pistons]),
        np.array([r.small_end.value for r in rods]),
        np.array([p.weight.value for p in pins]) if pins else np.zeros(len(cylinders)),
        goals.weight.price,
        goals.weight.enough,
    )
    return MatchTask(volume, mass, costs + _moves(now, 0, costs.shape, goals),
                     _moves(now, 1, (len(cylinders), len(rods)), goals)), hones


def _moves(now: Sequence[tuple[int, int]], kind: int, shape: tuple[int, ...], goals: MatchGoals) -> Floats:
    """What it costs that a part goes elsewhere than where it lies."""
    table = np.zeros(shape)
    if len(now) == shape[0]:
        table += goals.moving.price
        table[np.arange(shape[0]), [pair[kind] for pair in now]] = 0.0
    return table


def _ratio(rest: Floats) -> Floats:
    """Compression ratio of clearance over swept volume; a rest of nothing counts as a very high ratio."""
    return 1.0 + 1.0 / np.maximum(rest, 1e-4)


def _fitted(cylinder: Cylinder, piston: Piston, goals: MatchGoals) -> tuple[float, float]:
    """Cost of a piston in a hole, and how much the hole is honed for it: up to its lower limit, or up to the target."""
    room = cylinder.bore.value - piston.skirt.value
    ways = [min(max(0.0, edge - room), cylinder.most_honed) for edge in (cylinder.lower, cylinder.target)]
    priced = [
        (goals.honing.price * hone + goals.clearance.price * max(0.0, abs(room + hone - cylinder.target) - goals.clearance.enough), hone)
        for hone in ways
    ]
    return min(priced)


def true_spread(estimates: Sequence[Estimate], rng: np.random.Generator, *, draws: int = _DRAWS) -> TrueSpread:
    """Largest less smallest of several measured values, and what the true ones are likely to differ by.

    A matching picks the values that look alike, errors of measurement among them; so the computed spread is smaller
    than the true one, and this says by how much.

    Args:
        estimates: of the values, with the causes that they share.
        rng: source of chance.
        draws: of the true values.

    Returns:
        Computed and expected spread.
    """
    values = np.array([e.value for e in estimates])
    drawn = rng.multivariate_normal(values, covariance(estimates), size=draws, method="svd")
    spreads = np.ptp(drawn, axis=1)
    return TrueSpread(float(np.ptp(values)), float(spreads.mean()), float(np.quantile(spreads, 0.95)))


def _ratios(places: Sequence[Placed]) -> list[Estimate]:
    """Compression of every hole; none where it is not told of all."""
    found = [p.ratio for p in places if p.ratio is not None]
    return found if len(found) == len(places) else []


def _masses(places: Sequence[Placed]) -> list[Estimate]:
    """Weights of every hole; none where nothing was weighed."""
    return [p.weight for p in places] if any(p.weight.value for p in places) else []


def _true(estimates: Sequence[Estimate], rng: np.random.Generator) -> TrueSpread | None:
    return true_spread(estimates, rng) if estimates else None


def _option(places: Sequence[Placed], best: Sequence[Placed], score: float, system: System) -> Alternative:
    scores = (
        Score("weighted sum of the goals", score, ""),
        *(Score("spread of compression", _spread(rows), "") for rows in [_ratios(places)] if rows),
        *(Score("spread of weight", _spread(rows), "kg") for rows in [_masses(places)] if rows),
        Score("off the wall target, in all", math.fsum(abs(p.wall.value - p.cylinder.target) for p in places)),
        Score("honing, in all", math.fsum(p.hone for p in places)),
    )
    picks = tuple(pick for p in places for pick in _picks(p, system))
    predicted = tuple(row for p in places for row in _predicted(p))
    return Alternative(picks, predicted, scores, _moved(places, best))


def _unlike(options: Sequence[Alternative]) -> list[int]:
    """Those that come to other figures than the ones before them; to move parts for the same figures is no other answer."""
    seen, kept = set[tuple[float, ...]](), list[int]()
    for number, option in enumerate(options):
        figures = tuple(float(f"{score.value:.4g}") for score in option.scores[1:])
        if figures not in seen:
            kept.append(number)
        seen.add(figures)
    return kept


def _spread(estimates: Sequence[Estimate]) -> float:
    values = [e.value for e in estimates]
    return max(values) - min(values)


def _picks(p: Placed, system: System) -> list[Pick]:
    honed = f", the hole honed by {worked(p.hone, system)}" if p.hone > QUANTUM else ""
    label = p.cylinder.station.partition(".")[2]
    found = [
        Pick(f"{p.cylinder.station}.piston", p.piston.id, f"{p.piston.id} in hole {label}{honed}", p.hone),
        Pick(f"rod.{label}", p.rod.id, f"{p.rod.id} in hole {label}"),
    ]
    if p.pin is not None:
        found.append(Pick(f"{p.cylinder.station}.pin", p.pin.id, f"{p.pin.id} in hole {label}"))
    return found


def _predicted(p: Placed) -> list[Predicted]:
    station, c = p.cylinder.station, p.cylinder
    told = [("piston-to-wall", p.wall, Window(c.lower, c.target, c.upper))]
    if p.ratio is not None:
        told.append(("compression-ratio", p.ratio, c.ratio))
    if p.squish is not None:
        told.append(("squish-clearance", p.squish, c.squish))
    return [Predicted(station, name, value, w.lower, w.upper, w.target) for name, value, w in told]


def _moved(places: Sequence[Placed], best: Sequence[Placed]) -> str:
    kinds = ("piston", "rod", "pin")
    words: list[str] = []
    for kind in kinds:
        holes = [p.cylinder.station.partition(".")[2] for p, b in zip(places, best, strict=True) if getattr(p, kind) != getattr(b, kind)]
        if holes:
            words.append(f"other {kind}s in {listed(holes)}")
    if not words:
        return ""
    head = "; ".join(words)
    figures = [f"{words} within {form(_spread(rows))}" for words, rows, form in (
        ("compression", _ratios(places), "{:.3f}".format), ("weight", _masses(places), _grams)) if rows]
    return f"{head[0].upper()}{head[1:]}{': ' if figures else ''}{', '.join(figures)}."


def _grams(mass: float) -> str:
    return f"{1e3 * mass:.2f} g"


def _reasons(
    places: Sequence[Placed],
    before: Sequence[Placed],
    compression: TrueSpread | None,
    weight: TrueSpread | None,
    system: System,
    *,
    gap: float,
) -> tuple[str, ...]:
    proof = (
        "No other matching does better by the goals as weighed."
        if gap <= QUANTUM
        else f"Another matching might be better, by no more than {gap:.3g} in the weighted sum of the goals."
    )
    words = [proof]
    if compression is not None:
        words.append(
            f"Compression differs by {compression.computed:.3f} as computed. Volumes and lengths are measured, so the true "
            f"difference is expected to be {compression.expected:.3f}, and with 95 % it is below {compression.likely_below:.3f}.")
    if weight is not None:
        words.append(f"Piston, pin and small end differ by {_grams(weight.computed)} as weighed, {_grams(weight.expected)} expected in "
                     "truth.")
    honing = math.fsum(p.hone for p in places)
    words.append(f"Honing comes to {worked(honing, system)} over {sum(p.hone > QUANTUM for p in places)} holes."
                 if honing > QUANTUM else "No hole needs honing.")
    if before:
        words.append(_before(before, system))
    return tuple(words)


def _before(places: Sequence[Placed], system: System) -> str:
    figures = [f"{words} would differ by {form(_spread(rows))}" for words, rows, form in (
        ("compression", _ratios(places), "{:.3f}".format), ("weight", _masses(places), _grams)) if rows]
    off = math.fsum(abs(p.wall.value - p.cylinder.target) for p in places) / len(places)
    figures.append(f"piston to wall would be off its target by {worked(off, system)} on the average")
    return f"As the parts lie now, {listed(figures)}."


def _rests_on(goals: MatchGoals) -> tuple[str, ...]:
    named = (("compression", goals.compression, 1.0, ""), ("weight", goals.weight, 1e3, " g"),
             ("clearance", goals.clearance, 1e3, " mm"), ("honing", goals.honing, 1e3, " mm"), ("moving", goals.moving, 1.0, " part"))
    return tuple(f"{name}: weight {g.weight:g}, {g.per * scale:.3g}{unit} counts as one" for name, g, scale, unit in named)
