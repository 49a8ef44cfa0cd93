"""What steps wait for outside the plan: parts in the house, checks that fit, tools at hand."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache

from tenths.engine.layout import Layout
from tenths.engine.stations import pattern_matches, slots
from tenths.findings.finding import Finding
from tenths.logbook.build import Build
from tenths.work.parts import PartWay, ways
from tenths.work.plan import PartNeed, Plan
from tenths.work.state import Facts

UNLISTED = "nobody has listed"


def facts_of(build: Build, findings: Iterable[Finding], away: Mapping[str, str] | None = None) -> Facts:
    """The facts of an engine.

    Args:
        build: the engine as its logbook leaves it.
        findings: all its findings.
        away: tools that are not there, each with why.
    """
    return Facts(Shelves(build).words, {(f.characteristic.name, f.station): str(f.verdict) for f in findings}, away or {})


@dataclass
class Shelves:
    """The parts of an engine, asked need by need; worked out once for each need."""

    build: Build
    ways: dict[str, PartWay] = field(init=False)
    _by_kind: dict[str, list[PartWay]] = field(init=False, default_factory=dict[str, list[PartWay]])
    _known: dict[PartNeed, tuple[PartWay, ...]] = field(init=False, default_factory=dict[PartNeed, tuple[PartWay, ...]])
    _stocked: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        self.ways = ways(self.build)
        for way in self.ways.values():
            self._by_kind.setdefault(plain_kind(way.kind), []).append(way)
        self._stocked = frozenset(kind for (kind, _), (_, body) in self.build.stock.items() if body.sets > 0)

    def words(self, need: PartNeed) -> str:
        """What is missing for a need, in words; nothing when all that was listed for it is in the house."""
        for way in self.missing(need):
            due = f", promised {way.promised}" if way.promised else ""
            where = "not as ordered" if way.where == "refused" else f"out at {way.supplier}" if way.where == "out" else way.where
            card = self.build.parts[way.part].card
            return f"{way.words} ({way.part}): {card.where if where == 'listed' else where}{due}"
        listed = self._by_kind.get(need.kind) or need.kind in self._stocked
        return "" if listed else f"{UNLISTED} a part of kind {need.kind}"

    def missing(self, need: PartNeed) -> tuple[PartWay, ...]:
        """The parts for a need that are not in the house."""
        if need not in self._known:
            self._known[need] = tuple(self._missing(need))
        return self._known[need]

    def _missing(self, need: PartNeed) -> list[PartWay]:
        if need.slots and all(self._filled(slot) for slot in need.slots):
            return []
        ours = [way for way in self._by_kind.get(need.kind, ()) if _meant(need, way.fitted or way.slots)]
        here = [way for way in ours if way.where != "returned"]
        bound = any(way.slots and not way.in_house for way in here)  # ordered for these very places: others do not stand in
        if not bound and sum(way.quantity for way in here if way.in_house) >= places_for(self.build.layout, need.kind):
            return []
        return [way for way in here or ours if not way.in_house]

    def _filled(self, slot: str) -> bool:
        way = self.ways.get(self.build.part_in(slot))
        return bool(way and way.in_house)


def _meant(need: PartNeed, places: Iterable[str]) -> bool:
    """Whether a part is for that need: one that is fitted or meant for other places is not."""
    places = tuple(places)
    return not places or not need.slots or any(
        pattern_matches(one, other) or pattern_matches(other, one) for one in need.slots for other in places)


PLACES = {"piston": "cyl.*.piston", "wrist-pin": "cyl.*.pin", "ring": "cyl.*.ring.*", "rod": "rod.*", "main-shell": "main.*.shell.*",
          "rod-shell": "rod.*.shell.*", "thrust": "thrust.*", "gasket": "gasket.*", "head": "head.*", "cam": "cam.*",
          "cam-bearing": "cam.*.bearing.*", "lifter": "lifter.*.*", "valve": "valve.*.*", "cap": "main.*.cap", "seal": "seal.*",
          "sleeve": "cyl.*.sleeve"}


@cache
def places_for(layout: Layout | None, kind: str) -> int:
    """How many places of an engine take a part of that kind; one where that is not known."""
    if layout is None or kind not in PLACES:
        return 1
    return max(1, sum(pattern_matches(PLACES[kind], slot) for slot in slots(layout)))


def plain_kind(kind: str) -> str:
    """A kind of part as steps name it: ``oil pump`` and ``Oil-pump`` are one."""
    return "-".join(kind.lower().split())


def needs_met_by(plan: Plan, shelves: Shelves) -> dict[str, tuple[PartNeed, ...]]:
    """For every part that is missing, the needs of the plan that wait for it."""
    found: dict[str, list[PartNeed]] = {}
    for need in dict.fromkeys(need for step in plan.steps.values() for need in step.parts):
        for way in shelves.missing(need):
            found.setdefault(way.part, []).append(need)
    return {part: tuple(needs) for part, needs in found.items()}


def tools_away(tools: Iterable[str], away: Mapping[str, str], instruments: Mapping[str, str]) -> dict[str, str]:
    """Of the tools that steps name, those that are not there.

    Args:
        tools: names of tools, or kinds of instrument.
        away: what is away, by its own name, with why.
        instruments: kind of every instrument of the shop by its name; a kind is away when all of it are.
    """
    found: dict[str, str] = {}
    for tool in tools:
        same = [name for name, kind in instruments.items() if kind == tool]
        if tool in away:
            found[tool] = away[tool]
        elif same and all(name in away for name in same):
            found[tool] = f"{same[0]} is away: {away[same[0]]}"
    return found


