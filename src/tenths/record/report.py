"""The record of an engine as a PDF: what a shop hands to its customer.

The words are gathered here and set by the templates beside this module. The same log gives the same bytes: nothing is
taken from the clock, the locale, the time zone or the fonts of the machine.
"""

import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tenths.errors import BadInput
from tenths.record import ledgers, verdicts
from tenths.record.chosen import chosen
from tenths.record.method import CAUTIONS, HOW_TO_VERIFY, SIGNATURES, method
from tenths.record.picture import drawing
from tenths.record.report_forms import printed_forms
from tenths.record.report_plots import printed_plots
from tenths.record.report_running import running
from tenths.record.report_work import work
from tenths.record.sureness import sureness
from tenths.record.typeset import PAPERS, Paper, first_page, qr_svg, typeset, write_whole
from tenths.record.words import capital, counted, day, listed, moment
from tenths.services.dossier import dossier
from tenths.services.shop import Shop

Answer = dict[str, Any]
Progress = Callable[[str], None]


def write_record(shop: Shop, engine: str, path: Path, *, paper: Paper = "A4", units: str | None = None,
                 progress: Progress | None = None) -> Path:
    """Writes the record of an engine to a PDF file, whole or not at all.

    Args:
        shop: the shop.
        engine: its short name.
        path: where to; a file that is there is replaced.
        paper: "A4" or "Letter".
        units: "inch" or "metric"; None for the engine's own.
        progress: is told in words what is being done.

    Returns:
        The path.

    Raises:
        BadInput: when there is no such engine, paper or unit system.
        Refused: when the file cannot be written.
    """
    content = record_pdf(shop, engine, paper=paper, units=units, progress=progress)
    return write_whole(path, content)


def record_pdf(shop: Shop, engine: str, *, paper: Paper = "A4", units: str | None = None,
               progress: Progress | None = None) -> bytes:
    """The record of an engine as the bytes of a PDF; arguments and errors as for `write_record`."""
    data, pictures, now = _content(shop, engine, paper, units, progress or (lambda _: None))
    return typeset("record.typ", data, pictures, now=now)


def cover_png(shop: Shop, engine: str, *, paper: Paper = "A4", units: str | None = None, resolution: float = 96) -> bytes:
    """The first page of the record as a PNG of so many points to the inch; arguments and errors as for `write_record`."""
    data, pictures, _ = _content(shop, engine, paper, units, lambda _: None)
    return first_page("record.typ", data, pictures, resolution=resolution)


def _content(shop: Shop, engine: str, paper: Paper, units: str | None, say: Progress,
             ) -> tuple[Answer, dict[str, str], datetime]:
    """Words and figures, pictures by file name, and the time of the last entry."""
    if paper not in PAPERS:
        raise BadInput(f"paper: {paper!r} is not taken; give one of {', '.join(PAPERS)}")
    if units not in {None, "", "inch", "metric"}:
        raise BadInput(f"units: {units!r} is not taken; give inch or metric")
    say("gathering readings and findings")
    answer = dossier(shop, engine, units or "")
    say("drawing the engine")
    picture, pictures = drawing(shop, engine, answer["findings"])
    say("setting the pages")
    drawn = chosen(answer)
    shown, plots = printed_plots(answer["findings"])
    told, drawings = running(shop, engine, units or "")
    formed, outlines = printed_forms(shop, engine, units or "")
    worked, fallen = work(shop, engine)
    data = {**pages(answer), "sure": sureness(shop, engine, answer["findings"], units or ""), "paper": PAPERS[paper],
            "drawing": picture, "plots": shown, "running": told, "forms": formed, "work": worked}
    return data, {**pictures, **drawn, **plots, **drawings, **outlines, **fallen, "seal.svg": seal(answer["log"])}, _last(answer)


def seal(log: Answer) -> str:
    """Engine, position and hash of the log as a QR code, to hold against what a verified export answers."""
    text = f"tenths:{log['engine']}?position={log['position']}&hash={log['hash']}"
    return qr_svg(text)


def pages(answer: Answer) -> Answer:
    """All words and figures of the record, ready to be set."""
    log, shop_name = answer["log"], _shop_name(answer)
    last = _last(answer)
    return {
        "name": answer["name"], "headline": capital(answer["layout_words"]), "date": day(log["last"]),
        "shop": {"name": shop_name, "lines": answer["letterhead"]["lines"]},
        "document": {"title": f"{answer['name']}: engine record", "author": shop_name,
                     "keywords": ["engine record", answer["engine"], log["hash"]],
                     "date": {k: getattr(last, k) for k in ("year", "month", "day", "hour", "minute", "second")}},
        "foot": f"{answer['engine']}, log position {log['position']}, hash {log['hash'][:12]}",
        "facts": facts(answer), "summary": verdicts.summary(answer), "open": verdicts.open_points(answer),
        "sections": verdicts.sections(answer), "choices": ledgers.choices(answer), "bias": answer["bias"], "parts": ledgers.parts(answer),
        "notes": ledgers.notes(answer), "instruments": ledgers.instruments(answer),
        "settings": ledgers.settings(answer), "typical": any(i["typical"] for i in answer["instruments"]),
        "house": ledgers.house(answer), "method": method(answer["house"]), "cautions": CAUTIONS,
        "signatures": SIGNATURES, "log": _log(answer), "readings": ledgers.readings(answer),
    }


def _last(answer: Answer) -> datetime:
    """The time of the last entry: the document carries it as its own, so that it never changes for the same log."""
    return datetime.fromisoformat(answer["log"]["last"]).astimezone(UTC)


def _shop_name(answer: Answer) -> str:
    return answer["letterhead"]["name"] or (answer["log"]["people"] or [""])[0]


def facts(answer: Answer) -> list[Answer]:
    """What the cover says of the engine, label by label; what is not known is left out."""
    log = answer["log"]
    serials = [f"{p['kind'].replace('-', ' ')} {p['serial']}"
               for p in answer.get("parts", []) if p["serial"] and p["fitted"]]
    dates = day(log["first"]) if day(log["first"]) == day(log["last"]) else f"{day(log['first'])} to {day(log['last'])}"
    rows = [
        ("Customer", answer["customer"], 1), ("Purpose", answer["purpose"], 2), ("Use", capital(answer["use"]), 1),
        ("Fuel", answer["fuel"], 1), ("Firing order", "-".join(answer.get("firing_order", [])), 1),
        ("Displacement", _range(answer, "displacement"), 1),
        ("Compression ratio", _range(answer, "compression-ratio"), 1),
        ("Measured by", listed(log["people"]), 1), ("Read and written", dates, 1),
        ("Identities", ", ".join(serials[:6]), 2), ("Notes", answer["notes"], 3),
    ]
    return _abreast([{"label": label, "value": value, "span": span} for label, value, span in rows if value])


def _abreast(facts: list[Answer], across: int = 3) -> list[Answer]:
    """Facts in rows of three columns; the last of a row is widened where the next does not fit beside it."""
    taken = 0
    for number, fact in enumerate(facts):
        if taken + fact["span"] > across:
            facts[number - 1]["span"] += across - taken
            taken = 0
        taken = (taken + fact["span"]) % across
    return facts


def _range(answer: Answer, characteristic: str) -> str:
    """A characteristic over all its places: one text, or lowest to highest."""
    found = sorted((f for f in answer["findings"] if f["characteristic"] == characteristic and f["value"] is not None),
                   key=lambda f: f["value"])
    texts = list(dict.fromkeys(f["text"]["value"] for f in found))
    unit = found[0]["unit"] if found else ""
    return f"{texts[0].removesuffix(unit).rstrip()} to {texts[-1]}" if len(texts) > 1 else "".join(texts)


def _log(answer: Answer) -> Answer:
    log = answer["log"]
    digest = " ".join(re.findall(".{1,8}", log["hash"]))
    struck = f", {counted(log['struck'], 'strike')}" if log["struck"] else ""
    return {"how": HOW_TO_VERIFY.format(engine=log["engine"]), "seal": "QR code of engine, position, hash", "lines": [
        {"label": "Log", "value": f"{log['engine']}: {counted(log['entries'], 'entry', 'entries')}{struck}"},
        {"label": "Last entry", "value": f"position {log['position']}, {moment(log['last'])} UTC"},
        {"label": "Its hash", "value": digest},
    ]}
