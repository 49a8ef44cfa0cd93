"""The part of the record that says how the engine stands: summary, what is open, findings by section."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from tenths.record.fitline import EDGE, Scale, scale_of
from tenths.record.minding import mind
from tenths.record.words import bare, between, capital, counted, day, decimals, listed, padded, runs, trimmed

Answer = dict[str, Any]
OUT, TOO_CLOSE, STALE, FITS, UNMEASURED, NO_LIMIT = (
    "out", "too close to call", "stale", "fits", "not measured", "no limit")
SECTIONS = {"geometry": "Geometry", "bearings": "Mains, rods, camshaft", "cylinders": "Cylinders, pistons, rings",
            "running": "Weights, balance, bolts at speed", "assembly": "Oil, drive, seals, gaskets",
            "valves": "Head and valves"}
CERTAIN = 0.95  # a probability nearer to 0 or 1 than this is not worth a figure
MOST_HEADINGS = 4  # beyond these, limits stand in the rows
IN_VIEW = (0.04, 0.96)  # a mark further out is drawn at the edge, with an arrow


def summary(answer: Answer) -> Answer:
    """Counts for the cover, and what they mean in a few sentences."""
    counts = Counter(f["verdict"] for f in answer["findings"])
    shown = [(FITS, "fit"), (OUT, "out"), (TOO_CLOSE, "too close to call"), (STALE, "stale, to be read again"),
             (UNMEASURED, "not measured")]
    return {"counts": [{"verdict": v, "count": counts[v], "words": w} for v, w in shown],
            "sentences": _sentences(answer, counts)}


def _sentences(answer: Answer, counts: Counter[str]) -> list[Answer]:
    judged = sum(counts[v] for v in (FITS, OUT, TOO_CLOSE, STALE))
    if not answer["readings"]:
        nothing = "Nothing has been read on this engine yet; what stands here follows from stated sizes alone."
        return [{"verdict": "", "text": nothing}]
    by = listed(answer["log"]["people"])
    told = [{"verdict": "", "text": f"{counted(len(answer['readings']), 'reading')} by {by}. Of "
                                    f"{counted(judged, 'finding')} with a limit {counts[FITS]:,} fit."}]
    for verdict, words in ((OUT, "Out"), (TOO_CLOSE, "Too close to call")):
        rows = _once([f for f in answer["findings"] if f["verdict"] == verdict])
        if rows:
            told.append({"verdict": verdict, "text": f"{words}: {_named(rows)}."})
    waiting = [p["words"] or p["part"] for p in answer.get("parts", []) if not p["in_house"]]
    if waiting:
        told.append({"verdict": "", "text": f"On order: {listed(waiting[:4])}."})
    return told


def _once(found: Sequence[Answer]) -> list[Answer]:
    """Findings without the predictions of what stands among them as measured."""
    there = {(f["station"], f["characteristic"]) for f in found}
    return [f for f in found if (f["station"], f["characteristic"].removesuffix("-predicted")) not in there
            or not f["characteristic"].endswith("-predicted")]


def _named(rows: Sequence[Answer], most: int = 4) -> str:
    """Findings by name, those of one characteristic together; only the first few."""
    groups: dict[str, list[str]] = {}
    for f in rows:
        groups.setdefault(f["words"], []).append(f["station_words"])
    said = [words if places == ["engine"] else f"{words} at {runs(places)}" for words, places in groups.items()]
    return "; ".join(said[:most]) + (f"; and {len(said) - most} more" if len(said) > most else "")


def open_points(answer: Answer) -> Answer:
    """What is out, too close or stale, and what else the engine waits for."""
    found = _once(answer["findings"])
    rows = [_open_row([f]) for f in found if f["verdict"] == OUT]
    close: dict[tuple[str, str], list[Answer]] = {}
    for f in found:
        if f["verdict"] == TOO_CLOSE:
            close.setdefault((f["words"], limits_of(f)), []).append(f)
    rows += [_open_row(same) for same in close.values()]
    stale, lists = _stale(found), list(_waiting(answer))
    about = "" if rows or stale or lists else "Nothing: everything that was judged fits."
    return {"about": about, "rows": rows, "stale": stale, "lists": lists}


def _stale(found: Sequence[Answer]) -> list[Answer]:
    """Each reason that ended readings, with the findings that hang on it."""
    reasons: dict[str, list[Answer]] = {}
    for f in found:
        if f["verdict"] == STALE:
            for why in f["stale"]:
                reasons.setdefault(why, []).append(f)
    return [{"why": capital(why), "what": capital(_named(rows, most=len(rows))) + "."} for why, rows in reasons.items()]


def _open_row(found: Sequence[Answer]) -> Answer:
    """A row for findings of one characteristic that are open for the same reason."""
    first = found[0]
    places = "" if first["station"] == "engine" else capital(runs(f["station_words"] for f in found))
    return {"where": places, "what": first["words"] if places else capital(first["words"]), "value": _values(found),
            "verdict": first["verdict"], "limits": limits_of(first), "why": _why(found)}


def _values(found: Sequence[Answer]) -> str:
    """The value, or lowest to highest of several."""
    low, high = (pick(found, key=lambda f: f["value"]) for pick in (min, max))
    if low["text"]["value"] == high["text"]["value"]:
        return amount(max(found, key=lambda f: f["interval"] or 0.0))
    return f"{bare(low['text']['value'], low['unit'])} to {amount(high)}"


def _why(found: Sequence[Answer]) -> str:
    first = found[0]
    if first["verdict"] == OUT:
        return _beyond(first)
    chances = sorted(f["probability"] for f in found if f["probability"] is not None)
    if not chances:
        return ""
    low, high = percent(chances[0]), percent(chances[-1])
    return f"{low if low == high else low.removesuffix(' %') + ' to ' + high} likely to lie within"


def limits_of(f: Answer, *, target: bool = False) -> str:
    """The limits in words, with equally many figures; what a rule multiplied out is cut to four that count."""
    unit = f["unit"]
    texts = [bare(f["text"][key], unit) for key in ("lower", "upper", "target")]
    texts = [trimmed(text) for text in texts]
    width = max((decimals(text) for text in texts if text), default=0)
    lower, upper, aim = (padded(text, width) for text in texts)
    return between(lower, upper, unit, aim if target else "")


def _beyond(f: Answer) -> str:
    """How far out, in the figures that the value carries."""
    digits = decimals(bare(f["text"]["value"], f["unit"]))
    for side, sign, words in (("lower", -1.0, "below the lower limit"), ("upper", 1.0, "above the upper limit")):
        gap = 0.0 if f[side] is None else sign * (f["value"] - f[side])
        if round(gap, digits) > 0:
            return " ".join(filter(None, (f"{gap:.{digits}f}", f["unit"], words)))
    return ""


def _waiting(answer: Answer) -> Iterable[Answer]:
    waiting = [p for p in answer.get("parts", []) if not p["in_house"]]
    if waiting:
        yield {"title": "On order", "text": "; ".join(_ordered(p) for p in waiting) + "."}
    unread = sum(f["verdict"] == UNMEASURED for f in answer["findings"])
    if unread:
        places = f"{counted(unread, 'place')} that could have been measured; each section names them."
        yield {"title": "Not measured", "text": places}
    unclear = [p["what"] for p in answer.get("problem_list", [])]
    if unclear:
        yield {"title": "Not understood", "text": "; ".join(unclear) + "."}


def _ordered(part: Answer) -> str:
    from_whom = f" from {part['supplier']}" if part["supplier"] else ""
    promised = f", promised for {day(part['promised'])}" if part["promised"] else ""
    return f"{part['words'] or part['part']}{from_whom}{promised}"


def amount(f: Answer) -> str:
    """``0.0034 ±0.0002 in``."""
    unit, text = f["unit"], f["text"]
    if not text["interval"]:
        return text["value"]
    return f"{bare(text['value'], unit)} ±{bare(text['interval'], unit)} {unit}".rstrip()


def percent(probability: float) -> str:
    """A probability as whole per cent, never rounded up to certainty."""
    return f"{min(99, max(1, round(probability * 100)))} %"


def sections(answer: Answer) -> list[Answer]:
    """Findings by section and characteristic, and in one sentence what was not measured."""
    found: dict[str, list[Answer]] = {}
    for f in answer["findings"]:
        found.setdefault(f["section"], []).append(f)
    return [{"section": name, "title": SECTIONS.get(name, capital(name.replace("-", " "))), "counts": _counts(rows),
             "groups": _groups(rows), "unmeasured": _unmeasured(rows)} for name, rows in found.items()]


def _counts(found: Sequence[Answer]) -> list[Answer]:
    counts = Counter(f["verdict"] for f in found)
    return [{"verdict": v, "count": counts[v]} for v in (FITS, OUT, TOO_CLOSE, STALE, UNMEASURED) if counts[v]]


def _groups(found: Sequence[Answer]) -> list[Answer]:
    """Findings of one characteristic under each other; under a heading of their own where their limits differ."""
    groups: dict[str, dict[tuple[str, str], list[Answer]]] = {}
    for f in found:
        if f["value"] is not None:
            limits = limits_of(f, target=True)
            groups.setdefault(f["characteristic"], {}).setdefault((limits, _authority(f)), []).append(f)
    told: list[Answer] = []
    for by_limits in groups.values():
        if len(by_limits) <= MOST_HEADINGS:
            told += [_group(rows, *limits, apart=len(by_limits) > 1) for limits, rows in by_limits.items()]
        else:
            told.append(_group([f for rows in by_limits.values() for f in rows]))
    return told


def _group(found: Sequence[Answer], limits: str = "", authority: str = "", *, apart: bool = False) -> Answer:
    kinds = {f["station_words"].rstrip("0123456789 ") for f in found}
    kind = f", {kinds.pop()}" if apart and len(kinds) == 1 else ""
    formulas = dict.fromkeys(f["formula"] for f in found)
    rows = [_row(f, "" if limits or not limits_of(f) else f"{limits_of(f)}, {_authority(f)}") for f in found]
    return {"title": capital(found[0]["words"]) + kind, "formula": "; ".join(formulas), "limits": limits,
            "authority": authority, "rows": _merged(found, rows),
            "judged": any(row["line"] for row in rows)}


def _authority(f: Answer) -> str:
    said, source = f["authority"], f["source"]
    return said if not source or source == said else source if source.startswith(said) else f"{said}: {source}"


def _merged(found: Sequence[Answer], rows: list[Answer]) -> list[Answer]:
    """One row where all say the same from the same entries, such as what stated sizes alone come to."""
    first = {**rows[0], "station": ""}
    same = len({tuple(f["entries"]) for f in found}) == 1 and all({**row, "station": ""} == first for row in rows)
    return [{**rows[0], "station": runs(row["station"] for row in rows)}] if same and len(rows) > 1 else rows


def _row(f: Answer, limits: str) -> Answer:
    unit, probability = f["unit"], f["probability"]
    doubtful = probability is not None and (f["verdict"] == TOO_CLOSE or (1 - CERTAIN) < probability < CERTAIN)
    return {"station": capital(f["station_words"]), "limits": limits, "unit": unit,
            "value": bare(f["text"]["value"], unit), "interval": bare(f["text"]["interval"], unit),
            "verdict": f["verdict"], "line": fit_line(f), "mind": mind(f),
            "probability": percent(probability) if probability is not None and doubtful else ""}


def fit_line(f: Answer) -> Answer | None:
    """Places of the fit line on its width, 0 to 1; None where there is no limit to fit between."""
    if f["lower"] is None and f["upper"] is None:
        return None
    scale = scale_of(f["lower"], f["upper"], f["target"], value=f["value"], u=f["standard_uncertainty"])
    at, half = _across(scale, f["value"]), f["interval"] or 0.0
    low, high = (min(1.0, max(0.0, _across(scale, f["value"] + s * half))) for s in (-1, 1))
    off = -1 if at < IN_VIEW[0] else 1 if at > IN_VIEW[1] else 0
    target = None if f["target"] is None else _across(scale, f["target"])
    return {"rail": [EDGE, 1 - EDGE], "limits": [at for limit, at in ((f["lower"], EDGE), (f["upper"], 1 - EDGE))
                                                 if limit is not None],
            "target": target if target is not None and EDGE <= target <= 1 - EDGE else None,
            "interval": [low, high] if high > low else None, "off": off,
            "at": {-1: 0.075, 0: at, 1: 0.925}[off]}


def _across(scale: Scale, value: float) -> float:
    return EDGE + scale.at(value) * (1 - 2 * EDGE)


def _unmeasured(found: Sequence[Answer]) -> str:
    groups: dict[str, list[str]] = {}
    for f in found:
        if f["verdict"] == UNMEASURED:
            groups.setdefault(f["words"], []).append(f["station_words"])
    said = [words if places in (["engine"], ["crankshaft"]) else f"{words} ({runs(places)})"
            for words, places in groups.items()]
    return "; ".join(said) + "." if said else ""
