"""Forms about the customer of an engine: what for, promised when, messages, what is agreed, problems, the engine that comes back."""

from tenths.bench.desk import Field, Form, Typed
from tenths.errors import BadInput
from tenths.logbook import money_bodies as m
from tenths.logbook.entry import Entry
from tenths.services import commands, customers, questions
from tenths.services.sheet import USES
from tenths.services.shop import Shop

TOLD = ("customer", "purpose", "use", "fuel", "notes")


def _describe(shop: Shop, engine: str, typed: Typed) -> list[Entry]:
    build = shop.build(engine)
    changed = {name: typed[name] for name in TOLD if typed[name] and typed[name] != getattr(build, name)}
    if not changed:
        raise BadInput("customer: nothing is said otherwise than before")
    return commands.describe_engine(shop, engine, changed)


def _due(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.EngineDue(day=typed["day"], why=typed["why"]))


def _message(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.MessageWritten(way=typed["way"], who=typed["who"] or _customer(shop, engine), text=typed["text"],
                                                          by=typed["by"]))


def _customer(shop: Shop, engine: str) -> str:
    return shop.build(engine).customer or "the customer"


def _customers(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(_customer(shop, engine), "")]


def _ask(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.ApprovalAsked(approval=typed["approval"], text=typed["text"], cost=typed["cost"]))


def _asked(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(a["approval"], a["text"]) for a in customers.approvals(shop.build(engine))]


def _answer(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.ApprovalGiven(
        approval=typed["approval"], agreed=typed["agreed"] == "yes", who=typed["who"] or _customer(shop, engine), by=typed["by"],
        text=typed["text"]))


def _stations(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [("engine", "the engine"), *((s.address, s.words) for s in questions.stations_of(shop.build(engine)))]


def _known_problems(shop: Shop, _engine: str) -> list[tuple[str, str]]:
    """Words that the shop has used for problems, of all its engines, so that one problem has one word."""
    return [(word, "") for word in sorted({p["problem"] for name in shop.engines() for p in customers.problems(shop.build(name))})]


def _problem(shop: Shop, engine: str, typed: Typed) -> Entry:
    station = typed["station"] or "engine"
    if station not in (known := [name for name, _ in _stations(shop, engine)]):
        raise BadInput(f"station: {station!r} is not on this engine; there are {', '.join(known[:6])} and so on")
    return customers.write(shop, engine, m.ProblemFound(problem=typed["problem"], station=station, text=typed["text"]))


def _open_problems(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(p["problem"], p["text"]) for p in customers.problems(shop.build(engine)) if p["solved"] is None]


def _solve(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.ProblemSolved(problem=typed["problem"], text=typed["text"]))


def _back(shop: Shop, engine: str, typed: Typed) -> Entry:
    return customers.write(shop, engine, m.EngineReturned(reason=typed["reason"], warranty=typed.yes("warranty"), run=typed["run"]))


BY = (("telephone", ""), ("letter", ""), ("e-mail", ""), ("at the counter", ""))
WHO = Field(name="who", words="Who", choices=_customers, help="Empty: the customer.")
HOW = Field(name="by", words="How", choices=BY)
DESCRIBE = Form(
    name="engine-describe", title="Change what it is for", button="Keep it", run=_describe, need="owner", section="Customer",
    words="Says what the engine is for: only what is given is changed.", example={"purpose": "hill climb, pump petrol"},
    fields=(Field(name="customer", words="Customer"), Field(name="purpose", words="What it is for"),
            Field(name="use", words="Kind of use", kind="pick", choices=tuple((u, u) for u in USES),
                  help="Which limits hold by common practice."),
            Field(name="fuel", words="Fuel"), Field(name="notes", words="Notes", kind="long")))
DUE = Form(name="engine-due", title="Promise a day", button="Keep the day", run=_due, section="Customer",
           words="The day for which the engine is promised, and why it changed.", example={"day": "2026-06-15"},
           fields=(Field(name="day", words="Promised for", kind="day", required=True), Field(name="why", words="Why it changed")))
MESSAGE = Form(
    name="message-write", title="Keep a message", button="Keep it", run=_message, section="Customer",
    words="Keeps a message to or from the customer.", example={"way": "from", "text": "Go ahead.", "by": "telephone"},
    fields=(Field(name="way", words="Message", kind="pick", required=True, usual="from",
                  choices=(("from", "from them"), ("to", "to them"))),
            WHO, HOW, Field(name="text", words="What was said", kind="long", required=True, also=("message",))))
ASK = Form(
    name="approval-ask", title="Ask whether they agree", button="Keep the question", run=_ask, section="Customer",
    words="The customer is asked to agree to something; they see it on their page.",
    example={"approval": "sleeve", "text": "Hole 2 needs a sleeve.", "cost": "180"},
    fields=(Field(name="text", words="To what", kind="long", required=True), Field(name="approval", words="Short name", required=True),
            Field(name="cost", words="What it costs")))
ANSWER = Form(
    name="approval-answer", title="Their answer", button="Keep the answer", run=_answer, section="Customer",
    words="Keeps the customer's answer.", example={"approval": "thrust", "agreed": "yes", "by": "telephone"},
    fields=(Field(name="approval", words="To", kind="pick", required=True, choices=_asked),
            Field(name="agreed", words="They", kind="pick", required=True, choices=(("yes", "agree"), ("no", "do not agree"))),
            WHO, HOW, Field(name="text", words="In their words")))
PROBLEM = Form(
    name="problem-find", title="Write a problem down", button="Write it down", run=_problem, section="Customer",
    words="Writes a problem down, under a word by which it is found again years later.",
    example={"problem": "cracked web", "station": "main.2", "text": "from the oil hole"},
    fields=(Field(name="problem", words="In a word or two", required=True, choices=_known_problems),
            Field(name="station", words="Where", choices=_stations, help="Empty: the engine."),
            Field(name="text", words="More about it", kind="long")))
SOLVE = Form(name="problem-solve", title="What became of it", button="Keep it", run=_solve, section="Customer",
             words="What became of a problem.", example=None,
             fields=(Field(name="problem", words="Problem", kind="pick", required=True, choices=_open_problems),
                     Field(name="text", words="What was done", required=True)))
BACK = Form(
    name="engine-back", title="The engine is back in the shop", button="It is back", run=_back, section="Customer",
    words="The engine is back after it was shipped: its steps begin anew, its readings stay to compare with.",
    example={"reason": "to be freshened", "run": "31 hours"},
    fields=(Field(name="reason", words="Why", required=True), Field(name="run", words="How long it ran"),
            Field(name="warranty", words="Under warranty", kind="yes")))

FORMS = (DESCRIBE, DUE, MESSAGE, ASK, ANSWER, PROBLEM, SOLVE, BACK)
