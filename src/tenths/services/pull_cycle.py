"""One speed of the pull over its cycle: pressure, temperature and flow of a cylinder, and the waves in its pipes."""

from collections.abc import Mapping
from math import degrees, tau
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc.gas import pull
from tenths.calc.motion import cylinder_volume
from tenths.engine.quantity import Quantity, from_si, parse
from tenths.errors import BadInput
from tenths.services.amounts import Answer
from tenths.services.pull_sizes import engine_of, sizes_of
from tenths.services.pull_variants import sizes_kept
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

Floats = NDArray[np.float64]
MOMENTS = 361  # of the cycle, ends included
PLACES = 24  # of a pipe in the picture of waves, at most


def cycle(
    shop: Shop, engine: str, units: str = "", *, speed: str = "", cylinder: str = "", given: Mapping[str, str] | None = None,
    variant: str = "",
) -> Answer:
    """One speed at full throttle over its cycle.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        speed: of the crank, as typed; two thirds of the highest when left out.
        cylinder: its label; the first that fires when left out.
        given: other sizes of the gas side to try, as typed, by name.
        variant: a variant kept under that name, which sizes given are changes of.

    Raises:
        BadInput: as `pulled`, or for a speed or a cylinder that is none.
        Unsettled: as `pulled`.
    """
    model = running_model(shop, engine, units).needed()
    of = engine_of(model, sizes_of(model, sizes_kept(model.build, variant) | dict(given or {})))
    at = _speed(model, speed)
    number = _number(model, cylinder)
    point, told, net = pull.run_surely(of, pull.built(of), at)
    seen = pull.trace(net, told)
    return _told(model, of, point, seen, number) | {"engine": engine}


def _speed(model: Model, text: str) -> float:
    top = model.value("redline")
    if not text.strip():
        return 2.0 / 3.0 * top
    value = float(parse(text, Quantity.SPEED, default_unit="rpm", field="speed").si)
    if not 0.05 * top <= value <= 1.3 * top:
        low, high = (model.amounts(share * top, Quantity.SPEED)["text"] for share in (0.05, 1.3))
        raise BadInput(f"speed: {text!r} is not from {low} to {high}")
    return value


def _number(model: Model, label: str) -> int:
    wanted = label or model.layout.firing_order[0]
    model.layout.cylinder(wanted)
    return [one.label for one in model.layout.cylinders].index(wanted)


def _told(model: Model, of: pull.Engine, point: pull.Point, seen: pull.Trace, number: int) -> Answer:
    own = np.linspace(-tau, tau, MOMENTS)  # from the dead centre between exhaust and intake to the next, firing in the middle
    write = model.amounts
    unit = "bar" if model.system == "metric" else "psi"
    warm = write(300.0, Quantity.TEMPERATURE)["unit"]

    def curve(rows: Floats) -> Floats:
        return np.interp(own + of.fires[number], seen.angles, rows[:, number], period=2 * tau)

    mass = curve(seen.masses)
    return {
        "speed": write(point.speed, Quantity.SPEED), "cylinder": model.layout.cylinders[number].label, "settled": point.settled,
        "torque": write(point.torque, Quantity.TORQUE), "peak": write(point.peak, Quantity.PRESSURE, unit=unit, figures=3),
        "angle": [round(degrees(float(a)), 2) for a in own], "pressure_unit": unit, "temperature_unit": warm, "flow_unit": "g/s",
        "volume_unit": "cc", "volume": [round(float(v) * 1e6, 3) for v in _volumes(of, own)],
        "pressure": [round(from_si(float(v), Quantity.PRESSURE, unit), 4) for v in curve(seen.pressures)],
        "temperature": [round(from_si(float(v), Quantity.TEMPERATURE, warm), 1) for v in curve(seen.temperatures)],
        "mass": [round(float(m) * 1e6, 2) for m in mass], "mass_unit": "mg",
        "flow": [round(float(f) * 1e3, 3) for f in np.gradient(mass, own) * point.speed],
        "waves": [_wave(words, seen.waves[name], of.fires[number], own, unit) for name, words in _pipes(model, seen, number)]}


def _volumes(of: pull.Engine, angles: Floats) -> Floats:
    swept = of.swept / len(of.fires)
    clearance = swept / (of.compression - 1.0)
    return np.asarray(cylinder_volume(angles, bore=of.bore, stroke=of.stroke, rod_length=of.rod, pin_offset=of.offset, clearance=clearance))


def _pipes(model: Model, seen: pull.Trace, number: int) -> list[tuple[str, str]]:
    """The pipes of a cylinder with what to call them: its runner, its primary, and what its primary leads to."""
    label = model.layout.cylinders[number].label
    found = [(f"runner {number + 1}", f"intake runner of cylinder {label}"), (f"primary {number + 1}", f"primary of cylinder {label}")]
    return [(name, words) for name, words in found if name in seen.waves]


def _wave(words: str, rows: Floats, fires: float, own: Floats, unit: str) -> dict[str, Any]:
    """Pressure over angle and place of a pipe, thinned to what a picture shows."""
    moments = np.linspace(0.0, 2 * tau, rows.shape[0], endpoint=False)
    angles = own[::3]
    places = np.unique(np.linspace(0, rows.shape[1] - 1, min(PLACES, rows.shape[1])).round().astype(int))
    pressure = [[round(from_si(float(v), Quantity.PRESSURE, unit), 4)
                 for v in np.interp(angles + fires, moments, rows[:, place], period=2 * tau)] for place in places]
    return {"words": words, "angle": [round(degrees(float(a)), 1) for a in angles],
            "place": [round((float(place) + 0.5) / rows.shape[1], 4) for place in places], "pressure": pressure, "unit": unit}
