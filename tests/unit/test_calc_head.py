"""The passage under a valve against a search for it, flow against other mathematics, the burette against a balance sheet."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.calc.valves import burette, head
from tenths.errors import BadInput, OutOfRange

MM = 1e-3


SIZES = {"head": 44 * MM, "throat": 40 * MM, "stem": 7 * MM, "seat_width": 2 * MM, "seat_angle": math.radians(45)}


def port(**changes):
    return head.Port(**(SIZES | changes))


def searched(lift, of):
    """Least cone between the two edges of the valve's face and the seat: every pair of points tried, throat beside it."""
    w, angle = of.seat_width, of.seat_angle
    outer, inner = of.head / 2, of.head / 2 - w
    share = np.linspace(0.0, 1.0, 2001)
    # the seat is the lower cone, the valve's face the same cone lifted; radius and height of points of both
    radius = inner + share * (outer - inner)
    height = share * w * math.tan(angle)
    r1, r2 = radius[:, None], radius[None, :]
    slant = np.hypot(r2 - r1, height[None, :] + lift - height[:, None])
    return r1, r2, slant


@pytest.mark.parametrize("lift", [0.5, 1.5, 3.0])
def test_first_stage_is_the_cone_at_right_angles_from_the_valve_s_inner_edge(lift):
    of = port()
    r1, r2, slant = searched(lift * MM, of)
    nearest = slant[:, 0].argmin()  # the valve's inner edge, and the point of the seat that is nearest to it
    cone = math.pi * (r1[nearest, 0] + r2[0, 0]) * slant[nearest, 0]
    assert head.opening(lift * MM, of).area == pytest.approx(cone, rel=2e-3)
    assert head.opening(lift * MM, of).stage == 1


@pytest.mark.parametrize("lift", [5.0, 7.0, 9.0])
def test_second_stage_is_the_cone_from_the_seat_s_outer_to_the_valve_s_inner_edge(lift):
    of = port()
    r1, r2, slant = searched(lift * MM, of)
    cone = math.pi * (r1[-1, 0] + r2[0, 0]) * slant[-1, 0]
    assert head.opening(lift * MM, of).area == pytest.approx(cone, rel=1e-9)
    assert head.opening(lift * MM, of).stage == 2


ports = st.builds(
    lambda d, throat, stem, w, angle: head.Port(head=d, throat=d * throat, stem=d * stem, seat_width=d * w, seat_angle=math.radians(angle)),
    st.floats(0.02, 0.08), st.floats(0.8, 0.95), st.floats(0.1, 0.25), st.floats(0.0, 0.05), st.floats(30, 60))


@given(ports, st.floats(0.0, 0.03), st.floats(1e-6, 1e-3))
@settings(max_examples=200, deadline=None)
def test_the_passage_never_shrinks_with_lift_nor_jumps(of, lift, more):
    a, b = head.opening(lift, of), head.opening(lift + more, of)
    assert a.area <= b.area * (1 + 1e-12)
    assert a.stage <= b.stage
    assert b.area - a.area <= 1.5 * math.pi * of.head * more
    assert a.area <= math.pi / 4 * (of.throat**2 - of.stem**2) * (1 + 1e-12)


@given(ports)
@settings(max_examples=100, deadline=None)
def test_the_throat_takes_over_at_the_lift_that_is_told(of):
    lift = head.full_flow_lift(of)
    assert head.opening(lift * 0.999, of).stage == 2
    assert head.opening(lift * 1.001, of).stage == 3


@given(st.floats(0.8e5, 1.1e5), st.floats(270, 320), st.floats(0.001, 0.45))
@settings(max_examples=100, deadline=None)
def test_nozzle_by_its_mach_number(pressure, temperature, share):
    # energy first, then continuity: no flow function
    below = pressure * (1 - share)
    gas = 287.05
    mach = math.sqrt(5 * ((pressure / below) ** (2 / 7) - 1))
    there = temperature / (1 + 0.2 * mach**2)
    flux = below / (gas * there) * mach * math.sqrt(1.4 * gas * there)
    assert head.nozzle_flux(pressure=pressure, temperature=temperature, drop=pressure * share) == pytest.approx(flux, rel=1e-9)


def test_what_the_rule_of_roots_is_off_by():
    # said in the docstring: 2.5 % between 10 and 28 inH2O
    inch = 249.0889
    ten, most = (head.nozzle_flux(pressure=101325, temperature=288.15, drop=n * inch) for n in (10, 28))
    assert head.at_test_pressure(ten, drop=10 * inch, wanted=28 * inch) / most - 1 == pytest.approx(0.025, abs=0.001)


def test_an_orifice_bench_tells_one_coefficient_in_thin_air_and_thick():
    # the scale reads the root of the ratio of drops; what it means follows the air, the port's coefficient does not
    for pressure, temperature in ((101325.0, 288.15), (84000.0, 305.0)):
        air = head.air_density(pressure=pressure, temperature=temperature)
        true = head.true_flow_of_scale(0.06, reference=1.225, at_orifice=air, at_port=air)
        found = head.discharge_coefficient(true, area=1e-3, drop=2500.0, pressure=pressure, temperature=temperature, compressible=False)
        assert found == pytest.approx(0.06 / (1e-3 * math.sqrt(2 * 2500.0 / 1.225)), rel=1e-4)


def test_damp_air_is_lighter():
    # 35 °C, 96 kPa, 40 %: the two gases added, each by its own constant
    dry, vapour, kelvin = 96000 - 2251, 2251, 308.15
    assert head.air_density(pressure=96000, temperature=kelvin, vapour=2251) == pytest.approx(
        dry / (287.05 * kelvin) + vapour / (461.5 * kelvin), rel=2e-5)


@given(st.floats(20e-6, 200e-6), st.floats(285, 300), st.floats(285, 300), st.sampled_from(["water", *burette.LIQUIDS]))
@settings(max_examples=100, deadline=None)
def test_a_warm_head_is_told_as_at_twenty_degrees(true, poured, part, liquid):
    # a chamber of a known size at 20 °C, warmed; what the burette then reads is worked out from the mass of the liquid
    warm = true * (1 + 66e-6 * (part - 293.15))
    density = {t: burette.water_density(temperature=t) if liquid == "water" else 1000 / (1 + burette.LIQUIDS[liquid] * (t - 293.15))
               for t in (poured, part)}
    left_burette = warm * density[part] / density[poured]
    reads = left_burette / (1 + 9.9e-6 * (poured - 293.15))
    found = burette.filled_volume([burette.Fill(start=1e-6, end=1e-6 + reads)], liquid=liquid, poured=poured, part=part)
    assert found == pytest.approx(true, rel=1e-9)


@pytest.mark.parametrize(("call", "error", "says"), [
    (lambda: head.opening(-1e-3, port()), OutOfRange, "lift is -0.001"),
    (lambda: head.opening(1e-3, port(stem=0.041)), OutOfRange, "stem is 0.041"),
    (lambda: head.opening(1e-3, port(seat_width=0.022)), OutOfRange, "seat_width is 0.022"),
    (lambda: head.opening(1e-3, port(seat_angle=0.0)), OutOfRange, "seat_angle is 0"),
    (lambda: head.full_flow_lift(port(throat=8 * MM)), OutOfRange, "throat is 0.008"),
    (lambda: head.nozzle_flux(pressure=1e5, temperature=290, drop=2e5), OutOfRange, "drop is 200000"),
    (lambda: head.discharge_coefficient(-1.0, area=1e-3, drop=100.0), OutOfRange, "flow is -1"),
    (lambda: head.less_leak(0.001, leak=0.002, leak_drop=100, drop=100), OutOfRange, "leak is 0.002"),
    (lambda: head.air_density(pressure=1e5, temperature=290, vapour=2e5), OutOfRange, "vapour is 200000"),
    (lambda: head.orifice_flow(diameter=0.05, coefficient=1.2, drop=100, density=1.2), OutOfRange, r"coefficient is 1\.2"),
    (lambda: burette.filled_volume([]), BadInput, "fills: none"),
    (lambda: burette.filled_volume([burette.Fill(start=2e-6, end=1e-6)]), OutOfRange, "end is 1e-06"),
    (lambda: burette.filled_volume([burette.Fill(start=0, end=1e-6)], plate=2e-6), OutOfRange, "plate is 2e-06"),
    (lambda: burette.liquid_ratio(liquid="mercury", poured=290, settled=290), BadInput, "'mercury' is not known"),
    (lambda: burette.water_density(temperature=260), OutOfRange, "temperature is 260"),
    (lambda: burette.meniscus_volume(diameter=0.02), OutOfRange, r"diameter is 0\.02"),
    (lambda: burette.plate_volume(hole=0, thickness=0, rim=0.1, dish=0.06), OutOfRange, r"dish is 0\.06"),
])
def test_what_cannot_be_is_refused(call, error, says):
    with pytest.raises(error, match=says):
        call()
