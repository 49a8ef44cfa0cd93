"""Arithmetic of valve timing: events, durations, centres, separation, overlap, advance; lobes along a shaft.

Signs as the trade says them: intake opens before top dead centre and closes after bottom, exhaust opens before bottom and
closes after top, all positive that way; the intake's centre is counted after, the exhaust's before top dead centre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import finite, not_negative, positive
from tenths.calc.valves.lobes import Lobe
from tenths.errors import BadInput, OutOfRange

HALF_TURN = math.pi


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Timing of the two lobes of a cylinder at one lift.

    Attributes:
        intake_opens: before top dead centre [rad].
        intake_closes: after bottom dead centre [rad].
        exhaust_opens: before bottom dead centre [rad].
        exhaust_closes: after top dead centre [rad].
        intake_duration: [rad].
        exhaust_duration: [rad].
        intake_centre: after top dead centre [rad].
        exhaust_centre: before top dead centre [rad].
        separation: mean of the two centres [rad].
        overlap: both open [rad]; negative where there is none.
        advance: separation less intake centre [rad].
    """

    intake_opens: float
    intake_closes: float
    exhaust_opens: float
    exhaust_closes: float
    intake_duration: float
    exhaust_duration: float
    intake_centre: float
    exhaust_centre: float
    separation: float
    overlap: float
    advance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How like lobes lie along a shaft.

    Attributes:
        mean: of their deviations [rad].
        spread: greatest less least deviation [rad].
        by_error: what the errors of the readings alone would make, on average [rad].
        twist: change of the deviation from one place to the next [rad].
        twist_error: standard error of the twist [rad].
        worst: place of the one farthest from the mean.
    """

    mean: float
    spread: float
    by_error: float
    twist: float
    twist_error: float
    worst: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A position of the timing set and where it brings the centre.

    Attributes:
        advance: of the position against the present one [rad].
        fresh: centre at first [rad].
        worn: centre when the chain has worn in [rad].
        off: the larger distance of the two from the target [rad].
    """

    advance: float
    fresh: float
    worn: float
    off: float


def events_timing(*, intake_opens: float, intake_closes: float, exhaust_opens: float, exhaust_closes: float) -> Timing:
    """Durations, centres, separation, overlap and advance from the four events.

    Args:
        intake_opens: before top dead centre [rad].
        intake_closes: after bottom dead centre [rad].
        exhaust_opens: before bottom dead centre [rad].
        exhaust_closes: after top dead centre [rad].

    Returns:
        All of them [rad].

    Raises:
        OutOfRange: for an event that is not finite, or a valve that would close before it opens.

    Validity: centres as the middle of the events: those of the nose only where both flanks are alike.
    Source: arithmetic of the trade; common practice, no source.
    """
    finite(intake_opens=intake_opens, intake_closes=intake_closes, exhaust_opens=exhaust_opens, exhaust_closes=exhaust_closes)
    intake, exhaust = intake_opens + HALF_TURN + intake_closes, exhaust_opens + HALF_TURN + exhaust_closes
    positive(intake_duration=intake, exhaust_duration=exhaust)
    early, late = intake / 2.0 - intake_opens, exhaust / 2.0 - exhaust_closes
    return Timing(
        intake_opens=intake_opens, intake_closes=intake_closes, exhaust_opens=exhaust_opens, exhaust_closes=exhaust_closes,
        intake_duration=intake, exhaust_duration=exhaust, intake_centre=early, exhaust_centre=late, separation=(early + late) / 2.0,
        overlap=intake_opens + exhaust_closes, advance=(late - early) / 2.0,
    )


def lobes_timing(intake: Lobe, exhaust: Lobe, *, lift: float) -> Timing:
    """The timing of two lobes that are placed about the top dead centre of the overlap, at one lift of the follower.

    Args:
        intake: placed, its centre after top dead centre.
        exhaust: placed, its centre before (a negative angle).
        lift: of the follower at which events are told [m].

    Returns:
        Events at that lift, and what follows from them [rad].

    Raises:
        OutOfRange: for a lift outside of either lobe.

    Validity: both lobes placed on the same cylinder.
    Source: definition.
    """
    opens, closes = intake.flank_angles(lift)
    out, shut = exhaust.flank_angles(lift)
    return events_timing(intake_opens=-opens, intake_closes=closes - HALF_TURN, exhaust_opens=-out - HALF_TURN, exhaust_closes=shut)


def centred_timing(
    *, intake_duration: float, exhaust_duration: float, separation: float, advance: float = 0.0
) -> Timing:
    """The four events from a maker's card: durations, separation and advance.

    Args:
        intake_duration: [rad].
        exhaust_duration: [rad].
        separation: angle between the lobes, half of that of the crank between their centres [rad].
        advance: by which the intake's centre comes before the separation [rad].

    Returns:
        Events, centres and overlap [rad].

    Raises:
        OutOfRange: for a duration or separation that is not above 0.

    Validity: like flanks.
    Source: arithmetic of the trade; common practice, no source.
    """
    positive(intake_duration=intake_duration, exhaust_duration=exhaust_duration, separation=separation)
    intake, exhaust = separation - advance, separation + advance
    return events_timing(
        intake_opens=intake_duration / 2.0 - intake, intake_closes=intake_duration / 2.0 + intake - HALF_TURN,
        exhaust_opens=exhaust_duration / 2.0 + exhaust - HALF_TURN, exhaust_closes=exhaust_duration / 2.0 - exhaust,
    )


def shaft_spread(places: Sequence[float], deviations: Sequence[float], errors: Sequence[float]) -> Spread:
    """Lobes of one kind along a shaft: mean, spread and twist of their centres.

    Args:
        places: along the shaft, in pitches [-].
        deviations: of each centre from where it should stand [rad].
        errors: standard error of each, without what all share [rad].

    Returns:
        Spread beside what the errors would make of a true shaft, and the twist by a weighted straight line [rad].

    Raises:
        BadInput: for lists of unlike length, or fewer than two.
        OutOfRange: for an error that is not above 0.

    Validity: errors independent of each other.
    Source: weighted least squares, [JCGM100] 5.1.2 and H.3.
    """
    if not 2 <= len(places) == len(deviations) == len(errors):
        raise BadInput(f"places {len(places)}, deviations {len(deviations)}, errors {len(errors)}: as many, two or more, are needed")
    for error in errors:
        positive(error=error)
    x, y, w = np.asarray(places, float), np.asarray(deviations, float), 1.0 / np.asarray(errors, float) ** 2
    mean, middle = float(np.sum(w * y) / np.sum(w)), float(np.sum(w * x) / np.sum(w))
    bend = float(np.sum(w * (x - middle) ** 2))
    if bend == 0.0:
        raise BadInput("places: all are the same; a twist needs two different ones")
    by_error = math.sqrt(float(np.mean(np.asarray(errors, float) ** 2))) * mean_range(len(places))
    return Spread(mean=mean, spread=float(np.max(y) - np.min(y)), by_error=by_error, twist=float(np.sum(w * (x - middle) * y)) / bend,
                  twist_error=1.0 / math.sqrt(bend), worst=int(np.argmax(np.abs(y - mean))))


def best_position(
    *, centre: float, target: float, advances: Sequence[float], wear: float = 0.0, exhaust: bool = False
) -> tuple[Position, ...]:
    """Positions of a timing set by how near they bring a centre to its target, the nearest first.

    Args:
        centre: as it stands in the present position: after top dead centre, for an exhaust before it [rad].
        target: wanted [rad].
        advances: of the positions against the present one, of the crank [rad]; the present one is 0.
        wear: by which the shaft will be late when the chain has worn in [rad].
        exhaust: the centre is that of an exhaust lobe.

    Returns:
        Every position with the centre fresh and worn in; sorted by the larger distance of the two from the target [rad].

    Raises:
        BadInput: without a position.
        OutOfRange: for a wear below 0.

    Validity: chain or belt that only grows longer on its slack side; advance brings an intake's centre nearer to top dead centre
        and an exhaust's farther from it.
    Source: arithmetic of the trade; common practice, no source.
    """
    not_negative(wear=wear)
    finite(centre=centre, target=target)
    if not advances:
        raise BadInput("advances: none given; one position or more is needed")
    sign = -1.0 if exhaust else 1.0
    found: list[Position] = []
    for advance in advances:
        finite(advance=advance)
        fresh = centre - sign * advance
        worn = fresh + sign * wear
        found.append(Position(advance=advance, fresh=fresh, worn=worn, off=max(abs(fresh - target), abs(worn - target))))
    return tuple(sorted(found, key=lambda p: (round(p.off, 12), abs(p.advance))))


def more_pairs(*, standard_error: float, pairs: int, shared: float, wanted: float) -> int:
    """How many more pairs of readings bring an error down to what is wanted.

    Args:
        standard_error: of the mean of the pairs taken so far, without what they share [rad].
        pairs: taken so far.
        shared: standard error that no number of pairs lessens, such as that of top dead centre [rad].
        wanted: standard error of all together [rad].

    Returns:
        Pairs still to take; 0 when there are enough.

    Raises:
        OutOfRange: when what they share alone is more than what is wanted.

    Validity: further pairs as good as those taken.
    Source: [JCGM100] 4.2.3: the error of a mean falls with the root of the number.
    """
    positive(wanted=wanted, pairs=pairs)
    not_negative(standard_error=standard_error, shared=shared)
    left = wanted**2 - shared**2
    if left <= 0.0:
        raise OutOfRange(f"shared is {shared:g} rad: less than the {wanted:g} rad wanted is needed; no number of pairs is enough")
    return max(0, math.ceil(pairs * standard_error**2 / left - 1e-9) - pairs)


def mean_range(count: int) -> float:
    """Mean range of so many normal values.

    Args:
        count: of values.

    Returns:
        In standard deviations [-].

    Validity: two or more; 0 for one.
    Source: [ISO7870-2], factor d2, by sums over the distribution.
    """
    places = np.linspace(-8.0, 8.0, 1601)
    below = np.array([0.5 * (1.0 + math.erf(x / math.sqrt(2.0))) for x in places])
    return float(np.sum(1.0 - below**count - (1.0 - below) ** count) * 0.01)
