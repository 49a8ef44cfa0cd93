"""A lobe from 100 readings: time of the fit with its errors, beside a general smoothing spline in the same run.

Matrices this small gain nothing from threads, which only wait for each other on a busy machine: one is used for both.
"""

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import math
from statistics import median
from time import perf_counter

import numpy as np
from scipy.interpolate import make_smoothing_spline

from tenths.calc.valves.centres import flanks, symmetric_centre
from tenths.calc.valves.fitted import fit_lobe
from tenths.calc.valves.profiles import profile_lobe

DIAL, WHEEL = 4e-6, math.radians(0.1)
ROUNDS = 40


def timed(work):
    start = perf_counter()
    work()
    return (perf_counter() - start) * 1e3


def main():
    lobe = profile_lobe("3-4-5", lift=0.009, opening=math.radians(140), closing=math.radians(140))
    rng = np.random.default_rng(1)
    x = np.linspace(lobe.angles[0] - 0.1, lobe.angles[-1] + 0.1, 100)
    y = lobe.lift(x + WHEEL * rng.standard_normal(100)) + DIAL * rng.standard_normal(100)

    def ours():
        return fit_lobe(x, y, lift_error=DIAL, angle_error=WHEEL)

    def plain():
        return make_smoothing_spline(x, y)

    fit = ours()
    plain()
    rows = {"lobe fit: 4 curves with standard errors": ours, "general smoothing spline: one curve, no errors": plain,
            "centre, duration at a lift": lambda: flanks(fit, lift=0.00127), "symmetric centre": lambda: symmetric_centre(fit)}
    took = {name: [] for name in rows}
    for _ in range(ROUNDS):
        for name, work in rows.items():
            took[name].append(timed(work))
    print(f"100 readings, median of {ROUNDS} in turns")
    for name, times in took.items():
        print(f"  {name:48} {median(times):8.2f} ms   best {min(times):.2f}")
    first, second = list(took.values())[:2]
    print(f"  {'ratio of ours to the general spline':48} {median(first) / median(second):8.2f}    aim of ours: under 20 ms")
    away = abs(fit.lobe.lift(x) - lobe.lift(x)).max(), abs(plain()(x) - lobe.lift(x)).max()
    print(f"  farthest from the true lobe: ours {away[0] * 1e6:.1f} um, the general spline {away[1] * 1e6:.1f} um")
    assert away[0] < 5 * DIAL


if __name__ == "__main__":
    main()
