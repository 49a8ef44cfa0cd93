"""The state of all steps of a V8 after any first part of its log, beside a plain search that looks back at everything."""

import random
import statistics
import sys
import time
from pathlib import Path

from tenths.engine.describe import layout_from_text
from tenths.logbook import bodies
from tenths.logbook import work_bodies as w
from tenths.logbook.entry import Entry
from tenths.logbook.fold import fold
from tenths.work import plan as planning
from tenths.work.facts import facts_of
from tenths.work.state import Facts, plan_of, state_of
from tenths.work.template import shipped_text

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))
import second_plan as second

LAYOUT = "v8-90-cross-plane"


def whole_job():
    """Every step begun, done and checked in order, with a shell, a crank and a hone changed on the way."""
    plan = planning.plan_from(shipped_text(), layout_from_text(LAYOUT), planning.conditions_of(layout_from_text(LAYOUT), use="street"))
    what = [bodies.EngineOpened(name="Trial", layout=LAYOUT), w.PlanAdopted(text=shipped_text())]
    for number, step in enumerate(plan.steps):
        what += [w.StepBegun(step=step), w.StepDone(step=step), w.StepChecked(step=step)]
        if number % 20 == 10:
            what += [bodies.PartFitted(slot="crank", part=f"crank-{number}"),
                     bodies.PartFitted(slot="main.2.shell.upper", part=f"shell-{number}"),
                     bodies.PartMachined(slot="block", operation="honed", features=("bore",), stations=("cyl.3",))]
    return [Entry("trial", n, f"id-{n}", body.TYPE, body.SCHEMA, f"2026-05-04T{8 + n // 60:02}:{n % 60:02}:00.000Z", "Ada", "",
                  bodies.encode(body), "", "", "") for n, body in enumerate(what, 1)]


def timed(action, rounds):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        action()
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.median(times), max(times)


def main():
    entries = whole_job()
    chance = random.Random(1)  # noqa: S311 - which prefixes are timed
    prefixes = [entries[:chance.randint(2, len(entries))] for _ in range(60)]
    facts = Facts(lambda _need: "", {})
    builds = [fold("trial", p) for p in prefixes]
    start = time.perf_counter()
    state_of(builds[0], facts)
    first = (time.perf_counter() - start) * 1e3
    left = iter(prefixes * 2)
    folded = iter(builds * 2)
    rows = [("first time: the plan is made from the template", (first, first))]
    rows.append(("from the entries: decode, fold, state", timed(lambda: state_of(fold("trial", next(left)), facts), 60)))
    rows.append(("from a fold that is there: state", timed(lambda: state_of(next(folded), facts), 60)))
    build = builds[-1]
    rows.append(("the facts, with no findings", timed(lambda: facts_of(build, []), 20)))
    folded = iter(builds)
    rows.append(("plain search over the same log", timed(lambda: plain(next(folded), entries), 5)))
    print(f"{len(plan_of(build)[0].steps)} steps, {len(entries)} entries{'median':>35}{'worst':>12}")
    for what, (median, worst) in rows:
        print(f"{what:<52}{median:8.2f} ms{worst:9.2f} ms")
    print("aim: under 20 ms after any first part of the log")


def plain(build, entries):
    log = [(e.position, bodies.decode(e.type, e.schema, e.body)) for e in entries[:build.position]]
    assert build.layout
    plan = plan_of(build)[0]
    people = {e.position: e.person for e in entries}
    found = second.offered(build.layout, plan, log, people, set(), set())
    assert found == {s.step.id for s in state_of(build, Facts(lambda _need: "", {})).offered}
    return found


if __name__ == "__main__":
    main()
