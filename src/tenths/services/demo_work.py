"""The order of work of the demo engines, half way through: steps with their people and hours, parts, boxes, the customer."""

from datetime import UTC, datetime, timedelta

from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
from tenths.logbook import work_bodies as w
from tenths.logbook.bodies import encode
from tenths.logbook.body import Body
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.ids import new_id
from tenths.services.shop import SHOP, Shop
from tenths.work.facts import facts_of
from tenths.work.plan import Step
from tenths.work.state import state_of
from tenths.work.template import shipped_text

PEOPLE = ("Ines Vale", "Tom Arden")
DONE = {"marigold": ("inspect", "clean", "machine"), "kestrel": ("inspect", "clean")}
RATES = m.RatesKept(hour="92", stages={"machine": "110"}, parts_margin="15", outside_margin="10", currency="Fr.",
                    taxes=(m.Tax(name="sales tax", share="8.1"),), terms="Payable within 30 days.")
BOXES = (
    p.BoxListed(box="main-10", kind="main-shell", size="10", words="main shells, standard", change="0 in",
                supplier="Lowmoor Bearing Room", number="LM 10", cost="61.00", reorder_at=1, order_up_to=3),
    p.BoxCounted(box="main-10", count=2),
    p.BoxListed(box="main-10x", kind="main-shell", size="10X", words="main shells, 0.001 in more clearance", change="+0.001 in",
                supplier="Lowmoor Bearing Room", number="LM 10X", cost="64.50", reorder_at=1, order_up_to=2),
    p.BoxCounted(box="main-10x", count=1),
)
BEGIN = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)


class _Days:
    """Entries with times of their own: one after the other, and none over night."""

    def __init__(self, shop: Shop) -> None:
        self.shop, self.now = shop, BEGIN
        self.entries: list[NewEntry] = []

    def add(self, body: Body, person: str = PEOPLE[0]) -> None:
        """An entry now."""
        made = new_id(int(self.now.timestamp() * 1000), self.shop.random(10))
        self.entries.append(NewEntry(id=made, type=body.TYPE, schema=body.SCHEMA, at=utc_text(self.now), person=person,
                                     device=self.shop.device, body=encode(body)))

    def room(self, hours: float) -> None:
        """The next morning, when so many hours do not go into what is left of the day."""
        if self.now + timedelta(hours=hours) > self.now.replace(hour=18, minute=0):
            self.now = (self.now + timedelta(days=1)).replace(hour=8, minute=0)

    def on(self, hours: float) -> None:
        """So many hours later."""
        self.now += timedelta(hours=hours)


def lay_house(shop: Shop) -> None:
    """When the demo shop works, what it asks for an hour, and the boxes that it keeps."""
    shop.append(SHOP, m.HoursKept(people=PEOPLE, hours="8"), RATES, *BOXES)


def _possible(shop: Shop, engine: str) -> list[Step]:
    """The steps of the stages that are done here, without those that wait for a part, and what waits for these."""
    build = shop.build(engine)
    state = state_of(build, facts_of(build, []))
    stopped: set[str] = set()
    found: list[Step] = []
    for here in state.states.values():
        if any(wait.kind == "part" for wait in here.waits) or stopped & set(here.step.waits_for) or here.step.stage not in DONE[engine]:
            stopped.add(here.step.id)
        else:
            found.append(here.step)
    return found


def lay_work(shop: Shop, engine: str) -> None:
    """The steps of an engine as far as they are, and what was agreed with its customer."""
    days = _Days(shop)
    days.add(w.PlanAdopted(text=shipped_text(), words="the usual way"))
    for number, step in enumerate(_possible(shop, engine)):
        person = PEOPLE[number % 2]
        days.room(step.hours[1])
        days.add(w.StepBegun(step=step.id), person)
        days.on(step.hours[1])
        days.add(w.StepDone(step=step.id, ticks=step.ticks), person)
    if engine == "marigold":
        for body in _said(shop.build(engine).customer or "the customer"):
            days.add(body)
    shop.append_entries(engine, days.entries)


def _said(who: str) -> tuple[Body, ...]:
    return (m.EngineDue(day="2026-05-29"),
            m.MessageWritten(way="from", who=who, text="Will she be ready for the hill climb in June?", by="telephone"),
            m.ApprovalAsked(approval="thrust", text="The lower thrust half is to be 0.005 over, from outside.", cost="18.50"))
