"""Invented engines of all layouts run, as the five hundred of benchmarks/robust_gas.py; and what is said when one does not settle."""

import importlib.util
import math
from pathlib import Path

import numpy as np
import pytest

from tenths.calc.gas import _kernels as kernels
from tenths.calc.gas import pull as pulls
from tenths.calc.gas.pull import built, pull, run
from tenths.errors import OutOfRange, Unsettled

_SPEC = importlib.util.spec_from_file_location("robust_gas", Path(__file__).parents[2] / "benchmarks" / "robust_gas.py")
robust = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(robust)


@pytest.mark.parametrize("seed", range(1000, 1014))
def test_invented_engines_of_each_layout_come_to_numbers_and_settle(seed):
    name, engine, speeds = robust.invented(seed)
    for point in pull(engine, speeds, intake_cell=0.03, exhaust_cell=0.05):
        assert robust.is_number(point)
        assert point.settled, f"{name}: {point.lacking}"
        assert point.lacking == ""
        assert max(point.mass_error, point.energy_error) < 1e-3
        assert 0.2 < point.filling < 2.5
        assert 1e5 < point.peak < 4e7
        assert 500.0 < point.exhaust < 2200.0


def test_the_sample_holds_every_layout():
    assert {robust.invented(seed)[0] for seed in range(1000, 1014)} == set(robust.LAYOUTS)


def test_what_does_not_repeat_is_told():
    """Two cycles from rest cannot have settled: the point says so, and what still changes by how much."""
    _, engine, speeds = robust.invented(5)
    point, _ = run(engine, built(engine), speeds[0], most=2)
    assert not point.settled
    assert "work still changes by" in point.lacking
    assert "below 0.001 is asked" in point.lacking


def test_a_speed_that_comes_to_no_number_is_tried_in_shorter_steps_and_then_named(monkeypatch):
    """A network whose gas is lost at once: every length of step is tried, and the message names the speed and the place."""
    _, engine, _ = robust.invented(0)
    tried = []

    def lost(*args, **parts):
        net = built(*args, **parts)
        net.state[:, 3] = math.nan
        return net

    def noted(*args, courant, **parts):
        tried.append(courant)
        return run(*args, courant=courant, **parts)

    monkeypatch.setattr(pulls, "built", lost)
    monkeypatch.setattr(pulls, "run", noted)
    with pytest.raises(Unsettled, match="lost its footing at 3000 rpm: in pipe"):
        pull(engine, [3000 * math.tau / 60])
    assert tried == [0.85, 0.6, 0.4]


def test_a_shorter_step_saves_a_speed(monkeypatch):
    """The first length of step is lost; the second gives the point as if nothing had been."""
    _, engine, _ = robust.invented(0)
    speed = 3000 * math.tau / 60

    def once(*args, courant, **parts):
        if courant > 0.8:
            raise Unsettled("lost")
        return run(*args, courant=courant, **parts)

    expected = run(engine, built(engine), speed, courant=0.6)[0]
    monkeypatch.setattr(pulls, "run", once)
    assert pull(engine, [speed])[0].torque == pytest.approx(expected.torque, rel=1e-12)


def test_two_rows_of_speeds_give_each_speed_its_place_and_can_be_stopped():
    """Results lie as asked for, whatever the order; each is that of the speed run alone, to what settling leaves open."""
    _, engine, _ = robust.invented(5)
    speeds = [rpm * math.tau / 60 for rpm in (5000.0, 2000.0, 4000.0, 3000.0, 6000.0)]
    heard = []
    points = pull(engine, speeds, progress=lambda done, of: heard.append((done, of)))
    assert [point.speed for point in points] == speeds
    assert heard == [(k, 5) for k in range(6)]
    for point in points:
        alone = run(engine, built(engine), point.speed)[0]
        assert point.torque == pytest.approx(alone.torque, rel=4e-3)

    def stop(done, of):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        pull(engine, speeds, progress=stop)


def test_a_speed_outside_is_refused_from_within_a_thread():
    _, engine, _ = robust.invented(5)
    with pytest.raises(OutOfRange, match="speed"):
        pull(engine, [300.0, 400.0, 500.0, 5000.0])


def test_a_vessel_that_fills_slowly_is_put_where_it_drifts_to():
    """A silencer of twelve times the engine: hastened and not, work comes to the same, and the books close in fewer cycles."""
    _, engine, _ = robust.invented(1)
    engine = pulls.changed(engine, outlet__silencer=12.0 * engine.swept, outlet__silencer_flow=0.6, outlet__secondary=0.0)
    quick, _ = run(engine, built(engine), 250.0)
    net = built(engine)
    before, cycles = math.inf, 0
    slow_work = np.nan
    while cycles < 300:
        cycles += 1
        held = pulls._holdings(net)
        pulls._Control(engine, net, 250.0, quick.middle).set()
        told = net.cycle(250.0)
        slow_work = float(told.cylinders[:, :2].sum())
        if max(pulls._books(net, told, held)) < 1e-4 and abs(slow_work - before) < 1e-5 * slow_work:
            break
        before = slow_work
    assert quick.settled
    assert quick.cycles < cycles
    assert quick.indicated * engine.swept == pytest.approx(slow_work, rel=3e-3)


def test_a_cycles_books_close_to_rounding():
    """Mass and energy that pipes, vessels and cylinders hold change by what crosses the outside, work and heat: nothing else, ever.

    Walls of pipes are taken as passing no heat here, since that is not written down; the cycle is the third, far from settled.
    """
    _, engine, speeds = robust.invented(10)
    engine = pulls.changed(engine, leak=0.0, crevice=0.0)
    net = built(engine)
    net.shape[kernels.COOL] = 0.0
    outside = [row for row, kind in enumerate(net.kinds) if kind == kernels.FIXED]
    for _ in range(3):
        pulls._Control(engine, net, speeds[0], None).set()
        before = pulls._holdings(net)
        told = net.cycle(speeds[0])
        change = pulls._holdings(net) - before
    leaves = np.isin(net.ends[:, kernels.E_RES], outside)
    crossed = told.sums[leaves, :2].sum(axis=0)
    rows = told.cylinders
    given = float(rows[:, [kernels.T_WORK, kernels.T_PUMP, kernels.T_HEAT]].sum())
    moved = np.abs(told.sums[:, :2]).sum(axis=0)
    assert abs(change[0] + crossed[0]) < 1e-12 * moved[0]
    assert abs(change[1] + crossed[1] + given) < 1e-12 * moved[1]
    # and the cycle did not close by itself
    assert abs(change[0]) > 1e-4 * moved[0]


def test_one_speed_alone_is_tried_in_shorter_steps_too(monkeypatch):
    """Loads, film and the picture of a cycle run single speeds: they are saved as those of a pull are."""
    _, engine, _ = robust.invented(0)
    tried = []

    def once(*args, courant, **parts):
        tried.append(courant)
        if courant > 0.8:
            raise Unsettled("lost")
        return run(*args, courant=courant, **parts)

    monkeypatch.setattr(pulls, "run", once)
    point, told, net = pulls.run_surely(engine, built(engine), 3000 * math.tau / 60)
    assert tried[:2] == [0.85, 0.6]
    assert math.isfinite(point.torque)
    assert math.isfinite(float(told.traces.sum()))
    assert math.isfinite(float(net.state.sum()))
