"""The work of an engine on the bench: what can be done now, every step, what is to be done again."""

from typing import Any

from markupsafe import Markup
from starlette.requests import Request

from tenths.bench import change_forms, desk
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench
from tenths.bench.who import who_asks
from tenths.bench.work_forms import FORMS
from tenths.bench.work_rows import by_person, grouped, kept_next, kept_steps, rows_of, since, warn_once, where
from tenths.engine.operations import OPERATIONS
from tenths.errors import BadInput
from tenths.record.drawing.fall import fall
from tenths.services import again, ahead
from tenths.services.steps import to_read
from tenths.services.tray import tray

Answer = dict[str, Any]
PHONE, DESK = 400.0, 960.0  # width of pictures: on a small one the words keep their size


def _common(bench: Bench, engine: str, request: Request, part: str) -> Answer:
    """What the pages of the work share: their forms, where on them one is, the helpers of their templates."""
    return {"desk": desk.shown(bench, who_asks(request), engine, FORMS + change_forms.FORMS), "part_of_work": part, "where": where,
            "may": who_asks(request).may("hand")}


def now_context(bench: Bench, engine: str, request: Request) -> Answer:
    """What can be done now, by whom; what is to be checked; what holds up; what is to be done again."""
    upcoming, rows = kept_next(bench, engine), rows_of(kept_steps(bench, engine))
    people, further = by_person(upcoming, rows)
    first = [row for person in people for row in (*person["at"], *([person["next"]] if person["next"] else ()))]
    shown = [*first, *(row for group in further for row in group["rows"])]
    running = {row["step"]: since(row, bench.shop.clock()) for row in shown if row["running"]}
    return _common(bench, engine, request, "now") | {
        "next": upcoming, "people": people, "further": further, "rows": rows, "cautions": warn_once(shown),
        "offered": {r["step"]: r for r in upcoming["offered"]}, "running": running,
        "again": kept_again(bench, engine), "finish": kept_finish(bench, engine),
    }


def steps_context(bench: Bench, engine: str, request: Request) -> Answer:
    """Every step, stage by stage, in groups of one kind."""
    answer = kept_steps(bench, engine)
    stages = [{"stage": stage["stage"], "groups": grouped(stage["steps"]), "total": len(stage["steps"]),
               "done": sum(r["state"] == "done" for r in stage["steps"]), "now": sum(r["offered"] for r in stage["steps"]),
               "again": sum(r["state"] == "again" for r in stage["steps"])} for stage in answer["stages"]]
    return _common(bench, engine, request, "steps") | {"stages": stages, "total": answer["total"], "problems": answer["problems"],
                                                       "done": sum(s["done"] for s in stages)}


def step_context(bench: Bench, engine: str, request: Request) -> Answer:
    """One step with all that belongs to it."""
    rows, name = rows_of(kept_steps(bench, engine)), request.path_params["step"]
    if name not in rows:
        raise BadInput(f"step: {name[:60]!r} is not in the plan; it may have been left out since")
    row = rows[name]
    asks = bench.answers.of_engine(engine, ("tray",), lambda: tray(bench.shop, engine, instruments=[]))
    return _common(bench, engine, request, "steps") | {
        "row": row, "rows": rows, "running": since(row, bench.shop.clock()), "to_read": to_read(bench.shop, engine, name, asks),
        "frees": grouped(rows[f] for f in row["frees"] if f in rows), "stands": grouped(rows[f] for f in row["waits_for"] if f in rows)}


# -- what is to be done again --------------------------------------------------------------------------------------------

def kept_again(bench: Bench, engine: str) -> Answer:
    """What is to be done again, kept while nothing in the shop is written."""
    return bench.answers.of_shop(("again", engine), lambda: again.again(bench.shop, engine))


def kept_finish(bench: Bench, engine: str) -> Answer:
    """When the engine will be done, likewise, for a day."""
    return bench.answers.of_shop(("finish", engine, bench.shop.clock().date()), lambda: ahead.finish(bench.shop, engine))


def again_context(bench: Bench, engine: str, request: Request) -> Answer:
    """What is to be done again, as a picture and as a list; and what a change would undo."""
    asked = request.query_params
    typed = {name: asked.get(name, "")[:80] for name in ("if", "operation", "at")}
    found, wrong = None, ""
    if typed["if"]:
        try:
            found = thought(bench, engine, typed)
        except BadInput as error:
            wrong = str(error)
    paper = PHONE if "Mobi" in request.headers.get("user-agent", "") else DESK
    kept = kept_again(bench, engine)
    return _common(bench, engine, request, "again") | {
        "again": kept, "read_again": read_again, "picture": picture(kept, paper, ""), "typed": typed, "wrong": wrong, "if_so": found,
        "if_picture": picture(found, paper, "if-") if found else "", "operations": list(OPERATIONS),
        "slots": change_forms.places(bench.shop, engine)}


def read_again(answer: Answer) -> list[Answer]:
    """The readings to be taken again, of one kind and for one reason together."""
    found: dict[tuple[str, str], Answer] = {}
    for row in answer["readings"]:
        key = (row["words"], row["why"])
        found.setdefault(key, {"words": row["words"], "why": row["why"], "at": []})["at"].append(row)
    return list(found.values())


def thought(bench: Bench, engine: str, typed: dict[str, str]) -> Answer:
    """What a change would undo, kept while nothing in the shop is written."""
    at = tuple(word for part in typed["at"].split(",") if (word := part.strip()))
    return bench.answers.of_shop(("if", engine, *typed.values()), lambda: again.if_changed(
        bench.shop, engine, typed["if"], operation=typed["operation"], stations=at))


def picture(answer: Answer, width: float, prefix: str) -> Markup:
    """The picture of what falls; empty where nothing does."""
    if not answer["todo"]:
        return Markup()
    return Markup(fall(answer["picture"], width=width, prefix=prefix))  # noqa: S704 - made by us, its words escaped there


ROUTES = [
    routed("/e/{engine}/work", placed("work", "work.html", now_context)),
    routed("/e/{engine}/steps", placed("work", "work-steps.html", steps_context)),
    routed("/e/{engine}/step/{step}", placed("work", "work-step.html", step_context)),
    routed("/e/{engine}/again", placed("work", "work-again.html", again_context)),
    *desk.routes(FORMS), *desk.routes(change_forms.FORMS),
]
CALLS = desk.calls(FORMS) + desk.calls(change_forms.FORMS)
