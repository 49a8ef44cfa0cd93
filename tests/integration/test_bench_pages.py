"""Every page renders from the demo shop, says what it should, and none is open by mistake."""

import re

import pytest

from benches import Served
from tenths.services.questions import engine_summary

PAGES = ["/", "/e/marigold", "/e/marigold/drawing", "/e/kestrel/drawing?view=plan", "/e/marigold/station/main.3",
         "/e/marigold/tray", "/e/marigold/tray?with=feeler,mic-2-3", "/e/kestrel/choices", "/e/kestrel/order", "/e/kestrel/halves",
         "/e/marigold/record", "/e/marigold/sheet", "/instruments", "/instruments/mic-2-3",
         "/instruments/bore-gauge-s?units=metric", "/temperature", "/e/marigold/sure",
         "/e/kestrel/sure?units=inch", "/e/marigold/how/main.3/main-oil-clearance", "/e/kestrel/how/crank/crank-run-out",
         "/e/kestrel/how/cyl.1/compression-ratio", "/people", "/sign-in", "/pair", "/api/docs", "/new"]


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    return Served(tmp_path_factory.mktemp("pages"))


@pytest.mark.parametrize("path", PAGES)
def test_a_page_renders_and_loads_nothing_from_elsewhere(served, path):
    with served.client() as ask:
        answer = ask.get(path)
    assert answer.status_code == 200, answer.text[:500]
    assert answer.headers["content-type"].startswith("text/html")
    assert "default-src 'self'" in answer.headers["content-security-policy"]
    assert not re.search(r"""(?:src|href|action)=["'](?:https?:)?//""", answer.text)


def test_the_floor_names_every_engine_and_an_empty_shop_leads_to_the_first(served, tmp_path):
    with served.client() as ask:
        floor = ask.get("/").text
    assert "Marigold" in floor
    assert "Kestrel" in floor
    with Served(tmp_path, demo=False).client() as ask:
        assert 'href="/new"' in ask.get("/").text


def test_an_engine_is_opened_from_the_form_and_leads_to_its_sheet(tmp_path):
    served = Served(tmp_path, demo=False)
    with served.client() as ask:
        wrong = ask.post("/new", data={"name": "Lapwing"})
        assert wrong.status_code == 422
        assert "layout" in wrong.text
        right = ask.post("/new", data={"name": "Lapwing", "layout": "inline-4", "units": "metric"})
        assert (right.status_code, right.headers["location"]) == (303, "/e/lapwing/sheet")
        assert "Lapwing" in ask.get("/e/lapwing/sheet").text
    assert engine_summary(served.shop, "lapwing")["units"] == "metric"


def test_what_is_not_there_is_said_with_404(served):
    with served.client() as ask:
        for path in ("/nothing", "/e/nothing", "/api/engines/nothing", "/static/x/nothing.css", "/photo/abc"):
            assert ask.get(path).status_code == 404, path
        assert ask.get("/api/engines/nothing").json()["error"].startswith("engine: there is no 'nothing'")


def test_the_drawing_turns_and_refuses_what_is_no_angle(served):
    with served.client() as ask:
        first, second = (ask.get(f"/e/marigold/drawing.svg?crank={angle}") for angle in (0, 90))
        assert first.headers["content-type"] == "image/svg+xml"
        assert first.text != second.text
        assert ask.get("/e/marigold/drawing.svg?crank=720").text == first.text
        for wrong in ("crank=nan", "crank=x", "width=1e9", "view=top"):
            assert ask.get(f"/e/marigold/drawing.svg?{wrong}").status_code == 422, wrong


def test_record_and_labels_are_pdf_and_a_parts_code_leads_to_its_station(served):
    with served.client() as ask:
        for path in ("/e/marigold/record.pdf", "/e/marigold/record.pdf?paper=letter", "/e/marigold/labels.pdf",
                     "/e/marigold/labels.pdf?shelves=A1,A2&paper=letter&first=3"):
            answer = ask.get(path)
            assert answer.status_code == 200, answer.text[:300]
            assert answer.content.startswith(b"%PDF-")
        assert ask.get("/e/marigold/labels.pdf?parts=nothing").status_code == 422
        assert ask.get("/e/marigold/part/main-3-upper").headers["location"] == "/e/marigold/station/main.3"


def test_static_files_are_kept_for_ever_under_their_hash_and_looked_at_otherwise(served):
    with served.client() as ask:
        listed = ask.get("/api/assets").json()
        css = next(url for url in listed["urls"] if url.endswith("/tenths.css"))
        assert listed["version"] in css
        first = ask.get(css)
        assert "immutable" in first.headers["cache-control"]
        again = ask.get(css, headers={"if-none-match": first.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")
        assert "no-cache" in ask.get("/static/old/tenths.css").headers["cache-control"]
        assert ask.get("/static/x/..%2fapp.py").status_code == 404
        font = ask.get("/font/upright.woff2")
        assert font.content[:4] == b"wOF2"
        assert len(font.content) < 60_000


def test_an_answer_is_worked_out_again_only_when_the_log_grew(served):
    with served.client() as ask:
        first = ask.get("/api/engines/kestrel/findings")
        same = ask.get("/api/engines/kestrel/findings", headers={"if-none-match": first.headers["etag"]})
        assert same.status_code == 304


def test_every_route_says_who_may(served):
    needs = {route.path: getattr(route.endpoint, "need", None) for route in served.app.routes}
    assert None not in needs.values(), needs
    assert {path for path, need in needs.items() if need == "anyone"} == {
        "/sign-in", "/sign-out", "/pair", "/c/{token}", "/c/{token}/record.pdf", "/c/{token}/photo/{file}",
        "/static/{version}/{name:path}", "/sw.js", "/font/upright.woff2", "/plots.js", "/api/assets"}
