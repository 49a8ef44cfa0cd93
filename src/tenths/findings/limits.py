"""Limits and their authority: maker's sheet, then house rules, then common practice by kind of use."""

import tomllib
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import pattern_matches
from tenths.errors import BadInput
from tenths.findings.declare import Characteristic
from tenths.logbook.bodies import LimitStated
from tenths.logbook.build import Build

USES = ("street", "hard", "circuit", "drag", "boosted", "vintage", "marine")
MAKER, HOUSE, PRACTICE, NOBODY = "maker's sheet", "house rule", "common practice", ""


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of a finding in SI, who said so, and in what words; all None when nobody said anything."""

    lower: float | None = None
    upper: float | None = None
    target: float | None = None
    authority: str = NOBODY
    source: str = ""

    @property
    def given(self) -> bool:
        """Whether there is anything to judge by."""
        return self.lower is not None or self.upper is not None


@dataclass(frozen=True, slots=True)
class Rule:
    """A row of the house rules or of common practice, not yet multiplied by a size."""

    characteristic: str
    station: str
    uses: tuple[str, ...]
    per: str
    lower: str | float | None
    upper: str | float | None
    target: str | float | None
    source: str


@cache
def practice() -> tuple[Rule, ...]:
    """The rows of common practice that come with Tenths."""
    return rules_of(files("tenths.data").joinpath("common_practice.toml").read_text("utf-8"))


@lru_cache(maxsize=64)
def rules_of(text: str) -> tuple[Rule, ...]:
    """The rows of a TOML of limits.

    Raises:
        BadInput: names the row and what is wrong with it.
    """
    try:
        raw: dict[str, Any] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"house rules: not TOML: {error}") from None
    return tuple(_rule(number, row) for number, row in enumerate(raw.get("limit", []), 1))


KNOWN = {"characteristic", "station", "use", "per", "lower", "upper", "target", "source"}


def _rule(number: int, row: dict[str, Any]) -> Rule:
    where = f"[[limit]] row {number}"
    if not isinstance(row.get("characteristic"), str):
        raise BadInput(f"{where}: characteristic is missing")
    where += f" ({row['characteristic']})"
    if unknown := sorted(set(row) - KNOWN):
        raise BadInput(f"{where}: {unknown[0]!r} is not known; a row has {', '.join(sorted(KNOWN))}")
    uses: str | list[str] = row.get("use", "")
    uses = [uses] if isinstance(uses, str) and uses else list(uses)
    if wrong := [use for use in uses if use not in USES]:
        raise BadInput(f"{where}: use {wrong[0]!r} is not one of {', '.join(USES)}")
    if row.get("per", "") not in {"", "journal", "bore"}:
        raise BadInput(f"{where}: per {row['per']!r} is not journal or bore")
    for key in ("lower", "upper", "target"):
        value = row.get(key)
        if value is not None and isinstance(value, str) == bool(row.get("per")):
            raise BadInput(f"{where}: {key} = {value!r}: give text with a unit, or a bare number with per")
    return Rule(row["characteristic"], row.get("station", ""), tuple(uses), row.get("per", ""), row.get("lower"),
                row.get("upper"), row.get("target"), row.get("source", ""))


def limits_for(build: Build, characteristic: Characteristic, station: str, size: float | None) -> Limits:
    """The limits that judge a characteristic at a station; ``size`` [m] is what "per journal" or "per bore" multiplies."""
    name = characteristic.limits_of or characteristic.name
    return (_maker(build, name, characteristic.quantity, station)
            or _from_rules(rules_of(build.house_text), HOUSE, build.use, name, characteristic.quantity, station, size)
            or _from_rules(practice(), PRACTICE, build.use, name, characteristic.quantity, station, size)
            or Limits())


def _maker(build: Build, name: str, quantity: Quantity, station: str) -> Limits | None:
    found = [(mark, body) for mark, body in build.limits
             if body.characteristic == name and pattern_matches(body.station, station)]
    if not found:
        return None
    _, body = min(found, key=lambda row: (row[1].station.count("*"), -row[0].position))
    try:
        return read_limit(body, quantity, build.units)
    except BadInput as error:
        return Limits(authority=MAKER, source=f"{body.source}, which cannot be read: {error}")


def read_limit(body: LimitStated, quantity: Quantity, units: str) -> Limits:
    """A maker's limit understood; raises BadInput when a text is no number of that quantity, or nothing is given."""
    name = body.characteristic
    if not (body.lower or body.upper):
        raise BadInput(f"limit of {name}: give a lower limit, an upper limit, or both")
    texts = (body.lower, body.upper, body.target)
    lower, upper, target = (limit_text(text, quantity, units, f"limit of {name}") for text in texts)
    return Limits(lower, upper, target, MAKER, body.source)


@lru_cache(maxsize=4096)
def limit_text(text: str, quantity: Quantity, units: str, field: str) -> float | None:
    """A limit as typed, in SI; None for an empty text; raises BadInput when it cannot be read."""
    if not text:
        return None
    system = "metric" if units == "metric" else "inch"
    return parse(text, quantity, default_unit=unit_for(quantity, system), field=field).si


def _from_rules(rules: tuple[Rule, ...], authority: str, use: str, name: str, quantity: Quantity, station: str,
                size: float | None) -> Limits | None:
    found = [rule for rule in rules if rule.characteristic == name and (not rule.uses or use in rule.uses)
             and (not rule.station or pattern_matches(rule.station, station)) and (not rule.per or size)]
    if not found:
        return None
    rule = max(found, key=lambda r: (bool(r.station), -r.station.count("*"), bool(r.uses)))
    try:
        lower, upper, target = (_of_rule(value, quantity, size, name) for value in (rule.lower, rule.upper, rule.target))
    except BadInput as error:
        return Limits(authority=authority, source=f"a rule that cannot be read: {error}")
    source = rule.source or ("common practice, no source" if authority == PRACTICE else "house rules")
    if rule.uses:
        source += f", {use}"
    return Limits(lower, upper, target, authority, source)


def _of_rule(value: str | float | None, quantity: Quantity, size: float | None, name: str) -> float | None:
    if value is None or isinstance(value, str):
        return limit_text(value or "", quantity, "inch", f"limit of {name}")
    return float(value) * size if size else None
