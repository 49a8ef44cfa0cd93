"""Tables that people bring, CSV or XLSX, as rows of text: nothing is guessed in silence, nothing is made up.

A CSV is UTF-8 (with or without its mark), UTF-16 with its mark, or Windows-1252, which is then said. The sign between its
fields is the one that makes the most of the line of heads: semicolon, tab, comma or bar. In a file with commas a number
that could be one half of a decimal comma is refused, see `torn_number`.

A number in a workbook is stored without the zeros that were typed at its end. It is written with the places that the
cell's own format shows when the value has no more than these, else with all the figures that a workbook keeps (15).
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

from tenths.errors import BadInput

MOST_BYTES = 50_000_000
MOST_ROWS = 20_000
MOST_SIGNS = 1000  # in a cell
HEADS_WITHIN = 20  # rows in which the heads are looked for
DELIMITERS = (";", "\t", ",", "|")
WORKBOOKS = frozenset({".xlsx", ".xlsm"})
_WITH_UNIT = re.compile(r"(.*?)\s*[(\[]([^)\]]*)[)\]]\s*")
_FIXED = re.compile(r"[#,]*0(?:\.(0+))?")
_HALF = re.compile(r"[-+−]?\d{1,4}")
_OTHER_HALF = re.compile(r"""\d{1,5} ?(?:mm|µm|μm|um|in|"|cm|cc|ml|g|kg|bar|°C|C)?""")

Numbered = Iterable[tuple[int, list[str]]]


@dataclass(frozen=True, slots=True)
class Head:
    """A column: the name it is known by (empty for one that is not), its head as it stands, a unit that stands in it."""

    name: str
    text: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A row: its number as the file counts, its cells by name of column, and what is wrong with it as a whole."""

    number: int
    cells: Mapping[str, str]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table that was read: heads, rows that are not empty, remarks on how it was read, hash of the file."""

    heads: tuple[Head, ...]
    lines: tuple[Line, ...]
    remarks: tuple[str, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class Columns:
    """Columns that are looked for.

    Attributes:
        synonyms: every head that is known, in small letters with single spaces, to the name of its column.
        needed: names of the columns without which a table says nothing.
        numbers: names of those that hold numbers.
    """

    synonyms: Mapping[str, str]
    needed: tuple[str, ...]
    numbers: frozenset[str]

    def heads(self, cells: Sequence[str]) -> tuple[Head, ...]:
        """What the cells of a row mean, taken as heads."""
        return tuple(self._head(" ".join(cell.split())) for cell in cells)

    def _head(self, text: str) -> Head:
        found = _WITH_UNIT.fullmatch(text)
        bare, unit = found.groups() if found else (text, "")
        return Head(self.synonyms.get(re.sub(r"[\s_-]+", " ", bare.lower()).strip(" .:"), ""), text, unit)

    def found(self, heads: Sequence[Head]) -> bool:
        """Whether all that is needed is there."""
        return {head.name for head in heads} >= set(self.needed)

    def missing(self, where: str, heads: Sequence[Head]) -> BadInput:
        """What to say when they are not; ``heads`` is the row that came nearest."""
        lost = next(name for name in self.needed if name not in {head.name for head in heads})
        shown = ", ".join(head.text for head in heads)[:80]
        return BadInput(f"{where}: a line must name the columns {', '.join(self.needed)}, in any order, and {lost!r} is not "
                        f"among them: {shown!r}")


def read_table(path: Path, columns: Columns) -> Table:
    """Reads a CSV, or a workbook by the ending of its name.

    Raises:
        BadInput: when there is no such file, it cannot be read or is too large, no row names the columns needed, a
            column stands twice, or there is nothing under them.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadInput(f"file {path}: cannot be read: {error.strerror}") from None
    return table_of(f"file {path}", content, columns)


def table_of(name: str, content: bytes, columns: Columns) -> Table:
    """Reads the content of a CSV, or of a workbook by the ending of its name; raises BadInput as `read_table`."""
    if len(content) > MOST_BYTES:
        raise BadInput(f"{name}: {len(content):,} bytes are not taken; at most {MOST_BYTES:,} are")
    read = _workbook if Path(name).suffix.lower() in WORKBOOKS else _csv
    heads, lines, remarks = read(name, content, columns)
    unknown = [head.text for head in heads if head.text and not head.name]
    if unknown:
        remarks = (*remarks, f"not taken, since no such column is known: {', '.join(unknown)}")
    if not 1 <= len(lines) <= MOST_ROWS:
        raise BadInput(f"{name}: {len(lines):,} rows stand under the heads; 1 to {MOST_ROWS:,} are taken")
    return Table(heads, lines, remarks, sha256(content).hexdigest())


_Read = tuple[tuple[Head, ...], tuple[Line, ...], tuple[str, ...]]


def _under_heads(rows: Numbered, columns: Columns, where: str, *, commas: bool = False) -> tuple[tuple[Head, ...], tuple[Line, ...]]:
    """The heads, and the rows under them; what stands above the heads, a title say, is passed over."""
    heads: tuple[Head, ...] = ()
    nearest: tuple[Head, ...] = ()
    found: list[Line] = []
    for place, (number, cells) in enumerate(rows):
        if heads:
            if any(cell.strip() for cell in cells):
                found.append(_line(heads, number, cells, columns, commas=commas))
            continue
        here = columns.heads(cells)
        if columns.found(here):
            _once(here, where)
            heads = here
        elif place >= HEADS_WITHIN:
            break
        nearest = max(nearest, here, key=lambda some: sum(bool(head.name) for head in some))
    if not heads:
        raise columns.missing(where, nearest)
    return heads, tuple(found)


def _once(heads: Sequence[Head], where: str) -> None:
    names = [head.name for head in heads if head.name]
    for name in names:
        if names.count(name) > 1:
            both = " and ".join(repr(head.text) for head in heads if head.name == name)
            raise BadInput(f"{where}: {both} name the same column, {name}; keep one of them")


def _line(heads: Sequence[Head], number: int, cells: list[str], columns: Columns, *, commas: bool) -> Line:
    by_name = {head.name: cell.strip() for head, cell in zip(heads, cells, strict=False) if head.name}
    if any(len(cell) > MOST_SIGNS for cell in cells):
        return Line(number, {}, f"a cell has more than {MOST_SIGNS} characters")
    if any(cell.strip() for cell in cells[len(heads):]):
        return Line(number, by_name, f"{len(cells)} cells where {len(heads)} columns are named; a decimal comma in a file with "
                                     "commas needs quotes round the number")
    if not commas:
        return Line(number, by_name)
    pairs = zip(heads, [cell.strip() for cell in cells], [cell.strip() for cell in cells[1:]], strict=False)
    torn = [f"{value},{next_}" for head, value, next_ in pairs if head.name in columns.numbers and torn_number(value, next_)]
    why = f"{torn[0]!r} could be one number with a decimal comma; put it in quotes, or write the first with a unit" if torn else ""
    return Line(number, by_name, why)


def torn_number(value: str, following: str) -> bool:
    """Whether two neighbouring cells look like the halves of one number with a decimal comma: ``57`` and ``111 mm``."""
    return bool(_HALF.fullmatch(value) and _OTHER_HALF.fullmatch(following))


# -- CSV --------------------------------------------------------------------------------------------------------------

def _csv(where: str, content: bytes, columns: Columns) -> _Read:
    text, remarks = _decoded(where, content)
    delimiter = _delimiter(text, columns)
    heads, lines = _under_heads(_split(where, text, delimiter), columns, where, commas=delimiter == ",")
    return heads, lines, remarks


def _decoded(where: str, content: bytes) -> tuple[str, tuple[str, ...]]:
    marked = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    if b"\0" in content and not marked:
        raise BadInput(f"{where}: that is no text; a CSV or an XLSX is taken")
    try:
        return content.decode("utf-16" if marked else "utf-8-sig"), ()
    except UnicodeDecodeError:
        pass
    try:
        if not marked:
            remark = "read as Windows-1252, since it is not UTF-8: look whether its signs are right"
            return content.decode("cp1252"), (remark,)
    except UnicodeDecodeError:
        pass
    raise BadInput(f"{where}: it is not text that can be read; save it as CSV UTF-8")


def _split(where: str, text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Rows, each with the number of the line that it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begin = 1
    try:
        for cells in reader:
            yield begin, cells
            begin = reader.line_num + 1
    except csv.Error as error:
        raise BadInput(f"{where}, line {begin}: its quotes do not close as they should: {error}") from None


def _delimiter(text: str, columns: Columns) -> str:
    """The sign between fields that makes the most known heads of one line; a comma where none makes anything of it."""
    best = (0, ",")
    for line in text.splitlines()[:HEADS_WITHIN]:
        for sign in DELIMITERS:
            known = sum(bool(head.name) for head in columns.heads([cell.strip('"') for cell in line.split(sign)]))
            best = max(best, (known, sign), key=lambda pair: pair[0])
    return best[1]


# -- workbooks --------------------------------------------------------------------------------------------------------

def _workbook(where: str, content: bytes, columns: Columns) -> _Read:
    from openpyxl import load_workbook  # noqa: PLC0415 - slow to load, and few files need it

    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        sheets = [(sheet.title, list(_sheet_rows(sheet))) for sheet in book.worksheets]
    except BadInput:
        raise
    except Exception as error:  # noqa: BLE001 - the library raises many kinds on a damaged file
        raise BadInput(f"{where}: it is no workbook that can be read: {type(error).__name__} {error}") from None
    for title, rows in sheets:
        if any(columns.found(columns.heads(cells)) for _, cells in rows[:HEADS_WITHIN]):
            heads, lines = _under_heads(rows, columns, f"{where}, sheet {title!r}")
            others = ", ".join(other for other, _ in sheets if other != title)
            return heads, lines, (f"read from the sheet {title!r}; not looked at: {others}",) if others else ()
    raise columns.missing(where, columns.heads(sheets[0][1][0][1] if sheets and sheets[0][1] else []))


def _sheet_rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    sheet.reset_dimensions()  # some writers state a size that is not true
    for number, cells in enumerate(sheet.iter_rows(), 1):
        if number > MOST_ROWS + HEADS_WITHIN:
            raise BadInput(f"sheet {sheet.title!r}: more than {MOST_ROWS:,} rows are not taken")
        yield number, [cell_text(cell.value, cell.number_format or "General") for cell in cells]


def cell_text(value: object, form: str) -> str:
    """A cell of a workbook as text; see the head of this module.

    Args:
        value: as the workbook keeps it.
        form: the format that the cell is shown in, such as ``0.0000``.
    """
    match value:
        case None:
            return ""
        case bool():
            return str(value).upper()
        case int() | float():
            return _number_text(value, form)
        case datetime():
            return value.isoformat(sep=" ")
        case date() | time():
            return value.isoformat()
        case _:
            return str(value).strip()


def _number_text(value: float, form: str) -> str:
    all_figures = f"{Decimal(f'{value:.15g}'):f}"
    shown = _FIXED.fullmatch(form.partition(";")[0].strip())
    if shown is None:
        return all_figures
    fixed = f"{value:.{len(shown[1] or '')}f}"
    return fixed if Decimal(fixed) == Decimal(all_figures) else all_figures
