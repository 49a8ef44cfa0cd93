"""The API is what its documentation says: every route stands in it, every example works, every answer has its shape."""

import json
import re

import msgspec
import pytest

from benches import Served
from tenths.bench.app import CALLS
from tenths.bench.openapi import document

FREE = {"/api/openapi.json", "/api/docs"}  # the documentation itself


@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


def test_every_route_of_the_api_is_documented_and_nothing_else(served):
    routes = {(route.path, method) for route in served.app.routes for method in route.methods - {"HEAD"}
              if route.path.startswith(("/api/", "/photo/"))}
    told = {(path, method.upper()) for path, ways in document(CALLS)["paths"].items() for method in ways}
    assert {(path, method) for path, method in routes if path not in FREE} == told


@pytest.mark.parametrize("call", [c for c in CALLS if c.example is not None], ids=lambda c: f"{c.method} {c.path}")
def test_an_example_works_and_its_answer_has_the_shape_that_is_told(served, call):
    access = served.access
    made = {"{device}": lambda: access.pair(access.new_code()[0], "tablet").id,
            "{link}": lambda: access.new_link("marigold", "", "Ada")[0].id,
            "{person}": lambda: access.add_person("Ada", "owner", "a good long word").id}
    path = call.path
    for name, value in call.example.path.items():
        path = path.replace("{" + name + "}", made[value]() if value in made else value)
    with served.client() as ask:
        if access.guarded():
            ask.post("/sign-in", data={"person": "Ada", "password": "a good long word"})
        answer = ask.request(call.method, path, params=dict(call.example.query),
                             json=call.example.body if call.body is not None else None)
    assert answer.status_code == 200, answer.text
    msgspec.json.decode(answer.content, type=call.answers)
    assert b'"refused"' not in answer.content


def test_only_what_a_test_cannot_repeat_has_no_example():
    assert {c.path for c in CALLS if c.example is None} == {"/api/events", "/api/engines/{engine}/photos", "/photo/{file}",
                                                              "/api/engines/{engine}/desk/step-stop",
                                                              "/api/engines/{engine}/desk/work-back", "/api/desk/tool-there",
                                                              "/api/engines/{engine}/desk/problem-solve",
                                                              "/api/engines/{engine}/desk/order-accepted"}


def test_every_answer_of_both_demo_engines_has_its_shape(served):
    """Not the examples alone: each station, both engines."""
    of = {c.path: c.answers for c in CALLS if c.method == "GET"}
    with served.client() as ask:
        for engine in ("marigold", "kestrel"):
            for path in ("", "/findings", "/tray", "/choices", "/log"):
                answer = ask.get(f"/api/engines/{engine}{path}")
                msgspec.json.decode(answer.content, type=of["/api/engines/{engine}" + path])
            for row in ask.get(f"/api/engines/{engine}").json()["stations"][::7]:
                answer = ask.get(f"/api/engines/{engine}/stations/{row['station']}")
                msgspec.json.decode(answer.content, type=of["/api/engines/{engine}/stations/{station}"])


def test_the_document_is_openapi_and_points_nowhere_that_is_not_there(served):
    with served.client() as ask:
        told = ask.get("/api/openapi.json").json()
        assert "GET" in ask.get("/api/docs").text
    assert told["openapi"].startswith("3.1")
    text = json.dumps(told)
    for name in re.findall(r'"\$ref": "#/components/schemas/([^"]+)"', text):
        assert name in told["components"]["schemas"], name
    names = [op["operationId"] for ways in told["paths"].values() for op in ways.values()]
    assert len(names) == len(set(names))
    for path, ways in told["paths"].items():
        for op in ways.values():
            assert {p["name"] for p in op["parameters"] if p["in"] == "path"} == set(re.findall(r"\{(\w+)", path))
            assert op["summary"]


@pytest.mark.parametrize(("path", "said"), [
    ("/api/engines/marigold/tray?limit=x", "limit: 'x' is not a whole number"),
    ("/api/engines/marigold/tray?limit=1.5", "limit: '1.5' is not a whole number"),
    ("/api/changes?after=" + "9" * 40, "is not a whole number"),
    ("/api/engines/marigold/stations/main.99", "station: 'main.99' is not on this engine")])
def test_what_is_sent_is_checked_by_the_same_declaration(served, path, said):
    with served.client() as ask:
        answer = ask.get(path)
    assert answer.status_code == 422
    assert said in answer.json()["error"]


def test_a_body_with_a_slip_in_a_name_is_refused(served):
    with served.client() as ask:
        answer = ask.post("/api/engines", json={"name": "Lapwing", "layout": "single", "unit": "metric"})
    assert answer.status_code == 422
    assert "unit" in answer.json()["error"]
