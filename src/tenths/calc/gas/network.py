"""Pipes, volumes and cylinders put together into the arrays that the inner loops run on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import not_negative, positive, within
from tenths.calc.gas import _kernels
from tenths.calc.gas.mixture import FIRST, PRESSURES, STEP, Gas
from tenths.errors import BadInput, Unsettled

Floats = NDArray[np.float64]
kernels: Any = _kernels  # the compiler's functions carry no types
TRACE = 720  # moments of a cycle that are kept of each cylinder
PICTURE = 180  # moments of a cycle that are kept of each cell
VALVE_STEPS = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A pipe, its diameter changing evenly from start to end.

    Attributes:
        name: for messages and pictures.
        length: [m], end corrections included.
        start: diameter [m].
        end: diameter [m].
        cell: about how long a cell is to be [m].
        wall: temperature [K].
        rough: times the friction of a smooth pipe [-].
        cool: times the heat of a smooth pipe [-]; 0 for none.
        temperature: of the gas at first [K].
        burned: share of burned gas at first [-].
    """

    name: str
    length: float
    start: float
    end: float
    cell: float
    wall: float = 320.0
    rough: float = 1.0
    cool: float = 1.0
    temperature: float = 300.0
    burned: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Volume:
    """A vessel, or with `volume` 0 the air outside, which nothing changes.

    Attributes:
        name: for messages.
        volume: [m3]; 0 for air outside.
        pressure: at first, or outside [Pa].
        temperature: at first, or outside [K].
        burned: share of burned gas at first, or outside [-].
        cooling: area times coefficient of heat transfer to its wall [W/K].
        wall: temperature [K].
    """

    name: str
    volume: float
    pressure: float = 101325.0
    temperature: float = 300.0
    burned: float = 0.0
    cooling: float = 0.0
    wall: float = 320.0


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """What stands at an end of a pipe.

    Attributes:
        pipe: its name.
        at_end: whether its end, or its start.
        to: name of a volume or cylinder; empty for a closed end.
        out: effective area over that of the pipe for what leaves the pipe [-].
        into: the same for what enters it [-].
        valve: which table of areas, for a cylinder; -1 for none. Even numbers are intakes, odd ones exhausts.
    """

    pipe: str
    at_end: bool
    to: str
    out: float = 1.0
    into: float = 1.0
    valve: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """A cylinder and what burns in it.

    Attributes:
        name: for messages.
        bore: [m].
        stroke: [m].
        rod: length of the rod [m].
        offset: of the piston pin, towards the thrust side + [m].
        clearance: volume at top dead centre [m3].
        fires: crank angle of its firing top dead centre [rad].
        head: temperature [K].
        crown: temperature of the piston's crown [K].
        liner: temperature [K].
        head_area: of the chamber [m2].
        crown_area: of the piston's crown [m2].
        heat: times the heat of the correlation [-].
        leak: area of the gap past the rings [m2].
        crevice: volume above the rings [m3].
        case: pressure of the crankcase [Pa].
        octane: of the fuel, mean of both methods [-].
        burn_start: [rad] from firing top dead centre.
        burn_duration: of the formula, to 99.3 % with a tail of 5 [rad].
        burn_shape: m of the formula [-].
        burn_tail: a of the formula [-].
    """

    name: str
    bore: float
    stroke: float
    rod: float
    clearance: float
    fires: float
    offset: float = 0.0
    head: float = 460.0
    crown: float = 520.0
    liner: float = 410.0
    head_area: float = 0.0
    crown_area: float = 0.0
    heat: float = 1.0
    leak: float = 0.0
    crevice: float = 0.0
    case: float = 101325.0
    octane: float = 95.0
    burn_start: float = -0.35
    burn_duration: float = 0.96
    burn_shape: float = 2.0
    burn_tail: float = 5.0


@dataclass(slots=True)
class Told:
    """What a cycle told.

    Attributes:
        cylinders: rows as `_kernels.T_WORK` and on, per cylinder.
        sums: mass, energy and burned mass that went out of each pipe end [kg, J, kg].
        traces: pressure [Pa], temperature, unburned temperature [K] and mass [kg]: moment x cylinder x 4.
        pictures: pressure of each cell [Pa]: moment x cell.
        steps: of time.
        unsettled: solutions that did not converge.
    """

    cylinders: Floats
    sums: Floats
    traces: Floats
    pictures: Floats
    steps: int
    unsettled: int


@dataclass(slots=True)
class Network:
    """Everything, ready to run cycle after cycle; the arrays change as it runs. Rows and columns are named in the inner loops.

    Attributes:
        gas: fresh and burned.
        rows: everything about the cells, in one piece of memory [kg, m, s, Pa, K].
        state: mass, momentum, energy and burned mass of each cell [kg, N s, J, kg].
        shape: of each cell [m, m2, m3, K].
        ends: which cell, spare cell, face, side, vessel, valve and cylinder belong to each pipe end [-].
        meeting: everything about the pipe ends, in one piece of memory [m2, kg, m, s, Pa, K].
        numbers: area of each pipe end, and of its throat out of the pipe and into it [m2].
        reservoirs: state of volumes, then of cylinders [kg, J, m3, Pa, K].
        kinds: whether fixed, volume or cylinder [-].
        cylinders: their sizes [m, K].
        burning: what changes in them [Pa, K, rad].
        valves: effective areas [m2].
        places: cells of each pipe.
        names: of the reservoirs.
        correlation: of heat transfer.
        end_names: for messages.
    """

    gas: Gas
    rows: Floats
    state: Floats
    shape: Floats
    ends: NDArray[np.int64]
    meeting: Floats
    numbers: Floats
    reservoirs: Floats
    kinds: NDArray[np.int64]
    cylinders: Floats
    burning: Floats
    valves: Floats
    places: dict[str, slice]
    names: list[str]
    correlation: int = 0
    end_names: list[str] = field(default_factory=list[str])

    def cycle(self, speed: float, *, courant: float = 0.8) -> Told:
        """Run one cycle of two turns.

        Args:
            speed: of the crank [rad/s].
            courant: share of the longest step that waves allow [-].

        Returns:
            What it told.

        Raises:
            Unsettled: if the gas came to what is no number.
        """
        count = self.cylinders.shape[0]
        told, looks = np.zeros((count, 15)), np.zeros(4)
        traces, pictures = np.zeros((TRACE, count, 4)), np.zeros((PICTURE, self.state.shape[1]))
        tables = np.array([FIRST, STEP, math.log(PRESSURES[0]), math.log(PRESSURES[1] / PRESSURES[0]), self.gas.fresh_constant])
        steps = kernels.cycle(
            self.rows.reshape(-1), self.state.shape[1], self.ends, self.meeting.reshape(-1), self.reservoirs, self.kinds,
            self.cylinders, self.burning, self.valves, self.gas.fresh, self.gas.burned, tables, self.gas.fresh_energy,
            self.gas.burned_energy,
            self.gas.burned_constant, speed, self.correlation, courant, told, traces, pictures, looks,
        )  # fmt: skip
        if looks[1] >= 1e6 or not (np.all(np.isfinite(self.reservoirs)) and np.all(np.isfinite(self.state))):
            raise Unsettled(f"the gas lost its footing at {speed * 60 / math.tau:.0f} rpm: {self._where()}")
        sums = self.meeting[kernels.END_SUMS, : self.ends.shape[0]].T.copy()
        return Told(told, sums, traces, pictures, int(steps), int(looks[1]))

    def primitives(self) -> Floats:
        """Density, velocity, pressure, share, speed of sound, temperature and ratio of heats of the cells [kg/m3, m/s, Pa, K]."""
        kernels.primitives(self.rows.reshape(-1), self.state.shape[1], self.gas.fresh, self.gas.burned)
        return self.rows[11:18, : self.state.shape[1]].copy()

    def _where(self) -> str:
        for name, place in self.places.items():
            if not np.all(np.isfinite(self.state[:, place])):
                return f"in pipe {name!r}"
        bad = [name for name, row in zip(self.names, self.reservoirs, strict=True) if not np.all(np.isfinite(row))]
        return f"in {bad[0]!r}" if bad else "in a pipe's end"


def network(
    pipes: Sequence[Pipe],
    volumes: Sequence[Volume],
    ends: Sequence[End],
    cylinders: Sequence[Cylinder],
    gas: Gas,
    *,
    valves: Floats | None = None,
    correlation: int = 0,
) -> Network:
    """Put a network together.

    Args:
        pipes: at least one.
        volumes: vessels and the air outside.
        ends: two for each pipe.
        cylinders: any number, also none.
        gas: fresh and burned.
        valves: effective areas of all valves of a cylinder's one side, over the crank angle from that cylinder's firing top
            dead centre less two turns of the crank, in even steps over 4 pi [m2]: valve group x (out of, into the
            cylinder) x step.
        correlation: of heat transfer: 0 of Woschni, 1 of Hohenberg.

    Returns:
        The network, filled as its parts say.

    Raises:
        BadInput: for names that are not known or not once, or ends missing.
        OutOfRange: for sizes that are not positive.

    Validity: as the inner loops.
    Source: finite volumes; MUSCL-Hancock with HLLC fluxes in [Toro].
    """
    table = np.zeros((1, 2, 4)) if valves is None else np.ascontiguousarray(valves, dtype=np.float64)
    names = [*(volume.name for volume in volumes), *(cylinder.name for cylinder in cylinders)]
    _check_names(pipes, names, ends)
    state, shape, places = _cells(pipes, gas)
    rows = _rows(state, shape)
    state, shape = rows[:4, : state.shape[1]], rows[4:11, : state.shape[1]]
    meeting, whole = _ends(ends, pipes, places, names, shape, state, gas, len(volumes))
    reservoirs, kinds = _reservoirs(volumes, cylinders, gas)
    return Network(
        gas, rows, state, shape, whole, meeting, meeting[:3, : len(ends)].T, reservoirs, kinds, _cylinders(cylinders),
        _burning(cylinders, reservoirs), table, places, names, correlation,
        [f"{end.pipe} {'end' if end.at_end else 'start'}" for end in ends],
    )  # fmt: skip


def _check_names(pipes: Sequence[Pipe], names: list[str], ends: Sequence[End]) -> None:
    if len(set(names)) != len(names):
        raise BadInput(f"volumes and cylinders are {', '.join(names)}: each name once is needed")
    wanted = {(pipe.name, at_end) for pipe in pipes for at_end in (False, True)}
    given = [(end.pipe, end.at_end) for end in ends]
    if set(given) != wanted or len(given) != len(wanted) or not pipes:
        raise BadInput(f"ends are {len(given)} for {len(pipes)} pipes: each pipe's start and end once is needed")
    for end in ends:
        if end.to and end.to not in names:
            raise BadInput(f"end of {end.pipe!r} leads to {end.to!r}: one of {', '.join(names)}, or nothing, is accepted")


def energy_of(gas: Gas, *, temperature: float, burned: float) -> float:
    """Energy per kilogram of gas in pipes.

    Args:
        gas: fresh and burned.
        temperature: [K].
        burned: share of burned gas [-].

    Returns:
        Energy [J/kg].

    Validity: as the polynomials of `mixture.Gas`.
    Source: polynomial.
    """
    e0, c0, c1, _ = gas.fresh + burned * (gas.burned - gas.fresh)
    return float(e0 + temperature * (c0 + 0.5 * c1 * temperature))


def _constant(gas: Gas, burned: float) -> float:
    return float(gas.fresh[3] + burned * (gas.burned[3] - gas.fresh[3]))


def _cells(pipes: Sequence[Pipe], gas: Gas, pressure: float = 101325.0) -> tuple[Floats, Floats, dict[str, slice]]:
    counts = [max(3, round(pipe.length / pipe.cell)) for pipe in pipes]
    total = 1 + sum(count + 2 for count in counts)
    state, shape = np.ones((4, total)), np.ones((7, total))
    shape[kernels.PER_LENGTH] = 0.1
    places: dict[str, slice] = {}
    at = 1
    for pipe, count in zip(pipes, counts, strict=True):
        positive(length=pipe.length, start=pipe.start, end=pipe.end, cell=pipe.cell)
        within(150.0, 2500.0, temperature=pipe.temperature)
        within(0.0, 1.0, burned=pipe.burned)
        places[pipe.name] = slice(at, at + count)
        across = np.linspace(pipe.start, pipe.end, count + 1)
        area = math.pi / 4.0 * across**2
        # volume of a cone's slice
        length = pipe.length / count
        volume = length / 3.0 * (area[1:] + area[:-1] + np.sqrt(area[1:] * area[:-1]))
        here = slice(at, at + count)
        shape[kernels.PER_VOLUME, here], shape[kernels.PER_LENGTH, here] = 1.0 / volume, 1.0 / length
        shape[kernels.FACE, at : at + count + 1] = area
        shape[kernels.PER_DIAMETER, here] = 2.0 / (across[1:] + across[:-1])
        shape[kernels.WALL, here], shape[kernels.ROUGH, here], shape[kernels.COOL, here] = pipe.wall, pipe.rough, pipe.cool
        mass = pressure / (_constant(gas, pipe.burned) * pipe.temperature) * volume
        state[kernels.MASS, here], state[kernels.MOMENTUM, here] = mass, 0.0
        state[kernels.ENERGY, here] = mass * energy_of(gas, temperature=pipe.temperature, burned=pipe.burned)
        state[kernels.BURNED, here] = mass * pipe.burned
        at += count + 2
    # spare cells hold gas like their neighbours until the first step
    for place in places.values():
        for spare, cell in ((place.start - 1, place.start), (place.stop, place.stop - 1)):
            state[:, spare] = state[:, cell]
            alike = [kernels.PER_VOLUME, kernels.PER_DIAMETER, kernels.WALL]
            shape[alike, spare] = shape[alike, cell]
            if spare > cell:
                continue
            shape[kernels.FACE, spare] = shape[kernels.FACE, cell]
    state[:, -1] = state[:, -2]
    shape[:, -1] = shape[:, -2]
    return state, shape, places


def _rows(state: Floats, shape: Floats) -> Floats:
    """One piece of memory for all rows, the state and shape of the cells first."""
    count = state.shape[1]
    most = kernels.ROW - 2 * kernels.AT_ONCE
    if count > most:
        raise BadInput(f"pipes come to {count} cells: {most} are accepted; make cells longer")
    rows = np.ones((kernels.ROWS, kernels.ROW))
    rows[:4], rows[4:11] = state[:, -1:], shape[:, -1:]
    rows[4 + kernels.FACE], rows[4 + kernels.COOL], rows[4 + kernels.ROUGH] = 0.0, 0.0, 0.0
    rows[:4, :count], rows[4:11, :count] = state, shape
    return rows


def _ends(
    ends: Sequence[End],
    pipes: Sequence[Pipe],
    places: dict[str, slice],
    names: list[str],
    shape: Floats,
    state: Floats,
    gas: Gas,
    volumes: int,
) -> tuple[Floats, NDArray[np.int64]]:
    if len(ends) > kernels.END:
        raise BadInput(f"pipes have {len(ends)} ends: {kernels.END} are accepted")
    by_name = {pipe.name: pipe for pipe in pipes}
    meeting, whole = np.ones((kernels.END_ROWS, kernels.END)), np.zeros((len(ends), 7), dtype=np.int64)
    for row, end in enumerate(ends):
        pipe, place = by_name[end.pipe], places[end.pipe]
        not_negative(out=end.out, into=end.into)
        cell = place.stop - 1 if end.at_end else place.start
        area = math.pi / 4.0 * (pipe.end if end.at_end else pipe.start) ** 2
        to = names.index(end.to) if end.to else -1
        whole[row] = (
            cell, cell + 1 if end.at_end else cell - 1, cell + 1 if end.at_end else cell, 1 if end.at_end else -1, to, end.valve,
            to - volumes if to >= volumes else -1,
        )  # fmt: skip
        meeting[:5, row] = area, end.out * area, end.into * area, whole[row, kernels.E_SIDE], 0.5
        density = state[kernels.MASS, cell] * shape[kernels.PER_VOLUME, cell]
        meeting[kernels.END_FACES, row] = density, 0.0, density * _constant(gas, pipe.burned) * pipe.temperature, pipe.burned
    return meeting, whole


def _reservoirs(volumes: Sequence[Volume], cylinders: Sequence[Cylinder], gas: Gas) -> tuple[Floats, NDArray[np.int64]]:
    rows, kinds = np.zeros((len(volumes) + len(cylinders), 12)), np.zeros(len(volumes) + len(cylinders), dtype=np.int64)
    for row, volume in zip(rows, volumes, strict=False):
        positive(pressure=volume.pressure, temperature=volume.temperature)
        not_negative(volume=volume.volume, cooling=volume.cooling)
        _fill(row, gas, volume.pressure, volume.temperature, volume.burned, volume.volume or 1.0)
        row[kernels.R_COOL], row[kernels.R_WALL] = volume.cooling, volume.wall
    kinds[: len(volumes)] = [kernels.OPEN if volume.volume else kernels.FIXED for volume in volumes]
    kinds[len(volumes) :] = kernels.CYLINDER
    for row, cylinder in zip(rows[len(volumes) :], cylinders, strict=True):
        own = (-cylinder.fires + math.tau) % (2 * math.tau) - math.tau
        _fill(row, gas, 101325.0, 400.0, 0.1, _volume(cylinder, own))
    return rows, kinds


def _fill(row: Floats, gas: Gas, pressure: float, temperature: float, burned: float, volume: float) -> None:
    constant = _constant(gas, burned)
    e0, c0, c1, _ = gas.fresh + burned * (gas.burned - gas.fresh)
    energy = float(e0 + temperature * (c0 + 0.5 * c1 * temperature))
    mass = pressure * volume / (constant * temperature)
    row[kernels.R_MASS], row[kernels.R_ENERGY], row[kernels.R_BURNED] = mass, mass * energy, mass * burned
    row[kernels.R_VOLUME], row[kernels.R_PRES], row[kernels.R_TEMP] = volume, pressure, temperature
    row[kernels.R_GAS], row[kernels.R_GAMMA] = constant, 1.0 + constant / (c0 + c1 * temperature)
    row[kernels.R_H], row[kernels.R_SHARE] = energy + constant * temperature, burned


def _volume(cylinder: Cylinder, own: float) -> float:
    across = cylinder.stroke / 2 * math.sin(own) + cylinder.offset
    top = math.sqrt((cylinder.rod + cylinder.stroke / 2) ** 2 - cylinder.offset**2)
    depth = top - cylinder.stroke / 2 * math.cos(own) - math.sqrt(cylinder.rod**2 - across**2)
    return cylinder.clearance + math.pi / 4 * cylinder.bore**2 * depth


def _cylinders(cylinders: Sequence[Cylinder]) -> Floats:
    rows = np.zeros((len(cylinders), 16))
    for row, one in zip(rows, cylinders, strict=True):
        positive(bore=one.bore, stroke=one.stroke, rod=one.rod, clearance=one.clearance, burn_duration=one.burn_duration)
        not_negative(leak=one.leak, crevice=one.crevice, heat=one.heat)
        within(one.stroke / 2 + abs(one.offset), 100.0, rod=one.rod)
        flat = math.pi / 4 * one.bore**2
        row[:] = (
            one.bore, one.stroke, one.rod, one.offset, one.clearance, one.fires % (2 * math.tau), one.head_area or 1.2 * flat,
            one.crown_area or 1.05 * flat, one.head, one.crown, one.liner, one.heat, one.leak, one.crevice, one.case, one.octane,
        )  # fmt: skip
    return rows


def _burning(cylinders: Sequence[Cylinder], reservoirs: Floats) -> Floats:
    rows = np.zeros((len(cylinders), 18))
    for row, one, held in zip(rows, cylinders, reservoirs[len(reservoirs) - len(cylinders) :], strict=True):
        row[kernels.Z_PRES], row[kernels.Z_TEMP] = held[kernels.R_PRES], held[kernels.R_TEMP]
        row[kernels.Z_TUNBURNED], row[kernels.Z_VOL] = held[kernels.R_TEMP], held[kernels.R_VOLUME]
        row[kernels.Z_START], row[kernels.Z_DURATION] = one.burn_start, one.burn_duration
        row[kernels.Z_SHAPE], row[kernels.Z_TAIL] = one.burn_shape, one.burn_tail
        row[kernels.Z_PREF], row[kernels.Z_TREF], row[kernels.Z_VREF] = 101325.0, 330.0, held[kernels.R_VOLUME]
        row[kernels.Z_CREVICE_MASS] = one.crevice * held[kernels.R_PRES] / (held[kernels.R_GAS] * one.liner)
        row[kernels.Z_CREVICE_SHARE] = held[kernels.R_SHARE]
    return rows
