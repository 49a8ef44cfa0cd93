"""Clearances and press fits over their range: signs, sensitivities, limits, scaling, equilibrium."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc import fits
from tenths.errors import BadInput, OutOfRange

diameters = st.floats(0.02, 0.15)
STEEL = {"hub_modulus": 207e9, "hub_poisson": 0.3, "shaft_modulus": 207e9, "shaft_poisson": 0.3}


@given(diameters, st.floats(1e-3, 3e-3), st.floats(1e-3, 3e-3), st.floats(-2e-5, 2e-5))
def test_prediction_with_the_learned_offset_meets_the_measurement(housing, upper, lower, offset):
    journal = housing - upper - lower - 6e-5
    predicted = fits.predicted_oil_clearance(
        housing_bore=housing, upper_wall=upper, lower_wall=lower, journal=journal, crush_offset=offset
    )
    installed = housing - upper - lower + offset
    assert predicted == pytest.approx(fits.oil_clearance(installed_bore=installed, journal=journal), abs=1e-15)


def test_each_size_moves_the_oil_clearance_with_its_sign():
    size = {"housing_bore": 0.067, "upper_wall": 0.0024, "lower_wall": 0.0024, "journal": 0.0621, "crush_offset": 0.0}
    now = fits.predicted_oil_clearance(**size)
    signs = {"housing_bore": 1, "upper_wall": -1, "lower_wall": -1, "journal": -1, "crush_offset": 1}
    for name, sign in signs.items():
        moved = fits.predicted_oil_clearance(**(size | {name: size[name] + 1e-6}))
        assert moved - now == pytest.approx(sign * 1e-6)


@pytest.mark.parametrize(
    ("function", "outer", "inner"),
    [
        (fits.oil_clearance, "installed_bore", "journal"),
        (fits.piston_to_wall, "bore", "skirt"),
        (fits.pin_clearance, "bore", "pin"),
        (fits.ring_side_clearance, "groove_height", "ring_height"),
        (fits.end_play, "journal_width", "thrust_width"),
    ],
)
def test_clearance_is_positive_where_there_is_room(function, outer, inner):
    assert function(**{outer: 0.0501, inner: 0.05}) == pytest.approx(1e-4)
    assert function(**{outer: 0.05, inner: 0.0501}) == pytest.approx(-1e-4)
    with pytest.raises(OutOfRange, match=f"{inner} is 0"):
        function(**{outer: 0.05, inner: 0.0})
    with pytest.raises(OutOfRange, match=f"{outer} is inf"):
        function(**{outer: math.inf, inner: 0.05})


def test_back_clearance_counts_one_side():
    one = fits.ring_back_clearance(bore=0.1, groove_diameter=0.092, ring_depth=0.0038)
    wider = fits.ring_back_clearance(bore=0.1002, groove_diameter=0.092, ring_depth=0.0038)
    assert wider - one == pytest.approx(1e-4)


def test_side_clearance_loses_the_width_of_every_rod():
    assert fits.side_clearance(journal_width=0.05, rod_widths=[0.0246]) == pytest.approx(0.0254)
    assert fits.side_clearance(journal_width=0.05, rod_widths=[0.0246, 0.0248]) == pytest.approx(0.0006)
    with pytest.raises(BadInput, match="rod_widths holds no rod"):
        fits.side_clearance(journal_width=0.05, rod_widths=[])


@given(st.lists(diameters, min_size=2, max_size=6))
def test_taper_and_out_of_round_ignore_order_and_have_no_sign(sizes):
    assert fits.taper(diameters=sizes) == fits.taper(diameters=sizes[::-1]) >= 0.0
    assert fits.out_of_round(diameters=[*sizes, sizes[0]]) == fits.out_of_round(diameters=sizes)


def test_one_diameter_tells_neither_taper_nor_out_of_round():
    with pytest.raises(BadInput, match="diameters holds 1"):
        fits.taper(diameters=[0.05])
    with pytest.raises(BadInput, match="diameters holds 1"):
        fits.out_of_round(diameters=[0.05])


@given(diameters, st.floats(5e-6, 25e-6), st.floats(-60, 200))
def test_growth_is_proportional_and_reference_size_undoes_it(size, expansion, rise):
    growth = fits.thermal_growth(size=size, expansion=expansion, rise=rise)
    assert fits.thermal_growth(size=2 * size, expansion=expansion, rise=rise) == pytest.approx(2 * growth)
    back = fits.size_at_reference(size=size + growth, expansion=expansion, temperature=293.15 + rise)
    assert back == pytest.approx(size, rel=(expansion * rise) ** 2 * 1.01 + 1e-15)


@given(diameters, st.floats(0, 2e-4), st.floats(0, 2e-4))
def test_ring_warmed_as_told_drops_on(bore, interference, clearance):
    rise = fits.heating_to_fit(bore=bore, interference=interference, clearance=clearance, expansion=11.5e-6)
    assert 11.5e-6 * rise * bore == pytest.approx(interference + clearance)


@given(diameters, st.floats(1.2, 4.0), st.floats(0.0, 0.8), st.floats(1e-6, 1e-4))
def test_press_fit_pulls_hub_and_shaft_together_by_the_interference(diameter, hub, bore, interference):
    size = {"diameter": diameter, "hub_outside": hub * diameter, "shaft_bore": bore * diameter}
    fit = fits.press_fit(interference=interference, **size, **STEEL)
    # Radial growth of a thick ring under pressure inside, and shrinkage under pressure outside (Hooke in the plane):
    # strain around = (hoop - nu radial) / E at the joint, where the radial stress is -pressure on both sides.
    hub_strain = (fit.hub_stress + 0.3 * fit.pressure) / 207e9
    squeezed = -fit.pressure * (1 + bore**2) / (1 - bore**2)
    shaft_strain = (squeezed + 0.3 * fit.pressure) / 207e9
    assert (hub_strain - shaft_strain) * diameter == pytest.approx(interference)
    assert fit.hub_stress > fit.pressure > 0 > fit.shaft_stress


def test_press_fit_is_linear_in_interference_and_free_of_scale():
    small = fits.press_fit(diameter=0.05, interference=5e-5, hub_outside=0.1, **STEEL)
    double = fits.press_fit(diameter=0.05, interference=1e-4, hub_outside=0.1, **STEEL)
    scaled = fits.press_fit(diameter=0.1, interference=1e-4, hub_outside=0.2, **STEEL)
    assert double.pressure == pytest.approx(2 * small.pressure)
    assert scaled.pressure == pytest.approx(small.pressure)


def test_grip_grows_with_pressure_length_and_friction():
    grip = fits.press_fit_grip(diameter=0.035, length=0.04, pressure=60e6, friction=0.12)
    assert fits.press_fit_grip(diameter=0.035, length=0.08, pressure=60e6, friction=0.06) == grip
    assert grip.torque == pytest.approx(grip.axial * 0.0175)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"hub_outside": 0.05}, "diameter is 0.05"),
        ({"shaft_bore": 0.05}, "diameter is 0.05"),
        ({"hub_poisson": 0.6}, "hub_poisson is 0.6"),
        ({"interference": -1e-6}, "interference is -1e-06"),
    ],
)
def test_impossible_press_fits_are_refused(change, message):
    size = {"diameter": 0.05, "interference": 5e-5, "hub_outside": 0.1} | STEEL
    with pytest.raises(OutOfRange, match=message):
        fits.press_fit(**(size | change))


def test_temperature_and_expansion_out_of_range_are_refused():
    with pytest.raises(OutOfRange, match=r"expansion is 0\.0115"):
        fits.thermal_growth(size=0.1, expansion=11.5e-3, rise=10)
    with pytest.raises(OutOfRange, match="rise is 2000"):
        fits.thermal_growth(size=0.1, expansion=11.5e-6, rise=2000)
    with pytest.raises(OutOfRange, match=r"friction is 1\.2"):
        fits.press_fit_grip(diameter=0.035, length=0.04, pressure=60e6, friction=1.2)
