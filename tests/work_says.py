"""What the samples of entries about the work say."""

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
}
