"""One engine from quote to shipped: a late part, another shell, a rework in the middle; and the record says all of it."""

from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from tenths.engine.stations import stations
from tenths.logbook import bodies
from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
from tenths.logbook import work_bodies as w
from tenths.record.report import record_pdf
from tenths.services import again, ahead, commands, customers, money, steps, supply

LAYOUT = "inline-3"
PEOPLE = ("Ines Vale", "Tom Arden")
# what fits by common practice, by kind of station: feature, place, size [in]
READINGS = {
    "main": [("journal", "1 front", "2.4000"), ("installed-bore", "B front", "2.4023")],
    "pin": [("journal", "1 front", "2.1000")],
    "rod": [("installed-bore", "B front", "2.1022")],
    "thrust": [("end-play", "", "0.0060")],
    "cyl": [("bore", "gauge thrust", "3.5000"), ("deck-clearance", "", "0.0050"), ("gasket-stand-off", "", "0.030")],
    "piston": [("skirt", "", "3.4984")],
    "ring": [("end-gap", "", "0.0160")],
    "cam": [("end-play", "", "0.0050"), ("sprocket-offset", "", "0.0010")],
    "pump": [("gear-clearance", "1", "0.0035"), ("end-clearance", "1", "0.0025")],
    "pan": [("pick-up-clearance", "", "0.312")],
    "timing": [("slack", "", "0.200")],
    "deck": [("dowel-height", "", "0.300")],
    "head": [("dowel-hole", "", "0.400")],
    "gasket": [("gasket-thickness", "", "0.040")],
    "seal": [("seal-outside", "1", "3.5080"), ("seal-bore", "A", "3.5000"), ("seal-centring", "12 o'clock", "0"),
             ("seal-centring", "6 o'clock", "0.004")],
}
HOUSE = """
[[limit]]
characteristic = "piston-to-wall"
lower = "0.0005 in"
upper = "0.0030 in"
[[limit]]
characteristic = "ring-end-gap"
lower = "0.008 in"
upper = "0.030 in"
"""


class Job:
    """An engine, and a clock that goes on as the work does."""

    def __init__(self, shop):
        self.shop = shop
        self.now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
        shop.clock = lambda: self.now
        commands.adopt_house_rules(shop, HOUSE)  # gauges nobody has listed are taken as ordinary ones: no tight limits here
        self.engine = commands.open_engine(shop, name="Rook", layout=LAYOUT, customer="R. Oake", purpose="hill climb")

    def read(self, *only):
        rows = [bodies.ReadingTaken(station=s.address, feature=feature, place=place, text=size)
                for s in stations(self.shop.build(self.engine).layout) for feature, place, size in READINGS.get(s.kind, ())
                if not only or (s.address, feature) in only]
        commands.take_readings(self.shop, self.engine, rows)

    def do(self, step):
        row = steps.step(self.shop, self.engine, step)
        assert row["offered"], (step, row["waits"])
        steps.begin_step(self.shop, self.engine, step, person=PEOPLE[0])
        self.now += timedelta(hours=row["hours"][1])
        steps.finish_step(self.shop, self.engine, step, person=PEOPLE[0])
        if row["second"]:
            steps.check_step(self.shop, self.engine, step, person=PEOPLE[1])

    def on(self, until=""):
        """Does what comes next until a step is done, or nothing can be done any more."""
        while offered := ahead.next_up(self.shop, self.engine)["offered"]:
            self.do(offered[0]["step"])
            if until and steps.step(self.shop, self.engine, until)["status"] == "done":
                return


@pytest.fixture
def job(shop):
    money.keep_rates(shop, m.RatesKept(hour="92", parts_margin="15", taxes=(m.Tax(name="tax", share="8"),), currency="Fr."))
    return Job(shop)


def test_one_engine_from_quote_to_shipped(job):
    shop, engine = job.shop, job.engine
    # parts, quote, promise
    commands.part(shop, engine, *(bodies.PartListed(part=name, kind=kind, words=words, where="wanted") for name, kind, words in (
        ("pistons", "piston", "set of three pistons"), ("damper-1", "damper", "damper"))),
        *(bodies.PartListed(part=f"shell-{end}", kind="main-shell", words=f"{end} half", size="10") for end in ("a", "b", "c")),
        bodies.PartFitted(slot="main.2.shell.upper", part="shell-a"), bodies.PartFitted(slot="main.2.shell.lower", part="shell-b"))
    supply.move_part(shop, engine, p.PartSourced(part="pistons", supplier="Mill Lane", cost="240"))
    money.make_quote(shop, engine, "Q 1")
    customers.write(shop, engine, m.EngineDue(day="2026-06-15"))
    supply.move_part(shop, engine, p.PartOrdered(part="pistons", supplier="Mill Lane", promised="2026-05-06", cost="252"),
                     p.PartOrdered(part="damper-1", supplier="Fell", promised="2026-05-08"))
    before = ahead.finish(shop, engine)

    # the pistons are late: everything else goes on, and it is seen what they cost
    commands.part(shop, engine, bodies.PartArrived(part="damper-1"))
    job.on()
    missing = ahead.next_up(shop, engine)["missing"]
    assert [row["part"] for row in missing] == ["pistons"]
    assert steps.step(shop, engine, "bore-to-size")["status"] == "open"
    assert steps.step(shop, engine, "measure-main@main.1")["status"] == "done"
    job.now = datetime(2026, 5, 20, 8, 0, tzinfo=UTC)
    supply.move_part(shop, engine, p.PartPromised(part="pistons", promised="2026-05-27", why="foundry shut"))
    later = ahead.finish(shop, engine)
    assert later["likely"] > before["likely"]
    assert later["parts"][0]["part"] == "pistons"
    job.now = datetime(2026, 5, 28, 8, 0, tzinfo=UTC)
    commands.part(shop, engine, bodies.PartArrived(part="pistons"))
    job.read()
    job.on("crank-in")

    # another shell after the crank lies in: exactly what hangs on it is undone
    commands.part(shop, engine, bodies.PartFitted(slot="main.2.shell.upper", part="shell-c"))
    undone = again.again(shop, engine)
    assert {(r["station"], r["feature"]) for r in undone["readings"]} == {("main.2", "installed-bore")}
    again_steps = {s["step"] for s in undone["steps"]}
    assert {"measure-main@main.2", "shells-in", "crank-in", "mock-crank"} <= again_steps
    assert not {"measure-main@main.1", "measure-main@main.3", "measure-rod@rod.1", "hone@cyl.1", "galleries", "rear-seal"} & again_steps
    assert not steps.step(shop, engine, "crank-in")["offered"]
    job.read(("main.2", "installed-bore"))

    # a rework: the mock-up is gone through once more
    customers.write(shop, engine, m.ProblemFound(problem="valve touched", station="cyl.1", text="intake, before overlap"))
    customers.write(shop, engine, m.ApprovalAsked(approval="pocket", text="Cut the valve pockets deeper.", cost="120"))
    customers.write(shop, engine, m.ApprovalGiven(approval="pocket", agreed=True, who="R. Oake", by="telephone"))
    steps.edit_plan(shop, engine, w.PlanBranched(branch="pockets", steps=("mock-valves",), reason="pockets cut deeper"))
    customers.write(shop, engine, m.ProblemSolved(problem="valve touched", text="pockets 0.040 deeper"))
    job.on()

    # shipped, billed, recorded
    answer = steps.steps(shop, engine)
    blocked = [x["words"] for stage in answer["stages"] for r in stage["steps"] for x in r["waits"] if x["kind"] != "step"]
    assert blocked == []
    assert answer["counts"] == {"done": answer["total"]}
    assert steps.step(shop, engine, "mock-valves@head.A~pockets")["status"] == "done"
    assert again.again(shop, engine)["todo"] == []
    assert customers.progress(shop, engine)["share"] == 1.0
    money.make_invoice(shop, engine, "B 1")
    became = money.quote_against_actual(shop, engine)
    assert next(r for r in became["rows"] if r["about"] == "pistons")["difference"] == "13.80"  # 12 more, and 15 % on it
    hours = {r["stage"]: r for r in money.hours(shop, engine)["stages"]}
    assert hours["final assembly"]["spent"] > hours["final assembly"]["planned"]  # some of it twice
    text = pdf_text(record_pdf(shop, engine))
    for said in ("The work, step by step", "Crank in for good", "Tom Arden", "now promised 2026-05-27: foundry shut",
                 "pockets 0.040 deeper",
                 "agreed by R. Oake", "Bolt it to its crate"):
        assert said in text, said


def pdf_text(content):
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages).split())
