"""How sure findings are, on the bench: one finding, all together; and their API."""

from typing import Any

from starlette.requests import Request

from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import kept_findings, placed, routed
from tenths.bench.state import Bench
from tenths.bench.sure_shapes import How, TogetherRow
from tenths.record.bars import shown
from tenths.services.how import how, in_short
from tenths.services.temperatures import effect, now_text, places, temperature_log
from tenths.services.together import percent, together

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")


def kept_how(bench: Bench, engine: str, station: str, characteristic: str, units: str = "") -> Answer:
    """How sure a finding is, kept while neither the engine's log nor the shop's grows."""
    return bench.answers.of_shop(("how", engine, station, characteristic, units),
                                 lambda: how(bench.shop, engine, station, characteristic, units))


def kept_together(bench: Bench, engine: str, characteristic: str = "", units: str = "", *, pairs: bool = False) -> list[Answer]:
    """What holds for several findings at once, kept while the engine's log does not grow."""
    key = ("together", characteristic, units, pairs)
    return bench.answers.of_engine(engine, key, lambda: together(bench.shop, engine, characteristic, units, pairs=pairs))


def how_context(bench: Bench, engine: str, request: Request) -> Answer:
    """One finding: its doubt by cause, what would help, what judged it."""
    asked = request.path_params
    units = request.query_params.get("units", "")
    answer = kept_how(bench, engine, asked["station"], asked["characteristic"], units)
    cancels = [line for line in answer["budget"] if line["cancels"]]
    return {"how": answer, "bars": shown(answer["budget"]), "cancels": cancels, "percent": percent,
            "same": [row for row in kept_together(bench, engine) if row["characteristic"] == asked["characteristic"]]}


def short_of(bench: Bench, engine: str, station: str) -> list[Answer]:
    """How sure the findings of a station are, in short, kept like the station itself."""
    return bench.answers.of_engine(engine, ("short", station), lambda: in_short(bench.shop, engine, station))


def sure_context(bench: Bench, engine: str, request: Request) -> Answer:
    """How sure an engine is: what holds together, what is not in order, how warm it was."""
    units = request.query_params.get("units", "")
    build = bench.shop.build(engine)
    rows = kept_together(bench, engine, "", units)
    rows = sorted(rows, key=lambda row: row["together"])
    return {"rows": rows, "percent": percent, "troubles": troubles(kept_findings(bench, engine)), "warm_places": places(build),
            "notes": temperature_log(bench.shop, engine, units), "effect": effect(bench.shop, engine, units),
            "now": now_text(bench.shop), "rule": next((f for f in kept_findings(bench, engine)), None)}


def troubles(found: list[Answer]) -> list[Answer]:
    """Instruments that are not in order, each with the findings that it touches."""
    rows: dict[tuple[str, str], Answer] = {}
    for f in found:
        if f["value"] is None:
            continue
        for used in f["instruments"]:
            if used["said"] and used["state"] != "not named":
                row = rows.setdefault((used["instrument"], used["state"]), used | {"findings": []})
                row["findings"].append({"station": f["station"], "words": f["words"], "station_words": f["station_words"],
                                        "characteristic": f["characteristic"], "verdict": f["verdict"]})
    return sorted(rows.values(), key=lambda row: -len(row["findings"]))


ROUTES = [
    routed("/e/{engine}/sure", placed("drawing", "sure.html", sure_context)),
    routed("/e/{engine}/how/{station}/{characteristic}", placed("drawing", "how.html", how_context)),
]


def _together(asked: Asked) -> Any:
    return kept_together(asked.bench, asked.engine, asked.query["only"], asked.query["units"], pairs=bool(asked.query["pairs"]))


ENGINE = {"engine": "marigold"}
SECTION = "How sure"
CALLS = (
    Call(path="/api/engines/{engine}/how/{station}/{characteristic}", need="reader", answers=How, section=SECTION,
         words="How sure a finding is: its doubt by cause, what would help most, the rule and method that judged it.",
         run=lambda a: kept_how(a.bench, a.engine, a.path["station"], a.path["characteristic"], a.query["units"]), query=(UNITS,),
         example=Example(ENGINE | {"station": "main.3", "characteristic": "main-oil-clearance"})),
    Call(path="/api/engines/{engine}/together", need="reader", answers=list[TogetherRow], run=_together, section=SECTION,
         words="What holds for several findings at once: the probability that all fit, and the differences between them.",
         query=(Query(name="only", words="name of one characteristic; all when left out"), UNITS,
                Query(name="pairs", kind=int, words="1 for the differences of all pairs", default=0)),
         example=Example(ENGINE, {"only": "main-oil-clearance"})),
)
