"""Readings from CSV and XLSX, and one engine as a bundle: out, in, and verified.

A file of readings is looked at row by row before anything is taken. Ids of the entries follow from the engine, the
content of the file and the row, so that a file taken twice is answered with the first answer and doubles nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from tenths.errors import BadInput, Damaged, Refused, TenthsError
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.bundle import export_bundle, read_bundle
from tenths.logbook.chain import Head
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.files import FileStore
from tenths.logbook.fold import feature_for
from tenths.logbook.ids import content_id
from tenths.logbook.vet import vet
from tenths.services.commands import instrument_cards, place_named
from tenths.services.questions import Answer
from tenths.services.shop import Shop
from tenths.services.slips import asked_words, questions_for
from tenths.services.tables import Columns, Line, Table, read_table

HEADS: Mapping[str, tuple[str, ...]] = {  # column: other heads that mean it, in small letters
    "station": ("where",), "feature": ("what", "measurement"), "value": ("reading", "text", "size", "measured"),
    "place": ("spot", "axis"), "unit": ("units",), "instrument": ("gauge", "gage", "with", "tool"), "setting": ("set to",),
    "temperature": ("temp",), "person": ("by", "who", "operator", "read by"),
    "at": ("time", "when", "date", "date and time", "read at"), "note": ("notes", "remark", "remarks", "comment", "comments"),
}
READINGS = Columns({word: name for name, words in HEADS.items() for word in (name, *words)}, ("station", "feature", "value"),
                   frozenset({"value", "setting"}))
FEWEST_DIGITS = 8  # of a hash that somebody copies from a printed record


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the file.

    Attributes:
        number: as the file counts.
        id: of the entry that it makes.
        reading: that it means, as far as that could be understood.
        person: who took it; empty for whoever imports it.
        at: when, as the log writes it; empty for now.
        why: it is refused; empty when it can be taken.
        position: where it stands in the log when it was taken before.
        remark: what the log says already.
        asked: what looks like a slip, to be looked at before it is taken; it is taken as it stands all the same.
    """

    number: int
    id: str
    reading: bodies.ReadingTaken | None = None
    person: str = ""
    at: str = ""
    why: str = ""
    position: int | None = None
    remark: str = ""
    asked: str = ""

    @property
    def says(self) -> str:
        """The reading in a few words."""
        r = self.reading
        return " ".join(filter(None, (r.station, r.feature, r.place, r.text, r.unit))) if r else ""


@dataclass(frozen=True, slots=True)
class Preview:
    """What would be taken from a file, row by row, and what is refused and why; remarks on the file as a whole."""

    file: str
    rows: tuple[Row, ...]
    remarks: tuple[str, ...] = ()

    @property
    def taken(self) -> list[Row]:
        """Rows that can be taken now."""
        return [row for row in self.rows if not row.why and row.position is None]

    @property
    def refused(self) -> list[Row]:
        """Rows that cannot, each with its reason."""
        return [row for row in self.rows if row.why]

    @property
    def before(self) -> list[Row]:
        """Rows that were taken from the same file before."""
        return [row for row in self.rows if row.position is not None]

    @property
    def alike(self) -> list[Row]:
        """Rows that can be taken and say what the log says already."""
        return [row for row in self.taken if row.remark]

    @property
    def asked(self) -> list[Row]:
        """Rows that can be taken and look like a slip."""
        return [row for row in self.taken if row.asked]

    def as_answer(self) -> Answer:
        """The preview as JSON."""
        def told(row: Row) -> Answer:
            r = row.reading
            fields = {"station": r.station, "feature": r.feature, "place": r.place, "text": r.text} if r else {}
            return {"row": row.number, **fields}

        return {"file": self.file, "remarks": list(self.remarks),
                "taken": [told(r) | {"person": r.person, "at": r.at, "remark": r.remark, "asked": r.asked} for r in self.taken],
                "refused": [told(r) | {"why": r.why} for r in self.refused],
                "taken_before": [told(r) | {"position": r.position} for r in self.before]}


def preview_readings(shop: Shop, engine: str, path: Path) -> Preview:
    """What a CSV or XLSX of readings comes to, row by row; nothing is taken yet.

    Columns, in any order: station, feature, value (as typed), place, unit, instrument, setting, temperature, person, at,
    note.

    Raises:
        BadInput: when there is no such engine, the file cannot be read, or no line of it names its columns.
    """
    build = shop.build(engine)
    table = read_table(path, READINGS)
    look = _Look(shop, engine, build, table, {})
    rows = look.vetted(tuple(look.row(line) for line in table.lines))
    return Preview(path.name, _with_questions(shop, engine, rows), table.remarks)


def _with_questions(shop: Shop, engine: str, rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """The rows that can be taken, with what looks like a slip."""
    fresh = [row for row in rows if _can_be_taken(row)]
    said = questions_for(shop, engine, [row.reading for row in fresh if row.reading])
    asked = {row.id: asked_words(questions) for row, questions in zip(fresh, said, strict=True)}
    return tuple(replace(row, asked=asked[row.id]) if asked.get(row.id) else row for row in rows)


def take_readings(shop: Shop, engine: str, preview: Preview, *, new_only: bool = False) -> int:
    """Takes the rows that can be taken, with one commit; returns how many were.

    Args:
        shop: the shop.
        engine: the engine that the preview was made for.
        preview: as it was shown.
        new_only: leave out rows that say what the log says already.

    Raises:
        BadInput, Refused: when the log has changed so that a row cannot be taken any more; then none is.
    """
    rows = [row for row in preview.taken if not (new_only and row.remark) and shop.logbook.find(row.id) is None]
    readings = [row.reading for row in rows if row.reading]
    if not readings:
        return 0
    now, device = utc_text(shop.clock()), f"file {preview.file}"[:200]
    cards = instrument_cards(shop, engine, *dict.fromkeys(r.instrument for r in readings))
    made = [(content_id(engine, card, now), card, "", "") for card in cards]
    made += [(row.id, reading, row.person, row.at) for row, reading in zip(rows, readings, strict=True)]
    shop.append_entries(engine, [
        NewEntry(id=id_, type=body.TYPE, schema=body.SCHEMA, at=at or now, person=person or shop.person, device=device,
                 body=bodies.encode(body)) for id_, body, person, at in made])
    return len(readings)


@dataclass(frozen=True, slots=True)
class _Look:
    """What a row is looked at with; ``listed`` remembers why an instrument cannot be named."""

    shop: Shop
    engine: str
    build: Build
    table: Table
    listed: dict[str, str]

    def row(self, line: Line) -> Row:
        row = Row(line.number, content_id(self.engine, self.table.digest, line.number), why=line.why)
        if row.why:
            return row
        known = self.shop.logbook.find(row.id)
        cells = self._with_units(line.cells)
        try:
            reading = _reading(self.build, cells)
            row = replace(row, reading=reading, person=_person(cells.get("person", "")), at=moment(cells.get("at", "")))
        except BadInput as error:
            return replace(row, why=str(error))
        if known is not None:
            return replace(row, position=known.position)
        return replace(row, why=self._not_listed(reading.instrument), remark=_alike(self.build, reading))

    def _with_units(self, cells: Mapping[str, str]) -> Mapping[str, str]:
        """Units that stand in the head of a column belong to its numbers, where a cell has none of its own."""
        given = dict(cells)
        for head in self.table.heads:
            if head.unit and head.name == "value":
                given["unit"] = given.get("unit") or head.unit
            elif head.unit and head.name in {"temperature", "setting"} and given.get(head.name, "")[-1:].isdigit():
                given[head.name] += f" {head.unit}"
        return given

    def _not_listed(self, instrument: str) -> str:
        if instrument not in self.listed:
            try:
                instrument_cards(self.shop, self.engine, instrument)
                self.listed[instrument] = ""
            except BadInput as error:
                self.listed[instrument] = str(error)
        return self.listed[instrument]

    def vetted(self, rows: tuple[Row, ...]) -> tuple[Row, ...]:
        """All at once where all are in order, one by one where not."""
        fresh = [row.reading for row in rows if _can_be_taken(row)]
        if not _wrong(self.build, fresh):
            return rows
        return tuple(replace(row, why=_wrong(self.build, [row.reading])) if _can_be_taken(row) else row for row in rows)


def _can_be_taken(row: Row) -> bool:
    return row.reading is not None and not row.why and row.position is None


def _wrong(build: Build, readings: Sequence[bodies.ReadingTaken | None]) -> str:
    """Why the readings cannot be taken; empty when they can."""
    try:
        vet(build, [reading for reading in readings if reading])
    except TenthsError as error:
        return str(error)
    return ""


def _reading(build: Build, cells: Mapping[str, str]) -> bodies.ReadingTaken:
    for name in READINGS.needed:
        if not cells.get(name):
            raise BadInput(f"{name}: nothing stands there")
    value, station, name = cells["value"], cells["station"], "-".join(cells["feature"].lower().replace("_", " ").split())
    if value[:4].isdigit() and value[4:5] == "-":
        raise BadInput(f"value: {value!r} is a date; a workbook makes dates of texts like 2-1/4: make the column text there")
    feature = feature_for(build, station, name)
    rest = {key: cells.get(key, "") for key in ("instrument", "setting", "temperature", "note")}
    return bodies.ReadingTaken(station=station, feature=name, text=value, place=place_named(feature.places, cells.get("place", ""), name),
                               unit=cells.get("unit", "") if value[-1:].isdigit() else "", **rest)


def _person(text: str) -> str:
    if not text.isprintable() or len(text) > 200:
        raise BadInput(f"person: {text[:40]!r} is not taken; give a name")
    return text


def moment(text: str) -> str:
    """A time as the log keeps it; one without a zone is this machine's own time, a day alone its noon.

    Raises:
        BadInput: when it is not written year first, or lies outside what a log can hold.
    """
    if not text:
        return ""
    try:
        at = datetime.fromisoformat(text)
        at = at.replace(hour=12) if len(text) <= len("2026-03-31") else at
        return utc_text(at.astimezone(UTC))
    except (ValueError, OverflowError, OSError):
        raise BadInput(f"at: {text!r} is not taken; write year, month and day first: 2026-03-31 or 2026-03-31 14:05") from None


def _alike(build: Build, reading: bodies.ReadingTaken) -> str:
    """Whether the log says the same already, from another file or typed."""
    for there in build.readings.get((reading.station, reading.feature), ()):
        if (there.place, there.typed.text, there.instrument) == (reading.place, reading.text, reading.instrument):
            return f"says what entry {there.mark.position} says"
    return ""


# -- bundles ----------------------------------------------------------------------------------------------------------

def export_engine(shop: Shop, engine: str, path: Path) -> Path:
    """Writes one engine with its log and files as a bundle.

    Raises:
        BadInput: when there is no such engine.
        Refused: when the file cannot be written, or a photograph that the log names is not in the shop.
        Damaged: when the log or a photograph does not verify.
    """
    shop.build(engine)
    entries = shop.logbook.read(engine)
    store = FileStore(shop.folder / "files")
    named = {body.file for e in entries if isinstance(body := bodies.decode(e.type, e.schema, e.body), bodies.PhotoTaken)}
    if lost := sorted(name for name in named if not store.has(name)):
        raise Refused(f"{engine}: {len(lost)} of {len(named)} photographs are not in this shop, the first is {lost[0]}; without "
                      "them the bundle would not be whole")
    try:
        export_bundle(path, engine, entries, {name: store.path(name) for name in sorted(named)})
    except OSError as error:
        raise Refused(f"file {path}: cannot be written: {error.strerror}") from None
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
    return [_stream(name, shop.logbook.head(name)) for name in shop.logbook.streams()]


def verify_bundle(path: Path, known: str = "") -> list[Answer]:
    """A bundle's engine, length and last hash.

    Args:
        path: of the bundle.
        known: a hash from a printed record, or its first digits (8 at least); spaces do not count.

    Raises:
        BadInput: when there is no such file, or the hash is none.
        Damaged: when the bundle does not verify, or no entry in it has the hash.
        Refused: when a newer Tenths wrote it.
    """
    wanted = "".join(known.split()).lower()
    if known and (len(wanted) < FEWEST_DIGITS or set(wanted) - set("0123456789abcdef")):
        raise BadInput(f"hash: {known!r} is not taken; give at least {FEWEST_DIGITS} of its hexadecimal digits")
    bundle = read_bundle(path)
    if known and not any(entry.hash.startswith(wanted) for entry in bundle.entries):
        raise Damaged(f"{path}: no entry has the hash {known}: this is not the log that the record was printed from")
    return [_stream(bundle.stream, bundle.head)]


def _stream(name: str, head: Head) -> Answer:
    return {"engine": name, "entries": head[0], "hash": head[1]}
