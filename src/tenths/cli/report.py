"""The fitting report: findings by section and characteristic, each kind on one scale, then what is still open."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from tenths.cli.show import WIDTH, coloured, heading, plain, say, table, wrapped
from tenths.record import fitline
from tenths.record.words import bare, decimals, padded, runs, trimmed

SECTIONS = {"geometry": "Geometry", "bearings": "Mains, rods, camshaft", "cylinders": "Cylinders, pistons, rings",
            "running": "Weights, balance, bolts at speed", "assembly": "Oil, drive, seals, gaskets",
            "valves": "Head and valves"}
OPEN = ("out", "too close to call", "stale")
LINE = 15  # columns of a fit line
NONE: Mapping[str, str] = MappingProxyType({})
Answer = dict[str, Any]


def report(name: str, rows: Sequence[Answer], *, all_: bool, open_: bool, together: Mapping[str, str] = NONE) -> None:
    """Says how an engine stands.

    Args:
        name: of the engine.
        rows: its findings, as the services answer them.
        all_: also what has no limit.
        open_: only what is out, stale or too close to call.
        together: by characteristic, what holds for all its places at once.
    """
    say(f"{name}: " + ", ".join(f"{sum(f['verdict'] == v for f in rows)} {v}" for v in ("fits", *OPEN, "not measured")))
    say("  ".join(f"{coloured(fitline.mark(v, plain=plain()), v)} {v}" for v in ("fits", *OPEN)))
    for section, title in SECTIONS.items():
        here = [f for f in rows if f["section"] == section]
        shown = [f for f in here if _wanted(f, all_=all_, open_=open_)]
        unread = [f for f in here if f["verdict"] == "not measured" and not open_]
        if shown or unread:
            heading(title)
        for one in dict.fromkeys(map(_judged_by, shown)):
            _group([f for f in shown if _judged_by(f) == one])
            last = [f for f in shown if f["words"] == one[0]][-1]
            if _judged_by(last) == one and last["characteristic"] in together:
                wrapped(together[last["characteristic"]], "   ", "     ")
        if unread:
            names = list(dict.fromkeys(f["words"] for f in unread))
            wrapped(f"not measured, {len(unread)} places: {'; '.join(names)}", "  ")
    _not_in_order(rows)
    if not open_:
        _still_open([f for f in rows if f["verdict"] in OPEN])


def _wanted(found: Answer, *, all_: bool, open_: bool) -> bool:
    if open_:
        return found["verdict"] in OPEN
    return found["verdict"] not in {"not measured", "no limit"} or (all_ and found["verdict"] == "no limit")


def _judged_by(found: Answer) -> tuple[str, str, str]:
    """Findings that stand under one title: the same thing, judged by the same limits of the same authority."""
    return found["words"], limits_of(found), found["authority"]


def limits_of(found: Answer) -> str:
    """``0.0018..0.0028 in, target 0.0023``; empty where there is no limit."""
    unit = found["unit"]
    texts = [trimmed(bare(found["text"][key], unit)) for key in ("lower", "upper", "target")]
    width = max((decimals(text) for text in texts if text), default=0)
    lower, upper, target = (padded(text, width) for text in texts)
    if not lower and not upper:
        return ""
    said = f"{lower}..{upper}" if lower and upper else f"at least {lower}" if lower else f"at most {upper}"
    return f"{said} {unit}".rstrip() + (f", target {target}" if target else "")


def _group(rows: Sequence[Answer]) -> None:
    words, limits, authority = _judged_by(rows[0])
    wrapped("   ".join([words, *([limits, authority] if limits else [])]), "  ", "    ")
    widest = max(len(bare(f["text"]["value"], f["unit"])) for f in rows)
    if len(rows) > 1 and len({_said(f) for f in rows}) == 1:  # what follows from the same stated sizes is said once
        say_finding({**rows[0], "station": runs(f["station"] for f in rows)}, widest)
        return
    for found in rows:
        say_finding(found, widest)


def _said(found: Answer) -> tuple[str, ...]:
    return found["text"]["value"], found["text"]["interval"], found["verdict"], *found["entries"]


def say_finding(found: Answer, widest: int = 0) -> None:
    """Place, value, fit line and verdict; the verdict goes below where it would pass 80 columns."""
    text, verdict, unit = found["text"], found["verdict"], found["unit"]
    size = bare(text["value"], unit).rjust(widest)
    if text["interval"]:
        size += f" {'+-' if plain() else '±'}{bare(text['interval'], unit)}"
    judged = verdict != "no limit" and (found["lower"] is not None or found["upper"] is not None)
    line = fitline.terminal(found["value"], found["standard_uncertainty"], found["lower"], found["upper"], found["target"],
                            verdict, width=LINE, plain=plain()) if judged else " " * LINE
    odds = f" {found['probability']:.0%}" if verdict == "too close to call" and found["probability"] is not None else ""
    end = "" if verdict in {"fits", "no limit"} else f"{verdict}{odds}"
    lead = f"   {found['station']:<18} {f'{size} {unit}'.rstrip():<20} "
    if end and len(lead) + LINE + 1 + len(end) > WIDTH:
        say(f"{lead}{coloured(line, verdict)}".rstrip())
        say(" " * (WIDTH - len(end)) + coloured(end, verdict))
    else:
        say(f"{lead}{coloured(line, verdict)} {coloured(end, verdict)}".rstrip())


def _not_in_order(rows: Sequence[Answer]) -> None:
    """Instruments that are overdue, not set or otherwise not in order, with how many findings rest on each."""
    said: dict[str, list[str]] = {}
    for f in rows:
        for used in f["instruments"] if f["value"] is not None else ():
            if used["said"] and used["state"] != "not named":
                said.setdefault(used["said"], []).append(f"{f['words']}, {f['station']}")
    if said:
        heading("Instruments not in order")
    for words, found in said.items():
        touches = found[0] if len(found) == 1 else f"{len(found)} findings, {found[0]} first"
        wrapped(f"{words}; touches {touches}", "  ! ")


def _still_open(rows: Sequence[Answer]) -> None:
    """What is open, worst first; a prediction is left out where the same thing was measured and is open too."""
    heading("Still open")
    there = {(f["station"], f["characteristic"]) for f in rows}
    told = [f for f in rows if not (f["characteristic"].endswith("-predicted")
                                    and (f["station"], f["characteristic"].removesuffix("-predicted")) in there)]
    if not told:
        say("  nothing that was measured")
    told.sort(key=lambda f: OPEN.index(f["verdict"]))
    table([(f"  {fitline.mark(f['verdict'], plain=plain())}", f["station"], f["verdict"], f["text"]["value"], f["words"])
           for f in told], right=(3,))
    for why in dict.fromkeys(why for f in told for why in f["stale"]):
        wrapped(why, "  ! ")
