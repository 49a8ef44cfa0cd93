"""The page of shells in the house: halves one by one, boxes counted, what places ask of their halves. No script is needed."""

from collections.abc import Callable, Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench import shapes
from tenths.bench.declare import Call, Example
from tenths.bench.pages import routed, summary
from tenths.bench.show import page
from tenths.bench.state import bench_of
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import commands, half_list, questions, seats
from tenths.services.shop import Shop

Answer = dict[str, Any]
Typed = Mapping[str, str]
FIELDS = ("kind", "size", "side", "walls", "grooved", "flanged", "box", "change", "instrument", "station", "groove", "kept", "sets")


async def shown(request: Request) -> Response:
    """Halves, boxes and places, and the forms that change them."""
    bench, engine = bench_of(request), request.path_params["engine"]
    typed: dict[str, str] = dict.fromkeys(FIELDS, "")
    wrong, did = "", ""
    if request.method == "POST":
        form = await request.form()
        did = str(form.get("do", ""))
        typed |= {key: str(value).strip()[:4000] for key, value in form.items() if key in FIELDS}
        shop = bench.shop_for(who_asks(request))
        try:
            if did not in DEEDS:
                raise BadInput(f"do: {did!r} is not known; there are {', '.join(DEEDS)}")  # noqa: TRY301 - answered on the same page
            await run_in_threadpool(DEEDS[did], shop, engine, typed)
        except BadInput as error:
            wrong = str(error)
        else:
            bench.live.written()
            return RedirectResponse(f"/e/{engine}/halves#{did}", 303)

    def gathered() -> Answer:
        known = questions.show(bench.shop, engine)
        return {"engine": summary(bench, engine), "halves": half_list.half_rows(bench.shop, engine),
                "seats": seats.seat_rows(bench.shop, engine), "stock": known.get("stock", []),
                "gauges": [(i["instrument"], i["name"] or i["instrument"]) for i in questions.house_instruments(bench.shop)],
                "spots": [(s["station"], s["station"].replace(".", " ")) for s in known.get("stations", [])
                           if s["station"].split(".")[0] in {"main", "rod"}]}

    return page(request, "halves.html", 422 if wrong else 200, place="choices", typed=typed, wrong=wrong, did=did,
                may=who_asks(request).may("hand"), **await bench.think(gathered))


def _halves(shop: Shop, engine: str, typed: Typed) -> None:
    walls = tuple(text for line in typed["walls"].replace(";", "\n").splitlines() for text in line.split(",") if text.strip())
    half_list.list_halves(shop, engine, half_list.Halves(
        typed["kind"], typed["size"], walls, side=typed["side"], grooved=bool(typed["grooved"]), flanged=bool(typed["flanged"]),
        box=typed["box"], change=typed["change"], instrument=typed["instrument"]))


def _boxes(shop: Shop, engine: str, typed: Typed) -> None:
    if not typed["sets"].isascii() or not typed["sets"].isdigit() or int(typed["sets"]) > 99:
        raise BadInput(f"sets: {typed['sets']!r} is not taken; a whole number from 0 to 99 is")
    if not typed["size"] or not typed["change"]:
        raise BadInput("size and change: say what stands on the box, and what a pair does to the clearance")
    commands.part(shop, engine, bodies.StockCounted(
        kind=typed["kind"], size=typed["size"], change=typed["change"], sets=int(typed["sets"]), grooved=typed["grooved"],
        flanged=bool(typed["flanged"])))


def _place(shop: Shop, engine: str, typed: Typed) -> None:
    said = {"yes": True, "no": False, "": None}
    if not typed["groove"] and typed["flanged"] not in {"yes", "no"} and typed["kept"] not in {"yes", "no"}:
        raise BadInput("place: say what its halves must be: groove, flanges, or that they stay")
    seats.state_seat(shop, engine, bodies.SeatStated(
        station=typed["station"], side=typed["side"], groove=typed["groove"], flanged=said.get(typed["flanged"]),
        kept=said.get(typed["kept"])))


DEEDS: dict[str, Callable[[Shop, str, Typed], None]] = {"halves": _halves, "boxes": _boxes, "place": _place}
ROUTES = [routed("/e/{engine}/halves", shown), routed("/e/{engine}/halves/write", shown, "hand", ("GET", "POST"))]
CALLS = (
    Call(path="/api/engines/{engine}/halves", need="reader", answers=list[shapes.HalfRow], of_engine=True,
         words="Every half of a shell in the house, with its wall: read, or by its size. Devices list one by the entry "
               "`half.listed` and read it at `part.ID`.",
         run=lambda a: half_list.half_rows(a.shop, a.engine), example=Example({"engine": "marigold"})),
    Call(path="/api/engines/{engine}/seats", need="reader", answers=list[shapes.SeatRow], of_engine=True,
         words="What the halves of each place must be, or that they stay, where anything was said of it (entry `seat.stated`).",
         run=lambda a: seats.seat_rows(a.shop, a.engine), example=Example({"engine": "marigold"})),
)
