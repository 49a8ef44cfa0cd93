# pyright: basic
"""The inner loops of the oil film over a load cycle; compiled on first use and kept beside this file.

Everything here takes arrays made by `cycle`; nothing is checked again.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

# What `looked_up` writes
TOWARDS, ACROSS, LEAK, PEAK, PRESSED_SHEAR, SIZE = range(6)
# What `followed` writes for each moment
X, Y, FLOW, POWER, POWER_STREAMERS, PRESSURE = range(6)
# Numbers of a bearing: see `cycle._numbers`
RADIUS, CLEARANCE, LENGTH, LAND_LENGTH, GROOVE_AT, GROOVE_HALF, FEED, INLET, SHARE, HEAT, STIFFENS = range(11)
# What `settled` tells of a bearing over the cycle
LEAST_FILM, LEAST_AT, LARGEST_PRESSURE, MEAN_FLOW, MEAN_POWER, MEAN_POWER_STREAMERS, TEMPERATURE, VISCOSITY, CLOSURE, RISE_LEFT = range(10)
_BLEND = 0.26  # rad: a load this near to the end of a groove is carried partly by either
_THINNEST = 1e-6
_ROUND = 2.0 * math.pi
_MOST_REDUCED = 0.98  # of what the reduced pressure can come to: the film is then at 3.9 over the coefficient


def _stiffened() -> np.ndarray:
    """Reduced peak pressure times the coefficient, over the load's at even steps of ln(1 + that): see `reduced`."""
    z, w = np.polynomial.legendre.leggauss(48)
    z, w = (z + 1.0) / 2.0, w / 2.0
    # a film under pressure: a parabola along, a bell around; both Reynolds conditions at its edge
    form = (1.0 - z[:, None] ** 2) * (1.0 - z) ** 2 * (1.0 + 2.0 * z)
    area = w[:, None] * w
    reduced = np.linspace(1e-6, _MOST_REDUCED, 200)
    grown = np.array([-(area * np.log1p(-y * form)).sum() / (y * (area * form).sum()) for y in reduced])
    return np.interp(np.linspace(0.0, _LAST_LOG, _KNOTS), np.log1p(reduced * grown), reduced, left=0.0)


_KNOTS, _LAST_LOG = 128, 1.0
_TABLE = _stiffened()


@njit(cache=True, error_model="numpy", inline="always")
def reduced(loaded):
    """Reduced peak pressure times the coefficient, of what both would be if pressure did not thicken the oil."""
    at = min(math.log(1.0 + loaded) / _LAST_LOG * (_KNOTS - 1), _KNOTS - 1.000001)
    k = int(at)
    return min(_TABLE[k] + (at - k) * (_TABLE[k + 1] - _TABLE[k]), loaded)


@njit(cache=True, error_model="numpy", inline="always")
def _weights(part, out):
    """Catmull-Rom weights of four knots in a row."""
    out[0] = part * (-0.5 + part * (1.0 - 0.5 * part))
    out[1] = 1.0 + part * part * (-2.5 + 1.5 * part)
    out[2] = part * (0.5 + part * (2.0 - 1.5 * part))
    out[3] = part * part * (-0.5 + 0.5 * part)


@njit(cache=True, error_model="numpy")
def looked_up(fields, step, x, y, every, out):
    """Mobility for a journal at (x, y) with the load along x, and if `every` is asked for what goes with it."""
    size = math.sqrt(x * x + y * y)
    eccentricity = min(size, 1.0 - _THINNEST)
    around = abs(math.atan2(y, x))
    rows, columns = fields.shape[0] - 2, fields.shape[1] - 2
    thin = 1.0 - eccentricity
    row = -math.log10(thin) / step
    width = math.sqrt(2.0 * thin)
    column = math.asinh(around / width) / math.asinh(math.pi / width) * (columns - 1)
    i = min(int(row), rows - 2)
    j = min(int(column), columns - 2)
    down, over = np.empty(4), np.empty(4)
    _weights(min(row - i, 1.0), down)
    _weights(column - j, over)
    along, across, straight = 0.0, 0.0, 0.0
    for a in range(4):
        for b in range(4):
            weight = down[a] * over[b]
            along += weight * fields[i + a, j + b, 0]
            across += weight * fields[i + a, j + b, 1]
            straight += weight * fields[i + a, j + b, 5]
    # beyond the last knots mobility falls as the film's thickness to the power 1.5
    unit = math.exp(straight - max(row - (rows - 1), 0.0) * step * 1.5 * math.log(10.0))
    grown = math.exp(along)
    turn_x, turn_y = (1.0, 0.0) if size == 0.0 else (x / size, y / size)
    outward = unit * 0.5 * (grown - 1.0 / grown)
    # towards the load's side of the eccentricity
    sideways = -turn_y * math.exp(across)
    out[TOWARDS] = outward * turn_x - sideways * turn_y
    out[ACROSS] = outward * turn_y + sideways * turn_x
    if every:
        leak, peak, pressed = 0.0, 0.0, 0.0
        for a in range(4):
            for b in range(4):
                weight = down[a] * over[b]
                leak += weight * fields[i + a, j + b, 2]
                peak += weight * fields[i + a, j + b, 3]
                pressed += weight * fields[i + a, j + b, 4]
        out[LEAK], out[PEAK], out[PRESSED_SHEAR] = math.exp(leak), math.exp(peak), pressed
        out[SIZE] = math.sqrt(outward * outward + sideways * sideways)


@njit(cache=True, error_model="numpy", inline="always")
def _grooved(at, numbers):
    """Share of a load in this direction that stands over the groove."""
    half = numbers[GROOVE_HALF]
    if half <= 0.0:
        return 0.0
    if half >= math.pi:
        return 1.0
    away = abs((at - numbers[GROOVE_AT] + math.pi) % _ROUND - math.pi)
    return min(max((half + _BLEND - away) / (2.0 * _BLEND), 0.0), 1.0)


@njit(cache=True, error_model="numpy")
def _velocity(x, y, load_x, load_y, drift, viscosity, numbers, maps, step, every, out, there):
    """Velocity of the centre over c [1/s], and at `there` flow [m3/s], power of pressure [W], largest pressure, pressed share."""
    load = math.sqrt(load_x * load_x + load_y * load_y)
    across, up = (1.0, 0.0) if load == 0.0 else (load_x / load, load_y / load)
    along, aside = x * across + y * up, y * across - x * up
    radius, clearance, length = numbers[RADIUS], numbers[CLEARANCE], numbers[LENGTH]
    over = _grooved(math.atan2(load_y, load_x), numbers)
    flow, peak, pressed, towards, sideways = 0.0, 0.0, 0.0, 0.0, 0.0
    for land in range(2):
        share = over if land == 1 else 1.0 - over
        if share == 0.0:
            continue
        wide = numbers[LAND_LENGTH] if land == 1 else length
        carried = load / 2.0 if land == 1 else load
        stiffens = numbers[STIFFENS]
        looked_up(maps[land], step, along, aside, every or stiffens > 0.0, there)
        top = there[PEAK] * carried / (wide * 2.0 * radius)
        if stiffens > 0.0 and carried > 0.0:
            # the oil is as thick as its pressure makes it: the same film bears more than one of even viscosity
            kept = reduced(stiffens * top)
            carried *= kept / (stiffens * top)
            top = -math.log(1.0 - kept) / stiffens
        rate = carried * (clearance / radius) ** 2 / (viscosity * wide * 2.0 * radius)
        towards += share * rate * there[TOWARDS]
        sideways += share * rate * there[ACROSS]
        if not every:
            continue
        # of two lands only the outer ends lose oil
        flow += share * there[LEAK] * clearance * radius * wide * rate * there[SIZE]
        peak = max(peak, top)
        pressed += share * there[PRESSED_SHEAR]
    out[0] = -drift * y + towards * across - sideways * up
    out[1] = drift * x + towards * up + sideways * across
    if every:
        there[0], there[1], there[2], there[3] = flow, load * towards * clearance, peak, pressed


@njit(cache=True, error_model="numpy", nogil=True)
def followed(loads, drift, sliding, moment, thick, numbers, maps, step, place, tolerance, cycles, samples):
    """The journal over whole cycles until it closes; returns how far the last one is from closing."""
    count = loads.shape[0]
    first, second, third, fourth, there = np.empty(2), np.empty(2), np.empty(2), np.empty(2), np.empty(6)
    radius, clearance, length = numbers[RADIUS], numbers[CLEARANCE], numbers[LENGTH]
    apart = 1.0
    for _ in range(cycles):
        start_x, start_y = place[0], place[1]
        _velocity(start_x, start_y, loads[0, 0], loads[0, 1], drift[0], thick, numbers, maps, step, False, first, there)
        for k in range(count):
            after = (k + 1) % count
            done, part = 0.0, 1.0
            while done < 1.0 - 1e-12:
                part = min(part, 1.0 - done)
                h = part * moment
                x, y = place[0], place[1]
                a, b, w = loads[k, 0], loads[k, 1], drift[k]
                da, db, dw = loads[after, 0] - a, loads[after, 1] - b, drift[after] - w
                here = done + 0.5 * part
                x2, y2 = x + 0.5 * h * first[0], y + 0.5 * h * first[1]
                _velocity(x2, y2, a + here * da, b + here * db, w + here * dw, thick, numbers, maps, step, False, second, there)
                here = done + 0.75 * part
                x3, y3 = x + 0.75 * h * second[0], y + 0.75 * h * second[1]
                _velocity(x3, y3, a + here * da, b + here * db, w + here * dw, thick, numbers, maps, step, False, third, there)
                here = done + part
                new_x = x + h * (2.0 * first[0] + 3.0 * second[0] + 4.0 * third[0]) / 9.0
                new_y = y + h * (2.0 * first[1] + 3.0 * second[1] + 4.0 * third[1]) / 9.0
                gap = 1.0 - math.sqrt(new_x * new_x + new_y * new_y)
                fits = gap > _THINNEST
                wrong = 1e9
                if fits:
                    _velocity(
                        new_x, new_y, a + here * da, b + here * db, w + here * dw, thick, numbers, maps, step, False, fourth, there
                    )
                    off_x = h * (-5.0 * first[0] / 72.0 + second[0] / 12.0 + third[0] / 9.0 - fourth[0] / 8.0)
                    off_y = h * (-5.0 * first[1] / 72.0 + second[1] / 12.0 + third[1] / 9.0 - fourth[1] / 8.0)
                    # what matters is the film: errors are held against its thickness
                    wrong = math.sqrt(off_x * off_x + off_y * off_y) / (tolerance * gap)
                if wrong <= 1.0 or part < 1e-7:
                    if not fits:
                        size = (1.0 - _THINNEST) / math.sqrt(new_x * new_x + new_y * new_y)
                        new_x, new_y = new_x * size, new_y * size
                        _velocity(
                            new_x, new_y, a + here * da, b + here * db, w + here * dw, thick, numbers, maps, step, False, fourth, there
                        )
                    place[0], place[1] = new_x, new_y
                    first[0], first[1] = fourth[0], fourth[1]
                    done += part
                part *= min(max(0.9 * (1.0 / max(wrong, 1e-9)) ** (1.0 / 3.0), 0.2), 4.0)
            eccentricity = math.sqrt(place[0] ** 2 + place[1] ** 2)
            shear = thick * radius**3 * length / clearance * sliding[after] ** 2 * _ROUND / math.sqrt(1.0 - eccentricity**2)
            _velocity(
                place[0], place[1], loads[after, 0], loads[after, 1], drift[after], thick, numbers, maps, step, True, fourth, there
            )
            samples[after, X], samples[after, Y] = place[0], place[1]
            samples[after, FLOW] = there[0] + numbers[FEED] * (1.0 + 1.5 * eccentricity**2) / thick
            samples[after, POWER] = shear + there[1]
            samples[after, POWER_STREAMERS] = shear * there[3] + there[1]
            samples[after, PRESSURE] = there[2]
        apart = math.sqrt((place[0] - start_x) ** 2 + (place[1] - start_y) ** 2)
        if apart < 20.0 * tolerance * (1.0 - math.sqrt(place[0] ** 2 + place[1] ** 2)):
            break
    return apart


@njit(cache=True, error_model="numpy", inline="always")
def _thick(viscosities, first, between, temperature):
    """Viscosity at a temperature from logarithms at even steps."""
    at = min(max((temperature - first) / between, 0.0), viscosities.size - 1.000001)
    k = int(at)
    return math.exp(viscosities[k] + (at - k) * (viscosities[k + 1] - viscosities[k]))


@njit(cache=True, error_model="numpy", nogil=True)
def settled(loads, drift, sliding, moment, viscosities, first, between, numbers, maps, step, place, tolerance, samples, told):
    """The journal over its cycle at the temperature that its own friction gives the oil."""
    count = loads.shape[0]
    coldest, hottest = numbers[INLET], first + between * (viscosities.size - 1)
    low, high = coldest, hottest
    temperature = told[TEMPERATURE]  # a neighbour's, or nothing
    if not coldest < temperature < hottest:
        temperature = min(coldest + 15.0, hottest)
    if numbers[SHARE] == 0.0:
        temperature = coldest
    left, apart, flow, power, torn, viscosity = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    slope, before, left_before = -1.8, 0.0, 0.0
    for round_ in range(25):
        viscosity = _thick(viscosities, first, between, temperature)
        # while the temperature still moves far the path need not close
        cycles = 12 if numbers[SHARE] == 0.0 or (abs(left) < 2.0 and round_ > 0) else 2
        apart = followed(loads, drift, sliding, moment, viscosity, numbers, maps, step, place, tolerance, cycles, samples)
        flow, power, torn = 0.0, 0.0, 0.0
        for k in range(count):
            flow += samples[k, FLOW] / count
            power += samples[k, POWER] / count
            torn += samples[k, POWER_STREAMERS] / count
        left_before, left = left, numbers[INLET] + numbers[SHARE] * power / (numbers[HEAT] * flow) - temperature
        if (abs(left) < 0.3 and (cycles > 2 or round_ > 20)) or numbers[SHARE] == 0.0:
            break
        if left > 0.0:
            low = temperature
        else:
            high = temperature
        if round_ > 0 and abs(temperature - before) > 0.05:
            slope = min(max((left - left_before) / (temperature - before), -20.0), -1.0)
        before = temperature
        temperature = temperature - left / slope
        if temperature < low or temperature > high:
            temperature = (low + high) / 2.0
        if high - low < 0.02:
            break
    least, at, peak = 2.0, 0, 0.0
    for k in range(count):
        gap = 1.0 - math.sqrt(samples[k, X] ** 2 + samples[k, Y] ** 2)
        if gap < least:
            least, at = gap, k
        peak = max(peak, samples[k, PRESSURE])
    told[LEAST_FILM], told[LEAST_AT], told[LARGEST_PRESSURE] = least * numbers[CLEARANCE], at, peak
    told[MEAN_FLOW], told[MEAN_POWER], told[MEAN_POWER_STREAMERS] = flow, power, torn
    told[TEMPERATURE], told[VISCOSITY], told[CLOSURE], told[RISE_LEFT] = temperature, viscosity, apart, left


@njit(cache=True, error_model="numpy", nogil=True)
def mapped(jobs, loads, drift, sliding, moments, viscosities, first, between, numbers, maps, step, tolerance, told):
    """Many bearings, clearances and oils: each job names its loads and its oil; neighbours start from each other."""
    samples = np.empty((loads.shape[1], 6))
    place = np.zeros(2)
    last = -1
    for k in range(jobs.shape[0]):
        load, oil = jobs[k, 0], jobs[k, 1]
        if load != last:
            place[:] = 0.0
            last = load
        told[k, TEMPERATURE] = told[k - 1, TEMPERATURE] if k > 0 else 0.0
        settled(
            loads[load], drift[load], sliding[load], moments[load], viscosities[oil], first, between,
            numbers[k], maps[load], step, place, tolerance, samples, told[k],
        )  # fmt: skip
