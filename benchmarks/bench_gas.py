"""The pull of a V8, 13 speeds on two threads, with its numerical error against finer cells; a shock tube against other codes.

Times are wall-clock times, with the processor's own in brackets: others may keep the machine busy.
"""

import math
import time

import numpy as np
from numba import njit

from tenths.calc.gas import _kernels as kernels
from tenths.calc.gas.fuel import fuel
from tenths.calc.gas.pull import Engine, Induction, Outlet, built, pull, run
from tenths.calc.gas.valves import USUAL_TWO, Valves, assumed_lobe

DEGREES = math.pi / 180
COURANT = 0.9  # of all three codes in the shock tube
MESHES = ((0.03, 0.05, "aim 0.3 s at 0.25 %"), (0.025, 0.045, "what is used unless asked otherwise"), (0.0125, 0.025, "aim 0.8 s at 0.1 %"))
SPEEDS = [rpm * math.tau / 60 for rpm in np.linspace(1500.0, 7500.0, 13)]


def engine() -> Engine:
    """A V8 of 5.7 litres with a plenum, eight runners and four-into-one headers."""
    intake, exhaust = assumed_lobe(duration=270 * DEGREES, lift=0.0127), assumed_lobe(duration=276 * DEGREES, lift=0.0127)
    return Engine(
        bore=0.1016, stroke=0.0884, rod=0.1448, compression=10.7,
        fires=tuple(x * DEGREES for x in (0, 630, 540, 450, 90, 360, 180, 270)),
        intake=Valves(
            count=1, diameter=0.0521, angles=intake[0], lifts=intake[1], centre=-252 * DEGREES, out_of=USUAL_TWO, into=USUAL_TWO,
        ),
        exhaust=Valves(
            count=1, diameter=0.0405, angles=exhaust[0], lifts=exhaust[1], centre=246 * DEGREES, out_of=USUAL_TWO, into=USUAL_TWO,
        ),
        induction=Induction(runner=0.33, mouth=0.048, port=0.046, plenum=0.006, throttle=0.09),
        outlet=Outlet(
            primary=0.8, diameter=0.0445, groups=((0, 2, 4, 6), (1, 3, 5, 7)), secondary=0.4, secondary_diameter=0.076, merged=False,
        ),
        fuel=fuel("petrol 95"),
    )  # fmt: skip


class Timer:
    """Wall-clock and processor time since it was made [s]."""

    def __init__(self) -> None:
        self.wall, self.used = time.perf_counter(), time.process_time()

    def __str__(self) -> str:
        return f"{time.perf_counter() - self.wall:.2f} s ({time.process_time() - self.used:.2f} s)"


def pulled(intake: float, exhaust: float) -> tuple[np.ndarray, str, int, bool]:
    """Torque at all speeds, seconds, cycles, settled."""
    timer = Timer()
    points = pull(engine(), SPEEDS, intake_cell=intake, exhaust_cell=exhaust)
    taken = str(timer)
    torque = np.array([point.torque for point in points])
    return torque, taken, sum(point.cycles for point in points), all(point.settled for point in points)


def one_point(rpm: float) -> str:
    """Time of one point from the gas of a neighbour 500 rpm below, as a slider asks for it."""
    net = built(engine())
    before, _ = run(engine(), net, (rpm - 500.0) * math.tau / 60)
    timer = Timer()
    run(engine(), net, rpm * math.tau / 60, middle=before.middle)
    return str(timer)


def ours(count: int, time_end: float) -> tuple[np.ndarray, float, int]:
    """Sod's tube with the product's passes: density, seconds, steps."""
    cells = count + 2
    rows = np.ones((kernels.ROWS, kernels.ROW))
    state, shape = rows[:4, :cells], rows[4:11, :cells]
    shape[kernels.PER_VOLUME] = shape[kernels.PER_LENGTH] = count
    shape[kernels.ROUGH] = shape[kernels.COOL] = 0.0
    rows[kernels.ROWS - 3 :] = 0.0
    shape[kernels.PER_DIAMETER] = 1e-9
    left = np.arange(cells) <= count // 2
    state[:] = np.stack([np.where(left, 1.0, 0.125), 0 * left, np.where(left, 2.5, 0.25), 0 * left]) / count
    gas = np.array([0.0, 2.5, 0.0, 1.0])
    flat = rows.reshape(-1)
    start = time.thread_time()
    steps = _marched(flat, cells, gas, time_end)
    return state[0, 1:-1] * count, time.thread_time() - start, steps


@njit
def _marched(flat: np.ndarray, cells: int, gas: np.ndarray, time_end: float) -> int:
    """The passes one after another as a cycle calls them; the ends let everything out."""
    now, steps = 0.0, 0
    while now < time_end - 1e-12:
        step = min(COURANT * kernels.primitives(flat, cells, gas, gas), time_end - now)
        kernels.half_stepped(flat, cells, step)
        for row in range(4):
            at = row * kernels.ROW
            flat[kernels.AT_HIGH + at] = flat[kernels.AT_PRIM + at]
            flat[kernels.AT_LOW + at + cells - 1] = flat[kernels.AT_PRIM + at + cells - 1]
        kernels.fluxes(flat, cells, gas, gas)
        kernels.updated(flat, cells, step)
        for row in range(4):
            at = row * kernels.ROW
            flat[at], flat[at + cells - 1] = flat[at + 1], flat[at + cells - 2]
        now, steps = now + step, steps + 1
    return steps


def plain(count: int, time_end: float) -> tuple[np.ndarray, float, int]:
    """The same scheme written for the benchmark with whole arrays and a gas of constant heats."""
    ratio, width = 1.4, 1.0 / count
    x = np.arange(count + 2) <= count // 2
    u = np.stack([np.where(x, 1.0, 0.125), 0.0 * x, np.where(x, 2.5, 0.25)])
    now, steps, start = 0.0, 0, time.thread_time()
    while now < time_end - 1e-12:
        rho, vel = u[0], u[1] / u[0]
        p = (ratio - 1) * (u[2] - 0.5 * rho * vel**2)
        step = min(COURANT * width / np.max(np.abs(vel) + np.sqrt(ratio * p / rho)), time_end - now)
        w = np.stack([rho, vel, p])
        a, b = w[:, 1:-1] - w[:, :-2], w[:, 2:] - w[:, 1:-1]
        slope = np.maximum(a * b, 0.0) * (a + b) / (a * a + b * b + 1e-60)
        r, v, q = w[:, 1:-1]
        part_ = 0.5 * step / width
        half = np.stack([r - part_ * (v * slope[0] + r * slope[1]), v - part_ * (v * slope[1] + slope[2] / r),
                         q - part_ * (v * slope[2] + ratio * q * slope[1])])
        low = np.concatenate([w[:, :1], half - 0.5 * slope, w[:, -1:]], axis=1)
        high = np.concatenate([w[:, :1], half + 0.5 * slope, w[:, -1:]], axis=1)
        u[:, 1:-1] -= step / width * np.diff(_hllc(high[:, :-1], low[:, 1:], ratio), axis=1)
        u[:, 0], u[:, -1] = u[:, 1], u[:, -2]
        now, steps = now + step, steps + 1
    return u[0, 1:-1], time.thread_time() - start, steps


def _hllc(a: np.ndarray, b: np.ndarray, ratio: float) -> np.ndarray:
    ca, cb = np.sqrt(ratio * a[2] / a[0]), np.sqrt(ratio * b[2] / b[0])
    sa, sb = np.minimum(a[1] - ca, b[1] - cb), np.maximum(a[1] + ca, b[1] + cb)
    qa, qb = a[0] * (sa - a[1]), b[0] * (sb - b[1])
    s = (b[2] - a[2] + a[1] * qa - b[1] * qb) / (qa - qb)
    k = np.where(s >= 0, a, b)
    sk, q = np.where(s >= 0, sa, sb), np.where(s >= 0, qa, qb)
    away = np.where(s >= 0, np.minimum(sa, 0), np.maximum(sb, 0))
    energy = k[2] / (ratio - 1) + 0.5 * k[0] * k[1] ** 2
    state = np.stack([k[0], k[0] * k[1], energy])
    star = q / (sk - s)
    stars = np.stack([star, star * s, star * (energy / k[0] + (s - k[1]) * (s + k[2] / q))])
    flux = np.stack([k[0] * k[1], k[0] * k[1] ** 2 + k[2], k[1] * (energy + k[2])])
    return flux + away * (stars - state)


def exact(count: int, time_end: float) -> np.ndarray:
    """Density of Sod's tube by the star values of [Toro] chapter 4, at the middles of cells."""
    p, u, left, right = 0.30313, 0.92745, 0.42632, 0.26557
    x = ((np.arange(count) + 0.5) / count - 0.5) / time_end
    c, shock = math.sqrt(1.4), math.sqrt(1.12) * math.sqrt(1.2 / 1.4 * p / 0.1 + 0.2 / 1.4)
    tail = u - math.sqrt(1.4 * p / left)
    fan = (2.0 / 2.4 + 0.4 / (2.4 * c) * (-x)) ** 5
    return np.select([x < -c, x < tail, x < u, x < shock], [1.0 + 0.0 * x, fan, left + 0.0 * x, right + 0.0 * x], 0.125)


def general(count: int, time_end: float) -> tuple[np.ndarray, float, int]:
    """The same by the wave-propagation solver of a general package (PyClaw), compiled, second order with van Leer's limiter."""
    from clawpack import pyclaw, riemann  # noqa: PLC0415 - not everybody has it

    solver = pyclaw.ClawSolver1D(riemann.euler_with_efix_1D)
    solver.limiters = pyclaw.limiters.tvd.vanleer
    solver.bc_lower[0] = solver.bc_upper[0] = pyclaw.BC.extrap
    solver.cfl_desired, solver.cfl_max, solver.dt_initial, solver.max_steps = COURANT, 1.0, 0.1 / count, 100000
    domain = pyclaw.Domain([0.0], [1.0], [count])
    state = pyclaw.State(domain, 3)
    state.problem_data.update({"gamma": 1.4, "gamma1": 0.4, "efix": True})
    left = domain.grid.p_centers[0] < 0.5
    state.q[0], state.q[1], state.q[2] = np.where(left, 1.0, 0.125), 0.0, np.where(left, 2.5, 0.25)
    solution = pyclaw.Solution(state, domain)
    solver.setup(solution)
    start = time.thread_time()
    status = solver.evolve_to_time(solution, time_end)
    return solution.state.q[0].copy(), time.thread_time() - start, status["numsteps"]


def shock_tube() -> None:
    """Sod's tube by our passes, by whole arrays, and by a general finite-volume package where there is one, at equal error."""
    ours(400, 0.2)
    mine, quick, count = min((ours(400, 0.2) for _ in range(5)), key=lambda row: row[1])
    other, slow, again = min((plain(400, 0.2) for _ in range(5)), key=lambda row: row[1])
    wrong = float(np.mean(np.abs(mine - exact(400, 0.2))))
    print(f"Sod, 400 cells, error of density {wrong:.2e} in the mean: {quick / count / 400 * 1e9:.0f} ns a cell and "
          f"step, plain arrays {slow / again / 400 * 1e9:.0f} ns, {slow / quick:.1f} times; largest difference "
          f"{np.max(np.abs(mine - other)):.1e}")
    try:
        rows = {cells: min((general(cells, 0.2) for _ in range(3)), key=lambda row: row[1]) for cells in (300, 350, 400, 450, 500, 600)}
    except ImportError:
        print("PyClaw is not installed here (it wants a Fortran compiler): not compared")
        return
    for cells, (rho, taken, steps) in rows.items():
        far = float(np.mean(np.abs(rho - exact(cells, 0.2))))
        print(f"PyClaw, {cells} cells: error {far:.2e}, {taken / steps / cells * 1e9:.0f} ns a cell and step, {steps} steps, "
              f"{taken * 1e3:.1f} ms; ours {quick * 1e3:.1f} ms, {taken / quick:.1f} times")
        if far <= wrong:
            break


def main() -> None:
    """Print the tables."""
    timer = Timer()
    net = built(engine())
    net.cycle(SPEEDS[6])
    print(f"first cycle, with compiling or loading: {timer} (aims: 15 s once installed, then 1.5 s)")
    best, steps = math.inf, 1
    for _ in range(10):
        start = time.thread_time()
        steps = net.cycle(SPEEDS[6]).steps
        best = min(best, time.thread_time() - start)
    print(f"{net.state.shape[1]} cells, {net.ends.shape[0]} ends, 8 cylinders: one cycle at {SPEEDS[6] * 60 / math.tau:.0f} rpm "
          f"{best * 1e3:.1f} ms of the processor, {best / steps * 1e6:.1f} us a step")
    print(f"one point at 5,000 rpm from its neighbour: {one_point(5000.0)}; at 7,000 rpm: {one_point(7000.0)}; aim 0.1 s")
    fine, taken, cycles, settled = pulled(0.005, 0.01)
    print(f"reference, cells of 5 and 10 mm: {taken}, {cycles} cycles, settled {settled}")
    for intake, exhaust, aim in (MESHES[0], MESHES[0], *MESHES[1:]):
        torque, taken, cycles, settled = pulled(intake, exhaust)
        wrong = np.abs(torque / fine - 1)
        print(f"cells of {intake * 1e3:.0f} and {exhaust * 1e3:.0f} mm: {taken}, {cycles} cycles, torque off by {wrong.mean():.2%} "
              f"(at worst {wrong.max():.2%}), settled {settled}; {aim}")
    shock_tube()


if __name__ == "__main__":
    main()
