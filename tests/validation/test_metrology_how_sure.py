"""The worked figures of docs/how-sure.md: the page's instruments, recomputed by GTC and by plain trials, then by us."""

import math
import re
from pathlib import Path

import GTC
import numpy as np
import pytest
from scipy.stats import norm

from tenths.metrology.budget import Planned, what_would_help
from tenths.metrology.decide import acceptance_range, conformance
from tenths.metrology.estimate import combine, correlation, difference
from tenths.metrology.joint import joint
from tenths.metrology.templates import INCH, TENTH, from_template
from tenths.metrology.thermal import Temperature

PAGE = (Path(__file__).parents[2] / "docs" / "how-sure.md").read_text("utf-8")
ROOT3, ROOT12 = math.sqrt(3), math.sqrt(12)
BORE, JOURNAL = 24500.0, 24478.0  # tenths
WARMER = (80 - 68) / 1.8  # kelvin above 20 degC
U_TEMPERATURE = 0.5
ALUMINIUM, STEEL, CRANK = (23e-6, 1e-6 / ROOT3), (11.5e-6, 1e-6 / ROOT3), (11.5e-6, 0.5e-6 / ROOT3)


def row(label):
    """Numbers of the first row of the page that begins so."""
    found = re.search(rf"^\| {re.escape(label)}[^|]*\|(.+)\|$", PAGE, re.MULTILINE)
    assert found, f"the page has no row {label!r}"
    return [float(x) for x in found[1].split("|") if x.strip()]


def shown(value, label, column=0, digits=2):
    assert round(value, digits) == row(label)[column], f"{label}: {value}"


LIMIT, STEP, REPEAT, ZERO = range(4)
MICROMETER = row("2-3 in micrometer")
SECOND = row("second micrometer of that kind")
GAUGE = row("dial bore gauge")
BALL = row("ball micrometer")
RING = row("ring, U with k = 2")


# -- by GTC, from the page's table of instruments, in tenths --------------------------------------------------------


def own(instrument):
    """What is each reading's own: last figure and repeatability."""
    return GTC.ureal(0, instrument[STEP] / ROOT12) + GTC.ureal(0, instrument[REPEAT])


def scale(instrument):
    return GTC.ureal(0, instrument[LIMIT] / ROOT3)


class Bench:
    """One day's causes."""

    def __init__(self):
        self.micrometer, self.second = scale(MICROMETER), scale(SECOND)
        self.ring = GTC.ureal(0, RING[LIMIT] / 2)
        self.gauge, self.setting, self.ball = scale(GAUGE), GTC.ureal(0, GAUGE[ZERO]), scale(BALL)
        self.warmer = GTC.ureal(WARMER, U_TEMPERATURE)
        self.aluminium, self.steel, self.crank = (GTC.ureal(*m) for m in (ALUMINIUM, STEEL, CRANK))

    def journal(self, *, warm=False):
        size = JOURNAL + self.micrometer + own(MICROMETER)
        return size * (1 - (self.crank - self.steel) * self.warmer) if warm else size

    def bore(self, master, *, warm=False, size=BORE):
        size = size + master + self.gauge + self.setting + own(GAUGE)
        return size * (1 - (self.aluminium - self.steel) * self.warmer) if warm else size


@pytest.fixture
def bench():
    return Bench()


def test_gtc_single_sizes_and_clearances(bench):
    shown(bench.journal().u, "journal 2.4478 in")
    shown(bench.bore(bench.micrometer).u, "bore 2.4500 in, gauge set on that micrometer")
    shown(bench.bore(bench.ring).u, "bore 2.4500 in, gauge set from the ring")
    for label, master in (
        ("gauge set on the micrometer that measured the journal", bench.micrometer),
        ("gauge set on the second micrometer", bench.second),
        ("gauge set from the ring", bench.ring),
    ):
        shown((bench.bore(master) - bench.journal()).u, label)


def test_gtc_walls(bench):
    known = bench.bore(bench.ring) - bench.journal()
    one, other = bench.ball, scale(BALL)
    shown((known - (one + own(BALL)) - (one + own(BALL))).u, "both walls by the one ball micrometer")
    shown((known - (one + own(BALL)) - (other + own(BALL))).u, "as if the two walls were independent")


@pytest.mark.parametrize(
    ("label", "master"),
    [
        ("gauge set on the same micrometer", "micrometer"),
        ("gauge set on the second micrometer", "second"),
        ("gauge set from the ring", "ring"),
    ],
)
def test_gtc_fitting_window(bench, label, master):
    section = PAGE[PAGE.index("## What may be called fitting") :]
    low, high = (
        float(x) for x in re.search(rf"^\| {label} \| ([\d.]+) \| ([\d.]+) \|", section, re.MULTILINE).groups()
    )
    reach = norm.ppf(0.95) * (bench.bore(getattr(bench, master)) - bench.journal()).u
    assert (round(20 + reach, 1) / 1e4, round(30 - reach, 1) / 1e4) == pytest.approx((low, high), abs=1e-12)


def test_gtc_warm_block(bench):
    bore = bench.bore(bench.micrometer, warm=True)
    clearance = bore - bench.journal(warm=True)
    shown(BORE - bore.x, "the bore reads large by", digits=1)
    shown(clearance.x, "clearance at 20 °C", digits=1)
    shown(clearance.u, "its standard uncertainty")
    cold = bench.bore(bench.micrometer) - bench.journal()
    shown(norm.cdf((22 - 20) / cold.u) - norm.cdf((22 - 30) / cold.u), "probability of 0.0020 to 0.0030 in")
    z = [(limit - clearance.x) / clearance.u for limit in (20, 30)]
    shown(norm.cdf(z[1]) - norm.cdf(z[0]), "the same, at 20 °C")


def test_trials_of_seven_mains():
    """Plain trials with numpy: normal causes, as the page says, none of our code."""
    rng, count = np.random.default_rng(7), 400_000
    as_read = [row(f"main {main}")[0] for main in range(1, 8)]

    def cause(u):
        return u * rng.standard_normal(count)

    shared = cause(GAUGE[LIMIT] / ROOT3) + cause(GAUGE[ZERO])
    warmer, steel = WARMER + cause(U_TEMPERATURE), STEEL[0] + cause(STEEL[1])
    aluminium, crank = ALUMINIUM[0] + cause(ALUMINIUM[1]), CRANK[0] + cause(CRANK[1])
    micrometer = cause(MICROMETER[LIMIT] / ROOT3)
    mains = []
    for clearance in as_read:
        bore = JOURNAL + clearance + micrometer + shared + cause(GAUGE[STEP] / ROOT12) + cause(GAUGE[REPEAT])
        journal = JOURNAL + micrometer + cause(MICROMETER[STEP] / ROOT12) + cause(MICROMETER[REPEAT])
        mains.append(bore * (1 - (aluminium - steel) * warmer) - journal * (1 - (crank - steel) * warmer))
    # The trials scatter about the estimate as the truth is held to do: the sign of an error does not matter here.
    conform = np.array([(m >= 20) & (m <= 30) for m in mains])
    for main, share in enumerate(conform.mean(axis=1), 1):
        assert share == pytest.approx(row(f"main {main}")[1], abs=0.005 + 4 * 0.5 / math.sqrt(count))
    assert conform.all(axis=0).mean() == pytest.approx(row("joint, with the causes")[0], abs=0.005)
    assert conform.mean(axis=1).prod() == pytest.approx(row("product of the seven")[0], abs=0.002)
    assert np.corrcoef(mains[0], mains[1])[0, 1] == pytest.approx(row("correlation of two mains")[0], abs=0.01)
    assert (mains[1] - mains[0]).std() == pytest.approx(row("with the causes that they share")[0], abs=0.01)
    apart = math.hypot(mains[0].std(), mains[1].std())
    assert apart == pytest.approx(row("as if independent")[0], abs=0.01)


def test_gtc_what_would_help():
    def doubt(master, bore_repeats=1, journal_repeats=1):
        day = Bench()
        bore = BORE + getattr(day, master) + day.gauge + day.setting + GTC.ureal(0, GAUGE[STEP] / ROOT12)
        bore += GTC.ureal(0, GAUGE[REPEAT] / math.sqrt(bore_repeats))
        journal = JOURNAL + day.micrometer + GTC.ureal(0, MICROMETER[STEP] / ROOT12)
        journal += GTC.ureal(0, MICROMETER[REPEAT] / math.sqrt(journal_repeats))
        warm = bore * (1 - (day.aluminium - day.steel) * day.warmer)
        return (warm - journal * (1 - (day.crank - day.steel) * day.warmer)).u

    now = doubt("second")
    assert f"block warm: {now:.2f} tenths" in PAGE
    for label, after in (
        ("set the bore gauge on the micrometer of the journal", doubt("micrometer")),
        ("set it from the ring", doubt("ring")),
        ("read the bore three times", doubt("second", bore_repeats=3)),
        ("read the journal three times", doubt("second", journal_repeats=3)),
    ):
        assert (round(after, 2), round(now - after, 2)) == tuple(row(label)), label


# -- by us -----------------------------------------------------------------------------------------------------------

MIC = from_template("outside-micrometer-inch", "mic-2-3")
OTHER = from_template("outside-micrometer-inch", "mic-second")
BORE_GAUGE = from_template("bore-gauge-inch", "bore-gauge")
SET_RING = from_template("ring-inch", "ring-2.4400")
BALL_MIC = from_template("ball-micrometer-inch", "ball", repeatability=0.59 * TENTH)
WARM = Temperature("bench", 20 + WARMER, u=U_TEMPERATURE)
LIMITS = (20 * TENTH, 30 * TENTH)


def bore(master, *, name="bore", clearance=22.0, temperature=None):
    return Planned(
        value=2.4478 * INCH + clearance * TENTH, instrument=BORE_GAUGE, reading_id=name, setting="morning",
        master=master, temperature=temperature, part_material="aluminium",
    )  # fmt: skip


def journal(*, name="journal", temperature=None):
    return Planned(
        value=2.4478 * INCH, instrument=MIC, reading_id=name, temperature=temperature, part_material="crank steel"
    )


def clearance_with(master, **more):
    return difference(bore(master, **more).estimate(), journal(temperature=more.get("temperature")).estimate())


def test_the_templates_are_the_pages_instruments():
    for ours, theirs in ((MIC, MICROMETER), (BORE_GAUGE, GAUGE), (BALL_MIC, BALL), (SET_RING, RING)):
        fields = (ours.limit_of_error, ours.resolution, ours.repeatability, ours.zeroing)
        assert [f / TENTH for f in fields if f] == pytest.approx(theirs)


def test_ours_clearances_walls_and_window():
    masters = {
        "gauge set on the micrometer that": MIC,
        "gauge set on the second": OTHER,
        "gauge set from the ring": SET_RING,
    }
    for label, master in masters.items():
        shown(clearance_with(master).u / TENTH, label)
    walls = [Planned(value=0.1 * INCH, instrument=BALL_MIC, reading_id=f"wall-{k}").estimate() for k in (1, 2)]
    terms = (bore(SET_RING).estimate(), journal().estimate(), *walls)
    shown(combine((1, -1, -1, -1), terms).u / TENTH, "both walls by the one ball micrometer")
    low, high = acceptance_range(clearance_with(MIC).u, *LIMITS)
    assert (round(low / INCH, 5), round(high / INCH, 5)) == tuple(row("gauge set on the same micrometer"))


def test_ours_warm_block():
    warm = clearance_with(MIC, temperature=WARM)
    shown(warm.value / TENTH, "clearance at 20 °C", digits=1)
    shown(warm.u / TENTH, "its standard uncertainty")
    shown(conformance(warm.value, warm.u, *LIMITS), "the same, at 20 °C")
    cold = clearance_with(MIC)
    shown(conformance(cold.value, cold.u, *LIMITS), "probability of 0.0020 to 0.0030 in")


def test_ours_seven_mains():
    mains = [
        difference(
            bore(MIC, name=f"bore.{k}", clearance=row(f"main {k}")[0], temperature=WARM).estimate(),
            journal(name=f"journal.{k}", temperature=WARM).estimate(),
        )
        for k in range(1, 8)
    ]
    together = joint(mains, [LIMITS] * 7)
    shown(together.independent, "product of the seven", digits=3)
    shown(together.probability, "joint, with the causes")
    assert together.standard_error < 2e-4
    shown(correlation(mains)[0, 1], "correlation of two mains")
    shown(difference(mains[1], mains[0]).u / TENTH, "with the causes that they share")
    for k, main in enumerate(mains, 1):
        shown(conformance(main.value, main.u, *LIMITS), f"main {k}", column=1)


def test_ours_what_would_help():
    found = what_would_help(
        lambda a, b: a - b, [bore(OTHER, temperature=WARM), journal(temperature=WARM)], masters=(SET_RING,)
    )
    labels = (
        "set the bore gauge on the micrometer of the journal",
        "set it from the ring",
        "read the bore three times",
        "read the journal three times",
    )
    for help_, label in zip(found, labels, strict=False):
        assert (round(help_.u / TENTH, 2), round(help_.gain / TENTH, 2)) == tuple(row(label)), help_.action
    # The page says that waiting gains almost nothing once the temperature is known.
    assert "20 degC" in found[4].action
    assert found[4].gain < 0.01 * TENTH
