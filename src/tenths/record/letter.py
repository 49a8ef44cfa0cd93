"""Letters of the shop as PDF: who from, who to, tables, sums, notes. What stands in them comes from the services."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any

from tenths.record.typeset import PAPERS, Paper, typeset
from tenths.services.dossier import letterhead
from tenths.services.shop import SHOP, Shop


@dataclass(frozen=True, slots=True)
class Rows:
    """A table of a letter: heads, rows of texts, which columns stand to the right, and the one that takes the room."""

    columns: tuple[str, ...]
    rows: list[tuple[str, ...]]
    right: tuple[int, ...] = ()
    wide: int = 0
    title: str = ""


@dataclass(frozen=True, slots=True)
class Letter:
    """What a letter says."""

    title: str
    to: Sequence[str] = ()
    about: str = ""
    facts: Sequence[tuple[str, str]] = ()
    tables: Sequence[Rows] = ()
    sums: Sequence[tuple[str, str]] = ()
    notes: Sequence[str] = ()
    foot: str = field(default="")


def letter_pdf(shop: Shop, letter: Letter, *, now: datetime, paper: Paper = "A4") -> bytes:
    """A letter as the bytes of a PDF, under the head that the house rules give the shop.

    Args:
        shop: whose letter.
        letter: what it says.
        now: the moment that it carries as its own; the same letter of the same moment gives the same bytes.
        paper: "A4" or "Letter".
    """
    head = letterhead(shop.build(SHOP))
    said: dict[str, Any] = {
        "paper": PAPERS[paper], "shop": head if head["name"] else {"name": shop.person, "lines": []},
        "date": {"year": now.year, "month": now.month, "day": now.day},
        "title": letter.title, "to": list(letter.to), "about": letter.about, "facts": [list(f) for f in letter.facts if f[1]],
        "sums": [list(s) for s in letter.sums], "notes": list(letter.notes), "foot": letter.foot or f"{letter.title} · {now:%Y-%m-%d}",
        "tables": [_rows(t) for t in letter.tables if t.rows],
    }
    return typeset("letter.typ", said, {}, now=now)


def _rows(table: Rows) -> dict[str, Any]:
    plain = asdict(table)
    plain["sides"] = ["right" if k in table.right else "left" for k in range(len(table.columns))]
    plain["rows"] = [list(row) for row in table.rows]
    del plain["right"]
    return plain
