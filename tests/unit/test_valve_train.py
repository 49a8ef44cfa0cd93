"""The valve train in motion, against linear algebra, closed forms and a general solver that share nothing with the compiled loops."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import eigvalsh, expm
from scipy.optimize import brentq

from tenths.calc.valves import _kernels as kernels
from tenths.calc.valves import dynamics, loss
from tenths.calc.valves.lobes import lobe_of
from tenths.calc.valves.profiles import profile_lobe
from tenths.calc.valves.train import Coils, Train, damping_of, direct_acting, finger, push_rod, rigid_limit
from tenths.errors import BadInput, OutOfRange, Unsettled

RPM = math.pi / 30.0
INNER = Coils(load=150.0, rate=20e3, mass=0.025, left=0.016)
OUTER = Coils(load=550.0, rate=60e3, mass=0.060, left=0.016)


def pushed(**changes):
    sizes = {
        "follower": 0.1, "rod": 0.06, "rocker_inertia": 5e-5, "valve_arm": 0.036, "valve": 0.15, "ratio": 1.6, "lobe_stiffness": 8e7,
        "rod_stiffness": 3.5e7, "rocker_stiffness": 2e7, "seat_stiffness": 6e7, "springs": (OUTER, INNER), "lash": 3e-4,
    }  # fmt: skip
    return push_rod(**(sizes | changes))


def lobe(lift=0.008, half=175.0):
    return profile_lobe("4-5-6-7", lift=lift, opening=math.radians(half), closing=math.radians(half))


def eccentric(*, base, throw):
    """A round lobe out of centre, that never lets the valve near its seat."""
    crank = np.linspace(-math.tau, math.tau, 1441)
    c, s = np.cos(crank / 2), np.sin(crank / 2)
    return lobe_of(crank, base + throw * (1 + c), -throw * s / 2, -throw * c / 4, throw * s / 8)


# -- a second build of the same train, in matrices -----------------------------------------------------------------------------

class Matrices:
    """Mass, damping and stiffness of a train with all joints of the row pressed and the valve off its seat."""

    def __init__(self, of):
        chain = len(of.masses)
        count = chain + sum(spring.pieces - 1 for spring in of.springs)
        self.of, self.chain, self.count = of, chain, count
        self.M, self.K, self.C = np.zeros((count, count)), np.zeros((count, count)), np.zeros((count, count))
        for i, mass in enumerate(of.masses):
            self.M[i, i] += mass
        self.joints = []  # vector over the masses, share of the lobe, stiffness, damping, gap
        for j, (k, c) in enumerate(zip(of.stiffnesses, of.dampings, strict=True)):
            row = np.zeros(count)
            row[j] = -1.0
            if j:
                row[j - 1] = 1.0
            self.joints.append((row, 1.0 if j == 0 else 0.0, k, c, of.lash if of.lash_at == j else 0.0))
        free = chain
        for spring in of.springs:
            above, n = chain - 1, spring.pieces
            k, c = spring.rate * n, 2 * spring.damping * spring.rate * n / (math.pi * math.sqrt(spring.rate / spring.mass))
            self.M[chain - 1, chain - 1] += spring.mass / n / 2
            for piece in range(n):
                row = np.zeros(count)
                row[above] = 1.0
                if piece < n - 1:
                    row[free] = -1.0
                    self.M[free, free] = spring.mass / n
                    above, free = free, free + 1
                self.K += k * np.outer(row, row)
                self.C += c * np.outer(row, row)
        self.push = np.zeros(count)
        self.push[0] -= of.hold
        self.push[chain - 1] -= sum(spring.load for spring in of.springs)

    def closed(self):
        """Stiffness and damping with every joint of the row pressed."""
        K, C = self.K.copy(), self.C.copy()
        for row, _, k, c, _ in self.joints:
            K += k * np.outer(row, row)
            C += c * np.outer(row, row)
        return K, C

    def answer(self, throw, base, cam):
        """Mean position and complex amplitude on a round lobe."""
        K, C = self.closed()
        _, _, k, c, gap = self.joints[0]
        first = np.zeros(self.count)
        first[0] = 1.0
        ratio = self.of.ratio
        still = self.push + k * (ratio * (base + throw) - gap) * first
        for other, _, stiff, _, lash in self.joints[1:]:
            still = still + stiff * lash * other
        moving = (k + 1j * cam * c) * ratio * throw * first
        return np.linalg.solve(K, still), np.linalg.solve(K + 1j * cam * C - cam**2 * self.M, moving)


def arrays_of(of, lobe_, cam, tolerance):
    made, table = dynamics._arrays(of), dynamics._table(lobe_)
    numbers = made.numbers.copy()
    lift = float(table[:, 0].max())
    rush = float(np.abs(table[:, 1]).max()) * dynamics.PIECES / math.tau
    numbers[kernels.P_TOLERANCE], numbers[kernels.P_FROM], numbers[kernels.P_TO] = tolerance, -1.0, 1.0
    numbers[kernels.P_SPAN], numbers[kernels.P_RUSH] = of.ratio * lift, of.ratio * rush * cam
    return made, table, numbers


def one_cycle(of, lobe_, cam, state, tolerance=1e-8):
    made, table, numbers = arrays_of(of, lobe_, cam, tolerance)
    told, along = np.zeros((1, 17)), np.zeros((6, dynamics.MOMENTS))
    code, _, _ = kernels.turned(cam, state, numbers, made.masses, made.stiff, made.damp, made.gaps, made.coils, made.upper, made.lower,
                                table, len(of.masses), told, along)
    assert code == kernels.GOOD
    return told[0], along


# -- linear motion -------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("rpm", [1500, 4000, 7500])
def test_a_train_in_contact_moves_as_its_matrix_exponential_says(rpm):
    of, cam, base, throw = pushed(), rpm * RPM / 2, 0.004, 0.0015
    rule = Matrices(of)
    count = rule.count
    mean, swing = rule.answer(throw, base, cam)
    start = mean + np.real(swing * np.exp(-1j * math.pi))
    speed = np.real(1j * cam * swing * np.exp(-1j * math.pi))
    rng = np.random.default_rng(5)
    kick = rng.normal(size=count) * 0.02
    state = np.concatenate([start, speed + kick, [0.0, 0.0]])
    one_cycle(of, eccentric(base=base, throw=throw), cam, state)
    K, C = rule.closed()
    inverse = np.linalg.inv(rule.M)
    system = np.block([[np.zeros((count, count)), np.eye(count)], [-inverse @ K, -inverse @ C]])
    # what is over and above the steady motion dies away by the matrix exponential
    left = expm(system * (math.tau / cam)) @ np.concatenate([np.zeros(count), kick])
    steady = np.concatenate([start, speed])
    assert state[:count] == pytest.approx((steady + left)[:count], abs=2e-9)
    assert state[count : 2 * count] == pytest.approx((steady + left)[count:], abs=3e-6)


def test_steady_motion_on_a_round_lobe_agrees_with_its_complex_amplitude():
    of, cam, base, throw = pushed(), 3000 * RPM / 2, 0.004, 0.0015
    rule = Matrices(of)
    mean, swing = rule.answer(throw, base, cam)
    found = dynamics.run(of, eccentric(base=base, throw=throw), speed=2 * cam, tolerance=1e-7)
    angle = found.angles / 2
    valve = mean[rule.chain - 1] + np.real(swing[rule.chain - 1] * np.exp(1j * angle))
    assert found.lifts == pytest.approx(valve, abs=6e-6)  # a cycle may end 2 in 1000 off where it began
    assert found.repeats
    first = of.stiffnesses[0] + 1j * cam * of.dampings[0]
    force = of.stiffnesses[0] * (of.ratio * (base + throw) - mean[0]) + np.real(first * (of.ratio * throw - swing[0]) * np.exp(1j * angle))
    assert found.forces == pytest.approx(force * of.ratio, rel=4e-3)


@pytest.mark.parametrize(("pieces", "off"), [(8, 6.5e-3), (16, 1.7e-3), (32, 5e-4)])
def test_coils_swing_as_the_wire_does(pieces, off):
    # spring rate 21.018 N/mm, 47.73 g between fixed ends: 331.81 Hz and its multiples (design reference A8.4)
    spring = Coils(load=300.0, rate=21018.0, mass=0.04773, left=0.02, damping=0.0, pieces=pieces)
    of = Train(masses=(0.1,), stiffnesses=(1e7,), dampings=(0.0,), springs=(spring,))
    made, table, numbers = arrays_of(of, lobe(), 100.0, 1e-6)
    count, joints = len(made.masses), 2 + pieces
    none = np.zeros(joints, np.bool_)

    def rates(state):
        out = np.zeros(2 * count + 2)
        kernels._rates(0.0, 100.0, state, out, none, numbers, made.masses, made.stiff, made.damp, made.gaps, made.coils, made.upper,
                       made.lower, table, 1, np.zeros(joints), np.zeros(joints))
        return out[count : 2 * count]

    still = rates(np.zeros(2 * count + 2))
    columns = [rates(np.eye(2 * count + 2)[i]) - still for i in range(1, count)]
    matrix = -np.array(columns)[:, 1:] * made.masses[1:]
    frequencies = np.sqrt(eigvalsh(matrix, np.diag(made.masses[1:]))) / math.tau
    assert frequencies[0] == pytest.approx(331.81, rel=off)
    assert frequencies[0] < 331.81
    assert frequencies[1] == pytest.approx(2 * 331.81, rel=4.5 * off)


# -- parting -------------------------------------------------------------------------------------------------------------------

def least_force(of, base, throw, cam):
    """Least force in any joint of the row, in steady motion on a round lobe, by amplitudes."""
    rule = Matrices(of)
    mean, swing = rule.answer(throw, base, cam)
    forces = []
    for row, share, k, c, gap in rule.joints:
        still = k * (row @ mean + share * of.ratio * (base + throw) - gap)
        forces.append(still - abs((k + 1j * cam * c) * (row @ swing + share * of.ratio * throw)))
    return min(forces)


def test_single_mass_parts_where_the_closed_form_says():
    spring = Coils(load=300.0, rate=30e3, mass=1e-4, left=0.03, pieces=2)
    damping = damping_of(share=0.05, stiffness=4e6, first=0.2)
    of = Train(masses=(0.2,), stiffnesses=(4e6,), dampings=(damping,), springs=(spring,))
    base, throw = 0.002, 0.004
    # one mass m between the lobe's spring K and the valve spring k: x = K s / (K + k - m w^2), force K (s - x)
    k, load, mass, stiff = 30e3, 300.0, 0.2 + 1e-4 / 3, 4e6

    def least(cam):
        spring_of = stiff + 1j * cam * damping
        swing = spring_of * throw / (stiff + k - mass * cam**2 + 1j * cam * damping)
        still = load + k * stiff * (base + throw - load / stiff) / (stiff + k)
        return still - abs(spring_of * (throw - swing))

    wanted = brentq(least, 100.0, 2000.0)
    found = loss.loss_speed(of, eccentric(base=base, throw=throw), lowest=0.6 * wanted, highest=4 * wanted)
    assert found.speed / 2 == pytest.approx(wanted, rel=1.5e-3)
    assert abs(math.degrees(found.at)) < 30.0


def test_whole_train_parts_where_its_matrices_say(monkeypatch):
    monkeypatch.setattr(dynamics, "RETURNS", 1e-5)  # on a lobe that never rests what it began with dies away slowly
    of, base, throw = pushed(valve=0.5, lash=0.0), 0.0015, 0.0025
    speeds = np.linspace(100.0, 1200.0, 400)
    first = next(k for k, speed in enumerate(speeds) if least_force(of, base, throw, speed) < 0.0)
    wanted = brentq(lambda cam: least_force(of, base, throw, cam), speeds[first - 1], speeds[first])
    own = eccentric(base=base, throw=throw)
    below, above = (dynamics.run(of, own, speed=2 * share * wanted, most_cycles=60) for share in (0.995, 1.003))
    assert below.least_force == pytest.approx(least_force(of, base, throw, 0.995 * wanted), abs=0.5)
    assert below.holds
    assert not above.holds


def test_stiff_train_parts_where_a_rigid_one_does():
    spring = Coils(load=400.0, rate=40e3, mass=2e-3, left=0.03, pieces=2)
    of = Train(masses=(0.25,), stiffnesses=(4e9,), dampings=(2e4,), springs=(spring,), seat_stiffness=1e9)
    own = eccentric(base=0.001, throw=0.004)
    # at the nose load + k (base + 2 throw) = m throw w^2
    by_hand = 2 * math.sqrt((400.0 + 40e3 * 0.009) / ((0.25 + 2e-3 / 3) * 0.004))
    assert rigid_limit(of, own).speed == pytest.approx(by_hand, rel=1e-9)
    found = loss.loss_speed(of, own, lowest=0.8 * by_hand, highest=1.2 * by_hand)
    assert found.speed == pytest.approx(by_hand, rel=3e-3)
    assert found.at == pytest.approx(0.0, abs=0.3)


def test_doubt_of_a_stiff_train_is_that_of_the_closed_form():
    def of(load=400.0, mass=0.25):
        spring = Coils(load=load, rate=40e3, mass=2e-3, left=0.03, pieces=2)
        return Train(masses=(mass,), stiffnesses=(4e9,), dampings=(2e4,), springs=(spring,), seat_stiffness=1e9)

    own = eccentric(base=0.001, throw=0.004)
    speed = 2 * math.sqrt((400.0 + 40e3 * 0.009) / ((0.25 + 2e-3 / 3) * 0.004))
    causes = [loss.Cause("load", (of(load=360.0), own), (of(load=440.0), own)),
              loss.Cause("mass", (of(mass=0.24), own), (of(mass=0.26), own))]
    found = loss.doubted(causes, loss=loss.loss_speed(of(), own, lowest=0.9 * speed, highest=1.1 * speed))
    by_load, by_mass = speed * 40.0 / (2 * 760.0), speed * 0.01 / (2 * (0.25 + 2e-3 / 3))
    parts = {share.words: share.part for share in found.shares}
    assert parts["load"] == pytest.approx(by_load, rel=0.05)
    assert parts["mass"] == pytest.approx(by_mass, rel=0.08)
    assert found.standard_uncertainty == pytest.approx(math.hypot(by_load, by_mass), rel=0.05)
    assert [share.words for share in found.shares] == ["load", "mass"]


def test_train_that_holds_says_so():
    found = loss.loss_speed(pushed(), lobe(), lowest=1000 * RPM, highest=3000 * RPM, points=5)
    assert not found.found
    assert found.tried == pytest.approx(3000 * RPM)
    assert loss.doubted([], loss=found).standard_uncertainty == 0.0


@pytest.mark.parametrize(("better", "words"), [
    ({"springs": (Coils(load=750.0, rate=70e3, mass=0.06, left=0.016), INNER)}, "stronger spring"),
    ({"valve": 0.12}, "lighter valve"), ({"rocker_stiffness": 3e7, "rod_stiffness": 5.2e7}, "stiffer rocker and rod"),
])  # fmt: skip
def test_what_every_builder_knows_helps(better, words):
    def leaves(of):
        return loss.loss_speed(of, lobe(), lowest=4000 * RPM, highest=9000 * RPM, gap=1e-4).speed

    assert leaves(pushed(**better)) > 1.01 * leaves(pushed()), words


# -- contact, seat, energy -----------------------------------------------------------------------------------------------------

def by_general_solver(of, lobe_, cam):
    """The first cycle from rest by a general solver, from the matrices."""
    rule = Matrices(of)
    count, last = rule.count, rule.chain - 1
    inverse = 1.0 / np.diag(rule.M)
    load = sum(spring.load for spring in of.springs)

    def rates(t, y):
        x, v = y[:count], y[count:]
        at = lobe_.at(2 * (cam * t - math.pi))
        force = rule.push - rule.K @ x - rule.C @ v
        for row, share, k, c, gap in rule.joints:
            pressed = row @ x + share * of.ratio * float(at.lift) - gap
            rate = row @ v + share * of.ratio * 2 * cam * float(at.velocity)
            if pressed > 0 and k * pressed + c * rate > 0:
                force = force - (k * pressed + c * rate) * row
        pressed = load / of.seat_stiffness - x[last]
        if pressed > 0 and of.seat_stiffness * pressed - of.seat_damping * v[last] > 0:
            force[last] += of.seat_stiffness * pressed - of.seat_damping * v[last]
        return np.concatenate([v, force * inverse])

    return solve_ivp(rates, (0.0, math.tau / cam), np.zeros(2 * count), method="DOP853", rtol=1e-8, atol=1e-10,
                     max_step=math.radians(1.0) / cam, dense_output=True), count, last


@pytest.mark.parametrize("rpm", [3500, 7000])
def test_cycle_with_lash_bounce_and_parting_agrees_with_a_general_solver(rpm):
    few = [Coils(load=s.load, rate=s.rate, mass=s.mass, left=0.05, pieces=4) for s in (OUTER, INNER)]
    of, own, cam = pushed(springs=few, damping=0.08), lobe(), rpm * RPM / 2
    told, along = one_cycle(of, own, cam, np.zeros(2 * Matrices(of).count + 2), tolerance=1e-9)
    solved, count, last = by_general_solver(of, own, cam)
    times = np.arange(dynamics.MOMENTS) * math.tau / cam / dynamics.MOMENTS
    there = solved.sol(times)
    assert along[kernels.R_LIFT] == pytest.approx(there[last], abs=2e-6)
    assert along[kernels.R_SPEED] == pytest.approx(there[count + last], abs=0.02)
    free = of.load / of.seat_stiffness
    fine = np.linspace(times[360], times[-1], 40_001)
    lift, speed = solved.sol(fine)[[last, count + last]]
    down = np.flatnonzero((lift[:-1] > free) & (lift[1:] <= free))
    assert told[kernels.Q_LANDING] == pytest.approx(-speed[down[0]], rel=2e-3)
    assert told[kernels.Q_LANDINGS] == len(down)
    assert told[kernels.Q_BOUNCE] == pytest.approx(lift[down[0] :].max(), abs=2e-6)


def stored(of, state):
    """Energy of motion, joints, coils, springs' load and weight, from the matrices."""
    rule = Matrices(of)
    n = rule.count
    x, v = state[:n], state[n : 2 * n]
    energy = 0.5 * v @ rule.M @ v + 0.5 * x @ rule.K @ x - rule.push @ x
    for row, _, k, c, gap in rule.joints:  # the lobe rests on its base circle at both ends
        pressed = row @ x - gap
        if pressed > 0 and k * pressed + c * (row @ v) > 0:
            energy += 0.5 * k * pressed**2
    pressed = sum(s.load for s in of.springs) / of.seat_stiffness - x[rule.chain - 1]
    if pressed > 0 and of.seat_stiffness * pressed - of.seat_damping * v[rule.chain - 1] > 0:
        energy += 0.5 * of.seat_stiffness * pressed**2
    return energy


@pytest.mark.parametrize("rpm", [1000, 4000, 6500, 8500])
def test_work_of_the_lobe_is_stored_or_lost(rpm):
    roomy = [Coils(load=s.load, rate=s.rate, mass=s.mass, left=0.05) for s in (OUTER, INNER)]
    of = pushed(springs=roomy)
    state = np.zeros(2 * Matrices(of).count + 2)
    before = stored(of, state)
    told, _ = one_cycle(of, lobe(), rpm * RPM / 2, state)
    gained = stored(of, state) - before
    assert told[kernels.Q_WORK] > 0.01
    assert told[kernels.Q_WORK] - told[kernels.Q_LOST] == pytest.approx(gained, abs=2e-4 * told[kernels.Q_WORK])


def test_finer_steps_change_little():
    for rpm in (2500, 5500):
        usual, fine = (dynamics.run(pushed(), lobe(), speed=rpm * RPM, tolerance=tolerance) for tolerance in (1e-5, 1e-8))
        assert usual.landing == pytest.approx(fine.landing, rel=1e-3)
        assert usual.greatest_force == pytest.approx(fine.greatest_force, rel=5e-3)
        assert usual.lifts == pytest.approx(fine.lifts, abs=2e-6)


def test_coils_that_bind_stop_the_valve():
    tight = [Coils(load=s.load, rate=s.rate, mass=s.mass, left=0.0115) for s in (OUTER, INNER)]
    found = dynamics.run(pushed(springs=tight), lobe(), speed=2000 * RPM)
    free = dynamics.run(pushed(), lobe(), speed=2000 * RPM)
    assert found.bound
    assert not free.bound
    assert found.greatest_force > 1.5 * free.greatest_force


@pytest.mark.parametrize("of", [
    direct_acting(follower=0.055, valve=0.062, lobe_stiffness=4e7, stem_stiffness=6e7, seat_stiffness=8e7, lash=2e-4,
                  springs=[Coils(load=200.0, rate=32e3, mass=0.030, left=0.014)]),
    finger(inertia=1.4e-5, valve_arm=0.032, valve=0.055, ratio=1.55, lobe_stiffness=6e7, finger_stiffness=2.5e7, seat_stiffness=8e7,
           springs=[Coils(load=220.0, rate=35e3, mass=0.028, left=0.014)]),
], ids=["direct", "finger"])  # fmt: skip
def test_other_gears_run_and_part_later_than_push_rods(of):
    own = lobe(lift=0.0095 / of.ratio)
    slow = dynamics.run(of, own, speed=2000 * RPM)
    assert slow.holds
    assert slow.greatest_lift == pytest.approx(0.0095 - of.lash, abs=1.5e-4)
    assert slow.repeats
    limit = rigid_limit(of, own).speed
    found = loss.loss_speed(of, own, lowest=3000 * RPM, highest=1.2 * limit)
    assert 0.75 * limit < found.speed < 1.03 * limit


# -- refusals ------------------------------------------------------------------------------------------------------------------

def test_what_cannot_be_followed_is_said_and_never_a_number_that_is_none():
    wild = Train(masses=(1e-13, 0.2), stiffnesses=(1e7, 1e7), dampings=(0.0, 0.0), springs=(OUTER,))
    with pytest.raises(Unsettled, match=r"at 5000 rpm, in cycle 1, the motion could not be followed"):
        dynamics.run(wild, lobe(), speed=5000 * RPM)


def test_wrong_trains_are_refused():
    with pytest.raises(BadInput, match="2 masses, 1 stiffnesses"):
        Train(masses=(0.1, 0.1), stiffnesses=(1e7,), dampings=(0.0,), springs=(OUTER,))
    with pytest.raises(BadInput, match="springs: none given"):
        Train(masses=(0.1,), stiffnesses=(1e7,), dampings=(0.0,), springs=())
    with pytest.raises(OutOfRange, match="spring_rate is -1"):
        Coils(load=1.0, rate=-1.0, mass=0.1, left=0.01)
    with pytest.raises(OutOfRange, match="valve is 0"):
        pushed(valve=0.0)
    with pytest.raises(OutOfRange, match="speed is 0"):
        dynamics.run(pushed(), lobe(), speed=0.0)
    with pytest.raises(BadInput, match="speeds: none given"):
        dynamics.runs(pushed(), lobe(), [])
    with pytest.raises(OutOfRange, match="highest is 100 rad/s"):
        loss.loss_speed(pushed(), lobe(), lowest=200.0, highest=100.0)
    with pytest.raises(OutOfRange, match="its greatest lift is 0 m"):
        dynamics.run(pushed(), lobe_of([-1.0, 0.0, 1.0], [0, 0, 0], [0, 0, 0], [0, 0, 0], [0, 0, 0]), speed=100.0)
