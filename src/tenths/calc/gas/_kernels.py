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
RHO, VEL, PRES, SHARE, SOUND, TEMP, GAMMA = range(7)
# Rows of the cells' shape
VOLUME, LENGTH, FACE, DIAMETER, WALL, ROUGH, COOL = range(7)
# Columns of the pipe ends
E_CELL, E_SPARE, E_FACE, E_SIDE, E_RES, E_VALVE, E_CYL = range(7)
# Columns of the numbers of the ends
N_AREA, N_OUT, N_IN, N_LAMBDA, N_SLOPE = range(5)
# Columns of the reservoirs: fixed ones, volumes, cylinders
R_MASS, R_ENERGY, R_BURNED, R_VOLUME, R_PRES, R_TEMP, R_GAS, R_GAMMA, R_H, R_SHARE, R_COOL, R_WALL = range(12)
FIXED, OPEN, CYLINDER = range(3)
# Columns of the cylinders' numbers
(C_BORE, C_STROKE, C_ROD, C_OFFSET, C_CLEAR, C_FIRE, C_HEAD, C_CROWN, C_THEAD, C_TCROWN, C_TLINER, C_HEAT,
 C_LEAK, C_CREVICE, C_CASE, C_OCTANE) = range(16)  # fmt: skip
# Columns of the cylinders' state
(Z_PRES, Z_TEMP, Z_TUNBURNED, Z_START, Z_DURATION, Z_SHAPE, Z_TOTAL, Z_RESIDUAL, Z_PREF, Z_VREF, Z_TREF, Z_KNOCK, Z_CREVICE_MASS,
 Z_BURNT, Z_CREVICE_SHARE, Z_VOL, Z_TAIL) = range(17)  # fmt: skip
# What a cycle tells of each cylinder
(T_WORK, T_PUMP, T_FRESH_IN, T_TRAPPED, T_RESIDUAL, T_HEAT, T_PMAX, T_PMAX_AT, T_KNOCK, T_MEX, T_BLOWBY, T_BURNT, T_SHORT,
 T_HEX, T_TUMAX) = range(15)  # fmt: skip
# All rows of all cells lie in one array, each row this long: a compiler that knows the distance between rows need not fear that
# they overlap, and works on several cells at once. No multiple of a cache's size, so that rows do not crowd each other out.
ROW = 2056
AT_SHAPE, AT_PRIM, AT_LOW, AT_HIGH, AT_FLUX = 4 * ROW, 11 * ROW, 18 * ROW, 23 * ROW, 27 * ROW
ROWS = 31
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
    """Density, velocity, pressure, share, speed of sound, temperature and ratio of heats; returns the longest step."""
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
        r = w[i] / w[AT_SHAPE + i]
        ratio = 1.0 + constant / root
        a = math.sqrt(max(ratio * constant * t, 1e-12))
        w[AT_PRIM + i] = r
        w[AT_PRIM + ROW + i] = u
        w[AT_PRIM + 2 * ROW + i] = r * constant * t
        w[AT_PRIM + 3 * ROW + i] = b
        w[AT_PRIM + 4 * ROW + i] = a
        w[AT_PRIM + 5 * ROW + i] = t
        w[AT_PRIM + 6 * ROW + i] = ratio
        w[AT_FLUX + i] = (abs(u) + a) / w[AT_SHAPE + ROW + i]
    fastest = 0.0
    for i in range(cells):
        fastest = max(fastest, w[AT_FLUX + i])
    return 1.0 / fastest


@njit(cache=True, error_model="numpy", inline="always")
def _limited(a, b):
    """Slope between two differences that keeps extremes (van Albada)."""
    product = a * b
    return max(product, 0.0) * (a + b) / (a * a + b * b + _TINY)


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def half_stepped(w, cells, step):
    """States at both faces of each cell half a step ahead: limited slopes and the equations for density, velocity, pressure."""
    half = 0.5 * step
    for i in range(cells - 2):
        j = i + 1
        r, u, p, b = w[AT_PRIM + j], w[AT_PRIM + ROW + j], w[AT_PRIM + 2 * ROW + j], w[AT_PRIM + 3 * ROW + j]
        a = w[AT_PRIM + 4 * ROW + j]
        dr = _limited(r - w[AT_PRIM + i], w[AT_PRIM + i + 2] - r)
        du = _limited(u - w[AT_PRIM + ROW + i], w[AT_PRIM + ROW + i + 2] - u)
        dp = _limited(p - w[AT_PRIM + 2 * ROW + i], w[AT_PRIM + 2 * ROW + i + 2] - p)
        db = _limited(b - w[AT_PRIM + 3 * ROW + i], w[AT_PRIM + 3 * ROW + i + 2] - b)
        length = w[AT_SHAPE + ROW + j]
        part = half / length
        # what a changing area does: d ln A over the cell
        spread = (w[AT_SHAPE + 2 * ROW + i + 2] - w[AT_SHAPE + 2 * ROW + j]) * length / w[AT_SHAPE + j]
        flow = du + u * spread
        r_half = max(r - part * (u * dr + r * flow), 0.05 * r)
        u_half = u - part * (u * du + dp / r)
        p_half = max(p - part * (u * dp + r * a * a * flow), 0.05 * p)
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
    for i in range(cells - 1):
        j = i + 1
        r1, u1, p1, b1 = w[AT_HIGH + i], w[AT_HIGH + ROW + i], w[AT_HIGH + 2 * ROW + i], w[AT_HIGH + 3 * ROW + i]
        r2, u2, p2, b2 = w[AT_LOW + j], w[AT_LOW + ROW + j], w[AT_LOW + 2 * ROW + j], w[AT_LOW + 3 * ROW + j]
        v1, v2 = 1.0 / r1, 1.0 / r2
        a1 = math.sqrt(w[AT_PRIM + 6 * ROW + i] * p1 * v1)
        a2 = math.sqrt(w[AT_PRIM + 6 * ROW + j] * p2 * v2)
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
        t = p * v / (f3 + b * d3)
        e = f0 + b * d0 + t * (f1 + b * d1 + 0.5 * (f2 + b * d2) * t) + 0.5 * u * u
        # the outer wave counts only if it runs against the flow
        away = x * min(s1, 0.0) + y * max(s2, 0.0)
        star = q / (sk - s)
        m_flux = r * u + away * (star - r)
        w[AT_FLUX + j] = m_flux
        w[AT_FLUX + ROW + j] = r * u * u + p + away * (star * s - r * u)
        w[AT_FLUX + 2 * ROW + j] = u * (r * e + p) + away * (star * (e + (s - u) * (s + p / q)) - r * e)
        w[AT_FLUX + 3 * ROW + j] = m_flux * b


@njit(cache=True, error_model="numpy", fastmath={"nnan", "nsz", "contract"})
def updated(w, cells, step):
    """Cells a step on, with wall friction and heat."""
    for i in range(cells - 1):
        j = i + 1
        lower = w[AT_SHAPE + 2 * ROW + i] * step
        upper = w[AT_SHAPE + 2 * ROW + j] * step
        r, u, p, t = w[AT_PRIM + i], w[AT_PRIM + ROW + i], w[AT_PRIM + 2 * ROW + i], w[AT_PRIM + 5 * ROW + i]
        gamma = w[AT_PRIM + 6 * ROW + i]
        speed = abs(u)
        each = 1.0 / w[AT_SHAPE + 3 * ROW + i]
        # viscosity as T^0.625 about 300 K, within 4 % up to 1500 K; friction of Blasius' law, never below a laminar floor
        warm = math.sqrt(t * 3.3333e-3)
        viscosity = 1.85e-5 * warm * math.sqrt(math.sqrt(warm))
        thin = viscosity * each / max(r * speed, 1e-6)
        fanning = w[AT_SHAPE + 5 * ROW + i] * (0.0791 * math.sqrt(math.sqrt(thin)) + 4.0 * thin)
        pull = 2.0 * fanning * r * speed * each * w[AT_SHAPE + i] * step
        # Reynolds' analogy with Colburn's factor; Pr 0.7
        capacity = gamma / (gamma - 1.0) * p / (r * t)
        heat = w[AT_SHAPE + 6 * ROW + i] * 1.268 * pull * capacity * (w[AT_SHAPE + 4 * ROW + i] - t)
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


@njit(cache=True, error_model="numpy")
def _end(r_i, u_i, p_i, b_i, area, out_area, in_area, res, warm, gas_fresh, gas_burned, answer):
    """One pipe end against its reservoir.

    r_i, u_i, p_i, b_i: the pipe's state there, u outward. warm: where the pressure lay between that at a wall and the reservoir's
    last time, and the slope then. answer: outward mass flow, momentum flux, energy flow, burned flow, and the state
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
    z = 1.0 + 0.5 * (gamma - 1.0) * u_i / a_i
    wall = p_i * math.exp(2.0 * gamma / (gamma - 1.0) * math.log(max(z, 0.05)))
    if u_i > 0.0:
        k = 0.25 * (gamma + 1.0) * u_i / a_i
        wall = p_i * (1.0 + gamma * u_i / a_i * (k + math.sqrt(1.0 + k * k)))
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
    low, high = 0.0, 1.0
    part, slope = warm[0], warm[1]
    part = min(max(part, 1e-6), 1.0 - 1e-6)
    before, f_before = 0.0, 0.0
    scale = r_i * a_i * area
    mass, rho, u, p = 0.0, 0.0, 0.0, 0.0
    good = False
    for k in range(40):
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
        if abs(lack) <= 1e-6 * scale:
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
    warm[0], warm[1] = part, slope if slope < 0.0 else -scale
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
        if abs(moved) < 1e-7 * temperature:
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
        for _ in range(3):
            t_b = min(max(p * room / (burnt * r_b), first), 3790.0)
            e_b, _, r_b = _burned_table(energies_burned, constants_burned, first, between, y, t_b)
        e_f, _ = _fresh_table(energies, first, between, t_u)
        e_b0, _, _ = _burned_table(energies_burned, constants_burned, first, between, y, t_u)
        lack = energy - 0.5 * (before + p) * change - unburned * (e_f + unburned_share * (e_b0 - e_f)) - burnt * e_b
        if abs(lack) < 0.1 * (unburned + burnt):
            settled = 1.0
            break
        if lack > 0.0:
            low = p
        else:
            high = p
        # at first as if everything were heated at its volume
        slope = -(unburned + burnt) * 900.0 * t_b / p if k == 0 else (lack - last_lack) / (p - last_p)
        last_p, last_lack = p, lack
        p = p - lack / slope if slope < 0.0 else 0.5 * (low + high)
        if p <= low or p >= high:
            p = 0.5 * (low + high)
        if high - low < 1e-9 * p:
            settled = 1.0
            break
    out[0], out[1], out[2], out[3], out[4] = p, t_u, t_b, r_u, settled


@njit(cache=True, error_model="numpy", inline="always")
def _volume(angle, z):
    """Volume above the piston, its change with the angle, and the piston's depth."""
    radius = 0.5 * z[C_STROKE]
    across = radius * math.sin(angle) + z[C_OFFSET]
    along = math.sqrt(z[C_ROD] * z[C_ROD] - across * across)
    top = math.sqrt((z[C_ROD] + radius) ** 2 - z[C_OFFSET] ** 2)
    depth = top - radius * math.cos(angle) - along
    area = 0.25 * math.pi * z[C_BORE] * z[C_BORE]
    slope = area * (radius * math.sin(angle) + across * radius * math.cos(angle) / along)
    return z[C_CLEAR] + area * depth, slope, depth


@njit(cache=True, error_model="numpy", inline="always")
def _own(angle, fires):
    """Angle of a cylinder from its firing top dead centre, from -2 pi to 2 pi."""
    own = (angle - fires) % _TURNS
    return own - _TURNS if own > 0.5 * _TURNS else own


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
def _burnt(own, state):
    """Share of the charge that has burned."""
    x = (own - state[Z_START]) / state[Z_DURATION]
    if x <= 0.0:
        return 0.0
    return (1.0 - math.exp(-state[Z_TAIL] * x ** (state[Z_SHAPE] + 1.0))) / (1.0 - math.exp(-state[Z_TAIL] * 1.6 ** (state[Z_SHAPE] + 1.0)))


@njit(cache=True, error_model="numpy", inline="always")
def _film_of_heat(kind, pressure, temperature, z, state, own, volume, swept, piston):
    """Coefficient of heat transfer [W/(m2 K)]; 0 Woschni, 1 Hohenberg."""
    if kind == 1:
        return 130.0 * math.exp(0.8 * math.log(pressure * 1e-5 * (piston + 1.4)) - 0.4 * math.log(temperature) - 0.06 * math.log(volume))
    open_gas = abs(own) > 2.2
    velocity = (6.18 if open_gas else 2.28) * piston
    if own > state[Z_START] and not open_gas:
        motored = state[Z_PREF] * (state[Z_VREF] / volume) ** 1.32
        velocity += 3.24e-3 * swept * state[Z_TREF] / (state[Z_PREF] * state[Z_VREF]) * max(pressure - motored, 0.0)
    return 3.26 * math.exp(0.8 * math.log(pressure * 1e-3 * velocity) - 0.55 * math.log(temperature) - 0.2 * math.log(z[C_BORE]))


@njit(cache=True, error_model="numpy")
def cylinder_step(z, state, res, angle, turned, speed, step, kind, tables, energies, energies_burned, constants_burned, told, out, zones):
    """A cylinder after its flows have been added: piston, burning, heat, leak; then its new pressure."""
    own = _own(angle + turned, z[C_FIRE])
    volume, _, depth = _volume(own, z)
    before = state[Z_VOL]
    bore_area = 0.25 * math.pi * z[C_BORE] ** 2
    swept = bore_area * z[C_STROKE]
    piston = z[C_STROKE] * speed / math.pi
    pressure, temperature = state[Z_PRES], state[Z_TEMP]
    burning_before = state[Z_BURNT]
    # heat to head, crown and liner
    coefficient = z[C_HEAT] * _film_of_heat(kind, pressure, temperature, z, state, own, before, swept, piston)
    liner = math.pi * z[C_BORE] * max(depth, 0.0)
    hot = coefficient * (
        z[C_HEAD] * (temperature - z[C_THEAD]) + z[C_CROWN] * (temperature - z[C_TCROWN]) + liner * (temperature - z[C_TLINER])
    )
    lost = hot * step
    res[R_ENERGY] -= lost
    told[T_HEAT] += lost
    # past the rings
    if z[C_LEAK] > 0.0:
        share = res[R_BURNED] / res[R_MASS]
        gone = _throat(z[C_LEAK], pressure, temperature, res[R_GAS], res[R_GAMMA], z[C_CASE]) * step if pressure > z[C_CASE] else 0.0
        res[R_ENERGY] -= gone * res[R_H]
        res[R_BURNED] -= gone * share
        res[R_MASS] -= gone
        told[T_BLOWBY] += gone
    # what hides between piston and wall and comes back, at the wall's temperature
    if z[C_CREVICE] > 0.0:
        share = res[R_BURNED] / res[R_MASS]
        held = pressure * z[C_CREVICE] / (res[R_GAS] * z[C_TLINER])
        moved = held - state[Z_CREVICE_MASS]
        if moved > 0.0:
            state[Z_CREVICE_SHARE] = (state[Z_CREVICE_SHARE] * state[Z_CREVICE_MASS] + share * moved) / held
            back = share
        else:
            back = state[Z_CREVICE_SHARE]
        e_f, _s_f = _fresh_table(energies, tables[0], tables[1], z[C_TLINER])
        y = _row_of(tables, energies_burned, pressure)
        e_b, _, _ = _burned_table(energies_burned, constants_burned, tables[0], tables[1], y, z[C_TLINER])
        h = res[R_H] if moved > 0.0 else e_f + back * (e_b - e_f) + res[R_GAS] * z[C_TLINER]
        if moved > 0.0:
            # the wall takes what the gas loses down to its own temperature
            told[T_HEAT] += moved * (h - (e_f + back * (e_b - e_f) + res[R_GAS] * z[C_TLINER]))
        res[R_ENERGY] -= moved * h
        res[R_BURNED] -= moved * back
        res[R_MASS] -= moved
        state[Z_CREVICE_MASS] = held
    # burning
    closed = abs(own) < 2.6
    x = _burnt(own, state) if closed else 0.0
    if (closed and burning_before <= 0.0 and x > 0.0) or (closed and own < state[Z_START]) or state[Z_TOTAL] <= 0.0:
        state[Z_TOTAL], state[Z_RESIDUAL] = res[R_MASS], res[R_BURNED] / res[R_MASS]
    mass, energy = res[R_MASS], res[R_ENERGY]
    change = volume - before
    two = closed and x > 0.002 and x < 0.998
    guess = pressure * (before / volume) ** res[R_GAMMA]
    if closed and x > 0.0:
        x = min(x, 1.0)
        residual = state[Z_RESIDUAL]
        res[R_BURNED] = mass * (residual + (1.0 - residual) * x)
        told[T_BURNT] = x
    settled = 1.0
    if two:
        two_zones(
            mass * (1.0 - x), state[Z_RESIDUAL], mass * x, energy, volume, change, state[Z_TUNBURNED], pressure, guess,
            max(state[Z_TEMP], 1500.0) if burning_before < 0.002 else zones[1], tables, energies, energies_burned, constants_burned, out,
        )  # fmt: skip
        settled = out[4]
    else:
        one_zone(
            mass, res[R_BURNED], energy, volume, change, pressure, temperature, guess, tables, energies, energies_burned,
            constants_burned, out,
        )  # fmt: skip
    guess = out[0]
    work = 0.5 * (pressure + guess) * change
    res[R_ENERGY] = energy - work
    if abs(own) < math.pi:
        told[T_WORK] += work
    else:
        told[T_PUMP] += work
    if two:
        # the unburned zone loses its part of the heat
        t_u, t_b = out[1], out[2]
        unburned_room = mass * (1.0 - x) * out[3] * t_u / guess
        part = (unburned_room / volume) ** 0.6667 * max(t_u - z[C_TLINER], 0.0) / max(temperature - z[C_TLINER], 1.0)
        t_u -= min(lost * part / (mass * (1.0 - x) * 1100.0), 0.01 * t_u)
        state[Z_TUNBURNED] = t_u
        zones[0], zones[1] = t_u, t_b
        e_b, s_b, r_b = _burned_table(energies_burned, constants_burned, tables[0], tables[1], _row_of(tables, energies_burned, guess), t_b)
        constant = (1.0 - x) * out[3] + x * r_b
        temperature = guess * volume / (mass * constant)
        c_v = s_b
    else:
        temperature, constant, c_v = out[1], out[2], out[3]
        state[Z_TUNBURNED] = temperature
        zones[0], zones[1] = temperature, temperature
    # knock of the end gas: Douaud and Eyzat
    if closed and own > -1.6 and x < 0.9:
        t_u = state[Z_TUNBURNED]
        delay = 17.68e-3 * math.exp(3.402 * math.log(z[C_OCTANE] / 100.0) - 1.7 * math.log(guess / 101325.0) + 3800.0 / t_u)
        state[Z_KNOCK] += step / delay
        told[T_KNOCK] = max(told[T_KNOCK], state[Z_KNOCK])
        told[T_TUMAX] = max(told[T_TUMAX], t_u)
    if not closed:
        state[Z_KNOCK] = 0.0
        x = 0.0
    if guess > told[T_PMAX]:
        told[T_PMAX], told[T_PMAX_AT] = guess, own
    state[Z_BURNT] = x
    state[Z_PRES], state[Z_TEMP], state[Z_VOL] = guess, temperature, volume
    res[R_VOLUME] = volume
    res[R_PRES], res[R_TEMP], res[R_GAS] = guess, temperature, constant
    res[R_GAMMA] = 1.0 + constant / c_v
    res[R_H] = (res[R_ENERGY] + guess * volume) / mass
    res[R_SHARE] = res[R_BURNED] / mass
    return settled


@njit(cache=True, error_model="numpy")
def volume_state(res, gas_fresh, gas_burned):
    """Pressure and the rest of a volume from its mass, energy and burned mass."""
    share = res[R_BURNED] / res[R_MASS]
    t, root, constant = _warm(gas_fresh, gas_burned, share, res[R_ENERGY] / res[R_MASS])
    res[R_PRES] = res[R_MASS] * constant * t / res[R_VOLUME]
    res[R_TEMP], res[R_GAS], res[R_GAMMA], res[R_SHARE] = t, constant, 1.0 + constant / root, share
    res[R_H] = res[R_ENERGY] / res[R_MASS] + constant * t


@njit(cache=True, error_model="numpy")
def _spare_cells(w, ends, faces):
    """States beside the ends of pipes, so that slopes there see what flows in and out."""
    for j in range(ends.shape[0]):
        cell, spare = ends[j, E_CELL], ends[j, E_SPARE]
        for row in range(4):
            at_face = faces[j, row]
            beyond = 2.0 * at_face - w[AT_PRIM + row * ROW + cell]
            if row in (0, 2):
                beyond = max(beyond, 0.3 * at_face)
            w[AT_PRIM + row * ROW + spare] = beyond
        for row in range(4, 7):
            w[AT_PRIM + row * ROW + spare] = w[AT_PRIM + row * ROW + cell]


@njit(cache=True, error_model="numpy", nogil=True)
def cycle(
    w,
    cells,
    ends,
    numbers,
    faces,
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
    sums,
    traces,
    pictures,
    looks,
):
    """One cycle of 720 degrees; returns the steps of time.

    told: see T_WORK and on. sums: for each end mass, energy and burned mass that went out. traces: pressure, temperature,
    unburned temperature and mass of each cylinder at even angles. pictures: pressure of each cell at even angles. looks: steps, and
    solutions that did not settle, a million where the gas came to what is no number.
    """
    answer, out = np.empty(8), np.empty(6)
    count, steps, unsettled = cylinders.shape[0], 0, 0
    zones, past, before = np.empty((count, 2)), np.zeros((count, 4)), 0.0
    for c in range(count):
        zones[c, 0], zones[c, 1] = cylinder_state[c, Z_TUNBURNED], cylinder_state[c, Z_TEMP]
    told[:] = 0.0
    sums[:] = 0.0
    looks[:] = 0.0
    first_cylinder = reservoirs.shape[0] - count
    angle, recorded, pictured = 0.0, 0, 0
    while angle < _TURNS - 1e-9:
        longest = primitives(w, cells, gas_fresh, gas_burned)
        step = min(courant * longest, math.radians(2.0) / speed)
        turned = speed * step
        if angle + turned > _TURNS:
            turned = _TURNS - angle
            step = turned / speed
        while recorded < traces.shape[0] and angle >= recorded * _TURNS / traces.shape[0] - 1e-9:
            wanted = recorded * _TURNS / traces.shape[0]
            part = 1.0 if angle <= before else min(max((wanted - before) / (angle - before), 0.0), 1.0)
            for c in range(count):
                now = (cylinder_state[c, Z_PRES], cylinder_state[c, Z_TEMP], zones[c, 0], reservoirs[first_cylinder + c, R_MASS])
                for row in range(4):
                    traces[recorded, c, row] = past[c, row] + part * (now[row] - past[c, row])
            recorded += 1
        before = angle
        for c in range(count):
            past[c, 0], past[c, 1] = cylinder_state[c, Z_PRES], cylinder_state[c, Z_TEMP]
            past[c, 2], past[c, 3] = zones[c, 0], reservoirs[first_cylinder + c, R_MASS]
        while pictured < pictures.shape[0] and angle >= pictured * _TURNS / pictures.shape[0] - 1e-9:
            pictures[pictured] = w[AT_PRIM + 2 * ROW : AT_PRIM + 2 * ROW + cells]
            pictured += 1
        _spare_cells(w, ends, faces)
        half_stepped(w, cells, step)
        fluxes(w, cells, gas_fresh, gas_burned)
        for j in range(ends.shape[0]):
            cell, face, side, r = ends[j, E_CELL], ends[j, E_FACE], ends[j, E_SIDE], ends[j, E_RES]
            edge = (AT_HIGH if side > 0 else AT_LOW) + cell
            area_out, area_in = numbers[j, N_OUT], numbers[j, N_IN]
            valve = ends[j, E_VALVE]
            if valve >= 0:
                own = _own(angle + 0.5 * turned, cylinders[ends[j, E_CYL], C_FIRE])
                # the table is seen from the cylinder: out of the cylinder first
                area_in, area_out = _area_at(valves[valve], own)
            if r < 0:
                area_out, area_in, r = 0.0, 0.0, 0
            good = _end(w[edge], side * w[edge + ROW], w[edge + 2 * ROW], w[edge + 3 * ROW], numbers[j, N_AREA], area_out, area_in,
                        reservoirs[r], numbers[j, N_LAMBDA:], gas_fresh, gas_burned, answer)  # fmt: skip
            if not good:
                unsettled += 1
            for row in range(4):
                faces[j, row] = answer[4 + row]
            faces[j, 1] *= side
            area = numbers[j, N_AREA]
            w[AT_FLUX + 0 * ROW + face] = side * answer[0] / area
            w[AT_FLUX + 1 * ROW + face] = answer[1] / area
            w[AT_FLUX + 2 * ROW + face] = side * answer[2] / area
            w[AT_FLUX + 3 * ROW + face] = side * answer[3] / area
            sums[j, 0] += answer[0] * step
            sums[j, 1] += answer[2] * step
            sums[j, 2] += answer[3] * step
            if ends[j, E_RES] >= 0 and kinds[r] != FIXED:
                reservoirs[r, R_MASS] += answer[0] * step
                reservoirs[r, R_ENERGY] += answer[2] * step
                reservoirs[r, R_BURNED] += answer[3] * step
            if valve >= 0:
                c = ends[j, E_CYL]
                if valve % 2 == 0:
                    told[c, T_FRESH_IN] += (answer[0] - answer[3]) * step
                elif answer[0] < 0.0:
                    told[c, T_MEX] -= answer[0] * step
                    told[c, T_HEX] -= answer[0] * step * reservoirs[r, R_TEMP]
                    told[c, T_SHORT] -= (answer[0] - answer[3]) * step
                else:
                    told[c, T_SHORT] -= (answer[0] - answer[3]) * step
        updated(w, cells, step)
        for j in range(ends.shape[0]):
            for row in range(4):
                w[row * ROW + ends[j, E_SPARE]] = w[row * ROW + ends[j, E_CELL]]
        for r in range(first_cylinder):
            if kinds[r] == OPEN:
                if reservoirs[r, R_COOL] > 0.0:
                    gained = reservoirs[r, R_COOL] * (reservoirs[r, R_WALL] - reservoirs[r, R_TEMP]) * step
                    reservoirs[r, R_ENERGY] += gained
                volume_state(reservoirs[r], gas_fresh, gas_burned)
        for c in range(count):
            ok = cylinder_step(cylinders[c], cylinder_state[c], reservoirs[first_cylinder + c], angle, turned, speed, step, kind, tables,
                               energies, energies_burned, constants_burned, told[c], out, zones[c])  # fmt: skip
            if ok == 0.0:
                unsettled += 1
            own = _own(angle + turned, cylinders[c, C_FIRE])
            if abs(own + 2.2) < 2.0 * turned:
                z = cylinder_state[c]
                z[Z_PREF], z[Z_VREF], z[Z_TREF] = z[Z_PRES], z[Z_VOL], z[Z_TEMP]
                told[c, T_TRAPPED], told[c, T_RESIDUAL] = reservoirs[first_cylinder + c, R_MASS], reservoirs[first_cylinder + c, R_SHARE]
        angle += turned
        steps += 1
        if not w[AT_PRIM + 2 * ROW + ends[0, E_CELL]] > 0.0:
            unsettled += 1000000
            break
    looks[0] = steps
    looks[1] = unsettled
    return steps
