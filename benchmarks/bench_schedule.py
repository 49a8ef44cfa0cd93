"""Four engines that share people, hone, bay and dyno: the schedule beside its bound and beside first come, first served."""

import time
from datetime import date

from tenths.engine.describe import layout_from_text
from tenths.work.blocks import blocks_of
from tenths.work.finish import Task, finish_of
from tenths.work.hours import Calendar
from tenths.work.plan import conditions_of, plan_from
from tenths.work.schedule import latest_of, schedule
from tenths.work.template import shipped_text


def tasks_of(preset, cut):
    layout, calendar = layout_from_text(preset), Calendar(date(2026, 3, 2))
    steps = list(plan_from(shipped_text(), layout, conditions_of(layout)).steps.values())[cut:]
    names = {s.id for s in steps}
    tasks = [Task(s.id, s.hours, tuple(n for n in s.waits_for if n in names), (), tuple(calendar.away(d) for d in s.days), s.place)
             for s in steps]
    return tasks, {s.id: s.stage for s in steps}


def in_the_order_they_came(blocks, people):
    """What a shop without a plan does: whoever is free takes the first block of the oldest engine that can be begun."""
    free, places, ends, left = [0.0] * people, {}, {}, list(blocks)
    lag = {b.id: b.lag for b in blocks}
    while left:
        ready = [b for b in left if all(a in ends for a in b.after)]

        def start(b):
            return max([min(free), places.get(b.place, 0.0) if b.place else 0.0, b.release, *(ends[a] + lag[a] for a in b.after)])

        block = min(ready, key=start)
        begin = start(block)
        free[free.index(min(free))] = ends[block.id] = begin + block.hours
        places[block.place] = ends[block.id]
        left.remove(block)
    return {b.engine: max(ends[x.id] + x.lag for x in blocks if x.engine == b.engine) for b in blocks}


def mean(finishes):
    return sum(finishes.values()) / len(finishes)


def main():
    blocks, first = [], None
    for number, preset in enumerate(("v8-90-cross-plane", "inline-6", "flat-4", "inline-4")):
        tasks, stage_of = tasks_of(preset, 15 * number)
        first = first or tasks
        blocks += blocks_of(f"engine {number + 1}", tasks, {}, stage_of)
    print(f"{len(blocks)} blocks, {sum(b.hours for b in blocks):.0f} h of work")
    print(f"{'people':<8}{'last done':>12}{'bound':>10}{'gap':>7}{'on the average':>16}   as they came: last, average{'time':>8}")
    for people in (1, 2, 3, 4):
        start = time.perf_counter()
        plan = schedule(blocks, people=people, time_limit=0)
        took = time.perf_counter() - start
        came = in_the_order_they_came(blocks, people)
        print(f"{people:<8}{plan.latest:>10.1f} h{plan.bound:>8.1f} h{plan.gap:>7.1%}{mean(plan.finishes):>14.1f} h"
              f"{latest_of(came, {}):>17.1f} h{mean(came):>9.1f} h{took:>8.1f} s")
    start = time.perf_counter()
    found = finish_of(first, {}, people=2, seed=1, samples=1000)
    took = (time.perf_counter() - start) * 1e3
    print(f"finish of a V8, 1,000 fates: {found.quantile(0.1):.0f} to {found.quantile(0.9):.0f} h in {took:.0f} ms")


if __name__ == "__main__":
    main()
