"""The customer's side of a job: what for, promised when, messages, what they agreed to, problems, how far it is."""

from tenths.engine.quantity import unit_for
from tenths.findings.check import catalogue
from tenths.logbook import money_bodies as m
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.services.ahead import due_of
from tenths.services.questions import Answer, system_of
from tenths.services.sheet import words_of
from tenths.services.shop import Shop
from tenths.services.steps import mark_answer, work_state

OfCustomer = m.EngineDue | m.MessageWritten | m.ApprovalAsked | m.ApprovalGiven | m.ProblemFound | m.ProblemSolved | m.EngineReturned


def customer(shop: Shop, engine: str) -> Answer:
    """All that stands between the shop and the customer of an engine, the newest message last."""
    build = shop.build(engine)
    return {
        "engine": engine, "name": build.name, "position": build.position, "customer": build.customer, "purpose": build.purpose,
        "use": build.use, "fuel": build.fuel, "notes": build.notes, "due": due_of(build),
        "dues": [{"day": b.day, "why": b.why, **(mark_answer(k) or {})} for k, b in build.work if isinstance(b, m.EngineDue)],
        "messages": [{"way": b.way, "who": b.who, "text": b.text, "by": b.by, **(mark_answer(k) or {})} for k, b in build.work
                     if isinstance(b, m.MessageWritten)],
        "approvals": approvals(build), "problems": problems(build),
        "returns": [{"reason": b.reason, "warranty": b.warranty, "run": b.run, **(mark_answer(k) or {})} for k, b in build.work
                    if isinstance(b, m.EngineReturned)],
    }


def limits(build: Build) -> list[Answer]:
    """The limits stated for this engine, as typed, each with the unit that it is in."""
    rows: list[Answer] = []
    for _, body in build.limits:
        if (known := catalogue().get(body.characteristic)) is not None:
            unit = unit_for(known.quantity, system_of(build), fine=known.fine)
            rows.append({"words": known.words, "where": words_of(body.station), "source": body.source} | {
                end: f"{text} {unit}".strip() if text[-1:].isdigit() else text
                for end, text in (("lower", body.lower), ("upper", body.upper), ("target", body.target))})
    return rows


def approvals(build: Build) -> list[Answer]:
    """What the customer was asked, each with the last answer (None while there is none)."""
    rows: dict[str, Answer] = {}
    for mark, body in build.work:
        if isinstance(body, m.ApprovalAsked):
            rows[body.approval] = {"approval": body.approval, "text": body.text, "cost": body.cost, "asked": mark_answer(mark),
                                   "agreed": None, "answer": None, "who": "", "by": "", "words": ""}
        elif isinstance(body, m.ApprovalGiven) and body.approval in rows:
            rows[body.approval] |= {"agreed": body.agreed, "answer": mark_answer(mark), "who": body.who, "by": body.by, "words": body.text}
    return list(rows.values())


def problems(build: Build) -> list[Answer]:
    """The problems of an engine, each with what became of it."""
    rows: list[Answer] = []
    for mark, body in build.work:
        if isinstance(body, m.ProblemFound):
            rows.append({"problem": body.problem, "station": body.station, "text": body.text, "found": mark_answer(mark), "solved": None,
                         "outcome": ""})
        elif isinstance(body, m.ProblemSolved):
            for row in reversed(rows):
                if row["problem"] == body.problem and row["solved"] is None:
                    row["solved"], row["outcome"] = mark_answer(mark), body.text
                    break
    return rows


def write(shop: Shop, engine: str, body: OfCustomer) -> Entry:
    """A message, a question or its answer, a promised day, a problem or what became of it; raises BadInput for what is not there."""
    return shop.append(engine, body)[0]


def progress(shop: Shop, engine: str) -> Answer:
    """What a customer may see of a job: how far each stage is, the day promised, what they are asked; no hours, costs or notes."""
    build, state = shop.build(engine), work_state(shop, engine)
    stages: list[Answer] = []
    for stage in state.plan.stages:
        rows = [s for s in state.states.values() if s.step.stage == stage]
        if rows:
            done = sum(s.status == "done" for s in rows)
            begun = any(s.status in {"begun", "to check", "again"} for s in rows) or 0 < done < len(rows)
            stages.append({"stage": stage, "done": done, "total": len(rows),
                           "state": "done" if done == len(rows) else "under way" if begun else "to come"})
    total = len(state.states)
    return {
        "engine": engine, "name": build.name, "customer": build.customer, "purpose": build.purpose, "due": due_of(build), "stages": stages,
        "share": round(sum(s["done"] for s in stages) / total, 4) if total else 0.0,
        "asked": [{"approval": a["approval"], "text": a["text"], "cost": a["cost"]} for a in approvals(build) if a["agreed"] is None],
        "photos": [{"station": where, "file": b.file, "words": b.words, "at": k.at} for where, rows in build.photos.items()
                   for k, b in rows],
        "messages": [{"way": b.way, "text": b.text, "at": k.at} for k, b in build.work if isinstance(b, m.MessageWritten)],
    }
