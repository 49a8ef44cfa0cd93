"""Piston to valve over the overlap: least room of every valve, where it is, what moves it, and the same with something changed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import degrees, radians

import numpy as np

from tenths.calc.valves import piston_to_valve as ptv
from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.profiles import profile_lobe
from tenths.calc.valves.tdc import Slider
from tenths.engine.quantity import Quantity, from_si, parse, unit_for
from tenths.engine.stations import station_map
from tenths.errors import BadInput, TenthsError
from tenths.findings.check import check
from tenths.findings.declare import Need, is_intake
from tenths.findings.finding import Finding
from tenths.findings.geometry import PIN_OFFSET, ROD, STROKE
from tenths.findings.valves import ABOVE, HEAD, place_of
from tenths.logbook.build import Build
from tenths.services.amounts import Amounts, Answer
from tenths.services.gathered import Gathered
from tenths.services.lobe_fits import Read, read_lobes
from tenths.services.questions import system_of
from tenths.services.shop import Shop
from tenths.services.wheel import timed

LENGTH, ANGLE = Quantity.LENGTH, Quantity.ANGLE
TRIED: Mapping[str, tuple[Quantity, str]] = {
    "advance": (ANGLE, "camshaft earlier, in degrees of the crank; later below zero"),
    "cut": (LENGTH, "taken off head or deck; a thicker gasket below zero"),
}
CUT = {"inch": 0.010 * 0.0254, "metric": 0.1e-3}  # m, the cut that a change is told for
CURVE = np.radians(np.arange(-45.0, 45.5, 1.0))
RECKONED = ("reckoned", "lift", "depth", "per_degree", "earlier", "later", "per_cut", "cut", "changed", "shape")
DIAMETER = Need("diameter", "pocket-diameter", otherwise=0.0)
NOTES = (
    ("Square to the floor of the pocket, crank and parts stiff and cold. Rod stretch, piston rock, heat and a valve that floats are "
     "what the limit is for."),
    ("Clay goes before the dial, and both before what is reckoned. The check reckons with the lobe of the card; where a lobe was read "
     "its own room stands beside, and what to state as lobe-shape so that the check comes to the same."),
    "Turn the engine by hand, the plug out; stop at any touch.",
)


@dataclass(frozen=True, slots=True)
class Over:
    """One valve over its piston, with its lobe placed on the overlap dead centre; ``card`` the lobe of its card where another counts."""

    lobe: Lobe
    place: ptv.Place
    slider: Slider
    lash: float = 0.0
    card: Lobe | None = None


def valve_clearance(shop: Shop, engine: str, units: str = "", *, given: Mapping[str, str] | None = None) -> Answer:
    """The room of every valve over its piston, closest first, and curves of the closest intake and exhaust.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        given: what to try: ``advance`` of the camshaft, ``cut`` off head or deck, as typed.

    Raises:
        BadInput: when there is no such engine, it has no layout, or what is to be tried cannot be read.
    """
    build = shop.build(engine)
    if build.layout is None:
        raise BadInput(f"engine: {engine!r} has no layout yet")
    write = Amounts(system_of(build, units))
    tried = tried_of(given or {}, write)
    found = {(f.characteristic.name, f.station): f for f in check(build, ["piston-to-valve", "valve-radial-room", "valve-lift"])}
    look, reads = Gathered(build, build.layout), lobes_read(build, units)
    rows = [_row(look, station, found, write, tried, reads) for station in valves_of(build)]
    rows.sort(key=lambda row: (row["clearance"]["value"] is None, row["clearance"]["value"] or 0.0))
    nearest = [next((r["station"] for r in rows if r["side"] == side and r["angle"] is not None), "") for side in ("intake", "exhaust")]
    return {"engine": engine, "position": build.position, "valves": rows,
            "tried": [{"name": name, "words": TRIED[name][1], **write(si, TRIED[name][0])} for name, si in tried.items()],
            "curves": [_curve(look, station, found, write, tried, reads) for station in nearest if station], "notes": list(NOTES)}


def valves_of(build: Build) -> list[str]:
    """Stations of all valves in walking order."""
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    return [address for address, station in station_map(build.layout).items() if station.kind == "valve"]


def tried_of(given: Mapping[str, str], write: Amounts) -> dict[str, float]:
    """What is to be tried, in SI; raises BadInput naming what is not known or cannot be read."""
    tried: dict[str, float] = {}
    for name, text in given.items():
        if name not in TRIED:
            raise BadInput(f"with: {name!r} is not tried here; {', '.join(TRIED)} are")
        quantity = TRIED[name][0]
        tried[name] = parse(text, quantity, default_unit=unit_for(quantity, write.system), field=name).si
    return tried


def over(look: Gathered, station: str, lift: float | None, reads: Mapping[str, Read]) -> Over:
    """A valve over its piston as the log has it; raises BadInput naming what is missing.

    A lobe that was read goes before the card's, where it is known what the rocker makes of it.
    """
    side = "intake" if is_intake(station) else "exhaust"
    look.missing.clear()
    sizes = {need.name: look.of(need, station) for need in (HEAD, DIAMETER, *ABOVE, STROKE, ROD, PIN_OFFSET)}
    deck, missing = deck_of(look.build, station), list(look.missing)
    look.missing.clear()
    said = [look.at("engine", f"{side}-{name}") for name in ("duration", "centre")]
    card = lobe_of(side, said[0].value, said[1].value, lift) if said[0] and said[1] and lift else None
    read, lash = _as_read(look, station, lift, reads)
    if read is None and card is None:
        missing += [*look.missing, *(["greatest lift of the valve is not known"] if lift is None else [])]
    missing += ["deck clearance of the cylinder is not known"] if deck is None else []
    lobe = read or card
    if missing or lobe is None or deck is None:
        raise BadInput("; ".join(dict.fromkeys(missing)))
    value = {name: size.value for name, size in sizes.items() if size is not None}
    place = place_of(head=value["head"], drop=value["drop"], lean=value["lean"], pocket=value["pocket"], deck=deck,
                     out_of_line=value["out_of_line"], across=value["across"], gasket=value["gasket_thickness"],
                     diameter=value["diameter"])
    slider = Slider(stroke=value["stroke"], rod_length=value["rod_length"], pin_offset=value["pin_offset"])
    return Over(lobe, place, slider, lash, card if read is not None else None)


def lobes_read(build: Build, units: str = "") -> dict[str, Read]:
    """Lobes that were read and hold, by their station."""
    try:
        rows = read_lobes(timed(build, units))
    except TenthsError:  # readings that cannot be: their own page says so
        return {}
    return {row.station: row for row in rows if row.fit is not None and not row.stale}


def _as_read(look: Gathered, station: str, lift: float | None, reads: Mapping[str, Read]) -> tuple[Lobe | None, float]:
    """The lobe of a valve as it was read, at the valve, where the timing set stands now; and the lash to take off."""
    row = reads.get(station.replace("valve.", "lobe.", 1))
    if row is None or row.fit is None:
        return None, 0.0
    at_valve = all(batch.body.at != "follower" for batch in row.batches)
    ratio, lash = look.at(station, "rocker-ratio"), look.at(station, "lash")
    look.missing.clear()
    if at_valve:
        times: float | None = row.batches[-1].sizes.get("ratio", 1.0)
    else:
        times = ratio.value if ratio else (lift / row.fit.lobe.peak if lift else None)
    if times is None:
        return None, 0.0
    lobe = row.fit.lobe.moved(-row.moved).scaled(times)
    return replace(lobe, words=f"{row.words} as read, {len(row.angles)} readings"), 0.0 if at_valve or lash is None else lash.value


def lobe_of(side: str, duration: float, centre: float, lift: float) -> Lobe:
    """The lobe of a card, at the valve, placed on the overlap dead centre."""
    lobe = profile_lobe("3-4-5", lift=lift, opening=duration / 2, closing=duration / 2, points=361)
    return replace(lobe.placed(centre if side == "intake" else -centre), origin="card", words="card: duration, lift and centre")


def deck_of(build: Build, station: str) -> float | None:
    """Deck clearance of a valve's cylinder [m], as read or from the stack of sizes."""
    cylinder = f"cyl.{station.split('.')[1]}"
    found = next((f for f in check(build, ["deck-clearance"]) if f.station == cylinder), None)
    return found.estimate.value if found is not None and found.estimate is not None else None


def changed(one: Over, tried: Mapping[str, float]) -> Over:
    """The same with the camshaft earlier and something taken off head or deck."""
    return replace(one, lobe=one.lobe.moved(-tried.get("advance", 0.0)), place=ptv.after_cut(one.place, off=tried.get("cut", 0.0)))


def _lift(found: Mapping[tuple[str, str], Finding], station: str) -> float | None:
    row = found.get(("valve-lift", station))
    return row.estimate.value if row is not None and row.estimate is not None else None


def _row(look: Gathered, station: str, found: Mapping[tuple[str, str], Finding], write: Amounts, tried: Mapping[str, float],
         reads: Mapping[str, Read]) -> Answer:
    finding, beside = found.get(("piston-to-valve", station)), found.get(("valve-radial-room", station))
    estimate = finding.estimate if finding else None
    row: Answer = {
        "station": station, "words": station_map(look.layout)[station].words, "side": "intake" if is_intake(station) else "exhaust",
        "clearance": write(estimate.value if estimate else None, LENGTH, estimate.u if estimate else None),
        "least": write(finding.limits.lower if finding else None, LENGTH), "authority": finding.limits.authority if finding else "",
        "verdict": str(finding.verdict) if finding else "not measured", "how": finding.formula if finding and estimate else "",
        "radial": write(beside.value if beside else None, LENGTH, beside.standard_uncertainty if beside else None),
        "radial_verdict": str(beside.verdict) if beside else "not measured"}
    try:
        return row | _reckoned(over(look, station, _lift(found, station), reads), write, tried, estimate.value if estimate else None)
    except TenthsError as error:
        none = dict.fromkeys(RECKONED, write(None, LENGTH))
        return row | none | {"angle": None, "changed_angle": None, "lobe": "", "missing": str(error)}


def _reckoned(one: Over, write: Amounts, tried: Mapping[str, float], known: float | None) -> Answer:
    """What a curve of the room tells; what is tried changes the room that is known, be it clay's, by as much as the reckoned one."""
    least = ptv.least(one.lobe, place=one.place, slider=one.slider, lash=one.lash)
    other = changed(one, tried)
    after = ptv.closest(other.lobe, place=other.place, slider=other.slider, lash=other.lash) if tried else None
    by_card = ptv.closest(one.card, place=one.place, slider=one.slider)[1] if one.card else None
    return {
        "reckoned": write(least.clearance, LENGTH, least.lift_error or None), "angle": round(degrees(least.angle), 2),
        "lift": write(least.lift, LENGTH), "depth": write(least.depth, LENGTH),
        "per_degree": write(least.per_angle * radians(1.0), LENGTH, figures=3),
        "earlier": write(least.earlier, LENGTH), "later": write(least.later, LENGTH),
        "per_cut": write(least.per_cut * CUT[write.system], LENGTH, figures=3), "cut": write(CUT[write.system], LENGTH, figures=2),
        "changed": write((least.clearance if known is None else known) + after[1] - least.clearance if after else None, LENGTH),
        "changed_angle": round(degrees(after[0]), 2) if after else None,
        "lobe": one.lobe.words, "missing": "",
        "shape": write(None if by_card is None else by_card - least.clearance, LENGTH, figures=3)}


def _curve(look: Gathered, station: str, found: Mapping[tuple[str, str], Finding], write: Amounts, tried: Mapping[str, float],
           reads: Mapping[str, Read]) -> Answer:
    """Room and lift over the crank angle about the overlap, as it is and with what is tried."""
    one, unit = over(look, station, _lift(found, station), reads), unit_for(LENGTH, write.system)
    finding = found.get(("piston-to-valve", station))
    lower = finding.limits.lower if finding else None

    def listed(values: "ptv.Floats") -> list[float]:
        return [round(from_si(float(v), LENGTH, unit), 5) for v in values]

    now = ptv.room(one.lobe, CURVE, place=one.place, slider=one.slider, lash=one.lash)
    other = changed(one, tried)
    after = ptv.room(other.lobe, CURVE, place=other.place, slider=other.slider, lash=other.lash) if tried else None
    return {"station": station, "words": station_map(look.layout)[station].words, "side": "intake" if is_intake(station) else "exhaust",
            "unit": unit, "angle": [round(float(a), 3) for a in np.degrees(CURVE)], "clearance": listed(now.clearances),
            "lift": listed(now.lifts), "depth": listed(now.depths), "changed": listed(after.clearances) if after else [],
            "least": None if lower is None else from_si(lower, LENGTH, unit)}
