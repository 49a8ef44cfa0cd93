"""Scenarios of parts that have not arrived: what one machine makes in one go errs together."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tenths.choose.crush import prior_from_history
from tenths.choose.shells import Side
from tenths.errors import BadInput

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Variation:
    """How sizes that one machine makes in one go scatter.

    Attributes:
        common: standard deviation of what all of a batch share [m].
        each: standard deviation of each by itself [m].
        shift: how far the batches lie off the nominal size on average [m].
    """

    common: float
    each: float
    shift: float = 0.0


@dataclass(frozen=True, slots=True)
class Planned:
    """A place whose parts have not arrived.

    Attributes:
        station: address.
        room: nominal housing bore less journal less two standard walls plus crush [m]: clearance with standard shells.
        lower: smallest clearance allowed [m].
        upper: largest clearance allowed [m].
        batches: what its size rests on and how each moves the room: +1 for a hone, -1 for a grind.
        loaded: side that carries the load.
    """

    station: str
    room: float
    lower: float
    upper: float
    batches: Mapping[str, float]
    loaded: Side = "lower"


def draw_rooms(places: Sequence[Planned], variations: Mapping[str, Variation], count: int, rng: np.random.Generator) -> Floats:
    """Scenarios of the clearance that standard shells would give.

    Args:
        places: not yet measured.
        variations: of each batch that they name.
        count: how many scenarios.
        rng: source of chance.

    Returns:
        A row for each scenario, a column for each place [m].
    """
    rooms = np.tile([place.room for place in places], (count, 1))
    for name, variation in variations.items():
        factor = np.array([place.batches.get(name, 0.0) for place in places])
        common = rng.normal(variation.shift, variation.common, (count, 1))
        rooms += factor * (common + rng.normal(0.0, variation.each, rooms.shape))
    return rooms


def from_tolerance(*, half_width: float, common_share: float) -> Variation:
    """Scatter from a maker's tolerance, when there is no history.

    Args:
        half_width: the tolerance is plus and minus this [m]; sizes are taken to fill it evenly.
        common_share: share of the variance that all of a batch have in common [-], 0 to 1.

    Returns:
        The scatter.

    Raises:
        BadInput: if the width is negative or the share not between 0 and 1.

    Source: [JCGM100] clause 4.3.7 for the even distribution; the share is a judgement.
    """
    if not (half_width >= 0 and 0 <= common_share <= 1):
        raise BadInput(f"half_width {half_width} and common_share {common_share}: 0 or more, and 0 to 1")
    variance = half_width**2 / 3
    return Variation(math.sqrt(variance * common_share), math.sqrt(variance * (1 - common_share)))


def from_history(batches: Sequence[Sequence[float]], *, nominal: float) -> Variation:
    """Scatter from what the shop has measured of earlier batches by the same machine.

    Args:
        batches: sizes [m] of each earlier batch.
        nominal: size that was asked for [m].

    Returns:
        The scatter, common and each, and the average shift.

    Raises:
        BadInput: if there are fewer than two batches or none has two sizes.
    """
    prior = prior_from_history([[size - nominal for size in batch] for batch in batches])
    return Variation(prior.u, prior.between, prior.mean)
