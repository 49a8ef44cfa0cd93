"""A template of steps: what TOML says, understood and checked by itself, before any engine."""

import re
import tomllib
from dataclasses import dataclass, field, fields
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal, cast

from tenths.errors import BadInput

NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")
KINDS = ("engine", "main", "thrust", "pin", "rod", "cyl", "deck", "head", "cam")
CONDITIONS = ("cam-in-block", "cam-in-head", "no-cam", "many-cylinders", "many-banks")
Second = Literal["pass", "person", "none"]
Range = tuple[float, float, float]
NO_TIME: Range = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class StepRow:
    """A row ``[[step]]`` of a template, see the head of ``data/steps.toml`` for what each field means.

    ``hours`` [h] and ``days`` [days of 24 h] are low, likely and high.
    """

    name: str
    stage: str
    words: str
    each: str = "engine"
    when: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()
    slots: tuple[str, ...] = ()
    machined: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    place: str = ""
    hours: Range = NO_TIME
    days: Range = NO_TIME
    second: str = ""
    ticks: tuple[str, ...] = ()
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Template:
    """Stages in the order of a job, what each class of second check asks, and the rows of steps."""

    stages: tuple[str, ...]
    rows: tuple[StepRow, ...]
    unlisted_parts: Literal["pass", "wait"] = "pass"
    second: dict[str, Second] = field(default_factory=dict[str, Second])


def shipped_text() -> str:
    """The template that comes with Tenths, as TOML."""
    return files("tenths.data").joinpath("steps.toml").read_text("utf-8")


@lru_cache(maxsize=32)
def template_of(text: str) -> Template:
    """The template that a TOML means.

    Args:
        text: the TOML, in the form of ``data/steps.toml``.

    Returns:
        The template; every step that a row waits for is in it.

    Raises:
        BadInput: names the row and the field that cannot be taken, and what would be.
    """
    try:
        raw: dict[str, Any] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"order of work: not TOML: {error}") from None
    if unknown := sorted(set(raw) - {"stages", "step", "second", "unlisted_parts"}):
        raise BadInput(f"order of work: {unknown[0]!r} is not known; there are stages, unlisted_parts, [second] and [[step]]")
    stages = _texts(raw.get("stages", []), "order of work: stages")
    rows = tuple(_row(number, row, stages) for number, row in enumerate(_tables(raw.get("step", [])), 1))
    if not rows:
        raise BadInput("order of work: it has no [[step]]")
    _names_are_known(rows)
    return Template(stages, rows, _unlisted(raw.get("unlisted_parts", "pass")), _second(raw.get("second", {})))


def _tables(value: object) -> list[dict[str, Any]]:
    rows = cast("list[object]", value) if isinstance(value, list) else [None]
    if not all(isinstance(row, dict) for row in rows):
        raise BadInput("order of work: steps are written as [[step]], each with its name, stage and words")
    return cast("list[dict[str, Any]]", rows)


def _unlisted(value: object) -> Literal["pass", "wait"]:
    if value not in {"pass", "wait"}:
        raise BadInput(f'order of work: unlisted_parts: {value!r} is not taken; give "pass" or "wait"')
    return cast("Literal['pass', 'wait']", value)


def _second(value: object) -> dict[str, Second]:
    table = cast("dict[str, object]", value) if isinstance(value, dict) else {"": value}
    for name, how in table.items():
        if not name or how not in {"pass", "person", "none"}:
            raise BadInput(f"order of work: [second] {name or '?'} = {how!r} is not taken; give \"pass\", \"person\" or \"none\"")
    return cast("dict[str, Second]", table)


def _row(number: int, raw: dict[str, Any], stages: tuple[str, ...]) -> StepRow:
    where = f"order of work: [[step]] {number}"
    name = raw.get("name")
    if not isinstance(name, str) or not NAME.fullmatch(name):
        raise BadInput(f"{where}: name {name!r} is not taken; give small letters, digits and hyphens, up to 60")
    where = f"order of work: step {name}"
    known = {f.name for f in fields(StepRow)}
    if unknown := sorted(set(raw) - known):
        raise BadInput(f"{where}: {unknown[0]!r} is not known; a step has {', '.join(sorted(known))}")
    given: dict[str, Any] = {}
    for key, value in raw.items():
        if key in {"hours", "days"}:
            given[key] = _range(value, f"{where}: {key}")
        elif key in {"name", "stage", "words", "each", "place", "second", "caution"}:
            given[key] = _text(value, f"{where}: {key}")
        else:
            given[key] = _texts(value, f"{where}: {key}")
    row = StepRow(**{"stage": "", "words": "", **given})
    _fits(row, where, stages)
    return row


def _fits(row: StepRow, where: str, stages: tuple[str, ...]) -> None:
    if row.stage not in stages:
        raise BadInput(f"{where}: stage {row.stage!r} is not one of {', '.join(stages)}")
    if not row.words:
        raise BadInput(f"{where}: words are missing: say what is done")
    if row.each not in KINDS:
        raise BadInput(f"{where}: each {row.each!r} is not one of {', '.join(KINDS)}")
    for condition in row.when:
        bare = condition.removeprefix("not:")
        if bare not in CONDITIONS and not bare.startswith(("part:", "use:")):
            raise BadInput(f"{where}: when {condition!r} is not one of {', '.join(CONDITIONS)}, part:KIND, use:USE, or not: one")


def _names_are_known(rows: tuple[StepRow, ...]) -> None:
    seen: set[str] = set()
    for row in rows:
        if row.name in seen:
            raise BadInput(f"order of work: step {row.name} stands in it twice")
        seen.add(row.name)
    for row in rows:
        for wanted in (*row.after, *row.on):
            if wanted.partition("@")[0] not in seen:
                raise BadInput(f"order of work: step {row.name} waits for {wanted!r}, which is not a step")


def _text(value: object, where: str) -> str:
    if not isinstance(value, str):
        raise BadInput(f"{where}: {value!r} is not a text")
    return value


def _texts(value: object, where: str) -> tuple[str, ...]:
    rows = cast("list[object]", value) if isinstance(value, list) else [None]
    if not all(isinstance(one, str) and one for one in rows):
        raise BadInput(f"{where}: {value!r} is not a list of texts")
    return tuple(cast("list[str]", rows))


def _range(value: object, where: str) -> Range:
    rows = cast("list[object]", value) if isinstance(value, list) else [value]
    numbers = [float(one) for one in rows if isinstance(one, int | float) and not isinstance(one, bool)]
    if len(numbers) == len(rows):
        return range_of(numbers, where)
    raise BadInput(f"{where}: {value!r} is not taken; give one number, or low, likely and high")


def range_of(numbers: list[float], where: str) -> Range:
    """One number, or low, likely and high, as a range; raises BadInput unless they rise from zero to 10,000."""
    if len(numbers) == 1:
        numbers = numbers * 3
    if len(numbers) != 3 or not 0 <= numbers[0] <= numbers[1] <= numbers[2] <= 10_000:
        raise BadInput(f"{where}: {numbers} is not taken; give one number, or low, likely and high that rise from 0 to 10,000")
    return numbers[0], numbers[1], numbers[2]
