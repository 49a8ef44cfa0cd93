"""Risks over a run: beside the bivariate normal of scipy, from typed numbers and from the shop's own history; page and command."""

import json
import math
from statistics import stdev

import pytest
from click.testing import CliRunner
from scipy.stats import multivariate_normal, norm

from benches import Served
from hand import TENTH, hand
from shops import shop_in_memory
from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.services.risks import Asked, amount, history_of, risk_answer, share

TYPED = {"characteristic": "bore-taper", "run": 100, "places": 8, "mean": "3 tenths", "deviation": "1 tenths",
         "uncertainty": "0.6 tenths", "upper": "5 tenths"}


@pytest.fixture
def shop(tmp_path):
    return shop_in_memory(tmp_path)


def by_bivariate_normal(mean, deviation, u, limit, gate):
    """Bad and passed, good and refused, for an upper limit: true size and reading are normal together."""
    both = multivariate_normal([mean, mean], [[deviation**2, deviation**2], [deviation**2, deviation**2 + u**2]])
    good_and_passed = both.cdf([limit, gate])
    passed = norm.cdf(gate, mean, math.hypot(deviation, u))
    return passed - good_and_passed, norm.cdf(limit, mean, deviation) - good_and_passed


def test_the_risks_are_those_of_the_bivariate_normal(shop):
    answer = risk_answer(shop, Asked(**TYPED))
    gates = {"simple": 5.0, "guard": 4.4, "iso": 5 - 0.6 * norm.ppf(0.95), "house": 5 - 0.6 * norm.ppf(0.95)}
    assert {row["rule"] for row in answer["rules"]} == set(gates)
    for row in answer["rules"]:
        customer, builder = by_bivariate_normal(3.0, 1.0, 0.6, 5.0, gates[row["rule"]])
        assert (row["customer"], row["builder"]) == (pytest.approx(customer, rel=2e-3), pytest.approx(builder, rel=2e-3))
        assert row["end"] == pytest.approx(gates[row["rule"]] * 1e-4, rel=1e-6)
        assert row["bad"] == pytest.approx(norm.sf(2.0), rel=1e-6)
        assert row["expected_bad_passed"] == pytest.approx(800 * customer, rel=2e-3)
        assert row["at_least_one"] == pytest.approx(1 - (1 - customer) ** 800, rel=2e-3)
    assert (answer["count"], answer["unit"]) == (800, "in")
    assert set(answer["sources"].values()) == {"typed"}


def test_millimetres_say_the_same(shop):
    metric = {"mean": "7.62 µm", "deviation": "2.54 µm", "uncertainty": "1.524 µm", "upper": "12.7 µm", "units": "metric"}
    inch, mm = risk_answer(shop, Asked(**TYPED)), risk_answer(shop, Asked(**TYPED | metric))
    assert [r["customer"] for r in mm["rules"]] == pytest.approx([r["customer"] for r in inch["rules"]], rel=1e-9)
    assert mm["unit"] == "mm"


def test_the_shops_own_history_is_the_spread(shop):
    one = hand(shop, "inline-4, cams none")
    tenths_read = (22.0, 25.0, 31.0, 24.0, 28.0)
    for n, value in enumerate(tenths_read, 1):
        one.clearance(f"main.{n}", value)
    one.limit("main.*", "main-oil-clearance", "0.0015", "0.0040")
    found = history_of(shop, catalogue()["main-oil-clearance"], one.engine)
    # each clearance is a difference of two readings of one tenth: their scatter, sqrt 2, is taken out of the spread
    assert found.spread == pytest.approx(stdev(tenths_read) * TENTH, rel=1e-6)
    assert found.deviation == pytest.approx(math.sqrt(stdev(tenths_read) ** 2 - 2) * TENTH, rel=1e-6)
    assert found.mean == pytest.approx(26 * TENTH, rel=1e-6)
    answer = risk_answer(shop, Asked("main-oil-clearance", engine=one.engine, run=10))
    assert answer["count"] == 50
    assert answer["sources"]["deviation"] == "5 places of 1 engine in this shop"
    assert answer["sources"]["upper"] == "sheet 1"
    assert answer["uncertainty"] == pytest.approx(math.sqrt(2) * 1e-4, rel=1e-6)


@pytest.mark.parametrize(("changed", "says"), [
    ({"characteristic": "luck"}, "'luck' is not known"), ({"run": 0}, "1 to 1,000,000"), ({"mean": ""}, "mean: too few places"),
    ({"deviation": "0 in"}, "above 0"), ({"upper": ""}, "limits: none are known"), ({"lower": "6 tenths"}, "must lie below"),
    ({"uncertainty": ""}, "uncertainty: nothing was read"), ({"deviation": "wide"}, "deviation")])
def test_what_cannot_be_asked_is_said(shop, changed, says):
    with pytest.raises(BadInput, match=says):
        risk_answer(shop, Asked(**TYPED | changed))


def test_numbers_as_a_person_reads_them():
    said = ["50.0 %", "2.1 %", "0.21 %", "8 in a million", "under one in a million"]
    assert [share(x) for x in (0.5, 0.0213, 0.0021, 8e-6, 1e-9)] == said
    assert [amount(x) for x in (1234.5, 9.94, 0.0213, 0.0)] == ["1,234", "9.9", "0.021", "0"]


def test_the_page_asks_by_its_address_and_says_what_is_wrong(tmp_path):
    with Served(tmp_path).client() as ask:
        empty = ask.get("/risk")
        assert (empty.status_code, "What is judged" in empty.text) == (200, True)
        left_empty = "&places=0&mean=&deviation=&uncertainty=&lower=&upper="
        found = ask.get(f"/risk?characteristic=main-oil-clearance&engine=marigold&run=40{left_empty}")
        assert found.status_code == 200
        assert "Of 280 places on 40 engines" in found.text
        wrong = ask.get("/risk?characteristic=main-oil-clearance&engine=marigold&run=many")
        assert wrong.status_code == 422
        assert "&#39;many&#39; is not a whole number" in wrong.text
        assert ask.get("/risk?characteristic=main-oil-clearance&engine=nothing").status_code == 422


def test_the_command_says_the_same_as_the_api(tmp_path):
    run = CliRunner()
    words = ["--shop", str(tmp_path), "risk", "bore-taper", "--run", "100", "--places", "8", "--mean", "3 tenths",
             "--deviation", "1 tenths", "--uncertainty", "0.6 tenths", "--upper", "5 tenths"]
    told = json.loads(run.invoke(tenths, [*words, "--json"]).output)
    assert told["rules"][1]["customer"] == pytest.approx(by_bivariate_normal(3, 1, 0.6, 5, 5)[0], rel=2e-3)
    said = run.invoke(tenths, words).output
    assert "limits as they stand" in said
    assert max(map(len, said.splitlines())) <= 80
