"""Every finding of both demo engines against a second calculation that shares no code with the product."""

from dataclasses import replace

import pytest
from scipy.integrate import dblquad
from scipy.stats import norm
from uncertainties import ufloat

import second_opinion
from second_opinion import Found, Judged
from second_table import judge, probability, verdict
from shops import shop_in_memory
from tenths.logbook import bodies
from tenths.services import commands, questions
from tenths.services.demo import lay_demo

ENGINES = ("marigold", "kestrel")
# octane: the product steps the crank by two degrees, the second calculation by about a two-hundredth of one
VALUE_WITHIN = {"octane-needed": 0.02, "knock-margin": 0.02}
# what is bent: the product takes the mean slope over one u either way, the second calculation the tangent
U_WITHIN = {"octane-needed": 1e-3, "knock-margin": 1e-3, "compression-ratio": 5e-6, "effective-ratio": 5e-6,
            "compression-spread": 5e-6}


@pytest.fixture(scope="module", params=ENGINES)
def both(request, demo_shop):
    """Findings of one engine, and the second opinion on them."""
    entries = demo_shop.logbook.read(request.param)
    return questions.findings(demo_shop, request.param), judge(second_opinion.raw(entries))


def differences(row, judged: Judged, found: Found) -> list[str]:
    """What a finding and a second opinion do not agree on."""
    said = {
        "verdict": (row["verdict"], verdict(judged, found), row["verdict"] == verdict(judged, found)),
        "entries": (row["entries"], found.entries, set(row["entries"]) == found.entries),
    }
    if found.read or judged.planning:
        said |= _judged(row, judged, found)
    else:
        said["value"] = (row["value"], None, row["value"] is None)
        said["expected"] = (row["expected"], found.value.n, alike(row["expected"], found.value.n))
    return [f"{name}: {ours!r} is not {theirs!r}" for name, (ours, theirs, same) in said.items() if not same]


def _judged(row, judged: Judged, found: Found) -> dict[str, tuple[object, object, bool]]:
    """Name, ours, theirs, and whether they agree, of what is said only of a value that was judged."""
    name, n, s, limits = row["characteristic"], found.value.n, found.value.s, judged.limits
    ours = (row["lower"], row["upper"], row["target"])
    chance = None if limits[:2] == (None, None) else probability(found.value, *limits[:2])
    trials = name == "crank-run-out" and chance is not None and 0.8 < chance < 0.995
    chance = _two_rectangles(n, limits[1]) if trials else chance
    return {
        "value": (row["value"], n, alike(row["value"], n, absolute=VALUE_WITHIN.get(name, 1e-13))),
        "u": (row["standard_uncertainty"], s, alike(row["standard_uncertainty"], s, rel=U_WITHIN.get(name, 1e-6))),
        "limits": (ours, limits, all(map(alike, ours, limits))),
        "authority": (row["authority"], judged.authority, row["authority"] == judged.authority),
        "probability": (row["probability"], chance, alike(row["probability"], chance, rel=0.0,
                                                          absolute=2e-3 if trials or name in VALUE_WITHIN else 1e-6)),
    }


def _two_rectangles(value: float, upper: float) -> float:
    """Chance that a run-out [mm] by the metric dial indicator lies below a limit, by quadrature instead of by trial.

    Its doubt is a rectangle of 12 µm (limit of error), one of 5 µm (half a figure) and a normal part of 4 µm (repeat).
    """
    def fits(scale: float, figure: float) -> float:
        return norm.cdf((upper - value - scale - figure) / 0.004)

    return dblquad(fits, -0.005, 0.005, -0.012, 0.012)[0] / (0.024 * 0.010)


def alike(a: float | None, b: float | None, *, rel: float = 1e-9, absolute: float = 1e-13) -> bool:
    """Both absent, or equal within a tolerance."""
    return a is b if a is None or b is None else a == pytest.approx(b, rel=rel, abs=absolute)


def compare(rows, judged) -> list[str]:
    """All disagreements, said; where places tie, one of the ways that are as good must agree."""
    said = []
    for row in rows:
        key = row["characteristic"], row["station"]
        if key not in judged:
            if row["value"] is not None or row["expected"] is not None or row["verdict"] != "not measured":
                said.append(f"{key}: found, but not by the second calculation")
            continue
        tried = [differences(row, judged[key], way) for way in judged[key].ways]
        if all(tried):
            said.append(f"{key}: {min(tried, key=len)}")
    return said


def test_every_finding_agrees_with_the_second_calculation(both):
    rows, judged = both
    assert compare(rows, judged) == []


def test_the_second_calculation_finds_nothing_that_the_first_does_not(both):
    rows, judged = both
    assert set(judged) <= {(row["characteristic"], row["station"]) for row in rows}


def test_no_reading_is_left_out_of_both(both):
    rows, judged = both
    known = [row for row in rows if row["value"] is not None]
    assert len(known) == sum(any(w.read or j.planning for w in j.ways) for j in judged.values()) > 200


def test_both_agree_on_what_turns_stale_and_on_what_is_read_again(tmp_path):
    """Another shell half, one hole honed and read again, another crank: what rested on them is stale in both."""
    shop = shop_in_memory(tmp_path)
    lay_demo(shop)
    commands.part(shop, "marigold", bodies.PartListed(part="x", kind="main-shell"),
                  bodies.PartFitted(slot="main.3.shell.upper", part="x"))
    commands.machine(shop, "marigold", slot="block", operation="honed", stations=("cyl.2", "cyl.5"))
    commands.take_reading(shop, "marigold", bodies.ReadingTaken(
        station="cyl.5", feature="bore", place="gauge thrust", text="3.8210", instrument="mic-inside"))
    commands.part(shop, "kestrel", bodies.PartListed(part="y", kind="crank"), bodies.PartFitted(slot="crank", part="y"))
    for engine in ENGINES:
        rows = questions.findings(shop, engine)
        assert compare(rows, judge(second_opinion.raw(shop.logbook.read(engine)))) == []
        assert sum(row["verdict"] == "stale" for row in rows) > 5


def test_a_difference_would_be_seen(both):
    """The comparison itself: a value off by 2e-9, a u off by 2e-6, a limit, an entry, a verdict."""
    rows, judged = both
    row = next(r for r in rows if r["characteristic"] == "piston-to-wall")
    was = judged["piston-to-wall", row["station"]]
    (way,) = was.ways
    n, s = way.value.n, way.value.s
    wrong = (
        replace(was, ways=(replace(way, value=ufloat(n * (1 + 2e-9), s)),)),
        replace(was, ways=(replace(way, value=ufloat(n, s * (1 + 2e-6))),)),
        replace(was, ways=(replace(way, entries=way.entries | {"x"}),)), replace(was, ways=(replace(way, stale=True),)),
        replace(was, limits=(was.limits[0], was.limits[1] * (1 + 1e-6), None)), replace(was, authority="house rule"),
    )
    assert compare([row], {("piston-to-wall", row["station"]): was}) == []
    assert all(compare([row], {("piston-to-wall", row["station"]): w}) for w in wrong)
