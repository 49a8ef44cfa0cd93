"""The valve gear on the bench's pages: piston to valve, springs, rockers, with a form to try; and its answers in the API."""

from typing import Any

from starlette.requests import Request

from tenths.bench import valve_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.state import Bench
from tenths.record import gear_plots, plots
from tenths.services.valve_clearance import TRIED, valve_clearance
from tenths.services.valve_rocker import valve_rocker
from tenths.services.valve_springs import valve_springs

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
TRIES = tuple(Query(name=name, words=f"{words}, as typed; nothing when left out") for name, (_, words) in TRIED.items())


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """What the view shows, with what the address asks to try."""
    return _shown(bench, engine, {name: text.strip() for name in TRIED if (text := request.query_params.get(name, "")).strip()}, palette)


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The same with nothing tried."""
    return _shown(bench, engine, {}, palette)


def _shown(bench: Bench, engine: str, given: dict[str, str], palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    def kept(name: str, make: Any) -> Answer:
        return bench.answers.of_engine(engine, ("valve gear", name, *given.items()), make)

    room = kept("room", lambda: valve_clearance(bench.shop, engine, given=given))
    springs, rockers = (kept(name, lambda ask=ask: ask(bench.shop, engine)) for name, ask in (("springs", valve_springs),
                                                                                             ("rockers", valve_rocker)))
    answer = {"room": room, "springs": springs, "rockers": rockers, "notes": []}
    return {"answer": answer, "given": given}, gear_plots.all_plots(room, springs, rockers, palette)


def _room(asked: Asked) -> Answer:
    given = {name: text for name in TRIED if (text := asked.query[name])}
    return valve_clearance(asked.shop, asked.engine, asked.query["units"], given=given)


def _springs(asked: Asked) -> Answer:
    return valve_springs(asked.shop, asked.engine, asked.query["units"])


def _rocker(asked: Asked) -> Answer:
    return valve_rocker(asked.shop, asked.engine, asked.query["units"])


def _call(name: str, run: Any, answers: Any, words: str, query: tuple[Query, ...] = ()) -> Call:
    return Call(path=f"/api/engines/{{engine}}/{name}", need="reader", answers=answers, of_engine=True, run=run, query=(UNITS, *query),
                example=Example({"engine": "kestrel"}), section="Running engine", words=words)


CALLS = (
    _call("valve-clearance", _room, shapes.ValveClearance, "Piston to valve over the overlap, closest first: the room, where, what moves "
          "it, and the same with the camshaft or a face moved.", TRIES),
    _call("springs", _springs, shapes.ValveSprings, "Valve springs: heights, loads, room before the coils bind, stress, surge."),
    _call("rocker", _rocker, shapes.ValveRocker, "Rockers and push-rods: true ratio, track on the tip, push-rod for the least of it."),
)
