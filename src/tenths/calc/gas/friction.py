"""What an engine's own friction takes, by correlations for the whole engine."""

from __future__ import annotations

from tenths.calc._check import not_negative, positive

# bar, -, bar s/m, bar s2/m2
USUAL = (0.4, 0.005, 0.09, 0.0009)


def friction_pressure(*, peak: float, piston_speed: float, numbers: tuple[float, float, float, float] = USUAL) -> float:
    """Friction mean effective pressure of an engine that drives its own pumps.

    Args:
        peak: pressure in the cylinder [Pa].
        piston_speed: mean [m/s].
        numbers: a, b, c, d of a + b peak + c speed + d speed^2, in bar, m and s [-].

    Returns:
        Mean effective pressure [Pa].

    Raises:
        OutOfRange: for a peak that is not above 0 or a speed below 0.

    Validity: warm car engines; good to 15 %.
    Source: form of [ChenFlynn]; usual numbers for spark ignition from memory.
    """
    positive(peak=peak)
    not_negative(piston_speed=piston_speed)
    a, b, c, d = numbers
    return (a + b * peak * 1e-5 + c * piston_speed + d * piston_speed**2) * 1e5


def total_friction(*, speed: float) -> float:
    """Friction mean effective pressure of car engines of 0.7 to 2 litres, pumping at full throttle included, for comparison.

    Args:
        speed: of the crank [rad/s].

    Returns:
        Mean effective pressure [Pa].

    Raises:
        OutOfRange: for a speed below 0.

    Validity: engines of the 1970s, full throttle, motored.
    Source: [Heywood] Eq. 13.6.
    """
    not_negative(speed=speed)
    thousands = speed * 60.0 / 6.283185307179586 / 1000.0
    return (0.97 + 0.15 * thousands + 0.05 * thousands**2) * 1e5
