"""The crank in torsion: its chain of discs and springs, modes, critical speeds, swing and stress over speed, damper."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import degrees, pi, sqrt, tau

import numpy as np
from numpy.typing import NDArray

from tenths.calc import crank, loads, torsion
from tenths.engine.quantity import Quantity
from tenths.errors import TenthsError
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.services.amounts import Answer
from tenths.services.running_loads import INPUTS, PARTS, STEPS, gas_over_cycle
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop

SHEAR = 80e9  # Pa, steel
DAMPING = 0.015  # of critical, of the crank's first mode, by oil and rubbing: common practice, no source
HIGHEST_ORDER, LOWEST_PART, SPEEDS = 8.0, 0.2, 61
SHOWN, WEAK = 14, 0.05  # critical speeds told at most; strength below which none is told
# Guesses where nobody says, at a bore of 0.1 m and as its fifth power [kg m2]: common practice, no source.
INERTIAS = {"throw-inertia": 0.0095, "front-inertia": 0.0050, "flywheel-inertia": 0.10}
NOSE, TAIL = 0.9, 2.0  # stiffness of nose and tail over that of a throw: common practice, no source
STRESS_TO = 60e6  # Pa, nominal vibration stress in a plain steel journal: common practice, no source


@dataclass(frozen=True, slots=True)
class Taken:
    """A number that the chain is made of, and where it came from."""

    words: str
    value: float
    quantity: Quantity
    origin: str
    station: str
    feature: str


class Spring:
    """The crank of a model as a chain, and what swings on it; ``rule`` says which formula gives throws nobody typed."""

    def __init__(self, model: Model, rule: str = "mean") -> None:
        self.model, self.taken = model, dict[str, Taken]()
        self._resolver = Resolver(model.build, InstrumentBook(model.build))
        along = model.along()
        self.fires, self.throw_of = along.fires, along.throw_of
        self.plain = self._chain(rule)
        self.damper = self._damper()
        self.chain = torsion.with_damper(self.plain, self.damper) if self.damper else self.plain
        self.first = 1 if self.damper else 0  # index of the hub's disc
        self.cylinder_discs = [self.first + 1 + throw for throw in self.throw_of]

    def _said(self, name: str, station: str, guess: float, quantity: Quantity, words: str) -> float:
        known = self._resolver.input(name, station, name, (), None)
        value, origin = (known.estimate.value, known.origin) if known.estimate else (guess, "taken")
        self.taken.setdefault(name, Taken(words, value, quantity, origin, "pin.*" if station.startswith("pin.") else station, name))
        return value

    def _chain(self, rule: str) -> torsion.Chain:
        bare = self._inertias()
        throws = [bare[1 + k] + self._on(k) for k in range(self.model.layout.throws)]
        soft = self._throw(rule)
        k = [self._said("throw-stiffness", f"pin.{self._pin(n)}", soft, Quantity.TORSION, "stiffness of a throw in torsion")
             for n in range(self.model.layout.throws)]
        between = [2.0 / (1.0 / a + 1.0 / b) for a, b in pairwise(k)]  # half of each throw in a row
        nose = self._said("front-stiffness", "engine", NOSE * k[0], Quantity.TORSION, "stiffness of the crank's nose")
        tail = self._said("flywheel-stiffness", "engine", TAIL * k[-1], Quantity.TORSION, "stiffness of the crank's tail")
        chain = torsion.Chain((bare[0], *throws, bare[-1]), (nose, *between, tail))
        first = float(torsion.modes(chain).frequencies[1])
        return replace(chain, damping=(0.0, *(2 * DAMPING * first * j for j in throws), 0.0))

    def _inertias(self) -> list[float]:
        size = (self.model.value("bore") / 0.1) ** 5
        words = {"front-inertia": "inertia of hub and pulley", "throw-inertia": "inertia of a bare throw",
                 "flywheel-inertia": "inertia of flywheel and clutch"}

        def said(name: str, where: str) -> float:
            return self._said(name, where, INERTIAS[name] * size, Quantity.INERTIA, words[name])

        throws = [said("throw-inertia", f"pin.{self._pin(n)}") for n in range(self.model.layout.throws)]
        return [said("front-inertia", "engine"), *throws, said("flywheel-inertia", "engine")]

    def _pin(self, throw: int) -> int:
        return next(pin.number for pin in self.model.layout.pins if pin.throw == throw + 1)

    def _on(self, throw: int) -> float:
        """Inertia of what hangs on a throw [kg m2]."""
        mine = [k for k, t in enumerate(self.throw_of) if t == throw]
        up, down = (self.model.weights(name) for name in ("reciprocating", "rotating"))
        return crank.throw_inertia(crank=0.0, rotating=sum(down[k] for k in mine), reciprocating=sum(up[k] for k in mine),
                                   radius=self.model.value("stroke") / 2)

    def _throw(self, rule: str) -> float:
        value = self.model.value
        found = crank.throw_stiffness(
            main_diameter=value("main_journal"), main_length=value("main_width"), pin_diameter=value("pin_journal"),
            pin_length=value("pin_width"), web_thickness=value("web_thickness"), web_width=value("web_width"),
            radius=value("stroke") / 2, shear_modulus=SHEAR)
        both = {"ker wilson": found.ker_wilson, "carter": found.carter}
        return both.get(rule, sqrt(found.ker_wilson * found.carter))

    def _damper(self) -> torsion.Damper | None:
        ring, stiffness, loss = (self._resolver.input(name, "engine", name, (), None).estimate
                                 for name in ("damper-ring", "damper-stiffness", "damper-loss"))
        if ring is None or stiffness is None:
            return None
        zeta = loss.value if loss else 0.1
        return torsion.Damper(ring.value, stiffness.value, 2 * zeta * sqrt(ring.value * stiffness.value))

    @cached_property
    def modes(self) -> torsion.Modes:
        """Of the chain with its damper's ring."""
        return torsion.modes(self.chain)

    def swing(self, chain: torsion.Chain, speeds: Sequence[float], discs: Sequence[int]) -> torsion.ForcedSwing:
        """Forced by the cylinders at full throttle."""
        size = {name: self.model.value(name) for name in INPUTS}
        known = [part * self.model.value("redline") for part in PARTS]
        rows = gas_over_cycle(self.model, known, size, open_=True)
        gas = {speed: rows[min(range(len(known)), key=lambda k: abs(known[k] - speed))] for speed in speeds}
        harmonics = [torsion.torque_harmonics(self._torque(speed, size, gas[speed]), highest=HIGHEST_ORDER) for speed in speeds]
        return torsion.forced_swing(chain, harmonics, cylinder_discs=discs, firing_angles=self.fires, speeds=speeds)

    def _torque(self, speed: float, size: Mapping[str, float], pressure: NDArray[np.float64]) -> NDArray[np.float64]:
        """Of one mean cylinder over its cycle [N m]."""
        angles = np.linspace(0.0, 2 * tau, STEPS, endpoint=False)
        gas = (pressure - 101325.0) * pi / 4 * size["bore"] ** 2
        return loads.cylinder_forces(
            angles, gas, stroke=size["stroke"], rod_length=size["rod_length"], speed=speed,
            reciprocating=size["reciprocating"], rotating=size["rotating"], pin_offset=size["pin_offset"]).torque


def torsion_answer(shop: Shop, engine: str, units: str = "") -> Answer:
    """Modes, critical speeds in the running range, and swing and stress over speed, with the damper and without.

    Raises:
        BadInput: when the engine has no layout, or bore, stroke or rod length are not known.
    """
    model = running_model(shop, engine, units).needed()
    spring = Spring(model)
    redline = model.value("redline")
    return {"engine": engine, "modes": _modes(model, spring), "criticals": _criticals(model, spring, redline),
            "over_speed": over_speed(model, spring), "damper": _damper(model, spring),
            "taken": [{"words": t.words, **model.amounts(t.value, t.quantity), "origin": t.origin, "station": t.station,
                       "feature": t.feature} for t in spring.taken.values()],
            "used": model.used("stroke", "main_journal", "main_width", "pin_journal", "pin_width", "web_thickness", "web_width",
                               "reciprocating", "rotating", "redline"),
            "notes": _notes(spring)}


def _notes(spring: Spring) -> list[str]:
    said = ["Discs: hub, one for each throw with what hangs on it, flywheel; half of what goes up and down is counted [KerWilson]."]
    if spring.taken["throw-stiffness"].origin == "taken":
        said.append("Stiffness of the throws: geometric mean of the rules of Ker Wilson and Carter; the two frequencies of a mode are "
                    "by either rule, each good to some 10 to 20 %. A stiffness or a frequency that was measured is better than both.")
    said.append(f"Damping of the crank: {DAMPING:.1%} of critical (common practice, no source); the swing at a critical speed hangs on it.")
    return said


def hertz(rad_per_s: float) -> Answer:
    """A frequency as JSON."""
    value = rad_per_s / tau
    return {"value": value, "unit": "Hz", "standard_uncertainty": None, "text": f"{value:.0f} Hz"}


def _modes(model: Model, spring: Spring) -> list[Answer]:
    """The first three that twist; the range by the two rules where a throw's stiffness was not typed."""
    sides = [Spring(model, rule).modes for rule in ("ker wilson", "carter")]
    rows: list[Answer] = []
    for n in range(1, min(4, len(spring.modes.frequencies))):
        low, high = sorted(float(side.frequencies[n]) for side in sides)
        shape = spring.modes.shapes[n] / np.abs(spring.modes.shapes[n]).max()
        rows.append({"mode": n, "frequency": hertz(float(spring.modes.frequencies[n])), "lower": hertz(low), "upper": hertz(high),
                     "shape": [round(float(s), 5) for s in shape]})
    return rows


def disc_names(spring: Spring) -> list[str]:
    """What each disc of the chain is."""
    throws = [f"throw {k + 1}" for k in range(spring.model.layout.throws)]
    return (["damper ring"] if spring.damper else []) + ["hub", *throws, "flywheel"]


def _criticals(model: Model, spring: Spring, redline: float) -> list[Answer]:
    orders = [k / 2 for k in range(1, round(2 * HIGHEST_ORDER) + 1)]
    met = torsion.critical_speeds(spring.modes, cylinder_discs=spring.cylinder_discs, firing_angles=spring.fires, orders=orders,
                                  lowest=LOWEST_PART * redline, highest=1.15 * redline)
    shapes = np.abs(spring.modes.shapes).max(axis=1)
    rows = [{"order": one.order, "mode": one.mode, "speed": model.amounts(one.speed, Quantity.SPEED, figures=3),
             "strength": one.strength / float(shapes[one.mode]), "above": one.speed > redline} for one in met]
    return sorted((r for r in rows if r["strength"] >= WEAK), key=lambda r: -r["strength"])[:SHOWN]


def over_speed(model: Model, spring: Spring) -> Answer:
    """Swing of the hub [deg, half of top to bottom] and worst stress in a journal over speed, with damper and without."""
    speeds = np.linspace(LOWEST_PART, 1.1, SPEEDS) * model.value("redline")
    plain_discs = [1 + throw for throw in spring.throw_of]
    runs = {"without": (spring.plain, plain_discs, 0)}
    if spring.damper:
        runs["with"] = (spring.chain, spring.cylinder_discs, 1)
    write = model.amounts
    answer: Answer = {"speed": [float(s) * 30 / pi for s in speeds], "stress_unit": write.stress(1.0)["unit"]}
    thinnest = min(model.value("main_journal"), model.value("pin_journal"))
    for name, (chain, discs, hub) in runs.items():
        found = spring.swing(chain, speeds.tolist(), discs)
        swing = torsion.peak_of_orders(_without_rolling(found.swings, chain)[:, :, hub], orders=found.orders)
        twist = torsion.peak_of_orders(np.moveaxis(found.twists[:, :, hub:], 1, -1), orders=found.orders).max(axis=-1)
        stress = [crank.journal_stress(torque=float(t), outside=thinnest) for t in twist]
        answer[name] = {"swing": [round(degrees(float(s)), 5) for s in swing],
                        "stress": [round(write.stress(s)["value"], 4) for s in stress],
                        "worst": {"speed": write(float(speeds[int(np.argmax(stress))]), Quantity.SPEED, figures=3),
                                  "stress": write.stress(max(stress)), "swing": f"{max(map(degrees, map(float, swing))):.2f} deg"}}
    answer["stress_to"] = write.stress(STRESS_TO)
    return answer


def _without_rolling(swings: NDArray[np.complex128], chain: torsion.Chain) -> NDArray[np.complex128]:
    """Swings less that of the whole chain, which turns unevenly without twisting."""
    inertia = np.asarray(chain.inertias)
    return np.asarray(swings - (swings @ inertia / inertia.sum())[..., None], dtype=np.complex128)


def _damper(model: Model, spring: Spring) -> Answer:
    """The damper as stated, and what would flatten the first mode best with that ring, or with a ring of a quarter of the mode."""
    plain = torsion.modes(spring.plain)
    first, write = float(plain.frequencies[1]), model.amounts
    modal = torsion.modal_inertia(spring.plain, plain.shapes[1].tolist())
    ring = spring.damper.inertia if spring.damper else modal / 4
    answer: Answer = {"fitted": spring.damper is not None, "mode_without": hertz(first), "modal_inertia": write(modal, Quantity.INERTIA),
                      "ring": write(ring, Quantity.INERTIA), "ring_stated": spring.damper is not None}
    if spring.damper:
        answer["tuned_to"] = hertz(sqrt(spring.damper.stiffness / spring.damper.inertia))
    try:
        best = torsion.tuned_damper(ring=ring, modal_inertia=modal, frequency=first)
    except TenthsError as error:
        return answer | {"why_not": str(error)}
    return answer | {"best": {"tuned_to": hertz(sqrt(best.stiffness / best.inertia)), "stiffness": write(best.stiffness, Quantity.TORSION),
                              "loss": round(best.damping / (2 * sqrt(best.stiffness * best.inertia)), 3)}}


def campbell(model: Model, spring: Spring) -> Answer:
    """Lines of a Campbell picture: natural frequencies [Hz], orders, and the criticals where they meet, with their strength."""
    top = 1.15 * model.value("redline")
    criticals = _criticals(model, spring, model.value("redline"))
    orders = sorted({row["order"] for row in criticals})
    return {"speed_to": top * 30 / pi, "redline": model.value("redline") * 30 / pi,
            "modes": [{"mode": n, "hertz": float(spring.modes.frequencies[n]) / tau} for n in sorted({r["mode"] for r in criticals})],
            "orders": orders, "meets": [{"order": r["order"], "mode": r["mode"], "speed": r["speed"]["value"],
                                         "hertz": float(spring.modes.frequencies[r["mode"]]) / tau, "strength": r["strength"]}
                                        for r in criticals]}



def campbell_of(shop: Shop, engine: str, units: str = "") -> Answer:
    """The Campbell picture of an engine; arguments and errors as for `torsion_answer`."""
    model = running_model(shop, engine, units).needed()
    return campbell(model, Spring(model))


def disc_names_of(shop: Shop, engine: str, units: str = "") -> Answer:
    """What each disc of an engine's chain is."""
    return {"discs": disc_names(Spring(running_model(shop, engine, units).needed()))}
