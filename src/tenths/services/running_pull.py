"""The pull of an engine from the parts as they are: torque and power over speed, what the cylinders breathe, and how sure that is.

What nobody read or stated about the gas side is guessed as common practice and said to be; a comparison changes some of it.
"""

from collections.abc import Callable, Mapping, Sequence
from math import pi, tau

import numpy as np
from numpy.typing import NDArray

from tenths.calc.gas import pull
from tenths.calc.gas.network import Network
from tenths.calc.gas.rubbing import Rubbing, parts
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.services.amounts import Answer
from tenths.services.pull_doubts import DOUBTS, spread_of
from tenths.services.pull_points import at_hand, points_of
from tenths.services.pull_rubbing import with_film
from tenths.services.pull_sizes import NAMED, QUANTITIES, WORDS, Stated, engine_of, sizes_of, tried_in
from tenths.services.pull_valves import measured_of, said
from tenths.services.pull_variants import sizes_kept, variants_of
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

SPEEDS = 13
MOST_KEPT = 16
_PRESSURES: dict[tuple[str, tuple[float, ...], int], NDArray[np.float64]] = {}  # a pull takes longer than all that is made of it


def pulled(
    shop: Shop,
    engine: str,
    units: str = "",
    *,
    given: Mapping[str, str] | None = None,
    sure: bool = False,
    speeds: int = SPEEDS,
    variant: str = "",
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
        variant: a variant kept under that name, which sizes given are changes of.
        progress: told how many of how many speeds are done.

    Raises:
        BadInput: when there is no such engine, bore, stroke or rod length are not known, or a size is none.
        Unsettled: when the gas came to what is no number; the message says where and at which speed.
    """
    model, sizes, of, rates = _laid_out(shop, engine, units, given, variant, speeds)
    whole = speeds * (1 + len(DOUBTS) if sure else 1)

    def told(done: int, _of: int) -> None:
        if progress is not None:
            progress(done, whole)

    points = points_of(of, rates, told)
    write = model.amounts
    spread = spread_of(of, rates, points, progress, whole, lambda moved: write(moved, Quantity.TORQUE)["text"],
                       measured_of(model, {name: one.value for name, one in sizes.items()})) if sure else {}
    rows = [_point(model, of, point, spread["each"][k] if spread else {}) for k, point in enumerate(points)]
    best_torque, best_power = max(points, key=lambda p: p.torque), max(points, key=lambda p: p.power)
    return {
        "engine": engine, "variant": variant, "variants": variants_of(model.build), "points": rows,
        "settled": all(point.settled for point in points),
        "best": {"torque": write(best_torque.torque, Quantity.TORQUE), "torque_at": write(best_torque.speed, Quantity.SPEED),
                 "power": power(model, best_power.power), "power_at": write(best_power.speed, Quantity.SPEED)},
        "doubts": spread.get("causes", []),
        "notes": [*(f"At {write(point.speed, Quantity.SPEED)['text']} cycles did not come to repeat: {point.lacking}."
                    for point in points if not point.settled),
                  *said(model, {name: one.value for name, one in sizes.items()}, tried_in(sizes)), *notes(model)],
        "sizes": [_size(model, name, one) for name, one in sizes.items()],
        "used": model.used("bore", "stroke", "rod_length", "ratio", "redline")}


def at_once(shop: Shop, engine: str) -> bool:
    """Whether the pull of the engine as it is was run already, so that it comes at once; raises BadInput as `pulled`."""
    *_, of, rates = _laid_out(shop, engine, "", None, "", SPEEDS)
    return at_hand(of, rates)


def _laid_out(
    shop: Shop, engine: str, units: str, given: Mapping[str, str] | None, variant: str, speeds: int
) -> tuple[Model, dict[str, Stated], pull.Engine, list[float]]:
    """The engine with its sizes, as the gas sees it, and the speeds [rad/s]."""
    if not 2 <= speeds <= 60:
        raise BadInput(f"speeds: {speeds} is not from 2 to 60")
    model = running_model(shop, engine, units).needed()
    sizes = sizes_of(model, sizes_kept(model.build, variant) | dict(given or {}))
    of = with_film(shop, engine, model, engine_of(model, sizes))
    top = model.value("redline")
    return model, sizes, of, [top * (0.22 + 0.78 * k / (speeds - 1)) for k in range(speeds)]


def _size(model: Model, name: str, one: Stated) -> Answer:
    written = model.amounts(one.value, QUANTITIES[name])
    named = {"text": NAMED[name][round(one.value)], "unit": ""} if name in NAMED else {}
    return {"name": name, "words": WORDS[name], **written, **named, "origin": one.origin, "names": list(NAMED.get(name, ()))}


def notes(model: Model) -> list[str]:
    """What a pull takes for granted, in sentences."""
    air, warm = model.amounts(99e3, Quantity.PRESSURE)["text"], model.amounts(298.15, Quantity.TEMPERATURE)["text"]
    return [
        (f"Air of {air} and {warm} at the inlet, exhaust open after the second pipes; half of the charge is burned 8 degrees after top "
         "dead centre, or as early as the end gas lets it (Livengood and Wu; Douaud and Eyzat)."),
        ("Friction part by part after measurements of warm car engines (Patton, Nitschke and Heywood), each to some 30 %; windage as the "
         "drag of the webs; main and rod bearings by their oil film, as measured and with the oil as stated."),
        ("Held to one measured engine without fitting, it lay within 8 % of the torque (docs/pull.md); what a change does is known "
         "better than where the curve lies."),
    ]


def power(model: Model, watts: float, u: float | None = None) -> Answer:
    """A power, in kilowatts or in horsepower of 550 ft lbf/s."""
    unit, scale = ("kW", 1e-3) if model.system == "metric" else ("hp", 1 / 745.699872)
    return _plain(watts * scale, unit, 1, None if u is None else u * scale)


def _plain(value: float, unit: str, digits: int, u: float | None = None) -> Answer:
    """A number in a unit that people do not choose, with so many decimals; with its 95 % interval where it has an uncertainty."""
    text = f"{value:.{digits}f}" + (f" ±{2 * u:.{digits}f}" if u else "")
    return {"value": value, "unit": unit, "standard_uncertainty": u or None, "text": f"{text} {unit}".strip()}


def _point(model: Model, of: pull.Engine, point: pull.Point, doubt: Mapping[str, float]) -> Answer:
    write, u = model.amounts, doubt.get

    def scaled(name: str, scale: float, unit: str, digits: int) -> Answer:
        own = u(name)
        return _plain(getattr(point, name) * scale, unit, digits, None if own is None else own * scale)

    metric = model.system == "metric"
    fuel = ("specific", 3.6e9, "g/kWh", 0) if metric else ("specific", 745.699872 * 3600 / 0.45359237, "lb/hp h", 3)
    pressure = {"unit": "bar" if metric else "psi", "figures": 3}
    shares = 2 * tau / of.swept
    return {
        "speed": write(point.speed, Quantity.SPEED), "torque": write(point.torque, Quantity.TORQUE, u("torque")),
        "power": power(model, point.power, u("power")),
        "mean_pressure": write(point.torque * shares, Quantity.PRESSURE, u("torque", 0.0) * shares or None),
        "filling": scaled("filling", 1.0, "", 3), "air": scaled("air", 3600.0, "kg/h", 0), "fuel": scaled("fuel", 3600.0, "kg/h", 1),
        "specific": scaled(*fuel), "residual": scaled("residual", 100.0, "%", 1),
        "peak": write(point.peak, Quantity.PRESSURE, u("peak"), **pressure),
        "exhaust": write(point.exhaust, Quantity.TEMPERATURE, u("exhaust"), figures=3),
        "friction": write(point.friction, Quantity.PRESSURE, u("friction")), "rubs": _rubs(model, of, point),
        "pumping": write(-point.pumping, Quantity.PRESSURE, u("pumping")),
        "half_burned": scaled("middle", 180 / pi, "deg", 1), "knock": round(point.knock, 3),
        "each": [round(value, 4) for value in point.each], "mass_error": point.mass_error, "energy_error": point.energy_error,
        "cycles": point.cycles, "settled": point.settled}


def _rubs(model: Model, of: pull.Engine, point: pull.Point) -> list[Answer]:
    """Friction by part, largest first."""
    if not isinstance(of.friction, Rubbing):
        return []
    each = parts(of.friction, speed=point.speed, inlet=of.air[0] / 99e3)
    write = model.amounts
    return [{"part": name, **write(value, Quantity.PRESSURE), "torque": write(value * of.swept / (2 * tau), Quantity.TORQUE)}
            for name, value in sorted(each.items(), key=lambda row: -row[1])]


# -- for the loads of crank, bearings and bolts ----------------------------------------------------------------------------

def cylinder_pressure(model: Model, speeds: Sequence[float], steps: int) -> NDArray[np.float64]:
    """Pressure of the mean cylinder at full throttle, from its firing dead centre on, at even angles [Pa]: speed x angle."""
    of = engine_of(model, sizes_of(model))
    key = (repr(of), tuple(speeds), steps)
    if key not in _PRESSURES:
        net, rows = pull.built(of), list[NDArray[np.float64]]()
        for speed in speeds:
            row, net = _mean_pressure(of, net, speed, steps)
            rows.append(row)
        if len(_PRESSURES) >= MOST_KEPT:
            _PRESSURES.pop(next(iter(_PRESSURES)))
        _PRESSURES[key] = np.array(rows)
    return _PRESSURES[key]


def _mean_pressure(of: pull.Engine, net: Network, speed: float, steps: int) -> tuple[NDArray[np.float64], Network]:
    _, told, net = pull.run_surely(of, net, speed)
    seen = pull.trace(net, told)
    own = np.linspace(0.0, 2 * tau, steps, endpoint=False)
    each = [np.interp(own + fires, seen.angles, seen.pressures[:, c], period=2 * tau) for c, fires in enumerate(of.fires)]
    return np.mean(each, axis=0), net
