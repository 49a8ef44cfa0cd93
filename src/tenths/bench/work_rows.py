"""Steps as the pages show them: in groups of one kind, with what they wait for in words, each caution once."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from tenths.bench.pages import kept_findings
from tenths.bench.state import Bench
from tenths.services import ahead, steps

Answer = dict[str, Any]
STILL = {"begun": ": begun", "to check": ": done, not checked", "again": ": to be done again"}
FIRST = 3  # things waited for that a list tells; a step's own page tells all


def kept_steps(bench: Bench, engine: str) -> Answer:
    """All steps of an engine, kept while nothing in the shop is written, for a day; waits for checks are in words."""
    return bench.answers.of_shop(("steps", engine, bench.shop.clock().date()), lambda: _steps(bench, engine))


def kept_next(bench: Bench, engine: str) -> Answer:
    """What can be done now, likewise."""
    return bench.answers.of_shop(("next", engine, bench.shop.clock().date()), lambda: _next(bench, engine))


def rows_of(answer: Answer) -> dict[str, Answer]:
    """The steps by their id."""
    return {row["step"]: row for stage in answer["stages"] for row in stage["steps"]}


def _steps(bench: Bench, engine: str) -> Answer:
    answer = steps.steps(bench.shop, engine)
    told = _checks_in_words(bench, engine)
    rows = rows_of(answer)
    for row in rows.values():
        row["state"] = state_of(row)
    for row in rows.values():
        row["waits"] = [wait | _wait_told(wait, rows, told) for wait in row["waits"]]
    return answer


def _wait_told(wait: Answer, rows: dict[str, Answer], told: dict[str, Answer]) -> Answer:
    """What is waited for in words; ``plain`` without its place, which is the same for all of a kind."""
    if wait["kind"] == "step" and wait["what"] in rows:
        on = rows[wait["what"]]
        return {"words": on["words"] + (f", {where(on)}" if where(on) else "") + STILL.get(on["state"], ""), "plain": on["words"]}
    found = told.get(wait["what"]) if wait["kind"] == "check" else None
    plain = f"{found['words']} {found['verdict']}" if found else wait["words"]
    return {"words": _in_words(wait, told), "plain": plain}


def _next(bench: Bench, engine: str) -> Answer:
    answer = ahead.next_up(bench.shop, engine)
    told = _checks_in_words(bench, engine)
    return answer | {"checks": [row | {"words": _in_words(row | {"kind": "check"}, told)} for row in answer["checks"]]}


def _checks_in_words(bench: Bench, engine: str) -> dict[str, Answer]:
    return {f"{f['characteristic']}@{f['station']}": f for f in kept_findings(bench, engine)}


def _in_words(wait: Answer, told: dict[str, Answer]) -> str:
    found = told.get(wait["what"]) if wait["kind"] == "check" else None
    return f"{found['words']} at {found['station_words']}: {found['verdict']}" if found else wait["words"]


def state_of(row: Answer) -> str:
    """One word for a step: done, begun, to check, again, now (it can be done), or waits."""
    if row["running"]:
        return "begun"
    if row["status"] in {"done", "to check"}:
        return row["status"]
    if row["status"] == "again":
        return "again"
    return "now" if row["offered"] else "waits"


def where(row: Answer) -> str:
    """Where a step is done; empty for one of the whole engine."""
    return "" if row["station"] == "engine" else row["station_words"]


def grouped(rows: Iterable[Answer]) -> list[Answer]:
    """Steps of one kind that follow each other, as one group: its words, its rows, what they wait for and how many of them."""
    groups: list[Answer] = []
    for row in rows:
        if not groups or (groups[-1]["name"], groups[-1]["branch"], groups[-1]["words"]) != (row["name"], row["branch"], row["words"]):
            groups.append({"name": row["name"], "branch": row["branch"], "words": row["words"], "stage": row["stage"], "rows": []})
        groups[-1]["rows"].append(row)
    for group in groups:
        group["waits"], group["more"] = _waits_of(group["rows"])
    return groups


def _waits_of(rows: Sequence[Answer]) -> tuple[list[Answer], int]:
    """What the open steps of a group wait for, what is of one kind as one with its number; and how many more there are."""
    found: dict[str, set[str]] = {}
    for row in rows:
        for wait in row["waits"] if row["state"] in {"waits", "again"} else ():
            found.setdefault(wait["plain"], set()).add(wait["what"])
    told = [{"words": words, "of": len(which)} for words, which in found.items()]
    return told[:FIRST], max(0, len(told) - FIRST)


def warn_once(rows: Iterable[Answer]) -> set[str]:
    """The steps at which a caution stands: the first of each, and none that the shop was told with this engine before."""
    told: set[str] = set()
    first: set[str] = set()
    for row in rows:
        if row["caution"] and row["caution_new"] and row["caution"] not in told:
            told.add(row["caution"])
            first.add(row["step"])
    return first


def by_person(answer: Answer, rows: dict[str, Answer]) -> tuple[list[Answer], list[Answer]]:
    """Everybody with what they are at or could take, and in groups what else can be done: no step stands twice."""
    used: set[str] = set()
    people: list[Answer] = []
    for person in answer["people"]:
        at = [rows[name] for name in person["at"] if name not in used]
        upcoming = rows.get(person["next"]) if person["next"] not in used else None
        used |= {row["step"] for row in at} | ({person["next"]} if upcoming else set())
        people.append({"person": person["person"], "at": at, "next": upcoming, "why": person["why"]})
    others = [row for row in rows.values() if row["running"] and row["step"] not in used]
    for row in others:
        used.add(row["step"])
        people.append({"person": row["running"][0]["person"], "at": [row], "next": None, "why": ""})
    return people, grouped([rows[r["step"]] for r in answer["offered"] if r["step"] not in used])


def since(row: Answer, now: datetime) -> list[Answer]:
    """Who is at a step, with the hours since they began."""
    return [run | {"hours": (now - datetime.fromisoformat(run["since"])).total_seconds() / 3600.0} for run in row["running"]]
