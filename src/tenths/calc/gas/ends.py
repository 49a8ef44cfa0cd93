"""How much longer than itself a pipe is to its waves where it ends in the open."""

from __future__ import annotations

from tenths.calc._check import positive

UNFLANGED, FLANGED = 0.6133, 0.8217


def end_correction(*, diameter: float, flanged: bool = False) -> float:
    """Length that the gas just outside of an open end adds to the pipe.

    Args:
        diameter: of the pipe there [m].
        flanged: whether the end stands in a wall, as a runner in its plenum's floor.

    Returns:
        The length [m].

    Raises:
        OutOfRange: for a diameter that is not above 0.

    Validity: waves much longer than the pipe is wide; no flow; ends cut square. A bell mouth adds less, from about its own middle.
    Source: [LevineSchwinger] unflanged, 0.6133 of the radius; [NorrisSheng] flanged, 0.8217 of the radius.
    """
    positive(diameter=diameter)
    return (FLANGED if flanged else UNFLANGED) * diameter / 2.0
