"""What the samples of entries about the work say."""

from tenths.logbook import money_bodies as m
from tenths.logbook import part_bodies as p
from tenths.logbook import work_bodies as w

PLAN = 'stages = ["clean"]\n[[step]]\nname = "wash"\nstage = "clean"\nwords = "Wash the block"\n'
WORK_SAYS = {
    "plan.adopted": w.PlanAdopted(text=PLAN, words="the short way"),
    "step.added": w.StepAdded(
        step="shot-peen", stage="clean", words="Peen the rods", station="rod.2", after=("wash",), on=("wash",), before=("wash",),
        parts=("rod",), checks=("rod-length@rod.2",), slots=("rod.2",), tools=("peening cabinet",), ticks=("covered all over",),
        place="cabinet", hours="0.3 0.5 1", second="fastener", reason="asked for by the customer"),
    "step.dropped": w.StepDropped(step="wash", reason="came washed"),
    "step.rewaited": w.StepRewaited(
        step="wash", after=("shot-peen@rod.2",), on=("shot-peen@rod.2",), parts=("block",), checks=("bore-size@cyl.1",),
        tools=("washer",), reason="the washer is shared"),
    "plan.branched": w.PlanBranched(branch="second mock-up", steps=("mock up",), reason="a valve touched"),
    "step.begun": w.StepBegun(step="wash", note="after the tea"),
    "step.stopped": w.StepStopped(step="wash", note="out of soap"),
    "step.done": w.StepDone(step="wash", ticks=("white cloth",), past=("wait for the washer",), note="by hand"),
    "step.checked": w.StepChecked(step="wash", note="looked again"),
    "part.sourced": p.PartSourced(part="p-1", supplier="Mill Lane Pistons", number="88-1", cost="84.50", lead="5 8 21"),
    "part.ordered": p.PartOrdered(part="p-1", supplier="Mill Lane Pistons", order="2207", promised="2026-04-01", cost="84.50",
                                  quantity=2, slots=("cyl.2.piston",)),
    "part.promised": p.PartPromised(part="p-1", promised="2026-04-09", why="foundry shut"),
    "part.inspected": p.PartInspected(part="p-1", fits=True, note="skirt as ordered"),
    "part.shelved": p.PartShelved(part="p-1", shelf="B 4"),
    "part.returned": p.PartReturned(part="p-1", reason="cracked crown", supplier="Mill Lane Pistons"),
    "work.sent": p.WorkSent(work="coat-1", part="p-1", supplier="Fell Coatings", words="skirt coating", promised="2026-04-20",
                            cost="25", step="weigh-pistons"),
    "work.back": p.WorkBack(work="coat-1", fits=False, cost="27.50", note="thin at the pin"),
    "box.listed": p.BoxListed(box="main-10", kind="main-shell", size="10", words="main shells, 0.010 under", change="-0.001 in",
                              supplier="Lowmoor Bearing Room", number="M 10", cost="61", reorder_at=1, order_up_to=3),
    "box.counted": p.BoxCounted(box="main-10", count=2),
    "box.moved": p.BoxMoved(box="main-10", count=-1, engine="heron", why="opened for main 3"),
    "box.ordered": p.BoxOrdered(box="main-10", count=2, order="2208", promised="2026-04-03"),
    "tool.away": p.ToolAway(tool="torque-wrench", why="away for calibration", back="2026-03-30"),
    "tool.back": p.ToolBack(tool="torque-wrench"),
    "hours.kept": m.HoursKept(people=("Ines Vale", "Tom Arden"), hours="7.5", days=("Mon", "Tue", "Wed", "Thu"), closed=("2026-12-24",),
                              places={"hone": 2}),
    "rates.kept": m.RatesKept(hour="92", stages={"machine": "110"}, parts_margin="15", outside_margin="10",
                              taxes=(m.Tax(name="sales tax", share="8.1"),), currency="Fr.", terms="30 days"),
    "quote.made": m.QuoteMade(quote="Q 12", lines=(m.Line(kind="hours", words="machine", quantity="12.5", each="110", about="machine"),),
                              taxes=(m.Tax(name="sales tax", share="8.1"),), currency="Fr.", valid="2026-06-01", words="as agreed"),
    "invoice.made": m.InvoiceMade(invoice="B 7", lines=(m.Line(kind="part", words="pistons", quantity="3", each="97.18", about="p-1"),),
                                  taxes=(m.Tax(name="sales tax", share="8.1"),), currency="Fr.", due="2026-07-01", words="thank you",
                                  quote="Q 12"),
    "hours.booked": m.HoursBooked(operation="machine", hours="1.25", who="Tom Arden", day="2026-03-02", note="forgot to start"),
    "engine.due": m.EngineDue(day="2026-06-15", why="race moved"),
    "message.written": m.MessageWritten(way="from", who="R. Oake", text="Go ahead with the hone.", by="telephone"),
    "approval.asked": m.ApprovalAsked(approval="sleeve 2", text="Hole 2 needs a sleeve.", cost="180"),
    "approval.given": m.ApprovalGiven(approval="sleeve 2", agreed=True, who="R. Oake", by="telephone", text="yes, do it"),
    "problem.found": m.ProblemFound(problem="cracked web", station="main.2", text="from the oil hole outwards"),
    "problem.solved": m.ProblemSolved(problem="cracked web", text="stitched, pressure tested"),
    "engine.returned": m.EngineReturned(reason="to be freshened", warranty=True, run="31 hours"),
}
