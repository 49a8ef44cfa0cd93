"""Entries about the work, each said in a sentence."""

from collections.abc import Callable
from typing import Any

from tenths.logbook import work_bodies as w
from tenths.logbook.body import Body


def _with(words: str, more: str, before: str = ": ") -> str:
    return words + (f"{before}{more}" if more else "")


def _rewaited(body: w.StepRewaited) -> str:
    given = [(name, rows) for name, rows in (("steps", body.after), ("stands on", body.on), ("parts", body.parts),
                                             ("checks", body.checks), ("tools", body.tools)) if rows is not None]
    waits = "; ".join(f"{name} {', '.join(rows) or 'none'}" for name, rows in given)
    return _with(f"step {body.step} now waits for: {waits}", body.reason, " - ")


def _done(body: w.StepDone) -> str:
    words = _with(f"step {body.step} done", body.note)
    return words + (f"; went past: {'; '.join(body.past)}" if body.past else "")


WORK_WORDS: dict[type[Body], Callable[[Any], str]] = {
    w.PlanAdopted: lambda b: _with("order of work adopted", b.words),
    w.StepAdded: lambda b: _with(f"step {b.step} added: {b.words}", b.reason, " - "),
    w.StepDropped: lambda b: f"step {b.step} dropped: {b.reason}",
    w.StepRewaited: _rewaited,
    w.PlanBranched: lambda b: f"once more as {b.branch}: {', '.join(b.steps)}: {b.reason}",
    w.StepBegun: lambda b: _with(f"step {b.step} begun", b.note),
    w.StepStopped: lambda b: _with(f"step {b.step} left for now", b.note),
    w.StepDone: _done,
    w.StepChecked: lambda b: _with(f"step {b.step} checked", b.note),
}
