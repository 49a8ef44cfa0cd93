"""What the samples of entries about the work say."""

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
}
