"""What every choice answers with, and the protocol by which further choices plug in.

A question is asked of frozen records and answered by an `Answer`. Whoever shows, prints or accepts answers needs to
know this one shape only, whether the question was about shells, rings or the position of a timing set.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Protocol

from tenths.choose.words import System, length, percent
from tenths.metrology.coverage import effective_freedom
from tenths.metrology.decide import conformance
from tenths.metrology.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Pick:
    """One thing to be done or fitted.

    Attributes:
        where: address of the place, such as main.3.shell.upper.
        what: id or size of what goes there, or what is done there.
        words: the same as a person would say it.
        amount: how much, in SI, where there is an amount; None otherwise.
    """

    where: str
    what: str
    words: str = ""
    amount: float | None = None


@dataclass(frozen=True, slots=True)
class Predicted:
    """What the answer will come to at one place.

    Attributes:
        station: address of the place.
        characteristic: name of what is predicted, as in the catalogue of findings.
        estimate: value with its causes of doubt, in SI.
        lower: smallest value allowed, or None.
        upper: largest value allowed, or None.
        target: value aimed at, or None.
    """

    station: str
    characteristic: str
    estimate: Estimate
    lower: float | None = None
    upper: float | None = None
    target: float | None = None

    @property
    def probability(self) -> float:
        """Probability that it will conform [-]; 1 where nothing limits it."""
        freedom = effective_freedom(self.estimate)
        return conformance(self.estimate.value, self.estimate.u, self.lower, self.upper, freedom=freedom)

    @property
    def deviation(self) -> float | None:
        """Value less target, in SI, or None without a target."""
        return None if self.target is None else self.estimate.value - self.target

    def in_words(self, system: System = "inch") -> str:
        """A sentence about a predicted length.

        Args:
            system: of units.

        Returns:
            The sentence.
        """
        doubt = f"{length(self.estimate.value, system)} ± {length(2 * self.estimate.u, system)}"
        return f"{self.station}: {doubt}, conforms with {percent(self.probability)}"


@dataclass(frozen=True, slots=True)
class Score:
    """One of the goals by which answers are compared, the first one first.

    Attributes:
        name: of the goal, such as worst deviation from target.
        value: reached, smaller is better.
        unit: of the value; "" for counts and ratios.
    """

    name: str
    value: float
    unit: str = "m"


@dataclass(frozen=True, slots=True)
class Alternative:
    """An answer that is not the best.

    Attributes:
        picks: what would be done.
        predicted: what it would come to.
        scores: what the goals would come to.
        words: how it differs from the best.
    """

    picks: tuple[Pick, ...]
    predicted: tuple[Predicted, ...]
    scores: tuple[Score, ...]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """What keeps a question from having an answer.

    Attributes:
        station: the place that cannot be satisfied.
        limit: which limit or rule stops it, in words.
        words: a sentence about it and about the smallest change that frees it.
        change: that smallest change [m]; None where no amount of size helps (a missing half, for instance).
    """

    station: str
    limit: str
    words: str
    change: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """The best answer to a question, or what stops it.

    Attributes:
        question: what was asked.
        picks: what to do; empty when nothing is possible.
        predicted: what it will come to, place by place.
        scores: goals in order of rank.
        reasons: why, as sentences.
        alternatives: next-best answers, best first.
        rests_on: what it was computed from (readings, stock, rules), in words or ids.
        proven: whether no better answer exists by the first-ranked goals.
        gap: how much better, at most, an answer might be in the first goal, in its unit; 0 where that goal is proven.
        stops: what keeps the question from having an answer.
    """

    question: str
    picks: tuple[Pick, ...]
    predicted: tuple[Predicted, ...] = ()
    scores: tuple[Score, ...] = ()
    reasons: tuple[str, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    rests_on: tuple[str, ...] = ()
    proven: bool = True
    gap: float = 0.0
    stops: tuple[Stop, ...] = field(default=())

    @property
    def possible(self) -> bool:
        """Whether there is an answer at all."""
        return not self.stops


class Question(Protocol):
    """What a choice must offer to be asked by the services: a name and an answer."""

    @property
    def name(self) -> str:
        """What is asked, as it stands in lists and in the logbook."""
        ...

    def answer(self) -> Answer:
        """The best answer, computed from what the question holds and from nothing else."""
        ...


def best_of(
    question: str,
    options: Iterable[Alternative],
    *,
    why: Callable[[Alternative], Iterable[str]] = lambda _: (),
    rests_on: Iterable[str] = (),
    stops: Iterable[Stop] = (),
    others: int = 3,
) -> Answer:
    """The best of a list of options that is complete: positions of a timing set, shims in the drawer, push-rods.

    Args:
        question: what is asked.
        options: every possible answer; their scores are compared in order, smaller first.
        why: gives the reasons for the one chosen.
        rests_on: what the options were computed from.
        stops: what to say when there is no option.
        others: how many next-best ones to give.

    Returns:
        The answer, proven because every option was looked at. Equals keep the order in which they were given.
    """
    ranked = sorted(options, key=lambda option: tuple(score.value for score in option.scores))
    if not ranked:
        said = tuple(stops) or (Stop("", "no option", "There is nothing to choose from."),)
        return Answer(question, (), rests_on=tuple(rests_on), stops=said)
    best = ranked[0]
    return Answer(
        question,
        best.picks,
        best.predicted,
        best.scores,
        tuple(why(best)),
        tuple(ranked[1 : 1 + others]),
        tuple(rests_on),
    )
