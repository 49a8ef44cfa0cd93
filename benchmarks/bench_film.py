"""The oil film of a V8: all bearings over a cycle, a map of clearances, grades and speeds, against the film solved anew."""

import math
import time
from dataclasses import replace

import numpy as np

from bench_loads import BANKS, BORE, FIRES, MAINS, PLACES, RECIPROCATING, ROD, ROTATING, STROKE, THROWS
from tenths.calc import balance, loads, pressure, saddles
from tenths.calc.film import cycle, direct
from tenths.calc.film.grades import middle_oil

STEPS = 360
SPEEDS = np.linspace(1500.0, 7500.0, 8) * math.tau / 60
GRADES = ("0W-20", "5W-30", "10W-40", "20W-50", "30", "40")
CLEARANCES = np.linspace(12e-6, 50e-6, 20)
INLET = 373.15


def engine():
    """Loads of all rods and mains at all speeds."""
    angles = np.linspace(0.0, 4 * math.pi, STEPS, endpoint=False)
    curve = pressure.cycle_pressure(
        angles, bore=BORE, stroke=STROKE, rod_length=ROD, clearance=7.5e-5, inlet_pressure=0.95e5, exhaust_pressure=1.1e5,
        intake_closes=math.radians(60), exhaust_opens=math.radians(60), heat=1500.0, burn_start=math.radians(-22),
        burn_duration=math.radians(55),
    )  # fmt: skip
    cylinders = balance.Cylinders(BANKS.tolist(), THROWS.tolist(), PLACES.tolist(), RECIPROCATING, ROTATING)
    found = loads.engine_loads(
        cylinders, np.tile(curve, (len(SPEEDS), 1)), speeds=SPEEDS.tolist(), firing_angles=FIRES.tolist(), bore=BORE, stroke=STROKE,
        rod_length=ROD,
    )  # fmt: skip
    return found, loads.main_loads(found, saddles.static_shares(mains=MAINS, loads=PLACES.tolist()))


def bearings():
    """Eight big ends and five mains, each with its cycle at every speed."""
    found, mains = engine()
    sizes, cycles = [], []
    for number in range(8):
        sizes.append(cycle.Bearing(diameter=0.0533, length=0.0203, clearance=26e-6, hole=0.005, groove_at=math.pi, supply=4e5))
        own = found.angles - FIRES[number]
        cycles.append(
            [
                cycle.rod_cycle(
                    loads.seen_from_rod(found.rods[k, number], own, bank_angle=BANKS[number], stroke=STROKE, rod_length=ROD), own,
                    stroke=STROKE, rod_length=ROD, speed=float(speed),
                )
                for k, speed in enumerate(SPEEDS)
            ]
        )  # fmt: skip
    for number in range(5):
        sizes.append(cycle.Bearing(diameter=0.065, length=0.021, clearance=28e-6, groove_width=0.004, groove_extent=math.pi, supply=4e5))
        cycles.append([cycle.main_cycle(mains[k, number], speed=float(speed)) for k, speed in enumerate(SPEEDS)])
    return sizes, cycles


def best(function, times=5):
    """Shortest of some runs [s]."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        function()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    """Print the table."""
    sizes, cycles = bearings()
    oil = middle_oil("10W-40")

    def one_speed(at=5):
        return cycle.running_all(sizes, [row[at] for row in cycles], oil, inlet=INLET)

    start = time.perf_counter()
    found = one_speed()
    print(f"first call, with compiling or loading: {time.perf_counter() - start:.2f} s")
    settled = all(one.settled for one in found)
    print(f"13 bearings, one speed, with the oil's temperature: {best(one_speed) * 1e3:.1f} ms (aim 20); settled {settled}")
    def lost(at=5):
        return cycle.losses(sizes, [row[at] for row in cycles], oil, inlet=INLET)

    print(f"what 13 bearings cost at one speed, for the friction of a pull: {best(lost) * 1e3:.1f} ms (aim 20); {lost():.0f} W")
    thick = replace(oil, pressure_coefficient=15e-9)
    slower = best(lambda: cycle.running_all(sizes, [row[5] for row in cycles], thick, inlet=INLET))
    print(f"the same 13 with oil that pressure thickens: {slower * 1e3:.1f} ms")
    start = time.perf_counter()
    mapped = cycle.mapped(sizes, cycles, [middle_oil(grade) for grade in GRADES], CLEARANCES.tolist(), inlet=INLET)
    taken = time.perf_counter() - start
    count = mapped.least_film.size
    print(f"map of {count} points: {taken:.2f} s (aim 10), {taken / count * 1e6:.0f} us each; settled {mapped.settled:.4f}")
    bears = cycles[0][1]
    fixed = [cycle.running(sizes[0], bears, oil, inlet=INLET, heat_share=0.0)]
    quick = best(lambda: cycle.running(sizes[0], bears, oil, inlet=INLET, heat_share=0.0))
    third = cycle.Cycle(bears.loads[::3], bears.drift[::3], bears.sliding[::3], bears.period)
    start = time.perf_counter()
    slow = direct.followed(sizes[0], third, viscosity=fixed[0].viscosity, cells=(96, 6), cycles=1, start=complex(fixed[0].path[0]))
    taken = time.perf_counter() - start
    print(f"one big end, one cycle: maps {quick * 1e3:.2f} ms, film by film {taken:.1f} s, {taken / quick:.0f} times as long")
    print(f"  least film: maps {fixed[0].least_film * 1e6:.2f} um, film by film {slow.films.min() * 1e6:.2f} um")


if __name__ == "__main__":
    main()
