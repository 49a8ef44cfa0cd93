"""How a choice plugs in: a question of an engine, asked of its Build, and what it comes to.

A module of services offers a function from a Build to an `Asked`, or None where there is nothing to choose, and stands in
`choosing.QUESTIONS` under its name. Pages, commands, JSON and the record show any of them by its `Answer` alone; a choice
that has a drawing of its own adds it as plain data.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tenths.choose.answer import Answer
from tenths.choose.crush import SizeNeed
from tenths.logbook.build import Build


@dataclass(frozen=True, slots=True)
class Setting:
    """Something that a builder may set about a question: name, what it is, text in force, and what is taken."""

    name: str
    words: str
    text: str
    accepted: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with what it was computed from.

    ``drawing`` is plain data for the page and the record, with ``kind`` naming the drawing; empty for none.
    """

    name: str
    title: str
    answer: Answer
    entries: tuple[str, ...]
    notes: tuple[str, ...] = ()
    needs: tuple[SizeNeed, ...] = ()
    settings: tuple[Setting, ...] = ()
    drawing: dict[str, Any] = field(default_factory=dict[str, Any])


Ask = Callable[[Build], Asked | None]
