"""Lengths move the speed at which an engine fills best as the trade's relations say: a single cylinder with large valves."""

import math

import numpy as np
import pytest

from tenths.calc.gas.fuel import fuel
from tenths.calc.gas.pull import Burning, Engine, Induction, Outlet, built, pull, run
from tenths.calc.gas.valves import Valves, assumed_lobe

DEGREES, RPM = math.pi / 180, math.tau / 60
BORE, STROKE, RATIO, PIPE, OPENS = 0.09, 0.08, 10.5, 0.042, 145.0


def single(*, runner=0.1, primary=0.6):
    angles, lifts = assumed_lobe(duration=2 * OPENS * DEGREES, lift=0.0125)
    return Engine(
        bore=BORE, stroke=STROKE, rod=0.14, compression=RATIO, fires=(0.0,),
        intake=Valves(count=2, diameter=0.036, angles=angles, lifts=lifts, centre=-252 * DEGREES),
        exhaust=Valves(count=2, diameter=0.031, angles=angles, lifts=lifts, centre=252 * DEGREES),
        induction=Induction(runner=runner, mouth=PIPE, port=PIPE, throttle=0.05),
        outlet=Outlet(primary=primary, diameter=0.038, groups=((0,),)), fuel=fuel("petrol 98"), burning=Burning(knock=None),
    )  # fmt: skip


def best(speeds, values):
    """Where values are greatest, by the parabola through the three about the greatest."""
    k = int(np.argmax(values))
    assert 0 < k < len(values) - 1
    a, b, c = values[k - 1 : k + 2]
    return speeds[k] + (speeds[1] - speeds[0]) * 0.5 * (a - c) / (a - 2 * b + c)


def test_a_longer_runner_fills_best_at_a_lower_speed():
    """Runner and half the swept volume ring as a Helmholtz resonator, at about twice as many cycles as turns of the crank.

    Engelman's model as [Heywood] tells it in chapter 7, whose figure is 2.0 to 2.5, from memory; the peak falls with a power of the
    length from a half (a lumped resonator) to one (an organ pipe).
    """
    lengths = (0.25, 0.35, 0.5)
    rpm = np.arange(3500.0, 8001.0, 250.0)
    peaks = []
    for length in lengths:
        points = pull(single(runner=length), (rpm * RPM).tolist())
        assert all(point.settled for point in points)
        peaks.append(best(rpm, [point.filling for point in points]))
    swept = math.pi / 4 * BORE**2 * STROKE
    volume = swept / (RATIO - 1.0) + swept / 2.0
    for length, peak in zip(lengths, peaks, strict=True):
        ringing = 345.0 / math.tau * math.sqrt(math.pi / 4 * PIPE**2 / (length * volume))
        assert 1.75 < ringing * 60.0 / peak < 2.5
    power = math.log(peaks[0] / peaks[2]) / math.log(lengths[2] / lengths[0])
    assert 0.5 <= power <= 1.0


@pytest.mark.parametrize(("length", "inches"), [(0.5, 19.69), (0.6, 23.62), (0.75, 29.53)])
def test_a_header_draws_best_at_the_speed_of_its_length(length, inches):
    """Length in inches = 850 (180 + degrees that the valve opens before the bottom) / rpm - 3, the trade's rule, from memory.

    The rule lays the returning low pressure on the overlap: here the speed at which the pressure at the exhaust valve is lowest then.
    """
    engine = single(primary=length)
    net = built(engine)
    rpm = np.arange(5000.0, 10001.0, 250.0)
    low = []
    for speed in rpm:
        _, told = run(engine, net, speed * RPM)
        angles = np.arange(told.pictures.shape[0]) * 720.0 / told.pictures.shape[0]
        overlap = (angles > 330.0) & (angles < 385.0)
        low.append(-float(told.pictures[overlap, net.places["primary 1"].start].mean()))
    expected = 850.0 * (180.0 + (OPENS - (252.0 - 180.0))) / (inches + 3.0)
    assert best(rpm, low) == pytest.approx(expected, rel=0.12)
