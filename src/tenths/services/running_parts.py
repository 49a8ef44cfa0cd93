"""Piston pin and big end at speed: pressures, bending, how far the bore closes in; judged by common practice."""

from math import inf, pi

import numpy as np

from tenths.calc import pistonpin, rodbolt
from tenths.calc.motion import piston_acceleration
from tenths.engine.quantity import Quantity
from tenths.findings.check import rule_of
from tenths.findings.running import up_and_down
from tenths.metrology.decide import decide
from tenths.metrology.estimate import Estimate, linear
from tenths.services.amounts import Answer
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

STEEL = 206e9  # Pa
# Common practice, no source: pin in a bronze bush, pin in aluminium bosses, bending of a case-hardened pin [Pa].
BUSH, BOSS, BENDING = 90e6, 70e6, 420e6
PIN_SIZES = (("outside", "diameter", "cyl.{c}.pin"), ("inside", "inside-diameter", "cyl.{c}.pin"),
             ("rod_width", "small-end-width", "rod.{c}"), ("boss_gap", "boss-gap", "cyl.{c}.piston"),
             ("boss_length", "boss-length", "cyl.{c}.piston"))


def stressed(shop: Shop, engine: str, units: str = "") -> list[Answer]:
    """Pressures and bending of the piston pin under the greatest push or pull, and the close-in of the big end.

    Only what all sizes are known of is told. The greatest load is that of the gas at its peak less the masses above the pin
    at low speed, or the pull of those masses at the top of the overlap at the highest speed.
    """
    model = running_model(shop, engine, units).needed()
    return [*_pin(model), *_big_end(model)]


def _judged(model: Model, name: str, words: str, value: Estimate, answer: Answer, upper: float | None, limit: str) -> Answer:
    verdict = str(decide(value.value, value.u, None, upper, rule=rule_of(model.build.house), freedom=inf)) if upper else "no limit"
    return {"name": name, "words": words, **answer, "verdict": verdict, "limit": limit,
            "authority": "common practice, no source" if upper else ""}


def above_pin(model: Model) -> float:
    """Mass of piston, pin, rings and locks of the mean cylinder [kg]: what goes up and down less the small end."""
    small = model.inputs(up_and_down("{c}")[-1].feature, "rod.{c}")
    whole = model.value("reciprocating")
    return whole - (small.value if small else 0.25 * whole)


def _pin(model: Model) -> list[Answer]:
    sizes = {name: model.inputs(feature, where) for name, feature, where in PIN_SIZES}
    if any(size is None for size in sizes.values()):
        return []
    from tenths.services.running_loads import INPUTS, PARTS, gas_over_cycle  # noqa: PLC0415 - it takes this module in

    given = {name: model.value(name) for name in INPUTS}
    speeds = tuple(part * model.value("redline") for part in PARTS)
    peak = float(gas_over_cycle(model, speeds, given, open_=True).max())
    gas = (peak - 101325.0) * pi / 4 * model.value("bore") ** 2
    pull = above_pin(model) * _top_acceleration(model)
    load = Estimate(max(gas, pull), {"taken:gas" if gas > pull else "taken:speed": (0.12 if gas > pull else 0.01) * max(gas, pull)}, {})
    inputs = [load, *(size for size in sizes.values() if size is not None)]

    def stress(which: str) -> Estimate:
        def formula(force: float, *rest: float) -> float:
            named = dict(zip(sizes, rest, strict=True))
            return getattr(pistonpin.pin_stress(load=force, **named), which)

        return linear(formula, *inputs)

    what = "the gas at low speed" if gas > pull else "the pull at the top of the overlap"
    rows = [_judged(model, "pin-load", f"greatest load on a piston pin, {what}", load, model.amounts.force(load.value, load.u), None, "")]
    for which, words, most in (("rod_pressure", "piston pin in the small end", BUSH), ("boss_pressure", "piston pin in its bosses", BOSS),
                               ("bending", "bending of the piston pin", BENDING)):
        found = stress(which)
        rows.append(_judged(model, which.replace("_", "-"), words, found, model.amounts.stress(found.value, found.u), most,
                            f"at most {model.amounts.stress(most)['text']}"))
    return rows


def _top_acceleration(model: Model) -> float:
    """Greatest acceleration of the piston at the highest speed [m/s2]."""
    angles = np.linspace(-0.1, 0.1, 41)
    return float(piston_acceleration(angles, stroke=model.value("stroke"), rod_length=model.value("rod_length"),
                                     pin_offset=model.value("pin_offset"), speed=model.value("redline")).max())


def _big_end(model: Model) -> list[Answer]:
    wall, width, bore = (model.inputs(feature, "rod.{c}") for feature in ("big-end-wall", "big-end-width", "housing-bore"))
    if wall is None or width is None or bore is None:
        return []
    pull = model.value("reciprocating") * _top_acceleration(model)
    found = linear(lambda t, b, d: rodbolt.big_end_close_in(pull=pull, mean_radius=(d + t) / 2, thickness=t, width=b, modulus=STEEL).across,
                   wall, width, bore)
    return [_judged(model, "close-in", "close-in of the big end across the split, as a bare ring would: an upper bound", found,
                    model.amounts(found.value, Quantity.LENGTH, found.u), None, "")]
