"""Pipe ends, solved all at once, against a root finder of a general library on the equations written out again."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from tenths.calc.gas import _kernels as kernels

R, RATIO = 287.0, 1.36
GAS = np.array([0.0, R / (RATIO - 1.0), 0.0, R])


def velocity(p, state):
    """Outward velocity that the wave leaving the pipe allows at a pressure: Hugoniot's curve through the state."""
    rho, u, p_i = state
    z = p / p_i - 1.0
    return u - (p - p_i) / math.sqrt(RATIO * p_i * rho * max(1.0 + (RATIO + 1.0) / (2.0 * RATIO) * z, 0.05))


def throat(p0, t0, p, ratio):
    """Flow per area from rest to a pressure, choked below the critical one."""
    r = max(min(p / p0, 1.0), (2.0 / (ratio + 1.0)) ** (ratio / (ratio - 1.0)))
    return p0 / math.sqrt(R * t0) * math.sqrt(2.0 * ratio / (ratio - 1.0) * (r ** (2.0 / ratio) - r ** ((ratio + 1.0) / ratio)))


def leaving(p, state, share, outside):
    """Flow per area of the pipe that the throat passes, and that the wave brings."""
    rho, _, p_i = state
    density = max(rho + (p - p_i) / (RATIO * p_i / rho), 0.05 * rho)
    t = p / (density * R)
    u = velocity(p, state)
    m = min(max(u, 0.0) / math.sqrt(RATIO * R * t), 1.0)
    warmer = 1.0 + (RATIO - 1.0) / 2.0 * m * m
    passed = share * throat(p * warmer ** (RATIO / (RATIO - 1.0)), t * warmer, outside, RATIO)
    return passed, density * u


def entering(p, state, share, outside):
    p_r, t_r = outside
    into = -velocity(p, state)
    t = max(t_r - into * into * (RATIO - 1.0) / (2.0 * RATIO * R), 0.5 * t_r)
    return share * throat(p_r, t_r, p, RATIO), p / (R * t) * into


def expected(state, share, outside):
    """Flow per area out of the pipe."""
    p = state[2]
    wall = brentq(lambda x: velocity(x, state), 0.15 * p, 60.0 * p)
    p_r, _ = outside
    if wall > p_r:
        found = brentq(lambda x: np.diff(leaving(x, state, share, p_r))[0], p_r, wall, xtol=1e-7, rtol=1e-13)
        return leaving(found, state, share, p_r)[1]
    found = brentq(lambda x: np.diff(entering(x, state, share, outside))[0], wall, p_r, xtol=1e-7, rtol=1e-13)
    return -entering(found, state, share, outside)[1]


def solved(states, shares, outsides, starts):
    """The product's flows per area, and how many of its ends stayed apart."""
    count = len(states)
    e = np.ones(kernels.END * kernels.END_ROWS)
    ends = np.zeros((count, 7), dtype=np.int64)
    reservoirs = np.ones((count, 12))

    def put(row, values):
        e[row : row + count] = values

    rho, u, p = np.array(states).T
    p_r, t_r = np.array(outsides).T
    for row, values in ((kernels.Q_RHO, rho), (kernels.Q_U, u), (kernels.Q_P, p), (kernels.Q_PR, p_r), (kernels.Q_TR, t_r)):
        put(row, values)
    put(kernels.Q_B, 0.0)
    put(kernels.Q_CR, R)
    put(kernels.Q_GR, RATIO)
    put(kernels.Q_OUT, shares)
    put(kernels.Q_IN, shares)
    put(kernels.Q_PART, starts)
    ends[:, kernels.E_RES] = np.arange(count)
    reservoirs[:, kernels.R_PRES], reservoirs[:, kernels.R_TEMP] = p_r, t_r
    reservoirs[:, kernels.R_GAS], reservoirs[:, kernels.R_GAMMA] = R, RATIO
    apart = kernels._ends_solved(e, ends, reservoirs, GAS, GAS, np.empty(8))
    kernels._ends_told(e, 136, 1e-6, GAS, GAS)
    return e[kernels.Q_FLOW : kernels.Q_FLOW + count].copy(), apart


def cases(seed, count=128):
    chance = np.random.default_rng(seed)
    p, t, mach = chance.uniform(0.4e5, 6e5, count), chance.uniform(280.0, 1300.0, count), chance.uniform(-0.7, 0.7, count)
    states = list(zip((p / (R * t)).tolist(), (mach * np.sqrt(RATIO * R * t)).tolist(), p.tolist(), strict=True))
    p_r, t_r = p * np.exp(chance.uniform(-1.5, 1.5, count)), chance.uniform(280.0, 2400.0, count)
    outsides = list(zip(p_r.tolist(), t_r.tolist(), strict=True))
    return states, (10.0 ** chance.uniform(-4.0, 0.0, count)).tolist(), outsides, chance.uniform(0.0, 1.0, count)


@pytest.mark.parametrize("seed", range(4))
def test_ends_agree_with_a_root_finder(seed):
    """Pressure ratios from 0.22 to 4.5, throats from a ten-thousandth of the pipe to the whole of it, flow either way, any start."""
    states, shares, outsides, starts = cases(seed)
    found, apart = solved(states, shares, outsides, starts)
    assert apart == 0
    for flow, state, share, outside in zip(found, states, shares, outsides, strict=True):
        sound = state[0] * math.sqrt(RATIO * state[2] / state[0])
        assert flow == pytest.approx(expected(state, share, outside), abs=2e-6 * sound, rel=2e-6)


def test_ends_that_several_steps_leave_apart_are_bracketed_one_by_one():
    """The slower way of the same end, against the same root finder."""
    states, shares, outsides, _ = cases(9, 40)
    answer = np.empty(8)
    for state, share, outside in zip(states, shares, outsides, strict=True):
        row = np.ones(12)
        row[[kernels.R_PRES, kernels.R_TEMP, kernels.R_GAS, kernels.R_GAMMA]] = *outside, R, RATIO
        rho, u, p = state
        assert kernels._end(rho, u, p, 0.0, 1.0, share, share, row, GAS, GAS, answer)
        sound = rho * math.sqrt(RATIO * p / rho)
        assert answer[0] == pytest.approx(expected(state, share, outside), abs=2e-6 * sound, rel=2e-6)
