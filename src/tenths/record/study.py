"""A study of a gauge as PDF: what was read by whom, the chart, the tables, the statement."""

from typing import Any

from tenths.record.charts import chart_of
from tenths.record.typeset import PAPERS, Paper, typeset
from tenths.services.shop import Shop
from tenths.services.study_results import study_answer
from tenths.services.study_words import HOW

Answer = dict[str, Any]
METHODS_FROM = "By the methods of [AIAG-MSA], chapter III."


def study_pdf(shop: Shop, name: str, *, paper: Paper = "A4", units: str = "") -> bytes:
    """A study as the bytes of a PDF; raises BadInput when there is no such study."""
    answer = study_answer(shop, name, units)
    chart, now = chart_of(answer), shop.clock()
    data = {
        "paper": PAPERS[paper], "title": f"{answer['kind_words'].capitalize()} of {answer['instrument_name']}",
        "shop": shop.person, "date": {"year": now.year, "month": now.month, "day": now.day},
        "about": f"{HOW[answer['kind']]} {METHODS_FROM}", "foot": f"Study {name} · made {now:%Y-%m-%d}",
        "facts": facts(answer), "statement": answer["statement"], "why": answer["why"], "chart": bool(chart),
        "alt": f"Chart of study {name}", "tables": tables(answer), "accepted": accepted_words(answer),
        "readings": readings_table(answer),
    }
    return typeset("study.typ", data, {"chart.svg": chart} if chart else {}, now=now)


def facts(answer: Answer) -> list[tuple[str, str]]:
    """What a study is of, in rows of two."""
    many = f"{len(answer['parts'])} × {len(answer['people'])} × {answer['trials']}"
    rows = [("Gauge", f"{answer['instrument_name']} ({answer['instrument']})"), ("What is read", answer["what"]),
            ("By", ", ".join(answer["people"])), ("Parts, people, trials", many), ("Set to", answer["setting"]),
            ("Tolerance", answer["tolerance"]), ("Begun", f"{answer['at'][:10]} by {answer['person']}"),
            ("Readings", f"{answer['read']} of {answer['wanted']}" + (f", {answer['again']} taken again" if answer["again"] else "")),
            ("Note", answer["note"])]
    return [(what, said) for what, said in rows if said]


def accepted_words(answer: Answer) -> str:
    """Who took a study into the record, and what; empty while nobody has."""
    taken = answer["accepted"]
    if taken is None:
        return ""
    freedom = {what: f" with {taken[f'{what}_freedom']:.0f} degrees of freedom" if taken[f"{what}_freedom"] else ""
               for what in ("repeatability", "reproducibility")}
    said = [f"{what} {taken[what]}{freedom[what]}" for what in ("repeatability", "reproducibility") if taken[what]]
    said += [f"error {p['error']} ± {p['uncertainty']} (standard) at {p['size']}" for p in taken["points"]]
    return f"Taken into the record of the gauge by {taken['person']}, {taken['at'][:10]}: {'; '.join(said)}. {taken['words']}".strip()


def tables(answer: Answer) -> list[Answer]:
    """The tables of a study, each with title, heads and rows of texts."""
    result = answer["result"]
    if not result:
        return []
    made = [_spread(method) for method in result["methods"]] + [_variance(m) for m in result["methods"] if m["table"]]
    if result["masters"]:
        made.append(_masters(result["masters"]))
    if result["chart"]:
        made.append(_chart(result["chart"]))
    return made


def _percent(share: float | None) -> str:
    return "–" if share is None else f"{100 * share:.1f} %"


def _spread(method: Answer) -> Answer:
    return {"title": f"By {method['method']}" + (", interaction pooled" if method["pooled"] else ""),
            "columns": ["source", "one sigma", "of total", "of tolerance", "freedom"],
            "rows": [[r["what"], r["text"], _percent(r["share"]), _percent(r["of_tolerance"]),
                      "–" if r["freedom"] is None else f"{r['freedom']:.0f}"] for r in method["rows"]]}


def _variance(method: Answer) -> Answer:
    return {"title": f"Table of the {method['method']}, in {method['unit']} squared",
            "columns": ["source", "freedom", "sum of squares", "mean square", "F", "by chance"],
            "rows": [[r["what"], str(r["freedom"]), f"{r['squares']:.5g}", f"{r['mean_square']:.5g}",
                      "–" if r["ratio"] is None else f"{r['ratio']:.3f}",
                      "–" if r["chance"] is None else f"{r['chance']:.3f}"] for r in method["table"]]}


def _masters(masters: list[Answer]) -> Answer:
    return {"title": "At the masters", "columns": ["master", "size", "bias", "± 95 %", "repeatability", "shown"],
            "rows": [[m["part"], m["size_text"], m["bias_text"], f"{m['interval']:.2f} {m['unit']}",
                      f"{m['repeatability']:.2f} {m['unit']}", "yes" if m["shown"] else "no"] for m in masters]}


def _chart(chart: Answer) -> Answer:
    def how(n: int) -> str:
        return "outside" if n in chart["outside"] else "drifts" if n in chart["drifting"] else ""

    return {"title": f"Occasions, {chart['unit']} from {chart['from_text']}; averages {chart['low']:.2f} to {chart['high']:.2f}, "
                     f"ranges up to {chart['range_high']:.2f}",
            "columns": ["day", "average", "range", "how"],
            "rows": [[day, f"{mean:.2f}", f"{spread:.2f}", how(n)] for n, (day, mean, spread) in
                     enumerate(zip(chart["dates"], chart["averages"], chart["ranges"], strict=True))]}


def readings_table(answer: Answer) -> Answer:
    """Every reading that counts as typed: parts (or occasions) down, readers and trials across."""
    occasions = answer["kind"] == "stability"
    cells: dict[tuple[str, str], str] = {}
    for r in answer["readings"]:
        if r["counts"]:
            cells[str(r["occasion"]) if occasions else r["part"], f"{r['reader']} {r['trial']}"] = r["text"]
    down, across = list(dict.fromkeys(k for k, _ in cells)), sorted({c for _, c in cells})
    return {"columns": ["occasion" if occasions else "part", *across],
            "rows": [[row, *(cells.get((row, column), "–") for column in across)] for row in down]}
