"""Calls of the API about the work: steps, what next, what again, parts on the way, stock, finish, hours, progress."""

from typing import Any

from tenths.bench import work_shapes as shapes
from tenths.bench.api import ENGINE, UNITS
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.services import again, ahead, customers, money, steps, supply

PEOPLE = Query(name="people", kind=int, words="how many work at it; 0 means up to two of the shop's", default=0)


def _again(asked: Asked) -> Any:
    slot = asked.query["if"]
    if not slot:
        return again.again(asked.shop, asked.engine)
    at = tuple(word for word in asked.query["at"].split(",") if word)
    return again.if_changed(asked.shop, asked.engine, slot, operation=asked.query["operation"], stations=at)


CALLS = (
    Call(path="/api/engines/{engine}/steps", need="reader", answers=shapes.Steps, section="Work",
         words="All steps of an engine, stage by stage: what is done, what can be done now, what the rest waits for.",
         run=lambda a: steps.steps(a.shop, a.engine, units=a.query["units"]), query=(UNITS,), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/steps/{step}", need="reader", answers=shapes.StepRow, section="Work",
         words="One step: waits, ticks, readings, who did it, who checked it, what it went past.",
         run=lambda a: steps.row(a.shop, a.engine, a.path["step"], units=a.query["units"]), query=(UNITS,),
         example=Example(ENGINE | {"step": "crank-in"})),
    Call(path="/api/engines/{engine}/next", need="reader", answers=shapes.NextUp, section="Work",
         words="What can be done now, ordered by what it frees; who could do what; missing parts with all that they hold up.",
         run=lambda a: ahead.next_up(a.shop, a.engine, limit=a.query["limit"]), example=Example(ENGINE, {"limit": "5"}),
         query=(Query(name="limit", kind=int, words="at most so many steps; 0 means all", default=0),)),
    Call(path="/api/engines/{engine}/again", need="reader", answers=shapes.Again, section="Work", run=_again,
         words="Readings, answers and steps that a change made stale; with `if`, those that it would.",
         example=Example(ENGINE, {"if": "crank"}), query=(
             Query(name="if", words="slot whose part would be another"),
             Query(name="operation", words="with `if`: machining of the part in it instead"),
             Query(name="at", words="with `operation`: stations, commas between"))),
    Call(path="/api/engines/{engine}/finish", need="reader", answers=shapes.FinishAnswer, section="Work",
         words="When an engine will be done, as a distribution, and what each missing part costs.",
         run=lambda a: ahead.finish(a.shop, a.engine, people=a.query["people"], by=a.query["by"]),
         query=(PEOPLE, Query(name="by", words="a day, year first: the chance to be done by then")),
         example=Example(ENGINE, {"people": "1"})),
    Call(path="/api/engines/{engine}/late", need="reader", answers=shapes.IfLate, section="Work",
         words="What it does to the finish when a missing part comes so many days later; the same fates are drawn for both.",
         run=lambda a: ahead.if_late(a.shop, a.engine, a.query["part"], a.query["days"], people=a.query["people"]),
         query=(Query(name="part", words="a part that is missing"), Query(name="days", kind=int, words="1 to 365", default=7), PEOPLE),
         example=Example(ENGINE, {"part": "pistons-d10", "days": "14"})),
    Call(path="/api/engines/{engine}/supply", need="reader", answers=shapes.Supply, section="Work",
         words="Every part with its way, what the plan needs, and work outside.",
         run=lambda a: supply.parts(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/hours", need="reader", answers=shapes.Hours, section="Work",
         words="Hours by stage, step and person, beside what the plan takes as likely.",
         run=lambda a: money.hours(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/cost", need="reader", answers=shapes.Against, section="Work",
         words="The quote, else what it would be, against what the job became so far.",
         run=lambda a: money.quote_against_actual(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/engines/{engine}/progress", need="reader", answers=shapes.Progress, section="Work",
         words="What a customer may see of a job: no hours, costs or notes.",
         run=lambda a: customers.progress(a.shop, a.engine), example=Example(ENGINE)),
    Call(path="/api/plan", need="reader", answers=shapes.ShopPlan, section="Work",
         words="Who does what when on all engines that share people and places, and why; by the search, without the integer program.",
         run=lambda a: ahead.plan_shop(a.shop, people=a.query["people"], time_limit=0.0),
         query=(Query(name="people", kind=int, words="how many work; 0 means all of the shop", default=0),)),
    Call(path="/api/shelf", need="reader", answers=shapes.Shelf, section="Work",
         words="Boxes that the shop keeps for all engines, and tools that are away.", run=lambda a: supply.stock(a.shop)),
    Call(path="/api/orders", need="reader", answers=shapes.OrderLists, section="Work",
         words="What is to be ordered, by supplier, for all engines and for the shelf.", run=lambda a: supply.to_order(a.shop)),
)
