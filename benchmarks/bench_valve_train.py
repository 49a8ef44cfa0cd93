"""One valve train of a push-rod V8 over 30 speeds; the same motion by a general solver at equal error; the speed at which it parts."""

import math
import time

import numpy as np
from scipy.integrate import solve_ivp

from tenths.calc.valves import dynamics, loss
from tenths.calc.valves.profiles import card_lobe
from tenths.calc.valves.train import Coils, push_rod

RPM = math.pi / 30
SPEEDS = (np.linspace(1000, 7500, 30) * RPM).tolist()
SPRINGS = (Coils(load=550.0, rate=60e3, mass=0.060, left=0.016), Coils(load=150.0, rate=20e3, mass=0.025, left=0.016))
OF = push_rod(follower=0.1, rod=0.06, rocker_inertia=5e-5, valve_arm=0.036, valve=0.15, ratio=1.6, lobe_stiffness=8e7, rod_stiffness=3.5e7,
              rocker_stiffness=2e7, seat_stiffness=6e7, springs=SPRINGS)
LOBE = card_lobe(lift=0.008, lifts=[0.00015], durations=[math.radians(284)])


def best(function, times=3):
    """Shortest of some runs [s]."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        function()
        taken.append(time.perf_counter() - start)
    return min(taken)


class Plain:
    """The same train as plain arrays, for a general solver."""

    def __init__(self, speed):
        made, self.cam = dynamics._arrays(OF), speed / 2  # noqa: SLF001 - the same numbers for both
        self.count, self.chain = len(made.masses), len(OF.masses)
        self.masses, self.stiff, self.damp, self.gaps, self.coils = made.masses, made.stiff, made.damp, made.gaps, made.coils
        joints = len(made.stiff)
        self.rows = np.zeros((joints, self.count))
        for j in range(self.chain):
            self.rows[j, j] = -1.0
            if j:
                self.rows[j, j - 1] = 1.0
        self.rows[self.chain, self.chain - 1] = -1.0
        for i, (top, low) in enumerate(zip(made.upper, made.lower, strict=True)):
            self.rows[self.chain + 1 + i, top] += 1.0
            if low >= 0:
                self.rows[self.chain + 1 + i, low] -= 1.0
        self.fixed = np.zeros(self.count)
        self.fixed[0], self.fixed[self.chain - 1] = -OF.hold, -OF.load
        self.table = dynamics._table(LOBE)  # noqa: SLF001

    def rates(self, t, y):
        """Rates of positions and speeds."""
        x, v = y[: self.count], y[self.count :]
        place = self.cam * t * dynamics.PIECES / math.tau
        u, i = place % 1.0, int(place) % dynamics.PIECES
        a, b, c, d, e, f = self.table[i]
        lift = a + u * (b + u * (c + u * (d + u * (e + u * f))))
        slope = (b + u * (2 * c + u * (3 * d + u * (4 * e + u * 5 * f)))) * dynamics.PIECES / math.tau
        pressed, rate = self.rows @ x - self.gaps, self.rows @ v
        pressed[0] += OF.ratio * lift
        rate[0] += OF.ratio * self.cam * slope
        force = self.stiff * pressed + self.damp * rate
        force = np.where((pressed > 0) & (force > 0), force, 0.0)
        coils = self.chain + 1
        force[coils:] += self.coils[:, 0] * (pressed[coils:] + self.gaps[coils:]) + self.coils[:, 1] * rate[coils:]
        return np.concatenate([v, (self.fixed - force @ self.rows) / self.masses])

    def lifts(self, cycles, **how):
        """Lift of the valve over the last cycle at the moments of our own answer."""
        period = math.tau / self.cam
        times = (cycles - 1) * period + period * np.arange(dynamics.MOMENTS) / dynamics.MOMENTS
        found = solve_ivp(self.rates, (0.0, cycles * period), np.zeros(2 * self.count), t_eval=times, max_step=period / 180, **how)
        return found.y[self.chain - 1], found.nfev


def main() -> None:
    """Print the table."""
    start = time.perf_counter()
    dynamics.run(OF, LOBE, speed=500.0)
    print(f"first call, with compiling or loading: {time.perf_counter() - start:.2f} s")
    found = dynamics.runs(OF, LOBE, SPEEDS)
    steps = sum(run.steps * run.cycles for run in found)
    both, one = best(lambda: dynamics.runs(OF, LOBE, SPEEDS)), best(lambda: dynamics.runs(OF, LOBE, SPEEDS, threads=1))
    print(f"one valve train, 30 speeds, 1,000 to 7,500 rpm, until each repeats: {both:.2f} s (aim 2), one thread {one:.2f} s; "
          f"{one / steps * 1e6:.1f} us a step, {sum(run.repeats for run in found)} of 30 repeat")
    print(" rpm    error of lift, ours   time    general solver at no less error            ratio")
    for rpm in (2000, 4000, 5500):
        plain, cycles = Plain(rpm * RPM), 2
        true, _ = plain.lifts(cycles, method="DOP853", rtol=1e-10, atol=1e-12)
        ours = dynamics.run(OF, LOBE, speed=rpm * RPM, most_cycles=cycles)
        error = float(np.abs(ours.lifts - true).max())
        taken = best(lambda rpm=rpm, cycles=cycles: dynamics.run(OF, LOBE, speed=rpm * RPM, most_cycles=cycles)) * cycles / ours.cycles
        for method in ("RK45", "DOP853", "LSODA"):
            for tolerance in (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8):
                start = time.perf_counter()
                theirs, calls = plain.lifts(cycles, method=method, rtol=tolerance, atol=tolerance * 1e-3)
                slow = time.perf_counter() - start
                off = float(np.abs(theirs - true).max())
                if off <= 2 * error:
                    break
            print(f"{rpm:5d}   {error * 1e6:8.2f} um   {taken * 1e3:8.1f} ms   {method:7s} {off * 1e6:7.2f} um {slow:6.2f} s",
                  f"{calls:6d} calls {slow / taken:8.0f}")
    start = time.perf_counter()
    parts = loss.loss_speed(OF, LOBE, lowest=1000 * RPM, highest=9000 * RPM)
    print(f"first parts at {parts.speed / RPM:.0f} rpm: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
