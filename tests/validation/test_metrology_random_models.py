"""Random formulas over random shared causes: cause by cause the same as two independent libraries."""

import math
from dataclasses import dataclass

import GTC
import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import umath

from tenths.metrology.coverage import effective_freedom
from tenths.metrology.estimate import Estimate, combine, covariance, propagate
from tenths.metrology.montecarlo import monte_carlo

CAUSES = {"scale:a": 9.0, "scale:b": math.inf, "temperature": 5.0, "repeat:1": 3.0, "repeat:2": math.inf}
SMALL = 1e-5


@dataclass
class Plain:
    """Functions for floats; the libraries bring their own."""

    sin = staticmethod(math.sin)
    exp = staticmethod(math.exp)
    sqrt = staticmethod(math.sqrt)


leaves = st.sampled_from(["x[0]", "x[1]", "x[2]", "x[3]"]) | st.floats(0.5, 3.0).map(lambda v: f"{v:.3f}")
formulas = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
        st.tuples(inner, inner).map(lambda t: f"({t[0]} / (2.0 + {t[1]} * {t[1]}))"),
        inner.map(lambda t: f"m.sin({t})"),
        inner.map(lambda t: f"m.exp(0.1 * m.sin({t}))"),
        inner.map(lambda t: f"m.sqrt(4.0 + {t} * {t})"),
    ),
    max_leaves=8,
)
parts = st.dictionaries(st.sampled_from(list(CAUSES)), st.sampled_from([-2.0, -1.0, 0.5, 1.0, 3.0]), min_size=1)
inputs = st.lists(st.tuples(st.floats(0.5, 3.0), parts), min_size=4, max_size=4)


def made(drawn):
    freedom = {k: nu for k, nu in CAUSES.items() if math.isfinite(nu)}
    return [
        Estimate(v, {k: c * SMALL for k, c in p.items()}, {k: nu for k, nu in freedom.items() if k in p})
        for v, p in drawn
    ]


def run(formula, x, functions):
    return eval(formula, {"x": x, "m": functions})  # noqa: S307 (made by the test itself)


@settings(max_examples=150, deadline=None)
@given(formulas, inputs)
def test_each_cause_as_in_gtc(formula, drawn):
    estimates = made(drawn)
    base = {k: GTC.ureal(0.0, 1.0, nu, label=k) for k, nu in CAUSES.items()}
    theirs = run(formula, [e.value + sum(p * base[k] for k, p in e.parts.items()) for e in estimates], GTC)
    ours = propagate(lambda *x: run(formula, x, Plain), *estimates).estimate
    if isinstance(theirs, float):  # a formula of constants only
        assert ours.u == 0.0
        return
    assert ours.value == pytest.approx(GTC.value(theirs), rel=1e-12, abs=1e-12)
    size = max(1e-3, ours.u / SMALL)
    for cause, base_quantity in base.items():
        sensitivity = GTC.reporting.u_component(theirs, base_quantity)
        assert ours.parts.get(cause, 0.0) == pytest.approx(sensitivity, abs=1e-6 * SMALL * size), cause
    if ours.u > 1e-2 * SMALL and math.isfinite(GTC.dof(theirs)):
        assert effective_freedom(ours) == pytest.approx(GTC.dof(theirs), rel=1e-4)


@settings(max_examples=100, deadline=None)
@given(st.lists(formulas, min_size=2, max_size=4), inputs)
def test_covariance_as_in_uncertainties(several, drawn):
    estimates = made(drawn)
    base = {k: uncertainties.ufloat(0.0, 1.0) for k in CAUSES}
    x = [e.value + sum(p * base[k] for k, p in e.parts.items()) for e in estimates]
    theirs = np.array(uncertainties.covariance_matrix([run(f, x, umath) + 0 * x[0] for f in several]))
    ours = covariance([propagate(lambda *v, f=f: run(f, v, Plain), *estimates).estimate for f in several])
    assert ours / SMALL**2 == pytest.approx(theirs / SMALL**2, rel=1e-5, abs=1e-5 * max(1.0, theirs.max() / SMALL**2))


@settings(max_examples=12, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.01, 3).map(lambda c: round(c, 3)), st.sampled_from(["normal", "rectangular", "triangular", "arcsine"])),
        min_size=2,
        max_size=5,
    ),
    st.integers(0, 2**32 - 1),
)
def test_trials_agree_with_the_exact_doubt_of_a_sum(terms, seed):
    # The variance of a sum of independent causes is exact whatever their shapes.
    items = [Estimate(1.0, {f"c{i}": c or 1.0}, shape={f"c{i}": s}) for i, (c, s) in enumerate(terms)]
    exact = combine([1.0] * len(items), items)
    trials = monte_carlo(lambda *x: sum(x), *items, rng=np.random.default_rng(seed))
    assert trials.settled
    assert trials.value == pytest.approx(exact.value, abs=trials.accuracy + 4 * trials.error_value)
    assert trials.u == pytest.approx(exact.u, abs=trials.accuracy + 4 * trials.error_u)
