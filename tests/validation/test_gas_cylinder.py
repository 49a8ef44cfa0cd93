"""A shut cylinder: Otto's limit, and Wiebe, Woschni, Hohenberg and knock against an integrator of a general library."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tenths.calc.gas import _kernels as kernels
from tenths.calc.gas.mixture import COUNT, PRESSURES, Gas, temperatures
from tenths.calc.gas.network import Cylinder, End, Pipe, network

# Both gases have the same constant heats, and burning sets free a fixed heat: what closed forms and textbooks assume.
R, RATIO, HEAT = 287.0, 1.35, 1.1e6
CV = R / (RATIO - 1.0)
RESIDUAL, COOL = 0.1, 800.0
SPEED = 200.0


def simple_gas():
    hot = temperatures()
    pipe = np.array([0.0, CV, 0.0, R])
    burned = np.repeat((CV * hot - HEAT)[:, None], PRESSURES.size, axis=1)
    return Gas(pipe, np.array([-HEAT, CV, 0.0, R]), CV * hot, R, burned, np.full((COUNT, PRESSURES.size), R), 0.06, 0.94)


def cylinder(**parts):
    sizes = {"bore": 0.09, "stroke": 0.09, "rod": 0.16, "compression": 10.0, "heat": 0.0, "octane": 90.0} | parts
    ratio = sizes.pop("compression")
    swept = math.pi / 4.0 * sizes["bore"] ** 2 * sizes["stroke"]
    return Cylinder(name="c", clearance=swept / (ratio - 1.0), fires=2.0 * math.pi, **sizes)


def turned(one, *, correlation=0, cell=0.01):
    """A cycle of the shut cylinder from top dead centre at 800 K and 101,325 Pa; a shut pipe gives the length of the steps."""
    pipe = Pipe(name="p", length=10 * cell, start=0.03, end=0.03, cell=cell)
    ends = [End(pipe="p", at_end=False, to=""), End(pipe="p", at_end=True, to="c", valve=0)]
    net = network([pipe], [], ends, [one], simple_gas(), valves=np.zeros((1, 2, 8)), correlation=correlation)
    held = net.reservoirs[0]
    mass = 101325.0 * held[kernels.R_VOLUME] / (R * COOL)
    held[kernels.R_MASS], held[kernels.R_BURNED] = mass, RESIDUAL * mass
    held[kernels.R_ENERGY] = mass * (CV * COOL - RESIDUAL * HEAT)
    held[kernels.R_TEMP], held[kernels.R_GAMMA] = COOL, RATIO
    net.burning[0, [kernels.Z_TEMP, kernels.Z_TUNBURNED]] = COOL
    return mass, net.cycle(SPEED)


@pytest.mark.parametrize("ratio", [6.0, 10.0, 14.0])
def test_ottos_limit(ratio):
    """Burned at once at top dead centre and nothing lost: 1 - r^(1 - gamma) of the heat, [Heywood] equation 5.31."""
    mass, told = turned(cylinder(compression=ratio, burn_start=-0.002, burn_duration=0.004), cell=0.002)
    work = told.cylinders[0, kernels.T_WORK]
    assert told.unsettled == 0
    assert work / (mass * (1.0 - RESIDUAL) * HEAT) == pytest.approx(1.0 - ratio ** (1.0 - RATIO), rel=2e-3)
    # and the greatest pressure: compression, then all heat at one volume, from the mass at the bottom of the stroke
    swept = math.pi / 4.0 * 0.09**3
    hot = COOL + (1.0 - RESIDUAL) * HEAT / CV
    top = mass * R * hot / (swept / (ratio - 1.0))
    assert told.cylinders[0, kernels.T_PMAX] == pytest.approx(top, rel=0.01)


def room(one, angle):
    """Volume and the piston's depth, written out for a pin on centre."""
    crank = one.stroke / 2.0
    depth = crank + one.rod - crank * math.cos(angle) - math.sqrt(one.rod**2 - (crank * math.sin(angle)) ** 2)
    return one.clearance + math.pi / 4.0 * one.bore**2 * depth, depth


def wiebe(one, angle):
    """[Heywood] equation 9.7 with a = 5, m = 2; the tail beyond the burn's length is kept, up to 1.6 of it."""
    x = min(max((angle - one.burn_start) / one.burn_duration, 0.0), 1.6)
    return (1.0 - math.exp(-5.0 * x**3)) / (1.0 - math.exp(-5.0 * 1.6**3))


def woschni(p, t, one, angle, volume, reference):
    """[Heywood] equations 12.18 and 12.19, kPa; gas speed 2.28 of the piston's, and 3.24e-3 of what burning lifts over motoring."""
    piston = SPEED * one.stroke / math.pi
    speed = (6.18 if abs(angle) > 2.2 else 2.28) * piston
    if one.burn_start < angle < 2.2:
        p_r, v_r, t_r = reference
        swept = math.pi / 4.0 * one.bore**2 * one.stroke
        speed += 3.24e-3 * swept * t_r / (p_r * v_r) * max(p - p_r * (v_r / volume) ** 1.32, 0.0)
    return 3.26 * one.bore**-0.2 * (p / 1e3) ** 0.8 * t**-0.55 * speed**0.8


def hohenberg(p, t, one, _angle, volume, _reference):
    """130 V^-0.06 p^0.8 T^-0.4 (speed of the piston + 1.4)^0.8 with bar: Hohenberg, SAE 790825."""
    return 130.0 * volume**-0.06 * (p / 1e5) ** 0.8 * t**-0.4 * (SPEED * one.stroke / math.pi + 1.4) ** 0.8


def integrated(one, mass, film):
    """Pressure over the angle from -2 pi by an integrator; the state at -2.2, from which motoring is reckoned, is taken on the way."""
    flat = math.pi / 4.0 * one.bore**2

    def slope(angle, y, reference):
        volume, depth = room(one, angle)
        t = y[0] * volume / (mass * R)
        lost = 0.0
        if film is not None:
            area_t = 1.2 * flat * (t - one.head) + 1.05 * flat * (t - one.crown) + math.pi * one.bore * depth * (t - one.liner)
            lost = one.heat * film(y[0], t, one, angle, volume, reference) * area_t / SPEED
        step = 1e-6
        change = (room(one, angle + step)[0] - room(one, angle - step)[0]) / (2 * step)
        burning = (wiebe(one, angle + step) - wiebe(one, angle - step)) / (2 * step)
        gained = mass * (1.0 - RESIDUAL) * HEAT * burning - lost
        return [-RATIO * y[0] / volume * change + (RATIO - 1.0) / volume * gained]

    start = solve_ivp(slope, (-2 * math.pi, -2.2), [101325.0], args=((1e5, 1e-4, 300.0),), rtol=1e-8, max_step=0.05)
    p = start.y[0, -1]
    volume = room(one, -2.2)[0]
    reference = (p, volume, p * volume / (mass * R))
    rest = solve_ivp(slope, (-2.2, 2.0), [p], args=(reference,), rtol=1e-8, max_step=0.02, dense_output=True)
    return rest.sol


@pytest.mark.parametrize(
    ("film", "correlation", "heat"), [(None, 0, 0.0), (woschni, 0, 1.0), (hohenberg, 1, 1.0)], ids=["no heat", "Woschni", "Hohenberg"]
)
def test_pressure_over_the_angle(film, correlation, heat):
    """Piston, Wiebe's burning and heat to the walls, within half a per cent of an integrator at its peak and along the way."""
    one = cylinder(heat=heat, burn_start=-0.35, burn_duration=1.0)
    mass, told = turned(one, correlation=correlation, cell=0.004)
    solution = integrated(one, mass, film)
    # the cycle begins two turns before firing top dead centre
    angles = -2 * math.pi + np.arange(720) * 4 * math.pi / 720
    chosen = (angles > -1.5) & (angles < 1.9)
    expected = solution(angles[chosen])[0]
    seen = told.traces[chosen, 0, 0]
    assert seen == pytest.approx(expected, rel=6e-3)
    assert seen.max() == pytest.approx(expected.max(), rel=4e-3)


def test_knock_adds_up_along_the_end_gas():
    """Livengood and Wu's integral with Douaud and Eyzat's delay, 17.68 ms (ON/100)^3.402 p^-1.7 exp(3800/T), p in atm; no heat lost.

    The end gas follows its isentrope from top dead centre at rest, so its temperature is that of its pressure.
    """
    one = cylinder(burn_start=-0.35, burn_duration=1.0)
    mass, told = turned(one, cell=0.004)
    solution = integrated(one, mass, None)
    angles = np.linspace(-1.6, 1.5, 6001)
    p = solution(angles)[0]
    t = COOL * (p / 101325.0) ** ((RATIO - 1.0) / RATIO)
    per_delay = 1.0 / (17.68e-3 * 0.9**3.402 * (p / 101325.0) ** -1.7 * np.exp(3800.0 / t))
    burnt = np.array([wiebe(one, angle) for angle in angles])
    integral = np.sum(np.where(burnt < 0.9, per_delay, 0.0)) * (angles[1] - angles[0]) / SPEED
    assert told.cylinders[0, kernels.T_KNOCK] == pytest.approx(integral, rel=0.02)
