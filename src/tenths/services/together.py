"""Statements about several findings at once: that all of a kind fit, and by how much two of them differ."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import hypot, prod

from tenths.engine.quantity import write
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.finding import Finding
from tenths.logbook.build import Build
from tenths.metrology.coverage import coverage_factor, effective_freedom
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, difference
from tenths.services.how import doubt_text, doubt_unit
from tenths.services.questions import Answer, finding_answer, telling_places
from tenths.services.shop import Shop

POINTS = 256  # of each lattice; to within about a thousandth for sixteen findings
SURE = 1e-4  # where all chances of lying outside come to less, they say enough
MOST_DIFFERENCES = 400
NOT_WORTH_SAYING = 0.9995


@dataclass(frozen=True, slots=True)
class Chance:
    """Probability that all of a kind fit [-], and what it would be if they shared nothing."""

    together: float
    independent: float
    bound: bool  # ``together`` is the least that it can be, not worked out further


def groups(found: Sequence[Finding]) -> dict[str, list[Finding]]:
    """Measured findings with limits that hold, by characteristic; only where there are two or more."""
    rows: dict[str, list[Finding]] = {}
    for f in found:
        if f.estimate is not None and f.limits.given and f.verdict is not Verdict.STALE and f.station != "engine":
            rows.setdefault(f.characteristic.name, []).append(f)
    return {name: same for name, same in rows.items() if len(same) > 1}


def chance_of(rows: Sequence[Finding], *, points: int = POINTS) -> Chance:
    """Probability that all of several findings lie within their limits.

    Source: [JCGM106] clause 7 in several dimensions. Where chances of lying outside add up to almost nothing, their sum is
    the bound; where findings share no cause, the product is exact.
    """
    single = [f.probability or 0.0 for f in rows]
    independent, miss = prod(single), sum(1 - p for p in single)
    if miss < SURE:
        return Chance(1 - miss, independent, bound=miss > 0)
    estimates = [f.estimate for f in rows if f.estimate is not None]
    if not _share(estimates):
        return Chance(independent, independent, bound=False)
    from tenths.metrology.joint import joint  # noqa: PLC0415 - only where the chances hang together

    found = joint(estimates, [(f.limits.lower, f.limits.upper) for f in rows], points=points)
    return Chance(found.probability, independent, bound=False)


def _share(estimates: Sequence[Estimate]) -> bool:
    """Whether any cause moves two of them by more than next to nothing."""
    moved = Counter(cause for e in estimates for cause, part in e.parts.items() if abs(part) > 1e-6 * e.u)
    return any(count > 1 for count in moved.values())


def together(shop: Shop, engine: str, characteristic: str = "", units: str = "", *, pairs: bool = False) -> list[Answer]:
    """What can be said of all findings of a kind at once.

    Args:
        shop: the shop.
        engine: which engine.
        characteristic: only this one; all when left out.
        units: inch or metric; the engine's own when left out.
        pairs: with the differences of all pairs, instead of neighbours and the largest.

    Raises:
        BadInput: when the characteristic is not known, or fewer than two of it are measured.
    """
    build = shop.build(engine)
    found = groups(shop.checked(build))
    if characteristic:
        if characteristic not in catalogue():
            raise BadInput(f"characteristic: {characteristic!r} is not known; measured more than once are {', '.join(found) or 'none'}")
        if characteristic not in found:
            raise BadInput(f"characteristic: {characteristic!r} is not measured with limits at two places or more; "
                           f"those that are: {', '.join(found) or 'none'}")
        found = {characteristic: found[characteristic]}
    return [group_answer(shop, build, rows, units, pairs=pairs) for rows in found.values()]


def group_answer(shop: Shop, build: Build, rows: Sequence[Finding], units: str = "", *, pairs: bool = False) -> Answer:
    """Findings of one kind taken together, as JSON."""
    first, chance = rows[0], chance_of(rows)
    of = sum(f.characteristic.name == first.characteristic.name for f in shop.checked(build))
    least = min(rows, key=lambda f: f.probability or 0.0)
    return {
        "characteristic": first.characteristic.name, "words": first.characteristic.words, "count": len(rows), "of": of,
        "stations": [f.station for f in rows], "unit": finding_answer(build, first, units)["unit"],
        "doubt_unit": doubt_unit(build, first, units), "together": chance.together, "independent": chance.independent,
        "bound": chance.bound, "least": {"station": least.station, "words": _words(build, least), "probability": least.probability},
        "words_together": statement(rows, chance), "differences": _differences(build, rows, units, pairs=pairs),
    }


def _words(build: Build, finding: Finding) -> str:
    place = station_map(build.layout).get(finding.station) if build.layout else None
    return place.words if place else finding.station


def percent(probability: float) -> str:
    """A probability for a person, never rounded up to certainty nor down to none."""
    if probability > 0.9995:
        return "more than 99.9 %"
    if probability < 0.0005:
        return "less than 0.1 %"
    return f"{probability * 100:.1f} %"


def statement(rows: Sequence[Finding], chance: Chance) -> str:
    """The joint statement in a sentence."""
    said = f"All {len(rows)} within their limits at once: {percent(chance.together)}"
    if abs(chance.together - chance.independent) < 0.0005:
        return said + "."
    return said + f"; {percent(chance.independent)} if they had nothing in common."


def _differences(build: Build, rows: Sequence[Finding], units: str, *, pairs: bool) -> list[Answer]:
    """Neighbours in walking order, and the two that differ most; or all pairs."""
    chosen = list(combinations(rows, 2)) if pairs else list(pairwise(rows))
    if len(chosen) > MOST_DIFFERENCES:
        chosen = chosen[:MOST_DIFFERENCES]
    high, low = max(rows, key=_value), min(rows, key=_value)
    if not pairs and (high, low) not in chosen and (low, high) not in chosen:
        chosen.append((high, low) if rows.index(high) < rows.index(low) else (low, high))
    return [_difference(build, a, b, units, most={a.station, b.station} == {high.station, low.station}) for a, b in chosen]


def _value(finding: Finding) -> float:
    return finding.value or 0.0


def _difference(build: Build, a: Finding, b: Finding, units: str, *, most: bool) -> Answer:
    """The second less the first, with its own doubt, in which what both share cancels."""
    assert a.estimate is not None  # noqa: S101 - both are measured
    assert b.estimate is not None  # noqa: S101
    found, apart = difference(b.estimate, a.estimate), hypot(a.estimate.u, b.estimate.u)
    unit, quantity = doubt_unit(build, a, units), a.characteristic.quantity
    interval = coverage_factor(effective_freedom(found)) * found.u
    product = a.estimate.u * b.estimate.u
    shared = sum(part * b.estimate.parts.get(cause, 0.0) for cause, part in a.estimate.parts.items())
    value = write(found.value, quantity, unit=unit, decimals=telling_places(interval, quantity, unit)) if unit else f"{found.value:.4g}"
    return {
        "first": a.station, "second": b.station, "words": f"{_words(build, b)} less {_words(build, a)}",
        "value": value, "interval": doubt_text(interval, a, unit), "u": doubt_text(found.u, a, unit),
        "u_if_independent": doubt_text(apart, a, unit), "correlation": shared / product if product else 0.0,
        "differ": abs(found.value) > interval, "most": most,
    }


def in_short(shop: Shop, engine: str) -> dict[str, str]:
    """For each kind that is measured at all its places and not all but certain: that all fit at once, in a sentence."""
    build = shop.build(engine)
    found = shop.checked(build)
    everywhere = Counter(f.characteristic.name for f in found)
    said: dict[str, str] = {}
    for name, rows in groups(found).items():
        if len(rows) == everywhere[name] and not (name.endswith("-predicted") and name.removesuffix("-predicted") in said):
            chance = chance_of(rows, points=POINTS // 2)
            if chance.together < NOT_WORTH_SAYING:
                said[name] = statement(rows, chance)
    return said
