"""What an engine's own friction takes, part by part: seals, bearings, skirts, rings, valve gear, pumps, windage."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import not_negative, positive, within
from tenths.errors import BadInput

# flat follower, roller follower, oscillating in full film, oscillating in mixed film [kPa, mm, rpm]
GEARS: Mapping[str, tuple[float, float, float, float]] = {
    "finger": (600.0, 0.0227, 0.2, 42.8), "rocker": (400.0, 0.0151, 0.5, 21.4), "direct": (133.0, 0.0050, 0.5, 10.7),
    "push-rod": (400.0, 0.0151, 0.5, 32.1),
}
NAMES = ("seals", "main bearings", "rod bearings", "oil churned in the mains", "skirts", "rings", "rings pressed by gas", "camshafts",
         "followers", "rockers and valves", "pumps", "windage")
BEARINGS = ("main bearings", "rod bearings")
_KPA = 1e3


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubbing:
    """The parts that rub.

    Attributes:
        bore: [m].
        stroke: [m].
        cylinders: how many.
        compression: ratio [-].
        mains: how many main bearings.
        main_journal: diameter [m].
        main_width: of one bearing [m].
        pins: how many rod bearings.
        pin_journal: diameter [m].
        pin_width: of one bearing [m].
        cam_bearings: how many, on all camshafts.
        valves: how many, in all cylinders.
        lift: greatest, of a valve [m].
        gear: kind of valve gear, one of `GEARS`.
        roller: whether followers roll.
        thin: viscosity of the oil over that of a warm 10W-30 [-].
        pumps: share of the usual for oil pump, water pump and a generator without load [-].
        webs: how many crank webs stand in the wind.
        web_area: front of one web, as the wind meets it [m2].
        web_radius: to the middle of that [m].
        mist: density of air and oil about the crank [kg/m3].
        scale: times all of it [-].
        film: speed [rad/s] and power [W] that all mains and rod bearings lose by their oil film, in order of speed; it goes before the
            correlation for them.
    """

    bore: float
    stroke: float
    cylinders: int
    compression: float
    mains: int
    main_journal: float
    main_width: float
    pins: int
    pin_journal: float
    pin_width: float
    cam_bearings: int
    valves: int
    lift: float
    gear: str = "push-rod"
    roller: bool = False
    thin: float = 1.0
    pumps: float = 1.0
    webs: int = 0
    web_area: float = 0.0
    web_radius: float = 0.0
    mist: float = 1.3
    scale: float = 1.0
    film: tuple[tuple[float, float], ...] = ()


def parts(of: Rubbing, *, speed: float, inlet: float = 1.0) -> dict[str, float]:
    """Friction mean effective pressure of each part of a warm engine.

    Args:
        of: the parts that rub.
        speed: of the crank [rad/s].
        inlet: pressure of the charge over that of the air outside [-].

    Returns:
        Mean effective pressure by part, named as in `NAMES`; with a film both kinds of bearings stand together as `bearings` [Pa].

    Raises:
        OutOfRange: for sizes or a speed that are not above 0.
        BadInput: for a kind of valve gear that is none.

    Validity: warm spark-ignition engines of 0.4 to 1 litre a cylinder, 1000 to 6000 rpm; beyond as an estimate. Each part to 30 %.
    Source: [Patton]; windage as the drag of blunt plates, coefficient 1.1 of [Hoerner]. Both from memory.
    """
    positive(bore=of.bore, stroke=of.stroke, speed=speed, main_journal=of.main_journal, main_width=of.main_width,
             pin_journal=of.pin_journal, pin_width=of.pin_width, lift=of.lift, thin=of.thin, inlet=inlet)  # fmt: skip
    within(4.0, 25.0, compression=of.compression)
    not_negative(pumps=of.pumps, web_area=of.web_area, web_radius=of.web_radius, mist=of.mist)
    if of.gear not in GEARS:
        raise BadInput(f"gear: {of.gear!r} is no kind of valve gear; there are {', '.join(GEARS)}")
    rpm = speed * 60.0 / math.tau
    found = _crank(of, rpm) | _pistons(of, rpm, inlet) | _valves(of, rpm) | {"pumps": _pumps(of, rpm), "windage": _windage(of, speed)}
    if of.film:
        return {"bearings": of.scale * _film(of, speed)} | {name: of.scale * found[name] for name in NAMES if name not in BEARINGS}
    return {name: of.scale * found[name] for name in NAMES}


def _film(of: Rubbing, speed: float) -> float:
    """Between the speeds given the power goes evenly, beyond with the square of the speed."""
    speeds, powers = zip(*of.film, strict=True)
    power = float(np.interp(speed, speeds, powers))
    outer = min(max(speed, speeds[0]), speeds[-1])
    return power * (speed / outer) ** 2 * 2.0 * math.tau / speed / _swept(of)


def _swept(of: Rubbing) -> float:
    return math.pi / 4.0 * of.bore**2 * of.stroke * of.cylinders


def _crank(of: Rubbing, rpm: float) -> dict[str, float]:
    bore, stroke, thin = of.bore * 1e3, of.stroke * 1e3, math.sqrt(of.thin)
    swept = bore**2 * stroke * of.cylinders
    main, pin = of.main_journal * 1e3, of.pin_journal * 1e3
    return {
        "seals": 1.22e5 * main / swept * _KPA,
        "main bearings": 3.03e-4 * thin * rpm * main**3 * of.main_width * 1e3 * of.mains / swept * _KPA,
        "rod bearings": 3.03e-4 * thin * rpm * pin**3 * of.pin_width * 1e3 * of.pins / swept * _KPA,
        "oil churned in the mains": 1.35e-10 * main**2 * rpm**2 * of.mains / of.cylinders * _KPA,
    }


def _pistons(of: Rubbing, rpm: float, inlet: float) -> dict[str, float]:
    bore, thin = of.bore * 1e3, math.sqrt(of.thin)
    mean = 2.0 * of.stroke * rpm / 60.0
    pressed = 0.088 * thin * of.compression + 0.182 * of.compression ** (1.33 - 2.38e-2 * mean)
    return {
        "skirts": 2.94e2 * thin * mean / bore * _KPA,
        "rings": 4.06e4 * (1.0 + 1000.0 / rpm) / bore**2 * _KPA,
        "rings pressed by gas": 6.89 * inlet * pressed * _KPA,
    }


def _valves(of: Rubbing, rpm: float) -> dict[str, float]:
    bore, stroke, lift, thin = of.bore * 1e3, of.stroke * 1e3, of.lift * 1e3, math.sqrt(of.thin)
    flat, rolling, film, mixed = GEARS[of.gear]
    each = of.valves / (stroke * of.cylinders)
    follower = rolling * rpm if of.roller else flat * (1.0 + 1000.0 / rpm)
    return {
        "camshafts": 2.44e2 * thin * rpm * of.cam_bearings / (bore**2 * stroke * of.cylinders) * _KPA,
        "followers": follower * each * _KPA,
        "rockers and valves": (film * thin * lift**1.5 * rpm**0.5 / bore + mixed * (1.0 + 1000.0 / rpm) * lift) * each * _KPA,
    }


def _pumps(of: Rubbing, rpm: float) -> float:
    rpm = min(rpm, 8000.0)  # the parabola turns down beyond
    return of.pumps * (6.23 + 5.22e-3 * rpm - 1.79e-7 * rpm**2) * _KPA


def _windage(of: Rubbing, speed: float) -> float:
    power = 0.5 * of.mist * 1.1 * of.web_area * of.webs * (speed * of.web_radius) ** 3
    return power * 2.0 * math.tau / speed / _swept(of)
