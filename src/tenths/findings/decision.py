"""The decision rule of the house, and the probability that it judges by where doubt is not normal."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tenths.engine.quantity import Quantity, parse
from tenths.errors import BadInput
from tenths.metrology.decide import (
    DecisionRule,
    Verdict,
    by_probability,
    conformance,
    guard_band,
    iso_14253_1,
    simple_acceptance,
)
from tenths.metrology.estimate import Estimate
from tenths.metrology.method import FLAT_TOPPED, excess

KEYS = ("accept", "reject", "guard", "width", "iso-14253-1", "probability", "simple")
DOUBTFUL = (0.005, 0.2, 0.8, 0.995)  # where what normal doubt says of the tails may carry a verdict over its level
SEED = 14253


def rule_of(house: Mapping[str, Any]) -> DecisionRule:
    """The decision rule of the house, from the keys of its table ``[decision]``.

    ``accept`` and ``reject`` judge by probability; ``guard`` (in u) and ``width`` (a length with its unit, of lengths
    only) by guard bands; ``iso-14253-1`` names an edition, with ``probability`` for that of 2017; ``simple`` looks at
    the value alone.

    Raises:
        BadInput: naming the key that is not known, or cannot be taken, or does not go with another.
    """
    said: dict[str, Any] = house.get("decision", {})
    if unknown := sorted(set(said) - set(KEYS)):
        raise BadInput(f"house rules: decision: {unknown[0]!r} is not known; there are {', '.join(KEYS)}")
    if wrong := [key for key in ("accept", "reject", "guard", "probability") if not _is_number(said.get(key, 0.5))]:
        raise BadInput(f"house rules: decision: {wrong[0]} = {said[wrong[0]]!r} is no number")
    ways = [w for w in ({"accept", "reject"}, {"guard", "width"}, {"iso-14253-1", "probability"}, {"simple"}) if w & set(said)]
    if len(ways) > 1:
        both = " and ".join(sorted(ways[0] & set(said))[:1] + sorted(ways[1] & set(said))[:1])
        raise BadInput(f"house rules: decision: {both} do not go together; give one way of judging")
    return _rule(said)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _rule(said: Mapping[str, Any]) -> DecisionRule:
    if "iso-14253-1" in said or "probability" in said:
        return _iso(said)
    if "simple" in said:
        if said["simple"] is not True:
            raise BadInput(f"house rules: decision: simple = {said['simple']!r}: true is taken, or leave it out")
        return simple_acceptance()
    if "guard" in said or "width" in said:
        return _guarded(said)
    return by_probability(accept=float(said.get("accept", 0.95)), reject=float(said.get("reject", 0.05)))


def _iso(said: Mapping[str, Any]) -> DecisionRule:
    edition = said.get("iso-14253-1")
    if edition is None:
        raise BadInput('house rules: decision: probability goes with iso-14253-1 = "2017"')
    if "probability" in said and edition != "2017":
        raise BadInput(f"house rules: decision: probability does not go with edition {edition}; that of 2017 takes one")
    return iso_14253_1(edition, probability=float(said.get("probability", 0.95)))


def _guarded(said: Mapping[str, Any]) -> DecisionRule:
    width, text = 0.0, said.get("width", "")
    if text:
        if not isinstance(text, str):
            raise BadInput(f'house rules: decision: width = {text!r}: give it as text with its unit, like "0.2 tenths"')
        width = parse(text, Quantity.LENGTH, default_unit="in", field="house rules: decision: width").si
    made = guard_band(float(said.get("guard", 0.0)), width=width)
    multiple = f"{made.guard:g} u" if made.guard else ""
    return replace(made, name="guard band " + " + ".join(filter(None, (multiple, str(text).strip()))) if width else
                   f"guard band {multiple or '0'}")


def rule_for(rule: DecisionRule, quantity: Quantity) -> DecisionRule:
    """The rule as it judges a quantity: a guard band of fixed width is a length, and of lengths only."""
    return replace(rule, width=0.0) if rule.width and quantity is not Quantity.LENGTH else rule


def by_levels(probability: float, rule: DecisionRule) -> Verdict:
    """The verdict by a probability of conforming alone."""
    if probability >= rule.accept:
        return Verdict.FITS
    return Verdict.OUT if probability <= rule.reject else Verdict.TOO_CLOSE


def edition_of(house: Mapping[str, Any]) -> str:
    """The edition of ISO 14253-1 that the house judges by; empty where it judges otherwise."""
    return str(house.get("decision", {}).get("iso-14253-1", ""))


def probability_of(estimate: Estimate, lower: float | None, upper: float | None, freedom: float) -> tuple[float, bool]:
    """Probability that a value conforms, and whether it was found by trial.

    Doubt that is all but normal is taken as such. Where a rectangle rules the spread and the probability that normal
    doubt gives is near the levels that are judged by, trials decide.
    """
    normal = conformance(estimate.value, estimate.u, lower, upper, freedom=freedom)
    if not (DOUBTFUL[0] < normal < DOUBTFUL[1] or DOUBTFUL[2] < normal < DOUBTFUL[3]) or abs(excess(estimate)) < FLAT_TOPPED:
        return normal, False
    import numpy as np  # noqa: PLC0415 - few findings need trials

    from tenths.metrology.montecarlo import chance_within  # noqa: PLC0415 - as above

    found = chance_within(estimate, lower, upper, rng=np.random.default_rng(SEED))
    return found.probability, True
