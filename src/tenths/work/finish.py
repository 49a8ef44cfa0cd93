"""When an engine will be done: a distribution over hours of work, days of suppliers, and people.

Hours and days are triangular between low and high with their peak at the likely value. People take the steps in one
fixed order: that in which they would be taken if all went as is likely, whoever is free taking what can be done first,
and of several the one with the longest way still to go.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tenths.errors import OutOfRange
from tenths.work.template import Range

if TYPE_CHECKING:
    from numpy import ndarray
    from numpy.random import Generator

CHECKING: Range = (0.02, 0.05, 0.1)  # hours [h] of a second check; common practice, no source


@dataclass(frozen=True, slots=True)
class Task:
    """Work still to be done: its name, hours [h], what it waits for, hours [h] that pass outside after it, release.

    ``parts`` names what must have arrived; ``place`` what it needs for itself.
    """

    name: str
    hours: Range
    after: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    outside: Range = (0.0, 0.0, 0.0)
    place: str = ""


@dataclass(frozen=True, slots=True)
class Finish:
    """A distribution of the finish in working hours from now [h]: sorted samples, and what each part costs on the average.

    ``cost_of`` gives, for every part still to arrive, by how many hours [h] the mean finish would be earlier if it lay on
    the shelf today.
    """

    samples: "ndarray"
    cost_of: dict[str, float]

    def quantile(self, share: float) -> float:
        """The hours [h] within which the given share of samples finish."""
        place = min(len(self.samples) - 1, max(0, round(share * (len(self.samples) - 1))))
        return float(self.samples[place])

    @property
    def mean(self) -> float:
        """Mean hours [h]."""
        return float(self.samples.mean())

    def by(self, hours: float) -> float:
        """The share of samples that finish within so many hours [h]."""
        return float((self.samples <= hours).mean())


def finish_of(tasks: Sequence[Task], arrivals: Mapping[str, Range], *, people: int, seed: int, samples: int = 1000,
              shift: Mapping[str, float] | None = None, costs: bool = True) -> Finish:
    """The distribution of the finish.

    Args:
        tasks: work still to be done, each after what it waits for.
        arrivals: part to the hours [h] until it arrives, low, likely and high.
        people: how many work at the engine at once, 1 to 50.
        seed: of the chance; the same seed gives the same samples.
        samples: how many, 100 to 100,000.
        shift: hours [h] by which single parts come later than that.
        costs: whether to work out what each part costs (one more run for each).

    Returns:
        The distribution.

    Raises:
        OutOfRange: for people or samples outside their range.
    """
    if not 1 <= people <= 50:
        raise OutOfRange(f"people: {people} is outside 1 to 50")
    if not 100 <= samples <= 100_000:
        raise OutOfRange(f"samples: {samples} is outside 100 to 100,000")
    import numpy as np  # noqa: PLC0415 - only who asks for a finish needs it

    order = in_turn(tasks, arrivals, people)
    drawn = _drawn(np.random.default_rng(seed), tasks, arrivals, samples)
    late = dict(shift or {})
    ends = _run(order, drawn, people, samples, late, {})
    mean = float(ends.mean())
    cost = {part: mean - float(_run(order, drawn, people, samples, late, {part: 0.0}).mean()) for part in arrivals} if costs else {}
    return Finish(np.sort(ends), cost)


def ranked(tasks: Sequence[Task]) -> list[Task]:
    """Tasks with the longest likely way to go first; tasks given in an order of their waits stay in such an order."""
    behind: dict[str, float] = {}
    way: dict[str, float] = {}
    for task in reversed(tasks):
        way[task.name] = task.hours[1] + task.outside[1] + behind.get(task.name, 0.0)
        for before in task.after:
            behind[before] = max(behind.get(before, 0.0), way[task.name])
    return sorted(tasks, key=lambda t: -way[t.name])


def in_turn(tasks: Sequence[Task], arrivals: Mapping[str, Range], people: int) -> list[Task]:
    """Tasks in the order in which so many people would begin them, if all went as is likely."""
    left = ranked(tasks)
    free, places, ends = [0.0] * people, dict[str, float](), dict[str, float]()
    inside = {t.name for t in tasks}
    found: list[Task] = []

    def start_of(task: Task) -> float:
        waits = [ends[b] for b in task.after if b in inside] + [arrivals[p][1] for p in task.parts if p in arrivals]
        return max(min(free), places.get(task.place, 0.0) if task.place else 0.0, *waits, 0.0)

    while left:
        ready = [t for t in left if all(b in ends or b not in inside for b in t.after)]
        task = min(ready, key=start_of)
        start = start_of(task)
        who = free.index(min(free))
        free[who] = start + task.hours[1]
        if task.place:
            places[task.place] = free[who]
        ends[task.name] = free[who] + task.outside[1]
        left.remove(task)
        found.append(task)
    return found


def _drawn(rng: "Generator", tasks: Sequence[Task], arrivals: Mapping[str, Range], samples: int) -> dict[str, "ndarray"]:
    found = {f"hours:{t.name}": _triangular(rng, t.hours, samples) for t in tasks}
    found |= {f"outside:{t.name}": _triangular(rng, t.outside, samples) for t in tasks if t.outside[2]}
    return found | {f"part:{part}": _triangular(rng, range_, samples) for part, range_ in arrivals.items()}


def _triangular(rng: "Generator", range_: Range, samples: int) -> "ndarray":
    low, likely, high = range_
    draws = rng.random(samples)  # drawn in any case, so that one range does not change the chance of the next
    if high <= low:
        return draws * 0.0 + low
    turn = (likely - low) / (high - low)
    up = low + (draws * (high - low) * (likely - low)) ** 0.5
    down = high - ((1.0 - draws) * (high - low) * (high - likely)) ** 0.5
    return up * (draws < turn) + down * (draws >= turn)


def _run(order: Sequence[Task], drawn: Mapping[str, "ndarray"], people: int, samples: int, late: Mapping[str, float],
         instead: Mapping[str, float]) -> "ndarray":
    """The end of the last task in every sample."""
    import numpy as np  # noqa: PLC0415 - see above

    free = np.zeros((samples, people))
    places: dict[str, ndarray] = {}
    ends: dict[str, ndarray] = {}
    rows = np.arange(samples)
    last = np.zeros(samples)
    for task in order:
        start = np.zeros(samples)
        for before in task.after:
            if before in ends:
                start = np.maximum(start, ends[before])
        for part in task.parts:
            if f"part:{part}" in drawn:
                start = np.maximum(start, instead[part] if part in instead else drawn[f"part:{part}"] + late.get(part, 0.0))
        if task.place in places:
            start = np.maximum(start, places[task.place])
        who = free.argmin(axis=1)
        start = np.maximum(start, free[rows, who])
        end = start + drawn[f"hours:{task.name}"]
        free[rows, who] = end
        if task.place:
            places[task.place] = end
        ends[task.name] = end + drawn[f"outside:{task.name}"] if f"outside:{task.name}" in drawn else end
        last = np.maximum(last, ends[task.name])
    return last
