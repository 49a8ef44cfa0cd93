"""Top dead centre: middles found again from a slider-crank solved elsewhere, and the errors stated met by simulation."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from tenths.calc.valves.tdc import Slider, equal_heights, one_side, positive_stop
from tenths.errors import BadInput, OutOfRange

SLIDER = Slider(stroke=0.086, rod_length=0.1435)
DEG = math.pi / 180


def height(angle, offset):
    """Pin above crank centre, written down once more from the triangle."""
    across = 0.043 * math.sin(angle) + offset
    return 0.043 * math.cos(angle) + math.sqrt(0.1435**2 - across**2)


@pytest.mark.parametrize("offset", [0.0, 0.0008, -0.0015])
@pytest.mark.parametrize("level", [0.0005, 0.004, 0.020])
def test_the_offset_pin_is_corrected(offset, level):
    top = math.asin(-offset / (0.1435 + 0.043))
    wanted = height(top, offset) - level
    before = brentq(lambda angle: height(angle, offset) - wanted, top - 2, top, xtol=1e-14)
    after = brentq(lambda angle: height(angle, offset) - wanted, top, top + 2, xtol=1e-14)
    slider = Slider(stroke=0.086, rod_length=0.1435, pin_offset=offset)
    found = positive_stop(before + 0.3, after + 0.3, slider=slider, reading_error=0.001)
    assert found.angle == pytest.approx(top + 0.3, abs=1e-9)


def test_error_stated_is_met_by_simulation():
    chance = np.random.default_rng(5)
    levels = [0.001, 0.002, 0.004, 0.008, 0.012]
    exact = [brentq(lambda a, d=level: height(0.0, 0.0) - height(a, 0.0) - d, 0.0, 2.0) for level in levels]
    inside, runs = 0, 1000
    for _ in range(runs):
        errors = chance.normal(0.0, 0.2 * DEG, (2, 5))
        for row in range(2):
            for place, angle in enumerate(exact):
                slope = (height(angle - 1e-5, 0.0) - height(angle + 1e-5, 0.0)) / 2e-5
                errors[row, place] += chance.normal(0.0, 10e-6) / slope
        found = equal_heights(
            list(-np.array(exact) + errors[0]), list(np.array(exact) + errors[1]),
            slider=SLIDER, reading_error=0.2 * DEG, height_error=10e-6,
        )  # fmt: skip
        inside += abs(found.angle) < 1.96 * found.standard_error
    assert 0.93 <= inside / runs <= 0.97


def test_what_cannot_be_is_refused():
    with pytest.raises(OutOfRange, match="above before"):
        positive_stop(0.2, 0.1, slider=SLIDER, reading_error=0.001)
    with pytest.raises(BadInput, match="after 1"):
        equal_heights([0.0, 0.1], [0.5], slider=SLIDER, reading_error=0.001, height_error=0.0)
    with pytest.raises(BadInput, match="backwards, forwards"):
        one_side(["forwards", "backwards"])
