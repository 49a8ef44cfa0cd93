"""Budgets name the causes, and what would help is what helps."""

import math

import pytest

from tenths.metrology.budget import Planned, budget, in_words, what_would_help
from tenths.metrology.estimate import difference
from tenths.metrology.templates import INCH, TENTH, from_template
from tenths.metrology.thermal import Temperature

MIC = from_template("outside-micrometer-inch", "mic-2-3", name="2-3 micrometer")
OTHER = from_template("outside-micrometer-inch", "mic-other", name="other micrometer")
GAUGE = from_template("bore-gauge-inch", "bore-gauge", name="bore gauge")
RING = from_template("ring-inch", "ring-2.4400", name="2.4400 ring")


def clearance(bore, journal):
    return bore - journal


def readings(master, **more):
    return (
        Planned(
            value=2.45 * INCH, instrument=GAUGE, reading_id="bore", setting="s", master=master,
            part_material="aluminium", **more,
        ),
        Planned(value=2.4478 * INCH, instrument=MIC, reading_id="journal", part_material="crank steel", **more),
    )  # fmt: skip


def test_largest_cause_first_and_cancelled_last():
    bore, journal = (r.estimate() for r in readings(MIC))
    lines = budget(difference(bore, journal))
    assert lines[0].cause == "repeat:bore"
    assert lines[-1].cause == "scale:mic-2-3"
    assert lines[-1].cancels
    assert lines[-1].words == "scale of mic-2-3"
    assert not any(line.cancels for line in lines[:-1])
    assert sum(line.share for line in lines) == pytest.approx(1.0)
    shares = [line.share for line in lines]
    assert shares == sorted(shares, reverse=True)
    assert {line.shape for line in lines} == {"rectangular", "normal"}


def test_causes_in_words():
    assert in_words("master:ring-2.4400") == "size of ring-2.4400"
    assert in_words("temperature difference:bench") == "part and gauge not equally warm, bench"
    assert in_words("something else") == "something else"


def test_setting_from_the_same_micrometer_helps_most_where_another_was_used():
    found = what_would_help(clearance, readings(OTHER), masters=(RING,))
    assert found[0].action == "set bore gauge from 2-3 micrometer"
    # From 1.50 to 0.87 tenths: both micrometers' limits of 1.5 tenths over sqrt(3) go.
    assert found[0].gain / TENTH == pytest.approx(1.5 - math.sqrt(0.75), rel=1e-9)
    assert found[0].u / TENTH == pytest.approx(math.sqrt(0.75), rel=1e-9)
    actions = [h.action for h in found]
    assert "set bore gauge from 2.4400 ring" in actions
    assert "read bore 3 times with bore gauge" in actions
    gains = [h.gain for h in found]
    assert gains == sorted(gains, reverse=True)
    assert min(gains) > 0
    assert found[0].readings[0].master == MIC


def test_nothing_is_offered_that_does_not_help():
    actions = [h.action for h in what_would_help(clearance, readings(MIC), masters=(RING, OTHER))]
    assert not any(a.startswith("set") for a in actions)
    assert not any("wait" in a for a in actions)


def test_waiting_for_a_warm_aluminium_block_helps():
    warm = Temperature("bench", 32.0, u=0.1)
    found = what_would_help(clearance, readings(MIC, temperature=warm))
    wait = next(h for h in found if "20 degC" in h.action)
    assert wait.gain > 0
    assert all(r.temperature.celsius == 20.0 for r in wait.readings)
