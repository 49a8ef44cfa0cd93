"""The bodies of entries about the work itself: the plan of steps, and who did what.

They are kept in the order of the log (`Build.work`) and understood by `tenths.work`.
"""

from typing import ClassVar

from tenths.logbook.body import Body


class WorkBody(Body, frozen=True):
    """Base of the bodies that the Build keeps in the order of the log."""


class OfShop(WorkBody, frozen=True):
    """Base of those that may stand in the shop's own log, which has no engine."""


class PlanAdopted(OfShop, frozen=True):
    """The order of work of this engine from here on: a template of steps as TOML, so that the log stands alone.

    In the shop's own log it is what engines take from here on.
    """

    TYPE: ClassVar[str] = "plan.adopted"
    text: str
    words: str = ""


class StepAdded(WorkBody, frozen=True):
    """A step of this engine's own; ``before`` names steps that shall wait for it. Hours as text: ``0.5`` or ``0.3 0.5 1``."""

    TYPE: ClassVar[str] = "step.added"
    step: str
    stage: str
    words: str
    station: str = "engine"
    after: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    slots: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    place: str = ""
    hours: str = ""
    second: str = ""
    reason: str = ""


class StepDropped(WorkBody, frozen=True):
    """A step is left out; what waited for it waits for what it waited for."""

    TYPE: ClassVar[str] = "step.dropped"
    step: str
    reason: str


class StepRewaited(WorkBody, frozen=True):
    """What a step waits for is changed; only the lists that are given."""

    TYPE: ClassVar[str] = "step.rewaited"
    step: str
    after: tuple[str, ...] | None = None
    on: tuple[str, ...] | None = None
    parts: tuple[str, ...] | None = None
    checks: tuple[str, ...] | None = None
    tools: tuple[str, ...] | None = None
    reason: str = ""


class PlanBranched(WorkBody, frozen=True):
    """Steps are to be gone through once more under another name, before whatever waits for them goes on.

    ``steps`` names stages, steps, or all steps of a name.
    """

    TYPE: ClassVar[str] = "plan.branched"
    branch: str
    steps: tuple[str, ...]
    reason: str


class StepBegun(WorkBody, frozen=True):
    """A person begins, or goes on with, a step: their time runs."""

    TYPE: ClassVar[str] = "step.begun"
    step: str
    note: str = ""


class StepStopped(WorkBody, frozen=True):
    """A person leaves a step for now: their time stops."""

    TYPE: ClassVar[str] = "step.stopped"
    step: str
    note: str = ""


class StepDone(WorkBody, frozen=True):
    """A step is done, with what was ticked and what it went past."""

    TYPE: ClassVar[str] = "step.done"
    step: str
    ticks: tuple[str, ...] = ()
    past: tuple[str, ...] = ()
    note: str = ""


class StepChecked(WorkBody, frozen=True):
    """The second check of a step that is done: a second pass, or another person."""

    TYPE: ClassVar[str] = "step.checked"
    step: str
    note: str = ""


WORK_BODIES: tuple[type[WorkBody], ...] = (
    PlanAdopted, StepAdded, StepDropped, StepRewaited, PlanBranched, StepBegun, StepStopped, StepDone, StepChecked)
