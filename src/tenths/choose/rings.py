"""Ring gaps: how much is left to file, when to stop, which ring in which hole, and in which order to file."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tenths.choose.answer import Alternative, Answer, Pick, Predicted, Score, Stop
from tenths.choose.assign import lexicographic, ranked_assignments
from tenths.choose.words import INCH, System, length, listed, percent
from tenths.errors import BadInput
from tenths.metrology.coverage import effective_freedom
from tenths.metrology.decide import conformance
from tenths.metrology.estimate import Estimate, combine

QUANTUM = 1e-9
GOALS = ("rings already too wide", "gap left over the target", "filing in all")


class FilingState(StrEnum):
    """What is to be done with a ring in its hole."""

    FILE = "file"
    LAST_STROKES = "last strokes"
    LEAVE = "leave"
    TOO_WIDE = "too wide"


@dataclass(frozen=True, slots=True)
class FilingRules:
    """How the shop files.

    Attributes:
        stroke: what one stroke takes off [m]; common practice, no source.
        short: how many strokes short of the target to stop and read again; common practice, no source.
    """

    stroke: float = 0.0005 * INCH
    short: int = 3


HOUSE_FILING = FilingRules()


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring and the gap that was read on it.

    Attributes:
        id: of the ring.
        gap: end gap as read [m].
        read_in: diameter of the hole in which it was read [m].
    """

    id: str
    gap: Estimate
    read_in: Estimate


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole where a ring will run, and the gap wanted there.

    Attributes:
        station: address of the ring's place, such as cyl.5.ring.top.
        bore: diameter where the ring runs [m].
        target: gap wanted [m].
        lower: smallest gap allowed [m].
        upper: largest gap allowed [m]; infinite where none is set.
    """

    station: str
    bore: Estimate
    target: float
    lower: float
    upper: float = math.inf

    def __post_init__(self) -> None:
        if not 0 <= self.lower <= self.target <= self.upper:
            raise BadInput(f"{self.station}: target gap {self.target:g} m must lie within {self.lower:g} to {self.upper:g} m")


@dataclass(frozen=True, slots=True)
class Filing:
    """What is left to file on one ring in one hole.

    Attributes:
        ring: its id.
        hole: where it will run.
        gap: what it would be there now [m].
        left: to be taken off to come to the target [m]; negative where the gap is wider already.
        state: what is to be done.
        stop_at: gap at which to stop and read again [m]; the gap as it is when nothing is to be filed in one go.
        too_wide: probability that the gap is over its upper limit already [-].
        fits_now: probability that it is within its limits already [-].
    """

    ring: str
    hole: Hole
    gap: Estimate
    left: Estimate
    state: FilingState
    stop_at: float
    too_wide: float
    fits_now: float

    def in_words(self, system: System = "inch") -> str:
        """What to do, as a sentence.

        Args:
            system: of units.

        Returns:
            The sentence.
        """
        here, left = length(self.gap.value, system), length(abs(self.left.value), system)
        lead = f"{self.hole.station}, ring {self.ring}: gap {here}, "
        if self.state is FilingState.TOO_WIDE:
            over = length(self.gap.value - self.hole.upper, system)
            return lead + f"{over} over its limit ({percent(self.too_wide)} sure): do not file; another ring is needed."
        if self.state is FilingState.LEAVE:
            return lead + f"at or over its target by {left}: leave it as it is."
        if self.state is FilingState.LAST_STROKES:
            return lead + f"{left} left: one stroke at a time, and read after each."
        return lead + f"{left} left: file to {length(self.stop_at, system)}, read again, then stroke by stroke."


def filing(ring: Ring, hole: Hole, rules: FilingRules = HOUSE_FILING) -> Filing:
    """How much is left to file on a ring for the hole where it will run.

    A hole larger by d opens the gap by pi d. If the ring was read in that very hole, what is doubtful about the bore
    cancels, because both diameters carry the same causes.

    Args:
        ring: with the gap as read and the hole it was read in.
        hole: where it will run.
        rules: how the shop files.

    Returns:
        What is left, with its doubt, and when to stop.

    Validity: ring square in a round hole; see `tenths.calc.volumes.ring_gap_change`.
    """
    gap = combine((1.0, math.pi, -math.pi), (ring.gap, hole.bore, ring.read_in))
    left = combine((-1.0,), (gap,), constant=hole.target)
    freedom = effective_freedom(gap)
    upper = None if math.isinf(hole.upper) else hole.upper
    too_wide = 1.0 - conformance(gap.value, gap.u, None, upper, freedom=freedom)
    fits = conformance(gap.value, gap.u, hole.lower, upper, freedom=freedom)
    short = rules.short * rules.stroke + 2 * gap.u
    state = _state(gap.value, left.value, hole.upper, short)
    stop = hole.target - short if state is FilingState.FILE else gap.value
    return Filing(ring.id, hole, gap, left, state, stop, too_wide, fits)


def _state(gap: float, left: float, upper: float, short: float) -> FilingState:
    if gap > upper + QUANTUM / 2:  # a gap on its limit conforms
        return FilingState.TOO_WIDE
    if left <= QUANTUM / 2:
        return FilingState.LEAVE
    return FilingState.LAST_STROKES if left <= short else FilingState.FILE


def filing_order(filings: Sequence[Filing]) -> tuple[Filing, ...]:
    """In which order to file: first where most is left.

    By the time the rings come up that one stroke too many would spoil, the hand has learned what a stroke takes.

    Args:
        filings: what is left on each.

    Returns:
        Those to be filed, most left first; then those to leave; last those that are too wide.
    """
    rank = {FilingState.FILE: 0, FilingState.LAST_STROKES: 0, FilingState.LEAVE: 1, FilingState.TOO_WIDE: 2}
    return tuple(sorted(filings, key=lambda f: (rank[f.state], -f.left.value, f.hole.station)))


def assign_rings(
    rings: Sequence[Ring],
    holes: Sequence[Hole],
    rules: FilingRules = HOUSE_FILING,
    *,
    others: int = 3,
    system: System = "inch",
) -> Answer:
    """Which ring in which hole: fewest wasted, then least gap left over the target, then least filing.

    Args:
        rings: of one kind (all top rings, for instance); no fewer than there are holes.
        holes: where they will run.
        rules: how the shop files.
        others: how many next-best answers to give.
        system: of units, for the sentences.

    Returns:
        The answer, proven best. Picks say how much to file, in the order of filing; predicted are the gaps as they
        would be before filing.
    """
    question = "Which ring in which hole?"
    rests_on = (
        *(f"{ring.id}: gap {ring.gap.value:.6g} m read in {ring.read_in.value:.9g} m" for ring in rings),
        *(f"{hole.station}: bore {hole.bore.value:.9g} m" for hole in holes),
    )
    if len(rings) < len(holes):
        short = len(holes) - len(rings)
        stop = Stop(
            holes[-1].station,
            "too few rings",
            f"{len(holes)} holes and {len(rings)} rings: freed by {short} more of any gap under the target.",
        )
        return Answer(question, (), rests_on=rests_on, stops=(stop,))
    table = [[filing(ring, hole, rules) for ring in rings] for hole in holes]
    goals = [[[goal(f) for f in row] for row in table] for goal in (_wasted, _over, _to_file)]
    ranked = ranked_assignments(lexicographic(goals), 1 + others)
    chosen = [[table[h][r] for h, r in enumerate(picks)] for _, picks in ranked]
    options = [_option(filings, chosen[0], system) for filings in chosen]
    best = options[0]
    return Answer(question, best.picks, best.predicted, best.scores, _reasons(chosen[0], system), tuple(options[1:]), rests_on)


def _wasted(f: Filing) -> int:
    return int(f.state is FilingState.TOO_WIDE)


def _over(f: Filing) -> int:
    return max(0, -round(f.left.value / QUANTUM))


def _to_file(f: Filing) -> int:
    return max(0, round(f.left.value / QUANTUM))


def _option(filings: Sequence[Filing], best: Sequence[Filing], system: System) -> Alternative:
    picks = tuple(Pick(f.hole.station, f.ring, f.in_words(system), max(0.0, f.left.value)) for f in filing_order(filings))
    predicted = tuple(
        Predicted(
            f.hole.station,
            "ring-end-gap",
            f.gap,
            f.hole.lower,
            None if math.isinf(f.hole.upper) else f.hole.upper,
            f.hole.target,
        )
        for f in filings
    )
    scores = (
        Score(GOALS[0], float(sum(map(_wasted, filings))), ""),
        Score(GOALS[1], sum(map(_over, filings)) * QUANTUM),
        Score(GOALS[2], sum(map(_to_file, filings)) * QUANTUM),
    )
    moved = [f.hole.station for f, b in zip(filings, best, strict=True) if f.ring != b.ring]
    return Alternative(picks, predicted, scores, f"Other rings in {listed(moved)}." if moved else "")


def _reasons(filings: Sequence[Filing], system: System) -> tuple[str, ...]:
    wasted = [f.hole.station for f in filings if f.state is FilingState.TOO_WIDE]
    over = sum(map(_over, filings)) * QUANTUM
    first = (
        f"No way to place them keeps {listed(wasted)} within its limit: {len(wasted)} more ring(s) are needed."
        if wasted
        else "Every ring can be used."
    )
    second = (
        f"The gaps are over their targets by {length(over, system)} in all, and no other way leaves less."
        if over
        else "No gap is over its target already."
    )
    return (first, second, "File first where most is left; last where one stroke too many would spoil the ring.")
