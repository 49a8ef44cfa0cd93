"""What the record says of the work: each step with who did it and what it went past, parts and work outside, what was agreed.

Everything comes from the engine's own log, so that the same log gives the same pages: no hours, costs or prices
stand in it, only which quotes and bills there are.
"""

from typing import Any

from tenths.errors import BadInput
from tenths.record.drawing.fall import fall
from tenths.record.words import capital, counted, day, short_day
from tenths.services.again import again
from tenths.services.customers import customer
from tenths.services.history import wear
from tenths.services.money import papers
from tenths.services.shop import Shop
from tenths.services.supply import parts
from tenths.services.work_told import edits_told, steps_told

Answer = dict[str, Any]
PICTURE_WIDTH = 640.0


def work(shop: Shop, engine: str) -> tuple[Answer, dict[str, str]]:
    """Words of the work, and its pictures by file name; nothing for an engine whose steps nobody has begun.

    Args:
        shop: the shop.
        engine: which engine.
    """
    try:
        stages = steps_told(shop, engine)
    except BadInput:  # no layout yet
        return {}, {}
    told = customer(shop, engine)
    agreed = [(a["approval"], a["text"], _answered(a)) for a in told["approvals"]]
    problems = [(f"{p['problem']}, {p['station']}", p["text"], p["outcome"] or "open") for p in told["problems"]]
    if not any(s["rows"] for s in stages) and not agreed and not problems and not told["returns"]:
        return {}, {}
    left = again(shop, engine)
    pictures = {"again.svg": fall(left["picture"], width=PICTURE_WIDTH)} if left["todo"] else {}
    return {
        "stages": [{"title": f"{capital(s['stage'])}: {s['done']} of {s['total']}",
                    "rows": [_step(r) for r in s["rows"]]} for s in stages if s["rows"]],
        "edits": [(f"{e['person']}, {short_day(e['at'])}", capital(e["words"])) for e in edits_told(shop, engine)],
        "ways": _ways(shop, engine), "agreed": agreed, "problems": problems,
        "dues": _promised(shop, engine, told),
        "again": [(t["what"], t["where"], t["why"]) for t in left["todo"]], "again_words": counted(len(left["todo"]), "thing"),
        "picture": bool(pictures), "returns": [(day(r["at"]), _returned(r)) for r in told["returns"]], "worn": _worn(shop, engine),
    }, pictures


def _promised(shop: Shop, engine: str, told: Answer) -> list[tuple[str, str]]:
    """Days promised, and which quotes and bills went to the customer, in the order of the log; their sums stand on them alone."""
    rows = [(d["position"], d["at"], f"promised for {d['day']}" + (f": {d['why']}" if d["why"] else "")) for d in told["dues"]]
    made = papers(shop, engine)
    rows += [(q["made"]["position"], q["made"]["at"], f"quote {q['quote']} made") for q in made["quotes"]]
    rows += [(b["made"]["position"], b["made"]["at"], f"bill {b['invoice']} made") for b in made["invoices"]]
    return [(short_day(at), words) for _, at, words in sorted(rows)]


def _returned(back: Answer) -> str:
    return capital(back["reason"]) + (f", after {back['run']}" if back["run"] else "") + (", under warranty" if back["warranty"] else "")


def _worn(shop: Shop, engine: str) -> list[tuple[str, str, str, str]]:
    """First readings beside the newest, once the engine came back: place, first, new, by how much it changed."""
    found = wear(shop, engine)
    if not found["back"]:
        return []
    return [(f"{r['words']}, {r['station_words']}" + (f", {r['place']}" if r["place"] else ""),
             f"{r['first']['written']}, {day(r['first']['at'])}", f"{r['last']['written']}, {day(r['last']['at'])}",
             r["change_text"] + (", another part" if r["other_part"] else "")) for r in found["rows"]]


def _answered(asked: Answer) -> str:
    if asked["agreed"] is None:
        return "not answered yet"
    how = f", {asked['by']}" if asked["by"] else ""
    return f"{'agreed' if asked['agreed'] else 'not agreed'} by {asked['who']}{how}, {short_day(asked['answer']['at'])}"


def _step(row: Answer) -> Answer:
    place = "" if row["station"] == "engine" else f", {row['station_words']}"
    checked = f"{row['checker']}, {short_day(row['checked'])}" if row["checker"] else ""
    return {"words": row["words"] + place + (f" ({row['branch']})" if row["branch"] else ""), "past": row["past"], "note": row["note"],
            "by": f"{row['person']}, {short_day(row['at'])}", "checked": checked, "again": row["again"]}


def _ways(shop: Shop, engine: str) -> list[tuple[str, str, str]]:
    """Parts that were ordered, sent out or came back: what happened, in order."""
    rows: list[tuple[str, str, str]] = []
    for part in parts(shop, engine)["parts"]:
        for number, happened in enumerate(part["history"]):
            rows.append((part["words"] if number == 0 else "", happened["what"], short_day(happened["at"])))
    return rows
