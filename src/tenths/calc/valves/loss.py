"""The speed at which a valve train parts from its lobe, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import not_negative, positive, within
from tenths.calc.valves import dynamics
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.train import Train
from tenths.errors import OutOfRange

SHARP, SHARP_DOUBT = 1e-3, 4e-3  # of the speed
_AT_ONCE = 4
_FARTHEST = 0.4  # of the speed, how far a cause is followed


@dataclass(frozen=True, slots=True)
class Loss:
    """Speed of the crank at which the train first parts.

    Attributes:
        speed: [rad/s]; infinite where it holds up to the highest speed tried.
        tried: the highest speed tried [rad/s].
        at: angle of the crank from the lobe's centre at which it parts [rad].
    """

    speed: float
    tried: float
    at: float

    @property
    def found(self) -> bool:
        """Whether it parts at all."""
        return math.isfinite(self.speed)


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that is not known well, and the train with it a standard uncertainty lower and higher.

    Attributes:
        words: what it is.
        less: train and lobe with it lowered.
        more: train and lobe with it raised.
    """

    words: str
    less: tuple[Train, Lobe]
    more: tuple[Train, Lobe]


@dataclass(frozen=True, slots=True)
class Share:
    """What one cause does to the speed at which the train parts.

    Attributes:
        words: the cause.
        less: the speed with the cause lowered by its standard uncertainty [rad/s].
        more: with it raised [rad/s].
        part: standard uncertainty of the speed from this cause [rad/s].
    """

    words: str
    less: float
    more: float
    part: float


@dataclass(frozen=True, slots=True)
class Doubted:
    """The speed at which a train parts, with its uncertainty.

    Attributes:
        loss: the speed itself.
        standard_uncertainty: of it [rad/s]; 0 where the train holds.
        shares: of it by cause, the largest first.
    """

    loss: Loss
    standard_uncertainty: float
    shares: tuple[Share, ...]


def _clear(run: dynamics.Run, gap: float) -> float:
    """Above 0 where the train holds, or parts by less than a gap."""
    return gap - run.parted if gap > 0.0 else run.least_force


def loss_speeds(
    of: Train, lobe: Lobe, *, lowest: float, highest: float, points: int = 24, gaps: Sequence[float] = (0.0,)
) -> tuple[Loss, ...]:
    """Lowest speeds at which the train parts by more than some gaps, all from the same runs.

    Args:
        of: the train.
        lobe: motion of its follower over the crank.
        lowest: speed of the crank to begin at [rad/s].
        highest: speed to end at [rad/s].
        points: even speeds tried, before the first that parts is narrowed down to a thousandth.
        gaps: by more than which it must part, at the valve [m]; 0 where the force in a joint falling to nothing counts.

    Returns:
        For each gap the speed [rad/s] and where it parts [rad].

    Raises:
        OutOfRange: for speeds that are not above 0 or do not rise, or fewer than two points.
        Unsettled: as dynamics.run.

    Validity: as dynamics.run; a parting in a band of speeds narrower than the points are apart is passed over.
    Source: as dynamics.run, [Norton].
    """
    positive(lowest=lowest)
    for gap in gaps:
        not_negative(gap=gap)
    within(2, 1000, points=points)
    if not lowest < highest < math.inf:
        raise OutOfRange(f"highest is {highest:g} rad/s: a finite speed above the lowest, {lowest:g}, is needed")
    speeds: list[float] = np.linspace(lowest, highest, points).tolist()
    found: dict[float, Loss] = {}
    before: dynamics.Run | None = None
    for start in range(0, points, _AT_ONCE):
        if len(found) == len(set(gaps)):
            break
        for run in dynamics.runs(of, lobe, speeds[start : start + _AT_ONCE]):
            for gap in gaps:
                if gap not in found and _clear(run, gap) <= 0.0:
                    found[gap] = Loss(run.speed, highest, run.least_at) if before is None else _narrowed(
                        of, lobe, before, run, gap, highest)
            before = run
    return tuple(found.get(gap, Loss(math.inf, highest, 0.0)) for gap in gaps)


def loss_speed(of: Train, lobe: Lobe, *, lowest: float, highest: float, points: int = 24, gap: float = 0.0) -> Loss:
    """Lowest speed at which the train parts.

    Args:
        of: the train.
        lobe: motion of its follower over the crank.
        lowest: speed of the crank to begin at [rad/s].
        highest: speed to end at [rad/s].
        points: as in loss_speeds.
        gap: by more than which it must part, at the valve [m].

    Returns:
        The speed [rad/s] and where it parts [rad].

    Raises:
        OutOfRange: as loss_speeds.
        Unsettled: as loss_speeds.

    Validity: as loss_speeds.
    Source: as dynamics.run, [Norton].
    """
    return loss_speeds(of, lobe, lowest=lowest, highest=highest, points=points, gaps=(gap,))[0]


def _narrowed(
    of: Train, lobe: Lobe, holds: dynamics.Run, parts: dynamics.Run, gap: float, tried: float, *, sharp: float = SHARP
) -> Loss:
    """Between a speed that holds and one that parts: the straight line between both, or the middle where it creeps."""
    for count in range(40):
        width = parts.speed - holds.speed
        if abs(width) < sharp * parts.speed:
            break
        above, below = _clear(holds, gap), _clear(parts, gap)
        share = min(max(above / (above - below), 0.05), 0.95) if count % 2 == 0 else 0.5
        run = dynamics.run(of, lobe, speed=holds.speed + share * width)
        if _clear(run, gap) > 0.0:
            holds = run
        else:
            parts = run
    return Loss((holds.speed + parts.speed) / 2.0, tried, parts.least_at)


def _near(of: Train, lobe: Lobe, speed: float, gap: float) -> float:
    """The speed at which a slightly other train parts, sought from that of the first."""
    first = dynamics.run(of, lobe, speed=speed)
    sign = 1.0 if _clear(first, gap) > 0.0 else -1.0
    last, step = first, 0.02
    while True:
        run = dynamics.run(of, lobe, speed=speed * (1.0 + sign * step))
        if (_clear(run, gap) > 0.0) != (sign > 0.0):
            break
        if step >= _FARTHEST:
            return run.speed
        last, step = run, min(step + 0.03, _FARTHEST)
    holds, parts = (last, run) if sign > 0.0 else (run, last)
    return _narrowed(of, lobe, holds, parts, gap, speed, sharp=SHARP_DOUBT).speed


def doubted(causes: Sequence[Cause], *, loss: Loss, gap: float = 0.0, threads: int = 2) -> Doubted:
    """How sure the speed is at which a train parts.

    Args:
        causes: of doubt, each with the train that it would be.
        loss: the speed, from `loss_speed`.
        gap: as given to `loss_speed` [m].
        threads: that share the work.

    Returns:
        The speed's standard uncertainty and its parts [rad/s]; none where the train holds.

    Raises:
        OutOfRange: for fewer than one thread or more than 64.
        Unsettled: as dynamics.run.

    Validity: causes independent of each other; each is followed as far as the speed changes by two fifths.
    Source: [JCGM100] 5.1.3, each part half the difference between both ends.
    """
    within(1, 64, threads=threads)
    if not loss.found:
        return Doubted(loss, 0.0, ())
    ends: list[tuple[Train, Lobe]] = [end for cause in causes for end in (cause.less, cause.more)]

    def sought(end: tuple[Train, Lobe]) -> float:
        return _near(end[0], end[1], loss.speed, gap)

    with ThreadPoolExecutor(threads) as pool:
        speeds = list(pool.map(sought, ends))
    shares = [Share(cause.words, speeds[2 * k], speeds[2 * k + 1], abs(speeds[2 * k + 1] - speeds[2 * k]) / 2.0)
              for k, cause in enumerate(causes)]
    whole = math.sqrt(sum(share.part**2 for share in shares))
    return Doubted(loss, whole, tuple(sorted(shares, key=lambda share: -share.part)))
