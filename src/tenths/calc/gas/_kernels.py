# pyright: basic
"""The inner loops of the gas model; compiled on first use and kept beside this file.

All pipes lie in one row of cells, two spare ones between neighbours, so that each pass runs over all of them at once. Nothing is
checked here: `network` makes the arrays. Energies are absolute; b is the share of burned gas by mass.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

# Rows of the state of the cells (mass, momentum, energy, burned mass, each in the whole cell)
MASS, MOMENTUM, ENERGY, BURNED = range(4)
# Rows of what is worked out for each cell
RHO, VEL, PRES, SHARE, SOUND, TEMP, GAMMA, QUICK = range(8)
# Rows of the cells' shape; of volume, length and diameter what they go into 1, since dividing is what takes longest
PER_VOLUME, PER_LENGTH, FACE, PER_DIAMETER, WALL, ROUGH, COOL = range(7)
# Columns of the pipe ends
E_CELL, E_SPARE, E_FACE, E_SIDE, E_RES, E_VALVE, E_CYL = range(7)
# Columns of the reservoirs: fixed ones, volumes, cylinders
R_MASS, R_ENERGY, R_BURNED, R_VOLUME, R_PRES, R_TEMP, R_GAS, R_GAMMA, R_H, R_SHARE, R_COOL, R_WALL = range(12)
FIXED, OPEN, CYLINDER = range(3)
# Columns of the cylinders' numbers
(C_BORE, C_STROKE, C_ROD, C_OFFSET, C_CLEAR, C_FIRE, C_HEAD, C_CROWN, C_THEAD, C_TCROWN, C_TLINER, C_HEAT,
 C_LEAK, C_CREVICE, C_CASE, C_OCTANE) = range(16)  # fmt: skip
# Columns of the cylinders' state
(Z_PRES, Z_TEMP, Z_TUNBURNED, Z_START, Z_DURATION, Z_SHAPE, Z_TOTAL, Z_RESIDUAL, Z_PREF, Z_VREF, Z_TREF, Z_KNOCK, Z_CREVICE_MASS,
 Z_BURNT, Z_CREVICE_SHARE, Z_VOL, Z_TAIL, Z_RISE) = range(18)  # fmt: skip
# What stays over a cycle of each cylinder
F_SIN, F_COS, F_TOP, F_FRESH, F_BURNED, F_WHOLE, F_KNOCK, F_FILM = range(8)
# What a cycle tells of each cylinder
(T_WORK, T_PUMP, T_FRESH_IN, T_TRAPPED, T_RESIDUAL, T_HEAT, T_PMAX, T_PMAX_AT, T_KNOCK, T_MEX, T_BLOWBY, T_BURNT, T_SHORT,
 T_HEX, T_TUMAX) = range(15)  # fmt: skip
# All rows of all cells lie in one array, each row this long: a compiler that knows the distance between rows need not fear that
# they overlap, and works on several cells at once. No multiple of a cache's size, so that rows do not crowd each other out.
ROW = 2056
AT_SHAPE, AT_PRIM, AT_LOW, AT_HIGH, AT_FLUX, AT_WALLS = 4 * ROW, 11 * ROW, 19 * ROW, 24 * ROW, 28 * ROW, 32 * ROW
ROWS = 35
AT_ONCE = 8  # loops over cells and ends run to a whole number of these; what lies beyond the last is there, and means nothing
WALLS_EVERY = 4  # steps of time
# Rows of the pipe ends, each this long, in one array as well. First what each end is (side +1 at a pipe's end, -1 at its start) and
# where its pressure lay the last time between that at a wall and the vessel's; then the pipe's state and the vessel's as they meet;
# what is worked out of them; the solution; what crosses the end; and what has crossed it since the cycle began.
END = 136
(Q_AREA, Q_OUT, Q_IN, Q_SIDE, Q_PART, Q_RHO, Q_U, Q_P, Q_B, Q_PR, Q_TR, Q_CR, Q_GR, Q_HR, Q_SR, Q_GAMMA, Q_CONST, Q_SOUND, Q_WALL,
 Q_THROAT, Q_CHOKE, Q_PER_P, Q_PER_Z, Q_KAPPA, Q_PER_GAMMA, Q_N, Q_PER_G, Q_NG, Q_PER_NR, Q_PER_PR, Q_PER_RT, Q_LOW, Q_HIGH, Q_GUESS,
 Q_LACK, Q_FLOW, Q_PULSE, Q_HEAT, Q_SHARE, Q_FRHO, Q_FU, Q_FP, Q_FB, Q_SUM_MASS, Q_SUM_ENERGY, Q_SUM_BURNED) = (
    END * row for row in range(46)
)  # fmt: skip
END_ROWS, END_FACES, END_SUMS = 46, slice(39, 43), slice(43, 46)
_AGREED = 1e-6  # of the flow at the speed of sound, by which both sides of an end may differ
_TINY = 1e-60
_TURNS = 4.0 * math.pi


@njit(cache=True, error_model="numpy", inline="always")
def _energy(coefficients, burned, share, temperature):
    """Energy per kilogram in a pipe."""
    e0 = coefficients[0] + share * (burned[0] - coefficients[0])
    c0 = coefficients[1] + share * (burned[1] - coefficients[1])
    c1 = coefficients[2] + share * (burned[2] - coefficients[2])
    return e0 + temperature * (c0 + 0.5 * c1 * temperature)


@njit(cache=True, error_model="numpy", inline="always")
def _warm(coefficients, burned, share, energy):
    """Temperature, heat capacity at constant volume and gas constant in a pipe, from energy per kilogram."""
    e0 = coefficients[0] + share * (burned[0] - coefficients[0])
    c0 = coefficients[1] + share * (burned[1] - coefficients[1])
    c1 = coefficients[2] + share * (burned[2] - coefficients[2])
    constant = coefficients[3] + share * (burned[3] - coefficients[3])
    root = math.sqrt(max(c0 * c0 + 2.0 * c1 * (energy - e0), 1.0))
    return 2.0 * (energy - e0) / (root + c0), root, constant


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract", "arcp"})
def primitives(w, cells, gas_fresh, gas_burned):
    """Density, velocity, pressure, share, sound, temperature, ratio of heats and its half over sound; returns the longest step."""
    f0, f1, f2, f3 = gas_fresh[0], gas_fresh[1], gas_fresh[2], gas_fresh[3]
    d0, d1, d2, d3 = gas_burned[0] - f0, gas_burned[1] - f1, gas_burned[2] - f2, gas_burned[3] - f3
    for i in range(cells):
        each = 1.0 / w[i]
        u = w[ROW + i] * each
        b = w[3 * ROW + i] * each
        inner = w[2 * ROW + i] * each - 0.5 * u * u - f0 - b * d0
        c0 = f1 + b * d1
        c1 = f2 + b * d2
        constant = f3 + b * d3
        root = math.sqrt(max(c0 * c0 + 2.0 * c1 * inner, 1.0))
        t = 2.0 * inner / (root + c0)
        r = w[i] * w[AT_SHAPE + i]
        ratio = 1.0 + constant / root
        a = math.sqrt(max(ratio * constant * t, 1e-12))
        w[AT_PRIM + i] = r
        w[AT_PRIM + ROW + i] = u
        w[AT_PRIM + 2 * ROW + i] = r * constant * t
        w[AT_PRIM + 3 * ROW + i] = b
        w[AT_PRIM + 4 * ROW + i] = a
        w[AT_PRIM + 5 * ROW + i] = t
        w[AT_PRIM + 6 * ROW + i] = ratio
        w[AT_PRIM + 7 * ROW + i] = 0.5 * ratio / a
        w[AT_FLUX + i] = (abs(u) + a) * w[AT_SHAPE + ROW + i]
    fastest = 0.0
    for i in range(cells):
        fastest = max(fastest, w[AT_FLUX + i])
    return 1.0 / fastest


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def half_stepped(w, cells, step):
    """States at both faces of each cell half a step ahead: limited slopes and the equations for density, velocity, pressure."""
    half = 0.5 * step
    for i in range(cells):
        j = i + 1
        r, u, p, b = w[AT_PRIM + j], w[AT_PRIM + ROW + j], w[AT_PRIM + 2 * ROW + j], w[AT_PRIM + 3 * ROW + j]
        a = w[AT_PRIM + 4 * ROW + j]
        # slopes between two differences that keep extremes (van Albada); one division for all four and 1 / r
        r1, r2 = r - w[AT_PRIM + i], w[AT_PRIM + i + 2] - r
        u1, u2 = u - w[AT_PRIM + ROW + i], w[AT_PRIM + ROW + i + 2] - u
        p1, p2 = p - w[AT_PRIM + 2 * ROW + i], w[AT_PRIM + 2 * ROW + i + 2] - p
        b1, b2 = b - w[AT_PRIM + 3 * ROW + i], w[AT_PRIM + 3 * ROW + i + 2] - b
        r3, u3, p3, b3 = r1 * r1 + r2 * r2 + _TINY, u1 * u1 + u2 * u2 + _TINY, p1 * p1 + p2 * p2 + _TINY, b1 * b1 + b2 * b2 + _TINY
        ru, pb = r3 * u3, p3 * b3
        each = 1.0 / (ru * pb * r)
        per_ru, per_pb = pb * r * each, ru * r * each
        per_r = ru * pb * each
        dr = max(r1 * r2, 0.0) * (r1 + r2) * u3 * per_ru
        du = max(u1 * u2, 0.0) * (u1 + u2) * r3 * per_ru
        dp = max(p1 * p2, 0.0) * (p1 + p2) * b3 * per_pb
        db = max(b1 * b2, 0.0) * (b1 + b2) * p3 * per_pb
        part = half * w[AT_SHAPE + ROW + j]
        # what a changing area does: d ln A over the cell
        spread = (w[AT_SHAPE + 2 * ROW + i + 2] - w[AT_SHAPE + 2 * ROW + j]) * w[AT_SHAPE + j]
        wider = half * u * spread
        r_half = max(r - part * (u * dr + r * du) - r * wider, 0.05 * r)
        u_half = u - part * (u * du + dp * per_r)
        p_half = max(p - part * (u * dp + r * a * a * du) - r * a * a * wider, 0.05 * p)
        b_half = b - part * u * db
        w[AT_LOW + j] = max(r_half - 0.5 * dr, 0.02 * r)
        w[AT_LOW + ROW + j] = u_half - 0.5 * du
        w[AT_LOW + 2 * ROW + j] = max(p_half - 0.5 * dp, 0.02 * p)
        w[AT_LOW + 3 * ROW + j] = b_half - 0.5 * db
        w[AT_HIGH + j] = max(r_half + 0.5 * dr, 0.02 * r)
        w[AT_HIGH + ROW + j] = u_half + 0.5 * du
        w[AT_HIGH + 2 * ROW + j] = max(p_half + 0.5 * dp, 0.02 * p)
        w[AT_HIGH + 3 * ROW + j] = b_half + 0.5 * db
        w[AT_LOW + 4 * ROW + j] = p_half


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def fluxes(w, cells, gas_fresh, gas_burned):
    """HLLC fluxes per area at the lower face of each cell."""
    f0, f1, f2, f3 = gas_fresh[0], gas_fresh[1], gas_fresh[2], gas_fresh[3]
    d0, d1, d2, d3 = gas_burned[0] - f0, gas_burned[1] - f1, gas_burned[2] - f2, gas_burned[3] - f3
    for i in range(cells):
        j = i + 1
        r1, u1, p1, b1 = w[AT_HIGH + i], w[AT_HIGH + ROW + i], w[AT_HIGH + 2 * ROW + i], w[AT_HIGH + 3 * ROW + i]
        r2, u2, p2, b2 = w[AT_LOW + j], w[AT_LOW + ROW + j], w[AT_LOW + 2 * ROW + j], w[AT_LOW + 3 * ROW + j]
        both = 1.0 / (r1 * r2)
        v1, v2 = both * r2, both * r1
        # speeds of sound by one step of Newton's root from those of the cells, which is never too low
        a1 = 0.5 * w[AT_PRIM + 4 * ROW + i] + w[AT_PRIM + 7 * ROW + i] * p1 * v1
        a2 = 0.5 * w[AT_PRIM + 4 * ROW + j] + w[AT_PRIM + 7 * ROW + j] * p2 * v2
        s1 = min(u1 - a1, u2 - a2)
        s2 = max(u1 + a1, u2 + a2)
        q1 = r1 * (s1 - u1)
        q2 = r2 * (s2 - u2)
        s = (p2 - p1 + u1 * q1 - u2 * q2) / (q1 - q2)
        # one side of the contact, chosen by weight
        x = 0.5 + math.copysign(0.5, s)
        y = 1.0 - x
        r, v, u, p, b = x * r1 + y * r2, x * v1 + y * v2, x * u1 + y * u2, x * p1 + y * p2, x * b1 + y * b2
        sk, q = x * s1 + y * s2, x * q1 + y * q2
        constant = f3 + b * d3
        ahead = sk - s
        each = 1.0 / (constant * ahead * q)
        t = p * v * ahead * q * each
        e = f0 + b * d0 + t * (f1 + b * d1 + 0.5 * (f2 + b * d2) * t) + 0.5 * u * u
        # the outer wave counts only if it runs against the flow
        away = x * min(s1, 0.0) + y * max(s2, 0.0)
        star = q * q * constant * each
        m_flux = r * u + away * (star - r)
        w[AT_FLUX + j] = m_flux
        w[AT_FLUX + ROW + j] = r * u * u + p + away * (star * s - r * u)
        w[AT_FLUX + 2 * ROW + j] = u * (r * e + p) + away * (star * (e + (s - u) * (s + p * constant * ahead * each)) - r * e)
        w[AT_FLUX + 3 * ROW + j] = m_flux * b


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def walls(w, cells):
    """Friction factors, and heat that goes with friction; they change slowly, so not every step asks for them anew."""
    for i in range(cells):
        r, u, p, t = w[AT_PRIM + i], w[AT_PRIM + ROW + i], w[AT_PRIM + 2 * ROW + i], w[AT_PRIM + 5 * ROW + i]
        gamma, each = w[AT_PRIM + 6 * ROW + i], w[AT_SHAPE + 3 * ROW + i]
        # viscosity as T^0.625 about 300 K, within 4 % up to 1500 K
        warm = math.sqrt(t * 3.3333e-3)
        thick = 1.85e-5 * warm * math.sqrt(math.sqrt(warm)) * each
        rough = 2.0 * each * w[AT_SHAPE + 5 * ROW + i]
        # friction of Blasius' law, and that of a laminar stream, which alone counts below 1 kg/(m2 s)
        w[AT_WALLS + i] = rough * 0.0791 * math.sqrt(math.sqrt(thick / max(r * abs(u), 1.0)))
        w[AT_WALLS + ROW + i] = rough * 4.0 * thick / w[AT_SHAPE + i]
        # Reynolds' analogy with Colburn's factor; Pr 0.7
        w[AT_WALLS + 2 * ROW + i] = w[AT_SHAPE + 6 * ROW + i] * 1.268 * gamma * p / ((gamma - 1.0) * r * t)


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def updated(w, cells, step):
    """Cells a step on, with wall friction and heat."""
    for i in range(cells):
        j = i + 1
        lower = w[AT_SHAPE + 2 * ROW + i] * step
        upper = w[AT_SHAPE + 2 * ROW + j] * step
        u = w[AT_PRIM + ROW + i]
        pull = (w[AT_WALLS + i] * w[i] * abs(u) + w[AT_WALLS + ROW + i]) * step
        heat = w[AT_WALLS + 2 * ROW + i] * pull * (w[AT_SHAPE + 4 * ROW + i] - w[AT_PRIM + 5 * ROW + i])
        w[i] += lower * w[AT_FLUX + i] - upper * w[AT_FLUX + j]
        w[ROW + i] += (
            lower * w[AT_FLUX + ROW + i] - upper * w[AT_FLUX + ROW + j] + w[AT_LOW + 4 * ROW + i] * (upper - lower) - pull * u
        )
        w[2 * ROW + i] += lower * w[AT_FLUX + 2 * ROW + i] - upper * w[AT_FLUX + 2 * ROW + j] + heat
        w[3 * ROW + i] += lower * w[AT_FLUX + 3 * ROW + i] - upper * w[AT_FLUX + 3 * ROW + j]


@njit(cache=True, error_model="numpy", inline="always")
def _throat(area, p0, t0, constant, gamma, p):
    """Mass flow from rest through a throat to a pressure below."""
    ratio = p / p0
    if ratio >= 1.0:
        return 0.0
    if ratio < 0.6:
        ratio = max(ratio, math.exp(gamma / (gamma - 1.0) * math.log(2.0 / (gamma + 1.0))))
    x = math.exp(math.log(ratio) / gamma)
    return area * p0 / math.sqrt(constant * t0) * math.sqrt(max(2.0 * gamma / (gamma - 1.0) * (x * x - x * ratio), 0.0))


@njit(cache=True, error_model="numpy", inline="always")
def _outgoing(p, p_i, u_i, rho_i, gamma):
    """Outward velocity that the wave leaving the pipe allows at a pressure (two shocks, both ways)."""
    rise = (p - p_i) / p_i
    return u_i - (p - p_i) / math.sqrt(gamma * p_i * rho_i * max(1.0 + (gamma + 1.0) / (2.0 * gamma) * rise, 0.05))


@njit(cache=True, error_model="numpy", inline="always")
def _power(ratio, exponent):
    """Power of a ratio from 0.4 to 1 by an exponent from 0 to 1, to eight digits, and exact at 1: it runs on several ends at once."""
    s = (ratio - 1.0) / (ratio + 1.0)
    q = s * s
    tail = 1.0 / 9.0 + q * (1.0 / 11.0 + q * (1.0 / 13.0 + q * (1.0 / 15.0 + q * (1.0 / 17.0))))
    y = exponent * s * (1.0 + q * (1.0 / 3.0 + q * (0.2 + q * (1.0 / 7.0 + q * tail))))
    # e to the half, squared
    far = 1.0 / 120.0 + y * (1.0 / 720.0 + y * (1.0 / 5040.0 + y * (1.0 / 40320.0)))
    half = 1.0 + y * (1.0 + y * (0.5 + y * (1.0 / 6.0 + y * (1.0 / 24.0 + y * far))))
    return half * half


@njit(cache=True, error_model="numpy", inline="always")
def _choke(gamma):
    """Critical ratio of pressures, to six digits for ratios of heats from 1.1 to 1.67."""
    h = gamma - 1.3
    return 0.54572747 + h * (-0.18071641 + h * (0.06497173 + h * (-0.02448563 + h * 0.00813448)))


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def _ends_met(e, ends, gas_fresh, gas_burned):
    """What the ends' equations need: gas of the pipes there, the pressure at a wall, and where to look for the one that fits."""
    f1, f2, f3 = gas_fresh[1], gas_fresh[2], gas_fresh[3]
    d1, d2, d3 = gas_burned[1] - f1, gas_burned[2] - f2, gas_burned[3] - f3
    for j in range(ends):
        r, u, p, b = e[Q_RHO + j], e[Q_U + j], e[Q_P + j], e[Q_B + j]
        outside, area, out, into, g_r = e[Q_PR + j], e[Q_AREA + j], e[Q_OUT + j], e[Q_IN + j], e[Q_GR + j]
        rt_r = e[Q_TR + j] * e[Q_CR + j]
        constant = f3 + b * d3
        t = p / (r * constant)
        heats = f1 + b * d1 + (f2 + b * d2) * t
        gamma = 1.0 + constant / heats
        sound = math.sqrt(gamma * constant * t)
        mach = u / sound
        k = 0.25 * (gamma + 1.0) * mach
        wall = p * max(1.0 + gamma * mach * (k + math.sqrt(1.0 + k * k)), 0.02)
        outward = wall > outside
        throat = min(out if outward else into, area)
        g = gamma if outward else g_r
        per_gamma = 1.0 / gamma
        per_g_r = 1.0 / g_r
        e[Q_CHOKE + j] = _choke(g)
        e[Q_GAMMA + j], e[Q_CONST + j], e[Q_SOUND + j], e[Q_WALL + j] = gamma, constant, sound, wall
        e[Q_PER_P + j], e[Q_PER_Z + j] = 1.0 / p, 1.0 / (r * sound)
        e[Q_KAPPA + j], e[Q_N + j] = 0.5 + 0.5 * per_gamma, 1.0 + heats / constant
        e[Q_PER_GAMMA + j] = per_gamma
        e[Q_PER_G + j], e[Q_PER_NR + j] = per_gamma if outward else per_g_r, 1.0 - per_g_r
        e[Q_NG + j] = g / (g - 1.0)
        e[Q_PER_PR + j], e[Q_PER_RT + j] = 1.0 / outside, 1.0 / rt_r
        e[Q_THROAT + j] = max(throat - 1e-12, 0.0) / area if wall != outside else 0.0
        e[Q_LOW + j], e[Q_HIGH + j] = min(wall, outside), max(wall, outside)
        e[Q_GUESS + j] = wall + e[Q_PART + j] * (outside - wall)


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def _ends_nearer(e, ends):
    """One step towards the pressures of all ends at once; returns how far apart the worst end's flows are, over flow at the speed of sound.

    At a pressure in the pipe's end the wave that leaves the pipe allows one velocity, and the throat passes another: the squares of
    both are compared, which are smooth where the velocities are not. An end that agrees keeps its pressure.
    """
    for j in range(ends):
        p, p_i, u_i, r_i = e[Q_GUESS + j], e[Q_P + j], e[Q_U + j], e[Q_RHO + j]
        gamma, sound, per_z, kappa, n = e[Q_GAMMA + j], e[Q_SOUND + j], e[Q_PER_Z + j], e[Q_KAPPA + j], e[Q_N + j]
        p_r, rt_r, per_nr = e[Q_PR + j], e[Q_TR + j] * e[Q_CR + j], e[Q_PER_NR + j]
        throat, low, high, per_g, choke = e[Q_THROAT + j], e[Q_LOW + j], e[Q_HIGH + j], e[Q_PER_G + j], e[Q_CHOKE + j]
        outward = e[Q_WALL + j] > p_r
        each = 1.0 / p
        # the wave
        rise = (p - p_i) * e[Q_PER_P + j]
        flat = 1.0 / math.sqrt(max(1.0 + kappa * rise, 0.05))
        stiff = per_z * flat
        u = u_i - (p - p_i) * stiff
        u_slope = -stiff * (1.0 - 0.5 * kappa * rise * flat * flat)
        uu = u * u
        u_part = 2.0 * u * u_slope
        # gas that leaves: from the pipe, and its velocity counts
        r_out = max(r_i + (p - p_i) * r_i * per_z * per_z * r_i, 0.05 * r_i)
        rt_out = p / r_out
        sonic = gamma * rt_out
        arrives = min(uu, sonic)
        z = 0.5 * arrives * r_out * each * (1.0 - e[Q_PER_GAMMA + j])
        whole = 1.0 + n * z * (1.0 + (n - 1.0) * 0.5 * z * (1.0 + (n - 2.0) * (1.0 / 3.0) * z * (1.0 + (n - 3.0) * 0.25 * z * (
            1.0 + (n - 4.0) * 0.2 * z * (1.0 + (n - 5.0) * (1.0 / 6.0) * z)))))  # fmt: skip
        # gas that enters: from rest
        rt_in = max(rt_r - 0.5 * uu * per_nr, 0.5 * rt_r)
        per_in = 1.0 / rt_in
        rt = rt_out if outward else rt_r
        least = choke * whole if outward else choke
        open_ratio = p_r * each if outward else p * e[Q_PER_PR + j]
        ratio = min(max(open_ratio, least), 1.0)
        x = _power(ratio, per_g)
        y = ratio / x
        speed = (arrives if outward else 0.0) + 2.0 * e[Q_NG + j] * rt * (1.0 - y)
        # density before the throat over that in the pipe
        scale = throat * x * (1.0 if outward else p_r * each * rt_in * e[Q_PER_RT + j])
        scale *= scale
        passed = scale * max(speed, 0.0)
        lack = passed - uu
        # how both change with the pressure
        falls = 2.0 * each * (rt * y - speed * per_g) if open_ratio > least else 0.0
        out_slope = scale * (falls + u_part)
        in_slope = -scale * (falls + 2.0 * speed * (each + 0.5 * u_part * per_nr * per_in))
        least_slope = 1e-9 * sound * sound * each
        slope = min(u_part - out_slope, -least_slope) if outward else max(u_part - in_slope, least_slope)
        # where a square that changes evenly meets the square of what changes evenly
        root = math.sqrt(max(slope * slope + 4.0 * u_slope * u_slope * lack, 0.0))
        further = 2.0 * lack / (slope - root if outward else slope + root)
        density = r_out if outward else p * per_in
        passes = math.sqrt(passed)
        goes = math.sqrt(arrives) if outward else abs(u)
        # no wave runs up a stream faster than sound: the pressure there must be higher
        beyond = 0.5 * max(uu - sonic, 0.0) / sound if outward else 0.0
        rest = density * max(abs(passes - goes), beyond) * per_z if throat > 0.0 else 0.0
        raised = (lack > 0.0) != outward
        low = p if raised else low
        high = high if raised else p
        e[Q_LOW + j], e[Q_HIGH + j] = low, high
        e[Q_GUESS + j] = p if rest <= _AGREED else min(max(p + further, low), high)
        e[Q_LACK + j] = rest
        # kept in case that this was the last step
        e[Q_FLOW + j] = 0.5 * density * (passes + goes)
        e[Q_FU + j], e[Q_FRHO + j] = goes, density
    worst = 0.0
    for j in range(ends):
        worst = max(worst, e[Q_LACK + j])
    return worst


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def _ends_told(e, ends, step, gas_fresh, gas_burned):
    """Fluxes per area at the ends, the state there, and the sums of what crossed; outward from the pipe."""
    f0, f1, f2 = gas_fresh[0], gas_fresh[1], gas_fresh[2]
    d0, d1, d2 = gas_burned[0] - f0, gas_burned[1] - f1, gas_burned[2] - f2
    for j in range(ends):
        p, wall, p_i, r_i, b_i = e[Q_GUESS + j], e[Q_WALL + j], e[Q_P + j], e[Q_RHO + j], e[Q_B + j]
        u_i, gamma, constant, sound = e[Q_U + j], e[Q_GAMMA + j], e[Q_CONST + j], e[Q_SOUND + j]
        throat, outside, area = e[Q_THROAT + j], e[Q_PR + j], e[Q_AREA + j]
        outward = wall > outside
        shut = throat <= 0.0
        # faster than sound into the open: nothing outside is heard
        free = outward and u_i >= sound and throat > 0.98
        p = wall if shut else (p_i if free else p)
        rho = r_i * (1.0 + (wall / p_i - 1.0) / gamma) if shut else (r_i if free else e[Q_FRHO + j])
        u = 0.0 if shut else (u_i if free else (e[Q_FU + j] if outward else -e[Q_FU + j]))
        flow = 0.0 if shut else (r_i * u_i if free else (e[Q_FLOW + j] if outward else -e[Q_FLOW + j]))
        share = b_i if shut or outward else e[Q_SR + j]
        t = p / (rho * constant)
        leaving = f0 + b_i * d0 + t * (f1 + b_i * d1 + 0.5 * (f2 + b_i * d2) * t) + p / rho + 0.5 * u * u
        heat = flow * (leaving if outward else e[Q_HR + j])
        e[Q_FLOW + j], e[Q_PULSE + j], e[Q_HEAT + j], e[Q_SHARE + j] = flow, flow * u + p, heat, flow * share
        e[Q_FRHO + j], e[Q_FU + j], e[Q_FP + j], e[Q_FB + j] = rho, u, p, share
        kept = (p - wall) / (outside - wall)
        e[Q_PART + j] = e[Q_PART + j] if shut or free else min(max(kept, 0.0), 1.0)
        each = area * step
        e[Q_SUM_MASS + j] += flow * each
        e[Q_SUM_ENERGY + j] += heat * each
        e[Q_SUM_BURNED + j] += flow * share * each


@njit(cache=True, error_model="numpy")
def _end(r_i, u_i, p_i, b_i, area, out_area, in_area, res, gas_fresh, gas_burned, answer):
    """One pipe end against its reservoir, always between two pressures of which one is too high and one too low.

    r_i, u_i, p_i, b_i: the pipe's state there, u outward. answer: outward mass flow, momentum flux, energy flow, burned flow, and the state
    rho, u, p, b at the end. Returns whether the flows agree.
    """
    constant = gas_fresh[3] + b_i * (gas_burned[3] - gas_fresh[3])
    t_i = p_i / (r_i * constant)
    c0 = gas_fresh[1] + b_i * (gas_burned[1] - gas_fresh[1])
    c1 = gas_fresh[2] + b_i * (gas_burned[2] - gas_fresh[2])
    cv = c0 + c1 * t_i
    gamma = 1.0 + constant / cv
    a_i = math.sqrt(gamma * constant * t_i)
    # the pressure at which the pipe's end would stand still
    k = 0.25 * (gamma + 1.0) * u_i / a_i
    wall = p_i * max(1.0 + gamma * u_i / a_i * (k + math.sqrt(1.0 + k * k)), 0.02)
    p_r = res[R_PRES]
    outward = wall > p_r
    throat = min(out_area if outward else in_area, area)
    if throat <= 1e-12 or wall == p_r:
        answer[0], answer[1], answer[2], answer[3] = 0.0, wall * area, 0.0, 0.0
        answer[4], answer[5], answer[6], answer[7] = r_i * (1.0 + (wall / p_i - 1.0) / gamma), 0.0, wall, b_i
        return True
    if outward and u_i >= a_i and throat > 0.98 * area:
        # faster than sound into the open: nothing outside is heard
        flow = r_i * u_i * area
        enthalpy = _energy(gas_fresh, gas_burned, b_i, t_i) + p_i / r_i + 0.5 * u_i * u_i
        answer[0], answer[1], answer[2], answer[3] = flow, flow * u_i + p_i * area, flow * enthalpy, flow * b_i
        answer[4], answer[5], answer[6], answer[7] = r_i, u_i, p_i, b_i
        return True
    low, high, part, slope = 0.0, 1.0, 0.5, 0.0
    before, f_before = 0.0, 0.0
    scale = r_i * a_i * area
    mass, rho, u, p = 0.0, 0.0, 0.0, 0.0
    good = False
    for k in range(60):
        p = wall + part * (p_r - wall)
        u = _outgoing(p, p_i, u_i, r_i, gamma)
        if outward:
            rho = max(r_i + (p - p_i) / (a_i * a_i), 0.05 * r_i)
            t = p / (rho * constant)
            sonic = math.sqrt(gamma * constant * t)
            beyond = u - sonic
            u = min(u, sonic)
            # stagnation state of what arrives
            t0 = t + 0.5 * u * u / (cv + constant)
            p0 = p * math.exp(gamma / (gamma - 1.0) * math.log(t0 / t))
            mass = _throat(throat, p0, t0, constant, gamma, p_r)
            # no wave runs up a faster stream: the pressure there must be higher
            lack = mass - rho * u * area if beyond <= 0.0 else -rho * area * beyond
        else:
            mass = _throat(throat, p_r, res[R_TEMP], res[R_GAS], res[R_GAMMA], p)
            into = -u
            t = max(res[R_TEMP] - 0.5 * into * into * (res[R_GAMMA] - 1.0) / (res[R_GAMMA] * res[R_GAS]), 0.5 * res[R_TEMP])
            rho = p / (res[R_GAS] * t)
            lack = mass - rho * into * area
        if abs(lack) <= _AGREED * scale:
            good = True
            break
        if lack > 0.0:
            low = part
        else:
            high = part
        if high - low < 1e-12:
            good = True
            break
        if k > 0 and part != before:
            slope = (lack - f_before) / (part - before)
        before, f_before = part, lack
        part = part - lack / slope if slope < 0.0 else 0.5 * (low + high)
        if part <= low or part >= high or (k > 12 and k % 3 == 0):
            part = 0.5 * (low + high)
    if outward:
        flow = 0.5 * (mass + rho * u * area)
        enthalpy = _energy(gas_fresh, gas_burned, b_i, p / (rho * constant)) + p / rho + 0.5 * u * u
        answer[0], answer[1], answer[2], answer[3] = flow, flow * u + p * area, flow * enthalpy, flow * b_i
        answer[7] = b_i
    else:
        flow = -0.5 * (mass - rho * u * area)
        answer[0], answer[1], answer[2], answer[3] = flow, flow * u + p * area, flow * res[R_H], flow * res[R_SHARE]
        answer[7] = res[R_SHARE]
    answer[4], answer[5], answer[6] = rho, u, p
    return good


@njit(cache=True, error_model="numpy", inline="always")
def _row_of(tables, energies, pressure):
    """Where a pressure lies among the columns of the tables of burned gas."""
    return min(max((math.log(pressure) - tables[2]) / tables[3], 0.0), energies.shape[1] - 1.000001)


@njit(cache=True, error_model="numpy", inline="always")
def _burned_table(energies, constants, first, between, y, temperature):
    """Energy, its slope with temperature and gas constant of burned gas in the cylinder; y: from `_row_of` of its pressure."""
    x = min(max((temperature - first) / between, 0.0), energies.shape[0] - 1.000001)
    i, j = int(x), int(y)
    x -= i
    y -= j
    e_low = energies[i, j] + y * (energies[i, j + 1] - energies[i, j])
    e_high = energies[i + 1, j] + y * (energies[i + 1, j + 1] - energies[i + 1, j])
    r_low = constants[i, j] + y * (constants[i, j + 1] - constants[i, j])
    r_high = constants[i + 1, j] + y * (constants[i + 1, j + 1] - constants[i + 1, j])
    slope = (e_high - e_low) / between
    return e_low + x * (e_high - e_low), slope, r_low + x * (r_high - r_low)


@njit(cache=True, error_model="numpy", inline="always")
def _fresh_table(energies, first, between, temperature):
    """Energy and its slope of the fresh charge."""
    x = min(max((temperature - first) / between, 0.0), energies.size - 1.000001)
    i = int(x)
    slope = (energies[i + 1] - energies[i]) / between
    return energies[i] + (x - i) * between * slope, slope


@njit(cache=True, error_model="numpy")
def one_zone(
    mass, burned, energy, volume, change, before, temperature, pressure, tables, energies, energies_burned, constants_burned, out
):
    """Pressure and temperature of mixed gas after a piston's step; `out`: pressure, temperature, gas constant, heat capacity.

    energy: before the step's work, which is that of the mean of the pressure `before` and the new one on `change` of the volume.
    """
    share = burned / mass
    first, between, fresh_constant = tables[0], tables[1], tables[4]
    constant, slope = fresh_constant, 700.0
    y = _row_of(tables, energies_burned, pressure)
    for _ in range(30):
        e_b, s_b, r_b = _burned_table(energies_burned, constants_burned, first, between, y, temperature)
        e_f, s_f = _fresh_table(energies, first, between, temperature)
        constant = fresh_constant + share * (r_b - fresh_constant)
        slope = s_f + share * (s_b - s_f)
        pressure = mass * constant * temperature / volume
        inner = (energy - 0.5 * (before + pressure) * change) / mass
        stiff = slope + 0.5 * constant * change / volume
        moved = (inner - e_f - share * (e_b - e_f)) / stiff
        temperature = min(max(temperature + moved, first), first + between * (energies.size - 1))
        # a step of Newton from so near leaves far less
        if abs(moved) < 3e-5 * temperature:
            break
    out[0], out[1], out[2], out[3] = mass * constant * temperature / volume, temperature, constant, slope


@njit(cache=True, error_model="numpy")
def two_zones(
    unburned, unburned_share, burnt, energy, volume, change, t_unburned, before, pressure, t_burned, tables, energies, energies_burned,
    constants_burned, out,
):
    """Pressure and both temperatures while the charge burns; the unburned zone follows its isentrope from the last step.

    energy: as of `one_zone`. `out`: pressure, unburned and burned temperature, gas constant of the unburned, whether it settled.
    """
    first, between, fresh_constant = tables[0], tables[1], tables[4]
    t_u, t_b = t_unburned, t_burned
    p = pressure
    low, high = 0.2 * pressure, 5.0 * pressure
    last_p, last_lack = 0.0, 0.0
    r_u = fresh_constant
    settled = 0.0
    for k in range(60):
        y = _row_of(tables, energies_burned, p)
        _, s_b0, r_b0 = _burned_table(energies_burned, constants_burned, first, between, y, t_u)
        _, s_f = _fresh_table(energies, first, between, t_u)
        r_u = fresh_constant + unburned_share * (r_b0 - fresh_constant)
        c_u = s_f + unburned_share * (s_b0 - s_f)
        t_u = t_unburned * math.exp(r_u / (c_u + r_u) * math.log(p / before))
        room = volume - unburned * r_u * t_u / p
        # the burned zone fills what is left
        e_b, _, r_b = _burned_table(energies_burned, constants_burned, first, between, y, t_b)
        for _ in range(2):
            t_b = min(max(p * room / (burnt * r_b), first), 3790.0)
            e_b, _, r_b = _burned_table(energies_burned, constants_burned, first, between, y, t_b)
        e_f, _ = _fresh_table(energies, first, between, t_u)
        e_b0, _, _ = _burned_table(energies_burned, constants_burned, first, between, y, t_u)
        lack = energy - 0.5 * (before + p) * change - unburned * (e_f + unburned_share * (e_b0 - e_f)) - burnt * e_b
        if abs(lack) < 1.0 * (unburned + burnt):
            settled = 1.0
            break
        if lack > 0.0:
            low = p
        else:
            high = p
        # at first as if everything were heated at its volume, with a ratio of heats of 1.27
        slope = -3.7 * volume if k == 0 else (lack - last_lack) / (p - last_p)
        last_p, last_lack = p, lack
        p = p - lack / slope if slope < 0.0 else 0.5 * (low + high)
        if p <= low or p >= high:
            p = 0.5 * (low + high)
        if high - low < 1e-9 * p:
            settled = 1.0
            break
    out[0], out[1], out[2], out[3], out[4] = p, t_u, t_b, r_u, settled


@njit(cache=True, error_model="numpy", inline="always")
def _own(angle, fires):
    """Angle of a cylinder from its firing top dead centre, from -2 pi to 2 pi; both given from 0 to 4 pi."""
    own = angle - fires
    if own > 0.5 * _TURNS:
        return own - _TURNS
    return own + _TURNS if own <= -0.5 * _TURNS else own


@njit(cache=True, error_model="numpy", inline="always")
def _area_at(table, own):
    """Effective area of a valve group: out of the cylinder's side first; even steps of the angle from -2 pi."""
    steps = table.shape[1]
    at = (own + 0.5 * _TURNS) / _TURNS * steps
    i = int(at)
    part = at - i
    i = i % steps
    j = (i + 1) % steps
    return table[0, i] + part * (table[0, j] - table[0, i]), table[1, i] + part * (table[1, j] - table[1, i])


@njit(cache=True, error_model="numpy", inline="always")
def _film_of_heat(kind, pressure, temperature, fixed, state, c, own, volume, swept, piston):
    """Coefficient of heat transfer [W/(m2 K)]; 0 Woschni, 1 Hohenberg."""
    if kind == 1:
        return 130.0 * math.exp(0.8 * math.log(pressure * 1e-5 * (piston + 1.4)) - 0.4 * math.log(temperature) - 0.06 * math.log(volume))
    open_gas = abs(own) > 2.2
    velocity = (6.18 if open_gas else 2.28) * piston
    if own > state[c, Z_START] and not open_gas:
        motored = state[c, Z_PREF] * math.exp(1.32 * math.log(state[c, Z_VREF] / volume))
        velocity += 3.24e-3 * swept * state[c, Z_TREF] / (state[c, Z_PREF] * state[c, Z_VREF]) * max(pressure - motored, 0.0)
    return fixed[c, F_FILM] * math.exp(0.8 * math.log(pressure * velocity) - 0.55 * math.log(temperature))


@njit(cache=True, error_model="numpy", inline="always")
def _leaked(area, pressure, rt, gamma, case):
    """Mass flow past the rings, from rest."""
    ratio = min(max(case / pressure, _choke(gamma)), 1.0)
    x = _power(ratio, 1.0 / gamma)
    return area * pressure * math.sqrt(2.0 * gamma / (gamma - 1.0) * max(x * x - x * ratio, 0.0) / rt)


@njit(cache=True, error_model="numpy")
def cylinder_step(z, state, reservoirs, c, r, own, depth, volume, fixed, speed, step, kind, tables, energies, energies_burned,
                  constants_burned, told, out, zones):  # fmt: skip
    """A cylinder after its flows have been added: piston, burning, heat, leak; then its new pressure.

    c, r: its rows among cylinders and reservoirs. own, depth, volume: of its piston at the end of the step. fixed: see `_fixed`.
    """
    before = state[c, Z_VOL]
    swept = 0.25 * math.pi * z[c, C_BORE] ** 2 * z[c, C_STROKE]
    piston = z[c, C_STROKE] * speed / math.pi
    pressure, temperature = state[c, Z_PRES], state[c, Z_TEMP]
    burning_before = state[c, Z_BURNT]
    mass, energy, burned = reservoirs[r, R_MASS], reservoirs[r, R_ENERGY], reservoirs[r, R_BURNED]
    constant, gamma, enthalpy = reservoirs[r, R_GAS], reservoirs[r, R_GAMMA], reservoirs[r, R_H]
    # heat to head, crown and liner
    coefficient = z[c, C_HEAT] * _film_of_heat(kind, pressure, temperature, fixed, state, c, own, before, swept, piston)
    liner = math.pi * z[c, C_BORE] * max(depth, 0.0)
    hot = z[c, C_HEAD] * (temperature - z[c, C_THEAD]) + z[c, C_CROWN] * (temperature - z[c, C_TCROWN])
    lost = coefficient * (hot + liner * (temperature - z[c, C_TLINER])) * step
    energy -= lost
    told[c, T_HEAT] += lost
    share = burned / mass
    # past the rings
    if z[c, C_LEAK] > 0.0 and pressure > z[c, C_CASE]:
        gone = _leaked(z[c, C_LEAK], pressure, constant * temperature, gamma, z[c, C_CASE]) * step
        energy -= gone * enthalpy
        burned -= gone * share
        mass -= gone
        told[c, T_BLOWBY] += gone
    # what hides between piston and wall and comes back, at the wall's temperature
    if z[c, C_CREVICE] > 0.0:
        held = pressure * z[c, C_CREVICE] / (constant * z[c, C_TLINER])
        moved = held - state[c, Z_CREVICE_MASS]
        if moved > 0.0:
            state[c, Z_CREVICE_SHARE] = (state[c, Z_CREVICE_SHARE] * state[c, Z_CREVICE_MASS] + share * moved) / held
            back = share
        else:
            back = state[c, Z_CREVICE_SHARE]
        cool = fixed[c, F_FRESH] + back * (fixed[c, F_BURNED] - fixed[c, F_FRESH]) + constant * z[c, C_TLINER]
        if moved > 0.0:
            # the wall takes what the gas loses down to its own temperature
            told[c, T_HEAT] += moved * (enthalpy - cool)
        energy -= moved * (enthalpy if moved > 0.0 else cool)
        burned -= moved * back
        mass -= moved
        state[c, Z_CREVICE_MASS] = held
    # burning
    closed = abs(own) < 2.6
    x = 0.0
    if closed and own > state[c, Z_START]:
        part = (own - state[c, Z_START]) / state[c, Z_DURATION]
        x = min((1.0 - math.exp(-state[c, Z_TAIL] * math.exp((state[c, Z_SHAPE] + 1.0) * math.log(part)))) * fixed[c, F_WHOLE], 1.0)
    if (closed and ((burning_before <= 0.0 and x > 0.0) or own < state[c, Z_START])) or state[c, Z_TOTAL] <= 0.0:
        state[c, Z_TOTAL], state[c, Z_RESIDUAL] = mass, burned / mass
    change = volume - before
    two = x > 0.002 and x < 0.998
    guess = pressure * (1.0 - gamma * change / (0.5 * (before + volume)))
    squeezed = guess
    if two and burning_before > 0.002:
        # burning lifts it about as in the last step
        guess += state[c, Z_RISE] * step
    if x > 0.0:
        burned = mass * (state[c, Z_RESIDUAL] + (1.0 - state[c, Z_RESIDUAL]) * x)
        told[c, T_BURNT] = x
    settled = 1.0
    if two:
        two_zones(
            mass * (1.0 - x), state[c, Z_RESIDUAL], mass * x, energy, volume, change, state[c, Z_TUNBURNED], pressure, guess,
            max(temperature, 1500.0) if burning_before < 0.002 else zones[c, 1], tables, energies, energies_burned, constants_burned, out,
        )  # fmt: skip
        settled = out[4]
    else:
        one_zone(mass, burned, energy, volume, change, pressure, temperature, guess, tables, energies, energies_burned,
                 constants_burned, out)  # fmt: skip
    guess = out[0]
    state[c, Z_RISE] = (guess - squeezed) / step
    work = 0.5 * (pressure + guess) * change
    energy -= work
    told[c, T_WORK if abs(own) < math.pi else T_PUMP] += work
    if two:
        # the unburned zone loses its part of the heat
        t_u, t_b = out[1], out[2]
        unburned_room = mass * (1.0 - x) * out[3] * t_u / guess
        part = math.exp(0.6667 * math.log(unburned_room / volume)) * max(t_u - z[c, C_TLINER], 0.0) / max(temperature - z[c, C_TLINER], 1.0)
        t_u -= min(lost * part / (mass * (1.0 - x) * 1100.0), 0.01 * t_u)
        _, c_v, r_b = _burned_table(
            energies_burned, constants_burned, tables[0], tables[1], _row_of(tables, energies_burned, guess), t_b
        )
        constant = (1.0 - x) * out[3] + x * r_b
        temperature = guess * volume / (mass * constant)
    else:
        temperature, constant, c_v = out[1], out[2], out[3]
        t_u, t_b = temperature, temperature
    state[c, Z_TUNBURNED], zones[c, 0], zones[c, 1] = t_u, t_u, t_b
    # knock of the end gas: Douaud and Eyzat
    if closed and own > -1.6 and x < 0.9:
        per_delay = fixed[c, F_KNOCK] * math.exp(1.7 * math.log(guess) - 3800.0 / t_u)
        state[c, Z_KNOCK] += step * per_delay
        told[c, T_KNOCK] = max(told[c, T_KNOCK], state[c, Z_KNOCK])
        told[c, T_TUMAX] = max(told[c, T_TUMAX], t_u)
    if not closed:
        state[c, Z_KNOCK] = 0.0
        x = 0.0
    if guess > told[c, T_PMAX]:
        told[c, T_PMAX], told[c, T_PMAX_AT] = guess, own
    state[c, Z_BURNT] = x
    state[c, Z_PRES], state[c, Z_TEMP], state[c, Z_VOL] = guess, temperature, volume
    reservoirs[r, R_MASS], reservoirs[r, R_ENERGY], reservoirs[r, R_BURNED] = mass, energy, burned
    reservoirs[r, R_VOLUME] = volume
    reservoirs[r, R_PRES], reservoirs[r, R_TEMP], reservoirs[r, R_GAS] = guess, temperature, constant
    reservoirs[r, R_GAMMA] = 1.0 + constant / c_v
    reservoirs[r, R_H] = (energy + guess * volume) / mass
    reservoirs[r, R_SHARE] = burned / mass
    return settled


@njit(cache=True, error_model="numpy")
def _fixed(z, state, tables, energies, energies_burned, constants_burned, fixed):
    """What stays over a cycle of each cylinder: turn of its crank, top of its rod, gas at the liner, scale of burning and knock."""
    for c in range(z.shape[0]):
        radius = 0.5 * z[c, C_STROKE]
        fixed[c, F_SIN], fixed[c, F_COS] = math.sin(z[c, C_FIRE]), math.cos(z[c, C_FIRE])
        fixed[c, F_TOP] = math.sqrt((z[c, C_ROD] + radius) ** 2 - z[c, C_OFFSET] ** 2)
        fixed[c, F_FRESH] = _fresh_table(energies, tables[0], tables[1], z[c, C_TLINER])[0]
        y = 0.4 * energies_burned.shape[1]
        fixed[c, F_BURNED] = _burned_table(energies_burned, constants_burned, tables[0], tables[1], y, z[c, C_TLINER])[0]
        fixed[c, F_WHOLE] = 1.0 / (1.0 - math.exp(-state[c, Z_TAIL] * 1.6 ** (state[c, Z_SHAPE] + 1.0)))
        fixed[c, F_FILM] = 3.26 * math.exp(-0.8 * math.log(1e3) - 0.2 * math.log(z[c, C_BORE]))
        fixed[c, F_KNOCK] = 1.0 / (17.68e-3 * math.exp(3.402 * math.log(z[c, C_OCTANE] / 100.0) + 1.7 * math.log(101325.0)))


@njit(cache=True, error_model="numpy")
def _cylinders_stepped(z, state, reservoirs, first, angle, turned, fixed, speed, step, kind, tables, energies, energies_burned,
                       constants_burned, told, out, zones):  # fmt: skip
    """All cylinders at the end of a step; returns how many pressures did not settle."""
    apart = 0
    sine, cosine = math.sin(angle + turned), math.cos(angle + turned)
    for c in range(z.shape[0]):
        own = _own(angle + turned, z[c, C_FIRE])
        # of the angle less that at which it fires
        radius = 0.5 * z[c, C_STROKE]
        across = radius * (sine * fixed[c, F_COS] - cosine * fixed[c, F_SIN]) + z[c, C_OFFSET]
        along = radius * (cosine * fixed[c, F_COS] + sine * fixed[c, F_SIN]) + math.sqrt(z[c, C_ROD] ** 2 - across * across)
        depth = fixed[c, F_TOP] - along
        volume = z[c, C_CLEAR] + 0.25 * math.pi * z[c, C_BORE] * z[c, C_BORE] * depth
        ok = cylinder_step(z, state, reservoirs, c, first + c, own, depth, volume, fixed, speed, step, kind, tables, energies,
                           energies_burned, constants_burned, told, out, zones)  # fmt: skip
        if ok == 0.0:
            apart += 1
        if abs(own + 2.2) < 2.0 * turned:
            state[c, Z_PREF], state[c, Z_VREF], state[c, Z_TREF] = state[c, Z_PRES], state[c, Z_VOL], state[c, Z_TEMP]
            told[c, T_TRAPPED], told[c, T_RESIDUAL] = reservoirs[first + c, R_MASS], reservoirs[first + c, R_SHARE]
    return apart


@njit(cache=True, error_model="numpy")
def volume_state(reservoirs, r, gas_fresh, gas_burned):
    """Pressure and the rest of a volume from its mass, energy and burned mass."""
    res = reservoirs[r]
    share = res[R_BURNED] / res[R_MASS]
    t, root, constant = _warm(gas_fresh, gas_burned, share, res[R_ENERGY] / res[R_MASS])
    res[R_PRES] = res[R_MASS] * constant * t / res[R_VOLUME]
    res[R_TEMP], res[R_GAS], res[R_GAMMA], res[R_SHARE] = t, constant, 1.0 + constant / root, share
    res[R_H] = res[R_ENERGY] / res[R_MASS] + constant * t


@njit(cache=True, error_model="numpy")
def _spare_cells(w, ends, e):
    """States beside the ends of pipes, so that slopes there see what flows in and out."""
    for j in range(ends.shape[0]):
        cell, spare = ends[j, E_CELL], ends[j, E_SPARE]
        for row in range(4):
            at_face = e[Q_FRHO + row * END + j]
            if row == 1:
                at_face *= e[Q_SIDE + j]
            beyond = 2.0 * at_face - w[AT_PRIM + row * ROW + cell]
            if row in (0, 2):
                beyond = max(beyond, 0.3 * at_face)
            w[AT_PRIM + row * ROW + spare] = beyond
        for row in range(4, 8):
            w[AT_PRIM + row * ROW + spare] = w[AT_PRIM + row * ROW + cell]


@njit(cache=True, error_model="numpy")
def _ends_gathered(w, e, ends, reservoirs, valves, owns):
    """Pipes and vessels as they meet at each end; owns: angle of each cylinder."""
    for j in range(ends.shape[0]):
        side, r = ends[j, E_SIDE], ends[j, E_RES]
        edge = (AT_HIGH if side > 0 else AT_LOW) + ends[j, E_CELL]
        e[Q_RHO + j], e[Q_U + j] = w[edge], side * w[edge + ROW]
        e[Q_P + j], e[Q_B + j] = w[edge + 2 * ROW], w[edge + 3 * ROW]
        if r < 0:
            e[Q_OUT + j], e[Q_IN + j], r = 0.0, 0.0, 0
        elif ends[j, E_VALVE] >= 0:
            # the table is seen from the cylinder: out of the cylinder first
            e[Q_IN + j], e[Q_OUT + j] = _area_at(valves[ends[j, E_VALVE]], owns[ends[j, E_CYL]])
        if reservoirs.shape[0] > 0:
            e[Q_PR + j], e[Q_TR + j], e[Q_CR + j] = reservoirs[r, R_PRES], reservoirs[r, R_TEMP], reservoirs[r, R_GAS]
            e[Q_GR + j], e[Q_HR + j], e[Q_SR + j] = reservoirs[r, R_GAMMA], reservoirs[r, R_H], reservoirs[r, R_SHARE]


@njit(cache=True, error_model="numpy")
def _ends_solved(e, ends, reservoirs, gas_fresh, gas_burned, answer):
    """Pressures at all ends; those that a few steps of Newton leave apart are bracketed one by one. Returns how many stayed apart."""
    count = ends.shape[0]
    padded = (count + AT_ONCE - 1) // AT_ONCE * AT_ONCE
    _ends_met(e, padded, gas_fresh, gas_burned)
    for _ in range(8):
        if _ends_nearer(e, padded) <= _AGREED:
            return 0
    apart = 0
    for j in range(count):
        if e[Q_LACK + j] <= _AGREED:
            continue
        area = e[Q_AREA + j]
        if not _end(e[Q_RHO + j], e[Q_U + j], e[Q_P + j], e[Q_B + j], area, e[Q_OUT + j], e[Q_IN + j], reservoirs[ends[j, E_RES]],
                    gas_fresh, gas_burned, answer):  # fmt: skip
            apart += 1
        e[Q_FLOW + j], e[Q_FRHO + j], e[Q_FU + j], e[Q_GUESS + j] = abs(answer[0]) / area, answer[4], abs(answer[5]), answer[6]
    return apart


@njit(cache=True, error_model="numpy")
def _ends_given(w, e, ends, reservoirs, kinds, step, told):
    """What crosses the ends, to the faces of the pipes, to vessels and cylinders, and to the books of the cylinders."""
    for j in range(ends.shape[0]):
        face, r = ends[j, E_FACE], ends[j, E_RES]
        side, each = e[Q_SIDE + j], e[Q_AREA + j] * step
        w[AT_FLUX + face], w[AT_FLUX + ROW + face] = side * e[Q_FLOW + j], e[Q_PULSE + j]
        w[AT_FLUX + 2 * ROW + face], w[AT_FLUX + 3 * ROW + face] = side * e[Q_HEAT + j], side * e[Q_SHARE + j]
        if r < 0 or kinds[r] == FIXED:
            continue
        mass, burned = e[Q_FLOW + j] * each, e[Q_SHARE + j] * each
        reservoirs[r, R_MASS] += mass
        reservoirs[r, R_ENERGY] += e[Q_HEAT + j] * each
        reservoirs[r, R_BURNED] += burned
        valve = ends[j, E_VALVE]
        if valve >= 0:
            c = ends[j, E_CYL]
            if valve % 2 == 0:
                told[c, T_FRESH_IN] += mass - burned
            else:
                told[c, T_SHORT] -= mass - burned
                if mass < 0.0:
                    told[c, T_MEX] -= mass
                    told[c, T_HEX] -= mass * reservoirs[r, R_TEMP]


@njit(cache=True, error_model="numpy", nogil=True)
def cycle(
    w,
    cells,
    ends,
    e,
    reservoirs,
    kinds,
    cylinders,
    cylinder_state,
    valves,
    gas_fresh,
    gas_burned,
    tables,
    energies,
    energies_burned,
    constants_burned,
    speed,
    kind,
    courant,
    told,
    traces,
    pictures,
    looks,
):
    """One cycle of 720 degrees; returns the steps of time.

    told: see T_WORK and on; noughts at first. traces: pressure, temperature,
    unburned temperature and mass of each cylinder at even angles. pictures: pressure of each cell at even angles. looks: steps, and
    solutions that did not settle, a million where the gas came to what is no number.
    """
    fixed = np.empty((cylinders.shape[0], 8))
    _fixed(cylinders, cylinder_state, tables, energies, energies_burned, constants_burned, fixed)
    answer, out, owns = np.empty(8), np.empty(6), np.empty(cylinders.shape[0])
    count, steps, unsettled = cylinders.shape[0], 0, 0
    padded = (cells + AT_ONCE - 1) // AT_ONCE * AT_ONCE
    zones, past, before = np.empty((count, 2)), np.empty((count, 4)), 0.0
    for c in range(count):
        zones[c, 0], zones[c, 1] = cylinder_state[c, Z_TUNBURNED], cylinder_state[c, Z_TEMP]
        for row in range(4):
            past[c, row] = 0.0
    for i in range(3 * END):
        e[Q_SUM_MASS + i] = 0.0
    first_cylinder = reservoirs.shape[0] - count
    angle, recorded, pictured = 0.0, 0, 0
    while angle < _TURNS - 1e-9:
        longest = primitives(w, padded, gas_fresh, gas_burned)
        step = min(courant * longest, math.radians(2.0) / speed)
        turned = speed * step
        if angle + turned > _TURNS:
            turned = _TURNS - angle
            step = turned / speed
        while recorded < traces.shape[0] and angle >= recorded * _TURNS / traces.shape[0] - 1e-9:
            wanted = recorded * _TURNS / traces.shape[0]
            part = 1.0 if angle <= before else min(max((wanted - before) / (angle - before), 0.0), 1.0)
            for c in range(count):
                z = past[c, 0]
                traces[recorded, c, 0] = z + part * (cylinder_state[c, Z_PRES] - z)
                z = past[c, 1]
                traces[recorded, c, 1] = z + part * (cylinder_state[c, Z_TEMP] - z)
                z = past[c, 2]
                traces[recorded, c, 2] = z + part * (zones[c, 0] - z)
                z = past[c, 3]
                traces[recorded, c, 3] = z + part * (reservoirs[first_cylinder + c, R_MASS] - z)
            recorded += 1
        before = angle
        for c in range(count):
            past[c, 0], past[c, 1] = cylinder_state[c, Z_PRES], cylinder_state[c, Z_TEMP]
            past[c, 2], past[c, 3] = zones[c, 0], reservoirs[first_cylinder + c, R_MASS]
        while pictured < pictures.shape[0] and angle >= pictured * _TURNS / pictures.shape[0] - 1e-9:
            for i in range(cells):
                pictures[pictured, i] = w[AT_PRIM + 2 * ROW + i]
            pictured += 1
        _spare_cells(w, ends, e)
        if steps % WALLS_EVERY == 0:
            walls(w, padded)
        half_stepped(w, padded, step)
        fluxes(w, padded, gas_fresh, gas_burned)
        for c in range(count):
            owns[c] = _own(angle + 0.5 * turned, cylinders[c, C_FIRE])
        _ends_gathered(w, e, ends, reservoirs, valves, owns)
        unsettled += _ends_solved(e, ends, reservoirs, gas_fresh, gas_burned, answer)
        _ends_told(e, (ends.shape[0] + AT_ONCE - 1) // AT_ONCE * AT_ONCE, step, gas_fresh, gas_burned)
        _ends_given(w, e, ends, reservoirs, kinds, step, told)
        updated(w, padded, step)
        for j in range(ends.shape[0]):
            for row in range(4):
                w[row * ROW + ends[j, E_SPARE]] = w[row * ROW + ends[j, E_CELL]]
        for r in range(first_cylinder):
            if kinds[r] == OPEN:
                if reservoirs[r, R_COOL] > 0.0:
                    gained = reservoirs[r, R_COOL] * (reservoirs[r, R_WALL] - reservoirs[r, R_TEMP]) * step
                    reservoirs[r, R_ENERGY] += gained
                volume_state(reservoirs, r, gas_fresh, gas_burned)
        unsettled += _cylinders_stepped(cylinders, cylinder_state, reservoirs, first_cylinder, angle, turned, fixed, speed, step, kind,
                                        tables, energies, energies_burned, constants_burned, told, out, zones)  # fmt: skip
        angle += turned
        steps += 1
        if not w[AT_PRIM + 2 * ROW + ends[0, E_CELL]] > 0.0:
            unsettled += 1000000
            break
    looks[0] = steps
    looks[1] = unsettled
    return steps
