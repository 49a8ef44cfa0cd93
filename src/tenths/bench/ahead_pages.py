"""What lies ahead of the shop, on the bench: the finish of each engine, what a late part does, and the plan of all."""

import re
from typing import Any

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench import desk
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import who_asks
from tenths.bench.work_pages import kept_finish
from tenths.bench.work_rows import kept_next, kept_steps, rows_of, where
from tenths.errors import BadInput
from tenths.logbook.entry import Entry
from tenths.logbook.money_bodies import HoursKept
from tenths.record.plan_pictures import finish_svg, finish_words, plan_svg, swatch
from tenths.services import ahead
from tenths.services.shop import SHOP, Shop

Answer = dict[str, Any]
PHONE, DESK = 358.0, 640.0  # width of the pictures of the finish
STEP = re.compile(r"[a-z0-9][a-z0-9-]*(?:@[A-Za-z0-9.]+)?")


async def shown(request: Request) -> Response:
    """The page."""
    bench = bench_of(request)
    return page(request, "ahead.html", place="ahead", **await bench.think(gathered, bench, request))


def gathered(bench: Bench, request: Request) -> Answer:
    """Every engine with work left: when it will be done, what it misses; what was asked of a late part; the plan."""
    phone = "Mobi" in request.headers.get("user-agent", "")
    paper = PHONE if phone else DESK
    typed = {name: request.query_params.get(name, "")[:80] for name in ("engine", "part", "days")}
    engines = [_engine(bench, name, paper, typed) for name in bench.shop.engines() if bench.shop.build(name).layout is not None]
    return {"engines": [e for e in engines if e["finish"]["steps"]], "done": [e for e in engines if not e["finish"]["steps"]],
            "phone": phone, "typed": typed, "plan": kept_plan(bench), "desk": desk.shown(bench, who_asks(request), "", FORMS),
            "kept": kept_values(bench)}


def kept_values(bench: Bench) -> dict[str, str]:
    """When the shop works, as its form takes it."""
    kept = ahead.hours_kept(bench.shop)
    return {"people": ", ".join(kept.people), "hours": kept.hours, "days": ", ".join(kept.days), "closed": ", ".join(kept.closed),
            "places": ", ".join(f"{name}={count}" for name, count in kept.places.items())}


def _engine(bench: Bench, engine: str, paper: float, typed: Answer) -> Answer:
    upcoming, finish, rows = kept_next(bench, engine), kept_finish(bench, engine), rows_of(kept_steps(bench, engine))
    late, wrong = None, ""
    if typed["engine"] == engine:
        try:
            late = if_late(bench, engine, typed["part"], typed["days"])
        except BadInput as error:
            wrong = str(error)
    costs = {row["part"]: row for row in finish["parts"]}
    missing = [row | {"costs": costs.get(row["part"]), "first": _first(row, rows), "stages": _stages(row, rows)}
               for row in upcoming["missing"]]
    svg = finish_svg(finish["spread"], due=finish["due"], instead=late["after"]["spread"] if late else (), width=paper)
    return {"engine": engine, "name": upcoming["name"], "done": upcoming["done"], "total": upcoming["total"], "finish": finish,
            "missing": missing, "late": late, "wrong": wrong, "words": finish_words(finish["spread"], finish["due"]),
            "svg": Markup(svg)}  # noqa: S704 - made by us, its words escaped there


def _first(row: Answer, rows: dict[str, Answer]) -> str:
    found = rows.get(row["holds_up"][0]) if row["holds_up"] else None
    return f"{found['words']}, {where(found)}".strip(", ") if found else ""


def _stages(row: Answer, rows: dict[str, Answer]) -> list[tuple[str, int]]:
    """How many steps of each stage a missing part holds up."""
    counts: dict[str, int] = {}
    for name in row["holds_up"]:
        if name in rows:
            counts[rows[name]["stage"]] = counts.get(rows[name]["stage"], 0) + 1
    return list(counts.items())


def if_late(bench: Bench, engine: str, part: str, days: str) -> Answer:
    """What a late part does, kept while nothing in the shop is written, for a day."""
    if not days.isdigit() or not days.isascii():
        raise BadInput(f"days: {days!r} is not a whole number of days; give 1 to 365")
    key = ("late", engine, part, days, bench.shop.clock().date())
    return bench.answers.of_shop(key, lambda: ahead.if_late(bench.shop, engine, part, int(days)))


def kept_plan(bench: Bench) -> Answer:
    """The plan of the shop with its picture, kept while nothing is written, for a day."""
    return bench.answers.of_shop(("plan", bench.shop.clock().date()), lambda: _plan(bench))


def _plan(bench: Bench) -> Answer:
    told, days = ahead.plan_shop(bench.shop, time_limit=0.0), ahead.calendar(bench.shop)
    engines = list(dict.fromkeys(row["engine"] for row in told["rows"]))
    names = {engine: bench.shop.build(engine).name for engine in engines}
    steps = {engine: rows_of(kept_steps(bench, engine)) for engine in engines}
    rows = [row | {"words": block_words(row, steps[row["engine"]]), "name": names[row["engine"]],
                   "why": in_words(row["why"], row["engine"], steps, names)} for row in told["rows"]]
    last = max((row["end"] for row in rows), default=0.0)
    dawn = [(k * days.hours, days.day(k * days.hours + 1e-6).isoformat()) for k in range(int(last / days.hours) + 1)]
    svg = plan_svg(rows, people=told["people"], engines=engines, days=dawn) if rows else ""
    return told | {"rows": rows, "svg": Markup(svg), "names": names,  # noqa: S704 - made by us, its words escaped there
                   "legend": [(names[e], Markup(swatch(k))) for k, e in enumerate(engines)]}  # noqa: S704 - likewise


def block_words(row: Answer, steps: dict[str, Answer]) -> str:
    """A block in words: its first step, where, and how many more."""
    found = [steps[name] for name in row["steps"] if name in steps]
    if not found:
        return str(row["stage"])
    kinds = list(dict.fromkeys(step["words"] for step in found))
    places = [where(step) for step in found if step["words"] == kinds[0] and where(step)]
    at = f", {places[0]}" + (f" to {places[-1]}" if len(places) > 1 else "") if places else ""
    return kinds[0] + at + (f", and {len(kinds) - 1} more kind{'' if len(kinds) == 2 else 's'} of step" if len(kinds) > 1 else "")


def in_words(why: str, engine: str, steps: dict[str, dict[str, Answer]], names: dict[str, str]) -> str:
    """A reason with the words of its steps and engines in place of their short names."""
    for short, name in names.items():
        why = why.replace(f"{short}: ", f"{name}: ")

    def told(found: re.Match[str]) -> str:
        step = steps[engine].get(found[0]) or next((rows[found[0]] for rows in steps.values() if found[0] in rows), None)
        if step is None or ("-" not in found[0] and "@" not in found[0] and f"{found[0]} is" not in why):
            return found[0]
        return f"“{step['words']}{', ' + where(step) if where(step) else ''}”"

    return STEP.sub(told, why)


# -- when the shop works -------------------------------------------------------------------------------------------------

def _hours(shop: Shop, _engine: str, typed: desk.Typed) -> list[Entry]:
    places: dict[str, int] = {}
    for text in typed.many("places"):
        name, _, count = text.rpartition("=")
        if not name.strip() or not count.strip().isdigit():
            raise BadInput(f"places: {text[:40]!r} is not taken; give each as hone=2")
        places[name.strip()] = int(count)
    body = HoursKept(people=typed.many("people"), hours=typed["hours"] or "8", days=typed.many("days") or HoursKept().days,
                     closed=typed.many("closed"), places=places)
    return shop.append(SHOP, body)


HOURS = desk.Form(
    name="shop-hours", title="When the shop works", button="Keep it", of_shop=True, need="owner", run=_hours,
    words="When and by whom the shop works, and how many there are of a place.",
    example={"people": "Ines Vale, Tom Arden", "hours": "7.5", "places": "hone=1"}, fields=(
        desk.Field(name="people", words="Who works here", help="Names, commas between. Empty: everybody who has done a step."),
        desk.Field(name="hours", words="Hours of a working day", usual="8"),
        desk.Field(name="days", words="Working days", usual="Mon, Tue, Wed, Thu, Fri"),
        desk.Field(name="closed", words="Closed on", help="Days, year first, commas between."),
        desk.Field(name="places", words="More than one of a place", help="hone=2; every place not named is there once.")))
FORMS = (HOURS,)
ROUTES = [routed("/ahead", shown), *desk.routes(FORMS)]
CALLS = desk.calls(FORMS)
