"""The bearings of an engine as they run: their sizes as measured, what each bears in every way of running, and what they cost.

`bearing_losses` is what the friction of a pull takes: the power lost in all mains and big ends at a speed and load.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tenths.calc import loads
from tenths.calc.film import cycle
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.finding import Finding
from tenths.services.film_basis import LOADS, Basis, Shell, typed_size, value_of
from tenths.services.running_loads import INPUTS, Cycle, cycle_of, pressure_over_cycle
from tenths.services.running_model import Model
from tenths.services.shop import Shop

RULE = (0.00075, 0.0010)  # clearance over the journal's diameter: common practice, no source
EXPECTED_DOUBT = 5e-6  # m, standard uncertainty of a clearance that only a sheet tells: common practice, no source
STEP = 3  # of the moments of a load cycle every third is taken: three degrees


@dataclass(frozen=True, slots=True)
class Way:
    """A way of running.

    Attributes:
        name: as told.
        state: one of idle, cruise, torque, power, redline; empty for what is no state of use.
        part: of the highest speed [-].
        load: charge over that of full throttle [-]; 0 for a shut throttle.
        cold: whether the oil comes as after a cold start.
    """

    name: str
    state: str
    part: float
    load: float
    cold: bool = False


_IDLE, _CRUISE = 0.37, 0.50  # charge over that of full throttle: common practice, no source
_STATES = (("idle", "idle", 0.13, _IDLE), ("cruise", "cruise", 0.40, _CRUISE), ("most torque", "torque", 0.62, 1.0),
           ("most power", "power", 0.92, 1.0), ("highest speed", "redline", 1.0, 1.0))
HOT_WAYS = tuple(Way(f"{name}, hot", state, part, load) for name, state, part, load in _STATES)
COLD_WAYS = tuple(Way(f"{name}, cold", state, part, load, cold=True) for name, state, part, load in _STATES)
SHUT = Way("highest speed, throttle shut", "", 1.0, 0.0)
WAYS = (*HOT_WAYS, SHUT, *COLD_WAYS)


@dataclass(frozen=True, slots=True)
class Place:
    """A bearing: where, its sizes hot, what it rests on, its form and its shells."""

    station: str
    bearing: cycle.Bearing
    clearance: Finding | None
    shell: Shell
    taper: float = 0.0
    out_of_round: float = 0.0

    @property
    def doubt(self) -> float:
        """Standard uncertainty of the clearance [m]."""
        if self.clearance is None or self.clearance.value is None:
            return EXPECTED_DOUBT
        return self.clearance.standard_uncertainty or 0.0

    @property
    def origin(self) -> str:
        """Measured, predicted from the parts, or expected from what the sheet says."""
        if self.clearance is None or self.clearance.value is None:
            return "expected"
        return "predicted" if self.clearance.characteristic.name.endswith("predicted") else "measured"


def ways_of(basis: Basis) -> tuple[Way, ...]:
    """All ways of running, the tried speed first where there is one."""
    options, model = basis.options, basis.model
    if not options.speed:
        if options.load:
            raise BadInput("load: goes with a speed; give one, such as 6500 rpm")
        return WAYS
    speed = typed_size(model, options.speed, Quantity.SPEED, "speed")
    top = model.value("redline")
    if not 0.03 * top <= speed <= 1.5 * top:
        raise BadInput(f"speed: {options.speed!r} is not from {0.03 * top * 9.5493:.0f} to {1.5 * top * 9.5493:.0f} rpm")
    load = options.load or "full"
    words = model.amounts(speed, Quantity.SPEED)["text"]
    return (Way(f"{words}, {load} throttle", "", speed / top, LOADS[load]), *WAYS)


def stations_of(model: Model) -> list[str]:
    """All mains, then all rods."""
    return [*(f"main.{n + 1}" for n in range(model.layout.mains)), *(f"rod.{label}" for label in model.layout.labels)]


def places(shop: Shop, basis: Basis, *, every: bool = False) -> list[Place]:
    """Every main and rod whose clearance is measured, predicted or expected; the others too, by the trade's rule, if all are wanted."""
    model = basis.model
    findings = {(f.characteristic.name, f.station): f for f in shop.checked(model.build)}

    def known(name: str, station: str) -> float:
        finding = findings.get((name, station))
        return max(finding.value or 0.0, 0.0) if finding else 0.0

    found: list[Place] = []
    for station in stations_of(model):
        kind = station.partition(".")[0]
        both = [findings.get((f"{kind}-oil-clearance{end}", station)) for end in ("", "-predicted")]
        known_of = [f for f in both if f is not None]
        sizes = [*((f, f.value) for f in known_of), *((f, f.expected) for f in known_of)]
        best, size = next(((f, size) for f, size in sizes if size is not None and size > 0.0), (None, 0.0))
        if best is None and not every:
            continue
        journal = station if kind == "main" else f"pin.{model.layout.cylinder(station.partition('.')[2]).pin}"
        name, shell = "main" if kind == "main" else "pin", basis.shell(station)
        size = size if best else sum(RULE) / 2 * model.value(f"{name}_journal")
        found.append(Place(station, bearing_of(basis, station, shell, size), best, shell, known(f"{name}-taper", journal),
                           known(f"{name}-out-of-round", journal)))
    return found


def bearing_of(basis: Basis, station: str, shell: Shell, clearance: float) -> cycle.Bearing:
    """A bearing's sizes; the groove of a main lies in the upper half, a rod is fed through its pin."""
    name = "main_journal" if station.startswith("main") else "pin_journal"
    groove, width = value_of(shell.groove), value_of(shell.width)
    if groove >= width:
        raise BadInput(f"groove-width at {station}: {groove * 1e3:.4g} mm is not less than the shell's {width * 1e3:.4g} mm")
    return cycle.Bearing(diameter=basis.model.value(name), length=width, clearance=clearance / 2, groove_width=groove,
                         groove_extent=value_of(shell.extent) if groove else 0.0, groove_at=0.0, hole=value_of(shell.hole),
                         supply=value_of(basis.supply))


def inlet_of(basis: Basis, way: Way) -> float:
    """Temperature of the oil that comes [K]."""
    return value_of(basis.cold if way.cold else basis.hot)


class Cycles:
    """Loads of an engine, one cycle for each speed and load, each worked out once."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._kept: dict[tuple[float, float], Cycle] = {}

    def of(self, way: Way) -> Cycle:
        """The loads in a way of running."""
        key = (way.part, way.load)
        if key not in self._kept:
            model = self.model
            changed = {"inlet": way.load * model.value("inlet")} if way.load else None
            self._kept[key] = cycle_of(model, (way.part * model.value("redline"),), open_=way.load > 0.0, changed=changed)
        return self._kept[key]


def borne(model: Model, station: str, of: Cycle, speed: int = 0, step: int = STEP) -> list[cycle.Cycle]:
    """What a bearing bears: a rod one cycle, a main one for either way of sharing the load."""
    kind, _, label = station.partition(".")
    turning = of.speeds[speed]
    if kind == "main":
        number = int(label) - 1
        return [cycle.main_cycle(way[speed, number][::step], speed=turning) for way in (of.hinged, of.beam)]
    number = list(of.along.labels).index(label)
    own = of.rods.angles - of.along.fires[number]
    stroke, rod, offset = model.value("stroke"), model.value("rod_length"), model.value("pin_offset")
    seen = loads.seen_from_rod(of.rods.rods[speed, number], own, bank_angle=of.along.banks[number], stroke=stroke, rod_length=rod,
                               pin_offset=offset)
    return [cycle.rod_cycle(seen[::step], own[::step], stroke=stroke, rod_length=rod, speed=turning, pin_offset=offset)]


def heavier(bears: cycle.Cycle, by: float) -> cycle.Cycle:
    """The same cycle with all its loads so much larger."""
    return replace(bears, loads=bears.loads * by)


# -- what the bearings cost --------------------------------------------------------------------------------------------------

def bearing_losses(shop: Shop, model: Model, speeds: Sequence[float], *, gas: NDArray[np.float64] | None = None, load: float = 1.0,
                   given: Mapping[str, str] | None = None) -> NDArray[np.float64]:
    """Power lost by friction in all mains and big ends, at the temperature that it gives the oil.

    Args:
        shop: the shop.
        model: the engine as it runs.
        speeds: of the crank [rad/s].
        gas: pressure over a cycle from firing dead centre on [Pa], speed x 720; the built-in model's when left out, never the
            pull's own, so that a pull may ask for this.
        load: charge over that of full throttle [-], where no pressure is given.
        given: options of the film by name, such as another grade.

    Returns:
        Power at each speed [W]. Mains as one elastic beam; a bearing of which no clearance is known has the middle of the
        trade's rule. Some 10 ms for 13 bearings at one speed on two idle cores.

    Raises:
        BadInput: as `film_basis.options_of`, or for a gas that is not one row for each speed.
    """
    from tenths.services.film_basis import options_of  # noqa: PLC0415 - beside the names above

    if gas is not None and gas.shape[0] != len(speeds):
        raise BadInput(f"gas has {gas.shape[0]} rows: one for each of {len(speeds)} speeds is needed")
    basis = Basis(model, options_of(given or {}))
    found = places(shop, basis, every=True)
    if gas is None:
        size = {name: model.value(name) for name in INPUTS} | {"inlet": load * model.value("inlet")}
        gas = np.tile(pressure_over_cycle(model, size, open_=load > 0.0), (len(speeds), 1))
    of = cycle_of(model, speeds, gas=gas)
    sizes, hot = [place.bearing for place in found], value_of(basis.hot)
    each = [[borne(model, place.station, of, k)[-1] for place in found] for k in range(len(speeds))]
    return np.array([cycle.losses(sizes, row, basis.oil.oil, inlet=hot) for row in each])
