"""Oil that pressure thickens, and a journal that leans: against the equation solved anew and a bearing narrow enough to integrate."""

import math

import numpy as np
import pytest

from tenths.calc.film import _kernels, cycle, mobility, reynolds
from tenths.calc.film.oil import Oil, walther
from tenths.calc.film.tilted import tilted
from tenths.errors import OutOfRange

BEARING = cycle.Bearing(diameter=0.05, length=0.025, clearance=25e-6)


def oil_of(coefficient):
    return Oil(walther([313.15, 373.15], [90e-6, 14e-6]), pressure_coefficient=coefficient)


@pytest.mark.parametrize("eccentricity", [0.5, 0.9, 0.98])
@pytest.mark.parametrize("slenderness", [0.25, 0.5])
@pytest.mark.parametrize("reduced", [0.2, 0.6, 0.9])
def test_load_of_a_film_whose_pressure_thickens_it(eccentricity, slenderness, reduced):
    """Exact: with viscosity exp(a p), q = (1 - exp(-a p)) / a obeys the equation of even viscosity, so p follows cell by cell."""
    mesh = reynolds.grid(eccentricity=eccentricity, cells=(240, 16))
    thickness = np.repeat(1.0 - eccentricity * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    growth = np.repeat(-np.cos(mesh.angle - 0.8)[:, None], mesh.place.size, axis=1)
    field = reynolds.pressed(mesh, thickness, growth, slenderness=slenderness).pressure
    field *= reduced / field.max()
    area = np.diff(mesh.around)[:, None] * np.diff(mesh.along) * np.exp(1j * mesh.angle)[:, None]
    grown = abs(np.sum(-np.log1p(-field) * area)) / abs(np.sum(field * area))
    assert _kernels.reduced(reduced * grown) == pytest.approx(reduced, rel=0.03)


def test_oil_that_pressure_thickens_leaves_more_film_and_more_pressure():
    bears = cycle.main_cycle(np.full(180, 25e3, dtype=complex), speed=400.0)
    thin, thick = (cycle.running(BEARING, bears, oil_of(a), inlet=373.15, heat_share=0.0) for a in (0.0, 15e-9))
    little = cycle.running(BEARING, bears, oil_of(1e-15), inlet=373.15, heat_share=0.0)
    assert thick.settled
    assert thick.least_film > 1.1 * thin.least_film
    assert thick.largest_pressure > thin.largest_pressure
    assert little.least_film == pytest.approx(thin.least_film, rel=1e-3)


def narrow(eccentricity, tilt, velocity, around=3001, along=301):
    """Force of a narrow bearing whose film differs along it: the pressure integrated twice along the axis, angle by angle."""
    angle = (np.arange(around) + 0.5) / around * math.tau - math.pi
    z = np.linspace(-1.0, 1.0, along)
    film = 1.0 - (eccentricity + tilt * z) * np.cos(angle)[:, None]
    squeeze = -(velocity.real * np.cos(angle) + velocity.imag * np.sin(angle))[:, None]

    def summed(values):
        steps = (values[:, 1:] + values[:, :-1]) / 2.0 * np.diff(z)
        return np.concatenate([np.zeros((around, 1)), np.cumsum(steps, axis=1)], axis=1)

    first, second = summed(12.0 * squeeze * z / film**3), summed(1.0 / film**3)
    pressure = np.where(squeeze < 0.0, first - first[:, -1:] / second[:, -1:] * second, 0.0)
    return abs(np.sum(np.trapezoid(pressure, z, axis=1) * np.exp(1j * angle)))


@pytest.mark.parametrize(("eccentricity", "tilt"), [(0.6, 0.1), (0.6, 0.2), (0.8, 0.1)])
def test_a_leaning_journal_in_a_narrow_bearing(eccentricity, tilt):
    found = tilted(eccentricity=eccentricity, load_direction=0.6, slenderness=0.04, tilt=tilt, cells=(240, 16))
    velocity = mobility.moved(eccentricity, load_direction=0.6, slenderness=0.04).mobility * np.exp(0.6j)
    load, low, high = narrow(eccentricity, 0.0, velocity), 0.002, 1.0 - eccentricity
    for _ in range(25):
        edge = (low + high) / 2
        low, high = (edge, high) if narrow(1.0 - tilt - edge, tilt, velocity) > load else (low, edge)
    assert found.edge == pytest.approx(low, rel=5e-3)
    assert found.peak > 1.0


def test_a_parallel_journal_loses_nothing_and_a_finer_grid_changes_little():
    still = tilted(eccentricity=0.9, load_direction=0.6, slenderness=0.4, tilt=0.0)
    assert (still.edge, still.peak) == (pytest.approx(0.1), 1.0)
    coarse, fine = (tilted(eccentricity=0.9, load_direction=0.6, slenderness=0.4, tilt=0.05, cells=c) for c in ((120, 8), (240, 16)))
    assert coarse.edge == pytest.approx(fine.edge, rel=0.01)
    assert 0.05 < fine.edge < 0.1


def test_an_edge_that_touches_is_said():
    with pytest.raises(OutOfRange, match="the edge touches under this load"):
        tilted(eccentricity=0.97, load_direction=0.6, slenderness=0.4, tilt=0.3)
