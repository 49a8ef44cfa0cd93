"""What if: one more box, the crank ground, the block line-honed, the rods resized. The same question, asked again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tenths.choose.answer import Answer
from tenths.choose.pairing import Solver
from tenths.choose.shell_choice import choose_shells
from tenths.choose.shells import HOUSE_SHELL_RULES, Box, Place, ShellRules, Stock
from tenths.choose.words import System, length, signed
from tenths.metrology.estimate import combine, single


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A change to be thought through.

    Attributes:
        name: as a person would say it.
        boxes: opened or bought beside what is in the house.
        kind: of place that is machined; "" means every kind.
        grind: taken off the journals [m], on the diameter.
        hone: taken out of the housings [m], on the diameter.
        doubt: standard uncertainty of the size that the machining will leave [m], common to all places.
        doubt_each: the same, of each place by itself [m].
    """

    name: str
    boxes: tuple[Box, ...] = ()
    kind: str = ""
    grind: float = 0.0
    hone: float = 0.0
    doubt: float = 0.0
    doubt_each: float = 0.0


@dataclass(frozen=True, slots=True)
class ShellQuestion:
    """Shells for an engine, with all that decides them.

    Attributes:
        places: where.
        stock: what is in the house.
        rules: of the house.
        system: of units, for the sentences.
        solver: see `best_pairs`.
    """

    places: tuple[Place, ...]
    stock: Stock
    rules: ShellRules = HOUSE_SHELL_RULES
    system: System = "inch"
    solver: Solver = "auto"

    @property
    def name(self) -> str:
        """What is asked."""
        return "shells"

    def answer(self) -> Answer:
        """The best halves for every place."""
        return choose_shells(self.places, self.stock, self.rules, system=self.system, solver=self.solver)

    def changed(self, change: WhatIf) -> ShellQuestion:
        """The same question after a change.

        Args:
            change: to be thought through.

        Returns:
            The new question. Fitted halves stay fitted.
        """
        stock = self.stock
        for box in change.boxes:
            stock = stock.with_box(box)
        places = tuple(_machined(p, change) if change.kind in {"", p.kind} else p for p in self.places)
        return replace(self, places=places, stock=stock)


def _machined(place: Place, change: WhatIf) -> Place:
    growth = change.grind + change.hone
    if not growth and not change.doubt and not change.doubt_each:
        return place
    together = single(growth, change.doubt, f"machining:{change.name}")
    own = single(0.0, change.doubt_each, f"machining:{change.name}:{place.station}")
    return replace(place, room=combine((1.0, 1.0, 1.0), (place.room, together, own)))


@dataclass(frozen=True, slots=True)
class Compared:
    """The answer after a change beside the answer without it.

    Attributes:
        change: that was thought through.
        answer: after it.
        words: what it gains or loses, as a sentence.
    """

    change: WhatIf
    answer: Answer
    words: str


def what_if(question: ShellQuestion, changes: Sequence[WhatIf], *, after: ShellQuestion | None = None) -> tuple[Compared, ...]:
    """Ask the same question after each of several changes.

    Args:
        question: as it stands.
        changes: to be thought through, each by itself.
        after: the question that the changes are made to, where that is another one (some halves stay, for instance).

    Returns:
        One answer for each, in the order given.
    """
    before = question.answer()
    found: list[Compared] = []
    for change in changes:
        then = (after or question).changed(change).answer()
        found.append(Compared(change, then, _in_words(change, before, then, question.system)))
    return tuple(found)


def _in_words(change: WhatIf, before: Answer, after: Answer, system: System) -> str:
    if not after.possible:
        return f"{change.name}: no choice is possible then. {after.stops[0].words}"
    reached = length(after.scores[0].value, system)
    if not before.possible:
        return f"{change.name}: a choice is possible then; the worst place is {reached} off its target."
    gain = before.scores[0].value - after.scores[0].value
    if abs(gain) < 1e-9:
        return f"{change.name}: the worst place stays {reached} off its target."
    return f"{change.name}: the worst place is {reached} off its target, {signed(-gain, system)} against now."
