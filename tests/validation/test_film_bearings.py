"""Bearings against tables, closed forms and other ways to the same result."""

import math

import numpy as np
import pytest

from tenths.calc.film import reynolds

# [DuBois] Eq. for the short bearing with half a film, worked out for L/D 1/2; from memory, recomputed.
OCVIRK = {0.2: (1.8448, 75.43), 0.6: (0.2501, 46.32), 0.9: (0.0133, 20.83)}


def film_of(eccentricity, direction, slenderness, cells=(200, 16)):
    mesh = reynolds.grid(eccentricity=eccentricity, cells=cells)
    thickness = np.repeat(1.0 - eccentricity * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    growth = np.repeat(-np.cos(mesh.angle - direction)[:, None], mesh.place.size, axis=1)
    return reynolds.pressed(mesh, thickness, growth, slenderness=slenderness)


@pytest.mark.parametrize("eccentricity", OCVIRK)
def test_a_narrow_bearing_becomes_the_short_one(eccentricity):
    """[DuBois]: S (L/D)^2 and the angle tend to the closed form; at L/D 1/16 within a few per cent."""
    found = reynolds.steady(eccentricity=eccentricity, slenderness=1 / 16, cells=(300, 24))
    load, angle = OCVIRK[eccentricity]
    exact = (1 - eccentricity**2) ** 2 / (
        math.pi * eccentricity * math.sqrt(math.pi**2 * (1 - eccentricity**2) + 16 * eccentricity**2)
    )
    assert load / 4 == pytest.approx(exact, rel=5e-3)
    assert found.sommerfeld / 16**2 == pytest.approx(exact, rel=0.03)
    assert math.degrees(found.attitude) == pytest.approx(angle, abs=1.0)


def test_a_centred_journal_rubs_as_petroff_says():
    """Petroff: f R/c = 2 pi^2 S as the eccentricity vanishes."""
    found = reynolds.steady(eccentricity=0.01, slenderness=0.5)
    assert found.friction == pytest.approx(2 * math.pi**2 * found.sommerfeld, rel=1e-3)


def test_shigley_example():
    """[Shigley] examples 12-1 to 12-4: 500 lbf, 30 rev/s, 4 microreyn, r 0.75, c 0.0015, l 1.5 in; from memory, recomputed.

    S .135: eccentricity .573, angle 52.3, f R/c 3.48, flow 4.29, side flow .657, P/pmax .425, by an independent solver.
    """
    found = reynolds.steady(eccentricity=0.573, slenderness=1.0)
    assert found.sommerfeld == pytest.approx(0.135, rel=0.01)
    assert math.degrees(found.attitude) == pytest.approx(52.3, abs=0.6)
    assert found.friction == pytest.approx(3.48, rel=0.01)
    assert found.flow == pytest.approx(4.29, rel=0.01)
    assert (found.side_flow, found.peak) == pytest.approx((0.657, 0.425), abs=0.005)


def test_jindal_example():
    """[Jindal] example 17-4, p. 483: l = d = 60 mm, 3000 N, 30 mPa s, c 0.06 mm, 1440 rpm, read between two rows of the table.

    S 0.216, f 0.00985, h0 0.032 mm. Reading between the rows for 0.4 and 0.6 in a straight line is off by some per cent.
    """
    sommerfeld = 0.030 * 24.0 / (3000.0 / 0.06**2) * (30.0 / 0.06) ** 2
    assert sommerfeld == pytest.approx(0.216, rel=1e-6)
    low, high = 0.3, 0.7
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if reynolds.steady(eccentricity=middle, slenderness=1.0).sommerfeld > sommerfeld else (low, middle)
    found = reynolds.steady(eccentricity=low, slenderness=1.0)
    assert 0.06 * (1 - low) == pytest.approx(0.032, rel=0.05)
    assert found.friction * 0.06 / 30.0 == pytest.approx(0.00985, rel=0.03)


@pytest.mark.parametrize(
    ("xi", "eta", "towards"), [(0, 0, 0.31831), (0.3, 0, 0.12859), (0.6, 0, 0.03122), (-0.5, 0, 0.89627)]
)
def test_squeeze_of_a_narrow_bearing_is_the_short_bearings(xi, eta, towards):
    """Exact half-film short-bearing mobility times (L/D)^2, an independent computation; at L/D 1/20 within 2 %."""
    narrow = 1 / 20
    film = film_of(abs(xi), 0.0 if xi >= 0 else math.pi, narrow)
    assert 2.0 / abs(film.force) * narrow**2 == pytest.approx(towards, rel=0.02)


def test_the_conserving_film_keeps_its_oil():
    mesh = reynolds.grid(eccentricity=0.7, cells=(160, 12))
    thickness = np.repeat(1.0 - 0.7 * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    film = reynolds.conserving(mesh, thickness, slenderness=0.5, feed=reynolds.feed_line(mesh))
    assert film.unbalance < 1e-12
    # what the feed adds is what the ends lose: streamers come back around to it
    assert film.fed == pytest.approx(film.leak, rel=1e-10)
    assert film.pressure.min() >= 0.0
    assert 0.0 < film.filled.min() < 1.0


def test_both_conditions_agree_where_the_film_is_fed_at_its_thickest():
    mesh = reynolds.grid(eccentricity=0.6, cells=(240, 16))
    thickness = np.repeat(1.0 - 0.6 * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    growth = np.repeat(0.6 * np.sin(mesh.angle)[:, None], mesh.place.size, axis=1)
    line = reynolds.feed_line(mesh)
    one = reynolds.pressed(mesh, thickness, growth, slenderness=0.5, feed=line)
    other = reynolds.conserving(mesh, thickness, slenderness=0.5, feed=line)
    assert abs(one.force - other.force) < 2e-3 * abs(one.force)


def test_finer_cells_converge_with_the_square_of_their_size():
    """Second order: each halving of the cells takes the change down about fourfold."""
    loads = [reynolds.steady(eccentricity=0.6, slenderness=0.5, cells=cells).sommerfeld for cells in ((60, 6), (120, 12), (240, 24))]
    order = math.log2(abs((loads[1] - loads[0]) / (loads[2] - loads[1])))
    assert 1.5 < order < 3.0


def test_a_tilted_journal_has_a_thinner_edge_and_both_halves_alike_when_not():
    """With both halves of the length solved, an aligned journal gives what one half gives; a tilt moves pressure to its edge."""
    half = film_of(0.5, math.radians(-90), 0.5, cells=(120, 8))
    mesh = reynolds.grid(eccentricity=0.5, cells=(120, 8), whole=True)
    growth = np.repeat(-np.cos(mesh.angle + math.pi / 2)[:, None], mesh.place.size, axis=1)
    level = np.repeat(1.0 - 0.5 * np.cos(mesh.angle)[:, None], mesh.place.size, axis=1)
    whole = reynolds.pressed(mesh, level, growth, slenderness=0.5)
    assert abs(whole.force - half.force) < 1e-9 * abs(half.force)
    tilted = level - 0.3 * mesh.place[None, :] * np.cos(mesh.angle)[:, None]
    found = reynolds.pressed(mesh, tilted, growth, slenderness=0.5)
    along = np.argmax(np.max(found.pressure, axis=0))
    assert mesh.place[along] > 0.2
