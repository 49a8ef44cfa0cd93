"""Form of an engine's parts on the bench: the page with its pictures, those of one station, and the API."""

from typing import Any

from markupsafe import Markup
from starlette.requests import Request

from tenths.bench.declare import Call, Example, Query
from tenths.bench.form_shapes import FormRow
from tenths.bench.pages import placed, routed
from tenths.bench.state import Bench
from tenths.record.form_pictures import picture_of
from tenths.services.forms import forms

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
STATION = Query(name="station", words="of one station alone; block is the line of the mains")


def drawn(bench: Bench, engine: str, station: str = "", units: str = "") -> list[Answer]:
    """The forms of an engine or station, each with its picture, kept while the log does not grow."""
    return bench.answers.of_engine(engine, ("form", station, units), lambda: [
        row | {"svg": Markup(picture_of(row))} for row in forms(bench.shop, engine, station=station, units=units)])  # noqa: S704 - made by us


def _context(bench: Bench, engine: str, request: Request) -> Answer:
    station, units = request.query_params.get("station", ""), request.query_params.get("units", "")
    rows = drawn(bench, engine, station, units)
    order = {"line": 0, "plane": 1, "round": 2}
    return {"forms": sorted(rows, key=lambda row: order[row["form"]]), "station": station}


ROUTES = [routed("/e/{engine}/form", placed("form", "form.html", _context))]
CALLS = (
    Call(path="/api/engines/{engine}/form", need="reader", answers=list[FormRow], of_engine=True,
         run=lambda a: forms(a.shop, a.engine, station=a.query["station"], units=a.query["units"]), query=(STATION, UNITS),
         words="Straightness of the line of the mains, flatness of decks and heads, roundness and taper of journals and bores, from "
               "the readings that hold: least squares and narrowest zone, each with what scatter alone would make.",
         example=Example({"engine": "marigold"}, {"station": "block"})),
)
