"""A study begun from what a person typed into a form: parts by number or name, masters one to a line."""

import re
from collections.abc import Mapping

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.studies import MOST_PARTS, WITH_MASTERS

FIELDS = ("name", "kind", "gauge", "parts", "masters", "people", "trials", "unit", "setting", "tolerance", "what", "note")
EXAMPLE = "ring 2: 2.0000 in ± 0.5 tenths"
_MASTER = re.compile(r"(?:(?P<name>[^:]+):)?\s*(?P<size>[^±]+?)\s*(?:(?:±|\+-|\+/-)\s*(?P<doubt>.+))?")


def card_of(typed: Mapping[str, str]) -> bodies.StudyBegun:
    """The card of a study from the fields of the form; raises BadInput naming the field that is wrong."""
    said = {field: typed.get(field, "").strip() for field in FIELDS}
    if not said["gauge"]:
        raise BadInput("gauge: which one is studied?")
    if not said["trials"].isdecimal() or len(said["trials"]) > 3:
        raise BadInput(f"trials: {said['trials'][:20]!r} is no whole number")
    kind = said["kind"] or "repeatability"
    masters = _masters(said["masters"]) if kind in WITH_MASTERS else []
    if kind in {"bias", "linearity"} and not masters:
        raise BadInput(f"masters: a study of {kind} needs them, one to a line, like {EXAMPLE}")
    parts = tuple(name for name, _, _ in masters) or _parts(said["parts"], kind)
    return bodies.StudyBegun(
        study=said["name"], kind=kind, instrument=said["gauge"], parts=parts, people=_lines(said["people"]),
        trials=int(said["trials"]), unit=said["unit"], what=said["what"], setting=said["setting"], tolerance=said["tolerance"],
        note=said["note"], sizes=tuple(size for _, size, _ in masters),
        uncertainties=tuple(doubt for _, _, doubt in masters) if any(doubt for _, _, doubt in masters) else ())


def _lines(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in re.split(r"[\n,;]", text) if word.strip())


def _parts(text: str, kind: str) -> tuple[str, ...]:
    """So many parts by number, or their names."""
    if not text and kind == "stability":
        return ("master",)
    if text.isdecimal():
        if not 1 <= int(text[:4]) <= MOST_PARTS:
            raise BadInput(f"parts: {text} are not taken; up to {MOST_PARTS} are")
        return tuple(str(n + 1) for n in range(int(text)))
    return _lines(text)


def _masters(text: str) -> list[tuple[str, str, str]]:
    """Masters, one to a line: ``ring 2: 2.0000 in ± 0.5 tenths``; the name and what follows ± may be left out."""
    found: list[tuple[str, str, str]] = []
    for line in filter(str.strip, text.splitlines()):
        match = _MASTER.fullmatch(line.strip())
        if match is None:
            raise BadInput(f"masters: {line[:40]!r} is not taken; one to a line, like {EXAMPLE}")
        found.append(((match["name"] or match["size"]).strip(), match["size"].strip(), (match["doubt"] or "").strip()))
    return found
