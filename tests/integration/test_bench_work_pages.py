"""The pages of parts, money, customer and history: served, forms post, what is wrong is named, and who may."""

import csv
import html
import io
import json
import re

import pytest

from benches import Served, entry, reading
from tenths.logbook import bodies


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("work")).client() as client:
        yield client


# -- history -----------------------------------------------------------------------------------------------------------

def test_the_history_offers_what_was_measured_and_shows_it_with_plots(ask):
    assert 'value="main-oil-clearance"' in ask.get("/history").text
    page = ask.get("/history?characteristic=main-oil-clearance&at=main.*&units=metric").text
    specs = json.loads(re.search(r'id="specs">(.*?)</script>', page)[1])
    told = ask.get("/api/history?characteristic=main-oil-clearance&at=main.*&units=metric").json()
    assert told["unit"] == "mm"
    assert [row["value"] for row in specs[0]["data"]["values"]] == [v["value"] for v in told["values"]]
    assert sum(row["count"] for row in specs[1]["data"]["values"]) == len(told["values"])
    picture = re.search(r'<noscript><img src="([^"]+)"', page)[1].replace("&amp;", "&")
    assert ask.get(picture).text.startswith("<svg")
    assert ask.get("/history/9.svg?characteristic=main-oil-clearance").status_code == 404


def test_the_history_says_what_it_does_not_know(ask):
    for query, said in (("characteristic=girth", "characteristic: 'girth' is not known"), ("size=3.5", "size: give the feature"),
                        ("characteristic=main-oil-clearance&engine=nobody", "engine: there is no 'nobody'"),
                        ("size=wide&feature=bore", "size: “wide” has")):
        answer = ask.get(f"/history?{query}")
        assert answer.status_code == 422, query
        assert said in html.unescape(answer.text), query


def test_engines_are_found_on_the_page(ask):
    page = ask.get("/history?part=nitrided").text
    assert 'href="/e/kestrel">Kestrel' in page
    assert 'href="/e/marigold">Marigold' not in page
    assert "No engine of this shop" in ask.get("/history?customer=nobody").text


# -- parts and shelf ---------------------------------------------------------------------------------------------------

@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


def test_parts_on_their_way_stand_with_what_they_hold_up_and_their_forms(ask):
    page = ask.get("/e/marigold/supply").text
    card = re.search(r'id="part-thrust-m2".*?</article>', page, re.DOTALL)[0]
    assert "days late" in card
    assert re.search(r"Holds up \d+ steps, first: End play", card)
    assert 'data-desk="/api/engines/marigold/desk/part-arrive"' in card
    assert 'href="/e/marigold/orders.pdf?supplier=Lowmoor%20Bearing%20Room"' in page
    for kind in ("head", "oil-pump"):
        assert f"/e/marigold/desk/part-list?kind={kind}" in page


def test_a_part_goes_its_way_from_the_order_to_the_shelf_by_forms_alone(served):
    at = "/e/marigold"
    with served.client() as ask:
        def send(form, **typed):
            answer = ask.post(f"{at}/desk/{form}", data={"back": f"{at}/supply", **typed})
            assert (answer.status_code, answer.headers.get("location")) == (303, f"{at}/supply"), answer.text

        def where():
            return next(r for r in ask.get("/api/engines/marigold/supply").json()["parts"] if r["part"] == "seal-r")

        send("part-list", part="seal-r", kind="seal", words="rear seal", where="to be ordered", supplier="Fenwick Gasket Works")
        assert "rear seal" in ask.get(f"{at}/orders.csv").text
        send("part-source", part="seal-r", supplier="Fenwick Gasket Works", number="F 77", cost="31.50", lead="3 5 12")
        assert ",F 77,rear seal,1,31.50,31.50,marigold," in ask.get(f"{at}/orders.csv?supplier=Fenwick%20Gasket%20Works").text
        assert ask.get(f"{at}/orders.pdf?supplier=Fenwick%20Gasket%20Works").content.startswith(b"%PDF-")
        send("part-order", part="seal-r", supplier="Fenwick Gasket Works", promised="2026-05-20", quantity="2")
        assert "rear seal" not in ask.get(f"{at}/orders.csv").text
        assert (where()["where"], where()["quantity"]) == ("on order", 2)
        send("part-promise", part="seal-r", promised="2026-05-28", why="press broken")
        send("part-arrive", part="seal-r")
        send("part-inspect", part="seal-r", fits="no", note="lip cut")
        assert where()["where"] == "refused"
        send("part-return", part="seal-r", reason="lip cut", supplier="Fenwick Gasket Works")
        assert "went back" in ask.get(f"{at}/orders.csv").text
        send("part-order", part="seal-r", supplier="Fenwick Gasket Works")
        send("part-arrive", part="seal-r")
        send("part-inspect", part="seal-r", fits="yes")
        send("part-shelve", part="seal-r", shelf="rack 2")
        assert (where()["where"], where()["shelf"]) == ("inspected", "rack 2")
        page = ask.get(f"{at}/supply").text
        assert "labels.pdf?shelves=rack%202" in page
        assert ask.get(f"{at}/part/seal-r").headers["location"] == f"{at}/supply#part-seal-r"


def test_work_goes_out_and_comes_back(served):
    with served.client() as ask:
        sent = {"work": "balance", "part": "crank-m", "supplier": "Fell Balancing", "words": "balance with damper", "cost": "240"}
        assert ask.post("/api/engines/marigold/desk/work-send", json=sent).status_code == 200
        assert "Crank" in re.search(r'<h2 id="h-absent">.*?</section>', ask.get("/e/marigold/supply").text, re.DOTALL)[0].title()
        wrong = ask.post("/api/engines/marigold/desk/work-back", json={"work": "coat", "fits": "yes"})
        assert (wrong.status_code, wrong.json()["error"]) == (422, "work: 'coat' is not out; out are balance")
        assert ask.post("/api/engines/marigold/desk/work-back", json={"work": "balance", "fits": "yes", "cost": "255"}).status_code == 200
        (row,) = ask.get("/api/engines/marigold/supply").json()["outside"]
        assert (row["fits"], row["cost"]) == (True, "255")


@pytest.mark.parametrize(("form", "typed", "at"), [
    ("part-order", {"part": "pistons-d10", "supplier": "Mill Lane Pistons", "cost": "1,250"}, "cost"),
    ("part-order", {"part": "pistons-d10", "supplier": "Mill Lane Pistons", "promised": "next week"}, "promised"),
    ("part-order", {"part": "pistons-d10", "supplier": "Mill Lane Pistons", "quantity": "0"}, "quantity"),
    ("part-order", {"part": "pistons-d10"}, "supplier"), ("part-source", {"part": "thrust-m2", "supplier": "A", "lead": "soon"}, "lead"),
    ("part-arrive", {"part": "no-such"}, "part"),
    ("part-list", {"part": "crank-m", "kind": "crank", "words": "x", "where": "on order"}, "part"),
])
def test_what_is_wrong_with_a_part_is_named_at_its_field_and_nothing_is_written(ask, form, typed, at):
    before = len(ask.get("/api/engines/marigold/log").json())
    answer = ask.post(f"/e/marigold/desk/{form}", data=typed)
    assert answer.status_code == 422
    assert re.search(rf'id="f-{form}-{at}-wrong" role="alert">{at}', answer.text), answer.text[-3000:]
    assert len(ask.get("/api/engines/marigold/log").json()) == before


def test_boxes_are_ordered_come_in_and_are_taken_for_an_engine(served):
    with served.client() as ask:
        def send(form, **typed):
            answer = ask.post(f"/api/desk/{form}", json=typed)
            assert answer.status_code == 200, answer.text

        assert ">order 1<" in ask.get("/shelf").text
        send("box-order", box="main-10x", count="1", promised="2026-05-20")
        assert ">order 1<" not in ask.get("/shelf").text
        send("box-come", box="main-10x", count="1")
        send("box-take", box="main-10x", engine="marigold", count="2", why="mains")
        page = ask.get("/shelf").text
        assert '2 for <a href="/e/marigold">marigold</a>' in page
        wrong = ask.post("/api/desk/box-take", json={"box": "main-10x", "engine": "marigold", "count": "5"})
        assert wrong.status_code == 422
        assert wrong.json()["error"].startswith("count: 5 of main-10x cannot go out")
        send("box-keep", box="rings-std", kind="ring", words="ring set", supplier="Mill Lane Pistons", cost="48", reorder_at="1",
             order_up_to="2")
        assert "ring set" in ask.get("/orders.csv?supplier=Mill%20Lane%20Pistons").text
        assert ask.get("/shelf/labels.pdf").content.startswith(b"%PDF-")
        send("tool-away", tool="torque-wrench", why="away for calibration", back="2026-06-20")
        assert "torque-wrench is there again" in ask.get("/shelf").text
        send("tool-there", tool="torque-wrench")
        assert "torque-wrench is there again" not in ask.get("/shelf").text


def test_boxes_of_an_accepted_order_stand_among_what_to_order_until_they_are_ordered(served):
    with served.client() as ask:
        pick = bodies.Pick(station="box.11", pick="2 boxes of 11")
        served.shop.append("marigold", bodies.ChoiceAccepted(question="main-order", picks=(pick,)))
        page = ask.get("/e/marigold/supply").text
        assert "main shells, 11" in page
        assert "Order 2 of main shells, 11" in page
        assert '"main shells, 11",2,,0.00,marigold,accepted for the mains' in ask.get("/orders.csv").text
        sent = {"accepted": "main-order:11", "supplier": "Lowmoor Bearing Room", "count": "2", "promised": "2026-06-01", "cost": "64"}
        assert ask.post("/api/engines/marigold/desk/order-accepted", json=sent).status_code == 200
        assert "main shells, 11" not in ask.get("/orders.csv").text
        wrong = ask.post("/api/engines/marigold/desk/order-accepted", json=sent)
        assert (wrong.status_code, wrong.json()["error"][:40]) == (422, "accepted: 'main-order:11' waits for no o")


def test_an_order_goes_to_a_supplier_who_has_something(ask):
    assert ask.get("/orders.pdf").status_code == 422
    answer = ask.get("/orders.pdf?supplier=Nobody")
    assert answer.status_code == 422
    assert "nothing is to be ordered from" in answer.text


def test_a_reader_sees_the_pages_but_no_form(served):
    for name, role in (("Ada", "owner"), ("Ben", "reader")):
        served.access.add_person(name, role, "a good long word")
    with served.client() as ask:
        ask.post("/sign-in", data={"person": "Ben", "password": "a good long word"})
        for path in ("/e/marigold/supply", "/shelf"):
            page = ask.get(path)
            assert page.status_code == 200
            assert "data-desk" not in page.text
            assert "/desk/" not in page.text
        assert ask.post("/api/desk/box-count", json={"box": "main-10", "count": "1"}).status_code == 403


# -- money -------------------------------------------------------------------------------------------------------------

def test_a_quote_goes_out_the_job_becomes_and_a_bill_follows(served):
    with served.client() as ask:
        def send(form, **typed):
            answer = ask.post(f"/e/marigold/desk/{form}", data={"back": "/e/marigold/money", **typed})
            assert answer.status_code == 303, answer.text

        send("quote-make", quote="Q 1", lines="hours; machine; 10; 110; machine\nother; freight; 1; 35.50", valid="2026-06-01")
        (quote,) = ask.get("/api/engines/marigold/papers").json()["quotes"]
        assert [(x["kind"], x["total"]) for x in quote["lines"]] == [("hours", "1\u202f100.00"), ("other", "35.50")]
        assert (quote["net"], quote["taxes"][0]["amount"], quote["total"]) == ("1\u202f135.50", "91.98", "1\u202f227.48")  # 8.1 %, by hand
        page = ask.get("/e/marigold/money").text
        assert "Quote Q 1, and what it became" in page
        assert 'class="beyond"' in page  # 11.5 hours of 10 were spent
        send("hours-book", operation="machine", hours="-2", note="counted twice")
        assert "<small>9.5 of 10 h</small>" in ask.get("/e/marigold/money").text
        send("invoice-make", invoice="B 1", basis="quoted")
        send("invoice-make", invoice="B 2", basis="became", due="2026-07-01")
        first, second = ask.get("/api/engines/marigold/papers").json()["invoices"]
        assert first["lines"] == quote["lines"]
        assert {x["about"]: x["quantity"] for x in second["lines"]}["machine"] == "9.5"
        for path in ("quote.pdf", "quote.pdf?number=Q%201&paper=letter", "bill.pdf", "bill.pdf?number=B%201"):
            assert ask.get(f"/e/marigold/{path}").content.startswith(b"%PDF-"), path
        assert ask.get("/e/marigold/bill.pdf?number=B%209").status_code == 422
        rows = list(csv.DictReader(io.StringIO(ask.get("/e/marigold/money.csv").text)))
        assert sum(float(r["total"]) for r in rows if r["paper"] == "quote Q 1" and r["kind"] != "tax") == pytest.approx(1135.50)
        assert {r["engine"] for r in csv.DictReader(io.StringIO(ask.get("/money.csv").text))} == {"marigold", "kestrel"}


def test_the_lines_that_a_quote_begins_from_can_be_taken_as_they_are(served):
    with served.client() as ask:
        draft = ask.get("/api/engines/marigold/quote").json()
        page = ask.get("/e/marigold/money").text
        typed = html.unescape(re.search(r'id="f-quote-make-lines"[^>]*>(.*?)</textarea>', page, re.DOTALL)[1])
        ask.post("/api/engines/marigold/desk/quote-make", json={"quote": "Q 2", "lines": typed})
        (quote,) = ask.get("/api/engines/marigold/papers").json()["quotes"]
        assert quote["lines"] == draft["lines"]
        assert quote["total"] == draft["total"]


@pytest.mark.parametrize(("form", "typed", "at", "said"), [
    ("quote-make", {"quote": "Q 3", "lines": "hours; machine; 10"}, "lines", "lines: line 1, 'hours; machine; 10', has 3 parts"),
    ("quote-make", {"quote": "Q 3", "lines": "other; x; 1; 2\nother; y; one; 2"}, "lines", "lines: line 2: quantity: 'one'"),
    ("quote-make", {"quote": ""}, "quote", "quote: nothing was given"),
    ("invoice-make", {"invoice": "B 3", "basis": "quoted"}, "basis", "quote: none was made"),
    ("hours-book", {"operation": "machine", "hours": "two"}, "hours", "hours: 'two' is not a number"),
    ("rates-keep", {"hour": "1,250"}, "hour", "price of an hour: '1,250' is not an amount"),
    ("rates-keep", {"hour": "90", "taxes": "sales tax"}, "taxes", "taxes: 'sales tax' is not taken"),
    ("rates-keep", {"hour": "90", "taxes": "sales tax=much"}, "taxes", "taxes: tax sales tax: 'much' is not a share"),
])
def test_what_is_wrong_with_money_is_named_at_its_field(ask, form, typed, at, said):
    answer = ask.post(f"/desk/{form}" if form == "rates-keep" else f"/e/kestrel/desk/{form}", data=typed)
    assert answer.status_code == 422
    found = re.search(rf'id="f-{form}-{at}-wrong" role="alert">([^<]+)', answer.text)
    assert found, answer.text[-4000:]
    assert html.unescape(found[1]).startswith(said)


def test_a_shop_without_rates_is_asked_for_them(tmp_path):
    served = Served(tmp_path, demo=False)
    with served.client() as ask:
        ask.post("/new", data={"name": "Lapwing", "layout": "inline-4"})
        assert "What does an hour cost?" in ask.get("/e/lapwing/money").text
        assert ask.post("/api/desk/rates-keep", json={"hour": "80", "stages": "machine=95"}).status_code == 200
        page = ask.get("/e/lapwing/money").text
        assert "What does an hour cost?" not in page
        assert "machine 95" in page


def test_only_an_owner_makes_quotes_and_bills(served):
    for name, role in (("Ada", "owner"), ("Tom", "hand")):
        served.access.add_person(name, role, "a good long word")
    with served.client() as ask:
        ask.post("/sign-in", data={"person": "Tom", "password": "a good long word"})
        page = ask.get("/e/marigold/money").text
        assert "/desk/hours-book" in page
        for form in ("quote-make", "invoice-make", "rates-keep"):
            assert f"/desk/{form}" not in page
        assert ask.post("/api/engines/marigold/desk/quote-make", json={"quote": "Q 9"}).status_code == 403
        sent = entry(1, "quote.made", {"quote": "Q 9", "lines": [{"kind": "other", "words": "x", "quantity": "1", "each": "1"}]})
        (answer,) = ask.post("/api/engines/marigold/entries", json=[sent]).json()
        assert (answer["state"], answer["why"]) == ("refused", "quote.made: that is for an owner")


# -- customer ----------------------------------------------------------------------------------------------------------

def test_what_is_said_asked_and_promised_stands_on_both_sides_of_the_counter(served):
    at = "/e/marigold"
    with served.client() as ask:
        def send(form, **typed):
            answer = ask.post(f"{at}/desk/{form}", data={"back": f"{at}/customer", **typed})
            assert (answer.status_code, answer.headers.get("location")) == (303, f"{at}/customer"), answer.text

        token = served.access.new_link("marigold", "Orrin", "Ada")[1]
        send("engine-due", day="2026-06-22", why="the crank is late")
        send("message-write", way="to", text="The crank is late, a week.", by="telephone")
        send("approval-ask", approval="sleeve", text="Hole 2 needs a sleeve.", cost="180")
        send("problem-find", problem="cracked web", station="main.2", text="SECRET-CRACK")
        theirs = html.unescape(ask.get(f"/c/{token}").text)
        for said in ("Promised for 22 June 2026",
                     "The crank is late, a week.", 'Hole 2 needs a sleeve. <b class="num">180 Fr.', "under way"):
            assert said in theirs, said
        for kept in ("SECRET-CRACK", "cracked web", "Ada", "Tom Arden", "92 Fr", 'href="/e/'):
            assert kept not in re.sub(r"<(style|svg).*?</\1>", "", theirs, flags=re.DOTALL), kept
        send("approval-answer", approval="sleeve", agreed="yes", by="telephone", text="do it")
        send("problem-solve", problem="cracked web", text="stitched, pressure tested")
        assert "Hole 2 needs a sleeve" not in ask.get(f"/c/{token}").text
        page = html.unescape(ask.get(f"{at}/customer").text)
        for said in ("<b>22 June 2026</b>, the crank is late", "“do it”", "stitched, pressure tested", "To Orrin Tidewell"):
            assert said in page, said
        told = ask.get("/api/engines/marigold/customer").json()
        assert [(a["approval"], a["agreed"]) for a in told["approvals"]] == [("thrust", None), ("sleeve", True)]


def test_progress_on_the_customers_page_is_that_of_the_steps(served):
    token = served.access.new_link("marigold", "Orrin", "Ada")[1]
    with served.client() as ask:
        steps = ask.get("/api/engines/marigold/steps").json()
        done = {}
        for stage in steps["stages"]:
            done[stage["stage"]] = (sum(row["status"] == "done" for row in stage["steps"]), len(stage["steps"]))
        page = ask.get(f"/c/{token}").text
        for stage, (some, total) in done.items():
            assert re.search(rf"<span>{stage.capitalize()}</span>.*?{some} of {total}<", page), stage


def test_an_engine_that_comes_back_shows_its_first_readings_beside_the_new(served):
    with served.client() as ask:
        first = next(r for r in ask.get("/api/engines/marigold/stations/cyl.1").json()["readings"] if r["feature"] == "bore")
        assert ask.post("/api/engines/marigold/desk/engine-back", json={"reason": "to be freshened", "run": "140 hours"}).status_code == 200
        assert "Nothing has been read since it came back" in ask.get("/e/marigold/customer").text
        sent = reading(7, "cyl.1", "3.8215", feature="bore", instrument=first["instrument"], place=first["place"])
        (answer,) = ask.post("/api/engines/marigold/entries", json=[sent]).json()
        assert answer["state"] == "saved", answer
        page = ask.get("/e/marigold/customer").text
        assert "First readings beside the new" in page
        assert "after 140 hours" in page
        (row,) = ask.get("/api/engines/marigold/wear").json()["rows"]
        assert (row["station"], row["first"]["text"], row["first"]["written"]) == ("cyl.1", "+3 tenths", "3.8203 in")
        assert row["change"] == pytest.approx(0.0012)  # 3.8215 less 3.8203
        assert "<b>+0.0012 in</b>" in page


@pytest.mark.parametrize(("form", "typed", "at", "said"), [
    ("engine-due", {"day": "soon"}, "day", "day: 'soon'"),
    ("message-write", {"way": "from", "text": " "}, "text", "text: nothing was given"),
    ("approval-ask", {"approval": "x", "text": "y", "cost": "much"}, "cost", "cost: 'much' is not an amount"),
    ("approval-answer", {"approval": "coat", "agreed": "yes"}, "approval", "approval: 'coat' was not asked; asked were thrust"),
    ("problem-find", {"problem": "x", "station": "main.99"}, "station", "station: 'main.99' is not on this engine"),
    ("problem-solve", {"problem": "nothing", "text": "x"}, "problem", "problem: 'nothing' was not written down"),
    ("engine-describe", {"use": "moon"}, "use", "use: 'moon' is not taken"),
    ("engine-describe", {}, "customer", "customer: nothing is said otherwise"),
    ("engine-back", {"reason": ""}, "reason", "reason: nothing was given"),
])
def test_what_is_wrong_about_the_customer_is_named_at_its_field(ask, form, typed, at, said):
    answer = ask.post(f"/e/marigold/desk/{form}", data=typed)
    assert answer.status_code == 422
    found = re.search(rf'id="f-{form}-{at}-wrong" role="alert">([^<]+)', answer.text)
    assert found, answer.text[-4000:]
    assert html.unescape(found[1]).startswith(said)


def test_only_an_owner_says_what_an_engine_is_for_and_makes_links(served):
    for name, role in (("Ada", "owner"), ("Tom", "hand")):
        served.access.add_person(name, role, "a good long word")
    with served.client() as ask:
        ask.post("/sign-in", data={"person": "Tom", "password": "a good long word"})
        page = ask.get("/e/marigold/customer").text
        assert "/desk/message-write" in page
        assert "/desk/engine-describe" not in page
        assert 'value="new-link"' not in page


@pytest.mark.parametrize("tab", ["work", "steps", "again", "supply", "money", "customer"])
def test_every_tab_of_the_work_leads_to_a_page_that_stands_under_it(ask, tab):
    assert f'href="/e/kestrel/{tab}"' in ask.get("/e/kestrel/work").text
    assert f'href="/e/kestrel/{tab}" aria-current="page"' in ask.get(f"/e/kestrel/{tab}").text
