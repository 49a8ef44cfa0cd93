"""Predictions against what was read later: means and intervals by hand and by scipy."""

from math import sqrt

import pytest
from scipy import stats

from engines import HOUSING, JOURNAL, WALL, half, read, read_mains, say, wren
from shops import shop_in_memory
from tenths.logbook import bodies
from tenths.services.bias import Outcome, bias_rows, biases, in_words, outcomes

TENTH = 0.0001 * 0.0254


def outcome(engine, off, question="main-shells", station="main.1"):
    return Outcome(engine, question, "main-oil-clearance", station, 20 * TENTH, TENTH, (20 + off) * TENTH, TENTH)


def test_on_one_engine_its_places_are_averaged():
    offs = [1.0, 2.0, 4.0]
    (found,) = biases([outcome("a", off, station=f"main.{n}") for n, off in enumerate(offs)])
    expected = stats.ttest_1samp(offs, 0.0).confidence_interval(0.95)
    assert (found.count, found.engines) == (3, 1)
    assert found.mean / TENTH == pytest.approx(7 / 3)
    assert found.interval / TENTH == pytest.approx((expected.high - expected.low) / 2, rel=1e-6)
    assert found.expected / TENTH == pytest.approx(sqrt(2))


def test_of_several_engines_the_means_are_averaged_because_places_of_one_are_alike():
    rows = {"a": [1.0, 1.2], "b": [2.0, 2.2, 2.4], "c": [1.6]}
    means = [1.1, 2.2, 1.6]
    (found,) = biases([outcome(name, off, station=f"main.{n}") for name, offs in rows.items() for n, off in enumerate(offs)])
    test = stats.ttest_1samp(means, 0.0)
    interval = test.confidence_interval(0.95)
    assert found.interval / TENTH == pytest.approx((interval.high - interval.low) / 2, rel=1e-6)
    assert found.shows == (test.pvalue < 0.05)
    assert found.shows
    assert "that is a bias" in in_words(found, "inch")


def test_no_bias_is_called_where_zero_lies_within_the_interval():
    (found,) = biases([outcome("a", -1.0), outcome("a", 2.0, station="main.2")])
    assert not found.shows
    assert "no bias shows" in in_words(found, "inch")


def test_one_reading_tells_no_bias():
    (found,) = biases([outcome("a", 1.0)])
    assert not found.shows
    assert found.interval == float("inf")
    assert "one tells no bias" in in_words(found, "inch")


def test_each_kind_of_choice_is_told_by_itself():
    found = biases([outcome("a", 1.0), outcome("a", 2.0, question="rod-shells")])
    assert [b.question for b in found] == ["main-shells", "rod-shells"]


@pytest.fixture
def accepted(tmp_path):
    shop = shop_in_memory(tmp_path)
    wren(shop)
    read_mains(shop)
    for side in ("upper", "lower"):
        half(shop, f"{side[0]}1", WALL, side=side)
    say(shop, bodies.ChoiceAccepted(question="main-shells", picks=tuple(
        bodies.Pick(station=f"main.1.shell.{side}", pick=f"{side[0]}1", characteristic="main-oil-clearance", predicted=0.0020,
                    uncertainty=0.0001, unit="in") for side in ("upper", "lower"))))
    return shop


def fit(shop, upper="u1"):
    say(shop, bodies.PartFitted(slot="main.1.shell.upper", part=upper), bodies.PartFitted(slot="main.1.shell.lower", part="l1"))


def test_a_place_with_two_halves_counts_once_and_only_after_it_is_read(accepted):
    assert outcomes(accepted) == []
    fit(accepted)
    read(accepted, "main.1", "installed-bore", JOURNAL + 0.0022, "B front")
    (found,) = outcomes(accepted)
    assert found.off / TENTH == pytest.approx(2.0)
    assert found.u / TENTH == pytest.approx(1.0)
    (row,) = bias_rows(accepted, "inch")
    assert row["mean"] == pytest.approx(0.0002)
    assert row["outcomes"][0]["station"] == "main.1"
    (metric,) = bias_rows(accepted, "metric")
    assert metric["mean"] == pytest.approx(0.00508)


def test_where_another_half_went_in_nothing_is_told(accepted):
    half(accepted, "u9", WALL, side="upper")
    fit(accepted, "u9")
    read(accepted, "main.1", "installed-bore", JOURNAL + 0.0022, "B front")
    assert outcomes(accepted) == []


def test_what_was_accepted_last_before_the_reading_counts(accepted):
    say(accepted, bodies.ChoiceAccepted(question="main-shells", picks=(
        bodies.Pick(station="main.1.shell.upper", pick="u1", characteristic="main-oil-clearance", predicted=0.0021, unit="in"),)))
    fit(accepted)
    read(accepted, "main.1", "installed-bore", HOUSING - 2 * WALL + 0.0002, "B front")
    say(accepted, bodies.ChoiceAccepted(question="main-shells", picks=(
        bodies.Pick(station="main.1.shell.upper", pick="u1", characteristic="main-oil-clearance", predicted=0.0022, unit="in"),)))
    (found,) = outcomes(accepted)
    assert found.predicted / TENTH == pytest.approx(21.0)
