"""The pull at full throttle: an engine's gas from the parts as they are, speed by speed, each until its cycles repeat."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from queue import SimpleQueue
from threading import Event, Thread
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive, within
from tenths.calc.gas import _kernels, friction
from tenths.calc.gas.fuel import Fuel, heating_value
from tenths.calc.gas.mixture import Gas, gas
from tenths.calc.gas.network import Cylinder, End, Network, Pipe, Told, Volume, network
from tenths.calc.gas.rubbing import Rubbing, parts
from tenths.calc.gas.valves import Valves, effective_areas
from tenths.errors import BadInput, Unsettled

Floats = NDArray[np.float64]
kernels: Any = _kernels
MOST_CYCLES = 80
CLOSE = 1e-3  # of mass and energy that may be missing from a cycle's books, and of work from one cycle to the next
_COURANTS = (0.85, 0.6, 0.4)
CELLS = (0.025, 0.045)  # m, in the intake and in the exhaust
BEST_MIDDLE = math.radians(8.0)  # after top dead centre, where half the charge has burned at best torque; [Heywood] section 9.1
LATEST_MIDDLE = math.radians(40.0)
_JUNCTION = 0.5  # cells of each pipe that go into the vessel where pipes meet


@dataclass(frozen=True, slots=True, kw_only=True)
class Induction:
    """From the air to the intake valves.

    Attributes:
        runner: length from the mouth to the valves, port included [m].
        mouth: diameter at the mouth [m].
        port: diameter at the valves [m].
        plenum: volume [m3]; 0 where each runner draws from the air.
        inlet: length of the pipe from the air to the plenum [m].
        throttle: diameter of that pipe, or of the throttle in each runner [m].
        throttle_flow: effective over full area of it [-].
        entry: effective over full area of a runner's mouth [-].
        wall: temperature of the runners [K].
        rough: times the friction of a smooth pipe [-].
    """

    runner: float
    mouth: float
    port: float
    plenum: float = 0.0
    inlet: float = 0.3
    throttle: float = 0.06
    throttle_flow: float = 0.9
    entry: float = 0.97
    wall: float = 325.0
    rough: float = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """From the exhaust valves to the open.

    Attributes:
        primary: length from the valve to where pipes meet, port included [m].
        diameter: of the primaries [m].
        groups: cylinders, counted from 0, whose primaries meet; one group a cylinder for open stubs.
        secondary: length after the first meeting [m]; 0 for none.
        secondary_diameter: [m].
        merged: whether all secondaries meet, and go on as one tail pipe.
        tail: length after that [m]; 0 for none.
        tail_diameter: [m].
        silencer: volume at the end [m3]; 0 for none.
        silencer_flow: effective over full area of its outlet [-].
        wall: temperature of the pipes [K].
        rough: times the friction of a smooth pipe [-].
    """

    primary: float
    diameter: float
    groups: tuple[tuple[int, ...], ...]
    secondary: float = 0.0
    secondary_diameter: float = 0.05
    merged: bool = True
    tail: float = 0.0
    tail_diameter: float = 0.06
    silencer: float = 0.0
    silencer_flow: float = 1.0
    wall: float = 800.0
    rough: float = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Burning:
    """How the charge burns.

    Attributes:
        duration: from 10 to 90 % burned at 3,000 rpm [rad].
        growth: power of the speed by which it grows [-].
        middle: angle after top dead centre at which half is burned, unless knock asks for later [rad].
        knock: integral at which the end gas fires [-]; None leaves knock out.
        shape: m of the burn formula [-].
        heat: times the heat transfer of the correlation [-].
        correlation: 0 of Woschni, 1 of Hohenberg.
    """

    duration: float = math.radians(24.0)
    growth: float = 0.25
    middle: float = BEST_MIDDLE
    knock: float | None = 1.0
    shape: float = 2.0
    heat: float = 1.0
    correlation: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """An engine as its gas sees it.

    Attributes:
        bore: [m].
        stroke: [m].
        rod: length [m].
        offset: of the piston pins [m].
        compression: ratio [-].
        fires: crank angle of each cylinder's firing top dead centre [rad].
        intake: valves.
        exhaust: valves.
        induction: before them.
        outlet: behind them.
        fuel: that it burns.
        richness: fuel over that which the air just burns [-].
        burning: how.
        leak: area of the gap past the rings of one cylinder [m2].
        crevice: volume above the rings of one cylinder [m3].
        air: pressure [Pa], temperature [K] and water by mass of dry air [-] outside.
        back: pressure behind the outlet [Pa].
        friction: parts that rub, or numbers of the correlation for whole engines, as of `friction.friction_pressure` [-].
    """

    bore: float
    stroke: float
    rod: float
    compression: float
    fires: tuple[float, ...]
    intake: Valves
    exhaust: Valves
    induction: Induction
    outlet: Outlet
    fuel: Fuel
    offset: float = 0.0
    richness: float = 1.12
    burning: Burning = Burning()
    leak: float = 0.0
    crevice: float = 0.0
    air: tuple[float, float, float] = (99000.0, 298.15, 0.006)
    back: float = 101325.0
    friction: Rubbing | tuple[float, float, float, float] = friction.USUAL

    @property
    def swept(self) -> float:
        """Volume that all pistons sweep [m3]."""
        return len(self.fires) * math.pi / 4.0 * self.bore**2 * self.stroke


@dataclass(frozen=True, slots=True)
class Point:
    """The engine at one speed.

    Attributes:
        speed: [rad/s].
        torque: at the flywheel [N m].
        power: there [W].
        indicated: mean effective pressure, net [Pa].
        pumping: mean effective pressure of the gas exchange [Pa].
        friction: mean effective pressure [Pa].
        filling: air drawn over what the swept volume holds of the air outside [-].
        air: drawn [kg/s].
        fuel: burned [kg/s].
        specific: fuel per work at the flywheel [kg/J].
        residual: burned gas in the trapped charge [-].
        peak: pressure, mean of the cylinders [Pa].
        peak_angle: of the crank from firing top dead centre [rad].
        exhaust: temperature of what leaves the cylinders, by mass [K].
        middle: angle at which half is burned [rad].
        knock: integral for the end gas [-].
        short: fresh charge lost to the exhaust over that drawn [-].
        heat: share of the fuel's heat lost to the walls [-].
        each: filling of each cylinder over the mean [-].
        mass_error: air, fuel and burned gas missing from the books of the last cycle [-].
        energy_error: energy missing from them [-].
        cycles: run.
        settled: whether work, mass and energy all repeat and add up.
        lacking: what does not, in words; empty if settled.
        apart: solutions at pipe ends and in cylinders that did not come to agree in the last cycle.
    """

    speed: float
    torque: float
    power: float
    indicated: float
    pumping: float
    friction: float
    filling: float
    air: float
    fuel: float
    specific: float
    residual: float
    peak: float
    peak_angle: float
    exhaust: float
    middle: float
    knock: float
    short: float
    heat: float
    each: tuple[float, ...]
    mass_error: float
    energy_error: float
    cycles: int
    settled: bool
    lacking: str = ""
    apart: int = 0


@dataclass(frozen=True, slots=True)
class Trace:
    """One cycle of a point.

    Attributes:
        angles: of the crank [rad].
        pressures: in each cylinder [Pa]: moment x cylinder.
        temperatures: the same [K].
        unburned: the same, of what has not burned [K].
        masses: of gas in each cylinder [kg].
        waves: pressure in each pipe [Pa]: moment x place, by name.
    """

    angles: Floats
    pressures: Floats
    temperatures: Floats
    unburned: Floats
    masses: Floats
    waves: dict[str, Floats]


def built(engine: Engine, *, intake_cell: float = CELLS[0], exhaust_cell: float = CELLS[1]) -> Network:
    """The network of an engine.

    Args:
        engine: its gas side.
        intake_cell: about how long cells are to be before the cylinders [m].
        exhaust_cell: the same behind them [m].

    Returns:
        The network, at rest.

    Raises:
        BadInput: for groups that do not hold each cylinder once.
        OutOfRange: for sizes outside of their ranges.

    Validity: as of `network`.
    Source: own arrangement.
    """
    _check(engine)
    mix = gas(engine.fuel, richness=engine.richness, humidity=engine.air[2])
    pipes, volumes, ends = _inlet(engine, intake_cell)
    more, vessels, further = _outlet(engine, exhaust_cell)
    areas = np.stack([effective_areas(engine.intake), effective_areas(engine.exhaust)])
    return network(
        pipes + more, volumes + vessels, ends + further, _cylinders(engine), mix, valves=areas, correlation=engine.burning.correlation
    )


def _check(engine: Engine) -> None:
    positive(bore=engine.bore, stroke=engine.stroke, rod=engine.rod)
    within(4.0, 25.0, compression=engine.compression)
    not_negative(leak=engine.leak, crevice=engine.crevice)
    count = len(engine.fires)
    held = sorted(number for group in engine.outlet.groups for number in group)
    if held != list(range(count)):
        raise BadInput(f"groups hold cylinders {held}: each of 0 to {count - 1} once is needed")


def _cylinders(engine: Engine) -> list[Cylinder]:
    swept = engine.swept / len(engine.fires)
    return [
        Cylinder(
            name=f"cylinder {number + 1}", bore=engine.bore, stroke=engine.stroke, rod=engine.rod, offset=engine.offset,
            clearance=swept / (engine.compression - 1.0), fires=fires, leak=engine.leak, crevice=engine.crevice, heat=engine.burning.heat,
            octane=engine.fuel.octane, burn_shape=engine.burning.shape,
        )
        for number, fires in enumerate(engine.fires)
    ]  # fmt: skip


def _inlet(engine: Engine, cell: float) -> tuple[list[Pipe], list[Volume], list[End]]:
    of = engine.induction
    pressure, temperature, _ = engine.air
    volumes = [Volume(name="air", volume=0.0, pressure=pressure, temperature=temperature)]
    pipes: list[Pipe] = []
    ends: list[End] = []
    source = "air"
    if of.plenum:
        source = "plenum"
        volumes.append(Volume(name="plenum", volume=of.plenum, pressure=pressure, temperature=temperature))
        pipes.append(
            Pipe(
                name="inlet", length=of.inlet, start=of.throttle, end=of.throttle, cell=2 * cell, wall=temperature, temperature=temperature,
            )
        )
        ends.append(End(pipe="inlet", at_end=False, to="air", out=0.95, into=0.95))
        ends.append(End(pipe="inlet", at_end=True, to="plenum", out=of.throttle_flow, into=of.throttle_flow))
    entry = of.entry if of.plenum else min(of.entry, of.throttle_flow * (of.throttle / of.mouth) ** 2)
    for number in range(len(engine.fires)):
        name = f"runner {number + 1}"
        pipes.append(
            Pipe(
                name=name, length=of.runner, start=of.mouth, end=of.port, cell=cell, wall=of.wall, rough=of.rough, temperature=temperature
            )
        )
        ends.append(End(pipe=name, at_end=False, to=source, out=entry, into=entry))
        ends.append(End(pipe=name, at_end=True, to=f"cylinder {number + 1}", valve=0))
    return pipes, volumes, ends


def _outlet(engine: Engine, cell: float) -> tuple[list[Pipe], list[Volume], list[End]]:
    of = engine.outlet
    volumes = [Volume(name="open", volume=0.0, pressure=engine.back, temperature=700.0, burned=1.0)]
    pipes: list[Pipe] = []
    ends: list[End] = []

    def pipe(name: str, length: float, diameter: float) -> None:
        pipes.append(
            Pipe(
                name=name, length=length, start=diameter, end=diameter, cell=cell, wall=of.wall, rough=of.rough, temperature=1000.0,
                burned=1.0,
            )
        )  # fmt: skip

    def vessel(name: str, diameters: Sequence[float], volume: float = 0.0) -> None:
        least = sum(math.pi / 4 * d * d for d in diameters) * cell * _JUNCTION
        volumes.append(Volume(name=name, volume=max(volume, least), pressure=engine.back, temperature=900.0, burned=1.0))

    # secondaries that end in the open leave nothing for a tail pipe or a silencer to carry
    last = _last_of(of, pipe, vessel, ends) if of.merged or not of.secondary else "open"
    for place, group in enumerate(of.groups):
        to = last
        if of.secondary:
            to = _secondary(of, place, group, last, pipe, vessel, ends)
        for number in group:
            name = f"primary {number + 1}"
            pipe(name, of.primary, of.diameter)
            ends.append(End(pipe=name, at_end=False, to=f"cylinder {number + 1}", valve=1))
            ends.append(End(pipe=name, at_end=True, to=to if len(group) > 1 or of.secondary else last))
    return pipes, volumes, ends


def _last_of(of: Outlet, pipe: Callable[..., None], vessel: Callable[..., None], ends: list[End]) -> str:
    """Silencer, tail pipe and the place where everything meets: the name of what the pipes before them lead to."""
    after = "open"
    if of.silencer:
        vessel("silencer", [of.tail_diameter], of.silencer)
        pipe("outlet", 0.15, of.tail_diameter)
        ends.append(End(pipe="outlet", at_end=False, to="silencer", out=of.silencer_flow, into=of.silencer_flow))
        ends.append(End(pipe="outlet", at_end=True, to="open"))
        after = "silencer"
    if of.tail:
        before = of.secondary_diameter if of.secondary else of.diameter
        count = len(of.groups) if of.secondary else sum(len(group) for group in of.groups)
        vessel("meeting", [of.tail_diameter, *[before] * count])
        pipe("tail", of.tail, of.tail_diameter)
        ends.append(End(pipe="tail", at_end=False, to="meeting"))
        ends.append(End(pipe="tail", at_end=True, to=after))
        after = "meeting"
    return after


def _secondary(
    of: Outlet, place: int, group: Sequence[int], last: str, pipe: Callable[..., None], vessel: Callable[..., None], ends: list[End]
) -> str:
    meeting, name = f"collector {place + 1}", f"secondary {place + 1}"
    vessel(meeting, [of.secondary_diameter, *[of.diameter] * len(group)])
    pipe(name, of.secondary, of.secondary_diameter)
    ends.append(End(pipe=name, at_end=False, to=meeting))
    ends.append(End(pipe=name, at_end=True, to=last if of.merged else "open"))
    return meeting


def run(
    engine: Engine,
    net: Network,
    speed: float,
    *,
    most: int = MOST_CYCLES,
    courant: float = _COURANTS[0],
    middle: float | None = None,
) -> tuple[Point, Told]:
    """One speed, cycle after cycle until they repeat.

    Args:
        engine: its gas side.
        net: its network, best as it was left by a speed nearby; changed.
        speed: of the crank [rad/s].
        most: cycles at most.
        courant: share of the longest step that waves allow [-].
        middle: angle of half burned to begin with, where a speed nearby has found it [rad].

    Returns:
        The point, and what its last cycle told.

    Raises:
        OutOfRange: for a speed outside of 10 to 2500 rad/s.
        Unsettled: if the gas came to what is no number.

    Validity: as of the network; burning by a formula of given length, later where the end gas would knock.
    Source: [Heywood] chapters 9, 12 and 14 for its parts.
    """
    within(10.0, 2500.0, speed=speed)
    control, slow = _Control(engine, net, speed, middle), _Slow(net)
    before, number = math.inf, 0
    while True:
        number += 1
        control.set()
        held = _holdings(net)
        told = net.cycle(speed, courant=courant)
        work = float(np.sum(told.cylinders[:, :2]))
        books = Books(abs(work - before) / abs(work), *_books(net, told, held), control.steady(told), told.unsettled)
        before = work
        if (not books.lacking() and number > 2) or number >= most:
            return _point(engine, net, told, speed, control.middle, books, number), told
        slow.hasten(net)


@dataclass(frozen=True, slots=True)
class Books:
    """What must be small before a cycle counts as the one that repeats.

    Attributes:
        work: changed since the cycle before, over itself [-].
        mass: missing from the cycle's books, over what was drawn [-].
        energy: missing from them, over three times the work [-].
        spark: whether it stands still.
        apart: pipe ends and cylinders of the cycle whose equations did not come to agree.
    """

    work: float
    mass: float
    energy: float
    spark: bool
    apart: int

    def lacking(self) -> str:
        """What is not small yet, in words; empty if all is.

        Returns:
            Words.

        Validity: any.
        Source: own.
        """
        told = [
            f"{name} {value:.1e} of it (below {CLOSE:g} is asked)"
            for name, value in (("work still changes by", self.work), ("mass is off by", self.mass), ("energy is off by", self.energy))
            if not value < CLOSE
        ]
        if not self.spark:
            told.append("the spark still moves for knock")
        if self.apart:
            told.append(f"{self.apart} solutions at pipe ends or in cylinders did not come to agree")
        return "; ".join(told)


class _Slow:
    """Vessels that it takes many cycles to fill: where one drifts evenly from cycle to cycle, its gas is put where the drift leads.

    Each cycle then takes the same share of what is missing; four in a row tell that share, and the sum of all to come.
    """

    def __init__(self, net: Network) -> None:
        self.rows = np.flatnonzero(net.kinds == kernels.OPEN)
        self.past: list[Floats] = []

    def hasten(self, net: Network) -> None:
        self.past = [*self.past[-3:], net.reservoirs[self.rows, :3].copy()]
        if len(self.past) < 4:
            return
        first, second, third = (self.past[k + 1] - self.past[k] for k in range(3))
        moved = False
        for place, row in enumerate(self.rows):
            earlier, share = _share(first[place], second[place]), _share(second[place], third[place])
            held, last = self.past[3][place, 0], third[place]
            # only what drifts slowly and evenly, and by more than rounding
            if not (0.75 < share < 0.995 and abs(earlier - share) < 0.1 * (1.0 - share)) or abs(last[0]) < 1e-8 * held:
                continue
            net.reservoirs[row, :3] += min(share / (1.0 - share), 0.2 * held / abs(last[0])) * last
            kernels.volume_state(net.reservoirs, row, net.gas.fresh, net.gas.burned)
            moved = True
        if moved:
            self.past = []


def _share(before: Floats, after: Floats) -> float:
    """Of a drift in mass that the next cycle takes."""
    return float(after[0] / before[0]) if before[0] else 0.0


class _Control:
    """Sets the spark: half burned where torque is best, or as early as knock lets it."""

    def __init__(self, engine: Engine, net: Network, speed: float, middle: float | None) -> None:
        self.engine, self.net = engine, net
        burning = engine.burning
        # from 10 to 90 % takes this part of the formula's length
        part = (-math.log(0.1) / 5.0) ** (1 / (burning.shape + 1)) - (-math.log(0.9) / 5.0) ** (1 / (burning.shape + 1))
        self.duration = burning.duration * (speed * 60 / math.tau / 3000.0) ** burning.growth / part
        self.half = (math.log(2.0) / 5.0) ** (1 / (burning.shape + 1)) * self.duration
        self.best = burning.middle
        self.middle = self.best if middle is None or burning.knock is None else max(middle, self.best)
        self.moved, self.steps = 0.0, 0

    def set(self) -> None:
        self.net.burning[:, kernels.Z_DURATION] = self.duration
        self.net.burning[:, kernels.Z_START] = self.middle - self.half

    def steady(self, told: Told) -> bool:
        limit = self.engine.burning.knock
        if limit is None:
            return True
        knock = float(np.max(told.cylinders[:, kernels.T_KNOCK]))
        # the integral falls about as the middle moves, some per cent a degree; smaller and smaller steps end any swinging
        self.steps += 1
        degrees = 18.0 * min(1.0, 6.0 / self.steps)
        wanted = math.radians(min(max((knock - 0.98 * limit) / limit * degrees, -3.0), 6.0))
        found = min(max(self.middle + wanted, self.best), LATEST_MIDDLE)
        self.moved, self.middle = found - self.middle, found
        return abs(self.moved) < math.radians(0.15)


def _holdings(net: Network) -> Floats:
    cells = sum((net.state[:, place].sum(axis=1) for place in net.places.values()), np.zeros(4))
    held = net.reservoirs[net.kinds != kernels.FIXED, :2].sum(axis=0)
    return np.array([cells[0] + held[0], cells[2] + held[1]])


def _books(net: Network, told: Told, before: Floats) -> tuple[float, float]:
    """Mass and energy that the engine holds more or less than a cycle ago, over what went through it."""
    change = np.abs(_holdings(net) - before)
    drawn = float(np.sum(told.cylinders[:, kernels.T_FRESH_IN]))
    work = float(np.sum(np.abs(told.cylinders[:, kernels.T_WORK])))
    return float(change[0]) / max(drawn, 1e-12), float(change[1]) / max(3.0 * work, 1e-12)


def _point(engine: Engine, net: Network, told: Told, speed: float, middle: float, books: Books, cycles: int) -> Point:
    rows = told.cylinders
    swept, count = engine.swept, len(engine.fires)
    rate = speed / (2 * math.tau)
    pumping = float(np.sum(rows[:, kernels.T_PUMP])) / swept
    indicated = float(np.sum(rows[:, kernels.T_WORK])) / swept + pumping
    peak = float(np.mean(rows[:, kernels.T_PMAX]))
    rubbed = _rubbed(engine, speed, peak)
    torque = (indicated - rubbed) * swept / (2 * math.tau)
    fresh = rows[:, kernels.T_FRESH_IN]
    air = float(np.sum(fresh)) * net.gas.air_share
    burned = float(np.sum(fresh)) * net.gas.fuel_share
    pressure, temperature, _ = engine.air
    fits = pressure / (287.05 * temperature) * swept
    mass = np.maximum(rows[:, kernels.T_MEX], 1e-12)
    heat_in = burned * heating_value(engine.fuel)
    return Point(
        speed=speed, torque=torque, power=torque * speed, indicated=indicated, pumping=pumping, friction=rubbed, filling=air / fits,
        air=air * rate, fuel=burned * rate, specific=burned * rate / (torque * speed) if torque > 0 else math.inf,
        residual=float(np.mean(rows[:, kernels.T_RESIDUAL])), peak=peak, peak_angle=float(np.mean(rows[:, kernels.T_PMAX_AT])),
        exhaust=float(np.mean(rows[:, kernels.T_HEX] / mass)), middle=middle, knock=float(np.max(rows[:, kernels.T_KNOCK])),
        short=float(np.sum(rows[:, kernels.T_SHORT]) / max(float(np.sum(fresh)), 1e-12)),
        heat=float(np.sum(rows[:, kernels.T_HEAT])) / max(heat_in, 1e-9), each=tuple((fresh * count / np.sum(fresh)).tolist()),
        mass_error=books.mass, energy_error=books.energy, cycles=cycles, settled=not books.lacking(),
        lacking=books.lacking(), apart=books.apart,
    )  # fmt: skip


def _rubbed(engine: Engine, speed: float, peak: float) -> float:
    if isinstance(engine.friction, Rubbing):
        return sum(parts(engine.friction, speed=speed, inlet=engine.air[0] / 99e3).values())
    return friction.friction_pressure(peak=peak, piston_speed=engine.stroke * speed / math.pi, numbers=engine.friction)


def trace(net: Network, told: Told) -> Trace:
    """The last cycle of a point, for pictures and for the loads of crank, bearings and bolts.

    Args:
        net: the network that ran it.
        told: what the cycle told.

    Returns:
        Pressures and temperatures [Pa, K].

    Validity: as of `run`.
    Source: kept while running.
    """
    angles = np.linspace(0.0, 2 * math.tau, told.traces.shape[0], endpoint=False)
    waves = {name: told.pictures[:, place] for name, place in net.places.items()}
    return Trace(angles, told.traces[:, :, 0], told.traces[:, :, 1], told.traces[:, :, 2], told.traces[:, :, 3], waves)


def pull(
    engine: Engine,
    speeds: Sequence[float],
    *,
    intake_cell: float = 0.025,
    exhaust_cell: float = 0.045,
    progress: Callable[[int, int], None] | None = None,
) -> list[Point]:
    """Speed after speed, each starting from the gas of its neighbour; from four speeds on in two rows at once, by two threads.

    Args:
        engine: its gas side.
        speeds: of the crank [rad/s], best in order.
        intake_cell: as of `built` [m].
        exhaust_cell: as of `built` [m].
        progress: told how many of how many speeds are done, none at first; what it raises stops the pull.

    Returns:
        The points; one that did not settle says so.

    Raises:
        BadInput: as of `built`.
        OutOfRange: as of `built` and `run`.
        Unsettled: if a speed came to what is no number, also in shorter steps; the message says which.

    Validity: as of `run`.
    Source: as of `run`.
    """
    chains = _chains(speeds)
    found: dict[int, Point] = {}
    heard: SimpleQueue[tuple[int, Point] | BaseException | None] = SimpleQueue()
    stop = Event()
    workers = [
        Thread(target=_chain, args=(engine, speeds, chain, (intake_cell, exhaust_cell), heard, stop), daemon=True) for chain in chains
    ]
    for worker in workers:
        worker.start()
    try:
        if progress is not None:
            progress(0, len(speeds))
        left = len(workers)
        while left:
            one = heard.get()
            if isinstance(one, BaseException):
                raise one
            if one is None:
                left -= 1
                continue
            found[one[0]] = one[1]
            if progress is not None:
                progress(len(found), len(speeds))
    finally:
        stop.set()
        for worker in workers:
            worker.join()
    return [found[place] for place in range(len(speeds))]


def _chains(speeds: Sequence[float]) -> list[list[int]]:
    """Places of the speeds in two rows of about the same length of time, each from the middle outward; few speeds in one row.

    A cycle's steps are as many as it lasts, and each speed is best begun from the gas of its neighbour.
    """
    order = sorted(range(len(speeds)), key=lambda place: speeds[place])
    if len(order) < 4:
        return [order] if order else []
    lasts = list(accumulate(1.0 / max(speeds[place], 1.0) for place in order))
    cut = min(max(bisect_left(lasts, lasts[-1] / 2.0), 1), len(order) - 1)
    return [order[:cut][::-1], order[cut:]]


def _chain(
    engine: Engine,
    speeds: Sequence[float],
    places: Sequence[int],
    cells: tuple[float, float],
    heard: SimpleQueue[tuple[int, Point] | BaseException | None],
    stop: Event,
) -> None:
    """Speed after speed, each from the gas and the spark of the one before; the compiled loops leave Python's lock to others."""
    try:
        net = built(engine, intake_cell=cells[0], exhaust_cell=cells[1])
        middle: float | None = None
        for place in places:
            if stop.is_set():
                return
            point, _, net = run_surely(engine, net, speeds[place], cells=cells, middle=middle)
            middle = point.middle
            heard.put((place, point))
        heard.put(None)
    except BaseException as error:  # noqa: BLE001 - it is raised again where it is heard
        heard.put(error)


def run_surely(
    engine: Engine, net: Network, speed: float, *, cells: tuple[float, float] = CELLS, middle: float | None = None
) -> tuple[Point, Told, Network]:
    """A speed, again in shorter steps if the gas came to what is no number or ends and cylinders did not come to agree.

    Args:
        engine: its gas side.
        net: its network, best as it was left by a speed nearby; changed.
        speed: of the crank [rad/s].
        cells: length of a cell in the intake and in the exhaust, for a network that is built anew [m].
        middle: angle of half burned to begin with, where a speed nearby has found it [rad].

    Returns:
        The point, what its last cycle told, and the network that it ran in: another one where the first broke down.

    Raises:
        OutOfRange: for a speed outside of 10 to 2500 rad/s.
        Unsettled: if the gas came to what is no number in the shortest steps too; the message says at which speed and where.

    Validity: as of `run`.
    Source: [Heywood] chapters 9, 12 and 14 for its parts.
    """
    found: tuple[Point, Told] | None = None
    for courant in _COURANTS:
        try:
            found = run(engine, net, speed, courant=courant, middle=middle)
            if not found[0].apart:
                return *found, net
            middle = found[0].middle
        except Unsettled:
            if courant == _COURANTS[-1] and found is None:
                raise
            net = built(engine, intake_cell=cells[0], exhaust_cell=cells[1])
            middle = None
    if found is None:
        raise Unsettled(f"the gas lost its footing at {speed * 60 / math.tau:.0f} rpm")
    return *found, net


def changed(engine: Engine, **parts: Any) -> Engine:
    """The same engine with something else about it, for a slider or a comparison.

    Args:
        engine: its gas side.
        parts: fields of `Engine`, and with a dot written as two underlines fields of its parts, as induction__runner.

    Returns:
        The engine.

    Raises:
        BadInput: for a field that is not there.

    Validity: any.
    Source: own.
    """
    for name, value in parts.items():
        outer, _, inner = name.partition("__")
        try:
            engine = replace(engine, **{outer: replace(getattr(engine, outer), **{inner: value}) if inner else value})
        except (AttributeError, TypeError):
            raise BadInput(f"{name.replace('__', '.')!r} is no part of the engine's gas side") from None
    return engine


def charge_of(engine: Engine) -> Gas:
    """The gas that the engine breathes.

    Args:
        engine: its gas side.

    Returns:
        Fresh and burned gas.

    Raises:
        OutOfRange: as of `mixture.gas`.

    Validity: as of `mixture.gas`.
    Source: as of `mixture.gas`.
    """
    return gas(engine.fuel, richness=engine.richness, humidity=engine.air[2])
