"""Every layout that comes with Tenths, and layouts described by hand, through the models of balance and firing.

Unit crank radius, rod of four, unit masses, 1 rad/s and unit pitch of the throws: forces come in m r w^2, of higher orders
in m r w^2 A_n, couples in those times the pitch.
"""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc.balance import firing_intervals, inertia_coefficients, shaking
from tenths.engine.describe import layout_from_text, presets
from tenths.errors import OutOfRange
from tenths.findings.along import along, derived_share

A2, A4, A6 = 0.254025, -0.0040981, 7.44e-5  # of a rod of four radii, [Taylor] and exact by Fourier sum
ROOT2, ROOT3, ROOT10 = math.sqrt(2), math.sqrt(3), math.sqrt(10)
# Textbooks on balance ([Taylor] vol. 2, [Heywood] chapter on balance, [Bevan]), from memory, recomputed: largest force of
# orders 1, 2, 4, 6, then largest couple of orders 1 and 2 about the middle of the cylinders.
TABLE = {
    "single": (1, 1, 1, 1, 0, 0),
    "parallel-twin-360": (2, 2, 2, 2, 0, 0),
    "parallel-twin-180": (0, 2, 2, 2, 1, 0),
    "parallel-twin-270": (ROOT2, 0, 2, 0, 1 / ROOT2, 1),
    "v-twin-90": (1, ROOT2, ROOT2, ROOT2, 0, 0),
    "inline-3": (0, 0, 0, 3, ROOT3, ROOT3),
    "inline-4": (0, 4, 4, 4, 0, 0),
    "inline-5": (0, 0, 0, 0, 0.44903, 4.98),  # the usual 1-2-4-5-3 crank
    "inline-6": (0, 0, 0, 6, 0, 0),
    "flat-4": (0, 0, 0, 0, 0, 2.0),
    "flat-6": (0, 0, 0, 0, 0, 0),
    "v6-60": (0, 0, 0, None, 1.5, 1.5),
    "v8-90-cross-plane": (0, 0, 4 * ROOT2, 0, ROOT10, 0),
    "v8-90-flat-plane": (0, 4 * ROOT2, 4 * ROOT2, 4 * ROOT2, 0, 0),
    "v12-60": (0, 0, 0, None, 0, 0),
}
WITHOUT_TABLE = {"v-twin-45", "v-twin-60", "v6-90"}  # by the second formulation below only


def orders_of(text):
    layout = layout_from_text(text)
    pitch_one = layout.throws / max(c.place for c in layout.cylinders)
    model = along(layout, spacing=pitch_one)
    found = shaking(model.cylinders([1.0] * len(layout.cylinders)), stroke=2.0, rod_length=4.0, speed=1.0)
    return layout, model, {row.order: row for row in found}


@pytest.mark.parametrize("name", sorted(TABLE))
def test_forces_and_couples_are_those_of_the_textbooks(name):
    _, _, found = orders_of(name)
    wanted = dict(zip((1, 2, 4, 6), TABLE[name][:4], strict=True))
    for order, share in ((1, 1.0), (2, A2), (4, abs(A4)), (6, A6)):
        if wanted[order] is not None:
            assert found[order].force.largest == pytest.approx(wanted[order] * share, rel=1e-3, abs=1e-6), order
    assert found[1].couple.largest == pytest.approx(TABLE[name][4], rel=1e-3, abs=1e-6)
    assert found[2].couple.largest == pytest.approx(TABLE[name][5] * A2, rel=1e-3, abs=1e-6)


def test_the_table_names_every_preset():
    assert set(presets()) == set(TABLE) | WITHOUT_TABLE


def test_what_only_turns_with_the_crank_is_told_apart():
    """[Taylor]: the first-order couple of the cross-plane V8 and the force of the 90 degree twin turn, constant."""
    _, _, eight = orders_of("v8-90-cross-plane")
    assert eight[1].couple.smallest == pytest.approx(ROOT10)
    _, _, twin = orders_of("v-twin-90")
    assert twin[1].force.smallest == pytest.approx(1.0)
    _, _, four = orders_of("inline-4")
    assert four[2].force.smallest == pytest.approx(0.0, abs=1e-9)
    _, _, flat = orders_of("v8-90-flat-plane")  # the shake of a flat-plane V8 is sideways
    assert abs(flat[2].force.direction) == pytest.approx(math.pi / 2)


def by_hand(layout, angle, order):
    """Force and couple of one order at a crank angle, straight from the layout's own degrees, turning as it says."""
    spin = 1 if layout.turns == "clockwise" else -1
    series = inertia_coefficients(stroke=2.0, rod_length=4.0, orders=order)
    force, couple = 0j, 0j
    for cylinder in layout.cylinders:
        bank, pin = layout.bank(cylinder.bank).angle, layout.pin(cylinder.pin)
        past_top = spin * (pin.angle + spin * math.degrees(angle) - bank)
        pull = abs(series[order]) * math.cos(math.radians(order * past_top)) * (1 if series[order].real > 0 else -1)
        push = pull * cmath.exp(1j * math.radians(bank))
        force += push
        couple += push * (pin.throw - (layout.throws + 1) / 2)
    return force, couple


HANDMADE = [
    "inline 4, throws 0 90 270 180, firing 1-3-2-4", "inline 2, throws 0 76, firing 1-2",
    "V4 65, throws 0 180, firing 1-2-3-4", "V10 72, throws 0 144 288 72 216, firing 1-2-9-10-5-6-7-8-3-4",
    "V6 90, pins offset 30, throws 0 240 120, firing 1-6-5-4-3-2, mains 4, turns clockwise",
    "inline 3, throws 0 120 240, firing 1-3-2, turns anticlockwise",
]


def described():
    """Those of the descriptions by hand that the crank can fire."""
    return [text for text in HANDMADE if _fires(text)]


def _fires(text):
    try:
        layout_from_text(text)
    except Exception:  # noqa: BLE001 - another test says what is refused
        return False
    return True


@pytest.mark.parametrize("text", [*presets(), *described()])
@pytest.mark.parametrize("order", [1, 2, 4])
def test_any_layout_agrees_with_a_sum_in_its_own_degrees(text, order):
    layout, _, found = orders_of(text)
    mirror = 1 if layout.turns == "clockwise" else -1
    for angle in (0.0, 0.7, 2.1, 4.4):
        force, couple = by_hand(layout, angle, order)
        ours, turned = found[order].force.at(angle, order=order), found[order].couple.at(angle, order=order)
        assert complex(ours.real, mirror * ours.imag) == pytest.approx(force, abs=1e-9)
        assert complex(turned.real, mirror * turned.imag) == pytest.approx(couple, abs=1e-9)


def test_enough_layouts_by_hand_can_fire():
    assert len(described()) >= 4


@pytest.mark.parametrize("name", presets())
def test_firing_angles_stand_at_each_cylinders_own_dead_centre_and_keep_the_intervals(name):
    layout, model, _ = orders_of(name)
    for bank, throw, fire in zip(model.banks, model.throws, model.fires, strict=True):
        assert math.remainder(throw + fire - bank, math.tau) == pytest.approx(0.0, abs=1e-9)
    intervals = firing_intervals(firing_angles=model.fires)
    assert sorted(map(math.degrees, intervals)) == pytest.approx(sorted(layout.firing_intervals()))


# Common practice, no source: half for V twins and cross-plane eights, nothing for engines that balance themselves.
SHARES = {"v-twin-90": 0.5, "v8-90-cross-plane": 0.5, "single": 0.5, "inline-4": 0.0, "inline-6": 0.0, "flat-6": 0.0, "v12-60": 0.0}


@pytest.mark.parametrize(("name", "share"), SHARES.items())
def test_the_share_of_the_bobweight_follows_from_the_layout(name, share):
    assert derived_share(layout_from_text(name)) == pytest.approx(share)


@given(spacing=st.floats(0.05, 0.2), part=st.floats(0.0, 0.4))
def test_places_stand_evenly_and_mains_between_them(spacing, part):
    layout = layout_from_text("v8-90-cross-plane")
    model = along(layout, spacing=spacing, rod_pitch=part * spacing)
    assert model.labels == ("1", "2", "3", "4", "5", "6", "7", "8")
    assert model.places[1] - model.places[0] == pytest.approx(part * spacing, abs=1e-12)
    assert model.places[2] - model.places[0] == pytest.approx(spacing)
    assert model.mains == pytest.approx([spacing * (k - 0.5) for k in range(5)])
    assert sum(model.places) / 8 == pytest.approx(sum(model.mains) / 5)


def test_a_flat_four_has_throws_at_half_the_spacing_of_its_bores():
    model = along(layout_from_text("flat-4"), spacing=0.1)
    assert model.throw_places == pytest.approx((0.0, 0.05, 0.10, 0.15))
    assert model.mains == pytest.approx((-0.025, 0.075, 0.175))


@pytest.mark.parametrize(("spacing", "pitch", "says"), [(0.0, 0.0, "spacing"), (0.1, 0.1, "rod_pitch"), (0.1, -0.01, "rod_pitch")])
def test_what_cannot_be_is_refused(spacing, pitch, says):
    with pytest.raises(OutOfRange, match=says):
        along(layout_from_text("inline-4"), spacing=spacing, rod_pitch=pitch)
