"""Whether an entry about the work may be appended: the step is in the plan, the edit can be made."""

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from tenths.errors import BadInput
from tenths.logbook import part_bodies as p
from tenths.logbook import work_bodies as w
from tenths.logbook.body import Body
from tenths.logbook.build import Build, Mark
from tenths.work.money import amount
from tenths.work.parts import lead_of
from tenths.work.plan import conditions_of, plan_from
from tenths.work.state import EDITS, plan_of, plan_text
from tenths.work.stock import vet_stock
from tenths.work.template import template_of
from tenths.work.vet_money import vet_money

OF_STEPS = (w.StepBegun, w.StepStopped, w.StepDone, w.StepChecked)


def vet_work(build: Build, what: Iterable[Body]) -> None:
    """Raises BadInput when a body about the work, appended after the ones before it, names what is not in the plan."""
    mark = Mark("", build.position + 1, "", "")
    for body in what:
        if isinstance(body, w.WorkBody):
            if build.layout is not None:
                _vet(build, body)
            elif isinstance(body, w.PlanAdopted):
                template_of(body.text)
            elif isinstance(body, w.OfShop):
                vet_stock(build.work, body)
                vet_money(build, body)
            else:
                raise BadInput("engine: this engine is not opened yet; 'tenths engines' lists those that are")
            build = replace(build, work=[*build.work, (mark, body)])


def _vet(build: Build, body: w.WorkBody) -> None:
    if isinstance(body, w.PlanAdopted):
        assert build.layout is not None  # noqa: S101 - the caller has looked
        plan_from(body.text, build.layout, conditions_of(build.layout, use=build.use))
    elif isinstance(body, EDITS):
        _vet_edit(build, body)
    elif isinstance(body, OF_STEPS):
        _vet_step(build, body.step)
    elif isinstance(body, w.OfShop):
        raise BadInput(f"{body.TYPE}: this belongs to the shop's own log, not to an engine")
    else:
        vet_part(body)
        vet_money(build, body)


def _vet_edit(build: Build, body: w.StepAdded | w.StepDropped | w.StepRewaited | w.PlanBranched) -> None:
    if not plan_text(build.work)[0]:
        raise BadInput(f"{body.TYPE}: this engine has not adopted an order of work yet; adopt one first")
    if isinstance(body, w.StepDropped | w.PlanBranched) and not body.reason.strip():
        raise BadInput("reason: say why in words")
    before = len(plan_of(build)[0].problems)
    problems = plan_of(replace(build, work=[*build.work, (Mark("", build.position + 1, "", ""), body)]))[0].problems
    if len(problems) > before:
        raise BadInput(problems[-1][1])


def _vet_step(build: Build, step: str) -> None:
    if not plan_text(build.work)[0]:
        raise BadInput(f"step: {step!r}: this engine has not adopted an order of work yet; adopt one first")
    known = plan_of(build)[0].steps
    if step not in known:
        near = ", ".join(get_close_matches(step, list(known), 4, 0.4)) or "nothing like it"
        raise BadInput(f"step: {step!r} is not in the plan; near: {near}")


def vet_part(body: Body) -> None:
    """Raises BadInput when an amount or the days of a supplier cannot be read."""
    if isinstance(body, p.PartSourced | p.PartOrdered | p.WorkSent | p.WorkBack):
        amount(body.cost, "cost")
    if isinstance(body, p.PartSourced):
        lead_of(body.lead)
