"""Labels for parts and shelves: sheets of stickers as PDF, each with words and a QR code."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from tenths.errors import BadInput
from tenths.record.typeset import PAPERS, Paper, qr_svg, typeset, write_whole

LONGEST_CODE = 300  # characters; a longer code has squares too small for a label


@dataclass(frozen=True, slots=True)
class Label:
    """One label: what a person reads on it, and what the QR code says (a short URL, or ``tenths:`` and a name)."""

    title: str
    code: str
    words: str = ""
    engine: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet of stickers: how many across and down, and lengths [mm]."""

    paper: Paper
    across: int
    down: int
    width: float
    height: float
    left: float
    top: float
    gap: float


# Sizes that stationers sell everywhere: 21 on an A4 sheet, 30 on a Letter sheet. Common practice, no source.
SHEETS: dict[Paper, Sheet] = {
    "A4": Sheet(paper="A4", across=3, down=7, width=63.5, height=38.1, left=7.21, top=15.15, gap=2.54),
    "Letter": Sheet(paper="Letter", across=3, down=10, width=66.675, height=25.4, left=4.76, top=12.7, gap=3.175),
}


def labels_pdf(labels: Sequence[Label], *, paper: Paper = "A4", sheet: Sheet | None = None, first: int = 1) -> bytes:
    """Labels on as many sheets as they take, as the bytes of a PDF.

    Args:
        labels: what to print, in order, row by row.
        paper: "A4" or "Letter"; chooses the usual sheet.
        sheet: another sheet of stickers.
        first: the place of the first label, from 1, for a sheet that is partly used.

    Returns:
        The PDF; the same labels give the same bytes.

    Raises:
        BadInput: for no labels, a label without title or code, a code that is too long, or a first place that is not
            on the sheet.
    """
    if paper not in SHEETS:
        raise BadInput(f"paper: {paper!r} is not taken; give one of {', '.join(SHEETS)}")
    chosen = sheet or SHEETS[paper]
    room = chosen.across * chosen.down
    if not labels:
        raise BadInput("labels: there are none to print")
    if not 1 <= first <= room:
        raise BadInput(f"first place: {first} is not on the sheet; it has 1 to {room}")
    for label in labels:
        _check(label)
    codes = list(dict.fromkeys(label.code for label in labels))
    rows = [{**asdict(label), "file": f"code-{codes.index(label.code)}.svg"} for label in labels]
    data = {"paper": PAPERS[chosen.paper], "sheet": asdict(chosen), "skip": first - 1, "labels": rows}
    pictures = {f"code-{number}.svg": qr_svg(code) for number, code in enumerate(codes)}
    return typeset("labels.typ", data, pictures, now=datetime(2000, 1, 1, tzinfo=UTC))


def write_labels(labels: Sequence[Label], path: Path, *, paper: Paper = "A4", sheet: Sheet | None = None,
                 first: int = 1) -> Path:
    """Writes labels to a PDF file, whole or not at all; arguments and errors as for `labels_pdf`, and Refused."""
    return write_whole(path, labels_pdf(labels, paper=paper, sheet=sheet, first=first))


def _check(label: Label) -> None:
    if not label.title.strip():
        raise BadInput("label: one has no title")
    if not label.code.strip():
        raise BadInput(f"label {label.title!r}: there is nothing for its code to say")
    if len(label.code) > LONGEST_CODE:
        raise BadInput(f"label {label.title!r}: its code has {len(label.code)} characters; "
                       f"up to {LONGEST_CODE} are taken")
