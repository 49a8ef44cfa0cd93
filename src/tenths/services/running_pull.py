"""The pull of an engine from the parts as they are: torque and power over speed, what the cylinders breathe, and how sure that is.

What nobody read or stated about the gas side is guessed as common practice and said to be; a comparison changes some of it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi, radians, tau

import numpy as np
from numpy.typing import NDArray

from tenths.calc.gas import friction, fuel, pull, valves
from tenths.calc.gas.network import Network
from tenths.engine.quantity import Quantity, parse
from tenths.engine.units import unit_for
from tenths.errors import BadInput
from tenths.services.amounts import Answer
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

SPEEDS = 13
MOST_KEPT = 16
_PRESSURES: dict[tuple[str, tuple[float, ...], int], NDArray[np.float64]] = {}  # a pull takes longer than all that is made of it
# Guesses where nobody says: common practice, no source. Of the bore B: factor and power of B, or a fixed number.
GUESSES: Mapping[str, tuple[float, float]] = {
    "intake-valves": (1.0, 0), "exhaust-valves": (1.0, 0), "intake-valve-head": (0.50, 1), "exhaust-valve-head": (0.40, 1),
    "intake-valve-lift": (0.120, 1), "exhaust-valve-lift": (0.115, 1), "intake-duration": (radians(268), 0),
    "exhaust-duration": (radians(272), 0), "intake-centre": (radians(108), 0), "exhaust-centre": (radians(112), 0),
    "runner-length": (0.33, 0), "runner-mouth": (0.48, 1), "runner-port": (0.45, 1), "plenum-volume": (6.0e-3, 0),
    "throttle-bore": (0.80, 1), "primary-length": (0.80, 0), "primary-diameter": (0.42, 1), "secondary-length": (0.45, 0),
    "secondary-diameter": (0.62, 1), "richness": (1.12, 0), "burn-duration": (radians(24), 0),
}
WORDS = {name: name.replace("-", " ") for name in GUESSES} | {"fuel-octane": "octane number of the fuel"}
QUANTITIES: Mapping[str, Quantity] = (
    dict.fromkeys(GUESSES, Quantity.LENGTH)
    | dict.fromkeys(("intake-valves", "exhaust-valves", "richness"), Quantity.RATIO)
    | dict.fromkeys(("intake-duration", "exhaust-duration", "intake-centre", "exhaust-centre", "burn-duration"), Quantity.ANGLE)
    | {"plenum-volume": Quantity.VOLUME}
)
# What the answer's doubt is made of, besides sizes: relative standard uncertainty, and what is changed by it.
DOUBTS: Sequence[tuple[str, float, str]] = (
    ("flow of the valves", 0.05, "flow"), ("heat to the walls", 0.15, "burning__heat"), ("length of the burn", 0.12, "burning__duration"),
    ("friction", 0.12, "friction"), ("runner and header lengths", 0.03, "lengths"), ("duration of the lobes", 0.012, "duration"),
)


@dataclass(frozen=True, slots=True)
class Stated:
    """A size of the gas side [SI], and whether it was stated or guessed."""

    value: float
    origin: str


def sizes_of(model: Model, given: Mapping[str, str] | None = None) -> dict[str, Stated]:
    """The sizes of the gas side: what a comparison gives goes before what is stated, and that before a guess.

    Args:
        model: the engine as it runs.
        given: other sizes, as typed, by name.

    Raises:
        BadInput: for a name that is none, or a text that is no number of its kind.
    """
    bore = model.value("bore")
    found: dict[str, Stated] = {}
    for name, (factor, power) in GUESSES.items():
        said = model.inputs(name, "engine")
        found[name] = Stated(said.value, "stated") if said is not None else Stated(factor * bore**power, "taken")
    for name, text in (given or {}).items():
        if name not in GUESSES:
            raise BadInput(f"with: {name!r} is no size of the gas side; there are {', '.join(GUESSES)}")
        quantity = QUANTITIES[name]
        typed = parse(text, quantity, default_unit=unit_for(quantity, model.system), field=name)
        found[name] = Stated(float(typed.si), "tried")
    return found


def engine_of(model: Model, sizes: Mapping[str, Stated]) -> pull.Engine:
    """The gas side of an engine as `calc.gas.pull` takes it."""
    size = {name: one.value for name, one in sizes.items()}
    many = [round(size[f"{side}-valves"]) for side in ("intake", "exhaust")]
    usual = valves.USUAL_FOUR if many[0] > 1 else valves.USUAL_TWO
    sides = []
    for side, count, sign in (("intake", many[0], -1.0), ("exhaust", many[1], 1.0)):
        angles, lifts = valves.assumed_lobe(duration=size[f"{side}-duration"], lift=size[f"{side}-valve-lift"])
        centre = sign * (tau - size[f"{side}-centre"])
        head = size[f"{side}-valve-head"] / (1.0 if many[0] == 1 or sizes[f"{side}-valve-head"].origin != "taken" else 1.25)
        sides.append(valves.Valves(count=count, diameter=head, angles=angles, lifts=lifts, centre=centre, out_of=usual, into=usual))
    octane = model.inputs("fuel-octane", "engine")
    along = model.along()
    return pull.Engine(
        bore=model.value("bore"), stroke=model.value("stroke"), rod=model.value("rod_length"), offset=model.value("pin_offset"),
        compression=model.value("ratio"), fires=along.fires, intake=sides[0], exhaust=sides[1],
        induction=pull.Induction(runner=size["runner-length"], mouth=size["runner-mouth"], port=size["runner-port"],
                                 plenum=size["plenum-volume"], throttle=size["throttle-bore"]),
        outlet=pull.Outlet(primary=size["primary-length"], diameter=size["primary-diameter"], groups=headers(model),
                           secondary=size["secondary-length"], secondary_diameter=size["secondary-diameter"], merged=False),
        fuel=fuel.fuel("petrol 95", octane=octane.value - 5.0 if octane is not None else None), richness=size["richness"],
        burning=pull.Burning(duration=size["burn-duration"]), crevice=0.4e-6 * (model.value("bore") / 0.09) ** 2)


def headers(model: Model) -> tuple[tuple[int, ...], ...]:
    """Which cylinders' primaries meet: those of a bank, or of either half of a bank of six and more."""
    cylinders = model.layout.cylinders
    groups: list[tuple[int, ...]] = []
    for bank in dict.fromkeys(one.bank for one in cylinders):
        members = sorted((n for n, one in enumerate(cylinders) if one.bank == bank), key=lambda n: cylinders[n].place)
        half = len(members) // 2
        groups += [tuple(members)] if len(members) < 6 else [tuple(members[:half]), tuple(members[half:])]
    return tuple(groups)


def pulled(
    shop: Shop,
    engine: str,
    units: str = "",
    *,
    given: Mapping[str, str] | None = None,
    sure: bool = False,
    speeds: int = SPEEDS,
    progress: Callable[[int, int], None] | None = None,
) -> Answer:
    """Torque, power and the rest over speed at full throttle.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        given: other sizes of the gas side to try, as typed, by name.
        sure: also work out how sure it is; takes seven times as long.
        speeds: how many.
        progress: told how many of how many speeds are done.

    Raises:
        BadInput: when there is no such engine, bore, stroke or rod length are not known, or a size is none.
        Unsettled: when the gas came to what is no number; the message says where and at which speed.
    """
    if not 2 <= speeds <= 60:
        raise BadInput(f"speeds: {speeds} is not from 2 to 60")
    model = running_model(shop, engine, units).needed()
    sizes = sizes_of(model, given)
    of = engine_of(model, sizes)
    top = model.value("redline")
    rates = [top * (0.22 + 0.78 * k / (speeds - 1)) for k in range(speeds)]
    whole = speeds * (1 + len(DOUBTS) if sure else 1)

    def told(done: int, _of: int) -> None:
        if progress is not None:
            progress(done, whole)

    points = pull.pull(of, rates, progress=told)
    spread = _spread(of, rates, points, progress, whole) if sure else {}
    write = model.amounts
    rows = [_point(model, of, point, spread.get("torque", {}).get(k)) for k, point in enumerate(points)]
    best_torque, best_power = max(points, key=lambda p: p.torque), max(points, key=lambda p: p.power)
    return {
        "engine": engine, "points": rows, "settled": all(point.settled for point in points),
        "best": {"torque": write(best_torque.torque, Quantity.TORQUE), "torque_at": write(best_torque.speed, Quantity.SPEED),
                 "power": power(model, best_power.power), "power_at": write(best_power.speed, Quantity.SPEED)},
        "doubts": spread.get("causes", []), "notes": notes(model),
        "sizes": [{"name": name, "words": WORDS[name], **write(one.value, QUANTITIES[name]), "origin": one.origin}
                  for name, one in sizes.items()],
        "used": model.used("bore", "stroke", "rod_length", "ratio", "redline")}


def notes(model: Model) -> list[str]:
    """What a pull takes for granted, in sentences."""
    air, warm = model.amounts(99e3, Quantity.PRESSURE)["text"], model.amounts(298.15, Quantity.TEMPERATURE)["text"]
    return [
        "Lobes are those of a card, rising and falling alike, until lift is read; flow of the valves is usual for good heads.",
        (f"Air of {air} and {warm} at the inlet, exhaust open after the second pipes; half of the charge is burned 8 degrees after top "
         "dead centre, or as early as the end gas lets it (Livengood and Wu; Douaud and Eyzat)."),
        "Friction by a correlation for warm car engines, good to 15 %.",
        ("Held to one measured engine without fitting, it lay within 8.5 % of the torque (docs/pull.md); what a change does is known "
         "better than where the curve lies."),
    ]


def power(model: Model, watts: float) -> Answer:
    """A power, in kilowatts or in horsepower of 550 ft lbf/s."""
    unit, scale = ("kW", 1e-3) if model.system == "metric" else ("hp", 1 / 745.699872)
    return {"value": watts * scale, "unit": unit, "standard_uncertainty": None, "text": f"{watts * scale:.1f} {unit}"}


def _point(model: Model, of: pull.Engine, point: pull.Point, doubt: float | None) -> Answer:
    write = model.amounts

    def plain(value: float, unit: str, text: str) -> Answer:
        return {"value": value, "unit": unit, "standard_uncertainty": None, "text": f"{text} {unit}".strip()}

    unit, scale = ("g/kWh", 3.6e9) if model.system == "metric" else ("lb/hp h", 745.699872 * 3600 / 0.45359237)
    return {
        "speed": write(point.speed, Quantity.SPEED), "torque": write(point.torque, Quantity.TORQUE, doubt),
        "power": power(model, point.power),
        "mean_pressure": write(point.torque * 2 * tau / of.swept, Quantity.PRESSURE),
        "filling": plain(point.filling, "", f"{point.filling:.3f}"),
        "air": plain(point.air * 3600, "kg/h", f"{point.air * 3600:.0f}"),
        "fuel": plain(point.fuel * 3600, "kg/h", f"{point.fuel * 3600:.1f}"),
        "specific": plain(point.specific * scale, unit, f"{point.specific * scale:.3g}"),
        "residual": plain(point.residual * 100, "%", f"{point.residual * 100:.1f}"),
        "peak": write(point.peak, Quantity.PRESSURE, unit="bar" if model.system == "metric" else "psi", figures=3),
        "exhaust": write(point.exhaust, Quantity.TEMPERATURE, figures=3),
        "friction": write(point.friction, Quantity.PRESSURE), "pumping": write(-point.pumping, Quantity.PRESSURE),
        "half_burned": plain(point.middle * 180 / pi, "deg", f"{point.middle * 180 / pi:.1f}"), "knock": round(point.knock, 3),
        "each": [round(value, 4) for value in point.each], "mass_error": point.mass_error, "energy_error": point.energy_error,
        "cycles": point.cycles, "settled": point.settled}


# -- for the loads of crank, bearings and bolts ----------------------------------------------------------------------------

def cylinder_pressure(model: Model, speeds: Sequence[float], steps: int) -> NDArray[np.float64]:
    """Pressure of the mean cylinder at full throttle, from its firing dead centre on, at even angles [Pa]: speed x angle."""
    of = engine_of(model, sizes_of(model))
    key = (repr(of), tuple(speeds), steps)
    if key not in _PRESSURES:
        net = pull.built(of)
        rows = [_mean_pressure(of, net, speed, steps) for speed in speeds]
        if len(_PRESSURES) >= MOST_KEPT:
            _PRESSURES.pop(next(iter(_PRESSURES)))
        _PRESSURES[key] = np.array(rows)
    return _PRESSURES[key]


def _mean_pressure(of: pull.Engine, net: Network, speed: float, steps: int) -> NDArray[np.float64]:
    _, told = pull.run(of, net, speed)
    seen = pull.trace(net, told)
    own = np.linspace(0.0, 2 * tau, steps, endpoint=False)
    each = [np.interp(own + fires, seen.angles, seen.pressures[:, c], period=2 * tau) for c, fires in enumerate(of.fires)]
    return np.mean(each, axis=0)


# -- how sure --------------------------------------------------------------------------------------------------------------

def _changed(of: pull.Engine, what: str, by: float) -> pull.Engine:
    match what:
        case "flow":
            sides = [replace(side, out_of=tuple(v * (1 + by) for v in side.out_of), into=tuple(v * (1 + by) for v in side.into))
                     for side in (of.intake, of.exhaust)]
            return replace(of, intake=sides[0], exhaust=sides[1])
        case "duration":
            sides = [replace(side, angles=tuple(v * (1 + by) for v in side.angles)) for side in (of.intake, of.exhaust)]
            return replace(of, intake=sides[0], exhaust=sides[1])
        case "friction":
            a, b, c, d = friction.USUAL
            return replace(of, friction=(a * (1 + by), b * (1 + by), c * (1 + by), d * (1 + by)))
        case "lengths":
            return pull.changed(of, induction__runner=of.induction.runner * (1 + by), outlet__primary=of.outlet.primary * (1 + by))
        case _:
            outer, _, inner = what.partition("__")
            return pull.changed(of, **{what: getattr(getattr(of, outer), inner) * (1 + by)})


def _spread(
    of: pull.Engine, rates: Sequence[float], points: Sequence[pull.Point], progress: Callable[[int, int], None] | None, whole: int
) -> Answer:
    """Standard uncertainty of each torque from the parts of the model, and which of them makes most of it."""
    total = [0.0] * len(rates)
    causes: list[Answer] = []
    for number, (words, by, what) in enumerate(DOUBTS, 1):

        def told(done: int, _of: int, number: int = number) -> None:
            if progress is not None:
                progress(number * len(rates) + done, whole)

        moved = pull.pull(_changed(of, what, by), rates, progress=told)
        shifts = [b.torque - a.torque for a, b in zip(points, moved, strict=True)]
        total = [t + s * s for t, s in zip(total, shifts, strict=True)]
        causes.append({"cause": words, "by": f"{by:.1%}", "mean_shift": sum(map(abs, shifts)) / len(shifts),
                       "share": sum(s * s for s in shifts)})
    whole_share = sum(cause["share"] for cause in causes) or 1.0
    for cause in causes:
        cause["share"] = round(cause["share"] / whole_share, 4)
    causes.sort(key=lambda cause: -cause["share"])
    return {"torque": {k: t**0.5 for k, t in enumerate(total)}, "causes": causes}
