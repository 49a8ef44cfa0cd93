"""What is offered and what is stale, worked out a second time by plain search: step by step, looking back at everything."""

from fnmatch import fnmatchcase
from itertools import pairwise

from tenths.engine.features import feature_at
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.check import CATALOGUE
from tenths.findings.declare import Need, Over, Uneven, address
from tenths.logbook import bodies
from tenths.logbook import work_bodies as w

CHARACTERISTICS = {c.name: c for c in CATALOGUE}


def inputs(layout, characteristic, station):  # noqa: C901 - one walk, in one place
    """Features with stations under a characteristic, found by walking its declaration."""
    found, left = set(), [(characteristic, station)]
    while left:
        name, where = left.pop()
        for way in CHARACTERISTICS[name].ways:
            if isinstance(way, Uneven):
                found.add((way.feature, where))
            elif isinstance(way, Over):
                for place in stations(layout):
                    if place.kind in CHARACTERISTICS[way.of].kinds:
                        bank = where[5:] if where.startswith("deck.") else ""
                        if not bank or place.address.split(".")[1] in {c.label for c in layout.on_bank(bank)}:
                            left.append((way.of, place.address))
            else:
                for need in way.needs:
                    if isinstance(need, Need):
                        if there := address(need.at, layout, where):
                            found.add((need.feature, there))
                    else:
                        left.append((need.of, where))
    return found


def slots_under(layout, rest):
    try:
        feature = feature_at(*rest)
    except BadInput:
        return ()
    return () if feature.stated_only else feature.slots(layout, rest[1])


def ancestors(plan, name):
    """The step and everything that it stands on, by depth-first search."""
    seen, left = set(), [name]
    while left:
        here = left.pop()
        if here not in seen:
            seen.add(here)
            left += plan.steps[here].on
    return seen


def held(log, slot, upto):
    """What the slot held after the entries up to there; what was there all along, when that is said first, always was."""
    rows = [(position, body) for position, body in log
            if isinstance(body, bodies.PartFitted | bodies.PartRemoved) and body.slot == slot]
    now = ""
    for number, (position, body) in enumerate(rows):
        if position <= upto or (number == 0 and getattr(body, "all_along", False)):
            now = getattr(body, "part", "")
    return now


def covers(patterns, station):
    return any((fnmatchcase(station, p) and p.count(".") == station.count(".")) or station.startswith(p + ".") for p in patterns)


def fits_after(log, slot, since):
    """Where the slot came to hold something else after that position, other than its first naming."""
    rows = [(position, getattr(body, "part", "")) for position, body in log
            if isinstance(body, bodies.PartFitted | bodies.PartRemoved) and body.slot == slot]
    return [position for (_, before), (position, now) in pairwise(rows) if position > since and now != before]


def cuts_after(log, slot, since):
    return [body for position, body in log if isinstance(body, bodies.PartMachined) and body.slot == slot and position > since]


def undone_itself(layout, log, step, since):  # noqa: C901 - one walk, in one place
    """Whether something happened after that position that undoes this very step."""
    if any(fits_after(log, slot, since) for slot in step.slots):
        return True
    for slot in step.machined:
        for cut in cuts_after(log, slot, since):
            if not cut.stations or "." not in step.station or covers(cut.stations, step.station):
                return True
    end = log[-1][0] if log else 0
    for need in (*step.reads, *step.checks):
        for rest in inputs(layout, need.characteristic, need.station):
            for slot in slots_under(layout, rest):
                if held(log, slot, since) != held(log, slot, end):
                    return True
                for cut in cuts_after(log, slot, since):
                    if (not cut.features or rest[0] in cut.features) and (not cut.stations or covers(cut.stations, rest[1])):
                        return True
    return False


def done_at(log):
    return {body.step: position for position, body in log if isinstance(body, w.StepDone)}


def stale_steps(layout, plan, log):
    """Steps done that stand on, or are, one that was undone since."""
    return {name for name, since in done_at(log).items() if name in plan.steps
            and any(undone_itself(layout, log, plan.steps[x], since) for x in ancestors(plan, name))}


def checked(log, name, how, people):
    """Whether the last doing of a step had the second check that it asks."""
    if not how:
        return True
    last = done_at(log)[name]
    later = [position for position, body in log if isinstance(body, w.StepChecked) and body.step == name and position > last]
    return bool(later) and (how == "pass" or people[later[-1]] != people[last])


def finished(layout, plan, log, people):
    stale = stale_steps(layout, plan, log)
    return {name for name in done_at(log) if name in plan.steps and name not in stale
            and checked(log, name, plan.steps[name].second, people)}


def offered(layout, plan, log, people, missing_kinds, unfit):
    """Steps that nothing stands in the way of, and that are not done."""
    ready = finished(layout, plan, log, people)
    to_check = set(done_at(log)) - stale_steps(layout, plan, log) - ready
    return {name for name, step in plan.steps.items() if name not in ready | to_check
            and set(step.after) <= ready and set(step.on) <= ready
            and not {need.kind for need in step.parts} & missing_kinds
            and not {(c.characteristic, c.station) for c in step.checks} & unfit}
