"""The shapes of the answers about the customer of an engine."""

from tenths.bench.shapes import Shape
from tenths.bench.work_shapes import WorkMark


class DuePromised(Shape, frozen=True):
    """A day that was promised, and why it changed."""

    day: str
    why: str
    at: str
    person: str
    entry: str
    position: int
    note: str


class MessageKept(Shape, frozen=True):
    """A message to or from the customer."""

    way: str
    who: str
    text: str
    by: str
    at: str
    person: str
    entry: str
    position: int
    note: str


class ApprovalRow(Shape, frozen=True):
    """Something that the customer was asked; ``agreed`` is null while there is no answer."""

    approval: str
    text: str
    cost: str
    asked: WorkMark
    agreed: bool | None
    answer: WorkMark | None
    who: str
    by: str
    words: str


class ProblemRow(Shape, frozen=True):
    """A problem and what became of it."""

    problem: str
    station: str
    text: str
    found: WorkMark
    solved: WorkMark | None
    outcome: str


class CameBack(Shape, frozen=True):
    """The engine was back in the shop."""

    reason: str
    warranty: bool
    run: str
    at: str
    person: str
    entry: str
    position: int
    note: str


class CustomerSide(Shape, frozen=True):
    """All that stands between the shop and the customer of an engine."""

    engine: str
    name: str
    position: int
    customer: str
    purpose: str
    use: str
    fuel: str
    notes: str
    due: str
    dues: list[DuePromised]
    messages: list[MessageKept]
    approvals: list[ApprovalRow]
    problems: list[ProblemRow]
    returns: list[CameBack]
