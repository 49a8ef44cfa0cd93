"""What steps wait for outside the plan: parts in the house, checks that fit, tools at hand."""

from collections.abc import Callable, Iterable, Mapping

from tenths.engine.stations import pattern_matches
from tenths.findings.finding import Finding
from tenths.logbook.build import Build, Part
from tenths.work.plan import PartNeed
from tenths.work.state import Facts


def facts_of(build: Build, findings: Iterable[Finding], away: Mapping[str, str] | None = None) -> Facts:
    """The facts of an engine.

    Args:
        build: the engine as its logbook leaves it.
        findings: all its findings.
        away: tools that are not there, each with why.
    """
    return Facts(missing_in(build), {(f.characteristic.name, f.station): str(f.verdict) for f in findings}, away or {})


def missing_in(build: Build) -> Callable[[PartNeed], str]:
    """A function that says, for a need of parts, what is missing; nothing when all that was listed is in the house."""
    by_kind: dict[str, list[tuple[str, Part]]] = {}
    for name, part in build.parts.items():
        by_kind.setdefault(part.card.kind, []).append((name, part))
    fitted: dict[str, list[str]] = {}
    for slot in build.slots:
        if part_name := build.part_in(slot):
            fitted.setdefault(part_name, []).append(slot)
    counted = {kind for (kind, _), (_, body) in build.stock.items() if body.sets > 0}
    known: dict[PartNeed, str] = {}

    def missing(need: PartNeed) -> str:
        if need not in known:
            known[need] = _missing(build, need, by_kind.get(need.kind, []), fitted, in_stock=need.kind in counted)
        return known[need]

    return missing


def _missing(build: Build, need: PartNeed, listed: list[tuple[str, Part]], fitted: Mapping[str, list[str]], *, in_stock: bool) -> str:
    if need.slots and all(_here(build, build.part_in(slot)) for slot in need.slots):
        return ""
    for name, part in listed:
        if part.in_house or not _meant(need, fitted.get(name, [])):
            continue
        due = f", promised {part.card.promised}" if part.card.promised else ""
        return f"{part.card.words or need.kind} ({name}): {part.card.where}{due}"
    return "" if listed or in_stock else f"nobody has listed a part of kind {need.kind}"


def _here(build: Build, name: str) -> bool:
    part = build.parts.get(name)
    return bool(part and part.in_house)


def _meant(need: PartNeed, places: list[str]) -> bool:
    """Whether a part is for that need: one that is fitted or meant for other places is not."""
    return not places or not need.slots or any(pattern_matches(slot, place) for slot in need.slots for place in places)
