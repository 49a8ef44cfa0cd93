"""How loads along the crank come down on its main bearings: two ways that bracket the truth."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive
from tenths.errors import BadInput


def static_shares(*, mains: Sequence[float], loads: Sequence[float]) -> NDArray[np.float64]:
    """Shares of the mains as if the crank were hinged at every main: each throw rests on its two neighbours.

    Args:
        mains: positions along the crank, rising [m].
        loads: positions along the crank [m].

    Returns:
        Shares [-]: main x load; each column adds up to 1. A load that overhangs takes the nearest span.

    Raises:
        BadInput: if there are fewer than two mains or they do not rise.

    Validity: lower bound of what a stiff crank shares out.
    Source: law of the lever.
    """
    at = _rising(mains)
    shares = np.zeros((len(at), len(loads)))
    for column, load in enumerate(loads):
        span = min(max(int(np.searchsorted(at, load)) - 1, 0), len(at) - 2)
        share = (load - at[span]) / (at[span + 1] - at[span])
        shares[span, column], shares[span + 1, column] = 1.0 - share, share
    return shares


def elastic_shares(
    *, mains: Sequence[float], loads: Sequence[float], bending_stiffness: float, saddle_stiffness: Sequence[float]
) -> NDArray[np.float64]:
    """Shares of the mains as if the crank were one even beam on elastic saddles.

    Args:
        mains: positions along the crank, rising [m].
        loads: positions along the crank [m].
        bending_stiffness: E I of the crank as a beam, the same in every plane [N m2].
        saddle_stiffness: of each main's saddle with its film [N/m].

    Returns:
        Shares [-]: main x load; each column adds up to 1, and its moments balance. Negative: the main is lifted.

    Raises:
        BadInput: if there are fewer than two mains, they do not rise, there is not one stiffness for each, or no load.
        OutOfRange: if a stiffness is not above 0.

    Validity: slender beam; clearances and the crank's uneven bending left out, so lifted mains are overstated.
    Source: Euler's beam by exact cubic elements as in [Shigley], chapter on deflection.
    """
    at = _rising(mains)
    positive(bending_stiffness=bending_stiffness)
    if not loads:
        raise BadInput("loads holds no position: at least one is needed")
    if len(saddle_stiffness) != len(at):
        raise BadInput(f"saddle_stiffness is {len(saddle_stiffness)}: one for each of {len(at)} mains is needed")
    for stiffness in saddle_stiffness:
        positive(saddle_stiffness=stiffness)
    matrix = _beam(at, bending_stiffness)
    deflections = slice(0, None, 2)
    matrix[deflections, deflections] += np.diag(saddle_stiffness)
    pushes = np.column_stack([_push(at, float(load)) for load in loads])
    sunk = np.linalg.solve(matrix, pushes)[deflections]
    return np.asarray(saddle_stiffness, dtype=np.float64)[:, None] * sunk.astype(np.float64, copy=False)


def _rising(mains: Sequence[float]) -> NDArray[np.float64]:
    at = np.asarray(mains, dtype=float)
    if len(at) < 2 or not bool(np.all(np.diff(at) > 0.0)):
        raise BadInput(f"mains are at {list(mains)}: two or more positions that rise are needed")
    return at


def _push(at: NDArray[np.float64], load: float) -> NDArray[np.float64]:
    """A unit load brought to the mains beside it, as forces and moments that bend the beam alike there."""
    push = np.zeros(2 * len(at))
    if not at[0] <= load <= at[-1]:
        end = 0 if load < at[0] else len(at) - 1
        push[2 * end : 2 * end + 2] = 1.0, load - at[end]
        return push
    span = min(max(int(np.searchsorted(at, load)) - 1, 0), len(at) - 2)
    h = at[span + 1] - at[span]
    x = (load - at[span]) / h
    push[2 * span : 2 * span + 4] = (
        1 - 3 * x**2 + 2 * x**3,
        h * (x - 2 * x**2 + x**3),
        3 * x**2 - 2 * x**3,
        h * (x**3 - x**2),
    )
    return push


def _beam(nodes: NDArray[np.float64], bending_stiffness: float) -> NDArray[np.float64]:
    """Stiffness of a free beam: deflection and slope at each node."""
    matrix = np.zeros((2 * len(nodes), 2 * len(nodes)))
    for number, h in enumerate(np.diff(nodes)):
        element = np.array(
            [
                [12.0, 6 * h, -12.0, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12.0, -6 * h, 12.0, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
        part = slice(2 * number, 2 * number + 4)
        matrix[part, part] += bending_stiffness / h**3 * element
    return matrix
