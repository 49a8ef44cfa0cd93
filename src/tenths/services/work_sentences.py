"""Entries about the work, each said in a sentence."""

from collections.abc import Callable
from typing import Any

from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
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

WORK_WORDS |= {
    p.PartSourced: lambda b: _with(f"part {b.part} can be had from {b.supplier}", b.cost, " for "),
    p.PartOrdered: lambda b: _with(f"ordered {b.part} from {b.supplier}", b.promised, ", promised "),
    p.PartPromised: lambda b: _with(f"{b.part} is now promised for {b.promised or 'no day'}", b.why),
    p.PartInspected: lambda b: _with(f"{b.part} {'agrees' if b.fits else 'does not agree'} with the sheet", b.note),
    p.PartShelved: lambda b: f"{b.part} lies on shelf {b.shelf}",
    p.PartReturned: lambda b: _with(f"{b.part} goes back", b.supplier, " to ") + f": {b.reason}",
    p.WorkSent: lambda b: _with(f"{b.part} goes out to {b.supplier} for {b.words}", b.promised, ", promised "),
    p.WorkBack: lambda b: _with(f"{b.work} is back, {'as ordered' if b.fits else 'not as ordered'}", b.note),
    p.BoxListed: lambda b: f"box {b.box}: {b.words or b.kind}, order at {b.reorder_at} up to {b.order_up_to}",
    p.BoxCounted: lambda b: f"{b.count} of box {b.box} counted",
    p.BoxMoved: lambda b: _with(f"{abs(b.count)} of box {b.box} {'in' if b.count > 0 else 'out'}", b.engine, " for ")
                          + (f": {b.why}" if b.why else ""),
    p.BoxOrdered: lambda b: _with(f"{b.count} of box {b.box} ordered", b.promised, ", promised "),
    p.ToolAway: lambda b: _with(f"{b.tool} is away: {b.why}", b.back, ", back "),
    p.ToolBack: lambda b: f"{b.tool} is back",
}

WORK_WORDS |= {
    m.HoursKept: lambda b: f"the shop works {b.hours} hours on {', '.join(b.days)}: {', '.join(b.people) or 'nobody named'}",
    m.RatesKept: lambda b: f"an hour costs {b.hour} {b.currency}".rstrip(),
    m.QuoteMade: lambda b: _with(f"quote {b.quote}, {len(b.lines)} lines", b.words),
    m.InvoiceMade: lambda b: _with(f"bill {b.invoice}, {len(b.lines)} lines", b.words),
    m.HoursBooked: lambda b: _with(f"{b.hours} h of {b.operation}", b.who, " by ") + (f": {b.note}" if b.note else ""),
    m.EngineDue: lambda b: _with(f"promised to the customer for {b.day}", b.why),
    m.MessageWritten: lambda b: f"{b.way} {b.who}{f' ({b.by})' if b.by else ''}: {b.text}",
    m.ApprovalAsked: lambda b: _with(f"{b.approval}: the customer is asked: {b.text}", b.cost, ", "),
    m.ApprovalGiven: lambda b: _with(f"{b.approval}: {b.who} {'agrees' if b.agreed else 'does not agree'}", b.text),
    m.ProblemFound: lambda b: _with(f"problem at {b.station}, {b.problem}", b.text),
    m.ProblemSolved: lambda b: f"problem solved, {b.problem}: {b.text}",
    m.EngineReturned: lambda b: _with(f"back in the shop{' under warranty' if b.warranty else ''}: {b.reason}", b.run, ", run "),
}
