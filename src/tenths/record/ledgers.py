"""The part of the record that says how it came to be: readings, instruments, parts, choices, rules, the log."""

from collections.abc import Callable, Iterable, Sequence
from string import ascii_uppercase
from typing import Any

from tenths.record.words import between, capital, counted, day, listed, moment, runs, short_day, times

Answer = dict[str, Any]
NOBODY = "–"


def letters(instruments: Sequence[Answer]) -> dict[str, str]:
    """A letter for each instrument, in order of first use: A to Z, then AA and on."""
    names = [i["instrument"] for i in instruments]
    singles = list(ascii_uppercase)
    doubles = [a + b for a in singles for b in singles]
    return dict(zip(names, [*singles, *doubles], strict=False))


def instruments(answer: Answer) -> list[Answer]:
    """Instruments with their letters and limits of error."""
    letter = letters(answer["instruments"])
    return [{"letter": letter[i["instrument"]], "name": i["name"], "state": _state(i), "due": day(i["due"]),
             "identity": ", ".join(filter(None, (i["serial"], i["certificate"]))), "resolution": i["resolution"],
             "limit-of-error": _limit_of_error(i), "count": f"{i['readings']:,}" if i["readings"] else ""}
            for i in answer["instruments"]]


def _limit_of_error(instrument: Answer) -> str:
    if not instrument["limit_of_error"]:
        return ""
    return f"±{instrument['limit_of_error']}" + (" *" if instrument["typical"] else "")


def _state(instrument: Answer) -> str:
    if not instrument["listed"]:
        return "not listed: taken as typical of its kind"
    if instrument["overdue"]:
        return f"was due for calibration on {day(instrument['due'])}, before its last reading here"
    return ""


def settings(answer: Answer) -> list[str]:
    """Settings of gauges: which, from which master, to what, when."""
    letter = letters(answer["instruments"])
    groups: dict[tuple[str, str], list[Answer]] = {}
    for s in answer["settings"]:
        groups.setdefault((s["instrument"], s["master"]), []).append(s)
    return [f"{letter.get(gauge, gauge)} from {letter.get(master, master)}: "
            + ", ".join(f"{s['size'] or 'zero'} ({times(s['at'], s['at'])})" for s in rows)
            for (gauge, master), rows in groups.items()]


def readings(answer: Answer) -> Answer:
    """Readings by station and feature, as compact as they can be and still be read."""
    rows, people = answer["readings"], {r["person"] for r in answer["readings"]}
    stations: dict[str, list[Answer]] = {}
    order = {s["station"]: s["order"] for s in answer.get("stations", [])}
    placed = [_under_cylinder(row) for row in rows]
    for row in sorted(placed, key=lambda r: (order.get(r["head"], len(order)), r["head"], order.get(r["base"], 0),
                                             r["position"])):
        stations.setdefault(row["head"], []).append(row)
    show = _Reader(letters(answer["instruments"]), single=len(people) == 1)
    return {"about": _about_readings(rows, people),
            "stations": [{"title": capital(same[0]["station_words"]), "groups": show.groups(same)}
                         for same in stations.values()]}


def _under_cylinder(row: Answer) -> Answer:
    """The reading with the heading it stands under: what belongs to a cylinder stands together."""
    kind, _, rest = row["base"].partition(".")
    label = rest.partition(".")[0]
    if kind not in {"cyl", "chamber"}:
        return {**row, "head": row["base"]}
    own = row["station_words"].removesuffix(label).strip()
    slot = "" if row["base"] == f"cyl.{label}" or own in row["words"] else own
    return {**row, "head": f"cyl.{label}", "station_words": f"cylinder {label}",
            "slot_words": " ".join(filter(None, (row["slot_words"], slot)))}


def _about_readings(rows: Sequence[Answer], people: Iterable[str]) -> str:
    names = sorted(people)
    if not names:
        return ""
    years = " and ".join(sorted({r["at"][:4] for r in rows}))
    return (f"{counted(len(rows), 'reading')}, each as it was typed, by {listed(names)} in {years}; times are UTC. "
            "The letter is the instrument. Struck readings stand struck through, with the reason; s marks a reading "
            "that no longer holds because a part was changed or machined after it.")


class _Reader:
    """Sets readings of one station into groups: one feature, instrument, person and day each."""

    def __init__(self, letter: dict[str, str], *, single: bool) -> None:
        self.letter, self.single = letter, single

    def groups(self, rows: Sequence[Answer]) -> list[Answer]:
        found: dict[tuple[str, ...], list[Answer]] = {}
        for r in rows:
            key = (r["base"], r["slot_words"], r["feature"], r["instrument"], r["person"], r["at"][:10], r["set_to"], r["unit"])
            found.setdefault(key, []).append(r)
        return [self._group(same) for same in found.values()]

    def _group(self, rows: Sequence[Answer]) -> Answer:
        first = rows[0]
        what = f"{first['slot_words']}: {first['words']}" if first["slot_words"] else first["words"]
        by = [self.letter.get(first["instrument"], first["instrument"] or NOBODY),
              "" if self.single else first["person"], times(first["at"], rows[-1]["at"])]
        return {"what": what, "unit": f"set to {first['set_to']}" if first["set_to"] else _unit(rows),
                "by": " · ".join(filter(None, by)), "matrix": _matrix(rows), "notes": list(_remarks(rows)),
                "cells": [{"place": "" if r["place"] in r["words"] else r["place"], **_cell(r)} for r in rows]}


def _unit(rows: Sequence[Answer]) -> str:
    """The unit that bare numbers are in; nothing when every text names its own."""
    return rows[0]["unit"] if any(_is_bare(r["text"]) for r in rows) else ""


def _is_bare(text: str) -> bool:
    return not any(c.isalpha() or c in "\"'°″′µ%" for c in text)


def _cell(row: Answer) -> Answer:
    return {"text": row["text"], "struck": bool(row["struck"]), "stale": bool(row["stale"]),
            "lost": bool(row["problem"])}


def _matrix(rows: Sequence[Answer]) -> Answer | None:
    """Places named by row and column as a small table, the shorter way up; None for other places."""
    places = [tuple(r["place"].split(" ")) for r in rows]
    if len(rows) < 2 or any(len(p) != 2 for p in places):
        return None
    first, second = (list(dict.fromkeys(p[i] for p in places)) for i in (0, 1))
    turned = len(first) > len(second) and len(first) <= 4
    down, across = (second, first) if turned else (first, second)
    cells: dict[tuple[str, ...], list[Answer]] = {}
    for place, row in zip(places, rows, strict=True):
        cells.setdefault(place, []).append(_cell(row))
    at: Callable[[str, str], tuple[str, str]] = (lambda d, a: (a, d)) if turned else (lambda d, a: (d, a))
    if len(down) < 2 or len(across) < 2 or len(cells) < 0.7 * len(down) * len(across):
        return None
    return {"columns": across, "rows": [{"label": d, "cells": [cells.get(at(d, a), []) for a in across]} for d in down]}


def _remarks(rows: Sequence[Answer]) -> Iterable[str]:
    """Why readings were struck, are stale or were not understood, and notes; each reason once."""
    said: dict[str, list[str]] = {}
    for r in rows:
        if r["struck"]:
            why = f"struck by {r['struck_by']}, {short_day(r['struck_at'])}: {r['struck']}"
            said.setdefault(why, []).append(r["place"])
        if r["stale"]:
            said.setdefault(f"s: {r['stale']}", []).append("")
        if r["problem"]:
            said.setdefault(f"not understood: {r['problem']}", []).append(r["place"])
        if r["note"]:
            said.setdefault(r["note"], []).append(r["place"])
        if r["temperature"]:
            said.setdefault(f"part at {r['temperature']}", []).append("")
    for words, places in said.items():
        where = ", ".join(dict.fromkeys(filter(None, places)))
        yield f"{where}: {words}" if where else words


def parts(answer: Answer) -> Answer:
    """What is fitted, what is not, and what was machined here; parts that only differ in place and serial together."""
    fitted: dict[tuple[str, ...], list[Answer]] = {}
    for row in answer["fitted"]:
        key = (row["kind"], row["words"], row["maker"], row["number"], row["size"], _since(row))
        fitted.setdefault(key, []).append(row)
    loose = [p for p in answer.get("parts", []) if not p["fitted"]]
    return {"fitted": [_fitted(rows) for rows in fitted.values()],
            "loose": [{"what": _what(p), "identity": _identity([p]), "where": _where(p)} for p in loose],
            "work": [{"where": capital(runs(m["stations"]) or m["slot_words"]), "operation": m["operation"],
                      "by": f"{m['person']}, {short_day(m['at'])}", "note": m.get("note", "")}
                     for m in answer["machining"]]}


def _since(row: Answer) -> str:
    return "as it came" if row["all_along"] else short_day(row["at"])


def _fitted(rows: Sequence[Answer]) -> Answer:
    first = rows[0]
    return {"where": capital(runs(r["slot_words"] for r in rows)), "what": _what(first), "identity": _identity(rows),
            "since": _since(first)}


def _what(part: Answer) -> str:
    kind = part["kind"].replace("-", " ")
    words = part["words"] or kind or part["part"]
    named = words if kind in words else f"{kind}, {words}"
    return named + (f", size {part['size']}" if part["size"] else "")


def _identity(rows: Sequence[Answer]) -> str:
    maker = " ".join(filter(None, (rows[0]["maker"], rows[0]["number"])))
    serials = [r["serial"] for r in rows if r["serial"]]
    named = f"serial {', '.join(serials)}" if serials else rows[0]["part"] if len(rows) == 1 else ""
    return ", ".join(filter(None, (maker, named)))


def _where(part: Answer) -> str:
    if part["in_house"]:
        return "in the house"
    promised = f"promised for {day(part['promised'])}" if part["promised"] else ""
    return ", ".join(filter(None, (part["where"], part["supplier"], promised)))


def choices(answer: Answer) -> list[Answer]:
    """Choices as they were accepted, with predictions beside the later readings."""
    return [{"title": capital(c["words"] or c["question"]), "reasons": c["reasons"],
             "by": f"accepted by {c['person']}, {moment(c['at'])}, log position {c['position']}"
                   + (f"; rests on {counted(len(c['rests_on']), 'entry', 'entries')}" if c["rests_on"] else ""),
             "numbers": any(p["predicted"] for p in c["picks"]), "drawn": c.get("drawn"),
             "picks": [{"station": capital(p["station_words"]), "pick": p["pick"],
                        "predicted": f"{p['words']} {p['predicted']}" if p["predicted"] else "",
                        "later": p["later"] or ("not read yet" if p["predicted"] else ""),
                        "difference": p["difference"]} for p in c["picks"]]} for c in answer["choices"]]


def notes(answer: Answer) -> list[Answer]:
    """Words written at the bench."""
    return [{"station": capital(n["station_words"]), "text": n["text"], "by": f"{n['person']}, {short_day(n['at'])}"}
            for n in answer["note_list"]]


def house(answer: Answer) -> Answer:
    """The house rules in force."""
    given = answer["house"]
    about = ""
    if given["adopted"]:
        about = f"Adopted {day(given['adopted'])}; they judge where the maker's sheet says nothing."
    return {"about": about, "skip": listed(given["skip"]) if given["skip"] else "",
            "rules": [{"what": capital(r["words"]), "source": r["source"],
                       "where": ", ".join(filter(None, (r["station"], " or ".join(r["uses"])))),
                       "limits": _rule_limits(r)} for r in given["limits"]]}


def _rule_limits(rule: Answer) -> str:
    given = [rule[key] for key in ("lower", "upper", "target")]
    texts = ["" if g is None else f"{g:g}" if rule["per"] else str(g) for g in given]
    unit = f"× {rule['per']}" if rule["per"] else next((t.split(" ", 1)[1] for t in texts if " " in t), "")
    return between(texts[0], texts[1], unit, texts[2])
