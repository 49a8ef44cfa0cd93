"""Torsion against a general eigen-solver, closed chains and a plain march in time."""

import math

import numpy as np
import pytest
import scipy.integrate
import scipy.linalg
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.calc import crank, torsion
from tenths.errors import BadInput, OutOfRange

CRANK = torsion.Chain([0.0035, 0.0045, 0.0045, 0.0045, 0.0045, 0.12], [0.09e6, 0.3e6, 0.3e6, 0.3e6, 0.45e6])
FOUR = {"cylinder_discs": [1, 2, 3, 4], "firing_angles": [math.radians(a) for a in (0, 540, 180, 360)]}

chains = st.integers(2, 9).flatmap(
    lambda n: st.builds(
        torsion.Chain,
        st.lists(st.floats(1e-3, 1.0), min_size=n, max_size=n),
        st.lists(st.floats(1e3, 1e6), min_size=n - 1, max_size=n - 1),
    )
)


def stiffness_of(chain):
    """Spring by spring, as the energy of each twist asks for."""
    matrix = np.zeros((len(chain.inertias),) * 2)
    for i, k in enumerate(chain.stiffnesses):
        matrix[i, i] += k
        matrix[i + 1, i + 1] += k
        matrix[i, i + 1] -= k
        matrix[i + 1, i] -= k
    return matrix


@given(chains)
def test_modes_agree_with_a_general_eigen_solver(chain):
    values = scipy.linalg.eigh(stiffness_of(chain), np.diag(chain.inertias), eigvals_only=True)
    found = torsion.modes(chain)
    top = math.sqrt(values[-1])
    assert found.frequencies[0] == 0.0
    assert found.frequencies[1:] == pytest.approx(np.sqrt(values[1:]), rel=1e-6, abs=1e-6 * top)
    assert (np.diff(found.frequencies) >= 0).all()


@given(chains)
def test_shapes_are_vibrations_without_a_net_twist(chain):
    found = torsion.modes(chain)
    inertias = np.array(chain.inertias)
    top = found.frequencies[-1] ** 2
    for frequency, shape in zip(found.frequencies, found.shapes, strict=True):
        rest = stiffness_of(chain) @ shape - frequency**2 * inertias * shape
        assert np.abs(rest).max() < 1e-9 * top * (inertias * np.abs(shape)).max() * len(inertias) * 10
    for shape in found.shapes[1:]:
        assert inertias @ shape == pytest.approx(0.0, abs=1e-7 * (inertias @ np.abs(shape)))
    assert found.shapes[0] == pytest.approx(np.ones(len(inertias)), rel=1e-6)


def test_four_cylinder_crank_of_an_independent_computation():
    found = torsion.modes(CRANK)
    assert found.frequencies[1:4] / math.tau == pytest.approx([425.07, 917.09, 1491.06], abs=0.005)
    assert found.shapes[1] == pytest.approx([1, 0.7226, 0.5621, 0.3414, 0.0842, -0.0933], abs=5e-5)


def test_stepped_shaft_of_the_textbook():
    # Bevan, example 15.8: two rotors of 1,500 and 1,000 lb ft2, stepped shaft, 12 Mpsi; 22.26 Hz with the
    # book's g of 32.2 ft/s2 (recomputed; the book's own step in between is rounded off).
    psi, pound_foot = 0.45359237 * 9.80665 / 0.0254**2, 0.45359237 * 0.3048**2
    parts = [
        crank.shaft_stiffness(length=length * 0.0254, outside=outside * 0.0254, shear_modulus=12e6 * psi)
        for length, outside in ((11, 3), (10, 5), (15, 3.5), (4, 7), (10, 5))
    ]
    whole = 1 / sum(1 / k for k in parts)
    found = torsion.modes(torsion.Chain([1500 * pound_foot, 1000 * pound_foot], [whole]))
    assert found.frequencies[1] / math.tau == pytest.approx(22.26 * math.sqrt(32.174 / 32.2), abs=0.005)


@given(chains, st.floats(1.1, 10.0))
def test_frequencies_scale_with_the_root_of_stiffness_over_inertia(chain, factor):
    stiffer = torsion.Chain(chain.inertias, [factor * k for k in chain.stiffnesses])
    heavier = torsion.Chain([factor * j for j in chain.inertias], chain.stiffnesses)
    base = torsion.modes(chain).frequencies
    assert torsion.modes(stiffer).frequencies == pytest.approx(base * math.sqrt(factor), rel=1e-6, abs=1e-3)
    assert torsion.modes(heavier).frequencies == pytest.approx(base / math.sqrt(factor), rel=1e-6, abs=1e-3)


def test_reversed_chain_has_the_same_frequencies():
    turned = torsion.Chain(CRANK.inertias[::-1], CRANK.stiffnesses[::-1])
    assert torsion.modes(turned).frequencies == pytest.approx(torsion.modes(CRANK).frequencies, rel=1e-9)


def test_forced_swing_agrees_with_a_march_in_time():
    chain = torsion.Chain([0.02, 0.03, 0.2], [4e4, 6e4], [0.4, 0.3, 0.5], [2.0, 3.0])
    speed, order, pull = 300.0, 2.5, 40.0
    harmonics = torsion.Harmonics(np.array([order]), np.array([pull + 0j]))
    found = torsion.forced_swing(chain, [harmonics], cylinder_discs=[0, 1], firing_angles=[0.0, 1.0], speeds=[speed])
    springs = stiffness_of(chain)
    dashpots = stiffness_of(torsion.Chain(chain.inertias, chain.shaft_damping)) + np.diag(chain.damping)
    inertias = np.array(chain.inertias)

    def rates(time, state):
        angle, rate = state[:3], state[3:]
        torque = pull * np.array([math.cos(order * speed * time), math.cos(order * (speed * time - 1.0)), 0.0])
        return np.concatenate((rate, (torque - springs @ angle - dashpots @ rate) / inertias))

    end = 2.0
    period = math.tau / (order * speed)
    times = end + period * np.linspace(0.0, 1.0, 64, endpoint=False)
    run = scipy.integrate.solve_ivp(rates, (0.0, end + period), np.zeros(6), t_eval=times, rtol=1e-9, atol=1e-12, method="DOP853")
    # the discs also drift slowly as a whole until damping stops them: only the vibration is compared
    seen = 2 * np.mean(run.y[:3] * np.exp(-1j * order * speed * times), axis=1)
    assert found.swings[0, 0] == pytest.approx(seen, rel=1e-4, abs=1e-9)
    twists = np.array([4e4, 6e4]) + 1j * order * speed * np.array([2.0, 3.0])
    assert found.twists[0, 0] == pytest.approx(twists * np.diff(seen), rel=1e-3)


@given(st.floats(50.0, 900.0), st.floats(1.0, 100.0))
def test_swing_is_proportional_to_the_torque(speed, factor):
    damped = torsion.Chain(CRANK.inertias, CRANK.stiffnesses, [0.5] * 6)
    one = torsion.Harmonics(np.array([2.0, 4.0]), np.array([100.0 + 20j, 50j]))
    more = torsion.Harmonics(one.orders, one.amplitudes * factor)
    base = torsion.forced_swing(damped, [one], **FOUR, speeds=[speed])
    grown = torsion.forced_swing(damped, [more], **FOUR, speeds=[speed])
    assert grown.swings == pytest.approx(base.swings * factor, rel=1e-9)


def test_swing_peaks_at_the_critical_speed():
    damped = torsion.Chain(CRANK.inertias, CRANK.stiffnesses, [0.2] * 6)
    found = torsion.modes(CRANK)
    critical = torsion.critical_speeds(found, **FOUR, orders=[4.0], lowest=300.0, highest=900.0)
    assert [c.mode for c in critical] == [1]
    speeds = np.linspace(0.8, 1.2, 801) * critical[0].speed
    one = torsion.Harmonics(np.array([4.0]), np.array([100.0 + 0j]))
    swings = torsion.forced_swing(damped, [one] * 801, **FOUR, speeds=speeds.tolist()).swings
    assert speeds[np.abs(swings[:, 0, 0]).argmax()] == pytest.approx(critical[0].speed, rel=2e-3)


def test_even_firing_four_is_driven_by_the_even_orders_only():
    found = torsion.Modes(np.array([0.0, 100.0]), np.array([[1.0] * 6, [1.0] * 6]))
    orders = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0]
    met = torsion.critical_speeds(found, **FOUR, orders=orders, lowest=1.0, highest=1000.0)
    strong = sorted(c.order for c in met if c.strength > 1e-9)
    assert strong == [2.0, 4.0]


@given(st.integers(1, 3), st.floats(1.0, 100.0), st.floats(-3.0, 3.0))
def test_harmonics_find_what_was_put_in(order, amplitude, phase):
    angles = np.linspace(0.0, 4 * math.pi, 720, endpoint=False)
    found = torsion.torque_harmonics(7.0 + amplitude * np.cos(order * angles + phase), highest=6.0)
    wanted = np.where(found.orders == order, amplitude * np.exp(1j * phase), 0.0)
    assert found.amplitudes == pytest.approx(wanted, abs=1e-9)


@given(st.lists(st.complex_numbers(max_magnitude=100.0), min_size=3, max_size=3))
def test_peak_of_a_sum_lies_between_its_largest_part_and_the_sum_of_parts(amplitudes):
    orders = np.array([0.5, 2.0, 6.5])
    peak = torsion.peak_of_orders(np.array(amplitudes), orders=orders)
    sizes = np.abs(amplitudes)
    assert peak <= sizes.sum() + 1e-9
    assert peak**2 >= (sizes**2).sum() / 2 - 1e-9  # never under the root mean square
    turns = np.linspace(0.0, 4 * math.pi, 20_001)
    fine = np.abs(sum((a * np.exp(1j * o * turns)).real for a, o in zip(amplitudes, orders, strict=True))).max()
    assert peak == pytest.approx(fine, rel=0.006, abs=1e-9)


@pytest.mark.parametrize("ratio", [0.05, 0.1, 0.2])
def test_best_damper_levels_the_two_peaks_at_the_height_of_the_textbook(ratio):
    # Den Hartog: with the best tuning both peaks stand at sqrt(1 + 2/ratio) times the static swing.
    # A disc on a spring to a wall: the wall is a disc that is a million times heavier.
    chain = torsion.Chain([1.0, 1e6], [1e4])
    damper = torsion.tuned_damper(ring=ratio, modal_inertia=1.0, frequency=100.0)
    longer = torsion.with_damper(chain, damper)
    speeds = np.linspace(60.0, 140.0, 4001)
    pull = torsion.Harmonics(np.array([1.0]), np.array([1e4 + 0j]))
    found = torsion.forced_swing(longer, [pull] * len(speeds), cylinder_discs=[1], firing_angles=[0.0], speeds=speeds.tolist())
    swing = np.abs(found.swings[:, 0, 1])
    peaks = [swing[i] for i in range(1, 4000) if swing[i - 1] < swing[i] > swing[i + 1]]
    assert len(peaks) == 2
    assert peaks == pytest.approx([math.sqrt(1 + 2 / ratio)] * 2, rel=0.02)


@given(chains)
@settings(max_examples=30)
def test_modal_inertia_keeps_the_energy_wherever_it_is_seen(chain):
    shape = torsion.modes(chain).shapes[1].tolist()
    wide = max(abs(s) for s in shape)
    seen = [torsion.modal_inertia(chain, shape, at=i) * s**2 for i, s in enumerate(shape) if abs(s) > 1e-6 * wide]
    assert seen == pytest.approx([seen[0]] * len(seen))


def test_throw_stiffness_grows_with_every_diameter_and_falls_with_every_length():
    size = {
        "main_diameter": 0.0622, "main_length": 0.030, "pin_diameter": 0.0533, "pin_length": 0.048,
        "web_thickness": 0.022, "web_width": 0.095, "radius": 0.0442, "shear_modulus": 8e10,
    }  # fmt: skip
    base = crank.throw_stiffness(**size)
    assert 0.5 < base.ker_wilson / base.carter < 2.0
    for name, sign in (
        ("main_diameter", 1), ("pin_diameter", 1), ("web_width", 1), ("shear_modulus", 1),
        ("main_length", -1), ("pin_length", -1), ("radius", -1), ("main_bore", -1), ("pin_bore", -1),
    ):  # fmt: skip
        grown = crank.throw_stiffness(**(size | {name: 1.1 * size.get(name, 0.02 / 1.1)}))
        assert sign * (grown.ker_wilson - base.ker_wilson) > 0, name
        assert sign * (grown.carter - base.carter) > 0, name


@given(st.floats(0.02, 0.1), st.floats(0.0, 0.9), st.floats(1.0, 1e4))
def test_hollow_journals_are_softer_and_higher_stressed(outside, hollow, torque):
    size = {"outside": outside, "inside": hollow * outside}
    solid = crank.shaft_stiffness(length=0.1, outside=outside, shear_modulus=8e10)
    assert crank.shaft_stiffness(length=0.1, **size, shear_modulus=8e10) <= solid
    assert crank.journal_stress(torque=torque, **size) >= crank.journal_stress(torque=torque, outside=outside)


TWO = torsion.Chain([1.0, 1.0], [1.0])
PULL = torsion.Harmonics(np.array([1.0]), np.array([1.0 + 0j]))


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: torsion.Chain([1.0], []), BadInput, "two discs or more"),
        (lambda: torsion.Chain([1.0, 1.0], [1.0, 1.0]), BadInput, "one spring less"),
        (lambda: torsion.Chain([1.0, 0.0], [1.0]), OutOfRange, "inertias is 0"),
        (lambda: torsion.Chain([1.0, 1.0], [1.0], [0.1]), BadInput, "damping is one per disc"),
        (lambda: torsion.Chain([1.0, 1.0], [1.0], [-0.1, 0.0]), OutOfRange, "damping is -0.1"),
        (lambda: torsion.torque_harmonics(np.ones(50)), BadInput, "192 steps or more"),
        (
            lambda: torsion.critical_speeds(
                torsion.modes(TWO), cylinder_discs=[0], firing_angles=[], orders=[1], lowest=1, highest=2
            ),
            BadInput,
            "firing_angles are 0",
        ),
        (
            lambda: torsion.critical_speeds(
                torsion.modes(TWO), cylinder_discs=[0], firing_angles=[0.0], orders=[1], lowest=2, highest=1
            ),
            OutOfRange,
            "lowest is 2",
        ),
        (
            lambda: torsion.forced_swing(TWO, [PULL], cylinder_discs=[2], firing_angles=[0.0], speeds=[1.0]),
            BadInput,
            "discs 0 to 1",
        ),
        (
            lambda: torsion.forced_swing(TWO, [], cylinder_discs=[0], firing_angles=[0.0], speeds=[1.0]),
            BadInput,
            "one of each is needed",
        ),
        (lambda: torsion.tuned_damper(ring=2.0, modal_inertia=1.0, frequency=1.0), OutOfRange, "ring is 2"),
        (lambda: torsion.modal_inertia(TWO, [1.0]), BadInput, "shape has 1 swings"),
        (lambda: torsion.modal_inertia(TWO, [0.0, 1.0]), OutOfRange, "stands still"),
        (lambda: crank.shaft_stiffness(length=1.0, outside=0.1, inside=0.1, shear_modulus=1.0), OutOfRange, "inside"),
        (
            lambda: crank.throw_stiffness(
                main_diameter=0.06, main_length=0.03, pin_diameter=0.05, pin_length=0.04, web_thickness=0.02,
                web_width=0.09, radius=0.02, shear_modulus=8e10,
            ),
            OutOfRange,
            "radius is 0.02",
        ),
    ],
)  # fmt: skip
def test_refusals_name_the_argument(call, error, message):
    with pytest.raises(error, match=message.replace(".", r"\.")):
        call()
