"""Pure profiles of lobes: curves whose motion is known in closed form, and a lobe drawn from a maker's card.

They stand in for a lobe that was not read, and they are what the fit of readings is tried on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from importlib import import_module
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenths.calc._check import positive, within
from tenths.calc.valves.lobes import Lobe, lobe_of
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]
Rows = tuple[Floats, Floats, Floats, Floats]
PI, TAU = math.pi, math.tau
USUAL_POWER = 6.0  # of a card that tells one duration only: a lobe about as full as the usual ones


def _cycloidal(x: Floats) -> Rows:
    turn = TAU * x
    return x - np.sin(turn) / TAU, 1.0 - np.cos(turn), TAU * np.sin(turn), TAU**2 * np.cos(turn)


def _harmonic(x: Floats) -> Rows:
    half = PI * x
    return (1.0 - np.cos(half)) / 2.0, PI / 2.0 * np.sin(half), PI**2 / 2.0 * np.cos(half), -(PI**3) / 2.0 * np.sin(half)


def _polynomial(terms: dict[int, float]) -> Callable[[Floats], Rows]:
    whole = np.zeros(max(terms) + 1)
    for power, factor in terms.items():
        whole[power] = factor
    curve = np.polynomial.Polynomial(whole)
    parts = (curve, curve.deriv(1), curve.deriv(2), curve.deriv(3))

    def rows(x: Floats) -> Rows:
        one, two, three, four = (np.asarray(part(x), float) for part in parts)
        return one, two, three, four

    return rows


def _modified_sine(x: Floats) -> Rows:
    """Quarter of a quick sine, a slow half, a quarter of the quick one again: acceleration without a step."""
    top = 4.0 * PI**2 / (4.0 + PI)  # greatest acceleration: 5.528
    share = PI / (4.0 + PI)
    first, last = x < 0.125, x > 0.875
    quick, slow = 4.0 * PI * x, (4.0 * PI * x - PI / 2.0) / 3.0 + PI / 2.0
    lift = np.where(first | last, share * x - np.sin(quick) / (4.0 * (4.0 + PI)), share * x - 9.0 / 4.0 / (4.0 + PI) * np.sin(slow))
    lift = lift + np.where(first, 0.0, np.where(last, 1.0 - share, 2.0 / (4.0 + PI)))
    velocity = share * np.where(first | last, 1.0 - np.cos(quick), 1.0 - 3.0 * np.cos(slow))
    acceleration = top * np.where(first | last, np.sin(quick), np.sin(slow))
    jerk = top * 4.0 * PI * np.where(first | last, np.cos(quick), np.cos(slow) / 3.0)
    return lift, velocity, acceleration, jerk


RISES: dict[str, Callable[[Floats], Rows]] = {
    "cycloidal": _cycloidal,
    "harmonic": _harmonic,
    "modified-sine": _modified_sine,
    "3-4-5": _polynomial({3: 10.0, 4: -15.0, 5: 6.0}),
    "4-5-6-7": _polynomial({4: 35.0, 5: -84.0, 6: 70.0, 7: -20.0}),
}


def rise(kind: str, share: ArrayLike) -> tuple[Floats, Floats, Floats, Floats]:
    """A rise of 1 over an angle of 1, with its derivatives.

    Args:
        kind: cycloidal, harmonic, modified-sine, 3-4-5 or 4-5-6-7.
        share: of the angle that has been turned, 0 to 1 [-].

    Returns:
        Lift, velocity, acceleration and jerk as shares of the rise h over the angle b: times h, h/b, h/b^2, h/b^3 [-].

    Raises:
        BadInput: for a kind that is not known.
        OutOfRange: for a share outside of 0 to 1.

    Validity: exact.
    Source: [Norton], chapters 3 and 4.
    """
    if kind not in RISES:
        raise BadInput(f"kind: {kind!r} is not known; there are {', '.join(RISES)}")
    x = np.asarray(share, float)
    within(0.0, 1.0, least_share=float(np.min(x)), greatest_share=float(np.max(x)))
    return RISES[kind](x)


def profile_lobe(
    kind: str, *, lift: float, opening: float, closing: float, dwell: float = 0.0, base_radius: float = 0.0, points: int = 721
) -> Lobe:
    """A lobe that rises and falls along a pure profile.

    Args:
        kind: cycloidal, harmonic, modified-sine, 3-4-5 or 4-5-6-7.
        lift: greatest, at the follower [m].
        opening: angle of the crank from the base circle to full lift [rad].
        closing: from full lift to the base circle [rad].
        dwell: at full lift [rad].
        base_radius: of the base circle [m]; 0 where it is not known.
        points: of the table of each flank.

    Returns:
        The lobe about the middle of its dwell, without error [m].

    Raises:
        BadInput: for a kind that is not known.
        OutOfRange: for a lift or flank that is not above 0, or less than three points.

    Validity: exact at the points; between them to the fifth power of their distance.
    Source: [Norton], chapters 3 and 4.
    """
    positive(lift=lift, opening=opening, closing=closing)
    within(3, 100_001, points=points)
    share = np.linspace(0.0, 1.0, points)
    up, down = rise(kind, share), rise(kind, share[::-1])
    signs = (1.0, -1.0, 1.0, -1.0)
    rows = [np.concatenate([lift * a / opening**n, lift * sign * b / closing**n])
            for n, (a, b, sign) in enumerate(zip(up, down, signs, strict=True))]
    angles = np.concatenate([-dwell / 2.0 - opening * (1.0 - share), dwell / 2.0 + closing * share])
    if dwell == 0.0:
        angles, rows = np.delete(angles, points), [np.delete(row, points) for row in rows]
    return lobe_of(angles, *rows, words=f"{kind} profile", base_radius=base_radius)


def card_lobe(
    *, lift: float, lifts: Sequence[float], durations: Sequence[float], base_radius: float = 0.0, points: int = 361
) -> Lobe:
    """A lobe drawn from a maker's card: greatest lift, and durations at stated lifts.

    Args:
        lift: greatest, at the follower [m].
        lifts: at which a duration is stated [m], rising.
        durations: of the crank at these lifts [rad], falling.
        base_radius: of the base circle [m]; 0 where it is not known.
        points: of the table of each flank.

    Returns:
        A lobe that opens and closes alike, about its centre, marked as from a card [m].

    Raises:
        BadInput: without a duration, with lists of unlike length, or lifts that do not rise while durations fall.
        OutOfRange: for a lift that is not above those stated, or durations that no such curve passes within a degree.

    Validity: an assumption between the stated lifts. One duration sets the width; two set the fullness as well; more are met
        as well as one curve can. The true flanks need not be alike.
    Source: power polynomial with four terms that leaves the base circle without a step of jerk, [Norton] chapter 8.
    """
    _card_rises(lift, lifts, durations)
    wanted = np.asarray(durations, float) / 2.0
    shares = np.asarray(lifts, float) / lift
    start = [float(wanted[0]) * 1.15, USUAL_POWER]

    def off(guess: Floats) -> Floats:
        half, power = float(guess[0]), float(guess[1])
        away = half * _where(shares, power) - wanted
        return np.append(away, 0.0 if len(wanted) > 1 else (power - USUAL_POWER) / 1e3)

    optimize: Any = import_module("scipy.optimize")  # only a card needs it
    found = optimize.least_squares(off, start, bounds=([float(wanted[0]), 4.05], [4.0 * PI, 60.0]), x_scale=[0.1, 2.0])
    worst = math.degrees(2.0 * float(np.max(np.abs(found.fun[: len(wanted)]))))
    if worst > 1.0:
        raise OutOfRange(f"durations: no single curve comes nearer than {worst:.1f} degrees to them; check lifts and durations")
    half, power = float(found.x[0]), float(found.x[1])
    u = np.linspace(-1.0, 1.0, 2 * points - 1)
    rows = _power(np.abs(u), power)
    signed = [lift * row / half**n * (np.sign(u) if n % 2 else 1.0) for n, row in enumerate(rows)]
    stated = ", ".join(f"{math.degrees(d):g} deg at {h * 1e3:.3g} mm" for h, d in zip(lifts, durations, strict=True))
    return replace(lobe_of(u * half, *signed, base_radius=base_radius, words=f"maker's card: {stated}"), origin="card")


def _card_rises(lift: float, lifts: Sequence[float], durations: Sequence[float]) -> None:
    positive(lift=lift)
    if not lifts or len(lifts) != len(durations):
        raise BadInput(f"lifts has {len(lifts)}, durations {len(durations)}: as many, and one or more, are needed")
    for height, duration in zip(lifts, durations, strict=True):
        positive(stated_lift=height, duration=duration)
    within(0.0, 4.0 * PI, longest_duration=max(durations))
    if any(b <= a for a, b in pairwise(lifts)) or any(b >= a for a, b in pairwise(durations)):
        raise BadInput("lifts and durations: each lift above the one before and its duration below are needed")
    if lifts[-1] >= lift:
        raise OutOfRange(f"lift is {lift:g} m: more than the lifts with a duration, {lifts[-1]:g} m, is needed")


def _power(u: Floats, power: float) -> Rows:
    """1 at u 0 falling to 0 at u 1, where velocity, acceleration and jerk are 0 too: 1 + sum of factor u^exponent."""
    exponents = np.array([2.0, power, power + 2.0, power + 4.0])
    falling = np.stack([np.prod(exponents[:, None] - np.arange(n)[None, :], axis=1) for n in range(4)])
    factors = np.linalg.solve(falling, np.array([-1.0, 0.0, 0.0, 0.0]))
    rows: list[Floats] = []
    for n in range(4):
        lifted = np.maximum(exponents - n, 0.0)
        rows.append((factors * falling[n]) @ u[None, :] ** lifted[:, None])
    return rows[0] + 1.0, rows[1], rows[2], rows[3]


def _where(shares: Floats, power: float) -> Floats:
    """At what u the curve of that power stands at shares of its lift."""
    u = np.linspace(0.0, 1.0, 801)
    return np.interp(-shares, -_power(u, power)[0], u)
