"""Five hundred invented engines of all layouts through the pull: does each come to numbers, and does it settle or say why not?

`robust_gas.py [COUNT] [FIRST SEED]`; a smaller sample is among the tests.
"""

import math
import sys
import time
from collections import Counter
from dataclasses import astuple

import numpy as np

from tenths.calc.gas.fuel import fuel
from tenths.calc.gas.pull import Burning, Engine, Induction, Outlet, Point, pull
from tenths.calc.gas.valves import Valves, assumed_lobe
from tenths.errors import Unsettled

DEGREES = math.pi / 180
# Crank angles at which cylinders fire, and cylinders whose exhausts are usually led together
LAYOUTS: dict[str, tuple[tuple[float, ...], tuple[tuple[int, ...], ...]]] = {
    "single": ((0,), ((0,),)),
    "twin, 360": ((0, 360), ((0, 1),)),
    "twin, 180": ((0, 180), ((0, 1),)),
    "twin of 45 degrees": ((0, 405), ((0, 1),)),
    "inline three": ((0, 240, 480), ((0, 1, 2),)),
    "inline four": ((0, 540, 180, 360), ((0, 3), (1, 2))),
    "flat four": ((0, 180, 360, 540), ((0, 2), (1, 3))),
    "inline five": ((0, 144, 576, 288, 432), ((0, 1, 2, 3, 4),)),
    "inline six": ((0, 480, 240, 600, 120, 360), ((0, 1, 2), (3, 4, 5))),
    "odd-fire six": ((0, 90, 240, 330, 480, 570), ((0, 2, 4), (1, 3, 5))),
    "cross-plane eight": ((0, 630, 540, 450, 90, 360, 180, 270), ((0, 2, 4, 6), (1, 3, 5, 7))),
    "flat-plane eight": ((0, 90, 540, 630, 180, 270, 360, 450), ((0, 2, 4, 6), (1, 3, 5, 7))),
    "ten": ((0, 54, 144, 198, 288, 342, 432, 486, 576, 630), ((0, 2, 4, 6, 8), (1, 3, 5, 7, 9))),
    "twelve": (tuple(60 * k for k in range(12)), ((0, 4, 8), (2, 6, 10), (1, 5, 9), (3, 7, 11))),
}


def _valves(chance: np.random.Generator, *, bore: float, four: bool) -> tuple[Valves, Valves]:
    intake = assumed_lobe(duration=chance.uniform(215, 320) * DEGREES, lift=bore * chance.uniform(0.08, 0.14))
    exhaust = assumed_lobe(duration=chance.uniform(215, 320) * DEGREES, lift=bore * chance.uniform(0.08, 0.13))
    return (
        Valves(count=1 + four, diameter=bore * (0.38 if four else 0.48), angles=intake[0], lifts=intake[1],
               centre=-(360 - chance.uniform(96, 120)) * DEGREES),
        Valves(count=1 + four, diameter=bore * (0.32 if four else 0.39), angles=exhaust[0], lifts=exhaust[1],
               centre=(360 - chance.uniform(96, 120)) * DEGREES),
    )  # fmt: skip


def _outlet(chance: np.random.Generator, bore: float, groups: tuple[tuple[int, ...], ...], swept: float) -> Outlet:
    kind, count = chance.integers(4), sum(len(group) for group in groups)
    if kind == 0:
        groups = tuple((k,) for k in range(count))
    elif kind == 1:
        groups = (tuple(range(count)),)
    return Outlet(
        primary=chance.uniform(0.2, 1.0), diameter=bore * chance.uniform(0.35, 0.5), groups=groups,
        secondary=float(chance.choice([0.0, 0.3, 0.6])), secondary_diameter=bore * chance.uniform(0.45, 0.75),
        merged=bool(chance.integers(2)), tail=float(chance.choice([0.0, 0.5, 2.0])), tail_diameter=bore * chance.uniform(0.5, 0.9),
        silencer=swept * float(chance.choice([0.0, 4.0, 12.0])), silencer_flow=chance.uniform(0.4, 1.0),
    )  # fmt: skip


def invented(seed: int) -> tuple[str, Engine, tuple[float, float]]:
    """A sensible engine, and two speeds to run it at [rad/s]: its layout's name, the engine, slow and fast."""
    chance = np.random.default_rng(seed)
    name = list(LAYOUTS)[seed % len(LAYOUTS)]
    fires, groups = LAYOUTS[name]
    bore = chance.uniform(0.05, 0.115)
    stroke = bore * chance.uniform(0.6, 1.3)
    four = bool(chance.integers(2))
    swept = len(fires) * math.pi / 4.0 * bore**2 * stroke
    intake, exhaust = _valves(chance, bore=bore, four=four)
    throttle = bore * (0.42 if chance.integers(2) else 0.8)
    # the thin air of a mountain, that of the plain, or air from a blower
    pressure = float(chance.choice([7.5e4, 9.9e4, 9.9e4, 1.013e5, 1.8e5]))
    engine = Engine(
        bore=bore, stroke=stroke, rod=stroke * chance.uniform(1.4, 2.1), compression=chance.uniform(7.5, 14.5),
        fires=tuple(x * DEGREES for x in fires), intake=intake, exhaust=exhaust,
        induction=Induction(
            runner=chance.uniform(0.08, 0.7), mouth=bore * chance.uniform(0.4, 0.55), port=bore * chance.uniform(0.38, 0.5),
            plenum=swept * float(chance.choice([0.0, 0.6, 2.0])), throttle=throttle, inlet=chance.uniform(0.1, 0.8),
        ),
        outlet=_outlet(chance, bore, groups, swept),
        fuel=fuel(str(chance.choice(["petrol 95", "E85", "methanol", "petrol 98"]))), richness=chance.uniform(0.85, 1.3),
        leak=float(chance.choice([0.0, 3e-7])), crevice=float(chance.choice([0.0, 5e-7])),
        air=(pressure, chance.uniform(263.0, 320.0), chance.uniform(0.0, 0.02)),
        burning=Burning(correlation=int(chance.integers(2)), duration=chance.uniform(18.0, 35.0) * DEGREES),
    )  # fmt: skip
    piston = stroke / math.pi
    # mean piston speeds of 4 to 8 and of 13 to 21 m/s, held to what such engines turn
    return name, engine, (max(chance.uniform(4, 8) / piston, 90.0), min(chance.uniform(13, 21) / piston, 1400.0))


def is_number(point: Point) -> bool:
    """Whether all that a point tells is finite; fuel per work is not, where there is no work."""
    values = [x for x in astuple(point) if isinstance(x, float)] + list(point.each)
    return sum(not math.isfinite(x) for x in values) <= (1 if point.torque <= 0 else 0)


def main() -> None:
    """Run them and print what came of it."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    seen, cycles, used = Counter[str](), [], time.process_time()
    for seed in range(first, first + count):
        name, engine, speeds = invented(seed)
        try:
            points = pull(engine, speeds, intake_cell=0.03, exhaust_cell=0.05)
        except Unsettled as error:
            print(f"seed {seed}, {name}: {error}")
            seen["refused"] += 1
            continue
        for point in points:
            cycles.append(point.cycles)
            seen["points"] += 1
            seen["not a number"] += not is_number(point)
            if not point.settled:
                seen["unsettled"] += 1
                print(f"seed {seed}, {name}, {point.speed * 60 / math.tau:.0f} rpm, {point.cycles} cycles: {point.lacking}")
            if not (0.2 < point.filling < 2.5 and 1e5 < point.peak < 4e7 and 500 < point.exhaust < 2200):
                seen["odd"] += 1
                print(f"seed {seed}, {name}: filling {point.filling:.2f}, peak {point.peak / 1e5:.0f} bar, exhaust {point.exhaust:.0f} K")
    print(f"{count} engines: {dict(seen)}; cycles {np.mean(cycles):.1f} in the mean, {np.max(cycles)} at most; "
          f"{time.process_time() - used:.0f} s of the processor")


if __name__ == "__main__":
    main()
