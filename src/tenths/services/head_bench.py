"""The head on the bench: what is judged of it, its runs on the flow bench, the spread between ports, the passage over lift."""

from collections.abc import Iterable, Sequence
from math import pi

from tenths.calc.gas.valves import USUAL_FOUR, USUAL_LIFTS, USUAL_TWO
from tenths.calc.valves import head
from tenths.engine.quantity import Quantity, parse
from tenths.engine.stations import cylinder_of, station_map
from tenths.errors import BadInput, OutOfRange
from tenths.findings.head import CHARACTERISTICS
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.logbook.flows import RANGES, FlowRun
from tenths.metrology.estimate import Estimate, difference
from tenths.services.amounts import Amounts, Answer
from tenths.services.commands import instrument_cards
from tenths.services.flow_runs import USUAL_DROP, Flowed, ValveSizes, sizes_of, stale_because, worked
from tenths.services.questions import finding_answer, system_of
from tenths.services.shop import Shop

Done = tuple[FlowRun, ValveSizes, list[Flowed]]
SIDES = ("intake", "exhaust")
RATIOS = tuple(k / 100 for k in range(5, 45, 5))  # lifts over the head's diameter that the passage is told at
ALIKE = 1e-5  # m: lifts closer than that are the same
NOTES = (
    ("Coefficients are effective area over that of the head, the curtain (lift x circumference) or the least passage, by compressible "
     "flow of dry air; brought to another test pressure by the rule of square roots, good to 3 % from 10 to 28 inH2O."),
    ("Where nobody noted the air, 20 °C and 1,013 hPa are taken; a drop is known to 0.5 %, a leak to 10 %, a lift to 0.02 mm: common "
     "practice, no source."),
)


def head_bench(shop: Shop, engine: str, units: str = "", *, at: str = "") -> Answer:
    """What is known of an engine's head.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        at: test pressure that flows are brought to, as typed; 28 inH2O when left out.

    Raises:
        BadInput: when there is no such engine, it has no layout, or the test pressure is none.
    """
    build = shop.build(engine)
    if build.layout is None:
        raise BadInput(f"engine: {engine!r} has no layout yet")
    system = system_of(build, units)
    drop, write = _drop(at), Amounts(system)
    book = InstrumentBook(build)
    resolver = Resolver(build, book)
    done: list[Done] = []
    for run in build.flows.values():
        sizes = sizes_of(resolver, run.body.station)
        done.append((run, sizes, worked(book, run, sizes, drop)))
    found = [f for f in shop.checked(build) if f.characteristic in CHARACTERISTICS]
    return {
        "engine": engine, "at": write(drop, Quantity.PRESSURE, unit="inH2O", figures=3),
        "findings": [finding_answer(build, f, units) for f in found],
        "runs": [_run(build, write, *row) for row in done],
        "latest": max(build.flows.values(), key=_latest).body.run if build.flows else "",
        "spreads": [row for side in SIDES for way in ("forward", "reverse") if (row := _spread(build, write, done, side, way))],
        "passages": [row for side in SIDES if (row := _passage(build, resolver, write, side))],
        "usual": _usual(build),
        "valves": [{"station": s.address, "words": s.words} for s in station_map(build.layout).values() if s.kind == "valve"],
        "notes": list(NOTES) if done else [],
    }


def _usual(build: Build) -> list[Answer]:
    """What the pull takes where nothing was flowed: effective area over that of the head."""
    four = build.layout is not None and sum(name.startswith("in") for name in build.layout.valves) > 1
    return [{"over_diameter": ratio, "of_head": share}
            for ratio, share in zip(USUAL_LIFTS, USUAL_FOUR if four else USUAL_TWO, strict=True)]


def begin_run(shop: Shop, engine: str, run: bodies.FlowBegun, rows: Iterable[tuple[str, str]] = ()) -> list[Entry]:
    """Begins a run on the flow bench, with lifts and flows as typed; all or none.

    Raises:
        BadInput: naming the field that cannot be taken, and what would be.
    """
    cards = instrument_cards(shop, engine, run.instrument)
    read = [bodies.FlowRead(run=run.run, lift=lift, flow=flow) for lift, flow in rows]
    return shop.append(engine, *cards, run, *read)


def run_name(build: Build, station: str, way: str) -> str:
    """A name for a new run of a valve that no other run has: ``1.in-forward``, then ``1.in-forward-2``."""
    first = f"{station.removeprefix('valve.')}-{way}".lower()
    name, number = first, 1
    while name in build.flows:
        number += 1
        name = f"{first}-{number}"
    return name


def _latest(run: FlowRun) -> int:
    """Where the log last said something of a run."""
    return max(run.mark.position, *(point.mark.position for point in run.points), 0)


def _drop(text: str) -> float:
    if not text.strip():
        return USUAL_DROP
    drop = parse(text, Quantity.PRESSURE, default_unit="inH2O", field="at").si
    least, most = RANGES["pressure"]
    if not least <= drop <= most:
        raise BadInput(f"at: {text!r} is out of range; 0.2 to 120 inH2O is accepted")
    return drop


# -- one run ---------------------------------------------------------------------------------------------------------------

def _run(build: Build, write: Amounts, run: FlowRun, sizes: ValveSizes, rows: Sequence[Flowed]) -> Answer:
    body, across = run.body, sizes.across.estimate
    return {
        "run": body.run, "entry": run.mark.entry, "station": body.station, "words": _words(build, body.station),
        "cylinder": cylinder_of(body.station) or "", "side": run.side, "way": body.way, "valves": body.valves, "scale": body.scale,
        "pressure": write(run.sizes["pressure"], Quantity.PRESSURE, unit="inH2O", figures=3),
        "instrument": body.instrument, "note": body.note,
        "conditions": _conditions(run), "stale": stale_because(build, run), "guessed": list(sizes.guessed), "wrong": sizes.wrong,
        "head": write(across.value if across else None, Quantity.LENGTH), "head_origin": sizes.across.origin,
        "points": [_point(write, row, across.value if across else None) for row in rows]}


def _conditions(run: FlowRun) -> str:
    """What was typed of a run besides its pressure, in words."""
    body = run.body
    said = (body.scale == "orifice" and "scale of an orifice", body.leak and f"leak {body.leak}"
            + (f" at {body.leak_pressure}" if body.leak_pressure else ""), body.temperature and f"air {body.temperature}",
            body.barometer and f"barometer {body.barometer}", body.factor and f"readings times {body.factor}",
            body.full_scale and f"100 % is {body.full_scale}", body.blown and "air pushed")
    return ", ".join(text for text in said if text)


def _point(write: Amounts, row: Flowed, across: float | None) -> Answer:
    flow, ratio = row.there, Quantity.RATIO

    def coefficient(found: Estimate | None) -> Answer:
        return write(found.value if found else None, ratio, found.u if found else None)

    return {
        "entry": row.point.mark.entry, "lift": write(row.point.lift, Quantity.LENGTH),
        "over_diameter": row.point.lift / across if across else None, "shown": row.point.body.flow,
        "through": write(row.through.value, Quantity.FLOW, row.through.u), "flow": write(flow.value, Quantity.FLOW, flow.u),
        "area": write(row.area.value, Quantity.AREA, row.area.u), "of_head": coefficient(row.of_head),
        "of_curtain": coefficient(row.of_curtain), "of_passage": coefficient(row.of_passage), "stage": row.stage}


def _words(build: Build, station: str) -> str:
    known = station_map(build.layout) if build.layout else {}
    return known[station].words if station in known else station


# -- ports against each other ----------------------------------------------------------------------------------------------

def _spread(build: Build, write: Amounts, done: Sequence[Done], side: str, way: str) -> Answer | None:
    """Largest less smallest flow at each lift that two and more cylinders were read at; None where there is none."""
    mine = [row for row in done if row[0].side == side and row[0].body.way == way and not stale_because(build, row[0])]
    lifts = sorted({round(p.point.lift / ALIKE) for _, _, rows in mine for p in rows})
    found = [row for lift in lifts if (row := _spread_at(write, mine, lift * ALIKE))]
    return {"side": side, "way": way, "rows": found} if found else None


def _spread_at(write: Amounts, mine: Sequence[Done], lift: float) -> Answer | None:
    here = [(run, point) for run, _, rows in mine for point in rows if abs(point.point.lift - lift) < ALIKE]
    if len({cylinder_of(run.body.station) for run, _ in here}) < 2:
        return None
    high, low = max(here, key=lambda r: r[1].there.value), min(here, key=lambda r: r[1].there.value)
    apart = difference(high[1].there, low[1].there)
    mean = sum(point.there.value for _, point in here) / len(here)
    return {"lift": write(lift, Quantity.LENGTH), "runs": len(here), "mean": write(mean, Quantity.FLOW),
            "apart": write(apart.value, Quantity.FLOW, apart.u), "share": apart.value / mean if mean else 0.0,
            "highest": high[0].body.run, "lowest": low[0].body.run, "clear": apart.value > 2 * apart.u}


# -- the passage over lift -------------------------------------------------------------------------------------------------

def _passage(build: Build, resolver: Resolver, write: Amounts, side: str) -> Answer | None:
    """The least passage of the first valve of a side whose head is known."""
    assert build.layout is not None  # noqa: S101 - the caller has looked
    for name in build.layout.valves:
        if not name.startswith(side[:2]):
            continue
        station = f"valve.{build.layout.labels[0]}.{name}"
        sizes = sizes_of(resolver, station)
        if sizes.port is not None:
            return _rows(build, write, side, station, sizes, sizes.port)
    return None


def _rows(build: Build, write: Amounts, side: str, station: str, sizes: ValveSizes, port: head.Port) -> Answer:
    rows: list[Answer] = []
    for ratio in RATIOS:
        opened = head.opening(ratio * port.head, port)
        rows.append({"lift": write(ratio * port.head, Quantity.LENGTH), "over_diameter": ratio, "stage": opened.stage,
                     "passage": write(opened.area, Quantity.AREA), "curtain": write(opened.curtain, Quantity.AREA),
                     "share": opened.area / (pi / 4 * port.head**2)})
    try:
        full = head.full_flow_lift(port)
    except OutOfRange:
        full = None
    return {"side": side, "station": station, "words": _words(build, station), "head": write(port.head, Quantity.LENGTH),
            "throat": write(port.throat, Quantity.LENGTH), "stem": write(port.stem, Quantity.LENGTH),
            "angle": write(port.seat_angle, Quantity.ANGLE), "guessed": list(sizes.guessed), "full_lift": write(full, Quantity.LENGTH),
            "rows": rows}

