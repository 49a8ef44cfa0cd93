"""Loads over the cycle: turning moment, crankpins and mains, at several speeds, with what the inputs' doubt makes of them.

The gas pressure is that of the pull where valves and lobes are stated, else the built-in model's: polytropic with a Wiebe burn, good
to some ten per cent. Mains are loaded twice:
as if the crank were hinged at each, and as one elastic beam in elastic saddles; the truth lies about between.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import pi, radians, tau

import numpy as np
from numpy.typing import NDArray

from tenths.calc import balance, loads, motion, pressure, saddles
from tenths.engine.quantity import Quantity
from tenths.findings.along import Along
from tenths.metrology.estimate import Estimate, linear
from tenths.services.amounts import Answer
from tenths.services.running_balance import share_of
from tenths.services.running_model import Model, running_model
from tenths.services.running_parts import stressed
from tenths.services.shop import Shop

STEPS = 720  # of the cycle: one degree each
PARTS = (0.5, 0.75, 1.0)  # of the highest speed
STEEL = 206e9  # Pa, Young's modulus
BEAM = 0.5  # bending stiffness of a crank over that of a bar of its main journals: common practice, no source
SADDLE = 1.0e9  # N/m, saddle with its film: common practice, no source
# Full throttle of an engine that breathes freely: common practice, no source.
INLET, EXHAUST, CHARGE_K = 0.95e5, 1.10e5, 320.0
BOOSTED = 1.7  # times the inlet pressure where the use is "boosted"
AIR_FUEL, FUEL, TO_GAS, BURN, EXHAUST_OPENS = 12.8, 43.4e6, 0.72, radians(55.0), radians(58.0)
CLOSED = 0.35e5  # Pa, inlet with the throttle closed
INPUTS = ("bore", "stroke", "rod_length", "pin_offset", "reciprocating", "rotating", "ratio", "closes", "inlet", "heat", "spark")


@dataclass(frozen=True, slots=True)
class Cycle:
    """All loads of an engine over a cycle at several speeds.

    Attributes:
        along: the layout along the crank.
        speeds: of the crank [rad/s].
        pressure: in a cylinder from its firing dead centre on [Pa]: speed x angle.
        rods: loads of the rods and the turning moment.
        hinged: loads of the mains as if the crank were hinged at each [N]: speed x main x angle, seen from the engine.
        beam: the same as one elastic beam in elastic saddles.
    """

    along: Along
    speeds: tuple[float, ...]
    pressure: NDArray[np.float64]
    rods: loads.EngineLoads
    hinged: NDArray[np.complex128]
    beam: NDArray[np.complex128]


def running_loads(shop: Shop, engine: str, units: str = "") -> Answer:
    """Largest and mean loads at each speed, full throttle and closed, with their uncertainty.

    Raises:
        BadInput: when the engine has no layout, or bore, stroke or rod length are not known.
    """
    model = running_model(shop, engine, units).needed()
    speeds = tuple(part * model.value("redline") for part in PARTS)
    open_, closed = (_answer(model, speeds, open_=state) for state in (True, False))
    return {"engine": engine, "speeds": [model.amounts(s, Quantity.SPEED) for s in speeds], "open": open_, "closed": closed,
            "limits": limits(model), "parts": stressed(shop, engine, units), "notes": notes(model),
            "used": model.used(*INPUTS, "redline", "spacing", "main_journal", "main_width", "pin_width")}


def notes(model: Model) -> list[str]:
    """What the loads take for granted, in sentences."""
    share, whose = share_of(model.build)
    return [
        _whose_gas(model),
        "Mains: once as if the crank were hinged at each, once as one beam in elastic saddles; the truth lies about between.",
        f"Every throw is taken to carry its own counterweight for a reciprocating share of {share:.3f} ({whose}).",
        "Steady speed, stiff block; weight of the crank and pull of belt or chain are left out.",
    ]


def _whose_gas(model: Model) -> str:
    if model.breathes:
        return "Gas pressure: that of the pull at full throttle, the mean of the cylinders; closed throttle by the built-in model."
    return "Gas pressure: built-in model, polytropic with a Wiebe burn, full throttle; good to some 10 % of its peak."


def cycle_of(model: Model, speeds: Sequence[float], *, open_: bool = True, changed: Mapping[str, float] | None = None,
             gas: NDArray[np.float64] | None = None) -> Cycle:
    """The loads of a model; ``changed`` puts other values [SI] in the place of some sizes, ``gas`` a pressure of its own."""
    size = {name: model.value(name) for name in INPUTS} | dict(changed or {})
    along = model.along()
    up, down = ([w + size[name] - model.value(name) for w in model.weights(name)] for name in ("reciprocating", "rotating"))
    gas = gas_over_cycle(model, speeds, size, open_=open_) if gas is None else gas
    rods = loads.engine_loads(
        along.cylinders(up, down), gas, speeds=speeds, firing_angles=along.fires, bore=size["bore"], stroke=size["stroke"],
        rod_length=size["rod_length"], pin_offset=size["pin_offset"], spare_inertia=spare_inertia(model))
    hinged, beam = _mains(model, along, rods, _unbalances(model, along, size, up, down))
    return Cycle(along, tuple(speeds), gas, rods, hinged, beam)


def spare_inertia(model: Model) -> float:
    """What a rod's own inertia, where it is stated, leaves over that of its two end masses [kg m2]; 0 where it is not."""
    said = model.inputs("rod-inertia", "rod.{c}")
    ends = [model.inputs(f"rod-{end}-end-weight", "rod.{c}") for end in ("big", "small")]
    if said is None or None in ends:
        return 0.0
    big, small = (e.value for e in ends if e is not None)
    length = model.value("rod_length")
    return balance.rod_ends(mass=big + small, length=length, centre=length * small / (big + small), inertia=said.value).spare_inertia


def gas_over_cycle(model: Model, speeds: Sequence[float], size: Mapping[str, float], *, open_: bool) -> NDArray[np.float64]:
    """Pressure over a cycle from firing dead centre on [Pa]: speed x angle.

    The pull's own at full throttle where valves and lobes are stated, else the built-in model's. What other sizes would do to the
    pull's is taken from what they do to the built-in one.
    """
    usual = pressure_over_cycle(model, size, open_=open_)
    if not (open_ and model.breathes):
        return np.tile(usual, (len(speeds), 1))
    from tenths.services.running_pull import cylinder_pressure  # noqa: PLC0415 - it takes a compiler in

    here = pressure_over_cycle(model, {name: model.value(name) for name in INPUTS}, open_=True)
    return cylinder_pressure(model, speeds, STEPS) * (usual / here)


def pressure_over_cycle(model: Model, size: Mapping[str, float], *, open_: bool) -> NDArray[np.float64]:
    """Pressure over a cycle from firing dead centre [Pa]."""
    swept = pi / 4 * size["bore"] ** 2 * size["stroke"]
    inlet = size["inlet"] * ((INLET * (BOOSTED if model.build.use == "boosted" else 1.0)) if open_ else CLOSED)
    heat = size["heat"] * pressure.heat_of_charge(
        volume=swept, pressure=inlet, temperature=CHARGE_K, air_fuel=AIR_FUEL, heating_value=FUEL, efficiency=TO_GAS) if open_ else 0.0
    return pressure.cycle_pressure(
        np.linspace(0.0, 2 * tau, STEPS, endpoint=False), bore=size["bore"], stroke=size["stroke"], rod_length=size["rod_length"],
        clearance=swept / (size["ratio"] - 1), inlet_pressure=inlet, exhaust_pressure=EXHAUST, intake_closes=size["closes"],
        exhaust_opens=EXHAUST_OPENS, heat=heat, burn_start=size["spark"], burn_duration=BURN, pin_offset=size["pin_offset"])


def _unbalances(model: Model, along: Along, size: Mapping[str, float], up: Sequence[float], down: Sequence[float]) -> list[complex]:
    """Counterweight of each cylinder's throw, mass x radius opposite its pin [kg m]."""
    share, _ = share_of(model.build)
    return [complex(-size["stroke"] / 2 * (d + share * u) * np.exp(1j * throw))
            for u, d, throw in zip(up, down, along.throws, strict=True)]


def _mains(model: Model, along: Along, rods: loads.EngineLoads, unbalances: Sequence[complex],
           ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    hinged = saddles.static_shares(mains=along.mains, loads=along.places)
    journal = model.value("main_journal")
    beam = saddles.elastic_shares(mains=along.mains, loads=along.places, bending_stiffness=BEAM * STEEL * pi / 64 * journal**4,
                                  saddle_stiffness=[SADDLE] * len(along.mains))
    return (loads.main_loads(rods, hinged, unbalances=unbalances, unbalance_shares=hinged),
            loads.main_loads(rods, beam, unbalances=unbalances, unbalance_shares=beam))


# -- with uncertainty --------------------------------------------------------------------------------------------------

Pick = Callable[[Cycle], float]


class _Doubted:
    """Numbers picked from the loads, each with the uncertainty that the inputs give it; one cycle for all of them."""

    def __init__(self, model: Model, speeds: Sequence[float], *, open_: bool) -> None:
        self.model, self.names = model, INPUTS if open_ else INPUTS[:9]
        self.inputs = [e for n in self.names if (e := model.sizes[n].estimate) is not None]

        @cache
        def cycle(*values: float) -> Cycle:
            return cycle_of(model, speeds, open_=open_, changed=dict(zip(self.names, values, strict=True)))

        self.cycle = cycle
        self.here = cycle(*(e.value for e in self.inputs))

    def __call__(self, pick: Pick) -> Estimate:
        return linear(lambda *values: pick(self.cycle(*values)), *self.inputs)


def _answer(model: Model, speeds: Sequence[float], *, open_: bool) -> list[Answer]:
    doubted = _Doubted(model, speeds, open_=open_)
    return [_at_speed(model, doubted, k) for k in range(len(speeds))]


def _at_speed(model: Model, doubted: _Doubted, k: int) -> Answer:
    here, write = doubted.here, model.amounts
    moment = loads.turning_moment(here.rods.torque[k])
    mean, peak = doubted(lambda c: float(c.rods.torque[k].mean())), doubted(lambda c: float(c.pressure[k].max()))
    return {
        "speed": write(here.speeds[k], Quantity.SPEED), "mean_torque": write(mean.value, Quantity.TORQUE, mean.u),
        "largest_torque": write(moment.largest, Quantity.TORQUE), "smallest_torque": write(moment.smallest, Quantity.TORQUE),
        "swing": {"value": moment.swing, "unit": "J", "standard_uncertainty": None, "text": f"{moment.swing:.0f} J"},
        "peak_pressure": write(peak.value, Quantity.PRESSURE, peak.u, unit="bar" if model.system == "metric" else "psi"),
        "side": write.force(_side(model, here, k)),
        "rods": [_rod(model, doubted, k, c) for c in range(len(here.along.labels))],
        "pins": [_pin(model, doubted, k, n) for n in range(len(model.layout.pins))],
        "mains": [_main(model, doubted, k, n) for n in range(model.layout.mains)]}


def _side(model: Model, cycle: Cycle, k: int) -> float:
    """Greatest force of the mean piston on its wall [N]."""
    size = {name: model.value(name) for name in INPUTS}
    found = loads.cylinder_forces(
        cycle.rods.angles, (cycle.pressure[k] - 101325.0) * pi / 4 * size["bore"] ** 2, stroke=size["stroke"],
        rod_length=size["rod_length"], speed=cycle.speeds[k], reciprocating=size["reciprocating"], rotating=size["rotating"],
        pin_offset=size["pin_offset"], spare_inertia=spare_inertia(model))
    return float(np.abs(found.side).max())


def _rod(model: Model, doubted: _Doubted, k: int, c: int) -> Answer:
    """Push and pull along one rod, at its big end."""
    def along(cycle: Cycle) -> NDArray[np.complex128]:
        own = cycle.rods.angles - cycle.along.fires[c]
        return loads.seen_from_rod(cycle.rods.rods[k, c], own, bank_angle=cycle.along.banks[c], stroke=model.value("stroke"),
                                   rod_length=model.value("rod_length"), pin_offset=model.value("pin_offset"))

    push, pull = doubted(lambda y: float(-along(y).real.min())), doubted(lambda y: float(along(y).real.max()))
    return {"cylinder": doubted.here.along.labels[c], "push": model.amounts.force(push.value, push.u),
            "pull": model.amounts.force(pull.value, pull.u)}


def _pin_load(model: Model, cycle: Cycle, k: int, n: int) -> NDArray[np.complex128]:
    """Load on a crankpin by all its rods, seen from the engine [N]."""
    mine = [c for c, label in enumerate(cycle.along.labels) if model.layout.cylinder(label).pin == model.layout.pins[n].number]
    return np.asarray(cycle.rods.rods[k, mine].sum(axis=0), dtype=np.complex128)


def _pin(model: Model, doubted: _Doubted, k: int, n: int) -> Answer:
    largest = doubted(lambda c: float(np.abs(_pin_load(model, c, k, n)).max()))
    here = np.abs(_pin_load(model, doubted.here, k, n))
    return {"station": f"pin.{model.layout.pins[n].number}", "largest": model.amounts.force(largest.value, largest.u),
            "mean": model.amounts.force(float(here.mean())), "at": float(np.degrees(doubted.here.rods.angles[here.argmax()]))}


def _main(model: Model, doubted: _Doubted, k: int, n: int) -> Answer:
    """Both ways of sharing the load out, the smaller largest load first; unit load on the journal's projected area."""
    both = [doubted(lambda c: float(np.abs(c.hinged[k, n]).max())), doubted(lambda c: float(np.abs(c.beam[k, n]).max()))]
    low, high = sorted(both, key=lambda e: e.value)
    area = model.value("main_journal") * model.value("main_width")
    means = sorted(float(np.abs(way[k, n]).mean()) for way in (doubted.here.hinged, doubted.here.beam))
    return {"station": f"main.{n + 1}", "hinged": model.amounts.force(both[0].value, both[0].u),
            "elastic": model.amounts.force(both[1].value, both[1].u), "lower": model.amounts.force(low.value, low.u),
            "upper": model.amounts.force(high.value, high.u), "mean_lower": model.amounts.force(means[0]),
            "mean_upper": model.amounts.force(means[1]), "unit_load": model.amounts.stress(high.value / area, high.u / area)}


# -- limits of common practice -----------------------------------------------------------------------------------------

# Common practice, no source: mean piston speed [m/s] and greatest piston acceleration [m/s2] that pistons of a kind bear.
PISTONS = (("cast", 18.0, 24000.0), ("hypereutectic, cast", 20.0, 28000.0), ("forged, street", 23.0, 36000.0),
           ("forged, race", 26.0, 55000.0))


def limits(model: Model) -> list[Answer]:
    """Mean piston speed and peak acceleration at the highest speed beside what pistons of each kind usually bear."""
    stroke, speed = model.value("stroke"), model.value("redline")
    mean = motion.mean_piston_speed(stroke=stroke, speed=speed)
    peak = motion.peak_piston_acceleration(stroke=stroke, rod_length=model.value("rod_length"), pin_offset=model.value("pin_offset"),
                                           speed=speed)
    write = model.amounts
    return [{"piston": kind, "mean_speed": write(mean, Quantity.VELOCITY, figures=3),
             "mean_speed_to": write(most, Quantity.VELOCITY, figures=3),
             "acceleration": write(peak, Quantity.ACCELERATION), "acceleration_to": write(hard, Quantity.ACCELERATION),
             "speed_to": write(min(most / mean, (hard / peak) ** 0.5) * speed, Quantity.SPEED, figures=3),
             "within": bool(mean <= most and peak <= hard), "source": "common practice, no source"} for kind, most, hard in PISTONS]


# -- curves for plots --------------------------------------------------------------------------------------------------

def curves(shop: Shop, engine: str, units: str = "", *, part: float = 1.0) -> Answer:
    """Loads over the cycle at one speed, full throttle: turning moment, and polar curves of crankpins and mains.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; the engine's own when left out.
        part: of the highest speed.

    Returns:
        ``angle`` [deg], ``torque``, ``pressure``, and for each pin (seen from the crank) and main (seen from the engine,
        both ways) its ``across`` and ``up`` components, in the unit named.
    """
    model = running_model(shop, engine, units).needed()
    cycle = cycle_of(model, (part * model.value("redline"),))
    angles, write = cycle.rods.angles, model.amounts
    force = write.force(1.0)
    torque, gas = write(1.0, Quantity.TORQUE), write(1.0, Quantity.PRESSURE, unit="bar" if model.system == "metric" else "psi")

    def polar(load: NDArray[np.complex128]) -> Answer:
        scaled = np.round(load * force["value"], 3)
        return {"up": scaled.real.tolist(), "across": scaled.imag.tolist()}

    pins = {f"pin.{pin.number}": polar(loads.seen_from_crank(
        _pin_load(model, cycle, 0, n), angles, throw_angle=_pin_angle(model, cycle, pin.number)))
        for n, pin in enumerate(model.layout.pins)}
    mains = {f"main.{n + 1}": {"hinged": polar(cycle.hinged[0, n]), "elastic": polar(cycle.beam[0, n])}
             for n in range(model.layout.mains)}
    return {"engine": engine, "speed": write(cycle.speeds[0], Quantity.SPEED), "angle": np.degrees(angles).round(6).tolist(),
            "torque": np.round(cycle.rods.torque[0] * torque["value"], 3).tolist(), "torque_unit": torque["unit"],
            "pressure": np.round(cycle.pressure[0] * gas["value"], 3).tolist(), "pressure_unit": gas["unit"],
            "force_unit": force["unit"], "pins": pins, "mains": mains}


def _pin_angle(model: Model, cycle: Cycle, number: int) -> float:
    return next(cycle.along.throws[c] for c, label in enumerate(cycle.along.labels) if model.layout.cylinder(label).pin == number)

