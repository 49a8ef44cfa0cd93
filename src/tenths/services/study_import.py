"""Readings of a study from a table that people bring: who read which part, the how-manieth time, and what was read."""

from collections.abc import Mapping
from pathlib import Path

from tenths.errors import BadInput, TenthsError
from tenths.logbook import bodies
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.ids import content_id
from tenths.logbook.vet import vet
from tenths.services.shop import SHOP, Shop
from tenths.services.studies import filled, study_named
from tenths.services.tables import Columns, Line, Table, read_table

HEADS: Mapping[str, tuple[str, ...]] = {  # column: other heads that mean it, in small letters
    "part": ("master", "piece", "sample", "what"), "reader": ("person", "by", "who", "operator", "appraiser", "read by"),
    "trial": ("repeat", "round", "number", "no"), "value": ("reading", "text", "size", "measured"),
    "occasion": ("day", "subgroup", "group", "week"), "unit": ("units",), "note": ("notes", "remark", "remarks"),
}
COLUMNS = Columns({word: name for name, words in HEADS.items() for word in (name, *words)}, ("part", "trial", "value"),
                  frozenset({"value"}))
MOST_SAID = 12  # rows that a refusal names


def import_study(shop: Shop, path: Path, *, study: str, card: bodies.StudyBegun | None = None) -> tuple[int, tuple[str, ...]]:
    """Takes a table of readings into a study: every row, or none.

    Columns, in any order: part, trial, value (as typed), and where they are known reader, occasion, unit, note. The same
    file taken twice doubles nothing.

    Params:
        shop: the shop.
        path: a CSV or XLSX.
        study: name of the study; when there is none of that name, the card begins it.
        card: what is known of a study that this file begins; its parts, people and trials are those of the file.

    Returns:
        How many readings were taken, and remarks on how the file was read.

    Raises:
        BadInput: naming the rows that cannot be taken and why.
    """
    table = read_table(path, COLUMNS)
    begun = shop.build(SHOP).studies.get(study)
    what: list[bodies.Body] = []
    if begun is None and card is not None:
        card = _begun_by(shop, card, study, table)
        what.append(card)
    people = (card or study_named(shop, study).card).people if begun is None else begun.card.people
    rows = [_row(study, line, people) for line in table.lines]
    _look(shop, path, what, table, rows)
    now = utc_text(shop.clock())
    new = [NewEntry(id=content_id("study", study, table.digest, number), type=body.TYPE, schema=body.SCHEMA, at=now,
                    person=shop.person, device=f"file {path.name}"[:200], body=bodies.encode(body))
           for number, body in [*((0, body) for body in what), *zip((line.number for line in table.lines), rows, strict=True)]]
    fresh = [entry for entry in new if shop.logbook.find(entry.id) is None]
    if fresh:
        shop.append_entries(SHOP, fresh)
    return sum(entry.type == bodies.StudyRead.TYPE for entry in fresh), table.remarks


def _begun_by(shop: Shop, card: bodies.StudyBegun, name: str, table: Table) -> bodies.StudyBegun:
    def named(column: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(line.cells[column] for line in table.lines if line.cells.get(column)))

    trials = max((_whole(line, "trial") for line in table.lines), default=0)
    given = bodies.StudyBegun(**{field: getattr(card, field) for field in card.__struct_fields__} | {
        "study": name, "parts": card.parts or named("part"), "people": card.people or named("reader"), "trials": trials})
    return filled(shop, given)


def _row(study: str, line: Line, people: tuple[str, ...]) -> bodies.StudyRead:
    if line.why:
        raise BadInput(f"row {line.number}: {line.why}")
    reader = line.cells.get("reader", "") or (people[0] if len(people) == 1 else "")
    value, unit = line.cells.get("value", ""), line.cells.get("unit", "")
    text = f"{value} {unit}" if unit and value[-1:].isdigit() else value
    occasion = _whole(line, "occasion") if line.cells.get("occasion") else 0
    return bodies.StudyRead(study=study, part=line.cells.get("part", ""), reader=reader, trial=_whole(line, "trial"), text=text,
                            occasion=occasion, note=line.cells.get("note", ""))


def _whole(line: Line, column: str) -> int:
    text = line.cells.get(column, "")
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise BadInput(f"row {line.number}: {column}: {text[:40]!r} is no whole number")
    return int(text)


def _look(shop: Shop, path: Path, what: list[bodies.Body], table: Table, rows: list[bodies.StudyRead]) -> None:
    """Raises BadInput naming each row that cannot be taken."""
    build, wrong = shop.build(SHOP), list[str]()
    try:
        vet(build, [*what, *rows])
    except TenthsError:
        if what:
            vet(build, what)
        for line, row in zip(table.lines, rows, strict=True):
            try:
                vet(build, [*what, row])
            except TenthsError as error:
                wrong.append(f"row {line.number}: {error}")
    if wrong:
        more = f"; and {len(wrong) - MOST_SAID} more" if len(wrong) > MOST_SAID else ""
        raise BadInput(f"file {path}: nothing was taken. {'; '.join(wrong[:MOST_SAID])}{more}")
