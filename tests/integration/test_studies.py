"""Studies of gauges from end to end: a table or a device in, published figures out, and into the doubt of findings."""

import json
import math

import msgspec
import pytest

from benches import Served, entry
from hand import INCH, TENTH, hand
from shops import shop_in_memory
from tenths.errors import BadInput, Refused
from tenths.findings.instruments import InstrumentBook
from tenths.logbook import bodies
from tenths.metrology.coverage import effective_freedom
from tenths.record.charts import chart_of
from tenths.record.study import study_pdf
from tenths.services import commands, studies
from tenths.services.demo import lay_demo
from tenths.services.shop import SHOP
from tenths.services.study_form import card_of
from tenths.services.study_import import import_study
from tenths.services.study_results import study_answer

# Ten parts, three people, three trials (AIAG, Measurement Systems Analysis, chapter III); each line one trial.
AIAG = """
0.29 -0.56 1.34 0.47 -0.80 0.02 0.59 -0.31 2.26 -1.36
0.41 -0.68 1.17 0.50 -0.92 -0.11 0.75 -0.20 1.99 -1.25
0.64 -0.58 1.27 0.64 -0.84 -0.21 0.66 -0.17 2.01 -1.31
0.08 -0.47 1.19 0.01 -0.56 -0.20 0.47 -0.63 1.80 -1.68
0.25 -1.22 0.94 1.03 -1.20 0.22 0.55 0.08 2.12 -1.62
0.07 -0.68 1.34 0.20 -1.28 0.06 0.83 -0.34 2.19 -1.50
0.04 -1.38 0.88 0.14 -1.46 -0.29 0.02 -0.46 1.77 -1.49
-0.11 -1.13 1.09 0.20 -1.07 -0.67 0.01 -0.56 1.45 -1.77
-0.15 -0.96 0.67 0.11 -1.45 -0.49 0.21 -0.49 1.87 -2.16
"""
LINEARITY = {  # the same book's example: five masters, twelve readings each
    2: "2.7 2.5 2.4 2.5 2.7 2.3 2.5 2.5 2.4 2.4 2.6 2.4", 4: "5.1 3.9 4.2 5.0 3.8 3.9 3.9 3.9 3.9 4.0 4.1 3.8",
    6: "5.8 5.7 5.9 5.9 6.0 6.1 6.0 6.1 6.4 6.3 6.0 6.1", 8: "7.6 7.7 7.8 7.7 7.8 7.8 7.8 7.7 7.8 7.5 7.6 7.7",
    10: "9.1 9.3 9.5 9.3 9.4 9.5 9.5 9.5 9.6 9.2 9.3 9.4",
}


def aiag_table(add=20.0):
    lines = [line.split() for line in AIAG.strip().splitlines()]
    rows = ["Part;Operator;Trial;Reading (mm)"]
    rows += [f"{part};{'ABC'[n // 3]};{n % 3 + 1};{float(text) + add:.2f}" for n, line in enumerate(lines)
             for part, text in enumerate(line, 1)]
    return "\n".join(rows)


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    commands.list_instrument(made, bodies.InstrumentListed(instrument="mic", kind="outside-micrometer", name="Micrometer"))
    return made


def begun(shop, **card):
    usual = {"study": "s", "kind": "repeatability", "instrument": "mic", "parts": ("1", "2"), "people": ("A", "B"), "trials": 2}
    return msgspec.json.decode(studies.begin_study(shop, bodies.StudyBegun(**usual | card)).body)["study"]


def test_the_published_study_from_a_table_by_both_methods(shop, tmp_path):
    path = tmp_path / "hands.csv"
    path.write_text(aiag_table(), "utf-8")
    card = bodies.StudyBegun(study="", kind="repeatability", instrument="mic", parts=(), people=(), trials=0, unit="mm")
    assert import_study(shop, path, study="hands", card=card)[0] == 90
    answer = study_answer(shop, "hands")
    assert (answer["parts"], answer["people"], answer["trials"]) == ([str(n) for n in range(1, 11)], ["A", "B", "C"], 3)
    by_variance, by_range = answer["result"]["methods"]
    # published, from memory, in thousandths: 0.199933, 0.226838, 0.302373, 1.042327, 1.0853; 18.4, 20.9, 27.9, 96.0 %
    assert [r["deviation"] for r in by_variance["rows"]] == pytest.approx([199.933, 226.838, 302.373, 1042.327, 1085.300], abs=2e-3)
    assert [100 * r["share"] for r in by_variance["rows"]][:4] == pytest.approx([18.42, 20.90, 27.86, 96.04], abs=5e-3)
    assert (by_variance["pooled"], by_variance["categories"], by_range["categories"]) == (True, 4, 5)
    # published: 0.20188, 0.22963, 0.30575, 1.10456, 1.14610, with averages and factors rounded to four decimals
    assert [r["deviation"] for r in by_range["rows"]] == pytest.approx([201.88, 229.63, 305.75, 1104.56, 1146.10], abs=0.15)
    assert [line["squares"] / 1e6 for line in by_variance["table"]] == pytest.approx([88.3619, 3.1673, 0.3590, 3.1179], abs=6e-5)
    assert chart_of(answer).count("<circle") == 59  # thirty averages, thirty ranges of which one is crossed
    assert "part 4 by B" in answer["statement"][-1]  # 0.01, 1.03, 0.20


def test_the_same_table_doubles_nothing_and_a_wrong_row_takes_nothing(shop, tmp_path):
    path = tmp_path / "hands.csv"
    path.write_text("part,reader,trial,value\n1,A,1,2.1\n1,A,2,2.2\n2,A,1,2.4\n2,A,2,2.3\n", "utf-8")
    card = bodies.StudyBegun(study="", kind="repeatability", instrument="mic", parts=(), people=(), trials=0, unit="mm")
    assert [import_study(shop, path, study="h", card=card)[0] for _ in range(2)] == [4, 0]
    assert len(study_answer(shop, "h")["readings"]) == 4
    path.write_text("part,reader,trial,value\n1,A,1,2.1\n9,A,1,2.2\n2,A,1,two\n", "utf-8")
    with pytest.raises(BadInput, match=r"nothing was taken\. row 3: part: '9' is not in study h.*row 4"):
        import_study(shop, path, study="h")
    assert len(study_answer(shop, "h")["readings"]) == 4


def test_the_published_linearity_and_its_doubt(shop):
    name = begun(shop, kind="linearity", parts=tuple(f"m{n}" for n in LINEARITY), sizes=tuple(f"{n} mm" for n in LINEARITY),
                 people=("A",), trials=12, unit="mm")
    studies.read_study(shop, [bodies.StudyRead(study=name, part=f"m{n}", reader="A", trial=k, text=text)
                              for n, row in LINEARITY.items() for k, text in enumerate(row.split(), 1)])
    found = study_answer(shop, name)["result"]
    # published: bias = 0.737 - 0.132 x, R-sq 71.4 %; here in micrometres
    assert (found["line"]["intercept"], found["line"]["slope"]) == pytest.approx((736.7, -131.7), abs=0.5)
    assert found["line"]["explained"] == pytest.approx(0.714, abs=5e-4)
    # published averages of the bias: 0.4917, 0.1250, 0.0250, -0.2917, -0.6167
    assert [m["bias"] for m in found["masters"]] == pytest.approx([491.7, 125.0, 25.0, -291.7, -616.7], abs=0.1)


def test_a_chart_by_the_printed_factors(shop):
    name = begun(shop, kind="stability", parts=("ring",), people=("A",), trials=2, unit="mm", sizes=("20 mm",))
    pairs = [(20.000, 20.002), (20.001, 20.003), (20.002, 20.000), (20.009, 20.011)]
    for n, pair in enumerate(pairs, 1):
        assert studies.next_occasion(studies.study_named(shop, name)) == n
        studies.read_study(shop, studies.as_readings(studies.study_named(shop, name), "ring", "A", [f"{x:.3f}" for x in pair]))
    chart = study_answer(shop, name)["result"]["chart"]
    # by hand: averages 1, 2, 1, 10 and ranges all 2 um; A2 = 1.880, D4 = 3.267 for two [ISO 7870-2]
    assert chart["averages"] == pytest.approx([1, 2, 1, 10], abs=1e-6)
    assert (chart["centre"], chart["high"], chart["range_high"]) == pytest.approx((3.5, 3.5 + 1.880 * 2, 3.267 * 2), abs=1e-6)
    assert chart["outside"] == [3]
    assert study_answer(shop, name)["offer"] is None
    with pytest.raises(BadInput, match="nothing to take"):
        studies.accept_study(shop, name)


def spread_study(shop, instrument):
    """Two people, two parts, two trials: ranges of 2 tenths everywhere, people 4 tenths apart; worked out in the head.

    Repeatability: each pair ±1 tenth, so variance 2 over 4 freedoms; interaction none, pooled: 8 / 5 tenths squared.
    People: means 4 apart, 4 readings each: sum of squares 8 x 2^2 = 32 over 1; (32 - 8/5) / 4 = 7.6.
    """
    name = begun(shop, study="two", instrument=instrument, unit="in")
    rows = [(part, person, trial, base + shift + side) for part, base in (("1", 24000), ("2", 24010))
            for person, shift in (("A", 0), ("B", 4)) for trial, side in ((1, -1), (2, 1))]
    studies.read_study(shop, [bodies.StudyRead(study=name, part=part, reader=person, trial=trial, text=f"{x / 1e4:.4f}")
                              for part, person, trial, x in rows])
    return name


def test_what_is_taken_over_is_the_doubt_of_what_is_read_next(shop):
    one = hand(shop)
    name = spread_study(shop, "plain")
    answer = study_answer(shop, name)
    sigmas = [r["deviation"] for r in answer["result"]["methods"][0]["rows"][:2]]
    assert sigmas == pytest.approx([math.sqrt(8 / 5), math.sqrt(7.6)])
    one.clearance("main.1", 25)
    before = one.find("main-oil-clearance", "main.1")
    assert before.standard_uncertainty == pytest.approx(math.sqrt(2) * TENTH, rel=1e-9)
    studies.accept_study(shop, name, "agreed")
    one.clearance("main.2", 25)
    after = one.find("main-oil-clearance", "main.2")
    # one hand read both, so that what is its own falls out of the difference; the scatter of two readings stays
    assert after.standard_uncertainty == pytest.approx(math.sqrt(2 * 8 / 5) * TENTH, rel=2e-4)
    build = shop.build(one.engine)
    (journal,) = build.readings["main.2", "journal"]
    estimate = InstrumentBook(build).estimate(journal)
    assert estimate.parts["operator:Ada Quill/plain"] == pytest.approx(math.sqrt(7.6) * TENTH, rel=2e-4)
    # Satterthwaite: (32 - 8/5)^2 / (32^2 / 1 + (8/5)^2 / 5) freedoms for the people, but never under 1; 5 for the scatter
    assert estimate.freedom["operator:Ada Quill/plain"] == 1.0
    assert estimate.freedom[f"repeat:{journal.mark.entry}"] == 5.0
    assert effective_freedom(estimate) < 2
    line = next(e for e in shop.logbook.read(one.engine) if e.type == "study.accepted")
    assert json.loads(line.body)["study"] == "two"  # the engine's log stands alone


def test_a_bias_is_taken_off_what_is_read_next_and_its_doubt_is_shared(shop):
    one = hand(shop)
    name = begun(shop, kind="bias", instrument="plain", parts=("ring",), people=("Ada",), trials=4, unit="in", sizes=("2.4 in",),
                 uncertainties=("2 tenths",))
    studies.read_study(shop, studies.as_readings(studies.study_named(shop, name), "ring", "Ada", ["2.4003", "2.4005", "2.4003", "2.4005"]))
    (master,) = study_answer(shop, name)["result"]["masters"]
    # by hand: mean 4 tenths high; s = sqrt(4/3), over sqrt(4): sqrt(1/3); the master's 2 tenths are two sigma
    assert (master["bias"], master["from_scatter"], master["from_master"]) == pytest.approx((4, math.sqrt(1 / 3), 1), abs=1e-6)
    assert master["standard_uncertainty"] == pytest.approx(math.sqrt(4 / 3))
    assert master["freedom"] == pytest.approx(3 * 4**2)  # 3 (u / u_scatter)^4 = 3 x (2)^4
    studies.accept_study(shop, name)
    one.clearance("main.1", 25)
    build = shop.build(one.engine)
    (journal,) = build.readings["main.1", "journal"]
    estimate = InstrumentBook(build).estimate(journal)
    assert estimate.value == pytest.approx(2.3996 * INCH, rel=1e-9)
    assert estimate.parts["scale:plain"] == pytest.approx(math.sqrt(4 / 3) * TENTH, rel=1e-3)
    assert one.find("main-oil-clearance", "main.1").value == pytest.approx(25 * TENTH, rel=1e-6)


def test_the_order_is_blind_whole_and_the_same_everywhere(shop):
    name = begun(shop, parts=tuple("12345678"), trials=3)
    study = studies.study_named(shop, name)
    rows = studies.turns(study, "A")
    assert rows == studies.turns(study, "A")
    assert [r["trial"] for r in rows] == [1] * 8 + [2] * 8 + [3] * 8
    by_trial = [[r["part"] for r in rows if r["trial"] == n] for n in (1, 2, 3)]
    assert all(sorted(order) == list("12345678") for order in by_trial)
    assert len({tuple(order) for order in by_trial} | {tuple(r["part"] for r in studies.turns(study, "B"))}) == 4
    first = rows[0]
    studies.read_study(shop, [bodies.StudyRead(study=name, part=first["part"], reader="A", trial=1, text="2.0")])
    assert studies.turns(studies.study_named(shop, name), "A") == rows[1:]


def test_read_again_the_last_counts_and_both_stay(shop):
    name = begun(shop)
    for text in ("2.0001", "2.0002"):
        studies.read_study(shop, [bodies.StudyRead(study=name, part="1", reader="A", trial=1, text=text)])
    answer = study_answer(shop, name)
    assert (answer["read"], answer["again"]) == (1, 1)
    assert [(r["text"], r["counts"]) for r in answer["readings"]] == [("2.0001", False), ("2.0002", True)]
    assert "7 of 8" in answer["why"]


@pytest.mark.parametrize(("card", "says"), [
    ({"kind": "guess"}, "'guess' is not known"), ({"parts": ("1",)}, "2 to 30"), ({"trials": 1}, "trials: 1 is not taken"),
    ({"parts": ("1", "1")}, "a name of its own"), ({"instrument": "mic-9"}, "'mic-9' is not listed"), ({"tolerance": "-1 mm"}, "above 0"),
    ({"kind": "bias"}, "one for each"), ({"kind": "linearity", "sizes": ("1 in", "1 in")}, "different sizes"),
    ({"study": "a b"}, "is no name"), ({"people": tuple("ABCDEFGHIJKLM")}, "1 to 12")])
def test_what_cannot_be_a_study_is_said(shop, card, says):
    with pytest.raises(BadInput, match=says):
        begun(shop, **card)


def test_the_form_reads_parts_people_and_masters():
    card = card_of({"gauge": "mic", "kind": "linearity", "trials": "6", "people": "Ines Vale, Tom Arden",
                    "masters": "ring 2: 2.0000 in ± 0.5 tenths\n3.0000 in\n"})
    assert (card.parts, card.sizes) == (("ring 2", "3.0000 in"), ("2.0000 in", "3.0000 in"))
    assert card.uncertainties == ("0.5 tenths", "")
    assert card.people == ("Ines Vale", "Tom Arden")
    assert card_of({"gauge": "mic", "parts": "3", "trials": "2"}).parts == ("1", "2", "3")
    assert card_of({"gauge": "mic", "parts": "north, south", "trials": "2"}).parts == ("north", "south")
    with pytest.raises(BadInput, match="trials: 'x'"):
        card_of({"gauge": "mic", "parts": "3", "trials": "x"})


# -- devices and pages ---------------------------------------------------------------------------------------------------

@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


def turn(n, part, trial, text, **more):
    body = {"study": "bore-gauge-s-rings", "part": part, "reader": "Ines Vale", "trial": trial, "text": text}
    return entry(n, "study.read", body | more)


def test_a_device_sends_readings_takes_the_result_over_and_what_changed_since_is_refused(served):
    with served.client() as ask:
        rows = [turn(n, "ring 3.0000 in", n, f"3.000{n}") for n in range(1, 6)]
        for _ in range(2):  # sent twice, taken once
            told = ask.post("/api/engines/shop/entries", json=rows).json()
            assert {row["state"] for row in told} == {"saved"}
        answer = ask.get("/api/studies/bore-gauge-s-rings").json()
        assert (answer["read"], answer["wanted"], answer["again"]) == (15, 15, 0)
        stale = answer["offer"]
        assert ask.post("/api/engines/shop/entries", json=[turn(6, "ring 3.0000 in", 5, "3.0009")]).json()[0]["state"] == "saved"
        (refused,) = ask.post("/api/engines/shop/entries", json=[entry(7, "study.accepted", stale)]).json()
        assert refused["state"] == "refused"
        assert "look again" in refused["why"]
        fresh = ask.get("/api/studies/bore-gauge-s-rings").json()["offer"]
        (taken,) = ask.post("/api/engines/shop/entries", json=[entry(8, "study.accepted", fresh)]).json()
        assert taken["state"] == "saved"
        assert ask.get("/api/studies/bore-gauge-s-rings").json()["accepted"]["person"] == "Ines Vale"
        (wrong,) = ask.post("/api/engines/shop/entries", json=[turn(9, "ring 9", 1, "3.0009")]).json()
        assert "'ring 9' is not in study" in wrong["why"]


@pytest.mark.parametrize("path", ["/studies", "/studies/mic-2-3-hands", "/studies/mic-2-3-hands?units=metric", "/studies/mic-2-3-weekly",
                                  "/studies/bore-gauge-s-rings", "/studies/bore-gauge-s-rings/tray", "/studies/mic-2-3-hands/tray"])
def test_its_pages_can_be_read_without_a_script(served, path):
    with served.client() as ask:
        answer = ask.get(path)
    assert answer.status_code == 200, answer.text[:500]
    assert answer.headers["content-type"].startswith("text/html")


def test_pages_say_what_the_study_says_and_lead_on(served):
    with served.client() as ask:
        assert "/studies" in ask.get("/").text
        page = ask.get("/studies/mic-2-3-hands").text
        assert "One reading by one person repeats to" in page
        assert "<svg" in page
        assert ask.get("/studies/nothing").status_code == 422
        assert "ring 3.0000 in: read 0 times" in ask.get("/studies/bore-gauge-s-rings").text.lower()
        begin = {"gauge": "mic-0-1", "kind": "bias", "trials": "5", "masters": "ring: 0.5000 in", "people": "Ines Vale"}
        assert ask.post("/studies/begin", data=begin).headers["location"] == "/studies/mic-0-1-bias-1"
        wrong = ask.post("/studies/begin", data=begin | {"masters": ""})
        assert wrong.status_code == 422
        assert "a study of bias needs them" in wrong.text


@pytest.mark.parametrize("units", ["", "metric"])
def test_every_study_prints(tmp_path, units):
    shop = shop_in_memory(tmp_path)
    lay_demo(shop)
    for name in shop.build(SHOP).studies:
        assert study_pdf(shop, name, units=units).startswith(b"%PDF-")


def test_nobody_takes_over_what_was_not_shown(shop):
    name = spread_study(shop, "mic")
    offer = bodies.StudyAccepted(**study_answer(shop, name)["offer"] | {"points": ()})
    from tenths.services.study_results import look_accepted

    look_accepted(shop, offer)
    with pytest.raises(Refused, match="look again"):
        look_accepted(shop, msgspec.structs.replace(offer, repeatability="0.1 tenths"))


def test_the_log_says_it_in_sentences(shop):
    from tenths.services.questions import log

    studies.accept_study(shop, spread_study(shop, "mic"))
    said = [row["sentence"] for row in log(shop, SHOP)]
    assert said[1] == "repeatability study two of mic begun"
    assert said[2] == "study two: 1, trial 1 by A: 2.3999"
    assert said[-1] == "study two taken into the record of mic: repeatability 1.265 tenths, reproducibility 2.757 tenths"
