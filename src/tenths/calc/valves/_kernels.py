# pyright: basic
"""The inner loops of the valve train; compiled on first use and kept beside this file.

A row of masses from lobe to valve, all seen from the valve, with joints that press and do not pull; springs as rows of coils. A joint
bears while it is pressed in and its force is above 0; between two changes of that the motion is smooth, and each change is met
at its own instant. Nothing is checked here: `dynamics` makes the arrays.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

# Numbers of a run
P_RATIO, P_HOLD, P_LOAD, P_TOLERANCE, P_SPAN, P_RUSH, P_FROM, P_TO, P_RETURNS = range(9)
# What is told of each cycle
(Q_MARGIN, Q_MARGIN_AT, Q_GAP, Q_GAP_AT, Q_LANDING, Q_LANDING_AT, Q_BOUNCE, Q_LANDINGS, Q_LEAST_SPRING, Q_CLASH, Q_WORK, Q_LOST, Q_STEPS,
 Q_CHANGES, Q_LIFT, Q_FORCE, Q_RETURN) = range(17)  # fmt: skip
# What is told along the cycle
(R_LIFT, R_SPEED, R_FORCE, R_GAP, R_SEAT, R_SPRING) = range(6)
GOOD, TOO_SHORT, NO_NUMBER, TOO_MANY = range(4)
MOST_STEPS = 400_000
_A = np.array([
    [0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [1 / 5, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3 / 40, 9 / 40, 0.0, 0.0, 0.0, 0.0],
    [44 / 45, -56 / 15, 32 / 9, 0.0, 0.0, 0.0],
    [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0.0, 0.0],
    [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656, 0.0],
    [35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
])  # fmt: skip
_E = np.array([71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40])
_C = np.array([0.0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1.0, 1.0])


@njit(cache=True, error_model="numpy", inline="always")
def _lobe(table, angle):
    """Lift and slope at an angle of the cam, from a table of fifth-order pieces over the whole turn, begun half a turn before the nose."""
    pieces = table.shape[0]
    place = (angle + math.pi) * (pieces / (2.0 * math.pi))
    whole = math.floor(place)
    u = place - whole
    i = int(whole) % pieces
    a, b, c, d, e, f = table[i, 0], table[i, 1], table[i, 2], table[i, 3], table[i, 4], table[i, 5]
    lift = a + u * (b + u * (c + u * (d + u * (e + u * f))))
    slope = (b + u * (2.0 * c + u * (3.0 * d + u * (4.0 * e + u * 5.0 * f)))) * (pieces / (2.0 * math.pi))
    return lift, slope


@njit(cache=True, error_model="numpy")
def _pressings(angle, speed, state, numbers, gaps, upper, lower, table, chain, pressed, rates):
    """How far each joint is pressed in and how fast: those of the row, the valve's seat, then the stops of the coils; the lobe's slope."""
    lift, slope = _lobe(table, angle)
    all_ = (state.shape[0] - 2) // 2
    ratio = numbers[P_RATIO]
    pressed[0] = ratio * lift - gaps[0] - state[0]
    rates[0] = ratio * speed * slope - state[all_]
    for j in range(1, chain):
        pressed[j] = state[j - 1] - gaps[j] - state[j]
        rates[j] = state[all_ + j - 1] - state[all_ + j]
    pressed[chain] = -gaps[chain] - state[chain - 1]
    rates[chain] = -state[all_ + chain - 1]
    for i in range(upper.shape[0]):
        top, low = upper[i], lower[i]
        squeezed, rate = state[top], state[all_ + top]
        if low >= 0:
            squeezed -= state[low]
            rate -= state[all_ + low]
        pressed[chain + 1 + i] = squeezed - gaps[chain + 1 + i]
        rates[chain + 1 + i] = rate
    return slope


@njit(cache=True, error_model="numpy", inline="always")
def _bearing(stiff, damp, pressed, rate):
    """Above 0 where a joint bears: the lesser of its force and of what being pressed in alone would give [N]."""
    spring = stiff * pressed
    return min(spring, spring + damp * rate)


@njit(cache=True, error_model="numpy")
def _rates(angle, speed, state, out, bears, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain, pressed, rates):
    """Rates of positions, speeds, work put in and work lost; `bears` says which joint bears."""
    all_ = masses.shape[0]
    slope = _pressings(angle, speed, state, numbers, gaps, upper, lower, table, chain, pressed, rates)
    for i in range(all_):
        out[i] = state[all_ + i]
        out[all_ + i] = 0.0
    lost = 0.0
    work = 0.0
    for j in range(chain + 1):
        if bears[j]:
            force = stiff[j] * pressed[j] + damp[j] * rates[j]
            lost += damp[j] * rates[j] * rates[j]
            if j == 0:
                work = force * numbers[P_RATIO] * speed * slope
            else:
                out[all_ + j - 1] += force if j == chain else -force
            if j < chain:
                out[all_ + j] += force
    out[all_] -= numbers[P_HOLD]
    out[all_ + chain - 1] -= numbers[P_LOAD]
    for i in range(upper.shape[0]):
        j = chain + 1 + i
        top, low = upper[i], lower[i]
        drag = coils[i, 1]
        force = coils[i, 0] * (pressed[j] + gaps[j])
        if bears[j]:
            force += stiff[j] * pressed[j]
            drag += damp[j]
        force += drag * rates[j]
        lost += drag * rates[j] * rates[j]
        out[all_ + top] -= force
        if low >= 0:
            out[all_ + low] += force
    for i in range(all_):
        out[all_ + i] /= masses[i]
    out[2 * all_] = work
    out[2 * all_ + 1] = lost


@njit(cache=True, error_model="numpy")
def _between(u, h, state, rates, after, rates_after, middle, all_):
    """State at a part u of a step, from position, speed and acceleration at both ends."""
    u2 = u * u
    u3 = u2 * u
    u4 = u3 * u
    u5 = u4 * u
    p0 = 1.0 - 10.0 * u3 + 15.0 * u4 - 6.0 * u5
    p1 = u - 6.0 * u3 + 8.0 * u4 - 3.0 * u5
    p2 = 0.5 * u2 - 1.5 * u3 + 1.5 * u4 - 0.5 * u5
    q1 = -4.0 * u3 + 7.0 * u4 - 3.0 * u5
    q2 = 0.5 * u3 - u4 + 0.5 * u5
    d0 = -30.0 * u2 + 60.0 * u3 - 30.0 * u4
    d1 = 1.0 - 18.0 * u2 + 32.0 * u3 - 15.0 * u4
    d2 = u - 4.5 * u2 + 6.0 * u3 - 2.5 * u4
    e1 = -12.0 * u2 + 28.0 * u3 - 15.0 * u4
    e2 = 1.5 * u2 - 4.0 * u3 + 2.5 * u4
    for i in range(all_):
        x, v, a = state[i], state[all_ + i], rates[all_ + i]
        y, w, b = after[i], after[all_ + i], rates_after[all_ + i]
        middle[i] = p0 * x + (1.0 - p0) * y + h * (p1 * v + q1 * w + h * (p2 * a + q2 * b))
        middle[all_ + i] = d0 * (x - y) / h + d1 * v + e1 * w + h * (d2 * a + e2 * b)


@njit(cache=True, error_model="numpy")
def _stepped(
    angle, speed, h, state, k, after, trial, bears, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain, pressed, rates
):
    """One step of the fifth order after Dormand and Prince; returns its error over what is allowed."""
    size = state.shape[0]
    for s in range(1, 7):
        for i in range(size):
            trial[i] = 0.0
        for r in range(s):
            share = _A[s, r]
            if share != 0.0:
                for i in range(size):
                    trial[i] += share * k[r, i]
        for i in range(size):
            trial[i] = state[i] + h * trial[i]
        _rates(angle + _C[s] * h * speed, speed, trial, k[s], bears, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain,
               pressed, rates)  # fmt: skip
    all_ = masses.shape[0]
    worst = 0.0
    for i in range(size):
        after[i] = trial[i]
    for i in range(2 * all_):
        wrong = h * (_E[0] * k[0, i] + _E[2] * k[2, i] + _E[3] * k[3, i] + _E[4] * k[4, i] + _E[5] * k[5, i] + _E[6] * k[6, i])
        allowed = numbers[P_TOLERANCE] * (numbers[P_SPAN] if i < all_ else numbers[P_RUSH])
        if not math.isfinite(wrong):
            return math.inf
        worst = max(worst, abs(wrong) / allowed)
    return worst


@njit(cache=True, error_model="numpy")
def _changed(bears, stiff, damp, pressed, rates, doubtful):
    """Marks the joints whose state is another than `bears` says; returns how many."""
    count = 0
    for j in range(bears.shape[0]):
        doubtful[j] = (_bearing(stiff[j], damp[j], pressed[j], rates[j]) > 0.0) != bears[j]
        count += doubtful[j]
    return count


@njit(cache=True, error_model="numpy")
def _met(j, angle, speed, h, state, k, after, trial, bears, numbers, stiff, damp, gaps, upper, lower, table, chain, pressed, rates, high):
    """Part of the step, up to `high`, at which joint j begins or ceases to bear."""
    all_ = (state.shape[0] - 2) // 2
    low = 0.0
    for _ in range(50):
        u = 0.5 * (low + high)
        _between(u, h, state, k[0], after, k[6], trial, all_)
        _pressings(angle + u * h * speed, speed, trial, numbers, gaps, upper, lower, table, chain, pressed, rates)
        if (_bearing(stiff[j], damp[j], pressed[j], rates[j]) > 0.0) == bears[j]:
            low = u
        else:
            high = u
        if high - low < 1e-9:
            break
    return high


@njit(cache=True, error_model="numpy")
def _along(at, state, bears, numbers, stiff, damp, gaps, coils, lower, chain, pressed, rates, along):
    """What is told at one angle; `pressed` and `rates` belong to the state."""
    all_ = (state.shape[0] - 2) // 2
    along[R_LIFT, at] = state[chain - 1]
    along[R_SPEED, at] = state[all_ + chain - 1]
    along[R_FORCE, at] = max(0.0, stiff[0] * pressed[0] + damp[0] * rates[0]) * numbers[P_RATIO] if bears[0] else 0.0
    along[R_SEAT, at] = max(0.0, stiff[chain] * pressed[chain] + damp[chain] * rates[chain]) if bears[chain] else 0.0
    gap = 0.0
    for j in range(chain):
        gap += max(0.0, -pressed[j])
    along[R_GAP, at] = gap
    along[R_SPRING, at] = numbers[P_LOAD]
    for i in range(lower.shape[0]):
        j = chain + 1 + i
        if i == 0 or lower[i - 1] < 0:  # the coil under the retainer
            force = coils[i, 0] * (pressed[j] + gaps[j]) + coils[i, 1] * rates[j]
            along[R_SPRING, at] += force + (stiff[j] * pressed[j] + damp[j] * rates[j] if bears[j] else 0.0)


@njit(cache=True, error_model="numpy")
def _noted(row, angle, state, bears, numbers, stiff, damp, gaps, coils, lower, chain, pressed, rates):
    """Extremes of a cycle; `pressed` and `rates` belong to the state."""
    if numbers[P_FROM] <= angle <= numbers[P_TO]:
        total = 0.0
        for j in range(chain):
            total += max(0.0, -pressed[j])
            force = _bearing(stiff[j], damp[j], pressed[j], rates[j])
            if force < row[Q_MARGIN]:
                row[Q_MARGIN] = force
                row[Q_MARGIN_AT] = angle
        if total > row[Q_GAP]:
            row[Q_GAP] = total
            row[Q_GAP_AT] = angle
    row[Q_LIFT] = max(row[Q_LIFT], state[chain - 1])
    if row[Q_LANDINGS] > 0.0:
        row[Q_BOUNCE] = max(row[Q_BOUNCE], state[chain - 1])
    if bears[0]:
        row[Q_FORCE] = max(row[Q_FORCE], (stiff[0] * pressed[0] + damp[0] * rates[0]) * numbers[P_RATIO])
    for i in range(lower.shape[0]):
        j = chain + 1 + i
        if lower[i] < 0:
            row[Q_LEAST_SPRING] = min(row[Q_LEAST_SPRING], coils[i, 2] + coils[i, 0] * (pressed[j] + gaps[j]) + coils[i, 1] * rates[j])
        if bears[j]:
            row[Q_CLASH] = 1.0


@njit(cache=True, error_model="numpy", nogil=True)
def turned(speed, state, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain, told, along):
    """Cycle after cycle from half a turn before the nose, until valve and coils end one as they began it.

    `told` takes a row for each cycle, `along` the last cycle at even angles. Returns what came of it, the cycles run and how far
    the last ended from where it began.
    """
    all_ = masses.shape[0]
    size = 2 * all_ + 2
    joints = chain + 1 + upper.shape[0]
    bears, doubtful, halfway = np.zeros(joints, np.bool_), np.zeros(joints, np.bool_), np.zeros(joints, np.bool_)
    pressed, rates = np.zeros(joints), np.zeros(joints)
    k = np.zeros((7, size))
    after, trial, begun = np.zeros(size), np.zeros(size), np.zeros(size)
    moments = along.shape[1]
    longest = 2.0 * math.pi / 180.0 / speed
    h = 0.02 * longest
    apart = math.inf
    cycle = 0
    for cycle in range(told.shape[0]):
        angle = -math.pi
        begun[:] = state
        state[2 * all_] = 0.0
        state[2 * all_ + 1] = 0.0
        row = told[cycle]
        row[:] = 0.0
        row[Q_MARGIN] = math.inf
        row[Q_LEAST_SPRING] = math.inf
        moment = 0
        steps = 0
        _pressings(angle, speed, state, numbers, gaps, upper, lower, table, chain, pressed, rates)
        for j in range(joints):
            bears[j] = _bearing(stiff[j], damp[j], pressed[j], rates[j]) > 0.0
        _rates(angle, speed, state, k[0], bears, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain, pressed, rates)
        while angle < math.pi:
            steps += 1
            if steps > MOST_STEPS:
                return TOO_MANY, cycle, angle
            left = (math.pi - angle) / speed
            last = h >= left
            step = left if last else h
            wrong = _stepped(angle, speed, step, state, k, after, trial, bears, numbers, masses, stiff, damp, gaps, coils, upper, lower,
                             table, chain, pressed, rates)  # fmt: skip
            if not wrong <= 1.0:
                h = step * (max(0.2, 0.9 * wrong**-0.2) if math.isfinite(wrong) else 0.2)
                if h < 1e-13 * longest:
                    return (TOO_SHORT if math.isfinite(wrong) else NO_NUMBER), cycle, angle
                continue
            grown = min(5.0, 0.9 * max(wrong, 1e-10) ** -0.2)
            # which joint changes first within the step
            first, which = 2.0, -1
            count = _changed(bears, stiff, damp, pressed, rates, doubtful)
            _between(0.5, step, state, k[0], after, k[6], trial, all_)
            _pressings(angle + 0.5 * step * speed, speed, trial, numbers, gaps, upper, lower, table, chain, pressed, rates)
            count += _changed(bears, stiff, damp, pressed, rates, halfway)
            if count > 0:
                for j in range(joints):
                    if doubtful[j] or halfway[j]:
                        at = _met(j, angle, speed, step, state, k, after, trial, bears, numbers, stiff, damp, gaps, upper, lower, table,
                                  chain, pressed, rates, 0.5 if halfway[j] else 1.0)  # fmt: skip
                        if at < first:
                            first, which = at, j
                last = last and first >= 1.0
                step = max(first * step, 1e-12 * longest)
                _stepped(angle, speed, step, state, k, after, trial, bears, numbers, masses, stiff, damp, gaps, coils, upper, lower,
                         table, chain, pressed, rates)  # fmt: skip
            while moment < moments:
                wanted = -math.pi + moment * (2.0 * math.pi / moments)
                if wanted > angle + step * speed:
                    break
                u = min(max((wanted - angle) / (step * speed), 0.0), 1.0)
                _between(u, step, state, k[0], after, k[6], trial, all_)
                _pressings(wanted, speed, trial, numbers, gaps, upper, lower, table, chain, pressed, rates)
                _along(moment, trial, bears, numbers, stiff, damp, gaps, coils, lower, chain, pressed, rates, along)
                moment += 1
            for i in range(size):
                state[i] = after[i]
            angle = math.pi if last else angle + step * speed
            _pressings(angle, speed, state, numbers, gaps, upper, lower, table, chain, pressed, rates)
            if which >= 0:
                bears[which] = not bears[which]
                row[Q_CHANGES] += 1.0
                # a joint that parts while pressed in springs back for nothing: what it held is lost
                kept = 0.5 * stiff[which] * max(pressed[which], 0.0) ** 2
                state[2 * all_ + 1] += -kept if bears[which] else kept
                if which == chain and bears[chain] and angle > 0.0:
                    row[Q_LANDINGS] += 1.0
                    if row[Q_LANDINGS] == 1.0:
                        row[Q_LANDING] = rates[chain]
                        row[Q_LANDING_AT] = angle
                _rates(angle, speed, state, k[0], bears, numbers, masses, stiff, damp, gaps, coils, upper, lower, table, chain, pressed,
                       rates)  # fmt: skip
                h = min(max(0.25 * h, 1e-6 * longest), longest)
            else:
                for i in range(size):
                    k[0, i] = k[6, i]
                h = min(h if last else step * grown, longest)
            _noted(row, angle, state, bears, numbers, stiff, damp, gaps, coils, lower, chain, pressed, rates)
        row[Q_WORK] = state[2 * all_]
        row[Q_LOST] = state[2 * all_ + 1]
        row[Q_STEPS] = steps
        apart = 0.0
        for i in range(chain - 1, all_):  # loose parts may lie anywhere in the lash
            apart = max(apart, abs(state[i] - begun[i]) / numbers[P_SPAN], abs(state[all_ + i] - begun[all_ + i]) / numbers[P_RUSH])
        row[Q_RETURN] = apart
        if not math.isfinite(apart):
            return NO_NUMBER, cycle, angle
        if apart < numbers[P_RETURNS]:
            break
    return GOOD, cycle + 1, apart
