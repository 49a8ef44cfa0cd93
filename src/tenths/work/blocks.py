"""Work of several engines in blocks: steps that follow each other at one place, so that a schedule stays small enough to read."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tenths.work.finish import Task, ranked
from tenths.work.template import Range


@dataclass(frozen=True, slots=True)
class Block:
    """Steps that one person does in one go. Hours [h]; ``lag`` [h] passes outside before the next may begin.

    ``release`` [h] is when its parts are there, ``waits_for`` which part that is; ``place`` is what it needs for itself.
    """

    id: str
    engine: str
    steps: tuple[str, ...]
    hours: float
    after: tuple[str, ...] = ()
    place: str = ""
    release: float = 0.0
    waits_for: str = ""
    lag: float = 0.0
    stage: str = ""


def blocks_of(engine: str, tasks: Sequence[Task], arrivals: Mapping[str, Range], stage_of: Mapping[str, str]) -> list[Block]:
    """The blocks of an engine, each after those that it waits for.

    Tasks of one stage at one place that wait for the same parts stand in one block, as far as nothing else comes between.
    """
    key = {t.name: (stage_of.get(t.name, ""), t.place, t.parts, t.name if t.outside[1] else "") for t in tasks}
    phase: dict[str, int] = {}
    for task in tasks:
        phase[task.name] = max((phase[b] + (key[b] != key[task.name]) for b in task.after if b in phase), default=0)
    groups: dict[tuple[object, int], list[Task]] = {}
    for task in ranked(tasks):
        groups.setdefault((key[task.name], phase[task.name]), []).append(task)
    inside = {t.name: f"{engine}:{number}" for number, rows in enumerate(groups.values()) for t in rows}
    return _in_order([_block(engine, inside, rows, arrivals, stage_of) for rows in groups.values()])


def _block(engine: str, inside: Mapping[str, str], rows: Sequence[Task], arrivals: Mapping[str, Range], stage_of: Mapping[str, str],
           ) -> Block:
    own = inside[rows[0].name]
    after = dict.fromkeys(inside[b] for t in rows for b in t.after if b in inside and inside[b] != own)
    parts = [(arrivals[p][1], p) for t in rows for p in t.parts if p in arrivals]
    release, part = max(parts, default=(0.0, ""))
    return Block(own, engine, tuple(t.name for t in rows), sum(t.hours[1] for t in rows), tuple(after), rows[0].place, release, part,
                 max(t.outside[1] for t in rows), stage_of.get(rows[0].name, ""))


def _in_order(blocks: Iterable[Block]) -> list[Block]:
    from graphlib import TopologicalSorter  # noqa: PLC0415 - only a schedule asks

    by_id = {b.id: b for b in blocks}
    return [by_id[name] for name in TopologicalSorter({b.id: b.after for b in by_id.values()}).static_order()]
