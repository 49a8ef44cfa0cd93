"""Readings from CSV and XLSX, and one engine as a bundle: out, in, and verified."""

import csv
import hashlib
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tenths.errors import BadInput, Damaged, TenthsError
from tenths.logbook import bodies
from tenths.logbook.bundle import export_bundle, read_bundle
from tenths.logbook.chain import verify
from tenths.logbook.entry import NewEntry
from tenths.logbook.files import FileStore
from tenths.logbook.vet import vet
from tenths.services.commands import instrument_cards
from tenths.services.questions import Answer
from tenths.services.shop import Shop

SYNONYMS = {"value": "text", "reading": "text", "size": "text", "where": "station", "what": "feature", "axis": "place",
            "with": "instrument", "gauge": "instrument", "set to": "setting", "temp": "temperature", "who": "person",
            "comment": "note", "when": "at", "date": "at"}
COLUMNS = ("station", "feature", "place", "text", "unit", "instrument", "setting", "temperature", "person", "at", "note")
MOST_ROWS = 20_000


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a sheet: its number in the file, the reading it means, who and when, or why it is refused."""

    number: int
    reading: bodies.ReadingTaken | None
    person: str = ""
    at: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Preview:
    """What would be taken from a file, and what refused and why; ``digest`` names the file's content."""

    digest: str
    rows: tuple[Row, ...]

    @property
    def taken(self) -> list[Row]:
        """Rows that can be taken."""
        return [row for row in self.rows if not row.why]

    @property
    def refused(self) -> list[Row]:
        """Rows that cannot, each with its reason."""
        return [row for row in self.rows if row.why]

    def as_answer(self) -> Answer:
        """The preview as JSON."""
        return {"taken": [{"row": r.number, "station": r.reading.station, "feature": r.reading.feature,
                           "place": r.reading.place, "text": r.reading.text} for r in self.taken if r.reading],
                "refused": [{"row": r.number, "why": r.why} for r in self.refused]}


def preview_readings(shop: Shop, engine: str, path: Path) -> Preview:
    """What a CSV or XLSX of readings comes to, row by row; nothing is taken yet.

    Raises:
        BadInput: when the file cannot be read, or its first line does not name station, feature and value.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadInput(f"file {path}: cannot be read: {error.strerror}") from None
    table = _of_xlsx(path) if path.suffix.lower() in {".xlsx", ".xlsm"} else _of_csv(path, content)
    rows = tuple(_row(shop, engine, number, cells) for number, cells in _named(table))
    if not rows:
        raise BadInput(f"file {path}: it holds no readings under its first line")
    return Preview(hashlib.sha256(engine.encode() + b"\0" + content).hexdigest(), rows)


def _of_csv(path: Path, content: bytes) -> Iterator[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput(f"file {path}: it is not UTF-8 text; save it as CSV UTF-8") from None
    head = text.partition("\n")[0]
    delimiter = max(("\t", ";", ","), key=head.count)
    yield from csv.reader(io.StringIO(text), delimiter=delimiter)


def _of_xlsx(path: Path) -> Iterator[list[str]]:
    from openpyxl import load_workbook  # noqa: PLC0415 - slow to load, and few files need it

    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except Exception as error:  # noqa: BLE001 - the library raises many kinds on a damaged file
        raise BadInput(f"file {path}: it is no workbook that can be read: {error}") from None
    for cells in book.worksheets[0].iter_rows():
        yield [_cell(cell.value, str(cell.number_format or "General")) for cell in cells]


def _cell(value: object, form: str) -> str:
    """A cell as text: numbers as the sheet shows them when its format fixes the places, else as few digits as they need."""
    if value is None:
        return ""
    if isinstance(value, float):
        places = form.partition(";")[0].partition(".")[2]
        fixed = len(places) if places and set(places) <= {"0"} else None
        return f"{value:.{fixed}f}" if fixed is not None else f"{value:.10g}"
    return str(value).strip()


def _named(table: Iterable[list[str]]) -> Iterator[tuple[int, dict[str, str]]]:
    rows = iter(table)
    head = [name.strip().lower() for name in next(rows, [])]
    columns = [SYNONYMS.get(name, name) for name in head]
    if missing := [name for name in ("station", "feature", "text") if name not in columns]:
        shown = "value" if missing[0] == "text" else missing[0]
        raise BadInput(f"sheet: the first line names the columns, and {shown!r} is not among them: {', '.join(head)[:80]!r}")
    if unknown := [name for name in columns if name and name not in COLUMNS]:
        raise BadInput(f"sheet: the column {unknown[0]!r} is not known; known are {', '.join(COLUMNS)}")
    for number, cells in enumerate(rows, 2):
        if any(cell.strip() for cell in cells):
            if number > MOST_ROWS:
                raise BadInput(f"sheet: more than {MOST_ROWS} rows")
            padded = [*cells, *[""] * (len(columns) - len(cells))]
            extra = {"": "x"} if any(c.strip() for c in cells[len(columns):]) else {}
            yield number, {c: v.strip() for c, v in zip(columns, padded, strict=False)} | extra


def _row(shop: Shop, engine: str, number: int, cells: dict[str, str]) -> Row:
    if cells.get(""):
        return Row(number, None, why="more cells than columns; a decimal comma in a sheet with commas needs quotes")
    fields = {name: cells.get(name, "") for name in bodies.ReadingTaken.__struct_fields__}
    if not fields["text"]:
        return Row(number, None, why="no value")
    reading = bodies.ReadingTaken(**fields)
    try:
        instrument_cards(shop, engine, reading.instrument)
        vet(shop.build(engine), [reading])
    except TenthsError as error:
        return Row(number, reading, why=str(error))
    return Row(number, reading, cells.get("person", ""), cells.get("at", ""))


def take_readings(shop: Shop, engine: str, preview: Preview) -> int:
    """Takes the good rows with one commit; the same file again is answered with the first answer and doubles nothing."""
    names = dict.fromkeys(row.reading.instrument for row in preview.taken if row.reading)
    cards = instrument_cards(shop, engine, *names)
    now = shop.clock().isoformat(timespec="milliseconds").replace("+00:00", "Z")
    known = shop.logbook.find(_id_of(preview.digest, preview.taken[0].number)) if preview.taken else None
    new = [NewEntry(id=_id_of(preview.digest, row.number), type=row.reading.TYPE, schema=row.reading.SCHEMA,
                    at=known.at if known else now, person=row.person or shop.person, device=shop.device,
                    body=bodies.encode(row.reading)) for row in preview.taken if row.reading]
    if cards and not known:
        shop.append(engine, *cards)
    shop.append_entries(engine, new)
    return len(new)


def _id_of(digest: str, number: int) -> str:
    """An id that the same row of the same file always has (RFC 9562 version 4 in form)."""
    text = hashlib.sha256(f"{digest}:{number}".encode()).hexdigest()
    return f"{text[:8]}-{text[8:12]}-4{text[13:16]}-8{text[17:20]}-{text[20:32]}"


def export_engine(shop: Shop, engine: str, path: Path) -> Path:
    """Writes one engine with its log and files as a bundle."""
    shop.build(engine)
    entries = shop.logbook.read(engine)
    store = FileStore(shop.folder / "files")
    named = {body.file for e in entries if isinstance(body := bodies.decode(e.type, e.schema, e.body), bodies.PhotoTaken)}
    export_bundle(path, engine, entries, {name: store.path(name) for name in sorted(named) if store.has(name)})
    return path


def import_engine(shop: Shop, path: Path) -> tuple[str, int]:
    """Takes an engine from a bundle, verified on the way in; returns its short name and how many entries were new."""
    bundle = read_bundle(path)
    for entry in bundle.entries:
        bodies.decode(entry.type, entry.schema, entry.body)
    bundle.put_files(FileStore(shop.folder / "files"))
    return bundle.stream, len(shop.logbook.adopt(bundle.entries))


def verify_shop(shop: Shop) -> list[Answer]:
    """Every stream of the shop with its length and last hash; raises Damaged naming the place."""
    shop.logbook.verify()
    return [_stream(name, len(entries), entries[-1].hash) for name in shop.logbook.streams()
            if (entries := shop.logbook.read(name))]


def verify_bundle(path: Path, known: str = "") -> list[Answer]:
    """A bundle's engine, length and last hash; ``known`` is a hash from a printed record that must be in it."""
    bundle = read_bundle(path)
    verify(bundle.entries)
    if known and not any(entry.hash.startswith(known.lower()) for entry in bundle.entries):
        raise Damaged(f"{path}: no entry has the hash {known}: this is not the log that the record was printed from")
    return [_stream(bundle.stream, len(bundle.entries), bundle.entries[-1].hash)]


def _stream(name: str, entries: int, hash_: str) -> Answer:
    return {"engine": name, "entries": entries, "hash": hash_}
