"""The figures of the worked page, through entries, services and the command line.

Expected values: docs/how-sure.md, which another test recomputes by a general library and by trial; and closed forms here.
"""

import json
import re
from math import sqrt

import pytest

from shops import shop_in_memory
from tenths.cli import run
from tenths.errors import BadInput
from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.how import how
from tenths.services.questions import findings
from tenths.services.shop import SHOP
from tenths.services.together import together

CLEARANCE = "main-oil-clearance"
RULES = '[temperature]\nthermometer = "0.5 K"\npart-to-gauge = "0 K"\n'
TENTHS = (22.4, 22.5, 22.4, 22.5, 22.4, 22.5, 22.5)  # clearances as read in the page's warm block
INSTRUMENTS = (("mic", "outside-micrometer", "2-3 micrometer"), ("other", "outside-micrometer", "second micrometer"),
               ("gauge", "bore-gauge", "bore gauge"), ("ring", "ring", "2.4400 ring"))


def bench(folder, master, *, clearances=(22.0,), temperature="", house=RULES, units="inch"):
    """An engine of seven mains read as on the page; its journals by ``mic``, its bores by a gauge set from a master."""
    shop = shop_in_memory(folder)
    for key, kind, name in INSTRUMENTS:
        commands.list_instrument(shop, bodies.InstrumentListed(instrument=key, kind=kind, name=name))
    engine = commands.open_engine(shop, name="Page", layout="inline-6", units=units)
    commands.adopt_house_rules(shop, house, engine)
    commands.part(shop, engine, bodies.PartListed(part="b", kind="block", material="aluminium"),
                  bodies.PartListed(part="c", kind="crank", material="crank steel"),
                  bodies.PartFitted(slot="block", part="b", all_along=True), bodies.PartFitted(slot="crank", part="c", all_along=True))
    commands.state(shop, engine, bodies.LimitStated(station="main.*", characteristic=CLEARANCE, lower="0.0020 in", upper="0.0030 in"))
    if master:
        commands.set_instrument(shop, engine, instrument="gauge", master=master, size="2.4500 in")
    for number, tenths in enumerate(clearances, 1):
        read = {"station": f"main.{number}", "temperature": temperature}
        commands.take_readings(shop, engine, [
            bodies.ReadingTaken(feature="journal", text="2.4478 in", instrument="mic", place="1 front", **read),
            bodies.ReadingTaken(feature="installed-bore", text=f"{2.4478 + tenths * 1e-4:.5f} in", instrument="gauge",
                                place="B front", **read)])
    return shop, engine


# the page: 0.87, 1.50 and 1.25 tenths
@pytest.mark.parametrize(("master", "doubt"), [("mic", 0.87), ("other", 1.50), ("ring", 1.25)])
def test_a_clearance_by_the_three_ways_of_setting_the_gauge(tmp_path, master, doubt):
    shop, engine = bench(tmp_path, master)
    answer = how(shop, engine, "main.1", CLEARANCE)
    assert (round(answer["u"], 2), answer["doubt_unit"]) == (doubt, "tenths")
    assert answer["u_text"] == f"{doubt:.2g} tenths"


# limit / sqrt 3, step / sqrt 12, scatter and setting as the page has them, in tenths
PARTS = {"scale of bore gauge": 0.5 / sqrt(3), "repeatability: inside diameter with the shells in, main 1": 0.5,
         "repeatability: journal diameter, main 1": 0.4, "last figure: journal diameter, main 1": 1 / sqrt(12),
         "last figure: inside diameter with the shells in, main 1": 1 / sqrt(12),
         "setting bore gauge from 2-3 micrometer to 2.4500 in": 0.3}


def test_its_budget_has_each_cause_largest_first_and_names_what_cancels(tmp_path):
    shop, engine = bench(tmp_path, "mic")
    rows = how(shop, engine, "main.1", CLEARANCE)["budget"]
    assert {r["words"]: pytest.approx(abs(r["part"])) for r in rows if not r["cancels"]} == PARTS
    assert [r["words"] for r in rows if r["cancels"]] == ["scale of 2-3 micrometer"]
    assert rows[-1]["cancels"]
    shares = [r["share"] for r in rows]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1)
    assert rows[0]["share"] == pytest.approx(0.25 / sum(p * p for p in PARTS.values()))


def test_the_same_in_a_metric_shop_is_in_micrometres(tmp_path):
    shop, engine = bench(tmp_path, "mic")
    answer = how(shop, engine, "main.1", CLEARANCE, "metric")
    assert answer["doubt_unit"] == "µm"
    assert answer["u"] == pytest.approx(sqrt(sum(p * p for p in PARTS.values())) * 2.54, rel=1e-9)


# the page's table "what would help": afterwards and gain, in tenths, from 1.51
HELPS = {
    "set bore gauge from 2-3 micrometer": (0.88, 0.63), "set bore gauge from 2.4400 ring": (1.26, 0.25),
    "read the inside diameter with the shells in at main 1 three times": (1.45, 0.06),
    "read the journal diameter at main 1 three times": (1.47, 0.04),
}


def test_what_would_help_most_with_its_gain_in_tenths(tmp_path):
    shop, engine = bench(tmp_path, "other", temperature="80 °F")
    commands.set_instrument(shop, engine, instrument="gauge", master="ring", size="2.4500 in")  # the ring is of that size
    answer = how(shop, engine, "main.1", CLEARANCE)
    assert round(answer["u"], 2) == 1.51
    assert {h["words"]: (round(h["u"], 2), round(h["gain"], 2)) for h in answer["helps"]} == HELPS
    gains = [h["gain"] for h in answer["helps"]]
    assert gains == sorted(gains, reverse=True)


def test_a_stated_size_and_an_unread_thermometer_are_worth_a_reading(tmp_path):
    shop, engine = bench(tmp_path, "mic", house="")
    shop.append(engine, bodies.TemperatureNoted(where="block", text="100 °F"))
    commands.state(shop, engine, bodies.SizeStated(station="main.2", feature="journal", text="2.4478 in", tolerance="0.0005 in"))
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="main.2", feature="installed-bore", text="2.4500 in",
                                                            instrument="gauge", place="B front"))
    rows = {h["kind"]: h for h in how(shop, engine, "main.2", CLEARANCE)["helps"]}
    assert rows["measure"]["words"] == "measure the journal diameter at main 2, instead of taking the sheet's word"
    # the sheet's 5 tenths over sqrt 3 go; what a usual micrometer leaves is 1.00 (the page's first table)
    gone, comes = 5 / sqrt(3), sqrt(1.5**2 / 3 + 1 / 12 + 0.4**2)
    before = how(shop, engine, "main.2", CLEARANCE)["u"]
    assert rows["measure"]["u"] == pytest.approx(sqrt(before**2 - gone**2 + comes**2), rel=2e-3)


def test_waiting_takes_away_what_the_expansions_add(tmp_path):
    """At 140 °F, 40 K too warm: what is doubtful of aluminium and of the crank's steel goes, the thermometer's stays.

    In tenths: 24500 x 40 x 1e-6 / sqrt 3 for the aluminium, 24478 x 40 x 0.5e-6 / sqrt 3 for the crank, 24500 x 11.5e-6 x
    0.5 K for the thermometer; the steel of gauge and micrometer cancels.
    """
    shop, engine = bench(tmp_path, "mic", temperature="140 °F")
    answer = how(shop, engine, "main.1", CLEARANCE)
    cold, aluminium, crank, thermometer = 0.75, (0.98 / sqrt(3)) ** 2, (0.48956 / sqrt(3)) ** 2, 0.140875**2
    assert answer["u"] == pytest.approx(sqrt(cold + aluminium + crank + thermometer), rel=1e-4)
    wait = next(h for h in answer["helps"] if h["kind"] == "wait")
    assert wait["words"] == "wait until the parts are at 20 °C (68 °F)"
    assert wait["u"] == pytest.approx(sqrt(cold + thermometer), rel=1e-4)


# -- judged ------------------------------------------------------------------------------------------------------------

# the page: 0.00214 to 0.00286 with the gauge set on the same micrometer
def test_the_rule_says_between_which_values_it_would_accept(tmp_path):
    shop, engine = bench(tmp_path, "mic")
    rule = how(shop, engine, "main.1", CLEARANCE)["rule"]
    low, high = (round(float(rule[key].removesuffix(" in")), 5) for key in ("accept_from", "accept_to"))
    assert (low, high) == (0.00214, 0.00286)
    assert rule["edition"] == ""


# guard bands in u: 1.645 is the standard normal's 0.95 quantile, 2 the k of the earlier editions; 22 tenths less 20 are 2,
# and u is 0.866
@pytest.mark.parametrize(("decision", "name", "edition", "verdict"), [
    ('iso-14253-1 = "2017"', "ISO 14253-1:2017", "2017", "fits"),  # 1.645 x 0.866 = 1.42
    ('iso-14253-1 = "2013"', "ISO 14253-1:2013", "2013", "fits"),  # 1.73
    ('iso-14253-1 = "2017"\nprobability = 0.995', "ISO 14253-1:2017", "2017", "too close to call"),  # 2.576 x 0.866 = 2.23
    ("guard = 2.5", "guard band 2.5 u", "", "too close to call"),  # 2.17
    ('width = "1.9 tenths"', "guard band 1.9 tenths", "", "fits"),
    ('width = "2.1 tenths"', "guard band 2.1 tenths", "", "too close to call"),
    ('guard = 1\nwidth = "1.2 tenths"', "guard band 1 u + 1.2 tenths", "", "too close to call"),  # 0.87 + 1.2
    ("simple = true", "simple acceptance", "", "fits"),
    ("accept = 0.999\nreject = 0.001", "fits from 0.999, out from 0.001 down", "", "too close to call"),
])
def test_the_rule_of_the_house_judges_and_stands_with_each_verdict(tmp_path, decision, name, edition, verdict):
    shop, engine = bench(tmp_path, "mic", house=f"[decision]\n{decision}\n")
    (row,) = [f for f in findings(shop, engine, only=[CLEARANCE]) if f["station"] == "main.1"]
    assert (row["rule"], row["edition"], row["verdict"]) == (name, edition, verdict)


def test_a_guard_band_of_fixed_width_is_of_lengths_only(tmp_path):
    shop, engine = bench(tmp_path, "mic", house='[decision]\nwidth = "50 in"\n')
    rows = {f.characteristic.name: f for f in check(shop.build(engine)) if f.limits.given and f.estimate}
    assert rows[CLEARANCE].verdict == "too close to call"
    commands.take_reading(shop, engine, bodies.ReadingTaken(station="cyl.1", feature="bore", text="4.0000 in", place="gauge thrust"))
    commands.state(shop, engine, bodies.SizeStated(station="pin.*", feature="stroke", text="3.0000 in"),
                   bodies.SizeStated(station="rod.*", feature="rod-length", text="6.0000 in"),
                   bodies.LimitStated(station="cyl.*", characteristic="rod-ratio", lower="1.5"))
    ratio = next(f for f in check(shop.build(engine), ["rod-ratio"]) if f.station == "cyl.1")
    assert ratio.verdict == "fits"  # 2.0, with no guard band at all


@pytest.mark.parametrize(("decision", "says"), [
    ('iso-14253-1 = "2020"', "edition 2020"), ("probability = 0.99", "goes with iso-14253-1"),
    ('iso-14253-1 = "2013"\nprobability = 0.99', "does not go with edition 2013"),
    ('guard = 2\niso-14253-1 = "2017"', "do not go together"), ("width = 2", "as text with its unit"),
    ("simple = 1", "true is taken"), ("accept = true", "is no number"), ("gaurd = 2", "'gaurd' is not known"),
])
def test_a_rule_that_cannot_be_is_refused_by_name(tmp_path, decision, says):
    shop = shop_in_memory(tmp_path)
    with pytest.raises(BadInput, match=says):
        commands.adopt_house_rules(shop, f"[decision]\n{decision}\n")


def test_the_way_of_carrying_doubt_stands_with_its_reason(tmp_path):
    shop, engine = bench(tmp_path, "mic")
    method = how(shop, engine, "main.1", CLEARANCE)["method"]
    assert (method["name"], method["trials"]) == ("linear", 0)
    assert "straight" in method["reason"]
    size = how(shop, engine, "main.1", "main-journal-size")["method"]
    # one reading whose limit of error (0.866) rules: excess -1.2 (0.866^4 + 0.289^4) / 1.0^2 is past -0.25
    assert size["name"] == "by trial"
    assert "scale of 2-3 micrometer (rectangular) rules" in size["reason"]
    assert size["trials"] >= 20_000


# -- together ----------------------------------------------------------------------------------------------------------

# the page: 0.125 as a product, 0.25 with what they share, correlation 0.26, difference 1.07 and 1.25 tenths
def test_seven_mains_at_once_and_their_differences(tmp_path):
    shop, engine = bench(tmp_path, "mic", clearances=TENTHS, temperature="80 °F")
    (row,) = together(shop, engine, CLEARANCE, pairs=True)
    assert (row["count"], row["of"]) == (7, 7)
    assert round(row["independent"], 3) == 0.125
    assert round(row["together"], 2) == 0.25
    assert re.fullmatch(r"All 7 within their limits at once: 2[45]\.\d %; 12\.5 % if they had nothing in common\.",
                        row["words_together"])
    assert len(row["differences"]) == 21
    first = row["differences"][0]
    assert (first["first"], first["second"], first["u"], first["u_if_independent"]) == ("main.1", "main.2", "1.1 tenths", "1.2 tenths")
    assert round(first["correlation"], 2) == 0.26
    assert {f["station"]: round(f["probability"], 2) for f in findings(shop, engine, only=[CLEARANCE])} == {
        f"main.{n}": {22.4: 0.72, 22.5: 0.76}[t] for n, t in enumerate(TENTHS, 1)}


def test_neighbours_and_the_two_that_differ_most(tmp_path):
    shop, engine = bench(tmp_path, "mic", clearances=(22, 25, 23, 27, 24, 24, 22))
    (row,) = together(shop, engine, CLEARANCE)
    assert len(row["differences"]) == 7  # six neighbours, and main 4 less main 1
    (most,) = [d for d in row["differences"] if d["most"]]
    assert (most["words"], most["value"], most["differ"]) == ("main 4 less main 1", "5.0 tenths", True)


def test_what_cannot_be_said_together_is_refused_by_name(tmp_path):
    shop, engine = bench(tmp_path, "mic")
    with pytest.raises(BadInput, match="not measured with limits at two places"):
        together(shop, engine, CLEARANCE)
    with pytest.raises(BadInput, match="'clearance' is not known"):
        together(shop, engine, "clearance")
    with pytest.raises(BadInput, match=r"nothing is judged at 'main.9'; near: main"):
        how(shop, engine, "main.9", CLEARANCE)
    with pytest.raises(BadInput, match=r"'bore-size' is not judged at main\.1"):
        how(shop, engine, "main.1", "bore-size")


# -- on the command line -----------------------------------------------------------------------------------------------

def test_from_a_certificate_to_the_finding_on_the_command_line(tmp_path, capsys):
    """One process after the other: list, certify by a table, set, read warm, ask how sure, ask for all at once."""
    shop = ["--shop", str(tmp_path)]
    (tmp_path / "mic.csv").write_text("size (in);error (tenths);uncertainty (tenths)\n2;-1;0.6\n3;-1;0.6\n", "utf-8")
    for words in (
        ["new", "Page", "--layout", "inline-3", "--units", "inch"],
        ["instruments", "add", "mic", "outside-micrometer", "--name", "2-3 micrometer", "--range-from", "2 in", "--range-to", "3 in"],
        ["instruments", "certify", "mic", "--day", "2026-01-12", "--due", "2026-02-01", "--from", str(tmp_path / "mic.csv")],
        ["instruments", "add", "gauge", "bore-gauge", "--name", "bore gauge"],
        ["limit", "page", "main.*", CLEARANCE, "--lower", "0.0020", "--upper", "0.0030"],
        ["temperature", "note", "80 °F", "--where", "block", "--engine", "page"],
        ["set", "page", "gauge", "mic", "2.4500"],
        ["read", "page", "main.1", "journal", "2.4478", "--place", "1 front", "--with", "mic"],
        ["read", "page", "main.1", "installed-bore", "0 tenths", "--place", "B front", "--with", "gauge", "--set-to", "2.4500"],
        ["read", "page", "main.2", "journal", "2.4478", "--place", "1 front", "--with", "mic"],
        ["read", "page", "main.2", "installed-bore", "2.4502", "--place", "B front", "--with", "gauge"],
    ):
        assert run([*shop, *words]) == 0, capsys.readouterr().err
    capsys.readouterr()
    assert run([*shop, "how", "page", "main.1", CLEARANCE, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert round(answer["u"], 2) == 0.87  # the scale cancels, whatever its certificate says
    used = {(u["instrument"], u["role"]): u["state"] for u in answer["finding"]["instruments"]}
    assert used["mic", "read with"] == used["mic", "set from"] == "overdue"
    assert run([*shop, "how", "page", "main.1", "main-journal-size"]) == 0
    said = capsys.readouterr().out
    assert "2.44790" in said  # an error of minus one tenth is a correction of plus one
    assert "calibration was due on 2026-02-01" in said
    assert run([*shop, "check", "page", "--json"]) == 0
    rows = {(r["characteristic"], r["station"]): r for r in json.loads(capsys.readouterr().out)}
    assert rows[CLEARANCE, "main.1"]["instruments"][0]["state"] == "overdue" or any(
        u["state"] == "overdue" for u in rows[CLEARANCE, "main.1"]["instruments"])
    assert any("was at 26.7 °C by the log" in w for w in rows[CLEARANCE, "main.1"]["warnings"])
    assert run([*shop, "together", "page", CLEARANCE]) == 0
    assert "main 2 less main 1" in capsys.readouterr().out


def test_a_loggers_file_goes_in_once(tmp_path, capsys):
    shop = ["--shop", str(tmp_path)]
    (tmp_path / "logger.csv").write_text("Time,Temperature (°C)\n2026-03-02 08:00,20.5\n2026-03-02 09:00,21.0\n", "utf-8")
    for said in ("2 of 2 noted", "0 of 2 noted; the others were there already"):
        assert run([*shop, "temperature", "import", str(tmp_path / "logger.csv")]) == 0
        assert said in capsys.readouterr().out
    (tmp_path / "bad.csv").write_text("time,temperature\n2026-03-02,warm\n", "utf-8")
    assert run([*shop, "temperature", "import", str(tmp_path / "bad.csv")]) == 2
    assert "warm" in capsys.readouterr().err
    assert run([*shop, "temperature", "log", "--json"]) == 0
    notes = json.loads(capsys.readouterr().out)["notes"]
    assert [(n["celsius"], n["when"]) for n in notes] == [(21.0, "2026-03-02T09:00:00Z"), (20.5, "2026-03-02T08:00:00Z")]


def test_a_rings_true_size_comes_from_its_certificate(tmp_path):
    """The ring marked 2.4500 is 0.3 tenths larger: what was read from it is as well."""
    shop, engine = bench(tmp_path, "ring")
    before = how(shop, engine, "main.1", CLEARANCE)["finding"]["value"]
    shop.append(SHOP, bodies.InstrumentCertified(instrument="ring", day="2026-01-05", points=(
        bodies.CertificatePoint(size="2.4500 in", correction="+0.3 tenths", uncertainty="0.2 tenths"),)))
    commands.set_instrument(shop, engine, instrument="gauge", master="ring", size="2.4500 in")
    answer = how(shop, engine, "main.1", CLEARANCE)
    assert answer["finding"]["value"] - before == pytest.approx(0.3e-4, rel=1e-6)
    master = next(r for r in answer["budget"] if r["kind"] == "master")
    assert (master["words"], abs(master["part"])) == ("size of 2.4400 ring", pytest.approx(0.1))
