"""How sure, instruments and temperatures on the bench: pages without JavaScript, forms, and the API."""

import re
import shutil
import subprocess

import pytest

from benches import Served, entry


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    return Served(tmp_path_factory.mktemp("sure"))


@pytest.fixture
def own(tmp_path):
    return Served(tmp_path)


def test_the_page_of_a_finding_has_budget_bars_help_rule_and_instruments(served):
    with served.client() as ask:
        page = ask.get("/e/marigold/how/main.4/main-oil-clearance").text
    for words in ("What its doubt is made of", "scale of Bore gauge 2-6 in, short",
                  "Cancels, since it is in all of it alike: scale of Micrometer",
                  "What would help most", "three times at each of 2 places", "How it was judged", "Fits from 0.95, out from 0.05 down",
                  "All of its kind at once", "main 4 less main 3", 'href="/instruments/bore-gauge-s"'):
        assert words in page, words
    assert page.count('<svg class="share"') == 6  # a bar for each cause that does not cancel
    first, second = (float(w) for w in re.findall(r'<rect width="([\d.]+)"', page)[:2])
    assert first == 100.0 > second  # the largest is as wide as its place


def test_the_station_says_how_sure_and_leads_on(served):
    with served.client() as ask:
        page = ask.get("/e/marigold/station/main.4").text
        assert "standard 0.63 tenths" in page
        assert 'href="/e/marigold/how/main.4/main-oil-clearance"' in page
        assert "Read the inside diameter with the shells in at main 4 three times" in page  # it is too close to call
        assert "rule: fits from 0.95" in page


def test_an_overdue_instrument_is_named_wherever_it_reaches(served):
    with served.client() as ask:
        for path in ("/e/marigold/station/crank", "/e/marigold/sure", "/e/marigold/how/crank/crank-run-out", "/instruments/test-dial"):
            page = ask.get(path).text
            assert "Test indicator" in page, path
            assert "was due on 2026-02-15" in page, path
        rows = ask.get("/api/engines/marigold/findings?only=crank-run-out").json()
        assert [(u["instrument"], u["role"], u["state"]) for u in rows[0]["instruments"]] == [("test-dial", "read with", "overdue")]
        assert "overdue" in ask.get("/instruments").text


def test_kestrels_block_was_read_warm_and_the_page_says_by_how_much(served):
    """69.018 mm of aluminium casting at 27.0 °C against steel at 20.4 °C: (22e-6 x 7 - 11.5e-6 x 0.4) x 69 mm = 10.3 µm."""
    with served.client() as ask:
        page = ask.get("/e/kestrel/sure").text
        found = ask.get("/api/engines/kestrel/temperatures").json()
    (row,) = [e for e in found["effect"] if e["material"] == "aluminium casting"]
    assert (row["celsius"], row["gauge"], row["unit"], row["origin"]) == (27.0, pytest.approx(20.4), "µm", "noted")
    assert row["most"] == pytest.approx(-10.3, abs=0.05)
    assert row["readings"] == 32  # six of each of five housings, and the one cap that was fitted
    assert "-10.3 µm" in page
    assert {n["where"] for n in found["notes"]} == {"block", "shop air"}


def test_the_instrument_page_has_certificate_settings_and_use(served):
    with served.client() as ask:
        page = ask.get("/instruments/mic-75-100").text
        for words in ("Certificate C 2604", "12 January 2026", "+1.1", "99.000 mm", "Kestrel: ", "75 to 100 mm", "certificate, 6 points"):
            assert words in page, words
        assert ask.get("/instruments/nothing").status_code == 422
        record = ask.get("/api/instruments/mic-75-100").json()
        assert [p["correction_value"] for p in record["certificates"][0]["points"]] == pytest.approx([0, 0.6, 1.1, 0.8, -0.4, -1.2])
        assert record["certificates"][0]["points"][0]["u"] == pytest.approx(1.0)  # U = 2 µm with k = 2


def test_an_instrument_is_listed_carded_and_certified_by_forms_alone(own):
    with own.client() as ask:
        wrong = ask.post("/instruments/add", data={"kind": "outside-micrometer", "instrument": "mic 4"})
        assert (wrong.status_code, "is no id of an instrument" in wrong.text) == (422, True)
        assert 'value="mic 4"' in wrong.text  # what was typed stays
        card = {"kind": "outside-micrometer", "instrument": "mic-4-5", "range_from": "4 in", "range_to": "5 in"}
        made = ask.post("/instruments/add", data=card)
        assert (made.status_code, made.headers["location"]) == (303, "/instruments/mic-4-5")
        assert ask.post("/instruments/mic-4-5/card", data={"hand": "Tom Arden", "due": "2027-03-01"}).status_code == 303
        bare = ask.post("/instruments/mic-4-5/card", data={"limit_of_error": "1.5"})
        assert (bare.status_code, "needs its unit" in bare.text) == (422, True)
        lines = "size (in), correction (tenths), uncertainty (tenths)\n4.0, 0.2, 0.5\n5.0, -0.3, 0.6\n"
        said = {"day": "2026-01-12", "due": "2027-01-31", "certificate": "C 9", "coverage": "2", "points": lines}
        assert ask.post("/instruments/mic-4-5/certificate", data=said).status_code == 303
        for day, words in (("soon", "is no date"), ("", "is no date")):
            assert words in ask.post("/instruments/mic-4-5/certificate", data=said | {"day": day}).text
        assert "type each line" in ask.post("/instruments/mic-4-5/certificate", data={"day": "2026-01-12"}).text
        file = {"file": ("c.csv", b"size (mm);error (\xc2\xb5m);uncertainty (\xc2\xb5m)\n101,6;1,5;2\n127;-1;2\n", "text/csv")}
        assert ask.post("/instruments/mic-4-5/certificate", data={"day": "2026-06-01"}, files=file).status_code == 303
        record = ask.get("/api/instruments/mic-4-5?units=metric").json()
    assert (record["hand"], record["range"], record["due"]) == ("Tom Arden", "101.6 to 127 mm", "2027-01-31")
    latest, first = record["certificates"]
    assert [(p["size"], p["correction"]) for p in latest["points"]] == [("101.600 mm", "-1.5"), ("127.000 mm", "+1")]
    assert (first["certificate"], len(first["points"])) == ("C 9", 2)


def test_temperatures_are_noted_by_form_file_api_and_a_device(own):
    with own.client() as ask:
        assert ask.post("/temperature/note", data={"text": "68"}).status_code == 303
        assert "Temperature log" in ask.get("/temperature").text
        assert ask.post("/temperature/note", data={"text": "hot"}).status_code == 422
        file = {"file": ("log.csv", "time,temperature (°C)\n2026-05-04 07:00,18.0\n2026-05-04 08:00,19.0\n".encode(), "text/csv")}
        assert ask.post("/temperature/note", files=file).status_code == 303
        assert ask.post("/e/kestrel/temperature", data={"where": "crank", "text": "24", "when": "2026-05-04T08:00"}).status_code == 303
        assert ask.post("/e/kestrel/temperature", data={"where": "main.9", "text": "24"}).status_code == 422
        sent = entry(1, "temperature.noted", {"where": "block", "text": "30 °C"})
        assert ask.post("/api/engines/kestrel/entries", json=[sent]).json()[0]["state"] == "saved"
        asked = ask.post("/api/engines/kestrel/temperatures", json=[{"text": "31 °C", "where": "block", "when": "2026-05-04T10:30"}])
        assert asked.json() == {"entries": 1}
        again = ask.post("/api/engines/kestrel/temperatures", json=[{"text": "31 °C", "where": "block", "when": "2026-05-04T10:30"}])
        assert again.json() == {"entries": 0}
        notes = ask.get("/api/engines/kestrel/temperatures").json()["notes"]
        air = ask.get("/api/temperatures").json()["notes"]
    assert [(n["where"], n["celsius"]) for n in notes[:3]] == [("block", 31.0), ("block", 30.0), ("crank", 24.0)]  # metric: 24 is °C
    assert [n["celsius"] for n in air if n["when"].startswith("2026-05-04")] == [20.0, 19.0, 18.0]  # inches: 68 is °F


def test_a_certificate_sent_by_a_device_is_the_shops_and_reaches_the_engine_with_the_next_reading(own):
    sent = entry(2, "instrument.certified", {"instrument": "mic-2-3", "day": "2026-01-12", "points": [
        {"size": "2.5 in", "correction": "+0.5 tenths", "uncertainty": "0.6 tenths"}]})
    taken = entry(3, "reading.taken", {"station": "main.3", "feature": "journal", "text": "2.4890", "place": "3 front",
                                       "instrument": "mic-2-3"})
    with own.client() as ask:
        assert ask.post("/api/engines/marigold/entries", json=[sent]).json()[0]["state"] == "saved"
        before = [r["type"] for r in ask.get("/api/engines/marigold/log").json()]
        assert ask.post("/api/engines/marigold/entries", json=[taken]).json()[0]["state"] == "saved"
        after = [r["type"] for r in ask.get("/api/engines/marigold/log").json()]
    assert "instrument.certified" not in before
    assert after[len(before):] == ["instrument.certified", "reading.taken"]


def test_together_and_how_answer_in_both_systems(served):
    with served.client() as ask:
        at, both = "/api/engines/marigold", ("inch", "metric")
        inch, metric = (ask.get(f"{at}/together?only=main-oil-clearance&units={u}").json()[0] for u in both)
        how_inch, how_metric = (ask.get(f"{at}/how/main.3/main-oil-clearance?units={u}").json() for u in both)
        assert ask.get("/api/engines/marigold/together?only=clearance").status_code == 422
        assert ask.get("/e/marigold/how/main.3/clearance").status_code == 422
    assert (inch["doubt_unit"], metric["doubt_unit"]) == ("tenths", "µm")
    assert inch["together"] == metric["together"]
    assert how_metric["u"] == pytest.approx(how_inch["u"] * 2.54, rel=1e-9)  # a tenth is 2.54 µm


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext on this machine")
def test_the_record_has_it_all(served):
    with served.client() as ask:
        pdf = ask.get("/e/kestrel/record.pdf").content
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    for words in ("All of a kind at once", "Differences: main oil clearance, predicted", "How warm it was",
                  "32 readings of aluminium casting at 27.0 °C, gauge at 20.4 °C (from the log), brought to 20 °C: by at most -10.3 µm",
                  "What the doubt is made of", "would help most"):
        assert words in " ".join(text.split()), words
