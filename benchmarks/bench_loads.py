"""All loads of a cross-plane V8: 720 degrees by half degrees, 30 speeds, against a plain array formulation."""

import math
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tenths.calc import balance, loads, pressure, saddles

BORE, STROKE, ROD = 0.1016, 0.0884, 0.1448
SPEEDS = np.linspace(1500.0, 7500.0, 30) * math.tau / 60
STEPS = 1440
BANKS = np.radians([45.0, -45.0] * 4)
THROWS = np.radians([0.0, 0.0, 90.0, 90.0, 270.0, 270.0, 180.0, 180.0])
PLACES = np.repeat([0.1, 0.21, 0.32, 0.43], 2) + np.tile([-0.012, 0.012], 4)
MAINS = [0.045, 0.155, 0.265, 0.375, 0.485]
FIRES = np.radians([45.0, 675.0, 675.0, 585.0, 135.0, 405.0, 225.0, 495.0])
RECIPROCATING, ROTATING = [0.72 + 0.002 * i for i in range(8)], [0.46] * 8


def pressures() -> NDArray[np.float64]:
    angles = np.linspace(0.0, 4 * math.pi, STEPS, endpoint=False)
    return np.array(
        [
            pressure.cycle_pressure(
                angles,
                bore=BORE,
                stroke=STROKE,
                rod_length=ROD,
                clearance=7.5e-5,
                inlet_pressure=0.95e5,
                exhaust_pressure=1.1e5,
                intake_closes=math.radians(60),
                exhaust_opens=math.radians(60),
                heat=1300.0 + 20 * i,
                burn_start=math.radians(-22),
                burn_duration=math.radians(55),
            )
            for i in range(len(SPEEDS))
        ]
    )


def ours(given: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.complex128]]:
    cylinders = balance.Cylinders(BANKS.tolist(), THROWS.tolist(), PLACES.tolist(), RECIPROCATING, ROTATING)
    found = loads.engine_loads(
        cylinders,
        given,
        speeds=SPEEDS.tolist(),
        firing_angles=FIRES.tolist(),
        bore=BORE,
        stroke=STROKE,
        rod_length=ROD,
        spare_inertia=-0.0009,
    )
    at = cylinders.positions
    hinged = loads.main_loads(found, saddles.static_shares(mains=MAINS, loads=at))
    beam = saddles.elastic_shares(mains=MAINS, loads=at, bending_stiffness=1.3e5, saddle_stiffness=[1e9] * 5)
    return found.torque, np.stack([hinged, loads.main_loads(found, beam)])


def plain(given: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.complex128]]:
    """The same, cylinder by cylinder and speed by speed, each formula on its own row of angles."""
    angles = np.linspace(0.0, 4 * math.pi, STEPS, endpoint=False)
    hinged = saddles.static_shares(mains=MAINS, loads=PLACES.tolist())
    beam = saddles.elastic_shares(
        mains=MAINS, loads=PLACES.tolist(), bending_stiffness=1.3e5, saddle_stiffness=[1e9] * 5
    )
    torque = np.zeros((len(SPEEDS), STEPS))
    held = np.zeros((2, len(SPEEDS), len(MAINS), STEPS), dtype=complex)
    radius, area = STROKE / 2, math.pi / 4 * BORE**2
    for layer, speed in enumerate(SPEEDS):
        for c in range(8):
            t = angles - FIRES[c]
            p = np.interp(t, angles, given[layer], period=4 * math.pi)
            s, k = radius * np.sin(t), radius * np.cos(t)
            rod = np.sqrt(ROD**2 - s**2)
            a = speed**2 * (k + (k**2 - s**2) / rod + (s * k) ** 2 / rod**3)
            swing = speed**2 * (-s / rod + s * k**2 / rod**3)
            up = (p - 101325.0) * area - RECIPROCATING[c] * a
            side = up * s / rod + 0.0009 * swing / rod
            along, across = -up + ROTATING[c] * k * speed**2, side + ROTATING[c] * s * speed**2
            torque[layer] += k * across - s * along
            force = (along + 1j * across) * np.exp(1j * BANKS[c])
            for way, shares in enumerate((hinged, beam)):
                held[way, layer] += shares[:, c, None] * force
    return torque, held


def best(function: Callable[[], object], rounds: int) -> float:
    times: list[float] = []
    for _ in range(rounds):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    given = pressures()
    for one, other in zip(ours(given), plain(given), strict=True):
        assert np.allclose(one, other, rtol=1e-6, atol=1e-3 * np.abs(other).max() * 1e-3)
    fast, slow = best(lambda: ours(given), 20), best(lambda: plain(given), 3)
    print("Loads of a V8, 720 degrees by 0.5, 30 speeds, mains both ways")
    print(f"  ours                    {fast * 1e3:8.1f} ms")
    print(f"  plain array formulation {slow * 1e3:8.1f} ms")
    print(f"  ratio                   {slow / fast:8.1f}")


if __name__ == "__main__":
    main()
