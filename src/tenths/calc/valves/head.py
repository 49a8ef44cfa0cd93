"""The hole that a valve opens, and what the flow bench says of it: areas over lift, and coefficients of discharge.

A coefficient here is effective area over a reference area; effective is the area of a frictionless nozzle that would pass the
same mass at the same drop of pressure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.calc._check import not_negative, positive, within
from tenths.errors import OutOfRange

AIR = 287.05  # gas constant of dry air [J/(kg K)]
VAPOUR_SHARE = 0.378  # 1 less the ratio of the molar masses of water and dry air
GAMMA = 1.4
STANDARD_PRESSURE = 101325.0  # Pa
STANDARD_TEMPERATURE = 288.15  # K


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """The valve and the seat that it opens.

    Attributes:
        head: outer diameter of the seat contact, about that of the valve's head [m].
        throat: diameter of the hole inside of the seat [m].
        stem: diameter of the stem [m].
        seat_width: of the contact, as seen from above [m]; see `plan_width`.
        seat_angle: of the seat, from the plane of the head [rad].
    """

    head: float
    throat: float
    stem: float
    seat_width: float
    seat_angle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """The least area that a valve leaves open.

    Attributes:
        area: least of the passage [m2].
        stage: 1 at right angles to the seat, 2 from the seat's inner edge to the valve's, 3 the throat less the stem.
        curtain: lift times the circumference of the head [m2].
    """

    area: float
    stage: int
    curtain: float


def plan_width(*, width: float, seat_angle: float) -> float:
    """Width of a seat as seen from above.

    Args:
        width: of the contact, measured along the seat [m].
        seat_angle: of the seat, from the plane of the head [rad].

    Returns:
        The width across [m].

    Raises:
        OutOfRange: for a width below 0 or an angle outside of 0 to 80 degrees.

    Validity: a seat that is a cone.
    Source: geometry.
    """
    not_negative(width=width)
    within(0.0, math.radians(80), seat_angle=seat_angle)
    return width * math.cos(seat_angle)


def opening(lift: float, port: Port) -> Opening:
    """The least area of the passage at a lift, in its three stages.

    Args:
        lift: of the valve from its seat [m].
        port: valve and seat.

    Returns:
        Area, the stage that it is in, and the curtain [m2].

    Raises:
        OutOfRange: for a lift below 0, sizes that are not above 0, a seat as wide as the head, a stem as thick as the throat, or
            an angle that is not from 10 to 70 degrees.

    Validity: a valve centred in its seat; what is masked by the chamber wall is not taken off.
    Source: [Heywood] Eq. 6.7 to 6.9, from memory; the first and the second agree where they meet.
    """
    not_negative(lift=lift)
    _port(port)
    w, angle = port.seat_width, port.seat_angle
    mean = port.head - w
    through = math.pi / 4.0 * (port.throat**2 - port.stem**2)
    if lift * math.sin(angle) * math.cos(angle) <= w:
        stage, area = 1, math.pi * lift * math.cos(angle) * (port.head - 2.0 * w + lift / 2.0 * math.sin(2.0 * angle))
    else:
        stage, area = 2, math.pi * mean * math.hypot(lift - w * math.tan(angle), w)
    if area > through:
        stage, area = 3, through
    return Opening(area=area, stage=stage, curtain=math.pi * port.head * lift)


def full_flow_lift(port: Port) -> float:
    """Lift from which the throat, and not the valve, is the narrowest.

    Args:
        port: valve and seat.

    Returns:
        The lift [m].

    Raises:
        OutOfRange: as `opening`, and where the throat is narrower than the seat at the end of its first stage.

    Validity: as `opening`.
    Source: [Heywood] Eq. 6.8, from memory.
    """
    _port(port)
    w, angle = port.seat_width, port.seat_angle
    slant = (port.throat**2 - port.stem**2) / (4.0 * (port.head - w))
    if slant * math.sin(angle) < w:
        raise OutOfRange(f"throat is {port.throat:g}: it is narrower than the passage over the seat, so no lift opens past it")
    return math.sqrt(slant**2 - w**2) + w * math.tan(angle)


def air_density(*, pressure: float, temperature: float, vapour: float = 0.0) -> float:
    """Density of air.

    Args:
        pressure: of the air, water vapour included [Pa].
        temperature: of it [K].
        vapour: pressure of the water vapour in it [Pa].

    Returns:
        Density [kg/m3].

    Raises:
        OutOfRange: for a pressure or a temperature that is not above 0, or vapour above the whole.

    Validity: ideal gas; good to 0.1 % in any shop.
    Source: ideal gas law; molar masses of dry air and water.
    """
    positive(pressure=pressure, temperature=temperature)
    within(0.0, pressure, vapour=vapour)
    return (pressure - VAPOUR_SHARE * vapour) / (AIR * temperature)


def nozzle_flux(*, pressure: float, temperature: float, drop: float, compressible: bool = True) -> float:
    """Mass that a frictionless nozzle passes for each square metre.

    Args:
        pressure: before the nozzle, at rest [Pa].
        temperature: of the air there [K].
        drop: of pressure across it [Pa].
        compressible: whether the air's becoming thinner on the way counts; False is Bernoulli's rule.

    Returns:
        Mass flow over area [kg/(s m2)]; where the nozzle chokes, that of the choked nozzle.

    Raises:
        OutOfRange: for a pressure or temperature that is not above 0, or a drop outside of 0 to the pressure.

    Validity: dry air as an ideal gas of 1.4; without compressibility within 4 % up to 28 inH2O, where it tells too much.
    Source: [Heywood] Appendix C, from memory; [TR1135].
    """
    positive(pressure=pressure, temperature=temperature)
    within(0.0, pressure, drop=drop)
    density = pressure / (AIR * temperature)
    if not compressible:
        return math.sqrt(2.0 * drop * density)
    ratio = max(1.0 - drop / pressure, (2.0 / (GAMMA + 1.0)) ** (GAMMA / (GAMMA - 1.0)))
    speed = 2.0 * GAMMA / (GAMMA - 1.0) * (1.0 - ratio ** ((GAMMA - 1.0) / GAMMA))
    return ratio ** (1.0 / GAMMA) * math.sqrt(max(speed, 0.0) * pressure * density)


def discharge_coefficient(
    flow: float,
    *,
    area: float,
    drop: float,
    pressure: float = STANDARD_PRESSURE,
    temperature: float = STANDARD_TEMPERATURE,
    compressible: bool = True,
) -> float:
    """Effective area of a port over a reference area, from its flow on the bench.

    Args:
        flow: of the air as it is before the port [m3/s].
        area: of reference: of the valve's head, curtain or throat [m2].
        drop: of pressure across the port [Pa].
        pressure: before the port [Pa].
        temperature: of the air there [K].
        compressible: as in `nozzle_flux`.

    Returns:
        The coefficient [-]; above 1 where the reference is smaller than the jet.

    Raises:
        OutOfRange: for a flow below 0, or an area or a drop that is not above 0.

    Validity: steady flow from air at rest.
    Source: definition; [Heywood] section 6.3.2.
    """
    not_negative(flow=flow)
    positive(area=area, drop=drop)
    mass = flow * air_density(pressure=pressure, temperature=temperature)
    return mass / (area * nozzle_flux(pressure=pressure, temperature=temperature, drop=drop, compressible=compressible))


def at_test_pressure(flow: float, *, drop: float, wanted: float) -> float:
    """What a port would flow at another test pressure, by the rule of square roots.

    Args:
        flow: as read [m3/s].
        drop: of pressure that it was read at [Pa].
        wanted: drop of pressure to bring it to [Pa].

    Returns:
        The flow there [m3/s].

    Raises:
        OutOfRange: for a flow below 0, or a drop that is not above 0.

    Validity: drops small against the air's own pressure, and flow that is turbulent at both: from 10 to 28 inH2O the rule tells 2.5 %
        too much of a frictionless nozzle.
    Source: Bernoulli; common practice.
    """
    not_negative(flow=flow)
    positive(drop=drop, wanted=wanted)
    return flow * math.sqrt(wanted / drop)


def true_flow_of_scale(flow: float, *, reference: float, at_orifice: float, at_port: float) -> float:
    """True flow before the port from the scale of a bench that measures with an orifice.

    Args:
        flow: as the scale says, made for air of the reference density [m3/s].
        reference: density of the air that the scale was made for [kg/m3].
        at_orifice: density of the air before the orifice [kg/m3].
        at_port: density of the air before the port [kg/m3].

    Returns:
        Volume of the air as it is before the port [m3/s].

    Raises:
        OutOfRange: for a flow below 0 or a density that is not above 0.

    Validity: port and orifice in one stream; drop at the orifice small against the air's pressure.
    Source: mass through an orifice goes with the root of density times drop; [ISO5167-2], from memory.
    """
    not_negative(flow=flow)
    positive(reference=reference, at_orifice=at_orifice, at_port=at_port)
    return flow * math.sqrt(reference * at_orifice) / at_port


def orifice_flow(*, diameter: float, coefficient: float, drop: float, density: float) -> float:
    """What a plate with a hole flows: to make a bench's scale, or to check it with a plate that is known.

    Args:
        diameter: of the hole [m].
        coefficient: of discharge of the plate [-]; about 0.6 with a sharp edge in a wide box.
        drop: of pressure across it [Pa].
        density: of the air before it [kg/m3].

    Returns:
        Volume flow of the air before it [m3/s].

    Raises:
        OutOfRange: for a size that is not above 0, or a coefficient above 1.

    Validity: drop small against the air's pressure; plate from a wide box into a wide box.
    Source: Bernoulli; [ISO5167-2] without its expansibility, from memory.
    """
    positive(diameter=diameter, coefficient=coefficient, drop=drop, density=density)
    within(0.0, 1.0, coefficient=coefficient)
    return coefficient * math.pi / 4.0 * diameter**2 * math.sqrt(2.0 * drop / density)


def less_leak(flow: float, *, leak: float, leak_drop: float, drop: float) -> float:
    """Flow with the leak of fixture and bench taken off.

    Args:
        flow: as read [m3/s].
        leak: as read with the valve shut and the hole sealed [m3/s].
        leak_drop: of pressure that the leak was read at [Pa].
        drop: that the flow was read at [Pa].

    Returns:
        What went through the port [m3/s].

    Raises:
        OutOfRange: for a leak or flow below 0, a drop that is not above 0, or a leak above the flow.

    Validity: leaks that go with the root of the drop, as those through gaps do at these pressures.
    Source: common practice; `at_test_pressure`.
    """
    there = at_test_pressure(leak, drop=leak_drop, wanted=drop)
    not_negative(flow=flow)
    if there > flow:
        raise OutOfRange(f"leak is {there:g} at {drop:g} Pa: the flow, {flow:g}, is below it")
    return flow - there


def _port(port: Port) -> None:
    positive(head=port.head, throat=port.throat, stem=port.stem)
    not_negative(seat_width=port.seat_width)
    within(math.radians(10), math.radians(70), seat_angle=port.seat_angle)
    if 2.0 * port.seat_width >= port.head:
        raise OutOfRange(f"seat_width is {port.seat_width:g}: twice of it must be less than the head, {port.head:g}")
    if port.stem >= port.throat:
        raise OutOfRange(f"stem is {port.stem:g}: it must be thinner than the throat, {port.throat:g}")
