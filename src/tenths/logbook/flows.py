"""Runs on the flow bench as the fold understands them: numbers in SI, or a sentence that says what is wrong."""

import re
from dataclasses import dataclass, replace

from tenths.engine.feature_head import PORT_FLOW
from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity, System, Typed, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook.head_bodies import FlowBegun, FlowRead
from tenths.logbook.marks import Mark

WAYS = ("forward", "reverse")
SCALES = ("true", "orifice")
WATER = "inH2O"  # a bare test pressure is in inches of water, whatever the engine's units: benches are read so
VALVE = re.compile(r"valve\.[^.*]+\.(in|ex)\d*")
NAME = re.compile(r"[a-z0-9][a-z0-9.-]{0,39}")
SIZES = {
    "pressure": Quantity.PRESSURE, "leak_pressure": Quantity.PRESSURE, "leak": Quantity.FLOW, "full_scale": Quantity.FLOW,
    "temperature": Quantity.TEMPERATURE, "reference_temperature": Quantity.TEMPERATURE, "barometer": Quantity.PRESSURE,
    "reference_pressure": Quantity.PRESSURE, "factor": Quantity.RATIO,
}
RANGES = {  # what can be on any bench [SI]
    "pressure": (50.0, 30e3), "leak_pressure": (50.0, 30e3), "leak": (0.0, 0.2), "full_scale": (1e-4, 2.0), "temperature": (250.0, 330.0),
    "reference_temperature": (250.0, 330.0), "barometer": (60e3, 110e3), "reference_pressure": (60e3, 110e3), "factor": (0.5, 2.0),
}
MOST_LIFT, MOST_FLOW, MOST_VALVES = 0.04, 2.0, 3


@dataclass(frozen=True, slots=True)
class FlowPoint:
    """One lift of a run: lift [m], flow as shown [m3/s], drop of pressure [Pa], each with what was typed."""

    mark: Mark
    body: FlowRead
    lift: float
    flow: float
    drop: float
    typed: Typed


@dataclass(frozen=True, slots=True)
class FlowRun:
    """A run: its card, its numbers by field [SI], and its points by rising lift."""

    mark: Mark
    body: FlowBegun
    sizes: dict[str, float]
    points: tuple[FlowPoint, ...] = ()

    @property
    def valve(self) -> str:
        """The valve's name: in, ex, in1 and so on."""
        return self.body.station.rsplit(".", 1)[-1]

    @property
    def side(self) -> str:
        """Intake or exhaust."""
        return "intake" if self.valve.startswith("in") else "exhaust"

    def slots(self, layout: Layout) -> tuple[str, ...]:
        """The part slots that the run rests on."""
        return PORT_FLOW.slots(layout, self.body.station)


def run_of(mark: Mark, body: FlowBegun, system: System) -> FlowRun:
    """A run understood; raises BadInput naming the field that cannot be."""
    if not NAME.fullmatch(body.run):
        raise BadInput(f"run: {body.run!r} is no name; small letters, digits, points and hyphens, like 1-in-forward")
    _one_of("way", body.way, WAYS)
    _one_of("scale", body.scale, SCALES)
    if not VALVE.fullmatch(body.station):
        raise BadInput(f"station: {body.station!r} is no valve; one such as valve.1.in is wanted")
    if not 1 <= body.valves <= MOST_VALVES:
        raise BadInput(f"valves: {body.valves} is not from 1 to {MOST_VALVES}")
    sizes = {name: _number(getattr(body, name), quantity, system, name) for name, quantity in SIZES.items() if getattr(body, name)}
    if "pressure" not in sizes:
        raise BadInput("pressure: the drop across the port is wanted, such as 28 inH2O")
    for name, value in sizes.items():
        _within(name, getattr(body, name), value, RANGES[name])
    if body.scale == "true" and (body.reference_temperature or body.reference_pressure):
        raise BadInput("reference temperature: only the scale of an orifice has one; say scale orifice")
    return FlowRun(mark, body, sizes)


def with_point(run: FlowRun, mark: Mark, body: FlowRead, system: System) -> FlowRun:
    """The run with one more lift; raises BadInput naming the field that cannot be."""
    lift = _number(body.lift, Quantity.LENGTH, system, "lift")
    _within("lift", body.lift, lift, (0.0, MOST_LIFT))
    typed, flow = _flow(run, body.flow, system)
    _within("flow", body.flow, flow, (0.0, MOST_FLOW))
    drop = _number(body.pressure, Quantity.PRESSURE, system, "pressure") if body.pressure else run.sizes["pressure"]
    _within("pressure", body.pressure, drop, RANGES["pressure"])
    others = [point for point in run.points if abs(point.lift - lift) > 1e-9]
    return replace(run, points=tuple(sorted([*others, FlowPoint(mark, body, lift, flow, drop, typed)], key=lambda p: p.lift)))


def _flow(run: FlowRun, text: str, system: System) -> tuple[Typed, float]:
    """A flow, or a share of the range in per cent."""
    if text.strip().endswith("%"):
        if "full_scale" not in run.sizes:
            raise BadInput(f"flow: {text!r} is a share of the range; give the run the flow at 100 % as its full scale")
        typed = parse(text, Quantity.RATIO, default_unit="", field="flow")
        return typed, typed.si * run.sizes["full_scale"]
    typed = parse(text, Quantity.FLOW, default_unit=unit_for(Quantity.FLOW, system), field="flow")
    return typed, typed.si


def _number(text: str, quantity: Quantity, system: System, field: str) -> float:
    unit = WATER if field in {"pressure", "leak_pressure"} else "inHg" if quantity is Quantity.PRESSURE else unit_for(quantity, system)
    if quantity is Quantity.PRESSURE and unit == "inHg" and system == "metric":
        unit = "mbar"
    return parse(text, quantity, default_unit=unit, field=field.replace("_", " ")).si


def _one_of(field: str, value: str, accepted: tuple[str, ...]) -> None:
    if value not in accepted:
        raise BadInput(f"{field}: {value!r} is not taken; give one of {', '.join(accepted)}")


_SAID = {"pressure": "0.2 to 120 inH2O", "leak_pressure": "0.2 to 120 inH2O", "leak": "0 to 0.2 m3/s", "full_scale": "0.0001 to 2 m3/s",
         "temperature": "-23 to 57 °C", "reference_temperature": "-23 to 57 °C", "barometer": "600 to 1100 mbar",
         "reference_pressure": "600 to 1100 mbar", "factor": "0.5 to 2", "lift": "0 to 40 mm", "flow": "0 to 2 m3/s"}


def _within(field: str, text: str, value: float, accepted: tuple[float, float]) -> None:
    if not accepted[0] <= value <= accepted[1]:
        raise BadInput(f"{field.replace('_', ' ')}: {text!r} is out of range; {_SAID[field]} is accepted")
