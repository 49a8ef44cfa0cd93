"""Mobility and bearings over a cycle, against closed forms, tables and the film solved anew."""

import math

import numpy as np
import pytest

from tenths.calc.film import _kernels, _make_maps, cycle, direct, mobility, reynolds
from tenths.calc.film.grades import middle_oil
from tenths.calc.film.oil import Oil, walther
from tenths.errors import BadInput, OutOfRange

BEARING = cycle.Bearing(diameter=0.05, length=0.025, clearance=25e-6)


def constant(load, count=180, speed=300.0):
    return cycle.main_cycle(np.full(count, load, dtype=complex), speed=speed)


def plain_oil(viscosity):
    """An oil of one viscosity at 100 degC, taken at that temperature with heat_share 0."""
    density = Oil(walther([313.15, 373.15], [73e-6, 9e-6])).density(373.15)
    return Oil(walther([313.15, 373.15], [8 * viscosity / density, viscosity / density]))


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        (0j, 0.31831 + 0j),
        (0.3 + 0j, 0.12859 + 0j),
        (0.6 + 0j, 0.03122 + 0j),
        (-0.5 + 0j, 0.89627 + 0j),
        (0.5j, 0.32723 - 0.20540j),
        (0.4 + 0.4j, 0.09006 - 0.07758j),
    ],
)
def test_narrow_maps_become_the_short_bearing(place, expected):
    """Exact half-film short-bearing mobility for L/D 1, an independent computation; ours at L/D 1/10, where ends still tell."""
    found = mobility.moved(place, load_direction=0.0, slenderness=0.1).mobility * 0.1**2
    assert abs(found - expected) < 0.045 * abs(expected)
    fit = mobility.short_bearing(place, load_direction=0.0, slenderness=1.0)
    assert abs(fit - expected) < 0.04 * abs(expected) + 0.01


@pytest.mark.parametrize("slenderness", [0.27, 0.41, 0.85])
@pytest.mark.parametrize(("thin", "direction"), [(0.5, 30.0), (0.08, 60.0), (0.02, 80.0), (0.3, 150.0)])
def test_maps_between_their_knots_agree_with_the_equation(slenderness, thin, direction):
    """Solved anew on a finer grid than the maps', at places that are no knots."""
    eccentricity, turn = 1.0 - thin, math.radians(direction)
    film = _make_maps.moved(reynolds.grid(eccentricity=eccentricity, cells=(320, 24)), eccentricity, turn, slenderness)
    at = math.atan2(film.force.imag, film.force.real)
    velocity = 2.0 / abs(film.force) * np.exp(1j * (turn - at))
    found = mobility.moved(eccentricity * np.exp(-1j * at), load_direction=0.0, slenderness=slenderness)
    assert abs(found.mobility - velocity) < 0.01 * abs(velocity)
    assert found.leak == pytest.approx(film.leak, rel=0.01)
    assert found.peak == pytest.approx(2.0 * film.pressure.max() / abs(film.force), rel=0.02)


def test_mobility_turns_with_the_load():
    one = mobility.moved(0.5 + 0.2j, load_direction=0.0, slenderness=0.4)
    other = mobility.moved((0.5 + 0.2j) * np.exp(1j), load_direction=1.0, slenderness=0.4)
    mirrored = mobility.moved(0.5 - 0.2j, load_direction=0.0, slenderness=0.4)
    assert other.mobility == pytest.approx(one.mobility, rel=1e-9)
    assert mirrored.mobility == pytest.approx(one.mobility.conjugate(), rel=1e-9)


@pytest.mark.parametrize(
    ("eccentricity", "sommerfeld", "attitude"), [(0.4, 0.779, 61.45), (0.6, 0.319, 48.14), (0.8, 0.0923, 33.31), (0.9, 0.0313, 23.66)]
)
def test_a_steady_load_settles_where_the_tables_say(eccentricity, sommerfeld, attitude):
    """[Raimondi] table for L/D 1/2, from memory, recomputed; the table is for a film fed at its thickest, ours for one fed anywhere."""
    viscosity, speed = 0.01, 300.0
    mean = viscosity * speed / math.tau / sommerfeld * (0.025 / 25e-6) ** 2
    load = mean * BEARING.length * BEARING.diameter
    found = cycle.running(BEARING, constant(load * np.exp(0.7j), speed=speed), plain_oil(viscosity), inlet=373.15, heat_share=0.0)
    assert found.settled
    assert abs(found.path[-1]) == pytest.approx(eccentricity, abs=0.012)
    assert math.degrees(np.angle(found.path[-1])) - math.degrees(0.7) == pytest.approx(attitude, abs=2.5)


def test_squeeze_from_the_centre_follows_its_closed_form():
    """Constant load, nothing turning, curve fit of [Booker]: eccentricity 1 - (1 + 1.5 K t)^(-2/3), 0.457116 at K t = 1."""
    thinness = np.linspace(0.0, 3.2, 33)
    angles = mobility._load_angles(thinness, 41)
    place = (1.0 - 10.0**-thinness)[:, None] * np.exp(-1j * angles)
    fit = (1 - place.real) ** 2.5 / math.pi - 4j * place.imag * (1 - place.real) ** 1.5 / math.pi**2
    velocity = fit * np.exp(1j * angles)
    fields = np.stack([np.log(np.abs(velocity)), np.angle(velocity), 0 * angles, 0 * angles, 0 * angles])
    fields[1, :, -1] = math.pi
    table = mobility._edged(mobility._smooth(fields, angles))
    bearing = cycle.Bearing(diameter=0.05, length=0.05, clearance=25e-6)
    numbers = cycle._numbers(bearing, plain_oil(0.01), 373.15, 0.0)
    load, viscosity = 1000.0, 0.01
    rate = load * (25e-6 / 0.025) ** 2 / (math.pi * viscosity * 0.05 * 0.05)
    count = 50
    samples, here, still = np.empty((count, 6)), np.zeros(2), np.zeros(count)
    _kernels.followed(
        np.tile([load, 0.0], (count, 1)), still, still, 1.0 / rate / count, viscosity, numbers, np.stack([table, table]), 0.1,
        here, 1e-4, 1, samples,
    )  # fmt: skip
    assert here[0] == pytest.approx(0.457116, abs=4e-4)
    assert here[1] == pytest.approx(0.0, abs=1e-9)


def test_power_of_a_centred_journal_is_petroffs():
    """Petroff: 2 pi viscosity speed^2 R^3 L / c."""
    found = cycle.running(BEARING, constant(1.0), plain_oil(0.01), inlet=373.15, heat_share=0.0)
    expected = math.tau * 0.01 * 300.0**2 * 0.025**3 * 0.025 / 25e-6
    assert found.power == pytest.approx(expected, rel=2e-3)


def test_heat_and_flow_balance():
    """The oil's rise times its flow and heat capacity is the share of the friction that it takes."""
    oil = middle_oil("10W-40")
    found = cycle.running(BEARING, constant(4000.0, speed=500.0), oil, inlet=363.15, heat_share=0.8)
    heat = oil.density(363.15) * oil.heat_capacity(363.15)
    assert found.temperature > 363.15
    assert (found.temperature - 363.15) * found.flow * heat == pytest.approx(0.8 * found.power, rel=0.03)


def test_a_groove_around_costs_film():
    whole = cycle.running(BEARING, constant(3000.0), plain_oil(0.01), inlet=373.15, heat_share=0.0)
    grooved = cycle.Bearing(diameter=0.05, length=0.025, clearance=25e-6, groove_width=0.004, groove_extent=math.tau, supply=3e5)
    cut = cycle.running(grooved, constant(3000.0), plain_oil(0.01), inlet=373.15, heat_share=0.0)
    upper = cycle.Bearing(
        diameter=0.05, length=0.025, clearance=25e-6, groove_width=0.004, groove_extent=math.pi, groove_at=math.pi, supply=3e5
    )
    lower_load = cycle.running(upper, constant(3000.0), plain_oil(0.01), inlet=373.15, heat_share=0.0)
    assert cut.least_film < 0.8 * whole.least_film
    assert lower_load.least_film == pytest.approx(whole.least_film, rel=1e-3)
    assert cut.flow > whole.flow


def test_the_journal_followed_film_by_film_agrees_under_a_turning_load():
    """Half a turn of load per turn of the journal is the hardest case of the mobility method: here a load of its own tempo."""
    angles = np.linspace(0.0, 4.0 * math.pi, 72, endpoint=False)
    loads = 2500.0 * (1.0 + 0.4 * np.cos(angles)) * np.exp(1j * angles)
    bears = cycle.main_cycle(loads, speed=300.0)
    quick = cycle.running(BEARING, bears, plain_oil(0.01), inlet=373.15, heat_share=0.0, tolerance=5e-4)
    slow = direct.followed(
        cycle.Bearing(diameter=0.05, length=0.025, clearance=25e-6, hole=0.004, groove_at=math.pi / 2, supply=3e5),
        bears, viscosity=0.01, cells=(72, 5), cycles=2, start=complex(quick.path[0]),
    )  # fmt: skip
    assert slow.unbalance < 1e-9
    assert slow.films.min() == pytest.approx(quick.films.min(), rel=0.15)


def test_bad_sizes_are_refused_by_name():
    with pytest.raises(OutOfRange, match="clearance"):
        cycle.running(cycle.Bearing(diameter=0.05, length=0.025, clearance=0.0), constant(1.0), plain_oil(0.01), inlet=373.15)
    with pytest.raises(OutOfRange, match="length_over_diameter"):
        cycle.running(cycle.Bearing(diameter=0.05, length=0.125, clearance=1e-5), constant(1.0), plain_oil(0.01), inlet=373.15)
    with pytest.raises(BadInput, match="groove_width"):
        cycle.running(
            cycle.Bearing(diameter=0.05, length=0.02, clearance=1e-5, groove_width=0.02), constant(1.0), plain_oil(0.01), inlet=373.15
        )
    with pytest.raises(BadInput, match="8 or more"):
        cycle.main_cycle(np.zeros(3, dtype=complex), speed=1.0)
