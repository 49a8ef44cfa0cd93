"""Cam timing on the bench's pages: degreeing step by step with the wheel, lobes with their curves; and the API of both."""

from typing import Any

from markupsafe import Markup
from starlette.requests import Request

from tenths.bench import lobe_shapes as shapes
from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.state import Bench
from tenths.record import cam_plots, plots
from tenths.record.cam_wheel import wheel_svg
from tenths.services.degreeing import degreeing
from tenths.services.lobes import check_lift, lobes
from tenths.services.shop import Shop

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; the engine's own when left out")
CHECK = Query(name="check", words="lift at which seat events are told, such as 0.006 in")
LOBE = Query(name="lobe", words="the lobe to go by; else the surest intake lobe that was read")
ENGINE = {"engine": "kestrel"}


def context(bench: Bench, engine: str, request: Request, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """What the view shows, of the lobe that the address asks for."""
    return _shown(bench, engine, request.query_params.get("lobe", ""), palette)


def as_printed(bench: Bench, engine: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    """The same of the first lobe that was read."""
    return _shown(bench, engine, "", palette)


def _shown(bench: Bench, engine: str, lobe: str, palette: plots.Palette) -> tuple[Answer, list[plots.Spec]]:
    answer = bench.answers.of_engine(engine, ("lobes",), lambda: lobes(bench.shop, engine))
    walk = bench.answers.of_engine(engine, ("degreeing", lobe), lambda: degreeing(bench.shop, engine, station=lobe))
    drawn = [row for row in answer["lobes"] if row["curve"]]
    row = next((r for r in answer["lobes"] if r["station"] == lobe), None) or next(iter(drawn or answer["lobes"]), None)
    specs = cam_plots.lobe_plots(row, answer["units"], palette, card=card_of(answer, row)) if row else []
    wheel = Markup(wheel_svg(walk))  # noqa: S704 - made by us
    return {"answer": answer, "walk": walk, "row": row, "wheel": wheel, "chosen": lobe or walk["station"]}, specs


def card_of(answer: Answer, row: Answer) -> Answer | None:
    """The maker's lobe of the side of one that was read."""
    return next((c for c in answer["card"]["lobes"] if c["side"] == row["side"]), None) if answer["card"] else None


def _lobes(asked: Asked) -> Answer:
    shop: Shop = asked.shop
    return lobes(shop, asked.engine, asked.query["units"], check=check_lift(shop, asked.engine, asked.query["check"]))


def _degreeing(asked: Asked) -> Answer:
    return degreeing(asked.shop, asked.engine, asked.query["units"], station=asked.query["lobe"])


CALLS = (
    Call(path="/api/engines/{engine}/lobes", need="reader", answers=shapes.Lobes, of_engine=True, run=_lobes, query=(UNITS, CHECK),
         example=Example(ENGINE), section="Running engine",
         words="Lobes: centres, events, durations, flanks and curves with their errors, timing of each cylinder, spread and twist along "
               "each shaft, the maker's card. Entered as `wheel.zeroed`, `wheel.moved`, `lobe.read`, `cam.carded`, `timing.moved`."),
    Call(path="/api/engines/{engine}/degreeing", need="reader", answers=shapes.Degreeing, of_engine=True, run=_degreeing,
         query=(UNITS, LOBE), example=Example(ENGINE), section="Running engine",
         words="Degreeing a camshaft: what to read next, whether enough was read, where to put the timing set, what is then to be read."),
)
