"""A lobe from dial readings: the smoothest curve that the stated noise of the readings allows, with its standard errors.

The curve is a spline of fifth degree on even knots; how far it may bend is chosen so that the readings are as likely as can
be with the noise as stated. What is not certain about it follows as for any linear model, so that any value read off it
(a lift, a centre, an area) carries an error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenths.calc._check import not_negative, positive
from tenths.calc.valves.lobes import Lobe, Motion
from tenths.errors import BadInput, OutOfRange

Floats = NDArray[np.float64]
DEGREE, BENT = 5, 3  # of the pieces; the derivative whose square is held small
KNOTS = math.radians(5.5)  # a usual lobe's jerk changes no faster than a few of these
TABLE = math.radians(1.0)
FEWEST = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A spline on even knots with how sure its parts are.

    Attributes:
        start: angle of the first knot inside [rad].
        step: between knots [rad].
        parts: heights of its pieces [m].
        spread: their covariances [m2].
        stiffness: how strongly bending is held down [1/m2].
    """

    start: float
    step: float
    parts: Floats
    spread: Floats
    stiffness: float

    def rows(self, angles: ArrayLike, derivative: int = 0) -> Floats:
        """Weights of the parts in the value or a derivative at angles [1/rad^n]."""
        return _rows((np.asarray(angles, float) - self.start) / self.step, len(self.parts), derivative) / self.step**derivative

    def value(self, weights: Floats) -> Floats:
        """A linear value of the parts [m]."""
        return weights @ self.parts

    def error(self, weights: Floats) -> Floats:
        """Standard error of such a value [m]."""
        return np.sqrt(np.maximum(np.sum((weights @ self.spread) * weights, axis=-1), 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A lobe fitted to readings.

    Attributes:
        lobe: the motion of the follower with standard errors [m and its derivatives by rad].
        curve: behind it [m].
        angles: of the readings, rising [rad].
        lifts: at the follower, as read [m].
        noise: standard error of each reading, its part from the wheel included [m].
        residuals: readings less curve [m].
        scatter: of the readings about the curve, over the stated noise [-].
        scatter_error: what the scatter would vary by if the noise is as stated [-].
        angle_error: standard error of one reading of the wheel [rad].
    """

    lobe: Lobe
    curve: Curve
    angles: Floats
    lifts: Floats
    noise: Floats
    residuals: Floats
    scatter: float
    scatter_error: float
    angle_error: float


def fit_lobe(
    angles: ArrayLike,
    lifts: ArrayLike,
    *,
    lift_error: float,
    angle_error: float = 0.0,
    ratio: float = 1.0,
    base_radius: float = 0.0,
    words: str = "",
) -> Fit:
    """A lobe from readings of a dial at angles of the crank, opening and closing, in any order and at any spacing.

    Args:
        angles: of the crank at the readings [rad].
        lifts: as the dial says [m].
        lift_error: standard error of one reading of the dial [m].
        angle_error: standard error of one reading of the wheel [rad].
        ratio: of the rocker where the dial stood at valve or retainer; 1 at the follower [-].
        base_radius: of the base circle [m]; 0 where it is not known.
        words: what it came from.

    Returns:
        The lobe with standard errors, and how the scatter of the readings compares with the noise stated [m].

    Raises:
        BadInput: for lists of unlike length or fewer than eight different angles.
        OutOfRange: for a value that is not finite, or a noise or ratio that is not above 0.

    Validity: noise without bias, independent from reading to reading. The bands hold over the lobe as a whole; where the jerk
        steps, as at the ends of some profiles, acceleration and jerk are rounded off within about six degrees.
    Source: smoothing spline as a Bayesian estimate, [Wahba]; stiffness by the likelihood of the readings.
    """
    positive(lift_error=lift_error, ratio=ratio)
    not_negative(angle_error=angle_error)
    x, y = _sorted(angles, lifts)
    y, own = y / ratio, lift_error / ratio
    slope = float(np.max(y) - np.min(y)) / max(float(x[-1] - x[0]), 1e-9) * 2.0
    noise = np.full(x.shape, math.hypot(own, angle_error * slope))
    curve, free = _smoothed(x, y, noise)
    for _ in range(2 if angle_error else 0):
        noise = np.hypot(own, angle_error * curve.value(curve.rows(x, 1)))
        curve, free = _smoothed(x, y, noise)
    off = y - curve.value(curve.rows(x))
    left = max(len(x) - free, 1.0)
    return Fit(
        lobe=_tabled(curve, float(x[0]), float(x[-1]), base_radius, words or f"{len(x)} readings"),
        curve=curve, angles=x, lifts=y, noise=noise, residuals=off, scatter=math.sqrt(float(np.sum((off / noise) ** 2)) / left),
        scatter_error=1.0 / math.sqrt(2.0 * left), angle_error=angle_error,
    )


def folded_misfit(fit: Fit, *, centre: float) -> float:
    """How badly a lobe that is even about a centre agrees with the readings of a fit.

    Args:
        fit: whose readings, noise and stiffness are used.
        centre: about which both flanks are laid over each other [rad].

    Returns:
        Twice the negative logarithm of the likelihood, less what does not depend on the centre [-].

    Validity: for comparing centres of one fit.
    Source: [Wahba], with a basis that is even.
    """
    away = np.abs(fit.angles - centre)
    reach = float(np.max(away))
    pieces = max(2, round(2.0 * reach / fit.curve.step))
    step, count = 2.0 * reach / pieces, pieces + DEGREE
    fold = np.zeros((count, (count + 1) // 2))
    places = np.arange(count)
    fold[places, np.minimum(places, count - 1 - places)] = 1.0
    weights = _rows((away + reach) / step, count, 0) @ fold / fit.noise[:, None]
    stiff = fit.curve.stiffness * (fit.curve.step / step) ** (2 * BENT - 1)
    scale = weights.T @ weights + stiff * (fold.T @ _bending(pieces) @ fold)
    seen = fit.lifts / fit.noise
    low = np.linalg.cholesky(scale)
    part = np.linalg.solve(low, weights.T @ seen)
    return float(seen @ seen - part @ part + 2.0 * np.sum(np.log(np.diag(low))))


def _sorted(angles: ArrayLike, lifts: ArrayLike) -> tuple[Floats, Floats]:
    x, y = np.asarray(angles, float).ravel(), np.asarray(lifts, float).ravel()
    if len(x) != len(y):
        raise BadInput(f"angles has {len(x)}, lifts {len(y)} values: as many are needed")
    if not bool(np.all(np.isfinite(x)) and np.all(np.isfinite(y))):
        raise OutOfRange("angles and lifts: finite numbers are needed")
    if len(np.unique(x)) < FEWEST:
        raise BadInput(f"angles: {len(np.unique(x))} different ones given; {FEWEST} or more are needed to draw a lobe through them")
    order = np.argsort(x, kind="stable")
    return x[order], y[order]


def _smoothed(x: Floats, y: Floats, noise: Floats) -> tuple[Curve, float]:
    """The curve, and how many free parts it came to."""
    pieces = max(6, min(200, math.ceil(float(x[-1] - x[0]) / KNOTS)))
    step = float(x[-1] - x[0]) / pieces
    count = pieces + DEGREE
    weights = _rows((x - x[0]) / step, count, 0) / noise[:, None]
    turned, held, kept = _side_by_side(weights.T @ weights, _bending(pieces))
    seen = turned.T @ (weights.T @ (y / noise))
    stiffness = _likeliest(seen, held, kept, int(np.count_nonzero(held > 1e-12 * np.max(held))))
    scale = kept + stiffness * held
    parts, spread = turned @ (seen / scale), (turned / scale) @ turned.T
    return Curve(start=float(x[0]), step=step, parts=parts, spread=spread, stiffness=stiffness), float(np.sum(kept / scale))


def _side_by_side(seen: Floats, bent: Floats) -> tuple[Floats, Floats, Floats]:
    """Axes on which what was seen and what is bent are both diagonal: axes, bent, seen."""
    share = 1e-6 * float(np.trace(seen)) / float(np.trace(bent))
    both = seen + share * bent
    both[np.diag_indices_from(both)] += 1e-11 * float(np.trace(seen)) / len(seen)
    inverse: Floats = np.linalg.inv(np.linalg.cholesky(both)).astype(np.float64)
    found = np.linalg.eigh(inverse @ bent @ inverse.T)
    axes: Floats = found.eigenvectors.astype(np.float64)
    held: Floats = np.maximum(found.eigenvalues.astype(np.float64), 0.0)
    held[:BENT] = 0.0  # straight lines and parabolas bend nothing
    return inverse.T @ axes, held, np.maximum(1.0 - share * held, 0.0)


def _likeliest(seen: Floats, held: Floats, kept: Floats, bent: int) -> float:
    """The stiffness under which the readings are likeliest, the noise as stated."""
    middle = 1.0 / float(np.median(held[held > 0.0]))

    def unlikely(logs: Floats) -> Floats:
        stiff = middle * np.exp(logs)
        scale = kept[None, :] + stiff[:, None] * held[None, :]
        return np.sum(np.log(scale) - seen**2 / scale, axis=1) - bent * np.log(stiff)

    low, high, best = -46.0, 23.0, 0.0
    for count in (140, 21, 21, 21):
        logs = np.linspace(low, high, count)
        best, step = float(logs[int(np.argmin(unlikely(logs)))]), (high - low) / (count - 1)
        low, high = max(best - step, -46.0), min(best + step, 23.0)
    return middle * math.exp(best)


def _tabled(curve: Curve, first: float, last: float, base_radius: float, words: str) -> Lobe:
    angles = np.linspace(first, last, max(16, math.ceil((last - first) / TABLE)) + 1)
    rows = [curve.rows(angles, n) for n in range(4)]
    values, errors = [curve.value(row) for row in rows], [curve.error(row) for row in rows]
    lobe = Lobe(angles=angles, motion=_motion(values), errors=_motion(errors), origin="measured", zero="zero of the wheel",
                base_radius=base_radius, words=words)
    return replace(lobe, centre=_centre(lobe))


def _centre(lobe: Lobe) -> float:
    """Middle at three quarters of the lift, until a better one is asked for."""
    opens, closes = lobe.flank_angles(0.75 * lobe.peak)
    return (opens + closes) / 2.0


def _motion(rows: list[Floats]) -> Motion:
    return Motion(lift=rows[0], velocity=rows[1], acceleration=rows[2], jerk=rows[3])


@cache
def _pieces() -> Floats:
    """Polynomials of the six pieces that meet in one interval: rows are pieces, columns rising powers of the share."""
    table = np.zeros((DEGREE + 1, DEGREE + 1))
    for power in range(DEGREE + 1):
        for piece in range(DEGREE + 1):
            total = sum((-1.0) ** (k - piece) * math.comb(DEGREE + 1, k - piece) * (DEGREE - k) ** (DEGREE - power)
                        for k in range(piece, DEGREE + 1))
            table[piece, power] = math.comb(DEGREE, power) * total / math.factorial(DEGREE)
    return table


@cache
def _derived(derivative: int) -> Floats:
    table = _pieces()
    for _ in range(derivative):
        table = np.column_stack([table[:, 1:] * np.arange(1.0, table.shape[1]), np.zeros(len(table))])
    return table


def _rows(places: Floats, count: int, derivative: int) -> Floats:
    """Weights of all parts at places counted in steps from the first knot inside."""
    flat = places.reshape(-1)
    left = np.clip(np.floor(flat), 0, count - DEGREE - 1).astype(np.int64)
    powers = (flat - left)[:, None] ** np.arange(DEGREE + 1.0)
    found = np.zeros((len(flat), count))
    np.put_along_axis(found, left[:, None] + np.arange(DEGREE + 1), powers @ _derived(derivative).T, axis=1)
    return found.reshape(*places.shape, count)


@cache
def _bending(pieces: int) -> Floats:
    """Integral of the square of the third derivative, step by step, for all pairs of parts."""
    table = _derived(BENT)
    powers = np.arange(DEGREE + 1.0)
    one = table @ (1.0 / (powers[:, None] + powers[None, :] + 1.0)) @ table.T
    whole = np.zeros((pieces + DEGREE, pieces + DEGREE))
    for at in range(pieces):
        whole[at : at + DEGREE + 1, at : at + DEGREE + 1] += one
    return whole
