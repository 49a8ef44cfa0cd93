"""What shakes the engine, order by order, and the weighing sheet: what to take where, bobweights, corrections of the crank."""

import cmath
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from math import degrees, pi, radians

from tenths.calc import balance, motion
from tenths.engine.quantity import Quantity, parse
from tenths.errors import TenthsError
from tenths.findings.along import derived_share
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.findings.running import AROUND_NAMES, SHARE, UP_NAMES, around, house_share, up_and_down
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate, linear
from tenths.services.amounts import Answer
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

ORDERS = (1, 2, 4, 6)
STEEL, IRON, HEAVY = 7850.0, 7200.0, 17500.0  # kg/m3: steel, cast iron, tungsten alloy; handbook values, from memory
DRILLS = {"metric": (0.010, 0.012, 0.016, 0.020), "inch": (0.009525, 0.0127, 0.015875, 0.01905)}
WEIGHED = ("piston", "pin", "big_end", "small_end")
WORDS = {"piston": "pistons", "pin": "piston pins", "big_end": "big ends", "small_end": "small ends"}


def forces(shop: Shop, engine: str, units: str = "") -> Answer:
    """Firing intervals, and the forces and couples of each order that reach the mounts at the highest speed.

    The crank is taken to be balanced with its bobweights: what turns with the pins is gone, and of what goes up and down
    the share. Weights count as they were weighed, so that a lack of match shows as well.

    Raises:
        BadInput: when the engine has no layout, or bore, stroke or rod length are not known.
    """
    model = running_model(shop, engine, units).needed()
    share, whose = share_of(model.build)
    return {
        "engine": engine, "speed": model.amounts(model.value("redline"), Quantity.SPEED),
        "firing_order": list(model.layout.firing_order), "firing_intervals": list(model.layout.firing_intervals()),
        "share": share, "share_authority": whose, "derived": derived(model), "motion": motion_rows(model), "orders": orders(model, share),
        "used": model.used("stroke", "rod_length", "pin_offset", "redline", "spacing", "reciprocating", "rotating"),
    }


def motion_rows(model: Model) -> list[Answer]:
    """The slider-crank of the mean cylinder: dead centres and stroke with the offset pin, speeds, acceleration, dwell."""
    sizes = [e for name in ("stroke", "rod_length", "pin_offset") if (e := model.sizes[name].estimate)]
    speed = model.value("redline")

    def row(words: str, quantity: Quantity, formula: Callable[..., float]) -> Answer:
        found = linear(lambda s, rod, offset: formula(stroke=s, rod_length=rod, pin_offset=offset), *sizes)
        return {"words": words, **model.amounts(found.value, quantity, found.u or None)}

    rows = [
        row("stroke from dead centre to dead centre", Quantity.LENGTH, motion.true_stroke),
        row("top dead centre after the crankpin stands in line", Quantity.ANGLE, lambda **s: motion.dead_centres(**s)[0]),
        row("bottom dead centre after half a turn", Quantity.ANGLE, lambda **s: motion.dead_centres(**s)[1] - pi),
        row("largest lean of the rod", Quantity.ANGLE, motion.largest_rod_angle),
        row("fastest piston", Quantity.VELOCITY, lambda **s: motion.peak_piston_speed(**s, speed=speed)),
        row("where it is fastest", Quantity.ANGLE, motion.peak_speed_angle),
        row("greatest acceleration", Quantity.ACCELERATION, lambda **s: motion.peak_piston_acceleration(**s, speed=speed)),
        row("dwell within a hundredth of the stroke of the top", Quantity.ANGLE,
            lambda **s: motion.dwell(depth=s["stroke"] / 100, **s))]
    return [r for r in rows if model.value("pin_offset") or not r["words"].startswith(("top dead", "bottom dead", "stroke from"))]


def share_of(build: Build) -> tuple[float, str]:
    """The reciprocating share that bobweights carry, and who said so: sheet, house, or the layout itself."""
    assert build.layout is not None  # noqa: S101 - looked at by the model
    stated = build.stated("engine", SHARE)
    if stated is not None:
        return stated.value, stated.source or "maker's sheet"
    house = house_share(build)
    return (house, "house rule") if house is not None else (derived_share(build.layout), "from the layout")


def derived(model: Model) -> Answer:
    """What of the first order turns with the crank and what against it, all weights alike, and the shares that follow."""
    found = balance.reciprocating_share(model.along().cylinders([1.0] * len(model.layout.labels)))
    return {"force_with": found.force_forward, "force_against": found.force_backward, "couple_with": found.couple_forward,
            "couple_against": found.couple_backward, "share_for_force": found.least_force, "share_for_couple": found.least_couple}


def orders(model: Model, share: float) -> list[Answer]:
    """Each order: force and couple as an ellipse, with the uncertainty of its long axis."""
    along = model.along()

    @cache
    def shaken(stroke: float, rod_length: float, *masses: float) -> Mapping[int, balance.Shaking]:
        counter = [-share * m * stroke / 2 * cmath.exp(1j * throw) for m, throw in zip(masses, along.throws, strict=True)]
        rows = balance.shaking(along.cylinders(masses), stroke=stroke, rod_length=rod_length, speed=model.value("redline"),
                               pin_offset=model.value("pin_offset"), orders=ORDERS, counterweights=counter)
        return {row.order: row for row in rows}

    sizes = [model.sizes["stroke"], model.sizes["rod_length"], *(model.reciprocating[label] for label in along.labels)]
    inputs = [size.estimate for size in sizes if size.estimate is not None]
    here = shaken(*(e.value for e in inputs))
    return [_order(model, here[order], linear(lambda *v, o=order: shaken(*v)[o].force.largest, *inputs),
                   linear(lambda *v, o=order: shaken(*v)[o].couple.largest, *inputs)) for order in ORDERS]


def _order(model: Model, row: balance.Shaking, force: Estimate, couple: Estimate) -> Answer:
    return {"order": row.order, "force": _ellipse(model, row.force, force, Quantity.FORCE),
            "couple": _ellipse(model, row.couple, couple, Quantity.TORQUE)}


def _ellipse(model: Model, whirl: balance.Whirl, largest: Estimate, quantity: Quantity) -> Answer:
    nothing = 0.5 if quantity is Quantity.FORCE else 0.05  # N, N m: below what any mount feels
    turns = whirl.largest > nothing and whirl.smallest > 0.95 * whirl.largest
    way = "none" if whirl.largest < nothing else "turns with the crank" if turns and abs(whirl.forward) > abs(whirl.backward) else (
        "turns against the crank" if turns else "swings" if whirl.smallest < 0.05 * whirl.largest else "runs round an ellipse")
    felt = way != "none"
    return {"largest": model.amounts(whirl.largest if felt else 0.0, quantity, largest.u if felt else None),
            "smallest": model.amounts(whirl.smallest if felt else 0.0, quantity, figures=3), "direction": degrees(whirl.direction),
            "way": way,
            "forward": [whirl.forward.real, whirl.forward.imag], "backward": [whirl.backward.real, whirl.backward.imag]}


# -- the weighing sheet ------------------------------------------------------------------------------------------------

def weighing_sheet(shop: Shop, engine: str, units: str = "") -> Answer:
    """What was weighed, what to take off which part, pins matched to pistons, bobweights, and corrections of the crank.

    Raises:
        BadInput: when there is no such engine or it has no layout.
    """
    model = running_model(shop, engine, units)
    rows = _weights(model)
    found = {f.characteristic.name: f for f in shop.checked(model.build) if f.station == "crank"}
    share, whose = share_of(model.build)
    return {"engine": engine, "parts": rows, "take_off": [_take_off(model, name, rows) for name in WEIGHED],
            "match": _match(model, rows), "share": share, "share_authority": whose,
            "bobweights": _bobweights(shop, model), "planes": _planes(model, found), "ends": _ends(shop, model)}


def _weights(model: Model) -> list[Answer]:
    """Every weight of every cylinder as read or stated; None where it is not known."""
    resolver = Resolver(model.build, InstrumentBook(model.build))
    rows: list[Answer] = []
    for label in model.layout.labels:
        needs = zip((*up_and_down(label), *around(label)), (*UP_NAMES, *AROUND_NAMES), strict=True)
        row: Answer = {"cylinder": label}
        for need, name in needs:
            known = resolver.input(need.name, need.at, need.feature, (), None)
            value = known.estimate
            row[name] = {**model.amounts(value.value if value else None, Quantity.MASS, value.u if value else None),
                         "origin": known.origin, "stale": list(known.stale)}
        rows.append(row)
    return rows


def _take_off(model: Model, name: str, rows: Sequence[Answer]) -> Answer:
    """How much to take off each part so that all weigh what the lightest does; empty unless all are weighed."""
    masses = [_si(row[name], Quantity.MASS) for row in rows]
    known = [m for m in masses if m is not None]
    complete = bool(known) and len(known) == len(masses) and any(row[name]["origin"] == "read" for row in rows)
    off = balance.to_lightest(masses=known) if complete else ()
    return {"part": name, "words": WORDS[name], "complete": complete,
            "rows": [{"cylinder": row["cylinder"], "take": model.amounts(take, Quantity.MASS)}
                     for row, take in zip(rows, off, strict=False)],
            "largest": model.amounts(max(off, default=None), Quantity.MASS)}


def _si(written: Answer, quantity: Quantity) -> float | None:
    return None if written["value"] is None else written["value"] * parse("1", quantity, default_unit=written["unit"]).si


def _match(model: Model, rows: Sequence[Answer]) -> Answer | None:
    """Pins dealt to pistons, the heaviest to the lightest: how much less is then to be taken off. None unless all are weighed."""
    pistons, pins = ([_si(row[name], Quantity.MASS) for row in rows] for name in ("piston", "pin"))
    if None in pistons or None in pins or not any(row["pin"]["origin"] == "read" for row in rows):
        return None
    light = sorted(range(len(rows)), key=lambda k: pistons[k] or 0.0)
    heavy = sorted(range(len(rows)), key=lambda k: -(pins[k] or 0.0))
    dealt = dict(zip(light, heavy, strict=True))
    sums = {k: (pistons[k] or 0.0) + (pins[dealt[k]] or 0.0) for k in dealt}
    now = [(a or 0.0) + (b or 0.0) for a, b in zip(pistons, pins, strict=True)]
    return {"pairs": [{"piston": rows[k]["cylinder"], "pin": rows[dealt[k]]["cylinder"], "together": model.amounts(sums[k], Quantity.MASS)}
                      for k in range(len(rows))],
            "spread_now": model.amounts(max(now) - min(now), Quantity.MASS),
            "spread_then": model.amounts(max(sums.values()) - min(sums.values()), Quantity.MASS)}


def _bobweights(shop: Shop, model: Model) -> list[Answer]:
    """The bobweight of each crankpin as found or expected."""
    rows: list[Answer] = []
    for f in shop.checked(model.build):
        if f.characteristic.name == "bobweight":
            value = f.value if f.value is not None else f.expected
            rows.append({"pin": f.station, **model.amounts(value, Quantity.MASS, f.standard_uncertainty), "missing": list(f.missing),
                         "verdict": str(f.verdict)})
    return rows


def _planes(model: Model, found: Mapping[str, Finding]) -> list[Answer]:
    """Each correction plane: allowed, left over, and the holes or slugs that take the excess away."""
    allowed, rows = found.get("unbalance-allowed"), []
    whole = (allowed.value or allowed.expected) if allowed else None
    resolver = Resolver(model.build, InstrumentBook(model.build))
    radius = resolver.input("radius", "crank", "correction-radius", (), None).estimate
    for plane in ("front", "rear"):
        left = resolver.input("left", "crank", f"unbalance-{plane}", (), None).estimate
        angle = resolver.input("angle", "crank", f"unbalance-{plane}-angle", (), None).estimate
        margin = found.get(f"unbalance-{plane}-margin")
        rows.append({
            "plane": plane, "allowed": model.amounts(whole / 2 if whole else None, Quantity.MASS_MOMENT),
            "left": model.amounts(left.value if left else None, Quantity.MASS_MOMENT, left.u if left else None),
            "heavy_at": degrees(angle.value) % 360 if angle else None,
            "add_at": (degrees(angle.value) + 180) % 360 if angle else None,
            "verdict": str(margin.verdict) if margin else "not measured",
            "corrections": corrections(model, left.value, radius.value) if left and radius and left.value > 0 else []})
    return rows


def corrections(model: Model, unbalance: float, radius: float) -> list[Answer]:
    """Depths of holes that take an unbalance [kg m] away at a radius [m], and of heavy slugs that make it up opposite."""
    rows, metal = list[Answer](), _metal(model)
    for drill in DRILLS[model.system]:
        try:
            hole = balance.hole_depth(unbalance=unbalance, radius=radius, diameter=drill, density=metal)
            slug = balance.hole_depth(unbalance=unbalance, radius=radius, diameter=drill, density=metal, filling=HEAVY)
        except TenthsError:
            continue
        rows.append({"diameter": model.amounts(drill, Quantity.LENGTH, figures=3), "hole": model.amounts(hole, Quantity.LENGTH, figures=3),
                     "slug": model.amounts(slug, Quantity.LENGTH, figures=3)})
    return rows


def _metal(model: Model) -> float:
    """Density of the crank by the card of the part that is fitted: cast iron where it says iron, else steel [kg/m3]."""
    part = model.build.parts.get(model.build.part_in("crank"))
    said = f"{part.card.material} {part.card.words}".lower() if part else ""
    return IRON if "iron" in said else STEEL


def _ends(shop: Shop, model: Model) -> list[Answer]:
    """What the crank's counterweights amount to in the planes of the first and last throw, to hold all bobweights.

    What of it is not on the crank is external, in damper and flywheel. Empty unless all bobweights and the stroke are known.
    """
    weights = {f.station: f.value if f.value is not None else f.expected for f in shop.checked(model.build)
               if f.characteristic.name == "bobweight"}
    if model.missing or None in weights.values() or model.layout.throws < 2 or share_of(model.build)[0] == 0.0:
        return []
    along, radius = model.along(), model.value("stroke") / 2
    sign = 1.0 if model.layout.turns == "clockwise" else -1.0
    pins = model.layout.pins
    added = balance.two_plane_correction(
        unbalances=[cmath.rect((weights[f"pin.{pin.number}"] or 0.0) * radius, sign * radians(pin.angle)) for pin in pins],
        positions=[along.throw_places[pin.throw - 1] for pin in pins], planes=(along.throw_places[0], along.throw_places[-1]))
    return [{"plane": name, "add": model.amounts(abs(u), Quantity.MASS_MOMENT), "angle": round(degrees(cmath.phase(u)) % 360, 2)}
            for name, u in zip(("front", "rear"), added, strict=True)]

