"""Chamber arithmetic over its range: what must undo what, signs, limits and scaling."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenths.calc import volumes
from tenths.errors import BadInput, OutOfRange

bores = st.floats(0.03, 0.2)
strokes = st.floats(0.03, 0.2)
ratios = st.floats(5.0, 20.0)
small = st.floats(0.0, 2e-5)


@given(bores, strokes, st.floats(0.5, 3.0))
def test_swept_volume_scales_with_the_cube_of_the_size(bore, stroke, factor):
    once = volumes.swept_volume(bore=bore, stroke=stroke)
    assert volumes.swept_volume(bore=factor * bore, stroke=factor * stroke) == pytest.approx(factor**3 * once)
    assert volumes.displacement(swept=[once] * 6) == pytest.approx(6 * once)


@given(bores, strokes, ratios)
def test_clearance_for_a_ratio_gives_that_ratio(bore, stroke, ratio):
    swept = volumes.swept_volume(bore=bore, stroke=stroke)
    clearance = volumes.clearance_for_ratio(swept=swept, ratio=ratio)
    assert volumes.compression_ratio(swept=swept, clearance=clearance) == pytest.approx(ratio)
    rest = 0.3 * clearance
    assert volumes.chamber_for_ratio(swept=swept, ratio=ratio, rest=rest) + rest == pytest.approx(clearance)


@given(bores, strokes, ratios, ratios)
def test_deck_cut_brings_the_ratio_wanted(bore, stroke, now, wanted):
    swept = volumes.swept_volume(bore=bore, stroke=stroke)
    clearance = volumes.clearance_for_ratio(swept=swept, ratio=now)
    cut = volumes.deck_cut_for_ratio(bore=bore, swept=swept, clearance=clearance, ratio=wanted)
    left = clearance - volumes.deck_volume(bore=bore, deck_clearance=cut)
    assert volumes.compression_ratio(swept=swept, clearance=left) == pytest.approx(wanted)
    assert (cut > 0) == (wanted > now) or cut == pytest.approx(0.0, abs=1e-12)


@given(small, small, small, small, small)
def test_each_part_of_the_clearance_counts_once_and_with_its_sign(gasket, dish, dome, pockets, crevice):
    chamber = 6e-5
    parts = {"gasket": gasket, "dish": dish, "dome": dome, "pockets": pockets, "crevice": crevice}
    total = volumes.clearance_volume(chamber=chamber, deck=1e-6, **parts)
    for name, part in parts.items():
        without = volumes.clearance_volume(chamber=chamber, deck=1e-6, **(parts | {name: 0.0}))
        assert total - without == pytest.approx(-part if name == "dome" else part, abs=1e-18)


@given(bores, strokes, st.floats(1.2, 3.0), st.floats(0.0, 1.8))
def test_effective_ratio_falls_from_the_full_one_as_the_intake_closes_later(bore, stroke, rod, later):
    size = {"bore": bore, "stroke": stroke, "rod_length": rod * stroke}
    swept = volumes.swept_volume(bore=bore, stroke=stroke)
    size["clearance"] = volumes.clearance_for_ratio(swept=swept, ratio=10.0)
    assert volumes.effective_compression_ratio(intake_closes=0.0, **size) == pytest.approx(10.0)
    first = volumes.effective_compression_ratio(intake_closes=later, **size)
    assert 1.0 < volumes.effective_compression_ratio(intake_closes=later + 0.1, **size) < first <= 10.0 + 1e-9
    assert volumes.effective_compression_ratio(intake_closes=-later, **size) == pytest.approx(first)


def test_crevice_is_the_gap_times_the_way_round_for_a_thin_gap():
    volume = volumes.crevice_volume(bore=0.1, top_land_diameter=0.0999, top_land_height=0.008)
    assert volume == pytest.approx(math.pi * 0.1 * 0.00005 * 0.008, rel=1e-3)


@given(st.floats(1e-4, 3e-3), st.floats(1e-4, 3e-3), st.floats(-1e-4, 1e-4))
def test_filing_what_is_left_reaches_the_target(target, gap, growth):
    left = volumes.filing_left(target_gap=target, gap=gap, bore_growth=growth)
    assert gap + left + volumes.ring_gap_change(bore_growth=growth) == pytest.approx(target)


def test_deck_stack_moves_one_for_one_and_half_for_the_stroke():
    stack = {"deck_height": 0.2292, "stroke": 0.0884, "rod_length": 0.1448, "compression_height": 0.0396}
    now = volumes.deck_clearance(**stack)
    for name, slope in (("deck_height", 1.0), ("stroke", -0.5), ("rod_length", -1.0), ("compression_height", -1.0)):
        moved = volumes.deck_clearance(**(stack | {name: stack[name] + 1e-4}))
        assert moved - now == pytest.approx(slope * 1e-4)


@given(st.lists(st.lists(st.floats(0.09, 0.11), min_size=2, max_size=2), min_size=2, max_size=4), st.floats(0.0, 0.01))
def test_taper_and_out_of_round_do_not_see_a_shift_of_all_readings(grid, shift):
    moved = [[d + shift for d in row] for row in grid]
    turned = [list(column) for column in zip(*grid, strict=True)]
    assert volumes.bore_taper(readings=moved) == pytest.approx(volumes.bore_taper(readings=grid), abs=1e-15)
    assert volumes.bore_taper(readings=grid) == volumes.bore_out_of_round(readings=turned)


def test_a_true_hole_has_neither_taper_nor_out_of_round():
    grid = [[0.1016, 0.1016]] * 3
    assert volumes.bore_taper(readings=grid) == volumes.bore_out_of_round(readings=grid) == 0.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: volumes.swept_volume(bore=-0.1, stroke=0.1), "bore is -0.1"),
        (lambda: volumes.displacement(swept=[1e-4, 0.0]), "swept is 0"),
        (lambda: volumes.clearance_volume(chamber=1e-5, gasket=0, deck=0, dome=2e-5), "leaves no room"),
        (lambda: volumes.clearance_volume(chamber=1e-5, gasket=-1e-6, deck=0), "gasket is -1e-06"),
        (lambda: volumes.clearance_for_ratio(swept=5e-4, ratio=1.0), "ratio is 1: more than 1"),
        (lambda: volumes.chamber_for_ratio(swept=5e-4, ratio=20.0, rest=1e-4), "already too much"),
        (lambda: volumes.chamber_after_cut(chamber=1e-5, plan_area=5e-3, cut=0.01), "the whole chamber"),
        (
            lambda: volumes.crevice_volume(bore=0.1, top_land_diameter=0.11, top_land_height=0.01),
            "no more than the bore",
        ),
        (lambda: volumes.squish_clearance(deck_clearance=math.nan, gasket_thickness=0.001), "deck_clearance is nan"),
        (
            lambda: volumes.effective_compression_ratio(bore=0.1, stroke=0.1, rod_length=0.15, clearance=1e-4, intake_closes=3.2),
            "less than half a turn",
        ),
    ],
)
def test_values_out_of_range_are_refused_by_name(call, message):
    with pytest.raises(OutOfRange, match=message):
        call()


@pytest.mark.parametrize("grid", [[], [[0.1]], [[0.1, 0.1], [0.1]]])
def test_a_grid_with_holes_is_refused(grid):
    with pytest.raises(BadInput, match="readings"):
        volumes.bore_taper(readings=grid)
    with pytest.raises(BadInput, match="readings"):
        volumes.bore_out_of_round(readings=grid)


def test_an_engine_without_cylinders_is_refused():
    with pytest.raises(BadInput, match="swept holds no cylinder"):
        volumes.displacement(swept=[])
