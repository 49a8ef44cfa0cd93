"""How sure the findings are, for the record: what holds at once, budgets of what is close, instruments, temperatures."""

from collections.abc import Sequence
from typing import Any

from tenths.record.bars import shown
from tenths.record.words import capital, counted, moment
from tenths.services.how import how
from tenths.services.questions import OPEN
from tenths.services.shop import Shop
from tenths.services.temperatures import effect, temperature_log
from tenths.services.together import percent, together

Answer = dict[str, Any]
MOST_BUDGETS, MOST_LINES, MOST_HELPS = 10, 8, 3
TOO_CLOSE = str(OPEN[1])
TELLING = ("main-oil-clearance", "rod-oil-clearance", "main-oil-clearance-predicted", "rod-oil-clearance-predicted")


def sureness(shop: Shop, engine: str, found: Sequence[Answer], units: str = "") -> Answer:
    """Words and figures of that part of the record.

    Args:
        shop: the shop.
        engine: which engine.
        found: its findings as the services answer them.
        units: inch or metric; the engine's own when left out.
    """
    rows = together(shop, engine, "", units)
    return {"together": [_together(row) for row in rows], "differences": _differences(rows),
            "budgets": [_budget(shop, engine, f, units) for f in _worth(found)],
            "troubles": troubles(found), "warmth": [_effect(row) for row in effect(shop, engine, units)],
            "notes": [{"when": moment(n["when"]), "where": n["where"], "text": n["written"], "by": n["person"]}
                      for n in reversed(temperature_log(shop, engine, units))]}


def _together(row: Answer) -> Answer:
    apart = percent(row["independent"]) if abs(row["independent"] - row["together"]) >= 0.0005 else ""
    return {"words": capital(row["words"]), "count": f"{row['count']} of {row['of']}", "together": percent(row["together"]),
            "apart": apart, "least": f"{row['least']['words']}, {percent(row['least']['probability'] or 0.0)}"}


def _differences(rows: Sequence[Answer]) -> list[Answer]:
    """The differences that mains and rods are looked at for, as they were measured, else as foretold."""
    by_name = {row["characteristic"]: row for row in rows}
    told: list[Answer] = []
    for name in TELLING:
        row = by_name.get(name)
        if row is None or (name.removesuffix("-predicted") in by_name and name.endswith("-predicted")):
            continue
        told.append({"title": capital(row["words"]), "rows": [
            {"words": capital(d["words"]), "value": d["value"], "interval": d["interval"], "u": d["u"], "apart": d["u_if_independent"],
             "said": "differ" if d["differ"] else ""} for d in row["differences"]]})
    return told


def _worth(found: Sequence[Answer]) -> list[Answer]:
    """Whose budget is printed: what is too close to call, then what is least sure of each kind that is judged."""
    judged = [f for f in found if f["value"] is not None and f["probability"] is not None and not f["stale"]]
    close = [f for f in judged if f["verdict"] == TOO_CLOSE]
    seen = {f["characteristic"] for f in close}
    rest: dict[str, Answer] = {}
    for f in judged:
        best = rest.get(f["characteristic"])
        if f["characteristic"] not in seen and 0.001 < f["probability"] < 0.9995 and (
                best is None or abs(f["probability"] - 0.5) < abs(best["probability"] - 0.5)):
            rest[f["characteristic"]] = f
    first: dict[str, Answer] = {}
    for f in close:
        first.setdefault(f["characteristic"], f)
    chosen = [*first.values(), *sorted(rest.values(), key=lambda f: abs(f["probability"] - 0.5))]
    return chosen[:MOST_BUDGETS]


def _budget(shop: Shop, engine: str, f: Answer, units: str) -> Answer:
    answer = how(shop, engine, f["station"], f["characteristic"], units)
    lines = shown(answer["budget"], MOST_LINES)
    rule, method = answer["rule"], answer["method"]
    accept = " ".join(filter(None, (f"from {rule['accept_from']}" if rule["accept_from"] else "",
                                    f"up to {rule['accept_to']}" if rule["accept_to"] else "")))
    return {"title": f"{capital(f['words'])}, {f['station_words']}", "verdict": f["verdict"],
            "value": f["text"]["value"], "u": answer["u_text"],
            "lines": [{"words": line["words"], "text": line["text"], "percent": line["percent"], "wide": line["wide"]} for line in lines],
            "cancels": "; ".join(line["words"] for line in answer["budget"] if line["cancels"]),
            "helps": [{"words": capital(h["words"]), "gain": h["gain_text"], "leaves": h["text"]} for h in answer["helps"][:MOST_HELPS]],
            "judged": f"{capital(rule['name'])}" + (f"; called fitting {accept}" if accept else "") + ".",
            "method": f"Carried {method['name']}: {method['reason']}." if method and method["name"] != "linear" else ""}


def troubles(found: Sequence[Answer]) -> list[Answer]:
    """Instruments that are not in order, and the findings that each touches."""
    rows: dict[tuple[str, str], Answer] = {}
    for f in found:
        for used in f["instruments"] if f["value"] is not None else ():
            if used["said"] and used["state"] != "not named":
                row = rows.setdefault((used["name"], used["state"]), {"name": used["name"], "state": used["state"], "said": used["said"],
                                                                      "findings": []})
                row["findings"].append(f"{f['words']}, {f['station_words']}")
    return [row | {"findings": "; ".join(row["findings"][:12]) + (
        f"; and {len(row['findings']) - 12} more" if len(row["findings"]) > 12 else ""), "count": counted(len(row["findings"]), "finding")}
            for row in rows.values()]


def _effect(row: Answer) -> str:
    gauge = f", gauge at {row['gauge']:.1f} °C" if row["gauge"] is not None else ""
    origin = " (from the log)" if row["origin"] == "noted" else ""
    return (f"{counted(row['readings'], 'reading')} of {row['material']} at {row['celsius']:.1f} °C{gauge}{origin}, brought to 20 °C: "
            f"by at most {row['most']:+.1f} {row['unit']}")
