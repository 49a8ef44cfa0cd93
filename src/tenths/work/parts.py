"""Parts on their way: where each is, what an engine needs, what is late."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook import part_bodies as p
from tenths.logbook.build import Build, Mark
from tenths.logbook.fold_parts import day_of
from tenths.work.plan import PartNeed, Plan
from tenths.work.template import Range, range_of

Where = Literal["listed", "on order", "arrived", "inspected", "refused", "returned", "out"]


@dataclass(slots=True)
class PartWay:
    """A part and its way: where it is now, and everything that happened to it, in the order of the log."""

    part: str
    kind: str
    words: str
    where: Where = "listed"
    supplier: str = ""
    order: str = ""
    cost: str = ""
    quantity: int = 1
    slots: tuple[str, ...] = ()
    sources: list[p.PartSourced] = field(default_factory=list[p.PartSourced])
    ordered: Mark | None = None
    promised: date | None = None
    first_promise: date | None = None
    arrived: Mark | None = None
    inspected: Mark | None = None
    fits: bool | None = None
    shelf: str = ""
    work: str = ""
    fitted: tuple[str, ...] = ()
    history: list[tuple[Mark, str]] = field(default_factory=list[tuple[Mark, str]])

    @property
    def in_house(self) -> bool:
        """Whether it can be taken from the shelf."""
        return self.where in {"arrived", "inspected"}

    def late(self, today: date) -> int:
        """Days by which it is past its promised day and not in the house; 0 when it is not."""
        if self.in_house or self.promised is None or self.where not in {"on order", "out"}:
            return 0
        return max(0, (today - self.promised).days)


@dataclass(slots=True)
class OutsideWork:
    """Work done outside: what went out, to whom, until when, and what came back."""

    work: str
    part: str
    supplier: str
    words: str
    step: str
    promised: date | None
    cost: str
    sent: Mark
    back: Mark | None = None
    fits: bool | None = None
    note: str = ""


def ways(build: Build) -> dict[str, PartWay]:
    """The way of every part of an engine, as its log leaves it."""
    found: dict[str, PartWay] = {}
    for name, part in build.parts.items():
        card = part.card
        found[name] = PartWay(name, card.kind, card.words or card.kind, cost=card.cost, supplier=card.supplier)
        first = _day(card.promised)
        found[name].promised = found[name].first_promise = first
    for slot in build.slots:
        if (name := build.part_in(slot)) in found:
            found[name].fitted += (slot,)
    for mark, body in build.work:
        _happened(found, mark, body)
    for name, way in found.items():
        if way.where == "listed":
            way.where = "arrived" if build.parts[name].in_house else "on order" if build.parts[name].card.where == "on order" else "listed"
    return found


def _day(text: str) -> date | None:
    try:
        return day_of(text, "promised")
    except BadInput:  # cards written before took any words
        return None


def _happened(found: dict[str, PartWay], mark: Mark, body: object) -> None:  # noqa: C901 - one case for each thing that happens
    match body:
        case p.PartSourced(part=name) if name in found:
            found[name].sources = [s for s in found[name].sources if s.supplier != body.supplier] + [body]
        case p.PartOrdered(part=name) if name in found:
            way = found[name]
            way.where, way.ordered, way.supplier, way.order, way.quantity = "on order", mark, body.supplier, body.order, body.quantity
            way.slots, way.cost, way.arrived, way.inspected, way.fits = body.slots or way.slots, body.cost or way.cost, None, None, None
            way.promised = way.first_promise = _day(body.promised)
            way.history.append((mark, f"ordered from {body.supplier}" + (f", promised {body.promised}" if body.promised else "")))
        case p.PartPromised(part=name) if name in found:
            found[name].promised = _day(body.promised)
            found[name].history.append((mark, f"now promised {body.promised}" + (f": {body.why}" if body.why else "")))
        case bodies.PartArrived(part=name) if name in found:
            found[name].where, found[name].arrived = "arrived", mark
            found[name].history.append((mark, "arrived" + (f": {body.note}" if body.note else "")))
        case p.PartInspected(part=name) if name in found:
            way = found[name]
            way.where, way.inspected, way.fits = "inspected" if body.fits else "refused", mark, body.fits
            way.history.append((mark, ("agrees with the sheet" if body.fits else "does not agree with the sheet")
                                + (f": {body.note}" if body.note else "")))
        case p.PartShelved(part=name) if name in found:
            found[name].shelf = body.shelf
            found[name].history.append((mark, f"on shelf {body.shelf}"))
        case p.PartReturned(part=name) if name in found:
            found[name].where, found[name].shelf = "returned", ""
            found[name].history.append((mark, f"returned{f' to {body.supplier}' if body.supplier else ''}: {body.reason}"))
        case p.WorkSent(part=name) if name in found:
            way = found[name]
            way.where, way.work, way.promised, way.supplier = "out", body.work, _day(body.promised), body.supplier
            way.history.append((mark, f"out at {body.supplier} for {body.words}"))
        case p.WorkBack():
            way = next((x for x in found.values() if x.work == body.work and x.where == "out"), None)
            if way is not None:
                way.where = "arrived" if body.fits else "refused"
                way.history.append((mark, f"back from {way.supplier}" + (f": {body.note}" if body.note else "")))
        case _:
            pass


def outside_work(build: Build) -> tuple[OutsideWork, ...]:
    """Work done outside, in the order in which it went out."""
    found: dict[str, OutsideWork] = {}
    for mark, body in build.work:
        if isinstance(body, p.WorkSent):
            found[body.work] = OutsideWork(body.work, body.part, body.supplier, body.words, body.step, _day(body.promised), body.cost, mark)
        elif isinstance(body, p.WorkBack) and body.work in found:
            row = found[body.work]
            row.back, row.fits, row.note, row.cost = mark, body.fits, body.note, body.cost or row.cost
    return tuple(found.values())


def lead_of(text: str) -> Range | None:
    """Days that a supplier needs, from text such as ``8`` or ``5 8 21``; None for an empty one; raises BadInput otherwise."""
    if not text.strip():
        return None
    try:
        return range_of([float(x) for x in text.replace(",", " ").split()], "lead")
    except ValueError:
        raise BadInput(f"lead: {text!r} is not taken; give days, one number or low, likely and high such as '5 8 21'") from None


@dataclass(frozen=True, slots=True)
class Needed:
    """A kind of part that the plan needs: how many places take one, the steps that wait for it, and what is listed of it."""

    kind: str
    places: int
    steps: tuple[str, ...]
    listed: tuple[str, ...]
    in_house: int


def needed(plan: Plan, found: dict[str, PartWay]) -> tuple[Needed, ...]:
    """The list of parts that the plan asks for, in the order of the plan."""
    needs: dict[str, tuple[set[str], list[str]]] = {}
    for step in plan.steps.values():
        for need in step.parts:
            places, steps = needs.setdefault(need.kind, (set(), []))
            places.update(need.slots)
            steps.append(step.id)
    rows: list[Needed] = []
    for kind, (places, steps) in needs.items():
        ours = [way for way in found.values() if "-".join(way.kind.lower().split()) == kind and way.where != "returned"]
        rows.append(Needed(kind, max(1, len(places)), tuple(steps), tuple(w.part for w in ours), sum(w.in_house for w in ours)))
    return tuple(rows)


def held_up(plan: Plan, need_met_by: dict[str, tuple[PartNeed, ...]], done: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """For every missing part, the steps not done that it holds up: those that need it and all that wait for these.

    Args:
        plan: the plan.
        need_met_by: part to the needs that it is to meet.
        done: steps that are done.
    """
    finished = set(done)
    rows: dict[str, tuple[str, ...]] = {}
    for part, needs in need_met_by.items():
        wanted = set(needs)
        stopped: set[str] = set()
        for step in plan.steps.values():
            if step.id not in finished and (wanted & set(step.parts) or stopped & set(step.waits_for)):
                stopped.add(step.id)
        rows[part] = tuple(name for name in plan.steps if name in stopped)
    return rows
